// Steps in the ground, of slope-limit: heights that jump over less than a slope
// is taken over, and rims that lie off the lawn about them.

package validate

import (
	"fmt"
	"math"

	"github.com/paulmach/orb"

	"swardline/schema"
	"swardline/validate/plane"
)

// levelling is one vertex of driven ground with a height.
type levelling struct {
	raised
	f *Feature
	// chain and at tell neighbours along one line or ring, between which the
	// ground is driven, and along how far from its start they stand.
	chain, at int
	along     float64
}

// ledgeWork bounds how many pairs of heights are compared for steps, and
// ledgeViews how many sides are looked at to tell whether a pair sees another.
const ledgeWork, ledgeViews = 2e7, 5e7

// ledge is the worst step found between two features, or within one.
type ledge struct {
	from, to       *levelling
	beyond, may, d float64
	places         int
}

// ledges compares all heights of zones and corridors that stand nearer to one
// another than a slope is taken over. Features in steep have a finding that
// says as much.
func (r *run) ledges(steep map[*Feature]bool) {
	pts := r.levelled()
	boxes := make([]orb.Bound, len(pts))
	for i := range pts {
		boxes[i] = pts[i].ground.Bound()
	}
	tree := plane.NewBoxes(boxes)
	worst := map[[2]int]*ledge{}
	var order [][2]int
	var found []int
	work, views := 0, 0
	for i := range pts {
		a := &pts[i]
		found = tree.Search(a.ground.Bound().Pad(slopeBaseM), found[:0])
		if work += len(found); work > ledgeWork {
			r.cannot("the heights stand so close that not all of those within %s of one another were compared", metres(slopeBaseM))
			break
		}
		for _, k := range found {
			b := &pts[k]
			rise := math.Abs(b.h - a.h)
			if k <= i || !(rise > 0) || steep[a.f] || steep[b.f] {
				continue
			}
			d := distance(a.ground, b.ground)
			may := r.stepMay(a.f, b.f)
			beyond := rise - math.Min(r.of(a.f).SlopeMaxPercent, r.of(b.f).SlopeMaxPercent)/100*d
			if d >= slopeBaseM || beyond <= may+1e-9 {
				continue
			}
			key := [2]int{a.f.slot, b.f.slot}
			w := worst[key]
			if w != nil && beyond <= w.beyond {
				w.places++
				continue
			}
			if !r.levelBetween(a, b, d, &views) {
				continue
			}
			if w == nil {
				w = &ledge{}
				worst[key] = w
				order = append(order, key)
			}
			*w = ledge{a, b, beyond, may, d, w.places + 1}
		}
	}
	if views > ledgeViews {
		r.cannot("so many heights step that not all of them were looked at")
	}
	for _, key := range order {
		r.tellLedge(worst[key])
	}
}

// levelled are the vertices with heights of zones and corridors.
func (r *run) levelled() []levelling {
	var out []levelling
	chain := 0
	add := func(f *Feature, read, ground []orb.Point, heights []float64) {
		chain++
		along := 0.0
		for v, p := range ground {
			if v > 0 {
				along += distance(ground[v-1], p)
			}
			if heights == nil || math.IsNaN(heights[v]) || v > 0 && v == len(ground)-1 && p == ground[0] {
				continue
			}
			out = append(out, levelling{raised{read[v], p, heights[v]}, f, chain, v, along})
		}
	}
	for _, f := range r.usableOf(schema.RoleZone) {
		if r.clamped(f) {
			continue
		}
		for i := range f.Areas {
			for k, ring := range f.Areas[i].Ground {
				if h := f.Areas[i].Heights; h != nil {
					add(f, f.Areas[i].Read[k], ring, h[k])
				}
			}
		}
	}
	for _, f := range r.usableOf(schema.RoleCorridor) {
		if r.clamped(f) {
			continue
		}
		for i := range f.Lines {
			add(f, f.Lines[i].Read, f.Lines[i].Ground, f.Lines[i].Heights)
		}
	}
	return out
}

// stepMay is the step that is none: the limit, or three standard errors of the
// difference of two heights where the features tell theirs, up to the limit of
// survey-quality, which tells what lies over it.
func (r *run) stepMay(a, b *Feature) float64 {
	own := func(f *Feature) float64 {
		if q := surveyOf(f); q.sigma > 0 {
			return math.Min(q.sigma, r.of(f).SurveySigmaM)
		}
		return 0
	}
	may := math.Min(r.of(a).StepMaxM, r.of(b).StepMaxM)
	return math.Max(may, 3*math.Hypot(own(a), own(b)))
}

// levelBetween reports whether a machine drives from one of the two places to
// the other: neighbours along an outline or a corridor, places of one zone that
// see one another, a corridor and a zone where it lies in it, two zones that
// touch with no wall, fence or drop between them.
func (r *run) levelBetween(a, b *levelling, d float64, views *int) bool {
	if a.chain == b.chain && (b.at == a.at+1 || a.f.Role == schema.RoleCorridor && b.along-a.along < slopeBaseM) {
		return true
	}
	zones := r.zones()
	inside := func(p orb.Point, f *Feature) bool {
		z := zones.at(f)
		return z >= 0 && zones.locator(z).Locate(p) != plane.Outside
	}
	switch {
	case a.f == b.f && a.f.Role == schema.RoleZone:
		if *views += a.f.countPoints(); *views > ledgeViews {
			return false
		}
		return a.f.sees(a.ground, b.ground)
	case a.f.Role == schema.RoleZone && b.f.Role == schema.RoleCorridor:
		return d <= r.halfWidth(b.f) || inside(b.ground, a.f)
	case a.f.Role == schema.RoleCorridor:
		return d <= r.halfWidth(a.f)
	case d > r.halfWidth(a.f) && !inside(a.ground, b.f) && !inside(b.ground, a.f):
		return false
	}
	walls := r.stepWalls()
	if walls == nil {
		return true
	}
	_, _, _, held := plane.NewGauge(orb.LineString{a.ground, b.ground}).Within(walls, stepRiseM)
	return !held
}

func (r *run) tellLedge(w *ledge) {
	features := []*Feature{w.from.f}
	where := ""
	if w.to.f != w.from.f {
		features = append(features, w.to.f)
		where = " to " + w.to.f.describe()
	}
	x := r.finding(r.placeRead(w.from.f, w.from.read, w.from.ground), features...)
	x.Measured, x.Limit, x.Unit = w.beyond, w.may, "m"
	x.Trace = r.trace(w.from.ground, w.to.ground)
	up := "up"
	if w.to.h < w.from.h {
		up = "down"
	}
	more := ""
	if w.places > 1 {
		more = fmt.Sprintf(" (the worst of %d such pairs of points)", w.places)
	}
	limit := math.Min(r.of(w.from.f).SlopeMaxPercent, r.of(w.to.f).SlopeMaxPercent)
	x.Message = fmt.Sprintf("steps %s by %s within %s%s, %s more than a slope of %s %% does; the limit is %s: a ledge, or a height that is wrong%s",
		up, metres(math.Abs(w.to.h-w.from.h)), metres(w.d), where, metresPast(w.beyond, w.may), trim(limit, 1), metres(w.may), more)
}

// rims compares what lies inside the mown ground with the outline about it: the
// rims of holes and of keep-outs, marks and other points.
func (r *run) rims(zones *solids, outlines []*raisedSides) {
	for i, z := range zones.features {
		shell, holes := r.outlineParts(z)
		var s step
		near := func(_ orb.Point, d float64) bool { return d <= stepReachM }
		s.compare(holes, shell, near)
		if r.tellStep(&s, z, z, "at the rim of a hole, beside"); outlines[i].boxes == nil {
			continue
		}
		keepouts := r.keepouts()
		for _, k := range keepouts.near(zones.bounds[i]) {
			f := keepouts.features[k]
			rim := r.outlineHeights(f)
			s := step{ends: true} // beyond the outline a keep-out may lie on a bank
			s.compare(rim, outlines[i], func(p orb.Point, d float64) bool {
				return d <= stepReachM && zones.locator(i).Locate(p) != plane.Outside && !r.keptOut(p, f)
			})
			r.tellStep(&s, f, z, "at its rim, beside the outline of")
		}
		for _, role := range [...]schema.Role{schema.RoleMark, schema.RoleOther} {
			for _, f := range r.usableOf(role) {
				r.pointStep(f, z, zones.locator(i), outlines[i])
			}
		}
	}
}

// pointStep tells a point in the mown ground whose height does not go with the
// outline near it; it may stand on something, so that is a warning.
func (r *run) pointStep(f, z *Feature, inside *plane.Locator, outline *raisedSides) {
	if r.clamped(f) {
		return
	}
	for _, v := range f.Points {
		if math.IsNaN(v.Height) || inside.Locate(v.Ground) == plane.Outside || r.keptOut(v.Ground, nil) {
			continue
		}
		k, d := outline.boxes.Nearest(v.Ground, func(k int) float64 {
			return distanceToSegment(v.Ground, outline.sides[k][0].ground, outline.sides[k][1].ground)
		})
		if k < 0 || d > stepReachM {
			continue
		}
		var s step
		s.take(raised{v.Read, v.Ground, v.Height}, heightOn(&outline.sides[k], v.Ground))
		if r.tellStep(&s, f, z, "beside the outline of") {
			r.findings[len(r.findings)-1].Severity = Warning
		}
	}
}

// keptOut reports whether a place lies inside a keep-out other than f.
func (r *run) keptOut(p orb.Point, f *Feature) bool {
	keepouts := r.keepouts()
	for _, k := range keepouts.near(p.Bound()) {
		if keepouts.features[k] != f && keepouts.locator(k).Locate(p) == plane.Inside {
			return true
		}
	}
	return false
}

// outlineParts are the sides of a zone's outlines, shells and holes apart.
func (r *run) outlineParts(f *Feature) (shell, holes *raisedSides) {
	shell, holes = &raisedSides{}, &raisedSides{}
	for i := range f.Areas {
		for k, ring := range f.Areas[i].Ground {
			to := shell
			if k > 0 {
				to = holes
			}
			r.addSides(to, f, i, k, ring)
		}
	}
	return shell.index(), holes.index()
}
