package web

import (
	"cmp"
	"context"
	"errors"
	"math"
	"net/http"
	"net/url"
	"slices"
	"strconv"
	"strings"
	"time"

	"chablon/assembly"
	"chablon/chill"
	"chablon/document"
	"chablon/drawing"
	"chablon/heat"
	"chablon/internal/storetest/contract"
	"chablon/kitchen"
	"chablon/unit"
)

// freezingView is how long a piece takes in each of the kitchen's freezers and refrigerators.
type freezingView struct {
	Doc     *document.Assembly
	Mould   string
	Lines   []lineLink
	Line    string
	Problem string
	From    string
	Wrong   string
	Rows    []freezingRow
	Curves  []freezingCurve
	Usual   []freezingRow // freezers that the kitchen may not have

	Probe   inquiry // readings of the core
	Found   *probeFound
	Out     inquiry // a piece that stands in the room
	Stands  [][2]string
	Serve   inquiry // thawed into a range
	Served  [][2]string
	Version int // of the kitchen's document
}

// probeFound is what readings of the core make of the time.
type probeFound struct {
	Ready, Before, Air string
	Misfit             bool
	Place, Transfer    string // to keep
}

type freezingRow struct{ Place, What, Time, Range, Quick, Note string }

type freezingCurve struct{ Title, Wide, Narrow string }

func (s *Server) showFreezing(w http.ResponseWriter, r *http.Request) error {
	st, doc, err := about[*document.Assembly](s, r, "id")
	if err != nil {
		return err
	}
	return s.freezingPage(w, r, st, doc, 0)
}

func (s *Server) freezingPage(w http.ResponseWriter, r *http.Request, st *state, doc *document.Assembly, status int) error {
	q := r.URL.Query()
	section, pieces, lines, err := pieceOf(st, doc, q.Get("line"))
	if err != nil {
		return err
	}
	v := &freezingView{Doc: doc, Mould: mouldName(section.Mould), Lines: lines, Line: q.Get("line"), From: strings.TrimSpace(q.Get("from"))}
	room := st.book.Kitchen.Room
	if v.From != "" {
		t, err := unit.ParseQuantity(withUnit(v.From, unit.Quantity{}, "°C"), unit.OfTemperature)
		if err != nil {
			v.Wrong = inWords(err)
		} else {
			room = t.Temperature()
		}
	}
	cold := unit.Temperature(-18)
	for _, e := range st.book.Kitchen.Find("freezer") {
		if e.HasSetting {
			cold = e.Setting
			break
		}
	}
	fresh, err1 := chill.NewBody(section, chill.At(room, cold))
	frozen, err2 := chill.NewBody(section, chill.At(cold, cold))
	if err := cmp.Or(err1, err2); err != nil {
		v.Problem = inWords(err)
	} else {
		quick, _ := chill.OfSection(section)
		ctx, cancel := context.WithTimeout(r.Context(), 20*time.Second)
		defer cancel()
		v.probe(ctx, st, fresh, q)
		v.stand(ctx, frozen, room, q)
		v.serve(ctx, st, frozen, room, q)
		for _, e := range st.book.Kitchen.Equipment {
			if e.HasSetting && (strings.Contains(e.Kind, "freezer") || e.Kind == "refrigerator") {
				v.place(ctx, e, fresh, frozen, section, quick, room, cold, pieces)
			}
		}
		for _, e := range usualFreezers {
			if a, err := fresh.Freeze(ctx, e, chill.Planning); err == nil {
				v.Usual = append(v.Usual, rowOfAnswer(e.Name, a))
			}
		}
	}
	s.render(w, r, status, frame{Title: "Freezing: " + nameOf(doc), Here: "/assemblies", Kitchen: st.kitchenName()}, freezingMain(v))
	return nil
}

// usualFreezers are what a cook may compare the own freezer with; settings are common practice.
var usualFreezers = []kitchen.Equipment{
	{Name: "Home freezer, still air at −18 °C", Kind: "freezer", Air: "still", Setting: -18, HasSetting: true},
	{Name: "Freezer with a fan at −20 °C", Kind: "freezer", Air: "fan", Setting: -20, HasSetting: true},
	{Name: "Freezer with a fan at −25 °C", Kind: "freezer", Air: "fan", Setting: -25, HasSetting: true},
	{Name: "Blast freezer at −35 °C", Kind: "blast-freezer", Air: "blast", Setting: -35, HasSetting: true},
}

func rowOfAnswer(place string, a chill.Answer) freezingRow {
	row := freezingRow{Place: place, What: a.Criterion}
	if !a.Reached {
		row.Note = sentenceOf(a.Reason)
		return row
	}
	row.Time, row.Range = unit.ShowDuration(a.Time), unit.ShowDuration(a.Low)+" to "+unit.ShowDuration(a.High)
	return row
}

// place solves the piece in one of the kitchen's own places, and draws its curve.
func (v *freezingView) place(ctx context.Context, e kitchen.Equipment, fresh, frozen *chill.Body, section *assembly.Section, quick chill.Piece, room, cold unit.Temperature, pieces int) {
	thaw := e.Kind == "refrigerator"
	var a chill.Answer
	var estimate chill.Wait
	var err error
	target := max(unit.Temperature(-15), e.Setting+3)
	if thaw {
		target = heat.ThawedCore
		a, err = frozen.Thaw(ctx, e, target, chill.Planning)
		estimate, _ = quick.Thaw(cold, e)
	} else {
		a, err = fresh.Freeze(ctx, e, chill.Planning)
		estimate, _ = quick.Freeze(room, e)
	}
	if err != nil {
		v.Rows = append(v.Rows, freezingRow{Place: e.Name, Note: sentenceOf(inWords(err))})
		return
	}
	row := rowOfAnswer(a.Place, a)
	if estimate.Time > 0 {
		row.Quick = unit.ShowDuration(estimate.Time)
	}
	if load, err := heat.LoadOf(pieces, a.Heat(), a.Time, e.FreezingCapacity); err == nil && e.FreezingCapacity > 0 && !thaw {
		row.Note = number(pieces) + " at once ask " + unit.Number(100*load.Share, 0) + " % of what it is declared to freeze."
		if load.Share > 1 {
			row.Note += " Its air warms: count with " + unit.ShowDuration(load.Needed) + ", or freeze in turns."
		}
	}
	v.Rows = append(v.Rows, row)
	if len(a.Run.Curve) < 2 {
		return
	}
	var points []drawing.CurvePoint
	for _, x := range a.Run.Curve {
		inside := x.Warmest
		if thaw {
			inside = x.Coldest
		}
		points = append(points, drawing.CurvePoint{Time: x.Time, Core: inside, Surface: x.Surface, Mean: x.Mean})
	}
	o := drawing.CurveOptions{Target: target, Air: e.Setting, Ready: a.Time, Low: a.Low, Top: a.High}
	if !a.Reached {
		o.Ready = 0
	}
	o.Title = a.Place + ", " + a.Criterion
	o.IDPrefix = "f" + number(len(v.Curves)) + "_"
	c := freezingCurve{Title: a.Place, Wide: string(drawing.Curve(points, o).SVG())}
	o.IDPrefix, o.Narrow = "g"+number(len(v.Curves))+"_", true
	c.Narrow = string(drawing.Curve(points, o).SVG())
	v.Curves = append(v.Curves, c)
	if !thaw && a.Reached {
		v.isotherms(ctx, e, fresh, section, target, a.Time)
	}
}

// isotherms draws the section's temperatures half-way to solid, and as it gets there.
func (v *freezingView) isotherms(ctx context.Context, e kitchen.Equipment, b *chill.Body, section *assembly.Section, target unit.Temperature, ready time.Duration) {
	slices, err := b.Freezing(ctx, e, []time.Duration{ready / 2, ready})
	if err != nil {
		return // the curve stands; the drawing is an extra
	}
	for _, x := range slices {
		f := drawing.Field{X: x.X, Z: x.Z, T: x.T, In: x.In}
		o := drawing.Options{Title: "On the section after " + unit.ShowDuration(x.Time) + " in " + e.Name, IDPrefix: "i" + number(len(v.Curves)) + "_"}
		c := freezingCurve{Title: o.Title, Wide: string(drawing.Isotherms(section, f, target, o).SVG())}
		o.IDPrefix, o.Narrow = "j"+number(len(v.Curves))+"_", true
		c.Narrow = string(drawing.Isotherms(section, f, target, o).SVG())
		v.Curves = append(v.Curves, c)
	}
}

// probe corrects the time in one of the kitchen's freezers by readings of the core.
func (v *freezingView) probe(ctx context.Context, st *state, b *chill.Body, q url.Values) {
	var freezers []pick
	for _, e := range st.book.Kitchen.Equipment {
		if e.HasSetting && strings.Contains(e.Kind, "freezer") {
			freezers = append(freezers, pick{e.ID, e.Name})
		}
	}
	if len(freezers) == 0 {
		return
	}
	v.Probe = inquiry{ID: "probe", Title: "Probe the core and correct the rest", Fields: []inquiryField{
		{Name: "place", Label: "Freezing in", Choices: freezers},
		{Name: "record", Label: "Hours in it and the core", Hint: "such as 5 h −6 °C, 7 h −11 °C", Long: true},
	}}
	if k := document.Every[*document.Kitchen](st.set); len(k) > 0 {
		v.Version = k[0].Version
	}
	if !v.Probe.asks(q) {
		return
	}
	h, err := recordOf(q.Get("record"), "h")
	if err != nil {
		v.Probe.Problem = sentenceOf(inWords(err))
		return
	}
	var readings []chill.Probe
	for _, r := range h {
		readings = append(readings, chill.Probe{At: r.At, Temperature: r.Temperature})
	}
	i := slices.IndexFunc(st.book.Kitchen.Equipment, func(e kitchen.Equipment) bool { return e.ID == q.Get("place") })
	if i < 0 {
		v.Probe.Problem = "Choose the freezer that it is in."
		return
	}
	e := st.book.Kitchen.Equipment[i]
	c, err := b.CorrectFreezing(ctx, e, readings)
	if err != nil {
		v.Probe.Problem = sentenceOf(inWords(err))
		return
	}
	v.Found = &probeFound{
		Ready:  unit.ShowDuration(c.After.Time) + " (" + unit.ShowDuration(c.After.Low) + " to " + unit.ShowDuration(c.After.High) + ")",
		Before: unit.ShowDuration(c.Before.Time) + " (" + unit.ShowDuration(c.Before.Low) + " to " + unit.ShowDuration(c.Before.High) + ")",
		Air:    unit.Number(float64(c.Transfer), 1) + " W/(m² K), between " + unit.Number(float64(c.Low), 1) + " and " + unit.Number(float64(c.High), 1),
		Misfit: c.Misfit > 2, Place: e.ID, Transfer: strconv.FormatFloat(float64(c.Transfer), 'f', 2, 64),
	}
}

// stand says what becomes of the frozen piece in the room.
func (v *freezingView) stand(ctx context.Context, b *chill.Body, room unit.Temperature, q url.Values) {
	v.Out = inquiry{ID: "out", Title: "Out of the freezer", Fields: []inquiryField{
		{Name: "air", Label: "Room", Value: room.Show()},
		{Name: "humidity", Label: "Humidity", Value: "50 %"},
		{Name: "limit", Label: "Surface no warmer than", Value: "−5 °C"},
	}}
	if !v.Out.asks(q) {
		return
	}
	var unread error
	a := asked{q, &unread}
	air, humidity, limit := a.degrees("air", "room"), a.of("humidity", "humidity", "%", unit.OfShare), a.degrees("limit", "surface")
	if unread != nil {
		v.Out.Problem = sentenceOf(inWords(unread))
		return
	}
	o, err := b.Stand(ctx, air, humidity.Share(), limit)
	if err != nil {
		v.Out.Problem = sentenceOf(inWords(err))
		return
	}
	v.Stands = [][2]string{{"the dew point is", o.DewPoint.Show()}}
	switch {
	case !o.Sweats:
		v.Stands = append(v.Stands, [2]string{"the surface", "stays dry"})
	case o.Dry > 0:
		v.Stands = append(v.Stands, [2]string{"the surface frosts and sweats at once, until", unit.ShowDuration(o.Dry)})
	default:
		v.Stands = append(v.Stands, [2]string{"the surface frosts and sweats at once, for", "all of " + unit.ShowDuration(o.Looked)})
	}
	passes := "not within " + unit.ShowDuration(o.Looked)
	if o.Limit > 0 {
		passes = unit.ShowDuration(o.Limit)
	}
	v.Stands = append(v.Stands, [2]string{"its surface passes " + limit.Show() + " after", passes})
}

// serve says when the frozen piece has thawed into a range, and how long it stays there.
func (v *freezingView) serve(ctx context.Context, st *state, b *chill.Body, room unit.Temperature, q url.Values) {
	places := map[string]kitchen.Equipment{}
	var choices []pick
	for _, e := range st.book.Kitchen.Equipment {
		if e.HasSetting && e.Kind == "refrigerator" {
			places[e.ID] = e
			choices = append(choices, pick{e.ID, e.Name})
		}
	}
	if len(choices) == 0 {
		return
	}
	v.Serve = inquiry{ID: "serve", Title: "Thaw it to be served", Fields: []inquiryField{
		{Name: "place", Label: "In", Choices: choices},
		{Name: "low", Label: "Between", Value: "2 °C"},
		{Name: "high", Label: "and", Value: "12 °C"},
		{Name: "air", Label: "then in a room of", Value: room.Show()},
	}}
	if !v.Serve.asks(q) {
		return
	}
	var unread error
	a := asked{q, &unread}
	low, high, air := a.degrees("low", "between"), a.degrees("high", "and"), a.degrees("air", "room")
	place, ok := places[q.Get("place")]
	if !ok && unread == nil {
		unread = errors.New("choose the refrigerator")
	}
	if unread != nil {
		v.Serve.Problem = sentenceOf(inWords(unread))
		return
	}
	out, err := b.Serve(ctx, place, air, heat.Room.Humidity, low, high)
	switch {
	case err != nil:
		v.Serve.Problem = sentenceOf(inWords(err))
	case out.Reason != "":
		v.Serve.Problem = sentenceOf("never between them in " + place.Name + ": " + out.Reason)
	default:
		v.Served = [][2]string{
			{"no place colder than " + low.Show() + " after", unit.ShowDuration(out.Ready)},
			{"then in the room its surface stays below " + high.Show() + " for", upTo(out.Stays, out.Looked)},
			{"and all of it at 5 °C or colder for", upTo(out.Cold, out.Looked)},
		}
	}
}

// upTo writes a time that was looked for up to a limit.
func upTo(d, limit time.Duration) string {
	if d >= limit {
		return "more than " + unit.ShowDuration(limit)
	}
	return unit.ShowDuration(d)
}

// keepTransfer writes the coefficient that readings gave a place into the kitchen's document.
func (s *Server) keepTransfer(w http.ResponseWriter, r *http.Request) error {
	st, err := s.begin(r)
	if err != nil {
		return err
	}
	doc, ok := document.Find[*document.Assembly](st.set, r.PathValue("id"))
	kitchens := document.Every[*document.Kitchen](st.set)
	if !ok || len(kitchens) == 0 {
		return errNoPage
	}
	k := *kitchens[0]
	k.Equipment = slices.Clone(k.Equipment)
	i := slices.IndexFunc(k.Equipment, func(e document.Equipment) bool { return e.ID == r.PostForm.Get("place") })
	x, err := strconv.ParseFloat(r.PostForm.Get("transfer"), 64)
	if i < 0 || err != nil || !(x > 0 && x < 1000) {
		return refusal{http.StatusBadRequest, "Not understood", "The form does not say which place and coefficient. Nothing was changed."}
	}
	if r.PostForm.Get("version") != number(k.Version) {
		return refusal{http.StatusConflict, "Changed meanwhile", "The kitchen was changed meanwhile. Nothing was kept: reload the page and probe again."}
	}
	k.Equipment[i].Transfer = math.Round(100*x) / 100
	if _, err := s.store.Put(r.Context(), &k, k.Version); err != nil {
		if errors.Is(err, contract.ErrConflict) {
			return refusal{http.StatusConflict, "Changed meanwhile", "The kitchen was changed meanwhile. Nothing was kept: reload the page and probe again."}
		}
		return err
	}
	http.Redirect(w, r, "/assemblies/"+doc.ID+"/freezing", http.StatusSeeOther)
	return nil
}
