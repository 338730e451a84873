package document_test

import (
	"strings"
	"testing"

	"chablon/document"
)

// resolveText parses and resolves one file and returns its problems, a line each.
func resolveText(text string) (*document.Book, string) {
	set, errs := document.ParseFiles([]document.File{{Name: "x.yaml", Data: []byte(text)}})
	book, more := document.Resolve(set, nil)
	var out []string
	for _, e := range append(errs, more...) {
		out = append(out, e.Error())
	}
	return book, strings.Join(out, "\n")
}

// Each bad set of documents gives one error that names the place, the field, the value and what
// to do about it.
func TestResolveProblems(t *testing.T) {
	for _, c := range []struct{ name, text, want string }{
		{"ring of no size", "kind: mould\nid: m\nring: {diameter: 0 mm, height: 45 mm}", `x.yaml:3:7: mould m, ring: ring diameter is 0 mm: a mould measures more than 0 and at most 3 m`},
		{"ring of nine metres", "kind: mould\nid: m\nring: {diameter: 9 m, height: 45 mm}", `x.yaml:3:7: mould m, ring: ring diameter is 9 m: a mould measures more than 0 and at most 3 m`},
		{"mould without a shape", "kind: mould\nid: m", `x.yaml:2:5: mould m: has no shape: give one of ring, round, frame, dome, turned, drawn, log, savarin, fluted and bowl`},
		{"mould with two shapes", "kind: mould\nid: m\nring: {diameter: 200 mm, height: 45 mm}\ndome: {diameter: 70 mm}", `x.yaml:4:7: mould m, dome: has 2 shapes: keep one of ring, round, frame, dome, turned, drawn, log, savarin, fluted and bowl`},
		{"drawn outline", "kind: mould\nid: m\ndrawn: {path: M0 0, height: 45 mm}", `x.yaml:3:8: mould m, drawn: the outline encloses nothing: give at least three points that do not lie on one line`},
		{"unknown formula", "kind: assembly\nid: a\nmould: ring-200x45\nlayers:\n  - {id: base, kind: base, of: spunge, thickness: 8 mm}\n---\nkind: formula\nid: sponge\nlines: [100 g flour]", `x.yaml:5:32: assembly a, layers[0].of: found "spunge", which is no formula on record: write sponge, or add a formula with that id`},
		{"unknown mould", "kind: assembly\nid: a\nmould: ring-200x450\nlayers: [{id: f, kind: fill, of: {stand_in: cream, density: 1 g/ml}}]", `x.yaml:3:8: assembly a, mould: found "ring-200x450", which is no mould on record: write ring-200x45, or add a mould with that id`},
		{"formula that takes itself", "kind: formula\nid: a\nlines: [{text: 100 g a, of: a}]", `x.yaml:3:9: formula a, lines[0]: found "a", which leads back to itself (formula a → formula a): take one of them out of the other`},
		{"formulas in a circle", "kind: formula\nid: a\nlines: [{text: 100 g b, of: b}]\n---\nkind: formula\nid: b\nlines: [{text: 100 g a, of: a}]", `x.yaml:7:9: formula b, lines[0]: found "a", which leads back to itself (formula a → formula b → formula a): take one of them out of the other`},
		{"assemblies in a circle", "kind: assembly\nid: a\nmould: ring-200x45\nlayers: [{id: in, kind: insert, of: {assembly: b}}]\n---\nkind: assembly\nid: b\nmould: ring-160x45\nlayers: [{id: in, kind: insert, of: {assembly: a}}]", `x.yaml:9:37: assembly b, layers[0].of: found "a", which leads back to itself (assembly a → assembly b → assembly a): take one of them out of the other`},
		{"unknown ingredient", "kind: formula\nid: c\nlines: [100 g moonlight]", `x.yaml:3:9: formula c, lines[0]: "100 g moonlight": no ingredient is called "moonlight": add an ingredient document, or say which with of`},
		{"line without an amount", "kind: formula\nid: c\nlines: [flour]", `x.yaml:3:9: formula c, lines[0]: the line "flour" has no amount that can be read ("flour" does not start with a number): write a number and a unit first, or "to taste"`},
		{"two formulas for one layer", "kind: assembly\nid: a\nmould: ring-200x45\nlayers: [{id: f, kind: fill, of: {stand_in: cream, formula: c}}]", `x.yaml:4:34: assembly a, layers[0].of: names 2 things: name one of formula, assembly, ingredient and stand_in`},
		{"bake loss of everything", "kind: formula\nid: c\nlines: [100 g flour]\nlosses: [{name: bake, share: 100 %}]", `x.yaml:4:30: formula c, losses[0].share: found "100 %", which leaves nothing: write a share below 100 %`},
		{"lag to nowhere", "kind: formula\nid: c\nlines: [100 g flour]\nsteps: [{id: mix, verb: mix}]\nlags: [{from: mix, to: bake, at_most: 5 min}]", `x.yaml:5:24: formula c, lags[0].to: found "bake", which is no step of formula c or of another document: write a step's id, or formula/step`},
		{"time zone", "kind: kitchen\nid: k\ntime_zone: Mars/Base", `x.yaml:3:12: kitchen k, time_zone: found "Mars/Base", which is no time zone: write an IANA name such as Europe/Lisbon`},
		{"order of nothing known", "kind: order\nid: o\ndue: 2026-12-05 15:00\nlines: [{assembly: cake, pieces: 1}]", `x.yaml:4:20: order o, lines[0].assembly: found "cake", which is no assembly on record: add an assembly with that id`},
	} {
		t.Run(c.name, func(t *testing.T) {
			if _, got := resolveText(c.text); got != c.want {
				t.Errorf("problems:\n%s\nwant:\n%s", got, c.want)
			}
		})
	}
}

// A stand-in component and a formula without steps are whole documents.
func TestStandInAndBareFormulaAreWhole(t *testing.T) {
	book, problems := resolveText("kind: formula\nid: sponge\ndensity: 0.35 g/ml\nlines: [100 g sugar, 100 g flour, 4 eggs]\n---\n" +
		"kind: assembly\nid: idea\nmould: ring-160x45\nlayers:\n  - {id: base, kind: base, of: sponge, thickness: 8 mm}\n  - {id: cream, kind: fill, of: {stand_in: some cream, density: 0.9 g/ml}}")
	if problems != "" {
		t.Fatal(problems)
	}
	s := book.Assemblies["idea"].Lay(book.Moulds["ring-160x45"])
	if len(s.Findings) > 0 || s.Mass() <= 0 {
		t.Errorf("mass %v, findings %v", s.Mass(), s.Findings)
	}
}

// An override of a built-in ingredient keeps the figures that it does not give.
func TestOwnIngredient(t *testing.T) {
	book, problems := resolveText("kind: ingredient\nid: house-cream\nlike: cream-35\nname: House cream\nnames: [{language: en, text: house cream}]\npacks: [1 kg]\n---\n" +
		"kind: formula\nid: c\nlines: [200 g house cream]")
	if problems != "" {
		t.Fatal(problems)
	}
	l := book.Formulas["c"].Lines[0]
	if l.Ingredient.ID != "house-cream" || len(l.Ingredient.Allergens) == 0 {
		t.Errorf("line takes %s with allergens %v, want house-cream with milk", l.Ingredient.ID, l.Ingredient.Allergens)
	}
}
