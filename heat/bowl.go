package heat

import (
	"context"
	"fmt"
	"math"
	"time"

	"chablon/material"
	"chablon/unit"
)

// Bath is what stands around a vessel from a time on: ice water, then a refrigerator.
type Bath struct {
	From time.Duration
	Boundary
}

// Bowl is a hot cream in a vessel that is stirred all the time, so that it has one temperature.
type Bowl struct {
	Food     material.Thermal
	Mass     unit.Mass
	Area     unit.Area         // of the wall that the cream and the bath both touch
	Inside   unit.HeatTransfer // of the stirred cream: 150, 100 to 300 for a viscous custard
	Vessel   float64           // heat capacity of the vessel, J/K; a kilogram of steel has 500
	VesselAt unit.Temperature  // before the cream is poured in
}

// Cool returns the temperature of the cream over time, from start until limit, a reading every kelvin and
// at each change of bath: material.CoolingClock judges it. The vessel is at the temperature of the
// cream from the first moment. It is Newton's law with the heat content of the food; nothing evaporates,
// which makes the true cooling faster while it steams.
//
// Unusable figures, a start that freezes among them, are an *InputError.
func (b Bowl) Cool(start unit.Temperature, baths []Bath, limit time.Duration) (material.History, error) {
	if err := b.check(start, baths, limit); err != nil {
		return nil, err
	}
	mass := float64(b.Mass)
	capacity := func(t unit.Temperature) float64 { return mass*float64(b.Food.SpecificHeat(t)) + b.Vessel }
	t := unit.Temperature(stirred(capacity(start)-b.Vessel, float64(start), b.Vessel, float64(b.VesselAt)))
	out := material.History{{At: 0, Temperature: t}}
	now := 0.0
	for i, bath := range baths {
		end := limit.Seconds()
		if i+1 < len(baths) {
			end = math.Min(end, baths[i+1].From.Seconds())
		}
		u := float64(bath.Overall())
		if u > 0 {
			u = float64(b.Area) / (1/u + 1/float64(b.Inside))
		}
		for now < end {
			next, dt := t+1, end-now
			if bath.Air < t {
				next = t - 1
			}
			gap := float64(t - bath.Air)
			if left := float64(next - bath.Air); u > 0 && left*gap > 0 {
				dt = lumped(capacity((t+next)/2), u, gap, left)
			}
			if dt >= end-now {
				dt = end - now
				next = bath.Air + unit.Temperature(gap*math.Exp(-u*dt/capacity(t)))
			}
			now, t = now+dt, next
			out = append(out, material.Reading{At: time.Duration(now * float64(time.Second)), Temperature: t})
		}
		now = end
	}
	return out, nil
}

// lumped returns the seconds in which a body of one temperature, capacity J/K, in surroundings of
// conductance W/K goes from a difference to another one.
func lumped(capacity, conductance, from, to float64) float64 {
	return capacity / conductance * math.Log(from/to)
}

// stirred returns the temperature of two bodies of capacities a and b, J/K, put together.
func stirred(a, ta, b, tb float64) float64 { return (a*ta + b*tb) / (a + b) }

func (b Bowl) check(start unit.Temperature, baths []Bath, limit time.Duration) error {
	switch {
	case b.Food.Density(start) <= 0:
		return &InputError{"food", "without properties", "give a composition"}
	case !(b.Mass > 0 && b.Mass < 1e4):
		return &InputError{"mass", b.Mass.Show(), "give one above 0, up to 10 t"}
	case !(b.Area > 0 && b.Area < 1e3):
		return &InputError{"wall", fmt.Sprintf("%g cm2", b.Area.SquareCentimetres()), "give an area above 0"}
	case !(b.Inside > 0 && b.Inside <= 1e5):
		return &InputError{"inside coefficient", fmt.Sprintf("%g W/(m2 K)", float64(b.Inside)), "give one above 0, up to 100000"}
	case !(b.Vessel >= 0 && b.Vessel < 1e8):
		return &InputError{"vessel", fmt.Sprintf("%g J/K", b.Vessel), "give its heat capacity, 0 or more"}
	case !(limit > 0 && limit <= 30*24*time.Hour):
		return &InputError{"limit", limit.String(), "give a time up to 30 days"}
	case len(baths) == 0:
		return &InputError{"baths", "none", "say what stands around the vessel"}
	}
	first, freezes := b.Food.FreezingPoint()
	if !freezes {
		first = -40
	}
	for i, bath := range baths {
		if i == 0 && bath.From != 0 || i > 0 && bath.From <= baths[i-1].From {
			return &InputError{fmt.Sprintf("bath %d", i+1), "from " + bath.From.String(), "let the first begin at 0 and each later than the one before"}
		}
		if err := bath.check(fmt.Sprintf("bath %d: ", i+1)); err != nil {
			return err
		}
		if bath.Air < first {
			return &InputError{fmt.Sprintf("bath %d", i+1), fmt.Sprintf("at %g degC", bath.Air.Celsius()), fmt.Sprintf("the cream would freeze at %.1f degC: take warmer surroundings", first.Celsius())}
		}
	}
	for _, t := range [...]struct {
		name string
		at   unit.Temperature
	}{{"start temperature", start}, {"vessel temperature", b.VesselAt}} {
		if !(t.at >= first && t.at <= 120) {
			return &InputError{t.name, fmt.Sprintf("%g degC", t.at.Celsius()), fmt.Sprintf("give one between %.1f and 120 degC", first.Celsius())}
		}
	}
	return nil
}

// Standing returns the temperature over time of the warmest point of a cream that stands unstirred in
// a tray of a depth, its top and bottom in the stages' surroundings, until limit: what the clock of
// cooling is read by. Heat moves by conduction alone, which a thin cream beats by its own
// convection; the walls of the tray are not counted. It is Field.Run on a slab.
func Standing(ctx context.Context, food *material.Table, depth unit.Length, start unit.Temperature, stages []Stage, limit time.Duration) (material.History, error) {
	if !(depth >= unit.Millimetre && depth <= unit.Metre) {
		return nil, &InputError{"depth", depth.Show(), "give one from 1 mm to 1 m"}
	}
	f, err := NewField(SlabGrid(Edges(depth/30, 0, depth)), []*material.Table{food}, func(Point) Cell { return Cell{0, start} })
	if err != nil {
		return nil, err
	}
	r, err := f.Run(ctx, stages, Criterion{}, Options{Limit: limit})
	if err != nil {
		return nil, err
	}
	return r.History(func(s Sample) unit.Temperature { return s.Warmest }), nil
}

// History returns the run as a temperature record of a figure of its samples: of the core, say, for
// material.Medium.Lethality.
func (r Run) History(of func(Sample) unit.Temperature) material.History {
	out := make(material.History, 0, len(r.Curve))
	for _, s := range r.Curve {
		if n := len(out); n > 0 && s.Time <= out[n-1].At {
			continue
		}
		out = append(out, material.Reading{At: s.Time, Temperature: of(s)})
	}
	return out
}

// CarryOver returns by how much the core still warms after a time, such as that at which the piece
// leaves the oven, and when it is warmest; 0 at that time where it only cools.
func (r Run) CarryOver(after time.Duration) (rise unit.TempDiff, peak time.Duration) {
	peak = after
	var from unit.Temperature
	found := false
	for _, s := range r.Curve {
		switch {
		case s.Time < after:
			continue
		case !found:
			from, found = s.Core, true
		case s.Core.Minus(from) > rise:
			rise, peak = s.Core.Minus(from), s.Time
		}
	}
	return rise, peak
}
