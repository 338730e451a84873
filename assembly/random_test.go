package assembly_test

import (
	"fmt"
	"math"
	"math/rand/v2"

	"chablon/assembly"
	"chablon/formula"
	"chablon/mould"
	"chablon/unit"
)

const mm = unit.Millimetre

// form is a mould in millimetres, with the outline that its textbook formula gives at a height.
// Nothing in it is taken from the packages under test.
type form struct {
	kind                    string
	d, top, bottom          float64 // ring and dome; round
	w, depth, corner, draft float64 // frame
	h                       float64
}

// half returns half the width, half the depth and the corner radius at height z, moved out by t
// square to the wall. A half width that is not above zero is nothing.
func (f form) half(z, t float64) (a, b, c float64) {
	switch f.kind {
	case "ring":
		r := f.d/2 + t
		return r, r, r
	case "round":
		slope := (f.top - f.bottom) / 2 / f.h
		r := f.bottom/2 + slope*z + t*math.Hypot(1, slope)
		return r, r, r
	case "dome":
		a := f.d / 2
		sphere := (a*a + f.h*f.h) / (2 * f.h)
		r := math.Sqrt(max(0, (sphere+t)*(sphere+t)-(z-sphere)*(z-sphere)))
		return r, r, r
	}
	slope := f.draft / f.h
	in := slope*(f.h-z) - t*math.Hypot(1, slope)
	return f.w/2 - in, f.depth/2 - in, max(0, f.corner-in)
}

func within(a, b, c, x, y float64) bool {
	qx, qy := math.Abs(x)-(a-c), math.Abs(y)-(b-c)
	if qx > 0 && qy > 0 {
		return math.Hypot(qx, qy) <= c
	}
	return math.Abs(x) <= a && math.Abs(y) <= b
}

// plane is a rule for the points of one height; nil where there are none.
type plane func(x, y float64) bool

// at returns what lies inside at a height, the wall moved out by t.
func (f form) at(z, t float64) plane {
	a, b, c := f.half(z, t)
	if a <= 0 {
		return nil
	}
	return func(x, y float64) bool { return within(a, b, c, x, y) }
}

// less is what lies in one plane and not in another.
func (p plane) less(q plane) plane {
	if p == nil || q == nil {
		return p
	}
	return func(x, y float64) bool { return p(x, y) && !q(x, y) }
}

func round(radius float64) plane {
	return func(x, y float64) bool { return x*x+y*y <= radius*radius }
}

// between is a rule that holds from one height to another.
func between(z0, z1 float64, at func(z float64) plane) func(float64) plane {
	return func(z float64) plane {
		if z < z0 || z > z1 {
			return nil
		}
		return at(z)
	}
}

// reach is the least half width over the heights, and perimeter the greatest length round.
func (f form) reach(z0, z1 float64) float64 {
	a, b, _ := f.half(z0, 0)
	a1, b1, _ := f.half(z1, 0)
	return min(a, b, a1, b1)
}

func (f form) perimeter() float64 {
	a, b, _ := f.half(f.h, 0)
	return 4 * (a + b)
}

func (f form) mould(id string) *mould.Mould {
	l := func(x float64) unit.Length { return unit.Length(x) * mm }
	var s mould.Solid
	var err error
	switch f.kind {
	case "ring":
		s, err = mould.Ring(l(f.d), l(f.h))
	case "round":
		s, err = mould.Round(l(f.top), l(f.bottom), l(f.h))
	case "dome":
		s, err = mould.Dome(l(f.d), l(f.h))
	default:
		s, err = mould.Frame(l(f.w), l(f.depth), l(f.h), l(f.corner), l(f.draft))
	}
	if err != nil {
		panic(err) // the generator draws none that is refused
	}
	return &mould.Mould{ID: id, Name: id, Solid: s, Cavities: 1}
}

// space is what one layer takes by the rules of the package, as a rule for points. Of a point
// that several hold, the first has it: bodies stand before fills.
type space struct {
	id      string
	at      func(z float64) plane
	z0, z1  float64
	surface float64 // mm² of walls, upright or leaning, that bound it
}

// built is a random assembly with what the rules say of it.
type built struct {
	a      *assembly.Assembly
	m      *mould.Mould
	form   form
	spaces []space
	top    float64
	inside map[string]*built // inserts that are assemblies, by layer
}

func whole(r *rand.Rand, lo, hi int) float64 { return float64(lo + r.IntN(hi-lo+1)) }

// stuff returns a component of a density that is on record.
func stuff(r *rand.Rand, id string) assembly.Component {
	return assembly.Component{Formula: &formula.Formula{ID: id, Density: unit.Density(300 + 1000*r.Float64())}}
}

func anyForm(r *rand.Rand, widest int, low, high int) form {
	size := whole(r, widest*6/10, widest)
	f := form{h: whole(r, low, high)}
	switch r.IntN(4) {
	case 0:
		f.kind, f.d = "ring", size
	case 1:
		f.kind, f.top, f.bottom = "round", size, size-whole(r, 2, 16)
	case 2:
		f.kind, f.w, f.depth = "frame", size, size*(0.7+0.3*r.Float64())
		f.draft = f.depth / 40 * r.Float64()
		f.corner = f.draft + f.depth/10*r.Float64()
	default:
		f.kind, f.d = "dome", size
		f.h = max(math.Floor(size*(0.3+0.2*r.Float64())), 4)
	}
	return f
}

// build draws an assembly that fits, laid by its rules.
func build(r *rand.Rand, id string, depth int) *built {
	f := anyForm(r, 160, 44, 64)
	if f.kind == "dome" {
		f.d = whole(r, 110, 160)
		f.h = math.Floor(f.d * (0.38 + 0.12*r.Float64()))
	}
	b := &built{form: f, m: f.mould(id + "-mould"), inside: map[string]*built{}}
	b.a = &assembly.Assembly{ID: id, Mould: b.m, Inverted: r.IntN(2) == 0}
	l := func(x float64) unit.Length { return unit.Length(x) * mm }
	var bodies []space
	body := func(s space) { bodies = append(bodies, s); b.spaces = append(b.spaces, s) }
	add := func(x assembly.Layer) { b.a.Layers = append(b.a.Layers, x) }

	band, bandTop := 0.0, 0.0
	if f.kind != "dome" && r.IntN(2) == 0 {
		t, high := whole(r, 2, 5), whole(r, 15, int(f.h)-6)
		band, bandTop = t*1.1+0.5, high
		add(assembly.Layer{ID: "band", Kind: assembly.Band, Of: stuff(r, id+"-band"), Thickness: l(t), BandHeight: l(high)})
		body(space{"band", between(0, high, func(z float64) plane { return f.at(z, 0).less(f.at(z, -t)) }), 0, high, 2 * f.perimeter() * high})
	}
	disc := func(name string, z0, t, radius float64) {
		body(space{name, between(z0, z0+t, func(float64) plane { return round(radius) }), z0, z0 + t, 2 * math.Pi * radius * t})
	}

	surface := 0.0
	if f.kind != "dome" {
		t := whole(r, 4, 9)
		x := assembly.Layer{ID: "base", Kind: assembly.Base, Of: stuff(r, id+"-base"), Thickness: l(t)}
		switch r.IntN(3) {
		case 0: // as the mould, or as the band leaves it
			edge := 0.0
			if band > 0 {
				edge = float64(b.a.Layers[0].Thickness / mm)
			}
			body(space{"base", between(0, t, func(float64) plane { return f.at(0, -edge) }), 0, t, f.perimeter() * t})
		case 1: // in from the wall
			inset := band + whole(r, 0, 9)
			x.Outline.Inset = assembly.At(l(inset))
			ha, hb, hc := f.half(0, 0)
			body(space{"base", between(0, t, func(float64) plane {
				return func(x, y float64) bool { return within(ha-inset, hb-inset, max(0, hc-inset), x, y) }
			}), 0, t, f.perimeter() * t})
		default:
			radius := f.reach(0, 0) - band - 5*r.Float64()
			x.Outline.Own = mould.Circle(l(2 * radius))
			disc("base", 0, t, radius)
		}
		add(x)
		surface = t
	}

	first := surface + whole(r, 4, 7)
	if f.kind == "dome" {
		first = math.Floor(f.h * 0.4)
	}
	room := f.reach(first, first) - 3
	if first < bandTop {
		room -= band
	}
	in := anyForm(r, max(12, int(room*1.2)), 10, 14)
	if in.kind == "dome" {
		in.h = max(4, min(in.h, 14))
		in.d = max(in.d, 2*in.h)
	}
	x := assembly.Layer{ID: "heart", Kind: assembly.Insert, TurnedOver: r.IntN(3) == 0}
	high := max(3, in.h-whole(r, 0, 3))
	if depth > 0 && r.IntN(2) == 0 {
		nested := buildSimple(r, id+"-heart", in)
		b.inside["heart"], high = nested, nested.top
		x.Of.Assembly, x.MadeIn = nested.a, nested.m
	} else {
		x.Of, x.MadeIn, x.Thickness = stuff(r, id+"-heart"), in.mould(id+"-heart-mould"), l(high)
	}
	over, z0 := x.TurnedOver, first
	heart := space{"heart", between(z0, z0+high, func(z float64) plane {
		if over {
			return in.at(z0+high-z, 0)
		}
		return in.at(z-z0, 0)
	}), z0, z0 + high, in.perimeter() * high}

	level := min(f.h-7, z0+high+whole(r, 1, 4))
	if f.kind == "dome" {
		level = f.h
	}
	fill := assembly.Layer{
		ID: "mousse", Kind: assembly.Fill, Of: stuff(r, id+"-mousse"), Level: assembly.At(l(level)),
		Stages: []assembly.Stage{{Level: assembly.At(l(first))}, {After: "heart"}},
	}
	if r.IntN(2) == 0 {
		fill.Level, fill.BelowRim = assembly.Height{}, assembly.At(l(f.h-level))
	}
	add(fill)
	add(x)
	body(heart)

	fillSpace := func(name string, from, to float64) {
		s := space{id: name, z0: from, z1: to, surface: f.perimeter() * (to - from), at: between(from, to, func(z float64) plane { return f.at(z, 0) })}
		for _, o := range bodies {
			s.surface += o.surface
		}
		b.spaces = append(b.spaces, s)
	}
	b.top = level
	switch {
	case f.kind == "dome":
		t := 5.0
		if z0+high <= f.h-t {
			radius := f.reach(f.h-t, f.h-t) - 2
			add(assembly.Layer{ID: "base", Kind: assembly.Base, Of: stuff(r, id+"-base"), Thickness: l(t), BelowRim: assembly.At(0), Outline: assembly.Outline{Own: mould.Circle(l(2 * radius))}})
			disc("base", f.h-t, t, radius)
		}
		fillSpace("mousse", 0, level)
	default:
		if r.IntN(2) == 0 { // a disc on the first fill, a second fill over it
			t := 4.0
			radius := f.reach(level, level) - band - whole(r, 0, 9)
			add(assembly.Layer{ID: "disc", Kind: assembly.Disc, Of: stuff(r, id+"-disc"), Thickness: l(t), Outline: assembly.Outline{Own: mould.Circle(l(2 * radius))}})
			disc("disc", level, t, radius)
			b.top = f.h - 2
			if b.top > level+t {
				add(assembly.Layer{ID: "cream", Kind: assembly.Fill, Of: stuff(r, id+"-cream"), Level: assembly.At(l(b.top))})
				fillSpace("cream", level, b.top)
			} else {
				b.top = level + t
			}
		}
		fillSpace("mousse", 0, level)
	}

	if b.top < f.h && r.IntN(2) == 0 && !(b.top > level && len(b.spaces) > 0 && b.spaces[len(b.spaces)-2].id == "disc") {
		from := b.top
		add(assembly.Layer{ID: "glaze", Kind: assembly.Coat, Way: "flood", Of: stuff(r, id+"-glaze"), BelowRim: assembly.At(0)})
		fillSpace("glaze", from, f.h)
		b.top = f.h
	} else {
		b.top = max(b.top, bandTop) // a band may stand above what is filled
		t, top := whole(r, 1, 3), b.top
		add(assembly.Layer{ID: "coat", Kind: assembly.Coat, Way: "pour", Film: l(t), Of: stuff(r, id+"-coat")})
		s := space{id: "coat", z0: -t, z1: top + t, surface: 2*f.perimeter()*(top+t) + f.perimeter()*t}
		if b.a.Inverted { // round the wall and over the mould's bottom, open at the top
			s.at = between(-t, top, func(z float64) plane {
				if z < 0 {
					return f.at(z, t)
				}
				return f.at(z, t).less(f.at(z, 0))
			})
		} else { // round the wall and over the top, open at the bottom
			s.at = between(0, top+t, func(z float64) plane {
				if z > top {
					return f.at(top, t)
				}
				return f.at(z, t).less(f.at(z, 0))
			})
		}
		b.spaces = append(b.spaces, s)
	}
	return b
}

// buildSimple draws an insert of two layers in a mould of its own.
func buildSimple(r *rand.Rand, id string, f form) *built {
	b := &built{form: f, m: f.mould(id + "-mould"), inside: map[string]*built{}, top: max(3, f.h-whole(r, 0, 2))}
	t := 2.0
	radius := f.reach(0, t) // a dome's is nothing at its pole: then there is a fill alone
	b.a = &assembly.Assembly{ID: id, Mould: b.m}
	if f.kind != "dome" {
		b.a.Layers = append(b.a.Layers, assembly.Layer{ID: "crunch", Kind: assembly.Spread, Of: stuff(r, id+"-crunch"), Thickness: unit.Length(t) * mm, Outline: assembly.Outline{Own: mould.Circle(unit.Length(2*radius) * mm)}})
		b.spaces = append(b.spaces, space{"crunch", between(0, t, func(float64) plane { return round(radius) }), 0, t, 2 * math.Pi * radius * t})
	}
	b.a.Layers = append(b.a.Layers, assembly.Layer{ID: "jelly", Kind: assembly.Fill, Of: stuff(r, id+"-jelly"), Level: assembly.At(unit.Length(b.top) * mm)})
	b.spaces = append(b.spaces, space{"jelly", between(0, b.top, func(z float64) plane { return f.at(z, 0) }), 0, b.top, 2 * f.perimeter() * b.top})
	return b
}

func (b *built) String() string {
	out := fmt.Sprintf("%+v inverted %v\n", b.form, b.a.Inverted)
	for _, l := range b.a.Layers {
		out += fmt.Sprintf("  %s %s thickness %v level %v below %v outline %+v turned over %v\n", l.ID, l.Kind, l.Thickness, l.Level, l.BelowRim, l.Outline, l.TurnedOver)
	}
	return out
}
