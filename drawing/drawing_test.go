package drawing

import (
	"bytes"
	"image"
	"image/color"
	"image/png"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"

	"chablon/assembly"
	"chablon/mould"
	"chablon/unit"
)

// everyDrawing is one of each kind, wide and narrow.
func everyDrawing(t testing.TB) map[string]*Drawing {
	t.Helper()
	all := map[string]*Drawing{}
	entries, due := day()
	for _, narrow := range []bool{false, true} {
		o := Options{Narrow: narrow, Due: due}
		suffix := map[bool]string{true: " narrow"}[narrow]
		for name, s := range sections(t) {
			all[name+suffix] = Section(s, o)
			all[name+" from above"+suffix] = Plan(s, o)
		}
		all["cutting"+suffix] = Cutting(layout(t), o)
		all["timeline"+suffix] = Timeline(entries, o)
	}
	return all
}

// texts calls visit for every text and its box; width is that of the embedded font.
func texts(items []Item, visit func(t Text, x0, y0, x1, y1 float64)) {
	for _, it := range items {
		switch it := it.(type) {
		case Group:
			texts(it.Items, visit)
		case Text:
			w := textWidth(it.Value, it.size(), it.Bold)
			x := it.At.X - w*[...]float64{Start: 0, Middle: 0.5, End: 1}[it.Anchor]
			visit(it, x, it.At.Y-0.72*it.size(), x+w, it.At.Y+0.2*it.size()) // heights of capitals and descenders, near enough
		}
	}
}

func TestTextsDoNotMeet(t *testing.T) {
	type box struct {
		s              string
		x0, y0, x1, y1 float64
	}
	for name, d := range everyDrawing(t) {
		var boxes []box
		texts(d.Items, func(tx Text, x0, y0, x1, y1 float64) {
			if x0 < 0 || y0 < 0 || x1 > d.Width || y1 > d.Height {
				t.Errorf("%s: %q leaves the drawing: %.0f to %.0f of %.0f, %.0f to %.0f of %.0f", name, tx.Value, x0, x1, d.Width, y0, y1, d.Height)
			}
			for _, b := range boxes {
				if min(x1, b.x1)-max(x0, b.x0) > 0.5 && min(y1, b.y1)-max(y0, b.y0) > 0.5 {
					t.Errorf("%s: %q and %q meet", name, tx.Value, b.s)
				}
			}
			boxes = append(boxes, box{tx.Value, x0, y0, x1, y1})
		})
		if len(boxes) == 0 {
			t.Errorf("%s: no text", name)
		}
	}
}

// TestLeaders: each layer has one leader, its line starts within the layer, and lines do not cross.
func TestLeaders(t *testing.T) {
	for name, s := range sections(t) {
		for _, narrow := range []bool{false, true} {
			d := Section(s, Options{Narrow: narrow})
			svg := parseSVG(t, d.SVG())
			var lines [][]Point
			seen := map[string]int{}
			for _, it := range d.Items {
				g, ok := it.(Group)
				if !ok || g.For == "" {
					continue
				}
				seen[g.For]++
				l := g.Items[0].(Path).Loops[0]
				lines = append(lines, l)
				if loops := svg.layers[g.For]; loops != nil && !inside(l[0], edgesOf(loops)) && farFrom(l[0], 0.05, edgesOf(loops)) {
					t.Errorf("%s: the leader of %s starts outside it", name, g.For)
				}
			}
			for _, p := range pieces(s) {
				if seen[p.id] != 1 {
					t.Errorf("%s: %s has %d leaders, want 1", name, p.id, seen[p.id])
				}
			}
			for i, a := range lines {
				for _, b := range lines[:i] {
					if cross(a[0], a[1], b[0], b[1]) {
						t.Errorf("%s (narrow %v): leaders cross: %v and %v", name, narrow, a, b)
					}
				}
			}
		}
	}
}

// cross reports whether two segments cross, by the signs of four triangles.
func cross(a, b, c, d Point) bool {
	area := func(p, q, r Point) float64 { return (q.X-p.X)*(r.Y-p.Y) - (r.X-p.X)*(q.Y-p.Y) }
	return area(a, b, c)*area(a, b, d) < 0 && area(c, d, a)*area(c, d, b) < 0
}

func TestSVGIsTheSameEachTime(t *testing.T) {
	first := everyDrawing(t)
	for name, d := range everyDrawing(t) {
		svg := d.SVG()
		if !bytes.Equal(svg, first[name].SVG()) {
			t.Errorf("%s: two drawings of the same differ", name)
		}
		parseSVG(t, svg)
		for _, bad := range []string{"NaN", "Inf", "%!"} {
			if bytes.Contains(svg, []byte(bad)) {
				t.Errorf("%s: contains %s", name, bad)
			}
		}
	}
}

func TestSpread(t *testing.T) {
	// By hand: the middle two want 10 and 12 with sizes of 6 and a gap of 1, so they share the
	// mean of their wishes: starts x and x+7 with the least sum of squares give x = 7.5.
	got := spread([]float64{0, 10, 12, 40}, []float64{6, 6, 6, 6}, 1)
	if want := []float64{0, 7.5, 14.5, 40}; !slices.Equal(got, want) {
		t.Errorf("got %v, want %v", got, want)
	}
}

func TestTextIsEscaped(t *testing.T) {
	s := ring(t)
	s.Layers[1].Name = "</text><script>alert('\"&\x00\x1b')</script>"
	svg := Section(s, Options{Title: "<b>", IDPrefix: `x"`, Href: func(string) string { return `/a?b="&c` }}).SVG()
	p := parseSVG(t, svg) // fails where it is not well formed
	if bytes.Contains(svg, []byte("<script")) || bytes.Contains(svg, []byte("<b>")) {
		t.Error("text became markup")
	}
	if !strings.Contains(strings.Join(p.texts, " "), `</text><script>alert('"&')</script>`) {
		t.Errorf("the name is lost: %q", p.texts)
	}
}

// TestSectionWithFaults: what cannot be placed is listed, the rest is drawn.
func TestSectionWithFaults(t *testing.T) {
	a := &assembly.Assembly{ID: "a", Name: "Faulty", Layers: []assembly.Layer{
		{ID: "base", Name: "Base", Kind: assembly.Base, Thickness: 10 * mm, Of: of("base", 0.5)},
		{ID: "void", Name: "No thickness", Kind: assembly.Disc, Of: of("disc", 0.5)},
		{ID: "high", Name: "Too high", Kind: assembly.Disc, Thickness: 90 * mm, Of: of("disc", 0.5)},
		{ID: "lost", Name: "Soak of nothing", Kind: assembly.Soak, On: "nowhere", Of: of("soak", 1)},
		{ID: "coat", Name: "No film", Kind: assembly.Coat, Way: "pour", Of: of("coat", 1)},
	}}
	m := mouldOf(t, "ring", "Ring", true)(mould.Ring(100*mm, 40*mm))
	broken := a.Lay(m)
	broken.Layers[1].Region = assembly.Region{Z: []unit.Length{0, 0.01}, In: []unit.Length{0, 0}, Out: []unit.Length{0.01, unit.Length(math.NaN())}}
	for _, s := range []*assembly.Section{a.Lay(m), {}, {Mould: m}, (&assembly.Assembly{}).Lay(m), broken} {
		for _, narrow := range []bool{false, true} {
			for _, d := range []*Drawing{Section(s, Options{Narrow: narrow}), Plan(s, Options{Narrow: narrow})} {
				svg := d.SVG()
				parseSVG(t, svg)
				if bytes.Contains(svg, []byte("NaN")) || bytes.Contains(svg, []byte("-9223372036854775808")) {
					t.Error("a coordinate that is not a number was drawn")
				}
				if narrow {
					continue
				}
				if err := d.PNG(&bytes.Buffer{}, 24); err != nil {
					t.Error(err)
				}
			}
		}
	}
	p := parseSVG(t, Section(a.Lay(m), Options{}).SVG())
	all := strings.Join(p.texts, "|")
	if p.layers["base"] == nil || p.layers["high"] == nil || !strings.Contains(all, "No thickness|not placed") {
		t.Errorf("want base and high drawn, and the rest listed: %s", all)
	}
}

func pngOf(t *testing.T, d *Drawing, dpi float64) image.Image {
	t.Helper()
	var b bytes.Buffer
	if err := d.PNG(&b, dpi); err != nil {
		t.Fatal(err)
	}
	img, err := png.Decode(&b)
	if err != nil {
		t.Fatal(err)
	}
	return img
}

// TestPNG: at 96 dots an inch a unit is a pixel; paper, a hatch's ground and lines, and ink are
// where the model has them, and a hole is a hole.
func TestPNG(t *testing.T) {
	d := &Drawing{Width: 100, Height: 60}
	d.add(rectangle(Style{Fill: Paper}, 0, 0, 100, 60),
		Path{Loops: [][]Point{{{12, 12}, {60, 12}, {60, 48}, {12, 48}}, {{20, 20}, {50, 20}, {50, 40}, {20, 40}}}, Style: Style{Hatch: Strip}},
		rectangle(Style{Fill: Ink}, 70, 30, 20, 20))
	img := pngOf(t, d, 96)
	if img.Bounds().Dx() != 100 || img.Bounds().Dy() != 60 {
		t.Fatalf("size %v, want 100 × 60", img.Bounds())
	}
	for _, c := range []struct {
		x, y int
		want color.RGBA
	}{
		{5, 5, color.RGBA{0xfb, 0xfa, 0xf6, 255}},   // paper
		{35, 30, color.RGBA{0xfb, 0xfa, 0xf6, 255}}, // the hole
		{15, 18, color.RGBA{0xd9, 0xdf, 0xc4, 255}}, // ground of the hatch: its lines are at 15, 21 …
		{80, 35, color.RGBA{0x1e, 0x1b, 0x17, 255}}, // ink, below the middle: y points down
		{80, 20, color.RGBA{0xfb, 0xfa, 0xf6, 255}}, // and none above
	} {
		if got := img.At(c.x, c.y); got != c.want {
			t.Errorf("pixel %d, %d is %v, want %v", c.x, c.y, got, c.want)
		}
	}
	if r, _, _, _ := img.At(15, 15).RGBA(); r>>8 > 0xd0 {
		t.Errorf("pixel 15, 15 is %v: want a line of the hatch", img.At(15, 15))
	}
	if err := d.PNG(&bytes.Buffer{}, math.NaN()); err == nil {
		t.Error("a resolution that is not a number is accepted")
	}
	if err := d.PNG(&bytes.Buffer{}, 1e6); err == nil {
		t.Error("a picture of a billion pixels is accepted")
	}
}

// TestPDF: it has the texts, and its raster shows what the PNG shows.
func TestPDF(t *testing.T) {
	for _, tool := range []string{"pdftotext", "pdftoppm"} {
		if _, err := exec.LookPath(tool); err != nil {
			t.Skipf("%s is not installed", tool)
		}
	}
	dir := t.TempDir()
	for name, d := range everyDrawing(t) {
		switch name { // the others differ in content, not in what is drawn with
		case "ring", "ring narrow", "dome", "cutting", "timeline", "slab from above":
		default:
			continue
		}
		file := filepath.Join(dir, strings.ReplaceAll(name, " ", "-"))
		var b bytes.Buffer
		if err := d.PDF(&b); err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(file+".pdf", b.Bytes(), 0o600); err != nil {
			t.Fatal(err)
		}
		text, err := exec.CommandContext(t.Context(), "pdftotext", "-layout", file+".pdf", "-").Output()
		if err != nil {
			t.Fatal(err)
		}
		squeeze := func(s string) string { return strings.Join(strings.Fields(s), "") }
		texts(d.Items, func(tx Text, _, _, _, _ float64) {
			if !strings.Contains(squeeze(string(text)), squeeze(inFont(tx.Value))) {
				t.Errorf("%s: the PDF lacks %q", name, tx.Value)
			}
		})
		if out, err := exec.CommandContext(t.Context(), "pdftoppm", "-r", "192", "-png", "-singlefile", file+".pdf", file).CombinedOutput(); err != nil || len(out) > 0 {
			t.Fatalf("pdftoppm: %v: %s", err, out) // it complains of what it does not know
		}
		f, err := os.Open(file + ".png")
		if err != nil {
			t.Fatal(err)
		}
		raster, err := png.Decode(f)
		if err := f.Close(); err != nil {
			t.Fatal(err)
		}
		if err != nil {
			t.Fatal(err)
		}
		// Two rasterisers set fine lines differently: the means of blocks of a sixth of an inch
		// differ by up to 12.8 here; a PDF without its strokes differs by 40 to 199.
		if off := blockDifference(raster, pngOf(t, d, 192)); off > 15 {
			t.Errorf("%s: PDF and PNG differ by %.1f of 255 in a block", name, off)
		}
	}
}

// blockDifference returns the greatest difference of the mean greys of blocks of 32 pixels.
func blockDifference(a, b image.Image) float64 {
	const size = 32
	grey := func(img image.Image, x0, y0 int) float64 {
		sum := 0.0
		for y := range size {
			for x := range size {
				sum += float64(color.GrayModel.Convert(img.At(x0+x, y0+y)).(color.Gray).Y)
			}
		}
		return sum / (size * size)
	}
	worst := 0.0
	box := a.Bounds().Intersect(b.Bounds())
	for y := 0; y+size <= box.Max.Y; y += size {
		for x := 0; x+size <= box.Max.X; x += size {
			worst = max(worst, math.Abs(grey(a, x, y)-grey(b, x, y)))
		}
	}
	return worst
}

// TestFont: what the embedded font lacks is written otherwise.
func TestFont(t *testing.T) {
	sfnt := family().Face(12, nil).Font.SFNT
	for _, s := range []string{"1⅓ ⅔ ⅛ ⅜ ⅝ ⅞ ½ ¼ ¾", "≤ 4 °C ≥ 2 ± 1 − 3 – 5 — é ç ø Ø × · µ ² ³ … ’ “ ” →", "1\u202f000 \u00a0g"} {
		for _, r := range inFont(s) {
			if sfnt.GlyphIndex(r) == 0 {
				t.Errorf("%q: the font has no %q (%U)", s, r, r)
			}
		}
	}
	if got, want := inFont("1⅓ l ≤ 2"), "1 1/3 l <= 2"; got != want {
		t.Errorf("got %q, want %q", got, want)
	}
}

func BenchmarkSection(b *testing.B) {
	s := ring(b)
	for b.Loop() {
		Section(s, Options{}).SVG()
	}
}

// TestHooks: a page finds layers and leaders by attributes, links are reachable, IDs are prefixed.
func TestHooks(t *testing.T) {
	href := func(id string) string {
		if id == "soak" {
			return ""
		}
		return "/layers/" + id
	}
	svg := string(Section(ring(t), Options{IDPrefix: "p7-", Href: href}).SVG())
	for _, want := range []string{
		`class="layer layer-fill" data-layer="mousse" data-kind="fill" fill="url(#p7-hatch-mousse)"`,
		`data-layer="insert/jelly"`, `<a href="/layers/insert/jelly"><g class="leader" data-for="insert/jelly">`,
		"\n" + `<g class="leader" data-for="soak">`, `role="group"`, `id="p7-hatch-mousse"`, `var(--hatch-mousse,#fff8ec)`,
	} {
		if !strings.Contains(svg, want) {
			t.Errorf("the SVG lacks %s", want)
		}
	}
	if n, all := strings.Count(svg, ` id="p7-`), strings.Count(svg, ` id="`); n != all {
		t.Errorf("%d of %d IDs have the prefix", n, all)
	}
	if plain := string(Section(ring(t), Options{}).SVG()); !strings.Contains(plain, `role="img"`) || strings.Contains(plain, "<a ") {
		t.Error("without links the drawing is an image")
	}
}

// A place on a way has its name in its own stretch; where one stretch is too short, all have numbers and a legend.
func TestCurveNamesItsPlaces(t *testing.T) {
	points := []CurvePoint{{Time: 0, Core: 20, Surface: 20, Mean: 20}, {Time: 10 * time.Hour, Core: -18, Surface: -18, Mean: -18}}
	for _, c := range []struct {
		second time.Duration
		want   string
		not    string
	}{
		{5 * time.Hour, "Van", "1 Freezer, 2 Van"},
		{9*time.Hour + 50*time.Minute, "1 Freezer, 2 Van", "Van"},
	} {
		d := Curve(points, CurveOptions{Places: []CurvePlace{{0, "Freezer"}, {c.second, "Van"}}})
		texts := parseSVG(t, d.SVG()).texts
		if !slices.Contains(texts, c.want) || slices.Contains(texts, c.not) {
			t.Errorf("second place after %v: got %q", c.second, texts)
		}
		for _, item := range d.Items {
			if x, ok := item.(Text); ok && (x.At.Y > d.Height || x.At.X < 0 || x.Anchor == Start && x.At.X+textWidth(x.Value, x.size(), x.Bold) > d.Width) {
				t.Errorf("%q lies beside the drawing", x.Value)
			}
		}
	}
}
