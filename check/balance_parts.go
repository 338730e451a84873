package check

import (
	"slices"
	"strings"

	"chablon/formula"
	"chablon/ingredient"
	"chablon/unit"
)

// partNames are the parts of a formula that ranges speak of. An ingredient may be several: a
// yolk is egg yolk and egg. A component made by a formula of its own is one part by its type
// (custard, meringue, bombe, pastry cream) and is what it is made of besides.
var partNames = []string{
	"egg", "whole egg", "egg white", "egg yolk", "sugar", "granulated sugar", "icing sugar", "glucose syrup", "invert sugar", "flour", "starch",
	"butter", "oil", "cocoa butter", "cocoa", "chocolate", "dark chocolate", "milk chocolate", "white chocolate", "nuts", "almond paste", "praline",
	"crisp flakes", "milk", "cream", "whipped cream", "mascarpone", "condensed milk", "water", "fruit", "citrus",
	"pectin NH", "pectin HM", "agar", "salt", "baking powder", "cream of tartar", "citric acid", "custard", "meringue", "bombe", "pastry cream",
}

// nestedPart is the part that a component of a kind is.
var nestedPart = map[string]string{
	"crème anglaise": "custard", "crème pâtissière": "pastry cream", "pâte à bombe": "bombe", "whipped cream": "whipped cream",
	"french meringue": "meringue", "italian meringue": "meringue", "swiss meringue": "meringue",
}

// parts holds the mass of each part in a formula as written, and of all that goes in.
type parts struct {
	mass  map[string]unit.Mass
	total unit.Mass
}

// of returns the mass of a part, or of parts joined by +; "total" is everything.
func (p parts) of(sum string) unit.Mass {
	if sum == "total" {
		return p.total
	}
	if !strings.Contains(sum, "+") {
		return p.mass[sum]
	}
	var m unit.Mass
	for part := range strings.SplitSeq(sum, "+") {
		m += p.mass[part]
	}
	return m
}

// partsOf takes a formula apart. Nested components count by what goes into them, less the water
// that they lose in the making.
func partsOf(f *formula.Formula) parts {
	p := parts{mass: map[string]unit.Mass{}, total: f.Written()}
	p.add(f, 1, true)
	return p
}

func (p *parts) add(f *formula.Formula, k unit.Mass, own bool) {
	for i := range f.Lines {
		l := &f.Lines[i]
		m := l.Mass * k
		if own && l.Group != "" && l.Formula == nil {
			if kind, ok := Kind(l.Group); ok && nestedPart[kind] != "" {
				p.mass[nestedPart[kind]] += m
			}
		}
		switch {
		case l.Formula != nil:
			if kind, ok := Kind(l.Formula.Type); ok && nestedPart[kind] != "" {
				p.mass[nestedPart[kind]] += m
			}
			p.add(l.Formula, m/max(l.Formula.Written(), 1e-12)*unit.Mass(concentrated(l.Formula)), false)
		case l.Ingredient != nil:
			p.ingredient(l.Ingredient, m)
			if whipped(f, l) && has(l.Ingredient, "cream-", "cheese-mascarpone") {
				p.mass["whipped cream"] += m
			}
		}
	}
}

// whipped reports whether air is beaten into a line.
func whipped(f *formula.Formula, l *formula.Line) bool {
	if f.Air.Overrun <= 0 {
		return false
	}
	id, _ := l.Of()
	return len(f.Air.Whipped) == 0 || slices.ContainsFunc(f.Air.Whipped, func(w string) bool { return w == l.ID || w == id || w != "" && w == l.Group })
}

// concentrated returns how much goes in for 1 of a component that loses water in the making.
func concentrated(f *formula.Formula) float64 {
	kept := 1.0
	for _, l := range f.Losses {
		if l.Name == "bake" || l.Name == "evaporation" || l.ToMass > 0 || l.ToBrix > 0 {
			kept *= 1 - l.Share
		}
	}
	if !(kept > 0.01) {
		return 1
	}
	return 1 / kept
}

func (p *parts) ingredient(i *ingredient.Ingredient, m unit.Mass) {
	add := func(share float64, names ...string) {
		for _, n := range names {
			p.mass[n] += m * unit.Mass(share)
		}
	}
	switch i.Group {
	case "egg":
		switch {
		case strings.Contains(i.ID, "dried"): // another egg altogether: it wants its water first
		case has(i, "egg-white"):
			add(1, "egg", "egg white")
		case has(i, "egg-yolk"):
			add(1, "egg", "egg yolk")
		default:
			add(1, "egg", "whole egg")
		}
	case "sugar":
		switch {
		case has(i, "sugar-powdered"):
			add(1, "sugar", "icing sugar")
		case has(i, "sugar-"):
			add(1, "sugar", "granulated sugar")
		case has(i, "glucose-powder"):
			add(1, "glucose syrup")
		case has(i, "maltodextrin", "inulin"):
		default:
			add(1, "sugar")
		}
	case "syrup":
		switch {
		case has(i, "glucose-syrup", "syrup-corn"):
			add(1, "glucose syrup")
		case has(i, "invert-sugar", "honey"):
			add(1, "invert sugar")
		case has(i, "syrup-50-brix"):
			add(0.5, "sugar", "granulated sugar", "water")
		case has(i, "syrup-30-baume"): // 57 °Bx; see the ranges of soaking syrup
			add(0.57, "sugar", "granulated sugar")
			add(0.43, "water")
		}
	case "flour":
		add(1, "flour")
	case "starch":
		add(1, "starch")
	case "dairy_fat":
		add(1, "butter")
	case "fat":
		switch {
		case has(i, "cocoa-butter"):
			add(1, "cocoa butter")
		case has(i, "oil-"):
			add(1, "oil")
		case has(i, "margarine"):
			add(1, "butter")
		}
	case "chocolate":
		switch {
		case has(i, "cocoa-powder"):
			add(1, "cocoa")
		case strings.Contains(i.ID, "white"):
			add(1, "chocolate", "white chocolate")
		case strings.Contains(i.ID, "milk"):
			add(1, "chocolate", "milk chocolate")
		case has(i, "chocolate", "couverture", "gianduja"):
			add(1, "chocolate", "dark chocolate")
		}
	case "nut":
		switch {
		case has(i, "tant-pour-tant"):
			add(0.5, "nuts", "sugar", "icing sugar")
		case has(i, "praline"):
			add(1, "praline")
		case has(i, "marzipan-50"):
			add(1, "almond paste")
		case has(i, "coconut-milk", "coconut-cream", "coconut-water"):
		default:
			add(1, "nuts")
		}
	case "seed":
		add(1, "nuts")
	case "confection":
		if has(i, "almond-paste") {
			add(1, "almond paste")
		}
	case "dairy":
		switch {
		case has(i, "milk-condensed"):
			add(1, "condensed milk")
		case has(i, "milk-powder", "milk-evaporated"):
		case has(i, "milk-"):
			add(1, "milk")
		case has(i, "cream-sour", "cream-pressurized"):
		case has(i, "cream-"):
			add(1, "cream")
		case has(i, "cheese-mascarpone"):
			add(1, "mascarpone")
		}
	case "fruit", "fruit_frozen", "puree", "juice", "fruit_prepared":
		add(1, "fruit")
		if has(i, "juice-lemon", "juice-lime", "juice-orange", "juice-blood-orange", "juice-grapefruit", "juice-mandarin", "juice-yuzu", "juice-passion", "puree-passion", "puree-mandarin") {
			add(1, "citrus")
		}
	case "baked_base":
		if has(i, "feuilletine", "wafer", "butter-biscuit") {
			add(1, "crisp flakes")
		}
	case "leavening":
		switch {
		case has(i, "baking-powder"):
			add(1, "baking powder")
		case has(i, "cream-of-tartar"):
			add(1, "cream of tartar")
		}
	case "acid":
		if has(i, "citric-acid") {
			add(1, "citric acid")
		}
	case "gelling":
		switch {
		case has(i, "pectin-nh", "pectin-x58"):
			add(1, "pectin NH")
		case has(i, "pectin-hm"):
			add(1, "pectin HM")
		case has(i, "agar"):
			add(1, "agar")
		}
	case "seasoning":
		if has(i, "salt") {
			add(1, "salt")
		}
	case "beverage":
		if i.ID == "water" {
			add(1, "water")
		}
	}
}
