// Walls, fences and drops that may hold up the higher of two grounds, of
// slope-limit, and what opens them.

package validate

import (
	"fmt"
	"math"

	"github.com/paulmach/orb"

	"swardline/schema"
	"swardline/validate/plane"
)

// stepWalls are the walls, fences and drops of a plan, side by side, less what
// gates and ramps open; and the ground that those open.
type stepWalls struct {
	sides []orb.LineString
	boxes *plane.Boxes
	open  []wallOpening
}

type wallOpening struct {
	area  orb.MultiPolygon
	bound orb.Bound
}

// stepWalls are made once.
func (r *run) stepWalls() *stepWalls {
	if r.wallSet != nil {
		return r.wallSet
	}
	w := &stepWalls{}
	r.wallSet = w
	for _, f := range r.usableOf(schema.RoleEdge) {
		switch edgeKind(f) {
		case schema.EdgeWall, schema.EdgeFence, schema.EdgeDrop:
		default:
			continue
		}
		for _, l := range r.barrier(f) {
			for i := 1; i < len(l); i++ {
				w.sides = append(w.sides, l[i-1:i+1])
			}
		}
		for _, p := range r.opened(f, 0) {
			w.open = append(w.open, wallOpening{orb.MultiPolygon{p}, boundOf(p[0])})
		}
	}
	boxes := make([]orb.Bound, len(w.sides))
	for i, l := range w.sides {
		boxes[i] = segmentBox(l[0], l[1])
	}
	w.boxes = plane.NewBoxes(boxes)
	return w
}

// wallsBetween are the walls that may stand between two features.
type wallsBetween struct {
	sides []orb.LineString
	gauge *plane.Gauge // of the sides, nil for none
	open  []wallOpening
	// reach is how near in metres a wall stands between two places: where less
	// than the machine's width is free between two of them, nothing is.
	reach float64
}

// about are the walls about what two boxes share, for a machine half so wide;
// nil for none.
func (w *stepWalls) about(a, b orb.Bound, half float64) *wallsBetween {
	if len(w.sides) == 0 && len(w.open) == 0 {
		return nil
	}
	out := &wallsBetween{reach: math.Min(stepRiseM, half-slackM)}
	a, b = a.Pad(stepRiseM), b.Pad(stepRiseM)
	var all orb.MultiLineString
	for _, k := range w.boxes.Search(a, nil) {
		if l := w.sides[k]; segmentBox(l[0], l[1]).Intersects(b) {
			all = append(all, l)
		}
	}
	for _, o := range w.open {
		if o.bound.Intersects(a) && o.bound.Intersects(b) {
			out.open = append(out.open, o)
		}
	}
	if len(all) == 0 && len(out.open) == 0 {
		return nil
	}
	if len(all) > 0 {
		out.sides, out.gauge = all, plane.NewGauge(all)
	}
	return out
}

// hold reports whether a wall between two places may hold up the higher.
func (w *wallsBetween) hold(a, b orb.Point) bool {
	if w == nil || w.gauge == nil {
		return false
	}
	d, _, _, near := plane.NewGauge(orb.LineString{a, b}).Within(w.gauge, w.reach)
	return near && (d <= slackM || !w.through(a, b))
}

// opened reports whether a machine drives from one place to the other through
// what opens a wall.
func (w *wallsBetween) opened(a, b orb.Point) bool {
	return w.through(a, b) && !w.hold(a, b)
}

func (w *wallsBetween) through(a, b orb.Point) bool {
	for i := range w.open {
		o := &w.open[i]
		if !segmentBox(a, b).Intersects(o.bound) {
			continue
		}
		if plane.Locate(a, o.area) != plane.Outside || plane.Locate(b, o.area) != plane.Outside {
			return true
		}
		ring := o.area[0][0]
		for k := 1; k < len(ring); k++ {
			if plane.Cross(a, b, ring[k-1], ring[k]).Kind == plane.CrossProper {
				return true
			}
		}
	}
	return false
}

// wallPieces is into how many pieces a wall that runs askew is divided, to find
// where it stands between.
const wallPieces = 8

// places are those on a side of a feature where a wall between it and the other
// begins or ends to hold, or something opens it: a step that a wall does not
// hold is greatest there, or at a vertex. A step of no more than least is none.
func (w *wallsBetween) places(side *[2]raised, other *raisedSides, least float64) []raised {
	if w == nil || !other.mayStep(min(side[0].h, side[1].h), max(side[0].h, side[1].h), least) {
		return nil
	}
	a, b := side[0].ground, side[1].ground
	length := distance(a, b)
	u := orb.Point{(b[0] - a[0]) / length, (b[1] - a[1]) / length}
	var out []raised
	add := func(along float64) {
		if along > 0 && along < length {
			t := along / length
			out = append(out, heightOn(side, orb.Point{a[0] + t*(b[0]-a[0]), a[1] + t*(b[1]-a[1])}))
		}
	}
	along := func(p orb.Point) float64 { return (p[0]-a[0])*u[0] + (p[1]-a[1])*u[1] }
	across := func(p orb.Point) float64 { return (p[1]-a[1])*u[0] - (p[0]-a[0])*u[1] }
	box := segmentBox(a, b).Pad(stepReachM)
	for _, l := range w.sides {
		if !segmentBox(l[0], l[1]).Intersects(box) {
			continue
		}
		from, to := along(l[0]), along(l[1])
		for _, at := range [...]float64{from, to} {
			for _, off := range [...]float64{2 * slackM, w.reach + slackM/2} {
				add(at - off)
				add(at + off)
			}
		}
		if math.Abs(across(l[0])-across(l[1])) <= slackM {
			continue
		}
		for k := 0; k <= wallPieces; k++ {
			add(from + (to-from)*float64(k)/wallPieces)
		}
	}
	for i := range w.open {
		if !w.open[i].bound.Intersects(box) {
			continue
		}
		low, high := math.Inf(1), math.Inf(-1)
		for _, p := range w.open[i].area[0][0] {
			low, high = min(low, along(p)), max(high, along(p))
		}
		add(low + slackM)
		add((low + high) / 2)
		add(high - slackM)
	}
	return out
}

// tellOpenStep reports a step at what opens a wall, which is none over the
// distance that steps are else taken over.
func (r *run) tellOpenStep(s *step, f, other *Feature) bool {
	if !(s.beyond > 0) {
		return false
	}
	x := r.finding(r.Place(s.openFrom.ground), featuresOf(f, other)...)
	x.Measured, x.Limit, x.Unit = s.beyond+stepRiseM, stepRiseM, "m"
	x.Trace = r.trace(s.openFrom.ground, s.openTo.ground)
	up := "up"
	if s.openTo.h < s.openFrom.h {
		up = "down"
	}
	x.Message = fmt.Sprintf("steps %s by %s to %s where a gate or a ramp opens the wall, fence or drop between them, %s more than a slope of %s %% does; %s is the most: level the way through, close it, or give the outlines heights there",
		up, metres(math.Abs(s.openTo.h-s.openFrom.h)), other.describe(), metresPast(s.beyond+stepRiseM, stepRiseM), trim(s.limit, 1), metres(stepRiseM))
	return true
}
