// Roads, railways, waters and drops that stop before driven ground and go on
// behind it, of the rule hazard-uncovered.

package validate

import (
	"math"
	"slices"
	"strings"

	"github.com/paulmach/orb"

	"swardline/schema"
	"swardline/validate/plane"
)

// Which two ends of hazards are taken for one that goes on (common practice, no
// source).
const (
	// gapBareM is how much of the way from end to end, in metres, may lie outside lawns:
	// what stops farther from a lawn may well end there.
	gapBareM = 10.0
	// gapTurn is how far out of line each end may lie from the other one's way, as a
	// share of their distance (15 degrees), beside half the width.
	gapTurn = 0.27
	// gapWider is how many times wider one may be than the other.
	gapWider = 2.5
	// endLeastM is how far back from an end its way is taken at least, and endMostM
	// the widest end.
	endLeastM = 1.5
	endMostM  = 30.0
	// endFree is how near to another hazard of the kind an end joins it.
	endFree = 0.5
	// endVertices is the most corners of one end.
	endVertices = 48
)

// Words of what leads water, a road or a railway under driven ground, or a machine
// over it, beside bridgeWords; and of an end.
var (
	culvertWords = strings.Fields("culvert pipe piped drain durchlass verrohrung rohr damm dam dyke ponceau buse digue alcantarilla dique duiker tombino kulvert kulverti rør trumma rumpu subway")
	deadEndWords = strings.Fields("deadend culdesac sackgasse stichweg wendehammer impasse callejón doodlopend vicolocieco blindvei blindvej återvändsgata umpikuja turning wendeplatz")
)

// hazardEnd is one end of a long hazard.
type hazardEnd struct {
	f           *Feature
	at, way     orb.Point // its middle, and the unit vector on which the hazard would go on
	left, right orb.Point
	wide        float64 // 0 for a line that says no width
}

// longKind is what hazards have in common that may be one, "" for those that are
// not long.
func longKind(f *Feature) string {
	k := kindsOf(f)
	if !k.grave() || k.gravest == "road" && !isBorder(f) {
		return ""
	}
	words := letterWords(k.text)
	for i, w := range words {
		if slices.Contains(wallWords, w) || slices.ContainsFunc(poolWords, func(end string) bool { return strings.HasSuffix(strings.TrimSuffix(w, "s"), end) }) {
			return ""
		}
		if slices.Contains(deadEndWords, w) || i > 0 && slices.Contains(deadEndWords, words[i-1]+w) {
			return ""
		}
	}
	if saysAny(f.Name, deadEndWords) {
		return ""
	}
	switch {
	case k.gravest == "road" && isRailway(f):
		return "railway"
	case k.gravest != "":
		return k.gravest
	}
	return "?" + schema.FoldName(k.text)
}

// saysAny reports whether one word of a text, or two or three together, is one of
// words.
func saysAny(text string, words []string) bool {
	list := letterWords(text)
	for i, w := range list {
		for n := range 3 {
			if n > 0 {
				if i+n >= len(list) {
					break
				}
				w += list[i+n]
			}
			if hasWord(words, w) {
				return true
			}
		}
	}
	return false
}

// gaps records hazards of one kind of which an end points at the end of another, and
// that one back, with driven ground between and nothing that says how they end.
func (r *run) gaps(hazards []*Feature, zones *solids, corridors []corridorLine) {
	var ends map[string][]hazardEnd
	for _, f := range hazards {
		if len(f.Lines)+len(f.Areas) == 0 {
			continue
		}
		kind := longKind(f)
		if kind == "" {
			continue
		}
		if ends == nil {
			ends = map[string][]hazardEnd{}
		}
		ends[kind] = r.appendEnds(ends[kind], f, zones, corridors)
	}
	told := map[[2]*Feature]bool{}
	for _, f := range hazards { // in the order of the plan
		kind := longKind(f)
		if len(ends[kind]) < 2 {
			continue
		}
		list := ends[kind]
		delete(ends, kind)
		for i := range list {
			for k := range i {
				a, b := &list[k], &list[i]
				if told[[2]*Feature{a.f, b.f}] || !a.pointsAt(b) || !b.pointsAt(a) || a.way[0]*b.way[0]+a.way[1]*b.way[1] > -0.8 {
					continue
				}
				if a.wide > 0 && b.wide > 0 && (a.wide > gapWider*b.wide || b.wide > gapWider*a.wide) {
					continue
				}
				of := r.gapDriven(a, b, zones, corridors)
				if of == nil || r.endsThere(a, b, kind, of) || !r.free(a, hazards, kind) || !r.free(b, hazards, kind) {
					continue
				}
				told[[2]*Feature{a.f, b.f}] = true
				r.tellGap(a, b, of, kind)
			}
		}
	}
}

func (r *run) tellGap(a, b *hazardEnd, of *Feature, kind string) {
	who := a.f.describe() + " ends before %s, and " + b.f.describe() + " goes on in line with it"
	if a.f == b.f {
		who = a.f.describe() + " ends before %s, and goes on in line with it"
	}
	mend := "draw it through; a way over it as a culvert, bridge or tunnel of the role other with \"driven_over\": true; or, where it ends, what it ends at: a wall, a fence or a building"
	if kind == "drop" {
		mend = "draw it through, or the ramp that leads over it"
	}
	r.cannot(who+" %s farther on: whether it runs on under the machine cannot be told; %s", of.describe(), metres(distance(a.at, b.at)), mend)
}

// pointsAt reports whether another end lies where the hazard would go on.
func (e *hazardEnd) pointsAt(o *hazardEnd) bool {
	dx, dy := o.at[0]-e.at[0], o.at[1]-e.at[1]
	along, off := dx*e.way[0]+dy*e.way[1], math.Abs(dx*e.way[1]-dy*e.way[0])
	return along > slackM && off <= gapTurn*along+math.Max(e.wide/2, endFree)
}

// gapDriven is what is driven between two ends: a zone, a corridor or a dock; nil
// for nothing, or where more than gapBareM of the way is not.
func (r *run) gapDriven(a, b *hazardEnd, zones *solids, corridors []corridorLine) *Feature {
	margin := math.Max(r.hazardMargin(a.f), r.hazardMargin(b.f))
	middle := orb.LineString{a.at, b.at}
	var g orb.Geometry = middle
	if a.wide > 0 && b.wide > 0 {
		g = orb.MultiLineString{middle, {a.left, b.right}, {a.right, b.left}}
	}
	bare := distance(a.at, b.at)
	d, of := r.drivenWithin(g, margin, zones, corridors)
	if d >= margin-slackM {
		of = nil
	}
	box := segmentBox(a.at, b.at)
	for _, z := range zones.near(box) {
		for _, part := range clipInside(middle, zones.areas[z]) {
			bare -= groundLength(part)
		}
	}
	gauge := plane.NewGauge(g)
	for _, spot := range r.docks() {
		if math.IsNaN(spot.heading) || !segmentBox(spot.at, spot.lineup).Pad(margin+r.halfWidth(spot.f)).Intersects(g.Bound()) {
			continue
		}
		reach := margin + r.halfWidth(spot.f)
		if d, _, _, ok := gauge.Within(plane.NewGauge(orb.LineString{spot.at, spot.lineup}), reach); ok && d < reach-slackM {
			of = spot.f
		}
	}
	if of == nil || bare > gapBareM {
		return nil
	}
	return of
}

// free reports whether an end joins no other hazard of its kind.
func (r *run) free(e *hazardEnd, hazards []*Feature, kind string) bool {
	for _, f := range hazards {
		if f == e.f || !f.usable() || !f.bound.Pad(f.growth()+endFree).Contains(e.at) || longKind(f) != kind {
			continue
		}
		h := r.hazardShape(f)
		if d, _ := h.distance(e.at); h.why == "" && d <= endFree {
			return false
		}
	}
	return true
}

// endsThere reports whether something between two ends says that the hazard ends or
// how it is led on: a wall, fence or building for what does not run on through one;
// for a drop a ramp or gate; a bridge or culvert that is driven over.
func (r *run) endsThere(a, b *hazardEnd, kind string, of *Feature) bool {
	box := segmentBox(a.at, b.at)
	crosses := func(f *Feature) bool {
		if !f.usable() || !f.bound.Pad(endFree).Intersects(box) {
			return false
		}
		for _, l := range f.lines() {
			for i := 1; i < len(l); i++ {
				if plane.Cross(a.at, b.at, l[i-1], l[i]).Kind != plane.CrossNone {
					return true
				}
			}
		}
		for i := range f.Areas {
			if area := (orb.MultiPolygon{f.Areas[i].Ground}); len(clipInside(orb.LineString{a.at, b.at}, area)) > 0 {
				return true
			}
		}
		return false
	}
	for _, f := range r.Of(schema.RoleEdge) {
		switch edgeKind(f) {
		case schema.EdgeWall, schema.EdgeFence:
			if crosses(f) {
				return true
			}
		case schema.EdgeRamp, schema.EdgeGate:
			if kind == "drop" && (crosses(f) || f.usable() && f.bound.Pad(endFree).Intersects(box)) {
				return true
			}
		}
	}
	for _, f := range r.Of(schema.RoleBuilding) {
		if crosses(f) {
			return true
		}
	}
	for _, f := range r.Of(schema.RoleOther) {
		if over, _ := f.Attributes.Get(schema.PropDrivenOver).Truth(); over && (saysAny(f.Name, bridgeWords) || saysAny(f.Name, culvertWords)) && crosses(f) {
			return true
		}
	}
	return of.Role == schema.RoleCorridor && (saysAny(of.Name, bridgeWords) || saysAny(of.Name, culvertWords))
}

// appendEnds adds the ends of a hazard that lie within reach of driven ground.
func (r *run) appendEnds(out []hazardEnd, f *Feature, zones *solids, corridors []corridorLine) []hazardEnd {
	near := func(p orb.Point) bool {
		box := p.Bound().Pad(gapBareM)
		if len(zones.near(box)) > 0 {
			return true
		}
		for i := range corridors {
			if boundOf(corridors[i].pts).Intersects(box) {
				return true
			}
		}
		return slices.ContainsFunc(r.docks(), func(d dockSpot) bool { return box.Contains(d.at) })
	}
	if !near(f.bound.Center()) {
		box := f.bound.Pad(gapBareM)
		any := len(zones.near(box)) > 0
		for i := 0; i < len(corridors) && !any; i++ {
			any = boundOf(corridors[i].pts).Intersects(box)
		}
		if !any && !slices.ContainsFunc(r.docks(), func(d dockSpot) bool { return box.Contains(d.at) }) {
			return out
		}
	}
	half := f.growth()
	for _, l := range f.lines() {
		n := len(l)
		if n < 2 || distance(l[0], l[n-1]) <= slackM {
			continue
		}
		for _, last := range [...]bool{false, true} {
			at := l[0]
			if last {
				at = l[n-1]
			}
			way, ok := unit(backAlong(l, last, math.Max(2*half, endLeastM)), at)
			if !ok || !near(at) {
				continue
			}
			// Its round end reaches half the width farther.
			at = orb.Point{at[0] + half*way[0], at[1] + half*way[1]}
			side := orb.Point{-half * way[1], half * way[0]}
			out = append(out, hazardEnd{f, at, way, orb.Point{at[0] + side[0], at[1] + side[1]}, orb.Point{at[0] - side[0], at[1] - side[1]}, 2 * half})
		}
	}
	for i := range f.Areas {
		if ring := f.Areas[i].Ground[0]; len(ring) > 3 {
			out = appendTips(out, f, ring, near)
		}
	}
	return out
}

// backAlong is the point so far along a line from its first or last one, or the
// other end.
func backAlong(l orb.LineString, last bool, far float64) orb.Point {
	n := len(l)
	at := func(i int) orb.Point {
		if last {
			return l[n-1-i]
		}
		return l[i]
	}
	for i := 1; i < n; i++ {
		d := distance(at(i-1), at(i))
		if d >= far && d > 0 {
			t := far / d
			p, q := at(i-1), at(i)
			return orb.Point{p[0] + t*(q[0]-p[0]), p[1] + t*(q[1]-p[1])}
		}
		far -= d
	}
	return at(n - 1)
}

// unit is the unit vector from one point to another; not ok where they are one.
func unit(from, to orb.Point) (orb.Point, bool) {
	d := distance(from, to)
	if d == 0 {
		return orb.Point{}, false
	}
	return orb.Point{(to[0] - from[0]) / d, (to[1] - from[1]) / d}, true
}

// appendTips adds the ends of an area that is a strip there: two of its corners with
// at most 1.7 times their distance of outline between them (a round end has 1.57),
// from both of which the sides run back alike for as far as they are apart.
func appendTips(out []hazardEnd, f *Feature, ring orb.Ring, near func(orb.Point) bool) []hazardEnd {
	pts := ring[:len(ring)-1]
	if ring.Orientation() == orb.CW {
		pts = slices.Clone(pts)
		slices.Reverse(pts)
	}
	n := len(pts)
	at := func(i int) orb.Point { return pts[((i%n)+n)%n] }
	// back is the way from a corner to the place so far along the outline.
	back := func(i, step int, far float64) (orb.Point, bool) {
		from, left := at(i), far
		for k := 0; k < n; k++ {
			p, q := at(i+step*k), at(i+step*(k+1))
			if d := distance(p, q); d >= left && d > 0 {
				t := left / d
				return unit(from, orb.Point{p[0] + t*(q[0]-p[0]), p[1] + t*(q[1]-p[1])})
			} else {
				left -= d
			}
		}
		return orb.Point{}, false
	}
	const most = -0.86 // back within 30 degrees of straight
	for i := range n {
		round := 0.0
		for j := i + 1; j <= i+min(endVertices, n-2); j++ {
			round += distance(at(j-1), at(j))
			if round > 1.7*endMostM {
				break
			}
			a, b := at(i), at(j)
			wide := distance(a, b)
			if wide == 0 || wide > endMostM || round > 1.7*wide {
				continue
			}
			way := orb.Point{(b[1] - a[1]) / wide, -(b[0] - a[0]) / wide}
			u, ok := unit(a, at(i-1))
			if !ok || u[0]*way[0]+u[1]*way[1] > -0.5 {
				continue
			}
			if u, ok = unit(b, at(j+1)); !ok || u[0]*way[0]+u[1]*way[1] > -0.5 {
				continue
			}
			far := math.Max(wide, endLeastM)
			if u, ok = back(i, -1, far); !ok || u[0]*way[0]+u[1]*way[1] > most {
				continue
			}
			if u, ok = back(j, 1, far); !ok || u[0]*way[0]+u[1]*way[1] > most {
				continue
			}
			middle := orb.Point{(a[0] + b[0]) / 2, (a[1] + b[1]) / 2}
			if !near(middle) {
				continue
			}
			out = append(out, hazardEnd{f, middle, way, b, a, wide})
		}
	}
	return out
}
