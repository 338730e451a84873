package document

import (
	"regexp"
	"strings"
	"unicode/utf8"
)

// ReadLimit is the greatest size of a file in bytes (8 MiB). Callers stop reading one byte
// later and hand over what they have: Parse then says that the file is too large.
const ReadLimit = 8 << 20

// Limits on what a file holds; an archive of a kitchen's documents stays far below them.
const (
	maxDepth = 64      // lists and groups of fields within each other
	maxNodes = 100_000 // values, lists and groups
)

// pos is a place in a file: line and column from 1, columns in characters.
type pos struct{ line, column int }

type nodeKind uint8

const (
	nullNode nodeKind = iota
	boolNode
	numberNode // text holds the digits as written
	textNode
	listNode
	mapNode
)

// node is a value of a file in the form that JSON and YAML share.
type node struct {
	kind   nodeKind
	at     pos
	text   string
	bare   bool // for writing: a text that reads the same without quotes, such as a count
	items  []*node
	fields []member
}

// member is one field of a map; keys may repeat, the decoder reports that.
type member struct {
	key   string
	at    pos
	value *node
}

// found names a node in a message.
func (n *node) found() string {
	switch n.kind {
	case nullNode:
		return "nothing"
	case textNode:
		return quote(n.text)
	case listNode:
		return "a list"
	case mapNode:
		return "a group of fields"
	default:
		return clip(n.text)
	}
}

// get returns the first field of that name, or nil.
func (n *node) get(key string) *node {
	for i := range n.fields {
		if n.fields[i].key == key {
			return n.fields[i].value
		}
	}
	return nil
}

// put appends a field; it is for building.
func (n *node) put(key string, value *node) *node {
	n.fields = append(n.fields, member{key: key, value: value})
	return n
}

// numberPattern is a number of JSON or of YAML in its decimal form.
var numberPattern = regexp.MustCompile(`^[-+]?(\.[0-9]+|[0-9]+(\.[0-9]*)?)([eE][-+]?[0-9]+)?$`)

// roots reads a file into its top-level values. Problems of form stop it.
func roots(name string, data []byte, p *problems) []*node {
	if len(data) > ReadLimit {
		p.add(pos{}, Error{Reason: "larger than 8 MiB", Remedy: "split it into several files; pictures are kept apart from documents"})
		return nil
	}
	if at, what := firstBadByte(data); what != "" {
		p.add(at, Error{Reason: what, Remedy: "save the file as UTF-8 text"})
		return nil
	}
	text := strings.TrimPrefix(string(data), "\ufeff")
	if strings.TrimSpace(text) == "" {
		p.add(pos{1, 1}, Error{Reason: "the file is empty", Remedy: "write a document that starts with its kind and id"})
		return nil
	}
	parse := parseYAML
	if isJSON(name, text) {
		parse = parseJSON
	}
	nodes := parse(text, p)
	if len(nodes) == 0 && len(p.list) == 0 {
		p.add(pos{1, 1}, Error{Reason: "the file holds no document", Remedy: "write a document that starts with its kind and id"})
	}
	return nodes
}

// isJSON tells the format by the extension, or by the first character where there is none.
func isJSON(name, text string) bool {
	lower := strings.ToLower(name)
	switch {
	case strings.HasSuffix(lower, ".json"):
		return true
	case strings.HasSuffix(lower, ".yaml"), strings.HasSuffix(lower, ".yml"):
		return false
	}
	text = strings.TrimSpace(text)
	return strings.HasPrefix(text, "{") || strings.HasPrefix(text, "[")
}

// firstBadByte finds the first byte that is no UTF-8 text, or a NUL.
func firstBadByte(data []byte) (at pos, what string) {
	at = pos{1, 1}
	for i := 0; i < len(data); {
		c, size := rune(data[i]), 1
		if c >= utf8.RuneSelf {
			c, size = utf8.DecodeRune(data[i:])
		}
		switch {
		case c == utf8.RuneError && size == 1:
			return at, "not UTF-8 text"
		case c == 0:
			return at, "a NUL byte, which no text has"
		case c == '\n':
			at = pos{at.line + 1, 1}
		case i > 0 || c != '\ufeff':
			at.column++
		}
		i += size
	}
	return pos{}, ""
}
