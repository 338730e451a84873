package web_test

import (
	"fmt"
	"net/http/httptest"
	"strings"
	"testing"

	"github.com/chromedp/chromedp"
	"github.com/chromedp/chromedp/kb"
)

// A text is pasted, put right, saved and scaled by keyboard alone.
func TestFormulaByKeyboard(t *testing.T) {
	s := newSite(t)
	server := httptest.NewServer(s.Handler)
	t.Cleanup(server.Close)
	b := tab{t, browser(t)}
	wrong := b.listen()
	b.do(chromedp.EmulateViewport(1280, 900), chromedp.Navigate(server.URL+"/formulas"))
	b.until("htmx", "typeof htmx !== 'undefined'")
	b.do(chromedp.KeyEvent(""))

	b.tabTo("new_type")
	b.do(chromedp.KeyEvent("joconde"))
	b.tabTo("new_text")
	if _, err := chromedp.Run(b.ctx, chromedp.Evaluate[bool](fmt.Sprintf("document.execCommand('insertText', false, %q)", pasted))); err != nil { // as a paste does
		t.Fatal(err)
	}
	b.do(chromedp.KeyEvent(kb.Tab), chromedp.KeyEvent(kb.Enter))
	b.until("what was understood", "document.querySelectorAll('.readline').length === 9 && document.querySelector('form[data-htmx-powered]') !== null")
	if got := b.page().one("role", "status").text(); got != "9 lines: 7 sure, 1 to check, 1 not understood" {
		t.Errorf("count: got %q", got)
	}

	// the praline: another of the list, typed as its name begins
	b.tabTo("of_6")
	b.do(chromedp.KeyEvent("Hazelnut praline paste 60"))
	b.do(chromedp.KeyEvent(kb.Tab)) // leaving the list sends it
	b.until("the praline chosen", "document.querySelector('[data-line=\"6\"] .sure').textContent === 'sure'")
	// the unknown one: searched for, with names proposed meanwhile
	b.tabTo("find_7")
	b.do(chromedp.KeyEvent("cocoa powder"))
	b.until("names", "document.querySelectorAll('#find_7_list option').length > 0")
	b.do(chromedp.KeyEvent(kb.Enter))
	b.until("the cocoa chosen", "document.querySelector('[data-line=\"7\"] .sure').textContent === 'sure'")
	if got := evaluate[string](b, "document.activeElement.id + ' ' + document.activeElement.value"); strings.TrimSpace(got) != "find_7" {
		t.Errorf("after the search: got %q, want the empty field", got)
	}
	if got := b.page().one("id", "of_6").text(); !strings.Contains(got, "Hazelnut praline paste 60 %") {
		t.Errorf("praline: the list is %q", got)
	}
	for range 20 {
		b.do(chromedp.KeyEvent(kb.Tab))
		if evaluate[string](b, "document.activeElement.value") == "save" {
			break
		}
	}
	b.do(chromedp.KeyEvent(kb.Enter))
	b.until("the formula's page", "location.pathname === '/formulas/almond-disc' && document.querySelectorAll('[data-htmx-powered]').length > 9")

	// as written: 100 + 100 + eggs + 50 + 50 + honey + 100 + 40 + 5
	egg, honey := pastedMasses(t)
	written := []float64{100, 100, egg, 50, 50, honey, 100, 40, 5}
	b.checkLines(written, 1)

	// 250 g of almond flour, written as 100: all of it two and a half times
	b.do(chromedp.KeyEvent(""))
	b.tabTo("have_0")
	b.do(chromedp.KeyEvent("250"), chromedp.KeyEvent(kb.Enter))
	b.until("the size", "document.querySelector('#size_factor').value === '2.5'")
	if got := evaluate[string](b, "document.activeElement.id + ' ' + document.activeElement.value"); got != "have_0 250.0 g" {
		t.Errorf("after fixing a line: got %q, want have_0 250.0 g", got)
	}
	b.checkLines(written, 2.5)
	if got := evaluate[string](b, "location.search"); got != "?line=0&have=250" {
		t.Errorf("address: got %q, want one that can be shared", got)
	}

	// 1.2 kg of it finished
	b.do(chromedp.Navigate(server.URL+"/formulas/almond-disc"), chromedp.KeyEvent(""))
	b.until("htmx", "document.querySelectorAll('[data-htmx-powered]').length > 9")
	b.tabTo("size_mass")
	b.do(chromedp.KeyEvent("1.2 kg"), chromedp.KeyEvent(kb.Enter))
	b.until("the mass", "document.querySelector('#size_mass').value === '1200 g'")
	total := 0.0
	for _, m := range written {
		total += m
	}
	b.checkLines(written, 1200/total)

	// words that name nothing are refused, and what they may mean is open beside them
	b.tabTo("text_8")
	b.do(chromedp.KeyEvent("5 g sallt of the earth"), chromedp.KeyEvent(kb.Enter))
	b.until("what it may be", "document.querySelector('#text_8_wrong') !== null && document.querySelector('#is_8').open")
	b.do(chromedp.KeyEvent(kb.Tab), chromedp.KeyEvent(kb.Tab), chromedp.KeyEvent("Sal"), chromedp.KeyEvent(kb.Tab))
	b.until("the salt chosen", "document.querySelector('#text_8_wrong') === null && document.querySelector('#is_8 summary').textContent.includes('Salt')")
	if got := b.page().one("id", "text_8").attr("value"); got != "5 g sallt of the earth" {
		t.Errorf("the words chosen for: got %q", got)
	}
	evaluate[bool](b, "(document.querySelector('#size_mass').focus(), true)")

	// a mistake stands at its field
	b.do(chromedp.KeyEvent("x"), chromedp.KeyEvent(kb.Enter))
	b.until("the message", "document.querySelector('#size_mass_wrong') !== null")
	for _, m := range wrong() {
		if !strings.Contains(m, "422") { // the browser's own note on what was refused
			t.Errorf("console: %s", m)
		}
	}
}

// checkLines compares what is to be weighed, and what comes out, with the masses as written. The
// kitchen's scale shows tenths of a gram up to 500 g, and grams beyond.
func (b tab) checkLines(written []float64, factor float64) {
	b.Helper()
	page := b.page()
	total := 0.0
	for i, m := range written {
		total += m * factor
		got, half := page.weigh(fmt.Sprint(i)), 0.05
		if m*factor > 500 {
			half = 0.5
		}
		if d := got - m*factor; d > half+1e-9 || d < -half-1e-9 {
			b.Errorf("line %d at %.3f ×: got %v g, want %.2f", i, factor, got, m*factor)
		}
	}
	near(b.T, "finished", number(b.T, page.one("id", "size_mass").attr("value")), total)
}
