package document

import (
	"fmt"
	"maps"
	"slices"
	"strings"
	"time"

	"chablon/assembly"
	"chablon/check"
	"chablon/finding"
	"chablon/formula"
	"chablon/ingredient"
	"chablon/kitchen"
	"chablon/mould"
	"chablon/plan"
	"chablon/unit"
)

// Book is a set of documents as the engine knows them: references followed, lines weighed.
type Book struct {
	Set        *Set
	Kitchen    *kitchen.Kitchen
	Table      *ingredient.Table
	Moulds     map[string]*mould.Mould
	Formulas   map[string]*formula.Formula
	Assemblies map[string]*assembly.Assembly
	Orders     []plan.Order

	stock    map[string]unit.Mass
	packs    map[string][]unit.Mass
	accepted []check.Acceptance
	own      []*Ingredient // whose entries Table has beyond the built-in ones
}

// Job returns all orders as one day's job.
func (b *Book) Job() plan.Job {
	return plan.Job{Kitchen: b.Kitchen, Orders: b.Orders, Stock: b.stock, Packs: b.packs, Accepted: b.accepted, Owned: b.Owned()}
}

// Owned returns the moulds that the kitchen has, those of the documents where it lists none.
func (b *Book) Owned() []*mould.Mould {
	list := b.Kitchen.Moulds
	if len(list) == 0 {
		list = map[string]int{}
		for _, d := range Every[*Mould](b.Set) {
			list[d.ID] = 1
		}
	}
	var out []*mould.Mould
	for _, id := range slices.Sorted(maps.Keys(list)) {
		if m := b.Moulds[id]; m != nil {
			out = append(out, m)
		}
	}
	return out
}

// JobFor returns the job of some orders only.
func (b *Book) JobFor(orders ...plan.Order) plan.Job {
	j := b.Job()
	j.Orders = orders
	return j
}

// Resolve follows the references of a set and turns it into what the engine works on. It returns
// every problem: references to what is not there, cycles, lines that cannot be weighed, shapes
// that cannot be. What has no problem is in the book even so. before may be the book of an
// earlier version of the set, or nil; what has not changed is taken over from it.
func Resolve(set *Set, before *Book) (*Book, []*Error) {
	r := &resolver{
		book: &Book{
			Set: set, Moulds: map[string]*mould.Mould{}, Formulas: map[string]*formula.Formula{},
			Assemblies: map[string]*assembly.Assembly{}, stock: map[string]unit.Mass{}, packs: map[string][]unit.Mass{},
		},
		set: set, state: map[Document]visit{}, named: map[string][]*Formula{},
	}
	r.kitchen(before)
	r.ingredients(before)
	r.moulds()
	formulas := Every[*Formula](set)
	for _, f := range formulas {
		if f.Name != "" {
			name := strings.ToLower(f.Name)
			r.named[name] = append(r.named[name], f)
		}
	}
	for _, f := range formulas {
		r.formula(f)
	}
	for _, a := range Every[*Assembly](set) {
		r.assembly(a)
	}
	for _, o := range Every[*Order](set) {
		r.order(o)
	}
	r.stocks()
	for _, d := range set.All() {
		h := d.Header()
		for _, a := range h.Accepted {
			r.book.accepted = append(r.book.accepted, check.Acceptance{Where: h.Kind + " " + h.ID, Code: a.Rule, Reason: a.Reason})
		}
	}
	return r.book, r.errs
}

type visit uint8

const (
	open visit = iota + 1
	done
)

type resolver struct {
	set   *Set
	book  *Book
	errs  []*Error
	state map[Document]visit
	named map[string][]*Formula // formulas by their names in lower case
	chain []string              // documents being resolved, to name a cycle
}

// fail records a problem of a field.
func (r *resolver) fail(d Document, path string, e Error) {
	file, at := r.set.place(d, path)
	e.File, e.Line, e.Column = file, at.line, at.column
	h := d.Header()
	e.Document, e.Field = KindOf(d)+" "+h.ID, path
	r.errs = append(r.errs, &e)
}

// missing records a reference to what is not there.
func (r *resolver) missing(d Document, path string, ref Ref, what string, known []string) {
	remedy := "add " + article(what) + " with that id"
	if len(known) > 0 {
		remedy = "write " + nearestOr(string(ref), known) + ", or " + remedy
	}
	r.fail(d, path, Error{Found: quote(string(ref)), Reason: "is no " + what + " on record", Remedy: remedy})
}

// id returns the id of a reference, and reports one to a version that the set does not hold.
func (r *resolver) id(d Document, path string, ref Ref, kind string) string {
	id, version, err := ref.Split()
	if err != nil {
		return string(ref)
	}
	if target := r.set.Get(kind, id); version != 0 && target != nil && target.Header().Version != version {
		r.fail(d, path, Error{Found: quote(string(ref)), Reason: fmt.Sprintf("is not the version on record, %d", target.Header().Version), Remedy: "write the id alone"})
	}
	return id
}

// cyclic reports whether a document is being resolved already, as a problem naming the cycle.
func (r *resolver) cyclic(d Document, path string, from Document) bool {
	if r.state[d] != open {
		return false
	}
	name := KindOf(d) + " " + d.Header().ID
	start := 0
	for i, c := range r.chain {
		if c == name {
			start = i
		}
	}
	r.fail(from, path, Error{
		Found: quote(d.Header().ID), Reason: "leads back to itself (" + strings.Join(append(r.chain[start:len(r.chain):len(r.chain)], name), " → ") + ")",
		Remedy: "take one of them out of the other",
	})
	return true
}

// idsOf returns the ids of all documents of a kind.
func idsOf[T Document](s *Set) []string {
	var out []string
	for _, d := range Every[T](s) {
		out = append(out, d.Header().ID)
	}
	return out
}

func ids[T any](m map[string]T) []string {
	out := make([]string, 0, len(m))
	for id := range m {
		out = append(out, id)
	}
	return out
}

func (r *resolver) kitchen(before *Book) {
	r.book.Kitchen = kitchen.Default()
	all := Every[*Kitchen](r.set)
	if len(all) == 0 {
		return
	}
	for _, k := range all[1:] {
		r.fail(k, "id", Error{Found: quote(k.ID), Reason: "is a second kitchen beside " + all[0].ID, Remedy: "keep one kitchen in a set of documents"})
	}
	d := all[0]
	k := &kitchen.Kitchen{
		ID: d.ID, Name: orID(d.Name, d.ID), Zone: time.UTC, Altitude: d.Altitude.Length(), Room: 20, Currency: d.Currency,
		Confidence: 0.95, EggSize: d.EggSize, HourlyCost: d.HourlyCost, Moulds: map[string]int{},
	}
	if before != nil && d.TimeZone != "" && before.Kitchen.Zone.String() == d.TimeZone {
		k.Zone = before.Kitchen.Zone
	} else if d.TimeZone != "" {
		zone, err := time.LoadLocation(d.TimeZone)
		if err != nil {
			r.fail(d, "time_zone", Error{Found: quote(d.TimeZone), Reason: "is no time zone", Remedy: "write an IANA name such as Europe/Lisbon"})
		} else {
			k.Zone = zone
		}
	}
	if d.Room.Value.Given() {
		k.Room = d.Room.Value.Temperature()
	}
	if d.Confidence.Given() {
		k.Confidence = d.Confidence.Share()
		if k.Confidence <= 0.5 || k.Confidence >= 1 {
			r.fail(d, "confidence", Error{Found: quote(d.Confidence.Text), Reason: "is not above 50 % and below 100 %", Remedy: "write how sure the amounts must be, such as 95 %"})
			k.Confidence = 0.95
		}
	}
	if k.EggSize == "" {
		k.EggSize = "us-large"
	}
	for _, s := range d.Scales {
		k.Scales = append(k.Scales, kitchen.Scale{Division: s.Division.Mass(), UpTo: s.UpTo.Mass()})
	}
	if len(k.Scales) == 0 {
		k.Scales = kitchen.Default().Scales
	}
	for i, p := range d.People {
		path := fmt.Sprintf("people[%d]", i)
		k.People = append(k.People, kitchen.Person{
			ID: p.ID, Name: p.Name, Skills: p.Skills,
			Shifts: r.shifts(d, path+".shifts", p.Shifts), Breaks: r.shifts(d, path+".breaks", p.Breaks),
		})
	}
	r.closed(d, k)
	for i, e := range d.Equipment {
		calibrations := r.calibrations(d, fmt.Sprintf("equipment[%d].calibrations", i), e.Calibrations)
		used, ok := kitchen.Newest(calibrations)
		if !ok {
			used.Transfer = e.Transfer
		}
		k.Equipment = append(k.Equipment, kitchen.Equipment{
			ID: e.ID, Name: orID(e.Name, e.ID), Kind: e.Kind, Count: max(1, e.Count), Volume: e.Volume.Volume(), Trays: e.Trays,
			LeastFill: e.LeastFill.Share(), Setting: e.Setting.Value.Temperature(), HasSetting: e.Setting.Value.Given(), Air: e.Air,
			Transfer: used.Transfer, TransferLow: used.Low, TransferHigh: used.High, Calibrations: calibrations, FreezingCapacity: e.FreezingCapacity.Mass(), Cleaning: e.Cleaning.Duration(),
		})
	}
	r.book.Kitchen = k
}

func orID(name, id string) string {
	if name == "" {
		return id
	}
	return name
}

var weekdays = map[string]time.Weekday{
	"sunday": 0, "monday": 1, "tuesday": 2, "wednesday": 3, "thursday": 4, "friday": 5, "saturday": 6,
	"sun": 0, "mon": 1, "tue": 2, "wed": 3, "thu": 4, "fri": 5, "sat": 6,
}

func (r *resolver) shifts(d Document, path string, list []Shift) []kitchen.Shift {
	var out []kitchen.Shift
	for i, s := range list {
		shift := kitchen.Shift{From: clock(s.From), To: clock(s.To)}
		for j, day := range s.Days {
			w, ok := weekdays[strings.ToLower(day)]
			if !ok {
				r.fail(d, fmt.Sprintf("%s[%d].days[%d]", path, i, j), Error{Found: quote(day), Reason: "is no weekday", Remedy: "write monday, tuesday …"})
				continue
			}
			shift.Days[w] = true
		}
		if len(s.Days) == 0 {
			shift.Days = [7]bool{true, true, true, true, true, true, true}
		}
		out = append(out, shift)
	}
	return out
}

// clock returns a clock time (its form is checked by Parse) as the time since midnight.
func clock(s string) time.Duration {
	var h, m int
	if _, err := fmt.Sscanf(s, "%d:%d", &h, &m); err != nil {
		return 0
	}
	return time.Duration(h)*time.Hour + time.Duration(m)*time.Minute
}

func (r *resolver) closed(d *Kitchen, k *kitchen.Kitchen) {
	for i, c := range d.Closed {
		if w, ok := weekdays[strings.ToLower(c)]; ok {
			k.Closed.Weekdays[w] = true
		} else if _, err := time.Parse(time.DateOnly, c); err == nil {
			k.Closed.Dates = append(k.Closed.Dates, c)
		} else {
			r.fail(d, fmt.Sprintf("closed[%d]", i), Error{Found: quote(c), Reason: "is no weekday and no date", Remedy: "write sunday, or 2026-12-25"})
		}
	}
}

// Faults turns the problems of documents into findings, for pages and results that show both.
func Faults(errs []*Error) finding.List {
	var out finding.List
	for _, e := range errs {
		where := e.Document
		if e.Field != "" {
			where += ", " + e.Field
		}
		reason := e.Reason
		if e.Found != "" {
			reason = strings.TrimSpace("found " + e.Found + " " + whichPart(e.Reason))
		}
		out.Add(finding.Finding{Code: "document", Level: finding.Fault, Where: where, Reason: reason, Remedy: e.Remedy, Source: "the document schema"})
	}
	return out
}

func whichPart(reason string) string {
	if reason == "" {
		return ""
	}
	return "which " + reason
}
