package web

import (
	"context"
	"errors"
	"fmt"
	"net/http"
	"strconv"
	"strings"

	"chablon/document"
	"chablon/internal/storetest/contract"
)

// step is a version of a document to go back to.
type step struct {
	Kind, ID string
	Version  int
}

// String writes the step for an address.
func (s step) String() string { return s.Kind + "." + s.ID + "." + strconv.Itoa(s.Version) }

func readStep(text string) step {
	parts := strings.Split(text, ".")
	if len(parts) != 3 {
		return step{}
	}
	n, err := strconv.Atoi(parts[2])
	if err != nil || n < 0 {
		return step{}
	}
	return step{parts[0], parts[1], n}
}

// lastChange is the latest change of a document that a page shows.
type lastChange struct {
	To      step   // what undoing goes back to
	Name    string // of the document
	Version int    // that the document has now
	What    string // "8 mm → 9 mm", "" where there is no short word for it
}

// lastChangeOf returns the latest change among the documents of a page, nil if none was changed.
// back is where an undo has come to; the next goes further.
func (s *Server) lastChangeOf(ctx context.Context, st *state, docs []document.Document, back step) (*lastChange, error) {
	var last *lastChange
	var at int64
	for _, d := range docs {
		h, kind := d.Header(), document.KindOf(d)
		if h.Version < 2 {
			continue
		}
		history, err := s.store.History(ctx, kind, h.ID)
		if errors.Is(err, contract.ErrNotFound) {
			continue
		}
		if err != nil {
			return nil, err
		}
		if when := history[0].At.UnixNano(); last == nil || when > at {
			at = when
			last = &lastChange{To: step{kind, h.ID, h.Version - 1}, Name: h.Name, Version: h.Version}
		}
	}
	if last == nil {
		return nil, nil
	}
	if back.Kind == last.To.Kind && back.ID == last.To.ID && back.Version < last.To.Version {
		last.To.Version = back.Version
	}
	if last.To.Version < 1 {
		return nil, nil
	}
	before, err := s.store.Get(ctx, last.To.Kind, last.To.ID, last.To.Version)
	if errors.Is(err, contract.ErrNotFound) { // it was removed in between
		return nil, nil
	}
	if err != nil {
		return nil, err
	}
	now := st.set.Get(last.To.Kind, last.To.ID)
	if a, ok := before.(*document.Assembly); ok {
		if b, ok := now.(*document.Assembly); ok {
			last.What = layersChanged(st, a, b)
		}
	}
	if a, ok := before.(*document.Kitchen); ok {
		if b, ok := now.(*document.Kitchen); ok {
			last.What = calibrationsChanged(a, b)
		}
	}
	was, is := difference(before, now)
	if was != "" && last.What == "" {
		last.What = mouldWord(st, was) + " → " + mouldWord(st, is)
	}
	return last, nil
}

// mouldWord returns a mould's name for its ID, and any other word as it is.
func mouldWord(st *state, word string) string {
	if m := st.book.Moulds[word]; m != nil {
		return mouldName(m)
	}
	return word
}

// Words says what undoing takes back: "Pear ring: 8 mm → 9 mm".
func (c *lastChange) Words() string {
	if c.What == "" {
		return fmt.Sprintf("%s, back to version %d", c.Name, c.To.Version)
	}
	return c.Name + ": " + c.What
}

// difference says what one field was and is; nothing if more than one has changed.
func difference(before, now document.Document) (was, is string) {
	a, b := lines(before), lines(now)
	if len(a) != len(b) {
		return "", ""
	}
	for i := range a {
		if a[i] == b[i] || strings.HasPrefix(a[i], "version:") {
			continue
		}
		field, old, ok := strings.Cut(a[i], ": ")
		_, new, _ := strings.Cut(b[i], ": ")
		field = strings.TrimSpace(field)
		if field == "low" || field == "high" { // the spread follows its figure
			continue
		}
		if !ok || was != "" || strings.ContainsAny(old+new, "{}") {
			return "", ""
		}
		was, is = strings.Trim(old, `"`), strings.Trim(new, `"`)
	}
	return was, is
}

func lines(d document.Document) []string {
	return strings.Split(string(document.MarshalYAML(d)), "\n")
}

// undo restores an earlier version of a document, as a new one. The form says which version it
// undoes; if there is a newer one, nothing is restored.
func (s *Server) undo(w http.ResponseWriter, r *http.Request) error {
	st, err := s.begin(r)
	if err != nil {
		return err
	}
	kind, id := r.PathValue("kind"), r.PathValue("id")
	doc := st.set.Get(kind, id)
	if doc == nil {
		return errNoPage
	}
	out := &outcome{Form: "undo", Typed: r.PostForm}
	to, err := strconv.Atoi(r.PostForm.Get("to"))
	switch {
	case err != nil || to < 1:
		out.formError(http.StatusBadRequest, "The form does not say which version to go back to. Reload the page.")
	case r.PostForm.Get("version") != strconv.Itoa(doc.Header().Version):
		out.formError(http.StatusConflict, "Changed meanwhile by someone else. Reload the page to see it.")
	default:
		if _, err := s.store.Restore(r.Context(), kind, id, to); err != nil {
			return err
		}
		out.Back = step{kind, id, to - 1}
	}
	return s.answer(w, r, out)
}
