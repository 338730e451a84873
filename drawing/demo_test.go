package drawing

import (
	"io/fs"
	"testing"

	"chablon/document"
	"chablon/examples"
)

// TestDemoTruth revolves the drawn sections of the demo, every order line in its own mould, from
// the documents to the SVG.
func TestDemoTruth(t *testing.T) {
	src := examples.Saturday()
	names, err := fs.Glob(src, "*.yaml")
	if err != nil {
		t.Fatal(err)
	}
	var files []document.File
	for _, name := range names {
		data, err := fs.ReadFile(src, name)
		if err != nil {
			t.Fatal(err)
		}
		files = append(files, document.File{Name: name, Data: data})
	}
	set, errs := document.ParseFiles(files)
	book, more := document.Resolve(set, nil)
	for _, e := range append(errs, more...) {
		t.Error(e)
	}
	checked := 0
	for _, o := range book.Orders {
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
