package sqlite

import (
	"context"
	"database/sql"
	_ "embed"
	"errors"
	"fmt"
	"time"

	"chablon/document"
	"chablon/internal/storetest/contract"
)

var (
	//go:embed query/append.sql
	appendQuery string
	//go:embed query/advance.sql
	advanceQuery string
	//go:embed query/revision.sql
	revisionQuery string
	//go:embed query/last.sql
	lastQuery string
	//go:embed query/version.sql
	versionQuery string
	//go:embed query/latest.sql
	latestQuery string
	//go:embed query/history.sql
	historyQuery string
)

// edit is a version to append.
type edit struct {
	kind, id string
	expect   int
	doc      document.Document // ours to change; nil for a removal
}

// stored is a row of document_version; version 0 if there is none.
type stored struct {
	version    int
	removed    bool
	name, body string
}

// Put appends doc as a new version and returns its number. doc itself is not changed: the stored
// JSON gets the version and the schema. expect is the version that the edit was based on,
// contract.New or contract.Any; if the latest is another, the error is a *contract.Conflict.
// Where nothing differs from the latest version, none is added and the latest is returned. A
// document that Parse would not read back is an error.
func (s *Store) Put(ctx context.Context, doc document.Document, expect int) (version int, err error) {
	e, err := editOf(doc, expect)
	if err != nil {
		return 0, err
	}
	return s.append(ctx, e)
}

// PutAll appends every document as Put with contract.Any does, in one transaction: all of them
// or, with an error, none.
func (s *Store) PutAll(ctx context.Context, docs []document.Document) error {
	edits := make([]edit, 0, len(docs))
	for _, d := range docs {
		e, err := editOf(d, contract.Any)
		if err != nil {
			return err
		}
		edits = append(edits, e)
	}
	_, err := s.append(ctx, edits...)
	return err
}

// Remove appends a version that marks the document as removed, and returns its number. expect
// is as in Put. A document that is not there, or no longer, is ErrNotFound.
func (s *Store) Remove(ctx context.Context, kind, id string, expect int) (version int, err error) {
	return s.append(ctx, edit{kind: kind, id: id, expect: expect})
}

// Restore appends the content of an earlier version as a new one, and returns its number; as
// with Put none is added where nothing differs. A version that is not there, or is a removal, is
// ErrNotFound.
func (s *Store) Restore(ctx context.Context, kind, id string, version int) (restored int, err error) {
	if version <= 0 {
		return 0, notFound(kind, id, version, "versions count from 1")
	}
	doc, err := s.Get(ctx, kind, id, version)
	if err != nil {
		return 0, err
	}
	return s.append(ctx, edit{kind, id, contract.Any, doc})
}

// editOf copies a document by writing and reading it, which also shows that it can be read.
func editOf(doc document.Document, expect int) (edit, error) {
	kind := document.KindOf(doc)
	if kind == "" {
		return edit{}, fmt.Errorf("a document of type %T cannot be stored: use one of the kinds of package document", doc)
	}
	id := doc.Header().ID
	read, err := parse(kind, id, "new", document.Marshal(doc))
	return edit{kind, id, expect, read}, err
}

// append adds the versions in one transaction and returns the number of the last. The revision
// grows by one if any was added.
func (s *Store) append(ctx context.Context, edits ...edit) (version int, err error) {
	tx, err := s.write.BeginTx(ctx, nil)
	if err != nil {
		return 0, s.wrap(err)
	}
	defer tx.Rollback() //nolint:errcheck // nothing to undo after the commit
	at, added := s.now().UnixMilli(), false
	for _, e := range edits {
		last, err := one(tx.QueryRowContext(ctx, lastQuery, e.kind, e.id))
		if err != nil {
			return 0, s.wrap(err)
		}
		next, err := e.after(last)
		if err != nil {
			return 0, err
		}
		if version = next.version; version == last.version {
			continue
		}
		added = true
		if _, err := tx.ExecContext(ctx, appendQuery, e.kind, e.id, version, at, next.removed, next.name, next.body); err != nil {
			return 0, s.wrap(err)
		}
	}
	if !added {
		return version, nil
	}
	if _, err := tx.ExecContext(ctx, advanceQuery); err != nil {
		return 0, s.wrap(err)
	}
	if err := tx.Commit(); err != nil {
		return 0, s.wrap(err)
	}
	return version, nil
}

// after returns the version that follows last, or last itself if it says the same.
func (e edit) after(last stored) (stored, error) {
	isNew := last.version == 0 || last.removed
	switch {
	case e.doc == nil && last.version == 0:
		return stored{}, notFound(e.kind, e.id, 0, "")
	case e.expect == contract.New && !isNew, e.expect > 0 && e.expect != last.version, e.expect < contract.Any:
		return stored{}, &contract.Conflict{Kind: e.kind, ID: e.id, Expected: e.expect, Latest: last.version, Removed: last.removed}
	case e.doc == nil && last.removed:
		return stored{}, notFound(e.kind, e.id, 0, fmt.Sprintf("it was removed as version %d", last.version))
	case e.doc == nil:
		return stored{last.version + 1, true, last.name, ""}, nil
	}
	h := e.doc.Header()
	h.Schema, h.Version = document.SchemaVersion, last.version
	if string(document.Marshal(e.doc)) == last.body {
		return last, nil
	}
	h.Version++
	return stored{h.Version, false, h.Name, string(document.Marshal(e.doc))}, nil
}

// Get returns a version of a document, the latest for version 0. One that is not there, or that
// is a removal, is ErrNotFound.
func (s *Store) Get(ctx context.Context, kind, id string, version int) (document.Document, error) {
	query, args := lastQuery, []any{kind, id}
	if version != 0 {
		query, args = versionQuery, append(args, version)
	}
	v, err := one(s.read.QueryRowContext(ctx, query, args...))
	switch {
	case err != nil:
		return nil, s.wrap(err)
	case v.version == 0:
		return nil, notFound(kind, id, version, "")
	case v.removed:
		return nil, notFound(kind, id, version, fmt.Sprintf("it was removed as version %d", v.version))
	}
	return s.parse(kind, id, v.version, v.body)
}

// Latest returns the latest version of every document that is not removed, by kind and id, and
// the revision that they are of. The set is the caller's own.
func (s *Store) Latest(ctx context.Context) (*document.Set, int64, error) {
	tx, err := s.read.BeginTx(ctx, nil) // both queries see the same state
	if err != nil {
		return nil, 0, s.wrap(err)
	}
	defer tx.Rollback() //nolint:errcheck // it only reads
	var revision int64
	if err := tx.QueryRowContext(ctx, revisionQuery).Scan(&revision); err != nil {
		return nil, 0, s.wrap(err)
	}
	rows, err := tx.QueryContext(ctx, latestQuery)
	if err != nil {
		return nil, 0, s.wrap(err)
	}
	defer rows.Close()
	set := &document.Set{}
	for rows.Next() {
		var kind, id, body string
		var version int
		if err := rows.Scan(&kind, &id, &version, &body); err != nil {
			return nil, 0, s.wrap(err)
		}
		doc, err := s.parse(kind, id, version, body)
		if err != nil {
			return nil, 0, err
		}
		set.Add(doc)
	}
	if err := rows.Err(); err != nil {
		return nil, 0, s.wrap(err)
	}
	return set, revision, nil
}

// Revision returns how many writes there have been. It grows by one with each that adds at least
// one version, never else.
func (s *Store) Revision(ctx context.Context) (int64, error) {
	var revision int64
	err := s.read.QueryRowContext(ctx, revisionQuery).Scan(&revision)
	return revision, s.wrap(err)
}

// History returns every version of a document, the newest first, with its removals. A document
// that never was is ErrNotFound.
func (s *Store) History(ctx context.Context, kind, id string) ([]contract.Entry, error) {
	rows, err := s.read.QueryContext(ctx, historyQuery, kind, id)
	if err != nil {
		return nil, s.wrap(err)
	}
	defer rows.Close()
	var entries []contract.Entry
	for rows.Next() {
		var e contract.Entry
		var at int64
		if err := rows.Scan(&e.Version, &at, &e.Removed, &e.Name); err != nil {
			return nil, s.wrap(err)
		}
		e.At = time.UnixMilli(at).UTC()
		entries = append(entries, e)
	}
	if err := rows.Err(); err != nil {
		return nil, s.wrap(err)
	}
	if len(entries) == 0 {
		return nil, notFound(kind, id, 0, "")
	}
	return entries, nil
}

// one scans a version, a zero one if there is no row.
func one(row *sql.Row) (stored, error) {
	var v stored
	err := row.Scan(&v.version, &v.removed, &v.name, &v.body)
	if errors.Is(err, sql.ErrNoRows) {
		return stored{}, nil
	}
	return v, err
}

// parse reads a stored body; one that cannot be read is an error that names the file.
func (s *Store) parse(kind, id string, version int, body string) (document.Document, error) {
	doc, err := parse(kind, id, fmt.Sprint(version), []byte(body))
	return doc, s.wrap(err)
}

// parse reads the JSON of one document, which must be that of its kind and id.
func parse(kind, id, version string, data []byte) (document.Document, error) {
	docs, problems := document.Parse(fmt.Sprintf("%s %s@%s.json", kind, id, version), data)
	if len(problems) > 0 {
		errs := make([]error, len(problems))
		for i, p := range problems {
			errs[i] = p
		}
		return nil, errors.Join(errs...)
	}
	if len(docs) != 1 || document.KindOf(docs[0]) != kind || docs[0].Header().ID != id {
		return nil, fmt.Errorf("%s %s@%s: its text is of another document", kind, id, version)
	}
	return docs[0], nil
}

// notFound names what is missing, and why if that is known.
func notFound(kind, id string, version int, why string) error {
	name := kind + " " + id
	if version != 0 {
		name = fmt.Sprintf("%s@%d", name, version)
	}
	if why != "" {
		why = ": " + why
	}
	return fmt.Errorf("%s: %w%s", name, contract.ErrNotFound, why)
}
