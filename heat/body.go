package heat

import (
	"fmt"
	"math"

	"chablon/unit"
)

// Shape is the form of a body.
type Shape uint8

// Shapes of a body, the same surroundings on all its faces. A Plate is wide against its thickness;
// only its two large faces count.
const (
	Plate Shape = iota
	Disc        // round, of any height: a ring cake, an insert, a log
	Box         // with square edges: a frame, a bar
	Ball
	Egg // three axes, all round: a quenelle, an egg
)

// String returns the word for the shape.
func (s Shape) String() string {
	if s > Egg {
		return fmt.Sprintf("shape %d", uint8(s))
	}
	return [...]string{"plate", "disc", "box", "ball", "egg"}[s]
}

// Body is what is cooled: a shape and its full dimensions. It is made by Slab, Cylinder, Brick,
// Sphere or Ellipsoid.
type Body struct {
	Shape Shape
	Size  [3]unit.Length // Plate: thickness; Disc: diameter, height; Box: three edges; Ball: diameter; Egg: three axes
}

// Slab returns a plate of a full thickness that both faces cool. A plate that only one face cools,
// such as one on an insulating base, behaves as one of twice the thickness.
func Slab(thickness unit.Length) Body { return Body{Plate, [3]unit.Length{thickness}} }

// Cylinder returns a disc of a diameter and a height.
func Cylinder(diameter, height unit.Length) Body {
	return Body{Disc, [3]unit.Length{diameter, height}}
}

// Brick returns a box of three edges, in any order.
func Brick(a, b, c unit.Length) Body { return Body{Box, [3]unit.Length{a, b, c}} }

// Sphere returns a ball of a diameter.
func Sphere(diameter unit.Length) Body { return Body{Ball, [3]unit.Length{diameter}} }

// Ellipsoid returns a body without edges of three full axes, in any order.
func Ellipsoid(a, b, c unit.Length) Body { return Body{Egg, [3]unit.Length{a, b, c}} }

// sizeNames names the dimensions that each shape has.
var sizeNames = [...][]string{
	Plate: {"thickness"}, Disc: {"diameter", "height"}, Box: {"first edge", "second edge", "third edge"}, Ball: {"diameter"},
	Egg: {"first axis", "second axis", "third axis"},
}

// check returns an *InputError unless every dimension lies between 0.1 mm and 5 m.
func (b Body) check() error {
	if b.Shape > Egg {
		return &InputError{"shape", b.Shape.String(), "choose plate, disc, box, ball or egg"}
	}
	for i, name := range sizeNames[b.Shape] {
		if !(b.Size[i] >= 0.1*unit.Millimetre && b.Size[i] <= 5*unit.Metre) {
			return &InputError{b.Shape.String() + " " + name, fmt.Sprintf("%g mm", b.Size[i].Millimetres()), "give a length between 0.1 mm and 5 m"}
		}
	}
	return nil
}

// half returns half of the shortest dimension in metres, the R of every formula here.
func (b Body) half() float64 {
	r := b.Size[0]
	for i := range sizeNames[b.Shape] {
		r = min(r, b.Size[i])
	}
	return float64(r) / 2
}

// ratios returns the middle and the longest dimension over the shortest; of a disc, its diameter over
// its height twice, or 1 and its height over its diameter.
func (b Body) ratios() (b1, b2 float64) {
	short := 2 * b.half()
	switch b.Shape {
	case Disc:
		d, h := float64(b.Size[0]), float64(b.Size[1])
		if d >= h {
			return d / h, d / h
		}
		return 1, h / d
	case Box, Egg:
		long := float64(max(b.Size[0], b.Size[1], b.Size[2]))
		middle := float64(b.Size[0]+b.Size[1]+b.Size[2]) - short - long
		return max(1, middle/short), long / short
	}
	return 1, 1
}

// shapeFactor returns by how many times the body freezes faster than a slab of its shortest
// dimension: 1 for a slab, 3 for a sphere. bi is the Biot number of half the shortest dimension.
// Sources: E of Pham 1991 as in Singh & Heldman, Introduction to Food Engineering; for an egg Hossain,
// Cleland & Cleland 1992 as in ASHRAE Handbook-Refrigeration, Cooling and Freezing Times of Foods.
func (b Body) shapeFactor(bi float64) float64 {
	s := b.shaped()
	return s.factor(bi)
}

// A shaped body is what of its shape factor does not follow from the Biot number.
type shaped struct {
	whole float64 // directions that count in full
	n     int
	part  [2]struct{ times, ratio, v, far float64 } // directions that count for less, the longer the less
	egg   bool
}

func (b Body) shaped() shaped {
	s := shaped{whole: 1}
	add := func(times, ratio, factor, power float64) {
		log := math.Log(ratio)
		p := &s.part[s.n]
		p.times, p.ratio, p.v, p.far = times, ratio, 2.32*math.Exp(-1.77*log), factor*math.Exp(-power*log)
		s.n++
	}
	b1, b2 := b.ratios()
	switch b.Shape {
	case Ball:
		s.whole = 3
	case Disc:
		if b1 > 1 || b2 == 1 {
			add(2, b1, 0.73, 2.50)
			break
		}
		s.whole = 2
		add(1, b2, 0.50, 3.69)
	case Box:
		add(1, b1, 0.73, 2.50)
		add(1, b2, 0.50, 3.69)
	case Egg:
		s.egg, s.n = true, 2
		s.part[0].ratio, s.part[1].ratio = b1, b2
	}
	return s
}

// factor returns the shape factor at a Biot number.
func (s *shaped) factor(bi float64) float64 {
	sum := s.whole
	if s.n == 0 {
		return sum
	}
	strong := 0.0
	if !s.egg {
		strong = math.Exp(1.34 * math.Log(bi))
	}
	for i := range s.n {
		p := &s.part[i]
		if s.egg {
			sum += (1 + 2/bi) / (p.ratio*p.ratio + 2*p.ratio/bi)
			continue
		}
		w := p.v / (strong + p.v)
		sum += p.times * (w/p.ratio + (1-w)*p.far)
	}
	return sum
}
