package sqlite_test

import (
	"context"
	"errors"
	"fmt"

	"chablon/document"
	"chablon/internal/sqlite"
	"chablon/internal/storetest/contract"
)

func ExampleStore_Put() {
	ctx := context.Background()
	store, err := sqlite.Open(":memory:", sqlite.Options{})
	if err != nil {
		fmt.Println(err)
		return
	}
	defer store.Close()

	sponge := &document.Formula{Head: document.Head{ID: "almond-sponge", Notes: "bake 12 min"}}
	fmt.Println(store.Put(ctx, sponge, contract.New))
	sponge.Notes = "bake 11 min"
	fmt.Println(store.Put(ctx, sponge, 1))
	sponge.Notes = "bake 14 min"
	_, err = store.Put(ctx, sponge, 1)
	fmt.Println(errors.Is(err, contract.ErrConflict), err)
	first, err := store.Get(ctx, "formula", "almond-sponge", 1)
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Println(first.Header().Notes)
	// Output:
	// 1 <nil>
	// 2 <nil>
	// true formula almond-sponge: the edit is based on version 1, but the latest is version 2
	// bake 12 min
}
