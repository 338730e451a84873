package check

import (
	"fmt"
	"math"
	"slices"

	"chablon/finding"
	"chablon/formula"
	"chablon/ingredient"
	"chablon/material"
	"chablon/unit"
)

// roomTemperature is where water activity and sweetness are quoted.
const roomTemperature = unit.Temperature(25)

// active returns the water activity of the finished component at 25 °C, computed once.
func (j *judge) active() (material.Activity, error) {
	if j.water.Method == "" && j.waterErr == nil {
		j.water, j.waterErr = j.done.Activity(roomTemperature, j.solutes)
	}
	return j.water, j.waterErr
}

// activity gives the water activity with its expected error. It does not apply where a component
// of the composition is missing.
func (j *judge) activity() {
	a, err := j.active()
	if err != nil {
		j.skip("water activity", err.Error())
		return
	}
	j.figure(Figure{Name: "water activity", Value: a.Value, Low: a.Low(), High: a.High(), Unit: "ratio", Source: "bib:ross", Method: a.Method + " at 25 °C; low and high are the expected bounds"})
}

// freezing gives the freezing point and how much of the water is ice at −18 °C. It does not apply
// to what does not freeze above −40 °C or whose composition is not known.
func (j *judge) freezing() {
	const rule = "freezing"
	z, err := j.done.Freezing(j.solutes)
	if err != nil {
		j.skip(rule, err.Error())
		return
	}
	t, ok := z.FreezingPoint()
	if !ok {
		j.skip(rule, "it does not freeze above −40 °C")
		return
	}
	d := z.Error().Kelvins()
	j.figure(Figure{Name: "freezing point", Value: t.Celsius(), Low: t.Celsius() - d, High: t.Celsius() + d, Unit: "°C", Source: "bib:starzak-peacock", Method: "where the activity of its water is that of ice; low and high are the expected bounds"})
	j.figure(Figure{Name: "water frozen at −18 °C", Value: 100 * z.FrozenShare(-18), Unit: "%", Source: "bib:starzak-peacock", Method: "share of its water that is ice in equilibrium"})
}

// sweetness gives the sucrose that would taste as sweet. It does not apply where the sugars are
// not on record. The trade has no range for it.
func (j *judge) sweetness() {
	s, err := j.done.Sweetness(j.solutes)
	if err != nil {
		j.skip("sweetness", err.Error())
		return
	}
	j.figure(Figure{Name: "sweetness as sucrose", Value: s.Mid(), Low: s.Low, High: s.High, Unit: "%", Source: finding.CommonPractice, Method: "each sugar by its relative sweetness; low and high are what books give; cold, acid and fat are not counted"})
}

// caramelFrom is where sugar is a melt, which the height above the sea does not move.
const caramelFrom = unit.Temperature(160)

// syrup gives the sugar of a cooked syrup and the temperature at which it is reached at the
// kitchen's height. It does not apply without such a step, nor to caramel. The written
// temperature is taken to be that of sea level, as books have it.
func (j *judge) syrup() {
	const rule = "cooked syrup"
	found := false
	for i := range j.f.Steps {
		s := &j.f.Steps[i]
		if !isSyrup(s) {
			continue
		}
		found = true
		t := s.Temperature.Temperature()
		if t >= caramelFrom {
			j.skip(rule, fmt.Sprintf("step %q makes caramel, a melt: it keeps its temperature at any height", s.ID))
			continue
		}
		brix, err := material.BoiledTo(t, material.Atmosphere)
		if err != nil {
			j.skip(rule, fmt.Sprintf("step %q: %v", s.ID, err))
			continue
		}
		stage := "no named stage"
		if st, ok := material.StageAt(t); ok {
			stage = st.Name
		}
		here, err := material.SyrupBoilingPoint(brix, j.pressure)
		if err != nil {
			j.skip(rule, fmt.Sprintf("step %q: %v", s.ID, err))
			continue
		}
		j.figure(Figure{
			Name: fmt.Sprintf("sugar in the syrup of step %q", s.ID), Value: float64(brix), Unit: "%", Source: "bib:starzak-peacock",
			Method: fmt.Sprintf("%s: %s; at this height cook it to %s; less with glucose or invert sugar in the pan", t.Show(), stage, unit.Temperature(math.Round(10*here.Celsius())/10).Show()),
		})
		if d := t.Minus(here).Kelvins(); d >= 1 {
			j.find("syrup-altitude", finding.Note, "bib:starzak-peacock",
				fmt.Sprintf("step %q cooks a syrup to %s, the figure of sea level; at %s the same syrup (%s) boils at %.0f °C", s.ID, t.Show(), j.altitude.Show(), stage, here.Celsius()),
				fmt.Sprintf("Cook it to %.0f °C here, or go by the drop in cold water.", here.Celsius()))
		}
	}
	if !found {
		j.skip(rule, "no step cooks a syrup above 101 °C")
	}
}

// boiling finds steps that ask for a temperature at which water has boiled away at the kitchen's
// height. It does not apply near the sea, nor to syrups.
func (j *judge) boiling() {
	const rule = "boiling at the kitchen's height"
	bp, err := material.WaterBoilingPoint(j.pressure)
	if err != nil || j.altitude < 300 {
		j.skip(rule, "the kitchen is near sea level, or its height is not on record")
		return
	}
	j.figure(Figure{Name: "water boils at", Value: bp.Celsius(), Unit: "°C", Source: "bib:crc-handbook", Method: "standard atmosphere at " + j.altitude.Show()})
	for i := range j.f.Steps {
		s := &j.f.Steps[i]
		if !s.Temperature.Given() || s.Verb == "bake" || isSyrup(s) {
			continue
		}
		if t := s.Temperature.Temperature(); t <= hottestFood && t.Minus(bp).Kelvins() > 1 {
			j.find("above-boiling", finding.Note, "bib:crc-handbook", fmt.Sprintf("step %q asks for %s, and water boils at %.0f °C at %s", s.ID, t.Show(), bp.Celsius(), j.altitude.Show()),
				"Go by the boil, and boil starch and gelling agents a minute longer.")
		}
	}
}

// Ethanol: its density at 20 °C, and where it begins to leave a hot liquid. Source:
// bib:crc-handbook.
const (
	ethanolDensity = 789 * unit.KilogramPerCubicMetre
	ethanolBoils   = unit.Temperature(78)
)

// alcoholOf returns the alcohol in what goes in, as a share by mass, nothing cooked off.
func alcoholOf(f *formula.Formula) float64 {
	return shareIn(f, alcoholIn, func(*formula.Formula) float64 { return 1 })
}

// alcoholIn is an ingredient's alcohol by mass: its composition, or its strength by volume at a
// density of 0.95 where none is on record.
func alcoholIn(i *ingredient.Ingredient) float64 {
	if s, ok := i.Composition.Share(material.Alcohol); ok {
		return s
	}
	v, ok := i.Trait("alcohol")
	if !ok || v <= 0 {
		return 0
	}
	d := i.Density
	if !d.Known() {
		d = 950
	}
	return min(1, v/100*float64(ethanolDensity/d))
}

func (j *judge) alcoholByVolume() (value float64, method, why string) {
	a := alcoholOf(j.f)
	if a <= 0 {
		return 0, "", "it holds no alcohol on record"
	}
	d, source := j.f.FinishedDensity()
	if source == formula.DensityUnknown {
		return 0, "", "its density is not known"
	}
	return 100 * a * float64(d/ethanolDensity), "nothing cooked off; density " + source.String(), ""
}

// alcoholLeft is what stays of alcohol in a dish that is stirred and simmered, by minutes.
// Source: common practice, no source; figures of published retention tables, recalled.
var alcoholLeft = [][2]float64{{0, 0.85}, {15, 0.40}, {30, 0.35}, {60, 0.25}, {90, 0.20}, {120, 0.10}, {150, 0.05}}

// alcohol gives the alcohol that is left after cooking and says so from half a per cent: guests
// must know. It does not apply without any.
func (j *judge) alcohol() {
	const rule = "alcohol left"
	if alcoholOf(j.f) <= 0 {
		j.skip(rule, "it holds no alcohol on record")
		return
	}
	left, method := 0.0, "nothing cooked off: no step heats it to 78 °C"
	for i := range j.f.Lines {
		l := &j.f.Lines[i]
		share := 0.0
		if l.Formula != nil {
			share = alcoholOf(l.Formula)
		} else if l.Ingredient != nil {
			share = alcoholIn(l.Ingredient)
		}
		if share <= 0 {
			continue
		}
		kept, minutes := 1.0, j.minutesHot(l)
		if minutes >= 0 {
			kept = interpolate(alcoholLeft, minutes)
			method = fmt.Sprintf("%.0f min at 78 °C or above keep %.0f %% of it; ±10", minutes, 100*kept)
		}
		left += share * kept * float64(l.Mass/j.parts.total)
	}
	p := 100 * left
	j.figure(Figure{Name: "alcohol left", Value: p, Unit: "%", Source: finding.CommonPractice, Method: "by mass; " + method})
	if p >= 0.5 {
		j.find("alcohol-left", finding.Note, finding.CommonPractice, fmt.Sprintf("holds %.1f %% of alcohol by mass when it is eaten", p), "Name it on the card and the label, and keep a piece without it.")
	}
}

// minutesHot returns how long steps keep a line at 78 °C or above, or −1 if none does.
func (j *judge) minutesHot(l *formula.Line) float64 {
	out := -1.0
	for i, ok := range passes(j.f, l) {
		s := &j.f.Steps[i]
		if !ok {
			continue
		}
		hot := s.Verb == "boil" || s.Verb == "bake" || s.Temperature.Given() && s.Temperature.Temperature() >= ethanolBoils
		if hot {
			out = max(out, 0) + s.Waiting.Minutes()
			if s.Verb != "bake" {
				out += s.Active.Fixed.Minutes()
			}
		}
	}
	return out
}

// interpolate reads a table of (x, y) with x ascending, straight between its rows and level
// beyond them.
func interpolate(table [][2]float64, x float64) float64 {
	i := slices.IndexFunc(table, func(r [2]float64) bool { return r[0] >= x })
	switch {
	case i < 0:
		return table[len(table)-1][1]
	case i == 0:
		return table[0][1]
	}
	a, b := table[i-1], table[i]
	return a[1] + (b[1]-a[1])*(x-a[0])/(b[0]-a[0])
}

// A written temperature of a mix may lie this far from the computed: the model's 2 to 3 K and
// the bowl's. Our choice.
const (
	mixSlack = 5.0
	mixFar   = 10.0
)

// mixing computes the temperature at which parts of written temperatures meet in a step and sets
// it against the step's own. It does not apply where fewer than two parts have a temperature or
// the composition of one is not known; a step that itself heats or cools is left alone.
func (j *judge) mixing() {
	const rule = "temperature of a mix"
	why := "no step brings parts of two written temperatures together and says its own"
	judged := false
	for i := range j.f.Steps {
		s := &j.f.Steps[i]
		if (s.Verb != "fold" && s.Verb != "mix") || !s.Temperature.Given() {
			continue
		}
		portions, reason := j.portions(i)
		if reason != "" {
			why = fmt.Sprintf("step %q: %s", s.ID, reason)
			continue
		}
		t, err := material.MixedTemperature(portions...)
		if err != nil {
			why = fmt.Sprintf("step %q: %v", s.ID, err)
			continue
		}
		judged = true
		low, high := s.Temperature.TemperatureRange()
		v := Inside
		off := max(low.Minus(t).Kelvins(), t.Minus(high).Kelvins())
		switch {
		case off > mixFar:
			v = Outside
		case off > mixSlack:
			v = Near
		}
		j.figure(Figure{fmt.Sprintf("mix of step %q", s.ID), t.Celsius(), low.Celsius() - mixSlack, high.Celsius() + mixSlack, "°C", "bib:choi-okos", "heat of the parts at their written temperatures, ±3 K; bowl, hands and fat that sets are not counted; the range is the step's own temperature ±5", v})
		if v != Inside {
			j.find("mix-temperature", v.level(), "bib:choi-okos", fmt.Sprintf("step %q is written to end at %s, but its parts meet at %.0f °C", s.ID, s.Temperature, t.Celsius()),
				"Correct the temperature of a part or of the step; a probe decides.")
		}
	}
	if !judged {
		j.skip(rule, why)
	}
}

// portions returns what a step brings together, each at its written temperature.
func (j *judge) portions(at int) ([]material.Portion, string) {
	s := &j.f.Steps[at]
	type pot struct {
		mix material.Mix
		t   unit.Temperature
	}
	pots := map[string]*pot{}
	var order []string
	for _, id := range s.Takes {
		if k := slices.IndexFunc(j.f.Steps[:at], func(o formula.Step) bool { return o.ID == id }); k >= 0 && j.f.Steps[k].Temperature.Given() {
			pots[id] = &pot{t: j.f.Steps[k].Temperature.Temperature()}
			order = append(order, id)
		}
	}
	if len(order) < 2 {
		return nil, "fewer than two of its parts have a temperature"
	}
	var loose unit.Mass
	for i := range j.f.Lines {
		l := &j.f.Lines[i]
		holds := passes(j.f, l)
		if !holds[at] || l.Mass <= 0 {
			continue
		}
		id := ""
		for _, o := range order {
			if k := slices.IndexFunc(j.f.Steps, func(x formula.Step) bool { return x.ID == o }); holds[k] {
				id = o
			}
		}
		switch {
		case id == "":
			loose += l.Mass
		case l.Formula != nil:
			pots[id].mix.Add(l.Formula.Composition(), l.Mass)
		case l.Ingredient != nil:
			pots[id].mix.Add(l.Ingredient.Composition, l.Mass)
		}
	}
	if loose > 0.05*j.parts.total {
		return nil, "a part of it has no temperature"
	}
	var out []material.Portion
	for _, id := range order {
		if pots[id].mix.Total() <= 0 {
			continue
		}
		food, err := pots[id].mix.Composition().Thermal(0)
		if err != nil {
			return nil, err.Error()
		}
		out = append(out, material.Portion{Food: food, Mass: pots[id].mix.Total(), Temperature: pots[id].t})
	}
	if len(out) < 2 {
		return nil, "fewer than two of its parts have a mass"
	}
	return out, ""
}
