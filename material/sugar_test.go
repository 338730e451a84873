package material

import (
	"encoding/csv"
	"math"
	"os"
	"slices"
	"strconv"
	"testing"

	"pgregory.net/rapid"

	"chablon/unit"
)

// must returns v, and fails where there is an error.
func must[T any](t testing.TB) func(v T, err error) T {
	return func(v T, err error) T {
		t.Helper()
		if err != nil {
			t.Fatal(err)
		}
		return v
	}
}

// sugarChecks are the rows of testdata/checks.csv on sugar solutions and their activity.
func sugarChecks(t *testing.T) map[string]float64 {
	f := must[float64](t)
	b := must[Brix](t)
	density := func(x Brix) float64 { return must[unit.Density](t)(SyrupDensity(x)).GramsPerMillilitre() }
	power := func(name string) float64 {
		s, ok := SweetenerNamed(name)
		if !ok {
			t.Errorf("no sweetener %q", name)
		}
		return s.FreezingPower()
	}
	salt := func(name string) HumiditySalt {
		i := slices.IndexFunc(HumiditySalts(), func(s HumiditySalt) bool { return s.Name == name })
		if i < 0 {
			t.Fatalf("no salt %q", name)
		}
		return HumiditySalts()[i]
	}
	over := func(name string) float64 { v, _ := salt(name).At(25); return v }
	glycerol := syrup(Polyols, .2)
	first, _ := must[Freezing](t)(glycerol.Freezing(Solutes{Polyol: Glycerol})).FreezingPoint()
	mix := IceCreamMix{Water: 60, MilkSNF: 10, WheySolid: 2, Sucrose: 12, Syrup: 4, DE: 42}
	moles := 67 / sucroseMolar / 33 // for a kilogram of water
	return map[string]float64{
		"SW-005": density(20), "SW-006": density(40), "SW-007": density(50), "SW-008": density(60), "SW-009": density(70),
		"SW-010": f(RefractiveIndex(20)), "SW-011": f(RefractiveIndex(40)), "SW-012": f(RefractiveIndex(50)),
		"SW-013": f(RefractiveIndex(60)), "SW-014": f(RefractiveIndex(70)),
		"SW-019": -first.Celsius(),
		"SW-024": float64(b(BrixByNBS(1.04))), "SW-025": float64(b(BrixByNBS(1.08287))), "SW-026": float64(b(BrixByNBS(1.15))),
		"SW-027": f(Plato(1.05)),
		"SW-028": f(SpecificGravityOf(20)), "SW-029": f(SpecificGravityOf(60)), "SW-030": f(SpecificGravityOf(70)),
		"SW-031": f(SucroseMoleFraction(60)),
		"SW-033": norrish(.6789, sucroseMolar, 6.47), "SW-035": norrish(.3, polyols[Glycerol].molar, polyols[Glycerol].norrish),
		"SW-037": must[Activity](t)(Raoult(.3 / sucroseMolar / .7)).Value,
		"SW-039": must[Activity](t)(MoneyBorn(moles)).Value,
		"SW-040": must[Activity](t)(food(.33, 0, 0, .67, .67, 0, 0).Grover(Solutes{})).Value,
		"SW-049": salt("lithium chloride").Activity, "SW-050": salt("magnesium chloride").Activity, "SW-051": salt("sodium chloride").Activity,
		"SW-052": salt("potassium chloride").Activity, "SW-053": salt("potassium sulfate").Activity,
		"SW-054": over("sodium chloride"), "SW-055": over("magnesium chloride"),
		"SW-083": power("glucose"), "SW-084": power("fructose"), "SW-085": power("dextrose monohydrate"), "SW-086": power("sorbitol"),
		"SW-087": power("glycerol"), "SW-088": power("ethanol"), "SW-089": power("sodium chloride"),
		"SW-090": 1000 * must[Syrup](t)(GlucoseSyrup(42)).Molar,
		"SW-091": mix.SucroseEquivalent(), "SW-092": mix.SaltDepression().Kelvins(),
		"SW-093": must[unit.Temperature](t)(mix.FreezingPoint()).Celsius(),
		"SW-094": float64(b(Solubility(20))), "SW-095": float64(b(Solubility(50))),
	}
}

// crcRow is a row of testdata/solutions.csv; 0 where the table has no figure.
type crcRow struct {
	solute                                string
	share, density, refraction, depressed float64
}

func crcRows(t *testing.T) []crcRow {
	t.Helper()
	f, err := os.Open("testdata/solutions.csv")
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	r := csv.NewReader(f)
	r.Comment = '#'
	rows, err := r.ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	var out []crcRow
	for _, row := range rows[1:] {
		number := func(s string) float64 {
			if s == "" {
				return 0
			}
			return must[float64](t)(strconv.ParseFloat(s, 64))
		}
		out = append(out, crcRow{row[0], number(row[1]) / 100, number(row[3]), number(row[4]), number(row[5])})
	}
	if len(out) < 150 {
		t.Fatalf("only %d rows of the CRC table", len(out))
	}
	return out
}

// TestFreezingOfSolutions holds the freezing point against every row of the CRC table. The limits
// are those of FreezingPoint's comment, and half a unit of the table's last digit.
func TestFreezingOfSolutions(t *testing.T) {
	for _, row := range crcRows(t) {
		if row.depressed == 0 {
			continue
		}
		o, c, limit := Solutes{}, Composition{}, 0.03
		switch row.solute {
		case "sucrose":
			c, limit = syrup(Sucrose, row.share), 0.02
		case "glucose":
			c = syrup(Glucose, row.share)
		case "fructose":
			c = syrup(Fructose, row.share)
		case "lactose":
			c = syrup(Lactose, row.share)
		case "maltose":
			c = syrup(Maltose, row.share)
		case "glycerol":
			c, o.Polyol = syrup(Polyols, row.share), Glycerol
		case "ethanol":
			c = syrup(Alcohol, row.share)
		case "sodium chloride":
			c = syrup(Sodium, row.share)
		}
		x := must[Freezing](t)(c.Freezing(o))
		first, ok := x.FreezingPoint()
		if row.depressed > 40 {
			if ok {
				t.Errorf("%s %g: freezes at %v, below the range", row.solute, row.share, first)
			}
			continue
		}
		if row.solute == "glycerol" && row.share == 0.01 {
			continue // printed 0.18, an eighth below the ideal figure, beside 0.41 at 2 %: a misprint
		}
		if diff := math.Abs(-first.Celsius() - row.depressed); !ok || diff > limit*row.depressed+0.01 {
			t.Errorf("%s %g: freezes at %.3f, table %.2f (%.1f %%)", row.solute, row.share, first.Celsius(), -row.depressed, 100*diff/row.depressed)
		}
	}
}

// The sucrose rows of the CRC table: density to 1e-4 g/ml (half the last digit of the table beside
// the fit's own), refraction to 1e-4.
func TestSucroseSolutions(t *testing.T) {
	for _, row := range crcRows(t) {
		if row.solute != "sucrose" {
			continue
		}
		b := Brix(100 * row.share)
		if d := must[unit.Density](t)(SyrupDensity(b)).GramsPerMillilitre(); math.Abs(d-row.density) > 1e-4 {
			t.Errorf("%v Bx: density %.5f, table %.4f", b, d, row.density)
		}
		if n := must[float64](t)(RefractiveIndex(b)); math.Abs(n-row.refraction) > 1e-4 {
			t.Errorf("%v Bx: nD %.5f, table %.4f", b, n, row.refraction)
		}
		c := syrup(Sucrose, row.share)
		if d, ok := c.Density(20); !ok || math.Abs(d.GramsPerMillilitre()/row.density-1) > 0.02 {
			t.Errorf("%v Bx: density by components %.4f, table %.4f", b, d.GramsPerMillilitre(), row.density)
		}
	}
}

// Density by components is rougher for other solutes: within 2 % of the CRC table for the sugars,
// which the comment of Thermal.Density promises.
func TestDensityOfSolutions(t *testing.T) {
	sugars := map[string]Component{"glucose": Glucose, "fructose": Fructose, "lactose": Lactose, "maltose": Maltose}
	for _, row := range crcRows(t) {
		k, ok := sugars[row.solute]
		if !ok {
			continue
		}
		if d, ok := syrup(k, row.share).Density(20); !ok || math.Abs(d.GramsPerMillilitre()/row.density-1) > 0.02 {
			t.Errorf("%s %g: %.4f, table %.4f", row.solute, row.share, d.GramsPerMillilitre(), row.density)
		}
	}
}

// Baume of 30, 60, 65 and 80 Bx: 16.6, 32.5, 35.0 and 42.5 (modulus 145; published tables).
func TestBaume(t *testing.T) {
	for b, want := range map[Brix]float64{30: 16.6, 60: 32.5, 65: 35.0, 80: 42.5} {
		got := must[float64](t)(Baume(must[float64](t)(SpecificGravityOf(b))))
		if math.Abs(got-want) > 0.1 {
			t.Errorf("%v Bx: %.2f degrees Baume, want %.1f", b, got, want)
		}
	}
}

// The scales turn back into each other, rise together, and the two fits of density agree.
func TestScalesTurnBack(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		b := Brix(rapid.Float64Range(0, 80).Draw(t, "Bx"))
		sg, _ := SpecificGravityOf(b)
		if back, err := BrixOf(sg); err != nil || math.Abs(float64(back-b)) > 1e-6 {
			t.Fatalf("%v Bx: SG %v leads back to %v, %v", b, sg, back, err)
		}
		n, _ := RefractiveIndex(b)
		if back, err := BrixOfRefraction(n); err != nil || math.Abs(float64(back-b)) > 1e-6 {
			t.Fatalf("%v Bx: nD %v leads back to %v, %v", b, n, back, err)
		}
		degrees, _ := Baume(sg)
		if back, err := GravityOfBaume(degrees); err != nil || math.Abs(back-sg) > 1e-12 {
			t.Fatalf("SG %v: %v degrees lead back to %v, %v", sg, degrees, back, err)
		}
		if more, _ := SpecificGravityOf(b + 0.01); !(more > sg) {
			t.Fatalf("SG does not rise at %v Bx", b)
		}
		if b <= 40 {
			if nbs, err := BrixByNBS(sg); err != nil || math.Abs(float64(nbs-b)) > 0.05 {
				t.Fatalf("%v Bx: NBS says %v, %v", b, nbs, err)
			}
		}
		if b <= 28 { // degrees Plato are Brix by another name
			if p, err := Plato(sg); err != nil || math.Abs(p-float64(b)) > 0.05 {
				t.Fatalf("%v Bx: %v degrees Plato, %v", b, p, err)
			}
		}
	})
}

func TestScalesRefuse(t *testing.T) {
	for _, x := range []float64{math.NaN(), math.Inf(1), math.Inf(-1), -1, 101} {
		_, e1 := SpecificGravityOf(Brix(x))
		_, e2 := BrixOf(x)
		_, e3 := BrixByNBS(x)
		_, e4 := Plato(x)
		_, e6 := GravityOfBaume(x)
		_, e7 := RefractiveIndex(Brix(x))
		_, e8 := BrixOfRefraction(x)
		_, e9 := Solubility(unit.Celsius(x))
		_, e10 := SucroseMoleFraction(Brix(x))
		_, e11 := GlucoseSyrup(x)
		_, e12 := RefractometerCorrection(unit.Celsius(x))
		_, e5 := Baume(min(x, 0.9))
		for i, err := range []error{e1, e2, e3, e4, e5, e6, e7, e8, e9, e10, e11, e12} {
			if err == nil {
				t.Errorf("scale %d takes %g", i+1, x)
			}
		}
	}
}

// At 25 and 15 degC: 5 K times 0.06 to 0.08 Bx, and the negative of it.
func TestRefractometerCorrection(t *testing.T) {
	warm, cold := must[unit.Range](t)(RefractometerCorrection(25)), must[unit.Range](t)(RefractometerCorrection(15))
	if math.Abs(warm.Low-.3) > 1e-12 || math.Abs(warm.High-.4) > 1e-12 || math.Abs(cold.Low+.4) > 1e-12 || math.Abs(cold.High+.3) > 1e-12 {
		t.Errorf("got %v and %v", warm, cold)
	}
}

// The parts of a glucose syrup add up to it: shares to 1, particles to those of its DE.
func TestSyrupAddsUp(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		de := rapid.Float64Range(leastDE, mostDE).Draw(t, "DE")
		s, err := GlucoseSyrup(de)
		if err != nil {
			t.Fatal(err)
		}
		share, particles := 0.0, 0.0
		for _, f := range []Fraction{s.Glucose, s.Maltose, s.Higher} {
			if !(f.Share >= 0 && f.Share <= 1 && f.Molar > 0) {
				t.Fatalf("DE %g: %+v", de, s)
			}
			share += f.Share
			particles += f.Share / f.Molar
		}
		if math.Abs(share-1) > 1e-9 || math.Abs(particles*s.Molar-1) > 0.02 {
			t.Fatalf("DE %g: shares %g, particles %g of those of the syrup", de, share, particles*s.Molar)
		}
		if de > 19 && s.Higher.Molar > 2 {
			t.Fatalf("DE %g: longer chains of %g kg/mol", de, s.Higher.Molar)
		}
	})
	// 42 DE: what is left of 1/428.95 after .19/180.156 and .14/342.297, by hand: .67/.0008677 = 772 g/mol.
	if s := syrupOf(42); math.Abs(1000*s.Higher.Molar-772) > 1 || math.Abs(s.FreezingPower()-.798) > .001 {
		t.Errorf("42 DE: longer chains %g g/mol, freezing power %g", 1000*s.Higher.Molar, s.FreezingPower())
	}
}

// By hand: 10 % sucrose 10; 5 % fructose 5.5 to 8.65; 10 % syrup solids with 2 glucose (1.4 to 1.5), 1.4
// maltose (.448 to .63) and 6.6 of longer chains (0 to 2.178).
func TestSweetness(t *testing.T) {
	c := food(.75, 0, 0, .25, .1, 0, 0)
	c.Set(Fructose, .05)
	c.Set(Glucose, .02)
	c.Set(Maltose, .014)
	c.Set(Sugars, .184)
	c.Set(Starch, 0)
	s := must[Sweetness](t)(c.Sweetness(Solutes{DE: 42}))
	if math.Abs(s.Low-17.348) > 1e-9 || math.Abs(s.High-22.958) > 1e-9 || s.Assumptions != nil {
		t.Errorf("got %+v, want 17.348 to 22.958", s)
	}
	if _, err := (Composition{}).Sweetness(Solutes{}); err == nil {
		t.Error("nothing known has a sweetness")
	}
	c.Set(Polyols, .1)
	for p := range polyolCount { // each polyol has its sweetness
		if r := must[Sweetness](t)(c.Sweetness(Solutes{Polyol: p})); !(r.High > 0 && r.Low <= r.High) {
			t.Errorf("%v: %v", p, r)
		}
	}
}

// The trade's table and the model agree within 0.15 K to 93 g of sucrose in 100 g of water, and within
// 1.4 K to its end, the model colder.
func TestLeighton(t *testing.T) {
	for g := 3.0; g <= 180; g += 3 {
		table := must[unit.Temperature](t)(IceCreamMix{Water: 100, Sucrose: g}.FreezingPoint())
		model, _ := must[Freezing](t)(syrup(Sucrose, g/(100+g)).Freezing(Solutes{})).FreezingPoint()
		limit := 0.15
		if g > 93 {
			limit = 1.4
		}
		if diff := math.Abs(float64(table - model)); diff > limit {
			t.Errorf("%g g: table %.2f, model %.2f", g, table, model)
		}
	}
	for _, m := range []IceCreamMix{{}, {Water: 100, Sucrose: 181}, {Water: math.NaN()}, {Water: 1, DE: 200}, {Water: 1, Syrup: -1}, {Water: math.Inf(1)}} {
		if p, err := m.FreezingPoint(); err == nil {
			t.Errorf("%+v freezes at %v", m, p)
		}
	}
}
