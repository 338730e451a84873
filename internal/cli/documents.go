package cli

import (
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"strings"

	"chablon/check"
	"chablon/document"
)

// mostFiles bounds a folder: more is a mistaken path.
const mostFiles = 2000

// readPath reads the documents of a folder, of the folders in it, or of one file, and resolves
// them. An error is one of reading; problems of the documents come in the list.
func readPath(path string) (*document.Book, []*document.Error, error) {
	info, err := os.Stat(path)
	switch {
	case errors.Is(err, fs.ErrNotExist):
		return nil, nil, fmt.Errorf("%s does not exist: give a folder or a file of documents", path)
	case err != nil:
		return nil, nil, err
	}
	if !info.IsDir() {
		f, err := readFile(os.DirFS(filepath.Dir(path)), filepath.Base(path))
		if err != nil {
			return nil, nil, err
		}
		f.Name = path
		return resolve([]document.File{f})
	}
	files, err := readFS(os.DirFS(path))
	if err != nil {
		return nil, nil, fmt.Errorf("%s: %w", path, err)
	}
	for i := range files {
		files[i].Name = filepath.Join(path, files[i].Name)
	}
	if len(files) == 0 {
		return nil, nil, fmt.Errorf("%s has no documents: put .yaml, .yml or .json files there", path)
	}
	return resolve(files)
}

func resolve(files []document.File) (*document.Book, []*document.Error, error) {
	set, errs := document.ParseFiles(files)
	book, more := document.Resolve(set, nil)
	return book, append(errs, more...), nil
}

// readFS reads every document file of a file system, hidden folders left out.
func readFS(fsys fs.FS) ([]document.File, error) {
	var files []document.File
	err := fs.WalkDir(fsys, ".", func(name string, d fs.DirEntry, err error) error {
		if err != nil {
			return err
		}
		if d.IsDir() {
			if name != "." && strings.HasPrefix(d.Name(), ".") {
				return fs.SkipDir
			}
			return nil
		}
		switch strings.ToLower(filepath.Ext(name)) {
		case ".yaml", ".yml", ".json":
		default:
			return nil
		}
		if len(files) == mostFiles {
			return fmt.Errorf("more than %d files: give a smaller folder", mostFiles)
		}
		f, err := readFile(fsys, name)
		files = append(files, f)
		return err
	})
	return files, err
}

// readFile reads one file, and of one that is too large only as much as shows that it is.
func readFile(fsys fs.FS, name string) (document.File, error) {
	in, err := fsys.Open(name)
	if err != nil {
		return document.File{}, err
	}
	defer in.Close()
	data, err := io.ReadAll(io.LimitReader(in, document.ReadLimit+1))
	return document.File{Name: name, Data: data}, err
}

// rangesFile is the flag of commands that judge formulas.
type rangesFile struct {
	Ranges string `help:"Table of your own to judge formulas by; chablon ranges prints the built-in one." placeholder:"FILE.csv"`
}

// table reads the table of ranges; nil stands for the built-in one.
func (r rangesFile) table() (*check.Table, error) {
	if r.Ranges == "" {
		return nil, nil
	}
	data, err := os.ReadFile(r.Ranges)
	if err != nil {
		return nil, fmt.Errorf("cannot read %s: %w", r.Ranges, err)
	}
	t, err := check.Ranges(string(data))
	if err != nil {
		return nil, fmt.Errorf("%s: %w", r.Ranges, err)
	}
	return &t, nil
}
