// The rules on tracks: driven-*.

package validate

import (
	"fmt"
	"math"
	"sort"

	"swardline/schema"
)

const drivenSource = "common practice, no source: what was driven is compared with what was planned"

var drivenRules = []Rule{
	{Name: RuleDrivenMissed, Severity: Warning, Limits: []string{"gap_min_m2", "machine_width_m"}, Over: all(schema.RoleZone), run: judgeMissed, Page: Page{
		What: "The pieces of each zone, keep-outs taken off, that the machine's width never went over between two fixed positions no more than 10 s and 5 m apart, counted in cells of 0.05 m (wider on sites of more than 15 hectares). " +
			"Whether the blades turned is not in a log.",
		Why:    "Grass stands where nobody mowed; a strip left out again and again is a passage too narrow, a position lost, or a plan that has moved.",
		Source: drivenSource,
		Fails:  "a strip of 0.3 m by 20 m between two passes, 6 m2, limit 0.5 m2",
		Passes: "a zone gone over whole but for a corner of 0.2 m2",
		Mend:   "look at the place: what was in the way, or was the position lost there",
	}},
	{Name: RuleDrivenEntersKeepout, Severity: Error, Limits: []string{"driven_depth_m", "driven_seconds"}, Over: all(schema.RoleKeepout), run: judgeEntered, Page: Page{
		What: "Every visit of fixed positions to a keep-out: how long it lasted, and the depth that 95 of 100 of its positions stay within, so that one position gone astray does not count. It is a finding when it was both deeper and longer than the limits. " +
			"The position is that of the antenna, not of the blades. Where no other fixed position comes within 10 s of one so deep, it is left open.",
		Why:    "A keep-out is drawn round something that blades must not meet.",
		Source: drivenSource,
		Fails:  "5 s as deep as 0.3 m in a flower bed, limits 0.1 m and 2 s",
		Passes: "one position 2 m inside, among others outside",
		Mend:   "stop the machine and find out why: the plan it holds, the base, or the position",
	}},
	{Name: RuleDrivenEntersHazard, Severity: Error, Limits: []string{"driven_depth_m", "driven_seconds"}, Over: all(schema.RoleHazard), run: judgeEntered, Page: Page{
		What:   "As driven-enters-keepout, for hazards that have an area, or points and lines with a radius.",
		Why:    "The machine was in the pond, on the road or over the drop.",
		Source: drivenSource,
		Fails:  "5 s as deep as 0.3 m in a pond",
		Passes: "a track along its edge",
		Mend:   "stop the machine and find out why: the plan it holds, the base, or the position",
	}},
	{Name: RuleDrivenEntersBuilding, Severity: Error, Limits: []string{"driven_depth_m", "driven_seconds"}, Over: all(schema.RoleBuilding), run: judgeEntered, Page: Page{
		What:   "As driven-enters-keepout, for buildings. No machine drives through a wall, so a track inside is a position that is wrong although it says that it is fixed, a building drawn in the wrong place, or a base that moved.",
		Why:    "What is wrong beside the house is wrong on the lawn.",
		Source: drivenSource,
		Fails:  "10 s as deep as 0.4 m in a shed",
		Passes: "a track along its wall",
		Mend:   "look at the base and at the sky beside the building",
	}},
	{Name: RuleDrivenLeavesBoundary, Severity: Error, Limits: []string{"driven_depth_m", "driven_seconds"}, Over: all(schema.RoleBoundary), run: judgeEntered, Page: Page{
		What:   "As driven-enters-keepout, for the ground outside the property: only boundaries that close count.",
		Why:    "A bladed machine on the neighbour's ground or on the pavement.",
		Source: drivenSource,
		Fails:  "5 s as far as 0.3 m beyond the boundary",
		Passes: "a track inside",
		Mend:   "stop the machine and find out why: the plan it holds, the base, or the position",
	}},
	{Name: RuleDrivenLeavesZone, Severity: Warning, Limits: []string{"driven_depth_m", "driven_seconds", "machine_width_m", "dock_standoff_m", "dock_reach_m"}, Over: all(schema.RoleZone), run: judgeEntered, Page: Page{
		What:   "As driven-enters-keepout, for the ground outside all zones, half the machine's width beside each corridor, and the way of each dock as far as its line-up point and the dock's reach.",
		Why:    "The machine mowed, or drove, where the plan does not send it.",
		Source: drivenSource,
		Fails:  "8 s as far as 0.4 m outside a zone",
		Passes: "a track that turns 0.05 m outside its zone",
		Mend:   "look whether the machine holds this plan, and at the base",
	}},
	{Name: RuleDrivenOffCorridor, Severity: Warning, Limits: []string{"driven_corridor_m"}, Over: all(schema.RoleCorridor), run: judgeCorridors, Page: Page{
		What:   "How far from the line of each corridor 95 of 100 fixed positions stay, outside of zones and docks and within 1 m of the line.",
		Why:    "A corridor is often no wider than the machine needs.",
		Source: drivenSource,
		Fails:  "95 of 100 positions within 0.25 m, limit 0.15 m",
		Passes: "95 of 100 within 0.05 m",
		Mend:   "look at the wheels' grip on the corridor, at the sky above it, and at the base",
	}},
	{Name: RuleDrivenOffDock, Severity: Warning, Limits: []string{"dock_reach_m", "dock_approach_deg", "driven_dock_spread_m"}, Over: all(schema.RoleDock), run: judgeDocked, Page: Page{
		What:   "How far from the line-up point the machine passed before it docked (95 of 100 dockings), how far its way there turned from the dock's heading (half of them), and how far apart the places are where it then rested. A rest is 20 s or more within 1 m of the dock.",
		Why:    "A machine that misses its dock stands in the way with an empty battery; one that rests elsewhere each time has a position that cannot be trusted beside the dock.",
		Source: drivenSource,
		Fails:  "line-up points passed at 0.4 m, reach 0.3 m",
		Passes: "line-up points passed at 0.1 m, rests 0.01 m apart",
		Mend:   "set the dock's point and heading again, and look at the sky above it",
	}},
	{Name: RuleDrivenFixLost, Severity: Warning, Limits: []string{"driven_fixed_percent"}, run: judgeFixLost, Page: Page{
		What:   "The share of the logged time between two fixed positions. Float, single and unstated positions are counted apart and judge nothing else.",
		Why:    "What is not fixed may be decimetres off, and no other rule has looked at it.",
		Source: drivenSource,
		Fails:  "90 % of the time fixed, limit 95 %",
		Passes: "99 % of the time fixed",
		Mend:   "look at sky and radio at the places where it was lost",
	}},
	{Name: RuleDrivenBaseMoved, Severity: Error, Limits: []string{"drift_unchanged_m", "drift_stop_m"}, run: judgeBaseMoved, Page: Page{
		What: "Whether the base moved. The machine steers by the very base in question, so its own log of a driven line looks right however far the base has moved; what betrays it is ground that stays: where the machine rests in its dock's contacts, a mark that it stands upon, an outline walked along an edge (--walked). " +
			"A log of a receiver on another base or a correction service (--receiver independent) shows the whole track displaced, and the lines that the machine keeps to are the evidence: corridors, and outlines of zones and keep-outs that it goes round whole, at one distance all the way (within 0.04 m, of which how far it is does not matter). " +
			"Lanes inside a zone are none. " +
			"A machine that keeps unlike distances to opposite sides looks like one that is displaced, and a line walked along an edge on the ground says nothing with such a receiver. " +
			"Where it sees the machine rest in its dock elsewhere than the plan has it, by more than drift_unchanged_m, nothing is called unchanged. " +
			"Each day is fitted by least squares, its error taken from how rests or passes of one day scatter; the last day goes through the same table of decisions as marks that are measured again. " +
			"A step between days and a trend are looked for besides. The dock's point has to be where the antenna stands when the machine is docked.",
		Why:    "The map on the screen is the same, but everything on the ground lies elsewhere.",
		Source: "rover position = stored base coordinates + measured baseline; derivation in the documentation of the package",
		Fails:  "rests in the dock 0.03 m from where they were, with a standard error of 0.003 m, limit 0.02 m",
		Passes: "rests within 0.005 m of the dock's point, which would have shown a movement of 0.015 m",
		Mend:   "measure the marks again before the machine drives on",
	}},
}

// needFixed reports whether there are fixed positions, and records when not.
func (r *run) needFixed() bool {
	if r.driving.Fixes[TrackFixed] > 0 {
		return true
	}
	r.cannot("the logs hold no position that is fixed")
	return false
}

func judgeMissed(r *run) {
	if !r.needFixed() {
		return
	}
	for i := range r.driving.Zones {
		z := &r.driving.Zones[i]
		f := r.drivenBy.zones[i].f
		if z.Why != "" {
			r.cannot("%s", z.Why)
			continue
		}
		limit := r.of(f).GapMinM2
		for _, g := range z.Missed {
			x := r.finding(g.At, f)
			x.Measured, x.Limit, x.Unit, x.AreaM2 = g.AreaM2, limit, "m2", g.AreaM2
			x.Message = fmt.Sprintf("%s of %s were not driven over; pieces up to %s pass", squareMetres(g.AreaM2), f.describe(), squareMetres(limit))
			if z.DrivenM2 == 0 {
				x.Message = f.describe() + " was not driven at all: " + squareMetres(g.AreaM2)
			}
			if len(g.Places) > 0 {
				x.Trace = g.Places[0]
			}
		}
	}
}

// judgeEntered judges the visits of the rule that is running.
func judgeEntered(r *run) {
	if !r.needFixed() {
		return
	}
	rule := r.rule.Name
	for _, role := range []schema.Role{schema.RoleKeepout, schema.RoleBuilding, schema.RoleHazard, schema.RoleBoundary, schema.RoleZone} {
		if r.rule.Over[0][0] != role {
			continue
		}
		for _, f := range r.Of(role) {
			r.sayUnmeasured(rule, f)
		}
	}
	for i := range r.driving.Entered {
		e := &r.driving.Entered[i]
		if e.Rule != rule {
			continue
		}
		f := r.byFeature(e.Feature)
		l := &r.limits
		if f != nil {
			l = r.of(f)
		}
		for k := range e.Visits {
			if v := &e.Visits[k]; v.DepthM > l.DrivenDepthM && v.Seconds > l.DrivenSeconds {
				r.visitFinding(e, v, f, l)
			}
		}
		r.untimed(e, f, l)
	}
}

// untimed leaves an entry open of which single positions tell, with none before or after
// them near enough in time to say how long it was.
func (r *run) untimed(e *DrivenEntry, f *Feature, l *schema.Limits) {
	n, worst := 0, 0.0
	for k := range e.Visits {
		if v := &e.Visits[k]; v.DepthM > l.DrivenDepthM && v.Seconds == 0 {
			n, worst = n+v.Positions, math.Max(worst, v.WorstM)
		}
	}
	if n == 0 {
		return
	}
	where := "outside all zones, corridors and docks"
	if f != nil {
		where = "at " + f.describe()
	}
	r.cannot("%s %s, up to %s past where the machine may be, with none within %s s of them: how long it was there is not known; log a position a second", plural(n, "fixed position"), where, metres(worst), trim(stepMostS, 0))
}

func (r *run) visitFinding(e *DrivenEntry, v *DrivenVisit, f *Feature, l *schema.Limits) {
	var x *Finding
	where := "outside all zones, corridors and docks"
	if f != nil {
		x = r.finding(v.At, f)
		where = map[string]string{RuleDrivenLeavesBoundary: "beyond "}[e.Rule]
		if where == "" {
			where = "in "
		}
		where += f.describe()
	} else {
		x = r.finding(v.At)
	}
	x.Measured, x.Limit, x.Unit = v.DepthM, l.DrivenDepthM, "m"
	x.Message = fmt.Sprintf("the machine was %s for %s s, %s deep for 95 of 100 positions and %s at most, at %s UTC", where, trim(v.Seconds, 1), metres(v.DepthM), metres(v.WorstM), v.From.UTC().Format("2006-01-02 15:04:05"))
	if v.Entry != nil && v.Exit != nil {
		x.Trace = []Place{*v.Entry, *v.Exit}
	}
}

// sayUnmeasured records a feature that could not be laid under the track.
func (r *run) sayUnmeasured(rule string, f *Feature) {
	if f.Role == schema.RoleZone {
		for _, z := range r.drivenBy.zones {
			if z.f == f && z.why != "" {
				r.cannot("%s", z.why)
			}
		}
		return
	}
	for _, a := range r.drivenBy.areas {
		if a.f == f || a.rule == rule && rule == RuleDrivenLeavesBoundary {
			return
		}
	}
	r.cannot("%s has no area that can be measured", f.describe())
}

// byFeature finds the active feature, nil for none.
func (r *run) byFeature(f *schema.Feature) *Feature {
	for _, x := range r.Features {
		if f != nil && x.Feature == f {
			return x
		}
	}
	return nil
}

// leastKept is how many positions a percentile of 95 needs to mean something.
const leastKept = 20

func judgeCorridors(r *run) {
	if !r.needFixed() {
		return
	}
	for i := range r.driving.Corridors {
		c := &r.driving.Corridors[i]
		f := r.byFeature(c.Feature)
		if c.Positions < leastKept {
			r.cannot("%s has %d fixed positions; %d are needed", f.describe(), c.Positions, leastKept)
			continue
		}
		if limit := r.of(f).DrivenCorridorM; c.P95M > limit {
			x := r.finding(c.At, f)
			x.Measured, x.Limit, x.Unit = c.P95M, limit, "m"
			x.Message = fmt.Sprintf("95 of 100 positions stay within %s of %s, half within %s, on %s; the limit is %s", metresPast(c.P95M, limit), f.describe(), metres(c.MedianM), map[string]string{"both": "both sides", "left": "its left", "right": "its right"}[c.Side], metres(limit))
		}
	}
}

func judgeDocked(r *run) {
	if !r.needFixed() {
		return
	}
	for i := range r.driving.Docks {
		x := &r.driving.Docks[i]
		f := r.byFeature(x.Feature)
		l := r.of(f)
		if x.Dockings == 0 {
			r.cannot("the logs never show the machine at rest in %s", f.describe())
			continue
		}
		judge := func(v, limit float64, unit, format string, args ...any) {
			if v > limit {
				y := r.finding(x.At, f)
				y.Measured, y.Limit, y.Unit = v, limit, unit
				y.Message = fmt.Sprintf(format, args...)
			}
		}
		if math.IsNaN(x.LineUpP95M) {
			r.cannot("the way to the line-up point of %s is not in the logs", f.describe())
		}
		judge(x.LineUpP95M, l.DockReachM, "m", "the machine passes the line-up point of %s at %s in 95 of 100 dockings; its reach is %s", f.describe(), metresPast(x.LineUpP95M, l.DockReachM), metres(l.DockReachM))
		judge(x.HeadingMedianDeg, l.DockApproachDeg, "deg", "the machine turns %s from the heading of %s at its line-up point; the limit is %s", degreesText(x.HeadingMedianDeg), f.describe(), degreesText(l.DockApproachDeg))
		if math.IsNaN(x.SpreadM) {
			r.cannot("%s was docked at once only, so its rests show no spread", f.describe())
		}
		judge(x.SpreadM, l.DrivenDockSpreadM, "m", "the places where the machine rests in %s spread by %s; the limit is %s", f.describe(), metresPast(x.SpreadM, l.DrivenDockSpreadM), metres(l.DrivenDockSpreadM))
	}
}

// FixedPercent is the share of the time with fixed positions, NaN without any
// time.
func (r *DrivenReport) FixedPercent() float64 {
	sum := 0.0
	for _, s := range r.Seconds {
		sum += s
	}
	return 100 * r.Seconds[TrackFixed] / sum
}

func judgeFixLost(r *run) {
	share, limit := r.driving.FixedPercent(), r.limits.DrivenFixedPercent
	if math.IsNaN(share) {
		r.cannot("no two positions of the logs follow one another closely enough to make time")
		return
	}
	if share >= limit {
		return
	}
	poor := append([]PoorRun(nil), r.driving.Poor...)
	sort.SliceStable(poor, func(i, j int) bool { return poor[i].Seconds() > poor[j].Seconds() })
	var at *Place
	words := ""
	if len(poor) > 0 {
		at = poor[0].At
		words = fmt.Sprintf("; longest without, %s s from %s UTC (%s)", trim(poor[0].Seconds(), 0), poor[0].From.UTC().Format("2006-01-02 15:04:05"), poor[0].Class)
	}
	x := r.finding(at)
	x.Measured, x.Limit, x.Unit = share, limit, "%"
	x.Message = fmt.Sprintf("positions were fixed for %s %% of the time; the limit is %s %%%s", trim(share, 2), trim(limit, 2), words)
}

func judgeBaseMoved(r *run) {
	m := &r.driving.Movement
	switch {
	case m.None != "":
		r.cannot("%s", m.None)
		return
	case m.Verdict == VerdictUnchanged:
		return
	case m.Step == nil && (m.Decision.Row == RowUntested || m.Decision.Row == RowBlind):
		r.cannot("%s", m.Why)
		return
	}
	var at *Place
	if b := r.Of(schema.RoleBase); len(b) > 0 && len(b[0].Points) > 0 && b[0].usable() {
		at = r.Place(b[0].Points[0].Ground)
	}
	x := r.finding(at, r.Of(schema.RoleBase)...)
	size := math.Hypot(m.E, m.N)
	if m.Step != nil && (m.Decision.Verdict == VerdictUnchanged || m.Decision.Row == RowUntested || m.Decision.Row == RowBlind) {
		size = math.Hypot(m.Step.E, m.Step.N)
	}
	x.Measured, x.Limit, x.Unit = size, r.limits.DriftUnchangedM, "m"
	x.Message = fmt.Sprintf("the logs say %s: %s", m.Verdict, m.Why)
	if m.Step != nil {
		x.Message += fmt.Sprintf("; the ground driven moved by E %+.3f N %+.3f m on %s", m.Step.E, m.Step.N, m.Step.Day)
	}
}
