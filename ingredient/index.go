package ingredient

import "strings"

// index holds the names of a table for searching. Every different word is kept once, with the
// names that it stands in, so that a written word is compared with some thousand words and not
// with every word of every name.
type index struct {
	vocabulary []word
	in         [][]int32 // by word: the names that have it
	names      []indexed
}

// indexed is one name of an ingredient.
type indexed struct {
	words  []int32 // numbers in the vocabulary
	joined word    // the words without spaces
	of     *Ingredient
}

func newIndex(all []*Ingredient) *index {
	x := &index{names: make([]indexed, 0, 8*len(all))}
	number := map[string]int32{}
	seen := map[string]bool{}
	add := func(i *Ingredient, name string) {
		ws := words(name)
		joined := strings.Join(ws, "")
		if len(ws) == 0 || seen[strings.Join(ws, " ")] { // of one ingredient: spelt alike
			return
		}
		seen[strings.Join(ws, " ")] = true
		n := indexed{words: make([]int32, len(ws)), joined: newWord(joined), of: i}
		for k, w := range ws {
			at, known := number[w]
			if !known {
				at = int32(len(x.vocabulary))
				number[w] = at
				x.vocabulary = append(x.vocabulary, newWord(w))
			}
			n.words[k] = at
		}
		x.names = append(x.names, n)
	}
	for _, i := range all {
		clear(seen)
		add(i, i.ID)
		add(i, i.Description)
		add(i, i.Name)
		for _, name := range i.Aliases {
			add(i, name)
		}
	}
	x.in = make([][]int32, len(x.vocabulary))
	for k, n := range x.names {
		for _, w := range n.words {
			if at := x.in[w]; len(at) == 0 || at[len(at)-1] != int32(k) {
				x.in[w] = append(at, int32(k))
			}
		}
	}
	return x
}

// comparison tells how alike each written word is to each word of the vocabulary: 0 unlike, 1
// the same.
type comparison [][]float64

func (x *index) compare(ws []string, like func(written, known word) float64) comparison {
	out := make(comparison, len(ws))
	all := make([]float64, len(ws)*len(x.vocabulary))
	for k, text := range ws {
		out[k] = all[k*len(x.vocabulary) : (k+1)*len(x.vocabulary)]
		w := newWord(text)
		for n, v := range x.vocabulary {
			out[k][n] = like(w, v)
		}
	}
	return out
}

// sharing counts for each name the written words that are like one of its words.
func (x *index) sharing(c comparison) []uint8 {
	count, last := make([]uint8, len(x.names)), make([]uint8, len(x.names))
	for k, row := range c {
		for w, s := range row {
			if s == 0 {
				continue
			}
			for _, n := range x.in[w] {
				if last[n] != uint8(k+1) {
					last[n] = uint8(k + 1)
					count[n]++
				}
			}
		}
	}
	return count
}

// assign gives each written word, in turn, the word of a name that is most like it and not
// taken, and returns the sum of their likeness. Where at is not nil it tells which.
func (c comparison) assign(name []int32, at []int) (shared float64) {
	var used uint64
	name = name[:min(len(name), 64)]
	for k, row := range c {
		best, place := 0., -1
		for n, w := range name {
			if s := row[w]; s > best && used&(1<<n) == 0 {
				best, place = s, n
			}
		}
		if place >= 0 {
			used |= 1 << place
			shared += best
		}
		if at != nil {
			at[k] = place
		}
	}
	return shared
}
