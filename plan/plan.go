package plan

import (
	"context"
	"slices"
	"time"

	"chablon/assembly"
	"chablon/check"
	"chablon/chill"
	"chablon/cutting"
	"chablon/finding"
	"chablon/formula"
	"chablon/kitchen"
	"chablon/label"
	"chablon/mould"
	"chablon/purchase"
	"chablon/unit"
)

// Job is all that a day is made from.
type Job struct {
	Kitchen  *kitchen.Kitchen
	Orders   []Order
	Stock    map[string]unit.Mass // finished components that are there, by formula ID
	Accepted []check.Acceptance
	Packs    map[string][]unit.Mass // sizes in which ingredients are sold, by ID
	Ranges   *check.Table           // what formulas are judged by; the built-in table if nil
	Owned    []*mould.Mould         // moulds of the kitchen, for inserts in another mould than their own
}

func (j Job) ranges() check.Table {
	if j.Ranges != nil {
		return *j.Ranges
	}
	return check.Builtin()
}

// Order is what has to be ready, and when.
type Order struct {
	ID, Name string
	Due      time.Time
	Lines    []Line
}

// Line is so many of an assembly in a mould.
type Line struct {
	Assembly *assembly.Assembly
	Mould    *mould.Mould
	Pieces   int
	Scaling  assembly.Scaling // where Mould is not the assembly's own
}

// Day is the answer.
type Day struct {
	Job      Job
	Pieces   []Piece // one an order line, in order
	Batches  []Batch // nested components before what takes them
	StandIns []Component
	Purchase []purchase.Item
	Findings finding.List
	Doubts   *Doubts // how sure the amounts are

	Timeline []Entry
	Status   Status
	Checked  bool     // the timeline has passed the independent checker
	Conflict []string // why there is no timeline
}

// Piece is one order line, laid: one of so many equal pieces.
type Piece struct {
	Order      *Order
	Line       int
	Pieces     int
	Section    *assembly.Section
	Changes    []assembly.Change // what another mould than the assembly's own changed
	Components []Component
	Allergens  []label.Allergen
}

// Component is so much of a component in one order line.
type Component struct {
	ID, Name string
	Each     unit.Mass // of one piece
	Needed   unit.Mass // of all pieces of the line
	Count    int       // of a counted décor, in one piece
}

// Batch is a component to make: Count equal makings of one formula.
type Batch struct {
	Formula  *formula.Formula
	Count    int
	Each     formula.Batch // one of them
	Needed   unit.Mass     // finished, in the pieces or in other components, less what is in stock
	ToMake   unit.Mass     // what goes into all batches: Needed and Lost and LeftOver
	Losses   []formula.NamedMass
	LeftOver []formula.NamedMass // reserve, least batch, whole formulas, run-off kept
	Sheets   []Sheets
	Vessel   string // "1 bowl of 5 L", "2 sheets 600 × 400 mm"

	stocked, spare unit.Mass // taken from stock for what is needed, and for the reserve
}

// Out returns what all batches give when they are finished.
func (b *Batch) Out() unit.Mass { return b.Each.Out * unit.Mass(b.Count) }

// Lost returns the sum of the named losses.
func (b *Batch) Lost() unit.Mass { return sumOf(b.Losses) }

// Left returns the sum of what is left over.
func (b *Batch) Left() unit.Mass { return sumOf(b.LeftOver) }

func sumOf(list []formula.NamedMass) unit.Mass {
	var m unit.Mass
	for _, n := range list {
		m += n.Mass
	}
	return m
}

// Sheets is what is baked flat and cut: so many equal sheets at one thickness.
type Sheets struct {
	Mould     *mould.Mould
	Thickness unit.Length
	Count     int
	EachMass  unit.Mass // baked, of one whole sheet
	Layout    cutting.Layout
	Trimmings unit.Mass
}

// Status says how planning the steps ended.
type Status string

// Statuses of a plan. Planned is the only one with a timeline.
const (
	NotPlanned Status = "not planned"
	Planned    Status = "planned"
	Impossible Status = "impossible" // proven: no plan exists
	NotFound   Status = "not found"  // none was found; one may exist
)

// Entry is one step on the timeline.
type Entry struct {
	Step      formula.Step
	Component string // formula or assembly ID
	Name      string // of the component
	Batch     int    // from 1; zero for the steps of an assembly
	Order     string // of the steps of an assembly: the order, and
	Piece     int    // the order line's index in Day.Pieces, from 0; -1 for a formula's steps
	Start     time.Time
	HandsOff  time.Time // the end of the active time
	End       time.Time
	Active    time.Duration
	Mould     string // of the steps of an assembly
	People    []string
	Equipment []string // kinds
	Wait      *Wait    // of a wait that physics computed
}

// Resources returns the people and the equipment that the step takes.
func (e *Entry) Resources() []string { return append(slices.Clone(e.People), e.Equipment...) }

// Wait is how long physics says that something takes, with its range.
type Wait = chill.Wait

// Make computes the whole day: amounts, then the timeline.
func Make(ctx context.Context, job Job) *Day {
	d := Amounts(job)
	d.Schedule(ctx)
	return d
}
