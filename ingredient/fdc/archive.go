package fdc

import (
	"archive/zip"
	"encoding/csv"
	"errors"
	"fmt"
	"io"
	"math"
	"path"
	"strconv"
	"strings"
)

// Bounds on what a download may hold, far above the published ones, so that a hostile file ends
// in an error and not in a full memory or a day of work.
const (
	longestRow = 1 << 20  // bytes of one row
	freeBytes  = 16 << 20 // of any file; beyond it the file may be mostRatio times its packed size
	mostRatio  = 100
	mostRows   = 200_000 // of the small files that are kept: nutrients, units, categories
)

// archive is the zip with its CSV files by name.
type archive map[string]*zip.File

func open(r io.ReaderAt, size int64) (archive, error) {
	z, err := zip.NewReader(r, size)
	if err != nil {
		return nil, &Error{Reason: "is not a zip file that can be read (" + err.Error() + "); download it again"}
	}
	a := archive{}
	for _, f := range z.File {
		name := path.Base(strings.ReplaceAll(f.Name, `\`, "/"))
		if !strings.HasSuffix(name, ".csv") || strings.HasPrefix(name, ".") || strings.Contains(f.Name, "__MACOSX") {
			continue
		}
		if a[name] != nil {
			return nil, &Error{File: name, Reason: "is in the zip twice; use a zip of one download"}
		}
		a[name] = f
	}
	return a, nil
}

// bounded reads a file of the zip up to its allowances and fails beyond them.
type bounded struct {
	in         io.Reader
	left       int64 // of the whole file
	row        int64 // of the row being read
	name, over string
}

func (b *bounded) Read(p []byte) (int, error) {
	if b.left <= 0 {
		return 0, &Error{File: b.name, Reason: fmt.Sprintf("unpacks to more than %d times its size in the zip; this is no published download", mostRatio)}
	}
	if b.row <= 0 {
		return 0, &Error{File: b.name, Reason: b.over}
	}
	n, err := b.in.Read(p[:min(int64(len(p)), b.left, b.row)])
	b.left -= int64(n)
	b.row -= int64(n)
	return n, err
}

// table reads one CSV file row by row.
type table struct {
	name   string
	closer io.Closer
	from   *bounded
	csv    *csv.Reader
	column map[string]int
	row    []string
	line   int
}

// table opens a file and reads its first row, which must name the columns asked for.
func (a archive) table(name string, columns ...string) (*table, error) {
	f := a[name]
	if f == nil {
		return nil, &Error{File: name, Reason: "is not in the zip; use the CSV download as published"}
	}
	in, err := f.Open()
	if err != nil {
		return nil, &Error{File: name, Reason: err.Error()}
	}
	packed := int64(min(f.CompressedSize64, math.MaxInt64/(2*mostRatio)))
	t := &table{name: name, closer: in, column: map[string]int{}}
	t.from = &bounded{in: in, left: freeBytes + mostRatio*packed, name: name, over: "has a row of more than 1 MB; the file is damaged"}
	t.csv = csv.NewReader(t.from)
	t.csv.ReuseRecord = true
	if ok, err := t.next(); !ok {
		t.close()
		return nil, either(err, &Error{File: name, Reason: "is empty; download it again"})
	}
	for n, c := range t.row {
		t.column[strings.TrimSpace(strings.TrimPrefix(c, "\ufeff"))] = n
	}
	for _, c := range columns {
		if _, ok := t.column[c]; !ok {
			t.close()
			return nil, &Error{File: name, Line: 1, Reason: fmt.Sprintf("has no column %q; use the CSV download as published", c)}
		}
	}
	return t, nil
}

func either(err error, other *Error) error {
	if err != nil {
		return err
	}
	return other
}

func (t *table) close() { _ = t.closer.Close() } // only read from

// next reads a row; it returns false at the end.
func (t *table) next() (bool, error) {
	t.from.row = longestRow
	row, err := t.csv.Read()
	if errors.Is(err, io.EOF) {
		return false, nil
	}
	if err != nil {
		var own *Error
		if errors.As(err, &own) {
			return false, own
		}
		var parse *csv.ParseError
		if errors.As(err, &parse) {
			return false, &Error{File: t.name, Line: parse.Line, Reason: parse.Err.Error()}
		}
		return false, &Error{File: t.name, Line: t.line + 1, Reason: err.Error()}
	}
	t.row = row
	t.line, _ = t.csv.FieldPos(0)
	return true, nil
}

// cell returns a cell of the row, "" where the file has no such column. It is valid until next.
func (t *table) cell(column string) string {
	if n, ok := t.column[column]; ok {
		return t.row[n]
	}
	return ""
}

func (t *table) fail(column, reason string) error {
	return &Error{File: t.name, Line: t.line, Column: column, Value: strings.Clone(t.cell(column)), Reason: reason}
}

// id reads a cell that must be a whole number.
func (t *table) id(column string) (uint32, error) {
	v, err := strconv.ParseUint(t.cell(column), 10, 32)
	if err != nil {
		return 0, t.fail(column, "must be a whole number")
	}
	return uint32(v), nil
}

// number reads a cell that must be a number or empty, which is unknown.
func (t *table) number(column string) (v float64, known bool, err error) {
	s := t.cell(column)
	if s == "" {
		return 0, false, nil
	}
	v, err = strconv.ParseFloat(s, 64)
	if err != nil || math.IsNaN(v) || math.IsInf(v, 0) {
		return 0, false, t.fail(column, "must be a number, or empty where it is unknown")
	}
	return v, true, nil
}

// short cuts a text to at most n bytes and makes a copy that does not hold on to its row.
func short(s string, n int) string {
	if len(s) > n {
		s = s[:n]
	}
	return strings.Clone(strings.ToValidUTF8(s, ""))
}
