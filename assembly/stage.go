package assembly

import (
	"math"

	"chablon/unit"
)

// resolveShares places the layers; where a stage is given as a share of its fill, its level
// depends on what is laid on it, so placing is repeated until the levels stand still.
func (p *placement) resolveShares() {
	shares := false
	for i := range p.section.Layers {
		for _, st := range p.section.Layers[i].Stages {
			shares = shares || st.Share > 0
		}
	}
	if shares {
		p.stageZ = map[[2]int]unit.Length{}
		quiet := p.quiet
		p.quiet = true
		for range 40 {
			p.place()
			if p.adjustStages() < 1e-13 { // metres: a billionth of any fill
				break
			}
		}
		p.quiet = quiet
	}
	p.place()
}

// adjustStages moves the levels of stages given as shares to where the fill's volume below them
// is that share, and returns the largest move.
func (p *placement) adjustStages() float64 {
	moved := 0.0
	for i := range p.section.Layers {
		l := &p.section.Layers[i]
		if l.Kind != Fill && !l.Flooded() || l.Z1 <= l.Z0 {
			continue
		}
		total := p.free(l.Z0, l.Z1)
		below := unit.Volume(0) // what the stages so far take
		for k, st := range l.Stages[:max(0, len(l.Stages)-1)] {
			if st.Share <= 0 {
				below = p.free(l.Z0, p.stageLevel(i, k))
				continue
			}
			below += unit.Volume(st.Share) * total
			z := p.levelFor(l.Z0, l.Z1, below)
			moved = math.Max(moved, math.Abs(float64(z-p.stageZ[[2]int{i, k}])))
			p.stageZ[[2]int{i, k}] = z
		}
	}
	return moved
}

// levelFor returns the height up to which a fill of a volume reaches from a level: the root of a
// function that never falls, kept between two bounds (the Illinois form of false position).
func (p *placement) levelFor(from, to unit.Length, v unit.Volume) unit.Length {
	lo, hi := from, to
	under, over := -v, p.free(from, to)-v
	if over <= 0 {
		return to
	}
	side := 0
	for range 100 {
		if hi-lo < 1e-14 { // metres
			break
		}
		z := lo + unit.Length(under/(under-over))*(hi-lo)
		if z <= lo || z >= hi {
			z = (lo + hi) / 2
		}
		at := p.free(from, z) - v
		switch {
		case at == 0:
			return z
		case at < 0:
			lo, under = z, at
			if side < 0 {
				over /= 2
			}
			side = -1
		default:
			hi, over = z, at
			if side > 0 {
				under /= 2
			}
			side = 1
		}
		if at < v*1e-13 && at > -v*1e-13 {
			return z
		}
	}
	return (lo + hi) / 2
}

// later reports whether a layer is laid after the one at an index.
func (p *placement) later(than int, id string) bool {
	for _, l := range p.section.Layers[than+1:] {
		if l.ID == id {
			return true
		}
	}
	return false
}

// stageLevel returns the height at which a stage of a fill ends; a fill without stages is one.
func (p *placement) stageLevel(layer, stage int) unit.Length {
	l := &p.section.Layers[layer]
	if stage >= len(l.Stages)-1 {
		return l.Z1
	}
	st := l.Stages[stage]
	switch {
	case st.Level.Given:
		return st.Level.Length
	}
	if z, ok := p.stageZ[[2]int{layer, stage}]; ok {
		return z
	}
	return l.Z0 + unit.Length(st.Share)*(l.Z1-l.Z0)
}
