package notebook

import "strings"

// nameAndPreparation parts the tokens after the amount into the name, what is done with it, and
// alternatives.
func (r *reader) nameAndPreparation(l *Line, ts []token, remarks []string, s stated) {
	end := len(ts)
	bracket := 0
	for k, t := range ts {
		if t.is("(") {
			bracket++
		} else if t.is(")") {
			bracket--
		}
		if bracket == 0 && (t.is(",") || t.is(";") || (t.is("-") && t.space && k > 0 && k+1 < len(ts) && ts[k+1].space) || t.is(":")) && k > 0 {
			end = k
			break
		}
	}
	name := ts[:end]
	var after []token
	if end < len(ts) {
		after = ts[end+1:]
	}
	// A comma between doings before the name: "1 cup peeled, diced apples".
	if len(after) > 0 && allPreparation(name) {
		name, after = ts, nil
		for k := len(ts) - 1; k > end; k-- {
			if ts[k].is(",") {
				head := ts[end+1 : k]
				if r.find(head) != nil {
					name, after = ts[:k], ts[k+1:]
				}
			}
		}
	}
	// What follows the comma may name it more closely: "sugar, granulated".
	if len(after) > 0 {
		segment := len(after)
		for k, t := range after {
			if t.is(",") || t.is(";") {
				segment = k
				break
			}
		}
		base := r.find(name)
		if closer := r.find(ts[:end+1+segment]); segment > 0 && segment <= 5 && closer != nil && closer != base && !allPreparation(after[:segment]) && !hasPart(after[:segment]) {
			l.Ingredient = closer
			l.Name = trimMarks(written(ts[:end+1+segment]))
			after = after[segment:]
			name = nil
		}
	}
	f := found{ing: l.Ingredient, name: l.Name, sure: 1}
	if name != nil {
		name = r.alternatives(l, name)
		f = r.resolve(name)
	}
	after = r.alternativesAfter(l, after)
	l.Ingredient, l.Name, l.before = f.ing, f.name, f.before
	var preps []string
	for _, p := range append([]string{f.before, f.after, trimMarks(written(after))}, remarks...) {
		if p = trimMarks(p); p != "" {
			preps = append(preps, p)
		}
	}
	l.Preparation = strings.Join(preps, ", ")
	afterText := f.after != "" || len(after) > 0 || len(remarks) > 0
	doing := ""
	for w := range strings.FieldsSeq(plain(f.before)) {
		if w = strings.Trim(w, ","); changesVolume(w) {
			doing = w
		}
	}
	l.volumeWord = doing
	l.BeforePreparation = afterText && doing == ""
	l.Confidence = min(l.Confidence, 1)
	switch {
	case l.Name == "" && l.Ingredient == nil:
		l.atMost(0.4)
		l.ask("an amount of what?")
	case f.ing == nil:
		r.componentName(l, s)
		if l.Kind != Component {
			l.atMost(f.sure)
			l.ask(f.asked)
		}
	default:
		l.atMost(f.sure)
		if f.sure < 1 {
			l.ask(f.asked)
		}
		if l.Component != "" || isComponent(l.Name, r.o.Components) {
			r.componentName(l, s)
		}
	}
	if l.Component == "?" {
		l.Component = ""
		if l.Kind != Component {
			r.reference(l)
		}
	}
	if q, open := openNames[plain(l.Name)]; open && l.Ingredient != nil {
		l.assume(l.Name + " taken as " + l.Ingredient.Name)
		if q != "" {
			l.ask(q)
			l.atMost(0.92)
		}
	}
	if len(l.Alternatives) > 0 {
		l.atMost(0.95)
	}
	if s.noNumber && hasNumber(ts) && l.Kind == Ingredient {
		l.ask("is there an amount in it?")
		l.atMost(0.7)
	}
}

func hasPart(ts []token) bool {
	for _, t := range ts {
		if _, ok := partWords[t.low]; ok {
			return true
		}
	}
	return false
}

func allPreparation(ts []token) bool {
	words := 0
	for _, t := range ts {
		if t.kind == aNumber || t.kind == aWord && !isPreparation(t.low) {
			return false
		}
		if t.kind == aWord {
			words++
		}
	}
	return words > 0
}

// alternatives takes "or …" out of the name.
func (r *reader) alternatives(l *Line, ts []token) []token {
	at := -1
	for k, t := range ts {
		if (t.low == "or" || t.low == "ou" || t.is("/") && k > 0 && ts[k-1].kind == aWord) && k > 0 && k+1 < len(ts) {
			at = k
			break
		}
	}
	if at < 0 || ts[at].is("/") && r.find(ts) != nil {
		return ts
	}
	left, right := ts[:at], ts[at+1:]
	if r.find(ts) != nil && r.find(left) == nil {
		return ts
	}
	if s, n, ok := amountAt(right, 0); ok && !s.noNumber && n < len(right) {
		l.Alternatives = append(l.Alternatives, written(right))
		return left
	}
	if allPreparation(left) { // "fresh or frozen raspberries"
		f := r.resolve(right)
		if f.ing != nil {
			rest := r.alternatives(l, right)
			return append(append([]token{}, left...), append([]token{ts[at]}, rest...)...)
		}
		return ts
	}
	rest := right
	var more []token
	for k, t := range right {
		if (t.low == "or" || t.low == "ou") && k > 0 && k+1 < len(right) {
			rest, more = right[:k], right[k+1:]
			break
		}
	}
	// "dark or milk chocolate": the head stands only once.
	if len(rest) >= 2 && left[len(left)-1].low != "butter" {
		for n := 1; n < len(rest) && n <= 2; n++ {
			whole := append(append([]token{}, left...), rest[len(rest)-n:]...)
			whole[len(left)].space = true
			combined := r.find(whole)
			if combined == nil {
				continue
			}
			own := r.find(left)
			alone := r.resolve(rest)
			if own == nil || alone.ing != nil && alone.ing.Group == combined.Group && own != combined && own.Group != combined.Group {
				l.addAlternative(rest, more)
				return whole
			}
			break
		}
	}
	if allPreparation(rest) {
		return ts
	}
	l.addAlternative(rest, more)
	return left
}

func (l *Line) addAlternative(lists ...[]token) {
	for _, ts := range lists {
		if t := trimMarks(written(ts)); t != "" {
			l.Alternatives = append(l.Alternatives, t)
		}
	}
}

// alternativesAfter takes an alternative of the ingredient out of what follows the comma: "butter,
// softened, or margarine".
func (r *reader) alternativesAfter(l *Line, ts []token) []token {
	for k, t := range ts {
		if t.low != "or" && t.low != "ou" || k+1 >= len(ts) {
			continue
		}
		right := ts[k+1:]
		s, n, ok := amountAt(right, 0)
		f := r.resolve(right)
		if k == 0 && f.ing != nil && f.sure >= 0.8 || ok && !s.noNumber && s.u != nil && n < len(right) ||
			k > 0 && ts[k-1].is(",") && f.ing != nil && f.sure >= 0.8 && !allPreparation(right) {
			l.Alternatives = append(l.Alternatives, trimMarks(written(right)))
			return ts[:k]
		}
	}
	return ts
}

// isComponent reports whether a name is one of the kitchen's formulas.
func isComponent(name string, components map[string]string) bool {
	_, ok := componentID(name, components)
	return ok
}

func componentID(name string, components map[string]string) (string, bool) {
	if len(components) == 0 || name == "" {
		return "", false
	}
	if id, ok := components[name]; ok {
		return id, true
	}
	want := plain(name)
	for n, id := range components {
		if plain(n) == want {
			return id, true
		}
	}
	return "", false
}

// componentName makes the line a reference to a formula where its name is one.
func (r *reader) componentName(l *Line, s stated) {
	if id, ok := componentID(l.Name, r.o.Components); ok {
		l.Kind, l.Component, l.Ingredient = Component, id, nil
		return
	}
	words := strings.Fields(plain(l.Name))
	if len(words) == 0 || len(words) > 4 || l.Ingredient != nil {
		return
	}
	for _, w := range words {
		if tradeComponents[strings.Trim(w, ".,")] && (s.u != nil || !s.noNumber || l.Component == "?") {
			l.Kind, l.Component = Component, l.Name
			l.ask("which formula is " + l.Name + "?")
			l.atMost(0.85)
			return
		}
	}
}

// reference makes a line with "see page 12" a component.
func (r *reader) reference(l *Line) {
	if l.Ingredient != nil && !isComponentWord(l.Name) && l.HasAmount {
		return
	}
	l.Kind, l.Component = Component, l.Name
	if id, ok := componentID(l.Name, r.o.Components); ok {
		l.Component = id
	} else {
		l.ask("which formula is " + l.Name + "?")
	}
	if !isComponentWord(l.Name) && l.Ingredient != nil {
		l.Confidence = min(l.Confidence, 0.85)
	}
	l.Ingredient = nil
	if l.Confidence > 0.5 && l.Confidence < 0.85 {
		l.Confidence = 0.85
	}
}

func isComponentWord(name string) bool {
	for w := range strings.FieldsSeq(plain(name)) {
		if headingWords[w] || tradeComponents[w] {
			return true
		}
	}
	return false
}

// component reads "1 recipe joconde".
func (r *reader) component(l Line, s stated, rest []token) Line {
	l.Kind, l.Amount, l.HasAmount, l.Unit, l.Confidence = Component, s.Range, s.known(), s.symbol(), 0.95
	flat, remarks, _ := r.brackets(&l, &s, rest)
	flat = r.flags(&l, flat)
	end := len(flat)
	for k, t := range flat {
		if t.is(",") || t.is(";") || k > 0 && (t.low == "see" || t.low == "page" || t.low == "from") {
			end = k
			break
		}
	}
	l.Name = trimMarks(written(skipOf(flat[:end])))
	l.Preparation = trimMarks(strings.Join(append([]string{trimMarks(written(flat[end:]))}, remarks...), ", "))
	l.Component = l.Name
	if id, ok := componentID(l.Name, r.o.Components); ok {
		l.Component = id
	} else {
		l.ask("which formula is " + l.Name + ", and how large is one recipe of it?")
		l.atMost(0.85)
	}
	if l.Name == "" {
		l.atMost(0.4)
		l.ask("a recipe of what?")
	}
	for _, f := range s.faults {
		l.ask(f)
		l.atMost(0.7)
	}
	l.Confidence -= s.doubt
	return l
}

// byMeasure lets the measure decide between products of one name: gelatin in leaves, fruit in cans.
func (r *reader) byMeasure(l *Line, s stated) {
	if l.Ingredient == nil || s.u == nil {
		return
	}
	switch {
	case (s.symbol() == "leaf" || s.symbol() == "sheet") && strings.HasPrefix(l.Ingredient.ID, "gelatin"):
		if leaf := r.memo.find("leaf gelatin"); leaf != nil {
			l.Ingredient = leaf
		}
	case s.symbol() == "pod" && strings.HasPrefix(l.Ingredient.ID, "vanilla"):
		if pod := r.memo.find("vanilla pod"); pod != nil {
			l.Ingredient = pod
		}
	case s.symbol() == "can":
		if canned := r.memo.find("canned " + l.Name); canned != nil {
			l.Ingredient = canned
		}
	}
}

// gelatinByMass takes the mass of "2 leaves gelatin or 4 g powder": a leaf has no mass of its own.
func gelatinByMass(l *Line, s stated) stated {
	if l.Ingredient == nil || len(l.Alternatives) == 0 || !strings.HasPrefix(l.Ingredient.ID, "gelatin") || s.mass() {
		return s
	}
	ts := tokens(l.Alternatives[0])
	other, n, ok := amountAt(ts, 0)
	if !ok || !other.mass() || n >= len(ts) {
		return s
	}
	l.Alternatives[0] = amountText(s) + " " + l.Name
	l.assume("the mass of the alternative (" + written(ts) + ")")
	l.ask("powder or leaves?")
	return other
}
