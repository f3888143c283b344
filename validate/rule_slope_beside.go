// Heights of what lies beside ground that is driven, of slope-limit: ground that
// falls there, of which no drop tells.

package validate

import (
	"fmt"
	"math"

	"github.com/paulmach/orb"

	"swardline/schema"
	"swardline/validate/plane"
)

// sayBeside is what the page of the rule says of this.
const sayBeside = "" +
	"What lies beside a zone, a corridor or the way into a dock, of any role but water and drops and whether it is on or off, is a warning where it lies lower: within 1 m by more than 0.3 m and slope_max_percent of the distance, up to 3 m away by more than 1 m and 100 % of it, unless a drop, water or a pit within 0.5 m of the way between, or a wall or fence on it, tells of that. Walls, fences and buildings that lie so low are unchecked unless their height_m brings them 0.3 m above the ground beside. " +
	"What stands under a keep-out in a zone, within 3 m of the rim, is unchecked where it lies as much lower than the outline lets the ground lie there. "

// Within besideNearM of what is driven a height that lies lower by more than
// stepRiseM and the limit of a slope over the distance is that of ground that
// falls, farther off one that lies as low as a bank between two lawns (common
// practice, no source). A drop, water or a pit that is drawn within bankBesideM of
// the way between tells of it.
const besideNearM = 1.0

// besideWay is ground that is driven, by its outline or line.
type besideWay struct {
	f     *Feature
	sides *raisedSides
	// through is how far from its line, in metres, an edge lies on the way
	// itself and not beside it; -1 for an outline.
	through float64
}

// beside tells what lies beside mown ground, a corridor or the way into a dock and
// lower than that.
func (r *run) beside(zones *solids, outlines []*raisedSides) {
	var ways []besideWay
	high := math.Inf(-1)
	add := func(f *Feature, sides *raisedSides, through float64) {
		if len(sides.sides) > 0 {
			ways, high = append(ways, besideWay{f, sides, through}), max(high, sides.high)
		}
	}
	for i, f := range zones.features {
		add(f, outlines[i], -1)
	}
	for i := range r.corridors() {
		if c := &r.corridors()[i]; c.line.Heights != nil && !r.clamped(c.f) {
			add(c.f, c.raised(), r.halfWidth(c.f))
		}
	}
	for _, d := range r.docks() {
		if h := d.vertex.Height; h == h && !math.IsNaN(d.heading) && !r.clamped(d.f) {
			way := newRaisedSides(1)
			way.add(&raised{read: d.vertex.Read, ground: d.at, h: h}, &raised{read: d.vertex.Read, ground: d.lineup, h: h})
			add(d.f, way, r.halfWidth(d.f))
		}
	}
	more, planes := 0, make([]*tilted, len(outlines))
	look := func(f *Feature) {
		low, _ := f.heightRange()
		if !(high-low > stepRiseM) || r.clamped(f) || !f.saysGround() {
			return
		}
		var own []*raisedSides // made when first asked for
		for i := range ways {
			w := &ways[i]
			if w.f == f || !(w.sides.high-low > stepRiseM) || !f.bound.Intersects(w.sides.bound.Pad(bankReachM)) {
				continue
			}
			if own == nil {
				own = append(own, r.edgeHeights(f))
			}
			if r.lowerBeside(f, own[0], w, zones, &more) {
				return
			}
		}
	}
	for _, f := range r.Features {
		if f.usable() {
			look(f)
			r.underKeepout(f, zones, outlines, planes)
		}
	}
	offs := r.offs()
	for i := range offs {
		look(&offs[i])
		if offs[i].Role != schema.RoleKeepout { // whose rim others hold to the outline
			r.underKeepout(&offs[i], zones, outlines, planes)
		}
	}
	if more > 0 {
		r.findings[len(r.findings)-1].Message += fmt.Sprintf(" (and %d more features)", more)
	}
}

// saysGround reports whether a feature's heights are of the ground it stands on,
// and other rules do not hold them to what is driven: those of zones, corridors,
// keep-outs and docks they do, a base's is its antenna's, and water and drops lie
// lower as they should. Heights that are all 0 were never measured.
func (f *Feature) saysGround() bool {
	switch f.Role {
	case schema.RoleBase, "":
		return false
	case schema.RoleZone, schema.RoleCorridor, schema.RoleKeepout, schema.RoleDock:
		if f.Active() {
			return false
		}
	case schema.RoleEdge:
		switch edgeKind(f) {
		case schema.EdgeDrop, schema.EdgeRamp, schema.EdgeGate:
			return false
		}
	case schema.RoleHazard:
		if k := hazardKind(f); k == "water" || k == "drop" {
			return false
		}
	}
	low, high := f.heightRange()
	return low != 0 || high != 0
}

// lowerBeside tells the place of a feature that lies lowest beside a way.
func (r *run) lowerBeside(f *Feature, own *raisedSides, w *besideWay, zones *solids, more *int) bool {
	slope := r.slopeOf(w.f, f)
	worst := 1e-9
	var from, to raised // on the way, and on the feature
	var tells *plane.Gauge
	var walls []*Feature
	looked, contour := false, isContour(f)
	stands, top := f.standsBeside()
	short := 0.0 // how high the ground is that it may not stand above
	reach := bankReachM
	look := func(p, q raised) {
		d := distance(p.ground, q.ground)
		may := stepRiseM + slope/100*d
		if d > besideNearM {
			may = max(bankRiseM, bankPercent/100*d)
		}
		beyond := p.h - q.h - may
		switch {
		case !(beyond > worst) || d > reach || f.Role == schema.RoleEdge && d <= w.through:
			return
		case contour && d <= slackM: // which runs on over the lawn, between its points
			return
		}
		for _, k := range zones.near(q.ground.Bound()) {
			if zones.locator(k).Locate(q.ground) == plane.Inside && !r.keptOut(q.ground, nil) {
				return // in mown ground
			}
		}
		if !looked {
			looked = true
			tells, walls = r.besideThings(f, w.sides.bound.Pad(bankReachM), f.bound.Pad(bankReachM))
		}
		if tells != nil || len(walls) > 0 {
			way := plane.NewGauge(orb.LineString{p.ground, q.ground})
			if tells != nil {
				if _, _, _, told := way.Within(tells, bankBesideM); told {
					return
				}
			}
			if standsBetween(walls, way) != nil {
				return
			}
		}
		if d > besideNearM && r.keepoutBetween(p.ground, q.ground) {
			return // somebody knows of what lies there
		}
		if stands && top < p.h-q.h+stepRiseM {
			short = max(short, p.h-q.h)
		}
		if !stands {
			worst, from, to = beyond, p, q
		}
	}
	var found []int
	f.raised(func(q raised) {
		if !(w.sides.high-q.h > stepRiseM+worst) {
			return
		}
		found = w.sides.boxes().Search(q.ground.Bound().Pad(reach), found[:0])
		for _, k := range found {
			look(heightOn(&w.sides.sides[k], q.ground), q)
		}
	})
	for i := range own.sides {
		side := &own.sides[i]
		low := min(side[0].h, side[1].h)
		if !(w.sides.high-low > stepRiseM+worst) {
			continue
		}
		found = w.sides.boxes().Search(segmentBox(side[0].ground, side[1].ground).Pad(reach), found[:0])
		for _, k := range found {
			s := &w.sides.sides[k]
			if !(max(s[0].h, s[1].h)-low > stepRiseM+worst) {
				continue
			}
			look(s[0], heightOn(side, s[0].ground))
			look(s[1], heightOn(side, s[1].ground))
			if x := plane.Cross(side[0].ground, side[1].ground, s[0].ground, s[1].ground); x.Kind == plane.CrossProper {
				look(heightOn(s, x.P), heightOn(side, x.P))
			}
		}
	}
	if short > 0 {
		r.cannot("%s has its foot %s below %s beside it: whether it stands above that or only holds it up cannot be told; draw an edge of the kind drop along it if it only holds it up, else give it a height_m of more than %s", f.describe(), metres(short), w.f.describe(), metres(short+stepRiseM))
		return true
	}
	if worst <= 1e-9 || r.toldOf(f, w.f) {
		return false
	}
	if len(r.findings) >= mostFindings {
		*more++
		return true
	}
	r.tellBeside(f, w.f, &from, &to, worst)
	return true
}

// standsBeside reports whether a feature stands up and so holds a machine, however
// low its foot, and how high it says it is.
func (f *Feature) standsBeside() (stands bool, top float64) {
	switch k := edgeKind(f); {
	case f.Role == schema.RoleBuilding, k == schema.EdgeWall, k == schema.EdgeFence:
		top, _ = f.Float(schema.PropHeightM)
		return f.Active(), top
	}
	return false, 0
}

// tellBeside reports a place that lies lower than ground driven beside it, by worst
// more than it may.
func (r *run) tellBeside(f, way *Feature, from, to *raised, worst float64) {
	x := r.finding(r.Place(from.ground), f, way)
	x.Severity = Warning
	x.Line = f.Source.Line
	x.Measured, x.Limit, x.Unit = from.h-to.h, from.h-to.h-worst, "m"
	x.Trace = r.trace(from.ground, to.ground)
	x.Message = fmt.Sprintf("lies %s lower than %s, %s beside it, where ground that nobody drew a drop on lies no more than %s lower: draw an edge of the kind drop where it falls, or correct the heights",
		metresPast(from.h-to.h, x.Limit), way.describe(), metres(distance(from.ground, to.ground)), metres(x.Limit))
}

// keepoutBetween reports whether a keep-out lies within bankBesideM of the way
// between two places.
func (r *run) keepoutBetween(a, b orb.Point) bool {
	keepouts := r.keepouts()
	for _, k := range keepouts.near(segmentBox(a, b).Pad(bankBesideM)) {
		if _, _, _, near := plane.NewGauge(orb.LineString{a, b}).Within(keepouts.gauge(k), bankBesideM); near {
			return true
		}
	}
	return false
}

// besideThings are what tells that the ground falls where two boxes meet, nil for
// nothing, and the walls and fences there that stand before it.
func (r *run) besideThings(f *Feature, a, b orb.Bound) (tells *plane.Gauge, walls []*Feature) {
	var all orb.Collection
	for _, role := range [...]schema.Role{schema.RoleEdge, schema.RoleHazard} {
		for _, o := range r.usableOf(role) {
			if box := o.bound.Pad(bankBesideM + o.reachDrawn()); o.Feature == f.Feature || !box.Intersects(a) || !box.Intersects(b) {
				continue
			}
			if role == schema.RoleHazard {
				if k := hazardKind(o); k == "water" || k == "drop" {
					h := r.hazardShape(o)
					if g := h.geometry(); g != nil {
						all = append(all, g)
					}
				}
				continue
			}
			switch edgeKind(o) {
			case schema.EdgeWall, schema.EdgeFence:
				walls = append(walls, o)
			case schema.EdgeDrop:
				for _, l := range o.lines() {
					all = append(all, l)
				}
			}
		}
	}
	if len(all) == 0 {
		return nil, walls
	}
	return plane.NewGauge(all), walls
}

// underKeepout leaves unchecked what stands under a keep-out in mown ground, near
// its rim, and lies lower than the outline lets the ground lie there, where no
// drop, water or pit tells of that. planes are those of the outlines, made when
// first asked for.
func (r *run) underKeepout(f *Feature, zones *solids, outlines []*raisedSides, planes []*tilted) {
	low, _ := f.heightRange()
	near := zones.near(f.bound)
	if len(near) == 0 || !f.saysGround() || r.clamped(f) || f.Role == schema.RoleBoundary {
		return
	}
	keepouts := r.keepouts()
	_, top := f.standsBeside()
	for _, i := range near {
		z, outline := zones.features[i], outlines[i]
		if len(outline.sides) < 3 || outline.steep || !(outline.high-low > stepRiseM) || r.toldOf(f, z) {
			continue
		}
		slope, worst, below, away := r.slopeOf(f, z), 1e-9, 0.0, 0.0
		looks := 0
		f.raised(func(p raised) {
			if !(outline.high-p.h > stepRiseM+worst) || looks > deepLooks {
				return
			}
			if planes[i] == nil {
				planes[i] = outline.tilt()
			}
			if t := planes[i]; p.h >= t.height(p.ground)-t.off-stepRiseM {
				return // no two heights of the outline have the ground so much higher there
			}
			if zones.locator(i).Locate(p.ground) != plane.Inside {
				return
			}
			for _, k := range keepouts.near(p.ground.Bound()) {
				kept := keepouts.features[k]
				if keepouts.locator(k).Locate(p.ground) != plane.Inside || r.tellsOfFall(kept) {
					continue
				}
				d := math.Inf(1)
				for _, a := range kept.Areas {
					for _, ring := range a.Ground {
						for v := 1; v < len(ring); v++ {
							d = min(d, distanceToSegment(p.ground, ring[v-1], ring[v]))
						}
					}
				}
				if d > bankReachM {
					continue
				}
				may := stepRiseM + slope/100*d
				if d > besideNearM {
					may = max(bankRiseM, bankPercent/100*d)
				}
				looks++
				off, expected := r.deepOff(zones, outline, &p, kept)
				if math.IsInf(off, 1) || p.h+top >= expected+stepRiseM && top > 0 || !(expected > p.h) {
					continue
				}
				if off-may > worst {
					worst, below, away = off-may, expected-p.h, d
				}
			}
		})
		if below > 0 {
			r.cannot("%s lies under a keep-out in %s, %s below where its outline has the ground and %s from what is mown: whether the ground falls there cannot be told; draw an edge of the kind drop where it does, or give the keep-out's rim its heights", f.describe(), z.describe(), metres(below), metres(away))
			return
		}
	}
}

// tellsOfFall reports whether water, a pit or a drop lies at or in a keep-out.
func (r *run) tellsOfFall(f *Feature) bool {
	for _, role := range [...]schema.Role{schema.RoleHazard, schema.RoleEdge} {
		for _, g := range r.Of(role) {
			if !g.bound.Pad(bankBesideM + g.reachDrawn()).Intersects(f.bound) {
				continue
			}
			if k := hazardKind(g); role == schema.RoleHazard && (k == "water" || k == "drop") || edgeKind(g) == schema.EdgeDrop {
				return true
			}
		}
	}
	return false
}
