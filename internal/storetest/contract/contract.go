// Package contract holds the words that every store of documents shares with its callers, so
// that they do not depend on one database: the entries of a history and the errors. What a store
// promises is written at storetest.Store and tested by storetest.Run.
package contract

import (
	"errors"
	"fmt"
	"time"
)

// Values of the version that an edit expects, besides the number of a version.
const (
	New = 0  // there must be no such document, or it must have been removed
	Any = -1 // whatever is there
)

// Entry is one version of a document in its history.
type Entry struct {
	Version int       // from 1, without gaps
	At      time.Time // when it was stored, UTC, to the millisecond
	Removed bool      // true if this version is the removal
	Name    string    // the document's name; of a removal, the name it had
}

// Errors to compare with by errors.Is.
var (
	// ErrNotFound: there is no such document or version, or it is a removal.
	ErrNotFound = errors.New("not found")
	// ErrConflict: the document is not at the version that the edit was based on.
	ErrConflict = errors.New("changed by someone else")
)

// Conflict is the error of an edit that was based on another version than the latest. It is
// ErrConflict for errors.Is.
type Conflict struct {
	Kind, ID string
	Expected int  // as the edit gave it; New if there should have been none
	Latest   int  // 0 if there is no such document
	Removed  bool // true if the latest version is the removal
}

// Error names both versions.
func (c *Conflict) Error() string {
	latest := fmt.Sprintf("the latest is version %d", c.Latest)
	switch {
	case c.Latest == 0:
		latest = "there is no such document"
	case c.Removed:
		latest = fmt.Sprintf("it was removed as version %d", c.Latest)
	}
	if c.Expected == New {
		return fmt.Sprintf("%s %s: should be new (version 0), but %s", c.Kind, c.ID, latest)
	}
	return fmt.Sprintf("%s %s: the edit is based on version %d, but %s", c.Kind, c.ID, c.Expected, latest)
}

// Is reports that a Conflict is ErrConflict.
func (c *Conflict) Is(target error) bool { return target == ErrConflict }
