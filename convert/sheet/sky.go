// The sky of a plan in pictures: the ground by the share of the day in which it
// is in the shade, and the sky of each place as a polar plot. Both are marks on
// paper, so that a sheet, a page and a drawing of their own show the same.

package sheet

import (
	"fmt"
	"io"
	"math"
	"slices"
	"strings"

	"github.com/paulmach/orb"

	"swardline/convert/sheet/ink"
	"swardline/convert/sheet/typeface"
	"swardline/crs/orbit"
	"swardline/schema"
)

// Sky is what a plan's places see of the sky.
type Sky struct {
	// Features are those of the map, north up.
	Features []Feature
	// Masts are places on the ground where a mast should go.
	Masts []orb.Point
	// Few says when a place counts as in the shade, such as "fewer than 6
	// satellites in sight, or PDOP over 6", and LimitPercent for how much of a
	// day it may be.
	Few          string
	LimitPercent float64
	Shades       []SkyShade
	Plots        []SkyPlot
	// Hides names what hides sky, the most first; Advice is where the mast
	// goes.
	Hides  []string
	Advice string
	Notes  []string
}

// SkyShade is the ground of one zone that is in the shade for a share of the
// day.
type SkyShade struct {
	Shade Shade
	Areas []orb.Polygon
}

// Shade is a class of share of the day, from open to unknown.
type Shade int

// Classes of shade. ShadeUnknown is ground near things whose height is not
// told.
const (
	ShadeOpen Shade = iota
	ShadeSome
	ShadeMuch
	ShadeMost
	ShadeUnknown
	shadeCount
)

// shadeEnds are the upper ends in percent of the classes after the open one.
var shadeEnds = [...]float64{25, 50}

// ShadeOf is the class of a share, 0 to 1 or NaN, where up to limit percent is
// open.
func ShadeOf(share, limit float64) Shade {
	switch percent := 100 * share; {
	case math.IsNaN(share):
		return ShadeUnknown
	case percent <= limit:
		return ShadeOpen
	case percent <= shadeEnds[0]:
		return ShadeSome
	case percent <= shadeEnds[1]:
		return ShadeMuch
	}
	return ShadeMost
}

// shadeWords are the legend of the classes.
func shadeWords(limit float64) [shadeCount]string {
	l := trim(limit)
	out := [shadeCount]string{"up to " + l + " % of the day", l + " to 25 %", "25 to 50 %", "over 50 %", "not known: a height is missing"}
	if limit >= shadeEnds[0] {
		out[ShadeSome], out[ShadeMuch] = "", l+" to 50 %"
	}
	if limit >= shadeEnds[1] {
		out[ShadeMuch], out[ShadeMost] = "", "over "+l+" %"
	}
	return out
}

// shadeLooks tell the classes by density first and by colour second: lines
// closer and closer, and tints of one blue that darken, which eyes of every
// kind rank alike. What is not known is dotted across.
var shadeLooks = [shadeCount]look{
	ShadeOpen:    {},
	ShadeSome:    {fill: tint(blue), opacity: 0.12, hatches: []hatch{{angle: 45, gap: 3, line: ink.Line{Color: black, Width: 0.12}}}},
	ShadeMuch:    {fill: tint(blue), opacity: 0.28, hatches: []hatch{{angle: 45, gap: 1.5, line: ink.Line{Color: black, Width: 0.14}}}},
	ShadeMost:    {fill: tint(blue), opacity: 0.5, hatches: []hatch{{angle: 45, gap: 1, line: ink.Line{Color: black, Width: 0.16}}, {angle: 135, gap: 1, line: ink.Line{Color: black, Width: 0.16}}}},
	ShadeUnknown: {fill: tint(yellow), opacity: 0.3, hatches: []hatch{{angle: 0, gap: 1.6, line: ink.Line{Color: black, Width: 0.3, Dash: []float64{0.3, 1.5}}}}},
}

// SkyPlot is the sky of one place: north up, the horizon outside, the zenith in
// the middle.
type SkyPlot struct {
	Title string
	// Words are lines below it.
	Words   []string
	Horizon *orbit.Horizon
	Day     *orbit.Day
	// MaskDeg is the elevation below which no satellite counts.
	MaskDeg float64
}

// Measures of the pictures in millimetres.
const (
	skyRadius  = 40.0 // of a plot, at the most
	skyAround  = 6.5  // kept free round it for the letters of its bearings
	skyCell    = 90.0 // the least width of a plot with what is around it
	skyMapMost = 118.0
	skyPanel   = 66.0
	skyWidth   = 200.0 // of the drawing of its own
	skyColumn  = 84.0  // of the one in a live page, whose lists are narrow
	skyBeside  = 140.0 // from here on the legend stands beside the map
)

// trackStepS is how far apart in seconds the points of a satellite's way are
// drawn: in a quarter of an hour it moves by some 8 degrees at the most (12
// hours round the earth), 3.5 mm of paper.
const trackStepS = 900

// SkySVG writes the pictures on one drawing.
func SkySVG(w io.Writer, sky *Sky) error { return ink.SVG(w, sky.page("The sky over a day")) }

// page is the drawing of its own.
func (sky *Sky) page(title string) *ink.Page {
	return long(&ink.Page{Title: title, Desc: strings.Join(sky.Notes, " ")}, skyWidth, margin, sky.blocks(skyWidth, skyMapMost))
}

// inline is the picture in a live page, without the words that stand there as
// text.
func (sky *Sky) inline() (string, error) {
	var b strings.Builder
	err := ink.Inline(&b, long(&ink.Page{Title: "The ground by its share of the day in the shade, and the sky of each place"}, skyColumn, 2, sky.pictures(skyColumn, skyMapMost)), "sky-")
	return b.String(), err
}

// long lays blocks out on a page as long as they need.
func long(p *ink.Page, w, edge float64, blocks []block) *ink.Page {
	h := 0.0
	for _, b := range blocks {
		h += b.h
	}
	p.W, p.H = w+2*edge, h+2*edge
	flow(p, []column{{edge, edge, w, h + 1}}, blocks)
	return p
}

// skyTitle is what a sheet of the sky is called.
const skyTitle = "Sky"

// sky puts the pictures of the sky on sheets of their own.
func (c *composer) sky() {
	if c.d.Sky == nil || c.o.For == ForClient {
		return
	}
	s := c.l.shape
	w := s.w - 2*margin
	foot := c.foot()
	h := s.h - 2*margin - 19 - foot.h - 1
	blocks := c.d.Sky.blocks(w, math.Min(skyMapMost, h-30))
	if len(blocks) > 0 {
		blocks[0].part = skyTitle
	}
	for len(blocks) > 0 {
		p := c.page(skyTitle)
		c.title(w, "The sky over a day").draw(p, margin, margin, w)
		y := s.h - margin - foot.h
		p.Polyline(ink.Line{Color: black, Width: 0.25}, ink.Point{margin, y - 0.6}, ink.Point{s.w - margin, y - 0.6})
		foot.draw(p, margin, y, w)
		left := flow(p, []column{{margin, margin + 19, w, h}}, blocks)
		c.begins(blocks[:len(blocks)-len(left)], len(c.set.Pages))
		if len(left) == len(blocks) {
			c.set.Notes = append(c.set.Notes, "a picture of the sky is too large for a sheet; it was left out")
			left = left[1:]
		}
		blocks = left
	}
}

// blocks are the pictures for a column w wide, the map at most mapH high.
func (sky *Sky) blocks(w, mapH float64) []block {
	var out []block
	if sky.Advice != "" {
		out = append(out, paragraph(sky.Advice, headSize, w, true))
		if s := sky.HiddenWords(); s != "" {
			out = append(out, paragraph(s, tableSize, w, true))
		}
	}
	out = append(out, sky.pictures(w, mapH)...)
	for _, n := range sky.Notes {
		out = append(out, paragraph(n, tableSize, w, false))
	}
	return out
}

// HiddenWords say what the share of the sky that is hidden is a share of, ""
// where nothing was looked at.
func (sky *Sky) HiddenWords() string {
	if len(sky.Plots) == 0 {
		return ""
	}
	return fmt.Sprintf("Hidden is the share of the sky above %s°, over open ground that is flat where heights are not known; leaves are not counted.", trim(sky.Plots[0].MaskDeg))
}

func (sky *Sky) pictures(w, mapH float64) []block {
	var out []block
	if b, ok := sky.siteMap(w, mapH); ok {
		out = append(out, b)
	}
	across := max(1, int(w/skyCell))
	for i := 0; i < len(sky.Plots); i += across {
		out = append(out, plotRow(sky.Plots[i:min(i+across, len(sky.Plots))], w/float64(across)))
	}
	if len(sky.Plots) > 0 {
		out = append(out, plotLegend(w))
	}
	return out
}

// siteMap is the map of the shade with its legend beside it.
func (sky *Sky) siteMap(w, mapH float64) (block, bool) {
	d := Drawing{Features: sky.Features}
	ground, ok := d.bounds()
	if !ok {
		return block{}, false
	}
	beside := w >= skyBeside
	mapW, panelW := w, w
	if beside {
		mapW, panelW = w-skyPanel-columnGap, skyPanel
	}
	ground = grown(ground)
	scale := 0.0
	for _, n := range RoundScales() {
		mm := 1000 / n
		if (ground.Max[0]-ground.Min[0])*mm <= mapW-2*mapPadding && (ground.Max[1]-ground.Min[1])*mm <= mapH-2*mapPadding {
			scale = n
			break
		}
	}
	if scale == 0 {
		return block{}, false
	}
	panel := sky.panel(panelW, scale)
	needs, below := 0.0, 0.0
	for _, b := range panel {
		needs += b.h
	}
	if !beside {
		needs, below = 0, needs+2
	}
	h := math.Min(mapH, math.Max(math.Max((ground.Max[1]-ground.Min[1])*1000/scale+2*mapPadding, 60), needs))
	mid := ground.Center()
	half := orb.Point{mapW / 2 * scale / 1000, h / 2 * scale / 1000}
	shown := orb.Bound{Min: orb.Point{mid[0] - half[0], mid[1] - half[1]}, Max: orb.Point{mid[0] + half[0], mid[1] + half[1]}}
	return block{h: h + 5 + below, draw: func(p *ink.Page, x, y, _ float64) {
		sky.drawMap(newView(p, x, y, mapW, h, shown))
		if beside {
			flow(p, []column{{x + mapW + columnGap, y, panelW, h + 5}}, panel)
		} else {
			flow(p, []column{{x, y + h + 2, panelW, below + 1}}, panel)
		}
	}}, true
}

func (sky *Sky) drawMap(v *view) {
	p := v.page
	p.Add(&ink.Group{Tag: "Figure", Class: "sky-map", Title: "ground by the share of the day in the shade", Alt: "Map of the ground by the share of the day in the shade. " + strings.Join(sky.shadeAreas(), "; "),
		Box: &[4]float64{v.x, v.y, v.w, v.h}, Clip: &[4]float64{v.x, v.y, v.w, v.h}})
	for i := range sky.Shades {
		s := &sky.Shades[i]
		for _, a := range s.Areas {
			v.shade(a, s.Shade)
		}
	}
	var named, signs []Feature
	for i := range sky.Features {
		f := &sky.Features[i]
		switch {
		case f.Role == schema.RoleBase || f.Role == schema.RoleDock:
			signs = append(signs, *f)
			named = append(named, skyNamed(f))
		case !f.quietInSky():
			v.feature(f)
			named = append(named, skyNamed(f))
		default:
			line := skyQuiet
			if f.Role == schema.RoleZone {
				line = lookOf(f.Role).line
				named = append(named, skyNamed(f))
			}
			if subs := v.outlines(f); len(subs) > 0 {
				p.Add(&ink.Path{Subs: subs, Line: &line})
			}
		}
	}
	r := newRoom(v)
	for i := range signs {
		v.feature(&signs[i])
	}
	v.signs(sky.Features, r)
	r.linework(sky.Features)
	north := ink.Point{v.x + v.w - 6, v.y + 4}
	r.take(box{north[0] - 4, north[1] - 3, north[0] + 4, north[1] + 14}) // it would cut a height off a name
	for _, at := range sky.Masts {
		v.mast(at, r)
	}
	v.labels(named, nil, r)
	p.Add(ink.End{})
	p.Rect(v.x, v.y, v.w, v.h, nil, &ink.Line{Color: black, Width: 0.35})
	northMark(p, north[0], north[1])
}

// mast marks where a mast should go: an arrow that points at the place.
func (v *view) mast(at orb.Point, r *room) {
	q := v.at(at)
	if !v.sees(q, 0) {
		return
	}
	words := []string{"mast here"}
	half := typeface.Width(words[0], codeSize, true)/2 + 1
	// From the side that is free, else from the right.
	ways := [...][2]float64{{1, 0}, {-1, 0}, {0, -1}, {0, 1}}
	place := func(way [2]float64) ink.Point { return ink.Point{q[0] + way[0]*(8+half), q[1] + way[1]*10} }
	from := ways[0]
	for _, way := range ways {
		if r.free(textBox(words, codeSize, place(way))) {
			from = way
			break
		}
	}
	c := place(from)
	tip := func(along, aside float64) ink.Point {
		return ink.Point{q[0] + along*from[0] - aside*from[1], q[1] + along*from[1] + aside*from[0]}
	}
	v.page.Add(&ink.Path{Subs: []ink.Sub{{Points: []ink.Point{q, tip(4, 2), tip(3.6, 0.7), tip(8, 0.7), tip(8, -0.7), tip(3.6, -0.7), tip(4, -2)}, Closed: true}},
		Fill: &black, Line: &ink.Line{Color: white, Width: 0.4}})
	r.take(box{math.Min(q[0], tip(8, 2)[0]) - 1, math.Min(q[1], tip(8, 2)[1]) - 1, math.Max(q[0], tip(8, -2)[0]) + 1, math.Max(q[1], tip(8, -2)[1]) + 1})
	r.take(textBox(words, codeSize, c))
	v.lettering(words, codeSize, c)
}

// northMark is an arrow to true north, which is up.
func northMark(p *ink.Page, x, y float64) {
	p.Add(&ink.Group{Class: "north", Title: "north is up", Tag: "Figure", Alt: "North is up.", Box: &[4]float64{x - 3, y - 3, 6, 15}})
	p.Rect(x-3.5, y-2.5, 7, 15.5, &white, nil)
	p.Add(&ink.Path{Subs: []ink.Sub{{Points: []ink.Point{{x, y}, {x + 2, y + 7}, {x, y + 5.6}, {x - 2, y + 7}}, Closed: true}}, Fill: &black},
		&ink.Text{At: ink.Point{x, y + 11}, Size: headSize, Bold: true, Anchor: 0.5, S: "N"}, ink.End{})
}

// skyNamed is a feature as the map of the sky names it: with its height where
// it has one.
func skyNamed(f *Feature) Feature {
	out := *f
	name := f.Label()
	switch {
	case f.HeightM > 0:
		name += ", " + trim(f.HeightM) + " m"
	case f.Role == schema.RoleBuilding:
		name += ", height not told"
	case f.AntennaM > 0:
		name += ", " + trim(f.AntennaM) + " m"
	}
	out.Code, out.Name, out.Note, out.AreaM2, out.NetM2 = name, "", "", math.NaN(), math.NaN()
	return out
}

// shade lays one class over an area, without an outline.
func (v *view) shade(a orb.Polygon, s Shade) {
	l := &shadeLooks[s]
	if l.fill == nil {
		return
	}
	var subs []ink.Sub
	for _, ring := range a {
		subs = append(subs, ink.Sub{Points: v.run(ring), Closed: true})
	}
	v.page.Add(&ink.Path{Subs: subs, Fill: l.fill, Opacity: l.opacity})
	for _, h := range l.hatches {
		v.hatch(subs, h, math.NaN())
	}
}

// shadeAreas tells the classes that the map shows in words, with their areas.
func (sky *Sky) shadeAreas() []string {
	words := shadeWords(sky.LimitPercent)
	var sums [shadeCount]float64
	for _, s := range sky.Shades {
		for _, a := range s.Areas {
			sums[s.Shade] += levelArea(a)
		}
	}
	var out []string
	for i, m2 := range sums {
		if m2 > 0 {
			out = append(out, words[i]+": "+area(m2)+" m²")
		}
	}
	return out
}

// levelArea is the area of a polygon by its rings, holes taken off.
func levelArea(a orb.Polygon) float64 {
	sum := 0.0
	for i, ring := range a {
		twice := 0.0
		for k := range ring {
			p, q := ring[k], ring[(k+1)%len(ring)]
			twice += (p[0]-ring[0][0])*(q[1]-ring[0][1]) - (q[0]-ring[0][0])*(p[1]-ring[0][1])
		}
		part := math.Abs(twice) / 2
		if i > 0 {
			part = -part
		}
		sum += part
	}
	return sum
}

// panel is what stands beside the map.
func (sky *Sky) panel(w, scale float64) []block {
	var out []block
	if w <= skyPanel { // on a screen no scale holds, and the page's own map measures
		out = append(out, scaleBar(scale, w))
	}
	out = append(out, heading("Shade of the satellites"))
	out = append(out, paragraph("By the share of the day with "+sky.Few+", at the height of the machine's antenna:", tableSize, w, false))
	words := shadeWords(sky.LimitPercent)
	var sums [shadeCount]float64
	for _, s := range sky.Shades {
		for _, a := range s.Areas {
			sums[s.Shade] += levelArea(a)
		}
	}
	for i, text := range words {
		if text == "" {
			continue
		}
		m2 := "none"
		if sums[i] > 0 {
			m2 = area(sums[i]) + " m²"
		}
		out = append(out, shadeRow(Shade(i), text, m2))
	}
	out = append(out, paragraph("Looked at: the ground that is mown, inside the green lines. The ground outside them is white as well, and was not looked at.", tableSize, w, false))
	out = append(out, sky.pointKeys()...)
	if len(sky.Hides) > 0 {
		const most = 6
		text := "Hides sky: " + strings.Join(sky.Hides[:min(most, len(sky.Hides))], ", ")
		if len(sky.Hides) > most {
			text += fmt.Sprintf(" and %d more", len(sky.Hides)-most)
		}
		out = append(out, block{h: 1.5, draw: func(*ink.Page, float64, float64, float64) {}}, paragraph(text+".", tableSize, w, false))
	}
	return out
}

// pointKeys explain what is drawn in grey: circles for points, lines for the
// rest.
func (sky *Sky) pointKeys() []block {
	var names []string
	lines := false
	for i := range sky.Features {
		f := &sky.Features[i]
		switch {
		case !f.quietInSky() || f.Role == schema.RoleZone:
		case len(f.Points) == 0 || f.RadiusM > 0:
			lines = true
		case !slices.Contains(names, lookOf(f.Role).says):
			names = append(names, lookOf(f.Role).says)
		}
	}
	row := func(says string, sign func(p *ink.Page, x, y float64)) block {
		return block{h: 4.4, draw: func(p *ink.Page, x, y, w float64) {
			sign(p, x+5.5, y+2.2)
			p.Add(&ink.Group{Tag: "P"}, &ink.Text{At: ink.Point{x + 13, y + 3.1}, Size: tableSize, S: says}, ink.End{})
		}}
	}
	var out []block
	for _, says := range names {
		out = append(out, row(says, func(p *ink.Page, x, y float64) {
			v := newView(p, x-2, y-2, 4, 4, orb.Bound{Max: orb.Point{4, 4}})
			p.Add(&ink.Path{Subs: v.outlines(&Feature{Points: []orb.Point{{2, 2}}}), Line: &skyQuiet})
		}))
	}
	if lines {
		out = append(out, row("keep-out, way, limit or other line", func(p *ink.Page, x, y float64) {
			p.Polyline(skyQuiet, ink.Point{x - 5, y}, ink.Point{x + 5, y})
		}))
	}
	return out
}

// skyQuiet is the line of what hides no sky.
var skyQuiet = ink.Line{Color: grey, Width: 0.2}

// quietInSky reports whether a feature hides no sky and looks at none, so that
// the map of the sky shows just its outline.
func (f *Feature) quietInSky() bool {
	switch f.Role {
	case schema.RoleBase, schema.RoleDock, schema.RoleBuilding:
		return false
	case schema.RoleHazard, schema.RoleEdge:
		return !(f.HeightM > 0)
	}
	return true
}

// shadeRow is one line of the legend: a swatch, what it says and how much there
// is.
func shadeRow(s Shade, text, m2 string) block {
	return block{h: 6.2, draw: func(p *ink.Page, x, y, w float64) {
		const sw, sh = 11.0, 5.0
		v := newView(p, x, y, sw, sh, orb.Bound{Max: orb.Point{sw, sh}})
		p.Add(&ink.Group{Class: "sky-legend", Title: text, Tag: "P"})
		v.shade(orb.Polygon{{{0, 0}, {sw, 0}, {sw, sh}, {0, sh}, {0, 0}}}, s)
		p.Rect(x, y, sw, sh, nil, &ink.Line{Color: black, Width: 0.2})
		p.Add(&ink.Text{At: ink.Point{x + sw + 2, y + 3.4}, Size: tableSize, S: text},
			&ink.Text{At: ink.Point{x + w, y + 3.4}, Size: tableSize, Anchor: 1, S: m2}, ink.End{})
	}}
}

// plotRow is a row of plots, each in a cell of a width.
func plotRow(plots []SkyPlot, cell float64) block {
	radius := math.Min(skyRadius, cell/2-skyAround)
	var words [][]string
	lines := 0
	for _, p := range plots {
		var w []string
		for _, l := range p.Words {
			w = append(w, wrap(l, tableSize, cell-4, false)...)
		}
		words = append(words, w)
		lines = max(lines, len(w))
	}
	head := headSize + 2.5
	return block{h: head + 2*(radius+skyAround) + float64(lines)*tableSize*lineGap + 4, draw: func(p *ink.Page, x, y, _ float64) {
		for i := range plots {
			s := &plots[i]
			mid := ink.Point{x + (float64(i)+0.5)*cell, y + head + skyAround + radius}
			p.Add(&ink.Group{Tag: "Figure", Class: "sky-plot", Title: s.Title, Alt: "The sky of " + s.Title + ". " + strings.Join(s.Words, ". "),
				Box: &[4]float64{mid[0] - cell/2, y, cell, head + 2*(radius+skyAround)}})
			title := s.Title
			if l := wrap(title, headSize, cell-4, true); len(l) > 1 {
				title = l[0] + " …"
			}
			p.Add(&ink.Text{At: ink.Point{mid[0], y + headSize}, Size: headSize, Bold: true, Anchor: 0.5, S: title})
			s.draw(p, mid, radius)
			p.Add(ink.End{})
			p.Add(&ink.Group{Tag: "P"})
			for k, l := range words[i] {
				p.Add(&ink.Text{At: ink.Point{mid[0], mid[1] + radius + skyAround + 2.4 + float64(k)*tableSize*lineGap}, Size: tableSize, Anchor: 0.5, S: l})
			}
			p.Add(ink.End{})
		}
	}}
}

// plotLegend says what the plots are made of.
func plotLegend(w float64) block {
	rows := 1.0
	if w < skyBeside {
		rows = 3
	}
	return block{h: 5*rows + 1.5, draw: func(p *ink.Page, x, y, _ float64) {
		const sw, sh = 8.0, 3.4
		p.Add(&ink.Group{Tag: "P"})
		hideArea(p, []ink.Sub{{Points: []ink.Point{{x, y}, {x + sw, y}, {x + sw, y + sh}, {x, y + sh}}, Closed: true}})
		p.Rect(x, y, sw, sh, nil, &ink.Line{Color: black, Width: 0.2})
		at := x + sw + 2
		item := func(text string) {
			p.Add(&ink.Text{At: ink.Point{at, y + 2.7}, Size: tableSize, S: text})
			at += typeface.Width(text, tableSize, false) + 7
			if rows > 1 {
				at, y = x, y+5
			}
		}
		item("sky that is hidden")
		p.Polyline(maskLine, ink.Point{at, y + 1.7}, ink.Point{at + 8, y + 1.7})
		at += 10
		item("mask: nothing lower counts")
		p.Polyline(ink.Line{Color: trackBlue, Width: 0.3}, ink.Point{at, y + 1.7}, ink.Point{at + 8, y + 1.7})
		at += 10
		item("ways of the satellites")
		p.Add(ink.End{})
	}}
}

// trackBlue is a lighter blue, since a hundred satellites draw many lines.
var trackBlue = ink.Color{0x6b, 0xae, 0xd6}

var maskLine = ink.Line{Color: black, Width: 0.3, Dash: []float64{1.6, 0.9}}

// skyAt is where a direction lies in a plot, from its middle: the distance from
// the middle is in proportion to 90 degrees less the elevation. It is rounded
// to a hundredth of a millimetre, which keeps files small.
func skyAt(mid ink.Point, radius, azimuth, elevation float64) ink.Point {
	r := radius * (90 - math.Max(elevation, 0)) / 90
	s, c := math.Sincos(azimuth * math.Pi / 180)
	hundredth := func(x float64) float64 { return math.Round(100*x) / 100 }
	return ink.Point{hundredth(mid[0] + r*s), hundredth(mid[1] - r*c)}
}

func (s *SkyPlot) draw(p *ink.Page, mid ink.Point, radius float64) {
	at := func(az, el float64) ink.Point { return skyAt(mid, radius, az, el) }
	circle := func(el float64) []ink.Point {
		var pts []ink.Point
		for az := 0.0; az < 360; az += 3 {
			pts = append(pts, at(az, el))
		}
		return pts
	}
	if subs := s.tracks(at); len(subs) > 0 {
		p.Add(&ink.Path{Subs: subs, Line: &ink.Line{Color: trackBlue, Width: 0.1}})
	}
	for _, subs := range s.hidden(at, circle(0)) {
		hideArea(p, subs)
	}
	ring := func(el float64, l ink.Line) {
		p.Add(&ink.Path{Subs: []ink.Sub{{Points: circle(el), Closed: true}}, Line: &l})
	}
	ring(30, ink.Line{Color: black, Width: 0.15})
	ring(60, ink.Line{Color: black, Width: 0.15})
	if s.MaskDeg > 0 && s.MaskDeg < 90 {
		ring(s.MaskDeg, maskLine)
	}
	ring(0, ink.Line{Color: black, Width: 0.5})
	for _, q := range [...]struct {
		name string
		az   float64
	}{{"N", 0}, {"E", 90}, {"S", 180}, {"W", 270}} {
		p.Polyline(ink.Line{Color: black, Width: 0.12}, mid, at(q.az, 0))
		sin, cos := math.Sincos(q.az * math.Pi / 180)
		p.Add(&ink.Text{At: ink.Point{mid[0] + (radius+3.4)*sin, mid[1] - (radius+3.4)*cos + 1.25}, Size: headSize, Bold: q.az == 0, Anchor: 0.5, S: q.name})
	}
	for _, el := range [...]float64{30, 60} {
		q := at(0, el)
		p.Add(&ink.Text{At: ink.Point{q[0] + 0.8, q[1] - 0.6}, Size: tableSize, Halo: 0.7, S: trim(el) + "°"})
	}
}

// hideArea fills and hatches sky that is hidden.
func hideArea(p *ink.Page, subs []ink.Sub) {
	p.Add(&ink.Path{Subs: subs, Fill: &lightGrey, Opacity: 0.75})
	lo, hi := ink.Point{math.Inf(1), math.Inf(1)}, ink.Point{math.Inf(-1), math.Inf(-1)}
	var rings [][]ink.Point
	for _, s := range subs {
		rings = append(rings, s.Points)
		for _, q := range s.Points {
			for k := range 2 {
				lo[k], hi[k] = math.Min(lo[k], q[k]), math.Max(hi[k], q[k])
			}
		}
	}
	var lines []ink.Sub
	for _, l := range hatchLines(rings, lo, 45, 1.2, lo, hi) {
		lines = append(lines, ink.Sub{Points: []ink.Point{l[0], l[1]}})
	}
	if len(lines) > 0 {
		p.Add(&ink.Path{Subs: lines, Line: &ink.Line{Color: black, Width: 0.14}})
	}
}

// hidden gives what is hidden as areas: the ring between the horizon and the
// top of what stands on it, and bands of crowns above that, neighbours of about
// one height as one.
func (s *SkyPlot) hidden(at func(az, el float64) ink.Point, outer []ink.Point) [][]ink.Sub {
	var out [][]ink.Sub
	const step = 0.5
	var inner []ink.Point
	add := func(q ink.Point) {
		if n := len(inner); n == 0 || inner[n-1] != q {
			inner = append(inner, q)
		}
	}
	any, last := false, math.NaN()
	for az := 0.0; az < 360; az += step {
		top := s.Horizon.Top(az + step/2)
		any = any || top > 0
		// A flat top needs a point only every few degrees.
		if top != last || math.Mod(az, 3) == 0 {
			add(at(az, top))
		}
		if next := s.Horizon.Top(az + 1.5*step); next != top {
			add(at(az+step, top))
		}
		last = top
	}
	if any {
		out = append(out, []ink.Sub{{Points: outer, Closed: true}, {Points: inner, Closed: true}})
	}
	type band struct{ from, to, low, high float64 }
	var bands []band
	s.Horizon.Bands(func(from, to, low, high float64) {
		if n := len(bands) - 1; n >= 0 && bands[n].to == from && math.Abs(bands[n].low-low) < 0.2 && math.Abs(bands[n].high-high) < 0.2 && to-bands[n].from <= 6 {
			bands[n].to = to
			return
		}
		bands = append(bands, band{from, to, low, high})
	})
	var subs []ink.Sub
	for _, b := range bands {
		subs = append(subs, ink.Sub{Closed: true, Points: []ink.Point{at(b.from, b.low), at(b.to, b.low), at(b.to, b.high), at(b.from, b.high)}})
	}
	if len(subs) > 0 {
		out = append(out, subs)
	}
	return out
}

// tracks are the ways of the satellites, cut where they set.
func (s *SkyPlot) tracks(at func(az, el float64) ink.Point) []ink.Sub {
	every := max(1, int(trackStepS/s.Day.Step))
	type way struct{ k, sub int }
	last := map[int]way{}
	var out []ink.Sub
	for k := 0; k < s.Day.Steps(); k += every {
		for _, x := range s.Day.Sights(k) {
			q := at(x.Azimuth, x.Elevation)
			w, seen := last[x.Satellite]
			if !seen || w.k != k-every {
				w.sub = len(out)
				out = append(out, ink.Sub{})
			}
			out[w.sub].Points = append(out[w.sub].Points, q)
			last[x.Satellite] = way{k, w.sub}
		}
	}
	return out
}
