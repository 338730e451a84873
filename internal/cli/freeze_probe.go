package cli

import (
	"context"
	"fmt"
	"strconv"
	"strings"

	"chablon/chill"
	"chablon/kitchen"
	"chablon/unit"
)

// frozenProbe is what probe readings make of the answer, as --json prints it.
type frozenProbe struct {
	CoreTime     float64    `json:"core_time_s"`
	Band         [2]float64 `json:"band_s"` // nine times out of ten
	Transfer     float64    `json:"transfer_w_m2k"`
	TransferBand [2]float64 `json:"transfer_band"` // two times out of three
	Expected     []float64  `json:"expected_c"`    // at the readings, before they were known
	Misfit       float64    `json:"misfit"`
}

// readings reads --probe: "4h=-8°C".
func (c *freeze) readings() ([]chill.Probe, error) {
	var out []chill.Probe
	for _, word := range c.Probe {
		after, at, ok := strings.Cut(word, "=")
		if !ok {
			return nil, fmt.Errorf("--probe %s: write TIME=TEMP, such as 4h=-8°C", word)
		}
		d, err := timeOf("--probe "+word, after)
		if err != nil {
			return nil, err
		}
		q, err := unit.ParseQuantity(at, unit.OfTemperature)
		if err != nil {
			return nil, fmt.Errorf("--probe %s: %w", word, err)
		}
		out = append(out, chill.Probe{At: d, Temperature: q.Temperature()})
	}
	return out, nil
}

// correct corrects the answer by readings of the core.
func (c *freeze) correct(ctx context.Context, body *chill.Body, place kitchen.Equipment, out *frozen) error {
	readings, err := c.readings()
	if err != nil {
		return err
	}
	x, err := body.CorrectFreezing(ctx, place, readings)
	if err != nil {
		return err
	}
	out.Probed = &frozenProbe{
		CoreTime: x.After.Time.Seconds(), Band: [2]float64{x.After.Low.Seconds(), x.After.High.Seconds()},
		Transfer: float64(x.Transfer), TransferBand: [2]float64{float64(x.Low), float64(x.High)}, Misfit: x.Misfit,
	}
	for _, t := range x.Expected {
		out.Probed.Expected = append(out.Probed.Expected, float64(t))
	}
	return nil
}

func printProbed(p Process, x *frozenProbe) {
	fmt.Fprintf(p.Stdout, "by your probe: %s (%s to %s)\n", seconds(x.CoreTime), seconds(x.Band[0]), seconds(x.Band[1]))
	fmt.Fprintf(p.Stdout, "the place takes %.3g W/(m² K), between %.3g and %.3g: keep it in the calibrations of the place\n", x.Transfer, x.TransferBand[0], x.TransferBand[1])
	if x.Misfit > 2 {
		fmt.Fprintln(p.Stdout, "the readings do not fit the model well: check where the tip was, and what stands in the place")
	}
}

// portion reads --cut: "8" wedges, or "40 mm" or "40 mm x 80 mm" of a rectangular piece.
func (c *freeze) portion() (chill.Portion, error) {
	if n, err := strconv.Atoi(c.Cut); err == nil {
		return chill.Portion{Wedges: n}, nil
	}
	first, second, two := strings.Cut(strings.ReplaceAll(c.Cut, "×", "x"), "x")
	var out chill.Portion
	for _, x := range []struct {
		text string
		to   *unit.Length
	}{{first, &out.Width}, {second, &out.Depth}} {
		if x.text == "" && !two {
			continue
		}
		q, err := unit.ParseQuantity(strings.TrimSpace(x.text), unit.OfLength)
		if err != nil {
			return out, fmt.Errorf("--cut %s: write how many wedges, or the size of a portion such as 40mm or 40mmx80mm: %w", c.Cut, err)
		}
		*x.to = q.Length()
	}
	return out, nil
}
