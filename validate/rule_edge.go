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
	Name: RuleEdgeSetback, Severity: Warning, Limits: []string{"hard_edge_strip_m", "hazard_margin_m", "hazard_margin_drop_m", "machine_width_m", "opening_max_m", "step_max_m"}, Over: all(schema.RoleEdge), run: checkEdgeSetback,
	Page: Page{
		What: "The least distance on the ground between an edge and the mown ground of every zone. " +
			"A wall, kerb or fence needs the strip that the machine leaves uncut; " +
			"a drop needs the margin of a drop, and less is an error, as is a wall or fence that runs through the inside of a zone; a flush edge needs nothing, there the outline may lie on the hard surface, " +
			"nor does a wall or fence where an edge of the kind gate opens it, or a kerb where one of the kind ramp does. A ramp opens a drop too, but only where a corridor or the way into a dock goes over it, and no farther than passage_min_m from there: beside mown ground a drop stays a drop. " +
			"An edge with width_m is measured from the side of its strip. " +
			"A millimetre is rounding. " +
			"A wall or fence that closes round mown ground and is called a house, a barn, a garage or the like is unchecked. The report also gives, zone by zone, the length along hard edges of the outline of the mown ground, round keep-outs too, and the strip left uncut there: outline that runs within twice the strip of a hard edge and within 45 degrees of its direction counts.",
		Parts: []Part{
			{"Gates, ramps and other openings", "" +
				"An opening is as long as its line, or as its width_m about the middle of that where it runs along the edge and says less; it may be drawn up to 0.3 m beside the edge: of several it opens the nearest, and what runs no more than 0.05 m farther off (a wall behind the fence that a gate lies in, or a fence behind its wall, is told, unless the gate lies on it, within its width_m; so is a drop behind the kerb of a ramp, and a piece of wall or fence that lies with its whole length in a gate of another); one shorter than the machine, or with a width_m below its, opens nothing, nor does one longer than opening_max_m, which is told: those of one kind that meet at their ends count as one, and so do those that come within 0.3 m of one another and reach farther together. " +
				"Each end of a gate (of several leaves the two farthest apart) needs the strip of a wall, a warning where no wall or fence goes on that is told itself: a post stands there. " +
				"So does each end of a ramp that rises by more than step_max_m, or leads over so much: its side is a step there; one whose own heights rise so lies in such ground. " +
				"What lies between two edges more than 0.05 m apart and opens both is told."},
			{"Kerbs and walls that are more than a line", "" +
				"A kerb with a height_m of more than 0.5 m is told: it is a wall, or a drop. " +
				"A wall drawn as one line, without width_m, with mown ground on both sides less than 0.15 m farther off than its strip, is unchecked: it is thicker than a line; so is a flush edge in mown ground that is called a cable, a wire or a pipe, and a closed one round 0.25 m2 or more in mown ground, or under a way or the disc before a dock where less than half of what it goes round is mown, where neither another feature, nor its name (terrace, path, slabs), nor \"driven_over\": true says what lies within."},
			{"Ends of edges, and two side by side", "" +
				"Two drops, or two kerbs, that run side by side at most 25 m apart where they are of one name (left, right and numbers aside), 15 m where not (unless both say terrace), through the inside of a zone (half of either, or 5 m), mown between them, are unchecked where no ramp lies at them, and so is a drop, or a kerb named after a water or a pit, that runs round mown ground in the middle of a zone with a mouth less than half as wide as the line is long. " +
				"A drop whose end points at driven ground is unchecked as one of the role hazard is (hazard-uncovered): where another goes on behind it, in line or from another side of the lawn, and where it comes from outside a lawn, runs into it and ends less than 1.5 m before its mown ground, with no wall, fence, building, ramp or gate there (and a note, as there, where it ends up to 15 m before driven ground, or another goes on in line behind what is driven, up to 200 m from it, each up to 30 m before that, or 60 m where it is as long, or another points at the same ground from another side, each up to 40 m before it); two in line along a lawn too, at most 20 m apart, which they may come nearer to by 0.134 of up to 10 m of the gap between them; steps end by their nature. " +
				"Two open kerbs 3 to 15 m apart, at most 30 degrees from one another and each as long as they are apart, that end beside one another and point at driven ground, as a ditch does there, are a note: a street may go on in it; not where both are called after a path, a road, another hazard or an area with driven_over is drawn between, or the kerb goes on round the end; so they are up to 30 m before driven ground, or 60 m where they are as long, with a boundary between too, where two others go on in line behind it, up to 200 m farther on, and up to 40 m before it where two others point at it from another side."},
			{"Blades and walls across a lawn", "" +
				sayBlades + sayAcrossLawn},
		},
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
	r.edgeSides(edges, zones)
	r.edgeRounds(edges, zones)
	r.edgeGaps(edges, zones)
	r.wallsAcross(edges, zones)
	r.endsInMown(zones)
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
			r.flushEdge(f, kind, zones)
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
				if (deep > slackM || wide > slackM) && kind != schema.EdgeKerb {
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
		if kind == schema.EdgeWall && wide == 0 {
			r.wallBetween(f, lines, zones, need)
		}
	}
}

// flushConduit records a flush edge in mown ground that is called a cable or a
// pipe, and says no depth.
func (r *run) flushConduit(f *Feature, zones *solids) {
	word := conduitWord(f.Name)
	if word == "" {
		return
	}
	if isDeep(f) || !r.onDriven(f, zones, 0) {
		return
	}
	r.cannot("%s is called %s, and as a flush edge it is driven over: what lies on the ground, or just under it, is cut; give it the role other with driven_over and its depth_m, or the role hazard and a keep-out", f.describe(), quote(word))
}

// leastRoundM2 is the least area in square metres that a closed flush edge goes
// round and is asked what it is: a lid is smaller (common practice, no source).
const leastRoundM2 = 0.25

// pavedWords are words for ground in a lawn that a machine drives over (common
// practice, no source).
var pavedWords = strings.Fields("paving paved pavers pavement slab slabs patio terrace path pathway footpath walkway plaza court lid grate turf grass lawn artificial " +
	"pflaster pflasterung platte platten terrasse weg hof rasen rasengitter dallage dalle dalles pavé allée pelouse gazon losa losas pavimento camino césped tegel tegels bestrating terras pad grasveld lastricato piastrelle vialetto prato " +
	"belægning fliser flise heller plattor platta gång sti gräs græs gress kiveys laatoitus laatta polku nurmi")

// flushEdge looks at what a flush edge may be besides.
func (r *run) flushEdge(f *Feature, kind string, zones *solids) {
	if kind == schema.EdgeFlush {
		r.flushConduit(f, zones)
		r.flushRound(f, zones)
		r.flushAtBlades(f, zones)
	}
}

// flushRound records a closed flush edge with mown ground about it and within it, or
// under a way, of which nothing says what it goes round: a terrace is driven over, a
// pool with a flush coping is not.
func (r *run) flushRound(f *Feature, zones *solids) {
	over, _ := f.Attributes.Get(schema.PropDrivenOver).Truth()
	if over || slices.ContainsFunc(letterWords(f.Name+" "+f.Attributes.Get(schema.PropLayer).Text()), func(w string) bool { return hasWord(pavedWords, w) || endsIn(pavedWords, w) }) {
		return
	}
	for _, l := range f.lines() {
		n := len(l)
		if n < 4 || distance(l[0], l[n-1]) > slackM {
			continue
		}
		ring := append(append(make(orb.Ring, 0, n), l[:n-1]...), l[0])
		ring = pick(ring, soundVertices(ring))
		if len(ring) < 4 || len(r.validator.Polygons([]orb.Polygon{{ring}})) > 0 {
			continue
		}
		area := orb.MultiPolygon{{ring}}
		size, box := plane.Area(area), boundOf(ring)
		if size < leastRoundM2 {
			continue
		}
		mown := 0.0
		for _, i := range zones.near(box) {
			n := r.netOf(i)
			if !n.ok || len(n.areas) == 0 {
				continue
			}
			within := plane.Area(r.shared(area, box, n.areas, zones.bounds[i]))
			mown += within
			if within < size/2 || !r.mownAbout(ring, n) || r.named(f, area, box) {
				continue
			}
			r.cannot("%s goes round %s in %s, and nothing says what lies there, where the machine drives: draw that with its role, or as other with \"driven_over\": true where a machine may, or say that of the edge", f.describe(), squareMetres(size), zones.features[i].describe())
			return
		}
		if mown < size/2 && r.underWayOrDisc(area, box) && !r.named(f, area, box) { // not the edging of a lawn
			r.cannot("%s goes round %s under a corridor, the way into a dock or where the machine turns before one, and nothing says what lies there: draw that with its role, or as other with \"driven_over\": true where a machine may, or say that of the edge", f.describe(), squareMetres(size))
			return
		}
	}
}

// underWayOrDisc reports whether a way or the disc in which the machine turns before a
// dock reaches over an area.
func (r *run) underWayOrDisc(area orb.MultiPolygon, box orb.Bound) bool {
	return r.onWay(hazardShape{solid: area, areas: area, bound: box}) || slices.ContainsFunc(r.docks(), func(d dockSpot) bool {
		turn := r.of(d.f).TurnRadiusM
		if math.IsNaN(d.heading) || !d.lineup.Bound().Pad(turn).Intersects(box) {
			return false
		}
		_, _, _, ok := plane.NewGauge(area).Within(plane.NewGauge(d.lineup), turn-slackM)
		return ok
	})
}

// mownAbout reports whether mown ground lies about a ring, outside of most of its
// corners and the middles of its sides.
func (r *run) mownAbout(ring orb.Ring, n *net) bool {
	const out = 0.05 // metres: past rounding, and no way about it
	turn := float64(plane.Turn(ring))
	mown, asked := 0, 0
	for k := 1; k < len(ring); k++ {
		a, b := ring[k-1], ring[k]
		length := distance(a, b)
		if length <= slackM {
			continue
		}
		asked++
		p := orb.Point{(a[0]+b[0])/2 + turn*out*(b[1]-a[1])/length, (a[1]+b[1])/2 + turn*out*(a[0]-b[0])/length}
		if n.locator().Locate(p) == plane.Inside {
			mown++
		}
	}
	return 2*mown > asked
}

// named reports whether anything but zones, boundaries and flush edges is drawn in
// an area, or about it.
func (r *run) named(f *Feature, area orb.MultiPolygon, box orb.Bound) bool {
	for _, g := range r.Features {
		switch g.Role {
		case schema.RoleOther, schema.RoleKeepout, schema.RoleHazard, schema.RoleBuilding, schema.RoleEdge:
		default:
			continue
		}
		if g == f || !g.usable() || !g.bound.Intersects(box) || g.Role == schema.RoleEdge && isDrivenOver(edgeKind(g)) {
			continue
		}
		if s := r.hazardShape(g); s.why == "" {
			if shape := s.geometry(); shape != nil {
				if d, _, _ := plane.NewGauge(shape).Clearance(plane.NewGauge(area)); d <= 0 {
					return true
				}
			}
		}
	}
	return false
}

// wallHalfM is half of how thick a wall of one line is taken to be, in metres
// (common practice, no source).
const wallHalfM = 0.15

// wallBetween records a wall of one line, of no width, with mown ground on both
// sides nearer than its strip and half of what a wall is thick: one of its faces
// is not drawn.
func (r *run) wallBetween(f *Feature, lines []orb.LineString, zones *solids, strip float64) {
	if r.drivenAtBoth(lines, strip+wallHalfM, 0, zones, nil) != nil {
		r.cannot("%s is drawn as one line with mown ground less than %s from it on both sides, and says nothing of how thick it is: give it width_m, or draw both of its faces", f.describe(), metres(strip+wallHalfM))
	}
}

// drivenAtBoth is what is driven to the right of lines within so far of them, a zone or
// a corridor, where to their left something is, too, for more than so many metres in
// all; nil for none.
func (r *run) drivenAtBoth(lines []orb.LineString, off, least float64, zones *solids, corridors []corridorLine) *Feature {
	const apart = 0.5     // metres between the places looked at, along and across
	const farthest = 20.0 // metres across, whatever a limit says: nothing is as thick
	off = math.Min(off-slackM, farthest)
	sum, steps := 0.0, math.Ceil(off/apart)
	for _, l := range lines {
		box := boundOf(l).Pad(off)
		near := zones.near(box)
		var ways []*corridorLine
		for i := range corridors {
			if c := &corridors[i]; boundOf(c.pts).Pad(r.halfWidth(c.f)).Intersects(box) {
				ways = append(ways, c)
			}
		}
		if len(near)+len(ways) == 0 {
			continue
		}
		driven := func(from, across orb.Point) *Feature {
			for k := steps; k > 0; k-- {
				p := orb.Point{from[0] + across[0]*k/steps, from[1] + across[1]*k/steps}
				for _, i := range near {
					if n := r.netOf(i); n.ok && len(n.areas) > 0 && n.locator().Locate(p) == plane.Inside {
						return zones.features[i]
					}
				}
				for _, c := range ways {
					for i := 1; i < len(c.pts); i++ {
						if distanceToSegment(p, c.pts[i-1], c.pts[i]) < r.halfWidth(c.f) {
							return c.f
						}
					}
				}
			}
			return nil
		}
		for k := 1; k < len(l); k++ {
			a, b := l[k-1], l[k]
			length, box := distance(a, b), segmentBox(a, b).Pad(off)
			if length <= slackM || !anyNear(zones, near, box) && !slices.ContainsFunc(ways, func(c *corridorLine) bool { return boundOf(c.pts).Pad(r.halfWidth(c.f)).Intersects(box) }) {
				continue
			}
			across := orb.Point{(b[1] - a[1]) / length * off, (a[0] - b[0]) / length * off}
			count := math.Min(mostWallPlaces, math.Ceil(length/apart))
			for t := 0.5; t < count; t++ {
				p := orb.Point{a[0] + (b[0]-a[0])*t/count, a[1] + (b[1]-a[1])*t/count}
				right := driven(p, across)
				if right == nil || driven(p, orb.Point{-across[0], -across[1]}) == nil {
					continue
				}
				if sum += length / count; sum > least {
					return right
				}
			}
		}
	}
	return nil
}

// anyNear reports whether the box of one of some zones meets a box.
func anyNear(zones *solids, near []int, box orb.Bound) bool {
	return slices.ContainsFunc(near, func(i int) bool { return zones.bounds[i].Intersects(box) })
}

// mostWallPlaces is the most places of one side of a wall that are looked at.
const mostWallPlaces = 1000

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
