package notebook

import (
	"math"
	"strings"
	"unicode"

	"chablon/ingredient"
	"chablon/unit"
)

// Options say in whose kitchen the text was written. The zero Options is an American kitchen
// with the product's own table.
type Options struct {
	Table      *ingredient.Table // nil for ingredient.Builtin
	Components map[string]string // name of a component in the kitchen's formulas → formula id
	EggSize    string            // as ingredient.EggPortion has it; "us-large", abroad "eu-m", where empty
	Cup        unit.Volume       // a cup of this text; by Country where zero
	Country    string            // "us", "uk", "au", "fr" or "metric": whose cups, spoons and pints; US where empty
}

// Kind is what a line was taken for.
type Kind uint8

// Kinds of lines.
const (
	Blank      Kind = iota // nothing, or a rule of dashes
	Ingredient             // an ingredient, with or without an amount
	Heading                // opens a group: "For the glaze:"
	Component              // another formula: "1 recipe joconde"
	Prose                  // an instruction, a remark, a tin, an oven
)

// String returns the word for the kind.
func (k Kind) String() string {
	return [...]string{"blank", "ingredient", "heading", "component", "prose"}[k]
}

// Line is one thing that a written line says.
type Line struct {
	Text  string // as written, the whole line even where it says two things
	Kind  Kind
	Group string // the heading above it, in a Page

	Amount    unit.Range // in Unit; both ends equal unless a range is written
	HasAmount bool       // false: no number, which is neither zero nor one
	Unit      string     // "g", "oz", "cup", "tbsp", "leaf" …; empty for a count
	Also      string     // a second statement of the same amount: "8 oz"
	Grams     unit.Range // mass of Amount, where HasGrams
	HasGrams  bool

	Ingredient  *ingredient.Ingredient // nil where none was recognised
	Component   string                 // id of the formula, or its name where the options do not have it
	Name        string                 // the ingredient as written, without amount and preparation
	Preparation string                 // what is done with it, as written
	// BeforePreparation says that the amount holds before the preparation ("1 cup walnuts,
	// chopped"). Where it is false and Preparation is not empty, the amount holds after it ("1 cup
	// chopped walnuts").
	BeforePreparation bool
	Alternatives      []string // "margarine" in "butter or margarine"; never added to the amount

	Optional, ToTaste, Divided, Extra bool // Extra: "plus extra for the tin"

	Confidence  float64  // 0 to 1; below 0.8 a person should look at it
	Assumptions []string // what was supposed
	Questions   []string // what a person must answer

	before     string // doings written before the name
	volumeWord string // the doing that the measure holds after: "sifted"
}

func (l *Line) assume(s string) {
	if s != "" {
		l.Assumptions = addOnce(l.Assumptions, s)
	}
}

func (l *Line) ask(s string) {
	if s != "" {
		l.Questions = addOnce(l.Questions, s)
	}
}

func addOnce(list []string, s string) []string {
	for _, have := range list {
		if have == s {
			return list
		}
	}
	return append(list, s)
}

// atMost lowers the confidence to c.
func (l *Line) atMost(c float64) { l.Confidence = math.Min(l.Confidence, c) }

// longestLine is the longest line that is taken apart, in bytes; a longer one is prose.
const longestLine = 1500

// mostLines bounds what one written line may say.
const mostLines = 24

type reader struct {
	o    Options
	memo *memo
}

func newReader(o Options) *reader {
	if o.Table == nil {
		o.Table = ingredient.Builtin()
	}
	return &reader{o: o, memo: memoOf(o.Table)}
}

// ReadLine reads one written line. It returns one Line, or several where the line says several
// things: "2 eggs plus 1 yolk". It never fails: what it does not understand comes back with a
// low confidence and a question.
func ReadLine(text string, o Options) []Line { return newReader(o).read(text) }

func (r *reader) read(text string) []Line {
	out := r.line(text, 0)
	for n := range out {
		out[n].Text = text
		out[n].Confidence = math.Max(0, math.Min(1, math.Round(out[n].Confidence*100)/100))
	}
	return out
}

// line reads a line or a part of one.
func (r *reader) line(text string, depth int) []Line {
	l := Line{Text: text, Confidence: 1}
	clean := withoutBullet(strings.TrimSpace(text))
	switch {
	case clean == "" || !strings.ContainsFunc(clean, func(c rune) bool { return unicode.IsLetter(c) || unicode.IsNumber(c) }):
		return []Line{l}
	case len(clean) > longestLine:
		l.Kind, l.Confidence = Prose, 0.3
		l.ask("the line is too long to take apart: write one ingredient a line")
		return []Line{l}
	}
	ts := tokens(clean)
	if len(ts) == 0 {
		return []Line{l}
	}
	if depth == 0 {
		if out, ok := r.heading(l, clean, ts); ok {
			return out
		}
	}
	if depth == 0 && strings.Contains(clean, ";") {
		if out, ok := r.semicolons(clean); ok {
			return out
		}
	}
	if out, ok := r.form(l, ts, depth); ok {
		return out
	}
	if s, n, ok := amountAt(ts, 0); ok && n > 0 {
		if s.u != nil || s.noNumber || n < len(ts) {
			return r.body(l, s, ts[min(n, len(ts)):], depth)
		}
		l.Kind, l.Confidence = Prose, 0.5
		l.ask("what is this number of?")
		return []Line{l}
	}
	if l, ok := r.prose(l, ts); ok {
		return []Line{l}
	}
	if s, name, rest, ok := r.trailing(ts); ok {
		if len(rest) > 0 && !rest[0].is(",") && !rest[0].is("(") && !rest[0].is("/") {
			rest = append([]token{{text: ",", low: ",", kind: aMark}}, rest...)
		}
		return r.body(l, s, append(append([]token{}, name...), rest...), depth)
	}
	ts = withoutVague(ts)
	return r.body(l, stated{noNumber: true, heap: 1}, ts, depth)
}

// withoutVague drops words for no particular amount: "a little", "some", "plenty of".
func withoutVague(ts []token) []token {
	i := 0
	for i < len(ts)-1 && (vagueWords[ts[i].low] || articles[ts[i].low] || ts[i].is(".") || i > 0 && leadingFiller[ts[i].low]) {
		i++
	}
	return ts[i:]
}

var vagueWords = setOf("little some few bit lot lots plenty several touch extra more additional peu quelques about enough any sufficient hint")

// withoutBullet drops list marks and the stars of a bold line.
func withoutBullet(s string) string {
	for {
		t := strings.TrimLeft(s, " \t*•·●○◦▪▫■□☐☑✓✔►▶‣⁃>_\u00a0")
		t = strings.TrimPrefix(t, "[ ]")
		if rest, ok := strings.CutPrefix(t, "-"); ok && (strings.HasPrefix(rest, " ") || rest != "" && unicode.IsLetter(rune(rest[0]))) {
			t = strings.TrimLeft(rest, " ")
		}
		if rest, ok := strings.CutPrefix(t, "–"); ok {
			t = strings.TrimLeft(rest, " ")
		}
		if t == s {
			return strings.TrimRight(s, " \t*_")
		}
		s = t
	}
}

// trailing finds an amount that follows the name: "Flour ..... 250 g", "Eggs: 3".
func (r *reader) trailing(ts []token) (s stated, name, rest []token, ok bool) {
	depth, bracketAt := 0, 0
	for pass := range 3 { // measured at depth 0, measured in a bracket, a bare count
		depth = 0
		for i := 0; i < len(ts); i++ {
			switch {
			case ts[i].is("("):
				depth++
				bracketAt = i
				continue
			case ts[i].is(")"):
				depth--
				continue
			}
			if i == 0 || (depth > 0) != (pass == 1) {
				continue
			}
			if !startsNumber(ts, i) && !(articles[ts[i].low] && (ts[i-1].kind == aMark)) || notBeforeAmount[ts[i-1].low] || pass == 2 && notBeforeCount[ts[i-1].low] {
				continue
			}
			got, n, found := amountAt(ts, i)
			if !found || got.noNumber || n <= i {
				continue
			}
			if got.u == nil {
				if pass != 2 || !(n >= len(ts) || ts[n].is(",") || ts[n].is("(") || sizeWords[ts[n].low] && n+1 >= len(ts)) || !isNameBefore(ts[:i]) {
					continue
				}
			} else if pass == 2 {
				continue
			}
			name, rest = ts[:i], ts[n:]
			if pass == 1 {
				for n < len(ts) && !ts[n].is(")") {
					n++
				}
				name, rest = ts[:bracketAt], ts[min(n+1, len(ts)):]
			}
			for len(name) > 0 && name[len(name)-1].kind == aMark && !name[len(name)-1].is(")") && !name[len(name)-1].is("%") {
				name = name[:len(name)-1]
			}
			if len(name) > 0 && (name[len(name)-1].low == "about" || name[len(name)-1].low == "approx") {
				name = name[:len(name)-1]
			}
			return got, name, rest, len(name) > 0
		}
	}
	return s, nil, nil, false
}

func isNameBefore(ts []token) bool {
	last := ts[len(ts)-1]
	return last.is(":") || last.is(")") || last.is(",") || last.is("-") || last.is(".") || last.kind == aWord && len(ts) <= 4 && last.low != "no" && last.low != "type" && last.low != "de" && last.low != "bloom"
}

var notBeforeCount = setOf("type no t bloom")

var notBeforeAmount = setOf("in with into for from makes yields serves to at x × of de every within after page pages p")

// body reads what follows the amount and puts the line together.
func (r *reader) body(l Line, s stated, rest []token, depth int) []Line {
	l.Kind = Ingredient
	var others []stated
	rest, others = r.otherStatements(&s, rest)
	if s.mass() || s.volume() {
		if n := skipContainer(rest, 0); n < len(rest) {
			rest = rest[n:]
		}
	}
	rest = skipOf(rest)
	if s.u != nil && s.u.class == ofBatches {
		return []Line{r.component(l, s, rest)}
	}
	if isEquipment(rest) {
		l.Kind, l.Confidence = Prose, 0.85
		l.Preparation = ""
		return []Line{l}
	}
	rest, added := r.split(&l, &s, rest, depth)
	flat, remarks, more := r.brackets(&l, &s, rest)
	others = append(others, more...)
	flat = r.flags(&l, flat)
	if s.each {
		if out, ok := r.eachOf(l, s, flat); ok {
			return append(out, added...)
		}
	}
	if out, ok := r.pair(l, s, flat); ok {
		return append(out, added...)
	}
	r.nameAndPreparation(&l, flat, remarks, s)
	r.byMeasure(&l, s)
	s = gelatinByMass(&l, s)
	primary, also := choose(s, others, &l)
	s = primary
	r.finish(&l, s, also)
	out := r.partsAfter(l)
	for n := range added {
		if added[n].Extra && added[n].Ingredient == nil && added[n].Name == "" {
			added[n].Name, added[n].Ingredient = l.Name, l.Ingredient
			if added[n].HasAmount {
				r.weigh(&added[n], stated{Range: added[n].Amount, u: measureWords[added[n].Unit], heap: 1})
			}
		}
	}
	return append(out, added...)
}

func skipOf(ts []token) []token {
	for len(ts) > 0 && (ts[0].low == "of" || ts[0].low == "de" || ts[0].low == "d'" || ts[0].low == "du" || ts[0].low == "des" || ts[0].is(".") || ts[0].is(":") || ts[0].is("-") && ts[0].space) {
		ts = ts[1:]
	}
	return ts
}

// otherStatements reads further statements of the amount that follow the first directly: "8 oz /
// 225 g", "8 oz (225 g)", "2 tbsp or 30 g".
func (r *reader) otherStatements(s *stated, ts []token) ([]token, []stated) {
	var all []stated
	for len(ts) > 1 {
		i := -1
		if (ts[0].low == "plus" || ts[0].is("+")) && len(all) > 0 && s.u != nil { // "1 cup (240 ml) plus 2 tablespoons"
			n := s.more(ts, 0)
			if n == 0 {
				return ts, all
			}
			ts, all = ts[n:], nil
			continue
		}
		switch {
		case ts[0].is("/") || ts[0].is("=") || ts[0].is("≈") || ts[0].is("|"):
			i = 1
		case s.container() && (ts[0].low == "of" || ts[0].low == "de" || ts[0].is(",")):
			i = 1
		case (ts[0].low == "or" || ts[0].low == "ou" || ts[0].is(",") || ts[0].is("-")) && s.u != nil:
			i = 1
		case ts[0].is("("):
			end := closing(ts, 0)
			inner, ok := bareAmounts(ts[1:end])
			if !ok {
				if note, isCount := countNote(ts[1:end]); isCount && s.u != nil {
					_ = note
					ts = ts[min(end+1, len(ts)):]
					continue
				}
				return ts, all
			}
			all = append(all, inner...)
			ts = ts[min(end+1, len(ts)):]
			continue
		}
		if i < 0 {
			return ts, all
		}
		got, n, ok := amountAt(ts, i)
		if !ok || got.u == nil || got.noNumber || got.u.class > ofContainer || (ts[0].is(",") || ts[0].is("-")) && !(got.mass() && (s.mass() || s.container())) || ts[0].low == "of" && !got.mass() && !got.volume() {
			return ts, all
		}
		all = append(all, got)
		ts = ts[n:]
		if s.container() && len(ts) > 0 && ts[0].is(",") {
			ts = ts[1:]
		}
	}
	return ts, all
}

// countNote reports whether a bracket only counts: "(about 3)", "(2 large)", "(4 eggs)".
func countNote(ts []token) (string, bool) {
	i := 0
	for i < len(ts) && (approxWords[ts[i].low] || ts[i].low == "from" || ts[i].is("~")) {
		i++
	}
	if i >= len(ts) || !startsNumber(ts, i) {
		return "", false
	}
	s, n, ok := amountAt(ts, i)
	if !ok || s.u != nil && s.u.class <= ofVolume || s.noNumber {
		return "", false
	}
	return written(ts), len(ts)-n <= 3
}

// closing returns the index of the bracket that closes the one at i, or the end.
func closing(ts []token, i int) int {
	depth := 0
	for j := i; j < len(ts); j++ {
		switch {
		case ts[j].is("("):
			depth++
		case ts[j].is(")"):
			if depth--; depth == 0 {
				return j
			}
		}
	}
	return len(ts)
}
