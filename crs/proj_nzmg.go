// New Zealand map grid (EPSG method 9811).

package crs

import (
	"math"
	"math/cmplx"
)

// nzmg is the New Zealand map grid: a polynomial of sixth order in the complex
// plane from isometric latitude and longitude. Constants: Department of Lands
// and Survey, Technical Circular 1973/32 (as in LINZ's and PROJ's code). The
// inverse solves the polynomials by Newton's method, so forward and inverse
// agree to rounding. Domain: within 12 degrees of latitude and longitude of the
// origin, somewhat beyond the grid.
type nzmg struct{ a, phi0 float64 }

var (
	nzmgPsi = [10]float64{0.6399175073, -0.1358797613, 0.063294409, -0.02526853, 0.0117879, -0.0055161, 0.0026906, -0.001333, 0.00067, -0.00034}
	nzmgB   = [6]complex128{
		complex(0.7557853228, 0), complex(0.249204646, 0.003371507), complex(-0.001541739, 0.041058560),
		complex(-0.10162907, 0.01727609), complex(-0.26623489, -0.36249218), complex(-0.6870983, -1.1651967),
	}
)

// nzmgUnit is 100,000 seconds of arc in radians, the unit of the polynomial in
// the latitude.
const nzmgUnit = 1e5 / 3600 * radPerDeg

const nzmgReach = 12 * radPerDeg

func (p *nzmg) forward(lam, phi float64) (x, y float64) {
	d := phi - p.phi0
	if !(math.Abs(d) <= nzmgReach && math.Abs(lam) <= nzmgReach) {
		return math.NaN(), math.NaN()
	}
	psi, _ := realPolynomial(nzmgPsi[:], d/nzmgUnit)
	z, _ := complexPolynomial(nzmgB[:], complex(psi, lam))
	return p.a * imag(z), p.a * real(z)
}

func (p *nzmg) inverse(x, y float64) (lam, phi float64) {
	z := complex(y/p.a, x/p.a)
	if !(cmplx.Abs(z) < 0.35) {
		return math.NaN(), math.NaN()
	}
	theta := z / nzmgB[0]
	for range 12 {
		f, df := complexPolynomial(nzmgB[:], theta)
		step := (f - z) / df
		theta -= step
		if cmplx.Abs(step) < 1e-16 {
			break
		}
	}
	d := real(theta) / nzmgPsi[0]
	for range 20 {
		f, df := realPolynomial(nzmgPsi[:], d)
		step := (f - real(theta)) / df
		d -= step
		if math.Abs(step) < 1e-16 {
			break
		}
	}
	lam, d = imag(theta), d*nzmgUnit
	if !(math.Abs(d) <= nzmgReach+1e-9 && math.Abs(lam) <= nzmgReach+1e-9) {
		return math.NaN(), math.NaN()
	}
	return lam, p.phi0 + d
}

// realPolynomial returns c[0] x + c[1] x² + ... and its derivative.
func realPolynomial(c []float64, x float64) (f, df float64) {
	for i := len(c) - 1; i >= 0; i-- {
		df = df*x + float64(i+1)*c[i]
		f = (f + c[i]) * x
	}
	return f, df
}

// complexPolynomial is realPolynomial in the complex plane.
func complexPolynomial(c []complex128, x complex128) (f, df complex128) {
	for i := len(c) - 1; i >= 0; i-- {
		df = df*x + complex(float64(i+1), 0)*c[i]
		f = (f + c[i]) * x
	}
	return f, df
}

var _ = register(func(c *conversion, el *ellipsoid) (projection, float64, float64, float64, error) {
	return &nzmg{a: el.a, phi0: c.get(8801) * radPerDeg}, c.get(8802), c.get(8806), c.get(8807), nil
}, 9811)
