package seek_test

import (
	"math"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"chablon/assembly"
	"chablon/mould"
	"chablon/seek"
	"chablon/unit"
)

const mm = unit.Millimetre

func ring(t testing.TB, d float64) *mould.Mould {
	t.Helper()
	s, err := mould.Ring(unit.Length(d)*mm, 45*mm)
	if err != nil {
		t.Fatal(err)
	}
	name := unit.Number(d, 0)
	return &mould.Mould{ID: "ring-" + name, Name: "Ring " + name, Solid: s, Cavities: 1}
}

// plain is a ring filled with one mix, 0.8 g/ml, shared by volume.
func plain(t testing.TB, portion unit.Volume) *assembly.Assembly {
	t.Helper()
	of := assembly.Component{StandIn: "mix", Density: 0.8 * unit.GramPerMillilitre}
	return &assembly.Assembly{
		ID: "plain", Name: "Plain", Mould: ring(t, 180), Portions: assembly.Portions{Rule: "wedges", Volume: portion},
		Layers: []assembly.Layer{{ID: "base", Kind: assembly.Base, Of: of, Thickness: 10 * mm}, {ID: "fill", Kind: assembly.Fill, Of: of}},
	}
}

// Serve is compared with trying every number of every mould.
func TestServeIsTheBestThereIs(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(r *rapid.T) {
		a := plain(t, 120*unit.Millilitre)
		var owned []seek.Owned
		var portions []int
		for _, d := range rapid.SliceOfNDistinct(rapid.SampledFrom([]float64{120, 140, 160, 180, 200, 220, 240}), 1, 3, rapid.ID).Draw(r, "rings") {
			o := seek.Owned{Mould: ring(t, d), Count: rapid.IntRange(1, 4).Draw(r, "count")}
			owned = append(owned, o)
			portions = append(portions, int(math.Pi*d*d/4*45/120000+1e-9))
		}
		guests := rapid.IntRange(1, 80).Draw(r, "guests")
		best, fewest := 1<<30, 1<<30
		var try func(i, served, pieces int)
		try = func(i, served, pieces int) {
			if i == len(owned) {
				if served >= guests && (served < best || served == best && pieces < fewest) {
					best, fewest = served, pieces
				}
				return
			}
			for c := range owned[i].Count + 1 {
				try(i+1, served+c*portions[i], pieces+c)
			}
		}
		try(0, 0, 0)
		got, err := seek.Serve(a, guests, owned, assembly.SameThickness, nil)
		if best == 1<<30 {
			if err == nil {
				r.Fatalf("%+v, but the moulds do not suffice", got)
			}
			return
		}
		if err != nil {
			r.Fatal(err)
		}
		pieces, mass := 0, unit.Mass(0)
		for _, f := range got[0].Moulds {
			pieces += f.Pieces
			mass += f.Each * unit.Mass(f.Pieces)
		}
		if got[0].Portions != best || pieces != fewest || got[0].Spare != best-guests || math.Abs(float64(mass-got[0].Mass)) > 1e-9 {
			r.Fatalf("%+v; want %d portions of %d pieces", got[0], best, fewest)
		}
	})
}

func TestServeSaysWhatLacks(t *testing.T) {
	t.Parallel()
	a := plain(t, 120*unit.Millilitre)
	// One ring of 180 gives nine portions.
	_, err := seek.Serve(a, 12, []seek.Owned{{Mould: a.Mould, Count: 1}}, assembly.SameThickness, nil)
	if err == nil || !strings.Contains(err.Error(), "9 of 12 guests") || !strings.Contains(err.Error(), "25 %") {
		t.Errorf("%v; want that 9 of 12 are served and the portions 25 %% smaller", err)
	}
	for name, bad := range map[string]int{"none": 0, "a city": 1 << 20} {
		if _, err := seek.Serve(a, bad, []seek.Owned{{Mould: a.Mould}}, assembly.SameThickness, nil); err == nil {
			t.Errorf("%s: no error", name)
		}
	}
	if _, err := seek.Serve(a, 5, nil, assembly.SameThickness, nil); err == nil {
		t.Error("no mould, and no error")
	}
}
