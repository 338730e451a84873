package document

import (
	"time"

	"chablon/assembly"
	"chablon/finding"
	"chablon/formula"
	"chablon/label"
	"chablon/plan"
	"chablon/unit"
)

// ResultSchema names the published form of a Result. The number grows when a key changes its
// meaning or goes; keys may be added without notice.
const ResultSchema = "chablon.plan/1"

// Result is a day as other programs read it. Masses are grams, volumes millilitres, lengths
// millimetres and times seconds, as each key says; instants are RFC 3339 with the kitchen's
// offset. Numbers are exact as computed, not rounded for show.
type Result struct {
	Schema     string           `json:"schema" help:"chablon.plan/1"`
	Kitchen    string           `json:"kitchen"`
	Assemblies []ResultAssembly `json:"assemblies" help:"one an order line, in order"`
	Batches    []ResultBatch    `json:"batches" help:"what is made, nested components before what takes them"`
	StandIns   []ResultPart     `json:"stand_ins" help:"components without a formula: needed, but not to be weighed out"`
	Findings   []ResultFinding  `json:"findings" help:"gravest first"`
	Purchase   []ResultPurchase `json:"purchase"`
	Timeline   []ResultStep     `json:"timeline" help:"steps by their start; empty unless plan.status is planned"`
	Plan       ResultPlan       `json:"plan"`
}

// ResultAssembly is one order line.
type ResultAssembly struct {
	ID         string           `json:"id"`
	Name       string           `json:"name"`
	Order      string           `json:"order"`
	Due        string           `json:"due"`
	Mould      string           `json:"mould"`
	Pieces     int              `json:"pieces"`
	MassG      float64          `json:"mass_g" help:"of one piece"`
	Layers     []ResultLayer    `json:"layers" help:"in the order of laying"`
	Components []ResultPart     `json:"components" help:"inserts taken apart into theirs"`
	Allergens  []ResultAllergen `json:"allergens"`
}

// ResultLayer is one layer of one piece. Heights are over the mould's bottom, as laid.
type ResultLayer struct {
	ID       string        `json:"id"`
	Kind     string        `json:"kind"`
	Of       string        `json:"of" help:"formula, assembly, ingredient or stand-in"`
	Z0MM     float64       `json:"z0_mm"`
	Z1MM     float64       `json:"z1_mm"`
	VolumeML float64       `json:"volume_ml" help:"0 for a soak and a décor, which take no space of their own"`
	MassG    float64       `json:"mass_g"`
	Stages   []ResultStage `json:"stages,omitempty" help:"of a fill that goes in at several times"`
	PouredG  float64       `json:"poured_g,omitempty" help:"of a coat: what is poured on one piece"`
	RunOffG  float64       `json:"run_off_g,omitempty"`
	StripMM  float64       `json:"strip_mm,omitempty" help:"of a band: length of all its strips, joints included"`
	Layers   []ResultLayer `json:"layers,omitempty" help:"of an insert that is an assembly of its own"`
}

// ResultStage is one filling of one cavity.
type ResultStage struct {
	After    string  `json:"after"`
	Z1MM     float64 `json:"z1_mm"`
	VolumeML float64 `json:"volume_ml"`
	MassG    float64 `json:"mass_g"`
}

// ResultPart is so much of a component.
type ResultPart struct {
	ID      string  `json:"id"`
	Name    string  `json:"name"`
	EachG   float64 `json:"each_g"`
	NeededG float64 `json:"needed_g"`
}

// ResultAllergen is what has to be declared.
type ResultAllergen struct {
	Name        string   `json:"name"`
	MayContain  bool     `json:"may_contain"`
	Ingredients []string `json:"ingredients"`
}

// ResultBatch is a component to make. to_make_g is what goes in: the sum of the lines, equal to
// needed_g and all losses_g and left_over_g together.
type ResultBatch struct {
	Component       string             `json:"component"`
	Name            string             `json:"name"`
	Count           int                `json:"count" help:"equal batches"`
	Vessel          string             `json:"vessel"`
	NeededG         float64            `json:"needed_g"`
	ToMakeG         float64            `json:"to_make_g"`
	LossesG         map[string]float64 `json:"losses_g" help:"by name, all batches"`
	LeftOverG       float64            `json:"left_over_g"`
	LeftOverByNameG map[string]float64 `json:"left_over_by_name_g"`
	Lines           []ResultLine       `json:"lines"`
}

// ResultLine is a line of a batch.
type ResultLine struct {
	Text  string  `json:"text" help:"as written"`
	Of    string  `json:"of"`
	EachG float64 `json:"each_g" help:"in one batch"`
	ShowG float64 `json:"show_g" help:"in one batch, as the scale shows it"`
	AllG  float64 `json:"all_g"`
}

// ResultFinding is a check.
type ResultFinding struct {
	Severity string `json:"severity" help:"note, caution or fault"`
	Rule     string `json:"rule"`
	Where    string `json:"where"`
	Text     string `json:"text"`
	Fix      string `json:"fix"`
	Source   string `json:"source"`
}

// ResultPurchase is one thing to buy.
type ResultPurchase struct {
	Ingredient string       `json:"ingredient"`
	Name       string       `json:"name"`
	NeedG      float64      `json:"need_g" help:"edible"`
	Buy        ResultAmount `json:"buy"`
	LeftOverG  float64      `json:"left_over_g" help:"edible, bought but not needed"`
	Note       string       `json:"note,omitempty"`
}

// ResultAmount is an amount with its unit; a count has an empty unit.
type ResultAmount struct {
	Amount float64 `json:"amount"`
	Unit   string  `json:"unit"`
}

// ResultStep is one step on the timeline.
type ResultStep struct {
	Step      string   `json:"step"`
	Component string   `json:"component" help:"formula or assembly"`
	Batch     int      `json:"batch" help:"from 1; 0 for the steps of an assembly"`
	Order     string   `json:"order,omitempty" help:"of the steps of an assembly"`
	Mould     string   `json:"mould,omitempty"`
	Start     string   `json:"start"`
	End       string   `json:"end"`
	Active    string   `json:"active" help:"time with hands, from the start, as an ISO 8601 duration"`
	ActiveS   float64  `json:"active_s"`
	Resources []string `json:"resources" help:"people, then kinds of equipment"`
	WaitLowS  float64  `json:"wait_low_s,omitempty" help:"of a wait that physics computed: its range"`
	WaitHighS float64  `json:"wait_high_s,omitempty"`
	Criterion string   `json:"criterion,omitempty"`
}

// ResultPlan says how planning ended.
type ResultPlan struct {
	Status   string   `json:"status" help:"planned, impossible, not found or not planned"`
	Checked  bool     `json:"checked" help:"true if the independent checker found nothing"`
	Conflict []string `json:"conflict" help:"what stands in the way, if there is no plan"`
}

// Export turns a day into its published form. Problems of the documents, if any, lead the
// findings as faults.
func Export(d *plan.Day, errs []*Error) Result {
	k := d.Job.Kitchen
	r := Result{
		Schema: ResultSchema, Kitchen: k.ID, Assemblies: []ResultAssembly{}, Batches: []ResultBatch{}, StandIns: []ResultPart{},
		Findings: []ResultFinding{}, Purchase: []ResultPurchase{}, Timeline: []ResultStep{},
		Plan: ResultPlan{Status: string(d.Status), Checked: d.Checked, Conflict: append([]string{}, d.Conflict...)},
	}
	for i := range d.Pieces {
		r.Assemblies = append(r.Assemblies, exportPiece(&d.Pieces[i]))
	}
	for i := range d.Batches {
		r.Batches = append(r.Batches, exportBatch(d, &d.Batches[i]))
	}
	for _, c := range d.StandIns {
		r.StandIns = append(r.StandIns, exportPart(c))
	}
	for _, f := range append(Faults(errs), d.Findings...).Sorted() {
		r.Findings = append(r.Findings, exportFinding(f))
	}
	for _, p := range d.Purchase {
		r.Purchase = append(r.Purchase, ResultPurchase{
			Ingredient: p.ID, Name: p.Name, NeedG: p.Need.Grams(), Buy: ResultAmount{p.Buy.Mid(), p.Buy.Unit.Symbol}, LeftOverG: p.LeftOver.Grams(), Note: p.Note,
		})
	}
	for i := range d.Timeline {
		r.Timeline = append(r.Timeline, exportStep(&d.Timeline[i], k.Zone))
	}
	return r
}

func exportFinding(f finding.Finding) ResultFinding {
	return ResultFinding{f.Level.String(), f.Code, f.Where, f.Reason, f.Remedy, f.Source}
}

func exportPart(c plan.Component) ResultPart {
	return ResultPart{c.ID, c.Name, c.Each.Grams(), c.Needed.Grams()}
}

func exportPiece(p *plan.Piece) ResultAssembly {
	s := p.Section
	out := ResultAssembly{
		ID: s.Assembly.ID, Name: s.Assembly.Name, Order: p.Order.ID, Due: p.Order.Due.Format(time.RFC3339), Mould: s.Mould.ID,
		Pieces: p.Pieces, MassG: s.Mass().Grams(), Layers: exportLayers(s), Components: []ResultPart{}, Allergens: exportAllergens(p.Allergens),
	}
	for _, c := range p.Components {
		out.Components = append(out.Components, exportPart(c))
	}
	return out
}

func exportAllergens(list []label.Allergen) []ResultAllergen {
	out := []ResultAllergen{}
	for _, a := range list {
		out = append(out, ResultAllergen{a.Name, a.May, a.Ingredients})
	}
	return out
}

func exportLayers(s *assembly.Section) []ResultLayer {
	out := []ResultLayer{}
	for i := range s.Layers {
		l := &s.Layers[i]
		x := ResultLayer{
			ID: l.ID, Kind: l.Kind.String(), Of: l.Of.ID(), Z0MM: l.Z0.Millimetres(), Z1MM: l.Z1.Millimetres(),
			VolumeML: l.Volume.Millilitres(), MassG: l.Mass.Grams(), StripMM: l.StripLength.Millimetres(),
		}
		if l.Kind == assembly.Coat && l.Poured != l.Mass {
			x.PouredG, x.RunOffG = l.Poured.Grams(), l.RunOff.Grams()
		}
		if len(l.Filled) > 1 {
			for _, f := range l.Filled {
				x.Stages = append(x.Stages, ResultStage{f.After, f.Z1.Millimetres(), f.Volume.Millilitres(), f.Mass.Grams()})
			}
		}
		if l.Inside != nil {
			x.Layers = exportLayers(l.Inside)
		}
		out = append(out, x)
	}
	return out
}

func exportBatch(d *plan.Day, b *plan.Batch) ResultBatch {
	out := ResultBatch{
		Component: b.Formula.ID, Name: b.Formula.Name, Count: b.Count, Vessel: b.Vessel, NeededG: b.Needed.Grams(), ToMakeG: b.ToMake.Grams(),
		LossesG: byName(b.Losses), LeftOverG: b.Left().Grams(), LeftOverByNameG: byName(b.LeftOver), Lines: []ResultLine{},
	}
	for _, l := range b.Each.Lines {
		id, _ := l.Of()
		shown, _ := d.Job.Kitchen.Round(l.Mass)
		out.Lines = append(out.Lines, ResultLine{l.Text, id, l.Mass.Grams(), shown.Grams(), (l.Mass * unit.Mass(b.Count)).Grams()})
	}
	return out
}

func byName(list []formula.NamedMass) map[string]float64 {
	out := map[string]float64{}
	for _, n := range list {
		out[n.Name] += n.Mass.Grams()
	}
	return out
}

func exportStep(e *plan.Entry, zone *time.Location) ResultStep {
	at := func(t time.Time) string { return t.In(zone).Format(time.RFC3339) }
	out := ResultStep{
		Step: e.Step.ID, Component: e.Component, Batch: e.Batch, Order: e.Order, Mould: e.Mould, Start: at(e.Start), End: at(e.End),
		Active: isoDuration(e.Active), ActiveS: e.Active.Seconds(), Resources: e.Resources(),
	}
	if e.Wait != nil {
		out.WaitLowS, out.WaitHighS, out.Criterion = e.Wait.Low.Seconds(), e.Wait.High.Seconds(), e.Wait.Criterion
	}
	return out
}
