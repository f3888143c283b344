// Cars that cross a lawn though no drive is drawn over it: what of other-in-zone is about
// wheel tracks, gates and garages.

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
// to trackFarM apart. A gate of carGateM or more is one for cars; it, a garage or the end
// of a drive opens on to a lawn that is opensM off or less; two of them face one another
// where the line between their middles leaves a gate within faceDeg of straight on, and
// is farFaceM long at the most (common practice, no source).
const (
	trackMostM, trackNearM, trackFarM = 1.0, 0.6, 1.8
	carGateM, opensM                  = 3.0, 2.5
	faceDeg, farFaceM                 = 30.0, 60.0
)

// Words for cars, before a gate, and for what they stand in (common practice, no source).
var (
	carGateWords = strings.Fields("car cars vehicle vehicles auto autos pkw lkw fahrzeug fahrzeuge truck lorry delivery voiture voitures véhicule véhicules camion coche coches vehículo vehículos veicolo veicoli camión bil biler bilar auton")
	garageWords  = strings.Fields("garage garages carport carports garagen tiefgarage garaje garaje autorimessa box garasje autotalli autokatos bilgarage cochera")
)

// carEnd is what cars may come from or go to beside a lawn.
type carEnd struct {
	f      *Feature
	middle orb.Point
	along  orb.Point // unit vector along a gate, zero for others
	gauge  *plane.Gauge
	bound  orb.Bound
	comes  bool // cars come in there
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

// carsCross notes where cars cross a lawn without a drive.
func (r *run) carsCross() {
	gates := r.carGates()
	slabs := r.slabs()
	if len(gates) == 0 && len(slabs) == 0 {
		return
	}
	zones := r.zones()
	ends := r.driveEnds()
	r.wheelTracks(slabs, ends, zones)
	r.carsBetween(append(gates, drivesUpTo(slabs, ends)...), r.garages(slabs, ends), zones)
	for i := range gates {
		g := &gates[i]
		word := carWord(g.f.Name)
		if word == "" || slices.ContainsFunc(slabs, func(s solidSlab) bool {
			_, _, _, near := s.gauge.Within(g.gauge, driveReachM)
			return near && s.wide >= driveLeastM-slackM
		}) {
			continue
		}
		if z, _ := r.opensOn(g, zones); z != nil && len(r.findings) < mostFindings {
			x := r.finding(r.Place(g.middle), g.f, z)
			x.Severity = Note
			x.Message = fmt.Sprintf("says %s, is %s wide or more and opens on to %s, and no drive is drawn there: where cars drive over the lawn, draw that as a hazard of the kind road; where they do not, give it another name", quote(word), metres(carGateM), z.describe())
		}
	}
}

// carWord is the word of a name for cars, "" for none.
func carWord(name string) string {
	for _, w := range letterWords(name) {
		if slices.Contains(carGateWords, w) {
			return w
		}
	}
	return ""
}

// carGates are the gates that are wide enough for cars.
func (r *run) carGates() (out []carEnd) {
	r.openings() // which measures the gates
	for i := range r.crossings {
		c := &r.crossings[i]
		if c.kind != schema.EdgeGate || gateWide(c) < carGateM-slackM {
			continue
		}
		for _, l := range c.f.lines() {
			a, b := l[0], l[len(l)-1]
			if long := distance(a, b); long > 0 {
				out = append(out, carEnd{c.f, orb.Point{(a[0] + b[0]) / 2, (a[1] + b[1]) / 2}, orb.Point{(b[0] - a[0]) / long, (b[1] - a[1]) / long}, plane.NewGauge(l), boundOf(l), true})
			}
		}
	}
	return out
}

// drivesUpTo are the slabs as wide as a drive that begin at a road or a gate.
func drivesUpTo(slabs []solidSlab, ends []driveEnd) (out []carEnd) {
	for i := range slabs {
		s := &slabs[i]
		if s.wide < driveLeastM-slackM {
			continue
		}
		if slices.ContainsFunc(ends, func(e driveEnd) bool {
			_, _, _, near := s.gauge.Within(e.gauge, driveReachM)
			return near && e.enters
		}) {
			out = append(out, carEnd{f: s.f, middle: s.h.bound.Center(), gauge: s.gauge, bound: s.h.bound, comes: true})
		}
	}
	return out
}

// garages are the buildings that cars stand in, but for those that a road or a slab as
// wide as a drive leads to.
func (r *run) garages(slabs []solidSlab, ends []driveEnd) (out []carEnd) {
	b := r.buildings()
	for k, f := range b.features {
		if kindWord(f, garageWords) == "" {
			continue
		}
		gauge := b.gauge(k)
		served := slices.ContainsFunc(slabs, func(s solidSlab) bool {
			_, _, _, near := s.gauge.Within(gauge, driveReachM)
			return near && s.wide >= driveLeastM-slackM
		}) || slices.ContainsFunc(ends, func(e driveEnd) bool {
			_, _, _, near := e.gauge.Within(gauge, driveReachM)
			return near && e.enters && e.f != f
		})
		if !served {
			out = append(out, carEnd{f: f, middle: b.bounds[k].Center(), gauge: gauge, bound: b.bounds[k]})
		}
	}
	return out
}

// opensOn is the lawn that something opens on to, and which.
func (r *run) opensOn(e *carEnd, zones *solids) (z *Feature, at int) {
	for _, i := range zones.near(e.bound.Pad(opensM)) {
		if n := r.netOf(i); n.ok && len(n.areas) > 0 {
			if _, _, _, near := n.within(e.gauge, opensM+2*slackM); near {
				return zones.features[i], i
			}
		}
	}
	return nil, 0
}

// carsBetween notes what cars come in by and what they go to on the other side of a lawn.
func (r *run) carsBetween(from, garages []carEnd, zones *solids) {
	to := append(slices.Clone(garages), from...)
	for i := range from {
		a := &from[i]
		z, at := r.opensOn(a, zones)
		if z == nil {
			continue
		}
		for k := range to {
			b := &to[k]
			if b.f == a.f || b.comes && (b.f.Index < a.f.Index || b.along == orb.Point{} || a.along == orb.Point{}) || !faces(a, b) || !faces(b, a) {
				continue
			}
			if other, same := r.opensOn(b, zones); other == nil || same != at || len(r.findings) >= mostFindings {
				continue
			}
			mown := 0.0
			for _, l := range clipInside(orb.LineString{a.middle, b.middle}, r.netOf(at).areas) {
				mown += groundLength(l)
			}
			if mown < distance(a.middle, b.middle)/2 {
				continue
			}
			x := r.finding(r.Place(a.middle), a.f, b.f, z)
			x.Severity = Note
			x.Trace = r.trace(a.middle, b.middle)
			x.Message = fmt.Sprintf("faces %s across %s, and both are as wide as cars need, with no drive between them: where cars cross the lawn there, draw that as a hazard of the kind road", b.f.describe(), z.describe())
		}
	}
}

// faces reports whether the line from the middle of one to that of another leaves it
// straight on, as far as it is a gate.
func faces(a, b *carEnd) bool {
	long := distance(a.middle, b.middle)
	if !(long > 0) || long > farFaceM {
		return false
	}
	off := math.Abs((b.middle[0]-a.middle[0])*a.along[0]+(b.middle[1]-a.middle[1])*a.along[1]) / long
	return off <= math.Sin(faceDeg*math.Pi/180)+1e-9
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
