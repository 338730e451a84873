package web

import (
	"bytes"
	"net/http"

	"chablon/sheet"
)

// sheetHTML answers with an order's bench sheets as a page made for printing.
func (s *Server) sheetHTML(w http.ResponseWriter, r *http.Request) error {
	sheets, err := s.sheetOf(r, sheet.Options{StylesheetHref: asset(benchSheetCSS)})
	if err != nil {
		return err
	}
	w.Header().Set("Content-Type", "text/html; charset=utf-8")
	_, err = w.Write(sheets.HTML())
	return err
}

// sheetPDF answers with an order's bench sheets as a PDF.
func (s *Server) sheetPDF(w http.ResponseWriter, r *http.Request) error {
	sheets, err := s.sheetOf(r, sheet.Options{})
	if err != nil {
		return err
	}
	var out bytes.Buffer
	if err := sheets.PDF(&out); err != nil {
		return err
	}
	w.Header().Set("Content-Type", "application/pdf")
	_, err = w.Write(out.Bytes())
	return err
}

// sheetOf makes the sheets of the order that is asked for.
func (s *Server) sheetOf(r *http.Request, o sheet.Options) (*sheet.Sheet, error) {
	state, err := s.current(r.Context())
	if err != nil {
		return nil, err
	}
	order := state.order(r.PathValue("order"))
	if order == nil {
		return nil, errNoPage
	}
	o.Order = order.ID
	return sheet.New(state.day, o), nil
}
