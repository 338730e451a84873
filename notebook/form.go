package notebook

import (
	"strings"
	"unicode"

	"chablon/ingredient"
	"chablon/unit"
)

// form reads turns of phrase in which the amount belongs to something else than the ingredient.
func (r *reader) form(l Line, ts []token, depth int) ([]Line, bool) {
	if depth > mostLines {
		return nil, false
	}
	if out, ok := r.partsOf(l, ts, depth); ok {
		return out, true
	}
	for k, t := range ts {
		switch {
		case t.low == "weight" && k <= 3 && tokenLow(ts, k+1) == "of":
			if out, ok := r.weightOf(l, ts, k); ok {
				return out, true
			}
		case t.low == "size" && tokenLow(ts, k+1) == "of" && k > 0:
			if out, ok := r.sizeOf(l, ts, k); ok {
				return []Line{out}, true
			}
		case (t.low == "enough" || t.low == "sufficient") && k == 0:
			return r.enough(l, ts)
		}
	}
	return nil, false
}

// partsOf reads "juice of 2 lemons", "whites of 3 eggs", "the juice and grated rind of 1 orange".
func (r *reader) partsOf(l Line, ts []token, depth int) ([]Line, bool) {
	var parts []string
	i := 0
	for ; i < len(ts) && i < 9; i++ {
		t := ts[i]
		if p, ok := partWords[t.low]; ok {
			parts = append(parts, p)
			continue
		}
		joins := t.low == "and" || t.low == "et" || t.is("&") || t.is(",") || t.is("+") || t.low == "the" || t.low == "le" || t.low == "les" || t.low == "la" || t.low == "l'" || t.low == "strained" || t.low == "only" || t.low == "a"
		if len(parts) > 0 && (t.low == "of" || t.low == "from" || t.low == "de" || t.low == "d'" || t.low == "du" || startsNumber(ts, i)) {
			break
		}
		if t.kind == aNumber || !joins && !isPreparation(t.low) {
			return nil, false
		}
	}
	if len(parts) == 0 || i >= len(ts) {
		return nil, false
	}
	from := i
	if !startsNumber(ts, i) {
		from++
	}
	if from >= len(ts) || !startsNumber(ts, from) && !articles[ts[from].low] && !approxWords[ts[from].low] {
		return nil, false
	}
	if s, _, ok := amountAt(ts, from); !ok || s.mass() || s.volume() {
		return nil, false
	}
	lead := leadOf(ts[:i])
	var out []Line
	for n, p := range parts {
		whole := written(ts[from:])
		if _, n, ok := amountAt(ts, from); ok && n >= len(ts) && (p == "white" || p == "yolk") { // "and whites of four"
			whole += " eggs"
		}
		for m, sub := range r.line(whole, depth+1) {
			if sub.Kind != Ingredient || n > 0 && m > 0 && !sub.HasAmount {
				if n == 0 {
					out = append(out, sub)
				}
				continue
			}
			sub.Text = l.Text
			if sub.Unit != "" && sub.Unit != "g" {
				sub.atMost(0.75)
				sub.ask("does " + amountText(stated{Range: sub.Amount}) + " " + sub.Unit + " measure the " + p + "?")
			}
			if sub.Ingredient == nil || sub.Ingredient.ID != eggWhite && sub.Ingredient.ID != eggYolk {
				sub = r.partLine(sub, p, lead)
			}
			out = append(out, sub)
		}
	}
	return out, len(out) > 0
}

// leadOf returns the doings before a part: "grated".
func leadOf(ts []token) string {
	var words []string
	for _, t := range ts {
		if isPreparation(t.low) && t.low != "the" && t.low != "and" && t.low != "of" && t.low != "le" && t.low != "la" && t.low != "de" && t.low != "et" {
			words = append(words, t.text)
		}
	}
	return strings.Join(words, " ")
}

// partLine turns a line for a whole fruit, pod or egg into one for a part of it.
func (r *reader) partLine(l Line, part, lead string) Line {
	egg := l.Ingredient != nil && l.Ingredient.ID == eggWhole
	if id := map[string]string{"white": eggWhite, "yolk": eggYolk}[part]; egg && id != "" {
		if i, ok := r.o.Table.Get(id); ok {
			l.Ingredient, l.Name = i, "egg "+part
			l.HasGrams, l.Assumptions = false, nil
			l.Preparation = joinPrep(lead, l.Preparation)
			r.weigh(&l, stated{Range: l.Amount, noNumber: !l.HasAmount, heap: 1})
			return l
		}
	}
	l.Preparation = joinPrep(strings.TrimSpace(lead+" "+part), l.Preparation)
	l.BeforePreparation = true
	whole, had := l.Grams, l.HasGrams
	l.HasGrams, l.Grams = false, unit.Range{}
	if l.Ingredient != nil {
		if y, ok := l.Ingredient.Yield(part); ok && had {
			l.Grams, l.HasGrams = unit.Range{Low: whole.Low * y.Low, High: whole.High * y.High}, true
			l.assume("the " + part + " taken as a share of the whole: " + y.Source)
		} else {
			l.ask("what does the " + part + " weigh?")
		}
	}
	return l
}

func joinPrep(a, b string) string {
	return strings.Trim(a+", "+b, ", ")
}

// partsAfter reads "1 lemon, zest and juice" as two lines.
func (r *reader) partsAfter(l Line) []Line {
	if l.Kind != Ingredient || l.Ingredient == nil || l.Unit != "" || !l.HasAmount || l.Preparation == "" {
		return []Line{l}
	}
	prep := plain(l.Preparation)
	var parts []string
	for w := range strings.FieldsFuncSeq(prep, func(c rune) bool { return !unicode.IsLetter(c) }) {
		switch w {
		case "zest", "zested", "rind", "zeste":
			parts = addOnce(parts, "zest")
		case "juice", "juiced", "jus":
			parts = addOnce(parts, "juice")
		case "peel", "peeled":
			if w == "peel" {
				parts = addOnce(parts, "peel")
			}
		case "white", "whites", "yolk", "yolks":
			if strings.Contains(prep, "only") {
				parts = addOnce(parts, strings.TrimSuffix(w, "s"))
			}
		}
	}
	egg := l.Ingredient.ID == eggWhole
	if len(parts) == 1 && egg && (parts[0] == "white" || parts[0] == "yolk") {
		p := r.partLine(l, parts[0], "")
		p.assume("only the " + parts[0] + "s")
		return []Line{p}
	}
	if len(parts) < 2 || egg {
		return []Line{l}
	}
	var out []Line
	for _, p := range parts {
		one := l
		one.Questions, one.Assumptions = nil, nil
		one.Preparation = ""
		one = r.partLine(one, p, "")
		one.Preparation = joinPrep(p, l.Preparation)
		one.assume("one fruit gives both lines: it is bought once")
		out = append(out, one)
	}
	return out
}

// weightOf reads "the weight of 4 eggs in sugar".
func (r *reader) weightOf(l Line, ts []token, k int) ([]Line, bool) {
	s, n, ok := amountAt(ts, k+2)
	if !ok || s.noNumber || s.u != nil || n >= len(ts) {
		return nil, false
	}
	in := n
	for in < len(ts) && ts[in].low != "in" && ts[in].low != "of" {
		in++
	}
	if in+1 >= len(ts) || in-n > 3 {
		return nil, false
	}
	size := r.o.EggSize
	if size == "" {
		size = "us-large"
		if land(r.o.Country) != unitedStates {
			size = "eu-m"
		}
	}
	_, _, whole, shell, known := ingredient.EggPortion(size)
	var out []Line
	for _, part := range splitList(ts[in+1:]) {
		one := l
		one.Kind, one.Confidence = Ingredient, 0.75
		r.nameAndPreparation(&one, part, nil, s)
		one.atMost(0.75)
		one.assume("as heavy as " + unit.Number(s.Low, 0) + " eggs in the shell, " + size)
		one.ask("are the eggs weighed in the shell, and what do they weigh?")
		if known {
			egg := (whole + shell).Grams()
			one.Grams, one.HasGrams = unit.Range{Low: s.Low * egg, High: s.High * egg}, true
		}
		out = append(out, one)
	}
	return out, len(out) > 0
}

// sizes of lumps that old books compare with, in grams. The egg of butter is two ounces in several of
// them; the others are common practice, no source.
var lumps = map[string]unit.Range{
	"egg": {Low: 57, High: 57}, "walnut": {Low: 15, High: 30}, "hazelnut": {Low: 5, High: 10}, "nut": {Low: 10, High: 10}, "pea": {Low: 0.5, High: 1},
	"oeuf": {Low: 57, High: 57}, "noix": {Low: 15, High: 30}, "noisette": {Low: 5, High: 10}, "nutmeg": {Low: 10, High: 15},
}

// sizeOf reads "butter the size of an egg".
func (r *reader) sizeOf(l Line, ts []token, k int) (Line, bool) {
	name := ts[:k]
	if name[len(name)-1].low == "the" || articles[name[len(name)-1].low] {
		name = name[:len(name)-1]
	}
	if s, n, ok := amountAt(name, 0); ok && (s.u == nil || s.u.class == ofPieces) {
		if !s.noNumber && s.High > 1 {
			return l, false
		}
		name = name[n:]
	}
	for len(name) > 0 && (articles[name[0].low] || name[0].low == "piece" || name[0].low == "lump" || name[0].low == "of" || name[0].low == "bit") {
		name = name[1:]
	}
	i := k + 2
	for i < len(ts) && (articles[ts[i].low] || ts[i].low == "small" || ts[i].low == "large" || ts[i].low == "hen's" || ts[i].low == "good") {
		i++
	}
	if i >= len(ts) || len(name) == 0 {
		return l, false
	}
	lump, known := lumps[strings.TrimSuffix(ts[i].low, "s")]
	rest := append(append([]token{}, name...), ts[i+1:]...)
	l.Kind = Ingredient
	r.nameAndPreparation(&l, rest, nil, stated{heap: 1})
	l.atMost(0.75)
	l.ask("what does a piece of that size (" + ts[i].text + ") weigh?")
	if known && l.Ingredient != nil && (strings.HasPrefix(l.Ingredient.ID, "butter") || l.Ingredient.ID == "lard" || strings.HasPrefix(l.Ingredient.ID, "margarine")) {
		l.Amount, l.HasAmount, l.Unit = lump, true, "g"
		l.Grams, l.HasGrams = lump, true
		l.assume("the size (" + ts[i].text + ") taken as in old books")
	}
	return l, true
}

// enough reads "enough cherries to yield 1 cup juice".
func (r *reader) enough(l Line, ts []token) ([]Line, bool) {
	for k := 1; k+2 < len(ts); k++ {
		if ts[k].low != "to" {
			continue
		}
		s, n, ok := amountAt(ts, k+2)
		if !ok || s.noNumber {
			break
		}
		l.Kind = Ingredient
		r.nameAndPreparation(&l, ts[1:k], nil, s)
		l.Preparation = joinPrep(l.Preparation, written(ts[k:]))
		l.BeforePreparation = false
		l.Amount, l.HasAmount, l.Unit = s.Range, true, s.symbol()
		l.ask("the amount is what comes of it (" + trimMarks(written(ts[n:])) + "): how much goes in?")
		l.atMost(0.7)
		return []Line{l}, true
	}
	return nil, false
}

// splitList parts a list at commas and "and".
func splitList(ts []token) [][]token {
	var out [][]token
	start := 0
	for k := 0; k <= len(ts); k++ {
		if k == len(ts) || ts[k].is(",") || ts[k].low == "and" || ts[k].is("&") || ts[k].low == "et" {
			if k > start {
				out = append(out, ts[start:k])
			}
			start = k + 1
		}
		if len(out) >= mostLines {
			break
		}
	}
	return out
}

// eachOf reads "1/2 tsp each cinnamon, cloves and nutmeg".
func (r *reader) eachOf(l Line, s stated, ts []token) ([]Line, bool) {
	list := splitList(skipOf(ts))
	if len(list) < 2 {
		return nil, false
	}
	var out []Line
	for _, part := range list {
		f := r.resolve(part)
		if f.ing == nil {
			return nil, false
		}
		one := l
		r.nameAndPreparation(&one, part, nil, s)
		r.finish(&one, s, nil)
		out = append(out, one)
	}
	return out, true
}

// pair reads two ingredients without an amount: "salt and pepper", "butter and flour for the tin".
func (r *reader) pair(l Line, s stated, ts []token) ([]Line, bool) {
	at := -1
	for k, t := range ts {
		if t.is(",") {
			break
		}
		if (t.low == "and" || t.low == "et" || t.is("&")) && k > 0 && k+1 < len(ts) {
			at = k
			break
		}
	}
	if at < 0 || r.find(ts) != nil {
		return nil, false
	}
	left, right := ts[:at], ts[at+1:]
	a := r.resolve(left)
	if a.ing == nil || a.sure < 1 {
		return nil, false
	}
	b := r.resolve(right)
	if b.ing == nil || b.sure < 0.8 || a.ing == b.ing {
		return nil, false
	}
	if s.noNumber && s.u == nil || s.u != nil && (s.symbol() == "pinch" || s.symbol() == "dash") {
		var out []Line
		for _, part := range [][]token{left, right} {
			one := l
			r.nameAndPreparation(&one, part, nil, s)
			out = append(out, one)
		}
		out[0].Preparation = joinPrep(out[0].Preparation, b.after)
		for n := range out {
			r.finish(&out[n], s, nil)
		}
		return out, true
	}
	return nil, false
}

// equipment words end a line that is no ingredient.
var equipmentWords = setOf(`tin tins pan pans mould moulds mold molds ring rings tray trays sheet frame frames parchment foil moule moules cercle cercles
	bag bags skewer skewers ramekin ramekins dish dishes cutter cutters nozzle nozzles tip tips rack acetate collar liners cases thermometer`)

// isEquipment reports whether what is counted is a tin or a tool: "2 x 20 cm round tins".
func isEquipment(ts []token) bool {
	words, tool := 0, false
	for _, t := range ts {
		if t.is(",") || t.is("(") || stopWords[t.low] && words > 0 {
			break
		}
		if t.kind == aWord {
			words++
			tool = equipmentWords[t.low]
		}
	}
	if !tool {
		return false
	}
	if words == 1 { // "1 tin" says too little, "2 pans" does not
		return !strings.HasPrefix(ts[0].low, "tin") && !strings.HasPrefix(ts[0].low, "bag") && !strings.HasPrefix(ts[0].low, "case")
	}
	return true
}

// semicolons reads "Flour, two pounds; butter, one pound": every part with an ingredient and an
// amount of its own.
func (r *reader) semicolons(text string) ([]Line, bool) {
	var out []Line
	parts := strings.Split(text, ";")
	if len(parts) > mostLines {
		return nil, false
	}
	for _, part := range parts {
		if strings.TrimSpace(part) == "" {
			continue
		}
		for _, l := range r.line(part, 1) {
			if l.Ingredient == nil || !l.HasAmount || l.Unit == "" && l.Confidence < 0.8 {
				return nil, false
			}
			out = append(out, l)
		}
	}
	return out, len(out) > 1
}
