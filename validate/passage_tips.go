// Tips: ground that runs out in a point narrower than the machine, as a spike of
// an outline or a bay into a keep-out, whose sides are not parallel and so make
// no passage.

package validate

import (
	"fmt"
	"math"
	"slices"

	"github.com/paulmach/orb"

	"swardline/validate/plane"
)

// tipAngle is the angle in degrees of a corner that the machine need not fill: a
// tip that reaches farther out of what a disc as wide as the machine sweeps than
// such a corner does is told.
const tipAngle = 20

// A tip of one point between two sides that lean by less than toothAngle degrees is no
// corner that anybody drew to be mown but a point gone astray, and told where it is
// longer than toothM metres (common practice, no source).
const (
	toothAngle = 12
	toothM     = 0.15
)

// tipReach is how far such a corner reaches out of what a disc sweeps.
func tipReach(radius float64) float64 {
	return radius * (1/math.Sin(tipAngle*math.Pi/360) - 1)
}

// narrowTips tells tips of zones, and of the ground between the sides of one
// keep-out or hole, but for those in which a passage narrower than the machine
// was told: told has the passages by zone.
func (r *run) narrowTips(told map[int][]plane.Throat) {
	zones, keepouts := r.zones(), r.keepouts()
	for i, f := range zones.features {
		if !r.netOf(i).ok {
			continue
		}
		width := r.of(f).MachineWidthM
		for _, p := range zones.areas[i] {
			for h, ring := range p {
				for _, tip := range r.tipsOf(oriented(ring, h > 0), p, width) {
					r.tellTip(i, -1, tip, told[i])
				}
			}
		}
	}
	for k, f := range keepouts.features {
		width := r.of(f).MachineWidthM
		for _, p := range keepouts.areas[k] {
			for h, ring := range p {
				around := orb.Polygon{ring}
				if h == 0 { // the ground about it
					b := boundOf(ring).Pad(4 * (width + tipReach(width/2)))
					around = orb.Polygon{b.ToRing(), ring}
				}
				for _, tip := range r.tipsOf(oriented(ring, h == 0), around, width) {
					for _, i := range zones.near(tip.at.Bound()) {
						if r.netOf(i).ok && zones.locator(i).Locate(tip.along(0.5)) != plane.Outside {
							r.tellTip(i, k, tip, told[i])
						}
					}
				}
			}
		}
	}
}

// oriented is a closed ring's points, without the last, with the ground on the
// left: of an outline anticlockwise, of a hole clockwise.
func oriented(ring orb.Ring, hole bool) []orb.Point {
	if len(ring) < 4 || ring[0] != ring[len(ring)-1] {
		return nil
	}
	pts := []orb.Point(ring[:len(ring)-1])
	if (plane.SignedArea(ring) < 0) != hole {
		pts = slices.Clone(pts)
		slices.Reverse(pts)
	}
	return pts
}

// groundTip is a tip, and where what the machine sweeps is nearest to it.
type groundTip struct {
	at, foot orb.Point
	length   float64
	width    float64 // of the machine
	least    float64 // told where it is longer
}

// along is a place on the way from the tip to its foot.
func (g *groundTip) along(f float64) orb.Point {
	return orb.Point{g.at[0] + f*(g.foot[0]-g.at[0]), g.at[1] + f*(g.foot[1]-g.at[1])}
}

// tipsOf returns the tips of the ground p along one of its rings. Most rings
// have no place where two sides within the machine's width of one another run
// back against each other, and cost no more than to see that.
func (r *run) tipsOf(pts []orb.Point, p orb.Polygon, width float64) []groundTip {
	n := len(pts)
	if n < 3 || !turnsBackWithin(pts, width) {
		return nil
	}
	ways := make([]orb.Point, n) // from each point to the next
	long := make([]float64, n)
	for i := range pts {
		q := pts[(i+1)%n]
		if long[i] = distance(pts[i], q); long[i] > 0 {
			ways[i] = orb.Point{(q[0] - pts[i][0]) / long[i], (q[1] - pts[i][1]) / long[i]}
		}
	}
	tooth := -math.Cos(toothAngle * math.Pi / 180)
	back := -math.Cos((tipAngle + 5) * math.Pi / 180)
	radius := (width - slackM) / 2
	var swept *sweptGround
	var out []groundTip
	for a := range n {
		before := ways[(a+n-1)%n]
		for b, reach := a, 0.0; reach <= width && b < a+n-1; b++ {
			after := ways[b%n]
			reach += long[b%n]
			if before[0]*after[0]+before[1]*after[1] > back || !turnsLeft(ways, a, b) {
				continue
			}
			if swept == nil {
				if swept = sweptBy(p, radius); swept == nil {
					return out
				}
			}
			tip := groundTip{width: width, least: tipReach(width / 2)}
			if a == b && before[0]*after[0]+before[1]*after[1] < tooth {
				tip.least = math.Min(toothM, tip.least)
			}
			for v := a; v <= b; v++ {
				if d, q := swept.DistanceToBoundary(pts[v%n]); d > tip.length && swept.Locate(pts[v%n]) == plane.Outside {
					tip.at, tip.foot, tip.length = pts[v%n], q, d
				}
			}
			if t, ok := straightOut(pts[a], pts[b%n], before, after, p, swept); ok && t.length > tip.length {
				t.width, t.least = width, tip.least
				tip = t
			}
			if tip.length > tip.least+slackM && !slices.ContainsFunc(out, func(o groundTip) bool { return distance(o.at, tip.at) <= width }) {
				out = append(out, tip)
			}
		}
	}
	return out
}

// turnsBackWithin reports, never wrongly saying no, whether two sides within so
// much of one another along a ring run against each other.
func turnsBackWithin(pts []orb.Point, width float64) bool {
	before := pts[len(pts)-1]
	for a, p := range pts {
		ux, uy := p[0]-before[0], p[1]-before[1]
		before = p
		b, reach := a, 0.0
		for from := p; reach <= width; {
			if b++; b == len(pts) {
				b = 0
			}
			if b == a {
				break
			}
			wx, wy := pts[b][0]-from[0], pts[b][1]-from[1]
			if dot := ux*wx + uy*wy; dot < 0 && dot*dot >= 0.8*(ux*ux+uy*uy)*(wx*wx+wy*wy) {
				return true
			}
			reach += max(math.Abs(wx), math.Abs(wy))
			from = pts[b]
		}
	}
	return false
}

// turnsLeft reports whether the ring turns back to the left, about its ground,
// from before the point a to after the point b.
func turnsLeft(ways []orb.Point, a, b int) bool {
	n, sum := len(ways), 0.0
	for v := a; v <= b; v++ {
		u, w := ways[(v+n-1)%n], ways[v%n]
		sum += math.Atan2(u[0]*w[1]-u[1]*w[0], u[0]*w[0]+u[1]*w[1])
	}
	return sum > 0
}

// straightOut is the tip between the points a and b, from there straight between
// its two sides, which run by the unit vectors before and after, to where the
// machine sweeps: through a bay, not through the bed about it.
func straightOut(a, b, before, after orb.Point, p orb.Polygon, swept *sweptGround) (groundTip, bool) {
	at := orb.Point{(a[0] + b[0]) / 2, (a[1] + b[1]) / 2}
	gx, gy := after[0]-before[0], after[1]-before[1]
	size := math.Hypot(gx, gy)
	box := p.Bound()
	far := distance(box.Min, box.Max) / size
	way := clipInside(orb.LineString{at, {at[0] + far*gx, at[1] + far*gy}}, orb.MultiPolygon{p})
	if len(way) == 0 || distance(way[0][0], at) > slackM {
		return groundTip{}, false
	}
	in := clipInside(way[0], swept.areas)
	if len(in) == 0 {
		return groundTip{}, false
	}
	return groundTip{at: at, foot: in[0][0], length: distance(at, in[0][0])}, true
}

// sweptGround is what a disc can sweep.
type sweptGround struct {
	*plane.Locator
	areas orb.MultiPolygon
}

// sweptBy is what a disc that stays inside the ground can sweep, nil for
// nothing.
func sweptBy(p orb.Polygon, radius float64) *sweptGround {
	inner, err := plane.Offset(p, -radius, plane.Round(chordM))
	if err != nil || len(inner) == 0 {
		return nil
	}
	var out orb.MultiPolygon
	for _, q := range inner {
		grown, err := plane.Offset(q, radius, plane.Round(chordM))
		if err != nil {
			return nil
		}
		out = append(out, grown...)
	}
	return &sweptGround{plane.NewLocator(out), out}
}

// tellTip reports a tip of zone i, between the sides of keep-out k where k is
// not negative, unless it was told as a passage, other keep-outs cover it or the ground of another zone
// goes on beside it.
func (r *run) tellTip(i, k int, tip groundTip, told []plane.Throat) {
	zones, keepouts := r.zones(), r.keepouts()
	for _, t := range told {
		middle := orb.Point{(t.P[0] + t.Q[0]) / 2, (t.P[1] + t.Q[1]) / 2}
		if t.Width < tip.width && distance(middle, nearestOn(middle, tip.at, tip.foot)) <= tip.width {
			return
		}
	}
	covered := func(p orb.Point) bool {
		for _, j := range keepouts.near(p.Bound()) {
			if j != k && keepouts.locator(j).Locate(p) != plane.Outside {
				return true
			}
		}
		return false
	}
	const steps = 16
	from := 0
	for from < steps && covered(tip.along(float64(from)/steps)) {
		from++
	}
	bare := tip.along(float64(from) / steps)
	length := tip.length * (1 - float64(from)/steps)
	if length <= tip.least+slackM {
		return
	}
	middle := orb.Point{(bare[0] + tip.foot[0]) / 2, (bare[1] + tip.foot[1]) / 2}
	for _, j := range zones.near(middle.Bound().Pad(tip.width / 2)) {
		if j == i || !r.inContact(i, j) {
			continue
		}
		l := zones.locator(j)
		if d, _ := l.DistanceToBoundary(middle); d <= tip.width/2 || l.Locate(middle) != plane.Outside {
			return
		}
	}
	features := []*Feature{zones.features[i]}
	between := "its outline"
	if k >= 0 {
		features = append(features, keepouts.features[k])
		between = "the sides of " + keepouts.features[k].describe()
	}
	x := r.finding(r.Place(bare), features...)
	x.Measured, x.Limit, x.Unit = length, tip.least, "m"
	x.Trace = r.trace(bare, tip.foot)
	x.Message = fmt.Sprintf("runs %s into a tip of %s that is narrower than the machine, %s: cut the tip off, or cover it with a keep-out", metres(length), between, metres(tip.width))
}
