// Ellipsoid: its constants, and the latitude series that the projections share.

package crs

import "math"

// ellipsoid is a figure of the earth. Symbols: a semi-major axis in metres, b
// semi-minor axis, f flattening, e2 first eccentricity squared, ep2 second
// eccentricity squared (e'² in the sources), n third flattening.
type ellipsoid struct {
	code          int // EPSG code, 0 when none
	name          string
	invF          float64 // 0 for a sphere
	a, b, f       float64
	e2, e, ep2, n float64
}

// newEllipsoid takes the semi-major axis in metres and the inverse flattening,
// 0 for a sphere.
func newEllipsoid(code int, name string, a, invF float64) *ellipsoid {
	el := &ellipsoid{code: code, name: name, a: a, invF: invF}
	if invF != 0 {
		el.f = 1 / invF
	}
	el.b = a * (1 - el.f)
	el.e2 = el.f * (2 - el.f)
	el.e = math.Sqrt(el.e2)
	el.ep2 = el.e2 / (1 - el.e2)
	el.n = el.f / (2 - el.f)
	return el
}

// sphere returns the sphere of radius a, under the ellipsoid's name.
func (el *ellipsoid) sphere(a float64) *ellipsoid { return newEllipsoid(0, el.name, a, 0) }

// sineSeries is a Fourier series of six terms in the even multiples of an
// angle, c1 sin 2x + c2 sin 4x + ... + c6 sin 12x, kept as sin 2x times a
// polynomial in cos 2x: the polynomial can be summed in pairs, which is quicker
// than Clenshaw's recurrence and no less exact, since its terms fall off as the
// powers of n do.
type sineSeries [6]float64

// newSineSeries takes c1 to c6. sin 2kx = sin 2x U(k-1)(cos 2x), U Chebyshev's
// polynomials of the second kind.
func newSineSeries(c1, c2, c3, c4, c5, c6 float64) sineSeries {
	return sineSeries{c1 - c3 + c5, 2*c2 - 4*c4 + 6*c6, 4*c3 - 12*c5, 8*c4 - 32*c6, 16 * c5, 32 * c6}
}

// sum evaluates the series from sin 2x and cos 2x.
func (p *sineSeries) sum(sin2x, cos2x float64) float64 {
	z2 := cos2x * cos2x
	return sin2x * ((p[0] + p[1]*cos2x) + z2*((p[2]+p[3]*cos2x)+z2*(p[4]+p[5]*cos2x)))
}

// at evaluates the series at x radians.
func (p *sineSeries) at(x float64) float64 {
	s, c := math.Sincos(2 * x)
	return p.sum(s, c)
}

// complexSum evaluates the series at x + iy from sin 2x, cos 2x, sinh 2y and
// cosh 2y and returns its real and imaginary part.
func (p *sineSeries) complexSum(sin2x, cos2x, sinh2y, cosh2y float64) (re, im float64) {
	// z = cos 2(x+iy), s = sin 2(x+iy)
	zr, zi := cos2x*cosh2y, -sin2x*sinh2y
	sr, si := sin2x*cosh2y, cos2x*sinh2y
	z2r, z2i := zr*zr-zi*zi, 2*zr*zi
	ar, ai := p[4]+p[5]*zr, p[5]*zi
	br, bi := p[2]+p[3]*zr, p[3]*zi
	br, bi = br+ar*z2r-ai*z2i, bi+ar*z2i+ai*z2r
	cr, ci := p[0]+p[1]*zr, p[1]*zi
	cr, ci = cr+br*z2r-bi*z2i, ci+br*z2i+bi*z2r
	return sr*cr - si*ci, sr*ci + si*cr
}

// conformalFromGeodetic gives the series chi - phi in phi, the conformal
// latitude chi from the geodetic latitude phi; Karney 2011 (J. Geod. 85, 475),
// from the same expansions in n as Engsager and Poder 2007. The first neglected
// term is of order n^7, below 1e-18 for terrestrial ellipsoids.
func (el *ellipsoid) conformalFromGeodetic() sineSeries {
	n := el.n
	return newSineSeries(
		n*(-2+n*(2./3+n*(4./3+n*(-82./45+n*(32./45+n*4642./4725))))),
		n*n*(5./3+n*(-16./15+n*(-13./9+n*(904./315+n*-1522./945)))),
		n*n*n*(-26./15+n*(34./21+n*(8./5+n*-12686./2835))),
		n*n*n*n*(1237./630+n*(-12./5+n*-24832./14175)),
		n*n*n*n*n*(-734./315+n*109598./31185),
		n*n*n*n*n*n*444337./155925,
	)
}

// geodeticFromConformal gives the series phi - chi in chi, the reverse of
// conformalFromGeodetic, same sources.
func (el *ellipsoid) geodeticFromConformal() sineSeries {
	n := el.n
	return newSineSeries(
		n*(2+n*(-2./3+n*(-2+n*(116./45+n*(26./45+n*-2854./675))))),
		n*n*(7./3+n*(-8./5+n*(-227./45+n*(2704./315+n*2323./945)))),
		n*n*n*(56./15+n*(-136./35+n*(-1262./105+n*73814./2835))),
		n*n*n*n*(4279./630+n*(-332./35+n*-399572./14175)),
		n*n*n*n*n*(4174./315+n*-144838./6237),
		n*n*n*n*n*n*601676./22275,
	)
}

// rectifyingRadius is the radius A of the circle with the length of the
// meridian; Karney 2011, equation 14.
func (el *ellipsoid) rectifyingRadius() float64 {
	n2 := el.n * el.n
	return el.a / (1 + el.n) * (1 + n2*(1./4+n2*(1./64+n2/256)))
}

// rectifyingFromGeodetic gives the series mu - phi in phi: A mu is the length
// of the meridian from the equator. Error of order n^7.
func (el *ellipsoid) rectifyingFromGeodetic() sineSeries {
	n := el.n
	n2 := n * n
	return newSineSeries(
		n*(-3./2+n2*(9./16+n2*-3./32)),
		n2*(15./16+n2*(-15./32+n2*135./2048)),
		n2*n*(-35./48+n2*105./256),
		n2*n2*(315./512+n2*-189./512),
		n2*n2*n*-693./1280,
		n2*n2*n2*1001./2048,
	)
}

// geodeticFromRectifying gives the series phi - mu in mu, the reverse of
// rectifyingFromGeodetic.
func (el *ellipsoid) geodeticFromRectifying() sineSeries {
	n := el.n
	n2 := n * n
	return newSineSeries(
		n*(3./2+n2*(-27./32+n2*269./512)),
		n2*(21./16+n2*(-55./32+n2*6759./4096)),
		n2*n*(151./96+n2*(-417./128)),
		n2*n2*(1097./512+n2*-15543./2560),
		n2*n2*n*8011./2560,
		n2*n2*n2*293393./61440,
	)
}

// geodeticFromAuthalic gives the series phi - beta in beta, the geodetic from
// the authalic latitude, to order n^6; coefficients of Karney 2024 (Surv. Rev.
// 56, 165), equation A19 in powers of n.
func (el *ellipsoid) geodeticFromAuthalic() sineSeries {
	n := el.n
	return newSineSeries(
		n*(4./3+n*(4./45+n*(-16./35+n*(-2582./14175+n*(60136./467775+n*28112932./212837625))))),
		n*n*(46./45+n*(152./945+n*(-11966./14175+n*(-21016./51975+n*251310128./638512875)))),
		n*n*n*(3044./2835+n*(3802./14175+n*(-94388./66825+n*-8797648./10945935))),
		n*n*n*n*(6059./4725+n*(41072./93555+n*-1472637812./638512875)),
		n*n*n*n*n*(768272./467775+n*455935736./638512875),
		n*n*n*n*n*n*4210684958./1915538625,
	)
}

// authalicFromGeodetic gives the series beta - phi in phi, the authalic from
// the geodetic latitude, to order n^6; Karney 2024, equation A20.
func (el *ellipsoid) authalicFromGeodetic() sineSeries {
	n := el.n
	return newSineSeries(
		n*(-4./3+n*(-4./45+n*(88./315+n*(538./4725+n*(20824./467775+n*-44732./2837835))))),
		n*n*(34./45+n*(8./105+n*(-2482./14175+n*(-37192./467775+n*-12467764./212837625)))),
		n*n*n*(-1532./2835+n*(-898./14175+n*(54968./467775+n*100320856./1915538625))),
		n*n*n*n*(6007./14175+n*(24496./467775+n*-5884124./70945875)),
		n*n*n*n*n*(-23356./66825+n*-839792./19348875),
		n*n*n*n*n*n*570284222./1915538625,
	)
}

// eAtanhE is e atanh(e s), the part of the isometric latitude that is due to
// the flattening, for |s| <= 1: a power series in e² s² to the term that is
// below 1e-17 for e² < 0.01, the function itself for stranger ellipsoids.
func (el *ellipsoid) eAtanhE(s float64) float64 {
	if el.e2 > 0.01 {
		return el.e * math.Atanh(el.e*s)
	}
	x := el.e2 * s * s
	x2 := x * x
	return el.e2 * s * ((1 + x*(1./3)) + x2*((1./5+x*(1./7))+x2*(1./9+x*(1./11))))
}

// isometric is the isometric latitude psi of the geodetic latitude phi with
// sine s and cosine c (c > 0).
func (el *ellipsoid) isometric(s, c float64) float64 {
	if s < 0 {
		return -el.isometric(-s, c)
	}
	return math.Log((1+s)/c) - el.eAtanhE(s)
}

// authalicQ is q of Snyder 1987 equation 3-12, the authalic function of the
// latitude with sine s; on a sphere 2 s.
func (el *ellipsoid) authalicQ(s float64) float64 {
	if el.e == 0 {
		return 2 * s
	}
	es := el.e * s
	return (1 - el.e2) * (s/(1-es*es) + math.Atanh(es)/el.e)
}

// primeVertical is the radius of curvature in the prime vertical, nu, at the
// latitude with sine s.
func (el *ellipsoid) primeVertical(s float64) float64 {
	return el.a / math.Sqrt(1-el.e2*s*s)
}

// meridian is the radius of curvature in the meridian, rho, at the latitude
// with sine s.
func (el *ellipsoid) meridian(s float64) float64 {
	w := 1 - el.e2*s*s
	return el.a * (1 - el.e2) / (w * math.Sqrt(w))
}
