package assembly_test

import (
	"fmt"
	"math"
	"math/rand/v2"
	"testing"

	"chablon/assembly"
)

// Cells of the count, in millimetres. All heights of random assemblies are whole, so that no
// horizontal face cuts a cell; only walls do.
const (
	cellXY = 2.0
	cellZ  = 1.0
)

// count returns the volume of each space in mm³, by the middles of cells. Each slice has its
// grid turned and shifted at random, so that the errors at the walls of two slices have nothing
// to do with each other.
func count(r *rand.Rand, b *built) map[string]float64 {
	out := map[string]float64{}
	a, d, _ := b.form.half(b.form.h, 0)
	far := math.Hypot(a, d) + 12
	lo, hi := -4.0, b.form.h+4
	for z := lo + cellZ/2; z < hi; z += cellZ {
		sin, cos := math.Sincos(2 * math.Pi * r.Float64())
		dx, dy := cellXY*r.Float64(), cellXY*r.Float64()
		var live []plane
		var ids []string
		for _, s := range b.spaces {
			if p := s.at(z); p != nil {
				live, ids = append(live, p), append(ids, s.id)
			}
		}
		cells := make([]int, len(live))
		for u := -far + dx; u < far; u += cellXY {
			for v := -far + dy; v < far; v += cellXY {
				if u*u+v*v > far*far {
					continue
				}
				x, y := u*cos-v*sin, u*sin+v*cos
				for i, in := range live {
					if in(x, y) {
						cells[i]++
						break
					}
				}
			}
		}
		for i, n := range cells {
			out[ids[i]] += float64(n) * cellXY * cellXY * cellZ
		}
	}
	return out
}

// The tolerance of a count: a wall of area S cuts S/(cellXY·cellZ) cells, and each errs by at
// most half its volume, evenly spread: a variance of 1/12 of the square of the cell's volume.
// Five standard deviations of the sum are allowed. A leaning or curved wall adds what the middle
// of a slice misses, below 2e-4 of the volume for slices of 1 mm.
func tolerance(s space, volume float64) float64 {
	return 5*cellXY*cellXY*cellZ*math.Sqrt(s.surface/(12*cellXY*cellZ)) + 2e-4*volume
}

func TestVolumesAgreeWithVoxels(t *testing.T) {
	t.Parallel()
	const cases = 200
	met := make([]map[string]int, cases)
	t.Run("cases", func(t *testing.T) {
		for seed := range cases {
			t.Run(fmt.Sprint(seed), func(t *testing.T) {
				t.Parallel()
				r := rand.New(rand.NewPCG(uint64(seed), 7))
				b := build(r, fmt.Sprintf("case-%d", seed), 1)
				s := b.a.Lay(b.m)
				if len(s.Findings) > 0 {
					t.Fatalf("case %d has findings though it fits: %+v\n%s", seed, s.Findings, b)
				}
				met[seed] = map[string]int{}
				compare(t, r, seed, b, s, met[seed])
			})
		}
	})
	kinds := map[string]int{}
	for _, m := range met {
		for kind, n := range m {
			kinds[kind] += n
		}
	}
	// Every kind of mould, insert and coat must have been met often.
	for _, k := range []string{"ring", "round", "frame", "dome", "nested", "turned over", "band", "glaze", "coat upright", "coat inverted", "cream", "disc"} {
		if kinds[k] < 10 {
			t.Errorf("only %d cases of %q", kinds[k], k)
		}
	}
}

func compare(t *testing.T, r *rand.Rand, seed int, b *built, s *assembly.Section, kinds map[string]int) {
	t.Helper()
	kinds[b.form.kind]++
	if got := s.Top.Millimetres(); math.Abs(got-b.top) > 1e-9 {
		t.Errorf("case %d: top %.3f mm, want %.3f\n%s", seed, got, b.top, b)
	}
	counted := count(r, b)
	for _, sp := range b.spaces {
		l, ok := s.Layer(sp.id)
		if !ok {
			t.Fatalf("no layer %s", sp.id)
		}
		kinds[sp.id]++
		if sp.id == "coat" {
			kinds[map[bool]string{true: "coat inverted", false: "coat upright"}[b.a.Inverted]]++
		}
		if l.TurnedOver {
			kinds["turned over"]++
		}
		got, want := l.Volume.Millilitres()*1000, counted[sp.id]
		if tol := tolerance(sp, want); math.Abs(got-want) > tol {
			t.Errorf("case %d, layer %s: %.0f mm³, counted %.0f, allowed difference %.0f\n%s", seed, sp.id, got, want, tol, b)
		}
		if in := b.inside[sp.id]; in != nil {
			kinds["nested"]++
			if l.Inside == nil {
				t.Fatalf("case %d: insert %s is an assembly but has no section", seed, sp.id)
			}
			compare(t, r, seed, in, l.Inside, kinds)
		}
	}
}
