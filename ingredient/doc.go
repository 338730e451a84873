// Package ingredient is the table of what a pastry cook buys: composition, density, allergens,
// household portions, yields and the traits that rules ask for, and the search that leads from
// a name as it is written in a formula to an entry.
//
// Builtin returns the product's own table; Table.With adds a kitchen's own entries or replaces
// entries of the table. Tables and their entries are not changed after they are made, so they
// may be shared between goroutines.
//
// # Names
//
// Named finds what a name means exactly, Match proposes for a whole written name, Search for one
// that is still being typed, and Ambiguous tells of words that the trade uses for different
// things, so that a reader can ask.
//
// # Files
//
// table.csv holds the composition per 100 g of edible portion, one row an ingredient, with the
// source of each row; its column names carry the unit. An empty cell is unknown, which is not
// zero. names.csv holds what an ingredient is called, traits.csv what rules must know of it
// beyond its composition, portions.csv what a measure of it weighs and yields.csv what is left
// of it after a process. All are joined by id. builtin.pack is made from these five by go
// generate and is what the program holds; a test keeps it fresh. ambiguous.csv is read as it is.
//
// Carbohydrate is by difference, fibre included. Energy is kept as the source prints it: sources
// compute it by different factors, so a label computes its own. Allergens are those of the
// typical product; they never replace the supplier's label. What a product may contain in traces
// depends on the maker, so that column is empty in this table.
//
// Package ingredient/fdc reads more foods from the downloads of FoodData Central.
//
// # Sources and licences
//
// U.S. Department of Agriculture, Agricultural Research Service: USDA National Nutrient
// Database for Standard Reference, Release 28 (slightly revised May 2016). Public domain.
// "USDA SR28 01123" names the row by its NDB number.
//
// Anses. 2020. Ciqual French food composition table, 7 July 2020. Used under the Licence
// Ouverte / Open Licence 2.0 of Etalab. "Ciqual 2020 31016" names the row by its alim_code.
// Fibre and organic acids were added to the available carbohydrate of that table.
//
// Rows of the kind "memory" are pure substances, typical trade products and calculations from
// rows of those two tables; the source cell says which. See docs/data-licences.md.
package ingredient
