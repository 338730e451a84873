package sqlite

import (
	"context"
	"database/sql"
	"embed"
	"errors"
	"fmt"
	"io/fs"
	"net/url"
	"os"
	"path/filepath"
	"strings"
	"time"

	driver "modernc.org/sqlite"
	sqlite3 "modernc.org/sqlite/lib"
)

// applicationID marks a file as ours in its header: "CHBL" in ASCII.
const applicationID = 0x4348424c

// readers is how many connections read at the same time.
const readers = 4

//go:embed migration/*.sql
var embedded embed.FS

// Options for Open; the zero Options are those of the program.
type Options struct {
	Now func() time.Time // clock for the time of a version; time.Now if nil
}

// Store is an open file of documents. Its methods may be called from several goroutines.
type Store struct {
	path  string // empty in memory
	now   func() time.Time
	write *sql.DB // one connection, immediate transactions
	read  *sql.DB // the same as write for a store in memory
}

// Open opens the file at path, or makes it if there is none; its folder must exist. An empty
// path and ":memory:" give a store in memory, which is gone when it is closed.
//
// A file of an earlier schema is first copied to path.schema-N.TIME.bak, N its schema, and then
// migrated. A file of a later schema, of another program, or that is damaged is an error that
// names it, and is not written to.
func Open(path string, o Options) (*Store, error) {
	migrations, err := fs.Sub(embedded, "migration")
	if err != nil {
		return nil, err
	}
	return open(path, o, migrations)
}

func open(path string, o Options, migrations fs.FS) (*Store, error) {
	s := &Store{path: path, now: o.Now}
	if path == ":memory:" {
		s.path = ""
	}
	if s.now == nil {
		s.now = time.Now
	}
	if err := s.connect(); err != nil {
		return nil, s.wrap(errors.Join(err, s.Close()))
	}
	if err := s.migrate(context.Background(), migrations); err != nil {
		return nil, s.wrap(errors.Join(err, s.Close()))
	}
	return s, nil
}

// Close closes the file. The store is of no use afterwards.
func (s *Store) Close() error {
	var errs []error
	for _, db := range []*sql.DB{s.read, s.write} {
		if db != nil {
			errs = append(errs, db.Close())
		}
	}
	return errors.Join(errs...)
}

// connect makes the pools; connections follow with the first query of each.
func (s *Store) connect() (err error) {
	if s.path == "" {
		// Each connection would be a database of its own, so there is only one.
		s.write, err = sql.Open("sqlite", "file::memory:?_txlock=immediate&_pragma=foreign_keys(1)")
		if err == nil {
			s.write.SetMaxOpenConns(1)
			s.read = s.write
		}
		return err
	}
	if s.path, err = filepath.Abs(s.path); err != nil {
		return err
	}
	folder, err := os.Stat(filepath.Dir(s.path))
	if err != nil || !folder.IsDir() {
		return fmt.Errorf("there is no folder %s: make it first", filepath.Dir(s.path))
	}
	if file, err := os.Stat(s.path); err == nil && file.IsDir() {
		return errors.New("is a folder: name a file in it")
	}
	if s.write, err = sql.Open("sqlite", dsn(s.path, "_txlock", "immediate")); err != nil {
		return err
	}
	s.write.SetMaxOpenConns(1)
	if s.read, err = sql.Open("sqlite", dsn(s.path, "_pragma", "query_only(1)")); err != nil {
		return err
	}
	s.read.SetMaxOpenConns(readers)
	s.read.SetMaxIdleConns(readers)
	return nil
}

// dsn names a file to the driver, whatever characters are in its path, with what each connection
// needs and one parameter more. The WAL mode is kept by the file itself.
func dsn(path, key, value string) string {
	path = filepath.ToSlash(path)
	if !strings.HasPrefix(path, "/") { // C:/…
		path = "/" + path
	}
	q := url.Values{"_pragma": {"busy_timeout(5000)", "foreign_keys(1)"}}
	q.Add(key, value)
	return (&url.URL{Scheme: "file", Path: path, RawQuery: q.Encode()}).String()
}

// migrate brings the file to the latest schema. It writes nothing to a file that it refuses.
func (s *Store) migrate(ctx context.Context, migrations fs.FS) error {
	names, err := fs.Glob(migrations, "*.sql") // sorted by name, which starts with the number
	if err != nil {
		return err
	}
	var app, at, tables int
	err = s.write.QueryRowContext(ctx, `SELECT application_id, user_version, (SELECT count(*) FROM sqlite_schema)
		FROM pragma_application_id, pragma_user_version`).Scan(&app, &at, &tables)
	switch {
	case err != nil:
		return err
	case app != applicationID && (app != 0 || at != 0 || tables > 0):
		return errors.New("is a database of another program: choose another file")
	case at > len(names):
		return fmt.Errorf("was written by a newer version of this program (schema %d; this one knows schema %d): "+
			"use that version, or choose another file", at, len(names))
	case s.path != "":
		if err := s.useWAL(ctx); err != nil {
			return err
		}
	}
	if at == len(names) {
		return nil
	}
	if at > 0 && s.path != "" {
		bak := fmt.Sprintf("%s.schema-%d.%s.bak", s.path, at, s.now().UTC().Format("20060102-150405"))
		if _, err := s.write.ExecContext(ctx, `VACUUM INTO ?`, bak); err != nil {
			return fmt.Errorf("copy to %s before the migration: %w", bak, err)
		}
	}
	tx, err := s.write.BeginTx(ctx, nil)
	if err != nil {
		return err
	}
	defer tx.Rollback() //nolint:errcheck // nothing to undo after the commit
	// Another process may have migrated the file since.
	if err := tx.QueryRowContext(ctx, `PRAGMA user_version`).Scan(&at); err != nil {
		return err
	}
	for ; at < len(names); at++ {
		text, err := fs.ReadFile(migrations, names[at])
		if err != nil {
			return err
		}
		if _, err := tx.ExecContext(ctx, string(text)); err != nil {
			return fmt.Errorf("migration %s: %w", names[at], err)
		}
		if _, err := tx.ExecContext(ctx, fmt.Sprintf(`PRAGMA application_id = %d; PRAGMA user_version = %d`, applicationID, at+1)); err != nil {
			return err
		}
	}
	return tx.Commit()
}

// useWAL puts the file into WAL mode. SQLite does not wait for another process that is making
// the same switch, so this does.
func (s *Store) useWAL(ctx context.Context) error {
	for try := 0; ; try++ {
		_, err := s.write.ExecContext(ctx, `PRAGMA journal_mode = wal`)
		if code(err) != sqlite3.SQLITE_BUSY || try == 50 {
			return err
		}
		time.Sleep(20 * time.Millisecond)
	}
}

// code returns SQLite's primary result code of an error, 0 if there is none.
func code(err error) int {
	var e *driver.Error
	if errors.As(err, &e) {
		return e.Code() & 0xff
	}
	return 0
}

// wrap names the file in an error of the database, and says what to do about the likely ones.
func (s *Store) wrap(err error) error {
	if err == nil {
		return nil
	}
	name, remedy := s.path, ""
	if name == "" {
		name = "in memory"
	}
	switch code(err) {
	case sqlite3.SQLITE_NOTADB, sqlite3.SQLITE_CORRUPT:
		remedy = ": the file is damaged or no database; restore a copy of it, or choose another file"
	case sqlite3.SQLITE_BUSY:
		remedy = ": another program holds the file; close it and try again"
	case sqlite3.SQLITE_FULL:
		remedy = ": the disk is full; make room and try again"
	case sqlite3.SQLITE_READONLY, sqlite3.SQLITE_CANTOPEN, sqlite3.SQLITE_PERM:
		remedy = ": the file or its folder cannot be written; change their permissions, or choose another file"
	}
	return fmt.Errorf("store %s: %w%s", name, err, remedy)
}
