// Geocentric: earth-centred axes to and from longitude, latitude and height
// (EPSG method 9602), and the topocentric system east, north and up of an
// origin (EPSG methods 9836 and 9837).

package crs

import (
	"fmt"
	"math"
)

const (
	radPerDeg = math.Pi / 180
	degPerRad = 180 / math.Pi
)

// toGeocentric converts longitude and latitude in radians and height in metres
// to X, Y, Z; IOGP 373-7-2 section 4.1.1. The formula is closed and holds
// everywhere.
func (el *ellipsoid) toGeocentric(lam, phi, h float64) (x, y, z float64) {
	sp, cp := math.Sincos(phi)
	sl, cl := math.Sincos(lam)
	nu := el.primeVertical(sp)
	r := (nu + h) * cp
	return r * cl, r * sl, (nu*(1-el.e2) + h) * sp
}

// leastRadius is the distance from the earth's centre, as a part of the
// semi-major axis, below which a position has no sensible latitude: well
// outside the evolute of the meridian (0.0067 a), where normals cross.
const leastRadius = 0.15

// fromGeocentric is the inverse of toGeocentric: Bowring's iteration on the
// reduced latitude beta with his start of 1985 (Surv. Rev. 28, 202), twice.
// Error below 1e-8 m from leastRadius out to 1e9 m. NaN inside leastRadius.
func (el *ellipsoid) fromGeocentric(x, y, z float64) (lam, phi, h float64) {
	p2 := x*x + y*y
	p := math.Sqrt(p2)
	r := math.Sqrt(p2 + z*z)
	if !(r >= leastRadius*el.a) {
		return math.NaN(), math.NaN(), math.NaN()
	}
	// u and v are proportional to sin and cos of beta.
	u := el.b * z * (1 + el.ep2*el.b/r)
	v := el.a * p
	var num, den float64
	for range 2 {
		w := 1 / math.Sqrt(u*u+v*v)
		sb, cb := u*w, v*w
		num = z + el.ep2*el.b*sb*sb*sb
		den = p - el.e2*el.a*cb*cb*cb
		u, v = (1-el.f)*num, den
	}
	w := math.Sqrt(num*num + den*den)
	s, c := num/w, den/w
	h = p*c + z*s - el.a*math.Sqrt(1-el.e2*s*s)
	// den is p less a part of it, so never below 0 outside the evolute.
	return math.Atan2(y, x), math.Atan2(num, den), h
}

// Topocentric is the system east, north and up of an origin on an ellipsoid:
// the plane e, n touches the surface of constant height through the origin.
// EPSG methods 9836 and 9837; IOGP 373-7-2 section 4.1.3. It is exact at any
// distance; the error is that of the conversion to geocentric, below 1e-8 m.
type Topocentric struct {
	el             *ellipsoid
	x0, y0, z0     float64
	sp, cp, sl, cl float64 // sine and cosine of the origin's latitude and longitude
}

// NewTopocentric returns the topocentric system at the origin on the ellipsoid
// with semi-major axis a in metres and inverse flattening invF (0: a sphere;
// else at least 150, the flattest figure the conversions are good for).
func NewTopocentric(origin Geodetic, a, invF float64) (*Topocentric, error) {
	if !(a > 0) || math.IsInf(a, 0) || !(invF == 0 || invF >= 150) {
		return nil, fmt.Errorf("topocentric: no ellipsoid of the earth has semi-major axis %v and inverse flattening %v", a, invF)
	}
	if err := checkGeodetic(origin); err != nil {
		return nil, fmt.Errorf("topocentric origin: %w", err)
	}
	return newTopocentric(origin, newEllipsoid(0, "", a, invF)), nil
}

func newTopocentric(o Geodetic, el *ellipsoid) *Topocentric {
	t := &Topocentric{el: el}
	t.x0, t.y0, t.z0 = el.toGeocentric(o.Lon.Radians(), o.Lat.Radians(), float64(o.H))
	t.sp, t.cp = math.Sincos(o.Lat.Radians())
	t.sl, t.cl = math.Sincos(o.Lon.Radians())
	return t
}

// checkGeodetic says what is wrong with a position, nil when nothing is.
func checkGeodetic(g Geodetic) error {
	switch {
	case !(g.Lat >= -90 && g.Lat <= 90):
		return fmt.Errorf("latitude %v is not within -90 and 90 degrees", float64(g.Lat))
	case !(g.Lon >= -360 && g.Lon <= 360):
		return fmt.Errorf("longitude %v is not within -360 and 360 degrees", float64(g.Lon))
	case math.IsNaN(float64(g.H)) || math.IsInf(float64(g.H), 0):
		return fmt.Errorf("height %v is no number", float64(g.H))
	}
	return nil
}

// fromXYZ turns geocentric coordinates into east, north, up.
func (t *Topocentric) fromXYZ(x, y, z float64) (e, n, u float64) {
	x, y, z = x-t.x0, y-t.y0, z-t.z0
	q := t.cl*x + t.sl*y
	return t.cl*y - t.sl*x, t.cp*z - t.sp*q, t.cp*q + t.sp*z
}

// toXYZ is the inverse of fromXYZ.
func (t *Topocentric) toXYZ(e, n, u float64) (x, y, z float64) {
	q := t.cp*u - t.sp*n
	return t.x0 + t.cl*q - t.sl*e, t.y0 + t.sl*q + t.cl*e, t.z0 + t.cp*n + t.sp*u
}

// FromGeocentric returns a position in earth-centred axes as east, north and up
// of the origin.
func (t *Topocentric) FromGeocentric(g Geocentric) Local {
	e, n, u := t.fromXYZ(float64(g.X), float64(g.Y), float64(g.Z))
	return Local{E: Metres(e), N: Metres(n), U: Metres(u)}
}

// Up is the U of a position in earth-centred axes: how far it stands above the
// level plane of the origin, in metres.
func (t *Topocentric) Up(g Geocentric) float64 {
	x, y, z := float64(g.X)-t.x0, float64(g.Y)-t.y0, float64(g.Z)-t.z0
	return t.cp*(t.cl*x+t.sl*y) + t.sp*z
}

// Local returns the position east, north and up of the origin.
func (t *Topocentric) Local(g Geodetic) Local {
	e, n, u := t.fromXYZ(t.el.toGeocentric(g.Lon.Radians(), g.Lat.Radians(), float64(g.H)))
	return Local{E: Metres(e), N: Metres(n), U: Metres(u)}
}

// Geodetic is the inverse of Local. Positions near the earth's centre give NaN.
func (t *Topocentric) Geodetic(l Local) Geodetic {
	lam, phi, h := t.el.fromGeocentric(t.toXYZ(float64(l.E), float64(l.N), float64(l.U)))
	return Geodetic{Lon: Degrees(lam * degPerRad), Lat: Degrees(phi * degPerRad), H: Metres(h)}
}

// FromGeodetic replaces longitude, latitude in degrees and height in metres
// (stride numbers a point, at least 3) by east, north and up in metres, in
// place. The error names the first point that is not on earth.
func (t *Topocentric) FromGeodetic(flat []float64, stride int) error {
	if err := checkStride(flat, stride, 3); err != nil {
		return err
	}
	if small(flat, stride) {
		return t.fromGeodetic(flat, stride, 0)
	}
	return inChunks(flat, stride, func(part []float64, first int) error { return t.fromGeodetic(part, stride, first) })
}

func (t *Topocentric) fromGeodetic(part []float64, stride, first int) error {
	for i := 0; i+2 < len(part); i += stride {
		lon, lat, h := part[i], part[i+1], part[i+2]
		if !(lat >= -90 && lat <= 90 && lon >= -360 && lon <= 360) || h-h != 0 {
			return &PointError{Index: first + i/stride, X: lon, Y: lat, Problem: "no longitude, latitude and height"}
		}
		part[i], part[i+1], part[i+2] = t.fromXYZ(t.el.toGeocentric(lon*radPerDeg, lat*radPerDeg, h))
	}
	return nil
}

// ToGeodetic is the inverse of FromGeodetic.
func (t *Topocentric) ToGeodetic(flat []float64, stride int) error {
	if err := checkStride(flat, stride, 3); err != nil {
		return err
	}
	if small(flat, stride) {
		return t.toGeodetic(flat, stride, 0)
	}
	return inChunks(flat, stride, func(part []float64, first int) error { return t.toGeodetic(part, stride, first) })
}

func (t *Topocentric) toGeodetic(part []float64, stride, first int) error {
	for i := 0; i+2 < len(part); i += stride {
		lam, phi, h := t.el.fromGeocentric(t.toXYZ(part[i], part[i+1], part[i+2]))
		if h-h != 0 {
			return &PointError{Index: first + i/stride, X: part[i], Y: part[i+1], Problem: "not on earth"}
		}
		part[i], part[i+1], part[i+2] = lam*degPerRad, phi*degPerRad, h
	}
	return nil
}
