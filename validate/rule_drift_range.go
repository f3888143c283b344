// Rule on a displacement and the range of the base: drift-base-range.

package validate

import (
	"fmt"
	"math"

	"github.com/paulmach/orb"
)

var driftBaseRange = Rule{
	Name: RuleDriftBaseRange, Severity: Error, Limits: []string{"base_range_m"}, weight: stopsMoved, run: judgeBaseRange,
	Page: Page{
		What: "The distance from the base, where it now stands, to the farthest point driven of every active zone and corridor and to every dock. Of several bases one must reach " +
			"the whole feature; the base that does is taken to have moved, for it is what moves the feature.",
		Why:    "Past the range corrections fail and the machine stands still, or drives on what it has.",
		Source: sourcePractice,
		Fails:  "a zone 499.9 m away from its base, of a plan held as coordinates, when the base stores a position 0.3 m nearer to the zone, limit 500 m",
		Passes: "a zone 300 m away",
		Mend:   "move the base back, or serve the zone from another",
	},
}

func judgeBaseRange(r *run) { r.drift.baseRange() }

func (d *drift) baseRange() {
	antenna := orb.Point{float64(d.report.Movement.Antenna.E), float64(d.report.Movement.Antenna.N)}
	// Seen from an antenna that moves along, the ground moves by that much
	// less.
	all := d.served(d.driven, orb.Point{d.by[0] - antenna[0], d.by[1] - antenna[1]})
	if len(all) == 0 {
		d.cannot("the plan has no active base to measure a range from")
		return
	}
	for _, s := range all {
		if s.far <= s.limit {
			continue
		}
		x := d.finding(d.Place(orb.Point{s.at[0] + d.by[0], s.at[1] + d.by[1]}), s.f, s.base)
		x.Measured, x.Limit, x.Unit = s.far, s.limit, "m"
		x.Message = fmt.Sprintf("the farthest point driven of %s would be %s from %s", s.f.describe(), metres(s.far), s.base.describe())
	}
}

// served is a feature that is driven and the base that reaches it best: far is
// the distance in metres from the base to the feature's farthest point, and at
// that point as planned.
type served struct {
	f, base    *Feature
	at         orb.Point
	far, limit float64
}

// served measures every zone, corridor and dock, displaced, from the base that
// reaches it best, as base-range does; it is empty without a base to measure
// from.
func (r *run) served(d *drivenGround, by orb.Point) []served {
	bases := r.rangeBases()
	from := make([]func(orb.Point) float64, len(bases))
	for i, b := range bases {
		from[i] = r.rangeFrom(b)
	}
	var out []served
	add := func(f *Feature, area orb.MultiPolygon) {
		best := served{f: f, far: math.Inf(1), limit: r.of(f).BaseRangeM}
		for i, b := range bases {
			far, at := -1.0, orb.Point{}
			for _, p := range area {
				for _, ring := range p {
					for _, q := range ring {
						if m := from[i](orb.Point{q[0] + by[0], q[1] + by[1]}); m > far {
							far, at = m, q
						}
					}
				}
			}
			if far >= 0 && far < best.far {
				best.base, best.far, best.at = b, far, at
			}
		}
		if best.base == nil {
			return
		}
		// A corridor of several lines is one feature, judged by the farthest of
		// them.
		if n := len(out); n > 0 && out[n-1].f == f {
			if best.far > out[n-1].far {
				out[n-1] = best
			}
			return
		}
		out = append(out, best)
	}
	for _, z := range d.zones {
		add(z.f, z.area)
	}
	for _, c := range d.corridors {
		add(c.f, c.area)
	}
	for _, dock := range r.docks() {
		add(dock.f, orb.MultiPolygon{{{dock.at}}})
	}
	return out
}
