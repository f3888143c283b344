// Package rings makes outlines of the lines that people draft: it closes those
// whose ends meet, joins loose pieces, and nests rings into holes. What stays open
// is listed with the size and place of its gap.
package rings

import (
	"fmt"
	"math"
	"sort"
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
	// Gone is true when the piece has become part of another one.
	Gone bool
}

// Joined is what Join did.
type Joined struct {
	// Closed lines became rings by themselves; Pieces were joined into Rings rings
	// and Lines longer open lines.
	Closed, Pieces, Rings, Lines int
	// Repeated pieces were drawn twice; the second ones are Gone.
	Repeated int
	// Gaps are the openings of lines that should be rings.
	Gaps []Gap
	// Junctions are places where more than two pieces meet, so that which to join
	// is not for a program to say.
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
}

// String says how large the gap is and where.
func (g Gap) String() string {
	return fmt.Sprintf("the outline %q on layer %q is open: a gap of %.3f m between (%.3f, %.3f) and (%.3f, %.3f)", g.Label, g.Layer, g.SizeM, g.From[0], g.From[1], g.To[0], g.To[1])
}

// bendTolerance is how far, in metres, a point may lie from the arc it was
// flattened from and still be taken as on it.
const bendTolerance = 0.0005

// line is an open line of a rule, to be joined with others.
type line struct {
	item int
	flat []float64 // x, y, h: h NaN when there is none
	bend curve.Curve
	bent bool
	hasZ bool
	used bool
	node [2]int // at its start and end
}

func (l *line) end(k int) []float64 {
	if k == 0 {
		return l.flat[:3]
	}
	return l.flat[len(l.flat)-3:]
}

// Join makes outlines of lines: those whose ends lie within tol metres of each
// other are closed, and pieces whose ends meet are joined. A joined line stands in
// the place of its first piece; the others are Gone.
func Join(pieces []*Piece, scale Scale, tol float64) Joined {
	a := joiner{pieces: pieces, scale: scale}
	a.join(tol)
	return a.Joined
}

type joiner struct {
	pieces []*Piece
	scale  Scale
	Joined
}

func (a *joiner) join(tol float64) {
	var lines []line
	for i, it := range a.pieces {
		if it.Gone {
			continue
		}
		g, ok := it.Feature.Geometry.(*geom.LineString)
		if !ok || g.NumCoords() < 2 {
			continue
		}
		flat, stride := g.FlatCoords(), g.Stride()
		first, last := flat[:stride], flat[len(flat)-stride:]
		if gap := a.scale.Distance(first, last); gap <= tol && g.NumCoords() > 3 && distinct(flat, stride) >= 3 && gap <= a.scale.length(flat, stride)/10 {
			closed := append([]float64(nil), flat...)
			copy(closed[len(closed)-stride:], first)
			it.Feature.Geometry = geom.NewPolygonFlat(g.Layout(), closed, []int{len(closed)})
			a.Closed++
			continue
		}
		l := line{item: i, hasZ: stride > 2 && g.Layout().ZIndex() == 2}
		for v := 0; v < len(flat); v += stride {
			h := math.NaN()
			if l.hasZ {
				h = flat[v+2]
			}
			l.flat = append(l.flat, flat[v], flat[v+1], h)
		}
		l.bend, l.bent = curve.AsBulges(it.Feature.Attributes.Get(schema.PropCurve), l.flat, 3, bendTolerance/math.Max(a.scale.X, a.scale.Y))
		lines = append(lines, l)
	}
	if len(lines) == 0 {
		return
	}
	a.dropRepeated(lines)
	nodes, meet := a.nodes(lines, tol)
	joinable := func(node int) bool { return len(meet[node]) == 2 && meet[node][0].line != meet[node][1].line }
	for n, list := range meet {
		if len(list) > 2 {
			a.Junctions = append(a.Junctions, Junction{nodes[n][0], nodes[n][1], len(list), a.pieces[lines[list[0].line].item].Layer})
		}
	}
	sort.SliceStable(a.Junctions, func(i, j int) bool { return a.Junctions[i].E < a.Junctions[j].E })
	var open []*chain
	for i := range lines {
		if lines[i].used {
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
			open = append(open, c)
		}
	}
	a.gaps(open, lines)
}

// chain is lines one after the other.
type chain struct {
	links    []link
	closed   bool
	from, to []float64
	label    string
	layer    string
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

// nodes puts the ends of lines that lie within tol of each other into one node,
// and returns where each node is and which ends meet there.
func (a *joiner) nodes(lines []line, tol float64) (at [][]float64, meet [][]tip) {
	cell := math.Max(tol, 1e-9)
	type key struct{ x, y int64 }
	grid := map[key][]tip{}
	cellOf := func(p []float64) key {
		return key{int64(math.Floor(p[0] * a.scale.X / cell)), int64(math.Floor(p[1] * a.scale.Y / cell))}
	}
	for i := range lines {
		if lines[i].used {
			continue
		}
		for e := 0; e < 2; e++ {
			lines[i].node[e] = -1
			k := cellOf(lines[i].end(e))
			grid[k] = append(grid[k], tip{i, e})
		}
	}
	for i := range lines {
		if lines[i].used {
			continue
		}
		for e := 0; e < 2; e++ {
			if lines[i].node[e] >= 0 {
				continue
			}
			n := len(at)
			at = append(at, lines[i].end(e))
			meet = append(meet, nil)
			lines[i].node[e] = n
			// Everything near, and near to that, is one place.
			for queue := []tip{{i, e}}; len(queue) > 0; queue = queue[1:] {
				t := queue[0]
				meet[n] = append(meet[n], t)
				p := lines[t.line].end(t.end)
				k := cellOf(p)
				for dx := int64(-1); dx <= 1; dx++ {
					for dy := int64(-1); dy <= 1; dy++ {
						for _, u := range grid[key{k.x + dx, k.y + dy}] {
							if lines[u.line].node[u.end] < 0 && a.scale.Distance(p, lines[u.line].end(u.end)) <= tol {
								lines[u.line].node[u.end] = n
								queue = append(queue, u)
							}
						}
					}
				}
			}
		}
	}
	return at, meet
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

// merge makes one feature of a chain, at the place of its first piece in the plan.
// Where two pieces meet, the end of the first holds.
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
func (a *joiner) gaps(open []*chain, lines []line) {
	type loose struct {
		chain *chain
		at    []float64
	}
	var ends []loose
	for _, c := range open {
		it := a.pieces[lines[c.links[0].line].item]
		c.layer = it.Layer
		if c.label == "" {
			c.label = Label(it.Feature)
		}
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
			if d := a.scale.Distance(ends[i].at, ends[j].at); d < best && !(ends[i].chain == ends[j].chain && len(ends[i].chain.links) == 1 && len(lines[ends[i].chain.links[0].line].flat) == 6) {
				best, nearest = d, j // a single straight piece does not close on itself
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
		a.Gaps = append(a.Gaps, Gap{Layer: ends[i].chain.layer, SizeM: best, Label: ends[i].chain.label,
			From: [2]float64{ends[i].at[0], ends[i].at[1]}, To: [2]float64{ends[nearest].at[0], ends[nearest].at[1]}})
	}
}
