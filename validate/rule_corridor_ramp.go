// The sides of ramps under corridors: what of corridor-narrow is about them.

package validate

import (
	"fmt"
	"math"

	"github.com/paulmach/orb"

	"swardline/schema"
	"swardline/validate/plane"
)

// acrossDeg is from how many degrees on a ramp lies across a way, and not along it.
const acrossDeg = 45

// rises reports whether a ramp says that it climbs more than a machine takes as a
// step, so that its sides are edges of their own.
func (r *run) rises(f *Feature) bool {
	rise, ok := f.Float("rise_m")
	return ok && math.Abs(rise) > r.of(f).StepMaxM
}

// rampSides are the open ends of ramps that lie across a corridor, as things it has to
// keep half the machine from; of a ramp along it, it tells the width.
func (r *run) rampSides(c *corridorLine) (out []obstacle) {
	l := r.of(c.f)
	box := boundOf(c.pts).Pad(l.MachineWidthM)
	for _, f := range r.usableOf(schema.RoleEdge) {
		if edgeKind(f) != schema.EdgeRamp || !f.bound.Intersects(box) || !r.rises(f) {
			continue
		}
		for _, line := range f.lines() {
			from, to := line[0], line[len(line)-1]
			d, at, _ := plane.NewGauge(orb.LineString(c.pts)).Clearance(plane.NewGauge(line))
			way, ok := directionAt(c.pts, at)
			if d > l.MachineWidthM/2 || !ok || from == to {
				continue
			}
			turn := math.Abs(math.Remainder(bearingOf(from, to)-way, 180))
			if turn > acrossDeg {
				for _, end := range r.freePosts(f) {
					out = append(out, obstacle{f: f, pts: []orb.Point{end}, hard: true})
				}
				continue
			}
			if wide, ok := f.Float(schema.PropWidth); ok && wide < l.MachineWidthM-slackM {
				x := r.finding(r.Place(at), c.f, f)
				x.Measured, x.Limit, x.Unit = wide, l.MachineWidthM, "m"
				x.Message = fmt.Sprintf("goes up %s, which is %s wide; the machine is %s wide, and falls off its sides", f.describe(), metresPast(wide, l.MachineWidthM), metres(l.MachineWidthM))
			}
		}
	}
	return out
}

// directionAt is the bearing, in degrees, of the segment of a line that is nearest to
// a place.
func directionAt(pts []orb.Point, at orb.Point) (deg float64, ok bool) {
	best := math.Inf(1)
	for i := 1; i < len(pts); i++ {
		if d := distanceToSegment(at, pts[i-1], pts[i]); pts[i] != pts[i-1] && d < best {
			best, deg, ok = d, bearingOf(pts[i-1], pts[i]), true
		}
	}
	return deg, ok
}
