// The shell of every page for a browser: one head, one style, one foot, with
// what stands between them from a template of its own.

package report

import (
	"bufio"
	"crypto/sha256"
	"embed"
	"encoding/base64"
	"html/template"
	"io"
	"sync"
)

//go:embed pages
var pageFiles embed.FS

// pageFile is one of the files, which are there: they are part of the program.
func pageFile(name string) string {
	data, err := pageFiles.ReadFile("pages/" + name)
	if err != nil {
		panic(err)
	}
	return string(data)
}

// shell is what every page has. Body is what the template "body" shows.
type shell struct {
	Title string
	// More is style that this page has beside that of all.
	More string
	// Sorts brings the script that sorts the tables of the class sortable; the
	// page forbids every other, so that even text that got through could run
	// nothing.
	Sorts bool
	Body  any
	// Foot are the paragraphs at the end.
	Foot []string
}

// CSS is the style of the page.
func (s *shell) CSS() template.CSS { return template.CSS(pageFile("page.css") + s.More) }

// Script is the one script.
func (s *shell) Script() template.JS { return template.JS(pageFile("sort.js")) }

// ScriptSum names the script in the page's policy, "" for a page without.
func (s *shell) ScriptSum() string {
	if !s.Sorts {
		return ""
	}
	sum := sha256.Sum256([]byte(pageFile("sort.js")))
	return "sha256-" + base64.StdEncoding.EncodeToString(sum[:])
}

// pageBase are the parts that pages are put together from. Templates escape by
// where a text stands; "text" makes it printable before, because HTML forbids
// control characters, and a change of direction can make a name read as
// another.
var pageBase = sync.OnceValue(func() *template.Template {
	t := template.New("").Funcs(template.FuncMap{"text": Printable})
	return template.Must(t.ParseFS(pageFiles, "pages/*.html"))
})

// pageOf makes the template of one kind of page from that of its body. Kinds
// are made when first asked for: a program that writes no page does not pay for
// them.
func pageOf(body string) *template.Template {
	t := template.Must(pageBase().Clone())
	return template.Must(t.Parse(`{{define "body"}}` + body + `{{end}}`))
}

// writePage writes a page; kind is one of pageOf.
func writePage(w io.Writer, kind *template.Template, s *shell) error {
	b := bufio.NewWriterSize(w, 1<<16)
	if err := kind.ExecuteTemplate(b, "shell", s); err != nil {
		return err
	}
	return b.Flush()
}
