package cli

import (
	"context"
	"encoding/json"
	"fmt"
	"io"
	"strings"
	"text/tabwriter"

	"chablon/document"
	"chablon/finding"
	"chablon/plan"
	"chablon/unit"
)

type planDay struct {
	Path string `arg:"" help:"Folder or file of documents."`
	JSON bool   `name:"json" help:"Print the whole result as JSON (see docs/schema/plan-1.schema.json)."`
	rangesFile
}

// Run plans the orders and prints the day.
func (c *planDay) Run(ctx context.Context, p Process) error {
	book, errs, err := readPath(c.Path)
	if err != nil {
		return err
	}
	job := book.Job()
	if job.Ranges, err = c.table(); err != nil {
		return err
	}
	day := plan.Make(ctx, job)
	printErrors(p.Stderr, errs)
	if c.JSON {
		out := json.NewEncoder(p.Stdout)
		out.SetIndent("", "  ")
		out.SetEscapeHTML(false)
		if err := out.Encode(document.Export(day, errs)); err != nil {
			return err
		}
	} else {
		printDay(p.Stdout, day)
	}
	if len(errs) > 0 || day.Findings.Has("no-plan-found") || day.Findings.Worst() == finding.Fault {
		return errFaults
	}
	return nil
}

func printDay(w io.Writer, day *plan.Day) {
	if len(day.Pieces) == 0 {
		fmt.Fprintln(w, "There are no orders to plan: add an order document.")
	}
	zone := day.Job.Kitchen.Zone
	for i := range day.Pieces {
		piece := &day.Pieces[i]
		fmt.Fprintf(w, "%s, %d in %s, for %s (%s)\n", piece.Section.Assembly.Name, piece.Pieces, piece.Section.Mould.Name, piece.Order.Name, piece.Order.Due.In(zone).Format("Mon 2 Jan 15:04"))
		t := tabwriter.NewWriter(w, 0, 0, 2, ' ', 0)
		for j := range piece.Section.Layers {
			l := &piece.Section.Layers[j]
			fmt.Fprintf(t, "  %s\t%s\t%s – %s\t%s\t%s\n", l.Name, l.Kind, l.Z0.Show(), l.Z1.Show(), l.Volume.Show(), l.Mass.Show())
			if len(l.Filled) > 1 {
				for _, f := range l.Filled {
					fmt.Fprintf(t, "    up to %s\t\t\t%s\t%s\n", f.Z1.Show(), f.Volume.Show(), f.Mass.Show())
				}
			}
		}
		t.Flush()
		var allergens []string
		for _, a := range piece.Allergens {
			allergens = append(allergens, strings.ReplaceAll(a.Name, "_", " "))
		}
		fmt.Fprintf(w, "  %s a piece; allergens: %s\n\n", piece.Section.Mass().Show(), strings.Join(allergens, ", "))
	}
	if len(day.Batches) > 0 {
		fmt.Fprintln(w, "To make")
		for i := range day.Batches {
			printBatch(w, day, &day.Batches[i])
		}
	}
	printPurchase(w, day)
	printTimeline(w, day)
	if len(day.Findings) > 0 {
		fmt.Fprintln(w, "Checks")
		printFindings(w, day.Findings)
	}
}

func printBatch(w io.Writer, day *plan.Day, b *plan.Batch) {
	each := ""
	if b.Count > 1 {
		each = fmt.Sprintf(", each of %d", b.Count)
	}
	fmt.Fprintf(w, "  %s: %s (%s%s); needed %s", b.Formula.Name, b.ToMake.Show(), b.Vessel, each, b.Needed.Show())
	for _, l := range b.Losses {
		if l.Mass >= unit.Gram/10 || l.Mass <= -unit.Gram/10 {
			fmt.Fprintf(w, ", %s %s", l.Name, l.Mass.Show())
		}
	}
	for _, l := range b.LeftOver {
		fmt.Fprintf(w, ", %s %s left", l.Name, l.Mass.Show())
	}
	fmt.Fprintln(w)
	t := tabwriter.NewWriter(w, 0, 0, 2, ' ', 0)
	for _, l := range b.Each.Lines {
		shown, _ := day.Job.Kitchen.Round(l.Mass)
		_, name := l.Of()
		note := ""
		if l.Preparation != "" {
			note = ", " + l.Preparation
		}
		fmt.Fprintf(t, "    %s\t%s%s\n", shown.Show(), name, note)
	}
	t.Flush()
}

func printPurchase(w io.Writer, day *plan.Day) {
	if len(day.Purchase) == 0 {
		return
	}
	fmt.Fprintln(w, "\nTo buy")
	t := tabwriter.NewWriter(w, 0, 0, 2, ' ', 0)
	for _, i := range day.Purchase {
		fmt.Fprintf(t, "  %s\t%s\t%s\n", i.Name, i.Buy.Text, i.Note)
	}
	t.Flush()
	fmt.Fprintln(w)
}

func printTimeline(w io.Writer, day *plan.Day) {
	zone := day.Job.Kitchen.Zone
	switch day.Status {
	case plan.Planned:
	case plan.NotPlanned:
		return
	default:
		fmt.Fprintf(w, "No plan: %s\n\n", strings.Join(day.Conflict, "; "))
		return
	}
	fmt.Fprintln(w, "Timeline (checked)")
	t := tabwriter.NewWriter(w, 0, 0, 2, ' ', 0)
	last := ""
	for i := range day.Timeline {
		e := &day.Timeline[i]
		if d := e.Start.In(zone).Format("Monday 2 January"); d != last {
			fmt.Fprintf(t, "  %s\n", d)
			last = d
		}
		name := e.Name
		if e.Mould != "" {
			name += ", " + e.Mould
		} else if e.Batch > 1 {
			name += fmt.Sprintf(", batch %d", e.Batch)
		}
		fmt.Fprintf(t, "    %s – %s\t%s: %s\t%s\n", e.Start.In(zone).Format("15:04"), e.End.In(zone).Format("Mon 15:04"), name, strings.ReplaceAll(e.Step.ID, "-", " "), strings.Join(e.Resources(), ", "))
	}
	t.Flush()
	fmt.Fprintln(w, "  Freezing, chilling and thawing times are predictions: a probe thermometer decides.")
	fmt.Fprintln(w)
}
