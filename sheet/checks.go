package sheet

import (
	"strings"

	"chablon/finding"
	"chablon/unit"
)

// findings returns what concerns the printed sheets, of a level.
func (s *Sheet) findings(level finding.Level) []finding.Finding {
	var out []finding.Finding
	for _, f := range s.day.Findings.Sorted() {
		if f.Level == level {
			out = append(out, f)
		}
	}
	return out
}

func (s *Sheet) faults() []finding.Finding { return s.findings(finding.Fault) }

func findingPara(f finding.Finding) para {
	p := para{spans: []span{{upperFirst(f.Level.String()) + ": ", bold}, {text: f.Where + ": " + f.Reason}}}
	if f.Remedy != "" {
		p.spans = append(p.spans, span{". " + f.Remedy, bold})
	}
	if f.Source != "" {
		p.spans = append(p.spans, span{text: " [" + strings.TrimPrefix(f.Source, "bib:") + "]"})
	}
	return p
}

func (s *Sheet) checks() {
	list := append(s.faults(), s.findings(finding.Caution)...)
	out := section{id: "checks", level: 1, title: "Checks", note: "faults and cautions"}
	for _, f := range list {
		p := findingPara(f)
		p.tick = true
		out.blocks = append(out.blocks, p)
	}
	if len(list) == 0 {
		out.blocks = append(out.blocks, plain("No faults and no cautions."))
	}
	s.sections = append(s.sections, out)
}

func (s *Sheet) shopping() {
	if len(s.day.Purchase) == 0 {
		return
	}
	t := table{name: "What to buy", cols: []column{{"", 0.05, false}, {"Ingredient", 0.43, false}, {"need", 0.14, true}, {"buy", 0.14, true}, {"left over", 0.24, true}}}
	for _, p := range s.day.Purchase {
		left := ""
		if p.LeftOver >= 0.5*unit.Gram {
			left = s.weight(p.LeftOver)
		}
		leftCell := words(left)
		if p.Note != "" {
			leftCell = little(p.Note)
		}
		buy := p.Buy.Text
		if p.Buy.Unit.Dim == unit.Count {
			buy += " pieces"
		}
		t.rows = append(t.rows, row{tick: p.Name, cells: []cell{words(""), words(p.Name), words(s.weight(p.Need)), strong(buy), leftCell}})
	}
	note := "for the whole day"
	if len(s.day.Job.Orders) == 1 {
		note = "for this order"
	}
	s.sections = append(s.sections, section{id: "shopping", level: 1, title: "Shopping", note: note, blocks: []block{t}})
}
