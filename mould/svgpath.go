package mould

import (
	"errors"
	"fmt"
	"math"
	"strconv"

	"chablon/unit"
)

// ParseOutline reads an outline from SVG path data (SVG 2, chapter 9) of one closed figure:
// the commands M L H V C S Q T A Z, absolute or relative, in millimetres. A path that does not
// end with Z is closed by a straight side. y is turned up. The centre of its area comes to lie on
// the axis. An error names the character, counted from 1, or says where the outline crosses
// itself.
func ParseOutline(data string) (Outline, error) {
	const most = 100_000
	if len(data) > most {
		return Outline{}, fmt.Errorf("the path has %d characters: give at most %d", len(data), most)
	}
	r := pathReader{text: data}
	if err := r.read(); err != nil {
		return Outline{}, err
	}
	return outlineOf(r.curves)
}

// pathReader goes through path data. y runs down as written and is turned over in add.
type pathReader struct {
	text         string
	pos          int
	curves       []curve
	start, at    point2
	control      point2 // of the curve before, for S and T
	before       byte   // its command
	begun, ended bool
}

func (r *pathReader) fail(format string, args ...any) error {
	return fmt.Errorf("character %d: "+format, append([]any{min(r.pos, len(r.text)) + 1}, args...)...)
}

func (r *pathReader) read() error {
	for r.space(); r.pos < len(r.text); r.space() {
		if r.ended {
			return r.fail("the outline has been closed already: draw one closed figure only")
		}
		c := r.text[r.pos]
		upper := c &^ 0x20
		switch upper {
		case 'M', 'L', 'H', 'V', 'C', 'S', 'Q', 'T', 'A', 'Z':
		default:
			return r.fail("%q is no command: accepted are M L H V C S Q T A and Z", c)
		}
		if upper != 'M' && !r.begun {
			return r.fail("the path begins with %c: begin with M and a point", c)
		}
		if upper == 'M' && r.begun {
			return r.fail("a second figure begins: draw one closed figure only")
		}
		r.pos++
		if upper == 'Z' {
			r.close()
			continue
		}
		for first := true; first || r.more(); first = false {
			if err := r.command(upper, c >= 'a'); err != nil {
				return err
			}
			if upper == 'M' {
				upper = 'L' // further points of a move are lines
			}
			if len(r.curves) > mostPath {
				return r.fail("the outline has more than %d sides: draw it with fewer", mostPath)
			}
		}
	}
	if !r.begun {
		return errors.New("the path is empty: give M and a point, then L, C or A")
	}
	r.close()
	return nil
}

func (r *pathReader) close() {
	if !r.ended {
		r.line(r.start)
		r.ended = true
	}
}

// command reads the arguments of one command and adds its curve.
func (r *pathReader) command(c byte, relative bool) error {
	var base point2
	if relative {
		base = r.at
	}
	var err error
	number := func() float64 {
		var x float64
		if err == nil {
			x, err = r.number()
		}
		return x / 1000
	}
	point := func() point2 {
		x := number()
		y := number()
		return point2{base.x + x, base.y + y}
	}
	reflected := func(kinds string) point2 { // the control point mirrored, after a curve of that kind
		for i := range kinds {
			if kinds[i] == r.before {
				return r.at.along(r.at.sub(r.control), 1)
			}
		}
		return r.at
	}
	control := point2{}
	switch c {
	case 'M':
		p := point()
		if err == nil {
			r.start, r.at, r.begun = p, p, true
		}
	case 'L':
		p := point()
		if err == nil {
			r.line(p)
		}
	case 'H':
		x := number()
		if err == nil {
			r.line(point2{base.x + x, r.at.y})
		}
	case 'V':
		y := number()
		if err == nil {
			r.line(point2{r.at.x, base.y + y})
		}
	case 'C', 'S':
		first := reflected("CS")
		if c == 'C' {
			first = point()
		}
		second, end := point(), point()
		if err == nil {
			control = second
			r.cubic(first, second, end)
		}
	case 'Q', 'T':
		mid := reflected("QT")
		if c == 'Q' {
			mid = point()
		}
		end := point()
		if err == nil {
			control = mid
			from := r.at
			r.cubic(from.along(mid.sub(from), 2.0/3), end.along(mid.sub(end), 2.0/3), end)
		}
	case 'A':
		rx, ry := number(), number()
		tilt := number() * 1000
		large, sweep := r.flag(&err), r.flag(&err)
		end := point()
		if err == nil {
			r.arc(math.Abs(rx), math.Abs(ry), tilt*math.Pi/180, large, sweep, end)
		}
	}
	r.control, r.before = control, c
	return err
}

// add appends a curve, its y turned up.
func (r *pathReader) add(c curve, to point2) {
	at := c.at
	r.curves = append(r.curves, curve{straight: c.straight, at: func(t float64) (point2, point2) {
		p, d := at(t)
		return point2{p.x, -p.y}, point2{d.x, -d.y}
	}})
	r.at = to
}

func (r *pathReader) line(to point2) {
	if to.sub(r.at).length() > 1e-9 {
		r.add(straight(r.at, to), to)
	}
}

func (r *pathReader) cubic(b, c, d point2) { r.add(bezier(r.at, b, c, d), d) }

// arc adds an elliptical arc by its end points. Source: SVG 2, appendix B.2.4, conversion from
// endpoint to centre parameterization.
func (r *pathReader) arc(rx, ry, tilt float64, large, sweep bool, to point2) {
	from := r.at
	if rx == 0 || ry == 0 {
		r.line(to)
		return
	}
	if to.sub(from).length() < 1e-12 {
		return
	}
	s, c := math.Sincos(tilt)
	d := from.sub(to)
	x, y := (c*d.x+s*d.y)/2, (-s*d.x+c*d.y)/2
	if need := x*x/(rx*rx) + y*y/(ry*ry); need > 1 { // too small: enlarged until they reach
		rx, ry = rx*math.Sqrt(need), ry*math.Sqrt(need)
	}
	k := math.Sqrt(max(0, (rx*rx*ry*ry-rx*rx*y*y-ry*ry*x*x)/(rx*rx*y*y+ry*ry*x*x)))
	if large == sweep {
		k = -k
	}
	cx, cy := k*rx*y/ry, -k*ry*x/rx
	centre := point2{c*cx - s*cy + (from.x+to.x)/2, s*cx + c*cy + (from.y+to.y)/2}
	a0 := math.Atan2((y-cy)/ry, (x-cx)/rx)
	a1 := math.Atan2((-y-cy)/ry, (-x-cx)/rx)
	turn := a1 - a0
	if sweep && turn < 0 {
		turn += 2 * math.Pi
	} else if !sweep && turn > 0 {
		turn -= 2 * math.Pi
	}
	r.add(ellipseOf(centre, rx, ry, tilt, a0, turn), to)
}

func (r *pathReader) space() {
	for r.pos < len(r.text) {
		switch r.text[r.pos] {
		case ' ', '\t', '\n', '\r', '\f', ',':
			r.pos++
		default:
			return
		}
	}
}

// more reports whether another argument follows.
func (r *pathReader) more() bool {
	r.space()
	if r.pos >= len(r.text) {
		return false
	}
	c := r.text[r.pos]
	return c >= '0' && c <= '9' || c == '-' || c == '+' || c == '.'
}

func (r *pathReader) flag(err *error) bool {
	r.space()
	if *err != nil {
		return false
	}
	if r.pos >= len(r.text) || r.text[r.pos] != '0' && r.text[r.pos] != '1' {
		*err = r.fail("a flag of an arc is wanted here: write 0 or 1")
		return false
	}
	r.pos++
	return r.text[r.pos-1] == '1'
}

// number reads a number as SVG writes it: the next one may follow without a space.
func (r *pathReader) number() (float64, error) {
	r.space()
	from := r.pos
	digits := func() bool {
		start := r.pos
		for r.pos < len(r.text) && r.text[r.pos] >= '0' && r.text[r.pos] <= '9' {
			r.pos++
		}
		return r.pos > start
	}
	if r.pos < len(r.text) && (r.text[r.pos] == '-' || r.text[r.pos] == '+') {
		r.pos++
	}
	any := digits()
	if r.pos < len(r.text) && r.text[r.pos] == '.' {
		r.pos++
		any = digits() || any
	}
	if !any {
		r.pos = from
		return 0, r.fail("a number is wanted here")
	}
	if r.pos < len(r.text) && r.text[r.pos]&^0x20 == 'E' {
		mark := r.pos
		r.pos++
		if r.pos < len(r.text) && (r.text[r.pos] == '-' || r.text[r.pos] == '+') {
			r.pos++
		}
		if !digits() {
			r.pos = mark
		}
	}
	x, err := strconv.ParseFloat(r.text[from:r.pos], 64)
	if err != nil || math.Abs(x) > float64(MaxLength/unit.Millimetre) {
		written := r.text[from:r.pos]
		r.pos = from
		return 0, r.fail("%.20s is no measure in millimetres up to 3000", written)
	}
	return x, nil
}
