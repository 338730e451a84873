package assembly_test

import (
	"math"
	"math/rand/v2"
	"testing"

	"pgregory.net/rapid"

	"chablon/assembly"
	"chablon/mould"
	"chablon/unit"
)

// anyBuilt draws an assembly that fits.
func anyBuilt(t *rapid.T) *built {
	return build(rand.New(rand.NewPCG(rapid.Uint64().Draw(t, "seed"), 1)), "cake", 1)
}

// All that stands in the mould up to the level of the last fill, layer by layer, is the mould up
// to there: nothing vanishes and nothing counts twice.
func TestLayersFillTheMould(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		b := anyBuilt(t)
		s := b.a.Lay(b.m)
		level := unit.Length(0)
		for _, l := range s.Layers {
			if l.Kind == assembly.Fill || l.Flooded() {
				level = max(level, l.Z1)
			}
		}
		var sum unit.Volume
		for _, l := range s.Layers {
			if l.Kind == assembly.Coat && !l.Flooded() {
				continue
			}
			if l.Z1 > level+1e-12 {
				t.Skip("a band stands above what is filled")
			}
			sum += l.Volume
		}
		if want := b.m.Solid.Below(level); math.Abs(float64(sum-want)) > 1e-9*float64(want) {
			t.Fatalf("layers add up to %.9g ml, the mould holds %.9g up to there\n%s", sum.Millilitres(), want.Millilitres(), b)
		}
	})
}

func TestStagesAddUpToTheFill(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		b := anyBuilt(t)
		for _, l := range b.a.Lay(b.m).Layers {
			if len(l.Stages) == 0 {
				continue
			}
			var v unit.Volume
			var m unit.Mass
			for _, f := range l.Filled {
				v, m = v+f.Volume, m+f.Mass
			}
			if len(l.Filled) != len(l.Stages) || math.Abs(float64(v-l.Volume)) > 1e-9*float64(l.Volume) || math.Abs(float64(m-l.Mass)) > 1e-9*float64(l.Mass) {
				t.Fatalf("%d stages add up to %v and %v, the fill is %v and %v", len(l.Filled), v, m, l.Volume, l.Mass)
			}
		}
	})
}

// The half section of a turned piece, turned about the axis, has the volume of the layer:
// frusta between the heights that it gives. 0.5 % is what its drawing may miss of a curve.
func TestRegionRevolvesToVolume(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		b := anyBuilt(t)
		if b.form.kind == "frame" {
			t.Skip("not turned")
		}
		s := b.a.Lay(b.m)
		for _, l := range s.Layers {
			if l.Kind == assembly.Insert && !l.Plan.IsCircle() || l.Inside != nil {
				continue
			}
			if l.Kind == assembly.Fill {
				if in, ok := s.Layer("heart"); ok && !in.Plan.IsCircle() {
					continue
				}
			}
			got, want := revolved(l.Region), float64(l.Volume)
			if math.Abs(got-want) > 0.005*want {
				t.Fatalf("layer %s: half section revolves to %.6g ml, volume is %.6g\n%s", l.ID, got*1e6, want*1e6, b)
			}
		}
	})
}

func revolved(r assembly.Region) float64 {
	sum := 0.0
	frustum := func(h, a, b float64) float64 { return math.Pi * h * (a*a + a*b + b*b) / 3 }
	for i := 1; i < len(r.Z); i++ {
		h := float64(r.Z[i] - r.Z[i-1])
		sum += frustum(h, float64(r.Out[i-1]), float64(r.Out[i])) - frustum(h, float64(r.In[i-1]), float64(r.In[i]))
	}
	return sum
}

func TestRegionsAscend(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		b := anyBuilt(t)
		for _, l := range b.a.Lay(b.m).Layers {
			for i := range l.Region.Z {
				if i > 0 && l.Region.Z[i] < l.Region.Z[i-1] || l.Region.In[i] > l.Region.Out[i] || l.Region.In[i] < 0 {
					t.Fatalf("layer %s: the half section runs back at %d: %v", l.ID, i, l.Region)
				}
			}
			over := l.Region.TurnOver(0).TurnOver(0)
			for i := range over.Z {
				if over.Z[i] != l.Region.Z[i] || over.Out[i] != l.Region.Out[i] {
					t.Fatal("turning over twice is not the identity")
				}
			}
		}
	})
}

// mousseRing is a ring with a base, an optional disc and one fill.
func mousseRing(t *rapid.T, m *mould.Mould, disc unit.Length, level unit.Length) *assembly.Placed {
	of := assembly.Component{StandIn: "mousse", Density: 500}
	a := &assembly.Assembly{ID: "cake", Mould: m, Layers: []assembly.Layer{
		{ID: "base", Kind: assembly.Base, Of: of, Thickness: 5 * mm},
		{ID: "mousse", Kind: assembly.Fill, Of: of, Level: assembly.At(level)},
	}}
	if disc > 0 {
		a.Layers = append(a.Layers, assembly.Layer{ID: "disc", Kind: assembly.Disc, Of: of, Thickness: 6 * mm, Offset: assembly.At(8 * mm), Outline: assembly.Outline{Own: mould.Circle(disc)}})
	}
	s := a.Lay(m)
	if len(s.Findings) > 0 {
		t.Fatal(s.Findings)
	}
	l, _ := s.Layer("mousse")
	return l
}

func TestDiscsAndLevels(t *testing.T) {
	t.Parallel()
	m := ring(t, 180*mm, 45*mm)
	rapid.Check(t, func(t *rapid.T) {
		level := unit.Length(rapid.Float64Range(6, 44).Draw(t, "level")) * mm
		higher := level + (45*mm-level)*unit.Length(rapid.Float64Range(0.001, 1).Draw(t, "rise"))
		disc := unit.Length(rapid.Float64Range(1, 180).Draw(t, "disc")) * mm
		with, without := mousseRing(t, m, disc, level).Volume, mousseRing(t, m, 0, level).Volume
		if with > without {
			t.Fatalf("a disc of %v raises the fill from %v to %v", disc, without, with)
		}
		if up := mousseRing(t, m, disc, higher).Volume; !(up >= with*(1-1e-12)) || disc < 179*mm && !(up > with) {
			t.Fatalf("raising the level from %v to %v changes the fill from %v to %v", level, higher, with, up)
		}
	})
}

// A stage given as a share of the fill is that share of it, whatever is pressed in above it.
func TestSharesOfAFill(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		b := anyBuilt(t)
		if b.form.kind == "dome" {
			t.Skip("the heart of a dome has no room to move")
		}
		first, second := rapid.Float64Range(0.1, 0.3).Draw(t, "first"), rapid.Float64Range(0.05, 0.2).Draw(t, "second")
		for i := range b.a.Layers {
			if l := &b.a.Layers[i]; l.ID == "mousse" {
				l.Level, l.BelowRim = assembly.Height{}, assembly.At(6*mm)
				l.Stages = []assembly.Stage{{Share: first}, {Share: second}, {After: "heart"}}
			}
		}
		s := b.a.Lay(b.m)
		l, _ := s.Layer("mousse")
		if len(l.Filled) != 3 {
			t.Fatalf("%d stages are filled, want 3: %v", len(l.Filled), s.Findings)
		}
		for k, share := range []float64{first, second, 1 - first - second} {
			if got := float64(l.Filled[k].Volume / l.Volume); math.Abs(got-share) > 1e-9 {
				t.Fatalf("stage %d is %.12f of the fill, want %.12f", k+1, got, share)
			}
		}
		if heart, _ := s.Layer("heart"); math.Abs(float64(heart.Z0-l.Filled[0].Z1)) > 1e-9 && heart.Z0 < l.Filled[1].Z1-1e-9 {
			t.Fatalf("the heart lies at %v, on neither stage", heart.Z0)
		}
	})
}

// Laying changes nothing in the assembly, so that laying again gives the same.
func TestLayingTwice(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		b := anyBuilt(t)
		one, two := b.a.Lay(b.m), b.a.Lay(b.m)
		for i := range one.Layers {
			x, y := &one.Layers[i], &two.Layers[i]
			if x.Volume != y.Volume || x.Mass != y.Mass || x.Z0 != y.Z0 || x.Z1 != y.Z1 {
				t.Fatalf("layer %s differs: %+v, %+v", x.ID, x, y)
			}
		}
		var parts unit.Mass
		for _, p := range one.Parts() {
			parts += p.Each
		}
		if math.Abs(float64(parts-one.Mass())) > 1e-12 {
			t.Fatalf("parts weigh %v, the piece %v", parts, one.Mass())
		}
	})
}

// No input, however absurd, gives a figure that is not a number.
func TestAbsurdLayersStayFinite(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		b := anyBuilt(t)
		length := func(name string) unit.Length {
			return unit.Length(rapid.SampledFrom([]float64{-9000, -1, -1e-9, 0, 1e-9, 0.5, 7, 44, 60, 1e3, 9e3, 1e7}).Draw(t, name)) * mm
		}
		for i := range b.a.Layers {
			l := &b.a.Layers[i]
			switch rapid.IntRange(0, 8).Draw(t, "what") {
			case 0:
				l.Thickness = length("thickness")
			case 1:
				l.Level = assembly.At(length("level"))
			case 2:
				l.Offset = assembly.At(length("offset"))
			case 3:
				l.Outline = assembly.Outline{Inset: assembly.At(length("inset"))}
			case 4:
				l.BandHeight, l.Film = length("height"), length("film")
			case 5:
				l.Stages = []assembly.Stage{{Level: assembly.At(length("stage"))}, {Share: 3}, {}}
			case 6:
				l.BelowRim = assembly.At(length("below"))
			case 7:
				l.Kind = assembly.Kind(rapid.IntRange(0, 8).Draw(t, "kind"))
			}
		}
		s := b.a.Lay(b.m)
		for _, l := range s.Layers {
			for _, x := range []float64{float64(l.Z0), float64(l.Z1), float64(l.Volume), float64(l.Mass), float64(l.StripLength), float64(l.Poured)} {
				if math.IsNaN(x) || math.IsInf(x, 0) {
					t.Fatalf("layer %s: %+v", l.ID, l)
				}
			}
			if l.Volume < 0 || l.Mass < 0 {
				t.Fatalf("layer %s has %v and %v\n%s", l.ID, l.Volume, l.Mass, b)
			}
			for i := range l.Region.Z {
				if x := float64(l.Region.Z[i] + l.Region.In[i] + l.Region.Out[i]); math.IsNaN(x) || math.IsInf(x, 0) {
					t.Fatalf("layer %s: half section %+v", l.ID, l.Region)
				}
			}
		}
	})
}
