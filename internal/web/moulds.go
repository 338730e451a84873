package web

import (
	"cmp"
	"errors"
	"fmt"
	"net/http"
	"net/url"
	"slices"
	"strings"

	"chablon/assembly"
	"chablon/document"
	"chablon/drawing"
	"chablon/mould"
	"chablon/unit"
)

// mouldRow is a mould in the list.
type mouldRow struct {
	ID, Name, Size, Holds string
	Count                 int // owned
	Own                   bool
}

// mouldsView is the list of moulds.
type mouldsView struct {
	Owned, Others []mouldRow
	Known         []mouldRow // the usual sizes that are built in
}

func (s *Server) listMoulds(w http.ResponseWriter, r *http.Request) error {
	st, err := s.current(r.Context())
	if err != nil {
		return err
	}
	v := &mouldsView{}
	for id, m := range st.book.Moulds {
		_, own := document.Find[*document.Mould](st.set, id)
		row := mouldRow{ID: id, Name: mouldName(m), Size: sizeWords(m), Holds: holdsWords(m), Count: st.book.Kitchen.Moulds[id], Own: own}
		switch {
		case row.Count > 0:
			v.Owned = append(v.Owned, row)
		case own:
			v.Others = append(v.Others, row)
		default:
			v.Known = append(v.Known, row)
		}
	}
	for _, list := range [][]mouldRow{v.Owned, v.Others, v.Known} {
		slices.SortFunc(list, func(a, b mouldRow) int {
			return cmp.Or(strings.Compare(strings.ToLower(a.Name), strings.ToLower(b.Name)), strings.Compare(a.ID, b.ID))
		})
	}
	s.render(w, r, 0, frame{Title: "Moulds", Here: "/moulds", Kitchen: st.kitchenName()}, mouldsMain(v))
	return nil
}

// sizeWords says what a mould measures at the rim.
func sizeWords(m *mould.Mould) string {
	o, h := m.Solid.At(m.Solid.Height()), m.Solid.Height()
	if o.IsCircle() {
		return "Ø " + bareMM(o.Width) + " × " + h.Show()
	}
	return bareMM(o.Width) + " × " + bareMM(o.Depth) + " × " + h.Show()
}

func bareMM(l unit.Length) string { return strings.TrimSuffix(l.Show(), " mm") }

func holdsWords(m *mould.Mould) string {
	if m.Cavities > 1 {
		return fmt.Sprintf("%d × %s", m.Cavities, m.Capacity().Show())
	}
	return m.Capacity().Show()
}

// shapeForm is a shape that a mould may have, with the dimensions that describe it.
type shapeForm struct {
	ID, Title, Hint string
	Fields          []shapeField
	fill            func(d *document.Mould, q func(name string) unit.Quantity, n func(name string) int)
}

type shapeField struct {
	Name, Label, Start string
	Optional           bool
	Count              bool
}

// shapeForms are the shapes that the page offers, the usual ones first.
var shapeForms = []shapeForm{
	{
		"ring", "Ring", "A straight round wall, with or without a bottom.", dims("diameter", "Inner diameter", "180 mm", "height", "Height", "45 mm"),
		func(d *document.Mould, q func(string) unit.Quantity, _ func(string) int) {
			d.Ring = &document.RingShape{Diameter: q("diameter"), Height: q("height")}
		},
	},
	{
		"round", "Round pan", "Round, its wall leaning in towards the bottom.", dims("top", "Across the rim", "200 mm", "bottom", "Across the bottom", "180 mm", "height", "Height", "50 mm"),
		func(d *document.Mould, q func(string) unit.Quantity, _ func(string) int) {
			d.Round = &document.RoundShape{Top: q("top"), Bottom: q("bottom"), Height: q("height")}
		},
	},
	{
		"frame", "Frame or sheet", "A rectangle, its corners rounded or not.", append(dims("width", "Width", "600 mm", "depth", "Depth", "400 mm", "height", "Height", "40 mm"), shapeField{"corner", "Corner radius", "", true, false}, shapeField{"draft", "Leans in by", "", true, false}),
		func(d *document.Mould, q func(string) unit.Quantity, _ func(string) int) {
			d.Frame = &document.FrameShape{Width: q("width"), Depth: q("depth"), Height: q("height"), Corner: q("corner"), Draft: q("draft")}
		},
	},
	{
		"dome", "Dome", "Half a sphere, or a lower cap of one.", append(dims("diameter", "Across the rim", "70 mm"), shapeField{"height", "Height, if not half", "", true, false}),
		func(d *document.Mould, q func(string) unit.Quantity, _ func(string) int) {
			d.Dome = &document.DomeShape{Diameter: q("diameter"), Height: q("height")}
		},
	},
	{"figure-hexagon", "Hexagon", "", figureDims("Across the flats", "180 mm"), figureFill("hexagon")},
	{"figure-octagon", "Octagon", "", figureDims("Across the flats", "180 mm"), figureFill("octagon")},
	{"figure-triangle", "Triangle", "Three equal sides.", figureDims("Side", "160 mm"), figureFill("triangle")},
	{"figure-oval", "Oval", "", append(dims("width", "Long axis", "240 mm", "depth", "Short axis", "170 mm", "height", "Height", "45 mm"), shapeField{"draft", "Leans in by", "", true, false}), figureFill("oval")},
	{"figure-heart", "Heart", "A square with a half disc on two of its sides.", append(dims("width", "Side of the square", "110 mm", "height", "Height", "45 mm"), shapeField{"draft", "Leans in by", "", true, false}), figureFill("heart")},
	{
		"log", "Log", "An arc under straight walls, run along a length.", append(dims("width", "Width", "80 mm", "height", "Height", "70 mm", "length", "Length", "250 mm"), shapeField{"rise", "Rise of the arc, if not half the width", "", true, false}),
		func(d *document.Mould, q func(string) unit.Quantity, _ func(string) int) {
			d.Log = &document.LogShape{Width: q("width"), Height: q("height"), Rise: q("rise"), Length: q("length")}
		},
	},
	{
		"tube", "Tube pan", "A round pan with a tube in the middle.", dims("top", "Across the rim", "254 mm", "bottom", "Across the bottom", "216 mm", "height", "Height", "102 mm", "tube_top", "Tube at the rim", "50 mm", "tube_bottom", "Tube at the bottom", "76 mm"),
		func(d *document.Mould, q func(string) unit.Quantity, _ func(string) int) {
			d.Round = &document.RoundShape{Top: q("top"), Bottom: q("bottom"), Height: q("height")}
			d.Inner = tubeOf(q)
		},
	},
	{
		"fluted", "Fluted tube pan", "Round with a waving wall and a tube in the middle.", append(dims("top", "Across the rim, mean", "220 mm", "bottom", "Across the bottom, mean", "180 mm", "height", "Height", "95 mm", "depth", "Depth of a flute", "5 mm", "tube_top", "Tube at the rim", "50 mm", "tube_bottom", "Tube at the bottom", "70 mm"), shapeField{"flutes", "Flutes", "16", false, true}),
		func(d *document.Mould, q func(string) unit.Quantity, n func(string) int) {
			d.Fluted = &document.FlutedShape{Top: q("top"), Bottom: q("bottom"), Height: q("height"), Depth: q("depth"), Flutes: n("flutes")}
			d.Inner = tubeOf(q)
		},
	},
	{
		"savarin", "Savarin", "A ring whose section is half a disc, its round side down.", append(dims("middle", "Middle line, across", "140 mm", "radius", "Radius of the section", "35 mm"), shapeField{"height", "Height, if more", "", true, false}),
		func(d *document.Mould, q func(string) unit.Quantity, _ func(string) int) {
			d.Savarin = &document.SavarinShape{Middle: q("middle"), Radius: q("radius"), Height: q("height")}
		},
	},
	{
		"bowl", "Bowl or quenelle", "Half an ellipsoid, its rim up.", append(dims("width", "Width", "70 mm", "height", "Height", "16 mm"), shapeField{"depth", "Depth, if not as the width", "32 mm", true, false}),
		func(d *document.Mould, q func(string) unit.Quantity, _ func(string) int) {
			d.Bowl = &document.BowlShape{Width: q("width"), Depth: q("depth"), Height: q("height")}
		},
	},
	{"turned", "Drawn profile", "Half of its section, from the bottom at the axis to the rim, turned about the axis.", nil, nil},
	{"path", "Drawn outline", "Its outline from above, as SVG path data in millimetres.", append(dims("height", "Height", "45 mm"), shapeField{"draft", "Leans in by", "", true, false}), nil},
}

func dims(parts ...string) []shapeField {
	var out []shapeField
	for i := 0; i < len(parts); i += 3 {
		out = append(out, shapeField{Name: parts[i], Label: parts[i+1], Start: parts[i+2]})
	}
	return out
}

func figureDims(label, start string) []shapeField {
	return append(dims("width", label, start, "height", "Height", "45 mm"), shapeField{"corner", "Corner radius", "", true, false}, shapeField{"draft", "Leans in by", "", true, false})
}

func figureFill(figure string) func(*document.Mould, func(string) unit.Quantity, func(string) int) {
	return func(d *document.Mould, q func(string) unit.Quantity, _ func(string) int) {
		d.Drawn = &document.DrawnShape{Figure: figure, Width: q("width"), Depth: q("depth"), Height: q("height"), Corner: q("corner"), Draft: q("draft")}
	}
}

// tubeOf is the inner profile of a tube by its two diameters.
func tubeOf(q func(string) unit.Quantity) []document.ProfileStep {
	zero, _ := unit.ParseQuantity("0 mm", unit.OfLength)
	return []document.ProfileStep{{R: q("tube_bottom").Times(0.5), Z: zero}, {R: q("tube_top").Times(0.5), Z: q("height")}}
}

// mouldView is the page of one mould: a new one, or one that is there.
type mouldView struct {
	*outcome
	Doc     *document.Mould // as stored, nil for a new one
	Query   url.Values
	Shape   *shapeForm
	Problem string
	Wrong   map[string]string // what is wrong with a field
	Undo    *lastChange
	Mould   *mould.Mould // what the fields describe, nil if nothing yet
	Narrow  string
	Above   string
	Levels  []mouldLevel
	Built   bool // one of the built-in sizes
}

type mouldLevel struct{ Share, Level, Volume, Across string }

// Value returns what a field holds.
func (v *mouldView) Value(f shapeField) string {
	if v.Query.Has(f.Name) {
		return v.Query.Get(f.Name)
	}
	return f.Start
}

// Title returns the heading.
func (v *mouldView) Title() string {
	if name := v.Query.Get("name"); name != "" {
		return name
	}
	return "New mould"
}

// Facts are the figures of the shape.
func (v *mouldView) Facts() [][2]string {
	s := v.Mould.Solid
	h := s.Height()
	facts := [][2]string{
		{"Holds", v.Mould.Capacity().Show()},
		{"Height", h.Show()},
		{"Rim", sizeWords(v.Mould)},
		{"Area at the rim", unit.Number(s.At(h).Area().SquareCentimetres(), 1) + " cm²"},
		{"Wall", unit.Number(s.Wall(0, h).SquareCentimetres(), 1) + " cm²"},
		{"Way round the rim", s.At(h).Outer().Perimeter().Show()},
	}
	if v.Mould.Cavities > 1 {
		facts = append(facts, [2]string{"All cavities", fmt.Sprintf("%d × %s = %s", v.Mould.Cavities, v.Mould.Capacity().Show(), (v.Mould.Capacity() * unit.Volume(v.Mould.Cavities)).Show())})
	}
	if l, ok := s.(*mould.Log); ok {
		facts = append(facts, [2]string{"Lining, developed", l.Developed().Show() + " × " + l.Length().Show()})
	}
	if r, ok := v.Mould.WaterRatio(); ok {
		facts = append(facts, [2]string{"Water test", unit.Number(100*r, 1) + " % of the shape as described; widths are corrected by it"})
	}
	return facts
}

// showMould answers with the page of one mould; the address may change its figures, which are only
// shown until they are saved.
func (s *Server) showMould(w http.ResponseWriter, r *http.Request) error {
	q := r.URL.Query()
	return s.mouldPage(w, r, r.PathValue("id"), q, &outcome{Back: readStep(q.Get("back"))})
}

// mouldPage shows a mould: with what was typed where that was refused, else with the figures of the address or, if
// it gives none, as stored.
func (s *Server) mouldPage(w http.ResponseWriter, r *http.Request, id string, q url.Values, out *outcome) error {
	st, err := s.current(r.Context())
	if err != nil {
		return err
	}
	v := &mouldView{outcome: out, Query: q}
	doc, own := document.Find[*document.Mould](st.set, id)
	known := st.book.Moulds[id]
	switch {
	case id == "new" || own:
		if v.Doc = doc; own && !q.Has("shape") {
			v.Query = queryOf(doc)
		}
		if out.refused() && out.Form == "mould" {
			v.Query = out.Typed
		}
		s.compute(v)
		for name, text := range out.Fields {
			v.Wrong[name] = text
		}
		if own {
			if v.Undo, err = s.lastChangeOf(r.Context(), st, []document.Document{doc}, out.Back); err != nil {
				return err
			}
		}
	case known == nil:
		return errNoPage
	default:
		v.Built, v.Mould = true, known
		v.Query = url.Values{"name": {mouldName(known)}}
		v.draw()
	}
	s.render(w, r, out.status, frame{Title: v.Title(), Here: "/moulds", Kitchen: st.kitchenName()}, mouldMain(v))
	return nil
}

// compute reads the fields and draws what they describe.
func (s *Server) compute(v *mouldView) *document.Mould {
	v.Wrong = map[string]string{}
	i := slices.IndexFunc(shapeForms, func(f shapeForm) bool { return f.ID == v.Query.Get("shape") })
	v.Shape = &shapeForms[max(0, i)]
	doc := v.document()
	if len(v.Wrong) > 0 {
		return nil
	}
	set := &document.Set{}
	set.Add(doc)
	book, errs := document.Resolve(set, nil)
	for _, e := range errs {
		v.Problem = sentence(e)
	}
	if v.Mould = book.Moulds[doc.ID]; v.Mould == nil || v.Problem != "" {
		v.Mould = nil
		return nil
	}
	v.draw()
	return doc
}

// document builds the mould that the fields describe.
func (v *mouldView) document() *document.Mould {
	d := &document.Mould{Head: document.Head{Kind: "mould", ID: "draft", Schema: 1, Name: strings.TrimSpace(v.Query.Get("name"))}}
	if v.Doc != nil {
		d.Head = v.Doc.Head
		d.Name = strings.TrimSpace(v.Query.Get("name"))
		d.Wall, d.Room = v.Doc.Wall, v.Doc.Room
	}
	q := func(name string) unit.Quantity {
		text := strings.TrimSpace(v.Query.Get(name))
		if !v.Query.Has(name) {
			for _, f := range v.Shape.Fields {
				if f.Name == name {
					text = f.Start
				}
			}
		}
		if text == "" {
			return unit.Quantity{}
		}
		x, err := unit.ParseQuantity(withUnit(text, unit.Quantity{}, "mm"), unit.OfLength)
		if err != nil {
			v.Wrong[name] = inWords(err)
		}
		return x
	}
	n := func(name string) int {
		text := cmp.Or(strings.TrimSpace(v.Query.Get(name)), "16")
		k, err := wholeNumber(text)
		if err != nil {
			v.Wrong[name] = err.Error()
		}
		return k
	}
	for _, f := range v.Shape.Fields {
		if x := q(f.Name); !f.Optional && !f.Count && !x.Given() && v.Wrong[f.Name] == "" {
			v.Wrong[f.Name] = "Give a length, such as " + cmp.Or(f.Start, "45 mm") + "."
		}
		if f.Count {
			delete(v.Wrong, f.Name)
		}
	}
	switch v.Shape.ID {
	case "turned":
		steps, err := profileOf(cmp.Or(v.Query.Get("profile"), usualProfile))
		if err != nil {
			v.Wrong["profile"] = inWords(err)
		}
		d.Turned = &document.TurnedShape{Profile: steps}
	case "path":
		d.Drawn = &document.DrawnShape{Path: cmp.Or(strings.TrimSpace(v.Query.Get("path")), usualPath), Height: q("height"), Draft: q("draft")}
	default:
		v.Shape.fill(d, q, n)
	}
	if text := strings.TrimSpace(v.Query.Get("cavities")); text != "" {
		k, err := wholeNumber(text)
		if err != nil || k < 1 {
			v.Wrong["cavities"] = "Write how many cavities, at least 1."
		}
		d.Cavities = k
	}
	if text := strings.TrimSpace(v.Query.Get("water")); text != "" {
		x, err := unit.ParseQuantity(withUnit(text, unit.Quantity{}, "g"), unit.OfMass)
		if err != nil {
			v.Wrong["water"] = inWords(err)
		}
		d.WaterTest = x
	}
	d.OpenBottom = v.Query.Get("bottom") == "open"
	d.Role = v.Query.Get("role")
	d.Material = v.Query.Get("material")
	return d
}

// What the two drawn shapes begin with.
const (
	usualProfile = "0 0\n60 0\n72 25\n72 45"
	usualPath    = "M0 0 H120 V80 H60 Q0 80 0 0 Z"
)

// profileOf reads points, one a line: the distance from the axis and the height in millimetres, and
// the radius of the arc that leads there, if it is one.
func profileOf(text string) ([]document.ProfileStep, error) {
	var out []document.ProfileStep
	for i, row := range strings.Split(strings.TrimSpace(text), "\n") {
		parts := strings.Fields(strings.NewReplacer(",", ".", ";", " ").Replace(row))
		if len(parts) == 0 {
			continue
		}
		if len(parts) > 3 || len(parts) < 2 {
			return nil, fmt.Errorf("point %d: write two figures, from the axis and up, and a third for the radius of an arc", i+1)
		}
		var q [3]unit.Quantity
		for k, p := range parts {
			x, err := unit.ParseQuantity(withUnit(p, unit.Quantity{}, "mm"), unit.OfLength)
			if err != nil {
				return nil, fmt.Errorf("point %d: %w", i+1, err)
			}
			q[k] = x
		}
		out = append(out, document.ProfileStep{R: q[0], Z: q[1], Arc: q[2]})
	}
	if len(out) < 2 {
		return nil, errors.New("give at least two points, one a line")
	}
	return out, nil
}

// draw makes the pictures and figures of the mould.
func (v *mouldView) draw() {
	empty := (&assembly.Assembly{ID: v.Mould.ID, Name: v.Title(), Mould: v.Mould}).Lay(v.Mould)
	title := "Section of " + v.Title()
	v.Narrow = string(drawing.Section(empty, drawing.Options{IDPrefix: "n_", Title: title, Narrow: true}).SVG())
	v.Above = string(drawing.Plan(empty, drawing.Options{IDPrefix: "p_", Title: "From above: " + v.Title(), Narrow: true}).SVG())
	s := v.Mould.Solid
	for _, share := range []float64{0.25, 0.5, 0.75, 1} {
		volume := v.Mould.Capacity() * unit.Volume(share)
		level, err := mould.Level(s, volume)
		if err != nil {
			continue
		}
		o := s.At(level)
		across := bareMM(o.Width) + " × " + o.Depth.Show()
		if o.IsCircle() {
			across = "Ø " + o.Width.Show()
		}
		v.Levels = append(v.Levels, mouldLevel{unit.Number(100*share, 0) + " %", level.Show(), volume.Show(), across})
	}
}

// saveMould stores what the fields describe, as a new mould or as a change of one.
func (s *Server) saveMould(w http.ResponseWriter, r *http.Request) error {
	st, err := s.begin(r)
	if err != nil {
		return err
	}
	out := &outcome{Form: "mould", Typed: r.PostForm}
	v := &mouldView{outcome: out, Query: r.PostForm}
	id := r.PathValue("id")
	if id != "new" {
		var own bool
		if v.Doc, own = document.Find[*document.Mould](st.set, id); !own {
			return errNoPage
		}
	}
	doc := s.compute(v)
	switch {
	case doc == nil:
		for name, text := range v.Wrong {
			out.fieldError(name, text)
		}
		if v.Problem != "" {
			out.formError(http.StatusUnprocessableEntity, v.Problem)
		}
	case doc.Name == "":
		out.fieldError("name", "Give it a name, such as heart 150 × 45 mm.")
	case v.Doc == nil:
		doc.ID = freeAmong(doc.Name, "mould", func(id string) bool {
			return id == "new" || st.book.Moulds[id] != nil || st.set.Get("mould", id) != nil
		})
		made, err := s.create(r.Context(), doc, out)
		if err != nil {
			return err
		}
		if made {
			http.Redirect(w, r, "/moulds/"+doc.ID, http.StatusSeeOther)
			return nil
		}
	default:
		edit := func(d document.Document) {
			head := *d.Header()
			*d.(*document.Mould) = *doc
			*d.Header() = head
			d.Header().Name = doc.Name
		}
		if err := s.change(r.Context(), st, v.Doc, r.PostForm.Get("version"), out, edit, func(string) string { return "" }); err != nil {
			return err
		}
	}
	r.PostForm.Set("page", "/moulds/"+id)
	return s.answer(w, r, out)
}

// queryOf writes a stored mould as the fields of its page.
func queryOf(d *document.Mould) url.Values {
	q := url.Values{"name": {nameOf(d)}, "role": {d.Role}, "material": {d.Material}}
	set := func(name string, x unit.Quantity) {
		if x.Given() {
			q.Set(name, x.Text)
		} else {
			q.Set(name, "")
		}
	}
	if d.Cavities > 1 {
		q.Set("cavities", number(d.Cavities))
	}
	if d.WaterTest.Given() {
		q.Set("water", d.WaterTest.Text)
	}
	if d.OpenBottom {
		q.Set("bottom", "open")
	}
	tube := func() {
		if len(d.Inner) > 0 {
			set("tube_bottom", d.Inner[0].R.Times(2))
			set("tube_top", d.Inner[len(d.Inner)-1].R.Times(2))
		}
	}
	shape := func(id string, parts ...any) {
		q.Set("shape", id)
		for i := 0; i < len(parts); i += 2 {
			set(parts[i].(string), parts[i+1].(unit.Quantity))
		}
	}
	switch {
	case d.Ring != nil:
		shape("ring", "diameter", d.Ring.Diameter, "height", d.Ring.Height)
	case d.Round != nil && len(d.Inner) > 0:
		shape("tube", "top", d.Round.Top, "bottom", d.Round.Bottom, "height", d.Round.Height)
		tube()
	case d.Round != nil:
		bottom := d.Round.Bottom
		if !bottom.Given() {
			bottom = d.Round.Top
		}
		shape("round", "top", d.Round.Top, "bottom", bottom, "height", d.Round.Height)
	case d.Frame != nil:
		f := d.Frame
		shape("frame", "width", f.Width, "depth", f.Depth, "height", f.Height, "corner", f.Corner, "draft", f.Draft)
	case d.Dome != nil:
		shape("dome", "diameter", d.Dome.Diameter, "height", d.Dome.Height)
	case d.Log != nil && len(d.Log.Profile) == 0:
		shape("log", "width", d.Log.Width, "height", d.Log.Height, "rise", d.Log.Rise, "length", d.Log.Length)
	case d.Savarin != nil:
		shape("savarin", "middle", d.Savarin.Middle, "radius", d.Savarin.Radius, "height", d.Savarin.Height)
	case d.Fluted != nil:
		shape("fluted", "top", d.Fluted.Top, "bottom", d.Fluted.Bottom, "height", d.Fluted.Height, "depth", d.Fluted.Depth)
		q.Set("flutes", number(d.Fluted.Flutes))
		tube()
	case d.Bowl != nil:
		shape("bowl", "width", d.Bowl.Width, "depth", d.Bowl.Depth, "height", d.Bowl.Height)
	case d.Drawn != nil && d.Drawn.Figure != "":
		f := d.Drawn
		shape("figure-"+f.Figure, "width", f.Width, "depth", f.Depth, "height", f.Height, "corner", f.Corner, "draft", f.Draft)
	case d.Drawn != nil:
		shape("path", "height", d.Drawn.Height, "draft", d.Drawn.Draft)
		q.Set("path", d.Drawn.Path)
	case d.Turned != nil:
		shape("turned")
		var rows []string
		for _, p := range d.Turned.Profile {
			row := plainNumber(p.R.Length().Millimetres()) + " " + plainNumber(p.Z.Length().Millimetres())
			if p.Arc.Given() {
				row += " " + plainNumber(p.Arc.Length().Millimetres())
			}
			rows = append(rows, row)
		}
		q.Set("profile", strings.Join(rows, "\n"))
	}
	return q
}

// Address returns where the page's forms are sent.
func (v *mouldView) Address() string {
	if v.Doc != nil {
		return "/moulds/" + v.Doc.ID
	}
	return "/moulds/new"
}

// Profile and Path return what the two drawn shapes hold.
func (v *mouldView) Profile() string { return cmp.Or(v.Query.Get("profile"), usualProfile) }

// Path returns the outline's path data.
func (v *mouldView) Path() string { return cmp.Or(v.Query.Get("path"), usualPath) }

func fieldClass(f shapeField) string {
	if f.Count {
		return "count"
	}
	return "dim"
}
