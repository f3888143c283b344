// Laying a drawing out on sheets.

package sheet

import (
	"fmt"
	"slices"
	"strings"

	"github.com/paulmach/orb"

	"swardline/convert/sheet/ink"
	"swardline/convert/sheet/typeface"
	"swardline/schema"
)

// Set is a drawing laid out.
type Set struct {
	Pages []*ink.Page
	// Scale is N of 1:N of the map sheets.
	Scale float64
	// TurnDeg is how far the plan is turned on the paper, clockwise.
	TurnDeg float64
	// Notes say what could not be shown as one would wish, Warnings what cannot
	// be read.
	Notes, Warnings []string

	oneMap bool // one sheet shows all of the plan
}

// Compose lays the drawing out. With several map sheets the first page is an
// index of them. Schedule and findings that do not fit beside the map follow on
// pages of their own, whole. The error is for a plan that no sheet takes.
func Compose(d *Drawing, o Options) (*Set, error) {
	if o.Paper == (Paper{}) {
		o.Paper = Papers[0]
	}
	if o.TurnAuto {
		o.TurnDeg = d.bestTurn(o)
	}
	d = d.turned(o.TurnDeg)
	set, err := d.compose(o)
	if err != nil {
		return nil, err
	}
	if len(set.Pages) > 1 {
		// Two columns beside the map may spare a sheet, where they cost no
		// scale.
		for o.double = sidePanel; o.double >= leastPanel; o.double -= 4 {
			if two, err := d.compose(o); err == nil && two.Scale == set.Scale && len(two.Pages) < len(set.Pages) {
				return two, nil
			}
		}
		// So may the panel on another side, where it has more room for them.
		o.double = 0
		for o.only = 1; set.oneMap && o.only <= shapeCount; o.only++ {
			if other, err := d.compose(o); err == nil && other.Scale == set.Scale && len(other.Pages) < len(set.Pages) {
				set = other
			}
		}
		if n := len(set.Pages); o.For == ForClient && set.oneMap && n > 1 {
			set.Notes = append(set.Notes, fmt.Sprintf("the client's sheet takes %d pages: beside a map at 1:%s on %s the tables have no room in letters of %.1f mm, the least there are; larger paper has more",
				n, trim(set.Scale), o.Paper.Name, tableSize*typeface.CapHeight))
		}
	}
	return set, nil
}

func (d *Drawing) compose(o Options) (*Set, error) {
	l, err := d.layout(o)
	if err != nil {
		return nil, err
	}
	c := &composer{d: d, o: o, l: l, set: &Set{Scale: l.scale, TurnDeg: o.TurnDeg, oneMap: l.overview == 0}, where: map[string]int{}}
	// What does not fit decides how many sheets there are, and where the rest
	// is, which sheets say: laid out once to know, and once more with that
	// known.
	c.all()
	c.count = len(c.set.Pages)
	c.set = &Set{Scale: l.scale, TurnDeg: o.TurnDeg, oneMap: l.overview == 0}
	c.all()
	c.set.Warnings = d.lettering()
	if c.unlabelled > 0 {
		c.set.Notes = append(c.set.Notes, fmt.Sprintf("names left off the map for want of room: %d; the tables have them", c.unlabelled))
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
	// where says on which sheet a part of findings and schedule begins, and
	// parts which there are, in order.
	where map[string]int
	parts []string
}

func (c *composer) all() {
	c.unlabelled = 0
	if c.l.overview == 0 {
		rest := c.mapSheet(c.l.tiles[0], 1)
		c.lists(rest)
		c.sky()
		return
	}
	rest := c.index()
	for i, t := range c.l.tiles {
		c.mapSheet(t, i+2)
	}
	c.lists(rest)
	c.sky()
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
	p := &ink.Page{W: s.w, H: s.h, Title: fmt.Sprintf("%s: %s, sheet %d of %d", c.d.Title, what, n, c.count), Name: fmt.Sprintf("Sheet %d: %s", n, what),
		Desc: fmt.Sprintf("Plan drawn from %s on %s by %s.", c.d.Source, c.d.Date, c.d.Program)}
	c.set.Pages = append(c.set.Pages, p)
	p.Rect(margin-3, margin-3, s.w-2*margin+6, s.h-2*margin+6, nil, &ink.Line{Color: black, Width: 0.5})
	return p
}

// title is the head of a sheet of lists: what the sheet is, and of which
// drawing.
func (c *composer) title(w float64, what string) block {
	n := len(c.set.Pages)
	title := c.d.Block.Title
	if title == "" {
		title = c.d.Title
	}
	of := []string{"drawn " + c.d.Date + " by " + clip(c.d.Program, 30) + " from " + clip(c.d.Source, 34)}
	for _, f := range [][2]string{{"number ", c.d.Block.Number}, {"revision ", c.d.Block.Revision}, {"issued ", c.d.Block.DateOfIssue}} {
		if f[1] != "" {
			of = append(of, f[0]+clip(f[1], 30))
		}
	}
	lines := wrap(title, titleSize, w-30, true)
	if len(lines) > 2 {
		lines = []string{lines[0], clip(lines[1], len([]rune(lines[1]))-1) + "…"}
	}
	return block{h: float64(len(lines))*titleSize*1.2 + 8, draw: func(p *ink.Page, x, y, _ float64) {
		p.Add(&ink.Group{Tag: "H1"})
		for i, l := range lines {
			p.Add(&ink.Text{At: ink.Point{x, y + titleSize*0.9 + float64(i)*titleSize*1.2}, Size: titleSize, Bold: true, S: l})
		}
		p.Add(ink.End{})
		p.Add(&ink.Text{At: ink.Point{x + w, y + titleSize*0.9}, Size: tableSize, Bold: true, Anchor: 1, S: fmt.Sprintf("sheet %d of %d", n, c.count)})
		below := y + float64(len(lines))*titleSize*1.2 + tableSize
		p.Add(&ink.Text{At: ink.Point{x, below}, Size: tableSize, S: what})
		p.Add(&ink.Text{At: ink.Point{x, below + tableSize*1.25}, Size: tableSize, S: strings.Join(of, "; ")})
	}}
}

// panelColumns are the places beside or below the map.
func (c *composer) panelColumns() []column {
	s := c.l.shape
	if s.side {
		left, w := s.w-margin-s.panel()+1, s.panel()-2
		if s.double == 0 {
			return []column{{left, margin, w, s.h - 2*margin}}
		}
		w = (w - columnGap) / 2
		return []column{{left, margin, w, s.h - 2*margin}, {left + w + columnGap, margin, w, s.h - 2*margin}}
	}
	n := 2
	if s.landscape {
		n = 3
	}
	if s.w > wideFrom {
		n++
	}
	w := (s.w - 2*margin - columnGap*float64(n-1)) / float64(n)
	var out []column
	for i := range n {
		out = append(out, column{margin + float64(i)*(w+columnGap), s.h - margin - s.panel() + 2, w, s.panel() - 2})
	}
	return out
}

// fixed are the blocks that every map sheet has.
func (c *composer) fixed(w, scale float64, what string) []block {
	out := []block{scaleBar(scale, w), north(&c.d.Grid, w, c.d.turn)}
	if c.o.For == ForClient && c.d.Grid.NorthKnown && c.d.turn == 0 {
		out = []block{scaleBar(scale, w-14), plainNorth(w)} // a client asks where north is, not which
	}
	out = append(out, heading("Caution"), paragraph(c.caution(), tableSize, w, false))
	notes := c.d.Notes[:len(c.d.Notes):len(c.d.Notes)]
	if c.o.For == ForClient && c.d.Plain != "" {
		notes = []string{c.d.Plain}
	}
	out = append(out, heading("Datum and accuracy"))
	for _, n := range append(notes, c.d.lettering()...) {
		out = append(out, paragraph(n, tableSize, w, false))
	}
	if c.d.Result != "" && !c.o.For.lists(titleFindings) {
		out = append(out, paragraph(strings.TrimSpace(c.d.Result+" "+c.d.Tested), tableSize, w, false))
	}
	out = append(out, legend(c.d, w, c.o.For.lists(titleFindings))...)
	return append(out, trackBlocks(c.d.Track, w)...)
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
	if (len(shown) > 0 || keep == nil) && c.o.For.lists(titleFindings) {
		tested, not := c.d.Tested, c.d.NotChecked
		if keep != nil {
			tested, not = "", nil
		}
		out = append(out, findingBlocks(shown, tested, not, w)...)
	}
	for _, s := range c.d.Schedule(keep) {
		if c.o.For.lists(s.Title) {
			out = append(out, table(s, w)...)
		}
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
	v.turn = c.d.turn
	c.drawMap(v, what, number)
	cols, w := c.panel(p, what)
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
		flow(p, c.evened(cols, blocks), blocks)
		return nil
	}
	// The last line is kept for a word on where the rest is.
	last := len(cols) - 1
	cols[last].h -= tableSize*lineGap + 1
	more := fmt.Sprintf("Continued on sheet %d.", number+1)
	if c.l.overview != 0 {
		more = "All tables, whole: sheet 1 says where."
	}
	b := paragraph(more, tableSize, w, true)
	b.draw(p, cols[last].x, cols[last].y+cols[last].h+0.4, w)
	left := flow(p, cols, blocks)
	if c.l.overview == 0 {
		return left
	}
	return nil
}

// panel draws the title block, at the lower right, and returns what is left for
// other blocks, and its width.
func (c *composer) panel(p *ink.Page, what string) ([]column, float64) {
	cols := c.panelColumns()
	w := cols[0].w
	last := &cols[len(cols)-1]
	b := c.titleBlock(w, what)
	b.draw(p, last.x, last.y+last.h-b.h, w)
	last.h -= b.h + 1.5
	return cols, w
}

// fits lays blocks out on a scrap of paper.
func (c *composer) fits(cols []column, blocks []block) bool {
	return len(flow(&ink.Page{}, cols, blocks)) == 0
}

func (c *composer) drawMap(v *view, what string, number int) {
	d := c.d
	v.open(c, what, "map at 1:"+trim(1000/v.mmPerM))
	v.features(d.Features)
	v.off(d.Off)
	v.track(d.Track)
	r := newRoom(v)
	var beside []ink.Mark
	if c.l.overview != 0 {
		beside = c.neighbours(v, number, r)
	}
	r.linework(d.Features)
	r.linework(d.Off)
	v.signs(d.Features, r)
	// The tags of findings have the first choice of places, and lie uppermost.
	var tags []ink.Mark
	if c.o.For.lists(titleFindings) {
		tags = v.findings(d.Findings, r)
	}
	c.unlabelled += v.labels(d.Features, d.Off, r)
	v.page.Add(append(beside, tags...)...)
	v.shut(c, r)
}

// open begins a map: a figure to who listens, its inside cut off at the frame.
func (v *view) open(c *composer, what, title string) {
	v.page.Add(&ink.Group{Tag: "Figure", Class: "figure", Alt: title + ". " + c.d.words(), Box: &[4]float64{v.x - frameBand, v.y - frameBand, v.w + 2*frameBand, v.h + 2*frameBand}},
		&ink.Group{Class: "map", Title: title, Clip: &[4]float64{v.x, v.y, v.w, v.h}})
	if g, ok := v.place(c.d.Earth); ok {
		g.Name = what
		v.page.Geo = append(v.page.Geo, g)
	}
}

// shut ends a map with its grid and frame.
func (v *view) shut(c *composer, r *room) {
	v.page.Add(ink.End{})
	v.ticks(&c.d.Grid, r)
	v.page.Rect(v.x, v.y, v.w, v.h, nil, &ink.Line{Color: black, Width: 0.35})
	v.page.Add(ink.End{})
}

// place is where on the earth the map lies; ok is false when that is not known.
func (v *view) place(e *Earth) (g ink.Geo, ok bool) {
	if e == nil {
		return g, false
	}
	g = ink.Geo{Box: [4]float64{v.x, v.y, v.w, v.h}, EPSG: e.EPSG, WKT: e.WKT, Projected: e.Projected}
	for i, q := range []ink.Point{{v.x, v.y + v.h}, {v.x, v.y}, {v.x + v.w, v.y}, {v.x + v.w, v.y + v.h}} {
		lon, lat, ok := e.LonLat(v.back(q))
		if !ok {
			return g, false
		}
		g.Corners[i] = [2]float64{lon, lat}
	}
	return g, true
}

// words tell what is drawn to who does not see it.
func (d *Drawing) words() string {
	var parts []string
	for _, role := range schema.Roles {
		var names []string
		for i := range d.Features {
			if f := &d.Features[i]; f.Role == role {
				names = append(names, f.Label())
			}
		}
		const most = 12
		if n := len(names); n > most {
			names = append(names[:most:most], fmt.Sprintf("and %d more", n-most))
		}
		if len(names) > 0 {
			parts = append(parts, RoleTitle(role)+": "+strings.Join(names, ", ")+".")
		}
	}
	return strings.Join(parts, " ")
}

// index draws the whole plan small with the sheets over it. Findings and
// schedule stand beside it where they fit; else it says on which sheets they
// do, and returns them with whatever else did not fit.
func (c *composer) index() []block {
	p := c.page("Index")
	s := c.l.shape
	v := newView(p, s.x, s.y, s.mapW, s.mapH, centred(c.l.whole.Center(), s, c.l.overview))
	v.bare, v.turn = true, c.d.turn
	v.open(c, "Index", "index of sheets")
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
		r.take(box{x - 5, y - 3.5, x + 5, y + 3.5}) // no tag covers a sheet's number
		numbers = append(numbers, &ink.Text{At: ink.Point{x, y + 1.8}, Size: titleSize, Bold: true, Anchor: 0.5, Halo: 1.2, S: fmt.Sprint(i + 2)})
	}
	if c.o.For.lists(titleFindings) {
		v.page.Add(v.findings(c.d.Findings, r)...)
	}
	v.page.Add(numbers...)
	v.shut(c, r)
	cols, w := c.panel(p, "Index of sheets")
	blocks := append(c.fixed(w, c.l.overview, "Index of sheets"), heading("Sheets"),
		paragraph(fmt.Sprintf("Sheets 2 to %d show the plan at 1:%s; the numbers on the map are those of the sheets.", len(c.l.tiles)+1, trim(c.l.scale)), tableSize, w, false))
	here := append(blocks[:len(blocks):len(blocks)], c.flowing(w, nil)...)
	if c.fits(cols, here) {
		flow(p, cols, here)
		return nil
	}
	for _, part := range c.parts {
		blocks = append(blocks, paragraph(fmt.Sprintf("%s: sheet %d", part, c.where[part]), tableSize, w, true))
	}
	left := flow(p, cols, blocks)
	return append(left, c.flowing(c.listColumn(), nil)...)
}

// neighbours are marks where the map goes on, with the number of that sheet.
// Their places are taken in r, so that no name is written under them.
func (c *composer) neighbours(v *view, number int, r *room) (marks []ink.Mark) {
	me := c.l.tiles[number-2]
	w, h := me.Max[0]-me.Min[0], me.Max[1]-me.Min[1]
	for i, t := range c.l.tiles {
		dx, dy := (t.Min[0]-me.Min[0])/w, (t.Min[1]-me.Min[1])/h
		var at ink.Point
		near := func(a, b float64) bool { return a-b < 0.3 && b-a < 0.3 }
		switch {
		case near(dx, 1) && near(dy, 0):
			at = ink.Point{v.x + v.w - 10, v.y + v.h/2}
		case near(dx, -1) && near(dy, 0):
			at = ink.Point{v.x + 10, v.y + v.h/2}
		case near(dx, 0) && near(dy, 1):
			at = ink.Point{v.x + v.w/2, v.y + 4.5}
		case near(dx, 0) && near(dy, -1):
			at = ink.Point{v.x + v.w/2, v.y + v.h - 2}
		default:
			continue
		}
		text := fmt.Sprintf("sheet %d", i+2)
		r.take(textBox([]string{text}, labelSize, ink.Point{at[0], at[1] - 1.2}))
		marks = append(marks, &ink.Text{At: at, Size: labelSize, Bold: true, Anchor: 0.5, Halo: 0.8, S: text})
	}
	return marks
}

// listsTitle is what a sheet of lists is called.
const listsTitle = "Areas, lengths and findings"

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

// evened are columns no longer than it takes to hold the blocks, so that a list
// fills the width of its sheet before its height.
func (c *composer) evened(cols []column, blocks []block) []column {
	if !c.fits(cols, blocks) {
		return cols
	}
	short, most := slices.Clone(cols), 0.0
	for _, x := range cols {
		most = max(most, x.h)
	}
	for low, high := 0.0, most; high-low > 0.5; {
		mid := (low + high) / 2
		for i := range short {
			short[i].h = min(mid, cols[i].h)
		}
		if c.fits(short, blocks) {
			high = mid
		} else {
			low = mid
		}
		most = high
	}
	for i := range short {
		short[i].h = min(most, cols[i].h)
	}
	return short
}

// lists puts blocks on pages of their own.
func (c *composer) lists(blocks []block) {
	for len(blocks) > 0 {
		p := c.page(listsTitle)
		s := c.l.shape
		c.title(s.w-2*margin, listsTitle).draw(p, margin, margin, s.w-2*margin)
		foot := c.foot()
		y := s.h - margin - foot.h
		p.Polyline(ink.Line{Color: black, Width: 0.25}, ink.Point{margin, y - 0.6}, ink.Point{s.w - margin, y - 0.6})
		foot.draw(p, margin, y, s.w-2*margin)
		left := flow(p, c.evened(c.listColumns(), blocks), blocks)
		c.begins(blocks[:len(blocks)-len(left)], len(c.set.Pages))
		if len(left) == len(blocks) {
			c.set.Notes = append(c.set.Notes, "a text is too long for a sheet; it was left out")
			left = left[1:]
		}
		blocks = left
	}
}
