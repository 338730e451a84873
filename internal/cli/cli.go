package cli

import (
	"context"
	"errors"
	"fmt"
	"io"
	"strings"

	"github.com/alecthomas/kong"
)

// Exit statuses.
const (
	exitOK     = 0
	exitFaults = 1
	exitUsage  = 2
)

// errFaults says that the documents have faults, which are printed already.
var errFaults = errors.New("the documents have faults")

// Process is what a command runs with.
type Process struct {
	Args           []string
	Stdin          io.Reader
	Stdout, Stderr io.Writer
	Env            func(string) string
}

// grammar is every command with its flags.
type grammar struct {
	Serve  serve       `cmd:"" help:"Open the pages in a browser on this machine. The first start lays in the demo."`
	Plan   planDay     `cmd:"" help:"Plan the orders of a folder of documents: amounts, checks, what to buy, timeline."`
	Check  checkDocs   `cmd:"" help:"Say what is wrong with a folder of documents, and nothing else."`
	Draw   draw        `cmd:"" help:"Draw the section of an assembly as SVG, PDF or PNG."`
	Freeze freeze      `cmd:"" help:"How long an assembly takes to freeze, or to thaw."`
	Read   readLines   `cmd:"" help:"Read ingredient lines as cooks write them: one JSON object a line of text."`
	Ranges printRanges `cmd:"" help:"Print the built-in table that formulas are judged by, to edit and give with --ranges."`
	Foods  foods       `cmd:"" help:"Turn a download of FoodData Central into ingredient documents."`
	Sheet  sheetPDF    `cmd:"" help:"Write the bench sheets of a folder of documents as PDF."`
}

const description = `Chablon answers, before anything is weighed: does it fit, what do I weigh, will it work, what do I
buy, when do I start.

Examples:
  chablon serve
  chablon plan examples/saturday
  chablon plan --json examples/saturday
  chablon check examples/saturday/ring.yaml
  chablon draw examples/saturday --assembly pear-cardamom-ring -o section.svg
  chablon sheet examples/saturday -o day.pdf
  echo "1 3/4 oz butter, soft" | chablon read -

PATH is a folder or a file of documents, in YAML or JSON.
Exit status: 0 all is well, 1 the documents have faults, 2 the command is not usable as written.`

// Run runs one command line and returns its exit status.
func Run(ctx context.Context, p Process) int {
	var g grammar
	ended := -1
	parser, err := kong.New(&g,
		kong.Name("chablon"), kong.Description(description), kong.UsageOnError(),
		kong.Writers(p.Stdout, p.Stderr), kong.Exit(func(code int) { ended = code }),
		kong.ConfigureHelp(kong.HelpOptions{Compact: true, WrapUpperBound: 100, NoExpandSubcommands: true}),
		kong.BindTo(ctx, (*context.Context)(nil)), kong.Bind(p),
	)
	if err != nil {
		fmt.Fprintln(p.Stderr, "chablon: internal:", err)
		return exitUsage
	}
	args := p.Args
	if len(args) == 0 {
		args = []string{"--help"}
	}
	kctx, err := parser.Parse(args)
	if ended >= 0 { // help was asked for and shown
		return ended
	}
	if err != nil {
		fmt.Fprintf(p.Stderr, "chablon: %v\nchablon: see chablon --help\n", err)
		return exitUsage
	}
	switch err := kctx.Run(); {
	case err == nil:
		return exitOK
	case errors.Is(err, errFaults):
		return exitFaults
	default:
		fmt.Fprintf(p.Stderr, "chablon: %s\n", strings.TrimSuffix(err.Error(), "\n"))
		return exitUsage
	}
}
