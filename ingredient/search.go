package ingredient

import (
	"math/bits"
	"slices"
	"strings"
)

// What a written word is worth where it is not a whole word of a name, and what else counts for
// the order; our choice, tested on the queries of search_test.go.
const (
	startsWord   = 0.75 // the beginning of a word, plus up to startsMore for its share of it
	startsMore   = 0.2
	misspelt     = 0.7  // a slip or two, less the share of wrong letters
	joinedWord   = 0.8  // the words run together or torn apart
	wholeName    = 0.25 // part of the score for the share of the name's words that were written
	otherStart   = 0.96 // the name starts with another word than was written first
	otherWords   = 0.5  // a written word that no name has, at the most of the rest
	searchScale  = 0.99
	shortestSlip = 4 // letters of a word that may hold a slip
)

// Search returns at most n ingredients that a cook may be about to write, best first and in the
// same order every time. Every word may be unfinished, the last most likely: "choc da", "almon
// fl". Words of four letters may hold one slip, of seven two. Case, accents, hyphens, number and
// the order of words are ignored, and so is what follows the first 200 bytes or 12 words. Where
// no name has all the words, names that have most of them are returned.
//
// The score orders the matches of one query; it is 1 for the ingredient that Named finds, which
// stands first, and is not to be compared between queries.
func (t *Table) Search(query string, n int) []Match {
	if t.index == nil || n <= 0 {
		return nil
	}
	query = query[:min(len(query), longestName)]
	exact, _ := t.Named(query)
	ws := words(query)
	if len(ws) == 0 {
		ws = strings.Fields(flatten(query)) // the beginning of a word that looks like an article
	}
	ws = ws[:min(len(ws), mostWords)]
	x := t.index()
	if len(ws) == 0 || len(x.names) == 0 {
		return nil
	}
	written, joined := x.compare(ws, typedLikeness), newWord(strings.Join(ws, ""))
	count := x.sharing(written)
	need := slices.Max(count)
	if int(need)*2 < len(ws) {
		need = uint8(len(ws))
	}
	out := ranking{most: n}
	out.exact(exact)
	at := make([]int, len(ws))
	for k := range x.names {
		name := &x.names[k]
		s := 0.
		if len(ws) != len(name.words) {
			s = joinedWord * joinedLikeness(joined, name.joined)
		}
		if count[k] == need {
			s = max(s, written.score(name.words, at))
		}
		if s > 0 {
			out.offer(name.of, searchScale*s)
		}
	}
	return out.done()
}

// score is what a name is worth for the words written.
func (c comparison) score(name []int32, at []int) float64 {
	s := c.assign(name, at) / float64(len(c))
	found := 0
	for _, place := range at {
		if place >= 0 {
			found++
		}
	}
	s *= 1 - wholeName + wholeName*float64(found)/float64(len(name))
	if at[0] != 0 {
		s *= otherStart
	}
	if found < len(c) {
		s *= otherWords
	}
	return s
}

// typedLikeness is 1 for the same word, less where the written one is its beginning, less again
// where it holds a slip, and else 0.
func typedLikeness(w, v word) float64 {
	foreign := w.letters &^ v.letters // letters of w that v lacks; one slip makes at most one
	if foreign == 0 && strings.HasPrefix(v.text, w.text) {
		if len(w.text) == len(v.text) {
			return 1
		}
		return startsWord + startsMore*float64(len(w.text))/float64(len(v.text))
	}
	allowed := 1
	if len(w.text) >= 7 {
		allowed = 2
	}
	if len(w.text) < shortestSlip || len(v.text) < shortestSlip-1 || len(w.text) > longestWord || len(v.text) > longestWord ||
		len(w.text) > len(v.text)+allowed || bits.OnesCount32(foreign) > allowed {
		return 0
	}
	d := slipsBefore(w.text, v.text)
	if d > allowed {
		return 0
	}
	share := min(1, float64(len(w.text))/float64(len(v.text)))
	return misspelt*(1-float64(d)/float64(len(w.text))) + startsMore*share*share
}

// joinedLikeness compares words run together: "passionfruit", "butter milk".
func joinedLikeness(w, v word) float64 {
	if len(w.text) >= shortestSlip && w.letters&^v.letters == 0 && strings.HasPrefix(v.text, w.text) {
		return startsWord + (1-startsWord)*float64(len(w.text))/float64(len(v.text))
	}
	return wordLikeness(w, v)
}
