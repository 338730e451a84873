package ingredient

import (
	"strings"
	"unicode"
)

// plain maps accented and joined Latin letters to plain ones.
var plain = map[rune]string{
	'à': "a", 'â': "a", 'ä': "a", 'á': "a", 'ã': "a", 'å': "a", 'ç': "c", 'é': "e", 'è': "e", 'ê': "e", 'ë': "e",
	'î': "i", 'ï': "i", 'í': "i", 'ì': "i", 'ñ': "n", 'ô': "o", 'ö': "o", 'ó': "o", 'õ': "o", 'ò': "o", 'ø': "o",
	'ù': "u", 'û': "u", 'ü': "u", 'ú': "u", 'ÿ': "y", 'œ': "oe", 'æ': "ae", 'ß': "ss", '&': " and ",
}

// filler lists words that carry no meaning in a name, English and French. The single letters
// are what an apostrophe leaves behind.
var filler = map[string]bool{
	"of": true, "a": true, "an": true, "s": true, "d": true, "l": true, "de": true, "du": true, "des": true,
	"la": true, "le": true, "les": true, "au": true, "aux": true,
}

// words splits a name into plain lower-case singular words without accents, punctuation and
// filler. Letters and digits are parted, so that "T45", "T-45" and "T 45" are the same.
func words(name string) []string {
	var out []string
	for _, w := range strings.Fields(flatten(name)) {
		if w = singular(w); !filler[w] {
			out = append(out, w)
		}
	}
	return out
}

// key joins the words of a name: two names with the same key are the same name.
func key(name string) string { return strings.Join(words(name), " ") }

// flatten lowers the case, takes accents off and turns what is neither letter nor digit into
// spaces, but for a point inside a number. A point inside "a.p." is dropped.
func flatten(name string) string {
	var b strings.Builder
	b.Grow(len(name) + 8)
	rs := []rune(strings.ToLower(name))
	var last rune
	for n, r := range rs {
		switch {
		case r == '.' && unicode.IsDigit(last) && n+1 < len(rs) && unicode.IsDigit(rs[n+1]):
			b.WriteByte('.')
		case r == '.' && unicode.IsLetter(last) || unicode.Is(unicode.Mn, r):
			continue // an abbreviation, or a separate accent
		case plain[r] != "":
			if unicode.IsDigit(last) {
				b.WriteByte(' ')
			}
			b.WriteString(plain[r])
		case unicode.IsLetter(r) || unicode.IsDigit(r):
			if unicode.IsLetter(last) && unicode.IsDigit(r) || unicode.IsDigit(last) && unicode.IsLetter(r) {
				b.WriteByte(' ')
			}
			b.WriteRune(r)
		default:
			b.WriteByte(' ')
		}
		last = r
	}
	return b.String()
}

// singular takes the plural off a plain word, English or French, by its ending. It may leave a
// stem ("peche" and "peches" both give "pech"); what counts is that both numbers give the same.
func singular(w string) string {
	if len(w) <= 3 {
		return w
	}
	switch {
	case strings.HasSuffix(w, "ies") && len(w) > 4:
		return w[:len(w)-3] + "y"
	case strings.HasSuffix(w, "ss"), strings.HasSuffix(w, "us"), strings.HasSuffix(w, "is"):
	case strings.HasSuffix(w, "s"):
		w = w[:len(w)-1]
	}
	for _, end := range []string{"che", "she", "sse", "oe"} {
		if strings.HasSuffix(w, end) {
			w = w[:len(w)-1]
		}
	}
	if w == "leave" {
		return "leaf"
	}
	return w
}
