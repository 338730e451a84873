// Package examples carries the demo documents into the program.
package examples

import (
	"embed"
	"io/fs"
)

//go:embed saturday/*.yaml
var saturday embed.FS

// Saturday returns the documents of the demo: a two-person kitchen that prepares a Saturday
// tasting, as YAML files.
func Saturday() fs.FS {
	sub, err := fs.Sub(saturday, "saturday")
	if err != nil {
		panic("examples: " + err.Error()) // the folder is embedded above
	}
	return sub
}
