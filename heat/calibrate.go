package heat

import (
	"fmt"
	"math"
	"time"

	"chablon/unit"
)

// Unknown is a figure that probe readings shall correct: a surface coefficient, a conductivity.
type Unknown struct {
	Name  string
	Guess float64 // above 0
	Doubt float64 // one standard deviation of its logarithm: 0.3 for a coefficient, 0.2 for a conductivity
}

// ProbeReading is a temperature that was read. Where the probe was is the model's affair.
type ProbeReading struct {
	At          time.Duration
	Temperature unit.Temperature
	Error       unit.TempDiff // one standard deviation, probe and its place: 0.5 to 1 K
}

// Model returns the temperatures that it expects at the readings for values of the unknowns, in order.
type Model func(values []float64) ([]unit.Temperature, error)

// Fit is what readings made of the unknowns.
type Fit struct {
	Values     []float64
	Doubt      []float64   // of their logarithms, one standard deviation
	Covariance [][]float64 // of their logarithms
	Residual   []unit.TempDiff
	// Misfit is the root mean square of the residuals over their errors: well above 1 the model or a
	// reading is wrong, and the doubts are too small.
	Misfit    float64
	Converged bool
	unknowns  []Unknown
}

const (
	calibrationRounds = 30
	calibrationStep   = 0.02 // of a logarithm, for derivatives
	calibrationBounds = 2.5  // doubts of an unknown in one round, at most
)

// Calibrate corrects unknowns by readings: the most probable logarithms where what is known before is
// normal around the guesses, and so are the errors of the readings. So a single reading already
// narrows the doubt, and what the readings do not tell keeps its guess.
//
// Gauss-Newton with derivatives by differences of the model, which is called once more than there are
// unknowns in each round; a step that makes it worse is halved. Covariance is the inverse of the
// Gauss-Newton matrix at the end. Unusable figures are an *InputError; errors of the model are
// returned.
func Calibrate(unknowns []Unknown, readings []ProbeReading, model Model) (Fit, error) {
	if err := checkCalibration(unknowns, readings); err != nil {
		return Fit{}, err
	}
	n := len(unknowns)
	fit := Fit{unknowns: unknowns, Values: make([]float64, n)}
	x := make([]float64, n) // logarithms over the guesses
	cost, residual, err := fit.cost(x, readings, model)
	if err != nil {
		return Fit{}, err
	}
	for range calibrationRounds {
		matrix, gradient, err := fit.normal(x, residual, readings, model)
		if err != nil {
			return Fit{}, err
		}
		fit.Covariance = inverse(matrix)
		step := make([]float64, n)
		for i := range step {
			for j := range step {
				step[i] -= fit.Covariance[i][j] * gradient[j]
			}
			most := calibrationBounds * unknowns[i].Doubt
			step[i] = math.Max(-most, math.Min(most, step[i]))
		}
		better := false
		for range 12 {
			trial := make([]float64, n)
			for i := range trial {
				trial[i] = x[i] + step[i]
			}
			c, r, err := fit.cost(trial, readings, model)
			if err != nil {
				return Fit{}, err
			}
			if c <= cost {
				better = true
				fit.Converged = cost-c <= 1e-6*(1+cost)
				x, cost, residual = trial, c, r
				break
			}
			for i := range step {
				step[i] /= 2
			}
		}
		if !better {
			fit.Converged = true // no way down is left
		}
		if fit.Converged {
			break
		}
	}
	fit.finish(x, residual, readings)
	return fit, nil
}

func checkCalibration(unknowns []Unknown, readings []ProbeReading) error {
	if len(unknowns) == 0 || len(readings) == 0 {
		return &InputError{"calibration", fmt.Sprintf("of %d unknowns by %d readings", len(unknowns), len(readings)), "give at least one of each"}
	}
	for _, u := range unknowns {
		if !(u.Guess > 0 && u.Guess < 1e12 && u.Doubt > 0 && u.Doubt <= 3) {
			return &InputError{"unknown " + u.Name, fmt.Sprintf("%g with a doubt of %g", u.Guess, u.Doubt), "give a guess above 0 and a doubt of its logarithm above 0, up to 3"}
		}
	}
	for i, r := range readings {
		if err := checkTemperature(fmt.Sprintf("reading %d", i+1), r.Temperature); err != nil {
			return err
		}
		if !(r.Error > 0 && r.Error <= 50) || r.At < 0 {
			return &InputError{fmt.Sprintf("reading %d", i+1), fmt.Sprintf("at %v, error %g K", r.At, float64(r.Error)), "give a time from 0 and an error above 0"}
		}
	}
	return nil
}

// values sets Values to those of logarithms x over the guesses.
func (f *Fit) values(x []float64) []float64 {
	out := make([]float64, len(x))
	for i := range x {
		out[i] = f.unknowns[i].Guess * math.Exp(x[i])
	}
	return out
}

// cost returns the sum of squares of doubts and errors, and the residuals over their errors.
func (f *Fit) cost(x []float64, readings []ProbeReading, model Model) (float64, []float64, error) {
	expected, err := model(f.values(x))
	if err != nil {
		return 0, nil, err
	}
	if len(expected) != len(readings) {
		panic("heat: a model must return one temperature for each reading")
	}
	sum := 0.0
	for i, u := range f.unknowns {
		sum += sq(x[i] / u.Doubt)
	}
	residual := make([]float64, len(readings))
	for i, r := range readings {
		residual[i] = float64(expected[i]-r.Temperature) / float64(r.Error)
		sum += sq(residual[i])
	}
	if math.IsNaN(sum) {
		return 0, nil, &InputError{"model", "not a number", "let it give temperatures for all values above 0"}
	}
	return sum, residual, nil
}

// normal returns the matrix and the gradient of Gauss and Newton at x, half of the second and first
// derivatives of cost.
func (f *Fit) normal(x, residual []float64, readings []ProbeReading, model Model) ([][]float64, []float64, error) {
	n := len(x)
	slope := make([][]float64, n)
	for i := range x {
		moved := append([]float64(nil), x...)
		moved[i] += calibrationStep
		_, r, err := f.cost(moved, readings, model)
		if err != nil {
			return nil, nil, err
		}
		slope[i] = make([]float64, len(r))
		for k := range r {
			slope[i][k] = (r[k] - residual[k]) / calibrationStep
		}
	}
	matrix, gradient := make([][]float64, n), make([]float64, n)
	for i := range matrix {
		matrix[i] = make([]float64, n)
		for j := range matrix[i] {
			matrix[i][j] = dot(slope[i], slope[j])
		}
		matrix[i][i] += 1 / sq(f.unknowns[i].Doubt)
		gradient[i] = dot(slope[i], residual) + x[i]/sq(f.unknowns[i].Doubt)
	}
	return matrix, gradient, nil
}

func (f *Fit) finish(x, residual []float64, readings []ProbeReading) {
	f.Values = f.values(x)
	f.Misfit = math.Sqrt(dot(residual, residual) / float64(len(residual)))
	for i := range x {
		f.Doubt = append(f.Doubt, math.Sqrt(f.Covariance[i][i]))
	}
	for i, r := range readings {
		f.Residual = append(f.Residual, unit.TempDiff(residual[i]*float64(r.Error)))
	}
}

// Ready returns a time that follows from the unknowns, with the range in which it lies two times out of
// three: their covariance carried through it by differences, and own, the doubt of everything else as a
// part of the time.
func (f *Fit) Ready(own float64, model func(values []float64) (time.Duration, error)) (Estimate, error) {
	if !(own >= 0 && own < 1) {
		return Estimate{}, &InputError{"doubt", fmt.Sprintf("%g", own), "give a part of the time, from 0, below 1"}
	}
	at, err := model(f.Values)
	if err != nil {
		return Estimate{}, err
	}
	slope := make([]float64, len(f.Values)) // of the time's logarithm
	for i := range slope {
		moved := append([]float64(nil), f.Values...)
		moved[i] *= math.Exp(calibrationStep)
		t, err := model(moved)
		if err != nil {
			return Estimate{}, err
		}
		slope[i] = math.Log(t.Seconds()/at.Seconds()) / calibrationStep
	}
	variance := sq(own)
	for i := range slope {
		for j := range slope {
			variance += slope[i] * f.Covariance[i][j] * slope[j]
		}
	}
	spread := math.Sqrt(variance)
	if math.IsNaN(spread) {
		return Estimate{}, &InputError{"time", at.String(), "let the model give times above 0"}
	}
	return Estimate{
		Time: at, Low: time.Duration(float64(at) * math.Exp(-spread)), High: time.Duration(float64(at) * math.Exp(spread)),
		Method: "corrected by probe readings (Gauss-Newton)",
	}, nil
}

// inverse returns the inverse of a symmetric matrix that is positive definite, by Gauss and Jordan.
func inverse(m [][]float64) [][]float64 {
	n := len(m)
	a := make([][]float64, n)
	for i := range a {
		a[i] = append(append([]float64(nil), m[i]...), make([]float64, n)...)
		a[i][n+i] = 1
	}
	for i := range a {
		p := a[i][i]
		for j := range a[i] {
			a[i][j] /= p
		}
		for k := range a {
			if k == i {
				continue
			}
			by := a[k][i]
			for j := range a[k] {
				a[k][j] -= by * a[i][j]
			}
		}
	}
	for i := range a {
		a[i] = a[i][n:]
	}
	return a
}
