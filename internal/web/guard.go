package web

import (
	"fmt"
	"net"
	"net/http"
	"runtime/debug"
)

// maxBody is the largest form that is read. The longest real one is a formula that was pasted,
// with the text and each of its lines, a few dozen kB.
const maxBody = 256 << 10

// policy lets a page load only what this server sends: no inline script, no inline style.
const policy = "default-src 'self'; script-src 'self'; style-src 'self'; img-src 'self' data:; " +
	"object-src 'none'; base-uri 'none'; form-action 'self'; frame-ancestors 'none'"

// guard refuses what a page of ours would not send, sets the headers of every answer, and turns
// a panic into the page of an internal error.
func (s *Server) guard(next http.Handler) http.Handler {
	protection := http.NewCrossOriginProtection()
	protection.SetDenyHandler(http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		s.fail(w, r, refusal{http.StatusForbidden, "Refused", "This was sent from another site. Open the page here and send it again."})
	}))
	next = protection.Handler(next)
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		h := w.Header()
		h.Set("Content-Security-Policy", policy)
		h.Set("X-Content-Type-Options", "nosniff")
		h.Set("Referrer-Policy", "same-origin")
		h.Set("Cache-Control", "no-store")
		h.Set("Vary", "HX-Request")
		defer func() {
			if p := recover(); p != nil {
				s.fail(w, r, fmt.Errorf("panic: %v\n%s", p, debug.Stack()))
			}
		}()
		if !loopback(r.Host) {
			s.fail(w, r, refusal{http.StatusMisdirectedRequest, "Unknown host", "This server answers on this machine only. Open it as localhost."})
			return
		}
		r.Body = http.MaxBytesReader(w, r.Body, maxBody)
		next.ServeHTTP(w, r)
	})
}

// loopback reports whether a Host header names this machine. Another name that leads here is a
// page of another site that has pointed its own name at us.
func loopback(host string) bool {
	name, _, err := net.SplitHostPort(host)
	if err != nil {
		name = host
	}
	if len(name) > 2 && name[0] == '[' && name[len(name)-1] == ']' {
		name = name[1 : len(name)-1]
	}
	ip := net.ParseIP(name)
	return name == "localhost" || ip != nil && ip.IsLoopback()
}
