// Corridors over and along what kerbs lie on both sides of: what of corridor-narrow
// is about streets that nobody drew.

package validate

import (
	"cmp"
	"math"
	"slices"

	"github.com/paulmach/orb"

	"swardline/schema"
)

// Two kerbs from streetLeastM to streetMostM apart may be those of a street; nearer
// ones are those of a path. A kerb that goes on behind a gap of up to kerbGapM is
// lowered there (common practice, no source).
const (
	streetLeastM = 3.0
	streetMostM  = 15.0
	kerbGapM     = 5.0
)

// kerb is a piece of a kerb's line, a gap in it among them.
type kerb struct {
	f    *Feature
	a, b orb.Point
}

// isRoadEdge reports whether an edge is flush and called after a street, road or lane,
// as one that has no kerb ends.
func isRoadEdge(f *Feature) bool {
	return edgeKind(f) == schema.EdgeFlush && slices.ContainsFunc(letterWords(f.Name), func(w string) bool { return kindOfWord(w) == "road" })
}

// kerbs are the pieces of all edges of a kind, flush ones of roads among the kerbs, and
// the gaps in them.
func (r *run) kerbs(kind string) (out []kerb) {
	type end struct {
		f        *Feature
		at, back orb.Point // and the point before it
	}
	var ends []end
	for _, f := range r.usableOf(schema.RoleEdge) {
		if edgeKind(f) != kind && !(kind == schema.EdgeKerb && isRoadEdge(f)) {
			continue
		}
		for _, l := range f.lines() {
			n := len(l)
			if n < 2 {
				continue
			}
			for k := 1; k < n; k++ {
				out = append(out, kerb{f, l[k-1], l[k]})
			}
			if l[0] != l[n-1] {
				ends = append(ends, end{f, l[0], l[1]}, end{f, l[n-1], l[n-2]})
			}
		}
	}
	for i := range ends {
		for k := i + 1; k < len(ends) && len(ends) <= mostKerbEnds; k++ {
			a, b := &ends[i], &ends[k]
			if d := distance(a.at, b.at); d <= kerbGapM && d > 0 &&
				angleBetween(bearingOf(a.back, a.at), bearingOf(a.at, b.at)) <= 30 && angleBetween(bearingOf(b.back, b.at), bearingOf(b.at, a.at)) <= 30 {
				out = append(out, kerb{a.f, a.at, b.at})
			}
		}
	}
	return out
}

// mostKerbEnds is of how many ends of kerbs each is compared with each.
const mostKerbEnds = 400

// streets records the corridors and ways into docks that lead over two kerbs, or along
// between two kerbs or two drops, where no zone lies and nothing says what does.
func (r *run) streets(list []corridorLine) {
	kerbs, drops := r.kerbs(schema.EdgeKerb), r.kerbs(schema.EdgeDrop)
	fences := append(r.kerbs(schema.EdgeFence), r.kerbs(schema.EdgeWall)...)
	if len(kerbs)+len(fences) < 2 && len(drops) < 2 {
		return
	}
	for _, c := range r.wholeWays(list) {
		near := kerbsNear(kerbs, c.pts)
		if r.overStreet(&c, near) || r.alongStreet(&c, near, &kerbStreet) {
			continue
		}
		if stands := kerbsNear(fences, c.pts); len(near)+len(stands) > 1 {
			both := append(near, stands...)
			if r.overLane(&c, both) || len(near) > 0 && r.alongStreet(&c, both, &halfStreet) || r.alongStreet(&c, stands, &fencedLane) {
				continue
			}
		}
		r.alongStreet(&c, kerbsNear(drops, c.pts), &ditch)
	}
}

// streetSort is what may lie between two edges along a corridor: how far apart they are
// in metres, for how many places, one after another, and what they are.
type streetSort struct {
	nearest, most float64
	least         int
	what          string
	fits          func(a, b *Feature) bool
}

// A lane between two fences is laneLeastM to laneMostM wide, and as long as laneLongM where
// it is no passage to a gate (common practice, no source).
const (
	laneLeastM = 2.0
	laneMostM  = 4.0
	laneLongM  = 10
)

// Where a corridor goes through two fences or walls side by side, up to laneOverM apart, or
// over two such kerbs, or a kerb and one of these, up to streetOverM apart, the two shut off what lies between (common
// practice, no source).
const laneOverM, streetOverM = 12.0, 30.0

var (
	kerbStreet = streetSort{streetLeastM, streetMostM, 3, "a street", nil}
	halfStreet = streetSort{streetLeastM, streetMostM, 3, "a street", kerbAndFence}
	fencedLane = streetSort{laneLeastM, laneMostM, laneLongM, "a lane of others", twoFences}
	ditch      = streetSort{0, streetMostM, 3, "a ditch", nil}
)

// kerbAndFence reports whether one of two edges is a kerb, and the other a fence or a wall.
func kerbAndFence(a, b *Feature) bool { return holdsUp(a) != holdsUp(b) }

func twoFences(a, b *Feature) bool {
	return edgeKind(a) == schema.EdgeFence && edgeKind(b) == schema.EdgeFence
}

func holdsUp(f *Feature) bool {
	k := edgeKind(f)
	return k == schema.EdgeFence || k == schema.EdgeWall
}

// overLane looks for a kerb and a fence or wall, two of these side by side, or two kerbs
// that lie farther apart, that a corridor goes over and through one after another.
func (r *run) overLane(c *corridorLine, edges []kerb) bool {
	type crossed struct {
		passed
		way orb.Point
	}
	var over []crossed
	for _, k := range edges {
		for _, p := range appendPassed(nil, c.pts, k.f, orb.LineString{k.a, k.b}) {
			over = append(over, crossed{p, orb.Point{k.b[0] - k.a[0], k.b[1] - k.a[1]}})
		}
	}
	slices.SortStableFunc(over, func(a, b crossed) int { return cmp.Compare(a.along, b.along) })
	for k := 1; k < len(over); k++ {
		a, b := &over[k-1], &over[k]
		nearest, most := streetLeastM, streetOverM
		switch beside := sideBySide(a.way, b.way); {
		case kerbAndFence(a.f, b.f) && !beside:
			most = streetMostM
		case kerbAndFence(a.f, b.f):
		case !beside:
			continue
		case holdsUp(a.f):
			nearest, most = laneLeastM, laneOverM
		default:
			nearest = streetMostM // nearer ones are overStreet's
		}
		apart := b.along - a.along
		if !(apart >= nearest-slackM && apart <= most+slackM) || !r.unsaid(stretchOf(c.pts, a.along, b.along)) {
			continue
		}
		r.cannot("%s leads through %s and %s, %s from one to the other, with nothing drawn between: whether a street or a lane of others lies there cannot be told; draw it as a hazard of the kind road, or as other with \"driven_over\": true where nobody drives", c.f.describe(), a.f.describe(), b.f.describe(), metres(apart))
		return true
	}
	return false
}

// sideBySide reports whether two directions are alike to 30 degrees.
func sideBySide(a, b orb.Point) bool {
	return math.Abs(a[0]*b[1]-a[1]*b[0]) <= math.Sin(30*math.Pi/180)*math.Hypot(a[0], a[1])*math.Hypot(b[0], b[1])+1e-9
}

func kerbsNear(kerbs []kerb, pts orb.LineString) (near []kerb) {
	box := boundOf(pts).Pad(streetMostM)
	for _, k := range kerbs {
		if segmentBox(k.a, k.b).Intersects(box) {
			near = append(near, k)
		}
	}
	return near
}

// wholeWays are corridors with the ways into the docks that they lead to, and those
// into docks to which none leads.
func (r *run) wholeWays(list []corridorLine) (out []corridorLine) {
	led := map[orb.Point]bool{}
	for i := range list {
		c := list[i]
		if c.f.Role != schema.RoleCorridor {
			continue // a part of a way into a dock
		}
		for k := range c.ends {
			if d := c.ends[k].dock; d != nil && !math.IsNaN(d.heading) {
				led[d.at] = true
				c.pts = slices.Clone(c.pts)
				if c.ends[k].v == 0 {
					c.pts = append(orb.LineString{d.at}, c.pts...)
				} else {
					c.pts = append(c.pts, d.at)
				}
			}
		}
		out = append(out, c)
	}
	for _, d := range r.docks() {
		if !math.IsNaN(d.heading) && !led[d.at] && d.at != d.lineup {
			out = append(out, corridorLine{f: d.f, pts: orb.LineString{d.lineup, d.at}})
		}
	}
	return out
}

// overStreet looks for two kerbs that a corridor goes over one after another.
func (r *run) overStreet(c *corridorLine, kerbs []kerb) bool {
	var over []passed
	for _, k := range kerbs {
		over = appendPassed(over, c.pts, k.f, orb.LineString{k.a, k.b})
	}
	over = inOrder(over)
	for k := 1; k < len(over); k++ {
		a, b := &over[k-1], &over[k]
		apart := b.along - a.along
		if !(apart >= streetLeastM-slackM && apart <= streetMostM+slackM) || !r.unsaid(stretchOf(c.pts, a.along, b.along)) && !r.pathAcross(stretchOf(c.pts, a.along, b.along)) {
			continue
		}
		r.cannot("%s leads over %s and %s, %s from one to the other, with no road drawn between, and nothing that is driven over as far along as across: whether a street lies there cannot be told; draw it as a hazard of the kind road, or as other with \"driven_over\": true where nobody drives", c.f.describe(), a.f.describe(), b.f.describe(), metres(apart))
		return true
	}
	return false
}

// alongStreet looks for kerbs, fences or drops on both sides of a corridor, along it, as
// far apart as those of a sort.
func (r *run) alongStreet(c *corridorLine, kerbs []kerb, sort *streetSort) bool {
	if len(kerbs) < 2 {
		return false
	}
	const step = 1.0
	run := 0
	for i := 1; i < len(c.pts); i++ {
		p, q := c.pts[i-1], c.pts[i]
		length := distance(p, q)
		if length == 0 {
			continue
		}
		ux, uy := (q[0]-p[0])/length, (q[1]-p[1])/length
		for s := step / 2; s < length; s += step {
			at := orb.Point{p[0] + ux*s, p[1] + uy*s}
			left, fl := besideKerb(at, ux, uy, kerbs, 1)
			right, fr := besideKerb(at, ux, uy, kerbs, -1)
			apart := left + right
			if fl == nil || fr == nil || !(apart >= sort.nearest-slackM && apart <= sort.most+slackM) || sort.fits != nil && !sort.fits(fl, fr) {
				run = 0
				continue
			}
			if run++; run < sort.least {
				continue
			}
			back := orb.Point{at[0] - ux*math.Min(s, float64(sort.least-1)*step), at[1] - uy*math.Min(s, float64(sort.least-1)*step)}
			if run = 0; !r.unsaid(orb.LineString{back, at}) {
				continue
			}
			r.cannot("%s leads along between %s and %s, %s apart, with nothing drawn there: whether it is %s cannot be told; draw it as a hazard, or as other with \"driven_over\": true where a machine may go", c.f.describe(), fl.describe(), fr.describe(), metres(apart), sort.what)
			return true
		}
	}
	return false
}

// besideKerb is how far the nearest kerb along a way of this direction lies to the
// left (side 1) or right (-1) of a place, square to it.
func besideKerb(at orb.Point, ux, uy float64, kerbs []kerb, side float64) (float64, *Feature) {
	best, of := math.Inf(1), (*Feature)(nil)
	for _, k := range kerbs {
		ax, ay, bx, by := k.a[0]-at[0], k.a[1]-at[1], k.b[0]-at[0], k.b[1]-at[1]
		as, bs := ax*ux+ay*uy, bx*ux+by*uy // along the way
		ao, bo := side*(ay*ux-ax*uy), side*(by*ux-bx*uy)
		if as > 0 == (bs > 0) || math.Abs(bo-ao) > math.Abs(bs-as)*math.Tan(20*math.Pi/180) {
			continue
		}
		if off := ao + (bo-ao)*(0-as)/(bs-as); off > 0 && off < best {
			best, of = off, k.f
		}
	}
	return best, of
}

// unsaid reports whether nothing says what lies under a way: no zone, no area that
// is driven over, no hazard.
func (r *run) unsaid(way orb.LineString) bool {
	return len(way) > 1 && !r.zoned(way) && r.undrawn(way)
}

// undrawn is unsaid, of a way that may lie in a zone.
func (r *run) undrawn(way orb.LineString) bool {
	if r.saidDriven(way) {
		return false
	}
	for _, f := range r.Of(schema.RoleHazard) {
		if f.usable() && f.bound.Intersects(boundOf(way)) {
			if s := r.hazardShape(f); s.why == "" && len(s.areas) > 0 && halfIn(way, s.areas) {
				return false // hazard-uncovered's
			}
		}
	}
	return true
}

// pathAcross reports whether what is driven over on a way is only a path along it: it
// reaches less far to the sides than the way is long. A street has one where it is
// crossed.
func (r *run) pathAcross(way orb.LineString) bool {
	length := groundLength(way)
	if len(way) < 2 || length == 0 || r.zoned(way) {
		return false
	}
	a, b := way[0], way[len(way)-1]
	middle := stretchOf(way, length/2, length)[0]
	gap := distance(a, b)
	if gap == 0 {
		return false
	}
	u := orb.Point{-(b[1] - a[1]) / gap * length, (b[0] - a[0]) / gap * length}
	across := orb.LineString{{middle[0] - u[0], middle[1] - u[1]}, {middle[0] + u[0], middle[1] + u[1]}}
	found := false
	for _, f := range r.Of(schema.RoleOther) {
		over, _ := f.Attributes.Get(schema.PropDrivenOver).Truth()
		if !over || !f.usable() || !f.bound.Intersects(boundOf(way)) {
			continue
		}
		s := r.hazardShape(f)
		if s.why != "" || len(s.areas) == 0 || !halfIn(way, s.areas) {
			continue
		}
		wide := 0.0
		for _, part := range clipInside(across, s.areas) {
			wide += groundLength(part)
		}
		if wide >= length-slackM {
			return false
		}
		found = true
	}
	return found
}
