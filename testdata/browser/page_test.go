// The live page in a headless Chromium: layers, findings, measuring, the drift
// view against the rules in Go, print, a phone, accessibility, and that nothing
// is fetched.
//
// Tests skip where there is no Chromium; SWARDLINE_BROWSER names another one.
package browser

import (
	"context"
	"encoding/json"
	"fmt"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/chromedp/cdproto/cdp"
	"github.com/chromedp/cdproto/emulation"
	"github.com/chromedp/cdproto/input"
	"github.com/chromedp/cdproto/network"
	"github.com/chromedp/cdproto/page"
	"github.com/chromedp/cdproto/runtime"
	"github.com/chromedp/chromedp"
	"github.com/chromedp/chromedp/kb"

	"swardline/convert"
	"swardline/crs"
	"swardline/schema"
	"swardline/validate"
)

const date = "2026-05-31"

func browser(t *testing.T) string {
	t.Helper()
	if p := os.Getenv("SWARDLINE_BROWSER"); p != "" {
		return p
	}
	for _, name := range []string{"chromium", "chromium-browser"} {
		if p, err := exec.LookPath(name); err == nil {
			return p
		}
	}
	t.Skip("there is no chromium")
	return ""
}

var program = sync.OnceValues(func() (string, error) {
	dir, err := os.MkdirTemp("", "swardline-browser")
	if err != nil {
		return "", err
	}
	bin := filepath.Join(dir, "swardline")
	cmd := exec.Command("go", "build", "-o", bin, "./cmd/swardline")
	cmd.Dir = filepath.Join("..", "..")
	if out, err := cmd.CombinedOutput(); err != nil {
		return "", fmt.Errorf("%w\n%s", err, out)
	}
	return bin, nil
})

func TestMain(m *testing.M) {
	code := m.Run()
	if bin, err := program(); err == nil {
		os.RemoveAll(filepath.Dir(bin))
	}
	os.Exit(code)
}

const (
	park   = "../../examples/park/park.geojson"
	faults = "../../examples/faults/park-faults.geojson"
)

var pages sync.Map // plan and flags to the page's path

// makePage draws a plan as a page and returns its path.
func makePage(t *testing.T, plan string, flags ...string) string {
	t.Helper()
	key := plan + strings.Join(flags, " ")
	if p, ok := pages.Load(key); ok {
		return p.(string)
	}
	bin, err := program()
	if err != nil {
		t.Fatal(err)
	}
	out := filepath.Join(filepath.Dir(bin), fmt.Sprintf("page%d.html", time.Now().UnixNano()))
	cmd := exec.Command(bin, append([]string{"sheet", plan, out, "--date", date}, flags...)...)
	if msg, err := cmd.CombinedOutput(); err != nil {
		t.Fatalf("%v\n%s", err, msg)
	}
	pages.Store(key, out)
	return out
}

// profile is a fresh profile folder. It goes once the browser does, which
// writes to it to the last.
func profile(t *testing.T) string {
	t.Helper()
	dir, err := os.MkdirTemp("", "swardline-profile")
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() {
		for range 50 {
			if os.RemoveAll(dir) == nil {
				return
			}
			time.Sleep(50 * time.Millisecond)
		}
	})
	return dir
}

// open shows a page and fails the test at its end on any console error,
// exception, dialog or request for anything but the file itself.
func open(t *testing.T, path string, width, height int64) context.Context {
	t.Helper()
	return visit(t, "file://"+path, "file://"+path, width, height)
}

// visit shows an address; requests may go only to what begins with own.
func visit(t *testing.T, address, own string, width, height int64) context.Context {
	t.Helper()
	exe := browser(t)
	opts := []chromedp.ExecAllocatorOption{
		chromedp.ExecPath(exe), chromedp.NoFirstRun, chromedp.NoDefaultBrowserCheck, chromedp.Headless, chromedp.NoSandbox, chromedp.DisableGPU,
		chromedp.Flag("disable-quic", true), chromedp.Flag("disable-background-networking", true), chromedp.Flag("disable-component-update", true), chromedp.Flag("disable-sync", true),
		chromedp.UserDataDir(profile(t)), chromedp.WindowSize(int(width), int(height)),
	}
	alloc, stopAlloc := chromedp.NewExecAllocator(context.Background(), opts...)
	ctx, stop := chromedp.NewContext(alloc)
	ctx, cancel := context.WithTimeout(ctx, 240*time.Second)
	t.Cleanup(func() { _ = chromedp.Cancel(ctx); cancel(); stop(); stopAlloc() })
	var mu sync.Mutex
	var faults, requests []string
	chromedp.ListenTarget(ctx, func(ev any) {
		mu.Lock()
		defer mu.Unlock()
		switch ev := ev.(type) {
		case *runtime.EventExceptionThrown:
			faults = append(faults, "exception: "+ev.ExceptionDetails.Error())
		case *runtime.EventConsoleAPICalled:
			faults = append(faults, fmt.Sprintf("console.%s", ev.Type))
		case *page.EventJavascriptDialogOpening:
			faults = append(faults, "a dialog: "+ev.Message)
		case *network.EventRequestWillBeSent:
			if u := ev.Request.URL; !strings.HasPrefix(u, own) && !strings.HasPrefix(u, "data:") && !strings.HasPrefix(u, "blob:") {
				requests = append(requests, u)
			}
		}
	})
	if err := chromedp.Run(ctx, network.Enable(), runtime.Enable(), page.Enable(),
		emulation.SetDeviceMetricsOverride(width, height, 1, false),
		emulation.SetEmulatedMedia().WithFeatures([]*emulation.MediaFeature{{Name: "prefers-reduced-motion", Value: "reduce"}}),
		chromedp.Navigate(address), chromedp.WaitReady("body")); err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() {
		mu.Lock()
		defer mu.Unlock()
		for _, f := range faults {
			t.Errorf("the page reports: %s", f)
		}
		for _, u := range requests {
			t.Errorf("the page asks for %s", u)
		}
	})
	return ctx
}

func do(t *testing.T, ctx context.Context, actions ...chromedp.Action) {
	t.Helper()
	if err := chromedp.Run(ctx, actions...); err != nil {
		t.Fatal(err)
	}
}

// ask evaluates an expression in the page.
func ask[T any](t *testing.T, ctx context.Context, expression string) T {
	t.Helper()
	var v T
	do(t, ctx, chromedp.Evaluate(expression, &v))
	return v
}

// shot keeps a picture of the page in the folder that SWARDLINE_SHOTS names,
// for people to look at.
func shot(t *testing.T, ctx context.Context, name string) {
	t.Helper()
	keep := os.Getenv("SWARDLINE_SHOTS")
	if keep == "" {
		return
	}
	var png []byte
	do(t, ctx, chromedp.Sleep(200*time.Millisecond), chromedp.CaptureScreenshot(&png))
	if err := os.WriteFile(filepath.Join(keep, name+".png"), png, 0o644); err != nil {
		t.Fatal(err)
	}
}

func TestOpens(t *testing.T) {
	path := makePage(t, park)
	ctx := open(t, path, 1300, 850)
	info, err := os.Stat(path)
	if err != nil {
		t.Fatal(err)
	}
	if info.Size() >= 1<<20 {
		t.Errorf("the page has %d bytes", info.Size())
	}
	if got := ask[string](t, ctx, `document.title`); got != "Example Park (invented)" {
		t.Errorf("title %q", got)
	}
	if n := ask[int](t, ctx, `document.querySelectorAll("#map .f").length`); n != 27 {
		t.Errorf("%d features on the map, want 26 active ones and one that is off", n)
	}
	// To scale: the North lawn's side of 38 m in pixels is the view's metres a
	// pixel.
	got := ask[[]float64](t, ctx, `(() => { const p = document.querySelector('#map .f[data-i="1"] .line'), m = p.getScreenCTM(), a = p.getPointAtLength(0); return [m.a, sheet.view.k]; })()`)
	if math.Abs(got[0]*got[1]-1) > 0.01 {
		t.Errorf("a metre is %v pixels, the view says %v metres a pixel", got[0], got[1])
	}
}

func TestPanAndZoom(t *testing.T) {
	ctx := open(t, makePage(t, park), 1300, 850)
	type view struct{ X, Y, K float64 }
	look := func() view { return ask[view](t, ctx, `({X: sheet.view.x, Y: sheet.view.y, K: sheet.view.k})`) }
	start := look()
	do(t, ctx, chromedp.Click("#zoom-in", chromedp.ByQuery))
	if v := look(); math.Abs(v.K*1.6-start.K) > 1e-9 || v.X != start.X {
		t.Errorf("zoomed in: %+v from %+v", v, start)
	}
	do(t, ctx, chromedp.Click("#zoom-all", chromedp.ByQuery))
	if v := look(); math.Abs(v.K-start.K) > 1e-9 {
		t.Errorf("whole plan: %+v from %+v", v, start)
	}
	drag(t, ctx, 300, 400, 400, 350)
	if v := look(); math.Abs(v.X-(start.X-100*start.K)) > 1e-6 || math.Abs(v.Y-(start.Y-50*start.K)) > 1e-6 {
		t.Errorf("dragged: %+v from %+v", v, start)
	}
	before := look()
	do(t, ctx, chromedp.Focus("#map", chromedp.ByQuery), chromedp.KeyEvent(kb.ArrowRight), chromedp.KeyEvent("+"))
	if v := look(); v.X <= before.X || v.K >= before.K {
		t.Errorf("keys: %+v from %+v", v, before)
	}
	before = look()
	do(t, ctx, chromedp.ActionFunc(func(ctx context.Context) error {
		return input.DispatchMouseEvent(input.MouseWheel, 450, 460).WithDeltaX(0).WithDeltaY(-120).Do(ctx)
	}), chromedp.Sleep(100*time.Millisecond))
	if v := look(); v.K >= before.K {
		t.Errorf("the wheel does not zoom: %+v from %+v", v, before)
	}
}

func drag(t *testing.T, ctx context.Context, x0, y0, x1, y1 float64) {
	t.Helper()
	do(t, ctx, chromedp.ActionFunc(func(ctx context.Context) error {
		for _, e := range []*input.DispatchMouseEventParams{
			input.DispatchMouseEvent(input.MousePressed, x0, y0).WithButton(input.Left).WithButtons(1).WithClickCount(1),
			input.DispatchMouseEvent(input.MouseMoved, (x0+x1)/2, (y0+y1)/2).WithButton(input.Left).WithButtons(1),
			input.DispatchMouseEvent(input.MouseMoved, x1, y1).WithButton(input.Left).WithButtons(1),
			input.DispatchMouseEvent(input.MouseReleased, x1, y1).WithButton(input.Left).WithClickCount(1),
		} {
			if err := e.Do(ctx); err != nil {
				return err
			}
		}
		return nil
	}))
}

func TestLayers(t *testing.T) {
	ctx := open(t, makePage(t, park), 1300, 850)
	shown := func(sel string) bool {
		return ask[bool](t, ctx, fmt.Sprintf(`(() => { const r = document.querySelector(%q).getBoundingClientRect(); return r.width + r.height > 0; })()`, sel))
	}
	roles := ask[[]string](t, ctx, `[...document.querySelectorAll("#layers [data-layer]")].map(b => b.dataset.layer)`)
	if len(roles) < 12 {
		t.Fatalf("layers %v", roles)
	}
	for _, role := range roles {
		if role == "finding" {
			continue // the demo has none
		}
		if !shown("#layer-" + role) {
			t.Errorf("layer %s is not shown", role)
		}
		do(t, ctx, chromedp.Click(fmt.Sprintf(`input[data-layer=%q]`, role), chromedp.ByQuery))
		if shown("#layer-" + role) {
			t.Errorf("layer %s is still shown", role)
		}
		do(t, ctx, chromedp.Click(fmt.Sprintf(`input[data-layer=%q]`, role), chromedp.ByQuery))
		if !shown("#layer-" + role) {
			t.Errorf("layer %s does not come back", role)
		}
	}
}

func TestNamesByPointerAndKey(t *testing.T) {
	ctx := open(t, makePage(t, park), 1300, 850)
	at := ask[[]float64](t, ctx, `(() => { const r = document.querySelector('#map .f[data-i="1"]').getBoundingClientRect(); return [r.left + r.width / 2, r.top + r.height / 3]; })()`)
	do(t, ctx, chromedp.ActionFunc(func(ctx context.Context) error {
		return input.DispatchMouseEvent(input.MouseMoved, at[0], at[1]).Do(ctx)
	}), chromedp.Sleep(100*time.Millisecond))
	if text := ask[string](t, ctx, `document.getElementById("here-text").innerText`); !strings.Contains(text, "z1 North lawn") || !strings.Contains(text, "1444.0 m²") {
		t.Errorf("under the pointer: %q", text)
	}
	do(t, ctx, chromedp.Focus(`#map`, chromedp.ByQuery), chromedp.KeyEvent(kb.Tab))
	first := ask[string](t, ctx, `document.activeElement.getAttribute("aria-label")`)
	if text := ask[string](t, ctx, `document.getElementById("here-text").innerText`); first == "" || !strings.Contains(first, strings.SplitN(text, "\n", 2)[0]) {
		t.Errorf("with the focus on %q the text is %q", first, text)
	}
}

func TestFindingsFly(t *testing.T) {
	ctx := open(t, makePage(t, faults), 1300, 850)
	type finding struct {
		N  int
		At *[2]float64
	}
	list := ask[[]finding](t, ctx, `JSON.parse(document.getElementById("plan-data").textContent).findings.map(f => ({N: f.n, At: f.at}))`)
	if len(list) < 10 {
		t.Fatalf("%d findings", len(list))
	}
	flown := 0
	for _, f := range list {
		if f.At == nil {
			continue
		}
		do(t, ctx, chromedp.Click(fmt.Sprintf(`[data-fly="%d"]`, f.N), chromedp.ByQuery))
		got := ask[[]float64](t, ctx, `[sheet.view.x, sheet.view.y]`)
		if math.Hypot(got[0]-f.At[0], got[1]-f.At[1]) > 1e-6 {
			t.Errorf("finding %d at %v, the map is at %v", f.N, *f.At, got)
		}
		// Its tag is on the screen and marked.
		if ok := ask[bool](t, ctx, fmt.Sprintf(`(() => { const g = document.querySelector('.tag[data-finding="%d"]'), r = g.getBoundingClientRect(); return g.classList.contains("hot") && r.left > 0 && r.right < 900 && r.top > 0 && r.bottom < 850; })()`, f.N)); !ok {
			t.Errorf("finding %d: its tag is not to be seen", f.N)
		}
		flown++
	}
	shot(t, ctx, "finding")
	// On the whole plan no tag covers another, and no name a tag.
	do(t, ctx, chromedp.Click("#zoom-all", chromedp.ByQuery), chromedp.Sleep(200*time.Millisecond))
	shot(t, ctx, "findings")
	if over := ask[[]string](t, ctx, `(() => {
  const box = e => { const r = e.getBoundingClientRect(); return { name: e.textContent, x0: r.left + 2, y0: r.top + 2, x1: r.right - 2, y1: r.bottom - 2 }; };
  const tags = [...document.querySelectorAll(".tag .px > g")].map(box), names = [...document.querySelectorAll(".label:not(.off) .ground")].map(e => ({ ...box(e), name: e.nextSibling.textContent }));
  const meet = (a, b) => a.x0 < b.x1 && b.x0 < a.x1 && a.y0 < b.y1 && b.y0 < a.y1;
  const bad = [];
  tags.forEach((a, i) => { for (const b of tags.slice(i + 1)) if (meet(a, b)) bad.push(a.name + " on " + b.name); for (const b of names) if (meet(a, b)) bad.push(a.name + " on " + b.name); });
  names.forEach((a, i) => { for (const b of names.slice(i + 1)) if (meet(a, b)) bad.push(a.name + " on " + b.name); });
  return bad; })()`); len(over) > 0 {
		t.Errorf("on the map %q", over)
	}
	if flown < 8 {
		t.Errorf("%d findings have a place", flown)
	}
}

func TestMeasure(t *testing.T) {
	ctx := open(t, makePage(t, park), 1300, 850)
	do(t, ctx, chromedp.Click("#measure", chromedp.ByQuery))
	clickAt := func(x, y float64) []float64 {
		g := ask[[]float64](t, ctx, fmt.Sprintf(`sheet.ground({clientX: %v, clientY: %v})`, x, y))
		do(t, ctx, chromedp.MouseClickXY(x, y))
		return g
	}
	a, b := clickAt(200, 300), clickAt(620, 580)
	want := fmt.Sprintf("%.2f m on the ground", math.Hypot(b[0]-a[0], b[1]-a[1]))
	if got := ask[string](t, ctx, `document.getElementById("reading").textContent`); got != want {
		t.Errorf("reads %q, want %q", got, want)
	}
	shot(t, ctx, "measure")
	do(t, ctx, chromedp.Focus("#map", chromedp.ByQuery), chromedp.KeyEvent(kb.Escape))
	if got := ask[string](t, ctx, `document.getElementById("reading").textContent + document.getElementById("measure").getAttribute("aria-pressed")`); got != "false" {
		t.Errorf("after Escape: %q", got)
	}
}

// tightPlan has a pond, a wall and a boundary within centimetres of the zone,
// and ground past the base's range: every rule that stops has something to say
// below the shift that stops by itself.
const tightPlan = `{"type":"FeatureCollection","name":"Tight yard (invented)","held":"coordinates","features":[
{"type":"Feature","id":"z","geometry":{"type":"Polygon","coordinates":[[[11.2,56.95],[11.2005,56.95],[11.2005,56.9502],[11.2,56.9502],[11.2,56.95]]]},"properties":{"role":"zone","name":"Yard"}},
{"type":"Feature","id":"p","geometry":{"type":"Polygon","coordinates":[[[11.2005005,56.95005],[11.2005300,56.95005],[11.2005300,56.95007],[11.2005005,56.95007],[11.2005005,56.95005]]]},"properties":{"role":"hazard","name":"Pond","hazard_kind":"pond"}},
{"type":"Feature","id":"w","geometry":{"type":"LineString","coordinates":[[11.1999,56.95020045],[11.2006,56.95020045]]},"properties":{"role":"edge","name":"Wall","edge_kind":"wall"}},
{"type":"Feature","id":"l","geometry":{"type":"Polygon","coordinates":[[[11.1999995,56.9499],[11.201,56.9499],[11.201,56.9503],[11.1999995,56.9503],[11.1999995,56.9499]]]},"properties":{"role":"boundary","name":"Lot"}},
{"type":"Feature","id":"d","geometry":{"type":"Point","coordinates":[11.2001,56.9501]},"properties":{"role":"dock","name":"Dock","heading_deg":90}},
{"type":"Feature","id":"b","geometry":{"type":"Point","coordinates":[11.2003,56.95025]},"properties":{"role":"base","name":"Mast"}}]}`

// The page and the rules in Go agree: the verdict is that of validate.Drift at
// every shift, so is what is reached below the shift that stops by itself, and
// depths are as near as the page says of itself.
func TestDriftAgrees(t *testing.T) {
	dir := t.TempDir()
	tight, far := filepath.Join(dir, "tight.geojson"), filepath.Join(dir, "far.geojson")
	for path, text := range map[string]string{tight: tightPlan, far: strings.Replace(tightPlan, "[11.2003,56.95025]", "[11.2003,56.9549]", 1)} {
		if err := os.WriteFile(path, []byte(text), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	// Shifts as somebody might type them, to the millimetre: on and about every
	// limit, on all sides, and far past the tables.
	var shifts [][2]float64
	for _, r := range []float64{0.02, 0.021, 0.045, 0.07, 0.099, 0.1, 0.101, 0.33, 0.9, 2.2, 4.9, 5.1, 60} {
		for k := range 5 {
			b := 2*math.Pi*float64(k)/5 + r
			shifts = append(shifts, [2]float64{math.Round(r*math.Sin(b)*1000) / 1000, math.Round(r*math.Cos(b)*1000) / 1000})
		}
	}
	shifts = append(shifts, [][2]float64{{0, 0}, {0.02, 0}, {0.021, 0}, {0.06, 0.08}, {0.061, 0.079}, {0, 0.05}, {0.03, 0}, {-0.03, 0.001}, {0.05, 0.05}, {-99, 0}}...)
	for _, tc := range []struct {
		plan     string
		findings int
		verdicts int
	}{{park, 40, 3}, {faults, 40, 2}, {tight, 40, 3}, {far, 40, 2}} {
		ctx := open(t, makePage(t, tc.plan), 1300, 850)
		p, _, err := convert.ReadFile(tc.plan, convert.ReadOptions{})
		if err != nil {
			t.Fatal(err)
		}
		type table struct {
			Items []struct {
				Rule, Code, Feature string
				Limit               float64
			}
			Range, Near, Far float64
		}
		data := ask[table](t, ctx, `(() => { const d = JSON.parse(document.getElementById("plan-data").textContent).drift; const said = [...document.querySelector("#drift .small").textContent.matchAll(/by (\d+\.\d+) m/g)].map(m => +m[1]); return {Items: d.items.map(i => ({Rule: i.rule, Code: i.code, Feature: i.feature, Limit: i.limit})), Range: d.beyond[d.beyond.length - 1], Near: said[0], Far: said[1]}; })()`)
		if len(data.Items) < 5 || !(data.Near > 0) || !(data.Far > 0) {
			t.Fatalf("%+v", data)
		}
		if data.Near > 0.04 || data.Far > 0.5 {
			t.Errorf("%s: the page says that its depths are off by up to %v and %v m", filepath.Base(tc.plan), data.Near, data.Far)
		}
		codes := codesOf(p)
		found := 0
		verdicts := map[string]bool{}
		for _, s := range shifts {
			full, err := validate.Drift(p, schema.DefaultLimits(), validate.Movement{Antenna: crs.Local{E: crs.Metres(s[0]), N: crs.Metres(s[1])}, NoHeight: true}, validate.DriftOptions{Bearings: 4})
			if err != nil {
				t.Fatal(err)
			}
			got := ask[struct {
				Verdict    string
				OutOfRange bool
				Found      []struct {
					I     int
					Depth float64
				}
			}](t, ctx, fmt.Sprintf(`(() => { const d = sheet.drift(%v, %v); return {Verdict: d.verdict, OutOfRange: d.outOfRange, Found: d.found.map(f => ({I: f.i, Depth: f.depth}))}; })()`, s[0], s[1]))
			if got.Verdict != string(full.Verdict) {
				t.Errorf("%s, shift %v: the page says %s, Go %s", filepath.Base(tc.plan), s, got.Verdict, full.Verdict)
			}
			verdicts[got.Verdict] = true
			depths := map[string]float64{}
			for _, f := range got.Found {
				depths[data.Items[f.I].Rule+" "+data.Items[f.I].Code] = f.Depth
			}
			r := math.Hypot(s[0], s[1])
			// Somewhat more than at the shifts that the page itself was held
			// against.
			tolerance := 0.03
			if r > 1 {
				tolerance = 2*data.Far + 0.03
			}
			outOfRange := false
			for i := range full.Findings {
				f := &full.Findings[i]
				if f.Rule == "drift-base-range" {
					outOfRange = true
					continue
				}
				key := f.Rule + " " + codes[f.Features[0]]
				d, ok := depths[key]
				delete(depths, key)
				stops := f.Rule != "drift-enters-keepout" && f.Rule != "drift-leaves-zone"
				exact := f.Rule == "drift-off-dock" || stops && r < full.Limits.DriftStopM
				switch {
				case r > data.Range && f.Rule != "drift-off-dock":
					continue // the page says that it has no depths there
				case !ok && !exact && f.Measured < f.Limit+tolerance:
					continue
				case !ok || math.Abs(d-f.Measured) > tolerance:
					t.Errorf("%s, shift %v: %s: the page says %.3f (%v), Go %.3f", filepath.Base(tc.plan), s, key, d, ok, f.Measured)
				}
				found++
			}
			if outOfRange != got.OutOfRange {
				t.Errorf("%s, shift %v: out of range %v on the page, %v in Go", filepath.Base(tc.plan), s, got.OutOfRange, outOfRange)
			}
			for key, d := range depths {
				limit, stops := 0.0, false
				for _, x := range data.Items {
					if x.Rule+" "+x.Code == key {
						limit, stops = x.Limit, x.Rule != "drift-enters-keepout" && x.Rule != "drift-leaves-zone"
					}
				}
				if d > limit+tolerance || stops && r < full.Limits.DriftStopM {
					t.Errorf("%s, shift %v: the page says %s %.3f, Go nothing", filepath.Base(tc.plan), s, key, d)
				}
			}
		}
		if found < tc.findings || len(verdicts) < tc.verdicts {
			t.Errorf("%s: only %d findings were compared, verdicts %v", tc.plan, found, verdicts)
		}
	}
}

// codesOf are the ids of the active features, which a drawing takes for its
// codes.
func codesOf(p *schema.Plan) map[*schema.Feature]string {
	out := map[*schema.Feature]string{}
	for _, f := range p.Features {
		if f.Active() {
			out[f] = f.ID.Text()
		}
	}
	return out
}

// typeShift fills the two fields in as typing does.
func typeShift(e, n string) chromedp.Action {
	return chromedp.Evaluate(fmt.Sprintf(`for (const [id, v] of [["drift-e", %q], ["drift-n", %q]]) { const f = document.getElementById(id); f.value = v; f.dispatchEvent(new Event("input")); }`, e, n), nil)
}

func TestDriftView(t *testing.T) {
	ctx := open(t, makePage(t, park), 1300, 850)
	do(t, ctx, chromedp.Click("#drift-on", chromedp.ByQuery))
	if v := ask[string](t, ctx, `document.getElementById("drift-verdict").textContent`); v != "UNCHANGED: not moved" {
		t.Errorf("at first: %q", v)
	}
	do(t, ctx, typeShift("0.3", "0.1"))
	text := ask[string](t, ctx, `document.getElementById("drift-verdict").textContent + "|" + document.getElementById("drift-list").innerText`)
	for _, want := range []string{"STOP: 0.316 m on bearing 71.6°", "0.32 m: drives into keep-out k2 Pond", "drives out of zone z1 North lawn", "lines up off dock d1 Dock, 0.16 m to the left and 0.27 m beyond its line-up point"} {
		if !strings.Contains(text, want) {
			t.Errorf("%q is not in %q", want, text)
		}
	}
	shot(t, ctx, "drift")
	// The outline moved by as much, east to the right and north up.
	if got := ask[string](t, ctx, `document.getElementById("ghost").getAttribute("transform")`); got != "translate(0.3 -0.1)" {
		t.Errorf("the outline stands at %s", got)
	}
	// Each line flies to where it happens, and the outline is seen beside the
	// zone's own.
	do(t, ctx, chromedp.Evaluate(`[...document.querySelectorAll("#drift-list button")].find(b => b.textContent.includes("z3 Long lawn")).click()`, nil))
	shot(t, ctx, "breach")
	if v := ask[[]float64](t, ctx, `[sheet.view.x, sheet.view.y, sheet.view.k]`); v[2] > 0.01 || v[0] < 60 {
		t.Errorf("the map is at %v, not at the east end of the Long lawn", v)
	}
	do(t, ctx, chromedp.Click("#drift-on", chromedp.ByQuery), chromedp.Click("#zoom-all", chromedp.ByQuery), chromedp.Click("#drift-on", chromedp.ByQuery))
	// Dragging the base by pixels moves it by metres.
	do(t, ctx, chromedp.Click("#drift-zero", chromedp.ByQuery))
	at := ask[[]float64](t, ctx, `(() => { const r = document.querySelector("#base-handle .knob").getBoundingClientRect(); return [r.left + r.width / 2, r.top + r.height / 2, sheet.view.k]; })()`)
	drag(t, ctx, at[0], at[1], at[0]+20, at[1]-10)
	e := ask[float64](t, ctx, `parseFloat(document.getElementById("drift-e").value)`)
	n := ask[float64](t, ctx, `parseFloat(document.getElementById("drift-n").value)`)
	if math.Abs(e-20*at[2]) > 0.0011 || math.Abs(n-10*at[2]) > 0.0011 {
		t.Errorf("dragged by 20 and 10 pixels of %v m: %v, %v", at[2], e, n)
	}
	// And by keys.
	do(t, ctx, chromedp.Click("#drift-zero", chromedp.ByQuery), chromedp.Focus("#base-handle", chromedp.ByQuery), chromedp.KeyEvent(kb.ArrowRight), chromedp.KeyEvent(kb.ArrowUp), chromedp.KeyEvent(kb.ArrowUp))
	if got := ask[string](t, ctx, `document.getElementById("base-handle").getAttribute("aria-valuetext")`); got != "0.022 m on bearing 26.6°, re-measure" {
		t.Errorf("by keys: %q", got)
	}
	// Past the table the page stops, and says that it has no depths; past what
	// a base moves it judges nothing.
	do(t, ctx, typeShift("30", "0"))
	if got := ask[string](t, ctx, `document.getElementById("drift-verdict").textContent + "|" + document.getElementById("drift-list").innerText`); !strings.HasPrefix(got, "STOP: 30.000 m on bearing 90.0°") || !strings.Contains(got, "this page gives no depths") {
		t.Errorf("30 m: %q", got)
	}
	do(t, ctx, typeShift("101", "0"))
	if got := ask[string](t, ctx, `document.getElementById("drift-verdict").textContent + "|" + document.getElementById("drift-list").innerText`); !strings.HasPrefix(got, "NOT JUDGED") || !strings.Contains(got, "look at the numbers") {
		t.Errorf("101 m: %q", got)
	}
	// Up and down.
	do(t, ctx, typeShift("0", "0"), chromedp.Evaluate(`(() => { const f = document.getElementById("drift-u"); f.value = "-0.04"; f.dispatchEvent(new Event("input")); })()`, nil))
	if got := ask[string](t, ctx, `document.getElementById("drift-verdict").textContent + "|" + document.getElementById("drift-list").innerText`); got != "RE-MEASURE: 0.040 m down|heights would be 0.040 m lower than planned" {
		t.Errorf("4 cm down: %q", got)
	}
}

func TestPrint(t *testing.T) {
	ctx := open(t, makePage(t, faults), 1300, 850)
	do(t, ctx, emulation.SetEmulatedMedia().WithMedia("print"))
	if share := ask[float64](t, ctx, `document.getElementById("mapbox").offsetHeight / innerHeight`); share < 0.85 {
		t.Errorf("the map takes %.2f of the page", share)
	}
	for _, sel := range []string{"#tools", "#here", ".skip", "#layers input"} {
		if ask[string](t, ctx, fmt.Sprintf(`getComputedStyle(document.querySelector(%q)).display`, sel)) != "none" {
			t.Errorf("%s is printed", sel)
		}
	}
	var pdf []byte
	do(t, ctx, chromedp.ActionFunc(func(ctx context.Context) error {
		var err error
		pdf, _, err = page.PrintToPDF().WithPreferCSSPageSize(true).WithPrintBackground(false).Do(ctx)
		return err
	}))
	if !strings.HasPrefix(string(pdf), "%PDF") {
		t.Fatal("no print")
	}
	tool, err := exec.LookPath("pdftotext")
	if err != nil {
		t.Skip("there is no pdftotext")
	}
	in := filepath.Join(t.TempDir(), "a.pdf")
	if err := os.WriteFile(in, pdf, 0o644); err != nil {
		t.Fatal(err)
	}
	text, err := exec.Command(tool, in, "-").Output()
	if err != nil {
		t.Fatal(err)
	}
	for _, want := range []string{"Example Park with planted faults", "ring-crosses-itself", "Areas and lengths", "Caution", "Blades, children"} {
		if !strings.Contains(string(text), want) {
			t.Errorf("the print lacks %q", want)
		}
	}
	if keep := os.Getenv("SWARDLINE_SHOTS"); keep != "" {
		if err := os.WriteFile(filepath.Join(keep, "print.pdf"), pdf, 0o644); err != nil {
			t.Fatal(err)
		}
	}
}

// A phone: nothing to scroll sideways, fingers move and zoom the map, targets
// are large enough (24 CSS pixels, WCAG 2.2 criterion 2.5.8).
func TestPhone(t *testing.T) {
	ctx := open(t, makePage(t, faults), 390, 844)
	do(t, ctx, emulation.SetTouchEmulationEnabled(true))
	if w := ask[float64](t, ctx, `document.documentElement.scrollWidth`); w > 390 {
		t.Errorf("the page is %v wide on a phone of 390", w)
	}
	small := ask[[]string](t, ctx, `[...document.querySelectorAll("button, #layers label, .fields input")].filter(e => e.offsetParent && (e.offsetWidth < 24 || e.offsetHeight < 24)).map(e => e.outerHTML.slice(0, 80))`)
	for _, s := range small {
		t.Errorf("too small for a finger: %s", s)
	}
	type view struct{ X, Y, K float64 }
	look := func() view { return ask[view](t, ctx, `({X: sheet.view.x, Y: sheet.view.y, K: sheet.view.k})`) }
	shot(t, ctx, "phone")
	start := look()
	touch := func(kind input.TouchType, pts ...*input.TouchPoint) {
		do(t, ctx, chromedp.ActionFunc(func(ctx context.Context) error { return input.DispatchTouchEvent(kind, pts).Do(ctx) }))
	}
	touch(input.TouchStart, &input.TouchPoint{X: 150, Y: 400, ID: 1})
	touch(input.TouchMove, &input.TouchPoint{X: 200, Y: 400, ID: 1})
	touch(input.TouchEnd)
	if v := look(); math.Abs(v.X-(start.X-50*start.K)) > start.K*1.01 {
		t.Errorf("one finger by 50 pixels: %+v from %+v", v, start)
	}
	start = look()
	touch(input.TouchStart, &input.TouchPoint{X: 150, Y: 400, ID: 1}, &input.TouchPoint{X: 250, Y: 400, ID: 2})
	touch(input.TouchMove, &input.TouchPoint{X: 140, Y: 400, ID: 1}, &input.TouchPoint{X: 260, Y: 400, ID: 2})
	touch(input.TouchMove, &input.TouchPoint{X: 100, Y: 400, ID: 1}, &input.TouchPoint{X: 300, Y: 400, ID: 2})
	touch(input.TouchEnd)
	if v := look(); v.K > start.K*0.75 {
		t.Errorf("two fingers apart: %+v from %+v", v, start)
	}
}

// The narrowest phones have nothing to scroll sideways either; names stand
// inside the map's edge, and neither under another name nor under a finding's
// tag; words are for fingers.
func TestNarrowPhone(t *testing.T) {
	for _, plan := range []string{park, faults} {
		ctx := open(t, makePage(t, plan, "--no-drift"), 360, 740)
		do(t, ctx, emulation.SetTouchEmulationEnabled(true), emulation.SetEmitTouchEventsForMouse(true), chromedp.Reload(), chromedp.WaitReady("body"), chromedp.Sleep(300*time.Millisecond))
		if w := ask[float64](t, ctx, `document.documentElement.scrollWidth`); w > 360 {
			t.Errorf("%s: the page is %v wide on a phone of 360", plan, w)
		}
		if text := ask[string](t, ctx, `document.getElementById("here-text").innerText`); text != "Tap a feature." {
			t.Errorf("%s: a phone is told %q", plan, text)
		}
		if names := ask[int](t, ctx, `document.querySelectorAll(".label:not(.off)").length`); names < 5 {
			t.Errorf("%s: %d names on a phone", plan, names)
		}
		for _, fault := range ask[[]string](t, ctx, `(() => {
			const out = [], m = document.getElementById("map").getBoundingClientRect();
			const names = [...document.querySelectorAll(".label:not(.off) text")].map(e => [e.textContent, e.getBoundingClientRect()]);
			const tags = [...document.querySelectorAll(".tag .tagform")].map(e => ["tag", e.getBoundingClientRect()]);
			const meet = (a, b) => a.left < b.right - 1 && b.left < a.right - 1 && a.top < b.bottom - 1 && b.top < a.bottom - 1;
			names.forEach(([s, r], i) => {
				if (r.left < m.left || r.right > m.right || r.top < m.top || r.bottom > m.bottom) out.push(s + " passes the edge");
				for (const [o, q] of names.slice(i + 1)) if (meet(r, q)) out.push(s + " lies on " + o);
				for (const [, q] of tags) if (meet(r, q)) out.push(s + " lies under a tag");
			});
			return out;
		})()`) {
			t.Errorf("%s: %s", plan, fault)
		}
		shot(t, ctx, "narrow")
	}
}

// The device says where it is when it is asked, by the button alone; nothing of
// it is kept. The place is that of the mark M1, 10 m north of it, and one far
// away.
func TestWhereAmI(t *testing.T) {
	path := makePage(t, park, "--no-drift")
	ctx := open(t, path, 390, 844)
	at := func(lat, lon, accuracy float64) string {
		do(t, ctx, chromedp.Evaluate(fmt.Sprintf(`navigator.geolocation.getCurrentPosition = (ok, no, o) => { window.asked = (window.asked || 0) + 1; ok({coords: {latitude: %v, longitude: %v, accuracy: %v}}); }`, lat, lon, accuracy), nil))
		do(t, ctx, chromedp.Click("#where", chromedp.ByQuery))
		return ask[string](t, ctx, `document.getElementById("reading").textContent`)
	}
	if n := ask[int](t, ctx, `window.asked || 0`); n != 0 {
		t.Errorf("asked %d times before the button", n)
	}
	if text := at(56.9500272937, 11.2000783998, 4); text != "You are here, to about 4 m, which is not good enough to set anything out." {
		t.Errorf("at a mark: %q", text)
	}
	off := ask[float64](t, ctx, `(() => {
		const i = JSON.parse(document.getElementById("plan-data").textContent).features.findIndex(f => f.label === "M1");
		const m = document.querySelector('.f[data-i="' + i + '"] > g').transform.baseVal[0].matrix, h = document.getElementById("here-at").transform.baseVal[0].matrix;
		return Math.hypot(m.e - h.e, m.f - h.f);
	})()`)
	if off > 0.01 {
		t.Errorf("the device at the mark stands %.3f m from it", off)
	}
	if text := at(57.95, 11.2, 10); !strings.Contains(text, "111 km off the plan") {
		t.Errorf("a degree north: %q", text)
	}
	if kept := ask[int](t, ctx, `(() => { try { return localStorage.length + sessionStorage.length } catch { return 0 } })() + document.cookie.length`); kept != 0 {
		t.Error("something is kept")
	}
}

// Names, roles and contrast as the browser's accessibility tree and the page's
// own styles have them. Contrast is WCAG's, 4.5 to 1.
func TestAccessible(t *testing.T) {
	for _, plan := range []string{park, faults} {
		ctx := open(t, makePage(t, plan), 1300, 850)
		if lang := ask[string](t, ctx, `document.documentElement.lang`); lang != "en" {
			t.Errorf("language %q", lang)
		}
		if strings.Contains(plan, "park.geojson") {
			do(t, ctx, chromedp.Click("#drift-on", chromedp.ByQuery))
		}
		// Read loosely: the driver's own types lag behind the browser's.
		type value struct {
			Value any `json:"value"`
		}
		var tree struct {
			Nodes []struct {
				Ignored bool   `json:"ignored"`
				Role    *value `json:"role"`
				Name    *value `json:"name"`
			} `json:"nodes"`
		}
		do(t, ctx, chromedp.ActionFunc(func(ctx context.Context) error {
			return cdp.Execute(ctx, "Accessibility.getFullAXTree", nil, &tree)
		}))
		need := map[string]int{"button": 0, "checkbox": 0, "image": 0, "application": 0, "heading": 0, "table": 0, "main": 0}
		for _, n := range tree.Nodes {
			if n.Ignored || n.Role == nil {
				continue
			}
			role, _ := n.Role.Value.(string)
			name := ""
			if n.Name != nil {
				name, _ = n.Name.Value.(string)
			}
			if role == "img" {
				role = "image"
			}
			if _, ok := need[role]; ok {
				need[role]++
			}
			switch role {
			case "button", "checkbox", "image", "application", "heading", "link", "slider", "spinbutton", "textbox", "region", "table":
				if strings.TrimSpace(name) == "" {
					t.Errorf("%s: a %s has no name", filepath.Base(plan), role)
				}
			}
		}
		for role, n := range need {
			if n == 0 {
				t.Errorf("%s: no %s in the accessibility tree", filepath.Base(plan), role)
			}
		}
		var low []string
		for _, media := range []struct{ medium, scheme string }{{"", "light"}, {"", "dark"}, {"print", "light"}} {
			do(t, ctx, emulation.SetEmulatedMedia().WithMedia(media.medium).WithFeatures([]*emulation.MediaFeature{{Name: "prefers-color-scheme", Value: media.scheme}}))
			low = append(low, ask[[]string](t, ctx, contrast)...)
		}
		do(t, ctx, emulation.SetEmulatedMedia().WithMedia(""))
		for _, s := range low {
			t.Errorf("%s: contrast: %s", filepath.Base(plan), s)
		}
		if n := ask[int](t, ctx, `window.contrastChecked`); n < 60 {
			t.Errorf("only %d texts were looked at", n)
		}
		// Ids are unique, and what labels refer to exists.
		if bad := ask[[]string](t, ctx, `(() => { const seen = {}, bad = []; for (const e of document.querySelectorAll("[id]")) { if (seen[e.id]) bad.push("twice " + e.id); seen[e.id] = 1; } for (const e of document.querySelectorAll("[aria-labelledby],[aria-controls]")) for (const a of ["aria-labelledby", "aria-controls"]) if (e.hasAttribute(a) && !document.getElementById(e.getAttribute(a))) bad.push(e.getAttribute(a)); return bad; })()`); len(bad) > 0 {
			t.Errorf("ids: %v", bad)
		}
	}
}

// contrast lists texts whose colour stands out too little from what is behind
// them.
const contrast = `(() => {
  const rgb = s => s.match(/[\d.]+/g).map(Number);
  const lum = c => { const f = c.slice(0, 3).map(v => { v /= 255; return v <= 0.03928 ? v / 12.92 : ((v + 0.055) / 1.055) ** 2.4; }); return 0.2126 * f[0] + 0.7152 * f[1] + 0.0722 * f[2]; };
  const ratio = (a, b) => { const x = lum(a), y = lum(b); return (Math.max(x, y) + 0.05) / (Math.min(x, y) + 0.05); };
  const bad = [];
  let n = 0;
  const walk = document.createTreeWalker(document.body, NodeFilter.SHOW_TEXT);
  while (walk.nextNode()) {
    const text = walk.currentNode.textContent.trim(), el = walk.currentNode.parentElement;
    if (!text || el.closest("script,style") || !el.getClientRects().length) continue;
    const svg = el.closest("svg");
    const style = getComputedStyle(el);
    let fore = rgb(svg ? style.fill : style.color), back = [255, 255, 255];
    if (svg) {
      if (el.classList.contains("tagno")) back = rgb(getComputedStyle(el.parentElement.querySelector(".tagform")).fill);
      else if (style.paintOrder.includes("stroke")) back = rgb(style.stroke);
      else back = rgb(getComputedStyle(document.body).backgroundColor);
    } else for (let e = el; e; e = e.parentElement) {
      const b = rgb(getComputedStyle(e).backgroundColor);
      if (b.length < 4 || b[3] > 0.8) { back = b; break; }
    }
    n++;
    const r = ratio(fore, back);
    if (r < 4.5) bad.push(text.slice(0, 40) + " " + r.toFixed(2));
  }
  window.contrastChecked = n;
  return bad;
})()`

// Names that are markup stay names, and 400 zones stay usable.
func TestHostileNames(t *testing.T) {
	evil := `</script><script>alert(1)</script><img src=x onerror=alert(2)>"'&]]>`
	quoted, err := json.Marshal(evil)
	if err != nil {
		t.Fatal(err)
	}
	plan := filepath.Join(t.TempDir(), "evil.geojson")
	text := fmt.Sprintf(`{"type":"FeatureCollection","name":%[1]s,"features":[{"type":"Feature","id":"z","geometry":{"type":"Polygon","coordinates":[[[11.2,56.95],[11.201,56.95],[11.201,56.9505],[11.2,56.9505],[11.2,56.95]]]},"properties":{"role":"zone","name":%[1]s,"note":%[1]s}},
{"type":"Feature","id":"h","geometry":{"type":"Point","coordinates":[11.2005,56.9502]},"properties":{"role":"hazard","name":%[1]s,"hazard_kind":%[1]s,"radius_m":2}}]}`, quoted)
	if err := os.WriteFile(plan, []byte(text), 0o644); err != nil {
		t.Fatal(err)
	}
	ctx := open(t, makePage(t, plan), 1300, 850)
	if got := ask[string](t, ctx, `document.querySelector("h1").textContent`); got != evil {
		t.Errorf("the heading reads %q", got)
	}
	if n := ask[int](t, ctx, `document.querySelectorAll("img").length`); n != 0 {
		t.Errorf("%d images came out of a name", n)
	}
	do(t, ctx, chromedp.Click("#drift-on", chromedp.ByQuery), typeShift("0.5", "0"), chromedp.Evaluate(`document.querySelector("[data-fly]").click()`, nil))
	do(t, ctx, chromedp.Evaluate(`document.querySelector('#map .f').focus()`, nil))
	if got := ask[string](t, ctx, `document.getElementById("here-text").textContent`); !strings.Contains(got, evil) {
		t.Errorf("the text on a feature reads %q", got)
	}
}

func TestManyZones(t *testing.T) {
	var b strings.Builder
	b.WriteString(`{"type":"FeatureCollection","name":"Plots (invented)","features":[`)
	for i := range 400 {
		if i > 0 {
			b.WriteString(",")
		}
		x, y := 11.2+0.0002*float64(i%20), 56.95+0.0001*float64(i/20)
		fmt.Fprintf(&b, `{"type":"Feature","id":"z%d","geometry":{"type":"Polygon","coordinates":[[[%.6f,%.6f],[%.6f,%.6f],[%.6f,%.6f],[%.6f,%.6f],[%.6f,%.6f]]]},"properties":{"role":"zone","name":"Plot %d"}}`,
			i, x, y, x+0.00015, y, x+0.00015, y+0.00008, x, y+0.00008, x, y, i+1)
	}
	b.WriteString("]}")
	plan := filepath.Join(t.TempDir(), "many.geojson")
	if err := os.WriteFile(plan, []byte(b.String()), 0o644); err != nil {
		t.Fatal(err)
	}
	path := makePage(t, plan)
	if info, err := os.Stat(path); err != nil || info.Size() >= 1<<20 {
		t.Errorf("%v bytes, %v", info.Size(), err)
	}
	ctx := open(t, path, 1300, 850)
	if n := ask[int](t, ctx, `document.querySelectorAll("#map .f").length`); n != 400 {
		t.Errorf("%d zones", n)
	}
	shot(t, ctx, "many")
	// The drift view holds them all.
	do(t, ctx, chromedp.Click("#drift-on", chromedp.ByQuery), typeShift("0.05", "0"))
	if got := ask[string](t, ctx, `document.getElementById("drift-verdict").textContent + document.querySelectorAll("#drift-list button").length`); got != "RE-MEASURE: 0.050 m on bearing 90.0°400" {
		t.Errorf("the drift view of 400 zones says %q", got)
	}
	do(t, ctx, chromedp.Click("#zoom-in", chromedp.ByQuery), chromedp.Click("#zoom-in", chromedp.ByQuery))
	if text := ask[string](t, ctx, `document.getElementById("lists").innerText`); !strings.Contains(text, "z399 Plot 400") {
		t.Error("the lists lack the last zone")
	}
}

// The SVG of a sheet opens as a drawing, without a word of a parser's.
func TestSVGOpens(t *testing.T) {
	path, err := filepath.Abs("../../examples/sheet.svg")
	if err != nil {
		t.Fatal(err)
	}
	ctx := openSVG(t, path)
	if got := ask[string](t, ctx, `document.documentElement.localName + " " + document.getElementsByTagName("parsererror").length`); got != "svg 0" {
		t.Errorf("the document is %q", got)
	}
	// The letters are those that the drawing brings along, and as wide as they
	// were laid out for, the browser's rounding of small letters aside: without
	// the attribute that holds them to it each text keeps its width.
	if loaded := ask[int](t, ctx, `[...document.fonts].filter(f => f.family.includes("Sheet") && f.status === "loaded").length`); loaded != 2 {
		t.Errorf("%d fonts of the drawing are loaded, want 2", loaded)
	}
	if off := ask[[]string](t, ctx, `[...document.querySelectorAll("text[textLength]")].map(t => { const want = +t.getAttribute("textLength"); t.removeAttribute("textLength"); const got = t.getComputedTextLength(); return Math.abs(got - want) > 0.05 + 0.003 * want ? t.textContent + ": " + got + ", laid out for " + want : ""; }).filter(s => s)`); len(off) > 0 {
		t.Errorf("texts have another width: %q", off)
	}
	if n := ask[int](t, ctx, `document.querySelectorAll("text").length`); n < 100 {
		t.Errorf("%d texts", n)
	}
	// A text that is measured here is not wider than it was laid out for:
	// nothing in the panel runs out of the sheet's frame.
	if wide := ask[[]string](t, ctx, `[...document.querySelectorAll("text")].filter(t => !t.hasAttribute("transform")).map(t => [t.textContent, t.getBBox()]).filter(x => x[1].x < 4 || x[1].x + x[1].width > 416).map(x => x[0])`); len(wide) > 0 {
		t.Errorf("texts run out of the sheet: %q", wide)
	}
}

func openSVG(t *testing.T, path string) context.Context {
	t.Helper()
	opts := append(chromedp.DefaultExecAllocatorOptions[:], chromedp.ExecPath(browser(t)), chromedp.NoSandbox, chromedp.DisableGPU, chromedp.Flag("disable-quic", true), chromedp.UserDataDir(profile(t)), chromedp.WindowSize(1600, 1140))
	alloc, stopAlloc := chromedp.NewExecAllocator(context.Background(), opts...)
	ctx, stop := chromedp.NewContext(alloc)
	ctx, cancel := context.WithTimeout(ctx, 60*time.Second)
	t.Cleanup(func() { _ = chromedp.Cancel(ctx); cancel(); stop(); stopAlloc() })
	do(t, ctx, chromedp.Navigate("file://"+path))
	return ctx
}
