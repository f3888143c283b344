// Pages as PDF 2.0 (ISO 32000-2): vectors, the typeface embedded as far as it
// is used, tags for people who listen, bookmarks, and the place of each map on
// the earth.

package ink

import (
	"bytes"
	"fmt"
	"io"
	"strconv"
	"strings"
	"time"

	"swardline/convert/sheet/typeface"
)

// Info is what a PDF says of itself.
type Info struct {
	Title, Subject, Creator string
	// Language is that of the words, such as en; en when empty.
	Language string
	// Date stands as the date of making; the file is the same for the same
	// date.
	Date time.Time
}

// PDF writes pages and returns the characters that have no glyph in the
// typeface, each once; a box stands for them on the page.
func PDF(w io.Writer, pages []*Page, info Info) (missing []rune, err error) {
	if info.Language == "" {
		info.Language = "en"
	}
	d := &pdf{seen: map[rune]bool{}, alphas: map[string]int{}}
	if err := d.lettering(pages); err != nil {
		return nil, fmt.Errorf("the PDF could not be made: %w", err)
	}
	catalog, pagesRef := d.reserve(), d.reserve()
	resources := d.reserve()
	root, document := d.reserve(), d.reserve()
	d.tags = &tagTree{root: root, document: document}
	var kids []string
	for i, page := range pages {
		kids = append(kids, ref(d.page(page, i, pagesRef, resources)))
	}
	d.put(pagesRef, fmt.Sprintf("<</Type/Pages/Count %d/Kids[%s]>>", len(pages), strings.Join(kids, " ")))
	d.resources(resources)
	d.writeTags()
	outlines := d.outlines()
	meta := d.stream("/Type/Metadata/Subtype/XML", []byte(xmp(info)), false)
	d.put(catalog, fmt.Sprintf("<</Type/Catalog/Pages %s/Lang%s/MarkInfo<</Marked true>>/StructTreeRoot %s/ViewerPreferences<</DisplayDocTitle true>>/PageMode/UseOutlines/Outlines %s/Metadata %s>>",
		ref(pagesRef), textString(info.Language), ref(root), ref(outlines), ref(meta)))
	at := info.Date.UTC().Format("D:20060102150405Z")
	about := d.add(fmt.Sprintf("<</Title%s/Subject%s/Creator%s/Producer%s/CreationDate(%s)/ModDate(%s)>>",
		textString(info.Title), textString(info.Subject), textString(info.Creator), textString(info.Creator), at, at))
	return d.missing, d.writeTo(w, catalog, about)
}

// pointsPerMM: a point is a 72nd of an inch.
const pointsPerMM = 72 / 25.4

// pdf is a document on its way out.
type pdf struct {
	objects
	fonts   [2]*pdfFont
	seen    map[rune]bool
	missing []rune
	alphas  map[string]int // opacity to number of its graphics state
	order   []string       // opacities by number
	tags    *tagTree
	marks   []bookmark
}

// canvas is the content of one page.
type canvas struct {
	d      *pdf
	b      bytes.Buffer
	height float64 // mm
	page   *tagPage
	groups []openGroup
	last   gstate
}

// gstate is what was said last, so that it is not said twice.
type gstate struct{ fill, stroke, width, dash, alpha string }

type openGroup struct {
	clip   bool
	figure bool // its marks are its content, ornament left aside
	tag    *tag
	saved  gstate
}

func (d *pdf) page(p *Page, index, parent, resources int) int {
	self := d.reserve()
	title := p.Name
	if title == "" {
		title = p.Title
	}
	c := &canvas{d: d, height: p.H, page: d.tags.page(self, index, p.Title)}
	d.marks = append(d.marks, bookmark{title: title, page: self, top: p.H * pointsPerMM})
	c.b.WriteString("1 j\n")
	for _, m := range p.Marks {
		switch m := m.(type) {
		case *Path:
			c.path(m)
		case *Text:
			c.text(m)
		case *Group:
			c.group(m)
		case End:
			c.end()
		}
	}
	for len(c.groups) > 0 {
		c.end()
	}
	content := d.stream("", c.b.Bytes(), true)
	var vp string
	for _, g := range p.Geo {
		vp += d.viewport(g, p.H)
	}
	if vp != "" {
		vp = "/VP[" + vp + "]"
	}
	d.put(self, fmt.Sprintf("<</Type/Page/Parent %s/MediaBox[0 0 %s %s]/Resources %s/Contents %s/StructParents %d/Tabs/S%s>>",
		ref(parent), num(p.W*pointsPerMM), num(p.H*pointsPerMM), ref(resources), ref(content), index, vp))
	return self
}

// xy is a place on the page in points, y upwards.
func (c *canvas) xy(q Point) string {
	return num(q[0]*pointsPerMM) + " " + num((c.height-q[1])*pointsPerMM)
}

func (c *canvas) group(g *Group) {
	o := openGroup{clip: g.Clip != nil, saved: c.last}
	if r := g.Clip; r != nil {
		fmt.Fprintf(&c.b, "q %s %s %s re W n\n", c.xy(Point{r[0], r[1] + r[3]}), num(r[2]*pointsPerMM), num(r[3]*pointsPerMM))
	}
	if g.Tag != "" && c.figure() == nil {
		o.tag = c.page.open(g)
		if g.Tag == "Figure" {
			o.figure = true
			if g.Box != nil {
				r := g.Box
				o.tag.box = fmt.Sprintf("%s %s %s %s", num(r[0]*pointsPerMM), num((c.height-r[1]-r[3])*pointsPerMM), num((r[0]+r[2])*pointsPerMM), num((c.height-r[1])*pointsPerMM))
			}
			fmt.Fprintf(&c.b, "/Figure<</MCID %d>>BDC\n", c.page.content(o.tag))
		}
		if g.Tag == "H2" && g.Title != "" {
			c.d.marks = append(c.d.marks, bookmark{title: g.Title, page: c.page.ref, top: (c.height - g.Top + 2) * pointsPerMM, inner: true})
		}
	}
	c.groups = append(c.groups, o)
}

// figure is the one that is open, nil for none.
func (c *canvas) figure() *tag {
	for _, g := range c.groups {
		if g.figure {
			return g.tag
		}
	}
	return nil
}

func (c *canvas) end() {
	n := len(c.groups)
	if n == 0 {
		return
	}
	o := c.groups[n-1]
	c.groups = c.groups[:n-1]
	if o.figure {
		c.b.WriteString("EMC\n")
	}
	if o.tag != nil {
		c.page.close()
	}
	if o.clip {
		c.b.WriteString("Q\n")
		c.last = o.saved
	}
}

func (c *canvas) set(last *string, s string) {
	if *last != s {
		*last = s
		c.b.WriteString(s + "\n")
	}
}

func rgb(c Color, op string) string {
	part := func(v uint8) string { return num(float64(v) / 255) }
	return part(c[0]) + " " + part(c[1]) + " " + part(c[2]) + " " + op
}

func (c *canvas) stroke(l *Line) {
	c.set(&c.last.stroke, rgb(l.Color, "RG"))
	c.set(&c.last.width, num(l.Width*pointsPerMM)+" w")
	dash := "["
	for i, v := range l.Dash {
		if i > 0 {
			dash += " "
		}
		dash += num(v * pointsPerMM)
	}
	c.set(&c.last.dash, dash+"] 0 d")
}

func (c *canvas) path(m *Path) {
	if m.Fill == nil && m.Line == nil {
		return
	}
	figure := c.figure() != nil
	if !figure {
		c.b.WriteString("/Artifact BMC\n")
	}
	op := "S"
	if m.Fill != nil {
		c.set(&c.last.fill, rgb(*m.Fill, "rg"))
		op = "f*"
	}
	if m.Line != nil {
		c.stroke(m.Line)
		if m.Fill != nil {
			op = "B*"
		}
	}
	opacity := m.Opacity
	if opacity <= 0 || opacity > 1 {
		opacity = 1
	}
	c.set(&c.last.alpha, "/"+c.d.alpha(opacity)+" gs")
	drawn := false
	for _, sub := range m.Subs {
		for i, q := range sub.Points {
			c.b.WriteString(c.xy(q))
			if i == 0 {
				c.b.WriteString(" m\n")
			} else {
				c.b.WriteString(" l\n")
			}
			drawn = true
		}
		if sub.Closed && len(sub.Points) > 0 {
			c.b.WriteString("h\n")
		}
	}
	if drawn {
		c.b.WriteString(op + "\n")
	}
	if !figure {
		c.b.WriteString("EMC\n")
	}
}

// alpha names the graphics state of an opacity.
func (d *pdf) alpha(v float64) string {
	key := num(v)
	n, ok := d.alphas[key]
	if !ok {
		n = len(d.order)
		d.alphas[key] = n
		d.order = append(d.order, key)
	}
	return "A" + strconv.Itoa(n)
}

func (c *canvas) text(t *Text) {
	s, missing := typeface.Visual(t.S)
	for _, r := range missing {
		if !c.d.seen[r] {
			c.d.seen[r] = true
			c.d.missing = append(c.d.missing, r)
		}
	}
	if s == "" {
		return
	}
	k := 0
	if t.Bold {
		k = 1
	}
	f := c.d.fonts[k]
	c.set(&c.last.alpha, "/"+c.d.alpha(1)+" gs")
	width := typeface.Width(s, t.Size, t.Bold)
	glyphs := f.show(s)
	draw := func(mode int) {
		fmt.Fprintf(&c.b, "BT /F%d %s Tf %d Tr %s Tm <%s> Tj ET\n", k, num(t.Size*pointsPerMM), mode, c.matrix(t, width), glyphs)
	}
	figure := c.figure()
	if t.Halo > 0 {
		// The rim is ornament: who listens hears the text once.
		if figure != nil {
			c.b.WriteString("EMC\n")
		}
		c.b.WriteString("/Artifact BMC\n")
		c.stroke(&Line{Color: Color{255, 255, 255}, Width: t.Halo})
		draw(1)
		c.b.WriteString("EMC\n")
		if figure != nil {
			fmt.Fprintf(&c.b, "/Figure<</MCID %d>>BDC\n", c.page.content(figure))
		}
	}
	if figure == nil {
		fmt.Fprintf(&c.b, "/P<</MCID %d>>BDC\n", c.page.text())
	}
	if len(missing) > 0 {
		// Who copies the text gets its characters, not the boxes that stand for
		// them.
		fmt.Fprintf(&c.b, "/Span<</ActualText%s>>BDC\n", textString(t.S))
	}
	c.set(&c.last.fill, rgb(t.Color, "rg"))
	draw(0)
	if len(missing) > 0 {
		c.b.WriteString("EMC\n")
	}
	if figure == nil {
		c.b.WriteString("EMC\n")
	}
}
