// Crowns of trees that hang down to the machine, of hazard-uncovered.

package validate

import (
	"fmt"
	"math"
	"strings"

	"github.com/paulmach/orb"

	"swardline/schema"
	"swardline/validate/plane"
)

// lowestCrownM is the least height in metres at which a crown begins over a
// machine: the antenna that stands on it, machine_antenna_m as long as nobody says
// otherwise, and 0.1 m by which twigs sink when they are wet and wheels rise
// (starting value from memory).
const lowestCrownM = 0.6

// crownWords are properties that say how wide a crown is, folded and without
// their unit: those with a word for a radius are one, the rest are its diameter
// (common practice, no source).
var crownWords = func() map[string]float64 {
	out := map[string]float64{}
	for _, w := range strings.Fields("crown crownwidth crownsize crowndiameter crownspread canopy canopywidth canopydiameter canopyspread spread treespread " +
		"kronendurchmesser kronenbreite couronne copa kroon kroondiameter chioma krone kronediameter krona krondiameter") {
		out[w] = 0.5
	}
	for _, w := range strings.Fields("crownradius canopyradius kronenradius kroonstraal kroneradius kronradie") {
		out[w] = 1
	}
	return out
}()

// lowCrown reports whether the feature is a tree whose crown begins lower than a
// machine is high.
func (f *Feature) lowCrown() bool {
	base, ok := f.Float(schema.PropCrownBaseM)
	return ok && base >= 0 && base < lowestCrownM-1e-9 && f.Role == schema.RoleHazard && isTree(f)
}

// crownRadius is half of how wide in metres the feature says that its crown is,
// the most of several; 0 for nothing.
func (f *Feature) crownRadius() float64 {
	most := 0.0
	for _, a := range f.Attributes {
		if share, ok := crownWords[withoutUnit(a.Key)]; ok {
			if v, ok := lengthSaid(a.Key, a.Value); ok && v*share > most && v*share < MaxSpanM {
				most = v * share
			}
		}
	}
	return most
}

// crownGrowth is how far in metres a crown that hangs down to the machine reaches
// out from what is drawn of its tree, 0 for none.
func (f *Feature) crownGrowth() float64 {
	if !f.lowCrown() {
		return 0
	}
	return math.Max(0, f.crownRadius()-f.halfDrawn())
}

// halfDrawn is half of how wide the outlines of a feature are, the least of
// several; 0 where it has none.
func (f *Feature) halfDrawn() float64 {
	least := math.Inf(1)
	if len(f.Lines)+len(f.Points) > 0 {
		return 0
	}
	for i := range f.Areas {
		if len(f.Areas[i].Ground) > 0 {
			_, short := sidesOf(f.Areas[i].Ground[0])
			least = math.Min(least, short/2)
		}
	}
	if math.IsInf(least, 1) {
		return 0
	}
	return least
}

// hiddenCrowns records trees whose crown hangs down to the machine and of which
// nobody says how wide it is, no farther from mown ground or a way than a crown
// reaches: sizelessReachM, or as far as the tree is high.
func (r *run) hiddenCrowns(hazards []*Feature, zones *solids, corridors []corridorLine) {
	for _, f := range hazards {
		if !f.lowCrown() || f.crownRadius() > 0 || f.halfDrawn()+f.reachDrawn() > mostTrunkM+slackM {
			continue // what is wider than any trunk is the crown
		}
		reach := float64(sizelessReachM)
		if height, ok := f.Float(schema.PropHeightM); ok && height > 0 {
			reach = math.Min(reach, height)
		}
		if h := r.hazardShape(f); h.why == "" && r.nearMownOrWay(h.geometry(), h.bound.Pad(reach), reach, zones, corridors) {
			base, _ := f.Float(schema.PropCrownBaseM)
			r.cannot("the crown of %s begins %s above the ground, lower than a machine is high, and it says not how wide it is: give it crown_radius_m, draw its outline, or correct crown_base_m", f.describe(), metres(base))
		}
	}
}

// risingCrowns tells trees whose crown begins high enough above their foot, and no
// more above mown ground or a way that rises under it: by the heights of what is
// driven and of the rims in it, and straight from the foot to those that lie farther
// off than the crown reaches, up to fallReachM.
func (r *run) risingCrowns(hazards []*Feature, zones *solids, corridors []corridorLine) {
	for _, f := range hazards {
		base, ok := f.Float(schema.PropCrownBaseM)
		if !ok || !f.hasHeights || !isTree(f) || f.lowCrown() || r.clamped(f) {
			continue
		}
		foot, top := f.heightRange()
		reach := f.crownRadius()
		if height, ok := f.Float(schema.PropHeightM); reach == 0 && ok && height > 0 {
			reach = math.Min(float64(sizelessReachM), height)
		}
		h := r.hazardShape(f)
		centre := h.bound.Center()
		if reach == 0 || foot != top || foot == 0 || h.why != "" || !r.nearMownOrWay(centre, centre.Bound().Pad(reach), reach, zones, corridors) {
			continue
		}
		rise, at, of := 0.0, raised{}, (*Feature)(nil)
		for _, g := range r.Features {
			switch g.Role {
			case schema.RoleZone, schema.RoleCorridor, schema.RoleKeepout:
			case schema.RoleEdge:
				if !isDrivenOver(edgeKind(g)) {
					continue
				}
			default:
				continue
			}
			if !g.usable() || !g.hasHeights || r.clamped(g) || !g.bound.Pad(fallReachM).Contains(centre) {
				continue
			}
			look := func(p raised) {
				d := distance(centre, p.ground)
				up := p.h - foot
				if d > fallReachM || p.h == 0 || p.h != p.h {
					return
				}
				if d > reach {
					up *= reach / d
				}
				if up > rise {
					rise, at, of = up, p, g
				}
			}
			for _, side := range r.edgeHeights(g).sides {
				look(side[0])
				look(side[1])
				look(heightOn(&side, centre))
			}
		}
		if left := base - rise; of != nil && left < lowestCrownM-slackM {
			x := r.finding(r.Place(centre), f, of)
			x.Severity = Warning
			x.Measured, x.Limit, x.Unit = left, lowestCrownM, "m"
			x.Trace = r.trace(centre, at.ground)
			x.Message = fmt.Sprintf("its crown begins %s above its foot, and the ground of %s rises by %s under it: %s are left above the ground, and a machine with its antenna needs %s; cut the branches, put the keep-out round the crown and take the ground under it off the lawn, or correct the heights", metres(base), of.describe(), metres(rise), metresPast(left, lowestCrownM), metres(lowestCrownM))
		}
	}
}

// nearMownOrWay reports whether mown ground, or what the machine covers in a
// corridor, comes within reach of a geometry, whose box is that much larger.
func (r *run) nearMownOrWay(g orb.Geometry, box orb.Bound, reach float64, zones *solids, corridors []corridorLine) bool {
	if g == nil {
		return false
	}
	gauge := plane.NewGauge(g)
	for _, i := range zones.near(box) {
		if n := r.netOf(i); len(n.areas) > 0 {
			if _, _, _, ok := n.within(gauge, reach); ok {
				return true
			}
		}
	}
	for k := range corridors {
		if half := r.halfWidth(corridors[k].f); boundOf(corridors[k].pts).Pad(half).Intersects(box) {
			if _, _, _, ok := gauge.Within(plane.NewGauge(corridors[k].pts), reach+half); ok {
				return true
			}
		}
	}
	return false
}
