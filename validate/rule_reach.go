// Rule on the way from the dock to every zone: zone-unreachable.

package validate

import (
	"math"

	"github.com/paulmach/orb"

	"swardline/schema"
	"swardline/validate/plane"
)

var reachRules = []Rule{{
	Name: "zone-unreachable", Severity: Error, Limits: []string{"dock_reach_m", "machine_width_m"}, run: checkZoneUnreachable,
	Page: Page{
		What: "Whether every active zone can be reached from a dock: through corridors, whose ends lie in a zone or within reach of a dock's line-up point, " +
			"and from zone to zone where two share ground or edge at least as wide as the machine. A dock whose line-up point lies in a zone reaches that zone.",
		Why:    "A zone that nothing leads to is never mown, and the machine gives no sign of it.",
		Source: sourcePractice,
		Fails:  "a second lawn across a path with no corridor to it",
		Passes: "the same lawn with a corridor from the first",
		Mend:   "draw the corridor that is missing, or correct the end that misses its zone or dock",
	},
}}

func checkZoneUnreachable(r *run) {
	if !r.onGround() {
		return
	}
	zones := r.needZones()
	if len(r.need(schema.RoleDock)) == 0 || zones.len() == 0 {
		return
	}
	docks := r.docks()
	if len(docks) == 0 {
		return
	}
	corridors := r.corridors()
	if len(zones.why) > 0 {
		return // a zone that cannot be measured may be the way to others
	}
	for _, f := range r.Of(schema.RoleCorridor) {
		if !f.usable() {
			r.cannot("%s cannot be measured, and may lead somewhere", f.describe())
			return
		}
	}
	reached := make([]bool, zones.len())
	headless := ""
	for i := range docks {
		d := &docks[i]
		stand := d.lineup
		if math.IsNaN(d.heading) {
			stand = d.at
			headless = d.f.describe()
		}
		for k := range zones.features {
			if zones.bounds[k].Contains(stand) && zones.locator(k).Locate(stand) != plane.Outside {
				reached[k] = true
			}
		}
	}
	// Each corridor joins what its two ends belong to: a zone, or the docks (-1).
	type join struct{ a, b int }
	var joins []join
	const dock, nowhere = -1, -2
	for i := range corridors {
		var at [2]int
		for k := range at {
			e := &corridors[i].ends[k]
			switch {
			case e.dock != nil && e.off <= r.of(e.dock.f).DockReachM+slackM:
				at[k] = dock
			case e.dock == nil && e.zone != nil:
				at[k] = zones.index(e.zone)
			default:
				at[k] = nowhere
			}
		}
		if at[0] != nowhere && at[1] != nowhere {
			joins = append(joins, join{at[0], at[1]})
		}
	}
	for i := range zones.features {
		for k := i + 1; k < zones.len(); k++ {
			if r.passable(zones, i, k) {
				joins = append(joins, join{i, k})
			}
		}
	}
	for changed := true; changed; {
		changed = false
		for _, j := range joins {
			from := j.a == dock || reached[j.a]
			to := j.b == dock || reached[j.b]
			if from != to {
				changed = true
				if j.a != dock {
					reached[j.a] = true
				}
				if j.b != dock {
					reached[j.b] = true
				}
			}
		}
	}
	for k, f := range zones.features {
		if reached[k] {
			continue
		}
		if headless != "" {
			r.cannot("%s has no heading_deg, so where it lines up is not known", headless)
			if len(joins) == 0 {
				continue
			}
		}
		x := r.finding(r.middle(f), f)
		x.Message = "no corridor and no zone leads from a dock to it"
		if len(corridors) == 0 {
			x.Message = "the plan has no corridor, and neither a dock nor another zone joins it"
		}
	}
}

// passable reports whether the machine can pass from zone i to zone k: they share
// ground, or edge, that stretches at least its width.
func (r *run) passable(zones *solids, i, k int) bool {
	width := math.Min(r.of(zones.features[i]).MachineWidthM, r.of(zones.features[k]).MachineWidthM)
	if !zones.bounds[i].Pad(slackM).Intersects(zones.bounds[k]) {
		return false
	}
	shared, _, _ := r.overlap(zones.areas[i], zones.bounds[i], zones.areas[k], zones.bounds[k])
	for _, p := range shared {
		b := p[0].Bound()
		if math.Hypot(b.Max[0]-b.Min[0], b.Max[1]-b.Min[1]) >= width {
			return true
		}
	}
	// Edge in common, or nearly: sides that run beside one another.
	length := 0.0
	for _, p := range zones.areas[i] {
		for _, ring := range p {
			for a := 1; a < len(ring); a++ {
				side := orb.LineString{ring[a-1], ring[a]}.Bound().Pad(slackM)
				if !side.Intersects(zones.bounds[k]) {
					continue
				}
				for _, q := range zones.areas[k] {
					for _, other := range q {
						for b := 1; b < len(other); b++ {
							if s, ok := alongside(ring[a-1], ring[a], other[b-1], other[b], slackM); ok {
								length += (s.to - s.from) * distance(ring[a-1], ring[a])
							}
						}
					}
				}
			}
		}
	}
	return length >= width-slackM
}
