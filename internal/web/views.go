package web

import (
	"net/http"

	"chablon/document"
	"chablon/drawing"
	"chablon/unit"
)

// viewsView is an assembly drawn in other ways than cut through the middle.
type viewsView struct {
	Doc          *document.Assembly
	Apart, Above figure
}

func (s *Server) showViews(w http.ResponseWriter, r *http.Request) error {
	st, doc, err := about[*document.Assembly](s, r, "id")
	if err != nil {
		return err
	}
	section, _, _, err := pieceOf(st, doc, r.URL.Query().Get("line"))
	if err != nil {
		return err
	}
	v := &viewsView{
		Doc:   doc,
		Apart: drawn("Taken apart", "x", func(o drawing.Options) *drawing.Drawing { return drawing.Exploded(section, o) }),
		Above: drawn("From above", "p", func(o drawing.Options) *drawing.Drawing { return drawing.Plan(section, o) }),
	}
	s.render(w, r, 0, frame{Title: nameOf(doc) + ", drawn", Here: "/assemblies", Kitchen: st.kitchenName()}, viewsMain(v))
	return nil
}

// timesMass writes a mass so many times.
func timesMass(m unit.Mass, n int) string { return (m * unit.Mass(n)).Show() }

// LineQuery names the order line that the page shows, for the pages beside it.
func (v *assemblyView) LineQuery() string {
	if v.Order == nil {
		return ""
	}
	return "?line=" + v.Order.ID + "/" + number(v.Piece.Line)
}
