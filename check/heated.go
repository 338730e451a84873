package check

import (
	"slices"

	"chablon/formula"
	"chablon/unit"
)

// unheated returns the names of the ingredients with a trait, in the formula or nested in it,
// that no step brings to a temperature.
func unheated(f *formula.Formula, trait string, to unit.Temperature) []string {
	var out []string
	for i := range f.Lines {
		l := &f.Lines[i]
		var names []string
		switch {
		case l.Formula != nil:
			names = unheated(l.Formula, trait, to)
		case l.Ingredient != nil:
			if _, ok := l.Ingredient.Trait(trait); ok {
				names = []string{l.Ingredient.Name}
			}
		}
		if len(names) > 0 && !heated(f, l, to) {
			out = append(out, names...)
		}
	}
	return out
}

// heated reports whether a step that a line goes through brings what is in it to a temperature.
func heated(f *formula.Formula, l *formula.Line, to unit.Temperature) bool {
	for i, holds := range passes(f, l) {
		if holds && reached(&f.Steps[i]) >= to {
			return true
		}
	}
	return false
}

func takesLine(s *formula.Step, l *formula.Line) bool {
	id, _ := l.Of()
	return slices.ContainsFunc(s.Takes, func(t string) bool { return t == l.ID || t == l.Group || t == id })
}

// namedLine reports whether any step takes the line; what none takes is there from the first.
func namedLine(steps []formula.Step, l *formula.Line) bool {
	return slices.ContainsFunc(steps, func(s formula.Step) bool { return takesLine(&s, l) })
}

// hottestFood is as hot as something wet gets: a higher figure is that of a syrup poured on it,
// which says nothing of the rest, or of the oven.
const hottestFood = unit.Temperature(105)

// reached returns the temperature that what is in a step is sure to reach, as its text or its
// verb has it; −273 °C if neither says.
func reached(s *formula.Step) unit.Temperature {
	hot := unit.Temperature(-273)
	switch s.Verb {
	case "bake":
		hot = 95 // a crumb is done at 93 to 99 °C; common practice, no source
	case "boil":
		hot = 95
	}
	if s.Temperature.Given() {
		if low, _ := s.Temperature.TemperatureRange(); low <= hottestFood {
			return low
		} else if s.Verb != "bake" {
			return -273
		}
	}
	return hot
}
