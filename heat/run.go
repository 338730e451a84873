package heat

import (
	"context"
	"fmt"
	"math"
	"time"

	"chablon/unit"
)

// Sample is a Field at one moment.
type Sample struct {
	Time             time.Duration
	Core             unit.Temperature // at the place that Options name
	Surface          unit.Temperature // mean over the outer faces
	Mean             unit.Temperature // mean over the volume
	Warmest, Coldest unit.Temperature // of all cells
	FrozenShare      float64          // of all water, how much is ice
}

// Status says how a run ended.
type Status uint8

// Endings of a run.
const (
	Reached Status = iota // the criterion is met
	Limit                 // the time ran out
	Never                 // these surroundings cannot meet the criterion
	Stopped               // the context ended
)

// String returns "reached", "limit", "never" or "stopped".
func (s Status) String() string {
	return [...]string{"reached", "limit", "never", "stopped"}[min(s, Stopped)]
}

// Options of a run; zero fields mean the defaults.
type Options struct {
	Limit     time.Duration   // 14 days
	Core      *Point          // the place farthest from the surface of the grid
	Maps      []time.Duration // times at which the temperatures of all cells are kept, rising
	Tolerance unit.TempDiff   // error of one step, root mean square over the body: 0.005 K
	Longest   time.Duration   // of a step, so that the curve may be read straight between its samples; no limit
	GridError float64         // relative, that Solve aims at: 0.01
	Observe   func(Sample)    // called after every step

	fixed time.Duration // step without error control, for tests
}

// State is the heat of all cells after a run, for Field.Resume.
type State struct{ heat []float64 }

// Run is what became of a Field.
type Run struct {
	Status Status
	Reason string // of Never
	Time   time.Duration
	Curve  []Sample // the start, every step, the end
	Maps   []Map
	Final  State
	Steps  int

	EnergyError float64 // of the balance, relative to the heat exchanged, at least what a millikelvin takes
	GridError   float64 // of Time, relative; 0 unless from Solve
	// NoIce lists the foods, by number, in which nothing freezes at the coldest surroundings of the
	// schedule: strong spirits, fat, caramel.
	NoIce []int
}

// Last returns the last sample.
func (r Run) Last() Sample { return r.Curve[len(r.Curve)-1] }

const (
	defaultLimit     = 14 * 24 * time.Hour
	defaultTolerance = unit.TempDiff(0.005)
	firstStep        = 1.0         // s
	leastStep        = 1e-6        // s
	steadyStep       = 600.0       // s: shorter steps tell nothing of rest
	steadyRate       = 2e-3 / 3600 // K/s, at or below which a body is at rest
	steadyShare      = 1e-3 / 3600 // 1/s, the same for the frozen share
	steadyDistance   = 100         // times the fineness of the criterion, that it must still be away
)

// Run follows the field through the stages until the criterion is met.
//
// The enthalpy form of the heat equation on finite volumes, second order in space and time, implicit
// (Alexander's scheme), its step chosen by an estimate of its error. Conductivity between cells is
// the mean over their temperatures within a food and in series between two. Heat is conserved to
// rounding: EnergyError is the difference between the heat in the cells and that through the faces.
// Nothing moves in the body, no water evaporates; covers hold no heat.
//
// A criterion that the surroundings cannot meet ends in Never, with Reason; the run is then cut short.
// When ctx ends, what was reached so far is returned with its error. Unusable figures are an
// *InputError. The result depends on the inputs alone.
func (f *Field) Run(ctx context.Context, stages []Stage, until Criterion, o Options) (Run, error) {
	r, err := f.newRunner(ctx, stages, until, o)
	if err != nil {
		return Run{}, err
	}
	r.start()
	if reason := r.impossible(); reason != "" {
		r.run.Status, r.run.Reason = Never, reason
		r.finish()
		return r.run, nil
	}
	if err := r.follow(); err != nil {
		return Run{}, err
	}
	r.finish()
	if r.run.Status == Stopped {
		return r.run, fmt.Errorf("heat: stopped after %v of the food's time: %w", r.run.Time, ctx.Err())
	}
	return r.run, nil
}

type runner struct {
	*march
	run         Run
	stages      []Stage
	until       Criterion
	o           Options
	core        probe
	limit       float64 // s
	now         float64 // s
	in, gross   float64 // J through the faces
	water       float64 // kg
	stageNumber int
}

func (f *Field) newRunner(ctx context.Context, stages []Stage, until Criterion, o Options) (*runner, error) {
	if err := f.mesh.checkStages(stages); err != nil {
		return nil, err
	}
	if err := until.check(); err != nil {
		return nil, err
	}
	if o.Limit == 0 {
		o.Limit = defaultLimit
	}
	if o.Tolerance == 0 {
		o.Tolerance = defaultTolerance
	}
	if !(o.Limit > 0) {
		return nil, &InputError{"limit", o.Limit.String(), "give a time above 0"}
	}
	if !(o.Tolerance >= 1e-6 && o.Tolerance <= 5) {
		return nil, &InputError{"tolerance", fmt.Sprintf("%g K", float64(o.Tolerance)), "give one between 0.000001 and 5 K"}
	}
	if !(o.Longest == 0 || o.Longest >= time.Millisecond) {
		return nil, &InputError{"longest step", o.Longest.String(), "give one from a millisecond, or 0 for no limit"}
	}
	for i, t := range o.Maps {
		if t < 0 || i > 0 && t <= o.Maps[i-1] {
			return nil, &InputError{"map", "at " + t.String(), "give times from 0 on, each later than the one before"}
		}
	}
	at := f.grid.middle()
	if o.Core != nil {
		at = *o.Core
	}
	core := f.probe(at)
	if core == nil {
		return nil, &InputError{"core", fmt.Sprintf("at %g, %g, %g mm", at.X.Millimetres(), at.Y.Millimetres(), at.Z.Millimetres()), "choose a place inside the body"}
	}
	r := &runner{march: newMarch(ctx, f), stages: stages, until: until, o: o, core: core, limit: o.Limit.Seconds()}
	for c, v := range f.mesh.volume {
		table := f.foods[f.food[c]]
		r.water += v * float64(table.Density()) * table.WaterFraction()
	}
	r.run.NoIce = r.noIce()
	return r, nil
}

// start takes the first sample and, at time 0, the first map.
func (r *runner) start() {
	copy(r.march.start, r.heat)
	r.enter(&r.stages[0])
	r.record()
	low, high := r.surroundings(r.stages)
	s := r.run.Curve[0]
	r.confine(math.Min(low, float64(s.Coldest)), math.Max(high, float64(s.Warmest)))
}

// content returns the heat in the cells, J.
func (r *runner) content() float64 {
	sum := 0.0
	for c, v := range r.f.mesh.volume {
		sum += v * (r.heat[c] - r.f.heat[c])
	}
	return sum
}

// record appends a sample of the present state to the curve, and a map where one is due.
func (r *runner) record() {
	s := r.sample()
	r.run.Time = s.Time
	r.run.Curve = append(r.run.Curve, s)
	if n := len(r.run.Maps); n < len(r.o.Maps) && r.now >= r.o.Maps[n].Seconds()-1e-6 {
		r.run.Maps = append(r.run.Maps, r.f.mapOf(s.Time, r.heat))
	}
	if r.o.Observe != nil {
		r.o.Observe(s)
	}
}

// event returns the next time at which a step must end.
func (r *runner) event() float64 {
	next := r.limit
	if n := r.stageNumber + 1; n < len(r.stages) {
		next = math.Min(next, r.stages[n].From.Seconds())
	}
	if n := len(r.run.Maps); n < len(r.o.Maps) {
		next = math.Min(next, r.o.Maps[n].Seconds())
	}
	return next
}

// follow steps to the end of the run and sets its status.
func (r *runner) follow() error {
	if r.until.met(r.run.Last()) {
		r.run.Status = Reached
		return nil
	}
	tolerance := float64(r.o.Tolerance)
	want := firstStep
	if r.o.fixed > 0 {
		want = r.o.fixed.Seconds()
	}
	for {
		dt, lands := want, false
		if r.o.Longest > 0 {
			dt = math.Min(dt, r.o.Longest.Seconds())
		}
		left := r.event() - r.now
		switch {
		case dt >= left*(1-1e-9):
			dt, lands = left, true
		case dt > left/2:
			dt = left / 2 // no sliver at the end
		}
		off, ok := r.step(dt)
		if r.stopped() {
			r.run.Status = Stopped
			copy(r.heat, r.march.start)
			return nil
		}
		if r.o.fixed == 0 && (!ok || off > 1.5*tolerance) || !ok {
			if ok {
				want = dt * math.Max(0.2, 0.9*math.Cbrt(tolerance/off))
			} else {
				want = dt / 4
			}
			if want < leastStep {
				return &InputError{"field", fmt.Sprintf("after %.4g s", r.now), "the equations could not be solved: take more even cells and properties"}
			}
			continue
		}
		before := r.run.Last()
		if after := r.sampleAt(r.now + dt); r.until.met(after) {
			dt = r.crossing(dt, before, after)
			r.take(dt)
			r.record()
			r.run.Status = Reached
			return nil
		}
		r.take(dt)
		if lands {
			r.now = math.Round(r.now*1e9) / 1e9
		}
		r.record()
		if r.o.fixed == 0 {
			next := dt * math.Max(0.3, math.Min(3, 0.9*math.Cbrt(tolerance/math.Max(off, 1e-12))))
			if dt < 0.99*want { // cut short for an event, which says nothing against the longer one
				next = math.Max(next, want)
			}
			want = next
		}
		if n := r.stageNumber + 1; n < len(r.stages) && r.now >= r.stages[n].From.Seconds()-1e-6 {
			r.stageNumber = n
			r.enter(&r.stages[n])
			if r.o.fixed == 0 {
				want = firstStep
			}
			if reason := r.impossible(); reason != "" {
				r.run.Status, r.run.Reason = Never, reason
				return nil
			}
			continue
		}
		if reason := r.steady(before, dt); reason != "" {
			r.run.Status, r.run.Reason = Never, reason
			return nil
		}
		if r.now >= r.limit-1e-6 {
			r.run.Status = Limit
			return nil
		}
	}
}

// take accepts a step.
func (r *runner) take(dt float64) {
	in, gross := r.accept(dt)
	r.now += dt
	r.in += in
	r.gross += gross
}

// crossing returns the step, at most dt, after which the criterion is just met, and leaves the field
// as that step makes it. Both samples are of the whole step.
func (r *runner) crossing(dt float64, before, after Sample) float64 {
	low, high := 0.0, dt
	a, b := r.until.distance(before), r.until.distance(after) // above 0; at or below 0
	at := dt
	for range 20 {
		if -b <= r.until.fine() || high-low < 1e-3 {
			break
		}
		x := low + (high-low)*math.Max(0.02, math.Min(0.98, a/(a-b)))
		if _, ok := r.step(x); !ok {
			break
		}
		at = x
		if d := r.until.distance(r.sampleAt(r.now + x)); d > 0 {
			low, a = x, d
		} else {
			high, b = x, d
		}
	}
	if at != high {
		r.step(high) // the last trial fell short, or failed
	}
	return high
}

func (r *runner) finish() {
	r.run.Steps = r.steps
	moved, least := 0.0, 0.0
	for c, v := range r.f.mesh.volume {
		moved += v * math.Abs(r.heat[c]-r.f.heat[c])
		least += v * r.c[c] * 1e-3
	}
	r.run.EnergyError = math.Abs(r.content()-r.in) / max(r.gross, moved, least)
	r.run.Final = State{append([]float64(nil), r.heat...)}
}
