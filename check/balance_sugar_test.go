package check_test

import (
	"math"
	"testing"
	"time"

	"chablon/check"
	"chablon/finding"
	"chablon/formula"
	"chablon/material"
)

// Figures of sucrose: water activity 0.9581 at 2 mol/kg (40.64 %; Robinson & Stokes, recalled),
// freezing point of 20 % −1.47 °C (CRC Handbook); a syrup that boils at 118 °C at the sea boils
// 5.7 K lower at 1600 m (firm ball 116.7 and 111.0 °C by the model against charts); water boils
// at 93.32 °C at 2000 m (standard atmosphere and IAPWS-IF97).
func TestSugarAndWater(t *testing.T) {
	t.Parallel()
	syrup := func(at string) *formula.Formula {
		return steps(t, written(t, "", "200 g sugar", "60 g water"), "boil "+at+": sugar, water")
	}
	poached := func(at string) *formula.Formula {
		return steps(t, written(t, "", "200 g pear purée", "60 g water"), "heat "+at)
	}
	spirit := func(at string, wait time.Duration) *formula.Formula {
		return lasting(steps(t, written(t, "", "900 g water", "100 g strong spirit"), "cook "+at), wait)
	}
	mixed := func(at string) *formula.Formula {
		f := written(t, "", "500 g whole milk", "500 g cream 35 %")
		f = steps(t, f, "heat 60 °C: whole-milk", "cool 20 °C: cream-35-%", "mix "+at+": heat, cool")
		return f
	}
	dense := written(t, "soaking syrup", "900 g water", "100 g strong spirit")
	dense.Density = 1000
	third := written(t, "", "500 g whole milk", "300 g cream 35 %", "200 g water")
	third = steps(t, third, "heat 60 °C: whole-milk", "cool 20 °C: cream-35-%", "mix 40 °C: heat, cool, water")
	stirred := spirit("95 °C", 10*time.Minute)
	stirred.Steps[0].Active.Fixed = 20 * time.Minute
	const mix = "temperature of a mix"
	run(t, []judgement{
		{name: "soak", f: written(t, "soaking syrup", "600 g water", "400 g sugar"), code: "brix-high", figure: "Brix", value: 40, within: 0.2, verdict: check.Inside},
		{name: "soak too sweet", f: written(t, "soaking syrup", "300 g water", "700 g sugar"), code: "brix-high", want: true, level: finding.Caution, says: "28 to 50 %"},
		{name: "sugars unknown", f: written(t, "soaking syrup", "300 g water", "70 g unknown thing"), skip: "Brix", skipSays: "not on record"},
		{name: "reduced", f: losing(written(t, "soaking syrup", "600 g water", "400 g sugar"), "evaporation", 0.2), figure: "Brix", value: 50, within: 0.2, verdict: check.Inside}, // 40/0.8
		{name: "starch does not dissolve", f: written(t, "soaking syrup", "100 g water", "100 g sugar", "100 g cornstarch"), figure: "Brix", value: 33.3, within: 0.3, verdict: check.Inside},
		{name: "glucose syrup does", f: written(t, "soaking syrup", "600 g water", "400 g glucose syrup|glucose-syrup-de42"), figure: "Brix", value: 32, within: 1, verdict: check.Inside}, // 80 % of dry matter
		{name: "spirit by volume", f: dense, figure: "alcohol by volume", value: 8.87, within: 0.01, verdict: check.Near},                                                                  // 7 × 1000/789
		{name: "spirit by its strength", f: written(t, "", "100 g bare spirit"), figure: "alcohol left", value: 33.2, within: 0.1},                                                         // 40 × 789/950
		{name: "glaze dry matter", f: written(t, "nappage", "400 g water", "600 g sugar", "10 g pectin NH"), figure: "dry matter", value: 60.4, within: 0.5, verdict: check.Inside},        // 610/1010

		{name: "activity", f: written(t, "", "5936 g water", "4064 g sugar"), figure: "water activity", value: 0.9581, within: 0.002},
		{name: "activity unknown", f: written(t, "", "300 g unknown thing"), skip: "water activity", skipSays: "water"},
		{name: "freezing", f: written(t, "", "800 g water", "200 g sugar"), figure: "freezing point", value: -1.47, within: 0.05},  // the least error of the model
		{name: "ice", f: written(t, "", "800 g water", "200 g sugar"), figure: "water frozen at −18 °C", value: 87.7, within: 0.5}, // 67 % syrup at −18 °C: 200/0.67 − 200 = 98.5 g of 800 stay liquid
		{name: "fat does not freeze", f: written(t, "", "300 g cocoa butter"), skip: "freezing", skipSays: "does not freeze"},
		{name: "sweetness", f: written(t, "", "800 g water", "200 g sugar"), figure: "sweetness as sucrose", value: 20, within: 0.1},
		{name: "sweetness unknown", f: written(t, "", "300 g unknown thing"), skip: "sweetness", skipSays: "carbohydrate"},

		{name: "at the sea", f: syrup("118 °C"), code: "syrup-altitude", figure: `sugar in the syrup of step "boil"`, value: 87, within: 1.5}, // chart: firm ball 87 %
		{name: "on a mountain", f: syrup("118 °C"), height: 1600, code: "syrup-altitude", want: true, says: "Cook it to 112 °C"},
		{name: "caramel", f: syrup("170 °C"), height: 1600, code: "syrup-altitude", skip: "cooked syrup", skipSays: "caramel"},
		{name: "no syrup", f: poached("80 °C"), skip: "cooked syrup", skipSays: "no step"},
		{name: "boils low", f: poached("100 °C"), height: 2000, code: "above-boiling", want: true, says: "93 °C"},
		{name: "below the boil", f: poached("80 °C"), height: 2000, code: "above-boiling", figure: "water boils at", value: 93.32, within: 0.02},
		{name: "near the sea", f: poached("100 °C"), height: 15, code: "above-boiling", skip: "boiling at the kitchen's height", skipSays: "sea level"},

		{name: "spirit added cold", f: spirit("40 °C", 0), code: "alcohol-left", want: true, says: "7.0 %"},
		{name: "simmered half an hour", f: spirit("95 °C", 30*time.Minute), code: "alcohol-left", want: true, says: "2.4 %"}, // 35 % of 7 is 2.45
		{name: "work at the stove counts", f: stirred, figure: "alcohol left", value: 2.45, within: 0.01},
		{name: "simmered long", f: spirit("95 °C", 3*time.Hour), code: "alcohol-left", figure: "alcohol left", value: 0.35, within: 1e-3},
		{name: "no spirit", f: poached("80 °C"), skip: "alcohol left", skipSays: "no alcohol"},

		// Milk takes 3.9 kJ/(kg K) and cream 3.4 or so: (60·3.9 + 20·3.4)/7.3 = 41.4.
		{name: "meets", f: mixed("40 °C"), code: "mix-temperature", figure: `mix of step "mix"`, value: 41.4, within: 1, verdict: check.Inside},
		{name: "does not meet", f: mixed("25 °C"), code: "mix-temperature", want: true, level: finding.Caution, says: "its parts meet at 4"},
		{name: "a part without a temperature", f: third, skip: mix, skipSays: "a part of it has no temperature"},
		{name: "nothing to mix", f: poached("80 °C"), skip: mix, skipSays: "no step brings"},
	})
}

// Holds against FDA Food Code 2022: seven days cold, four hours in the room, for what needs
// control by Table B at a pH that is not known.
func TestKeeping(t *testing.T) {
	t.Parallel()
	custard := func() *formula.Formula {
		return steps(t, written(t, "custard", "500 g whole milk", "100 g egg yolks", "100 g sugar"), "cook 84 °C")
	}
	sponge := losing(holding(written(t, "genoise", "120 g flour", "120 g sugar", "190 g eggs|egg-whole"), "room", 0, day), "bake", 0.12)
	run(t, []judgement{
		{name: "three days", f: holding(custard(), "refrigerator", 3*day, 2*day), code: "hold-beyond-code", figure: "hold in the refrigerator", value: 72, within: 0, verdict: check.Inside},
		{name: "seven days", f: holding(custard(), "refrigerator", 7*day, 2*day), code: "hold-beyond-code"},
		{name: "ten days", f: holding(custard(), "refrigerator", 10*day, 2*day), code: "hold-beyond-code", want: true, level: finding.Caution, says: "7 d"},
		{name: "ten days of quality alone", f: holding(custard(), "refrigerator", 0, 10*day), code: "hold-beyond-code", want: true, level: finding.Caution, says: "quality hold"},
		{name: "quality outlasts safety", f: holding(custard(), "refrigerator", 3*day, 5*day), code: "quality-beyond-safety", want: true, level: finding.Caution, says: "Shorten"},
		{name: "custard in the room", f: holding(custard(), "room", 0, day), code: "hold-beyond-code", want: true, level: finding.Caution, says: "4 h"},
		{name: "sponge in the room", f: sponge, code: "hold-beyond-code", want: true, level: finding.Note, says: "baked crumb"},
		{name: "frozen", f: holding(custard(), "freezer", 0, 90*day), code: "hold-beyond-code", skip: "hold in the freezer", skipSays: "frozen"},
		{name: "no holds", f: custard(), skip: "keeping: holds", skipSays: "no holds"},
		{name: "dry enough", f: holding(written(t, "", "850 g sugar", "150 g water"), "room", 0, 90*day), code: "hold-beyond-code", skip: "keeping: holds", skipSays: "no control"},
		// 62.3 % of sucrose: 0.880 by interpolation of 0.9057 (57.79 %) and 0.8493 (67.25 %); the error of 0.005 decides.
		{name: "dry enough only without the error", f: holding(written(t, "", "623 g sugar", "377 g water"), "refrigerator", 0, 10*day), code: "hold-beyond-code", want: true, level: finding.Caution, says: "7 d"},
		{name: "activity unknown", f: holding(written(t, "", "10 g unknown thing"), "room", 0, day), skip: "keeping", skipSays: "cannot be computed"},
		{name: "raw", f: written(t, "mousse", "100 g egg yolks", "300 g cream 35 %"), code: "raw-egg", want: true, level: finding.Caution, says: "68 °C"},
		{name: "cooked", f: custard(), code: "raw-egg"},
		{name: "no egg", f: written(t, "mousse", "300 g cream 35 %"), skip: "raw egg", skipSays: "no raw egg"},
	})
}

// Glucose syrups of two strengths: their dextrose equivalent is the mean by mass, (3·60 + 1·38)/4.
func TestDextroseEquivalent(t *testing.T) {
	t.Parallel()
	f := written(t, "", "600 g water", "300 g glucose syrup|glucose-syrup-de60", "100 g glucose syrup|glucose-syrup-de38")
	z, err := f.Composition().Freezing(material.Solutes{DE: 54.5})
	if err != nil {
		t.Fatal(err)
	}
	want, _ := z.FreezingPoint()
	if got, ok := figureOf(check.Balance(f, nil), "freezing point"); !ok || math.Abs(got.Value-want.Celsius()) > 1e-9 {
		t.Errorf("freezes at %v, want %v", got.Value, want)
	}
}
