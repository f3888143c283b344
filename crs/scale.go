// Scale: point scale factor, convergence and grid-to-ground factor at a place.

package crs

import (
	"fmt"
	"math"
)

// Distortion is what a map projection does to lengths and angles at a point.
type Distortion struct {
	Meridian    float64 // scale factor along the meridian
	Parallel    float64 // scale factor along the parallel
	Areal       float64 // area on the map to area on the ellipsoid
	Angular     float64 // greatest change of an angle, degrees; 0 when conformal
	Convergence float64 // bearing of grid north from true north, degrees clockwise
}

// DistortionAt returns what the projection does at a longitude and latitude
// (degrees) of the CRS's own datum. Derivatives are taken numerically with a
// stencil of sixth order; the error of the factors is below 1e-10, that of the
// convergence below 1e-8 degrees. A geographic or geocentric CRS has no
// distortion to speak of and gives an error. For a site grid the factors
// compare with the ground at the height g.H (NaN: at the origin's).
func (c *CRS) DistortionAt(g Geodetic) (Distortion, error) {
	if c.kind != KindProjected && c.kind != KindSite {
		return Distortion{}, fmt.Errorf("%s has no plane coordinates", c.id)
	}
	lon, lat := float64(g.Lon), float64(g.Lat)
	if !(lat >= -90 && lat <= 90 && lon >= -540 && lon <= 540) {
		return Distortion{}, c.pointError(0, lon, lat, domainProblem(lon, lat))
	}
	// Keep the stencil on the earth; at a pole look from a few metres away,
	// along the meridian asked for.
	lat = math.Max(-89.9999, math.Min(89.9999, lat))
	h := math.Min(0.05, (90-math.Abs(lat))/3.5)
	at := func(lon, lat float64) (x, y float64) {
		if c.kind == KindSite {
			p := []float64{lon, lat, float64(g.H)}
			if c.site.fromGeodetic(c, p, 3, 0) != nil {
				return math.NaN(), math.NaN()
			}
			return p[0], p[1]
		}
		x, y = c.plane.fromGeodetic(lon, lat)
		return x * c.plane.unit, y * c.plane.unit
	}
	if c.kind == KindProjected {
		if z, ok := c.plane.proj.(*zonedTM); ok {
			// All of the stencil in the zone of the point.
			lon0 := z.central(z.zone(lon))
			at = func(lon, lat float64) (x, y float64) {
				return z.tm.forward(wrap180(lon-c.datum.pm-lon0)*radPerDeg, lat*radPerDeg)
			}
		}
	}
	derive := func(dlon, dlat float64) (x, y float64) {
		weights := [3]float64{45. / 60, -9. / 60, 1. / 60}
		for i, w := range weights {
			d := float64(i+1) * h
			x1, y1 := at(lon+d*dlon, lat+d*dlat)
			x0, y0 := at(lon-d*dlon, lat-d*dlat)
			x += w * (x1 - x0)
			y += w * (y1 - y0)
		}
		k := 1 / (h * radPerDeg)
		return x * k, y * k
	}
	var d Distortion
	for ; ; h /= 50 { // a smaller stencil at the edge of the domain
		xl, yl := derive(1, 0)
		xp, yp := derive(0, 1)
		if s := xl + yl + xp + yp; s-s != 0 {
			if h < 1e-6 {
				return d, c.pointError(0, lon, lat, "outside the domain of the projection")
			}
			continue
		}
		el := c.datum.el
		sin, cos := math.Sincos(lat * radPerDeg)
		height := 0.0
		if c.kind == KindSite {
			height = float64(g.H)
			if height != height {
				height = float64(c.site.def.Origin.H)
			}
		}
		m, p := el.meridian(sin)+height, (el.primeVertical(sin)+height)*cos
		d.Meridian = math.Hypot(xp, yp) / m
		d.Parallel = math.Hypot(xl, yl) / p
		d.Areal = math.Abs(xl*yp-xp*yl) / (m * p)
		// Snyder 1987, equations 4-12 to 4-15.
		a := math.Sqrt(math.Max(0, d.Meridian*d.Meridian+d.Parallel*d.Parallel+2*d.Areal))
		b := math.Sqrt(math.Max(0, d.Meridian*d.Meridian+d.Parallel*d.Parallel-2*d.Areal))
		d.Angular = 2 * math.Asin(math.Min(1, b/a)) * degPerRad
		if d.Angular < 1e-5 { // the square root of rounding
			d.Angular = 0
		}
		d.Convergence = math.Atan2(-xp, yp) * degPerRad
		return d, nil
	}
}

// ScaleAt returns the point scale factor k and the convergence in degrees at a
// longitude and latitude (degrees) of the CRS's own datum. k is a length on the
// map to the length on the ellipsoid (site grid: on the ground at g.H); where
// it depends on the direction, the square root of the areal scale. The
// convergence is the bearing of grid north from true north, clockwise positive:
// a grid bearing is the true bearing less the convergence.
func (c *CRS) ScaleAt(g Geodetic) (k, convergenceDeg float64, err error) {
	d, err := c.DistortionAt(g)
	if err != nil {
		return 0, 0, err
	}
	return math.Sqrt(d.Areal), d.Convergence, nil
}

// CombinedFactorAt is the factor from a length on the ground at the ellipsoidal
// height g.H to the length on the map: k R/(R+H) with R the mean radius of
// curvature sqrt(rho nu), as the United States' survey does it.
func (c *CRS) CombinedFactorAt(g Geodetic) (float64, error) {
	k, _, err := c.ScaleAt(g)
	if err != nil {
		return 0, err
	}
	if h := float64(g.H); h-h != 0 {
		return 0, fmt.Errorf("%s: the combined factor needs a height", c.id)
	}
	if c.kind == KindSite {
		return k, nil
	}
	s := math.Sin(g.Lat.Radians())
	r := math.Sqrt(c.datum.el.meridian(s) * c.datum.el.primeVertical(s))
	return k * r / (r + float64(g.H)), nil
}

// MeasureGrid measures the convergence and the scale of plane coordinates at a
// place from the coordinates themselves: to gives those of a point so many
// metres east and north of the place on the ground, and is asked for points a
// metre away. The convergence is the bearing of grid north from true north,
// clockwise positive; the scale is a length in the grid's unit to the metre on
// the ground, the square root of the areal scale where it depends on the
// direction. ok is false where to is.
//
// Unlike ScaleAt it holds across a datum step and at any height.
func MeasureGrid(to func(e, n float64) (x, y float64, ok bool)) (convergence Degrees, scale float64, ok bool) {
	const step = 1.0
	var at [4][2]float64
	for i, d := range [4][2]float64{{0, -step}, {0, step}, {-step, 0}, {step, 0}} {
		x, y, ok := to(d[0], d[1])
		if !ok {
			return 0, 0, false
		}
		at[i] = [2]float64{x, y}
	}
	north := [2]float64{at[1][0] - at[0][0], at[1][1] - at[0][1]}
	east := [2]float64{at[3][0] - at[2][0], at[3][1] - at[2][1]}
	// True north stands at atan2(x, y) clockwise from the grid's y axis, so
	// grid north at the negative of that from true north.
	convergence = Degrees(-math.Atan2(north[0], north[1]) * degPerRad)
	return convergence, math.Sqrt(math.Abs(north[0]*east[1]-north[1]*east[0])) / (2 * step), true
}

// Stretch is what a grid makes of lengths and areas at a place: the shortest
// and the longest that a metre on the ellipsoid becomes, by direction, and what
// a square metre becomes.
type Stretch struct{ Shortest, Longest, Area float64 }

// Notable is the share by which lengths on a grid may differ from those on the
// ground before it has to be said: 1 %. Grids for survey stay within a tenth of
// that (0.9996 for UTM).
const Notable = 0.01

// StretchAt returns what the grid makes of lengths and areas at a longitude and
// latitude (degrees) of the CRS's own datum.
func (c *CRS) StretchAt(g Geodetic) (Stretch, error) {
	d, err := c.DistortionAt(g)
	if err != nil {
		return Stretch{}, err
	}
	// The axes of Tissot's ellipse; Snyder 1987, equations 4-12 to 4-15.
	sum := math.Sqrt(math.Max(0, d.Meridian*d.Meridian+d.Parallel*d.Parallel+2*d.Areal))
	gap := math.Sqrt(math.Max(0, d.Meridian*d.Meridian+d.Parallel*d.Parallel-2*d.Areal))
	return Stretch{Shortest: (sum - gap) / 2, Longest: (sum + gap) / 2, Area: d.Areal}, nil
}

// Notable reports whether a length is off by more than 1 %.
func (s Stretch) Notable() bool {
	return math.Max(math.Abs(s.Shortest-1), math.Abs(s.Longest-1)) > Notable
}

// String says what 100 m and 100 square metres on the ground become.
func (s Stretch) String() string {
	length := fmt.Sprintf("%.1f m", 100*s.Longest)
	if s.Longest-s.Shortest > 5e-4 {
		length = fmt.Sprintf("%.1f to %.1f m, by direction,", 100*s.Shortest, 100*s.Longest)
	}
	return fmt.Sprintf("100 m on the ground are %s on the grid, and 100 m² are %.1f m²", length, 100*s.Area)
}
