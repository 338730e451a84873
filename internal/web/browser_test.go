package web_test

import (
	"context"
	"encoding/json"
	"fmt"
	"math"
	"net/http/httptest"
	"net/url"
	"os"
	"os/exec"
	"regexp"
	"strconv"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/chromedp/cdproto/emulation"
	"github.com/chromedp/chromedp"
	"github.com/chromedp/chromedp/kb"

	"chablon/internal/storetest/contract"
)

// browser starts Chromium. CHABLON_BROWSER=off skips, required fails without one; if it is not
// set, a machine without Chromium skips.
func browser(t *testing.T) context.Context {
	t.Helper()
	want := os.Getenv("CHABLON_BROWSER")
	if want == "off" {
		t.Skip("CHABLON_BROWSER=off")
	}
	path := ""
	for _, name := range []string{"chromium", "chromium-browser", "google-chrome"} {
		if found, err := exec.LookPath(name); err == nil {
			path = found
			break
		}
	}
	if path == "" && want == "required" {
		t.Fatal("CHABLON_BROWSER=required, but there is no Chromium")
	}
	if path == "" {
		t.Skip("there is no Chromium")
	}
	ctx, cancel := chromedp.NewExecAllocator(context.Background(),
		chromedp.ExecPath(path), chromedp.NoSandbox, chromedp.Headless, chromedp.DisableGPU, chromedp.NoFirstRun,
		chromedp.UserDataDir(t.TempDir()),
		chromedp.Flag("disable-background-networking", true), chromedp.Flag("disable-component-update", true), chromedp.Flag("disable-sync", true),
		chromedp.Flag("disable-dev-shm-usage", true),
	)
	t.Cleanup(cancel)
	ctx, cancel = chromedp.NewContext(ctx)
	t.Cleanup(cancel)
	if err := chromedp.Do(ctx); err != nil {
		t.Fatalf("Chromium does not start: %v", err)
	}
	ctx, cancel = context.WithTimeout(ctx, 4*time.Minute)
	t.Cleanup(cancel)
	return ctx
}

// tab is one page in the browser.
type tab struct {
	*testing.T
	ctx context.Context
}

func (b tab) do(steps ...chromedp.Action[chromedp.Void]) {
	b.Helper()
	if err := chromedp.Do(b.ctx, steps...); err != nil {
		b.Fatal(err)
	}
}

func evaluate[T any](b tab, script string) T {
	b.Helper()
	v, err := chromedp.Run(b.ctx, chromedp.Evaluate[T](script))
	if err != nil {
		b.Fatalf("%s: %v", script, err)
	}
	return v
}

// until waits for a condition of the page; while one page gives way to another there is none.
func (b tab) until(what, script string) {
	b.Helper()
	var err error
	for end := time.Now().Add(10 * time.Second); time.Now().Before(end); time.Sleep(20 * time.Millisecond) {
		var is bool
		if is, err = chromedp.Run(b.ctx, chromedp.Evaluate[bool](script)); err == nil && is {
			return
		}
	}
	b.Fatalf("%s: does not come to be: %s (%v)", what, script, err)
}

// tabTo presses the tabulator until a field has the focus.
func (b tab) tabTo(id string) {
	b.Helper()
	for range 150 {
		b.do(chromedp.KeyEvent(kb.Tab))
		if evaluate[string](b, "document.activeElement.id") == id {
			return
		}
	}
	b.Fatalf("the field %s cannot be reached by keyboard", id)
}

// listen collects what goes wrong in the page.
func (b tab) listen() (wrong func() []string) {
	var mu sync.Mutex // guards list
	var list []string
	messages := chromedp.Console(b.ctx)
	go func() {
		for m, err := range messages {
			if err != nil {
				return
			}
			if m.IsException() || m.Type == "error" || m.Type == "warning" {
				mu.Lock()
				list = append(list, m.String())
				mu.Unlock()
			}
		}
	}()
	return func() []string {
		mu.Lock()
		defer mu.Unlock()
		return list
	}
}

// size returns the width and height in millimetres of a layer as drawn.
func (b tab) size(layer string) (width, height float64) {
	b.Helper()
	type drawn struct {
		D     string
		Scale string
	}
	p := evaluate[drawn](b, fmt.Sprintf(`(() => { const p = document.querySelector('.wide [data-layer=%q]'); return {D: p.getAttribute('d'), Scale: p.ownerSVGElement.dataset.mmPerUnit} })()`, layer))
	scale, err := strconv.ParseFloat(p.Scale, 64)
	if err != nil {
		b.Fatal(err)
	}
	x0, x1, y0, y1 := math.Inf(1), math.Inf(-1), math.Inf(1), math.Inf(-1)
	for _, m := range regexp.MustCompile(`[ML](-?[0-9.]+) (-?[0-9.]+)`).FindAllStringSubmatch(p.D, -1) {
		x, y := number(b.T, m[1]), number(b.T, m[2])
		x0, x1, y0, y1 = min(x0, x), max(x1, x), min(y0, y), max(y1, y)
	}
	return (x1 - x0) * scale, (y1 - y0) * scale
}

// page returns the page as it stands.
func (b tab) page() element {
	b.Helper()
	return parse(b.T, evaluate[string](b, "document.documentElement.outerHTML"))
}

func TestKeyboardEdit(t *testing.T) {
	s := newSite(t)
	server := httptest.NewServer(s.Handler)
	t.Cleanup(server.Close)
	b := tab{t, browser(t)}
	wrong := b.listen()
	b.do(chromedp.EmulateViewport(1280, 900), chromedp.Navigate(server.URL+ring))
	b.until("htmx", "document.querySelectorAll('[data-htmx-powered]').length > 5")
	b.do(chromedp.KeyEvent("")) // the page has the keyboard

	// the ring of 240 mm, typed as the list's words begin
	b.tabTo("line_mould")
	b.do(chromedp.KeyEvent("ring 240 × 60"))
	b.until("the ring of 240 mm", "document.querySelector('#layers + p').textContent.includes('240 × 60')")
	if got := evaluate[string](b, "document.activeElement.id"); got != "line_mould" {
		t.Errorf("focus after the edit: got %q, want line_mould", got)
	}
	b.checkRing(240, 8)
	if n := len(b.page().all("data-rule", "moulds-short")); n == 0 {
		t.Error("no check says that the ring of 240 mm is not owned")
	}

	// the base, 8 mm thick, to 12: the field is selected by the tabulator and typed over
	b.tabTo("layer_base_thickness")
	b.do(chromedp.KeyEvent("12"), chromedp.KeyEvent(kb.Enter))
	b.until("the base of 12 mm", "document.querySelector('#layer_base .size').textContent.includes('0 to 12 mm')")
	if got := evaluate[string](b, "document.activeElement.id + ' ' + document.activeElement.value"); got != "layer_base_thickness 12 mm" {
		t.Errorf("field after the edit: got %q, want layer_base_thickness 12 mm", got)
	}
	b.checkRing(240, 12)

	// an arrow adds a millimetre
	b.do(chromedp.KeyEvent(kb.ArrowUp))
	b.until("the base of 13 mm", "document.querySelector('#layer_base .size').textContent.includes('0 to 13 mm')")
	b.checkRing(240, 13)

	// a mistake stands at its field, with what was typed
	b.do(chromedp.KeyEvent("x"), chromedp.KeyEvent(kb.Enter))
	b.until("the message", "document.querySelector('#layer_base_thickness_wrong') !== null")
	b.do(chromedp.KeyEvent(kb.Backspace), chromedp.KeyEvent(kb.Enter))
	b.until("the message gone", "document.querySelector('#layer_base_thickness_wrong') === null")

	// what is open stays open
	b.do(chromedp.Func(func(context.Context, *chromedp.Target) error { return nil }))
	evaluate[bool](b, "(document.querySelector('#batch_pear-glaze').open = true)")
	b.do(chromedp.KeyEvent(kb.ArrowDown))
	b.until("the base of 12 mm again", "document.querySelector('#layer_base .size').textContent.includes('0 to 12 mm')")
	if !evaluate[bool](b, "document.querySelector('#batch_pear-glaze').open") {
		t.Error("an edit closed what was open")
	}

	pdf, err := chromedp.Run(b.ctx, chromedp.PrintToPDF())
	if err != nil || !strings.HasPrefix(string(pdf), "%PDF") {
		t.Errorf("print: %d bytes, %v", len(pdf), err)
	}
	for _, m := range wrong() {
		if !strings.Contains(m, "422") { // the browser's own note on the refused edit
			t.Errorf("console: %s", m)
		}
	}
}

// checkRing compares drawing and amounts with what a ring takes by the volumes of cylinders.
func (b tab) checkRing(diameter, base float64) {
	b.Helper()
	sponge, mousse, glaze := ringVolumes(diameter, base)
	page := b.page()
	near(b.T, "sponge each", page.amount("hazelnut-sponge", "each"), sponge*spongeDensity)
	near(b.T, "glaze each", page.amount("pear-glaze", "each"), glaze*glazeDensity)
	piped := 0.0
	for _, row := range page.all("data-of", "volume")[:2] {
		piped += number(b.T, strings.ReplaceAll(row.text(), " ", ""))
	}
	if math.Abs(piped-mousse) > 1 {
		b.Errorf("mousse piped: got %v ml, want %.1f", piped, mousse)
	}
	width, height := b.size("base")
	// coordinates are rounded to a hundredth of a unit, two of them on each side
	if math.Abs(width-(diameter-10)) > 0.02 || math.Abs(height-base) > 0.02 {
		b.Errorf("base as drawn: got %.3f × %.3f mm, want %v × %v", width, height, diameter-10, base)
	}
}

// readPage stands for the page that shows a pasted text, which has no address of its own.
const readPage = "/formulas/new, read"

// paste brings up the page that shows how the pasted text was understood.
func (b tab) paste(server string) {
	b.Helper()
	b.do(chromedp.Navigate(server + "/formulas/new"))
	evaluate[bool](b, fmt.Sprintf("(document.querySelector('#new_text').value = %q, document.querySelector('#new_text').form.submit(), true)", pasted))
	b.until("the page of what was understood", "document.querySelector('.readlines') !== null")
}

// axe reports what axe, which the page has, finds on it; rules narrows what it looks for.
func (b tab) axe(as, rules string) {
	b.Helper()
	result, err := chromedp.Run(b.ctx, chromedp.Evaluate[string](
		`axe.run({resultTypes: ["violations"]`+rules+`}).then(r => JSON.stringify(r.violations.flatMap(v => v.nodes.map(n => v.id + ": " + n.html.slice(0, 160) + " " + n.failureSummary))))`,
		chromedp.EvalAwaitPromise))
	if err != nil {
		b.Fatal(err)
	}
	var violations []string
	if err := json.Unmarshal([]byte(result), &violations); err != nil {
		b.Fatal(err)
	}
	for _, v := range violations {
		b.Error(as + v)
	}
}

func TestAccessibility(t *testing.T) {
	axe, err := os.ReadFile("testdata/axe.min.js")
	if err != nil {
		t.Fatal(err)
	}
	s := newSite(t)
	s.edit(s.get(spongePage), "text_5", "60 g flour", false) // so that there is a version to compare with
	s.lay([2]string{"fill", "Quince mousse"}, [2]string{"base", "Almond sponge"}, [2]string{"insert", "Quince jelly"}, [2]string{"coat", "Quince glaze"})
	unlaid := s.assembly("pear-heart")
	unlaid.ID, unlaid.Layers[0].Kind = "unlaid", "coat"
	if _, err := s.store.Put(t.Context(), unlaid, contract.New); err != nil {
		t.Fatal(err)
	}
	draft := s.again(s.paste(pasted), url.Values{"do": {"save"}}).Header().Get("Location")
	server := httptest.NewServer(s.Handler)
	t.Cleanup(server.Close)
	first := browser(t)
	second, cancel := chromedp.NewContext(first)
	t.Cleanup(cancel)
	free := make(chan tab, 2) // so that one page is looked at while another is made
	free <- tab{t, first}
	free <- tab{t, second}
	for _, address := range []string{"/assemblies", ring, "/assemblies/pear-heart?pieces=0", "/assemblies/new?name=Plum+dome&mould=dome-70", "/assemblies/quince-ring", "/assemblies/unlaid", "/orders", "/orders/saturday-tasting", "/orders/saturday-tasting/sure", "/orders/saturday-tasting/cutting", ring + "/mould?to=ring-240x60", ring + "/filling?mass=295+g", ring + "/views", ring + "/seek?ask=guests&guests=30", "/moulds", "/moulds/new?shape=turned", "/moulds/new?shape=ring&diameter=wide", ring + "/freezing", ring + "/freezing?case=probe&place=freezer&record=7+h+-6", ring + "/freezing?case=serve&place=refrigerator&low=2&high=12&air=20", "/formulas/cardamom-mousse/heat?case=cool&mass=2+kg&from=82&wide=260&long=0&stirred=yes&bath=ice-bath&until=45&then=refrigerator", "/cellar", "/formulas", spongePage + "?factor=0.01&with=1", spongePage + "?mass=lots", draft, readPage, "/formulas/pear-jelly/rescue?case=brix&mass=1000+g&reads=20&wanted=25", "/formulas/cocoa-glaze/exchange?line=3&with=cream-40%2Cmilk"} {
		t.Run(address, func(t *testing.T) {
			t.Parallel()
			b := <-free
			defer func() { free <- b }()
			b.T = t
			if address == readPage {
				b.paste(server.URL)
			} else {
				b.do(chromedp.Navigate(server.URL + address))
			}
			evaluate[bool](b, "document.querySelectorAll('details').forEach(d => d.open = true) || true")
			evaluate[bool](b, string(axe)+"; true")
			rules := ""
			for _, scheme := range []string{"light", "dark"} {
				features := []*emulation.MediaFeature{{Name: "prefers-color-scheme", Value: scheme}}
				if _, err := chromedp.Call(b.ctx, emulation.SetEmulatedMedia, emulation.SetEmulatedMediaParams{Features: features}); err != nil {
					t.Fatal(err)
				}
				for _, width := range []int64{390, 1280} {
					b.do(chromedp.EmulateViewport(width, 900))
					if got := evaluate[int](b, "document.documentElement.scrollWidth"); got > int(width) {
						t.Errorf("%s: the page is %d wide, the screen %d", scheme, got, width)
					}
					b.axe(fmt.Sprintf("%s, %d wide: ", scheme, width), rules)
				}
				rules = `, runOnly: ["cat.color"]` // dark differs by its colours alone
			}
		})
	}
}
