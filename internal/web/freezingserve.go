package web

import (
	"context"
	"errors"
	"net/url"
	"slices"
	"time"

	"chablon/chill"
	"chablon/heat"
	"chablon/kitchen"
	"chablon/unit"
)

// serve says when the frozen piece, or a portion that is cut from it frozen, has thawed into a range, and how long
// it stays there.
func (v *freezingView) serve(ctx context.Context, q url.Values) {
	places := v.places(isRefrigerator)
	if len(places) == 0 {
		return
	}
	v.Serve = inquiry{ID: "serve", Title: "Thaw it to be served", Fields: append(
		v.askPortion(),
		inquiryField{Name: "place", Label: "In", Choices: picks(places)},
		inquiryField{Name: "low", Label: "Between", Value: "2 °C"},
		inquiryField{Name: "high", Label: "and", Value: "12 °C"},
		inquiryField{Name: "air", Label: "then in a room of", Value: v.room.Show()},
	)}
	if !v.Serve.asks(q) {
		return
	}
	a := &v.Serve
	low, high, air := a.degrees("low"), a.degrees("high"), a.degrees("air")
	i := slices.IndexFunc(places, func(e kitchen.Equipment) bool { return e.ID == a.get("place") })
	if i < 0 {
		a.wrong("place", errors.New("choose the refrigerator"))
	}
	body, what := v.cut(a)
	if a.refused() {
		return
	}
	out, err := body.Serve(ctx, places[i], air, heat.Room.Humidity, low, high)
	switch {
	case err != nil:
		a.fail(err)
	case out.Reason != "":
		a.fail(errors.New("never between them in " + places[i].Name + ": " + out.Reason))
	default:
		v.Served = [][2]string{
			{"what thaws:", what},
			{"no place colder than " + low.Show() + " after", unit.ShowEstimate(out.Ready)},
			{"then in the room its surface stays below " + high.Show() + " for", upTo(out.Stays, out.Looked)},
			{"and all of it at 5 °C or colder for", upTo(out.Cold, out.Looked)},
		}
	}
}

// Ways in which a piece may be cut while it is frozen.
const (
	cutWedge = "wedge"
	cutSlice = "slice"
)

// round reports whether the piece is cut into wedges.
func (p *piece) round() bool {
	_, err := p.frozen.Cut(chill.Portion{Wedges: 2})
	return err == nil
}

// askPortion asks what is thawed: the whole piece, or a portion as its shape allows.
func (v *freezingView) askPortion() []inquiryField {
	if v.round() {
		wedges := min(max(2, servesOf(v.Doc, v.section)), 64)
		return []inquiryField{
			{Name: "cut", Label: "Thawing", Choices: []pick{{"", "the whole piece"}, {cutWedge, "a wedge of it"}}},
			{Name: "wedges", Label: "cut into", Value: number(wedges), Optional: true},
		}
	}
	rim := v.section.Mould.Solid.At(v.section.Top)
	return []inquiryField{
		{Name: "cut", Label: "Thawing", Choices: []pick{{"", "the whole piece"}, {cutSlice, "a slice of it"}}},
		{Name: "width", Label: "of its " + rim.Width.Show() + " wide", Hint: "all", Optional: true},
		{Name: "depth", Label: "of its " + rim.Depth.Show() + " deep", Hint: "all", Optional: true},
	}
}

// cut returns what is thawed, and says what it is.
func (v *freezingView) cut(a *inquiry) (*chill.Body, string) {
	var p chill.Portion
	what := "the whole piece, unmoulded"
	switch a.get("cut") {
	case "":
		return v.frozen, what
	case cutWedge:
		n, err := wholeNumber(a.get("wedges"))
		if err != nil {
			a.wrong("wedges", err)
			return nil, ""
		}
		p, what = chill.Portion{Wedges: n}, "a wedge, one of "+number(n)+", its cut faces bare"
	case cutSlice:
		p = chill.Portion{Width: a.length("width"), Depth: a.length("depth")}
		size := func(l, all unit.Length) string {
			if l == 0 {
				l = all
			}
			return l.Show()
		}
		rim := v.section.Mould.Solid.At(v.section.Top)
		what = "a slice from the middle, " + size(p.Width, rim.Width) + " × " + size(p.Depth, rim.Depth) + ", its cut faces bare"
	}
	if a.refused() {
		return nil, ""
	}
	body, err := v.frozen.Cut(p)
	if err != nil {
		a.fail(err)
	}
	return body, what
}

// upTo writes a time that was looked for up to a limit.
func upTo(d, limit time.Duration) string {
	if d >= limit {
		return "more than " + unit.ShowDuration(limit)
	}
	if d < time.Minute { // a second is no figure here
		return "less than a minute"
	}
	return unit.ShowEstimate(d)
}

// stand says what becomes of the frozen piece in the room.
func (v *freezingView) stand(ctx context.Context, q url.Values) {
	v.Stand = inquiry{ID: "out", Title: "Out of the freezer", Fields: []inquiryField{
		{Name: "air", Label: "Room", Value: v.room.Show()},
		{Name: "humidity", Label: "Humidity", Value: "50 %"},
		{Name: "limit", Label: "Surface no warmer than", Value: "−5 °C"},
	}}
	if !v.Stand.asks(q) {
		return
	}
	a := &v.Stand
	air, humidity, limit := a.degrees("air"), a.quantity("humidity", "%", unit.OfShare), a.degrees("limit")
	if a.refused() {
		return
	}
	o, err := v.frozen.Stand(ctx, air, humidity.Share(), limit)
	if err != nil {
		a.fail(err)
		return
	}
	v.Stands = [][2]string{{"the dew point is", o.DewPoint.Show()}}
	switch {
	case !o.Sweats:
		v.Stands = append(v.Stands, [2]string{"the surface", "stays dry"})
	case o.Dry > 0:
		v.Stands = append(v.Stands, [2]string{"the surface frosts and sweats at once, until", unit.ShowEstimate(o.Dry)})
	default:
		v.Stands = append(v.Stands, [2]string{"the surface frosts and sweats at once, for", "all of " + unit.ShowDuration(o.Looked)})
	}
	passes := "not within " + unit.ShowDuration(o.Looked)
	if o.Limit > 0 {
		passes = unit.ShowEstimate(o.Limit)
	}
	v.Stands = append(v.Stands, [2]string{"its surface passes " + limit.Show() + " after", passes})
}
