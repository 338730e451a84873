package web_test

import (
	"net/http/httptest"
	"testing"

	"github.com/chromedp/chromedp"
	"github.com/chromedp/chromedp/kb"
)

// A mould's profile is drawn by points: one is moved by keyboard and one by mouse, the capacity
// follows, and the mould is saved.
func TestProfileByHand(t *testing.T) {
	s := newSite(t)
	server := httptest.NewServer(s.Handler)
	t.Cleanup(server.Close)
	b := tab{t, browser(t)}
	wrong := b.listen()
	b.do(chromedp.EmulateViewport(1280, 1000), chromedp.Navigate(server.URL+"/moulds/new?shape=turned&profile=0+0%0A60+0%0A60+40"))
	b.until("the points", "document.querySelectorAll('.profile .point').length === 3")
	holds := "[...document.querySelectorAll('.facts dt')].find(e => e.textContent === 'Holds').nextElementSibling.textContent.replace(/\\u00a0/g, ' ')"
	b.until("452 ml", holds+" === '452 ml'") // π 36 cm² × 4 cm

	evaluate[bool](b, "(document.querySelectorAll('.profile .point')[2].focus(), true)")
	b.do(chromedp.KeyEvent(kb.ArrowUp, chromedp.KeyModifiers(chromedp.ModifierShift))) // with Shift: ten millimetres
	b.until("565 ml", holds+" === '565 ml'")                                           // 5 cm high
	if got := evaluate[string](b, "document.getElementById('mould_profile').value"); got != "0 0\n60 0\n60 50" {
		t.Errorf("points written as %q", got)
	}

	// The foot is dragged 10 mm outwards: ten millimetres are 20 units of the drawing.
	type box struct{ X, Y, Unit float64 }
	at := evaluate[box](b, `(() => { const p = document.querySelectorAll('.profile .point')[1].getBoundingClientRect(); const s = document.querySelector('.profile svg'); return {X: p.x + p.width / 2, Y: p.y + p.height / 2, Unit: s.getBoundingClientRect().width / s.viewBox.baseVal.width} })()`)
	b.mouse(chromedp.MousePressed, at.X, at.Y, false)
	b.mouse(chromedp.MouseMoved, at.X+20*at.Unit, at.Y, false)
	b.mouse(chromedp.MouseReleased, at.X+20*at.Unit, at.Y, false)
	// A cone from 70 to 60: π 5 (49 + 42 + 36)/3 cm³ = 665 ml.
	b.until("665 ml", holds+" === '665 ml'")

	evaluate[bool](b, "(document.getElementById('mould_name').value = 'Leaning ring', document.querySelector('#mould button.main').click(), true)")
	b.until("the saved mould", "location.pathname === '/moulds/leaning-ring' || document.querySelector('h1').textContent === 'Leaning ring'")
	for _, m := range wrong() {
		t.Errorf("console: %s", m)
	}
}

// The mould is changed by keyboard on the page of before and after, and the new section stands
// beside the old one.
func TestMouldChangeByKeyboard(t *testing.T) {
	s := newSite(t)
	server := httptest.NewServer(s.Handler)
	t.Cleanup(server.Close)
	b := tab{t, browser(t)}
	b.do(chromedp.EmulateViewport(1280, 900), chromedp.Navigate(server.URL+ring+"/mould?to=ring-160x60"))
	b.until("htmx", "document.querySelectorAll('[data-htmx-powered]').length > 0")
	b.do(chromedp.KeyEvent(""))
	b.tabTo("refit_to")
	b.do(chromedp.KeyEvent("ring 240 × 60"))
	b.until("the ring of 240 mm", "document.getElementById('after-mass').textContent.replace(/\\u00a0/g, ' ').includes('2 121 g')")
	if got := evaluate[string](b, "document.activeElement.id"); got != "refit_to" {
		t.Errorf("focus after the change: got %q, want refit_to", got)
	}
}
