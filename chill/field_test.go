package chill_test

import (
	"testing"
	"time"

	"chablon/assembly"
	"chablon/chill"
	"chablon/kitchen"
	"chablon/mould"
)

func bodyOf(t testing.TB, s mould.Solid, err error, start chill.Start) *chill.Body {
	t.Helper()
	m := solid(t, s, err)
	a := &assembly.Assembly{ID: "cake", Mould: m, Layers: []assembly.Layer{{ID: "fill", Kind: assembly.Fill, Of: assembly.Component{Formula: creamy()}}}}
	b, err := chill.NewBody(a.Lay(m), start)
	if err != nil {
		t.Fatal(err)
	}
	return b
}

func TestDbgSpeed(t *testing.T) {
	s, err := mould.Ring(200*mm, 45*mm)
	for _, air := range []string{"still", "fan", "blast"} {
		b := bodyOf(t, s, err, chill.At(18, -18))
		begin := time.Now()
		a, err := b.Freeze(t.Context(), freezer(air, -20), chill.Planning)
		t.Log(air, a.Time, a.Low, a.High, a.Reached, a.Reason, err, a.Cells, time.Since(begin))
		begin = time.Now()
		a, err = b.Freeze(t.Context(), freezer(air, -20), chill.Stated)
		t.Log(air, a.Time, a.Low, a.High, a.Run.GridError, a.Run.EnergyError, err, a.Cells, time.Since(begin))
	}
	fr := kitchen.Equipment{ID: "fridge", Name: "Fridge", Kind: "refrigerator", Air: "still", Setting: 4, HasSetting: true}
	for _, h := range []float64{45, 60} {
		s, err := mould.Ring(200*mm, mm*45)
		if h == 60 {
			s, err = mould.Ring(200*mm, mm*60)
		}
		b := bodyOf(t, s, err, chill.At(-18, -18))
		for _, core := range []float64{-2, 0, 2} {
			begin := time.Now()
			_ = core
			a, err := b.Thaw(t.Context(), fr, -2, chill.Planning)
			t.Log("thaw", h, core, a.Time, a.Low, a.High, a.Reason, err, time.Since(begin))
		}
	}
}
