// Roads, railways, waters and drops that stop at driven ground and may go on in it,
// of the rules hazard-uncovered and edge-setback. None of them ends in nothing:
// where no wall, house or the like stands at the end, either it goes on or the rest
// is not drawn.

package validate

import (
	"fmt"
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
	// gapAhead is the least share of the way to the other end that lies ahead, for ends
	// that are not in line: two that lie side by side are two things.
	// Ends within gapBareM of one another may meet round a bend of up to 60 degrees at
	// either, gapBend.
	gapAhead, gapBend = 0.1, 0.5
	// dropBow is how far a drop may bow out between two ends in line, as a share of
	// their distance: turned by 15 degrees at either.
	dropBow = 0.134
	// dropGapM is how much of the way between two drops along a lawn may lie outside it.
	dropGapM = 20.0
	// dropEndM is how near to the mown ground that it runs into, in metres, a drop ends at
	// it.
	dropEndM = 1.5
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
	stairWords   = strings.Fields("steps stair stairs staircase stairway treppe treppen stufe stufen escalier escaliers marche marches escalera escaleras trap trappen scala gradino gradini trappe trapp trappa portaat")
	deadEndWords = strings.Fields("deadend culdesac sackgasse stichweg wendehammer impasse callejón doodlopend vicolocieco blindvei blindvej återvändsgata umpikuja turning wendeplatz")
)

// hazardEnd is one end of a long hazard.
type hazardEnd struct {
	f           *Feature
	line        int       // of the feature, -1 for an area
	at, way     orb.Point // its middle, and the unit vector on which the hazard would go on
	left, right orb.Point
	wide        float64 // 0 for a line that says no width
	// into is the zone whose mown ground the straight way on comes to within
	// gapBareM, after bare metres, nil for none; within is set where the end lies
	// inside its outline.
	known, within bool
	into          *Feature
	bare          float64
	// before is the driven ground that the end points at, off metres ahead (ahead).
	// Of a street between two kerbs, other is the line of the second where it is of f too.
	street bool
	other  int
	// far is that before lies straight ahead past aheadM, and facing that another end is.
	looked, far, facing bool
	before              *Feature
	off                 float64
	// turnsAt is the driven ground straight ahead at which it may turn, once asked for.
	turned  bool
	turnsAt *Feature
	turnOff float64
}

// longKind is what hazards have in common that may be one, "" for those that are
// not long. A flight of steps ends by its nature.
func longKind(f *Feature) string {
	if f.Role == schema.RoleEdge {
		if edgeKind(f) != schema.EdgeDrop || saysAny(f.Name, stairWords) || saysAny(f.Name, deadEndWords) {
			return ""
		}
		return "drop"
	}
	if f.Role != schema.RoleHazard {
		return calledOf(f).long
	}
	k := kindsOf(f)
	if !k.grave() || k.gravest == "road" && !isBorder(f) {
		return ""
	}
	words := letterWords(k.text)
	for i, w := range words {
		if slices.Contains(wallWords, w) || slices.ContainsFunc(poolWords, func(end string) bool { return strings.HasSuffix(strings.TrimSuffix(w, "s"), end) }) {
			return ""
		}
		if slices.Contains(stairWords, w) || slices.Contains(deadEndWords, w) || i > 0 && slices.Contains(deadEndWords, words[i-1]+w) {
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

// gaps records things of one kind of which an end points at the end of another, and
// that one back, or of which both run into the same lawn, with driven ground between
// and nothing that says how they end; and drops that end right at the outline of a
// lawn that they run into. Pairs count of which at least one is of the role.
func (r *run) gaps(things []*Feature, role schema.Role, zones *solids, corridors []corridorLine) {
	var ends map[string][]hazardEnd
	for _, f := range things {
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
		ends[kind] = r.undrawnEnds(r.appendEnds(ends[kind], f, zones, corridors), len(ends[kind]))
	}
	told := map[[2]*Feature]bool{}
	for _, f := range things { // in the order of the plan
		kind := longKind(f)
		list := ends[kind]
		delete(ends, kind)
		for n := range 2 * len(list) { // what is in line first
			i, inLine := n%len(list), n < len(list)
			for k := range i {
				a, b := &list[k], &list[i]
				if told[[2]*Feature{a.f, b.f}] || !a.judgedBy(role) && !b.judgedBy(role) || !r.mayJoin(a, b, inLine, zones) {
					continue
				}
				of := r.gapDriven(a, b, kind, zones, corridors)
				if of == nil && !inLine && a.into == b.into {
					of = a.into
				}
				if of == nil && inLine {
					of = r.faceAcross(a, b, kind, zones, corridors)
				}
				if of == nil || r.endsThere(a, b, kind, of, zones, corridors) || !r.free(a, things, kind) || !r.free(b, things, kind) {
					continue
				}
				told[[2]*Feature{a.f, b.f}], told[[2]*Feature{a.f}], told[[2]*Feature{b.f}] = true, true, true
				r.tellGap(a, b, of, kind)
			}
		}
		r.farGaps(list, told, kind, role, things, zones, corridors)
		for i := range list {
			if e := &list[i]; e.judgedBy(role) && !told[[2]*Feature{e.f}] && (r.runsInto(e, things, kind, zones, corridors) || r.pointing(e, kind, zones, corridors)) {
				told[[2]*Feature{e.f}] = true
			}
		}
		r.turns(list, told, kind, role, things, zones, corridors)
	}
}

// turns notes ends that point at one driven ground from two sides, of which nothing else is
// told: what they are of may turn there.
func (r *run) turns(list []hazardEnd, told map[[2]*Feature]bool, kind string, role schema.Role, things []*Feature, zones *solids, corridors []corridorLine) {
	for i := range list {
		for k := range i {
			a, b := &list[k], &list[i]
			if told[[2]*Feature{a.f}] || told[[2]*Feature{b.f}] || !a.judgedBy(role) && !b.judgedBy(role) {
				continue
			}
			of, off := r.turnsIn(a, b, kind, zones, corridors)
			if of == nil || r.endsThere(a, b, kind, of, zones, corridors) || !r.free(a, things, kind) || !r.free(b, things, kind) {
				continue
			}
			told[[2]*Feature{a.f}], told[[2]*Feature{b.f}] = true, true
			r.noteTurn(a, b, of, off)
		}
	}
}

func (r *run) noteTurn(a, b *hazardEnd, of *Feature, off float64) {
	features, other := []*Feature{a.f, of}, "its other end"
	if a.f != b.f {
		features, other = []*Feature{a.f, b.f, of}, "an end of "+b.f.describe()
	}
	x := r.finding(r.Place(a.at), features...)
	x.Severity = Note
	x.Measured, x.Limit, x.Unit = off, bendAheadM, "m"
	x.Trace = r.trace(a.at, b.at)
	x.Message = fmt.Sprintf("ends before %s and points at it, and so does %s from another side, %s farther on: whether it turns in what is driven is not drawn; draw it through, a way over it as a culvert, bridge or tunnel of the role other with \"driven_over\": true, or, where it ends, what it ends at: a wall, a fence or a building", of.describe(), other, metres(distance(a.at, b.at)))
}

// farGaps notes ends that face each other farther apart, or farther before what is driven
// between them, than gaps takes for one thing for certain.
func (r *run) farGaps(list []hazardEnd, told map[[2]*Feature]bool, kind string, role schema.Role, things []*Feature, zones *solids, corridors []corridorLine) {
	for i := range list {
		for k := range i {
			a, b := &list[k], &list[i]
			if told[[2]*Feature{a.f, b.f}] || !a.judgedBy(role) && !b.judgedBy(role) || !r.mayJoin(a, b, true, zones) {
				continue
			}
			of, off := r.faceFar(a, b, kind, zones, corridors)
			if of == nil || r.endsThere(a, b, kind, of, zones, corridors) || !r.free(a, things, kind) || !r.free(b, things, kind) {
				continue
			}
			told[[2]*Feature{a.f, b.f}], told[[2]*Feature{a.f}], told[[2]*Feature{b.f}] = true, true, true
			r.noteFar(a, b, of, off)
		}
	}
}

func (r *run) noteFar(a, b *hazardEnd, of *Feature, off float64) {
	features, goesOn := []*Feature{a.f, of}, "it goes on behind that"
	if a.f != b.f {
		features, goesOn = []*Feature{a.f, b.f, of}, b.f.describe()+" goes on behind that"
	}
	x := r.finding(r.Place(a.at), features...)
	x.Severity = Note
	x.Measured, x.Limit, x.Unit = off, faceAheadM, "m"
	x.Trace = r.trace(a.at, b.at)
	x.Message = fmt.Sprintf("ends before %s, and in line with its end %s, %s farther on; whether it runs on through what is driven is not drawn: draw it through, a way over it as a culvert, bridge or tunnel of the role other with \"driven_over\": true, or, where it ends, what it ends at: a wall, a fence or a building", of.describe(), goesOn, metres(distance(a.at, b.at)))
}

// runsInto records the end of a drop right before mown ground that it runs into.
func (r *run) runsInto(e *hazardEnd, things []*Feature, kind string, zones *solids, corridors []corridorLine) bool {
	if kind != "drop" || e.line < 0 {
		return false
	}
	if e.look(r, zones); e.into == nil || e.bare > dropEndM || e.within && !r.comesFromOutside(e, zones) {
		return false
	}
	far := hazardEnd{f: e.f, line: e.line, at: orb.Point{e.at[0] + gapBareM*e.way[0], e.at[1] + gapBareM*e.way[1]}}
	if r.endsThere(e, &far, kind, e.into, zones, corridors) || !r.free(e, things, kind) {
		return false
	}
	r.cannot("%s runs into %s and ends %s before its mown ground: whether it goes on there cannot be told; draw it through, or where it ends what it ends at: a wall, a fence, a building or a ramp, or a keep-out that reaches %s past its end", e.f.describe(), e.into.describe(), metres(e.bare), metres(dropEndM))
	return true
}

// comesFromOutside reports whether the other end of the line of one lies outside the
// zone that it runs into: a ledge within a lawn may well begin and end there.
func (r *run) comesFromOutside(e *hazardEnd, zones *solids) bool {
	l := e.f.Lines[e.line].Ground
	far := l[0]
	if distance(far, e.at) < distance(l[len(l)-1], e.at) {
		far = l[len(l)-1]
	}
	return zones.locator(zones.at(e.into)).Locate(far) == plane.Outside
}

// edgeGaps is gaps of edges that are drops, among themselves and with hazards that are.
func (r *run) edgeGaps(edges []*Feature, zones *solids) {
	isDrop := func(f *Feature) bool { return f.usable() && joins(f, "drop") }
	if !slices.ContainsFunc(edges, isDrop) {
		return
	}
	var things []*Feature
	for _, f := range r.Features {
		if (f.Role == schema.RoleEdge || f.Role == schema.RoleHazard) && isDrop(f) {
			things = append(things, f)
		}
	}
	r.gaps(things, schema.RoleEdge, zones, r.corridors())
}

// mayJoin reports whether two ends may be of one thing: in line with one another, near
// one another round a bend, or both running into the same lawn.
func (r *run) mayJoin(a, b *hazardEnd, inLine bool, zones *solids) bool {
	to, ok := unit(a.at, b.at)
	ahead := math.Min(a.way[0]*to[0]+a.way[1]*to[1], -b.way[0]*to[0]-b.way[1]*to[1])
	if !ok || ahead < gapAhead || a.f != b.f && calledOf(a.f).long == longPool {
		return false
	}
	if a.wide > 0 && b.wide > 0 && (a.wide > gapWider*b.wide || b.wide > gapWider*a.wide) {
		return false
	}
	if near := distance(a.at, b.at) <= gapBareM && ahead >= gapBend; inLine || near {
		return near || a.inLine(b)
	}
	if a.look(r, zones); a.into == nil {
		return false
	}
	if b.look(r, zones); b.into == nil {
		return false
	}
	return a.bare+b.bare <= gapBareM && (!a.within && !b.within || distance(a.at, b.at) <= gapBareM)
}

func (e *hazardEnd) inLine(o *hazardEnd) bool {
	return e.pointsAt(o) && o.pointsAt(e) && e.way[0]*o.way[0]+e.way[1]*o.way[1] <= -0.8
}

// look finds what mown ground the straight way on from an end comes to.
func (e *hazardEnd) look(r *run, zones *solids) {
	if e.known {
		return
	}
	e.known, e.bare = true, math.Inf(1)
	ray := orb.LineString{e.at, {e.at[0] + gapBareM*e.way[0], e.at[1] + gapBareM*e.way[1]}}
	for _, z := range zones.near(boundOf(ray)) {
		e.within = e.within || plane.Locate(e.at, zones.areas[z]) != plane.Outside
		if n := r.netOf(z); n.ok {
			for _, part := range clipInside(ray, n.areas) {
				if d := distance(e.at, part[0]); d < e.bare {
					e.bare, e.into = d, zones.features[z]
				}
			}
		}
	}
}

func (r *run) tellGap(a, b *hazardEnd, of *Feature, kind string) {
	one, goesOn := a.f.describe()+" ends", "goes on in line with it"
	if a.within || of.Role != schema.RoleZone {
		one += " beside "
	} else {
		one += " before "
	}
	if !a.inLine(b) {
		goesOn = "begins again"
	}
	if a.f != b.f {
		goesOn = b.f.describe() + " " + goesOn
	}
	mend := "draw it through; a way over it as a culvert, bridge or tunnel of the role other with \"driven_over\": true as far as it is driven over; or, where it ends, what it ends at: a wall, a fence or a building"
	if kind == "drop" {
		mend = "draw it through, or the ramp that leads over it"
	}
	r.cannot("%s%s, and %s %s farther on: whether it runs on under the machine cannot be told; %s", one, of.describe(), goesOn, metres(distance(a.at, b.at)), mend)
}

// pointsAt reports whether another end lies where the hazard would go on.
func (e *hazardEnd) pointsAt(o *hazardEnd) bool {
	dx, dy := o.at[0]-e.at[0], o.at[1]-e.at[1]
	along, off := dx*e.way[0]+dy*e.way[1], math.Abs(dx*e.way[1]-dy*e.way[0])
	return along > slackM && off <= gapTurn*along+math.Max(e.wide/2, endFree)
}

// gapDriven is what is driven between two ends: a zone, a corridor or a dock; nil
// for nothing, or where more than gapBareM of the way is not.
func (r *run) gapDriven(a, b *hazardEnd, kind string, zones *solids, corridors []corridorLine) *Feature {
	margin := math.Max(r.gapMargin(a.f), r.gapMargin(b.f))
	bare := distance(a.at, b.at)
	if kind == "drop" {
		margin += dropBow * math.Min(bare, gapBareM)
	}
	middle := orb.LineString{a.at, b.at}
	var g orb.Geometry = middle
	if a.wide > 0 && b.wide > 0 {
		g = orb.MultiLineString{middle, {a.left, b.right}, {a.right, b.left}}
	}
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
	most := gapBareM
	if kind == "drop" && of != nil && of.Role == schema.RoleZone {
		most = dropGapM
	}
	if of == nil || bare > most {
		return nil
	}
	return of
}

// gapMargin is the clearance that a hazard, or an edge that is a drop, keeps.
func (r *run) gapMargin(f *Feature) float64 {
	switch f.Role {
	case schema.RoleEdge:
		m, _ := r.of(f).HazardMargin("drop")
		return m
	case schema.RoleOther, schema.RoleKeepout:
		m, _ := r.of(f).HazardMargin(calledOf(f).kind)
		return m
	}
	return r.hazardMargin(f)
}

// free reports whether an end joins no other thing of its kind, or line of its own.
func (r *run) free(e *hazardEnd, things []*Feature, kind string) bool {
	for _, f := range things {
		if f == e.f && len(f.Lines) < 2 || !f.usable() || !f.bound.Pad(f.growth()+endFree).Contains(e.at) || !joins(f, kind) {
			continue
		}
		if f == e.f {
			for i := range f.Lines {
				if l := f.Lines[i].Ground; i != e.line && len(l) > 1 {
					if d, _, _ := plane.NewGauge(e.at).Clearance(plane.NewGauge(l)); d <= endFree+f.growth() {
						return false
					}
				}
			}
			continue
		}
		h := r.hazardShape(f)
		if d, _ := h.distance(e.at); h.why == "" && d <= endFree {
			return false
		}
	}
	return true
}

// joins reports whether what ends at a thing goes on in it: one of its kind, and steps
// of a drop, a pond of a brook, a car park of a road.
func joins(f *Feature, kind string) bool {
	if f.Role == schema.RoleEdge {
		return kind == "drop" && edgeKind(f) == schema.EdgeDrop
	}
	return f.Role == schema.RoleHazard && kind == kindsOf(f).gravest && kind != "" || longKind(f) == kind
}

// endsThere reports whether something between two ends says that the thing ends or
// how it is led on: within gapBareM of either a wall, fence or building, as wide as
// what does not run on through it; or, wherever the way from end to end is driven, a
// bridge or culvert that is driven over, or for a drop a ramp or gate.
func (r *run) endsThere(a, b *hazardEnd, kind string, of *Feature, zones *solids, corridors []corridorLine) bool {
	middle := orb.LineString{a.at, b.at}
	ways := []orb.LineString{middle}
	if a.wide > 0 && b.wide > 0 {
		ways = append(ways, orb.LineString{a.left, b.right}, orb.LineString{a.right, b.left})
	}
	box := segmentBox(a.at, b.at).Pad(math.Max(a.wide, b.wide)/2 + endFree)
	stops := func(f *Feature) bool {
		if !f.usable() || !f.bound.Intersects(box) {
			return false
		}
		for _, way := range ways {
			near := false
			for _, l := range f.lines() {
				for i := 1; i < len(l) && !near; i++ {
					x := plane.Cross(way[0], way[1], l[i-1], l[i])
					near = x.Kind != plane.CrossNone && math.Min(distance(x.P, way[0]), distance(x.P, way[1])) <= gapBareM
				}
			}
			if !near {
				return false
			}
		}
		return true
	}
	for _, f := range r.Of(schema.RoleEdge) {
		if k := edgeKind(f); (k == schema.EdgeWall || k == schema.EdgeFence) && stops(f) {
			return true
		}
	}
	if slices.ContainsFunc(r.Of(schema.RoleBuilding), stops) {
		return true
	}
	over := r.leadsOver(box, kind, math.Max(a.wide, b.wide)/2)
	if len(over) > 0 {
		driven := false
		margin := math.Max(r.gapMargin(a.f), r.gapMargin(b.f))
		for _, piece := range without([]orb.LineString{middle}, over) {
			d, _ := r.drivenWithin(piece, margin, zones, corridors)
			driven = driven || groundLength(piece) > slackM && d < margin-slackM
		}
		if !driven {
			return true
		}
	}
	return of.Role == schema.RoleCorridor && (saysAny(of.Name, bridgeWords) || saysAny(of.Name, culvertWords))
}

// leadsOver is the ground about a box within which a machine is led over what is so
// wide: bridges, culverts and the like that are driven over, their lines as wide as
// that; for a drop as far as passage_min_m from ramps and gates.
func (r *run) leadsOver(box orb.Bound, kind string, half float64) (over orb.MultiPolygon) {
	add := func(f *Feature, least float64) {
		if !f.usable() || !f.bound.Pad(least).Intersects(box) {
			return
		}
		for i := range f.Areas {
			over = append(over, f.Areas[i].Ground)
		}
		for i := range f.Lines {
			if strip, ok := r.buffer(f.Lines[i].Ground, math.Max(least, f.reachDrawn())); ok {
				over = append(over, strip...)
			}
		}
	}
	for _, f := range r.Of(schema.RoleOther) {
		if is, _ := f.Attributes.Get(schema.PropDrivenOver).Truth(); is && (saysAny(f.Name, bridgeWords) || saysAny(f.Name, culvertWords)) {
			add(f, math.Max(half, endFree))
		}
	}
	for _, f := range r.Of(schema.RoleEdge) {
		if kind == "drop" && isCrossing(edgeKind(f)) {
			add(f, r.of(f).PassageMinM)
		}
	}
	return over
}

// appendEnds adds the ends of a hazard that lie within reach of driven ground.
func (r *run) appendEnds(out []hazardEnd, f *Feature, zones *solids, corridors []corridorLine) []hazardEnd {
	near := func(p orb.Point) bool { return r.drivenIn(p.Bound().Pad(faceAheadM), zones, corridors) }
	if !r.drivenIn(f.bound.Pad(faceAheadM), zones, corridors) {
		return out
	}
	half := f.growth()
	for at := range f.Lines {
		line, l := at, f.Lines[at].Ground
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
			out = append(out, hazardEnd{f: f, line: line, at: at, way: way, left: orb.Point{at[0] + side[0], at[1] + side[1]}, right: orb.Point{at[0] - side[0], at[1] - side[1]}, wide: 2 * half})
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
			out = append(out, hazardEnd{f: f, line: -1, at: middle, way: way, left: b, right: a, wide: wide})
		}
	}
	return out
}
