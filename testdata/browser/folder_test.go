// The pages of a folder in a headless Chromium: the map of the sites, the table
// that sorts, a finding's way to its place and back, the live page and the way
// back, on a phone, by keyboard, printed, without scripts, and without asking
// for anything.

package browser

import (
	"context"
	"fmt"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"

	"github.com/chromedp/cdproto/emulation"
	"github.com/chromedp/cdproto/page"
	"github.com/chromedp/chromedp"
	"github.com/chromedp/chromedp/kb"
)

// town writes 200 plans within 9 by 6 km, twelve of them of one estate, each
// with a zone; some without a base, one far away, one without a place, one that
// is no plan.
func town(t *testing.T) string {
	t.Helper()
	dir := t.TempDir()
	r := rand.New(rand.NewPCG(16, 1))
	site := func(name string, lon, lat float64, more string) {
		text := fmt.Sprintf(`{"type":"FeatureCollection","name":%q,"features":[{"type":"Feature","id":"z1","geometry":{"type":"Polygon","coordinates":[[[%[2]f,%[3]f],[%[4]f,%[3]f],[%[4]f,%[5]f],[%[2]f,%[5]f],[%[2]f,%[3]f]]]},"properties":{"role":"zone","name":"Lawn"}}%[6]s]}`,
			name, lon, lat, lon+0.0006, lat+0.0003, more)
		if err := os.WriteFile(filepath.Join(dir, strings.ReplaceAll(name, " ", "-")+".geojson"), []byte(text), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	base := func(lon, lat float64) string {
		return fmt.Sprintf(`,{"type":"Feature","id":"s0","geometry":{"type":"Point","coordinates":[%f,%f]},"properties":{"role":"base","name":"Mast"}}`, lon, lat)
	}
	for i := range 200 {
		lon, lat := 11.2+0.15*r.Float64(), 56.95+0.055*r.Float64()
		if i < 12 {
			lon, lat = 11.26+0.0015*float64(i%4), 56.97+0.0008*float64(i/4)
		}
		more := ""
		if i%3 > 0 {
			more = base(lon+0.0003, lat+0.0004)
		}
		site(fmt.Sprintf("Site %03d", i), lon, lat, more)
	}
	site("Far site", 14.1, 55.4, base(14.1, 55.4))
	for name, text := range map[string]string{"broken.geojson": `{"type":`, "plane.csv": "id,role,name,x,y\nz1,zone,Lawn,0,0\nz1,zone,Lawn,20,0\nz1,zone,Lawn,20,20\n"} {
		if err := os.WriteFile(filepath.Join(dir, name), []byte(text), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	return dir
}

// makePages checks what is named into a folder of pages.
func makePages(t *testing.T, paths ...string) string {
	t.Helper()
	bin, err := program()
	if err != nil {
		t.Fatal(err)
	}
	out, err := filepath.EvalSymlinks(t.TempDir())
	if err != nil {
		t.Fatal(err)
	}
	cmd := exec.Command(bin, append([]string{"check", "--quiet", "--fail-on", "never", "--pages", out}, paths...)...)
	if msg, err := cmd.CombinedOutput(); err != nil && cmd.ProcessState.ExitCode() != 3 { // a plan among them may be broken
		t.Fatalf("%v\n%s", err, msg)
	}
	return out
}

// whole keeps a picture of all of a page, as shot does of what is in view.
func whole(t *testing.T, ctx context.Context, name string) {
	t.Helper()
	if keep := os.Getenv("SWARDLINE_SHOTS"); keep != "" {
		var png []byte
		do(t, ctx, chromedp.FullScreenshot(&png, 100))
		if err := os.WriteFile(filepath.Join(keep, name+".png"), png, 0o644); err != nil {
			t.Fatal(err)
		}
	}
}

func fits(t *testing.T, ctx context.Context, what string, width int) {
	t.Helper()
	if w := ask[int](t, ctx, `document.documentElement.scrollWidth`); w > width {
		t.Errorf("%s is %d wide on a screen of %d", what, w, width)
	}
}

func TestFolderIndex(t *testing.T) {
	dir := makePages(t, town(t))
	own := "file://" + dir
	for _, width := range []int{1280, 390, 360} {
		ctx := visit(t, own+"/index.html", own, int64(width), 800)
		fits(t, ctx, "the index", width)
		whole(t, ctx, fmt.Sprintf("index-%d", width))
		// Every plan with a place is under one sign of the map of all.
		if n := ask[int](t, ctx, `[...document.querySelectorAll("#sites a.site")].reduce((n, a) => n + (+a.querySelector("text")?.textContent || 1), 0)`); n != 201 {
			t.Errorf("the map shows %d sites, want 201", n)
		}
		for _, words := range []string{"Not on the map, but in the table: 1 plan that could not be read, 1 plan whose place on the earth is not known."} {
			if text := ask[string](t, ctx, `document.querySelector(".missing").textContent`); text != words {
				t.Errorf("the index says %q", text)
			}
		}
		if width == 1280 {
			do(t, ctx, chromedp.Evaluate(`location.hash = "#close-1"`, nil))
			shot(t, ctx, "index-close")
		}
		// A number leads closer, or to the plans that it stands for.
		if n := ask[int](t, ctx, `(() => {
			const seen = new Set();
			for (const a of document.querySelectorAll("a.site")) {
				const to = a.getAttribute("href");
				if (!to.startsWith("#")) seen.add(to);
				else if (!to.startsWith("#close-")) document.querySelectorAll(to + " a").forEach(l => seen.add(l.getAttribute("href")));
			}
			return seen.size;
		})()`); n != 201 {
			t.Errorf("the maps lead to %d plans, want 201", n)
		}
		// Signs are apart: no two of one map lie on one another.
		if n := ask[int](t, ctx, `(() => {
			let n = 0;
			for (const map of document.querySelectorAll("figure svg")) {
				const spots = [...map.querySelectorAll("a.site path")].map(e => e.getBBox());
				spots.forEach((a, i) => { for (const b of spots.slice(i + 1)) {
					const w = Math.min(a.x + a.width, b.x + b.width) - Math.max(a.x, b.x), h = Math.min(a.y + a.height, b.y + b.height) - Math.max(a.y, b.y);
					if (w > 1 && h > 1) n++;
				} });
			}
			return n;
		})()`); n > 0 {
			t.Errorf("%d pairs of signs lie on one another", n)
		}
		// Every link leads somewhere.
		if dead := ask[[]string](t, ctx, `[...document.querySelectorAll('a[href^="#"]')].map(a => a.getAttribute("href")).filter(h => !document.getElementById(h.slice(1)))`); len(dead) > 0 {
			t.Errorf("dead links: %v", dead)
		}
		for _, href := range ask[[]string](t, ctx, `[...document.querySelectorAll('a:not([href^="#"])')].map(a => a.getAttribute("href"))`) {
			if _, err := os.Stat(filepath.Join(dir, filepath.FromSlash(href))); err != nil {
				t.Errorf("%s: %v", href, err)
			}
		}
	}
}

// The signs of the table differ in form and in colour.
func TestFolderSymbols(t *testing.T) {
	dir := makePages(t, town(t), "../../examples/park")
	own := "file://" + dir
	ctx := visit(t, own+"/index.html", own, 1280, 800)
	shapes := ask[[][]string](t, ctx, `[...document.querySelectorAll(".key .symbol path")].map(p => [p.getAttribute("d").replace(/[0-9.-]+/g, "").length + p.getAttribute("d").split(" ")[0], p.getAttribute("fill")])`)
	if len(shapes) < 4 {
		t.Fatalf("%d signs in the key", len(shapes))
	}
	for i := range shapes {
		for k := range i {
			if shapes[i][0] == shapes[k][0] || shapes[i][1] == shapes[k][1] {
				t.Errorf("signs %d and %d are %v and %v", k, i, shapes[k], shapes[i])
			}
		}
	}
}

func TestFolderSorts(t *testing.T) {
	dir := makePages(t, "../../examples/park", "../../examples/faults")
	own := "file://" + dir
	ctx := visit(t, own+"/index.html", own, 1280, 800)
	first := func() string {
		return ask[string](t, ctx, `document.querySelector("table.plans tbody tr td").textContent`)
	}
	before := first()
	// By keyboard: the head of the column of errors, twice for the most first.
	do(t, ctx, chromedp.Evaluate(`document.querySelectorAll("table.plans th button")[4].focus()`, nil), chromedp.KeyEvent(kb.Enter))
	if s := ask[string](t, ctx, `document.querySelectorAll("table.plans th")[4].getAttribute("aria-sort")`); s != "ascending" {
		t.Errorf("sorted %q", s)
	}
	do(t, ctx, chromedp.KeyEvent(kb.Enter))
	if s := first(); !strings.Contains(s, "park-faults") {
		t.Errorf("the most errors has %s", s)
	}
	do(t, ctx, chromedp.Evaluate(`document.querySelectorAll("table.plans th button")[2].click()`, nil))
	if s := first(); !strings.Contains(s, "park-faults") {
		t.Errorf("the gravest is %s", s)
	}
	// A phone has no heads of columns; it has a list of them.
	ctx = visit(t, own+"/index.html", own, 360, 740)
	do(t, ctx, chromedp.Evaluate(`(() => { const s = document.querySelector(".sorter select"); s.value = "4"; s.dispatchEvent(new Event("change")); s.dispatchEvent(new Event("change")); })()`, nil))
	if s := first(); !strings.Contains(s, "park-faults") {
		t.Errorf("on a phone the most errors has %s", s)
	}
	shot(t, ctx, "index-phone-sorted")
	// Without scripts the table stands as it was written.
	ctx = visit(t, own+"/index.html", own, 1280, 800)
	do(t, ctx, emulation.SetScriptExecutionDisabled(true), chromedp.Reload(), chromedp.WaitReady("body"), emulation.SetScriptExecutionDisabled(false))
	if s := first(); s != before || ask[int](t, ctx, `document.querySelectorAll("th button, .sorter").length`) != 0 {
		t.Errorf("without scripts the first is %s", s)
	}
}

func TestFolderPlan(t *testing.T) {
	dir := makePages(t, "../../examples/faults")
	own := "file://" + dir
	list, err := filepath.Glob(filepath.Join(dir, "plans", "*.html"))
	if err != nil || len(list) != 1 {
		t.Fatalf("%v %v", list, err)
	}
	for _, width := range []int{1280, 390, 360} {
		ctx := visit(t, "file://"+list[0], own, int64(width), 740)
		fits(t, ctx, "the page of a plan", width)
		whole(t, ctx, fmt.Sprintf("plan-%d", width))
		findings := ask[int](t, ctx, `document.querySelectorAll("table.findings tbody tr").length`)
		if n := ask[int](t, ctx, `document.querySelectorAll('figure.plan [id^="at-"]').length`); n != findings || n < 10 {
			t.Errorf("%d findings, %d of them on the map", findings, n)
		}
		// From the table to the place, which is then in view and marked, and
		// back.
		for _, n := range []int{1, 4, 11} {
			do(t, ctx, chromedp.Evaluate(fmt.Sprintf(`document.querySelector('a[href="#at-%d"]').focus()`, n), nil), chromedp.KeyEvent(kb.Enter))
			seen := ask[bool](t, ctx, fmt.Sprintf(`(() => { const e = document.getElementById("at-%d"), r = e.getBoundingClientRect(); return e.matches(":target") && r.bottom > 0 && r.top < innerHeight && getComputedStyle(e.querySelector("path")).strokeWidth === "1.1px" })()`, n))
			if !seen {
				t.Errorf("%d px: finding %d does not lead to its place", width, n)
			}
			do(t, ctx, chromedp.Evaluate(fmt.Sprintf(`document.getElementById("at-%d").dispatchEvent(new MouseEvent("click", {bubbles: true, cancelable: true, view: window}))`, n), nil))
			if !ask[bool](t, ctx, fmt.Sprintf(`(() => { const e = document.getElementById("finding-%d"), r = e.getBoundingClientRect(); return e.matches(":target") && r.bottom > 0 && r.top < innerHeight })()`, n)) {
				t.Errorf("%d px: the number %d on the map does not lead to its finding", width, n)
			}
		}
		if width == 360 {
			shot(t, ctx, "plan-finding")
		}
		// The numbers are those of the live page, where the way back is.
		words := ask[string](t, ctx, `document.getElementById("finding-4").cells[2].textContent`)
		do(t, ctx, chromedp.Click(`nav a[href^="../live/"]`, chromedp.ByQuery), chromedp.WaitReady("#findings"))
		if live := ask[string](t, ctx, `document.querySelector('#findings li[value="4"]').textContent`); !strings.Contains(live, words) {
			t.Errorf("finding 4 is %s here and %s there", words, live)
		}
		fits(t, ctx, "the live page", width)
		do(t, ctx, chromedp.Click(`.back a`, chromedp.ByQuery), chromedp.WaitReady("figure.plan"), chromedp.Click(`nav a`, chromedp.ByQuery), chromedp.WaitReady("#sites"))
	}
}

func TestFolderPrint(t *testing.T) {
	dir := makePages(t, "../../examples/faults")
	own := "file://" + dir
	list, _ := filepath.Glob(filepath.Join(dir, "plans", "*.html"))
	for name, words := range map[string]string{dir + "/index.html": "Map of the sites", list[0]: "ring-crosses-itself"} {
		ctx := visit(t, "file://"+name, own, 1280, 800)
		do(t, ctx, emulation.SetEmulatedMedia().WithMedia("print"))
		if n := ask[int](t, ctx, `[...document.querySelectorAll("nav, .sorter")].filter(e => getComputedStyle(e).display !== "none").length`); n > 0 {
			t.Errorf("%s prints %d controls", name, n)
		}
		var pdf []byte
		do(t, ctx, chromedp.ActionFunc(func(ctx context.Context) error {
			var err error
			pdf, _, err = page.PrintToPDF().WithPreferCSSPageSize(true).Do(ctx)
			return err
		}))
		tool, err := exec.LookPath("pdftotext")
		if err != nil {
			t.Skip("there is no pdftotext")
		}
		in := filepath.Join(t.TempDir(), "a.pdf")
		if err := os.WriteFile(in, pdf, 0o644); err != nil {
			t.Fatal(err)
		}
		text, err := exec.Command(tool, in, "-").Output()
		if err != nil || !strings.Contains(string(text), words) || !strings.Contains(string(text), "Blades, children") {
			t.Errorf("the print of %s lacks %q (%v)", name, words, err)
		}
		if keep := os.Getenv("SWARDLINE_SHOTS"); keep != "" {
			if err := os.WriteFile(filepath.Join(keep, "print-"+filepath.Base(filepath.Dir(name))+".pdf"), pdf, 0o644); err != nil {
				t.Fatal(err)
			}
		}
	}
}
