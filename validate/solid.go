// Solid: a feature's polygons once their topology is known to be sound, ready
// to measure with.

package validate

import (
	"math"

	"github.com/paulmach/orb"

	"swardline/schema"
	"swardline/validate/plane"
)

// solid is what the validity pass says of one feature's polygons.
type solid struct {
	// faults are those of the coordinates as read.
	faults []plane.Fault
	// places says of each fault between two rings at how many places they meet
	// in that way, 0 when an earlier fault of the two stands for it; nil
	// without faults.
	places []int
	// areas are the polygons on the ground: closed, without repeated points and
	// spikes. They are nil when why is not "".
	areas orb.MultiPolygon
	// why says why nothing can be measured, "" when it can.
	why string
}

// solidOf runs the validity pass over a feature once and keeps what it says.
func (r *run) solidOf(f *Feature) *solid {
	s := r.solids[f.slot]
	if s != nil {
		return s
	}
	s = &solid{}
	r.solids[f.slot] = s
	switch {
	case f.Invalid != "":
		s.why = f.describe() + " has invalid coordinates"
		return s
	case len(f.Areas) == 0:
		s.why = f.describe() + " has no polygon"
		return s
	}
	read := r.readOf(f)
	found := r.validator.Polygons(read)
	mendable := true
	if len(found) > 0 {
		s.faults = append([]plane.Fault(nil), found...)
		s.places = meetingPlaces(s.faults)
		for _, x := range s.faults {
			mendable = mendable && (x.Kind == plane.RingOpen || x.Kind == plane.RingSpike)
		}
		if mendable {
			mended := make([]orb.Polygon, len(read))
			for i, p := range read {
				mended[i] = make(orb.Polygon, len(p))
				for k, ring := range p {
					mended[i][k] = pick(ring, soundVertices(ring))
				}
			}
			mendable = len(r.validator.Polygons(mended)) == 0
		}
		if !mendable {
			s.why = f.describe() + " is no valid polygon"
			return s
		}
	}
	switch {
	case r.Frame == FrameNone:
		s.why = r.Why
		return s
	case f.Far:
		s.why = f.describe() + " lies too far off"
		return s
	}
	s.areas = make(orb.MultiPolygon, len(f.Areas))
	for i := range f.Areas {
		a := &f.Areas[i]
		p := make(orb.Polygon, len(a.Read))
		for k, ring := range a.Read {
			if len(found) == 0 && !repeats(ring) {
				p[k] = a.Ground[k] // closed as read, so closed on the ground
				continue
			}
			p[k] = pick(a.Ground[k], soundVertices(ring))
		}
		s.areas[i] = p
	}
	return s
}

func meetingPlaces(faults []plane.Fault) []int {
	type pair struct {
		kind plane.Kind
		a, b [2]int
	}
	out := make([]int, len(faults))
	first := map[pair]int{}
	for i, x := range faults {
		key := pair{x.Kind, [2]int{x.A.Polygon, x.A.Ring}, [2]int{x.B.Polygon, x.B.Ring}}
		k, ok := first[key]
		if !ok {
			k, first[key] = i, i
		}
		out[k]++
	}
	return out
}

// readOf lists the feature's polygons as read.
func (r *run) readOf(f *Feature) []orb.Polygon {
	r.polygons = r.polygons[:0]
	for i := range f.Areas {
		r.polygons = append(r.polygons, f.Areas[i].Read)
	}
	return r.polygons
}

func repeats(ring orb.Ring) bool {
	for i := 1; i < len(ring); i++ {
		if ring[i] == ring[i-1] {
			return true
		}
	}
	return false
}

// pick returns the ring of the vertices with the indexes, closed.
func pick(ring orb.Ring, indexes []int) orb.Ring {
	out := make(orb.Ring, 0, len(indexes)+1)
	for _, i := range indexes {
		out = append(out, ring[i])
	}
	if len(out) > 0 {
		out = append(out, out[0])
	}
	return out
}

// soundVertices returns the indexes of the ring's vertices that remain once the
// closing point, repeated points and spikes are taken out, in order. A spike is
// taken out by its tip; what it leaves repeated or spiked again goes too.
func soundVertices(ring orb.Ring) []int {
	return soundVerticesBy(ring, func(a, b int) bool { return true })
}

// soundVerticesBy is soundVertices where of points that stand on one another
// only those are repeated that alike says are.
func soundVerticesBy(ring orb.Ring, alike func(a, b int) bool) []int {
	idx := make([]int, 0, len(ring))
	for i := range ring {
		idx = append(idx, i)
	}
	if len(idx) > 1 && ring[0] == ring[len(ring)-1] {
		idx = idx[:len(idx)-1]
	}
	for changed := true; changed && len(idx) > 1; {
		changed = false
		out := idx[:1]
		for _, i := range idx[1:] { // the first of equal points stays
			if last := out[len(out)-1]; ring[i] == ring[last] && alike(i, last) {
				changed = true
				continue
			}
			out = append(out, i)
		}
		for len(out) > 1 && ring[out[0]] == ring[out[len(out)-1]] && alike(out[0], out[len(out)-1]) {
			out = out[:len(out)-1]
			changed = true
		}
		idx = out
		n := len(idx)
		if n < 3 {
			break
		}
		for k := 0; k < n; k++ {
			a, b, c := ring[idx[(k+n-1)%n]], ring[idx[k]], ring[idx[(k+1)%n]]
			if plane.Orient(a, b, c) == 0 && turnsBack(a, b, c) {
				idx = append(idx[:k], idx[k+1:]...)
				changed = true
				break
			}
		}
	}
	return idx
}

// turnsBack reports, of three points on one line, whether the way a, b, c turns
// back at b.
func turnsBack(a, b, c orb.Point) bool {
	back := func(i int) bool { return (b[i]-a[i] > 0) != (c[i]-b[i] > 0) && b[i] != a[i] && c[i] != b[i] }
	return back(0) || back(1)
}

// solids are the measurable polygons of one role.
type solids struct {
	features []*Feature
	areas    []orb.MultiPolygon
	bounds   []orb.Bound
	locators []*plane.Locator // made on first use
	gauges   []*plane.Gauge
	boxes    *plane.Boxes
	found    []int   // what near found, one after another
	pos      []int32 // by Feature.slot: where it stands in features, -1 for nowhere
	// why says of each feature of the role that cannot be measured why not.
	why []string
}

func (s *solids) len() int { return len(s.features) }

// locator answers where points lie in the i-th of the features.
func (s *solids) locator(i int) *plane.Locator {
	if s.locators[i] == nil {
		s.locators[i] = s.gauge(i).Areas()
	}
	return s.locators[i]
}

// gauge measures distances to the i-th of the features.
func (s *solids) gauge(i int) *plane.Gauge {
	if s.gauges[i] == nil {
		s.gauges[i] = plane.NewGauge(s.areas[i])
	}
	return s.gauges[i]
}

// near returns the indexes of the features whose box meets the box, ascending.
func (s *solids) near(box orb.Bound) []int {
	if cap(s.found)-len(s.found) < 8 {
		s.found = make([]int, 0, 128)
	}
	start := len(s.found)
	s.found = s.index().Search(box, s.found)
	return s.found[start:len(s.found):len(s.found)]
}

func (s *solids) index() *plane.Boxes {
	if s.boxes == nil {
		s.boxes = plane.NewBoxes(s.bounds)
	}
	return s.boxes
}

// at returns where the feature stands in s, -1 for nowhere.
func (s *solids) at(f *Feature) int { return int(s.pos[f.slot]) }

// of answers where points lie in a feature, which must be one of s.
func (s *solids) of(f *Feature) *plane.Locator { return s.locator(s.at(f)) }

// all returns the polygons of all features together, those whose box meets box.
func (s *solids) all(box orb.Bound) orb.MultiPolygon {
	var out orb.MultiPolygon
	for _, i := range s.near(box) {
		out = append(out, s.areas[i]...)
	}
	return out
}

func (r *run) solidsOf(role schema.Role) *solids {
	out := &solids{pos: make([]int32, len(r.Features))}
	for i := range out.pos {
		out.pos[i] = -1
	}
	for _, f := range r.Of(role) {
		s := r.solidOf(f)
		if s.why != "" {
			out.why = append(out.why, s.why)
			continue
		}
		out.pos[f.slot] = int32(len(out.features))
		out.features = append(out.features, f)
		out.areas = append(out.areas, s.areas)
		out.bounds = append(out.bounds, f.bound)
	}
	out.locators = make([]*plane.Locator, len(out.features))
	out.gauges = make([]*plane.Gauge, len(out.features))
	return out
}

// zones are the zones that can be measured.
func (r *run) zones() *solids {
	if r.zoneSet == nil {
		r.zoneSet = r.solidsOf(schema.RoleZone)
	}
	return r.zoneSet
}

// keepouts are the keep-outs that can be measured.
func (r *run) keepouts() *solids {
	if r.keepoutSet == nil {
		r.keepoutSet = r.solidsOf(schema.RoleKeepout)
	}
	return r.keepoutSet
}

// groundLength is the length in metres of a line on the ground.
func groundLength(pts []orb.Point) float64 {
	sum := 0.0
	for i := 1; i < len(pts); i++ {
		sum += distance(pts[i-1], pts[i])
	}
	return sum
}

func distance(a, b orb.Point) float64 { return math.Hypot(b[0]-a[0], b[1]-a[1]) }
