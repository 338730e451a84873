package formula_test

import (
	"fmt"
	"math"
	"strings"
	"testing"
	"time"
	"unicode/utf8"

	"chablon/formula"
	"chablon/ingredient"
)

// Lines as they are written, and what they say; each want by hand. The lines are ours.
var written = []struct {
	line        string
	amount      float64
	unit        string
	name        string
	preparation string
}{
	// metric
	{"125 g almond flour", 125, "g", "almond flour", ""},
	{"250g flour", 250, "g", "flour", ""},
	{"2kg sugar", 2, "kg", "sugar", ""},
	{"2 KG sugar", 2, "kg", "sugar", ""},
	{"250 G flour", 250, "g", "flour", ""},
	{"250 gr flour", 250, "g", "flour", ""},
	{"250 gr. flour", 250, "g", "flour", ""},
	{"80 grams flour", 80, "g", "flour", ""},
	{"0,5 L milk", 0.5, "L", "milk", ""},
	{"0.5 l milk", 0.5, "L", "milk", ""},
	{"1,5 kg butter", 1.5, "kg", "butter", ""},
	{"12,5 g gelatin powder", 12.5, "g", "gelatin powder", ""},
	{"1.250 kg flour", 1.25, "kg", "flour", ""},
	{"25 cl cream", 25, "cl", "cream", ""},
	{"2 dL cream", 2, "dl", "cream", ""},
	{"100ml water", 100, "ml", "water", ""},
	{"100 mL water", 100, "ml", "water", ""},
	{"500 mg ascorbic acid", 500, "mg", "ascorbic acid", ""},
	{"5 g butter, soft", 5, "g", "butter", "soft"},
	{"20 g sesame seeds, toasted", 20, "g", "sesame seeds", "toasted"},
	{"3 g cardamom, freshly ground", 3, "g", "cardamom", "freshly ground"},
	{"360 g cream 35 %, cold", 360, "g", "cream 35 %", "cold"},
	{"360 g cream 35,5 %, cold", 360, "g", "cream 35,5 %", "cold"},
	{"150 g hazelnut praline 60 %", 150, "g", "hazelnut praline 60 %", ""},
	{"250 g dark chocolate 64 %", 250, "g", "dark chocolate 64 %", ""},
	{"200 g pear purée", 200, "g", "pear purée", ""},
	{"200 g PEAR PURÉE", 200, "g", "PEAR PURÉE", ""},
	{"25 g pear eau-de-vie", 25, "g", "pear eau-de-vie", ""},
	{"54 g gelatin mass", 54, "g", "gelatin mass", ""},
	{"100 g T55 flour", 100, "g", "T55 flour", ""},
	{"  90   g\tsugar  ", 90, "g", "sugar", ""},
	{"90\u00a0g sugar", 90, "g", "sugar", ""},
	{"250 g, flour", 250, "g", "flour", ""},
	{"150 g of hazelnuts, peeled, halved", 150, "g", "hazelnuts", "peeled, halved"},
	{"100 g butter (82 % fat), soft", 100, "g", "butter (82 % fat)", "soft"},
	{"100 g butter, soft (about 7 tbsp)", 100, "g", "butter", "soft (about 7 tbsp)"},
	// United States
	{"1 3/4 oz butter, soft", 1.75, "oz", "butter", "soft"},
	{"1-3/4 oz. butter, soft", 1.75, "oz", "butter", "soft"},
	{"1¾ oz glucose syrup", 1.75, "oz", "glucose syrup", ""},
	{"3 1/2 oz sesame seeds", 3.5, "oz", "sesame seeds", ""},
	{"3½ oz sugar", 3.5, "oz", "sugar", ""},
	{"8 oz (225 g) butter", 8, "oz", "butter", ""},
	{"8 oz butter (225 g), soft", 8, "oz", "butter", "soft"},
	{"225 g / 8 oz butter", 225, "g", "butter", ""},
	{"225 g/8 oz butter, cold", 225, "g", "butter", "cold"},
	{"8-oz cream cheese", 8, "oz", "cream cheese", ""},
	{"8 OZ. cream cheese", 8, "oz", "cream cheese", ""},
	{"1 lb strawberries", 1, "lb", "strawberries", ""},
	{"2 lbs. strawberries, hulled", 2, "lb", "strawberries", "hulled"},
	{"1 pound strawberries", 1, "lb", "strawberries", ""},
	{"1/4 tsp salt", 0.25, "tsp", "salt", ""},
	{"1⁄4 tsp salt", 0.25, "tsp", "salt", ""},
	{"¼ tsp. salt", 0.25, "tsp", "salt", ""},
	{"½tsp salt", 0.5, "tsp", "salt", ""},
	{"2 t salt", 2, "tsp", "salt", ""},
	{"2 t. salt", 2, "tsp", "salt", ""},
	{"2 T honey", 2, "tbsp", "honey", ""},
	{"2 T. honey", 2, "tbsp", "honey", ""},
	{"2 tbsp water", 2, "tbsp", "water", ""},
	{"2 Tbsp. water", 2, "tbsp", "water", ""},
	{"2 TBSP water", 2, "tbsp", "water", ""},
	{"1 tablespoon rum", 1, "tbsp", "rum", ""},
	{"1 c flour", 1, "cup", "flour", ""},
	{"1 c. flour", 1, "cup", "flour", ""},
	{"1 C flour", 1, "cup", "flour", ""},
	{"2 cups flour, sifted", 2, "cup", "flour", "sifted"},
	{"2 cups of flour", 2, "cup", "flour", ""},
	{"a cup of sugar", 1, "cup", "sugar", ""},
	{"Half a cup sugar", 0.5, "cup", "sugar", ""},
	{"1 1/2 to 2 1/2 cups milk", 2, "cup", "milk", ""},
	{"8 fl oz cream", 8, "fl oz", "cream", ""},
	{"8 fl. oz. cream", 8, "fl oz", "cream", ""},
	{"8 fluid ounces cream", 8, "fl oz", "cream", ""},
	{"1 pint cream", 1, "pint", "cream", ""},
	{"1 qt milk", 1, "quart", "milk", ""},
	// counts
	{"3 large egg whites", 3, "", "large egg whites", ""},
	{"4 large eggs", 4, "", "large eggs", ""},
	{"6 egg yolks, lightly beaten", 6, "", "egg yolks", "lightly beaten"},
	{"2-3 eggs", 2.5, "", "eggs", ""},
	{"2 to 3 eggs", 2.5, "", "eggs", ""},
	{"2 or 3 eggs", 2.5, "", "eggs", ""},
	{"2 x eggs", 2, "", "eggs", ""},
	{"a dozen eggs", 12, "", "eggs", ""},
	{"Half a dozen eggs", 6, "", "eggs", ""},
	{"half a lemon", 0.5, "", "lemon", ""},
	{"½ lemon", 0.5, "", "lemon", ""},
	{"an egg", 1, "", "egg", ""},
	{"two eggs", 2, "", "eggs", ""},
	{"1 sheet gelatin", 1, "", "sheet gelatin", ""},
	{"3 leaves gelatin", 3, "", "leaves gelatin", ""},
	{"1 stick butter", 1, "", "stick butter", ""},
	{"a pinch of salt", 1, "", "pinch of salt", ""},
	{"2 limes", 2, "", "limes", ""},               // begins with l
	{"2 gooseberries", 2, "", "gooseberries", ""}, // begins with g
	{"2 tangerines", 2, "", "tangerines", ""},     // begins with t
	{"4 cloves", 4, "", "cloves", ""},             // begins with cl
	{"1 mango", 1, "", "mango", ""},               // begins with m
	{"3 cupcakes", 3, "", "cupcakes", ""},         // begins with cup
	{"1 day-old brioche", 1, "", "day-old brioche", ""},
}

func TestReadLine(t *testing.T) {
	t.Parallel()
	for _, c := range written {
		r, err := formula.ReadLine(c.line)
		if err != nil {
			t.Error(err)
			continue
		}
		if math.Abs(r.Amount.Mid()-c.amount) > 1e-12 || r.Amount.Unit.Symbol != c.unit || r.Name != c.name || r.Preparation != c.preparation || r.Optional || r.ToTaste {
			t.Errorf("%q: %g %q of %q, %q; want %g %q of %q, %q", c.line, r.Amount.Mid(), r.Amount.Unit.Symbol, r.Name, r.Preparation, c.amount, c.unit, c.name, c.preparation)
		}
		if !r.Amount.Given() || !strings.HasPrefix(r.Text, r.Amount.Text) {
			t.Errorf("%q: the amount's text is %q", c.line, r.Amount.Text)
		}
	}
}

func TestReadLineRemarks(t *testing.T) {
	t.Parallel()
	for _, c := range []struct {
		line              string
		amount, name      string
		preparation       string
		toTaste, optional bool
		second            string
	}{
		{"salt to taste", "", "salt", "", true, false, ""},
		{"Salt, to taste", "", "Salt", "", true, false, ""},
		{"lemon juice, strained, TO TASTE", "", "lemon juice", "strained", true, false, ""},
		{"1/4 tsp salt, or to taste", "1/4 tsp", "salt", "", true, false, ""},
		{"10 g poppy seeds (optional)", "10 g", "poppy seeds", "", false, true, ""},
		{"10 g poppy seeds, optional", "10 g", "poppy seeds", "", false, true, ""},
		{"Optional: 10 g poppy seeds", "", "", "", false, false, "refused"},
		{"salt to taste (optional)", "", "salt", "", true, true, ""},
		{"10 g potatoes to tasteful slices", "10 g", "potatoes to tasteful slices", "", false, false, ""},
		{"İstanbul pistachios to taste", "", "İstanbul pistachios", "", true, false, ""},
		{"8 oz (225 g) butter", "8 oz", "butter", "", false, false, "225 g"},
		{"225 g/8 oz butter", "225 g", "butter", "", false, false, "8 oz"},
		{"1 cup (240 ml) cream, cold", "1 cup", "cream", "cold", false, false, "240 ml"},
		{"8 fl to taste oz cream", "8 fl oz", "cream", "", true, false, ""}, // what is cut out leaves no gap
	} {
		r, err := formula.ReadLine(c.line)
		if c.second == "refused" {
			if err == nil {
				t.Errorf("%q is read as %+v", c.line, r)
			}
			continue
		}
		if err != nil {
			t.Error(err)
			continue
		}
		if r.Amount.Text != c.amount || r.Name != c.name || r.Preparation != c.preparation || r.ToTaste != c.toTaste || r.Optional != c.optional || r.Second.Text != c.second {
			t.Errorf("%q is read as %+v; want %+v", c.line, r, c)
		}
	}
}

// What cannot be meant, or could mean two things, is refused with what to write instead.
func TestReadLineRefuses(t *testing.T) {
	t.Parallel()
	for line, want := range map[string]string{
		"":                                     "the line is empty",
		" \t ":                                 "the line is empty",
		"flour":                                `write a number and a unit first, or "to taste"`,
		"some flour":                           `write a number and a unit first, or "to taste"`,
		"zest of 1 lemon":                      "no amount that can be read",
		"250 g":                                "names no ingredient",
		"12":                                   "names no ingredient",
		"250 g, (soft)...":                     "", // letters: read, and refused when it is looked up
		"250 g ---":                            "names no ingredient",
		"to taste":                             "no ingredient",
		"-20 g sugar":                          "negative",
		"−20 g sugar":                          "negative",
		"-20 g salt to taste":                  "negative",
		"0 g sugar":                            "above zero",
		"1,250 g flour":                        "write 1250 or 1.250",
		"1,250 g salt, to taste":               "write 1250 or 1.250",
		"1 250 g flour":                        "two numbers",
		"2 x 250 g cream":                      "two numbers",
		"2--3 eggs":                            "two numbers",
		"1/0 cup milk":                         "0 below the bar",
		"3-2 eggs":                             "runs backwards",
		"1 inch ginger":                        "is a length",
		"1 m butter":                           "is a length",
		"2\" ginger":                           "is a length",
		"70 % chocolate":                       "is a share",
		"5 min boiling":                        "is a time",
		"180 °C oven":                          "is a temperature",
		"225 g / 8 butter":                     "no second amount",
		"9999999999999999999999 g sugar":       "too large",
		strings.Repeat("9", 900) + " g sugar":  "too large",
		"5 g " + strings.Repeat("sugar ", 200): "one ingredient a line",
	} {
		r, err := formula.ReadLine(line)
		switch {
		case want == "" && err != nil:
			t.Errorf("%q: %v", line, err)
		case want != "" && err == nil:
			t.Errorf("%q is read as %+v", line, r)
		case want != "" && !strings.Contains(err.Error(), want):
			t.Errorf("%.60q: %q does not say %q", line, err, want)
		case err != nil && len(err.Error()) > 600:
			t.Errorf("%.60q: an error of %d bytes", line, len(err.Error()))
		}
	}
}

// A megabyte is answered at once.
func TestReadLineLong(t *testing.T) {
	t.Parallel()
	for _, part := range []string{"9", "1/", "1 ", "(", "to taste ", "optional", "é", "\xff", ","} {
		start := time.Now()
		_, err := formula.ReadLine("1 g " + strings.Repeat(part, 1<<20/len(part)))
		if err == nil || !utf8.ValidString(err.Error()) || time.Since(start) > time.Second {
			t.Errorf("%q: %v in %v", part, err, time.Since(start))
		}
	}
}

func FuzzReadLine(f *testing.F) {
	for _, c := range written {
		f.Add(c.line)
	}
	for _, s := range []string{"1 250 g flour", "225 g/8 oz butter", "salt to taste", "2\" ginger", "8 oz (225 g) butter", "½", "1/0 g", "a ", "( )", "\xff g x"} {
		f.Add(s)
	}
	larder := formula.Larder{Table: ingredient.Builtin(), EggSize: "us-large"}
	f.Fuzz(func(t *testing.T, s string) {
		r, err := formula.ReadLine(s)
		if err != nil {
			return
		}
		if r.Name == "" || !r.Amount.Given() && !r.ToTaste || r.Amount.Given() && !(r.Amount.High > 0 && r.Amount.Low <= r.Amount.High && r.Amount.High <= 1e15) {
			t.Fatalf("%q is read as %+v", s, r)
		}
		l, err := larder.Link(r, "")
		if err == nil && !(l.Low >= 0 && l.Low <= l.Mass && l.Mass <= l.High && l.High <= 2e4) {
			t.Fatalf("%q weighs %v to %v, %v", s, l.Low, l.High, l.Mass)
		}
	})
}

func BenchmarkReadLine(b *testing.B) {
	for i := 0; b.Loop(); i++ {
		if _, err := formula.ReadLine(written[i%len(written)].line); err != nil {
			b.Fatal(err)
		}
	}
}

func ExampleReadLine() {
	r, err := formula.ReadLine("1 3/4 oz butter, soft")
	fmt.Println(r.Amount, "|", r.Name, "|", r.Preparation, "|", err)
	_, err = formula.ReadLine("1,250 g flour")
	fmt.Println(err)
	// Output:
	// 1 3/4 oz | butter | soft | <nil>
	// the line "1,250 g flour" has no amount that can be read ("1,250" may be thousands or thousandths: write 1250 or 1.250): write a number and a unit first, or "to taste"
}
