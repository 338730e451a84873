package web

import (
	"net/http"

	"chablon/assembly"
	"chablon/document"
)

// about returns the state that a request is about and the document that a part of its address names; of a form
// that is sent it reads the fields. The error is the answer where there is no such document.
func about[T document.Document](s *Server, r *http.Request, part string) (*state, T, error) {
	var none T
	read := s.begin
	if r.Method == http.MethodGet {
		read = func(r *http.Request) (*state, error) { return s.current(r.Context()) }
	}
	st, err := read(r)
	if err != nil {
		return nil, none, err
	}
	doc, ok := document.Find[T](st.set, r.PathValue(part))
	if !ok {
		return nil, none, errNoPage
	}
	return st, doc, nil
}

// laid returns an assembly as it was resolved; the error is the answer where it cannot be laid.
func laid(st *state, doc *document.Assembly) (*assembly.Assembly, error) {
	a := st.book.Assemblies[doc.ID]
	if a == nil {
		return nil, refusal{http.StatusUnprocessableEntity, nameOf(doc), "This assembly cannot be laid: " + whyNot(st, doc.ID)}
	}
	return a, nil
}
