// Ramps and gates: where they open edges, and to whom.

package validate

import (
	"math"
	"slices"

	"github.com/paulmach/orb"

	"swardline/schema"
	"swardline/validate/plane"
)

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
	if !r.openAlong(kind, l[0], l[len(l)-1]) {
		return l
	}
	return stretchOf(l, (length-wide)/2, (length+wide)/2)
}

// openAlong reports whether places all lie at one edge that a ramp or gate opens.
func (r *run) openAlong(kind string, places ...orb.Point) bool {
	return slices.ContainsFunc(r.Of(schema.RoleEdge), func(g *Feature) bool {
		if !g.usable() || !opens(kind, edgeKind(g)) {
			return false
		}
		return !slices.ContainsFunc(places, func(p orb.Point) bool { return g.middleOff(&opening{a: p, b: p}) > crossingM })
	})
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

func (o *opening) middle() orb.Point { return orb.Point{(o.a[0] + o.b[0]) / 2, (o.a[1] + o.b[1]) / 2} }

// nearestTo is the place on the feature's lines nearest to a point.
func (f *Feature) nearestTo(p orb.Point) (at orb.Point) {
	near := math.Inf(1)
	for _, l := range f.lines() {
		for i := 1; i < len(l); i++ {
			if q := nearestOn(p, l[i-1], l[i]); distance(p, q) < near {
				at, near = q, distance(p, q)
			}
		}
	}
	return at
}

// middleOff is how far the middle of an opening is from the feature's lines.
func (f *Feature) middleOff(o *opening) float64 {
	middle := o.middle()
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

// openingGroup is a ramp or gate with those of its kind that lie within crossingM
// of it, or of one another.
func (r *run) openingGroup(c *declared) []*Feature {
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
	return group
}

// openingSpan is the greatest distance between two points of the group of a ramp
// or gate, 0 where that is no more than opening_max_m or it is alone.
func (r *run) openingSpan(c *declared) float64 {
	group := r.openingGroup(c)
	if len(group) == 1 {
		return 0 // its own lines are measured along
	}
	all := pointsOf(group)
	box := boundOf(all)
	limit := r.of(c.f).OpeningMaxM
	if distance(box.Min, box.Max) <= limit {
		return 0
	}
	a, b := farthestPair(all)
	return distance(a, b)
}

// pointsOf are all points of the lines of features.
func pointsOf(features []*Feature) (out []orb.Point) {
	for _, f := range features {
		for _, l := range f.lines() {
			out = append(out, l...)
		}
	}
	return out
}

// farthestPair are the two points farthest apart.
func farthestPair(all []orb.Point) (a, b orb.Point) {
	span := -1.0
	for i, p := range all {
		for _, q := range all[i:] {
			if d := distance(p, q); d > span {
				a, b, span = p, q, d
			}
		}
	}
	return a, b
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
