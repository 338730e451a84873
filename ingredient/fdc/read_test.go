package fdc_test

import (
	"bytes"
	"errors"
	"fmt"
	"math"
	"runtime"
	"slices"
	"strings"
	"testing"
	"time"

	"chablon/ingredient"
	"chablon/ingredient/fdc"
	"chablon/material"
)

func collect(t *testing.T, zip *bytes.Reader) (map[string]ingredient.Ingredient, []string, fdc.Report) {
	t.Helper()
	got := map[string]ingredient.Ingredient{}
	var order []string
	report, err := fdc.Read(zip, zip.Size(), func(i ingredient.Ingredient) error {
		got[i.ID] = i
		order = append(order, i.ID)
		return nil
	})
	if err != nil {
		t.Fatal(err)
	}
	return got, order, report
}

func TestRead(t *testing.T) {
	t.Parallel()
	got, order, report := collect(t, pack(t, small()))
	if want := []string{"fdc-171304", "fdc-2346404", "fdc-1097512"}; !slices.Equal(order, want) {
		t.Fatalf("foods %v, want %v, the order of food.csv", order, want)
	}
	butter := got["fdc-171304"]
	if butter.Name != `Butter, without "salt"` || butter.Group != "dairy_and_egg_products" || butter.SourceKind != "published" ||
		butter.Source != "USDA FoodData Central 171304 (SR Legacy)" {
		t.Errorf("butter is %+v", butter)
	}
	for _, tt := range []struct { // by hand from the rows: g/100 g, mg/100 g, and 60 IU * 0.025 = 1.5 µg/100 g
		id   string
		k    material.Component
		want float64
	}{
		{"fdc-171304", material.Water, 0.1794},
		{"fdc-171304", material.Fat, 0.8111},
		{"fdc-171304", material.Sodium, 11e-5},
		{"fdc-171304", material.Cholesterol, 215e-5},
		{"fdc-171304", material.VitaminD, 1.5e-8},
		{"fdc-2346404", material.Protein, 0.262},
		{"fdc-1097512", material.Protein, 0.033}, // nutrient_id is the nutrient number here
	} {
		if v, known := got[tt.id].Composition.Share(tt.k); !known || math.Abs(v-tt.want) > 1e-12*tt.want {
			t.Errorf("%s: %v = %v, known %v; want %v", tt.id, tt.k, v, known, tt.want)
		}
	}
	for id, k := range map[string]material.Component{"fdc-171304": material.Protein, "fdc-2346404": material.Carbohydrate, "fdc-1097512": material.Fat} {
		if v, known := got[id].Composition.Share(k); known || v != 0 {
			t.Errorf("%s: %v = %v is known; its row is empty, negative or missing", id, k, v)
		}
	}
	// 957 stands before kJ; butter has 208; milk has neither.
	for id, want := range map[string]ingredient.Figure{"fdc-171304": {Value: 717, Known: true}, "fdc-2346404": {Value: 622, Known: true}, "fdc-1097512": {}} {
		if got[id].Energy != want {
			t.Errorf("%s: energy %+v, want %+v", id, got[id].Energy, want)
		}
	}
	for _, tt := range []struct { // by hand: 22 g in a quarter of a cup; 30.5 g in two tablespoons
		id      string
		at      int
		measure string
		grams   float64
	}{
		{"fdc-171304", 0, `pat (1" sq, 1/3" high)`, 5},
		{"fdc-171304", 1, "cup", 227},
		{"fdc-2346404", 0, "cup, sifted", 88},
		{"fdc-1097512", 0, "tablespoons", 15.25},
	} {
		p := got[tt.id].Portions
		if len(p) <= tt.at || p[tt.at].Measure != tt.measure || math.Abs(p[tt.at].Mass.Grams()-tt.grams) > 1e-9 {
			t.Errorf("%s: portions %+v; want number %d to be %s of %v g", tt.id, p, tt.at, tt.measure, tt.grams)
		}
	}
	if n := len(got["fdc-1097512"].Portions); n != 1 {
		t.Errorf("milk has %d portions, want 1: the quantity of the other is not specified", n)
	}
	skipped := 0
	for _, n := range report.Skipped {
		skipped += n
	}
	if report.Foods != 3 || skipped != 3 || report.Warnings != 2 || len(report.Notes) != 5 {
		t.Errorf("report %+v; want 3 foods, 3 skipped, 2 warnings", report)
	}
	all := fmt.Sprint(report.Notes)
	for _, want := range []string{
		"food.csv line 3: sub_sample_food is a sample", "food.csv line 6: branded foods are left out", "food.csv line 7: has no figures",
		"food_nutrient.csv line 11: fdc_id 2346404, nutrient 1005, amount -0.3 is below zero", "food_portion.csv line 6: fdc_id 1097512: the portion has no name",
	} {
		if !strings.Contains(all, want) {
			t.Errorf("notes %v do not say %q", all, want)
		}
	}
}

// A better figure counts whichever comes first: kcal of 208 before 957 and kJ, µg before IU.
func TestRanks(t *testing.T) {
	t.Parallel()
	rows := []string{`"1","171304","1062","3000"`, `"2","171304","1008","717"`, `"3","171304","2047","700"`, `"4","171304","1110","60"`, `"5","171304","1114","2"`}
	for range 2 {
		slices.Reverse(rows)
		files := small()
		files["food_nutrient.csv"] = "id,fdc_id,nutrient_id,amount\n" + strings.Join(rows, "\n")
		got, _, _ := collect(t, pack(t, files))
		i := got["fdc-171304"]
		if i.Energy.Value != 717 || math.Abs(i.Composition.At(material.VitaminD)-2e-8) > 1e-20 {
			t.Errorf("energy %v and vitamin D %v, want 717 and 2e-8", i.Energy, i.Composition.At(material.VitaminD))
		}
	}
	files := small()
	files["food_nutrient.csv"] = "id,fdc_id,nutrient_id,amount\n" + `"1","171304","1062","3000"` + "\n"
	got, _, _ := collect(t, pack(t, files))
	if e := got["fdc-171304"].Energy; math.Abs(e.Value-717.0172) > 1e-4 { // 3000 / 4.184
		t.Errorf("3000 kJ are %v kcal, want 717.0172", e.Value)
	}
}

// The order of the rows of food_nutrient.csv does not change what is read.
func TestUnsorted(t *testing.T) {
	t.Parallel()
	sorted, order, _ := collect(t, generated(t, 300, false))
	mixed, mixedOrder, _ := collect(t, generated(t, 300, true))
	if len(sorted) != 300 || !slices.Equal(order, mixedOrder) {
		t.Fatalf("%d foods sorted, %d mixed, want 300 in the same order", len(sorted), len(mixed))
	}
	for id, i := range sorted {
		if fmt.Sprint(mixed[id]) != fmt.Sprint(i) {
			t.Errorf("%s differs: %+v, mixed %+v", id, i, mixed[id])
		}
	}
}

// More foods than one batch takes are all read, in their order, each with its own figure.
func TestBatches(t *testing.T) {
	t.Parallel()
	const foods = 45_000 // three batches
	var food, figures strings.Builder
	food.WriteString("fdc_id,data_type,description\n")
	figures.WriteString("fdc_id,nutrient_id,amount\n")
	for k := range foods {
		fmt.Fprintf(&food, "%d,sr_legacy_food,Food\n", k+1)
		fmt.Fprintf(&figures, "%d,1003,%d\n", foods-k, (foods-k)%100) // the last food first
	}
	files := small()
	files["food.csv"], files["food_nutrient.csv"] = food.String(), figures.String()
	zip := pack(t, files)
	next := 0
	_, err := fdc.Read(zip, zip.Size(), func(i ingredient.Ingredient) error {
		next++
		if want := fmt.Sprint("fdc-", next); i.ID != want || math.Abs(100*i.Composition.At(material.Protein)-float64(next%100)) > 1e-9 {
			return fmt.Errorf("%s with %v of protein, want %s with %d %%", i.ID, i.Composition.At(material.Protein), want, next%100)
		}
		return nil
	})
	if err != nil || next != foods {
		t.Errorf("%d foods, %v; want %d", next, err, foods)
	}
}

func TestReadErrors(t *testing.T) {
	t.Parallel()
	change := func(file, from, to string) map[string]string {
		files := small()
		if !strings.Contains(files[file], from) {
			t.Fatalf("%s does not hold %q", file, from)
		}
		files[file] = strings.Replace(files[file], from, to, 1)
		return files
	}
	for _, tt := range []struct {
		name  string
		files map[string]string
		want  []string
	}{
		{"a word for a figure", change("food_nutrient.csv", `"17.94"`, `"much"`), []string{"food_nutrient.csv line 2", "amount", "much", "must be a number"}},
		{"not a number", change("food_nutrient.csv", `"81.11"`, `"NaN"`), []string{"food_nutrient.csv line 3", "NaN"}},
		{"no food number", change("food_nutrient.csv", `"534358"`, `"x"`), []string{"food_nutrient.csv line 15", "fdc_id", `"x"`}},
		{"no nutrient number", change("food_nutrient.csv", `"1051"`, `"-1"`), []string{"food_nutrient.csv line 2", "nutrient_id", `"-1"`}},
		{"food without number", change("food.csv", `"171304"`, `""`), []string{"food.csv line 2", "fdc_id"}},
		{"weight of a portion", change("food_portion.csv", `"227"`, `"1e999"`), []string{"food_portion.csv line 2", "gram_weight", "1e999"}},
		{"unit", change("nutrient.csv", `"MG","307"`, `"LB","307"`), []string{"nutrient.csv line 9", "unit_name", "LB", "307"}},
		{"column", change("food_nutrient.csv", `"nutrient_id"`, `"nutrient"`), []string{"food_nutrient.csv line 1", "nutrient_id"}},
		{"short row", change("food.csv", `,"2019-04-01"`, ``), []string{"food.csv line 2", "fields"}},
		{"quote", change("food.csv", `"Hummus, sample"`, `"Hummus" sample"`), []string{"food.csv line 3"}},
		{"empty file", change("measure_unit.csv", small()["measure_unit.csv"], ""), []string{"measure_unit.csv", "empty"}},
		{"long row", change("food.csv", "Hummus", strings.Repeat("Hummus", 300_000)), []string{"food.csv", "1 MB"}},
		{"bomb", change("food_nutrient.csv", "\n\"1\"", strings.Repeat("\n\"1\",\"1\",\"1\",\"1\",\"\",\"\",\"\",\"\",\"\",\"\",\"\"", 800_000)+"\n\"1\""), []string{"food_nutrient.csv", "unpacks to more than"}},
		{"missing file", map[string]string{"food.csv": "x"}, []string{"nutrient.csv", "not in the zip"}},
	} {
		zip := pack(t, tt.files)
		_, err := fdc.Read(zip, zip.Size(), func(ingredient.Ingredient) error { return nil })
		var own *fdc.Error
		if err == nil || !errors.As(err, &own) {
			t.Errorf("%s: error %v, want an *Error", tt.name, err)
			continue
		}
		for _, w := range tt.want {
			if !strings.Contains(err.Error(), w) {
				t.Errorf("%s: error %q does not say %q", tt.name, err, w)
			}
		}
	}
	if _, err := fdc.Read(strings.NewReader("no zip"), 6, nil); err == nil || !strings.Contains(err.Error(), "not a zip") {
		t.Errorf("no zip: %v", err)
	}
	zip, stop := pack(t, small()), errors.New("stop")
	if report, err := fdc.Read(zip, zip.Size(), func(ingredient.Ingredient) error { return stop }); !errors.Is(err, stop) || report.Foods != 1 {
		t.Errorf("visit's error: %v after %d foods, want stop after 1", err, report.Foods)
	}
}

// Units, portions and categories may be missing.
func TestReadWithoutTheRest(t *testing.T) {
	t.Parallel()
	files := small()
	for _, name := range []string{"measure_unit.csv", "food_category.csv", "food_portion.csv"} {
		delete(files, name)
	}
	got, _, report := collect(t, pack(t, files))
	if i := got["fdc-171304"]; len(got) != 3 || i.Group != "" || len(i.Portions) != 0 || report.Warnings != 4 {
		t.Errorf("%d foods, group %q, %d portions, %d warnings; want 3, none, none and 4", len(got), i.Group, len(i.Portions), report.Warnings)
	}
}

// watched notes the largest heap while a zip is read.
type watched struct {
	*bytes.Reader
	reads int
	most  uint64
}

func (w *watched) ReadAt(p []byte, off int64) (int, error) {
	if w.reads++; w.reads%16 == 0 {
		var m runtime.MemStats
		runtime.ReadMemStats(&m)
		w.most = max(w.most, m.HeapAlloc)
	}
	return w.Reader.ReadAt(p, off)
}

// 8,000 foods with 700,000 figures, the size of SR Legacy, rows mixed, stay within 150 MB of
// heap, the packed file included. The speed is logged, since it depends on the machine.
func TestMemory(t *testing.T) {
	if testing.Short() {
		t.Skip("reads a large file")
	}
	zip := generated(t, 8000, true)
	runtime.GC()
	w := &watched{Reader: zip}
	start := time.Now()
	report, err := fdc.Read(w, zip.Size(), func(ingredient.Ingredient) error { return nil })
	took := time.Since(start)
	if err != nil || report.Foods != 8000 {
		t.Fatalf("%d foods, %v; want 8000", report.Foods, err)
	}
	if w.reads < 100 || // too few to have seen the peak
		w.most == 0 || w.most > 150<<20 {
		t.Errorf("at most %d MB of heap, seen at %d reads; want less than 150", w.most>>20, w.reads)
	}
	t.Logf("%d MB of heap, %.0f foods/s", w.most>>20, 8000/took.Seconds())
}

func BenchmarkRead(b *testing.B) {
	zip := generated(b, 8000, false)
	for b.Loop() {
		if _, err := fdc.Read(zip, zip.Size(), func(ingredient.Ingredient) error { return nil }); err != nil {
			b.Fatal(err)
		}
	}
	b.ReportMetric(8000*float64(b.N)/b.Elapsed().Seconds(), "foods/s")
}

// Whatever stands in the files, reading ends in foods with sound figures or in an *Error.
func FuzzRead(f *testing.F) {
	s := small()
	f.Add(s["food.csv"], s["nutrient.csv"], s["food_nutrient.csv"], s["food_portion.csv"])
	f.Add("fdc_id,data_type,description\n1,sr_legacy_food,x\n", "id,unit_name,nutrient_nbr\n1,G,203\n", "fdc_id,nutrient_id,amount\n1,1,1e308\n", "fdc_id,gram_weight,amount,seq_num,modifier\n1,5,1e-300,9e99,cup\n")
	f.Add("\ufefffdc_id,data_type,description\n1,foundation_food,\"\xff\"\n", "", "a\n\"", "")
	f.Fuzz(func(t *testing.T, food, nutrient, figures, portions string) {
		files := small()
		files["food.csv"], files["nutrient.csv"], files["food_nutrient.csv"], files["food_portion.csv"] = food, nutrient, figures, portions
		zip := pack(t, files)
		_, err := fdc.Read(zip, zip.Size(), sound(t))
		var own *fdc.Error
		if err != nil && !errors.As(err, &own) {
			t.Errorf("error %T %v", err, err)
		}
	})
}

// sound reports figures that no food can have.
func sound(t *testing.T) func(ingredient.Ingredient) error {
	return func(i ingredient.Ingredient) error {
		for _, k := range material.Components() {
			if v := i.Composition.At(k); !(v >= 0 && v <= 1) {
				t.Errorf("%s: %v = %v", i.ID, k, v)
			}
		}
		if !(i.Energy.Value >= 0 && i.Energy.Value < 1000) || i.Name == "" {
			t.Errorf("%s: energy %v, name %q", i.ID, i.Energy, i.Name)
		}
		for _, p := range i.Portions {
			if g := p.Mass.Grams(); !(g > 0) || math.IsInf(g, 0) || p.Measure == "" {
				t.Errorf("%s: portion %+v", i.ID, p)
			}
		}
		return nil
	}
}
