package check

import (
	"fmt"
	"strings"

	"chablon/finding"
	"chablon/ingredient"
	"chablon/unit"
)

// Temperatures of a stirred custard without starch. Sources: McGee, On Food and Cooking (sets at
// 79 to 83 °C, collapses 3 to 6 K above); the cook's 82 to 85 is common practice.
const (
	custardFrom     = unit.Temperature(80)
	custardNappe    = unit.Temperature(82)
	custardTo       = unit.Temperature(85)
	custardCurdles  = unit.Temperature(86)
	custardScramble = unit.Temperature(90)
	custardSource   = "McGee, On Food and Cooking"
)

func isShellEgg(i *ingredient.Ingredient) bool {
	return i.Group == "egg" && !strings.Contains(i.ID, "dried")
}

// custard judges how hot a liquid bound with egg gets. It does not apply with starch, which
// shields the egg; to what is baked; to a yolk foam without milk or cream; nor without a
// temperature. A curd bears more, for its acid and sugar, but not 90 °C.
func (j *judge) custard() {
	const rule = "custard heated"
	p := j.parts
	egg, liquid := p.of("egg"), p.of("milk+cream+fruit")
	line, ok := lineWith(j.f, isShellEgg)
	switch {
	case !ok || egg <= 0 || liquid <= 0:
		j.skip(rule, "it is no liquid bound with egg")
		return
	case line.Formula != nil:
		j.skip(rule, "its egg is in the component "+line.Formula.ID+", which is judged by itself")
		return
	case p.of("flour+starch") > 0.02*liquid:
		j.skip(rule, "starch shields the egg: it must boil")
		return
	case j.baked():
		j.skip(rule, "it is baked")
		return
	case p.of("chocolate") > 0 && p.of("milk") == 0:
		j.skip(rule, "its egg is a foam of yolk")
		return
	}
	t, s := hottest(j.f, line)
	if s == nil {
		j.skip(rule, "no step that holds egg and liquid has a temperature")
		return
	}
	curdles, source := custardCurdles, custardSource
	if j.is("fruit curd", "fruit crémeux") {
		curdles, source = 88, finding.CommonPractice // acid and sugar raise it
	}
	v := stand(t.Celsius(), custardFrom.Celsius(), custardTo.Celsius())
	if t > custardTo && t <= curdles {
		v = Near
	}
	j.figure(Figure{"hottest that the egg gets", t.Celsius(), custardFrom.Celsius(), custardTo.Celsius(), "°C", source, fmt.Sprintf("step %q", s.ID), v})
	switch {
	case t >= custardScramble:
		j.find("custard-curdles", finding.Fault, source, fmt.Sprintf("step %q brings egg without starch to %s: it scrambles", s.ID, t.Show()), "Cook it to 82 to 85 °C, strain it at once and cool it.")
	case t > curdles:
		j.find("custard-curdles", finding.Caution, source, fmt.Sprintf("step %q brings egg without starch to %s; it curdles above %s", s.ID, t.Show(), curdles.Show()), "Cook it to 82 to 85 °C, strain it at once and cool it.")
	case t < custardFrom:
		j.find("custard-underheated", finding.Caution, source, fmt.Sprintf("step %q stops at %s; egg thickens at 79 to 83 °C", s.ID, t.Show()), "Cook it to 82 to 85 °C, until it coats the spoon.")
	case t < custardNappe:
		j.find("custard-underheated", finding.Note, source, fmt.Sprintf("step %q stops at %s; it coats the spoon from 82 °C", s.ID, t.Show()), "Cook it to 82 to 85 °C.")
	}
}

// leastCocoaButter is the cocoa butter, in per cent of a chocolate mousse, that sets it without
// gelatin. Computed: 24 to 38 % of dark couverture (the range of those mousses, common practice)
// with 37 to 40 % of cocoa butter makes 9 to 15 %.
const (
	leastCocoaButter = 9
	mostCocoaButter  = 15
)

// cocoaButter judges whether a chocolate mousse without gelatin has cocoa butter enough to set.
// It does not apply with gelatin, to other kinds, or where the origin of the fat is not known.
func (j *judge) cocoaButter() {
	const rule = "chocolate mousse set by cocoa butter"
	if !strings.HasPrefix(j.kind, "chocolate mousse") {
		j.skip(rule, "it is no chocolate mousse")
		return
	}
	if g, _ := j.f.Gelatin(); g > 0 {
		j.skip(rule, "gelatin helps it set")
		return
	}
	if j.parts.of("chocolate") <= 0 {
		j.skip(rule, "it takes no chocolate on record")
		return
	}
	var butter float64
	for _, c := range j.f.Contents() {
		if c.Name == "cocoa_fat" {
			butter = 100 * c.Mid()
		}
	}
	if butter <= 0 {
		j.skip(rule, "the cocoa butter of its chocolate is not on record")
		return
	}
	v := stand(butter, leastCocoaButter, mostCocoaButter)
	j.figure(Figure{"cocoa butter in the whole", butter, leastCocoaButter, mostCocoaButter, "%", "computed from common practice: 24 to 38 % of dark couverture", "by the couverture's figures", v})
	if v == Inside || butter > mostCocoaButter {
		return
	}
	need := unit.Mass((leastCocoaButter-butter)/100/(1-leastCocoaButter/100.0)) * j.parts.total
	j.find("cocoa-butter-low", v.level(), finding.CommonPractice, fmt.Sprintf("has no gelatin and %.1f %% of cocoa butter; it sets alone from about 9 %%", butter),
		fmt.Sprintf("Add %s of cocoa butter to the formula as written, more couverture, or 0.5 %% of gelatin.", need.Show()))
}

// Where a ganache is worked, and where it splits when stirred. Source: Notter, The Art of the
// Chocolatier (90 to 110 °F; 74 to 85 °F).
const (
	emulsionLow  = unit.Temperature(32)
	emulsionHigh = unit.Temperature(43)
	ganacheBook  = "Notter, The Art of the Chocolatier"
	chocolateMax = unit.Temperature(60) // above, it burns; makers' curves, common practice
)

// chocolateHeat judges the temperature at which a ganache is blended and at which any chocolate
// is melted. It does not apply without chocolate, nor where no step gives a temperature.
func (j *judge) chocolateHeat() {
	const rule = "chocolate: melting and blending"
	if j.parts.of("chocolate") <= 0 {
		j.skip(rule, "it takes no chocolate")
		return
	}
	judged := false
	for i := range j.f.Steps {
		s := &j.f.Steps[i]
		if !s.Temperature.Given() {
			continue
		}
		t := s.Temperature.Temperature()
		alone := s.Verb == "melt" && j.takesPart(s, "chocolate-", "couverture-", "gianduja-")
		switch {
		case alone:
			judged = true
			v := stand(t.Celsius(), 27, chocolateMax.Celsius())
			j.figure(Figure{"chocolate melted at", t.Celsius(), 27, chocolateMax.Celsius(), "°C", finding.CommonPractice, fmt.Sprintf("step %q", s.ID), v})
			if t > chocolateMax {
				j.find("chocolate-too-hot", v.level(), finding.CommonPractice, fmt.Sprintf("step %q melts chocolate at %s; above 60 °C it thickens and burns", s.ID, t.Show()), "Melt dark chocolate at 45 to 50 °C, milk and white at 40 to 45 °C.")
			}
		case strings.HasSuffix(j.kind, "ganache") && (s.Verb == "blend" || s.Verb == "mix" || s.Verb == "emulsify"):
			judged = true
			v := stand(t.Celsius(), emulsionLow.Celsius(), emulsionHigh.Celsius())
			j.figure(Figure{"ganache blended at", t.Celsius(), emulsionLow.Celsius(), emulsionHigh.Celsius(), "°C", ganacheBook, fmt.Sprintf("step %q", s.ID), v})
			if t < emulsionLow {
				j.find("ganache-too-cold", v.level(), ganacheBook, fmt.Sprintf("step %q works a ganache at %s; stirred between 23 and 29 °C it splits", s.ID, t.Show()), "Blend it at 35 to 40 °C, then let it cool without stirring.")
			} else if v != Inside {
				j.find("ganache-too-hot", v.level(), ganacheBook, fmt.Sprintf("step %q works a ganache at %s; it is stable from 32 to 43 °C", s.ID, t.Show()), "Let it cool to 40 °C before you blend it.")
			}
		}
	}
	if !judged {
		j.skip(rule, "no step that melts or blends it has a temperature")
	}
}
