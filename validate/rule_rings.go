// Rules on rings: what OGC Simple Features calls valid, and what it allows but
// a machine should not be given. All of it is decided on the coordinates as
// read.

package validate

import (
	"fmt"
	"math"

	"github.com/paulmach/orb"

	"swardline/schema"
	"swardline/validate/plane"
)

var ringRules = []Rule{
	{
		Name: RuleRingOpen, Severity: Error, Mendable: true, run: checkRingOpen,
		Page: Page{
			What:   "An outline or hole whose last point is not its first; the gap is measured on the ground.",
			Why:    "Readers differ in what they do with an open outline: some close it with a straight line, some drop it. The gap may be a missing stretch of the survey.",
			Source: sourceOGC + "; RFC 7946, 3.1.6",
			Fails:  "a square of four points whose first is not repeated at the end, gap 10 m",
			Passes: "the same square with its first point repeated as the fifth",
			Mend:   "repeat the first point at the end, after making sure that no stretch is missing: where mend, or a conversion, closes more than 0.05 m by a straight line, geometry-unfit stays unchecked until somebody has looked and says so",
		},
	},
	{
		Name: RuleRingTooFewPoints, Severity: Error, run: checkTooFewPoints,
		Page: Page{
			What:   "An outline or hole of fewer than three different points.",
			Why:    "Two points enclose nothing. A keep-out of no area keeps nothing out.",
			Source: sourceOGC,
			Fails:  "a keep-out of two points, there and back",
			Passes: "a keep-out of three points that enclose some ground",
			Mend:   "survey the missing points, or remove the feature",
		},
	},
	{
		Name: RuleRingRepeatedPoint, Severity: Warning, Mendable: true, run: checkRepeatedPoint,
		Page: Page{
			What:   "Points of an outline that stand exactly where the point before them stands, counted by outline. OGC Simple Features allows them.",
			Why:    "A machine that steers from point to point finds no bearing between two equal ones; some stop there, some turn on the spot.",
			Source: sourcePractice,
			Fails:  "a square with one corner twice in a row",
			Passes: "the same square with every corner once",
			Mend:   "remove the repetitions",
		},
	},
	{
		Name: RuleRingSpike, Severity: Warning, Mendable: true, run: checkSpike,
		Page: Page{
			What:   "A point at which an outline turns back along its own line; the length of the spike is measured on the ground. The outline crosses itself there too, and that rule says so.",
			Why:    "A spike encloses nothing, but the machine drives out along it and back, over whatever is there.",
			Source: sourceOGC,
			Fails:  "a square with a point 3 m outside one side, reached and left along one line",
			Passes: "the same square without the point",
			Mend:   "remove the tip",
		},
	},
	{
		Name: RuleRingCrossesItself, Severity: Error, run: checkCrossesItself,
		Page: Page{
			What:   "An outline that crosses, touches or runs along itself, and parts of one feature that overlap. Of a crossing the area of the smaller loop is measured, of a shared stretch its length.",
			Why:    "Which side is inside changes at the crossing: the machine mows what should be left and leaves what should be mown, or refuses the outline.",
			Source: sourceOGC,
			Fails:  "a square whose last two corners are exchanged: a bow tie",
			Passes: "the same corners in their order",
			Mend:   "put the points in the order in which they stand on the ground",
		},
	},
	{
		Name: RuleRingDirection, Severity: Warning, Mendable: true, run: checkDirection,
		Page: Page{
			What: "The sense in which an outline runs, in the terms of the file it was read from. In GeoJSON and KML an outline runs anticlockwise and a hole clockwise. " +
				"In CSV and GPX points stand in drive order: zones clockwise, keep-outs anticlockwise, and holes against their outline; other outlines have no drive order. " +
				"Drawings (DXF), TopoJSON and LandXML promise nothing, so the rule applies to none of their outlines; a plan that is converted from them runs as the format it is written in has it.",
			Why:    "Where drive order matters, an outline turned round puts the blade side and the discharge on the wrong side of the outline, and mows the keep-out instead of the zone on machines that read it so.",
			Source: "RFC 7946, 3.1.6; OGC 07-147r2 (KML 2.2), 10.8; drive order: " + schema.SourcePractice,
			Fails:  "a zone in a CSV list of points whose points run anticlockwise",
			Passes: "the same zone with its points in reverse order, the first kept first",
			Mend:   "reverse the outline",
		},
	},
	{
		Name: RuleHoleOutsideShell, Severity: Error, run: checkHoleOutside,
		Page: Page{
			What:   "A hole that lies outside its outline or crosses it; what sticks out is measured on the ground.",
			Why:    "The part outside is no hole in anything, and the outline where the two cross is not the one that was meant.",
			Source: sourceOGC,
			Fails:  "a square zone with a hole that reaches 2 m past one side",
			Passes: "the same hole moved inwards until it lies inside",
			Mend:   "move the hole, or draw the outline round it",
		},
	},
	{
		Name: RuleHolesOverlap, Severity: Error, run: checkHolesOverlap,
		Page: Page{
			What:   "Two holes of one polygon that cross, share a stretch of line or lie in one another; the width (diameter of the largest circle) and the area of what they share are measured, or the length of the stretch.",
			Why:    "What two holes share is a hole for one reader and ground to mow for another.",
			Source: sourceOGC,
			Fails:  "a zone with two square holes that overlap by 1 m",
			Passes: "the same holes drawn as one",
			Mend:   "join the holes into one, or draw them apart",
		},
	},
	{
		Name: RuleInteriorSplit, Severity: Error, run: checkInteriorSplit,
		Page: Page{
			What:   "Rings that touch one another at points and together cut the inside of the polygon in two.",
			Why:    "What is drawn as one zone is two, joined at a point that no machine passes.",
			Source: sourceOGC,
			Fails:  "a square zone with a diamond-shaped hole whose tips touch two opposite sides",
			Passes: "the same hole touching one side only",
			Mend:   "draw two zones, or pull the outlines apart",
		},
	},
	{
		Name: RuleCurveCoarse, Severity: Warning, Limits: []string{"curve_chord_m"}, Over: one(schema.RoleZone, schema.RoleKeepout), run: checkCurveCoarse,
		Page: Page{
			What: "How far the straight lines between drawn points cut into the curve that they stand for. Arcs are fitted through the points of zones and keep-outs; " +
				"a stretch of radius r between points an angle a apart cuts in by r(1 - cos(a/2)), so a circle of n points by r(1 - cos(pi/n)). An ellipse is fitted through a whole outline of nine points or more. Straight stretches and corners have no arc. " +
				"Curves drawn with one or two chords look like corners and cannot be told from them; whether five even points stand for a circle is unchecked. An outline of five, six or eight corners whose name says pentagon, hexagon or octagon, in ten languages, is what it says. " +
				"The true curve of a hazard, a building or an edge bulges beyond its chords: told where it is a closed outline of 5 to 12 corners evenly on a circle, or an arc of six points or more, and mown ground or a corridor on its outer side lies within what it cuts off and the margin of the thing; and where four corners or more one after the other turn one way by 8 to 50 degrees, alike in turn and sides within 2.5 times, as of ellipses and of ponds walked round by hand (of a whole outline of eight corners or more up to 65 degrees): there a side of the length L between corners that turn by a lies L/2 tan(a/4) inside; and where 7 to 30 corners of a closed outline all lie on one ellipse, within 0.015 m. " +
				"Rectangles, their corners cut off or not, are none. " +
				"What is called round, circular or oval, in ten languages, and is no road, by its name or its hazard_kind, stands for a curve through its corners even where it has three to seven; a fountain, tank, silo, trampoline, well or carousel of three or four even sides that says no square may stand for one, and is unchecked where that curve comes so near; so is a keep-out that is called round, has three or four corners and no hazard or building in it. " +
				"Whether a thing has true corners there it is for you to know.",
			Why:    "A keep-out round a tree drawn with eight points lets the machine 8 % of the radius nearer to the trunk than the person with the survey rod meant.",
			Source: "plane geometry: the sagitta of a chord",
			Fails:  "a keep-out round a tree, radius 2 m, of 8 points: 0.152 m, limit 0.03 m",
			Passes: "the same circle of 24 points: 0.017 m",
			Mend:   "add points along the curve",
		},
	},
}

// mostFindings is how many findings of one rule a feature may give. A ring of n
// points can cross itself n*n/4 times, and nobody reads more.
const mostFindings = 20

// outlined calls visit with every feature that has polygons and valid
// coordinates, and records what cannot be judged.
func (r *run) outlined(visit func(f *Feature, s *solid)) {
	any := false
	for _, f := range r.Features {
		if len(f.Areas) == 0 {
			continue
		}
		any = true
		if f.Invalid != "" {
			r.cannot("%s has invalid coordinates", f.describe())
			continue
		}
		visit(f, r.solidOf(f))
	}
	if !any {
		r.notNeeded("the plan has no active feature with a polygon")
	}
}

// ringOf returns one ring of a feature, as read and on the ground.
func (f *Feature) ringOf(w plane.Where) (read, ground orb.Ring) {
	a := &f.Areas[w.Polygon]
	return a.Read[w.Ring], a.Ground[w.Ring]
}

// ringWords names a ring: "the outline", "hole 2", "the outline of part 3".
func (f *Feature) ringWords(w plane.Where) string {
	s := "the outline"
	if w.Ring > 0 {
		s = fmt.Sprintf("hole %d", w.Ring)
	}
	if len(f.Areas) > 1 {
		s += fmt.Sprintf(" of part %d", w.Polygon+1)
	}
	return s
}

// measurable reports whether the feature's ground coordinates can be measured.
func (r *run) measurable(f *Feature) bool { return r.Frame != FrameNone && f.usable() }

// faultAt returns the place of a fault and, when it can be measured, the ground
// point. A fault that stands at a vertex takes that vertex; any other is put on
// its segment on the ground by the share of the way that it stands along it.
func (r *run) faultAt(f *Feature, w plane.Where, at orb.Point) (*Place, orb.Point) {
	read, ground := f.ringOf(w)
	if w.Segment < 0 || w.Segment >= len(read) {
		if len(read) == 0 {
			return nil, orb.Point{math.NaN(), math.NaN()}
		}
		w.Segment = 0
	}
	next := (w.Segment + 1) % len(read)
	a, b := read[w.Segment], read[next]
	p := ground[w.Segment]
	switch {
	case at == a:
	case at == b:
		p = ground[next]
	default:
		t := 0.0
		if d := distance(a, b); d > 0 {
			t = math.Min(1, distance(a, at)/d)
		}
		q := ground[next]
		p = orb.Point{p[0] + t*(q[0]-p[0]), p[1] + t*(q[1]-p[1])}
	}
	return r.placeRead(f, at, p), p
}

// eachFault runs visit over the faults of the wanted kinds, up to mostFindings
// a feature, and says on the last finding how many more there are. Two rings
// that meet at several places are one fault of n places.
func (r *run) eachFault(want func(x plane.Fault) bool, visit func(f *Feature, x plane.Fault, n int)) {
	r.outlined(func(f *Feature, s *solid) {
		before, more := len(r.findings), 0
		for i, x := range s.faults {
			if !want(x) {
				continue
			}
			n := 1
			if x.Kind == plane.RingsCross || x.Kind == plane.RingsOverlap {
				if n = s.places[i]; n == 0 {
					continue // an earlier one stands for it
				}
			}
			if len(r.findings)-before >= mostFindings {
				more++
				continue
			}
			visit(f, x, n)
		}
		if more > 0 {
			r.findings[len(r.findings)-1].Message += fmt.Sprintf(" (and at %d more places)", more)
		}
	})
}

// places words how often two rings meet.
func places(n int) string {
	if n == 1 {
		return ""
	}
	return fmt.Sprintf(" at %d places", n)
}

// ringsOverlap measures the ground that two rings share: the diameter of the
// largest circle in it, and its area.
func (r *run) ringsOverlap(f *Feature, x *Finding, a, b plane.Where) {
	_, one := f.ringOf(a)
	_, two := f.ringOf(b)
	shared, err := plane.Intersection(orb.MultiPolygon{{one}}, orb.MultiPolygon{{two}})
	if err != nil || len(shared) == 0 {
		return // a ring that crosses itself: its own finding stands
	}
	_, depth := plane.GreatestDepth(shared, depthTolerance)
	x.Measured, x.Limit, x.Unit = 2*depth, 0, "m"
	x.AreaM2 = plane.Area(shared)
	x.Trace = r.trace(shared[0][0]...)
	x.Message += fmt.Sprintf("; they share %s of ground", squareMetres(x.AreaM2))
}

func kinds(list ...plane.Kind) func(plane.Fault) bool {
	return func(x plane.Fault) bool {
		for _, k := range list {
			if x.Kind == k {
				return true
			}
		}
		return false
	}
}

func checkRingOpen(r *run) {
	r.eachFault(kinds(plane.RingOpen), func(f *Feature, x plane.Fault, n int) {
		read, ground := f.ringOf(x.A)
		first, last := ground[0], ground[len(ground)-1]
		z := r.finding(r.placeRead(f, read[len(read)-1], last), f)
		z.Message = f.ringWords(x.A) + " is not closed"
		if r.measurable(f) {
			z.Measured, z.Limit, z.Unit = distance(first, last), 0, "m"
			z.Trace = r.trace(last, first)
			z.Message += ": its ends are " + metres(z.Measured) + " apart"
		}
	})
}

func checkTooFewPoints(r *run) {
	r.eachFault(kinds(plane.TooFewPoints), func(f *Feature, x plane.Fault, n int) {
		read, _ := f.ringOf(x.A)
		different := map[orb.Point]bool{}
		for _, p := range read {
			different[p] = true
		}
		at := (*Place)(nil)
		if len(read) > 0 {
			at, _ = r.faultAt(f, plane.Where{Polygon: x.A.Polygon, Ring: x.A.Ring}, read[0])
		}
		z := r.finding(at, f)
		z.Measured, z.Limit, z.Unit = float64(len(different)), 3, "count"
		z.Message = fmt.Sprintf("%s has %s; it takes three to enclose anything", f.ringWords(x.A), plural(len(different), "different point"))
	})
}

func checkRepeatedPoint(r *run) {
	r.outlined(func(f *Feature, _ *solid) {
		for i := range f.Areas {
			for k, ring := range f.Areas[i].Read {
				n, first, mendable := 0, -1, true
				for v := 1; v < len(ring); v++ {
					if ring[v] == ring[v-1] {
						mendable = mendable && f.Areas[i].sameHeight(k, v, v-1)
						n++
						if first < 0 {
							first = v
						}
					}
				}
				if n == 0 || len(ring) == 2 { // two equal points are too few, not repeated
					continue
				}
				z := r.finding(r.placeRead(f, ring[first], f.Areas[i].Ground[k][first]), f)
				z.Measured, z.Limit, z.Unit = float64(n), 0, "count"
				z.Message = fmt.Sprintf("%s repeats %s", f.ringWords(plane.Where{Polygon: i, Ring: k}), plural(n, "point"))
				if !mendable {
					z.Mendable = false
					z.Message += " with another height"
				}
			}
		}
	})
}

// sameHeight reports whether two vertices of a ring have one height, or none.
func (a *Area) sameHeight(ring, v, w int) bool {
	if a.Heights == nil || a.Heights[ring] == nil {
		return true
	}
	x, y := a.Heights[ring][v], a.Heights[ring][w]
	return x == y || math.IsNaN(x) && math.IsNaN(y)
}

func checkSpike(r *run) {
	r.eachFault(kinds(plane.RingSpike), func(f *Feature, x plane.Fault, n int) {
		r.spike(f, x)
	})
}

// spike adds a finding about a spike.
func (r *run) spike(f *Feature, x plane.Fault) *Finding {
	at, tip := r.faultAt(f, x.A, x.At)
	_, base := r.faultAt(f, x.A, x.To)
	z := r.finding(at, f)
	z.Message = f.ringWords(x.A) + " runs out to a point and back along the same line"
	if r.measurable(f) {
		z.Measured, z.Limit, z.Unit = distance(tip, base), 0, "m"
		z.Trace = r.trace(base, tip)
		z.Message += " for " + metres(z.Measured)
	}
	z.Mendable = true
	return z
}

func isParts(x plane.Fault) bool { return x.A.Polygon != x.B.Polygon }

func checkCrossesItself(r *run) {
	self := kinds(plane.SelfCross, plane.SelfTouch, plane.SelfOverlap, plane.RingSpike)
	parts := kinds(plane.RingsCross, plane.RingsOverlap, plane.RingsEqual, plane.ShellInShell)
	r.eachFault(func(x plane.Fault) bool { return self(x) || parts(x) && isParts(x) }, func(f *Feature, x plane.Fault, n int) {
		if x.Kind == plane.RingSpike {
			r.spike(f, x)
			return
		}
		at, p := r.faultAt(f, x.A, x.At)
		z := r.finding(at, f)
		name := f.ringWords(x.A)
		switch x.Kind {
		case plane.SelfCross:
			z.Message = name + " crosses itself"
		case plane.SelfTouch:
			z.Message = name + " touches itself"
		case plane.SelfOverlap:
			z.Message = name + " runs along itself"
		case plane.RingsCross:
			z.Message = name + " crosses " + f.ringWords(x.B) + places(n)
		case plane.RingsOverlap:
			z.Message = name + " runs along " + f.ringWords(x.B) + places(n)
		case plane.RingsEqual:
			z.Message = name + " has the same points as " + f.ringWords(x.B)
		default:
			z.Message = name + " lies inside " + f.ringWords(x.B)
		}
		if !r.measurable(f) {
			return
		}
		switch x.Kind {
		case plane.SelfCross, plane.SelfTouch:
			_, ground := f.ringOf(x.A)
			if loop, ok := loopArea(ground, x.A.Segment, x.B.Segment, p); ok {
				z.Measured, z.Limit, z.Unit = loop, 0, "m2"
				z.Message += " and cuts off a loop of " + squareMetres(loop)
			}
		case plane.RingsCross, plane.RingsEqual, plane.ShellInShell:
			r.ringsOverlap(f, z, x.A, x.B)
		case plane.SelfOverlap, plane.RingsOverlap:
			_, q := r.faultAt(f, x.A, x.To)
			z.Measured, z.Limit, z.Unit = distance(p, q), 0, "m"
			z.Trace = r.trace(p, q)
			z.Message += " for " + metres(z.Measured)
		}
	})
}

// loopArea returns the area of the smaller of the two loops into which a ring
// falls when its segments i and k meet at p.
func loopArea(ring orb.Ring, i, k int, p orb.Point) (float64, bool) {
	if i > k {
		i, k = k, i
	}
	if i < 0 || k >= len(ring) || i == k {
		return 0, false
	}
	loop := make(orb.Ring, 0, k-i+2)
	loop = append(loop, p)
	loop = append(loop, ring[i+1:k+1]...)
	loop = append(loop, p)
	rest := make(orb.Ring, 0, len(ring)-(k-i)+2)
	rest = append(rest, p)
	rest = append(rest, ring[k+1:]...)
	rest = append(rest, ring[:i+1]...)
	rest = append(rest, p)
	return math.Min(plane.Area(loop), plane.Area(rest)), true
}

func checkDirection(r *run) {
	promised := false
	r.outlined(func(f *Feature, s *solid) {
		w := f.Source.Winding
		if w == schema.WindingUnstated {
			w = r.Plan.Source.Winding
		}
		if w == schema.WindingUnstated || w == schema.WindingDriven && f.Role != schema.RoleZone && f.Role != schema.RoleKeepout {
			return
		}
		promised = true
		crossed := map[[2]int]bool{}
		for _, x := range s.faults {
			switch x.Kind {
			case plane.SelfCross, plane.SelfTouch, plane.SelfOverlap, plane.TooFewPoints:
				crossed[[2]int{x.A.Polygon, x.A.Ring}] = true
			}
		}
		for i := range f.Areas {
			for k, ring := range f.Areas[i].Read {
				where := plane.Where{Polygon: i, Ring: k}
				if crossed[[2]int{i, k}] {
					r.cannot("%s has too few points or meets itself, so it runs in no one direction", f.describe())
					continue
				}
				turn := plane.Turn(ring)
				if turn == 0 {
					continue
				}
				want := w.Anticlockwise(f.Role, k > 0)
				if (turn > 0) == want {
					continue
				}
				z := r.finding(r.placeRead(f, ring[0], f.Areas[i].Ground[k][0]), f)
				z.Message = fmt.Sprintf("%s runs %s; %s", f.ringWords(where), sense(!want), promise(w, f.Role, k > 0))
			}
		}
	})
	if !promised {
		// A drawing's polylines run as they were drawn, TopoJSON's arcs as they
		// came: there is nothing to hold them to, and nothing that would.
		if r.needless == "" {
			r.notNeeded("neither the plan's format nor anything in it promises that its outlines run one way or the other")
		}
	}
}

func sense(anticlockwise bool) string {
	if anticlockwise {
		return "anticlockwise"
	}
	return "clockwise"
}

// promise says what the source promises, in its own terms.
func promise(w schema.Winding, role schema.Role, hole bool) string {
	what := string(role) + "s"
	if w == schema.WindingStandard {
		what = "outlines"
	}
	if hole {
		what = "holes of " + string(role) + "s"
		if w == schema.WindingStandard {
			what = "holes"
		}
	}
	if w == schema.WindingDriven {
		return fmt.Sprintf("in drive order %s run %s", what, sense(w.Anticlockwise(role, hole)))
	}
	return fmt.Sprintf("in a polygon as the format's standard has it, %s run %s", what, sense(w.Anticlockwise(role, hole)))
}

func checkHoleOutside(r *run) {
	among := kinds(plane.RingsCross, plane.RingsOverlap, plane.RingsEqual)
	r.eachFault(func(x plane.Fault) bool {
		return x.Kind == plane.HoleOutsideShell || among(x) && !isParts(x) && (x.A.IsShell() || x.B.IsShell())
	}, func(f *Feature, x plane.Fault, n int) {
		hole, shell := x.A, x.B
		if hole.IsShell() {
			hole, shell = shell, hole
		}
		at, p := r.faultAt(f, x.A, x.At)
		z := r.finding(at, f)
		name := f.ringWords(hole)
		switch x.Kind {
		case plane.HoleOutsideShell:
			z.Message = name + " lies outside the outline"
		case plane.RingsCross:
			z.Message = name + " crosses the outline" + places(n)
		case plane.RingsOverlap:
			z.Message = name + " runs along the outline" + places(n)
		default:
			z.Message = name + " has the same points as the outline"
		}
		if !r.measurable(f) {
			return
		}
		_, holeGround := f.ringOf(hole)
		_, shellGround := f.ringOf(shell)
		switch x.Kind {
		case plane.RingsOverlap:
			_, q := r.faultAt(f, x.A, x.To)
			z.Measured, z.Limit, z.Unit = distance(p, q), 0, "m"
			z.Message += " for " + metres(z.Measured)
			z.Trace = r.trace(p, q)
		case plane.RingsCross, plane.HoleOutsideShell:
			if len(shellGround) < 3 {
				return // the hole of nothing
			}
			reach, worst := reachOutside(holeGround, shellGround)
			z.Measured, z.Limit, z.Unit = reach, 0, "m"
			z.Message += ": it reaches " + metres(reach) + " outside"
			z.Trace = r.trace(p, worst)
		}
	})
}

// reachOutside returns the greatest distance from an area of those vertices
// that lie outside it, and the vertex; 0 when none does.
func reachOutside(ring, area orb.Ring) (float64, orb.Point) {
	l := plane.NewLocator(area)
	most, at := 0.0, ring[0]
	for _, p := range ring {
		if d := -l.Depth(p); d > most && !math.IsInf(d, 1) {
			most, at = d, p
		}
	}
	return most, at
}

// distanceToSegment is the distance from p to the segment ab.
func distanceToSegment(p, a, b orb.Point) float64 {
	return distance(p, nearestOn(p, a, b))
}

// nearestOn returns the point of the segment ab that is nearest to p.
func nearestOn(p, a, b orb.Point) orb.Point {
	dx, dy := b[0]-a[0], b[1]-a[1]
	l2 := dx*dx + dy*dy
	if !(l2 > 0) {
		return a
	}
	t := ((p[0]-a[0])*dx + (p[1]-a[1])*dy) / l2
	switch {
	case t <= 0:
		return a
	case t >= 1:
		return b
	}
	return orb.Point{a[0] + t*dx, a[1] + t*dy}
}

func checkHolesOverlap(r *run) {
	among := kinds(plane.RingsCross, plane.RingsOverlap, plane.RingsEqual)
	r.eachFault(func(x plane.Fault) bool {
		return x.Kind == plane.HoleInHole || among(x) && !isParts(x) && !x.A.IsShell() && !x.B.IsShell()
	}, func(f *Feature, x plane.Fault, n int) {
		at, p := r.faultAt(f, x.A, x.At)
		z := r.finding(at, f)
		verb := "crosses"
		switch x.Kind {
		case plane.HoleInHole:
			verb = "lies inside"
		case plane.RingsOverlap:
			verb = "runs along"
		case plane.RingsEqual:
			verb = "has the same points as"
		}
		z.Message = fmt.Sprintf("%s %s %s%s", f.ringWords(x.A), verb, f.ringWords(x.B), places(n))
		switch {
		case !r.measurable(f):
		case x.Kind == plane.RingsOverlap:
			_, q := r.faultAt(f, x.A, x.To)
			z.Measured, z.Limit, z.Unit = distance(p, q), 0, "m"
			z.Trace = r.trace(p, q)
		default:
			r.ringsOverlap(f, z, x.A, x.B)
		}
	})
}

func checkInteriorSplit(r *run) {
	r.eachFault(kinds(plane.InteriorSplit), func(f *Feature, x plane.Fault, n int) {
		at, _ := r.faultAt(f, x.A, x.At)
		z := r.finding(at, f)
		if x.A.Ring == x.B.Ring {
			z.Message = f.ringWords(x.A) + " touches itself and cuts the inside in two"
			return
		}
		z.Message = fmt.Sprintf("%s touches %s, and together they cut the inside in two", f.ringWords(x.A), f.ringWords(x.B))
	})
}
