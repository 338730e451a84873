package cli

import (
	"bytes"
	"context"
	"encoding/json"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"time"

	"chablon/assembly"
	"chablon/chill"
	"chablon/document"
	"chablon/drawing"
	"chablon/heat"
	"chablon/kitchen"
	"chablon/mould"
	"chablon/unit"
)

type freeze struct {
	Path     string   `arg:"" help:"Folder or file of documents."`
	Assembly string   `required:"" help:"Id of the assembly." placeholder:"ID"`
	Mould    string   `help:"Id of the mould; its own if not said." placeholder:"ID"`
	Place    string   `help:"Id of the freezer or refrigerator; the kitchen's first freezer if not said." placeholder:"ID"`
	Thaw     bool     `help:"From frozen to a soft core in the refrigerator instead."`
	From     string   `help:"Temperature of what is not frozen when it goes in; the room's if not said." placeholder:"TEMP"`
	For      string   `help:"How long it stays in the first place, with --then; until solid enough to unmould if not said." placeholder:"TIME"`
	Then     []string `sep:"none" help:"Where it goes next and for how long, PLACE=TIME or PLACE@TEMP=TIME: refrigerator=4h, van@8°C=40min; or the word unmould. May be given again and again." placeholder:"PLACE=TIME"`
	Cut      string   `help:"Of a portion that is cut from it: how many wedges, or its size such as 40mm or 40mmx80mm." placeholder:"PORTION"`
	Probe    []string `sep:"none" help:"A temperature that was read in the core, TIME=TEMP, such as 4h=-8°C: it corrects the freezing. May be given again and again." placeholder:"TIME=TEMP"`
	JSON     bool     `help:"Print one JSON object."`
	Output   string   `short:"o" help:"Draw the curve into this file: .svg, .pdf or .png." placeholder:"FILE"`
}

// frozen is the answer as --json prints it.
type frozen struct {
	Assembly     string     `json:"assembly"`
	Mould        string     `json:"mould"`
	Reached      bool       `json:"reached"`
	Reason       string     `json:"reason,omitempty"`
	CoreTime     float64    `json:"core_time_s"`
	Band         [2]float64 `json:"band_s"`
	Criterion    string     `json:"criterion"`
	Surroundings string     `json:"surroundings"`
	Curve        []frozenAt `json:"curve"`
	Quick        float64    `json:"quick_estimate_s"` // 0 of a portion
	EnergyError  float64    `json:"energy_error"`
	GridError    float64    `json:"grid_error"`
	Cells        int        `json:"cells"`
	Notes        []string   `json:"notes,omitempty"`

	Stages []frozenStage `json:"stages,omitempty"` // of --then
	Passes []frozenPass  `json:"passes,omitempty"`
	Probed *frozenProbe  `json:"probed,omitempty"` // of --probe
}

type frozenAt struct {
	T        float64    `json:"t_s"`
	Core     float64    `json:"core_c"`
	CoreBand [2]float64 `json:"core_band_c"`
	Surface  float64    `json:"surface_c"`
	Mean     float64    `json:"mean_c"`
	Frozen   float64    `json:"frozen_share"`
}

// probeDecides is said with every predicted time.
const probeDecides = "A prediction, not a measurement: a probe thermometer in the core decides."

// Run answers how long a piece takes.
func (c *freeze) Run(ctx context.Context, p Process) error {
	book, errs, err := readPath(c.Path)
	if err != nil {
		return err
	}
	printErrors(p.Stderr, errs)
	a := book.Assemblies[c.Assembly]
	if a == nil {
		if len(errs) > 0 {
			return errFaults
		}
		return fmt.Errorf("--assembly %s: there is none of that id; there are %s", c.Assembly, assemblies(book))
	}
	m := a.Mould
	if c.Mould != "" {
		if m = book.Moulds[c.Mould]; m == nil {
			return fmt.Errorf("--mould %s: there is none of that id", c.Mould)
		}
	}
	place, err := c.place(book.Kitchen)
	if err != nil {
		return err
	}
	room := book.Kitchen.Room
	if c.From != "" {
		q, err := unit.ParseQuantity(c.From, unit.OfTemperature)
		if err != nil {
			return fmt.Errorf("--from %s: %w", c.From, err)
		}
		room = q.Temperature()
	}
	section := a.Refit(m, assembly.SameThickness, book.Owned()).Assembly.Lay(m)
	if len(c.Probe) > 0 && (c.Thaw || len(c.Then) > 0) {
		return fmt.Errorf("--probe %s: corrects a freezing, without --thaw and --then", c.Probe[0])
	}
	if c.For != "" && len(c.Then) == 0 {
		return fmt.Errorf("--for %s: belongs to --then; without it the answer is how long it takes", c.For)
	}
	out, target, err := c.solve(ctx, book, section, m, place, room)
	if err != nil {
		return err
	}
	if c.Output != "" {
		if err := c.draw(out, place, target); err != nil {
			return err
		}
	}
	if c.JSON {
		enc := json.NewEncoder(p.Stdout)
		enc.SetIndent("", "  ")
		return enc.Encode(out)
	}
	c.print(p, out)
	return nil
}

// place returns the equipment that was named, or the usual one.
func (c *freeze) place(k *kitchen.Kitchen) (kitchen.Equipment, error) {
	words := []string{c.Place}
	if c.Place == "" {
		words = []string{"blast-freezer", "freezer"}
		if c.Thaw {
			words = []string{"refrigerator"}
		}
	}
	for _, w := range words {
		for _, e := range k.Find(w) {
			if e.HasSetting {
				return e, nil
			}
		}
	}
	return kitchen.Equipment{}, fmt.Errorf("--place %s: the kitchen has nothing of that id with a temperature on record", words[len(words)-1])
}

func (c *freeze) solve(ctx context.Context, book *document.Book, s *assembly.Section, m *mould.Mould, place kitchen.Equipment, room unit.Temperature) (frozen, unit.Temperature, error) {
	out := frozen{Assembly: s.Assembly.ID, Mould: m.ID}
	cold := unit.Temperature(-18)
	for _, e := range append(book.Kitchen.Find("blast-freezer"), book.Kitchen.Find("freezer")...) {
		if e.HasSetting {
			cold = e.Setting
			break
		}
	}
	start := chill.At(room, cold)
	if c.Thaw {
		start = chill.At(cold, cold)
	}
	body, err := chill.NewBody(s, start)
	if err != nil {
		return out, 0, err
	}
	if c.Cut != "" {
		p, err := c.portion()
		if err != nil {
			return out, 0, err
		}
		if body, err = body.Cut(p); err != nil {
			return out, 0, fmt.Errorf("--cut %s: %w", c.Cut, err)
		}
	}
	core := func(s heat.Sample) unit.Temperature { return s.Warmest } // the place that decides: the core, unless a frozen insert lies there
	if c.Thaw {
		core = func(s heat.Sample) unit.Temperature { return s.Coldest }
	}
	if len(c.Then) > 0 {
		legs, err := c.legs(book.Kitchen, place)
		if err != nil {
			return out, 0, err
		}
		_, err = c.follow(ctx, body, legs, &out)
		return out, chill.SolidCore(place.Setting), err
	}
	var a chill.Answer
	if c.Thaw {
		a, err = body.Thaw(ctx, place, heat.ThawedCore, chill.Stated)
	} else {
		a, err = body.Freeze(ctx, place, chill.Stated)
	}
	if err != nil {
		return out, a.Target, err
	}
	out.Reached, out.Reason, out.Criterion, out.Surroundings = a.Reached, a.Reason, a.Criterion, a.Place
	out.CoreTime, out.Band = a.Time.Seconds(), [2]float64{a.Low.Seconds(), a.High.Seconds()}
	out.EnergyError, out.GridError, out.Cells, out.Notes = a.Run.EnergyError, a.Run.GridError, a.Cells, a.Notes
	lasts := a.Time
	if !a.Reached {
		lasts = 24 * time.Hour // what it comes to
	}
	if lasts > 0 {
		leg, err := chill.LegIn(place, lasts, c.Thaw)
		if err != nil {
			return out, a.Target, err
		}
		w, err := body.Follow(ctx, []chill.Leg{leg}, nil, chill.Precision{Cell: chill.Stated.Cell})
		if err != nil {
			return out, a.Target, err
		}
		out.Curve = curveOf(w.Curve, core)
	}
	if len(c.Probe) > 0 {
		if err := c.correct(ctx, body, place, &out); err != nil {
			return out, a.Target, err
		}
	}
	if c.Cut != "" {
		return out, a.Target, nil // the quick estimate is of the whole piece
	}
	if quick, err := chill.OfSection(s); err == nil {
		var w chill.Wait
		if c.Thaw {
			w, err = quick.Thaw(cold, place)
		} else {
			w, err = quick.Freeze(room, place)
		}
		if err == nil {
			out.Quick = w.Time.Seconds()
		}
	}
	return out, a.Target, nil
}

func (c *freeze) print(p Process, out frozen) {
	switch {
	case len(out.Stages) > 0:
		printWay(p, out)
	case !out.Reached:
		fmt.Fprintf(p.Stdout, "%s: %s\n", out.Surroundings, out.Reason)
	default:
		fmt.Fprintf(p.Stdout, "%s, %s: %s (%s to %s)\n", out.Criterion, out.Surroundings, seconds(out.CoreTime), seconds(out.Band[0]), seconds(out.Band[1]))
		if out.Quick > 0 {
			fmt.Fprintf(p.Stdout, "quick estimate %s; ", seconds(out.Quick))
		}
		fmt.Fprintf(p.Stdout, "%d cells, grid error %.2g %%, energy error %.1g\n", out.Cells, 100*out.GridError, out.EnergyError)
		for k := range 9 {
			x := out.Curve[(len(out.Curve)-1)*k/8]
			fmt.Fprintf(p.Stdout, "%10s  core %6.1f °C  surface %6.1f °C  mean %6.1f °C  %3.0f %% of the water frozen\n", seconds(x.T), x.Core, x.Surface, x.Mean, 100*x.Frozen)
		}
	}
	if out.Probed != nil {
		printProbed(p, out.Probed)
	}
	for _, n := range out.Notes {
		fmt.Fprintln(p.Stdout, "note:", n)
	}
	fmt.Fprintln(p.Stdout, probeDecides)
}

func (c *freeze) draw(out frozen, place kitchen.Equipment, target unit.Temperature) error {
	ext := strings.ToLower(filepath.Ext(c.Output))
	var points []drawing.CurvePoint
	for _, x := range out.Curve {
		points = append(points, drawing.CurvePoint{
			Time: time.Duration(x.T * float64(time.Second)), Core: unit.Temperature(x.Core), Surface: unit.Temperature(x.Surface), Mean: unit.Temperature(x.Mean),
			CoreLow: unit.Temperature(x.CoreBand[0]), CoreHigh: unit.Temperature(x.CoreBand[1]),
		})
	}
	o := drawing.CurveOptions{Target: target, Air: place.Setting, Band: true, Places: out.places()}
	o.Title = out.Assembly + " in " + place.Name
	if out.Reached && len(out.Stages) == 0 {
		second := func(s float64) time.Duration { return time.Duration(s * float64(time.Second)) }
		o.Ready, o.Low, o.Top = second(out.CoreTime), second(out.Band[0]), second(out.Band[1])
	}
	d := drawing.Curve(points, o)
	var buf bytes.Buffer
	var err error
	switch ext {
	case ".svg":
		buf.Write(d.SVG())
	case ".pdf":
		err = d.PDF(&buf)
	case ".png":
		err = d.PNG(&buf, 150)
	default:
		err = fmt.Errorf("-o %s: write a name that ends in .svg, .pdf or .png", c.Output)
	}
	if err != nil {
		return err
	}
	return os.WriteFile(c.Output, buf.Bytes(), 0o644)
}
