// Rule on steepness: slope-limit.

package validate

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"sort"
	"strconv"

	"github.com/paulmach/orb"

	"swardline/schema"
	"swardline/validate/plane"
)

var slopeRules = []Rule{{
	Name: RuleSlopeLimit, Severity: Error, Limits: []string{"slope_max_percent", "slope_edge_max_percent", "dock_slope_max_percent", "step_max_m"}, Over: one(schema.RoleZone, schema.RoleCorridor), run: checkSlopeLimit,
	Page: Page{
		What: "The steepest rise between heights of the plan, in percent: of a zone the greater of the slope of the plane that fits its points best and the rise " +
			"between any two points at least 2 m apart whose joining line stays inside the zone; along every stretch of a corridor of at least 2 m. " +
			"What a zone or corridor says of itself in slope_percent or slope_deg is held to the same limit. " +
			"Against slope_edge_max_percent, as a warning: the slope of that plane and the rise along every stretch of at least 2 m of the outline; as an error where the outline or a corridor runs within 2 m of a drop. " +
			"Against dock_slope_max_percent, the way between a dock and the last point of the corridor that serves it, where the machine lines up. Heights are those of the points; ground between them may be steeper. " +
			"Where a corridor lies in a zone, and where two zones meet or lie within passage_min_m of one another with no wall, fence or drop between them, the heights of both are compared, those between two points taken as even: " +
			"a step is one of more than 0.3 m beyond slope_max_percent of the distance between the two places, taken as at least 1 m. " +
			"Less than that but past step_max_m is unchecked where it is more than the ground may lie off the line between two points, L apart: a slope that changes by 1 % a metre takes it 0.01 t (L - t) / 2 off, t m from one of them; half of that counts where the one lies higher all along. Parts of one zone are held so to one another, and corridors that cross or run within half the machine's width of a zone, or so near to one another that no drop between them keeps its margin from the machine in both. " +
			"Between two zones the greatest is sought among all places that no wall, fence or drop stands between, which are those farther than 0.3 m, or half the machine where that is less, from all of them; where a gate or a ramp opens one the machine drives through, and there the distance counts as it is. " +
			"Heights of zones and corridors less than 2 m apart are a step where one rises above the other by more than step_max_m beyond what slope_max_percent allows over their distance (or by three standard errors, where sigma is told and that is more): " +
			"between neighbours along an outline or corridor, within one zone, between a corridor and the zone it lies in, and between zones that touch with no wall, fence or drop between them. " +
			"A bump or a row of small steps that stays within that between every two of its points is none, however it goes up and down, until over 2 m it is a slope past its limit. " +
			"The rims of holes and keep-outs, docks (those too that are driven into from the zone), and marks and other points in the mown ground (these as a warning, since they may stand on something), are compared with the outline up to 5 m from them as corridors are. " +
			"What is switched off, a zone, keep-out, mark, corridor, dock or flush edge, is compared with the outline as rims are, and with ways that lead over it as marks are, as a warning: its ground is there all the same. " +
			"So are, at any distance, all these and flush edges, corridors and zones within a zone with every stretch of its outline that only mown ground lies before, with no wall: a rise of more than 0.3 m beyond slope_max_percent is as steep somewhere on the way; a warning of marks and of the rims of keep-outs, which may be raised by that. " +
			"And rims, marks, other points and lines, flush edges, corridors and docks with one another, at any distance with mown ground and no wall between them, as steps between two features are; the rim of a keep-out and a flush edge, where they lie in mown ground, along themselves over less than 2 m by step_max_m and over 2 m and more by slope_max_percent: the worst of a zone and of a rim is a warning, since a bed may be raised, and an error of what is flush or driven, or where an outline within 5 m of both places bears their heights out to 0.3 m. " +
			"What is flush or driven over by its word, ramps and docks deep in mown ground, and what is switched off there, are unchecked where they lie more than 0.3 m, and 0.01 t (L - t) / 2, off a straight line through them between two places of the outline, L apart and t off, unless a mark, another point or line, a corridor or a rim within 3 m has their height to 0.3 m; so are the rims of keep-outs that lie lower than that, at which no hazard, building or drop is. " +
			"A flush edge in a zone, or within half the machine's width of it, is held to step_max_m against the heights of its outline, and of other flush edges with mown ground between, less than 2 m away; against what lies between two of them, taken as even, a difference past step_max_m of up to 0.3 m is unchecked, and more is a step. A ramp that a corridor or the way into a dock leads over is held to slope_max_percent by its own heights (to step_max_m where its line is shorter than 2 m) and by what it says of itself: slope_percent or slope_deg, or rise_m or height_m over length_m, or over its line where that is drawn along the way; a rise past step_max_m of no length is unchecked. One that says nothing and has no heights is held to what the kerb or drop under it says in height_m, over its length_m; past step_max_m without a length that is unchecked. Ramps are compared with corridors and ways into docks that cross them as zones are; flush edges with those that they lie on or within half the machine's width of, by step_max_m, where up to 0.3 m is unchecked; and marks and other points and lines there by 0.3 m, a warning. " +
			"Ramps, gates, kerbs and drops that such a way leads over are unchecked past step_max_m, since they may be measured at their foot or top; where the way comes from as low and goes on as high, what a ramp rises by its own word, or along the way, is let pass besides. Any two things that a way leads over less than 2 m apart are held to step_max_m beyond what slope_max_percent allows between them: unchecked where one is a ramp, gate, kerb or drop. " +
			"What has the role other with \"driven_over\": true is held as a flush edge is, the rim of an area as the edge's line; other such areas are other-in-zone's. A ramp whose line lies in a zone and in no keep-out, under no way, is held so too; one that tells its rise alone takes it over its line, unless a kerb or drop lies along it. " +
			"A ramp past step_max_m whose own words cannot be true is a warning: that rises less than what it leads over by more than that (unless it leads over two, as a bridge does), that would be longer by its length_m, or by its slope and rise, than the longest way over it, or whose rise over its line drawn along the way, and 0.6 m, is past the limit. One in mown ground under no way is held to the outline's heights as a flush edge is. " +
			"Two zones farther apart than passage_min_m and no more than 3 m, the one more than 1 m higher and at more than 100 % over the distance, are a warning: a bank that is not drawn, unless a drop, wall, fence, hazard, building or keep-out lies between. " +
			"Where a wall or fence stands between two zones within passage_min_m whose heights differ by more than 1 m it is unchecked whether it stands above the upper lawn, unless a drop, hazard, building or keep-out lies there too or its height_m is more than that by 0.3 m. " +
			"So it is said of ground within 3 m beside or below a zone, a corridor or the way into a dock, by its marks, points and lines, flush edges and what is driven over, boundaries and other ways: more than 1 m lower and at more than 100 % is such a bank, a wall within passage_min_m unchecked. " +
			"A dock is unchecked where the plane of three heights or more within 3 m of it, spread across too, is steeper than twice dock_slope_max_percent; where there are none, that of the zone it stands in or within 1 m of, else that of the heights within 10 m, or 30 m, none more than 1 m off it and with no wall or drop between; the ground below bases counts there only if it must. " +
			"What lies beside a zone, a corridor or the way into a dock, of any role but water and drops and whether it is on or off, is a warning where it lies lower: within 1 m by more than 0.3 m and slope_max_percent of the distance, up to 3 m away by more than 1 m and 100 % of it, unless a drop, water or a pit within 0.5 m of the way between, or a wall or fence on it, tells of that. Walls, fences and buildings that lie so low are unchecked unless their height_m brings them 0.3 m above the ground beside. " +
			"What stands under a keep-out in a zone, within 3 m of the rim, is unchecked where it lies as much lower than the outline lets the ground lie there. " +
			"A dock that lines up in a zone and that no corridor leads to is unchecked unless the plane of the outline, or a height within 1 m of its line-up point, has the way in no steeper than dock_slope_max_percent. " +
			"What lies higher is not compared, for it may be a roof or the top of a wall. But of every feature except a base a height more than 20 m, and half a metre for each metre between, above or below the nearest outline is a warning: heights of two references. " +
			"A lawn or corridor whose every height is 0 is unchecked, and so is a plan whose driven ground has one height, the antenna's. What zones, corridors and edges say of themselves is read as people write it (60 %, 20-35, 1:3, Neigung). " +
			"Of a feature that lacks some heights the rest are judged. Altitudes that a KML file clamps to the ground, as it does unless it says otherwise, are no heights of the ground: such a zone or corridor is unchecked, and so are other features within 3 m of those and of docks whose clamped altitudes would lie past step_max_m off all of theirs. " +
			"A contour, or a mark, point or line called a spot or a level, is unchecked there where a height in its name is more than step_max_m off its points', or they have none.",
		Why:    "On a slope past its limit a machine slides, loses its outline and can tip; wet grass takes a good part of the limit away. A dock that stands askew is missed.",
		Source: sourcePractice,
		Fails:  "a zone that rises 4.5 m over 10 m, limit 35 %; a dock 0.12 m higher than the end of the corridor 2 m in front of it, 6 %, limit 5 %; an outline that rises 0.6 m between two points 0.1 m apart",
		Passes: "the same zone with a rise of 3 m; the same dock 0.08 m higher, 4 %; an outline that rises 0.15 m there",
		Mend:   "take the steep part out of the zone, lay the corridor along the slope, or level the ground in front of the dock",
	},
}}

// slopeBaseM is the least distance over which a rise is taken: heights from RTK
// scatter by 2 to 3 cm (common practice, no source), which over 2 m is 1.5 %.
const slopeBaseM = 2.0

// slopePoints is the most vertices of a zone of which every pair is tried; of
// more an even choice is taken. slopeWork bounds pairs times vertices, because
// whether a pair sees one another takes a look at every side.
const (
	slopePoints = 400
	slopeWork   = 5e7
)

type raised struct {
	read, ground orb.Point
	h            float64
	sag          float64 // how far the ground may lie off h, 0 at a point of the plan
}

func checkSlopeLimit(r *run) {
	if !r.onGround() {
		return
	}
	asked, heights, clamped := 0, 0, 0
	steep := map[*Feature]bool{} // past the slope of their own inside
	drops := r.dropLines()
	for _, f := range r.usableOf(schema.RoleZone) {
		asked++
		r.saysSteep(f)
		if r.clamped(f) {
			clamped++
			r.cannot("the heights of %s are clamped to the ground, and so are none of the ground", f.describe())
			continue
		}
		pts := make([]raised, 0, f.countPoints())
		missing := 0
		for i := range f.Areas {
			a := &f.Areas[i]
			for k, ring := range a.Ground {
				for v := range ring {
					if v > 0 && v == len(ring)-1 && ring[v] == ring[0] {
						continue
					}
					if a.Heights == nil || a.Heights[k] == nil || math.IsNaN(a.Heights[k][v]) {
						missing++
						continue
					}
					pts = append(pts, raised{read: a.Read[k][v], ground: ring[v], h: a.Heights[k][v]})
				}
			}
		}
		if len(pts) < 3 || missing > 0 {
			r.cannot("%s has heights at %d of %d points", f.describe(), len(pts), len(pts)+missing)
		}
		if len(pts) < 2 {
			continue
		}
		heights++
		found := len(r.findings)
		if r.zoneSlope(f, pts); len(r.findings) == found {
			r.outlineSlope(f, pts, drops)
			continue
		}
		steep[f] = true
	}
	for _, f := range r.usableOf(schema.RoleCorridor) {
		asked++
		r.saysSteep(f)
		if r.clamped(f) {
			clamped++
			r.cannot("the heights of %s are clamped to the ground, and so are none of the ground", f.describe())
			continue
		}
		known := false
		found := len(r.findings)
		for _, l := range f.Lines {
			known = r.lineSlope(f, l, r.of(f).SlopeMaxPercent, Error, "", nil) || known
			steep[f] = len(r.findings) > found
			if drops != nil {
				r.lineSlope(f, l, r.of(f).SlopeEdgeMaxPercent, Error, " beside a drop", drops)
			}
		}
		if known {
			heights++
		} else {
			r.cannot("%s has no heights", f.describe())
		}
	}
	r.neverMeasured()
	r.ledges(steep)
	r.dockSlope()
	r.steps(steep)
	r.onWays()
	if heights == 0 && asked > 0 && clamped == 0 {
		r.reasons = nil
		r.cannot("no zone or corridor has heights")
	}
}

// zoneSlope finds the steepest slope a zone's heights show.
func (r *run) zoneSlope(f *Feature, pts []raised) {
	limit := r.of(f).SlopeMaxPercent
	steepest, from, to := 0.0, -1, -1
	g, off, judged := planeSlope(pts)
	if judged {
		steepest = g
	}
	chosen := pts
	lowest, highest := math.Inf(1), math.Inf(-1)
	for i := range pts {
		lowest, highest = min(lowest, pts[i].h), max(highest, pts[i].h)
	}
	if most := max(3, min(slopePoints, int(math.Sqrt(2*slopeWork/float64(len(pts)))))); len(pts) > most {
		chosen = make([]raised, 0, most)
		for i := 0; i < most; i++ {
			chosen = append(chosen, pts[i*len(pts)/most])
		}
		r.cannot("%s has %d heights; pairs of %d of them were tried", f.describe(), len(pts), most)
	}
	least := math.Max(steepest, limit) * (1 - 1e-9)
	if judged && g+100*2*off/slopeBaseM < least*(1-1e-9) {
		chosen = nil // two points rise by what the plane does, and what each is off it
	}
	for i := range chosen {
		if low, high := chosen[i].h-least*slopeBaseM/100, chosen[i].h+least*slopeBaseM/100; judged && lowest >= low && highest <= high {
			continue // as even as that, it rises to none of them
		}
		for k := i + 1; k < len(chosen); k++ {
			a, b := &chosen[i], &chosen[k]
			// Most pairs are plainly no steeper than what was found, or too
			// near.
			rise := 100 * math.Abs(b.h-a.h)
			if judged && rise < least*slopeBaseM {
				continue
			}
			dx, dy := b.ground[0]-a.ground[0], b.ground[1]-a.ground[1]
			d2 := dx*dx + dy*dy
			if judged && rise*rise < least*least*d2 || d2 < slopeBaseM*slopeBaseM*(1-1e-9) {
				continue
			}
			d := math.Hypot(dx, dy)
			if d < slopeBaseM {
				continue
			}
			judged = true
			s := 100 * math.Abs(b.h-a.h) / d
			if s > steepest && s > limit && f.sees(a.ground, b.ground) {
				steepest, from, to = s, i, k
				least = s * (1 - 1e-9)
			}
		}
	}
	if !judged {
		r.cannot("%s is too small to take a rise over %s", f.describe(), metres(slopeBaseM))
	}
	if steepest <= limit+1e-9 {
		return
	}
	var x *Finding
	if from < 0 {
		x = r.finding(r.middle(f), f)
		x.Message = fmt.Sprintf("slopes %s %% as a whole; the limit is %s %%", percentPast(steepest, limit), trim(limit, 1))
	} else {
		a, b := chosen[from], chosen[to]
		x = r.finding(r.placeRead(f, a.read, a.ground), f)
		x.Trace = r.trace(a.ground, b.ground)
		x.Message = fmt.Sprintf("rises %s over %s, %s %%; the limit is %s %%", metres(math.Abs(b.h-a.h)),
			metres(math.Hypot(b.ground[0]-a.ground[0], b.ground[1]-a.ground[1])), percentPast(steepest, limit), trim(limit, 1))
	}
	x.Measured, x.Limit, x.Unit = steepest, limit, "%"
}

// sees reports whether the straight line between two vertices of the feature
// crosses no side of it and runs through its inside.
func (f *Feature) sees(a, b orb.Point) bool {
	for i := range f.Areas {
		mid := orb.Point{(a[0] + b[0]) / 2, (a[1] + b[1]) / 2}
		if plane.Locate(mid, f.Areas[i].Ground) == plane.Outside {
			continue
		}
		for _, ring := range f.Areas[i].Ground {
			for v := range ring {
				w := v + 1
				if w == len(ring) {
					w = 0
				}
				if plane.Cross(a, b, ring[v], ring[w]).Kind == plane.CrossProper {
					return false
				}
			}
		}
		return true
	}
	return false
}

// planeSlope returns the slope in percent of the plane that fits the points best,
// and how far in metres the height of any is off it.
func planeSlope(pts []raised) (percent, off float64, ok bool) {
	t, ok := planeThrough(pts)
	return 100 * math.Hypot(t.gx, t.gy), t.off, ok
}

// planeThrough returns the plane that fits the points by least squares; ok is
// false for fewer than three points,
// and when they lie so near one line that the slope across it would be a guess:
// spread across of less than a tenth of that along, or of less than 0.5 m.
func planeThrough(pts []raised) (t tilted, ok bool) {
	n := float64(len(pts))
	if len(pts) < 3 {
		return t, false
	}
	var mx, my, mh float64
	for _, p := range pts {
		mx, my, mh = mx+p.ground[0]/n, my+p.ground[1]/n, mh+p.h/n
	}
	var xx, xy, yy, xh, yh float64
	for _, p := range pts {
		x, y, h := p.ground[0]-mx, p.ground[1]-my, p.h-mh
		xx, xy, yy, xh, yh = xx+x*x, xy+x*y, yy+y*y, xh+x*h, yh+y*h
	}
	// Eigenvalues of the scatter matrix: the spread along and across.
	half, root := (xx+yy)/2, math.Hypot((xx-yy)/2, xy)
	along, across := math.Sqrt(math.Max(0, half+root)/n), math.Sqrt(math.Max(0, half-root)/n)
	det := xx*yy - xy*xy
	if across < 0.5 || across < along/10 || !(det > 0) {
		return t, false
	}
	t = tilted{at: orb.Point{mx, my}, h: mh, gx: (xh*yy - yh*xy) / det, gy: (yh*xx - xh*xy) / det}
	for i := range pts {
		t.off = max(t.off, math.Abs(pts[i].h-t.height(pts[i].ground)))
	}
	return t, true
}

// lineSlope judges a line between vertices with heights: from each to the next
// that is at least slopeBaseM further along and to what lies just that far, and
// from each so back, so that the last stretch counts too. Of stretches that run into one another the steepest
// is reported. known is false when fewer than two vertices have a height.
//
// A rise above limit is a finding of the severity; where says beside what. With
// by, only stretches that come within slopeBaseM of it count.
func (r *run) lineSlope(f *Feature, l Line, limit float64, severity Severity, where string, by *plane.Gauge) (known bool) {
	if l.Heights == nil {
		return false
	}
	return plainlyGentle(&l, limit) || r.steepAlong(f, l, limit, severity, where, by)
}

// steepAlong is lineSlope for a line that may be steep.
func (r *run) steepAlong(f *Feature, l Line, limit float64, severity Severity, where string, by *plane.Gauge) (known bool) {
	at := make([]int, 0, len(l.Ground))        // vertices with a height
	along := make([]float64, 0, len(l.Ground)) // how far along the line they stand
	length := 0.0
	for v := range l.Ground {
		if v > 0 {
			length += distance(l.Ground[v-1], l.Ground[v])
		}
		if math.IsNaN(l.Heights[v]) {
			r.cannot("%s lacks heights at some points", f.describe())
			continue
		}
		at, along = append(at, v), append(along, length)
	}
	n := len(at)
	if n < 2 {
		return false
	}
	if along[n-1]-along[0] < slopeBaseM {
		r.cannot("%s has heights over %s only; a rise is taken over %s or more", f.describe(), metres(along[n-1]-along[0]), metres(slopeBaseM))
		return true
	}
	type stretch struct {
		from, to              int // among at
		percent, rise, length float64
	}
	var steep []stretch
	try := func(a, b int, rise, length float64) {
		s := stretch{a, b, 100 * math.Abs(rise) / length, math.Abs(rise), length}
		if s.percent > limit+1e-9 && (by == nil || beside(l.Ground[at[a]:at[b]+1], by)) {
			steep = append(steep, s)
		}
	}
	// Between two points the line is taken as even, so the steepest stretch of
	// slopeBaseM begins or ends at a point.
	height := func(k int) float64 { return l.Heights[at[k]] }
	between := func(k int, s float64) float64 {
		t := (s - along[k]) / (along[k+1] - along[k])
		return height(k) + t*(height(k+1)-height(k))
	}
	far, near := 0, 0
	for k := range at {
		for far < n && along[far]-along[k] < slopeBaseM {
			far++
		}
		if far < n {
			try(k, far, height(far)-height(k), along[far]-along[k])
			if along[far]-along[k] > slopeBaseM && along[far] > along[far-1] {
				try(k, far, between(far-1, along[k]+slopeBaseM)-height(k), slopeBaseM)
			}
		}
		for near+1 < k && along[k]-along[near+1] >= slopeBaseM {
			near++
		}
		if along[k]-along[near] >= slopeBaseM {
			try(near, k, height(k)-height(near), along[k]-along[near])
			if along[k]-along[near] > slopeBaseM && along[near+1] > along[near] {
				try(near, k, height(k)-between(near, along[k]-slopeBaseM), slopeBaseM)
			}
		}
	}
	sort.SliceStable(steep, func(a, b int) bool { return steep[a].from < steep[b].from })
	for k := 0; k < len(steep); {
		worst, to := steep[k], steep[k].to
		for k++; k < len(steep) && steep[k].from < to; k++ {
			to = max(to, steep[k].to)
			if steep[k].percent > worst.percent {
				worst = steep[k]
			}
		}
		a, b := at[worst.from], at[worst.to]
		x := r.finding(r.placeRead(f, l.Read[a], l.Ground[a]), f)
		x.Measured, x.Limit, x.Unit = worst.percent, limit, "%"
		x.Trace = r.trace(l.Ground[a : b+1]...)
		x.Severity = severity
		x.Message = fmt.Sprintf("rises %s over %s, %s %%; the limit%s is %s %%", metres(worst.rise), metres(worst.length), percentPast(worst.percent, limit), where, trim(limit, 1))
	}
	return true
}

// plainlyGentle tells, quickly, that a line has heights all along, over
// slopeBaseM or more, and that none of its sides is steeper than a limit in
// percent, so that no stretch of them is. False says nothing.
func plainlyGentle(l *Line, limit float64) bool {
	if !(limit > 1e-3 && limit < 1e6) || len(l.Ground) < 2 || len(l.Ground) > 10000 {
		return false
	}
	most := limit / 100 * (1 - 1e-6) // far more than the sums over a stretch are rounded by
	most *= most
	length := 0.0
	for v := 1; v < len(l.Ground); v++ {
		dx, dy, dh := l.Ground[v][0]-l.Ground[v-1][0], l.Ground[v][1]-l.Ground[v-1][1], l.Heights[v]-l.Heights[v-1]
		if !(dh*dh <= most*(dx*dx+dy*dy)) {
			return false
		}
		length += max(math.Abs(dx), math.Abs(dy))
	}
	return length > 1.001*slopeBaseM
}

// percentPast formats a percentage so that it does not read like the limit it
// is past.
func percentPast(v, limit float64) string {
	for decimals := 1; ; decimals++ {
		if s := strconv.FormatFloat(v, 'f', decimals, 64); decimals > 5 || trim(v, decimals) != trim(limit, decimals) {
			return s
		}
	}
}

// beside reports whether a line comes within slopeBaseM of something.
func beside(l orb.LineString, near *plane.Gauge) bool {
	_, _, _, ok := plane.NewGauge(l).Within(near, slopeBaseM)
	return ok
}

// dropLines is what a slope may end at in a drop, nil for nothing.
func (r *run) dropLines() *plane.Gauge {
	var all orb.Collection
	for _, f := range r.usableOf(schema.RoleEdge) {
		if edgeKind(f) == schema.EdgeDrop {
			for _, l := range f.lines() {
				all = append(all, l)
			}
		}
	}
	for _, f := range r.usableOf(schema.RoleHazard) {
		if k := kindsOf(f); !k.open && !slices.Contains(k.all, "drop") {
			continue
		}
		h := r.hazardShape(f)
		if g := h.geometry(); g != nil && h.why == "" {
			all = append(all, g)
		}
	}
	if len(all) == 0 {
		return nil
	}
	return plane.NewGauge(all)
}

// outlineSlope judges the outline of a zone that is nowhere steeper than the
// limit of its inside: the plane that fits it, and the rises along it, which
// beside a drop are errors.
func (r *run) outlineSlope(f *Feature, pts []raised, drops *plane.Gauge) {
	limit := r.of(f).SlopeEdgeMaxPercent
	before := len(r.findings)
	for i := range f.Areas {
		a := &f.Areas[i]
		for k, ring := range a.Ground {
			if a.Heights == nil || a.Heights[k] == nil {
				continue
			}
			l := Line{orb.LineString(a.Read[k]), orb.LineString(ring), a.Heights[k]}
			reasons := r.reasons // the zone's own pass has given them
			if drops != nil {
				r.lineSlope(f, l, limit, Error, " beside a drop", drops)
			}
			if len(r.findings) == before {
				r.lineSlope(f, l, limit, Warning, " at an outline", nil)
			}
			r.reasons = reasons
		}
	}
	if len(r.findings) > before { // the steepest place speaks for the outline
		worst := slices.MaxFunc(r.findings[before:], func(a, b Finding) int { return cmp.Compare(a.Measured, b.Measured) })
		r.findings = append(r.findings[:before], worst)
	}
	if g, _, ok := planeSlope(pts); ok && g > limit+1e-9 && g <= r.of(f).SlopeMaxPercent && len(r.findings) == before {
		x := r.finding(r.middle(f), f)
		x.Severity = Warning
		x.Measured, x.Limit, x.Unit = g, limit, "%"
		x.Message = fmt.Sprintf("slopes %s %% as a whole, and so at its outline; the limit there is %s %%", percentPast(g, limit), trim(limit, 1))
	}
}

// dockSlope judges the way from each dock to the end of the corridor that
// serves it, from their heights.
func (r *run) dockSlope() {
	for i := range r.corridors() {
		c := &r.corridors()[i]
		for k := range c.ends {
			e := &c.ends[k]
			if e.dock == nil {
				continue
			}
			h, at := math.NaN(), c.pts[e.v]
			if c.line.Heights != nil {
				h = c.line.Heights[c.at[e.v]]
			}
			if math.IsNaN(h) || math.IsNaN(e.dock.vertex.Height) {
				r.cannot("%s, or the end of %s, has no height", e.dock.f.describe(), c.f.describe())
			}
			rise, length := math.Abs(h-e.dock.vertex.Height), distance(at, e.dock.at)
			if math.IsNaN(rise) {
				continue
			}
			if length < slopeBaseM/2 {
				r.cannot("%s stands %s from the end of %s; a rise into a dock is taken over %s or more", e.dock.f.describe(), metres(length), c.f.describe(), metres(slopeBaseM/2))
				continue
			}
			limit := r.of(e.dock.f).DockSlopeMaxPercent
			if s := 100 * rise / length; s > limit+1e-9 {
				x := r.finding(r.placeRead(e.dock.f, e.dock.vertex.Read, e.dock.at), e.dock.f, c.f)
				x.Measured, x.Limit, x.Unit = s, limit, "%"
				x.Trace = r.trace(e.dock.at, at)
				x.Message = fmt.Sprintf("the way into it rises %s over %s, %s %%; the limit is %s %%", metres(rise), metres(length), percentPast(s, limit), trim(limit, 1))
			}
		}
	}
}
