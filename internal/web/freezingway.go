package web

import (
	"context"
	"errors"
	"fmt"
	"net/url"
	"slices"
	"time"

	"chablon/chill"
	"chablon/drawing"
	"chablon/heat"
	"chablon/kitchen"
	"chablon/unit"
)

// wayView is what becomes of a piece in one place after the other.
type wayView struct {
	Ask    inquiry
	Curve  figure
	Stages []wayStage
	Passes []wayPass
}

// wayStage is a place on the way, and the piece as it leaves it.
type wayStage struct{ Place, From, To, Core, Range, Surface string }

// wayPass is a limit, and when it is passed; what does not come to it is empty.
type wayPass struct{ Limit, Usual, Earliest, Latest, Where string }

// wayLegs is how many places may follow the freezer.
const wayLegs = 3

// elsewhere are places that are no equipment of a kitchen, by their names on the page.
var elsewhere = []struct {
	pick
	heat.Surroundings
}{
	{pick{"room", "the room"}, heat.Room},
	{pick{"counter", "a counter"}, heat.Counter},
	{pick{"van", "a cold van"}, heat.Van},
}

// way follows the piece through the places that the address names.
func (v *freezingView) way(ctx context.Context, q url.Values) {
	freezers := v.places(isFreezer)
	if len(freezers) == 0 {
		return
	}
	v.Way.Ask = inquiry{ID: "way", Title: "On its way", Fields: []inquiryField{
		{Name: "in1", Label: "First in", Choices: picks(freezers)},
		{Name: "for1", Label: "for", Hint: "until solid", Optional: true},
		{Name: "off", Label: "then unmoulded", Value: "yes", Check: true},
	}}
	var rest []pick
	rest = append(rest, pick{"", "nowhere"})
	rest = append(rest, picks(v.places(func(kitchen.Equipment) bool { return true }))...)
	for _, x := range elsewhere {
		rest = append(rest, x.pick)
	}
	usual := [wayLegs][2]string{{"", "6 h"}, {"van", "40 min"}, {"counter", "1 h"}}
	if list := v.places(isRefrigerator); len(list) > 0 {
		usual[0][0] = list[0].ID
		if v.thaws > 0 {
			usual[0][1] = unit.ShowEstimate(v.thaws)
		}
	}
	for i, x := range usual {
		n := number(i + 2)
		v.Way.Ask.Fields = append(v.Way.Ask.Fields,
			inquiryField{Name: "in" + n, Label: "then in", Value: x[0], Choices: rest, Row: true},
			inquiryField{Name: "at" + n, Label: "at", Hint: "its own", Optional: true},
			inquiryField{Name: "for" + n, Label: "for", Value: x[1], Optional: true},
		)
	}
	v.Way.Ask.Fields = append(v.Way.Ask.Fields,
		inquiryField{Name: "low", Label: "Served between", Value: "2 °C", Row: true},
		inquiryField{Name: "high", Label: "and", Value: "12 °C"},
	)
	if !v.Way.Ask.asks(q) {
		return
	}
	a := &v.Way.Ask
	legs := v.legs(a, freezers)
	low, high := a.degrees("low"), a.degrees("high")
	if a.refused() {
		return
	}
	if low >= high {
		a.wrong("high", fmt.Errorf("served between %s and %s: the first must be the colder", low.Show(), high.Show()))
		return
	}
	w, err := v.fresh.Follow(ctx, legs, chill.UsualLimits(legs[0].At, low, high), chill.Planning)
	if err != nil {
		a.fail(err)
		return
	}
	v.Way.show(w)
}

// legs reads the places of the way; what cannot be read is told at its field.
func (v *freezingView) legs(a *inquiry, freezers []kitchen.Equipment) []chill.Leg {
	i := slices.IndexFunc(freezers, func(e kitchen.Equipment) bool { return e.ID == a.get("in1") })
	if i < 0 {
		a.wrong("in1", errors.New("choose the freezer that it is in first"))
		return nil
	}
	first, err := chill.LegIn(freezers[i], a.hours("for1"), false)
	if err != nil {
		a.wrong("in1", err)
	}
	first.Name = freezers[i].Name
	legs := []chill.Leg{first}
	for n := 2; n < 2+wayLegs; n++ {
		in, at, lasts := "in"+number(n), "at"+number(n), "for"+number(n)
		if a.get(in) == "" {
			continue
		}
		leg, ok := v.somewhere(a.get(in))
		if !ok {
			a.wrong(in, errors.New("choose a place of the list"))
			continue
		}
		if leg.For = a.hours(lasts); leg.For == 0 {
			a.wrong(lasts, errors.New("say for how long, such as 40 min"))
		}
		if a.get(at) != "" {
			leg.At = a.degrees(at)
			if leg.At <= 0 { // the ice of a freezer's own air does not settle on a piece
				leg.Humidity = 0
			}
		}
		leg.Unmoulded = a.get("off") != ""
		legs = append(legs, leg)
	}
	return legs
}

// somewhere returns a place of the kitchen, or one that is no equipment of it; the room is as warm as the kitchen's.
func (p *piece) somewhere(id string) (chill.Leg, bool) {
	for _, e := range p.places(func(kitchen.Equipment) bool { return true }) {
		if e.ID == id {
			leg, err := chill.LegIn(e, 0, true)
			leg.Name = e.Name
			return leg, err == nil
		}
	}
	for _, x := range elsewhere {
		if x.Value == id {
			at := x.Usual
			if room := p.st.book.Kitchen.Room; id == "room" && room != 0 {
				at = room
			}
			return chill.Leg{Name: x.Text, Surroundings: x.Surroundings, At: at}, true
		}
	}
	return chill.Leg{}, false
}

// show draws a way and lists what it comes to.
func (v *wayView) show(w chill.Way) {
	core := func(s heat.Sample) unit.Temperature { return s.Core }
	o := drawing.CurveOptions{Target: chill.SolidCore(w.Legs[0].At), Air: w.Legs[0].At, Band: true}
	for i, l := range w.Legs {
		o.Places = append(o.Places, drawing.CurvePlace{From: w.Starts[i], Name: l.Name})
		o.Air = min(o.Air, l.At)
	}
	v.Curve = curveOf("On its way", "w", "On its way", w.Curve, core, o)
	for i, m := range w.Ends {
		l := w.Legs[i]
		low, high := m.Range(core)
		v.Stages = append(v.Stages, wayStage{
			Place: sentenceCase(l.Name) + " at " + l.At.Show(), From: clock(w.Starts[i]), To: clock(w.Starts[i] + l.For),
			Core: m.Core.Show(), Range: low.Show() + " to " + high.Show(), Surface: m.Surface.Show(),
		})
	}
	for _, p := range w.Passes {
		v.Passes = append(v.Passes, passOf(p, w.Legs))
	}
}

// passOf says when a limit is passed: with the coefficients as usual, at the earliest and at the latest.
func passOf(p chill.Pass, legs []chill.Leg) wayPass {
	out := wayPass{Limit: sentenceCase(p.Words), Usual: "not on this way"}
	if p.Passed {
		out.Usual, out.Where = clock(p.Time), sentenceCase(legs[p.Leg].Name)
	}
	if p.Latest > 0 {
		out.Earliest, out.Latest = clock(p.Earliest), "perhaps never"
		if p.Sure {
			out.Latest = clock(p.Latest)
		}
	}
	return out
}

// clock writes a time since the piece went in.
func clock(d time.Duration) string {
	if d == 0 {
		return "0 h"
	}
	return unit.ShowDuration(d)
}
