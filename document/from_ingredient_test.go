package document_test

import (
	"math"
	"testing"

	"chablon/document"
	"chablon/ingredient"
	"chablon/material"
)

// Every entry of the built-in table, written as a document, read strictly and resolved, has the
// composition and the portions it had.
func TestTableAsDocuments(t *testing.T) {
	t.Parallel()
	for _, i := range ingredient.Builtin().All() {
		docs, errs := document.Parse("x.yaml", document.MarshalYAML(document.FromIngredient(i)))
		if len(errs) > 0 || len(docs) != 1 {
			t.Errorf("%s: %v", i.ID, errs)
			continue
		}
		set := &document.Set{}
		set.Add(docs[0])
		book, errs := document.Resolve(set, nil)
		for _, e := range errs {
			t.Errorf("%s: %v", i.ID, e)
		}
		got, ok := book.Table.Get(i.ID)
		if !ok {
			t.Errorf("%s is not in the table", i.ID)
			continue
		}
		for _, k := range material.Components() {
			want, known := i.Composition.Share(k)
			have, has := got.Composition.Share(k)
			if known != has || math.Abs(have-want) > 1e-5*want {
				t.Errorf("%s: %s is %v (%v), want %v (%v)", i.ID, k, have, has, want, known)
			}
		}
	}
}
