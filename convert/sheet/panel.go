// The panel beside the map: north, scale, notes, legend, tables, findings,
// title block. It is a flow of blocks through columns; what does not fit goes
// on sheets of its own.

package sheet

import (
	"fmt"
	"maps"
	"math"
	"slices"
	"strconv"
	"strings"

	"github.com/paulmach/orb"

	"swardline/convert/sheet/ink"
	"swardline/convert/sheet/typeface"
	"swardline/schema"
)

// Sizes of letters, mm: those of ISO 3098-1 (1.8, 2.5, 3.5) are the height of a
// capital, and the size of a typeface is that of its em.
const (
	tableSize = 2.47 // 1.8 of typeface.CapHeight
	headSize  = 3.43 // 2.5
	titleSize = 4.81 // 3.5
	lineGap   = 1.2  // of the size
)

// block is one unbreakable part of a flow.
type block struct {
	h    float64
	draw func(p *ink.Page, x, y, w float64)
	// head is set for headings, which are not left alone at a column's end.
	head bool
	// with is how many of the blocks after it stand in the same column.
	with int
	// part is what begins here, such as Zones, for the word on where it stands.
	part string
	// within is the table or list it is a part of, tag what that is to who
	// listens.
	within, tag string
	// repeat is the heading to draw again when a table goes on in the next
	// column.
	repeat *block
}

// column is a place for blocks.
type column struct{ x, y, w, h float64 }

// flow draws blocks into columns and returns those that did not fit.
func flow(p *ink.Page, cols []column, blocks []block) []block {
	at, within := 0, ""
	enter := func(b *block) {
		if b.within == within {
			return
		}
		if within != "" {
			p.Add(ink.End{})
		}
		if b.within != "" {
			p.Add(&ink.Group{Tag: b.tag})
		}
		within = b.within
	}
	defer enter(&block{})
	for _, c := range cols {
		y := c.y
		for at < len(blocks) {
			b := blocks[at]
			if y+together(blocks[at:]) > c.y+c.h+1e-6 {
				break
			}
			if y == c.y && b.repeat != nil && !b.head {
				enter(b.repeat)
				b.repeat.draw(p, c.x, y, c.w)
				y += b.repeat.h
			}
			enter(&b)
			b.draw(p, c.x, y, c.w)
			y += b.h
			at++
		}
		if at == len(blocks) {
			return nil
		}
	}
	return blocks[at:]
}

// together is how high the blocks are that stand with the first of some:
// headings with what they head, and rows with those after them where all of
// that is so low that any sheet of lists holds it.
func together(blocks []block) float64 {
	const most = 80.0
	heads, all := 0.0, 0.0
	for k, headed, with := 0, true, 0; k < len(blocks) && (headed || k <= with); k++ {
		if headed {
			heads += blocks[k].h
		}
		all += blocks[k].h
		headed = headed && blocks[k].head
		with = max(with, k+blocks[k].with)
	}
	if all > most {
		return heads
	}
	return all
}

// wrap breaks a text into lines no wider than w.
func wrap(s string, size, w float64, bold bool) []string {
	var out []string
	line := ""
	push := func(word string) {
		candidate := word
		if line != "" {
			candidate = line + " " + word
		}
		if typeface.Width(candidate, size, bold) <= w {
			line = candidate
			return
		}
		if line != "" {
			out = append(out, line)
			line = ""
		}
		for typeface.Width(word, size, bold) > w {
			r := []rune(word)
			n := 1
			for n < len(r) && typeface.Width(string(r[:n+1]), size, bold) <= w {
				n++
			}
			if n == len(r) {
				break
			}
			out = append(out, string(r[:n]))
			word = string(r[n:])
		}
		line = word
	}
	words := strings.FieldsFunc(s, func(r rune) bool { return r == ' ' || r == '\n' || r == '\t' || r == '\r' })
	for i := 0; i < len(words); i++ {
		if i+1 < len(words) && (words[i] == "E" || words[i] == "N") && strings.ContainsAny(words[i+1][:1], "-0123456789") {
			words[i+1] = words[i] + " " + words[i+1] // a coordinate keeps its letter
			continue
		}
		push(words[i])
	}
	if line != "" || len(out) == 0 {
		out = append(out, line)
	}
	return out
}

// most lines that one text from a file may take before it is cut with dots.
const mostLines = 12

func cutLines(lines []string) []string {
	if len(lines) > mostLines {
		lines = append(lines[:mostLines:mostLines], "…")
	}
	return lines
}

// paragraph is a wrapped text; w is the width it is laid out for.
func paragraph(s string, size, w float64, bold bool) block {
	lines := cutLines(wrap(s, size, w, bold))
	return block{h: float64(len(lines))*size*lineGap + 0.6, draw: func(p *ink.Page, x, y, _ float64) {
		p.Add(&ink.Group{Tag: "P"})
		for i, l := range lines {
			p.Add(&ink.Text{At: ink.Point{x, y + size*0.95 + float64(i)*size*lineGap}, Size: size, Bold: bold, S: l})
		}
		p.Add(ink.End{})
	}}
}

func heading(s string) block {
	return block{h: headSize + 1.9, head: true, part: s, draw: func(p *ink.Page, x, y, w float64) {
		p.Polyline(ink.Line{Color: black, Width: 0.25}, ink.Point{x, y + 0.7}, ink.Point{x + w, y + 0.7})
		p.Add(&ink.Group{Tag: "H2", Title: s, Top: y}, &ink.Text{At: ink.Point{x, y + 0.9 + headSize*0.9}, Size: headSize, Bold: true, S: s}, ink.End{})
	}}
}

// table makes the blocks of one section for a column w wide.
func table(s Section, w float64) []block {
	sum := 0.0
	for _, c := range s.Columns {
		sum += c.Share
	}
	const pad = 0.8
	row := func(cells []string, bold bool) block {
		lines := make([][]string, len(cells))
		high := 1
		for i, c := range cells {
			lines[i] = cutLines(wrap(c, tableSize, w*s.Columns[i].Share/sum-pad, bold))
			high = max(high, len(lines[i]))
		}
		kind := "TD"
		if bold {
			kind = "TH"
		}
		return block{h: float64(high)*tableSize*lineGap + 0.5, within: s.Title, tag: "Table", draw: func(p *ink.Page, x, y, _ float64) {
			left := x
			p.Add(&ink.Group{Tag: "TR"})
			for i := range lines {
				wide := w * s.Columns[i].Share / sum
				p.Add(&ink.Group{Tag: kind})
				for k, l := range lines[i] {
					t := &ink.Text{At: ink.Point{left, y + tableSize + float64(k)*tableSize*lineGap}, Size: tableSize, Bold: bold, S: l}
					if s.Columns[i].Right {
						t.At[0], t.Anchor = left+wide-pad, 1
					}
					p.Add(t)
				}
				p.Add(ink.End{})
				left += wide
			}
			p.Add(ink.End{})
			if bold {
				p.Polyline(ink.Line{Color: grey, Width: 0.12}, ink.Point{x, y + float64(high)*tableSize*lineGap + 0.25}, ink.Point{x + w, y + float64(high)*tableSize*lineGap + 0.25})
			}
		}}
	}
	var heads []string
	for _, c := range s.Columns {
		heads = append(heads, c.Head)
	}
	head := row(heads, true)
	head.head = true
	out := []block{heading(s.Title), head}
	// A short table is not broken, and no row of a longer one stands alone.
	const short, few = 6, 3
	for i, r := range s.Rows {
		b := row(r.Cells, r.Feature < 0)
		again := head
		b.repeat = &again
		switch n := len(s.Rows); {
		case n <= short:
			b.with = n - 1 - i
		case i == 0:
			b.with = few - 1
		case i == n-2:
			b.with = 1
		}
		out = append(out, b)
	}
	if s.Note != "" {
		out[len(out)-1].with = 1
		out = append(out, paragraph(s.Note, tableSize, w, false))
	}
	return out
}

// findingBlocks lists findings with their tags.
func findingBlocks(list []Finding, tested string, notChecked []string, w float64) []block {
	out := []block{heading("Findings")}
	if len(list) == 0 {
		out = append(out, paragraph("No findings by the rules tested; the check report names them and their limits.", tableSize, w, false))
	}
	for _, f := range list {
		text := f.Severity + ", " + f.Rule + ": "
		if f.Features != "" {
			text += f.Features + ": "
		}
		text += f.Message
		if f.Figures != "" {
			text += " (" + f.Figures + ")"
		}
		if !f.HasAt {
			text += "; it has no place on the map"
		}
		indent := 2*tagRadius(f.Number)*1.2 + 0.8
		lines := cutLines(wrap(text, tableSize, w-indent, false))
		h := math.Max(indent+0.4, float64(len(lines))*tableSize*lineGap+0.9)
		out = append(out, block{h: h, within: titleFindings, tag: "L", draw: func(p *ink.Page, x, y, _ float64) {
			p.Add(&ink.Group{Tag: "LI"}, &ink.Group{Tag: "Lbl"})
			p.Add(tagOf(ink.Point{x + indent/2 - 0.3, y + indent/2}, f)...)
			p.Add(ink.End{}, &ink.Group{Tag: "LBody"})
			for i, l := range lines {
				p.Add(&ink.Text{At: ink.Point{x + indent, y + tableSize + 0.4 + float64(i)*tableSize*lineGap}, Size: tableSize, S: l})
			}
			p.Add(ink.End{}, ink.End{})
		}})
	}
	if tested != "" {
		out = append(out, paragraph(tested, tableSize, w, false))
	}
	for _, n := range notChecked {
		out = append(out, paragraph("not checked: "+n, tableSize, w, false))
	}
	return out
}

// legendEntry is one sample of the legend with its words.
type legendEntry struct {
	role schema.Role
	kind string
	says string
	area bool
	line bool // lines, and neither areas nor points
	off  bool // what is inactive, of any role
}

// legendEntries are a sample of each role, each kind of edge and each form of
// hazard, and of what is inactive.
func legendEntries(d *Drawing) []legendEntry {
	var entries []legendEntry
	for _, role := range schema.Roles {
		kinds := map[string]bool{}
		seen, hasArea, hasPoint := false, false, false
		points, lines := map[string]bool{}, map[string]bool{} // kinds of hazards
		for i := range d.Features {
			f := &d.Features[i]
			if f.Role != role {
				continue
			}
			seen = true
			hasArea = hasArea || len(f.Areas) > 0 || f.RadiusM > 0
			hasPoint = hasPoint || len(f.Points) > 0
			switch {
			case role == schema.RoleEdge:
				kinds[f.Kind] = true
			case role != schema.RoleHazard:
			case len(f.Points) > 0:
				points[f.Kind] = true
			case len(f.Lines) > 0:
				lines[f.Kind] = true
			}
		}
		switch {
		case !seen:
		case role == schema.RoleEdge:
			for _, k := range []string{schema.EdgeWall, schema.EdgeKerb, schema.EdgeFence, schema.EdgeDrop, schema.EdgeFlush, schema.EdgeRamp, schema.EdgeGate} {
				if kinds[k] {
					entries = append(entries, legendEntry{role: role, kind: k, says: edgeLookOf(k).says, line: true})
				}
				delete(kinds, k)
			}
			if len(kinds) > 0 {
				entries = append(entries, legendEntry{role: role, says: edgeLookOf("").says, line: true})
			}
		case role == schema.RoleHazard:
			if hasArea {
				entries = append(entries, legendEntry{role: role, says: lookOf(role).says, area: true})
			}
			if hasPoint {
				entries = append(entries, legendEntry{role: role, says: kindsSay("hazard at a point", points)})
			}
			if len(lines) > 0 {
				entries = append(entries, legendEntry{role: role, says: kindsSay("hazard along a line", lines), line: true})
			}
		default:
			says := lookOf(role).says
			switch {
			case role == schema.RoleZone && !d.headed():
				says = "zone, mown"
			case role == schema.RoleCorridor:
				says += "; arrows: " + d.drawnWay()
			case role == schema.RoleDock && d.faces():
				says = "dock; arrow: the way in, which the machine faces"
			}
			entries = append(entries, legendEntry{role: role, says: says, area: hasArea, line: !hasArea && !hasPoint})
		}
	}
	for _, says := range d.offLegend() {
		entries = append(entries, legendEntry{says: says, off: true})
	}
	return entries
}

// legend shows each role that is on the sheets, each kind of edge, and what is
// inactive, two or three a row.
func legend(d *Drawing, w float64, tags bool) []block {
	entries := legendEntries(d)
	const swatch = 9.0
	across := 2
	if w > 100 {
		across = 3
	}
	part := (w+2)/float64(across) - 2
	out := []block{heading("Legend")}
	for i := 0; i < len(entries); i += across {
		pair := entries[i:min(i+across, len(entries))]
		high := 1
		lines := make([][]string, len(pair))
		for k, e := range pair {
			lines[k] = wrap(e.says, tableSize, part-swatch-1, false)
			high = max(high, len(lines[k]))
		}
		h := math.Max(5.2, float64(high)*tableSize*lineGap+1)
		out = append(out, block{h: h, draw: func(p *ink.Page, x, y, _ float64) {
			for k, e := range pair {
				left := x + float64(k)*(part+2)
				if e.off {
					p.Rect(left, y+0.5, swatch-1.5, 4.0, nil, &offLine)
				} else {
					swatchOf(p, left, y+0.5, swatch-1.5, 4.0, e.role, e.kind, e.area, e.line)
				}
				for n, l := range lines[k] {
					p.Add(&ink.Text{At: ink.Point{left + swatch, y + 3.1 + (float64(n)-float64(len(lines[k])-1)/2)*tableSize*lineGap}, Size: tableSize, S: l})
				}
			}
		}})
	}
	// The tags of findings, when there are any.
	if len(d.Findings) > 0 && tags {
		out = append(out, block{h: 6.4, draw: func(p *ink.Page, x, y, _ float64) {
			for k, s := range []string{"error", "warning", "note"} {
				left := x + float64(k)*w/3
				p.Add(tagOf(ink.Point{left + 3, y + 3.1}, Finding{Number: 1, Severity: s})...)
				p.Add(&ink.Text{At: ink.Point{left + 7, y + 3.9}, Size: tableSize, S: s})
			}
		}})
	}
	return out
}

// kindsSay adds to a word the kinds that there are of it.
func kindsSay(word string, kinds map[string]bool) string {
	const most = 3
	list := slices.DeleteFunc(slices.Sorted(maps.Keys(kinds)), func(s string) bool { return s == "" })
	if len(list) == 0 {
		return word
	}
	if len(list) > most {
		list = append(list[:most:most], "…")
	}
	return word + ": " + strings.Join(list, ", ")
}

// faces reports whether a dock tells its heading, along which an arrow leads
// into it.
func (d *Drawing) faces() bool {
	return slices.ContainsFunc(d.Features, func(f Feature) bool { return f.Role == schema.RoleDock && !math.IsNaN(f.HeadingDeg) })
}

// drawnWay is which way the corridors were drawn: to the dock where all those
// that have an end near one end there, and otherwise just as they were.
func (d *Drawing) drawnWay() string {
	const near = 10.0 // metres, twice the farthest usual line-up point
	toDock := func(p orb.Point) float64 { return d.toDock(&Feature{Points: []orb.Point{p}}) }
	docked := false
	for i := range d.Features {
		f := &d.Features[i]
		if f.Role != schema.RoleCorridor {
			continue
		}
		for _, l := range f.Lines {
			if len(l) == 0 {
				continue
			}
			from, to := toDock(l[0]), toDock(l[len(l)-1])
			docked = docked || to < near
			if from < near && !(to < from) {
				return "as drawn"
			}
		}
	}
	if docked {
		return "from the zone to the dock, as drawn"
	}
	return "as drawn"
}

// headed reports whether a zone tells its mowing direction, along which it is
// hatched.
func (d *Drawing) headed() bool {
	for i := range d.Features {
		if f := &d.Features[i]; f.Role == schema.RoleZone && !math.IsNaN(f.HeadingDeg) {
			return true
		}
	}
	return false
}

// swatchOf draws a sample of a role in a box.
func swatchOf(p *ink.Page, x, y, w, h float64, role schema.Role, kind string, area, onlyLine bool) {
	l := lookOf(role)
	mid := ink.Point{x + w/2, y + h/2}
	rect := []ink.Sub{{Points: []ink.Point{{x, y}, {x + w, y}, {x + w, y + h}, {x, y + h}}, Closed: true}}
	v := &view{page: p, x: x - 1, y: y - 1, w: w + 2, h: h + 2, mmPerM: 1}
	v.ground.Max[1] = h + 2
	v.ground.Max[0] = w + 2
	switch {
	case role == schema.RoleEdge:
		v.edge([]ink.Point{{x, mid[1]}, {x + w, mid[1]}}, edgeLookOf(kind))
	case role == schema.RoleCorridor || role == schema.RoleBoundary || onlyLine:
		p.Polyline(l.line, ink.Point{x, mid[1]}, ink.Point{x + w, mid[1]})
	case area:
		if l.fill != nil {
			p.Add(&ink.Path{Subs: rect, Fill: l.fill, Opacity: l.opacity})
		}
		for _, ht := range l.hatches {
			v.hatch(rect, ht, math.NaN())
		}
		p.Add(&ink.Path{Subs: rect, Line: &l.line})
	default:
		if role == schema.RoleBase {
			mid[1] -= 0.6
		}
		p.Add(signOf(mid, role, 0)...)
	}
}

// sameNorth is the convergence in degrees below which both norths are one: 0.1
// mm across 100 mm of paper is 0.06 degrees.
const sameNorth = 0.02

// north draws true and grid north, TN and GN. Up on the sheet is true north
// unless the plan is turned, clockwise by turn degrees.
func north(g *Grid, w, turn float64) block {
	const size = 18.0
	var lines []string
	up := ""
	if turn != 0 {
		side := "clockwise"
		if turn < 0 {
			side = "anticlockwise"
		}
		up = fmt.Sprintf("The plan is turned %s° %s.", trim(math.Abs(turn)), side)
	}
	shown := g.NorthKnown && !g.Degrees && math.Abs(g.Convergence) >= sameNorth
	switch {
	case !g.NorthKnown:
		lines = []string{"y is the y axis of the drawing; which way north lies is not known."}
	case math.IsNaN(g.Convergence):
		lines = []string{"TN is true north. Grid north is not known here."}
	case g.Degrees:
		lines = []string{"TN is true north, and the grid of longitude and latitude runs to it: convergence 0."}
	default:
		lines = []string{"TN is true north, GN grid north of " + g.ID + ".", fmt.Sprintf("Convergence %s° (clockwise positive).", signed(g.Convergence, 4))}
		if !math.IsNaN(g.Scale) {
			lines = append(lines, fmt.Sprintf("Grid over ground length: %.6f.", g.Scale))
		}
		if shown && math.Abs(g.Convergence) < leastShown {
			lines = append(lines, "The angle at GN is drawn larger than it is.")
		}
	}
	if up != "" {
		lines = append([]string{up}, lines...)
	}
	const left = 19.0
	var wrapped []string
	for _, l := range lines {
		wrapped = append(wrapped, wrap(l, tableSize, w-left, false)...)
	}
	h := math.Max(size+1, float64(len(wrapped))*tableSize*lineGap+3)
	return block{h: h, draw: func(p *ink.Page, x, y, _ float64) {
		p.Add(&ink.Group{Class: "north", Title: "north arrow", Tag: "Figure", Alt: "North arrow. " + strings.Join(lines, " "), Box: &[4]float64{x, y, left, size}})
		mid, reach := ink.Point{x + 9, y + size/2 + 0.5}, size/2-2.2
		dir := func(deg float64) (ux, uy float64) {
			s, c := math.Sincos(deg * math.Pi / 180)
			return s, -c
		}
		ux, uy := dir(turn)
		at := func(along, aside float64) ink.Point {
			return ink.Point{mid[0] + along*ux - aside*uy, mid[1] + along*uy + aside*ux}
		}
		p.Polyline(ink.Line{Color: black, Width: 0.35}, at(-reach, 0), at(reach-2, 0))
		p.Add(&ink.Path{Subs: []ink.Sub{{Points: []ink.Point{at(reach-2, 0), at(reach-6, 1.5), at(reach-5, 0)}, Closed: true}}, Fill: &black, Line: &ink.Line{Color: black, Width: 0.2}})
		p.Add(&ink.Path{Subs: []ink.Sub{{Points: []ink.Point{at(reach-2, 0), at(reach-6, -1.5), at(reach-5, 0)}, Closed: true}}, Fill: &white, Line: &ink.Line{Color: black, Width: 0.2}})
		letter := "TN"
		if !g.NorthKnown {
			letter = "y"
		}
		const half = tableSize * typeface.CapHeight / 2
		tip := at(reach+0.3, 0)
		p.Add(&ink.Text{At: ink.Point{tip[0], tip[1] + half}, Size: tableSize, Bold: true, Anchor: 0.5, S: letter})
		if shown {
			// The angle is drawn as it is but never less than can be seen.
			angle := g.Convergence
			if a := math.Abs(angle); a < leastShown {
				angle = math.Copysign(leastShown, angle)
			}
			gx, gy := dir(turn + angle)
			foot := at(-reach, 0)
			q := ink.Point{foot[0] + gx*(2*reach-4), foot[1] + gy*(2*reach-4)}
			p.Polyline(ink.Line{Color: black, Width: 0.25, Dash: []float64{1, 0.5}}, foot, q)
			beside := math.Copysign(2.6, angle)
			p.Add(&ink.Text{At: ink.Point{q[0] - gy*beside, q[1] + gx*beside + half}, Size: tableSize, Anchor: 0.5, S: "GN"})
		}
		p.Add(ink.End{})
		for i, l := range wrapped {
			p.Add(&ink.Text{At: ink.Point{x + left, y + 4 + float64(i)*tableSize*lineGap}, Size: tableSize, S: l})
		}
	}}
}

// plainNorth is an arrow to true north, which is up, at the end of the scale
// bar.
func plainNorth(w float64) block {
	return block{h: 0.6, draw: func(p *ink.Page, x, y, _ float64) {
		left, top := x+w-4, y-12.5
		p.Add(&ink.Group{Class: "north", Title: "north arrow", Tag: "Figure", Alt: "North arrow. Up is true north.", Box: &[4]float64{left - 4, top, 8, 12}},
			&ink.Path{Subs: []ink.Sub{{Points: []ink.Point{{left, top + 3}, {left + 2, top + 11}, {left, top + 9}, {left - 2, top + 11}}, Closed: true}}, Fill: &black},
			&ink.Text{At: ink.Point{left, top + 2.4}, Size: tableSize, Bold: true, Anchor: 0.5, S: "N"}, ink.End{})
	}}
}

// leastShown is the least angle, in degrees, that is drawn between the norths.
const leastShown = 12.0

func signed(v float64, decimals int) string {
	s := strconv.FormatFloat(v, 'f', decimals, 64)
	if v >= 0 {
		return "+" + s
	}
	return s
}

// scaleBar is a bar of a round length that measures right, and the scale in
// figures.
func scaleBar(scale, w float64) block {
	most := (w - 12) * scale / 1000 // metres
	length, digit := roundLength(most)
	parts := 5
	if digit == 2 {
		parts = 4
	}
	return block{h: 13, draw: func(p *ink.Page, x, y, _ float64) {
		p.Add(&ink.Group{Class: "scale-bar", Title: "scale bar of " + trim(length) + " m", Tag: "Figure", Box: &[4]float64{x, y, w, 12}})
		mm := length * 1000 / scale
		p.Add(&ink.Text{At: ink.Point{x, y + 2.9}, Size: headSize, Bold: true, S: "1:" + thousands(strconv.FormatFloat(scale, 'f', -1, 64))})
		p.Add(&ink.Text{At: ink.Point{x + w, y + 2.9}, Size: tableSize, Anchor: 1, S: "printed at 100 %; metres on the ground"})
		top := y + 4.6
		for i := range parts {
			fill := white
			if i%2 == 0 {
				fill = black
			}
			p.Rect(x+1+mm*float64(i)/float64(parts), top, mm/float64(parts), 1.8, &fill, &ink.Line{Color: black, Width: 0.2})
		}
		for i := 0; i <= parts; i++ {
			p.Add(&ink.Text{At: ink.Point{x + 1 + mm*float64(i)/float64(parts), top + 4.4}, Size: tableSize, Anchor: 0.5, S: trim(length * float64(i) / float64(parts))})
		}
		p.Add(&ink.Text{At: ink.Point{x + 1 + mm + 3.2, top + 1.6}, Size: tableSize, S: "m"})
		p.Add(ink.End{})
	}}
}

func trim(v float64) string { return strconv.FormatFloat(math.Round(v*1000)/1000, 'f', -1, 64) }
