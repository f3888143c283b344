// Rule on the property limit: boundary-crossed.

package validate

import (
	"fmt"
	"math"

	"github.com/paulmach/orb"

	"swardline/schema"
	"swardline/validate/plane"
)

var boundaryRules = []Rule{{
	Name: "boundary-crossed", Severity: Error, Limits: []string{"machine_width_m"}, run: checkBoundaryCrossed,
	Page: Page{
		What: "How far zones, corridors with half the machine's width, and docks reach outside the property, and the area of zones outside. " +
			"Of a boundary that is drawn as an open line only crossing it can be judged, and the length of line inside the zone is measured. A millimetre is rounding.",
		Why:    "Over the line are the neighbour's children, the neighbour's dog and the pavement.",
		Source: sourcePractice,
		Fails:  "a zone whose corner lies 0.4 m outside the boundary",
		Passes: "the same zone cut at the boundary",
		Mend:   "cut the zone, move the corridor, or correct the boundary if the survey shows that it is wrong",
	},
}}

func checkBoundaryCrossed(r *run) {
	if !r.onGround() {
		return
	}
	var property orb.MultiPolygon
	var owners []*Feature
	type openLine struct {
		f    *Feature
		line orb.LineString
	}
	var open []openLine
	for _, f := range r.need(schema.RoleBoundary) {
		if len(f.Areas) > 0 {
			s := r.solidOf(f)
			if s.why != "" {
				r.cannot("%s", s.why)
				return
			}
			property = append(property, s.areas...)
			owners = append(owners, f)
		}
		for i := range f.Lines {
			l := f.Lines[i]
			switch {
			case len(l.Ground) < 2:
				r.cannot("%s has no line of two points", f.describe())
			case len(l.Ground) > 3 && l.Read[0] == l.Read[len(l.Read)-1]:
				ring := orb.Polygon{orb.Ring(l.Ground)}
				if !plane.IsValid([]orb.Polygon{{orb.Ring(l.Read)}}) {
					r.cannot("%s crosses itself", f.describe())
					return
				}
				property = append(property, ring)
				owners = append(owners, f)
			default:
				open = append(open, openLine{f, l.Ground})
			}
		}
	}
	if len(property) == 0 && len(open) == 0 {
		return
	}
	zones := r.needZones()
	if len(property) > 0 {
		r.insideProperty(property, owners[0], zones)
	}
	for _, o := range open {
		box := o.line.Bound()
		for _, i := range zones.near(box) {
			z := zones.features[i]
			length := 0.0
			var first orb.LineString
			for _, piece := range clipInside(o.line, zones.areas[i]) {
				length += groundLength(piece)
				if first == nil {
					first = piece
				}
			}
			if length <= slackM {
				continue
			}
			x := r.finding(r.Place(first[0]), z, o.f)
			x.Measured, x.Limit, x.Unit = length, 0, "m"
			x.Trace = r.trace(first...)
			x.Message = fmt.Sprintf("%s runs through it for %s", o.f.describe(), metres(length))
		}
		for _, c := range r.corridors() {
			half := r.halfWidth(c.f)
			d, p, q := plane.Clearance(c.pts, o.line)
			if d >= half-slackM {
				continue
			}
			x := r.finding(r.Place(p), c.f, o.f)
			x.Measured, x.Limit, x.Unit = d, half, "m"
			x.Trace = r.trace(p, q)
			x.Message = fmt.Sprintf("passes %s beside %s; half the machine is %s wide", metres(d), o.f.describe(), metres(half))
			if d == 0 {
				x.Message = "crosses " + o.f.describe()
			}
		}
	}
}

func (r *run) insideProperty(property orb.MultiPolygon, owner *Feature, zones *solids) {
	box := property.Bound()
	limits := plane.NewLocator(property)
	for i, z := range zones.features {
		if fits(zones.areas[i], zones.bounds[i], property, box) && len(property) == 1 && len(property[0]) == 1 {
			continue
		}
		out, ok := r.difference(zones.areas[i], property)
		if !ok || len(out) == 0 {
			continue
		}
		far, at, edge := 0.0, orb.Point{}, orb.Point{}
		for _, p := range out {
			for _, ring := range p {
				for _, v := range ring {
					if d, e := limits.DistanceToBoundary(v); d > far {
						far, at, edge = d, v, e
					}
				}
			}
		}
		if far <= slackM {
			continue
		}
		x := r.finding(r.Place(at), z, owner)
		x.Measured, x.Limit, x.Unit = far, 0, "m"
		x.AreaM2 = plane.Area(out)
		x.Trace = r.trace(at, edge)
		x.Message = fmt.Sprintf("reaches %s outside the boundary, with %s of ground", metres(far), squareMetres(x.AreaM2))
	}
	edges := ringLines(property)
	for _, c := range r.corridors() {
		half := r.halfWidth(c.f)
		far, at := -math.MaxFloat64, orb.Point{}
		for _, p := range c.pts {
			if d := -limits.Depth(p); d > far {
				far, at = d, p
			}
		}
		if d, p, _ := plane.Clearance(c.pts, edges); far <= 0 && -d > far {
			far, at = -d, p // nearer to the boundary between two points than at them
		}
		if far+half <= slackM {
			continue
		}
		x := r.finding(r.Place(at), c.f, owner)
		x.Measured, x.Limit, x.Unit = far+half, 0, "m"
		x.Message = fmt.Sprintf("the machine would reach %s outside the boundary", metres(far+half))
	}
	for _, d := range r.docks() {
		if limits.Locate(d.at) != plane.Outside {
			continue
		}
		far, edge := limits.DistanceToBoundary(d.at)
		if far <= slackM {
			continue
		}
		x := r.finding(r.placeRead(d.f, d.vertex.Read, d.at), d.f, owner)
		x.Measured, x.Limit, x.Unit = far, 0, "m"
		x.Trace = r.trace(d.at, edge)
		x.Message = "stands " + metres(far) + " outside the boundary"
	}
}

// ringLines returns the rings of an area as lines.
func ringLines(m orb.MultiPolygon) orb.MultiLineString {
	var out orb.MultiLineString
	for _, p := range m {
		for _, ring := range p {
			out = append(out, orb.LineString(ring))
		}
	}
	return out
}
