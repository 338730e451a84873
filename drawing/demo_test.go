package drawing

import (
	"testing"

	"chablon/internal/demo"
)

// TestDemoTruth revolves the drawn sections of the demo, every order line in its own mould, from
// the documents to the SVG.
func TestDemoTruth(t *testing.T) {
	checked := 0
	for _, o := range demo.Book(t).Orders {
		for _, l := range o.Lines {
			s := l.Assembly.Lay(l.Mould)
			svg := parseSVG(t, Section(s, Options{}).SVG())
			checked += checkLayers(t, l.Assembly.ID+" in "+l.Mould.ID, svg, s, "")
		}
	}
	if checked < 15 {
		t.Errorf("%d layers checked, fewer than the demo has", checked)
	}
}
