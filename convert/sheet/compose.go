// Laying a drawing out on sheets.

package sheet

import (
	"fmt"
	"strings"

	"github.com/paulmach/orb"

	"swardline/convert/sheet/ink"
)

// Set is a drawing laid out.
type Set struct {
	Pages []*ink.Page
	// Scale is N of 1:N of the map sheets.
	Scale float64
	// Notes say what could not be shown as one would wish, Warnings what cannot be read.
	Notes, Warnings []string
}

// Compose lays the drawing out. With several map sheets the first page is an index of
// them. Schedule and findings that do not fit beside the map follow on pages of their
// own, whole. The error is for a plan that no sheet takes.
func Compose(d *Drawing, o Options) (*Set, error) {
	if o.Paper == (Paper{}) {
		o.Paper = Papers[0]
	}
	l, err := d.layout(o)
	if err != nil {
		return nil, err
	}
	c := &composer{d: d, o: o, l: l, set: &Set{Scale: l.scale}, where: map[string]int{}}
	// What does not fit decides how many sheets there are, and where the rest is, which
	// sheets say: laid out once to know, and once more with that known.
	c.all()
	c.count = len(c.set.Pages)
	c.set = &Set{Scale: l.scale}
	c.all()
	c.set.Warnings = d.lettering()
	if c.unlabelled > 0 {
		c.set.Notes = append(c.set.Notes, fmt.Sprintf("names left off the map for want of room: %d; the schedule has them", c.unlabelled))
	}
	return c.set, nil
}

type composer struct {
	d          *Drawing
	o          Options
	l          *layout
	set        *Set
	count      int
	unlabelled int
	// where says on which sheet a part of findings and schedule begins, and parts which
	// there are, in order.
	where map[string]int
	parts []string
}

func (c *composer) all() {
	c.unlabelled = 0
	if c.l.overview == 0 {
		rest := c.mapSheet(c.l.tiles[0], 1)
		c.lists(rest)
		return
	}
	rest := c.index()
	for i, t := range c.l.tiles {
		c.mapSheet(t, i+2)
	}
	c.lists(rest)
}

// begins records the sheet on which each part among the blocks begins.
func (c *composer) begins(blocks []block, sheet int) {
	for _, b := range blocks {
		if b.part != "" && c.where[b.part] == 0 {
			c.where[b.part] = sheet
			c.parts = append(c.parts, b.part)
		}
	}
}

// page begins a sheet with frame and title strip.
func (c *composer) page(what string) *ink.Page {
	s := c.l.shape
	n := len(c.set.Pages) + 1
	p := &ink.Page{W: s.w, H: s.h, Title: fmt.Sprintf("%s: %s, sheet %d of %d", c.d.Title, what, n, c.count),
		Desc: fmt.Sprintf("Plan drawn from %s on %s by %s.", c.d.Source, c.d.Date, c.d.Program)}
	c.set.Pages = append(c.set.Pages, p)
	p.Rect(margin-3, margin-3, s.w-2*margin+6, s.h-2*margin+6, nil, &ink.Line{Color: black, Width: 0.5})
	return p
}

// title is the block with what the sheet is.
func (c *composer) title(w float64, what string) block {
	n := len(c.set.Pages)
	lines := cutLines(wrap(c.d.Title, 4.2, w, true))
	if len(lines) > 3 {
		lines = append(lines[:2:2], clip(lines[2], 20)+"…")
	}
	return block{h: float64(len(lines))*5.2 + 8.6, draw: func(p *ink.Page, x, y, _ float64) {
		for i, l := range lines {
			p.Add(&ink.Text{At: ink.Point{x, y + 4 + float64(i)*5.2}, Size: 4.2, Bold: true, S: l})
		}
		below := y + float64(len(lines))*5.2 + 2.6
		p.Add(&ink.Text{At: ink.Point{x, below}, Size: textSize, S: what})
		p.Add(&ink.Text{At: ink.Point{x + w, below}, Size: textSize, Bold: true, Anchor: 1, S: fmt.Sprintf("sheet %d of %d", n, c.count)})
		p.Add(&ink.Text{At: ink.Point{x, below + 3}, Size: textSize, S: "date " + c.d.Date + "; " + clip(c.d.Program, 30)})
		p.Add(&ink.Text{At: ink.Point{x + w, below + 3}, Size: textSize, Anchor: 1, S: clip(c.d.Source, 34)})
	}}
}

// panelColumns are the places beside or below the map.
func (c *composer) panelColumns() []column {
	s := c.l.shape
	if s.side {
		return []column{{s.w - margin - s.panel() + 1, margin, s.panel() - 2, s.h - 2*margin}}
	}
	n := 2
	if s.landscape {
		n = 3
	}
	if s.w > wideFrom {
		n++
	}
	const gap = 4.0
	w := (s.w - 2*margin - gap*float64(n-1)) / float64(n)
	var out []column
	for i := range n {
		out = append(out, column{margin + float64(i)*(w+gap), s.h - margin - s.panel() + 2, w, s.panel() - 2})
	}
	return out
}

// fixed are the blocks that every map sheet has.
func (c *composer) fixed(w, scale float64, what string) []block {
	out := []block{c.title(w, what), scaleBar(scale, w), north(&c.d.Grid, w), heading("Caution"), paragraph(c.caution(), tableSize, w, false)}
	out = append(out, legend(c.d, w)...)
	out = append(out, heading("Datum and accuracy"))
	for _, n := range append(c.d.Notes[:len(c.d.Notes):len(c.d.Notes)], c.d.lettering()...) {
		out = append(out, paragraph(n, tableSize, w, false))
	}
	return out
}

func (c *composer) caution() string { return strings.Join(strings.Fields(c.d.Caution), " ") }

// flowing are schedule and findings, of those features that keep reports true.
func (c *composer) flowing(w float64, keep func(i int) bool) []block {
	shown := c.d.Findings
	if keep != nil {
		shown = nil
		for _, f := range c.d.Findings {
			if f.HasAt && keep(-1-f.Number) {
				shown = append(shown, f)
			}
		}
	}
	var out []block
	if len(shown) > 0 || keep == nil {
		not := c.d.NotChecked
		if keep != nil {
			not = nil
		}
		out = append(out, findingBlocks(shown, not, w)...)
	}
	for _, s := range c.d.Schedule(keep) {
		out = append(out, table(s, w)...)
	}
	return out
}

// mapSheet draws one map with its panel. It returns the blocks of schedule and
// findings that have to follow, all of them, when not all fitted.
func (c *composer) mapSheet(ground orb.Bound, number int) []block {
	what := "Plan"
	if c.l.overview != 0 {
		what = fmt.Sprintf("Plan, part %d of %d", number-1, len(c.l.tiles))
	}
	p := c.page(what)
	s := c.l.shape
	v := newView(p, s.x, s.y, s.mapW, s.mapH, ground)
	c.drawMap(v)
	if c.l.overview != 0 {
		c.neighbours(v, number)
	}
	cols := c.panelColumns()
	w := cols[0].w
	blocks := c.fixed(w, c.l.scale, what)
	var keep func(int) bool
	if c.l.overview != 0 {
		keep = func(i int) bool {
			if i < 0 { // a finding
				return ground.Contains(c.d.Findings[-1-i-1].At)
			}
			f := &c.d.Features[i]
			one := Drawing{Features: []Feature{*f}}
			return one.touches(ground)
		}
	}
	blocks = append(blocks, c.flowing(w, keep)...)
	if c.fits(cols, blocks) {
		flow(p, cols, blocks)
		return nil
	}
	// The last line is kept for a word on where the rest is.
	last := len(cols) - 1
	cols[last].h -= 5
	more := fmt.Sprintf("Continued on sheet %d.", number+1)
	if c.l.overview != 0 {
		more = "Findings and schedule, whole: sheet 1 says where."
	}
	b := paragraph(more, textSize, w, true)
	b.draw(p, cols[last].x, cols[last].y+cols[last].h+0.8, w)
	left := flow(p, cols, blocks)
	if c.l.overview == 0 {
		return left
	}
	return nil
}

// fits lays blocks out on a scrap of paper.
func (c *composer) fits(cols []column, blocks []block) bool {
	return len(flow(&ink.Page{}, cols, blocks)) == 0
}

func (c *composer) drawMap(v *view) {
	d := c.d
	v.page.Add(&ink.Group{Class: "map", Title: "map at 1:" + trim(1000/v.mmPerM), Clip: &[4]float64{v.x, v.y, v.w, v.h}})
	v.features(d.Features)
	v.off(d.Off)
	r := newRoom(v)
	v.signs(d.Features, r)
	// The tags of findings have the first choice of places, and lie uppermost.
	tags := v.findings(d.Findings, r)
	c.unlabelled += v.labels(d.Features, d.Off, r)
	v.page.Add(tags...)
	v.page.Add(ink.End{})
	v.ticks(&d.Grid)
	v.page.Rect(v.x, v.y, v.w, v.h, nil, &ink.Line{Color: black, Width: 0.35})
}

// index draws the whole plan small with the sheets over it. Findings and schedule stand
// beside it where they fit; else it says on which sheets they do, and returns them with
// whatever else did not fit.
func (c *composer) index() []block {
	p := c.page("Index")
	s := c.l.shape
	v := newView(p, s.x, s.y, s.mapW, s.mapH, centred(c.l.whole.Center(), s, c.l.overview))
	v.bare = true
	v.page.Add(&ink.Group{Class: "map", Title: "index", Clip: &[4]float64{v.x, v.y, v.w, v.h}})
	v.features(c.d.Features)
	v.off(c.d.Off)
	r := newRoom(v)
	var numbers []ink.Mark
	for i, t := range c.l.tiles {
		inner := t
		pad := mapPadding * c.l.scale / 1000
		inner.Min, inner.Max = orb.Point{t.Min[0] + pad, t.Min[1] + pad}, orb.Point{t.Max[0] - pad, t.Max[1] - pad}
		a, b := v.at(orb.Point{inner.Min[0], inner.Max[1]}), v.at(orb.Point{inner.Max[0], inner.Min[1]})
		p.Rect(a[0], a[1], b[0]-a[0], b[1]-a[1], nil, &ink.Line{Color: black, Width: 0.3})
		x, y := (a[0]+b[0])/2, (a[1]+b[1])/2
		r.take(box{x - 4, y - 2.5, x + 4, y + 2.5}) // no tag covers a sheet's number
		numbers = append(numbers, &ink.Text{At: ink.Point{x, y + 1.8}, Size: 5, Bold: true, Anchor: 0.5, Halo: 1.2, S: fmt.Sprint(i + 2)})
	}
	v.page.Add(v.findings(c.d.Findings, r)...)
	v.page.Add(numbers...)
	v.page.Add(ink.End{})
	v.ticks(&c.d.Grid)
	v.page.Rect(v.x, v.y, v.w, v.h, nil, &ink.Line{Color: black, Width: 0.35})
	cols := c.panelColumns()
	w := cols[0].w
	blocks := append(c.fixed(w, c.l.overview, "Index of sheets"), heading("Sheets"),
		paragraph(fmt.Sprintf("Sheets 2 to %d show the plan at 1:%s; the numbers on the map are those of the sheets.", len(c.l.tiles)+1, trim(c.l.scale)), textSize, w, false))
	here := append(blocks[:len(blocks):len(blocks)], c.flowing(w, nil)...)
	if c.fits(cols, here) {
		flow(p, cols, here)
		return nil
	}
	for _, part := range c.parts {
		blocks = append(blocks, paragraph(fmt.Sprintf("%s: sheet %d", part, c.where[part]), textSize, w, true))
	}
	left := flow(p, cols, blocks)
	return append(left, c.flowing(c.listColumn(), nil)...)
}

// neighbours marks where the map goes on, with the number of that sheet.
func (c *composer) neighbours(v *view, number int) {
	me := c.l.tiles[number-2]
	w, h := me.Max[0]-me.Min[0], me.Max[1]-me.Min[1]
	for i, t := range c.l.tiles {
		dx, dy := (t.Min[0]-me.Min[0])/w, (t.Min[1]-me.Min[1])/h
		var at ink.Point
		near := func(a, b float64) bool { return a-b < 0.3 && b-a < 0.3 }
		switch {
		case near(dx, 1) && near(dy, 0):
			at = ink.Point{v.x + v.w - 6, v.y + v.h/2}
		case near(dx, -1) && near(dy, 0):
			at = ink.Point{v.x + 6, v.y + v.h/2}
		case near(dx, 0) && near(dy, 1):
			at = ink.Point{v.x + v.w/2, v.y + 4}
		case near(dx, 0) && near(dy, -1):
			at = ink.Point{v.x + v.w/2, v.y + v.h - 2}
		default:
			continue
		}
		v.page.Add(&ink.Text{At: at, Size: 2.4, Bold: true, Anchor: 0.5, Halo: 0.8, S: fmt.Sprintf("sheet %d", i+2)})
	}
}

// Columns of the sheets of lists.
func (c *composer) listColumns() []column {
	s := c.l.shape
	n := 2
	if s.landscape {
		n = 3
	}
	w := (s.w - 2*margin - 5*float64(n-1)) / float64(n)
	var out []column
	for i := range n {
		out = append(out, column{margin + float64(i)*(w+5), margin + 19, w, s.h - 2*margin - 19 - c.foot().h - 1})
	}
	return out
}

func (c *composer) listColumn() float64 { return c.listColumns()[0].w }

// foot is the caution across the foot of a sheet of lists.
func (c *composer) foot() block {
	return paragraph("Caution: "+c.caution(), tableSize, c.l.shape.w-2*margin, false)
}

// lists puts blocks on pages of their own.
func (c *composer) lists(blocks []block) {
	for len(blocks) > 0 {
		p := c.page("Findings and schedule")
		s := c.l.shape
		c.title(s.w-2*margin, "Findings and schedule").draw(p, margin, margin, s.w-2*margin)
		foot := c.foot()
		y := s.h - margin - foot.h
		p.Polyline(ink.Line{Color: black, Width: 0.25}, ink.Point{margin, y - 0.6}, ink.Point{s.w - margin, y - 0.6})
		foot.draw(p, margin, y, s.w-2*margin)
		left := flow(p, c.listColumns(), blocks)
		c.begins(blocks[:len(blocks)-len(left)], len(c.set.Pages))
		if len(left) == len(blocks) {
			c.set.Notes = append(c.set.Notes, "a text is too long for a sheet; it was left out")
			left = left[1:]
		}
		blocks = left
	}
}
