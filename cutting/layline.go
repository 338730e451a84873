package cutting

// inLine lays pieces of which only one row fits a sheet: strips from lengths, a problem of one
// dimension, for which there are better methods. It returns nil where that is not so.
func (y *layer) inLine() []laid {
	p := y.packing(func(Piece) bool { return true })
	for _, turned := range [2]bool{false, true} {
		w, h := p.w, p.h
		if turned {
			w, h = h, w
		}
		l := &lengths{capacity: w}
		one := true
		for _, k := range p.kinds {
			kw, kh := k.w, k.h
			if turned {
				kw, kh = kh, kw
			}
			// Turning would be possible, or two would fit above each other.
			if (p.turn && kh <= w && kw <= h && kw != kh) || 2*kh <= h {
				one = false
			}
			l.sizes, l.counts = append(l.sizes, kw), append(l.counts, k.count)
		}
		if !one {
			continue
		}
		l.reduce()
		bars, least, stopped := l.solve(y.ctx, y.o.Work, y.rng)
		y.least, y.stopped = max(y.least, least), y.stopped || stopped
		var out []laid
		for _, b := range bars {
			pat := pattern{sheets: b.times}
			x := 0
			for k, n := range b.take {
				q := p.kinds[k]
				for range n {
					if turned {
						pat.spots = append(pat.spots, spot{k, 0, x, q.w, q.h})
						x += q.h
					} else {
						pat.spots = append(pat.spots, spot{k, x, 0, q.w, q.h})
						x += q.w
					}
				}
			}
			out = append(out, y.cutsOf(p, pat))
		}
		return out
	}
	return nil
}

// reduce divides by what all sizes have in common: whole millimetres, as a rule.
func (p *lengths) reduce() {
	common := 0
	for _, s := range p.sizes {
		for a := s; a > 0; {
			common, a = a, common%a
		}
	}
	if common > 0 {
		p.capacity /= common
		for k := range p.sizes {
			p.sizes[k] /= common
		}
	}
}
