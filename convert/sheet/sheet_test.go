// Sheets: what is drawn measures right, is well-formed, and says what it left
// out.

package sheet

import (
	"bytes"
	"encoding/base64"
	"encoding/csv"
	"encoding/xml"
	"errors"
	"fmt"
	"html"
	"io"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"github.com/paulmach/orb"
	"golang.org/x/image/font/sfnt"

	"swardline/convert/sheet/ink"
	"swardline/convert/sheet/typeface"
	"swardline/schema"
)

func square(x, y, w, h float64) orb.Polygon {
	return orb.Polygon{{{x, y}, {x + w, y}, {x + w, y + h}, {x, y + h}, {x, y}}}
}

// feature has every figure unknown, as a feature without data does.
func feature(role schema.Role, code, name string) Feature {
	n := math.NaN()
	return Feature{Role: role, Code: code, Name: name, AreaM2: n, NetM2: n, HardEdgeM: n, UncutM2: n, LengthM: n, RadiusM: n, HeadingDeg: n, StandoffM: n, CutMM: n, HeightM: n, ElevationM: n, AntennaM: n}
}

// turnedGrid is a plane grid turned by deg clockwise, with a scale and false
// origin.
func turnedGrid(deg, scale float64) Grid {
	s, c := math.Sincos(deg * math.Pi / 180)
	return Grid{ID: "TEST:1", Unit: "m", NorthKnown: true, Convergence: deg, Scale: scale, Forward: func(p orb.Point) (orb.Point, bool) {
		return orb.Point{500000 + scale*(p[0]*c-p[1]*s), 6000000 + scale*(p[0]*s+p[1]*c)}, true
	}}
}

func garden() *Drawing {
	d := &Drawing{Title: "Garden (invented)", Source: "garden.geojson", Date: "2026-05-31", Program: "swardline test", Caution: "Walk the ground.", Grid: turnedGrid(2, 0.9998), NetM2: 1100, Notes: []string{"A datum note."}}
	z := feature(schema.RoleZone, "Z1", "Lawn")
	z.Areas, z.AreaM2, z.NetM2, z.LabelAt, z.RoomM, z.HeadingDeg = []orb.Polygon{square(-20, -15, 40, 30)}, 1200, 1100, orb.Point{0, 0}, 15, 30
	k := feature(schema.RoleKeepout, "K1", "Bed")
	k.Areas, k.AreaM2, k.LabelAt, k.RoomM = []orb.Polygon{square(5, 5, 10, 10)}, 100, orb.Point{10, 10}, 5
	c := feature(schema.RoleCorridor, "C1", "Way")
	c.Lines, c.LengthM = []orb.LineString{{{-30, -20}, {-18, -13}}}, math.Hypot(12, 7)
	b := feature(schema.RoleBase, "B1", "Mast")
	b.Points, b.ElevationM, b.Frame = []orb.Point{{25, 18}}, 51.5, "ITRF2014"
	dock := feature(schema.RoleDock, "D1", "Dock")
	dock.Points, dock.HeadingDeg, dock.StandoffM = []orb.Point{{-30, -20}}, 60, 2
	e := feature(schema.RoleEdge, "E1", "Wall")
	e.Lines, e.Kind, e.LengthM = []orb.LineString{{{-20, 15.2}, {20, 15.2}}}, schema.EdgeWall, 40
	d.Features = []Feature{z, k, c, b, dock, e}
	d.Findings = []Finding{{Number: 1, Rule: "edge-setback", Severity: "warning", Message: "too near", At: orb.Point{0, 15}, HasAt: true}, {Number: 2, Rule: "zone-count", Severity: "error", Message: "too many"}}
	return d
}

func compose(t *testing.T, d *Drawing, o Options) *Set {
	t.Helper()
	if o.Paper == (Paper{}) {
		o.Paper = Papers[0]
	}
	set, err := Compose(d, o)
	if err != nil {
		t.Fatal(err)
	}
	return set
}

func svgOf(t *testing.T, set *Set, page int) string {
	t.Helper()
	var b bytes.Buffer
	if err := set.SVG(&b, page); err != nil {
		t.Fatal(err)
	}
	return b.String()
}

// parseXML fails on anything that is not well-formed, and returns all text.
func parseXML(t *testing.T, text string) string {
	t.Helper()
	dec := xml.NewDecoder(strings.NewReader(text))
	var b strings.Builder
	for {
		tok, err := dec.Token()
		if errors.Is(err, io.EOF) {
			return b.String()
		}
		if err != nil {
			t.Fatalf("not well-formed: %v", err)
		}
		if c, ok := tok.(xml.CharData); ok {
			b.Write(c)
			b.WriteByte('\n')
		}
	}
}

var pathData = regexp.MustCompile(`<path d="([^"]*)"`)

// pathsOf returns every path's points of an SVG, transforms left aside.
func pathsOf(t *testing.T, text string) [][]ink.Point {
	t.Helper()
	var out [][]ink.Point
	for _, m := range pathData.FindAllStringSubmatch(text, -1) {
		var pts []ink.Point
		for _, part := range strings.FieldsFunc(m[1], func(r rune) bool { return r == 'M' || r == 'L' || r == 'Z' }) {
			f := strings.Fields(strings.ReplaceAll(part, ",", " "))
			if len(f) != 2 {
				continue // a curve: none of ours
			}
			x, err1 := strconv.ParseFloat(f[0], 64)
			y, err2 := strconv.ParseFloat(f[1], 64)
			if err1 != nil || err2 != nil {
				t.Fatalf("path %q", m[1])
			}
			pts = append(pts, ink.Point{x, y})
		}
		out = append(out, pts)
	}
	return out
}

// hasRectangle looks for a path of four points with the sides w and h, in any
// order.
func hasRectangle(paths [][]ink.Point, w, h, tol float64) bool {
	for _, p := range paths {
		if len(p) < 4 {
			continue
		}
		a, b := math.Hypot(p[1][0]-p[0][0], p[1][1]-p[0][1]), math.Hypot(p[2][0]-p[1][0], p[2][1]-p[1][1])
		if math.Abs(a-w) < tol && math.Abs(b-h) < tol {
			return true
		}
	}
	return false
}

// hasSegment looks for a path of two points that far apart.
func hasSegment(paths [][]ink.Point, length, tol float64) bool {
	for _, p := range paths {
		if len(p) == 2 && math.Abs(math.Hypot(p[1][0]-p[0][0], p[1][1]-p[0][1])-length) < tol {
			return true
		}
	}
	return false
}

// On paper a metre is 1000/N mm: the zone's sides, the corridor's length and
// the wall are looked for among all that is drawn, to a tenth of the 0.1 mm
// that is promised.
func TestSVGMeasures(t *testing.T) {
	for _, paper := range Papers {
		for _, scale := range []float64{0, 500, 1000} {
			set := compose(t, garden(), Options{Paper: paper, Scale: scale})
			text := svgOf(t, set, 0)
			if !strings.Contains(text, `viewBox="0 0 `) || !strings.Contains(text, fmt.Sprintf(`width="%smm"`, trim(set.Pages[0].W))) {
				t.Errorf("%s: one user unit is not one millimetre", paper.Name)
			}
			paths := pathsOf(t, text)
			mm := 1000 / set.Scale
			if !hasRectangle(paths, 40*mm, 30*mm, 0.01) {
				t.Errorf("%s 1:%v: no zone of %.2f by %.2f mm", paper.Name, set.Scale, 40*mm, 30*mm)
			}
			if !hasRectangle(paths, 10*mm, 10*mm, 0.01) {
				t.Errorf("%s 1:%v: no keep-out of %.2f mm", paper.Name, set.Scale, 10*mm)
			}
			if !hasSegment(paths, math.Hypot(12, 7)*mm, 0.01) || !hasSegment(paths, 40*mm, 0.01) {
				t.Errorf("%s 1:%v: corridor or wall is not to scale", paper.Name, set.Scale)
			}
			if hasRectangle(paths, 41*mm, 30*mm, 0.01) {
				t.Error("the search finds what is not there")
			}
		}
	}
}

// turned is the garden turned by deg clockwise about its middle.
func turned(deg float64) *Drawing {
	d := garden()
	s, c := math.Sincos(deg * math.Pi / 180)
	turn := func(p *orb.Point) { *p = orb.Point{p[0]*c + p[1]*s, p[1]*c - p[0]*s} }
	for i := range d.Features {
		f := &d.Features[i]
		for _, a := range f.Areas {
			for _, r := range a {
				for k := range r {
					turn(&r[k])
				}
			}
		}
		for _, l := range f.Lines {
			for k := range l {
				turn(&l[k])
			}
		}
		for k := range f.Points {
			turn(&f.Points[k])
		}
		turn(&f.LabelAt)
	}
	for i := range d.Findings {
		turn(&d.Findings[i].At)
	}
	return d
}

// tall is the garden on end and drawn out, for a sheet in portrait.
func tall() *Drawing {
	d := turned(90)
	b := feature(schema.RoleMark, "M1", "Far mark")
	b.Points = []orb.Point{{0, 60}}
	d.Features = append(d.Features, b)
	return d
}

// pdfFile writes a set as PDF and returns its path.
func pdfFile(t *testing.T, set *Set, d *Drawing) string {
	t.Helper()
	var b bytes.Buffer
	if _, err := set.PDF(&b, d); err != nil {
		t.Fatal(err)
	}
	path := filepath.Join(t.TempDir(), "a.pdf")
	if err := os.WriteFile(path, b.Bytes(), 0o644); err != nil {
		t.Fatal(err)
	}
	return path
}

// poppler runs one of its programs and returns what it prints. A word on
// standard error is a fault of the file.
func poppler(t *testing.T, name string, args ...string) string {
	t.Helper()
	tool, err := exec.LookPath(name)
	if err != nil {
		t.Skipf("there is no %s (poppler-utils)", name)
	}
	cmd := exec.Command(tool, args...)
	var out, errs bytes.Buffer
	cmd.Stdout, cmd.Stderr = &out, &errs
	if err := cmd.Run(); err != nil || errs.Len() > 0 {
		t.Fatalf("%s: %v\n%s", name, err, errs.String())
	}
	return out.String()
}

// vectorsOf are the paths of one page of a PDF in millimetres, as poppler draws
// them.
func vectorsOf(t *testing.T, pdf string, page int) [][]ink.Point {
	t.Helper()
	out := filepath.Join(t.TempDir(), "a.svg")
	n := strconv.Itoa(page)
	poppler(t, "pdftocairo", "-svg", "-f", n, "-l", n, pdf, out)
	text, err := os.ReadFile(out)
	if err != nil {
		t.Fatal(err)
	}
	// Paths stand under a matrix of one scale; it is applied here.
	found := regexp.MustCompile(`<path[^>]* d="([^"]*)"[^>]*?(?:transform="matrix\(([^)]*)\)")?[^>]*/>`).FindAllStringSubmatch(string(text), -1)
	var paths [][]ink.Point
	for _, m := range found {
		scale := 1.0
		if m[2] != "" {
			v := strings.FieldsFunc(m[2], func(r rune) bool { return r == ',' || r == ' ' })
			a, err := strconv.ParseFloat(v[0], 64)
			if err != nil {
				t.Fatal(err)
			}
			scale = math.Abs(a)
		}
		for _, p := range pathsOf(t, `<path d="`+m[1]+`"`) {
			for i := range p {
				p[i] = ink.Point{p[i][0] * scale * 25.4 / 72, p[i][1] * scale * 25.4 / 72}
			}
			paths = append(paths, p)
		}
	}
	return paths
}

// The same from the PDF, as another program reads it, at several scales, on
// each paper, both ways up, and with the plan turned: distances hold to the 0.1
// mm promised.
func TestPDFMeasures(t *testing.T) {
	ways := map[bool]int{}
	for _, tc := range []struct {
		paper string
		scale float64
		d     *Drawing
	}{
		{"A4", 0, garden()}, {"A4", 500, turned(17)}, {"A4", 1000, turned(33)}, {"A3", 250, garden()}, {"A3", 2500, turned(71)}, {"Letter", 500, turned(45)}, {"A4", 0, tall()}, {"Letter", 0, tall()}, {"A3", 500, tall()},
	} {
		paper, err := ParsePaper(tc.paper)
		if err != nil {
			t.Fatal(err)
		}
		set := compose(t, tc.d, Options{Paper: paper, Scale: tc.scale})
		pdf := pdfFile(t, set, tc.d)
		if len(vectorsOf(t, pdf, len(set.Pages))) == 0 {
			t.Errorf("%s 1:%v: the last sheet is empty", tc.paper, set.Scale)
		}
		page := set.Pages[0]
		ways[page.W > page.H]++
		// The page is as large as the paper.
		size := regexp.MustCompile(`Page size: +([\d.]+) x ([\d.]+) pts`).FindStringSubmatch(poppler(t, "pdfinfo", pdf))
		if size == nil {
			t.Fatal("no page size")
		}
		for i, want := range []float64{page.W, page.H} {
			if got, _ := strconv.ParseFloat(size[1+i], 64); math.Abs(got*25.4/72-want) > 0.05 {
				t.Errorf("%s: the page is %s by %s pt, want %v mm", tc.paper, size[1], size[2], want)
			}
		}
		paths := vectorsOf(t, pdf, 1)
		mm := 1000 / set.Scale
		for name, ok := range map[string]bool{
			"zone": hasRectangle(paths, 40*mm, 30*mm, 0.1), "keep-out": hasRectangle(paths, 10*mm, 10*mm, 0.1),
			"corridor": hasSegment(paths, math.Hypot(12, 7)*mm, 0.1), "wall": hasSegment(paths, 40*mm, 0.1),
		} {
			if !ok {
				t.Errorf("%s 1:%v: %s is not to scale among %d paths of the PDF", tc.paper, set.Scale, name, len(paths))
			}
		}
		if hasRectangle(paths, 40*mm+0.3, 30*mm, 0.1) {
			t.Error("the search finds what is not there")
		}
	}
	if ways[true] == 0 || ways[false] == 0 {
		t.Errorf("landscape %d, portrait %d sheets: one way was not tried", ways[true], ways[false])
	}
}

// Every font of a set of several sheets is embedded, in part, and with its
// characters.
func TestPDFFonts(t *testing.T) {
	d := garden()
	d.Features[0].Name = "\u05d2\u05df Wiése"
	set := compose(t, d, Options{Scale: 100})
	if len(set.Pages) < 4 {
		t.Fatalf("%d sheets", len(set.Pages))
	}
	pdf := pdfFile(t, set, d)
	lines := strings.Split(strings.TrimSpace(poppler(t, "pdffonts", pdf)), "\n")
	if len(lines) < 4 {
		t.Fatalf("fonts: %q", lines)
	}
	head := lines[0]
	for _, l := range lines[2:] {
		if emb, uni := l[strings.Index(head, "emb"):][:3], l[strings.Index(head, "uni"):][:3]; emb != "yes" || uni != "yes" {
			t.Errorf("a font is not embedded with its characters: %s", l)
		}
	}
	if n := strings.Count(poppler(t, "pdftotext", pdf, "-"), "sheet "); n < len(set.Pages) {
		t.Errorf("%d sheets say which they are", n)
	}
	poppler(t, "pdftoppm", "-r", "20", "-png", pdf, filepath.Join(t.TempDir(), "p"))
}

// Text stands where the layout put it: the two ends of the scale bar, as
// pdftotext reads them, are as far apart as the bar says.
func TestPDFText(t *testing.T) {
	tool, err := exec.LookPath("pdftotext")
	if err != nil {
		t.Skip("there is no pdftotext (poppler-utils)")
	}
	d := garden()
	set := compose(t, d, Options{Scale: 500})
	var b bytes.Buffer
	if _, err := set.PDF(&b, d); err != nil {
		t.Fatal(err)
	}
	in := filepath.Join(t.TempDir(), "a.pdf")
	if err := os.WriteFile(in, b.Bytes(), 0o644); err != nil {
		t.Fatal(err)
	}
	out, err := exec.Command(tool, "-bbox", "-f", "1", "-l", "1", in, "-").Output()
	if err != nil {
		t.Fatal(err)
	}
	type word struct{ middle, y float64 }
	words := map[string][]word{}
	for _, m := range regexp.MustCompile(`<word xMin="([\d.]+)" yMin="([\d.]+)" xMax="([\d.]+)" yMax="[\d.]+">([^<]*)</word>`).FindAllStringSubmatch(string(out), -1) {
		x0, _ := strconv.ParseFloat(m[1], 64)
		y, _ := strconv.ParseFloat(m[2], 64)
		x1, _ := strconv.ParseFloat(m[3], 64)
		words[m[4]] = append(words[m[4]], word{(x0 + x1) / 2 * 25.4 / 72, y * 25.4 / 72})
	}
	for _, want := range []string{"Garden", "1:500", "Caution", "Legend", "Z1", "K1", "2026-05-31", "Convergence", "TEST:1."} {
		if len(words[want]) == 0 {
			t.Errorf("the page does not say %q", want)
		}
	}
	ok := false
	for _, zero := range words["0"] {
		for _, end := range words["20"] {
			if math.Abs(zero.y-end.y) < 0.01 && math.Abs(end.middle-zero.middle-40) < 0.1 {
				ok = true
			}
		}
	}
	if !ok {
		t.Errorf("20 m at 1:500 are 40 mm; the bar has 0 at %v and 20 at %v", words["0"], words["20"])
	}
}

func TestEverySheetSaysWhatItIs(t *testing.T) {
	d := garden()
	set := compose(t, d, Options{Scale: 100})
	if len(set.Pages) < 4 {
		t.Fatalf("%d sheets at 1:100", len(set.Pages))
	}
	for i := range set.Pages {
		text := parseXML(t, svgOf(t, set, i))
		for _, want := range []string{"Garden (invented)", fmt.Sprintf("sheet %d of %d", i+1, len(set.Pages)), "2026-05-31"} {
			if !strings.Contains(text, want) {
				t.Errorf("sheet %d does not say %q", i+1, want)
			}
		}
		if !strings.Contains(text, "Walk the ground.") {
			t.Errorf("sheet %d has no caution", i+1)
		}
		if strings.Contains(text, listsTitle+"\n") {
			continue // lists have no map
		}
		for _, want := range []string{"north arrow", "scale bar", "Legend", "Datum and accuracy", "A datum note.", "Walk the ground.", "grid of TEST:1"} {
			if !strings.Contains(text, want) {
				t.Errorf("map sheet %d lacks %q", i+1, want)
			}
		}
	}
	first := parseXML(t, svgOf(t, set, 0))
	if !strings.Contains(first, "Index of sheets") {
		t.Error("several sheets, and no index")
	}
	all := ""
	for i := range set.Pages {
		all += parseXML(t, svgOf(t, set, i))
	}
	for _, want := range []string{"Zones", "gross m²", "1\u00a0200", "Keep-outs", "Corridors", "13.9", "E 500", "ITRF2014,", "edge-setback: too near", "no place on"} {
		if !strings.Contains(all, want) {
			t.Errorf("no sheet says %q", want)
		}
	}
}

// The index has the schedule, or says on which sheet each of its parts begins;
// and there it does.
func TestIndexLeadsToSchedule(t *testing.T) {
	short := garden()
	short.Findings = nil
	text := parseXML(t, svgOf(t, compose(t, short, Options{Paper: Papers[1], Scale: 50}), 0))
	for _, want := range []string{"Index of sheets", "gross m²", "Corridors", "13.9"} {
		if !strings.Contains(text, want) {
			t.Errorf("a short schedule: the index lacks %q", want)
		}
	}
	long := garden()
	for i := range 400 {
		z := feature(schema.RoleZone, fmt.Sprintf("Z%d", i+2), fmt.Sprintf("Plot %d", i+2))
		z.Areas, z.AreaM2, z.NetM2 = []orb.Polygon{square(-20+float64(i%20), -15+float64(i/20), 0.8, 0.8)}, 0.64, 0.64
		long.Features = append(long.Features, z)
	}
	set := compose(t, long, Options{Scale: 100})
	text = parseXML(t, svgOf(t, set, 0))
	parts := regexp.MustCompile(`(?m)^(Findings|Zones|Dock|Base|Keep-outs|Corridors|Edges): sheet (\d+)$`).FindAllStringSubmatch(text, -1)
	if len(parts) != 7 {
		t.Fatalf("the index leads to %q", parts)
	}
	begins := map[string]bool{}
	for _, m := range parts {
		n, _ := strconv.Atoi(m[2])
		if n < 1 || n > len(set.Pages) {
			t.Fatalf("%s is on sheet %d of %d", m[1], n, len(set.Pages))
		}
		page := parseXML(t, svgOf(t, set, n-1))
		if !strings.Contains(page, "\n"+m[1]+"\n") || !strings.Contains(page, fmt.Sprintf("sheet %d of %d", n, len(set.Pages))) {
			t.Errorf("%s does not begin on sheet %d", m[1], n)
		}
		begins[m[2]] = true
	}
	if len(begins) < 2 {
		t.Error("a schedule of 401 zones is on one sheet")
	}
	for i := range set.Pages { // sheets of lists too
		if page := parseXML(t, svgOf(t, set, i)); !strings.Contains(page, "Walk the ground.") || !strings.Contains(page, fmt.Sprintf("sheet %d of %d", i+1, len(set.Pages))) {
			t.Errorf("sheet %d has no caution, or no number", i+1)
		}
	}
}

// What is inactive is drawn dashed without a fill, marked off, in the legend
// and in no figure.
func TestOffIsQuiet(t *testing.T) {
	d := garden()
	k := feature(schema.RoleKeepout, "K2", "Marquee")
	k.Areas, k.AreaM2, k.LabelAt, k.RoomM = []orb.Polygon{square(-15, -10, 7, 7)}, 49, orb.Point{-11.5, -6.5}, 3.5
	d.Off = []Feature{k}
	set := compose(t, d, Options{Paper: Papers[1]})
	text := svgOf(t, set, 0)
	m := regexp.MustCompile(`(?s)<g class="off"><title>off: keepout K2 Marquee</title>\n(.*?)</g>`).FindStringSubmatch(text)
	if m == nil || !strings.Contains(m[1], `fill="none"`) || !strings.Contains(m[1], "stroke-dasharray") || strings.Count(m[1], "<path") != 1 {
		t.Errorf("what is inactive is drawn as %q", m)
	}
	for _, want := range []string{">K2 (off) Marquee<", ">keep-out off: mown<"} {
		if !strings.Contains(text, want) {
			t.Errorf("the sheet lacks %q", want)
		}
	}
	if strings.Contains(text, ">49.0<") {
		t.Error("what is inactive is in the schedule")
	}
	var page, table bytes.Buffer
	if err := HTML(&page, d); err != nil {
		t.Fatal(err)
	}
	for _, want := range []string{`data-layer="off"`, `aria-label="off: keepout K2 Marquee`, "NOT kept out: the machine mows there", "keep-out off: mown"} {
		if !strings.Contains(page.String(), want) {
			t.Errorf("the page lacks %q", want)
		}
	}
	if err := WriteQuantities(&table, d); err != nil {
		t.Fatal(err)
	}
	if !regexp.MustCompile(`(?m)^K2,keepout,Marquee,.*,false\r$`).MatchString(table.String()) {
		t.Errorf("the table says of it:\n%s", table.String())
	}
}

// An SVG brings the glyphs of its texts along, fit for another parser of fonts,
// and says how wide each text is.
func TestSVGFonts(t *testing.T) {
	d := garden()
	d.Features[0].Name = "Grüne Wiese حديقة"
	text := svgOf(t, compose(t, d, Options{}), 0)
	fonts := regexp.MustCompile(`@font-face\{font-family:"Sheet";font-weight:(\w+);src:url\(data:font/ttf;base64,([^)]*)\)`).FindAllStringSubmatch(text, -1)
	if len(fonts) != 2 {
		t.Fatalf("%d fonts", len(fonts))
	}
	parts := map[string]*sfnt.Font{}
	for _, f := range fonts {
		data, err := base64.StdEncoding.DecodeString(f[2])
		if err != nil {
			t.Fatal(err)
		}
		if parts[f[1]], err = sfnt.Parse(data); err != nil {
			t.Fatal(err)
		}
	}
	var buf sfnt.Buffer
	texts := regexp.MustCompile(`<text ([^>]*)>([^<]*)</text>`).FindAllStringSubmatch(text, -1)
	for _, m := range texts {
		weight := "normal"
		if strings.Contains(m[1], `font-weight="bold"`) {
			weight = "bold"
		}
		for _, r := range html.UnescapeString(m[2]) {
			if i, err := parts[weight].GlyphIndex(&buf, r); (err != nil || i == 0) && r != ' ' {
				t.Errorf("%q of %q has no glyph in the %s font", r, m[2], weight)
			}
		}
		size, _ := strconv.ParseFloat(regexp.MustCompile(`font-size="([\d.]+)"`).FindStringSubmatch(m[1])[1], 64)
		if w := regexp.MustCompile(`textLength="([\d.]+)"`).FindStringSubmatch(m[1]); w == nil {
			t.Errorf("%q does not say how wide it is", m[2])
		} else if got, _ := strconv.ParseFloat(w[1], 64); !strings.Contains(m[2], "حديقة") && math.Abs(got-typeface.Width(html.UnescapeString(m[2]), size, weight == "bold")) > 0.001 {
			t.Errorf("%q is said to be %v wide", m[2], got)
		}
	}
	if len(texts) < 60 {
		t.Errorf("%d texts", len(texts))
	}
}

// Every vertex of the plan is seen on some sheet, whole in the padding, and the
// index numbers every sheet.
func TestTilesCover(t *testing.T) {
	d := garden()
	for _, paper := range Papers {
		for _, scale := range []float64{50, 100, 150} {
			l, err := d.layout(Options{Paper: paper, Scale: scale})
			if err != nil {
				t.Fatal(err)
			}
			if l.overview == 0 {
				continue
			}
			for i := range d.Features {
				f := &d.Features[i]
				var pts []orb.Point
				for _, a := range f.Areas {
					pts = append(pts, a[0]...)
				}
				for _, line := range f.Lines {
					pts = append(pts, line...)
				}
				for _, p := range append(pts, f.Points...) {
					seen := false
					for _, tile := range l.tiles {
						seen = seen || tile.Contains(p)
					}
					if !seen {
						t.Errorf("%s 1:%v: %s at %v is on no sheet", paper.Name, scale, f.Code, p)
					}
				}
			}
		}
	}
}

func TestScaleChosen(t *testing.T) {
	d := garden() // 55 by 38 m
	for _, tc := range []struct {
		paper     string
		scale     float64
		landscape bool
	}{{"A4", 500, true}, {"A3", 200, true}} {
		p, err := ParsePaper(tc.paper)
		if err != nil {
			t.Fatal(err)
		}
		l, err := d.layout(Options{Paper: p})
		if err != nil {
			t.Fatal(err)
		}
		if l.scale != tc.scale {
			w, h := l.shape.ground(l.scale)
			t.Errorf("%s: 1:%v (%.0f by %.0f m), want 1:%v", tc.paper, l.scale, w, h, tc.scale)
		}
	}
	tall := garden()
	for i := range tall.Features {
		f := &tall.Features[i]
		for _, a := range f.Areas {
			for _, r := range a {
				for k := range r {
					r[k] = orb.Point{r[k][1] / 3, r[k][0] * 2}
				}
			}
		}
		f.Lines, f.Points = nil, nil
	}
	tall.Findings = nil
	if l, err := tall.layout(Options{Paper: Papers[0]}); err != nil || l.shape.landscape && l.scale > 500 {
		t.Errorf("a tall plan: %+v, %v", l, err)
	}
}

func TestScaleAndPaperRefused(t *testing.T) {
	for _, bad := range []string{"", "0", "1:0", "1:5", "2:500", "1:-3", "1:NaN", "1:1e9", "abc"} {
		if v, err := ParseScale(bad); err == nil {
			t.Errorf("scale %q is taken for %v", bad, v)
		}
	}
	if v, err := ParseScale("1:500"); err != nil || v != 500 {
		t.Errorf("1:500 is %v, %v", v, err)
	}
	if _, err := ParsePaper("B7"); err == nil {
		t.Error("B7 is taken")
	}
	if _, err := Compose(wide(), Options{Paper: Papers[0], Scale: 50}); err == nil || !strings.Contains(err.Error(), "the most are 60") {
		t.Errorf("3 km at 1:50: %v", err)
	}
}

func wide() *Drawing {
	d := garden()
	for i := range 10 {
		z := feature(schema.RoleZone, fmt.Sprintf("Z%d", i+2), "Fairway")
		z.Areas, z.LabelAt, z.RoomM = []orb.Polygon{square(float64(i)*300, 0, 280, 100)}, orb.Point{float64(i)*300 + 140, 50}, 50
		d.Features = append(d.Features, z)
	}
	return d
}

// Names that are markup, and characters that XML cannot hold, stay text.
func TestNamesAreText(t *testing.T) {
	d := garden()
	evil := "<script>alert(1)</script>\"'&]]>--> \x01\u202e"
	d.Title, d.Source = evil, evil
	d.Features[0].Name, d.Features[0].Note, d.Findings[0].Message = evil, evil, evil
	set := compose(t, d, Options{})
	for i := range set.Pages {
		text := svgOf(t, set, i)
		parseXML(t, text)
		if strings.Contains(text, "<script") {
			t.Error("a name became an element")
		}
	}
	var page, pdf bytes.Buffer
	if err := HTML(&page, d); err != nil {
		t.Fatal(err)
	}
	if n := strings.Count(page.String(), "<script"); n != 2 {
		t.Errorf("the page has %d scripts, its own are 2", n)
	}
	if _, err := set.PDF(&pdf, d); err != nil {
		t.Fatal(err)
	}
}

func TestMissingGlyphsAreTold(t *testing.T) {
	d := garden()
	d.Features[0].Name = "芝生"
	set := compose(t, d, Options{})
	notes, err := set.PDF(io.Discard, d)
	if err != nil || len(notes) != 1 || !strings.Contains(notes[0], "2 characters") || !strings.Contains(notes[0], "U+829D") {
		t.Errorf("notes %q, %v", notes, err)
	}
	if len(set.Warnings) != 1 || !strings.Contains(set.Warnings[0], "Z1 (U+829D U+751F)") {
		t.Errorf("warnings %q", set.Warnings)
	}
	text := strings.ReplaceAll(parseXML(t, svgOf(t, set, 0)), "\n", " ")
	if !strings.Contains(text, "芝生") {
		t.Error("the SVG lost the name, which its viewer may well have glyphs for")
	}
	if !strings.Contains(text, "Names with characters that the sheet's typeface does not") || !strings.Contains(text, "Z1 (U+829D U+751F)") {
		t.Error("the sheet does not say whose name it cannot draw")
	}
	plain := compose(t, garden(), Options{})
	if notes, err := plain.PDF(io.Discard, garden()); err != nil || len(notes) != 0 || len(plain.Warnings) != 0 {
		t.Errorf("plain names: %q, %q, %v", notes, plain.Warnings, err)
	}
}

func TestTwiceTheSame(t *testing.T) {
	d := garden()
	var pdf, page [2]bytes.Buffer
	for i := range 2 {
		set := compose(t, d, Options{})
		if _, err := set.PDF(&pdf[i], d); err != nil {
			t.Fatal(err)
		}
		if err := HTML(&page[i], d); err != nil {
			t.Fatal(err)
		}
	}
	if !bytes.Equal(pdf[0].Bytes(), pdf[1].Bytes()) {
		t.Error("two runs give different PDFs")
	}
	if !bytes.Equal(page[0].Bytes(), page[1].Bytes()) {
		t.Error("two runs give different pages")
	}
}

func TestHatchStaysInside(t *testing.T) {
	ring := []ink.Point{{10, 10}, {50, 10}, {50, 40}, {10, 40}}
	hole := []ink.Point{{20, 20}, {30, 20}, {30, 30}, {20, 30}}
	for _, angle := range []float64{0, 17, 45, 90, 135, -60} {
		const gap = 2.0
		segs := hatchLines([][]ink.Point{ring, hole}, ink.Point{3, 7}, angle, gap, ink.Point{0, 0}, ink.Point{45, 100})
		total := 0.0
		for _, s := range segs {
			total += math.Hypot(s[1][0]-s[0][0], s[1][1]-s[0][1])
			for _, f := range []float64{0.001, 0.5, 0.999} {
				p := ink.Point{s[0][0] + f*(s[1][0]-s[0][0]), s[0][1] + f*(s[1][1]-s[0][1])}
				in := p[0] > 10-1e-6 && p[0] < 45+1e-6 && p[1] > 10-1e-6 && p[1] < 40+1e-6
				inHole := p[0] > 20+1e-6 && p[0] < 30-1e-6 && p[1] > 20+1e-6 && p[1] < 30-1e-6
				if !in || inHole {
					t.Fatalf("angle %v: the hatch runs through %v", angle, p)
				}
			}
		}
		// Lines gap apart cover area / gap of length, here 35 by 30 less 10
		// by 10.
		if want := (35*30 - 100) / gap; math.Abs(total-want) > 0.06*want {
			t.Errorf("angle %v: %.1f mm of hatching, want about %.1f", angle, total, want)
		}
	}
}

// A cross stands where its grid coordinates say.
func TestTicksStandRight(t *testing.T) {
	g := turnedGrid(2, 0.9998)
	p := &ink.Page{W: 300, H: 200}
	v := newView(p, 10, 10, 180, 180, orb.Bound{Min: orb.Point{-45, -45}, Max: orb.Point{45, 45}})
	v.ticks(&g, nil)
	crosses := 0
	for _, m := range p.Marks {
		path, ok := m.(*ink.Path)
		if !ok || len(path.Subs) < 2 {
			continue
		}
		for i := 0; i+1 < len(path.Subs); i += 2 {
			a, b := path.Subs[i].Points[0], path.Subs[i].Points[1]
			xy, _ := g.Forward(v.back(ink.Point{(a[0] + b[0]) / 2, (a[1] + b[1]) / 2}))
			for axis := range 2 {
				if off := math.Abs(xy[axis]/20 - math.Round(xy[axis]/20)); off > 1e-4 {
					t.Errorf("a cross at %v is not on the grid of 20 m", xy)
				}
			}
			crosses++
		}
	}
	if crosses < 9 {
		t.Errorf("%d crosses", crosses)
	}
}

func TestCoordinateWords(t *testing.T) {
	degrees := &Grid{Degrees: true}
	plane := &Grid{}
	for _, tc := range []struct {
		value, step float64
		axis        int
		g           *Grid
		want        string
	}{
		{11.2, 1.0 / 3600, 0, degrees, `11°12'00" E`},
		{-33.5 - 1.0/7200, 0.5 / 3600, 1, degrees, `33°30'00.5" S`},
		{59.0/60 + 60.0/3600, 1.0 / 3600, 1, degrees, `1°00'00" N`},
		{633900, 50, 0, plane, "E 633\u00a0900"},
		{-100, 50, 1, plane, "N -100"},
		{0.5, 0.5, 1, plane, "N 0.5"},
		{math.Copysign(0, -1), 50, 0, plane, "E 0"},
	} {
		if got := coordinate(tc.value, tc.step, tc.axis, tc.g); got != tc.want {
			t.Errorf("%v: %q, want %q", tc.value, got, tc.want)
		}
	}
}

func TestScheduleCSV(t *testing.T) {
	d := garden()
	d.Features[0].Name = "=1+2"
	var b bytes.Buffer
	if err := WriteQuantities(&b, d); err != nil {
		t.Fatal(err)
	}
	rows, err := csv.NewReader(&b).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	if len(rows) != len(d.Features)+1 {
		t.Fatalf("%d rows", len(rows))
	}
	col := map[string]int{}
	for i, h := range rows[0] {
		col[h] = i
	}
	if rows[1][col["name"]] != "'=1+2" || rows[1][col["area_m2"]] != "1200.00" || rows[1][col["net_m2"]] != "1100.00" || rows[1][col["length_m"]] != "" {
		t.Errorf("zone: %q", rows[1])
	}
	if rows[3][col["length_m"]] != "13.89" {
		t.Errorf("corridor: %q", rows[3])
	}
	xy, _ := d.Grid.Forward(d.Features[3].Points[0])
	if rows[4][col["x"]] != strconv.FormatFloat(xy[0], 'f', 3, 64) {
		t.Errorf("base: %q, want x %v", rows[4], xy[0])
	}
}

// The lookup against a depth that is known: a wall at the distance g straight
// ahead of bearing 0, so that gap and depth are g/cos b and r cos b - g.
func TestDriftLookup(t *testing.T) {
	const g = 0.2
	tab := &Drift{BeyondM: []float64{0, 0.05, 0.1, 0.2, 0.4, 1}, UnchangedM: 0.02, StopM: 0.1}
	x := DriftItem{Rule: "drift-crosses-edge", Stops: true, LimitM: 0.02}
	for b := range 72 {
		deg := float64(b) * 5
		tab.BearingsDeg = append(tab.BearingsDeg, deg)
		c := math.Cos(deg * math.Pi / 180)
		row := make([]float64, len(tab.BeyondM))
		if c < 1e-9 {
			x.GapM = append(x.GapM, math.NaN())
			x.DepthM = append(x.DepthM, row)
			continue
		}
		x.GapM = append(x.GapM, g/c)
		for k, s := range tab.BeyondM {
			row[k] = s * c
		}
		x.DepthM = append(x.DepthM, row)
	}
	tab.Items = []DriftItem{x}
	for _, e := range []float64{-0.5, -0.1, 0, 0.03, 0.3} {
		for _, n := range []float64{-0.7, -0.1, 0, 0.1, 0.21, 0.5, 0.8} {
			got, ok := tab.Depth(0, e, n)
			want := math.Max(0, n-g)
			if !ok || math.Abs(got-want) > 0.005 {
				t.Errorf("E %v N %v: depth %.4f, want %.4f", e, n, got, want)
			}
		}
	}
	if _, ok := tab.Depth(0, 2, 0); ok {
		t.Error("a shift beyond the table is answered")
	}
}

// Verdicts are read off the raster, and past it the machine always stops.
func TestDriftVerdict(t *testing.T) {
	const reach = 11 // cells of 10 mm, stop from 0.1 m, a wall that is met from 0.05 m north on
	tab := &Drift{BeyondM: []float64{0, 5}, BearingsDeg: []float64{0, 90, 180, 270}, UnchangedM: 0.02, StopM: 0.1, StepMM: 10, RangeM: 400, RangeLimitM: 500,
		Items: []DriftItem{{Rule: "drift-crosses-edge", Stops: true, LimitM: 0.02}, {Rule: "drift-off-dock", Stops: true, LimitM: 0.3}}}
	for n := -reach; n <= reach; n++ {
		row, near := "", ""
		for e := -reach; e <= reach; e++ {
			h := math.Hypot(float64(e), float64(n)) / 100
			switch {
			case n >= 5 || h >= 0.1:
				row += "s1"
			case h > 0.02:
				row += "r1"
			default:
				row += "u1"
			}
			if n >= 5 {
				near += "s1"
			} else {
				near += "-1"
			}
		}
		tab.Verdicts, tab.Items[0].Near = append(tab.Verdicts, row), append(tab.Items[0].Near, near)
	}
	for _, tc := range []struct {
		e, n, u float64
		want    string
		edge    bool
	}{
		{0, 0, 0, "unchanged", false}, {0.02, 0, 0, "unchanged", false}, {0, 0.044, 0, "re-measure", false}, {0, 0.046, 0, "stop", true}, {0.1, 0, 0, "stop", false},
		{0, -0.05, 0, "re-measure", false}, {0, 0, -0.03, "re-measure", false}, {40, 0, 0, "stop", false}, {-0.07, -0.07, 0, "re-measure", false}, {-0.08, -0.07, 0, "stop", false},
	} {
		if got := tab.Verdict(tc.e, tc.n, tc.u); got != tc.want {
			t.Errorf("E %v N %v U %v: %s, want %s", tc.e, tc.n, tc.u, got, tc.want)
		}
		if math.Hypot(tc.e, tc.n) < 0.1 {
			if got, known := tab.Reached(0, tc.e, tc.n); got != tc.edge || !known {
				t.Errorf("E %v N %v: the edge reached %v, known %v", tc.e, tc.n, got, known)
			}
		}
	}
	if in, _ := tab.Reached(1, 0.31, 0); !in {
		t.Error("the dock is reached 0.31 m off it")
	}
	tab.RangeM = 501
	if got := tab.Verdict(0, 0, 0.05); got != "stop" {
		t.Errorf("out of range and lifted: %s", got)
	}
	if got := tab.Verdict(0, 0, 0); got != "unchanged" {
		t.Errorf("out of range and not moved: %s", got)
	}
}

func TestManyZones(t *testing.T) {
	d := garden()
	d.Features = d.Features[3:4]
	d.Findings = nil
	for i := range 400 {
		z := feature(schema.RoleZone, fmt.Sprintf("Z%d", i+1), fmt.Sprintf("Plot %d", i+1))
		x, y := float64(i%20)*12, float64(i/20)*12
		z.Areas, z.AreaM2, z.NetM2, z.LabelAt, z.RoomM = []orb.Polygon{square(x, y, 10, 10)}, 100, 100, orb.Point{x + 5, y + 5}, 5
		d.Features = append(d.Features, z)
	}
	set := compose(t, d, Options{})
	all := ""
	for i := range set.Pages {
		all += parseXML(t, svgOf(t, set, i))
	}
	for i := range 400 {
		if !strings.Contains(all, fmt.Sprintf("Z%d Plot %d\n", i+1, i+1)) {
			t.Fatalf("zone %d is in no schedule", i+1)
		}
	}
	var page bytes.Buffer
	if err := HTML(&page, d); err != nil {
		t.Fatal(err)
	}
	if page.Len() > MaxHTML {
		t.Errorf("the page has %d bytes", page.Len())
	}
}

// No plan at all, one point, a plan without areas, and a grid that answers
// nothing.
func TestLittleToDraw(t *testing.T) {
	empty := &Drawing{Title: "Nothing", Date: "2026-05-31", Grid: Grid{ID: "none"}}
	one := garden()
	one.Features = one.Features[3:4]
	lines := garden()
	lines.Features = lines.Features[2:3]
	blind := garden()
	blind.Grid = Grid{ID: "X", Forward: func(orb.Point) (orb.Point, bool) { return orb.Point{}, false }, Convergence: math.NaN(), Scale: math.NaN()}
	for _, d := range []*Drawing{empty, one, lines, blind} {
		set := compose(t, d, Options{})
		for i := range set.Pages {
			text := svgOf(t, set, i)
			parseXML(t, text)
			if strings.Contains(text, "NaN") || strings.Contains(text, "Inf") {
				t.Errorf("%s: a number that is none", d.Title)
			}
		}
		if _, err := set.PDF(io.Discard, d); err != nil {
			t.Error(err)
		}
		if err := HTML(io.Discard, d); err != nil {
			t.Error(err)
		}
	}
	if d := garden(); d != nil {
		d.Date = "soon"
		if _, err := compose(t, d, Options{}).PDF(io.Discard, d); err == nil {
			t.Error("a date that is none is taken")
		}
	}
}
