package mould_test

import (
	"encoding/csv"
	"math"
	"os"
	"strconv"
	"strings"
	"testing"

	"chablon/mould"
	"chablon/unit"
)

const mm = unit.Millimetre

// ok returns a test helper's value and fails the test on an error.
func ok[T any](t testing.TB, v T, err error) T {
	t.Helper()
	if err != nil {
		t.Fatal(err)
	}
	return v
}

// readTable returns the rows of a file of testdata by column name.
func readTable(t *testing.T, name string) []map[string]string {
	t.Helper()
	f, err := os.Open("testdata/" + name)
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	rows, err := csv.NewReader(f).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	var out []map[string]string
	for _, row := range rows[1:] {
		m := map[string]string{}
		for i, column := range rows[0] {
			m[column] = row[i]
		}
		out = append(out, m)
	}
	return out
}

// parameters reads "d=160; h=45"; what is not a number is left out.
func parameters(text string) map[string]float64 {
	out := map[string]float64{}
	for part := range strings.SplitSeq(text, ";") {
		key, value, _ := strings.Cut(strings.TrimSpace(part), "=")
		if v, err := strconv.ParseFloat(value, 64); err == nil {
			out[key] = v
		}
	}
	return out
}

// solidOf builds the solid that a row of geometry.csv describes, by our own constructors.
func solidOf(t *testing.T, row map[string]string) mould.Solid {
	t.Helper()
	p := parameters(row["parameters"])
	l := func(key string) unit.Length { return unit.Length(p[key]) * mm }
	var s mould.Solid
	var err error
	switch row["solid"] {
	case "cylinder", "coat over unmoulded cylinder":
		h := l("h")
		if h == 0 {
			h = 100 * mm // a level asked for: any ring that is high enough
		}
		s, err = mould.Ring(l("d"), h)
	case "box":
		h := l("h")
		if h == 0 {
			h = 100 * mm
		}
		s, err = mould.Frame(l("a"), l("b"), h, 0, 0)
	case "truncated cone":
		s, err = mould.Round(l("d_top"), l("d_bottom"), l("h"))
	case "half sphere", "half sphere, rim up", "coat over half sphere":
		s, err = mould.Dome(l("d"), 0)
	case "sphere":
		r := l("d") / 2
		s, err = mould.NewTurned([]mould.ProfilePoint{{}, {R: r, Z: r, Arc: r}, {R: 0, Z: 2 * r, Arc: r}})
	case "spherical cap":
		if d := l("d_rim"); d > 0 {
			s, err = mould.Dome(d, l("h"))
			break
		}
		r, h := l("R"), l("h")
		s, err = mould.Dome(2*unit.Length(math.Sqrt(float64(2*r*h-h*h))), h)
	case "spherical zone":
		s, err = mould.Dome(2*l("R"), 0)
	case "rounded rectangle prism":
		s, err = mould.Frame(l("a"), l("b"), l("h"), l("r"), 0)
	case "rounded rectangle with draft":
		s, err = mould.Frame(l("a_top"), l("b_top"), l("h"), l("r_top"), l("inset_at_bottom"))
	case "rectangle with draft":
		s, err = mould.Tapered(mould.Rectangle(l("a_top"), l("b_top"), 0), mould.Rectangle(l("a_bottom"), l("b_bottom"), 0), l("h"))
	case "turned profile: flat bottom, quarter arc, straight wall":
		r, c := l("R"), l("r_corner")
		s, err = mould.NewTurned([]mould.ProfilePoint{{}, {R: r - c}, {R: r, Z: c, Arc: c}, {R: r, Z: l("h")}})
	case "turned polyline":
		var points []mould.ProfilePoint
		for pair := range strings.FieldsSeq(strings.TrimPrefix(row["parameters"], "points=(r;z) ")) {
			r, z, _ := strings.Cut(strings.Trim(pair, "()"), ";")
			points = append(points, mould.ProfilePoint{R: unit.Length(number(t, r)) * mm, Z: unit.Length(number(t, z)) * mm})
		}
		s, err = mould.NewTurned(points)
	case "cylinder with half sphere bottom":
		r := l("d") / 2
		s, err = mould.NewTurned([]mould.ProfilePoint{{}, {R: r, Z: r, Arc: r}, {R: r, Z: l("h_total")}})
	case "ring with lining":
		r, in := l("d_ring")/2, l("d_ring")/2-l("lining_t")
		s, err = mould.NewTurned([]mould.ProfilePoint{{R: in}, {R: in, Z: l("lining_h")}, {R: r, Z: l("lining_h")}, {R: r, Z: l("h")}})
	case "square pyramid, truncated": // standing on its small side
		base, top := l("side_base"), l("side_top")
		s, err = mould.Frame(base, base, l("h"), 0, (base-top)/2)
	case "cube with rounded vertical edges":
		s, err = mould.Frame(l("side"), l("side"), l("h"), l("r"), 0)
	case "outline, polygon with arcs (stadium)":
		a, r := l("length")/2-l("width")/2, l("width")/2
		s, err = prism(t, l("h"))(mould.NewOutline([]mould.OutlinePoint{{X: -a, Y: -r, Bulge: r}, {X: a, Y: -r}, {X: a, Y: r, Bulge: r}, {X: -a, Y: r}}))
	case "half torus (savarin), flat side up", "half torus (savarin), filled from the round side", "torus, full":
		s, err = mould.NewSavarin(l("D_centre_line"), l("r_tube"), 0)
	case "tube, straight walls":
		outer, e := mould.Ring(l("D"), l("h"))
		s, err = mould.NewTube(ok(t, outer, e), []mould.ProfilePoint{{R: l("d_tube") / 2}, {R: l("d_tube") / 2, Z: l("h")}})
	case "tube, tapered":
		outer, e := mould.Round(l("D_top"), l("D_bottom"), l("h"))
		s, err = mould.NewTube(ok(t, outer, e), []mould.ProfilePoint{{R: l("t_bottom") / 2}, {R: l("t_top") / 2, Z: l("h")}})
	case "fluted tube pan, linear taper":
		outer, e := mould.NewFlutes(2*l("R_top"), 2*l("R_bottom"), l("h"), l("a"), int(p["k"]))
		s, err = mould.NewTube(ok(t, outer, e), []mould.ProfilePoint{{R: l("tube_bottom")}, {R: l("tube_top"), Z: l("h")}})
	case "hexagonal prism":
		flats := l("across_flats")
		if flats == 0 {
			flats = l("side") * unit.Length(math.Sqrt(3))
		}
		s, err = prism(t, l("h"))(mould.RegularPolygon(6, flats, 0))
	case "regular octagonal prism":
		s, err = prism(t, l("h"))(mould.RegularPolygon(8, l("across_flats"), 0))
	case "elliptic prism":
		s, err = prism(t, l("h"))(mould.Ellipse(l("major"), l("minor")))
	case "fluted prism r(t) = R + a cos(k t)":
		s, err = prism(t, l("h"))(mould.Fluted(2*l("R"), l("a"), int(p["k"])))
	case "log: half cylinder on straight walls", "log, round side down":
		s, err = mould.RoundLog(l("width"), l("height"), l("width")/2, l("length"))
	case "log: flat arc top on straight walls":
		length := l("length")
		if length == 0 {
			length = 100 * mm // only its developed width is asked for
		}
		s, err = mould.RoundLog(l("width"), l("arc_rise")+l("wall"), l("arc_rise"), length)
	case "triangular log":
		s, err = mould.NewLog([]mould.ProfilePoint{{}, {R: l("width") / 2, Z: l("height")}}, l("length"))
	case "heart: square and two half discs":
		s, err = prism(t, l("h"))(mould.Heart(l("side")))
	case "ring sector (petit-four slice)":
		s, err = prism(t, l("h"))(mould.Sector(l("d"), p["angle_deg"]))
	case "ellipsoid, half (quenelle mould)":
		rim, e := mould.Ellipse(l("a"), l("b"))
		s, err = mould.NewBowl(ok(t, rim, e), l("h"))
	case "outline, polygon":
		var points []mould.OutlinePoint
		list, _, _ := strings.Cut(strings.TrimPrefix(row["parameters"], "points="), "; h=")
		for pair := range strings.FieldsSeq(list) {
			x, y, _ := strings.Cut(strings.Trim(pair, "()"), ";")
			points = append(points, mould.OutlinePoint{X: unit.Length(number(t, x)) * mm, Y: unit.Length(number(t, y)) * mm})
		}
		s, err = prism(t, l("h"))(mould.NewOutline(points))
	default:
		t.Fatalf("%s: no solid for %q", row["id"], row["solid"])
	}
	return ok(t, s, err)
}

// prism makes the solid of an outline, 100 mm high where no height is said.
func prism(t *testing.T, h unit.Length) func(o mould.Outline, err error) (mould.Solid, error) {
	return func(o mould.Outline, err error) (mould.Solid, error) {
		if h == 0 {
			h = 100 * mm
		}
		return mould.NewPrism(ok(t, o, err), h, 0)
	}
}

func number(t *testing.T, s string) float64 {
	t.Helper()
	v, err := strconv.ParseFloat(s, 64)
	return ok(t, v, err)
}

// capacity is the whole volume in millilitres.
func capacity(s mould.Solid) float64 { return s.Below(s.Height()).Millilitres() }

func wholeWall(s mould.Solid) float64 { return s.Wall(0, s.Height()).SquareCentimetres() }

// TestGeometry computes every row of testdata/geometry.csv with this package. Each row states
// the textbook formula from which its expected value was computed apart, to 15 digits.
func TestGeometry(t *testing.T) {
	t.Parallel()
	rows := readTable(t, "geometry.csv")
	if len(rows) != 100 {
		t.Fatalf("geometry.csv has %d rows, want 100", len(rows))
	}
	for _, row := range rows {
		t.Run(row["id"], func(t *testing.T) {
			p := parameters(row["parameters"])
			l := func(key string) unit.Length { return unit.Length(p[key]) * mm }
			ring := func(d, h unit.Length) float64 {
				s, err := mould.Ring(d, h)
				return capacity(ok(t, s, err))
			}
			grownBy := func(s mould.Solid) float64 {
				g, err := s.Grown(l("t"))
				return capacity(ok(t, g, err)) - capacity(s)
			}
			var got float64
			switch row["solid"] + " " + row["quantity"] {
			case "disc in ring with gap gap_volume":
				got = ring(l("d_ring"), l("thickness")) - ring(l("d_disc"), l("thickness"))
			case "fill round an insert volume":
				got = ring(l("d_ring"), l("h")) - ring(l("d_insert"), l("h_insert")) - ring(l("d_base"), l("h_base"))
			case "fill round a half-sphere insert volume":
				dome, err := mould.Dome(l("d_dome"), 0)
				got = capacity(ok(t, dome, err))
				insert, err := mould.Dome(l("d_insert"), 0)
				got -= capacity(ok(t, insert, err))
			case "lining of a ring length":
				got = (mould.Circle(l("d_ring")).Inset(l("t")/2).Perimeter() + l("overlap")).Millimetres()
			case "lining of a ring, outer face length length":
				got = mould.Circle(l("d_ring")).Perimeter().Millimetres()
			case "coat over unmoulded cylinder volume", "coat over half sphere volume":
				got = grownBy(solidOf(t, row))
			case "spherical cap sphere_radius": // from the wall, 2 π R h
				s := solidOf(t, row)
				got = float64(s.Wall(0, s.Height())) / (2 * math.Pi * float64(s.Height())) * 1000
			case "spherical zone volume":
				s := solidOf(t, row)
				got = (s.Below(l("z2")) - s.Below(l("z1"))).Millilitres()
			case "spherical zone lateral_area":
				got = solidOf(t, row).Wall(l("z1"), l("z2")).SquareCentimetres()
			case "torus, full volume": // twice the half
				got = 2 * capacity(solidOf(t, row))
			case "tilted cylinder level (full to lower rim) volume_lost":
				got = mould.TiltLoss(mould.Circle(l("d")), p["tilt_deg"]).Millilitres()
			case "turned polyline wall_area": // the row counts the bottom disc
				s := solidOf(t, row)
				got = wholeWall(s) + s.At(0).Area().SquareCentimetres()
			default:
				s := solidOf(t, row)
				switch row["quantity"] {
				case "volume", "inner_volume":
					got = capacity(s)
				case "lateral_area", "wall_area":
					got = wholeWall(s)
				case "lining_width":
					got = s.(*mould.Log).Developed().Millimetres()
				case "perimeter":
					got = s.At(0).Perimeter().Millimetres()
				case "level_for_volume", "surface_diameter":
					level, err := mould.Level(s, unit.Volume(p["V_ml"])*unit.Millilitre)
					got = ok(t, level, err).Millimetres()
					if row["quantity"] == "surface_diameter" {
						got = s.At(level).Width.Millimetres()
					}
				default:
					t.Fatalf("no computation of %q", row["quantity"])
				}
			}
			want := number(t, row["expected"])
			relative := number(t, strings.TrimSuffix(row["tolerance"], " relative"))
			if !(math.Abs(got-want) <= relative*want) {
				t.Errorf("%s %s, %s: got %.12g %s, want %.12g (%s)", row["solid"], row["parameters"], row["quantity"], got, row["unit"], want, row["formula"])
			}
		})
	}
}

// Rows GF-027 to GF-029 of the reference table, geometry: a ring of 180 × 45 mm holds 1145.11 ml; a layer of
// 12 mm at 350 kg/m³ in a ring of 160 mm weighs 84.446 g; what an insert of 0.35 l leaves of 1.145 l takes 437.25 g of
// mousse of 550 kg/m³.
func TestRingFigures(t *testing.T) {
	t.Parallel()
	ring := func(d, h unit.Length) unit.Volume {
		s, err := mould.Ring(d, h)
		if err != nil {
			t.Fatal(err)
		}
		return s.Below(s.Height())
	}
	grams := func(v unit.Volume, density unit.Density) float64 { return density.Mass(v).Grams() }
	for name, x := range map[string][2]float64{
		"GF-027": {ring(180*mm, 45*mm).Millilitres(), 1145.11},
		"GF-028": {grams(ring(160*mm, 12*mm), 350), 84.446},
		"GF-029": {grams(1.145*unit.Litre-0.35*unit.Litre, 550), 437.25},
	} {
		if math.Abs(x[0]-x[1]) > 0.1 {
			t.Errorf("%s: %g, want %g", name, x[0], x[1])
		}
	}
}
