// Rules on the RTK base: base-missing, base-range.

package validate

import (
	"fmt"
	"math"

	"github.com/paulmach/orb"

	"swardline/schema"
)

var baseRules = []Rule{
	{
		Name: RuleBaseMissing, Severity: Error, run: checkBaseMissing,
		Page: Page{
			What:   "Whether the plan has an active base with a point.",
			Why:    "Every coordinate of the plan hangs from the base antenna. Without it nobody can tell whether the plan still lies where it was measured.",
			Source: sourcePractice,
			Fails:  "a plan with zones and a dock but no base",
			Passes: "the same plan with a point of the role base",
			Mend:   "add the base antenna as measured, with its frame and epoch",
		},
	},
	{
		Name: RuleBaseRange, Severity: Error, Limits: []string{"base_range_m"}, Over: one(schema.RoleZone, schema.RoleCorridor, schema.RoleDock), run: checkBaseRange,
		Page: Page{
			What:   "The distance on the ground from the base to the farthest vertex of every active zone, corridor and dock. Of several bases one must reach the whole feature.",
			Why:    "Past the reach of the radio the machine loses its corrections and stops, or worse, keeps driving on a position that is metres off.",
			Source: sourcePractice,
			Fails:  "a zone with a corner 520 m from the base, limit 500 m",
			Passes: "the same zone with the base moved 50 m nearer",
			Mend:   "move the base, add a second one, or shorten the zone",
		},
	},
}

// mostBases is how many bases are tried for each feature.
const mostBases = 50

func checkBaseMissing(r *run) {
	for _, f := range r.Of(schema.RoleBase) {
		if len(f.Points) > 0 {
			return
		}
	}
	r.finding(nil).Message = "the plan has no active base"
}

// vertices calls visit with every vertex of the feature.
func (f *Feature) vertices(visit func(read, ground orb.Point)) {
	for i := range f.Areas {
		for k, ring := range f.Areas[i].Read {
			for v := range ring {
				visit(ring[v], f.Areas[i].Ground[k][v])
			}
		}
	}
	for i := range f.Lines {
		for v := range f.Lines[i].Read {
			visit(f.Lines[i].Read[v], f.Lines[i].Ground[v])
		}
	}
	for i := range f.Points {
		visit(f.Points[i].Read, f.Points[i].Ground)
	}
}

func checkBaseRange(r *run) {
	if !r.onGround() {
		return
	}
	bases := r.rangeBases()
	if len(bases) == 0 {
		r.cannot("the plan has no active base with usable coordinates")
		return
	}
	asked := false
	for _, role := range [...]schema.Role{schema.RoleZone, schema.RoleCorridor, schema.RoleDock} {
		for _, f := range r.usableOf(role) {
			asked = true
			var best *Feature
			bestM, bestAt := math.Inf(1), (*Place)(nil)
			for _, b := range bases {
				if m, at := r.farthestFrom(b, f); m < bestM {
					best, bestM, bestAt = b, m, at
				}
			}
			limit := r.of(f).BaseRangeM
			if best == nil || bestM <= limit+slackM {
				continue
			}
			x := r.finding(bestAt, f, best)
			x.Measured, x.Limit, x.Unit = bestM, limit, "m"
			x.Message = fmt.Sprintf("reaches %s from %s, past its range of %s", metres(bestM), best.describe(), metres(limit))
		}
	}
	if !asked {
		r.cannot("the plan has no active zone, corridor or dock")
	}
}

// farthestFrom returns the distance from a base to the feature's vertex that is
// farthest off; a distance from a point is greatest at a vertex.
func (r *run) farthestFrom(base, f *Feature) (float64, *Place) {
	from := r.rangeFrom(base)
	most := -1.0
	var read, ground orb.Point
	f.vertices(func(p, q orb.Point) {
		if d := from(q); d > most {
			most, read, ground = d, p, q
		}
	})
	return most, r.placeRead(f, read, ground)
}

// rangeFrom returns what measures the distance from a base to a point on the ground,
// NaN where that cannot be told. A base beyond the reach of flat ground is measured by
// straight line through the earth, as the baseline of a receiver is.
func (r *run) rangeFrom(base *Feature) func(orb.Point) float64 {
	b := base.Points[0]
	if !base.Far || r.Frame != FrameEarth {
		return func(q orb.Point) float64 { return distance(q, b.Ground) }
	}
	flat := []float64{b.Read[0], b.Read[1]}
	if r.Plan.CRS.ToGeodetic(flat, 2) != nil {
		return func(orb.Point) float64 { return math.Inf(1) }
	}
	a, fl := ellipsoidOf(r.Plan.CRS)
	far := newTangent(a, fl, flat[0], flat[1], r.H)
	return func(q orb.Point) float64 {
		lon, lat, ok := r.GroundToLonLat(q)
		if !ok {
			return math.NaN()
		}
		return far.chord(lon, lat)
	}
}

// rangeBases returns the active bases that a range can be measured from; of more than
// mostBases the first, which is recorded.
func (r *run) rangeBases() []*Feature {
	var bases []*Feature
	for _, b := range r.Of(schema.RoleBase) {
		if b.Invalid == "" && len(b.Points) > 0 {
			bases = append(bases, b)
		}
	}
	if len(bases) > mostBases {
		r.cannot("the plan has %d bases; only the first %d were tried", len(bases), mostBases)
		bases = bases[:mostBases]
	}
	return bases
}
