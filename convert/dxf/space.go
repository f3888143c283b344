// Affine maps of space, and the arbitrary axis algorithm.

package dxf

import (
	"math"

	"swardline/convert/dxf/curve"
)

type point = curve.Point

// affine is p -> a p + t.
type affine struct {
	a [3][3]float64
	t point
}

func identity() affine { return affine{a: [3][3]float64{{1, 0, 0}, {0, 1, 0}, {0, 0, 1}}} }

func (m *affine) apply(p point) point {
	return point{
		m.a[0][0]*p[0] + m.a[0][1]*p[1] + m.a[0][2]*p[2] + m.t[0],
		m.a[1][0]*p[0] + m.a[1][1]*p[1] + m.a[1][2]*p[2] + m.t[1],
		m.a[2][0]*p[0] + m.a[2][1]*p[1] + m.a[2][2]*p[2] + m.t[2],
	}
}

// direction maps a vector, which has no place.
func (m *affine) direction(p point) point {
	return point{
		m.a[0][0]*p[0] + m.a[0][1]*p[1] + m.a[0][2]*p[2],
		m.a[1][0]*p[0] + m.a[1][1]*p[1] + m.a[1][2]*p[2],
		m.a[2][0]*p[0] + m.a[2][1]*p[1] + m.a[2][2]*p[2],
	}
}

// after returns the map that first does n, then m.
func (m *affine) after(n *affine) affine {
	var out affine
	for i := range out.a {
		for j := range out.a[i] {
			for k := range n.a {
				out.a[i][j] += m.a[i][k] * n.a[k][j]
			}
		}
	}
	out.t = m.apply(n.t)
	return out
}

func shift(p point) affine {
	m := identity()
	m.t = p
	return m
}

// plane reports how the map treats the plane z = const: whether it stays level
// and is mapped by a similarity, and if so the scale and whether it is
// mirrored.
func (m *affine) plane() (scale float64, mirrored, similar bool) {
	ux, uy, uz := m.a[0][0], m.a[1][0], m.a[2][0]
	vx, vy, vz := m.a[0][1], m.a[1][1], m.a[2][1]
	u, v := math.Sqrt(ux*ux+uy*uy+uz*uz), math.Sqrt(vx*vx+vy*vy+vz*vz)
	const round = 1e-9
	size := math.Max(u, v)
	if !(size > 0) || math.Abs(u-v) > round*size || math.Abs(uz) > round*size || math.Abs(vz) > round*size ||
		math.Abs(ux*vx+uy*vy) > round*size*size {
		return 0, false, false
	}
	return u, ux*vy-uy*vx < 0, true
}

// axes returns the map from the coordinate system of an extrusion direction to
// the world's, by the arbitrary axis algorithm of the format's reference: the x
// axis is square to the normal and to the world's y axis when the normal is
// within 1/64 of the world's z axis, else to the world's z axis. ok is false
// for a normal without length.
func axes(normal point) (m affine, ok bool) {
	n, ok := unitVector(normal)
	if !ok {
		return m, false
	}
	other := point{0, 0, 1}
	if math.Abs(n[0]) < 1.0/64 && math.Abs(n[1]) < 1.0/64 {
		other = point{0, 1, 0}
	}
	x, ok := unitVector(cross(other, n))
	if !ok {
		return m, false
	}
	y := cross(n, x)
	for i := 0; i < 3; i++ {
		m.a[i] = [3]float64{x[i], y[i], n[i]}
	}
	return m, true
}

func cross(a, b point) point {
	return point{a[1]*b[2] - a[2]*b[1], a[2]*b[0] - a[0]*b[2], a[0]*b[1] - a[1]*b[0]}
}

func unitVector(p point) (point, bool) {
	l := math.Sqrt(p[0]*p[0] + p[1]*p[1] + p[2]*p[2])
	if !(l > 1e-12) || math.IsInf(l, 0) {
		return p, false
	}
	return point{p[0] / l, p[1] / l, p[2] / l}, true
}
