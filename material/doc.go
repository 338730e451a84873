// Package material says what a mix is made of and how it behaves. It knows no ingredient and no
// formula: it starts from a Composition, the components of a food by mass, of which each may be
// unknown.
//
//   - Density and heat: Composition.Density, Composition.Thermal; Thermal.Table for a solver; Simple for a
//     food known only by its water and freezing point.
//   - Water: Composition.Activity, Composition.Freezing and Composition.BoilingPoint rest on one set
//     of equations for the activity of water in a solution. Solutes says what a composition leaves
//     open: the dextrose equivalent of glucose syrup, the kind of polyol.
//   - Sugar: Brix, density, refraction, solubility, cooking stages, sweetness, glucose syrup.
//   - Gels and foams: gelatin by bloom, proteases, overrun, folding, the weighing of a cup.
//   - Safety: lethality of a temperature record, the clock of cooling, and the tables by which the
//     code says which food needs control. They compare numbers; the local code, a licensed
//     professional and a probe thermometer decide.
//
// Every prediction names its source, range and expected error at the function. What is out of range
// gives an error that says what would be accepted; no result is NaN or infinite.
package material
