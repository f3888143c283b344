// Passages past an edge that zones share: the ground goes on beyond it, so they
// are measured on the zones together.

package validate

import (
	"math"

	"github.com/paulmach/orb"

	"swardline/schema"
	"swardline/validate/plane"
)

// joinedGround is what is left of zones that share edge, as one.
type joinedGround struct {
	zones []int
	areas orb.MultiPolygon
	known bool // false when the areas could not be put together
}

// beyond returns the zones whose ground goes on where a throat of zone i ends,
// by their places among those that can be measured, with i first; nil when the
// throat ends at no edge that they share, or something stands there.
func (r *run) beyond(i int, t plane.Throat, limit float64) []int {
	var out []int
	zones := r.zones()
	for _, p := range [...]orb.Point{t.P, t.Q} {
		if d, _ := zones.locator(i).DistanceToBoundary(p); d > slackM {
			continue // at a keep-out
		}
		for _, k := range zones.near(p.Bound().Pad(besideM)) {
			if k == i || !r.netOf(k).ok || !r.inContact(i, k) {
				continue
			}
			l := zones.locator(k)
			if d, _ := l.DistanceToBoundary(p); d > besideM && l.Locate(p) == plane.Outside {
				continue
			}
			if r.standsBy(p, math.Max(crossingM, math.Sqrt(limit*limit-t.Width*t.Width))) {
				continue
			}
			if out == nil {
				out = []int{i}
			}
			out = append(out, k)
		}
	}
	return out
}

// inContact reports whether the machine can pass from zone i to zone k.
func (r *run) inContact(i, k int) bool {
	for _, c := range r.contacts() {
		if c.a == min(i, k) && c.b == max(i, k) {
			return true
		}
	}
	return false
}

// standsBy reports whether an edge that the machine does not drive over lies
// within reach of p.
func (r *run) standsBy(p orb.Point, reach float64) bool {
	for _, f := range r.Of(schema.RoleEdge) {
		if !f.usable() || isDrivenOver(edgeKind(f)) || !f.bound.Pad(reach).Contains(p) {
			continue
		}
		for _, l := range r.barrier(f) {
			for i := 1; i < len(l); i++ {
				if distance(p, nearestOn(p, l[i-1], l[i])) <= reach {
					return true
				}
			}
		}
	}
	return false
}

// together puts what is left of zones together, with the gaps closed that the
// edge in common may have.
func (r *run) together(list []int) *joinedGround {
	zones, keepouts := r.zones(), r.keepouts()
	out := &joinedGround{zones: list}
	const half = besideM/2 + slackM
	var grown orb.MultiPolygon
	for _, k := range list {
		for _, p := range zones.areas[k] {
			g, err := plane.Offset(p, half, plane.Mitre(2))
			if err != nil {
				return out
			}
			grown = append(grown, g...)
		}
	}
	whole, err := plane.Union(grown, nil)
	if err != nil {
		return out
	}
	var ground, cut orb.MultiPolygon
	for _, p := range whole {
		g, err := plane.Offset(p, -half, plane.Mitre(2))
		if err != nil {
			return out
		}
		ground = append(ground, g...)
	}
	for _, k := range keepouts.near(ground.Bound()) {
		for _, p := range keepouts.areas[k] {
			g, err := plane.Offset(p, slackM/2, plane.Mitre(2))
			if err != nil {
				return out
			}
			cut = append(cut, g...)
		}
	}
	if len(cut) > 0 {
		if ground, err = plane.Difference(ground, cut); err != nil {
			return out
		}
	}
	out.areas, out.known = ground, countPoints(ground) <= throatPoints
	return out
}

// throatsPast returns the throats to tell in the stead of one that ends where
// the ground goes on: those of the zones together that lie where it does.
func throatsPast(t plane.Throat, joined *joinedGround, limit float64) []plane.Throat {
	if !joined.known {
		return []plane.Throat{t}
	}
	middle := func(t plane.Throat) orb.Point { return orb.Point{(t.P[0] + t.Q[0]) / 2, (t.P[1] + t.Q[1]) / 2} }
	var out []plane.Throat
	for _, p := range joined.areas {
		if !p.Bound().Pad(limit).Contains(middle(t)) {
			continue
		}
		for _, u := range plane.Throats(p, limit-2*slackM) { // between keep-outs that were grown
			if distance(middle(u), middle(t)) <= limit {
				out = append(out, u)
			}
		}
	}
	return out
}

// anyThroat reports whether a throat is one of the list.
func anyThroat(list []plane.Throat, t plane.Throat) bool {
	for _, u := range list {
		if distance(u.P, t.P) <= slackM && distance(u.Q, t.Q) <= slackM {
			return true
		}
	}
	return false
}
