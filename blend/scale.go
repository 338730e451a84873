package blend

import (
	"fmt"
	"math"

	"chablon/unit"
)

const (
	// tolerance is by how much a limit may be missed, for rows of length one and masses in sizes
	// of the problem. It is a thousand times what rounding does to sums of 500 terms of order one.
	tolerance = 1e-9
	// slackest is the greatest miss with which an answer is still called Optimal.
	slackest = 1e-7
	// nothing is the magnitude below which a coefficient counts as zero.
	nothing = 1e-18
)

// limit is one of the caller's limits, scaled: lo ≤ quantity ≤ hi. Quantities 0 … n−1 are the
// amounts, those from n on the rows.
type limit struct {
	text   string
	at     int
	lo, hi float64
}

// system is a Problem in scaled form: amounts are y = x/size, rows have length one (or are all
// zero), and goals are rows of a least-squares sum.
type system struct {
	n      int
	size   float64
	now    []float64
	rows   [][]float64
	limits []limit
	goals  [][]float64 // √weight · (c − target·per)
	wanted []float64   // √weight · target / size, 0 for a ratio
}

// scale brings a valid problem to scaled form.
func (p Problem) scale() *system {
	n := len(p.Materials)
	s := &system{n: n, size: p.size(), now: make([]float64, n)}
	for i, m := range p.Materials {
		s.now[i] = float64(m.Now) / s.size
		if m.Fixed {
			s.limit(m.Name+": fixed at "+m.Now.Show(), i, s.now[i], s.now[i])
		}
		if m.Least > 0 {
			s.limit(m.Name+": at least "+m.Least.Show(), i, float64(m.Least)/s.size, math.Inf(1))
		}
		if m.Most > 0 {
			s.limit(m.Name+": at most "+m.Most.Show(), i, math.Inf(-1), float64(m.Most)/s.size)
		}
	}
	if p.Total > 0 {
		ones, _ := p.column("") // the mass is always there
		at, norm := s.row(ones)
		s.limit("total: "+p.Total.Show(), at, float64(p.Total)/s.size/norm, float64(p.Total)/s.size/norm)
	}
	for _, b := range p.Bounds {
		s.bound(b)
	}
	for _, g := range p.Goals {
		if g.Weight == 0 {
			continue
		}
		root := math.Sqrt(g.Weight)
		c, target := over(g.Coefficients, g.Per, g.Target)
		for i := range c {
			c[i] *= root
		}
		s.goals = append(s.goals, c)
		s.wanted = append(s.wanted, root*target/s.size)
	}
	return s
}

// bound adds one or two limits on one or two rows.
func (s *system) bound(b Bound) {
	l := b.Limits
	if l.exact() {
		c, v := over(b.Coefficients, b.Per, l.Least)
		at, norm := s.row(c)
		s.limit(fmt.Sprintf("%s: exactly %.6g", b.Name, l.Least), at, v/s.size/norm, v/s.size/norm)
		return
	}
	if l.LeastKnown {
		c, v := over(b.Coefficients, b.Per, l.Least)
		at, norm := s.row(c)
		s.limit(fmt.Sprintf("%s: at least %.6g", b.Name, l.Least), at, v/s.size/norm, math.Inf(1))
		if l.MostKnown && b.Per == nil { // the same row
			s.limit(fmt.Sprintf("%s: at most %.6g", b.Name, l.Most), at, math.Inf(-1), l.Most/s.size/norm)
			return
		}
	}
	if l.MostKnown {
		c, v := over(b.Coefficients, b.Per, l.Most)
		at, norm := s.row(c)
		s.limit(fmt.Sprintf("%s: at most %.6g", b.Name, l.Most), at, math.Inf(-1), v/s.size/norm)
	}
}

func (s *system) limit(text string, at int, lo, hi float64) {
	s.limits = append(s.limits, limit{text, at, lo, hi})
}

// row adds a row scaled to length one; it returns its index as a quantity and the length that it
// had, 1 for a row of zeros.
func (s *system) row(c []float64) (at int, norm float64) {
	norm = length(c)
	if norm == 0 {
		norm = 1
	}
	for i := range c {
		c[i] /= norm
	}
	s.rows = append(s.rows, c)
	return s.n + len(s.rows) - 1, norm
}

// over returns c − value·per and 0, or c and value if there is no per, in a slice of its own.
// What is left of a difference by rounding alone is zero: scaled to length one it would be a row
// of noise.
func over(c, per []float64, value float64) ([]float64, float64) {
	out := make([]float64, len(c))
	for i := range c {
		out[i] = c[i]
		if per != nil {
			out[i] -= value * per[i]
			if math.Abs(out[i]) <= 1e-13*(math.Abs(c[i])+math.Abs(value*per[i])) {
				out[i] = 0
			}
		}
		if math.Abs(out[i]) < nothing {
			out[i] = 0
		}
	}
	if per != nil {
		value = 0
	}
	return out, value
}

// size returns the mass, in kilograms, that the problem is about: its total, or else the largest
// that a material, bound or goal calls for.
func (p Problem) size() float64 {
	largest := 0.0
	for _, m := range p.Materials {
		largest = max(largest, float64(max(m.Now, m.Least)))
	}
	calls := func(coefficients, per []float64, value float64) {
		if norm := length(coefficients); per == nil && norm > nothing {
			largest = max(largest, min(math.Abs(value)/norm, float64(MaxMass)))
		}
	}
	for _, b := range p.Bounds {
		calls(b.Coefficients, b.Per, max(b.Limits.Least, -b.Limits.Most, 0))
	}
	for _, g := range p.Goals {
		calls(g.Coefficients, g.Per, g.Target)
	}
	switch {
	case p.Total > 0:
		largest = float64(p.Total)
	case largest == 0:
		largest = 1
	}
	return max(largest, float64(unit.Milligram)/1000)
}

// length returns the Euclidean length of c.
func length(c []float64) float64 {
	sum := 0.0
	for _, v := range c {
		sum += v * v // at most 500e18, and what underflows is below nothing
	}
	return math.Sqrt(sum)
}

// dot returns a·b, summed in four strands that the processor can work on side by side.
func dot(a, b []float64) float64 {
	b = b[:len(a)]
	var s0, s1, s2, s3 float64
	i := 0
	for ; i+4 <= len(a); i += 4 {
		s0 += a[i] * b[i]
		s1 += a[i+1] * b[i+1]
		s2 += a[i+2] * b[i+2]
		s3 += a[i+3] * b[i+3]
	}
	for ; i < len(a); i++ {
		s0 += a[i] * b[i]
	}
	return (s0 + s1) + (s2 + s3)
}

// ranges returns the range of each quantity under the limits that are on (all if on is nil), and
// for each end the limit that sets it: -1 for none, as at an amount's natural zero.
func (s *system) ranges(on []bool) (r ranges) {
	k := s.n + len(s.rows)
	r = ranges{make([]float64, k), make([]float64, k), make([]int, k), make([]int, k)}
	for i := range k {
		r.lo[i], r.hi[i], r.low[i], r.high[i] = math.Inf(-1), math.Inf(1), -1, -1
		if i < s.n {
			r.lo[i] = 0
		}
	}
	for i, l := range s.limits {
		if on != nil && !on[i] {
			continue
		}
		if l.lo > r.lo[l.at] {
			r.lo[l.at], r.low[l.at] = l.lo, i
		}
		if l.hi < r.hi[l.at] {
			r.hi[l.at], r.high[l.at] = l.hi, i
		}
	}
	return r
}

// ranges is the range of each quantity, and which limits set its ends.
type ranges struct {
	lo, hi    []float64
	low, high []int
}

// broken returns by how much the quantities of y leave their ranges at most.
func (s *system) broken(y []float64, r ranges) float64 {
	worst := 0.0
	for k := range r.lo {
		v := s.quantity(k, y)
		worst = max(worst, r.lo[k]-v, v-r.hi[k])
		if math.IsNaN(v) {
			return math.Inf(1)
		}
	}
	return worst
}

func (s *system) quantity(k int, y []float64) float64 {
	if k < s.n {
		return y[k]
	}
	return dot(s.rows[k-s.n], y)
}
