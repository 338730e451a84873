package unit

import (
	"math"
	"testing"
)

// Walls add up as resistances: by hand, 1/20 + 0.002/0.20 = 0.06, 1/0.06 = 16.667.
func TestHeatTransferThrough(t *testing.T) {
	for _, c := range []struct {
		name string
		h    HeatTransfer
		d    Length
		k    Conductivity
		want float64
	}{
		{"silicone", 20, 2 * Millimetre, 0.20, 1 / 0.06},
		{"no wall", 20, 0, 0.20, 20},
		{"perfect insulator", 20, Millimetre, 0, 0},
		{"no air", 0, Millimetre, 0.2, 0},
	} {
		if got := float64(c.h.Through(c.d, c.k)); math.Abs(got-c.want) > 1e-12 {
			t.Errorf("%s: got %g, want %g", c.name, got, c.want)
		}
	}
}
