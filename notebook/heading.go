package notebook

import (
	"strings"
	"unicode"
)

// heading reads a line that opens a group. A heading with something after its colon gives two
// lines.
func (r *reader) heading(l Line, clean string, ts []token) ([]Line, bool) {
	l.Kind, l.Confidence = Heading, 0.97
	body := strings.TrimSpace(strings.TrimLeft(clean, "#"))
	marked := len(body) < len(clean)
	if rest, ok := strings.CutSuffix(body, ":"); ok && !strings.Contains(rest, ":") {
		if _, _, isAmount := amountAt(ts, 0); isAmount && ts[0].kind == aNumber && measured(ts) {
			return nil, false
		}
		l.Name = headingName(rest)
		return []Line{l}, len(rest) < 100
	}
	if marked && len(body) < 100 {
		l.Name = headingName(body)
		return []Line{l}, l.Name != ""
	}
	if before, after, ok := strings.Cut(body, ":"); ok && len(before) < 60 && strings.TrimSpace(after) != "" {
		before = strings.TrimSpace(before)
		if opensGroup(before) || isComponentWord(before) && r.memo.find(before) == nil {
			l.Name = headingName(before)
			out := append([]Line{l}, r.line(after, 1)...)
			for n := range out[1:] {
				out[n+1].Group = l.Name
			}
			return out, true
		}
		return nil, false
	}
	if _, _, isAmount := amountAt(ts, 0); isAmount {
		return nil, false
	}
	words := strings.Fields(body)
	if opensGroup(body) && len(words) <= 7 && !strings.ContainsAny(body, ",0123456789") {
		l.Name = headingName(body)
		return []Line{l}, true
	}
	page := isPage(ts)
	bare := ts
	for k, t := range ts {
		if page && (t.is("(") || t.is(",") || t.low == "see" || t.low == "page" || t.low == "voir" || t.low == "p") && k > 0 {
			bare = ts[:k]
			break
		}
	}
	name := trimMarks(written(bare))
	if page && name != "" && len(bare) < len(ts) && len(bare) <= 6 && !hasNumber(bare) {
		if r.memo.find(name) == nil || isComponentWord(name) || capitals(name) {
			l.Kind, l.Name, l.Confidence = Component, name, 0.9
			l.Component = name
			if id, ok := componentID(name, r.o.Components); ok {
				l.Component = id
			} else {
				l.ask("which formula is " + name + "?")
			}
			return []Line{l}, true
		}
		return nil, false
	}
	if capitals(body) && !hasNumber(ts) && len(words) <= 8 {
		if ing := r.memo.find(body); ing == nil || isComponentWord(body) {
			l.Name = headingName(body)
			l.Confidence = 0.9
			return []Line{l}, true
		}
	}
	if len(words) <= 3 && !hasNumber(ts) && !strings.ContainsAny(body, ",(") {
		last := plain(words[len(words)-1])
		if headingWords[strings.TrimSuffix(last, "s")] || headingWords[last] || headingWords[plain(words[0])] {
			if r.memo.find(body) == nil && r.o.Components[body] == "" {
				l.Name, l.Confidence = headingName(body), 0.82
				return []Line{l}, true
			}
		}
	}
	return nil, false
}

func measured(ts []token) bool {
	s, n, ok := amountAt(ts, 0)
	return ok && s.u != nil && n < len(ts)
}

func hasNumber(ts []token) bool {
	for _, t := range ts {
		if t.kind == aNumber {
			return true
		}
	}
	return false
}

// capitals reports whether a text is written in capitals only, three letters at least.
func capitals(s string) bool {
	letters := 0
	for _, c := range s {
		if unicode.IsLetter(c) {
			if unicode.IsLower(c) {
				return false
			}
			letters++
		}
	}
	return letters >= 3
}

// opensGroup reports whether a text starts as headings do: "For the glaze", "To serve".
func opensGroup(s string) bool {
	low := plain(s)
	for _, p := range []string{
		"for the ", "for a ", "for dusting", "for brushing", "for decoration", "for decorating", "for finishing", "for serving", "for garnish", "for greasing",
		"to finish", "to serve", "to decorate", "to garnish", "to assemble", "to glaze", "pour le ", "pour la ", "pour les ", "pour l'", "pour servir", "decoration", "finition", "montage", "assembly", "ingredients", "a la finition",
	} {
		if strings.HasPrefix(low, p) || low == strings.TrimSpace(p) {
			return !strings.HasPrefix(low, "for the best")
		}
	}
	return false
}

// headingName takes a heading's words for a group: without "for the" only in its first letters.
func headingName(s string) string {
	s = trimMarks(strings.Trim(s, "#*_=~ "))
	return s
}

// proseStarts begin a remark about the whole: yield, time, oven, source.
var proseStarts = setOf(`serves makes yield yields prep preparation cooking total temps oven difficulty source note notes tip tips adapted cuisson portions servings
	in into at until when if on with once then while after before during this these it they we you our my as from by here there also but so because pour
	active level category cuisine author thermostat four recipe`)

// prose reports a line that is an instruction or a remark.
func (r *reader) prose(l Line, ts []token) (Line, bool) {
	l.Kind, l.Confidence = Prose, 0.95
	i := 0
	if ts[0].kind == aNumber && len(ts) > 1 && (ts[1].is(".") || ts[1].is(")")) {
		i = min(2, len(ts)-1)
	}
	first := ts[i].low
	words, stops := 0, 0
	temperature := false
	for k, t := range ts {
		if t.kind == aWord {
			words++
		}
		if t.is(".") && k > 3 && k+1 < len(ts) {
			stops++
		}
		if t.kind == aNumber {
			if u, _, ok := rangeAtMeasure(ts, k); ok && u.class == ofNoAmount {
				temperature = temperature || u.symbol == "temperature" || u.symbol == "time" || u.symbol == "length"
			}
		}
	}
	next := tokenLow(ts, i+1)
	switch {
	case imperatives[first] && words >= 2:
		if s, name, rest, ok := r.trailing(ts[i:]); ok && s.u != nil && len(rest) == 0 && r.find(name) != nil {
			return l, false
		}
		return l, r.find(ts) == nil
	case ambiguousVerbs[first] && (next == "the" || next == "a" || next == "an" || next == "together" || next == "until" || next == "your" || next == "it" || next == "all" || next == "well" && words > 3):
		return l, true
	case proseStarts[first] && words >= 2 || (proseStarts[first] && hasNumber(ts)):
		return l, r.find(ts) == nil
	case ts[0].kind == aNumber && temperature:
		l.Confidence = 0.9
		return l, true
	case temperature && words >= 2:
		if _, _, _, ok := r.trailing(ts); ok {
			return l, false
		}
		f := r.resolve(ts)
		return l, f.ing == nil || f.sure < 0.8
	case words > 14 || stops > 0 && words > 9:
		l.Confidence = 0.85
		return l, true
	case ts[len(ts)-1].is(".") && words > 6:
		l.Confidence = 0.8
		return l, true
	}
	return l, false
}
