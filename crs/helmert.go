// Helmert: three-, seven-, ten- and fifteen-parameter transformations between
// earth-centred axes, each one linear map once its epoch is fixed.

package crs

import (
	"fmt"
	"math"
)

// radPerArcsec is one arc-second in radians.
const radPerArcsec = math.Pi / (180 * 3600)

// helmert holds the parameters of one transformation of earth-centred axes as
// the registry states them: translations in metres, rotations in arc-seconds,
// scale difference in parts per million, the rates of the three a year, the
// epoch they refer to as a decimal year, and the evaluation point P in metres
// (Molodensky-Badekas). Symbols as in IOGP 373-7-2 section 4.3.
type helmert struct {
	t, r   [3]float64
	ds     float64
	dt, dr [3]float64
	dds    float64
	epoch  float64
	p      [3]float64
	frame  bool // coordinate frame rotation: rotations have the opposite sign
}

// null reports whether nothing is ever moved.
func (h *helmert) null() bool {
	zero := [3]float64{}
	return h.t == zero && h.r == zero && h.ds == 0 && !h.moves()
}

// moves reports whether the parameters change with time.
func (h *helmert) moves() bool {
	zero := [3]float64{}
	return h.dt != zero || h.dr != zero || h.dds != 0
}

// at fixes the epoch t of the coordinates, a decimal year, and returns the map
// X_T = P + T + M R (X_S - P), with the rotation matrix of small angles that
// the registry's parameters are estimated with: methods 9603, 9606 (position
// vector), 9607 (coordinate frame), 1034 and 1061 (Molodensky-Badekas) and the
// time-dependent 1053 and 1056 of IOGP 373-7-2 sections 4.3.3 to 4.3.5. Every
// parameter is its value plus its rate times (t - epoch): the map never moves
// the epoch of the coordinates.
func (h *helmert) at(t float64) affine {
	years := 0.0
	if h.moves() {
		years = t - h.epoch
	}
	var tr, r [3]float64
	for i := range tr {
		tr[i] = h.t[i] + h.dt[i]*years
		r[i] = (h.r[i] + h.dr[i]*years) * radPerArcsec
		if h.frame {
			r[i] = -r[i]
		}
	}
	s := (h.ds + h.dds*years) * 1e-6
	k := 1 + s
	a := affine{d: [9]float64{
		s, -r[2] * k, r[1] * k,
		r[2] * k, s, -r[0] * k,
		-r[1] * k, r[0] * k, s,
	}}
	for i := range tr {
		// P + T + (I + D)(X - P) = X + D X + (T - D P)
		a.t[i] = tr[i] - (a.d[3*i]*h.p[0] + a.d[3*i+1]*h.p[1] + a.d[3*i+2]*h.p[2])
	}
	return a
}

// affine is the map X + D X + T of earth-centred axes. D, the difference from
// the identity, is kept on its own so that small rotations keep all their
// digits.
type affine struct {
	d [9]float64 // by rows
	t [3]float64 // metres
}

// apply maps one point.
func (a *affine) apply(x, y, z float64) (float64, float64, float64) {
	return x + (a.d[0]*x + a.d[1]*y + a.d[2]*z + a.t[0]),
		y + (a.d[3]*x + a.d[4]*y + a.d[5]*z + a.t[1]),
		z + (a.d[6]*x + a.d[7]*y + a.d[8]*z + a.t[2])
}

// then is the map a followed by b.
func (a affine) then(b affine) affine {
	// (I + Db)(X + Da X + Ta) + Tb
	var c affine
	for i := range 3 {
		for j := range 3 {
			sum := a.d[3*i+j] + b.d[3*i+j]
			for k := range 3 {
				sum += b.d[3*i+k] * a.d[3*k+j]
			}
			c.d[3*i+j] = sum
		}
		c.t[i] = a.t[i] + b.t[i] + b.d[3*i]*a.t[0] + b.d[3*i+1]*a.t[1] + b.d[3*i+2]*a.t[2]
	}
	return c
}

// inverse is the exact inverse map, not the one with the signs of the
// parameters turned: there and back closes to the rounding of the numbers.
func (a affine) inverse() (affine, error) {
	m := a.d
	m[0]++
	m[4]++
	m[8]++
	var adj [9]float64
	adj[0] = m[4]*m[8] - m[5]*m[7]
	adj[1] = m[2]*m[7] - m[1]*m[8]
	adj[2] = m[1]*m[5] - m[2]*m[4]
	adj[3] = m[5]*m[6] - m[3]*m[8]
	adj[4] = m[0]*m[8] - m[2]*m[6]
	adj[5] = m[2]*m[3] - m[0]*m[5]
	adj[6] = m[3]*m[7] - m[4]*m[6]
	adj[7] = m[1]*m[6] - m[0]*m[7]
	adj[8] = m[0]*m[4] - m[1]*m[3]
	det := m[0]*adj[0] + m[1]*adj[3] + m[2]*adj[6]
	if !(math.Abs(det) > 0.5) || math.IsInf(det, 0) {
		return affine{}, fmt.Errorf("the map has no inverse: determinant %v", det)
	}
	var inv affine
	for i := range 3 {
		for j := range 3 {
			// (I + D)^-1 - I = -(I + D)^-1 D keeps the small numbers small.
			inv.d[3*i+j] = -(adj[3*i]*a.d[j] + adj[3*i+1]*a.d[3+j] + adj[3*i+2]*a.d[6+j]) / det
		}
		inv.t[i] = -(adj[3*i]*a.t[0] + adj[3*i+1]*a.t[1] + adj[3*i+2]*a.t[2]) / det
	}
	return inv, nil
}

// heightOf is the ellipsoidal height of a position near the ground, by one
// round of Bowring's formula (1985, Surv. Rev. 28, 202), without its latitude.
// Error below 1e-6 m within 20 km of the ellipsoid.
func (el *ellipsoid) heightOf(x, y, z float64) float64 {
	p := math.Sqrt(x*x + y*y)
	u := el.b * z * (1 + el.ep2*el.b/math.Sqrt(p*p+z*z))
	v := el.a * p
	w := 1 / math.Sqrt(u*u+v*v)
	sb, cb := u*w, v*w
	num, den := z+el.ep2*el.b*sb*sb*sb, p-el.e2*el.a*cb*cb*cb
	w = 1 / math.Sqrt(num*num+den*den)
	s, c := num*w, den*w
	return p*c + z*s - el.a*math.Sqrt(1-el.e2*s*s)
}
