// Tags: what each mark on a page is, for programs that read it out (ISO
// 32000-2, 14.7 and 14.8), and viewports, which give a map its place on the
// earth (12.9.6 and 12.10).

package ink

import (
	"fmt"
	"strconv"
	"strings"
)

// tag is one structure element.
type tag struct {
	number     int
	kind       string
	alt, title string
	box        string
	head       bool // a heading cell of a table
	page       *tagPage
	kids       []any // *tag, or an int: marked content of its page
}

type tagTree struct {
	root, document int
	pages          []*tagPage
}

// tagPage are the elements of one page, whose part of the document is sect.
type tagPage struct {
	d     *tagTree
	ref   int
	index int
	sect  *tag
	stack []*tag
	owner []*tag // of each marked content
}

func (t *tagTree) page(ref, index int, title string) *tagPage {
	p := &tagPage{d: t, ref: ref, index: index}
	p.sect = &tag{kind: "Sect", title: title, page: p}
	p.stack = []*tag{p.sect}
	t.pages = append(t.pages, p)
	return p
}

func (p *tagPage) open(g *Group) *tag {
	t := &tag{kind: g.Tag, page: p}
	switch g.Tag {
	case "Figure":
		t.alt = g.Title
		if g.Alt != "" {
			t.alt = g.Alt
		}
	case "TH":
		t.head = true
	}
	top := p.stack[len(p.stack)-1]
	top.kids = append(top.kids, t)
	p.stack = append(p.stack, t)
	return t
}

func (p *tagPage) close() { p.stack = p.stack[:len(p.stack)-1] }

// content gives an element the next marked content of the page.
func (p *tagPage) content(t *tag) int {
	n := len(p.owner)
	p.owner = append(p.owner, t)
	t.kids = append(t.kids, n)
	return n
}

// leaves are the elements that hold text themselves; in others it gets a
// paragraph.
var leaves = map[string]bool{"P": true, "H1": true, "H2": true, "TD": true, "TH": true, "LBody": true, "Lbl": true, "Caption": true, "Figure": true}

// text gives the text that follows its place.
func (p *tagPage) text() int {
	top := p.stack[len(p.stack)-1]
	if !leaves[top.kind] {
		t := &tag{kind: "P", page: p}
		top.kids = append(top.kids, t)
		top = t
	}
	return p.content(top)
}

// writeTags writes the tree: the document, a section a page, and what stands on
// it.
func (d *pdf) writeTags() {
	t := d.tags
	var sections, parents []string
	for _, p := range t.pages {
		d.number(p.sect)
		sections = append(sections, ref(p.sect.number))
	}
	for _, p := range t.pages {
		d.element(p.sect, t.document)
		var owners []string
		for _, o := range p.owner {
			owners = append(owners, ref(o.number))
		}
		parents = append(parents, fmt.Sprintf("%d %s", p.index, ref(d.add("["+strings.Join(owners, " ")+"]"))))
	}
	d.put(t.document, fmt.Sprintf("<</Type/StructElem/S/Document/P %s/K[%s]>>", ref(t.root), strings.Join(sections, " ")))
	d.put(t.root, fmt.Sprintf("<</Type/StructTreeRoot/K[%s]/ParentTree<</Nums[%s]>>/ParentTreeNextKey %d>>", ref(t.document), strings.Join(parents, " "), len(t.pages)))
}

func (d *pdf) number(t *tag) {
	t.number = d.reserve()
	for _, k := range t.kids {
		if k, ok := k.(*tag); ok {
			d.number(k)
		}
	}
}

func (d *pdf) element(t *tag, parent int) {
	var b strings.Builder
	fmt.Fprintf(&b, "<</Type/StructElem/S/%s/P %s/Pg %s", t.kind, ref(parent), ref(t.page.ref))
	if t.alt != "" {
		b.WriteString("/Alt" + textString(t.alt))
	}
	if t.title != "" {
		b.WriteString("/T" + textString(t.title))
	}
	if t.box != "" {
		b.WriteString("/A<</O/Layout/Placement/Block/BBox[" + t.box + "]>>")
	}
	if t.head {
		b.WriteString("/A<</O/Table/Scope/Column>>")
	}
	b.WriteString("/K[")
	for i, k := range t.kids {
		if i > 0 {
			b.WriteByte(' ')
		}
		switch k := k.(type) {
		case *tag:
			b.WriteString(ref(k.number))
			d.element(k, t.number)
		case int:
			b.WriteString(strconv.Itoa(k))
		}
	}
	b.WriteString("]>>")
	d.put(t.number, b.String())
}

// viewport is a map's place on the earth. Its four corners stand in longitude
// and latitude of the system's own base.
func (d *pdf) viewport(g Geo, height float64) string {
	kind := "GEOGCS"
	if g.Projected {
		kind = "PROJCS"
	}
	gcs := "/Type/" + kind
	if g.EPSG > 0 {
		gcs += "/EPSG " + strconv.Itoa(g.EPSG)
	}
	if g.WKT != "" {
		gcs += "/WKT" + textString(g.WKT)
	}
	var at strings.Builder
	for i, c := range g.Corners {
		if i > 0 {
			at.WriteByte(' ')
		}
		at.WriteString(strconv.FormatFloat(c[1], 'f', 10, 64) + " " + strconv.FormatFloat(c[0], 'f', 10, 64))
	}
	measure := d.add("<</Type/Measure/Subtype/GEO/Bounds[0 0 0 1 1 1 1 0]/GCS<<" + gcs + ">>/PDU[/M/SQM/DEG]/GPTS[" + at.String() + "]/LPTS[0 0 0 1 1 1 1 0]>>")
	r := g.Box
	return fmt.Sprintf("<</Type/Viewport/Name%s/BBox[%s %s %s %s]/Measure %s>>", textString(g.Name),
		num(r[0]*pointsPerMM), num((height-r[1]-r[3])*pointsPerMM), num((r[0]+r[2])*pointsPerMM), num((height-r[1])*pointsPerMM), ref(measure))
}
