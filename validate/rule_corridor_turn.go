// The ground that a machine takes where it turns on the spot in a corridor: what of
// corridor-hairpin is about it.

package validate

import (
	"fmt"
	"math"

	"github.com/paulmach/orb"

	"swardline/schema"
)

// cornerDeg is how much, in degrees, a corridor may turn within turn_radius_m of
// line before a machine stops there and turns on the spot (common practice, no
// source).
const cornerDeg = 60

// corners are the points of a line at which it turns so sharply.
func corners(pts []orb.Point, radius float64) []orb.Point {
	var out []orb.Point
	pts = straightened(pts, scatterM)
	last := 0 // the last corner that is in out
	for v := 1; v+1 < len(pts); v++ {
		sum, along := 0.0, 0.0
		for w := v; w+1 < len(pts); w++ {
			if w > v {
				along += distance(pts[w-1], pts[w])
			}
			if along > radius {
				break
			}
			if sum += math.Remainder(bearingOf(pts[w], pts[w+1])-bearingOf(pts[w-1], pts[w]), 360); math.Abs(sum) > cornerDeg {
				for k := max(v, last+1); k <= w; k++ {
					out, last = append(out, pts[k]), k
				}
				break
			}
		}
	}
	return out
}

// turningRoom tells what lies in the disc that the machine takes at a corner of a
// corridor, of turn_radius_m and the margin of water, a road or a drop.
func (r *run) turningRoom(list []corridorLine) {
	var near []*Feature
	box := emptyBox()
	all := make([][]orb.Point, len(list))
	for i := range list {
		l := r.of(list[i].f)
		all[i] = corners(list[i].pts, l.TurnRadiusM)
		for _, p := range all[i] {
			box = box.Union(p.Bound().Pad(l.TurnRadiusM))
		}
	}
	if box.Max[0] < box.Min[0] {
		return
	}
	for _, f := range r.Features {
		switch kind := edgeKind(f); f.Role {
		case schema.RoleHazard, schema.RoleBuilding, schema.RoleKeepout:
		case schema.RoleEdge:
			if kind == "" || isDrivenOver(kind) {
				continue
			}
		case schema.RoleOther:
		default:
			continue
		}
		margin, _ := r.dockMargin(f)
		if f.usable() && f.bound.Pad(f.reachDrawn()+f.growth()+margin).Intersects(box) && (f.Role != schema.RoleOther || standsBeside(f) != "") {
			near = append(near, f)
		}
	}
	for i := range list {
		for _, f := range near {
			if len(all[i]) > 0 {
				r.cornerBeside(&list[i], all[i], f)
			}
		}
	}
}

// cornerBeside tells of one thing in the discs about the corners of a corridor.
func (r *run) cornerBeside(c *corridorLine, at []orb.Point, f *Feature) {
	margin, of := r.dockMargin(f)
	turn := r.of(c.f).TurnRadiusM
	need := turn + margin
	box := f.bound.Pad(f.reachDrawn() + f.growth() + need)
	var shape *hazardShape
	least, middle, place := math.Inf(1), orb.Point{}, orb.Point{}
	for _, p := range at {
		if !box.Contains(p) {
			continue
		}
		if shape == nil {
			var s hazardShape
			switch f.Role {
			case schema.RoleEdge:
				s = r.barrierTo(f, []orb.LineString{c.pts})
			case schema.RoleOther:
				s, _ = r.standingShape(f)
			default:
				s = r.hazardShape(f)
			}
			if shape = &s; s.why != "" {
				r.cannot("%s", s.why)
				return
			}
		}
		if d, q := shape.distance(p); d < least {
			least, middle, place = d, p, q
		}
	}
	if least >= need-slackM {
		return
	}
	x := r.finding(r.Place(middle), c.f, f)
	x.Measured, x.Limit, x.Unit = least, need, "m"
	x.Trace = r.trace(middle, place)
	x.Message = fmt.Sprintf("turns sharply %s from %s; to turn there on the spot the machine needs %s", metresPast(least, need), f.describe(), metres(turn))
	if margin > 0 {
		x.Message += fmt.Sprintf(", and the margin of %s is %s more", of, metres(margin)) + kindUnclear(f)
	}
	x.Message += ": move the corner, or round it"
	asksRole(x, f)
}
