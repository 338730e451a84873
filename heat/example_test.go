package heat_test

import (
	"errors"
	"fmt"
	"time"

	"chablon/heat"
	"chablon/material"
	"chablon/unit"
)

// A mousse ring of 180 by 45 mm goes from 4 to -18 degC at the core in a blast freezer, then the same in
// a freezer that is no colder than the target.
func ExampleFreezing() {
	var mix material.Composition
	for k, share := range map[material.Component]float64{
		material.Water: 0.58, material.Protein: 0.045, material.Fat: 0.18, material.Carbohydrate: 0.1875,
		material.Sugars: 0.16, material.Ash: 0.0075, material.Sodium: 0.0003,
	} {
		mix.Set(k, share)
	}
	mousse, err := mix.Thermal(0.45)
	if err != nil {
		fmt.Println(err)
		return
	}
	ring := heat.Cylinder(180*unit.Millimetre, 45*unit.Millimetre)
	e, err := heat.Freezing(ring, mousse.WithClosedCells(), unit.Celsius(4), unit.Celsius(-18), unit.Celsius(-35), heat.BlastFreezer.Default)
	fmt.Println(e.Time.Round(5*time.Minute), err)

	_, err = heat.Freezing(ring, mousse, unit.Celsius(4), unit.Celsius(-18), unit.Celsius(-18), heat.StillFreezer.Default)
	var never *heat.NeverError
	fmt.Println(errors.As(err, &never), err)
	// Output:
	// 1h25m0s <nil>
	// true core never reaches -18 degC in air of -18 degC: take colder surroundings or a higher target
}
