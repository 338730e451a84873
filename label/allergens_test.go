package label_test

import (
	"fmt"
	"testing"

	"github.com/google/go-cmp/cmp"

	"chablon/assembly"
	"chablon/formula"
	"chablon/ingredient"
	"chablon/label"
)

var (
	butter    = &ingredient.Ingredient{ID: "butter", Name: "Butter", Allergens: []string{"milk"}}
	cream     = &ingredient.Ingredient{ID: "cream", Name: "Cream", Allergens: []string{"milk"}}
	hazelnut  = &ingredient.Ingredient{ID: "hazelnut", Name: "Hazelnut", Allergens: []string{"tree nuts"}, MayContain: []string{"peanuts"}}
	chocolate = &ingredient.Ingredient{ID: "chocolate", Name: "Chocolate", MayContain: []string{"milk", "tree nuts", "gluten"}}
	plain     = &ingredient.Ingredient{ID: "plain", Name: "Sugar"}
)

func of(id string, takes ...any) *formula.Formula {
	f := &formula.Formula{ID: id}
	for _, x := range takes {
		l := formula.Line{}
		switch x := x.(type) {
		case *ingredient.Ingredient:
			l.Ingredient = x
		case *formula.Formula:
			l.Formula = x
		}
		f.Lines = append(f.Lines, l)
	}
	return f
}

func layer(c assembly.Component) assembly.Placed {
	return assembly.Placed{Layer: assembly.Layer{ID: c.ID(), Of: c}}
}

// By hand: each allergen once, with all that brings it, however deep; traces only of what is not
// there anyway.
func TestAllergens(t *testing.T) {
	t.Parallel()
	insert := &assembly.Section{Layers: []assembly.Placed{layer(assembly.Component{Formula: of("praline", hazelnut)})}}
	within := layer(assembly.Component{Assembly: &assembly.Assembly{ID: "insert"}})
	within.Inside = insert
	s := &assembly.Section{Layers: []assembly.Placed{
		layer(assembly.Component{Formula: of("mousse", cream, of("ganache", chocolate, of("beurre noisette", butter)))}),
		layer(assembly.Component{Ingredient: chocolate}),
		layer(assembly.Component{StandIn: "something later"}),
		within,
	}}
	want := []label.Allergen{
		{Name: "milk", Ingredients: []string{"Butter", "Cream"}},
		{Name: "tree nuts", Ingredients: []string{"Hazelnut"}},
		{Name: "gluten", Ingredients: []string{"Chocolate"}, May: true},
		{Name: "peanuts", Ingredients: []string{"Hazelnut"}, May: true},
	}
	if d := cmp.Diff(want, label.Allergens(s)); d != "" {
		t.Error(d)
	}
	if got := label.Allergens(&assembly.Section{}); len(got) != 0 {
		t.Errorf("nothing contains %v", got)
	}
}

func TestOfFormula(t *testing.T) {
	t.Parallel()
	want := []label.Allergen{
		{Name: "milk", Ingredients: []string{"Butter"}},
		{Name: "gluten", Ingredients: []string{"Chocolate"}, May: true},
		{Name: "tree nuts", Ingredients: []string{"Chocolate"}, May: true},
	}
	if d := cmp.Diff(want, label.OfFormula(of("ganache", plain, chocolate, of("melted", butter)))); d != "" {
		t.Error(d)
	}
	if got := label.OfFormula(of("syrup", plain)); len(got) != 0 {
		t.Errorf("sugar contains %v", got)
	}
}

func ExampleOfFormula() {
	milk := &ingredient.Ingredient{Name: "Milk", Allergens: []string{"milk"}}
	couverture := &ingredient.Ingredient{Name: "Dark couverture", MayContain: []string{"tree nuts"}}
	for _, a := range label.OfFormula(&formula.Formula{Lines: []formula.Line{{Ingredient: milk}, {Ingredient: couverture}}}) {
		fmt.Println(a.Name, a.Ingredients, a.May)
	}
	// Output:
	// milk [Milk] false
	// tree nuts [Dark couverture] true
}
