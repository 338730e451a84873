package plan_test

import (
	"math"
	"math/rand/v2"
	"testing"

	"chablon/assembly"
	"chablon/doubt"
	"chablon/formula"
	"chablon/internal/demo"
	"chablon/mould"
	"chablon/plan"
	"chablon/unit"
)

// rings returns the example's job for its large ring alone.
func rings(tb testing.TB, pieces int) plan.Job {
	tb.Helper()
	b := demo.Book(tb)
	a := b.Assemblies["pear-cardamom-ring"]
	job := b.Job()
	job.Stock = nil
	job.Orders = []plan.Order{{ID: "rings", Lines: []plan.Line{{Assembly: a, Mould: a.Mould, Pieces: pieces}}}}
	return job
}

// A draw of the sampler equals the whole chain gone through with the figures of that draw written
// into the documents: densities, thicknesses, films, soaks, the ring itself, losses.
func TestSampleEqualsTheChain(t *testing.T) {
	t.Parallel()
	const pieces = 3
	job := rings(t, pieces)
	d := plan.Amounts(job)
	doubts := d.Doubts
	nominal := need(t, job, doubts)
	evaluate := doubts.Evaluator()
	rng := rand.New(rand.NewPCG(9, 9))
	x, y := make([]float64, len(doubts.Factors)), make([]float64, len(doubts.Components))
	compared := 0
	for range 200 {
		for i, f := range doubts.Factors {
			x[i] = f.Law.At(max(-2, min(2, rng.NormFloat64())))
		}
		evaluate(x, y)
		rewritten := rewrite(t, job, doubts, x)
		got := need(t, rewritten, doubts)
		for k := range y {
			if nominal[k] <= 0 {
				continue
			}
			compared++
			if want := got[k] / nominal[k]; math.Abs(y[k]-want) > 1e-9*want {
				t.Fatalf("%s: %.12g in the sample, %.12g through the chain", doubts.Components[k].ID, y[k], want)
			}
		}
	}
	if compared < 200*4 {
		t.Errorf("only %d figures compared", compared)
	}
}

// need goes through the chain and returns what has to go in of each component that the pieces take
// directly and that is not cut from sheets, by its losses' shares.
func need(t *testing.T, job plan.Job, doubts *plan.Doubts) []float64 {
	t.Helper()
	out := make([]float64, len(doubts.Components))
	var add func(s *assembly.Section, pieces float64)
	add = func(s *assembly.Section, pieces float64) {
		for i := range s.Layers {
			l := &s.Layers[i]
			if l.Inside != nil {
				add(l.Inside, pieces)
				continue
			}
			cut := l.MadeIn != nil && (l.Kind == assembly.Base || l.Kind == assembly.Disc || l.Kind == assembly.Band)
			for k, f := range doubts.Components {
				if l.Of.Formula != nil && l.Of.Formula.ID == f.ID && !cut {
					m := max(l.Mass, l.Poured)
					keeps := 1.0
					for _, x := range l.Of.Formula.Losses {
						share := x.Share
						if x.PerBatch > 0 {
							share = float64(x.PerBatch / max(f.Written(), bowlOf(f)*2))
						}
						keeps *= 1 - share
					}
					out[k] += pieces * float64(m) / keeps
				}
			}
		}
	}
	for _, o := range job.Orders {
		for _, l := range o.Lines {
			add(l.Assembly.Lay(l.Mould), float64(l.Pieces))
		}
	}
	return out
}

func bowlOf(f *formula.Formula) unit.Mass {
	for _, l := range f.Losses {
		if l.PerBatch > 0 {
			return l.PerBatch
		}
	}
	return 0
}

// rewrite writes the values of all factors into copies of the assemblies, moulds and formulas.
func rewrite(t *testing.T, job plan.Job, doubts *plan.Doubts, x []float64) plan.Job {
	t.Helper()
	value := map[string]float64{}
	for i, f := range doubts.Factors {
		value[f.ID] = x[i]
	}
	of := func(id string) float64 {
		if v, ok := value[id]; ok {
			return v
		}
		return 1
	}
	formulas := map[string]*formula.Formula{}
	for _, f := range doubts.Components {
		g := *f
		d, _ := f.FinishedDensity()
		g.Density = d * unit.Density(of("density "+f.ID))
		g.Losses = append([]formula.Loss(nil), f.Losses...)
		for i := range g.Losses {
			v := of("loss " + string(rune('0'+i)) + " of " + f.ID)
			g.Losses[i].Share *= v
			g.Losses[i].PerBatch *= unit.Mass(v)
		}
		formulas[f.ID] = &g
	}
	var copyOf func(a *assembly.Assembly, m *mould.Mould, line string) (*assembly.Assembly, *mould.Mould)
	copyOf = func(a *assembly.Assembly, m *mould.Mould, line string) (*assembly.Assembly, *mould.Mould) {
		b, n := *a, *m
		rim := m.Solid.At(m.Solid.Height())
		s, err := mould.Ring(rim.Width*unit.Length(of("across "+m.ID)), m.Solid.Height()*unit.Length(of("up "+m.ID)))
		if err != nil {
			t.Fatal(err)
		}
		n.Solid = s
		b.Mould = &n
		b.Layers = append([]assembly.Layer(nil), a.Layers...)
		for i := range b.Layers {
			l := &b.Layers[i]
			own := l.ID + " in line " + line
			if l.Of.Assembly != nil {
				made := l.MadeIn
				l.Of.Assembly, l.MadeIn = copyOf(l.Of.Assembly, made, line)
				continue
			}
			if l.Of.Formula == nil {
				continue
			}
			g := *formulas[l.Of.Formula.ID]
			g.Density *= unit.Density(of("filling of "+own) * of("level of "+own))
			common := of("thickness of " + g.ID + ", " + l.Thickness.Show())
			l.Thickness *= unit.Length(of("thickness of "+own) * common)
			l.Film *= unit.Length(of("film " + g.ID))
			l.SoakLoad *= unit.Load(of("soak " + g.ID))
			l.SoakShare *= of("soak " + g.ID)
			l.Of.Formula = &g
		}
		return &b, &n
	}
	out := job
	line := job.Orders[0].Lines[0]
	line.Assembly, line.Mould = copyOf(line.Assembly, line.Mould, "1")
	out.Orders = []plan.Order{{ID: "rings", Lines: []plan.Line{line}}}
	return out
}

// The demo's day as asked: by an independent sample through the pieces, nothing runs short as often
// as the kitchen wants, at any confidence, and the more is left over the surer it is to be.
func TestTheDemoIsMadeForTheConfidenceAsked(t *testing.T) {
	t.Parallel()
	before := unit.Mass(0)
	for _, asked := range []float64{0.8, 0.95, 0.99} {
		job := demo.Book(t).Job()
		kitchen := *job.Kitchen
		kitchen.Confidence = asked
		job.Kitchen = &kitchen
		d := plan.Amounts(job)
		sure, err := d.How(1<<14, 11, 2)
		if err != nil {
			t.Fatal(err)
		}
		if math.Abs(sure.Enough-asked) > 0.012 {
			t.Errorf("asked for %v, the amounts suffice in %v of cases", asked, sure.Enough)
		}
		over := unit.Mass(0)
		for i := range d.Batches {
			over += left(&d.Batches[i], "reserve")
		}
		if over <= before {
			t.Errorf("%v asks for reserves of %v in all, less for %v", asked, over.Show(), before.Show())
		}
		before = over
	}
}

// The cook's own spread of a film and of a soak counts, not the usual one: 2 mm, 1.5 to 2.5, is one
// deviation of 0.25/1.644854 over its value.
func TestTheCooksOwnSpreadCounts(t *testing.T) {
	t.Parallel()
	want := map[string]float64{"film cocoa-glaze": 0.25, "soak pear-soak": 0.2}
	for _, f := range plan.Amounts(demo.Book(t).Job()).Doubts.Factors {
		if half, asked := want[f.ID]; asked {
			delete(want, f.ID)
			if got := f.Law.At(1) - 1; math.Abs(got-half/1.6448536269514722) > 1e-9 || f.Source != "the assembly's own spread" || f.Scope != doubt.Batch {
				t.Errorf("%s: one deviation is %v, from %s, in scope %v", f.ID, got, f.Source, f.Scope)
			}
		}
	}
	if len(want) > 0 {
		t.Errorf("not in doubt: %v", want)
	}
}

// Knowing the main cause of a component's doubt narrows its range by as much as was said.
func TestKnowingTheMainCauseNarrowsTheRange(t *testing.T) {
	t.Parallel()
	d := plan.Amounts(rings(t, 4))
	sure, err := d.How(1<<14, 5, 2)
	if err != nil {
		t.Fatal(err)
	}
	told := 0
	for k, f := range d.Doubts.Components {
		causes := sure.Sample.Causes(k)
		if len(causes) == 0 {
			continue
		}
		told++
		main := causes[0]
		known := *d.Doubts
		known.Factors = append([]doubt.Factor(nil), d.Doubts.Factors...)
		for i := range known.Factors {
			if known.Factors[i].ID == main.Factor.ID {
				known.Factors[i].Law = doubt.Fixed(main.Factor.Law.At(0))
			}
		}
		after, err := known.Sample(1<<14, 5, 2)
		if err != nil {
			t.Fatal(err)
		}
		before := sure.Sample.Quantile(k, 0.95) - sure.Sample.Quantile(k, 0.05)
		narrow := after.Quantile(k, 0.95) - after.Quantile(k, 0.05)
		if got, want := narrow/before, main.Narrowed(); math.Abs(got-want) > 0.05*want+0.05 {
			t.Errorf("%s: knowing %s narrows the range to %.3f of it, said was %.3f", f.ID, main.Factor.Name, got, want)
		}
	}
	if told < 3 {
		t.Errorf("only %d components have a main cause", told)
	}
}

// Many pieces of one batch are as doubtful as one in what the batch shares.
func TestBatchDoubtDoesNotAverageAway(t *testing.T) {
	t.Parallel()
	width := func(pieces int) float64 {
		d := plan.Amounts(rings(t, pieces))
		s, err := d.Doubts.Sample(4096, 2, 2)
		if err != nil {
			t.Fatal(err)
		}
		for k, f := range d.Doubts.Components {
			if f.ID == "cardamom-mousse" {
				return s.SD(k) / s.Mean(k)
			}
		}
		t.Fatal("no mousse")
		return 0
	}
	one, many := width(1), width(100)
	if many < 0.6*one || many > one {
		t.Errorf("the mousse's doubt is %v for one ring, %v for a hundred: what the batch shares must stay", one, many)
	}
}

// The stated speed: 20,000 samples of the ring in 100 ms on two cores.
func BenchmarkSample(b *testing.B) {
	d := plan.Amounts(rings(b, 2))
	for b.Loop() {
		if _, err := d.Doubts.Sample(20000, 1, 2); err != nil {
			b.Fatal(err)
		}
	}
}
