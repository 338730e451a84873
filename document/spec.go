package document

import (
	"fmt"
	"reflect"
	"regexp"
	"strconv"
	"strings"
	"sync"

	"chablon/unit"
)

// Document is one document of any kind: *Kitchen, *Ingredient, *Price, *Stock, *Formula,
// *Mould, *Assembly, *Order, *Day or *Record.
type Document interface {
	Header() *Head
}

// kindTable lists the kinds with the struct of each.
var kindTable = []struct {
	name string
	typ  reflect.Type
}{
	{"kitchen", reflect.TypeFor[Kitchen]()},
	{"ingredient", reflect.TypeFor[Ingredient]()},
	{"price", reflect.TypeFor[Price]()},
	{"stock", reflect.TypeFor[Stock]()},
	{"formula", reflect.TypeFor[Formula]()},
	{"mould", reflect.TypeFor[Mould]()},
	{"assembly", reflect.TypeFor[Assembly]()},
	{"order", reflect.TypeFor[Order]()},
	{"day", reflect.TypeFor[Day]()},
	{"record", reflect.TypeFor[Record]()},
}

// Kinds returns the names of the kinds, in the order in which they are published.
func Kinds() []string {
	var names []string
	for _, k := range kindTable {
		names = append(names, k.name)
	}
	return names
}

// New returns an empty document of a kind, with its Kind set; false if there is no such kind.
func New(kind string) (Document, bool) {
	for _, k := range kindTable {
		if k.name == kind {
			d := reflect.New(k.typ).Interface().(Document)
			d.Header().Kind = kind
			return d, true
		}
	}
	return nil, false
}

// KindOf returns the name of the kind of d, by its type; empty for nil.
func KindOf(d Document) string {
	for _, k := range kindTable {
		if d != nil && reflect.TypeOf(d) == reflect.PointerTo(k.typ) {
			return k.name
		}
	}
	return ""
}

// pattern is a form that a text must have.
type pattern struct {
	re   *regexp.Regexp
	want string // completes "write"
}

var patterns = map[string]pattern{
	"id":    {regexp.MustCompile(`^[a-z0-9]+(-[a-z0-9]+)*$`), "lower-case letters, digits and single hyphens, such as almond-sponge"},
	"ref":   {regexp.MustCompile(`^[a-z0-9]+(-[a-z0-9]+)*(@[1-9][0-9]{0,8})?$`), "the id of a document, such as almond-sponge, or with its version almond-sponge@3"},
	"clock": {regexp.MustCompile(`^([01][0-9]|2[0-3]):[0-5][0-9]$`), "a clock time such as 07:30"},
	"date":  {regexp.MustCompile(`^[0-9]{4}-[0-9]{2}-[0-9]{2}$`), "a date such as 2026-12-05"},
	"time":  {regexp.MustCompile(`^[0-9]{4}-[0-9]{2}-[0-9]{2} ([01][0-9]|2[0-3]):[0-5][0-9](:[0-5][0-9])?$`), "a day and time such as 2026-12-05 18:00"},
	"money": {regexp.MustCompile(`^[0-9]{1,9}(\.[0-9]{1,4})?$`), "a decimal number such as 4.20"},
}

// maxID is the greatest length of an id.
const maxID = 100

// field is what the tags of one struct field say.
type field struct {
	name     string
	index    []int
	typ      reflect.Type
	required bool
	short    bool
	dims     []unit.Dimension
	enum     []string
	pattern  string
	min, max *float64
	help     string
}

// spec is the published form of a struct.
type spec struct {
	fields []field
	byName map[string]int
	short  int // index of the short field, -1 if there is none
}

func (s *spec) names() []string {
	var names []string
	for _, f := range s.fields {
		names = append(names, f.name)
	}
	return names
}

var (
	quantityType = reflect.TypeFor[unit.Quantity]()
	refType      = reflect.TypeFor[Ref]()
	specs        sync.Map // reflect.Type to *spec
)

// specOf reads the tags of a struct. A tag that makes no sense is a mistake in this program
// and panics; a test reads all of them.
func specOf(t reflect.Type) *spec {
	if s, ok := specs.Load(t); ok {
		return s.(*spec)
	}
	s := &spec{byName: map[string]int{}, short: -1}
	for _, sf := range reflect.VisibleFields(t) {
		tag := sf.Tag.Get("doc")
		if tag == "" {
			if !sf.Anonymous {
				panic("document: " + t.Name() + "." + sf.Name + " has no doc tag")
			}
			continue
		}
		name, options, _ := strings.Cut(tag, ",")
		f := field{
			name: name, index: sf.Index, typ: sf.Type, help: sf.Tag.Get("help"), pattern: sf.Tag.Get("pattern"),
			required: strings.Contains(options, "required"), short: strings.Contains(options, "short"),
			dims: dimensions(sf.Tag.Get("dim")), enum: strings.Fields(sf.Tag.Get("enum")),
			min: bound(sf.Tag.Get("min")), max: bound(sf.Tag.Get("max")),
		}
		if sf.Type == refType {
			f.pattern = "ref"
		}
		if _, ok := patterns[f.pattern]; !ok && f.pattern != "" {
			panic("document: unknown pattern " + f.pattern)
		}
		if f.short {
			s.short = len(s.fields)
		}
		s.byName[name] = len(s.fields)
		s.fields = append(s.fields, f)
	}
	specs.Store(t, s)
	return s
}

var dimensionWords = map[string]unit.Dimension{
	"count": unit.Count, "mass": unit.OfMass, "volume": unit.OfVolume, "length": unit.OfLength, "area": unit.OfArea,
	"temperature": unit.OfTemperature, "time": unit.OfTime, "share": unit.OfShare, "density": unit.OfDensity, "load": unit.OfLoad,
}

// anyDimension is every dimension that a unit can have.
var anyDimension = []unit.Dimension{
	unit.Count, unit.OfMass, unit.OfVolume, unit.OfLength, unit.OfArea, unit.OfTemperature, unit.OfTempDiff,
	unit.OfTime, unit.OfShare, unit.OfDensity, unit.OfLoad,
}

func dimensions(tag string) []unit.Dimension {
	if tag == "any" {
		return anyDimension
	}
	var out []unit.Dimension
	for _, w := range strings.Fields(tag) {
		d, ok := dimensionWords[w]
		if !ok {
			panic("document: unknown dimension " + w)
		}
		out = append(out, d)
	}
	return out
}

func bound(tag string) *float64 {
	if tag == "" {
		return nil
	}
	v, err := strconv.ParseFloat(tag, 64)
	if err != nil {
		panic(fmt.Sprintf("document: bound %q is no number", tag))
	}
	return &v
}

// item returns f for the items of a list: same rules, not required.
func (f field) item() field {
	f.typ, f.required = f.typ.Elem(), false
	if f.typ == refType {
		f.pattern = "ref"
	}
	return f
}

// within returns f with the dimensions of the field around it where it has none of its own,
// as the value and the spread of a Figure.
func (f field) within(dims []unit.Dimension) field {
	if f.dims == nil {
		f.dims = dims
	}
	return f
}
