// Docks that a machine lines up for on mown ground, of slope-limit.

package validate

import (
	"math"
	"slices"

	"swardline/validate/plane"
)

// sayDock is what the page of the rule says of this.
const sayDock = "" +
	"A dock that lines up in a zone and that no corridor leads to is unchecked unless the plane of the outline, or a height within 1 m of its line-up point, has the way in no steeper than dock_slope_max_percent. "

// lineupNearM is how near to a line-up point a height, in metres, is taken for its
// own (common practice, no source).
const lineupNearM = 1.0

// docksOnLawns leaves unchecked docks that no corridor leads to and that are not,
// as far as the outline tells, level with the lawn at their line-up point.
func (r *run) docksOnLawns(zones *solids, outlines []*raisedSides) {
	led := map[*Feature]bool{}
	for i := range r.corridors() {
		for _, e := range r.corridors()[i].ends {
			if e.dock != nil {
				led[e.dock.f] = true
			}
		}
	}
	docks := r.docks()
	for i := range docks {
		d := &docks[i]
		h := d.vertex.Height
		if led[d.f] || h != h || r.clamped(d.f) || !r.linesUpOnLawn(d) {
			continue
		}
		may := r.of(d.f).DockSlopeMaxPercent/100*d.standoff + 1e-9
		told := slices.ContainsFunc(r.heightsAbout(d, tiltReachM+d.standoff, false), func(p raised) bool {
			return p.ground != d.at && distance(p.ground, d.lineup) <= lineupNearM && math.Abs(h-p.h) <= may
		})
		if told {
			continue
		}
		for _, k := range zones.near(d.lineup.Bound()) {
			if zones.locator(k).Locate(d.lineup) != plane.Inside || len(outlines[k].sides) < 3 || r.toldOf(d.f, zones.features[k]) {
				continue
			}
			if t := outlines[k].tilt(); t.off <= may && math.Abs(h-t.height(d.lineup)) <= may {
				continue
			}
			r.cannot("%s stands in %s, and whether the way in from its line-up point is level cannot be told by the outline's heights: lead a corridor with heights there, or give the line-up point a mark", d.f.describe(), zones.features[k].describe())
			break
		}
	}
}
