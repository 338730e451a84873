package sheet

import (
	"slices"
	"strings"
)

// Caution is what the bench has to know where a hazard stands.
type Caution struct {
	Code   string // of the hazard, as documents write it
	Name   string
	Short  string // the gist, at every step where the hazard stands
	Text   string // in full, once in each component's block, at the first such step
	Source string
}

// Defer ends every box of cautions.
const Defer = "The local code and a licensed professional decide; a probe thermometer rules over any predicted time."

// footer stands on every page.
const footer = "Times of freezing, chilling and thawing are predictions; a probe thermometer decides. " +
	"The local food code and a licensed professional decide what may be sold."

const practice = "Common practice, no standard"

// Sources of the limits: bib:food-code-2022, bib:falcpa, bib:eu-1169-2011. What the codes do not
// say is common practice, no source.
var cautions = []Caution{
	{
		"raw-egg", "Raw or lightly cooked egg",
		"pasteurised egg, or cook by probe (63 °C for 15 s at once, 68 °C for 17 s pooled); wash hands and tools.",
		"Raw egg may carry Salmonella. In what is not cooked through use pasteurised egg, unless guests are told (3-302.13), or cook it by probe: " +
			"63 °C for 15 s if it is served at once, 68 °C for 17 s if eggs are pooled or kept (3-401.11). For people who fall ill easily " +
			"(young children, older people, weak defences) pasteurised egg takes the place of raw (3-801.11). Wash hands, bench and tools afterwards.",
		"FDA Food Code 2022, 3-302.13, 3-401.11, 3-801.11",
	},
	{
		"cooling", "Cooling",
		"from 57 to 21 °C within 2 h, to 5 °C within 6 h in all; note the times.",
		"Cooked food goes from 57 °C to 21 °C within 2 h, and to 5 °C within 6 h in all, counted from 57 °C, at its slowest point. " +
			"Spread it shallow, stir it, use an ice bath; probe the middle and write down the time. Do not keep what took longer.",
		"FDA Food Code 2022, 3-501.14(A)",
	},
	{
		"hot-sugar", "Hot sugar",
		"burns deeply and sticks; ice water at hand, nobody near.",
		"Boiling sugar is hotter than boiling water and sticks to skin. Long sleeves, dry hands, a bowl of ice water at hand, nobody close by. " +
			"Add liquid little by little: it spits. On a burn: cold water at once and for long, do not pull off what sticks, get medical help.",
		practice,
	},
	{
		"torch", "Blow torch",
		"nothing that burns within reach; shut the gas after use.",
		"No paper, cloth or spirits within reach of the flame. Point it away from people, never set it down alight, shut the gas after use and let it cool.",
		practice,
	},
	{
		"allergen", "Allergens",
		"clean down before and after; keep apart; on the label.",
		"Clean bench, tools and hands before and after; keep it apart from what must stay free of it. What is handled here belongs on the label: " +
			"the nine of the United States (FALCPA, FASTER Act), the fourteen of the European Union (EU 1169/2011, Annex II).",
		"FALCPA 2004, FASTER Act 2021, Regulation (EU) 1169/2011 Annex II",
	},
	{
		"alcohol", "Alcohol",
		"say so on the card; no open flame near it.",
		"Say so on the card and to whoever asks: heat does not drive all of it off. The statement of strength by volume that the European Union demands is " +
			"for beverages of more than 1.2 %; ask locally what the label of a dessert must say. Its vapour burns: no open flame while pouring.",
		"Regulation (EU) 1169/2011, Article 9(1)(k); the rest common practice, no standard",
	},
	{
		"cold-burn", "Cold burn",
		"frozen metal sticks to bare skin; dry gloves; wipe the floor.",
		"Moulds and trays from the freezer burn bare or damp skin and stick to it. Dry gloves. Frost that drops makes the floor slippery: wipe it up at once.",
		practice,
	},
	{
		"steam", "Steam",
		"open lids away from you; dry cloths.",
		"Steam burns before it is seen. Open lids away from you, tip pots away from you, use dry cloths: a wet one lets the heat through.",
		practice,
	},
	{
		"blade", "Blades",
		"pull the plug before touching a blade.",
		"Pull the plug before touching the blade of a blender or cutter. Start a stick blender only when its head is covered. Knives lie flat, never in the sink.",
		practice,
	},
	{
		"hot-surface", "Hot surfaces",
		"oven, tray and pan: dry gloves, call out, mark what is hot.",
		"Oven, trays and pans look the same hot and cold. Dry gloves, call out when you carry something hot, leave a cloth on what is still hot.",
		practice,
	},
	{
		"slippery", "Slippery floor",
		"water and ice on the floor: wipe up at once.",
		"An ice bath drips and ice melts underfoot. Keep a cloth under the bath, wipe the floor at once, carry nothing hot across it before.",
		practice,
	},
}

// CautionFor returns the caution of a hazard. A hazard that is not on record gets a caution of
// its own name.
func CautionFor(hazard string) Caution {
	for _, c := range cautions {
		if c.Code == hazard {
			return c
		}
	}
	name := strings.ReplaceAll(hazard, "-", " ")
	return Caution{hazard, upperFirst(name), "take care.", "The document marks this hazard: find out what it asks for before you start.", "The document"}
}

// hazardsOf returns the hazards of a step in the order of the table, with those that its
// equipment brings.
func hazardsOf(hazards, equipment []string) []string {
	list := slices.Clone(hazards)
	if slices.Contains(equipment, "ice-bath") {
		list = append(list, "slippery")
	}
	var out []string
	for _, c := range cautions {
		if slices.Contains(list, c.Code) {
			out = append(out, c.Code)
		}
	}
	for _, h := range list {
		if !slices.Contains(out, h) {
			out = append(out, h)
		}
	}
	return out
}
