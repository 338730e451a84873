package heat

import (
	"context"
	"math"
	"time"

	"chablon/material"
	"chablon/unit"
)

// Film is a warm coat poured on a frozen piece.
type Film struct {
	Food      *material.Table
	Thickness unit.Length
	Pour, Set unit.Temperature // as it is poured; at which it stands still
}

// Coating is what becomes of a film on a frozen piece.
type Coating struct {
	Status      Status           // Reached when it set, Limit if not within ten minutes
	Set         time.Duration    // until the warmest part of the film is at its setting temperature
	Contact     unit.Temperature // of film and piece in the first instant
	MeltBack    unit.Length      // to what depth the piece was free of ice, at most
	Refrozen    time.Duration    // when none of it was any more; 0 if none was or some still is
	EnergyError float64
}

// figures of the slab that Coat divides
const (
	filmCells = 10
	bodyCells = 60
	bodyDepth = 30 * unit.Millimetre // heat does not get further in coatLimit
	coatLimit = 10 * time.Minute
)

// Coat follows a film on a wide frozen piece of one food, evenly cold, in air: when the film has set and
// how deep the piece thaws under it. Film and piece meet without resistance, and the film is as
// thick as it stays: what runs off takes its heat along. It is one-dimensional: an edge sets sooner.
// Latent heat of the film's own ice is in its table; gelling is taken to need none.
//
// The film must be from 0.1 to 20 mm thick and poured above its setting temperature; errors are
// *InputError.
func Coat(ctx context.Context, film Film, piece *material.Table, cold unit.Temperature, air Boundary) (Coating, error) {
	switch {
	case !(film.Thickness >= 0.1*unit.Millimetre && film.Thickness <= 20*unit.Millimetre):
		return Coating{}, &InputError{"film thickness", film.Thickness.Show(), "give one from 0.1 to 20 mm"}
	case !(film.Set < film.Pour):
		return Coating{}, &InputError{"pouring temperature", film.Pour.Show(), "pour above the setting temperature"}
	case film.Food == nil || piece == nil:
		return Coating{}, &InputError{"foods", "without properties", "make their tables"}
	}
	grid := Graded(bodyDepth, bodyCells, 0.01)
	z := append([]unit.Length(nil), grid...)
	for i := 1; i <= filmCells; i++ {
		z = append(z, bodyDepth+film.Thickness*unit.Length(i)/filmCells)
	}
	f, err := NewField(SlabGrid(z), []*material.Table{piece, film.Food}, func(at Point) Cell {
		if at.Z > bodyDepth {
			return Cell{1, film.Pour}
		}
		return Cell{0, cold}
	})
	if err != nil {
		return Coating{}, err
	}
	c := Coating{Contact: contact(film.Food, film.Pour, piece, cold)}
	first, _ := piece.FreezingPoint()
	melts := piece.Heat(first)
	r, err := f.newRunner(ctx, []Stage{{Top: air}}, WarmestBelow(film.Set), Options{Limit: coatLimit, Tolerance: 0.02})
	if err != nil {
		return Coating{}, err
	}
	r.o.Observe = func(s Sample) {
		thawed := unit.Length(0)
		for i := bodyCells - 1; i >= 0 && r.heat[i] >= melts; i-- {
			thawed = bodyDepth - grid[i]
		}
		switch {
		case thawed > 0:
			c.Refrozen = 0
		case c.MeltBack > 0 && c.Refrozen == 0:
			c.Refrozen = s.Time
		}
		c.MeltBack = max(c.MeltBack, thawed)
	}
	r.start()
	if err := r.follow(); err != nil {
		return Coating{}, err
	}
	c.Status = r.run.Status
	if c.Status == Reached {
		c.Set = r.run.Time
		r.until = Criterion{} // go on to see the piece freeze again
		if err := r.follow(); err != nil {
			return Coating{}, err
		}
	}
	r.finish()
	c.EnergyError = r.run.EnergyError
	return c, ctx.Err()
}

// effusivity returns the root of conductivity, density and specific heat at t, W s^1/2/(m2 K).
func effusivity(x *material.Table, t unit.Temperature) float64 {
	_, slope, k, _ := x.At(x.Heat(t))
	return math.Sqrt(k / slope)
}

// contact returns the temperature at which two foods meet in the first instant (Carslaw & Jaeger 2.15),
// each with the properties of its own temperature.
func contact(a *material.Table, ta unit.Temperature, b *material.Table, tb unit.Temperature) unit.Temperature {
	return meet(effusivity(a, ta), effusivity(b, tb), ta, tb)
}

func meet(e1, e2 float64, t1, t2 unit.Temperature) unit.Temperature {
	return unit.Temperature((e1*float64(t1) + e2*float64(t2)) / (e1 + e2))
}

// SetsIn estimates how long a thin film takes to set on a deep cold piece, whose surface it holds at
// its setting temperature: the heat flow into a half space (Carslaw & Jaeger 2.4) takes up what the film
// has above that. It knows no thawing and no air; Coat does.
func (film Film) SetsIn(piece *material.Table, cold unit.Temperature) time.Duration {
	extra := film.Food.Heat(film.Pour) - film.Food.Heat(film.Set)
	return time.Duration(setsIn(extra*float64(film.Thickness), effusivity(piece, cold), float64(film.Set-cold)) * float64(time.Second))
}

// setsIn returns the seconds in which a half space of effusivity e takes up heat, J/m2, under a
// surface that is difference kelvin warmer.
func setsIn(heat, e, difference float64) float64 {
	return math.Pi / 4 * sq(heat/(e*difference))
}
