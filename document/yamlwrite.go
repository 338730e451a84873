package document

import (
	"bytes"
	"fmt"
	"regexp"
	"strconv"
	"strings"
	"unicode"
)

// writeYAML writes a map or a list in block style, each line indented by depth steps. Scalars
// and what is empty are written after their key by yamlValue.
func writeYAML(b *bytes.Buffer, n *node, depth int) {
	indent := strings.Repeat("  ", depth)
	for _, m := range n.fields {
		b.WriteString(indent + m.key + ":")
		yamlValue(b, m.value, depth)
	}
	for _, item := range n.items {
		b.WriteString(indent + "-")
		if item.kind == mapNode && len(item.fields) > 0 { // first field on the line of the dash
			var inner bytes.Buffer
			writeYAML(&inner, item, depth+1)
			b.WriteString(" " + strings.TrimPrefix(inner.String(), indent+"  "))
			continue
		}
		yamlValue(b, item, depth)
	}
}

func yamlValue(b *bytes.Buffer, n *node, depth int) {
	switch {
	case n.kind == mapNode && len(n.fields) > 0, n.kind == listNode && len(n.items) > 0:
		b.WriteByte('\n')
		writeYAML(b, n, depth+1)
	case n.kind == mapNode:
		b.WriteString(" {}\n")
	case n.kind == listNode:
		b.WriteString(" []\n")
	case n.kind != textNode:
		b.WriteString(" " + n.text + "\n")
	case isBlock(n.text):
		mark := "|"
		if !strings.HasSuffix(n.text, "\n") {
			mark = "|-"
		}
		b.WriteString(" " + mark + "\n")
		for line := range strings.SplitSeq(strings.TrimSuffix(n.text, "\n"), "\n") {
			b.WriteString(strings.Repeat("  ", depth+1) + line + "\n")
		}
	default:
		b.WriteString(" " + yamlScalar(n) + "\n")
	}
}

// isBlock reports whether a text is written as a literal block: several lines, none of them
// empty, indented or with a space at its end, so that nothing of it can be lost.
func isBlock(s string) bool {
	s = strings.TrimSuffix(s, "\n")
	if !strings.Contains(s, "\n") {
		return false
	}
	for line := range strings.SplitSeq(s, "\n") {
		if line == "" || line != strings.TrimSpace(line) || strings.HasPrefix(line, "---") || strings.HasPrefix(line, "...") || strings.ContainsFunc(line, needsEscape) {
			return false
		}
	}
	return true
}

func needsEscape(r rune) bool {
	return !unicode.IsPrint(r) && r != '\u00a0' && r != '\u202f'
}

// plainPattern is what may stand without quotes: letters, digits and harmless signs, colons
// only between digits, a minus only before a digit, words one space apart.
var plainPattern = regexp.MustCompile(`^(-?[0-9]|\p{L}|\p{No})([0-9]:[0-9]|[\p{L}\p{N}()/.,;%°'’+@_–-]| [\p{L}\p{N}()/+–-])*$`)

func yamlScalar(n *node) string {
	s := n.text
	if plainPattern.MatchString(s) && (plainKind(s) == textNode || n.bare && plainKind(s) == numberNode) {
		return s
	}
	var b strings.Builder
	b.WriteByte('"')
	for _, r := range s {
		switch {
		case r == '"' || r == '\\':
			b.WriteString(`\` + string(r))
		case r == '\n':
			b.WriteString(`\n`)
		case r == '\t':
			b.WriteString(`\t`)
		case r > 0xffff && needsEscape(r):
			fmt.Fprintf(&b, `\U%08X`, r)
		case needsEscape(r):
			fmt.Fprintf(&b, `\u%04X`, r)
		default:
			b.WriteString(string(r))
		}
	}
	b.WriteByte('"')
	return b.String()
}

// boolean is a node for building.
func boolean(v bool) *node { return &node{kind: boolNode, text: strconv.FormatBool(v)} }
