// The file itself: numbered objects, streams, the table that finds them.

package ink

import (
	"bytes"
	"compress/zlib"
	"crypto/sha256"
	"fmt"
	"io"
	"math"
	"strconv"
	"strings"
	"unicode/utf16"

	"swardline/convert/sheet/typeface"
)

// objects are those of a file; number i stands at i-1.
type objects struct{ list [][]byte }

func (o *objects) reserve() int {
	o.list = append(o.list, nil)
	return len(o.list)
}

func (o *objects) put(number int, body string) { o.list[number-1] = []byte(body) }

func (o *objects) add(body string) int {
	n := o.reserve()
	o.put(n, body)
	return n
}

func ref(number int) string { return strconv.Itoa(number) + " 0 R" }

// stream adds data with a dictionary; packed makes it smaller.
func (o *objects) stream(dict string, data []byte, packed bool) int {
	var b bytes.Buffer
	if packed {
		z := zlib.NewWriter(&b)
		_, _ = z.Write(data) // a Buffer takes everything
		_ = z.Close()
		dict += "/Filter/FlateDecode"
	} else {
		b.Write(data)
	}
	n := o.reserve()
	o.list[n-1] = fmt.Appendf(nil, "<<%s/Length %d>>\nstream\n%s\nendstream", dict, b.Len(), b.Bytes())
	return n
}

// writeTo writes the file. Its identifier is made of what it holds, so that the
// same pages give the same bytes.
func (o *objects) writeTo(w io.Writer, catalog, info int) error {
	var b bytes.Buffer
	// Four bytes past ASCII tell programs that this is no text (7.5.2).
	b.WriteString("%PDF-2.0\n%\xe2\xe3\xcf\xd3\n")
	at := make([]int, len(o.list))
	for i, body := range o.list {
		at[i] = b.Len()
		fmt.Fprintf(&b, "%d 0 obj\n%s\nendobj\n", i+1, body)
	}
	sum := sha256.Sum256(b.Bytes())
	start := b.Len()
	fmt.Fprintf(&b, "xref\n0 %d\n0000000000 65535 f \n", len(at)+1)
	for _, n := range at {
		fmt.Fprintf(&b, "%010d 00000 n \n", n)
	}
	fmt.Fprintf(&b, "trailer\n<</Size %d/Root %s/Info %s/ID[<%x><%x>]>>\nstartxref\n%d\n%%%%EOF\n", len(at)+1, ref(catalog), ref(info), sum[:16], sum[:16], start)
	_, err := w.Write(b.Bytes())
	return err
}

// textString is a text as a PDF has it: ASCII as it is, others as UTF-16
// (7.9.2.2).
func textString(s string) string {
	plain := true
	for i := 0; i < len(s); i++ {
		plain = plain && s[i] >= 0x20 && s[i] < 0x7f
	}
	if plain {
		return "(" + strings.NewReplacer(`\`, `\\`, "(", `\(`, ")", `\)`).Replace(s) + ")"
	}
	var b strings.Builder
	b.WriteString("<FEFF")
	for _, u := range utf16.Encode([]rune(s)) {
		fmt.Fprintf(&b, "%04X", u)
	}
	return b.String() + ">"
}

// resources are the fonts and opacities of all pages.
func (d *pdf) resources(number int) {
	var b strings.Builder
	b.WriteString("<</Font<<")
	for k, f := range d.fonts {
		if f != nil {
			fmt.Fprintf(&b, "/F%d %s", k, ref(f.ref))
		}
	}
	b.WriteString(">>/ExtGState<<")
	for i, v := range d.order {
		fmt.Fprintf(&b, "/A%d<</ca %s>>", i, v)
	}
	b.WriteString(">>>>")
	d.put(number, b.String())
}

// xmp is the same in the language of metadata (ISO 16684-1).
func xmp(info Info) string {
	at := info.Date.UTC().Format("2006-01-02T15:04:05Z")
	return `<?xpacket begin="` + "\ufeff" + `" id="W5M0MpCehiHzreSzNTczkc9d"?>
<x:xmpmeta xmlns:x="adobe:ns:meta/"><rdf:RDF xmlns:rdf="http://www.w3.org/1999/02/22-rdf-syntax-ns#">
<rdf:Description rdf:about="" xmlns:dc="http://purl.org/dc/elements/1.1/" xmlns:xmp="http://ns.adobe.com/xap/1.0/" xmlns:pdf="http://ns.adobe.com/pdf/1.3/">
<dc:format>application/pdf</dc:format>
<dc:title><rdf:Alt><rdf:li xml:lang="x-default">` + Escape(info.Title) + `</rdf:li></rdf:Alt></dc:title>
<dc:description><rdf:Alt><rdf:li xml:lang="x-default">` + Escape(info.Subject) + `</rdf:li></rdf:Alt></dc:description>
<dc:language><rdf:Bag><rdf:li>` + Escape(info.Language) + `</rdf:li></rdf:Bag></dc:language>
<xmp:CreatorTool>` + Escape(info.Creator) + `</xmp:CreatorTool>
<xmp:CreateDate>` + at + `</xmp:CreateDate>
<xmp:ModifyDate>` + at + `</xmp:ModifyDate>
<pdf:Producer>` + Escape(info.Creator) + `</pdf:Producer>
</rdf:Description>
</rdf:RDF></x:xmpmeta>
<?xpacket end="r"?>`
}

// bookmark is a line of the outline.
type bookmark struct {
	title string
	page  int
	top   float64 // points
	inner bool    // below the page's own
}

// outlines writes the bookmarks: the sheets, and under each its parts.
func (d *pdf) outlines() int {
	root := d.reserve()
	refs := make([]int, len(d.marks))
	for i := range refs {
		refs[i] = d.reserve()
	}
	parent := make([]int, len(d.marks)) // -1 for the root
	kids := map[int][]int{}
	over := -1
	for i, m := range d.marks {
		parent[i] = -1
		if m.inner {
			parent[i] = over
		} else {
			over = i
		}
		kids[parent[i]] = append(kids[parent[i]], i)
	}
	family := func(i int) string {
		list := kids[i]
		if len(list) == 0 {
			return ""
		}
		count := len(list)
		if i >= 0 {
			count = -count // shut
		}
		return fmt.Sprintf("/First %s/Last %s/Count %d", ref(refs[list[0]]), ref(refs[list[len(list)-1]]), count)
	}
	for p, list := range kids {
		up := root
		if p >= 0 {
			up = refs[p]
		}
		for k, i := range list {
			m := d.marks[i]
			s := fmt.Sprintf("<</Title%s/Parent %s/Dest[%s/XYZ 0 %s null]", textString(m.title), ref(up), ref(m.page), num(m.top))
			if k > 0 {
				s += "/Prev " + ref(refs[list[k-1]])
			}
			if k+1 < len(list) {
				s += "/Next " + ref(refs[list[k+1]])
			}
			d.put(refs[i], s+family(i)+">>")
		}
	}
	d.put(root, "<</Type/Outlines"+family(-1)+">>")
	return root
}

// pdfFont is one weight: a composite font of glyph numbers (9.7).
type pdfFont struct {
	ref    int
	glyphs map[rune]uint16
}

// lettering embeds the glyphs that the pages use.
func (d *pdf) lettering(pages []*Page) error {
	var used [2][]rune
	for _, p := range pages {
		for _, m := range p.Marks {
			if t, ok := m.(*Text); ok {
				k := 0
				if t.Bold {
					k = 1
				}
				visual, _ := typeface.Visual(t.S)
				used[k] = append(used[k], []rune(visual)...)
			}
		}
	}
	for k, runes := range used {
		if len(runes) == 0 {
			continue
		}
		part, err := typeface.PartOf(k == 1, runes)
		if err != nil {
			return err
		}
		d.fonts[k] = d.font(part, k == 1)
	}
	return nil
}

func (d *pdf) font(p *typeface.Part, bold bool) *pdfFont {
	name, weight := "SHEETA+DejaVuSans", 400
	if bold {
		name, weight = "SHEETB+DejaVuSans-Bold", 700
	}
	m := p.Metrics
	file := d.stream(fmt.Sprintf("/Length1 %d", len(p.Data)), p.Data, true)
	descriptor := d.add(fmt.Sprintf("<</Type/FontDescriptor/FontName/%s/Flags 32/FontBBox[%d %d %d %d]/ItalicAngle 0/Ascent %d/Descent %d/CapHeight %d/StemV %d/FontWeight %d/FontFile2 %s>>",
		name, m.Box[0], m.Box[1], m.Box[2], m.Box[3], m.Ascent, m.Descent, int(math.Round(typeface.CapHeight*1000)), weight/5, weight, ref(file)))
	var widths, unicode strings.Builder
	f := &pdfFont{glyphs: map[rune]uint16{}}
	for _, r := range p.Runes {
		g := p.Glyph[r]
		f.glyphs[r] = g
		fmt.Fprintf(&widths, "%d[%s]", g, num(typeface.Width(string(r), 1000, bold)))
	}
	// At most a hundred pairs stand in one part (9.10.3 and its CMap
	// reference).
	for at := 0; at < len(p.Runes); at += 100 {
		part := p.Runes[at:min(at+100, len(p.Runes))]
		fmt.Fprintf(&unicode, "%d beginbfchar\n", len(part))
		for _, r := range part {
			fmt.Fprintf(&unicode, "<%04X> <", p.Glyph[r])
			for _, u := range utf16.Encode(typeface.Letters(r)) {
				fmt.Fprintf(&unicode, "%04X", u)
			}
			unicode.WriteString(">\n")
		}
		unicode.WriteString("endbfchar\n")
	}
	toUnicode := d.stream("", []byte("/CIDInit /ProcSet findresource begin\n12 dict begin\nbegincmap\n/CIDSystemInfo <</Registry (Adobe) /Ordering (UCS) /Supplement 0>> def\n/CMapName /Adobe-Identity-UCS def\n/CMapType 2 def\n1 begincodespacerange\n<0000> <FFFF>\nendcodespacerange\n"+unicode.String()+"endcmap\nCMapName currentdict /CMap defineresource pop\nend\nend"), true)
	below := d.add(fmt.Sprintf("<</Type/Font/Subtype/CIDFontType2/BaseFont/%s/CIDSystemInfo<</Registry(Adobe)/Ordering(Identity)/Supplement 0>>/CIDToGIDMap/Identity/FontDescriptor %s/DW 600/W[%s]>>", name, ref(descriptor), widths.String()))
	f.ref = d.add(fmt.Sprintf("<</Type/Font/Subtype/Type0/BaseFont/%s/Encoding/Identity-H/DescendantFonts[%s]/ToUnicode %s>>", name, ref(below), ref(toUnicode)))
	return f
}

// show is a text as glyph numbers in hexadecimal.
func (f *pdfFont) show(s string) string {
	var b strings.Builder
	for _, r := range s {
		fmt.Fprintf(&b, "%04X", f.glyphs[r])
	}
	return b.String()
}

// matrix places a text: turned about its anchor, then moved to where it starts.
func (c *canvas) matrix(t *Text, width float64) string {
	sin, cos := math.Sincos(t.Angle * math.Pi / 180)
	x := t.At[0]*pointsPerMM - t.Anchor*width*pointsPerMM*cos
	y := (c.height-t.At[1])*pointsPerMM - t.Anchor*width*pointsPerMM*sin
	f := func(v float64) string { return strconv.FormatFloat(v, 'f', 6, 64) }
	if t.Angle == 0 {
		return "1 0 0 1 " + num(x) + " " + num(y)
	}
	return f(cos) + " " + f(sin) + " " + f(-sin) + " " + f(cos) + " " + num(x) + " " + num(y)
}
