// The desk in a headless Chromium: the walk from a drawing to a checked, saved plan,
// on a wide screen and on a phone, by mouse, by touch and by keyboard.
package browser

import (
	"bufio"
	"context"
	"fmt"
	"net/http"
	"net/http/httptest"
	"os/exec"
	"path/filepath"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/chromedp/cdproto/input"
	"github.com/chromedp/cdproto/network"
	"github.com/chromedp/cdproto/runtime"
	"github.com/chromedp/chromedp"
)

// serveDesk starts the program with files and returns the address it prints.
func serveDesk(t *testing.T, files ...string) string {
	t.Helper()
	bin, err := program()
	if err != nil {
		t.Fatal(err)
	}
	cmd := exec.Command(bin, append([]string{"desk"}, files...)...)
	out, err := cmd.StdoutPipe()
	if err != nil {
		t.Fatal(err)
	}
	if err := cmd.Start(); err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { _ = cmd.Process.Kill(); _ = cmd.Wait() })
	line, err := bufio.NewReader(out).ReadString('\n')
	if err != nil {
		t.Fatal(err)
	}
	return strings.TrimPrefix(strings.TrimSpace(line), "open ")
}

// person uses the page as somebody does who sees it.
type person struct {
	t     *testing.T
	ctx   context.Context
	touch bool
}

func sitDown(t *testing.T, address string, width, height int64, touch bool) *person {
	t.Helper()
	own, _, _ := strings.Cut(address, "?")
	p := &person{t, visit(t, address, own, width, height), touch}
	p.until(`document.body.dataset.ready === "yes"`)
	return p
}

// until waits for something to become true on the page.
func (p *person) until(expression string) {
	p.t.Helper()
	ctx, cancel := context.WithTimeout(p.ctx, 60*time.Second)
	defer cancel()
	if err := chromedp.Run(ctx, chromedp.Poll(expression, nil, chromedp.WithPollingInterval(20*time.Millisecond))); err != nil {
		status := ask[string](p.t, p.ctx, `document.getElementById("status").textContent`)
		p.t.Fatalf("waited for %s: %v; the page says %q", expression, err, status)
	}
}

func (p *person) at(x, y float64) {
	p.t.Helper()
	if !p.touch {
		do(p.t, p.ctx, chromedp.MouseClickXY(x, y))
		return
	}
	do(p.t, p.ctx,
		input.DispatchTouchEvent(input.TouchStart, []*input.TouchPoint{{X: x, Y: y}}),
		input.DispatchTouchEvent(input.TouchEnd, []*input.TouchPoint{}))
}

// tap presses the element that an expression gives, where a finger would.
func (p *person) tap(expression string) {
	p.t.Helper()
	p.until("!!(" + expression + ")")
	box := ask[[]float64](p.t, p.ctx, `(() => { const e = `+expression+`; e.scrollIntoView({block: "center"}); const r = e.getBoundingClientRect(); return [r.x + r.width / 2, r.y + r.height / 2]; })()`)
	if p.touch {
		// A touch of the protocol makes no click by itself in a headless page; what
		// a finger meets there is what is clicked.
		do(p.t, p.ctx, chromedp.Evaluate(fmt.Sprintf(`document.elementFromPoint(%v, %v).closest("button, select, summary, canvas").click()`, box[0], box[1]), nil))
		return
	}
	p.at(box[0], box[1])
}

// button presses a button by its words; key presses the one with that data-key.
func (p *person) button(words string) {
	p.t.Helper()
	p.tap(fmt.Sprintf(`[...document.querySelectorAll("button")].find((b) => b.textContent.trim() === %q && !b.disabled)`, words))
}

func (p *person) key(key string) {
	p.t.Helper()
	p.tap(fmt.Sprintf(`[...document.querySelectorAll("[data-key]")].find((b) => b.dataset.key === %q)`, key))
}

func (p *person) step(name string) {
	p.t.Helper()
	p.tap(fmt.Sprintf(`document.querySelector("#steps [data-step=%s]")`, name))
	p.until(fmt.Sprintf(`document.querySelector("#steps [data-step=%s]").getAttribute("aria-current") === "step"`, name))
}

// choose sets a list to a value, as a person does.
func (p *person) choose(key, value string) {
	p.t.Helper()
	at := fmt.Sprintf(`[...document.querySelectorAll("[data-key]")].find((b) => b.dataset.key === %q)`, key)
	p.until("!!(" + at + ")")
	do(p.t, p.ctx, chromedp.Evaluate(fmt.Sprintf(`{ const e = %s; e.value = %q; e.dispatchEvent(new Event("change", {bubbles: true})); }`, at, value), nil))
}

// fill types into a field.
func (p *person) fill(key, text string) {
	p.t.Helper()
	at := fmt.Sprintf(`[...document.querySelectorAll("[data-key]")].find((b) => b.dataset.key === %q)`, key)
	p.until("!!(" + at + ")")
	do(p.t, p.ctx, chromedp.Evaluate(fmt.Sprintf(`{ const e = %s; e.focus(); e.select(); }`, at), nil), input.InsertText(text))
}

// map taps the plan at a place in metres of the view.
func (p *person) ground(e, n float64) {
	p.t.Helper()
	at := ask[[]float64](p.t, p.ctx, fmt.Sprintf(`(() => { const r = document.getElementById("map").getBoundingClientRect(), q = swardlineMap.toScreen(%v, %v); return [r.x + q[0], r.y + q[1]]; })()`, e, n))
	p.at(at[0], at[1])
}

func (p *person) says(words string) {
	p.t.Helper()
	p.until(fmt.Sprintf(`document.getElementById("status").textContent.includes(%q)`, words))
}

func (p *person) see(name string) { p.t.Helper(); shot(p.t, p.ctx, name) }

const drawing = "../../examples/drawing/"

// TestDeskWalk is the walk of somebody who has never seen the desk, tap by tap: a
// drawing comes in, lies on its marks, gets a keep-out, is checked, handed over and
// asked about a moved base.
func TestDeskWalk(t *testing.T) {
	for _, size := range []struct {
		name          string
		width, height int64
		touch         bool
	}{{"wide", 1280, 800, false}, {"phone", 390, 780, true}} {
		t.Run(size.name, func(t *testing.T) {
			p := sitDown(t, serveDesk(t, drawing+"park.dxf", drawing+"marks.csv"), size.width, size.height, size.touch)
			p.says("park.dxf is open")
			p.see("desk-" + size.name + "-1-open")
			p.choose("group layer:SITE", "boundary")
			p.says("SITE: role changed")
			p.choose("group layer:MAST", "base")
			p.says("MAST: role changed")
			p.choose("group layer:ROUTES", "corridor")
			p.says("ROUTES: role changed")
			p.choose("group layer:BENCHES", "keepout")
			p.says("BENCHES: role changed")

			p.step("place")
			p.choose("marks", "marks.csv")
			p.says("4 marks read")
			p.see("desk-" + size.name + "-2-marks")
			p.key("lay")
			p.says("The drawing lies on its marks")
			p.see("desk-" + size.name + "-2-place")

			p.step("draw")
			before := ask[int](t, p.ctx, `swardlineDesk.view.features.length`)
			p.key("new keepout")
			for _, q := range [][2]string{{"-60", "20"}, {"-56", "20"}, {"-56", "24"}, {"-60", "24"}} {
				p.fill("e", q[0])
				p.fill("n", q[1])
				p.key("addp")
			}
			p.key("done")
			p.says("Drawn. Give it a name.")
			if n := ask[int](t, p.ctx, `swardlineDesk.view.features.length`); n != before+1 {
				t.Fatalf("%d features, want %d", n, before+1)
			}
			p.see("desk-" + size.name + "-3-draw")
			area := ask[float64](t, p.ctx, `swardlineDesk.view.features.at(-1).area_m2`)
			if area < 15.99 || area > 16.01 {
				t.Errorf("a square of 4 m has %v m2", area)
			}
			p.tap(`document.getElementById("undo")`)
			p.says("Taken back.")
			p.tap(`document.getElementById("redo")`)
			p.says("Done again.")

			p.step("check")
			p.until(`!!document.querySelector("[aria-label=Findings]")`)
			p.see("desk-" + size.name + "-4-check")
			p.key("finding 0")
			p.see("desk-" + size.name + "-4-finding")

			p.step("give")
			p.key("give plan.kml")
			p.until(`!!document.querySelector("[data-key=save]")`)
			p.see("desk-" + size.name + "-5-give")

			p.step("moved")
			p.fill("se", "0,30")
			p.fill("sn", "-0.10")
			p.key("shift")
			p.until(`!!document.querySelector("[data-key=correct]")`)
			p.says("STOP")
			p.see("desk-" + size.name + "-6-moved")

			// A reload loses nothing.
			do(t, p.ctx, chromedp.Reload())
			p.until(`document.body.dataset.ready === "yes"`)
			p.says("As you left it.")
			if n := ask[int](t, p.ctx, `swardlineDesk.view.features.length`); n != before+1 {
				t.Errorf("after a reload %d features, want %d", n, before+1)
			}
			if wide := ask[int](t, p.ctx, `document.documentElement.scrollWidth - document.documentElement.clientWidth`); wide > 0 {
				t.Errorf("the page scrolls sideways by %d px", wide)
			}
		})
	}
}

// staticDesk builds the folder for a static host once and serves it on this machine.
var staticDesk = sync.OnceValues(func() (string, error) {
	bin, err := program()
	if err != nil {
		return "", err
	}
	dir := filepath.Join(filepath.Dir(bin), "desk")
	cmd := exec.Command("go", "run", "./cmd/desk", "-o", dir)
	cmd.Dir = filepath.Join("..", "..")
	if out, err := cmd.CombinedOutput(); err != nil {
		return "", fmt.Errorf("%w\n%s", err, out)
	}
	return dir, nil
})

// serveStatic serves the folder and returns its address.
func serveStatic(t *testing.T) string {
	t.Helper()
	dir, err := staticDesk()
	if err != nil {
		t.Fatal(err)
	}
	s := httptest.NewServer(http.FileServer(http.Dir(dir)))
	t.Cleanup(s.Close)
	return s.URL + "/"
}

// bring puts a file of the disk into the page as its file picker would.
func (p *person) bring(path string) {
	p.t.Helper()
	abs, err := filepath.Abs(path)
	if err != nil {
		p.t.Fatal(err)
	}
	do(p.t, p.ctx, chromedp.SetUploadFiles("#files", []string{abs}, chromedp.ByQuery))
}

// TestDeskOffline: after one visit the page opens with no network, and what was begun
// is there.
func TestDeskOffline(t *testing.T) {
	p := sitDown(t, serveStatic(t), 390, 780, true)
	p.bring(park)
	p.says("park.geojson is open")
	p.until(`navigator.serviceWorker.controller !== null || navigator.serviceWorker.ready.then(() => true)`)
	p.until(`caches.keys().then(async (k) => k.length === 1 && (await (await caches.open(k[0])).keys()).length > 15)`)
	do(t, p.ctx, network.EmulateNetworkConditions(true, 0, 0, 0), chromedp.Reload())
	p.until(`document.body.dataset.ready === "yes"`)
	p.says("As you left it.")
	if n := ask[int](t, p.ctx, `swardlineDesk.view.features.length`); n != 27 {
		t.Errorf("%d features with no network, want 27", n)
	}
	p.see("desk-phone-offline")
}

// everySum makes every output of the page and gives a line with the digest of each.
const everySum = `(async () => {
  const out = [];
  const all = [...swardlineDesk.hello.formats, ...swardlineDesk.hello.sheets];
  for (const o of all) {
    try {
      const { result, bytes } = await swardlineDesk.ask("save", { what: o.what });
      const sum = await crypto.subtle.digest("SHA-256", bytes.slice());
      out.push(o.what + " " + bytes.length + " " + [...new Uint8Array(sum)].map((b) => b.toString(16).padStart(2, "0")).join("") + " " + JSON.stringify(result.losses));
    } catch (e) { out.push(o.what + " refused: " + e.message); }
  }
  const check = await swardlineDesk.ask("check", {});
  out.push("check " + JSON.stringify(check.result));
  const drift = await swardlineDesk.ask("drift", { shift: [0.06, -0.03] });
  out.push("drift " + JSON.stringify(drift.result));
  return out;
})()`

// TestDeskSameBytes: the engine in the browser and the native one make the same files,
// findings and verdicts, byte for byte.
func TestDeskSameBytes(t *testing.T) {
	var lists [2][]string
	native := sitDown(t, serveDesk(t, park), 1280, 800, false)
	native.says("park.geojson is open")
	static := sitDown(t, serveStatic(t), 1280, 800, false)
	static.bring(park)
	static.says("park.geojson is open")
	for i, p := range []*person{native, static} {
		do(t, p.ctx, chromedp.Evaluate(everySum, &lists[i], func(e *runtime.EvaluateParams) *runtime.EvaluateParams { return e.WithAwaitPromise(true) }))
	}
	if len(lists[0]) < 10 {
		t.Fatalf("only %d outputs compared: %v", len(lists[0]), lists[0])
	}
	for i := range lists[0] {
		if lists[0][i] != lists[1][i] {
			t.Errorf("native: %.300s\nwasm:   %.300s", lists[0][i], lists[1][i])
		}
		if strings.Contains(lists[0][i], " refused: ") {
			t.Log(lists[0][i])
		}
	}
}

// TestDeskTimes writes down how long the page takes; it holds nobody to it.
func TestDeskTimes(t *testing.T) {
	address := serveStatic(t)
	p := sitDown(t, address, 1280, 800, false)
	t.Log(ask[string](t, p.ctx, `JSON.stringify({paint: performance.getEntriesByType("paint").map((e) => [e.name, Math.round(e.startTime)]), ready: Math.round(performance.getEntriesByName("engine-ready")[0].startTime), long: performance.getEntriesByType("longtask").length})`))
}
