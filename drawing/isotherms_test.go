package drawing

import (
	"math"
	"testing"

	"chablon/assembly"
	"chablon/mould"
	"chablon/unit"
)

// On a field that is cold by the square of the distance from the middle of the floor, lines of equal
// temperature are circles; those drawn lie on them as near as straight stretches can.
func TestIsothermsLieOnCircles(t *testing.T) {
	t.Parallel()
	const mm = unit.Millimetre
	solid, err := mould.Ring(100*mm, 40*mm)
	if err != nil {
		t.Fatal(err)
	}
	m := &mould.Mould{ID: "ring", Name: "ring", Solid: solid, Cavities: 1}
	a := &assembly.Assembly{ID: "a", Mould: m, Layers: []assembly.Layer{{ID: "fill", Kind: assembly.Fill, Of: assembly.Component{StandIn: "cream", Density: 900}}}}
	s := a.Lay(m)
	f := Field{}
	for i := range 25 {
		f.X = append(f.X, unit.Length(2*i+1)*mm)
	}
	for k := range 20 {
		f.Z = append(f.Z, unit.Length(2*k+1)*mm)
	}
	for _, x := range f.X {
		for _, z := range f.Z {
			f.T = append(f.T, unit.Temperature(-(x*x+z*z)/(100*mm*mm)))
			f.In = append(f.In, true)
		}
	}
	const target = -9 // a circle of 30 mm
	for _, narrow := range []bool{false, true} {
		d := Isotherms(s, f, target, Options{Narrow: narrow})
		n, labels := 0, 0
		for _, item := range d.Items {
			switch x := item.(type) {
			case Path:
				if x.Stroke != Accent {
					continue
				}
				for _, p := range x.Loops[0] {
					r := math.Hypot(p.X-d.Axis, d.Ground-p.Y) * d.MMPerUnit
					if math.Abs(r-30) > 0.05 {
						t.Fatalf("the line of −9 °C passes %.3f mm from the middle, not 30", r)
					}
					n++
				}
			case Text:
				if x.Value == "−9°" {
					labels++
				}
			}
		}
		if n < 40 || labels != 1 {
			t.Errorf("narrow %v: %d points on the target's line, %d labels", narrow, n, labels)
		}
	}
	if d := Isotherms(s, Field{}, target, Options{}); d.Desc != "Nothing to draw." {
		t.Errorf("an empty field: %s", d.Desc)
	}
}
