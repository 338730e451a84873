package ingredient

import (
	"regexp"
	"slices"
	"strings"
)

// states lists words that say how an ingredient is to be, not which one it is. They are left out
// where the name with them is unknown: "large eggs, cold" is "eggs".
var states = setOf(`large medium small extra jumbo xl us eu ripe fresh cold chilled warm hot cool cooled soft softened melted
	chopped sliced diced cubed grated sifted beaten crushed peeled pitted finely coarsely roughly lightly very good quality room
	temperature packed firmly optional plus more for divided
	gros grosse petit petite frais froid froide tiede fondu fondue mou ramolli rape rapee tamise tamisee hache hachee bien mur`)

func setOf(list string) map[string]bool {
	set := map[string]bool{}
	for _, w := range strings.Fields(list) {
		set[singular(w)] = true
	}
	return set
}

// claim says which ingredient a name means, and how strongly: a name or alias is stronger than
// an ID or a description, and an own entry is stronger than one of the table.
type claim struct {
	by       *Ingredient
	strength int
}

// ownStrength is what a name gains by coming through Table.With.
const ownStrength = 2

// claims finds out what each name means, by key. Of two equal claims the first stays.
func claims(all []*Ingredient, own map[string]bool) map[string]claim {
	exact := make(map[string]claim, 8*len(all))
	add := func(i *Ingredient, name string, strength int) {
		k := key(name)
		if before, taken := exact[k]; k != "" && (!taken || strength > before.strength) {
			exact[k] = claim{i, strength}
		}
	}
	for _, i := range all {
		strength := 0
		if own[i.ID] {
			strength = ownStrength
		}
		add(i, i.ID, strength)
		add(i, i.Description, strength)
		add(i, i.Name, strength+1)
		for _, name := range i.Aliases {
			add(i, name, strength+1)
		}
	}
	return exact
}

// Named returns the one ingredient that a name means exactly, in the sense of Match, without
// looking for proposals.
func (t *Table) Named(name string) (*Ingredient, bool) {
	if t.exact == nil {
		return nil, false
	}
	name = name[:min(len(name), longestName)]
	if i, ok := t.byID[strings.ToLower(strings.TrimSpace(name))]; ok {
		return i, true
	}
	i := find(t.exact(), name)
	return i, i != nil
}

// find returns the ingredient that has the name, or nil. It tries the closest reading first.
func find(exact map[string]claim, name string) *Ingredient {
	if c, ok := exact[key(name)]; ok {
		return c.by
	}
	before, after := parts(name)
	main, rest := words(before), words(after)
	readings := [][]string{slices.Concat(main, rest), slices.Concat(rest, main), withoutStates(slices.Concat(rest, main)), withoutStates(slices.Concat(main, rest))}
	for _, w := range rest {
		if !states[w] {
			readings = append(readings, append([]string{w}, main...), append(slices.Clone(main), w))
		}
	}
	if !grade.MatchString(after) {
		readings = append(readings, main, withoutStates(main))
	}
	for _, r := range readings {
		if c, ok := exact[strings.Join(r, " ")]; ok {
			return c.by
		}
	}
	return nil
}

func withoutStates(ws []string) []string {
	return slices.DeleteFunc(slices.Clone(ws), func(w string) bool { return states[w] })
}

// grade finds what makes another product of the same name: "48 %", "T45", "DE 60".
var grade = regexp.MustCompile(`(?i)[0-9]\s*%|\b(t|type|de)\s?[0-9]`)

// parts splits a name into what it says first and what it adds after a comma or in round
// brackets; an open bracket runs to the end.
func parts(name string) (first, added string) {
	first, added, _ = strings.Cut(name, ",")
	if open := strings.IndexByte(name, '('); open >= 0 && open < len(first) {
		inside, after, _ := strings.Cut(name[open+1:], ")")
		then, more, _ := strings.Cut(after, ",")
		first, added = name[:open]+" "+then, inside+" "+more
	}
	return first, added
}
