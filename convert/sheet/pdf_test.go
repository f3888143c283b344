// A PDF's structure: everything that is shown is told, or said to be ornament.

package sheet

import (
	"bytes"
	"compress/zlib"
	"fmt"
	"io"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"swardline/convert/sheet/ink"
)

var objectOf = regexp.MustCompile(`(?ms)^(\d+) 0 obj\n(.*?)\nendobj$`)

// objectsOf are the objects of one of our own files, streams unpacked.
func objectsOf(t *testing.T, data []byte) map[int]string {
	t.Helper()
	out := map[int]string{}
	for _, m := range objectOf.FindAllSubmatch(data, -1) {
		n, _ := strconv.Atoi(string(m[1]))
		body := m[2]
		if head, rest, ok := bytes.Cut(body, []byte("\nstream\n")); ok && bytes.Contains(head, []byte("FlateDecode")) {
			z, err := zlib.NewReader(bytes.NewReader(rest))
			if err != nil {
				t.Fatal(err)
			}
			plain, err := io.ReadAll(z)
			if err != nil {
				t.Fatal(err)
			}
			body = append(append(head, "\nstream\n"...), plain...)
		}
		out[n] = string(body)
	}
	return out
}

func refsIn(body, key string) (out []int) {
	m := regexp.MustCompile(key + `\s*(?:\[([^\]]*)\]|(\d+ 0 R))`).FindStringSubmatch(body)
	if m == nil {
		return nil
	}
	for _, r := range regexp.MustCompile(`(\d+) 0 R`).FindAllStringSubmatch(m[1]+m[2], -1) {
		n, _ := strconv.Atoi(r[1])
		out = append(out, n)
	}
	return out
}

// TestPDFTags walks the structure tree (ISO 32000-2, 14.7 and 14.8): each
// marked content belongs to one element, no text stands outside of one, figures
// have words, tables and lists have the parts that they must have.
func TestPDFTags(t *testing.T) {
	d := garden()
	set := compose(t, d, Options{Scale: 250})
	var b bytes.Buffer
	if _, err := set.PDF(&b, d); err != nil {
		t.Fatal(err)
	}
	objects := objectsOf(t, b.Bytes())
	var catalog string
	for _, o := range objects {
		if strings.Contains(o, "/Type/Catalog") {
			catalog = o
		}
	}
	for _, want := range []string{"/Lang(en)", "/MarkInfo<</Marked true>>", "/DisplayDocTitle true", "/Outlines ", "/Metadata "} {
		if !strings.Contains(catalog, want) {
			t.Errorf("the catalog lacks %s: %s", want, catalog)
		}
	}
	root := objects[refsIn(catalog, "/StructTreeRoot")[0]]
	kindOf := regexp.MustCompile(`/S/(\w+)`)
	pageOf := regexp.MustCompile(`/Pg (\d+) 0 R`)
	under := map[string]string{"TR": "Table", "TH": "TR", "TD": "TR", "LI": "L", "Lbl": "LI", "LBody": "LI", "Sect": "Document"}
	owned := map[string]int{} // "page mcid" to how many elements have it
	kinds := map[string]int{}
	var walk func(n int, parent string)
	walk = func(n int, parent string) {
		o := objects[n]
		kind := kindOf.FindStringSubmatch(o)[1]
		kinds[kind]++
		if want := under[kind]; want != "" && want != parent {
			t.Errorf("a %s stands in a %s", kind, parent)
		}
		if kind == "Figure" && (!strings.Contains(o, "/Alt") || !strings.Contains(o, "/BBox")) {
			t.Errorf("a figure without words or box: %s", o)
		}
		if kind == "TH" && !strings.Contains(o, "/Scope/Column") {
			t.Errorf("a heading cell without a scope: %s", o)
		}
		kids := o[strings.LastIndex(o, "/K[")+3:]
		kids = kids[:strings.IndexByte(kids, ']')]
		for _, m := range regexp.MustCompile(`(\d+) 0 R|(\d+)`).FindAllStringSubmatch(kids, -1) {
			if m[1] != "" {
				k, _ := strconv.Atoi(m[1])
				walk(k, kind)
				continue
			}
			owned[pageOf.FindStringSubmatch(o)[1]+" "+m[2]]++
		}
	}
	for _, n := range refsIn(root, "/K") {
		walk(n, "")
	}
	for _, kind := range []string{"Document", "Sect", "Figure", "H1", "H2", "P", "Table", "TR", "TH", "TD", "L", "LI", "Lbl", "LBody"} {
		if kinds[kind] == 0 {
			t.Errorf("nothing is tagged as %s", kind)
		}
	}
	total := 0
	for n, o := range objects {
		if !strings.Contains(o, "/Type/Page/") {
			continue
		}
		content := objects[refsIn(o, "/Contents")[0]]
		depth, tagged := 0, 0
		var stack []bool // whether it is a tag or an ornament
		for line := range strings.Lines(content) {
			line = strings.TrimSpace(line)
			switch {
			case strings.HasSuffix(line, "BDC") || strings.HasSuffix(line, "BMC"):
				stack = append(stack, true)
				depth++
				if _, rest, ok := strings.Cut(line, "/MCID "); ok {
					id := fmt.Sprintf("%d %s", n, rest[:strings.IndexByte(rest, '>')])
					if owned[id] != 1 {
						t.Errorf("marked content %s belongs to %d elements", id, owned[id])
					}
					tagged++
				}
			case line == "EMC":
				depth--
				stack = stack[:len(stack)-1]
			case strings.HasSuffix(line, " Tj ET") || line == "S" || line == "f*" || line == "B*":
				if len(stack) == 0 {
					t.Errorf("page %d: %q is neither told nor said to be ornament", n, line)
				}
			}
		}
		if depth != 0 {
			t.Errorf("page %d: marked content is not ended %d times", n, depth)
		}
		total += tagged
	}
	if got := poppler(t, "pdfinfo", "-struct-text", pdfFile(t, set, d)); strings.Contains(got, "Z1Z1") || !strings.Contains(got, "Z1") {
		t.Error("a name on the map is told twice, or not at all")
	}
	if total != len(owned) || total == 0 {
		t.Errorf("%d pieces of marked content, %d told", total, len(owned))
	}
}

// Names in other scripts come out of the PDF as they were written, and so does
// what has no glyph.
func TestPDFCopies(t *testing.T) {
	d := garden()
	d.Features[0].Name = "Grüne Wiese"
	d.Features[1].Name = "\u05d2\u05df"
	d.Features[2].Name = "\u829d\u751f"
	set := compose(t, d, Options{Paper: Papers[1]})
	text := poppler(t, "pdftotext", "-layout", pdfFile(t, set, d), "-")
	for _, want := range []string{"Grüne Wiese", "\u05d2\u05df", "\u829d\u751f"} {
		if !strings.Contains(text, want) {
			t.Errorf("the text lacks %q", want)
		}
	}
}

// Letters on the map are 2.5 mm high at least, and 1.8 mm elsewhere (ISO
// 3098-1).
func TestLettering(t *testing.T) {
	d := garden()
	for _, o := range []Options{{}, {Scale: 100}, {Paper: Papers[1], For: ForCrew}} {
		for _, p := range compose(t, d, o).Pages {
			inMap := 0
			for _, m := range p.Marks {
				switch m := m.(type) {
				case *ink.Group:
					if m.Class == "map" || inMap > 0 {
						inMap++
					}
				case ink.End:
					inMap = max(0, inMap-1)
				case *ink.Text:
					least := 1.8
					if inMap > 0 {
						least = 2.5
					}
					if high := m.Size * 0.729; high < least-1e-9 {
						t.Errorf("%q is %.2f mm high, want %v", m.S, high, least)
					}
				}
			}
		}
	}
}

// Nothing is printed over a name: on every map no two texts meet, and no cross
// of the grid runs through one.
func TestNothingOverNames(t *testing.T) {
	for _, o := range []Options{{}, {Scale: 100}, {Scale: 50, Paper: Papers[1]}, {TurnDeg: 23}, {Paper: Papers[1], For: ForAuthority}} {
		set := compose(t, garden(), o)
		texts := 0
		for n, p := range set.Pages {
			var boxes []box
			var names []string
			depth, inMap, inGrid := 0, 0, false
			var crosses []ink.Sub
			for _, m := range p.Marks {
				switch m := m.(type) {
				case *ink.Group:
					depth++
					if m.Class == "map" {
						inMap = depth
					}
					inGrid = m.Class == "grid-ticks"
				case ink.End:
					if depth == inMap {
						inMap = 0
					}
					depth--
					inGrid = false
				case *ink.Text:
					if inMap > 0 {
						b := textBox([]string{m.S}, m.Size, ink.Point{m.At[0], m.At[1] - m.Size*0.36})
						boxes, names = append(boxes, box{b.x0 + 0.5, b.y0 + 0.7, b.x1 - 0.5, b.y1 - 0.7}), append(names, m.S)
						texts++
					}
				case *ink.Path:
					if inGrid && len(m.Subs) > 1 {
						crosses = append(crosses, m.Subs...)
					}
				}
			}
			for i, b := range boxes {
				for k := range i {
					if b.meets(boxes[k]) {
						t.Errorf("%+v, sheet %d: %q lies on %q", o, n+1, names[i], names[k])
					}
				}
				for _, c := range crosses {
					for _, q := range c.Points {
						if q[0] > b.x0 && q[0] < b.x1 && q[1] > b.y0 && q[1] < b.y1 {
							t.Errorf("%+v, sheet %d: a cross of the grid runs through %q", o, n+1, names[i])
						}
					}
				}
			}
		}
		if texts == 0 {
			t.Errorf("%+v: no names", o)
		}
	}
}
