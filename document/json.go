package document

import (
	"encoding/json"
	"fmt"
	"strings"
	"unicode/utf8"
)

// jsonReader reads one JSON text. It moves forward only, so that its time grows with the text.
type jsonReader struct {
	text  string
	i     int // offset of the next byte
	at    pos // its place
	nodes int
}

// parseJSON reads an object, or a list of objects, into the values at the top.
func parseJSON(text string, p *problems) []*node {
	r := &jsonReader{text: text, at: pos{1, 1}}
	n, err := r.value(0)
	if err == nil {
		if r.space(); r.i < len(r.text) {
			err = r.fail("text after the end of the JSON value", "put several documents into one list: [ … ]")
		}
	}
	if err != nil {
		p.add(r.at, *err)
		return nil
	}
	if n.kind == listNode {
		return n.items
	}
	return []*node{n}
}

func (r *jsonReader) fail(reason, remedy string) *Error {
	e := &Error{Reason: reason, Remedy: remedy}
	if r.i < len(r.text) {
		c, _ := utf8.DecodeRuneInString(r.text[r.i:])
		e.Found = quote(string(c))
		e.Reason = "is " + reason
	}
	return e
}

// advance moves over n bytes and counts lines and columns.
func (r *jsonReader) advance(n int) {
	for _, c := range r.text[r.i : r.i+n] {
		if c == '\n' {
			r.at = pos{r.at.line + 1, 1}
		} else {
			r.at.column++
		}
	}
	r.i += n
}

func (r *jsonReader) space() {
	n := 0
	for r.i+n < len(r.text) && strings.IndexByte(" \t\r\n", r.text[r.i+n]) >= 0 {
		n++
	}
	r.advance(n)
}

// peek returns the next byte after white space, 0 at the end.
func (r *jsonReader) peek() byte {
	if r.space(); r.i < len(r.text) {
		return r.text[r.i]
	}
	return 0
}

func (r *jsonReader) value(depth int) (*node, *Error) {
	c := r.peek()
	if depth > maxDepth {
		return nil, &Error{Reason: fmt.Sprintf("nested deeper than %d levels", maxDepth), Remedy: "no document needs that; check the brackets"}
	}
	if r.nodes++; r.nodes > maxNodes {
		return nil, tooMany()
	}
	n := &node{at: r.at}
	switch {
	case c == '{':
		n.kind = mapNode
		return n, r.object(n, depth)
	case c == '[':
		n.kind = listNode
		return n, r.array(n, depth)
	case c == '"':
		n.kind = textNode
		var err *Error
		n.text, err = r.str()
		return n, err
	case c == '-' || (c >= '0' && c <= '9'):
		n.kind = numberNode
		size := 1
		for r.i+size < len(r.text) && strings.IndexByte("+-.eE0123456789", r.text[r.i+size]) >= 0 {
			size++
		}
		n.text = r.text[r.i : r.i+size]
		if !json.Valid([]byte(n.text)) {
			return nil, &Error{Found: clip(n.text), Reason: "is no JSON number", Remedy: "write it as 0.5 or 12"}
		}
		r.advance(size)
		return n, nil
	}
	for word, kind := range map[string]nodeKind{"null": nullNode, "true": boolNode, "false": boolNode} {
		if strings.HasPrefix(r.text[r.i:], word) {
			n.kind, n.text = kind, word
			r.advance(len(word))
			return n, nil
		}
	}
	return nil, r.fail("no JSON value", `write "text", a number, true, false, [ … ] or { … }`)
}

func (r *jsonReader) object(n *node, depth int) *Error {
	r.advance(1)
	if r.peek() == '}' {
		r.advance(1)
		return nil
	}
	for {
		if r.peek() != '"' {
			return r.fail("no field name", "write the name in double quotes")
		}
		m := member{at: r.at}
		var err *Error
		if m.key, err = r.str(); err != nil {
			return err
		}
		if r.peek() != ':' {
			return r.fail("no colon after a field name", "write :")
		}
		r.advance(1)
		if m.value, err = r.value(depth + 1); err != nil {
			return err
		}
		n.fields = append(n.fields, m)
		switch r.peek() {
		case ',':
			r.advance(1)
		case '}':
			r.advance(1)
			return nil
		default:
			return r.fail("no end of the field", "write , or }")
		}
	}
}

func (r *jsonReader) array(n *node, depth int) *Error {
	r.advance(1)
	if r.peek() == ']' {
		r.advance(1)
		return nil
	}
	for {
		item, err := r.value(depth + 1)
		if err != nil {
			return err
		}
		n.items = append(n.items, item)
		switch r.peek() {
		case ',':
			r.advance(1)
		case ']':
			r.advance(1)
			return nil
		default:
			return r.fail("no end of the item", "write , or ]")
		}
	}
}

// str reads a string with its quotes.
func (r *jsonReader) str() (string, *Error) {
	size := 1
	for ; ; size++ {
		if r.i+size >= len(r.text) || r.text[r.i+size] == '\n' {
			return "", &Error{Reason: "a text without its closing quote", Remedy: `write " at its end, and \n for a new line in it`}
		}
		if r.text[r.i+size] == '\\' {
			size++
		} else if r.text[r.i+size] == '"' {
			size++
			break
		}
	}
	var s string
	if err := json.Unmarshal([]byte(r.text[r.i:r.i+size]), &s); err != nil {
		return "", &Error{Found: clip(r.text[r.i : r.i+size]), Reason: "is no JSON text", Remedy: `write control characters as \n or \t, and a backslash as \\`}
	}
	r.advance(size)
	return s, nil
}

func tooMany() *Error {
	return &Error{Reason: "more than 100,000 values in one file", Remedy: "split it into several files"}
}
