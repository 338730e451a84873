package chill

import (
	"errors"
	"fmt"
	"time"

	"chablon/formula"
	"chablon/heat"
	"chablon/material"
	"chablon/unit"
)

// Setting is how much time there is before a cream with gelatin sets in its bowl.
type Setting struct {
	From, To    unit.Temperature // it begins to set between these
	Early, Late time.Duration    // when the cream reaches them; zero Late: not within six hours
	Filling     time.Duration    // what filling takes
	Share       float64          // of gelatin in the water phase
}

// Enough says whether everything is filled before the earliest moment of setting.
func (s Setting) Enough() bool { return s.Filling <= s.Early }

// Sets answers how long a mass of a formula's cream stays fluid in a round bowl of a diameter, in a
// room, and compares it with the time to fill pieces. It is cooled as one body by the air round the
// bowl; what lies at the wall sets first and must be folded back. Gel temperatures are those of
// material.GelatinTemperatures, whose width is the doubt.
func Sets(f *formula.Formula, m unit.Mass, diameter unit.Length, start, room unit.Temperature, pieces int, each time.Duration) (Setting, error) {
	cream, err := finished(f)
	if err != nil {
		return Setting{}, err
	}
	thermal, err := cream.thermal()
	if err != nil {
		return Setting{}, err
	}
	share, _ := f.Gelatin()
	water, known := f.Composition().Share(material.Water)
	if share <= 0 || !known {
		return Setting{}, fmt.Errorf("%s holds no gelatin, or its water is not on record: it sets by other means, or not at all", f.Name)
	}
	out := Setting{Share: share / (share + water), Filling: time.Duration(pieces) * each}
	g, err := material.GelatinTemperatures(out.Share)
	if err != nil {
		return Setting{}, err
	}
	out.From, out.To = g.Set.High, g.Set.Low
	v := Vessel{Diameter: diameter}
	base := v.base()
	if base <= 0 || !(m > 0) {
		return Setting{}, errors.New("give the mass of the cream and the diameter of its bowl")
	}
	depth := float64(m) / float64(cream.density) / base
	bowl := heat.Bowl{Food: thermal, Mass: m, Area: unit.Area(2*base + v.around()*depth), Inside: 100, VesselAt: min(start, 20)}
	h, err := bowl.Cool(start, []heat.Bath{{Boundary: heat.Room.At(room)}}, 6*time.Hour)
	if err != nil {
		return Setting{}, err
	}
	out.Early, _ = h.Fall(out.From)
	out.Late, _ = h.Fall(out.To)
	return out, nil
}
