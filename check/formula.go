package check

import (
	"fmt"
	"strings"

	"chablon/finding"
	"chablon/formula"
	"chablon/unit"
)

// gelatinRange is the usual share of gelatin at 200 Bloom in a type of component.
type gelatinRange struct{ low, high float64 }

// gelatinRanges by type. Source: common practice, no source; ranges of the trade for gelatin at
// 200 Bloom as a share of all that goes in.
var gelatinRanges = map[string]gelatinRange{
	"mousse":           {0.007, 0.014},
	"fruit mousse":     {0.007, 0.014},
	"bavarois":         {0.010, 0.015},
	"chocolate mousse": {0.000, 0.007},
	"jelly insert":     {0.012, 0.020},
	"cream":            {0.004, 0.008},
	"glaze":            {0.010, 0.025},
	"mirror glaze":     {0.010, 0.020},
}

// Temperatures at which a step makes raw egg or an enzyme harmless.
const (
	// pooledEgg is for eggs broken and not served at once, with its hold of 17 s.
	// Source: bib:food-code-2022, 3-401.11(A)(2).
	pooledEgg = unit.Temperature(68)
	// enzymeEnd is the kitchen's rule for pineapple, papaya, kiwi, fig and ginger; bromelain
	// alone loses all but 0.15 % in 2 min at 70 °C (bib:sriwatanapongse-2000).
	enzymeEnd = unit.Temperature(85)
)

// Formula returns what is to be said of one formula, whatever it is used in.
func Formula(f *formula.Formula) finding.List {
	var out finding.List
	where := "formula " + f.ID
	gelatin(&out, f, where)
	eggs(&out, f, where)
	enzymes(&out, f, where)
	return out
}

func gelatin(out *finding.List, f *formula.Formula, where string) {
	share, known := f.Gelatin()
	if share <= 0 {
		return
	}
	if !known {
		out.Add(finding.Finding{
			Code: "gelatin-grade-unknown", Level: finding.Note, Where: where, Source: finding.CommonPractice,
			Reason: "holds gelatin whose Bloom grade is not on record; 200 is taken", Remedy: "Enter the grade that stands on the packet.",
		})
	}
	r, ok := gelatinRanges[strings.ToLower(f.Type)]
	if !ok {
		return
	}
	figure := fmt.Sprintf("%.2f %% gelatin at 200 Bloom; usual for a %s are %.1f to %.1f %%", 100*share, f.Type, 100*r.low, 100*r.high)
	k := func(to float64) string { return fmt.Sprintf("%.0f %%", 100*(to/share-1)) }
	// Outside by less than a fifth of the range is a note, farther a caution.
	slack := (r.high - r.low) / 5
	level := finding.Caution
	switch {
	case share < r.low:
		if share > r.low-slack {
			level = finding.Note
		}
		out.Add(finding.Finding{Code: "gelatin-low", Level: level, Where: where, Source: finding.CommonPractice, Reason: "may not hold its shape: " + figure, Remedy: "Add " + k(r.low) + " more gelatin."})
	case share > r.high:
		if share < r.high+slack {
			level = finding.Note
		}
		out.Add(finding.Finding{Code: "gelatin-high", Level: level, Where: where, Source: finding.CommonPractice, Reason: "will be rubbery: " + figure, Remedy: "Take " + strings.TrimPrefix(k(r.high), "-") + " less gelatin."})
	default:
		out.Add(finding.Finding{Code: "gelatin-in-range", Level: finding.Note, Where: where, Source: finding.CommonPractice, Reason: "sets: " + figure})
	}
}

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
