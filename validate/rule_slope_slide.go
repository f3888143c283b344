// Mown ground that falls to water, a road or a drop by what lies in it, and hollows
// and crests of it, of slope-limit.

package validate

import (
	"math"

	"github.com/paulmach/orb"

	"swardline/schema"
	"swardline/validate/plane"
)

// saySlide is what the page of the rule says of this.
const saySlide = "" +
	"Mown ground is unchecked where a mark or another point or line in it lies above a place of the outline, of a keep-out's rim or of another such feature, or below, by more than 0.3 m beyond slope_edge_max_percent of the distance, up to 15 m off, and that way comes within 2 m of a drop, water or a road, or leads straight down to one within 5 m. " +
	"So it is where a mark or point lies between two others, 1 to 5 m off on about opposite sides, and the slope changes there by more than slope_max_percent: in a hollow by 0.3 m and more of depth, on a crest, which it may make by what it stands on, by more than 0.6 m. "

// slideSpots is of how many places in one lawn it is asked, and slideLooks how many
// ways between two places of a lawn are looked along.
const slideSpots, slideLooks = 400, 2000

// slideSpot is a height in mown ground.
type slideSpot struct {
	raised
	f *Feature
}

// slideLook is one look at a zone.
type slideLook struct {
	r         *run
	zones     *solids
	z, looks  int
	limit     float64
	hard      *plane.Gauge
	worst     float64
	up, down  slideSpot
	worstSpot *Feature
}

// slides leaves unchecked lawns that fall too steeply to where a machine must not
// come, and those with hollows and crests, by what lies in them.
func (r *run) slides(zones *solids, outlines []*raisedSides) {
	var hard *plane.Gauge
	asked := false
	for i := range outlines {
		if outlines[i].steep {
			continue
		}
		spots := r.spotsIn(zones, i, outlines[i])
		if len(spots) == 0 {
			continue
		}
		if !asked {
			hard, asked = r.graveEdges(), true
		}
		if hard != nil {
			w := slideLook{r: r, zones: zones, z: i, hard: hard, worst: stepRiseM + 1e-9, limit: r.of(zones.features[i]).SlopeEdgeMaxPercent / 100}
			w.all(spots, outlines[i])
		}
		r.hollows(spots, zones, i)
	}
}

// spotsIn are the heights of marks, other points and lines in the mown ground of the
// i-th zone that lie off its plane.
func (r *run) spotsIn(zones *solids, i int, outline *raisedSides) (out []slideSpot) {
	for _, role := range [...]schema.Role{schema.RoleMark, schema.RoleOther} {
		for _, f := range r.Of(role) {
			if !f.hasHeights || !f.bound.Intersects(zones.bounds[i]) || !f.usable() || len(f.Areas) > 0 && !isPatch(f) || r.clamped(f) {
				continue
			}
			f.raised(func(p raised) {
				if len(out) < slideSpots && zones.locator(i).Locate(p.ground) == plane.Inside && !r.keptOut(p.ground, nil) {
					out = append(out, slideSpot{p, f})
				}
			})
		}
	}
	return out
}

// all compares the spots with one another, with the outline and with the rims of
// keep-outs.
func (w *slideLook) all(spots []slideSpot, outline *raisedSides) {
	r, z := w.r, w.zones.features[w.z]
	w.against(spots, z, outline, nil)
	keepouts := r.keepouts()
	for _, k := range keepouts.near(w.zones.bounds[w.z]) {
		if f := keepouts.features[k]; f.hasHeights && !r.clamped(f) {
			w.against(spots, f, r.edgeHeights(f), f)
		}
	}
	for i := range spots {
		for k := range i {
			if spots[i].f != spots[k].f {
				w.look(spots[i], spots[k], nil)
			}
		}
	}
	if w.worstSpot == nil || r.toldOf(w.up.f, w.down.f) || r.toldOf(z, w.worstSpot) {
		return
	}
	d := distance(w.up.ground, w.down.ground)
	r.cannot("%s lies %s above %s, %s off in mown ground of %s, %s more than the limit of a slope%s, %s %%, leads: whether the ground is as steep there or something stands on it cannot be told; give the ground between heights, as marks or points, or correct these",
		w.up.f.describe(), metres(w.up.h-w.down.h), w.down.f.describe(), metres(d), z.describe(), metresPast(w.worst, stepRiseM), hardWords, trim(100*w.limit, 1))
}

// against compares the spots with sides.
func (w *slideLook) against(spots []slideSpot, f *Feature, sides *raisedSides, own *Feature) {
	var found []int
	for i := range spots {
		s := &spots[i]
		rise := max(s.h-sides.low, sides.high-s.h) - stepRiseM
		if len(sides.sides) == 0 || !(rise > w.limit*boxGap(sides.bound, s.ground.Bound())) {
			continue
		}
		found = sides.boxes().Search(s.ground.Bound().Pad(min(fallReachM, rise/max(w.limit, 1e-6))), found[:0])
		for _, k := range found {
			w.look(*s, slideSpot{heightOn(&sides.sides[k], s.ground), f}, own)
			for _, p := range sides.sides[k] {
				w.look(*s, slideSpot{p, f}, own)
			}
		}
	}
}

// look judges two places; the ground of own counts as mown.
func (w *slideLook) look(a, b slideSpot, own *Feature) {
	if a.h < b.h {
		a, b = b, a
	}
	d := distance(a.ground, b.ground)
	past := a.h - b.h - w.limit*d
	if past <= w.worst || d > fallReachM || d < slackM || w.looks > slideLooks {
		return
	}
	w.looks++
	if beside(orb.LineString{a.ground, b.ground}, w.hard, -1) && w.r.mownBut(w.zones, a.ground, b.ground, own) {
		w.worst, w.up, w.down, w.worstSpot = past, a, b, a.f
		if a.f == w.zones.features[w.z] || a.f == own {
			w.worstSpot = b.f
		}
	}
}

// hollowFlat is the cosine of the angle from which on two places lie on about opposite
// sides of a third; crestRiseM is how high a mark may stand on something.
const hollowFlat, crestRiseM = -0.8, 0.6

// hollows leaves unchecked the sharpest hollow or crest between three marks or points.
func (r *run) hollows(spots []slideSpot, zones *solids, i int) {
	limit, looks := r.of(zones.features[i]).SlopeMaxPercent/100, 0
	worst := limit + 1e-9
	var at [3]*slideSpot
	for m := range spots {
		mid := &spots[m]
		if len(mid.f.Points) == 0 {
			continue
		}
		for a := range spots {
			if looks > slideLooks || !mid.steepTo(&spots[a]) {
				continue
			}
			for b := range a {
				looks++
				if change := mid.bend(&spots[a], &spots[b]); change > worst && mid.steepTo(&spots[b]) && r.mownBetween(zones, mid.ground, spots[a].ground) && r.mownBetween(zones, mid.ground, spots[b].ground) {
					worst, at = change, [3]*slideSpot{mid, &spots[a], &spots[b]}
				}
			}
		}
	}
	z := zones.features[i]
	if at[0] == nil || r.toldOf(at[0].f, z) || r.toldOf(at[0].f, at[1].f) || r.toldOf(at[0].f, at[2].f) {
		return
	}
	what := "in a hollow"
	if at[0].h > at[1].h {
		what = "on a crest"
	}
	r.cannot("%s lies between %s and %s in mown ground of %s, %s where the slope changes by %s %%; no more than %s %% is let pass: look there, and fill or round it or take it out of the zone, or correct the heights", at[0].f.describe(), at[1].f.describe(), at[2].f.describe(), z.describe(), what, percentPast(100*worst, 100*limit), trim(100*limit, 1))
}

// steepTo reports whether the ground may bend sharply between a spot and another.
func (s *slideSpot) steepTo(o *slideSpot) bool {
	rise := math.Abs(o.h - s.h)
	if rise < stepRiseM-1e-9 || s.f == o.f || len(o.f.Points) == 0 {
		return false
	}
	d := distance(s.ground, o.ground)
	return d >= stepBaseM-slackM && d <= stepReachM && (o.h > s.h || rise > crestRiseM)
}

// bend is by how much the slope changes at a spot between two others on about opposite
// sides that both lie above it, or both below; 0 for others.
func (s *slideSpot) bend(a, b *slideSpot) float64 {
	da, db := distance(s.ground, a.ground), distance(s.ground, b.ground)
	cos := ((a.ground[0]-s.ground[0])*(b.ground[0]-s.ground[0]) + (a.ground[1]-s.ground[1])*(b.ground[1]-s.ground[1])) / (da * db)
	if cos > hollowFlat || (a.h > s.h) != (b.h > s.h) || a.f == b.f {
		return 0
	}
	return math.Abs(a.h-s.h)/da + math.Abs(b.h-s.h)/db
}
