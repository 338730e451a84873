package notebook

import (
	"strconv"
	"strings"
	"unicode"
	"unicode/utf8"
)

type tokenKind uint8

const (
	aWord tokenKind = iota
	aNumber
	aMark
)

// token is the smallest part of a line that means something: a word, a number, or a sign.
type token struct {
	text  string // as written
	low   string // without capitals and accents
	kind  tokenKind
	value float64 // of a number
	frac  bool    // the number is a fraction sign such as ½
	comma bool    // the number has a comma before exactly three digits: "1,250"
	scan  bool    // letters in it were read as digits
	space bool    // white space stands before it
}

func (t token) is(mark string) bool { return t.kind == aMark && t.text == mark }

func (t token) whole() bool {
	return t.kind == aNumber && !t.frac && !strings.ContainsAny(t.text, ".,")
}

// fractionSigns maps the fraction characters of Unicode to their values.
var fractionSigns = map[rune]float64{
	'½': 1. / 2, '⅓': 1. / 3, '⅔': 2. / 3, '¼': 1. / 4, '¾': 3. / 4, '⅕': 1. / 5, '⅖': 2. / 5, '⅗': 3. / 5, '⅘': 4. / 5,
	'⅙': 1. / 6, '⅚': 5. / 6, '⅐': 1. / 7, '⅛': 1. / 8, '⅜': 3. / 8, '⅝': 5. / 8, '⅞': 7. / 8, '⅑': 1. / 9, '⅒': 1. / 10,
}

// plainLetters maps accented and joined Latin letters to plain ones.
var plainLetters = map[rune]string{
	'à': "a", 'â': "a", 'ä': "a", 'á': "a", 'ã': "a", 'å': "a", 'ç': "c", 'é': "e", 'è': "e", 'ê': "e", 'ë': "e",
	'î': "i", 'ï': "i", 'í': "i", 'ì': "i", 'ñ': "n", 'ô': "o", 'ö': "o", 'ó': "o", 'õ': "o", 'ò': "o", 'ø': "o",
	'ù': "u", 'û': "u", 'ü': "u", 'ú': "u", 'ÿ': "y", 'œ': "oe", 'æ': "ae", 'ß': "ss", '’': "'", 'ʼ': "'",
}

// plain lowers the case and takes accents off.
func plain(s string) string {
	low := strings.ToLower(s)
	for n := range len(low) {
		if low[n] >= utf8.RuneSelf {
			var b strings.Builder
			for _, r := range low {
				switch p, ok := plainLetters[r]; {
				case ok:
					b.WriteString(p)
				case !unicode.Is(unicode.Mn, r):
					b.WriteRune(r)
				}
			}
			return b.String()
		}
	}
	return low
}

// elisions are the French words that lose their vowel before another word.
const elisions = "dlnsjmtc"

// tokens takes a line apart. It looks at every byte a bounded number of times.
func tokens(s string) []token {
	out := make([]token, 0, 16)
	space := false
	for i := 0; i < len(s); {
		r, n := utf8.DecodeRuneInString(s[i:])
		switch {
		case unicode.IsSpace(r) || r == '\u200b' || r == '\ufeff' || r == '\u00ad':
			space = true
			i += n
			continue
		case fractionSigns[r] > 0:
			out = append(out, token{text: s[i : i+n], low: s[i : i+n], kind: aNumber, value: fractionSigns[r], frac: true, space: space})
		case isDigit(s, i) || (r == '.' && isDigit(s, i+1) && (i == 0 || !isLetterBefore(s, i))):
			n = numberEnd(s, i)
			t := token{text: s[i : i+n], low: s[i : i+n], kind: aNumber, space: space}
			t.read()
			out = append(out, t)
		case unicode.IsLetter(r) || r == '|' && (i+1 >= len(s) || s[i+1] != '|'):
			n = wordEnd(s, i)
			if m := scannedNumber(s[i:i+n], out); m > 0 {
				n = m
				t := token{text: s[i : i+n], low: s[i : i+n], kind: aNumber, space: space, scan: true}
				t.text = scanDigits.Replace(t.text)
				t.read()
				t.text = s[i : i+n]
				out = append(out, t)
				break
			}
			w := s[i : i+n]
			if (w[0] == 'x' || w[0] == 'X') && n > 1 && isDigit(w, 1) && len(out) > 0 && out[len(out)-1].kind == aNumber {
				n = 1 // "2x250g"
			} else if n > 2 && strings.IndexByte(elisions, w[0]|0x20) >= 0 {
				if c, m := utf8.DecodeRuneInString(w[1:]); (c == '\'' || c == '’') && n > 1+m {
					n = 1 + m // "d'œufs"
				}
			}
			out = append(out, token{text: s[i : i+n], low: plain(s[i : i+n]), space: space})
		default:
			out = append(out, token{text: s[i : i+n], low: s[i : i+n], kind: aMark, space: space})
			switch r {
			case '⁄', '∕', '⧸', '／':
				out[len(out)-1].text = "/"
			case '–', '—', '‐', '‑', '‒', '−', '―':
				out[len(out)-1].text = "-"
			case '×', '✕', '✖':
				out[len(out)-1].text = "×"
			case '[', '{', '（':
				out[len(out)-1].text = "("
			case ']', '}', '）':
				out[len(out)-1].text = ")"
			}
		}
		i += n
		space = false
	}
	return out
}

var scanDigits = strings.NewReplacer("l", "1", "I", "1", "|", "1", "O", "0", "o", "0")

// scannedNumber returns how many bytes of a word are a number whose first digit a scan took for
// a letter: "l00 g", "I2". The tail of a number, "1O0", is joined by numberEnd.
func scannedNumber(w string, before []token) int {
	if len(before) > 0 && before[len(before)-1].kind == aWord || len(w) < 2 {
		return 0
	}
	if w[0] != 'l' && w[0] != 'I' && w[0] != '|' {
		return 0
	}
	n := 1
	for n < len(w) && (w[n] >= '0' && w[n] <= '9' || w[n] == 'O') {
		n++
	}
	if n == 1 || n < len(w) && n < 2 {
		return 0
	}
	return n
}

func isDigit(s string, i int) bool { return i >= 0 && i < len(s) && s[i] >= '0' && s[i] <= '9' }

func isLetterBefore(s string, i int) bool {
	r, _ := utf8.DecodeLastRuneInString(s[:i])
	return unicode.IsLetter(r)
}

// numberEnd returns the length of the digits at i with at most one decimal point or comma. A
// capital O among the digits is taken for a zero that a scan misread.
func numberEnd(s string, i int) int {
	n, mark := i, false
	for n < len(s) {
		c := s[n]
		switch {
		case c >= '0' && c <= '9':
		case (c == '.' || c == ',') && !mark && isDigit(s, n+1):
			mark = true
		case c == 'O' && n > i && (n+1 >= len(s) || isDigit(s, n+1) || s[n+1] == ' ' || s[n+1] == 'O' || s[n+1] == 'g'):
		default:
			return n - i
		}
		n++
	}
	return n - i
}

// most bounds a number as written, so that no conversion of it overflows.
const most = 1e9

// read sets the value of a number token from its text.
func (t *token) read() {
	text := t.text
	if strings.ContainsRune(text, 'O') {
		text, t.scan = strings.ReplaceAll(text, "O", "0"), true
	}
	if n := strings.IndexByte(text, ','); n >= 0 {
		t.comma = len(text)-n-1 == 3 && text[0] != '0' && n <= 3
		text = text[:n] + "." + text[n+1:]
	}
	v, err := strconv.ParseFloat(text, 64)
	if err != nil || v > most {
		v = most * 10 // refused by the reader of amounts
	}
	t.value = v
}

// wordEnd returns the length of the word at i: letters, then letters and digits ("T45"), with
// apostrophes inside it or after a final s.
func wordEnd(s string, i int) int {
	n := i
	for n < len(s) {
		r, m := utf8.DecodeRuneInString(s[n:])
		switch {
		case unicode.IsLetter(r), unicode.Is(unicode.Mn, r), r >= '0' && r <= '9':
		case r == '|' && n > i:
		case r == '|' && n == i:
		case r == '\'' || r == '’' || r == 'ʼ':
			next, _ := utf8.DecodeRuneInString(s[n+m:])
			final := n > i && s[n-1] == 's' && (n+m >= len(s) || s[n+m] == ' ')
			if !unicode.IsLetter(next) && !final {
				if n == i+1 && next >= '0' && next <= '9' { // "d'1 citron"
					return n + m - i
				}
				return n - i
			}
			if n == i+1 && strings.IndexByte(elisions, s[i]|0x20) >= 0 {
				// keep going: tokens splits the elision off
			}
		default:
			return n - i
		}
		n += m
	}
	return n - i
}

// written joins tokens back to text.
func written(ts []token) string {
	switch len(ts) {
	case 0:
		return ""
	case 1:
		return ts[0].text
	}
	var b strings.Builder
	for n, t := range ts {
		if n > 0 && t.space {
			b.WriteByte(' ')
		}
		b.WriteString(t.text)
	}
	return b.String()
}
