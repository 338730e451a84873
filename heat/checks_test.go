package heat

import (
	"math"
	"testing"
	"time"

	"chablon/unit"
)

// fieldChecks computes the rows of testdata/checks.csv that a Field answers: numerical times and the
// lambdas of Stefan's problem.
func fieldChecks(t *testing.T) map[string]float64 {
	got := map[string]float64{}
	for _, c := range numericalCases(t) {
		got[c.name] = run(t, field(t, c.g, c.food, c.start), []Stage{Around(0, Boundary{Air: c.air, Transfer: c.h})}, c.until, Options{Tolerance: 0.002}).Time.Seconds()
	}
	for id, ste := range map[string]float64{"FC-053": .05, "FC-054": .1, "FC-055": .2, "FC-056": .5, "FC-057": 1} {
		got[id] = neumann(1, 1, 1, 1, 1/ste, 0, 0, -1)
	}
	got["FC-058"] = neumann(2.22, .566, 1.87985e6, 4.2e6, 305.9112e6, 0, 10, -20)
	got["FC-059"] = 2000 * got["FC-058"] * math.Sqrt(2.22/1.87985e6*3600)
	got["FC-060"] = neumann(1.65, .55, 1.90e6, 3.71e6, 209e6, -.6, 5, -25)
	got["FC-061"] = 2000 * got["FC-060"] * math.Sqrt(1.65/1.90e6*3600)
	return got
}

// otherChecks computes the rows on second opinions, odd shapes, half spaces, glazes and radiation.
func otherChecks(t *testing.T) map[string]float64 {
	t.Helper()
	plate := cleEarle{d: .1, h: 2, k: .1, pk: .2, ste: .3} // Bi 2
	p, r := plate.factors(Slab(unit.Metre))
	ham := Ellipsoid(millimetres(102), millimetres(165), millimetres(279))
	const k, c = .379, 3740 * 1080
	bi := 48 * ham.half() / k
	s := ham.lin()
	rate, centre, mean := ham.lag(48, k, c)
	lag, err := LagOf(ham, k, c, 48)
	if err != nil || math.Abs(lag.Mean/mean-1) > 1e-12 || math.Abs(lag.Centre/centre-1) > 1e-12 {
		t.Errorf("lag %+v (%v), want mean %g and centre %g", lag, err, mean, centre)
	}
	if got := math.Ln10 / rate; math.Abs(lag.Tenfold.Seconds()-got) > 1e-3 {
		t.Errorf("tenfold in %v, want %g s", lag.Tenfold, got)
	}
	slabRoot := planar.lacroix(1)
	glaze, mousse := math.Sqrt(.40*1250*2900), math.Sqrt(.60*600*2400)
	return map[string]float64{
		"FC-018": p, "FC-019": r,
		"FC-020": bi, "FC-021": s.e0, "FC-022": s.factor(bi), "FC-023": mean, "FC-024": central.eigenvalue(0, 6.459),
		"FC-025": lag.Time(lag.Mean, (10.0+1)/(70+1)).Seconds(),
		"FC-026": math.Ln10 / sq(slabRoot), "FC-027": 2 * math.Sin(slabRoot) / (slabRoot + math.Sin(slabRoot)*math.Cos(slabRoot)),
		"FC-028": math.Ln10 / sq(planar.eigenvalue(0, 1e6)),
		"FC-029": lagAtSurface(math.Inf(1), math.Inf(1)), "FC-030": lagAtSurface(1, 1),
		"FC-049": halfSpaceFixed(1.3e-7, .01, 600), "FC-050": halfSpace(1.3e-7, .45, 20, .01, 600), "FC-051": halfSpace(1.3e-7, .45, 20, 0, 600),
		"FC-052": float64(meet(glaze, mousse, 32, -18)),
		"FC-063": float64(Radiation(.9, -5)),
		"FC-067": stirred(1*3500, 82, .5*3900, 4),
		"FC-068": setsIn(1250*2900*.002*(32-24), mousse, 24+18),
	}
}

// halfSpaceFixed is (T-Ts)/(Ti-Ts) at depth x of a half space whose surface is put to Ts (Carslaw & Jaeger 2.4).
func halfSpaceFixed(alpha, x, t float64) float64 { return math.Erf(x / (2 * math.Sqrt(alpha*t))) }

// halfSpace is (Ti-T)/(Ti-Ta) at depth x of a half space in surroundings of coefficient h (Carslaw & Jaeger 2.7).
func halfSpace(alpha, k, h, x, t float64) float64 {
	a, b := x/(2*math.Sqrt(alpha*t)), h*math.Sqrt(alpha*t)/k
	return math.Erfc(a) - math.Exp(h*x/k+b*b)*math.Erfc(a+b)
}

// A thick slab cools near its face as the half space of Carslaw & Jaeger: 0.1 % of the difference.
func TestFieldHalfSpace(t *testing.T) {
	f := field(t, SlabGrid(equal(.1, 200)), plain(t, .45, .45/1.3e-7), 1)
	at := &Point{Z: 10 * unit.Millimetre}
	for _, c := range []struct {
		h, want float64
	}{{20, 1 - halfSpace(1.3e-7, .45, 20, .01, 600)}, {1e5, halfSpaceFixed(1.3e-7, .01, 600)}} {
		r := run(t, f, []Stage{{Bottom: Boundary{Transfer: unit.HeatTransfer(c.h)}}}, Criterion{}, Options{Limit: 600 * time.Second, Core: at, Tolerance: 1e-4})
		if got := float64(r.Last().Core); math.Abs(got-c.want) > 0.001 {
			t.Errorf("h %g: got %g, want %g", c.h, got, c.want)
		}
	}
}
