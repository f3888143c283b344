// Lengths and places on the plane of a plan, ample for tolerances.

package rings

import (
	"fmt"
	"math"

	"github.com/twpayne/go-geom"

	"swardline/schema"
)

// Scale is how many metres a unit of x and of y has.
type Scale struct{ X, Y float64 }

// ScaleOf returns the scale of a plan: its unit in a grid, and about its first
// point on a sphere of the earth's mean radius when it is in degrees.
func ScaleOf(p *schema.Plan) Scale {
	switch {
	case p.CRS != nil && p.CRS.IsDegrees():
		y := math.Pi / 180 * 6371008.8 // mean radius of GRS 80
		return Scale{y * math.Cos(latitude(p)*math.Pi/180), y}
	case p.CRS != nil && p.CRS.UnitMetres() > 0:
		return Scale{p.CRS.UnitMetres(), p.CRS.UnitMetres()}
	}
	return Scale{1, 1}
}

func latitude(p *schema.Plan) float64 {
	for _, f := range p.Features {
		lat, ok := 0.0, false
		eachLine(f.Geometry, func(flat []float64, stride int) {
			if !ok && len(flat) >= 2 {
				lat, ok = flat[1], true
			}
		})
		if ok {
			return math.Max(-89, math.Min(89, lat))
		}
	}
	return 0
}

// eachLine calls f with the coordinates of each part of a geometry.
func eachLine(g geom.T, f func(flat []float64, stride int)) {
	switch g := g.(type) {
	case nil:
	case *geom.GeometryCollection:
		for _, part := range g.Geoms() {
			eachLine(part, f)
		}
	default:
		f(g.FlatCoords(), g.Stride())
	}
}

// Distance returns the metres between two positions.
func (s Scale) Distance(p, q []float64) float64 {
	return math.Hypot((p[0]-q[0])*s.X, (p[1]-q[1])*s.Y)
}

// Label names a feature for messages: its name or id, else the line it stands
// in.
func Label(f *schema.Feature) string {
	switch {
	case f.Name != "":
		return f.Name
	case f.ID.Text() != "":
		return f.ID.Text()
	case f.Attributes.Get(schema.PropHandle).Text() != "":
		return f.Attributes.Get(schema.PropEntity).Text() + " " + f.Attributes.Get(schema.PropHandle).Text()
	case f.Source.Line > 0:
		return fmt.Sprintf("line %d", f.Source.Line)
	}
	return f.Label()
}

func (s Scale) length(flat []float64, stride int) float64 {
	sum := 0.0
	for v := stride; v < len(flat); v += stride {
		sum += s.Distance(flat[v-stride:v], flat[v:])
	}
	return sum
}

// distinct counts the different places of a line, up to 3.
func distinct(flat []float64, stride int) int {
	n := 0
	var seen [3][2]float64
next:
	for v := 0; v < len(flat) && n < 3; v += stride {
		p := [2]float64{flat[v], flat[v+1]}
		for _, q := range seen[:n] {
			if p == q {
				continue next
			}
		}
		seen[n] = p
		n++
	}
	return n
}

// Box returns the corners of the upright box about positions.
func Box(flat []float64, stride int) (low, high [2]float64) {
	low, high = [2]float64{math.Inf(1), math.Inf(1)}, [2]float64{math.Inf(-1), math.Inf(-1)}
	for v := 0; v < len(flat); v += stride {
		for k := 0; k < 2; k++ {
			low[k], high[k] = math.Min(low[k], flat[v+k]), math.Max(high[k], flat[v+k])
		}
	}
	return low, high
}

// side is positive when r lies to the left of the line from p to q.
func side(p, q, r []float64) float64 {
	s := (q[0]-p[0])*(r[1]-p[1]) - (q[1]-p[1])*(r[0]-p[0])
	switch {
	case s > 0:
		return 1
	case s < 0:
		return -1
	}
	return 0
}

// place is 1 inside the ring, -1 outside, 0 on its outline.
func place(flat []float64, stride int, p []float64) int {
	in := false
	for i := stride; i < len(flat); i += stride {
		a, b := flat[i-stride:i], flat[i:]
		if side(a, b, p) == 0 && p[0] >= math.Min(a[0], b[0]) && p[0] <= math.Max(a[0], b[0]) && p[1] >= math.Min(a[1], b[1]) && p[1] <= math.Max(a[1], b[1]) {
			return 0
		}
		if (a[1] > p[1]) != (b[1] > p[1]) && p[0] < a[0]+(p[1]-a[1])/(b[1]-a[1])*(b[0]-a[0]) {
			in = !in
		}
	}
	if in {
		return 1
	}
	return -1
}

// polygonRings calls f with every ring of a polygon or multipolygon.
func polygonRings(g geom.T, f func(flat []float64, stride int)) {
	switch g := g.(type) {
	case *geom.Polygon:
		start := 0
		for _, end := range g.Ends() {
			f(g.FlatCoords()[start:end], g.Stride())
			start = end
		}
	case *geom.MultiPolygon:
		start := 0
		for _, ends := range g.Endss() {
			for _, end := range ends {
				f(g.FlatCoords()[start:end], g.Stride())
				start = end
			}
		}
	}
}

// Holds reports whether a point lies inside, by the count of its rings
// around the point, or on the outline.
func Holds(g geom.T, p []float64) bool {
	in, on := false, false
	polygonRings(g, func(flat []float64, stride int) {
		switch place(flat, stride, p) {
		case 1:
			in = !in
		case 0:
			on = true
		}
	})
	return in || on
}

// HoldsNear is Holds for a point that may also lie tol metres off the outline.
func (s Scale) HoldsNear(g geom.T, p []float64, tol float64) bool {
	if Holds(g, p) {
		return true
	}
	near := false
	polygonRings(g, func(flat []float64, stride int) {
		for i := stride; i < len(flat) && !near; i += stride {
			near = s.toSegment(p, flat[i-stride:], flat[i:]) <= tol
		}
	})
	return near
}

// Size is the area of the largest ring, in units of the plan.
func Size(g geom.T) float64 {
	most := 0.0
	polygonRings(g, func(flat []float64, stride int) {
		most = math.Max(most, math.Abs(schema.TwiceArea(flat, stride)))
	})
	return most
}

// ToGeometry is the distance in metres from a point to the vertices and lines
// of a geometry.
func (s Scale) ToGeometry(g geom.T, p []float64) float64 {
	best := math.Inf(1)
	flat, stride := g.FlatCoords(), g.Stride()
	ends := g.Ends() // nil for one point or line
	if ends == nil {
		ends = []int{len(flat)}
	}
	start := 0
	for _, end := range ends {
		for v := start; v < end; v += stride {
			best = math.Min(best, s.Distance(flat[v:], p))
			if v > start {
				best = math.Min(best, s.toSegment(p, flat[v-stride:], flat[v:]))
			}
		}
		start = end
	}
	return best
}

func (s Scale) toSegment(p, q, r []float64) float64 {
	dx, dy := (r[0]-q[0])*s.X, (r[1]-q[1])*s.Y
	px, py := (p[0]-q[0])*s.X, (p[1]-q[1])*s.Y
	if l := dx*dx + dy*dy; l > 0 {
		t := math.Max(0, math.Min(1, (px*dx+py*dy)/l))
		return math.Hypot(px-t*dx, py-t*dy)
	}
	return math.Hypot(px, py)
}

// Sizes returns whether a geometry is closed (an outline, or a line whose ends
// lie within tol metres of each other), its area in square metres (NaN for what
// is not closed), and its length, for an outline the way round, in metres (NaN
// for points and mixed geometries).
func (s Scale) Sizes(g geom.T, tol float64) (closed bool, area, length float64) {
	area, length = math.NaN(), math.NaN()
	switch g := g.(type) {
	case *geom.Polygon, *geom.MultiPolygon:
		closed, area, length = true, 0, 0
		parts := [][]int{}
		switch g := g.(type) {
		case *geom.Polygon:
			parts = append(parts, g.Ends())
		case *geom.MultiPolygon:
			parts = g.Endss()
		}
		flat, stride, start := g.FlatCoords(), g.Stride(), 0
		for _, ends := range parts {
			for i, end := range ends {
				ring := math.Abs(schema.TwiceArea(flat[start:end], stride)) / 2 * s.X * s.Y
				if i > 0 {
					ring = -ring
				}
				area += ring
				length += s.length(flat[start:end], stride)
				start = end
			}
		}
	case *geom.LineString:
		flat, stride := g.FlatCoords(), g.Stride()
		length = s.length(flat, stride)
		if g.NumCoords() > 3 && s.Distance(flat[:stride], flat[len(flat)-stride:]) <= tol {
			closed = true
			area = math.Abs(schema.TwiceArea(flat, stride)) / 2 * s.X * s.Y
		}
	case *geom.MultiLineString:
		flat, stride, start := g.FlatCoords(), g.Stride(), 0
		length = 0
		for _, end := range g.Ends() {
			length += s.length(flat[start:end], stride)
			start = end
		}
	}
	return closed, area, length
}
