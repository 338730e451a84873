package cli

import (
	"bytes"
	"fmt"
	"os"
	"path/filepath"
	"strings"

	"chablon/assembly"
	"chablon/document"
	"chablon/drawing"
	"chablon/finding"
)

type draw struct {
	Path     string  `arg:"" help:"Folder or file of documents."`
	Assembly string  `required:"" help:"Id of the assembly to draw." placeholder:"ID"`
	Mould    string  `help:"Id of the mould to draw it in; its own if not said." placeholder:"ID"`
	View     string  `default:"section" help:"What to draw: section, plan (from above), exploded, or strip (a band unrolled)."`
	Scaling  string  `help:"How it goes into another mould: same-thickness, proportional or height." placeholder:"HOW"`
	Output   string  `short:"o" required:"" help:"File to write: .svg, .pdf or .png." placeholder:"FILE"`
	DPI      float64 `default:"150" help:"Resolution of a PNG."`
}

// Run draws the section.
func (c *draw) Run(p Process) error {
	ext := strings.ToLower(filepath.Ext(c.Output))
	switch ext {
	case ".svg", ".pdf", ".png":
	default:
		return fmt.Errorf("-o %s: write a name that ends in .svg, .pdf or .png", c.Output)
	}
	if c.DPI < 20 || c.DPI > 1200 {
		return fmt.Errorf("--dpi %g: write 20 to 1200", c.DPI)
	}
	book, errs, err := readPath(c.Path)
	if err != nil {
		return err
	}
	printErrors(p.Stderr, errs)
	a := book.Assemblies[c.Assembly]
	if a == nil {
		if len(errs) > 0 {
			return errFaults // what is wrong is printed above
		}
		return fmt.Errorf("--assembly %s: there is none of that id; there are %s", c.Assembly, assemblies(book))
	}
	m := a.Mould
	if c.Mould != "" {
		if m = book.Moulds[c.Mould]; m == nil {
			return fmt.Errorf("--mould %s: there is none of that id", c.Mould)
		}
	}
	how, ok := assembly.ScalingNamed(c.Scaling)
	if !ok {
		return fmt.Errorf("--scaling %s: write same-thickness, proportional or height", c.Scaling)
	}
	fitted := a.Refit(m, how, book.Owned())
	section := fitted.Assembly.Lay(m)
	d, err := c.draw(section)
	if err != nil {
		return err
	}
	for _, x := range fitted.Changes {
		fmt.Fprintf(p.Stderr, "%s: %s %s instead of %s: %s\n", x.Layer, x.What, x.To, x.From, x.Why)
	}
	section.Findings = append(section.Findings, fitted.Findings...)
	var out bytes.Buffer
	switch ext {
	case ".svg":
		out.Write(d.SVG())
	case ".pdf":
		err = d.PDF(&out)
	default:
		err = d.PNG(&out, c.DPI)
	}
	if err != nil {
		return err
	}
	if err := os.WriteFile(c.Output, out.Bytes(), 0o644); err != nil {
		return err
	}
	printFindings(p.Stderr, section.Findings)
	if len(errs) > 0 || section.Findings.Worst() == finding.Fault {
		return errFaults
	}
	return nil
}

// draw makes the drawing of the view that was asked for.
func (c *draw) draw(s *assembly.Section) (*drawing.Drawing, error) {
	switch c.View {
	case "section":
		return drawing.Section(s, drawing.Options{}), nil
	case "plan":
		return drawing.Plan(s, drawing.Options{}), nil
	case "exploded":
		return drawing.Exploded(s, drawing.Options{}), nil
	case "strip":
		for i := range s.Layers {
			if s.Layers[i].Kind == assembly.Band {
				return drawing.Unrolled(s, &s.Layers[i], drawing.Options{}), nil
			}
		}
		return nil, fmt.Errorf("--view strip: assembly %s has no band", s.Assembly.ID)
	}
	return nil, fmt.Errorf("--view %s: write section, plan, exploded or strip", c.View)
}

func assemblies(book *document.Book) string {
	var ids []string
	for _, a := range document.Every[*document.Assembly](book.Set) {
		ids = append(ids, a.ID)
	}
	if len(ids) == 0 {
		return "none at all"
	}
	return strings.Join(ids, ", ")
}
