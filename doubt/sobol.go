package doubt

import (
	"math"
	"math/bits"
	"math/rand/v2"
)

// directions are the primitive polynomials (as bit patterns) and first direction numbers of the
// second and further dimensions. Source: bib:joe-kuo-2008, file new-joe-kuo-6, the first 40
// dimensions.
var directions = [...]struct {
	poly uint32
	m    []uint32
}{
	{3, []uint32{1}},
	{7, []uint32{1, 3}},
	{11, []uint32{1, 3, 1}},
	{13, []uint32{1, 1, 1}},
	{19, []uint32{1, 1, 3, 3}},
	{25, []uint32{1, 3, 5, 13}},
	{37, []uint32{1, 1, 5, 5, 17}},
	{41, []uint32{1, 1, 5, 5, 5}},
	{47, []uint32{1, 1, 7, 11, 19}},
	{55, []uint32{1, 1, 5, 1, 1}},
	{59, []uint32{1, 1, 1, 3, 11}},
	{61, []uint32{1, 3, 5, 5, 31}},
	{67, []uint32{1, 3, 3, 9, 7, 49}},
	{91, []uint32{1, 1, 1, 15, 21, 21}},
	{97, []uint32{1, 3, 1, 13, 27, 49}},
	{103, []uint32{1, 1, 1, 15, 7, 5}},
	{109, []uint32{1, 3, 1, 15, 13, 25}},
	{115, []uint32{1, 1, 5, 5, 19, 61}},
	{131, []uint32{1, 3, 7, 11, 23, 15, 103}},
	{137, []uint32{1, 3, 7, 13, 13, 15, 69}},
	{143, []uint32{1, 1, 3, 13, 7, 35, 63}},
	{145, []uint32{1, 3, 5, 9, 1, 25, 53}},
	{157, []uint32{1, 3, 1, 13, 9, 35, 107}},
	{167, []uint32{1, 3, 1, 5, 27, 61, 31}},
	{171, []uint32{1, 1, 5, 11, 19, 41, 61}},
	{185, []uint32{1, 3, 5, 3, 3, 13, 69}},
	{191, []uint32{1, 1, 7, 13, 1, 19, 1}},
	{193, []uint32{1, 3, 7, 5, 13, 19, 59}},
	{203, []uint32{1, 1, 3, 9, 25, 29, 41}},
	{211, []uint32{1, 3, 5, 13, 23, 1, 55}},
	{213, []uint32{1, 3, 7, 3, 13, 59, 17}},
	{229, []uint32{1, 3, 1, 3, 5, 53, 69}},
	{239, []uint32{1, 1, 5, 5, 23, 33, 13}},
	{241, []uint32{1, 1, 7, 7, 1, 61, 123}},
	{247, []uint32{1, 1, 7, 9, 13, 61, 49}},
	{253, []uint32{1, 3, 3, 5, 3, 55, 33}},
	{285, []uint32{1, 3, 1, 15, 31, 13, 49, 245}},
	{299, []uint32{1, 3, 5, 15, 31, 59, 63, 97}},
	{301, []uint32{1, 3, 1, 11, 11, 11, 77, 249}},
}

const sobolDims = len(directions) + 1

// generator returns the 32 direction numbers of a dimension, from 0.
func generator(dim int) (v [32]uint32) {
	if dim == 0 {
		for i := range v {
			v[i] = 1 << (31 - i)
		}
		return v
	}
	d := directions[dim-1]
	s := bits.Len32(d.poly) - 1
	for i := range v {
		if i < s {
			v[i] = d.m[i] << (31 - i)
			continue
		}
		v[i] = v[i-s] ^ v[i-s]>>s
		for k := 1; k < s; k++ {
			if d.poly>>(s-k)&1 == 1 {
				v[i] ^= v[i-k]
			}
		}
	}
	return v
}

// sobol returns the i-th point of a dimension as 32 bits, in the order of the index itself.
func sobol(v *[32]uint32, i uint32) uint32 {
	x := uint32(0)
	for b := 0; i > 0; b, i = b+1, i>>1 {
		if i&1 == 1 {
			x ^= v[b]
		}
	}
	return x
}

// scramble permutes the digits of a point as a random tree does: each bit is turned over or not
// according to all bits above it. Source: bib:owen-1998, with the hash of bib:burley-2020.
func scramble(x, seed uint32) uint32 {
	x = bits.Reverse32(x)
	x += seed
	x ^= x * 0x6c50b47c
	x ^= x * 0xb82f1e52
	x ^= x * 0xc7afe638
	x ^= x * 0x8d22f6e6
	return bits.Reverse32(x)
}

// Scores returns n points of standard normal scores in so many dimensions, point by point: Sobol
// points scrambled by the seed, and beyond 40 dimensions stratified ones in random order. n should
// be a power of two. The same arguments give the same scores on every machine.
func Scores(n, dims int, seed uint64) []float64 {
	out := make([]float64, n*dims)
	newSequence(n, dims, seed).fill(out, 0, n)
	return out
}

// sequence is a set of points of which any part can be made on its own.
type sequence struct {
	n, dims int
	v       [][32]uint32 // by Sobol dimension
	keys    []uint32
	strata  [][]float64 // by further dimension: the scores themselves
}

func newSequence(n, dims int, seed uint64) *sequence {
	s := &sequence{n: n, dims: dims}
	rng := rand.New(rand.NewPCG(seed, 0x9e3779b97f4a7c15))
	for d := range dims {
		if d < sobolDims {
			s.v, s.keys = append(s.v, generator(d)), append(s.keys, rng.Uint32())
			continue
		}
		z := make([]float64, n)
		for i, k := range rng.Perm(n) {
			z[i] = bounded((float64(k) + rng.Float64()) / float64(n))
		}
		s.strata = append(s.strata, z)
	}
	return s
}

// fill writes the scores of the points from one to another into all of them.
func (s *sequence) fill(out []float64, from, to int) {
	for d := range s.dims {
		if k := d - len(s.v); k >= 0 {
			for i := from; i < to; i++ {
				out[i*s.dims+d] = s.strata[k][i]
			}
			continue
		}
		x := sobol(&s.v[d], uint32(from)^uint32(from)>>1) // in the order of the Gray code
		for i := from; i < to; i++ {
			out[i*s.dims+d] = bounded((float64(scramble(x, s.keys[d])) + 0.5) / (1 << 32))
			x ^= s.v[d][bits.TrailingZeros32(uint32(i+1))]
		}
	}
}

// bounded is Score kept within eight standard deviations.
func bounded(p float64) float64 { return math.Max(-8, math.Min(8, Score(p))) }
