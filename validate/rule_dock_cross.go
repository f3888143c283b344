// Docks whose ways in cross: what of dock-path-blocked is about two of them.

package validate

import (
	"fmt"
	"math"

	"github.com/paulmach/orb"

	"swardline/validate/plane"
)

// dockWaysCross notes two docks of which the ways in come nearer to one another than
// half of each machine. A dock that stands in the way into another is base-in-zone's.
func (r *run) dockWaysCross(docks []dockSpot) {
	for i := range docks {
		a := &docks[i]
		for k := range docks[:i] {
			b := &docks[k]
			if math.IsNaN(a.heading) || math.IsNaN(b.heading) {
				continue
			}
			need := r.halfWidth(a.f) + r.halfWidth(b.f)
			p, q := orb.LineString{a.lineup, a.at}, orb.LineString{b.lineup, b.at}
			if !boundOf(p).Pad(need).Intersects(boundOf(q)) || inWayOf(a, b, need) || inWayOf(b, a, need) {
				continue
			}
			d, at, _, near := plane.NewGauge(p).Within(plane.NewGauge(q), need)
			if !near || d >= need-slackM {
				continue
			}
			x := r.finding(r.Place(at), a.f, b.f)
			x.Severity = Note
			x.Measured, x.Limit, x.Unit = d, need, "m"
			x.Message = fmt.Sprintf("the way into it comes %s from the way into %s, and half of each machine is %s together: two that dock or leave at one time meet there; turn one of the two docks, or set it farther off", metresPast(d, need), b.f.describe(), metres(need))
		}
	}
}

// inWayOf reports whether a dock stands so near, in metres, to the middle of the way into
// another.
func inWayOf(a, b *dockSpot, need float64) bool {
	strip, _ := b.parkedBeside(a.at)
	return strip < need-slackM
}
