// The files of the page.

package desk

import (
	"bytes"
	"embed"
	"io/fs"
)

//go:embed page
var page embed.FS

// Page returns the files of the page as they are for a static host, where the
// engine is a worker.
func Page() fs.FS {
	sub, err := fs.Sub(page, "page")
	if err != nil {
		panic(err) // the folder is embedded
	}
	return sub
}

// workerMeta and nativeMeta say in index.html where the engine is.
var (
	workerMeta = []byte(`<meta name="engine" content="worker">`)
	nativeMeta = []byte(`<meta name="engine" content="native">`)
)

// NativeIndex is index.html for the program that serves the page and has the
// engine in it.
func NativeIndex() []byte {
	data, err := page.ReadFile("page/index.html")
	if err != nil {
		panic(err)
	}
	return bytes.Replace(data, workerMeta, nativeMeta, 1)
}

// Policy is the content security policy of the page: nothing from or to
// anywhere else. WebAssembly counts as script.
const Policy = "default-src 'self'; script-src 'self' 'wasm-unsafe-eval'; img-src 'self' blob: data:; object-src 'none'; base-uri 'none'; form-action 'none'; frame-ancestors 'none'"
