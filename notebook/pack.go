package notebook

import "chablon/unit"

// isPartOfName reports whether a word that may be a measure belongs to the name of what is
// counted: "4 cloves", "2 stem ginger".
func isPartOfName(ts []token, i, next int, u *measure) bool {
	w, follows := ts[i].low, tokenLow(ts, next)
	of := follows == "of" || follows == "de" || follows == "d'"
	last := next >= len(ts) || ts[next].is(",") || ts[next].is(";") || ts[next].is("(")
	switch w {
	case "noix", "noisette", "nut":
		return !(of && next+1 < len(ts) && (ts[next+1].low == "beurre" || ts[next+1].low == "butter"))
	case "clove", "cloves":
		return !of && follows != "garlic"
	case "grain", "grains", "trait", "rib", "round", "rounds", "case", "ball", "balls", "head", "heads":
		return !of
	case "cake", "cakes", "cube", "cubes", "tablet", "tablets":
		return !of && follows != "yeast" && follows != "fresh" && follows != "compressed" && follows != "foundation"
	case "stem", "stems", "stalk", "stalks", "branch", "branches":
		return last || follows == "ginger"
	case "glass", "each", "ea":
		return last && w == "glass"
	case "once", "carre", "tetra", "plaque", "plaques", "conserve", "conserves", "botte", "disc", "discs", "brick", "roll", "rolls", "lump", "lumps", "part", "parts":
		return last
	}
	return last && (u.class == ofPieces || u.class == ofContainer) && w != "stick" && w != "sticks" && w != "pinch" && i > 0 && ts[i-1].kind == aWord && u.symbol != "leaf"
}

// trade cans by their number: net grams.
var numberedCans = map[float64]unit.Range{
	1: {Low: 298, High: 340}, 2: {Low: 20, High: 20}, 2.5: {Low: 26, High: 30}, 300: {Low: 14, High: 16}, 303: {Low: 16, High: 16}, 10: {Low: 96, High: 117},
}

// numberedCan reads "No. 2 can" after its count. Its mass in ounces is what the trade put in
// about 1930; the reading asks.
func (s *stated) numberedCan(ts []token, i int) (int, bool) {
	if !(tokenLow(ts, i) == "no" || tokenLow(ts, i) == "number" || tokenLow(ts, i) == "#" || tokenLow(ts, i) == "nr") {
		return i, false
	}
	j := i + 1
	for j < len(ts) && ts[j].is(".") {
		j++
	}
	n, ok := numberAt(ts, j)
	if !ok {
		return i, false
	}
	next := n.next
	for next < len(ts) && sizeWords[ts[next].low] || tokenLow(ts, next) == "picnic" || tokenLow(ts, next) == "cylinder" || tokenLow(ts, next) == "tall" {
		next++
	}
	u, next, ok := measureAt(ts, next)
	if !ok || u.class != ofContainer {
		return i, false
	}
	s.packSize = n.value
	s.doubt += 0.25
	s.asked = append(s.asked, "what does the label of a No. "+figure(n.value)+" can say: net or drained mass?")
	if oz, known := numberedCans[n.value]; known && n.value != 1 {
		s.u = ounceMeasure
		s.Low, s.High = s.Low*oz.Low, s.High*oz.High
		s.notes = append(s.notes, "net mass of an old American No. "+figure(n.value)+" can")
		return next, true
	}
	s.u = u
	return next, true
}

// pack reads the size of a pack after its count: "1 (14-ounce) can", "2 14-oz cans".
func (s stated) pack(ts []token, i int) (stated, int, bool) {
	if i >= len(ts) {
		return s, i, false
	}
	bracket := ts[i].is("(")
	j := i
	if bracket {
		j++
	} else if ts[i].kind != aNumber && numberWords[ts[i].low] == 0 {
		return s, i, false
	}
	inner, n, ok := amountAt(ts, j)
	if !ok || inner.noNumber || !(inner.mass() || inner.volume()) {
		return s, i, false
	}
	hyphen := false
	for k := j; k < n; k++ {
		hyphen = hyphen || ts[k].is("-") && k+1 < n && ts[k+1].kind == aWord
	}
	each := inner.each
	for bracket && n < len(ts) && !ts[n].is(")") { // "(14 oz / 397 g)", "(14 oz each)"
		if ts[n].low == "each" || ts[n].low == "apiece" {
			each = true
		}
		if ts[n].is("(") || n > j+12 {
			return s, i, false
		}
		n++
	}
	if bracket {
		n = min(n+1, len(ts)) // the bracket may never close
	}
	k := n
	for k < len(ts) && (ts[k].is("-") || sizeWords[ts[k].low]) {
		k++
	}
	u, after, isContainer := measureAt(ts, k)
	isContainer = isContainer && (u.class == ofContainer || u.symbol == "stick" || u.symbol == "sheet" || u.symbol == "square" || u.symbol == "cake" || u.symbol == "piece" || u.symbol == "ball")
	if !isContainer && !each && !hyphen {
		return s, i, false
	}
	inner.Range = unit.Range{Low: inner.Low * s.Low, High: inner.High * s.High}
	inner.faults = append(s.faults, inner.faults...)
	inner.each = false
	if isContainer {
		n = after
	}
	if !isContainer && !each {
		inner.doubt += 0.1
	}
	return inner, n, true
}

// isPack reports whether a number at i with its measure is the size of a container that follows.
func isPack(ts []token, i int) bool {
	_, n, ok := rangeAtMeasure(ts, i)
	return ok && skipContainer(ts, n) > n
}

// skipContainer passes over the container of a pack whose size was read: "400 g tins".
func skipContainer(ts []token, i int) int {
	j := i
	for j < len(ts) && (ts[j].is("-") || sizeWords[ts[j].low]) {
		j++
	}
	if u, n, ok := measureAt(ts, j); ok && (u.class == ofContainer || u.symbol == "stick") {
		return n
	}
	return i
}

// bareWords may stand in a bracket beside an amount without making it a remark.
var bareWords = setOf(`each total in all altogether drained net weight apiece about approximately approx or ou of and the so packed sifted shelled peeled per
	weighed equivalent equals is to soit roughly around from metric us imperial british american generous scant level heaping say a tin can jar pack piece c ca circa environ plus`)

// bareAmounts reads the content of a bracket that holds amounts and nothing else.
func bareAmounts(ts []token) (all []stated, ok bool) {
	for i := 0; i < len(ts); {
		if s, n, found := amountAt(ts, i); found && n > i {
			if s.u == nil && !s.noNumber {
				return all, false
			}
			all = append(all, s)
			i = skipContainer(ts, n)
			continue
		}
		t := ts[i]
		last := len(all) - 1
		switch {
		case t.kind == aMark && (t.is("/") || t.is(",") || t.is(";") || t.is("=") || t.is(".") || t.is("~") || t.is("≈") || t.is("-") || t.is("+")):
		case t.kind == aWord && bareWords[t.low]:
			if last >= 0 && (t.low == "each" || t.low == "apiece" || t.low == "per") {
				all[last].each = true
			}
			if last >= 0 && (t.low == "total" || t.low == "all" || t.low == "altogether") {
				all[last].total = true
			}
		default:
			return all, false
		}
		i++
	}
	return all, len(all) > 0
}
