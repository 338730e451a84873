package check_test

import (
	"math"
	"strings"
	"testing"
	"time"

	"chablon/check"
	"chablon/finding"
	"chablon/formula"
	"chablon/kitchen"
)

const day = 24 * time.Hour

// judgement is one formula and what one rule must say of it.
type judgement struct {
	name   string
	f      *formula.Formula
	height float64 // of the kitchen, m

	code  string // finding that must be there; with want false it must not
	want  bool
	level finding.Level
	says  string // in its reason or remedy

	figure   string // that must be there
	value    float64
	within   float64
	verdict  check.Verdict
	skip     string // rule that must be in the list of what was not judged
	skipSays string
}

func (c judgement) check(t *testing.T) {
	t.Helper()
	r := check.Balance(c.f, &kitchen.Kitchen{Altitude: metres(c.height)})
	if c.code != "" {
		found := false
		for _, f := range r.Findings {
			if f.Code != c.code {
				continue
			}
			found = true
			if c.want && (f.Level != c.level || !strings.Contains(f.Reason+"|"+f.Remedy, c.says)) {
				t.Errorf("got %s %s: %s | %s; want a %s with %q", f.Level, f.Code, f.Reason, f.Remedy, c.level, c.says)
			}
			if f.Source == "" || f.Where != "formula test" || f.Reason == "" || (f.Level > finding.Note && f.Remedy == "") {
				t.Errorf("incomplete: %+v", f)
			}
		}
		if found != c.want {
			t.Errorf("%s found: %v, want %v; findings %v", c.code, found, c.want, r.Findings)
		}
	}
	if c.figure != "" {
		g, ok := figureOf(r, c.figure)
		switch {
		case !ok:
			t.Errorf("no figure %q in %v", c.figure, r.Figures)
		case math.Abs(g.Value-c.value) > c.within || g.Verdict != c.verdict:
			t.Errorf("%s is %.4g %s, %s; want %.4g ± %.2g, %s", g.Name, g.Value, g.Unit, g.Verdict, c.value, c.within, c.verdict)
		case g.Source == "" || g.Unit == "":
			t.Errorf("incomplete: %+v", g)
		}
	}
	if c.skip != "" {
		if why, ok := skipped(r, c.skip); !ok || !strings.Contains(why, c.skipSays) {
			t.Errorf("%q not judged because %q, want %q; all %v", c.skip, why, c.skipSays, r.NotJudged)
		}
	}
}

func run(t *testing.T, cases []judgement) {
	t.Helper()
	for _, c := range cases {
		t.Run(c.name, c.check)
	}
}

// Shares of a sponge by hand: sugar over flour and starch, against 85 to 110 % (common practice;
// a fifth of the range is 5).
func TestRanges(t *testing.T) {
	t.Parallel()
	genoise := func(sugar string) *formula.Formula {
		return written(t, "Génoise", "90 g flour", "30 g cornstarch", sugar+" sugar", "190 g eggs|egg-whole")
	}
	heavy := genoise("120 g")
	heavy.Air.SpecificGravity = 0.60
	run(t, []judgement{
		{name: "in range", f: genoise("120 g"), code: "sugar-low", figure: "sugar on flour and starch", value: 100, within: 1e-6, verdict: check.Inside},
		{name: "just below", f: genoise("98.4 g"), code: "sugar-low", want: true, level: finding.Note, says: "82 %", figure: "sugar on flour and starch", value: 82, within: 1e-6, verdict: check.Near},
		{name: "far below", f: genoise("60 g"), code: "sugar-low", want: true, level: finding.Caution, says: "Add 42.0 g of sugar", figure: "sugar on flour and starch", value: 50, within: 1e-6, verdict: check.Outside}, // 0.85 × 120 − 60
		{name: "far above", f: genoise("150 g"), code: "sugar-high", want: true, level: finding.Caution, says: "Take out 18.0 g of sugar"},                                                                                // 150 − 1.10 × 120
		{name: "starch", f: genoise("120 g"), figure: "starch on flour and starch", value: 25, within: 1e-6, verdict: check.Inside},
		{name: "no butter", f: genoise("120 g"), skip: "butter on flour and starch", skipSays: "takes no butter"},
		{name: "heavy batter", f: heavy, code: "specific-gravity-high", want: true, level: finding.Caution, says: "Whip further", figure: "specific gravity", value: 0.60, within: 1e-9, verdict: check.Outside},
		{name: "gravity unsaid", f: genoise("120 g"), skip: "specific gravity", skipSays: "no specific gravity"},
		{name: "loss in the range of a sheet", f: losing(genoise("120 g"), "bake", 0.17), code: "bake-loss-high", figure: "bake loss", value: 17, within: 1e-9, verdict: check.Inside},
		{name: "no type", f: written(t, "", "100 g sugar"), skip: "ranges", skipSays: "no ranges"},
		{
			name: "whole: what is added is in the basis", f: written(t, "croustillant", "50 g praline|praline-hazelnut-60", "40 g feuilletine", "5 g milk chocolate|couverture-milk-40", "5 g cocoa butter"),
			code: "chocolate-low", want: true, level: finding.Caution, says: "Add 5.6 g of chocolate",
		}, // (10 − 5)/0.9
		{name: "a group counts by its name", f: grouped(t), figure: "bombe in the whole", value: 20, within: 1e-6, verdict: check.Inside}, // 180 of 900
		{name: "nested custard counts as custard", f: nested(t), figure: "whipped cream on custard", value: 100, within: 1e-6, verdict: check.Inside},
	})
}

func grouped(t *testing.T) *formula.Formula {
	t.Helper()
	f := written(t, "chocolate mousse", "100 g egg yolks", "80 g sugar", "300 g dark chocolate 64 %", "420 g cream 35 %")
	f.Lines[0].Group, f.Lines[1].Group = "pâte à bombe", "pâte à bombe"
	return f
}

func nested(t *testing.T) *formula.Formula {
	t.Helper()
	custard := written(t, "custard", "500 g whole milk", "100 g egg yolks", "100 g sugar")
	f := whipping(written(t, "bavarian cream", "500 g cream 35 %"), "cream-35-%")
	f.Lines = append(f.Lines, formula.Line{ID: "custard", Formula: custard, Mass: 0.5})
	return f
}

// Gelatin of 160 Bloom: 10 g in 1000 g is 10 √(160/200) = 8.94 g at 200, and 8 g by the linear
// rule. Firmness by B (c/0.0667)² of bib:ward-courts: 15 g in 735 g of water, and the 1.95 g that
// the gelatin brings, is 2.0 %: 17.9 g.
func TestGelatinRules(t *testing.T) {
	t.Parallel()
	jelly := func(lines ...string) *formula.Formula { return written(t, "jelly insert", lines...) }
	boiled := func(at string) *formula.Formula {
		return steps(t, jelly("900 g pear purée", "14 g gelatin powder"), "heat "+at+": pear-purée, gelatin-powder")
	}
	const heat, acid, spirit, fruit = "gelatin boiled", "gelatin in acid", "gelatin in alcohol", "fruit that splits gelatin"
	run(t, []judgement{
		{
			name: "grade", f: written(t, "mousse", "990 g mango purée", "10 g gelatin 160"), code: "gelatin-in-range", want: true, says: "0.89 % gelatin at 200 Bloom; usual for a mousse are 0.7 to 1.4 % (by the linear rule it counts as 0.80 %)",
			figure: "gelatin", value: 0.8944, within: 1e-3, verdict: check.Inside,
		},
		{name: "weak", f: written(t, "mousse", "996 g mango purée", "4 g gelatin powder"), code: "gelatin-low", want: true, level: finding.Caution, says: "Add 3.0 g"}, // (7 − 4)/0.993
		{name: "firmness", f: written(t, "", "735 g water", "15 g gelatin powder"), figure: "firmness of the gel", value: 17.9, within: 0.15},
		{name: "melts", f: written(t, "", "735 g water", "15 g gelatin powder"), figure: "gelatin melts", value: 30, within: 1e-9},
		{name: "no gelatin", f: jelly("900 g pear purée"), skip: "gelatin: firmness, setting and melting", skipSays: "no gelatin"},
		{name: "beyond the rule", f: jelly("900 g water", "2 g gelatin powder"), skip: "gelatin: firmness, setting and melting", skipSays: "0.5 to 10 %"},

		{name: "melted", f: boiled("60 °C"), code: "gelatin-boiled"},
		{name: "boiled", f: boiled("100 °C"), code: "gelatin-boiled", want: true, level: finding.Caution, says: "100 °C"},
		{name: "heat without steps", f: jelly("900 g pear purée", "14 g gelatin powder"), skip: heat, skipSays: "no steps"},

		{name: "a little lemon", f: jelly("900 g pear purée", "20 g lemon juice", "14 g gelatin powder"), code: "gelatin-in-acid", skip: acid, skipSays: "pH is not known"},
		{name: "much lemon", f: jelly("500 g pear purée", "300 g lemon juice", "200 g water", "14 g gelatin powder"), code: "gelatin-in-acid", want: true, says: "2.8 g to 4.2 g"}, // 0.2 and 0.3 of 14 g
		{name: "no acid", f: jelly("900 g water", "14 g gelatin powder"), skip: acid, skipSays: "no acid"},

		{name: "a dash of spirit", f: jelly("900 g water", "100 g strong spirit", "14 g gelatin powder"), code: "gelatin-in-alcohol", figure: "alcohol in the water phase", value: 6.99, within: 0.05, verdict: check.Inside}, // 70/(70 + 930 + 1.8)
		{name: "strong", f: jelly("400 g water", "600 g strong spirit", "14 g gelatin powder"), code: "gelatin-in-alcohol", want: true, level: finding.Caution, says: "Add at least 399 g"},                                   // 420 × 7/3 − 581.4
		{name: "spirit alone", f: jelly("1000 g strong spirit", "14 g gelatin powder"), code: "gelatin-in-alcohol", want: true, level: finding.Fault, says: "precipitates"},
		{name: "no spirit", f: jelly("900 g water", "14 g gelatin powder"), skip: spirit, skipSays: "no alcohol"},

		{name: "raw pineapple", f: jelly("900 g pineapple purée", "14 g gelatin powder"), code: "enzyme-against-gelatin", want: true, level: finding.Fault, says: "Boil the fruit first"},
		{name: "boiled pineapple", f: steps(t, jelly("900 g pineapple purée", "14 g gelatin powder"), "boil: pineapple-purée", "mix: boil, gelatin-powder"), code: "enzyme-against-gelatin"},
		{name: "pear", f: jelly("900 g pear purée", "14 g gelatin powder"), skip: fruit, skipSays: "no fruit"},
		{name: "pineapple on pectin", f: jelly("900 g pineapple purée"), skip: fruit, skipSays: "not affected"},
	})
}

func TestOtherGels(t *testing.T) {
	t.Parallel()
	agar := func(grams, heat string) *formula.Formula {
		return steps(t, written(t, "", "1000 g water", grams+" agar"), "boil "+heat+": water, agar")
	}
	jam := func(sugar string) *formula.Formula {
		return written(t, "", "400 g raspberry purée", sugar+" sugar", "4 g pectin HM|pectin-hm", "4 g citric acid|citric-acid-anhydrous")
	}
	cream := func(heat string) *formula.Formula {
		return steps(t, written(t, "pastry cream", "500 g whole milk", "100 g egg yolks", "100 g sugar", "40 g cornstarch"), "cook "+heat)
	}
	run(t, []judgement{
		{name: "agar firm", f: agar("8 g", "98 °C"), code: "agar-high", figure: "agar in the whole", value: 0.794, within: 1e-3, verdict: check.Inside}, // 8/1008
		{name: "agar dissolved", f: agar("8 g", "98 °C"), code: "agar-not-boiled"},
		{name: "agar brittle", f: agar("30 g", "98 °C"), code: "agar-high", want: true, level: finding.Caution, says: "2.91 %"}, // 30/1030
		{name: "agar too little", f: agar("1.5 g", "98 °C"), code: "agar-low", want: true, level: finding.Note, says: "0.15 %"},
		{name: "agar not dissolved", f: agar("8 g", "80 °C"), code: "agar-not-boiled", want: true, level: finding.Caution, says: "80 °C"},
		{name: "no agar", f: written(t, "", "100 g water"), skip: "agar", skipSays: "no agar"},
		{name: "agar without steps", f: written(t, "", "1000 g water", "8 g agar"), skip: "agar boiled", skipSays: "no steps"},

		{name: "jam", f: jam("600 g"), code: "pectin-hm-solids", skip: "pectin HM: acid", skipSays: "pH"},
		{name: "thin jam", f: jam("100 g"), code: "pectin-hm-solids", want: true, level: finding.Fault, says: "pectin NH"},
		{name: "jam without acid", f: written(t, "", "400 g apple purée|applesauce", "600 g sugar", "4 g pectin HM|pectin-hm"), code: "pectin-hm-acid", want: true, says: "citric acid"},
		{name: "no HM", f: written(t, "", "100 g water"), skip: "pectin HM", skipSays: "no pectin HM"},

		{name: "NH in milk", f: written(t, "", "500 g whole milk", "8 g pectin NH"), code: "pectin-nh-calcium", figure: "calcium for a gram of pectin NH", value: 70, within: 8, verdict: check.Inside}, // 500 g of milk with 1.13 mg a gram (USDA SR28 01077)
		{name: "NH in sugar water", f: written(t, "", "500 g water", "200 g sugar", "8 g pectin NH"), code: "pectin-nh-calcium", want: true, says: "calcium salt"},
		{name: "no NH", f: written(t, "", "100 g water"), skip: "pectin NH: calcium", skipSays: "no pectin NH"},

		{name: "starch boiled", f: cream("98 °C"), code: "starch-not-boiled"},
		{name: "starch not boiled", f: cream("84 °C"), code: "starch-not-boiled", want: true, level: finding.Caution, says: "84 °C"},
		{name: "no starch", f: written(t, "custard", "500 g whole milk", "100 g egg yolks"), skip: "starch cream boiled", skipSays: "no liquid"},
		{name: "starch baked", f: losing(cream("84 °C"), "bake", 0.05), skip: "starch cream boiled", skipSays: "baked"},
	})
}

// Water of a meringue of 100 g of white (88 %, of the reference figures) and 200 g of sugar: 29 %
// of it.
func TestFoams(t *testing.T) {
	t.Parallel()
	cream := func(of, at string) *formula.Formula {
		return whipping(steps(t, written(t, "whipped cream", "500 g cream|"+of, "40 g sugar"), "whip "+at+": cream, sugar"), "cream")
	}
	cake := func(sugar, egg string) *formula.Formula {
		return written(t, "pound cake", "250 g flour", sugar+" sugar", egg+" eggs|egg-whole", "250 g butter")
	}
	meringue := func(loss float64) *formula.Formula {
		return losing(written(t, "meringue", "100 g egg whites", "200 g sugar"), "bake", loss)
	}
	run(t, []judgement{
		{name: "cream of 35 %", f: cream("cream-35", "5 °C"), code: "cream-too-lean", figure: "fat of the whipped cream", value: 35, within: 0.1, verdict: check.Inside},
		{name: "cream of 48 %", f: cream("cream-48", "5 °C"), code: "cream-too-lean", figure: "fat of the whipped cream", value: 48, within: 0.1, verdict: check.Inside},
		{name: "table cream", f: cream("cream-light-20", "5 °C"), code: "cream-too-lean", want: true, level: finding.Fault, says: "none whips"}, // 19.3 % of fat
		{name: "cold", f: cream("cream-35", "5 °C"), code: "cream-too-warm"},
		{name: "warm", f: cream("cream-35", "9 °C"), code: "cream-too-warm", want: true, says: "9 °C"},
		{name: "hot day", f: cream("cream-35", "14 °C"), code: "cream-too-warm", want: true, level: finding.Caution, says: "14 °C"},
		{name: "nothing whipped", f: written(t, "", "500 g cream 35 %"), skip: "cream that is whipped", skipSays: "no cream"},
		{name: "temperature unsaid", f: whipping(written(t, "whipped cream", "500 g cream 35 %")), skip: "cream that is whipped: temperature", skipSays: "no steps"},

		{name: "pound cake", f: cake("250 g", "250 g"), code: "creamed-sugar", figure: "egg on fat", value: 100, within: 1e-6, verdict: check.Inside},
		{name: "sweet", f: cake("350 g", "250 g"), code: "creamed-sugar", want: true, level: finding.Caution, says: "Take out 87.5 g"}, // 350 − 1.05 × 250
		{name: "short of egg", f: cake("250 g", "150 g"), code: "creamed-egg", want: true, level: finding.Caution, says: "Add 87.5 g"}, // 0.95 × 250 − 150
		{name: "no creamed cake", f: written(t, "genoise", "100 g flour"), skip: "balance of a creamed cake", skipSays: "no creamed"},

		{name: "meringue dried", f: meringue(0.28), code: "loss-beyond-water"},
		{name: "more than its water", f: meringue(0.40), code: "loss-beyond-water", want: true, level: finding.Fault, says: "29 %"},
		{name: "no loss", f: written(t, "meringue", "100 g egg whites", "200 g sugar"), skip: "water lost in the making", skipSays: "no loss"},
	})
}

// Custard: sets at 79 to 83 °C, 82 to 85 at the stove, curdles beyond 86 without starch (McGee,
// On Food and Cooking, and common practice).
func TestCustardAndChocolate(t *testing.T) {
	t.Parallel()
	anglaise := func(at string, more ...string) *formula.Formula {
		return steps(t, written(t, "crème anglaise", append([]string{"500 g whole milk", "100 g egg yolks", "100 g sugar"}, more...)...), "cook "+at)
	}
	mousse := func(chocolate, cream string, more ...string) *formula.Formula {
		return written(t, "chocolate mousse", append([]string{chocolate + " dark chocolate 64 %", cream + " cream 35 %", "100 g egg yolks", "80 g sugar"}, more...)...)
	}
	ganache := func(at string) *formula.Formula {
		return steps(t, written(t, "ganache", "300 g dark chocolate 64 %", "300 g cream 35 %"), "blend "+at)
	}
	const set = "chocolate mousse set by cocoa butter"
	run(t, []judgement{
		{name: "nappe", f: anglaise("84 °C"), code: "custard-curdles", figure: "hottest that the egg gets", value: 84, within: 0, verdict: check.Inside},
		{name: "a shade cool", f: anglaise("81 °C"), code: "custard-underheated", want: true, says: "82 °C"},
		{name: "too cool", f: anglaise("72 °C"), code: "custard-underheated", want: true, level: finding.Caution, says: "72 °C"},
		{name: "curdled", f: anglaise("88 °C"), code: "custard-curdles", want: true, level: finding.Caution, says: "86 °C"},
		{name: "a range counts by its upper end", f: anglaise("82–88 °C"), code: "custard-curdles", want: true, level: finding.Caution, says: "88 °C"},
		{name: "scrambled", f: anglaise("95 °C"), code: "custard-curdles", want: true, level: finding.Fault, says: "scrambles"},
		{name: "hot syrup says nothing of the egg", f: steps(t, anglaise("84 °C"), "pour 118 °C"), code: "custard-curdles", figure: "hottest that the egg gets", value: 84, within: 0, verdict: check.Inside},
		{name: "with starch", f: anglaise("98 °C", "40 g cornstarch"), code: "custard-curdles", skip: "custard heated", skipSays: "starch shields"},
		{name: "no egg", f: written(t, "panna cotta", "500 g cream 35 %"), skip: "custard heated", skipSays: "no liquid bound with egg"},
		{name: "baked custard", f: losing(anglaise("95 °C"), "bake", 0.05), code: "custard-curdles", skip: "custard heated", skipSays: "baked"},
		{name: "no temperature", f: steps(t, written(t, "custard", "500 g whole milk", "100 g egg yolks"), "cook"), skip: "custard heated", skipSays: "has a temperature"},

		// 300 of 980 g of couverture with 37.77 % of cocoa butter: 11.6 %.
		{name: "sets", f: mousse("300 g", "500 g"), code: "cocoa-butter-low", figure: "cocoa butter in the whole", value: 11.56, within: 0.05, verdict: check.Inside},
		{name: "does not set", f: mousse("120 g", "500 g"), code: "cocoa-butter-low", want: true, level: finding.Caution, says: "couverture"},
		{name: "gelatin sets it", f: mousse("120 g", "500 g", "5 g gelatin powder"), code: "cocoa-butter-low", skip: set, skipSays: "gelatin"},
		{name: "no chocolate mousse", f: written(t, "mousse", "500 g mango purée"), skip: set, skipSays: "no chocolate mousse"},

		{name: "ganache blended", f: ganache("38 °C"), code: "ganache-too-cold", figure: "ganache blended at", value: 38, within: 0, verdict: check.Inside},
		{name: "ganache cold", f: ganache("25 °C"), code: "ganache-too-cold", want: true, level: finding.Caution, says: "splits"},
		{name: "ganache hot", f: ganache("60 °C"), code: "ganache-too-hot", want: true, level: finding.Caution, says: "43 °C"},
		{name: "chocolate burnt", f: steps(t, written(t, "ganache", "300 g dark chocolate 64 %|couverture-dark-64", "300 g cream 35 %"), "melt 80 °C: couverture-dark-64"), code: "chocolate-too-hot", want: true, level: finding.Caution, says: "burns"},
		{name: "chocolate melted", f: steps(t, written(t, "ganache", "300 g dark chocolate 64 %|couverture-dark-64", "300 g cream 35 %"), "melt 48 °C: couverture-dark-64"), code: "chocolate-too-hot", figure: "chocolate melted at", value: 48, within: 0, verdict: check.Inside},
		{name: "no chocolate", f: written(t, "ganache", "300 g cream 35 %"), skip: "chocolate: melting and blending", skipSays: "no chocolate"},
		// 38.58 % of fat in 300 g of couverture, 35 % in 300 g of cream: 36 to 37 % of fat.
		{name: "ganache fat", f: ganache("38 °C"), figure: "fat content", value: 36.4, within: 0.6, verdict: check.Inside},
		{name: "fat splits", f: written(t, "ganache", "500 g dark chocolate 70 %|couverture-dark-70", "200 g cream|cream-48", "60 g butter"), code: "fat-content-high", want: true, level: finding.Caution, says: "splits"},
	})
}
