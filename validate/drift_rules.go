// What a displacement breaks: the rules drift-*.

package validate

import (
	"fmt"
	"math"
	"slices"
	"sort"

	"github.com/paulmach/orb"

	"swardline/crs"
	"swardline/schema"
	"swardline/validate/plane"
)

// driftRules are the rules on a displacement. The driven ground is
// the active zones less the keep-outs, and the corridors with the machine's half
// width; each rule compares it, displaced, with the ground as it is.
var driftRules = []Rule{
	{Name: RuleDriftEntersHazard, Severity: Error, Limits: []string{"drift_unchanged_m"}, Over: all(schema.RoleHazard), against: schema.RoleHazard, weight: stops, run: judgeEnters, Page: Page{
		What:   "How far the displaced driven ground reaches into a hazard: the greatest distance inside, and the area. What lay in the hazard before is not counted.",
		Why:    "The map on the screen is the same, but the machine now drives into the pond.",
		Source: "rover position = stored base coordinates + measured baseline; derivation in the documentation of the package",
		Fails:  "a zone whose keep-out leaves 0.3 m round a pond, displaced by 0.5 m towards it",
		Passes: "the same zone displaced by 0.2 m",
		Mend:   "stop the machine, set the base right or correct the plan, and measure the marks again",
	}},
	{Name: RuleDriftCrossesEdge, Severity: Error, Limits: []string{"drift_unchanged_m"}, Over: all(schema.RoleEdge), against: schema.RoleEdge, weight: stops, run: judgeEnters, Page: Page{
		What:   "How far the displaced driven ground reaches over a wall, kerb, fence or drop. Flush edges are driven over and do not count.",
		Why:    "The machine runs into the wall or over the drop.",
		Source: "as drift-enters-hazard",
		Fails:  "a zone 0.1 m from a wall, displaced by 0.3 m towards it",
		Passes: "the same zone displaced along the wall",
		Mend:   "stop the machine, set the base right or correct the plan",
	}},
	{Name: RuleDriftLeavesBoundary, Severity: Error, Limits: []string{"drift_unchanged_m"}, Over: all(schema.RoleBoundary), against: schema.RoleBoundary, weight: stops, run: judgeEnters, Page: Page{
		What:   "How far the displaced driven ground reaches over the property's boundary, and the area beyond it.",
		Why:    "A bladed machine on the neighbour's ground or on the pavement.",
		Source: "as drift-enters-hazard",
		Fails:  "a zone 0.2 m inside the boundary, displaced by 0.5 m outwards",
		Passes: "the same zone displaced inwards",
		Mend:   "stop the machine, set the base right or correct the plan",
	}},
	{Name: RuleDriftEntersKeepout, Severity: Error, Limits: []string{"drift_unchanged_m"}, Over: all(schema.RoleKeepout), against: schema.RoleKeepout, run: judgeKeepouts, Page: Page{
		What:   "How far the displaced driven ground reaches into a keep-out as it lies on the ground.",
		Why:    "A keep-out is drawn round something. The drawing moves with the base, the thing does not.",
		Source: "as drift-enters-hazard",
		Fails:  "any keep-out in a zone displaced by more than the limit",
		Passes: "a displacement within the limit",
		Mend:   "set the base right or correct the plan",
	}},
	{Name: RuleDriftLeavesZone, Severity: Error, Limits: []string{"drift_unchanged_m"}, Over: all(schema.RoleZone), run: judgeLeavesZones, Page: Page{
		What:   "How far a displaced zone reaches out of all zones, and the area outside.",
		Why:    "The machine mows a strip of what is not lawn on one side and leaves one on the other.",
		Source: "as drift-enters-hazard",
		Fails:  "any zone displaced by more than the limit, unless another zone takes it up",
		Passes: "a displacement within the limit",
		Mend:   "set the base right or correct the plan",
	}},
	{Name: RuleDriftOffDock, Severity: Error, Limits: []string{"dock_reach_m"}, Over: all(schema.RoleDock), weight: stops, run: judgeOffDock, Page: Page{
		What:   "How far off its line-up point the machine stops before it docks, across and along the heading.",
		Why:    "Past the reach of the dock it misses it, and stands in the way with an empty battery.",
		Source: "as drift-enters-hazard",
		Fails:  "a displacement of 0.5 m, reach 0.3 m",
		Passes: "a displacement of 0.1 m",
		Mend:   "set the base right or correct the plan",
	}},
	{Name: RuleDriftBaseRange, Severity: Error, Limits: []string{"base_range_m"}, weight: stopsMoved, run: judgeBaseRange, Page: Page{
		What: "The distance from the base, where it now stands, to the farthest point driven of every active zone and corridor and to every dock. Of several bases one must reach " +
			"the whole feature; the base that does is taken to have moved, for it is what moves the feature.",
		Why:    "Past the range corrections fail and the machine stands still, or drives on what it has.",
		Source: sourcePractice,
		Fails:  "a zone 499.9 m away from its base, of a plan held as coordinates, when the base stores a position 0.3 m nearer to the zone, limit 500 m",
		Passes: "a zone 300 m away",
		Mend:   "move the base back, or serve the zone from another",
	}},
	{Name: RuleDriftHeight, Severity: Warning, Limits: []string{"drift_unchanged_m"}, run: judgeHeight, Page: Page{
		What:   "The change in height that comes with the displacement.",
		Why:    "Heights guide nothing on the map, but a base that sank or rose has moved, and slopes are measured from it.",
		Source: "as drift-enters-hazard",
		Fails:  "an antenna 0.1 m lower",
		Passes: "an antenna at its height",
		Mend:   "look at the mast, then measure the base again",
	}},
}

// Verdict says what to do.
type Verdict string

// The verdicts.
const (
	VerdictUnchanged Verdict = "unchanged"  // nothing moved that the limits would notice
	VerdictRemeasure Verdict = "re-measure" // it moved; measure marks before going on
	VerdictStop      Verdict = "stop"       // the machine must not drive this plan
)

// DriftReport is what a movement of the base does to a plan.
type DriftReport struct {
	Site *Site
	Held Held
	// HeldStated is false when the plan does not say how it is held.
	HeldStated bool
	Movement   Movement
	// Shift is the displacement of the driven ground, east, north, up in metres.
	Shift crs.Local
	// Findings stand worst first: by severity, then by depth.
	Findings []Finding
	Margin   Margin
	Verdict  Verdict
	// Marks is what the movement was taken from, nil when it was told otherwise.
	// Its decision and what the displacement breaks make the verdict together: the
	// graver of the two.
	Marks *MarksMovement
	// Broken is the probability that an uncertain base breaks something, NaN when
	// no uncertainty was given.
	Broken float64
	// Uncertainty is what Broken stands for.
	Uncertainty Uncertainty
	Limits      schema.Limits
	// Rules has a result for each of RulesOf(CommandDrift), in its order.
	Rules []Result
	// Unchecked says what could not be measured.
	Unchecked []string
	Advice    []string
}

// Uncertainty is the normally distributed error of a base's horizontal position.
type Uncertainty struct {
	// SigmaE and SigmaN are standard errors in metres, Correlation their
	// correlation, between -1 and 1.
	SigmaE, SigmaN, Correlation float64
}

// Check gives an error for what is no covariance.
func (u Uncertainty) Check() error {
	if !(u.SigmaE > 0 && u.SigmaN > 0 && u.SigmaE < MaxMovementM && u.SigmaN < MaxMovementM) {
		return fmt.Errorf("standard errors are above 0 and below %d m, not %g and %g", MaxMovementM, u.SigmaE, u.SigmaN)
	}
	if !(u.Correlation > -1 && u.Correlation < 1) {
		return fmt.Errorf("a correlation lies between -1 and 1, not %g", u.Correlation)
	}
	return nil
}

// DriftOptions say what is wanted beside the displacement itself.
type DriftOptions struct {
	// Uncertainty of the base; the zero value means that none was given.
	Uncertainty Uncertainty
	// Bearings is how many bearings the rose has, RoseBearings when 0.
	Bearings int
	// Marks is what the movement was taken from, nil when it was told otherwise.
	Marks *MarksMovement
}

// Drift displaces the driven ground of a plan and reports what that breaks, how
// much movement the plan bears, and what to do. The error is for a plan that
// cannot be put on the ground, one without anything to drive, or a movement that
// is no base's.
func Drift(p *schema.Plan, l schema.Limits, m Movement, o DriftOptions) (*DriftReport, error) {
	if err := m.Check(); err != nil {
		return nil, err
	}
	held, stated, err := HeldOf(p)
	if err != nil {
		return nil, err
	}
	s, err := Ground(p)
	if err != nil {
		return nil, err
	}
	if s.Frame == FrameNone {
		return nil, fmt.Errorf("the plan cannot be put on the ground: %s", s.Why)
	}
	r := newRun(s, l)
	out := &DriftReport{Site: s, Held: held, HeldStated: stated, Movement: m, Shift: m.Displacement(held), Broken: math.NaN(), Uncertainty: o.Uncertainty, Marks: o.Marks}
	driven, err := r.driven()
	if err != nil {
		return nil, err
	}
	if len(driven.whole) == 0 {
		return nil, fmt.Errorf("the plan has no active zone or corridor that can be measured: %s", joinReasons(r.reasons))
	}
	forbidden, err := r.forbidden()
	if err != nil {
		return nil, err
	}
	d := &drift{run: r, driven: driven, forbidden: forbidden, by: orb.Point{float64(out.Shift.E), float64(out.Shift.N)}, report: out}
	d.after, r.drift = moved(driven.whole, d.by), d
	if out.Rules, out.Findings, err = r.judge(CommandDrift); err != nil {
		return nil, err
	}
	out.Limits = r.limits
	out.Unchecked = r.said
	sortDrift(out.Findings)
	if err := d.meetNow(); err != nil {
		return nil, err
	}
	bearings := o.Bearings
	if bearings == 0 {
		bearings = RoseBearings
	}
	out.Margin = marginOf(wound(driven.whole), d.forbidden, bearings)
	if u := o.Uncertainty; u != (Uncertainty{}) {
		if err := u.Check(); err != nil {
			return nil, err
		}
		out.Broken = BreakProbability(out.Margin.Rose, u.SigmaE*u.SigmaE, u.Correlation*u.SigmaE*u.SigmaN, u.SigmaN*u.SigmaN)
	}
	out.Verdict = d.verdict()
	if o.Marks != nil {
		out.Verdict = worse(out.Verdict, o.Marks.Decision.Verdict)
	}
	out.Advice = d.advice()
	return out, nil
}

// drift is one displacement being judged.
type drift struct {
	*run
	driven    *drivenGround
	forbidden []driftObstacle
	by        orb.Point
	report    *DriftReport
	after     orb.MultiPolygon // the driven ground displaced
}

// weight is what a finding of a rule does to the verdict.
type weight uint8

const (
	tells      weight = iota // nothing by itself
	stops                    // the machine must not drive
	stopsMoved               // the same, once the ground has moved past drift_unchanged_m
)

// judgeEnters judges what the row's rule is against, obstacle by obstacle.
func judgeEnters(r *run) {
	d := r.drift
	for i := range d.forbidden {
		if d.forbidden[i].f.Role == r.rule.against && r.err == nil {
			r.err = d.enters(&d.forbidden[i])
		}
	}
}

func judgeKeepouts(r *run)    { r.err = r.drift.keepouts() }
func judgeLeavesZones(r *run) { r.err = r.drift.leavesZones() }
func judgeOffDock(r *run)     { r.drift.offDock() }
func judgeBaseRange(r *run)   { r.drift.baseRange() }
func judgeHeight(r *run)      { r.drift.height() }

// driftRuleAgainst names the rule that keeps a displaced machine out of things of a
// role, "" for none.
func driftRuleAgainst(role schema.Role) string {
	for i := range driftRules {
		if driftRules[i].against == role {
			return driftRules[i].Name
		}
	}
	return ""
}

// reach is how far the driven ground gets into one obstacle that it was not in
// before, in metres, where, and over how many square metres of it.
func (d *drift) reach(o *driftObstacle) (at orb.Point, deep, area float64, err error) {
	if len(o.solid) > 0 {
		part, err := d.newPart(o)
		if err != nil {
			return at, 0, 0, err
		}
		if a := plane.Area(part); a > nothingM2 {
			area = a
			// What comes from outside gets no deeper than it moves.
			ceiling := math.Hypot(d.by[0], d.by[1])
			if len(o.before) > 0 {
				ceiling = math.Inf(1)
			}
			at, deep = farthest(part, plane.NewLocator(o.solid), ceiling)
		}
	}
	for _, l := range o.lines {
		p, after := insideDepth(l, d.after)
		if _, before := insideDepth(l, d.driven.whole); after > deep && after > before+nothingM {
			at, deep = p, after
		}
	}
	return at, deep, area, nil
}

// enters reports how far the driven ground reaches into one obstacle that it was
// not in before.
func (d *drift) enters(o *driftObstacle) error {
	at, deep, area, err := d.reach(o)
	if err != nil {
		return err
	}
	limit := d.of(o.f).DriftUnchangedM
	// Where the plan drives in it already, a hair's breadth of new ground may lie deep
	// inside; it is no deeper into it than the ground moved.
	if deep <= limit || math.Hypot(d.by[0], d.by[1]) <= limit {
		return nil
	}
	x := d.finding(d.Place(at), o.f)
	x.Measured, x.Limit, x.Unit = deep, limit, "m"
	if area > 0 {
		x.AreaM2 = area
	}
	switch o.f.Role {
	case schema.RoleBoundary:
		x.Message = fmt.Sprintf("the machine would drive %s beyond %s", metres(deep), o.f.describe())
	case schema.RoleEdge:
		kind := edgeKind(o.f)
		if kind == "" {
			kind = "edge"
		}
		x.Message = fmt.Sprintf("the machine would drive %s past the %s %s", metres(deep), kind, quote(o.f.Label()))
	default:
		x.Message = fmt.Sprintf("the machine would drive %s into %s", metres(deep), o.f.describe())
	}
	return nil
}

// newPart is the ground of an obstacle that the displacement brings the machine
// to.
func (d *drift) newPart(o *driftObstacle) (orb.MultiPolygon, error) {
	op := plane.Intersection
	if o.inside {
		op = plane.Difference
	}
	after, err := op(d.after, o.solid)
	if err != nil {
		return nil, err
	}
	if !o.beforeKnown {
		if o.before, err = op(d.driven.whole, o.solid); err != nil {
			return nil, err
		}
		o.beforeKnown = true
	}
	if len(after) == 0 || len(o.before) == 0 {
		return after, nil
	}
	return plane.Difference(after, o.before)
}

// meetNow marks the obstacles that the driven ground is in before it moves.
func (d *drift) meetNow() error {
	for i := range d.forbidden {
		o := &d.forbidden[i]
		if len(o.solid) > 0 {
			op := plane.Intersection
			if o.inside {
				op = plane.Difference
			}
			now, err := op(d.driven.whole, o.solid)
			if err != nil {
				return err
			}
			o.met = plane.Area(now) > nothingM2
		}
		for _, l := range o.lines {
			if _, depth := insideDepth(l, d.driven.whole); depth > nothingM {
				o.met = true
			}
		}
	}
	return nil
}

func (d *drift) keepouts() error {
	for _, f := range d.Of(schema.RoleKeepout) {
		s := d.solidOf(f)
		if s.why != "" {
			continue // noted when the driven ground was computed
		}
		o := driftObstacle{f: f, solid: s.areas}
		if err := d.enters(&o); err != nil {
			return err
		}
	}
	return nil
}

// strays is how far a displaced zone gets out of all zones, in metres, where, and
// over how many square metres; all is the outline of the zones.
func (d *drift) strays(z drivenZone, all *plane.Locator) (at orb.Point, far, area float64, err error) {
	out, err := plane.Difference(moved(z.area, d.by), d.driven.allZones)
	if err != nil {
		return at, 0, 0, err
	}
	if area = plane.Area(out); area <= nothingM2 {
		return at, 0, 0, nil
	}
	// No point gets farther than it moves, for it came from inside.
	at, far = farthest(out, all, math.Hypot(d.by[0], d.by[1]))
	return at, far, area, nil
}

func (d *drift) leavesZones() error {
	all := plane.NewLocator(d.driven.allZones)
	for _, z := range d.driven.zones {
		at, far, area, err := d.strays(z, all)
		if err != nil {
			return err
		}
		limit := d.of(z.f).DriftUnchangedM
		if far <= limit {
			continue
		}
		x := d.finding(d.Place(at), z.f)
		x.Measured, x.Limit, x.Unit, x.AreaM2 = far, limit, "m", area
		x.Message = fmt.Sprintf("the machine would drive %s out of %s, over %s", metres(far), z.f.describe(), squareMetres(area))
	}
	return nil
}

func (d *drift) offDock() {
	d.usableOf(schema.RoleDock) // which records what cannot be measured
	for _, dock := range d.docks() {
		off := math.Hypot(d.by[0], d.by[1])
		limit := d.of(dock.f).DockReachM
		if off <= limit {
			continue
		}
		x := d.finding(d.Place(dock.at), dock.f)
		x.Measured, x.Limit, x.Unit = off, limit, "m"
		if math.IsNaN(dock.heading) {
			x.Message = fmt.Sprintf("the machine would line up %s off %s", metres(off), dock.f.describe())
			continue
		}
		u := bearing(dock.heading)
		along := d.by[0]*u[0] + d.by[1]*u[1]
		across := d.by[0]*u[1] - d.by[1]*u[0] // positive to the right of the heading
		side, way := "right", "beyond"
		if across < 0 {
			side = "left"
		}
		if along < 0 {
			way = "short of"
		}
		x.Message = fmt.Sprintf("the machine would stop %s to the %s and %s %s the line-up point of %s, its heading unchanged",
			metres(math.Abs(across)), side, metres(math.Abs(along)), way, dock.f.describe())
	}
}

func (d *drift) baseRange() {
	antenna := orb.Point{float64(d.report.Movement.Antenna.E), float64(d.report.Movement.Antenna.N)}
	// Seen from an antenna that moves along, the ground moves by that much less.
	all := d.served(d.driven, orb.Point{d.by[0] - antenna[0], d.by[1] - antenna[1]})
	if len(all) == 0 {
		d.cannot("the plan has no active base to measure a range from")
		return
	}
	for _, s := range all {
		if s.far <= s.limit {
			continue
		}
		x := d.finding(d.Place(orb.Point{s.at[0] + d.by[0], s.at[1] + d.by[1]}), s.f, s.base)
		x.Measured, x.Limit, x.Unit = s.far, s.limit, "m"
		x.Message = fmt.Sprintf("the farthest point driven of %s would be %s from %s", s.f.describe(), metres(s.far), s.base.describe())
	}
}

// served is a feature that is driven and the base that reaches it best: far is the
// distance in metres from the base to the feature's farthest point, and at that point
// as planned.
type served struct {
	f, base    *Feature
	at         orb.Point
	far, limit float64
}

// served measures every zone, corridor and dock, displaced, from the base that reaches
// it best, as base-range does; it is empty without a base to measure from.
func (r *run) served(d *drivenGround, by orb.Point) []served {
	bases := r.rangeBases()
	from := make([]func(orb.Point) float64, len(bases))
	for i, b := range bases {
		from[i] = r.rangeFrom(b)
	}
	var out []served
	add := func(f *Feature, area orb.MultiPolygon) {
		best := served{f: f, far: math.Inf(1), limit: r.of(f).BaseRangeM}
		for i, b := range bases {
			far, at := -1.0, orb.Point{}
			for _, p := range area {
				for _, ring := range p {
					for _, q := range ring {
						if m := from[i](orb.Point{q[0] + by[0], q[1] + by[1]}); m > far {
							far, at = m, q
						}
					}
				}
			}
			if far >= 0 && far < best.far {
				best.base, best.far, best.at = b, far, at
			}
		}
		if best.base == nil {
			return
		}
		// A corridor of several lines is one feature, judged by the farthest of them.
		if n := len(out); n > 0 && out[n-1].f == f {
			if best.far > out[n-1].far {
				out[n-1] = best
			}
			return
		}
		out = append(out, best)
	}
	for _, z := range d.zones {
		add(z.f, z.area)
	}
	for _, c := range d.corridors {
		add(c.f, c.area)
	}
	for _, dock := range r.docks() {
		add(dock.f, orb.MultiPolygon{{{dock.at}}})
	}
	return out
}

func (d *drift) height() {
	if d.report.Movement.NoHeight {
		d.cannot("heights are missing, so no change in height is told")
		return
	}
	up := float64(d.report.Shift.U)
	if math.Abs(up) <= d.limits.DriftUnchangedM {
		return
	}
	x := d.finding(nil)
	x.Measured, x.Limit, x.Unit = math.Abs(up), d.limits.DriftUnchangedM, "m"
	way := "higher"
	if up < 0 {
		way = "lower"
	}
	x.Message = fmt.Sprintf("heights would be %s %s than planned", metres(math.Abs(up)), way)
}

// verdict weighs the displacement and what it breaks.
func (d *drift) verdict() Verdict {
	h := math.Hypot(d.by[0], d.by[1])
	moved := h > d.limits.DriftUnchangedM || !d.report.Movement.NoHeight && math.Abs(float64(d.report.Shift.U)) > d.limits.DriftUnchangedM
	for i := range d.report.Findings {
		rule, _ := Find(d.report.Findings[i].Rule)
		if rule.weight == stops || rule.weight == stopsMoved && moved {
			return VerdictStop
		}
	}
	switch {
	case h >= d.limits.DriftStopM:
		return VerdictStop
	case moved:
		return VerdictRemeasure
	}
	return VerdictUnchanged
}

// sortDrift puts the worst first: by severity, then by how far the measure is past
// its limit.
func sortDrift(list []Finding) {
	sort.SliceStable(list, func(i, j int) bool {
		a, b := &list[i], &list[j]
		if a.Severity != b.Severity {
			return a.Severity.Rank() < b.Severity.Rank()
		}
		rank := func(f *Finding) int {
			return slices.IndexFunc(Rules, func(r Rule) bool { return r.Name == f.Rule })
		}
		if ra, rb := rank(a), rank(b); ra != rb {
			return ra < rb
		}
		return a.Measured-a.Limit > b.Measured-b.Limit
	})
}
