// Rule on things on the ground: hazard-uncovered.

package validate

import (
	"fmt"
	"math"
	"slices"
	"sort"
	"strings"
	"sync/atomic"

	"github.com/paulmach/orb"

	"swardline/schema"
	"swardline/validate/plane"
)

var hazardRules = []Rule{{
	Name: RuleHazardUncovered, Severity: Error, Limits: append(slices.Clone(hazardMargins), "hazard_margin_fast_m", "hazard_margin_airfield_m", "hazard_margin_swing_m", "machine_width_m"), Over: one(schema.RoleHazard, schema.RoleOther, schema.RoleKeepout, schema.RoleEdge), run: checkHazardUncovered,
	Page: Page{
		What: "The least distance on the ground between a hazard and what is driven: zones without their keep-outs, and corridors with half the machine's width. " +
			"It has to be the margin of the hazard's kind (hazard_kind): water, road, drop, tree, or hazard_margin_m for solid things such as a bench, a rock or a lamp post. " +
			"The word is known in English, German, French, Spanish, Dutch, Italian, Nordic and Finnish; a hazard of several kinds keeps the widest of their margins, and so does a quay, jetty, pier, wharf, embankment, shore or harbour wall, which is water and a drop at once. " +
			"One whose kind is missing, or no known word, may be any of them: it keeps the widest margin of all, as water, a road or a drop does. " +
			"Where no keep-out covers the hazard, less is an error; " +
			"where one does but drawn too tightly, for mown ground or for a corridor, an error for water, roads, drops and what may be one, and a warning for the rest. " +
			"A point with radius_m is a circle; a closed line, one of a pond, a pit or a car park as of anything else, is the area inside it, so that a lawn within lies in it (a closed line of a road, path for vehicles or railway stays the line that it is, since it may run round a lawn: draw the outline of one as a polygon); and so is what lines of one kind close round that cross or whose ends meet within 0.01 m (where they only nearly meet, by less than the machine's width, round driven ground, that is unchecked; so is what lines of several kinds so close round, and an open line of a pond, a pit, a car park or the like, or of no known kind, or called water and no more, that runs round mown ground with a mouth less than half as wide as the line is long, and several such that do so together, each end joined to the nearest; and an open line that is not next to straight of a shed, tent, playground or other thing that has an outline, with mown ground between it and its ends); a line with width_m is the strip half of it to either side, with round ends, and a radius_m of a line or a polygon, or half of a polygon's width_m, reaches out from it all round. " +
			"A millimetre is rounding.",
		Parts: []Part{
			{"Water, roads and drops whose end or side is not drawn", "" +
				"Water, a road, a drop, and what may be one, drawn as a point without radius_m cannot be checked, nor can a line whose kind or name says that it is the centre line of one, without width_m, within 10 m of driven ground, nor an open line of water, of a road that is not called its edge, or of what may be one, without width_m, that runs through a zone for more than 1.5 m, alone or with others of its kind within 1.5 m of it, under a keep-out too; nor one of water or a road, called its edge or not, with mown ground or a corridor less than 1.5 m from it on both sides for more than 1.5 m; nor two open lines of one kind without width_m that may be the two sides of one road, railway, water or ditch (side by side, at most 25 m apart where they are called alike but for left and right or a number, 60 m where that is the bank or shore of a water; where they are called differently and are not both that 15 m, or 8 m where the name of either says what it is of, as Mill Lane and High Street) with driven ground between, a road or railway of up to 0.5 m being no more than a side or a rail; nor a road, railway, water, drop or what may be one (steps aside) that ends before driven ground and goes on behind it, in line with itself or from another side of the same lawn, with about the same width and at most 10 m of the way between outside lawns, or up to 60 m apart in line where both ends point at driven ground, unless it joins another of its kind there, its name says dead end, or a wall, fence or building as wide as it stands across the way within 10 m of an end, or a culvert, bridge or tunnel of the role other with driven_over lies there for as far as the way between is driven (for a drop: a ramp or gate, no more than passage_min_m from there); nor a drop that comes from outside a lawn, runs into it and ends, alone, less than 1.5 m before its mown ground, with none of these. " +
				"One such end alone is a note where it points at driven ground that begins at most 15 m ahead of it (straight on, or up to 1.95 m to either side of the middle at 15 m; straight on alone where it ends less than 2 m beside driven ground; at less than 15 degrees to the rim it runs along it), the thing is as long as that way (an area five times its width, too, or twice that of a road, a railway or a stream by its kind or name) or joins another of its kind, and does not lie wholly within the lawn's outline, unless it ends within 0.5 m of a building, a wall, fence or drop, another grave hazard or something of the role other (2 m long and 1.5 times as long as the thing is wide, or called a culvert, a pipe, a wall, a water, a drop or a dead end), a wall, fence, drop, building or another of its kind stands across the way, for a road or railway a kerb, the boundary or other grave hazard too, or a keep-out at least 1.5 m deep begins at most 1.5 m past its end. " +
				"A road or railway of 3 m and more is so noted up to 30 m straight ahead, where it is at least twice as long as wide. " +
				"A line of a road without width_m that goes on, by its end, in the middle of the end of a road's area 3 to 15 m wide, or lies within 1 m of its end midway between two kerbs so far apart (a fifth of the width to either side), is unchecked where driven ground is nearer than half of that width, for the area with its margin. " +
				"Nor can an open line of a bank (not called its edge) be checked up to 1 m past its margin, or one of a stream, a ditch or a trench up to 0.5 m, where it says no width_m. " +
				"Nor can a piece of a road, a railway or a stream be checked that lies from end to end within a lawn's outline, more than 0.5 m from it, and meets no building, no other grave hazard and nothing such of the role other within 0.5 m, unless its name says that it ends or begins there (spring, ornamental, dead end)."},
			{"Two ends of one thing on two sides of driven ground", "" +
				"Two ends in the open of water, of roads, railways or drops, of one kind and about one width that face each other in line are a note up to 200 m apart, each up to 30 m before what is driven between them, or 60 m where it is as long as that way, at most 10 degrees or 10 m out of line, with a boundary between too. " +
				"So are two that point, straight on and up to 40 m before it, at one driven ground from two sides, 60 degrees and more from one way, whose widths differ by no more than half of the lesser and which are as long as that way each, where nothing else is told of them: what they are of may turn there. "},
			{"What is only called water, a road or a drop", "" +
				"What has the role other and keep-outs that are called after what runs on (stream, ditch, canal, river, road, lane, railway, drop, cable trench, in its last word but for a side, a number or keep-out; by hazard_kind, kind or layer where the name says nothing) are asked for their ends as hazards are, a keep-out wherever it ends in mown ground with no hazard of its own drawn there; of drives, tracks and slopes only two ends in line, of ponds only those of one keep-out that runs round mown ground. " +
				"Notes of the role other: a line called after water, a pit, a building or a car park that closes, but for up to 5 m and a tenth of its length, and inside which a lawn, a way or a dock lies (of water and pits the base, an outlet, a mark, a building or a tree too); and a line called the middle of a road, a water or a drop, without width_m, within 10 m of what is driven. " +
				"A note: a keep-out called after water that is a disc cut off along a straight line of at least 0.8 of its diameter, with mown ground behind that and no hazard drawn in it."},
			{"Trains, fast traffic, aircraft, swings, pool gates and roads before a wall", "" +
				"As notes, by the kind or the name of a hazard, of a thing of the role other, of a kerb or flush edge, and of a keep-out where none of these is drawn: a railway, tram or motorway nearer to mown ground or to what the machine covers in a corridor than hazard_margin_fast_m, a runway, taxiway, helipad or airfield nearer than hazard_margin_airfield_m, with no wall, fence or building between the two at that place; and a swing or seesaw nearer than hazard_margin_swing_m, a keep-out called so included in which no place lies so far from its rim. " +
				"And a gate that a corridor goes through in a fence or wall that is called after what people bathe in, as its gate is, or that closes round it. " +
				"A road drawn as a line without width_m is unchecked where less than 3.5 m lie between driven ground on one side of it and a wall, fence or building on the other (but for one for bicycles)."},
			{"Trees and their crowns", "" +
				"A tree without radius_m cannot be checked that no keep-out covers and that stands less than 1 m more than it must from the way in a corridor. " +
				"A tree whose crown_base_m is less than 0.6 m reaches out as far as its crown_radius_m, half of its crown_diameter_m or another word for that says; where it says none, and no radius_m or outline of more than 1 m, it is unchecked within 10 m of mown ground and of corridors, or within its height_m where that is less. " +
				"A warning: one that begins higher, over mown ground or a way within its reach, where the heights of what is driven, or of a keep-out's rim, lie so far above the tree's foot that less than 0.6 m are left; heights farther off than the crown reaches, up to 15 m, count as the ground on a straight line from the foot does."},
			{"Roads that are crossed", "" +
				"Where edges of the kind ramp or gate lead over a road from one side to the other, a corridor that crosses it within their own length, or within 0.3 m beside one drawn along the corridor, and gets across within 12 m of line, is a warning and no error; a railway stays one. One shorter than the machine leads nowhere."},
		},
		Why:    "A keep-out is only the map's answer to a pond. Where it does not reach, or reaches exactly to the water, a few centimetres of drift are enough, and blades, water and traffic do not forgive them.",
		Source: sourcePractice,
		Fails:  "a pond inside a zone with no keep-out over it",
		Passes: "the same pond under a keep-out that reaches 0.3 m past its edge all round",
		Mend:   "draw a keep-out over the hazard and the margin round it, or move the edge of the zone away; a playground, hedge, shed, swing or the like that is a point without radius_m, under no keep-out or one less than 1.5 m across and within 10 m of driven ground, is unchecked until it has its size, and so is any other solid thing within 2 m but posts, lamps, signs, lids, stones, stumps, benches and what is as slim",
	},
}}

// hazardShape is what a hazard, or anything else drawn, covers on the ground.
type hazardShape struct {
	solid  orb.MultiPolygon // polygons of its own
	discs  []hazardDisc     // points with a radius
	lines  []orb.LineString
	points []orb.Point // points without a radius
	// areas are solid and the discs as rings.
	areas orb.MultiPolygon
	bound orb.Bound
	why   string // why it cannot be measured
}

type hazardDisc struct {
	at     orb.Point
	radius float64
}

// discM is how far, in metres, the ring of a disc may stand outside its circle.
// It is drawn about the circle, so that a hazard is never too small.
const discM = 0.0004

// mostDisc is the most sides of such a ring: discs of more than 340 m, which
// nobody has, may stand out farther.
const mostDisc = 2048

// discRing draws a disc as a ring whose sides touch its circle: with n of them
// the corners stand r (1/cos(pi/n) - 1) outside, which is r pi^2 / 2n^2 or less
// than one part in a hundred more.
func discRing(centre orb.Point, radius float64) orb.Ring {
	n := max(16, min(mostDisc, 4*int(math.Ceil(math.Pi*math.Sqrt(radius/(2*discM))/4))))
	ring := make(orb.Ring, 0, n+1)
	out := radius / math.Cos(math.Pi/float64(n))
	for _, u := range bearingsRound(n) {
		ring = append(ring, orb.Point{centre[0] - out*u[0], centre[1] + out*u[1]})
	}
	return append(ring, ring[0])
}

// roundKept keeps the bearings of circles of up to 256 sides, by a fourth of
// how many: most plans have many discs of a few sizes.
var roundKept [256/4 + 1]atomic.Pointer[[]orb.Point]

// bearingsRound are n bearings all round, from north; n is a multiple of 4. They
// belong to all.
func bearingsRound(n int) []orb.Point {
	if n/4 < len(roundKept) {
		if kept := roundKept[n/4].Load(); kept != nil {
			return *kept
		}
	}
	all := make([]orb.Point, n)
	for i := range all {
		all[i] = bearing(360 * float64(i) / float64(n))
	}
	if n/4 < len(roundKept) {
		roundKept[n/4].Store(&all)
	}
	return all
}

// hazardShape is made once for each feature.
func (r *run) hazardShape(f *Feature) hazardShape {
	if r.shapes == nil {
		r.shapes = make([]*hazardShape, len(r.Features))
	}
	h := r.shapes[f.slot]
	if h == nil {
		made := r.makeShape(f)
		h = &made
		r.shapes[f.slot] = h
	}
	return *h
}

func (r *run) makeShape(f *Feature) hazardShape {
	h := hazardShape{bound: f.bound}
	if len(f.Areas) > 0 {
		s := r.solidOf(f)
		if s.why != "" {
			h.why = s.why
			return h
		}
		h.solid, h.areas = s.areas, s.areas
	}
	for i := range f.Lines {
		if len(f.Lines[i].Ground) == 1 {
			h.points = append(h.points, f.Lines[i].Ground[0])
			continue
		}
		h.lines = append(h.lines, f.Lines[i].Ground)
		inside, why := r.enclosed(f, f.Lines[i].Ground)
		if why != "" {
			h.why = why
			return h
		}
		if inside != nil {
			h.solid = append(h.solid[:len(h.solid):len(h.solid)], inside)
			h.areas = h.solid
		}
	}
	if f.Role == schema.RoleHazard && len(f.Lines) > 0 {
		for _, p := range r.joinedShores()[f.slot] {
			h.solid = append(h.solid[:len(h.solid):len(h.solid)], p)
			h.areas = h.solid
			h.bound = h.bound.Union(boundOf(p[0]))
		}
	}
	radius := 0.0
	if f.Role == schema.RoleHazard {
		radius = f.growth()
	}
	if radius > 0 {
		wide, err := h.wide(radius)
		if err != nil {
			h.why = "the ground that " + f.describe() + " covers cannot be worked out: " + err.Error()
			return h
		}
		h = wide
	}
	for i := range f.Points {
		p := f.Points[i].Ground
		if radius > 0 {
			h.discs = append(h.discs, hazardDisc{p, radius})
			ring := discRing(p, radius)
			h.areas = append(h.areas[:len(h.areas):len(h.areas)], orb.Polygon{ring})
			h.bound = h.bound.Union(boundOf(ring))
			continue
		}
		h.points = append(h.points, p)
	}
	return h
}

// enclosed returns the area inside a line of a hazard that closes, nil for one
// that does not: a pond walked round and stored as a line is a pond, and so is
// a car park. A road may well run in a ring, and a line drawn there and back encloses nothing.
func (r *run) enclosed(f *Feature, line orb.LineString) (orb.Polygon, string) {
	n := len(line)
	if f.Role != schema.RoleHazard || n < 4 || distance(line[0], line[n-1]) > slackM || isBorder(f) {
		return nil, ""
	}
	ring := append(orb.Ring(line[:n-1:n-1]), line[0])
	ring = pick(ring, soundVertices(ring))
	switch {
	case len(ring) < 4:
		return nil, ""
	case len(r.validator.Polygons([]orb.Polygon{{ring}})) == 0:
		return orb.Polygon{ring}, ""
	case plane.Area(orb.MultiPolygon{{ring}}) <= slackM*groundLength(ring):
		return nil, ""
	}
	return nil, f.describe() + " is a closed line that is no valid outline, so what lies inside it cannot be told"
}

// distance is the least distance in metres from a point to the shape, discs
// taken as the circles they are, and where; 0 inside, +Inf for a shape of
// nothing.
func (h *hazardShape) distance(p orb.Point) (d float64, at orb.Point) {
	d = math.Inf(1)
	own := hazardShape{areas: h.solid, lines: h.lines, points: h.points}
	if g := own.geometry(); g != nil {
		d, _, at = plane.NewGauge(p).Clearance(plane.NewGauge(g))
	}
	for _, c := range h.discs {
		to := distance(p, c.at)
		if off := math.Max(0, to-c.radius); off < d {
			d, at = off, p
			if off > 0 {
				at = orb.Point{c.at[0] + (p[0]-c.at[0])*c.radius/to, c.at[1] + (p[1]-c.at[1])*c.radius/to}
			}
		}
	}
	return d, at
}

// wellCovered reports, quickly, that one keep-out or another reaches the margin
// past each point and disc of the hazard on all sides: then no mown ground is
// near it. False says nothing.
func (h *hazardShape) wellCovered(keepouts *solids, margin float64) bool {
	if len(h.solid)+len(h.lines) > 0 {
		return false
	}
	covered := func(at orb.Point, radius float64) bool {
		for _, k := range keepouts.near(at.Bound()) {
			l := keepouts.locator(k)
			if l.Locate(at) != plane.Inside {
				continue
			}
			if far, _ := l.DistanceToBoundary(at); far >= radius+margin {
				return true
			}
		}
		return false
	}
	for _, c := range h.discs {
		if !covered(c.at, c.radius) {
			return false
		}
	}
	for _, p := range h.points {
		if !covered(p, 0) {
			return false
		}
	}
	return len(h.discs)+len(h.points) > 0
}

// geometry returns the shape as one geometry, nil for none.
func (h *hazardShape) geometry() orb.Geometry {
	c := make(orb.Collection, 0, len(h.areas)+len(h.lines)+len(h.points))
	for _, p := range h.areas {
		c = append(c, p)
	}
	for _, l := range h.lines {
		c = append(c, l)
	}
	for _, p := range h.points {
		c = append(c, p)
	}
	if len(c) == 0 {
		return nil
	}
	return c
}

// lessCovered returns what of the shape no keep-out covers.
func (r *run) lessCovered(h hazardShape, keepouts *solids) (hazardShape, bool) {
	out := hazardShape{bound: h.bound}
	cover := keepouts.all(h.bound)
	if len(cover) == 0 {
		return h, true
	}
	ok := true
	for _, p := range h.areas {
		one, covered := orb.MultiPolygon{p}, false
		box := boundOf(p[0])
		for _, k := range keepouts.near(box) {
			// The short way to the usual case: one keep-out all round.
			if covered = meet(one, box, keepouts.areas[k], keepouts.bounds[k]) == within; covered {
				break
			}
		}
		if covered {
			continue
		}
		left, good := r.difference(one, cover)
		out.areas, ok = append(out.areas, left...), ok && good
	}
	for _, l := range h.lines {
		out.lines = append(out.lines, clipOutside(l, cover)...)
	}
	for _, p := range h.points {
		if plane.Locate(p, cover) == plane.Outside {
			out.points = append(out.points, p)
		}
	}
	return out, ok
}

// clipOutside returns the pieces of a line that lie outside an area.
func clipOutside(line orb.LineString, area orb.MultiPolygon) []orb.LineString {
	return clip(line, area, func(l plane.Location) bool { return l == plane.Outside })
}

// clipInside returns the pieces of a line that lie inside an area, its edge
// left out.
func clipInside(line orb.LineString, area orb.MultiPolygon) []orb.LineString {
	return clip(line, area, func(l plane.Location) bool { return l == plane.Inside })
}

// clip cuts a line where it meets the rings of an area and keeps the pieces
// whose middle is where want says.
func clip(line orb.LineString, area orb.MultiPolygon, want func(plane.Location) bool) []orb.LineString {
	var out []orb.LineString
	var cuts []float64
	open := false
	for i := 1; i < len(line); i++ {
		a, b := line[i-1], line[i]
		cuts = append(cuts[:0], 0, 1)
		length := distance(a, b)
		if length == 0 {
			continue
		}
		box := orb.Bound{Min: a, Max: a}.Extend(b)
		for _, p := range area {
			for _, ring := range p {
				for k := 1; k < len(ring); k++ {
					c, d := ring[k-1], ring[k]
					if c[0] < box.Min[0] && d[0] < box.Min[0] || c[0] > box.Max[0] && d[0] > box.Max[0] ||
						c[1] < box.Min[1] && d[1] < box.Min[1] || c[1] > box.Max[1] && d[1] > box.Max[1] {
						continue
					}
					x := plane.Cross(a, b, c, d)
					if x.Kind == plane.CrossNone {
						continue
					}
					cuts = append(cuts, distance(a, x.P)/length, distance(a, x.Q)/length)
				}
			}
		}
		sort.Float64s(cuts)
		for k := 1; k < len(cuts); k++ {
			s, t := cuts[k-1], cuts[k]
			if t <= s || t > 1 {
				continue
			}
			at := func(t float64) orb.Point {
				switch t {
				case 0:
					return a
				case 1:
					return b
				}
				return orb.Point{a[0] + t*(b[0]-a[0]), a[1] + t*(b[1]-a[1])}
			}
			if !want(plane.Locate(at((s+t)/2), area)) {
				open = false
				continue
			}
			if !open {
				out = append(out, orb.LineString{at(s)})
				open = true
			}
			out[len(out)-1] = append(out[len(out)-1], at(t))
		}
	}
	return out
}

func checkHazardUncovered(r *run) {
	if !r.onGround() {
		return
	}
	hazards, called := r.usableOf(schema.RoleHazard), r.calledThings()
	r.cutDiscs(r.zones())
	r.calledLines(r.zones())
	r.reachingThings(r.zones(), r.corridors())
	r.poolGates(r.corridors())
	if len(hazards)+len(called) == 0 {
		if len(r.Of(schema.RoleHazard))+len(r.findings) == 0 {
			r.notNeeded("the plan has no active hazard, and nothing else that is called after what runs on")
		}
		return
	}
	zones, keepouts := r.needZones(), r.keepouts()
	for _, why := range keepouts.why {
		r.cannot("%s", why)
	}
	corridors := r.corridors()
	r.sizelessThings(hazards, zones, corridors)
	r.centreLines(hazards, zones, corridors)
	r.roomless(hazards, zones, corridors)
	r.hiddenCrowns(hazards, zones, corridors)
	r.risingCrowns(hazards, zones, corridors)
	r.piecesAlone(hazards, zones)
	for _, f := range hazards {
		h := r.hazardShape(f)
		if h.why != "" {
			r.cannot("%s", h.why)
			continue
		}
		shape := h.geometry()
		if shape == nil {
			r.cannot("%s has no geometry", f.describe())
			continue
		}
		if k := kindsOf(f); len(h.points) > 0 && len(f.Points) > 0 && k.grave() {
			if why := k.unclear(); why != "" {
				r.cannot("%s is drawn as a point without radius_m, and %s", f.describe(), why)
			} else {
				r.cannot("%s is %s drawn as a point, which has no size: give it radius_m, or draw its outline", f.describe(), graveWords[k.gravest])
			}
		}
		before := len(r.findings)
		r.hazardAgainst(f, h, shape, zones, keepouts, corridors)
		for i := before; i < len(r.findings); i++ {
			r.findings[i].Message += kindUnclear(f)
		}
	}
	r.gaps(append(hazards[:len(hazards):len(hazards)], called...), schema.RoleHazard, zones, corridors)
	r.sides(hazards, zones, corridors)
	r.openShores(zones, corridors)
	r.gapedShores(hazards, zones)
	r.piecedShores(hazards, zones)
}

func (r *run) hazardAgainst(f *Feature, h hazardShape, shape orb.Geometry, zones, keepouts *solids, corridors []corridorLine) {
	kinds := kindsOf(f)
	kind, margin := kinds.gravest, r.hazardMargin(f)
	severity := Warning // where a keep-out covers it, but too tightly
	if kinds.grave() {
		severity = Error
	}
	reach := h.bound.Pad(margin)
	if r.unclearKeepout(reach) {
		r.cannot("%s may be covered by a keep-out that cannot be measured", f.describe())
		return
	}
	if h.wellCovered(keepouts, margin) {
		return
	}
	var whole, bareGauge *plane.Gauge
	var bare hazardShape
	known := false
	uncovered := func() bool { // made only for hazards that are near something
		if !known {
			known = true
			var ok bool
			if bare, ok = r.lessCovered(h, keepouts); !ok {
				return false
			}
			if g := bare.geometry(); g != nil {
				bareGauge = plane.NewGauge(g)
			}
		}
		return bareGauge != nil
	}
	for _, i := range zones.near(reach) {
		z := zones.features[i]
		if uncovered() {
			d, p, q, ok := bareGauge.Within(zones.gauge(i), margin)
			if ok && d < margin-slackM {
				if d > 0 || r.sinksIn(bare, zones.areas[i]) {
					r.hazardFinding(f, z, bare, zones.areas[i], d, margin, p, q)
					continue
				}
			}
		}
		n := r.netOf(i)
		if len(n.areas) == 0 {
			continue
		}
		if whole == nil {
			whole = plane.NewGauge(shape)
		}
		if d, p, q, near := n.within(whole, margin); near && d < margin-slackM && n.ok && !r.onlySliver(i, whole, reach, margin, keepouts) {
			x := r.finding(r.Place(p), f, z)
			x.Measured, x.Limit, x.Unit = d, margin, "m"
			x.Trace = r.trace(p, q)
			if uncovered() {
				x.Message = fmt.Sprintf("lies %s from mown ground of %s; it needs %s", metresPast(d, margin), z.describe(), metres(margin))
				continue
			}
			x.Severity = severity
			x.Message = fmt.Sprintf("is covered, but mown ground of %s comes within %s of it; it needs %s", z.describe(), metresPast(d, margin), metres(margin))
		}
	}
	for i := range corridors {
		c := &corridors[i]
		half := r.halfWidth(c.f)
		if isSizelessTree(f) && boundOf(c.pts).Pad(half+mostTrunkM).Intersects(reach) && uncovered() {
			r.trunkBeside(f, bareGauge, c, margin+half)
		}
		if !boundOf(c.pts).Pad(half).Intersects(reach) {
			continue
		}
		line := plane.NewGauge(c.pts)
		tell := func(d float64, p, q orb.Point) *Finding {
			x := r.finding(r.Place(p), f, c.f)
			x.Measured, x.Limit, x.Unit = math.Max(0, d-half), margin, "m"
			x.Trace = r.trace(p, q)
			return x
		}
		if uncovered() {
			if d, p, q, ok := bareGauge.Within(line, margin+half); ok && d < margin+half-slackM {
				x := tell(d, p, q)
				if kind == "road" && !isRailway(f) && r.crossing(c, bare.geometry(), margin+half) {
					x.Severity = Warning
					x.Message = fmt.Sprintf("a ramp or gate leads %s over it: the machine does not see what drives there; let it cross only where traffic is stopped or slow", c.f.describe())
					continue
				}
				x.Message = fmt.Sprintf("no keep-out covers it, and the machine in %s passes %s from it; it needs %s", c.f.describe(), metresPast(x.Measured, margin), metres(margin))
				continue
			}
		}
		if whole == nil {
			whole = plane.NewGauge(shape)
		}
		if d, p, q, ok := whole.Within(line, margin+half); ok && d < margin+half-slackM {
			x := tell(d, p, q)
			x.Severity = severity
			x.Message = fmt.Sprintf("is covered, but the machine in %s passes %s from it; it needs %s", c.f.describe(), metresPast(x.Measured, margin), metres(margin))
		}
	}
}

// mostTrunkM is how far a trunk of no radius_m may reach from its middle, in
// metres (common practice, no source).
const mostTrunkM = 1

// isSizelessTree reports whether the feature is a tree drawn as a point that
// does not say how thick it is.
func isSizelessTree(f *Feature) bool {
	if f.Role != schema.RoleHazard || len(f.Points) == 0 || !isTree(f) {
		return false
	}
	radius, ok := f.Float(schema.PropRadiusM)
	return !ok || !(radius > 0)
}

// trunkBeside records a tree of no radius_m that stands far enough from the
// line of a corridor, need, and yet so near that its trunk may not.
func (r *run) trunkBeside(f *Feature, tree *plane.Gauge, c *corridorLine, need float64) {
	if d, _, _, ok := tree.Within(plane.NewGauge(c.pts), need+mostTrunkM); ok && d >= need-slackM && d < need+mostTrunkM-slackM {
		r.cannot("%s has no radius_m and stands %s from the middle of %s: its trunk may reach into the way", f.describe(), metres(d), c.f.describe())
	}
}

// railWords are words of hazard_kind for what no ramp or gate leads over.
var railWords = strings.Fields("rail rails railway railroad tram tramway train gleis gleise bahn schiene schienen ferrocarril spoor spoorlijn ferrovia binario jernbane järnväg rautatie")

func isRailway(f *Feature) bool {
	for _, w := range letterWords(f.Attributes.Get(schema.PropHazardKind).Text()) {
		if slices.Contains(railWords, w) || strings.HasSuffix(w, "gleis") || strings.HasSuffix(w, "gleise") {
			return true
		}
	}
	return false
}

// crossingMostM is how far, in metres, a corridor may run within reach of a road
// and still be led over it: three lanes and their verges. Common practice, no
// source.
const crossingMostM = 12

// crossing reports whether a corridor runs through a ramp or gate at every place
// where it comes near a road and leaves it again, near being margin and half the
// machine, and gets across in between: one that runs along the road does not.
func (r *run) crossing(c *corridorLine, road orb.Geometry, near float64) bool {
	var through []orb.LineString
	for i := range r.openings() { // of any length: it is told in any case
		through = append(through, clipInside(c.pts, orb.MultiPolygon{r.openingSet[i].area(0)})...)
	}
	if len(through) == 0 {
		return false
	}
	way, ok := r.buffer(road, near)
	if !ok {
		return false
	}
	gauge, itself := plane.NewGauge(orb.MultiLineString(through)), plane.NewGauge(road)
	crossed := false
	for _, piece := range clipInside(c.pts, way) {
		crossed = true
		from, to := piece[0], piece[len(piece)-1]
		if d, _, _ := plane.NewGauge(orb.LineString{from, to}).Clearance(itself); d > 0 || groundLength(piece) > crossingMostM {
			return false
		}
		for _, p := range [...]orb.Point{from, to} {
			if p == c.pts[0] || p == c.pts[len(c.pts)-1] {
				return false // it ends on the road
			}
			if _, _, _, ok := plane.NewGauge(p).Within(gauge, near+crossingM); !ok {
				return false
			}
		}
	}
	return crossed
}

// sinksIn reports whether what no keep-out covers has any extent inside the
// area, and does not only graze it with what rounding left over.
func (r *run) sinksIn(h hazardShape, area orb.MultiPolygon) bool {
	for _, p := range h.points {
		if plane.Locate(p, area) != plane.Outside {
			return true
		}
	}
	for _, l := range h.lines {
		if plane.Locate(l[0], area) != plane.Outside || groundLength(l) > slackM {
			return true
		}
	}
	if len(h.areas) == 0 {
		return false
	}
	for _, p := range h.areas { // a circle of the area over the outline's length fits in
		length := 0.0
		for _, ring := range p {
			length += groundLength(ring)
		}
		if 2*plane.Area(orb.MultiPolygon{p}) > 1.01*slackM*length {
			return true
		}
	}
	_, depth := plane.GreatestDepth(h.areas, depthTolerance)
	return 2*depth > slackM
}

// onlySliver reports whether what is mown of the i-th zone nearer to a hazard than its
// margin is what a keep-out drawn along the outline leaves there: with the keep-outs a
// millimetre larger, which is rounding, nothing is. A side that is straight on the map is
// not quite on the ground, and a shorter one laid on it leaves a strip as wide as that.
func (r *run) onlySliver(i int, whole *plane.Gauge, reach orb.Bound, margin float64, keepouts *solids) bool {
	cover := keepouts.all(reach)
	if len(cover) == 0 {
		return false
	}
	larger, err := grown(cover, slackM)
	if err != nil {
		return false
	}
	mown, err := plane.Difference(r.zones().areas[i], larger)
	if err != nil {
		return false
	}
	if len(mown) == 0 {
		return true
	}
	d, _, _, near := whole.Within(plane.NewGauge(mown), margin)
	return !near || d >= margin
}

// hazardFinding reports a hazard with no keep-out between it and a zone.
func (r *run) hazardFinding(f, z *Feature, bare hazardShape, zone orb.MultiPolygon, d, margin float64, p, q orb.Point) {
	x := r.finding(r.Place(p), f, z)
	x.Measured, x.Limit, x.Unit = d, margin, "m"
	if d > 0 {
		x.Trace = r.trace(p, q)
		x.Message = fmt.Sprintf("no keep-out covers it, and it lies %s from %s; it needs %s", metresPast(d, margin), z.describe(), metres(margin))
		return
	}
	inside := 0.0
	for _, l := range bare.lines {
		for _, piece := range clipInside(l, zone) {
			inside += groundLength(piece)
			if x.Trace == nil {
				x.Trace = r.trace(piece...)
			}
		}
	}
	if len(bare.areas) > 0 {
		if shared := r.shared(bare.areas, areasBound(bare.areas), zone, areasBound(zone)); len(shared) > 0 {
			x.AreaM2 = plane.Area(shared)
			x.Trace = r.trace(shared[0][0]...)
			x.At = r.Place(plane.RoomyPoint(shared))
		}
	}
	switch {
	case x.AreaM2 > 0:
		x.Message = fmt.Sprintf("%s of it lie in %s with no keep-out over them", squareMetres(x.AreaM2), z.describe())
	case inside > 0:
		x.Message = fmt.Sprintf("%s of it run through %s with no keep-out over them", metres(inside), z.describe())
	default:
		x.Message = fmt.Sprintf("stands in %s with no keep-out over it", z.describe())
	}
}
