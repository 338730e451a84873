package document

import (
	"bytes"
	"encoding/json"
	"reflect"
	"strconv"
	"strings"
)

// Marshal writes d as JSON: fields in the order of its struct, empty ones left out, quantities
// as they were written, structs with nothing but their short field in the short form. Parse
// reads the same document back if it was valid. The kind is that of the Go type.
func Marshal(d Document) []byte {
	var b bytes.Buffer
	writeJSON(&b, encodeDocument(d), "")
	b.WriteByte('\n')
	return b.Bytes()
}

// MarshalYAML writes the same as Marshal in YAML, for reading.
func MarshalYAML(d Document) []byte {
	var b bytes.Buffer
	writeYAML(&b, encodeDocument(d), 0)
	return b.Bytes()
}

func encodeDocument(d Document) *node {
	n := encodeStruct(reflect.ValueOf(d).Elem())
	kind := text(KindOf(d))
	if old := n.get("kind"); old != nil {
		*old = *kind
		return n
	}
	return &node{kind: mapNode, fields: append([]member{{key: "kind", value: kind}}, n.fields...)}
}

func text(s string) *node { return &node{kind: textNode, text: s} }

func encodeStruct(v reflect.Value) *node {
	n, s := &node{kind: mapNode}, specOf(v.Type())
	for _, f := range s.fields {
		fv := v.FieldByIndex(f.index)
		if isEmpty(fv) && (!f.required || !isNumber(f.typ)) {
			continue
		}
		value := encode(fv)
		value.bare = value.bare || f.pattern == "money"
		n.put(f.name, value)
	}
	return n
}

// isEmpty reports whether a field says nothing: quantities without text, lists without items,
// groups of empty fields.
func isEmpty(v reflect.Value) bool {
	switch {
	case v.Type() == quantityType:
		return v.FieldByName("Text").Len() == 0
	case v.Kind() == reflect.Slice:
		return v.Len() == 0
	case v.Kind() == reflect.Struct:
		for i := range v.NumField() {
			if !isEmpty(v.Field(i)) {
				return false
			}
		}
		return true
	}
	return v.IsZero()
}

func encode(v reflect.Value) *node {
	switch {
	case v.Type() == quantityType:
		q := text(v.FieldByName("Text").String())
		q.bare = true
		return q
	case v.Kind() == reflect.Struct:
		n, s := encodeStruct(v), specOf(v.Type())
		if s.short >= 0 && len(n.fields) == 1 && n.fields[0].key == s.fields[s.short].name && n.fields[0].value.kind != mapNode {
			return n.fields[0].value
		}
		return n
	case v.Kind() == reflect.Pointer:
		return encode(v.Elem())
	case v.Kind() == reflect.Slice:
		n := &node{kind: listNode}
		for i := range v.Len() {
			n.items = append(n.items, encode(v.Index(i)))
		}
		return n
	case v.Kind() == reflect.String:
		return text(v.String())
	case v.Kind() == reflect.Bool:
		return &node{kind: boolNode, text: strconv.FormatBool(v.Bool())}
	case v.Kind() == reflect.Int:
		return &node{kind: numberNode, text: strconv.FormatInt(v.Int(), 10)}
	}
	return number(v.Float())
}

func number(x float64) *node {
	return &node{kind: numberNode, text: strconv.FormatFloat(x, 'f', -1, 64)}
}

func writeJSON(b *bytes.Buffer, n *node, indent string) {
	inner := indent + "  "
	switch {
	case n.kind == textNode:
		b.WriteString(quoteJSON(n.text))
	case n.kind == listNode && len(n.items) > 0:
		b.WriteByte('[')
		for i, item := range n.items {
			b.WriteString(separator(i) + inner)
			writeJSON(b, item, inner)
		}
		b.WriteString("\n" + indent + "]")
	case n.kind == listNode:
		b.WriteString("[]")
	case n.kind == mapNode && len(n.fields) > 0:
		b.WriteByte('{')
		for i, m := range n.fields {
			b.WriteString(separator(i) + inner + quoteJSON(m.key) + ": ")
			writeJSON(b, m.value, inner)
		}
		b.WriteString("\n" + indent + "}")
	case n.kind == mapNode:
		b.WriteString("{}")
	default:
		b.WriteString(n.text)
	}
}

func separator(i int) string {
	if i == 0 {
		return "\n"
	}
	return ",\n"
}

// quoteJSON writes a JSON string with its letters as they are: é, ½, <.
func quoteJSON(s string) string {
	var b strings.Builder
	e := json.NewEncoder(&b)
	e.SetEscapeHTML(false)
	if err := e.Encode(s); err != nil {
		panic("document: a string cannot fail: " + err.Error())
	}
	return strings.TrimSuffix(b.String(), "\n")
}
