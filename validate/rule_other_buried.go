// What says that it lies under driven ground and has heights above it: part of
// other-in-zone.

package validate

import (
	"fmt"
	"math"

	"swardline/validate/plane"
)

// sayBuried is what the page of the rule says of this.
const sayBuried = "" +
	"So is such a cable or pipe that says a sound depth and has a height more than 0.05 m above driven ground: above the plane of a lawn's outline, where none of its points lies more than 0.05 m off that, else above what is within 0.5 m of it of an outline or within half the machine of a corridor, and more than the ground may lie off between two points. "

// buriedAbove notes what is buried by its word and lies above the ground by its heights.
func (r *run) buriedAbove(f *Feature, zones *solids) {
	if !f.hasHeights || !f.saysPlace() || r.clamped(f) || len(r.findings) >= mostFindings {
		return
	}
	worst, at, ground := acrossNoiseM+1e-9, raised{}, 0.0
	take := func(p raised, h, open float64) {
		if by := p.h - h - open; by > worst {
			worst, at, ground = by, p, h
		}
	}
	outlines := map[int]*raisedSides{}
	f.raised(func(p raised) {
		for _, i := range zones.near(p.ground.Bound().Pad(bankBesideM)) {
			o := outlines[i]
			if o == nil {
				o = r.outlineHeights(zones.features[i])
				outlines[i] = o
			}
			if len(o.sides) == 0 {
				continue
			}
			k, d := o.nearest(p.ground)
			switch t := o.tilt(); {
			case t.off <= acrossNoiseM && zones.locator(i).Locate(p.ground) != plane.Outside:
				take(p, t.height(p.ground), t.off)
			case k >= 0 && d <= bankBesideM:
				q := heightOn(&o.sides[k], p.ground)
				take(p, q.h, q.sag)
			}
		}
		for i := range r.corridors() {
			c := &r.corridors()[i]
			if c.line.Heights == nil || r.clamped(c.f) {
				continue
			}
			way := c.raised()
			if k, d := way.nearest(p.ground); k >= 0 && d <= r.halfWidth(c.f) {
				q := heightOn(&way.sides[k], p.ground)
				take(p, q.h, q.sag)
			}
		}
	})
	own := r.edgeHeights(f)
	for i := range r.corridors() { // where a way leads over it between its points
		c := &r.corridors()[i]
		if c.line.Heights == nil || r.clamped(c.f) {
			continue
		}
		for _, on := range c.raised().sides {
			for k := range own.sides {
				side := &own.sides[k]
				if x := plane.Cross(side[0].ground, side[1].ground, on[0].ground, on[1].ground); x.Kind == plane.CrossProper {
					p, q := heightOn(side, x.P), heightOn(&on, x.P)
					take(p, q.h, p.sag+q.sag)
				}
			}
		}
	}
	if worst <= acrossNoiseM+2e-9 {
		return
	}
	deep, key := levelSaid(f)
	x := r.finding(r.Place(at.ground), f)
	x.Severity = Note
	x.Measured, x.Limit, x.Unit = at.h-ground, math.Min(acrossNoiseM, at.h-ground), "m"
	x.Message = fmt.Sprintf("says by its %s that it lies %s under the ground, and by its heights it lies %s above it: one of the two is wrong, and what lies on a lawn is cut; look, and correct the heights, or give it the role hazard and a keep-out", quote(key), metres(deep), metres(at.h-ground))
}
