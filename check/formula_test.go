package check_test

import (
	"strings"
	"testing"

	"chablon/check"
	"chablon/finding"
	"chablon/formula"
	"chablon/ingredient"
	"chablon/unit"
)

func with(id string, traits ...ingredient.Trait) *ingredient.Ingredient {
	return &ingredient.Ingredient{ID: id, Name: id, Traits: traits}
}

var (
	purée     = with("purée")
	sheetLeaf = with("gelatin", ingredient.Trait{Name: "bloom", Value: 200})
	egg       = with("egg yolk", ingredient.Trait{Name: "raw-egg", Value: 1})
	pineapple = with("pineapple", ingredient.Trait{Name: "enzyme", Value: 1})
)

func line(id string, of *ingredient.Ingredient, m unit.Mass) formula.Line {
	return formula.Line{ID: id, Name: of.Name, Ingredient: of, Mass: m}
}

// gelatinOf is a formula of a type with a share of gelatin at 200 Bloom.
func gelatinOf(kind string, share float64) *formula.Formula {
	return &formula.Formula{ID: "set", Type: kind, Density: 800, Lines: []formula.Line{
		line("purée", purée, unit.Mass(1-share)), line("gelatin", sheetLeaf, unit.Mass(share)),
	}}
}

// The ranges are the package's, common practice: a mousse 0.7 to 1.4 %, a fifth of that beside it
// still a note. A gelatin of another grade counts by the root of the ratio of Bloom grades.
func TestGelatin(t *testing.T) {
	t.Parallel()
	strong := gelatinOf("mousse", 0.0125)
	strong.Lines[1].Ingredient = with("gelatin", ingredient.Trait{Name: "bloom", Value: 288}) // × 1.2: 1.5 %
	unknown := gelatinOf("mousse", 0.01)
	unknown.Lines[1].Ingredient = with("gelatin", ingredient.Trait{Name: "bloom", Value: 0})
	nested := &formula.Formula{ID: "mousse", Type: "mousse", Lines: []formula.Line{
		line("purée", purée, 0.9), {ID: "mass", Formula: gelatinOf("gelatin mass", 0.10), Mass: 0.1},
	}}
	for _, c := range []struct {
		name, code string
		f          *formula.Formula
		level      finding.Level
		figure     string
	}{
		{"in range", "gelatin-in-range", gelatinOf("Mousse", 0.010), finding.Note, "1.00 %"},
		{"lowest", "gelatin-in-range", gelatinOf("mousse", 0.00701), finding.Note, "0.7 to 1.4 %"},
		{"a little low", "gelatin-low", gelatinOf("mousse", 0.0065), finding.Note, "0.65 %"},
		{"low", "gelatin-low", gelatinOf("mousse", 0.005), finding.Caution, "0.50 %"},
		{"a little high", "gelatin-high", gelatinOf("mousse", 0.015), finding.Note, "1.50 %"},
		{"high", "gelatin-high", gelatinOf("jelly insert", 0.03), finding.Caution, "3.00 %"},
		{"strong", "gelatin-high", strong, finding.Note, "1.50 %"},
		{"grade unknown", "gelatin-grade-unknown", unknown, finding.Note, "200"},
		{"nested", "gelatin-in-range", nested, finding.Note, "1.00 %"},
	} {
		t.Run(c.name, func(t *testing.T) {
			found := false
			for _, f := range check.Balance(c.f, nil).Findings {
				if f.Code == c.code {
					found = true
					if f.Level != c.level || !strings.Contains(f.Reason, c.figure) || f.Source != finding.CommonPractice {
						t.Errorf("got %+v, want a %s with %q", f, c.level, c.figure)
					}
				}
			}
			if !found {
				t.Errorf("no %s in %v", c.code, check.Balance(c.f, nil).Findings)
			}
		})
	}
	for name, f := range map[string]*formula.Formula{"no gelatin": gelatinOf("mousse", 0), "no range for the type": gelatinOf("bonbon", 0.03)} {
		if list := check.Balance(f, nil).Findings; len(list) > 0 {
			t.Errorf("%s: %v", name, list)
		}
	}
	low := check.Balance(gelatinOf("mousse", 0.005), nil).Findings
	if len(low) != 1 || low[0].Remedy != "Add 2.0 g of gelatin at 200 Bloom to the formula as written (40 % more)." { // (7 − 5)/0.993; 0.7 over 0.5
		t.Errorf("remedy of too little: %v", low)
	}
	high := check.Balance(gelatinOf("mousse", 0.02), nil).Findings
	if len(high) != 1 || high[0].Remedy != "Take out 6.1 g of gelatin at 200 Bloom from the formula as written (30 % less)." { // (20 − 14)/0.986; 1.4 over 2.0
		t.Errorf("remedy of too much: %v", high)
	}
}

func celsius(t *testing.T, text string) unit.Quantity {
	t.Helper()
	q, err := unit.ParseQuantity(text, unit.OfTemperature)
	if err != nil {
		t.Fatal(err)
	}
	return q
}

// Only heat that the egg itself goes through counts, by the steps that take it: 68 °C, Food Code
// 2022 3-401.11(A)(2).
func TestRawEgg(t *testing.T) {
	t.Parallel()
	step := func(id, verb, at string, takes ...string) formula.Step {
		s := formula.Step{ID: id, Verb: verb, Takes: takes}
		if at != "" {
			s.Temperature = celsius(t, at)
		}
		return s
	}
	lines := []formula.Line{line("yolk", egg, 0.1), line("sugar", purée, 0.2)}
	bombe := &formula.Formula{ID: "bombe", Lines: lines, Steps: []formula.Step{step("whip", "whip", "", "yolk", "sugar")}}
	within := func(steps ...formula.Step) *formula.Formula {
		return &formula.Formula{ID: "mousse", Steps: steps, Lines: []formula.Line{{ID: "bombe", Formula: bombe, Mass: 0.3}, line("cream", purée, 0.5)}}
	}
	plain := func(steps ...formula.Step) *formula.Formula {
		return &formula.Formula{ID: "base", Lines: lines, Steps: steps}
	}
	for _, c := range []struct {
		name string
		f    *formula.Formula
		want bool
	}{
		{"no egg", gelatinOf("mousse", 0.01), false},
		{"no steps", plain(), true},
		{"never warm", plain(step("whip", "whip", "")), true},
		{"to 67 °C", plain(step("heat", "heat", "67 °C")), true},
		{"to 68 °C", plain(step("heat", "heat", "68 °C")), false},
		{"a range that begins lower", plain(step("heat", "heat", "66–70 °C")), true},
		{"heated after it was mixed", plain(step("mix", "mix", "", "yolk", "sugar"), step("cook", "cook", "82 °C", "mix")), false},
		{"heated in the step after", plain(step("mix", "mix", "", "yolk"), step("cook", "cook", "82 °C")), false},
		{"only the sugar is cooked", plain(step("cook", "cook", "82 °C", "sugar"), step("whip", "whip", "", "yolk", "cook")), true},
		{"boiled, but the sugar alone", plain(step("boil", "boil", "", "sugar"), step("whip", "whip", "", "yolk", "boil")), true},
		{"boiled with the egg", plain(step("boil", "boil", "", "sugar", "yolk")), false},
		{"syrup on egg", plain(step("pour", "whip", "118 °C", "sugar", "yolk")), true},
		{"syrup on egg, then probed", plain(step("pour", "whip", "118 °C", "sugar", "yolk"), step("bath", "heat", "70 °C", "pour")), false},
		{"baked", plain(step("mix", "mix", ""), step("bake", "bake", "")), false},
		{"baked to a probe", plain(step("bake", "bake", "96 °C")), false},
		{"baked at the oven's figure", plain(step("bake", "bake", "180 °C")), false},
		{"nested and not heated", within(step("fold", "fold", "")), true},
		{"nested and heated here", within(step("cook", "cook", "75 °C")), false},
		{"nested, the cream alone heated", within(step("cook", "cook", "75 °C", "cream"), step("fold", "fold", "", "cook", "bombe")), true},
	} {
		if got := check.Balance(c.f, nil).Findings.Has("raw-egg"); got != c.want {
			t.Errorf("%s: found %v, want %v", c.name, got, c.want)
		}
	}
}

// Fruit that splits gelatin is heated to 85 °C first, the kitchen's rule
// (bib:sriwatanapongse-2000 for bromelain).
func TestEnzymes(t *testing.T) {
	t.Parallel()
	f := func(gelatin unit.Mass, at string, takes ...string) *formula.Formula {
		out := &formula.Formula{ID: "jelly", Lines: []formula.Line{line("fruit", pineapple, 1), line("water", purée, 1)}}
		if gelatin > 0 {
			out.Lines = append(out.Lines, line("gelatin", sheetLeaf, gelatin))
		}
		if at != "" {
			out.Steps = []formula.Step{{ID: "heat", Temperature: celsius(t, at), Takes: takes}, {ID: "mix", Takes: []string{"heat", "fruit"}}}
		}
		return out
	}
	for _, c := range []struct {
		name string
		f    *formula.Formula
		want bool
	}{
		{"raw", f(0.02, ""), true},
		{"to 84 °C", f(0.02, "84 °C", "fruit"), true},
		{"to 85 °C", f(0.02, "85 °C", "fruit"), false},
		{"the water alone", f(0.02, "90 °C", "water"), true},
		{"no gelatin", f(0, ""), false},
		{"no such fruit", gelatinOf("jelly", 0.02), false},
	} {
		list := check.Balance(c.f, nil).Findings
		if got := list.Has("enzyme-against-gelatin"); got != c.want {
			t.Errorf("%s: found %v, want %v", c.name, got, c.want)
		}
		if c.want && list.Worst() != finding.Fault {
			t.Errorf("%s: not a fault: %v", c.name, list)
		}
	}
}

func TestAccept(t *testing.T) {
	t.Parallel()
	list := finding.List{
		{Code: "gelatin-high", Level: finding.Caution, Where: "formula jelly", Reason: "rubbery"},
		{Code: "gelatin-high", Level: finding.Caution, Where: "formula jelly-two", Reason: "rubbery"},
		{Code: "raw-egg", Level: finding.Caution, Where: "formula jelly", Reason: "raw"},
		{Code: "gap-too-narrow", Level: finding.Caution, Where: `assembly cake in ring, layer "base"`, Reason: "gap"},
		{Code: "layers-overlap", Level: finding.Fault, Where: "assembly cake in ring", Reason: "overlap"},
	}
	accepted := []check.Acceptance{
		{Where: "formula jelly", Code: "gelatin-high", Reason: "we like it"},
		{Where: "assembly cake", Code: "gap-too-narrow", Reason: "tried"},
		{Where: "assembly cake", Code: "layers-overlap", Reason: "no"},
	}
	got := check.Accept(list, accepted)
	want := map[string]finding.Level{
		"formula jelly gelatin-high": finding.Note, "formula jelly-two gelatin-high": finding.Caution, "formula jelly raw-egg": finding.Caution,
		`assembly cake in ring, layer "base" gap-too-narrow`: finding.Note, "assembly cake in ring layers-overlap": finding.Fault,
	}
	if len(got) != len(want) {
		t.Fatalf("%d findings, want %d", len(got), len(want))
	}
	for _, f := range got {
		if f.Level != want[f.Where+" "+f.Code] {
			t.Errorf("%s %s is a %s, want %s", f.Where, f.Code, f.Level, want[f.Where+" "+f.Code])
		}
		if f.Level == finding.Note && !strings.Contains(f.Reason, "(accepted: ") {
			t.Errorf("%q does not say why it was accepted", f.Reason)
		}
	}
	if list[0].Level != finding.Caution {
		t.Error("the list given is changed")
	}
	again := check.Accept(got, accepted)
	for i := range again {
		if again[i] != got[i] {
			t.Errorf("accepting twice changes %+v to %+v", got[i], again[i])
		}
	}
}
