// Azimuthal equidistant kin: Guam (EPSG method 9831) and modified azimuthal
// equidistant (9832); orthographic (9840) and local orthographic (1130).

package crs

import "math"

// guam is the approximate azimuthal equidistant projection of Guam; IOGP
// 373-7-2 section 3.3.3.2. A definition by formula; the inverse solves it by
// Newton's method. Domain: within 5 degrees of the origin.
type guam struct {
	el         *ellipsoid
	phi0       float64
	radius, m0 float64
	mu, toLat  sineSeries
}

func (p *guam) forward(lam, phi float64) (x, y float64) {
	const reach = 5 * radPerDeg
	if !(math.Abs(lam) <= reach && math.Abs(phi-p.phi0) <= reach) {
		return math.NaN(), math.NaN()
	}
	s, c := math.Sincos(phi)
	w := math.Sqrt(1 - p.el.e2*s*s)
	x = p.el.a / w * c * lam
	return x, p.radius*(phi+p.mu.sum(2*s*c, 1-2*s*s)) - p.m0 + x*x*s/c*w/(2*p.el.a)
}

func (p *guam) inverse(x, y float64) (lam, phi float64) {
	mu := (y + p.m0) / p.radius
	phi = mu + p.toLat.at(mu)
	s, c := math.Sincos(phi)
	return solveInverse(p, x, y, x/(p.el.primeVertical(s)*c), phi)
}

var _ = register(func(c *conversion, el *ellipsoid) (projection, float64, float64, float64, error) {
	p := &guam{el: el, phi0: c.get(8801) * radPerDeg, radius: el.rectifyingRadius(),
		mu: el.rectifyingFromGeodetic(), toLat: el.geodeticFromRectifying()}
	p.m0 = p.radius * (p.phi0 + p.mu.at(p.phi0))
	return p, c.get(8802), c.get(8806), c.get(8807), nil
}, 9831)

// modifiedAzimuthal is the modified azimuthal equidistant projection of islands
// in Micronesia; IOGP 373-7-2 section 3.3.3.1, symbols from there. A definition
// by series in s; the inverse solves it by Newton's method. Domain: within 10
// degrees of the origin.
type modifiedAzimuthal struct {
	el      *ellipsoid
	phi0    float64
	s0, c0  float64
	nu0, g  float64
	ec0, r0 float64 // e cos phi0 / sqrt(1-e²), and e² nu0 sin phi0
}

func (p *modifiedAzimuthal) forward(lam, phi float64) (x, y float64) {
	const reach = 10 * radPerDeg
	if !(math.Abs(lam) <= reach && math.Abs(phi-p.phi0) <= reach) {
		return math.NaN(), math.NaN()
	}
	s, c := math.Sincos(phi)
	nu := p.el.primeVertical(s)
	psi := math.Atan((1-p.el.e2)*s/c + p.r0/(nu*c))
	sp, cp := math.Sincos(psi)
	sl, cl := math.Sincos(lam)
	north, east := p.c0*sp-p.s0*cp*cl, cp*sl
	w := math.Hypot(north, east) // sin of the arc
	if w == 0 {
		return 0, 0
	}
	ca, sa := north/w, east/w
	h := p.ec0 * ca
	g, h2 := p.g, h*h
	arc := math.Asin(w)
	a2 := arc * arc
	r := p.nu0 * arc * (1 - a2*h2*(1-h2)/6 + a2*arc*g*h*(1-2*h2)/8 +
		a2*a2*(h2*(4-7*h2)-3*g*g*(1-7*h2))/120 - a2*a2*arc*g*h/48)
	return r * sa, r * ca
}

func (p *modifiedAzimuthal) inverse(x, y float64) (lam, phi float64) {
	phi = p.phi0 + y/p.el.meridian(p.s0)
	s, c := math.Sincos(phi)
	return solveInverse(p, x, y, x/(p.el.primeVertical(s)*c), phi)
}

var _ = register(func(c *conversion, el *ellipsoid) (projection, float64, float64, float64, error) {
	p := &modifiedAzimuthal{el: el, phi0: c.get(8801) * radPerDeg}
	p.s0, p.c0 = math.Sincos(p.phi0)
	p.nu0 = el.primeVertical(p.s0)
	root := math.Sqrt(1 - el.e2)
	p.g = el.e * p.s0 / root
	p.ec0 = el.e * p.c0 / root
	p.r0 = el.e2 * p.nu0 * p.s0
	return p, c.get(8802), c.get(8806), c.get(8807), nil
}, 9832)

// orthographic is the orthographic projection of the ellipsoid, the plane of
// the topocentric system at height 0; IOGP 373-7-2 section 3.3.5. Forward is
// closed, the inverse Newton's. Error: rounding, below 10 nm. Domain: within 85
// degrees of the centre, on the near side.
type orthographic struct {
	el     *ellipsoid
	s0, c0 float64
	phi0   float64
	nu0    float64
}

func (p *orthographic) forward(lam, phi float64) (x, y float64) {
	s, c := math.Sincos(phi)
	sl, cl := math.Sincos(lam)
	if !(p.s0*s+p.c0*c*cl > 0.087) {
		return math.NaN(), math.NaN()
	}
	nu := p.el.primeVertical(s)
	return nu * c * sl, nu*(s*p.c0-c*p.s0*cl) + p.el.e2*(p.nu0*p.s0-nu*s)*p.c0
}

func (p *orthographic) inverse(x, y float64) (lam, phi float64) {
	// First guess on the sphere of the centre's radius.
	r := p.nu0
	h := math.Hypot(x, y) / r
	if !(h < 0.999) {
		return math.NaN(), math.NaN()
	}
	cc := math.Sqrt(1 - h*h)
	sb := cc*p.s0 + y/r*p.c0
	u, v := cc*p.c0-y/r*p.s0, x/r
	return solveInverse(p, x, y, math.Atan2(v, u), math.Atan2(sb, math.Hypot(u, v)))
}

var _ = register(func(c *conversion, el *ellipsoid) (projection, float64, float64, float64, error) {
	p := &orthographic{el: el, phi0: c.get(8801) * radPerDeg}
	p.s0, p.c0 = math.Sincos(p.phi0)
	p.nu0 = el.primeVertical(p.s0)
	return p, c.get(8802), c.get(8806), c.get(8807), nil
}, 9840)

// localOrthographic is the orthographic projection scaled and turned, as the
// grids of airports and works are; IOGP 373-7-2 section 3.3.5 with the method
// Local Orthographic: x and y of the orthographic projection are turned by the
// azimuth of the grid's northing axis and multiplied by the scale at the
// centre. Error and domain are those of the orthographic projection.
type localOrthographic struct {
	plain        orthographic
	sin, cos, kc float64
}

func (p *localOrthographic) forward(lam, phi float64) (x, y float64) {
	u, v := p.plain.forward(lam, phi)
	return p.kc * (u*p.cos - v*p.sin), p.kc * (u*p.sin + v*p.cos)
}

func (p *localOrthographic) inverse(x, y float64) (lam, phi float64) {
	x, y = x/p.kc, y/p.kc
	return p.plain.inverse(x*p.cos+y*p.sin, y*p.cos-x*p.sin)
}

var _ = register(func(c *conversion, el *ellipsoid) (projection, float64, float64, float64, error) {
	p := &localOrthographic{plain: orthographic{el: el, phi0: c.get(8811) * radPerDeg}, kc: c.get(8815)}
	p.plain.s0, p.plain.c0 = math.Sincos(p.plain.phi0)
	p.plain.nu0 = el.primeVertical(p.plain.s0)
	p.sin, p.cos = math.Sincos(c.get(8813) * radPerDeg)
	return p, c.get(8812), c.get(8816), c.get(8817), nil
}, 1130)
