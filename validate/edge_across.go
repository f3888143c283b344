// Walls and fences that end on either side of a lawn in line with one another: of
// edge-setback.

package validate

import (
	"fmt"

	"github.com/paulmach/orb"

	"swardline/schema"
	"swardline/validate/plane"
)

// sayAcrossLawn is what the page of edge-setback says of this.
const sayAcrossLawn = "Two walls, or two fences, of 3 m and more that end outside mown ground, at most 1 m before it, and point at one another within 5 degrees across more than opening_max_m and up to 30 m, nine tenths of that mown ground of one lawn, with nothing that stands within 0.5 m of either end, are a note: a piece between them may not be drawn. "

// Metres, and the cosine of an angle (common practice, no source): how near a wall ends
// before mown ground, how long one is at the least, how far the next goes on at the most,
// and how near to an end what stands there ends it; what share of the way between is mown.
const (
	acrossNearM, acrossLongM = 1.0, 3.0
	acrossFarM, acrossFreeM  = 30.0, 0.5
	acrossShare              = 0.9
	acrossCos                = 0.99619 // of 5 degrees
)

// wallEnd is an end of a wall or a fence: the way is the one in which the wall comes to
// its end.
type wallEnd struct {
	f       *Feature
	at, way orb.Point
}

// wallsAcross notes walls and fences that stop at a lawn and go on behind it.
func (r *run) wallsAcross(edges []*Feature, zones *solids) {
	var ends []wallEnd
	for _, f := range edges {
		if kind := edgeKind(f); kind != schema.EdgeWall && kind != schema.EdgeFence || len(f.Lines) != 1 {
			continue
		}
		l := f.Lines[0].Ground
		if n := len(l); n < 2 || l[0] == l[n-1] || groundLength(l) < acrossLongM {
			continue
		}
		for _, e := range [2][2]orb.Point{{l[1], l[0]}, {l[len(l)-2], l[len(l)-1]}} {
			if u, ok := unit(e[0], e[1]); ok && r.stopsAtLawn(e[1], zones) {
				ends = append(ends, wallEnd{f, e[1], u})
			}
		}
	}
	told := map[*Feature]bool{}
	for i := range ends {
		for k := range i {
			a, b := &ends[k], &ends[i]
			if a.f == b.f || told[a.f] || told[b.f] || edgeKind(a.f) != edgeKind(b.f) || len(r.findings) >= mostFindings {
				continue
			}
			if z := r.lawnAcross(a, b, zones); z != nil && r.endsFree(a, b) {
				told[a.f], told[b.f] = true, true
				d := distance(a.at, b.at)
				x := r.finding(r.Place(a.at), a.f, b.f, z)
				x.Severity = Note
				x.Measured, x.Limit, x.Unit = d, r.limits.OpeningMaxM, "m"
				x.Trace = r.trace(a.at, b.at)
				x.Message = fmt.Sprintf("ends at %s, and %s goes on in line with it %s farther, behind mown ground: does a piece between them stand there that is not drawn? walk it, and draw it with its gate, or say by a keep-out where the two end", z.describe(), b.f.describe(), metres(d))
			}
		}
	}
}

// stopsAtLawn reports whether a place lies outside all lawns and at most acrossNearM
// before one.
func (r *run) stopsAtLawn(p orb.Point, zones *solids) bool {
	near := false
	for _, i := range zones.near(p.Bound().Pad(acrossNearM)) {
		if zones.locator(i).Locate(p) != plane.Outside {
			return false
		}
		if n := r.netOf(i); n.ok && len(n.areas) > 0 {
			_, _, _, ok := n.within(plane.NewGauge(p), acrossNearM)
			near = near || ok
		}
	}
	return near
}

// lawnAcross is the lawn whose mown ground lies between two ends that point at one
// another, nil for none.
func (r *run) lawnAcross(a, b *wallEnd, zones *solids) *Feature {
	d := distance(a.at, b.at)
	u, ok := unit(a.at, b.at)
	if !ok || d <= r.limits.OpeningMaxM+slackM || d > acrossFarM+slackM || a.way[0]*u[0]+a.way[1]*u[1] < acrossCos || -b.way[0]*u[0]-b.way[1]*u[1] < acrossCos {
		return nil
	}
	way := orb.LineString{a.at, b.at}
	for _, i := range zones.near(way.Bound()) {
		n, sum := r.netOf(i), 0.0
		if !n.ok {
			continue
		}
		for _, part := range clipInside(way, n.areas) {
			sum += groundLength(part)
		}
		if sum >= acrossShare*d {
			return zones.features[i]
		}
	}
	return nil
}

// endsFree reports whether nothing that stands is drawn at either end.
func (r *run) endsFree(a, b *wallEnd) bool {
	for _, e := range [2]*wallEnd{a, b} {
		gauge, box := plane.NewGauge(e.at), e.at.Bound().Pad(acrossFreeM)
		for _, f := range r.Features {
			if f == e.f || f.Role != schema.RoleEdge && f.Role != schema.RoleBuilding && f.Role != schema.RoleHazard || !f.usable() || !f.bound.Pad(f.growth()).Intersects(box) || edgeKind(f) == schema.EdgeFlush {
				continue
			}
			s := r.hazardShape(f)
			if g := s.geometry(); s.why != "" || g == nil {
				return false
			} else if _, _, _, near := gauge.Within(plane.NewGauge(g), acrossFreeM); near {
				return false
			}
		}
	}
	return true
}
