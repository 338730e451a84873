package document

import (
	"bytes"
	"reflect"
	"slices"
	"strings"
	"unicode"

	"chablon/unit"
)

// SchemaID names the published schema of SchemaVersion.
const SchemaID = "urn:chablon:document:1"

// Schema returns the JSON Schema (draft 2020-12) of a file: one document of any kind, or a
// list of them. It follows the same tags as Parse. What it cannot say, and Parse checks: the
// units of a quantity (in the description only), the calendar, and ids that are taken.
func Schema() []byte {
	b := schemaBuilder{defs: map[string]*node{}}
	var kinds []*node
	for _, k := range kindTable {
		kinds = append(kinds, b.ref(field{typ: k.typ}))
	}
	root := group().
		put("$schema", text("https://json-schema.org/draft/2020-12/schema")).
		put("$id", text(SchemaID)).
		put("title", text("Documents of the pastry kitchen")).
		put("oneOf", list(
			group().put("$ref", text("#/$defs/document")),
			group().put("type", text("array")).put("minItems", number(1)).put("items", group().put("$ref", text("#/$defs/document"))),
		))
	defs := group().put("document", group().put("oneOf", list(kinds...)))
	for _, name := range b.order {
		defs.put(name, b.defs[name])
	}
	var out bytes.Buffer
	writeJSON(&out, root.put("$defs", defs), "")
	out.WriteByte('\n')
	return out.Bytes()
}

func group() *node               { return &node{kind: mapNode} }
func list(items ...*node) *node  { return &node{kind: listNode, items: items} }
func texts(words []string) *node { return list(each(words)...) }

func each(words []string) []*node {
	var out []*node
	for _, w := range words {
		out = append(out, text(w))
	}
	return out
}

// schemaBuilder collects the definitions in the order in which they are first needed.
type schemaBuilder struct {
	defs  map[string]*node
	order []string
}

// ref defines the type of a field once and returns a reference to it.
func (b *schemaBuilder) ref(f field) *node {
	name := defName(f)
	if _, ok := b.defs[name]; !ok {
		b.order = append(b.order, name)
		b.defs[name] = nil // types do not contain themselves, but the order is kept
		if f.typ == quantityType {
			b.defs[name] = quantitySchema(f.dims)
		} else {
			b.defs[name] = b.structSchema(f)
		}
	}
	return group().put("$ref", text("#/$defs/"+name))
}

// defName is the name of a type in lower case, with the dimensions that it takes from its field.
func defName(f field) string {
	var name strings.Builder
	for i, r := range f.typ.Name() {
		if unicode.IsUpper(r) && i > 0 {
			name.WriteByte('-')
		}
		name.WriteRune(unicode.ToLower(r))
	}
	if f.typ != quantityType && f.typ != reflect.TypeFor[Figure]() {
		return name.String()
	}
	if len(f.dims) == len(anyDimension) {
		return name.String() + "-any"
	}
	for word, d := range dimensionWords {
		if len(f.dims) == 1 && f.dims[0] == d {
			return name.String() + "-" + word
		}
	}
	for _, d := range f.dims {
		name.WriteString("-" + strings.ReplaceAll(d.String(), " ", "-"))
	}
	return name.String()
}

// quantitySchema describes a quantity: a text, or a bare number where a count or a share may be.
func quantitySchema(dims []unit.Dimension) *node {
	words := group().put("type", text("string")).put("minLength", number(1))
	bare := group().put("type", text("number")).put("minimum", number(0))
	n := group().put("description", text(wanted(dims)))
	switch {
	case slices.Contains(dims, unit.Count):
		return n.put("oneOf", list(words, bare))
	case slices.Contains(dims, unit.OfShare):
		return n.put("oneOf", list(words, bare.put("maximum", number(1))))
	}
	n.fields = append(n.fields, words.fields...)
	return n
}

func (b *schemaBuilder) structSchema(f field) *node {
	s := specOf(f.typ)
	properties, required := group(), []string{}
	for _, sub := range s.fields {
		sub = sub.within(f.dims)
		p := b.fieldSchema(sub)
		if sub.name == "kind" && kindName(f.typ) != "" {
			p = group().put("const", text(kindName(f.typ))).put("description", text(sub.help))
		}
		properties.put(sub.name, p)
		if sub.required {
			required = append(required, sub.name)
		}
	}
	object := group().put("type", text("object"))
	if len(required) > 0 {
		object.put("required", texts(required))
	}
	object.put("properties", properties).put("additionalProperties", boolean(false))
	if s.short < 0 {
		return object
	}
	short := s.fields[s.short].within(f.dims)
	short.required = short.typ.Kind() == reflect.String
	return group().put("oneOf", list(b.shortSchema(short), object))
}

// shortSchema describes a scalar that stands for a struct; the short field of a short field is
// followed down to the scalar.
func (b *schemaBuilder) shortSchema(f field) *node {
	for f.typ != quantityType && f.typ.Kind() == reflect.Struct {
		s := specOf(f.typ)
		f = s.fields[s.short].within(f.dims)
	}
	return b.fieldSchema(f)
}

func kindName(t reflect.Type) string {
	for _, k := range kindTable {
		if k.typ == t {
			return k.name
		}
	}
	return ""
}

// fieldSchema describes one field, with its help.
func (b *schemaBuilder) fieldSchema(f field) *node {
	n := group()
	if f.help != "" {
		n.put("description", text(f.help))
	}
	if f.typ == quantityType || f.typ.Kind() == reflect.Struct {
		return n.putAll(b.ref(f))
	}
	switch f.typ.Kind() {
	case reflect.Pointer:
		f.typ = f.typ.Elem()
		return n.putAll(b.ref(f))
	case reflect.Slice:
		item := f.item()
		item.help = ""
		n.put("type", text("array")).put("items", b.fieldSchema(item))
		if f.required {
			n.put("minItems", number(1))
		}
	case reflect.Bool:
		n.put("type", text("boolean"))
	case reflect.Int:
		n.put("type", text("integer"))
	case reflect.Float64:
		n.put("type", text("number"))
	default:
		return n.putAll(textSchema(f))
	}
	if isNumber(f.typ) {
		if f.min != nil {
			n.put("minimum", number(*f.min))
		}
		if f.max != nil {
			n.put("maximum", number(*f.max))
		}
	}
	return n
}

// textSchema describes a text. Left empty it counts as left out, which a required one may not be.
func textSchema(f field) *node {
	words := f.enum
	if len(words) > 0 && !f.required {
		words = append(slices.Clone(words), "")
	}
	n := group().put("type", text("string"))
	switch {
	case len(words) > 0:
		n.put("enum", texts(words))
	case f.pattern != "":
		re := patterns[f.pattern].re.String()
		if !f.required {
			re = "^$|" + re
		}
		n.put("pattern", text(re))
	case f.required:
		n.put("minLength", number(1))
	}
	if f.pattern == "id" || f.pattern == "ref" {
		n.put("maxLength", number(maxID))
	}
	if f.pattern == "money" {
		return group().put("oneOf", list(n, group().put("type", text("number")).put("minimum", number(0))))
	}
	return n
}

func (n *node) putAll(other *node) *node {
	n.fields = append(n.fields, other.fields...)
	return n
}
