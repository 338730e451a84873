// Command rcpsp plans published project scheduling problems: PSPLIB (.sm, .mm), Patterson (.rcp),
// ProGen/max (.sch), job shop (.jss), and the JSON form of package project.
//
// It prints one JSON object for each file, and on standard error a table of the distance from
// best known values where a best_known.csv lies in the folder or above it.
package main

import (
	"context"
	"os"
	"os/signal"
	"syscall"
)

func main() {
	ctx, stop := signal.NotifyContext(context.Background(), os.Interrupt, syscall.SIGTERM)
	defer stop()
	os.Exit(run(ctx, os.Args[1:], os.Stdout, os.Stderr))
}
