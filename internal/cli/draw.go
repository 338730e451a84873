package cli

import (
	"bytes"
	"fmt"
	"os"
	"path/filepath"
	"strings"

	"chablon/document"
	"chablon/drawing"
	"chablon/finding"
)

type draw struct {
	Path     string  `arg:"" help:"Folder or file of documents."`
	Assembly string  `required:"" help:"Id of the assembly to draw." placeholder:"ID"`
	Mould    string  `help:"Id of the mould to draw it in; its own if not said." placeholder:"ID"`
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
	section := a.Lay(m)
	d := drawing.Section(section, drawing.Options{})
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
