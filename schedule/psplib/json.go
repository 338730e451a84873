package psplib

import (
	"encoding/json"
	"fmt"
	"io"

	"chablon/schedule/project"
)

// ReadJSON reads a project.Problem written by WriteJSON, with the names of its fields. It has no
// dummies, and all that the other formats lack: bounds, arcs between any ends, capacities over
// time, calendars, machines and goals.
func ReadJSON(r io.Reader) (*Instance, error) {
	in := &Instance{}
	d := json.NewDecoder(r)
	d.DisallowUnknownFields()
	if err := d.Decode(&in.Problem); err != nil {
		return nil, fmt.Errorf("not a problem in JSON: %w", err)
	}
	for k, c := range in.Problem.Calendars {
		in.Problem.Calendars[k] = project.NewCalendar(c.Open...)
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

// valid adds bounds of size to the rules of package project.
func valid(p *project.Problem) error {
	if len(p.Activities) > 10*maxJobs || len(p.Renewable) > maxResources || len(p.Budget) > maxResources {
		return fmt.Errorf("%d activities, %d renewables, %d budgets; at most %d, %d and %d are expected",
			len(p.Activities), len(p.Renewable), len(p.Budget), 10*maxJobs, maxResources, maxResources)
	}
	return p.Validate()
}
