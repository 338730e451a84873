package chill

import (
	"context"
	"errors"
	"fmt"
	"time"

	"chablon/heat"
	"chablon/kitchen"
	"chablon/unit"
)

// Leg is a stretch of a piece's way: what is around it, and for how long.
type Leg struct {
	Name string
	heat.Surroundings
	At unit.Temperature // of its air
	// For is how long it lasts. In a first leg that freezes it may be 0: until the piece is solid enough to
	// unmould, at the slow end of the coefficient's range.
	For       time.Duration
	Unmoulded bool // the mould comes off as the leg begins, and stays off
}

// LegIn returns a leg in a place of the kitchen. The error says that its temperature is not on record.
func LegIn(e kitchen.Equipment, d time.Duration, unmoulded bool) (Leg, error) {
	s, err := placeOf(e)
	return Leg{Name: placeName(e), Surroundings: s, At: s.Usual, For: d, Unmoulded: unmoulded}, err
}

// boundary returns what a bare face meets with a coefficient.
func (l *Leg) boundary(h unit.HeatTransfer) heat.Boundary {
	return heat.Boundary{Air: l.At, Transfer: h, Humidity: l.Humidity}
}

// coefficients are that of a leg as usual, and at its weak and strong ends.
var coefficients = [3]func(l *Leg) unit.HeatTransfer{
	func(l *Leg) unit.HeatTransfer { return l.Default },
	func(l *Leg) unit.HeatTransfer { return l.Low },
	func(l *Leg) unit.HeatTransfer { return l.High },
}

// Limit is a temperature that a way is watched for: when a figure of the piece falls to it or below, or rises
// to it or above.
type Limit struct {
	Words  string
	Of     func(heat.Sample) unit.Temperature
	At     unit.Temperature
	Rising bool
}

func (l *Limit) met(s heat.Sample) bool {
	if l.Rising {
		return l.Of(s) >= l.At
	}
	return l.Of(s) <= l.At
}

// UsualLimits returns what is asked of a piece that is frozen in air of a temperature and then served between
// coldest and hottest: −5 °C, above which a surface takes no glaze, is common practice without source; 5 °C
// is where the FDA Food Code (2022, 3-501.16) lets cold food be held.
func UsualLimits(air, coldest, hottest unit.Temperature) []Limit {
	warm := func(s heat.Sample) unit.Temperature { return s.Warmest }
	cold := func(s heat.Sample) unit.Temperature { return s.Coldest }
	surface := func(s heat.Sample) unit.Temperature { return s.Surface }
	solid := SolidCore(air)
	return []Limit{
		{Words: "solid enough to unmould: warmest place at " + solid.Show(), Of: warm, At: solid},
		{Words: "too warm to glaze: surface at " + glazeSurface.Show(), Of: surface, At: glazeSurface, Rising: true},
		{Words: "thawed to serve: coldest place at " + coldest.Show(), Of: cold, At: coldest, Rising: true},
		{Words: "no longer cold: a place above " + chilledCore.Show(), Of: warm, At: chilledCore, Rising: true},
		{Words: "too warm to serve: surface at " + hottest.Show(), Of: surface, At: hottest, Rising: true},
	}
}

// glazeSurface is the warmest surface that takes a glaze. Source: common practice, no source.
const glazeSurface = unit.Temperature(-5)

// Pass is when a limit is passed: the first time that it is met after it was not.
type Pass struct {
	Limit
	Passed bool // with the coefficients as usual
	Time   time.Duration
	Leg    int // in which, from 0
	// The earliest and latest with the coefficients at the ends of their ranges; Sure says that it is passed
	// with all of them, and where it is not Latest is only that of those that pass it.
	Earliest, Latest time.Duration
	Sure             bool
}

// Moment is the piece at a moment: with the coefficients as usual, and at their weak and strong ends.
type Moment struct {
	heat.Sample
	Weak, Strong heat.Sample
}

// Range returns the range of a figure of the piece, such as its core's temperature.
func (m Moment) Range(of func(heat.Sample) unit.Temperature) (low, high unit.Temperature) {
	a, b, c := of(m.Sample), of(m.Weak), of(m.Strong)
	return min(a, b, c), max(a, b, c)
}

// Way is what becomes of a piece in one place after the other.
type Way struct {
	Legs   []Leg           // with their times
	Starts []time.Duration // when each begins
	Curve  []Moment
	Ends   []Moment // at the end of each leg
	Passes []Pass   // of the limits asked for, in their order
	Run    heat.Run // with the coefficients as usual
	Notes  []string
}

// Follow answers what becomes of a piece on its way through legs, and when it passes limits. The range of the
// temperatures and of the times is that of the coefficients: the way is solved with all of them as usual, all at
// their weak and all at their strong ends. What the model leaves out is not in it (see Freeze: 10 % of a time).
//
// A first leg without a time that cannot make the piece solid, other legs without one, a temperature, humidity or
// coefficient that cannot be used, or more than two weeks in all give an error.
func (b *Body) Follow(ctx context.Context, legs []Leg, limits []Limit, p Precision) (Way, error) {
	var out Way
	var err error
	if out.Legs, out.Starts, err = b.times(ctx, legs, p); err != nil {
		return Way{}, err
	}
	var runs [3]heat.Run
	for i, of := range coefficients {
		if runs[i], err = b.along(ctx, &out, of, p); err != nil {
			return Way{}, err
		}
	}
	out.Run = runs[0]
	coldest := out.Legs[0].At
	for _, l := range out.Legs {
		coldest = min(coldest, l.At)
	}
	out.Notes = b.notes(out.Run, coldest)
	weak, strong := follower{curve: runs[1].Curve}, follower{curve: runs[2].Curve}
	leg := 0
	for _, s := range out.Run.Curve {
		m := Moment{Sample: s, Weak: weak.at(s.Time), Strong: strong.at(s.Time)}
		out.Curve = append(out.Curve, m)
		if end := out.Starts[leg] + out.Legs[leg].For; leg == len(out.Ends) && s.Time >= end-time.Microsecond {
			out.Ends = append(out.Ends, m)
			leg = min(leg+1, len(out.Legs)-1)
		}
	}
	for _, l := range limits {
		out.Passes = append(out.Passes, out.pass(l, runs))
	}
	return out, nil
}

// times returns the legs with their times, and when they begin.
func (b *Body) times(ctx context.Context, legs []Leg, p Precision) ([]Leg, []time.Duration, error) {
	if len(legs) == 0 {
		return nil, nil, errors.New("no place: say where the piece goes first")
	}
	out := append([]Leg(nil), legs...)
	starts := make([]time.Duration, len(out))
	var now time.Duration
	for i := range out {
		l := &out[i]
		switch {
		case l.For == 0 && i == 0:
			d, err := b.untilSolid(ctx, l, p)
			if err != nil {
				return nil, nil, err
			}
			l.For = d
		case !(l.For > 0 && l.For <= twoWeeks):
			return nil, nil, fmt.Errorf("leg %d, %s: %v: give a time above 0, up to two weeks", i+1, l.Name, l.For)
		}
		starts[i] = now
		if now += l.For; now > twoWeeks {
			return nil, nil, fmt.Errorf("leg %d, %s: ends after more than two weeks in all: shorten it", i+1, l.Name)
		}
	}
	return out, starts, nil
}

// untilSolid returns how long a leg must last to make the piece solid with its weak coefficient, to the minute.
func (b *Body) untilSolid(ctx context.Context, l *Leg, p Precision) (time.Duration, error) {
	target := SolidCore(l.At)
	if target > warmest {
		return 0, fmt.Errorf("never solid enough to unmould in %s: give that leg a time, or take a freezer at −13 °C or colder", l.Name)
	}
	f, err := b.field(p.Cell)
	if err != nil {
		return 0, err
	}
	r, err := f.Run(ctx, []heat.Stage{b.stage(0, l.boundary(l.Low), l.Unmoulded)}, heat.WarmestBelow(target), heat.Options{Tolerance: wayTolerance, Longest: wayStep})
	switch {
	case err != nil:
		return 0, err
	case r.Status == heat.Never:
		return 0, fmt.Errorf("%s: %s", l.Name, r.Reason)
	case r.Status != heat.Reached:
		return 0, fmt.Errorf("%s: solid enough to unmould %s: give that leg a time", l.Name, notInTime)
	}
	return (r.Time + 2*time.Minute).Truncate(time.Minute), nil // the next whole minute is too near to be sure of
}

// Steps of a way: the error of one, K, and how long it may be: a limit that is passed between
// two samples is found to a minute or two.
const (
	wayTolerance = 0.02
	wayStep      = 10 * time.Minute
)

// along solves the way with a coefficient of each leg.
func (b *Body) along(ctx context.Context, w *Way, of func(*Leg) unit.HeatTransfer, p Precision) (heat.Run, error) {
	f, err := b.field(p.Cell)
	if err != nil {
		return heat.Run{}, err
	}
	var stages []heat.Stage
	unmoulded := false
	for i := range w.Legs {
		l := &w.Legs[i]
		unmoulded = unmoulded || l.Unmoulded
		stages = append(stages, b.stage(w.Starts[i], l.boundary(of(l)), unmoulded))
	}
	end := w.Starts[len(w.Starts)-1] + w.Legs[len(w.Legs)-1].For
	return f.Run(ctx, stages, heat.Criterion{}, heat.Options{Limit: end, Tolerance: wayTolerance, Longest: wayStep})
}

// pass looks for a limit in the runs with usual, weak and strong coefficients.
func (w *Way) pass(l Limit, runs [3]heat.Run) Pass {
	out := Pass{Limit: l, Sure: true}
	first := true
	for i := range runs {
		at, found := l.first(runs[i].Curve)
		if !found {
			out.Sure = false
			continue
		}
		if i == 0 {
			out.Passed, out.Time = true, at
			for k, from := range w.Starts {
				if at > from {
					out.Leg = k
				}
			}
		}
		if first || at < out.Earliest {
			out.Earliest = at
		}
		out.Latest = max(out.Latest, at)
		first = false
	}
	return out
}

// first returns when a curve first meets the limit after it did not, straight between its samples.
func (l *Limit) first(curve []heat.Sample) (time.Duration, bool) {
	for i := 1; i < len(curve); i++ {
		a, b := curve[i-1], curve[i]
		if l.met(a) || !l.met(b) {
			continue
		}
		part := float64(l.At-l.Of(a)) / float64(l.Of(b)-l.Of(a))
		return a.Time + time.Duration(part*float64(b.Time-a.Time)), true
	}
	return 0, false
}

// follower reads a curve at rising times.
type follower struct {
	curve []heat.Sample
	next  int
}

// at returns the sample at a time, straight between those of the curve.
func (f *follower) at(t time.Duration) heat.Sample {
	for f.next < len(f.curve)-1 && f.curve[f.next].Time < t {
		f.next++
	}
	b := f.curve[f.next]
	if f.next == 0 || b.Time <= t {
		return b
	}
	a := f.curve[f.next-1]
	part := float64(t-a.Time) / float64(b.Time-a.Time)
	mix := func(x, y unit.Temperature) unit.Temperature { return x + (y-x)*unit.Temperature(part) }
	return heat.Sample{
		Time: t, Core: mix(a.Core, b.Core), Surface: mix(a.Surface, b.Surface), Mean: mix(a.Mean, b.Mean),
		Warmest: mix(a.Warmest, b.Warmest), Coldest: mix(a.Coldest, b.Coldest),
		FrozenShare: a.FrozenShare + (b.FrozenShare-a.FrozenShare)*part,
	}
}
