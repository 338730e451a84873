package chill

import (
	"fmt"
	"sync"

	"chablon/formula"
	"chablon/material"
	"chablon/unit"
)

// tables are remembered by what they are made of: a table takes longer to make than a piece to
// solve.
var (
	tablesMu sync.Mutex // guards tables
	tables   = map[foodKey]*material.Table{}
)

type foodKey struct {
	c   material.Composition
	air float64
}

const mostTables = 256

func tableOf(c material.Composition, air float64) (*material.Table, error) {
	key := foodKey{c, air}
	tablesMu.Lock()
	t := tables[key]
	tablesMu.Unlock()
	if t != nil {
		return t, nil
	}
	thermal, err := c.Thermal(air)
	if err != nil {
		return nil, err
	}
	if t, err = thermal.Table(); err != nil {
		return nil, err
	}
	tablesMu.Lock()
	defer tablesMu.Unlock()
	if len(tables) >= mostTables {
		clear(tables)
	}
	tables[key] = t
	return t, nil
}

// food is a composition with the air that its density tells of.
type food struct {
	of      material.Composition
	air     float64      // share of its volume, at most mostAir
	density unit.Density // with its air
}

// mostAir is as much as a foam's properties are known for, see material.Composition.Thermal.
const mostAir = 0.95

// foodOf returns a composition at a density, which may be unknown: then it holds no air. The error names
// what it is of where its composition is not known well enough.
func foodOf(name string, c material.Composition, density unit.Density) (food, error) {
	airless, ok := c.Density(20)
	if !ok {
		return food{}, fmt.Errorf("the composition of %s is not known well enough to say how it cools and freezes", name)
	}
	if !density.Known() || density >= airless {
		return food{of: c, density: airless}, nil
	}
	return food{of: c, air: min(mostAir, 1-float64(density/airless)), density: density}, nil
}

// finished returns a formula's component with its air.
func finished(f *formula.Formula) (food, error) {
	d, _ := f.FinishedDensity()
	return foodOf(f.Name, f.Composition(), d)
}

func (f food) thermal() (material.Thermal, error) { return f.of.Thermal(f.air) }

func (f food) table() (*material.Table, error) { return tableOf(f.of, f.air) }
