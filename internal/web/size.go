package web

import (
	"fmt"
	"math"
	"net/url"
	"slices"
	"strconv"
	"strings"

	"chablon/formula"
	"chablon/unit"
)

// sizeView is a formula at the size that was asked for, with each figure that can be fixed.
type sizeView struct {
	formula.Size
	Query    url.Values // what fixes the size, and nothing else; empty as written
	Mass     string     // finished, as it can be typed again
	Volume   string     // finished, "" without a density
	Factor   string
	Pieces   string // where pieces are what was fixed
	Each     string
	HasEggs  bool
	Whole    bool // eggs are whole
	Finished string
}

// mostSize bounds what is scaled to: no kitchen makes ten tonnes of a component at once.
const mostSize = 10_000 * unit.Kilogram

// mostPieces is how many pieces are asked for at most.
const mostPieces = 100_000

// sizeOf takes the size from the address: one of mass, volume, pieces with each, factor, and line
// with have; eggs=whole moves it to whole eggs. What cannot be is said at its field, and the
// formula stays as written.
func (v *formulaView) sizeOf(q url.Values) *sizeView {
	out := &sizeView{Query: url.Values{}}
	f := v.Formula
	if f == nil {
		return out
	}
	as := func(name string) string { return strings.TrimSpace(q.Get(name)) }
	refuse := func(name, text string) {
		if v.Form == "" || v.Form == "size" {
			v.Form, v.Typed = "size", q
			v.fieldError(name, text)
		}
	}
	quantity := func(name string, dim unit.Dimension, symbol, example string) (unit.Quantity, bool) {
		typed, err := unit.ParseQuantity(withUnit(as(name), unit.Quantity{}, symbol), dim)
		if err != nil || !(typed.Low > 0) {
			refuse(name, fmt.Sprintf("%q cannot be made: write %s.", clip(as(name)), example))
			return typed, false
		}
		return typed, true
	}
	size, err := f.ToFactor(1)
	keep := func(made formula.Size, problem error, name string, names ...string) {
		switch {
		case problem != nil:
			refuse(name, inWords(problem))
		case made.Batch.In > mostSize:
			refuse(name, fmt.Sprintf("That is %s, more than any kitchen makes at once: write less.", made.Batch.In.Show()))
		default:
			size = made
			for _, n := range names {
				out.Query.Set(n, as(n))
			}
		}
	}
	switch {
	case err != nil:
	case as("mass") != "":
		if m, ok := quantity("mass", unit.OfMass, "g", "a mass above zero, such as 1.2 kg"); ok {
			made, err := f.ToMass(m.Mass())
			keep(made, err, "mass", "mass")
		}
	case as("volume") != "":
		if m, ok := quantity("volume", unit.OfVolume, "ml", "a volume above zero, such as 800 ml"); ok {
			made, err := f.ToVolume(m.Volume())
			keep(made, err, "volume", "volume")
		}
	case as("pieces") != "" || as("each") != "":
		v.toPieces(as, refuse, quantity, keep)
	case as("factor") != "":
		k, rest, err := unit.ParseNumber(as("factor"))
		if rest = strings.TrimSpace(rest); err != nil || !(k.Mid() > 0) || rest != "" && rest != "×" && rest != "x" {
			refuse("factor", fmt.Sprintf("%q is no factor: write a number above zero, such as 2.5.", clip(as("factor"))))
			break
		}
		made, err := f.ToFactor(k.Mid())
		keep(made, err, "factor", "factor")
	case as("line") != "":
		n, err := strconv.Atoi(as("line"))
		if err != nil || n < 0 || n >= len(f.Lines) {
			refuse("mass", fmt.Sprintf("There is no line %q in this formula: fix one that is there.", clip(as("line"))))
			break
		}
		if m, ok := quantity("have", unit.OfMass, "g", "a mass above zero, such as 430 g"); ok {
			made, err := f.ToLine(n, m.Mass())
			keep(made, err, "have", "line", "have")
		}
	}
	out.HasEggs = slices.ContainsFunc(f.Lines, func(l formula.Line) bool {
		id, _ := l.Of()
		return l.Counted && slices.Contains([]string{formula.EggWhole, formula.EggWhite, formula.EggYolk}, id)
	})
	if as("eggs") == "whole" && out.HasEggs {
		if made, err := f.WholeEggs(size.Factor); err != nil {
			refuse("eggs", inWords(err))
		} else {
			size, out.Whole = made, true
			out.Query.Set("eggs", "whole")
		}
	}
	out.Size = size
	b := size.Batch
	out.Mass, out.Factor, out.Finished = plainGrams(b.Out), plainNumber(size.Factor), b.Out.Show()
	if d, _ := f.FinishedDensity(); d.Known() {
		out.Volume = plainVolume(d.Volume(b.Out))
	}
	if out.Query.Has("pieces") && !out.Whole {
		n, err := strconv.Atoi(as("pieces"))
		each, _ := unit.ParseQuantity(withUnit(as("each"), unit.Quantity{}, "g"), unit.OfMass)
		switch {
		case err == nil && !each.Given():
			each = unit.Of((b.Out / unit.Mass(n)).Grams(), grams)
		case err != nil:
			n = int(math.Round(float64(b.Out / each.Mass())))
		}
		out.Pieces, out.Each = number(n), plainGrams(each.Mass())
	}
	return out
}

// toPieces takes so many pieces of so much.
func (v *formulaView) toPieces(as func(string) string, refuse func(name, text string),
	quantity func(string, unit.Dimension, string, string) (unit.Quantity, bool), keep func(formula.Size, error, string, ...string),
) {
	n, err := strconv.Atoi(as("pieces"))
	switch {
	case as("pieces") != "" && (err != nil || n < 1 || n > mostPieces):
		refuse("pieces", "Write how many pieces, from 1 to 100 000.")
		return
	case as("each") == "": // what is there, divided
		made, err := v.Formula.ToFactor(1)
		made.Reason = fmt.Sprintf("%d pieces of the formula as written", n)
		keep(made, err, "pieces", "pieces")
		return
	}
	if m, ok := quantity("each", unit.OfMass, "g", "what one piece weighs, such as 85 g"); ok {
		if n == 0 { // as many as come out of the formula as written
			whole, err := v.Formula.ToFactor(1)
			n = 1
			if k := math.Round(float64(whole.Batch.Out / m.Mass())); err == nil && k > 1 {
				n = int(min(k, mostPieces))
			}
		}
		made, err := v.Formula.ToPieces(n, m.Mass())
		keep(made, err, "pieces", "pieces", "each")
	}
}

func plainVolume(v unit.Volume) string {
	ml, decimals := v.Millilitres(), 0
	if ml < 100 {
		decimals = 1
	}
	return strings.ReplaceAll(unit.Number(ml, decimals), "\u00a0", "") + " ml"
}

var grams, _ = unit.ParseUnit("g")
