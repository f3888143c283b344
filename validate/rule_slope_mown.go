// Heights of what stands in mown ground against one another, of slope-limit:
// the rims of keep-outs, marks and other points tell how the ground lies where
// no outline does.

package validate

import (
	"fmt"
	"math"

	"github.com/paulmach/orb"

	"swardline/schema"
	"swardline/validate/plane"
)

// witness is a height of a rim, a mark or another point.
type witness struct {
	raised
	f *Feature
	// ring and at tell neighbours along one rim of n points; a point has none.
	ring, at, n int
	looked      bool
	zone        int // whose mown ground it stands in, -1 for none, once looked at
}

// unevenWitnesses are the worst pair found in one zone.
type unevenWitnesses struct {
	a, b          *witness
	beyond, limit float64
	rim           bool
	pairs         int
}

// witnesses compares what lies in mown ground with its neighbours there.
func (r *run) witnesses(zones *solids, outlines []*raisedSides) {
	pts, slope, may := r.witnessed()
	if len(pts) < 2 {
		return
	}
	r.rimSlopes(zones, pts, slope)
	var runs []heightRun
	for i := 0; i < len(pts); {
		k := newHeightRun(i, may)
		for k.to < min(i+mostInRun, len(pts)) {
			k.add(&pts[k.to].raised)
		}
		runs, i = append(runs, k), k.to
	}
	worst := map[int]*unevenWitnesses{}
	var order []int
	even := func(a, b *heightRun) bool {
		return max(a.high-b.low, b.high-a.low) <= may+slope/100*boxGap(a.bound, b.bound)
	}
	all := pairsOfRuns(runs, stepReachM, even, func(i, k int, may float64) bool {
		z, u := r.uneven(zones, &pts[i], &pts[k], slope, may)
		switch {
		case u == nil:
		case worst[z] == nil:
			worst[z] = u
			order = append(order, z)
		default:
			u.pairs += worst[z].pairs
			if u.beyond > worst[z].beyond {
				worst[z] = u
			} else {
				worst[z].pairs = u.pairs
			}
		}
		return true
	})
	if !all {
		r.cannot("so many heights of rims and marks stand close by one another that not all were compared")
	}
	for _, z := range order {
		r.tellWitnesses(worst[z], zones.features[z], outlines[z])
	}
}

// witnessed are the heights of keep-outs' rims, marks and other points and lines, with the
// least slope in percent and the least step that a feature's limits allow.
func (r *run) witnessed() (pts []witness, slope, may float64) {
	slope, may = r.limits.SlopeMaxPercent, r.limits.StepMaxM
	low, high, count := math.Inf(1), math.Inf(-1), 0
	for _, role := range [...]schema.Role{schema.RoleKeepout, schema.RoleMark, schema.RoleOther} {
		for _, f := range r.Of(role) {
			l, h := f.heightRange()
			low, high, count = min(low, l), max(high, h), count+f.countPoints()
			for _, v := range f.Points {
				if v.Height == v.Height {
					low, high = min(low, v.Height), max(high, v.Height)
				}
			}
			for i := range f.Lines {
				for _, h := range f.Lines[i].Heights {
					if h == h {
						low, high = min(low, h), max(high, h)
					}
				}
			}
			may = min(may, r.of(f).StepMaxM)
		}
	}
	if !(high-low > may) {
		return nil, slope, may
	}
	pts = make([]witness, 0, count)
	rings := 0
	for _, role := range [...]schema.Role{schema.RoleKeepout, schema.RoleMark, schema.RoleOther} {
		for _, f := range r.usableOf(role) {
			if r.clamped(f) {
				continue
			}
			slope = min(slope, r.of(f).SlopeMaxPercent)
			for _, v := range f.Points {
				if v.Height == v.Height && role != schema.RoleKeepout {
					pts = append(pts, witness{raised: raised{v.Read, v.Ground, v.Height}, f: f})
				}
			}
			for i := range f.Lines { // contours
				l := &f.Lines[i]
				for v := range l.Heights {
					if h := l.Heights[v]; h == h && role != schema.RoleKeepout {
						pts = append(pts, witness{raised: raised{l.Read[v], l.Ground[v], h}, f: f})
					}
				}
			}
			for i := range f.Areas {
				a := &f.Areas[i]
				if role != schema.RoleKeepout || a.Heights == nil {
					continue
				}
				for k, ring := range a.Ground {
					rings++
					n := len(ring)
					if n > 1 && ring[0] == ring[n-1] {
						n--
					}
					for v := 0; v < n && a.Heights[k] != nil; v++ {
						if h := a.Heights[k][v]; h == h {
							pts = append(pts, witness{raised: raised{a.Read[k][v], ring[v], h}, f: f, ring: rings, at: v, n: n})
						}
					}
				}
			}
		}
	}
	return pts, slope, may
}

// boxGap is the distance between two boxes.
func boxGap(a, b orb.Bound) float64 {
	return math.Hypot(math.Max(0, math.Max(a.Min[0]-b.Max[0], b.Min[0]-a.Max[0])), math.Max(0, math.Max(a.Min[1]-b.Max[1], b.Min[1]-a.Max[1])))
}

// uneven judges two heights: neighbours along a rim as those along an outline,
// all else as steps between two features. It is nil where they are even, too far
// apart, or no mown ground lies between them; else z is whose it is.
func (r *run) uneven(zones *solids, a, b *witness, slope, may float64) (z int, u *unevenWitnesses) {
	rise, d := math.Abs(b.h-a.h), distance(a.ground, b.ground)
	if rise <= may || d > stepReachM {
		return 0, nil
	}
	rim := a.ring > 0 && a.ring == b.ring
	beyond := func() float64 {
		if rim {
			return rise - slope/100*d
		}
		return rise - slope/100*math.Max(d, stepBaseM)
	}
	limit := stepRiseM
	if rim {
		if off := b.at - a.at; off != 1 && off != a.n-1 || d >= slopeBaseM {
			return 0, nil // rimSlopes judges those
		}
		limit = may
	}
	if beyond() <= limit+1e-9 {
		return 0, nil
	}
	if z = r.standsIn(zones, a); z < 0 || r.standsIn(zones, b) < 0 {
		return 0, nil
	}
	// The limits of these two, and of the zone, may be wider than the least.
	slope = math.Min(r.of(zones.features[z]).SlopeMaxPercent, math.Min(r.of(a.f).SlopeMaxPercent, r.of(b.f).SlopeMaxPercent))
	if rim {
		limit = r.stepMay(a.f, zones.features[z])
	}
	if beyond() <= limit+1e-9 || !rim && !r.mownBetween(zones, a.ground, b.ground) {
		return 0, nil
	}
	return z, &unevenWitnesses{a, b, beyond(), limit, rim, 1}
}

// standsIn is the zone in whose mown ground a witness stands, -1 for none.
func (r *run) standsIn(zones *solids, w *witness) int {
	if w.looked {
		return w.zone
	}
	w.looked, w.zone = true, -1
	var own *Feature
	if w.f.Role == schema.RoleKeepout {
		own = w.f
	}
	for _, k := range zones.near(w.ground.Bound()) {
		if zones.locator(k).Locate(w.ground) == plane.Inside && !r.keptOut(w.ground, own) {
			w.zone = k
			break
		}
	}
	return w.zone
}

// mownBetween reports whether only mown ground lies on the straight way between
// two places, and no wall, fence or drop.
func (r *run) mownBetween(zones *solids, a, b orb.Point) bool {
	const pieces = 10
	for i := 1; i < pieces; i++ {
		t := float64(i) / pieces
		p := orb.Point{a[0] + t*(b[0]-a[0]), a[1] + t*(b[1]-a[1])}
		in := false
		for _, k := range zones.near(p.Bound()) {
			in = in || zones.locator(k).Locate(p) != plane.Outside
		}
		if !in || r.keptOut(p, nil) {
			return false
		}
	}
	box := segmentBox(a, b)
	return !r.stepWalls().about(box, box, stepRiseM+slackM).hold(a, b)
}

// rimSlopes judges the rise along rims, where they lie in mown ground.
func (r *run) rimSlopes(zones *solids, pts []witness, slope float64) {
	for i := 0; i < len(pts); {
		k, low, high := i, pts[i].h, pts[i].h
		for ; k < len(pts) && pts[k].ring == pts[i].ring; k++ {
			low, high = min(low, pts[k].h), max(high, pts[k].h)
		}
		ring := pts[i:k]
		i = k
		if ring[0].ring == 0 || high-low <= slope/100*slopeBaseM {
			continue
		}
		f, reasons, before := ring[0].f, r.reasons, len(r.findings)
		var l Line
		end := func() {
			if len(l.Ground) > 1 && groundLength(l.Ground) >= slopeBaseM {
				r.lineSlope(f, l, r.of(f).SlopeMaxPercent, Warning, " along a rim in mown ground", nil)
			}
			l = Line{}
		}
		for v := 0; v <= len(ring); v++ {
			p := &ring[v%len(ring)]
			if r.standsIn(zones, p) < 0 {
				end()
				continue
			}
			l.Read, l.Ground, l.Heights = append(l.Read, p.read), append(l.Ground, p.ground), append(l.Heights, p.h)
		}
		end()
		r.reasons = reasons
		for n := len(r.findings) - 1; n > before; n-- { // the steepest place speaks for the rim
			if r.findings[n].Measured > r.findings[before].Measured {
				r.findings[before] = r.findings[n]
			}
			r.findings = r.findings[:n]
		}
	}
}

// tellWitnesses reports the worst pair of a zone: an error where its own
// outline bears both heights out, since a mark may stand on something and a bed
// may be raised.
func (r *run) tellWitnesses(u *unevenWitnesses, z *Feature, outline *raisedSides) {
	a, b := u.a, u.b
	features := []*Feature{a.f, b.f, z}
	if a.f == b.f {
		features = []*Feature{a.f, z}
	}
	x := r.finding(r.placeRead(a.f, a.read, a.ground), features...)
	x.Severity = Warning
	if outline.bearsOut(a) && outline.bearsOut(b) {
		x.Severity = Error
	}
	x.Measured, x.Limit, x.Unit = u.beyond, u.limit, "m"
	x.Trace = r.trace(a.ground, b.ground)
	up := "up"
	if b.h < a.h {
		up = "down"
	}
	to := "the point beside it on its rim"
	if !u.rim {
		to = b.f.describe()
	}
	more := ""
	if u.pairs > 1 {
		more = fmt.Sprintf(" (the worst of %d such pairs of heights in that zone)", u.pairs)
	}
	x.Message = fmt.Sprintf("lies in mown ground of %s and steps %s by %s over %s to %s, %s more than the limit of a slope allows; %s is the most: look at the ground there, and take the bank out of the zone, or the height away of what stands above the ground%s",
		z.describe(), up, metres(math.Abs(b.h-a.h)), metres(distance(a.ground, b.ground)), to, metresPast(u.beyond, u.limit), metres(u.limit), more)
}

// bearsOut reports whether an outline near a witness has its height.
func (s *raisedSides) bearsOut(w *witness) bool {
	if len(s.sides) == 0 {
		return false
	}
	k, d := s.boxes().Nearest(w.ground, func(k int) float64 {
		return distanceToSegment(w.ground, s.sides[k][0].ground, s.sides[k][1].ground)
	})
	return k >= 0 && d <= stepReachM && math.Abs(heightOn(&s.sides[k], w.ground).h-w.h) <= stepRiseM
}
