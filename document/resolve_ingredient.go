package document

import (
	"fmt"
	"slices"

	"chablon/formula"
	"chablon/ingredient"
	"chablon/material"
	"chablon/unit"
)

// ingredients adds the set's own entries to the built-in table.
func (r *resolver) ingredients(before *Book) {
	own := Every[*Ingredient](r.set)
	base := ingredient.Builtin()
	r.book.own = own
	if before != nil && slices.Equal(before.own, own) {
		r.book.Table, r.book.packs = before.Table, before.packs
		return
	}
	var entries []ingredient.Ingredient
	for _, d := range own {
		entries = append(entries, r.ingredient(d, base))
	}
	r.book.Table = base
	if len(entries) > 0 {
		r.book.Table = base.With(entries...)
	}
}

// ingredient turns a document into an entry of the table, on the figures of another where it
// says so.
func (r *resolver) ingredient(d *Ingredient, base *ingredient.Table) ingredient.Ingredient {
	e := ingredient.Ingredient{SourceKind: "cook"}
	from := d.Like
	if from == "" {
		from = d.ID // an override of a built-in entry keeps what it does not say
	}
	if like, ok := base.Get(from); ok {
		e = *like
		if d.Like != "" {
			e.Aliases = nil
		}
	} else if d.Like != "" {
		near := base.Match(d.Like)
		remedy := "leave it out and give the figures here"
		if len(near) > 0 {
			remedy = "write " + near[0].Ingredient.ID + ", or " + remedy
		}
		r.fail(d, "like", Error{Found: quote(d.Like), Reason: "is no ingredient on record", Remedy: remedy})
	}
	e.ID, e.Name, e.Source = d.ID, orID(d.Name, orID(e.Name, d.ID)), orID(d.Notes, "the cook's own entry")
	if d.Group != "" {
		e.Group = d.Group
	}
	for _, n := range d.Names {
		e.Aliases = append(e.Aliases, n.Text)
	}
	for i, s := range d.Composition {
		k, ok := material.ComponentNamed(s.Component)
		if !ok {
			var known []string
			for _, c := range material.Components() {
				known = append(known, c.String())
			}
			r.fail(d, fmt.Sprintf("composition[%d].component", i), Error{Found: quote(s.Component), Reason: "is no component on record", Remedy: "write " + nearestOr(s.Component, known)})
			continue
		}
		e.Composition.Set(k, s.Per100g/100)
	}
	if d.Density.Value.Given() {
		e.Density, e.Bulk, e.DensitySource = d.Density.Value.Density(), false, "the cook's own entry"
	}
	for _, p := range d.Portions {
		e.Portions = append([]ingredient.Portion{{Measure: p.Measure, Mass: p.Mass.Value.Mass(), Source: p.Mass.Source}}, e.Portions...)
	}
	for _, y := range d.Yields {
		kept := y.Kept.Value.Share()
		e.Yields = append([]ingredient.Yield{{Process: y.Process, Kept: kept, Low: kept, High: kept, Source: y.Kept.Source}}, e.Yields...)
	}
	if d.Contains != nil {
		e.Allergens = d.Contains
	}
	if d.MayContain != nil {
		e.MayContain = d.MayContain
	}
	for _, t := range d.Traits {
		e.Traits = append([]ingredient.Trait{{Name: t.Name, Value: t.Value, Source: t.Source}}, e.Traits...)
	}
	e.Unlimited = e.Unlimited || d.Unlimited
	for i, p := range d.Packs {
		q, err := unit.ParseQuantity(p, unit.OfMass, unit.OfVolume)
		if err != nil {
			r.fail(d, fmt.Sprintf("packs[%d]", i), Error{Found: quote(p), Reason: "is no size of a pack", Remedy: err.Error()})
			continue
		}
		_, m, err := formula.Weigh(q, e.Name, &e, "")
		if err != nil {
			r.fail(d, fmt.Sprintf("packs[%d]", i), Error{Found: quote(p), Reason: "cannot be weighed", Remedy: err.Error()})
			continue
		}
		r.book.packs[e.ID] = append(r.book.packs[e.ID], m)
	}
	return e
}

// stocks adds up what is there of finished components.
func (r *resolver) stocks() {
	for _, d := range Every[*Stock](r.set) {
		given := 0
		for _, ref := range []Ref{d.Ingredient, d.Component, d.Assembly} {
			if ref != "" {
				given++
			}
		}
		if given != 1 {
			r.fail(d, "", Error{Reason: fmt.Sprintf("names %d things", given), Remedy: "name one of ingredient, component and assembly"})
			continue
		}
		if d.Component == "" {
			continue // stock of ingredients and of whole pieces is not drawn from yet
		}
		id := r.id(d, "component", d.Component, "formula")
		f := r.book.Formulas[id]
		switch {
		case f == nil:
			r.missing(d, "component", d.Component, "formula", ids(r.book.Formulas))
		case d.Amount.Unit.Dim == unit.OfMass:
			r.book.stock[id] += d.Amount.Mass()
		case d.Amount.Unit.Dim == unit.OfVolume:
			density, _ := f.FinishedDensity()
			if !density.Known() {
				r.fail(d, "amount", Error{Found: quote(d.Amount.Text), Reason: "is a volume, and the formula has no density", Remedy: "write a mass"})
				continue
			}
			r.book.stock[id] += density.Mass(d.Amount.Volume())
		default:
			r.fail(d, "amount", Error{Found: quote(d.Amount.Text), Reason: "is a count", Remedy: "write the mass of the component"})
		}
	}
}
