package seek_test

import (
	"math"
	"strings"
	"testing"

	"chablon/assembly"
	"chablon/document"
	"chablon/internal/demo"
	"chablon/mould"
	"chablon/plan"
	"chablon/seek"
	"chablon/unit"
)

// enough reports whether a stock of a component is enough for so many rings, from the forward chain alone: out of the
// stock there is, nothing is left to make.
func enough(book *document.Book, line plan.Line, pieces int, stock map[string]unit.Mass, component string) bool {
	job := book.Job()
	line.Pieces = pieces
	job.Orders = []plan.Order{{ID: "forward", Lines: []plan.Line{line}}}
	job.Stock = stock
	d := plan.Amounts(job)
	for i := range d.Batches {
		if d.Batches[i].Formula.ID == component {
			return false
		}
	}
	return true
}

func TestPiecesFromAComponent(t *testing.T) {
	t.Parallel()
	book := demo.Book(t)
	a := book.Assemblies["pear-cardamom-ring"]
	line := plan.Line{Assembly: a, Mould: a.Mould}
	for _, grams := range []float64{900, 3000, 7777, 40000} {
		stock := map[string]unit.Mass{"cardamom-mousse": unit.Mass(grams) * unit.Gram}
		got, err := seek.Pieces(book.Job(), line, seek.Hand{Components: stock})
		if err != nil {
			t.Fatal(err)
		}
		// Solved forward again, so many pieces are enough for, and one more is not.
		if got.Pieces > 0 && !enough(book, line, got.Pieces, stock, "cardamom-mousse") {
			t.Errorf("%v g: %d pieces take more", grams, got.Pieces)
		}
		if enough(book, line, got.Pieces+1, stock, "cardamom-mousse") {
			t.Errorf("%v g: %d pieces, but one more is there", grams, got.Pieces)
		}
		if len(got.Short) != 1 || got.Short[0].ID != "cardamom-mousse" || got.Short[0].Lacks() <= 0 {
			t.Fatalf("%v g: short of %+v, want the mousse", grams, got.Short)
		}
		// With what it lacks there is one piece more.
		stock["cardamom-mousse"] += got.Short[0].Lacks() * (1 + 1e-9)
		more, err := seek.Pieces(book.Job(), line, seek.Hand{Components: stock})
		if err != nil || more.Pieces != got.Pieces+1 {
			t.Errorf("%v g and what lacks: %d pieces, %v; want %d", grams, more.Pieces, err, got.Pieces+1)
		}
	}
}

func TestPiecesFromIngredients(t *testing.T) {
	t.Parallel()
	book := demo.Book(t)
	a := book.Assemblies["pear-cardamom-ring"]
	line := plan.Line{Assembly: a, Mould: a.Mould}
	job := book.Job()
	job.Stock = nil
	// What five rings buy, exactly.
	line.Pieces = 5
	job.Orders = []plan.Order{{ID: "five", Lines: []plan.Line{line}}}
	have := map[string]unit.Mass{}
	for _, item := range plan.Amounts(job).Purchase {
		have[item.ID] = item.Need + item.Waste
	}
	got, err := seek.Pieces(book.Job(), line, seek.Hand{Ingredients: have, Only: true})
	if err != nil || got.Pieces != 5 || len(got.Short) == 0 {
		t.Fatalf("%d pieces, short of %v, %v; want 5 and what the sixth lacks", got.Pieces, got.Short, err)
	}
	// Halve one of them: it is the first to run out.
	found := ""
	for id := range have {
		if strings.Contains(id, "pear") && strings.Contains(id, "pur") {
			found = id
		}
	}
	if found == "" {
		t.Fatalf("no purée among %v", have)
	}
	have[found] /= 3
	less, err := seek.Pieces(book.Job(), line, seek.Hand{Ingredients: have, Only: true})
	if err != nil || less.Pieces >= 5 || len(less.Short) == 0 || less.Short[0].ID != found || !less.Short[0].OfAnIngredient {
		t.Errorf("%d pieces, short of %+v, %v; want fewer, for want of %s", less.Pieces, less.Short, err, found)
	}
}

func TestMouldsFromAComponent(t *testing.T) {
	t.Parallel()
	book := demo.Book(t)
	a := book.Assemblies["pear-cardamom-ring"]
	moulds := []*mould.Mould{book.Moulds["ring-160x60"], book.Moulds["ring-200x60"]}
	got, err := seek.Moulds(book.Job(), a, moulds, assembly.SameThickness, seek.Hand{Components: map[string]unit.Mass{"cardamom-mousse": 900 * unit.Gram}})
	if err != nil || len(got) == 0 {
		t.Fatal(got, err)
	}
	for i, e := range got {
		if e.Pieces < 1 || i > 0 && e.Mould.Capacity() > got[i-1].Mould.Capacity() {
			t.Errorf("%d: %d pieces in %s, want the largest first", i, e.Pieces, e.Mould.ID)
		}
	}
	// Too little for either: what lacks least is said.
	got, err = seek.Moulds(book.Job(), a, moulds, assembly.SameThickness, seek.Hand{Components: map[string]unit.Mass{"cardamom-mousse": 100 * unit.Gram}})
	if err != nil || len(got) != 1 || got[0].Pieces != 0 || got[0].Mould.ID != "ring-160x60" || len(got[0].Short) == 0 {
		t.Errorf("%+v, %v; want the small ring and what it lacks", got, err)
	}
}

func TestPiecesRefused(t *testing.T) {
	t.Parallel()
	book := demo.Book(t)
	a := book.Assemblies["pear-cardamom-ring"]
	line := plan.Line{Assembly: a, Mould: a.Mould}
	for name, hand := range map[string]seek.Hand{
		"nothing":    {},
		"not taken":  {Components: map[string]unit.Mass{"blackberry-jelly": unit.Kilogram}},
		"negative":   {Components: map[string]unit.Mass{"cardamom-mousse": -1}},
		"no number":  {Ingredients: map[string]unit.Mass{"sugar": unit.Mass(math.NaN())}},
		"a mountain": {Ingredients: map[string]unit.Mass{"sugar": unit.Mass(math.Inf(1))}},
	} {
		if got, err := seek.Pieces(book.Job(), line, hand); err == nil {
			t.Errorf("%s: %d pieces, want an error", name, got.Pieces)
		}
	}
}
