package heat

import (
	"testing"
)

// The quick estimates are asked for on every stroke of a key: at most 5 µs each.
func BenchmarkEstimate(b *testing.B) {
	m := mousse(b)
	custard := food(b, .7, .04, .08, .17, .16, .01, 0)
	egg := Ellipsoid(millimetres(40), millimetres(40), millimetres(70))
	ring, box := Cylinder(millimetres(200), millimetres(45)), Brick(millimetres(600), millimetres(400), millimetres(40))
	for name, f := range map[string]func() (Estimate, error){
		"freezing-ring":     func() (Estimate, error) { return Freezing(ring, m, 4, -15, -20, 8) },
		"freezing-near-air": func() (Estimate, error) { return Freezing(ring, m, 4, -15, -18, 8) },
		"freezing-egg":      func() (Estimate, error) { return Freezing(egg, m, 4, -15, -20, 8) },
		"cooling-egg":       func() (Estimate, error) { return Cooling(egg, custard, 60, 10, 3, 8) },
		"cooling-mousse":    func() (Estimate, error) { return Cooling(ring, m, 20, 5, 4, 8) },
		"thawing-frame":     func() (Estimate, error) { return Thawing(box, m, -20, 4, 8) },
		"freezing-frame":    func() (Estimate, error) { return Freezing(box, m, 4, -15, -35, 30) },
		"cooling-ring":      func() (Estimate, error) { return Cooling(ring, custard, 60, 10, 3, 8) },
		"cooling-frame":     func() (Estimate, error) { return Cooling(box, custard, 60, 10, 3, 8) },
		"cooling-ball":      func() (Estimate, error) { return Cooling(Sphere(millimetres(60)), custard, 60, 10, 3, 8) },
		"thawing-ring":      func() (Estimate, error) { return Thawing(ring, m, -20, 4, 8) },
	} {
		b.Run(name, func(b *testing.B) {
			b.ReportAllocs()
			for b.Loop() {
				if _, err := f(); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}
