// Rules on docks: dock-missing, dock-in-keepout, dock-approach.

package validate

import (
	"fmt"
	"math"
	"slices"

	"github.com/paulmach/orb"

	"swardline/schema"
	"swardline/validate/plane"
)

var dockRules = []Rule{
	{
		Name: RuleDockMissing, Severity: Error, run: checkDockMissing,
		Page: Page{
			What:   "Whether the plan has an active dock with a point.",
			Why:    "The machine starts and ends every run at its dock; without one nothing on the plan can be reached.",
			Source: sourcePractice,
			Fails:  "a plan with zones and a base but no dock",
			Passes: "the same plan with a point of the role dock",
			Mend:   "add the dock with its heading_deg",
		},
	},
	{
		Name: RuleDockInKeepout, Severity: Error, Limits: []string{"machine_width_m", "dock_standoff_m"}, Over: [][]schema.Role{{schema.RoleDock}, {schema.RoleKeepout, schema.RoleZone}}, run: checkDockInKeepout,
		Page: Page{
			What: "How deep a dock or its line-up point lies in a keep-out; and the least distance between a keep-out and the straight way from the line-up point to the dock, " +
				"which has to be at least half the machine's width; and the same of every hole of a zone that no zone covers, but for one that the dock or its line-up point lies in. A millimetre is rounding.",
			Why:    "A machine that may not enter the ground on which its dock stands never comes home, or never leaves.",
			Source: sourcePractice,
			Fails:  "a dock 0.5 m inside a keep-out",
			Passes: "the same keep-out cut back to 0.4 m beside the way into the dock",
			Mend:   "cut the keep-out back, or move the dock",
		},
	},
	{
		Name: RuleDockApproach, Severity: Error, Limits: []string{"dock_approach_deg", "machine_width_m"}, Over: all(schema.RoleDock), run: checkDockApproach,
		Page: Page{
			What:   "The angle between the dock's heading_deg and the bearing of the last stretch of the corridor that ends at its line-up point, towards the dock; of the stretches in the last machine_width_m, the one farthest off. A dock that no corridor leads to lines up on the lawn where its line-up point lies in a zone; else it is unchecked.",
			Why:    "From the line-up point the machine drives straight in. If it arrives at an angle it has to turn on the spot, digs up the grass there, and meets the contacts askew.",
			Source: sourcePractice,
			Fails:  "a corridor that comes in 25 degrees off the dock's heading, limit 10",
			Passes: "the same corridor with a last stretch along the heading",
			Mend:   "give the corridor a last stretch in line with the dock",
		},
	},
}

func checkDockMissing(r *run) {
	for _, f := range r.Of(schema.RoleDock) {
		if len(f.Points) > 0 {
			return
		}
	}
	r.finding(nil).Message = "the plan has no active dock"
}

func checkDockInKeepout(r *run) {
	if !r.onGround() {
		return
	}
	r.need(schema.RoleDock)
	keepouts := r.keepouts()
	for _, why := range keepouts.why {
		r.cannot("%s", why)
	}
	r.docksOverHoles()
	for _, d := range r.docks() {
		if math.IsNaN(d.heading) && keepouts.len() > 0 {
			r.cannot("%s has no heading_deg, so the way into it is not known", d.f.describe())
		}
		half := r.halfWidth(d.f)
		for _, k := range keepouts.near(d.f.bound.Pad(d.standoff + half)) {
			ko := keepouts.features[k]
			l := keepouts.locator(k)
			if depth := l.Depth(d.at); depth > slackM {
				x := r.finding(r.placeRead(d.f, d.vertex.Read, d.at), d.f, ko)
				x.Measured, x.Limit, x.Unit = depth, 0, "m"
				x.Message = fmt.Sprintf("stands %s inside %s", metres(depth), ko.describe())
				continue
			}
			if math.IsNaN(d.heading) {
				continue
			}
			if depth := l.Depth(d.lineup); depth > slackM {
				x := r.finding(r.Place(d.lineup), d.f, ko)
				x.Measured, x.Limit, x.Unit = depth, 0, "m"
				x.Message = fmt.Sprintf("its line-up point lies %s inside %s", metres(depth), ko.describe())
				continue
			}
			way := plane.NewGauge(orb.LineString{d.lineup, d.at})
			if c, p, q, ok := way.Within(keepouts.gauge(k), half); ok && c < half-slackM {
				x := r.finding(r.Place(p), d.f, ko)
				x.Measured, x.Limit, x.Unit = c, half, "m"
				x.Trace = r.trace(p, q)
				x.Message = fmt.Sprintf("the way into it passes %s beside %s; half the machine is %s wide", metresPast(c, half), ko.describe(), metres(half))
			}
		}
	}
}

// docksOverHoles tells of holes of zones in the way into a dock, but for those
// that the dock or its line-up point lies in.
func (r *run) docksOverHoles() {
	var holes []zoneHole
	docks := r.docks()
	if len(docks) > 0 {
		holes = r.zoneHoles(nil)
	}
	for i := range docks {
		d := &docks[i]
		if math.IsNaN(d.heading) {
			continue
		}
		half := r.halfWidth(d.f)
		line := orb.LineString{d.lineup, d.at}
		way := plane.NewGauge(line)
		for k := range holes {
			h := &holes[k]
			if !h.bound.Pad(half).Intersects(line.Bound()) || plane.Locate(d.at, h.ring) != plane.Outside || plane.Locate(d.lineup, h.ring) != plane.Outside {
				continue
			}
			c, p, q, ok := way.Within(plane.NewGauge(h.bare), half)
			if !ok || c >= half-slackM {
				continue
			}
			x := r.finding(r.Place(p), d.f, h.zone)
			x.Measured, x.Limit, x.Unit = c, half, "m"
			x.Trace = r.trace(p, q)
			x.Message = fmt.Sprintf("the way into it passes %s beside a hole of %s; half the machine is %s wide", metresPast(c, half), h.zone.describe(), metres(half))
		}
	}
}

// arrival is the stretch of a corridor that comes in on the worst bearing within
// a machine's width of its end at a dock, and that bearing's angle off the
// dock's heading: a stub at the end turns no machine.
func (r *run) arrival(c *corridorLine, e *corridorEnd) (from, to orb.Point, arrives, off float64) {
	off = -1
	left := r.of(e.dock.f).MachineWidthM
	for v := e.v; left > slackM && v+e.step >= 0 && v+e.step < len(c.pts); v += e.step {
		a, b := c.pts[v+e.step], c.pts[v]
		if l := distance(a, b); l > slackM {
			left -= l
			if bearing := bearingOf(a, b); angleBetween(bearing, e.dock.heading) > off {
				from, to, arrives, off = a, b, bearing, angleBetween(bearing, e.dock.heading)
			}
		}
	}
	if off < 0 {
		from, to = c.pts[e.v+e.step], c.pts[e.v]
		arrives = bearingOf(from, to)
		off = angleBetween(arrives, e.dock.heading)
	}
	return from, to, arrives, off
}

func checkDockApproach(r *run) {
	if !r.onGround() || len(r.need(schema.RoleDock)) == 0 {
		return
	}
	led := map[*Feature]bool{}
	for _, c := range r.corridors() {
		for k := range c.ends {
			e := &c.ends[k]
			if e.dock == nil {
				continue
			}
			led[e.dock.f] = true
			if math.IsNaN(e.dock.heading) {
				continue
			}
			from, to, arrives, off := r.arrival(&c, e)
			limit := r.of(e.dock.f).DockApproachDeg
			if off <= limit+1e-6 {
				continue
			}
			x := r.finding(r.corridorPlace(&c, e.v), c.f, e.dock.f)
			x.Measured, x.Limit, x.Unit = off, limit, "deg"
			x.Trace = r.trace(from, to)
			x.Message = fmt.Sprintf("comes in on the bearing %s, %s off the heading %s of %s; the limit is %s",
				degreesText(arrives), percentPast(off, limit)+" deg", degreesText(math.Mod(e.dock.heading+360, 360)), e.dock.f.describe(), degreesText(limit))
		}
	}
	for _, d := range r.docks() {
		switch {
		case !led[d.f] && r.linesUpOnLawn(&d):
		case !led[d.f]:
			r.cannot("no corridor leads to %s", d.f.describe())
		case math.IsNaN(d.heading):
			r.cannot("%s has no heading_deg", d.f.describe())
		}
	}
}

// linesUpOnLawn reports whether the machine lines up for a dock on mown ground, so
// that no corridor need lead there.
func (r *run) linesUpOnLawn(d *dockSpot) bool {
	zones := r.zones()
	return !math.IsNaN(d.heading) && slices.ContainsFunc(zones.near(d.lineup.Bound()), func(i int) bool { return zones.locator(i).Locate(d.lineup) == plane.Inside })
}
