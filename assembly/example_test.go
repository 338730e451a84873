package assembly_test

import (
	"fmt"

	"chablon/assembly"
	"chablon/mould"
	"chablon/unit"
)

func Example() {
	solid, err := mould.Ring(180*unit.Millimetre, 45*unit.Millimetre)
	if err != nil {
		fmt.Println(err)
		return
	}
	ring := &mould.Mould{ID: "ring-180x45", Name: "Ring", Solid: solid, Cavities: 1}
	sponge := assembly.Component{StandIn: "sponge", Density: 0.30 * unit.GramPerMillilitre}
	mousse := assembly.Component{StandIn: "mousse", Density: 0.50 * unit.GramPerMillilitre}
	cake := &assembly.Assembly{ID: "cake", Mould: ring, Layers: []assembly.Layer{
		{ID: "base", Kind: assembly.Base, Of: sponge, Thickness: 10 * unit.Millimetre, Outline: assembly.Outline{Inset: assembly.At(10 * unit.Millimetre)}},
		{ID: "mousse", Kind: assembly.Fill, Of: mousse, BelowRim: assembly.At(3 * unit.Millimetre)},
	}}
	s := cake.Lay(ring)
	for _, l := range s.Layers {
		fmt.Println(l.ID, l.Volume.Show(), l.Mass.Show())
	}
	fmt.Println(len(s.Findings), "findings")
	// Output:
	// base 201 ml 60.3 g
	// mousse 868 ml 434 g
	// 0 findings
}
