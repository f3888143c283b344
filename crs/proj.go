// Projections: what they share, and the table of methods.

package crs

import (
	"fmt"
	"math"
	"runtime"
	"sync"
)

// projection is a map projection without its longitude of origin, false origin
// and units: lam is the longitude in radians from the projection's own origin
// (within -pi and pi), phi the geodetic latitude, x and y are metres east and
// north. A point outside the domain gives NaN.
type projection interface {
	forward(lam, phi float64) (x, y float64)
	inverse(x, y float64) (lam, phi float64)
}

// plane is a projection with its place on earth and on paper.
type plane struct {
	proj    projection
	lon0    float64 // longitude of origin, degrees east of Greenwich
	fe, fn  float64 // false easting and northing, metres east and north
	unit    float64 // metres in one unit of the plane coordinates
	perUnit float64 // its inverse
}

// A maker builds a projection from its parameters: the longitude of origin in
// degrees from the conversion's prime meridian, the false origin in metres.
type maker func(c *conversion, el *ellipsoid) (p projection, lon0, fe, fn float64, err error)

// methods are the projection methods known, by EPSG code.
var methods map[int]maker

// register adds a method; each file of a projection does so for its own.
func register(m maker, codes ...int) struct{} {
	if methods == nil {
		methods = map[int]maker{}
	}
	for _, c := range codes {
		methods[c] = m
	}
	return struct{}{}
}

func newPlane(c *conversion, d *datum, unit float64) (*plane, error) {
	m := methods[c.method]
	if m == nil {
		return nil, fmt.Errorf("the projection method %s (EPSG:%d) is not supported", projectionName(c.method), c.method)
	}
	for _, p := range c.params {
		if err := p.check(); err != nil {
			return nil, err
		}
	}
	proj, lon0, fe, fn, err := m(c, d.el)
	if err != nil {
		return nil, err
	}
	return &plane{proj: proj, lon0: lon0 + d.pm, fe: fe, fn: fn, unit: unit, perUnit: 1 / unit}, nil
}

// check says what is wrong with a parameter's value, nil when nothing is.
func (p *parameter) check() error {
	least, most := -1e9, 1e9 // lengths, metres
	switch p.code {
	case 8801, 8811, 8818, 8821, 8823, 8824, 8832:
		least, most = -90, 90
	case 8802, 8812, 8813, 8814, 8822, 8830, 8833:
		least, most = -360, 360
	case 8831, 1036:
		least, most = 0, 180
	case 8805, 8815, 8819, 1038:
		least, most = 0.1, 10
	case 1039:
		least, most = -20_000, 20_000
	}
	if !(p.value >= least && p.value <= most) {
		return badParameter(p.code, fmt.Sprintf("%v is not within %v and %v", p.value, least, most))
	}
	return nil
}

// fromGeodetic projects one point, degrees to units of the plane; NaN outside
// the domain.
func (p *plane) fromGeodetic(lon, lat float64) (e, n float64) {
	if !(lat >= -90 && lat <= 90 && lon >= -540 && lon <= 540) {
		return math.NaN(), math.NaN()
	}
	x, y := p.proj.forward(wrap180(lon-p.lon0)*radPerDeg, lat*radPerDeg)
	return (x + p.fe) * p.perUnit, (y + p.fn) * p.perUnit
}

// toGeodetic is the inverse of fromGeodetic.
func (p *plane) toGeodetic(e, n float64) (lon, lat float64) {
	lam, phi := p.proj.inverse(e*p.unit-p.fe, n*p.unit-p.fn)
	return wrap180(lam*degPerRad + p.lon0), phi * degPerRad
}

// wrap180 brings a longitude within -180 and 180 degrees, both kept as they
// are. One beyond 900 is left alone and fails elsewhere.
func wrap180(lon float64) float64 {
	for lon > 180 && lon <= 900 {
		lon -= 360
	}
	for lon < -180 && lon >= -900 {
		lon += 360
	}
	return lon
}

// PointError says which point of a slice could not be transformed, and why.
type PointError struct {
	Index   int     // of the point in the slice, from 0
	X, Y    float64 // its coordinates as given: east or longitude, north or latitude
	CRS     string  // the ID of the CRS that could not take it, empty when none
	Problem string
}

// Error implements error.
func (e *PointError) Error() string {
	if e.CRS == "" {
		return fmt.Sprintf("point %d (%.10g, %.10g): %s", e.Index+1, e.X, e.Y, e.Problem)
	}
	return fmt.Sprintf("point %d (%.10g, %.10g) in %s: %s", e.Index+1, e.X, e.Y, e.CRS, e.Problem)
}

// checkStride says what is wrong with the shape of a slice of coordinates.
func checkStride(flat []float64, stride, least int) error {
	if stride < least {
		return fmt.Errorf("%d numbers a point where at least %d are needed", stride, least)
	}
	if len(flat)%stride != 0 {
		return fmt.Errorf("%d numbers are no whole count of points of %d", len(flat), stride)
	}
	return nil
}

// chunkPoints is the least count of points worth a goroutine.
const chunkPoints = 1 << 14

// small reports whether a slice is not worth parting; the callers then spare
// the closure, and with it their only allocation.
func small(flat []float64, stride int) bool { return len(flat) < 2*chunkPoints*stride }

// inChunks runs f over parts of flat, on all cores when there are many points.
// first is the index of the part's first point. The error is that of the first
// part that failed.
func inChunks(flat []float64, stride int, f func(part []float64, first int) error) error {
	points := len(flat) / stride
	workers := min(points/chunkPoints, runtime.GOMAXPROCS(0))
	if workers < 2 {
		return f(flat, 0)
	}
	errs := make([]error, workers)
	var wait sync.WaitGroup
	for w := range workers {
		from, to := points*w/workers, points*(w+1)/workers
		wait.Go(func() { errs[w] = f(flat[from*stride:to*stride], from) })
	}
	wait.Wait()
	for _, err := range errs {
		if err != nil {
			return err
		}
	}
	return nil
}

// badParameter says that a projection cannot be built with a parameter.
func badParameter(code int, why string) error {
	return fmt.Errorf("%s (EPSG:%d): %s", parameterName(code), code, why)
}

// solveInverse inverts p at x, y by Newton's method in two dimensions with a
// numerical Jacobian, from a first guess; for projections whose definition is a
// forward series. The Jacobian is kept while it divides the error by a hundred.
// It stops when the forward result is within 1e-9 m or steps no longer help;
// NaN when it does not get within 1e-7 m.
func solveInverse(p interface {
	forward(lam, phi float64) (x, y float64)
}, x, y, lam, phi float64) (float64, float64) {
	const h = 1e-5 // rad: the Jacobian to 1e-10 of itself
	var dx, dy, xl, yl, xp, yp float64
	last := 0.0
	for range 40 {
		fx, fy := p.forward(lam, phi)
		dx, dy = x-fx, y-fy
		size := math.Abs(dx) + math.Abs(dy)
		if size < 1e-9 {
			break
		}
		if !(size*100 < last) {
			xl1, yl1 := p.forward(lam+h, phi)
			xl0, yl0 := p.forward(lam-h, phi)
			xp1, yp1 := p.forward(lam, phi+h)
			xp0, yp0 := p.forward(lam, phi-h)
			xl, yl = (xl1-xl0)/(2*h), (yl1-yl0)/(2*h)
			xp, yp = (xp1-xp0)/(2*h), (yp1-yp0)/(2*h)
		}
		last = size
		det := xl*yp - xp*yl
		dl, dp := (dx*yp-dy*xp)/det, (dy*xl-dx*yl)/det
		if !(math.Abs(dl) < 1 && math.Abs(dp) < 1) {
			return math.NaN(), math.NaN()
		}
		lam, phi = lam+dl, phi+dp
		if math.Abs(dl) < 2e-16 && math.Abs(dp) < 2e-16 {
			break
		}
	}
	if !(math.Abs(dx) < 1e-7 && math.Abs(dy) < 1e-7) {
		return math.NaN(), math.NaN()
	}
	return lam, phi
}
