package check_test

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"
	"time"

	"pgregory.net/rapid"

	"chablon/check"
	"chablon/finding"
	"chablon/formula"
	"chablon/ingredient"
	"chablon/internal/demo"
	"chablon/kitchen"
	"chablon/unit"
)

// The demo holds no fault. What is said of it is fixed here, so that a change of a rule is seen;
// notes of gelatin in range are left out.
func TestSaturday(t *testing.T) {
	t.Parallel()
	book := demo.Book(t)
	var got []string
	for id, f := range book.Formulas {
		r := check.Balance(f, book.Kitchen)
		for _, x := range r.Findings {
			if x.Level == finding.Fault {
				t.Errorf("%s: %s %s", id, x.Code, x.Reason)
			}
			if x.Code != "gelatin-in-range" {
				got = append(got, fmt.Sprintf("%s: %s %s", id, x.Level, x.Code))
			}
		}
		if kind, ok := check.KindOf(f); !ok {
			if why, said := skipped(r, "ranges"); !said || !strings.Contains(why, f.Type) {
				t.Errorf("%s, a %s, is neither judged nor reported as not judged (%q)", id, f.Type, why)
			}
		} else if n := len(check.Builtin().For(kind)); n == 0 {
			t.Errorf("%s: no ranges for its kind %s", id, kind)
		}
	}
	slices.Sort(got)
	want := []string{
		"pear-jelly: note sugar-low",
		"pear-soak: note alcohol-left",
		"sesame-sponge: caution density-high",
	}
	if !slices.Equal(got, want) {
		t.Errorf("got:\n%s\nwant:\n%s", strings.Join(got, "\n"), strings.Join(want, "\n"))
	}
}

var everything = ingredient.Builtin().All()

// anyFormula draws a formula of real ingredients, wild in amounts, steps, losses and air.
func anyFormula(t *rapid.T, deep int) *formula.Formula {
	f := &formula.Formula{ID: "any", Type: rapid.SampledFrom(append(check.Kinds(), "décor", "")).Draw(t, "type")}
	for i := range rapid.IntRange(0, 8).Draw(t, "lines") {
		l := formula.Line{ID: fmt.Sprint("l", i), Mass: unit.Mass(rapid.SampledFrom([]float64{0, 1e-9, 0.0005, 0.01, 0.2, 1, 50, 9999}).Draw(t, "mass"))}
		if deep > 0 && rapid.IntRange(0, 5).Draw(t, "nested") == 0 {
			l.Formula = anyFormula(t, deep-1)
		} else {
			l.Ingredient = rapid.SampledFrom(everything).Draw(t, "ingredient")
		}
		f.Lines = append(f.Lines, l)
	}
	for i := range rapid.IntRange(0, 4).Draw(t, "steps") {
		s := formula.Step{ID: fmt.Sprint("s", i), Verb: rapid.SampledFrom([]string{"mix", "fold", "boil", "bake", "cook", "whip", "melt", "blend", "rest", "cool"}).Draw(t, "verb")}
		if rapid.Bool().Draw(t, "timed") {
			s.Waiting = time.Duration(rapid.IntRange(0, 5000).Draw(t, "minutes")) * time.Minute
		}
		if c := rapid.IntRange(-40, 250).Draw(t, "celsius"); c%3 > 0 {
			degrees, _ := unit.ParseUnit("°C")
			s.Temperature = unit.Of(float64(c), degrees)
		}
		for k := range f.Lines {
			if rapid.Bool().Draw(t, "takes") {
				s.Takes = append(s.Takes, fmt.Sprint("l", k))
			}
		}
		for k := range i {
			if rapid.Bool().Draw(t, "after") {
				s.Takes = append(s.Takes, fmt.Sprint("s", k))
			}
		}
		f.Steps = append(f.Steps, s)
	}
	if rapid.Bool().Draw(t, "loses") {
		f.Losses = []formula.Loss{{Name: rapid.SampledFrom([]string{"bake", "evaporation", "bowl"}).Draw(t, "loss"), Share: rapid.Float64Range(0, 0.999).Draw(t, "share")}}
	}
	if rapid.Bool().Draw(t, "air") {
		f.Air = formula.Air{Overrun: rapid.Float64Range(0, 9).Draw(t, "overrun")}
	}
	f.Density = unit.Density(rapid.SampledFrom([]float64{0, 300, 1100}).Draw(t, "density"))
	f.Holds = []formula.Hold{{Place: rapid.SampledFrom([]string{"room", "refrigerator", "freezer", ""}).Draw(t, "place"), Quality: time.Duration(rapid.IntRange(0, 300).Draw(t, "hours")) * time.Hour}}
	return f
}

// Whatever is written, every figure is a number, every text is whole, and no remedy takes a
// negative mass.
func TestBalanceIsFinite(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		f := anyFormula(t, 2)
		k := &kitchen.Kitchen{Altitude: unit.Length(rapid.SampledFrom([]float64{0, 15, 2000, 9000, 90000}).Draw(t, "height"))}
		r := check.Balance(f, k)
		for _, g := range r.Figures {
			for _, x := range []float64{g.Value, g.Low, g.High} {
				if math.IsNaN(x) || math.IsInf(x, 0) {
					t.Fatalf("%+v", g)
				}
			}
			if g.Name == "" || g.Unit == "" || g.Source == "" || (g.Verdict != check.Unjudged && g.Low >= g.High && g.High > 0) {
				t.Fatalf("incomplete: %+v", g)
			}
		}
		for _, x := range r.Findings {
			text := x.Reason + " | " + x.Remedy
			if strings.Contains(text, "NaN") || strings.Contains(text, "Inf") || strings.Contains(text, "%!") || x.Source == "" || x.Reason == "" {
				t.Fatalf("%+v", x)
			}
			for _, verb := range []string{"Add -", "Add −", "Take out -", "Take out −", "add -", "add −"} {
				if strings.Contains(text, verb) {
					t.Fatalf("negative remedy: %s", text)
				}
			}
		}
		for _, n := range r.NotJudged {
			if n.Rule == "" || n.Why == "" || strings.Contains(n.Why, "%!") {
				t.Fatalf("%+v", n)
			}
		}
	})
}

// Judgement is of proportions: a formula written ten times as large gets the same figures and
// the same findings by code.
func TestBalanceIgnoresSize(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		f := anyFormula(t, 0)
		g := *f
		g.Lines = slices.Clone(f.Lines)
		for i := range g.Lines {
			g.Lines[i].Mass *= 8 // exact in binary
		}
		a, b := check.Balance(f, nil), check.Balance(&g, nil)
		if len(a.Figures) != len(b.Figures) || len(a.Findings) != len(b.Findings) || len(a.NotJudged) != len(b.NotJudged) {
			t.Fatalf("%d figures, %d findings, %d not judged; ten times as large %d, %d, %d", len(a.Figures), len(a.Findings), len(a.NotJudged), len(b.Figures), len(b.Findings), len(b.NotJudged))
		}
		for i := range a.Figures {
			if x, y := a.Figures[i], b.Figures[i]; x.Name != y.Name || math.Abs(x.Value-y.Value) > 1e-6*max(1, math.Abs(x.Value)) {
				t.Fatalf("%+v becomes %+v", x, y)
			}
		}
	})
}

// A remedy that names a mass brings the figure to the edge of its range: done, the finding is
// gone.
func TestRemediesHold(t *testing.T) {
	t.Parallel()
	for _, c := range []struct {
		f          *formula.Formula
		code, line string
	}{
		{written(t, "genoise", "120 g flour", "60 g sugar", "190 g eggs|egg-whole"), "sugar-low", "sugar"},
		{written(t, "genoise", "120 g flour", "180 g sugar", "190 g eggs|egg-whole"), "sugar-high", "sugar"},
		{written(t, "genoise", "40 g flour", "80 g cornstarch", "120 g sugar"), "starch-high", "cornstarch"},
		{written(t, "jelly insert", "300 g mango purée", "300 g sugar", "14 g gelatin powder"), "sugar-high", "sugar"},
		{written(t, "jelly insert", "900 g mango purée", "3 g gelatin powder"), "gelatin-low", "gelatin powder"},
		{written(t, "jelly insert", "900 g mango purée", "40 g gelatin powder"), "gelatin-high", "gelatin powder"},
		{written(t, "pound cake", "250 g flour", "400 g sugar", "250 g eggs|egg-whole", "250 g butter"), "creamed-sugar", "sugar"},
		{written(t, "", "1000 g water", "30 g agar"), "agar-high", "agar"},
	} {
		remedy := ""
		for _, x := range check.Balance(c.f, nil).Findings {
			if x.Code == c.code {
				remedy = x.Remedy
			}
		}
		words := strings.Fields(strings.NewReplacer("Take out ", "− ", "Add ", "+ ").Replace(remedy))
		if len(words) < 3 {
			t.Errorf("%s: no mass in %q", c.code, remedy)
			continue
		}
		q, err := unit.ParseQuantity(words[1]+" "+words[2], unit.OfMass)
		if err != nil {
			t.Errorf("%q: %v", remedy, err)
			continue
		}
		m := q.Mass() * 1.001 // shown rounded; the last gram decides
		if words[0] == "−" {
			m = -m
		}
		for i := range c.f.Lines {
			if c.f.Lines[i].Name == c.line {
				c.f.Lines[i].Mass += m
			}
		}
		for _, x := range check.Balance(c.f, nil).Findings {
			if x.Code == c.code && x.Level > finding.Note {
				t.Errorf("%q does not cure %s: %s", remedy, c.code, x.Reason)
			}
		}
	}
}

func BenchmarkBalance(b *testing.B) {
	book := demo.Book(b)
	for b.Loop() {
		for _, f := range book.Formulas {
			check.Balance(f, book.Kitchen)
		}
	}
	b.ReportMetric(float64(b.Elapsed().Microseconds())/float64(b.N*len(book.Formulas)), "µs/formula")
}

func ExampleBalance() {
	custard := &formula.Formula{ID: "custard", Type: "crème anglaise"}
	larder := formula.Larder{Table: ingredient.Builtin()}
	for _, text := range []string{"500 g whole milk", "50 g egg yolks", "100 g sugar"} {
		r, err := formula.ReadLine(text)
		if err != nil {
			fmt.Println(err)
			return
		}
		l, err := larder.Link(r, "")
		if err != nil {
			fmt.Println(err)
			return
		}
		custard.Lines = append(custard.Lines, l)
	}
	r := check.Balance(custard, nil)
	for _, f := range r.Findings {
		fmt.Println(f.Level, f.Code+":", f.Reason)
	}
	for _, g := range r.Figures[:2] {
		fmt.Printf("%s: %.0f %s of %.0f to %.0f, %s\n", g.Name, g.Value, g.Unit, g.Low, g.High, g.Verdict)
	}
	fmt.Println(r.NotJudged[0].Rule+":", r.NotJudged[0].Why)
	// Output:
	// caution egg-yolk-low: egg yolk is 10 % of the milk and cream; usual for a crème anglaise are 15 to 33 % (thin as a sauce, rich as the base of a mousse)
	// caution raw-egg: holds egg that no step is sure to heat to 68 °C for 17 s (Food Code 3-401.11)
	// egg yolk on milk and cream: 10 % of 15 to 33, outside
	// sugar on milk and cream: 20 % of 12 to 25, in range
	// evaporation: no evaporation is written
}
