package assembly

import (
	"chablon/doubt"
	"chablon/formula"
	"chablon/ingredient"
	"chablon/mould"
	"chablon/unit"
)

// Assembly is layers laid in order into a mould.
type Assembly struct {
	ID, Name string
	Inverted bool // laid upside-down: the mould's bottom is the top of the piece served
	Mould    *mould.Mould
	Moulds   []string // IDs of the moulds it may be made in; any if empty
	Layers   []Layer
	Portions Portions
	Steps    []formula.Step
	Lags     []formula.Lag
	Holds    []formula.Hold
}

// Kind is the kind of a layer.
type Kind uint8

// Kinds of layer.
const (
	Base Kind = iota
	Disc
	Insert
	Fill
	Band
	Spread
	Soak
	Coat
	Decor
)

var kindNames = [...]string{"base", "disc", "insert", "fill", "band", "spread", "soak", "coat", "decor"}

// String returns the name that documents use.
func (k Kind) String() string { return kindNames[k] }

// KindNamed returns the kind of that name.
func KindNamed(s string) (Kind, bool) {
	for i, n := range kindNames {
		if n == s {
			return Kind(i), true
		}
	}
	return 0, false
}

// Component is what a layer is made of: exactly one of its pointers or the name of a stand-in.
type Component struct {
	Formula    *formula.Formula
	Assembly   *Assembly
	Ingredient *ingredient.Ingredient
	StandIn    string       // a component that has no formula yet
	Density    unit.Density // of the stand-in
}

// ID returns the component's identity; a stand-in has its name.
func (c Component) ID() string {
	switch {
	case c.Formula != nil:
		return c.Formula.ID
	case c.Assembly != nil:
		return c.Assembly.ID
	case c.Ingredient != nil:
		return c.Ingredient.ID
	}
	return c.StandIn
}

// Name returns what the cook calls it.
func (c Component) Name() string {
	name := ""
	switch {
	case c.Formula != nil:
		name = c.Formula.Name
	case c.Assembly != nil:
		name = c.Assembly.Name
	case c.Ingredient != nil:
		name = c.Ingredient.Name
	}
	if name == "" {
		return c.ID()
	}
	return name
}

// FinishedDensity returns the component's density, zero if none is on record.
func (c Component) FinishedDensity() unit.Density {
	switch {
	case c.Formula != nil:
		d, _ := c.Formula.FinishedDensity()
		return d
	case c.Ingredient != nil:
		return c.Ingredient.Density
	}
	return c.Density
}

// Height is a length that may be left open.
type Height struct {
	unit.Length
	Given bool
}

// At returns a given height.
func At(l unit.Length) Height { return Height{l, true} }

// Doubt is how far a figure of a layer may be off, as the cook wrote it. The zero Doubt says
// nothing.
type Doubt struct {
	Low, High float64 // over the figure itself, around 1
	Covers    float64 // share of cases that lie between them
	Scope     doubt.Scope
}

// Layer is one part of an assembly, as rules.
type Layer struct {
	ID, Name string
	Kind     Kind
	Of       Component
	MadeIn   *mould.Mould // baked, frozen or cut from

	Outline    Outline
	Thickness  unit.Length // zero if not said
	Doubt      Doubt       // of the thickness, the film or the soak: what says how much there is
	Level      Height      // of the upper face over the bottom
	BelowRim   Height      // of the upper face, down from the rim
	Offset     Height      // of the lower face, where not simply on what lies below
	TurnedOver bool
	On         string // layer that a spread, soak or décor belongs to

	Stages []Stage
	Nozzle unit.Length

	BandHeight  unit.Length
	BandPieces  int
	Overlap     unit.Length // zero means a butt joint
	SoakLoad    unit.Load
	SoakShare   float64
	Way         string // "flood", "pour", "dip", "spray" or "brush"
	Film        unit.Length
	LeastToPour unit.Mass
	Stays       float64 // share of what is poured that stays; 1 if zero
	Reused      bool
	Pieces      int
	Each        unit.Mass
	Joined      bool

	Overrides map[string]Override // by mould ID
}

// Flooded reports whether the layer is a coat that is flooded in the mould.
func (l *Layer) Flooded() bool { return l.Kind == Coat && l.Way == "flood" }

// Outline is the rule for what a piece looks like from above: in from the wall, or its own. The
// zero Outline is the mould's own.
type Outline struct {
	Inset Height
	Own   mould.Outline // empty if none
}

// Stage is one filling of a fill that goes in at several times. The last one reaches the fill's
// own level and needs neither Level nor Share.
type Stage struct {
	After string // layer laid before it
	Level Height
	Share float64 // of the whole fill that this stage takes, instead of a level
}

// Override is what differs in one mould; fields that are not given stay as they are.
type Override struct {
	Thickness  unit.Length
	Level      Height
	BelowRim   Height
	Offset     Height
	BandHeight unit.Length
	Inset      Height
	Own        mould.Outline
	MadeIn     *mould.Mould
	Pieces     int
}

// in returns the layer as it is in a mould, its override applied.
func (l Layer) in(mouldID string) Layer {
	if o, ok := l.Overrides[mouldID]; ok {
		return l.With(o)
	}
	return l
}

// With returns the layer with an override applied.
func (l Layer) With(o Override) Layer {
	if o.Thickness > 0 {
		l.Thickness = o.Thickness
	}
	if o.BandHeight > 0 {
		l.BandHeight = o.BandHeight
	}
	if o.MadeIn != nil {
		l.MadeIn = o.MadeIn
	}
	if o.Pieces > 0 {
		l.Pieces = o.Pieces
	}
	if o.Inset.Given {
		l.Outline = Outline{Inset: o.Inset}
	}
	if !o.Own.Empty() {
		l.Outline = Outline{Own: o.Own}
	}
	for _, h := range []struct{ from, to *Height }{{&o.Level, &l.Level}, {&o.BelowRim, &l.BelowRim}, {&o.Offset, &l.Offset}} {
		if h.from.Given {
			*h.to = *h.from
		}
	}
	if o.Level.Given { // the two say the same thing: the override wins over both
		l.BelowRim = o.BelowRim
	} else if o.BelowRim.Given {
		l.Level = Height{}
	}
	return l
}
