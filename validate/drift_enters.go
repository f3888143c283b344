// How far a displacement brings the machine into what it must not enter.

package validate

import (
	"fmt"
	"math"

	"github.com/paulmach/orb"

	"swardline/schema"
	"swardline/validate/plane"
)

// judgeEnters judges what the row's rule is against, obstacle by obstacle.
func judgeEnters(r *run) {
	d := r.drift
	for i := range d.forbidden {
		if d.forbidden[i].f.Role == r.rule.against && r.err == nil {
			r.err = d.enters(&d.forbidden[i])
		}
	}
}

// driftRuleAgainst names the rule that keeps a displaced machine out of things
// of a role, "" for none.
func driftRuleAgainst(role schema.Role) string {
	for i := range driftRules {
		if driftRules[i].against == role {
			return driftRules[i].Name
		}
	}
	return ""
}

// reach is how far the driven ground gets into one obstacle that it was not in
// before, in metres, where, and over how many square metres of it.
func (d *drift) reach(o *driftObstacle) (at orb.Point, deep, area float64, err error) {
	if len(o.solid) > 0 {
		part, err := d.newPart(o)
		if err != nil {
			return at, 0, 0, err
		}
		if a := plane.Area(part); a > nothingM2 {
			area = a
			// What comes from outside gets no deeper than it moves.
			ceiling := math.Hypot(d.by[0], d.by[1])
			if len(o.before) > 0 {
				ceiling = math.Inf(1)
			}
			at, deep = o.deepestIn(part, ceiling)
		}
	}
	for _, l := range o.lines {
		p, after := insideDepth(l, d.after)
		if _, before := insideDepth(l, d.driven.whole); after > deep && after > before+nothingM {
			at, deep = p, after
		}
	}
	return at, deep, area, nil
}

// measured gives the locator of what is solid.
func (o *driftObstacle) measured() *plane.Locator {
	if o.locator == nil {
		o.locator = plane.NewLocator(o.solid)
		if !o.inside && len(o.solid) == 1 && len(o.solid[0]) == 1 && isConvex(o.solid[0][0]) {
			o.form.convex = true
			o.form.deepest, o.form.depth = plane.GreatestDepth(o.solid, farthestM/10)
		}
	}
	return o.locator
}

// deepestIn is farthest for the part of what is solid that is driven. The
// distance to the boundary of a convex outline is concave inside, so off the
// part's own outline it can only be greatest where the whole is deepest: were
// it greater at some x while the deepest point q lies outside the part, the way
// from x to q would cross the part's outline at no less a depth. No search is
// needed then.
func (o *driftObstacle) deepestIn(part orb.MultiPolygon, ceiling float64) (at orb.Point, deep float64) {
	l := o.measured()
	if !o.form.convex {
		return farthest(part, l, ceiling)
	}
	if at, deep = farthestOutline(part, l); deep < ceiling-nothingM && o.deepestWithin(part, deep) {
		at, deep = o.form.deepest, o.form.depth
	}
	return at, deep
}

// deepestWithin reports whether a convex obstacle's deepest point lies in the
// part, and deeper than that.
func (o *driftObstacle) deepestWithin(part orb.MultiPolygon, than float64) bool {
	return o.form.depth > than && plane.Locate(o.form.deepest, part) == plane.Inside
}

// isConvex reports whether a ring that is valid turns one way only.
func isConvex(ring orb.Ring) bool {
	n := len(ring) - 1
	if n < 3 {
		return false
	}
	side := 0
	for i := range n {
		turn := plane.Orient(ring[i], ring[i+1], ring[(i+2)%n])
		if turn == 0 {
			continue
		}
		if side != 0 && turn != side {
			return false
		}
		side = turn
	}
	return side != 0
}

// enters reports how far the driven ground reaches into one obstacle that it
// was not in before.
func (d *drift) enters(o *driftObstacle) error {
	at, deep, area, err := d.reach(o)
	if err != nil {
		return err
	}
	limit := d.of(o.f).DriftUnchangedM
	// Where the plan drives in it already, a hair's breadth of new ground may
	// lie deep inside; it is no deeper into it than the ground moved.
	if deep <= limit || math.Hypot(d.by[0], d.by[1]) <= limit {
		return nil
	}
	x := d.finding(d.Place(at), o.f)
	x.Measured, x.Limit, x.Unit = deep, limit, "m"
	if area > 0 {
		x.AreaM2 = area
	}
	switch o.f.Role {
	case schema.RoleBoundary:
		x.Message = fmt.Sprintf("the machine would drive %s beyond %s", metres(deep), o.f.describe())
	case schema.RoleEdge:
		kind := edgeKind(o.f)
		if kind == "" {
			kind = "edge"
		}
		x.Message = fmt.Sprintf("the machine would drive %s past the %s %s", metres(deep), kind, quote(o.f.Label()))
	default:
		x.Message = fmt.Sprintf("the machine would drive %s into %s", metres(deep), o.f.describe())
	}
	return nil
}

// newPart is the ground of an obstacle that the displacement brings the machine
// to.
func (d *drift) newPart(o *driftObstacle) (orb.MultiPolygon, error) {
	op := plane.Intersection
	if o.inside {
		op = plane.Difference
	}
	after, err := op(d.after, o.solid)
	if err != nil {
		return nil, err
	}
	if !o.beforeKnown {
		if o.before, err = op(d.driven.whole, o.solid); err != nil {
			return nil, err
		}
		o.beforeKnown = true
	}
	if len(after) == 0 || len(o.before) == 0 {
		return after, nil
	}
	return plane.Difference(after, o.before)
}

// meetNow marks the obstacles that the driven ground is in before it moves.
func (d *drift) meetNow() error {
	for i := range d.forbidden {
		o := &d.forbidden[i]
		if len(o.solid) > 0 {
			op := plane.Intersection
			if o.inside {
				op = plane.Difference
			}
			now, err := op(d.driven.whole, o.solid)
			if err != nil {
				return err
			}
			o.met = plane.Area(now) > nothingM2
		}
		for _, l := range o.lines {
			if _, depth := insideDepth(l, d.driven.whole); depth > nothingM {
				o.met = true
			}
		}
	}
	return nil
}
