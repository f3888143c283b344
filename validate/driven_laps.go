// Laps: outlines that a track went round whole. They are evidence of the base
// for a receiver that does not hang from it: the machine keeps one distance to
// the outline it holds, so what is left of a lap's distances, side by side, is
// how far the ground driven lies from the plan.

package validate

import (
	"math"
	"slices"
	"time"

	"github.com/paulmach/orb"

	"swardline/schema"
)

// What is a lap. Common practice, no source: each bound keeps out what is none,
// such as lanes inside a zone or a spiral that narrows, at the price of laps
// not counted.
const (
	// lapShare is the part of an outline that must be gone round without a
	// break.
	lapShare = 0.95
	// lapBackM is how far a lap may run backwards, in metres.
	lapBackM = 2.0
	// lapBinM is how long a piece is of which the mean distance counts, in
	// metres.
	lapBinM = 1.0
	// lapCornerM is how near a corner sharper than lapCornerDeg the distance to
	// the outline is not taken: machines cut or swing out there.
	lapCornerM   = 1.0
	lapCornerDeg = 20.0
	// lapClearM is how far another side of the outline must be.
	lapClearM = 2.0
	// lapSeenShare is the part of an outline whose distance must be known.
	lapSeenShare = 0.5
	// lapScatterM and lapDriftM are how much the distance may scatter and
	// change over a lap, in metres, that is said to keep one.
	lapScatterM = 0.04
	lapDriftM   = 0.10
	// lapErrorM is the most standard error in metres that a lap may have by
	// itself.
	lapErrorM = 0.005
)

// followedRing is an outline that the machine may go round.
type followedRing struct {
	f      *Feature
	pts    []orb.Point // the last is the first
	along  []float64   // way along the outline at each
	sharp  []float64   // ways along it at which there is a sharp corner
	length float64
	bound  orb.Bound
	middle orb.Point
	lap    lap
}

// lap is the one at hand.
type lap struct {
	active     bool
	way        float64 // along the outline, last
	gone, most float64 // along it since the lap began, with its sense, and the farthest
	from, last time.Time
	at         orb.Point
	bins       []lapBin
}

// lapBin sums what was seen of a piece of the outline.
type lapBin struct {
	n                 int
	left, east, north float64 // distance to the left, and the direction in which it is one
	gone              float64
}

// makeRings gathers the outlines.
func (d *Driven) makeRings() {
	if d.o.Receiver != ReceiverIndependent {
		return
	}
	for _, role := range []schema.Role{schema.RoleZone, schema.RoleKeepout} {
		for _, f := range d.r.Of(role) {
			if !f.usable() {
				continue
			}
			for _, a := range f.Areas {
				for _, ring := range a.Ground {
					if x := newFollowedRing(f, ring); x != nil {
						d.rings = append(d.rings, x)
					}
				}
			}
		}
	}
}

// newFollowedRing makes ready to follow an outline; nil for one without extent.
func newFollowedRing(f *Feature, ring orb.Ring) *followedRing {
	x := &followedRing{f: f}
	for _, p := range ring {
		if n := len(x.pts); n == 0 || x.pts[n-1] != p {
			x.pts = append(x.pts, p)
		}
	}
	if n := len(x.pts); n > 0 && x.pts[0] != x.pts[n-1] {
		x.pts = append(x.pts, x.pts[0])
	}
	n := len(x.pts)
	if n < 4 {
		return nil
	}
	x.along = make([]float64, n)
	for i := 1; i < n; i++ {
		x.along[i] = x.along[i-1] + distance(x.pts[i-1], x.pts[i])
	}
	x.length = x.along[n-1]
	for i := range n - 1 {
		before := x.pts[(i+n-2)%(n-1)]
		if angleBetween(bearingOf(before, x.pts[i]), bearingOf(x.pts[i], x.pts[i+1])) > lapCornerDeg {
			x.sharp = append(x.sharp, x.along[i])
		}
	}
	x.bound = orb.LineString(x.pts).Bound()
	x.middle = x.bound.Center()
	x.bound = x.bound.Pad(followM)
	return x
}

// round is the difference of two ways along the outline, the shorter way round.
func (x *followedRing) round(a, b float64) float64 { return math.Remainder(a-b, x.length) }

// followRings tells the outlines of a fixed position.
func (d *Driven) followRings(p *trackPoint) {
	for _, x := range d.rings {
		if !x.bound.Contains(p.at) {
			d.endLap(x)
			continue
		}
		best, off, left, share := -1, followM, 0.0, 0.0
		for k := 1; k < len(x.pts); k++ {
			if o, s, a := offLine(p.at, x.pts[k-1], x.pts[k]); o < off {
				best, off, left, share = k-1, o, s, a
			}
		}
		if best < 0 {
			d.endLap(x)
			continue
		}
		clamped := math.Max(0, math.Min(1, share))
		x.step(d, p, x.along[best]+clamped*(x.along[best+1]-x.along[best]))
		if share == clamped && x.clear(p.at, best) {
			x.see(best, left)
		}
	}
}

// step takes the way along the outline to the next position.
func (x *followedRing) step(d *Driven, p *trackPoint, way float64) {
	w := &x.lap
	if w.active {
		dt, ds := p.time.Sub(w.last).Seconds(), x.round(way, w.way)
		// Round a corner the nearest place of the outline runs ahead.
		if dt < 0 || dt > stepMostS || math.Abs(ds) > 1.5*distance(p.at, w.at)+1 {
			d.endLap(x)
		} else if w.gone += ds; math.Abs(w.gone) < w.most-lapBackM || math.Abs(w.gone) >= x.length {
			d.endLap(x)
		}
	}
	if !w.active {
		*w = lap{active: true, from: p.time, bins: make([]lapBin, int(x.length/lapBinM)+1)}
	}
	w.way, w.last, w.at, w.most = way, p.time, p.at, math.Max(w.most, math.Abs(w.gone))
}

// clear reports whether the distance of a position to a segment is one to this
// side of the outline and no other, away from sharp corners.
func (x *followedRing) clear(p orb.Point, segment int) bool {
	way := x.lap.way
	for _, s := range x.sharp {
		if math.Abs(x.round(way, s)) < lapCornerM {
			return false
		}
	}
	for k := 1; k < len(x.pts); k++ {
		if k-1 == segment {
			continue
		}
		o, _, share := offLine(p, x.pts[k-1], x.pts[k])
		at := x.along[k-1] + math.Max(0, math.Min(1, share))*(x.along[k]-x.along[k-1])
		if o < lapClearM && math.Abs(x.round(way, at)) > 2*lapClearM {
			return false
		}
	}
	return true
}

// see takes down the distance to a segment.
func (x *followedRing) see(segment int, left float64) {
	a, b := x.pts[segment], x.pts[segment+1]
	length := distance(a, b)
	bin := &x.lap.bins[int(x.lap.way/lapBinM)]
	bin.n++
	bin.left += left
	bin.east -= (b[1] - a[1]) / length
	bin.north += (b[0] - a[0]) / length
	bin.gone += x.lap.gone
}

// lapRow is one piece of a lap as an observation: left = a' (e, n, kept,
// change).
type lapRow struct {
	a [4]float64
	v float64
}

// rows are the pieces of which the distance is known.
func (w *lap) rows() []lapRow {
	var out []lapRow
	for i := range w.bins {
		if b := &w.bins[i]; b.n > 0 {
			n := float64(b.n)
			out = append(out, lapRow{[4]float64{b.east / n, b.north / n, 1, b.gone/n/w.most - math.Copysign(0.5, w.gone)}, b.left / n})
		}
	}
	return out
}

// fitLap fits a shift, the distance kept and a steady change of that, by least
// squares. Up to one piece in ten may be left out, the worst first, of those
// past three times what the others scatter: where the lap was joined, or
// something was in the way. inverse is nil when no shift can be told; scatter
// is the standard deviation of a piece.
func fitLap(rows []lapRow) (fit []float64, inverse [][]float64, scatter float64) {
	most := len(rows) / 10
	for {
		normal, right := matrix(4), make([]float64, 4)
		for _, r := range rows {
			for j := range r.a {
				right[j] += r.a[j] * r.v
				for k := range r.a {
					normal[j][k] += r.a[j] * r.a[k]
				}
			}
		}
		if inverse = inverted(normal); inverse == nil || len(rows) < 8 {
			return nil, nil, 0
		}
		fit = product(inverse, right)
		sizes, squares, worst, far := make([]float64, len(rows)), 0.0, 0, 0.0
		for i, r := range rows {
			off := r.v
			for j := range r.a {
				off -= r.a[j] * fit[j]
			}
			sizes[i] = math.Abs(off)
			squares += off * off
			if sizes[i] > far {
				worst, far = i, sizes[i]
			}
		}
		slices.Sort(sizes)
		// 1.4826: a median of sizes to a standard deviation, of normal errors.
		if far <= 3*math.Max(1.4826*sizes[len(sizes)/2], 0.005) || most == 0 {
			return fit, inverse, math.Sqrt(squares / float64(len(rows)-4))
		}
		most--
		rows = slices.Delete(slices.Clone(rows), worst, worst+1)
	}
}

// endLap takes a lap for two observations, east and north, when it is one. What
// laps differ by is mostly an error that all of a lap shares, of the position
// and of the way the machine keeps, alike in all directions: so each is worth
// what a rest in a dock is, as long as its outline shows either direction well.
func (d *Driven) endLap(x *followedRing) {
	w := x.lap
	x.lap = lap{}
	if !w.active || w.most < lapShare*x.length {
		return
	}
	rows := w.rows()
	if float64(len(rows))*lapBinM < lapSeenShare*x.length {
		return
	}
	fit, inverse, scatter := fitLap(rows)
	if inverse == nil || scatter > lapScatterM || math.Abs(fit[3]) > lapDriftM {
		d.oddLaps++
		return
	}
	// The largest standard error of the shift in any direction.
	worst := (inverse[0][0]+inverse[1][1])/2 + math.Hypot((inverse[0][0]-inverse[1][1])/2, inverse[0][1])
	if scatter*math.Sqrt(worst) > lapErrorM {
		d.oddLaps++
		return
	}
	o := observation{time: w.from, at: x.middle, name: "round " + x.f.describe(), group: d.nextGroup()}
	for k := range 2 {
		o.a = [3]float64{}
		o.a[k], o.v = 1, fit[k]
		d.obs = append(d.obs, o)
	}
}

// restedElsewhere looks, for a receiver that does not hang from the base, at
// what stays where it is: where the machine rests in its docks it must see them
// where the plan has them, or its corrections stand on other ground and its
// laps and passes say nothing. It gives how far off the mean of the rests is,
// in metres.
func (d *Driven) restedElsewhere() (offM float64, rests int) {
	var sum orb.Point
	for _, v := range d.docks {
		for _, p := range v.rests {
			sum[0] += p[0] - v.dock.at[0]
			sum[1] += p[1] - v.dock.at[1]
			rests++
		}
	}
	return math.Hypot(sum[0], sum[1]) / math.Max(1, float64(rests)), rests
}
