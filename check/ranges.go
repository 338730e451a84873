package check

import (
	_ "embed"
	"encoding/csv"
	"errors"
	"fmt"
	"io"
	"slices"
	"strconv"
	"strings"
	"sync"

	"chablon/finding"
)

//go:embed ranges.csv
var rangesCSV string

// Range is one row of the working ranges of the trade: what is usual for a kind of component.
type Range struct {
	Type     string // a kind, as Kinds lists them: "genoise"
	Quantity string // a part, "egg" or "flour+starch"; or a measure, "specific gravity"
	Basis    string // the parts that are 100, "flour+starch"; "total" is all that goes in; empty for a measure
	Low      float64
	High     float64
	Unit     string // "%", "°C", "kg/m³", "ratio", "min" or "% vol"
	Note     string // when the row applies, and what happens outside it
	Source   string
	Kind     string // of the source: "published", "from memory" or "common practice"
}

// Table holds ranges by type. The zero Table has none.
type Table struct {
	rows []Range
	by   map[string][]judged
}

// judged are the rows of one type that bound the same figure: a formula is in range if one of
// them holds it.
type judged struct {
	quantity, basis string
	rows            []Range
}

// rangeColumns is the first line of a table.
var rangeColumns = []string{"type", "quantity", "basis", "low", "high", "unit", "note", "source", "kind"}

// sourceKinds are what a row's source may be.
var sourceKinds = []string{"published", "from memory", "common practice"}

// Ranges reads a table of ranges in CSV. Its first line names the columns: type, quantity,
// basis, low, high, unit, note, source, kind. A quantity is a measure, whose basis is empty, or
// parts joined by + with a basis of parts and "=100" ("flour+starch=100", "total=100"); only
// gelatin, a measure, is written on total=100. Several rows may bound the same figure, for
// different uses; the note says which.
//
// The error names the line, what was found and what is accepted.
func Ranges(text string) (Table, error) {
	r := csv.NewReader(strings.NewReader(text))
	r.FieldsPerRecord = len(rangeColumns)
	head, err := r.Read()
	if err != nil {
		return Table{}, fmt.Errorf("ranges: %w: the first line names the columns %s", err, strings.Join(rangeColumns, ","))
	}
	if !slices.Equal(head, rangeColumns) {
		return Table{}, fmt.Errorf("ranges: the columns are %s: write %s", strings.Join(head, ","), strings.Join(rangeColumns, ","))
	}
	t := Table{by: map[string][]judged{}}
	for {
		cells, err := r.Read()
		if errors.Is(err, io.EOF) {
			return t, nil
		}
		if err != nil {
			return Table{}, fmt.Errorf("ranges: %w: each row has the cells %s", err, strings.Join(rangeColumns, ","))
		}
		line, _ := r.FieldPos(0)
		row, err := readRange(cells)
		if err != nil {
			return Table{}, fmt.Errorf("ranges line %d: %w", line, err)
		}
		t.add(row)
	}
}

func (t *Table) add(row Range) {
	t.rows = append(t.rows, row)
	groups := t.by[row.Type]
	for i := range groups {
		if groups[i].quantity == row.Quantity && groups[i].basis == row.Basis {
			groups[i].rows = append(groups[i].rows, row)
			return
		}
	}
	t.by[row.Type] = append(groups, judged{row.Quantity, row.Basis, []Range{row}})
}

func readRange(c []string) (Range, error) {
	row := Range{Type: c[0], Quantity: c[1], Basis: strings.TrimSuffix(c[2], "=100"), Unit: c[5], Note: c[6], Source: c[7], Kind: c[8]}
	if !slices.Contains(Kinds(), row.Type) {
		return row, fmt.Errorf("type %q is not known: write one of %s", row.Type, strings.Join(Kinds(), ", "))
	}
	if row.Basis == c[2] && c[2] != "" {
		return row, fmt.Errorf("basis %q does not say what is 100: write it as %s=100", c[2], c[2])
	}
	units, measure := measureUnits[row.Quantity]
	switch {
	case measure && row.Quantity == gelatinQuantity && row.Basis != "total":
		return row, fmt.Errorf("basis %q of gelatin is not known: write total=100", c[2])
	case measure && row.Quantity != gelatinQuantity && row.Basis != "":
		return row, fmt.Errorf("basis %q of %s has no meaning: leave it empty", c[2], row.Quantity)
	case !measure:
		if bad, ok := unknownPart(row.Quantity); ok {
			return row, fmt.Errorf("quantity %q is not known: write a part (%s) or a measure (%s)", bad, strings.Join(partNames, ", "), strings.Join(measureNames(), ", "))
		}
		if bad, ok := unknownPart(row.Basis); ok && row.Basis != "total" {
			return row, fmt.Errorf("basis %q is not known: write total=100 or parts (%s)", bad, strings.Join(partNames, ", "))
		}
		units = "%"
	}
	if row.Unit != units {
		return row, fmt.Errorf("unit %q of %s is not understood: write %s", row.Unit, row.Quantity, units)
	}
	var err error
	if row.Low, err = number(c[3], "low"); err != nil {
		return row, err
	}
	if row.High, err = number(c[4], "high"); err != nil {
		return row, err
	}
	if row.Low >= row.High {
		return row, fmt.Errorf("low %s is not below high %s: give a range with some width", c[3], c[4])
	}
	if row.Source == "" {
		return row, fmt.Errorf("has no source: name one, or write %q", finding.CommonPractice)
	}
	if !slices.Contains(sourceKinds, row.Kind) {
		return row, fmt.Errorf("kind %q of the source is not known: write one of %s", row.Kind, strings.Join(sourceKinds, ", "))
	}
	return row, nil
}

func number(cell, name string) (float64, error) {
	x, err := strconv.ParseFloat(cell, 64)
	if err != nil || !(x >= -100 && x <= 1e5) {
		return 0, fmt.Errorf("%s %q is not a figure from -100 to 100000: write a plain number such as 12.5", name, cell)
	}
	return x, nil
}

// unknownPart returns the first part of a sum that is not known.
func unknownPart(sum string) (string, bool) {
	for p := range strings.SplitSeq(sum, "+") {
		if !slices.Contains(partNames, p) {
			return p, true
		}
	}
	return "", false
}

// All returns every row, in the order of the file.
func (t Table) All() []Range { return slices.Clone(t.rows) }

// For returns the rows of a kind.
func (t Table) For(kind string) []Range {
	var out []Range
	for _, g := range t.by[kind] {
		out = append(out, g.rows...)
	}
	return out
}

var builtin = sync.OnceValue(func() Table {
	t, err := Ranges(rangesCSV)
	if err != nil {
		panic("check: " + err.Error()) // the file is embedded and tested
	}
	return t
})

// Builtin returns the product's own table, ranges.csv: the working ranges of the trade. Most are
// common practice without a source: they judge a formula, they do not prove it wrong. What a rule
// of its own judges (how hot a custard gets, the fat and the cold of whipped cream) has no row.
func Builtin() Table { return builtin() }

// BuiltinText returns the text of the built-in table, for a cook to edit and give back to Ranges.
func BuiltinText() string { return rangesCSV }
