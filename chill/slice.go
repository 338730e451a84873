package chill

import (
	"context"
	"math"
	"time"

	"chablon/heat"
	"chablon/kitchen"
	"chablon/unit"
)

// Slice is the temperatures on the section through the middle of a piece at one moment, as it stands in its
// mould: at the crossings of X, outwards from the middle, and Z, upwards.
type Slice struct {
	Time time.Duration
	X, Z []unit.Length
	T    []unit.Temperature // of X[i], Z[k] at i*len(Z)+k
	In   []bool             // whether the piece reaches there
}

const sliceCell = 3 * unit.Millimetre

// Freezing returns the section's temperatures at moments of a freezing, rising.
func (b *Body) Freezing(ctx context.Context, in kitchen.Equipment, at []time.Duration) ([]Slice, error) {
	place, err := placeOf(in)
	if err != nil {
		return nil, err
	}
	f, err := b.field(sliceCell)
	if err != nil {
		return nil, err
	}
	run, err := f.Run(ctx, []heat.Stage{b.stage(0, place.At(place.Usual), false)}, heat.Criterion{}, heat.Options{Limit: at[len(at)-1] + time.Second, Maps: at, Tolerance: 0.02})
	if err != nil {
		return nil, err
	}
	out := make([]Slice, len(run.Maps))
	for i, m := range run.Maps {
		out[i] = b.slice(m)
	}
	return out, nil
}

func (b *Body) slice(m heat.Map) Slice {
	scale := unit.Length(1) // of a piece that is solved as the round one of its area
	if o := b.section.Mould.Solid.At(b.section.Top); b.round && !o.IsCircle() {
		scale = o.HalfWidth() / unit.Length(math.Sqrt(float64(o.Area())/math.Pi))
	}
	s := Slice{Time: m.Time}
	for i := 1; i < len(m.X); i++ {
		s.X = append(s.X, (m.X[i-1]+m.X[i])/2*scale)
	}
	for k := 1; k < len(m.Z); k++ {
		s.Z = append(s.Z, (m.Z[k-1]+m.Z[k])/2)
	}
	for i := range s.X {
		for k := range s.Z {
			t, in := m.At(i, 0, k)
			s.T, s.In = append(s.T, t), append(s.In, in)
		}
	}
	return s
}
