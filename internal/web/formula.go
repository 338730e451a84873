package web

import (
	"context"
	"errors"
	"fmt"
	"math"
	"net/http"
	"net/url"
	"strconv"
	"strings"

	"chablon/check"
	"chablon/document"
	"chablon/formula"
	"chablon/internal/storetest/contract"
	"chablon/unit"
)

// formulaView is everything that the page of a formula shows.
type formulaView struct {
	*outcome
	State    *state
	Doc      *document.Formula
	Formula  *formula.Formula // nil while a line cannot be weighed
	Address  string           // of this page, with its size
	UsedIn   []lineLink
	Lines    []*formulaLine
	Groups   []string // headings under which a line may be added
	Kinds    []string
	Size     *sizeView
	Base     string // what the baker's percentages are of
	Contents []contentView
	More     []contentView
	Energy   [2]string // of 100 g, in kilojoules and kilocalories
	Facts    []fact    // density, air, mass in and out
	Findings []findingView
	Figures  []check.Figure
	Unjudged []check.NotApplicable
	Steps    []formula.Step
	Problem  string // why it cannot be made
	Compared *comparedView
	Versions []lineLink
	Undo     *lastChange
}

// formulaLine is one line of a formula, as written and at the chosen size.
type formulaLine struct {
	N           int
	Path        string
	Group       string
	NewGroup    bool // the first line of its group
	Doc         *document.Line
	Name        string // what it takes
	Href        string // of the formula that it takes
	Preparation string
	Written     string
	Weigh       string // at the chosen size, as the scale shows it
	Rounding    string
	Dilute      string
	OfBase      string
	OfTotal     string
	Problem     string
	Choices     []candidate
}

// Form returns the name of the line's form.
func (l *formulaLine) Form() string { return "line " + number(l.N) }

// FieldID returns the element ID of one of the line's fields.
func (l *formulaLine) FieldID(name string) string { return name + "_" + number(l.N) }

// fact is a figure with its name.
type fact struct{ Name, Value, Note string }

func (s *Server) showFormula(w http.ResponseWriter, r *http.Request) error {
	q := r.URL.Query()
	return s.formulaPage(w, r, r.PathValue("id"), q, &outcome{Back: readStep(q.Get("back"))})
}

// formulaPage shows a formula at the size that the address asks for.
func (s *Server) formulaPage(w http.ResponseWriter, r *http.Request, id string, q url.Values, out *outcome) error {
	st, err := s.current(r.Context())
	if err != nil {
		return err
	}
	v, err := s.formulaView(r.Context(), st, id, q, out)
	if err != nil {
		return err
	}
	s.render(w, r, out.status, frame{Title: nameOf(v.Doc), Here: "/formulas", Kitchen: st.kitchenName()}, formulaMain(v))
	return nil
}

func (s *Server) formulaView(ctx context.Context, st *state, id string, q url.Values, out *outcome) (*formulaView, error) {
	d, ok := document.Find[*document.Formula](st.set, id)
	if !ok {
		return nil, errNoPage
	}
	v := &formulaView{outcome: out, State: st, Doc: d, Formula: st.book.Formulas[id], UsedIn: st.usedIn(id), Kinds: check.Kinds()}
	for _, g := range d.Groups {
		v.Groups = append(v.Groups, g.Name)
	}
	v.addLines()
	v.Size = v.sizeOf(q)
	with := q.Get("with")
	v.Address = v.address(v.Size.Query, with)
	if v.Formula != nil {
		v.addWeights()
		v.addContents()
		v.addFacts()
		report := check.Balance(v.Formula, st.book.Kitchen)
		v.Findings, v.Figures, v.Unjudged = st.findings(report), report.Figures, report.NotJudged
		v.Steps = v.Formula.Steps
	} else if v.faults() == 0 {
		v.Problem = st.whyNotFormula(d)
	}
	if err := s.compare(ctx, v, with); err != nil {
		return nil, err
	}
	var err error
	v.Undo, err = s.lastChangeOf(ctx, st, []document.Document{d}, out.Back)
	return v, err
}

// address returns that of the page at a size and beside a version.
func (v *formulaView) address(size url.Values, with string) string {
	q := url.Values{}
	for name, values := range size {
		q[name] = values
	}
	if with != "" {
		q.Set("with", with)
	}
	if len(q) == 0 {
		return "/formulas/" + v.Doc.ID
	}
	return "/formulas/" + v.Doc.ID + "?" + q.Encode()
}

// addLines lists the lines as written, each with its problem or its mass.
func (v *formulaView) addLines() {
	st, group := v.State, ""
	for n, at := range linesOf(v.Doc) {
		l := &formulaLine{N: n, Path: at.path, Group: at.group, NewGroup: at.group != group, Doc: at.line}
		group = at.group
		of, _, _ := at.line.Of.Split()
		line, err := st.weigh(at.line.Text, of, v.Doc.EggSize)
		if v.Formula != nil {
			line, err = v.Formula.Lines[n], nil
		}
		id, name := line.Of()
		l.Name, l.Preparation = name, line.Preparation
		if line.Formula != nil {
			l.Href = "/formulas/" + line.Formula.ID
		}
		for _, e := range st.errs {
			if v.Formula == nil && e.Document == "formula "+v.Doc.ID && (e.Field == at.path || strings.HasPrefix(e.Field, at.path+".")) {
				l.Problem = sentence(e)
				if err != nil {
					l.Problem = inWords(err)
				}
			}
		}
		if l.Problem == "" {
			l.Written = line.Mass.Show()
			if line.ToTaste && line.Mass == 0 {
				l.Written = "to taste"
			}
		}
		asked, find := line.Name, ""
		if v.Form == l.Form() && v.refused() {
			find = v.Typed.Get("find")
			if reading, err := formula.ReadLine(v.Typed.Get("text")); err == nil {
				asked = reading.Name
			}
		}
		l.Choices = st.choices(id, find, asked, at.line.Alternatives)
		v.Lines = append(v.Lines, l)
	}
}

// faults returns how many lines cannot be weighed.
func (v *formulaView) faults() int {
	n := 0
	for _, l := range v.Lines {
		if l.Problem != "" {
			n++
		}
	}
	return n
}

// roundingShown is the relative rounding error from which it is shown.
const roundingShown = 0.02

// addWeights adds the lines at the chosen size, as the kitchen's scales show them.
func (v *formulaView) addWeights() {
	list, _ := v.Size.Batch.Weighings(v.State.book.Kitchen.Round, 0) // exactly the size that was asked for
	shares, base := v.Formula.Percentages()
	v.Base = base
	if of := v.State.called(base); of != "" {
		v.Base = of
	}
	for _, l := range v.Lines {
		if l.Doc.ID == base && base != "" {
			v.Base = lower(l.Name)
		}
	}
	for i, l := range v.Lines {
		w := list[i]
		l.OfBase, l.OfTotal = percent(shares[i].OfBase), percent(shares[i].OfTotal)
		if w.Line.Mass <= 0 {
			continue
		}
		l.Weigh = weighed(v.State.book.Kitchen, w.Line.Mass)
		if math.Abs(w.Error) > roundingShown && w.Dilute == 0 {
			l.Rounding = signed(100*w.Error) + " by the scale’s step"
		}
		if w.Dilute > 0 {
			whole := w.Line.Mass * unit.Mass(w.Dilute)
			l.Dilute = fmt.Sprintf("Too little for the scales. Weigh %s× as much, %s, into as much water, and take %s of that.", unit.Number(w.Dilute, 0), whole.Show(), (2 * w.Line.Mass).Show())
		}
	}
}

// percent writes a share with the decimals that it deserves.
func percent(share float64) string {
	decimals := 1
	if share > 0 && share < 0.01 {
		decimals = 2
	}
	return unit.Number(100*share, decimals)
}

func signed(percent float64) string {
	if percent > 0 {
		return "+" + unit.Number(percent, 0) + " %"
	}
	return unit.Number(percent, 0) + " %"
}

// addFacts adds the masses in and out, the density and the air.
func (v *formulaView) addFacts() {
	b := v.Size.Batch
	add := func(name, value, note string) { v.Facts = append(v.Facts, fact{name, value, note}) }
	add("goes in", b.In.Show(), "")
	for _, l := range b.Losses {
		if worth(l) {
			add("lost: "+l.Name, l.Mass.Show(), percent(float64(l.Mass/b.In))+" % of what goes in")
		}
	}
	add("finished", b.Out.Show(), "")
	d, from := v.Formula.FinishedDensity()
	if d.Known() {
		note := from.String()
		if low, high := v.Formula.DensityLow, v.Formula.DensityHigh; low > 0 && high > 0 {
			note += ", " + densityWords(low) + " to " + densityWords(high)
		}
		add("density", densityWords(d)+" g/ml", note)
	} else {
		add("density", "not known", "weigh 100 ml of it")
	}
	if a := v.Formula.AirFraction(); a >= 0.005 {
		add("air", percent(a)+" %", "of the volume")
	}
	if sg := v.Formula.Air.SpecificGravity; sg > 0 {
		add("mix, specific gravity", unit.Number(sg, 2), "")
	}
	if o := v.Formula.Air.Overrun; o > 0 {
		add("overrun", percent(o)+" %", "of the whipped part")
	}
}

func densityWords(d unit.Density) string {
	return unit.Number(float64(d)/1000, 2)
}

// comparedView sets the formula beside an earlier version of itself.
type comparedView struct {
	Version int
	Mass    string
	Lines   []comparedLine
	Shares  []comparedLine
	Same    bool
}

type comparedLine struct{ Name, Then, Now, Change string }

// compare adds the versions there are, and the comparison that the address asks for.
func (s *Server) compare(ctx context.Context, v *formulaView, with string) error {
	history, err := s.store.History(ctx, "formula", v.Doc.ID)
	if errors.Is(err, contract.ErrNotFound) {
		return nil
	}
	if err != nil {
		return err
	}
	for _, e := range history {
		if e.Version == v.Doc.Version || e.Removed {
			continue
		}
		at := number(e.Version)
		v.Versions = append(v.Versions, lineLink{Text: "Version " + at, Href: at, Here: at == with})
	}
	if with == "" {
		return nil
	}
	refuse := func(text string) {
		if v.Form == "" {
			v.Form, v.Typed = "with", url.Values{}
			v.fieldError("with", text)
		}
	}
	version, err := strconv.Atoi(with)
	if err != nil || version < 1 {
		refuse(fmt.Sprintf("%q is no version: write a number from 1 to %d.", clip(with), v.Doc.Version))
		return nil
	}
	doc, err := s.store.Get(ctx, "formula", v.Doc.ID, version)
	if errors.Is(err, contract.ErrNotFound) {
		refuse(fmt.Sprintf("There is no version %d: the latest is %d.", version, v.Doc.Version))
		return nil
	}
	if err != nil {
		return err
	}
	before, _ := v.State.with(doc)
	then := before.book.Formulas[v.Doc.ID]
	if then == nil || v.Formula == nil {
		refuse(fmt.Sprintf("Version %d cannot be compared: a line of one of the two cannot be weighed.", version))
		return nil
	}
	v.Compared = comparedTo(formula.Compare(v.Formula, then), version)
	return nil
}

func comparedTo(c formula.Comparison, version int) *comparedView {
	v := &comparedView{Version: version, Mass: c.Mass.Show(), Same: true}
	for _, l := range c.Lines {
		line := comparedLine{Name: l.Name, Then: l.B.Show(), Now: l.A.Show()}
		switch {
		case l.B == 0:
			line.Then, line.Change = "—", "new"
		case l.A == 0:
			line.Now, line.Change = "—", "left out"
		case math.Abs(float64(l.A/l.B)-1) > 0.0005:
			line.Change = signedShare(float64(l.A/l.B) - 1)
		}
		v.Same = v.Same && line.Change == ""
		v.Lines = append(v.Lines, line)
	}
	for _, sh := range c.Shares {
		if !sh.KnownA || !sh.KnownB || math.Abs(sh.A-sh.B) < 0.0005 {
			continue
		}
		name := contentName(sh.Component.String())
		v.Shares = append(v.Shares, comparedLine{name, percent(sh.B) + " %", percent(sh.A) + " %", signedPoints(sh.A - sh.B)})
	}
	return v
}

func signedShare(x float64) string {
	s := unit.Number(100*x, 1) + " %"
	if x > 0 {
		return "+" + s
	}
	return s
}

func signedPoints(x float64) string {
	s := unit.Number(100*x, 1)
	if x > 0 {
		return "+" + s
	}
	return s
}
