package sheet

import "chablon/drawing"

// The content of a sheet, from which both the pages and the HTML are made. A section is a heading
// with blocks under it; a block is a paragraph, table, step, box or figure.

// section is a part that carries its heading on to the next page.
type section struct {
	id, title, note string
	level           int // 1 a part of the sheet, 2 a component, order line or day within it
	blocks          []block
}

type block interface{ block() }

// style is how a span is set.
type style uint8

const (
	bold style = 1 << iota
	italic
)

type span struct {
	text string
	style
}

// para is a paragraph.
type para struct {
	spans []span
	small bool
	tick  bool // a box to tick before it
}

// table is rows under a head that stands on each page anew. Widths are shares of the page.
type table struct {
	name  string // what it lists, for those who cannot see it
	cols  []column
	rows  []row
	small bool
}

type column struct {
	title string
	share float64
	right bool
}

type row struct {
	tick  string // what a box to tick stands for; no box if empty
	group bool   // one cell across: a heading within the table
	total bool
	cells []cell
}

type cell struct {
	spans []span
	small bool
}

// step is one thing to do; it stays on one page.
type step struct {
	id      string
	number  string
	when    string // start, from the timeline
	hazards []string
	body    []para
	signs   []para // the gist of hazards whose caution stands earlier in the section
	box     *box   // the cautions of hazards that stand here first
}

// box is cautions with a border and a sign.
type box struct{ paras []para }

// figure is a drawing with words beside it.
type figure struct {
	drawing *drawing.Drawing
	beside  []block
}

func (para) block()   {}
func (table) block()  {}
func (step) block()   {}
func (box) block()    {}
func (figure) block() {}

func plain(s string) para           { return para{spans: []span{{text: s}}} }
func smallText(s string) para       { return para{spans: []span{{text: s}}, small: true} }
func labelled(label, s string) para { return para{spans: []span{{label + " ", bold}, {text: s}}} }
func words(s string) cell           { return cell{spans: []span{{text: s}}} }
func strong(s string) cell          { return cell{spans: []span{{s, bold}}} }
func little(s string) cell          { return cell{spans: []span{{text: s}}, small: true} }
func littleText(l, s string) para   { p := labelled(l, s); p.small = true; return p }
func slanted(label, s string) para  { return para{spans: []span{{label + " ", bold}, {s, italic}}} }
