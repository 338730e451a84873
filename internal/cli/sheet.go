package cli

import (
	"bytes"
	"context"
	"fmt"
	"os"
	"path/filepath"
	"strings"

	"chablon/finding"
	"chablon/plan"
	"chablon/sheet"
)

type sheetPDF struct {
	Path   string `arg:"" help:"Folder or file of documents."`
	Order  string `help:"Id of the one order to print; all of them if not said." placeholder:"ID"`
	Output string `short:"o" required:"" help:"File to write, .pdf." placeholder:"FILE"`
	Letter bool   `help:"US Letter paper instead of A4."`
}

// Run writes the bench sheets.
func (c *sheetPDF) Run(ctx context.Context, p Process) error {
	if !strings.EqualFold(filepath.Ext(c.Output), ".pdf") {
		return fmt.Errorf("-o %s: write a name that ends in .pdf", c.Output)
	}
	book, errs, err := readPath(c.Path)
	if err != nil {
		return err
	}
	printErrors(p.Stderr, errs)
	day := plan.Make(ctx, book.Job())
	if len(day.Pieces) == 0 {
		return fmt.Errorf("%s has no order that can be printed: add an order document", c.Path)
	}
	o := sheet.Options{Order: c.Order}
	if c.Letter {
		o.Paper = sheet.Letter
	}
	var out bytes.Buffer
	if err := sheet.New(day, o).PDF(&out); err != nil {
		return err
	}
	if err := os.WriteFile(c.Output, out.Bytes(), 0o644); err != nil {
		return err
	}
	if len(errs) > 0 || day.Findings.Worst() == finding.Fault {
		printFindings(p.Stderr, day.Findings)
		return errFaults
	}
	return nil
}
