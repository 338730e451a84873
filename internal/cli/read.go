package cli

import (
	"bytes"
	"encoding/json"
	"fmt"
	"io"
	"os"
	"strings"

	"chablon/notebook"
)

type readLines struct {
	File    string `arg:"" help:"Text, HTML or JSON-LD file; - for standard input."`
	Country string `enum:"us,uk,au,fr,metric" default:"us" help:"Whose cups, spoons and pints: us, uk, au, fr or metric."`
	EggSize string `help:"Egg that is meant, such as us-large or eu-m." placeholder:"SIZE"`
}

// mostText bounds what is read: more than any book of one evening.
const mostText = 32 << 20

// Run prints one JSON object for each line of text that is not blank, in order. A line that says
// two things ("2 eggs plus 1 yolk") has the further ones under "and".
func (c *readLines) Run(p Process) error {
	in, name := p.Stdin, "standard input"
	if c.File != "-" {
		f, err := os.Open(c.File)
		if err != nil {
			return fmt.Errorf("cannot read %s: %w", c.File, err)
		}
		defer f.Close()
		in, name = f, c.File
	}
	data, err := io.ReadAll(io.LimitReader(in, mostText+1))
	if err != nil {
		return fmt.Errorf("cannot read %s: %w", name, err)
	}
	if len(data) > mostText {
		return fmt.Errorf("%s is larger than %d MiB: read it in parts", name, mostText>>20)
	}
	out := json.NewEncoder(p.Stdout)
	out.SetEscapeHTML(false)
	return c.lines(data, func(lines []notebook.Line) error {
		object, err := lineObject(lines)
		if err != nil {
			return err
		}
		return out.Encode(object)
	})
}

// lines reads the text and calls each with what every line of it says.
func (c *readLines) lines(data []byte, each func([]notebook.Line) error) error {
	o := notebook.Options{Country: c.Country, EggSize: c.EggSize}
	var page notebook.Page
	var err error
	switch start := bytes.TrimLeft(data, " \t\r\n\ufeff"); {
	case bytes.HasPrefix(start, []byte("<")):
		page, err = notebook.ReadHTML(bytes.NewReader(data), o)
	case bytes.HasPrefix(start, []byte("{")), bytes.HasPrefix(start, []byte("[")):
		page, err = notebook.ReadJSONLD(data, o)
	default:
		return c.text(string(data), o, each)
	}
	if err != nil {
		return fmt.Errorf("%s: %w", c.File, err)
	}
	return byText(page.Lines(), each)
}

// text reads plain text line by line; a heading gives its name to the lines below it.
func (c *readLines) text(text string, o notebook.Options, each func([]notebook.Line) error) error {
	group := ""
	for line := range strings.Lines(text) {
		line = strings.TrimRight(line, "\r\n")
		if strings.TrimSpace(line) == "" {
			continue
		}
		lines := notebook.ReadLine(line, o)
		for i := range lines {
			lines[i].Group = group
		}
		if len(lines) == 1 && lines[0].Kind == notebook.Heading {
			group, lines[0].Group = lines[0].Name, ""
		}
		if err := each(lines); err != nil {
			return err
		}
	}
	return nil
}

// byText calls each with the runs of readings of one and the same line.
func byText(lines []notebook.Line, each func([]notebook.Line) error) error {
	for from := 0; from < len(lines); {
		to := from + 1
		for to < len(lines) && lines[to].Text == lines[from].Text && lines[to].Group == lines[from].Group {
			to++
		}
		if err := each(lines[from:to]); err != nil {
			return err
		}
		from = to
	}
	return nil
}

// lineObject is the published form of a line: that of its first reading, with the others.
func lineObject(lines []notebook.Line) (json.RawMessage, error) {
	if len(lines) == 0 {
		return json.RawMessage("{}"), nil
	}
	object, err := json.Marshal(lines[0])
	if err != nil || len(lines) == 1 {
		return object, err
	}
	and, err := json.Marshal(lines[1:])
	if err != nil {
		return nil, err
	}
	object = append(object[:len(object)-1], `,"and":`...)
	return append(append(object, and...), '}'), nil
}
