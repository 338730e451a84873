package exact

// Arcs that hold only while their guards do can form a cycle of positive length. Every turn
// raises its bounds by that length, which may be one tick on the way to a far horizon, so a
// bound that arcs raise again and again within a level is a reason to look for the cycle itself.

const (
	cycleRaises = 8   // look after so many raises, and at each doubling
	cycleLength = 200 // give up on longer cycles
)

// pass raises a bound along an arc.
func (e *engine) pass(l lit, why reason) bool {
	if !e.set(l, why) {
		return false
	}
	k := int32(len(e.trail) - 1)
	t := &e.trail[k]
	if t.prev < 0 || e.trail[t.prev].level != t.level {
		return true
	}
	t.raises = e.trail[t.prev].raises + 1
	if t.raises < cycleRaises || t.raises&(t.raises-1) != 0 {
		return true
	}
	return !e.circular(k)
}

// circular reports whether arcs alone lead from the column of entry k to that entry. Their
// guards are then the conflict, whatever the bounds are.
func (e *engine) circular(k int32) bool {
	col := e.trail[k].col
	e.cycle = e.cycle[:0]
	for range cycleLength {
		why := e.trail[k].reason
		from := int32(-1)
		switch why & kindMask {
		case byArc:
			from = int32(why >> 32 & 0xffffff)
		case byGuardedArc:
			a := &e.guarded[why&^kindMask]
			if a.bend != 0 {
				return false // what it adds depends on where
			}
			from = a.from
			e.cycle = append(e.cycle, a.guard)
		default:
			return false
		}
		if from == col {
			e.clash = clash{nowhere, byCycle}
			return true
		}
		next := e.last[from]
		for next >= k {
			next = e.trail[next].prev
		}
		if next < 0 {
			return false
		}
		k = next
	}
	return false
}
