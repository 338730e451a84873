package document_test

import (
	"bytes"
	"context"
	"encoding/json"
	"flag"
	"math"
	"os"
	"testing"

	"chablon/document"
	"chablon/internal/demo"
	"chablon/plan"
)

func TestResultSchemaIsFresh(t *testing.T) {
	const file = "../docs/schema/plan-1.schema.json"
	want := document.ResultJSONSchema()
	if f := flag.Lookup("update"); f != nil && f.Value.String() == "true" {
		if err := os.WriteFile(file, want, 0o644); err != nil {
			t.Fatal(err)
		}
	}
	if got, err := os.ReadFile(file); err != nil || !bytes.Equal(got, want) {
		t.Errorf("%s is not what the program writes (%v): run go test ./document -update", file, err)
	}
}

// The published result holds together by its own figures, as another program would read them:
// lines add up to what is made, and what is made to what is needed, lost and left.
func TestResultBalances(t *testing.T) {
	day := plan.Make(context.Background(), demo.Book(t).Job())
	data, err := json.Marshal(document.Export(day, nil))
	if err != nil {
		t.Fatal(err)
	}
	var r struct {
		Schema     string
		Assemblies []struct {
			ID     string
			Pieces int
			Layers []struct {
				VolumeML float64 `json:"volume_ml"`
				MassG    float64 `json:"mass_g"`
			}
			Components []struct {
				ID      string
				EachG   float64 `json:"each_g"`
				NeededG float64 `json:"needed_g"`
			}
		}
		Batches []struct {
			Component string
			NeededG   float64            `json:"needed_g"`
			ToMakeG   float64            `json:"to_make_g"`
			LeftOverG float64            `json:"left_over_g"`
			LossesG   map[string]float64 `json:"losses_g"`
			Lines     []struct {
				AllG float64 `json:"all_g"`
			}
		}
		Timeline []struct{ Start, End string }
		Plan     struct {
			Status  string
			Checked bool
		}
	}
	if err := json.Unmarshal(data, &r); err != nil {
		t.Fatal(err)
	}
	if r.Schema != "chablon.plan/1" || r.Plan.Status != "planned" || !r.Plan.Checked || len(r.Timeline) == 0 {
		t.Errorf("schema %q, plan %+v, %d steps", r.Schema, r.Plan, len(r.Timeline))
	}
	direct := map[string]float64{}
	for _, a := range r.Assemblies {
		var layers, parts float64
		for _, l := range a.Layers {
			layers += l.MassG
		}
		for _, c := range a.Components {
			parts += c.EachG
			direct[c.ID] += c.NeededG
			if math.Abs(c.NeededG-c.EachG*float64(a.Pieces)) > 1e-9*c.NeededG {
				t.Errorf("%s: %s needs %v for %d of %v", a.ID, c.ID, c.NeededG, a.Pieces, c.EachG)
			}
		}
		if math.Abs(layers-parts) > 1e-9*layers {
			t.Errorf("%s: layers weigh %v, components %v", a.ID, layers, parts)
		}
	}
	for _, b := range r.Batches {
		lines, out := 0.0, b.NeededG+b.LeftOverG
		for _, l := range b.Lines {
			lines += l.AllG
		}
		for _, m := range b.LossesG {
			out += m
		}
		if math.Abs(lines-b.ToMakeG) > 1e-9*lines || math.Abs(out-b.ToMakeG) > 1e-9*out {
			t.Errorf("%s: lines %v, to make %v, needed with losses and leftovers %v", b.Component, lines, b.ToMakeG, out)
		}
		if d := direct[b.Component]; d > 0 && math.Abs(d-b.NeededG) > 1e-9*d {
			t.Errorf("%s: the pieces need %v, the batch %v", b.Component, d, b.NeededG)
		}
	}
}

// Every required key of the schema is in the result, at every level.
func TestResultFitsItsSchema(t *testing.T) {
	day := plan.Make(context.Background(), demo.Book(t).Job())
	data, err := json.Marshal(document.Export(day, nil))
	if err != nil {
		t.Fatal(err)
	}
	var result, schema any
	if err := json.Unmarshal(data, &result); err != nil {
		t.Fatal(err)
	}
	if err := json.Unmarshal(document.ResultJSONSchema(), &schema); err != nil {
		t.Fatal(err)
	}
	fits(t, "result", result, schema.(map[string]any))
}

func fits(t *testing.T, path string, v any, schema map[string]any) {
	t.Helper()
	kind := map[string]bool{}
	switch v := v.(type) {
	case string:
		kind["string"] = true
	case bool:
		kind["boolean"] = true
	case float64:
		kind["number"], kind["integer"] = true, v == math.Trunc(v)
	case []any:
		kind["array"] = true
	case map[string]any:
		kind["object"] = true
	}
	if !kind[schema["type"].(string)] {
		t.Errorf("%s is %T, the schema says %v", path, v, schema["type"])
		return
	}
	switch v := v.(type) {
	case []any:
		for _, item := range v {
			fits(t, path+"[]", item, schema["items"].(map[string]any))
		}
	case map[string]any:
		properties, _ := schema["properties"].(map[string]any)
		required, _ := schema["required"].([]any)
		for _, key := range required {
			if _, ok := v[key.(string)]; !ok {
				t.Errorf("%s has no %v", path, key)
			}
		}
		for key, item := range v {
			if p, ok := properties[key].(map[string]any); ok {
				fits(t, path+"."+key, item, p)
			} else if rest, ok := schema["additionalProperties"].(map[string]any); ok {
				fits(t, path+"."+key, item, rest)
			} else if properties != nil {
				t.Errorf("%s has %q, which the schema does not name", path, key)
			}
		}
	}
}
