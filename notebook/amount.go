package notebook

import (
	"math"
	"strings"

	"chablon/unit"
)

// stated is one statement of an amount: a number with its measure.
type stated struct {
	unit.Range
	u        *measure // nil for a bare count
	heap     float64  // share of a level measure, 1 where nothing is said: scant 0.875
	heapSaid string   // "heaping"
	each     bool     // "each" stands beside it
	total    bool     // "in all", "total"
	approx   bool
	long     bool // a piece of a stated length
	noNumber bool // a measure without a number: "pinch of salt"
	size     string
	packSize float64 // No. 2 can: the trade number
	country  string
	faults   []string
	asked    []string
	notes    []string
	doubt    float64
}

func (s stated) known() bool { return !s.noNumber }

func (s stated) mass() bool { return s.u != nil && s.u.class == ofMass }

func (s stated) volume() bool {
	return s.u != nil && s.u.class == ofVolume && s.u.symbol != "pinch" && s.u.symbol != "dash" && s.u.symbol != "drop"
}

func (s stated) container() bool { return s.u != nil && s.u.class == ofContainer }

func (s stated) symbol() string {
	if s.u == nil {
		return ""
	}
	return s.u.symbol
}

// times multiplies both ends.
func (s *stated) times(k float64) { s.Low, s.High = s.Low*k, s.High*k }

// inUnits returns how many of measure to one of measure from is, where both are masses or both
// volumes of fixed size.
func inUnits(from, to *measure) (float64, bool) {
	if from == nil || to == nil || from.class != to.class || from.class > ofVolume || from.low <= 0 || to.low <= 0 {
		return 0, false
	}
	return (from.low + from.high) / (to.low + to.high), true
}

// amountAt reads one statement of an amount at token i: number, size words, measure, and what
// adds to it ("1 lb 4 oz", "1 cup plus 2 tablespoons", "a cup and a half"). ok is false where
// none stands there; a length, time, temperature or percentage is none.
func amountAt(ts []token, i int) (s stated, next int, ok bool) {
	s.heap = 1
	start := i
	i = s.leadingWords(ts, i)
	articleBefore := false
	if i < len(ts) && articles[ts[i].low] && i+1 < len(ts) { // "a scant cup", "a generous 1/2 cup"
		j := s.leadingWords(ts, i+1)
		if j > i+1 && j < len(ts) && (ts[j].kind == aNumber || fractionWords[ts[j].low] > 0 || numberWords[ts[j].low] > 0) {
			i, articleBefore = j, true
		}
	}
	_ = articleBefore
	low, high, isNumber := rangeAt(ts, i)
	if !isNumber {
		if i > start && s.heapSaid != "" { // "scant cup sugar"
			if u, n, found := measureAt(ts, i); found && u.class < ofNoAmount {
				s.u, s.Range = u, unit.Range{Low: 1, High: 1}
				s.applyHeap()
				return s, n, true
			}
		}
		return s.withoutNumber(ts, i)
	}
	s.Range = unit.Range{Low: low.value, High: high.value}
	s.faults = append(s.faults, high.faults...)
	if low.faults != nil && high.next == low.next {
		s.faults = low.faults
	}
	i = high.next
	if i < len(ts) && (ts[i].is("%") || ts[i].low == "percent" || ts[i].low == "%") {
		return s, start, false
	}
	if i < len(ts) && ts[i].is("-") && !ts[i].space && i+1 < len(ts) && !ts[i+1].space { // "14-ounce", "5-spice"
		if _, _, isMeasure := measureAt(ts, i+1); !isMeasure && !sizeWords[ts[i+1].low] {
			return s, start, false
		}
		i++
	}
	if high.comma || low.comma {
		s.notes = append(s.notes, "a comma before three figures")
		s.doubt += 0.3
	}
	i = s.thousands(ts, i, low, high)
	if i+2 < len(ts) && ts[i].low == "of" && articles[ts[i+1].low] && s.High < 1 { // "½ of a 400 g can"
		i += 2
	}
	if i < len(ts) && ts[i].low == "of" && i+1 < len(ts) && low.frac { // "half of a cup" was read by fractionOf
		i++
	}
	// Multiplied: 2 x 250 g. The first is a number of packs.
	if i < len(ts) && (ts[i].low == "x" || ts[i].is("×") || ts[i].is("*")) {
		if inner, n, found := amountAt(ts, i+1); found && inner.u != nil {
			inner.Range = unit.Range{Low: inner.Low * s.Low, High: inner.High * s.High}
			inner.faults = append(s.faults, inner.faults...)
			inner.each = false
			return inner, skipContainer(ts, n), true
		}
		if i+1 < len(ts) && ts[i+1].kind == aNumber { // a size that could not be read
			if _, n, found := rangeAtMeasure(ts, i+1); found {
				s.asked = append(s.asked, "is this the size of a mould?")
				s.doubt += 0.5
				return s, n, true
			}
		}
		return s, i + 1, true
	}
	sizes := i
	i = s.sizes(ts, i)
	u, n, found := measureAt(ts, i)
	if found && u.class != ofNoAmount && isPartOfName(ts, i, n, u) {
		found = false
	}
	switch {
	case found && u.class == ofNoAmount:
		return s.dimension(ts, start, i, n, u)
	case !found:
		i = sizes // "2 large eggs": the size belongs to the name
		s.heap, s.heapSaid = 1, ""
		if num, ok := s.numberedCan(ts, i); ok {
			return s, num, true
		}
		if pack, n, ok := s.pack(ts, i); ok {
			return pack, n, true
		}
		if i < len(ts) && ts[i].kind == aNumber { // two numbers follow each other
			length, _, isMeasure := rangeAtMeasure(ts, i)
			isLength := isMeasure && length.symbol == "length"
			if inner, n, ok := amountIf(isLength, ts, i); ok && inner.u != nil && inner.u.class == ofPieces && inner.long { // "1 3-inch stick"
				inner.Range, inner.faults = s.Range, s.faults
				return inner, n, true
			}
			if u, n, ok := rangeAtMeasure(ts, i); ok && u.symbol == "length" {
				s.doubt += 0.3
				s.asked = append(s.asked, "is the length a size of the ingredient?")
				return s, afterDot(ts, n), true
			}
			if _, _, pct := percentAt(ts, i); !pct {
				s.doubt += 0.5
				s.asked = append(s.asked, "two numbers follow each other: which one counts?")
			}
		}
		return s, i, true
	}
	s.u = u
	i = n
	if u.symbol == "" { // "2 pcs eggs"
		s.u = nil
		return s, i, true
	}
	s.applyHeap()
	i = s.more(ts, i)
	if i < len(ts) && ts[i].low == "each" {
		s.each, i = true, i+1
	}
	return s, i, true
}

// amountIf reads an amount only where it is wanted, so that readings do not multiply.
func amountIf(wanted bool, ts []token, i int) (stated, int, bool) {
	if !wanted {
		return stated{}, i, false
	}
	return amountAt(ts, i)
}

// percentAt reads a percentage.
func percentAt(ts []token, i int) (v float64, next int, ok bool) {
	if i+1 < len(ts) && ts[i].kind == aNumber && (ts[i+1].is("%") || ts[i+1].low == "percent") {
		return ts[i].value, i + 2, true
	}
	return 0, i, false
}

// rangeAtMeasure reads a number with a measure of any kind, lengths included.
func rangeAtMeasure(ts []token, i int) (*measure, int, bool) {
	_, high, ok := rangeAt(ts, i)
	if !ok {
		return nil, i, false
	}
	j := skipHyphen(ts, high.next)
	return measureAt(ts, j)
}

// leadingWords skips what may stand before a number: about, scant, a generous.
func (s *stated) leadingWords(ts []token, i int) int {
	for i < len(ts) {
		t := ts[i]
		switch {
		case t.is("~") || t.is("≈") || t.is("±"):
			s.approx = true
		case t.kind != aWord || !approxWords[t.low]:
			return i
		case t.low == "at" && tokenLow(ts, i+1) != "least", t.low == "up" && tokenLow(ts, i+1) != "to":
			return i
		case t.low == "c" && (t.text == "C" || !(i+1 < len(ts) && (ts[i+1].is(".") || ts[i+1].kind == aNumber))):
			return i
		case (t.low == "some" || t.low == "the" || t.low == "only" || t.low == "just" || t.low == "another" || t.low == "use" || t.low == "take" || t.low == "add" || t.low == "using" || t.low == "under" || t.low == "over") && !startsNumber(ts, i+1) && !startsNumber(ts, i+2):
			return i
		case t.low == "up":
			i++
			s.approx = true
			s.notes = append(s.notes, "an upper limit")
		case t.low == "at":
			i++
			s.approx = true
			s.notes = append(s.notes, "a lower limit")
		default:
			s.heapWord(t.low)
			s.approx = true
		}
		i = afterDot(ts, i+1)
	}
	return i
}

// startsNumber reports whether a number or a word that leads to one stands at i.
func startsNumber(ts []token, i int) bool {
	if i >= len(ts) {
		return false
	}
	t := ts[i]
	return t.kind == aNumber || numberWords[t.low] > 0 || fractionWords[t.low] > 0 || groupWords[t.low] > 0
}

func (s *stated) heapWord(w string) {
	switch w {
	case "scant", "scanted", "bare", "short":
		s.heap, s.heapSaid = 0.875, "scant"
	case "heaping", "heaped", "heapin", "bombee", "bombees", "brimming", "overflowing", "comble":
		s.heap, s.heapSaid = 1.125, "heaping"
	case "rounded":
		s.heap, s.heapSaid = 1, "rounded"
	case "level", "rase", "rases", "flat":
		s.heap, s.heapSaid = 1, ""
	case "generous", "good", "liberal", "large", "big", "full", "small", "bonne", "grosse", "petite":
		s.size = w
	case "british", "imperial", "english":
		s.country = britain
	case "us", "american":
		s.country = unitedStates
	case "australian":
		s.country = australia
	case "metric":
		s.country = metricLands
	}
}

// sizes skips words between number and measure.
func (s *stated) sizes(ts []token, i int) int {
	for i < len(ts) && ts[i].kind == aWord && sizeWords[ts[i].low] {
		s.heapWord(ts[i].low)
		i++
		if i < len(ts) && (ts[i].is(".") || ts[i].is("-")) {
			i++
		}
	}
	return i
}

// applyHeap turns scant and heaping into numbers: an eighth less or more of a cup and its like; a
// heaped spoon keeps its count, see grams.
func (s *stated) applyHeap() {
	if s.heapSaid == "" || s.u == nil {
		return
	}
	if s.u.class == ofVolume && !s.u.spoon {
		if s.heap != 1 {
			s.times(s.heap)
			s.notes = append(s.notes, s.heapSaid+" taken as × "+unit.Number(s.heap, 3))
			s.heapSaid = ""
			s.doubt += 0.1
		}
		s.heap = 1
		return
	}
	if s.u.spoon {
		switch s.heapSaid {
		case "heaping":
			s.heap = 3
			s.notes = append(s.notes, "a heaped spoon taken as up to three level ones, "+practice)
		case "rounded":
			s.heap = 2
			s.notes = append(s.notes, "a rounded spoon taken as two level ones, as in old books")
		}
		return
	}
	s.heap = 1
}

// thousands joins "1 250 g" and refuses nothing: a comma or a space before three figures and a
// small metric unit is a thousand.
func (s *stated) thousands(ts []token, i int, low, high number) int {
	small := func(j int) bool {
		u, _, ok := measureAt(ts, j)
		return ok && (u.symbol == "g" || u.symbol == "ml")
	}
	if low.comma && high.next == low.next {
		if small(i) {
			s.times(1000)
			s.asked = append(s.asked, "is the comma one of thousands?")
		}
		return i
	}
	if i < len(ts) && ts[i].whole() && len(ts[i].text) == 3 && ts[i].space && s.Low == s.High && s.Low == math.Trunc(s.Low) && s.Low < 100 &&
		i > 0 && ts[i-1].whole() && small(i+1) && !isPack(ts, i) {
		s.Range = unit.Range{Low: s.Low*1000 + ts[i].value, High: s.Low*1000 + ts[i].value}
		s.asked = append(s.asked, "one number with a space for thousands, or several packs?")
		s.doubt += 0.3
		return i + 1
	}
	return i
}

// more reads what adds to a number and its measure.
func (s *stated) more(ts []token, i int) int {
	if i >= len(ts) {
		return i
	}
	if low := ts[i].low; (low == "and" || low == "et") && i+1 < len(ts) { // "a cup and a half", "a pound and a quarter"
		n := withHalf(ts, number{value: 0, next: i})
		if n.next > i && n.value > 0 {
			if _, _, another := measureAt(ts, n.next); !another {
				s.Low, s.High = s.Low+n.value, s.High+n.value
				return n.next
			}
		}
	}
	j, sign := i, 1.
	switch {
	case ts[i].low == "plus" || ts[i].is("+") || ts[i].low == "and" || ts[i].is("&") || ts[i].low == "et":
		j++
	case ts[i].low == "minus" || ts[i].low == "less" || ts[i].low == "moins":
		sign, j = -1, j+1
	case ts[i].is("-") || ts[i].low == "to" || ts[i].low == "or" || ts[i].text == "à":
		return s.upTo(ts, i)
	case ts[i].is(",") && s.u == poundMeasure:
		j++
	case ts[i].kind != aNumber:
		return i
	}
	explicit := j > i && !ts[i].is(",")
	part, n, ok := amountAt(ts, j)
	if !ok || part.noNumber || part.u == nil {
		if !explicit && s.symbol() == "kg" && ts[i].whole() && len(ts[i].text) == 3 && part.u == nil { // "1 kg 500"
			s.Low, s.High = s.Low+ts[i].value/1000, s.High+ts[i].value/1000
			return i + 1
		}
		return i
	}
	k, same := inUnits(part.u, s.u)
	if !same || (!explicit && (k >= 1 || metricUnits[part.symbol()] != metricUnits[s.symbol()])) || (!explicit && part.u == s.u) {
		return i
	}
	if explicit && !(sumEnds(ts, n) || sign < 0) {
		return i
	}
	s.Low, s.High = math.Max(0, s.Low+sign*k*part.Low), math.Max(0, s.High+sign*k*part.High)
	s.faults, s.doubt = append(s.faults, part.faults...), s.doubt+part.doubt
	return n
}

var metricUnits = setOf("g kg mg ml cl dl L hg")

// sumEnds reports whether a sum may end at i: the name of what is summed must follow.
func sumEnds(ts []token, i int) bool {
	return i < len(ts) && (ts[i].kind == aWord && !stopWords[ts[i].low] || ts[i].is("(") || ts[i].is("/") || ts[i].low == "plus" || ts[i].is("+")) ||
		i >= len(ts)
}

// upTo reads the second end of a range whose first end has its own measure: "1 tsp to 1 tbsp".
func (s *stated) upTo(ts []token, i int) int {
	if ts[i].low == "or" {
		return i
	}
	part, n, ok := amountAt(ts, i+1)
	if !ok || part.u == nil || part.noNumber {
		return i
	}
	k, same := inUnits(part.u, s.u)
	if part.u == s.u {
		k, same = 1, true
	}
	if !same || part.High*k < s.Low {
		return i
	}
	s.High = part.High * k
	return n
}

// dimension ends the reading of a number that turned out to be a length, a time or a temperature:
// "1-inch piece of ginger" is one piece, all else no amount.
func (s stated) dimension(ts []token, start, i, next int, u *measure) (stated, int, bool) {
	if u.symbol != "length" {
		return s, start, false
	}
	next = afterDot(ts, skipHyphenAny(ts, next))
	for next < len(ts) && (ts[next].low == "long" || ts[next].low == "square" || ts[next].low == "thick" || ts[next].low == "knob" || ts[next].low == "fresh") {
		next++
	}
	if p, n, ok := measureAt(ts, next); ok && (p.symbol == "piece" && !strings.HasPrefix(ts[next].low, "round") || p.symbol == "stick" || p.symbol == "knob" || p.symbol == "slice") {
		s.Range, s.u = unit.Range{Low: 1, High: 1}, p
		if head, _, isNumber := rangeAt(ts, start); isNumber && head.next < i && ts[head.next].is("-") { // "1 - 1/2 inch piece"
			s.Low, s.High = head.value, head.value
		}
		if p.symbol == "knob" {
			s.u = measureWords["piece"]
		}
		s.notes = append(s.notes, "a length is no amount: one piece")
		s.doubt += 0.1
		s.long = true
		return s, n, true
	}
	return s, start, false
}

func skipHyphenAny(ts []token, i int) int {
	if i < len(ts) && ts[i].is("-") {
		return i + 1
	}
	return i
}

// withoutNumber reads a measure that has none: "pinch of salt", "a few drops of", "juice" is not one.
func (s stated) withoutNumber(ts []token, i int) (stated, int, bool) {
	start := i
	for i < len(ts) && (ts[i].low == "few" || ts[i].low == "several" || ts[i].low == "some" || ts[i].low == "quelques" || ts[i].low == "little" || ts[i].low == "tiny" ||
		ts[i].low == "generous" || ts[i].low == "good" || ts[i].low == "large" || ts[i].low == "small" || articles[ts[i].low]) {
		i++
	}
	u, n, ok := measureAt(ts, i)
	if !ok || u.class >= ofBatches || u.class == ofMass || isPartOfName(ts, i, n, u) {
		return s, start, false
	}
	if !(n < len(ts) && (ts[n].low == "of" || ts[n].low == "de" || ts[n].low == "d'") || u.symbol == "pinch" || u.symbol == "dash" || u.symbol == "drop" || u.symbol == "handful" || u.symbol == "knob" && ts[i].low == "knob") {
		return s, start, false
	}
	s.u, s.noNumber = u, true
	if tokenLow(ts, n) == "each" {
		s.each, n = true, n+1
	}
	return s, n, true
}
