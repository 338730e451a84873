package document

import (
	"reflect"
	"strconv"
)

// want describes what a field accepts, to complete "write".
func (f field) want() string {
	switch {
	case f.typ == quantityType:
		return wanted(f.dims)
	case len(f.enum) > 0 && f.typ.Kind() == reflect.String:
		return either(f.enum)
	case f.pattern != "" && f.typ.Kind() == reflect.String:
		return patterns[f.pattern].want
	}
	switch f.typ.Kind() {
	case reflect.Int:
		return "a whole number" + f.bounds()
	case reflect.Float64:
		return "a number" + f.bounds()
	case reflect.Bool:
		return "true or false"
	case reflect.String:
		return "a text"
	case reflect.Slice:
		if f.required {
			return "a list of at least one"
		}
		return "a list"
	case reflect.Pointer:
		f.typ = f.typ.Elem()
	}
	s := specOf(f.typ)
	if s.short >= 0 {
		return s.fields[s.short].within(f.dims).want() + ", or a group of the fields " + either(s.names())
	}
	return "a group of the fields " + either(s.names())
}

func (f field) bounds() string {
	show := func(x *float64) string { return strconv.FormatFloat(*x, 'f', -1, 64) }
	switch {
	case f.min != nil && f.max != nil:
		return " from " + show(f.min) + " to " + show(f.max)
	case f.min != nil:
		return " of " + show(f.min) + " or more"
	case f.max != nil:
		return " of " + show(f.max) + " or less"
	}
	return ""
}

// nearestOr returns the word that is most like what was written, or all of them if none is.
func nearestOr(written string, words []string) string {
	best, least := "", 3 // more than two changes is another word
	if len(written) <= 40 {
		for _, w := range words {
			if n := changes(written, w); n < least && n < len(w) {
				best, least = w, n
			}
		}
	}
	if best == "" {
		return either(words)
	}
	return best
}

// changes counts the letters to add, drop or replace to get from a to b (Levenshtein distance).
func changes(a, b string) int {
	row := make([]int, len(b)+1)
	for j := range row {
		row[j] = j
	}
	for i := range len(a) {
		diagonal := row[0]
		row[0] = i + 1
		for j := range len(b) {
			cost := diagonal
			if a[i] != b[j] {
				cost++
			}
			diagonal = row[j+1]
			row[j+1] = min(cost, row[j]+1, row[j+1]+1)
		}
	}
	return row[len(b)]
}
