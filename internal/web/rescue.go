package web

import (
	"errors"
	"fmt"
	"math"
	"net/http"
	"strconv"
	"strings"

	"chablon/document"
	"chablon/formula"
	"chablon/ingredient"
	"chablon/material"
	"chablon/plan"
	"chablon/rescue"
	"chablon/unit"
)

// rescueView is the page that puts a batch right.
type rescueView struct {
	Doc   *document.Formula
	Batch formula.Batch
	Note  string // which batch
	Cases []*rescueCase
}

// rescueCase is one thing that can go wrong, and once its questions are answered, the ways out.
type rescueCase struct {
	inquiry
	Remedies []rescue.Remedy
	solve    func(*inquiry) ([]rescue.Remedy, error)
}

// showRescue answers with the page, the case that the address names solved.
func (s *Server) showRescue(w http.ResponseWriter, r *http.Request) error {
	st, d, err := about[*document.Formula](s, r, "id")
	if err != nil {
		return err
	}
	v := &rescueView{Doc: d}
	f := st.book.Formulas[d.ID]
	if f != nil {
		v.Batch, v.Note = batchOf(st.day, f)
		v.Cases = rescueCases(v.Batch, f, st.book.Kitchen.Altitude)
	}
	q := r.URL.Query()
	for _, c := range v.Cases {
		if !c.asks(q) {
			continue
		}
		if c.Remedies, err = c.solve(&c.inquiry); err != nil {
			c.fail(err)
		}
		if c.refused() {
			c.Remedies = nil
		}
	}
	s.render(w, r, 0, frame{Title: "Put it right: " + nameOf(d), Here: "/formulas", Kitchen: st.kitchenName()}, rescueMain(v))
	return nil
}

// lineOf returns the number of the line that was chosen, -1 if it is none.
func lineOf(a *inquiry) int {
	n, err := strconv.Atoi(a.get("line"))
	if err != nil {
		return -1
	}
	return n
}

// batchOf returns the batch of a formula that the orders make, or the formula as written.
func batchOf(day *plan.Day, f *formula.Formula) (formula.Batch, string) {
	for i := range day.Batches {
		if b := &day.Batches[i]; b.Formula.ID == f.ID {
			return b.Each, fmt.Sprintf("For one batch of the orders: %s go in.", b.Each.In.Show())
		}
	}
	return f.Run(f.Written()), fmt.Sprintf("For the formula as written: %s go in.", f.Written().Show())
}

// rescueCases lists what can go wrong with a batch, with what is known filled in.
func rescueCases(b formula.Batch, f *formula.Formula, altitude unit.Length) []*rescueCase {
	var lines []pick
	for i, l := range b.Lines {
		if l.Mass > 0 {
			lines = append(lines, pick{Value: number(i), Text: fmt.Sprintf("%s, %s", l.Name, l.Mass.Show())})
		}
	}
	one := func(r rescue.Remedy, err error) ([]rescue.Remedy, error) { return []rescue.Remedy{r}, err }
	mass := inquiryField{Name: "mass", Label: "In the bowl or pot", Value: b.In.Show()}
	solids := ""
	if s, ok := f.SolubleSolids(); ok && s > 0 {
		solids = unit.Number(100*s, 1)
	}
	density, _ := f.MixDensity()
	gelatin := unit.Mass(0)
	f.Ingredients(b.In, func(i *ingredient.Ingredient, m unit.Mass) {
		if _, ok := i.Trait("bloom"); ok {
			gelatin += m
		}
	})
	out := []*rescueCase{
		{
			inquiry: inquiry{ID: "too-much", Title: "Too much of a line was weighed", Fields: []inquiryField{
				{Name: "line", Label: "Line", Choices: lines}, {Name: "weighed", Label: "Weighed", Hint: "such as 15 g"}, {Name: "room", Label: "The bowl takes", Value: "10 kg"},
			}},
			solve: func(a *inquiry) ([]rescue.Remedy, error) {
				return rescue.TooMuch(b, lineOf(a), a.mass("weighed"), a.mass("room"))
			},
		},
		{
			inquiry: inquiry{ID: "too-little", Title: "Too little of a line was weighed", Fields: []inquiryField{
				{Name: "line", Label: "Line", Choices: lines}, {Name: "weighed", Label: "Weighed", Hint: "such as 8 g"}, {Name: "over", Label: "Its step is over", Check: true},
			}},
			solve: func(a *inquiry) ([]rescue.Remedy, error) {
				return one(rescue.TooLittle(b, lineOf(a), a.mass("weighed"), a.get("over") == ""))
			},
		},
		{
			inquiry: inquiry{ID: "syrup", Title: "A syrup was boiled too far", Fields: []inquiryField{
				{Name: "mass", Label: "In the pot", Hint: "such as 600 g"}, {Name: "reached", Label: "It reached", Hint: "such as 124 °C"}, {Name: "wanted", Label: "Wanted", Value: "118 °C"},
			}},
			solve: func(a *inquiry) ([]rescue.Remedy, error) {
				p, err := material.PressureAt(altitude)
				if err != nil {
					return nil, err
				}
				return one(rescue.Overshot(a.mass("mass"), a.degrees("reached"), a.degrees("wanted"), p))
			},
		},
		{
			inquiry: inquiry{ID: "brix", Title: "The refractometer reads too high or too low", Fields: []inquiryField{
				mass, {Name: "reads", Label: "It reads, °Bx"}, {Name: "wanted", Label: "Wanted, °Bx", Value: solids},
			}},
			solve: func(a *inquiry) ([]rescue.Remedy, error) {
				m, now, want := a.mass("mass"), a.number("reads")/100, a.number("wanted")/100
				if now > want {
					return one(rescue.Thin(m, now, want, "water"))
				}
				return rescue.Strengthen(m, now, want)
			},
		},
		{
			inquiry: inquiry{ID: "foam", Title: "A cup of the foam weighs too much or too little", Fields: []inquiryField{
				mass,
				{Name: "cup", Label: "The full cup weighs", Hint: "without the cup"},
				{Name: "holds", Label: "It holds", Value: "100 ml"},
				{Name: "wanted", Label: "Wanted, g/ml", Value: densityText(density)},
				{Name: "whip", Label: "It is still a foam alone and can be whipped on", Check: true},
			}},
			solve: func(a *inquiry) ([]rescue.Remedy, error) {
				measured := unit.DensityOf(a.mass("cup"), a.quantity("holds", "", unit.OfVolume).Volume())
				return one(rescue.Foam(a.mass("mass"), measured, unit.Density(1000*a.number("wanted")), 1050, a.get("whip") != ""))
			},
		},
		{
			inquiry: inquiry{ID: "glaze", Title: "A glaze pours too thick or too thin", Fields: []inquiryField{
				mass, {Name: "at", Label: "It is at", Hint: "such as 25 °C"}, {Name: "dry", Label: "Dry matter, %"}, {Name: "wanted", Label: "Wanted, %"},
			}},
			solve: func(a *inquiry) ([]rescue.Remedy, error) {
				return rescue.Glaze(a.mass("mass"), a.degrees("at"), a.number("dry")/100, a.number("wanted")/100)
			},
		},
		{
			inquiry: inquiry{ID: "broken", Title: "It split, curdled or seized", Fields: []inquiryField{
				{Name: "what", Label: "What", Choices: []pick{{Value: "0", Text: "a ganache split"}, {Value: "1", Text: "a custard curdled"}, {Value: "2", Text: "chocolate seized"}, {Value: "3", Text: "a mousse turned grainy"}}},
				mass,
				{Name: "hottest", Label: "The hottest it was", Hint: "such as 87 °C"},
			}},
			solve: func(a *inquiry) ([]rescue.Remedy, error) {
				what, err := strconv.Atoi(a.get("what"))
				if err != nil || what < 0 || what > int(rescue.GrainyMousse) {
					return nil, errors.New("choose what happened")
				}
				return one(rescue.Broken(rescue.Break(what), a.mass("mass"), a.degrees("hottest")))
			},
		},
	}
	if gelatin > 0 {
		amount := inquiryField{Name: "gelatin", Label: "Gelatin, dry", Value: gelatin.Show()}
		out = append(out,
			&rescueCase{
				inquiry: inquiry{ID: "boiled", Title: "Gelatin was heated too far", Fields: []inquiryField{amount, {Name: "at", Label: "It was at", Hint: "such as 95 °C"}, {Name: "minutes", Label: "Minutes"}, {Name: "sour", Label: "The mix is sour, below pH 4", Check: true}}},
				solve: func(a *inquiry) ([]rescue.Remedy, error) {
					return one(rescue.BoiledGelatin(a.mass("gelatin"), a.degrees("at"), a.number("minutes"), a.get("sour") != ""))
				},
			},
			&rescueCase{
				inquiry: inquiry{ID: "grade", Title: "Another grade of gelatin is there", Fields: []inquiryField{amount, {Name: "want", Label: "Written, Bloom", Value: "200"}, {Name: "have", Label: "There, Bloom"}, {Name: "in", Label: "It is in already", Check: true}}},
				solve: func(a *inquiry) ([]rescue.Remedy, error) {
					return one(rescue.OtherGrade(a.mass("gelatin"), material.Bloom(a.number("want")), material.Bloom(a.number("have")), a.get("in") != ""))
				},
			})
	}
	return out
}

func densityText(d unit.Density) string {
	if !d.Known() {
		return ""
	}
	return unit.Number(d.GramsPerMillilitre(), 2)
}

// figureText writes a figure of a remedy.
func figureText(f rescue.Figure) string {
	decimals := 2
	if max(math.Abs(f.Before), math.Abs(f.After)) >= 10 {
		decimals = 1
	}
	return strings.TrimSpace(fmt.Sprintf("%s: %s → %s %s", f.Name, unit.Number(f.Before, decimals), unit.Number(f.After, decimals), f.Unit))
}

// sentenceOf writes a text as a sentence.
func sentenceOf(s string) string {
	s = sentenceCase(s)
	if s == "" || strings.HasSuffix(s, ".") {
		return s
	}
	return s + "."
}
