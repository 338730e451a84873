package ingredient

import (
	_ "embed" // the list is part of the program
	"strings"
	"sync"
)

// ambiguousCSV lists words that mean different things in the trade, one a line: the word, the
// IDs of what it may mean, most usual first, and why.
//
//go:embed ambiguous.csv
var ambiguousCSV string

// Ambiguity is a word that names more than one thing.
type Ambiguity struct {
	Word string
	Of   []*Ingredient // most usual first: where Named knows the word, it returns that one
	Why  string        // "dried small grapes or fresh berries"
}

var ambiguities = sync.OnceValue(func() map[string]Ambiguity {
	out := map[string]Ambiguity{}
	for n, line := range strings.Split(strings.TrimSpace(ambiguousCSV), "\n") {
		word, rest, _ := strings.Cut(line, ",")
		ids, why, _ := strings.Cut(rest, ",")
		if n == 0 {
			continue
		}
		a := Ambiguity{Word: word, Why: strings.Trim(why, `"`)}
		for _, id := range strings.Split(ids, ";") {
			if i, ok := Builtin().Get(id); ok {
				a.Of = append(a.Of, i)
			}
		}
		out[key(word)] = a
	}
	return out
})

// Ambiguous reports whether a name is one that the trade uses for different things, such as
// "praline", "currants" or "treacle", so that a reader can ask which is meant. Named still
// takes the most usual. A word that an own entry claims is not ambiguous, and entries that
// replace one of the table stand in its place.
func (t *Table) Ambiguous(name string) (Ambiguity, bool) {
	if t.exact == nil {
		return Ambiguity{}, false
	}
	k := key(name[:min(len(name), longestName)])
	a, ok := ambiguities()[k]
	if !ok {
		return Ambiguity{}, false
	}
	if c, claimed := t.exact()[k]; claimed && c.strength >= ownStrength {
		return Ambiguity{}, false
	}
	var of []*Ingredient
	for _, i := range a.Of {
		if mine, has := t.byID[i.ID]; has {
			of = append(of, mine)
		}
	}
	a.Of = of
	return a, len(of) > 1
}
