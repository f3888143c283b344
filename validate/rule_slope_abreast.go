// Ground that slopes across ways by what is known on one side of them, and by what
// lies across them, of slope-limit.

package validate

import (
	"fmt"
	"math"

	"github.com/paulmach/orb"

	"swardline/schema"
	"swardline/validate/plane"
)

// sayAbreast is what the page of the rule says of this.
const sayAbreast = "" +
	"A height on one side alone, within 1.5 m of the line of a corridor or of the way into a dock, of a zone, a flush edge, a mark or another point or line, is unchecked where it lies off the way's height, up or down, by more than step_max_m beyond slope_max_percent of the distance and what the ground may lie off between two points; not where a wall, a fence, a kerb, a drop, a building, water or a keep-out lies between, of walls, fences and kerbs up to their height_m, and of a kerb that says none up to 0.3 m; so is one within 2.5 m, by slope_edge_max_percent, where the ground falls from the higher to the lower of the two and so, within 2 m or straight on within 5 m, to a drop, water or a road. " +
	"A flush edge, a ramp, a gate or the rim of what is driven over that runs across such a way is a warning where it is steeper than slope_max_percent within 1.5 m of it on both sides, over 2 m and more; over less, down to the machine's width, by more than 0.05 m, it is unchecked. "

// acrossNoiseM is by how much in metres two heights taken with RTK may differ on level
// ground (common practice, no source): a rise over less than slopeBaseM is told past
// that alone.
const acrossNoiseM = 0.05

// oneSide is the worst found beside one way.
type oneSide struct {
	f        *Feature
	p, q     raised // on the way, and beside it
	beyond   float64
	features int
}

// abreast leaves unchecked ways that may slope across by what lies on one side, and
// tells those that slope so by what lies across them.
func (w *falls) abreast() {
	for i := range w.ways {
		x := &w.ways[i]
		if x.zone >= 0 {
			continue
		}
		near := x.sides.bound.Pad(acrossBothM)
		low := math.Inf(1)
		for p := range x.sides.ends {
			low = min(low, w.above(p))
		}
		var worst oneSide
		for _, f := range w.r.Features {
			if f == x.f || !f.hasHeights || !f.bound.Intersects(near) || !f.usable() {
				continue
			}
			if levelBeside(f) && w.unlike(f, low, x.high) && !w.r.clamped(f) {
				if own := w.besideWay(f, x, near); own.f != nil {
					own.features = worst.features
					if worst.f == nil || own.beyond > worst.beyond+slackM {
						worst = own
					}
					worst.features++
				}
			}
			if f.raisedHigh-f.raisedLow > acrossNoiseM && liesAcross(f) && !w.r.clamped(f) {
				w.acrossWay(f, x)
			}
		}
		if worst.f != nil {
			w.tellOneSide(x, &worst)
		}
	}
}

// unlike reports whether any height of a feature lies a step off what lies so low and
// so high above the site, which slopes less than any limit.
func (w *falls) unlike(f *Feature, low, high float64) bool {
	least, most := math.Inf(1), math.Inf(-1)
	f.raised(func(p raised) {
		h := w.above(&p)
		least, most = min(least, h), max(most, h)
	})
	return max(most-low, high-least) > w.least
}

// levelBeside reports whether a feature's heights are those of ground beside a way:
// what may be raised, or be the top of something, is not.
func levelBeside(f *Feature) bool {
	switch f.Role {
	case schema.RoleZone, schema.RoleMark:
		return true
	case schema.RoleEdge:
		return edgeKind(f) == schema.EdgeFlush
	case schema.RoleOther:
		return len(f.Areas) == 0 || isPatch(f)
	}
	return false
}

// besideWay is the worst of the places of a feature beside a way.
func (w *falls) besideWay(f *Feature, x *fallWay, near orb.Bound) (worst oneSide) {
	r := w.r
	may, slope := r.stepMay(x.f, f), r.slopeOf(x.f, f)/100
	edge := math.Min(r.of(x.f).SlopeEdgeMaxPercent, r.of(f).SlopeEdgeMaxPercent) / 100
	higher := acrossM // a post or the top of a wall is one point, and may be farther off
	if len(f.Points) > 0 {
		higher = besideNearM
	}
	over := f.Role == schema.RoleEdge || isPatch(f) // held to the way where it lies on it
	look := func(p, q raised) {
		d := distance(p.ground, q.ground)
		rise := math.Abs(p.h-q.h) - p.sag - q.sag
		if rise-min(edge, slope)*d <= may+1e-9 {
			return
		}
		beyond, reach, up := rise-slope*d, acrossM, higher
		if d <= acrossBothM && w.slidesTo(p, q) {
			beyond, reach, up = rise-min(edge, slope)*d, acrossBothM, acrossBothM
		}
		switch {
		case beyond <= may+1e-9 || beyond <= worst.beyond || d > reach || over && d <= x.through || q.h > p.h && d > up:
		case q.h < p.h && d > x.through && d <= besideNearM && f.Role != schema.RoleEdge && f.Role != schema.RoleZone: // below leaves that unchecked
		case w.mownBeside(p.ground, q.ground, f), w.raisedBetween(p.ground, q.ground, f, beyond), r.toldOf(f, x.f):
		default:
			worst = oneSide{f: f, p: p, q: q, beyond: beyond}
		}
	}
	from := func(q raised) {
		if !near.Contains(q.ground) {
			return
		}
		k, d := x.sides.nearest(q.ground)
		if k >= 0 && d <= acrossBothM {
			look(heightOn(&x.sides.sides[k], q.ground), q)
		}
	}
	f.raised(from)
	own := r.edgeHeights(f)
	for i := range own.sides {
		side := &own.sides[i]
		box := segmentBox(side[0].ground, side[1].ground).Pad(acrossBothM)
		if !box.Intersects(near) {
			continue
		}
		for k := range x.sides.sides {
			on := &x.sides.sides[k]
			for _, p := range on {
				if box.Contains(p.ground) {
					look(p, heightOn(side, p.ground))
				}
			}
			if c := plane.Cross(side[0].ground, side[1].ground, on[0].ground, on[1].ground); c.Kind == plane.CrossProper {
				look(heightOn(on, c.P), heightOn(side, c.P))
			}
		}
	}
	return worst
}

// slidesTo reports whether a machine that slides from the higher to the lower of two
// places comes to a drop, water or a road.
func (w *falls) slidesTo(p, q raised) bool {
	if !w.graveAsked {
		w.grave, w.graveAsked = w.r.graveEdges(), true
	}
	if q.h > p.h {
		p, q = q, p
	}
	return w.grave != nil && beside(orb.LineString{p.ground, q.ground}, w.grave, -1)
}

// mownBeside reports whether others judge the ground between two places: they are in
// one lawn. An outline's own places are on its rim.
func (w *falls) mownBeside(p, q orb.Point, f *Feature) bool {
	m := orb.Point{(p[0] + q[0]) / 2, (p[1] + q[1]) / 2}
	for _, k := range w.zones.near(m.Bound()) {
		if l := w.zones.locator(k); l.Locate(m) == plane.Inside || w.zones.features[k] == f && l.Locate(p) != plane.Outside {
			return true
		}
	}
	return false
}

// kerbHighM is how high in metres a kerb that does not say is, at most (common
// practice, no source).
const kerbHighM = stepRiseM

// raisedBetween reports whether something drawn between two places tells why the
// ground is not as high at both, by so much more than a slope leads.
func (w *falls) raisedBetween(p, q orb.Point, f *Feature, past float64) bool {
	x := w.between(p, q, true, 0, f)
	if x.tells || x.wall != nil && x.lifts(past, distance(p, q)) {
		return true
	}
	x.high += w.r.kerbsBetween(p, q)
	return x.high > 0 && past <= x.high+heightsGood(distance(p, q))+1e-9
}

// kerbsBetween is how high in metres the kerbs that stand between two places are
// together, 0 for none.
func (r *run) kerbsBetween(p, q orb.Point) (high float64) {
	box := segmentBox(p, q).Pad(stepRiseM)
	var way *plane.Gauge
	for _, e := range r.usableOf(schema.RoleEdge) {
		if edgeKind(e) != schema.EdgeKerb || !e.bound.Intersects(box) {
			continue
		}
		if way == nil {
			way = plane.NewGauge(orb.LineString{p, q})
		}
		if _, _, _, on := way.Within(plane.NewGauge(orb.MultiLineString(e.lines())), stepRiseM); on {
			high += kerbHigh(e)
		}
	}
	return high
}

// kerbHigh is how high a kerb is by its own word, or as kerbs are.
func kerbHigh(f *Feature) float64 {
	if h, ok := f.Float(schema.PropHeightM); ok {
		return max(h, 0)
	}
	return kerbHighM
}

func (w *falls) tellOneSide(x *fallWay, at *oneSide) {
	side := "above"
	if at.q.h < at.p.h {
		side = "below"
	}
	w.r.cannot("%s lies %s %s %s%s, %s beside its line: whether the way slopes so across, or the ground steps there, past %s, cannot be told; give it heights on both sides, draw the wall, kerb or drop that lies between, or correct the heights%s",
		at.f.describe(), metres(math.Abs(at.p.h-at.q.h)), side, x.words, x.f.describe(), metres(distance(at.p.ground, at.q.ground)), metres(w.r.stepMay(x.f, at.f)), worstOf(at.features))
}

// liesAcross reports whether a way leads over a feature, so that it slopes as that
// does.
func liesAcross(f *Feature) bool {
	switch edgeKind(f) {
	case schema.EdgeFlush, schema.EdgeRamp, schema.EdgeGate:
		return true
	}
	return isPatch(f)
}

// acrossWay judges how steep a line or rim is where it crosses a way.
func (w *falls) acrossWay(f *Feature, x *fallWay) {
	r := w.r
	limit := r.slopeOf(f, x.f)
	worst, over := acrossNoiseM, 0.0
	var from, to raised
	visit := func(l Line) {
		for v := 1; v < len(l.Ground) && l.Heights != nil; v++ {
			for k := range x.sides.sides {
				s := &x.sides.sides[k]
				c := plane.Cross(l.Ground[v-1], l.Ground[v], s[0].ground, s[1].ground)
				if c.Kind != plane.CrossProper && c.Kind != plane.CrossTouch || w.steepAt(c.P) {
					continue
				}
				before, after := l.placesFrom(v-1, -1, c.P), l.placesFrom(v, 1, c.P)
				for _, a := range before {
					for _, b := range after {
						d := distance(a.ground, b.ground)
						past := math.Abs(a.h-b.h) - limit/100*d
						if d >= slopeBaseM-slackM {
							past += acrossNoiseM
						}
						if past > worst+1e-9 && d >= 2*x.through-slackM { // both its wheels stand there
							worst, from, to, over = past, a, b, d
						}
					}
				}
			}
		}
	}
	for i := range f.Lines {
		visit(f.Lines[i])
	}
	for i := range f.Areas {
		for k, ring := range f.Areas[i].Ground {
			if f.Areas[i].Heights != nil {
				visit(Line{Read: orb.LineString(f.Areas[i].Read[k]), Ground: orb.LineString(ring), Heights: f.Areas[i].Heights[k]})
			}
		}
	}
	if over == 0 || r.toldOf(f, x.f) || r.toldOf(f, f) {
		return
	}
	percent := 100 * math.Abs(from.h-to.h) / over
	if over < slopeBaseM-slackM {
		r.cannot("%s rises %s over %s across %s%s, %s %%: whether the way slopes so there cannot be told from heights that close; the limit is %s %%; measure them again, or give heights 1 m to both sides", f.describe(), metres(math.Abs(from.h-to.h)), metres(over), x.words, x.f.describe(), percentPast(percent, limit), trim(limit, 1))
		return
	}
	y := r.finding(r.Place(from.ground), x.f, f)
	y.Severity = Warning
	y.Measured, y.Limit, y.Unit = percent, limit, "%"
	y.Trace = r.trace(from.ground, to.ground)
	y.Message = fmt.Sprintf("%s%s slopes across by %s, which it leads over: that rises %s over %s, %s %%; the limit is %s %%: lead it where the ground is level across, or correct the heights",
		x.words, x.f.describe(), f.describe(), metres(math.Abs(from.h-to.h)), metres(over), percentPast(percent, limit), trim(limit, 1))
}

// steepAt reports whether a place lies in or at a lawn that is told to be steep.
func (w *falls) steepAt(p orb.Point) bool {
	for _, k := range w.zones.near(p.Bound().Pad(10 * slackM)) {
		if w.outlines[k].steep && w.r.nearMown(w.zones, k, p, 10*slackM) {
			return true
		}
	}
	return false
}

// placesFrom are the points of a line from one on, the one way or the other, that lie
// within acrossM of a place on it, and the place where it leaves that.
func (l *Line) placesFrom(v, way int, from orb.Point) (out []raised) {
	last := from
	for ; v >= 0 && v < len(l.Ground); v += way {
		p := raised{read: l.Read[v], ground: l.Ground[v], h: l.Heights[v]}
		if d := distance(from, p.ground); d > acrossM {
			before := v - way
			if before < 0 || before >= len(l.Ground) {
				return out
			}
			side := [2]raised{{ground: l.Ground[before], h: l.Heights[before]}, p}
			if near := distance(from, last); d > near {
				t := (acrossM - near) / (d - near) // exact where the line is straight
				q := orb.Point{last[0] + t*(p.ground[0]-last[0]), last[1] + t*(p.ground[1]-last[1])}
				out = append(out, heightOn(&side, q))
			}
			return out
		}
		out, last = append(out, p), p.ground
	}
	return out
}
