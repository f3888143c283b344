// Dilution of precision, and how it and the number of satellites spread over a
// day behind a horizon.

package orbit

import (
	"math"
	"sort"
)

// DOP are the factors by which an error of range becomes one of position and
// time. Infinite when the satellites cannot fix a position.
type DOP struct{ GDOP, PDOP, HDOP, VDOP, TDOP float64 }

var noFix = DOP{math.Inf(1), math.Inf(1), math.Inf(1), math.Inf(1), math.Inf(1)}

// Dilution computes the dilution of precision of satellites in sight: Q = (A'A)^-1
// with rows (-e, -n, -u, 1), a clock for each satellite system (Langley, GPS
// World, May 1999; Hofmann-Wellenhof et al., GNSS, 2008, 7.3.4). systemOf gives
// the system of a sight as a small number; a system of which only one satellite
// is seen then fixes nothing but its own clock. TDOP is that of the system with
// most satellites.
func Dilution(sights []Sight, systemOf func(satellite int) int) DOP {
	var s gather
	for i := range sights {
		s.add(&sights[i], systemOf(sights[i].Satellite))
	}
	return s.dop()
}

// gather sums what a DOP needs. The clocks are eliminated beforehand: with a
// column of ones for each system, A'A reduced to the position is the sum over
// systems of the products of directions less their mean (Schur's complement).
type gather struct {
	n                      [8]int
	e, nn, u               [8]float64
	ee, en, eu, n2, nu, u2 float64
}

func (g *gather) reset() { *g = gather{} }

func (g *gather) add(s *Sight, system int) {
	g.n[system]++
	g.e[system] += s.E
	g.nn[system] += s.N
	g.u[system] += s.U
	g.ee += s.E * s.E
	g.en += s.E * s.N
	g.eu += s.E * s.U
	g.n2 += s.N * s.N
	g.nu += s.N * s.U
	g.u2 += s.U * s.U
}

// leastDeterminant is the determinant of the reduced normal matrix, of unit
// vectors, below which directions count as lying in a plane or cone: PDOP is
// then over 1,000.
const leastDeterminant = 1e-9

func (g *gather) dop() DOP {
	a, b, c, d, e, f := g.ee, g.en, g.eu, g.n2, g.nu, g.u2
	most := 0
	for k, n := range g.n {
		if n == 0 {
			continue
		}
		if n > g.n[most] {
			most = k
		}
		w := 1 / float64(n)
		a -= g.e[k] * g.e[k] * w
		b -= g.e[k] * g.nn[k] * w
		c -= g.e[k] * g.u[k] * w
		d -= g.nn[k] * g.nn[k] * w
		e -= g.nn[k] * g.u[k] * w
		f -= g.u[k] * g.u[k] * w
	}
	// Inverse of the symmetric matrix [a b c; b d e; c e f] by its cofactors.
	A, B, C := d*f-e*e, c*e-b*f, b*e-c*d
	D, E, F := a*f-c*c, b*c-a*e, a*d-b*b
	det := a*A + b*B + c*C
	if !(det > leastDeterminant) {
		return noFix
	}
	qe, qn, qu := A/det, D/det, F/det
	if !(qe > 0 && qn > 0 && qu > 0) {
		return noFix
	}
	m := 1 / float64(g.n[most])
	x, y, z := g.e[most]*m, g.nn[most]*m, g.u[most]*m
	qt := m + (x*x*A+y*y*D+z*z*F+2*(x*y*B+x*z*C+y*z*E))/det
	h, p := qe+qn, qe+qn+qu
	return DOP{GDOP: math.Sqrt(p + qt), PDOP: math.Sqrt(p), HDOP: math.Sqrt(h), VDOP: math.Sqrt(qu), TDOP: math.Sqrt(qt)}
}

// View is what one place sees over a Day behind a Horizon. Shares run from 0 to
// 1 and are of the day's steps.
type View struct {
	// Counts has the number of satellites in view at each step.
	Counts []int
	// DOPs has the dilution at each step.
	DOPs []DOP
}

// Behind looks at the day from behind the horizon.
func (d *Day) Behind(h *Horizon) *View {
	v := &View{Counts: make([]int, d.Steps()), DOPs: make([]DOP, d.Steps())}
	var g gather
	for k := range v.Counts {
		g.reset()
		sights := d.Sights(k)
		n := 0
		for i := range sights {
			s := &sights[i]
			if !h.Hides(s.Azimuth, s.Elevation) {
				g.add(s, d.kinds[s.Satellite])
				n++
			}
		}
		v.Counts[k], v.DOPs[k] = n, g.dop()
	}
	return v
}

// ShareFrom is the share of the day in which n or more satellites are in view.
func (v *View) ShareFrom(n int) float64 {
	k := 0
	for _, c := range v.Counts {
		if c >= n {
			k++
		}
	}
	return float64(k) / float64(len(v.Counts))
}

// ShareOver is the share of the day in which PDOP is over the limit or there is
// no fix at all.
func (v *View) ShareOver(pdop float64) float64 {
	k := 0
	for i := range v.DOPs {
		if !(v.DOPs[i].PDOP <= pdop) {
			k++
		}
	}
	return float64(k) / float64(len(v.DOPs))
}

// ShareBad is the share of the day with fewer than n satellites in view or PDOP
// over the limit, each step counted once.
func (v *View) ShareBad(n int, pdop float64) float64 {
	k := 0
	for i := range v.DOPs {
		if v.Counts[i] < n || !(v.DOPs[i].PDOP <= pdop) {
			k++
		}
	}
	return float64(k) / float64(len(v.DOPs))
}

// BadSpans returns the stretches of steps, first and last of each, in which fewer than
// n satellites are in view or PDOP is over the limit.
func (v *View) BadSpans(n int, pdop float64) [][2]int {
	var out [][2]int
	for i := range v.DOPs {
		if v.Counts[i] >= n && v.DOPs[i].PDOP <= pdop {
			continue
		}
		if k := len(out) - 1; k >= 0 && out[k][1] == i-1 {
			out[k][1] = i
		} else {
			out = append(out, [2]int{i, i})
		}
	}
	return out
}

// CountRange returns the median and the least number of satellites in view.
func (v *View) CountRange() (median, least int) {
	c := append([]int(nil), v.Counts...)
	sort.Ints(c)
	return c[(len(c)-1)/2], c[0]
}

// Quantile returns the quantile q, 0 to 1, of a figure over the day, by the
// nearest step at or above it: PDOP's median is Quantile(0.5, DOP's PDOP).
// Infinite when the place has no fix in more than 1 - q of the day.
func (v *View) Quantile(q float64, figure func(*DOP) float64) float64 {
	x := make([]float64, len(v.DOPs))
	for i := range v.DOPs {
		x[i] = figure(&v.DOPs[i])
	}
	sort.Float64s(x)
	i := int(math.Ceil(q*float64(len(x)))) - 1
	return x[min(max(i, 0), len(x)-1)]
}
