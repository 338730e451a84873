package web

import (
	"context"
	"slices"
	"sync"

	"chablon/document"
	"chablon/finding"
	"chablon/plan"
)

// state is everything that follows from the documents at one revision. It is never changed.
type state struct {
	revision int64
	set      *document.Set
	book     *document.Book
	errs     []*document.Error // of the documents as stored
	day      *plan.Day         // of all orders
}

// kept holds the latest state.
type kept struct {
	mu     sync.Mutex // guards latest, and that a state is made once
	latest *state
}

// current returns the state at the store's revision, made anew if that has moved on.
func (s *Server) current(ctx context.Context) (*state, error) {
	s.kept.mu.Lock()
	defer s.kept.mu.Unlock()
	revision, err := s.store.Revision(ctx)
	if err != nil {
		return nil, err
	}
	before := s.kept.latest
	if before != nil && before.revision == revision {
		return before, nil
	}
	set, revision, err := s.store.Latest(ctx)
	if err != nil {
		return nil, err
	}
	var book *document.Book
	if before != nil {
		book = before.book
	}
	made := &state{revision: revision, set: set}
	made.book, made.errs = document.Resolve(set, book)
	made.plan(ctx)
	if ctx.Err() != nil { // a plan that was cut short is not kept
		return nil, ctx.Err()
	}
	s.kept.latest = made
	return made, nil
}

func (st *state) plan(ctx context.Context) {
	st.day = plan.Make(ctx, st.book.Job())
	if len(st.errs) > 0 {
		st.day.Findings = append(document.Faults(st.errs), st.day.Findings...).Sorted()
	}
}

// with returns the state that results if doc replaces the document of its kind and id or is new, and the
// problems that are there then and not before. The day is not planned yet.
func (st *state) with(doc document.Document) (*state, []*document.Error) {
	kind, id := document.KindOf(doc), doc.Header().ID
	next := &state{set: &document.Set{}}
	for _, d := range st.set.All() {
		if document.KindOf(d) == kind && d.Header().ID == id {
			d = doc
		}
		next.set.Add(d)
	}
	if st.set.Get(kind, id) == nil {
		next.set.Add(doc)
	}
	next.book, next.errs = document.Resolve(next.set, st.book)
	known := map[string]bool{}
	for _, e := range st.errs {
		known[e.Error()] = true
	}
	var fresh []*document.Error
	for _, e := range next.errs {
		if !known[e.Error()] {
			fresh = append(fresh, e)
		}
	}
	return next, fresh
}

// order returns the order of that id as it was resolved, or nil.
func (st *state) order(id string) *plan.Order {
	i := slices.IndexFunc(st.day.Job.Orders, func(o plan.Order) bool { return o.ID == id })
	if i < 0 {
		return nil
	}
	return &st.day.Job.Orders[i]
}

// piece returns the index in Day.Pieces of a line of an order's document, or -1. Lines that
// could not be resolved have none, and then no line of that order is trusted to be in its place.
func (st *state) piece(order string, line int) int {
	o, ok := document.Find[*document.Order](st.set, order)
	resolved := st.order(order)
	if !ok || resolved == nil || len(o.Lines) != len(resolved.Lines) {
		return -1
	}
	return slices.IndexFunc(st.day.Pieces, func(p plan.Piece) bool { return p.Order.ID == order && p.Line == line })
}

// kitchenName returns the name that the header shows.
func (st *state) kitchenName() string { return st.book.Kitchen.Name }

// worst returns the findings' highest level as a word, or "" if there are none.
func worst(list finding.List) string {
	if len(list) == 0 {
		return ""
	}
	return list.Worst().String()
}
