package cli

import (
	"context"
	"fmt"
	"strings"
	"time"

	"chablon/chill"
	"chablon/drawing"
	"chablon/heat"
	"chablon/kitchen"
	"chablon/unit"
)

// frozenStage is a place that a piece goes through, as --json prints it.
type frozenStage struct {
	Place     string     `json:"place"`
	From      float64    `json:"from_s"`
	To        float64    `json:"to_s"`
	Air       float64    `json:"air_c"`
	Unmoulded bool       `json:"unmoulded"`
	Core      float64    `json:"core_c"` // at its end
	CoreBand  [2]float64 `json:"core_band_c"`
	Surface   float64    `json:"surface_c"`
	Mean      float64    `json:"mean_c"`
}

// frozenPass is a limit and when it is passed.
type frozenPass struct {
	Limit  string     `json:"limit"`
	Passed bool       `json:"passed"`
	Sure   bool       `json:"sure"`
	T      float64    `json:"t_s,omitempty"`
	Band   [2]float64 `json:"band_s"`
	Stage  int        `json:"stage"` // from 0
}

// unmould is the word among the places that takes the mould off.
const unmould = "unmould"

// legs reads the places that a piece goes through: "refrigerator=4h", "van@8°C=40min", "unmould".
func (c *freeze) legs(k *kitchen.Kitchen, first kitchen.Equipment) ([]chill.Leg, error) {
	var lasts time.Duration
	if c.For != "" {
		var err error
		if lasts, err = timeOf("--for", c.For); err != nil {
			return nil, err
		}
	}
	leg, err := chill.LegIn(first, lasts, c.Thaw)
	if err != nil {
		return nil, err
	}
	out, off := []chill.Leg{leg}, c.Thaw
	for _, word := range c.Then {
		if word == unmould {
			off = true
			continue
		}
		if leg, err = c.leg(k, word); err != nil {
			return nil, err
		}
		leg.Unmoulded = off
		out = append(out, leg)
	}
	return out, nil
}

func (c *freeze) leg(k *kitchen.Kitchen, word string) (chill.Leg, error) {
	where, lasts, ok := strings.Cut(word, "=")
	name, at, warm := strings.Cut(where, "@")
	if !ok || name == "" {
		return chill.Leg{}, fmt.Errorf("--then %s: write PLACE=TIME or PLACE@TEMP=TIME, such as van@8°C=40min, or %s", word, unmould)
	}
	d, err := timeOf("--then "+word, lasts)
	if err != nil {
		return chill.Leg{}, err
	}
	leg, err := c.somewhere(k, name, d)
	if err != nil {
		return chill.Leg{}, fmt.Errorf("--then %s: %w", word, err)
	}
	if name == heat.Room.Name && !warm && k.Room != 0 {
		leg.At = k.Room
	}
	if warm {
		q, err := unit.ParseQuantity(at, unit.OfTemperature)
		if err != nil {
			return chill.Leg{}, fmt.Errorf("--then %s: %w", word, err)
		}
		leg.At = q.Temperature()
		if leg.At <= 0 {
			leg.Humidity = 0
		}
	}
	leg.Name = name + " at " + leg.At.Show()
	return leg, nil
}

// somewhere returns a leg in a place of the kitchen, else in one of the places that heat knows.
func (c *freeze) somewhere(k *kitchen.Kitchen, name string, d time.Duration) (chill.Leg, error) {
	for _, e := range k.Find(name) {
		if e.HasSetting {
			return chill.LegIn(e, d, false)
		}
	}
	var names []string
	for _, s := range heat.AllSurroundings() {
		if s.Name == name {
			return chill.Leg{Surroundings: s, At: s.Usual, For: d}, nil
		}
		names = append(names, s.Name)
	}
	return chill.Leg{}, fmt.Errorf("the kitchen has no place of that id with a temperature on record, and it is none of %s", strings.Join(names, ", "))
}

// timeOf reads a time as a cook writes it, "1 1/2 h", or closely written, "1h30m".
func timeOf(flag, text string) (time.Duration, error) {
	if d, err := time.ParseDuration(text); err == nil && d > 0 {
		return d, nil
	}
	q, err := unit.ParseQuantity(text, unit.OfTime)
	if err != nil {
		return 0, fmt.Errorf("%s: %w", flag, err)
	}
	if d := q.Duration(); d > 0 {
		return d, nil
	}
	return 0, fmt.Errorf("%s: %s is no time: write one above 0, such as 40min", flag, text)
}

// follow answers a way through several places and puts it into out.
func (c *freeze) follow(ctx context.Context, body *chill.Body, legs []chill.Leg, out *frozen) (chill.Way, error) {
	const coldest, hottest = 2, 12 // °C, of a serving; common practice, no source
	w, err := body.Follow(ctx, legs, chill.UsualLimits(legs[0].At, coldest, hottest), chill.Planning)
	if err != nil {
		return w, err
	}
	off := false
	for i, m := range w.Ends {
		l := w.Legs[i]
		off = off || l.Unmoulded
		low, high := m.Range(coreOf)
		out.Stages = append(out.Stages, frozenStage{
			Place: l.Name, From: w.Starts[i].Seconds(), To: (w.Starts[i] + l.For).Seconds(), Air: float64(l.At), Unmoulded: off,
			Core: float64(m.Core), CoreBand: [2]float64{float64(low), float64(high)}, Surface: float64(m.Surface), Mean: float64(m.Mean),
		})
	}
	for _, p := range w.Passes {
		out.Passes = append(out.Passes, frozenPass{
			Limit: p.Words, Passed: p.Passed, Sure: p.Sure, T: p.Time.Seconds(), Band: [2]float64{p.Earliest.Seconds(), p.Latest.Seconds()}, Stage: p.Leg,
		})
	}
	out.Reached, out.Criterion, out.Notes, out.EnergyError = true, "the end of its way", w.Notes, w.Run.EnergyError
	end := w.Ends[len(w.Ends)-1].Time.Seconds()
	out.CoreTime, out.Band, out.Surroundings = end, [2]float64{end, end}, legs[0].Name
	out.Curve = curveOf(w.Curve, coreOf)
	return w, nil
}

func coreOf(s heat.Sample) unit.Temperature { return s.Core }

// curveOf returns a curve with the range of the figure that is shown as its core.
func curveOf(curve []chill.Moment, core func(heat.Sample) unit.Temperature) []frozenAt {
	var out []frozenAt
	for _, m := range curve {
		low, high := m.Range(core)
		out = append(out, frozenAt{
			T: m.Time.Seconds(), Core: float64(core(m.Sample)), CoreBand: [2]float64{float64(low), float64(high)},
			Surface: float64(m.Surface), Mean: float64(m.Mean), Frozen: m.FrozenShare,
		})
	}
	return out
}

func printWay(p Process, out frozen) {
	for _, s := range out.Stages {
		state := ""
		if s.Unmoulded {
			state = ", unmoulded"
		}
		fmt.Fprintf(p.Stdout, "%10s to %s  %s%s: core %.1f °C (%.1f to %.1f), surface %.1f °C\n",
			seconds(s.From), seconds(s.To), s.Place, state, s.Core, s.CoreBand[0], s.CoreBand[1], s.Surface)
	}
	for _, x := range out.Passes {
		switch {
		case x.Passed && x.Sure:
			fmt.Fprintf(p.Stdout, "%s after %s (%s to %s), in %s\n", x.Limit, seconds(x.T), seconds(x.Band[0]), seconds(x.Band[1]), out.Stages[x.Stage].Place)
		case x.Passed:
			fmt.Fprintf(p.Stdout, "%s after %s (from %s, perhaps not at all), in %s\n", x.Limit, seconds(x.T), seconds(x.Band[0]), out.Stages[x.Stage].Place)
		case x.Band[1] > 0:
			fmt.Fprintf(p.Stdout, "%s: not on this way, but perhaps after %s\n", x.Limit, seconds(x.Band[0]))
		default:
			fmt.Fprintf(p.Stdout, "%s: not on this way\n", x.Limit)
		}
	}
}

// seconds shows a time as the answers hold it.
func seconds(s float64) string { return unit.ShowDuration(time.Duration(s * float64(time.Second))) }

// places returns where the curve of a way changes its surroundings.
func (f *frozen) places() []drawing.CurvePlace {
	var out []drawing.CurvePlace
	for _, s := range f.Stages {
		out = append(out, drawing.CurvePlace{From: time.Duration(s.From * float64(time.Second)), Name: s.Place})
	}
	return out
}
