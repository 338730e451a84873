package storetest

import (
	"context"
	"errors"
	"maps"
	"slices"
	"testing"

	"chablon/document"
	"chablon/internal/storetest/contract"
	"pgregory.net/rapid"
)

// model is a store as plain maps: of each id the versions, "" for a removal.
type model struct {
	versions map[string][]string
	revision int64
}

// put appends to the model what the contract says, and returns the result to expect.
func (m *model) put(id, notes string, expect int) (version int, err error) {
	old := m.versions[id]
	last, gone := len(old), len(old) == 0 || old[len(old)-1] == ""
	switch {
	case notes == "" && last == 0:
		return 0, contract.ErrNotFound
	case expect == contract.New && !gone, expect > 0 && expect != last:
		return 0, contract.ErrConflict
	case notes == "" && gone:
		return 0, contract.ErrNotFound
	case !gone && old[last-1] == notes:
		return last, nil
	}
	m.versions[id] = append(old, notes)
	m.revision++
	return last + 1, nil
}

// at returns the notes of a version, the latest for 0; "" if it is not there or a removal.
func (m *model) at(id string, version int) string {
	v := m.versions[id]
	if version == 0 {
		version = len(v)
	}
	if version < 1 || version > len(v) {
		return ""
	}
	return v[version-1]
}

// testRandom makes random edits to a store and to a model; both must answer the same, have
// the same latest documents after each, and the same versions in the end.
func testRandom(t *testing.T, open func(t testing.TB) Store) {
	rapid.Check(t, func(r *rapid.T) {
		s, m, ctx := open(t), &model{versions: map[string][]string{}}, context.Background()
		defer s.Close()
		id := rapid.SampledFrom([]string{"a", "b", "a-b"})
		content := rapid.SampledFrom([]string{"one", "two", "½ tasse\n'; DROP TABLE"})
		version := rapid.IntRange(-1, 6)
		same := func(what string, got int, err error, want int, wantErr error) {
			if got != want || !errors.Is(err, wantErr) || (wantErr == nil && err != nil) {
				r.Fatalf("%s = %d, %v; want %d, %v", what, got, err, want, wantErr)
			}
		}
		r.Repeat(map[string]func(*rapid.T){
			"put": func(r *rapid.T) {
				id, notes, expect := id.Draw(r, "id"), content.Draw(r, "notes"), version.Draw(r, "expect")
				got, err := s.Put(ctx, text(id, notes), expect)
				want, wantErr := m.put(id, notes, expect)
				same("Put", got, err, want, wantErr)
			},
			"putAll": func(r *rapid.T) {
				var docs []document.Document
				before := m.revision
				for _, id := range rapid.SliceOfN(id, 0, 3).Draw(r, "ids") {
					notes := content.Draw(r, "notes")
					docs = append(docs, text(id, notes))
					if _, err := m.put(id, notes, contract.Any); err != nil {
						r.Fatal(err)
					}
				}
				m.revision = min(m.revision, before+1)
				same("PutAll", 0, s.PutAll(ctx, docs), 0, nil)
			},
			"remove": func(r *rapid.T) {
				id, expect := id.Draw(r, "id"), version.Draw(r, "expect")
				got, err := s.Remove(ctx, "formula", id, expect)
				want, wantErr := m.put(id, "", expect)
				same("Remove", got, err, want, wantErr)
			},
			"restore": func(r *rapid.T) {
				id, from := id.Draw(r, "id"), version.Draw(r, "version")
				got, err := s.Restore(ctx, "formula", id, from)
				want, wantErr := 0, contract.ErrNotFound
				if notes := m.at(id, from); from > 0 && notes != "" {
					want, wantErr = m.put(id, notes, contract.Any)
				}
				same("Restore", got, err, want, wantErr)
			},
			"": func(r *rapid.T) { m.compareLatest(r, s) },
		})
		m.compareVersions(r, s)
	})
}

// compareLatest fails unless the latest documents and the revision are those of the model.
func (m *model) compareLatest(r *rapid.T, s Store) {
	set, revision, err := s.Latest(context.Background())
	if err != nil || revision != m.revision {
		r.Fatalf("Latest: revision %d, %v; want %d", revision, err, m.revision)
	}
	present := 0
	for id, versions := range m.versions {
		want := m.at(id, 0)
		if want == "" {
			continue
		}
		present++
		if d := set.Get("formula", id); d == nil || d.Header().Notes != want || d.Header().Version != len(versions) {
			r.Fatalf("Latest has %v of %s, want version %d %q", d, id, len(versions), want)
		}
	}
	if len(set.All()) != present {
		r.Fatalf("Latest has %d documents, want %d", len(set.All()), present)
	}
}

// compareVersions fails unless every version, and every history, is that of the model.
func (m *model) compareVersions(r *rapid.T, s Store) {
	ctx := context.Background()
	for _, id := range slices.Sorted(maps.Keys(m.versions)) {
		entries, err := s.History(ctx, "formula", id)
		if err != nil || len(entries) != len(m.versions[id]) {
			r.Fatalf("History(%s): %d entries, %v; want %d", id, len(entries), err, len(m.versions[id]))
		}
		for i, e := range entries {
			want := len(entries) - i
			if e.Version != want || e.Removed != (m.at(id, want) == "") {
				r.Fatalf("History(%s)[%d] = %+v, want version %d of %q", id, i, e, want, m.versions[id])
			}
		}
		for version := range len(m.versions[id]) + 1 {
			d, err := s.Get(ctx, "formula", id, version)
			switch want := m.at(id, version); {
			case want == "" && !errors.Is(err, contract.ErrNotFound):
				r.Fatalf("Get(%s, %d): %v, want not found", id, version, err)
			case want != "" && (err != nil || d.Header().Notes != want):
				r.Fatalf("Get(%s, %d) = %v, %v; want %q", id, version, d, err, want)
			}
		}
	}
}
