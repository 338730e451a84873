package drawing_test

import (
	"fmt"
	"strings"

	"chablon/assembly"
	"chablon/drawing"
	"chablon/mould"
	"chablon/unit"
)

// A mousse on a base in a ring: the SVG says how many millimetres a unit is, and has one path for
// each layer.
func ExampleSection() {
	solid, err := mould.Ring(160*unit.Millimetre, 45*unit.Millimetre)
	if err != nil {
		fmt.Println(err)
		return
	}
	cake := &assembly.Assembly{ID: "cake", Name: "Plum cake", Layers: []assembly.Layer{
		{ID: "base", Name: "Almond base", Kind: assembly.Base, Thickness: 12 * unit.Millimetre, Of: assembly.Component{StandIn: "almond base", Density: 0.5 * unit.GramPerMillilitre}},
		{ID: "mousse", Name: "Plum mousse", Kind: assembly.Fill, Of: assembly.Component{StandIn: "plum mousse", Density: 0.8 * unit.GramPerMillilitre}},
	}}
	d := drawing.Section(cake.Lay(&mould.Mould{ID: "ring", Name: "ring of 160 mm", Solid: solid, OpenBottom: true}), drawing.Options{})
	fmt.Println(d.Title)
	fmt.Println(d.Desc)
	fmt.Println(strings.Count(string(d.SVG()), "data-layer="))
	// Output:
	// Section of Plum cake in ring of 160 mm
	// Cut through the middle: 160 mm wide, 45 mm high. From the top: Plum mousse, to 45 mm · 664 ml · 531 g; Almond base, Ø 160 × 12 mm · 121 g.
	// 2
}
