package ingredient

import (
	"strings"
	"testing"
)

// A broken file gives an error that names the file, the line and the cell.
func TestParseErrors(t *testing.T) {
	t.Parallel()
	const (
		table = "id,description,group,water_g,density_g_per_ml,density_basis,source,source_kind\n"
		milk  = table + "milk,Milk,dairy,88,1.03,liquid (1 cup),label,published\n"
		names = "id,name,aliases,unlimited\n"
		trait = "id,trait,value,source\n"
		part  = "id,measure,grams,source\n"
		yield = "id,process,from,to,kept_pct,low_pct,high_pct,source\n"
	)
	tests := []struct {
		name                                   string
		table, names, traits, portions, yields string
		want                                   []string
	}{
		{"a word for a figure", table + "milk,Milk,dairy,much,,,label,published\n", names, trait, part, yield, []string{"table.csv line 2", "water_g", "much"}},
		{"not a number", table + "milk,Milk,dairy,NaN,,,label,published\n", names, trait, part, yield, []string{"water_g", "NaN"}},
		{"less than none", table + "milk,Milk,dairy,-1,,,label,published\n", names, trait, part, yield, []string{"water_g", "-1"}},
		{"more than all", table + "milk,Milk,dairy,101,,,label,published\n", names, trait, part, yield, []string{"water_g", "101"}},
		{"twice", milk + "milk,Milk,dairy,88,,,label,published\n", names, trait, part, yield, []string{"table.csv line 3", "twice"}},
		{"short row", milk + "cream\n", names, trait, part, yield, []string{"table.csv", "fields"}},
		{"unknown id", milk, names + "cream,Cream,,\n", trait, part, yield, []string{"names.csv line 2", "cream"}},
		{"trait without value", milk, names, trait + "milk,acid,,label\n", part, yield, []string{"traits.csv line 2", "acid"}},
		{"portion of nothing", milk, names, trait, part + "milk,1 cup,0,label\n", yield, []string{"portions.csv line 2", "1 cup"}},
		{"yield without figure", milk, names, trait, part, yield + "milk,boil,,,,,,label\n", []string{"yields.csv line 2", "boil"}},
		{"empty file", milk, names, trait, part, "", []string{"yields.csv"}},
	}
	for _, tt := range tests {
		_, err := parse(tt.table, tt.names, tt.traits, tt.portions, tt.yields)
		if err == nil {
			t.Errorf("%s: no error", tt.name)
			continue
		}
		for _, w := range tt.want {
			if !strings.Contains(err.Error(), w) {
				t.Errorf("%s: error %q does not say %q", tt.name, err, w)
			}
		}
	}
	if all, err := parse(milk, names, trait, part, yield); err != nil || len(all) != 1 {
		t.Errorf("a sound table: %d ingredients, %v", len(all), err)
	}
}

func TestKey(t *testing.T) {
	t.Parallel()
	for _, same := range [][]string{
		{"Crème fraîche", "creme fraiche", "CRE\u0300ME  FRAI\u0302CHE"},
		{"jaune d'œuf", "jaunes d’oeufs", "Jaune d oeuf"},
		{"flour T45", "flour t-45", "Flour T 45"},
		{"peche", "pêches"},
		{"mango", "mangoes"},
		{"cherry", "cherries"},
		{"leaf", "leaves"},
		{"a.p. flour", "AP flour"},
		{"cream 35 %", "cream 35%", "cream, 35"},
		{"half & half", "half and half"},
		{"confectioners' sugar", "confectioner's sugar"},
	} {
		for _, s := range same[1:] {
			if key(s) != key(same[0]) {
				t.Errorf("key(%q) = %q, key(%q) = %q; want the same", s, key(s), same[0], key(same[0]))
			}
		}
	}
	if key("26.5 % vol") == key("265 % vol") {
		t.Error("a decimal point is lost")
	}
}

func TestSlips(t *testing.T) {
	t.Parallel()
	for _, tt := range []struct { // by hand
		a, b string
		want int
	}{{"", "", 0}, {"", "abc", 3}, {"cream", "cream", 0}, {"cream", "craem", 1}, {"flour", "flower", 2}, {"vanila", "vanilla", 1}, {"abc", "", 3}, {"butter", "buter", 1}} {
		if got := slips(tt.a, tt.b); got != tt.want {
			t.Errorf("slips(%q, %q) = %d, want %d", tt.a, tt.b, got, tt.want)
		}
	}
}
