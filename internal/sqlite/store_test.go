package sqlite

import (
	"context"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"sync"
	"testing"
	"testing/fstest"
	"time"

	"chablon/document"
	"chablon/internal/storetest"
	"chablon/internal/storetest/contract"
)

var _ storetest.Store = (*Store)(nil)

func TestMemory(t *testing.T) {
	storetest.Run(t, func(t testing.TB) storetest.Store { return mustOpen(t, "") })
}

func TestFile(t *testing.T) {
	folder, n := t.TempDir(), 0
	storetest.Run(t, func(t testing.TB) storetest.Store {
		n++
		return mustOpen(t, filepath.Join(folder, fmt.Sprint(n, ".db")))
	})
}

func mustOpen(t testing.TB, path string) *Store {
	t.Helper()
	s, err := Open(path, Options{})
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { s.Close() })
	return s
}

func formula(id, notes string) document.Document {
	return &document.Formula{Head: document.Head{ID: id, Notes: notes}}
}

func mustPut(t *testing.T, s *Store, d document.Document) {
	t.Helper()
	if _, err := s.Put(t.Context(), d, contract.Any); err != nil {
		t.Fatal(err)
	}
}

// A file keeps everything, also where its path has characters that mean something in a URI.
func TestReopen(t *testing.T) {
	path := filepath.Join(t.TempDir(), "a b%20?x=1#ü&.db")
	now := time.Date(2026, 12, 5, 18, 0, 0, 123_456_789, time.FixedZone("east", 3600))
	s, err := Open(path, Options{Now: func() time.Time { return now }})
	if err != nil {
		t.Fatal(err)
	}
	mustPut(t, s, formula("a", "one"))
	mustPut(t, s, formula("a", "two"))
	if err := s.Close(); err != nil {
		t.Fatal(err)
	}
	if _, err := os.Stat(path); err != nil {
		t.Fatal(err)
	}
	s = mustOpen(t, path)
	set, revision, err := s.Latest(t.Context())
	if err != nil || revision != 2 || len(set.All()) != 1 || set.All()[0].Header().Notes != "two" {
		t.Errorf("after reopening: %v at revision %d, %v", set.All(), revision, err)
	}
	entries, err := s.History(t.Context(), "formula", "a")
	if err != nil || len(entries) != 2 {
		t.Fatal(entries, err)
	}
	// 18:00 one hour east of Greenwich, cut to milliseconds.
	if want := time.Date(2026, 12, 5, 17, 0, 0, 123_000_000, time.UTC); entries[0].At != want {
		t.Errorf("stored at %v, want %v", entries[0].At, want)
	}
	left, err := filepath.Glob(filepath.Join(filepath.Dir(path), "*.bak"))
	if err != nil || len(left) > 0 {
		t.Errorf("a file of the latest schema was copied: %v, %v", left, err)
	}
}

// Two stores on one file, as two programs, see each other's writes and do not lose any.
func TestTwoPrograms(t *testing.T) {
	path := filepath.Join(t.TempDir(), "x.db")
	const programs, writes = 4, 10
	var group sync.WaitGroup
	for p := range programs {
		group.Go(func() {
			s, err := Open(path, Options{})
			if err != nil {
				t.Error(err)
				return
			}
			defer s.Close()
			for w := range writes {
				if _, err := s.Put(t.Context(), formula("a", fmt.Sprint(p, " ", w)), contract.Any); err != nil {
					t.Error(err)
				}
			}
		})
	}
	group.Wait()
	if got, err := mustOpen(t, path).Revision(t.Context()); err != nil || got != programs*writes {
		t.Errorf("revision %d, %v; want %d", got, err, programs*writes)
	}
}

func TestRefused(t *testing.T) {
	folder := t.TempDir()
	newer, other := filepath.Join(folder, "newer.db"), filepath.Join(folder, "other.db")
	for path, text := range map[string]string{
		newer: `PRAGMA user_version = 99`,
		other: `PRAGMA user_version = 0; PRAGMA application_id = 0`, // with tables that we do not know
	} {
		s := mustOpen(t, path)
		if _, err := s.write.ExecContext(t.Context(), text); err != nil {
			t.Fatal(err)
		}
		s.Close()
	}
	garbage, tooShort := filepath.Join(folder, "garbage.db"), filepath.Join(folder, "short.db")
	write(t, garbage, []byte(strings.Repeat("no database ", 1000)))
	write(t, tooShort, []byte("SQLite"))
	file := filepath.Join(folder, "file")
	write(t, file, nil)
	for path, want := range map[string]string{
		newer:                                 "was written by a newer version of this program (schema 99; this one knows schema 1): use that version, or choose another file",
		other:                                 "is a database of another program: choose another file",
		garbage:                               "the file is damaged or no database; restore a copy of it, or choose another file",
		tooShort:                              "the file is damaged or no database; restore a copy of it, or choose another file",
		folder:                                "is a folder: name a file in it",
		filepath.Join(folder, "none", "x.db"): "there is no folder " + filepath.Join(folder, "none") + ": make it first",
		filepath.Join(file, "x.db"):           "there is no folder " + file + ": make it first",
	} {
		before, _ := os.ReadFile(path) // none of a folder
		s, err := Open(path, Options{})
		if err == nil {
			s.Close()
			t.Errorf("%s was opened, want an error", path)
			continue
		}
		if !strings.HasPrefix(err.Error(), "store "+path+": ") || !strings.HasSuffix(err.Error(), want) {
			t.Errorf("%s: %q, want its name and %q", path, err, want)
		}
		if after, _ := os.ReadFile(path); string(after) != string(before) {
			t.Errorf("%s was changed", path)
		}
	}
}

// Damage that shows only when a page is read gives an error with the path, not wrong documents.
func TestDamagedPages(t *testing.T) {
	path := filepath.Join(t.TempDir(), "x.db")
	s := mustOpen(t, path)
	for i := range 50 {
		mustPut(t, s, formula(fmt.Sprint("a", i), strings.Repeat("x", 1000)))
	}
	s.Close()
	data, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	for i := 4096; i < len(data); i++ { // all but the first page
		data[i] = 0xAA
	}
	write(t, path, data)
	s, err = Open(path, Options{})
	if err == nil {
		_, _, err = s.Latest(t.Context())
		s.Close()
	}
	if err == nil || !strings.Contains(err.Error(), "store "+path+": ") || !strings.Contains(err.Error(), "damaged") {
		t.Errorf("error %v, want one that names %s and says that it is damaged", err, path)
	}
}

// A body that this program cannot read is an error that names the file, the document and the field.
func TestUnreadableBody(t *testing.T) {
	s := mustOpen(t, "")
	if _, err := s.write.ExecContext(t.Context(), appendQuery, "formula", "a", 1, 0, false, "", `{"kind":"formula","id":"a","colour":"red"}`); err != nil {
		t.Fatal(err)
	}
	_, _, err := s.Latest(t.Context())
	if want := "store in memory: formula a@1.json:1:28: formula a, colour: no such field"; err == nil || !strings.HasPrefix(err.Error(), want) {
		t.Errorf("error %v, want %s", err, want)
	}
}

// The database itself refuses to change or delete a version.
func TestAppendOnly(t *testing.T) {
	s := mustOpen(t, "")
	mustPut(t, s, formula("a", "one"))
	for _, text := range []string{`UPDATE document_version SET body = ''`, `DELETE FROM document_version`} {
		if _, err := s.write.ExecContext(t.Context(), text); err == nil || !strings.Contains(err.Error(), "never") {
			t.Errorf("%s: %v, want that it is refused", text, err)
		}
	}
}

// A file of an earlier schema is copied, then migrated; if that fails, it stays as it was.
func TestMigration(t *testing.T) {
	path := filepath.Join(t.TempDir(), "x.db")
	s := mustOpen(t, path)
	mustPut(t, s, formula("a", "one"))
	s.Close()
	first, err := fs.ReadFile(embedded, "migration/001_documents.sql")
	if err != nil {
		t.Fatal(err)
	}
	o := Options{Now: func() time.Time { return time.Date(2027, 1, 2, 3, 4, 5, 0, time.UTC) }}
	files := fstest.MapFS{"001_documents.sql": {Data: first}, "002_more.sql": {Data: []byte(`CREATE TABLE more (a TEXT); CREATE TABLE more (a TEXT);`)}}
	if _, err := open(path, o, files); err == nil || !strings.Contains(err.Error(), "migration 002_more.sql: ") {
		t.Fatalf("a faulty migration: %v", err)
	}
	bak := path + ".schema-1.20270102-030405.bak"
	keep := []string{path, bak}
	for _, p := range keep { // both open as they are, and hold the document
		s := mustOpen(t, p)
		if d, err := s.Get(t.Context(), "formula", "a", 0); err != nil || d.Header().Notes != "one" {
			t.Errorf("%s: %v, %v", p, d, err)
		}
		s.Close()
	}

	files["002_more.sql"].Data = []byte(`CREATE TABLE more (a TEXT)`)
	if _, err := open(path, o, files); err == nil || !strings.Contains(err.Error(), bak) {
		t.Errorf("an earlier copy would be written over: %v", err)
	}
	o.Now = nil
	s, err = open(path, o, files)
	if err != nil {
		t.Fatal(err)
	}
	defer s.Close()
	var n int
	if err := s.read.QueryRowContext(t.Context(), `SELECT count(*) FROM more`).Scan(&n); err != nil {
		t.Error(err)
	}
	if got, err := s.Revision(t.Context()); err != nil || got != 1 {
		t.Errorf("revision %d, %v; want 1", got, err)
	}
}

// Opening an existing file takes less than 30 ms. The quickest of five counts, since the machine
// may be busy with something else.
func TestOpenIsQuick(t *testing.T) {
	path := filepath.Join(t.TempDir(), "x.db")
	s := mustOpen(t, path)
	var docs []document.Document
	for i := range 500 {
		docs = append(docs, formula(fmt.Sprint("a", i), strings.Repeat("x", 2000)))
	}
	if err := s.PutAll(t.Context(), docs); err != nil {
		t.Fatal(err)
	}
	s.Close()
	best := time.Hour
	for range 5 {
		start := time.Now()
		s, err := Open(path, Options{})
		if err != nil {
			t.Fatal(err)
		}
		if _, err := s.Revision(context.Background()); err != nil {
			t.Fatal(err)
		}
		best = min(best, time.Since(start))
		s.Close()
	}
	t.Log("open:", best)
	if best > 30*time.Millisecond {
		t.Errorf("opening takes %v, want less than 30 ms", best)
	}
}

func write(t *testing.T, path string, data []byte) {
	t.Helper()
	if err := os.WriteFile(path, data, 0o600); err != nil {
		t.Fatal(err)
	}
}
