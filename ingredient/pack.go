package ingredient

import (
	_ "embed" // the table is part of the program
	"encoding/binary"
	"math"

	"chablon/material"
	"chablon/unit"
)

// packed is the content of the reviewable files table.csv, names.csv, traits.csv, portions.csv
// and yields.csv in a form that is read in well under a millisecond. It holds no fact of its
// own: a test makes it anew from those files and compares every byte.
//
//go:generate go test -run TestPackedIsFresh . -update
//go:embed builtin.pack
var packed string

// A packed table is, in this order: the number of texts, every different text once with its
// length before it, the number of ingredients, and each of these as unpacker.ingredient reads
// it. Counts, lengths and the numbers of texts are unsigned varints, figures are the eight
// bytes of a float64, least byte first.
type unpacker struct {
	rest  string
	texts []string
}

// Bits of the byte that tells which figures an ingredient has.
const (
	packBulk = 1 << iota
	packUnlimited
	packDensity
	packEnergy
	packRefuse
)

// unpack reads a packed table. The data are part of the program and tested with it: where they
// are broken it panics.
func unpack(data string) []*Ingredient {
	u := unpacker{rest: data}
	u.texts = make([]string, u.count())
	for n := range u.texts {
		size := u.count()
		u.texts[n], u.rest = u.rest[:size], u.rest[size:]
	}
	all := make([]Ingredient, u.count())
	out := make([]*Ingredient, len(all))
	for n := range all {
		u.ingredient(&all[n])
		out[n] = &all[n]
	}
	return out
}

func (u *unpacker) ingredient(i *Ingredient) {
	i.ID, i.Name, i.Description, i.Group = u.text(), u.text(), u.text(), u.text()
	i.Source, i.SourceKind, i.Derived, i.DensitySource = u.text(), u.text(), u.text(), u.text()
	i.Aliases, i.Allergens, i.MayContain = u.list(), u.list(), u.list()
	has := u.count()
	i.Bulk, i.Unlimited = has&packBulk != 0, has&packUnlimited != 0
	if has&packDensity != 0 {
		i.Density = unit.Density(u.figure())
	}
	if has&packEnergy != 0 {
		i.Energy = Figure{u.figure(), true}
	}
	if has&packRefuse != 0 {
		i.Refuse = Figure{u.figure(), true}
	}
	for known, k := u.count(), material.Component(0); known != 0; known, k = known>>1, k+1 {
		if known&1 != 0 {
			i.Composition.Set(k, u.figure())
		}
	}
	i.Portions = make([]Portion, u.count())
	for n := range i.Portions {
		i.Portions[n] = Portion{Measure: u.text(), Mass: unit.Mass(u.figure()), Source: u.text(), SourceKind: u.text()}
	}
	i.Yields = make([]Yield, u.count())
	for n := range i.Yields {
		i.Yields[n] = Yield{
			Process: u.text(), From: u.text(), To: u.text(), Kept: u.figure(), Low: u.figure(), High: u.figure(),
			ByVolume: u.count() == 1, Source: u.text(), SourceKind: u.text(), Note: u.text(),
		}
	}
	i.Traits = make([]Trait, u.count())
	for n := range i.Traits {
		i.Traits[n] = Trait{Name: u.text(), Value: u.figure(), Source: u.text()}
	}
}

func (u *unpacker) count() int {
	v, shift := 0, 0
	for n := 0; ; n++ {
		b := u.rest[n]
		v |= int(b&0x7f) << shift
		if b < 0x80 {
			u.rest = u.rest[n+1:]
			return v
		}
		shift += 7
	}
}

func (u *unpacker) text() string { return u.texts[u.count()] }

func (u *unpacker) list() []string {
	n := u.count()
	if n == 0 {
		return nil
	}
	out := make([]string, n)
	for k := range out {
		out[k] = u.text()
	}
	return out
}

func (u *unpacker) figure() float64 {
	var b [8]byte
	copy(b[:], u.rest[:8])
	u.rest = u.rest[8:]
	return math.Float64frombits(binary.LittleEndian.Uint64(b[:]))
}
