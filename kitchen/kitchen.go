// Package kitchen holds where the work is done: people and their hours, equipment with its
// capacities, scales, and the moulds that are there.
package kitchen

import (
	"slices"
	"time"

	"chablon/unit"
)

// Kitchen is one place of work. The zero Kitchen has no people and no equipment; Default is a
// usable one.
type Kitchen struct {
	ID, Name   string
	Zone       *time.Location
	Altitude   unit.Length
	Room       unit.Temperature
	Scales     []Scale // finest first
	Currency   string
	Confidence float64 // share of days on which nothing may run short
	EggSize    string
	HourlyCost float64
	People     []Person
	Equipment  []Equipment
	Moulds     map[string]int // owned, by mould ID
	Closed     Closed
}

// Scale is a weighing scale: its smallest step and its greatest load (zero: no limit).
type Scale struct {
	Division unit.Mass
	UpTo     unit.Mass
}

// Person works in the kitchen.
type Person struct {
	ID, Name string
	Skills   []string
	Shifts   []Shift // all day, every day, if empty
	Breaks   []Shift
}

// Shift is a stretch of hours on some weekdays, as times since midnight.
type Shift struct {
	Days     [7]bool // by time.Weekday
	From, To time.Duration
}

// Closed says when nobody works.
type Closed struct {
	Weekdays [7]bool
	Dates    []string // 2026-12-25
}

// Equipment is something that a step needs for itself while it runs.
type Equipment struct {
	ID, Name, Kind string
	Count          int
	Volume         unit.Volume // of a bowl or pot
	Trays          int
	LeastFill      float64
	Setting        unit.Temperature // of what is always on
	HasSetting     bool
	Air            string // "still", "fan", "blast" or "plate"
	// Transfer is the surface coefficient that was measured here, W/(m² K), 0 if none was: that of the newest
	// calibration, else as written. Its range is 0 where it is not on record.
	Transfer, TransferLow, TransferHigh float64
	Calibrations                        []Calibration // as written
	FreezingCapacity                    unit.Mass     // in 24 h, as the maker states
	Cleaning                            time.Duration
}

// Calibration is what probe readings told of a place on a day: its surface coefficient, W/(m² K), with
// the range in which it lies two times out of three, 0 where that is not on record.
type Calibration struct {
	Date                string // 2026-12-25
	Transfer, Low, High float64
	// By how many times the foods conducted better than computed, with its range; 0 where it was not asked.
	Conductivity, ConductivityLow, ConductivityHigh float64
	Piece                                           string // id of the assembly that was probed
	Readings                                        []Reading
	Note                                            string
}

// Reading is a temperature read in a piece, so long after it went in.
type Reading struct {
	After       time.Duration
	Temperature unit.Temperature
}

// Newest returns the calibration of the last day, of several the one written last, and whether there is one.
func Newest(list []Calibration) (Calibration, bool) {
	best := -1
	for i, c := range list {
		if best < 0 || c.Date >= list[best].Date { // dates sort as text
			best = i
		}
	}
	if best < 0 {
		return Calibration{}, false
	}
	return list[best], true
}

// Default is a kitchen for documents that bring none: one person, an oven, a mixer with one
// bowl of five litres, a burner, a still-air freezer at −18 °C and a refrigerator at 4 °C, in
// UTC. Its figures are common practice, no source.
func Default() *Kitchen {
	return &Kitchen{
		ID: "kitchen", Name: "Kitchen", Zone: time.UTC, Room: 20, Confidence: 0.95, EggSize: "us-large", Currency: "USD",
		Scales: []Scale{{Division: 0.1 * unit.Gram, UpTo: 500 * unit.Gram}, {Division: unit.Gram, UpTo: 5 * unit.Kilogram}, {Division: 5 * unit.Gram}},
		People: []Person{{ID: "cook", Name: "Cook"}},
		Equipment: []Equipment{
			{ID: "oven", Name: "Oven", Kind: "oven", Count: 1, Trays: 2},
			{ID: "mixer", Name: "Mixer", Kind: "mixer", Count: 1},
			{ID: "bowl", Name: "Mixer bowl", Kind: "bowl", Count: 1, Volume: 5 * unit.Litre},
			{ID: "burner", Name: "Burner", Kind: "burner", Count: 2},
			{ID: "pot", Name: "Pot", Kind: "pot", Count: 2, Volume: 3 * unit.Litre},
			{ID: "freezer", Name: "Freezer", Kind: "freezer", Count: 1, Trays: 4, Setting: -18, HasSetting: true, Air: "still"},
			{ID: "refrigerator", Name: "Refrigerator", Kind: "refrigerator", Count: 1, Trays: 8, Setting: 4, HasSetting: true, Air: "still"},
		},
		Moulds: map[string]int{},
	}
}

// Round returns m as the finest scale that takes it shows it, and that scale's division. A
// kitchen without scales rounds nothing.
func (k *Kitchen) Round(m unit.Mass) (shown, division unit.Mass) {
	for _, s := range k.Scales {
		if s.UpTo == 0 || m <= s.UpTo {
			return m.RoundTo(s.Division), s.Division
		}
	}
	if n := len(k.Scales); n > 0 { // heavier than any scale takes: weighed in parts on the last
		return m.RoundTo(k.Scales[n-1].Division), k.Scales[n-1].Division
	}
	return m, 0
}

// Largest returns the largest vessel of a kind, and whether there is one.
func (k *Kitchen) Largest(kind string) (Equipment, bool) {
	var best Equipment
	found := false
	for _, e := range k.Equipment {
		if e.Kind == kind && (!found || e.Volume > best.Volume) {
			best, found = e, true
		}
	}
	return best, found
}

// Trays returns how many trays fit at once in all equipment of a kind, zero if none says.
func (k *Kitchen) Trays(kind string) int {
	n := 0
	for _, e := range k.Equipment {
		if e.Kind == kind {
			n += e.Trays * max(1, e.Count)
		}
	}
	return n
}

// Find returns the pieces of equipment that a step may mean by a word: that ID, or all of that
// kind.
func (k *Kitchen) Find(word string) []Equipment {
	var kind []Equipment
	for _, e := range k.Equipment {
		if e.ID == word {
			return []Equipment{e}
		}
		if e.Kind == word {
			kind = append(kind, e)
		}
	}
	return kind
}

// Span is a stretch of time.
type Span struct{ From, To time.Time }

// Hours returns the stretches between from and to in which a person is at work, in order and
// without overlap: shifts less breaks, closed days left out. A shift that ends at or before its
// start runs past midnight and belongs to the day on which it starts; a break written with an
// hour before that start falls after the midnight.
func (k *Kitchen) Hours(p Person, from, to time.Time) []Span {
	zone := k.Zone
	if zone == nil {
		zone = time.UTC
	}
	var all []Span
	first := from.In(zone)
	// Days are told by their noon, which no change of the clocks skips.
	day := time.Date(first.Year(), first.Month(), first.Day()-1, 12, 0, 0, 0, zone)
	for ; day.Before(to.AddDate(0, 0, 1)); day = day.AddDate(0, 0, 1) {
		if k.Closed.on(day) {
			continue
		}
		for _, s := range p.shifts() {
			if !s.Days[day.Weekday()] {
				continue
			}
			spans := []Span{s.on(day)}
			for _, b := range p.Breaks {
				if b.Days[day.Weekday()] {
					spans = subtract(spans, b.on(day))
				}
				if next := day.AddDate(0, 0, 1); s.To <= s.From && b.From < s.From && (b.Days[day.Weekday()] || b.Days[next.Weekday()]) {
					spans = subtract(spans, b.on(next))
				}
			}
			all = append(all, spans...)
		}
	}
	slices.SortFunc(all, func(a, b Span) int { return a.From.Compare(b.From) })
	var out []Span
	for _, x := range all {
		x.From, x.To = later(x.From, from), earlier(x.To, to)
		if !x.From.Before(x.To) {
			continue
		}
		if n := len(out); n > 0 && !out[n-1].To.Before(x.From) { // joins the one before
			out[n-1].To = later(out[n-1].To, x.To)
			continue
		}
		out = append(out, x)
	}
	return out
}

func (p Person) shifts() []Shift {
	if len(p.Shifts) > 0 {
		return p.Shifts
	}
	return []Shift{{Days: [7]bool{true, true, true, true, true, true, true}, From: 0, To: 24 * time.Hour}}
}

func (c Closed) on(day time.Time) bool {
	if c.Weekdays[day.Weekday()] {
		return true
	}
	date := day.Format(time.DateOnly)
	for _, d := range c.Dates {
		if d == date {
			return true
		}
	}
	return false
}

// on returns the shift on a day, by wall clock: 07:00 is 07:00 also when the clocks change.
func (s Shift) on(day time.Time) Span {
	at := func(d time.Duration) time.Time {
		m := int(d / time.Minute)
		return time.Date(day.Year(), day.Month(), day.Day(), m/60, m%60, 0, 0, day.Location())
	}
	to := s.To
	if to <= s.From {
		to += 24 * time.Hour
	}
	return Span{at(s.From), at(to)}
}

func subtract(spans []Span, cut Span) []Span {
	var out []Span
	for _, s := range spans {
		if cut.To.Before(s.From) || !cut.From.Before(s.To) {
			out = append(out, s)
			continue
		}
		if s.From.Before(cut.From) {
			out = append(out, Span{s.From, cut.From})
		}
		if cut.To.Before(s.To) {
			out = append(out, Span{cut.To, s.To})
		}
	}
	return out
}

func later(a, b time.Time) time.Time {
	if a.After(b) {
		return a
	}
	return b
}

func earlier(a, b time.Time) time.Time {
	if a.Before(b) {
		return a
	}
	return b
}
