// The ground that a machine takes where it turns on the spot in a corridor: what of
// corridor-hairpin is about it.

package validate

import (
	"fmt"
	"math"

	"github.com/paulmach/orb"

	"swardline/schema"
	"swardline/validate/plane"
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
		case schema.RoleOther, schema.RoleBase, schema.RoleSupply, schema.RoleDock:
		case schema.RoleMark:
			if !hasWord(slimWords, solidSaying(f)) {
				continue
			}
		default:
			continue
		}
		margin, _ := r.cornerMargin(f)
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
	for k := range c.ends {
		if d := c.ends[k].dock; d != nil && d.f == f {
			return // base-in-zone looks at the dock that it leads to
		}
	}
	margin, of := r.cornerMargin(f)
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
	switch {
	case f.Role == schema.RoleDock:
		x.Message += ", and half the machine that may be parked there is " + metres(margin)
	case of == "":
		if margin > 0 {
			x.Message += ", and what stands there needs " + metres(margin) + " more"
		}
	default:
		x.Message += fmt.Sprintf(", and the margin of %s is %s more", of, metres(margin)) + kindUnclear(f)
	}
	x.Message += ": move the corner, or round it"
	asksRole(x, f)
}

// cornerMargin is what a thing needs past the disc at a corner in metres, and what
// of: of a dock half the machine that may be parked in it, of a base or an outlet
// what it keeps from all driven ground, of all else what docking keeps from it.
func (r *run) cornerMargin(f *Feature) (m float64, of string) {
	switch f.Role {
	case schema.RoleDock:
		return r.halfWidth(f), ""
	case schema.RoleBase, schema.RoleSupply:
		for i := range f.Points {
			m = math.Max(m, r.standingMargin(f, f.Points[i].Ground))
		}
		return m, ""
	}
	return r.dockMargin(f)
}

// cornersInside tells of the corner of a corridor inside the property at which the
// machine, turning on the spot, would reach farthest out of it.
func (r *run) cornersInside(c *corridorLine, property *solids, owner *Feature) {
	turn := r.of(c.f).TurnRadiusM
	least, at, edge := math.Inf(1), orb.Point{}, orb.Point{}
	for _, p := range corners(c.pts, turn) {
		if d, q := property.depthIn(p); d < least {
			least, at, edge = d, p, q
		}
	}
	if least < turn-slackM {
		r.cornerOver(c, owner, least, at, edge)
	}
}

// cornersCrossed is cornersInside for a boundary drawn as an open line.
func (r *run) cornersCrossed(c *corridorLine, o *openLine) {
	turn := r.of(c.f).TurnRadiusM
	if !boundOf(c.pts).Pad(turn).Intersects(boundOf(o.line)) {
		return
	}
	line := plane.NewGauge(o.line)
	least, at, edge := math.Inf(1), orb.Point{}, orb.Point{}
	for _, p := range corners(c.pts, turn) {
		if d, _, q, near := plane.NewGauge(p).Within(line, turn); near && d < least {
			least, at, edge = d, p, q
		}
	}
	if least < turn-slackM {
		r.cornerOver(c, o.f, least, at, edge)
	}
}

// cornerOver records a corner so near, in metres, to the edge of the property.
func (r *run) cornerOver(c *corridorLine, owner *Feature, off float64, at, edge orb.Point) {
	turn := r.of(c.f).TurnRadiusM
	x := r.finding(r.Place(at), c.f, owner)
	x.Measured, x.Limit, x.Unit = off, turn, "m"
	x.Trace = r.trace(at, edge)
	x.Message = fmt.Sprintf("turns sharply %s inside the boundary; turning there on the spot the machine needs %s, and reaches over it: move the corner, or round it", metresPast(off, turn), metres(turn))
}

// endsBeside notes the end of a corridor in a lawn that is nearer to water, a road, a
// drop, a hazard of no known kind, a base, an outlet or a dock than a machine that turns
// there may come. What stands in a corner of the same corridor is told there.
func (r *run) endsBeside(list []corridorLine) {
	for i := range list {
		c := &list[i]
		for k := range c.ends {
			if c.ends[k].zone == nil || c.ends[k].dock != nil {
				continue
			}
			p := c.pts[0]
			if k == 1 {
				p = c.pts[len(c.pts)-1]
			}
			r.endBeside(c, p, c.ends[1-k].dock)
		}
	}
}

// endBeside is endsBeside for the end at p of a corridor from a dock, nil for none.
func (r *run) endBeside(c *corridorLine, p orb.Point, from *dockSpot) {
	turn := r.of(c.f).TurnRadiusM
	for _, f := range r.Features {
		switch f.Role {
		case schema.RoleHazard, schema.RoleBase, schema.RoleSupply:
		case schema.RoleDock:
			if from != nil && from.f == f {
				continue
			}
		case schema.RoleEdge:
			if edgeKind(f) != schema.EdgeDrop {
				continue
			}
		default:
			continue
		}
		if !f.usable() || !f.bound.Pad(f.reachDrawn()+f.growth()+turn+mostMarginM).Contains(p) {
			continue
		}
		margin, of := r.cornerMargin(f)
		need := turn + margin
		if margin == 0 && f.Role == schema.RoleHazard {
			continue
		}
		shape := r.hazardShape(f)
		if f.Role == schema.RoleEdge {
			shape = r.barrierTo(f, []orb.LineString{c.pts})
		}
		if shape.why != "" {
			continue // hazard-uncovered says so
		}
		d, q := shape.distance(p)
		if d >= need-slackM || len(r.findings) >= mostFindings {
			continue
		}
		x := r.finding(r.Place(p), c.f, f)
		x.Severity = Note
		x.Measured, x.Limit, x.Unit = d, need, "m"
		x.Trace = r.trace(p, q)
		more := "what stands there needs"
		if of != "" {
			more = "the margin of " + of + " is"
		}
		x.Message = fmt.Sprintf("ends in the lawn %s from %s; to turn there the machine needs %s, and %s %s more%s: end it farther off", metresPast(d, need), f.describe(), metres(turn), more, metres(margin), kindUnclear(f))
	}
}

// mostMarginM is more, in metres, than any margin that is looked for (starting value from
// memory).
const mostMarginM = 10.0
