package psplib

import (
	"bufio"
	"fmt"
	"io"
	"strconv"
	"strings"

	"chablon/schedule/project"
)

// Bounds of what is read, far above any published file: they keep sums in 32 bits and a
// malformed count from asking for all the memory there is.
const (
	maxJobs      = 100_000
	maxResources = 1_000
	maxValue     = 10_000_000
	maxHorizon   = project.MaxHorizon
)

// source is the lines of a file with their numbers.
type source struct {
	lines  []string
	number []int
}

func readLines(r io.Reader) (*source, error) {
	s := &source{}
	scanner := bufio.NewScanner(r)
	scanner.Buffer(nil, 1<<24)
	for n := 1; scanner.Scan(); n++ {
		if text := strings.TrimSpace(scanner.Text()); text != "" {
			s.lines, s.number = append(s.lines, text), append(s.number, n)
		}
	}
	if err := scanner.Err(); err != nil {
		return nil, fmt.Errorf("line %d: %w", len(s.lines)+1, err)
	}
	if len(s.lines) == 0 {
		return nil, fmt.Errorf("line 1: the file is empty")
	}
	return s, nil
}

// tokens reads the words of a file one after another, from line on.
type tokens struct {
	src  *source
	line int
	rest []string
}

// next returns the next word as a whole number from low to high.
func (t *tokens) next(what string, low, high int) (int32, error) {
	word, err := t.word(what)
	if err != nil {
		return 0, err
	}
	return t.number(word, what, low, high)
}

func (t *tokens) word(what string) (string, error) {
	for len(t.rest) == 0 {
		if t.line >= len(t.src.lines) {
			return "", fmt.Errorf("line %d: the file ends where %s is expected", t.src.number[len(t.src.number)-1], what)
		}
		t.rest = strings.Fields(t.src.lines[t.line])
		t.line++
	}
	word := t.rest[0]
	t.rest = t.rest[1:]
	return word, nil
}

func (t *tokens) number(word, what string, low, high int) (int32, error) {
	n, err := strconv.Atoi(word)
	if err != nil || n < low || n > high {
		return 0, t.errorf("%s is %q; a whole number from %d to %d is expected", what, word, low, high)
	}
	return int32(n), nil
}

// errorf names the line of the last word read.
func (t *tokens) errorf(format string, args ...any) error {
	return fmt.Errorf("line %d: %s", t.src.number[max(0, t.line-1)], fmt.Sprintf(format, args...))
}

// done reports words that are left over.
func (t *tokens) done() error {
	if word, err := t.word("the end"); err == nil {
		return t.errorf("%q stands where the end of the file is expected", word)
	}
	return nil
}
