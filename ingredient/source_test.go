package ingredient_test

import (
	"encoding/csv"
	"errors"
	"io/fs"
	"os"
	"regexp"
	"slices"
	"strings"
	"testing"

	"chablon/ingredient"
)

// rows reads a CSV file into its rows by column name, or skips the test where it is not there.
func rows(t *testing.T, path string) []map[string]string {
	t.Helper()
	f, err := os.Open(path)
	if errors.Is(err, fs.ErrNotExist) {
		t.Skip("the collected tables are not at hand")
	}
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	all, err := csv.NewReader(f).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	var out []map[string]string
	for _, row := range all[1:] {
		m := map[string]string{}
		for n, cell := range row {
			m[all[0][n]] = cell
		}
		out = append(out, m)
	}
	return out
}

// lines writes the named columns of each row as one text, sorted.
func lines(all []map[string]string, columns ...string) []string {
	var out []string
	for _, row := range all {
		var cells []string
		for _, c := range columns {
			cells = append(cells, row[c])
		}
		out = append(out, strings.Join(cells, "|"))
	}
	slices.Sort(out)
	return out
}

// No row of the collected tables is missing, changed or added, where these are at hand. The
// figures of table.csv are compared in TestFiguresEqualTheSource.
func TestRowsEqualTheSource(t *testing.T) {
	t.Parallel()
	const source = "../../shared/data/composition/"
	for _, file := range []struct {
		name         string
		ours, theirs string
	}{
		{"table", "description group source", "name group source"},
		{"portions", "measure grams source source_kind", "measure grams source source_kind"},
		{
			"yields", "process from to kept_pct low_pct high_pct basis source source_kind note",
			"process input_form output_form yield_pct yield_low_pct yield_high_pct basis source source_kind note",
		},
	} {
		theirs := rows(t, source+strings.Replace(file.name, "table", "ingredients", 1)+".csv")
		for _, row := range theirs {
			row["slug"] = strings.ReplaceAll(row["slug"], "_", "-")
		}
		want := lines(theirs, append([]string{"slug"}, strings.Fields(file.theirs)...)...)
		got := lines(rows(t, file.name+".csv"), append([]string{"id"}, strings.Fields(file.ours)...)...)
		if len(got) != len(want) {
			t.Errorf("%s.csv has %d rows, the source %d", file.name, len(got), len(want))
		}
		for _, row := range want {
			if _, found := slices.BinarySearch(got, row); !found {
				t.Errorf("%s.csv has no row %q", file.name, row)
			}
		}
	}
}

// Remarks in the collected names that say how close a name is, and names that they say are of
// something else.
var (
	remark  = regexp.MustCompile(`\s*\((near|brand|old|finer|lighter|leaner|thinner|light|plus gros|glaze|sugared|German|paste|flakes|monohydrate|chimique|coarse)\)`)
	another = regexp.MustCompile(`\((wrong|other|prepared)\)`)
)

// claimed lists names that the collected names give to one entry and the trade more often to
// another, which has them here; most are ambiguous.
var claimed = strings.Split("plain flour;farine de seigle;chataigne;potato flour;demerera;white sugar;sucre blanc;glucose powder;liquid glucose;treacle;"+
	"double cream;whipping cream;single cream;crème fraîche;Neufchatel;yoghurt;yogourt;végétaline;breakfast cocoa;jordan almonds;clementine;"+
	"nappage;levure;marzipan;pâte d'amandes", ";")

// Every collected name leads to its entry, or to another one for a reason on record.
func TestCollectedNames(t *testing.T) {
	t.Parallel()
	seen := 0
	for _, row := range rows(t, "../../shared/reference/names.csv") {
		if strings.HasPrefix(row["slug_or_term"], "component:") {
			continue
		}
		id := strings.ReplaceAll(row["slug_or_term"], "_", "-")
		for _, column := range []string{"us", "uk", "fr", "other"} {
			for name := range strings.SplitSeq(row[column], ";") {
				name = remark.ReplaceAllString(strings.TrimSpace(name), "")
				if name == "" || another.MatchString(name) {
					continue
				}
				seen++
				i, ok := ingredient.Builtin().Named(name)
				if !ok || i.ID != id && !slices.Contains(claimed, name) {
					t.Errorf("%q is a name of %s but Named gives %v, %v", name, id, i, ok)
				}
			}
		}
	}
	if seen < 500 {
		t.Errorf("%d names, want some hundreds", seen)
	}
}

// Energy and refuse as printed, and cells that are empty there.
func TestEnergyAndRefuse(t *testing.T) {
	t.Parallel()
	for id, want := range map[string]ingredient.Figure{
		"flour-all-purpose": {Value: 364, Known: true}, // USDA SR28 20581
		"butter-unsalted":   {Value: 717, Known: true}, // USDA SR28 01145
		"water":             {Value: 0, Known: true},   // USDA SR28 14411
	} {
		if got := entry(t, id).Energy; got != want {
			t.Errorf("%s: energy %+v, want %+v", id, got, want)
		}
	}
	if got := entry(t, "egg-whole").Refuse; got != (ingredient.Figure{Value: 0.12, Known: true}) { // USDA SR28 01123
		t.Errorf("egg: refuse %+v, want 0.12", got)
	}
	if got := entry(t, "couverture-dark-64").Refuse; got != (ingredient.Figure{}) { // the cell is empty
		t.Errorf("couverture: refuse %+v, want unknown", got)
	}
	known := 0
	for _, i := range ingredient.Builtin().All() {
		if i.Energy.Known {
			known++
		} else if i.Energy.Value != 0 {
			t.Errorf("%s: energy %v is unknown", i.ID, i.Energy.Value)
		}
		if i.Energy.Value > 902 { // pure fat, the densest of foods
			t.Errorf("%s: energy %v kcal per 100 g", i.ID, i.Energy.Value)
		}
	}
	if known < 580 {
		t.Errorf("energy is known of %d", known)
	}
}
