package check

import (
	"fmt"

	"chablon/finding"
	"chablon/formula"
	"chablon/unit"
)

// Temperatures at which a step makes raw egg or an enzyme harmless.
const (
	// pooledEgg is for eggs broken and not served at once, with its hold of 17 s.
	// Source: bib:food-code-2022, 3-401.11(A)(2).
	pooledEgg = unit.Temperature(68)
	// enzymeEnd is the kitchen's rule for pineapple, papaya, kiwi, fig and ginger; bromelain
	// alone loses all but 0.15 % in 2 min at 70 °C (bib:sriwatanapongse-2000).
	enzymeEnd = unit.Temperature(85)
)

// eggs reports raw egg that no step of the formula is sure to heat, its own or a nested
// formula's.
func eggs(out *finding.List, f *formula.Formula, where string) {
	if len(unheated(f, "raw-egg", pooledEgg)) == 0 {
		return
	}
	out.Add(finding.Finding{
		Code: "raw-egg", Level: finding.Caution, Where: where, Source: "bib:food-code-2022",
		Reason: "holds egg that no step is sure to heat to 68 °C for 17 s (Food Code 3-401.11)",
		Remedy: "Use pasteurised egg (Food Code 3-302.13), or heat it and check with a probe; the local code decides.",
	})
}

func enzymes(out *finding.List, f *formula.Formula, where string) {
	share, _ := f.Gelatin()
	if share <= 0 {
		return
	}
	for _, name := range unheated(f, "enzyme", enzymeEnd) {
		out.Add(finding.Finding{
			Code: "enzyme-against-gelatin", Level: finding.Fault, Where: where, Source: "bib:sriwatanapongse-2000",
			Reason: fmt.Sprintf("%s splits gelatin when raw, and no step is written that heats it to 85 °C: it will not set", name),
			Remedy: "Boil the fruit first, or set with agar or pectin.",
		})
	}
}
