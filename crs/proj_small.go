// Projections of one or two grids each: Lambert conic near-conformal (EPSG
// method 9817), equidistant cylindrical (1028), Tunisia mining grid (9816) and
// the transverse Mercator zoned grid system (9824).

package crs

import "math"

// nearConformal is the Lambert conic near-conformal projection of the Levant;
// IOGP 373-7-2 section 3.1.2, symbols m, M, A and r from there. A definition by
// series truncated to the cubic term; the inverse solves the cubic. Domain:
// within 15 degrees of latitude of the origin and 40 of longitude.
type nearConformal struct {
	k0, a     float64
	s0        float64 // meridian arc to the origin
	sin0, r0  float64
	radius    float64
	mu, toLat sineSeries
}

const maxNearConformalM = 1.7e6 // metres

func (p *nearConformal) forward(lam, phi float64) (x, y float64) {
	s, c := math.Sincos(phi)
	m := p.radius*(phi+p.mu.sum(2*s*c, 1-2*s*s)) - p.s0
	if !(math.Abs(m) <= maxNearConformalM && math.Abs(lam) <= 40*radPerDeg) {
		return math.NaN(), math.NaN()
	}
	r := p.r0 - p.k0*(m+p.a*m*m*m)
	st, ct := math.Sincos(lam * p.sin0)
	return r * st, p.r0 - r*ct
}

func (p *nearConformal) inverse(x, y float64) (lam, phi float64) {
	y = p.r0 - y
	if p.sin0 < 0 {
		x, y = -x, -y
	}
	r := math.Copysign(math.Hypot(x, y), p.r0)
	mm := (p.r0 - r) / p.k0
	m := mm
	for range 20 {
		step := (m + p.a*m*m*m - mm) / (1 + 3*p.a*m*m)
		m -= step
		if math.Abs(step) < 1e-10 {
			break
		}
	}
	lam = math.Atan2(x, y) / p.sin0
	if !(math.Abs(m) <= maxNearConformalM+1e-6 && math.Abs(lam) <= 40*radPerDeg+1e-9) {
		return math.NaN(), math.NaN()
	}
	mu := (m + p.s0) / p.radius
	return lam, mu + p.toLat.at(mu)
}

var _ = register(func(c *conversion, el *ellipsoid) (projection, float64, float64, float64, error) {
	phi0 := c.get(8801) * radPerDeg
	s, co := math.Sincos(phi0)
	if math.Abs(s) < 1e-9 {
		return nil, 0, 0, 0, badParameter(8801, "a cone needs an origin off the equator")
	}
	p := &nearConformal{k0: c.get(8805), sin0: s, radius: el.rectifyingRadius(),
		mu: el.rectifyingFromGeodetic(), toLat: el.geodeticFromRectifying()}
	p.s0 = p.radius * (phi0 + p.mu.at(phi0))
	p.a = 1 / (6 * el.meridian(s) * el.primeVertical(s))
	p.r0 = p.k0 * el.primeVertical(s) * co / s
	return p, c.get(8802), c.get(8806), c.get(8807), nil
}, 9817)

// equidistantCylindrical is the equidistant cylindrical projection of the
// ellipsoid: meridians true; IOGP 373-7-2 section 3.2.5. Error: rounding, below
// 10 nm. Domain: the whole ellipsoid.
type equidistantCylindrical struct {
	nu1       float64 // nu1 cos phi1
	radius    float64
	m0        float64
	mu, toLat sineSeries
}

func (p *equidistantCylindrical) forward(lam, phi float64) (x, y float64) {
	return p.nu1 * lam, p.radius*(phi+p.mu.at(phi)) - p.m0
}

func (p *equidistantCylindrical) inverse(x, y float64) (lam, phi float64) {
	lam = x / p.nu1
	mu := (y + p.m0) / p.radius
	if !(math.Abs(lam) <= math.Pi+1e-9 && math.Abs(mu) <= math.Pi/2+1e-12) {
		return math.NaN(), math.NaN()
	}
	return lam, mu + p.toLat.at(mu)
}

var _ = register(func(c *conversion, el *ellipsoid) (projection, float64, float64, float64, error) {
	if c.method == 1029 {
		el = el.sphere(el.a)
	}
	s, co := math.Sincos(c.get(8823) * radPerDeg)
	p := &equidistantCylindrical{nu1: el.primeVertical(s) * co, radius: el.rectifyingRadius(),
		mu: el.rectifyingFromGeodetic(), toLat: el.geodeticFromRectifying()}
	phi0 := c.get(8801) * radPerDeg
	p.m0 = p.radius * (phi0 + p.mu.at(phi0))
	return p, c.get(8802), c.get(8806), c.get(8807), nil
}, 1028, 1029)

// tunisia is the Tunisia mining grid, linear in grads and kilometres; IOGP
// 373-7-2 section 3.4.3 (constants from memory). Exact. Domain: within 6 grads
// of the origin.
type tunisia struct{ phi0 float64 }

const gradPerRad = 200 / math.Pi

func (p *tunisia) forward(lam, phi float64) (x, y float64) {
	l, d := lam*gradPerRad, (phi-p.phi0)*gradPerRad
	if !(math.Abs(l) <= 6 && math.Abs(d) <= 6) {
		return math.NaN(), math.NaN()
	}
	return l / 0.012185 * 1000, d / p.gradsPerKm(d) * 1000
}

func (p *tunisia) gradsPerKm(northing float64) float64 {
	if northing > 0 {
		return 0.010015
	}
	return 0.01002
}

func (p *tunisia) inverse(x, y float64) (lam, phi float64) {
	l, d := x/1000*0.012185, y/1000*p.gradsPerKm(y)
	if !(math.Abs(l) <= 6+1e-9 && math.Abs(d) <= 6+1e-9) {
		return math.NaN(), math.NaN()
	}
	return l / gradPerRad, p.phi0 + d/gradPerRad
}

var _ = register(func(c *conversion, el *ellipsoid) (projection, float64, float64, float64, error) {
	return &tunisia{phi0: c.get(8821) * radPerDeg}, c.get(8822), c.get(8826), c.get(8827), nil
}, 9816)

// zonedTM is a row of transverse Mercator zones on one sheet: the zone number
// stands before the easting as millions of metres; IOGP 373-7-2 section
// 3.2.2.2. Error as tmerc. Domain: |lambda - zone's meridian| <= half a zone in
// the forward direction; the inverse takes what the zone number says, within a
// zone's width.
type zonedTM struct {
	tm     *tmerc
	first  float64 // initial longitude, degrees
	width  float64 // of a zone, degrees
	falseE float64
}

func (p *zonedTM) central(zone float64) float64 { return p.first + (zone-0.5)*p.width }

// zone is the number of the zone of a longitude in degrees.
func (p *zonedTM) zone(lon float64) float64 {
	zones := 360 / p.width
	// The small number keeps a boundary that went through radians in its zone.
	zone := math.Floor(wrap180(lon-p.first-180)/p.width+zones/2+1e-12) + 1
	if zone > zones {
		return 1 // the far end of the last zone is the start of the first
	}
	return zone
}

func (p *zonedTM) forward(lam, phi float64) (x, y float64) {
	lon := lam * degPerRad
	zone := p.zone(lon)
	x, y = p.tm.forward(wrap180(lon-p.central(zone))*radPerDeg, phi)
	return x + p.falseE + zone*1e6, y
}

func (p *zonedTM) inverse(x, y float64) (lam, phi float64) {
	zone := math.Floor(x / 1e6)
	if !(zone >= 1 && zone <= 360/p.width) {
		return math.NaN(), math.NaN()
	}
	lam, phi = p.tm.inverse(x-zone*1e6-p.falseE, y)
	if !(math.Abs(lam*degPerRad) <= p.width) {
		return math.NaN(), math.NaN()
	}
	return wrap180(lam*degPerRad+p.central(zone)) * radPerDeg, phi
}

var _ = register(func(c *conversion, el *ellipsoid) (projection, float64, float64, float64, error) {
	width := c.get(8831)
	if !(width > 0 && width <= 180) {
		return nil, 0, 0, 0, badParameter(8831, "no zone has this width")
	}
	p := &zonedTM{tm: newTmerc(el, c.get(8801)*radPerDeg, c.get(8805)), first: c.get(8830), width: width, falseE: c.get(8806)}
	return p, 0, 0, c.get(8807), nil
}, 9824)
