// Offsets: an area grown or shrunk by a distance, and the area around points
// and lines.

package plane

import (
	"errors"
	"math"
	"slices"

	"github.com/paulmach/orb"
)

// Join says how an offset turns corners: round, or mitred.
type Join struct {
	mitre float64 // limit; 0: round
	chord float64 // how far the chords of a round join stay inside the arc
}

// Round is a join along an arc about the corner: every point of the new
// boundary then has the offset as its distance from the old one, less at most
// chordError, in the units of the coordinates, by which the chords cut into the
// arc.
func Round(chordError float64) Join { return Join{chord: chordError} }

// Mitre is a join along the offset edges to where they meet. Where that is
// further than limit times the offset from the corner, the tip is cut off
// square at that distance. A right angle needs a limit of 1.4143 to stay whole;
// limits below 1 are an error.
func Mitre(limit float64) Join { return Join{mitre: limit} }

// ErrJoin: the join has a limit below 1, or a chord error that is not above 0.
var ErrJoin = errors.New("a mitre limit is at least 1, a chord error above 0")

func (j Join) check() error {
	switch {
	case j.mitre == 0 && j.chord > 0 && !math.IsInf(j.chord, 0):
		return nil
	case j.mitre >= 1 && !math.IsInf(j.mitre, 0):
		return nil
	}
	return ErrJoin
}

// Offset returns the area p grown by the distance by, or shrunk when by is
// negative, holes the other way. It may come out empty (nil), in pieces, or
// with other holes than before. With round joins it is the set of points nearer
// to p than by, or that have no point outside p nearer than -by. The result is
// as Combine describes; pieces and holes narrower on average than twice the
// chord error (with mitres: 2^-30 of the offset) are left out.
//
// A polygon that is not valid is taken for what it covers as Combine sees it.
// Errors are ErrNotFinite, ErrTooLarge, ErrJoin and ErrNoArrangement. With by
// zero the result is p, on the grid.
//
// Method: each ring is followed at the distance, with a join at every corner
// that opens to that side and a chord where it closes. For a simple ring R and
// a disc D this curve has, at x, the number of pieces of R within D about x as
// its winding number, plus 1 where a chord cut off a part of D's arc (the
// convolution of R and D; Guibas, Ramshaw and Stolfi 1983). A piece of a simple
// ring's inside within a disc has no holes, so the number counts pieces, and is
// above 0 exactly where the ring grown by D is. The same holds for the outside,
// which gives the shrunken ring, unless all of R fits into D; then nothing is
// left. Holes are simple rings of their own: a disc that misses the area lies
// in one hole.
func Offset(p orb.Polygon, by float64, join Join) (orb.MultiPolygon, error) {
	if err := join.check(); err != nil {
		return nil, err
	}
	if math.IsNaN(by) || math.IsInf(by, 0) {
		return nil, ErrNotFinite
	}
	if IsValid([]orb.Polygon{p}) {
		return offsetValid(p, by, join)
	}
	parts, err := Union(orb.MultiPolygon{p}, nil)
	if err != nil {
		return nil, err
	}
	var out orb.MultiPolygon
	for _, part := range parts {
		mp, err := offsetValid(part, by, join)
		if err != nil {
			return nil, err
		}
		out = append(out, mp...)
	}
	return Union(out, nil)
}

func offsetValid(p orb.Polygon, by float64, join Join) (orb.MultiPolygon, error) {
	var r arrangement
	for i, ring := range p {
		operand, d := 0, by
		if i > 0 {
			operand, d = 1, -by
		}
		c := offsetCurve{join: join, distance: math.Abs(d), right: d > 0}
		pts := distinctPoints(ring)
		if len(pts) == 0 {
			continue
		}
		if Turn(ring) < 0 {
			reverse(pts)
		}
		if d < 0 && fitsCircle(pts, -d*(1+0x1p-30)) {
			if i == 0 {
				return nil, nil
			}
			continue
		}
		c.follow(pts)
		r.addRing(c.out, operand, 1)
	}
	mp, err := r.simple()
	if mp == nil && err == nil {
		mp, err = r.areas(func(w winding) bool { return w[0] > 0 && w[1] <= 0 })
	}
	return dropSlivers(mp, join.sliver(by)), err
}

// simple returns the curves as one polygon when it is plain that they bound
// one: a shell and holes, each run through once and anticlockwise, that do not
// meet. Otherwise it returns nil.
func (r *arrangement) simple() (orb.MultiPolygon, error) {
	m, err := r.largest()
	if err != nil || len(r.curves) == 0 || r.curves[0].w[0] != 1 {
		return nil, err
	}
	r.grid = gridFor(m, 0)
	p := make(orb.Polygon, len(r.curves))
	for i, c := range r.curves {
		if len(c.pts) == 0 {
			return nil, nil
		}
		ring := make(orb.Ring, 0, len(c.pts)+1)
		low := 0
		for j := range c.pts {
			q := snapPoint(c.pts[j], r.grid)
			if len(ring) > 0 && q == ring[len(ring)-1] {
				continue
			}
			ring = append(ring, q)
			if pointLess(q, ring[low]) {
				low = len(ring) - 1
			}
		}
		if len(ring) > 1 && ring[0] == ring[len(ring)-1] {
			ring = ring[:len(ring)-1]
			low %= len(ring)
		}
		if len(ring) < 3 || Turn(ring) < 0 {
			return nil, nil
		}
		if low > 0 {
			ring = append(append(make(orb.Ring, 0, len(ring)+1), ring[low:]...), ring[:low]...)
		}
		if i > 0 {
			reverse(ring[1:]) // holes clockwise
		}
		p[i] = append(ring, ring[0])
	}
	if !IsValid([]orb.Polygon{p}) {
		return nil, nil
	}
	slices.SortFunc(p[1:], compareRings)
	return orb.MultiPolygon{p}, nil
}

// sliver returns the mean half width up to which a piece is a matter of
// rounding.
func (j Join) sliver(by float64) float64 {
	if j.mitre > 0 {
		return math.Abs(by) * 0x1p-30
	}
	return min(j.chord, math.Abs(by)*0x1p-4)
}

// Buffer returns the area nearer than radius to a geometry: the ground that
// something of twice that width covers when its middle follows a line. Lines
// have round ends; the chords of all arcs stay inside them by at most
// chordError. Areas are grown as Offset does with round joins. The result and
// the errors are those of Offset; points and lines with a coordinate that is
// not finite give ErrNotFinite, a radius that is not above 0 ErrRadius.
func Buffer(g orb.Geometry, radius, chordError float64) (orb.MultiPolygon, error) {
	if !(radius > 0) || math.IsInf(radius, 0) {
		return nil, ErrRadius
	}
	join := Round(chordError)
	if err := join.check(); err != nil {
		return nil, err
	}
	var r arrangement
	var grown orb.MultiPolygon
	add := func(pts []orb.Point) error {
		for _, p := range pts {
			if !finite(p) {
				return ErrNotFinite
			}
		}
		pts = distinctLine(pts)
		if len(pts) == 0 {
			return nil
		}
		c := offsetCurve{join: join, distance: radius, right: true}
		if len(pts) == 1 {
			c.circle(pts[0])
		} else {
			// Out and back, both times on the right: a closed curve around the
			// line.
			for i := len(pts) - 2; i > 0; i-- {
				pts = append(pts, pts[i])
			}
			c.follow(pts)
		}
		r.addRing(c.out, 0, 1)
		return nil
	}
	var visit func(g orb.Geometry) error
	visit = func(g orb.Geometry) error {
		switch g := g.(type) {
		case orb.Point:
			return add([]orb.Point{g})
		case orb.MultiPoint:
			for _, p := range g {
				if err := add([]orb.Point{p}); err != nil {
					return err
				}
			}
		case orb.LineString:
			return add(g)
		case orb.MultiLineString:
			for _, l := range g {
				if err := add(l); err != nil {
					return err
				}
			}
		case orb.Collection:
			for _, part := range g {
				if err := visit(part); err != nil {
					return err
				}
			}
		default:
			for _, p := range polygonsOf(g, nil) {
				mp, err := Offset(p, radius, join)
				if err != nil {
					return err
				}
				grown = append(grown, mp...)
			}
		}
		return nil
	}
	if err := visit(g); err != nil {
		return nil, err
	}
	var mp orb.MultiPolygon
	var err error
	if len(r.curves) == 1 {
		mp, err = r.simple()
	}
	if mp == nil && err == nil {
		mp, err = r.areas(func(w winding) bool { return w[0] > 0 })
	}
	if err != nil {
		return nil, err
	}
	mp = dropSlivers(mp, join.sliver(radius))
	switch {
	case len(grown) == 0:
		return mp, nil
	case len(mp) == 0 && len(grown) == 1:
		return grown, nil
	}
	return Union(mp, grown)
}

// ErrRadius: a radius is not a finite number above 0.
var ErrRadius = errors.New("a radius is a finite number above 0")

// offsetCurve follows a closed sequence of points at a distance.
type offsetCurve struct {
	join     Join
	distance float64
	right    bool // on which side
	out      []orb.Point
}

// follow appends the curve along the closed sequence pts, no two neighbours of
// which are equal.
//
// Where a corner closes, the sides of the curve cross one another before their
// ends, and what follows is a small loop around points that two pieces of the
// ring, the two sides, are near to. The loop counts one of them twice, and is
// left out when both sides reach as far as the crossing.
func (c *offsetCurve) follow(pts []orb.Point) {
	if c.distance == 0 {
		c.out = append(c.out, pts...)
		return
	}
	n := len(pts)
	dir := make([][2]float64, n) // of the side that begins at each vertex
	reach := make([]float64, n)  // its length
	for i, p := range pts {
		q := pts[(i+1)%n]
		x, y := q[0]-p[0], q[1]-p[1]
		reach[i] = math.Hypot(x, y)
		dir[i] = [2]float64{x / reach[i], y / reach[i]}
	}
	const opens, straight = -1, 0
	trim := make([]float64, n) // how far before its end a side is crossed at a corner that closes; or opens or straight
	for i, p := range pts {
		u, v := dir[(i+n-1)%n], dir[i]
		turn := Orient(pts[(i+n-1)%n], p, pts[(i+1)%n])
		cos := u[0]*v[0] + u[1]*v[1]
		switch {
		case turn == 0 && cos > 0:
			trim[i] = straight
		case turn == 0 || turn > 0 == c.right:
			trim[i] = opens
		default: // d tan(a/2)
			trim[i] = max(c.distance*math.Abs(det2(u[0], u[1], v[0], v[1]))/(1+cos), math.SmallestNonzeroFloat64)
		}
	}
	for i, p := range pts {
		k, j := (i+n-1)%n, (i+1)%n
		u, v := dir[k], dir[i]
		switch {
		case trim[i] == opens:
			c.corner(p, u[0], u[1], v[0], v[1])
		case trim[i] == straight:
			c.at(p, v[0], v[1])
		case trim[i]+max(trim[k], 0) <= reach[k] && trim[i]+max(trim[j], 0) <= reach[i]:
			nx, ny := c.normal(u[0], u[1])
			c.out = append(c.out, orb.Point{p[0] + nx*c.distance - u[0]*trim[i], p[1] + ny*c.distance - u[1]*trim[i]})
		default:
			c.at(p, u[0], u[1])
			c.at(p, v[0], v[1])
		}
	}
}

func direction(a, b orb.Point) (x, y float64) {
	x, y = b[0]-a[0], b[1]-a[1]
	l := math.Hypot(x, y)
	return x / l, y / l
}

// at appends the point beside p at right angles to the direction u.
func (c *offsetCurve) at(p orb.Point, ux, uy float64) {
	nx, ny := c.normal(ux, uy)
	c.out = append(c.out, orb.Point{p[0] + nx*c.distance, p[1] + ny*c.distance})
}

func (c *offsetCurve) normal(ux, uy float64) (x, y float64) {
	if c.right {
		return uy, -ux
	}
	return -uy, ux
}

// corner joins the sides along u and v around p.
func (c *offsetCurve) corner(p orb.Point, ux, uy, vx, vy float64) {
	c.at(p, ux, uy)
	defer c.at(p, vx, vy)
	angle := math.Atan2(math.Abs(ux*vy-uy*vx), ux*vx+uy*vy) // 0 to pi
	d := c.distance
	if c.join.mitre > 0 {
		half := angle / 2
		if math.Cos(half)*c.join.mitre >= 1 {
			t := d * math.Tan(half)
			nx, ny := c.normal(ux, uy)
			c.out = append(c.out, orb.Point{p[0] + nx*d + ux*t, p[1] + ny*d + uy*t})
			return
		}
		t := d * (c.join.mitre - math.Cos(half)) / math.Sin(half)
		nx, ny := c.normal(ux, uy)
		c.out = append(c.out, orb.Point{p[0] + nx*d + ux*t, p[1] + ny*d + uy*t})
		nx, ny = c.normal(vx, vy)
		c.out = append(c.out, orb.Point{p[0] + nx*d - vx*t, p[1] + ny*d - vy*t})
		return
	}
	steps := int(math.Ceil(angle / c.stepAngle()))
	nx, ny := c.normal(ux, uy)
	step := angle / float64(max(steps, 1))
	if !c.right {
		step = -step
	}
	for k := 1; k < steps; k++ {
		sin, cos := math.Sincos(float64(k) * step)
		c.out = append(c.out, orb.Point{p[0] + d*(nx*cos-ny*sin), p[1] + d*(nx*sin+ny*cos)})
	}
}

// stepAngle is the greatest angle whose chord stays within the chord error of
// the arc: the sagitta of an angle a is d(1 - cos(a/2)).
func (c *offsetCurve) stepAngle() float64 {
	f := c.join.chord / c.distance
	if f > 1-math.Sqrt2/2 {
		return math.Pi / 2
	}
	// 1 - cos(a/2) = 2 sin^2(a/4)
	return max(4*math.Asin(math.Sqrt(f/2)), 2*math.Pi/maxCircleSteps)
}

// maxCircleSteps bounds the points of a circle, whatever the chord error.
const maxCircleSteps = 4096

// circle appends a circle about p.
func (c *offsetCurve) circle(p orb.Point) {
	steps := int(math.Ceil(2 * math.Pi / c.stepAngle()))
	for k := range steps {
		sin, cos := math.Sincos(2 * math.Pi * float64(k) / float64(steps))
		c.out = append(c.out, orb.Point{p[0] + c.distance*cos, p[1] + c.distance*sin})
	}
}

// distinctPoints returns the vertices of a ring without closing point and
// repetitions.
func distinctPoints(r orb.Ring) []orb.Point {
	idx := distinct(r)
	pts := make([]orb.Point, len(idx), len(idx)+1) // there is room to close it
	for i, k := range idx {
		pts[i] = r[k]
	}
	return pts
}

// distinctLine returns a copy of the line without repetitions.
func distinctLine(line []orb.Point) []orb.Point {
	pts := make([]orb.Point, 0, 2*len(line))
	for _, p := range line {
		if len(pts) == 0 || p != pts[len(pts)-1] {
			pts = append(pts, p)
		}
	}
	return pts
}

func reverse(pts []orb.Point) {
	for i, j := 0, len(pts)-1; i < j; i, j = i+1, j-1 {
		pts[i], pts[j] = pts[j], pts[i]
	}
}

// dropSlivers leaves out rings whose area is at most their length times width.
func dropSlivers(mp orb.MultiPolygon, width float64) orb.MultiPolygon {
	thin := func(r orb.Ring) bool {
		length := 0.0
		for i := 1; i < len(r); i++ {
			length += math.Hypot(r[i][0]-r[i-1][0], r[i][1]-r[i-1][1])
		}
		return math.Abs(SignedArea(r)) <= length*width
	}
	out := mp[:0]
	for _, p := range mp {
		if thin(p[0]) {
			continue
		}
		rings := p[:1]
		for _, hole := range p[1:] {
			if !thin(hole) {
				rings = append(rings, hole)
			}
		}
		out = append(out, rings)
	}
	if len(out) == 0 {
		return nil
	}
	return out
}

// fitsCircle reports whether some circle of the radius has all points in it, to
// within rounding. Method: the smallest circle around the first points is kept
// up point by point; one outside it is on the edge of the next (Welzl 1991).
func fitsCircle(pts []orb.Point, radius float64) bool {
	b := orb.MultiPoint(pts).Bound()
	if b.Max[0]-b.Min[0] > 2*radius || b.Max[1]-b.Min[1] > 2*radius {
		return false
	}
	var c orb.Point
	var r float64
	out := func(p orb.Point) bool { return math.Hypot(p[0]-c[0], p[1]-c[1]) > r*(1+0x1p-40) }
	// A fixed shuffle keeps the expected time linear for points in order.
	order := make([]orb.Point, len(pts))
	step := 1
	for _, s := range [...]int{104729, 7919, 31, 1} {
		if gcd(s, len(pts)) == 1 {
			step = s
			break
		}
	}
	for i := range pts {
		order[i] = pts[i*step%len(pts)]
	}
	for i, p := range order {
		if i > 0 && !out(p) {
			continue
		}
		c, r = p, 0
		for j, q := range order[:i] {
			if !out(q) {
				continue
			}
			c, r = orb.Point{p[0]/2 + q[0]/2, p[1]/2 + q[1]/2}, math.Hypot(p[0]-q[0], p[1]-q[1])/2
			for _, s := range order[:j] {
				if out(s) {
					c, r = circumcircle(p, q, s)
				}
			}
		}
	}
	return r <= radius
}

func gcd(a, b int) int {
	for b != 0 {
		a, b = b, a%b
	}
	return a
}

// circumcircle returns the circle through three points; of points on a line,
// one around the two furthest apart.
func circumcircle(a, b, c orb.Point) (orb.Point, float64) {
	bx, by, cx, cy := b[0]-a[0], b[1]-a[1], c[0]-a[0], c[1]-a[1]
	d := 2 * det2(bx, by, cx, cy)
	b2, c2 := bx*bx+by*by, cx*cx+cy*cy
	x, y := (cy*b2-by*c2)/d, (bx*c2-cx*b2)/d
	if d == 0 || math.IsNaN(x) || math.IsInf(x, 0) || math.IsNaN(y) || math.IsInf(y, 0) {
		var m orb.Point
		r := 0.0
		for _, e := range [...][2]orb.Point{{a, b}, {b, c}, {c, a}} {
			if l := math.Hypot(e[0][0]-e[1][0], e[0][1]-e[1][1]) / 2; l > r {
				m, r = orb.Point{e[0][0]/2 + e[1][0]/2, e[0][1]/2 + e[1][1]/2}, l
			}
		}
		return m, r
	}
	return orb.Point{a[0] + x, a[1] + y}, math.Hypot(x, y)
}
