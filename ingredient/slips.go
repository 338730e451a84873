package ingredient

import (
	"math/bits"
	"slices"
)

// longestWord is the length in bytes from which words are compared for equality only.
const longestWord = 24

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

// wordLikeness is 1 for the same word, less for one slip in words of four letters or two in
// words of six, and else 0.
func wordLikeness(a, b word) float64 {
	if a.letters == b.letters && a.text == b.text {
		return 1
	}
	longer, shorter := max(len(a.text), len(b.text)), min(len(a.text), len(b.text))
	allowed := 1
	if longer >= 6 {
		allowed = 2
	}
	// A slip changes at most two members of the set of letters.
	if longer-shorter > allowed || shorter < 4 || longer > longestWord || bits.OnesCount32(a.letters^b.letters) > 2*allowed {
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
func slips(a, b string) int { return slipsTo(a, b)[len(b)] }

// slipsBefore is slips to that beginning of b which is nearest to a: b is being typed.
func slipsBefore(a, b string) int {
	row := slipsTo(a, b)
	return slices.Min(row[:len(b)+1])
}

// slipsTo returns for every beginning of b, by its length, the slips to make it of a.
func slipsTo(a, b string) [longestWord + 1]int {
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
	return rows[len(a)%3]
}
