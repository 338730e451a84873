package purchase

import (
	"slices"

	"chablon/formula"
	"chablon/ingredient"
	"chablon/unit"
)

// Prices are what ingredients cost, by ID, in the kitchen's currency for a kilogram as bought.
type Prices map[string]float64

// PerKilogram returns what the ingredients of a kilogram of a finished component cost: the losses
// of its making and of those nested in it counted, the waste of whole packs not. missing names the
// ingredients without a price, in alphabetical order; they count as nothing, so that the cost is
// then a lower bound. A component that cannot be made costs nothing and says so with ok.
func (p Prices) PerKilogram(f *formula.Formula) (cost float64, missing []string, ok bool) {
	in, err := f.Input(unit.Kilogram)
	if err != nil {
		return 0, nil, false
	}
	f.Ingredients(in, func(i *ingredient.Ingredient, m unit.Mass) {
		if i.Unlimited {
			return
		}
		price, known := p[i.ID]
		if !known {
			missing = append(missing, i.Name)
			return
		}
		cost += price * float64(m/unit.Kilogram)
	})
	slices.Sort(missing)
	return cost, slices.Compact(missing), true
}
