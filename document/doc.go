// Package document reads and writes what the cook keeps: the kitchen, ingredients, prices,
// stock, formulas, moulds, assemblies, orders, issued days and records, in YAML and JSON.
//
// The kinds are plain structs whose tags are the published form; the reader, the writer and
// the JSON Schema all follow them, so that they cannot disagree:
//
//	doc:"name[,required][,short]"  name in the file; required: present and not empty;
//	                               short: a scalar in place of the struct sets this field
//	dim:"mass volume"              dimensions that a quantity may have; for a Figure, of its
//	                               value and spread; "any" for all
//	enum, pattern, min, max        accepted values; for a list, of its items
//	help                           description in the schema
//
// Reading is strict. A field, a value or a unit that is not known is an error that names the
// document, the field, what was found and what is accepted, with line and column; all problems
// of a file are reported together. A quantity keeps the text that was written. Nothing here
// follows references from one document to another.
package document
