package exchange

import (
	"fmt"
	"slices"
	"strings"

	"chablon/formula"
	"chablon/ingredient"
)

// Function is what an ingredient does beyond its composition.
type Function string

// Functions of ingredients.
const (
	Foam     Function = "foam"
	Set      Function = "set"
	HeatSet  Function = "set by heat"
	Emulsion Function = "emulsion"
	SolidFat Function = "fat that is solid at 20 °C"
	Raise    Function = "raising"
	Frame    Function = "frame of gluten and starch"
	Sweet    Function = "sweetness"
	Acid     Function = "acidity"
)

// offers returns what an ingredient can do. Source: common practice, no source.
func offers(i *ingredient.Ingredient) []Function {
	var out []Function
	add := func(when bool, f ...Function) {
		if when {
			out = append(out, f...)
		}
	}
	has := func(trait string) bool { _, ok := i.Trait(trait); return ok }
	id := i.ID
	fat, whips := i.Trait("whipping-fat")
	add(whips && fat >= 30, Foam)
	add(strings.HasPrefix(id, "egg-white"), Foam, HeatSet)
	add(strings.HasPrefix(id, "egg-yolk"), Emulsion, HeatSet, Foam)
	add(strings.HasPrefix(id, "egg-whole"), Foam, Emulsion, HeatSet)
	add(has("bloom"), Set)
	add(strings.HasPrefix(id, "agar") || strings.HasPrefix(id, "pectin") || strings.HasPrefix(id, "carrageenan"), Set)
	add(strings.HasPrefix(id, "lecithin"), Emulsion)
	add(strings.HasPrefix(id, "butter-") && !strings.Contains(id, "biscuit") && !strings.HasPrefix(id, "butter-butterscotch"), SolidFat, Emulsion)
	add(slices.Contains([]string{"cocoa-butter", "oil-coconut", "oil-palm", "oil-palm-kernel", "shortening-vegetable", "lard", "margarine-unsalted"}, id), SolidFat)
	add(has("leavener"), Raise)
	add(i.Group == "flour" || i.Group == "starch", Frame)
	add(i.Group == "sugar" || i.Group == "syrup", Sweet)
	add(has("acid"), Acid)
	return out
}

// Need is a function that a line serves in a step.
type Need struct {
	Function Function
	Step     string
}

// verbs that call on a function. Source: common practice, no source.
var calls = map[Function][]string{
	Foam:     {"whip", "beat", "whisk"},
	HeatSet:  {"bake", "cook", "heat", "poach"},
	SolidFat: {"cream", "rub", "laminate", "fold-in", "temper"},
	Emulsion: {"blend", "emulsify", "mix"},
}

// Needs returns the functions that a line serves: those that its ingredient offers and that a step
// calls on. Setting, raising, sweetness, acidity and the frame need no step to call.
func Needs(f *formula.Formula, line int) []Need {
	l := f.Lines[line]
	if l.Ingredient == nil {
		return nil
	}
	var out []Need
	for _, fn := range offers(l.Ingredient) {
		verbs, called := calls[fn]
		if !called {
			out = append(out, Need{fn, ""})
			continue
		}
		for _, s := range f.Steps {
			if slices.Contains(verbs, s.Verb) && takes(f, s, l) {
				out = append(out, Need{fn, s.ID})
				break
			}
		}
	}
	return out
}

// takes reports whether a step works on a line: it names it, its group or its ingredient, a step
// that does, or, where no step names any line, it is any step.
func takes(f *formula.Formula, s formula.Step, l formula.Line) bool {
	named := false
	for _, x := range f.Steps {
		for _, t := range x.Takes {
			named = named || names(f, t)
		}
	}
	if !named {
		return true
	}
	seen := map[string]bool{}
	var through func(s formula.Step) bool
	through = func(s formula.Step) bool {
		if seen[s.ID] {
			return false
		}
		seen[s.ID] = true
		id, _ := l.Of()
		for _, t := range s.Takes {
			if t != "" && (t == l.ID || t == l.Group || t == id) {
				return true
			}
			for _, x := range f.Steps {
				if x.ID == t && through(x) {
					return true
				}
			}
		}
		return false
	}
	return through(s)
}

// names reports whether a word names a line or a group.
func names(f *formula.Formula, word string) bool {
	return slices.ContainsFunc(f.Lines, func(l formula.Line) bool {
		id, _ := l.Of()
		return word == l.ID || word == l.Group || word == id
	})
}

// lost returns the needs that nothing coming in serves.
func lost(needs []Need, in []*ingredient.Ingredient) []string {
	var out []string
	for _, n := range needs {
		served := slices.ContainsFunc(in, func(i *ingredient.Ingredient) bool { return slices.Contains(offers(i), n.Function) })
		if served {
			continue
		}
		text := "the " + string(n.Function)
		if n.Step != "" {
			text += fmt.Sprintf(" that step %q needs", n.Step)
		}
		out = append(out, text)
	}
	return out
}
