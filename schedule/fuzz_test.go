package schedule

import (
	"context"
	"testing"
	"time"
)

// FuzzModel drives the builder with whatever values come, most of them absurd, and asks for a
// plan: an error, a proof or a plan that Check accepts, and no panic.
func FuzzModel(f *testing.F) {
	f.Add([]byte{10, 1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 11, 12, 13, 14, 15, 16, 17, 18, 19, 20})
	f.Add([]byte{200, 255, 254, 253, 0, 0, 0, 1, 1, 1, 90, 91, 92, 93, 128, 127, 129, 3, 3, 3, 3, 3, 3})
	f.Fuzz(func(t *testing.T, data []byte) {
		if len(data) > 200 {
			return
		}
		at := 0
		next := func() int {
			if at >= len(data) {
				return 0
			}
			at++
			switch b := int(int8(data[at-1])); {
			case b == 127:
				return 1 << 62
			case b == -128:
				return -1 << 62
			case b == 126:
				return MaxTick
			case b == -127:
				return -MaxTick
			default:
				return b
			}
		}
		m := NewModel(next())
		m.Resource("r", next())
		m.Resource("s", next())
		m.Hours("h", []Span{{next(), next(), 0}, {next(), next(), 0}})
		m.Budget("b", next())
		for at < len(data) {
			switch next() & 7 {
			case 0, 1:
				m.Activity("a", Mode{
					Duration: next(), Pauses: HoursID(next()), Consumes: []Consumption{{0, next()}},
					Demands: []Demand{{Resource: ResourceID(next()), Amount: next(), Band: Between(next(), next()), Door: Door(next())}, {Resource: 1, Amount: next(), Family: "x"}},
				}, Mode{Duration: next()})
			case 2:
				m.AtLeast(Point{ActivityID(next()), next()&1 > 0}, Point{ActivityID(next()), next()&1 > 0}, next(), "l")
			case 3:
				m.AtMostOpen(HoursID(next()), Point{ActivityID(next()), next()&1 > 0}, Point{ActivityID(next()), next()&1 > 0}, next(), "l")
			case 4:
				m.Due(ActivityID(next()), next())
				m.Release(ActivityID(next()), next())
			case 5:
				m.Running(ActivityID(next()), next(), next())
				m.Calendar(ResourceID(next()), []Span{{next(), next(), next()}})
			case 6:
				m.SetUp(1, "x", "x", next())
				m.Ramp(0, next(), next())
			case 7:
				m.Minimise(Delays("d", Delay{Start(ActivityID(next())), End(ActivityID(next())), next(), next()}), Presence("p", Use{0, 1, next()}))
			}
		}
		if m.Err() != nil {
			if _, err := Solve(t.Context(), m, Options{}); err == nil {
				t.Fatal("a refused model was solved")
			}
			return
		}
		ctx, cancel := context.WithTimeout(t.Context(), time.Second)
		defer cancel()
		res, err := Solve(ctx, m, Options{Work: 100})
		if err != nil {
			t.Fatal(err)
		}
		if res.Starts == nil {
			return
		}
		o, err := NewOrder(m, res.Plan)
		if err != nil {
			t.Fatal(err)
		}
		o.Slack()
	})
}
