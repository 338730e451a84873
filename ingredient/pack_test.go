package ingredient

import (
	"encoding/binary"
	"flag"
	"math"
	"os"
	"testing"

	"github.com/google/go-cmp/cmp"
	"github.com/google/go-cmp/cmp/cmpopts"

	"chablon/material"
)

var update = flag.Bool("update", false, "write builtin.pack from the CSV files")

// readFiles reads the five reviewable files.
func readFiles(t testing.TB) []*Ingredient {
	t.Helper()
	var text [5]string
	for n, name := range []string{"table.csv", "names.csv", "traits.csv", "portions.csv", "yields.csv"} {
		data, err := os.ReadFile(name)
		if err != nil {
			t.Fatal(err)
		}
		text[n] = string(data)
	}
	all, err := parse(text[0], text[1], text[2], text[3], text[4])
	if err != nil {
		t.Fatal(err)
	}
	return all
}

// The packed form is what the CSV files say. Run with -update after a change of these.
func TestPackedIsFresh(t *testing.T) {
	want := readFiles(t)
	data := pack(want)
	if *update {
		if err := os.WriteFile("builtin.pack", data, 0o644); err != nil {
			t.Fatal(err)
		}
		packed = string(data)
	}
	if packed != string(data) {
		t.Error("builtin.pack is not what the CSV files say: run go generate ./ingredient")
	}
	got := unpack(string(data))
	if diff := cmp.Diff(want, got, cmpopts.EquateEmpty(), cmp.AllowUnexported(material.Composition{})); diff != "" {
		t.Errorf("packing changes the table (-csv +packed):\n%s", diff)
	}
}

// packer is the counterpart of unpacker.
type packer struct {
	out   []byte
	index map[string]int
	texts []byte
}

func pack(all []*Ingredient) []byte {
	p := packer{index: map[string]int{}}
	for _, i := range all {
		p.ingredient(i)
	}
	out := binary.AppendUvarint(nil, uint64(len(p.index)))
	out = append(out, p.texts...)
	out = binary.AppendUvarint(out, uint64(len(all)))
	return append(out, p.out...)
}

func (p *packer) ingredient(i *Ingredient) {
	p.text(i.ID, i.Name, i.Description, i.Group, i.Source, i.SourceKind, i.Derived, i.DensitySource)
	for _, list := range [][]string{i.Aliases, i.Allergens, i.MayContain} {
		p.count(len(list))
		p.text(list...)
	}
	has := 0
	for bit, is := range map[int]bool{
		packBulk: i.Bulk, packUnlimited: i.Unlimited, packDensity: i.Density != 0, packEnergy: i.Energy.Known, packRefuse: i.Refuse.Known,
	} {
		if is {
			has |= bit
		}
	}
	p.count(has)
	if i.Density != 0 {
		p.figure(float64(i.Density))
	}
	if i.Energy.Known {
		p.figure(i.Energy.Value)
	}
	if i.Refuse.Known {
		p.figure(i.Refuse.Value)
	}
	known := 0
	for _, k := range material.Components() {
		if i.Composition.Known(k) {
			known |= 1 << k
		}
	}
	p.count(known)
	for _, k := range material.Components() {
		if i.Composition.Known(k) {
			p.figure(i.Composition.At(k))
		}
	}
	p.count(len(i.Portions))
	for _, q := range i.Portions {
		p.text(q.Measure)
		p.figure(float64(q.Mass))
		p.text(q.Source, q.SourceKind)
	}
	p.count(len(i.Yields))
	for _, y := range i.Yields {
		p.text(y.Process, y.From, y.To)
		p.figure(y.Kept, y.Low, y.High)
		if y.ByVolume {
			p.count(1)
		} else {
			p.count(0)
		}
		p.text(y.Source, y.SourceKind, y.Note)
	}
	p.count(len(i.Traits))
	for _, tr := range i.Traits {
		p.text(tr.Name)
		p.figure(tr.Value)
		p.text(tr.Source)
	}
}

func (p *packer) count(n int) { p.out = binary.AppendUvarint(p.out, uint64(n)) }

func (p *packer) text(ts ...string) {
	for _, t := range ts {
		n, ok := p.index[t]
		if !ok {
			n = len(p.index)
			p.index[t] = n
			p.texts = append(binary.AppendUvarint(p.texts, uint64(len(t))), t...)
		}
		p.count(n)
	}
}

func (p *packer) figure(vs ...float64) {
	for _, v := range vs {
		p.out = binary.LittleEndian.AppendUint64(p.out, math.Float64bits(v))
	}
}

// The table is read at every start of the program. Allocations are counted, since they do not
// depend on what else the machine does; BenchmarkBuiltin gives the time.
func TestUnpackIsCheap(t *testing.T) {
	rows := len(Builtin().All())
	allocations := testing.AllocsPerRun(3, func() { unpack(packed) })
	if allocations > float64(6*rows) {
		t.Errorf("reading %d rows took %.0f allocations, want at most 6 a row", rows, allocations)
	}
}

func BenchmarkBuiltin(b *testing.B) {
	for b.Loop() {
		newTable(unpack(packed), nil)
	}
}
