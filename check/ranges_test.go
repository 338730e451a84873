package check_test

import (
	"encoding/csv"
	"os"
	"strings"
	"testing"

	"chablon/check"
)

const head = "type,quantity,basis,low,high,unit,note,source,kind\n"

func TestRangesRead(t *testing.T) {
	t.Parallel()
	table, err := check.Ranges(head + "genoise,sugar,flour+starch=100,85,110,%,weak below,a book,published\ngenoise,specific gravity,,0.35,0.5,ratio,,a book,from memory\n")
	if err != nil {
		t.Fatal(err)
	}
	want := check.Range{Type: "genoise", Quantity: "sugar", Basis: "flour+starch", Low: 85, High: 110, Unit: "%", Note: "weak below", Source: "a book", Kind: "published"}
	if rows := table.For("genoise"); len(rows) != 2 || rows[0] != want {
		t.Errorf("got %+v, want %+v first of two", rows, want)
	}
	if rows := table.For("joconde"); len(rows) != 0 {
		t.Errorf("rows from nowhere: %v", rows)
	}
	own := check.BalanceBy(table, written(t, "genoise", "100 g flour", "60 g sugar"), nil)
	if !own.Findings.Has("sugar-low") {
		t.Errorf("a table of one's own is not used: %v", own.Findings)
	}
}

func TestRangesErrors(t *testing.T) {
	t.Parallel()
	good := "genoise,sugar,flour+starch=100,85,110,%,,a book,published\n"
	for _, c := range []struct{ row, want string }{
		{"genois,sugar,total=100,85,110,%,,a book,published", `ranges line 3: type "genois" is not known: write one of genoise, `},
		{"genoise,sugr,total=100,85,110,%,,a book,published", `ranges line 3: quantity "sugr" is not known: write a part (egg, `},
		{"genoise,flour+sugr,total=100,85,110,%,,a book,published", `quantity "sugr" is not known`},
		{"genoise,sugar,flower=100,85,110,%,,a book,published", `ranges line 3: basis "flower" is not known: write total=100 or parts`},
		{"genoise,sugar,total,85,110,%,,a book,published", `basis "total" does not say what is 100: write it as total=100`},
		{"genoise,sugar,,85,110,%,,a book,published", `basis "" is not known`},
		{"genoise,specific gravity,total=100,0.3,0.5,ratio,,a book,published", `basis "total=100" of specific gravity has no meaning: leave it empty`},
		{"genoise,gelatin,flour=100,0.3,0.5,%,,a book,published", `basis "flour=100" of gelatin is not known: write total=100`},
		{"genoise,sugar,total=100,85,110,g,,a book,published", `unit "g" of sugar is not understood: write %`},
		{"genoise,specific gravity,,0.3,0.5,%,,a book,published", `unit "%" of specific gravity is not understood: write ratio`},
		{"genoise,sugar,total=100,much,110,%,,a book,published", `low "much" is not a figure`},
		{"genoise,sugar,total=100,1,NaN,%,,a book,published", `high "NaN" is not a figure`},
		{"genoise,sugar,total=100,1,1e300,%,,a book,published", `high "1e300" is not a figure`},
		{"genoise,sugar,total=100,110,85,%,,a book,published", `low 110 is not below high 85`},
		{"genoise,sugar,total=100,85,110,%,,,published", `has no source`},
		{"genoise,sugar,total=100,85,110,%,,a book,rumour", `kind "rumour" of the source is not known`},
		{"genoise,sugar,total=100,85", `ranges: record on line 3: wrong number of fields`},
	} {
		if _, err := check.Ranges(head + good + c.row + "\n"); err == nil || !strings.Contains(err.Error(), c.want) {
			t.Errorf("%s\ngives %v\nwant %s", c.row, err, c.want)
		}
	}
	for _, text := range []string{"", "type,quantity\n"} {
		if _, err := check.Ranges(text); err == nil || !strings.Contains(err.Error(), "type,quantity,basis") {
			t.Errorf("%q gives %v, want the columns", text, err)
		}
	}
}

// The ranges of the reference tables from which the rows were copied, where they are at hand:
// each row's figures and unit stand there. Rows copied from the notes of those tables are named.
func TestRangesAgainstReference(t *testing.T) {
	t.Parallel()
	data, err := os.ReadFile("../../shared/reference/formula-ranges.csv")
	if err != nil {
		t.Skip("the reference tables are not at hand")
	}
	rows, err := csv.NewReader(strings.NewReader(string(data))).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	reference := map[[3]string]bool{}
	for _, r := range rows {
		unit := strings.NewReplacer("degC", "°C", "kg/m3", "kg/m³").Replace(r[5])
		reference[[3]string{r[3], r[4], unit}] = true
	}
	fromNotes := map[string]bool{
		"chocolate mousse on custard 0.4 1.0": true, "chocolate mousse on custard 28 40": true, "chocolate mousse on custard 0.2 0.7": true, "chocolate crémeux 32 42": true,
		"chocolate crémeux 35 45": true, "gummy 6 9": true, "marshmallow 2 5": true, "chocolate mousse 0 0.7": true,
		"fruit glaze 1.5 2.5": true, "glaze 1.0 2.5": true,
	}
	own, err := os.ReadFile("ranges.csv")
	if err != nil {
		t.Fatal(err)
	}
	mine, err := csv.NewReader(strings.NewReader(string(own))).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	for _, r := range mine[1:] {
		if !reference[[3]string{r[3], r[4], r[5]}] && !fromNotes[r[0]+" "+r[3]+" "+r[4]] {
			t.Errorf("%s, %s: %s to %s %s is in no row of the reference", r[0], r[1], r[3], r[4], r[5])
		}
	}
}

// Words as documents and books write them.
func TestKind(t *testing.T) {
	t.Parallel()
	for word, want := range map[string]string{
		"Génoise": "genoise", "genoise": "genoise", "BAVAROIS": "bavarois", "Bavarian cream": "bavarois", "joconde": "joconde", "Biscuit Joconde": "joconde",
		"separated sponge": "separated sponge", "mirror glaze": "mirror glaze", "glaçage miroir": "mirror glaze", "Crème anglaise": "crème anglaise", "creme  anglaise": "crème anglaise",
		"crème-pâtissière": "crème pâtissière", "pastry cream": "crème pâtissière", "jelly insert": "jelly insert", "croustillant": "croustillant",
		"soaking syrup": "soaking syrup", "chocolate mousse": "chocolate mousse", "quatre-quarts": "butter cake", "mousse": "mousse",
	} {
		if got, ok := check.Kind(word); got != want || !ok {
			t.Errorf("%q is %q, want %q", word, got, want)
		}
	}
	for _, word := range []string{"", "décor", "gelatin", "spaceship"} {
		if got, ok := check.Kind(word); ok {
			t.Errorf("%q is %q, want nothing", word, got)
		}
	}
	seen := map[string]bool{}
	for _, k := range check.Kinds() {
		if got, _ := check.Kind(k); got != k || seen[k] {
			t.Errorf("kind %q is not its own word, or is there twice (%q)", k, got)
		}
		seen[k] = true
	}
}

// What a general word leaves open is told by what the formula holds.
func TestKindOf(t *testing.T) {
	t.Parallel()
	for _, c := range []struct {
		kind  string
		lines []string
		want  string
	}{
		{"mousse", []string{"500 g mango purée", "500 g cream 35 %"}, "fruit mousse"},
		{"mousse", []string{"500 g mango purée", "100 g egg whites"}, "fruit mousse with meringue"},
		{"mousse", []string{"300 g dark chocolate 64 %", "100 g egg yolks", "300 g cream 35 %"}, "chocolate mousse on bombe"},
		{"chocolate mousse", []string{"300 g dark chocolate 64 %", "100 g egg yolks", "300 g whole milk"}, "chocolate mousse on custard"},
		{"chocolate mousse", []string{"300 g dark chocolate 64 %", "500 g cream 35 %"}, "chocolate mousse on ganache"},
		{"glaze", []string{"100 g cocoa powder"}, "cocoa glaze"},
		{"mirror glaze", []string{"100 g white chocolate"}, "white chocolate glaze"},
		{"glaze", []string{"100 g pear purée"}, "fruit glaze"},
		{"mirror glaze", []string{"100 g pear purée"}, "mirror glaze"},
		{"glaze", []string{"100 g sugar", "1 g pectin NH"}, "neutral glaze"},
		{"ganache", []string{"100 g dark chocolate 64 %"}, "dark ganache"},
		{"ganache", []string{"100 g white chocolate"}, "white ganache"},
		{"ganache", []string{"100 g milk chocolate|couverture-milk-40"}, "milk ganache"},
		{"crémeux", []string{"100 g mango purée"}, "fruit crémeux"},
		{"cremeux", []string{"100 g dark chocolate 64 %"}, "chocolate crémeux"},
		{"meringue", []string{"100 g egg whites", "200 g sugar"}, "french meringue"},
		{"meringue", []string{"100 g egg whites", "200 g sugar", "60 g water"}, "italian meringue"},
		{"buttercream", []string{"100 g butter", "100 g icing sugar"}, "simple buttercream"},
		{"buttercream", []string{"100 g butter", "50 g egg yolks", "50 g sugar", "20 g water"}, "french buttercream"},
		{"buttercream", []string{"100 g butter", "50 g egg whites", "50 g sugar"}, "swiss buttercream"},
		{"buttercream", []string{"100 g butter", "50 g egg whites", "50 g sugar", "20 g water"}, "italian buttercream"},
	} {
		if got, ok := check.KindOf(written(t, c.kind, c.lines...)); got != c.want || !ok {
			t.Errorf("%s of %v is %q, want %q", c.kind, c.lines, got, c.want)
		}
	}
}
