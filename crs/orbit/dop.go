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

// Dilution computes the dilution of precision of satellites in sight: Q =
// (A'A)^-1 with rows (-e, -n, -u, 1), a clock for each satellite system
// (Langley, GPS World, May 1999; Hofmann-Wellenhof et al., GNSS, 2008, 7.3.4).
// systemOf gives the system of a sight as a small number; a system of which
// only one satellite is seen then fixes nothing but its own clock. TDOP is that
// of the system with most satellites.
func Dilution(sights []Sight, systemOf func(satellite int) int) DOP {
	var s gather
	for i := range sights {
		x := &sights[i]
		s.add(x.E, x.N, x.U, systemOf(x.Satellite))
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

func (g *gather) add(e, n, u float64, system int) {
	g.n[system]++
	g.e[system] += e
	g.nn[system] += n
	g.u[system] += u
	g.ee += e * e
	g.en += e * n
	g.eu += e * u
	g.n2 += n * n
	g.nu += n * u
	g.u2 += u * u
}

func (g *gather) takeOff(x *ray) {
	k := x.kind
	g.n[k]--
	g.e[k] -= x.e
	g.nn[k] -= x.n
	g.u[k] -= x.u
	g.ee -= x.e * x.e
	g.en -= x.e * x.n
	g.eu -= x.e * x.u
	g.n2 -= x.n * x.n
	g.nu -= x.n * x.u
	g.u2 -= x.u * x.u
}

// leastDeterminant is the determinant of the reduced normal matrix, of unit
// vectors, below which directions count as lying in a plane or cone: PDOP is
// then over 1,000.
const leastDeterminant = 1e-9

// cofactors are those of the reduced normal matrix, whose inverse they are over
// its determinant; most is the system with most satellites.
type cofactors struct {
	A, B, C, D, E, F, det float64
	most                  int
}

func (g *gather) cofactors() cofactors {
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
	return cofactors{A, B, C, a*f - c*c, b*c - a*e, a*d - b*b, a*A + b*B + c*C, most}
}

func (g *gather) dop() DOP {
	c := g.cofactors()
	if !(c.det > leastDeterminant) {
		return noFix
	}
	qe, qn, qu := c.A/c.det, c.D/c.det, c.F/c.det
	if !(qe > 0 && qn > 0 && qu > 0) {
		return noFix
	}
	m := 1 / float64(g.n[c.most])
	x, y, z := g.e[c.most]*m, g.nn[c.most]*m, g.u[c.most]*m
	qt := m + (x*x*c.A+y*y*c.D+z*z*c.F+2*(x*y*c.B+x*z*c.C+y*z*c.E))/c.det
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
	f := d.filterOf(h)
	for k := range v.Counts {
		var g gather
		v.Counts[k] = f.look(k, &g)
		v.DOPs[k] = g.dop()
	}
	return v
}

// Open is what one place sees over a Day with nothing above the mask, and the
// start of what places nearby see that have more in their way.
type Open struct {
	Horizon *Horizon
	View    *View

	d      *Day
	filter filter
	sums   []gather
	// hidden and left are of the last horizon that was asked about.
	hidden []int32
	left   []gather
	// turned are the rays by turnOf, those of turn t from turnStarts[t] on;
	// looked says in which look one was last taken off.
	turned     []turnedRay
	mem        *memory // where they are made
	turnStarts [turns + 1]int32
	looked     []int32
	look       int32
}

// Open looks at the day from behind a horizon that is the least of several.
func (d *Day) Open(h *Horizon) *Open {
	o := &Open{Horizon: h, d: d, filter: d.filterOf(h), mem: d.mem}
	if o.mem == nil || o.mem.taken {
		o.mem = new(memory)
	}
	o.mem.taken = true
	o.sums = cleared(&o.mem.sums, d.Steps())
	o.View = &View{Counts: make([]int, d.Steps()), DOPs: make([]DOP, d.Steps())}
	for k := range o.sums {
		o.View.Counts[k] = o.filter.look(k, &o.sums[k])
		o.View.DOPs[k] = o.sums[k].dop()
	}
	return o
}

// ShareBadBehind is Behind(h).ShareBad(n, pdop), quicker, for a horizon that
// hides all that the open one hides: what is hidden beside is taken off the
// sums. Where that leaves PDOP so near to the limit that rounding could decide,
// it is summed anew. It is not for several goroutines at a time.
func (o *Open) ShareBadBehind(h *Horizon, n int, pdop float64) float64 {
	f := o.d.filterOf(h)
	if o.hidden == nil {
		o.hidden, o.left = cleared(&o.mem.hidden, len(o.sums)), cleared(&o.mem.left, len(o.sums))
	}
	clear(o.hidden)
	take := func(i, k int) {
		if f.passes(i) || !o.filter.passes(i) {
			return
		}
		if o.hidden[k] == 0 {
			o.left[k] = o.sums[k]
		}
		o.hidden[k]++
		o.left[k].takeOff(&o.d.rays[i])
	}
	if f.bins != nil && h.least == o.Horizon.least {
		// Most directions are as open as they were.
		for b := range h.top {
			if h.top[b] == h.least && (h.bands == nil || len(h.bands[b]) == 0) {
				continue
			}
			for _, i := range o.d.byBin[o.d.binStarts[b]:o.d.binStarts[b+1]] {
				take(int(i), int(o.d.steps[i]))
			}
		}
	} else {
		for k := range o.sums {
			from, to := o.d.span(k)
			for i := from; i < to; i++ {
				take(i, k)
			}
		}
	}
	bad := 0
	for k, seen := range o.View.Counts {
		p, left := o.View.DOPs[k].PDOP, seen-int(o.hidden[k])
		if o.hidden[k] > 0 && left >= n {
			p = o.left[k].dop().PDOP
			if math.Abs(p-pdop) <= 1e-6*pdop || !(pdop < surePDOP) {
				var anew gather
				f.look(k, &anew)
				p = anew.dop().PDOP
			}
		}
		if left < n || !(p <= pdop) {
			bad++
		}
	}
	return float64(bad) / float64(len(o.View.Counts))
}

// Sector is a part of the sky from the ground up: azimuths clockwise from From
// to To, less than a whole turn, and elevations up to High, in degrees.
type Sector struct{ From, To, High float64 }

// MostBadBehind is no less than ShareBadBehind of a horizon that hides no more
// beside the open one than the sectors, and quicker. It is not for several
// goroutines at a time.
func (o *Open) MostBadBehind(sectors []Sector, n int, pdop float64) float64 {
	if !(pdop < surePDOP) {
		return 1
	}
	o.sortByTurn()
	clear(o.hidden)
	o.look++
	for i := range sectors {
		s := &sectors[i]
		high := sineAbove(float32(s.High))
		t, left := 0, turns
		if s.To-s.From < 300 {
			t = turnOf(sinCosDeg(s.From))
			left = (turnOf(sinCosDeg(s.To))-t+turns)%turns + 1
		}
		for ; left > 0; left-- {
			for _, x := range o.turned[o.turnStarts[t]:o.turnStarts[t+1]] {
				if x.u > high || o.looked[x.ray] == o.look {
					continue
				}
				o.looked[x.ray] = o.look
				if o.hidden[x.step] == 0 {
					o.left[x.step] = o.sums[x.step]
				}
				o.hidden[x.step]++
				o.left[x.step].takeOff(&o.d.rays[x.ray])
			}
			t = (t + 1) % turns
		}
	}
	bad := 0
	for k, seen := range o.View.Counts {
		served := seen-int(o.hidden[k]) >= n
		if o.hidden[k] == 0 {
			served = served && o.View.DOPs[k].PDOP <= pdop
		} else if served {
			c := o.left[k].cofactors()
			served = c.det > leastDeterminant && c.A > 0 && c.D > 0 && c.F > 0 && c.A+c.D+c.F <= pdop*pdop*(1-1e-6)*c.det
		}
		if !served {
			bad++
		}
	}
	return float64(bad) / float64(len(o.View.Counts))
}

// turns is into how many parts the circle of azimuths is cut for a quick look.
const turns = 256

// turnedRay is a ray in view, by number, its step and the sine of its elevation.
type turnedRay struct {
	ray, step int32
	u         float64
}

// turnOf grows with the azimuth of a direction, from 0 to turns - 1, without
// being in proportion to it.
func turnOf(e, n float64) int {
	var q float64
	switch a, b := math.Abs(e), math.Abs(n); {
	case a+b == 0:
	case e >= 0 && n >= 0:
		q = a / (a + b)
	case e >= 0:
		q = 1 + b/(a+b)
	case n < 0:
		q = 2 + a/(a+b)
	default:
		q = 3 + b/(a+b)
	}
	return min(int(q*(turns/4)), turns-1)
}

func sinCosDeg(deg float64) (sin, cos float64) { return math.Sincos(deg * radPerDeg) }

// sortByTurn sorts the rays in view by their turn, once.
func (o *Open) sortByTurn() {
	if o.turned != nil {
		return
	}
	if o.hidden == nil {
		o.hidden, o.left = cleared(&o.mem.hidden, len(o.sums)), cleared(&o.mem.left, len(o.sums))
	}
	rays := o.d.rays
	o.looked = cleared(&o.mem.looked, len(rays))
	of := cleared(&o.mem.turns, len(rays))
	for i := range rays {
		of[i] = uint8(turnOf(rays[i].e, rays[i].n))
		o.turnStarts[int(of[i])+1]++
	}
	for t := range turns {
		o.turnStarts[t+1] += o.turnStarts[t]
	}
	next := o.turnStarts
	o.turned = cleared(&o.mem.turned, len(rays))
	for k := range o.sums {
		from, to := o.d.span(k)
		for i := from; i < to; i++ {
			x := turnedRay{int32(i), int32(k), rays[i].u}
			if !o.filter.passes(i) {
				x.u = 2 // hidden already
			}
			o.turned[next[of[i]]] = x
			next[of[i]]++
		}
	}
}

// surePDOP is far below those at which leastDeterminant says that there is no
// fix.
const surePDOP = 100

// filter says which rays of a day a horizon lets through.
type filter struct {
	d    *Day
	h    *Horizon
	bins []uint16 // nil when the horizon is the same all round
	// A ray that rises no higher than hidden is hidden, and one that rises to
	// open is not, whatever its azimuth; floor is open for the lowest bins.
	hidden, floor, open float64
}

// hairDeg is more than a single's rounding of an elevation in degrees.
const hairDeg = 1e-4

func (d *Day) filterOf(h *Horizon) filter {
	f := filter{d: d, h: h, hidden: -1, floor: sineAbove(h.least), open: sineAbove(h.most)}
	if low := float64(h.least) - hairDeg; low < 90 {
		f.hidden = math.Sin(low*radPerDeg) - 1e-12
	}
	if h.most > h.least {
		f.bins = d.azimuthBins()
	}
	return f
}

// sineAbove is a sine whose elevation is surely above the limit in degrees,
// past 1 when there is none.
func sineAbove(limit float32) float64 {
	if high := float64(limit) + hairDeg; high < 90 {
		return math.Sin(high*radPerDeg) + 1e-12
	}
	return 2
}

// passes tells whether the i-th ray is in view.
func (f *filter) passes(i int) bool {
	x := &f.d.rays[i]
	switch {
	case x.u >= f.open:
		return true
	case x.u <= f.hidden:
		return false
	case f.bins == nil:
		return !f.h.Hides(x.azimuth(), x.elevation())
	}
	bin := int(f.bins[i])
	if x.u >= f.floor && f.h.top[bin] == f.h.least && (f.h.bands == nil || len(f.h.bands[bin]) == 0) {
		return true
	}
	return !f.h.hidesIn(bin, x.elevation())
}

// look sums what is in view at step k, and counts it.
func (f *filter) look(k int, g *gather) int {
	n := 0
	from, to := f.d.span(k)
	for i := from; i < to; i++ {
		if f.passes(i) {
			x := &f.d.rays[i]
			g.add(x.e, x.n, x.u, int(x.kind))
			n++
		}
	}
	return n
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

// BadSpans returns the stretches of steps, first and last of each, in which
// fewer than n satellites are in view or PDOP is over the limit.
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
