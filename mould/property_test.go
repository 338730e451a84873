package mould_test

import (
	"math"
	"strings"
	"testing"

	"chablon/mould"
	"chablon/unit"

	"pgregory.net/rapid"
)

// millimetres draws a length between two whole numbers of millimetres.
func millimetres(t *rapid.T, name string, low, high float64) unit.Length {
	return unit.Length(rapid.Float64Range(low, high).Draw(t, name)) * mm
}

// anySolid draws a solid of any family.
func anySolid(t *rapid.T) mould.Solid {
	var s mould.Solid
	var err error
	switch rapid.SampledFrom([]string{"ring", "round", "dome", "frame", "tapered", "turned"}).Draw(t, "shape") {
	case "ring":
		s, err = mould.Ring(millimetres(t, "d", 10, 600), millimetres(t, "h", 5, 300))
	case "round":
		s, err = mould.Round(millimetres(t, "top", 10, 600), millimetres(t, "bottom", 10, 600), millimetres(t, "h", 5, 300))
	case "dome":
		d := millimetres(t, "d", 10, 600)
		s, err = mould.Dome(d, d/2*unit.Length(rapid.Float64Range(0.05, 1).Draw(t, "flatness")))
	case "frame":
		o := anyOutline(t, "rim")
		draft := min(o.Width, o.Depth) / 2 * unit.Length(rapid.Float64Range(0, 0.9).Draw(t, "draft"))
		s, err = mould.Frame(o.Width, o.Depth, millimetres(t, "h", 5, 300), o.Corner, draft)
	case "tapered":
		s, err = mould.Tapered(anyOutline(t, "rim"), anyOutline(t, "bottom"), millimetres(t, "h", 5, 300))
	case "turned":
		return anyTurned(t)
	}
	if err != nil {
		t.Fatal(err)
	}
	return s
}

func anyOutline(t *rapid.T, name string) mould.Outline {
	w, d := millimetres(t, name+" width", 10, 600), millimetres(t, name+" depth", 10, 600)
	corner := unit.Length(0)
	if rapid.Bool().Draw(t, name+" rounded") {
		corner = min(w, d) / 2 * unit.Length(rapid.Float64Range(0.01, 1).Draw(t, name+" corner"))
	}
	return mould.Rectangle(w, d, corner)
}

// anyTurned draws a profile of lines, arcs and ledges. An arc that cannot be drawn between its
// points becomes a line.
func anyTurned(t *rapid.T) *mould.Turned {
	points := []mould.ProfilePoint{{}}
	if rapid.Bool().Draw(t, "flat bottom") {
		points = append(points, mould.ProfilePoint{R: millimetres(t, "bottom", 5, 100)})
	}
	var solid *mould.Turned
	for range rapid.IntRange(1, 5).Draw(t, "steps") {
		last := points[len(points)-1]
		p := mould.ProfilePoint{R: millimetres(t, "r", 5, 150), Z: last.Z + millimetres(t, "rise", 1, 60)}
		if last.Z > 0 && rapid.IntRange(0, 4).Draw(t, "ledge") == 0 {
			points = append(points, mould.ProfilePoint{R: p.R, Z: last.Z})
			last = points[len(points)-1]
			p.R = millimetres(t, "r after the ledge", 5, 150)
		}
		if rapid.Bool().Draw(t, "arc") {
			half := unit.Length(math.Hypot(float64(p.R-last.R), float64(p.Z-last.Z))) / 2
			p.Arc = half * unit.Length(rapid.Float64Range(1, 4).Draw(t, "radius"))
		}
		s, err := mould.NewTurned(append(points[:len(points):len(points)], p))
		if err != nil {
			p.Arc = 0
			if s, err = mould.NewTurned(append(points[:len(points):len(points)], p)); err != nil {
				t.Fatal(err)
			}
		}
		points, solid = append(points, p), s
	}
	return solid
}

// quadrature integrates the area from 0 to z by Simpson's rule between the breaks. The height
// runs as a cosine, so that the square roots at the ends of an arc become smooth.
func quadrature(s mould.Solid, z unit.Length) float64 {
	breaks, sum := s.Breaks(), 0.0
	for i := 1; i < len(breaks) && breaks[i-1] < z; i++ {
		lo, hi := float64(breaks[i-1]), float64(min(breaks[i], z))
		const n = 400
		for k := 1; k < n; k++ { // the weight is zero at both ends
			angle := math.Pi * float64(k) / n
			y := lo + (hi-lo)*(1-math.Cos(angle))/2
			sum += float64(2+2*(k%2)) * float64(s.At(unit.Length(y)).Area()) * math.Sin(angle) * (hi - lo) / 2 * math.Pi / n / 3
		}
	}
	return sum
}

func TestBelowIsTheIntegralOfArea(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		s := anySolid(t)
		z := s.Height() * unit.Length(rapid.Float64Range(0.01, 1).Draw(t, "z"))
		got, want := float64(s.Below(z)), quadrature(s, z)
		if !(math.Abs(got-want) <= 1e-7*want) {
			t.Fatalf("below %v: got %.12g, quadrature gives %.12g", z, got, want)
		}
	})
}

func TestBelowRises(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		s := anySolid(t)
		h := s.Height()
		a := h * unit.Length(rapid.Float64Range(-0.1, 1.1).Draw(t, "a"))
		b := a + h*unit.Length(rapid.Float64Range(1e-6, 0.5).Draw(t, "step"))
		va, vb := s.Below(a), s.Below(b)
		if vb < va || va < 0 || vb > s.Below(h) {
			t.Fatalf("below %v is %v, below %v is %v, whole %v", a, va, b, vb, s.Below(h))
		}
		if a > 0 && b < h && !(vb > va) {
			t.Fatalf("no volume between %v and %v", a, b)
		}
	})
}

// plain hides everything but the methods of Solid, so that Level takes its general way.
type plain struct{ mould.Solid }

func TestLevelInvertsBelow(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		s := anySolid(t)
		share := math.Exp(-rapid.Float64Range(0, 14).Draw(t, "depth"))
		z := s.Height() * unit.Length(share)
		v := s.Below(z)
		for name, s := range map[string]mould.Solid{"own": s, "general": plain{s}} {
			got, err := mould.Level(s, v)
			if err != nil {
				t.Fatal(err)
			}
			// 1e-12 of the volume, as Level promises, and the height that this is worth.
			if back := s.Below(got); !(math.Abs(float64(back-v)) <= 1e-12*float64(v)) {
				t.Fatalf("%s: level of %v is %v, which holds %v", name, v, got, back)
			}
			worth := 1e-12 * float64(v) / float64(s.At(z).Area())
			if !(math.Abs(float64(got-z)) <= 2*worth+1e-11*float64(s.Height())) {
				t.Fatalf("%s: got level %v, want %v", name, got, z)
			}
		}
	})
}

func TestLevelAtTheEnds(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		s := anySolid(t)
		whole := s.Below(s.Height())
		if z, err := mould.Level(s, 0); z != 0 || err != nil {
			t.Fatalf("level of nothing: %v, %v", z, err)
		}
		if z, err := mould.Level(s, whole); z != s.Height() || err != nil {
			t.Fatalf("level of the whole: %v, %v", z, err)
		}
		for _, v := range []unit.Volume{-1e-9, whole * 1.000001, unit.Volume(math.NaN()), unit.Volume(math.Inf(1)), unit.Volume(math.Inf(-1))} {
			if _, err := mould.Level(s, v); err == nil {
				t.Fatalf("no error for a volume of %v", v)
			}
		}
		for _, tiny := range []unit.Volume{5e-324, 1e-300, 1e-30} {
			z, err := mould.Level(s, tiny)
			if err != nil || !(z >= 0 && z <= s.Height()) {
				t.Fatalf("level of %v: %v, %v", tiny, z, err)
			}
		}
	})
}

func TestHeightsAreClamped(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		s := anySolid(t)
		h := s.Height()
		nan, inf := unit.Length(math.NaN()), unit.Length(math.Inf(1))
		if s.Below(-1) != 0 || s.Below(nan) != 0 || s.Below(-inf) != 0 || s.Below(inf) != s.Below(h) {
			t.Fatal("volume out of bounds is not clamped")
		}
		if s.At(-1) != s.At(0) || s.At(nan) != s.At(0) || s.At(inf) != s.At(h) {
			t.Fatal("outline out of bounds is not clamped")
		}
		if whole := s.Wall(0, h); s.Wall(-1, inf) != whole || s.Wall(h, nan) != whole {
			t.Fatal("wall out of bounds is not clamped")
		}
		z := h * unit.Length(rapid.Float64Range(0, 1).Draw(t, "z"))
		parts, whole := float64(s.Wall(0, z)+s.Wall(z, h)), float64(s.Wall(0, h))
		if !(math.Abs(parts-whole) <= 1e-12*whole) {
			t.Fatalf("walls below and above %v add up to %v, not %v", z, parts, whole)
		}
		breaks := s.Breaks()
		for i := 1; i < len(breaks); i++ {
			if breaks[i] <= breaks[i-1] {
				t.Fatalf("breaks do not rise: %v", breaks)
			}
		}
		if breaks[0] != 0 || breaks[len(breaks)-1] != h {
			t.Fatalf("breaks %v do not run from 0 to %v", breaks, h)
		}
	})
}

// A film encloses the solid: at each height over the old bottom the grown outline lies at least
// the film's thickness further out.
func TestGrownEncloses(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		s := anySolid(t)
		film := millimetres(t, "film", 0.1, 10)
		g, err := s.Grown(film)
		if err != nil {
			if text := err.Error(); strings.Contains(text, "not a number") || !strings.Contains(text, "film of ") {
				t.Fatal(err)
			}
			t.Skip(err) // a hollow too narrow, or walls that meet under the bottom
		}
		if g.Below(g.Height()) < s.Below(s.Height()) {
			t.Fatalf("grown by %v it holds less", film)
		}
		lift := g.Height() - s.Height()
		if lift < film-1e-12 {
			t.Fatalf("grown by %v it is %v higher", film, lift)
		}
		for i := range 50 {
			z := s.Height() * unit.Length(i) / 50
			inner, outer := s.At(z), g.At(z+lift)
			if gap := outer.Clearance(inner); inner.Width > 0 && gap < film-1e-9 {
				t.Fatalf("at %v a film of %v leaves a gap of %v", z, film, gap)
			}
		}
	})
}

// outlinePoints walks round the outline, by its definition: four sides and four arcs.
func outlinePoints(o mould.Outline, n int) (xy [][2]float64) {
	c := float64(o.Corner)
	a, b := float64(o.Width)/2-c, float64(o.Depth)/2-c
	for _, sx := range []float64{1, -1} {
		for _, sy := range []float64{1, -1} {
			for i := range n + 1 {
				f := float64(i) / float64(n)
				sin, cos := math.Sincos(f * math.Pi / 2)
				xy = append(xy, [2]float64{sx * (a + c*cos), sy * (b + c*sin)},
					[2]float64{sx * (a + c), sy * b * f}, [2]float64{sx * a * f, sy * (b + c)})
			}
		}
	}
	return xy
}

// insideBy is the signed distance of a point from the outline, above zero inside.
func insideBy(o mould.Outline, x, y float64) float64 {
	c := float64(o.Corner)
	qx, qy := math.Abs(x)-(float64(o.Width)/2-c), math.Abs(y)-(float64(o.Depth)/2-c)
	return c - math.Hypot(max(qx, 0), max(qy, 0)) - min(max(qx, qy), 0)
}

func TestClearanceAgreesWithSampling(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		outer, inner := anyOutline(t, "outer"), anyOutline(t, "inner")
		if rapid.Bool().Draw(t, "inside") {
			inner = outer.Inset(millimetres(t, "inset", -2, 4))
			if inner.Empty() {
				t.Skip("nothing left")
			}
		}
		want := math.Inf(1)
		for _, p := range outlinePoints(inner, 500) {
			want = min(want, insideBy(outer, p[0], p[1]))
		}
		// Samples lie within size·π/2/500/2 of the worst point, where the distance is flat.
		got := float64(outer.Clearance(inner))
		if got > want+1e-12 || got < want-2e-5*float64(max(inner.Width, inner.Depth)) {
			t.Fatalf("clearance of %+v in %+v: got %v, sampled %v", inner, outer, got, want)
		}
	})
}
