package drawing

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"
	"time"

	"chablon/plan"
)

// Rows and columns of a timeline, in units.
const (
	laneHeight  = 30.0
	barHeight   = 24.0
	mostTimeW   = 12_000 // however long the plan
	leastHourW  = 14.0
	leastTickW  = 46.0
	alone       = "by itself" // row of steps that take neither a person nor equipment
	timeLabels  = 11.5
	rightMargin = 24.0
)

// Timeline draws the steps of a plan: a row for each person and each kind of equipment, time to
// the right, active time solid and waiting hatched. A person's row has the active time only. The
// drawing is as wide as the time needs, so that a page has to let it scroll.
func Timeline(entries []plan.Entry, o Options) *Drawing {
	t := &timeline{o: o, labels: 128, zone: o.Zone}
	t.prefix, t.Title = o.IDPrefix, o.Title
	if o.Narrow {
		t.labels = 84
	}
	if t.Title == "" {
		t.Title = "Timeline"
	}
	if len(entries) == 0 {
		t.Width, t.Height, t.Desc = 360, 60, "No step is planned."
		t.add(rectangle(Style{Fill: Paper}, 0, 0, t.Width, t.Height), Text{At: Point{12, 34}, Value: t.Desc})
		return &t.Drawing
	}
	if t.zone == nil {
		t.zone = entries[0].Start.Location()
	}
	t.span(entries)
	t.fillRows(entries)
	t.add(nil)
	t.drawDue()
	t.drawHours()
	t.drawRows()
	t.Items[0] = rectangle(Style{Fill: Paper}, 0, 0, t.Width, t.Height)
	t.Desc = fmt.Sprintf("%d steps from %s to %s.", len(entries), t.clock(t.from, true), t.clock(t.to, true))
	return &t.Drawing
}

type timeline struct {
	Drawing
	o        Options
	zone     *time.Location
	from, to time.Time
	labels   float64 // width of the column of names
	hour     float64 // width of an hour
	rows     []*row
	top      float64 // of the first row
}

type row struct {
	name   string
	person bool
	lanes  int
	bars   []bar
}

type bar struct {
	*plan.Entry
	from, to time.Time // the part of the step that is in this row
	lane     int
}

// span finds the hours that are drawn and how wide they are.
func (t *timeline) span(entries []plan.Entry) {
	t.from, t.to = entries[0].Start, entries[0].End
	for i := range entries {
		e := &entries[i]
		t.from = earlier(t.from, e.Start)
		for _, end := range []time.Time{e.End, e.HandsOff} {
			t.to = later(t.to, end)
		}
	}
	for _, due := range t.o.Due {
		t.from, t.to = earlier(t.from, due.At), later(t.to, due.At)
	}
	whole := func(at time.Time) time.Time { // of the kitchen's clock, which may be off by half an hour
		at = at.In(t.zone)
		return at.Add(-time.Duration(at.Minute())*time.Minute - time.Duration(at.Second())*time.Second - time.Duration(at.Nanosecond()))
	}
	t.from, t.to = whole(t.from), whole(t.to.Add(time.Hour-1))
	if !t.to.After(t.from) {
		t.to = t.from.Add(time.Hour)
	}
	hours := t.to.Sub(t.from).Hours()
	t.hour = 40
	if !t.o.Narrow {
		t.hour = max(leastHourW*2, min(160, (1216-t.labels-rightMargin)/hours))
	}
	t.hour = min(t.hour, mostTimeW/hours)
	t.Width = t.labels + hours*t.hour + rightMargin
	if !t.o.Narrow {
		t.Width = max(t.Width, 720)
	}
}

func earlier(a, b time.Time) time.Time {
	if b.Before(a) {
		return b
	}
	return a
}

func later(a, b time.Time) time.Time {
	if b.After(a) {
		return b
	}
	return a
}

func (t *timeline) x(at time.Time) float64 { return t.labels + at.Sub(t.from).Hours()*t.hour }

// fillRows sorts entries into rows, and into lanes where a row has several at a time.
func (t *timeline) fillRows(entries []plan.Entry) {
	named := map[string]*row{}
	put := func(name string, person bool, e *plan.Entry, from, to time.Time) {
		key := fmt.Sprint(person, name)
		r := named[key]
		if r == nil {
			r = &row{name: name, person: person}
			named[key] = r
			t.rows = append(t.rows, r)
		}
		r.bars = append(r.bars, bar{Entry: e, from: from, to: to})
	}
	for i := range entries {
		e := &entries[i]
		for _, p := range slices.Compact(slices.Sorted(slices.Values(e.People))) {
			if e.HandsOff.After(e.Start) {
				put(p, true, e, e.Start, e.HandsOff)
			}
		}
		for _, q := range slices.Compact(slices.Sorted(slices.Values(e.Equipment))) {
			put(q, false, e, e.Start, e.End)
		}
		switch {
		case len(e.Equipment) > 0:
		case len(e.People) == 0:
			put(alone, false, e, e.Start, e.End)
		case e.End.After(e.HandsOff):
			put(alone, false, e, e.HandsOff, e.End)
		}
	}
	slices.SortStableFunc(t.rows, func(a, b *row) int { // people, equipment, what goes by itself
		rank := func(r *row) int { return btoi(!r.person) + btoi(r.name == alone && !r.person) }
		return cmp.Or(cmp.Compare(rank(a), rank(b)), strings.Compare(a.name, b.name))
	})
	for _, r := range t.rows {
		slices.SortStableFunc(r.bars, func(a, b bar) int { return a.from.Compare(b.from) })
		var free []time.Time // of each lane
		for i := range r.bars {
			b := &r.bars[i]
			b.lane = slices.IndexFunc(free, func(at time.Time) bool { return !at.After(b.from) })
			if b.lane < 0 {
				b.lane = len(free)
				free = append(free, time.Time{})
			}
			free[b.lane] = b.to
		}
		r.lanes = len(free)
	}
}

// drawDue draws when something has to be ready, in lanes where names would meet.
func (t *timeline) drawDue() {
	due := slices.Clone(t.o.Due)
	slices.SortStableFunc(due, func(a, b Due) int { return a.At.Compare(b.At) })
	const rowHeight = 18
	var free []float64
	for _, m := range due {
		x, label := t.x(m.At), m.Name+" "+t.clock(m.At, false)
		w := textWidth(label, timeLabels, true) * 1.05
		from, anchor, at := x+7, Start, x+7
		if x+7+w > t.Width-4 {
			from, anchor, at = x-7-w, End, x-7
		}
		lane := slices.IndexFunc(free, func(right float64) bool { return right <= from })
		if lane < 0 {
			lane = len(free)
			free = append(free, 0)
		}
		free[lane] = max(x, from+w) + 10
		y := 10 + rowHeight*float64(lane)
		t.add(Path{Loops: [][]Point{{{x - 5, y}, {x + 5, y}, {x, y + 8}}}, Style: Style{Fill: Accent}},
			Text{At: Point{at, y + 8}, Value: label, Size: timeLabels, Bold: true, Anchor: anchor})
	}
	t.top = 10 + rowHeight*float64(len(free))
	if len(due) > 0 {
		t.add(Text{At: Point{8, 18}, Value: "due", Size: detailSize, Colour: Soft})
	}
	t.top += 40 // days and hours
	t.Height = t.top + 12
	for _, r := range t.rows {
		t.Height += float64(r.lanes)*laneHeight + 8
	}
	for _, m := range due {
		t.add(line(Style{Stroke: Accent, Width: 1, Dash: []float64{4, 3}}, Point{t.x(m.At), t.top - 40}, Point{t.x(m.At), t.Height - 10}))
	}
}

// drawHours draws a tick as often as its figure has room, and the days.
func (t *timeline) drawHours() {
	every := 24
	for _, h := range []int{1, 2, 3, 6, 12} {
		if float64(h)*t.hour >= leastTickW {
			every = h
			break
		}
	}
	y, m, day := t.from.Date()
	dayEnd := -1.0
	for h := 0; ; h += every {
		at := time.Date(y, m, day, h, 0, 0, 0, t.zone)
		if at.After(t.to) {
			break
		}
		if at.Before(t.from) {
			continue
		}
		x := t.x(at)
		midnight := at.Hour() == 0
		s := Style{Stroke: Soft, Width: 0.4}
		if midnight {
			s.Width = 1.2
		}
		t.add(line(s, Point{x, t.top - 8}, Point{x, t.Height - 10}),
			Text{At: Point{x, t.top - 12}, Value: at.Format("15:04"), Size: timeLabels, Anchor: Middle, Colour: Soft})
		if label := at.Format("Monday 2 January"); (midnight || dayEnd < 0) && x > dayEnd {
			w := textWidth(label, detailSize, true)
			if x+w < t.Width-4 || dayEnd < 0 {
				t.add(Text{At: Point{x - 14, t.top - 28}, Value: label, Size: detailSize, Bold: true})
				dayEnd = x + w
			}
		}
	}
}

func (t *timeline) drawRows() {
	y := t.top
	for _, r := range t.rows {
		t.add(line(Style{Stroke: Soft, Width: 0.6}, Point{0, y}, Point{t.Width, y}))
		name := wrap(r.name, t.labels-16, textSize, r.person)
		name = name[:min(len(name), 2*r.lanes)]
		for k, s := range name {
			first := y + 23.5 - 7*float64(min(len(name), 2)-1)
			t.add(Text{At: Point{8, first + 14*float64(k)}, Value: s, Bold: r.person})
		}
		for i := range r.bars {
			t.drawBar(&r.bars[i], r.person, y+4+laneHeight*float64(r.bars[i].lane)+(laneHeight-barHeight)/2)
		}
		y += laneHeight*float64(r.lanes) + 8
	}
	t.add(line(Style{Stroke: Soft, Width: 0.6}, Point{0, y}, Point{t.Width, y}))
}

// drawBar draws one step in one row: its active time solid, the rest hatched.
func (t *timeline) drawBar(b *bar, person bool, y float64) {
	const least = 2.5 // units: what takes no time is seen too
	x0, x1 := t.x(b.from), t.x(b.to)
	x1 = max(x1, x0+least)
	handsOff := min(x1, max(x0, t.x(b.HandsOff)))
	if person {
		handsOff = x1
	}
	g := Group{Title: t.says(b.Entry)}
	textFrom, textTo, colour := x0, x1, Ink
	if x1 > handsOff {
		g.Items = append(g.Items, rectangle(Style{Hatch: Waiting, Stroke: Soft, Width: 0.8}, handsOff, y, x1-handsOff, barHeight))
		textFrom = handsOff
	}
	if handsOff > x0 {
		g.Items = append(g.Items, rectangle(Style{Fill: Accent, Stroke: Ink, Width: 0.8}, x0, y, handsOff-x0, barHeight))
		if handsOff-x0 >= x1-handsOff {
			textFrom, textTo, colour = x0, handsOff, Paper
		}
	}
	verb := b.Step.Verb
	if verb == "" {
		verb = b.Step.ID
	}
	for _, label := range []string{verb + " " + b.Name, b.Name, verb} {
		if label = strings.TrimSpace(label); label == "" {
			continue
		}
		if w := textWidth(label, timeLabels, false) * 1.06; w+8 <= textTo-textFrom {
			if colour == Ink { // readable over the hatch
				g.Items = append(g.Items, rectangle(Style{Fill: Paper}, textFrom+2, y+4, w+4, barHeight-8))
			}
			g.Items = append(g.Items, Text{At: Point{textFrom + 4, y + barHeight/2 + 4}, Value: label, Size: timeLabels, Colour: colour})
			break
		}
	}
	t.add(g)
}

// says returns step, component and times of an entry.
func (t *timeline) says(e *plan.Entry) string {
	verb := e.Step.Verb
	if verb == "" {
		verb = e.Step.ID
	}
	s := strings.TrimSpace(verb + " " + e.Name)
	if e.Batch > 0 {
		s += fmt.Sprintf(", batch %d", e.Batch)
	}
	if e.Order != "" {
		s += ", for " + e.Order
	}
	s += ": " + t.clock(e.Start, true) + " to " + t.clock(e.End, e.End.Sub(e.Start) >= 12*time.Hour)
	if e.HandsOff.After(e.Start) && e.HandsOff.Before(e.End) {
		s += ", hands free from " + t.clock(e.HandsOff, false)
	}
	return s
}

// clock returns a time of day, with the weekday if asked.
func (t *timeline) clock(at time.Time, day bool) string {
	if math.Abs(at.Sub(t.from).Hours()) > 24*365 || day {
		return at.In(t.zone).Format("Mon 15:04")
	}
	return at.In(t.zone).Format("15:04")
}
