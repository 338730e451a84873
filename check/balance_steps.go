package check

import (
	"slices"

	"chablon/formula"
	"chablon/ingredient"
	"chablon/unit"
)

// passes reports, step by step, which steps hold a line: those that take it, or the outcome of
// one that does.
func passes(f *formula.Formula, l *formula.Line) []bool {
	holds := make([]bool, len(f.Steps))
	for i := range f.Steps {
		s := &f.Steps[i]
		holds[i] = takesLine(s, l) || i == 0 && !namedLine(f.Steps, l)
		for _, t := range s.Takes {
			k := slices.IndexFunc(f.Steps[:i], func(o formula.Step) bool { return o.ID == t })
			holds[i] = holds[i] || k >= 0 && holds[k]
		}
		if i > 0 && len(s.Takes) == 0 && len(s.After) == 0 { // follows the one written before it
			holds[i] = holds[i] || holds[i-1]
		}
	}
	return holds
}

// lineWith returns the first line, of the formula itself, whose ingredient or component holds one
// that matches, and whether there is one.
func lineWith(f *formula.Formula, match func(*ingredient.Ingredient) bool) (*formula.Line, bool) {
	for i := range f.Lines {
		l := &f.Lines[i]
		if l.Ingredient != nil && match(l.Ingredient) {
			return l, true
		}
		if l.Formula != nil {
			if _, ok := lineWith(l.Formula, match); ok {
				return l, true
			}
		}
	}
	return nil, false
}

// hottest returns the highest temperature that a step gives what holds a line, up to that of
// something wet, the step, and whether any step with a temperature holds it. An oven's figure and
// a syrup's say nothing of it.
func hottest(f *formula.Formula, l *formula.Line) (unit.Temperature, *formula.Step) {
	var at *formula.Step
	top := unit.Temperature(-273)
	for i, ok := range passes(f, l) {
		s := &f.Steps[i]
		if !ok || s.Verb == "bake" {
			continue
		}
		t := unit.Temperature(-273)
		switch {
		case s.Temperature.Given():
			_, t = s.Temperature.TemperatureRange()
		case s.Verb == "boil":
			t = 100
		}
		if t > top && t <= hottestFood {
			top, at = t, s
		}
	}
	return top, at
}

// isSyrup reports whether a step cooks sugar beyond the boiling point of what is wet.
func isSyrup(s *formula.Step) bool {
	if !s.Temperature.Given() || s.Temperature.Temperature() <= 101 {
		return false
	}
	return s.Verb == "boil" || s.Verb == "cook" || s.Verb == "heat"
}

// takesPart reports whether a step itself takes a line of an ingredient whose ID begins with one
// of the words.
func (j *judge) takesPart(s *formula.Step, words ...string) bool {
	for i := range j.f.Lines {
		l := &j.f.Lines[i]
		if l.Ingredient != nil && has(l.Ingredient, words...) && takesLine(s, l) {
			return true
		}
	}
	return false
}

func (j *judge) takesCream(s *formula.Step) bool {
	return j.takesPart(s, "cream-") || len(s.Takes) == 0 && j.is("whipped cream", "whipped ganache")
}

// hottestCooked returns the highest temperature of a step that cooks or heats, up to that of
// something wet.
func (j *judge) hottestCooked() (unit.Temperature, *formula.Step) {
	var at *formula.Step
	top := unit.Temperature(-273)
	for i := range j.f.Steps {
		s := &j.f.Steps[i]
		switch s.Verb {
		case "cook", "heat", "boil", "warm", "whip":
			if s.Temperature.Given() {
				if t := s.Temperature.Temperature(); t > top && t <= hottestFood {
					top, at = t, s
				}
			}
		}
	}
	return top, at
}

// folded returns the warmest temperature of what a folding step takes from steps that do not
// whip, and the folding step.
func (j *judge) folded() (unit.Temperature, *formula.Step) {
	steps := j.f.Steps
	for i := range steps {
		if steps[i].Verb != "fold" {
			continue
		}
		top, found := unit.Temperature(-273), false
		for _, id := range steps[i].Takes {
			k := slices.IndexFunc(steps[:i], func(o formula.Step) bool { return o.ID == id })
			if k < 0 || steps[k].Verb == "whip" || !steps[k].Temperature.Given() {
				continue
			}
			if t := steps[k].Temperature.Temperature(); t > top {
				top, found = t, true
			}
		}
		if found {
			return top, &steps[i]
		}
	}
	return 0, nil
}
