package plan

import (
	"fmt"
	"slices"
	"strings"

	"chablon/assembly"
	"chablon/formula"
	"chablon/mould"
	"chablon/unit"
)

// run is one going through a document's steps: one batch of a formula, or the assembling of one
// order line (or of an insert for it).
type run struct {
	id      string // document ID: what "formula/step" names
	name    string
	steps   []formula.Step
	lags    []formula.Lag
	batch   int // from 1; 0 for an assembling
	of      int // how many batches
	piece   int // index in Day.Pieces; −1 for a batch
	mass    unit.Mass
	pieces  int
	sheets  int // baked sheets in the batch
	section *assembly.Section
	formula *formula.Formula
	serves  map[int]bool // pieces that a batch serves
	parts   []*run       // runs whose outcome this one takes, by takes or as a whole
	inserts map[string]*run
	due     bool
}

// label names the run in explanations.
func (r *run) label() string {
	switch {
	case r.batch == 0:
		return fmt.Sprintf("%s in %s", r.name, r.section.Mould.Name)
	case r.of > 1:
		return fmt.Sprintf("%s, batch %d of %d", r.name, r.batch, r.of)
	}
	return r.name
}

// kind says what document the run goes through.
func (r *run) kind() string {
	if r.section != nil {
		return "assembly"
	}
	return "formula"
}

// runs lists everything that has to be gone through, components before assemblies.
func (d *Day) runs() []*run {
	var out []*run
	byFormula := map[string][]*run{}
	for i := range d.Batches {
		b := &d.Batches[i]
		sheets := 0
		for _, s := range b.Sheets {
			sheets += s.Count
		}
		for k := range b.Count {
			r := &run{
				id: b.Formula.ID, name: nameOf(b.Formula.Name, b.Formula.ID), steps: b.Formula.Steps, lags: b.Formula.Lags,
				batch: k + 1, of: b.Count, piece: -1, mass: b.Each.In, pieces: 1, formula: b.Formula,
				sheets: (sheets*(k+1))/b.Count - (sheets*k)/b.Count, serves: map[int]bool{},
			}
			if len(r.steps) == 0 {
				r.steps = []formula.Step{formula.Step{ID: "make", Verb: "mix", Text: "Make " + r.name + "."}.WithAssumedTime()}
			}
			byFormula[b.Formula.ID] = append(byFormula[b.Formula.ID], r)
			out = append(out, r)
		}
	}
	d.serve(byFormula)
	for _, r := range out { // nested components: every batch of theirs, before this one
		for _, l := range r.formula.Lines {
			if l.Formula != nil {
				r.parts = append(r.parts, byFormula[l.Formula.ID]...)
			}
		}
	}
	for i := range d.Pieces {
		p := &d.Pieces[i]
		top := d.assembling(p.Section, i, p.Pieces, byFormula, &out)
		top.due = true
	}
	return out
}

// assembling adds the run of an order line's assembly, its inserts' first.
func (d *Day) assembling(s *assembly.Section, piece, pieces int, byFormula map[string][]*run, out *[]*run) *run {
	r := &run{
		id: s.Assembly.ID, name: nameOf(s.Assembly.Name, s.Assembly.ID), steps: s.Assembly.Steps, lags: s.Assembly.Lags,
		piece: piece, mass: s.Mass() * unit.Mass(pieces), pieces: pieces, section: s, inserts: map[string]*run{},
	}
	if len(r.steps) == 0 {
		work := formula.Work{Fixed: 600e9, PerPiece: 120e9} // ten minutes and two a piece: common practice, no source
		r.steps = []formula.Step{{ID: "assemble", Verb: "assemble", Text: "Assemble " + r.name + ".", Active: work, People: 1, Assumed: true}}
	}
	for i := range s.Layers {
		l := &s.Layers[i]
		if l.Inside != nil {
			in := d.assembling(l.Inside, piece, pieces, byFormula, out)
			r.inserts[l.ID] = in
			r.parts = append(r.parts, in)
		}
		if l.Of.Formula != nil {
			for _, b := range byFormula[l.Of.Formula.ID] {
				if b.serves[piece] && !slices.Contains(r.parts, b) {
					r.parts = append(r.parts, b)
				}
			}
		}
	}
	*out = append(*out, r)
	return r
}

// serve shares the batches of each component among the order lines in their order: the first
// lines are filled from the first batches.
func (d *Day) serve(byFormula map[string][]*run) {
	for id, runs := range byFormula {
		amounts := make([]unit.Mass, len(d.Pieces))
		var total unit.Mass
		for i := range d.Pieces {
			amounts[i] = d.takes(i, id)
			total += amounts[i]
		}
		if total <= 0 { // only nested in others: each batch serves all
			for _, r := range runs {
				for i := range d.Pieces {
					r.serves[i] = true
				}
			}
			continue
		}
		each := total / unit.Mass(len(runs))
		var from unit.Mass
		for i, m := range amounts {
			if m <= 0 {
				continue
			}
			first := int(float64(from/each) + 1e-9)
			last := int(float64((from+m)/each) - 1e-9)
			for k := first; k <= min(last, len(runs)-1); k++ {
				runs[k].serves[i] = true
			}
			from += m
		}
	}
}

// takes returns how much of a formula's component one order line takes directly.
func (d *Day) takes(piece int, id string) unit.Mass {
	for _, c := range d.Pieces[piece].Components {
		if c.ID == id {
			return c.Needed
		}
	}
	return 0
}

func nameOf(name, id string) string {
	if name == "" {
		return id
	}
	return name
}

// before returns, for each step of the run, the steps of the same run that must be over, and the
// other runs whose last steps must be.
func (r *run) before() (own [][]int, others [][]*run) {
	own, others = make([][]int, len(r.steps)), make([][]*run, len(r.steps))
	taken := map[*run]bool{}
	for i, s := range r.steps {
		for _, t := range s.Takes {
			if k := r.index(t); k >= 0 && k != i {
				own[i] = append(own[i], k)
			}
			for _, p := range r.taken(t) {
				others[i] = append(others[i], p)
				taken[p] = true
			}
		}
		for _, t := range s.After {
			if k := r.index(t); k >= 0 && k != i {
				own[i] = append(own[i], k)
			}
		}
		// A step that says nothing of what it follows, and an assembly's that names no step of the
		// assembly, comes after the one written before it; a formula's that takes lines starts a
		// strand of its own.
		if i > 0 && len(own[i]) == 0 && (r.section != nil || len(s.Takes) == 0 && len(s.After) == 0) {
			own[i] = append(own[i], i-1)
		}
	}
	for _, p := range r.parts { // what no step names goes into the first
		if !taken[p] && len(others) > 0 {
			others[0] = append(others[0], p)
		}
	}
	return own, others
}

// index returns the place of a step in the run, −1 if it is none.
func (r *run) index(id string) int {
	id = strings.TrimPrefix(id, r.id+"/")
	return slices.IndexFunc(r.steps, func(s formula.Step) bool { return s.ID == id })
}

// taken returns the runs whose outcome a step means by a word: a layer, or a line or group with a
// nested formula.
func (r *run) taken(word string) []*run {
	var out []*run
	if r.section != nil {
		if in := r.inserts[word]; in != nil {
			return []*run{in}
		}
		if l, ok := r.section.Layer(word); ok && l.Of.Formula != nil {
			for _, p := range r.parts {
				if p.formula == l.Of.Formula {
					out = append(out, p)
				}
			}
		}
		return out
	}
	for _, l := range r.formula.Lines {
		if l.Formula == nil || (l.ID != word && l.Group != word && l.Formula.ID != word) {
			continue
		}
		for _, p := range r.parts {
			if p.formula == l.Formula {
				out = append(out, p)
			}
		}
	}
	return out
}

// sinks returns the steps of the run that no other step of it waits for.
func sinks(own [][]int) []int {
	waited := map[int]bool{}
	for _, list := range own {
		for _, k := range list {
			waited[k] = true
		}
	}
	var out []int
	for i := range own {
		if !waited[i] {
			out = append(out, i)
		}
	}
	return out
}

// insertShape returns the mould and the height in which a formula's component is frozen as an
// insert, from the first layer that takes it so.
func (d *Day) insertShape(f *formula.Formula) (*mould.Mould, unit.Length, bool) {
	var find func(s *assembly.Section) (*mould.Mould, unit.Length, bool)
	find = func(s *assembly.Section) (*mould.Mould, unit.Length, bool) {
		for i := range s.Layers {
			l := &s.Layers[i]
			if l.Of.Formula == f && l.MadeIn != nil && l.Kind == assembly.Insert {
				return l.MadeIn, l.Z1 - l.Z0, true
			}
			if l.Inside != nil {
				if m, h, ok := find(l.Inside); ok {
					return m, h, ok
				}
			}
		}
		return nil, 0, false
	}
	for i := range d.Pieces {
		if m, h, ok := find(d.Pieces[i].Section); ok {
			return m, h, ok
		}
	}
	return nil, 0, false
}
