package chill

import (
	"encoding/binary"
	"fmt"
	"hash/fnv"
	"math"

	"chablon/assembly"
	"chablon/kitchen"
	"chablon/unit"
)

// Key identifies a body in a place by everything that an answer depends on.
func (b *Body) Key(in kitchen.Equipment, question string) string {
	h := fnv.New128a()
	number := func(list ...float64) {
		var buf [8]byte
		for _, x := range list {
			binary.LittleEndian.PutUint64(buf[:], math.Float64bits(x))
			h.Write(buf[:])
		}
	}
	fmt.Fprintf(h, "%s %s %s %s %s ", question, in.Kind, in.Air, b.section.Mould.Material, placeName(in))
	number(float64(b.portion.Wedges), float64(b.portion.Width), float64(b.portion.Depth), float64(in.Setting), in.Transfer, in.TransferLow, in.TransferHigh, float64(b.section.Top), float64(b.section.Mould.Wall))
	for z := 0; z <= 16; z++ {
		o := b.section.Mould.Solid.At(b.section.Top * unit.Length(z) / 16)
		number(float64(o.Width), float64(o.Depth), float64(o.Hole), float64(o.Area()))
	}
	for i := range b.inside {
		x := &b.inside[i]
		number(float64(x.food), float64(x.start), float64(x.lift), float64(x.height), float64(x.rank))
		for _, r := range [2]assembly.Region{x.layer.Region, x.layer.Core} {
			for k := range r.Z {
				number(float64(r.Z[k]), float64(r.In[k]), float64(r.Out[k]))
			}
		}
	}
	for _, f := range b.foods {
		number(float64(f.Density()), f.WaterFraction())
		for _, t := range []unit.Temperature{-30, -15, -5, -2, 0, 20} {
			heat := f.Heat(t)
			_, _, k, _ := f.At(heat)
			number(heat, k)
		}
	}
	return string(h.Sum(nil))
}
