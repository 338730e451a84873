package plan_test

import (
	"fmt"
	"math"
	"testing"
	"time"

	"pgregory.net/rapid"

	"chablon/assembly"
	"chablon/doubt"
	"chablon/formula"
	"chablon/ingredient"
	"chablon/kitchen"
	"chablon/mould"
	"chablon/plan"
	"chablon/unit"
)

const mm = unit.Millimetre

// saturdayNoon is a due time; nothing depends on which.
var saturdayNoon = time.Date(2026, 12, 5, 12, 0, 0, 0, time.UTC)

func must[T any](v T, err error) T {
	if err != nil {
		panic(err) // shapes of tests are drawn to be accepted
	}
	return v
}

func mouldOf(id string, s mould.Solid, role string) *mould.Mould {
	return &mould.Mould{ID: id, Name: id, Solid: s, Cavities: 1, Role: role}
}

func ringOf(d, h unit.Length) *mould.Mould { return mouldOf("ring", must(mould.Ring(d, h)), "mould") }

var sugar = &ingredient.Ingredient{ID: "sugar", Name: "Sugar", Density: 850}

// plain is a formula of sugar without steps or losses.
func plain(id string, written unit.Mass, density unit.Density) *formula.Formula {
	return &formula.Formula{ID: id, Name: id, Density: density, Lines: []formula.Line{{Ingredient: sugar, Name: "sugar", Mass: written}}}
}

func anyFormula(t *rapid.T, id string, nested ...*formula.Formula) *formula.Formula {
	f := plain(id, unit.Mass(rapid.Float64Range(0.1, 3).Draw(t, id+" written")), unit.Density(rapid.Float64Range(250, 1300).Draw(t, id+" density")))
	for _, n := range nested {
		f.Lines = append(f.Lines, formula.Line{Formula: n, Name: n.ID, Mass: unit.Mass(rapid.Float64Range(0.05, 0.5).Draw(t, id+" of "+n.ID))})
	}
	for _, name := range []string{"bowl", "evaporation", "piping"} {
		switch rapid.IntRange(0, 2).Draw(t, id+" "+name) {
		case 0:
			f.Losses = append(f.Losses, formula.Loss{Name: name, Share: rapid.Float64Range(0, 0.3).Draw(t, "share")})
		case 1:
			f.Losses = append(f.Losses, formula.Loss{Name: name, PerBatch: unit.Mass(rapid.Float64Range(0, 0.05).Draw(t, "mass"))})
		}
	}
	if rapid.Bool().Draw(t, id+" least") {
		f.Least = unit.Mass(rapid.Float64Range(0.1, 2).Draw(t, "least"))
	}
	f.Whole = rapid.IntRange(0, 3).Draw(t, id+" whole") == 0
	f.MadeIn = formula.Vessel(rapid.IntRange(0, 2).Draw(t, id+" made in"))
	return f
}

// anyJob draws a job of a lined ring cake and its components, nested ones among them.
func anyJob(t *rapid.T) plan.Job {
	syrup := anyFormula(t, "syrup")
	nested := anyFormula(t, "nested", syrup)
	mousse := anyFormula(t, "mousse", nested, syrup)
	sponge := anyFormula(t, "sponge")
	sponge.MadeIn = formula.Sheet
	glaze := anyFormula(t, "glaze", nested)
	corner := unit.Length(rapid.Float64Range(0, 40).Draw(t, "corner of the sheet")) * mm
	sheet := mouldOf("sheet", must(mould.Frame(600*mm, 400*mm, 20*mm, corner, min(corner, 6*mm))), "sheet")
	m := ringOf(unit.Length(rapid.Float64Range(60, 240).Draw(t, "d"))*mm, 60*mm)
	of := func(f *formula.Formula) assembly.Component { return assembly.Component{Formula: f} }
	a := &assembly.Assembly{ID: "cake", Name: "Cake", Mould: m, Layers: []assembly.Layer{
		{ID: "band", Kind: assembly.Band, Of: of(sponge), MadeIn: sheet, Thickness: 5 * mm, BandHeight: 40 * mm, BandPieces: 2, Overlap: unit.Length(rapid.IntRange(0, 9).Draw(t, "overlap")) * mm},
		{ID: "base", Kind: assembly.Base, Of: of(sponge), MadeIn: sheet, Thickness: unit.Length(rapid.SampledFrom([]int{5, 9}).Draw(t, "base")) * mm},
		{ID: "mousse", Kind: assembly.Fill, Of: of(mousse), BelowRim: assembly.At(3 * mm)},
		{ID: "glaze", Kind: assembly.Coat, Of: of(glaze), Way: "pour", Film: 2 * mm, Stays: rapid.Float64Range(0.3, 1).Draw(t, "stays"), Reused: rapid.Bool().Draw(t, "reused"), LeastToPour: unit.Mass(rapid.Float64Range(0, 0.5).Draw(t, "least to pour"))},
		{ID: "sugar", Kind: assembly.Decor, Of: assembly.Component{Ingredient: sugar}, Pieces: 3, Each: unit.Gram},
	}}
	job := plan.Job{Kitchen: kitchen.Default(), Orders: []plan.Order{{ID: "order", Due: saturdayNoon, Lines: []plan.Line{
		{Assembly: a, Mould: m, Pieces: rapid.IntRange(1, 30).Draw(t, "pieces")},
		{Assembly: a, Mould: m, Pieces: rapid.IntRange(1, 5).Draw(t, "more")},
	}}}, Stock: map[string]unit.Mass{}}
	for _, f := range []*formula.Formula{mousse, glaze, syrup} {
		if rapid.Bool().Draw(t, f.ID+" in stock") {
			job.Stock[f.ID] = unit.Mass(rapid.Float64Range(0, 3).Draw(t, "stock"))
		}
	}
	return job
}

// What goes into all batches is in the pieces, named as lost, or left over, to 1e-9; the lines
// weigh what goes in, and what is bought covers them.
func TestMassIsConserved(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		job := anyJob(t)
		d := plan.Amounts(job)
		if d.Findings.Has("cannot-make") || d.Findings.Has("sheet-too-small") {
			t.Fatal(d.Findings)
		}
		used := map[string]unit.Mass{}
		for i := range d.Batches {
			b := &d.Batches[i]
			near(t, b.Formula.ID+": needed, lost and left", b.Needed+b.Lost()+b.Left(), b.ToMake)
			var lines unit.Mass
			for _, l := range b.Each.Lines {
				id, _ := l.Of()
				lines += l.Mass * unit.Mass(b.Count)
				used[id] += l.Mass * unit.Mass(b.Count)
			}
			near(t, b.Formula.ID+": lines", lines, b.ToMake)
			if b.Needed < 0 || b.ToMake < b.Needed-1e-12 {
				t.Fatalf("%s: needed %v, to make %v", b.Formula.ID, b.Needed, b.ToMake)
			}
			for _, l := range append(b.Losses, b.LeftOver...) {
				if l.Mass < -1e-9 {
					t.Fatalf("%s: %s of %v", b.Formula.ID, l.Name, l.Mass)
				}
			}
			if b.Formula.Whole && math.Abs(b.Each.Factor-math.Round(b.Each.Factor)) > 1e-9 {
				t.Fatalf("%s: %v times a formula that is made whole", b.Formula.ID, b.Each.Factor)
			}
			if b.Formula.Least > 0 && b.Each.Out*unit.Mass(b.Count) < b.Formula.Least-1e-9 {
				t.Fatalf("%s: %v is less than the least batch %v", b.Formula.ID, b.Each.Out, b.Formula.Least)
			}
		}
		// What the pieces take is what the batches give or the stock has, nested uses included.
		for _, p := range d.Pieces {
			for _, c := range p.Components {
				used[c.ID] += c.Needed
			}
		}
		for i := range d.Batches {
			b := &d.Batches[i]
			near(t, b.Formula.ID+": used", used[b.Formula.ID], b.Needed+min(job.Stock[b.Formula.ID], used[b.Formula.ID]))
		}
		for _, item := range d.Purchase {
			near(t, "purchase of "+item.ID, item.Need, used[item.ID])
			if item.BuyMass < item.Need {
				t.Fatalf("buys %v of %s, but %v are needed", item.BuyMass, item.ID, item.Need)
			}
		}
	})
}

func near(t *rapid.T, what string, got, want unit.Mass) {
	t.Helper()
	if math.Abs(float64(got-want)) > 1e-9*math.Max(float64(want), 1e-3) {
		t.Fatalf("%s: %.12g kg, want %.12g", what, got, want)
	}
}

func TestTwiceThePiecesNeedTwice(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		job := anyJob(t)
		job.Stock = nil
		one := plan.Amounts(job)
		lines := append([]plan.Line(nil), job.Orders[0].Lines...)
		for i := range lines {
			lines[i].Pieces *= 2
		}
		job.Orders = []plan.Order{{ID: "order", Due: saturdayNoon, Lines: lines}}
		two := plan.Amounts(job)
		for i := range one.Pieces {
			for k, c := range one.Pieces[i].Components {
				if got := two.Pieces[i].Components[k].Needed; got != 2*c.Needed {
					t.Fatalf("%s: %v, twice %v", c.ID, got, c.Needed)
				}
			}
		}
		for i := range one.Batches {
			switch b := &one.Batches[i]; b.Formula.ID {
			case "mousse", "glaze", "sponge": // taken by pieces alone
				if got := two.Batches[i].Needed; two.Batches[i].Formula != b.Formula || got != 2*b.Needed {
					t.Fatalf("%s: needs %v, twice %v", b.Formula.ID, got, b.Needed)
				}
			}
		}
	})
}

// cake lays one fill of a formula into a ring that it fills: 1 litre.
func litre(f *formula.Formula, pieces int) plan.Job {
	m := mouldOf("litre", must(mould.Frame(100*mm, 100*mm, 100*mm, 0, 0)), "mould")
	a := &assembly.Assembly{ID: "cake", Name: "Cake", Mould: m, Layers: []assembly.Layer{{ID: "fill", Kind: assembly.Fill, Of: assembly.Component{Formula: f}}}}
	return plan.Job{Kitchen: kitchen.Default(), Orders: []plan.Order{{ID: "order", Due: saturdayNoon, Lines: []plan.Line{{Assembly: a, Mould: m, Pieces: pieces}}}}}
}

func only(t *testing.T, d *plan.Day) *plan.Batch {
	t.Helper()
	if len(d.Batches) != 1 {
		t.Fatalf("%d batches, want one: %+v %+v", len(d.Batches), d.Batches, d.Findings)
	}
	return &d.Batches[0]
}

func left(b *plan.Batch, name string) unit.Mass {
	for _, l := range append(b.LeftOver, b.Losses...) {
		if l.Name == name {
			return l.Mass
		}
	}
	return 0
}

// Batches, by hand: a fill of 1 litre at 500 g/l a piece. Its doubt is 2 % of what is filled in, and
// of the mould ± 0.3 mm in width, which counts twice, and in height, evenly spread (a deviation of
// 0.3/√3); of a mix without air none of the batch. One component at 95 % takes 1.644854
// deviations of its logarithm (bib:abramowitz-stegun, table 26.1).
func TestBatches(t *testing.T) {
	t.Parallel()
	const z95 = 1.6448536269514722
	mix := func(change func(f *formula.Formula)) *formula.Formula {
		f := plain("mix", 1, 500)
		if change != nil {
			change(f)
		}
		return f
	}
	reserve := func(pieces float64) float64 {
		return 0.5 * pieces * (math.Exp(z95*doubtOfALitre(pieces)) - 1)
	}
	for _, c := range []struct {
		name        string
		f           *formula.Formula
		pieces      int
		stock       unit.Mass
		count       int
		needed, out float64 // kg
		what        string
		left        float64
	}{
		{name: "plain", f: mix(nil), pieces: 4, count: 1, needed: 2, out: 2 + reserve(4), what: "reserve", left: reserve(4)},
		{name: "least batch", f: mix(func(f *formula.Formula) { f.Least = 3 }), pieces: 4, count: 1, needed: 2, out: 3, what: "least batch", left: 1},
		{name: "most batch", f: mix(func(f *formula.Formula) { f.Most = 0.7 }), pieces: 4, count: 3, needed: 2, out: 2 + reserve(4), what: "reserve", left: reserve(4)},
		// 2.03 kg of the mix at 850 g/l (sugar) stand at 2.4 l; a bowl of 5 l takes 4 l: 3.4 kg.
		{name: "two bowls", f: mix(func(f *formula.Formula) { f.MadeIn = formula.Bowl }), pieces: 8, count: 2, needed: 4, out: 4 + reserve(8), what: "reserve", left: reserve(8)},
		// A pot of 3 l takes 2.1 l: 1.785 kg.
		{name: "three pots", f: mix(func(f *formula.Formula) { f.MadeIn = formula.Pot }), pieces: 8, count: 3, needed: 4, out: 4 + reserve(8), what: "reserve", left: reserve(8)},
		{name: "whole formulas", f: mix(func(f *formula.Formula) { f.Whole = true }), pieces: 4, count: 1, needed: 2, out: 3, what: "whole formula", left: 1 - reserve(4)},
		// Whole formulas of 1 kg in bowls of 3.4 kg: 4.05 kg in two batches of 3 whole ones.
		{name: "whole formulas in bowls", f: mix(func(f *formula.Formula) { f.Whole, f.MadeIn = true, formula.Bowl }), pieces: 8, count: 2, needed: 4, out: 6, what: "whole formula", left: 2 - reserve(8)},
		{name: "some in stock", f: mix(nil), pieces: 4, stock: 0.5, count: 1, needed: 1.5, out: 1.5 + reserve(4), what: "reserve", left: reserve(4)},
		{name: "all but the reserve in stock", f: mix(nil), pieces: 4, stock: 2 + 0.01, count: 1, needed: 0, out: reserve(4) - 0.01, what: "reserve", left: reserve(4) - 0.01},
	} {
		t.Run(c.name, func(t *testing.T) {
			job := litre(c.f, c.pieces)
			job.Stock = map[string]unit.Mass{"mix": c.stock}
			b := only(t, plan.Amounts(job))
			out := float64(b.Each.Out) * float64(b.Count)
			if b.Count != c.count || math.Abs(float64(b.Needed)-c.needed) > 1e-12 || math.Abs(out-c.out) > 1e-9 {
				t.Errorf("got %d batches, %v kg needed, %v kg made; want %d, %v, %v", b.Count, b.Needed, out, c.count, c.needed, c.out)
			}
			if got := float64(left(b, c.what)); math.Abs(got-c.left) > 1e-9 {
				t.Errorf("%s: got %v kg, want %v", c.what, got, c.left)
			}
		})
	}
	// Stock is part of what there is: one component runs short in 5 of 100 cases with it or without.
	for _, stock := range []unit.Mass{0, 0.5, 2.01} {
		job := litre(mix(nil), 4)
		job.Stock = map[string]unit.Mass{"mix": stock}
		sure, err := plan.Amounts(job).How(1<<14, 7, 2)
		if err != nil {
			t.Fatal(err)
		}
		if math.Abs(sure.Enough-0.95) > 0.005 {
			t.Errorf("with %v in stock the amounts suffice in %v of cases", stock.Show(), sure.Enough)
		}
	}
	job := litre(mix(func(f *formula.Formula) { f.Least = 3 }), 4)
	job.Stock = map[string]unit.Mass{"mix": 2.1}
	if d := plan.Amounts(job); len(d.Batches) > 0 {
		t.Errorf("stock covers all, and %v kg are made", d.Batches[0].ToMake)
	}
	if d := plan.Amounts(litre(plain("mix", 0, 500), 1)); !d.Findings.Has("cannot-make") {
		t.Error("a formula without a mass is made")
	}
}

// doubtOfALitre is one standard deviation of the logarithm of what so many pieces of litre take:
// each cause one of its own deviations up, the width counted twice.
func doubtOfALitre(pieces float64) float64 {
	side := math.Log1p(0.003 / math.Sqrt(3*pieces))
	return math.Sqrt(math.Pow(math.Log1p(0.02/math.Sqrt(pieces)), 2) + (4+1)*side*side)
}

// The reserve of two components at once. Both must do in 95 % of cases: along Φ(a) Φ(b) = 0.95 a
// search finds the levels that leave the least over. That the mould moves both hardly counts beside
// the hand that fills. The doubt of a whole batch adds up over its pieces where that of a piece does not.
func TestReserve(t *testing.T) {
	t.Parallel()
	f, g := plain("mix", 1, 500), plain("other", 1, 1000)
	f.DensityLow, f.DensityHigh = 450, 550 // ± 10 % at 90 %: one deviation is 10/1.644854 %
	job := litre(f, 4)
	a := job.Orders[0].Lines[0].Assembly
	a.Layers[0].Level = assembly.At(50 * mm)
	a.Layers = append(a.Layers, assembly.Layer{ID: "top", Kind: assembly.Fill, Of: assembly.Component{Formula: g}})
	// Of a box filled to a fixed 50 mm the height does not count, of what is on it up to the rim
	// twice: 0.3 mm of 50.
	hand, side := math.Log1p(0.02/2), math.Log1p(0.003/math.Sqrt(12))
	mix := math.Sqrt(hand*hand + 4*side*side + math.Pow(math.Log1p(0.1/1.6448536269514722), 2))
	other := math.Sqrt(hand*hand + 4*side*side + math.Pow(math.Log1p(0.006/math.Sqrt(12)), 2))
	over := func(a, b float64) float64 { return 1*math.Expm1(a*mix) + 2*math.Expm1(b*other) }
	best, levelOfMix := math.Inf(1), 0.0
	for a := 1.65; a < 4; a += 1e-4 {
		if m := over(a, doubt.Score(0.95/doubt.Probability(a))); m < best {
			best, levelOfMix = m, a
		}
	}
	got := 0.0
	for _, b := range plan.Amounts(job).Batches {
		got += float64(left(&b, "reserve"))
		if b.Formula != f {
			continue
		}
		if a := math.Log1p(float64(left(&b, "reserve"))/1) / mix; math.Abs(a-levelOfMix) > 0.03 {
			t.Errorf("the mix is made to %.4f deviations, want about %.4f", a, levelOfMix)
		}
	}
	if math.Abs(got-best) > 0.01*best {
		t.Errorf("%v kg are left over, want %v within 1 %%", got, best)
	}
}

// What there is anyway bears no risk: the least batch of one component leaves the other, alone, at
// 95 %.
func TestNothingIsAddedToTheLeastBatch(t *testing.T) {
	t.Parallel()
	f, g := plain("mix", 1, 500), plain("other", 1, 1000)
	g.Least = 3
	job := litre(f, 4)
	a := job.Orders[0].Lines[0].Assembly
	a.Layers[0].Level = assembly.At(50 * mm)
	a.Layers = append(a.Layers, assembly.Layer{ID: "top", Kind: assembly.Fill, Of: assembly.Component{Formula: g}})
	hand, side := math.Log1p(0.02/2), math.Log1p(0.003/math.Sqrt(12))
	want := math.Expm1(1.6448536269514722 * math.Sqrt(hand*hand+4*side*side))
	found := false
	for _, b := range plan.Amounts(job).Batches {
		if b.Formula != f {
			continue
		}
		found = true
		if got := float64(left(&b, "reserve")); math.Abs(got-want) > 1e-9 {
			t.Errorf("a reserve of %v kg, want %v", got, want)
		}
	}
	if !found {
		t.Error("no mix is made")
	}
}

// What is made suffices as often as asked, by a sample of 32768 draws through the pieces
// themselves, and is not much more than that takes.
func TestMadeForTheConfidenceAsked(t *testing.T) {
	t.Parallel()
	f, g := plain("mix", 1, 500), plain("other", 1, 1000)
	f.DensityLow, f.DensityHigh = 450, 550
	for _, asked := range []float64{0.8, 0.95, 0.99} {
		job := litre(f, 4)
		job.Kitchen.Confidence = asked
		a := job.Orders[0].Lines[0].Assembly
		a.Layers[0].Level = assembly.At(50 * mm)
		a.Layers = append(a.Layers, assembly.Layer{ID: "top", Kind: assembly.Fill, Of: assembly.Component{Formula: g}})
		sure, err := plan.Amounts(job).How(1<<15, 3, 2)
		if err != nil {
			t.Fatal(err)
		}
		if math.Abs(sure.Enough-asked) > 0.012 {
			t.Errorf("asked for %v, the amounts suffice in %v of cases", asked, sure.Enough)
		}
		if first := sure.Components[0].Causes[0]; first.Factor.ID != "density mix" || first.Share < 0.9 {
			t.Errorf("the doubt of the mix comes from %+v, want its density", first)
		}
	}
}

// Coats: 2 mm over a box of 100 mm, inverted or not: 104 × 104 × 102 − 100³ mm³ = 103,232 mm³.
func TestRunOff(t *testing.T) {
	t.Parallel()
	const film = 0.103232 // kg at 1 g/ml
	for _, c := range []struct {
		name                 string
		reused               bool
		least                unit.Mass
		runOff, kept, toPour float64
	}{
		{"lost", false, 0, 5 * film, 0, 0},
		{"kept", true, 0, 0, film, 0},
		{"least to pour", true, 0.3, 0, film, 0.3 - 2*film},
		{"least to pour, lost", false, 0.3, 5 * film, 0, 0.3 - 2*film},
		{"enough in hand", true, 0.2, 0, film, 0},
	} {
		t.Run(c.name, func(t *testing.T) {
			job := litre(plain("mix", 1, 500), 5)
			a := job.Orders[0].Lines[0].Assembly
			glaze := plain("glaze", 1, 1000)
			a.Layers = append(a.Layers, assembly.Layer{ID: "glaze", Kind: assembly.Coat, Way: "pour", Film: 2 * mm, Stays: 0.5, Reused: c.reused, LeastToPour: c.least, Of: assembly.Component{Formula: glaze}})
			d := plan.Amounts(job)
			for i := range d.Batches {
				b := &d.Batches[i]
				if b.Formula != glaze {
					continue
				}
				for name, want := range map[string]float64{"run-off": c.runOff, "run-off kept": c.kept, "to pour the last piece": c.toPour} {
					if got := float64(left(b, name)); math.Abs(got-want) > 1e-9 {
						t.Errorf("%s: got %v kg, want %v", name, got, want)
					}
				}
				if math.Abs(float64(b.Needed)-5*film) > 1e-9 {
					t.Errorf("needed %v kg, want %v", b.Needed, 5*film)
				}
			}
		})
	}
}

// Sheets: pieces, joints and trimmings are the whole sheets.
func TestSheets(t *testing.T) {
	t.Parallel()
	sponge := plain("sponge", 1, 300)
	sponge.MadeIn = formula.Sheet
	sheet := mouldOf("sheet", must(mould.Frame(600*mm, 400*mm, 20*mm, 0, 0)), "sheet")
	m := ringOf(180*mm, 45*mm)
	a := &assembly.Assembly{ID: "cake", Mould: m, Layers: []assembly.Layer{
		{ID: "band", Kind: assembly.Band, MadeIn: sheet, Of: assembly.Component{Formula: sponge}, Thickness: 5 * mm, BandHeight: 40 * mm, Overlap: 10 * mm},
		{ID: "base", Kind: assembly.Base, MadeIn: sheet, Of: assembly.Component{Formula: sponge}, Thickness: 5 * mm},
	}}
	job := plan.Job{Kitchen: kitchen.Default(), Orders: []plan.Order{{ID: "order", Due: saturdayNoon, Lines: []plan.Line{{Assembly: a, Mould: m, Pieces: 12}}}}}
	b := only(t, plan.Amounts(job))
	if len(b.Sheets) != 1 {
		t.Fatalf("%d kinds of sheet, want one", len(b.Sheets))
	}
	s := b.Sheets[0]
	flat := float64(s.Count) * 0.6 * 0.4 * 0.005 * 300
	strip := math.Pi*0.175 + 0.01
	pieces := 12 * 300 * 0.005 * (math.Pi*0.175*0.04 + math.Pi*0.085*0.085)
	joints := 12 * 300 * 0.005 * 0.01 * 0.04
	trimmings := flat - 12*300*0.005*(strip*0.04+math.Pi*0.085*0.085)
	for _, c := range []struct {
		what      string
		got, want float64
	}{
		{"sheets", float64(s.EachMass) * float64(s.Count), flat},
		{"needed", float64(b.Needed), pieces},
		{"joints", float64(left(b, "joints")), joints},
		{"trimmings", float64(left(b, "trimmings")), trimmings},
		{"to make", float64(b.ToMake), flat},
	} {
		if math.Abs(c.got-c.want) > 1e-9 {
			t.Errorf("%s: got %v kg, want %v", c.what, c.got, c.want)
		}
	}
	if left(b, "reserve") != 0 {
		t.Errorf("whole sheets have a reserve of %v", left(b, "reserve"))
	}
	// An oven of two trays: sheets over two are further batches.
	if want := (s.Count + 1) / 2; b.Count != want {
		t.Errorf("%d sheets in an oven of 2 trays are %d batches, want %d", s.Count, b.Count, want)
	}
	a.Layers[0].Overlap = 60 * mm // 610 mm: no sheet gives that
	if d := plan.Amounts(job); !d.Findings.Has("sheet-too-small") || !d.Findings.Has("band-longer-than-sheet") {
		t.Errorf("a strip longer than the sheet is not found: %v", d.Findings)
	}
}

func TestStandInsAndMoulds(t *testing.T) {
	t.Parallel()
	job := litre(plain("mix", 1, 500), 3)
	line := job.Orders[0].Lines[0]
	idea := &assembly.Assembly{ID: "idea", Mould: line.Mould, Layers: []assembly.Layer{{ID: "fill", Kind: assembly.Fill, Of: assembly.Component{StandIn: "yuzu foam", Density: 400}}}}
	job.Orders[0].Lines = append(job.Orders[0].Lines, plan.Line{Assembly: idea, Mould: line.Mould, Pieces: 2})
	d := plan.Amounts(job)
	if len(d.StandIns) != 1 || math.Abs(float64(d.StandIns[0].Needed)-0.8) > 1e-12 {
		t.Errorf("stand-ins are %+v, want 0.8 kg of yuzu foam", d.StandIns)
	}
	for _, f := range d.Findings {
		if f.Code == "stand-in" && f.Where != `assembly idea, layer "fill"` {
			t.Errorf("the stand-in is said to be in %s", f.Where)
		}
	}
	if d.Findings.Has("moulds-short") {
		t.Error("a kitchen that lists no moulds is judged")
	}
	for have, short := range map[int]bool{4: true, 5: false} {
		job.Kitchen.Moulds = map[string]int{"litre": have}
		if got := plan.Amounts(job).Findings.Has("moulds-short"); got != short {
			t.Errorf("%d of 5 moulds owned: found short %v", have, got)
		}
	}
	line.Mould.Cavities = 3
	job.Kitchen.Moulds["litre"] = 2
	if plan.Amounts(job).Findings.Has("moulds-short") {
		t.Error("two moulds of three cavities do not take five pieces")
	}
	if s := fmt.Sprint(d.Batches[0].Vessel); s != "1 batch" {
		t.Errorf("vessel is %q", s)
	}
}
