// Lambert azimuthal equal area (EPSG methods 9820 and 1027), Lambert
// cylindrical equal area (9835, 9834) and Equal Earth (1078).

package crs

import "math"

// laea is the Lambert azimuthal equal area projection of the ellipsoid; IOGP
// 373-7-2 section 3.3.2, Snyder 1987 chapter 24; symbols Rq, D, beta from
// there. Polar aspects need no case of their own: D is 1 and the general
// formula, written with half angles, keeps its digits. Error: rounding, below
// 20 nm. Domain: all but the antipode of the centre.
type laea struct {
	rq, d    float64
	s1, c1   float64 // sine and cosine of beta at the centre
	xi, beta sineSeries
}

func newLAEA(el *ellipsoid, phi0 float64) *laea {
	p := &laea{xi: el.authalicFromGeodetic(), beta: el.geodeticFromAuthalic(), d: 1}
	p.rq = el.a * math.Sqrt(el.authalicQ(1)/2)
	if math.Abs(phi0) > math.Pi/2-1e-10 {
		p.s1 = math.Copysign(1, phi0)
		return p
	}
	p.s1, p.c1 = math.Sincos(phi0 + p.xi.at(phi0))
	s, c := math.Sincos(phi0)
	p.d = el.a * c / math.Sqrt(1-el.e2*s*s) / (p.rq * p.c1)
	return p
}

func (p *laea) forward(lam, phi float64) (x, y float64) {
	sb, cb := math.Sincos(phi + p.xi.at(phi))
	sl, cl := math.Sincos(lam)
	q := 1 + p.s1*sb + p.c1*cb*cl
	if p.c1 == 0 {
		if sb*p.s1 < -1+1e-9 {
			return math.NaN(), math.NaN()
		}
		// rho = 2 Rq sin(c/2), c the colatitude: with sin c = cb,
		// 2 sin(c/2) = cb sqrt(2 / (1 + |sb|)).
		b := p.rq * math.Sqrt(2/q)
		return b * cb * sl, -b * p.s1 * cb * cl
	}
	if q < 1e-9 {
		return math.NaN(), math.NaN()
	}
	b := p.rq * math.Sqrt(2/q)
	return b * p.d * cb * sl, b / p.d * (p.c1*sb - p.s1*cb*cl)
}

func (p *laea) inverse(x, y float64) (lam, phi float64) {
	x /= p.d
	y *= p.d
	rho := math.Hypot(x, y)
	h := rho / (2 * p.rq) // sin(c/2)
	if !(h <= 1) {
		return math.NaN(), math.NaN()
	}
	// sin c = 2 h sqrt(1-h²) = rho f, cos c = 1 - 2 h²
	f := math.Sqrt(1-h*h) / p.rq
	cc := 1 - 2*h*h
	sb := cc*p.s1 + y*f*p.c1
	u, v := cc*p.c1-y*f*p.s1, x*f // cos beta times cos and sin of lambda
	beta := math.Atan2(sb, math.Hypot(u, v))
	return math.Atan2(v, u), beta + p.beta.at(beta)
}

var _ = register(func(c *conversion, el *ellipsoid) (projection, float64, float64, float64, error) {
	if c.method == 1027 {
		// On a sphere with the latitude as it stands. IOGP 373-7-2 names the
		// authalic radius of the ellipsoid for it.
		el = el.sphere(el.a * math.Sqrt(el.authalicQ(1)/2))
	}
	return newLAEA(el, c.get(8801)*radPerDeg), c.get(8802), c.get(8806), c.get(8807), nil
}, 9820, 1027)

// cylindricalEqualArea is the Lambert cylindrical equal area projection of the
// ellipsoid; IOGP 373-7-2 section 3.3.4, Snyder 1987 equations 10-13 to 10-17.
// Error: rounding, below 20 nm. Domain: the whole ellipsoid.
type cylindricalEqualArea struct {
	el       *ellipsoid
	ak, ay   float64
	xi, beta sineSeries
}

func (p *cylindricalEqualArea) forward(lam, phi float64) (x, y float64) {
	return p.ak * lam, p.ay * math.Sin(phi+p.xi.at(phi))
}

func (p *cylindricalEqualArea) inverse(x, y float64) (lam, phi float64) {
	lam = x / p.ak
	s := y / p.ay
	if !(math.Abs(lam) <= math.Pi+1e-9 && math.Abs(s) <= 1+1e-12) {
		return math.NaN(), math.NaN()
	}
	beta := math.Asin(math.Max(-1, math.Min(1, s)))
	return lam, beta + p.beta.at(beta)
}

var _ = register(func(c *conversion, el *ellipsoid) (projection, float64, float64, float64, error) {
	if c.method == 9834 {
		el = el.sphere(el.a * math.Sqrt(el.authalicQ(1)/2))
	}
	s, co := math.Sincos(c.get(8823) * radPerDeg)
	k := co / math.Sqrt(1-el.e2*s*s)
	p := &cylindricalEqualArea{el: el, ak: el.a * k, ay: el.a * el.authalicQ(1) / (2 * k),
		xi: el.authalicFromGeodetic(), beta: el.geodeticFromAuthalic()}
	return p, c.get(8802), c.get(8806), c.get(8807), nil
}, 9835, 9834)

// equalEarth is the Equal Earth projection of the ellipsoid; B. Šavrič, T.
// Patterson and B. Jenny, Int. J. GIS 33 (2019) 454, by way of IOGP 373-7-2.
// The inverse is Newton's; error: rounding, below 20 nm. Domain: the whole
// ellipsoid.
type equalEarth struct {
	r        float64 // authalic radius
	xi, beta sineSeries
}

const (
	equalEarthA1 = 1.340264
	equalEarthA2 = -0.081106
	equalEarthA3 = 0.000893
	equalEarthA4 = 0.003796
)

// polynomial returns y and dy/dtheta at theta on the unit sphere.
func (p *equalEarth) polynomial(theta float64) (y, dy float64) {
	t2 := theta * theta
	t6 := t2 * t2 * t2
	return theta * (equalEarthA1 + equalEarthA2*t2 + t6*(equalEarthA3+equalEarthA4*t2)),
		equalEarthA1 + 3*equalEarthA2*t2 + t6*(7*equalEarthA3+9*equalEarthA4*t2)
}

func (p *equalEarth) forward(lam, phi float64) (x, y float64) {
	theta := math.Asin(math.Sqrt(3) / 2 * math.Sin(phi+p.xi.at(phi)))
	y, dy := p.polynomial(theta)
	return p.r * 2 * math.Sqrt(3) * lam * math.Cos(theta) / (3 * dy), p.r * y
}

func (p *equalEarth) inverse(x, y float64) (lam, phi float64) {
	x, y = x/p.r, y/p.r
	if !(math.Abs(y) <= 1.3173627591574+1e-9) { // y at the pole
		return math.NaN(), math.NaN()
	}
	theta := y / equalEarthA1
	var dy float64
	for range 20 {
		var f float64
		f, dy = p.polynomial(theta)
		step := (f - y) / dy
		theta -= step
		if math.Abs(step) < 1e-15 {
			break
		}
	}
	s := 2 / math.Sqrt(3) * math.Sin(theta)
	beta := math.Asin(math.Max(-1, math.Min(1, s)))
	lam = 3 * x * dy / (2 * math.Sqrt(3) * math.Cos(theta))
	if !(math.Abs(lam) <= math.Pi+1e-9) {
		return math.NaN(), math.NaN()
	}
	return lam, beta + p.beta.at(beta)
}

var _ = register(func(c *conversion, el *ellipsoid) (projection, float64, float64, float64, error) {
	p := &equalEarth{r: el.a * math.Sqrt(el.authalicQ(1)/2), xi: el.authalicFromGeodetic(), beta: el.geodeticFromAuthalic()}
	return p, c.get(8802), c.get(8806), c.get(8807), nil
}, 1078)
