package cli

import (
	"context"
	"errors"
	"fmt"
	"log/slog"
	"net"
	"net/http"
	"os"
	"path/filepath"
	"time"

	"chablon/document"
	"chablon/examples"
	"chablon/internal/sqlite"
	"chablon/internal/web"
)

type serve struct {
	Addr string `default:"127.0.0.1:8420" help:"Address to listen on: this machine only."`
	Data string `help:"File that keeps the documents; a file of its own in your data folder if not said." placeholder:"FILE"`
}

// Run serves the pages until the context ends.
func (c *serve) Run(ctx context.Context, p Process) error {
	if err := loopback(c.Addr); err != nil {
		return err
	}
	file := c.Data
	if file == "" {
		var err error
		if file, err = dataFile(p.Env); err != nil {
			return err
		}
	}
	store, err := sqlite.Open(file, sqlite.Options{})
	if err != nil {
		return err
	}
	defer store.Close()
	if err := layDemo(ctx, store, time.Now()); err != nil {
		return err
	}
	listener, err := net.Listen("tcp", c.Addr)
	if err != nil {
		return fmt.Errorf("cannot listen on %s: %w: choose another with --addr", c.Addr, err)
	}
	log := slog.New(slog.NewTextHandler(p.Stderr, nil))
	server := &http.Server{
		Handler:           web.New(web.Options{Store: store, Now: time.Now, Log: log}).Handler(),
		ReadHeaderTimeout: 5 * time.Second, ReadTimeout: 30 * time.Second, WriteTimeout: 60 * time.Second,
	}
	fmt.Fprintf(p.Stdout, "Chablon is at http://%s (documents in %s; stop with Ctrl-C)\n", listener.Addr(), file)
	return serveUntil(ctx, server, listener)
}

// serveUntil serves until the context ends, then lets what is under way finish.
func serveUntil(ctx context.Context, server *http.Server, listener net.Listener) error {
	ended := make(chan error, 1)
	go func() { ended <- server.Serve(listener) }()
	select {
	case err := <-ended:
		return err
	case <-ctx.Done():
	}
	grace, cancel := context.WithTimeout(context.Background(), 5*time.Second)
	defer cancel()
	if err := server.Shutdown(grace); err != nil {
		return err
	}
	if err := <-ended; !errors.Is(err, http.ErrServerClosed) {
		return err
	}
	return nil
}

// loopback refuses addresses that others could reach: the pages have no log-in.
func loopback(addr string) error {
	host, _, err := net.SplitHostPort(addr)
	if err != nil {
		return fmt.Errorf("--addr %s is not a host and a port: write one such as 127.0.0.1:8420", addr)
	}
	if ip := net.ParseIP(host); host != "localhost" && (ip == nil || !ip.IsLoopback()) {
		return fmt.Errorf("--addr %s is not on this machine alone: write 127.0.0.1 or localhost, since the pages have no log-in", addr)
	}
	return nil
}

// dataFile returns where documents are kept: under XDG_DATA_HOME, or .local/share at home.
func dataFile(env func(string) string) (string, error) {
	base := env("XDG_DATA_HOME")
	if base == "" {
		home := env("HOME")
		if home == "" {
			return "", errors.New("no place to keep documents is known: give one with --data FILE")
		}
		base = filepath.Join(home, ".local", "share")
	}
	dir := filepath.Join(base, "chablon")
	if err := os.MkdirAll(dir, 0o700); err != nil {
		return "", fmt.Errorf("cannot make %s: %w: give another place with --data FILE", dir, err)
	}
	return filepath.Join(dir, "kitchen.db"), nil
}

// documents is what laying in the demo needs of a store.
type documents interface {
	Latest(ctx context.Context) (*document.Set, int64, error)
	PutAll(ctx context.Context, docs []document.Document) error
}

// layDemo lays the demo into an empty store, its order moved by whole weeks to the next one that
// leaves three days to work.
func layDemo(ctx context.Context, store documents, now time.Time) error {
	set, _, err := store.Latest(ctx)
	if err != nil {
		return err
	}
	if len(set.All()) > 0 {
		return nil
	}
	files, err := readFS(examples.Saturday())
	if err != nil {
		return err
	}
	demo, errs := document.ParseFiles(files)
	if len(errs) > 0 {
		return fmt.Errorf("the demo's documents have faults: %w", errs[0])
	}
	for _, o := range document.Every[*document.Order](demo) {
		o.Due = moveWeeks(o.Due, now)
	}
	return store.PutAll(ctx, demo.All())
}

// moveWeeks moves a local time by whole weeks until it lies three days or more after now. A time
// that cannot be read, or lies there already, stays.
func moveWeeks(due string, now time.Time) string {
	const layout = "2006-01-02 15:04"
	t, err := time.Parse(layout, due)
	if err != nil {
		return due
	}
	for t.Before(now.AddDate(0, 0, 3)) {
		t = t.AddDate(0, 0, 7)
	}
	return t.Format(layout)
}
