// The desk in a headless Chromium: the walk from a drawing to a checked, saved plan,
// on a wide screen and on a phone, by mouse, by touch and by keyboard.
package browser

import (
	"bufio"
	"context"
	"fmt"
	"math"
	"net/http"
	"net/http/httptest"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"sync"
	"testing"
	"time"

	cdpbrowser "github.com/chromedp/cdproto/browser"
	"github.com/chromedp/cdproto/emulation"
	"github.com/chromedp/cdproto/input"
	"github.com/chromedp/cdproto/network"
	"github.com/chromedp/cdproto/runtime"
	"github.com/chromedp/chromedp"
	"github.com/chromedp/chromedp/kb"
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
			p.choose("group layer:CORRIDORS", "corridor")
			p.says("CORRIDORS: role changed")
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

// TestDeskByKeyboard: the walk by Tab, Enter and typing alone.
func TestDeskByKeyboard(t *testing.T) {
	p := sitDown(t, serveDesk(t, park), 1280, 800, false)
	p.says("park.geojson is open")
	p.reach(`document.querySelector("#steps [data-step=draw]")`)
	p.press(kb.Enter)
	p.until(`document.querySelector("#steps [data-step=draw]").getAttribute("aria-current") === "step"`)
	p.reach(`document.querySelector("[data-key='new hazard']")`)
	p.press(kb.Enter)
	for _, q := range [][2]string{{"10", "10"}, {"12", "10"}, {"12", "12,5"}} {
		p.reach(`document.querySelector("[data-key=e]")`)
		do(t, p.ctx, input.InsertText(q[0]))
		p.reach(`document.querySelector("[data-key=n]")`)
		do(t, p.ctx, input.InsertText(q[1]))
		p.press(kb.Enter)
	}
	p.reach(`document.querySelector("[data-key=done]")`)
	p.press(kb.Enter)
	p.says("Drawn. Give it a name.")
	p.reach(`document.querySelector("[data-key=name]")`)
	do(t, p.ctx, input.InsertText("Ditch"))
	p.press(kb.Enter)
	p.says("Renamed.")
	if got := ask[string](t, p.ctx, `swardlineDesk.view.features.at(-1).name + " " + swardlineDesk.view.features.at(-1).role + " " + swardlineDesk.view.features.at(-1).area_m2.toFixed(2)`); got != "Ditch hazard 2.50" {
		t.Errorf("drawn by keyboard: %q", got)
	}
	do(t, p.ctx, chromedp.Evaluate(`document.activeElement.blur()`, nil), chromedp.KeyEvent("z", chromedp.KeyModifiers(input.ModifierCtrl)))
	p.says("Taken back.")
	// The plan itself, by its keys.
	p.reach(`document.getElementById("map")`)
	before := ask[[]float64](t, p.ctx, `[swardlineMap.state.at[0], swardlineMap.state.px]`)
	p.press(kb.ArrowRight)
	p.press("+")
	after := ask[[]float64](t, p.ctx, `[swardlineMap.state.at[0], swardlineMap.state.px]`)
	if after[0] <= before[0] || after[1] <= before[1] {
		t.Errorf("the keys moved the plan from %v to %v", before, after)
	}
	p.reach(`document.querySelector("#steps [data-step=check]")`)
	p.press(kb.Enter)
	p.until(`!!document.querySelector("#list details summary")`)
}

// TestDeskByKeyboardFromADrawing: roles and marks, hand-over and a moved base, with no
// pointer, on a wide screen and on a phone's.
func TestDeskByKeyboardFromADrawing(t *testing.T) {
	for _, width := range []int64{1280, 390} {
		p := sitDown(t, serveDesk(t, drawing+"park.dxf", drawing+"marks.csv"), width, 800, false)
		p.says("park.dxf is open")
		p.reach(`document.querySelector("[data-key='group layer:SITE']")`)
		do(t, p.ctx, chromedp.KeyEvent("bo"))
		p.says("SITE: role changed")
		p.reach(`document.querySelector("#steps [data-step=place]")`)
		p.press(kb.Enter)
		p.reach(`document.querySelector("[data-key=marks]")`)
		p.press(kb.ArrowDown)
		p.says("4 marks read")
		p.reach(`document.querySelector("[data-key=lay]")`)
		p.press(kb.Enter)
		p.says("The drawing lies on its marks")
		p.reach(`document.querySelector("#steps [data-step=give]")`)
		p.press(kb.Enter)
		p.reach(`document.querySelector("[data-key='give plan.kml']")`)
		p.press(kb.Enter)
		p.until(`!!document.querySelector("[data-key=save]")`)
		p.reach(`document.querySelector("#steps [data-step=moved]")`)
		p.press(kb.Enter)
		p.reach(`document.querySelector("[data-key=se]")`)
		do(t, p.ctx, input.InsertText("0.4"))
		p.reach(`document.querySelector("[data-key=sn]")`)
		do(t, p.ctx, input.InsertText("0"))
		p.press(kb.Enter)
		p.says("STOP")
	}
}

// reach presses Tab until an element has the focus.
func (p *person) reach(expression string) {
	p.t.Helper()
	p.until("!!(" + expression + ")")
	for range 400 {
		if ask[bool](p.t, p.ctx, "document.activeElement === ("+expression+")") {
			return
		}
		p.press(kb.Tab)
	}
	p.t.Fatalf("Tab does not reach %s", expression)
}

func (p *person) press(key string) { p.t.Helper(); do(p.t, p.ctx, chromedp.KeyEvent(key)) }

// TestDeskHostile: files that are none give one clear error each, and the work stands.
func TestDeskHostile(t *testing.T) {
	p := sitDown(t, serveDesk(t, park), 1280, 800, false)
	p.says("park.geojson is open")
	dir := t.TempDir()
	for name, c := range map[string]struct{ data, want string }{
		"cut.geojson":  {`{"type":"FeatureCollection","features":[{"type":"Feature","geometry":{"type":"Point","coordinates":[9,`, "cut.geojson"},
		"empty.kml":    {"", "empty.kml"},
		"markup.kml":   {"<kml><Document><name><img src=x onerror=alert(1)></name></Document></kml>", "markup.kml"},
		"nothing.xyz":  {"\x00\x01\x02", ""},
		"bomb.geojson": {strings.Repeat("[", 100000), "bomb.geojson"},
	} {
		path := filepath.Join(dir, name)
		if err := os.WriteFile(path, []byte(c.data), 0o644); err != nil {
			t.Fatal(err)
		}
		p.bring(path)
		p.until(fmt.Sprintf(`swardlineDesk.work.files.some((f) => f.name === %q)`, name))
		if c.want == "" {
			continue
		}
		use := fmt.Sprintf(`[...document.querySelectorAll("[data-key]")].find((b) => b.dataset.key === %q)`, "use "+name)
		if ask[bool](t, p.ctx, "!!("+use+")") {
			p.tap(use)
			p.until(`document.getElementById("status").classList.contains("bad")`)
			p.says(c.want)
		}
	}
	if n := ask[int](t, p.ctx, `swardlineDesk.view.features.length`); n != 27 {
		t.Errorf("after hostile files %d features, want 27", n)
	}
}

// TestDeskAccessible holds every step against axe-core at level AA; SWARDLINE_AXE names
// its script, which .ci/run takes from npm.
func TestDeskAccessible(t *testing.T) {
	path := os.Getenv("SWARDLINE_AXE")
	if path == "" {
		t.Skip("SWARDLINE_AXE names no axe-core")
	}
	axe, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	for _, width := range []int64{1280, 390} {
		p := sitDown(t, serveDesk(t, drawing+"park.dxf", drawing+"marks.csv"), width, 800, false)
		p.says("park.dxf is open")
		for _, step := range []string{"open", "place", "draw", "check", "give", "moved"} {
			p.step(step)
			if step == "check" {
				p.until(`!!document.querySelector("#list details summary")`)
			}
			var found []string
			do(t, p.ctx, chromedp.Evaluate(string(axe)+`; axe.run({runOnly: ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa"]}).then((r) => r.violations.map((v) => v.id + ": " + v.nodes.map((n) => n.html).slice(0, 3).join(" | ")))`,
				&found, func(e *runtime.EvaluateParams) *runtime.EvaluateParams { return e.WithAwaitPromise(true) }))
			for _, f := range found {
				t.Errorf("%d px, step %s: %s", width, step, f)
			}
		}
	}
}

// bigPlan is a plan of 400 zones and keep-outs with 20,000 points.
func bigPlan(t *testing.T) string {
	t.Helper()
	var b strings.Builder
	b.WriteString(`{"type":"FeatureCollection","name":"Invented estate","features":[`)
	for i := range 400 {
		if i > 0 {
			b.WriteByte(',')
		}
		role := "zone"
		if i%2 == 1 {
			role = "keepout"
		}
		fmt.Fprintf(&b, `{"type":"Feature","id":"f%d","properties":{"role":%q,"name":"Plot %d"},"geometry":{"type":"Polygon","coordinates":[[`, i, role, i)
		x, y := 11.2+float64(i%20)*3e-4, 56.95+float64(i/20)*2e-4
		for k := range 51 {
			s, c := math.Sincos(float64(k%50) / 50 * 2 * math.Pi)
			if k > 0 {
				b.WriteByte(',')
			}
			fmt.Fprintf(&b, "[%.9f,%.9f]", x+1.2e-4*c*(1+0.1*math.Sin(9*float64(k%50))), y+0.8e-4*s)
		}
		b.WriteString(`]]}}`)
	}
	b.WriteString(`]}`)
	path := filepath.Join(t.TempDir(), "estate.geojson")
	if err := os.WriteFile(path, []byte(b.String()), 0o644); err != nil {
		t.Fatal(err)
	}
	return path
}

// TestDeskFrames pans a plan of 400 features and 20,000 points and writes down the
// frames; it holds nobody to them.
func TestDeskFrames(t *testing.T) {
	p := sitDown(t, serveStatic(t), 1280, 800, false)
	p.bring(bigPlan(t))
	p.says("estate.geojson is open")
	const pan = `(async () => {
  const long = []; new PerformanceObserver((l) => l.getEntries().forEach((e) => long.push(Math.round(e.duration)))).observe({ entryTypes: ["longtask"] });
  const m = document.getElementById("map"), r = m.getBoundingClientRect(), at = (type, x, y) => m.dispatchEvent(new PointerEvent(type, { pointerId: 1, clientX: r.x + x, clientY: r.y + y, bubbles: true, isPrimary: true }));
  m.setPointerCapture = () => {};
  const times = []; let last = 0;
  at("pointerdown", 300, 300);
  await new Promise((done) => { let i = 0; const tick = (now) => { if (last) times.push(now - last); last = now; at("pointermove", 300 + 100 * Math.sin(i / 9), 300 + 80 * Math.cos(i / 7)); if (++i < 120) requestAnimationFrame(tick); else done(); }; requestAnimationFrame(tick); });
  at("pointerup", 300, 300);
  times.sort((a, b) => a - b);
  return [Math.round(1000 / (times.reduce((a, b) => a + b) / times.length)), Math.round(times[times.length >> 1]), Math.round(times[Math.floor(times.length * 0.95)]), long.length, Math.max(0, ...long), swardlineDesk.view.features.reduce((n, f) => n + f.parts.flat().reduce((k, q) => k + q.length / 2, 0), 0)];
})()`
	var got []float64
	do(t, p.ctx, chromedp.Evaluate(pan, &got, func(e *runtime.EvaluateParams) *runtime.EvaluateParams { return e.WithAwaitPromise(true) }))
	t.Logf("panning %v points: %v frames a second, median %v ms, 95 %% %v ms; %v tasks over 50 ms, longest %v ms", got[5], got[0], got[1], got[2], got[3], got[4])
	if got[5] != 20000 {
		t.Errorf("%v points are drawn, want 20000", got[5])
	}
}

// TestDeskDemoFiles opens the five plan files of the demo.
func TestDeskDemoFiles(t *testing.T) {
	p := sitDown(t, serveDesk(t), 1280, 800, false)
	for name, from := range map[string]string{"park.geojson": "", "park.kml": "", "park.gpx": "", "park-utm.csv": "", "park-site.csv": ""} {
		p.step("open")
		p.bring("../../examples/park/" + name)
		p.until(fmt.Sprintf(`swardlineDesk.work.files.some((f) => f.name === %q)`, name))
		if ask[string](t, p.ctx, "swardlineDesk.work.source") != name {
			p.key("use " + name)
		}
		p.until(fmt.Sprintf(`swardlineDesk.work.source === %q && swardlineDesk.view && swardlineDesk.view.features.length === 27`, name))
		if from == "" && !ask[bool](t, p.ctx, "swardlineDesk.view.placed") {
			t.Errorf("%s has no place on the earth", name)
		}
		p.step("check")
		p.until(`!!document.querySelector("#list details summary")`)
	}
}

// drag moves from one place of the plan to another, in metres, with a finger or a mouse.
func (p *person) drag(from, to [2]float64) {
	p.t.Helper()
	at := func(q [2]float64) (x, y float64) {
		s := ask[[]float64](p.t, p.ctx, fmt.Sprintf(`(() => { const r = document.getElementById("map").getBoundingClientRect(), q = swardlineMap.toScreen(%v, %v); return [r.x + q[0], r.y + q[1]]; })()`, q[0], q[1]))
		return s[0], s[1]
	}
	x, y := at(from)
	u, v := at(to)
	if p.touch {
		do(p.t, p.ctx, input.DispatchTouchEvent(input.TouchStart, []*input.TouchPoint{{X: x, Y: y}}))
		for k := 1; k <= 5; k++ {
			s := float64(k) / 5
			do(p.t, p.ctx, input.DispatchTouchEvent(input.TouchMove, []*input.TouchPoint{{X: x + (u-x)*s, Y: y + (v-y)*s}}))
		}
		do(p.t, p.ctx, input.DispatchTouchEvent(input.TouchEnd, []*input.TouchPoint{}))
		return
	}
	do(p.t, p.ctx, input.DispatchMouseEvent(input.MousePressed, x, y).WithButton(input.Left).WithClickCount(1))
	for k := 1; k <= 5; k++ {
		s := float64(k) / 5
		do(p.t, p.ctx, input.DispatchMouseEvent(input.MouseMoved, x+(u-x)*s, y+(v-y)*s).WithButton(input.Left))
	}
	do(p.t, p.ctx, input.DispatchMouseEvent(input.MouseReleased, u, v).WithButton(input.Left).WithClickCount(1))
}

// kept waits until the work in the browser's own store is so; now is that work.
func (p *person) kept(condition string) {
	p.t.Helper()
	const read = `new Promise((done) => { const o = indexedDB.open("swardline-desk", 1); o.onsuccess = () => { const g = o.result.transaction("work").objectStore("work").get("now"); g.onsuccess = () => { const now = g.result || {}; o.result.close(); done(!!(%s)); }; }; })`
	for range 200 {
		var ok bool
		do(p.t, p.ctx, chromedp.Evaluate(fmt.Sprintf(read, condition), &ok, func(e *runtime.EvaluateParams) *runtime.EvaluateParams { return e.WithAwaitPromise(true) }))
		if ok {
			return
		}
		time.Sleep(20 * time.Millisecond)
	}
	p.t.Fatalf("the browser does not keep %s", condition)
}

// TestDeskHands draws, picks and drags on the plan itself, with a mouse and with
// fingers; moves an outline, switches off, renames, removes; a reload in the middle of
// a drawing loses no point.
func TestDeskHands(t *testing.T) {
	for _, touch := range []bool{false, true} {
		width := int64(1280)
		if touch {
			width = 390
		}
		p := sitDown(t, serveDesk(t, park), width, 800, touch)
		p.says("park.geojson is open")
		p.step("draw")
		p.key("new keepout")
		p.ground(-60, 40)
		p.ground(-50, 40)
		p.until(`swardlineMap.state.sketch && swardlineMap.state.sketch.points.length === 2`)
		p.kept(`now.sketch && now.sketch.points.length === 2`)
		do(t, p.ctx, chromedp.Reload())
		p.until(`document.body.dataset.ready === "yes"`)
		p.until(`swardlineMap.state.sketch && swardlineMap.state.sketch.points.length === 2`)
		p.ground(-50, 48)
		p.until(`swardlineMap.state.sketch.points.length === 3`)
		p.key("done")
		p.says("Drawn. Give it a name.")
		const last = `swardlineDesk.view.features.at(-1)`
		before := ask[float64](t, p.ctx, last+".area_m2")
		if before < 25 || before > 60 {
			t.Errorf("touch %v: drawn by taps %v m2, want about 40", touch, before)
		}
		corner := ask[[]float64](t, p.ctx, last+".parts[0][0].slice(0, 2)")
		p.drag([2]float64{corner[0], corner[1]}, [2]float64{corner[0] - 3, corner[1]})
		p.says("Point moved.")
		if after := ask[float64](t, p.ctx, last+".area_m2"); !(after > before+5) {
			t.Errorf("touch %v: dragging a corner out made %v of %v m2", touch, after, before)
		}
		p.fill("by", "0,5")
		p.key("in")
		p.says("The outline moved in by 0.50 m.")
		p.key("off")
		p.says("Switched off")
		if ask[bool](t, p.ctx, last+".active") {
			t.Error("what is switched off is still on")
		}
		p.key("rm")
		p.says("is removed. Undo brings it back.")
		if n := ask[int](t, p.ctx, "swardlineDesk.view.features.length"); n != 27 {
			t.Errorf("%d features after removing, want 27", n)
		}
		for range 5 {
			p.tap(`document.getElementById("undo")`)
			p.says("Taken back.")
		}
		if n := ask[int](t, p.ctx, "swardlineDesk.work.done"); n != 0 {
			t.Errorf("%d edits left after taking all back", n)
		}
	}
}

// TestDeskGape closes an outline that gapes, by a tap, and says by how much.
func TestDeskGape(t *testing.T) {
	path := filepath.Join(t.TempDir(), "gape.geojson")
	const plan = `{"type":"FeatureCollection","name":"Invented","features":[{"type":"Feature","properties":{"role":"zone","name":"Lawn"},"geometry":{"type":"LineString","coordinates":[[11.2,56.95],[11.2003,56.95],[11.2003,56.9502],[11.2,56.9502],[11.2,56.950001]]}}]}`
	if err := os.WriteFile(path, []byte(plan), 0o644); err != nil {
		t.Fatal(err)
	}
	p := sitDown(t, serveDesk(t, path), 390, 780, true)
	p.says("gape.geojson is open")
	p.key("close 0")
	p.says("Lawn is closed; its ends were 0.111 m apart.")
	if kind := ask[string](t, p.ctx, `swardlineDesk.view.features[0].kind + " " + swardlineDesk.view.features[0].gaps`); kind != "polygon undefined" {
		t.Errorf("after closing it is a %s", kind)
	}
}

// TestDeskWhereAmI shows the phone's place and its circle when asked, keeps none of it,
// and takes it away again.
func TestDeskWhereAmI(t *testing.T) {
	address := serveDesk(t, park)
	p := sitDown(t, address, 390, 780, true)
	p.says("park.geojson is open")
	own, _, _ := strings.Cut(address, "/?")
	do(t, p.ctx, chromedp.ActionFunc(func(ctx context.Context) error {
		return cdpbrowser.GrantPermissions([]cdpbrowser.PermissionType{cdpbrowser.PermissionTypeGeolocation}).WithOrigin(own).Do(ctx)
	}), emulation.SetGeolocationOverride().WithLatitude(56.9503).WithLongitude(11.2018).WithAccuracy(7))
	p.tap(`document.getElementById("here")`)
	p.says("You are within 7 m of the dot. A phone is good to metres")
	at := ask[[]float64](t, p.ctx, `[...swardlineMap.state.me.at, swardlineMap.state.me.accuracy]`)
	if math.Hypot(at[0], at[1]) > 20 || at[2] != 7 {
		t.Errorf("shown at %v, the base is within some metres of it", at)
	}
	if kept := ask[string](t, p.ctx, `JSON.stringify(swardlineDesk.work)`); strings.Contains(kept, "56.950") {
		t.Errorf("the position is kept: %.200s", kept)
	}
	p.tap(`document.getElementById("here")`)
	p.until(`swardlineMap.state.me === null`)
}

// TestDeskRest: grids near a place as a list, a limit changed where it is shown, marks
// measured again, and the corrected plan.
func TestDeskRest(t *testing.T) {
	p := sitDown(t, serveDesk(t, drawing+"park.dxf"), 1280, 800, false)
	p.says("park.dxf is open")
	p.step("place")
	p.fill("near", "56.95, 11.2")
	p.key("grids")
	p.until(`document.querySelectorAll("[aria-label=Grids] li").length > 3`)
	if first := ask[string](t, p.ctx, `document.querySelector("[aria-label=Grids] li").textContent`); !strings.Contains(first, "EPSG:") {
		t.Errorf("the first grid is %q", first)
	}

	again := filepath.Join(t.TempDir(), "again.csv")
	const list = "name,lon,lat\nM1,11.200078457,56.950027268\nM2,11.202841338,56.949701778\nM3,11.203255811,56.950764479\nM4,11.200524740,56.951086134\n"
	if err := os.WriteFile(again, []byte(list), 0o644); err != nil {
		t.Fatal(err)
	}
	p = sitDown(t, serveDesk(t, park, again), 1280, 800, false)
	p.says("park.geojson is open")
	p.step("check")
	p.until(`!!document.querySelector("#list details summary")`)
	before := ask[int](t, p.ctx, `document.querySelectorAll("[aria-label=Findings] li").length`)
	p.tap(`[...document.querySelectorAll("#list summary")].find((s) => s.textContent.startsWith("Limits used"))`)
	p.fill("limit base_range_m", "20")
	do(t, p.ctx, chromedp.Evaluate(`document.activeElement.blur()`, nil))
	p.until(fmt.Sprintf(`document.querySelectorAll("[aria-label=Findings] li").length > %d`, before))
	if got := ask[float64](t, p.ctx, `swardlineDesk.work.limits.base_range_m`); got != 20 {
		t.Errorf("the limit is %v, want 20", got)
	}

	p.step("moved")
	p.choose("remarks", "again.csv")
	p.until(`!!document.querySelector("[data-key=correct]")`)
	p.fill("se", "0.2")
	p.fill("sn", "0.1")
	p.key("shift")
	p.says("STOP")
	p.key("correct")
	p.says("corrected.geojson is the plan for the base where it stands now")
	if !ask[bool](t, p.ctx, `swardlineDesk.work.files.some((f) => f.name === "corrected.geojson")`) {
		t.Error("the corrected plan is not among the files")
	}
}

// TestDeskDriven: a week of logs comes in at the step for a moved base, and the page
// shows track, missed ground, cover and what the logs say of the base; the engine in
// the browser says the same as the native one.
func TestDeskDriven(t *testing.T) {
	const week = "../../examples/week/2026-05-"
	logs := []string{week + "11.nmea", week + "12.nmea", week + "13.nmea", week + "14.nmea", week + "15.nmea"}
	var said []string
	for _, size := range []struct {
		name          string
		width, height int64
		touch, static bool
	}{{"wide", 1280, 800, false, false}, {"phone", 390, 780, true, true}} {
		t.Run(size.name, func(t *testing.T) {
			var p *person
			if size.static {
				p = sitDown(t, serveStatic(t), size.width, size.height, size.touch)
				p.bring(park)
			} else {
				p = sitDown(t, serveDesk(t, park), size.width, size.height, size.touch)
			}
			p.says("park.geojson is open")
			p.step("moved")
			var paths []string
			for _, l := range logs {
				abs, err := filepath.Abs(l)
				if err != nil {
					t.Fatal(err)
				}
				paths = append(paths, abs)
			}
			do(t, p.ctx, chromedp.SetUploadFiles("#files", paths, chromedp.ByQuery))
			p.says("RE-MEASURE")
			p.see("desk-" + size.name + "-7-driven")
			text := ask[string](t, p.ctx, `document.getElementById("list").innerText`)
			for _, want := range []string{"It moved on 2026-05-14", "Ground covered", "69.1 %", "track, fixed", "track, float", "missed: not driven over", "2026-05-13", "unchanged"} {
				if !strings.Contains(text, want) {
					t.Errorf("the list does not say %q:\n%s", want, text)
				}
			}
			// Something of the track's colour is on the plan where the north lawn is.
			if n := ask[int](t, p.ctx, `(() => { const c = document.getElementById("map"), d = c.getContext("2d").getImageData(0, 0, c.width, c.height).data; let n = 0; for (let i = 0; i < d.length; i += 4) if (d[i] < 60 && d[i + 1] > 80 && d[i + 1] < 150 && d[i + 2] > 140) n++; return n; })()`); n < 200 {
				t.Errorf("%d pixels of the track are on the plan", n)
			}
			if wide := ask[int](t, p.ctx, `document.documentElement.scrollWidth - document.documentElement.clientWidth`); wide > 0 {
				t.Errorf("the page scrolls sideways by %d px", wide)
			}
			p.key("drv0")
			p.see("desk-" + size.name + "-7-finding")
			answer := ""
			do(t, p.ctx, chromedp.Evaluate(`swardlineDesk.ask("driven", {logs: swardlineDesk.work.files.filter((f) => f.name.endsWith(".nmea")).map((f) => f.name).sort()}).then((a) => JSON.stringify(a.result))`, &answer, func(e *runtime.EvaluateParams) *runtime.EvaluateParams { return e.WithAwaitPromise(true) }))
			said = append(said, answer)
			// A log of nowhere near says so, and the plan stays.
			other := filepath.Join(t.TempDir(), "other.csv")
			if err := os.WriteFile(other, []byte("time,lat,lon,fix\n2026-05-11T08:00:00Z,40,9,4\n2026-05-11T08:00:01Z,40,9,4\n"), 0o644); err != nil {
				t.Fatal(err)
			}
			p.bring(other)
			p.says("it is a log from another site")
			if n := ask[int](t, p.ctx, `swardlineDesk.view.features.length`); n != 27 {
				t.Errorf("%d features are left of 27", n)
			}
		})
	}
	if len(said) == 2 && said[0] != said[1] {
		t.Errorf("native %.400s\nwasm   %.400s", said[0], said[1])
	}
}

const byTitle = `swardlineDesk.view.features.find((f) => f.name === %q)`

// TestDeskNothingLost: what was named and set in step 3 outlives roles, a look again,
// a further file and a reload; roles are taken back like any change.
func TestDeskNothingLost(t *testing.T) {
	p := sitDown(t, serveDesk(t, drawing+"park.dxf"), 390, 780, true)
	p.says("park.dxf is open")
	p.step("place")
	p.until(`!!document.querySelector("[data-key=openmarks]")`)
	p.bring(drawing + "marks.csv")
	p.says("4 marks read")
	p.key("lay")
	p.says("The drawing lies on its marks")
	place := ask[string](t, p.ctx, `JSON.stringify(swardlineDesk.work.place)`)

	p.step("draw")
	p.key(ask[string](t, p.ctx, `"f " + swardlineDesk.view.features.find((f) => f.role === "dock").i`))
	const faces = "Bearing that the machine faces when it stands in the dock, degrees"
	if off := ask[float64](t, p.ctx, `(() => { const l = document.getElementById("list").getBoundingClientRect(), c = document.getElementById("card").getBoundingClientRect(); return Math.max(l.top - c.top, c.top + 80 - l.bottom); })()`); off > 0 {
		t.Errorf("the card is out of sight by %v px", off)
	}
	if m := ask[float64](t, p.ctx, `Math.min(swardlineMap.state.width, swardlineMap.state.height) / swardlineMap.state.px`); m < 9.9 {
		t.Errorf("a point is shown with %v m about it", m)
	}
	// A name that is typed and not sent is there after the bearing is set.
	p.fill("name", "Dock by the shed")
	p.fill(faces, "123")
	do(t, p.ctx, chromedp.Evaluate(`document.activeElement.blur()`, nil))
	p.until(fmt.Sprintf("("+byTitle+" || {}).heading === 123", "Dock by the shed"))
	p.see("desk-lost-card")

	stands := func(after string) {
		t.Helper()
		if !ask[bool](t, p.ctx, fmt.Sprintf("("+byTitle+" || {}).heading === 123 && JSON.stringify(swardlineDesk.work.place) === %q && !document.getElementById(\"undo\").disabled", "Dock by the shed", place)) {
			p.see("desk-lost")
			t.Fatalf("after %s the dock's name, heading or the placing is gone", after)
		}
	}
	p.step("open")
	p.choose("group layer:MAST", "base")
	p.says("MAST: role changed")
	stands("a role")
	p.choose("group layer:DOCK", "")
	p.says("DOCK: role changed")
	stands("a role taken from the dock itself")
	p.tap(`document.getElementById("undo")`)
	p.says("Taken back.")
	stands("Undo of the role")
	if role := ask[string](t, p.ctx, fmt.Sprintf(byTitle+".role", "Dock by the shed")); role != "dock" {
		t.Errorf("after Undo the dock is %q", role)
	}
	p.key("use park.dxf")
	p.says("was looked at again")
	stands("a look again")
	p.bring(park)
	p.says("park.geojson is there.")
	stands("a further file")
	p.key("use park.geojson")
	p.says("park.geojson is open")
	p.tap(`document.getElementById("undo")`)
	p.until(`swardlineDesk.view.features.some((f) => f.name === "Dock by the shed")`)
	stands("another file and back")
	do(t, p.ctx, chromedp.Reload())
	p.until(`document.body.dataset.ready === "yes"`)
	p.says("As you left it.")
	stands("a reload")

	// The drawn waits, told by name, while the placing is taken back.
	p.step("draw")
	p.key("new mark")
	p.fill("e", "3")
	p.fill("n", "4")
	p.key("addp")
	p.says("Drawn.")
	p.step("place")
	p.button("Take the placing back")
	p.until(`!!document.getElementById("missed")`)
	p.says("a new mark")
	p.see("desk-lost-missed")
	p.tap(`document.getElementById("undo")`)
	p.until(`!document.getElementById("missed") && swardlineDesk.view.placed`)
	stands("the placing taken back and given again")

	p.step("check")
	p.until(`!!document.getElementById("words")`)
	if w := ask[string](t, p.ctx, `document.getElementById("words").textContent`); !strings.Contains(w, "not checked. ") || strings.Index(w, "not checked") > 12 {
		t.Errorf("the check says %q", w)
	}
	if ask[bool](t, p.ctx, `document.getElementById("words").className === "bad" && document.getElementById("words").textContent.includes("0 errors")`) {
		t.Error("no errors, in the colour of alarm")
	}
	p.see("desk-lost-check")
	p.step("give")
	p.until(`!!document.getElementById("standing")`)
	if w := ask[string](t, p.ctx, `document.getElementById("standing").textContent`); !strings.Contains(w, "stands at: ") || !strings.Contains(w, "not checked. ") {
		t.Errorf("hand over says %q", w)
	}
	p.key("give sheet.pdf")
	p.until(`!!document.querySelector("[data-key=save]")`)
	if w := ask[string](t, p.ctx, `(document.getElementById("holds") || {textContent: ""}).textContent`); strings.Contains(w, "holds everything") {
		t.Errorf("of a sheet: %q", w)
	}
	p.see("desk-lost-give")
}
