// Frames that blocks are clipped to (the command XCLIP of drawing programs):
// what an insert shows of its block is what lies inside.

package dxf

import (
	"fmt"
	"math"
	"sort"
	"strings"
)

const (
	// mostFrameCorners is a cap against hostile input: every line of a block is
	// cut with every side.
	mostFrameCorners = 500
	// leastWidth is the width, in metres, below which what was cut off is
	// nothing: more than three times the widest margin.
	leastWidth = 1e-5
)

// frameMargins are how far, in metres, a frame is widened before it cuts, so
// that what was drawn up to it is not cut and no two sides lie on each other.
// Where they do all the same, the next margin is tried.
var frameMargins = []float64{1.0437e-6, 2.1731e-6, 2.9173e-6}

// frame is one SPATIAL_FILTER.
type frame struct {
	line      int
	on        bool
	corners   []point // in the coordinates of the block
	extension string
	why       string // why it cannot be cut with, "" when it can
}

// frame reads one. Its corners stand in a system of the frame's own, which the
// second matrix leads to from the drawing; the first one leads from the
// drawing, as it was when the frame was made, to the block (published DXF
// reference, SPATIAL_FILTER: "4x3 transformation matrix" twice, rows of four).
func (r *reader) frame(line int, extension string) {
	f := &frame{line: line, on: true, extension: extension}
	n := numbersOf{r, true}
	handle, planes := "", false
	normal := point{0, 0, 1}
	var numbers []float64
	for _, g := range r.gs {
		switch g.code {
		case 5:
			handle = handleOf(r.value(g))
		case 10:
			f.corners = append(f.corners, point{n.float(g)})
		case 20:
			if k := len(f.corners); k > 0 {
				f.corners[k-1][1] = n.float(g)
			}
		case 210, 220, 230:
			normal[(g.code-210)/10] = n.float(g)
		case 71:
			f.on = n.int(g) != 0
		case 72, 73:
			planes = planes || n.int(g) != 0
		case 40:
			numbers = append(numbers, n.float(g))
		}
	}
	r.objects.frames[handle] = f
	if k := len(f.corners); k == 2 {
		a, b := f.corners[0], f.corners[1]
		f.corners = []point{a, {b[0], a[1]}, b, {a[0], b[1]}}
	} else if k < 3 || k > mostFrameCorners {
		f.why = fmt.Sprintf("it has %d corners", k)
	}
	switch {
	case !n.sound || len(numbers) < 24:
		f.why, f.on = "it is damaged", true
	case planes:
		f.why = "it cuts by height too"
	case normal[0] != 0 || normal[1] != 0:
		f.why = "it stands at a slant"
	}
	if f.why != "" {
		return
	}
	matrix := func(v []float64) (m affine) {
		for i := range m.a {
			copy(m.a[i][:], v[4*i:])
			m.t[i] = v[4*i+3]
		}
		return m
	}
	last := numbers[len(numbers)-24:] // a front plane that is off may stand before
	toBlock, toFrame := matrix(last[:12]), matrix(last[12:])
	fromFrame, ok := toFrame.inverse()
	if !ok {
		f.why = "its matrix has no inverse"
		return
	}
	m := toBlock.after(&fromFrame)
	for i, c := range f.corners {
		f.corners[i] = m.apply(c)
	}
}

// inverse returns the map back, by Cramer's rule; ok is false when there is
// none.
func (m *affine) inverse() (out affine, ok bool) {
	a := &m.a
	var c [3][3]float64 // cofactors
	for i := range c {
		for j := range c[i] {
			i1, i2, j1, j2 := (i+1)%3, (i+2)%3, (j+1)%3, (j+2)%3
			c[i][j] = a[i1][j1]*a[i2][j2] - a[i1][j2]*a[i2][j1]
		}
	}
	det := a[0][0]*c[0][0] + a[0][1]*c[0][1] + a[0][2]*c[0][2]
	if !(math.Abs(det) > 1e-30) || math.IsInf(det, 0) {
		return out, false
	}
	for i := range c {
		for j := range c[i] {
			out.a[i][j] = c[j][i] / det
		}
	}
	t := out.direction(m.t)
	out.t = point{-t[0], -t[1], -t[2]}
	return out, true
}

// frameOf is the frame of an insert, nil for none.
func (r *reader) frameOf(sh *shape) *frame {
	o := &r.objects
	f := o.frames[o.dictionaries[o.dictionaries[sh.extension][filterEntry]][spatialEntry]]
	if f == nil {
		return nil
	}
	if !f.on {
		r.tally.Add("block-clip-off", sh.line, "", "the block %q (line %d) has a frame to be clipped to that is switched off, so all of it is drawn", clip(sh.ins.name), sh.line)
		return nil
	}
	if o.inverted[o.dictionaries[f.extension][roundTripEntry]] && f.why == "" {
		f.why = "it is inverted"
	}
	return f
}

// clipped counts what the frame of a block left out or cut.
type clipped struct {
	block     string
	line      int
	out, cut  int
	undecided int
}

// lay puts a frame where an insert stands; nil when it cannot be cut with,
// which is told.
func (r *reader) lay(f *frame, sh *shape, m *affine) *cutter {
	why := f.why
	switch {
	case why != "":
	case sh.ins.cols > 1 || sh.ins.rows > 1:
		why = "the block is repeated"
	case m.a[2][0] != 0 || m.a[2][1] != 0:
		why = "the block stands at a slant"
	}
	var c *cutter
	if why == "" {
		var corners []point
		for _, p := range f.corners {
			q := m.apply(p)
			corners = append(corners, point{q[0], q[1]})
			if !finite(q) {
				why = "its corners are past the range of numbers"
			}
		}
		if c = newCutter(corners, frameMargins); why == "" && c == nil {
			why = "it has no area"
		}
	}
	if why != "" {
		r.tally.Add("block-clip-refused", sh.line, "", "the block %q (line %d) is clipped by a frame that is not read (%s), so all of the block is drawn: what the drawing does not show of it is in the plan. Explode the block and trim it in the drawing, or have it exported without the clip", clip(sh.ins.name), sh.line, why)
		return nil
	}
	key := strings.ToUpper(sh.ins.name)
	if r.clips[key] == nil {
		if r.clips == nil {
			r.clips = map[string]*clipped{}
		}
		r.clips[key] = &clipped{block: sh.ins.name, line: sh.line}
		r.clipOrder = append(r.clipOrder, key)
	}
	c.count = r.clips[key]
	return c
}

// tellClips says what frames left out and cut, block by block.
func (r *reader) tellClips() {
	var parts []string
	total, undecided, line := 0, 0, 0
	for _, key := range r.clipOrder {
		c := r.clips[key]
		undecided += c.undecided
		if c.out+c.cut == 0 {
			continue
		}
		if total == 0 {
			line = c.line
		}
		total += c.out + c.cut
		if len(parts) < 12 {
			parts = append(parts, fmt.Sprintf("%q (%d outside, %d cut)", clip(c.block), c.out, c.cut))
		}
	}
	if total > 0 {
		r.tally.AddN("block-clipped", total, line, "", "blocks are clipped to frames, and what lies outside is left out as in the drawing: %s. Whatever stands there on the ground is not in the plan; where it should be, take the clip off in the drawing and export it again", strings.Join(parts, ", "))
	}
	if undecided > 0 {
		r.tally.AddN("block-clip-undecided", undecided, line, "", "outlines meet the frame of their block in a way that cannot be cut, and are drawn whole: trim them in the drawing")
	}
}

// framed draws what lies inside all of the frames.
func (r *reader) framed(d *drawn, frames []*cutter) error {
	if len(frames) == 0 {
		return r.out(d)
	}
	c, rest := frames[len(frames)-1], frames[:len(frames)-1]
	switch d.sh.kind {
	case kindPoint, kindText, kindInsert:
		if !c.holds(d.at) {
			c.count.out++
			return nil
		}
		return r.framed(d, rest)
	}
	var parts [][]ring
	whole, ok := false, true
	if d.sh.kind == kindPath && !d.rings[0].closed {
		var lines [][]point
		lines, whole = c.line(d.rings[0].points)
		for _, p := range lines {
			parts = append(parts, []ring{{points: p}})
		}
	} else {
		list := d.rings
		if d.hatch != 0 {
			list = filled(d.rings, d.hatch)
		}
		var rings []ring
		rings, whole, ok = c.rings(list)
		switch {
		case d.sh.kind == kindArea && len(rings) > 0:
			parts = [][]ring{rings}
		default:
			for _, q := range rings {
				parts = append(parts, []ring{q})
			}
		}
	}
	switch {
	case !ok:
		c.count.undecided++
		return r.framed(d, rest)
	case whole:
		return r.framed(d, rest)
	case len(parts) == 0:
		c.count.out++
		return nil
	}
	c.count.cut++
	for _, p := range parts {
		part := *d
		part.rings, part.hatch = p, 0
		n := 0
		for _, q := range p {
			n += len(q.points)
		}
		if err := r.count(n, d.sh); err != nil {
			return err
		}
		if err := r.framed(&part, rest); err != nil {
			return err
		}
	}
	return nil
}

// filled are the rings of a hatch that its style fills, or leaves out, by how
// deep they lie in each other.
func filled(list []ring, style int) []ring {
	nest := nestRings(list, func(point) {})
	var out []ring
	for i := range nest {
		if hatched(style, nest[i].depth) {
			out = append(out, nest[i].ring)
		}
	}
	return out
}

// cutter is a frame in the coordinates of what it cuts.
type cutter struct {
	plain     []point // the corners as given, none repeated
	corners   []point // moved out
	low, high point
	count     *clipped
	next      *cutter // with another margin, nil for none
}

// newCutter returns a frame with its sides moved out by the first of the
// margins, and the others after it; nil when there is no area.
func newCutter(corners []point, margins []float64) *cutter {
	var once []point
	for i, p := range corners {
		if next := corners[(i+1)%len(corners)]; p[0] != next[0] || p[1] != next[1] {
			once = append(once, p)
		}
	}
	n := len(once)
	if n < 3 {
		return nil
	}
	area := ringArea(append(once[:n:n], once[0]))
	if !(math.Abs(area) > leastWidth*leastWidth) {
		return nil
	}
	turn := math.Copysign(margins[0], area)
	normal := func(a, b point) point {
		p, _ := unitVector(point{b[1] - a[1], a[0] - b[0]})
		return p
	}
	c := &cutter{plain: once, low: once[0], high: once[0]}
	for i, p := range once {
		a, b := normal(once[(i+n-1)%n], p), normal(p, once[(i+1)%n])
		p = point{p[0] + turn*(a[0]+b[0]), p[1] + turn*(a[1]+b[1])}
		c.corners = append(c.corners, p)
		for k := range 2 {
			c.low[k], c.high[k] = math.Min(c.low[k], p[k]), math.Max(c.high[k], p[k])
		}
	}
	if len(margins) > 1 {
		c.next = newCutter(corners, margins[1:])
	}
	return c
}

// holds reports whether a place lies inside.
func (c *cutter) holds(p point) bool {
	n := len(c.corners)
	in := false
	for i, b := range c.corners {
		if above(c.corners[(i+n-1)%n], b, p) {
			in = !in
		}
	}
	return in
}

// crossing is a place where a line meets a side of the frame: at t of the line.
type crossing struct {
	t  float64
	at point
}

// side is how far p lies left of the line from a to b, times its length.
func side(a, b, p point) float64 { return (b[0]-a[0])*(p[1]-a[1]) - (b[1]-a[1])*(p[0]-a[0]) }

// meet returns where the line from a to b meets that from p to q; s is the part
// of the second. A line belongs to its start and not to its end.
func meet(a, b, p, q point) (x crossing, s float64, ok bool) {
	d1, d2 := side(p, q, a), side(p, q, b)
	d3, d4 := side(a, b, p), side(a, b, q)
	if (d1 > 0) == (d2 > 0) || (d3 > 0) == (d4 > 0) {
		return x, 0, false
	}
	x.t = d1 / (d1 - d2)
	for k := range x.at {
		x.at[k] = a[k] + x.t*(b[k]-a[k])
	}
	return x, d3 / (d3 - d4), true
}

// exact are the places of crossings and corners on the frame as given, by those
// on the one that was moved out.
type exact map[[2]float64]point

func (e exact) add(moved, given point) { e[[2]float64{moved[0], moved[1]}] = given }

// of puts points back on the frame as given.
func (e exact) of(points []point) []point {
	for i, p := range points {
		if q, ok := e[[2]float64{p[0], p[1]}]; ok {
			points[i] = q
		}
	}
	return points
}

// split returns the line from a to b with its crossings in between, and notes
// where they are in truth.
func (c *cutter) split(a, b point, in exact, each func(i int, s float64, at point)) []point {
	if math.Max(a[0], b[0]) < c.low[0] || math.Min(a[0], b[0]) > c.high[0] || math.Max(a[1], b[1]) < c.low[1] || math.Min(a[1], b[1]) > c.high[1] {
		return []point{a, b}
	}
	var list []crossing
	n := len(c.corners)
	for i, p := range c.corners {
		if x, s, ok := meet(a, b, p, c.corners[(i+1)%n]); ok {
			list = append(list, x)
			each(i, s, x.at)
			given := x.at
			p, q := c.plain[i], c.plain[(i+1)%n]
			if d1, d2 := side(p, q, a), side(p, q, b); d1 != d2 {
				t := min(max(d1/(d1-d2), 0), 1)
				for k := range given {
					given[k] = a[k] + t*(b[k]-a[k])
				}
			}
			in.add(x.at, given)
		}
	}
	sort.Slice(list, func(i, j int) bool { return list[i].t < list[j].t })
	out := []point{a}
	for _, x := range list {
		out = append(out, x.at)
	}
	return append(out, b)
}

func middle(a, b point) point {
	return point{(a[0] + b[0]) / 2, (a[1] + b[1]) / 2, (a[2] + b[2]) / 2}
}

// line returns the parts of a line that lie inside; whole when that is all of
// it.
func (c *cutter) line(points []point) (parts [][]point, whole bool) {
	if len(points) == 1 {
		return nil, c.holds(points[0])
	}
	whole = true
	var run []point
	on := exact{}
	end := func() {
		if pathLength(run) > leastWidth {
			parts = append(parts, on.of(run))
		}
		run = nil
	}
	for i := 1; i < len(points); i++ {
		pieces := c.split(points[i-1], points[i], on, func(int, float64, point) {})
		for k := 1; k < len(pieces); k++ {
			if !c.holds(middle(pieces[k-1], pieces[k])) {
				whole = false
				end()
				continue
			}
			if run == nil {
				run = append(run, pieces[k-1])
			}
			run = append(run, pieces[k])
		}
	}
	end()
	return parts, whole
}

// edges is the outline of what lies both in rings and in a frame, as pieces
// between nodes; two that lie on each other cancel.
type edges struct {
	nodes []point
	on    exact
	index map[[2]float64]int
	has   map[[2]int]bool
	order [][2]int
}

func (e *edges) node(p point) int {
	key := [2]float64{p[0], p[1]}
	i, ok := e.index[key]
	if !ok {
		i = len(e.nodes)
		e.index[key] = i
		e.nodes = append(e.nodes, p)
	}
	return i
}

func (e *edges) toggle(a, b point) {
	i, j := e.node(a), e.node(b)
	if i == j {
		return
	}
	key := [2]int{min(i, j), max(i, j)}
	if _, seen := e.has[key]; !seen {
		e.order = append(e.order, key)
	}
	e.has[key] = !e.has[key]
}

// rings returns the outline of what rings, taken even and odd, have inside the
// frame; whole when the frame changes nothing. ok is false when it cannot be
// told.
func (c *cutter) rings(list []ring) (out []ring, whole, ok bool) {
	for ; c != nil && !ok; c = c.next {
		out, whole, ok = c.ringsOnce(list)
	}
	return out, whole, ok
}

func (c *cutter) ringsOnce(list []ring) (out []ring, whole, ok bool) {
	n := len(c.corners)
	e := edges{on: exact{}, index: map[[2]float64]int{}, has: map[[2]int]bool{}}
	sides := make([][]crossing, n)
	inside := func(p point) bool {
		in := false
		for i := range list {
			in = in != pointInRing(p, list[i].points)
		}
		return in
	}
	whole = true
	for _, q := range list {
		for i := 1; i < len(q.points); i++ {
			pieces := c.split(q.points[i-1], q.points[i], e.on, func(k int, s float64, at point) { sides[k] = append(sides[k], crossing{s, at}) })
			for k := 1; k < len(pieces); k++ {
				if c.holds(middle(pieces[k-1], pieces[k])) {
					e.toggle(pieces[k-1], pieces[k])
				} else {
					whole = false
				}
			}
		}
	}
	if whole {
		return nil, true, true
	}
	height := math.NaN() // of corners of the frame: that of the ring beside them
	for i, p := range c.corners {
		list := sides[i]
		sort.Slice(list, func(a, b int) bool { return list[a].t < list[b].t })
		p[2] = height
		e.on.add(p, point{c.plain[i][0], c.plain[i][1], height})
		last := c.corners[(i+1)%n]
		last[2] = height
		for _, x := range append(list, crossing{1, last}) {
			if inside(middle(p, x.at)) {
				e.toggle(p, x.at)
			}
			p = x.at
		}
	}
	return e.link()
}

// link joins the pieces to rings. At a node where several meet the way goes on
// along the next one clockwise, so that no ring crosses another.
func (e *edges) link() (out []ring, whole, ok bool) {
	at := make([][]int, len(e.nodes))
	for _, k := range e.order {
		if e.has[k] {
			at[k[0]] = append(at[k[0]], k[1])
			at[k[1]] = append(at[k[1]], k[0])
		}
	}
	for _, list := range at {
		if len(list)%2 != 0 {
			return nil, false, false
		}
	}
	key := func(i, j int) [2]int { return [2]int{min(i, j), max(i, j)} }
	for _, k := range e.order {
		if !e.has[k] {
			continue
		}
		start, from, to := k[0], k[0], k[1]
		points := []point{e.nodes[start]}
		for {
			e.has[key(from, to)] = false
			points = append(points, e.nodes[to])
			if to == start {
				break
			}
			back := math.Atan2(e.nodes[from][1]-e.nodes[to][1], e.nodes[from][0]-e.nodes[to][0])
			next, least := -1, math.Inf(1)
			for _, j := range at[to] {
				if !e.has[key(to, j)] {
					continue
				}
				turn := math.Mod(back-math.Atan2(e.nodes[j][1]-e.nodes[to][1], e.nodes[j][0]-e.nodes[to][0])+4*math.Pi, 2*math.Pi)
				if turn < least {
					next, least = j, turn
				}
			}
			if next < 0 {
				return nil, false, false
			}
			from, to = to, next
		}
		if len(points) < 4 || math.Abs(ringArea(points))/2 < leastWidth*pathLength(flat2(points)) {
			continue // drawn up to the frame from outside
		}
		out = append(out, ring{points: tidy(e.on.of(points)), closed: true})
	}
	return out, false, true
}

// flat2 are points without heights.
func flat2(points []point) []point {
	out := make([]point, len(points))
	for i, p := range points {
		out[i] = point{p[0], p[1]}
	}
	return out
}

// tidy takes corners that the margin left beside each other once, and gives
// those of the frame the height of the point before them.
func tidy(points []point) []point {
	height := 0.0
	for _, p := range points {
		if !math.IsNaN(p[2]) {
			height = p[2]
			break
		}
	}
	out := points[:0]
	for _, p := range points[:len(points)-1] {
		if math.IsNaN(p[2]) {
			p[2] = height
		}
		height = p[2]
		if n := len(out); n == 0 || math.Hypot(p[0]-out[n-1][0], p[1]-out[n-1][1]) > leastWidth {
			out = append(out, p)
		}
	}
	if n := len(out); n > 3 && math.Hypot(out[0][0]-out[n-1][0], out[0][1]-out[n-1][1]) <= leastWidth {
		out = out[:n-1]
	}
	return append(out, out[0])
}
