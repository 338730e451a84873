package formula

import (
	"cmp"
	"slices"

	"chablon/material"
	"chablon/unit"
)

// Difference is one ingredient or component in two formulas, both brought to the same mass.
type Difference struct {
	ID, Name string
	A, B     unit.Mass
}

// Comparison sets two formulas, or two versions of one, side by side.
type Comparison struct {
	Mass   unit.Mass // that both are brought to: what goes in
	Lines  []Difference
	Shares []ShareDifference
	A, B   *Formula
}

// ShareDifference is one component of matter in the two finished components.
type ShareDifference struct {
	Component material.Component
	A, B      float64
	KnownA    bool
	KnownB    bool
}

// Compare brings b to the written mass of a and lists their lines by what they take, largest
// first, and their compositions.
func Compare(a, b *Formula) Comparison {
	c := Comparison{Mass: a.Written(), A: a, B: b}
	k := unit.Mass(0)
	if w := b.Written(); w > 0 {
		k = c.Mass / w
	}
	at := map[string]int{}
	add := func(l Line, m unit.Mass, second bool) {
		id, name := l.Of()
		i, ok := at[id]
		if !ok {
			i = len(c.Lines)
			at[id] = i
			c.Lines = append(c.Lines, Difference{ID: id, Name: name})
		}
		if second {
			c.Lines[i].B += m
		} else {
			c.Lines[i].A += m
		}
	}
	for _, l := range a.Lines {
		add(l, l.Mass, false)
	}
	for _, l := range b.Lines {
		add(l, l.Mass*k, true)
	}
	slices.SortStableFunc(c.Lines, func(x, y Difference) int { return cmp.Compare(max(y.A, y.B), max(x.A, x.B)) })
	ca, cb := a.Composition(), b.Composition()
	for _, m := range material.Components() {
		d := ShareDifference{Component: m}
		d.A, d.KnownA = ca.Share(m)
		d.B, d.KnownB = cb.Share(m)
		if d.A > 0 || d.B > 0 {
			c.Shares = append(c.Shares, d)
		}
	}
	return c
}
