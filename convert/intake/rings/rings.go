// Package rings makes outlines of the lines that people draft: it closes those
// whose ends meet, joins loose pieces, and nests rings into holes. What stays
// open is listed with the size and place of its gap.
package rings

import (
	"fmt"
	"math"
	"sort"
	"strconv"
	"strings"

	"github.com/twpayne/go-geom"

	"swardline/convert/dxf/curve"
	"swardline/schema"
)

// Piece is one feature that may be a line or ring of an outline. Join and Nest
// change it in place.
type Piece struct {
	Feature *schema.Feature
	Layer   string // for messages
	// Walked is true for a line that was walked or driven with a receiver,
	// whose end may miss its start or go past it.
	Walked bool
	// Gone is true when the piece has become part of another one.
	Gone bool
}

// Joined is what Join did.
type Joined struct {
	// Closed lines became rings by themselves; Pieces were joined into Rings
	// rings and Lines longer open lines.
	Closed, Pieces, Rings, Lines int
	// Repeated pieces were drawn twice; the second ones are Gone. Empty ones
	// were shorter than can be seen and are Gone too.
	Repeated, Empty int
	// Divided lines and rings were cut where they meet into Faces outlines, of
	// which More are new features.
	Divided, Faces int
	More           []*schema.Feature
	// Stubs are ends past a corner that were cut off, StubM the longest in
	// metres.
	Stubs int
	StubM float64
	// Walked outlines of logs were closed where their end passed their start.
	Walked int
	// GapM is the largest gap closed and MoveM the most that a corner was
	// moved, in metres; GapAt and MoveAt say where, in the plan's coordinates.
	GapM, MoveM   float64
	GapAt, MoveAt [2]float64
	// Gaps are the openings of lines that should be rings.
	Gaps []Gap
	// Junctions are places where more than two pieces meet, so that which to
	// join is not for a program to say.
	Junctions []Junction
}

// Junction is a position in the plan's coordinates, east and north.
type Junction struct {
	E, N  float64
	Count int // of pieces that meet
	Layer string
}

// Gap is one opening.
type Gap struct {
	Layer string
	// SizeM is the length in metres; From and To are the ends in the plan's
	// coordinates.
	SizeM    float64
	From, To [2]float64
	// Label names the line that is open.
	Label string
	// Closes is the least tolerance in metres, rounded up, that would close it,
	// 0 when none would.
	Closes float64
	// Degrees is true when From and To are in degrees.
	Degrees bool
}

// gap and moved keep the largest.
func (j *Joined) gap(size float64, at [3]float64) {
	if size > j.GapM {
		j.GapM, j.GapAt = size, [2]float64{at[0], at[1]}
	}
}

func (j *Joined) moved(size float64, at [3]float64) {
	if size > j.MoveM {
		j.MoveM, j.MoveAt = size, [2]float64{at[0], at[1]}
	}
}

// String says how large the gap is and where.
func (g Gap) String() string {
	mend := "a side is missing there, which no tolerance would close"
	if g.Closes > 0 {
		mend = fmt.Sprintf("tolerance_m: %s would close it", strconv.FormatFloat(g.Closes, 'f', -1, 64))
	}
	digits := 3
	if g.Degrees {
		digits = 8 // about a millimetre
	}
	return fmt.Sprintf("the outline %q on layer %q is open: a gap of %.3f m between (%.*f, %.*f) and (%.*f, %.*f); %s", g.Label, g.Layer, g.SizeM, digits, g.From[0], digits, g.From[1], digits, g.To[0], digits, g.To[1], mend)
}

// bendTolerance is how far, in metres, a point may lie from the arc it was
// flattened from and still be taken as on it.
const bendTolerance = 0.0005

// line is a line of a rule, to be joined with others; closed when it is a ring
// by itself, which others may divide or share a side with.
type line struct {
	item   int
	flat   []float64 // x, y, h: h NaN when there is none
	bend   curve.Curve
	bent   bool
	hasZ   bool
	used   bool
	closed bool
	node   [2]int // at its start and end
}

func (l *line) end(k int) []float64 {
	if k == 0 {
		return l.flat[:3]
	}
	return l.flat[len(l.flat)-3:]
}

// Join makes outlines of lines: those whose ends lie within tol metres of each
// other are closed, and pieces whose ends meet are joined. Where lines cross,
// end on each other or run along each other, the areas between them become
// outlines. A joined line stands in the place of its first piece; the others
// are Gone.
func Join(pieces []*Piece, scale Scale, tol float64) Joined {
	a := joiner{pieces: pieces, scale: scale}
	a.join(tol)
	return a.Joined
}

type joiner struct {
	pieces []*Piece
	scale  Scale
	tol    float64
	lines  []line
	graph  *graph
	left   []*chain // what divided lines left over
	Joined
}

func (a *joiner) join(tol float64) {
	a.tol = tol
	for i, it := range a.pieces {
		if it.Gone {
			continue
		}
		g, ok := it.Feature.Geometry.(*geom.LineString)
		if !ok || g.NumCoords() < 2 || a.close(it, g) {
			continue
		}
		a.addLine(i, g.FlatCoords(), g.Layout(), false)
	}
	if len(a.lines) == 0 {
		return
	}
	a.dropRepeated(a.lines)
	a.addRings()
	a.build()
	n, _ := a.graph.degrees()
	chained := make([]bool, len(a.lines))
	for _, c := range a.graph.components() {
		if !a.divide(c, n) {
			for _, k := range c.lines {
				chained[k] = !a.lines[k].closed
			}
		}
	}
	a.chains(chained, n)
}

// addLine files a line or ring.
func (a *joiner) addLine(item int, flat []float64, layout geom.Layout, closed bool) {
	stride := layout.Stride()
	l := line{item: item, hasZ: layout.ZIndex() == 2, closed: closed}
	for v := 0; v < len(flat); v += stride {
		h := math.NaN()
		if l.hasZ {
			h = flat[v+2]
		}
		l.flat = append(l.flat, flat[v], flat[v+1], h)
	}
	l.bend, l.bent = curve.AsBulges(a.pieces[item].Feature.Attributes.Get(schema.PropCurve), l.flat, 3, bendTolerance/math.Max(a.scale.X, a.scale.Y))
	a.lines = append(a.lines, l)
}

// addRings files the rings that lie by lines.
func (a *joiner) addRings() {
	type box struct{ low, high [2]float64 }
	var open []box
	pad := [2]float64{a.tol / a.scale.X, a.tol / a.scale.Y}
	for i := range a.lines {
		if a.lines[i].used {
			continue
		}
		low, high := Box(a.lines[i].flat, 3)
		open = append(open, box{[2]float64{low[0] - pad[0], low[1] - pad[1]}, [2]float64{high[0] + pad[0], high[1] + pad[1]}})
	}
	for i, it := range a.pieces {
		g, ok := it.Feature.Geometry.(*geom.Polygon)
		if it.Gone || !ok || g.NumLinearRings() != 1 || distinct(g.FlatCoords(), g.Stride()) < 3 {
			continue
		}
		low, high := Box(g.FlatCoords(), g.Stride())
		for _, b := range open {
			if low[0] <= b.high[0] && high[0] >= b.low[0] && low[1] <= b.high[1] && high[1] >= b.low[1] {
				a.addLine(i, g.FlatCoords(), g.Layout(), true)
				break
			}
		}
	}
}

// build makes the graph, brings loose ends together, and cuts where lines meet.
func (a *joiner) build() {
	low, high := [2]float64{math.Inf(1), math.Inf(1)}, [2]float64{math.Inf(-1), math.Inf(-1)}
	for i := range a.lines {
		p, q := Box(a.lines[i].flat, 3)
		for k := range low {
			low[k], high[k] = math.Min(low[k], p[k]), math.Max(high[k], q[k])
		}
	}
	g := newGraph(a.scale, low, high, a.tol, &a.Joined)
	a.graph = g
	lengths := make([]float64, len(a.lines))
	ends := make([][2]int, len(a.lines))
	for i := range a.lines {
		l := &a.lines[i]
		lengths[i] = a.scale.length(l.flat, 3)
		if l.used {
			continue
		}
		last, some := -1, false
		for v := 0; v < len(l.flat); v += 3 {
			w := g.vertex([3]float64(l.flat[v : v+3]))
			if last < 0 {
				ends[i][0] = w
			} else if w != last {
				g.edges = append(g.edges, edge{last, w, i})
				some = true
			}
			last = w
		}
		ends[i][1] = last
		if !some {
			// A point drawn as a line.
			l.used = true
			a.pieces[l.item].Gone = true
			a.Empty++
		}
	}
	g.closeEnds(lengths)
	g.node(func(k int) bool { return a.lines[k].closed })
	some := make([]bool, len(a.lines))
	for _, e := range g.edges {
		some[e.line] = true
	}
	for i := range a.lines {
		if l := &a.lines[i]; !l.used && !some[i] {
			// All of it lies on others, or within one corner.
			l.used = true
			a.pieces[l.item].Gone = true
			if g.cut[i] {
				a.Repeated++
			} else {
				a.Empty++
			}
		}
		if l := &a.lines[i]; !l.used {
			for k := range l.node {
				l.node[k] = g.root(ends[i][k])
				copy(l.end(k)[:2], g.vertices[l.node[k]].at[:2])
			}
		}
	}
}

// chains joins lines that no other line cuts, end to end.
func (a *joiner) chains(chained []bool, degree []int) {
	lines := a.lines
	meet := map[int][]tip{}
	var order []int
	for i := range lines {
		if lines[i].used || !chained[i] {
			continue
		}
		for e := 0; e < 2; e++ {
			n := lines[i].node[e]
			if meet[n] == nil {
				order = append(order, n)
			}
			meet[n] = append(meet[n], tip{i, e})
		}
	}
	joinable := func(node int) bool {
		return degree[node] == 2 && len(meet[node]) == 2 && meet[node][0].line != meet[node][1].line
	}
	for _, n := range order {
		if degree[n] > 2 {
			at := a.graph.vertices[n].at
			a.Junctions = append(a.Junctions, Junction{at[0], at[1], degree[n], a.pieces[lines[meet[n][0].line].item].Layer})
		}
	}
	sort.SliceStable(a.Junctions, func(i, j int) bool { return a.Junctions[i].E < a.Junctions[j].E })
	var open []*chain
	for i := range lines {
		if lines[i].used || !chained[i] {
			continue
		}
		c := &chain{}
		// Back to the chain's start, or once round, then forwards from there.
		at, end := i, 0
		for steps := 0; steps <= len(lines) && joinable(lines[at].node[end]); steps++ {
			next := other(meet[lines[at].node[end]], at)
			if next.line == i && next.end == 1 {
				break // round
			}
			at, end = next.line, 1-next.end
		}
		start := at
		leave := 1 - end
		for {
			lines[at].used = true
			c.links = append(c.links, link{at, leave == 0})
			node := lines[at].node[leave]
			if !joinable(node) {
				break
			}
			next := other(meet[node], at)
			if lines[next.line].used {
				c.closed = next.line == start
				break
			}
			at, leave = next.line, 1-next.end
		}
		if len(c.links) > 1 {
			a.merge(c, lines)
			a.Pieces += len(c.links)
			if c.closed {
				a.Rings++
			} else {
				a.Lines++
			}
		}
		if !c.closed {
			c.read(lines)
			it := a.pieces[lines[c.links[0].line].item]
			c.layer = it.Layer
			if c.label == "" {
				c.label = Label(it.Feature)
			}
			c.straight = len(c.links) == 1 && len(lines[c.links[0].line].flat) == 6
			for _, l := range c.links {
				c.length += a.scale.length(lines[l.line].flat, 3)
			}
			open = append(open, c)
		}
	}
	a.gaps(append(open, a.left...))
}

// chain is lines one after the other.
type chain struct {
	links    []link
	closed   bool
	from, to []float64
	label    string
	layer    string
	straight bool    // a single straight piece, which does not close on itself
	length   float64 // metres
}

// link is one line of a chain; back when it runs from its end to its start.
type link struct {
	line int
	back bool
}

func (c *chain) read(lines []line) {
	end := func(l link, last bool) []float64 {
		if l.back == last {
			return lines[l.line].end(0)
		}
		return lines[l.line].end(1)
	}
	c.from, c.to = end(c.links[0], false), end(c.links[len(c.links)-1], true)
}

// tip is one end of a line.
type tip struct{ line, end int }

func other(list []tip, not int) tip {
	if list[0].line == not {
		return list[1]
	}
	return list[0]
}

// dropRepeated takes out lines that lie exactly on another of the same rule.
func (a *joiner) dropRepeated(lines []line) {
	seen := map[string]bool{}
	for i := range lines {
		forth, back := &strings.Builder{}, &strings.Builder{}
		flat := lines[i].flat
		for v := 0; v < len(flat); v += 3 {
			fmt.Fprintf(forth, "%.6f %.6f,", flat[v]*a.scale.X, flat[v+1]*a.scale.Y)
			w := len(flat) - 3 - v
			fmt.Fprintf(back, "%.6f %.6f,", flat[w]*a.scale.X, flat[w+1]*a.scale.Y)
		}
		if seen[forth.String()] || seen[back.String()] {
			lines[i].used = true
			a.pieces[lines[i].item].Gone = true
			a.Repeated++
			continue
		}
		seen[forth.String()] = true
	}
}

// merge makes one feature of a chain, at the place of its first piece in the
// plan. Where two pieces meet, the end of the first holds.
func (a *joiner) merge(c *chain, lines []line) {
	first := math.MaxInt
	hasZ, bent := false, false
	for _, l := range c.links {
		first = min(first, lines[l.line].item)
		hasZ = hasZ || lines[l.line].hasZ
		bent = bent || lines[l.line].bent
	}
	var flat []float64
	bend := curve.Curve{Type: curve.Bulges}
	name := ""
	for i, l := range c.links {
		piece, pieceBend := lines[l.line].flat, lines[l.line].bend
		if l.back {
			piece, pieceBend = backwards(piece), pieceBend.Reversed()
		}
		if i > 0 {
			piece = piece[3:]
		}
		flat = append(flat, piece...)
		bend.Bulges = append(bend.Bulges, pieceBend.Bulges...)
		bend.Segments = append(bend.Segments, pieceBend.Segments...)
		if it := a.pieces[lines[l.line].item]; name == "" {
			name = it.Feature.Name
		}
		if lines[l.line].item != first {
			a.pieces[lines[l.line].item].Gone = true
		}
	}
	if c.closed {
		copy(flat[len(flat)-3:], flat[:3])
	}
	layout, stride := geom.XYZ, 3
	if !hasZ {
		layout, stride = geom.XY, 2
		out := flat[:0]
		for v := 0; v < len(flat); v += 3 {
			out = append(out, flat[v], flat[v+1])
		}
		flat = out
	}
	f := a.pieces[first].Feature
	if c.closed && distinct(flat, stride) >= 3 {
		f.Geometry = geom.NewPolygonFlat(layout, flat, []int{len(flat)})
	} else {
		f.Geometry = geom.NewLineStringFlat(layout, flat)
	}
	if f.Name == "" {
		f.Name = name
	}
	f.Attributes = f.Attributes.Clone()
	f.Attributes.Delete(schema.PropEntity)
	f.Attributes.Delete(schema.PropHandle)
	f.Attributes.Delete(schema.PropCurve)
	f.Attributes.Set(schema.PropJoined, schema.Int(int64(len(c.links))))
	if bent {
		f.Attributes.Set(schema.PropCurve, bend.Value())
	}
	c.label = Label(f)
}

func backwards(flat []float64) []float64 {
	out := make([]float64, 0, len(flat))
	for v := len(flat) - 3; v >= 0; v -= 3 {
		out = append(out, flat[v:v+3]...)
	}
	return out
}

// gaps lists for each open chain the way from each of its ends to the nearest
// other open end, each way once.
func (a *joiner) gaps(open []*chain) {
	type loose struct {
		chain *chain
		at    []float64
	}
	var ends []loose
	for _, c := range open {
		ends = append(ends, loose{c, c.from}, loose{c, c.to})
	}
	order := make([]int, len(ends))
	for i := range order {
		order[i] = i
	}
	sort.SliceStable(order, func(i, j int) bool { return ends[order[i]].at[0] < ends[order[j]].at[0] })
	listed := map[[2]int]bool{}
	for k, i := range order {
		best, nearest := math.Inf(1), -1
		look := func(j int) bool {
			if math.Abs(ends[j].at[0]-ends[i].at[0])*a.scale.X > best {
				return false
			}
			if d := a.scale.Distance(ends[i].at, ends[j].at); d < best && !(ends[i].chain == ends[j].chain && ends[i].chain.straight) {
				best, nearest = d, j
			}
			return true
		}
		for m := k + 1; m < len(order); m++ {
			if !look(order[m]) {
				break
			}
		}
		for m := k - 1; m >= 0; m-- {
			if !look(order[m]) {
				break
			}
		}
		if nearest < 0 {
			// Alone: its own other end is all there is.
			best, nearest = a.scale.Distance(ends[i].at, ends[i^1].at), i^1
		}
		key := [2]int{min(i, nearest), max(i, nearest)}
		if listed[key] {
			continue
		}
		listed[key] = true
		c := ends[i].chain
		gap := Gap{Layer: c.layer, SizeM: best, Label: c.label, Degrees: a.scale.Y > 1000,
			From: [2]float64{ends[i].at[0], ends[i].at[1]}, To: [2]float64{ends[nearest].at[0], ends[nearest].at[1]}}
		if best > a.tol && (ends[nearest].chain != c || !c.straight && best <= c.length/10) {
			gap.Closes = roundUp(best)
		}
		a.Gaps = append(a.Gaps, gap)
	}
}

// roundUp gives a length that is a little larger, with two digits, and no less
// than a millimetre.
func roundUp(m float64) float64 {
	step := math.Pow(10, math.Floor(math.Log10(math.Max(m, 0.001)))-1)
	step = math.Max(step, 0.001)
	return math.Round((math.Floor(m/step+1e-6)+1)*step*1e6) / 1e6
}
