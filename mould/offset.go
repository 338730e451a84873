package mould

import (
	"math"
	"slices"
)

// inset returns the figure t further in (further out if t is negative), nil if nothing is left.
func (p *path) inset(t float64) *path {
	var points []point2
	if p.convex {
		points = shrink(p.points, t)
	} else {
		points = largestLoop(p.offsetLoop(t), p.points, t)
	}
	if len(points) < 3 {
		return nil
	}
	out := polygonOf(points)
	if out.area < leastArea {
		return nil
	}
	flat := polygonOf(p.points)
	bend, flatBend := p.bendIn, p.flatBend()
	if t < 0 {
		bend, flatBend = p.bendOut, flat.bendOut
	}
	if expected := flat.area - flat.perimeter*t + flatBend*t*t; math.Abs(out.area-expected) < 1e-9*flat.area {
		// Every edge is still there, so the curves' own figures follow in closed form.
		out.area = p.area - p.perimeter*t + bend*t*t
		out.perimeter = p.perimeter - 2*bend*t
		out.bendIn, out.bendOut = p.bendIn, p.bendOut
		return out
	}
	out.area *= p.area / flat.area
	out.perimeter *= p.perimeter / flat.perimeter
	return out
}

// line2 is a directed line; the figure lies on its left.
type line2 struct{ p, d point2 }

// edge returns a side of a polygon, moved t to the left.
func edge(points []point2, i int, t float64) line2 {
	a, b := points[i], points[(i+1)%len(points)]
	d := b.sub(a)
	l := d.length()
	d = point2{d.x / l, d.y / l}
	return line2{a.along(point2{-d.y, d.x}, t), d}
}

// cut returns where two lines cross; false if they run side by side.
func cut(a, b line2) (point2, bool) {
	cross := a.d.cross(b.d)
	if math.Abs(cross) < 1e-14 {
		return point2{}, false
	}
	return a.p.along(a.d, b.p.sub(a.p).cross(b.d)/cross), true
}

// shrink moves every side of a convex polygon inwards: the half planes on their left have the
// rest in common. Sides come in the order of their directions, so that one pass finds it.
func shrink(points []point2, t float64) []point2 {
	n := len(points)
	lines := make([]line2, 0, n)
	for i := range n {
		l := edge(points, i, t)
		if k := len(lines); k > 0 && math.Abs(lines[k-1].d.cross(l.d)) < 1e-12 {
			continue // runs on straight
		}
		lines = append(lines, l)
	}
	queue := make([]line2, 0, len(lines))
	corners := make([]point2, 0, len(lines)) // corner k lies between lines k and k+1
	outside := func(l line2, q point2) bool { return l.d.cross(q.sub(l.p)) < 0 }
	first := 0
	for _, l := range lines {
		for len(queue)-first >= 2 && outside(l, corners[len(corners)-1]) {
			queue, corners = queue[:len(queue)-1], corners[:len(corners)-1]
		}
		for len(queue)-first >= 2 && outside(l, corners[first]) {
			first++
		}
		if len(queue)-first >= 1 {
			q, ok := cut(queue[len(queue)-1], l)
			if !ok {
				return nil
			}
			corners = append(corners, q)
		}
		queue = append(queue, l)
		if len(corners) < len(queue)-1 { // the front moved past what was kept
			return nil
		}
	}
	for len(queue)-first > 2 && outside(queue[first], corners[len(corners)-1]) {
		queue, corners = queue[:len(queue)-1], corners[:len(corners)-1]
	}
	for len(queue)-first > 2 && outside(queue[len(queue)-1], corners[first]) {
		first++
	}
	if len(queue)-first < 3 {
		return nil
	}
	last, ok := cut(queue[len(queue)-1], queue[first])
	if !ok {
		return nil
	}
	out := append(slices.Clone(corners[first:]), last)
	if signedArea(out) <= 0 {
		return nil
	}
	return distinct(out)
}

func signedArea(points []point2) float64 {
	sum := 0.0
	for i := range points {
		sum += points[i].cross(points[(i+1)%len(points)]) / 2
	}
	return sum
}

// A corner that points inwards by more than blunt is rounded as the figure shrinks, in chords of
// at most chordTurn; a blunter one is mitred, which on a flattened curve is the same.
const (
	blunt     = 0.2
	chordTurn = 0.04
)

// chords returns how many chords round a corner that points inwards.
func chords(turn float64) int { return int(math.Ceil(-turn / chordTurn)) }

// flatBend is the bend that offsetLoop gives the polygon as it shrinks.
func (p *path) flatBend() float64 {
	sum := 0.0
	for i := range p.points {
		turn := p.turn(i)
		if turn >= -blunt {
			sum += math.Tan(turn / 2)
			continue
		}
		k := float64(chords(turn))
		sum += k * math.Sin(turn/k) / 2
	}
	return sum
}

// offsetLoop moves every side of a figure inwards and joins neighbours where they cross, round a
// corner that points inwards by an arc. The loop may cross itself.
func (p *path) offsetLoop(t float64) []point2 {
	n := len(p.points)
	out := make([]point2, 0, n)
	for i := range n {
		before, after := edge(p.points, (i+n-1)%n, t), edge(p.points, i, t)
		turn := p.turn(i)
		if t > 0 && turn < -blunt {
			from := math.Atan2(before.d.x, -before.d.y)
			k := chords(turn)
			for m := range k + 1 {
				s, c := math.Sincos(from + turn*float64(m)/float64(k))
				out = append(out, p.points[i].along(point2{c, s}, t))
			}
			continue
		}
		if q, ok := cut(before, after); ok {
			out = append(out, q)
		} else {
			out = append(out, after.p)
		}
	}
	return out
}

// largestLoop takes a loop that may cross itself apart and returns the largest part that goes
// round left and keeps its distance from the figure that it was moved from.
func largestLoop(loop, from []point2, t float64) []point2 {
	var best []point2
	most := 0.0
	for _, l := range simpleLoops(loop) {
		if a := signedArea(l); a > most && keepsOff(l, from, math.Abs(t)) {
			best, most = l, a
		}
	}
	return best
}

// keepsOff reports whether the middles of a loop's sides are as far from a figure as they should.
func keepsOff(loop, from []point2, t float64) bool {
	const near = 1e-3
	wrong := 0
	for i := range loop {
		a, b := loop[i], loop[(i+1)%len(loop)]
		mid := point2{(a.x + b.x) / 2, (a.y + b.y) / 2}
		if distance(mid, from) < t*(1-near)-1e-7 {
			wrong++
		}
	}
	return wrong*20 <= len(loop) // some short sides at a cut corner may lie nearer
}

// distance returns how far a point lies from the sides of a polygon.
func distance(q point2, points []point2) float64 {
	best := math.Inf(1) // squared: the root of every side would take most of the time of an inset
	for i := range points {
		a, b := points[i], points[(i+1)%len(points)]
		d := b.sub(a)
		k := min(1, max(0, q.sub(a).dot(d)/d.dot(d)))
		to := q.sub(a.along(d, k))
		best = min(best, to.dot(to))
	}
	return math.Sqrt(best)
}

// crossing is where two sides of a loop cross, with how far along each.
type crossing struct {
	i, j   int
	at     point2
	ti, tj float64
}

// crossings returns where the sides of a closed polygon cross, neighbours left out.
func crossings(points []point2) []crossing {
	n := len(points)
	order := make([]int, n) // by their left ends
	left := func(i int) float64 { return min(points[i].x, points[(i+1)%n].x) }
	for i := range order {
		order[i] = i
	}
	slices.SortFunc(order, func(a, b int) int {
		switch la, lb := left(a), left(b); {
		case la < lb:
			return -1
		case la > lb:
			return 1
		}
		return a - b
	})
	var out []crossing
	for k, i := range order {
		a, b := points[i], points[(i+1)%n]
		right := max(a.x, b.x)
		for _, j := range order[k+1:] {
			if left(j) > right {
				break
			}
			if (i+1)%n == j || (j+1)%n == i {
				continue
			}
			c, d := points[j], points[(j+1)%n]
			u, v := b.sub(a), d.sub(c)
			cross := u.cross(v)
			if cross == 0 {
				continue
			}
			w := c.sub(a)
			s, t := w.cross(v)/cross, w.cross(u)/cross
			if s >= 0 && s <= 1 && t >= 0 && t <= 1 {
				out = append(out, crossing{i, j, a.along(u, s), s, t})
			}
		}
	}
	return out
}

// selfCrossing reports two sides of a polygon that cross or touch, or turn back on each other.
func selfCrossing(points []point2) (i, j int, crosses bool) {
	n := len(points)
	for i := range points {
		d, e := points[(i+1)%n].sub(points[i]), points[(i+2)%n].sub(points[(i+1)%n])
		if d.dot(e) < 0 && math.Abs(d.cross(e)) < 1e-12*d.length()*e.length() {
			return i, (i + 1) % n, true
		}
	}
	if found := crossings(points); len(found) > 0 {
		return found[0].i, found[0].j, true
	}
	return 0, 0, false
}

// simpleLoops takes a closed polygon apart where it crosses itself.
func simpleLoops(points []point2) [][]point2 {
	found := crossings(points)
	if len(found) == 0 {
		return [][]point2{points}
	}
	type stop struct {
		t    float64
		node int
	}
	stops := make([][]stop, len(points))
	for k, c := range found {
		stops[c.i] = append(stops[c.i], stop{c.ti, k})
		stops[c.j] = append(stops[c.j], stop{c.tj, k})
	}
	type visit struct {
		at   point2
		node int // of a crossing, −1 for a corner
	}
	var loops [][]point2
	var stack []visit
	open := make([]int, len(found)) // position in the stack, plus one
	take := func(from int) {
		var loop []point2
		for _, v := range stack[from:] {
			loop = append(loop, v.at)
			if v.node >= 0 {
				open[v.node] = 0
			}
		}
		stack = stack[:from]
		if loop = distinct(loop); len(loop) >= 3 {
			loops = append(loops, loop)
		}
	}
	for i := range points {
		stack = append(stack, visit{points[i], -1})
		slices.SortFunc(stops[i], func(a, b stop) int {
			if a.t < b.t {
				return -1
			}
			return 1
		})
		for _, s := range stops[i] {
			if from := open[s.node]; from > 0 {
				take(from - 1)
			}
			stack = append(stack, visit{found[s.node].at, s.node})
			open[s.node] = len(stack)
		}
	}
	take(0)
	return loops
}

// clearance returns the least gap between a figure and one inside it, negative by how far inner
// pokes out at the worst place.
func clearance(outer, inner *path) float64 {
	gap := math.Inf(1)
	if outer.convex {
		for i := range outer.points {
			l := edge(outer.points, i, 0)
			for _, q := range inner.points {
				gap = min(gap, l.d.cross(q.sub(l.p)))
			}
		}
		return gap
	}
	for _, q := range inner.points {
		d := distance(q, outer.points)
		if !outer.contains(q) {
			d = -d
		}
		gap = min(gap, d)
	}
	for i, q := range outer.points { // corners that point inwards come nearest
		if outer.turn(i) < 0 {
			d := distance(q, inner.points)
			if inner.contains(q) {
				d = -d
			}
			gap = min(gap, d)
		}
	}
	return gap
}
