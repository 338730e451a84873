package storetest

import (
	"errors"
	"fmt"
	"sync"
	"testing"

	"chablon/document"
	"chablon/internal/storetest/contract"
)

// Of several writers that edit the same version, exactly one wins, and its text is stored.
func testWriters(t *testing.T, s Store) {
	const writers, rounds = 8, 12
	for base := range rounds {
		var group sync.WaitGroup
		versions, errs := make([]int, writers), make([]error, writers)
		start := make(chan struct{})
		for w := range writers {
			group.Go(func() {
				<-start
				versions[w], errs[w] = s.Put(t.Context(), text("a", fmt.Sprintf("round %d writer %d", base, w)), base)
			})
		}
		close(start)
		group.Wait()
		winner := -1
		for w, err := range errs {
			switch {
			case err == nil && winner >= 0:
				t.Fatalf("round %d: writers %d and %d have both won", base, winner, w)
			case err == nil:
				winner = w
			case !errors.Is(err, contract.ErrConflict):
				t.Fatalf("round %d: writer %d: %v, want a conflict", base, w, err)
			}
		}
		if winner < 0 || versions[winner] != base+1 {
			t.Fatalf("round %d: winner %d, versions %v; want one with version %d", base, winner, versions, base+1)
		}
		notes(t, s, "a", 0, fmt.Sprintf("round %d writer %d", base, winner))
	}
	revision(t, s, rounds)
}

// While pairs of documents are written together, a reader sees both of a pair or neither, one
// content for one revision, and no revision before one that it has seen.
func testReaders(t *testing.T, s Store) {
	const readers, writes = 3, 40
	done := make(chan struct{})
	var group sync.WaitGroup
	for range readers {
		group.Go(func() {
			last := int64(-1)
			for over := false; !over; {
				select {
				case <-done:
					over = true // one more, after the last write
				default:
				}
				set, revision, err := s.Latest(t.Context())
				if err != nil {
					t.Error("Latest:", err)
					return
				}
				if revision < last {
					t.Errorf("revision %d after %d", revision, last)
				}
				last = revision
				want := fmt.Sprint("write ", revision)
				for _, d := range set.All() {
					if h := d.Header(); h.Notes != want || int64(h.Version) != revision {
						t.Errorf("at revision %d: %s version %d %q, want %q", revision, h.ID, h.Version, h.Notes, want)
					}
				}
				if n := len(set.All()); n != 2 && revision > 0 {
					t.Errorf("at revision %d: %d documents, want 2", revision, n)
				}
			}
			if last != writes {
				t.Errorf("the last revision read is %d, want %d", last, writes)
			}
		})
	}
	for n := 1; n <= writes; n++ {
		pair := fmt.Sprint("write ", n)
		if err := s.PutAll(t.Context(), []document.Document{text("a", pair), text("b", pair)}); err != nil {
			t.Error("PutAll:", err)
			break
		}
	}
	close(done)
	group.Wait()
}
