package schedule

import (
	"context"
	"fmt"

	"chablon/schedule/search"
)

// Repair returns a plan of m near to an old plan that no longer keeps it: something began late
// (Release or Fix say when), takes longer (its Mode does), or broke down (a Calendar says until
// when). What started before now stays, unless its release says that it did not start; of the
// rest as much as can be keeps its start, and the modes stay. moved names the activities that
// start at another time than before. It is false if no such plan was found, which is no proof
// that there is none: Solve may find one.
func Repair(ctx context.Context, m *Model, old Plan, now int) (plan Plan, moved []ActivityID, ok bool, err error) {
	if err := m.Err(); err != nil {
		return Plan{}, nil, false, fmt.Errorf("schedule: %w", err)
	}
	if len(old.Starts) != len(m.activities) || len(old.Modes) != len(m.activities) {
		return Plan{}, nil, false, fmt.Errorf("schedule: the old plan has %d starts and %d modes for %d activities", len(old.Starts), len(old.Modes), len(m.activities))
	}
	for i, a := range m.activities {
		if old.Modes[i] < 0 || old.Modes[i] >= len(a.modes) || old.Starts[i] < 0 || old.Starts[i] > m.horizon {
			return Plan{}, nil, false, fmt.Errorf("schedule: the old plan has %q at %d in mode %d: give a start from 0 to %d and a mode below %d", a.name, old.Starts[i], old.Modes[i], m.horizon, len(a.modes))
		}
	}
	c := compile(m)
	found, ok := search.Repair(ctx, c.p, c.back(old), int32(min(max(now, 0), m.horizon)))
	if !ok {
		return Plan{}, nil, false, nil
	}
	plan = c.plan(found)
	if broken := Check(m, plan.Starts, plan.Modes); len(broken) > 0 {
		return Plan{}, nil, false, fmt.Errorf("schedule: the repair breaks the model: %s", broken[0].Text)
	}
	for i, t := range plan.Starts {
		if t != old.Starts[i] {
			moved = append(moved, ActivityID(i))
		}
	}
	return plan, moved, true, nil
}
