package ingredient

import (
	"cmp"
	"math/bits"
	"regexp"
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
	longestWord  = 24  // longer words are compared for equality only
	inexactScale = 0.99
)

// states lists words that say how an ingredient is to be, not which one it is. They are left out
// where the name with them is unknown: "large eggs, cold" is "eggs".
var states = setOf(`large medium small extra jumbo xl us eu ripe fresh cold chilled warm hot cool cooled soft softened melted
	chopped sliced diced cubed grated sifted beaten crushed peeled pitted finely coarsely roughly lightly very good quality room
	temperature packed firmly optional plus more for divided
	gros grosse petit petite frais froid froide tiede fondu fondue mou ramolli rape rapee tamise tamisee hache hachee bien mur`)

func setOf(list string) map[string]bool {
	set := map[string]bool{}
	for _, w := range strings.Fields(list) {
		set[singular(w)] = true
	}
	return set
}

// index holds the names of a table for searching.
type index struct {
	exact map[string]claim // by key
	names []indexed
}

// claim says which ingredient a name means, and how strongly: a name or alias is stronger than
// an ID or a description, and an own entry is stronger than one of the table.
type claim struct {
	by       *Ingredient
	strength int
}

// indexed is one name of an ingredient.
type indexed struct {
	words  []word
	joined word // the words without spaces
	of     *Ingredient
}

// word is a word with the set of its letters, which shows fast that two words are unlike.
type word struct {
	text    string
	letters uint32
}

func newWord(text string) word {
	w := word{text: text}
	for n := range len(text) {
		w.letters |= 1 << (text[n] & 31)
	}
	return w
}

func newWords(texts []string) []word {
	out := make([]word, len(texts))
	for n, text := range texts {
		out[n] = newWord(text)
	}
	return out
}

func newIndex(all []*Ingredient, own map[string]bool) *index {
	x := &index{exact: make(map[string]claim, 8*len(all)), names: make([]indexed, 0, 8*len(all))}
	for _, i := range all {
		strength := 0
		if own[i.ID] {
			strength = 2
		}
		x.add(i, i.ID, strength)
		x.add(i, i.Description, strength)
		x.add(i, i.Name, strength+1)
		for _, name := range i.Aliases {
			x.add(i, name, strength+1)
		}
	}
	return x
}

// add records a name; of two equal claims the first stays.
func (x *index) add(i *Ingredient, name string, strength int) {
	ws := words(name)
	if len(ws) == 0 {
		return
	}
	k := strings.Join(ws, " ")
	if before, taken := x.exact[k]; !taken || strength > before.strength {
		x.exact[k] = claim{i, strength}
	}
	x.names = append(x.names, indexed{newWords(ws), newWord(strings.Join(ws, "")), i})
}

// Named returns the one ingredient that a name means exactly, in the sense of Match, without
// looking for proposals.
func (t *Table) Named(name string) (*Ingredient, bool) {
	if t.index == nil {
		return nil, false
	}
	name = name[:min(len(name), longestName)]
	if i, ok := t.byID[strings.ToLower(strings.TrimSpace(name))]; ok {
		return i, true
	}
	i := t.index().find(name)
	return i, i != nil
}

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
	x := t.index()
	name = name[:min(len(name), longestName)]
	var out []Match
	exact, named := t.Named(name)
	if named {
		out = append(out, Match{Ingredient: exact, Score: 1, Exact: true})
	}
	first, added := parts(name)
	ws := words(first)
	if grade.MatchString(added) || !strings.Contains(name, "(") { // brackets else hold remarks
		ws = append(ws, words(added)...)
	}
	if bare := withoutStates(ws); len(bare) > 0 {
		ws = bare
	}
	if len(ws) > mostWords {
		ws = ws[:mostWords]
	}
	best := map[*Ingredient]float64{}
	written, joined := newWords(ws), newWord(strings.Join(ws, ""))
	for _, n := range x.names {
		if s := likeness(written, joined, n); s >= leastScore && s > best[n.of] && n.of != exact {
			best[n.of] = s
		}
	}
	for i, s := range best {
		out = append(out, Match{Ingredient: i, Score: s})
	}
	slices.SortFunc(out, func(a, b Match) int {
		return cmp.Or(cmp.Compare(b.Score, a.Score), cmp.Compare(len(a.Ingredient.Name), len(b.Ingredient.Name)), strings.Compare(a.Ingredient.ID, b.Ingredient.ID))
	})
	return out[:min(len(out), mostMatches)]
}

// find returns the ingredient that has the name, or nil. It tries the closest reading first.
func (x *index) find(name string) *Ingredient {
	if c, ok := x.exact[key(name)]; ok {
		return c.by
	}
	before, after := parts(name)
	main, rest := words(before), words(after)
	readings := [][]string{slices.Concat(main, rest), slices.Concat(rest, main), withoutStates(slices.Concat(rest, main)), withoutStates(slices.Concat(main, rest))}
	for _, w := range rest {
		if !states[w] {
			readings = append(readings, append([]string{w}, main...), append(slices.Clone(main), w))
		}
	}
	if !grade.MatchString(after) {
		readings = append(readings, main, withoutStates(main))
	}
	for _, r := range readings {
		if c, ok := x.exact[strings.Join(r, " ")]; ok {
			return c.by
		}
	}
	return nil
}

func withoutStates(ws []string) []string {
	return slices.DeleteFunc(slices.Clone(ws), func(w string) bool { return states[w] })
}

// grade finds what makes another product of the same name: "48 %", "T45", "DE 60".
var grade = regexp.MustCompile(`(?i)[0-9]\s*%|\b(t|type|de)\s?[0-9]`)

// parts splits a name into what it says first and what it adds after a comma or in round
// brackets; an open bracket runs to the end.
func parts(name string) (first, added string) {
	first, added, _ = strings.Cut(name, ",")
	if open := strings.IndexByte(name, '('); open >= 0 && open < len(first) {
		inside, after, _ := strings.Cut(name[open+1:], ")")
		then, more, _ := strings.Cut(after, ",")
		first, added = name[:open]+" "+then, inside+" "+more
	}
	return first, added
}

// likeness compares the words of a written name with a name of the table: twice the shared
// words over all words, where a misspelt word counts in part, or the likeness of the two
// written without spaces, whichever is higher. It is below 1.
func likeness(ws []word, joined word, n indexed) float64 {
	if len(ws) == 0 {
		return 0
	}
	shared := 0.
	var used uint64
	for _, w := range ws {
		best, at := 0., -1
		for k, v := range n.words[:min(len(n.words), 64)] {
			if used&(1<<k) == 0 {
				if s := wordLikeness(w, v); s > best {
					best, at = s, k
				}
			}
		}
		if at >= 0 {
			used |= 1 << at
			shared += best
		}
	}
	score := 2 * shared / float64(len(ws)+len(n.words))
	if len(ws) != len(n.words) {
		score = max(score, wordLikeness(joined, n.joined))
	}
	return inexactScale * score
}

// wordLikeness is 1 for the same word, less for one slip in words of four letters or two in
// words of six, and else 0.
func wordLikeness(a, b word) float64 {
	if a.text == b.text {
		return 1
	}
	longer, shorter := max(len(a.text), len(b.text)), min(len(a.text), len(b.text))
	allowed := 1
	switch {
	case shorter < 4 || longer > longestWord:
		return 0
	case longer >= 6:
		allowed = 2
	}
	// A slip changes at most two members of the set of letters.
	if longer-shorter > allowed || bits.OnesCount32(a.letters^b.letters) > 2*allowed {
		return 0
	}
	d := slips(a.text, b.text)
	if d > allowed {
		return 0
	}
	return 1 - float64(d)/float64(longer)
}

// slips counts the letters to add, drop, change or swap with their neighbour to make b of a
// (optimal string alignment). Both are at most longestWord bytes.
func slips(a, b string) int {
	var rows [3][longestWord + 1]int
	for j := range len(b) + 1 {
		rows[0][j] = j
	}
	for i := 1; i <= len(a); i++ {
		row, up, up2 := &rows[i%3], &rows[(i+2)%3], &rows[(i+1)%3]
		row[0] = i
		for j := 1; j <= len(b); j++ {
			change := up[j-1]
			if a[i-1] != b[j-1] {
				change++
			}
			row[j] = min(change, up[j]+1, row[j-1]+1)
			if i > 1 && j > 1 && a[i-1] == b[j-2] && a[i-2] == b[j-1] {
				row[j] = min(row[j], up2[j-2]+1)
			}
		}
	}
	return rows[len(a)%3][len(b)]
}
