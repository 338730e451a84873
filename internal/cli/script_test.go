package cli_test

import (
	"context"
	"os"
	"path/filepath"
	"testing"

	"github.com/rogpeppe/go-internal/testscript"

	"chablon/internal/cli"
)

func TestMain(m *testing.M) {
	testscript.Main(m, map[string]func(){
		"chablon": func() {
			os.Exit(cli.Run(context.Background(), cli.Process{Args: os.Args[1:], Stdin: os.Stdin, Stdout: os.Stdout, Stderr: os.Stderr, Env: os.Getenv}))
		},
	})
}

// Scripts run the real command line: one file a behaviour. $DEMO is the demo's folder. In a
// script, "status N command…" wants that exit status and "huge FILE" writes 100 MB.
func TestScripts(t *testing.T) {
	demo, err := filepath.Abs("../../examples/saturday")
	if err != nil {
		t.Fatal(err)
	}
	testscript.Run(t, testscript.Params{
		Dir: "testdata", RequireExplicitExec: true,
		Setup: func(env *testscript.Env) error {
			env.Setenv("DEMO", demo)
			return nil
		},
		Cmds: map[string]func(*testscript.TestScript, bool, []string){"status": status, "huge": huge, "badutf8": badUTF8},
	})
}

// status runs a command and wants its exit status: "status 1 chablon plan .".
func status(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) < 2 {
		ts.Fatalf("usage: status N command…")
	}
	err := ts.Exec(args[1], args[2:]...)
	got := "0"
	if err != nil {
		got = exitStatus(err)
	}
	if got != args[0] {
		ts.Fatalf("exit status %s, want %s", got, args[0])
	}
}

func exitStatus(err error) string {
	type coder interface{ ExitCode() int }
	if c, ok := err.(coder); ok {
		return string(rune('0' + c.ExitCode()))
	}
	return err.Error()
}

// huge writes a file of 100 MB.
func huge(ts *testscript.TestScript, _ bool, args []string) {
	f, err := os.Create(ts.MkAbs(args[0]))
	ts.Check(err)
	defer f.Close()
	chunk := make([]byte, 1<<20)
	for i := range chunk {
		chunk[i] = '#'
	}
	for range 100 {
		_, err := f.Write(chunk)
		ts.Check(err)
	}
}

// badUTF8 writes a formula whose name has a byte that is no UTF-8.
func badUTF8(ts *testscript.TestScript, _ bool, args []string) {
	ts.Check(os.WriteFile(ts.MkAbs(args[0]), []byte("kind: formula\nid: cream\nname: cr\xe8me\n"), 0o644))
}
