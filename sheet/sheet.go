package sheet

import (
	"slices"
	"strings"
	"time"

	"chablon/kitchen"
	"chablon/plan"
)

// Sheet is the bench sheets of a day.
type Sheet struct {
	options  Options
	day      *plan.Day
	kitchen  *kitchen.Kitchen
	zone     *time.Location
	orders   []*plan.Order
	title    string // of all orders
	due      string
	sections []section
}

// Options says what to print. The zero Options prints all orders on A4.
type Options struct {
	Order string // ID of the one order to print
	Paper Paper
	// StylesheetHref links the HTML to a style sheet served elsewhere, which should be that of
	// [Stylesheet]. If it is empty the style is embedded.
	StylesheetHref string
}

// Paper is a size of paper.
type Paper uint8

// Papers.
const (
	A4 Paper = iota
	Letter
)

// size returns the paper's width and height in points.
func (p Paper) size() (w, h float64) {
	if p == Letter {
		return 612, 792
	}
	return 210 * pointsPerMM, 297 * pointsPerMM
}

func (p Paper) css() string {
	if p == Letter {
		return "letter"
	}
	return "A4"
}

// New makes the sheets of a day. A day without a timeline gives the amounts and says why there
// are no times. Batches serve all orders of the day: with one order chosen, they are those that
// it needs, at the size that the whole day takes.
func New(day *plan.Day, o Options) *Sheet {
	s := &Sheet{options: o, day: day, kitchen: day.Job.Kitchen}
	if s.kitchen == nil {
		s.kitchen = kitchen.Default()
	}
	s.zone = s.kitchen.Zone
	if s.zone == nil {
		s.zone = time.UTC
	}
	for i := range day.Job.Orders {
		if order := &day.Job.Orders[i]; o.Order == "" || order.ID == o.Order {
			s.orders = append(s.orders, order)
		}
	}
	var names, dues []string
	for _, order := range s.orders {
		names = append(names, nameOr(order.Name, order.ID))
		if due := s.when(order.Due); !slices.Contains(dues, due) {
			dues = append(dues, due)
		}
	}
	s.title, s.due = strings.Join(names, ", "), strings.Join(dues, ", ")
	if len(names) == 0 {
		s.title = "No order"
	}
	s.compose()
	return s
}

// prints reports whether an order is one of those printed.
func (s *Sheet) prints(orderID string) bool {
	return s.options.Order == "" || s.options.Order == orderID
}

// when writes a day and an hour: "Sat 5 Dec 15:00".
func (s *Sheet) when(t time.Time) string {
	if t.IsZero() {
		return "not dated"
	}
	return t.In(s.zone).Format("Mon 2 Jan 15:04")
}

// clock writes a weekday and an hour: "Thu 12:44".
func (s *Sheet) clock(t time.Time) string { return t.In(s.zone).Format("Mon 15:04") }

func nameOr(name, id string) string {
	if name == "" {
		return id
	}
	return name
}
