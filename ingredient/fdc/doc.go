// Package fdc reads the public downloads of FoodData Central, the food composition data of the
// U.S. Department of Agriculture, into ingredients: the zip of CSV files (SR Legacy, Foundation
// or the full download) with Read and the Foundation Foods JSON with ReadJSON.
//
// # What is read
//
// Foundation foods, SR Legacy foods and survey (FNDDS) foods, each with its figures per 100 g
// and its household portions. Left out, and counted in the Report, are samples and other
// records that are not foods, and branded foods: their figures come from rounded labels and are
// per 100 g or per 100 ml without the file of figures saying which. A figure that a food lacks
// stays unknown. Density, allergens and traits are not in these data.
//
// # Memory and order
//
// In the published files the rows of one food stand together, but nothing promises it. So Read
// takes foods in batches of batchFoods in the order of food.csv, and goes through
// food_portion.csv and food_nutrient.csv once for each batch, whatever their order. SR Legacy
// and Foundation are one batch; a file of several gigabytes is only ever streamed. Memory is
// that of one batch, some ten megabytes.
//
// # Layout
//
// Files are found by name in any folder of the zip, columns by the names in the first row; more
// files and columns may be there. The layout is from memory and from rows quoted in public:
//
//	food.csv           fdc_id, data_type, description, food_category_id
//	nutrient.csv       id, unit_name, nutrient_nbr
//	food_nutrient.csv  fdc_id, nutrient_id, amount
//	food_portion.csv   fdc_id, seq_num, amount, measure_unit_id, portion_description, modifier, gram_weight
//	measure_unit.csv   id, name
//	food_category.csv  id, description
//
// The last three files may be missing.
//
// # Licence
//
// FoodData Central is a work of the US government in the public domain (CC0 1.0); the
// Department asks to be named as the source, which the Source of each ingredient does.
package fdc
