// The ways of cars that nobody drew: where they come in, what they go to, and what of the
// machine's lies on the straight way between. What of other-in-zone is about them.

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

// Common practice, no source. A gate of carGateM or more is one for cars; so is one of
// carDoorM or more that says so or has a road within roadBesideM, and a ramp as wide on
// such a road, which is a dropped kerb. A car takes up carHalfM beside the middle of its
// way and keeps postOffM more from posts. It comes carMouthM straight through a gate before
// it can turn, and no farther than carFarM over a lawn. A building of houseM2 or more is
// one that somebody may drive to.
const (
	carGateM, carDoorM     = 3.0, 2.3
	roadBesideM, rampRoadM = 6.0, 3.0
	carHalfM, postOffM     = 1.0, 0.5
	carMouthM, leafLeastM  = 4.0, 0.8
	carFarM, faceDeg       = 150.0, 30.0
	houseM2, mownWayM      = 12.0, 1.0
)

// Words for what vehicles stand in: cars, and, in outWords, what works with them
// (common practice, no source).
var (
	garageWords = strings.Fields("garage garages carport carports garagen tiefgarage garaje autorimessa box garasje autotalli autokatos bilgarage cochera")
	outWords    = strings.Fields("barn barns hall hangar depot workshop warehouse stable scheune halle werkstatt lager remise maschinenhalle feuerwehr feuerwehrhaus spritzenhaus bauhof fire grange hangar atelier dépôt entrepôt granero nave taller almacén schuur loods werkplaats fienile capannone officina magazzino lade lada ladugård låve verksted verkstad værksted navetta lato halli")
)

// carPlace is a thing that cars come in by, drive on or go to.
type carPlace struct {
	f     *Feature
	gauge *plane.Gauge
	bound orb.Bound
	// Of a gate or a ramp, its middle and the unit vector along it.
	door          bool
	middle, along orb.Point
	wide          float64
	says          string // the word by which it is one for cars
	street        bool   // a road lies by it
	machine       bool   // a corridor goes through it
	// Of a thing that cars go to; out is set for what is not for cars alone.
	goal, out bool
}

// carSite is all of them, and the parts that are joined.
type carSite struct {
	places []carPlace
	roads  []carPlace
	sets   sets
	stops  []carStop // what no car drives through
}

type carStop struct {
	f     *Feature
	line  orb.LineString
	areas orb.MultiPolygon
	bound orb.Bound
}

// carsCross notes where cars cross what a machine drives on, or meet what belongs to it,
// without a drive.
func (r *run) carsCross() {
	s := &carSite{}
	s.roads = r.carRoads()
	s.places = r.carDoors(s.roads)
	doors := len(s.places)
	s.places = append(s.places, r.carGoals()...)
	r.gateMouths(s.places[:doors])
	r.leafMouths()
	slabs := r.slabs()
	if len(slabs) > 1 {
		r.wheelTracks(slabs, r.driveEnds(), r.zones())
	}
	if len(s.places) == 0 || doors+len(s.roads) == 0 {
		return
	}
	s.places = append(s.places, r.carPieces(slabs)...)
	s.join()
	r.goalsReached(s)
	r.doorsFacing(s)
}

// carRoads are the roads that come from elsewhere: car parks are goals, and the drives of
// the site pieces.
func (r *run) carRoads() (out []carPlace) {
	for _, f := range r.usableOf(schema.RoleHazard) {
		if k := kindsOf(f); !k.open && k.gravest == "road" && !isParking(f) && !isOwnDrive(f) {
			if h := r.hazardShape(f); h.why == "" && h.geometry() != nil {
				out = append(out, carPlace{f: f, gauge: plane.NewGauge(h.geometry()), bound: h.bound})
			}
		}
	}
	return out
}

// isParking reports whether cars stand on a thing, by its kind or its name.
func isParking(f *Feature) bool {
	if f.Role == schema.RoleHazard && parks(f.Attributes.Get(schema.PropHazardKind).Text()) {
		return true
	}
	return parks(f.Name)
}

// isOwnDrive reports whether a thing is called after what leads from a road to a house.
func isOwnDrive(f *Feature) bool {
	for _, text := range [...]string{f.Name, f.Attributes.Get(schema.PropHazardKind).Text()} {
		if slices.ContainsFunc(letterWords(text), func(w string) bool { return ownDrives[w] }) {
			return true
		}
	}
	return false
}

// carDoors are the gates and the dropped kerbs that cars come in by.
func (r *run) carDoors(roads []carPlace) (out []carPlace) {
	r.openings() // which measures them
	for i := range r.crossings {
		c := &r.crossings[i]
		says := carWord(c.f.Name)
		wide := gateWide(c)
		if wide < carDoorM-slackM {
			continue
		}
		for _, l := range c.f.lines() {
			a, b := l[0], l[len(l)-1]
			long := distance(a, b)
			if !(long > 0) {
				continue
			}
			p := carPlace{f: c.f, gauge: plane.NewGauge(l), bound: boundOf(l), door: true, wide: wide, says: says,
				middle: orb.Point{(a[0] + b[0]) / 2, (a[1] + b[1]) / 2}, along: orb.Point{(b[0] - a[0]) / long, (b[1] - a[1]) / long}}
			reach := roadBesideM
			if c.kind != schema.EdgeGate {
				reach = rampRoadM
			}
			p.street = slices.ContainsFunc(roads, func(e carPlace) bool { return e.within(&p, reach+2*slackM) })
			p.machine = r.corridorThrough(p.gauge)
			switch {
			case c.kind == schema.EdgeGate && (wide >= carGateM-slackM || says != "" || p.street):
			case c.kind == schema.EdgeRamp && p.street && !p.machine:
			default:
				continue
			}
			out = append(out, p)
		}
	}
	return out
}

// within reports whether two are nearer to one another than so many metres.
func (p *carPlace) within(q *carPlace, limit float64) bool {
	if !p.bound.Pad(limit).Intersects(q.bound) {
		return false
	}
	_, _, _, near := p.gauge.Within(q.gauge, limit)
	return near
}

// corridorThrough reports whether a corridor goes through a gate or a ramp.
func (r *run) corridorThrough(door *plane.Gauge) bool {
	return slices.ContainsFunc(r.corridors(), func(c corridorLine) bool {
		_, _, _, on := door.Within(plane.NewGauge(c.pts), slackM)
		return on
	})
}

// carGoals are the garages and barns, and the ground that cars stand on.
func (r *run) carGoals() (out []carPlace) {
	for _, role := range [...]schema.Role{schema.RoleBuilding, schema.RoleHazard, schema.RoleOther, schema.RoleKeepout} {
		for _, f := range r.usableOf(role) {
			garage := kindWord(f, garageWords) != "" || role != schema.RoleBuilding && isParking(f)
			if !garage && (role != schema.RoleBuilding || kindWord(f, outWords) == "") {
				continue
			}
			if p, ok := r.carPlaceOf(f); ok {
				p.goal, p.out = true, !garage
				out = append(out, p)
			}
		}
	}
	return out
}

func (r *run) carPlaceOf(f *Feature) (carPlace, bool) {
	h, ok := r.standingShape(f)
	if !ok || h.geometry() == nil {
		return carPlace{}, false
	}
	return carPlace{f: f, gauge: plane.NewGauge(h.geometry()), bound: h.bound}, true
}

// carPieces is the drawn ground that cars drive on: what is called a drive or a road, and
// slabs as wide as one.
func (r *run) carPieces(slabs []solidSlab) (out []carPlace) {
	for i := range slabs {
		if s := &slabs[i]; s.wide >= driveLeastM-slackM {
			out = append(out, carPlace{f: s.f, gauge: s.gauge, bound: s.h.bound})
		}
	}
	for _, role := range [...]schema.Role{schema.RoleHazard, schema.RoleOther, schema.RoleKeepout} {
		for _, f := range r.usableOf(role) {
			over, _ := f.Attributes.Get(schema.PropDrivenOver).Truth()
			if len(f.Areas)+len(f.Lines) == 0 || over && conduitSaid(f) != "" || isParking(f) || kindWord(f, garageWords) != "" || !isOwnDrive(f) && (role == schema.RoleHazard || saysRoad(f.Name) == "") {
				continue
			}
			if p, ok := r.carPlaceOf(f); ok {
				out = append(out, p)
			}
		}
	}
	return out
}

// saysRoad is the word of a name for a road, "" for none.
func saysRoad(name string) string {
	for _, w := range letterWords(name) {
		if kindOfWord(w) == "road" {
			return w
		}
	}
	return ""
}

// join finds which places are one with which.
func (s *carSite) join() {
	s.sets = newSets(len(s.places))
	for i := range s.places {
		for k := range s.places[:i] {
			if s.places[i].within(&s.places[k], driveReachM) {
				s.sets.join(i, k)
			}
		}
	}
}

// carPart is a group of places that are joined.
type carPart struct {
	list              []*carPlace
	doors, pieces     bool
	goal, out, enters bool
}

// parts are the groups in the order of their first place.
func (s *carSite) parts(r *run) (out []*carPart) {
	by := map[int]*carPart{}
	for i := range s.places {
		p, root := &s.places[i], s.sets.root(i)
		part := by[root]
		if part == nil {
			part = &carPart{out: true}
			by[root], out = part, append(out, part)
		}
		part.list = append(part.list, p)
		part.doors = part.doors || p.door
		part.pieces = part.pieces || !p.door && !p.goal
		part.goal = part.goal || p.goal
		part.out = part.out && (p.out || !p.goal)
		part.enters = part.enters || p.door || slices.ContainsFunc(s.roads, func(e carPlace) bool { return e.within(p, driveReachM) }) || !p.goal && r.leavesSite(p)
	}
	return out
}

// leavesSite reports whether a drive goes on past the site: it reaches its boundary, or,
// where none is drawn about it, lies farther out than all lawns and buildings.
func (r *run) leavesSite(p *carPlace) bool {
	inside := false
	for _, b := range r.usableOf(schema.RoleBoundary) {
		for _, l := range b.lines() {
			if _, _, _, near := p.gauge.Within(plane.NewGauge(l), rampRoadM); near {
				return true
			}
			inside = inside || b.bound.Contains(p.bound.Center())
		}
	}
	if inside {
		return false
	}
	site := emptyBox()
	for _, s := range [...]*solids{r.zones(), r.buildings()} {
		for _, b := range s.bounds {
			site = site.Union(b)
		}
	}
	site = site.Pad(driveReachM)
	return !site.Contains(p.bound.Min) || !site.Contains(p.bound.Max)
}

// goalsReached tells of garages and the like to which no drive leads and to which the
// straight way from where cars come in goes over what the machine drives on.
func (r *run) goalsReached(s *carSite) {
	parts := s.parts(r)
	served := map[*carPart]bool{}
	for _, g := range parts {
		if !g.goal || g.enters {
			continue
		}
		from := slices.DeleteFunc(slices.Clone(parts), func(p *carPart) bool { return !p.enters || g.out && p.goal })
		if len(from) == 0 {
			if !g.out {
				r.overLawnFromRoads(s, g)
			}
			continue
		}
		r.tellReached(s, g, from, served)
	}
	for _, p := range parts {
		if p.doors && !p.pieces && !p.goal && !served[p] {
			r.houseReached(s, p)
		}
	}
}

// carWay is a straight way that cars may take, and what of the machine's it meets.
type carWay struct {
	from, to *carPlace
	line     orb.LineString
	stopped  bool
	meets    *Feature
}

// tellReached tells the nearest way to a goal where every way meets something.
func (r *run) tellReached(s *carSite, g *carPart, from []*carPart, served map[*carPart]bool) {
	var best *carWay
	var of *carPart
	for _, p := range from {
		w := r.wayBetween(s, p, g)
		switch {
		case w == nil || w.stopped:
		case w.meets == nil:
			served[p] = true
			return
		case best == nil || groundLength(w.line) < groundLength(best.line):
			best, of = w, p
		}
	}
	if best != nil {
		served[of] = true
		r.tellCarWay(best)
	}
}

// tellCarWay tells one such way.
func (r *run) tellCarWay(w *carWay) {
	if len(r.findings) >= mostFindings {
		return
	}
	x := r.finding(r.Place(w.line[0]), w.from.f, w.to.f, w.meets)
	x.Severity = Note
	x.Trace = r.trace(w.line...)
	x.Message = fmt.Sprintf("has no drive to %s drawn, and the straight way there, %s long, goes over or past %s: draw the way that cars take to it, as a hazard of the kind road where it crosses what is driven", w.to.f.describe(), metres(groundLength(w.line)), w.meets.describe())
}

// wayBetween is the straight way from one group to another, from the middle of a gate or
// the nearest place of a drive; nil where none is near enough.
func (r *run) wayBetween(s *carSite, a, b *carPart) *carWay {
	var best *carWay
	for _, p := range a.list {
		if a.pieces && p.door { // a drive leads on from it
			continue
		}
		for _, q := range b.list {
			gauge := p.gauge
			if p.door {
				gauge = plane.NewGauge(p.middle)
			}
			d, from, to, near := gauge.Within(q.gauge, carFarM)
			if near && d > 0 && (best == nil || d < groundLength(best.line)) {
				best = &carWay{from: p, to: q, line: orb.LineString{from, to}}
			}
		}
	}
	if best != nil {
		r.alongCarWay(s, best)
	}
	return best
}

// alongCarWay finds what stops a way, and what it meets.
func (r *run) alongCarWay(s *carSite, w *carWay) {
	if s.stops == nil {
		s.stops = r.carStops()
	}
	if w.stopped = s.stopped(w); !w.stopped {
		w.meets = r.carsMeet(w)
	}
}

// carStops are the buildings, walls, fences, drops and waters of the site.
func (r *run) carStops() []carStop {
	out := []carStop{}
	b := r.buildings()
	for k, f := range b.features {
		out = append(out, carStop{f: f, areas: b.areas[k], bound: b.bounds[k]})
	}
	for _, f := range r.usableOf(schema.RoleEdge) {
		if kind := edgeKind(f); kind == schema.EdgeFence || kind == schema.EdgeWall || kind == schema.EdgeDrop {
			for _, l := range r.barrier(f) {
				out = append(out, carStop{f: f, line: l, bound: boundOf(l)})
			}
		}
	}
	for _, f := range r.usableOf(schema.RoleHazard) {
		if k := kindsOf(f); k.gravest == "water" || k.gravest == "drop" {
			if h := r.hazardShape(f); h.why == "" && len(h.areas) > 0 {
				out = append(out, carStop{f: f, areas: h.areas, bound: h.bound})
			}
		}
	}
	return out
}

// stopped reports whether something stands in a way but at its ends.
func (s *carSite) stopped(w *carWay) bool {
	long := groundLength(w.line)
	inner := stretchOf(w.line, math.Min(1, long/4), long-math.Min(0.1, long/4))
	box := boundOf(inner)
	for i := range s.stops {
		x := &s.stops[i]
		if !x.bound.Intersects(box) || x.f == w.from.f || x.f == w.to.f {
			continue
		}
		if len(x.areas) > 0 && lengthIn(inner, x.areas) > 0 || len(x.line) > 1 && len(appendPassed(nil, inner, x.f, x.line)) > 0 {
			return true
		}
	}
	return false
}

// carsMeet is the lawn, the corridor, the dock, the base or the outlet that a way goes
// over or comes too near to, nil for none.
func (r *run) carsMeet(w *carWay) *Feature {
	zones, box := r.zones(), boundOf(w.line)
	for _, i := range zones.near(box) {
		areas := zones.areas[i]
		if n := r.netOf(i); n.ok {
			areas = n.areas
		}
		if lengthIn(w.line, areas) >= mownWayM-slackM {
			return zones.features[i]
		}
	}
	gauge := plane.NewGauge(w.line)
	for i := range r.corridors() {
		c := &r.corridorList[i]
		if len(c.pts) > 1 && !w.throughEnds(c) && r.nearWay(gauge, plane.NewGauge(c.pts), r.halfWidth(c.f)) {
			return c.f
		}
	}
	return r.postsMeet(gauge, carHalfM)
}

// throughEnds reports whether a corridor goes through the gate that a way begins or ends at.
func (w *carWay) throughEnds(c *corridorLine) bool {
	line := plane.NewGauge(c.pts)
	for _, p := range [...]*carPlace{w.from, w.to} {
		if _, _, _, on := p.gauge.Within(line, slackM); on && p.door {
			return true
		}
	}
	return false
}

func (r *run) nearWay(way, thing *plane.Gauge, half float64) bool {
	_, _, _, near := way.Within(thing, half+slackM)
	return near
}

// postsMeet is the dock, base or outlet that lies nearer to the middle of a way than half
// of what drives there and what it keeps off; those at a building are out of its way.
func (r *run) postsMeet(way *plane.Gauge, half float64) *Feature {
	for _, role := range [...]schema.Role{schema.RoleDock, schema.RoleBase, schema.RoleSupply} {
		for _, f := range r.usableOf(role) {
			reach := half + postOffM
			if role == schema.RoleDock {
				reach = half + r.halfWidth(f)
			}
			for i := range f.Points {
				if p := f.Points[i].Ground; r.nearWay(way, plane.NewGauge(p), reach) && !r.atBuilding(p) {
					return f
				}
			}
		}
	}
	return nil
}

// atBuilding reports whether a place is on or at a building.
func (r *run) atBuilding(p orb.Point) bool {
	b := r.buildings()
	return slices.ContainsFunc(b.near(p.Bound().Pad(postOffM)), func(k int) bool {
		_, _, _, near := b.gauge(k).Within(plane.NewGauge(p), postOffM)
		return near
	})
}

// overLawnFromRoads tells of a garage for which nothing is drawn that cars come in by,
// where every straight way from the nearest road goes over mown ground.
func (r *run) overLawnFromRoads(s *carSite, g *carPart) {
	var best *carWay
	for _, q := range g.list {
		if !q.goal {
			continue
		}
		b := q.bound
		for _, at := range [...]orb.Point{b.Center(), b.Min, b.Max, {b.Min[0], b.Max[1]}, {b.Max[0], b.Min[1]}} {
			for i := range s.roads {
				p := &s.roads[i]
				_, to, from, near := plane.NewGauge(at).Within(p.gauge, carFarM)
				if !near || to == from {
					continue
				}
				w := &carWay{from: p, to: q, line: orb.LineString{from, to}}
				r.alongCarWay(s, w)
				switch {
				case w.stopped:
				case w.meets == nil:
					return
				case best == nil || groundLength(w.line) < groundLength(best.line):
					best = w
				}
			}
		}
	}
	if best != nil {
		r.tellCarWay(best)
	}
}

// houseReached tells of a gate for cars from which nothing leads on, where the way to the
// nearest building goes over what the machine drives on.
func (r *run) houseReached(s *carSite, p *carPart) {
	door := p.list[0]
	if door.machine || !door.street && door.says == "" {
		return
	}
	houses := &carPart{}
	b := r.buildings()
	for k, f := range b.features {
		if plane.Area(b.areas[k]) >= houseM2 {
			houses.list = append(houses.list, &carPlace{f: f, gauge: b.gauge(k), bound: b.bounds[k]})
		}
	}
	if w := r.wayBetween(s, p, houses); w != nil && !w.stopped && w.meets != nil {
		r.tellCarWay(w)
	}
}

// doorsFacing tells of two gates for cars that face one another, with what the machine
// drives on between them and no drive from either.
func (r *run) doorsFacing(s *carSite) {
	for i := range s.places {
		for k := range s.places[:i] {
			a, b := &s.places[k], &s.places[i]
			if !a.door || !b.door || a.f == b.f || a.machine && b.machine || !faces(a, b) || !faces(b, a) || s.leads(i) || s.leads(k) {
				continue
			}
			w := &carWay{from: a, to: b, line: orb.LineString{a.middle, b.middle}}
			if r.alongCarWay(s, w); w.stopped || w.meets == nil || len(r.findings) >= mostFindings {
				continue
			}
			x := r.finding(r.Place(a.middle), a.f, b.f, w.meets)
			x.Severity = Note
			x.Trace = r.trace(a.middle, b.middle)
			x.Message = fmt.Sprintf("faces %s across %s, and both are as wide as cars need, with no drive between them: where cars drive there, draw that as a hazard of the kind road", b.f.describe(), w.meets.describe())
		}
	}
}

// leads reports whether a drive is drawn at a place.
func (s *carSite) leads(at int) bool {
	root := s.sets.root(at)
	for i := range s.places {
		if p := &s.places[i]; !p.door && !p.goal && s.sets.root(i) == root {
			return true
		}
	}
	return false
}

// faces reports whether the line from the middle of one to that of another leaves it
// straight on.
func faces(a, b *carPlace) bool {
	long := distance(a.middle, b.middle)
	if !(long > 0) || long > carFarM+slackM {
		return false
	}
	off := math.Abs((b.middle[0]-a.middle[0])*a.along[0]+(b.middle[1]-a.middle[1])*a.along[1]) / long
	return off <= math.Sin(faceDeg*math.Pi/180)+1e-9
}
