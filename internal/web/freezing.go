package web

import (
	"cmp"
	"context"
	"net/http"
	"strings"
	"time"

	"chablon/chill"
	"chablon/document"
	"chablon/drawing"
	"chablon/heat"
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
}

type freezingRow struct{ Place, What, Time, Range, Quick, Note string }

type freezingCurve struct{ Title, Wide, Narrow string }

func (s *Server) showFreezing(w http.ResponseWriter, r *http.Request) error {
	st, err := s.current(r.Context())
	if err != nil {
		return err
	}
	doc, ok := document.Find[*document.Assembly](st.set, r.PathValue("id"))
	if !ok {
		return errNoPage
	}
	q := r.URL.Query()
	section, pieces, lines := pieceOf(st, doc.ID, q.Get("line"))
	if section == nil {
		return refusal{http.StatusUnprocessableEntity, nameOf(doc), "This assembly cannot be laid: " + whyNot(st, doc.ID)}
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
		for _, e := range st.book.Kitchen.Equipment {
			if e.HasSetting && (strings.Contains(e.Kind, "freezer") || e.Kind == "refrigerator") {
				v.place(ctx, e, fresh, frozen, quick, room, cold, pieces)
			}
		}
		for _, e := range usualFreezers {
			if a, err := fresh.Freeze(ctx, e, chill.Planning); err == nil {
				v.Usual = append(v.Usual, rowOfAnswer(e.Name, a))
			}
		}
	}
	s.render(w, r, 0, frame{Title: "Freezing: " + nameOf(doc), Here: "/assemblies", Kitchen: st.kitchenName()}, freezingMain(v))
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
func (v *freezingView) place(ctx context.Context, e kitchen.Equipment, fresh, frozen *chill.Body, quick chill.Piece, room, cold unit.Temperature, pieces int) {
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
}
