package kitchen_test

import (
	"fmt"
	"strings"
	"testing"
	"time"
	_ "time/tzdata"

	"pgregory.net/rapid"

	"chablon/kitchen"
)

var (
	everyDay = [7]bool{true, true, true, true, true, true, true}
	fridays  = [7]bool{time.Friday: true}
)

func shift(days [7]bool, from, to float64) kitchen.Shift {
	return kitchen.Shift{Days: days, From: time.Duration(from * float64(time.Hour)), To: time.Duration(to * float64(time.Hour))}
}

func at(t testing.TB, zone *time.Location, text string) time.Time {
	t.Helper()
	v, err := time.ParseInLocation("2006-01-02 15:04", text, zone)
	if err != nil {
		t.Fatal(err)
	}
	return v
}

func lisbon(t testing.TB) *time.Location {
	t.Helper()
	zone, err := time.LoadLocation("Europe/Lisbon")
	if err != nil {
		t.Fatal(err)
	}
	return zone
}

func show(spans []kitchen.Span) string {
	var out []string
	for _, s := range spans {
		out = append(out, s.From.Format("Mon 15:04")+"–"+s.To.Format("Mon 15:04"))
	}
	return strings.Join(out, ", ")
}

// Every want by hand from the calendar: 2026-06-05 is a Friday.
func TestHours(t *testing.T) {
	t.Parallel()
	for _, c := range []struct {
		name           string
		shifts, breaks []kitchen.Shift
		closed         kitchen.Closed
		from, to       string
		want           string
	}{
		{"all day, every day", nil, nil, kitchen.Closed{}, "2026-06-05 00:00", "2026-06-07 00:00", "Fri 00:00–Sun 00:00"},
		{"one shift", []kitchen.Shift{shift(everyDay, 7, 15)}, nil, kitchen.Closed{}, "2026-06-05 00:00", "2026-06-06 12:00", "Fri 07:00–Fri 15:00, Sat 07:00–Sat 12:00"},
		{"some weekdays", []kitchen.Shift{shift(fridays, 7, 15)}, nil, kitchen.Closed{}, "2026-06-01 00:00", "2026-06-14 00:00", "Fri 07:00–Fri 15:00, Fri 07:00–Fri 15:00"},
		{"a break", []kitchen.Shift{shift(everyDay, 7, 15)}, []kitchen.Shift{shift(everyDay, 11, 11.5)}, kitchen.Closed{}, "2026-06-05 00:00", "2026-06-06 00:00", "Fri 07:00–Fri 11:00, Fri 11:30–Fri 15:00"},
		{"a break over the end", []kitchen.Shift{shift(everyDay, 7, 15)}, []kitchen.Shift{shift(everyDay, 14, 16)}, kitchen.Closed{}, "2026-06-05 00:00", "2026-06-06 00:00", "Fri 07:00–Fri 14:00"},
		{"a break on another day", []kitchen.Shift{shift(everyDay, 7, 15)}, []kitchen.Shift{shift(fridays, 11, 12)}, kitchen.Closed{}, "2026-06-06 00:00", "2026-06-07 00:00", "Sat 07:00–Sat 15:00"},
		{"overlapping shifts", []kitchen.Shift{shift(everyDay, 7, 12), shift(everyDay, 11, 15)}, nil, kitchen.Closed{}, "2026-06-05 00:00", "2026-06-06 00:00", "Fri 07:00–Fri 15:00"},
		{"one shift in another", []kitchen.Shift{shift(everyDay, 7, 15), shift(everyDay, 9, 10)}, nil, kitchen.Closed{}, "2026-06-05 00:00", "2026-06-06 00:00", "Fri 07:00–Fri 15:00"},
		{"shifts that touch", []kitchen.Shift{shift(everyDay, 7, 12), shift(everyDay, 12, 15)}, nil, kitchen.Closed{}, "2026-06-05 00:00", "2026-06-06 00:00", "Fri 07:00–Fri 15:00"},
		{"the later shift written first", []kitchen.Shift{shift(everyDay, 14, 18), shift(everyDay, 8, 12)}, nil, kitchen.Closed{}, "2026-06-05 00:00", "2026-06-06 00:00", "Fri 08:00–Fri 12:00, Fri 14:00–Fri 18:00"},
		{"past midnight", []kitchen.Shift{shift(fridays, 22, 6)}, nil, kitchen.Closed{}, "2026-06-05 00:00", "2026-06-07 00:00", "Fri 22:00–Sat 06:00"},
		{"past midnight, asked from after it", []kitchen.Shift{shift(fridays, 22, 6)}, nil, kitchen.Closed{}, "2026-06-06 01:00", "2026-06-07 00:00", "Sat 01:00–Sat 06:00"},
		{"past midnight, break after it", []kitchen.Shift{shift(fridays, 22, 6)}, []kitchen.Shift{shift(everyDay, 2, 2.5)}, kitchen.Closed{}, "2026-06-05 00:00", "2026-06-07 00:00", "Fri 22:00–Sat 02:00, Sat 02:30–Sat 06:00"},
		{"past midnight, break of the shift's day", []kitchen.Shift{shift(fridays, 22, 6)}, []kitchen.Shift{shift(fridays, 2, 2.5)}, kitchen.Closed{}, "2026-06-05 00:00", "2026-06-07 00:00", "Fri 22:00–Sat 02:00, Sat 02:30–Sat 06:00"},
		{"past midnight, break over it", []kitchen.Shift{shift(fridays, 22, 6)}, []kitchen.Shift{shift(fridays, 23.75, 0.25)}, kitchen.Closed{}, "2026-06-05 00:00", "2026-06-07 00:00", "Fri 22:00–Fri 23:45, Sat 00:15–Sat 06:00"},
		{"closed weekday", []kitchen.Shift{shift(everyDay, 7, 15)}, nil, kitchen.Closed{Weekdays: [7]bool{time.Saturday: true}}, "2026-06-05 00:00", "2026-06-08 00:00", "Fri 07:00–Fri 15:00, Sun 07:00–Sun 15:00"},
		{"closed date", []kitchen.Shift{shift(everyDay, 7, 15)}, nil, kitchen.Closed{Dates: []string{"2026-06-05"}}, "2026-06-05 00:00", "2026-06-07 00:00", "Sat 07:00–Sat 15:00"},
		{"a night into a closed day", []kitchen.Shift{shift(everyDay, 22, 6)}, nil, kitchen.Closed{Dates: []string{"2026-06-06"}}, "2026-06-05 12:00", "2026-06-07 12:00", "Fri 22:00–Sat 06:00"},
		{"nothing asked", nil, nil, kitchen.Closed{}, "2026-06-05 12:00", "2026-06-05 12:00", ""},
		{"asked backwards", nil, nil, kitchen.Closed{}, "2026-06-05 12:00", "2026-06-04 12:00", ""},
		{"cut at both ends", []kitchen.Shift{shift(everyDay, 7, 15)}, nil, kitchen.Closed{}, "2026-06-05 08:30", "2026-06-05 09:15", "Fri 08:30–Fri 09:15"},
	} {
		k := &kitchen.Kitchen{Closed: c.closed}
		p := kitchen.Person{Shifts: c.shifts, Breaks: c.breaks}
		if got := show(k.Hours(p, at(t, time.UTC, c.from), at(t, time.UTC, c.to))); got != c.want {
			t.Errorf("%s: got %s\nwant %s", c.name, got, c.want)
		}
	}
}

// When the clocks change, hours are those of the wall, and the day is an hour shorter or longer.
// In Lisbon they went forward on 2026-03-29 at 01:00 and back on 2026-10-25 at 02:00 (directive
// 2000/84/EC: the last Sundays of March and October at 01:00 UTC).
func TestHoursWhenClocksChange(t *testing.T) {
	t.Parallel()
	zone := lisbon(t)
	k := &kitchen.Kitchen{Zone: zone}
	for _, c := range []struct {
		name     string
		shifts   []kitchen.Shift
		from, to string
		want     string
		total    time.Duration
	}{
		{"forward, all day", nil, "2026-03-29 00:00", "2026-03-30 00:00", "Sun 00:00–Mon 00:00", 23 * time.Hour},
		{"forward, morning", []kitchen.Shift{shift(everyDay, 7, 15)}, "2026-03-29 00:00", "2026-03-30 00:00", "Sun 07:00–Sun 15:00", 8 * time.Hour},
		{"forward, night", []kitchen.Shift{shift(everyDay, 22, 6)}, "2026-03-28 12:00", "2026-03-29 12:00", "Sat 22:00–Sun 06:00", 7 * time.Hour},
		{"back, all day", nil, "2026-10-25 00:00", "2026-10-26 00:00", "Sun 00:00–Mon 00:00", 25 * time.Hour},
		{"back, morning", []kitchen.Shift{shift(everyDay, 7, 15)}, "2026-10-25 00:00", "2026-10-26 00:00", "Sun 07:00–Sun 15:00", 8 * time.Hour},
		{"back, night", []kitchen.Shift{shift(everyDay, 22, 6)}, "2026-10-24 12:00", "2026-10-25 12:00", "Sat 22:00–Sun 06:00", 9 * time.Hour},
	} {
		spans := k.Hours(kitchen.Person{Shifts: c.shifts}, at(t, zone, c.from), at(t, zone, c.to))
		if got := show(spans); got != c.want {
			t.Errorf("%s: got %s, want %s", c.name, got, c.want)
		}
		if got := total(spans); got != c.total {
			t.Errorf("%s: %v, want %v", c.name, got, c.total)
		}
	}
}

// A zone that leaves out midnight (São Paulo on 2018-11-04, tz database) loses no day and counts
// none twice.
func TestHoursWithoutMidnight(t *testing.T) {
	t.Parallel()
	zone, err := time.LoadLocation("America/Sao_Paulo")
	if err != nil {
		t.Fatal(err)
	}
	k := &kitchen.Kitchen{Zone: zone}
	p := kitchen.Person{Shifts: []kitchen.Shift{shift(everyDay, 9, 10)}}
	spans := k.Hours(p, at(t, zone, "2018-11-03 00:00"), at(t, zone, "2018-11-06 00:00"))
	if got, want := show(spans), "Sat 09:00–Sat 10:00, Sun 09:00–Sun 10:00, Mon 09:00–Mon 10:00"; got != want {
		t.Errorf("got %s, want %s", got, want)
	}
}

func total(spans []kitchen.Span) time.Duration {
	var d time.Duration
	for _, s := range spans {
		d += s.To.Sub(s.From)
	}
	return d
}

// Whatever the shifts, the stretches are in order, apart, inside what was asked, and hold each
// quarter of an hour that the shifts hold and the breaks do not.
func TestHoursProperties(t *testing.T) {
	t.Parallel()
	zone := lisbon(t)
	rapid.Check(t, func(t *rapid.T) {
		hour := rapid.Custom(func(t *rapid.T) float64 { return float64(rapid.IntRange(0, 95).Draw(t, "quarter")) / 4 })
		shifts := rapid.SliceOfN(rapid.Custom(func(t *rapid.T) kitchen.Shift {
			return shift(everyDay, hour.Draw(t, "from"), hour.Draw(t, "to"))
		}), 1, 4)
		day := rapid.Custom(func(t *rapid.T) kitchen.Shift { // by day: what a break is has no second reading
			a, b := hour.Draw(t, "from"), hour.Draw(t, "to")
			if a > b {
				a, b = b, a
			}
			return shift(everyDay, a, b+0.25)
		})
		p := kitchen.Person{Shifts: shifts.Draw(t, "shifts"), Breaks: rapid.SliceOfN(day, 0, 3).Draw(t, "breaks")}
		k := &kitchen.Kitchen{Zone: zone}
		from := time.Date(2026, 5, rapid.IntRange(1, 28).Draw(t, "day"), 5, 0, 0, 0, zone)
		to := from.Add(time.Duration(rapid.IntRange(1, 72).Draw(t, "hours")) * time.Hour)
		spans := k.Hours(p, from, to)
		for i, s := range spans {
			if !s.From.Before(s.To) || s.From.Before(from) || s.To.After(to) || (i > 0 && !spans[i-1].To.Before(s.From)) {
				t.Fatalf("stretch %d of %s", i, show(spans))
			}
		}
		for q := from; q.Before(to); q = q.Add(15 * time.Minute) {
			clock := time.Duration(q.Hour())*time.Hour + time.Duration(q.Minute())*time.Minute
			want := holds(p.Shifts, clock) && !holds(p.Breaks, clock)
			got := false
			for _, s := range spans {
				got = got || !q.Before(s.From) && q.Before(s.To)
			}
			if got != want {
				t.Fatalf("%s: at work %v, want %v; %s", q, got, want, show(spans))
			}
		}
	})
}

// holds reports whether a time of the day lies in one of the shifts.
func holds(shifts []kitchen.Shift, clock time.Duration) bool {
	for _, s := range shifts {
		if s.From < s.To && s.From <= clock && clock < s.To || s.To <= s.From && (s.From <= clock || clock < s.To) {
			return true
		}
	}
	return false
}

func ExampleKitchen_Hours() {
	k := kitchen.Default()
	cook := kitchen.Person{
		Shifts: []kitchen.Shift{{Days: [7]bool{time.Friday: true}, From: 6 * time.Hour, To: 14 * time.Hour}},
		Breaks: []kitchen.Shift{{Days: [7]bool{time.Friday: true}, From: 10 * time.Hour, To: 10*time.Hour + 30*time.Minute}},
	}
	week := time.Date(2026, 6, 1, 0, 0, 0, 0, time.UTC)
	for _, s := range k.Hours(cook, week, week.AddDate(0, 0, 7)) {
		fmt.Println(s.From.Format("Mon 15:04"), "to", s.To.Format("15:04"))
	}
	// Output:
	// Fri 06:00 to 10:00
	// Fri 10:30 to 14:00
}
