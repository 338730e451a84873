package heat

import (
	"fmt"
	"math"
	"time"

	"chablon/material"
	"chablon/unit"
)

// ClelandEarle returns the freezing time of a plate, a box or a ball by the other well-known
// formula, as a second opinion on Freezing: the two are 10 % each and rest on the same kind of data.
//
// Method of Cleland & Earle (1977 to 1984), fitted by regression, as in ASHRAE
// Handbook-Refrigeration, Cooling and Freezing Times of Foods: the surface coefficient 10 to 500, the plate
// up to 120 mm, the start up to 40 degC, the air -45 to -15; for box and ball Ste 0.155 to 0.345, Bi
// 0.5 to 4.5, Pk up to 0.55, a box up to four times as long as high. Outside, and for other shapes, it is
// an *InputError; a target that is not above the air a *NeverError.
func ClelandEarle(b Body, food material.Thermal, start, target, air unit.Temperature, h unit.HeatTransfer) (time.Duration, error) {
	if err := checkInput(b, food, start, target, air, h); err != nil {
		return 0, err
	}
	if b.Shape == Disc || b.Shape == Egg {
		return 0, &InputError{"shape", b.Shape.String(), "this formula knows plate, box and ball: ask Freezing"}
	}
	if target <= air {
		return 0, &NeverError{start, target, air}
	}
	first, freezes := food.FreezingPoint()
	if !freezes || target >= first || first <= -10 || start < first {
		return 0, &InputError{"target temperature", fmt.Sprintf("%.3g degC", target.Celsius()), "this formula goes from above the freezing point to below it, and needs that above -10 degC"}
	}
	rho := float64(food.Density(start))
	span := rho * float64(food.Enthalpy(first)-food.Enthalpy(-10))
	c := cleEarle{
		d: 2 * b.half(), h: float64(h), k: float64(food.Conductivity(target)), span: span,
		pk:  rho * float64(food.SpecificHeat(max(start, first))) * float64(start-first) / span,
		ste: rho * float64(food.Enthalpy(-20)-food.Enthalpy(-30)) / 10 * float64(first-air) / span,
	}
	if err := c.check(b, start, air); err != nil {
		return 0, err
	}
	p, r := c.factors(b)
	return duration(c.seconds(p, r, first, target, air))
}

// cleEarle holds the figures of the formula: full thickness, m; coefficient; conductivity of the frozen
// food; enthalpy from the freezing point to -10 degC, J/m3; Plank's and Stefan's numbers.
type cleEarle struct{ d, h, k, span, pk, ste float64 }

// bi is the Biot number of the full thickness, unlike everywhere else.
func (c cleEarle) bi() float64 { return c.h * c.d / c.k }

func (c cleEarle) check(b Body, start, air unit.Temperature) error {
	outside := func(name string, x, low, high float64) error {
		if x >= low && x <= high {
			return nil
		}
		return &InputError{name, fmt.Sprintf("%.3g", x), fmt.Sprintf("this formula was fitted from %g to %g: ask Freezing", low, high)}
	}
	b1, b2 := b.ratios()
	checks := []error{
		outside("start temperature", start.Celsius(), -10, 40), outside("air temperature", air.Celsius(), -45, -15),
	}
	if b.Shape == Plate {
		checks = append(checks, outside("surface coefficient", c.h, 10, 500), outside("plate thickness, m", c.d, 0, 0.12))
	} else {
		checks = append(checks, outside("Stefan number", c.ste, 0.155, 0.345), outside("Biot number", c.bi(), 0.5, 4.5), outside("Plank number", c.pk, 0, 0.55),
			outside("ratio of edges", b1, 1, 4), outside("ratio of edges", b2, 1, 4))
	}
	for _, err := range checks {
		if err != nil {
			return err
		}
	}
	return nil
}

// factors returns P and R' of the shape.
func (c cleEarle) factors(b Body) (p, r float64) {
	pk, ste, bi := c.pk, c.ste, c.bi()
	switch b.Shape {
	case Ball:
		return 0.1084 + 0.0924*pk + ste*(0.231*pk-0.3114/bi+0.6739), 0.0784 + ste*(0.0386*pk-0.1694)
	case Box:
		b1, b2 := b.ratios()
		p1 := b1 * b2 / (2 * (b1*b2 + b1 + b2))
		p2 := p1 * (1.026 + 0.5808*pk + ste*(0.2296*pk+0.0182/bi+0.105))
		r1 := boxR(b1, b2)
		r2 := r1 * (1.202 + ste*(3.410*pk+0.7336))
		return p2 + p1*(0.1136+ste*(5.766*p1-1.242)), r2 + r1*(0.7344+ste*(49.89*r1-2.900))
	}
	return 0.5072 + 0.2018*pk + ste*(0.3224*pk+0.0105/bi+0.0681), 0.1684 + ste*(0.274*pk-0.0135)
}

// boxR is Plank's R for a box (Plank 1913, in the same chapter).
func boxR(b1, b2 float64) float64 {
	q := math.Sqrt((b1-b2)*(b1-1) + (b2-1)*(b2-1))
	r := (b1 + b2 + 1 + q) / 3
	s := (b1 + b2 + 1 - q) / 3
	if q < 1e-9 { // a cube: the logarithms cancel to this limit
		return 1.0 / 24
	}
	return ((r-1)*(b1-r)*(b2-r)*math.Log(r/(r-1))-(s-1)*(b1-s)*(b2-s)*math.Log(s/(s-1)))/(8*q) + (2*b1+2*b2-1)/72
}

// seconds returns the freezing time for P and R'.
func (c cleEarle) seconds(p, r float64, first, target, air unit.Temperature) float64 {
	return c.span / float64(first-air) * (p*c.d/c.h + r*c.d*c.d/c.k) *
		(1 - 1.65*c.ste/c.k*math.Log(float64(target-air)/float64(-10-air)))
}
