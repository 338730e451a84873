package cli

import (
	"io"

	"chablon/check"
)

type printRanges struct{}

// Run prints the table of ranges.
func (printRanges) Run(p Process) error {
	_, err := io.WriteString(p.Stdout, check.BuiltinText())
	return err
}
