package heat

import (
	"fmt"
	"math"

	"chablon/unit"
)

// measure is a figure of a Sample that a run can wait for.
type measure uint8

const (
	nothing measure = iota
	ofCore
	ofSurface
	ofMean
	ofWarmest
	ofColdest
	ofShare
)

var measureNames = [...]string{"nothing", "core", "surface", "mean", "warmest point", "coldest point", "frozen share of the water"}

// Criterion is what ends a run. The zero Criterion is never met: the run goes to its limit.
type Criterion struct {
	of     measure
	rising bool
	value  float64 // degC or share
}

// CoreBelow is met when the core is at or below a temperature: solid enough to unmould.
func CoreBelow(t unit.Temperature) Criterion { return Criterion{ofCore, false, t.Celsius()} }

// CoreAbove is met when the core is at or above a temperature.
func CoreAbove(t unit.Temperature) Criterion { return Criterion{ofCore, true, t.Celsius()} }

// SurfaceBelow is met when the mean of the outer faces is at or below a temperature.
func SurfaceBelow(t unit.Temperature) Criterion { return Criterion{ofSurface, false, t.Celsius()} }

// MeanBelow is met when the mean over the volume is at or below a temperature.
func MeanBelow(t unit.Temperature) Criterion { return Criterion{ofMean, false, t.Celsius()} }

// WarmestBelow is met when no part is warmer than a temperature.
func WarmestBelow(t unit.Temperature) Criterion { return Criterion{ofWarmest, false, t.Celsius()} }

// ColdestAbove is met when no part is colder than a temperature: thawed through.
func ColdestAbove(t unit.Temperature) Criterion { return Criterion{ofColdest, true, t.Celsius()} }

// Frozen is met when a share of all water, above 0 to 1, is ice.
func Frozen(share float64) Criterion { return Criterion{ofShare, true, share} }

// String returns the criterion in words: "core at or below -15 degC".
func (c Criterion) String() string {
	way := "below"
	if c.rising {
		way = "above"
	}
	switch c.of {
	case nothing:
		return "no criterion"
	case ofShare:
		return fmt.Sprintf("%g %% of the water frozen", 100*c.value)
	}
	return fmt.Sprintf("%s at or %s %g degC", measureNames[c.of], way, c.value)
}

func (c Criterion) check() error {
	switch c.of {
	case nothing:
		return nil
	case ofShare:
		if !(c.value > 0 && c.value <= 1) {
			return &InputError{"frozen share", fmt.Sprintf("%g", c.value), "give one above 0, up to 1"}
		}
		return nil
	}
	return checkTemperature("criterion, "+measureNames[c.of], unit.Celsius(c.value))
}

// of returns the figure of a sample that the criterion waits for.
func (c Criterion) figure(s Sample) float64 {
	switch c.of {
	case ofCore:
		return s.Core.Celsius()
	case ofSurface:
		return s.Surface.Celsius()
	case ofMean:
		return s.Mean.Celsius()
	case ofWarmest:
		return s.Warmest.Celsius()
	case ofColdest:
		return s.Coldest.Celsius()
	}
	return s.FrozenShare
}

// distance is how far a sample is from the criterion: at or below 0 where it is met.
func (c Criterion) distance(s Sample) float64 {
	if c.of == nothing {
		return 1
	}
	if c.rising {
		return c.value - c.figure(s)
	}
	return c.figure(s) - c.value
}

func (c Criterion) met(s Sample) bool { return c.distance(s) <= 0 }

// fine is the distance within which the crossing is sought.
func (c Criterion) fine() float64 {
	if c.of == ofShare {
		return 1e-5
	}
	return 1e-3
}

// impossible says, from the present stage if it is the last, why the criterion cannot be met, or
// nothing. No cell ever leaves the span of the cells as they are and the surroundings; what a cold insert
// or a warm one does for a while is left to the run.
func (r *runner) impossible() string {
	if r.until.of == nothing || r.stageNumber+1 < len(r.stages) || r.until.met(r.run.Last()) {
		return ""
	}
	low, high := r.surroundings(r.stages[r.stageNumber:])
	if math.IsInf(low, 1) {
		return "" // insulated: decided by steady
	}
	now := r.run.Last()
	coldest, warmest := math.Min(low, float64(now.Coldest)), math.Max(high, float64(now.Warmest))
	switch c := r.until; {
	case c.of == ofShare:
		if most := r.shareAt(coldest); most < c.value {
			return fmt.Sprintf("at %.3g degC no more than %.0f %% of the water is ice; colder surroundings or a smaller share are needed", coldest, 100*most)
		}
	case c.rising && warmest <= c.value:
		return fmt.Sprintf("%s never reaches %.3g degC in surroundings of %.3g degC: take warmer surroundings or a lower target", measureNames[c.of], c.value, high)
	case !c.rising && coldest >= c.value:
		return fmt.Sprintf("%s never reaches %.3g degC in surroundings of %.3g degC: take colder surroundings or a higher target", measureNames[c.of], c.value, low)
	}
	return ""
}

// surroundings returns the coldest and warmest air that touches the body in the stages, degC.
func (r *runner) surroundings(stages []Stage) (low, high float64) {
	low, high = math.Inf(1), math.Inf(-1)
	for i := range stages {
		for _, f := range r.f.mesh.faces {
			if b := stages[i].boundary(f.side); b.Overall() > 0 {
				low, high = math.Min(low, b.Air.Celsius()), math.Max(high, b.Air.Celsius())
			}
		}
	}
	return low, high
}

// shareAt returns the frozen share of the water with the whole body at t degC.
func (r *runner) shareAt(t float64) float64 {
	if r.water == 0 {
		return 0
	}
	ice := 0.0
	for c, v := range r.f.mesh.volume {
		table := r.f.foods[r.f.food[c]]
		ice += v * float64(table.Density()) * table.Ice(table.Heat(unit.Celsius(t)))
	}
	return ice / r.water
}

// steady says that nothing moves any more in the last stage although the criterion is not met.
func (r *runner) steady(before Sample, dt float64) string {
	if r.until.of == nothing || r.stageNumber+1 < len(r.stages) || dt < steadyStep {
		return ""
	}
	now := r.run.Last()
	for _, d := range []unit.Temperature{now.Core - before.Core, now.Mean - before.Mean, now.Warmest - before.Warmest, now.Coldest - before.Coldest, now.Surface - before.Surface} {
		if math.Abs(float64(d)) > steadyRate*dt {
			return ""
		}
	}
	// Water that freezes keeps its temperature.
	if math.Abs(now.FrozenShare-before.FrozenShare) > steadyShare*dt {
		return ""
	}
	if r.until.distance(now) < steadyDistance*r.until.fine() {
		return ""
	}
	return fmt.Sprintf("it comes to rest with %s; %s is never reached", r.until.state(now), r.until)
}

// state says where the figure of the criterion stands.
func (c Criterion) state(s Sample) string {
	if c.of == ofShare {
		return fmt.Sprintf("%.0f %% of the water frozen", 100*s.FrozenShare)
	}
	return fmt.Sprintf("%s at %.3g degC", measureNames[c.of], c.figure(s))
}

// noIce lists the foods that have no ice at the coldest surroundings of the schedule.
func (r *runner) noIce() []int {
	low, _ := r.surroundings(r.stages)
	if math.IsInf(low, 1) {
		return nil
	}
	var out []int
	for i, t := range r.f.foods {
		if t.Ice(t.Heat(unit.Celsius(low))) <= 1e-9 {
			out = append(out, i)
		}
	}
	return out
}
