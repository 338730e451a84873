package document

import (
	"errors"
	"fmt"
	"io"
	"strings"

	"github.com/goccy/go-yaml"
	"github.com/goccy/go-yaml/ast"
	"github.com/goccy/go-yaml/parser"
	"github.com/goccy/go-yaml/scanner"
	"github.com/goccy/go-yaml/token"
)

// Bounds on the work before the nodes can be counted. A node has at most five tokens; of the
// signs that may make tokens some more stand in plain texts. The parser's time grows with the
// square of the fields of one group in block style, of which no document has a hundred.
const (
	maxTokens = 5 * maxNodes
	maxSigns  = 15 * maxNodes
	maxFields = 1000
)

// parseYAML reads every document of a stream into the values at the top. A panic of the
// library becomes a problem like any other.
func parseYAML(text string, p *problems) (out []*node) {
	defer func() {
		if r := recover(); r != nil {
			out = nil
			p.add(pos{1, 1}, Error{Reason: fmt.Sprintf("internal: the YAML reader failed: %v", r), Remedy: "write the file as JSON, and report this"})
		}
	}()
	signs := 0
	for i := range len(text) {
		if strings.IndexByte("[]{},:-?&*!|>'\"%@`", text[i]) >= 0 {
			signs++
		}
	}
	if signs > maxSigns {
		p.add(pos{}, *tooMany())
		return nil
	}
	streams := tokenize(text, p)
	if len(p.list) > 0 {
		return nil
	}
	b := &yamlBuilder{problems: p}
	for _, tokens := range streams {
		file, err := parser.Parse(tokens, 0, parser.AllowDuplicateMapKey())
		if err != nil {
			p.add(yamlError(err, tokens))
			continue
		}
		for _, d := range file.Docs {
			if d.Body == nil {
				continue
			}
			n := b.build(d.Body, 0)
			switch {
			case b.failed:
				return nil
			case n.kind == listNode:
				out = append(out, n.items...)
			default:
				out = append(out, n)
			}
		}
	}
	return out
}

// yamlError turns the library's error into ours, without its excerpt of the file.
func yamlError(err error, tokens token.Tokens) (pos, Error) {
	at, message := place(tokens[0]), "not readable"
	var syntax *yaml.SyntaxError
	if errors.As(err, &syntax) {
		message = strings.NewReplacer("\t", `\t`, "\n", `\n`, "\r", `\r`).Replace(clip(syntax.Message))
		if syntax.Token != nil {
			at = place(syntax.Token)
		}
	}
	return at, Error{Reason: "not YAML, " + message, Remedy: "check indentation, and put texts with : # or quotes into double quotes"}
}

func place(t *token.Token) pos { return pos{t.Position.Line, max(t.Position.Column, 1)} }

// refused are the features of YAML that make a file mean something else than it shows.
var refused = map[token.Type]string{
	token.AnchorType:     "is an anchor",
	token.AliasType:      "is an alias",
	token.TagType:        "is a tag",
	token.MergeKeyType:   "is a merge key",
	token.MappingKeyType: "is a complex key",
	token.DirectiveType:  "is a directive",
}

// tokenize splits the text into tokens, one list for each document of the stream. It stops at
// what is refused and at structures that are too deep or too large for the parser, which
// calls itself for every level.
func tokenize(text string, p *problems) []token.Tokens {
	var (
		s       scanner.Scanner
		streams []token.Tokens
		current token.Tokens
		flow    int     // brackets that are open
		blocks  []block // that are open
		count   int
	)
	s.Init(text)
	for {
		part, err := s.Scan()
		if err == io.EOF {
			break
		}
		for _, t := range part {
			if t.Type == token.CommentType {
				continue
			}
			if count++; count > maxTokens {
				p.add(place(t), *tooMany())
				return nil
			}
			if reason, ok := refused[t.Type]; ok {
				if p.full() {
					return nil
				}
				p.add(place(t), Error{Found: quote(t.Value), Reason: reason + " of YAML and is not read here", Remedy: "write the value out, or put a text into quotes"})
				continue
			}
			switch t.Type {
			case token.DocumentHeaderType, token.DocumentEndType:
				streams, current, blocks, flow = append(streams, current), nil, blocks[:0], 0
				continue
			case token.SequenceStartType, token.MappingStartType:
				flow++
			case token.SequenceEndType, token.MappingEndType:
				flow--
			case token.SequenceEntryType:
				blocks = openAt(blocks, t.Position.Column, 0)
			case token.MappingValueType:
				if flow == 0 && len(current) > 0 {
					blocks = openAt(blocks, current[len(current)-1].Position.Column, 1)
				}
			}
			if flow > maxDepth || len(blocks) > 2*maxDepth {
				p.add(place(t), tooDeep())
				return nil
			}
			if len(blocks) > 0 && blocks[len(blocks)-1].fields > maxFields {
				p.add(place(t), Error{Reason: fmt.Sprintf("more than %d fields in one group", maxFields), Remedy: "check indentation; items of a list start with a dash"})
				return nil
			}
			current = append(current, t)
		}
	}
	return linked(append(streams, current))
}

// block is a list or a group in block style: the column of its dashes or keys, and how many
// keys it has so far.
type block struct{ column, fields int }

// openAt closes the blocks that lie right of a column, opens one there if none is, and counts
// its fields.
func openAt(blocks []block, column, fields int) []block {
	for len(blocks) > 0 && blocks[len(blocks)-1].column > column {
		blocks = blocks[:len(blocks)-1]
	}
	if len(blocks) == 0 || blocks[len(blocks)-1].column < column {
		blocks = append(blocks, block{column: column})
	}
	blocks[len(blocks)-1].fields += fields
	return blocks
}

// linked drops empty streams and ties the tokens of each together, and to no other.
func linked(streams []token.Tokens) []token.Tokens {
	var out []token.Tokens
	for _, tokens := range streams {
		if len(tokens) == 0 {
			continue
		}
		for i, t := range tokens {
			t.Prev, t.Next = nil, nil
			if i > 0 {
				t.Prev, tokens[i-1].Next = tokens[i-1], t
			}
		}
		out = append(out, tokens)
	}
	return out
}

func tooDeep() Error {
	return Error{Reason: fmt.Sprintf("nested deeper than %d levels", maxDepth), Remedy: "no document needs that; check indentation and brackets"}
}

// yamlBuilder turns the library's tree into nodes.
type yamlBuilder struct {
	*problems
	nodes  int
	failed bool
}

func (b *yamlBuilder) fail(at pos, e Error) *node {
	if !b.failed {
		b.add(at, e)
	}
	b.failed = true
	return &node{at: at}
}

func (b *yamlBuilder) build(y ast.Node, depth int) *node {
	if y == nil || y.GetToken() == nil {
		return b.fail(pos{1, 1}, Error{Reason: "not YAML", Remedy: "check indentation and brackets"})
	}
	t := y.GetToken()
	n := &node{at: place(t)}
	if b.nodes++; b.nodes > maxNodes {
		return b.fail(n.at, *tooMany())
	}
	if depth > maxDepth {
		return b.fail(n.at, tooDeep())
	}
	switch y := y.(type) {
	case *ast.MappingNode:
		n.kind = mapNode
		for _, v := range y.Values {
			b.member(n, v, depth)
		}
	case *ast.MappingValueNode:
		n.kind = mapNode
		b.member(n, y, depth)
	case *ast.SequenceNode:
		n.kind = listNode
		for _, v := range y.Values {
			n.items = append(n.items, b.build(v, depth+1))
		}
	case *ast.LiteralNode:
		n.kind, n.text = textNode, y.Value.Value
	case *ast.StringNode:
		n.kind, n.text = textNode, y.Value
		if t.Type != token.SingleQuoteType && t.Type != token.DoubleQuoteType {
			n.text = t.Value
			n.kind = plainKind(n.text)
		}
	case *ast.NullNode, *ast.BoolNode, *ast.IntegerNode, *ast.FloatNode, *ast.InfinityNode, *ast.NanNode:
		n.text = strings.TrimSpace(t.Value)
		n.kind = plainKind(n.text)
	default:
		return b.fail(n.at, Error{Found: quote(t.Value), Reason: "is not read here", Remedy: "write plain values, lists and fields only"})
	}
	return n
}

func (b *yamlBuilder) member(n *node, v *ast.MappingValueNode, depth int) {
	if b.failed {
		return
	}
	key := b.build(v.Key, depth)
	if key.kind == listNode || key.kind == mapNode {
		b.fail(key.at, Error{Found: key.found(), Reason: "is no field name", Remedy: "write a name"})
	}
	if len(n.fields) == 0 && n.at.line >= key.at.line && n.at.column > key.at.column {
		n.at = key.at // a block starts at its first key, not at the colon
	}
	n.fields = append(n.fields, member{key: key.text, at: key.at, value: b.build(v.Value, depth+1)})
}

// plainKind tells what a scalar without quotes is, by the core schema of YAML 1.2 with decimal
// numbers only.
func plainKind(s string) nodeKind {
	switch s {
	case "", "~", "null", "Null", "NULL":
		return nullNode
	case "true", "True", "TRUE", "false", "False", "FALSE":
		return boolNode
	}
	if numberPattern.MatchString(s) {
		return numberNode
	}
	return textNode
}
