// The least distance between two geometries, with the two points.

package plane

import (
	"math"

	"github.com/paulmach/orb"
)

// Clearance returns the least distance between two geometries and the points
// where it is, p of a and q of b. Polygons count as areas, so that a point
// inside one has no distance to it. The distance is exactly 0 when and only
// when the two have a point in common, which p and q then both are (where two
// segments cross, to within rounding).
//
// With nothing in a or b the distance is +Inf. Rings and lines with a
// coordinate that is not finite are left out. Overflow aside, the distance is
// good to a few units in the last place of the coordinates.
//
// Time is about n log n at worst when the geometries lie apart; Gauge keeps one
// of the two prepared.
func Clearance(a, b orb.Geometry) (d float64, p, q orb.Point) {
	return NewGauge(a).Clearance(NewGauge(b))
}

// Gauge is a geometry prepared for measuring distances. It may be used by
// several goroutines at a time.
type Gauge struct {
	t     tree
	areas *Locator // nil for no areas
}

// NewGauge prepares any geometry. The coordinates must not be changed while it
// is in use.
func NewGauge(g orb.Geometry) *Gauge {
	k := new(Gauge)
	polygons := polygonsOf(g, nil)
	one := len(polygons) == 1
	if c, ok := g.(orb.Collection); ok {
		one = one && len(c) == 1
	}
	if paths, leafs := sizeOf(g, polygons); paths > 0 {
		k.t.reserve(paths, leafs)
	}
	k.add(g)
	k.t.build()
	switch {
	case one: // one tree serves for both
		k.areas = new(Locator)
		if len(k.t.leafs) > 0 {
			k.areas.parts = []tree{k.t}
		}
	case len(polygons) > 0:
		k.areas = NewLocator(orb.MultiPolygon(polygons))
	}
	return k
}

// sizeOf is at least how many paths and leaves a geometry with these polygons
// has; none for a collection, which may hold anything.
func sizeOf(g orb.Geometry, polygons []orb.Polygon) (paths, leafs int) {
	switch g := g.(type) {
	case orb.Collection:
		return 0, 0
	case orb.Point:
		return 1, 1
	case orb.LineString:
		return 1, len(g)/leafSize + 1
	}
	for _, p := range polygons {
		paths, leafs = paths+len(p), leafs+leafsOf(p)
	}
	return paths, leafs
}

// Areas is the Locator of the geometry's areas.
func (k *Gauge) Areas() *Locator {
	if k.areas == nil {
		return new(Locator)
	}
	return k.areas
}

func (k *Gauge) add(g orb.Geometry) {
	switch g := g.(type) {
	case orb.Point:
		addLoose(&k.t, []orb.Point{g}, 0, false)
	case orb.MultiPoint:
		for _, p := range g {
			addLoose(&k.t, []orb.Point{p}, 0, false)
		}
	case orb.LineString:
		addLoose(&k.t, g, 0, false)
	case orb.MultiLineString:
		for _, line := range g {
			addLoose(&k.t, line, 0, false)
		}
	case orb.Ring, orb.Polygon, orb.MultiPolygon, orb.Bound:
		for _, p := range polygonsOf(g, nil) {
			for i, r := range p {
				addLoose(&k.t, r, i, true)
			}
		}
	case orb.Collection:
		for _, part := range g {
			k.add(part)
		}
	}
}

// Clearance is the function Clearance for prepared geometries.
func (k *Gauge) Clearance(l *Gauge) (d float64, p, q orb.Point) {
	return k.clearance(l, math.Inf(1))
}

// Within reports whether the two come nearer to one another than limit or meet,
// and if so how near and where; it is quicker than Clearance when they do not.
func (k *Gauge) Within(l *Gauge, limit float64) (d float64, p, q orb.Point, ok bool) {
	d, p, q = k.clearance(l, limit*limit)
	return d, p, q, !math.IsInf(d, 1) && (d < limit || d == 0)
}

func (k *Gauge) clearance(l *Gauge, limit2 float64) (d float64, p, q orb.Point) {
	if len(k.t.leafs) == 0 || len(l.t.leafs) == 0 {
		return math.Inf(1), p, q
	}
	// One inside the other: a path that has no point in common with the other's
	// boundary lies wholly in or out, so its first point tells. Should it meet
	// the boundary, the distance is 0 by either way.
	if at, ok := l.areas.anyInside(&k.t); ok {
		return 0, at, at
	}
	if at, ok := k.areas.anyInside(&l.t); ok {
		return 0, at, at
	}
	s := clearing{a: &k.t, b: &l.t, d2: limit2}
	s.nodes(k.t.top(), 0, l.t.top(), 0)
	if !s.found {
		return math.Inf(1), p, q
	}
	return s.d, s.p, s.q
}

// anyInside returns the first point of a path of t that lies in the area.
func (l *Locator) anyInside(t *tree) (orb.Point, bool) {
	if l == nil || len(l.parts) == 0 {
		return orb.Point{}, false
	}
	for i := range t.paths {
		if at := t.paths[i].pts[0]; l.Locate(at) != Outside {
			return at, true
		}
	}
	return orb.Point{}, false
}

// clearing is a search through two trees at once for the least distance.
type clearing struct {
	a, b  *tree
	d2    float64 // only smaller ones are looked for
	d     float64
	p, q  orb.Point
	found bool
}

func (s *clearing) nodes(la, i, lb, j int) {
	ba, bb := &s.a.box[s.a.level[la]+i], &s.b.box[s.b.level[lb]+j]
	if s.out(ba.gap2(bb)) {
		return
	}
	if la == 0 && lb == 0 {
		s.leaves(int32(i), int32(j))
		return
	}
	// Open the higher node; the nearest child first.
	var order [fan]int
	var d2 [fan]float64
	n := 0
	openA := la > lb || la == lb && la > 0
	t, level, k, other := s.a, la, i, bb
	if !openA {
		t, level, k, other = s.b, lb, j, ba
	}
	below, count := t.level[level-1], t.level[level]-t.level[level-1]
	for c := fan * k; c < min(fan*k+fan, count); c++ {
		g := t.box[below+c].gap2(other)
		m := n
		for ; m > 0 && d2[m-1] > g; m-- {
			order[m], d2[m] = order[m-1], d2[m-1]
		}
		order[m], d2[m] = c, g
		n++
	}
	for m := range n {
		if s.out(d2[m]) {
			return
		}
		if openA {
			s.nodes(la-1, order[m], lb, j)
		} else {
			s.nodes(la, i, lb-1, order[m])
		}
	}
}

// out reports whether what is this far apart cannot be better than what was
// found. Until something was found, the limit itself still counts when it is 0
// or infinite.
func (s *clearing) out(gap2 float64) bool {
	if s.found {
		return gap2 >= s.d2
	}
	return gap2 > s.d2
}

func (s *clearing) leaves(i, j int32) {
	la, lb := s.a.leafs[i], s.b.leafs[j]
	pa := s.a.paths[la.path].pts[la.first : la.first+la.count+1]
	pb := s.b.paths[lb.path].pts[lb.first : lb.first+lb.count+1]
	var boxes [leafSize]box
	for k := 1; k < len(pb); k++ {
		boxes[k-1] = boxOf(pb[k-1], pb[k])
	}
	for m := 1; m < len(pa); m++ {
		bm := boxOf(pa[m-1], pa[m])
		for k := 1; k < len(pb); k++ {
			if !s.out(bm.gap2(&boxes[k-1])) {
				s.segments(pa[m-1], pa[m], pb[k-1], pb[k])
			}
		}
	}
}

func (s *clearing) segments(a, b, c, d orb.Point) {
	if x := Cross(a, b, c, d); x.Kind != CrossNone {
		s.d2, s.d, s.p, s.q, s.found = 0, 0, x.P, x.P, true
		return
	}
	try := func(p, a, b orb.Point, swap bool) {
		if d2 := pointToSegment2(p, a, b); s.out(d2) {
			return
		}
		d, q := pointToSegment(p, a, b)
		if d == 0 {
			// They do not meet, so the distance is not 0, only too small to
			// show.
			d = math.SmallestNonzeroFloat64
		}
		if s.found && d >= s.d {
			return
		}
		if swap {
			p, q = q, p
		}
		s.d2, s.d, s.p, s.q, s.found = min(s.d2, d*d), d, p, q, true
	}
	try(a, c, d, false)
	try(b, c, d, false)
	try(c, a, b, true)
	try(d, a, b, true)
}
