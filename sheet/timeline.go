package sheet

import (
	"fmt"
	"strings"
	"time"

	"chablon/plan"
)

// timeline makes a section for each day.
func (s *Sheet) timeline() {
	if s.day.Status != plan.Planned {
		return
	}
	served := s.served()
	date := ""
	for i := range s.day.Timeline {
		e := &s.day.Timeline[i]
		if e.Piece >= 0 && !s.prints(e.Order) || e.Piece < 0 && !served[e.Component] {
			continue
		}
		if d := e.Start.In(s.zone).Format("Monday 2 January"); d != date {
			date = d
			s.sections = append(s.sections, section{
				id: "timeline-" + e.Start.In(s.zone).Format(time.DateOnly), level: 1, title: "Timeline, " + d, note: "start and end of the work",
				blocks: []block{table{name: "Timeline of " + d, small: true, cols: []column{
					{"when", 0.155, false}, {"step", 0.155, false}, {"of", 0.27, false}, {"who", 0.15, false}, {"then wait", 0.27, false},
				}}},
			})
		}
		last := &s.sections[len(s.sections)-1]
		t := last.blocks[0].(table)
		t.rows = append(t.rows, s.timelineRow(e))
		last.blocks[0] = t
	}
}

func (s *Sheet) timelineRow(e *plan.Entry) row {
	at := func(t time.Time) string { return t.In(s.zone).Format("15:04") }
	of := nameOr(e.Name, e.Component)
	switch {
	case e.Batch > 1 || e.Batch == 1 && s.batches(e.Component) > 1:
		of += fmt.Sprintf(", batch %d", e.Batch)
	case e.Mould != "":
		of += ", " + e.Mould
	}
	wait := ""
	if e.End.After(e.HandsOff) {
		end := at(e.End)
		if e.End.In(s.zone).YearDay() != e.Start.In(s.zone).YearDay() {
			end = s.clock(e.End)
		}
		wait = "until " + end
		if e.Wait != nil {
			wait += ": " + predicted(e.Wait)
		}
	}
	return row{cells: []cell{
		strong(at(e.Start) + "–" + at(e.HandsOff)), words(upperFirst(strings.ReplaceAll(e.Step.ID, "-", " "))), words(of),
		words(strings.Join(e.People, ", ")), words(wait),
	}}
}

func (s *Sheet) batches(id string) int {
	for i := range s.day.Batches {
		if s.day.Batches[i].Formula.ID == id {
			return s.day.Batches[i].Count
		}
	}
	return 0
}
