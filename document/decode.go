package document

import (
	"fmt"
	"math"
	"reflect"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"time"
	"unicode"

	"chablon/unit"
)

// Parse reads the documents of one file, in JSON or YAML: a single one, a list of them, or
// several YAML documents divided by "---". The name tells the format by its extension (.json,
// .yaml, .yml); without one a text that starts with { or [ is JSON. It returns the documents
// without fault in the order of the file, and every problem of the others, at most fifty.
// Two documents of one kind and id are a problem too. It never panics.
func Parse(name string, data []byte) ([]Document, []*Error) {
	set, errs := ParseFiles([]File{{Name: name, Data: data}})
	return set.All(), errs
}

// placed is a document with the place of its id, and of each of its fields.
type placed struct {
	doc    Document
	at     pos
	places map[string]pos
}

func parseFile(f File, p *problems) []placed {
	var out []placed
	for _, n := range roots(f.Name, f.Data, p) {
		before := len(p.list)
		d := decoder{problems: p, places: map[string]pos{}}
		doc := d.document(n)
		if p.full() {
			break
		}
		if doc != nil && len(p.list) == before {
			out = append(out, placed{doc, n.get("id").at, d.places})
		}
	}
	return out
}

// decoder fills one document from its node.
type decoder struct {
	*problems
	label  string
	places map[string]pos // of what was read, by field path
}

func (d *decoder) fail(n *node, path string, e Error) {
	d.failAt(n.at, path, e)
}

func (d *decoder) failAt(at pos, path string, e Error) {
	e.Document, e.Field = d.label, path
	d.add(at, e)
}

func (d *decoder) document(n *node) Document {
	if n.kind != mapNode {
		d.fail(n, "", Error{Found: n.found(), Reason: "is no document", Remedy: "write a document that starts with its kind and id"})
		return nil
	}
	kind := n.get("kind")
	if kind == nil {
		d.fail(n, "kind", Error{Reason: "missing", Remedy: "write " + either(Kinds())})
		return nil
	}
	doc, ok := New(kind.text)
	if !ok || kind.kind != textNode {
		d.fail(kind, "kind", Error{Found: kind.found(), Reason: "is no kind of document", Remedy: "write " + nearestOr(kind.text, Kinds())})
		return nil
	}
	d.label = kind.text
	if id := n.get("id"); id != nil && id.kind == textNode && patterns["id"].re.MatchString(id.text) {
		d.label += " " + clip(id.text)
	}
	if s := n.get("schema"); s != nil && s.kind == numberNode {
		if v, err := strconv.Atoi(s.text); err == nil && v > SchemaVersion {
			d.fail(s, "schema", Error{Found: s.found(), Reason: fmt.Sprintf("is newer than %d, the latest that this program reads", SchemaVersion), Remedy: "read it with a newer version of the program"})
			return nil
		}
	}
	d.structure(n, reflect.ValueOf(doc).Elem(), "", nil)
	return doc
}

// structure reads the fields of a map into a struct. Fields without dimensions of their own
// take dims.
func (d *decoder) structure(n *node, v reflect.Value, path string, dims []unit.Dimension) {
	s := specOf(v.Type())
	if n.kind != mapNode {
		if s.short >= 0 && n.kind != listNode {
			f := s.fields[s.short].within(dims)
			d.value(n, v.FieldByIndex(f.index), path, f)
			return
		}
		d.fail(n, path, Error{Found: n.found(), Remedy: "write " + field{typ: v.Type(), dims: dims}.want()})
		return
	}
	seen := make(map[string]bool, len(n.fields))
	for _, m := range n.fields {
		at := join(path, clip(m.key))
		i, known := s.byName[m.key]
		switch {
		case d.full():
			return
		case !known:
			d.failAt(m.at, at, Error{Reason: "no such field", Remedy: "write " + nearestOr(m.key, s.names())})
		case seen[m.key]:
			d.failAt(m.at, at, Error{Reason: "written twice", Remedy: "keep one of the two"})
		default:
			seen[m.key] = true
			f := s.fields[i].within(dims)
			before := len(d.list)
			d.value(m.value, v.FieldByIndex(f.index), at, f)
			if f.required && len(d.list) == before && !isNumber(f.typ) && v.FieldByIndex(f.index).IsZero() {
				d.fail(m.value, at, Error{Reason: "empty", Remedy: "write " + f.want()})
			}
		}
	}
	for _, f := range s.fields {
		if f.required && !seen[f.name] {
			d.fail(n, join(path, f.name), Error{Reason: "missing", Remedy: "write " + f.within(dims).want()})
		}
	}
}

func isNumber(t reflect.Type) bool { return t.Kind() == reflect.Int || t.Kind() == reflect.Float64 }

func join(path, name string) string {
	if path == "" {
		return name
	}
	return path + "." + name
}

// value reads one node into a field.
func (d *decoder) value(n *node, v reflect.Value, path string, f field) {
	d.places[path] = n.at
	if n.kind == nullNode {
		remedy := "write " + f.want()
		if !f.required {
			remedy += ", or leave the field out"
		}
		d.fail(n, path, Error{Found: n.found(), Remedy: remedy})
		return
	}
	switch {
	case f.typ == quantityType:
		d.quantity(n, v, path, f)
	case f.typ.Kind() == reflect.Struct:
		d.structure(n, v, path, f.dims)
	case f.typ.Kind() == reflect.Pointer:
		v.Set(reflect.New(f.typ.Elem()))
		d.structure(n, v.Elem(), path, f.dims)
	case f.typ.Kind() == reflect.Slice:
		d.items(n, v, path, f)
	case f.typ.Kind() == reflect.String:
		d.text(n, v, path, f)
	case f.typ.Kind() == reflect.Bool:
		if n.kind != boolNode {
			d.fail(n, path, Error{Found: n.found(), Remedy: "write true or false"})
			return
		}
		v.SetBool(strings.EqualFold(n.text, "true"))
	default:
		d.number(n, v, path, f)
	}
}

func (d *decoder) items(n *node, v reflect.Value, path string, f field) {
	if n.kind != listNode {
		d.fail(n, path, Error{Found: n.found(), Remedy: "write " + f.want()})
		return
	}
	if len(n.items) == 0 {
		return
	}
	v.Set(reflect.MakeSlice(f.typ, len(n.items), len(n.items)))
	for i, item := range n.items {
		if d.full() {
			return
		}
		d.value(item, v.Index(i), path+"["+strconv.Itoa(i)+"]", f.item())
	}
}

func (d *decoder) quantity(n *node, v reflect.Value, path string, f field) {
	if n.kind != textNode && n.kind != numberNode {
		d.fail(n, path, Error{Found: n.found(), Remedy: "write " + f.want()})
		return
	}
	q, err := quantity(n.text, f.dims)
	if err != nil {
		err.Found = n.found()
		d.fail(n, path, *err)
		return
	}
	v.Set(reflect.ValueOf(q))
}

func (d *decoder) text(n *node, v reflect.Value, path string, f field) {
	if n.kind != textNode && (n.kind != numberNode || f.pattern != "money") {
		e := Error{Found: n.found(), Remedy: "write " + f.want()}
		if n.kind == numberNode || n.kind == boolNode {
			e.Reason, e.Remedy = "is no text", "write it in quotes"
		}
		d.fail(n, path, e)
		return
	}
	s := n.text
	bad := s != "" && !f.fits(s)
	switch control := strings.IndexFunc(s, func(r rune) bool { return unicode.IsControl(r) && !strings.ContainsRune("\n\r\t", r) }); {
	case control >= 0:
		d.fail(n, path, Error{Found: n.found(), Reason: "has a control character", Remedy: "take it out"})
	case bad && len(f.enum) > 0:
		d.fail(n, path, Error{Found: n.found(), Remedy: "write " + nearestOr(s, f.enum)})
	case bad:
		d.fail(n, path, Error{Found: n.found(), Remedy: "write " + f.want()})
	default:
		v.SetString(s)
	}
}

// fits reports whether a text is one of the enum and has the form of the pattern.
func (f field) fits(s string) bool {
	if len(f.enum) > 0 && !slices.Contains(f.enum, s) {
		return false
	}
	if f.pattern == "" {
		return true
	}
	if !patterns[f.pattern].re.MatchString(s) {
		return false
	}
	switch f.pattern {
	case "id", "ref":
		return len(s) <= maxID
	case "date", "time": // the pattern leaves the calendar open: 2026-02-30
		_, err := time.Parse(time.DateOnly, s[:len(time.DateOnly)])
		return err == nil
	}
	return true
}

var wholePattern = regexp.MustCompile(`^-?(0|[1-9][0-9]*)$`)

func (d *decoder) number(n *node, v reflect.Value, path string, f field) {
	x, err := strconv.ParseFloat(n.text, 64)
	whole := f.typ.Kind() == reflect.Int
	if n.kind != numberNode || err != nil || math.IsInf(x, 0) || (whole && !wholePattern.MatchString(n.text)) ||
		(f.min != nil && x < *f.min) || (f.max != nil && x > *f.max) || math.Abs(x) > 1e15 {
		d.fail(n, path, Error{Found: n.found(), Remedy: "write " + f.want()})
		return
	}
	if whole {
		v.SetInt(int64(x))
	} else {
		v.SetFloat(x + 0) // no negative zero
	}
}
