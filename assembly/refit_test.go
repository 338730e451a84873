package assembly_test

import (
	"fmt"
	"math"
	"testing"

	"chablon/assembly"
	"chablon/mould"
	"chablon/unit"
)

// refittable is a ring of 180 × 45 mm with a cut base of 160 mm, an insert frozen in a ring of 140 mm,
// a band and a flooded glaze.
func refittable(t testing.TB) *assembly.Assembly {
	t.Helper()
	of := assembly.Component{StandIn: "mix", Density: unit.GramPerMillilitre}
	big, small := ring(t, 180*mm, 45*mm), ring(t, 140*mm, 20*mm)
	big.ID, small.ID, small.Role = "ring-180", "ring-140", mould.RoleMould
	return &assembly.Assembly{ID: "a", Mould: big, Layers: []assembly.Layer{
		{ID: "base", Kind: assembly.Base, Of: of, Thickness: 8 * mm, Outline: assembly.Outline{Own: mould.Circle(160 * mm)}},
		{ID: "band", Kind: assembly.Band, Of: of, Thickness: 4 * mm, BandHeight: 30 * mm, Overlap: 8 * mm},
		{ID: "insert", Kind: assembly.Insert, Of: of, MadeIn: small, Thickness: 15 * mm, Offset: assembly.At(14 * mm)},
		{ID: "mousse", Kind: assembly.Fill, Of: of, BelowRim: assembly.At(3 * mm)},
		{ID: "glaze", Kind: assembly.Coat, Of: of, Way: "flood"},
	}}
}

func TestRefit(t *testing.T) {
	t.Parallel()
	a := refittable(t)
	a.Layers[4].BelowRim = assembly.At(0)
	owned := func(d ...float64) []*mould.Mould {
		var out []*mould.Mould
		for _, x := range d {
			m := ring(t, unit.Length(x)*mm, 20*mm)
			m.ID, m.Name, m.Role = fmt.Sprint("ring-", x), "owned", mould.RoleMould
			out = append(out, m)
		}
		return out
	}
	place := func(s *assembly.Section, id string) *assembly.Placed {
		l, ok := s.Layer(id)
		if !ok {
			t.Fatalf("no layer %s", id)
		}
		return l
	}
	is := func(what string, got unit.Length, want float64) {
		t.Helper()
		if math.Abs(got.Millimetres()-want) > 1e-7 {
			t.Errorf("%s is %v mm, want %v", what, got.Millimetres(), want)
		}
	}
	to := ring(t, 220*mm, 60*mm)
	to.ID = "ring-220"

	t.Run("same thickness", func(t *testing.T) {
		r := a.Refit(to, assembly.SameThickness, owned(120, 160, 180, 200))
		s := r.Assembly.Lay(to)
		if len(s.Findings) > 0 {
			t.Error(s.Findings)
		}
		is("base", place(s, "base").Plan.Width, 200) // 10 mm to the wall, as before
		is("base's height", place(s, "base").Z1, 8)
		is("insert", place(s, "insert").Plan.Width, 180) // 20 mm to the wall
		is("insert's foot", place(s, "insert").Z0, 14)
		is("mousse", place(s, "mousse").Z1, 57) // 3 mm below the higher rim: it takes the rest
		is("strip", place(s, "band").StripLength, 216*math.Pi+8)
		if len(r.Changes) != 2 {
			t.Errorf("changes %+v, want the base's outline and the insert's mould", r.Changes)
		}
		// A ring of 175 leaves 22.5 mm instead of 20: snapped to, and said.
		r = a.Refit(to, assembly.SameThickness, owned(120, 175))
		is("insert", place(r.Assembly.Lay(to), "insert").Plan.Width, 175)
		// Nothing near is owned: cut, with the margin kept exactly.
		r = a.Refit(to, assembly.SameThickness, nil)
		l := place(r.Assembly.Lay(to), "insert")
		is("insert", l.Plan.Width, 180)
		is("insert's height", l.Z1-l.Z0, 15)
		if l.MadeIn != nil {
			t.Error("the insert is frozen in a mould that is not there")
		}
	})
	t.Run("proportional", func(t *testing.T) {
		r := a.Refit(to, assembly.Proportional, nil)
		s := r.Assembly.Lay(to)
		up, across := 60.0/45, 220.0/180
		is("base", place(s, "base").Z1, 8*up)
		is("base across", place(s, "base").Plan.Width, 220-2*10*across)
		is("band", place(s, "band").BandHeight, 30*up)
		is("band's thickness", place(s, "band").Thickness, 4*across)
		is("insert's foot", place(s, "insert").Z0, 14*up)
		is("mousse", place(s, "mousse").Z1, 60-3*up)
	})
	t.Run("same height", func(t *testing.T) {
		s := a.Refit(to, assembly.SameHeight, nil).Assembly.Lay(to)
		is("mousse", place(s, "mousse").Z1, 42)
		is("glaze", place(s, "glaze").Z1, 45)
	})
	t.Run("own mould", func(t *testing.T) {
		if r := a.Refit(a.Mould, assembly.Proportional, nil); r.Assembly != a || len(r.Changes) > 0 {
			t.Errorf("its own mould changes it: %+v", r.Changes)
		}
	})
	t.Run("override", func(t *testing.T) {
		b := *a
		b.Layers = append([]assembly.Layer(nil), a.Layers...)
		b.Layers[0].Overrides = map[string]assembly.Override{"ring-220": {Own: mould.Circle(150 * mm)}}
		is("base", place(b.Refit(to, assembly.SameThickness, nil).Assembly.Lay(to), "base").Plan.Width, 150)
	})
	t.Run("there and back", func(t *testing.T) {
		there := a.Refit(to, assembly.SameThickness, owned(180)).Assembly
		back := there.Refit(a.Mould, assembly.SameThickness, owned(140)).Assembly.Lay(a.Mould)
		first := a.Lay(a.Mould)
		for i := range first.Layers {
			if g, w := back.Layers[i].Mass, first.Layers[i].Mass; math.Abs(float64(g-w)) > 1e-9*float64(w) {
				t.Errorf("%s weighs %v there and back, %v at first", first.Layers[i].ID, g, w)
			}
		}
	})
}
