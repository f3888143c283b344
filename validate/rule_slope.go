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

// saySlope is what the page of the rule says of this.
const saySlope = "" +
	"The steepest rise between heights of the plan, in percent: of a zone the greater of the slope of the plane that fits its points best and the rise " +
	"between any two points at least 2 m apart whose joining line stays inside the zone; along every stretch of a corridor of at least 2 m. " +
	"What a zone or corridor says of itself in slope_percent or slope_deg is held to the same limit. " +
	"Against slope_edge_max_percent, as a warning: the slope of that plane and the rise along every stretch of at least 2 m of the outline; as an error where the outline or a corridor runs within 2 m of a drop, water or a road, or, going down, straight towards one within 5 m. " +
	"Against dock_slope_max_percent, the way between a dock and the last point of the corridor that serves it, where the machine lines up. Heights are those of the points; ground between them may be steeper. "

var slopeRules = []Rule{{
	Name: RuleSlopeLimit, Severity: Error, Limits: []string{"slope_max_percent", "slope_edge_max_percent", "dock_slope_max_percent", "step_max_m"}, Over: one(schema.RoleZone, schema.RoleCorridor), run: checkSlopeLimit,
	Page: Page{
		What: saySlope,
		Parts: []Part{
			{"Steps, dips and humps", sayBreak + sayStep + sayMeet},
			{"Heights in mown ground", sayFar + sayMown + sayPairs + sayLines + sayDeep + saySlide},
			{"Flush edges, ramps, kerbs and gates that are driven over", sayDriven + sayWays + sayRamps},
			{"Ways that slope to a side", sayAcross + sayAbreast},
			{"Ground that falls beside what is driven", sayFall + sayUnder},
			{"Docks", sayTilt + sayDock},
			{"Heights that cannot be true, and what is said of slopes", sayAway + sayPlace + saySaid + sayZero + sayContour},
		},
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
	hard := r.graveEdges()
	memory := r.scratchOf()
	for _, f := range r.usableOf(schema.RoleZone) {
		asked++
		r.saysSteep(f)
		if r.clamped(f) {
			clamped++
			r.cannot("the heights of %s are clamped to the ground, and so are none of the ground", f.describe())
			continue
		}
		buf := slices.Grow(memory.raised[:0], f.countPoints())
		memory.raised = buf
		pts, missing := buf, 0
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
			r.outlineSlope(f, pts, hard)
			if len(r.findings) == found {
				r.saysEdge(f, hard)
			}
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
			if hard != nil {
				r.lineSlope(f, l, r.of(f).SlopeEdgeMaxPercent, Error, hardWords, hard)
			}
			if !steep[f] {
				r.breaks(f, l)
			}
		}
		if len(r.findings) == found {
			r.saysEdge(f, hard)
		}
		if known {
			heights++
		} else {
			r.cannot("%s has no heights", f.describe())
		}
	}
	for _, f := range r.usableOf(schema.RoleDock) {
		r.saysSteep(f)
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
	for i := range pts {
		p := &pts[i]
		mx, my, mh = mx+p.ground[0]/n, my+p.ground[1]/n, mh+p.h/n
	}
	var xx, xy, yy, xh, yh float64
	for i := range pts {
		p := &pts[i]
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
		if s.percent > limit+1e-9 && (by == nil || beside(l.Ground[at[a]:at[b]+1], by, rise)) {
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

// hardWords say beside what.
const hardWords = " beside a drop, water or a road"

// slideM is how far in metres a machine that slides down a slope goes on straight
// (common practice, no source).
const slideM = 5.0

// beside reports whether a line that rises so much from its start comes within
// slopeBaseM of something, or leads straight down to it.
func beside(l orb.LineString, near *plane.Gauge, rise float64) bool {
	if _, _, _, ok := plane.NewGauge(l).Within(near, slopeBaseM); ok {
		return true
	}
	from, to := l[0], l[len(l)-1]
	if rise > 0 {
		from, to = to, from
	}
	length := distance(from, to)
	if length < slackM {
		return false
	}
	t := slideM / length
	_, _, _, ok := plane.NewGauge(orb.LineString{to, {to[0] + t*(to[0]-from[0]), to[1] + t*(to[1]-from[1])}}).Within(near, slackM)
	return ok
}

// graveEdges is where a machine that slides must not come: drops, water and roads,
// and what may be one; nil for nothing.
func (r *run) graveEdges() *plane.Gauge {
	var all orb.Collection
	for _, f := range r.usableOf(schema.RoleEdge) {
		if edgeKind(f) == schema.EdgeDrop {
			for _, l := range f.lines() {
				all = append(all, l)
			}
		}
	}
	for _, f := range r.usableOf(schema.RoleHazard) {
		if !kindsOf(f).grave() {
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
// beside a drop, water or a road are errors.
func (r *run) outlineSlope(f *Feature, pts []raised, hard *plane.Gauge) {
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
			if hard != nil {
				r.lineSlope(f, l, limit, Error, hardWords, hard)
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
