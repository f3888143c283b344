// Corridors and docks as the rules see them: where each end of a corridor
// belongs, and where a machine lines up before it docks.

package validate

import (
	"math"
	"slices"

	"github.com/paulmach/orb"

	"swardline/schema"
	"swardline/validate/plane"
)

// slackM is the difference in metres that is rounding and no fault: coordinates
// in degrees with eight decimals stand to 1.1 mm.
const slackM = 0.001

// dockSpot is one dock with its line-up point.
type dockSpot struct {
	f        *Feature
	vertex   *Vertex
	at       orb.Point
	standoff float64
	// heading is the bearing faced when docked, in degrees clockwise from true
	// north; NaN when the dock does not say. lineup is then not known either.
	heading float64
	lineup  orb.Point
}

// bearing returns the unit vector of a bearing in degrees clockwise from north.
func bearing(deg float64) orb.Point {
	s, c := math.Sincos(deg * (math.Pi / 180))
	return orb.Point{s, c}
}

// bearingOf returns the bearing from a to b in degrees from 0 up to 360.
func bearingOf(a, b orb.Point) float64 {
	deg := math.Atan2(b[0]-a[0], b[1]-a[1]) * (180 / math.Pi)
	if deg < 0 {
		deg += 360
	}
	return deg
}

// angleBetween returns the angle between two bearings, from 0 to 180 degrees.
func angleBetween(a, b float64) float64 { return math.Abs(math.Remainder(a-b, 360)) }

// LineUp returns the point where the machine lines up before it drives ahead
// into the dock: standoff metres from the dock on the bearing opposite to
// heading, which is what the machine faces when docked.
func LineUp(dock orb.Point, headingDeg, standoffM float64) orb.Point {
	u := bearing(headingDeg)
	return orb.Point{dock[0] - standoffM*u[0], dock[1] - standoffM*u[1]}
}

// docks returns the usable docks.
func (r *run) docks() []dockSpot {
	if r.docksKnown {
		return r.dockList
	}
	r.docksKnown = true
	for _, f := range r.Of(schema.RoleDock) {
		if !f.usable() {
			continue
		}
		for i := range f.Points {
			d := dockSpot{f: f, vertex: &f.Points[i], at: f.Points[i].Ground, heading: math.NaN(), standoff: r.of(f).DockStandoffM}
			if s, ok := f.Float(schema.PropStandoffM); ok && s >= 0 {
				d.standoff = s
			}
			if h, ok := f.Float(schema.PropHeadingDeg); ok {
				d.heading = math.Mod(h, 360)
				d.lineup = LineUp(d.at, d.heading, d.standoff)
			}
			r.dockList = append(r.dockList, d)
		}
	}
	return r.dockList
}

// dockIndex finds the dock that a corridor's end belongs to.
func (r *run) dockIndex() *plane.Boxes {
	if r.dockBoxes == nil {
		docks := r.docks()
		boxes := make([]orb.Bound, len(docks))
		for i := range docks { // all places where a corridor to it could end
			boxes[i] = docks[i].at.Bound().Pad(docks[i].standoff)
		}
		r.dockBoxes = plane.NewBoxes(boxes)
	}
	return r.dockBoxes
}

// off returns how far p is from where a corridor to the dock ends: from the
// line-up point, or, of a dock without a heading, from the circle on which that
// point lies.
func (d *dockSpot) off(p orb.Point) float64 {
	if math.IsNaN(d.heading) {
		return math.Abs(distance(p, d.at) - d.standoff)
	}
	return distance(p, d.lineup)
}

// End says where one end of a corridor belongs.
type corridorEnd struct {
	// v is the vertex at the end and step (1 or -1) the way along the line.
	v, step int
	// zone is the zone that the end lies in, the deepest of several, and depth
	// how deep in metres; nil for none.
	zone  *Feature
	depth float64
	// near is the zone nearest to the end, other than the one the other end
	// lies in, and gap its distance; nil for none.
	near *Feature
	gap  float64
	// unclear is a zone that cannot be measured and that the end may lie in.
	unclear *Feature
	// dock is the dock that the end belongs to, nil for none; off is how far
	// the end is from where it should be.
	dock *dockSpot
	off  float64
}

// corridorLine is one line of a corridor.
type corridorLine struct {
	f    *Feature
	line *Line
	pts  orb.LineString // on the ground, without repeated points
	at   []int          // the vertex of line that each of pts is
	ends [2]corridorEnd
}

// corridors returns the usable corridors with their ends told apart.
//
// An end that lies in a zone belongs to it. Of an end outside every zone it is
// a question of which is nearer: where a dock is waiting for it, or a zone
// other than the one that the other end lies in. An end within reach of a
// line-up point belongs to the dock even inside a zone.
func (r *run) corridors() []corridorLine {
	if r.corridorsKnown {
		return r.corridorList
	}
	r.corridorsKnown = true
	docks := r.docks()
	zones := r.zones()
	for _, f := range r.Of(schema.RoleCorridor) {
		if !f.usable() {
			continue
		}
		lines := joined(f.Lines)
		for i := range lines {
			c := corridorLine{f: f, line: &lines[i]}
			for v, p := range lines[i].Ground {
				if n := len(c.pts); n == 0 || p != c.pts[n-1] {
					c.pts, c.at = append(c.pts, p), append(c.at, v)
				}
			}
			if len(c.pts) < 2 {
				continue // geometry-unfit says so
			}
			r.tellEnds(&c, docks, zones)
			r.corridorList = append(r.corridorList, c)
		}
	}
	return r.corridorList
}

// joined returns the lines with those put end to end that meet at their ends,
// where no third one ends: a corridor drawn in two parts is one.
func joined(lines []Line) []Line {
	if len(lines) < 2 || len(lines) > mostParts {
		return lines
	}
	out := append([]Line(nil), lines...)
	end := func(l *Line, last bool) orb.Point {
		if last {
			return l.Ground[len(l.Ground)-1]
		}
		return l.Ground[0]
	}
	meeting := func(p orb.Point) int {
		n := 0
		for i := range out {
			for _, last := range [...]bool{false, true} {
				if distance(end(&out[i], last), p) <= slackM {
					n++
				}
			}
		}
		return n
	}
	for again := true; again; {
		again = false
	search:
		for i := range out {
			for k := range out {
				for way := range 4 {
					p := end(&out[i], way&1 == 1)
					if i == k || distance(p, end(&out[k], way&2 == 2)) > slackM || meeting(p) != 2 {
						continue
					}
					a, b := out[i], out[k]
					if way&1 == 0 {
						a = a.turned()
					}
					if way&2 == 2 {
						b = b.turned()
					}
					out[i] = a.followed(b)
					out = append(out[:k], out[k+1:]...)
					again = true
					break search
				}
			}
		}
	}
	return out
}

// mostParts is the most parts of a corridor that are put together.
const mostParts = 64

// turned is the line from its end to its start.
func (l Line) turned() Line {
	out := Line{slices.Clone(l.Read), slices.Clone(l.Ground), slices.Clone(l.Heights)}
	slices.Reverse(out.Read)
	slices.Reverse(out.Ground)
	slices.Reverse(out.Heights)
	return out
}

// followed is the line and another from its end on.
func (l Line) followed(m Line) Line {
	out := Line{Read: slices.Concat(l.Read, m.Read), Ground: slices.Concat(l.Ground, m.Ground)}
	if l.Heights != nil || m.Heights != nil {
		for _, part := range [...]Line{l, m} {
			h := part.Heights
			if h == nil {
				h = make([]float64, len(part.Read))
				for i := range h {
					h[i] = math.NaN()
				}
			}
			out.Heights = append(out.Heights, h...)
		}
	}
	return out
}

// plausibleM is how far from a dock or a zone, in metres, an end may lie and
// still be taken to be meant for it.
const plausibleM = 10

func (r *run) tellEnds(c *corridorLine, docks []dockSpot, zones *solids) {
	last := len(c.pts) - 1
	c.ends = [2]corridorEnd{{v: 0, step: 1}, {v: last, step: -1}}
	for k := range c.ends {
		e := &c.ends[k]
		p := c.pts[e.v]
		for _, i := range zones.near(p.Bound()) {
			z := zones.features[i]
			l := zones.locator(i)
			if l.Locate(p) == plane.Outside {
				continue
			}
			if d := math.Max(0, l.Depth(p)); e.zone == nil || d > e.depth {
				e.zone, e.depth = z, d
			}
		}
		if e.zone == nil {
			e.unclear = r.unclearZone(p)
		}
		if i, off := r.dockIndex().Nearest(p, func(i int) float64 { return docks[i].off(p) }); i >= 0 {
			e.dock, e.off = &docks[i], off
		}
	}
	for k := range c.ends {
		e, other := &c.ends[k], &c.ends[1-k]
		p := c.pts[e.v]
		e.gap = math.Inf(1)
		if e.zone == nil {
			i, gap := zones.index().Nearest(p, func(i int) float64 {
				if zones.features[i] == other.zone {
					return math.Inf(1)
				}
				d, _ := zones.locator(i).DistanceToBoundary(p)
				return d
			})
			if i >= 0 {
				e.near, e.gap = zones.features[i], gap
			}
		}
	}
	// Only one end can belong to the dock: the one that is nearer to it.
	for k := range c.ends {
		e, other := &c.ends[k], &c.ends[1-k]
		if e.dock == nil {
			continue
		}
		if e.off > plausibleM {
			e.dock = nil
			continue
		}
		inReach := !math.IsNaN(e.dock.heading) && e.off <= r.of(e.dock.f).DockReachM+slackM
		mine := inReach || e.zone == nil && e.unclear == nil && e.off <= e.gap
		if other.dock != nil && mine {
			otherOutside := other.zone == nil && other.unclear == nil
			mine = e.off < other.off || e.off == other.off && k == 1 || !otherOutside && e.zone == nil
		}
		if !mine {
			e.dock = nil
		}
	}
	if c.ends[0].dock != nil && c.ends[1].dock != nil { // both within reach, or neither in a zone
		if c.ends[0].off < c.ends[1].off {
			c.ends[1].dock = nil
		} else {
			c.ends[0].dock = nil
		}
	}
}

// unclearZone returns a zone that cannot be measured but whose box, a metre
// wider, holds the point; one without any ground coordinates may be anywhere.
func (r *run) unclearZone(p orb.Point) *Feature {
	if len(r.zones().why) == 0 {
		return nil
	}
	for _, f := range r.Of(schema.RoleZone) {
		if r.solidOf(f).why == "" || f.Far {
			continue
		}
		if f.Invalid != "" || len(f.Areas) == 0 || f.bound.Pad(1).Contains(p) {
			return f
		}
	}
	return nil
}

// unclearZones returns the boxes of the zones that cannot be measured; known is
// false when one of them may be anywhere.
func (r *run) unclearZones() (boxes []orb.Bound, known bool) {
	known = true
	if len(r.zones().why) == 0 {
		return nil, true
	}
	for _, f := range r.Of(schema.RoleZone) {
		switch {
		case r.solidOf(f).why == "" || f.Far:
		case f.Invalid != "" || len(f.Areas) == 0:
			known = false
		default:
			boxes = append(boxes, f.bound)
		}
	}
	return boxes, known
}

// unclearZoneIn reports whether a zone that cannot be measured may reach into
// the box.
func (r *run) unclearZoneIn(box orb.Bound) bool {
	boxes, known := r.unclearZones()
	for _, b := range boxes {
		known = known && !b.Intersects(box)
	}
	return !known
}

// corridorPlace is the place of a vertex of the corridor.
func (r *run) corridorPlace(c *corridorLine, v int) *Place {
	return r.placeRead(c.f, c.line.Read[c.at[v]], c.pts[v])
}
