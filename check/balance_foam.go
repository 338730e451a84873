package check

import (
	"fmt"

	"chablon/finding"
	"chablon/material"
	"chablon/unit"
)

// Fat of a cream, in per cent, that holds when it is whipped, and below which none whips; and how
// cold it is. Source: common practice, no source; the lowest fat: A Manual of Home-Making.
const (
	leastWhippingFat = 30
	noWhippingFat    = 20
	warmCream        = unit.Temperature(8)
	tooWarmCream     = unit.Temperature(10)
)

// whipping judges the fat and the temperature of cream that is whipped. It does not apply where
// none is: air into cream is written as overrun, and a whole formula of cream by its type.
func (j *judge) whipping() {
	const rule = "cream that is whipped"
	if j.parts.of("whipped cream") <= 0 && !j.is("whipped cream", "whipped ganache") {
		j.skip(rule, "no cream is whipped: an overrun is written for none")
		return
	}
	if !j.is("whipped ganache") { // cocoa butter carries that
		if s, ok := creamFat(j.f, j.f.Air.Overrun > 0); !ok {
			j.skip(rule+": fat", "the cream is in another component, or its fat is not on record")
		} else {
			p := 100 * s
			v := stand(p, leastWhippingFat, 40)
			if p > 40 {
				v = Inside // dense, but it whips
			}
			j.figure(Figure{"fat of the whipped cream", p, leastWhippingFat, 40, "%", finding.CommonPractice, "36 to 40 whips fast and dense", v})
			if p < leastWhippingFat && v != Inside {
				level := v.level()
				if p < noWhippingFat {
					level = finding.Fault
				}
				j.find("cream-too-lean", level, finding.CommonPractice, fmt.Sprintf("whips a cream of %.0f %% fat; it holds from 30 %%, and below 20 %% none whips", p),
					"Take a cream of 35 %, or make up the fat with mascarpone.")
			}
		}
	}
	t, step, why := j.measure("whipping temperature")
	if why != "" {
		j.skip(rule+": temperature", why)
		return
	}
	v := stand(t, 2, warmCream.Celsius())
	j.figure(Figure{"temperature of the cream when whipped", t, 2, warmCream.Celsius(), "°C", "A Manual of Home-Making (35-45 degF, two hours)", step, v})
	if at := unit.Temperature(t); at > warmCream {
		level := finding.Note
		if at > tooWarmCream {
			level = finding.Caution
		}
		j.find("cream-too-warm", level, finding.CommonPractice, fmt.Sprintf("whips cream at %s; above 8 °C its fat is too soft to hold air", at.Show()), "Chill cream, bowl and whisk to 4 °C.")
	}
}

// creamed judges cakes of creamed butter by the balance of flour, sugar, egg and fat: sugar up to
// the flour, egg no less than the fat; and in high-ratio cakes sugar of 110 to 160 % of the flour
// with egg and milk no less than the sugar. It applies to those two kinds alone; foam sponges,
// doughs and meringues go by the ranges of their kind. Source: common practice, no source.
func (j *judge) creamed() {
	const rule = "balance of a creamed cake"
	p := j.parts
	flour, sugar, egg, fat := p.of("flour+starch"), p.of("sugar"), p.of("egg"), p.of("butter+oil")
	switch {
	case !j.is("butter cake", "high-ratio cake"):
		j.skip(rule, "it is no creamed or high-ratio cake")
		return
	case flour <= 0 || sugar <= 0 || egg <= 0 || fat <= 0:
		j.skip(rule, "it lacks flour, sugar, egg or butter")
		return
	}
	ratio := func(name, code string, of, on unit.Mass, low, high float64, lack, excess string) {
		v := 100 * float64(of/on)
		s := stand(v, low, high)
		j.figure(Figure{name, v, low, high, "%", finding.CommonPractice, "", s})
		if s == Inside {
			return
		}
		limit, remedy, why := low, "Add %s to the formula as written, or change the rest in proportion.", lack
		if v > high {
			limit, remedy, why = high, "Take out %s from the formula as written, or change the rest in proportion.", excess
		}
		delta := unit.Mass(limit/100)*on - of
		j.find(code, s.level(), finding.CommonPractice, fmt.Sprintf("has %s of %.0f %%; usual are %.0f to %.0f %%: %s", name, v, low, high, why),
			fmt.Sprintf(remedy, max(delta, -delta).Show()))
	}
	if j.is("butter cake") {
		ratio("sugar on flour", "creamed-sugar", sugar, flour, 70, 105, "a dry, tough crumb", "a crust that cracks and a middle that sinks")
		ratio("egg on fat", "creamed-egg", egg, fat, 95, 140, "the fat weeps out", "a rubbery crumb")
		return
	}
	ratio("sugar on flour", "creamed-sugar", sugar, flour, 110, 160, "it is no high-ratio cake and wants the balance of a butter cake", "the middle sinks")
	ratio("egg on fat", "creamed-egg", egg, fat, 100, 180, "the fat weeps out", "a rubbery crumb")
	ratio("egg and milk on sugar", "creamed-liquid", egg+p.of("milk"), sugar, 100, 160, "the sugar does not dissolve", "a wet crumb")
}

// waterLoss finds losses of water that exceed the water there is: no oven takes more. It does not
// apply without such losses or where the water is not on record. Physical; no source needed.
func (j *judge) waterLoss() {
	const rule = "water lost in the making"
	k := concentrated(j.f)
	w, ok := j.mix.Share(material.Water)
	switch {
	case k <= 1:
		j.skip(rule, "no loss of water is written")
		return
	case !ok:
		j.skip(rule, "the water of a line is not on record")
		return
	}
	lost := 1 - 1/k
	v := Inside
	if lost > w+1e-9 {
		v = Outside
		j.find("loss-beyond-water", finding.Fault, "by conservation of mass", fmt.Sprintf("loses %.0f %% of its mass as water, but only %.0f %% of it is water", 100*lost, 100*w),
			fmt.Sprintf("Correct the losses to at most %.0f %%, or weigh before and after.", 100*w))
	}
	j.figure(Figure{"water lost in the making", 100 * lost, 0, 100 * w, "%", "by conservation of mass", "bake loss and evaporation, of what goes in; the bound is its water", v})
}
