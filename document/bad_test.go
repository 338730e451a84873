package document

import (
	"slices"
	"testing"
)

// Openings of a formula and of a kitchen without fault.
const (
	f = "kind: formula\nid: x\n"
	k = "kind: kitchen\nid: home\n"
)

// Every mistake is named with its place, what was found and what to write.
func TestBadInput(t *testing.T) {
	cases := []struct {
		file, data string
		want       []string
	}{
		{"day.yaml", "kind: formula\nid: almond-sponge\ndensity: 0.5 oz\n", []string{
			`day.yaml:3:10: formula almond-sponge, density: found "0.5 oz", which is a mass: write a density in g/ml or kg/m³`,
		}},
		{"x.yaml", f + "densty: 0.5 g/ml\n", []string{
			`x.yaml:3:1: formula x, densty: no such field: write density`,
		}},
		{"x.yaml", f + "colour: red\n", []string{
			`x.yaml:3:1: formula x, colour: no such field: write kind, id, version, schema, name, notes, pictures, accepted, type, egg_size, base, lines, groups, steps, lags, losses, air, density, holds, least_batch, most_batch, made_in, whole or reusable`,
		}},
		{"x.yaml", "id: x\n", []string{
			`x.yaml:1:1: kind: missing: write kitchen, ingredient, price, stock, formula, mould, assembly, order, day or record`,
		}},
		{"x.yaml", "kind: formla\nid: x\n", []string{
			`x.yaml:1:7: kind: found "formla", which is no kind of document: write formula`,
		}},
		{"x.yaml", "kind: recipe\nid: x\n", []string{
			`x.yaml:1:7: kind: found "recipe", which is no kind of document: write kitchen, ingredient, price, stock, formula, mould, assembly, order, day or record`,
		}},
		{"x.yaml", "kind: formula\n", []string{
			`x.yaml:1:1: formula, id: missing: write lower-case letters, digits and single hyphens, such as almond-sponge`,
		}},
		{"x.yaml", "kind: formula\nid: Almond Sponge\n", []string{
			`x.yaml:2:5: formula, id: found "Almond Sponge": write lower-case letters, digits and single hyphens, such as almond-sponge`,
		}},
		{"x.yaml", "kind: formula\nid: 12\n", []string{
			`x.yaml:2:5: formula, id: found 12, which is no text: write it in quotes`,
		}},
		{"x.yaml", "kind: formula\nid:\n", []string{
			`x.yaml:2:5: formula, id: found nothing: write lower-case letters, digits and single hyphens, such as almond-sponge`,
		}},
		{"x.yaml", f + "id: y\n", []string{
			`x.yaml:3:1: formula x, id: written twice: keep one of the two`,
		}},
		{"x.yaml", f + "schema: 2\n", []string{
			`x.yaml:3:9: formula x, schema: found 2, which is newer than 1, the latest that this program reads: read it with a newer version of the program`,
		}},
		{"x.yaml", f + "version: -1\n", []string{
			`x.yaml:3:10: formula x, version: found -1: write a whole number of 0 or more`,
		}},
		{"x.yaml", f + "version: 1.5\n", []string{
			`x.yaml:3:10: formula x, version: found 1.5: write a whole number of 0 or more`,
		}},
		{"x.yaml", f + "whole: yes\n", []string{
			`x.yaml:3:8: formula x, whole: found "yes": write true or false`,
		}},
		{"x.yaml", f + "name: 12\n", []string{
			`x.yaml:3:7: formula x, name: found 12, which is no text: write it in quotes`,
		}},
		{"x.yaml", f + "lines: 125 g almond flour\n", []string{
			`x.yaml:3:8: formula x, lines: found "125 g almond flour": write a list`,
		}},
		{"x.yaml", f + "groups:\n  - name: Sponge\n    lines:\n      - 125 g almond flour\n      - txt: 2 eggs\n", []string{
			`x.yaml:7:9: formula x, groups[0].lines[1].txt: no such field: write text`,
			`x.yaml:7:9: formula x, groups[0].lines[1].text: missing: write a text`,
		}},
		{"x.yaml", f + "groups:\n  - name: Sponge\n    lines: []\n", []string{
			`x.yaml:5:12: formula x, groups[0].lines: empty: write a list of at least one`,
		}},
		{"x.yaml", f + "egg_size: large\n", []string{
			`x.yaml:3:11: formula x, egg_size: found "large": write us-medium, us-large, us-extra-large, eu-s, eu-m, eu-l or eu-xl`,
		}},
		{"x.yaml", f + "made_in: bowls\n", []string{
			`x.yaml:3:10: formula x, made_in: found "bowls": write bowl`,
		}},
		{"x.yaml", f + "density: [1, 2]\n", []string{
			`x.yaml:3:10: formula x, density: found a list: write a density in g/ml or kg/m³, or a group of the fields value, low, high, covers, scope, from or source`,
		}},
		{"x.yaml", f + "density:\n  value: 0.5 g/ml\n  low: 400\n", []string{
			`x.yaml:5:8: formula x, density.low: found 400, which has no unit: write a density in g/ml or kg/m³`,
		}},
		{"x.yaml", f + "density:\n  low: 0.4 g/ml\n", []string{
			`x.yaml:4:3: formula x, density.value: missing: write a density in g/ml or kg/m³`,
		}},
		{"x.yaml", f + "least_batch: -200 g\n", []string{
			`x.yaml:3:14: formula x, least_batch: found "-200 g", which is below zero: write a mass or a volume in mg, g, kg, oz, lb, ml, cl, dl, L, tsp, tbsp, fl oz, cup, pint, quart or gallon`,
		}},
		{"x.yaml", f + "least_batch: 1,250 g\n", []string{
			`x.yaml:3:14: formula x, least_batch: found "1,250 g": "1,250" may be thousands or thousandths: write 1250 or 1.250`,
		}},
		{"x.yaml", f + "least_batch: much\n", []string{
			`x.yaml:3:14: formula x, least_batch: found "much", which does not start with a number: write a mass or a volume in mg, g, kg, oz, lb, ml, cl, dl, L, tsp, tbsp, fl oz, cup, pint, quart or gallon`,
		}},
		{"x.yaml", f + "least_batch: 3 blips\n", []string{
			`x.yaml:3:14: formula x, least_batch: found "3 blips", which has the unknown unit "blips": write a mass or a volume in mg, g, kg, oz, lb, ml, cl, dl, L, tsp, tbsp, fl oz, cup, pint, quart or gallon`,
		}},
		{"x.yaml", f + "steps:\n  - verb: 3\n    id: a\n    active: {per_kg: 1 mm}\n    hazards: [steam, fire]\n", []string{
			`x.yaml:4:11: formula x, steps[0].verb: found 3, which is no text: write it in quotes`,
			`x.yaml:6:22: formula x, steps[0].active.per_kg: found "1 mm", which is a length: write a time in s, min, h or d`,
			`x.yaml:7:22: formula x, steps[0].hazards[1]: found "fire": write raw-egg, cooling, hot-sugar, torch, allergen, alcohol, cold-burn, steam, blade or hot-surface`,
		}},
		{"x.yaml", f + "least_batch: 1000001 kg\n", []string{
			`x.yaml:3:14: formula x, least_batch: found "1000001 kg", which is more than 1000 t: write a mass or a volume in mg, g, kg, oz, lb, ml, cl, dl, L, tsp, tbsp, fl oz, cup, pint, quart or gallon`,
		}},
		{"x.yaml", f + "least_batch: .inf\n", []string{
			`x.yaml:3:14: formula x, least_batch: found ".inf", which does not start with a number: write a mass or a volume in mg, g, kg, oz, lb, ml, cl, dl, L, tsp, tbsp, fl oz, cup, pint, quart or gallon`,
		}},
		{"x.yaml", f + "air:\n  overrun: 120\n", []string{
			`x.yaml:4:12: formula x, air.overrun: found 120, which is more than the whole: write a share such as 12 %, or a number from 0 to 1`,
		}},
		{"x.yaml", f + "air:\n  specific_gravity: 0.45 g/ml\n", []string{
			`x.yaml:4:21: formula x, air.specific_gravity: found "0.45 g/ml", which is a density: write a number without a unit, of zero or more`,
		}},
		{"x.yaml", f + "losses:\n  - name: bake\n    share: 12 g\n", []string{
			`x.yaml:5:12: formula x, losses[0].share: found "12 g", which is a mass: write a share such as 12 %, or a number from 0 to 1`,
		}},
		{"x.yaml", f + "steps:\n  - id: bake\n    verb: bake\n    active: 3 g\n", []string{
			`x.yaml:6:13: formula x, steps[0].active: found "3 g", which is a mass: write a time in s, min, h or d`,
		}},
		{"x.yaml", f + "holds:\n  - place: freezer\n    quality: 11 years\n  - place: freezer\n    quality: 4000 d\n", []string{
			`x.yaml:5:14: formula x, holds[0].quality: found "11 years", which has the unknown unit "years": write a time in s, min, h or d`,
			`x.yaml:7:14: formula x, holds[1].quality: found "4000 d", which is more than 10 years: write a time in s, min, h or d`,
		}},
		{"x.yaml", f + "lags:\n  - from: [bake]\n    to: {step: fill, at: middle}\n", []string{
			`x.yaml:4:11: formula x, lags[0].from: found a list: write a text, or a group of the fields step or at`,
			`x.yaml:5:26: formula x, lags[0].to.at: found "middle": write start or end`,
		}},
		{"x.yaml", k + "room: 22\n", []string{
			`x.yaml:3:7: kitchen home, room: found 22, which has no unit: write a temperature in °C or °F`,
		}},
		{"x.yaml", k + "room: -300 °C\n", []string{
			`x.yaml:3:7: kitchen home, room: found "-300 °C", which is below absolute zero: write a temperature in °C or °F`,
		}},
		{"x.yaml", k + "altitude: -2 m\n", []string{
			`x.yaml:3:11: kitchen home, altitude: found "-2 m", which is below zero: write a length in mm, cm, m or in`,
		}},
		{"x.yaml", k + "altitude: 1200 m\n", []string{
			`x.yaml:3:11: kitchen home, altitude: found "1200 m", which is more than 1 km: write a length in mm, cm, m or in`,
		}},
		{"x.yaml", k + "hourly_cost: .nan\n", []string{
			`x.yaml:3:14: kitchen home, hourly_cost: found ".nan": write a number of 0 or more`,
		}},
		{"x.yaml", k + "people:\n  - id: ana\n    shifts:\n      - from: 7.30\n        to: \"25:00\"\n", []string{
			`x.yaml:6:15: kitchen home, people[0].shifts[0].from: found 7.30, which is no text: write it in quotes`,
			`x.yaml:7:13: kitchen home, people[0].shifts[0].to: found "25:00": write a clock time such as 07:30`,
		}},
		{"x.yaml", k + "equipment:\n  - id: o\n    kind: oven\n    count: 0\n", []string{
			`x.yaml:6:12: kitchen home, equipment[0].count: found 0: write a whole number from 1 to 1000`,
		}},
		{"x.yaml", "kind: price\nid: p\ningredient: egg@0\npack: 1 min\nprice: 4 EUR\nfrom: 2026-02-30\n", []string{
			`x.yaml:3:13: price p, ingredient: found "egg@0": write the id of a document, such as almond-sponge, or with its version almond-sponge@3`,
			`x.yaml:4:7: price p, pack: found "1 min", which is a time: write a mass, a volume or a bare number in mg, g, kg, oz, lb, ml, cl, dl, L, tsp, tbsp, fl oz, cup, pint, quart or gallon`,
			`x.yaml:5:8: price p, price: found "4 EUR": write a decimal number such as 4.20`,
			`x.yaml:6:7: price p, from: found "2026-02-30": write a date such as 2026-12-05`,
		}},
		{"x.yaml", "kind: order\nid: o\ndue: 2026-12-05\nlines: []\n", []string{
			`x.yaml:3:6: order o, due: found "2026-12-05": write a day and time such as 2026-12-05 18:00`,
			`x.yaml:4:8: order o, lines: empty: write a list of at least one`,
		}},
		{"x.yaml", f + "notes: &n text\nname: *n\n", []string{
			`x.yaml:3:8: found "&", which is an anchor of YAML and is not read here: write the value out, or put a text into quotes`,
			`x.yaml:4:7: found "*", which is an alias of YAML and is not read here: write the value out, or put a text into quotes`,
		}},
		{"x.yaml", f + "notes: !!str text\n", []string{
			`x.yaml:3:8: found "!!str", which is a tag of YAML and is not read here: write the value out, or put a text into quotes`,
		}},
		{"x.yaml", f + "<<: {name: x}\n", []string{
			`x.yaml:3:1: found "<<", which is a merge key of YAML and is not read here: write the value out, or put a text into quotes`,
		}},
		{"x.yaml", f + "? name\n: x\n", []string{
			`x.yaml:3:1: found "?", which is a complex key of YAML and is not read here: write the value out, or put a text into quotes`,
		}},
		{"x.yaml", f + "name: a: b\n", []string{
			`x.yaml:3:7: not YAML, mapping value is not allowed in this context: check indentation, and put texts with : # or quotes into double quotes`,
		}},
		{"x.yaml", f + "lines: [a\n", []string{
			`x.yaml:3:8: not YAML, sequence end token ']' not found: check indentation, and put texts with : # or quotes into double quotes`,
		}},
		{"x.yaml", "a note\n", []string{
			`x.yaml:1:1: found "a note", which is no document: write a document that starts with its kind and id`,
		}},
		{"x.yaml", "kind: formula\nid: x\n---\nkind: formula\nid: x\n", []string{
			`x.yaml:5:5: formula x, id: found "x", which is already taken at x.yaml:2:5: give each formula an id of its own`,
		}},
		{"x.yaml", "# nothing yet\n", []string{
			`x.yaml:1:1: the file holds no document: write a document that starts with its kind and id`,
		}},
		{"x.yaml", "---\n---\nkind: formula\nid: X\n", []string{
			`x.yaml:4:5: formula, id: found "X": write lower-case letters, digits and single hyphens, such as almond-sponge`,
		}},
		{"x.yaml", "", []string{
			`x.yaml:1:1: the file is empty: write a document that starts with its kind and id`,
		}},
		{"x.yaml", "kind: formula\nid: caf\xe9\n", []string{
			`x.yaml:2:8: not UTF-8 text: save the file as UTF-8 text`,
		}},
		{"x.yaml", "kind: formula\nid: a\x00\n", []string{
			`x.yaml:2:6: a NUL byte, which no text has: save the file as UTF-8 text`,
		}},
		{"x.json", `{"kind":"formula","id":"x","density":"0.5 oz"}`, []string{
			`x.json:1:38: formula x, density: found "0.5 oz", which is a mass: write a density in g/ml or kg/m³`,
		}},
		{"x.json", "{\n  \"kind\": \"formula\",\n  \"id\": \"x\",\n  \"name\": \"é\", \"nme\": 1\n}", []string{
			`x.json:4:16: formula x, nme: no such field: write name`,
		}},
		{"x.json", `{"kind":"formula","id":"x","id":"x"}`, []string{
			`x.json:1:28: formula x, id: written twice: keep one of the two`,
		}},
		{"x.json", `{"kind":"formula","id":"x",}`, []string{
			`x.json:1:28: found "}", which is no field name: write the name in double quotes`,
		}},
		{"x.json", `{"kind":"formula","id":"x"`, []string{
			`x.json:1:27: no end of the field: write , or }`,
		}},
		{"x.json", `{"kind":"formula","id":"x"} {}`, []string{
			`x.json:1:29: found "{", which is text after the end of the JSON value: put several documents into one list: [ … ]`,
		}},
		{"x.json", `{"kind":"formula","id":"x}`, []string{
			`x.json:1:24: a text without its closing quote: write " at its end, and \n for a new line in it`,
		}},
		{"x.json", `{"kind":"formula","id":'x'}`, []string{
			`x.json:1:24: found "'", which is no JSON value: write "text", a number, true, false, [ … ] or { … }`,
		}},
		{"x.json", `{"kind":"formula","id":"\q"}`, []string{
			`x.json:1:24: found "\q", which is no JSON text: write control characters as \n or \t, and a backslash as \\`,
		}},
		{"x.json", `{"kind":"formula","id":01}`, []string{
			`x.json:1:24: found 01, which is no JSON number: write it as 0.5 or 12`,
		}},
		{"x.json", `{"kind":"formula","id":"x","name":null}`, []string{
			`x.json:1:35: formula x, name: found nothing: write a text, or leave the field out`,
		}},
		{"x.json", `{"kind":"formula","id":"x","name":"a\u0000b"}`, []string{
			`x.json:1:35: formula x, name: found "a\x00b", which has a control character: take it out`,
		}},
		{"x.json", `[{"kind":"formula","id":"x"},{"kind":"formula","id":"x"}]`, []string{
			`x.json:1:53: formula x, id: found "x", which is already taken at x.json:1:25: give each formula an id of its own`,
		}},
		{"x.json", `[1]`, []string{
			`x.json:1:2: found 1, which is no document: write a document that starts with its kind and id`,
		}},
		{"x.json", `{"kind":"record","id":"r","when":"2026-12-05 18:00","of":{},"what":"weighed","value":"-5 g"}`, []string{
			`x.json:1:58: record r, of: empty: write a group of the fields day, batch, step or piece`,
			`x.json:1:86: record r, value: found "-5 g", which is below zero: write a number with its unit, such as 250 g, 12 mm or 4 °C`,
		}},
		{"x.json", `{"kind":"kitchen","id":"home","hourly_cost":1e400}`, []string{
			`x.json:1:45: kitchen home, hourly_cost: found 1e400: write a number of 0 or more`,
		}},
		{"x.json", `{"kind":"mould","id":"m","ring":{"diameter":180,"height":"45 mm"}}`, []string{
			`x.json:1:45: mould m, ring.diameter: found 180, which has no unit: write a length in mm, cm, m or in`,
		}},
		{"x", `{"kind":"mould"}`, []string{
			`x:1:1: mould, id: missing: write lower-case letters, digits and single hyphens, such as almond-sponge`,
		}},
	}
	for _, c := range cases {
		_, errs := Parse(c.file, []byte(c.data))
		var got []string
		for _, e := range errs {
			got = append(got, e.Error())
		}
		if !slices.Equal(got, c.want) {
			t.Errorf("%s %q:\ngot  %q\nwant %q", c.file, c.data, got, c.want)
		}
	}
}
