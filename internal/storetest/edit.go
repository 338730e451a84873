package storetest

import (
	"context"
	"errors"
	"math"
	"reflect"
	"strings"
	"testing"
	"time"

	"chablon/document"
	"chablon/internal/storetest/contract"
)

// everyKind has a small document of each kind, with awkward text in it.
const everyKind = `
- {kind: kitchen, id: ours, name: "Küche <&> 'q' \"½\"", time_zone: Europe/Lisbon, room: {value: 22 °C, low: 20 °C, high: 26 °C}, scales: [{division: 0.1 g, up_to: 500 g}]}
- {kind: ingredient, id: almond-flour, composition: [{component: fat, g_per_100_g: 50.5}], density: 0.5 g/ml}
- {kind: price, id: almond-flour-shop, ingredient: almond-flour, pack: 1 kg, price: 14.20, from: "2026-01-01"}
- {kind: stock, id: "1", component: same@3, amount: 1 3/4 oz, notes: "line\nline\ttab\n\n 日本 🍰 \\ ';--"}
- {kind: formula, id: same, lines: [125 g almond flour, {text: 2 eggs, optional: true}], steps: [{id: fold, verb: fold, active: 3 min}]}
- {kind: mould, id: same, ring: {diameter: 18 cm, height: 45 mm}}
- {kind: assembly, id: same, mould: same, layers: [{id: base, kind: base, of: same, thickness: 10 mm}]}
- {kind: order, id: saturday, due: "2026-12-05 18:00", lines: [{assembly: same, pieces: 2}]}
- {kind: day, id: d-2026-12-05, issued: "2026-12-04 09:00", orders: [saturday], versions: [same@1]}
- {kind: record, id: r1, when: "2026-12-05 07:30:05", of: {day: d-2026-12-05}, what: weighed, value: 250 g}
`

func testEmpty(t *testing.T, s Store) {
	ctx := t.Context()
	set, _, err := s.Latest(ctx)
	if err != nil || len(set.All()) != 0 {
		t.Errorf("an empty store has %v, %v", set, err)
	}
	revision(t, s, 0)
	_, err = s.Get(ctx, "formula", "a", 0)
	missing(t, "Get", err)
	_, err = s.History(ctx, "formula", "a")
	missing(t, "History", err)
	for _, expect := range []int{contract.New, contract.Any, 3} {
		_, err = s.Remove(ctx, "formula", "a", expect)
		missing(t, "Remove", err)
	}
	_, err = s.Restore(ctx, "formula", "a", 1)
	missing(t, "Restore", err)
	if err := s.PutAll(ctx, nil); err != nil {
		t.Error("PutAll of nothing:", err)
	}
	revision(t, s, 0)
}

// Each kind comes back as it was put, with the version and the schema set, and the caller's
// document is not touched. Documents of several kinds may have one id.
func testEveryKind(t *testing.T, s Store) {
	docs, problems := document.Parse("kinds.yaml", []byte(everyKind))
	if len(problems) > 0 {
		t.Fatal(problems[0])
	}
	seen := map[string]bool{}
	for _, d := range docs {
		seen[document.KindOf(d)] = true
		before := document.Marshal(d)
		put(t, s, d, contract.New, 1)
		if after := document.Marshal(d); string(after) != string(before) {
			t.Errorf("Put has changed its argument from\n%s\nto\n%s", before, after)
		}
		d.Header().Version, d.Header().Schema = 1, document.SchemaVersion
	}
	for _, k := range document.Kinds() {
		if !seen[k] {
			t.Errorf("no sample of kind %s", k)
		}
	}
	set, _, err := s.Latest(t.Context())
	if err != nil || len(set.All()) != len(docs) {
		t.Fatalf("Latest: %d documents, %v; want %d", len(set.All()), err, len(docs))
	}
	for _, d := range docs {
		kind, id := document.KindOf(d), d.Header().ID
		for _, version := range []int{0, 1} {
			if got, err := s.Get(t.Context(), kind, id, version); err != nil || !reflect.DeepEqual(got, d) {
				t.Errorf("%s %s came back from Get as %+v, %v; want %+v", kind, id, got, err, d)
			}
		}
		if got := set.Get(kind, id); !reflect.DeepEqual(got, d) {
			t.Errorf("%s %s came back from Latest as %+v, want %+v", kind, id, got, d)
		}
	}
	last := ""
	for _, d := range set.All() {
		if key := document.KindOf(d) + " " + d.Header().ID; key <= last {
			t.Errorf("Latest has %q after %q", key, last)
		} else {
			last = key
		}
	}
	revision(t, s, int64(len(docs)))
}

func testConflict(t *testing.T, s Store) {
	ctx := t.Context()
	_, err := s.Put(ctx, text("a", "one"), 7)
	conflict(t, err, contract.Conflict{Kind: "formula", ID: "a", Expected: 7})
	put(t, s, text("a", "one"), contract.New, 1)
	put(t, s, text("a", "two"), 1, 2)
	put(t, s, text("a", "three"), contract.Any, 3)

	_, err = s.Put(ctx, text("a", "lost"), 2)
	conflict(t, err, contract.Conflict{Kind: "formula", ID: "a", Expected: 2, Latest: 3})
	if err == nil || !strings.Contains(err.Error(), "formula a: the edit is based on version 2, but the latest is version 3") {
		t.Errorf("text of a conflict: %v", err)
	}
	_, err = s.Put(ctx, text("a", "three"), contract.New) // even with what is there
	conflict(t, err, contract.Conflict{Kind: "formula", ID: "a", Expected: 0, Latest: 3})
	_, err = s.Remove(ctx, "formula", "a", 1)
	conflict(t, err, contract.Conflict{Kind: "formula", ID: "a", Expected: 1, Latest: 3})
	notes(t, s, "a", 0, "three")
	revision(t, s, 3)
}

func testSameContent(t *testing.T, s Store) {
	put(t, s, text("a", "one"), contract.New, 1)
	put(t, s, text("a", "one"), 1, 1)
	put(t, s, text("a", "one"), contract.Any, 1)
	read, err := s.Get(t.Context(), "formula", "a", 0) // with its version and schema
	if err != nil {
		t.Fatal(err)
	}
	put(t, s, read, 1, 1)
	if err := s.PutAll(t.Context(), []document.Document{read}); err != nil {
		t.Error(err)
	}
	revision(t, s, 1)
	put(t, s, text("a", "two"), 1, 2)
	put(t, s, text("a", "one"), 2, 3) // as an earlier version, not as the latest
	revision(t, s, 3)
}

func testHistory(t *testing.T, s Store) {
	ctx := t.Context()
	put(t, s, text("a", "one"), contract.New, 1)
	put(t, s, text("a", "two"), 1, 2)
	if _, err := s.Remove(ctx, "formula", "a", 2); err != nil {
		t.Fatal(err)
	}
	put(t, s, text("b", "other"), contract.New, 1)
	entries, err := s.History(ctx, "formula", "a")
	if err != nil {
		t.Fatal(err)
	}
	for i, e := range entries {
		if e.At.IsZero() || e.At.Location() != time.UTC {
			t.Errorf("version %d is of %v, want a time in UTC", e.Version, e.At)
		}
		entries[i].At = time.Time{}
	}
	want := []contract.Entry{{Version: 3, Removed: true, Name: "Name of two"}, {Version: 2, Name: "Name of two"}, {Version: 1, Name: "Name of one"}}
	if !reflect.DeepEqual(entries, want) {
		t.Errorf("history %+v, want %+v", entries, want)
	}
	notes(t, s, "a", 1, "one")
	notes(t, s, "a", 2, "two")
	for _, version := range []int{-1, 4} {
		_, err = s.Get(ctx, "formula", "a", version)
		missing(t, "Get of a version that is not there", err)
	}
	_, err = s.History(ctx, "mould", "a")
	missing(t, "History of another kind", err)
}

func testRemoved(t *testing.T, s Store) {
	ctx := t.Context()
	put(t, s, text("a", "one"), contract.New, 1)
	put(t, s, text("b", "kept"), contract.New, 1)
	if v, err := s.Remove(ctx, "formula", "a", 1); v != 2 || err != nil {
		t.Fatalf("Remove = %d, %v; want version 2", v, err)
	}
	revision(t, s, 3)
	for _, version := range []int{0, 2} {
		_, err := s.Get(ctx, "formula", "a", version)
		missing(t, "Get after Remove", err)
	}
	notes(t, s, "a", 1, "one")
	set, _, err := s.Latest(ctx)
	if err != nil || len(set.All()) != 1 || set.Get("formula", "b") == nil {
		t.Errorf("Latest has %v, %v; want b alone", set.All(), err)
	}
	_, err = s.Remove(ctx, "formula", "a", 2)
	missing(t, "Remove after Remove", err)
	_, err = s.Put(ctx, text("a", "late"), 1)
	conflict(t, err, contract.Conflict{Kind: "formula", ID: "a", Expected: 1, Latest: 2, Removed: true})
	revision(t, s, 3)

	put(t, s, text("a", "one"), contract.New, 3) // the same content, but after a removal
	notes(t, s, "a", 0, "one")
}

func testRestore(t *testing.T, s Store) {
	ctx := t.Context()
	put(t, s, text("a", "one"), contract.New, 1)
	put(t, s, text("a", "two"), 1, 2)
	if _, err := s.Remove(ctx, "formula", "a", 2); err != nil {
		t.Fatal(err)
	}
	for _, c := range []struct{ version, want int }{{1, 4}, {4, 4}, {1, 4}, {2, 5}} {
		if v, err := s.Restore(ctx, "formula", "a", c.version); v != c.want || err != nil {
			t.Fatalf("Restore(%d) = %d, %v; want version %d", c.version, v, err, c.want)
		}
	}
	notes(t, s, "a", 4, "one")
	notes(t, s, "a", 0, "two")
	if d, err := s.Get(ctx, "formula", "a", 0); err != nil || d.Header().Version != 5 {
		t.Errorf("the restored document is %+v, %v; want version 5", d, err)
	}
	for _, version := range []int{-1, 0, 3, 6} { // 3 is the removal
		_, err := s.Restore(ctx, "formula", "a", version)
		missing(t, "Restore", err)
	}
	revision(t, s, 5)
}

func testPutAll(t *testing.T, s Store) {
	ctx := t.Context()
	put(t, s, text("a", "one"), contract.New, 1)
	if err := s.PutAll(ctx, []document.Document{text("b", "1"), text("a", "two"), text("b", "2")}); err != nil {
		t.Fatal(err)
	}
	revision(t, s, 2)
	notes(t, s, "a", 2, "two")
	notes(t, s, "b", 2, "2")
	if err := s.PutAll(ctx, []document.Document{text("c", "1"), text("not an id", "1")}); err == nil {
		t.Error("PutAll has taken a document without an id")
	}
	_, err := s.Get(ctx, "formula", "c", 0)
	missing(t, "a document put together with a bad one", err)
	revision(t, s, 2)
}

// What could not be read back is not stored, and the error says what is wrong.
func testUnreadable(t *testing.T, s Store) {
	noID := text("", "x")
	newer := text("a", "x")
	newer.Schema = document.SchemaVersion + 1
	negative := &document.Kitchen{Head: document.Head{ID: "k"}, HourlyCost: -1}
	notANumber := &document.Kitchen{Head: document.Head{ID: "k"}, HourlyCost: math.NaN()}
	for want, d := range map[string]document.Document{
		"id: missing": noID, "schema: found 2": newer, "hourly_cost: found -1": negative, "no JSON value": notANumber, "cannot be stored": nil,
	} {
		_, err := s.Put(t.Context(), d, contract.Any)
		if err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("Put of %+v: %v, want %q", d, err, want)
		}
	}
	revision(t, s, 0)
}

// A call whose context is over does nothing, and the store works on.
func testStopped(t *testing.T, s Store) {
	put(t, s, text("a", "one"), contract.New, 1)
	ctx, cancel := context.WithCancel(t.Context())
	cancel()
	if _, err := s.Put(ctx, text("a", "two"), 1); !errors.Is(err, context.Canceled) {
		t.Errorf("Put: %v, want that it was cancelled", err)
	}
	if _, _, err := s.Latest(ctx); !errors.Is(err, context.Canceled) {
		t.Errorf("Latest: %v, want that it was cancelled", err)
	}
	notes(t, s, "a", 0, "one")
	put(t, s, text("a", "three"), 1, 2)
	revision(t, s, 2)
}
