package web

import (
	"context"
	"log/slog"
	"net/http"
	"time"

	"chablon/document"
	"chablon/internal/storetest/contract"
)

// store keeps the documents and their versions; see storetest.Store for what it promises.
type store interface {
	Revision(ctx context.Context) (int64, error)
	Latest(ctx context.Context) (*document.Set, int64, error)
	Get(ctx context.Context, kind, id string, version int) (document.Document, error)
	Put(ctx context.Context, doc document.Document, expect int) (version int, err error)
	History(ctx context.Context, kind, id string) ([]contract.Entry, error)
	Restore(ctx context.Context, kind, id string, version int) (restored int, err error)
}

// Options is what a server needs. Store must be given; the rest have defaults.
type Options struct {
	Store store
	Now   func() time.Time // the clock, for the due time of a draft; time.Now if nil
	Log   *slog.Logger     // slog.Default if nil
}

// Server answers requests. It is safe for concurrent use.
type Server struct {
	store store
	now   func() time.Time
	log   *slog.Logger
	kept  kept
}

// New returns a server for a store.
func New(o Options) *Server {
	s := &Server{store: o.Store, now: o.Now, log: o.Log}
	if s.now == nil {
		s.now = time.Now
	}
	if s.log == nil {
		s.log = slog.Default()
	}
	return s
}

// Handler returns the handler of every page.
func (s *Server) Handler() http.Handler {
	mux := http.NewServeMux()
	mux.Handle("GET /static/{hash}/{file...}", http.HandlerFunc(static))
	page := func(pattern string, f func(http.ResponseWriter, *http.Request) error) {
		mux.HandleFunc(pattern, func(w http.ResponseWriter, r *http.Request) {
			if err := f(w, r); err != nil {
				s.fail(w, r, err)
			}
		})
	}
	page("GET /{$}", func(w http.ResponseWriter, r *http.Request) error {
		http.Redirect(w, r, "/assemblies", http.StatusSeeOther)
		return nil
	})
	page("GET /assemblies", s.listAssemblies)
	page("GET /assemblies/new", s.newAssembly)
	page("POST /assemblies/new", s.createAssembly)
	page("GET /assemblies/{id}", s.showAssembly)
	page("POST /assemblies/{id}/layers", s.addLayer)
	page("POST /assemblies/{id}/layers/{layer}/place", s.placeLayer)
	page("POST /assemblies/{id}/layers/{layer}", s.editLayer)
	page("GET /formulas", s.listFormulas)
	page("GET /formulas/new", s.newFormula)
	page("POST /formulas/new", s.readFormula)
	page("GET /formulas/{id}", s.showFormula)
	page("POST /formulas/{id}", s.editFormula)
	page("POST /formulas/{id}/lines", s.addFormulaLine)
	page("POST /formulas/{id}/lines/{line}", s.editFormulaLine)
	page("GET /ingredients", s.suggest)
	page("GET /components", s.suggestComponents)
	page("GET /formulas/{id}/rescue", s.showRescue)
	page("GET /formulas/{id}/exchange", s.showExchange)
	page("GET /formulas/{id}/heat", s.showHeat)
	page("GET /assemblies/{id}/mould", s.showRefit)
	page("GET /assemblies/{id}/filling", s.showFilling)
	page("GET /assemblies/{id}/seek", s.showSeek)
	page("GET /assemblies/{id}/views", s.showViews)
	page("GET /assemblies/{id}/freezing", s.showFreezing)
	page("POST /assemblies/{id}/freezing", s.keepCalibration)
	page("GET /orders/{order}/sure", s.showSure)
	page("GET /orders/{order}/cutting", s.showCutting)
	page("GET /moulds", s.listMoulds)
	page("GET /moulds/{id}", s.showMould)
	page("POST /moulds/{id}", s.saveMould)
	page("GET /orders", s.listOrders)
	page("GET /orders/{order}", s.showOrder)
	page("POST /orders/{order}", s.editOrder)
	page("POST /orders/{order}/lines/{line}", s.editLine)
	page("POST /undo/{kind}/{id}", s.undo)
	page("GET /orders/{order}/sheet", s.sheetHTML)
	page("GET /orders/{order}/sheet.pdf", s.sheetPDF)
	page("/", func(http.ResponseWriter, *http.Request) error { return errNoPage })
	return s.guard(mux)
}
