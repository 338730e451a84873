package unit_test

import (
	"encoding/csv"
	"math"
	"os"
	"strconv"
	"strings"
	"testing"

	"chablon/unit"
)

// Every factor is the exact one. The rows and their sources are those of testdata/checks.csv:
// NIST Handbook 44 appendix C, NIST Special Publication 811, and 7 CFR 56.218 for the eggs.
func TestExactFactors(t *testing.T) {
	t.Parallel()
	got := map[string]float64{
		"UN-001": written(t, "1 oz", unit.OfMass).Mass().Grams(),
		"UN-002": written(t, "1 lb", unit.OfMass).Mass().Grams(),
		"UN-003": written(t, "1 fl oz", unit.OfVolume).Volume().Millilitres(),
		"UN-004": written(t, "1 cup", unit.OfVolume).Volume().Millilitres(),
		"UN-005": written(t, "1 tbsp", unit.OfVolume).Volume().Millilitres(),
		"UN-006": written(t, "1 tsp", unit.OfVolume).Volume().Millilitres(),
		"UN-007": written(t, "1 pint", unit.OfVolume).Volume().Millilitres(),
		"UN-008": written(t, "1 quart", unit.OfVolume).Volume().Millilitres(),
		"UN-009": written(t, "1 gallon", unit.OfVolume).Volume().Millilitres(),
		"UN-010": written(t, "1 in", unit.OfLength).Length().Millimetres(),
		"UN-017": written(t, "350 °F", unit.OfTemperature).Temperature().Celsius(),
		"UN-018": written(t, "82 °C", unit.OfTemperature).Temperature().Fahrenheit(),
		"UN-019": unit.Celsius(30).Fahrenheit() - unit.Celsius(20).Fahrenheit(),
		"UN-020": written(t, "30 oz", unit.OfMass).Mass().Grams() / 12,
		"UN-021": written(t, "27 oz", unit.OfMass).Mass().Grams() / 12,
		"UN-022": written(t, "24 oz", unit.OfMass).Mass().Grams() / 12,
		"UN-023": written(t, "21 oz", unit.OfMass).Mass().Grams() / 12,
		"UN-024": written(t, "18 oz", unit.OfMass).Mass().Grams() / 12,
	}
	for _, row := range rows(t, "testdata/checks.csv") {
		want := number(t, row["expected"])
		tolerance := row["tolerance"]
		within := want * 1e-14 // exact, but for the last digits of a float64
		if !strings.HasSuffix(tolerance, "%") {
			within = number(t, tolerance)
		}
		v, ok := got[row["id"]]
		if !ok || math.Abs(v-want) > within {
			t.Errorf("%s, %s: got %.12g %s, want %s (%s)", row["id"], row["quantity"], v, row["unit"], row["expected"], row["source"])
		}
	}
}

// The other units are multiples of these by definition (the SI brochure, 9th edition).
func TestMetricFactors(t *testing.T) {
	t.Parallel()
	for _, c := range []struct {
		got, want float64
	}{
		{float64(written(t, "1 mg", unit.OfMass).Mass()), 1e-6},
		{float64(written(t, "1 g", unit.OfMass).Mass()), 1e-3},
		{float64(written(t, "1 kg", unit.OfMass).Mass()), 1},
		{float64(written(t, "1 ml", unit.OfVolume).Volume()), 1e-6},
		{float64(written(t, "1 cl", unit.OfVolume).Volume()), 1e-5},
		{float64(written(t, "1 dl", unit.OfVolume).Volume()), 1e-4},
		{float64(written(t, "1 L", unit.OfVolume).Volume()), 1e-3},
		{float64(written(t, "1 mm", unit.OfLength).Length()), 1e-3},
		{float64(written(t, "1 cm", unit.OfLength).Length()), 1e-2},
		{float64(written(t, "1 m", unit.OfLength).Length()), 1},
		{float64(written(t, "1 cm²", unit.OfArea).Area()), 1e-4},
		{float64(written(t, "1 m²", unit.OfArea).Area()), 1},
		{float64(written(t, "1 g/ml", unit.OfDensity).Density()), 1000},
		{float64(written(t, "1 kg/m³", unit.OfDensity).Density()), 1},
		{float64(written(t, "1 g/cm²", unit.OfLoad).Load()), 10},
		{float64(written(t, "1 kg/m²", unit.OfLoad).Load()), 1},
		{float64(written(t, "1 g/m²", unit.OfLoad).Load()), 1e-3},
		{written(t, "1 s", unit.OfTime).Duration().Seconds(), 1},
		{written(t, "1 min", unit.OfTime).Duration().Seconds(), 60},
		{written(t, "1 h", unit.OfTime).Duration().Seconds(), 3600},
		{written(t, "1 d", unit.OfTime).Duration().Seconds(), 86400},
		{written(t, "12 %", unit.OfShare).Share(), 0.12},
		{written(t, "0.12", unit.Count).Share(), 0.12},
		{written(t, "5 K", unit.OfTempDiff).TempDiff().Kelvins(), 5},
		{written(t, "5 °C", unit.OfTempDiff).TempDiff().Kelvins(), 5},
		{written(t, "9 °F", unit.OfTempDiff).TempDiff().Kelvins(), 5},
	} {
		if math.Abs(c.got-c.want) > 1e-14*c.want {
			t.Errorf("got %.17g, want %g", c.got, c.want)
		}
	}
}

// Points and differences of temperature; by hand: -40 is the same on both scales, and water
// boils at 212 °F and 373.15 K.
func TestTemperature(t *testing.T) {
	t.Parallel()
	if got := unit.Fahrenheit(-40); got != -40 {
		t.Errorf("-40 °F is %v", got)
	}
	if got := unit.Celsius(100); math.Abs(got.Fahrenheit()-212) > 1e-12 || got.Kelvin() != 373.15 {
		t.Errorf("100 °C is %v °F, %v K", got.Fahrenheit(), got.Kelvin())
	}
	if d := unit.Celsius(4).Minus(unit.Celsius(-18)); d != 22 || unit.Celsius(-18).Plus(d) != 4 {
		t.Errorf("from -18 to 4 °C is %v", d)
	}
}

// A density converts only where it is known. By hand: 250 ml at 1.04 g/ml weigh 260 g.
func TestDensity(t *testing.T) {
	t.Parallel()
	d := 1.04 * unit.GramPerMillilitre
	if got := d.Mass(250 * unit.Millilitre).Grams(); math.Abs(got-260) > 1e-9 {
		t.Errorf("250 ml weigh %v g", got)
	}
	if got := d.Volume(260 * unit.Gram).Millilitres(); math.Abs(got-250) > 1e-9 {
		t.Errorf("260 g take %v ml", got)
	}
	if got := unit.DensityOf(260*unit.Gram, 250*unit.Millilitre).GramsPerMillilitre(); math.Abs(got-1.04) > 1e-12 {
		t.Errorf("260 g in 250 ml: %v g/ml", got)
	}
	for _, d := range []unit.Density{0, -1, unit.Density(math.Inf(1)), unit.Density(math.NaN())} {
		if d.Known() || d.Volume(1) != 0 {
			t.Errorf("density %v is taken for a known one", float64(d))
		}
	}
	if unit.DensityOf(1, 0) != 0 || unit.DensityOf(1, -1) != 0 {
		t.Error("no volume has a density")
	}
}

func written(t *testing.T, text string, accept ...unit.Dimension) unit.Quantity {
	t.Helper()
	q, err := unit.ParseQuantity(text, accept...)
	if err != nil {
		t.Fatal(err)
	}
	return q
}

// rows reads a table with a heading.
func rows(t *testing.T, file string) []map[string]string {
	t.Helper()
	f, err := os.Open(file)
	if err != nil {
		t.Fatal(err)
	}
	defer func() { _ = f.Close() }()
	all, err := csv.NewReader(f).ReadAll()
	if err != nil || len(all) < 2 {
		t.Fatalf("%s: %d rows, %v", file, len(all), err)
	}
	out := make([]map[string]string, 0, len(all)-1)
	for _, cells := range all[1:] {
		row := map[string]string{}
		for i, c := range cells {
			row[all[0][i]] = c
		}
		out = append(out, row)
	}
	return out
}

func number(t *testing.T, s string) float64 {
	t.Helper()
	v, err := strconv.ParseFloat(s, 64)
	if err != nil {
		t.Fatal(err)
	}
	return v
}
