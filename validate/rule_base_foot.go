// Where the foot of a mast is by the height of its antenna, and marks that stand off
// the ground about them: parts of the rule base-height.

package validate

import (
	"fmt"
	"math"

	"github.com/paulmach/orb"

	"swardline/schema"
	"swardline/validate/plane"
)

// Metres (common practice, no source): how near a height of the ground is to count,
// how many there are to be, what the foot of a mast and a mark may be off them, and
// the lowest antenna that grass and what lies on it do not hide.
const (
	besideFootM = 10.0
	leastBeside = 3
	footOffM    = 0.5
	markOffM    = 1.0
	lowestMastM = 0.3
	roofBesideM = 0.3
)

// mostMarksOff is how many marks are held to the ground about them.
const mostMarksOff = 100

// groundBeside is what the heights of other features of the roles within
// besideFootM of a place leave for the ground there: each of them, widened by steep,
// in metres a metre, on the way there, where that is more than 0, and all of them,
// where it is 0; both widened by how far the heights lie apart. count is how many
// there are.
func (r *run) groundBeside(not *Feature, at orb.Point, steep float64, roles ...schema.Role) (low, high float64, count int) {
	least, most := math.Inf(1), math.Inf(-1)
	low, high = math.Inf(-1), math.Inf(1)
	for _, role := range roles {
		for _, g := range r.Of(role) {
			if g == not || !g.usable() || r.clamped(g) || g.Far || !g.bound.Pad(besideFootM).Contains(at) {
				continue
			}
			g.raised(func(p raised) {
				d := distance(at, p.ground)
				if d > besideFootM {
					return
				}
				count++
				low, high = math.Max(low, p.h-steep*d), math.Min(high, p.h+steep*d)
				least, most = math.Min(least, p.h), math.Max(most, p.h)
			})
		}
	}
	if steep == 0 {
		low, high = least, most
	}
	return low - (most - least), high + (most - least), count
}

// carried reports whether a base stands on a building, a wall or what else lifts it
// above the ground, or says so.
func (r *run) carried(f *Feature, at orb.Point) bool {
	for _, text := range f.texts() {
		if saysAny(text, roofWords) || saysAny(text, topWords) || saysAny(text, mayCarry) || saysAny(text, wallWords) || saysAny(text, builtWords) {
			return true
		}
	}
	return r.atRaised(at)
}

// atRaised reports whether a place is on a building, a wall or a hazard that stands up,
// or at one.
func (r *run) atRaised(at orb.Point) bool {
	for _, role := range [...]schema.Role{schema.RoleBuilding, schema.RoleEdge, schema.RoleHazard, schema.RoleOther} {
		for _, h := range r.Of(role) {
			if !h.usable() || !h.bound.Pad(h.reachDrawn()+roofBesideM).Contains(at) ||
				role == schema.RoleEdge && edgeKind(h) != schema.EdgeWall || role == schema.RoleHazard && kindsOf(h).grave() ||
				role == schema.RoleOther && kindWord(h, roofWords, highWords, tallWords, wallWords) == "" {
				continue
			}
			if _, near := r.offThing(h, at, roofBesideM); near {
				return true
			}
		}
	}
	return false
}

// footOff tells a base whose antenna stands too low to see the sky over grass, and
// one the foot of whose mast, its antenna less antenna_height_m, is not on the ground
// beside it.
func (r *run) footOff(f *Feature, v *Vertex) {
	mast, told := f.Float(schema.PropAntennaHeight)
	if !told || !(mast > 0) || mast > highestMastM || r.carried(f, v.Ground) {
		return
	}
	tell := func(measured, limit float64, words string) {
		x := r.finding(r.placeRead(f, v.Read, v.Ground), f)
		x.Severity = Note
		x.Measured, x.Limit, x.Unit = measured, limit, "m"
		x.Message = words
	}
	if mast < lowestMastM-slackM {
		tell(mast, lowestMastM, fmt.Sprintf("its antenna_height_m is %s: so low over the ground grass, snow and water hide the sky and mirror it; is that the height above the mast's own plate? measure it from the ground, or put it at least %s up", metresPast(mast, lowestMastM), metres(lowestMastM)))
	}
	if v.Height != v.Height {
		return
	}
	low, high, count := r.groundBeside(f, v.Ground, 0, schema.RoleZone, schema.RoleCorridor, schema.RoleDock, schema.RoleMark)
	foot := v.Height - mast
	off := math.Max(foot-high, low-foot)
	if count < leastBeside || off <= footOffM+slackM {
		return
	}
	where := "above"
	if foot < low {
		where = "below"
	}
	tell(off, footOffM, fmt.Sprintf("its antenna less its antenna_height_m of %s is %s %s the ground within %s of it: is the height that of the antenna, of the mast's foot, or counted from something else? measure both again, or say by its name what it stands on", trim(mast, 3), metresPast(off, footOffM), where, metres(besideFootM)))
}

// marksOff tells marks that stand above or below the ground about them as no mark on
// it does: heights from another reference, or of something that a mark is on.
func (r *run) marksOff() {
	marks := r.usableOf(schema.RoleMark)
	if len(marks) > mostMarksOff {
		marks = marks[:mostMarksOff]
	}
	steep := r.limits.SlopeMaxPercent / 100
	more := 0
	for _, m := range marks {
		for i := range m.Points {
			p := &m.Points[i]
			if p.Height != p.Height || r.clamped(m) || m.Far {
				continue
			}
			low, high, count := r.groundBeside(m, p.Ground, steep, schema.RoleZone, schema.RoleCorridor, schema.RoleDock)
			off := math.Max(p.Height-high, low-p.Height)
			if count == 0 || off <= markOffM+slackM || r.carried(m, p.Ground) || r.stepBeside(p.Ground) {
				continue
			}
			if more++; more > mostFindings {
				continue
			}
			x := r.finding(r.placeRead(m, p.Read, p.Ground), m)
			x.Severity = Note
			x.Measured, x.Limit, x.Unit = off, markOffM, "m"
			x.Message = fmt.Sprintf("its height lies %s off that of the ground within %s of it: another height reference, a slip, or a mark on something high? whoever measures it again moves the plan by that; put it right, or say by its name what it is on", metresPast(off, markOffM), metres(besideFootM))
		}
	}
}

// stepBeside reports whether a wall, a drop, a ramp or a building lies within
// besideFootM of a place, so that the ground beyond may be higher or lower.
func (r *run) stepBeside(at orb.Point) bool {
	within := func(h *Feature) bool {
		if !h.usable() || !h.bound.Pad(h.reachDrawn()+besideFootM).Contains(at) {
			return false
		}
		shape := r.hazardShape(h)
		g := shape.geometry()
		if g == nil {
			return true
		}
		_, _, _, near := plane.NewGauge(at).Within(plane.NewGauge(g), besideFootM)
		return near
	}
	for _, e := range r.Of(schema.RoleEdge) {
		switch edgeKind(e) {
		case schema.EdgeWall, schema.EdgeDrop, schema.EdgeRamp:
			if within(e) {
				return true
			}
		}
	}
	for _, h := range r.Of(schema.RoleHazard) {
		if kindsOf(h).gravest == "drop" && within(h) {
			return true
		}
	}
	for _, b := range r.Of(schema.RoleBuilding) {
		if within(b) {
			return true
		}
	}
	return false
}
