package formula

import (
	"fmt"
	"math"

	"chablon/material"
	"chablon/unit"
)

// Loss is matter that does not reach the finished component. Exactly one of Share and PerBatch
// is above zero once the formula is linked; ToMass and ToBrix become a Share then.
type Loss struct {
	Name     string // "bake", "evaporation", "bowl", "trim", "transfer", "sieve", "piping"
	Share    float64
	Low      float64 // spread of Share, zero if not said
	High     float64
	PerBatch unit.Mass
	ToMass   unit.Mass // reduced until the formula as written weighs this
	ToBrix   float64   // reduced until this share of the mass is dissolved solids, 0 to 1
}

// water reports whether what is lost is water alone: reductions are.
func (l Loss) water() bool {
	return l.Name == "bake" || l.Name == "evaporation" || l.ToMass > 0 || l.ToBrix > 0
}

// of returns the share that the loss takes of m reaching it.
func (l Loss) of(m unit.Mass) float64 {
	switch {
	case l.PerBatch <= 0:
		return l.Share
	case m <= l.PerBatch:
		return 1
	}
	return float64(l.PerBatch / m)
}

// NamedMass is a mass with the name of what became of it.
type NamedMass struct {
	Name string
	Mass unit.Mass
}

// ScaledLine is a line at a batch's size.
type ScaledLine struct {
	Line
	Mass unit.Mass // of the batch; Line.Mass stays the written one
}

// Batch is one making of a formula: what goes in, what comes out, and what is lost between, each
// computed on its own. In = Out + Σ Losses.
type Batch struct {
	Formula *Formula
	Out     unit.Mass // finished
	In      unit.Mass // sum of the lines
	Factor  float64   // batch over the formula as written
	Lines   []ScaledLine
	Losses  []NamedMass
}

// Make returns the batch that gives out of the finished component. Errors name what is wrong
// with the formula: no lines, no mass, losses that leave nothing.
func (f *Formula) Make(out unit.Mass) (Batch, error) {
	if out < 0 || math.IsNaN(float64(out)) || math.IsInf(float64(out), 0) {
		return Batch{}, fmt.Errorf("formula %s: cannot make %v kg of it", f.ID, float64(out))
	}
	in, err := f.Input(out)
	if err != nil {
		return Batch{}, err
	}
	return f.Run(in), nil
}

// Input returns the mass that must go into one batch for out of it to be finished: the chain of
// losses taken backward.
func (f *Formula) Input(out unit.Mass) (unit.Mass, error) {
	if f.Written() <= 0 {
		return 0, fmt.Errorf("formula %s: its lines weigh nothing, so it cannot be scaled: give it a line with a mass", f.ID)
	}
	if out == 0 {
		return 0, nil
	}
	m := out
	for i := len(f.Losses) - 1; i >= 0; i-- {
		l := f.Losses[i]
		switch {
		case l.PerBatch > 0:
			m += l.PerBatch
		case !(l.Share >= 0):
			return 0, fmt.Errorf("formula %s: the %s loss of %.0f %% is not a share: write one from 0 %% to below 100 %%", f.ID, l.Name, 100*l.Share)
		case l.Share >= 1:
			return 0, fmt.Errorf("formula %s: the %s loss of %.0f %% leaves nothing", f.ID, l.Name, 100*l.Share)
		default:
			m /= unit.Mass(1 - l.Share)
		}
	}
	if !finite(m) {
		return 0, fmt.Errorf("formula %s: what goes in for %s of it is beyond any number: lower its losses", f.ID, out.Show())
	}
	return m, nil
}

// Run follows one batch forward from the mass that goes in. A fixed loss larger than what is
// left takes all of it.
func (f *Formula) Run(in unit.Mass) Batch {
	b := Batch{Formula: f, In: in}
	if w := f.Written(); w > 0 {
		b.Factor = float64(in / w)
	}
	b.Lines = make([]ScaledLine, len(f.Lines))
	for i, l := range f.Lines {
		b.Lines[i] = ScaledLine{Line: l, Mass: l.Mass * unit.Mass(b.Factor)}
	}
	m := in
	for _, l := range f.Losses {
		lost := m * unit.Mass(l.Share)
		if l.PerBatch > 0 {
			lost = min(l.PerBatch, m)
		}
		if lost > 0 {
			b.Losses = append(b.Losses, NamedMass{l.Name, lost})
		}
		m -= lost
	}
	b.Out = m
	return b
}

// Lost returns the sum of the losses.
func (b Batch) Lost() unit.Mass {
	var m unit.Mass
	for _, l := range b.Losses {
		m += l.Mass
	}
	return m
}

// Mix returns the composition of what goes in, before any loss: nested components as finished.
func (f *Formula) Mix() material.Composition {
	mix := f.mix()
	return mix.Composition()
}

func (f *Formula) mix() *material.Mix {
	var mix material.Mix
	for _, l := range f.Lines {
		switch {
		case l.Ingredient != nil:
			mix.Add(l.Ingredient.Composition, l.Mass)
		case l.Formula != nil:
			mix.Add(l.Formula.Composition(), l.Mass)
		}
	}
	return &mix
}

// Composition returns what the finished component is made of, from the formula as written: the
// mix less the water that its losses drive off, at most all of it. Losses that are not water take
// the mix as it is.
func (f *Formula) Composition() material.Composition {
	mix := f.dry()
	return mix.Composition()
}

// dry returns the mix of the formula as written without the water that its losses drive off.
func (f *Formula) dry() *material.Mix {
	mix := f.mix()
	m := f.Written()
	for _, l := range f.Losses {
		share := l.of(m)
		if l.water() {
			mix.Remove(material.Water, mix.Total()*unit.Mass(share))
		}
		m *= unit.Mass(1 - share)
	}
	return mix
}

// settle turns reductions to a mass or to a share of solids into shares of what reaches them.
func (f *Formula) settle() error {
	m := f.Written()
	sugars, known := solids(f.Mix())
	for i := range f.Losses {
		l := &f.Losses[i]
		switch {
		case l.ToMass > 0:
			if l.ToMass > m {
				return fmt.Errorf("formula %s: the %s loss ends at %s, more than the %s that reach it", f.ID, l.Name, l.ToMass.Show(), m.Show())
			}
			l.Share = 1 - float64(l.ToMass/m)
		case l.ToBrix > 0:
			if !known {
				return fmt.Errorf("formula %s: the %s loss ends at %.0f °Bx, but the sugars of a line are not known", f.ID, l.Name, 100*l.ToBrix)
			}
			if sugars <= 0 {
				return fmt.Errorf("formula %s: the %s loss ends at %.0f °Bx, but nothing in it is dissolved sugar", f.ID, l.Name, 100*l.ToBrix)
			}
			if sugars > l.ToBrix {
				return fmt.Errorf("formula %s: the %s loss ends at %.0f °Bx, but the mix already has %.0f", f.ID, l.Name, 100*l.ToBrix, 100*sugars)
			}
			l.Share = 1 - sugars/l.ToBrix
		}
		share := l.of(m)
		if l.water() && share < 1 {
			sugars /= 1 - share
		}
		m *= unit.Mass(1 - share)
	}
	return nil
}
