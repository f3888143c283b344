// Drives across mown ground and corridors, drawn as slabs or by two flush edges:
// what of other-in-zone is about cars.

package validate

import (
	"fmt"
	"math"

	"github.com/paulmach/orb"

	"swardline/schema"
	"swardline/validate/plane"
)

// What is driveLeastM wide or more all along is as wide as a car needs; two flush
// edges farther apart than driveMostM are those of two things. A drive ends up to
// driveReachM before the gate, road or garage that it leads to (common practice, no
// source).
const (
	driveLeastM = 2.5
	driveMostM  = 6.0
	driveReachM = 1.5
)

// driveEnd is what a drive may lead to.
type driveEnd struct {
	f     *Feature
	gauge *plane.Gauge
	bound orb.Bound
	// enters is set for what cars come in by: a road, or a gate as wide as a car.
	enters bool
}

// driveEnds are all of them, nil where none is one that cars come in by.
func (r *run) driveEnds() (out []driveEnd) {
	r.openings() // which measures the gates
	for i := range r.crossings {
		if c := &r.crossings[i]; c.kind == schema.EdgeGate && gateWide(c) >= driveLeastM-slackM {
			for _, l := range c.f.lines() {
				out = append(out, driveEnd{c.f, plane.NewGauge(l), boundOf(l), true})
			}
		}
	}
	for _, f := range r.usableOf(schema.RoleHazard) {
		if k := kindsOf(f); k.open || k.gravest != "road" {
			continue
		}
		if s := r.hazardShape(f); s.why == "" && s.geometry() != nil {
			out = append(out, driveEnd{f, plane.NewGauge(s.geometry()), s.bound, true})
		}
	}
	if len(out) == 0 {
		return nil
	}
	b := r.buildings()
	for k := range b.features {
		out = append(out, driveEnd{b.features[k], b.gauge(k), b.bounds[k], false})
	}
	return out
}

// gateWide is how wide a gate is in metres, with its other leaf.
func gateWide(c *declared) float64 {
	if wide, ok := c.f.Float(schema.PropWidth); ok {
		return wide
	}
	return c.length
}

// drives notes ground as wide as a drive that leads from a gate or a road of that
// width to a building or another of these, over ground that a machine drives on.
func (r *run) drives() {
	zones := r.zones()
	var ends []driveEnd
	known := false
	tell := func(areas orb.MultiPolygon, features ...*Feature) {
		if !known {
			ends, known = r.driveEnds(), true
		}
		from, to := driveFrom(areas, ends)
		if from == nil {
			return
		}
		h := hazardShape{solid: areas, areas: areas, bound: areasBound(areas)}
		if !r.onMown(h, zones) && !r.onWay(h) {
			return
		}
		x := r.finding(r.middle(features[0]), append(features, from, to)...)
		x.Severity = Note
		what := "leads"
		if len(features) > 1 {
			what = "and " + features[1].describe() + " lead"
		}
		x.Message = fmt.Sprintf("%s, %s wide or more all along, from %s to %s, over ground that the machine drives on: where cars drive there, draw it as a hazard of the kind road", what, metres(driveLeastM), from.describe(), to.describe())
	}
	for _, f := range r.Of(schema.RoleOther) {
		if over, _ := f.Attributes.Get(schema.PropDrivenOver).Truth(); !over || !f.usable() || conduitSaid(f) != "" {
			continue
		}
		if h, ok := r.standingShape(f); ok && len(h.areas) > 0 && math.Max(h.bound.Max[0]-h.bound.Min[0], h.bound.Max[1]-h.bound.Min[1]) >= 2*driveLeastM {
			tell(h.areas, f)
		}
	}
	var flush []*Feature
	for _, f := range r.usableOf(schema.RoleEdge) {
		if edgeKind(f) == schema.EdgeFlush && len(f.Lines) == 1 && len(f.Lines[0].Ground) > 1 && len(f.Areas) == 0 {
			flush = append(flush, f)
		}
	}
	for i, f := range flush {
		for _, g := range flush[:i] {
			if f.bound.Pad(driveMostM).Intersects(g.bound) {
				if strip := stripBetween(f.Lines[0].Ground, g.Lines[0].Ground, driveMostM); strip != nil {
					tell(orb.MultiPolygon{strip}, f, g)
				}
			}
		}
	}
}

// stripBetween is the ground between two lines that run side by side, nil where they
// do not, or are farther apart than most.
func stripBetween(a, b orb.LineString, most float64) orb.Polygon {
	ring := append(orb.Ring{}, a...)
	back := distance(a[len(a)-1], b[0]) > distance(a[len(a)-1], b[len(b)-1])
	for i := range b {
		if back {
			ring = append(ring, b[len(b)-1-i])
		} else {
			ring = append(ring, b[i])
		}
	}
	ring = append(ring, ring[0])
	strip := orb.Polygon{ring}
	if distance(ring[len(a)-1], ring[len(a)]) > most+slackM || distance(ring[len(ring)-2], ring[0]) > most+slackM || !plane.IsValid([]orb.Polygon{strip}) {
		return nil
	}
	if _, deep := plane.GreatestDepth(strip, depthTolerance); 2*deep > most+slackM {
		return nil
	}
	return strip
}

// driveFrom is what cars come in by, and what they come to, where ground joins the
// two that is driveLeastM wide all the way, nil for none. What lies nearer to one
// another than two ends of a drive do is one end.
func driveFrom(areas orb.MultiPolygon, ends []driveEnd) (from, to *Feature) {
	var near []*driveEnd
	box := areasBound(areas).Pad(driveReachM)
	for i := range ends {
		if ends[i].bound.Intersects(box) {
			near = append(near, &ends[i])
		}
	}
	if len(near) < 2 {
		return nil, nil
	}
	for _, p := range areas {
		core, err := plane.Offset(p, slackM-driveLeastM/2, plane.Mitre(2))
		if err != nil {
			continue
		}
		for _, part := range core {
			gauge := plane.NewGauge(part)
			var at []*driveEnd
			for _, e := range near {
				if _, _, _, ok := gauge.Within(e.gauge, driveLeastM/2+driveReachM); ok {
					at = append(at, e)
				}
			}
			for _, a := range at {
				for _, b := range at {
					if !a.enters || a.f == b.f {
						continue
					}
					if _, _, _, one := a.gauge.Within(b.gauge, 2*driveReachM); !one {
						return a.f, b.f
					}
				}
			}
		}
	}
	return nil, nil
}
