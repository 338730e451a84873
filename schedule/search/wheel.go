package search

import (
	"context"
	"slices"

	"chablon/schedule/project"
)

// wheel is the search for problems with maximum lags or bounds: it turns between passes over
// the whole and, while there is no plan, over components alone. With modes it holds one choice
// of them for some time and then takes another.
type wheel struct {
	ctx         context.Context // ends the exact searches of components
	f, mirrored *frame
	rng         *random
	stop        func() bool
	m           *modes
	mode        []int32
	s           *squeaky
	b           *blocks
	best        project.Plan
	work        int // of searches that were given up
	turns       int // tries with the present modes
	hopeless    bool
}

func newWheel(ctx context.Context, f *frame, rng *random) *wheel {
	w := &wheel{ctx: ctx, f: f, mirrored: newFrame(mirror(f.p)), rng: rng, stop: stopper(ctx), m: newModes(f)}
	mode, ok := w.m.shortest(rng)
	w.hopeless = w.m.short
	w.mode = mode
	if ok && !w.m.short {
		w.begin()
	}
	return w
}

// begin starts a search with the present modes.
func (w *wheel) begin() {
	w.s = newSqueaky(w.f, w.mirrored, w.mode, w.rng, w.stop)
	w.b = newBlocks(w.ctx, w.f, w.mode, w.rng)
	w.turns = 0
	if w.best.Start != nil {
		w.s.limit(w.best.Makespan)
	}
}

func (w *wheel) try() bool {
	if w.s == nil {
		w.s = nil
		if w.another(); w.s == nil {
			return false
		}
	}
	w.turns++
	better := false
	switch {
	case w.s.dead:
	case w.s.best > w.s.horizon && w.b != nil && w.turns > 400/w.f.n && w.turns%(8+w.f.n/20) != 0:
		// The larger the problem, the dearer is a pass over the whole that fails.
		if w.b.try() {
			start, last := w.b.compose(w.s.ahead, w.s.ahead.ls0)
			if last >= 0 && w.s.valid(start) {
				better = w.s.found(start, last)
			}
			w.b = nil // its work is done, or the bounds are in its way
		}
	default:
		better = w.s.try()
	}
	if better {
		w.best = project.Plan{Start: slices.Clone(w.s.plan), Mode: slices.Clone(w.mode), Makespan: w.s.best}
	}
	if w.f.choice && (w.s.dead || w.s.idle > 4 || (w.s.best > w.s.horizon && w.turns > 30)) {
		w.another()
	}
	return better
}

// another takes a new choice of modes near that of the best plan, or near the shortest.
func (w *wheel) another() {
	if w.s != nil {
		w.work += w.s.spent()
		w.s = nil
	}
	if w.best.Start != nil {
		copy(w.mode, w.best.Mode)
	}
	for range 1 + w.rng.below(max(1, min(4, w.f.n))) {
		i := w.rng.below(w.f.n)
		if list := w.m.usable[i]; len(list) > 0 {
			w.mode[i] = list[w.rng.below(len(list))]
		}
	}
	w.work++
	if w.m.repair(w.mode, w.rng) {
		w.begin()
	}
}

func (w *wheel) result() project.Plan { return clone(w.best) }

func (w *wheel) spent() int {
	if w.s == nil {
		return w.work
	}
	return w.work + w.s.spent()
}

func (s *squeaky) spent() int { return s.ahead.work + s.back.work }

func (w *wheel) offer(plan project.Plan) {
	w.best = clone(plan)
	copy(w.mode, plan.Mode)
	if w.f.choice || w.s == nil {
		if w.s != nil {
			w.work += w.s.spent()
		}
		w.begin()
	}
	w.s.found(plan.Start, plan.Makespan)
}

// limit asks for plans shorter than a makespan reached with other modes.
func (s *squeaky) limit(last int32) { s.dead = !s.prepare(last - 1) }

// over is true when the arcs refuse a shorter plan and there is no choice of modes, or when
// an activity has no mode that fits.
func (w *wheel) over() bool {
	if w.hopeless {
		return true
	}
	if w.f.choice || w.s == nil {
		return false
	}
	if w.s.dead {
		return true
	}
	if w.b != nil && w.s.best > w.s.horizon {
		for _, k := range w.b.list {
			if k.alone != nil && k.start == nil && k.alone.dead {
				return true
			}
		}
	}
	return false
}
