package web

import (
	"crypto/rand"
	"errors"
	"net/http"

	"chablon/internal/storetest/contract"
)

// refusal is an error that the page shows as it is.
type refusal struct {
	status      int
	title, text string
}

func (r refusal) Error() string { return r.text }

var errNoPage = refusal{http.StatusNotFound, "Nothing here", "There is no such page. The list of assemblies has all that there is."}

// fail answers with the page of an error. One of unknown origin is shown as internal, with a
// reference under which the log has it.
func (s *Server) fail(w http.ResponseWriter, r *http.Request, err error) {
	var told refusal
	var large *http.MaxBytesError
	switch {
	case r.Context().Err() != nil: // whoever asked has gone: nobody reads an answer
		return
	case errors.As(err, &told):
	case errors.As(err, &large):
		told = refusal{http.StatusRequestEntityTooLarge, "Too large", "The form is larger than any page here sends. Nothing was changed."}
	case errors.Is(err, contract.ErrNotFound):
		told = errNoPage
	default:
		reference := rand.Text()[:8]
		s.log.ErrorContext(r.Context(), "internal error", "reference", reference, "method", r.Method, "path", r.URL.Path, "error", err.Error())
		told = refusal{http.StatusInternalServerError, "Internal error", "Something went wrong here, and nothing was changed. Reference " + reference + " is also in the log."}
	}
	s.render(w, r, told.status, frame{Title: told.title}, problemPage(told.title, told.text))
}
