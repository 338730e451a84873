package web

import (
	"strings"

	"chablon/check"
	"chablon/formula"
	"chablon/unit"
)

// contentView is one component of matter in the finished component.
type contentView struct {
	Name, Amount string
	Part         bool   // of the one above
	Because      string // the ingredients whose figures are not on record
}

// contentRow says how a content is shown: its name, the unit of 100 g of the component, whether it
// is a part of the one before, and whether it is one of the few that a cook looks for.
type contentRow struct {
	key, name string
	perGram   float64
	unit      string
	part      bool
	main      bool
}

var contentRows = []contentRow{
	{"water", "Water", 1, "g", false, true},
	{"protein", "Protein", 1, "g", false, true},
	{"fat", "Fat", 1, "g", false, true},
	{"milk_fat", "milk fat", 1, "g", true, true},
	{"cocoa_fat", "cocoa butter", 1, "g", true, true},
	{"other_fat", "other fat", 1, "g", true, true},
	{"carbohydrate", "Carbohydrate", 1, "g", false, true},
	{"sugars", "sugars", 1, "g", true, true},
	{"starch", "starch", 1, "g", true, true},
	{"fibre", "fibre", 1, "g", true, true},
	{"polyols", "polyols", 1, "g", true, true},
	{"alcohol", "Alcohol", 1, "g", false, true},
	{"sucrose", "Sucrose", 1, "g", false, false},
	{"glucose", "Glucose", 1, "g", false, false},
	{"fructose", "Fructose", 1, "g", false, false},
	{"lactose", "Lactose", 1, "g", false, false},
	{"maltose", "Maltose", 1, "g", false, false},
	{"saturated_fat", "Saturated fat", 1, "g", false, false},
	{"trans_fat", "Trans fat", 1, "g", false, false},
	{"cholesterol", "Cholesterol", 1e3, "mg", false, false},
	{"ash", "Ash", 1, "g", false, false},
	{"sodium", "Sodium", 1e3, "mg", false, false},
	{"calcium", "Calcium", 1e3, "mg", false, false},
	{"iron", "Iron", 1e3, "mg", false, false},
	{"potassium", "Potassium", 1e3, "mg", false, false},
	{"vitamin_d", "Vitamin D", 1e6, "µg", false, false},
}

func contentName(key string) string {
	for _, r := range contentRows {
		if r.key == key {
			return sentenceCase(r.name)
		}
	}
	return sentenceCase(strings.ReplaceAll(key, "_", " "))
}

// addContents lists what the finished component is made of, per 100 g.
func (v *formulaView) addContents() {
	at := map[string]formula.Content{}
	for _, c := range v.Formula.Contents() {
		at[c.Name] = c
	}
	for _, r := range contentRows {
		c, ok := at[r.key]
		if !ok {
			continue
		}
		amount, open := between(100*c.Low*r.perGram, 100*c.High*r.perGram, r.unit)
		if !open && 100*c.High*r.perGram < 0.05 {
			continue
		}
		row := contentView{Name: r.name, Amount: amount, Part: r.part}
		if open {
			row.Because = join(c.Unknown)
		}
		if r.main {
			v.Contents = append(v.Contents, row)
		} else {
			v.More = append(v.More, row)
		}
	}
	e := v.Formula.Energy()
	kj, _ := whole(e.Low, e.High, "kJ")
	kcal, _ := whole(e.Low/kiloJoules, e.High/kiloJoules, "kcal")
	v.Energy = [2]string{kj, kcal}
}

// kiloJoules are in a kilocalorie.
const kiloJoules = 4.184

// between writes a figure, or both ends where they differ as shown.
func between(low, high float64, symbol string) (text string, open bool) {
	return ends(low, high, 1, symbol)
}

func whole(low, high float64, symbol string) (text string, open bool) {
	return ends(low, high, 0, symbol)
}

func ends(low, high float64, decimals int, symbol string) (text string, open bool) {
	a, b := unit.Number(max(0, low), decimals), unit.Number(max(0, high), decimals)
	if a == b {
		return a + " " + symbol, false
	}
	return a + "–" + b + " " + symbol, true
}

// figureValue writes a figure with its unit.
func figureValue(f check.Figure) string { return figureNumber(f.Value) + unitAfter(f.Unit) }

// figureRange writes the range that a figure is held against, "" if it has none.
func figureRange(f check.Figure) string {
	if f.Low == 0 && f.High == 0 {
		return ""
	}
	if f.Low < 0 {
		return figureNumber(f.Low) + " to " + figureNumber(f.High) + unitAfter(f.Unit)
	}
	return figureNumber(f.Low) + "–" + figureNumber(f.High) + unitAfter(f.Unit)
}

func unitAfter(u string) string {
	if u == "" || u == "ratio" {
		return ""
	}
	return " " + u
}

// figureNumber writes a value with about three digits, and no zeros that say nothing.
func figureNumber(x float64) string {
	decimals := 0
	switch a := max(x, -x); {
	case a < 1:
		decimals = 3
	case a < 20:
		decimals = 2
	case a < 100:
		decimals = 1
	}
	s := unit.Number(x, decimals)
	if strings.Contains(s, ".") {
		s = strings.TrimRight(strings.TrimRight(s, "0"), ".")
	}
	return s
}

// gauge is where a figure stands to its range, drawn as a dimension line. Places are from 0 to
// gaugeWidth.
type gauge struct {
	Low, High, At float64
	Beyond        bool // the figure is farther out than the drawing goes
}

const gaugeWidth = 120.0

// gaugeOf places the range in the middle half of the drawing.
func gaugeOf(f check.Figure) (gauge, bool) {
	width := f.High - f.Low
	if f.Verdict == check.Unjudged || !(width > 0) {
		return gauge{}, false
	}
	g := gauge{Low: gaugeWidth / 4, High: 3 * gaugeWidth / 4}
	at := g.Low + (f.Value-f.Low)/width*(g.High-g.Low)
	g.At = min(max(at, 4), gaugeWidth-4)
	g.Beyond = g.At != at
	return g, true
}

func coordinate(x float64) string { return plainNumber(x) }
