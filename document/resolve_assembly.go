package document

import (
	"fmt"
	"slices"
	"time"

	"chablon/assembly"
	"chablon/doubt"
	"chablon/mould"
	"chablon/plan"
	"chablon/unit"
)

// assembly builds one assembly and those that stand in it; nil if it cannot be.
func (r *resolver) assembly(d *Assembly) *assembly.Assembly {
	if r.state[d] == done {
		return r.book.Assemblies[d.ID]
	}
	r.state[d] = open
	r.chain = append(r.chain, "assembly "+d.ID)
	defer func() {
		r.state[d] = done
		r.chain = r.chain[:len(r.chain)-1]
	}()
	a := &assembly.Assembly{
		ID: d.ID, Name: orID(d.Name, d.ID), Inverted: d.Laid == "inverted", Holds: holds(d.Holds),
		Portions: portions(d.Portions),
	}
	ok := true
	if a.Mould = r.mouldOf(d, "mould", d.Mould); a.Mould == nil {
		ok = false
	}
	for i, m := range d.Moulds {
		if found := r.mouldOf(d, fmt.Sprintf("moulds[%d]", i), m); found != nil {
			a.Moulds = append(a.Moulds, found.ID)
		}
	}
	seen := map[string]bool{}
	for i := range d.Layers {
		path := fmt.Sprintf("layers[%d]", i)
		if seen[d.Layers[i].ID] {
			r.fail(d, path+".id", Error{Found: quote(d.Layers[i].ID), Reason: "stands twice", Remedy: "give each layer an id of its own"})
			ok = false
		}
		seen[d.Layers[i].ID] = true
		layer, good := r.layer(d, path, &d.Layers[i])
		ok = ok && good
		a.Layers = append(a.Layers, layer)
	}
	r.layerWords(d, seen)
	a.Steps = r.steps(d, "steps", d.Steps)
	a.Lags = r.lags(d, "lags", d.ID, d.Lags, a.Steps)
	if !ok {
		return nil
	}
	r.book.Assemblies[d.ID] = a
	return a
}

// portions builds the rule by which a piece is shared.
func portions(p Portions) assembly.Portions {
	out := assembly.Portions{Rule: p.Rule, Count: p.Count}
	switch p.Size.Unit.Dim {
	case unit.OfLength:
		out.Length = p.Size.Length()
	case unit.OfVolume:
		out.Volume = p.Size.Volume()
	case unit.OfMass:
		out.Mass = p.Size.Mass()
	}
	return out
}

// layerWords reports words that should name a layer and do not.
func (r *resolver) layerWords(d *Assembly, layers map[string]bool) {
	for i, l := range d.Layers {
		if l.On != "" && !layers[l.On] {
			r.missing(d, fmt.Sprintf("layers[%d].on", i), Ref(l.On), "layer", ids(layers))
		}
		for j, s := range l.Stages {
			if s.After != "" && !layers[s.After] {
				r.missing(d, fmt.Sprintf("layers[%d].stages[%d].after", i, j), Ref(s.After), "layer", ids(layers))
			}
		}
	}
}

func (r *resolver) mouldOf(d Document, path string, ref Ref) *mould.Mould {
	id := r.id(d, path, ref, "mould")
	m := r.book.Moulds[id]
	if m == nil && r.set.Get("mould", id) == nil {
		r.missing(d, path, ref, "mould", ids(r.book.Moulds))
	}
	return m
}

// of builds what a layer is made of.
func (r *resolver) of(d Document, path string, o Of) (assembly.Component, bool) {
	var c assembly.Component
	given := 0
	for _, set := range []bool{o.Formula != "", o.Assembly != "", o.Ingredient != "", o.StandIn != ""} {
		if set {
			given++
		}
	}
	if given != 1 {
		r.fail(d, path, Error{Reason: fmt.Sprintf("names %d things", given), Remedy: "name one of formula, assembly, ingredient and stand_in"})
		return c, false
	}
	switch {
	case o.Formula != "":
		id := r.id(d, path, o.Formula, "formula")
		f, isFormula := Find[*Formula](r.set, id)
		if !isFormula {
			r.missing(d, path, o.Formula, "formula", idsOf[*Formula](r.set))
			return c, false
		}
		c.Formula = r.formula(f)
		return c, c.Formula != nil
	case o.Assembly != "":
		id := r.id(d, path, o.Assembly, "assembly")
		in, isAssembly := Find[*Assembly](r.set, id)
		if !isAssembly {
			r.missing(d, path, o.Assembly, "assembly", idsOf[*Assembly](r.set))
			return c, false
		}
		if r.cyclic(in, path, d) {
			return c, false
		}
		c.Assembly = r.assembly(in)
		return c, c.Assembly != nil
	case o.Ingredient != "":
		id := r.id(d, path, o.Ingredient, "ingredient")
		i, ok := r.book.Table.Get(id)
		if !ok {
			var near []string
			for _, m := range r.book.Table.Match(id) {
				near = append(near, m.Ingredient.ID)
			}
			r.missing(d, path, o.Ingredient, "ingredient", near)
			return c, false
		}
		c.Ingredient = i
		return c, true
	}
	c.StandIn, c.Density = o.StandIn, o.Density.Value.Density()
	return c, true
}

// doubt returns the spread of what says how much there is of a layer. What is coated or soaked with
// is common to a batch if nothing is said.
func (l *Layer) doubt() assembly.Doubt {
	length := func(q unit.Quantity) float64 { return float64(q.Length()) }
	switch {
	case l.Thickness.Value.Given():
		return l.Thickness.doubt(length, doubt.Piece)
	case l.Coat.Film.Value.Given():
		return l.Coat.Film.doubt(length, doubt.Batch)
	case l.Soak.Share.Value.Given():
		return l.Soak.Share.doubt(unit.Quantity.Share, doubt.Batch)
	}
	return l.Soak.PerArea.doubt(func(q unit.Quantity) float64 { return float64(q.Load()) }, doubt.Batch)
}

// doubt returns the spread of a figure over its value, in the scope that it says or else the usual
// one.
func (f *Figure) doubt(si func(unit.Quantity) float64, usual doubt.Scope) assembly.Doubt {
	value := si(f.Value)
	if value <= 0 || !f.Low.Given() || !f.High.Given() {
		return assembly.Doubt{}
	}
	out := assembly.Doubt{Low: si(f.Low) / value, High: si(f.High) / value, Covers: 0.9, Scope: usual}
	if f.Covers.Given() {
		out.Covers = f.Covers.Share()
	}
	if scope, said := doubt.ScopeNamed(f.Scope); said {
		out.Scope = scope
	}
	return out
}

// layer builds one layer, and reports whether it could.
func (r *resolver) layer(d *Assembly, path string, l *Layer) (assembly.Layer, bool) {
	kind, _ := assembly.KindNamed(l.Kind)
	of, ok := r.of(d, path+".of", l.Of)
	out := assembly.Layer{
		ID: l.ID, Name: orID(l.Name, of.Name()), Kind: kind, Of: of,
		Thickness: l.Thickness.Value.Length(), Doubt: l.doubt(),
		Level: height(l.Level.Value), BelowRim: height(l.BelowRim), Offset: height(l.Offset), TurnedOver: l.TurnedOver, On: l.On,
		Nozzle: l.Nozzle.Length(), BandHeight: l.Band.Height.Length(), BandPieces: l.Band.Pieces, Overlap: l.Band.Overlap.Length(),
		SoakLoad: l.Soak.PerArea.Value.Load(), SoakShare: l.Soak.Share.Value.Share(),
		Way: l.Coat.Way, Film: l.Coat.Film.Value.Length(), LeastToPour: l.Coat.Least.Mass(), Stays: l.Coat.Stays.Share(), Reused: l.Coat.Reused,
		Pieces: l.Pieces, Each: l.Each.Value.Mass(), Joined: l.Joined,
	}
	if l.MadeIn != "" {
		if out.MadeIn = r.mouldOf(d, path+".made_in", l.MadeIn); out.MadeIn == nil {
			ok = false
		}
	}
	if of.Assembly != nil && out.MadeIn == nil && l.MadeIn == "" {
		out.MadeIn = of.Assembly.Mould
	}
	if kind == assembly.Coat && l.Coat.Way == "" {
		r.fail(d, path+".coat.way", Error{Reason: "missing", Remedy: "write flood, pour, dip, spray or brush"})
		ok = false
	}
	if kind == assembly.Decor && l.Pieces == 0 {
		r.fail(d, path+".pieces", Error{Reason: "missing", Remedy: "write how many lie on one piece"})
		ok = false
	}
	var good bool
	if out.Outline, good = r.outline(d, path+".outline", l.Outline); !good {
		ok = false
	}
	for _, s := range l.Stages {
		out.Stages = append(out.Stages, assembly.Stage{After: s.After, Level: height(s.Level), Share: s.Share.Share()})
	}
	for i, o := range l.Overrides {
		at := fmt.Sprintf("%s.overrides[%d]", path, i)
		m := r.mouldOf(d, at+".mould", o.Mould)
		if m == nil {
			ok = false
			continue
		}
		x := assembly.Override{
			Thickness: o.Thickness.Length(), Level: height(o.Level), BelowRim: height(o.BelowRim), Offset: height(o.Offset),
			BandHeight: o.Height.Length(), Inset: height(o.Inset), Pieces: o.Pieces,
		}
		if o.Diameter.Given() {
			x.Own = mould.Circle(o.Diameter.Length())
		}
		if o.MadeIn != "" {
			if x.MadeIn = r.mouldOf(d, at+".made_in", o.MadeIn); x.MadeIn == nil {
				ok = false
			}
		}
		if out.Overrides == nil {
			out.Overrides = map[string]assembly.Override{}
		}
		out.Overrides[m.ID] = x
	}
	return out, ok
}

func height(q unit.Quantity) assembly.Height {
	if !q.Given() {
		return assembly.Height{}
	}
	return assembly.At(q.Length())
}

// outline builds the rule for what a piece looks like from above.
func (r *resolver) outline(d *Assembly, path string, o Outline) (assembly.Outline, bool) {
	given := 0
	for _, set := range []bool{o.Inset.Given(), o.Diameter.Given(), o.Width.Given() || o.Depth.Given(), o.Path != ""} {
		if set {
			given++
		}
	}
	switch {
	case given > 1:
		r.fail(d, path, Error{Reason: fmt.Sprintf("gives %d outlines", given), Remedy: "keep one of inset, diameter, path, and width with depth"})
		return assembly.Outline{}, false
	case o.Path != "":
		own, err := mould.ParseOutline(o.Path)
		if err != nil {
			r.fail(d, path+".path", Error{Found: quote(o.Path), Reason: err.Error()})
			return assembly.Outline{}, false
		}
		return assembly.Outline{Own: own}, true
	case o.Inset.Given():
		return assembly.Outline{Inset: height(o.Inset)}, true
	case o.Diameter.Given():
		return assembly.Outline{Own: mould.Circle(o.Diameter.Length())}, true
	case given == 1:
		w, dep := o.Width.Length(), o.Depth.Length()
		if w == 0 {
			w = dep
		}
		if dep == 0 {
			dep = w
		}
		return assembly.Outline{Own: mould.Rectangle(w, dep, o.Corner.Length())}, true
	}
	return assembly.Outline{}, true
}

// order builds one order.
func (r *resolver) order(d *Order) {
	due, err := parseTime(d.Due, r.book.Kitchen.Zone)
	if err != nil {
		r.fail(d, "due", Error{Found: quote(d.Due), Reason: "is no time", Remedy: "write a date and a time such as 2026-12-05 18:00"})
		return
	}
	out := plan.Order{ID: d.ID, Name: orID(d.Name, d.ID), Due: due}
	for i, l := range d.Lines {
		path := fmt.Sprintf("lines[%d]", i)
		id := r.id(d, path+".assembly", l.Assembly, "assembly")
		a := r.book.Assemblies[id]
		if a == nil {
			if r.set.Get("assembly", id) == nil {
				r.missing(d, path+".assembly", l.Assembly, "assembly", ids(r.book.Assemblies))
			}
			continue
		}
		m := a.Mould
		if l.Mould != "" {
			if m = r.mouldOf(d, path+".mould", l.Mould); m == nil {
				continue
			}
		}
		scaling, _ := assembly.ScalingNamed(l.Scaling)
		out.Lines = append(out.Lines, plan.Line{Assembly: r.variant(d, path, a, l.Variants), Mould: m, Pieces: l.Pieces, Scaling: scaling})
	}
	if len(out.Lines) > 0 {
		r.book.Orders = append(r.book.Orders, out)
	}
}

// variant returns the assembly with components exchanged.
func (r *resolver) variant(d *Order, path string, a *assembly.Assembly, list []Variant) *assembly.Assembly {
	if len(list) == 0 {
		return a
	}
	b := *a
	b.Layers = slices.Clone(a.Layers)
	for i, v := range list {
		k := slices.IndexFunc(b.Layers, func(l assembly.Layer) bool { return l.ID == v.Layer })
		at := fmt.Sprintf("%s.variants[%d]", path, i)
		if k < 0 {
			var known []string
			for _, l := range b.Layers {
				known = append(known, l.ID)
			}
			r.missing(d, at+".layer", Ref(v.Layer), "layer", known)
			continue
		}
		if of, ok := r.of(d, at+".of", v.Of); ok {
			b.Layers[k].Of, b.Layers[k].Name = of, of.Name()
		}
	}
	return &b
}

// parseTime reads a local time as documents write it.
func parseTime(s string, zone *time.Location) (time.Time, error) {
	if len(s) == len("2006-01-02 15:04") {
		return time.ParseInLocation("2006-01-02 15:04", s, zone)
	}
	return time.ParseInLocation(time.DateTime, s, zone)
}
