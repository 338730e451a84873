package web

import (
	"fmt"
	"net/http"
	"slices"
	"strconv"
	"strings"

	"chablon/document"
)

// placeLayer lays a layer earlier or later, or takes it out, as the form's do says.
func (s *Server) placeLayer(w http.ResponseWriter, r *http.Request) error {
	st, a, err := about[*document.Assembly](s, r, "id")
	if err != nil {
		return err
	}
	i := slices.IndexFunc(a.Layers, func(l document.Layer) bool { return l.ID == r.PathValue("layer") })
	if i < 0 {
		return errNoPage
	}
	id := a.Layers[i].ID
	out := &outcome{Form: "place " + a.ID + "/" + id, Typed: r.PostForm}
	edit := func(d document.Document) {
		doc := d.(*document.Assembly)
		var to int
		switch r.PostForm.Get("do") {
		case "earlier":
			to = i - 1
		case "later":
			to = i + 1
		case "to":
			n, err := strconv.Atoi(r.PostForm.Get("at"))
			if err != nil {
				out.formError(http.StatusBadRequest, "The form does not say where the layer goes. Reload the page.")
				return
			}
			to = n
		case "remove":
			if why := st.keeps(a, id); why != "" {
				out.formError(http.StatusUnprocessableEntity, why)
				return
			}
			out.Said = takenOut(st, a, i)
			takeOut(doc, i)
			return
		default:
			out.formError(http.StatusBadRequest, "The form does not say what to do with the layer. Reload the page.")
			return
		}
		to = min(max(to, 0), len(doc.Layers)-1)
		l := doc.Layers[i]
		doc.Layers = slices.Insert(slices.Delete(doc.Layers, i, i+1), to, l)
		out.Said = fmt.Sprintf("%s is laid as number %d of %d.", st.layerName(&l), to+1, len(doc.Layers))
	}
	nowhere := func(string) string { return "" }
	if err := s.change(r.Context(), st, a, r.PostForm.Get("version"), out, edit, nowhere); err != nil {
		return err
	}
	return s.answer(w, r, out)
}

// layerName returns what the cook calls a layer.
func (st *state) layerName(l *document.Layer) string {
	if l.Name != "" {
		return l.Name
	}
	return st.madeOfName(l.Of)
}

// keeps says why a layer cannot be taken out, "" if it can.
func (st *state) keeps(a *document.Assembly, id string) string {
	if len(a.Layers) == 1 {
		return "The only layer stays: an assembly has at least one. Add another first."
	}
	for _, o := range document.Every[*document.Order](st.set) {
		for _, line := range o.Lines {
			of, _, _ := line.Assembly.Split()
			if of == a.ID && slices.ContainsFunc(line.Variants, func(v document.Variant) bool { return v.Layer == id }) {
				return fmt.Sprintf("The order %s exchanges what this layer is made of. Change the order first.", nameOf(o))
			}
		}
	}
	return ""
}

// takenOut says what else changes if a layer is taken out, "" if nothing does.
func takenOut(st *state, a *document.Assembly, i int) string {
	id := a.Layers[i].ID
	var said []string
	for j := range a.Layers {
		l := &a.Layers[j]
		if l.On == id {
			said = append(said, fmt.Sprintf("%s goes on what then lies below it.", st.layerName(l)))
		}
		if j != i && slices.ContainsFunc(l.Stages, func(s document.Stage) bool { return s.After == id }) {
			said = append(said, fmt.Sprintf("%s no longer waits for it.", st.layerName(l)))
		}
	}
	var steps []string
	for _, s := range a.Steps {
		if slices.Contains(s.Takes, id) {
			steps = append(steps, words(s.ID))
		}
	}
	if len(steps) > 0 {
		said = append(said, "No longer taken by: "+join(steps)+".")
	}
	return strings.Join(said, " ")
}

// takeOut removes a layer and what names it. Where a fill waited for it, the two fillings become
// one.
func takeOut(a *document.Assembly, i int) {
	id := a.Layers[i].ID
	a.Layers = slices.Delete(a.Layers, i, i+1)
	for j := range a.Layers {
		l := &a.Layers[j]
		if l.On == id {
			l.On = ""
		}
		for k := len(l.Stages) - 1; k >= 0; k-- {
			if l.Stages[k].After != id {
				continue
			}
			if l.Stages[k].After = ""; k > 0 {
				l.Stages = slices.Delete(l.Stages, k, k+1)
			}
		}
		if len(l.Stages) == 1 {
			l.Stages = nil // it goes in at once
		}
	}
	for j := range a.Steps {
		a.Steps[j].Takes = slices.DeleteFunc(a.Steps[j].Takes, func(what string) bool { return what == id })
	}
}

// layersChanged says in words which layers came, went or moved between two versions, "" if it is
// none of these.
func layersChanged(st *state, before, now *document.Assembly) string {
	has := func(a *document.Assembly, id string) bool {
		return slices.ContainsFunc(a.Layers, func(l document.Layer) bool { return l.ID == id })
	}
	for i := range now.Layers {
		if l := &now.Layers[i]; !has(before, l.ID) {
			return "with " + st.layerName(l)
		}
	}
	for i := range before.Layers {
		if l := &before.Layers[i]; !has(now, l.ID) {
			return "without " + st.layerName(l)
		}
	}
	for i := range now.Layers {
		if now.Layers[i].ID != before.Layers[i].ID {
			return "another order of layers"
		}
	}
	return ""
}
