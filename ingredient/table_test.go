package ingredient_test

import (
	"encoding/csv"
	"math"
	"os"
	"regexp"
	"slices"
	"strings"
	"testing"

	"chablon/ingredient"
	"chablon/material"
	"chablon/unit"
)

var idPattern = regexp.MustCompile(`^[a-z0-9]+(-[a-z0-9]+)*$`)

// The words of US and EU labelling law: FALCPA with the FASTER Act, and Regulation (EU) No
// 1169/2011 annex II.
var allergenWords = strings.Fields(`milk egg fish crustacean_shellfish tree_nuts peanuts wheat soy sesame
	gluten sulphites lupin mustard celery molluscs`)

var traitNames = strings.Fields(`bloom enzyme whipping-fat cocoa cocoa-butter dry-cocoa milk-fat raw-egg pasteurised alcohol acid
	leavener dextrose-equivalent`)

func TestEveryEntry(t *testing.T) {
	t.Parallel()
	all := ingredient.Builtin().All()
	if len(all) != 585 { // the rows of the collected tables
		t.Errorf("%d ingredients, want 585", len(all))
	}
	for _, i := range all {
		if !idPattern.MatchString(i.ID) || i.Name == "" || i.Description == "" || i.Group == "" {
			t.Errorf("id %q, name %q, description %q, group %q: each must be there and the id plain", i.ID, i.Name, i.Description, i.Group)
		}
		if i.Source == "" || i.SourceKind != "published" && i.SourceKind != "memory" {
			t.Errorf("%s: source %q of kind %q", i.ID, i.Source, i.SourceKind)
		}
		if i.Density != 0 && (!i.Density.Known() || i.DensitySource == "" || i.Density.GramsPerMillilitre() > 2) {
			t.Errorf("%s: density %v from %q", i.ID, i.Density, i.DensitySource)
		}
		if i.Bulk && i.Density == 0 {
			t.Errorf("%s: a bulk density of nothing", i.ID)
		}
		for _, a := range slices.Concat(i.Allergens, i.MayContain) {
			if !slices.Contains(allergenWords, a) {
				t.Errorf("%s: allergen %q is not a word of the law", i.ID, a)
			}
		}
		for _, tr := range i.Traits {
			if !slices.Contains(traitNames, tr.Name) || tr.Source == "" || tr.Value < 0 {
				t.Errorf("%s: trait %+v", i.ID, tr)
			}
		}
		for _, p := range i.Portions {
			if p.Measure == "" || p.Mass <= 0 || p.Source == "" {
				t.Errorf("%s: portion %+v", i.ID, p)
			}
			if got, ok := i.Portion(p.Measure); !ok || got.Mass <= 0 {
				t.Errorf("%s: Portion(%q) is not found by its own measure", i.ID, p.Measure)
			}
		}
		for _, y := range i.Yields {
			if y.Process == "" || y.Source == "" || y.Kept <= 0 || y.Low > y.Kept || y.High < y.Kept {
				t.Errorf("%s: yield %+v", i.ID, y)
			}
		}
		if i.Unlimited != (i.ID == "water") {
			t.Errorf("%s: unlimited %v; only water is", i.ID, i.Unlimited)
		}
	}
}

// Rows whose proximates do not add up to 1 ± 0.02 and why.
var unbalanced = map[string]string{
	"baking-soda":               "carbon dioxide and water of the salt are lost in the ash test",
	"ammonium-bicarbonate":      "decomposes to gas; ash unknown",
	"vanilla-bean":              "proximates unknown but for water",
	"vinegar-distilled":         "acetic acid is in no class",
	"vinegar-cider":             "acetic acid is in no class",
	"vinegar-balsamic":          "acetic acid is in no class",
	"pepper-black":              "nitrogen factor and volatile oil",
	"pepper-white":              "nitrogen factor and volatile oil",
	"baking-powder-fr":          "carbon dioxide of the salt is lost in the ash test, in part",
	"gelling-mix-jam-fr":        "ash unknown in the source",
	"chestnut-cream":            "the source mixes analyses",
	"cheese-ricotta-fr":         "the source mixes analyses",
	"redcurrant-fr":             "the source mixes analyses",
	"strawberry-fr":             "the source mixes analyses",
	"matcha":                    "tannins and caffeine are outside the proximates",
	"vanilla-paste":             "flavour and alcohol unknown",
	"salt-sea-grey":             "the source mixes analyses",
	"chocolate-dark-lt70-fr":    "the source mixes analyses",
	"chocolate-dark-cooking-fr": "the source mixes analyses",
	"cream-thick-30":            "the source mixes analyses",
	"cognac-fr":                 "ash unknown in the source",
	"rice-starch":               "ash unknown in the source",
	"jam-raspberry-fr":          "the source mixes analyses",
}

func TestProximatesAddUp(t *testing.T) {
	t.Parallel()
	for _, i := range ingredient.Builtin().All() {
		c := i.Composition
		sum := c.At(material.Alcohol)
		for _, k := range []material.Component{material.Water, material.Protein, material.Fat, material.Carbohydrate, material.Ash} {
			sum += c.At(k)
		}
		known := c.Known(material.Water, material.Protein, material.Fat, material.Carbohydrate, material.Ash)
		balanced := known && math.Abs(sum-1) <= 0.02
		if reason := unbalanced[i.ID]; balanced == (reason != "") {
			t.Errorf("%s: proximates add up to %.4f (all known: %v); reason on record: %q", i.ID, sum, known, reason)
		}
	}
}

func TestSugarsAreInTheCarbohydrate(t *testing.T) {
	t.Parallel()
	for _, i := range ingredient.Builtin().All() {
		c := i.Composition
		named := 0.
		for _, k := range []material.Component{material.Sucrose, material.Glucose, material.Fructose, material.Lactose, material.Maltose} {
			named += c.At(k)
		}
		// strawberry-freeze-dried: 52.52 against 52.41, rounding of the source enlarged by the concentration.
		if c.Known(material.Sugars) && named > c.At(material.Sugars)+0.001+1e-9 && i.ID != "strawberry-freeze-dried" {
			t.Errorf("%s: named sugars %.4f of sugars %.4f", i.ID, named, c.At(material.Sugars))
		}
		if parts := c.At(material.Fibre) + c.At(material.Sugars) + c.At(material.Starch) + c.At(material.Polyols); parts > c.At(material.Carbohydrate)+0.01 && i.ID != "cashews-raw" { // 32.7 against 30.2 in the source
			t.Errorf("%s: parts %.4f of carbohydrate %.4f", i.ID, parts, c.At(material.Carbohydrate))
		}
	}
}

func TestNamesLeadToOneIngredient(t *testing.T) {
	t.Parallel()
	table := ingredient.Builtin()
	for _, i := range table.All() {
		for _, name := range slices.Concat([]string{i.ID, i.Name}, i.Aliases) {
			got := table.Match(name)
			if len(got) == 0 || !got[0].Exact || got[0].Ingredient != i {
				t.Errorf("%q is a name of %s but leads to %s", name, i.ID, show(got))
			}
		}
	}
}

// Spot values as printed in the tables, and cells that are empty there.
func TestFigures(t *testing.T) {
	t.Parallel()
	tests := []struct {
		id     string
		k      material.Component
		want   float64
		source string
	}{
		{"flour-all-purpose", material.Protein, 0.1033, "USDA SR28 20581"},
		{"butter-unsalted", material.Fat, 0.8111, "USDA SR28 01145"},
		{"egg-yolk", material.Cholesterol, 0.01085, "USDA SR28 01125"},
		{"salt", material.Sodium, 0.38758, "USDA SR28 02047"},
		{"sugar-granulated", material.Sucrose, 0.998, "USDA SR28 19335"},
		{"gelatin-powder", material.Protein, 0.856, "USDA SR28 19177"},
		{"feuilletine-fr", material.Fat, 0.155, "Ciqual 2020 24370"},
		{"milk-whole", material.VitaminD, 1.3e-8, "USDA SR28 01077"},
	}
	for _, tt := range tests {
		got, known := entry(t, tt.id).Composition.Share(tt.k)
		if !known || math.Abs(got-tt.want) > 1e-9*tt.want {
			t.Errorf("%s: %v = %v, known %v; want %v (%s)", tt.id, tt.k, got, known, tt.want, tt.source)
		}
	}
	for id, k := range map[string]material.Component{"flour-all-purpose": material.TransFat, "vanilla-bean": material.Protein, "feuilletine-fr": material.Iron} {
		if got, known := entry(t, id).Composition.Share(k); known || got != 0 {
			t.Errorf("%s: %v = %v is known; the cell of the source is empty", id, k, got)
		}
	}
}

func TestTraits(t *testing.T) {
	t.Parallel()
	tests := []struct {
		id, trait string
		want      float64
		source    string
	}{
		{"gelatin-powder", "bloom", 200, "assumed where the packet is silent"},
		{"gelatin-leaf-200-bloom", "bloom", 200, "the grade"},
		{"cream-35", "whipping-fat", 35, "the grade"},
		{"pineapple", "enzyme", 1, "common practice, no source"},
		{"rum-54", "alcohol", 54, "the grade"},
		{"glucose-syrup-de60", "dextrose-equivalent", 60, "the grade"},
		// By hand, cocoa mass 55 with 52.31 % fat and cocoa butter 9: 28.77 + 9 = 37.77; 64 - 37.77 = 26.23.
		{"couverture-dark-64", "cocoa-butter", 37.77, "by hand"},
		{"couverture-dark-64", "dry-cocoa", 26.23, "by hand"},
		{"couverture-dark-64", "milk-fat", 0, "by hand"},
		// By hand, whole milk powder 23 with 26.71 % fat.
		{"couverture-milk-40", "milk-fat", 6.14, "by hand"},
	}
	for _, tt := range tests {
		if got, ok := entry(t, tt.id).Trait(tt.trait); !ok || math.Abs(got-tt.want) > 0.005+1e-9 {
			t.Errorf("%s: trait %s = %v, %v; want %v (%s)", tt.id, tt.trait, got, ok, tt.want, tt.source)
		}
	}
	if v, ok := entry(t, "sugar-granulated").Trait("bloom"); ok || v != 0 {
		t.Errorf("sugar has a bloom of %v", v)
	}
	for _, i := range ingredient.Builtin().All() {
		cocoa, ok := i.Trait("cocoa")
		if !ok {
			continue
		}
		butter, _ := i.Trait("cocoa-butter")
		dry, _ := i.Trait("dry-cocoa")
		milk, _ := i.Trait("milk-fat")
		if math.Abs(butter+dry-cocoa) > 0.011 || butter+milk > 100*i.Composition.At(material.Fat)+0.05 {
			t.Errorf("%s: cocoa %v, butter %v, dry %v, milk fat %v of fat %v", i.ID, cocoa, butter, dry, milk, 100*i.Composition.At(material.Fat))
		}
	}
}

// With leaves the table that it started from as it was.
func TestWith(t *testing.T) {
	t.Parallel()
	table := ingredient.Builtin()
	before := len(table.All())
	own := ingredient.Ingredient{ID: "house-cream", Name: "House cream", Aliases: []string{"cream", "crème maison"}, Source: "supplier's label"}
	butter := ingredient.Ingredient{ID: "butter-unsalted", Name: "Farm butter", Density: 900 * unit.KilogramPerCubicMetre}
	mine := table.With(own, butter)
	own.Name = "changed later"

	if got := mine.Match("cream")[0]; got.Ingredient.ID != "house-cream" || got.Ingredient.Name != "House cream" || !got.Exact {
		t.Errorf(`own table: Match("cream") = %s`, show(mine.Match("cream")))
	}
	if got := mine.Match("crème fleurette")[0]; got.Ingredient.ID != "cream-35" {
		t.Errorf("own table lost crème fleurette: %s", got.Ingredient.ID)
	}
	if i, ok := mine.Get("butter-unsalted"); !ok || i.Name != "Farm butter" {
		t.Errorf("butter is not replaced: %+v", i)
	}
	again := mine.With(ingredient.Ingredient{ID: "third", Name: "Third"})
	if got := again.Match("cream")[0].Ingredient.ID; got != "house-cream" {
		t.Errorf("a second With forgot that the names of the first win: %s", got)
	}
	if len(table.All()) != before || len(mine.All()) != before+1 || len(again.All()) != before+2 {
		t.Errorf("sizes %d, %d, %d; want %d, %d, %d", len(table.All()), len(mine.All()), len(again.All()), before, before+1, before+2)
	}
	if table.Match("cream")[0].Ingredient.ID != "cream-35" || entry(t, "butter-unsalted").Name != "Unsalted butter" {
		t.Error("With changed the builtin table")
	}
	var zero ingredient.Table
	if got := zero.With(own).Match("changed later"); len(got) != 1 {
		t.Errorf("table of one own entry: %s", show(got))
	}
}

func TestAllIsSorted(t *testing.T) {
	t.Parallel()
	all := ingredient.Builtin().All()
	if !slices.IsSortedFunc(all, func(a, b *ingredient.Ingredient) int {
		return strings.Compare(strings.ToLower(a.Name), strings.ToLower(b.Name))
	}) {
		t.Error("All is not sorted by name")
	}
	all[0] = nil
	if ingredient.Builtin().All()[0] == nil {
		t.Error("All hands out the table's own slice")
	}
}

// Every figure equals that of the collected tables, where these are at hand.
func TestFiguresEqualTheSource(t *testing.T) {
	t.Parallel()
	source, err := os.Open("../../shared/data/composition/ingredients.csv")
	if err != nil {
		t.Skip("the collected tables are not at hand")
	}
	defer source.Close()
	want := byFirst(t, source)
	ours, err := os.Open("table.csv")
	if err != nil {
		t.Fatal(err)
	}
	defer ours.Close()
	for id, row := range byFirst(t, ours) {
		from, ok := want[strings.ReplaceAll(id, "-", "_")]
		if !ok {
			t.Errorf("%s is not in the source", id)
			continue
		}
		for column, cell := range from {
			name := strings.NewReplacer("slug", "id", "name", "description").Replace(column)
			if got, has := row[name]; name != "id" && (!has || got != cell) {
				t.Errorf("%s: %s is %q, the source has %q", id, name, got, cell)
			}
		}
	}
}

func byFirst(t *testing.T, f *os.File) map[string]map[string]string {
	t.Helper()
	rows, err := csv.NewReader(f).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	out := map[string]map[string]string{}
	for _, row := range rows[1:] {
		m := map[string]string{}
		for n, cell := range row {
			m[rows[0][n]] = cell
		}
		out[row[0]] = m
	}
	return out
}

func entry(t *testing.T, id string) *ingredient.Ingredient {
	t.Helper()
	i, ok := ingredient.Builtin().Get(id)
	if !ok {
		t.Fatalf("%s is not in the table", id)
	}
	return i
}
