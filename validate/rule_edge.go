// Rule on walls, kerbs, fences and drops: edge-setback, and what they leave
// uncut.

package validate

import (
	"fmt"
	"math"
	"slices"
	"sort"
	"strings"

	"github.com/paulmach/orb"

	"swardline/schema"
	"swardline/validate/plane"
)

var edgeRules = []Rule{{
	Name: RuleEdgeSetback, Severity: Warning, Limits: []string{"hard_edge_strip_m", "hazard_margin_m", "hazard_margin_drop_m", "machine_width_m", "opening_max_m"}, Over: all(schema.RoleEdge), run: checkEdgeSetback,
	Page: Page{
		What: "The least distance on the ground between an edge and the mown ground of every zone. A wall, kerb or fence needs the strip that the machine leaves uncut; " +
			"a drop needs the margin of a drop, and less is an error, as is a wall or fence that runs through the inside of a zone; a flush edge needs nothing, there the outline may lie on the hard surface, " +
			"nor does a wall or fence where an edge of the kind gate opens it, or a kerb where one of the kind ramp does. A ramp opens a drop too, but only where a corridor or the way into a dock goes over it, and no farther than passage_min_m from there: beside mown ground a drop stays a drop. " +
			"An opening is as long as its line, or as its width_m about the middle of that where it runs along the edge and says less; it may be drawn up to 0.3 m beside the edge: of several it opens the nearest, and what runs no more than 0.05 m farther off (a wall behind the fence that a gate lies in, or a fence behind its wall, is told, unless the gate lies on it, within its width_m); one shorter than the machine, or with a width_m below its, opens nothing, nor does one longer than opening_max_m, which is told: those of one kind that meet at their ends count as one, and so do those that come within 0.3 m of one another and reach farther together. An edge with width_m is measured from the side of its strip. A kerb with a height_m of more than 0.5 m is told: it is a wall, or a drop. A millimetre is rounding. " +
			"The report also gives, zone by zone, the length along hard edges of the outline of the mown ground, round keep-outs too, and the strip left uncut there: outline that runs within twice the strip of a hard edge and within 45 degrees of its direction counts.",
		Why:    "Drawn too near to a wall, the machine scrapes along it or stops at every touch; drawn too near to a drop, it goes over. What stays uncut has to be trimmed by hand, and the client should know how much that is.",
		Source: sourcePractice,
		Fails:  "a zone drawn 0.05 m from a wall, limit 0.15 m",
		Passes: "the same zone drawn 0.15 m from it, or along a flush edge",
		Mend:   "move the outline off the edge, or say that the edge is flush if it is",
	},
}}

// highestKerbM is the highest kerb that is taken for one (starting value from
// memory).
const highestKerbM = 0.5

// edgeKind returns the kind of an edge, "" when it says none or an unknown one.
func edgeKind(f *Feature) string {
	kind := strings.ToLower(strings.TrimSpace(f.Attributes.Get(schema.PropEdgeKind).Text()))
	switch kind {
	case schema.EdgeWall, schema.EdgeKerb, schema.EdgeFlush, schema.EdgeDrop, schema.EdgeFence, schema.EdgeRamp, schema.EdgeGate:
		return kind
	}
	return ""
}

// isDrivenOver reports whether a machine may drive over an edge of the kind.
func isDrivenOver(kind string) bool {
	return kind == schema.EdgeFlush || isCrossing(kind)
}

// isCrossing reports whether an edge of the kind declares that a kerb, wall,
// fence, drop or road is crossed there.
func isCrossing(kind string) bool { return kind == schema.EdgeRamp || kind == schema.EdgeGate }

// opens reports whether an edge of the one kind opens one of the other: a gate
// leads through what stands, a ramp over a step.
func opens(kind, edge string) bool {
	switch edge {
	case schema.EdgeWall, schema.EdgeFence:
		return kind == schema.EdgeGate
	case schema.EdgeKerb, schema.EdgeDrop:
		return kind == schema.EdgeRamp
	}
	return false
}

// crossingM is how far, in metres, a ramp or gate may be drawn beside the edge
// that it opens, or beside the corridor that it leads over a road.
const crossingM = 0.3

// opening is a stretch of a ramp or gate.
type opening struct {
	f    *Feature // nil where only its area is asked for
	kind string
	a, b orb.Point
	// long is set for one of a line longer than opening_max_m, which opens no
	// edge.
	long bool
	// reach is how far its middle may be from an edge that it opens.
	reach float64
	// gate is the same for the leaves of one gate or ramp, which come within
	// crossingM of one another.
	gate int
}

// area is what a stretch opens: a rectangle about it, crossingM and so much more
// to either side, and no longer than it is.
func (o *opening) area(more float64) orb.Polygon {
	a, b := o.a, o.b
	d := distance(a, b) / (crossingM + more)
	n := orb.Point{-(b[1] - a[1]) / d, (b[0] - a[0]) / d}
	return orb.Polygon{{
		{a[0] - n[0], a[1] - n[1]}, {b[0] - n[0], b[1] - n[1]}, {b[0] + n[0], b[1] + n[1]}, {a[0] + n[0], a[1] + n[1]}, {a[0] - n[0], a[1] - n[1]},
	}}
}

// openings are those of all ramps and gates, less the lines too short for the
// machine.
func (r *run) openings() []opening {
	if r.openingsKnown {
		return r.openingSet
	}
	r.openingsKnown = true
	for _, f := range r.Of(schema.RoleEdge) {
		if f.usable() && isCrossing(edgeKind(f)) && len(f.lines()) > 0 {
			r.crossings = append(r.crossings, declared{f: f, kind: edgeKind(f), ends: lineEnds(f)})
		}
	}
	for n := range r.crossings {
		c := &r.crossings[n]
		f, kind := c.f, c.kind
		c.length = r.openingLength(c)
		long := c.length > r.of(f).OpeningMaxM+slackM
		if way, ok := f.Float(schema.PropWidth); ok && way < r.of(f).MachineWidthM-slackM {
			continue
		}
		for _, l := range f.lines() {
			box := l.Bound()
			if distance(box.Min, box.Max) < r.of(f).MachineWidthM-slackM {
				continue
			}
			l = r.asWide(f, kind, l)
			for i := 1; i < len(l); i++ {
				if l[i-1] != l[i] {
					o := opening{f: f, kind: kind, a: l[i-1], b: l[i], long: long}
					o.reach = r.nearestOpened(&o) + besideM
					r.openingSet = append(r.openingSet, o)
				}
			}
		}
	}
	leaves := newSets(len(r.openingSet))
	for i := range r.openingSet {
		o := &r.openingSet[i]
		box := segmentBox(o.a, o.b).Pad(crossingM)
		for k := range r.openingSet[:i] {
			if g := &r.openingSet[k]; g.kind == o.kind && box.Intersects(segmentBox(g.a, g.b)) {
				if p, q := nearestPair(o.a, o.b, g.a, g.b); distance(p, q) <= crossingM {
					leaves.join(i, k)
				}
			}
		}
	}
	for i := range r.openingSet {
		r.openingSet[i].gate = leaves.root(i)
	}
	return r.openingSet
}

// asWide is the line of a ramp or gate, no longer about its middle than the
// feature says it is wide, where it runs along an edge that it opens.
func (r *run) asWide(f *Feature, kind string, l orb.LineString) orb.LineString {
	wide, ok := f.Float(schema.PropWidth)
	length := groundLength(l)
	if !ok || !(wide > 0) || wide >= length-slackM || l[0] == l[len(l)-1] {
		return l
	}
	along := slices.ContainsFunc(r.Of(schema.RoleEdge), func(g *Feature) bool {
		if !g.usable() || !opens(kind, edgeKind(g)) {
			return false
		}
		off := func(p orb.Point) float64 { return g.middleOff(&opening{a: p, b: p}) }
		return off(l[0]) <= crossingM && off(l[len(l)-1]) <= crossingM
	})
	if !along {
		return l
	}
	return stretchOf(l, (length-wide)/2, (length+wide)/2)
}

// stretchOf is the part of a line from one length along it to another.
func stretchOf(l orb.LineString, from, to float64) orb.LineString {
	var out orb.LineString
	at := 0.0
	for i := 1; i < len(l); i++ {
		d := distance(l[i-1], l[i])
		if d == 0 {
			continue
		}
		a, b := math.Max(from, at), math.Min(to, at+d)
		if a < b {
			place := func(s float64) orb.Point {
				t := (s - at) / d
				return orb.Point{l[i-1][0] + t*(l[i][0]-l[i-1][0]), l[i-1][1] + t*(l[i][1]-l[i-1][1])}
			}
			if len(out) == 0 {
				out = append(out, place(a))
			}
			out = append(out, place(b))
		}
		at += d
	}
	return out
}

// besideM is how much farther than the nearest, in metres, another edge may run
// that the same gate or ramp opens: a wall along its kerb. One that is drawn
// apart is not opened by the gate of the other.
const besideM = 0.05

// nearestOpened is how far the middle of an opening is from the nearest edge
// that its kind opens.
func (r *run) nearestOpened(o *opening) float64 {
	near := math.Inf(1)
	for _, f := range r.Of(schema.RoleEdge) {
		if f.usable() && opens(o.kind, edgeKind(f)) {
			near = math.Min(near, f.middleOff(o))
		}
	}
	return near
}

// middleOff is how far the middle of an opening is from the feature's lines.
func (f *Feature) middleOff(o *opening) float64 {
	middle := orb.Point{(o.a[0] + o.b[0]) / 2, (o.a[1] + o.b[1]) / 2}
	near := math.Inf(1)
	for _, l := range f.lines() {
		for i := 1; i < len(l); i++ {
			near = math.Min(near, distanceToSegment(middle, l[i-1], l[i]))
		}
	}
	return near
}

// declared is a ramp or gate with the ends of its lines and its length.
type declared struct {
	f      *Feature
	kind   string
	ends   []orb.Point
	length float64
}

// openingLength is how long a ramp or gate is in metres: that of its lines, half
// of one that closes, and that of all others of its kind that begin within
// crossingM of its ends, as far as it takes to be too long; and no less than what
// it spans with all others of its kind that come as near to it anywhere.
func (r *run) openingLength(c *declared) float64 {
	length, limit := openingLength(c.f), r.of(c.f).OpeningMaxM+slackM
	if length = math.Max(length, r.openingSpan(c)); length > limit {
		return length
	}
	ends := c.ends
	done := map[*Feature]bool{c.f: true}
	for again := true; again && length <= limit; {
		again = false
		for i := range r.crossings {
			g := &r.crossings[i]
			if done[g.f] || g.kind != c.kind || !meetAtEnds(ends, g.ends) {
				continue
			}
			done[g.f], again = true, true
			length += openingLength(g.f)
			ends = append(ends[:len(ends):len(ends)], g.ends...)
		}
	}
	return length
}

// openingSpan is the greatest distance between two points of a ramp or gate and
// of those of its kind that lie within crossingM of it, or of one another.
func (r *run) openingSpan(c *declared) float64 {
	points := func(f *Feature) (out []orb.Point) {
		for _, l := range f.lines() {
			out = append(out, l...)
		}
		return out
	}
	near := func(a, b *Feature) bool {
		if !a.bound.Pad(crossingM).Intersects(b.bound) {
			return false
		}
		for _, l := range a.lines() {
			for _, m := range b.lines() {
				if _, _, _, ok := plane.NewGauge(l).Within(plane.NewGauge(m), crossingM); ok {
					return true
				}
			}
		}
		return false
	}
	group := []*Feature{c.f}
	for i := 0; i < len(group); i++ {
		for k := range r.crossings {
			if g := &r.crossings[k]; g.kind == c.kind && !slices.Contains(group, g.f) && near(group[i], g.f) {
				group = append(group, g.f)
			}
		}
	}
	if len(group) == 1 {
		return 0 // its own lines are measured along
	}
	var all []orb.Point
	for _, f := range group {
		all = append(all, points(f)...)
	}
	box := boundOf(all)
	limit := r.of(c.f).OpeningMaxM
	if distance(box.Min, box.Max) <= limit {
		return 0
	}
	span := 0.0
	for i, p := range all {
		for _, q := range all[i+1:] {
			span = math.Max(span, distance(p, q))
		}
	}
	return span
}

func meetAtEnds(a, b []orb.Point) bool {
	for _, p := range a {
		for _, q := range b {
			if distance(p, q) <= crossingM {
				return true
			}
		}
	}
	return false
}

// openingLength is the length of the longest line of a feature, half of one that
// closes.
func openingLength(f *Feature) float64 {
	most := 0.0
	for _, l := range f.lines() {
		length := groundLength(l)
		if l[0] == l[len(l)-1] {
			length /= 2 // there and back
		}
		most = math.Max(most, length)
	}
	return most
}

func lineEnds(f *Feature) []orb.Point {
	var out []orb.Point
	for _, l := range f.lines() {
		out = append(out, l[0], l[len(l)-1])
	}
	return out
}

// opened returns the ground within which ramps or gates open an edge that is so
// wide in metres to either side. A drop is opened only about the places where a
// corridor, or the way into a dock, goes over it.
func (r *run) opened(f *Feature, wide float64) orb.MultiPolygon {
	return r.openedTo(f, wide, nil)
}

// openedTo is opened for one that goes along the ways alone, nil for all: to it
// only the gates and ramps are open that it goes through.
func (r *run) openedTo(f *Feature, wide float64, ways []orb.LineString) orb.MultiPolygon {
	var open orb.MultiPolygon
	var by []*opening
	kind := edgeKind(f)
	for i := range r.openings() {
		o := &r.openingSet[i]
		if o.long || !opens(o.kind, kind) {
			continue
		}
		area := o.area(wide)
		if !area.Bound().Intersects(f.bound.Pad(wide)) || f.middleOff(o) > o.reach {
			continue
		}
		if kind != schema.EdgeDrop {
			open, by = append(open, area), append(by, o)
			continue
		}
		through := ways
		if through == nil {
			through = r.allWays()
		}
		for _, at := range goesOver(f.lines(), area, through) {
			disc, err := plane.Buffer(at, r.of(f).PassageMinM+wide, chordM)
			if err != nil {
				continue
			}
			if part, ok := r.intersection(orb.MultiPolygon{area}, disc); ok {
				open = append(open, part...)
			}
		}
	}
	if ways == nil || len(by) == 0 {
		return open
	}
	own := f.lines()
	passed := func(gate int) bool {
		for i := range r.openingSet {
			o := &r.openingSet[i]
			if o.gate == gate && len(goesOver(append(own[:len(own):len(own)], orb.LineString{o.a, o.b}), o.area(wide), ways)) > 0 {
				return true
			}
		}
		return false
	}
	out := open[:0]
	for i, o := range by {
		if passed(o.gate) {
			out = append(out, open[i])
		}
	}
	return out
}

// allWays are the lines of the corridors and the straight ways into docks.
func (r *run) allWays() []orb.LineString {
	var out []orb.LineString
	for i := range r.corridors() {
		out = append(out, r.corridorList[i].pts)
	}
	for _, d := range r.docks() {
		if !math.IsNaN(d.heading) {
			out = append(out, orb.LineString{d.lineup, d.at})
		}
	}
	return out
}

// goesOver returns the places within an area where ways go over lines.
func goesOver(lines []orb.LineString, area orb.Polygon, ways []orb.LineString) []orb.Point {
	var out []orb.Point
	box := area.Bound()
	for _, way := range ways {
		for i := 1; i < len(way); i++ {
			if !segmentBox(way[i-1], way[i]).Intersects(box) {
				continue
			}
			for _, l := range lines {
				for k := 1; k < len(l); k++ {
					if x := plane.Cross(way[i-1], way[i], l[k-1], l[k]); (x.Kind == plane.CrossProper || x.Kind == plane.CrossTouch) && plane.Locate(x.P, area) != plane.Outside {
						out = append(out, x.P)
					}
				}
			}
		}
	}
	return out
}

// barrier returns the lines of an edge, less where a ramp or a gate opens it.
func (r *run) barrier(f *Feature) []orb.LineString { return without(f.lines(), r.opened(f, 0)) }

// without returns lines less what of them lies in an area.
func without(lines []orb.LineString, open orb.MultiPolygon) []orb.LineString {
	if len(open) == 0 {
		return lines
	}
	var out []orb.LineString
	for _, l := range lines {
		out = append(out, clipOutside(l, open)...)
	}
	return out
}

func isHardEdge(kind string) bool {
	return kind == schema.EdgeWall || kind == schema.EdgeKerb || kind == schema.EdgeFence
}

// lines returns the feature's lines on the ground, rings among them.
func (f *Feature) lines() []orb.LineString {
	var out []orb.LineString
	for i := range f.Lines {
		if len(f.Lines[i].Ground) > 1 {
			out = append(out, f.Lines[i].Ground)
		}
	}
	for i := range f.Areas {
		for _, ring := range f.Areas[i].Ground {
			if len(ring) < 2 {
				continue
			}
			line := orb.LineString(ring)
			if ring[0] != ring[len(ring)-1] {
				line = append(append(orb.LineString(nil), ring...), ring[0])
			}
			out = append(out, line)
		}
	}
	return out
}

func checkEdgeSetback(r *run) {
	if !r.onGround() {
		return
	}
	edges := r.need(schema.RoleEdge)
	if len(edges) == 0 {
		return
	}
	zones := r.needZones()
	r.longOpenings()
	r.openedBehind()
	for _, f := range edges {
		kind := edgeKind(f)
		lines := r.barrier(f)
		if kind == schema.EdgeDrop {
			lines = f.lines() // a ramp is for a corridor, not for mowing to and fro
		}
		wide := f.growth()
		switch {
		case kind == "":
			r.cannot("%s does not say what kind of edge it is", f.describe())
			continue
		case len(f.lines()) == 0:
			r.cannot("%s has no line of two points", f.describe())
			continue
		case isDrivenOver(kind) || len(lines) == 0:
			continue
		}
		if height, ok := f.Float(schema.PropHeightM); ok && kind == schema.EdgeKerb && height > highestKerbM {
			x := r.finding(r.middle(f), f)
			x.Measured, x.Limit, x.Unit = height, highestKerbM, "m"
			x.Message = fmt.Sprintf("is a kerb %s high; no kerb is higher than %s: make it a wall, or a drop where the ground falls away behind it", metresPast(height, highestKerbM), metres(highestKerbM))
		}
		need, severity := r.of(f).HardEdgeStripM, r.rule.Severity
		if kind == schema.EdgeDrop {
			need, _ = r.of(f).HazardMargin("drop")
			severity = Error
		}
		var gauge *plane.Gauge
		for _, i := range zones.near(f.bound.Pad(need + wide)) {
			z := zones.features[i]
			n := r.netOf(i)
			if len(n.areas) == 0 {
				continue
			}
			if gauge == nil {
				gauge = plane.NewGauge(orb.MultiLineString(lines))
			}
			d, p, q, near := n.within(gauge, need+wide)
			if d = math.Max(0, d-wide); !near || d >= need-slackM {
				continue
			}
			if !n.ok { // a keep-out may cover the edge
				r.cannot("what keep-outs leave of %s cannot be told", z.describe())
				continue
			}
			x := r.finding(r.Place(q), z, f)
			x.Severity = severity
			x.Measured, x.Limit, x.Unit = d, need, "m"
			x.Trace = r.trace(p, q)
			if strip, ok := r.buffer(orb.MultiLineString(lines), need+wide); ok {
				if near, ok := r.intersection(strip, n.areas); ok {
					x.AreaM2 = plane.Area(near)
				}
			}
			inside, deep := 0.0, 0.0
			for _, l := range lines {
				for _, piece := range clipInside(l, n.areas) {
					inside += groundLength(piece)
				}
				_, depth := insideDepth(l, n.areas)
				deep = math.Max(deep, depth)
			}
			if inside > slackM {
				if deep > slackM && kind != schema.EdgeKerb {
					x.Severity = Error
				}
				x.Message = fmt.Sprintf("the %s runs through it for %s", kindWords(kind, f), metres(inside))
				continue
			}
			if d == 0 && wide > slackM && kind != schema.EdgeKerb {
				x.Severity = Error
				x.Message = fmt.Sprintf("the %s, %s wide, reaches into it", kindWords(kind, f), metres(2*wide))
				continue
			}
			x.Message = fmt.Sprintf("comes within %s of the %s; it needs %s", metresPast(d, need), kindWords(kind, f), metres(need))
		}
	}
}

func kindWords(kind string, f *Feature) string {
	if f.Name == "" && f.ID.Text() == "" {
		return kind
	}
	return kind + " " + quote(f.Label())
}

// hardEdges are the walls, kerbs and fences with the box that each reaches:
// twice its strip.
type hardEdges struct {
	features []*Feature
	boxes    *plane.Boxes
}

func (r *run) hardEdges() *hardEdges {
	if r.hardEdgeSet == nil {
		h := &hardEdges{}
		var boxes []orb.Bound
		for _, f := range r.Of(schema.RoleEdge) {
			if f.usable() && isHardEdge(edgeKind(f)) {
				h.features = append(h.features, f)
				boxes = append(boxes, f.bound.Pad(2*r.of(f).HardEdgeStripM))
			}
		}
		h.boxes = plane.NewBoxes(boxes)
		r.hardEdgeSet = h
	}
	return r.hardEdgeSet
}

// alongHardEdges returns the length along hard edges of the outline of what
// keep-outs leave of the i-th zone, and the area of the strip left uncut there:
// that length times the strip.
func (r *run) alongHardEdges(i int) (lengthM, uncutM2 float64) {
	type side struct {
		a, b  orb.Point
		strip float64
	}
	var sides []side
	edges := r.hardEdges()
	for _, n := range edges.boxes.Search(r.zones().bounds[i], nil) {
		f := edges.features[n]
		strip := r.of(f).HardEdgeStripM
		for _, l := range f.lines() {
			for k := 1; k < len(l); k++ {
				sides = append(sides, side{l[k-1], l[k], strip})
			}
		}
	}
	if len(sides) == 0 {
		return 0, 0
	}
	boxes := make([]orb.Bound, len(sides))
	for k, s := range sides {
		boxes[k] = orb.LineString{s.a, s.b}.Bound().Pad(2 * s.strip)
	}
	index := plane.NewBoxes(boxes)
	var near []int
	var cover []stretch
	mown := r.zones().areas[i]
	if n := r.netOf(i); n.ok {
		mown = n.areas
	}
	for _, p := range mown {
		for _, ring := range p {
			for k := 1; k < len(ring); k++ {
				cover = cover[:0]
				near = index.Search(orb.LineString{ring[k-1], ring[k]}.Bound(), near[:0])
				for _, n := range near {
					s := sides[n]
					if w, ok := alongside(ring[k-1], ring[k], s.a, s.b, 2*s.strip); ok {
						w.strip = s.strip
						cover = append(cover, w)
					}
				}
				length := distance(ring[k-1], ring[k])
				sort.Slice(cover, func(a, b int) bool { return cover[a].from < cover[b].from })
				at := 0.0
				for _, w := range cover {
					if w.to <= at {
						continue
					}
					run := (w.to - math.Max(at, w.from)) * length
					lengthM += run
					uncutM2 += run * w.strip
					at = w.to
				}
			}
		}
	}
	return lengthM, uncutM2
}

// stretch is a part of a segment, from and to counting 0 to 1 along it.
type stretch struct{ from, to, strip float64 }

// alongside returns the part of the segment ab that runs beside the segment cd:
// within 45 degrees of its direction, at most reach away from its line, and not
// past its ends.
func alongside(a, b, c, d orb.Point, reach float64) (stretch, bool) {
	ab, cd := distance(a, b), distance(c, d)
	if ab == 0 || cd == 0 {
		return stretch{}, false
	}
	u := orb.Point{(d[0] - c[0]) / cd, (d[1] - c[1]) / cd}
	along := func(p orb.Point) float64 { return (p[0]-c[0])*u[0] + (p[1]-c[1])*u[1] }
	across := func(p orb.Point) float64 { return (p[1]-c[1])*u[0] - (p[0]-c[0])*u[1] }
	if math.Abs(along(b)-along(a)) < ab*math.Sqrt2/2 {
		return stretch{}, false
	}
	out := stretch{from: 0, to: 1}
	// Each bound is linear along ab: cut to where lo <= f(t) <= hi.
	cut := func(f0, f1, lo, hi float64) {
		if f0 == f1 {
			if f0 < lo || f0 > hi {
				out.to = -1
			}
			return
		}
		s, t := (lo-f0)/(f1-f0), (hi-f0)/(f1-f0)
		if s > t {
			s, t = t, s
		}
		out.from, out.to = math.Max(out.from, s), math.Min(out.to, t)
	}
	cut(along(a), along(b), 0, cd)
	cut(across(a), across(b), -reach, reach)
	return out, out.to > out.from
}
