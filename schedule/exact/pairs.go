package exact

// maxOrders bounds the pairs of activities that get a variable for their order because of a
// resource, and those because of machines. Beyond it the timetable alone keeps the first apart,
// and the second get theirs when a plan breaks their rule.
const maxOrders = 60_000

// either says that one of two links holds.
type either struct{ first, second link }

// pairOrder is the variable of a choice of which exactly one can hold: 1 for the first.
type pairOrder struct {
	x int32
	either
}

// pairChoice has one variable for each side of a choice that is asked for under a condition: 1
// only if that side holds.
type pairChoice struct {
	first, second int32
	either
}

// pair is two activities, the lesser first.
type pair struct{ i, j int32 }

// apart says that one of i and j ends before the other starts, with gaps.
func (e *engine) apart(i, j, after, before int32) either {
	a, b := &e.acts[i], &e.acts[j]
	return either{link{a.end, b.start, after}, link{b.end, a.start, before}}
}

// certain reports whether a link holds whatever becomes of the bounds.
func (e *engine) certain(l link) bool {
	return e.lower(l.to.x)+l.to.off >= e.upper(l.from.x)+l.from.off+l.lag
}

// addOrders gives a variable to each choice between two orders: of activities that can never
// run at the same time, and of what stands on machines. It returns false if some have none.
func (e *engine) addOrders() bool {
	done := map[pair]bool{}
	open, ok := e.addMachines(done)
	if !ok {
		return false
	}
	if len(open) > 0 && len(e.phase) <= closureLimit {
		if open, ok = e.settleOrders(open); !ok {
			return false
		}
	}
	for _, c := range open {
		x := e.newVar(0, 1)
		e.orders = append(e.orders, pairOrder{x, c})
		e.addArc(c.first.from, c.first.to, c.first.lag, atLeast(x, 1))
		e.addArc(c.second.from, c.second.to, c.second.lag, atMost(x, 0))
		if e.works(20) {
			return false
		}
	}
	return e.first()
}

// addChoice poses a choice under a condition: both statements.
func (e *engine) addChoice(c either, a, b lit) bool {
	x, y := e.newVar(0, 1), e.newVar(0, 1)
	e.choices = append(e.choices, pairChoice{x, y, c})
	e.addArc(c.first.from, c.first.to, c.first.lag, atLeast(x, 1))
	e.addArc(c.second.from, c.second.to, c.second.lag, atLeast(y, 1))
	return e.addClause(a.not(), b.not(), atLeast(x, 1), atLeast(y, 1))
}
