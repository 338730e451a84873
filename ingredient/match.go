package ingredient

import (
	"cmp"
	"slices"
	"strings"
)

// Match is an ingredient that a written name may mean.
type Match struct {
	Ingredient *Ingredient
	Score      float64 // 1 for an exact match, else above 0 and below 1
	Exact      bool    // the name is one of the ingredient's names
}

// Limits of the search, our choice.
const (
	mostMatches  = 8
	leastScore   = 0.45
	longestName  = 200 // bytes of a written name; the rest is not looked at
	mostWords    = 12  // of a written name that are compared where it is not exact
	inexactScale = 0.99
)

// Match returns the ingredients that a name may mean, best first, at most eight. The name is
// what a line of a formula says after its amount: "almond flour", "large egg whites",
// "butter, soft", "crème fleurette". Case, accents, hyphens and number are ignored, and so
// is what follows the first 200 bytes.
//
// A match is exact where the whole name, or what stands before a comma, is a name of the
// ingredient; what follows the comma or stands in brackets may name it more closely ("butter,
// clarified"), and words that only tell its state ("large", "softened") are left out. A grade
// there that the table lacks ("cream, 48.5 %") keeps the match from being exact. Otherwise names are compared by
// the words they share, with a slip of a letter or two in longer words, and a match is a
// proposal that a cook has to confirm.
func (t *Table) Match(name string) []Match {
	if t.index == nil {
		return nil
	}
	name = name[:min(len(name), longestName)]
	exact, _ := t.Named(name)
	first, added := parts(name)
	ws := words(first)
	if grade.MatchString(added) || !strings.Contains(name, "(") { // brackets else hold remarks
		ws = append(ws, words(added)...)
	}
	if bare := withoutStates(ws); len(bare) > 0 {
		ws = bare
	}
	ws = ws[:min(len(ws), mostWords)]
	x := t.index()
	written, joined := x.compare(ws, wordLikeness), newWord(strings.Join(ws, ""))
	near := x.sharing(written)
	out := ranking{most: mostMatches}
	out.exact(exact)
	for k := range x.names {
		n := &x.names[k]
		alike := 0.
		if len(ws) != len(n.words) {
			alike = wordLikeness(joined, n.joined)
		}
		if near[k] == 0 && alike == 0 {
			continue
		}
		shared := written.assign(n.words, nil)
		if s := inexactScale * max(2*shared/float64(len(ws)+len(n.words)), alike); s >= leastScore {
			out.offer(n.of, s)
		}
	}
	return out.done()
}

// ranking keeps the best matches while the names of a table are gone through. The names of one
// ingredient come one after another.
type ranking struct {
	most  int
	best  []Match // sorted, at most most
	named *Ingredient
	last  Match // the ingredient whose names are being gone through
}

// exact puts an ingredient first, if there is one.
func (r *ranking) exact(i *Ingredient) {
	if r.named = i; i != nil {
		r.best = append(r.best, Match{Ingredient: i, Score: 1, Exact: true})
	}
}

// offer takes note of one name.
func (r *ranking) offer(i *Ingredient, score float64) {
	switch {
	case i == r.named:
	case i != r.last.Ingredient:
		r.settle()
		r.last = Match{Ingredient: i, Score: score}
	default:
		r.last.Score = max(r.last.Score, score)
	}
}

// settle moves the last ingredient to its place among the best.
func (r *ranking) settle() {
	if r.last.Ingredient == nil || len(r.best) == r.most && byRank(r.best[len(r.best)-1], r.last) <= 0 {
		return
	}
	at, _ := slices.BinarySearchFunc(r.best, r.last, byRank)
	r.best = slices.Insert(r.best, at, r.last)
	r.best = r.best[:min(len(r.best), r.most)]
}

func (r *ranking) done() []Match {
	r.settle()
	return r.best
}

func byRank(a, b Match) int {
	return cmp.Or(cmp.Compare(b.Score, a.Score), cmp.Compare(len(a.Ingredient.Name), len(b.Ingredient.Name)), strings.Compare(a.Ingredient.ID, b.Ingredient.ID))
}
