// Package finding holds what a check says of a document: where, what is wrong with both
// figures, what to change, and on whose word.
package finding

import (
	"cmp"
	"slices"
)

// Level is how much a finding matters.
type Level uint8

// Levels of a finding. A Fault will fail or harm; a Caution may; a Note is worth knowing.
const (
	Note Level = iota
	Caution
	Fault
)

// String returns the word that is shown and published: "note", "caution" or "fault".
func (l Level) String() string { return [...]string{"note", "caution", "fault"}[l] }

// CommonPractice is the source of a fact of the trade for which none can be cited.
const CommonPractice = "common practice, no source"

// Finding is what a check says. The zero Level is Note.
type Finding struct {
	Code   string // stable name of the rule: "layer-over-capacity"
	Level  Level
	Where  string // the document and the part: `assembly saturday-ring, layer "mousse"`
	Reason string // what is wrong, with both figures
	Remedy string // what to change, as an order; empty where there is nothing to do
	Source string // bibliography key, or CommonPractice
}

// List collects findings. The zero List is ready to use.
type List []Finding

// Add appends a finding.
func (l *List) Add(f Finding) { *l = append(*l, f) }

// Worst returns the highest level, Note if there is nothing.
func (l List) Worst() Level {
	worst := Note
	for _, f := range l {
		worst = max(worst, f.Level)
	}
	return worst
}

// Has reports whether a finding of that code is in the list.
func (l List) Has(code string) bool {
	return slices.ContainsFunc(l, func(f Finding) bool { return f.Code == code })
}

// Count returns how many findings have that level.
func (l List) Count(level Level) int {
	n := 0
	for _, f := range l {
		if f.Level == level {
			n++
		}
	}
	return n
}

// Sorted returns a copy with duplicates removed, the gravest first, then by place and code, so
// that the same documents give the same list.
func (l List) Sorted() List {
	out := slices.Clone(l)
	slices.SortStableFunc(out, func(a, b Finding) int {
		return cmp.Or(cmp.Compare(b.Level, a.Level), cmp.Compare(a.Where, b.Where), cmp.Compare(a.Code, b.Code), cmp.Compare(a.Reason, b.Reason),
			cmp.Compare(a.Remedy, b.Remedy), cmp.Compare(a.Source, b.Source))
	})
	return slices.CompactFunc(out, func(a, b Finding) bool { return a == b })
}
