package document

import (
	"bytes"
	"strings"
	"testing"
	"time"
)

// A file beyond a limit is refused with the limit named, and soon: the time for each is far
// above what a linear reader needs and far below what a quadratic one would.
func TestLimits(t *testing.T) {
	rep := strings.Repeat
	head := "kind: formula\nid: x\n"
	cases := []struct{ name, file, data, want string }{
		{"100 MB", "x.yaml", rep("a", 100_000_000), "larger than 8 MiB"},
		{"brackets", "x.json", rep("[", ReadLimit), "nested deeper than 64 levels"},
		{"braces", "x.json", rep(`{"a":`, ReadLimit/5), "nested deeper than 64 levels"},
		{"many values", "x.json", "[" + rep("1,", 4_000_000) + "1]", "more than 100,000 values"},
		{"signs", "x.yaml", rep("[", ReadLimit), "more than 100,000 values"},
		{"flow", "x.yaml", rep("[", 500_000), "nested deeper than 64 levels"},
		{"dashes", "x.yaml", rep("- ", 500_000), "nested deeper than 64 levels"},
		{"questions", "x.yaml", rep("? ", 300_000), "more than 50 problems"},
		{"stairs", "x.yaml", stairs(200), "nested deeper than 64 levels"},
		{"many items", "x.yaml", rep("- a\n", 300_000), "more than 100,000 values"},
		{"anchors", "x.yaml", rep("&a ", 500_000), "more than 50 problems"},
		{"colons", "x.yaml", rep(": ", 500_000), ""},
		{"spaces", "x.yaml", rep(" ", ReadLimit), "the file is empty"},
		{"comments", "x.yaml", rep("# a\n", ReadLimit/16), "holds no document"},
		{"separators", "x.yaml", rep("---\na\n", 90_000), "more than 50 problems"},
		{"unknown fields", "x.yaml", head + rep("abcd: efg\n", 20_000), "more than 1000 fields"},
		{"flow fields", "x.yaml", head + "air: {" + rep("abcd: efg, ", 40_000) + "}", "more than 50 problems"},
		{"lines", "x.yaml", head + "lines:\n" + rep("- text: 1 egg\n  of: E\n", 15_000), "more than 50 problems"},
		{"one line", "x.json", `{"kind":"formula","id":"x","lines":[` + rep(`"a",`, 90_000) + `1]}`, "lines[90000]"},
		{"quotes", "x.yaml", head + "notes: \"" + rep("x", ReadLimit-100), "not YAML"},
	}
	for _, c := range cases {
		start := time.Now()
		_, errs := Parse(c.file, []byte(c.data))
		if len(errs) == 0 || !strings.Contains(errs[len(errs)-1].Error(), c.want) {
			t.Errorf("%s: got %v, want %q", c.name, errs, c.want)
		}
		t.Logf("%s: %v", c.name, time.Since(start))
		if d := time.Since(start); d > 10*time.Second {
			t.Errorf("%s took %v", c.name, d)
		}
	}
}

func stairs(n int) string {
	var b strings.Builder
	for i := range n {
		b.WriteString(strings.Repeat(" ", i) + "a:\n")
	}
	return b.String()
}

// A long text within the limit is read whole.
func TestLongText(t *testing.T) {
	notes := strings.Repeat("whip until pale ", 400_000)
	d := &Kitchen{Head: Head{Kind: "kitchen", ID: "home", Notes: notes}}
	for name, data := range map[string][]byte{"x.json": Marshal(d), "x.yaml": MarshalYAML(d)} {
		got, errs := Parse(name, data)
		if len(errs) > 0 || got[0].Header().Notes != notes {
			t.Errorf("%s: %v", name, errs)
		}
	}
}

func FuzzParse(f *testing.F) {
	for _, seed := range []string{
		"kind: formula\nid: x\nlines:\n- 125 g almond flour\n- {text: 2 eggs, optional: true}\n", `{"kind":"mould","id":"m","ring":{"diameter":"18 cm","height":"45 mm"}}`,
		"kind: kitchen\nid: home\nroom: {value: 22 °C, low: 18 °C}\n---\nkind: day\nid: d\n", "a: &x [*x]", "? {a: b}\n: - - |\n  x", "%YAML 1.2\n---\n!!map {<<: a}", "[[[", "\"\\u", "- >2-\n   a\n b: 'c", "\ufeff{}",
	} {
		f.Add([]byte(seed), true)
		f.Add([]byte(seed), false)
	}
	f.Fuzz(func(t *testing.T, data []byte, yaml bool) {
		name := "x.json"
		if yaml {
			name = "x.yaml"
		}
		docs, errs := Parse(name, data)
		if len(docs) == 0 && len(errs) == 0 {
			t.Errorf("no document and no error from %q", data)
		}
		for _, e := range errs {
			if e.File != name || e.Line < 0 || (e.Reason == "" && e.Found == "") || e.Error() == "" {
				t.Errorf("empty error %#v from %q", e, data)
			}
		}
		for _, d := range docs {
			for form, data := range map[string][]byte{"y.json": Marshal(d), "y.yaml": MarshalYAML(d)} {
				if again, errs := Parse(form, data); len(errs) > 0 || len(again) != 1 || !bytes.Equal(Marshal(again[0]), Marshal(d)) {
					t.Errorf("not read back: %v\n%s", errs, data)
				}
			}
		}
	})
}
