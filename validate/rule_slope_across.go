// Slopes across corridors, of slope-limit: heights on either side of one.

package validate

import (
	"fmt"
	"math"

	"github.com/paulmach/orb"

	"swardline/schema"
)

// sayAcross is what the page of the rule says of this.
const sayAcross = "" +
	"Two heights on either side of a corridor, within 5 m of its line, with no wall, drop, building, water or keep-out between, are a warning where the one lies higher by more than 0.3 m beyond slope_max_percent of the distance between them: the way slopes so across; past step_max_m they are unchecked. " +
	"Of a way that rises along its line, what is left of that limit counts across it: 30 % along and 18 % across are 35 % in all. "

// acrossM is how far from a corridor a height, in metres, tells how it slopes
// across; acrossMost is of how many beside one corridor that is asked (common
// practice, no source).
const (
	acrossM    = 1.5
	acrossMost = 400
	// Of two heights, one on either side, each may be so far off, and up to acrossWideM
	// where they lie about square across.
	acrossBothM, acrossWideM = 2.5, 5.0
)

// acrossSpot is a height beside a corridor: how far along it, and to the left.
type acrossSpot struct {
	raised
	f    *Feature
	left float64
	side int // of the corridor's heights, -1 for none
}

// across tells corridors that slope across by what lies on either side of them.
func (w *falls) across() {
	r := w.r
	for i := range r.corridors() {
		c := &r.corridors()[i]
		if len(c.pts) < 2 {
			continue
		}
		box := boundOf(c.pts).Pad(acrossWideM)
		low, high := math.Inf(1), math.Inf(-1) // above the site: most lie about that
		for _, f := range r.Features {
			if f.hasHeights && f.bound.Intersects(box) && r.acrossTells(f) {
				f.raised(func(p raised) { low, high = min(low, w.above(&p)), max(high, w.above(&p)) })
			}
		}
		if high-low > w.least {
			w.acrossOne(c, box)
		}
	}
}

// acrossTells reports whether the heights of a feature are those of ground beside
// a corridor that nobody drives; what stands up tells nothing, nor does what opens
// an edge.
func (r *run) acrossTells(f *Feature) bool {
	stands, _ := f.standsBeside()
	return f.usable() && !stands && f.Role != schema.RoleCorridor && f.Role != schema.RoleDock && f.Role != schema.RoleZone && f.saysGround() && !r.clamped(f)
}

func (w *falls) acrossOne(c *corridorLine, box orb.Bound) {
	r := w.r
	way := newRaisedSides(0)
	if c.line.Heights != nil && !r.clamped(c.f) {
		way = c.raised()
	}
	spots := w.acrossSpots(c, way, box)
	limit := r.of(c.f).SlopeMaxPercent
	may := r.of(c.f).StepMaxM
	worst, from, to := may+1e-9, -1, -1
	for i := range spots {
		for k := i + 1; k < len(spots); k++ {
			a, b := &spots[i], &spots[k]
			if a.left > 0 == (b.left > 0) || math.Abs(a.h-b.h) <= worst && a.side < 0 {
				continue
			}
			if by := a.acrossBy(b, way, math.Min(limit, r.slopeOf(a.f, b.f))/100); by > worst && !w.heldAcross(a, b) {
				worst, from, to = by, i, k
			}
		}
	}
	if len(spots) > acrossMost {
		r.cannot("so many heights stand beside %s that not all were compared across it", c.f.describe())
	}
	if from >= 0 {
		r.tellAcrossWay(c, &spots[from], &spots[to], worst)
	}
}

// heldAcross reports whether something between two places tells why one lies higher, or
// a lawn there is told to be steep.
func (w *falls) heldAcross(a, b *acrossSpot) bool {
	if w.steepAt(a.ground) || w.steepAt(b.ground) {
		return true
	}
	box := segmentBox(a.ground, b.ground)
	return w.r.stepWalls().about(box, box, stepRiseM+slackM).hold(a.ground, b.ground) || w.between(a.ground, b.ground, true, 0, a.f, b.f).tells
}

// acrossBy is by how much in metres two places, one on either side of a way, lie farther
// from one another in height than a slope leads there, less what the way rises by itself.
func (s *acrossSpot) acrossBy(o *acrossSpot, way *raisedSides, limit float64) float64 {
	d := distance(s.ground, o.ground)
	by := math.Abs(s.h-o.h) - limit*d
	if s.side < 0 || o.side != s.side {
		if d > 2*acrossBothM {
			return 0
		}
		return by
	}
	side := &way.sides[s.side]
	u, ok := unit(side[0].ground, side[1].ground)
	if !ok {
		return 0
	}
	rise := (side[1].h - side[0].h) / distance(side[0].ground, side[1].ground)
	along := (o.ground[0]-s.ground[0])*u[0] + (o.ground[1]-s.ground[1])*u[1]
	across := math.Sqrt(max(0, d*d-along*along))
	if math.Abs(along) > across {
		if d > 2*acrossBothM {
			return 0
		}
		return by
	}
	return max(by, math.Abs(o.h-s.h-rise*along)-math.Sqrt(max(0, limit*limit-rise*rise))*across)
}

// acrossSpots are the heights beside a corridor.
func (w *falls) acrossSpots(c *corridorLine, way *raisedSides, box orb.Bound) (spots []acrossSpot) {
	r := w.r
	take := func(f *Feature, p raised) {
		if !box.Contains(p.ground) || len(spots) > acrossMost {
			return
		}
		best, left := acrossWideM, 0.0
		for v := 1; v < len(c.pts); v++ {
			a, b := c.pts[v-1], c.pts[v]
			if d := distanceToSegment(p.ground, a, b); d < best && a != b {
				best, left = d, ((b[0]-a[0])*(p.ground[1]-a[1])-(b[1]-a[1])*(p.ground[0]-a[0]))/distance(a, b)
			}
		}
		if math.Abs(left) > slackM {
			k, _ := way.nearest(p.ground)
			spots = append(spots, acrossSpot{p, f, left, k})
		}
	}
	for _, f := range r.Features {
		if !f.bound.Intersects(box) || !f.hasHeights || !r.acrossTells(f) {
			continue
		}
		f.raised(func(p raised) { take(f, p) })
		own := r.edgeHeights(f)
		for i := range own.sides {
			side := &own.sides[i]
			for _, v := range c.pts {
				take(f, heightOn(side, v))
			}
			pieces := min(fallPieces, int(distance(side[0].ground, side[1].ground)))
			for n := 1; n < pieces; n++ {
				t := float64(n) / float64(pieces)
				take(f, heightOn(side, orb.Point{side[0].ground[0] + t*(side[1].ground[0]-side[0].ground[0]), side[0].ground[1] + t*(side[1].ground[1]-side[0].ground[1])}))
			}
		}
	}
	return spots
}

// tellAcrossWay reports two heights beside a way between which it slopes too much.
func (r *run) tellAcrossWay(c *corridorLine, a, b *acrossSpot, worst float64) {
	if a.h < b.h {
		a, b = b, a
	}
	if r.toldOf(c.f, a.f) || r.toldOf(c.f, b.f) {
		return
	}
	d := distance(a.ground, b.ground)
	if worst <= stepRiseM+1e-9 {
		r.cannot("%s and %s, on either side of %s and %s apart, differ by %s: whether the way slopes so across cannot be told; give heights at its sides, or draw the step", a.f.describe(), b.f.describe(), c.f.describe(), metres(d), metres(a.h-b.h))
		return
	}
	x := r.finding(r.Place(b.ground), append([]*Feature{c.f}, featuresOf(a.f, b.f)...)...)
	x.Severity = Warning
	x.Measured, x.Limit, x.Unit = worst, stepRiseM, "m"
	x.Trace = r.trace(a.ground, b.ground)
	x.Message = fmt.Sprintf("slopes across: %s on one side lies %s higher than %s on the other, %s off, %s more than a slope within the limit leads; %s is the most: lead it where the ground is level across, or correct the heights",
		a.f.describe(), metres(a.h-b.h), b.f.describe(), metres(d), metresPast(worst, stepRiseM), metres(stepRiseM))
}
