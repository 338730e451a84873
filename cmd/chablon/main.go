// Command chablon plans composed desserts: it serves the pages, and plans, checks, draws and
// prints documents from the command line.
package main

import (
	"context"
	"os"
	"os/signal"
	"syscall"

	_ "time/tzdata" // a bare machine may have no time zones

	"chablon/internal/cli"
)

func main() {
	ctx, stop := signal.NotifyContext(context.Background(), os.Interrupt, syscall.SIGTERM)
	defer stop()
	os.Exit(cli.Run(ctx, cli.Process{Args: os.Args[1:], Stdin: os.Stdin, Stdout: os.Stdout, Stderr: os.Stderr, Env: os.Getenv}))
}
