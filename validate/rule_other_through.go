// What runs in from outside the property, over driven ground, and out again: what of
// other-in-zone is about streets, public paths, runways and railways that are called
// something else, or nothing.

package validate

import (
	"fmt"
	"math"
	"slices"

	"github.com/paulmach/orb"

	"swardline/schema"
	"swardline/validate/plane"
)

// sayThrough is what the page of other-in-zone says of this.
const sayThrough = "And, as a note, what runs through: a strip 0.5 to 30 m wide (an area that says \"driven_over\": true, or is called a path or paving and is 2.5 m wide or more, a flush edge with an outline or a width_m, what lies between two flush edges or kerbs 0.9 to 15 m apart), or a line that says \"driven_over\": true and is no cable, pipe, contour or limit, that leaves the property on two sides, or ends less than 1 m before its boundary there, and lies between on ground that is driven, under a dock, or, where it is 2.5 m wide or more, less than hazard_margin_road_m beside these; not where a wall, a fence or a gate (of a strip of 2.5 m or more one that is narrower) is drawn across it, or 0.6 m past its end. Pieces that meet, or point at one another across driven ground, are one. So is such a strip of 2.5 m or more that comes in on one side and ends at most 1.5 m before a building, and so is such a strip 2.5 m wide or more inside the property, where it goes on 25 m or more past all that is driven on two sides. "

// Metres (common practice, no source): how wide what somebody passes along is at the
// least, and at the most, and how far apart its two edges are; how far before the boundary
// it may end; how far it goes on past all that is driven where it stays inside.
const (
	throughLeastM, throughMostM = 0.5, 30.0
	throughNearM, throughFarM   = 0.9, streetMostM
	leavesM, pastAllM           = 1.0, 25.0
	throughLongM                = 8.0
	// Pieces this far apart meet; those that point at one another are no farther apart;
	// what is drawn across lies so far past an end at the most.
	pieceM, farFaceM, shutM = 0.05, 60.0, 0.6
)

// ownedWords are of lines where nobody goes (common practice, no source).
var ownedWords = setOf("boundary boundaries property parcel parcels limit limits border grenze grundstücksgrenze flurstücksgrenze flurstück parzelle limite parcelle límite parcela grens erfgrens perceel confine particella gräns skel grænse raja axis grid achse axe")

// throughStrip is ground, or a line, that runs on.
type throughStrip struct {
	by    []*Feature
	areas orb.MultiPolygon
	line  orb.LineString
	wide  float64 // 0 for a line
}

// ownGround is ground that others come into from outside, by what is as wide as least.
type ownGround struct {
	areas   orb.MultiPolygon
	locator *plane.Locator
	least   float64
	says    string
}

// runsThrough notes what runs in from outside, over what is driven, and out again.
func (r *run) runsThrough() {
	strips, borders := r.stripsDrawn()
	if len(strips)+len(borders) == 0 {
		return
	}
	strips = r.joinedStrips(append(strips, r.piecesAcross(strips)...))
	borders = joinedEnds(append(borders, r.piecesAcross(borders)...), meetM)
	told := map[*Feature]bool{}
	for _, own := range r.ownGrounds() {
		for i := range strips {
			if s := &strips[i]; s.wide >= own.least-slackM && !slices.ContainsFunc(s.by, func(f *Feature) bool { return told[f] }) {
				r.stripThrough(s, &own, told)
			}
		}
		r.bordersThrough(borders, &own, told)
	}
}

// stripsDrawn are the strips and lines of a plan that somebody may pass along, and the
// lines that may be one side of such.
func (r *run) stripsDrawn() (strips []throughStrip, borders []throughStrip) {
	for _, f := range r.Of(schema.RoleOther) {
		over, _ := f.Attributes.Get(schema.PropDrivenOver).Truth()
		if !f.usable() || conduitSaid(f) != "" || isContour(f) || isDrawingText(f) || !over && !saysAny(f.Name, pavedWords) {
			continue
		}
		if over && f.reachDrawn() == 0 && !slices.ContainsFunc(letterWords(f.Name), func(w string) bool { return ownedWords[w] }) {
			for i := range f.Lines {
				if l := f.Lines[i].Ground; len(l) > 1 && groundLength(l) >= throughLongM {
					strips = append(strips, throughStrip{by: []*Feature{f}, line: l})
				}
			}
		}
		if h, ok := r.standingShape(f); ok {
			strips = appendStrips(strips, f, h.areas, over)
		}
	}
	for _, f := range r.usableOf(schema.RoleEdge) {
		kind := edgeKind(f)
		if kind != schema.EdgeFlush && kind != schema.EdgeKerb {
			continue
		}
		if kind == schema.EdgeFlush && (len(f.Areas) > 0 || f.reachDrawn() > 0) {
			if h, ok := r.standingShape(f); ok {
				strips = appendStrips(strips, f, h.areas, true)
			}
			continue
		}
		for i := range f.Lines {
			if l := f.Lines[i].Ground; len(l) > 1 && groundLength(l) >= throughLongM {
				borders = append(borders, throughStrip{by: []*Feature{f}, line: l})
			}
		}
	}
	return strips, borders
}

// appendStrips appends those of some areas that are as long and as narrow as a strip.
func appendStrips(strips []throughStrip, f *Feature, areas orb.MultiPolygon, over bool) []throughStrip {
	for _, p := range areas {
		if len(p) == 0 || len(p[0]) < 4 {
			continue
		}
		wide := ringWidth(p[0])
		if wide < throughLeastM-slackM || wide > throughMostM+slackM || !over && wide < driveLeastM-slackM {
			continue
		}
		strips = append(strips, throughStrip{by: []*Feature{f}, areas: orb.MultiPolygon{p}, wide: wide})
	}
	return strips
}

// joinedStrips are strips of which those that meet are one.
func (r *run) joinedStrips(strips []throughStrip) (out []throughStrip) {
	sets := newSets(len(strips))
	boxes := make([]orb.Bound, len(strips))
	for i := range strips {
		boxes[i] = strips[i].bound()
	}
	index := plane.NewBoxes(boxes)
	for i := range strips {
		for _, k := range index.Search(boxes[i].Pad(pieceM), nil) {
			if k >= i || (strips[i].wide == 0) != (strips[k].wide == 0) {
				continue
			}
			if _, _, _, near := strips[i].gauge().Within(strips[k].gauge(), pieceM); near {
				sets.join(i, k)
			}
		}
	}
	groups := map[int][]int{}
	for i := range strips {
		groups[sets.root(i)] = append(groups[sets.root(i)], i)
	}
	for i := range strips {
		if g := groups[i]; len(g) > 0 {
			out = append(out, r.oneStrip(strips, g)...)
		}
	}
	return out
}

func (s *throughStrip) bound() orb.Bound {
	if s.wide == 0 {
		return boundOf(s.line)
	}
	return areasBound(s.areas)
}

func (s *throughStrip) gauge() *plane.Gauge {
	if s.wide == 0 {
		return plane.NewGauge(s.line)
	}
	return plane.NewGauge(s.areas)
}

// oneStrip joins strips that meet; lines end to end, else they stay what they are.
func (r *run) oneStrip(strips []throughStrip, group []int) []throughStrip {
	one := strips[group[0]]
	if len(group) == 1 {
		return []throughStrip{one}
	}
	if one.wide == 0 {
		var lines []throughStrip
		for _, i := range group {
			lines = append(lines, strips[i])
		}
		return joinedEnds(lines, pieceM)
	}
	var all orb.MultiPolygon
	for _, i := range group {
		grown, ok := r.buffer(strips[i].areas, pieceM/2+slackM)
		if !ok {
			continue
		}
		all = append(all, grown...)
		one.wide = math.Max(one.wide, strips[i].wide)
		one.by = append(one.by[:len(one.by):len(one.by)], strips[i].by...)
	}
	joined, ok := r.combined(plane.Union(all, nil))
	if !ok {
		return nil
	}
	one.by = oncePerFeature(one.by)
	one.areas = joined
	return []throughStrip{one}
}

func oncePerFeature(list []*Feature) (out []*Feature) {
	for _, f := range list {
		if !slices.Contains(out, f) {
			out = append(out, f)
		}
	}
	return out
}

// joinedEnds joins lines whose ends meet, two at each place.
func joinedEnds(lines []throughStrip, reach float64) []throughStrip {
	for i := 0; i < len(lines); i++ {
		for k := i + 1; k < len(lines); k++ {
			l, ok := endToEnd(lines[i].line, lines[k].line, reach)
			if !ok {
				continue
			}
			lines[i].line = l
			lines[i].by = oncePerFeature(append(lines[i].by[:len(lines[i].by):len(lines[i].by)], lines[k].by...))
			lines = slices.Delete(lines, k, k+1)
			k = i // what met neither may meet both
		}
	}
	return lines
}

// endToEnd is one line of two, an end of which meets an end of the other.
func endToEnd(a, b orb.LineString, reach float64) (orb.LineString, bool) {
	a, b = slices.Clone(a), slices.Clone(b)
	switch first, last := b[0], b[len(b)-1]; {
	case distance(a[len(a)-1], first) <= reach:
	case distance(a[len(a)-1], last) <= reach:
		slices.Reverse(b)
	case distance(a[0], last) <= reach:
		a, b = b, a
	case distance(a[0], first) <= reach:
		slices.Reverse(a)
	default:
		return nil, false
	}
	return append(a, b...), true
}

// stripEnd is an end of a strip: its middle, and the way on which it would go on.
type stripEnd struct {
	of      int
	at, way orb.Point
}

// ends are the two of a line, or of a strip that is straight.
func (s *throughStrip) ends(of int) []stripEnd {
	if s.wide == 0 {
		n := len(s.line)
		a, ok := unit(s.line[1], s.line[0])
		b, good := unit(s.line[n-2], s.line[n-1])
		if !ok || !good {
			return nil
		}
		return []stripEnd{{of, s.line[0], a}, {of, s.line[n-1], b}}
	}
	const share = 0.8 // of its box
	b := narrowestBox(s.areas[0][0])
	if b.long < b.short*1.5 || plane.Area(s.areas) < share*b.long*b.short {
		return nil
	}
	x, y := b.along[0], b.along[1]
	return []stripEnd{
		{of, orb.Point{b.middle[0] + x*b.long/2, b.middle[1] + y*b.long/2}, b.along},
		{of, orb.Point{b.middle[0] - x*b.long/2, b.middle[1] - y*b.long/2}, orb.Point{-x, -y}},
	}
}

// piecesAcross are the pieces that are missing between strips of one width that end at
// driven ground and point at one another across it.
func (r *run) piecesAcross(strips []throughStrip) (out []throughStrip) {
	var ends []stripEnd
	for i := range strips {
		ends = append(ends, strips[i].ends(i)...)
	}
	if len(ends) > mostKerbEnds {
		return nil
	}
	for i := range ends {
		for k := range ends[:i] {
			a, b := &ends[k], &ends[i]
			d := distance(a.at, b.at)
			if a.of == b.of || d <= pieceM || d > farFaceM || strips[a.of].wide == 0 != (strips[b.of].wide == 0) {
				continue
			}
			wide := math.Max(strips[a.of].wide, strips[b.of].wide)
			u, ok := unit(a.at, b.at)
			if !ok || wide > gapWider*math.Min(strips[a.of].wide, strips[b.of].wide) || a.way[0]*u[0]+a.way[1]*u[1] < faceCos || -b.way[0]*u[0]-b.way[1]*u[1] < faceCos || math.Abs(a.way[0]*u[1]-a.way[1]*u[0])*d > asideM+wide/4 || !r.drivenBetween(a.at, b.at) {
				continue
			}
			piece := throughStrip{by: []*Feature{strips[a.of].by[0], strips[b.of].by[0]}, wide: wide, line: orb.LineString{a.at, b.at}}
			if wide > 0 {
				x, y := u[0]*pieceM, u[1]*pieceM
				p, q := orb.Point{a.at[0] - x, a.at[1] - y}, orb.Point{b.at[0] + x, b.at[1] + y}
				x, y = -u[1]*wide/2, u[0]*wide/2
				piece.areas = orb.MultiPolygon{{{{p[0] - x, p[1] - y}, {q[0] - x, q[1] - y}, {q[0] + x, q[1] + y}, {p[0] + x, p[1] + y}, {p[0] - x, p[1] - y}}}}
			}
			out = append(out, piece)
		}
	}
	return out
}

// faceCos is the cosine of 10 degrees, within which two ends point at one another, and
// asideM how many metres one lies aside of where the other points at the most (common
// practice, no source).
const faceCos, asideM = 0.98481, 0.5

// drivenBetween reports whether half of the way from one place to another or more is mown,
// or a corridor crosses it.
func (r *run) drivenBetween(p, q orb.Point) bool {
	way, mown := orb.LineString{p, q}, 0.0
	zones := r.zones()
	for _, i := range zones.near(way.Bound()) {
		if n := r.netOf(i); n.ok {
			for _, l := range clipInside(way, n.areas) {
				mown += groundLength(l)
			}
		}
	}
	return mown >= groundLength(way)/2 || r.onWay(hazardShape{lines: []orb.LineString{way}, bound: way.Bound()})
}

// ownGrounds are the ground inside the boundaries that close, less leavesM at its rim, and
// what lies within pastAllM of all that is driven.
func (r *run) ownGrounds() (out []ownGround) {
	var all orb.MultiPolygon
	var sides []throughStrip
	for _, f := range r.usableOf(schema.RoleBoundary) {
		if s := r.solidOf(f); len(f.Areas) > 0 && s.why == "" {
			all = append(all, s.areas...)
		}
		for _, l := range f.Lines {
			if len(l.Ground) > 1 {
				sides = append(sides, throughStrip{by: []*Feature{f}, line: l.Ground})
			}
		}
	}
	for _, s := range joinedEnds(sides, meetM) {
		n := len(s.line)
		if ring := append(orb.Ring(s.line[:n-1:n-1]), s.line[0]); n > 3 && distance(s.line[0], s.line[n-1]) <= meetM && plane.IsValid([]orb.Polygon{{ring}}) {
			all = append(all, orb.Polygon{ring})
		}
	}
	if len(all) > 1 {
		all, _ = r.combined(plane.Union(all, nil))
	}
	var inner orb.MultiPolygon
	for _, p := range all {
		if less, err := plane.Offset(p, -leavesM, plane.Mitre(2)); err == nil {
			inner = append(inner, less...)
		}
	}
	if len(inner) > 0 {
		out = append(out, ownGround{inner, plane.NewLocator(inner), 0, "leaves the property on two sides"})
	}
	if box, ok := r.drivenBox(); ok {
		b := box.Pad(pastAllM)
		area := orb.MultiPolygon{{{b.Min, {b.Max[0], b.Min[1]}, b.Max, {b.Min[0], b.Max[1]}, b.Min}}}
		out = append(out, ownGround{area, plane.NewLocator(area), driveLeastM, "goes on " + metres(pastAllM) + " and more past all that is driven on two sides"})
	}
	return out
}

// drivenBox is the box of all zones, corridors and docks.
func (r *run) drivenBox() (box orb.Bound, ok bool) {
	for _, role := range [...]schema.Role{schema.RoleZone, schema.RoleCorridor, schema.RoleDock} {
		for _, f := range r.usableOf(role) {
			if box = box.Union(f.bound); !ok {
				box, ok = f.bound, true
			}
		}
	}
	return box, ok
}

// stripThrough notes one strip that comes in and goes out again.
func (r *run) stripThrough(s *throughStrip, own *ownGround, told map[*Feature]bool) {
	if s.wide == 0 {
		for _, l := range insideBetween(s.line, own) {
			if r.passedOn(hazardShape{lines: []orb.LineString{l}, bound: boundOf(l)}, 0) && !r.shutAcross(s, l[0], l[len(l)-1]) {
				r.tellThrough(s, own, l[len(l)/2], told)
			}
		}
		return
	}
	if outside := s.corners(own); outside < 2 {
		return
	}
	in, ok := r.intersection(s.areas, own.areas)
	if !ok || len(in) == 0 {
		return
	}
	out, ok := r.difference(s.areas, own.areas)
	if !ok {
		return
	}
	for _, p := range in {
		part := orb.MultiPolygon{p}
		ends := endsOutside(p, out, s.wide)
		if len(ends) == 0 || !r.passedOn(hazardShape{solid: part, areas: part, bound: areasBound(part)}, s.wide) {
			continue
		}
		if len(ends) > 1 {
			if !r.shutAcross(s, ends[0], ends[1]) {
				r.tellThrough(s, own, plane.RoomyPoint(part), told)
				return
			}
		} else if b := r.houseAt(part, ends[0]); b != nil && s.wide >= driveLeastM-slackM && !r.shutAcross(s, ends[0], b.bound.Center()) {
			r.tellDriveTo(s, b, plane.RoomyPoint(part), told)
			return
		}
	}
}

// houseAt is a building that a strip leads up to, from an end of it outside the property
// that is farther off than a drive is long at the least; nil for none.
func (r *run) houseAt(part orb.MultiPolygon, from orb.Point) *Feature {
	gauge, box := plane.NewGauge(part), areasBound(part).Pad(driveReachM)
	b := r.buildings()
	for k, f := range b.features {
		if !b.bounds[k].Intersects(box) {
			continue
		}
		if _, _, _, near := gauge.Within(b.gauge(k), driveReachM); !near {
			continue
		}
		if d, _, _ := plane.NewGauge(from).Clearance(b.gauge(k)); d > 2*driveLeastM {
			return f
		}
	}
	return nil
}

// tellDriveTo notes a strip as wide as a car that comes in from outside, up to a building.
func (r *run) tellDriveTo(s *throughStrip, to *Feature, at orb.Point, told map[*Feature]bool) {
	if told[s.by[0]] || len(r.findings) >= mostFindings {
		return
	}
	for _, f := range s.by {
		told[f] = true
	}
	x := r.finding(r.Place(at), append(s.by[:min(len(s.by), 3):min(len(s.by), 3)], to)...)
	x.Severity = Note
	x.Measured, x.Limit, x.Unit = s.wide, driveLeastM, "m"
	x.Message = fmt.Sprintf("is %s wide and leads from outside the property to %s, on or beside ground that the machine drives on: where cars drive there, draw it as a hazard of the kind road; where none do, draw the fence or gate that shuts it", metres(s.wide), to.describe())
}

// corners counts the corners of a strip outside some ground, up to two.
func (s *throughStrip) corners(own *ownGround) (n int) {
	for _, p := range s.areas {
		for _, c := range p[0] {
			if own.locator.Locate(c) == plane.Outside {
				if n++; n > 1 {
					return n
				}
			}
		}
	}
	return n
}

// endsOutside are places in up to two of the parts outside that a part inside goes on in:
// as wide as the strip, or a short piece of it from side to side. What only brushes the
// boundary is neither.
func endsOutside(in orb.Polygon, out orb.MultiPolygon, wide float64) (ends []orb.Point) {
	const wideShare, least, most = 0.6, 0.8, 2.0 // of a width
	gauge := plane.NewGauge(in)
	for _, p := range out {
		if _, _, _, near := gauge.Within(plane.NewGauge(p), slackM); !near || len(ends) > 1 {
			continue
		}
		at, deep := plane.GreatestDepth(orb.MultiPolygon{p}, depthTolerance)
		long, _ := sidesOf(p[0])
		if 2*deep >= wideShare*math.Min(wide, leavesM) || long >= least*wide && long <= most*wide {
			ends = append(ends, at)
		}
	}
	return ends
}

// insideBetween are the pieces of a line inside some ground between two outside it.
func insideBetween(line orb.LineString, own *ownGround) (out []orb.LineString) {
	if own.locator.Locate(line[0]) == plane.Inside && own.locator.Locate(line[len(line)-1]) == plane.Inside && len(line) < 3 {
		return nil
	}
	for _, l := range clipInside(line, own.areas) {
		if l[0] != line[0] && l[len(l)-1] != line[len(line)-1] && groundLength(l) > slackM {
			out = append(out, l)
		}
	}
	return out
}

// passedOn reports whether a shape, less what keep-outs cover, lies on driven ground or
// under a dock, or, where it is as wide as a drive, nearer to these than a road may.
func (r *run) passedOn(h hazardShape, wide float64) bool {
	beside := 0.0
	if wide >= driveLeastM-slackM {
		beside = r.limits.HazardMarginRoadM - slackM
	}
	about, err := h.aboutAll(beside)
	if err != nil {
		return true // safe side
	}
	if r.onMown(about, r.zones()) || r.onWay(about) {
		return true
	}
	return slices.ContainsFunc(r.docks(), func(d dockSpot) bool {
		reach := r.halfWidth(d.f)
		if !about.bound.Pad(reach).Contains(d.at) {
			return false
		}
		_, gauge := r.bareOf(about)
		if gauge == nil {
			return false
		}
		off, _, _, near := gauge.Within(plane.NewGauge(d.at), reach)
		return near && off < reach-slackM
	})
}

// shutAcross reports whether a wall, a fence or a gate is drawn across a strip that leads
// from one place to another.
func (r *run) shutAcross(s *throughStrip, from, to orb.Point) bool {
	const share, longest = 0.8, 2.0 // of the width: what is longer runs along it
	along, ok := unit(from, to)
	if !ok {
		return false
	}
	var about orb.MultiPolygon
	for _, f := range r.usableOf(schema.RoleEdge) {
		kind := edgeKind(f)
		if kind != schema.EdgeWall && kind != schema.EdgeFence && kind != schema.EdgeGate || !f.bound.Intersects(s.bound().Pad(shutM)) {
			continue
		}
		if about == nil {
			var shape orb.Geometry = s.areas
			if s.wide == 0 {
				shape = s.line
			}
			if about, ok = r.buffer(shape, shutM); !ok {
				return false
			}
		}
		for _, l := range f.lines() {
			if kind == schema.EdgeGate && s.wide >= driveLeastM-slackM && groundLength(l) >= driveLeastM-slackM {
				continue // which lets cars through
			}
			for _, piece := range clipInside(l, about) {
				a, b := piece[0], piece[len(piece)-1]
				long := distance(a, b)
				if across := math.Abs((b[0]-a[0])*along[1] - (b[1]-a[1])*along[0]); across >= share*math.Max(s.wide, 1) && long <= longest*(math.Max(s.wide, 1)+2*shutM) {
					return true
				}
			}
		}
	}
	return false
}

// passedBetween reports whether what lies between two edges is driven: mown ground of which
// one of them is no outline, or a corridor, a way into a dock or a dock off what is mown.
func (r *run) passedBetween(a, b orb.LineString, between orb.MultiPolygon) bool {
	zones := r.zones()
	box := areasBound(between)
	rest := between
	for _, i := range zones.near(box) {
		_, deep := insideDepth(a, zones.areas[i])
		_, deeper := insideDepth(b, zones.areas[i])
		shape := hazardShape{solid: between, areas: between, bound: box}
		if bare, gauge := r.bareOf(shape); math.Max(deep, deeper) > pieceM && gauge != nil && r.onLawn(bare, gauge, zones, i) {
			return true
		}
		if less, ok := r.difference(rest, zones.areas[i]); ok {
			rest = less
		}
	}
	return len(rest) > 0 && r.passedOn(hazardShape{solid: rest, areas: rest, bound: areasBound(rest)}, 0)
}

// tellThrough notes a strip, once.
func (r *run) tellThrough(s *throughStrip, own *ownGround, at orb.Point, told map[*Feature]bool) {
	if told[s.by[0]] || len(r.findings) >= mostFindings {
		return
	}
	for _, f := range s.by {
		told[f] = true
	}
	x := r.finding(r.Place(at), s.by[:min(len(s.by), 4)]...)
	x.Severity = Note
	what := "is a line that "
	if s.wide > 0 {
		what = "is a strip " + metres(s.wide) + " wide that "
		x.Measured, x.Unit = s.wide, "m"
	}
	x.Message = what + own.says + ", and lies between on or beside ground that the machine drives on: who passes there is not said; where others walk or drive, draw it as a hazard of the kind road or railway, with a keep-out; where nobody does, end it at the lawn, or draw the fence or gate that shuts it"
}

// bordersThrough notes two edges side by side that come in and go out again, with driven
// ground between.
func (r *run) bordersThrough(borders []throughStrip, own *ownGround, told map[*Feature]bool) {
	var pieces []throughStrip
	for _, s := range borders {
		for _, l := range insideBetween(s.line, own) {
			pieces = append(pieces, throughStrip{by: s.by, line: l})
		}
	}
	for i := range pieces {
		for k := range pieces[:i] {
			a, b := &pieces[k], &pieces[i]
			if !boundOf(a.line).Pad(throughFarM).Intersects(boundOf(b.line)) || told[a.by[0]] || told[b.by[0]] {
				continue
			}
			apart, _, _, near := a.gauge().Within(b.gauge(), throughFarM+slackM)
			if !near || apart < math.Max(throughNearM, own.least)-slackM {
				continue
			}
			strip := stripBetween(a.line, b.line, throughFarM)
			if strip == nil {
				continue
			}
			s := throughStrip{by: oncePerFeature(append(slices.Clone(a.by), b.by...)), areas: orb.MultiPolygon{strip}, wide: apart}
			if r.passedBetween(a.line, b.line, s.areas) && !r.shutAcross(&s, a.line[0], a.line[len(a.line)-1]) {
				r.tellThrough(&s, own, plane.RoomyPoint(s.areas), told)
				break
			}
		}
	}
}
