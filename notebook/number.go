package notebook

// numberWords are whole numbers in words.
var numberWords = map[string]float64{
	"one": 1, "two": 2, "three": 3, "four": 4, "five": 5, "six": 6, "seven": 7, "eight": 8, "nine": 9, "ten": 10, "eleven": 11,
	"twelve": 12, "thirteen": 13, "fourteen": 14, "fifteen": 15, "sixteen": 16, "eighteen": 18, "twenty": 20, "thirty": 30,
	"forty": 40, "fifty": 50, "sixty": 60, "hundred": 100,
	"un": 1, "une": 1, "deux": 2, "trois": 3, "quatre": 4, "cinq": 5, "sept": 7, "huit": 8, "neuf": 9, "dix": 10, "douze": 12,
	"quinze": 15, "vingt": 20, "trente": 30, "quarante": 40, "cinquante": 50, "cent": 100,
	"ij": 2, "iij": 3,
}

// articles count as one.
var articles = setOf("a an un une")

// fractionWords are parts of one in words.
var fractionWords = map[string]float64{
	"half": 0.5, "halves": 0.5, "quarter": 0.25, "quarters": 0.25, "third": 1. / 3, "thirds": 1. / 3, "eighth": 0.125, "eighths": 0.125,
	"fourth": 0.25, "fourths": 0.25, "sixth": 1. / 6, "demi": 0.5, "demie": 0.5, "quart": 0.25, "quarts": 0.25, "tiers": 1. / 3,
}

// groupWords are numbers of pieces with a name of their own.
var groupWords = map[string]float64{"dozen": 12, "doz": 12, "dozens": 12, "couple": 2, "douzaine": 12, "dizaine": 10}

// number is what was read of a number.
type number struct {
	value  float64
	next   int      // the token after it
	faults []string // what had to be supposed of a scan
	word   bool     // in words
	group  bool     // a dozen, a couple
	frac   bool     // a fraction of one in words
	comma  bool     // may be thousands
}

// numberAt reads one number, without a range, at token i.
func numberAt(ts []token, i int) (number, bool) {
	if i >= len(ts) {
		return number{}, false
	}
	t := ts[i]
	if t.kind == aNumber {
		n, ok := figureAt(ts, i)
		if !ok {
			return n, false
		}
		return withGroup(ts, n), n.value <= most
	}
	if t.kind != aWord {
		return number{}, false
	}
	if n, ok := scanLetterAt(ts, i); ok {
		return n, true
	}
	if f, ok := fractionWords[t.low]; ok && !quartIsMeasure(ts, i) {
		return fractionOf(ts, number{value: f, next: i + 1, word: true, frac: true}), true
	}
	v, isNumber := numberWords[t.low]
	if articles[t.low] && (vagueWords[tokenLow(ts, i+1)] || tokenLow(ts, i+1) == "peu") {
		return number{}, false
	}
	if !isNumber && !articles[t.low] {
		if g, ok := groupWords[t.low]; ok {
			return number{value: g, next: i + 1, word: true, group: true}, true
		}
		return number{}, false
	}
	if !isNumber {
		v = 1
	}
	n := number{value: v, next: i + 1, word: true}
	j := skipHyphen(ts, n.next)
	if j < len(ts) {
		if v >= 20 && v < 100 { // twenty-five
			if u, ok := numberWords[ts[j].low]; ok && u < 10 {
				n.value, n.next = v+u, j+1
				return withGroup(ts, n), true
			}
		}
		if f, ok := fractionWords[ts[j].low]; ok && !(ts[j].low == "quarts" || ts[j].low == "quart" && !french(ts, j)) {
			n.value, n.next, n.frac = v*f, j+1, true // three quarters, a half, un demi
			return fractionOf(ts, n), true
		}
	}
	n = withHalf(ts, n)
	return withGroup(ts, n), true
}

// quartIsMeasure tells the French quarter from the measure of two pints.
func quartIsMeasure(ts []token, i int) bool {
	return (ts[i].low == "quart" || ts[i].low == "quarts") && !french(ts, i)
}

// french reports whether "quart" at i is a quarter: "un quart de litre".
func french(ts []token, i int) bool {
	return i+2 < len(ts) && ts[i+1].low == "de" && (ts[i+2].low == "litre" || ts[i+2].low == "livre" || ts[i+2].low == "l") ||
		i+2 < len(ts) && ts[i+1].low == "d'"
}

// fractionOf skips what may stand between a fraction in words and its measure or group: "half a",
// "three quarters of a", "a quarter of an".
func fractionOf(ts []token, n number) number {
	j := skipHyphen(ts, n.next)
	if j < len(ts) && (ts[j].low == "of" || ts[j].low == "de" || ts[j].low == "d'") && j+1 < len(ts) {
		_, afterMeasure, isMeasure := measureAt(ts, j+1)
		switch {
		case articles[ts[j+1].low]:
			j += 2
		case isMeasure && afterMeasure > j+1:
			j++
		}
	} else if j < len(ts) && articles[ts[j].low] {
		j++
	}
	n.next = j
	if j < len(ts) {
		if g, ok := groupWords[ts[j].low]; ok {
			n.value, n.next, n.group, n.frac = n.value*g, j+1, true, false
			if n.next < len(ts) && ts[n.next].is(".") {
				n.next++
			}
		}
	}
	return n
}

// withHalf adds "and a half" and its like: "one and a half", "2 and 1/2", "1 & ½".
func withHalf(ts []token, n number) number {
	j := n.next
	if j >= len(ts) || !(ts[j].low == "and" || ts[j].low == "et" || ts[j].is("&")) || j+1 >= len(ts) {
		return n
	}
	j++
	if articles[ts[j].low] || ts[j].low == "one" {
		j++
	}
	if j >= len(ts) {
		return n
	}
	j = skipHyphen(ts, j)
	if j < len(ts) {
		if f, ok := fractionWords[ts[j].low]; ok && !quartIsMeasure(ts, j) {
			n.value, n.next = n.value+f, j+1
			return n
		}
		if f, next, ok := properFraction(ts, j); ok {
			n.value, n.next = n.value+f, next
		}
	}
	return n
}

// withGroup multiplies by a dozen or a couple that follows: "2 dozen".
func withGroup(ts []token, n number) number {
	if n.next < len(ts) {
		if g, ok := groupWords[ts[n.next].low]; ok {
			n.value, n.next, n.group = n.value*g, n.next+1, true
			if n.next < len(ts) && ts[n.next].is(".") {
				n.next++
			}
		}
	}
	return n
}

// properFraction reads ½ or 1/2, below one.
func properFraction(ts []token, i int) (v float64, next int, ok bool) {
	if i >= len(ts) || ts[i].kind != aNumber {
		return 0, i, false
	}
	if ts[i].frac {
		return ts[i].value, i + 1, true
	}
	if i+2 < len(ts) && ts[i].whole() && ts[i+1].is("/") && ts[i+2].whole() && !ts[i+1].space && !ts[i+2].space &&
		ts[i].value > 0 && ts[i].value < ts[i+2].value && ts[i+2].value <= 64 {
		return ts[i].value / ts[i+2].value, i + 3, true
	}
	return 0, i, false
}

// figureAt reads a number that starts with figures.
func figureAt(ts []token, i int) (number, bool) {
	t := ts[i]
	n := number{value: t.value, next: i + 1, comma: t.comma}
	if t.scan {
		n.faults = append(n.faults, "the scan seems to have letters for figures in "+t.text)
	}
	if v, next, ok := properFraction(ts, i); ok {
		n.value, n.next = v, next
		return n, true
	}
	if !t.whole() {
		return n, true
	}
	if i+2 < len(ts) && ts[i+1].is("/") && ts[i+2].whole() && !ts[i+1].space && !ts[i+2].space {
		num, den := t.value, ts[i+2].value
		switch {
		case den == 0:
			return number{}, false
		case num > 10 && num < 100 && den >= 2 && den <= 8 && float64(int(num)%10) < den && int(num)%10 > 0: // "11/2" for 1 1/2
			whole, part := float64(int(num)/10), float64(int(num)%10)
			n.value, n.next = whole+part/den, i+3
			n.faults = append(n.faults, "a space seems to be missing in "+written(ts[i:i+3]))
			return n, true
		case den <= 64:
			n.value, n.next = num/den, i+3
			return n, true
		}
	}
	j := i + 1
	if j < len(ts) {
		glued := ts[j].is("-") && !ts[j].space && j+1 < len(ts) && !ts[j+1].space
		if glued {
			j++
		}
		if v, next, ok := properFraction(ts, j); ok && t.value < 1000 {
			n.value, n.next = t.value+v, next
			return n, true
		}
	}
	return withHalf(ts, n), true
}

// scanLetterAt reads I, l, | or V4 at the start of a line as the figure that a scan misread.
func scanLetterAt(ts []token, i int) (number, bool) {
	if i != 0 || len(ts) < 2 {
		return number{}, false
	}
	fault := []string{"the scan seems to have " + ts[i].text + " for a figure"}
	switch ts[i].text {
	case "I", "l", "|", "Il", "ll":
		v := 1.
		if len(ts[i].text) == 2 {
			v = 11
		}
		if ts[1].is("/") && len(ts) > 2 && ts[2].whole() && ts[2].value > 1 && !ts[1].space {
			return number{value: v / ts[2].value, next: 3, faults: fault}, true
		}
		if f, next, ok := properFraction(ts, 1); ok {
			return number{value: v + f, next: next, faults: fault}, true
		}
		j := 1
		for j < len(ts)-1 && sizeWords[ts[j].low] {
			j++
		}
		if _, _, ok := measureAt(ts, j); (ok || ts[j].low == "egg" || ts[j].low == "eggs") && len(ts[i].text) == 1 {
			return number{value: 1, next: 1, faults: fault}, true
		}
	case "V4", "V2", "V3", "V8", "Vz":
		if _, _, ok := measureAt(ts, 1); ok {
			den := 2.
			if ts[i].text != "Vz" {
				den = float64(ts[i].text[1] - '0')
			}
			return number{value: 1 / den, next: 1, faults: fault}, true
		}
	}
	return number{}, false
}

func skipHyphen(ts []token, i int) int {
	if i < len(ts) && ts[i].is("-") && i+1 < len(ts) && !ts[i].space && !ts[i+1].space {
		return i + 1
	}
	return i
}

// rangeAt reads a number or a range of numbers at token i: "2-3", "2 to 3", "between 2 and 3".
// A range that runs backwards is refused, and its first number alone is read.
func rangeAt(ts []token, i int) (low, high number, ok bool) {
	between := i < len(ts) && (ts[i].low == "between" || ts[i].low == "entre" || ts[i].low == "from")
	if between {
		i++
	}
	low, ok = numberAt(ts, i)
	if !ok {
		return low, low, false
	}
	j := low.next
	if j >= len(ts) {
		return low, low, !between
	}
	sep := ts[j].is("-")
	switch ts[j].low {
	case "to", "or", "à", "ou":
		sep = true
	case "a": // "2 à 3"
		sep = ts[j].text == "à"
	case "and", "et":
		sep = between
	}
	if !sep {
		return low, low, !between
	}
	if articles[tokenLow(ts, j+1)] && !between { // "3 or a little more"
		return low, low, true
	}
	high, isNumber := numberAt(ts, j+1)
	if !isNumber || high.value < low.value {
		return low, low, !between
	}
	high.faults = append(low.faults, high.faults...)
	return low, high, true
}

// tokenLow returns the plain form of token i, or nothing beyond the end.
func tokenLow(ts []token, i int) string {
	if i < 0 || i >= len(ts) {
		return ""
	}
	return ts[i].low
}
