package unit

import (
	"fmt"
	"strconv"
	"strings"
	"unicode"
	"unicode/utf8"
)

// Range is a number as a cook writes it: one value (Low == High) or "2 to 3".
type Range struct{ Low, High float64 }

// Mid returns the middle of the range: the value itself where there is only one.
func (r Range) Mid() float64 { return (r.Low + r.High) / 2 }

// vulgar maps the fraction characters of Unicode to their values.
var vulgar = map[rune]float64{
	'½': 1. / 2, '⅓': 1. / 3, '⅔': 2. / 3, '¼': 1. / 4, '¾': 3. / 4, '⅕': 1. / 5, '⅖': 2. / 5, '⅗': 3. / 5, '⅘': 4. / 5,
	'⅙': 1. / 6, '⅚': 5. / 6, '⅐': 1. / 7, '⅛': 1. / 8, '⅜': 3. / 8, '⅝': 5. / 8, '⅞': 7. / 8, '⅑': 1. / 9, '⅒': 1. / 10,
}

// ParseNumber reads the number at the start of s and returns it with the text that follows.
// It accepts whole numbers, a decimal point or comma (0.5, 0,5), fractions (1/8, 1⁄8, ½), mixed
// numbers (3 1/2, 3½, 1-1/2) and ranges (2-3, 2–3, 2 to 3). A minus sign is refused, and so is
// a comma before exactly three digits ("1,250"), which may mean thousands or thousandths. The
// numbers are finite and at most 1e15, so that no conversion of them overflows.
func ParseNumber(s string) (r Range, rest string, err error) {
	start := trimSpaceLeft(s)
	low, rest, err := simpleNumber(start)
	if err != nil {
		return Range{}, s, err
	}
	r = Range{low, low}
	after := trimSpaceLeft(rest)
	tail, isRange := "", false
	for _, sep := range []string{"–", "—", "-", "to ", "or "} {
		if strings.HasPrefix(after, sep) {
			tail, isRange = trimSpaceLeft(after[len(sep):]), true
			break
		}
	}
	if isRange && startsNumber(tail) {
		high, rest2, err := simpleNumber(tail)
		if err != nil {
			return Range{}, s, err
		}
		if high < low {
			return Range{}, s, fmt.Errorf("the range %q runs backwards: write the smaller number first", clip(strings.TrimSpace(start[:len(start)-len(rest2)])))
		}
		return Range{low, high}, rest2, nil
	}
	return r, rest, nil
}

func trimSpaceLeft(s string) string { return strings.TrimLeftFunc(s, unicode.IsSpace) }

func startsNumber(s string) bool {
	c, _ := utf8.DecodeRuneInString(s)
	_, isVulgar := vulgar[c]
	return isVulgar || (c >= '0' && c <= '9')
}

// simpleNumber reads one number, mixed fractions included, and no range.
func simpleNumber(s string) (float64, string, error) {
	if strings.HasPrefix(s, "-") || strings.HasPrefix(s, "−") {
		return 0, s, fmt.Errorf("the number in %q is negative: write a number of zero or more", clip(s))
	}
	if c, n := utf8.DecodeRuneInString(s); vulgar[c] > 0 {
		return vulgar[c], s[n:], nil
	}
	whole, rest, err := decimal(s)
	if err != nil {
		return 0, s, err
	}
	if strings.ContainsAny(s[:len(s)-len(rest)], ".,") { // 3.5½ and 1.5/2 mean nothing
		return whole, rest, nil
	}
	if c, n := utf8.DecodeRuneInString(rest); vulgar[c] > 0 { // 3½
		return whole + vulgar[c], rest[n:], nil
	}
	if den, after, ok, err := slash(rest); err != nil {
		return 0, s, err
	} else if ok { // 1/8
		return whole / den, after, nil
	}
	gap := trimSpaceLeft(rest)
	if len(gap) < len(rest) || strings.HasPrefix(gap, "-") { // "3 1/2", "3 ½" or "1-1/2"
		gap = strings.TrimPrefix(gap, "-")
		if c, n := utf8.DecodeRuneInString(gap); vulgar[c] > 0 {
			return whole + vulgar[c], gap[n:], nil
		}
		if num, after, err := digits(gap); err == nil {
			if den, after2, ok, err := slash(after); err == nil && ok && num < den {
				return whole + num/den, after2, nil
			}
		}
	}
	return whole, rest, nil
}

// slash reads "/8" or "⁄8".
func slash(s string) (den float64, rest string, ok bool, err error) {
	for _, bar := range []string{"/", "⁄"} {
		if strings.HasPrefix(s, bar) {
			den, rest, err = digits(s[len(bar):])
			if err != nil {
				return 0, s, false, nil // a unit such as "g/ml" follows, not a fraction
			}
			if den == 0 {
				return 0, s, false, fmt.Errorf("a fraction with 0 below the bar has no value")
			}
			return den, rest, true, nil
		}
	}
	return 0, s, false, nil
}

// digits reads a whole number.
func digits(s string) (float64, string, error) {
	v, rest, err := decimal(s)
	if err == nil && strings.ContainsAny(s[:len(s)-len(rest)], ".,") {
		err = fmt.Errorf("%q is not a whole number", clip(s[:len(s)-len(rest)]))
	}
	return v, rest, err
}

// most bounds a number as written; what it measures has bounds of its own.
const most = 1e15

// decimal reads digits with at most one decimal point or comma.
func decimal(s string) (float64, string, error) {
	i, mark := 0, -1
	for i < len(s) {
		switch c := s[i]; {
		case c >= '0' && c <= '9':
		case (c == '.' || c == ',') && mark < 0 && i+1 < len(s) && s[i+1] >= '0' && s[i+1] <= '9':
			mark = i
		default:
			goto end
		}
		i++
	}
end:
	if i == 0 {
		return 0, s, fmt.Errorf("%q does not start with a number", clip(s))
	}
	text := s[:i]
	if mark >= 0 && text[mark] == ',' {
		if i-mark-1 == 3 && text[0] != '0' {
			return 0, s, fmt.Errorf("%q may be thousands or thousandths: write %s or %s", clip(text), clip(text[:mark]+text[mark+1:]), clip(text[:mark]+"."+text[mark+1:]))
		}
		text = text[:mark] + "." + text[mark+1:]
	}
	v, err := strconv.ParseFloat(text, 64)
	if err != nil || v > most {
		return 0, s, fmt.Errorf("the number %q is too large", clip(text))
	}
	return v, s[i:], nil
}

// clip shortens a text for an error message.
func clip(s string) string {
	if utf8.RuneCountInString(s) <= 40 {
		return s
	}
	return string([]rune(s)[:39]) + "…"
}
