package notebook

import (
	"encoding/json"
	"math"
	"strings"
	"testing"
	"time"

	"chablon/ingredient"
	"chablon/unit"
)

func one(t *testing.T, text string, o Options) Line {
	t.Helper()
	got := ReadLine(text, o)
	if len(got) != 1 {
		t.Fatalf("%q: %d lines, want 1: %+v", text, len(got), got)
	}
	return got[0]
}

// Expected grams: exact conversions of NIST Handbook 44 App. C, the table's own portions and
// densities, or the household measures that measure.go states.
func TestGrams(t *testing.T) {
	table := ingredient.Builtin()
	density := func(id string) float64 {
		i, ok := table.Get(id)
		if !ok || !i.Density.Known() {
			t.Skipf("%s has no density", id)
		}
		return i.Density.GramsPerMillilitre()
	}
	milk := density("milk-whole")
	for _, c := range []struct {
		text      string
		o         Options
		low, high float64
	}{
		{"8 oz sugar", Options{}, 226.796185, 226.796185},
		{"1 lb 4 oz icing sugar", Options{}, 566.9904625, 566.9904625},
		{"1 cup milk", Options{}, 236.5882365 * milk, 236.5882365 * milk},
		{"1 cup milk", Options{Country: "au"}, 250 * milk, 250 * milk},
		{"1 cup milk", Options{Cup: 240 * unit.Millilitre}, 240 * milk, 240 * milk},
		{"1 pint milk", Options{Country: "uk"}, 568.26125 * milk, 568.26125 * milk},
		{"1 pint milk (imperial)", Options{}, 568.26125 * milk, 568.26125 * milk},
		{"1 gill milk", Options{}, 118.29411825 * milk, 142.0653125 * milk},
		{"1 gill milk", Options{Country: "uk"}, 142.0653125 * milk, 142.0653125 * milk},
		{"1 tbsp milk", Options{Country: "au"}, 20 * milk, 20 * milk},
		{"2-3 dl milk", Options{}, 200 * milk, 300 * milk},
		{"2 sticks butter", Options{}, 226.8, 226.8},
		{"3 leaves silver gelatin", Options{}, 7.5, 7.5},
		{"3 squares unsweetened chocolate", Options{}, 85.048569375, 85.048569375},
		{"3 eggs", Options{EggSize: "us-large"}, 150, 150},
		{"3 eggs", Options{EggSize: "eu-m"}, 153, 153},
		{"3 small eggs", Options{EggSize: "us-large"}, 114, 114},
		{"whites of 2 eggs", Options{EggSize: "us-large"}, 66, 66},
		{"2 cans (400 g each) coconut milk", Options{}, 800, 800},
	} {
		l := one(t, c.text, c.o)
		if !l.HasGrams || math.Abs(l.Grams.Low-c.low) > 1e-6*c.low || math.Abs(l.Grams.High-c.high) > 1e-6*c.high {
			t.Errorf("%q %+v: %v (%v), want %v to %v", c.text, c.o, l.Grams, l.HasGrams, c.low, c.high)
		}
	}
	if l := one(t, "1 cup dragon fruit jelly beans", Options{}); l.HasGrams || len(l.Questions) == 0 || l.Confidence >= 0.8 {
		t.Errorf("an unknown ingredient has grams %v, questions %q, confidence %v", l.Grams, l.Questions, l.Confidence)
	}
}

func TestAssumptionsAndQuestions(t *testing.T) {
	for _, c := range []struct{ text, assumption, question string }{
		{"1 cup sugar", "US cup of 236.6 ml", ""},
		{"2 eggs", "egg size us-large", ""},
		{"200 g cream", "cream taken as", "which cream"},
		{"3 leaves gelatin", "", "which grade"},
		{"8 oz (300 g) sugar", "", "differ by"},
		{"1 No. 2 can pears", "No. 2 can", "net or drained"},
		{"11/2 cups sugar", "space seems to be missing", "is the number 1.5 right"},
		{"1 wineglass rum", "wineglass", ""},
		{"2 tbsp", "", "of what"},
		{"Sugar", "", "how much"},
		{"2 cans (400 g) pears", "", "each can"},
	} {
		l := one(t, c.text, Options{})
		if !strings.Contains(strings.Join(l.Assumptions, "; "), c.assumption) || !strings.Contains(strings.Join(l.Questions, "; "), c.question) {
			t.Errorf("%q: assumptions %q, questions %q; want %q and %q", c.text, l.Assumptions, l.Questions, c.assumption, c.question)
		}
	}
}

func TestComponentsOfTheKitchen(t *testing.T) {
	o := Options{Components: map[string]string{"Pastry cream": "pastry-cream", "joconde": "joconde-60"}}
	for _, c := range []struct{ text, id, unit string }{
		{"1 recipe joconde", "joconde-60", "batch"}, {"200 g pastry cream", "pastry-cream", "g"}, {"PASTRY CREAM (see page 12)", "pastry-cream", ""},
	} {
		l := one(t, c.text, o)
		if l.Kind != Component || l.Component != c.id || l.Unit != c.unit {
			t.Errorf("%q: %v %q [%s], want component %q [%s]", c.text, l.Kind, l.Component, l.Unit, c.id, c.unit)
		}
	}
}

const pasted = `Raspberry ring

Serves 8

Ingredients
For the sponge:
3 eggs
90 g sugar
1
1/2 cups flour,
sifted twice

RASPBERRY MOUSSE
300 g raspberry purée
4 leaves gelatine
250 ml cream, whipped

Method
1. Preheat the oven to 180 °C. Whip the eggs and sugar for 8-10 minutes.
2. Fold in the flour and bake 12 min at 356 °F.
3. Chill overnight.
`

func TestPage(t *testing.T) {
	p := Read(pasted, Options{})
	if p.Title != "Raspberry ring" || p.Yield != "Serves 8" {
		t.Errorf("title %q, yield %q", p.Title, p.Yield)
	}
	if len(p.Groups) != 2 || p.Groups[0].Name != "For the sponge" || p.Groups[1].Name != "RASPBERRY MOUSSE" || len(p.Groups[0].Lines) != 3 || len(p.Groups[1].Lines) != 3 {
		t.Fatalf("groups %+v", p.Groups)
	}
	if l := p.Groups[0].Lines[2]; l.Amount.Low != 1.5 || l.Unit != "cup" || l.Preparation != "sifted twice" || l.Group != "For the sponge" {
		t.Errorf("the broken line came back as %+v", l)
	}
	if len(p.Steps) != 4 {
		t.Fatalf("%d steps: %+v", len(p.Steps), p.Steps)
	}
	if s := p.Steps[0]; s.Verb != "heat" || s.Temperature != 180 || !s.Assumed {
		t.Errorf("preheat: %+v", s)
	}
	if s := p.Steps[1]; s.Verb != "whip" || s.Minutes != (unit.Range{Low: 8, High: 10}) || s.Assumed {
		t.Errorf("whip: %+v", s)
	}
	if s := p.Steps[2]; s.Verb != "fold" || s.Minutes.Low != 12 || math.Abs(s.Temperature.Celsius()-180) > 1e-9 || s.Assumed {
		t.Errorf("bake: %+v", s)
	}
	if s := p.Steps[3]; s.Verb != "chill" || !s.Assumed || !s.HasMinutes {
		t.Errorf("chill: %+v", s)
	}
}

const marked = `<!doctype html><html><head><title>x</title><script type="application/ld+json">
{"@context":"https://schema.org","@graph":[{"@type":"WebPage","name":"no"},{"@type":["Recipe"],"name":"Lemon disc","recipeYield":["6"],
"recipeIngredient":["100 g sugar","2 eggs plus 1 yolk","For the glaze:","50&nbsp;g butter"],
"recipeInstructions":[{"@type":"HowToSection","name":"Disc","itemListElement":[{"@type":"HowToStep","text":"Mix for 5 minutes."},{"@type":"HowToStep","text":"Bake 12 min at 180 °C."}]}]}]}
</script></head><body><p>nothing</p></body></html>`

func TestHTML(t *testing.T) {
	p, err := ReadHTML(strings.NewReader(marked), Options{})
	if err != nil || p.Title != "Lemon disc" || p.Yield != "6" || len(p.Groups) != 2 || len(p.Groups[0].Lines) != 3 || len(p.Steps) != 2 {
		t.Fatalf("%+v, %v", p, err)
	}
	if p.Groups[1].Lines[0].Grams.Low != 50 || p.Steps[1].Temperature != 180 || p.Steps[1].Minutes.Low != 12 {
		t.Errorf("%+v", p)
	}
	micro := `<div itemscope itemtype="https://schema.org/Recipe"><h1 itemprop="name">Tuile</h1><li itemprop="recipeIngredient"><b>100 g</b> sugar</li><div itemprop="recipeInstructions">Bake 6 min.</div></div>`
	if p, err := ReadHTML(strings.NewReader(micro), Options{}); err != nil || p.Title != "Tuile" || len(p.Lines()) != 1 || p.Lines()[0].Amount.Low != 100 || len(p.Steps) != 1 {
		t.Errorf("microdata: %+v, %v", p, err)
	}
	plainPage := `<body><h1>Tuile</h1><ul><li>100 g sugar</li><li>2 egg whites</li></ul><p>Bake for 6 minutes.</p></body>`
	if p, err := ReadHTML(strings.NewReader(plainPage), Options{}); err != nil || len(p.Lines()) != 2 || len(p.Steps) != 1 {
		t.Errorf("text of a page: %+v, %v", p, err)
	}
	for _, bad := range []string{"", "{", `{"@type":"Person"}`} {
		if _, err := ReadJSONLD([]byte(bad), Options{}); err == nil || !strings.Contains(err.Error(), "paste") {
			t.Errorf("%q: error %v names no remedy", bad, err)
		}
	}
}

func TestJSONForm(t *testing.T) {
	for _, c := range []struct{ text, want string }{
		{"2-3 tbsp milk", `"amount":[2,3],"unit":"tbsp"`},
		{"250 g sugar", `"amount":250,"unit":"g","grams":250,"ingredient":"sugar-granulated"`},
		{"salt to taste", `"amount":null,"unit":"","grams":null`},
		{"100 g moon dust", `"ingredient":null`},
	} {
		b, err := json.Marshal(one(t, c.text, Options{}))
		if err != nil || !strings.Contains(string(b), c.want) {
			t.Errorf("%q: %s, %v; want %s in it", c.text, b, err, c.want)
		}
	}
}

// sound reports what no reading may have.
func sound(t *testing.T, lines []Line) {
	t.Helper()
	for _, l := range lines {
		for _, x := range []float64{l.Amount.Low, l.Amount.High, l.Grams.Low, l.Grams.High, l.Confidence} {
			if math.IsNaN(x) || math.IsInf(x, 0) || x < 0 {
				t.Fatalf("%q: a number is %v in %+v", l.Text, x, l)
			}
		}
		if l.Amount.High < l.Amount.Low || l.Grams.High < l.Grams.Low || l.Confidence > 1 || !l.HasAmount && l.Amount.High > 0 {
			t.Fatalf("%q: %+v", l.Text, l)
		}
		if _, err := json.Marshal(l); err != nil {
			t.Fatalf("%q: %v", l.Text, err)
		}
	}
}

func seeds(f *testing.F) {
	for _, l := range loadLabelled(f) {
		f.Add(l.text)
	}
	for _, s := range []string{"((((((", "1 x 1 x 1 x 1 x g", "-5 g sugar", "1e309 g", "999999999999999999999 kg sugar", "½½½½", "1/0 cup", "d'", "|", "and and or or", "1 cup plus 1 cup plus 1 cup plus", "\xff\xfe 3 g", "q . s ."} {
		f.Add(s)
	}
}

func FuzzReadLine(f *testing.F) {
	seeds(f)
	f.Fuzz(func(t *testing.T, s string) { sound(t, ReadLine(s, Options{})) })
}

func FuzzRead(f *testing.F) {
	f.Add(pasted)
	seeds(f)
	f.Fuzz(func(t *testing.T, s string) {
		p := Read(s, Options{})
		sound(t, p.Lines())
		for _, st := range p.Steps {
			if x := st.Minutes.Low + st.Minutes.High + float64(st.Temperature); math.IsNaN(x) || math.IsInf(x, 0) {
				t.Fatalf("%+v", st)
			}
		}
	})
}

func FuzzHTML(f *testing.F) {
	f.Add(marked)
	f.Add("<script type=application/ld+json>[[[{}]]]</script>")
	f.Fuzz(func(t *testing.T, s string) {
		p, err := ReadHTML(strings.NewReader(s), Options{})
		if err == nil {
			sound(t, p.Lines())
		}
		if p, err := ReadJSONLD([]byte(s), Options{}); err == nil {
			sound(t, p.Lines())
		}
	})
}

// A line of a megabyte and a text of a megabyte take no more than time in proportion.
func TestLongText(t *testing.T) {
	for _, s := range []string{"1 cup plus ", "(", "½", "1 x ", "a ", "and ", ", 100 g sugar", "1 g sugar\n", "or ", ";", "1/", "juice of ", "plus extra "} {
		long := strings.Repeat(s, (1<<20)/len(s))
		start := time.Now()
		sound(t, ReadLine(long, Options{}))
		p := Read(long, Options{})
		sound(t, p.Lines()[:min(100, len(p.Lines()))])
		if d := time.Since(start); d > 20*time.Second {
			t.Errorf("1 MB of %q took %v", s, d)
		}
		start = time.Now()
		sound(t, ReadLine(strings.Repeat(s, longestLine/len(s)), Options{}))
		if d := time.Since(start); d > time.Second {
			t.Errorf("a line of %q took %v", s, d)
		}
	}
}

func BenchmarkReadLine(b *testing.B) {
	lines := loadLabelled(b)
	b.ReportAllocs()
	n := 0
	for b.Loop() {
		ReadLine(lines[n%len(lines)].text, Options{})
		n++
	}
	b.ReportMetric(float64(n)/b.Elapsed().Seconds(), "lines/s")
}
