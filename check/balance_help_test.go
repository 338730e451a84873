package check_test

import (
	"strings"
	"testing"
	"time"

	"chablon/check"
	"chablon/formula"
	"chablon/ingredient"
	"chablon/material"
	"chablon/unit"
)

// larder is the built-in table with gelatin of another grade, and a spirit stronger than any in
// it.
var larder = formula.Larder{Table: ingredient.Builtin().With(own()...)}

func own() []ingredient.Ingredient {
	var strong, protein, water material.Composition
	for k, s := range map[material.Component]float64{material.Water: 0.3, material.Alcohol: 0.7, material.Protein: 0, material.Fat: 0, material.Carbohydrate: 0, material.Ash: 0, material.Sugars: 0} {
		strong.Set(k, s)
	}
	for k, s := range map[material.Component]float64{material.Water: 0.13, material.Protein: 0.87, material.Alcohol: 0, material.Fat: 0, material.Carbohydrate: 0, material.Ash: 0, material.Sugars: 0} {
		protein.Set(k, s)
	}
	return []ingredient.Ingredient{
		{ID: "gelatin-160", Name: "gelatin 160", Group: "gelling", Composition: protein, Traits: []ingredient.Trait{{Name: "bloom", Value: 160}}},
		{ID: "strong-spirit", Name: "strong spirit", Group: "alcohol", Composition: strong},
		{ID: "bare-spirit", Name: "bare spirit", Group: "alcohol", Traits: []ingredient.Trait{{Name: "alcohol", Value: 40}}},
		{ID: "unknown", Name: "unknown thing", Composition: water},
	}
}

// written makes a formula from lines as a cook writes them; "500 g thing|id" names an ingredient
// by its ID.
func written(t testing.TB, kind string, lines ...string) *formula.Formula {
	t.Helper()
	f := &formula.Formula{ID: "test", Name: "Test", Type: kind}
	for _, text := range lines {
		text, of, _ := strings.Cut(text, "|")
		r, err := formula.ReadLine(text)
		if err != nil {
			t.Fatal(err)
		}
		l, err := larder.Link(r, of)
		if err != nil {
			t.Fatal(err)
		}
		l.ID = strings.ReplaceAll(r.Name, " ", "-")
		f.Lines = append(f.Lines, l)
	}
	return f
}

// steps gives a formula steps: "verb", "verb 84 °C" or "verb 84 °C: line, line"; the step's ID is
// its verb.
func steps(t *testing.T, f *formula.Formula, texts ...string) *formula.Formula {
	t.Helper()
	for _, text := range texts {
		text, takes, _ := strings.Cut(text, ": ")
		verb, at, _ := strings.Cut(text, " ")
		s := formula.Step{ID: verb, Verb: verb}
		if at != "" {
			s.Temperature = celsius(t, at)
		}
		for n := range strings.SplitSeq(takes, ", ") {
			if n != "" {
				s.Takes = append(s.Takes, n)
			}
		}
		f.Steps = append(f.Steps, s)
	}
	return f
}

// lasting gives the last step a waiting time.
func lasting(f *formula.Formula, d time.Duration) *formula.Formula {
	f.Steps[len(f.Steps)-1].Waiting = d
	return f
}

func losing(f *formula.Formula, name string, share float64) *formula.Formula {
	f.Losses = append(f.Losses, formula.Loss{Name: name, Share: share})
	return f
}

func whipping(f *formula.Formula, lines ...string) *formula.Formula {
	f.Air = formula.Air{Overrun: 0.8, Whipped: lines}
	return f
}

func holding(f *formula.Formula, place string, safety, quality time.Duration) *formula.Formula {
	f.Holds = append(f.Holds, formula.Hold{Place: place, Safety: safety, Quality: quality})
	return f
}

// figureOf returns the figure of a name.
func figureOf(r check.Report, name string) (check.Figure, bool) {
	for _, g := range r.Figures {
		if g.Name == name {
			return g, true
		}
	}
	return check.Figure{}, false
}

// skipped returns why a rule was not judged.
func skipped(r check.Report, rule string) (string, bool) {
	for _, n := range r.NotJudged {
		if n.Rule == rule {
			return n.Why, true
		}
	}
	return "", false
}

func metres(h float64) unit.Length { return unit.Length(h) }
