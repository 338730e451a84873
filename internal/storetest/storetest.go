// Package storetest is what every store of documents promises, as an interface and as the tests
// of it. A store's own test calls Run:
//
//	storetest.Run(t, func(t testing.TB) storetest.Store { … })
package storetest

import (
	"context"
	"errors"
	"reflect"
	"testing"

	"chablon/document"
	"chablon/internal/storetest/contract"
)

// Store keeps documents and all their versions. Versions of a document count from 1 without
// gaps, and none is ever changed or deleted. Methods may be called at the same time.
type Store interface {
	// Put appends a version, unless doc says the same as the latest, and returns the latest.
	// Version and Schema of the stored document are set; doc is not changed. expect is the
	// version that the edit is based on, contract.New or contract.Any; if it is not the latest,
	// the error is contract.ErrConflict and nothing is added, even where doc says the same.
	Put(ctx context.Context, doc document.Document, expect int) (version int, err error)
	// PutAll is Put with contract.Any of all documents or, with an error, of none.
	PutAll(ctx context.Context, docs []document.Document) error
	// Remove appends a removal; after it Put may expect contract.New again.
	Remove(ctx context.Context, kind, id string, expect int) (version int, err error)
	// Restore appends the content of an earlier version, unless it is that of the latest.
	Restore(ctx context.Context, kind, id string, version int) (restored int, err error)
	// Get returns a version, the latest for 0; contract.ErrNotFound for none or a removal.
	Get(ctx context.Context, kind, id string, version int) (document.Document, error)
	// Latest returns what is there and not removed, by kind and id, and its revision.
	Latest(ctx context.Context) (*document.Set, int64, error)
	// Revision is 0 at first and grows by one with each write that adds something.
	Revision(ctx context.Context) (int64, error)
	// History returns every version, the newest first; contract.ErrNotFound for none.
	History(ctx context.Context, kind, id string) ([]contract.Entry, error)
	Close() error
}

// Run tests a store against the contract. open returns a new, empty store each time; Run closes
// it.
func Run(t *testing.T, open func(t testing.TB) Store) {
	for name, test := range map[string]func(*testing.T, Store){
		"empty": testEmpty, "every kind": testEveryKind, "conflict": testConflict, "same content": testSameContent,
		"history": testHistory, "removed": testRemoved, "restore": testRestore, "put all": testPutAll,
		"unreadable": testUnreadable, "stopped": testStopped, "writers": testWriters, "readers": testReaders,
	} {
		t.Run(name, func(t *testing.T) {
			s := open(t)
			t.Cleanup(func() {
				if err := s.Close(); err != nil {
					t.Error("close:", err)
				}
			})
			test(t, s)
		})
	}
	t.Run("random edits", func(t *testing.T) { testRandom(t, open) })
}

// text returns a formula to edit.
func text(id, notes string) *document.Formula {
	return &document.Formula{Head: document.Head{Kind: "formula", ID: id, Name: "Name of " + notes, Notes: notes}}
}

// put stores a document and fails the test unless it becomes that version.
func put(t *testing.T, s Store, doc document.Document, expect, want int) {
	t.Helper()
	if got, err := s.Put(t.Context(), doc, expect); err != nil || got != want {
		t.Fatalf("Put(%s, expect %d) = %d, %v; want version %d", doc.Header().ID, expect, got, err, want)
	}
}

// revision fails the test unless that many writes have been.
func revision(t *testing.T, s Store, want int64) {
	t.Helper()
	if got, err := s.Revision(t.Context()); err != nil || got != want {
		t.Errorf("revision %d, %v; want %d", got, err, want)
	}
	if _, got, err := s.Latest(t.Context()); err != nil || got != want {
		t.Errorf("revision of Latest %d, %v; want %d", got, err, want)
	}
}

// notes fails the test unless a version of a formula has those notes.
func notes(t *testing.T, s Store, id string, version int, want string) {
	t.Helper()
	d, err := s.Get(t.Context(), "formula", id, version)
	if err != nil {
		t.Errorf("Get(%s, %d): %v", id, version, err)
	} else if d.Header().Notes != want {
		t.Errorf("Get(%s, %d) has the notes %q, want %q", id, version, d.Header().Notes, want)
	}
}

// missing fails the test unless an error is contract.ErrNotFound.
func missing(t *testing.T, what string, err error) {
	t.Helper()
	if !errors.Is(err, contract.ErrNotFound) {
		t.Errorf("%s: error %v, want not found", what, err)
	}
}

// conflict fails the test unless an error is a conflict of those versions.
func conflict(t *testing.T, err error, want contract.Conflict) {
	t.Helper()
	var c *contract.Conflict
	if !errors.Is(err, contract.ErrConflict) || !errors.As(err, &c) {
		t.Errorf("error %v, want a conflict", err)
	} else if !reflect.DeepEqual(*c, want) {
		t.Errorf("conflict %+v, want %+v", *c, want)
	}
}
