package web

import (
	"fmt"
	"math"
	"strings"

	"chablon/document"
	"chablon/formula"
	"chablon/ingredient"
	"chablon/notebook"
	"chablon/unit"
)

// candidate is one thing that a written name may mean.
type candidate struct {
	ID, Name string
	Formula  bool
}

// larder looks lines up among the ingredients and the formulas that are complete.
func (st *state) larder(eggSize string) formula.Larder {
	if eggSize == "" {
		eggSize = st.book.Kitchen.EggSize
	}
	return formula.Larder{Table: st.book.Table, Formulas: st.book.Formulas, EggSize: eggSize}
}

// called returns the name of an ingredient or a formula, "" if there is none of that ID.
func (st *state) called(id string) string {
	if f, ok := document.Find[*document.Formula](st.set, id); ok {
		return nameOf(f)
	}
	if i, ok := st.book.Table.Get(id); ok {
		return i.Name
	}
	return ""
}

// meant returns what a searched name means exactly.
func (st *state) meant(name string) (id string, ok bool) {
	name = strings.TrimSpace(name)
	for _, f := range document.Every[*document.Formula](st.set) {
		if strings.EqualFold(nameOf(f), name) || f.ID == name {
			return f.ID, true
		}
	}
	if i, ok := st.book.Table.Named(name); ok {
		return i.ID, true
	}
	return "", false
}

// searched lists what a cook may be about to write, formulas of the kitchen first.
func (st *state) searched(typed string) []candidate {
	var out []candidate
	low := strings.ToLower(strings.TrimSpace(typed))
	if low == "" {
		return nil
	}
	for _, f := range document.Every[*document.Formula](st.set) {
		if len(out) < 4 && strings.Contains(strings.ToLower(nameOf(f)), low) {
			out = append(out, candidate{f.ID, nameOf(f), true})
		}
	}
	for _, m := range st.book.Table.Search(typed, 8) {
		out = append(out, candidate{ID: m.Ingredient.ID, Name: m.Ingredient.Name})
	}
	return out
}

// choices lists what a line may take: what it takes now, what was searched for, what the trade
// calls by that name, what its writer gave as another, and what is called alike.
func (st *state) choices(now, find, name string, others []string) []candidate {
	var out []candidate
	seen := map[string]bool{"": true}
	add := func(c candidate) {
		if !seen[c.ID] && len(out) < 16 {
			seen[c.ID] = true
			out = append(out, c)
		}
	}
	if called := st.called(now); called != "" {
		_, isFormula := document.Find[*document.Formula](st.set, now)
		add(candidate{now, called, isFormula})
	}
	for _, c := range st.searched(find) {
		add(c)
	}
	like := func(list []*ingredient.Ingredient) {
		for _, i := range list {
			add(candidate{ID: i.ID, Name: i.Name})
		}
	}
	if a, ok := st.book.Table.Ambiguous(name); ok {
		like(a.Of)
	}
	for _, other := range others {
		if i, ok := st.book.Table.Named(other); ok {
			like([]*ingredient.Ingredient{i})
		}
	}
	for _, m := range st.book.Table.Match(name) {
		add(candidate{ID: m.Ingredient.ID, Name: m.Ingredient.Name})
	}
	return out
}

// weigh reads a line's text as the documents do, and returns it with its mass.
func (st *state) weigh(text, of, eggSize string) (formula.Line, error) {
	reading, err := formula.ReadLine(text)
	if err != nil {
		return formula.Line{Text: text, Name: reading.Name}, err
	}
	return st.larder(eggSize).Link(reading, of)
}

// inWords writes a line's problem for the place where the line stands: the text of the line is
// there already, and IDs are for documents.
func inWords(err error) string {
	text := err.Error()
	if strings.HasPrefix(text, "the line ") {
		if _, rest, ok := strings.Cut(text, `" `); ok {
			text = "it " + rest
		}
	} else if strings.HasPrefix(text, `"`) {
		if _, rest, ok := strings.Cut(text, `": `); ok {
			text = rest
		}
	}
	for {
		before, rest, ok := strings.Cut(text, " (of: ")
		_, after, closed := strings.Cut(rest, ")")
		if !ok || !closed {
			break
		}
		text = before + after
	}
	text = strings.ReplaceAll(text, "say which with of", "choose which is meant")
	return sentenceCase(text) + "."
}

// plainGrams writes a mass so that it can be typed again: no space between thousands.
func plainGrams(m unit.Mass) string {
	g, decimals := m.Grams(), 0
	switch {
	case g == 0:
	case g < 1:
		decimals = 2
	case g < 100:
		decimals = 1
	}
	return strings.ReplaceAll(unit.Number(g, decimals), "\u00a0", "") + " g"
}

// within is how far the mass that a document's line is read to may lie from what the notebook
// read, for the line to be kept in its own words.
const within = 0.05

// standing returns how a line that was read stands in a document, and what it takes where its
// words alone do not say. The cook's own words are kept where they are read to the same mass;
// else the amount in its unit, else grams. A line that cannot be weighed keeps its words.
func (st *state) standing(l notebook.Line, alone bool, eggSize string) (text, of string) {
	of = l.Component
	if l.Ingredient != nil {
		of = l.Ingredient.ID
	}
	name := l.Name
	if name == "" {
		name = st.called(of)
	}
	tail := ""
	if l.Preparation != "" {
		tail += ", " + l.Preparation
	}
	if l.Optional {
		tail += ", optional"
	}
	if l.ToTaste {
		tail += ", to taste"
	}
	var ways []string
	if alone {
		ways = append(ways, strings.Join(strings.Fields(l.Text), " "))
	}
	if l.HasAmount {
		amount := plainNumber(l.Amount.Low)
		if l.Amount.High > l.Amount.Low {
			amount += "–" + plainNumber(l.Amount.High)
		}
		ways = append(ways, strings.Join(strings.Fields(amount+" "+l.Unit+" "+name), " ")+tail)
	}
	if l.HasGrams {
		ways = append(ways, plainGrams(unit.Mass(l.Grams.Mid())*unit.Gram)+" "+name+tail)
	}
	if l.ToTaste && !l.HasAmount {
		ways = append(ways, name+tail)
	}
	for _, way := range ways {
		line, err := st.weigh(way, of, eggSize)
		if err != nil || l.HasGrams && !near(line.Mass.Grams(), l.Grams) {
			continue
		}
		return way, of
	}
	if alone || len(ways) == 0 {
		return strings.Join(strings.Fields(l.Text), " "), of
	}
	return ways[0], of
}

func near(grams float64, read unit.Range) bool {
	return grams >= read.Low*(1-within)-1e-9 && grams <= read.High*(1+within)+1e-9
}

func plainNumber(x float64) string {
	return strings.TrimSuffix(strings.TrimRight(fmt.Sprintf("%.3f", math.Round(x*1000)/1000), "0"), ".")
}

// byName reports whether the words of a line alone say what it takes.
func (st *state) byName(text, of, eggSize string) bool {
	l, err := st.weigh(text, "", eggSize)
	id, _ := l.Of()
	return err == nil && id == of
}
