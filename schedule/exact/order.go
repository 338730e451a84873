package exact

// A variable is cut into so many buckets, at most, of statements x >= k that can gain weight. A
// wider domain puts neighbouring values into one bucket, which remembers the last of them. All
// activities share allBuckets where they can.
const (
	mostBuckets  = 1 << 11
	leastBuckets = 1 << 4
	allBuckets   = 1 << 20
)

// order picks the statement to branch on: the one that took part in recent conflicts most. A
// statement gets a place only when it first takes part in one.
type order struct {
	base   []int32 // by variable: its first atom, or -1
	origin []int32 // by variable: least value
	shift  []uint8 // by variable: width of a bucket, as a power of two
	span   []int32 // by variable: number of buckets
	atoms  []atom
	heap   []int32
	step   float64
	taken  []taken
}

// atom is the statement x >= key.
type atom struct {
	weight float64
	x, key int32
	place  int32 // in the heap, or -1
}

// taken is an atom that left the heap because it was decided at a level.
type taken struct{ atom, depth int32 }

// grow makes room for a variable of a problem with so many activities.
func (o *order) grow(low, high int32, activities int) {
	shift := uint8(0)
	most := int32(min(max(allBuckets/(activities+1), leastBuckets), mostBuckets))
	for (high-low)>>shift >= most {
		shift++
	}
	o.base = append(o.base, -1)
	o.origin = append(o.origin, low)
	o.shift = append(o.shift, shift)
	o.span = append(o.span, (high-low)>>shift+1)
}

// bump gives weight to a statement or its negation.
func (o *order) bump(l lit) {
	x, k := l.col>>1, l.val
	if l.col&1 == 1 {
		k = 1 - l.val
	}
	if o.base[x] < 0 {
		o.base[x] = int32(len(o.atoms))
		for range o.span[x] {
			o.atoms = append(o.atoms, atom{x: x, place: -1})
		}
	}
	id := o.base[x] + min(max(k-o.origin[x], 0)>>o.shift[x], o.span[x]-1)
	a := &o.atoms[id]
	a.key = k
	a.weight += o.step
	if a.weight > 1e100 {
		for i := range o.atoms {
			o.atoms[i].weight *= 1e-100
		}
		o.step *= 1e-100
	}
	if a.place < 0 {
		o.insert(id)
	} else {
		o.up(a.place)
	}
}

const weightDecay = 0.95

func (o *order) decay() { o.step /= weightDecay }

// next returns the heaviest atom that is undecided in e, or nil.
func (o *order) next(e *engine) *atom {
	for len(o.heap) > 0 {
		id := o.heap[0]
		a := &o.atoms[id]
		undecided := e.bound[2*a.x] < a.key && a.key <= -e.bound[2*a.x+1]
		o.remove()
		o.taken = append(o.taken, taken{id, e.depth()})
		if undecided {
			return a
		}
	}
	return nil
}

// restore puts back the atoms that were taken above depth.
func (o *order) restore(depth int32) {
	for k := len(o.taken) - 1; k >= 0 && o.taken[k].depth >= depth; k-- {
		if id := o.taken[k].atom; o.atoms[id].place < 0 {
			o.insert(id)
		}
		o.taken = o.taken[:k]
	}
}

func (o *order) insert(id int32) {
	o.heap = append(o.heap, id)
	o.up(int32(len(o.heap) - 1))
}

func (o *order) remove() {
	last := len(o.heap) - 1
	o.atoms[o.heap[0]].place = -1
	o.heap[0] = o.heap[last]
	o.heap = o.heap[:last]
	if last > 0 {
		o.down(0)
	}
}

func (o *order) up(p int32) {
	id := o.heap[p]
	w := o.atoms[id].weight
	for p > 0 {
		q := (p - 1) / 2
		if o.atoms[o.heap[q]].weight >= w {
			break
		}
		o.heap[p] = o.heap[q]
		o.atoms[o.heap[p]].place = p
		p = q
	}
	o.heap[p] = id
	o.atoms[id].place = p
}

func (o *order) down(p int32) {
	id := o.heap[p]
	w := o.atoms[id].weight
	n := int32(len(o.heap))
	for {
		q := 2*p + 1
		if q >= n {
			break
		}
		if q+1 < n && o.atoms[o.heap[q+1]].weight > o.atoms[o.heap[q]].weight {
			q++
		}
		if o.atoms[o.heap[q]].weight <= w {
			break
		}
		o.heap[p] = o.heap[q]
		o.atoms[o.heap[p]].place = p
		p = q
	}
	o.heap[p] = id
	o.atoms[id].place = p
}
