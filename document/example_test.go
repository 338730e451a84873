package document_test

import (
	"fmt"

	"chablon/document"
)

func ExampleParse() {
	docs, errs := document.Parse("sponge.yaml", []byte(`
kind: formula
id: almond-sponge
lines:
  - 125 g almond flour
  - 4 eggs
density: 0.5 oz
---
kind: mould
id: ring-18
ring: {diameter: 18 cm, height: 45 mm}
`))
	for _, e := range errs {
		fmt.Println(e)
	}
	fmt.Printf("%s", document.MarshalYAML(docs[0]))
	// Output:
	// sponge.yaml:7:10: formula almond-sponge, density: found "0.5 oz", which is a mass: write a density in g/ml or kg/m³
	// kind: mould
	// id: ring-18
	// ring:
	//   diameter: 18 cm
	//   height: 45 mm
}
