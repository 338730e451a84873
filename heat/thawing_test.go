package heat

import (
	"errors"
	"math"
	"testing"

	"chablon/unit"
)

// A mousse slab 45 mm thick, both faces in still air of 4 °C with h = 8, from −20 °C. A converged
// numerical solution to a core of +2 °C takes 41 114 s (computed for bib:chablon-checks, FC-015;
// density 600, 58 % water of which 2 points bound, freezing from −4 °C, k = 0.28 thawed). The
// formula answers for 0 °C, so it must come out below that, and not by more than a third: the last
// two kelvin against air only 2 to 4 K warmer take about a quarter of the whole. Heat capacities
// by Chen's short forms: 3.18 thawed and 2.08 frozen kJ/(kg K); from −10 to 0 °C the ice of
// (0.58 − 0.02)(1 − 4/10) melts, and 10 K are warmed.
func TestThawingAgainstANumericalSolution(t *testing.T) {
	const rho, liquid, frozen = 600, 3180, 2080
	span := rho * ((0.58-0.02)*(1-4.0/10)*333.6e3 + 6*frozen + 4*liquid)
	s := cleland(0.045, 8, 0.28, rho*liquid, rho*frozen, span, -20, -4, 4)
	if s > 41114 || s < 41114*2/3.0 {
		t.Errorf("thawing = %.0f s, want between two thirds of 41114 and 41114", s)
	}
}

func TestThawingFasterInWarmerAirAndThinnerPieces(t *testing.T) {
	food := mousse(t)
	last := math.Inf(1)
	for _, air := range []unit.Temperature{2, 4, 10, 20} {
		e, err := Thawing(Cylinder(200*unit.Millimetre, 60*unit.Millimetre), food, -20, air, 8)
		if err != nil || e.Time.Seconds() >= last {
			t.Errorf("in air of %v: %v s (%v), want less than %v", air, e.Time.Seconds(), err, last)
		}
		last = e.Time.Seconds()
	}
}

func TestThawingSaysNever(t *testing.T) {
	var never *NeverError
	if _, err := Thawing(Slab(45*unit.Millimetre), mousse(t), -20, 0, 8); !errors.As(err, &never) {
		t.Errorf("in air of 0 °C: %v, want a *NeverError", err)
	}
	var input *InputError
	if _, err := Thawing(Slab(45*unit.Millimetre), mousse(t), -0.5, 4, 8); !errors.As(err, &input) {
		t.Errorf("from −0.5 °C: %v, want an *InputError", err)
	}
}
