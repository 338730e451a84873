package fdc

import (
	"io"
	"strconv"

	"chablon/ingredient"
)

// Bounds of one batch: so many foods, and so many portions of them on average.
const (
	batchFoods    = 20_000
	batchPortions = 10 * batchFoods
)

// Read reads a zip of CSV files, size bytes long, and gives each food to visit in the order of
// food.csv. An ingredient's ID is "fdc-" and the number of the food there; its figures are mass
// fractions, its energy kcal per 100 g.
//
// The Report tells what was left out and is valid also with an error. Read returns an *Error
// that names file, line, column and value where the zip is damaged, is not in the published
// layout or unpacks to far more than a published one; else the error of visit, which ends the
// reading. Foods given before an error stay given.
func Read(zip io.ReaderAt, size int64, visit func(ingredient.Ingredient) error) (Report, error) {
	r := reader{visit: visit}
	err := r.read(zip, size)
	return r.report, err
}

type reader struct {
	files      archive
	visit      func(ingredient.Ingredient) error
	report     Report
	nutrients  map[uint32]nutrient // by ID
	numbers    map[uint32]nutrient // by nutrient number, which survey files give instead
	other      map[uint32]bool     // IDs that are not wanted
	units      map[string]string
	categories map[string]string
	foods      []food // of the batch
	at         map[uint32]int
}

func (r *reader) read(zip io.ReaderAt, size int64) error {
	var err error
	if r.files, err = open(zip, size); err != nil {
		return err
	}
	if err := r.readNutrients(); err != nil {
		return err
	}
	if r.units, err = r.names("measure_unit.csv", "name"); err != nil {
		return err
	}
	if r.categories, err = r.names("food_category.csv", "description"); err != nil {
		return err
	}
	t, err := r.files.table("food.csv", "fdc_id", "data_type", "description")
	if err != nil {
		return err
	}
	defer t.close()
	for more := true; more; {
		if more, err = r.gather(t); err != nil {
			return err
		}
		if len(r.foods) == 0 {
			continue
		}
		if err := r.portions(); err != nil {
			return err
		}
		if err := r.figures(); err != nil {
			return err
		}
		if err := r.give(); err != nil {
			return err
		}
	}
	return nil
}

func (r *reader) readNutrients() error {
	r.nutrients, r.numbers, r.other = map[uint32]nutrient{}, map[uint32]nutrient{}, map[uint32]bool{}
	return r.each("nutrient.csv", []string{"id", "unit_name", "nutrient_nbr"}, mostRows, func(t *table) error {
		id, err := t.id("id")
		if err != nil {
			return err
		}
		n, known, fits := newNutrient(t.cell("nutrient_nbr"), t.cell("unit_name"))
		switch {
		case !fits:
			return t.fail("unit_name", "is no unit of nutrient "+short(t.cell("nutrient_nbr"), 20)+"; g, mg, ug, kcal or kJ is wanted")
		case !known:
			r.other[id] = true
			return nil
		}
		r.nutrients[id] = n
		if number, err := strconv.ParseUint(t.cell("nutrient_nbr"), 10, 32); err == nil {
			r.numbers[uint32(number)] = n
		}
		return nil
	})
}

// names reads a small file of IDs and names, which may be missing.
func (r *reader) names(file, column string) (map[string]string, error) {
	out := map[string]string{}
	if r.files[file] == nil {
		r.report.warn(file, 0, "is not in the zip; foods are read without it")
		return out, nil
	}
	return out, r.each(file, []string{"id", column}, mostRows, func(t *table) error {
		out[short(t.cell("id"), longestText)] = short(t.cell(column), longestText)
		return nil
	})
}

// each calls do for every row of a file, at most so many.
func (r *reader) each(file string, columns []string, most int, do func(*table) error) error {
	t, err := r.files.table(file, columns...)
	if err != nil {
		return err
	}
	defer t.close()
	for n := 0; ; n++ {
		if ok, err := t.next(); !ok {
			return err
		}
		if most > 0 && n >= most {
			return &Error{File: file, Line: t.line, Reason: "has more rows than any published one"}
		}
		if err := do(t); err != nil {
			return err
		}
	}
}

// gather takes the next batch of foods from food.csv; more is false at the end of the file.
func (r *reader) gather(t *table) (more bool, err error) {
	r.foods, r.at = r.foods[:0], make(map[uint32]int, batchFoods)
	for len(r.foods) < batchFoods {
		if ok, err := t.next(); !ok {
			return false, err
		}
		id, err := t.id("fdc_id")
		if err != nil {
			return false, err
		}
		kind, wanted := kinds[t.cell("data_type")]
		description := short(t.cell("description"), longestText)
		_, twice := r.at[id]
		switch {
		case !wanted:
			r.report.skip(t.name, t.line, refused(t.cell("data_type")))
		case description == "":
			r.report.skip(t.name, t.line, "has no description")
		case twice:
			r.report.skip(t.name, t.line, "has the fdc_id of a food before it")
		default:
			r.at[id] = len(r.foods)
			r.foods = append(r.foods, food{id: id, line: t.line, kind: kind, description: description, group: group(r.categories[t.cell("food_category_id")])})
		}
	}
	return true, nil
}

// of returns the food of the batch that a row is about, or nil.
func (r *reader) of(t *table) (*food, error) {
	id, err := t.id("fdc_id")
	if err != nil {
		return nil, err
	}
	if n, ok := r.at[id]; ok {
		return &r.foods[n], nil
	}
	return nil, nil
}

// figures goes through food_nutrient.csv for the foods of the batch.
func (r *reader) figures() error {
	return r.each("food_nutrient.csv", []string{"fdc_id", "nutrient_id", "amount"}, 0, func(t *table) error {
		f, err := r.of(t)
		if f == nil {
			return err
		}
		id, err := t.id("nutrient_id")
		if err != nil {
			return err
		}
		n, ok := r.nutrients[id]
		if !ok && !r.other[id] {
			n, ok = r.numbers[id]
		}
		amount, known, err := t.number("amount")
		if err != nil || !ok || !known {
			return err
		}
		if wrong := f.set(n, amount); wrong != "" {
			r.report.warn(t.name, t.line, "fdc_id %d, nutrient %d, amount %v %s", f.id, id, amount, wrong)
		}
		return nil
	})
}

// portions goes through food_portion.csv for the foods of the batch.
func (r *reader) portions() error {
	const file = "food_portion.csv"
	if r.files[file] == nil {
		r.report.warn(file, 0, "is not in the zip; foods are read without portions")
		return nil
	}
	total := 0
	return r.each(file, []string{"fdc_id", "gram_weight"}, 0, func(t *table) error {
		f, err := r.of(t)
		if f == nil {
			return err
		}
		grams, _, err := t.number("gram_weight")
		if err != nil {
			return err
		}
		amount, counted, err := t.number("amount")
		if err != nil {
			return err
		}
		sequence, _, err := t.number("seq_num")
		if err != nil {
			return err
		}
		if total++; total > batchPortions {
			return &Error{File: file, Line: t.line, Reason: "has more portions than any published one"}
		}
		name := r.units[t.cell("measure_unit_id")]
		if wrong := f.addPortion(int(max(-1e9, min(sequence, 1e9))), amount, counted, name, t.cell("portion_description"), t.cell("modifier"), grams); wrong != "" {
			r.report.warn(t.name, t.line, "fdc_id %d: %s", f.id, wrong)
		}
		return nil
	})
}

// give hands the batch out.
func (r *reader) give() error {
	for n := range r.foods {
		f := &r.foods[n]
		if f.figures == 0 {
			r.report.skip("food.csv", f.line, "has no figures")
			continue
		}
		r.report.Foods++
		if err := r.visit(f.ingredient()); err != nil {
			return err
		}
		f.portions = nil
	}
	return nil
}
