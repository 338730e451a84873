package unit_test

import (
	"fmt"
	"math"
	"strconv"
	"strings"
	"testing"
	"time"

	"pgregory.net/rapid"

	"chablon/unit"
)

func itoa(n int) string { return strconv.Itoa(n) }

var allDimensions = []unit.Dimension{
	unit.Count, unit.OfMass, unit.OfVolume, unit.OfLength, unit.OfArea, unit.OfTemperature,
	unit.OfTempDiff, unit.OfTime, unit.OfShare, unit.OfDensity, unit.OfLoad,
}

// Units as they are written; the symbol is that of the table in unit.go.
func TestParseUnit(t *testing.T) {
	t.Parallel()
	for symbol, spellings := range map[string][]string{
		"g":     {"g", "g.", "gr", "gr.", "gram", "Grams", "GRAMMES"},
		"kg":    {"kg", "KG", "Kg.", "kilo"},
		"oz":    {"oz", "oz.", "OZ", "Ounces", "ounce"},
		"lb":    {"lb", "lbs", "lb.", "LBS.", "pounds"},
		"ml":    {"ml", "mL", "ML", "cc", "millilitres", "milliliter"},
		"L":     {"L", "l", "L.", "litre", "Liters"},
		"tsp":   {"t", "t.", "tsp", "tsp.", "TSP", "teaspoons"},
		"tbsp":  {"T", "T.", "Tbsp", "tbsp.", "TBSP", "tbs", "tablespoon"},
		"fl oz": {"fl oz", "fl. oz.", "FL OZ", "floz", "fl.oz.", "fluid ounce", "Fluid Ounces", "fluid-ounce", "fl  oz"},
		"cup":   {"c", "c.", "cup", "Cups"},
		"in":    {"in", "in.", "inch", "\"", "″"},
		"°C":    {"°C", "C", "°c", "degC", "Celsius"},
		"°F":    {"°F", "F", "fahrenheit"},
		"":      {"", "  "},
		"g/ml":  {"g/ml", "g/mL", "G/ML", "g/cm³", "kg/L"},
	} {
		for _, s := range spellings {
			if u, ok := unit.ParseUnit(s); !ok || u.Symbol != symbol {
				t.Errorf("ParseUnit(%q) = %q, %v; want %q", s, u.Symbol, ok, symbol)
			}
		}
	}
	for _, s := range []string{"G", "M", "H", "D", "S", "x", ".", "..", "gg", "cupboard", "oz oz", "\u212a", "ſ", "İ", "kilograſ", "\x00", strings.Repeat("g", 1<<20)} {
		if u, ok := unit.ParseUnit(s); ok {
			t.Errorf("ParseUnit(%.20q) = %q; it is no unit", s, u.Symbol)
		}
	}
}

func TestParseQuantityRefuses(t *testing.T) {
	t.Parallel()
	for _, c := range []struct {
		text   string
		accept []unit.Dimension
		want   []string
	}{
		{"250", []unit.Dimension{unit.OfMass}, []string{"has no unit", "mg, g, kg, oz, lb"}},
		{"250 q", []unit.Dimension{unit.OfMass}, []string{`unit "q"`, "mg, g, kg, oz, lb"}},
		{"250 ml", []unit.Dimension{unit.OfMass}, []string{"is a volume", "a mass is wanted", "mg, g, kg, oz, lb"}},
		{"250 g", []unit.Dimension{unit.OfVolume, unit.OfLength}, []string{"volume or length", "ml, cl, dl, L, tsp, tbsp, fl oz, cup, pint, quart, gallon, mm, cm, m, in"}},
		{"3 g", []unit.Dimension{unit.Count}, []string{"a count is wanted", "a number without a unit"}},
		{"3 g", []unit.Dimension{unit.OfShare, unit.Count}, []string{"%, a number without a unit"}},
		{"3 g", []unit.Dimension{unit.OfTempDiff}, []string{"K, °C, °F"}},
		{"g", []unit.Dimension{unit.OfMass}, []string{"does not start with a number"}},
		{"1,250 g", []unit.Dimension{unit.OfMass}, []string{"thousands or thousandths"}},
		{"-5 g", []unit.Dimension{unit.OfMass}, []string{"negative"}},
		{"5 g flour", []unit.Dimension{unit.OfMass}, []string{`unit "g flour"`}},
		{"--5 °C", []unit.Dimension{unit.OfTemperature}, []string{"negative"}},
		{"-5 to 10 °C", []unit.Dimension{unit.OfTemperature}, []string{"second end is below zero"}},
		{"-18-22 °C", []unit.Dimension{unit.OfTemperature}, []string{"-20 to -18"}},
		{"1e5 g", []unit.Dimension{unit.OfMass}, []string{`unit "e5 g"`}},
		{"", []unit.Dimension{unit.OfMass}, []string{"does not start with a number"}},
		{"1 " + strings.Repeat("x", 1<<20), []unit.Dimension{unit.OfMass}, []string{"not known"}},
	} {
		_, err := unit.ParseQuantity(c.text, c.accept...)
		if err == nil {
			t.Errorf("ParseQuantity(%.40q) gives no error", c.text)
			continue
		}
		for _, w := range c.want {
			if !strings.Contains(err.Error(), w) {
				t.Errorf("ParseQuantity(%.40q): %q does not say %q", c.text, err, w)
			}
		}
		if len(err.Error()) > 500 {
			t.Errorf("ParseQuantity(%.40q): an error of %d bytes", c.text, len(err.Error()))
		}
	}
}

// Below zero there are only temperatures, and each end of a range has its sign.
func TestParseQuantityBelowZero(t *testing.T) {
	t.Parallel()
	for text, want := range map[string][2]float64{
		"-18 °C":          {-18, -18},
		"−18 °C":          {-18, -18},
		"-20 to -18 °C":   {-20, -18},
		"-20--18 °C":      {-20, -18},
		"−20 – −18 °C":    {-20, -18},
		"-18 to -20 °C":   {-20, -18},
		"-5 to +10 °C":    {-5, 10},
		"2-4 °C":          {2, 4},
		"-1/2 °C":         {-0.5, -0.5},
		"-4 °F":           {-20, -20},
		"-4 to +50 °F":    {-20, 10},
		"0 °F":            {-32 / 1.8, -32 / 1.8},
		"230–235 °C":      {230, 235},
		"\u2003-5\u2003C": {-5, -5},
	} {
		q, err := unit.ParseQuantity(text, unit.OfTemperature)
		if err != nil {
			t.Error(err)
			continue
		}
		low, high := q.TemperatureRange()
		if math.Abs(float64(low)-want[0]) > 1e-12 || math.Abs(float64(high)-want[1]) > 1e-12 {
			t.Errorf("%q is %v to %v °C, want %v", text, float64(low), float64(high), want)
		}
	}
}

// What was not written is zero of everything, and stays unwritten.
func TestNotGiven(t *testing.T) {
	t.Parallel()
	var q unit.Quantity
	if q.Given() || q.Mass() != 0 || q.Volume() != 0 || q.Length() != 0 || q.Area() != 0 || q.Density() != 0 || q.Load() != 0 ||
		q.Duration() != 0 || q.Number() != 0 || q.Share() != 0 || q.Temperature() != 0 || q.TempDiff() != 0 || q.Times(3).Given() {
		t.Error("the zero Quantity is something")
	}
}

// Asking for another dimension is a mistake of the program.
func TestWrongDimensionPanics(t *testing.T) {
	t.Parallel()
	defer func() {
		if r := recover(); r == nil || !strings.Contains(fmt.Sprint(r), "5 g is a mass, not a volume") {
			t.Errorf("got panic %v", r)
		}
	}()
	_ = written(t, "5 g", unit.OfMass).Volume()
}

// A time beyond any kitchen saturates instead of turning negative.
func TestDurationSaturates(t *testing.T) {
	t.Parallel()
	if got := written(t, "999999999999 d", unit.OfTime).Duration(); got != math.MaxInt64 {
		t.Errorf("got %v", got)
	}
	if got := written(t, "1 1/2 h", unit.OfTime).Duration(); got != 90*time.Minute {
		t.Errorf("1 1/2 h is %v", got)
	}
}

// What Of writes is read as the same quantity; and so is what Times writes of a range.
func TestQuantityRoundTrip(t *testing.T) {
	t.Parallel()
	var units []unit.Unit
	for _, d := range allDimensions[1:] {
		for s := range strings.SplitSeq(unit.Accepted(d), ", ") {
			u, ok := unit.ParseUnit(s)
			if !ok || u.Dim != d {
				t.Fatalf("the symbol %q of a %s is read as a %s", s, d, u.Dim)
			}
			units = append(units, u)
		}
	}
	units = append(units, unit.One)
	rapid.Check(t, func(t *rapid.T) {
		u := rapid.SampledFrom(units).Draw(t, "unit")
		low := rapid.Float64Range(0, 1e6).Draw(t, "low")
		q := unit.Of(low, u)
		if rapid.Bool().Draw(t, "range") {
			q.High = low + rapid.Float64Range(0, 100).Draw(t, "wider")
			q = q.Times(rapid.Float64Range(0, 100).Draw(t, "k"))
		}
		got, err := unit.ParseQuantity(q.Text, u.Dim)
		if err != nil || got != q {
			t.Fatalf("%+v is written %q and read %+v, %v", q, q.Text, got, err)
		}
	})
}

// Scaling there and back changes nothing beyond the last digits.
func TestTimesThereAndBack(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		q := unit.Of(rapid.Float64Range(1e-3, 1e6).Draw(t, "v"), mustUnit("g"))
		k := rapid.Float64Range(1e-3, 1e3).Draw(t, "k")
		if got := q.Times(k).Times(1 / k); math.Abs(got.Mid()-q.Mid()) > 1e-14*q.Mid() {
			t.Fatalf("%v times %v and back is %v", q, k, got)
		}
	})
}

// A megabyte of any sort is answered at once: work grows with the length, not with its square.
func TestLongInputs(t *testing.T) {
	t.Parallel()
	for _, part := range []string{"9", "1/", "1 ", "½", " ", "-", "1-", "to ", ".", ",", "1,", "g", "é", "\u00a0"} {
		text := strings.Repeat(part, 1<<20/len(part))
		start := time.Now()
		for _, s := range []string{text, "1" + text, "1 " + text} {
			if q, err := unit.ParseQuantity(s, allDimensions...); err == nil && math.IsInf(q.Mid(), 0) {
				t.Errorf("%d times %q is %v", len(text)/len(part), part, q.Mid())
			}
		}
		if took := time.Since(start); took > 3*time.Second {
			t.Errorf("a megabyte of %q took %v", part, took)
		}
	}
}

func FuzzParseQuantity(f *testing.F) {
	for _, s := range []string{"250 g", "1 3/4 oz", "2-3 min", "3½ cups", "1-1/2 c.", "-20 to -18 °C", "1,250 g", "12 %", "0,5 L", "1⁄8 t", "5 fl. oz", "1/0", "9e99", "½–¾"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, s string) {
		q, err := unit.ParseQuantity(s, allDimensions...)
		if err != nil {
			if q.Given() || err.Error() == "" {
				t.Fatalf("%q: %v with %v", s, err, q)
			}
			return
		}
		if !(q.Low <= q.High) || math.IsInf(q.Low, 0) || math.IsInf(q.High, 0) {
			t.Fatalf("%q: %g to %g", s, q.Low, q.High)
		}
		again, err := unit.ParseQuantity(q.Text, allDimensions...)
		if err != nil || again != q {
			t.Fatalf("%q is read again as %+v, %v; was %+v", q.Text, again, err, q)
		}
	})
}

func mustUnit(s string) unit.Unit {
	u, ok := unit.ParseUnit(s)
	if !ok {
		panic("no unit " + s)
	}
	return u
}

func ExampleParseQuantity() {
	q, _ := unit.ParseQuantity("1 3/4 oz", unit.OfMass)
	fmt.Println(q, "is", q.Mass().Show())
	_, err := unit.ParseQuantity("250", unit.OfMass)
	fmt.Println(err)
	// Output:
	// 1 3/4 oz is 49.6 g
	// "250" has no unit: write one of mg, g, kg, oz, lb
}

func BenchmarkParseQuantity(b *testing.B) {
	texts := []string{"250 g", "1 3/4 oz", "2-3 min", "0,5 L", "12 %"}
	for i := 0; b.Loop(); i++ {
		if _, err := unit.ParseQuantity(texts[i%len(texts)], allDimensions...); err != nil {
			b.Fatal(err)
		}
	}
}
