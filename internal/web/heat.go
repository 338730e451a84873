package web

import (
	"context"
	"errors"
	"fmt"
	"math"
	"net/http"
	"strings"
	"time"

	"chablon/chill"
	"chablon/document"
	"chablon/formula"
	"chablon/heat"
	"chablon/material"
	"chablon/unit"
)

// heatView is the page of questions about one formula's heat.
type heatView struct {
	Doc   *document.Formula
	Cases []*heatCase
}

// heatCase is one question, and once it is asked, what is known.
type heatCase struct {
	inquiry
	Answer heatAnswer
	solve  func(context.Context, *inquiry) (heatAnswer, error)
}

// heatAnswer is what a question is answered with: rows of figures, under a sentence.
type heatAnswer struct {
	Says string
	Bad  bool
	Rows [][2]string
	Note string
}

func (s *Server) showHeat(w http.ResponseWriter, r *http.Request) error {
	st, d, err := about[*document.Formula](s, r, "id")
	if err != nil {
		return err
	}
	v := &heatView{Doc: d}
	if f := st.book.Formulas[d.ID]; f != nil {
		v.Cases = heatCases(st, f)
	}
	ctx, cancel := context.WithTimeout(r.Context(), 20*time.Second)
	defer cancel()
	for _, c := range v.Cases {
		if c.asks(r.URL.Query()) {
			c.ask(ctx)
		}
	}
	s.render(w, r, 0, frame{Title: "Heat and time: " + nameOf(d), Here: "/formulas", Kitchen: st.kitchenName()}, heatMain(v))
	return nil
}

func (c *heatCase) ask(ctx context.Context) {
	answer, err := c.solve(ctx, &c.inquiry)
	if err != nil {
		c.fail(err)
	}
	if !c.refused() {
		c.Answer = answer
	}
}

// baths are what a cream is cooled in, by their names on the page.
var baths = []struct {
	pick
	heat.Surroundings
}{
	{pick{"stirred-ice-bath", "ice and water, stirred"}, heat.StirredIceBath},
	{pick{"ice-bath", "ice and water at rest"}, heat.IceBath},
	{pick{"blast-chiller", "blast chiller"}, heat.BlastChiller},
	{pick{"fan-refrigerator", "refrigerator with a fan"}, heat.FanRefrigerator},
	{pick{"refrigerator", "refrigerator, still air"}, heat.Refrigerator},
	{pick{"room", "the room"}, heat.Room},
}

func bathNamed(name string) heat.Surroundings {
	for _, b := range baths {
		if b.Value == name {
			return b.Surroundings
		}
	}
	return heat.IceBath
}

func heatCases(st *state, f *formula.Formula) []*heatCase {
	batch, _ := batchOf(st.day, f)
	mass := inquiryField{Name: "mass", Label: "Mass", Value: batch.Out.Show()}
	room := st.book.Kitchen.Room
	if room == 0 {
		room = 20
	}
	var places, others, media []pick
	for _, b := range baths {
		places = append(places, b.pick)
	}
	for _, o := range document.Every[*document.Formula](st.set) {
		if st.book.Formulas[o.ID] != nil && o.ID != f.ID {
			others = append(others, pick{o.ID, nameOf(o)})
		}
	}
	for _, m := range material.Media() {
		media = append(media, pick{m.Name, m.Name})
	}
	return []*heatCase{
		{inquiry: inquiry{ID: "cool", Title: "Cool it after cooking", Fields: []inquiryField{
			mass,
			{Name: "from", Label: "Hot, at", Value: "82 °C"},
			{Name: "wide", Label: "Bowl or tray, wide", Value: "260 mm"},
			{Name: "long", Label: "long, a tray (0 for a round bowl)", Value: "0 mm"},
			{Name: "stirred", Label: "stirred all the time", Value: "yes", Check: true},
			{Name: "bath", Label: "Stands in", Choices: places},
			{Name: "until", Label: "for", Value: "45 min"},
			{Name: "then", Label: "then in", Value: "fan-refrigerator", Choices: places},
		}}, solve: func(ctx context.Context, a *inquiry) (heatAnswer, error) { return coolAnswer(ctx, a, f) }},
		{inquiry: inquiry{ID: "set", Title: "Fill before it sets", Fields: []inquiryField{
			mass,
			{Name: "from", Label: "Ready at", Value: "28 °C"},
			{Name: "wide", Label: "Bowl, wide", Value: "300 mm"},
			{Name: "room", Label: "Room", Value: room.Show()},
			{Name: "pieces", Label: "Pieces to fill", Value: "12"},
			{Name: "each", Label: "a piece takes", Value: "1 min"},
		}}, solve: func(_ context.Context, a *inquiry) (heatAnswer, error) { return setAnswer(a, f) }},
		{inquiry: inquiry{ID: "glaze", Title: "Pour it warm on a frozen piece", Fields: []inquiryField{
			{Name: "on", Label: "On", Choices: others},
			{Name: "film", Label: "Film", Value: "2 mm"},
			{Name: "pour", Label: "Poured at", Value: "32 °C"},
			{Name: "sets", Label: "Stands still at", Value: "25 °C"},
			{Name: "cold", Label: "The piece is at", Value: "-18 °C"},
			{Name: "room", Label: "Room", Value: room.Show()},
		}}, solve: func(ctx context.Context, a *inquiry) (heatAnswer, error) {
			return glazeAnswer(ctx, a, f, st.book.Formulas[a.get("on")])
		}},
		{inquiry: inquiry{ID: "heated", Title: "Was it heated enough?", Fields: []inquiryField{
			{Name: "medium", Label: "Most like", Choices: media},
			{Name: "record", Label: "Probed: minutes and temperature", Value: "0 min 55 °C, 2 min 72 °C, 4 min 82 °C", Long: true},
		}}, solve: func(_ context.Context, a *inquiry) (heatAnswer, error) { return heatedAnswer(a) }},
		{inquiry: inquiry{ID: "bake", Title: "The same batter in another pan", Fields: []inquiryField{
			{Name: "wide", Label: "Known: a round pan, wide", Value: "200 mm"},
			{Name: "deep", Label: "batter deep", Value: "30 mm"},
			{Name: "time", Label: "baked for", Value: "30 min"},
			{Name: "core", Label: "to a core of", Value: "96 °C"},
			{Name: "other", Label: "Now: a round pan, wide", Value: "240 mm"},
			{Name: "depth", Label: "deep", Value: "40 mm"},
		}}, solve: func(_ context.Context, a *inquiry) (heatAnswer, error) { return bakeAnswer(a) }},
		{inquiry: inquiry{ID: "carry", Title: "It goes on warming after the heat", Fields: []inquiryField{
			{Name: "wide", Label: "A round pan or ring, wide", Value: "160 mm"},
			{Name: "deep", Label: "filled deep", Value: "40 mm"},
			{Name: "from", Label: "It goes in at", Value: room.Show()},
			{Name: "bath", Label: "in a water bath of", Value: "85 °C"},
			{Name: "core", Label: "and comes out with a core of", Value: "72 °C"},
			{Name: "then", Label: "It then stands in", Value: "room", Choices: places},
		}}, solve: func(ctx context.Context, a *inquiry) (heatAnswer, error) { return carryAnswer(ctx, a, f) }},
	}
}

func coolAnswer(ctx context.Context, a *inquiry, f *formula.Formula) (heatAnswer, error) {
	v := chill.Vessel{Diameter: a.length("wide"), Stirred: a.get("stirred") != "", Steel: 0.8}
	if long := a.length("long"); long > 0 {
		v.Length, v.Width = long, v.Diameter
	}
	first, then := bathNamed(a.get("bath")), bathNamed(a.get("then"))
	m, from, until := a.mass("mass"), a.degrees("from"), a.minutes("until")
	if a.refused() {
		return heatAnswer{}, nil
	}
	list := []chill.Bath{{Surroundings: first, At: first.Usual}}
	if until > 0 {
		list = append(list, chill.Bath{From: until, Surroundings: then, At: then.Usual})
	}
	c, err := chill.Custard(ctx, f, m, v, from, list)
	if err != nil {
		return heatAnswer{}, err
	}
	out := heatAnswer{Says: "It keeps the limits: 57 to 21 °C within two hours, to 5 °C within six.", Note: "FDA Food Code 2022, 3-501.14; the local code decides. Probe the middle; divide, ice and stir to be quicker."}
	switch {
	case c.Clock.Verdict == material.Fail:
		out.Says, out.Bad = "Too slow: "+c.Clock.Reason+".", true
	case c.Clock.Verdict == material.Running:
		out.Says, out.Bad = "Not cold within twelve hours: "+c.Clock.Reason+".", true
	case c.Verdict != material.Pass:
		out.Says, out.Bad = "It may be too slow: where the bath takes heat less well, "+c.SlowestClock.Reason+".", true
	}
	took := func(at time.Duration, quick, slow float64) string {
		if at == 0 {
			return "not within twelve hours"
		}
		end := "more than twelve hours"
		if slow > 0 {
			end = hours(slow)
		}
		return unit.ShowDuration(at) + " (" + hours(quick) + " to " + end + ")"
	}
	out.Rows = [][2]string{
		{"57 to 21 °C", took(c.Clock.At21, c.At21.Low, c.At21.High)},
		{"57 to 5 °C", took(c.Clock.At5, c.At5.Low, c.At5.High)},
		{"the clock starts after", unit.ShowDuration(c.Clock.Start)},
		{"it stands", c.Depth.Show() + " deep"},
	}
	return out, nil
}

func hours(h float64) string { return unit.ShowDuration(time.Duration(h * float64(time.Hour))) }

func setAnswer(a *inquiry, f *formula.Formula) (heatAnswer, error) {
	pieces := int(a.number("pieces"))
	m, wide, from, room, each := a.mass("mass"), a.length("wide"), a.degrees("from"), a.degrees("room"), a.minutes("each")
	if a.refused() {
		return heatAnswer{}, nil
	}
	if pieces < 0 || pieces > 100_000 {
		return heatAnswer{}, fmt.Errorf("pieces: %d: give a count up to 100 000", pieces)
	}
	c, err := chill.Sets(f, m, wide, from, room, pieces, each)
	if err != nil {
		return heatAnswer{}, err
	}
	const never = "not within six hours"
	late, early := never, never
	if c.Late > 0 {
		late = "after " + unit.ShowEstimate(c.Late)
	}
	switch {
	case c.From >= from:
		early = "at once"
	case c.Early > 0:
		early = "after " + unit.ShowEstimate(c.Early)
	}
	out := heatAnswer{
		Says: "All is filled before it can begin to set.",
		Rows: [][2]string{{"filling takes", unit.ShowDuration(c.Filling)}, {"strong or much gelatin begins to set, at " + c.From.Show() + ",", early}, {"little of it, at " + c.To.Show() + ",", late}},
		Note: "Cold moulds, cold inserts and what lies at the wall set sooner. Fold the rim back in.",
	}
	switch {
	case (c.Early > 0 || c.From >= from) && !c.Enough():
		out.Says, out.Bad = "It may begin to set while you fill: make it in two bowls, start warmer, or fill faster.", true
	case c.Early == 0 && c.From < from:
		out.Says = "In this room it does not cool to its setting temperature within six hours."
	}
	return out, nil
}

func glazeAnswer(ctx context.Context, a *inquiry, glaze, on *formula.Formula) (heatAnswer, error) {
	film, pour, sets, cold, room := a.length("film"), a.degrees("pour"), a.degrees("sets"), a.degrees("cold"), a.degrees("room")
	if a.refused() {
		return heatAnswer{}, nil
	}
	if on == nil {
		return heatAnswer{}, errors.New("choose what it is poured on")
	}
	c, err := chill.Glazing(ctx, glaze, on, film, pour, sets, cold, room)
	if err != nil {
		return heatAnswer{}, err
	}
	out := heatAnswer{
		Rows: [][2]string{{"where they meet, at once", c.Contact.Show()}, {"the piece thaws to a depth of", c.MeltBack.Show()}},
		Note: "An even film on a wide face; edges set sooner, a pool later. The film is what stays, not what is poured.",
	}
	if c.Status != heat.Reached {
		out.Says, out.Bad = "It does not stand still within ten minutes: pour cooler, thinner, or on a colder piece.", true
		return out, nil
	}
	out.Says = "It stands still after " + seconds(c.Set) + ": level it before."
	if c.Set < 3*time.Second {
		out.Says, out.Bad = "It stands still after "+seconds(c.Set)+", sooner than it levels: pour warmer or thicker.", true
	}
	if c.MeltBack > 0 && c.Refrozen > 0 {
		out.Rows = append(out.Rows, [2]string{"and is frozen again after", seconds(c.Refrozen)})
	}
	return out, nil
}

func seconds(d time.Duration) string {
	if d >= 2*time.Minute {
		return unit.ShowDuration(d)
	}
	return unit.Number(d.Seconds(), 0) + " s"
}

func heatedAnswer(a *inquiry) (heatAnswer, error) {
	m, ok := material.MediumNamed(a.get("medium"))
	if !ok {
		return heatAnswer{}, errors.New("choose what it is most like")
	}
	h, err := recordOf(a.get("record"), "min")
	if err != nil {
		a.wrong("record", err)
		return heatAnswer{}, nil
	}
	log, err := m.Lethality(h)
	if err != nil {
		return heatAnswer{}, err
	}
	peak := h[0].Temperature
	for _, r := range h {
		peak = max(peak, r.Temperature)
	}
	out := heatAnswer{
		Says: "Of a million Salmonella about " + unit.Number(1e6*math.Pow(10, -log), 0) + " would be left.",
		Rows: [][2]string{{"log reduction", shownLog(log)}, {"hottest reading", peak.Show()}, {"figures of", m.Source}},
		Note: "Counted from 50 °C up, and above 70 °C no more than at 70. FDA Food Code 2022, 3-401.11, asks 63 °C for 15 s of eggs that are served at once and 68 °C for 17 s, or its equivalent, of others; 3-801.11 pasteurised eggs for those at risk. It holds at the coldest place, and declares nothing safe: the local code decides.",
	}
	if log > 6 {
		out.Says = "Of a million Salmonella not one would be left."
	}
	if log < material.Pasteurised {
		out.Says, out.Bad = out.Says+" That is less than the "+unit.Number(material.Pasteurised, 0)+" that pasteurising is usually held to: heat it longer or hotter.", true
	}
	return out, nil
}

// recordOf reads temperatures over time as they are typed: "2 min 72 °C, 4 min 82 °C", or "2 72, 4 82" in
// the unit of time that is asked for.
func recordOf(typed, symbol string) (material.History, error) {
	var h material.History
	for i, text := range strings.FieldsFunc(typed, func(r rune) bool { return r == ',' || r == ';' || r == '\n' }) {
		text = strings.TrimSpace(text)
		words := strings.Fields(text)
		bad := fmt.Errorf("reading %d is %q: write it as 2 %s 72 °C", i+1, text, symbol)
		if len(words) < 2 {
			return nil, bad
		}
		cut := 1 // "2 72", "2min 72°C"; else "2 min 72 °C"
		if _, err := unit.ParseQuantity(words[0]+" "+words[1], unit.OfTime); err == nil && len(words) > 2 {
			cut = 2
		}
		at, err1 := unit.ParseQuantity(withUnit(strings.Join(words[:cut], " "), unit.Quantity{}, symbol), unit.OfTime)
		t, err2 := unit.ParseQuantity(withUnit(strings.Join(words[cut:], " "), unit.Quantity{}, "°C"), unit.OfTemperature)
		if errors.Join(err1, err2) != nil {
			return nil, bad
		}
		h = append(h, material.Reading{At: at.Duration(), Temperature: t.Temperature()})
	}
	if len(h) == 0 {
		return nil, fmt.Errorf("no reading: write one as 2 %s 72 °C", symbol)
	}
	return h, nil
}

// shownLog writes a log reduction; what lies beyond twelve is no figure any more.
func shownLog(x float64) string {
	if x > 12 {
		return "above 12"
	}
	return unit.Number(x, 1)
}

func bakeAnswer(a *inquiry) (heatAnswer, error) {
	known := heat.Baked{Body: heat.Cylinder(a.length("wide"), a.length("deep")), Time: a.minutes("time"), Core: a.degrees("core")}
	other := heat.Cylinder(a.length("other"), a.length("depth"))
	if a.refused() {
		return heatAnswer{}, nil
	}
	e, err := heat.BakeTime(known, other)
	if err != nil {
		return heatAnswer{}, err
	}
	return heatAnswer{
		Says: "About " + unit.ShowEstimate(e.Time) + ", between " + unit.ShowEstimate(e.Low) + " and " + unit.ShowEstimate(e.High) + ".",
		Rows: [][2]string{{"of the known time", unit.Number(100*float64(e.Time)/float64(known.Time), 0) + " %"}, {"look first after", unit.ShowEstimate(e.Low)}},
		Note: "Same oven, same setting. A wide range on purpose: a core of 96 to 98 °C, a crumb that springs back and a clean tester decide.",
	}, nil
}
