package cli

import (
	"fmt"
	"io"

	"chablon/document"
	"chablon/finding"
	"chablon/plan"
	"chablon/unit"
)

type checkDocs struct {
	Path string `arg:"" help:"Folder or file of documents."`
	rangesFile
}

// Run prints every problem of the documents and every finding on what they say.
func (c *checkDocs) Run(p Process) error {
	book, errs, err := readPath(c.Path)
	if err != nil {
		return err
	}
	job := book.Job()
	if len(job.Orders) == 0 { // each assembly in its own mould
		job = book.JobFor(draftOrder(book))
	}
	if job.Ranges, err = c.table(); err != nil {
		return err
	}
	day := plan.Amounts(job)
	printErrors(p.Stderr, errs)
	printFindings(p.Stdout, day.Findings)
	n := len(errs) + day.Findings.Count(finding.Fault)
	fmt.Fprintf(p.Stdout, "%s, %s, %s\n", unit.Counted(n, "fault"), unit.Counted(day.Findings.Count(finding.Caution), "caution"), unit.Counted(day.Findings.Count(finding.Note), "note"))
	if n > 0 {
		return errFaults
	}
	return nil
}

// draftOrder orders one piece of every assembly in its own mould.
func draftOrder(book *document.Book) plan.Order {
	o := plan.Order{ID: "draft", Name: "Draft"}
	for _, d := range document.Every[*document.Assembly](book.Set) {
		if a := book.Assemblies[d.ID]; a != nil {
			o.Lines = append(o.Lines, plan.Line{Assembly: a, Mould: a.Mould, Pieces: 1})
		}
	}
	return o
}

func printErrors(w io.Writer, errs []*document.Error) {
	for _, e := range errs {
		fmt.Fprintln(w, e)
	}
}

func printFindings(w io.Writer, list finding.List) {
	for _, f := range list {
		fmt.Fprintf(w, "%s: %s: %s", f.Level, f.Where, f.Reason)
		if f.Remedy != "" {
			fmt.Fprintf(w, ". %s", f.Remedy)
		}
		fmt.Fprintf(w, " [%s; %s]\n", f.Code, f.Source)
	}
}
