// The tangent plane: topocentric east and north of geodetic positions.

package validate

import (
	"math"

	"github.com/paulmach/orb"

	"swardline/crs"
)

// tangent takes geodetic positions, all at one height, to the topocentric
// system at an origin (IOGP Publication 373-7-2, method 9837; symbols as
// there). Only east and north are kept.
type tangent struct {
	a, e2            float64
	lon0, lat0, h    float64 // degrees, degrees, metres
	sinPhi0, cosPhi0 float64
	nu0              float64
	origin           orb.Point // forward of the origin: nothing but rounding
}

func newTangent(a, f, lon0, lat0, h float64) tangent {
	t := tangent{a: a, e2: f * (2 - f), lon0: lon0, lat0: lat0, h: h}
	t.sinPhi0, t.cosPhi0 = math.Sincos(lat0 * (math.Pi / 180))
	t.nu0 = a / math.Sqrt(1-t.e2*t.sinPhi0*t.sinPhi0)
	t.origin = t.forward(lon0, lat0)
	return t
}

// forward returns east and north in metres. The rounding error is below 1e-8 m
// within 20 km of the origin: the largest term is 6.4e6 m times a few units in
// the last place.
func (t *tangent) forward(lon, lat float64) orb.Point {
	sinPhi, cosPhi := math.Sincos(lat * (math.Pi / 180))
	return t.at(sinPhi, cosPhi, (lon-t.lon0)*(math.Pi/180))
}

// at is forward of the latitude with this sine and cosine, dl radians east of
// the origin.
func (t *tangent) at(sinPhi, cosPhi, dl float64) orb.Point {
	sinDL, cosDL := math.Sincos(dl)
	nu := t.a / math.Sqrt(1-t.e2*sinPhi*sinPhi)
	return orb.Point{
		(nu + t.h) * cosPhi * sinDL,
		(nu+t.h)*(sinPhi*t.cosPhi0-cosPhi*t.sinPhi0*cosDL) + t.e2*(t.nu0*t.sinPhi0-nu*sinPhi)*t.cosPhi0,
	}
}

// inverse returns the longitude and latitude, in degrees, whose position at the
// common height falls on p. It iterates on the forward formula with the radii
// of curvature at the origin; each step gains the ratio of distance to earth
// radius, so that five steps are enough within 100 km. NaN when p is farther
// off than the iteration converges.
func (t *tangent) inverse(p orb.Point) (lon, lat float64) {
	w := 1 - t.e2*t.sinPhi0*t.sinPhi0
	rho := t.a * (1 - t.e2) / (w * math.Sqrt(w))
	lon, lat = t.lon0, t.lat0
	perLat := 180 / math.Pi / (rho + t.h)
	perLon := 180 / math.Pi / ((t.nu0 + t.h) * math.Max(t.cosPhi0, 1e-9)) * t.cosPhi0
	q := t.origin
	sinG, cosG := 0.0, 1.0
	for range 12 {
		de, dn := p[0]-q[0], p[1]-q[1]
		if !(math.Abs(de) < 1e6 && math.Abs(dn) < 1e6) {
			return math.NaN(), math.NaN()
		}
		// Meridians converge: turn the step by the convergence at this
		// longitude.
		lat += (dn*cosG - de*sinG) * perLat
		sinPhi, cosPhi := math.Sincos(lat * (math.Pi / 180))
		lon += (de*cosG + dn*sinG) * perLon / math.Max(cosPhi, 1e-9)
		if math.Abs(de) < 1e-7 && math.Abs(dn) < 1e-7 {
			break
		}
		dl := (lon - t.lon0) * (math.Pi / 180)
		q = t.at(sinPhi, cosPhi, dl)
		sinG, cosG = math.Sincos(dl * t.sinPhi0)
	}
	return math.Remainder(lon, 360), lat
}

// plainlyNear tells, quickly, that a position whose forward is p lies within
// MaxSpanM: within a degree of the origin and at most half of that east and
// north, the chord is less than a hundredth longer than p. False says nothing.
func (t *tangent) plainlyNear(lon, lat float64, p *orb.Point) bool {
	return math.Abs(lon-t.lon0) < 1 && math.Abs(lat-t.lat0) < 1 && math.Abs(p[0]) < MaxSpanM/2 && math.Abs(p[1]) < MaxSpanM/2
}

// chord is the straight distance from the origin in metres, heights equal. It
// holds at any distance, where east and north fold back beyond a quarter of the
// earth.
func (t *tangent) chord(lon, lat float64) float64 {
	p := t.forward(lon, lat)
	sinPhi, cosPhi := math.Sincos(lat * (math.Pi / 180))
	cosDL := math.Cos((lon - t.lon0) * (math.Pi / 180))
	nu := t.a / math.Sqrt(1-t.e2*sinPhi*sinPhi)
	u := (nu+t.h)*(sinPhi*t.sinPhi0+cosPhi*t.cosPhi0*cosDL) +
		t.e2*(t.nu0*t.sinPhi0-nu*sinPhi)*t.sinPhi0 - (t.nu0 + t.h)
	return math.Sqrt(p[0]*p[0] + p[1]*p[1] + u*u)
}

// ellipsoidOf returns the semi-major axis in metres and the flattening of the
// CRS's ellipsoid.
func ellipsoidOf(c *crs.CRS) (a, f float64) {
	a, invF := c.Ellipsoid()
	if invF == 0 {
		return a, 0 // a sphere
	}
	return a, 1 / invF
}
