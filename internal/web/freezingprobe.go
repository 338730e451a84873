package web

import (
	"context"
	"errors"
	"fmt"
	"net/http"
	"net/url"
	"slices"
	"strings"

	"chablon/chill"
	"chablon/document"
	"chablon/kitchen"
	"chablon/unit"
)

// probeView is what readings of the core say of a freezing, and what the kitchen has kept of such readings.
type probeView struct {
	Ask     inquiry
	Found   *probeFound
	Version int // of the kitchen's document, 0 if it has none
	History []calibrationRow
}

// probeFound is what readings of the core make of the time.
type probeFound struct {
	Ready, Before string
	Air           string
	Food          string // how much better the food conducts, "" if it was not asked
	AirAlone      string // the coefficient with the food as computed, where it was asked
	Misfit        bool
}

// calibrationRow is a calibration of a place.
type calibrationRow struct {
	Place, Date, Piece, Href, Air, Food, Readings string
	Used                                          bool
}

// kitchenOf returns the kitchen's document.
func kitchenOf(st *state) (*document.Kitchen, bool) {
	list := document.Every[*document.Kitchen](st.set)
	if len(list) == 0 {
		return nil, false
	}
	return list[0], true
}

// askProbe prepares the question, and lists what is kept of those before.
func (v *freezingView) askProbe() {
	if freezers := v.places(isFreezer); len(freezers) > 0 {
		v.Probe.Ask = inquiry{ID: "probe", Title: "Probe the core and correct the rest", Fields: []inquiryField{
			{Name: "place", Label: "Freezing in", Choices: picks(freezers)},
			{Name: "record", Label: "Hours in it and the core", Hint: "such as 5 h −6 °C, 7 h −11 °C", Long: true},
			{Name: "food", Label: "ask for the food's conductivity too (three readings or more)", Check: true},
		}}
	}
	if k, ok := kitchenOf(v.st); ok {
		v.Probe.Version = k.Version
		v.Probe.History = calibrationRows(v.st, k)
	}
}

// probe corrects the time in one of the kitchen's freezers by readings of the core.
func (v *freezingView) probe(ctx context.Context, q url.Values) {
	if v.Probe.Ask.ID == "" || !v.Probe.Ask.asks(q) {
		return
	}
	a := &v.Probe.Ask
	e, c, ok := v.corrected(ctx, a)
	if !ok {
		return
	}
	found := &probeFound{
		Ready:  unit.ShowEstimate(c.After.Time) + " (" + span(c.After.Low, c.After.High) + ")",
		Before: unit.ShowEstimate(c.Before.Time) + " (" + span(c.Before.Low, c.Before.High) + ")",
		Air:    coefficient(float64(c.Transfer), float64(c.Low), float64(c.High)),
		Misfit: c.Misfit > 2,
	}
	if a.get("food") != "" {
		found.Food = factor(c.Conductivity, c.ConductivityLow, c.ConductivityHigh)
		if alone, err := v.fresh.CorrectFreezing(ctx, e, readingsOf(a)); err == nil {
			found.AirAlone = coefficient(float64(alone.Transfer), float64(alone.Low), float64(alone.High))
		}
	}
	v.Probe.Found = found
}

// corrected corrects the freezing by the answers of a probe's form; what is wrong with them is put there.
func (v *freezingView) corrected(ctx context.Context, a *inquiry) (kitchen.Equipment, chill.Corrected, bool) {
	freezers := v.places(isFreezer)
	i := slices.IndexFunc(freezers, func(e kitchen.Equipment) bool { return e.ID == a.get("place") })
	if i < 0 {
		a.wrong("place", errors.New("choose the freezer that it is in"))
	}
	readings := readingsOf(a)
	if a.refused() {
		return kitchen.Equipment{}, chill.Corrected{}, false
	}
	correct := v.fresh.CorrectFreezing
	if a.get("food") != "" {
		correct = v.fresh.CorrectFreezingWithFood
	}
	c, err := correct(ctx, freezers[i], readings)
	if err != nil {
		a.fail(err)
		return kitchen.Equipment{}, chill.Corrected{}, false
	}
	return freezers[i], c, true
}

// readingsOf reads the temperatures of a probe's form.
func readingsOf(a *inquiry) []chill.Probe {
	h, err := recordOf(a.get("record"), "h")
	if err != nil {
		a.wrong("record", err)
	}
	var out []chill.Probe
	for _, r := range h {
		out = append(out, chill.Probe{At: r.At, Temperature: r.Temperature})
	}
	return out
}

// coefficient writes a surface coefficient with the range in which it lies, if that is known.
func coefficient(x, low, high float64) string {
	if high <= low {
		return unit.Number(x, 1) + " W/(m² K)"
	}
	return unit.Number(x, 1) + " W/(m² K), " + unit.Number(low, 1) + " to " + unit.Number(high, 1)
}

// factor writes by how many times a food conducts better than computed.
func factor(x, low, high float64) string {
	return "× " + unit.Number(x, 2) + ", " + unit.Number(low, 2) + " to " + unit.Number(high, 2)
}

// calibrationRows lists what the kitchen keeps of its places, the newest first. Of one day that comes first which
// was written last.
func calibrationRows(st *state, k *document.Kitchen) []calibrationRow {
	type dated struct {
		day string
		calibrationRow
	}
	var list []dated
	for _, e := range st.book.Kitchen.Equipment {
		used, _ := kitchen.Newest(e.Calibrations)
		marked := false
		for i := len(e.Calibrations) - 1; i >= 0; i-- {
			c := e.Calibrations[i]
			row := calibrationRow{Place: e.Name, Date: c.Date, Air: coefficient(c.Transfer, c.Low, c.High), Food: "as computed", Piece: c.Piece}
			if d, ok := document.Find[*document.Assembly](st.set, c.Piece); ok {
				row.Piece, row.Href = nameOf(d), "/assemblies/"+d.ID
			}
			if c.Conductivity > 0 {
				row.Food = factor(c.Conductivity, c.ConductivityLow, c.ConductivityHigh)
			}
			var read []string
			for _, r := range c.Readings {
				read = append(read, strings.ReplaceAll(unit.ShowDuration(r.After)+" "+r.Temperature.Show(), " ", "\u00a0"))
			}
			row.Readings = strings.Join(read, ", ")
			if !marked && c.Date == used.Date { // of that day the last written, which comes first here
				row.Used, marked = true, true
			}
			list = append(list, dated{c.Date, row})
		}
	}
	slices.SortStableFunc(list, func(a, b dated) int { return strings.Compare(b.day, a.day) })
	var out []calibrationRow
	for _, x := range list {
		out = append(out, x.calibrationRow)
	}
	for _, e := range k.Equipment { // written by hand, without a day
		if e.Transfer > 0 {
			out = append(out, calibrationRow{Place: equipmentName(e), Date: "no day", Piece: "written by hand", Air: coefficient(e.Transfer, 0, 0), Used: len(e.Calibrations) == 0})
		}
	}
	return out
}

// equipmentName returns what the cook calls a piece of equipment.
func equipmentName(e document.Equipment) string {
	if e.Name != "" {
		return e.Name
	}
	return e.ID
}

// keepCalibration adds what readings told of a freezer to its calibrations. It is computed anew from the readings:
// a form's word is not taken for it.
func (s *Server) keepCalibration(w http.ResponseWriter, r *http.Request) error {
	st, doc, err := about[*document.Assembly](s, r, "id")
	if err != nil {
		return err
	}
	k, ok := kitchenOf(st)
	if !ok {
		return errNoPage
	}
	v, err := freezingOf(st, doc, r.PostForm)
	if err != nil {
		return err
	}
	out := &outcome{Form: "probe", Typed: r.PostForm}
	a := &v.Probe.Ask
	var place kitchen.Equipment
	var found chill.Corrected
	switch {
	case v.Problem != "":
		out.formError(http.StatusUnprocessableEntity, v.Problem)
	case !a.asks(r.PostForm):
		out.formError(http.StatusBadRequest, "The form does not say what was read in which freezer. Nothing was kept: reload the page and probe again.")
	default:
		if place, found, ok = v.corrected(r.Context(), a); !ok {
			out.formError(http.StatusUnprocessableEntity, "Nothing was kept. "+a.firstWrong())
		}
	}
	day := s.now()
	if zone := st.book.Kitchen.Zone; zone != nil {
		day = day.In(zone)
	}
	edit := func(d document.Document) {
		list := d.(*document.Kitchen).Equipment
		if i := slices.IndexFunc(list, func(e document.Equipment) bool { return e.ID == place.ID }); i >= 0 {
			list[i] = list[i].Calibrated(found.Calibration(day.Format("2006-01-02"), doc.ID))
		}
	}
	if !out.refused() {
		err := s.change(r.Context(), st, k, r.PostForm.Get("version"), out, edit, func(string) string { return "" })
		if err != nil {
			return err
		}
	}
	return s.answer(w, r, out)
}

// calibrationsChanged says which places have other calibrations than before, "" if none has.
func calibrationsChanged(before, now *document.Kitchen) string {
	var names []string
	for _, e := range now.Equipment {
		i := slices.IndexFunc(before.Equipment, func(b document.Equipment) bool { return b.ID == e.ID })
		if i >= 0 && len(before.Equipment[i].Calibrations) != len(e.Calibrations) {
			names = append(names, equipmentName(e))
		}
	}
	if len(names) == 0 {
		return ""
	}
	return fmt.Sprintf("calibration of %s", strings.Join(names, " and "))
}
