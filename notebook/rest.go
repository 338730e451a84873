package notebook

import (
	"strings"
)

// brackets takes the brackets out of the tokens after the amount. Flags and further amounts in
// them are read, remarks come back.
func (r *reader) brackets(l *Line, s *stated, ts []token) (flat []token, remarks []string, more []stated) {
	for i := 0; i < len(ts); i++ {
		if !ts[i].is("(") {
			if !ts[i].is(")") {
				flat = append(flat, ts[i])
			}
			continue
		}
		end := closing(ts, i)
		inner := ts[i+1 : end]
		i = end
		if len(inner) == 0 {
			continue
		}
		if all, ok := bareAmounts(inner); ok && !all[0].noNumber {
			if s.noNumber && s.u == nil {
				*s = all[0]
				all = all[1:]
			}
			more = append(more, all...)
			continue
		}
		if isPage(inner) {
			l.assume("a reference: " + written(inner))
			l.Component = "?"
			continue
		}
		if c, ok := countryIn(inner); ok {
			s.country = c
			continue
		}
		kept := r.flags(l, inner)
		if len(kept) == 0 {
			continue
		}
		if _, ok := countNote(kept); ok {
			l.assume("a count beside it: " + written(kept))
			continue
		}
		if hasPart(kept) {
			remarks = append(remarks, written(kept))
			continue
		}
		if (kept[0].low == "or" || kept[0].low == "ou") && len(kept) > 1 && (r.nameIn(kept[1:]) || startsNumber(kept, 1)) { // "kirsch (or rum)"
			l.addAlternative(kept[1:])
			continue
		}
		if f := r.memo.find(written(flat) + " (" + written(kept) + ")"); f != nil && f != r.memo.find(written(flat)) && len(flat) > 0 {
			flat = append(flat, token{text: "(", low: "(", kind: aMark, space: true})
			kept[0].space = false
			flat = append(append(flat, kept...), token{text: ")", low: ")", kind: aMark})
			continue
		}
		remarks = append(remarks, written(kept))
	}
	return flat, remarks, more
}

func countryIn(ts []token) (string, bool) {
	if len(ts) > 2 {
		return "", false
	}
	switch ts[0].low {
	case "british", "imperial", "uk", "english":
		return britain, true
	case "us", "american", "usa":
		return unitedStates, true
	case "australian":
		return australia, true
	case "metric":
		return metricLands, true
	}
	return "", false
}

// isPage reports whether tokens refer to a page or another recipe.
func isPage(ts []token) bool {
	for n, t := range ts {
		if n > 6 {
			return false
		}
		switch t.low {
		case "page", "pages", "pg":
			return true
		case "p", "pp":
			if n+1 < len(ts) && (ts[n+1].is(".") || ts[n+1].kind == aNumber) {
				return true
			}
		case "see", "recipe", "voir":
			if n == 0 && len(ts) > 1 {
				return true
			}
		case "follows", "below", "above":
			return len(ts) <= 4
		}
	}
	return false
}

// phrases that set a flag and leave the line. Longer ones come first.
var phrases = []struct {
	words []string
	set   func(*Line)
}{
	{strings.Fields("or more to taste"), func(l *Line) { l.ToTaste = true }},
	{strings.Fields("or less to taste"), func(l *Line) { l.ToTaste = true }},
	{strings.Fields("or to taste"), func(l *Line) { l.ToTaste = true }},
	{strings.Fields("according to taste"), func(l *Line) { l.ToTaste = true }},
	{strings.Fields("to your taste"), func(l *Line) { l.ToTaste = true }},
	{strings.Fields("to taste"), func(l *Line) { l.ToTaste = true }},
	{strings.Fields("selon le gout"), func(l *Line) { l.ToTaste = true }},
	{strings.Fields("selon gout"), func(l *Line) { l.ToTaste = true }},
	{strings.Fields("au gout"), func(l *Line) { l.ToTaste = true }},
	{strings.Fields("q . s ."), func(l *Line) { l.ToTaste = true }},
	{strings.Fields("qs"), func(l *Line) { l.ToTaste = true }},
	{strings.Fields("if you like"), func(l *Line) { l.Optional = true }},
	{strings.Fields("if you wish"), func(l *Line) { l.Optional = true }},
	{strings.Fields("if desired"), func(l *Line) { l.Optional = true }},
	{strings.Fields("if liked"), func(l *Line) { l.Optional = true }},
	{strings.Fields("if wanted"), func(l *Line) { l.Optional = true }},
	{strings.Fields("but optional"), func(l *Line) { l.Optional = true }},
	{strings.Fields("optional"), func(l *Line) { l.Optional = true }},
	{strings.Fields("facultatif"), func(l *Line) { l.Optional = true }},
	{strings.Fields("facultative"), func(l *Line) { l.Optional = true }},
	{strings.Fields("divided use"), func(l *Line) { l.Divided = true }},
	{strings.Fields("divided"), func(l *Line) { l.Divided = true }},
	{strings.Fields("in all"), func(l *Line) { l.Divided = true }},
}

var phraseStarts = func() map[string]bool {
	m := map[string]bool{}
	for _, p := range phrases {
		m[p.words[0]] = true
	}
	return m
}()

// flags takes phrases such as "to taste" and "(optional)" out and sets what they say.
func (r *reader) flags(l *Line, ts []token) []token {
	hit := false
	for _, t := range ts {
		hit = hit || phraseStarts[t.low]
	}
	if !hit {
		return ts
	}
	out := make([]token, 0, len(ts))
next:
	for i := 0; i < len(ts); i++ {
		if phraseStarts[ts[i].low] {
			for _, p := range phrases {
				if phraseAt(ts, i, p.words) && !(p.words[0] == "divided" && tokenLow(ts, i+1) == "into") {
					p.set(l)
					i += len(p.words) - 1
					for len(out) > 0 && (out[len(out)-1].is(",") || out[len(out)-1].is(";") || out[len(out)-1].is("-")) {
						out = out[:len(out)-1]
					}
					continue next
				}
			}
		}
		out = append(out, ts[i])
	}
	return out
}

func phraseAt(ts []token, i int, words []string) bool {
	if i+len(words) > len(ts) {
		return false
	}
	for n, w := range words {
		if ts[i+n].low != w {
			return false
		}
	}
	return true
}

// split finds further lines in the tokens: "plus extra for the tin", "plus 1 yolk", "softened in
// 3 tbsp water", "200 g flour, 100 g butter". It returns what is left of the first line.
func (r *reader) split(l *Line, s *stated, ts []token, depth int) ([]token, []Line) {
	if depth >= mostLines {
		return ts, nil
	}
	nested := 0
	for k := 0; k < len(ts); k++ {
		t := ts[k]
		if t.is("(") {
			nested++
		} else if t.is(")") {
			nested--
		}
		if nested > 0 {
			continue
		}
		isPlus := t.low == "plus" || t.is("+")
		isComma := t.is(",") || t.is(";")
		isAnd := t.low == "and" || t.low == "et" || t.is("&")
		isIn := (t.low == "in" || t.low == "with" || t.low == "into" || t.low == "dans" || t.low == "avec") && k > 0 && madeWith(ts[:k])
		if !isPlus && !isComma && !isAnd && !isIn {
			continue
		}
		j := k + 1
		for isComma && j < len(ts) && (ts[j].low == "and" || ts[j].low == "plus" || ts[j].is("+") || ts[j].low == "et") {
			isPlus = isPlus || ts[j].low == "plus" || ts[j].is("+")
			j++
		}
		if j >= len(ts) || k == 0 {
			continue
		}
		if (isPlus || isAnd || isComma) && (ts[j].low == "extra" || (ts[j].low == "more" || ts[j].low == "additional" || ts[j].low == "some") && isPlus || ts[j].low == "a" && tokenLow(ts, j+1) == "little" && isPlus) {
			e := Line{Text: l.Text, Kind: Ingredient, Extra: true, Confidence: 0.95}
			w := ts[j:]
			for len(w) > 0 && (vagueWords[w[0].low] || articles[w[0].low]) {
				w = w[1:]
			}
			e.Preparation = trimMarks(written(r.flags(&e, w)))
			return ts[:k], []Line{e}
		}
		got, n, ok := amountAt(ts, j)
		parts := isPlus || isAnd || isComma
		if !ok && parts {
			if out, isForm := r.form(Line{Text: l.Text, Confidence: 1}, ts[j:], depth+1); isForm && (isPlus || r.nameIn(ts[:k])) {
				return ts[:k], out
			}
			continue
		}
		if !ok || got.noNumber && !isPlus {
			continue
		}
		nameAt := skipOf(ts[n:])
		if isPlus && (len(nameAt) == 0 || stopWords[nameAt[0].low] || nameAt[0].low == "more" || nameAt[0].low == "extra" || nameAt[0].is(",")) {
			e := Line{Text: l.Text, Kind: Ingredient, Extra: true, Confidence: 0.8}
			e.Preparation = trimMarks(written(nameAt))
			e.Amount, e.HasAmount, e.Unit = got.Range, true, got.symbol()
			e.ask("does it add to the amount above, or stand apart?")
			return ts[:k], []Line{e}
		}
		if len(nameAt) == 0 || !(isPlus && got.u != nil || r.nameIn(nameAt)) || articleOnly(ts, j) && !isPlus {
			continue
		}
		if (isComma || isAnd) && !r.nameIn(ts[:k]) {
			continue
		}
		sub := r.line(written(ts[j:]), depth+1)
		for i := range sub {
			sub[i].Text = l.Text
			if sub[i].Kind == Prose {
				sub[i].Kind = Ingredient
			}
		}
		if got.u == nil && tokenLow(ts, n) == "of" && s.u != nil && len(sub) > 0 && sub[0].HasAmount { // "one cup of sugar, one of butter"
			one := stated{Range: sub[0].Amount, u: s.u, heap: 1}
			sub[0].Unit, sub[0].Questions, sub[0].Confidence = s.symbol(), nil, 0.75
			sub[0].ask("is it a " + s.symbol() + " as the one before it?")
			r.weigh(&sub[0], one)
		}
		if isIn {
			for i := range sub {
				sub[i].assume("part of how " + strings.TrimSpace(written(ts[:min(k, 3)])) + " is prepared")
			}
			return append(append([]token{}, ts[:k]...), ts[k:]...), sub
		}
		return ts[:k], sub
	}
	return ts, nil
}

// articleOnly reports whether the amount at i is only "a" or "an", which may be no number.
func articleOnly(ts []token, i int) bool { return i < len(ts) && articles[ts[i].low] }

// madeWith reports whether the last words before "in" say that something goes into something.
func madeWith(ts []token) bool {
	for k := len(ts) - 1; k >= 0 && k >= len(ts)-3; k-- {
		switch ts[k].low {
		case "sifted", "softened", "soaked", "dissolved", "bloomed", "mixed", "blended", "stirred", "hydrated", "steeped", "diluted", "beaten", "whisked",
			"slaked", "moistened", "melted", "gonflee", "trempee", "trempees", "delayee", "rehydratee", "combined", "thinned":
			return true
		}
	}
	return false
}

// nameIn reports whether tokens start with the name of an ingredient, looking no further than
// the next comma.
func (r *reader) nameIn(ts []token) bool {
	end := 0
	for end < len(ts) && end < 8 && !ts[end].is(",") && !ts[end].is(";") && !ts[end].is("(") && ts[end].low != "plus" && !ts[end].is("+") {
		end++
	}
	f := r.resolve(ts[:end])
	return f.ing != nil && f.sure >= 0.8
}
