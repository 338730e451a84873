package ingredient

import (
	"encoding/csv"
	"errors"
	"fmt"
	"io"
	"strconv"
	"strings"
)

// record is one row of a file.
type record struct {
	column map[string]int
	cells  []string
}

func (r record) cell(name string) string {
	n, ok := r.column[name]
	if !ok {
		return ""
	}
	return r.cells[n]
}

// number reads a cell that may be empty, which means unknown.
func (r record) number(name string) (v float64, known bool, err error) {
	s := r.cell(name)
	if s == "" {
		return 0, false, nil
	}
	v, err = strconv.ParseFloat(s, 64)
	if err != nil || !(v >= 0 && v <= 1e6) {
		return 0, false, fmt.Errorf("%s of %q is %q: a number of zero or more is wanted", name, r.cell("id"), s)
	}
	return v, true, nil
}

// each calls do for every row of a file below its header.
func each(file, text string, do func(record) error) error {
	in := csv.NewReader(strings.NewReader(text))
	in.ReuseRecord = true
	head, err := in.Read()
	if err != nil {
		return fmt.Errorf("%s: %w", file, err)
	}
	r := record{column: make(map[string]int, len(head))}
	for n, name := range head {
		r.column[name] = n
	}
	for {
		if r.cells, err = in.Read(); errors.Is(err, io.EOF) {
			return nil
		} else if err != nil {
			return fmt.Errorf("%s: %w", file, err)
		}
		if err := do(r); err != nil {
			line, _ := in.FieldPos(0)
			return fmt.Errorf("%s line %d: %w", file, line, err)
		}
	}
}

// list splits a cell at its semicolons.
func list(cell string) []string {
	if cell == "" {
		return nil
	}
	return strings.Split(cell, ";")
}
