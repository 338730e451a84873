package check

import (
	"fmt"
	"math"
	"strings"

	"chablon/finding"
	"chablon/formula"
	"chablon/kitchen"
	"chablon/material"
	"chablon/unit"
)

// Verdict says how a figure stands to its range.
type Verdict uint8

// Verdicts. Unjudged is the zero Verdict: the figure has no range and is there to be known. Near
// is outside the range by less than a fifth of its width.
const (
	Unjudged Verdict = iota
	Inside
	Near
	Outside
)

// String says it in a word or two.
func (v Verdict) String() string {
	return [...]string{"not judged", "in range", "just outside", "outside"}[v]
}

// Figure is one figure of a formula beside the range that the trade expects, also where it is
// in range. Low and High are zero where Verdict is Unjudged, or the expected error's bounds where
// Method says so.
type Figure struct {
	Name      string // "sugar on flour and starch", "water activity"
	Value     float64
	Low, High float64
	Unit      string // "%", "°C", "kg/m³", "ratio", "min", "g", "% vol"
	Source    string
	Method    string // how the value was found, with its error; empty for a share of the lines
	Verdict   Verdict
}

// NotApplicable is a rule that says nothing of a formula, and why.
type NotApplicable struct{ Rule, Why string }

// Report is what is to be said of one formula: what is wrong, every figure with its range, and
// what was not judged.
type Report struct {
	Findings  finding.List
	Figures   []Figure
	NotJudged []NotApplicable
}

// Balance judges whether a formula will set, whip, pour, keep and taste as its kind should, by
// the ranges of Builtin and the rules of this package. k gives the altitude; nil means sea level.
//
// A finding is a note where a figure lies outside its range by less than a fifth of the range, a
// caution beyond, a fault only where the reason is physical. A part that a formula does not take
// is not judged: another may stand in for it. Shares are those of the lines as written; what is
// dissolved, frozen or active is computed from the composition, as its method says.
func Balance(f *formula.Formula, k *kitchen.Kitchen) Report { return BalanceBy(Builtin(), f, k) }

// BalanceBy is Balance with another table of ranges.
func BalanceBy(t Table, f *formula.Formula, k *kitchen.Kitchen) Report {
	j := judge{f: f, parts: partsOf(f), where: "formula " + f.ID, pressure: material.Atmosphere, name: kindName(f.Type)}
	if k != nil {
		if p, err := material.PressureAt(k.Altitude); err == nil {
			j.pressure, j.altitude = p, k.Altitude
		}
	}
	if !(j.parts.total > 0) || math.IsInf(float64(j.parts.total), 0) {
		j.skip("balance", "its lines weigh nothing")
		return j.report
	}
	j.mix, j.done = f.Mix(), f.Composition()
	j.solutes = solutesOf(f, j.done)
	if kind, ok := Kind(f.Type); ok {
		j.kind = narrower(kind, f, j.parts)
	}
	j.ranges(t)
	for _, rule := range rules {
		rule(&j)
	}
	j.report.Findings = j.report.Findings.Sorted()
	return j.report
}

// rules are all rules beyond the ranges, in the order of their figures on a page.
var rules = []func(*judge){
	(*judge).gelatin, (*judge).gelatinHeat, (*judge).gelatinAcid, (*judge).gelatinAlcohol, (*judge).enzymes,
	(*judge).agar, (*judge).pectinHM, (*judge).pectinNH, (*judge).starch,
	(*judge).whipping, (*judge).creamed, (*judge).waterLoss,
	(*judge).custard, (*judge).cocoaButter, (*judge).chocolateHeat,
	(*judge).syrup, (*judge).boiling, (*judge).activity, (*judge).freezing, (*judge).sweetness, (*judge).alcohol, (*judge).mixing,
	(*judge).rawEgg, (*judge).keeping,
}

// judge is one formula under judgement.
type judge struct {
	f        *formula.Formula
	kind     string // empty where the type is not known
	name     string // of the type, as written
	where    string
	parts    parts
	mix      material.Composition // what goes in
	done     material.Composition // the finished component
	solutes  material.Solutes
	pressure material.Pressure
	altitude unit.Length
	report   Report
	water    material.Activity // once judged
	waterErr error
}

func kindName(word string) string {
	if word == "" {
		return "component without a type"
	}
	return word
}

func (j *judge) find(code string, level finding.Level, source, reason, remedy string) {
	j.report.Findings.Add(finding.Finding{Code: code, Level: level, Where: j.where, Reason: reason, Remedy: remedy, Source: source})
}

func (j *judge) figure(g Figure) {
	if math.IsNaN(g.Value) || math.IsInf(g.Value, 0) {
		return
	}
	j.report.Figures = append(j.report.Figures, g)
}

func (j *judge) skip(rule, why string) {
	j.report.NotJudged = append(j.report.NotJudged, NotApplicable{rule, why})
}

// is reports whether the formula is of one of the kinds.
func (j *judge) is(kinds ...string) bool {
	for _, k := range kinds {
		if j.kind == k {
			return true
		}
	}
	return false
}

// baked reports whether a step or a loss says that it goes through the oven.
func (j *judge) baked() bool {
	for i := range j.f.Steps {
		if j.f.Steps[i].Verb == "bake" {
			return true
		}
	}
	for _, l := range j.f.Losses {
		if l.Name == "bake" {
			return true
		}
	}
	return false
}

// stand says how a value stands to a range.
func stand(v, low, high float64) Verdict {
	const slip = 1e-9 // of rounding
	out := max(low-v, v-high)
	switch {
	case out <= slip*max(1, math.Abs(high)):
		return Inside
	case out < (high-low)/5:
		return Near
	}
	return Outside
}

// level of a finding by how far a figure is outside.
func (v Verdict) level() finding.Level {
	if v == Near {
		return finding.Note
	}
	return finding.Caution
}

// ranges judges every figure for which the table has a range of the formula's kind.
func (j *judge) ranges(t Table) {
	groups := t.by[j.kind]
	if len(groups) == 0 {
		j.skip("ranges", fmt.Sprintf("no ranges are on record for a %s", j.name))
		return
	}
	for _, g := range groups {
		name := label(g.quantity, g.basis)
		value, method, why := j.value(g.quantity, g.basis)
		if why != "" {
			j.skip(name, why)
			continue
		}
		row := nearest(g.rows, value)
		v := stand(value, row.Low, row.High)
		j.figure(Figure{name, value, row.Low, row.High, row.Unit, row.Source, method, v})
		switch {
		case g.quantity == gelatinQuantity:
			j.gelatinRange(row, value, v)
		case v != Inside:
			j.outside(row, value, v)
		}
	}
}

// nearest returns the row that holds a value, or else the one that it misses by the least.
func nearest(rows []Range, v float64) Range {
	best := rows[0]
	for _, r := range rows[1:] {
		if max(r.Low-v, v-r.High, 0) < max(best.Low-v, v-best.High, 0) {
			best = r
		}
	}
	return best
}

func (j *judge) outside(row Range, value float64, v Verdict) {
	side, limit := "low", row.Low
	if value > row.High {
		side, limit = "high", row.High
	}
	of := ""
	switch {
	case row.Basis == "total":
		of = " of the whole"
	case row.Basis != "":
		of = " of the " + words(row.Basis)
	}
	reason := fmt.Sprintf("%s is %s%s; usual for a %s are %s to %s", words(row.Quantity), show(value, row), of, j.name, show(row.Low, Range{Quantity: row.Quantity}), show(row.High, row))
	if row.Note != "" {
		reason += " (" + row.Note + ")"
	}
	j.find(slug(row.Quantity)+"-"+side, v.level(), row.Source, reason, j.change(row, limit, side))
}

// change says what to change so that a figure reaches the limit: a mass where it is a share of
// the lines.
func (j *judge) change(row Range, limit float64, side string) string {
	if _, measure := measureUnits[row.Quantity]; measure {
		return measureRemedy(row, limit, side)
	}
	n, b := j.parts.of(row.Quantity), j.parts.of(row.Basis)
	p := unit.Mass(limit / 100)
	delta := p*b - n
	if j.within(row.Quantity, row.Basis) && p < 1 { // what is added is in the basis too
		delta /= 1 - p
	}
	if delta < 0 {
		return fmt.Sprintf("Take out %s of %s from the formula as written, or change the rest in proportion.", (-delta).Show(), words(row.Quantity))
	}
	return fmt.Sprintf("Add %s of %s to the formula as written, or change the rest in proportion.", delta.Show(), words(row.Quantity))
}

// within reports whether a part counts in a basis.
func (j *judge) within(quantity, basis string) bool {
	if basis == "total" {
		return true
	}
	for b := range strings.SplitSeq(basis, "+") {
		if b == quantity {
			return true
		}
	}
	return false
}

// show writes a figure with the decimals that its size deserves, and its unit.
func show(v float64, row Range) string {
	decimals := 0
	switch a := math.Abs(v); {
	case a < 0.0001:
	case row.Quantity == gelatinQuantity && row.Unit != "":
		decimals = 2
	case row.Quantity == "specific gravity" || row.Quantity == "water activity" || a < 1:
		decimals = 2
	case a < 20 && v != math.Trunc(v):
		decimals = 1
	}
	text := unit.Number(v, decimals)
	switch row.Unit {
	case "", "ratio":
		return text
	}
	return text + " " + row.Unit
}

// words writes a sum of parts for reading: "flour and starch".
func words(sum string) string { return strings.ReplaceAll(sum, "+", " and ") }

func label(quantity, basis string) string {
	switch {
	case basis == "" || quantity == gelatinQuantity:
		return quantity
	case basis == "total":
		return words(quantity) + " in the whole"
	}
	return words(quantity) + " on " + words(basis)
}

// slug makes the stem of a finding's code: "specific-gravity".
func slug(quantity string) string {
	return strings.NewReplacer(" ", "-", "+", "-").Replace(strings.ToLower(quantity))
}
