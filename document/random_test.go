package document

import (
	"encoding/json"
	"fmt"
	"math/rand/v2"
	"reflect"
	"strings"
	"testing"

	"chablon/unit"
)

// words are texts that YAML or JSON could mistake for something else.
var words = []string{
	"almond flour", "sucre inverti, 20 %", "yes", "no", "null", "~", "true", "False", "12", "0x1F", "1e3", "1_000", ".inf", "-", "- a", "-1",
	"a: b", "a #b", "#c", "'q'", `"q"`, `back\slash`, "[x", "{x}", "&a", "*a", "!t", "%d", "@x", "`x", "|", ">", "? a", ": ", "a:", ",",
	"line\nline", "line\nline\n", "a\n\nb", " lead", "trail ", "a\n  b", "\n", "tab\tin", "crème brûlée", "½ tasse", "日本", "🍰", "e\u0301", "\u00a0x", "a\u2028b",
	"---", "...", "2026-12-05", "07:30", "<<", "=", "a  b", "x\r\ny", "\ufeffx", "~x", "---\nx", "a\n---\nb", "a\n# b", "key: |\n text", "\ue000", "-5 °C",
}

// randomValue fills v with something that its tags accept.
func randomValue(r *rand.Rand, v reflect.Value, f field) {
	switch {
	case f.typ == quantityType:
		v.Set(reflect.ValueOf(randomQuantity(r, f.dims)))
	case f.typ.Kind() == reflect.Struct:
		randomStruct(r, v, f.dims)
	case f.typ.Kind() == reflect.Pointer:
		v.Set(reflect.New(f.typ.Elem()))
		randomStruct(r, v.Elem(), f.dims)
	case f.typ.Kind() == reflect.Slice:
		n := 1 + r.IntN(3)
		v.Set(reflect.MakeSlice(f.typ, n, n))
		for i := range n {
			randomValue(r, v.Index(i), f.item())
		}
	case f.typ.Kind() == reflect.String:
		v.SetString(randomText(r, f))
	case f.typ.Kind() == reflect.Bool:
		v.SetBool(true)
	case f.typ.Kind() == reflect.Int:
		v.SetInt(int64(limit(f.min, 0)) + r.Int64N(int64(limit(f.max, 1000)-limit(f.min, 0))+1))
	default:
		v.SetFloat(limit(f.min, -1e6) + r.Float64()*(limit(f.max, 1e6)-limit(f.min, -1e6)))
	}
}

func limit(p *float64, otherwise float64) float64 {
	if p == nil {
		return otherwise
	}
	return *p
}

func randomStruct(r *rand.Rand, v reflect.Value, dims []unit.Dimension) {
	s := specOf(v.Type())
	for _, f := range s.fields {
		if f.name == "kind" && v.FieldByName("Head").IsValid() {
			continue
		}
		if f.required || r.IntN(3) == 0 {
			for value := v.FieldByIndex(f.index); ; { // a required one is not empty
				randomValue(r, value, f.within(dims))
				if !f.required || isNumber(f.typ) || !value.IsZero() {
					break
				}
			}
		}
	}
}

func randomText(r *rand.Rand, f field) string {
	switch {
	case len(f.enum) > 0:
		return f.enum[r.IntN(len(f.enum))]
	case f.pattern == "":
		return words[r.IntN(len(words))]
	}
	forms := map[string][]string{
		"id": {"a", "almond-sponge", "1", "12e3", "true", "null"}, "ref": {"egg", "mousse@3", "0@12"}, "clock": {"07:30", "23:59"},
		"date": {"2026-12-05", "2024-02-29"}, "time": {"2026-12-05 18:00", "2026-01-01 00:00:59"}, "money": {"4.20", "12", "0.5"},
	}
	return forms[f.pattern][r.IntN(len(forms[f.pattern]))]
}

func randomQuantity(r *rand.Rand, dims []unit.Dimension) unit.Quantity {
	forms := map[unit.Dimension][]string{
		unit.Count: {"3", "0.45", "1 1/2", "½", "2-3"}, unit.OfMass: {"250 g", "1 3/4 oz", "0 kg", "1,5 kg"}, unit.OfVolume: {"1 L", "2 to 3 cups", "½ tsp"},
		unit.OfLength: {"45 mm", "7 in", `7"`}, unit.OfArea: {"40 cm²"}, unit.OfTemperature: {"-20 °C", "350 °F", "4-8 °C", "−3 °C"}, unit.OfTempDiff: {"5 K"},
		unit.OfTime: {"2-3 min", "1 d"}, unit.OfShare: {"12 %", "0.5%"}, unit.OfDensity: {"0.5 g/ml", "450 kg/m3"}, unit.OfLoad: {"0.15 g/cm²"},
	}
	d := dims[r.IntN(len(dims))]
	texts := forms[d]
	if d == unit.OfShare {
		texts = append(texts, "0.12", "1")
	}
	q, err := unit.ParseQuantity(texts[r.IntN(len(texts))], d, unit.Count)
	if err != nil {
		panic(err)
	}
	return q
}

// Parse reads back what Marshal and MarshalYAML write, and the schema accepts it. Documents
// are random, over every field of every kind, the same ones each time.
func TestRoundTrip(t *testing.T) {
	root := loadSchema(t)
	for seed := range uint64(150) {
		r := rand.New(rand.NewPCG(seed, 1))
		for _, kind := range Kinds() {
			d, _ := New(kind)
			randomStruct(r, reflect.ValueOf(d).Elem(), nil)
			var v any
			if err := json.Unmarshal(Marshal(d), &v); err != nil {
				t.Fatalf("seed %d: %v", seed, err)
			}
			if err := conforms(root, root, v, "$"); err != nil {
				t.Fatalf("seed %d: %v", seed, err)
			}
			for name, data := range map[string][]byte{"x.json": Marshal(d), "x.yaml": MarshalYAML(d)} {
				got, errs := Parse(name, data)
				if len(errs) > 0 {
					t.Fatalf("seed %d: %v\n%s", seed, errs[0], data)
				}
				if !reflect.DeepEqual(got, []Document{d}) {
					t.Fatalf("seed %d: %s came back different:\n%s\n%s", seed, name, data, Marshal(got[0]))
				}
			}
		}
	}
}

// Each of the awkward texts survives alone, and several documents in one stream too.
func TestRoundTripTexts(t *testing.T) {
	var stream strings.Builder
	for i, w := range words {
		d := &Stock{Head: Head{Kind: "stock", ID: fmt.Sprint("s", i), Notes: w}, Place: w}
		d.Amount, _ = unit.ParseQuantity("1 kg", unit.OfMass)
		stream.WriteString("---\n" + string(MarshalYAML(d)))
	}
	got, errs := Parse("x.yaml", []byte(stream.String()))
	if len(errs) > 0 || len(got) != len(words) {
		t.Fatal(len(got), errs)
	}
	for i, d := range got {
		if s := d.(*Stock); s.Notes != words[i] || s.Place != words[i] {
			t.Errorf("%q came back as %q and %q", words[i], s.Notes, s.Place)
		}
	}
}
