package finding_test

import (
	"fmt"
	"slices"
	"testing"

	"github.com/google/go-cmp/cmp"
	"github.com/google/go-cmp/cmp/cmpopts"
	"pgregory.net/rapid"

	"chablon/finding"
)

func TestLevel(t *testing.T) {
	t.Parallel()
	for level, want := range map[finding.Level]string{finding.Note: "note", finding.Caution: "caution", finding.Fault: "fault"} {
		if level.String() != want {
			t.Errorf("level %d is %q, want %q", level, level, want)
		}
	}
	if finding.Note >= finding.Caution || finding.Caution >= finding.Fault {
		t.Error("a graver level is not greater")
	}
}

func TestList(t *testing.T) {
	t.Parallel()
	var l finding.List
	if l.Worst() != finding.Note || l.Has("x") || l.Count(finding.Note) != 0 || len(l.Sorted()) != 0 {
		t.Error("an empty list says something")
	}
	l.Add(finding.Finding{Code: "b", Level: finding.Caution, Where: "z"})
	l.Add(finding.Finding{Code: "c", Level: finding.Fault, Where: "z"})
	l.Add(finding.Finding{Code: "a", Level: finding.Caution, Where: "z"})
	l.Add(finding.Finding{Code: "a", Level: finding.Caution, Where: "y"})
	l.Add(finding.Finding{Code: "b", Level: finding.Caution, Where: "z"})
	l.Add(finding.Finding{Code: "d"})
	if l.Worst() != finding.Fault || !l.Has("d") || l.Has("e") || l.Count(finding.Caution) != 4 {
		t.Errorf("worst %v, d %v, e %v, %d cautions", l.Worst(), l.Has("d"), l.Has("e"), l.Count(finding.Caution))
	}
	before := slices.Clone(l)
	want := finding.List{
		{Code: "c", Level: finding.Fault, Where: "z"},
		{Code: "a", Level: finding.Caution, Where: "y"},
		{Code: "a", Level: finding.Caution, Where: "z"},
		{Code: "b", Level: finding.Caution, Where: "z"},
		{Code: "d"},
	}
	if d := cmp.Diff(want, l.Sorted()); d != "" {
		t.Error(d)
	}
	if d := cmp.Diff(before, l); d != "" {
		t.Errorf("sorting changed the list: %s", d)
	}
}

// The order in which checks ran leaves no trace: any order of the same findings, some of them
// twice, sorts to the same list.
func TestSortedForgetsOrder(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		word := rapid.SampledFrom([]string{"a", "b", "c"})
		l := rapid.SliceOfN(rapid.Custom(func(t *rapid.T) finding.Finding {
			return finding.Finding{
				Code: word.Draw(t, "code"), Level: finding.Level(rapid.IntRange(0, 2).Draw(t, "level")), Where: word.Draw(t, "where"),
				Reason: word.Draw(t, "reason"), Remedy: word.Draw(t, "remedy"), Source: word.Draw(t, "source"),
			}
		}), 0, 12).Draw(t, "findings")
		other := rapid.Permutation(append(slices.Clone(l), l...)).Draw(t, "shuffled")
		if d := cmp.Diff(finding.List(l).Sorted(), finding.List(other).Sorted(), cmpopts.EquateEmpty()); d != "" {
			t.Fatal(d)
		}
	})
}

func ExampleList_Sorted() {
	var l finding.List
	l.Add(finding.Finding{Code: "hold-long", Level: finding.Note, Where: "formula vanilla-cream"})
	l.Add(finding.Finding{Code: "layer-over-capacity", Level: finding.Fault, Where: `assembly ring, layer "mousse"`, Reason: "needs 412 ml, but 380 ml are left"})
	for _, f := range l.Sorted() {
		fmt.Println(f.Level, f.Where, f.Reason)
	}
	// Output:
	// fault assembly ring, layer "mousse" needs 412 ml, but 380 ml are left
	// note formula vanilla-cream
}
