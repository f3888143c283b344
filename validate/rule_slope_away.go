// Heights that no ground beside the lawns has, of slope-limit.

package validate

import (
	"fmt"
	"math"
	"slices"

	"github.com/paulmach/orb"

	"swardline/schema"
)

// sayAway is what the page of the rule says of this.
const sayAway = "" +
	"What lies higher is not compared, for it may be a roof or the top of a wall. But of every feature except a base a height more than 20 m, and half a metre for each metre between, above or below the nearest outline is a warning: heights of two references. " +
	"Where all heights of marks, boundaries and other points and lines within 100 m of the lawns, three or more, lie above the nearest outline's, or all below, by more than 3 m beyond slope_max_percent of the distance, it is unchecked which of the two are wrong. " +
	"So it is where all marks, three or more, lie above, or all below, the nearest outline, boundary, fence, kerb or flush edge, within 15 m, by more than 1 m beyond that. "

// awayRiseM is how far in metres a thing's height may lie above or below the
// nearest lawn's, beyond awaySlope of the distance between them: roofs and water
// do not lie farther off, heights above the ellipsoid beside heights above the
// sea mostly do (common practice, no source).
const (
	awayRiseM = 20.0
	awaySlope = 0.5
	// Where all of apartLeast heights or more within apartReachM of lawns lie off
	// those by more than apartRiseM beyond the limit of a slope, on the same side,
	// one or the other is of another reference (common practice, no source).
	apartRiseM  = 3.0
	apartReachM = 100.0
	apartLeast  = 3
	awayLooks   = 1000000 // so many outlines are measured from, for all places
)

// heightsAway tells every feature, but for bases, whose heights lie so far off
// the nearest lawn's that they are hardly of one reference. What is named in
// another finding of the rule is told already.
func (r *run) heightsAway(zones *solids, outlines []*raisedSides) {
	low, high := math.Inf(1), math.Inf(-1)
	for _, o := range outlines {
		low, high = min(low, o.low), max(high, o.high)
	}
	if low > high {
		return
	}
	looks := 0
	for _, f := range r.Features {
		l, h := f.heightRange()
		if !(max(h-low, high-l) > awayRiseM) || f.Role == "" || f.Role == schema.RoleBase || !f.usable() || r.clamped(f) || r.toldOf(f, f) {
			continue
		}
		worst, from, to := awayRiseM, raised{}, raised{}
		var beside *Feature
		f.raised(func(p raised) {
			reach := (max(p.h-low, high-p.h) - awayRiseM) / awaySlope
			if !(reach > 0) || looks > awayLooks {
				return
			}
			near, on := reach, raised{}
			var of *Feature
			for _, i := range zones.near(p.ground.Bound().Pad(reach)) {
				o := outlines[i]
				if looks++; zones.features[i] == f || len(o.sides) == 0 || boxGap(o.bound, p.ground.Bound()) >= near {
					continue
				}
				k, d := o.nearest(p.ground)
				if d < near {
					near, on, of = d, heightOn(&o.sides[k], p.ground), zones.features[i]
				}
			}
			if of == nil {
				return
			}
			if beyond := math.Abs(p.h-on.h) - awaySlope*near; beyond > worst {
				worst, from, to, beside = beyond, p, on, of
			}
		})
		if beside == nil {
			continue
		}
		x := r.finding(r.placeRead(f, from.read, from.ground), featuresOf(f, beside)...)
		x.Severity = Warning
		x.Measured, x.Limit, x.Unit = worst, awayRiseM, "m"
		x.Trace = r.trace(from.ground, to.ground)
		side := "higher"
		if from.h < to.h {
			side = "lower"
		}
		x.Message = fmt.Sprintf("is %s %s than the nearest outline, of %s, %s off: heights of another unit or reference, above the ellipsoid beside above the sea? Store all in one, or take away heights that are none of the ground",
			metres(math.Abs(from.h-to.h)), side, beside.describe(), metres(distance(from.ground, to.ground)))
	}
	if looks > awayLooks {
		r.cannot("so many heights lie more than %s off those of lawns that not all were compared", metres(awayRiseM))
	}
}

// lawnsApart leaves unchecked lawns whose heights lie all above or all below what
// marks, boundaries and other points and lines about them tell, by more than
// any slope allows: which of the two is wrong they do not say.
func (r *run) lawnsApart(outlines []*raisedSides) {
	low, high := math.Inf(1), math.Inf(-1)
	for _, o := range outlines {
		low, high = min(low, o.low), max(high, o.high)
	}
	tells := func(f *Feature) bool {
		switch f.Role {
		case schema.RoleMark, schema.RoleBoundary:
		case schema.RoleOther:
			if len(f.Areas) > 0 {
				return false
			}
		default:
			return false
		}
		return f.hasHeights && f.usable() && f.saysGround() && !r.clamped(f)
	}
	least, most := math.Inf(1), math.Inf(-1)
	for _, f := range r.Features {
		if l, h := f.heightRange(); h >= l && tells(f) {
			least, most = min(least, l), max(most, h)
		}
	}
	if !(least-high > apartRiseM) && !(low-most > apartRiseM) {
		return // as mostly
	}
	count, agree := 0, false
	var first *Feature
	slope, nearest := r.limits.SlopeMaxPercent/100, math.Inf(1)
	for _, f := range r.Features {
		if agree || !tells(f) {
			continue
		}
		if r.toldOf(f, f) {
			return
		}
		f.raised(func(p raised) {
			on, near := nearestHeight(outlines, p.ground, apartReachM)
			if on != on {
				return
			}
			if count++; first == nil {
				first = f
			}
			agree = agree || math.Abs(p.h-on)-slope*near <= apartRiseM
			nearest = min(nearest, math.Abs(p.h-on))
		})
	}
	if agree || count < apartLeast {
		return
	}
	side := "above"
	if low > most {
		side = "below"
	}
	r.lawnsOff = true
	r.cannot("all heights of marks, boundaries and lines about the lawns, such as %s, lie %s and more %s those of the lawns: heights of two references or units, and which is wrong cannot be told; store all in one", first.describe(), metres(nearest), side)
}

// nearestHeight is the height of lines with heights where they come nearest to a place,
// and how far off that is; NaN where none comes nearer than reach.
func nearestHeight(lines []*raisedSides, p orb.Point, reach float64) (h, off float64) {
	h, off = math.NaN(), reach
	for _, o := range lines {
		if len(o.sides) == 0 || boxGap(o.bound, p.Bound()) >= off {
			continue
		}
		if k, d := o.nearest(p); d < off {
			h, off = heightOn(&o.sides[k], p).h, d
		}
	}
	return h, off
}

// marksApart leaves unchecked marks, three or more, that lie all above or all below
// the nearest of all else that tells the ground.
func (r *run) marksApart(outlines []*raisedSides) {
	low, high, least, most := math.Inf(1), math.Inf(-1), math.Inf(1), math.Inf(-1)
	var marks, about []*Feature
	for _, o := range outlines {
		low, high = min(low, o.low), max(high, o.high)
	}
	for _, f := range r.Features {
		tells, _ := f.onePlace()
		if !tells || f.Role == schema.RoleOther || !f.hasHeights || !f.usable() || !f.saysPlace() || r.clamped(f) {
			continue
		}
		if l, h := f.heightRange(); f.Role == schema.RoleMark {
			marks, least, most = append(marks, f), min(least, l), max(most, h)
		} else {
			about, low, high = append(about, f), min(low, l), max(high, h)
		}
	}
	if len(marks) < apartLeast || !(least-low > twoRiseM) && !(high-most > twoRiseM) {
		return
	}
	all := slices.Clone(outlines)
	for _, f := range about {
		all = append(all, r.edgeHeights(f))
	}
	up, down, agree, nearest := 0, 0, false, math.Inf(1)
	slope := r.limits.SlopeMaxPercent / 100
	for _, f := range marks {
		if r.toldOf(f, f) {
			return
		}
		f.raised(func(p raised) {
			on, near := nearestHeight(all, p.ground, fallReachM+slackM)
			if on != on {
				return
			}
			switch rise := p.h - on; {
			case rise-slope*near > twoRiseM+1e-9:
				up++
			case -rise-slope*near > twoRiseM+1e-9:
				down++
			default:
				agree = true
			}
			nearest = min(nearest, math.Abs(p.h-on))
		})
		if agree || up > 0 && down > 0 {
			return
		}
	}
	side := "above"
	if down > 0 {
		side = "below"
	}
	if up+down >= apartLeast {
		r.cannot("all marks, such as %s, lie %s and more %s what is drawn nearest to them: heights of two references, or marks on top of something, and which cannot be told; store all in one, or name what they are on", marks[0].describe(), metres(nearest), side)
	}
}

// raised visits every point of a feature that has a height.
func (f *Feature) raised(visit func(p raised)) {
	tell := func(read, ground []orb.Point, heights []float64) {
		for v, h := range heights {
			if h == h {
				visit(raised{read: read[v], ground: ground[v], h: h})
			}
		}
	}
	for i := range f.Areas {
		a := &f.Areas[i]
		for k := range a.Heights {
			tell(a.Read[k], a.Ground[k], a.Heights[k])
		}
	}
	for i := range f.Lines {
		tell(f.Lines[i].Read, f.Lines[i].Ground, f.Lines[i].Heights)
	}
	for i := range f.Points {
		if v := &f.Points[i]; v.Height == v.Height {
			visit(raised{read: v.Read, ground: v.Ground, h: v.Height})
		}
	}
}
