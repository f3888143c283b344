// Rings out of lines: closing, joining, and nesting into holes.

package roles

import (
	"fmt"
	"math"
	"sort"
	"strings"

	"github.com/twpayne/go-geom"

	"swardline/convert/dxf/curve"
	"swardline/schema"
)

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

// rings closes and joins the lines of one rule.
func (a *applier) rings(rule int) {
	tol, rep := a.rules.List[rule].ToleranceM, &a.report.Rules[rule]
	var lines []line
	for i := range a.items {
		it := &a.items[i]
		if it.gone || it.rule != rule {
			continue
		}
		g, ok := it.f.Geometry.(*geom.LineString)
		if !ok || g.NumCoords() < 2 {
			continue
		}
		flat, stride := g.FlatCoords(), g.Stride()
		first, last := flat[:stride], flat[len(flat)-stride:]
		if gap := a.distance(first, last); gap <= tol && g.NumCoords() > 3 && distinct(flat, stride) >= 3 && gap <= a.length(flat, stride)/10 {
			closed := append([]float64(nil), flat...)
			copy(closed[len(closed)-stride:], first)
			it.f.Geometry = geom.NewPolygonFlat(g.Layout(), closed, []int{len(closed)})
			rep.Closed++
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
		l.bend, l.bent = curve.AsBulges(curveOf(it.f), l.flat, 3, bendTolerance/math.Max(a.x, a.y))
		lines = append(lines, l)
	}
	if len(lines) == 0 {
		return
	}
	a.dropRepeated(rule, lines)
	nodes, meet := a.nodes(lines, tol)
	joinable := func(node int) bool { return len(meet[node]) == 2 && meet[node][0].line != meet[node][1].line }
	for n, list := range meet {
		if len(list) > 2 {
			a.report.Junctions = append(a.report.Junctions, Place{nodes[n][0], nodes[n][1], len(list), a.items[lines[list[0].line].item].layer})
		}
	}
	sort.SliceStable(a.report.Junctions, func(i, j int) bool { return a.report.Junctions[i].E < a.report.Junctions[j].E })
	var open []*chain
	for i := range lines {
		if lines[i].used {
			continue
		}
		c := &chain{rule: rule}
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
			a.join(c, lines)
			rep.Pieces += len(c.links)
			if c.closed {
				rep.Rings++
			} else {
				rep.Lines++
			}
		}
		if !c.closed {
			c.read(lines)
			open = append(open, c)
		}
	}
	a.gaps(rule, open, lines)
}

// chain is lines one after the other.
type chain struct {
	rule     int
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
func (a *applier) nodes(lines []line, tol float64) (at [][]float64, meet [][]tip) {
	cell := math.Max(tol, 1e-9)
	type key struct{ x, y int64 }
	grid := map[key][]tip{}
	cellOf := func(p []float64) key {
		return key{int64(math.Floor(p[0] * a.x / cell)), int64(math.Floor(p[1] * a.y / cell))}
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
							if lines[u.line].node[u.end] < 0 && a.distance(p, lines[u.line].end(u.end)) <= tol {
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
func (a *applier) dropRepeated(rule int, lines []line) {
	seen := map[string]bool{}
	for i := range lines {
		forth, back := &strings.Builder{}, &strings.Builder{}
		flat := lines[i].flat
		for v := 0; v < len(flat); v += 3 {
			fmt.Fprintf(forth, "%.6f %.6f,", flat[v]*a.x, flat[v+1]*a.y)
			w := len(flat) - 3 - v
			fmt.Fprintf(back, "%.6f %.6f,", flat[w]*a.x, flat[w+1]*a.y)
		}
		if seen[forth.String()] || seen[back.String()] {
			lines[i].used = true
			a.items[lines[i].item].gone = true
			a.report.Rules[rule].Repeated++
			continue
		}
		seen[forth.String()] = true
	}
}

// join makes one feature of a chain, at the place of its first piece in the plan.
// Where two pieces meet, the end of the first holds.
func (a *applier) join(c *chain, lines []line) {
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
		if it := &a.items[lines[l.line].item]; name == "" {
			name = it.f.Name
		}
		if lines[l.line].item != first {
			a.items[lines[l.line].item].gone = true
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
	f := a.items[first].f
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
	c.label = where(f)
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
func (a *applier) gaps(rule int, open []*chain, lines []line) {
	type loose struct {
		chain *chain
		at    []float64
	}
	var ends []loose
	for _, c := range open {
		it := &a.items[lines[c.links[0].line].item]
		c.layer = it.layer
		if c.label == "" {
			c.label = where(it.f)
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
			if math.Abs(ends[j].at[0]-ends[i].at[0])*a.x > best {
				return false
			}
			if d := a.distance(ends[i].at, ends[j].at); d < best && !(ends[i].chain == ends[j].chain && len(ends[i].chain.links) == 1 && len(lines[ends[i].chain.links[0].line].flat) == 6) {
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
			best, nearest = a.distance(ends[i].at, ends[i^1].at), i^1
		}
		key := [2]int{min(i, nearest), max(i, nearest)}
		if listed[key] {
			continue
		}
		listed[key] = true
		a.report.Gaps = append(a.report.Gaps, Gap{Rule: rule, Layer: ends[i].chain.layer, SizeM: best, Label: ends[i].chain.label,
			From: [2]float64{ends[i].at[0], ends[i].at[1]}, To: [2]float64{ends[nearest].at[0], ends[nearest].at[1]}})
	}
}

func (a *applier) length(flat []float64, stride int) float64 {
	sum := 0.0
	for v := stride; v < len(flat); v += stride {
		sum += a.distance(flat[v-stride:v], flat[v:])
	}
	return sum
}

// distinct counts the different places of a line, up to 3.
func distinct(flat []float64, stride int) int {
	n := 0
	var seen [3][2]float64
next:
	for v := 0; v < len(flat) && n < 3; v += stride {
		p := [2]float64{flat[v], flat[v+1]}
		for _, q := range seen[:n] {
			if p == q {
				continue next
			}
		}
		seen[n] = p
		n++
	}
	return n
}

// nest is a ring of a rule with holes.
type nest struct {
	item       int
	flat       []float64
	stride     int
	size       float64
	low, high  [2]float64
	depth      int
	parent     int
	holes      []int
	curveValue schema.Value
}

// holes nests the single rings of one rule: in an even number of others a ring
// is an area, in an odd number a hole of the smallest that holds it.
func (a *applier) holes(rule int) {
	var list []nest
	for i := range a.items {
		it := &a.items[i]
		if it.gone || it.rule != rule {
			continue
		}
		g, ok := it.f.Geometry.(*geom.Polygon)
		if !ok || g.NumLinearRings() != 1 {
			continue
		}
		n := nest{item: i, flat: g.FlatCoords(), stride: g.Stride(), parent: -1, curveValue: curveOf(it.f)}
		n.size = math.Abs(schema.TwiceArea(n.flat, n.stride))
		n.low, n.high = box(n.flat, n.stride)
		list = append(list, n)
	}
	sort.SliceStable(list, func(i, j int) bool { return list[i].size > list[j].size })
	for i := range list {
		for j := i - 1; j >= 0; j-- {
			out, in := &list[j], &list[i]
			if in.low[0] < out.low[0] || in.low[1] < out.low[1] || in.high[0] > out.high[0] || in.high[1] > out.high[1] {
				if cross(in, out) {
					a.crossing(in, out)
				}
				continue
			}
			if cross(in, out) {
				a.crossing(in, out)
				continue
			}
			if ringHolds(out, in) {
				in.parent, in.depth = j, out.depth+1
				break
			}
		}
	}
	for i := range list {
		if n := &list[i]; n.depth%2 == 1 {
			p := n.parent
			list[p].holes = append(list[p].holes, i)
			a.report.Rules[rule].Holes++
		}
	}
	for i := range list {
		shell := &list[i]
		if len(shell.holes) == 0 {
			continue
		}
		f := a.items[shell.item].f
		layout := f.Geometry.Layout()
		flat := append([]float64(nil), shell.flat...)
		ends := []int{len(flat)}
		curves := []schema.Value{shell.curveValue}
		for _, k := range shell.holes {
			hole := &list[k]
			if hole.stride > shell.stride && layout == geom.XY {
				flat, ends = raise(flat, ends)
				layout, shell.stride = geom.XYZ, 3
			}
			for v := 0; v < len(hole.flat); v += hole.stride {
				flat = append(flat, hole.flat[v], hole.flat[v+1])
				if shell.stride == 3 {
					h := math.NaN()
					if hole.stride == 3 {
						h = hole.flat[v+2]
					}
					flat = append(flat, h)
				}
			}
			ends = append(ends, len(flat))
			curves = append(curves, hole.curveValue)
			gone := &a.items[hole.item]
			gone.gone = true
			if gone.f.Name != "" {
				a.report.Notes = append(a.report.Notes, fmt.Sprintf("the hole %q of %q has no name of its own any more", gone.f.Name, where(f)))
			}
		}
		f.Geometry = geom.NewPolygonFlat(layout, flat, ends)
		f.Attributes = f.Attributes.Clone()
		bent := false
		for k := range curves {
			if curves[k].Kind() == schema.KindObject {
				bent = true
			} else {
				curves[k] = schema.Null()
			}
		}
		if bent {
			f.Attributes.Set(schema.PropCurve, schema.List(curves...))
		}
	}
}

func (a *applier) crossing(in, out *nest) {
	if len(a.report.Crossings) < 100 {
		a.report.Crossings = append(a.report.Crossings, fmt.Sprintf("the rings %q and %q cross, so neither is a hole of the other", where(a.items[in.item].f), where(a.items[out.item].f)))
	}
}

// raise gives a flat ring heights that are not known.
func raise(flat []float64, ends []int) ([]float64, []int) {
	var out []float64
	for v := 0; v < len(flat); v += 2 {
		out = append(out, flat[v], flat[v+1], math.NaN())
	}
	for i := range ends {
		ends[i] = ends[i] / 2 * 3
	}
	return out, ends
}

func box(flat []float64, stride int) (low, high [2]float64) {
	low, high = [2]float64{math.Inf(1), math.Inf(1)}, [2]float64{math.Inf(-1), math.Inf(-1)}
	for v := 0; v < len(flat); v += stride {
		for k := 0; k < 2; k++ {
			low[k], high[k] = math.Min(low[k], flat[v+k]), math.Max(high[k], flat[v+k])
		}
	}
	return low, high
}

// cross reports whether the outlines of two rings cut through each other.
// Touching is no crossing. Whether a plan is valid is for the proof to say; this
// only keeps a ring from becoming a hole that it is not.
func cross(p, q *nest) bool {
	if p.high[0] < q.low[0] || q.high[0] < p.low[0] || p.high[1] < q.low[1] || q.high[1] < p.low[1] {
		return false
	}
	if straddles(p, q) || straddles(q, p) {
		return true
	}
	for i := p.stride; i < len(p.flat); i += p.stride {
		a, b := p.flat[i-p.stride:i], p.flat[i:]
		if math.Max(a[0], b[0]) < q.low[0] || math.Min(a[0], b[0]) > q.high[0] || math.Max(a[1], b[1]) < q.low[1] || math.Min(a[1], b[1]) > q.high[1] {
			continue
		}
		for k := q.stride; k < len(q.flat); k += q.stride {
			c, d := q.flat[k-q.stride:k], q.flat[k:]
			if side(a, b, c)*side(a, b, d) < 0 && side(c, d, a)*side(c, d, b) < 0 {
				return true
			}
		}
	}
	return false
}

// straddles reports whether p has corners or middles of sides both inside and
// outside q, as rings have that overlap along a common line.
func straddles(p, q *nest) bool {
	in, out := false, false
	for i := p.stride; i < len(p.flat) && !(in && out); i += p.stride {
		a, b := p.flat[i-p.stride:i], p.flat[i:]
		for _, v := range [...][2]float64{{a[0], a[1]}, {(a[0] + b[0]) / 2, (a[1] + b[1]) / 2}} {
			switch place(q.flat, q.stride, v[:]) {
			case 1:
				in = true
			case -1:
				out = true
			}
		}
	}
	return in && out
}

// side is positive when r lies to the left of the line from p to q.
func side(p, q, r []float64) float64 {
	s := (q[0]-p[0])*(r[1]-p[1]) - (q[1]-p[1])*(r[0]-p[0])
	switch {
	case s > 0:
		return 1
	case s < 0:
		return -1
	}
	return 0
}

// ringHolds reports whether the ring in, which does not cross out, lies in it:
// its first corner off out's outline tells.
func ringHolds(out, in *nest) bool {
	for v := 0; v < len(in.flat); v += in.stride {
		switch place(out.flat, out.stride, in.flat[v:]) {
		case 1:
			return true
		case -1:
			return false
		}
	}
	return false // the same outline
}

// place is 1 inside the ring, -1 outside, 0 on its outline.
func place(flat []float64, stride int, p []float64) int {
	in := false
	for i := stride; i < len(flat); i += stride {
		a, b := flat[i-stride:i], flat[i:]
		if side(a, b, p) == 0 && p[0] >= math.Min(a[0], b[0]) && p[0] <= math.Max(a[0], b[0]) && p[1] >= math.Min(a[1], b[1]) && p[1] <= math.Max(a[1], b[1]) {
			return 0
		}
		if (a[1] > p[1]) != (b[1] > p[1]) && p[0] < a[0]+(p[1]-a[1])/(b[1]-a[1])*(b[0]-a[0]) {
			in = !in
		}
	}
	if in {
		return 1
	}
	return -1
}

// polygonRings calls f with every ring of a polygon or multipolygon.
func polygonRings(g geom.T, f func(flat []float64, stride int)) {
	switch g := g.(type) {
	case *geom.Polygon:
		start := 0
		for _, end := range g.Ends() {
			f(g.FlatCoords()[start:end], g.Stride())
			start = end
		}
	case *geom.MultiPolygon:
		start := 0
		for _, ends := range g.Endss() {
			for _, end := range ends {
				f(g.FlatCoords()[start:end], g.Stride())
				start = end
			}
		}
	}
}

// inPolygon reports whether a point lies inside, by the count of its rings
// around the point, or on the outline.
func inPolygon(g geom.T, p []float64) bool {
	in, on := false, false
	polygonRings(g, func(flat []float64, stride int) {
		switch place(flat, stride, p) {
		case 1:
			in = !in
		case 0:
			on = true
		}
	})
	return in || on
}

// polygonSize is the area of the largest ring, in units of the plan.
func polygonSize(g geom.T) float64 {
	most := 0.0
	polygonRings(g, func(flat []float64, stride int) {
		most = math.Max(most, math.Abs(schema.TwiceArea(flat, stride)))
	})
	return most
}

// toGeometry is the distance in metres from a point to the vertices and lines of
// a geometry.
func (a *applier) toGeometry(g geom.T, p []float64) float64 {
	best := math.Inf(1)
	flat, stride := g.FlatCoords(), g.Stride()
	ends := g.Ends() // nil for one point or line
	if ends == nil {
		ends = []int{len(flat)}
	}
	start := 0
	for _, end := range ends {
		for v := start; v < end; v += stride {
			best = math.Min(best, a.distance(flat[v:], p))
			if v > start {
				best = math.Min(best, a.toSegment(p, flat[v-stride:], flat[v:]))
			}
		}
		start = end
	}
	return best
}

func (a *applier) toSegment(p, q, r []float64) float64 {
	dx, dy := (r[0]-q[0])*a.x, (r[1]-q[1])*a.y
	px, py := (p[0]-q[0])*a.x, (p[1]-q[1])*a.y
	if l := dx*dx + dy*dy; l > 0 {
		t := math.Max(0, math.Min(1, (px*dx+py*dy)/l))
		return math.Hypot(px-t*dx, py-t*dy)
	}
	return math.Hypot(px, py)
}
