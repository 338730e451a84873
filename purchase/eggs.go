package purchase

import (
	"fmt"
	"math"
	"strings"

	"chablon/formula"
	"chablon/ingredient"
	"chablon/unit"
)

// eggNeed adds up what fresh shell eggs must give.
type eggNeed struct {
	whole, white, yolk unit.Mass
}

// take adds a need that fresh eggs meet, and reports whether it did. Dried, salted, sugared and
// pasteurised egg is bought as such.
func (e *eggNeed) take(n Need) bool {
	switch n.Ingredient.ID {
	case formula.EggWhole:
		e.whole += n.Mass
	case formula.EggWhite:
		e.white += n.Mass
	case formula.EggYolk:
		e.yolk += n.Mass
	default:
		return false
	}
	return true
}

// item returns the whole eggs to buy: those used whole, and as many more as give the whites and
// the yolks, each pair from one egg.
func (e *eggNeed) item(size string) (Item, bool) {
	if e.whole+e.white+e.yolk <= 0 {
		return Item{}, false
	}
	white, yolk, whole, shell, ok := ingredient.EggPortion(size)
	if !ok {
		size = "us-large"
		white, yolk, whole, shell, _ = ingredient.EggPortion(size)
	}
	used := float64(e.whole / whole)
	separated := math.Ceil(math.Max(float64(e.white/white), float64(e.yolk/yolk)) - 1e-9)
	n := math.Ceil(used-1e-9) + separated
	leftWhole := unit.Mass(math.Ceil(used-1e-9)-used) * whole
	leftWhite := unit.Mass(separated)*white - e.white
	leftYolk := unit.Mass(separated)*yolk - e.yolk
	var notes []string
	for _, l := range []struct {
		m    unit.Mass
		what string
	}{{leftWhite, "white"}, {leftYolk, "yolk"}, {leftWhole, "whole egg"}} {
		if l.m >= unit.Gram/2 {
			notes = append(notes, fmt.Sprintf("%s of %s left", l.m.Show(), l.what))
		}
	}
	each := whole + shell
	return Item{
		ID: "eggs", Name: "Eggs, " + sizeName(size), Need: e.whole + e.white + e.yolk,
		Waste: unit.Mass(n) * shell, Buy: unit.Quantity{Range: unit.Range{Low: n, High: n}, Text: fmt.Sprintf("%.0f", n), Unit: unit.One},
		BuyMass: unit.Mass(n) * each, LeftOver: leftWhite + leftYolk + leftWhole, Note: strings.Join(notes, ", "),
	}, true
}

func sizeName(size string) string {
	market, class, _ := strings.Cut(size, "-")
	if len(class) <= 2 { // M, XL
		class = strings.ToUpper(class)
	}
	return strings.ToUpper(market) + " " + strings.ReplaceAll(class, "-", " ")
}
