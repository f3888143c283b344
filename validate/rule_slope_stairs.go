// Kerbs and other small edges that follow one another across a way like the treads of
// a stair, and ramps that climb across it: parts of the rule slope-limit.

package validate

import (
	"cmp"
	"math"
	"slices"

	"swardline/schema"
)

// Edges across a way from treadLeastM to treadMostM apart are the treads of a stair;
// nearer ones are the two sides of one kerbstone, and past that a machine stands on
// the one before it comes to the next (common practice, no source).
const treadLeastM, treadMostM = 0.2, 0.6

// acrossPercent is up to how steep, in percent, a kerb with its ramp may lie along a
// street (common practice, no source).
const acrossPercent = 6.0

// sayStairs is what the page of the rule says of this.
const sayStairs = "" +
	"Kerbs, drops and flush edges across a corridor or the way into a dock, 0.2 to 0.6 m from one to the next, are unchecked where their height_m together are more than step_max_m, or a kerb or drop among them says none, unless a ramp there says that it rises as much by its rise_m or height_m, its slope and length, or heights along the way. " +
	"So is a ramp whose line lies across the way and climbs, by its heights, more than step_max_m and 6 %, unless the kerb or drop under it does too. "

// stairs records the ways that lead over edges that follow one another like treads.
func (r *run) stairs() {
	var edges []*Feature
	for _, f := range r.usableOf(schema.RoleEdge) {
		height, says := f.Float(schema.PropHeightM)
		if k := edgeKind(f); k == schema.EdgeKerb || k == schema.EdgeDrop || k == schema.EdgeFlush && says && height != 0 {
			edges = append(edges, f)
		}
	}
	if len(edges) < 2 {
		return
	}
	for _, c := range r.wholeWays(r.corridors()) {
		var over []passed
		box := boundOf(c.pts)
		for _, f := range edges {
			if f.bound.Intersects(box) {
				for _, l := range f.lines() {
					over = appendPassed(over, c.pts, f, l)
				}
			}
		}
		slices.SortStableFunc(over, func(a, b passed) int { return cmp.Compare(a.along, b.along) })
		for len(over) > 1 {
			n := 1
			for n < len(over) && over[n].along-over[n-1].along <= treadMostM+slackM {
				n++
			}
			if r.flight(&c, over[:n]) {
				break
			}
			over = over[n:]
		}
	}
}

// flight records edges that a way leads over, each at most treadMostM past the one
// before, if they are a stair.
func (r *run) flight(c *corridorLine, over []passed) bool {
	sum, step, from, treads, open := 0.0, 0.0, 0, 1, false
	for i := range over {
		if i > 0 && over[i].along-over[from].along >= treadLeastM-slackM {
			sum, step, from = sum+step, 0, i
			treads++
		}
		height, says := over[i].f.Float(schema.PropHeightM)
		step, open = math.Max(step, math.Abs(height)), open || !says
	}
	sum += step
	may := r.of(c.f).StepMaxM
	if treads < 2 || !open && sum <= may+1e-9 || r.rampUp(over, sum) {
		return false
	}
	high := metresPast(sum, may) + " high together"
	if open {
		high = "and not each says in height_m how high it is"
	}
	a, b := &over[0], &over[len(over)-1]
	r.cannot("%s leads over %s and %s like over the treads of a stair, %d within %s, %s; one step may have %s: draw a ramp over them with its rise_m and length_m, or lead the way round", c.f.describe(), a.f.describe(), b.f.describe(), treads, metres(b.along-a.along), high, metres(may))
	return true
}

// rampUp reports whether a ramp at one of the places says that it rises so much.
func (r *run) rampUp(over []passed, rise float64) bool {
	return slices.ContainsFunc(r.usableOf(schema.RoleEdge), func(f *Feature) bool {
		if edgeKind(f) != schema.EdgeRamp || !slices.ContainsFunc(over, func(p passed) bool {
			return f.bound.Pad(crossingM).Contains(p.at) && distance(f.nearestTo(p.at), p.at) <= crossingM
		}) {
			return false
		}
		_, along := r.waysOver(f)
		says := r.rampSays(f)
		risen, _, known := r.rampRises(f, &says, along)
		return known && risen > 0 && risen >= rise-1e-9
	})
}

// rampAcross records a ramp whose line lies across the way over it and climbs.
func (r *run) rampAcross(f, ledge *Feature, ways, along bool) {
	if !ways || along || r.clamped(f) {
		return
	}
	may := r.of(f).StepMaxM
	for i := range f.Lines {
		l := &f.Lines[i]
		n := len(l.Ground) - 1
		if l.Heights == nil || n < 1 {
			continue
		}
		rise, length := l.Heights[n]-l.Heights[0], groundLength(l.Ground)
		if !(math.Abs(rise) > math.Max(may, acrossPercent/100*length)+1e-9) || r.climbsAlike(ledge, l, rise, may) {
			continue
		}
		r.cannot("%s climbs %s along its line, which lies across the way over it: the machine meets its side there, or goes along it tilted; draw it along the way, with its heights, or give it the height of the edge that it lies on", f.describe(), metres(math.Abs(rise)))
	}
}

// climbsAlike reports whether a ledge rises from one end of a line to the other as that
// does, but for less than may.
func (r *run) climbsAlike(ledge *Feature, l *Line, rise, may float64) bool {
	if ledge == nil || r.clamped(ledge) {
		return false
	}
	own := r.edgeHeights(ledge)
	if len(own.sides) == 0 {
		return false
	}
	at := func(v int) float64 {
		p := l.Ground[v]
		k, _ := own.nearest(p)
		return heightOn(&own.sides[k], p).h
	}
	return math.Abs(at(len(l.Ground)-1)-at(0)-rise) <= may
}
