package web

import (
	"strings"

	"chablon/assembly"
	"chablon/formula"
)

// uses is what an assembly is made of, all the way down, by ID.
type uses struct {
	assemblies map[string]bool
	formulas   map[string]bool
	moulds     map[string]bool
}

func newUses() uses { return uses{map[string]bool{}, map[string]bool{}, map[string]bool{}} }

func usesOf(s *assembly.Section) uses {
	u := newUses()
	u.section(s)
	return u
}

func (u uses) section(s *assembly.Section) {
	u.assemblies[s.Assembly.ID] = true
	u.moulds[s.Mould.ID] = true
	for i := range s.Layers {
		l := &s.Layers[i]
		if l.Inside != nil {
			u.section(l.Inside)
		}
		if l.MadeIn != nil {
			u.moulds[l.MadeIn.ID] = true
		}
		u.formula(l.Of.Formula)
	}
}

func (u uses) formula(f *formula.Formula) {
	if f == nil || u.formulas[f.ID] {
		return
	}
	u.formulas[f.ID] = true
	for _, l := range f.Lines {
		u.formula(l.Formula)
	}
}

// concerned reports whether a finding's place is of these, or of the plan and the kitchen.
func (u uses) concerned(st *state, where string) bool {
	kind, rest, _ := strings.Cut(where, " ")
	id, _, _ := strings.Cut(rest, ",")
	id, _, _ = strings.Cut(id, " ")
	switch kind {
	case "kitchen":
		_, m, named := strings.Cut(where, ", mould ")
		return !named || u.moulds[m]
	case "assembly":
		return u.assemblies[id]
	case "formula":
		return u.formulas[id]
	}
	id = strings.TrimSuffix(kind, ",") // a step's place starts with the ID alone
	if st.book.Formulas[id] != nil {
		return u.formulas[id]
	}
	if st.book.Assemblies[id] != nil {
		return u.assemblies[id]
	}
	return true
}
