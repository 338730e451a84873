package check

import (
	"strings"

	"chablon/finding"
)

// Acceptance is a check that the cook has accepted, with the reason.
type Acceptance struct {
	Where  string // document, such as "formula almond-sponge"
	Code   string
	Reason string
}

// Accept lowers findings that the cook has accepted to notes and adds the reason. Faults stay
// faults: what will fail or harm is not settled by accepting it.
func Accept(list finding.List, accepted []Acceptance) finding.List {
	out := make(finding.List, len(list))
	for i, f := range list {
		for _, a := range accepted {
			if f.Code == a.Code && f.Level == finding.Caution && concerns(f.Where, a.Where) {
				f.Level = finding.Note
				f.Reason += " (accepted: " + a.Reason + ")"
			}
		}
		out[i] = f
	}
	return out.Sorted()
}

// concerns reports whether a place lies in a document.
func concerns(where, document string) bool {
	rest, ok := strings.CutPrefix(where, document)
	return ok && (rest == "" || rest[0] == ' ' || rest[0] == ',')
}
