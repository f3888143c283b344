// Heights that stand far from one another in mown ground, of slope-limit, and
// those between which nothing is known.

package validate

import (
	"fmt"
	"iter"
	"math"

	"github.com/paulmach/orb"

	"swardline/validate/plane"
)

// sayFar is what the page of the rule says of this.
const sayFar = "" +
	"The rims of holes and keep-outs, docks (those too that are driven into from the zone), and marks and other points in the mown ground (these as a warning, since they may stand on something), are compared with the outline up to 5 m from them as corridors are. " +
	"What is switched off, a zone, keep-out, mark, corridor, dock or flush edge, is compared with the outline as rims are, and with ways that lead over it as marks are, as a warning: its ground is there all the same. " +
	"So are, at any distance, all these and flush edges, corridors and zones within a zone with every stretch of its outline that only mown ground lies before, with no wall: a rise of more than 0.3 m beyond slope_max_percent is as steep somewhere on the way; a warning of marks and of the rims of keep-outs, which may be raised by that. "

// farLooks is how many straight lines are looked along, to tell whether only
// mown ground lies on them, for each two features.
const farLooks = 2000

// farStep tells the steepest rise between points of a feature that lie in the
// i-th zone and its outline, more than stepReachM apart with mown ground alone
// between: somewhere on that line the ground is at least as steep as its mean.
// stepRiseM of the rise is left aside, as nearer by.
func (r *run) farStep(f *Feature, zones *solids, i int, outline, own *raisedSides, severity Severity) bool {
	return !own.steep && r.farRise(f, zones, i, outline, own.low, own.high, own.ends, severity)
}

// farRise is farStep for any points, with their least and greatest height.
func (r *run) farRise(f *Feature, zones *solids, i int, outline *raisedSides, low, high float64, pts iter.Seq[*raised], severity Severity) bool {
	z := zones.features[i]
	limit := r.slopeOf(f, z)
	if len(outline.sides) == 0 || outline.steep || !outline.mayStep(low, high, stepRiseM+limit/100*stepReachM) {
		return false // nothing that far off is as steep
	}
	var kept *Feature
	if len(f.Areas) > 0 {
		kept = f
	}
	s := step{percent: limit + 1e-9}
	looks := 0
	var found []int
	for p := range pts {
		reach := (max(p.h-outline.low, outline.high-p.h) - stepRiseM) * 100 / s.percent
		if !(reach > stepReachM) || zones.locator(i).Locate(p.ground) == plane.Outside || r.keptOut(p.ground, kept) {
			continue
		}
		found = outline.boxes().Search(p.ground.Bound().Pad(reach), found[:0])
		for _, k := range found {
			q := heightOn(&outline.sides[k], p.ground)
			d := distance(p.ground, q.ground)
			percent := 100 * (math.Abs(q.h-p.h) - stepRiseM) / d
			if d <= stepReachM || percent <= s.percent {
				continue
			}
			if looks++; looks > farLooks {
				break
			}
			if r.mownBetween(zones, p.ground, q.ground) {
				s.percent, s.from, s.to = percent, *p, q
			}
		}
	}
	if s.percent <= limit+2e-9 {
		if looks > farLooks {
			r.cannot("%s has so many heights off those of the outline of %s that not all were compared", f.describe(), z.describe())
		}
		return false
	}
	x := r.finding(r.Place(s.from.ground), featuresOf(f, z)...)
	x.Severity = severity
	x.Measured, x.Limit, x.Unit = s.percent, limit, "%"
	x.Trace = r.trace(s.from.ground, s.to.ground)
	side := "higher"
	if s.from.h < s.to.h {
		side = "lower"
	}
	x.Message = fmt.Sprintf("lies in mown ground %s %s than the outline of %s %s off: but for %s that is %s %% and more on the way; the limit is %s %%: look for the bank and take it out of the zone, or correct the heights",
		metres(math.Abs(s.to.h-s.from.h)), side, z.describe(), metres(distance(s.from.ground, s.to.ground)), metres(stepRiseM), percentPast(s.percent, limit), trim(limit, 1))
	return true
}

// featuresOf are two features, or the one that both are.
func featuresOf(a, b *Feature) []*Feature {
	if a == b {
		return []*Feature{a}
	}
	return []*Feature{a, b}
}

// doubt is what two features' heights leave open where they meet: the greatest
// step past what the ground between their points may rise or fall by.
type doubt struct {
	by float64
	// Places compared, and of how many of those the one feature lies higher, and
	// lower, by more than a step and half of what the ground may: where that is
	// so of all, the one lies higher all along.
	places, up, down int
	most             float64
	first            orb.Point
	apart            bool // one stands more than stepBaseM from the first
}

// doubtful keeps what two places leave open.
func (s *step) doubtful(from, to *raised, d float64) {
	rise, sag := to.h-from.h, from.sag+to.sag
	over := math.Abs(rise) - s.limit/100*d - s.may - 1e-9
	if s.walls.hold(from.ground, to.ground) {
		return
	}
	x := &s.doubt
	if x.places++; x.places == 1 {
		x.first = from.ground
	}
	x.apart = x.apart || distance(x.first, from.ground) > stepBaseM
	if over <= sag/2 {
		return
	}
	if rise > 0 {
		x.up++
	} else {
		x.down++
	}
	x.most = max(x.most, over)
	if over > sag {
		x.by = max(x.by, over)
	}
}

// join adds what the same comparison the other way about found.
func (x *doubt) join(back *doubt) {
	x.apart = x.apart || back.apart || x.places > 0 && back.places > 0 && distance(x.first, back.first) > stepBaseM
	if x.places == 0 {
		x.first = back.first
	}
	x.places, x.up, x.down = x.places+back.places, x.up+back.down, x.down+back.up
	x.by, x.most = max(x.by, back.by), max(x.most, back.most)
}

// tellDoubt records that two features may step where they meet, unless a
// finding names them both already.
func (r *run) tellDoubt(s *step, f, other *Feature) {
	x := &s.doubt
	by, all := x.by, ""
	if by == 0 && x.apart && max(x.up, x.down) == x.places {
		by, all = x.most, "all along "
	}
	if by == 0 || r.toldOf(f, other) {
		return
	}
	r.cannot("the heights of %s and %s are %s off one another %swhere they meet, between points of the plan: whether that is a step past %s cannot be told; give both heights at the same places there", f.describe(), other.describe(), metres(by+s.may), all, metres(s.may))
}

// toldOf reports whether a finding of the rule names both features.
func (r *run) toldOf(a, b *Feature) bool {
	for i := range r.findings {
		var of [2]bool
		for _, f := range r.findings[i].Features {
			of[0], of[1] = of[0] || f == a.Feature, of[1] || f == b.Feature
		}
		if of[0] && of[1] {
			return true
		}
	}
	return false
}
