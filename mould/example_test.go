package mould_test

import (
	"fmt"
	"testing"

	"chablon/mould"
	"chablon/unit"
)

func Example() {
	ring, err := mould.Ring(160*unit.Millimetre, 45*unit.Millimetre)
	if err != nil {
		fmt.Println(err)
		return
	}
	level, err := mould.Level(ring, 500*unit.Millilitre)
	if err != nil {
		fmt.Println(err)
		return
	}
	coated, err := ring.Grown(2 * unit.Millimetre)
	if err != nil {
		fmt.Println(err)
		return
	}
	whole := ring.Below(ring.Height())
	glaze := coated.Below(coated.Height()) - whole
	insert := mould.Circle(120 * unit.Millimetre)

	fmt.Println("holds", whole.Show())
	fmt.Println("500 ml stand", level.Show(), "high")
	fmt.Println("a coat of 2 mm takes", glaze.Show())
	fmt.Println("round a 120 mm insert there is a gap of", ring.At(level).Clearance(insert).Show())

	_, err = mould.Level(ring, 1200*unit.Millilitre)
	fmt.Println(err != nil)
	// Output:
	// holds 905 ml
	// 500 ml stand 24.9 mm high
	// a coat of 2 mm takes 88 ml
	// round a 120 mm insert there is a gap of 20 mm
	// true
}

// benchSolids are a closed form, an arc off the axis and a wall that leans.
func benchSolids(b *testing.B) map[string]mould.Solid {
	b.Helper()
	ring, err := mould.Ring(180*mm, 45*mm)
	ok(b, ring, err)
	rounded, err := mould.NewTurned([]mould.ProfilePoint{{R: 65 * mm}, {R: 80 * mm, Z: 15 * mm, Arc: 15 * mm}, {R: 80 * mm, Z: 45 * mm}})
	ok(b, rounded, err)
	frame, err := mould.Frame(330*mm, 230*mm, 51*mm, 25*mm, 6*mm)
	ok(b, frame, err)
	return map[string]mould.Solid{"ring": ring, "rounded": rounded, "frame": frame}
}

func BenchmarkBelow(b *testing.B) {
	for name, s := range benchSolids(b) {
		b.Run(name, func(b *testing.B) {
			b.ReportAllocs()
			for b.Loop() {
				s.Below(10 * mm)
			}
		})
	}
}

func BenchmarkLevel(b *testing.B) {
	for name, s := range benchSolids(b) {
		b.Run(name, func(b *testing.B) {
			b.ReportAllocs()
			v := s.Below(10 * mm)
			for b.Loop() {
				if _, err := mould.Level(s, v); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}
