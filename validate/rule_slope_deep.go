// Heights deep in mown ground, of slope-limit: whether what is driven over there
// is flush with ground of which only the outline is known.

package validate

import (
	"math"

	"github.com/paulmach/orb"

	"swardline/schema"
	"swardline/validate/plane"
)

// sayDeep is what the page of the rule says of this.
const sayDeep = "" +
	"What is flush or driven over by its word, ramps and docks deep in mown ground, and what is switched off there, are unchecked where they lie more than 0.3 m, and 0.01 t (L - t) / 2, off a straight line through them between two places of the outline, L apart and t off, unless a mark, another point or line, a corridor or a rim within 3 m has their height to 0.3 m; so are the rims of keep-outs that lie lower than that, at which no hazard, building or drop is, and those at water, a road or a drop to which mown ground falls more than slope_edge_max_percent straight from the outline. "

// deepWays is along how many straight lines the ground at a place is told from the
// outline on both sides, and deepLooks of how many places.
const deepWays, deepLooks = 8, 2000

// tilted is a plane z = h + gx (x - x0) + gy (y - y0), x0 and y0 in at, from which
// heights lie no farther than off in metres.
type tilted struct {
	at        orb.Point
	h, gx, gy float64
	off       float64
}

// tilt is the plane through the points of the sides; off is NaN where there is
// none, so that no height is within it.
func (s *raisedSides) tilt() *tilted {
	if s.plane != nil {
		return s.plane
	}
	pts := make([]raised, len(s.sides))
	for i := range s.sides {
		pts[i] = s.sides[i][0]
	}
	t, ok := planeThrough(pts)
	if !ok {
		t = tilted{off: math.NaN()}
	}
	s.plane = &t
	return s.plane
}

func (t *tilted) height(p orb.Point) float64 { return t.h + t.gx*(p[0]-t.at[0]) + t.gy*(p[1]-t.at[1]) }

// deepInLawns leaves unchecked what is flush with mown ground by its own word, and
// ramps and docks there, where the outline has the ground elsewhere: on a straight
// line through the place it lies off that between two heights of the outline by
// no more than stepRiseM and what slopeChange makes of that, unless another
// feature's height beside it bears it out. The rim of a keep-out may stand higher,
// as beds do; one that lies lower may be that of a pit, unless a hazard or a drop
// there tells of it.
func (r *run) deepInLawns(zones *solids, outlines []*raisedSides) {
	look := deepLook{planes: map[int]*tilted{}}
	for _, role := range [...]schema.Role{schema.RoleEdge, schema.RoleOther, schema.RoleDock, schema.RoleKeepout} {
		for _, f := range r.Of(role) {
			switch kind := edgeKind(f); {
			case !f.usable() || role == schema.RoleEdge && kind != schema.EdgeFlush && kind != schema.EdgeRamp || role == schema.RoleOther && !isPatch(f):
				continue
			}
			if low, high := f.heightRange(); !(high >= low) || r.clamped(f) {
				continue
			}
			for _, i := range zones.near(f.bound) {
				var own *Feature // whose ground counts as mown
				if role == schema.RoleKeepout {
					own = f
				}
				r.tellDeep(f, own, zones, i, outlines[i], &look)
			}
		}
	}
	offs := r.offs()
	for n := range offs {
		f := &offs[n]
		if !groundWhenOff(f) || f.Role == schema.RoleMark || f.Role == schema.RoleOther && !isPatch(f) || r.clamped(f) {
			continue // those may stand on something
		}
		box := emptyBox() // its own is not on this ground
		f.raised(func(p raised) { box = box.Extend(p.ground) })
		for _, i := range zones.near(box) {
			r.tellDeep(f, nil, zones, i, outlines[i], &look)
		}
	}
	if look.looks > deepLooks {
		r.cannot("so many heights in lawns lie off those of the outline that not all were compared")
	}
}

// deepLook is what is known of outlines, and how many places were looked at.
type deepLook struct {
	planes map[int]*tilted // nil for an outline that has none
	looks  int
}

// tellDeep is deepInLawns for one feature in the i-th zone.
func (r *run) tellDeep(f, own *Feature, zones *solids, i int, outline *raisedSides, look *deepLook) {
	z := zones.features[i]
	if len(outline.sides) < 3 || outline.steep || r.toldOf(f, z) {
		return
	}
	worst, away := stepRiseM+1e-9, 0.0
	limit, grave := r.of(z).SlopeEdgeMaxPercent, own != nil && f.Active() && r.besideGrave(f)
	steepest := limit
	f.raised(func(p raised) {
		if look.looks > deepLooks {
			return
		}
		t := look.planes[i]
		if t == nil {
			t = outline.tilt()
			look.planes[i] = t
		}
		if math.Abs(p.h-t.height(p.ground))+t.off <= stepRiseM {
			return // any two heights of the outline have it there
		}
		if zones.locator(i).Locate(p.ground) != plane.Inside || r.keptOut(p.ground, own) {
			return
		}
		look.looks++
		if grave {
			steepest = max(steepest, r.fallTo(zones, outline, &p, own))
		}
		off, expected := r.deepOff(zones, outline, &p, own)
		if own != nil && !(p.h < expected) {
			return
		}
		if off > worst && !r.borneOut(f, &p) {
			worst, away = off, p.h-expected
		}
	})
	if steepest > limit+1e-6 {
		r.cannot("the heights of the rim of %s show mown ground of %s falling %s %% to what is drawn there, straight from its outline; beside water, a road or a drop it may fall %s %%: whether it is as steep there cannot be told without heights between, as marks or points", f.describe(), z.describe(), trim(steepest, 1), trim(limit, 1))
		return
	}
	side := "above"
	if away < 0 {
		side = "below"
	}
	lies := "lies in mown ground of"
	if !f.Active() {
		lies = "is switched off, and lay in what is mown ground of"
	}
	switch {
	case away == 0 || own != nil && r.tellsOfPit(f):
	case own != nil:
		r.cannot("%s lies in mown ground of %s, its rim %s below where the outline has the ground: whether it is a pit, with a drop at its rim, cannot be told; draw a hazard or a drop there, or give the ground within %s of it a height, as a mark or a point", f.describe(), z.describe(), metres(math.Abs(away)), metres(tiltReachM))
	case math.IsInf(worst, 1):
		r.cannot("%s %s %s where no straight way leads to its outline on two sides: whether it is level with the ground about it cannot be told; give the ground within %s of it a height, as a mark or a point", f.describe(), lies, z.describe(), metres(tiltReachM))
	default:
		r.cannot("%s %s %s, %s %s where its outline has the ground: whether it is level with the ground about it cannot be told; give the ground within %s of it a height, as a mark or a point, or correct this one", f.describe(), lies, z.describe(), metres(math.Abs(away)), side, metres(tiltReachM))
	}
}

// besideGrave reports whether water, a road or a drop lies at or in a keep-out.
func (r *run) besideGrave(f *Feature) bool {
	for _, role := range [...]schema.Role{schema.RoleHazard, schema.RoleEdge} {
		for _, g := range r.usableOf(role) {
			if !g.bound.Pad(bankBesideM + g.reachDrawn()).Intersects(f.bound) {
				continue
			}
			if role == schema.RoleEdge && edgeKind(g) == schema.EdgeDrop {
				return true
			}
			if kinds := kindsOf(g); role == schema.RoleHazard && kinds.grave() {
				return true
			}
		}
	}
	return false
}

// fallTo is the greatest mean slope, in percent, down to a place from an outline, over
// mown ground alone.
func (r *run) fallTo(zones *solids, outline *raisedSides, p *raised, own *Feature) (percent float64) {
	reach := distance(outline.bound.Min, outline.bound.Max) + 1
	for n := range 2 * deepWays {
		s, c := math.Sincos(math.Pi * float64(n) / deepWays)
		if a, ok := r.seenOutline(zones, outline, p.ground, orb.Point{reach * c, reach * s}, own); ok {
			if far := distance(p.ground, a.ground); far >= slopeBaseM {
				percent = max(percent, 100*(a.h-p.h)/far)
			}
		}
	}
	return percent
}

// groundWhenOff reports whether the heights of a feature that is switched off are
// those of ground that is there all the same.
func groundWhenOff(f *Feature) bool {
	switch f.Role {
	case schema.RoleZone, schema.RoleKeepout, schema.RoleMark, schema.RoleCorridor, schema.RoleDock:
		return true
	case schema.RoleEdge:
		return edgeKind(f) == schema.EdgeFlush
	case schema.RoleOther:
		return len(f.Areas) == 0 || isPatch(f)
	}
	return false
}

// deepOff is how far a place lies, in metres, beyond what slopeChange lets the
// ground lie, off the straight lines through it between two heights of an outline,
// with the height that they have there; the most of all with mown ground alone on
// the way. +Inf where there is no such line.
// The ground of own counts as mown.
func (r *run) deepOff(zones *solids, outline *raisedSides, p *raised, own *Feature) (off, expected float64) {
	reach := distance(outline.bound.Min, outline.bound.Max) + 1
	off = math.Inf(-1)
	for n := range deepWays {
		s, c := math.Sincos(math.Pi * float64(n) / deepWays)
		a, ok := r.seenOutline(zones, outline, p.ground, orb.Point{reach * c, reach * s}, own)
		if !ok {
			continue
		}
		b, ok := r.seenOutline(zones, outline, p.ground, orb.Point{-reach * c, -reach * s}, own)
		if !ok {
			continue
		}
		to, back := distance(p.ground, a.ground), distance(p.ground, b.ground)
		if to+back == 0 {
			continue
		}
		h := (a.h*back + b.h*to) / (to + back)
		if by := math.Abs(p.h-h) - slopeChange*to*back/2; by > off {
			off, expected = by, h
		}
	}
	if math.IsInf(off, -1) {
		return math.Inf(1), math.NaN()
	}
	return off, expected
}

// seenOutline is the first place of an outline on the straight way so far from a
// place, where only mown ground lies between.
func (r *run) seenOutline(zones *solids, outline *raisedSides, from, way orb.Point, own *Feature) (on raised, ok bool) {
	to := orb.Point{from[0] + way[0], from[1] + way[1]}
	near := math.Inf(1)
	for _, k := range outline.boxes().Search(segmentBox(from, to), nil) {
		side := &outline.sides[k]
		x := plane.Cross(from, to, side[0].ground, side[1].ground)
		if x.Kind != plane.CrossProper && x.Kind != plane.CrossTouch {
			continue
		}
		if d := distance(from, x.P); d < near {
			near, on, ok = d, heightOn(side, x.P), true
		}
	}
	return on, ok && r.mownBut(zones, from, on.ground, own)
}

// borneOut reports whether the ground within tiltReachM of a place of a feature
// has its height by a mark, a point or line that nobody drives over by its word, a
// corridor, or the rim of a keep-out.
func (r *run) borneOut(f *Feature, p *raised) bool {
	box := p.ground.Bound().Pad(tiltReachM)
	for _, role := range [...]schema.Role{schema.RoleMark, schema.RoleOther, schema.RoleCorridor, schema.RoleKeepout} {
		for _, g := range r.Of(role) {
			if g == f || !g.usable() || r.clamped(g) || isPatch(g) || !g.bound.Intersects(box) {
				continue
			}
			found := false
			g.raised(func(q raised) {
				found = found || math.Abs(q.h-p.h) <= stepRiseM && distance(q.ground, p.ground) <= tiltReachM
			})
			if found {
				return true
			}
		}
	}
	return false
}

// tellsOfPit reports whether a hazard, a building or a drop lies at or in a
// keep-out.
func (r *run) tellsOfPit(f *Feature) bool {
	for _, role := range [...]schema.Role{schema.RoleHazard, schema.RoleBuilding, schema.RoleEdge} {
		for _, g := range r.Of(role) {
			if g.bound.Pad(bankBesideM+g.reachDrawn()).Intersects(f.bound) && (role != schema.RoleEdge || edgeKind(g) == schema.EdgeDrop) {
				return true
			}
		}
	}
	return false
}
