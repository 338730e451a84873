package chill_test

import (
	"math"
	"testing"

	"chablon/chill"
	"chablon/heat"
	"chablon/mould"
	"chablon/unit"
)

// insulation is a place that takes no heat.
func insulation() chill.Leg {
	return leg(heat.Surroundings{Name: "insulation"}, 20, 0, true)
}

func carry(t testing.TB, b *chill.Body, hot chill.Leg, core unit.Temperature, then chill.Leg) chill.Carried {
	t.Helper()
	c, err := b.CarryOver(t.Context(), hot, core, then)
	if err != nil || c.Reason != "" {
		t.Fatal(err, c.Reason)
	}
	if !(c.OutLow <= c.Out && c.Out <= c.OutHigh && c.RiseLow <= c.Rise && c.Rise <= c.RiseTop) || math.Abs(float64(c.Core-core)-float64(c.Rise)) > 1e-9 {
		t.Errorf("%+v", c)
	}
	return c
}

// Put into perfect insulation the core ends at the mean that the piece had when it came out: the heat in it stays.
// The mean is that of a run in the same heat for as long.
func TestCarryOverInInsulation(t *testing.T) {
	t.Parallel()
	s, err := mould.Ring(80*mm, 40*mm)
	b := bodyOf(t, s, err, chill.At(20, 20))
	hot := leg(heat.WaterBath, 90, 0, true)
	hot.Humidity = 0
	c := carry(t, b, hot, 70, insulation())
	hot.For = c.Out
	w := follow(t, b, nil, hot)
	mean := w.Ends[0].Mean
	if math.Abs(float64(c.Core-mean)) > 0.1 || c.Rise < 1 {
		t.Errorf("the core rises %v to %v, the mean was %v", c.Rise, c.Core, mean)
	}
}

// In a room it rises less than in insulation, in iced water less still; the hotter the bath, the more.
func TestCarryOverByPlace(t *testing.T) {
	t.Parallel()
	s, err := mould.Ring(80*mm, 40*mm)
	b := bodyOf(t, s, err, chill.At(20, 20))
	bath := func(at unit.Temperature) chill.Leg { return leg(heat.WaterBath, at, 0, true) }
	room, iced := leg(heat.Room, 21, 0, true), leg(heat.StirredIceBath, 0.5, 0, true)
	kept, stood, cooled := carry(t, b, bath(90), 70, insulation()), carry(t, b, bath(90), 70, room), carry(t, b, bath(90), 70, iced)
	if !(kept.Rise > stood.Rise && stood.Rise > cooled.Rise && cooled.Rise >= 0) || stood.Peak <= 0 {
		t.Errorf("insulated %v, in the room %v, iced %v", kept.Rise, stood.Rise, cooled.Rise)
	}
	if gentle := carry(t, b, bath(75), 70, room); gentle.Rise >= stood.Rise || gentle.Out <= stood.Out {
		t.Errorf("from 75 °C it rises %v after %v, from 90 °C %v after %v", gentle.Rise, gentle.Out, stood.Rise, stood.Out)
	}
	if c, err := b.CarryOver(t.Context(), bath(65), 70, room); err != nil || c.Reason == "" {
		t.Errorf("70 °C in water of 65 °C: %+v, %v", c, err)
	}
	if _, err := b.CarryOver(t.Context(), bath(90), 10, room); err == nil {
		t.Error("a core that is warm from the start is taken")
	}
}
