package psplib

import (
	"encoding/json"
	"fmt"
	"io"

	"chablon/schedule/project"
)

// ReadJSON reads a project.Problem written by WriteJSON, with the names of its fields. It has no
// dummies, and all that the other formats lack: bounds, arcs between any ends, modes and
// capacities over time.
func ReadJSON(r io.Reader) (*Instance, error) {
	in := &Instance{}
	d := json.NewDecoder(r)
	d.DisallowUnknownFields()
	if err := d.Decode(&in.Problem); err != nil {
		return nil, fmt.Errorf("not a problem in JSON: %w", err)
	}
	if err := valid(&in.Problem); err != nil {
		return nil, err
	}
	for i := range in.Problem.Activities {
		in.Job = append(in.Job, i)
	}
	return in, nil
}

// WriteJSON writes what ReadJSON reads.
func WriteJSON(w io.Writer, p *project.Problem) error { return json.NewEncoder(w).Encode(p) }

func valid(p *project.Problem) error {
	if p.Horizon < 0 || p.Horizon > maxHorizon {
		return fmt.Errorf("Horizon is %d; from 0 to %d is expected", p.Horizon, maxHorizon)
	}
	if len(p.Activities) > 10*maxJobs || len(p.Renewable) > maxResources || len(p.Budget) > maxResources {
		return fmt.Errorf("%d activities, %d renewables, %d budgets; at most %d, %d and %d are expected",
			len(p.Activities), len(p.Renewable), len(p.Budget), 10*maxJobs, maxResources, maxResources)
	}
	for i, a := range p.Activities {
		if a.Earliest < 0 || a.Latest < a.Earliest || a.Latest > p.Horizon {
			return fmt.Errorf("Activities[%d]: Earliest %d and Latest %d; 0 <= Earliest <= Latest <= Horizon is expected", i, a.Earliest, a.Latest)
		}
		if len(a.Modes) == 0 {
			return fmt.Errorf("Activities[%d] has no mode; one at least is expected", i)
		}
		for k, m := range a.Modes {
			if err := validMode(p, m); err != nil {
				return fmt.Errorf("Activities[%d].Modes[%d]: %w", i, k, err)
			}
		}
	}
	for k, a := range p.Arcs {
		n := int32(len(p.Activities))
		if a.From < 0 || a.From >= n || a.To < 0 || a.To >= n || a.Lag < -maxHorizon || a.Lag > maxHorizon {
			return fmt.Errorf("Arcs[%d]: from %d to %d with lag %d; activities below %d and a lag within %d are expected", k, a.From, a.To, a.Lag, n, maxHorizon)
		}
	}
	for r, res := range p.Renewable {
		if err := validCapacity(res); err != nil {
			return fmt.Errorf("Renewable[%d]: %w", r, err)
		}
	}
	for r, b := range p.Budget {
		if b < 0 {
			return fmt.Errorf("Budget[%d] is %d; 0 or more is expected", r, b)
		}
	}
	return nil
}

func validMode(p *project.Problem, m project.Mode) error {
	if m.Duration < 0 || m.Duration > maxValue {
		return fmt.Errorf("Duration is %d; from 0 to %d is expected", m.Duration, maxValue)
	}
	if len(m.Demand) != len(p.Renewable) || len(m.Consume) != len(p.Budget) {
		return fmt.Errorf("%d demands and %d of Consume; %d and %d are expected", len(m.Demand), len(m.Consume), len(p.Renewable), len(p.Budget))
	}
	for _, list := range [][]int32{m.Demand, m.Consume} {
		for r, d := range list {
			if d < 0 || d > maxValue {
				return fmt.Errorf("amount %d of resource %d; from 0 to %d is expected", d, r, maxValue)
			}
		}
	}
	return nil
}

func validCapacity(res project.Renewable) error {
	most := int32(0)
	for k, s := range res.Steps {
		if (k == 0 && s.From != 0) || (k > 0 && s.From <= res.Steps[k-1].From) || s.Capacity < 0 || s.Capacity > maxValue {
			return fmt.Errorf("Steps[%d] is %d from %d on; capacities from 0 to %d, the first from 0 and each later than the one before, are expected", k, s.Capacity, s.From, maxValue)
		}
		most = max(most, s.Capacity)
	}
	if res.Capacity < 0 || res.Capacity > maxValue || (len(res.Steps) > 0 && res.Capacity != most) {
		return fmt.Errorf("Capacity is %d; from 0 to %d, and the greatest of Steps, is expected", res.Capacity, maxValue)
	}
	return nil
}
