// Drawn curves of what the machine keeps off, of curve-coarse: hazards,
// buildings and edges. What they are true to bulges beyond what is drawn.

package validate

import (
	"fmt"
	"math"

	"github.com/paulmach/orb"

	"swardline/schema"
	"swardline/validate/plane"
)

// A closed outline of fewestRound to mostRound corners stands for a circle when
// their distances from its middle are alike within roundShare, and its sides
// within three times that; an arc of a thing has fewestArc points or more, since
// four bends of a hedge or a brook lie on a circle now and then (common
// practice, no source).
const (
	fewestRound, mostRound = 5, 12
	roundShare             = 0.01
	fewestArc              = 6
)

// chorded is a stretch of a line that was drawn along an arc.
type chorded struct {
	line    orb.LineString
	centre  orb.Point
	radius  float64
	sagitta float64
}

// thingsCoarse warns of hazards, buildings and edges whose true curve may come
// nearer to driven ground than it may.
func (r *run) thingsCoarse() {
	for _, role := range [...]schema.Role{schema.RoleHazard, schema.RoleBuilding, schema.RoleEdge} {
		for _, f := range r.usableOf(role) {
			margin := 0.0
			switch {
			case role == schema.RoleHazard:
				margin = r.hazardMargin(f)
			case role == schema.RoleEdge && isDrivenOver(edgeKind(f)):
				continue
			case role == schema.RoleEdge:
				margin = r.of(f).HardEdgeStripM
				if edgeKind(f) == schema.EdgeDrop {
					margin, _ = r.of(f).HazardMargin("drop")
				}
			}
			keeps := margin
			if role == schema.RoleBuilding {
				keeps = r.of(f).HardEdgeStripM
			}
			for _, l := range f.lines() {
				limit, corners := r.of(f).CurveChordM, cornersSaid(f)
				if o, ok := ovalOf(l, limit); ok && corners != len(l)-1 {
					if o.sagitta > limit+1e-6 {
						r.roundsCoarse(f, l, []curveOf{o}, keeps)
					}
					continue
				}
				if c, ok := roundNamed(f, l); ok && corners != len(l)-1 {
					if c.sagitta > limit+1e-6 {
						r.roundsCoarse(f, l, []curveOf{c}, keeps)
					}
					continue
				}
				if c, ok := mayBeRound(f, l); ok && c.sagitta > limit+1e-6 {
					r.roundUnsaid(f, l, c, keeps)
				}
				arcs := chords(l, limit, corners)
				for _, c := range arcs {
					r.chordedAgainst(f, &c, margin)
				}
				if len(arcs) == 0 && corners != len(l)-1 {
					r.roundsCoarse(f, l, bulged(l, limit), keeps)
				}
			}
		}
	}
}

// chords returns the stretches of a line that cut into an arc by more than the
// limit; an outline of as many corners as it says is none.
func chords(l orb.LineString, limit float64, corners int) []chorded {
	closed := len(l) > 3 && distance(l[0], l[len(l)-1]) <= slackM
	if n := len(l) - 1; closed && n >= fewestRound && n <= mostRound {
		c, radius, regular := regularAbout(l[:n])
		if regular && corners == n {
			return nil
		}
		if s := radius * (1 - math.Cos(math.Pi/float64(n))); regular && s > limit+1e-6 {
			return []chorded{{l, c, radius, s}}
		}
	}
	rule := plane.ArcRule{Tolerance: math.Min(arcToleranceM, limit/2), Least: limit, MinVertices: fewestArc}
	if !(rule.Tolerance > 0) {
		rule.Tolerance = 1e-6
	}
	var out []chorded
	for _, a := range plane.FitArcs(l, rule) {
		if a.Sagitta <= limit+1e-6 {
			continue
		}
		c := chorded{l, a.Centre, a.Radius, a.Sagitta}
		if !a.Whole {
			c.line = nil
			for k := range a.Count {
				at := a.First + k
				if at >= len(l) {
					at -= len(l) - 1 // over the closing point
				}
				c.line = append(c.line, l[at])
			}
		}
		out = append(out, c)
	}
	return out
}

// regularAbout reports whether corners lie evenly on one circle, its middle and
// its radius.
func regularAbout(corners orb.LineString) (m orb.Point, radius float64, ok bool) {
	n := float64(len(corners))
	for _, p := range corners {
		m[0], m[1] = m[0]+p[0]/n, m[1]+p[1]/n
	}
	least, short, long := math.Inf(1), math.Inf(1), 0.0
	for i, p := range corners {
		d, side := distance(p, m), distance(p, corners[(i+1)%len(corners)])
		least, radius = math.Min(least, d), math.Max(radius, d)
		short, long = math.Min(short, side), math.Max(long, side)
	}
	even := 2 * math.Sin(math.Pi/n) * radius // a star of five points is no circle
	return m, radius, radius-least <= roundShare*radius && long-short <= 3*roundShare*long && math.Abs(long-even) <= 4*roundShare*even
}

// chordedAgainst warns where mown ground or a corridor on the outer side comes
// nearer to the arc than the margin.
func (r *run) chordedAgainst(f *Feature, c *chorded, margin float64) {
	gauge := plane.NewGauge(c.line)
	reach := margin + c.sagitta
	tell := func(other *Feature, d, half float64, p, q orb.Point) {
		if d >= reach+half-slackM || distance(q, c.centre) < distance(p, c.centre)-slackM {
			return
		}
		x := r.finding(r.Place(p), f, other)
		x.Severity = Warning
		x.Measured, x.Limit, x.Unit = c.sagitta, r.of(f).CurveChordM, "m"
		x.Trace = r.trace(p, q)
		x.Message = fmt.Sprintf("is drawn with few points along a curve of radius %s: the true curve lies up to %s beyond them, and %s is %s away; it needs %s",
			metres(c.radius), metresPast(c.sagitta, x.Limit), other.describe(), metres(math.Max(0, d-half)), metres(margin))
	}
	zones := r.zones()
	box := c.line.Bound()
	for _, i := range zones.near(box.Pad(reach)) {
		n := r.netOf(i)
		if len(n.areas) == 0 || !n.ok {
			continue
		}
		if d, p, q, ok := n.within(gauge, reach); ok {
			tell(zones.features[i], d, 0, p, q)
		}
	}
	for i := range r.corridors() {
		k := &r.corridors()[i]
		half := r.halfWidth(k.f)
		if !boundOf(k.pts).Pad(half + reach).Intersects(box) {
			continue
		}
		if d, p, q, ok := gauge.Within(plane.NewGauge(k.pts), reach+half); ok && d > 0 {
			tell(k.f, d, half, p, q)
		}
	}
}
