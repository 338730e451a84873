package seek

import (
	"errors"
	"fmt"
	"slices"

	"chablon/assembly"
	"chablon/mould"
	"chablon/unit"
)

// Owned is a mould and how many of it there are; zero means as many as wanted.
type Owned struct {
	Mould *mould.Mould
	Count int
}

// Served is one way to serve the guests.
type Served struct {
	Moulds   []Filled // largest first
	Portions int
	Spare    int       // portions beyond the guests
	Mass     unit.Mass // of all pieces
}

// Filled is so many pieces of one mould.
type Filled struct {
	Mould    *mould.Mould
	Pieces   int
	Portions int // of one piece
	Each     unit.Mass
}

// Bounds of the question. Each mould is counted a guest at a time, so the product bounds the work.
const (
	mostGuests = 20000
	mostMoulds = 64
)

// Serve returns the ways to serve so many guests from the moulds there are: the one with the
// fewest portions left over, then the one with the fewest pieces, then the one with one size of
// mould only. Pieces of an inserted tray are counted in cavities. Portions follow the assembly's
// rule in each mould. Where the moulds do not suffice the error says how many guests they serve.
func Serve(a *assembly.Assembly, guests int, moulds []Owned, how assembly.Scaling, all []*mould.Mould) ([]Served, error) {
	switch {
	case guests < 1 || guests > mostGuests:
		return nil, fmt.Errorf("there are %d guests: give 1 to %d", guests, mostGuests)
	case len(moulds) == 0:
		return nil, errors.New("no mould is named: name at least one")
	case len(moulds) > mostMoulds:
		return nil, fmt.Errorf("%d moulds are named: name at most %d", len(moulds), mostMoulds)
	}
	var sizes []size
	for _, o := range moulds {
		s := a.Refit(o.Mould, how, all).Assembly.Lay(o.Mould)
		p, err := s.Portion()
		if err != nil {
			return nil, fmt.Errorf("in %s: %w", o.Mould.Name, err)
		}
		count := o.Count * max(1, o.Mould.Cavities)
		if o.Count == 0 {
			count = (guests + p.Count - 1) / p.Count
		}
		sizes = append(sizes, size{Filled{Mould: o.Mould, Portions: p.Count, Each: s.Mass()}, count})
	}
	slices.SortStableFunc(sizes, func(x, y size) int { return y.Portions - x.Portions })
	return cover(guests, sizes)
}

type size struct {
	Filled
	count int
}

// cover finds the fewest pieces that give exactly n portions, for every n up to the guests and
// one piece more, by dynamic programming over the sizes; the least n that reaches the guests has
// the least left over.
func cover(guests int, sizes []size) ([]Served, error) {
	limit := guests + sizes[0].Portions - 1
	const never = 1 << 30
	least := make([]int, limit+1) // pieces that give exactly so many portions
	for n := range least {
		least[n] = never
	}
	least[0] = 0
	used := make([][]int, len(sizes))
	for k, s := range sizes {
		used[k] = make([]int, limit+1)
		next := slices.Clone(least)
		for n := range next {
			for c := 1; c <= s.count && c*s.Portions <= n; c++ {
				if before := least[n-c*s.Portions]; before < never && before+c < next[n] {
					next[n], used[k][n] = before+c, c
				}
			}
		}
		least = next
	}
	var out []Served
	for n := guests; n <= limit; n++ {
		if least[n] < never {
			out = append(out, written(guests, n, sizes, used))
			break
		}
	}
	if len(out) == 0 {
		most := 0
		for _, s := range sizes {
			most += s.count * s.Portions
		}
		return nil, fmt.Errorf("the moulds serve %d of %d guests: find moulds for %d more, or make the portions smaller by a share of %s", most, guests, guests-most, unit.Number(100*(1-float64(most)/float64(guests)), 0)+" %")
	}
	for _, s := range sizes { // one size alone, often less work than the best mixture
		if c := (guests + s.Portions - 1) / s.Portions; c <= s.count {
			one := Served{Moulds: []Filled{s.Filled}, Portions: c * s.Portions, Spare: c*s.Portions - guests, Mass: s.Each * unit.Mass(c)}
			one.Moulds[0].Pieces = c
			if !slices.ContainsFunc(out, func(o Served) bool { return len(o.Moulds) == 1 && o.Moulds[0].Mould == s.Mould }) {
				out = append(out, one)
			}
		}
	}
	slices.SortStableFunc(out[1:], func(x, y Served) int { return x.Spare - y.Spare })
	return out, nil
}

// written follows the choices back from n portions.
func written(guests, n int, sizes []size, used [][]int) Served {
	out := Served{Portions: n, Spare: n - guests}
	for k := len(sizes) - 1; k >= 0; k-- {
		c := used[k][n]
		if c == 0 {
			continue
		}
		f := sizes[k].Filled
		f.Pieces = c
		out.Moulds = append(out.Moulds, f)
		out.Mass += f.Each * unit.Mass(c)
		n -= c * f.Portions
	}
	slices.Reverse(out.Moulds)
	return out
}
