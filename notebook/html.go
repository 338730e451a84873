package notebook

import (
	"encoding/json"
	"fmt"
	"io"
	"strings"

	"golang.org/x/net/html"
)

// mostHTML bounds a page that is read, in bytes.
const mostHTML = 16 << 20

// ReadHTML reads a page that carries a Recipe in the vocabulary of schema.org, as JSON-LD in a
// script or as microdata. A page without one is read as text. The error is that of the reader,
// or says that the page is too long.
func ReadHTML(from io.Reader, o Options) (Page, error) {
	doc, err := html.Parse(io.LimitReader(from, mostHTML))
	if err != nil {
		return Page{}, fmt.Errorf("the page cannot be read (%w): paste its text instead", err)
	}
	r := newReader(o)
	var scripts []string
	data := recipeData{}
	var text strings.Builder
	visit(doc, func(n *html.Node) bool {
		if n.Type == html.ElementNode {
			switch n.Data {
			case "script":
				if strings.HasPrefix(strings.ToLower(attribute(n, "type")), "application/ld+json") && n.FirstChild != nil {
					scripts = append(scripts, n.FirstChild.Data)
				}
				return false
			case "style", "noscript", "template", "head":
				return n.Data == "head"
			}
			data.microdata(n)
			if blockElements[n.Data] {
				text.WriteByte('\n')
			}
		}
		if n.Type == html.TextNode && n.Parent != nil && n.Parent.Data != "title" {
			text.WriteString(strings.Join(strings.Fields(n.Data), " "))
			if strings.HasSuffix(n.Data, " ") || strings.HasSuffix(n.Data, "\n") {
				text.WriteByte(' ')
			}
		}
		return true
	})
	for _, s := range scripts {
		if p, err := r.jsonLD([]byte(s)); err == nil {
			return p, nil
		}
	}
	if len(data.lines) > 0 {
		return r.recipe(data), nil
	}
	return r.page(text.String()), nil
}

var blockElements = setOf("p li br div tr h1 h2 h3 h4 h5 h6 ul ol table section article dt dd")

// visit walks the nodes without recursion, so that depth costs no stack; enter returns whether to
// look inside.
func visit(root *html.Node, enter func(*html.Node) bool) {
	for n := root; n != nil; {
		if enter(n) && n.FirstChild != nil {
			n = n.FirstChild
			continue
		}
		for n != root && n.NextSibling == nil {
			n = n.Parent
		}
		if n == root {
			return
		}
		n = n.NextSibling
	}
}

func attribute(n *html.Node, name string) string {
	for _, a := range n.Attr {
		if a.Key == name {
			return a.Val
		}
	}
	return ""
}

// recipeData is what a Recipe says, as written.
type recipeData struct {
	name, yield string
	lines       []string
	steps       []string
}

// microdata takes the properties of a Recipe from an element.
func (d *recipeData) microdata(n *html.Node) {
	switch attribute(n, "itemprop") {
	case "recipeIngredient", "ingredients":
		d.lines = append(d.lines, textOf(n))
	case "recipeInstructions":
		d.steps = append(d.steps, textOf(n))
	case "recipeYield":
		d.yield = textOf(n)
	case "name":
		if d.name == "" {
			d.name = textOf(n)
		}
	}
}

func textOf(n *html.Node) string {
	var b strings.Builder
	visit(n, func(c *html.Node) bool {
		if c.Type == html.TextNode {
			b.WriteString(c.Data)
			b.WriteByte(' ')
		}
		return b.Len() < 1<<16
	})
	return strings.Join(strings.Fields(b.String()), " ")
}

// ReadJSONLD reads a Recipe of the vocabulary of schema.org from JSON-LD: name, recipeIngredient
// (or the older ingredients), recipeInstructions as text, HowToStep or HowToSection, recipeYield.
// It is an error if the text is not JSON or has no Recipe in it.
func ReadJSONLD(data []byte, o Options) (Page, error) { return newReader(o).jsonLD(data) }

func (r *reader) jsonLD(data []byte) (Page, error) {
	var v any
	if err := json.Unmarshal(data, &v); err != nil {
		return Page{}, fmt.Errorf("the JSON-LD cannot be read (%w): paste the text of the page instead", err)
	}
	found := findRecipe(v, 0)
	if found == nil {
		return Page{}, fmt.Errorf("the JSON-LD has no Recipe: paste the text of the page instead")
	}
	d := recipeData{name: firstText(found["name"]), yield: firstText(found["recipeYield"])}
	d.lines = texts(found["recipeIngredient"])
	if len(d.lines) == 0 {
		d.lines = texts(found["ingredients"])
	}
	d.steps = instructions(found["recipeInstructions"], 0)
	return r.recipe(d), nil
}

// mostNested bounds how deep a Recipe may lie in the data.
const mostNested = 20

// findRecipe returns the first object of the type Recipe.
func findRecipe(v any, depth int) map[string]any {
	if depth > mostNested {
		return nil
	}
	switch v := v.(type) {
	case []any:
		for _, one := range v {
			if found := findRecipe(one, depth+1); found != nil {
				return found
			}
		}
	case map[string]any:
		for _, t := range texts(v["@type"]) {
			if t == "Recipe" || strings.HasSuffix(t, "schema.org/Recipe") || t == "schema:Recipe" {
				return v
			}
		}
		for _, key := range []string{"@graph", "mainEntity", "mainEntityOfPage", "itemListElement", "item", "hasPart", "about"} {
			if found := findRecipe(v[key], depth+1); found != nil {
				return found
			}
		}
	}
	return nil
}

// texts returns a text, or the texts of a list, with markup taken off.
func texts(v any) []string {
	switch v := v.(type) {
	case string:
		if s := withoutMarkup(v); s != "" {
			return []string{s}
		}
	case float64:
		return []string{fmt.Sprint(v)}
	case []any:
		var out []string
		for _, one := range v {
			switch one.(type) {
			case string, float64:
				out = append(out, texts(one)...)
			}
		}
		return out
	case map[string]any:
		return texts(v["@value"])
	}
	return nil
}

func firstText(v any) string {
	if all := texts(v); len(all) > 0 {
		return all[0]
	}
	return ""
}

// instructions flattens sections and steps.
func instructions(v any, depth int) []string {
	if depth > mostNested {
		return nil
	}
	switch v := v.(type) {
	case string:
		var out []string
		for s := range strings.SplitSeq(withoutMarkup(v), "\n") {
			if s = strings.TrimSpace(s); s != "" {
				out = append(out, s)
			}
		}
		return out
	case []any:
		var out []string
		for _, one := range v {
			out = append(out, instructions(one, depth+1)...)
		}
		return out
	case map[string]any:
		if list, ok := v["itemListElement"]; ok {
			return instructions(list, depth+1)
		}
		if s := firstText(v["text"]); s != "" {
			return []string{s}
		}
		return texts(v["name"])
	}
	return nil
}

// withoutMarkup takes tags and entities out of a text.
func withoutMarkup(s string) string {
	s = html.UnescapeString(s)
	if !strings.Contains(s, "<") {
		return strings.TrimSpace(s)
	}
	var b strings.Builder
	z := html.NewTokenizer(strings.NewReader(s))
	for {
		switch z.Next() {
		case html.ErrorToken:
			return strings.TrimSpace(b.String())
		case html.TextToken:
			b.Write(z.Text())
		case html.StartTagToken, html.SelfClosingTagToken, html.EndTagToken:
			if name, _ := z.TagName(); blockElements[string(name)] {
				b.WriteByte('\n')
			}
		}
	}
}

// recipe makes a page of what a Recipe says.
func (r *reader) recipe(d recipeData) Page {
	p := Page{Title: d.name, Yield: d.yield}
	group := Group{}
	for _, text := range d.lines {
		for _, l := range r.read(strings.Join(strings.Fields(text), " ")) {
			switch l.Kind {
			case Heading:
				if len(group.Lines) > 0 {
					p.Groups = append(p.Groups, group)
				}
				group = Group{Name: l.Name}
			case Blank:
			case Prose:
				p.Notes = append(p.Notes, l.Text)
			default:
				l.Group = group.Name
				group.Lines = append(group.Lines, l)
			}
		}
	}
	if len(group.Lines) > 0 {
		p.Groups = append(p.Groups, group)
	}
	for _, s := range d.steps {
		p.Steps = append(p.Steps, readSteps(s)...)
	}
	return p
}
