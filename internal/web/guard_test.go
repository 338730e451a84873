package web_test

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"log/slog"
	"net/http"
	"net/http/httptest"
	"regexp"
	"strings"
	"sync"
	"testing"

	"chablon/internal/sqlite"
	"chablon/internal/web"
)

func TestHosts(t *testing.T) {
	t.Parallel()
	s := newSite(t)
	for host, want := range map[string]int{
		"localhost":             http.StatusOK,
		"localhost:8080":        http.StatusOK,
		"127.0.0.1:8080":        http.StatusOK,
		"[::1]:8080":            http.StatusOK,
		"[::1]":                 http.StatusOK,
		"example.org":           http.StatusMisdirectedRequest,
		"localhost.example.org": http.StatusMisdirectedRequest,
		"192.168.1.7:8080":      http.StatusMisdirectedRequest,
		"":                      http.StatusMisdirectedRequest,
	} {
		r := httptest.NewRequest(http.MethodGet, "/orders", nil)
		r.Host = host
		w := httptest.NewRecorder()
		s.ServeHTTP(w, r)
		if w.Code != want {
			t.Errorf("host %q: got %d, want %d", host, w.Code, want)
		}
	}
}

func TestEditsFromElsewhere(t *testing.T) {
	t.Parallel()
	s := newSite(t)
	before := s.revision()
	for _, header := range [][2]string{{"Sec-Fetch-Site", "cross-site"}, {"Origin", "https://example.org"}} {
		r := httptest.NewRequest(http.MethodPost, "/orders/saturday-tasting", strings.NewReader("version=1&due=2026-12-06T10:00&page=/orders/saturday-tasting"))
		r.Header.Set("Content-Type", "application/x-www-form-urlencoded")
		r.Header.Set(header[0], header[1])
		if w := s.send(r); w.Code != http.StatusForbidden {
			t.Errorf("%s: %s: got %d, want 403", header[0], header[1], w.Code)
		}
	}
	if s.revision() != before {
		t.Error("an edit from another site was stored")
	}
}

func TestLargeForm(t *testing.T) {
	t.Parallel()
	s := newSite(t)
	r := httptest.NewRequest(http.MethodPost, "/orders/saturday-tasting", strings.NewReader("due="+strings.Repeat("x", 1<<20)))
	r.Header.Set("Content-Type", "application/x-www-form-urlencoded")
	if w := s.send(r); w.Code != http.StatusRequestEntityTooLarge {
		t.Errorf("a form of 1 MB: got %d, want 413", w.Code)
	}
}

func TestPolicy(t *testing.T) {
	t.Parallel()
	w := newSite(t).send(httptest.NewRequest(http.MethodGet, ring, nil))
	policy := w.Header().Get("Content-Security-Policy")
	for _, want := range []string{"default-src 'self'", "script-src 'self'", "style-src 'self'"} {
		if !strings.Contains(policy, want) {
			t.Errorf("policy %q has no %s", policy, want)
		}
	}
	if strings.Contains(policy, "unsafe") {
		t.Errorf("policy %q lets something inline through", policy)
	}
}

func TestStaticFiles(t *testing.T) {
	t.Parallel()
	s := newSite(t)
	w := s.send(httptest.NewRequest(http.MethodGet, "/orders", nil))
	addresses := regexp.MustCompile(`"(/static/[^"]+)"`).FindAllStringSubmatch(w.Body.String(), -1)
	if len(addresses) != 5 { // icon, style sheet, three scripts
		t.Fatalf("static files of a page: got %d, want 5", len(addresses))
	}
	for _, a := range addresses {
		w := s.send(httptest.NewRequest(http.MethodGet, a[1], nil))
		if w.Code != http.StatusOK || !strings.Contains(w.Header().Get("Cache-Control"), "immutable") {
			t.Errorf("%s: got %d, %q", a[1], w.Code, w.Header().Get("Cache-Control"))
		}
	}
	for _, a := range []string{"/static/0/sheet.css", strings.Replace(addresses[1][1], "sheet.css", "none.css", 1), strings.Replace(addresses[1][1], "sheet.css", "..%2f..%2fdoc.go", 1)} {
		if w := s.send(httptest.NewRequest(http.MethodGet, a, nil)); w.Code != http.StatusNotFound {
			t.Errorf("%s: got %d, want 404", a, w.Code)
		}
	}
}

func TestNotFound(t *testing.T) {
	t.Parallel()
	s := newSite(t)
	for _, address := range []string{"/cellar", "/assemblies/cellar", "/orders/cellar", "/orders/nothing/sheet", "/orders/nothing/sheet.pdf"} {
		w := s.send(httptest.NewRequest(http.MethodGet, address, nil))
		if w.Code != http.StatusNotFound || !strings.Contains(w.Body.String(), "Nothing here") {
			t.Errorf("%s: got %d, want the page of 404", address, w.Code)
		}
	}
}

// broken is a store whose disk has gone.
type broken struct{ *sqlite.Store }

func (broken) Revision(context.Context) (int64, error) { return 0, errors.New("disk gone: secret") }

func TestInternalError(t *testing.T) {
	t.Parallel()
	var log bytes.Buffer
	h := web.New(web.Options{Store: broken{}, Log: slog.New(slog.NewTextHandler(&log, nil))}).Handler()
	w := httptest.NewRecorder()
	r := httptest.NewRequest(http.MethodGet, "http://localhost/assemblies", nil)
	h.ServeHTTP(w, r)
	m := regexp.MustCompile(`Reference ([A-Z2-7]{8})`).FindStringSubmatch(w.Body.String())
	switch {
	case w.Code != http.StatusInternalServerError || m == nil:
		t.Fatalf("got %d, want 500 with a reference", w.Code)
	case !strings.Contains(log.String(), m[1]) || !strings.Contains(log.String(), "disk gone"):
		t.Error("the log does not have the error under its reference")
	case strings.Contains(w.Body.String(), "secret"):
		t.Error("the page tells an operator's message")
	}
}

// TestSheet opens the bench sheets of an order, both ways, with the page's own stylesheet.
func TestSheet(t *testing.T) {
	t.Parallel()
	s := newSite(t)
	page := s.get(ring)
	page.one("href", "/orders/saturday-tasting/sheet")
	page.one("href", "/orders/saturday-tasting/sheet.pdf")
	w := s.send(httptest.NewRequest(http.MethodGet, "/orders/saturday-tasting/sheet", nil))
	if w.Code != http.StatusOK || !strings.Contains(w.Body.String(), "Cardamom bavarois") {
		t.Fatalf("sheet: got %d", w.Code)
	}
	m := regexp.MustCompile(`<link rel="stylesheet" href="([^"]+)"`).FindStringSubmatch(w.Body.String())
	if m == nil {
		t.Fatal("the sheet has no stylesheet, and the page's policy forbids one inside it")
	}
	if css := s.send(httptest.NewRequest(http.MethodGet, m[1], nil)); css.Code != http.StatusOK || css.Body.Len() == 0 {
		t.Errorf("stylesheet %s: got %d", m[1], css.Code)
	}
	pdf := s.send(httptest.NewRequest(http.MethodGet, "/orders/saturday-tasting/sheet.pdf", nil))
	if pdf.Code != http.StatusOK || !strings.HasPrefix(pdf.Body.String(), "%PDF-") {
		t.Errorf("PDF: got %d", pdf.Code)
	}
	if w := s.send(httptest.NewRequest(http.MethodGet, "/orders/nothing/sheet", nil)); w.Code != http.StatusNotFound {
		t.Errorf("sheet of an unknown order: got %d, want 404", w.Code)
	}
}

// TestAtTheSameTime reads and edits from several sides; the race detector looks on.
func TestAtTheSameTime(t *testing.T) {
	t.Parallel()
	s := newSite(t)
	page := s.get(ring)
	var all sync.WaitGroup
	for i := range 4 {
		all.Go(func() {
			for _, address := range []string{ring, "/assemblies", "/assemblies/pear-heart?pieces=2", "/orders/saturday-tasting"} {
				if w := s.send(httptest.NewRequest(http.MethodGet, address, nil)); w.Code != http.StatusOK {
					t.Errorf("%s: got %d", address, w.Code)
				}
			}
			action, values := page.form("layer_base_thickness")
			values.Set("thickness", fmt.Sprintf("%d mm", 9+i))
			if w := s.post(action, values, true); w.Code != http.StatusOK && w.Code != http.StatusConflict {
				t.Errorf("edit: got %d", w.Code)
			}
		})
	}
	all.Wait()
	history, err := s.store.History(t.Context(), "assembly", "pear-cardamom-ring")
	if err != nil || len(history) != 2 {
		t.Errorf("four edits of version 1: got %d versions, want 2: one is stored, three are told", len(history))
	}
}
