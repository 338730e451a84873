// Package purchase turns what the batches take into what to buy: edible yields counted, whole
// eggs from whites and yolks, what is left over, and what a component costs.
package purchase

import (
	"cmp"
	"math"
	"slices"
	"strings"
	"unicode"

	"chablon/ingredient"
	"chablon/unit"
)

// Need is so much of an ingredient, as the formulas weigh it: edible, prepared.
type Need struct {
	Ingredient  *ingredient.Ingredient
	Mass        unit.Mass
	Preparation string // as written on the line: a yield of that name is counted
}

// Item is one thing to buy.
type Item struct {
	ID, Name string
	Need     unit.Mass // edible, summed
	Waste    unit.Mass // peel, stones, shells: bought and thrown away
	Buy      unit.Quantity
	BuyMass  unit.Mass // of what is bought, waste included; for eggs in the shell
	LeftOver unit.Mass // edible, bought but not needed
	Note     string    // "96 g of egg white left"
}

// List returns what to buy for the needs, in alphabetical order. Water and other things that are
// not bought are left out. eggSize is the egg that the kitchen buys; packs gives the sizes in
// which an ingredient is sold, smallest first, where that is known.
func List(needs []Need, eggSize string, packs map[string][]unit.Mass) []Item {
	type sum struct {
		ing          *ingredient.Ingredient
		need, bought unit.Mass
	}
	byID := map[string]*sum{}
	var eggs eggNeed
	for _, n := range needs {
		if !(n.Mass > 0) || n.Ingredient.Unlimited || eggs.take(n) {
			continue
		}
		s := byID[n.Ingredient.ID]
		if s == nil {
			s = &sum{ing: n.Ingredient}
			byID[n.Ingredient.ID] = s
		}
		s.need += n.Mass
		s.bought += n.Mass / unit.Mass(kept(n))
	}
	var out []Item
	for id, s := range byID {
		buy := roundUp(s.bought, packs[id])
		share := s.need / s.bought // mean edible share of what is bought
		out = append(out, Item{
			ID: id, Name: s.ing.Name, Need: s.need, Waste: s.bought - s.need, BuyMass: buy,
			Buy: quantity(buy), LeftOver: (buy - s.bought) * share,
		})
	}
	if item, ok := eggs.item(eggSize); ok {
		out = append(out, item)
	}
	slices.SortFunc(out, func(a, b Item) int {
		return cmp.Or(cmp.Compare(strings.ToLower(a.Name), strings.ToLower(b.Name)), cmp.Compare(a.ID, b.ID))
	})
	return out
}

// kept returns the share that the line's preparation keeps: the yield on record whose process
// the preparation names, else all.
func kept(n Need) float64 {
	done := words(n.Preparation)
	for _, y := range n.Ingredient.Yields {
		if y.Kept > 0 && y.Kept <= 1 && names(done, words(y.Process)) {
			return y.Kept
		}
	}
	return 1
}

func words(s string) []string {
	return strings.FieldsFunc(strings.ToLower(s), func(c rune) bool { return !unicode.IsLetter(c) })
}

// names reports whether what was done names every word of a process: "trimmed and diced" names
// trim, "untrimmed" does not.
func names(done, process []string) bool {
	for _, p := range process {
		if !slices.ContainsFunc(done, func(d string) bool { return strings.HasPrefix(d, p) }) {
			return false
		}
	}
	return len(process) > 0
}

// roundUp returns the least amount that can be bought: whole packs, the fewest of the largest
// that cover it and then the smallest that covers the rest; without packs, a step that a shop
// or a scale is spoken in.
func roundUp(m unit.Mass, packs []unit.Mass) unit.Mass {
	sorted := slices.DeleteFunc(slices.Clone(packs), func(p unit.Mass) bool { return !(p > 0) })
	if len(sorted) > 0 {
		slices.Sort(sorted)
		largest := sorted[len(sorted)-1]
		whole := unit.Mass(math.Floor(float64(m/largest)+1e-9)) * largest
		if rest := m - whole; rest > 1e-9 {
			for _, p := range sorted {
				if p >= rest-1e-9 {
					return whole + p
				}
			}
		}
		return whole
	}
	step := 100 * unit.Gram
	switch {
	case m <= 20*unit.Gram:
		step = unit.Gram
	case m <= 200*unit.Gram:
		step = 5 * unit.Gram
	case m <= unit.Kilogram:
		step = 10 * unit.Gram
	case m <= 5*unit.Kilogram:
		step = 50 * unit.Gram
	}
	return unit.Mass(math.Ceil(float64(m/step)-1e-9)) * step
}

func quantity(m unit.Mass) unit.Quantity {
	kg, _ := unit.ParseUnit("kg")
	g, _ := unit.ParseUnit("g")
	if m >= unit.Kilogram {
		return unit.Of(math.Round(float64(m)*1e3)/1e3, kg)
	}
	return unit.Of(math.Round(m.Grams()*1e3)/1e3, g)
}
