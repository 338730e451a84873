package cutting

import (
	"math"
	"math/rand/v2"
	"slices"
)

// Lengths cuts pieces of given sizes from as few equal lengths as it finds and returns, for each
// length, which pieces are cut from it. A size above the length makes the answer nil. work bounds
// the tries to improve.
func Lengths(length int, sizes []int, work int, seed uint64) [][]int {
	sum := 0
	for _, s := range sizes {
		if s < 0 || s > length {
			return nil
		}
		sum += s
	}
	if length <= 0 {
		return nil
	}
	least := LengthsBound(length, sizes)
	order := make([]int, len(sizes))
	for i := range order {
		order[i] = i
	}
	slices.SortStableFunc(order, func(a, b int) int { return sizes[b] - sizes[a] })
	best := bestFit(length, sizes, order)
	c := &cutter{length: length, sizes: sizes, rng: rand.New(rand.NewPCG(seed, 17))}
	if len(best) > least {
		if m := c.bySlack(order, nil); len(m) < len(best) {
			best = m
		}
	}
	now := best
	for try := 0; try < work && len(best) > least; try++ {
		next := c.perturb(now)
		if len(next) <= len(now) {
			now = next
		}
		if len(next) < len(best) {
			best = next
		}
	}
	return best
}

// LengthsBound is a lower bound on the lengths: the sum, and the sum with large pieces counted so
// that two of them do not lie in one length. Source: Martello and Toth 1990, bound L2.
func LengthsBound(length int, sizes []int) int {
	sum := 0
	for _, s := range sizes {
		sum += s
	}
	best := (sum + length - 1) / max(1, length)
	sorted := slices.Clone(sizes)
	slices.Sort(sorted)
	for _, k := range slices.Compact(slices.Clone(sorted)) {
		if 2*k > length {
			break
		}
		over, half, room, small := 0, 0, 0, 0
		for _, s := range sorted {
			switch {
			case s > length-k:
				over++
			case 2*s > length:
				half++
				room += length - s
			case s >= k:
				small += s
			}
		}
		best = max(best, over+half+max(0, (small-room+length-1)/length))
	}
	return best
}

func bestFit(length int, sizes, order []int) [][]int {
	var bins [][]int
	var left []int
	for _, i := range order {
		best := -1
		for b, room := range left {
			if room >= sizes[i] && (best < 0 || room < left[best]) {
				best = b
			}
		}
		if best < 0 {
			bins, left = append(bins, nil), append(left, length)
			best = len(bins) - 1
		}
		bins[best] = append(bins[best], i)
		left[best] -= sizes[i]
	}
	return bins
}

type cutter struct {
	length int
	sizes  []int
	rng    *rand.Rand
	steps  int
}

// mostSteps bounds the search for the fullest length: beyond it the best found is taken.
const mostSteps = 4000

// bySlack fills one length after another as full as can be, beginning with the largest piece left.
// Source: bib:fleszar-hindi-2002, minimum bin slack with the first piece fixed.
func (c *cutter) bySlack(order []int, bins [][]int) [][]int {
	left := slices.Clone(order)
	for len(left) > 0 {
		c.steps = 0
		first := left[0]
		best, _ := c.fullest(left[1:], c.length-c.sizes[first], nil, []int{first}, math.MaxInt)
		bins = append(bins, best)
		taken := make(map[int]bool, len(best))
		for _, i := range best {
			taken[i] = true
		}
		left = slices.DeleteFunc(left, func(i int) bool { return taken[i] })
	}
	return bins
}

// fullest searches the pieces, largest first, for those that leave least of the room.
func (c *cutter) fullest(left []int, room int, best, now []int, least int) ([]int, int) {
	if room < least {
		best, least = slices.Clone(now), room
	}
	for k, i := range left {
		if least == 0 || c.steps > mostSteps {
			break
		}
		if c.sizes[i] > room || k > 0 && c.sizes[i] == c.sizes[left[k-1]] {
			continue
		}
		c.steps++
		best, least = c.fullest(left[k+1:], room-c.sizes[i], best, append(now, i), least)
	}
	return best, least
}

// perturb takes some lengths apart, the less full ones rather, and fills new ones from their pieces
// in a slightly different order.
func (c *cutter) perturb(bins [][]int) [][]int {
	slack := func(b []int) int {
		room := c.length
		for _, i := range b {
			room -= c.sizes[i]
		}
		return room
	}
	var kept [][]int
	var loose []int
	share := 0.15 + 0.5*c.rng.Float64()
	for _, b := range bins {
		p := share
		if slack(b) > 0 {
			p += 0.35
		}
		if c.rng.Float64() < p {
			loose = append(loose, b...)
		} else {
			kept = append(kept, b)
		}
	}
	key := make(map[int]float64, len(loose))
	noise := 0.2 * c.rng.Float64()
	for _, i := range loose {
		key[i] = float64(c.sizes[i]) * (1 + noise*(2*c.rng.Float64()-1))
	}
	slices.SortFunc(loose, func(a, b int) int {
		switch {
		case key[a] > key[b]:
			return -1
		case key[a] < key[b]:
			return 1
		}
		return a - b
	})
	// What is searched must run from large to small; the first piece of each length is by the
	// disturbed order.
	var out [][]int
	for len(loose) > 0 {
		first := loose[0]
		rest := slices.Clone(loose[1:])
		slices.SortStableFunc(rest, func(a, b int) int { return c.sizes[b] - c.sizes[a] })
		c.steps = 0
		best, _ := c.fullest(rest, c.length-c.sizes[first], nil, []int{first}, math.MaxInt)
		out = append(out, best)
		taken := make(map[int]bool, len(best))
		for _, i := range best {
			taken[i] = true
		}
		loose = slices.DeleteFunc(loose, func(i int) bool { return taken[i] })
	}
	return append(kept, out...)
}
