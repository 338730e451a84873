package doubt

import (
	"fmt"
	"math"
)

// Law is the distribution of a factor, as a function of a standard normal score. The zero Law is
// the fixed value 0.
type Law struct {
	kind     kind
	mid      float64 // value at score 0
	low, up  float64 // spread below and above, as the kind says
	averaged int     // of so many independent draws; 0 and 1 are one
}

type kind uint8

const (
	fixed     kind = iota
	normal         // mid + spread z, its own spread on either side
	logNormal      // mid exp(spread z)
	uniform        // mid ± spread
)

// Fixed is a value without doubt.
func Fixed(v float64) Law { return Law{mid: v} }

// Normal is the normal law of a mean and a standard deviation.
func Normal(mean, sd float64) Law { return Law{kind: normal, mid: mean, low: sd, up: sd} }

// LogNormal is the law whose logarithm is normal: of a median, with the standard deviation of the
// logarithm.
func LogNormal(median, sd float64) Law {
	return Law{kind: logNormal, mid: median, low: sd, up: sd}
}

// Uniform is the law of everything within half of the middle, equally likely.
func Uniform(middle, half float64) Law { return Law{kind: uniform, mid: middle, low: half, up: half} }

// Between is the law of a middle value and a range that covers a share of all cases, 0.90 say:
// normal on either side with its own spread, so that the range is met exactly.
func Between(low, middle, high, share float64) (Law, error) {
	switch {
	case !(share > 0 && share < 1):
		return Law{}, fmt.Errorf("the range covers a share of %v: give more than 0 and less than 1", share)
	case !(low <= middle && middle <= high) || math.IsInf(high-low, 0):
		return Law{}, fmt.Errorf("the range is %v to %v round %v: give the low value first, then the middle, then the high", low, high, middle)
	}
	z := Score(1 - (1-share)/2)
	return Law{kind: normal, mid: middle, low: (middle - low) / z, up: (high - middle) / z}, nil
}

// Check returns what is wrong with a law, nil if nothing: spreads are finite and not negative.
func (l Law) Check() error {
	for _, x := range []float64{l.mid, l.low, l.up} {
		if math.IsNaN(x) || math.IsInf(x, 0) {
			return fmt.Errorf("a law of %v with spreads of %v and %v: give finite numbers", l.mid, l.low, l.up)
		}
	}
	if l.low < 0 || l.up < 0 {
		return fmt.Errorf("a law with a spread of %v: give 0 or more", min(l.low, l.up))
	}
	if l.kind == logNormal && l.up > 5 {
		return fmt.Errorf("a law whose logarithm has a spread of %v: give at most 5", l.up)
	}
	return nil
}

// At returns the value at a standard normal score: at 0 the median, at 1.645 the value that 95 %
// of all cases stay under.
func (l Law) At(z float64) float64 {
	n := math.Sqrt(float64(max(1, l.averaged)))
	switch l.kind {
	case normal:
		if z < 0 {
			return l.mid + l.low*z/n
		}
		return l.mid + l.up*z/n
	case logNormal:
		if l.averaged <= 1 {
			return l.mid * math.Exp(l.up*z)
		}
		// The mean of n is nearly lognormal, with the same mean and an n-th of the variance.
		// Source: Fenton 1960, the moments matched.
		v := math.Log(1 + (math.Exp(l.up*l.up)-1)/(n*n))
		return l.mid * math.Exp((l.up*l.up-v)/2+math.Sqrt(v)*z)
	case uniform:
		if l.averaged <= 1 {
			return l.mid + l.up*(2*Probability(z)-1)
		}
		return l.mid + l.up/math.Sqrt(3)*z/n
	}
	return l.mid
}

// Mean returns the law of the average of n independent draws.
func (l Law) Mean(n int) Law {
	l.averaged = max(1, n)
	return l
}

// Times returns the law with its spread multiplied.
func (l Law) Times(k float64) Law {
	l.low, l.up = l.low*k, l.up*k
	return l
}

// Known reports whether the value is without doubt.
func (l Law) Known() bool { return l.low == 0 && l.up == 0 }

// Score returns the standard normal score that a share p of all cases stays under, for p between
// 0 and 1; outside it is infinite.
func Score(p float64) float64 {
	switch {
	case !(p > 0):
		return math.Inf(-1)
	case p >= 1:
		return math.Inf(1)
	}
	return -math.Sqrt2 * math.Erfcinv(2*p)
}

// Probability returns the share of all cases under a standard normal score.
func Probability(z float64) float64 { return math.Erfc(-z/math.Sqrt2) / 2 }

// Scope says how far one draw of a factor reaches.
type Scope uint8

// Scopes, named as documents name them.
const (
	Piece  Scope = iota // each piece has its own
	Batch               // all pieces made of one batch share it
	Mould               // all pieces made in one mould share it
	Always              // it is off in the same way every time
)

var scopes = [...]string{"piece", "batch", "mould", "always"}

// String returns the name that documents use.
func (s Scope) String() string { return scopes[min(int(s), len(scopes)-1)] }

// ScopeNamed returns the scope of that name.
func ScopeNamed(name string) (Scope, bool) {
	for i, n := range scopes {
		if n == name {
			return Scope(i), true
		}
	}
	return Piece, false
}

// Factor is one thing that cannot be controlled exactly.
type Factor struct {
	ID, Name string
	Law      Law
	Scope    Scope
	Source   string
	// Remedy is what the cook can do to know it better: "weigh a cup of it".
	Remedy string
}

// Level is how well a cook knows a thing; it multiplies the spread on record.
type Level float64

// Levels. Source: bib:chablon-uncertainty; common practice, no source.
const (
	Measured  Level = 0.5
	Usual     Level = 1
	FirstTime Level = 2
)

// Learnt returns the standard deviation to assume after k measurements with their own standard
// deviation, when it was assumed to be prior before any: the prior counts as m measurements.
// Source: bib:chablon-uncertainty, section 1; m is 4 there.
func Learnt(prior, measured float64, k int) float64 {
	const m = 4
	if k < 2 {
		return prior
	}
	return math.Sqrt((m*prior*prior + float64(k-1)*measured*measured) / (m + float64(k) - 1))
}
