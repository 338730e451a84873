package web

import (
	"crypto/sha256"
	"embed"
	"encoding/hex"
	"io/fs"
	"mime"
	"net/http"
	"path"
	"strings"

	"chablon/sheet"
)

//go:embed static
var files embed.FS

// benchSheetCSS is the name of the bench sheets' stylesheet, which package sheet brings.
const benchSheetCSS = "bench-sheet.css"

// contentHash is of all static files: their addresses change when any of them does.
var contentHash = func() string {
	h := sha256.New()
	err := fs.WalkDir(files, "static", func(name string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() {
			return err
		}
		data, err := files.ReadFile(name)
		h.Write([]byte(name))
		h.Write(data)
		return err
	})
	h.Write(sheet.Stylesheet())
	if err != nil {
		panic("web: embedded files cannot be read: " + err.Error())
	}
	return hex.EncodeToString(h.Sum(nil))[:16]
}()

// asset returns the address of a static file.
func asset(name string) string { return "/static/" + contentHash + "/" + name }

// static serves the embedded files. Under the current hash they may be kept for a year; any
// other hash is of another build and is not found.
func static(w http.ResponseWriter, r *http.Request) {
	name := path.Clean("static/" + r.PathValue("file"))
	data, err := files.ReadFile(name)
	if name == "static/"+benchSheetCSS {
		data, err = sheet.Stylesheet(), nil
	}
	if err != nil || r.PathValue("hash") != contentHash || !strings.HasPrefix(name, "static/") {
		http.Error(w, "not found", http.StatusNotFound)
		return
	}
	kind := mime.TypeByExtension(path.Ext(name))
	switch path.Ext(name) { // do not depend on the machine's table
	case ".css":
		kind = "text/css; charset=utf-8"
	case ".js":
		kind = "text/javascript; charset=utf-8"
	case ".woff2":
		kind = "font/woff2"
	case ".svg":
		kind = "image/svg+xml"
	case ".txt":
		kind = "text/plain; charset=utf-8"
	}
	w.Header().Set("Content-Type", kind)
	w.Header().Set("Cache-Control", "public, max-age=31536000, immutable")
	w.Write(data) //nolint:errcheck // the reader has gone
}
