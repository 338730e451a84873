package ingredient

import (
	"cmp"
	"maps"
	"slices"
	"strings"
	"sync"

	"chablon/unit"
)

// Table is a set of ingredients by ID. It does not change: With makes another. A Table comes
// from Builtin or With; the zero Table is empty and finds nothing.
type Table struct {
	byID   map[string]*Ingredient
	sorted []*Ingredient
	own    map[string]bool         // IDs that came through With
	exact  func() map[string]claim // made at the first look-up of a name
	index  func() *index           // made at the first search
}

var builtin = sync.OnceValue(func() *Table {
	all := unpack(packed)
	for _, i := range all {
		if part := eggPart[i.ID]; part != nil {
			i.Portions = append(eggPortions(part), i.Portions...) // unrounded, so before those on file
		}
	}
	return newTable(all, nil)
})

// eggPart says what of an egg an ingredient is.
var eggPart = map[string]func(EggSize) unit.Mass{
	"egg-whole": func(e EggSize) unit.Mass { return e.Whole },
	"egg-white": func(e EggSize) unit.Mass { return e.White },
	"egg-yolk":  func(e EggSize) unit.Mass { return e.Yolk },
}

// Builtin returns the product's own table. It is read once.
func Builtin() *Table { return builtin() }

// newTable makes a table of ingredients with different IDs; own marks those whose names win.
func newTable(all []*Ingredient, own map[string]bool) *Table {
	t := &Table{byID: make(map[string]*Ingredient, len(all)), sorted: slices.Clone(all), own: own}
	lower := make(map[string]string, len(all))
	for _, i := range all {
		t.byID[i.ID], lower[i.ID] = i, strings.ToLower(i.Name)
	}
	slices.SortFunc(t.sorted, func(a, b *Ingredient) int {
		return cmp.Or(strings.Compare(lower[a.ID], lower[b.ID]), strings.Compare(a.ID, b.ID))
	})
	t.exact = sync.OnceValue(func() map[string]claim { return claims(t.sorted, own) })
	t.index = sync.OnceValue(func() *index { return newIndex(t.sorted) })
	return t
}

// Get returns the ingredient of that ID.
func (t *Table) Get(id string) (*Ingredient, bool) {
	i, ok := t.byID[id]
	return i, ok
}

// All returns every ingredient, sorted by name.
func (t *Table) All() []*Ingredient { return slices.Clone(t.sorted) }

// With returns a table that also has own; an entry of own replaces the one of the same ID, and
// the last of several wins. Where a name or alias of own is one that the table has already, it
// leads to the own entry. The receiver is not changed.
func (t *Table) With(own ...Ingredient) *Table {
	byID, mine := maps.Clone(t.byID), maps.Clone(t.own)
	if byID == nil {
		byID = map[string]*Ingredient{}
	}
	if mine == nil {
		mine = map[string]bool{}
	}
	for _, i := range own {
		byID[i.ID], mine[i.ID] = &i, true
	}
	return newTable(slices.Collect(maps.Values(byID)), mine)
}
