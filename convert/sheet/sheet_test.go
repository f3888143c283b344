// Sheets: what is drawn measures right, is well-formed, and says what it left out.

package sheet

import (
	"bytes"
	"encoding/csv"
	"encoding/xml"
	"errors"
	"fmt"
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

	"swardline/convert/sheet/ink"
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

// turnedGrid is a plane grid turned by deg clockwise, with a scale and false origin.
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

// hasRectangle looks for a path of four points with the sides w and h, in any order.
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

// On paper a metre is 1000/N mm: the zone's sides, the corridor's length and the wall
// are looked for among all that is drawn, to a tenth of the 0.1 mm that is promised.
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

// The same from the PDF, as another program reads it: pdftocairo gives its vectors in
// points.
func TestPDFMeasures(t *testing.T) {
	tool, err := exec.LookPath("pdftocairo")
	if err != nil {
		t.Skip("there is no pdftocairo (poppler-utils)")
	}
	d := garden()
	set := compose(t, d, Options{Scale: 500})
	var b bytes.Buffer
	if _, err := set.PDF(&b, d); err != nil {
		t.Fatal(err)
	}
	dir := t.TempDir()
	in, out := filepath.Join(dir, "a.pdf"), filepath.Join(dir, "a.svg")
	if err := os.WriteFile(in, b.Bytes(), 0o644); err != nil {
		t.Fatal(err)
	}
	if msg, err := exec.Command(tool, "-svg", "-f", "1", "-l", "1", in, out).CombinedOutput(); err != nil {
		t.Fatalf("%v\n%s", err, msg)
	}
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
	mm := 1000 / set.Scale
	for name, ok := range map[string]bool{
		"zone": hasRectangle(paths, 40*mm, 30*mm, 0.1), "keep-out": hasRectangle(paths, 10*mm, 10*mm, 0.1),
		"corridor": hasSegment(paths, math.Hypot(12, 7)*mm, 0.1), "wall": hasSegment(paths, 40*mm, 0.1),
	} {
		if !ok {
			t.Errorf("%s is not to scale among %d paths of the PDF", name, len(paths))
		}
	}
}

// Text stands where the layout put it: the two ends of the scale bar, as pdftotext
// reads them, are as far apart as the bar says.
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
	for _, want := range []string{"Garden", "1:500", "Caution", "Legend", "Z1", "K1", "2026-05-31;", "Convergence", "TEST:1."} {
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
		if strings.Contains(text, "Findings and schedule\n") {
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
	for _, want := range []string{"Zones", "gross m²", "1\u00a0200", "Keep-outs", "Corridors", "13.9", "E 500", "ITRF2014, epoch not", "edge-setback: too near", "no place on"} {
		if !strings.Contains(all, want) {
			t.Errorf("no sheet says %q", want)
		}
	}
}

// Every vertex of the plan is seen on some sheet, whole in the padding, and the index
// numbers every sheet.
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
	}{{"A4", 500, true}, {"A3", 250, true}} {
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
	if !strings.Contains(svgOf(t, set, 0), "芝生") {
		t.Error("the SVG lost the name, which its viewer may well have glyphs for")
	}
	if notes, err := compose(t, garden(), Options{}).PDF(io.Discard, garden()); err != nil || len(notes) != 0 {
		t.Errorf("plain names: %q, %v", notes, err)
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
		// Lines gap apart cover area / gap of length, here 35 by 30 less 10 by 10.
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
	v.ticks(&g)
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
	if err := WriteSchedule(&b, d); err != nil {
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

// The lookup against a depth that is known: a wall at the distance g straight ahead
// of bearing 0, so that gap and depth are g/cos b and r cos b - g.
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
	for _, tc := range []struct {
		e, n float64
		want string
	}{{0, 0, "unchanged"}, {0.02, 0, "unchanged"}, {0, -0.05, "re-measure"}, {0, -0.1, "stop"}, {0, 0.3, "stop"}} {
		if got := tab.Verdict(tc.e, tc.n); got != tc.want {
			t.Errorf("E %v N %v: %s, want %s", tc.e, tc.n, got, tc.want)
		}
	}
	if _, ok := tab.Depth(0, 2, 0); ok {
		t.Error("a shift beyond the table is answered")
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

// No plan at all, one point, a plan without areas, and a grid that answers nothing.
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
