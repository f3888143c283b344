// Tracks of wheels over a lawn, and what stands or leads in the mouth of a gate: what of
// other-in-zone is about them.

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

// A wheel track is trackMostM wide at the most, and a pair of them lies from trackNearM
// to trackFarM apart (common practice, no source).
const trackMostM, trackNearM, trackFarM = 1.0, 0.3, 1.8

// carGateWords are words for cars, before a gate (common practice, no source).
var carGateWords = strings.Fields("car cars vehicle vehicles auto autos pkw lkw fahrzeug fahrzeuge truck lorry delivery voiture voitures véhicule véhicules camion coche coches vehículo vehículos veicolo veicoli camión bil biler bilar auton garage carport tractor traktor tracteur")

// carWord is the word of a name for cars, or for a road that they come by, "" for none.
func carWord(name string) string {
	for _, w := range letterWords(name) {
		if slices.Contains(carGateWords, w) {
			return w
		}
	}
	return saysRoad(name)
}

// slabs are the areas that are driven over, and reach 5 m or more.
func (r *run) slabs() (out []solidSlab) {
	for _, f := range r.Of(schema.RoleOther) {
		if over, _ := f.Attributes.Get(schema.PropDrivenOver).Truth(); !over || !f.usable() || conduitSaid(f) != "" {
			continue
		}
		if h, ok := r.standingShape(f); ok && len(h.areas) > 0 && math.Max(h.bound.Max[0]-h.bound.Min[0], h.bound.Max[1]-h.bound.Min[1]) >= 2*driveLeastM {
			_, deep := plane.GreatestDepth(h.areas, depthTolerance)
			out = append(out, solidSlab{f, h, 2 * deep, plane.NewGauge(h.areas)})
		}
	}
	return out
}

// solidSlab is such an area and how wide it is.
type solidSlab struct {
	f     *Feature
	h     hazardShape
	wide  float64
	gauge *plane.Gauge
}

// gateMouths tells of what the machine drives on, and of docks, bases and outlets, right
// before and behind gates and dropped kerbs that are wide enough for cars.
func (r *run) gateMouths(doors []carPlace) {
	for i := range doors {
		p := &doors[i]
		for _, side := range [...]float64{1, -1} {
			if len(r.findings) >= mostFindings {
				return
			}
			way := r.mouthOf(p, side)
			if len(way) < 2 {
				continue
			}
			if f := r.mouthMeets(p, way); f != nil {
				x := r.finding(r.Place(p.middle), p.f, f)
				x.Severity = Note
				x.Trace = r.trace(way...)
				x.Message = fmt.Sprintf("is as wide as cars need, and %s lies within %s straight before or behind it, where they drive and where its leaves swing: move one or the other, or draw what cars drive on there as a hazard of the kind road; where none come, make the gate narrower or say by the name who goes through", f.describe(), metres(carMouthM))
				break
			}
		}
	}
}

// mouthOf is the middle of what is driven by cars on one side of a gate, as far as the
// first building; of a dropped kerb the side away from the road alone.
func (r *run) mouthOf(p *carPlace, side float64) orb.LineString {
	at := func(m float64) orb.Point {
		return orb.Point{p.middle[0] - side*m*p.along[1], p.middle[1] + side*m*p.along[0]}
	}
	way := orb.LineString{at(0.01), at(carMouthM)}
	b := r.buildings()
	for _, k := range b.near(boundOf(way)) {
		if parts := clipOutside(way, b.areas[k]); len(parts) > 0 {
			way = parts[0]
		}
	}
	return way
}

// mouthMeets is what of the machine's lies in the mouth of a gate, nil for none: mown
// ground where the gate is said to be one for cars, or a road lies by it, and no drive.
func (r *run) mouthMeets(p *carPlace, way orb.LineString) *Feature {
	half := p.wide / 2
	gauge := plane.NewGauge(way)
	if f := r.postsIn(p, way, half); f != nil {
		return f
	}
	for i := range r.corridors() {
		c := &r.corridorList[i]
		if _, _, _, on := p.gauge.Within(plane.NewGauge(c.pts), slackM); !on && len(c.pts) > 1 && r.nearWay(gauge, plane.NewGauge(c.pts), half) {
			return c.f
		}
	}
	if p.machine || p.says == "" && !p.street || r.driveAt(p) {
		return nil
	}
	zones := r.zones()
	for _, i := range zones.near(boundOf(way)) {
		if n := r.netOf(i); n.ok && lengthIn(way, n.areas) > slackM {
			return zones.features[i]
		}
	}
	return nil
}

// driveAt reports whether ground that cars drive on is drawn at a gate.
func (r *run) driveAt(p *carPlace) bool {
	for _, d := range r.carPieces(r.slabs()) {
		if d.within(p, driveReachM) {
			return true
		}
	}
	return false
}

// from is how far a place lies from the middle of a gate, along it and square to it.
func (p *carPlace) from(at orb.Point) (aside, on float64) {
	dx, dy := at[0]-p.middle[0], at[1]-p.middle[1]
	return dx*p.along[0] + dy*p.along[1], dy*p.along[0] - dx*p.along[1]
}

// postsIn is the dock, base or outlet in the strip of half a width beside a way.
func (r *run) postsIn(p *carPlace, way orb.LineString, half float64) *Feature {
	for _, role := range [...]schema.Role{schema.RoleDock, schema.RoleBase, schema.RoleSupply} {
		for _, f := range r.usableOf(role) {
			wide := 0.0
			if role == schema.RoleDock {
				wide = r.halfWidth(f)
			}
			for i := range f.Points {
				at := f.Points[i].Ground
				aside, on := p.from(at)
				_, deep := p.from(way[len(way)-1])
				if math.Abs(aside) < half+wide-slackM && on*deep > 0 && math.Abs(on) < math.Abs(deep)+wide-slackM && !r.atBuilding(at) {
					return f
				}
			}
		}
	}
	return nil
}

// leafMouths tells of docks, bases and outlets where the leaf of a gate for people swings.
func (r *run) leafMouths() {
	for i := range r.crossings {
		c := &r.crossings[i]
		wide := gateWide(c)
		if c.kind != schema.EdgeGate || wide >= carDoorM-slackM {
			continue
		}
		for _, l := range c.f.lines() {
			a, b := l[0], l[len(l)-1]
			long := distance(a, b)
			if !(long > 0) || len(r.findings) >= mostFindings {
				continue
			}
			p := &carPlace{f: c.f, wide: wide, middle: orb.Point{(a[0] + b[0]) / 2, (a[1] + b[1]) / 2}, along: orb.Point{(b[0] - a[0]) / long, (b[1] - a[1]) / long}}
			for _, side := range [...]float64{1, -1} {
				deep := side * math.Max(wide, leafLeastM)
				way := orb.LineString{p.middle, {p.middle[0] - deep*p.along[1], p.middle[1] + deep*p.along[0]}}
				if f := r.postsIn(p, way, wide/2); f != nil {
					x := r.finding(r.Place(p.middle), c.f, f)
					x.Severity = Note
					x.Trace = r.trace(way...)
					x.Message = fmt.Sprintf("has %s right before or behind it, nearer than its leaf is wide: the leaf swings there and people walk through; measure both again, or move one or the other", f.describe())
					break
				}
			}
		}
	}
}

// wheelTracks notes two narrow slabs side by side that lead over a lawn from what cars
// come in by to what they go to.
func (r *run) wheelTracks(slabs []solidSlab, ends []driveEnd, zones *solids) {
	for i := range slabs {
		a := &slabs[i]
		for k := range slabs[:i] {
			b := &slabs[k]
			if a.wide > trackMostM+slackM || b.wide > trackMostM+slackM || !a.h.bound.Pad(trackFarM).Intersects(b.h.bound) || len(r.findings) >= mostFindings {
				continue
			}
			gap, _, _, near := a.gauge.Within(b.gauge, trackFarM+slackM)
			if !near || gap < trackNearM-slackM {
				continue
			}
			from, to := tracksBetween(a, b, ends)
			if from == nil || !r.onMown(a.h, zones) {
				continue
			}
			x := r.finding(r.middle(b.f), b.f, a.f, from, to)
			x.Severity = Note
			x.Measured, x.Unit = gap, "m"
			x.Message = fmt.Sprintf("and %s lead side by side, %s apart, from %s to %s over mown ground, as the tracks of wheels do: where cars drive there, draw both as one hazard of the kind road", a.f.describe(), metres(gap), from.describe(), to.describe())
		}
	}
}

// tracksBetween is what two tracks both lead from and to, nil for none.
func tracksBetween(a, b *solidSlab, ends []driveEnd) (from, to *Feature) {
	for i := range ends {
		e := &ends[i]
		_, _, _, one := a.gauge.Within(e.gauge, driveReachM)
		_, _, _, two := b.gauge.Within(e.gauge, driveReachM)
		switch {
		case !one || !two:
		case e.enters && from == nil:
			from = e.f
		case e.f != from:
			to = e.f
		}
	}
	if from == nil || to == nil {
		return nil, nil
	}
	return from, to
}

// A bay for a car is so many metres wide and long (common practice, no source), of a row of
// baysLeast at the least, each as large as the next but for bayOff of that.
const (
	bayNarrowM, bayWideM, bayShortM, bayLongM = 2.2, 3.6, 4.3, 6.6
	baysLeast, bayOff                         = 3, 0.15
)

// bay is ground, or one of the lines between, of the size of a bay.
type bay struct {
	f   *Feature
	box turnedBox
	h   hazardShape
}

// parkingRows notes three and more areas of the size of bays for cars side by side, or four
// flush edges as far apart, on or beside driven ground.
func (r *run) parkingRows() {
	var areas, lines []bay
	add := func(f *Feature) {
		if max(f.bound.Max[0]-f.bound.Min[0], f.bound.Max[1]-f.bound.Min[1]) > 2*bayLongM {
			return
		}
		h, ok := r.standingShape(f)
		if !ok {
			return
		}
		for _, p := range h.areas {
			if b := narrowestBox(p[0]); isBay(b) && plane.Area(orb.MultiPolygon{p}) >= 0.9*b.long*b.short {
				areas = append(areas, bay{f, b, hazardShape{solid: orb.MultiPolygon{p}, areas: orb.MultiPolygon{p}, bound: p.Bound()}})
			}
		}
		for _, l := range h.lines {
			if b := narrowestBox(l); b.long >= bayShortM-slackM && b.long <= bayLongM+slackM && b.short < trackMostM {
				lines = append(lines, bay{f, b, hazardShape{lines: []orb.LineString{l}, bound: l.Bound()}})
			}
		}
	}
	for _, f := range r.Of(schema.RoleOther) {
		if over, _ := f.Attributes.Get(schema.PropDrivenOver).Truth(); over && f.usable() && conduitSaid(f) == "" {
			add(f)
		}
	}
	for _, f := range r.usableOf(schema.RoleEdge) {
		if edgeKind(f) == schema.EdgeFlush {
			add(f)
		}
	}
	r.tellRows(areas, baysLeast)
	r.tellRows(lines, baysLeast+1)
}

// isBay reports whether a rectangle is as large as a bay.
func isBay(b turnedBox) bool {
	return b.short >= bayNarrowM-slackM && b.short <= bayWideM+slackM && b.long >= bayShortM-slackM && b.long <= bayLongM+slackM
}

// besideBay reports whether one of two bays, or lines between, lies beside the other.
func besideBay(a, b *bay) bool {
	x, y := b.box.middle[0]-a.box.middle[0], b.box.middle[1]-a.box.middle[1]
	along, off := math.Abs(x*a.box.along[0]+y*a.box.along[1]), math.Abs(y*a.box.along[0]-x*a.box.along[1])
	wide := a.box.short
	if len(a.h.areas) == 0 {
		wide = math.Min(math.Max(off, bayNarrowM), bayWideM)
	}
	return math.Abs(off-wide) <= bayOff*wide && along <= bayOff*a.box.long && math.Abs(a.box.long-b.box.long) <= bayOff*a.box.long && math.Abs(a.box.short-b.box.short) <= max(bayOff*a.box.short, slackM) &&
		math.Abs(a.box.along[0]*b.box.along[0]+a.box.along[1]*b.box.along[1]) >= faceCos
}

// tellRows notes rows of at least so many.
func (r *run) tellRows(bays []bay, least int) {
	if len(bays) < least || len(bays) > mostKerbEnds {
		return
	}
	sets := newSets(len(bays))
	for i := range bays {
		for k := range bays[:i] {
			if besideBay(&bays[i], &bays[k]) {
				sets.join(i, k)
			}
		}
	}
	count, told := map[int]int{}, map[int]bool{}
	for i := range bays {
		count[sets.root(i)]++
	}
	for i := range bays {
		root := sets.root(i)
		if count[root] < least || told[root] || len(r.findings) >= mostFindings || !r.passedOn(bays[i].h, bayNarrowM+bayWideM) {
			continue
		}
		told[root] = true
		x := r.finding(r.Place(bays[i].box.middle), bays[i].f)
		x.Severity = Note
		x.Message = fmt.Sprintf("is one of %d side by side that are as large as bays for cars, or as far apart as their lines, on or beside ground that the machine drives on: where cars stand there, draw them and the way in as hazards of the kind road, with a keep-out", count[root])
	}
}
