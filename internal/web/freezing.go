package web

import (
	"cmp"
	"context"
	"net/http"
	"net/url"
	"slices"
	"strings"
	"time"

	"chablon/assembly"
	"chablon/chill"
	"chablon/document"
	"chablon/drawing"
	"chablon/heat"
	"chablon/kitchen"
	"chablon/unit"
)

// freezingView is how long a piece takes in each of the kitchen's freezers and refrigerators, what becomes of it
// on its way, and what a probe says of it.
type freezingView struct {
	*outcome
	Doc     *document.Assembly
	Mould   string
	Lines   []lineLink
	Kept    url.Values // what each form of the page sends along
	Problem string
	Start   inquiry // how warm what is fresh goes in
	Rows    []freezingRow
	Curves  []figure
	Usual   []freezingRow // freezers that the kitchen may not have
	Notes   []string      // what is simplified, and what does not freeze
	Probe   probeView
	Way     wayView
	Serve   inquiry // thawed into a range
	Served  [][2]string
	Stand   inquiry // in the room, as it comes out of the freezer
	Stands  [][2]string
	Undo    *lastChange

	piece
}

// piece is what is frozen, as the page's questions are asked of it.
type piece struct {
	st            *state
	section       *assembly.Section
	pieces        int
	fresh, frozen *chill.Body
	thaws         time.Duration    // in the first refrigerator, 0 if it does not
	room, cold    unit.Temperature // what is fresh goes in at, and what is frozen comes out at
}

type freezingRow struct{ Place, What, Time, Range, Quick, Note string }

func (s *Server) showFreezing(w http.ResponseWriter, r *http.Request) error {
	q := r.URL.Query()
	return s.freezingPage(w, r, r.PathValue("id"), q, &outcome{Back: readStep(q.Get("back"))})
}

func (s *Server) freezingPage(w http.ResponseWriter, r *http.Request, id string, q url.Values, out *outcome) error {
	st, err := s.current(r.Context())
	if err != nil {
		return err
	}
	doc, ok := document.Find[*document.Assembly](st.set, id)
	if !ok {
		return errNoPage
	}
	v, err := freezingOf(st, doc, q)
	if err != nil {
		return err
	}
	v.outcome = out
	if v.Problem == "" {
		ctx, cancel := context.WithTimeout(r.Context(), 20*time.Second)
		defer cancel()
		v.solve(ctx, q)
	}
	if k, ok := kitchenOf(st); ok {
		if v.Undo, err = s.lastChangeOf(r.Context(), st, []document.Document{k}, out.Back); err != nil {
			return err
		}
	}
	s.render(w, r, out.status, frame{Title: "Freezing: " + nameOf(doc), Here: "/assemblies", Kitchen: st.kitchenName()}, freezingMain(v))
	return nil
}

// freezingOf returns the page of an assembly with nothing solved yet.
func freezingOf(st *state, doc *document.Assembly, q url.Values) (*freezingView, error) {
	section, pieces, lines, err := pieceOf(st, doc, q.Get("line"))
	if err != nil {
		return nil, err
	}
	v := &freezingView{
		Doc: doc, Mould: mouldName(section.Mould), Lines: lines, Kept: url.Values{},
		piece: piece{st: st, section: section, pieces: pieces, room: st.book.Kitchen.Room, cold: -18},
	}
	v.Start = inquiry{ID: "start", Live: true, Fields: []inquiryField{{Name: "from", Label: "What is fresh goes in at", Hint: "room", Optional: true}}}
	if v.Start.take(q); v.Start.get("from") != "" {
		if t := v.Start.degrees("from"); !v.Start.refused() {
			v.room = t
			v.Kept.Set("from", v.Start.get("from"))
		}
	}
	if line := q.Get("line"); line != "" {
		v.Kept.Set("line", line)
	}
	if list := v.places(isFreezer); len(list) > 0 {
		v.cold = list[0].Setting
	}
	var err1, err2 error
	v.fresh, err1 = chill.NewBody(section, chill.At(v.room, v.cold))
	v.frozen, err2 = chill.NewBody(section, chill.At(v.cold, v.cold))
	if err := cmp.Or(err1, err2); err != nil {
		v.Problem = inWords(err)
	}
	v.askProbe()
	return v, nil
}

// Address returns that of the page.
func (v *freezingView) Address() string { return "/assemblies/" + v.Doc.ID + "/freezing" }

// Page returns the address of the page as it is, without a question.
func (v *freezingView) Page() string {
	if len(v.Kept) == 0 {
		return v.Address()
	}
	return v.Address() + "?" + v.Kept.Encode()
}

func isFreezer(e kitchen.Equipment) bool { return strings.Contains(e.Kind, "freezer") }

func isRefrigerator(e kitchen.Equipment) bool { return e.Kind == "refrigerator" }

// places returns the kitchen's places with a temperature on record.
func (p *piece) places(want func(kitchen.Equipment) bool) []kitchen.Equipment {
	var out []kitchen.Equipment
	for _, e := range p.st.book.Kitchen.Equipment {
		if e.HasSetting && want(e) {
			out = append(out, e)
		}
	}
	return out
}

// picks offers places by their names.
func picks(list []kitchen.Equipment) []pick {
	var out []pick
	for _, e := range list {
		out = append(out, pick{e.ID, e.Name})
	}
	return out
}

// solve answers what the page shows always, and the question that the address asks.
func (v *freezingView) solve(ctx context.Context, q url.Values) {
	quick, _ := chill.OfSection(v.section)
	for _, e := range v.places(isFreezer) {
		v.inFreezer(ctx, e, quick)
	}
	for _, e := range v.places(isRefrigerator) {
		v.inRefrigerator(ctx, e, quick)
	}
	for _, e := range chill.UsualFreezers() {
		a, err := v.fresh.Freeze(ctx, e.Equipment, chill.Planning)
		if err != nil {
			continue // it says so of every place, and the kitchen's own come first
		}
		row := rowOf(a, err)
		row.Place = e.Name
		if estimate, err := quick.Freeze(v.room, e.Equipment); err == nil {
			row.Quick = unit.ShowEstimate(estimate.Time)
		}
		v.Usual = append(v.Usual, row)
	}
	v.probe(ctx, q)
	v.way(ctx, q)
	v.serve(ctx, q)
	v.stand(ctx, q)
}

// rowOf returns the row of an answer, or of why there is none.
func rowOf(a chill.Answer, err error) freezingRow {
	row := freezingRow{Place: a.Place, What: a.Criterion}
	switch {
	case err != nil:
		row.Note = inWords(err)
	case !a.Reached:
		row.Note = sentenceOf(a.Reason)
	default:
		row.Time, row.Range = unit.ShowEstimate(a.Time), span(a.Low, a.High)
	}
	return row
}

// span writes the ends of a time.
func span(low, high time.Duration) string {
	return unit.ShowEstimate(low) + " to " + unit.ShowEstimate(high)
}

// inFreezer solves the piece in a freezer of the kitchen, and draws how it freezes.
func (v *freezingView) inFreezer(ctx context.Context, e kitchen.Equipment, quick chill.Piece) {
	a, err := v.fresh.Freeze(ctx, e, chill.Planning)
	row := rowOf(a, err)
	if estimate, err := quick.Freeze(v.room, e); err == nil {
		row.Quick = unit.ShowEstimate(estimate.Time)
	}
	if load, err := heat.LoadOf(v.pieces, a.Heat(), a.Time, e.FreezingCapacity); err == nil && e.FreezingCapacity > 0 && a.Reached {
		row.Note = strings.TrimSpace(row.Note + " " + number(v.pieces) + " at once ask " + unit.Number(100*load.Share, 0) + " % of what it is declared to freeze.")
		if load.Share > 1 {
			row.Note += " Its air warms: count with " + unit.ShowEstimate(load.Needed) + ", or freeze in turns."
		}
	}
	row.Place = cmp.Or(row.Place, e.Name)
	v.Rows = append(v.Rows, row)
	if err != nil {
		return
	}
	for _, n := range a.Notes {
		if n = sentenceOf(n); !slices.Contains(v.Notes, n) {
			v.Notes = append(v.Notes, n)
		}
	}
	v.draw(ctx, e, v.fresh, a, false, func(s heat.Sample) unit.Temperature { return s.Warmest })
	if a.Reached {
		v.isotherms(ctx, e, a)
	}
}

// inRefrigerator solves how the frozen piece thaws in a refrigerator of the kitchen, and draws it.
func (v *freezingView) inRefrigerator(ctx context.Context, e kitchen.Equipment, quick chill.Piece) {
	a, err := v.frozen.Thaw(ctx, e, heat.ThawedCore, chill.Planning)
	row := rowOf(a, err)
	if estimate, err := quick.Thaw(v.cold, e); err == nil {
		row.Quick = unit.ShowEstimate(estimate.Time)
	}
	row.Place = cmp.Or(row.Place, e.Name)
	v.Rows = append(v.Rows, row)
	if err == nil {
		if a.Reached {
			v.thaws = cmp.Or(v.thaws, a.Time)
		}
		v.draw(ctx, e, v.frozen, a, true, func(s heat.Sample) unit.Temperature { return s.Coldest })
	}
}

// draw adds the curve of an answer, with the range of the place that decides; it goes on past the answer, as far
// as the slow end of its range, or a day where it is never reached.
func (v *freezingView) draw(ctx context.Context, e kitchen.Equipment, b *chill.Body, a chill.Answer, unmoulded bool, decides func(heat.Sample) unit.Temperature) {
	lasts := 24 * time.Hour
	if a.Reached {
		lasts = min(a.High, 2*a.Time)
	}
	leg, err := chill.LegIn(e, lasts, unmoulded)
	if err != nil {
		return // the row has told it
	}
	w, err := b.Follow(ctx, []chill.Leg{leg}, nil, chill.Planning)
	if err != nil {
		return
	}
	o := drawing.CurveOptions{Target: a.Target, Air: e.Setting, Band: true}
	if a.Reached {
		o.Ready, o.Low, o.Top = a.Time, a.Low, a.High
	}
	v.Curves = append(v.Curves, curveOf(a.Place, "f"+number(len(v.Curves)), a.Place+", "+a.Criterion, w.Curve, decides, o))
}

// curveOf draws a piece's temperatures, with the range of the one that is shown as its core.
func curveOf(title, id, drawnTitle string, curve []chill.Moment, core func(heat.Sample) unit.Temperature, o drawing.CurveOptions) figure {
	var points []drawing.CurvePoint
	for _, m := range curve {
		low, high := m.Range(core)
		points = append(points, drawing.CurvePoint{Time: m.Time, Core: core(m.Sample), Surface: m.Surface, Mean: m.Mean, CoreLow: low, CoreHigh: high})
	}
	return drawn(title, id, func(size drawing.Options) *drawing.Drawing {
		o.Options, o.Title = size, drawnTitle
		return drawing.Curve(points, o)
	})
}

// isotherms draws the section's temperatures half-way to solid, and as it gets there.
func (v *freezingView) isotherms(ctx context.Context, e kitchen.Equipment, a chill.Answer) {
	moments, err := v.fresh.Freezing(ctx, e, []time.Duration{a.Time / 2, a.Time})
	if err != nil {
		return // the curve stands; the drawing is an extra
	}
	for _, x := range moments {
		f := drawing.Field{X: x.X, Z: x.Z, T: x.T, In: x.In}
		title := "On the section after " + unit.ShowEstimate(x.Time) + " in " + e.Name
		v.Curves = append(v.Curves, drawn(title, "i"+number(len(v.Curves)), func(o drawing.Options) *drawing.Drawing {
			o.Title = title
			return drawing.Isotherms(v.section, f, a.Target, o)
		}))
	}
}
