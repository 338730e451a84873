package check

import (
	"fmt"
	"math"

	"chablon/finding"
	"chablon/formula"
	"chablon/ingredient"
	"chablon/material"
	"chablon/unit"
)

// gelatinRange says how the gelatin of a kind stands to its range, in range too: it is the
// figure that decides whether a piece can be unmoulded.
func (j *judge) gelatinRange(r Range, value float64, v Verdict) {
	figure := fmt.Sprintf("%.2f %% gelatin at 200 Bloom; usual for a %s are %.1f to %.1f %%", value, j.name, r.Low, r.High)
	if linear := 100 * linearGelatin(j.f); math.Abs(linear-value) > 0.005 {
		figure += fmt.Sprintf(" (by the linear rule it counts as %.2f %%)", linear)
	}
	if r.Note != "" {
		figure += " (" + r.Note + ")"
	}
	now := unit.Mass(value/100) * j.parts.total
	switch {
	case v == Inside:
		j.find("gelatin-in-range", finding.Note, r.Source, "sets: "+figure, "")
	case value < r.Low:
		p := unit.Mass(r.Low / 100)
		j.find("gelatin-low", v.level(), r.Source, "may not hold its shape: "+figure,
			fmt.Sprintf("Add %s of gelatin at 200 Bloom to the formula as written (%.0f %% more).", ((p*j.parts.total-now)/(1-p)).Show(), 100*(r.Low/value-1)))
	default:
		p := unit.Mass(r.High / 100)
		j.find("gelatin-high", v.level(), r.Source, "will be rubbery: "+figure,
			fmt.Sprintf("Take out %s of gelatin at 200 Bloom from the formula as written (%.0f %% less).", ((now-p*j.parts.total)/(1-p)).Show(), 100*(1-r.High/value)))
	}
}

// gelatin gives the firmness and the temperatures of a gelatin gel. They do not apply without
// gelatin, where the water is not on record, or outside 0.5 to 10 % of the water phase.
func (j *judge) gelatin() {
	const rule = "gelatin: firmness, setting and melting"
	share, known := j.f.Gelatin()
	if share <= 0 {
		j.skip(rule, "it holds no gelatin")
		return
	}
	if !known {
		j.find("gelatin-grade-unknown", finding.Note, finding.CommonPractice,
			"holds gelatin whose Bloom grade is not on record; 200 is taken", "Enter the grade that stands on the packet.")
	}
	w, ok := j.mix.Share(material.Water)
	if !ok {
		j.skip(rule, "the water of a line is not on record")
		return
	}
	c := share / (share + w)
	firm, err := material.Firmness(200, c)
	if err != nil {
		j.skip(rule, fmt.Sprintf("gelatin is %.2f %% of its water phase, and the rule holds from 0.5 to 10 %%", 100*c))
		return
	}
	phase := fmt.Sprintf("gelatin at 200 Bloom, %.2f %% of the water phase", 100*c)
	j.figure(Figure{Name: "firmness of the gel", Value: firm, Unit: "g Bloom", Source: "bib:ward-courts", Method: phase + "; after 17 h at 10 °C in water, too high below 1.5 %; acid, air and fat are not counted"})
	if t, err := material.GelatinTemperatures(c); err == nil {
		mid := func(low, high unit.Temperature) float64 { return (low.Celsius() + high.Celsius()) / 2 }
		j.figure(Figure{Name: "gelatin begins to set", Value: mid(t.Set.Low, t.Set.High), Low: t.Set.Low.Celsius(), High: t.Set.High.Celsius(), Unit: "°C", Source: finding.CommonPractice, Method: phase + "; low and high are the expected bounds"})
		j.figure(Figure{Name: "gelatin melts", Value: mid(t.Melt.Low, t.Melt.High), Low: t.Melt.Low.Celsius(), High: t.Melt.High.Celsius(), Unit: "°C", Source: finding.CommonPractice, Method: phase + "; low and high are the expected bounds"})
	}
}

// tooHotForGelatin is where boiling takes strength from gelatin in minutes. Source: common
// practice, no source (5 to 10 % of the Bloom in an hour at 80 °C, faster in acid).
const tooHotForGelatin = unit.Temperature(95)

func isGelatin(i *ingredient.Ingredient) bool { _, ok := i.Trait("bloom"); return ok }

// gelatinHeat finds gelatin that a step boils. It does not apply without gelatin or steps.
func (j *judge) gelatinHeat() {
	const rule = "gelatin boiled"
	l, ok := lineWith(j.f, isGelatin)
	switch {
	case !ok:
		j.skip(rule, "it holds no gelatin")
	case len(j.f.Steps) == 0:
		j.skip(rule, "no steps are written")
	default:
		t, s := hottest(j.f, l)
		if s == nil {
			j.skip(rule, "no step that holds the gelatin has a temperature")
		} else if t >= tooHotForGelatin {
			j.find("gelatin-boiled", finding.Caution, finding.CommonPractice,
				fmt.Sprintf("step %q brings the gelatin to %s: boiling weakens it, and acid hastens that", s.ID, t.Show()),
				"Melt the soaked gelatin in it below 70 °C, off the heat.")
		}
	}
}

// Acid ingredients from which gelatin is expected to lose strength, as a share of what goes in:
// a juice, and a dry acid. Our choice: the pH is not known, and these bring a neutral base to
// about 4. Source of the loss: common practice, no source.
const (
	muchSourJuice = 0.10
	muchDryAcid   = 0.003
)

// gelatinAcid warns of acid in a gelatin gel. The pH is not on record, so it goes by the acid
// ingredients; it does not apply without gelatin or acid.
func (j *judge) gelatinAcid() {
	const rule = "gelatin in acid"
	if share, _ := j.f.Gelatin(); share <= 0 {
		j.skip(rule, "it holds no gelatin")
		return
	}
	juice, dry, name := unit.Mass(0), unit.Mass(0), ""
	j.f.Ingredients(j.parts.total, func(i *ingredient.Ingredient, m unit.Mass) {
		if _, ok := i.Trait("acid"); !ok || i.Group == "dairy" {
			return
		}
		name = i.Name
		if i.Group == "acid" || i.Group == "leavening" {
			dry += m
		} else {
			juice += m
		}
	})
	of := func(m unit.Mass) float64 { return float64(m / j.parts.total) }
	switch {
	case name == "":
		j.skip(rule, "no acid ingredient is on record, and the pH of the others is not known")
	case of(juice) < muchSourJuice && of(dry) < muchDryAcid:
		j.skip(rule, fmt.Sprintf("its acid ingredients are only %.1f %% of it, and its pH is not known", 100*of(juice+dry)))
	default:
		g, _ := j.f.Gelatin()
		more := unit.Mass(g) * j.parts.total
		j.find("gelatin-in-acid", finding.Note, finding.CommonPractice,
			fmt.Sprintf("%.1f %% of it are acid (%s), and its pH is not known: below pH 4 gelatin weakens, at pH 3 by 20 to 40 %%", 100*of(juice+dry), name),
			fmt.Sprintf("Measure the pH; at 3 or below add %s to %s of gelatin at 200 Bloom to the formula as written.", (more*0.2).Show(), (more*0.3).Show()))
	}
}

// Alcohol in the water phase that gelatin bears: above the first it may precipitate, above the
// second it does. Source: common practice, no source; the start as in material.GelModifiers.
const (
	gelatinBears  = 0.30
	gelatinLeaves = 0.50
)

// gelatinAlcohol finds too much alcohol for gelatin. It does not apply without either.
func (j *judge) gelatinAlcohol() {
	const rule = "gelatin in alcohol"
	share, _ := j.f.Gelatin()
	alcohol := alcoholOf(j.f)
	switch {
	case share <= 0:
		j.skip(rule, "it holds no gelatin")
		return
	case alcohol <= 0:
		j.skip(rule, "it holds no alcohol on record")
		return
	}
	w, ok := j.mix.Share(material.Water)
	if !ok {
		j.skip(rule, "the water of a line is not on record")
		return
	}
	a := alcohol / (alcohol + w)
	v := stand(100*a, 0, 100*gelatinBears)
	j.figure(Figure{Name: "alcohol in the water phase", Value: 100 * a, High: 100 * gelatinBears, Unit: "%", Source: finding.CommonPractice, Method: "by mass, nothing cooked off", Verdict: v})
	if a <= gelatinBears {
		return
	}
	level := finding.Caution
	if a > gelatinLeaves {
		level = finding.Fault
	}
	water := unit.Mass(alcohol*(1-gelatinBears)/gelatinBears-w) * j.parts.total
	j.find("gelatin-in-alcohol", level, finding.CommonPractice,
		fmt.Sprintf("alcohol is %.0f %% of its water phase; gelatin precipitates above 30 to 50 %%", 100*a),
		fmt.Sprintf("Add at least %s of water or juice to the formula as written, or take less spirit.", water.Show()))
}

// enzymes finds raw fruit that splits gelatin; see formula.go for the temperature. It does not
// apply without gelatin or such a fruit.
func (j *judge) enzymes() {
	const rule = "fruit that splits gelatin"
	if share, _ := j.f.Gelatin(); share <= 0 {
		j.skip(rule, "it holds no gelatin; agar and pectin are not affected")
		return
	}
	if !j.f.Contains("enzyme") {
		j.skip(rule, "it holds no fruit with such an enzyme")
		return
	}
	enzymes(&j.report.Findings, j.f, j.where)
}

// Agar by the share of all that goes in: fluid gels to firm ones, and where it dissolves and
// sets. Source: common practice, no source; makers' figures for the temperatures.
const (
	leastAgar, mostAgar = 0.2, 1.5 // per cent
	agarDissolves       = unit.Temperature(95)
)

func isAgar(i *ingredient.Ingredient) bool { return has(i, "agar") }

// agar judges the share of agar and whether it is boiled. It does not apply without agar; its
// heat is not judged without steps.
func (j *judge) agar() {
	const rule = "agar"
	m := j.parts.of("agar")
	if m <= 0 {
		j.skip(rule, "it holds no agar")
		return
	}
	p := 100 * float64(m/j.parts.total)
	v := stand(p, leastAgar, mostAgar)
	j.figure(Figure{"agar in the whole", p, leastAgar, mostAgar, "%", finding.CommonPractice, "0.2 to 0.5 flows, 0.7 to 1.5 is firm; sets at 32 to 43 °C, melts above 85", v})
	limit := func(to float64) string { return (unit.Mass(math.Abs(to-p)/100) * j.parts.total).Show() }
	switch {
	case v != Inside && p < leastAgar:
		j.find("agar-low", v.level(), finding.CommonPractice, fmt.Sprintf("has %.2f %% agar; it gels from 0.2 %%", p), "Add "+limit(leastAgar)+" of agar to the formula as written.")
	case v != Inside:
		j.find("agar-high", v.level(), finding.CommonPractice, fmt.Sprintf("has %.2f %% agar; above 1.5 %% it is brittle", p), "Take out "+limit(mostAgar)+" of agar from the formula as written.")
	}
	l, _ := lineWith(j.f, isAgar)
	j.mustBoil("agar boiled", "agar-not-boiled", l, agarDissolves, finding.CommonPractice, "agar dissolves at 95 to 100 °C only, and does not set undissolved", "Boil it in the liquid for two minutes, then add what must stay cold.")
}

// mustBoil finds a line that must reach a temperature and by the steps does not.
func (j *judge) mustBoil(rule, code string, l *formula.Line, to unit.Temperature, source, reason, remedy string) {
	if len(j.f.Steps) == 0 {
		j.skip(rule, "no steps are written")
		return
	}
	if heated(j.f, l, to) {
		return
	}
	if l.Formula != nil {
		j.skip(rule, "it is heated in the component "+l.Formula.ID+", which is judged by itself")
		return
	}
	if t, s := hottest(j.f, l); s != nil {
		reason += fmt.Sprintf("; the hottest step that holds it, %q, has %s", s.ID, t.Show())
	} else {
		reason += "; no step says that it is heated"
	}
	j.find(code, finding.Caution, source, reason, remedy)
}

// HM pectin sets from this much of dissolved solids, in per cent, and between pH 2.8 and 3.5.
// Source: McGee, On Food and Cooking (60 to 65 for jam); makers' figures from 55.
const leastSolidsHM = 55

// pectinHM judges the solids that HM pectin needs, and asks for acid. It does not apply without
// it; the pH is not on record and judged by the acid ingredients alone.
func (j *judge) pectinHM() {
	const rule = "pectin HM"
	if j.parts.of("pectin HM") <= 0 {
		j.skip(rule, "it holds no pectin HM")
		return
	}
	if s, ok := dissolved(j.f); !ok {
		j.skip(rule+": solids", "the sugars of a line are not on record")
	} else {
		p := 100 * s
		v := Inside
		if p < leastSolidsHM {
			v = Outside
			need := unit.Mass((leastSolidsHM/100.0-s)/(1-leastSolidsHM/100.0)/concentrated(j.f)) * j.parts.total
			j.find("pectin-hm-solids", finding.Fault, "McGee, On Food and Cooking",
				fmt.Sprintf("has %.0f %% of dissolved solids, and pectin HM sets from 55 (jam: 60 to 65)", p),
				fmt.Sprintf("Add %s of sugar to the formula as written, cook it down to 60 °Bx, or take pectin NH.", need.Show()))
		}
		j.figure(Figure{"solids for pectin HM", p, leastSolidsHM, 80, "%", "McGee, On Food and Cooking", "dissolved sugars of the finished component", v})
	}
	if !j.f.Contains("acid") {
		j.find("pectin-hm-acid", finding.Note, "McGee, On Food and Cooking", "takes no acid on record, and pectin HM sets between pH 2.8 and 3.5 only",
			fmt.Sprintf("Measure the pH; sour it with %s of citric acid, in solution, at the end.", (0.003*j.parts.total).Show()))
	} else {
		j.skip(rule+": acid", "its pH is not known: measure 2.8 to 3.5")
	}
}

// leastCalciumNH is the calcium, in mg for a gram of pectin, from which LM pectins set. Source:
// recalled, unconfirmed; 20 to 40 is typical.
const leastCalciumNH = 20

// pectinNH judges the calcium that LM pectin needs. It does not apply without it or where the
// calcium is not on record.
func (j *judge) pectinNH() {
	const rule = "pectin NH: calcium"
	pectin := j.parts.of("pectin NH")
	if pectin <= 0 {
		j.skip(rule, "it holds no pectin NH")
		return
	}
	ca, unknown := unit.Mass(0), ""
	j.f.Ingredients(j.parts.total, func(i *ingredient.Ingredient, m unit.Mass) {
		if has(i, "pectin") {
			return
		}
		if s, ok := i.Composition.Share(material.Calcium); ok {
			ca += m * unit.Mass(s)
		} else if m > 0 {
			unknown = i.Name
		}
	})
	if unknown != "" {
		j.skip(rule, "the calcium of "+unknown+" is not on record")
		return
	}
	mg := 1000 * float64(ca/pectin)
	v := Inside
	if mg < leastCalciumNH {
		v = Outside
		j.find("pectin-nh-calcium", finding.Note, finding.CommonPractice,
			fmt.Sprintf("has %.0f mg of calcium for a gram of pectin NH; it sets from about 20", mg),
			"Take a pectin NH that brings its calcium salt (the packet says so), or try a spoon of it first.")
	}
	j.figure(Figure{"calcium for a gram of pectin NH", mg, leastCalciumNH, 1000, "mg", finding.CommonPractice, "by composition; what the pectin itself is blended with is not on record", v})
}

func isStarch(i *ingredient.Ingredient) bool { return i.Group == "starch" || i.Group == "flour" }

// starch finds a starch cream with yolk that is not boiled: the amylase of the yolk thins it
// later. It applies to milk or cream with yolk and starch; not to what is baked.
func (j *judge) starch() {
	const rule = "starch cream boiled"
	p := j.parts
	l, ok := lineWith(j.f, isStarch)
	switch {
	case !ok || p.of("egg") <= 0 || p.of("milk+cream+fruit") <= 0:
		j.skip(rule, "it is no liquid bound with egg and starch")
	case j.baked():
		j.skip(rule, "it is baked")
	case float64(p.of("flour+starch")/p.of("milk+cream+fruit")) > 0.5:
		j.skip(rule, "it is a batter or a dough")
	default:
		j.mustBoil(rule, "starch-not-boiled", l, 95, "McGee, On Food and Cooking", "the amylase of yolk thins a starch cream that has not boiled", "Boil it for one to three minutes while stirring.")
	}
}
