package psplib

import (
	"bytes"
	"fmt"
	"io"
	"path"
	"slices"
	"strings"
)

// Endings are the file name endings that Read knows, in lower case.
var Endings = []string{".sm", ".mm", ".rcp", ".sch", ".jss", ".json"}

// Read reads a file in the format that the ending of its name says, or, if that is none of
// Endings, in the one that its content shows.
func Read(name string, r io.Reader) (*Instance, error) {
	ending := strings.ToLower(path.Ext(name))
	if !slices.Contains(Endings, ending) {
		data, err := io.ReadAll(r)
		if err != nil {
			return nil, err
		}
		if ending = guess(data); ending == "" {
			return nil, fmt.Errorf("line 1: the format is not clear; give the file one of the endings %s", strings.Join(Endings, " "))
		}
		r = bytes.NewReader(data)
	}
	switch ending {
	case ".rcp":
		return ReadPatterson(r)
	case ".sch":
		return ReadProGenMax(r)
	case ".jss":
		return ReadJobShop(r)
	case ".json":
		return ReadJSON(r)
	}
	return ReadPSPLIB(r)
}

// guess returns the ending that fits the content, or nothing. Patterson and job shop files
// begin alike, so the latter needs its comment.
func guess(data []byte) string {
	text := bytes.TrimSpace(data)
	switch {
	case bytes.Contains(text, []byte("PRECEDENCE RELATIONS")):
		return ".sm"
	case bytes.HasPrefix(text, []byte("{")):
		return ".json"
	case bytes.HasPrefix(text, []byte("#")):
		return ".jss"
	case bytes.Contains(text, []byte("[")):
		return ".sch"
	}
	first, _, _ := bytes.Cut(text, []byte("\n"))
	if len(bytes.Fields(first)) == 2 {
		return ".rcp"
	}
	return ""
}
