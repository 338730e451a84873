package check

import (
	"fmt"
	"maps"
	"slices"
	"time"

	"chablon/formula"
	"chablon/ingredient"
	"chablon/material"
	"chablon/unit"
)

const gelatinQuantity = "gelatin"

// measureUnits are the figures of a formula that are not shares of its lines, with their unit.
var measureUnits = map[string]string{
	gelatinQuantity: "%", "specific gravity": "ratio", "overrun": "%", "density": "kg/m³", "bake loss": "%", "evaporation": "%",
	"Brix": "%", "dry matter": "%", "water content": "%", "fat content": "%", "cream fat": "%", "water activity": "ratio", "alcohol by volume": "% vol",
	"oven temperature": "°C", "baking time": "min", "core temperature": "°C", "cooking temperature": "°C", "syrup temperature": "°C",
	"folding temperature": "°C", "pouring temperature": "°C", "whipping temperature": "°C", "chocolate temperature": "°C", "rest": "min",
}

func measureNames() []string { return slices.Sorted(maps.Keys(measureUnits)) }

// value returns a figure of the formula, how it was found, or why it cannot be.
func (j *judge) value(quantity, basis string) (value float64, method, why string) {
	if _, ok := measureUnits[quantity]; ok {
		return j.measure(quantity)
	}
	n, b := j.parts.of(quantity), j.parts.of(basis)
	switch {
	case n <= 0:
		return 0, "", "it takes no " + words(quantity)
	case b <= 0:
		return 0, "", "it takes no " + words(basis)
	}
	return 100 * float64(n/b), "", ""
}

func (j *judge) measure(quantity string) (value float64, method, why string) {
	f := j.f
	switch quantity {
	case gelatinQuantity:
		share, _ := f.Gelatin()
		if share <= 0 {
			return 0, "", "it holds no gelatin"
		}
		return 100 * share, "at 200 Bloom by the square root of the ratio of Bloom grades; by the linear rule " + unit.Number(100*linearGelatin(f), 2) + " %", ""
	case "specific gravity":
		if f.Air.SpecificGravity <= 0 {
			return 0, "", "no specific gravity is written"
		}
		return f.Air.SpecificGravity, "as written", ""
	case "overrun":
		if f.Air.Overrun <= 0 {
			return 0, "", "no overrun is written"
		}
		return 100 * f.Air.Overrun, "as written", ""
	case "density":
		d, source := f.FinishedDensity()
		if source == formula.DensityUnknown {
			return 0, "", "its density is not known"
		}
		return float64(d / unit.KilogramPerCubicMetre), source.String(), ""
	case "bake loss", "evaporation":
		name := "evaporation"
		if quantity == "bake loss" {
			name = "bake"
		}
		for _, l := range f.Losses {
			if l.Name == name && l.Share > 0 {
				return 100 * l.Share, "as written", ""
			}
		}
		return 0, "", "no " + quantity + " is written"
	case "Brix":
		v, ok := dissolved(f)
		if !ok {
			return 0, "", "the sugars of a line are not on record"
		}
		return 100 * v, "sugars, polyols and the long chains of glucose syrup; acids and salts are not counted, a refractometer reads up to 2 more", ""
	case "dry matter":
		w, ok := j.done.Share(material.Water)
		if !ok {
			return 0, "", "the water of a line is not on record"
		}
		return 100 * (1 - w), "all but water, of the finished component", ""
	case "water content", "fat content":
		k := material.Water
		if quantity == "fat content" {
			k = material.Fat
		}
		s, ok := j.done.Share(k)
		if !ok {
			return 0, "", "the " + k.String() + " of a line is not on record"
		}
		return 100 * s, "of the finished component, by composition", ""
	case "cream fat":
		s, ok := creamFat(f, false)
		if !ok {
			return 0, "", "it takes no cream whose fat is on record"
		}
		return 100 * s, "of the cream alone", ""
	case "water activity":
		if a, err := j.active(); err == nil {
			return a.Value, fmt.Sprintf("%s, ±%s", a.Method, unit.Number(a.Error, 3)), ""
		}
		return 0, "", "its water activity cannot be computed: " + j.waterErr.Error()
	case "alcohol by volume":
		return j.alcoholByVolume()
	}
	return j.stepMeasure(quantity)
}

// stepMeasure returns a temperature or a time of the steps.
func (j *judge) stepMeasure(quantity string) (value float64, method, why string) {
	steps := j.f.Steps
	if len(steps) == 0 {
		return 0, "", "no steps are written"
	}
	in := func(s *formula.Step) string { return fmt.Sprintf("step %q", s.ID) }
	for i := range steps {
		s := &steps[i]
		at := s.Temperature
		switch quantity {
		case "oven temperature":
			for _, m := range s.Modes {
				if s.Verb == "bake" && m.Setting.Given() && m.Setting.Unit.Dim == unit.OfTemperature {
					return m.Setting.Temperature().Celsius(), in(s), ""
				}
			}
		case "baking time":
			if s.Verb == "bake" && s.Waiting > 0 && !s.Assumed {
				return s.Waiting.Minutes(), in(s), ""
			}
		case "core temperature":
			if s.Verb == "bake" && at.Given() && at.Temperature() <= hottestFood {
				return at.Temperature().Celsius(), in(s), ""
			}
		case "rest":
			if s.Verb == "rest" && s.Waiting >= time.Minute && !s.Assumed {
				return s.Waiting.Minutes(), in(s), ""
			}
		case "whipping temperature":
			if s.Verb == "whip" && at.Given() && j.takesCream(s) {
				return at.Temperature().Celsius(), in(s), ""
			}
		case "chocolate temperature":
			if s.Verb == "melt" && at.Given() && j.takesPart(s, "chocolate", "couverture", "gianduja") {
				return at.Temperature().Celsius(), in(s), ""
			}
		case "syrup temperature":
			if isSyrup(s) {
				return at.Temperature().Celsius(), in(s), ""
			}
		}
	}
	switch quantity {
	case "cooking temperature":
		if t, s := j.hottestCooked(); s != nil {
			return t.Celsius(), in(s), ""
		}
	case "folding temperature":
		if t, s := j.folded(); s != nil {
			return t.Celsius(), "of what is folded into, " + in(s), ""
		}
	case "pouring temperature":
		for i := len(steps) - 1; i >= 0; i-- {
			s := &steps[i]
			switch s.Verb {
			case "bake", "freeze", "chill", "rest", "thaw", "unmould", "whip":
			default:
				if s.Temperature.Given() {
					return s.Temperature.Temperature().Celsius(), "of the last step before it is poured, " + in(s), ""
				}
				return 0, "", "the last step, " + in(s) + ", has no temperature"
			}
		}
	}
	return 0, "", "no step says it"
}

// measureRemedy says what to change where no mass can be told.
func measureRemedy(row Range, limit float64, side string) string {
	to := show(limit, row)
	more := side == "low"
	pick := func(a, b string) string {
		if more {
			return a
		}
		return b
	}
	switch row.Quantity {
	case "specific gravity":
		return pick("Whip less, or fold it longer, to ", "Whip further and fold with fewer strokes, to ") + to + "."
	case "overrun":
		return pick("Whip further, to ", "Whip less, to ") + to + "."
	case "density":
		return pick("Whip less air in, to ", "Whip more air in, to ") + to + ", or weigh a cup and correct the density on record."
	case "bake loss", "evaporation":
		return "Weigh before and after and correct the loss on record, or cook it " + pick("longer", "less") + ", to " + to + "."
	case "Brix", "dry matter":
		return pick("Add sugar or cook it further, to ", "Add water or take sugar out, to ") + to + "."
	case "water content":
		return pick("Take a leaner chocolate or more liquid, to ", "Take less liquid, to ") + to + "."
	case "fat content", "cream fat":
		return pick("Take a richer cream, or more of it, to ", "Take a leaner cream or less chocolate, to ") + to + "."
	case "water activity":
		return pick("Take more liquid, to ", "Take more sugar and less liquid, to ") + to + "."
	case "alcohol by volume":
		return pick("Add spirit, to ", "Take less spirit, to ") + to + "."
	case "baking time", "rest":
		return "Plan " + to + ", or say in the step why not."
	}
	return "Bring it to " + to + "."
}

// linearGelatin is the share of gelatin at 200 Bloom by the linear rule.
func linearGelatin(f *formula.Formula) float64 {
	return shareIn(f, func(i *ingredient.Ingredient) float64 {
		bloom, ok := i.Trait("bloom")
		switch {
		case !ok:
			return 0
		case bloom <= 0:
			return 1
		}
		return bloom / 200
	}, concentrated)
}

// shareIn returns the share by mass of what each ingredient holds in what goes into a formula; that
// of a nested one is multiplied by what its making concentrates it.
func shareIn(f *formula.Formula, of func(*ingredient.Ingredient) float64, nested func(*formula.Formula) float64) float64 {
	total := f.Written()
	if total <= 0 {
		return 0
	}
	var m unit.Mass
	for i := range f.Lines {
		l := &f.Lines[i]
		switch {
		case l.Formula != nil:
			m += l.Mass * unit.Mass(shareIn(l.Formula, of, nested)*nested(l.Formula))
		case l.Ingredient != nil:
			m += l.Mass * unit.Mass(of(l.Ingredient))
		}
	}
	return float64(m / total)
}

// dissolved returns the dissolved solids of the finished component as a share, and whether every
// line's are on record: what is neither starch nor fibre of its carbohydrate, or its sugars and
// polyols where the starch is not known.
func dissolved(f *formula.Formula) (float64, bool) {
	total := f.Written()
	if total <= 0 {
		return 0, false
	}
	var m unit.Mass
	for i := range f.Lines {
		l := &f.Lines[i]
		if l.Mass <= 0 {
			continue
		}
		var s float64
		ok := true
		switch {
		case l.Formula != nil:
			s, ok = dissolved(l.Formula)
		case l.Ingredient != nil:
			c := l.Ingredient.Composition
			if c.Known(material.Carbohydrate, material.Starch, material.Fibre) {
				s = max(0, c.At(material.Carbohydrate)-c.At(material.Starch)-c.At(material.Fibre))
			} else {
				s, ok = c.At(material.Sugars)+c.At(material.Polyols), c.Known(material.Sugars)
			}
		}
		if !ok {
			return 0, false
		}
		m += l.Mass * unit.Mass(s)
	}
	return min(1, float64(m/total)*concentrated(f)), true
}

// creamFat returns the fat of the creams in the formula, mascarpone included, all or those that
// are whipped.
func creamFat(f *formula.Formula, onlyWhipped bool) (float64, bool) {
	var fat, all unit.Mass
	for i := range f.Lines {
		l := &f.Lines[i]
		if l.Ingredient == nil || !has(l.Ingredient, "cream-", "cheese-mascarpone") || onlyWhipped && !whipped(f, l) {
			continue
		}
		s, ok := l.Ingredient.Composition.Share(material.Fat)
		if !ok {
			return 0, false
		}
		fat, all = fat+l.Mass*unit.Mass(s), all+l.Mass
	}
	if all <= 0 {
		return 0, false
	}
	return float64(fat / all), true
}

// solutesOf says what a composition leaves open: the dextrose equivalent of the glucose syrups,
// their mean by mass.
func solutesOf(f *formula.Formula, c material.Composition) material.Solutes {
	if !c.Known(material.Starch) {
		return material.Solutes{}
	}
	var m, de float64
	f.Ingredients(f.Written(), func(i *ingredient.Ingredient, mass unit.Mass) {
		if v, ok := i.Trait("dextrose-equivalent"); ok && v > 0 && v < 100 {
			m += float64(mass)
			de += v * float64(mass)
		}
	})
	if m <= 0 {
		return material.Solutes{}
	}
	return material.Solutes{DE: de / m}
}
