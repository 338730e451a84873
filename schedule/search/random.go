package search

// random is splitmix64: small, seeded, and the same on every machine.
type random uint64

func newRandom(seed uint64) *random {
	r := random(mix(seed))
	return &r
}

func (r *random) next() uint64 {
	*r += 0x9e3779b97f4a7c15
	x := uint64(*r)
	x = (x ^ x>>30) * 0xbf58476d1ce4e5b9
	x = (x ^ x>>27) * 0x94d049bb133111eb
	return x ^ x>>31
}

// below returns a number from 0 to n-1, for n from 1 to 2^32.
func (r *random) below(n int) int { return int(uint64(uint32(r.next()>>32)) * uint64(n) >> 32) }
