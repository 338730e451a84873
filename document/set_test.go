package document

import (
	"reflect"
	"testing"

	"chablon/unit"
)

func TestParseFiles(t *testing.T) {
	set, errs := ParseFiles([]File{
		{"a.yaml", []byte("- kind: formula\n  id: mousse\n  name: one\n- kind: mould\n  id: mousse\n---\nkind: formula\nid: bad\nwhole: 3\n")},
		{"b.json", []byte(`[{"kind":"formula","id":"mousse","name":"two"},{"kind":"formula","id":"glaze"}]`)},
	})
	var texts []string
	for _, e := range errs {
		texts = append(texts, e.Error())
	}
	want := []string{
		"a.yaml:9:8: formula bad, whole: found 3: write true or false",
		`b.json:1:25: formula mousse, id: found "mousse", which is already taken at a.yaml:2:7: give each formula an id of its own`,
	}
	if !reflect.DeepEqual(texts, want) {
		t.Errorf("got %q, want %q", texts, want)
	}
	if got := len(set.All()); got != 3 {
		t.Errorf("%d documents, want 3", got)
	}
	if m, ok := Find[*Formula](set, "mousse"); !ok || m.Name != "one" {
		t.Errorf("mousse is %v, want the first", m)
	}
	if _, ok := Find[*Formula](set, "bad"); ok || set.Get("formula", "bad") != nil {
		t.Error("a document with a problem is in the set")
	}
	if f := Every[*Formula](set); len(f) != 2 || f[1].ID != "glaze" {
		t.Errorf("formulas %v", f)
	}
	if _, ok := set.Get("mould", "mousse").(*Mould); !ok {
		t.Error("the mould of the same id is missing")
	}
}

func TestRefSplit(t *testing.T) {
	cases := []struct {
		ref     Ref
		id      string
		version int
		ok      bool
	}{
		{"almond-sponge", "almond-sponge", 0, true},
		{"almond-sponge@3", "almond-sponge", 3, true},
		{"", "", 0, false},
		{"a@0", "", 0, false},
		{"a@", "", 0, false},
		{"a@1@2", "", 0, false},
		{"A", "", 0, false},
		{"a@99999999999", "", 0, false},
	}
	for _, c := range cases {
		id, version, err := c.ref.Split()
		if id != c.id || version != c.version || (err == nil) != c.ok {
			t.Errorf("%q: %q, %d, %v", c.ref, id, version, err)
		}
	}
}

// The short forms set the fields that they stand for, down to the last.
func TestShortForms(t *testing.T) {
	docs, errs := Parse("x.yaml", []byte(`kind: formula
id: x
lines: [125 g almond flour, {text: 2 eggs, optional: true}]
density: {value: 0.5 g/ml, low: 450 kg/m³, covers: 0.8}
air: {specific_gravity: 0.450}
steps:
  - {id: fold, verb: fold, active: 3 min}
  - {id: bake, verb: bake, active: {fixed: {value: 2 min, high: 4 min}}}
lags:
  - {from: fold, to: {step: bake, at: start}, at_most: 10 min}
`))
	if len(errs) > 0 {
		t.Fatal(errs[0])
	}
	x := docs[0].(*Formula)
	if x.Lines[0].Text != "125 g almond flour" || x.Lines[1].Text != "2 eggs" || !x.Lines[1].Optional {
		t.Errorf("lines %+v", x.Lines)
	}
	if got := x.Density.Value.Density(); got != 500 {
		t.Errorf("density %v kg/m³, want 500", got)
	}
	if x.Density.Low.Density() != 450 || x.Density.Covers.Share() != 0.8 {
		t.Errorf("spread %+v", x.Density)
	}
	if g := x.Air.SpecificGravity.Value; g.Number() != 0.45 || g.Text != "0.450" {
		t.Errorf("specific gravity %+v", g)
	}
	if x.Steps[0].Active.Fixed.Value.Text != "3 min" || x.Steps[1].Active.Fixed.High.Text != "4 min" {
		t.Errorf("work %+v, %+v", x.Steps[0].Active, x.Steps[1].Active)
	}
	if x.Lags[0].From != (StepEnd{Step: "fold"}) || x.Lags[0].To != (StepEnd{"bake", "start"}) {
		t.Errorf("lag %+v", x.Lags[0])
	}
}

// Every tag makes sense: known patterns, dimensions and bounds, a dimension for each quantity,
// a short field that ends in a scalar, and no name twice.
func TestTags(t *testing.T) {
	for _, k := range kindTable {
		checkTags(t, k.typ, nil, k.name)
	}
}

func checkTags(t *testing.T, typ reflect.Type, dims []unit.Dimension, path string) {
	s := specOf(typ)
	if len(s.byName) != len(s.fields) {
		t.Errorf("%s: a name is used twice", path)
	}
	for _, f := range s.fields {
		f, at := f.within(dims), path+"."+f.name
		for f.typ.Kind() == reflect.Slice || f.typ.Kind() == reflect.Pointer {
			f.typ = f.typ.Elem()
		}
		switch {
		case f.typ == quantityType && len(f.dims) == 0:
			t.Errorf("%s: a quantity without dimensions", at)
		case f.typ != quantityType && f.typ.Kind() == reflect.Struct:
			checkTags(t, f.typ, f.dims, at)
		case f.short && f.typ.Kind() != reflect.String && f.typ != quantityType:
			t.Errorf("%s: short, but no scalar", at)
		case f.min != nil && f.max != nil && *f.min > *f.max:
			t.Errorf("%s: bounds run backwards", at)
		}
	}
}
