package document

import (
	"fmt"
	"strconv"
	"strings"
)

// File is the content of a file with its name, for ParseFiles.
type File struct {
	Name string
	Data []byte
}

type key struct{ kind, id string }

// Set holds documents in the order in which they were added. The zero Set is empty and ready.
type Set struct {
	docs    []Document
	byKey   map[key]Document
	sources map[Document]source // of documents that were read from files
}

// source is where a document was read.
type source struct {
	file   string
	at     pos
	places map[string]pos
}

// place returns the file and the place of a field of a document, or of the nearest field that
// holds it; the file is empty for a document that was not read from one.
func (s *Set) place(d Document, path string) (file string, at pos) {
	src, ok := s.sources[d]
	if !ok {
		return "", pos{}
	}
	for {
		if at, ok := src.places[path]; ok {
			return src.file, at
		}
		cut := strings.LastIndexAny(path, ".[")
		if cut < 0 {
			return src.file, src.at
		}
		path = path[:cut]
	}
}

// ParseFiles reads several files into one set, as Parse does each. Problems are in the order
// of the files, at most fifty of each; a document that another file has already given is one.
func ParseFiles(files []File) (*Set, []*Error) {
	set, errs := &Set{}, []*Error(nil)
	first := map[key]string{}
	for _, f := range files {
		p := &problems{file: f.Name}
		for _, found := range parseFile(f, p) {
			h := found.doc.Header()
			k := key{h.Kind, h.ID}
			if set.Add(found.doc) {
				first[k] = fmt.Sprintf("%s:%d:%d", f.Name, found.at.line, found.at.column)
				if set.sources == nil {
					set.sources = map[Document]source{}
				}
				set.sources[found.doc] = source{f.Name, found.at, found.places}
				continue
			}
			p.add(found.at, Error{
				Document: h.Kind + " " + clip(h.ID), Field: "id", Found: quote(h.ID),
				Reason: "is already taken at " + first[k], Remedy: "give each " + h.Kind + " an id of its own",
			})
		}
		errs = append(errs, p.list...)
	}
	return set, errs
}

// Add puts a document at the end of the set. It reports false, and changes nothing, if the set
// has one of the same kind and id.
func (s *Set) Add(d Document) bool {
	k := key{KindOf(d), d.Header().ID}
	if _, taken := s.byKey[k]; taken {
		return false
	}
	if s.byKey == nil {
		s.byKey = map[key]Document{}
	}
	s.byKey[k] = d
	s.docs = append(s.docs, d)
	return true
}

// All returns the documents in the order in which they were added.
func (s *Set) All() []Document { return s.docs }

// Get returns the document of a kind and id, or nil.
func (s *Set) Get(kind, id string) Document { return s.byKey[key{kind, id}] }

// Every returns the documents of one kind, in order: Every[*Formula](set).
func Every[T Document](s *Set) []T {
	var out []T
	for _, d := range s.docs {
		if t, ok := d.(T); ok {
			out = append(out, t)
		}
	}
	return out
}

// Find returns the document of a kind by its id: Find[*Mould](set, "ring-18").
func Find[T Document](s *Set, id string) (T, bool) {
	var zero T
	t, ok := s.byKey[key{KindOf(zero), id}].(T)
	return t, ok
}

// Split takes a reference apart. The version is 0 where none is written: the latest is meant.
// A reference that has not the form id or id@version is an error.
func (r Ref) Split() (id string, version int, err error) {
	if plainID(string(r)) {
		return string(r), 0, nil
	}
	if len(r) > maxID || !patterns["ref"].re.MatchString(string(r)) {
		return "", 0, fmt.Errorf("reference %s: write %s", quote(string(r)), patterns["ref"].want)
	}
	id, v, pinned := strings.Cut(string(r), "@")
	if pinned {
		version, err = strconv.Atoi(v)
	}
	return id, version, err
}

// plainID reports whether a text is an id, without the pattern's cost: references are read for
// every figure on a page.
func plainID(s string) bool {
	if s == "" || len(s) > maxID || s[0] == '-' || s[len(s)-1] == '-' {
		return false
	}
	for i := range len(s) {
		c := s[i]
		if !(c >= 'a' && c <= 'z' || c >= '0' && c <= '9' || c == '-' && s[i-1] != '-') {
			return false
		}
	}
	return true
}
