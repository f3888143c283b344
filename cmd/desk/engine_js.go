// The engine as WebAssembly: the page's worker calls swardlineHandle with a
// frame and gets one back.

//go:build js

package main

import (
	"syscall/js"

	"swardline/cmd/internal/desk"
)

func main() {
	session := desk.New()
	handle := js.FuncOf(func(_ js.Value, args []js.Value) any {
		in := make([]byte, args[0].Get("length").Int())
		js.CopyBytesToGo(in, args[0])
		out := session.Handle(in)
		array := js.Global().Get("Uint8Array").New(len(out))
		js.CopyBytesToJS(array, out)
		return array
	})
	js.Global().Set("swardlineHandle", handle)
	js.Global().Call("swardlineReady")
	select {} // the worker lives as long as the page
}
