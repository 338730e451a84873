package heat

import (
	"math"
	"time"

	"chablon/unit"
)

// sample describes the present state of the cells.
func (r *runner) sample() Sample { return r.sampleAt(r.now) }

func (r *runner) sampleAt(now float64) Sample {
	m := r.march
	m.properties(m.heat)
	low, high, mean, ice := math.Inf(1), math.Inf(-1), 0.0, 0.0
	for c, v := range m.f.mesh.volume {
		if v == 0 {
			continue
		}
		t := m.t[c]
		low, high = math.Min(low, t), math.Max(high, t)
		mean += v * t
		table := m.f.foods[m.f.food[c]]
		ice += v * float64(table.Density()) * table.Ice(m.heat[c])
	}
	core := 0.0
	for _, q := range r.core {
		core += q.weight * m.t[q.cell]
	}
	s := Sample{
		Time: time.Duration(now * float64(time.Second)), Core: unit.Celsius(core), Surface: unit.Celsius(m.surfaceMean()),
		Mean: unit.Celsius(mean / m.f.mesh.whole), Warmest: unit.Celsius(high), Coldest: unit.Celsius(low),
	}
	if r.water > 0 {
		s.FrozenShare = ice / r.water
	}
	return s
}

// surfaceMean returns the mean temperature of the outer faces, from the last properties.
func (m *march) surfaceMean() float64 {
	sum := 0.0
	for i, x := range m.f.mesh.faces {
		t := m.t[x.cell]
		flow := m.across[i] * (m.air[x.side] - t) // W
		sum += x.area * (t + flow*x.within/m.k[x.cell])
	}
	return sum / m.f.mesh.surface
}

// Map is the temperature of every cell at one moment, for isotherms.
type Map struct {
	Time time.Duration
	// Edges of the cells along X (or r), Y and Z.
	X, Y, Z     []unit.Length
	temperature []unit.Temperature
	filled      []bool
}

// At returns the temperature of the cell with those numbers along X, Y and Z, and whether any part of
// it is inside the body.
func (m Map) At(x, y, z int) (unit.Temperature, bool) {
	c := (x*(len(m.Y)-1)+y)*(len(m.Z)-1) + z
	return m.temperature[c], m.filled[c]
}

func (f *Field) mapOf(now time.Duration, heat []float64) Map {
	lengths := func(e []float64) []unit.Length {
		out := make([]unit.Length, len(e))
		for i, x := range e {
			out[i] = unit.Length(x)
		}
		return out
	}
	m := Map{Time: now, X: lengths(f.grid.edges[0]), Y: lengths(f.grid.edges[1]), Z: lengths(f.grid.edges[2])}
	m.temperature = make([]unit.Temperature, len(heat))
	m.filled = make([]bool, len(heat))
	for c, h := range heat {
		t, _, _, _ := f.foods[f.food[c]].At(h)
		m.temperature[c], m.filled[c] = unit.Celsius(t), f.mesh.volume[c] > 0
	}
	return m
}
