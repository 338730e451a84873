package blend

import (
	"math"

	"chablon/unit"
)

// Status is how Solve ended.
type Status uint8

// Ends of Solve. Optimal: the amounts are those asked for. Infeasible: the limits cannot hold
// together, Conflict says which. Stopped: rounding kept the answer from being sure; the amounts,
// if there are any, keep the limits but need not be the nearest.
const (
	Optimal Status = iota
	Infeasible
	Stopped
)

// String returns the word for s: "optimal", "infeasible" or "stopped".
func (s Status) String() string { return [...]string{"optimal", "infeasible", "stopped"}[s] }

// Result is what became of a goal. Value is Coefficients·x, or its ratio to Per·x; of nothing it
// is 0. Miss is Coefficients·x − Target·(Per·x), what Weight multiplies when squared.
type Result struct {
	Name                string
	Value, Target, Miss float64
}

// Solution is the answer to a Problem.
type Solution struct {
	Status  Status
	Amounts []unit.Mass // of each material; nil if there are none
	Goals   []Result    // of each goal; nil if there are no amounts

	// Active are the caller's limits that the amounts lie on, to a ten-millionth of the problem's
	// size, in the order of materials, total and bounds: "cream: at most 200 g", "fat: exactly
	// 0.35". An amount that is zero for want of use is not among them.
	Active []string

	// Conflict are the caller's limits that cannot hold together, in the same words and order.
	// Leaving out any one of them lets the others hold. Empty unless Infeasible.
	Conflict []string

	Stay  float64 // the weight of staying that was used, per kg²
	Steps int     // of the active-set method
}

// Solve finds the amounts. The error is that of Validate; limits that conflict are a Status.
func (p Problem) Solve() (Solution, error) {
	if err := p.Validate(); err != nil {
		return Solution{Status: Stopped}, err
	}
	s := p.scale()
	stay, curvature := p.stay()
	r := s.ranges(nil)
	best := s.nearest(s.distance(stay, curvature), r)
	out := Solution{Status: Optimal, Stay: stay, Steps: best.steps}
	if best.solved && s.broken(best.y, r) <= slackest {
		out.fill(p, s, best.y)
		return out, nil
	}
	switch v, point, core := s.agree(nil); v {
	case conflict:
		out = Solution{Status: Infeasible, Steps: best.steps}
		for _, l := range s.conflicting(core) {
			out.Conflict = append(out.Conflict, s.limits[l].text)
		}
	case agree:
		out.Status = Stopped
		out.fill(p, s, point)
	default:
		out.Status = Stopped
	}
	return out, nil
}

// stay returns the weight of staying, per kg², and the greatest curvature of the objective.
func (p Problem) stay() (stay, curvature float64) {
	diagonal := make([]float64, len(p.Materials))
	for _, g := range p.Goals {
		c, _ := over(g.Coefficients, g.Per, g.Target)
		for i, v := range c {
			diagonal[i] += g.Weight * v * v
			curvature = max(curvature, diagonal[i])
		}
	}
	switch {
	case curvature == 0 && p.Stay == 0:
		stay = 1
	case p.Stay == 0:
		stay = StayShare * curvature
	default:
		stay = max(p.Stay, leastStay*curvature)
	}
	return stay, max(stay, curvature)
}

// fill sets what is said of the amounts of a point.
func (out *Solution) fill(p Problem, s *system, y []float64) {
	x := make([]float64, s.n)
	out.Amounts = make([]unit.Mass, s.n)
	for i := range y {
		x[i] = max(y[i], 0) * s.size
		out.Amounts[i] = unit.Mass(x[i])
		if m := p.Materials[i]; m.Fixed {
			x[i], out.Amounts[i] = float64(m.Now), m.Now
		}
	}
	for _, g := range p.Goals {
		r := Result{Name: g.Name, Target: g.Target, Value: dot(g.Coefficients, x)}
		if g.Per == nil {
			r.Miss = r.Value - g.Target
		} else {
			per := dot(g.Per, x)
			r.Miss = r.Value - g.Target*per
			if per > 0 {
				r.Value /= per
			} else {
				r.Value = 0
			}
		}
		if math.IsInf(r.Value, 0) { // over next to nothing
			r.Value = 0
		}
		out.Goals = append(out.Goals, r)
	}
	for _, l := range s.limits {
		v := s.quantity(l.at, y)
		if v-l.lo <= slackest || l.hi-v <= slackest {
			out.Active = append(out.Active, l.text)
		}
	}
}
