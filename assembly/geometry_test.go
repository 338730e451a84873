package assembly_test

import (
	"encoding/csv"
	"math"
	"os"
	"strconv"
	"strings"
	"testing"

	"chablon/assembly"
	"chablon/cutting"
	"chablon/mould"
	"chablon/unit"
)

// TestGeometry lays what each row of testdata/geometry.csv describes. A row states the textbook
// formula from which its expected value was computed apart, to 15 digits; all of them allow a
// relative 1e-9.
func TestGeometry(t *testing.T) {
	t.Parallel()
	f, err := os.Open("testdata/geometry.csv")
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	rows, err := csv.NewReader(f).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	if len(rows) != 14 {
		t.Fatalf("geometry.csv has %d rows, want a heading and 13", len(rows))
	}
	for _, row := range rows[1:] {
		t.Run(row[0], func(t *testing.T) {
			p := map[string]unit.Length{}
			for part := range strings.SplitSeq(row[2], ";") {
				key, value, _ := strings.Cut(strings.TrimSpace(part), "=")
				v, err := strconv.ParseFloat(value, 64)
				if err != nil {
					t.Fatal(err)
				}
				p[key] = unit.Length(v) * mm
			}
			want, err := strconv.ParseFloat(row[4], 64)
			if err != nil {
				t.Fatal(err)
			}
			got := rowValue(t, row[0], p)
			if math.Abs(got-want) > 1e-9*want {
				t.Errorf("%s: got %.15g %s, want %.15g", row[7], got, row[5], want)
			}
		})
	}
}

func rowValue(t *testing.T, id string, p map[string]unit.Length) float64 {
	t.Helper()
	of := assembly.Component{StandIn: "mix", Density: unit.GramPerMillilitre}
	lay := func(m *mould.Mould, inverted bool, layers ...assembly.Layer) *assembly.Section {
		t.Helper()
		for i := range layers {
			layers[i].Of = of
		}
		s := (&assembly.Assembly{ID: id, Mould: m, Inverted: inverted, Layers: layers}).Lay(m)
		if len(s.Findings) > 0 {
			t.Fatal(s.Findings)
		}
		return s
	}
	volume := func(s *assembly.Section, layer string) float64 {
		t.Helper()
		l, ok := s.Layer(layer)
		if !ok {
			t.Fatalf("no layer %s", layer)
		}
		if math.Abs(float64(l.Mass)-float64(l.Volume)*1000) > 1e-12 {
			t.Errorf("%v of 1 g/ml weigh %v", l.Volume, l.Mass)
		}
		return l.Volume.Millilitres()
	}
	fill := assembly.Layer{ID: "fill", Kind: assembly.Fill}
	circle := func(d unit.Length) assembly.Outline { return assembly.Outline{Own: mould.Circle(d)} }
	switch id {
	case "G082":
		m := ring(t, p["d_ring"], 45*mm)
		fill.Level = assembly.At(p["thickness"])
		return volume(lay(m, false, assembly.Layer{ID: "disc", Kind: assembly.Base, Thickness: p["thickness"], Outline: circle(p["d_disc"])}, fill), "fill")
	case "G083":
		insert := assembly.Layer{ID: "insert", Kind: assembly.Insert, MadeIn: ring(t, p["d_insert"], p["h_insert"])}
		base := assembly.Layer{ID: "base", Kind: assembly.Base, Thickness: p["h_base"], Outline: circle(p["d_base"])}
		return volume(lay(ring(t, p["d_ring"], p["h"]), false, base, insert, fill), "fill")
	case "G084":
		insert := assembly.Layer{ID: "insert", Kind: assembly.Insert, MadeIn: dome(t, p["d_insert"]), Level: assembly.At(p["d_dome"] / 2)}
		return volume(lay(dome(t, p["d_dome"]), true, fill, insert), "fill")
	case "G085":
		band := assembly.Layer{ID: "band", Kind: assembly.Band, Thickness: p["lining_t"], BandHeight: p["lining_h"]}
		return volume(lay(ring(t, p["d_ring"], p["h"]), false, band, fill), "fill")
	case "G086", "G087", "G088", "G089":
		band := assembly.Layer{ID: "band", Kind: assembly.Band, Thickness: p["t"], BandHeight: 20 * mm, Overlap: p["overlap"]}
		l, _ := lay(ring(t, p["d_ring"], 45*mm), false, band).Layer("band")
		if id == "G089" { // the outer face touches the wall all round
			return l.Plan.Perimeter().Millimetres()
		}
		return l.StripLength.Millimetres()
	case "G090": // as many strips as it takes
		band := assembly.Layer{ID: "band", Kind: assembly.Band, Thickness: p["t"], BandHeight: 20 * mm}
		l, _ := lay(ring(t, p["d_ring"], 45*mm), false, band).Layer("band")
		return float64(cutting.Strips(l.StripLength, p["strip"], p["overlap"]))
	case "G091", "G092":
		cone, err := mould.Round(p["d_top"], p["d_bottom"], p["h"])
		s := lay(solid(t, "cone", cone, err), false, assembly.Layer{ID: "band", Kind: assembly.Band, Thickness: 5 * mm, BandHeight: p["h"]})
		l, _ := s.Layer("band")
		strip := s.Strip(l)
		if id == "G091" {
			return strip.Angle * 180 / math.Pi
		}
		return (strip.Radius + strip.Height).Millimetres()
	case "G093":
		coat := assembly.Layer{ID: "coat", Kind: assembly.Coat, Way: "pour", Film: p["t"]}
		m := ring(t, p["d"], p["h"])
		up, over := volume(lay(m, false, fill, coat), "coat"), volume(lay(m, true, fill, coat), "coat")
		if math.Abs(up-over) > 1e-9*up {
			t.Errorf("upright %v, inverted %v: a cylinder is the same either way", up, over)
		}
		return over
	case "G094":
		coat := assembly.Layer{ID: "coat", Kind: assembly.Coat, Way: "dip", Film: p["t"]}
		return volume(lay(dome(t, p["d"]), true, fill, coat), "coat")
	}
	t.Fatalf("no case for %s", id)
	return 0
}

func ring(t testing.TB, d, h unit.Length) *mould.Mould {
	t.Helper()
	s, err := mould.Ring(d, h)
	return solid(t, "ring", s, err)
}

func dome(t testing.TB, d unit.Length) *mould.Mould {
	t.Helper()
	s, err := mould.Dome(d, 0)
	return solid(t, "dome", s, err)
}

func solid(t testing.TB, id string, s mould.Solid, err error) *mould.Mould {
	t.Helper()
	if err != nil {
		t.Fatal(err)
	}
	return &mould.Mould{ID: id, Name: id, Solid: s, Cavities: 1}
}
