package ingredient_test

import (
	"fmt"
	"os"
	"slices"
	"strings"
	"testing"

	"chablon/ingredient"
	"chablon/unit"
)

// What a cook has typed so far and what it should offer among the first three; the trade's
// words in the US, the UK and France, common practice, no source.
func TestSearchQueries(t *testing.T) {
	t.Parallel()
	file, err := os.Open("testdata/queries.csv")
	if err != nil {
		t.Fatal(err)
	}
	defer file.Close()
	queries := byFirst(t, file)
	if len(queries) < 150 {
		t.Fatalf("%d queries, want at least 150", len(queries))
	}
	table := ingredient.Builtin()
	for query, row := range queries {
		got := table.Search(query, 3)
		if !slices.ContainsFunc(got, func(m ingredient.Match) bool { return m.Ingredient.ID == row["id"] }) {
			t.Errorf("Search(%q) = %s; want %s among the first three (%s)", query, show(got), row["id"], row["kind"])
		}
	}
}

func TestSearchShape(t *testing.T) {
	t.Parallel()
	table := ingredient.Builtin()
	for _, query := range []string{"", " ", "%", "…", "xyzzyplugh"} {
		if got := table.Search(query, 5); len(got) != 0 {
			t.Errorf("Search(%q) = %s; want nothing", query, show(got))
		}
	}
	var zero ingredient.Table
	if zero.Search("sugar", 5) != nil || table.Search("sugar", 0) != nil || table.Search("sugar", -1) != nil {
		t.Error("an empty table, or none asked for, gives matches")
	}
	for _, query := range []string{"c", "choc", "cream 35", "purée de", "d'", "le", "butter, soft", strings.Repeat("sugar ", 300)} {
		got := table.Search(query, 10)
		if len(got) == 0 || len(got) > 10 {
			t.Errorf("Search(%q): %d matches, want 1 to 10", query, len(got))
		}
		checkShape(t, query, got[:min(len(got), 8)])
		if again := table.Search(query, 10); show(again) != show(got) {
			t.Errorf("Search(%q) is not stable: %s, then %s", query, show(got), show(again))
		}
		if first := table.Search(query, 1); show(first) != show(got[:1]) {
			t.Errorf("Search(%q, 1) = %s; the first of ten is %s", query, show(first), show(got[:1]))
		}
	}
}

// Every entry is offered first by each of its names, and still among the first eight while the
// last letter of its trade name is not typed.
func TestSearchFindsEveryEntry(t *testing.T) {
	t.Parallel()
	table := ingredient.Builtin()
	for _, i := range table.All() {
		for _, name := range append([]string{i.ID, i.Name}, i.Aliases...) {
			if got := table.Search(name, 1); len(got) == 0 || got[0].Ingredient != i || !got[0].Exact {
				t.Errorf("Search(%q) = %s; it is a name of %s", name, show(got), i.ID)
			}
		}
		typed := i.Name[:len(i.Name)-1]
		if got := table.Search(typed, 8); !slices.ContainsFunc(got, func(m ingredient.Match) bool { return m.Ingredient == i }) {
			t.Errorf("Search(%q) = %s; want %s among them", typed, show(got), i.ID)
		}
	}
}

// An own entry is found, and its name wins.
func TestSearchOwn(t *testing.T) {
	t.Parallel()
	mine := ingredient.Builtin().With(ingredient.Ingredient{ID: "house-cream", Name: "House cream", Aliases: []string{"cream"}})
	for _, query := range []string{"cream", "house cr", "hous"} {
		if got := mine.Search(query, 1); len(got) != 1 || got[0].Ingredient.ID != "house-cream" {
			t.Errorf("Search(%q) = %s; want house-cream", query, show(got))
		}
	}
}

func TestAmbiguous(t *testing.T) {
	t.Parallel()
	table := ingredient.Builtin()
	for word, want := range map[string][]string{ // trade usage, common practice, no source
		"praline":    {"praline-almond-hazelnut-50", "praline-hazelnut-50", "praline-hazelnut-60", "praline-almond-50"},
		"Praliné":    {"praline-almond-hazelnut-50", "praline-hazelnut-50", "praline-hazelnut-60", "praline-almond-50"},
		"currants":   {"currants-zante", "blackcurrant", "redcurrant"},
		"treacle":    {"molasses", "golden-syrup"},
		"corn flour": {"cornstarch", "flour-corn-whole", "cornmeal"},
		"biscuit":    {"butter-biscuit-fr", "speculoos-fr", "ladyfingers", "shortbread-cookies", "sponge-cake"},
		"levure":     {"yeast-fresh", "yeast-dry", "baking-powder"},
		"glucose":    {"glucose-syrup-de42", "glucose-syrup-de38", "glucose-syrup-de60", "glucose-powder-de38", "dextrose-monohydrate"},
	} {
		got, ok := table.Ambiguous(word)
		var ids []string
		for _, i := range got.Of {
			ids = append(ids, i.ID)
		}
		if !ok || !slices.Equal(ids, want) || got.Why == "" {
			t.Errorf("Ambiguous(%q) = %v, %v, why %q; want %v", word, ids, ok, got.Why, want)
		}
	}
	for _, word := range []string{"", "salt", "almond flour", "xyzzy"} {
		if got, ok := table.Ambiguous(word); ok || len(got.Of) != 0 {
			t.Errorf("Ambiguous(%q) = %+v; want none", word, got)
		}
	}
	mine := table.With(ingredient.Ingredient{ID: "house-praline", Name: "Praline"})
	if _, ok := mine.Ambiguous("praline"); ok {
		t.Error("an own entry named praline leaves the word ambiguous")
	}
	var zero ingredient.Table
	if _, ok := zero.Ambiguous("praline"); ok {
		t.Error("the empty table finds a word ambiguous")
	}
}

// The lines of ambiguous.csv: every ID exists, and the first is the one that Named takes.
func TestAmbiguousFile(t *testing.T) {
	t.Parallel()
	file, err := os.Open("ambiguous.csv")
	if err != nil {
		t.Fatal(err)
	}
	defer file.Close()
	for word, row := range byFirst(t, file) {
		ids := strings.Split(row["ids"], ";")
		for _, id := range ids {
			entry(t, id)
		}
		a, ok := ingredient.Builtin().Ambiguous(word)
		if !ok || len(a.Of) != len(ids) || a.Why != row["why"] || a.Word != word {
			t.Errorf("Ambiguous(%q) = %d of %d, %v, why %q; the file says %q", word, len(a.Of), len(ids), ok, a.Why, row["why"])
		}
		if named, ok := ingredient.Builtin().Named(word); ok && named.ID != ids[0] {
			t.Errorf("Named(%q) is %s; ambiguous.csv names %s first", word, named.ID, ids[0])
		}
	}
}

// large makes a table of n entries more than the built-in one, named by two or three of some
// thousand made-up words.
func large(n int) *ingredient.Table {
	syllables := strings.Fields("ba cho da fru gla ha jo ka lem mou na or pra qui ra sab to u van wa xi ya zes")
	word := func(k int) string {
		return syllables[k%23] + syllables[k/23%23] + syllables[k/529%23]
	}
	own := make([]ingredient.Ingredient, n)
	for k := range own {
		own[k] = ingredient.Ingredient{
			ID: fmt.Sprintf("own-%d", k), Name: word(7*k) + " " + word(11*k+3), Description: word(13*k) + ", " + word(5*k) + ", " + word(k),
			Aliases: []string{word(k) + " flour", word(3*k) + " " + word(k) + " cream"}, Density: 1000 * unit.KilogramPerCubicMetre,
		}
	}
	return ingredient.Builtin().With(own...)
}

func BenchmarkSearch8000(b *testing.B) {
	table := large(8000)
	table.Search("sugar", 1)
	for _, query := range []string{"c", "choc da", "raspbery puree", "unsalted butter, soft", "purée de framboise 10 % sucre"} {
		b.Run(query, func(b *testing.B) {
			for b.Loop() {
				table.Search(query, 8)
			}
		})
	}
}

func BenchmarkMatch8000(b *testing.B) {
	table := large(8000)
	table.Match("sugar")
	for b.Loop() {
		table.Match("unsalted buter, softened")
	}
}

func BenchmarkSearchIndex8000(b *testing.B) {
	all := large(8000)
	for b.Loop() {
		all.With().Search("sugar", 1)
	}
}

func FuzzSearch(f *testing.F) {
	for _, s := range []string{"choc da", "crème", "\xff", "35%", strings.Repeat("x", 300), "d'", "砂糖"} {
		f.Add(s)
	}
	table := ingredient.Builtin()
	f.Fuzz(func(t *testing.T, query string) { checkShape(t, query, table.Search(query, 8)) })
}

func ExampleTable_Search() {
	for _, m := range ingredient.Builtin().Search("raspbery", 3) {
		fmt.Println(m.Ingredient.Name)
	}
	// Output:
	// Raspberries
	// Raspberry jam
	// Frozen raspberries
}

func ExampleTable_Ambiguous() {
	a, _ := ingredient.Builtin().Ambiguous("treacle")
	for _, i := range a.Of {
		fmt.Println(i.Name)
	}
	fmt.Println(a.Why)
	// Output:
	// Molasses
	// Golden syrup
	// black treacle is close to molasses, light treacle is golden syrup
}
