package assembly_test

import (
	"fmt"
	"math"
	"math/rand/v2"
	"testing"

	"chablon/assembly"
	"chablon/finding"
	"chablon/mould"
	"chablon/unit"
)

// shape is a mould of a family that form does not know, with its textbook rule for points.
type shape struct {
	kind   string
	solid  mould.Solid
	h      float64
	in     func(x, y, z float64) bool
	room   float64 // radius of an upright cylinder round the axis that fits at every height but the lowest
	hole   float64 // the greatest radius of the tube; zero for none
	flat   bool    // the bottom is flat and as wide as room
	around float64 // a bound of the way round, for the tolerance
}

// anyShape draws a shape of the k-th family, its measures in millimetres.
func anyShape(t *testing.T, r *rand.Rand, k int) shape {
	t.Helper()
	l := func(x float64) unit.Length { return unit.Length(x) * mm }
	h := whole(r, 40, 60)
	var err error
	s := shape{h: h, flat: true}
	prism := func(o mould.Outline, bad error) {
		if err = bad; err == nil {
			s.solid, err = mould.NewPrism(o, l(h), 0)
		}
	}
	switch k % 10 {
	case 0:
		s.kind = "hexagon"
		a := whole(r, 100, 180)
		prism(mould.RegularPolygon(6, l(a), 0))
		s.in = func(x, y, _ float64) bool { // a corner points up: flats at 0°, 60°, 120°
			for i := range 3 {
				sin, cos := math.Sincos(float64(i) * math.Pi / 3)
				if math.Abs(x*cos+y*sin) > a/2 {
					return false
				}
			}
			return true
		}
		s.room, s.around = a/2, 3.5*a
	case 1:
		s.kind = "oval"
		a, b := whole(r, 140, 200), whole(r, 90, 130)
		prism(mould.Ellipse(l(a), l(b)))
		s.in = func(x, y, _ float64) bool { return 4*x*x/(a*a)+4*y*y/(b*b) <= 1 }
		s.room, s.around = b/2, 3.2*a
	case 2:
		s.kind = "heart"
		a := whole(r, 90, 130)
		prism(mould.Heart(l(a)))
		// Turned by 45°, a square on (0, a)² and half discs on its far sides. The middle of the
		// area lies on the diagonal: (a³/2 + π a²/8 (a/2 + a + 4 (a/2)/(3π))) / (a² + π a²/4).
		c := (a*a*a/2 + math.Pi*a*a/8*(a/2+a+2*a/(3*math.Pi))) / (a*a + math.Pi*a*a/4)
		s.in = func(x, y, _ float64) bool {
			u, v := (x+y)/math.Sqrt2+c, (y-x)/math.Sqrt2+c
			return u >= 0 && u <= a && v >= 0 && v <= a || math.Hypot(u-a/2, v-a) <= a/2 && v >= a || math.Hypot(u-a, v-a/2) <= a/2 && u >= a
		}
		s.room, s.around = 0.5*a, 5.2*a
	case 3:
		s.kind = "triangle"
		a := whole(r, 150, 220)
		prism(mould.Triangle(l(a)))
		in := a / (2 * math.Sqrt(3))
		s.in = func(x, y, _ float64) bool {
			return y >= -in && y <= 2*in-math.Sqrt(3)*math.Abs(x)
		}
		s.room, s.around = in, 3*a
	case 4:
		s.kind = "path" // an L, as SVG path data
		a := whole(r, 100, 150)
		prism(mould.ParseOutline(fmt.Sprintf("M0 0H%gV%gH%gV%gH0Z", a, a/2, a/2, a)))
		// y is turned up: the L has its foot at the top. Centre of two halves and a quarter.
		cx := (a*a/2*a/2 + a*a/4*a/4) / (a * a * 3 / 4)
		s.in = func(x, y, _ float64) bool {
			u, v := x+cx, cx-y
			return u >= 0 && v >= 0 && u <= a && v <= a && !(u > a/2 && v > a/2)
		}
		s.room, s.around = a/2-cx+0.0, 4*a
		s.room = math.Hypot(a/2-cx, a/2-cx) * 0.99 // to the inner corner
	case 5:
		s.kind = "log"
		w := whole(r, 80, 110)
		length := whole(r, 150, 220)
		s.h = w/2 + whole(r, 5, 15)
		s.solid, err = mould.RoundLog(l(w), l(s.h), l(w/2), l(length))
		s.in = func(x, y, z float64) bool {
			half := w / 2
			if z < half {
				half = math.Sqrt(half*half - (half-z)*(half-z))
			}
			return math.Abs(x) <= half && math.Abs(y) <= length/2
		}
		s.room, s.around, s.flat = w/4, 2*(w+length), false
	case 6:
		s.kind = "tube"
		top, bottom, t0, t1 := whole(r, 150, 180), whole(r, 130, 150), whole(r, 22, 28), whole(r, 16, 21)
		outer, e := mould.Round(l(top), l(bottom), l(h))
		if err = e; err == nil {
			s.solid, err = mould.NewTube(outer, []mould.ProfilePoint{{R: l(t0)}, {R: l(t1), Z: l(h)}})
		}
		s.in = func(x, y, z float64) bool {
			d := math.Hypot(x, y)
			return d <= (bottom+(top-bottom)*z/h)/2 && d >= t0+(t1-t0)*z/h
		}
		s.room, s.hole, s.around = bottom/2, t0, 3.5*top
	case 7:
		s.kind = "savarin"
		mid, rad := whole(r, 110, 140), whole(r, 26, 34)
		s.h = rad
		s.solid, err = mould.NewSavarin(l(mid), l(rad), 0)
		s.in = func(x, y, z float64) bool { return math.Hypot(math.Hypot(x, y)-mid/2, z-rad) <= rad }
		s.room, s.hole, s.around, s.flat = mid/2+rad/2, mid/2-rad/2, 7*mid, false
	case 8:
		s.kind = "fluted"
		d, a, n := whole(r, 120, 160), whole(r, 3, 5), r.IntN(8)+6
		prism(mould.Fluted(l(d), l(a), n))
		s.in = func(x, y, _ float64) bool {
			return math.Hypot(x, y) <= d/2+a*math.Cos(float64(n)*math.Atan2(y, x))
		}
		s.room, s.around = d/2-a, 6*d
	default:
		s.kind = "bowl"
		a, b := whole(r, 120, 160), whole(r, 90, 120)
		o, e := mould.Ellipse(l(a), l(b))
		if err = e; err == nil {
			s.solid, err = mould.NewBowl(o, l(h))
		}
		s.in = func(x, y, z float64) bool {
			u := (h - z) / h
			return 4*x*x/(a*a)+4*y*y/(b*b)+u*u <= 1
		}
		s.room, s.around, s.flat = b/4, 3.2*a, false
	}
	if err != nil {
		t.Fatalf("%s: %v", s.kind, err)
	}
	return s
}

// Assemblies in moulds of every other family, a hundred of them: a base, an insert or a disc round
// the tube, a fill and a flooded glaze, against a count of cells. The rule of a shape at the middle
// of a slice misses a little of a curved wall, which the tolerance counts.
func TestFormsAgreeWithVoxels(t *testing.T) {
	t.Parallel()
	for k := range 100 {
		t.Run(fmt.Sprint(k), func(t *testing.T) {
			t.Parallel()
			agreesWithVoxels(t, k)
		})
	}
}

func agreesWithVoxels(t *testing.T, k int) {
	t.Helper()
	r := rand.New(rand.NewPCG(uint64(k), 11))
	s := anyShape(t, r, k)
	l := func(x float64) unit.Length { return unit.Length(x) * mm }
	m := &mould.Mould{ID: s.kind, Name: s.kind, Solid: s.solid, Cavities: 1}
	a := &assembly.Assembly{ID: s.kind, Mould: m}
	type part struct {
		id         string
		z0, z1     float64
		rin, rout  float64 // of a cylinder; rout zero for what fills the rest
		wallLength float64
	}
	var parts []part
	level := s.h - 4
	if s.flat {
		radius := s.room - whole(r, 2, 12)
		a.Layers = append(a.Layers, assembly.Layer{ID: "base", Kind: assembly.Base, Of: stuff(r, "base"), Thickness: l(6), Outline: assembly.Outline{Own: mould.Circle(l(2 * radius))}})
		parts = append(parts, part{"base", 0, 6, s.hole, radius, 2 * math.Pi * (radius + s.hole)})
	}
	a.Layers = append(a.Layers, assembly.Layer{ID: "mousse", Kind: assembly.Fill, Of: stuff(r, "mousse"), Level: assembly.At(l(level))})
	z0 := math.Floor(s.h * 0.5)
	radius, inner := (s.room+s.hole)/2, 0.0
	if s.hole > 0 { // a ring round the tube, with a gap to it
		inner = s.hole + 2
		radius = max(radius, inner+6)
	}
	own := mould.Circle(l(2 * radius)).WithHole(l(2 * inner))
	a.Layers = append(a.Layers, assembly.Layer{ID: "disc", Kind: assembly.Disc, Of: stuff(r, "disc"), Thickness: l(5), Offset: assembly.At(l(z0)), Outline: assembly.Outline{Own: own}})
	parts = append(parts, part{"disc", z0, z0 + 5, inner, radius, 2 * math.Pi * (radius + inner)})
	a.Layers = append(a.Layers, assembly.Layer{ID: "glaze", Kind: assembly.Coat, Way: "flood", Of: stuff(r, "glaze"), BelowRim: assembly.At(0)})
	parts = append(parts, part{"mousse", 0, level, 0, 0, s.around}, part{"glaze", level, s.h, 0, 0, s.around})

	section := a.Lay(m)
	for _, f := range section.Findings {
		if f.Level == finding.Fault {
			t.Fatalf("%s, case %d: %s %s", s.kind, k, f.Where, f.Reason)
		}
	}
	counted := map[string]float64{}
	reach := math.Hypot(float64(s.solid.At(s.solid.Height()).Width), float64(s.solid.At(s.solid.Height()).Depth)) * 1000 * 0.6 // of what lies farther, the count would lack
	const dz, cell = 0.5, 3.0
	for z := dz / 2; z < s.h; z += dz {
		sin, cos := math.Sincos(2 * math.Pi * r.Float64())
		dx, dy := cell*r.Float64(), cell*r.Float64()
		for u := -reach + dx; u < reach; u += cell {
			for v := -reach + dy; v < reach; v += cell {
				d := math.Sqrt(u*u + v*v)
				if d > reach {
					continue
				}
				x, y := u*cos-v*sin, u*sin+v*cos
				for _, p := range parts {
					if z < p.z0 || z > p.z1 {
						continue
					}
					if p.rout > 0 && d <= p.rout && d >= p.rin && (p.rin > s.hole || s.in(x, y, z) || s.hole == 0) || p.rout == 0 && s.in(x, y, z) {
						counted[p.id] += cell * cell * dz
						break
					}
				}
			}
		}
	}
	for _, p := range parts {
		placed, _ := section.Layer(p.id)
		got, want := placed.Volume.Millilitres()*1000, counted[p.id]
		surface := p.wallLength * (p.z1 - p.z0)
		for _, q := range parts {
			if p.rout == 0 && q.rout > 0 {
				surface += q.wallLength * (q.z1 - q.z0)
			}
		}
		tol := 5*cell*cell*dz*math.Sqrt(surface/(12*cell*dz)) + 4e-4*want
		if math.Abs(got-want) > tol {
			t.Errorf("%s, case %d, %s: %.0f mm³, counted %.0f, allowed difference %.0f", s.kind, k, p.id, got, want, tol)
		}
	}
}
