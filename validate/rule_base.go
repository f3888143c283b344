// Rules on the RTK base: base-missing, base-range.

package validate

import (
	"fmt"
	"math"

	"github.com/paulmach/orb"

	"swardline/crs"
	"swardline/schema"
)

var baseRules = []Rule{
	{
		Name: RuleBaseMissing, Severity: Error, run: checkBaseMissing,
		Page: Page{
			What:   "Whether the plan has an active base with a point. Of two that stand within 5 m of one another, or within 15 m where their names begin alike (Mast 2024, Mast 2026), a warning says so: one mast entered twice, or before and after a move, and which of them holds is missing. A base drawn with several points that are not one is an error.",
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
			What:   "The distance on the ground from the base to the farthest point of every active zone, corridor and dock. Of several bases one must reach the whole feature. A millimetre is rounding.",
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
	found := false
	for _, f := range r.Of(schema.RoleBase) {
		found = found || len(f.Points) > 0
		r.onePointEach(f)
	}
	if !found {
		r.finding(nil).Message = "the plan has no active base"
		return
	}
	r.basesTwice()
}

// onePointEach tells a base of several points: an antenna has one, and every rule
// would take the first.
func (r *run) onePointEach(f *Feature) {
	if len(f.Points) < 2 {
		return
	}
	first, at := f.Points[0], -1
	far := 0.0
	for i, p := range f.Points {
		d := distance(p.Ground, first.Ground)
		if d > far || math.Abs(p.Height-first.Height) > slackM && at < 0 {
			far, at = math.Max(far, d), i
		}
	}
	if at < 0 || !(far > slackM) && !(math.Abs(f.Points[at].Height-first.Height) > slackM) {
		return
	}
	x := r.finding(r.placeRead(f, f.Points[at].Read, f.Points[at].Ground), f)
	x.Measured, x.Unit = far, "m"
	x.Trace = r.trace(first.Ground, f.Points[at].Ground)
	x.Message = fmt.Sprintf("has %d points, up to %s apart, and an antenna has one: which of them the corrections come from is missing; keep that one, and make a base of its own for each other mast", len(f.Points), metres(far))
}

// basesTwice tells bases that stand as near to one another as no two masts do.
func (r *run) basesTwice() {
	if r.Frame == FrameNone {
		return
	}
	bases := r.Of(schema.RoleBase)
	if len(bases) > mostBases {
		bases = bases[:mostBases]
	}
	for i, a := range bases {
		for _, b := range bases[i+1:] {
			if !a.usable() || !b.usable() || len(a.Points) == 0 || len(b.Points) == 0 {
				continue
			}
			p, q := a.Points[0], b.Points[0]
			d := distance(p.Ground, q.Ground)
			limit := sameMastM
			if oneMast(a.Name, b.Name) {
				limit = movedMastM
			}
			if d > limit+slackM {
				continue
			}
			x := r.finding(r.placeRead(a, p.Read, p.Ground), a, b)
			x.Severity = Warning
			x.Measured, x.Limit, x.Unit = d, limit, "m"
			x.Trace = r.trace(p.Ground, q.Ground)
			x.Message = fmt.Sprintf("stands %s from %s: one mast entered or measured twice, or before and after it was moved, and the corrections come from one of them; take the wrong one out", metres(d), b.describe())
			if up := math.Abs(p.Height - q.Height); up > slackM {
				x.Message += fmt.Sprintf(" (their heights differ by %s)", metres(up))
			}
		}
	}
}

// movedMastM is how near to one another, in metres, two masts whose names begin
// alike are taken for one (common practice, no source).
const movedMastM = 15.0

// oneMast reports whether the names of two bases begin with one word.
func oneMast(a, b string) bool {
	x, y := letterWords(a), letterWords(b)
	return len(x) > 0 && len(y) > 0 && x[0] == y[0]
}

// countPoints is how many vertices the feature has.
func (f *Feature) countPoints() int {
	n := len(f.Points)
	for i := range f.Areas {
		for _, ring := range f.Areas[i].Read {
			n += len(ring)
		}
	}
	for i := range f.Lines {
		n += len(f.Lines[i].Read)
	}
	return n
}

// vertices calls visit with every vertex of the feature.
func (f *Feature) vertices(visit func(read, ground orb.Point)) {
	f.eachVertex(func(read, ground orb.Point) bool {
		visit(read, ground)
		return true
	})
}

// eachVertex is vertices until more returns false.
func (f *Feature) eachVertex(more func(read, ground orb.Point) bool) {
	for i := range f.Areas {
		for k, ring := range f.Areas[i].Read {
			for v := range ring {
				if !more(ring[v], f.Areas[i].Ground[k][v]) {
					return
				}
			}
		}
	}
	for i := range f.Lines {
		for v := range f.Lines[i].Read {
			if !more(f.Lines[i].Read[v], f.Lines[i].Ground[v]) {
				return
			}
		}
	}
	for i := range f.Points {
		if !more(f.Points[i].Read, f.Points[i].Ground) {
			return
		}
	}
}

// readBound is the box of the vertices as read, empty for none.
func (f *Feature) readBound() orb.Bound {
	b := emptyBox()
	for i := range f.Areas {
		for _, ring := range f.Areas[i].Read {
			enlargeAll(&b, ring)
		}
	}
	for i := range f.Lines {
		enlargeAll(&b, f.Lines[i].Read)
	}
	for i := range f.Points {
		enlarge(&b, f.Points[i].Read)
	}
	return b
}

func checkBaseRange(r *run) {
	if r.Frame == FrameNone && (r.Plan.CRS == nil || r.Plan.CRS.Kind() == crs.KindGeocentric) {
		r.onGround()
		return
	}
	bases := r.rangeBases()
	if len(bases) == 0 {
		r.cannot("the plan has no active base with usable coordinates")
		return
	}
	asked := false
	for _, role := range [...]schema.Role{schema.RoleZone, schema.RoleCorridor, schema.RoleDock} {
		for _, f := range r.Of(role) {
			if f.Invalid != "" {
				r.cannot("%s has invalid coordinates", f.describe())
				continue
			}
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
			x.Message = fmt.Sprintf("reaches %s from %s, past its range of %s", metresPast(bestM, limit), best.describe(), metres(limit))
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
	if f.Far || r.Frame == FrameNone { // flat ground does not reach there
		from = nil
	}
	chord := r.chordFrom(base)
	most := -1.0
	var read, ground orb.Point
	f.vertices(func(p, q orb.Point) {
		var d float64
		if from != nil {
			d = from(q)
		} else {
			d = chord(p)
		}
		if d > most {
			most, read, ground = d, p, q
		}
	})
	return most, r.placeRead(f, read, ground)
}

// rangeFrom returns what measures the distance from a base to a point on the
// ground, NaN where that cannot be told. A base beyond the reach of flat ground
// is measured by straight line through the earth, as the baseline of a receiver
// is.
func (r *run) rangeFrom(base *Feature) func(orb.Point) float64 {
	b := base.Points[0]
	if !base.Far || r.Frame != FrameEarth {
		return func(q orb.Point) float64 { return distance(q, b.Ground) }
	}
	far, ok := r.tangentAt(base)
	if !ok {
		return func(orb.Point) float64 { return math.Inf(1) }
	}
	return func(q orb.Point) float64 {
		lon, lat, ok := r.GroundToLonLat(q)
		if !ok {
			return math.NaN()
		}
		return far.chord(lon, lat)
	}
}

// tangentAt is the tangent plane at a base; ok is false when it cannot be
// placed.
func (r *run) tangentAt(base *Feature) (t tangent, ok bool) {
	if r.Plan.CRS == nil {
		return t, false
	}
	flat := []float64{base.Points[0].Read[0], base.Points[0].Read[1]}
	if r.Plan.CRS.ToGeodetic(flat, 2) != nil {
		return t, false
	}
	a, fl := ellipsoidOf(r.Plan.CRS)
	return newTangent(a, fl, flat[0], flat[1], r.H), true
}

// chordFrom returns what measures the distance in a straight line through the
// earth from a base to a vertex as read, at any distance.
func (r *run) chordFrom(base *Feature) func(read orb.Point) float64 {
	if r.Plan.CRS == nil {
		b := base.Points[0].Read
		return func(p orb.Point) float64 { return distance(p, b) }
	}
	t, ok := r.tangentAt(base)
	return func(p orb.Point) float64 {
		flat := []float64{p[0], p[1]}
		if !ok || r.Plan.CRS.ToGeodetic(flat, 2) != nil {
			return math.Inf(1)
		}
		return t.chord(flat[0], flat[1])
	}
}

// rangeBases returns the active bases that a range can be measured from; of
// more than mostBases the first, which is recorded.
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
