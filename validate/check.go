// Check: the runner of the rule table.

package validate

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"sync"

	"github.com/paulmach/orb"

	"swardline/crs/orbit"
	"swardline/schema"
	"swardline/validate/plane"
)

// Check proves the plan against the limits: every rule of Rules is run once.
// Limits that the plan or a feature carries in its attribute "limits" hold
// there instead of l. The plan is not changed. A nil plan gives a report in
// which every rule is unchecked.
func Check(p *schema.Plan, l schema.Limits) *Report {
	if p == nil {
		p = &schema.Plan{}
	}
	s, _ := Ground(p) // the error is for a nil plan only
	return CheckSite(s, l)
}

// CheckSite is Check for a plan that is on the ground already.
func CheckSite(s *Site, l schema.Limits) *Report {
	r := newRun(s, l)
	r.scratch = scratches.Get().(*scratch)
	out := &Report{Site: s, Limits: r.limits}
	out.Rules, out.Findings, _ = r.judge(CommandCheck)
	out.Areas, out.Zones = r.figures()
	out.Used = r.limitsUsed(out.Rules)
	out.HeldHarmless = r.heldHarmless
	r.release()
	return out
}

// judge runs the rules of a command over the site, one result each. Findings
// stand in the order rule, feature, place. A rule whose own arithmetic gives up
// is unchecked, and the first such error is returned.
func (r *run) judge(c Command) (results []Result, findings []Finding, err error) {
	return r.judgeOf(c, func(string) bool { return true })
}

// judgeOf is judge for the rules that wanted takes by name.
func (r *run) judgeOf(c Command, wanted func(name string) bool) (results []Result, findings []Finding, err error) {
	general := r.reasons
	results = make([]Result, 0, len(Rules))
	for i := range Rules {
		rule := &Rules[i]
		if rule.Command != c || !wanted(rule.Name) {
			continue
		}
		r.rule, r.findings, r.err = rule, r.findings[:0], nil
		r.reasons, r.moreReasons = slices.Clone(general), 0
		res := Result{Rule: rule.Name, Severity: rule.Severity, Outcome: Passed, Limits: rule.Limits}
		if why := rule.needless(r.Site); why != "" {
			res.Outcome, res.Reason = NotNeeded, why
			results = append(results, res)
			continue
		}
		r.needless = ""
		rule.run(r)
		if r.err != nil {
			r.cannot("%v", r.err)
			if err == nil {
				err = fmt.Errorf("%s: %w", rule.Name, r.err)
			}
		}
		sortFindings(r.findings)
		for _, reason := range r.reasons {
			if !slices.Contains(r.said, reason) && len(r.said) <= mostReasons {
				r.said = append(r.said, reason)
			}
		}
		res.Reason = joinReasons(r.reasons)
		switch {
		case len(r.findings) > 0:
			res.Outcome = Failed
		case len(r.reasons) > 0:
			res.Outcome = Unchecked
		case r.needless != "":
			res.Outcome, res.Reason = NotNeeded, r.needless
		}
		results = append(results, res)
		findings = append(findings, r.findings...)
	}
	r.reasons = general
	return results, findings, err
}

// run is one run of the table over a site. Its methods are what rules use.
type run struct {
	*Site
	rule     *Rule
	findings []Finding
	reasons  []string
	said     []string // every reason of every rule, once each
	needless string   // why the rule applies to nothing, "" when it does
	err      error    // what ended the rule before its end
	// moreReasons counts reasons past mostReasons, repeats among them.
	moreReasons int
	limits      schema.Limits
	own         map[*Feature]*schema.Limits // of features with limits of their own
	badLimit    []badLimit
	// heldHarmless are the words that known_words of the limits kept from words-unread.
	heldHarmless []string
	drift        *drift   // the displacement that is judged, nil in a check
	placing      *placing // the placement that is judged, nil in a check
	// The sky that is looked at: nil day for the nominal one, by the hour;
	// places is how many of all zones together, horizon was measured at the
	// base.
	day     *orbit.Day
	ownDay  bool // made by the run
	places  int
	horizon *orbit.Horizon
	// drivenBy holds the tracks that are judged, and driving what they showed;
	// nil in a check.
	drivenBy *Driven
	driving  *DrivenReport

	scratch *scratch // nil where memory is made for each use

	// What several rules need is made by the first that asks.
	solids         []*solid // by Feature.slot
	shapes         []*hazardShape
	drawn          []*raisedSides // by Feature.slot, see edgeHeights
	shores         map[int][]orb.Polygon
	polygons       []orb.Polygon
	validator      plane.Validator
	zoneSet        *solids
	keepoutSet     *solids
	buildingSet    *solids
	nets           []*net // by zone
	dockList       []dockSpot
	hardEdgeSet    *hardEdges
	docksKnown     bool
	dockBoxes      *plane.Boxes
	corridorList   []corridorLine
	corridorsKnown bool
	contactList    []contact
	contactsKnown  bool
	openingSet     []opening
	crossings      []declared
	openingsKnown  bool
	rowGaps        []gapOf
	rowsKnown      bool
	wallSet        *stepWalls
	lawnsOff       bool // all about the lawns tells another height than they do
	horizonLine    *skyline
	offFeatures    []Feature // see offs
	offKnown       bool
	shade          *shade
	seenAll        *seen
}

// newRun prepares a run over a site: limits of the plan's own are in force.
func newRun(s *Site, l schema.Limits) *run {
	r := &run{Site: s, limits: l, own: map[*Feature]*schema.Limits{}, solids: make([]*solid, len(s.Features)), places: checkPlaces}
	r.overrideLimits()
	return r
}

type badLimit struct {
	f        *Feature // nil for the plan
	err      error
	loosened []schema.Loosened
}

func (r *run) overrideLimits() {
	l, loosened, err := r.limits.Override(r.Plan.Attributes.Get(schema.PlanLimits), schema.OriginPlan, "the plan")
	r.limits = l
	if err != nil || loosened != nil {
		r.badLimit = append(r.badLimit, badLimit{nil, err, loosened})
	}
	for _, f := range r.Features {
		v := f.Attributes.Get(schema.PropLimits)
		if v.IsAbsent() {
			continue
		}
		l, loosened, err := r.limits.Override(v, schema.OriginFeature, f.describe())
		if err != nil || loosened != nil {
			r.badLimit = append(r.badLimit, badLimit{f, err, loosened})
		}
		if err != nil {
			continue
		}
		r.own[f] = &l
	}
}

// of returns the limits that hold for a feature.
func (r *run) of(f *Feature) *schema.Limits {
	if l, ok := r.own[f]; ok {
		return l
	}
	return &r.limits
}

// mostReasons is how many different reasons a rule keeps for not checking.
const mostReasons = 100

// cannot records that the rule, or a part of it, could not be checked.
func (r *run) cannot(format string, args ...any) {
	reason := fmt.Sprintf(format, args...)
	if len(r.reasons) > mostReasons {
		r.moreReasons++ // nobody reads more, and counting repeats of them costs memory
		return
	}
	for _, old := range r.reasons {
		if old == reason {
			return
		}
	}
	r.reasons = append(r.reasons, reason)
}

// notNeeded records that the rule found nothing in the plan that it applies to.
func (r *run) notNeeded(format string, args ...any) { r.needless = fmt.Sprintf(format, args...) }

// onGround reports whether there is ground to measure on, and records why not.
func (r *run) onGround() bool {
	if r.Frame == FrameNone {
		r.cannot("%s", r.Why)
		return false
	}
	return true
}

// need returns the usable features of a role. When the plan has none, or some
// cannot be measured, that is recorded.
func (r *run) need(role schema.Role) []*Feature {
	all := r.Of(role)
	if len(all) == 0 {
		r.cannot("the plan has no active %s", role)
		return nil
	}
	return r.usableOf(role)
}

// usableOf returns the features of a role that have ground coordinates, and
// records those that do not.
func (r *run) usableOf(role schema.Role) []*Feature {
	all := r.Of(role)
	for i, f := range all {
		if f.usable() {
			continue
		}
		out := append([]*Feature(nil), all[:i]...)
		for _, f := range all[i:] {
			switch {
			case f.usable():
				out = append(out, f)
			case f.Invalid != "":
				r.cannot("%s has invalid coordinates", f.describe())
			default:
				r.cannot("%s lies too far off", f.describe())
			}
		}
		return out
	}
	return all
}

// finding starts a finding of the rule that is running. The caller fills in
// what it measured.
func (r *run) finding(at *Place, features ...*Feature) *Finding {
	f := Finding{
		Rule: r.rule.Name, Severity: r.rule.Severity,
		Measured: math.NaN(), Limit: math.NaN(), AreaM2: math.NaN(),
		At: at, Mendable: r.rule.Mendable,
	}
	for _, x := range features {
		f.Features = append(f.Features, x.Feature)
		f.order = append(f.order, x.Index)
		if f.Line == 0 {
			f.Line = x.Source.Line
		}
	}
	r.findings = append(r.findings, f)
	return &r.findings[len(r.findings)-1]
}

// trace turns ground points into places.
func (r *run) trace(points ...orb.Point) []Place {
	values := make([][4]float64, 0, len(points))
	for _, p := range points {
		if v, ok := r.placeNumbers(p); ok {
			values = append(values, v)
		}
	}
	return NewPlaces(values)
}

func joinReasons(reasons []string) string {
	const most = 4 // the rest adds length, not knowledge
	out := ""
	for i, s := range reasons {
		if i == most && len(reasons) > most {
			return fmt.Sprintf("%s; and %d more", out, len(reasons)-most)
		}
		if i > 0 {
			out += "; "
		}
		out += s
	}
	return out
}

func sortFindings(list []Finding) {
	slices.SortStableFunc(list, func(a, b Finding) int {
		return cmp.Or(slices.Compare(a.order, b.order), comparePlaces(a.At, b.At))
	})
}

// comparePlaces puts no place first, then those from west to east, then from
// south to north, by degrees where there are any.
func comparePlaces(a, b *Place) int {
	if a == nil || b == nil {
		here := map[bool]int{true: 1}
		return here[a != nil] - here[b != nil]
	}
	for _, pair := range [...][2]*float64{{a.Lon, b.Lon}, {a.Lat, b.Lat}, {a.E, b.E}, {a.N, b.N}} {
		if pair[0] != nil && pair[1] != nil && *pair[0] != *pair[1] {
			return cmp.Compare(*pair[0], *pair[1])
		}
	}
	return 0
}

// limitSlots says where each limit stands in schema.LimitTable.
var limitSlots = sync.OnceValue(func() map[string]int {
	out := make(map[string]int, len(schema.LimitTable))
	for i := range schema.LimitTable {
		out[schema.LimitTable[i].Key] = i
	}
	return out
})

// limitsUsed returns the values that the rules compared with, in the order of
// schema.LimitTable: the plan's first, then those that features have of their
// own.
func (r *run) limitsUsed(results []Result) []LimitUse {
	slots := limitSlots()
	used, n := make([]bool, len(schema.LimitTable)), 0
	for i := range results {
		if x := &results[i]; x.Outcome != Unchecked && x.Outcome != NotNeeded {
			for _, key := range x.Limits {
				if k, ok := slots[key]; ok && !used[k] {
					used[k] = true
					n++
				}
			}
		}
	}
	if n == 0 {
		return nil
	}
	out := make([]LimitUse, 0, n)
	for k := range schema.LimitTable {
		d := &schema.LimitTable[k]
		if !used[k] {
			continue
		}
		v, _ := r.limits.Get(d.Key)
		out = append(out, LimitUse{Name: d.Key, Value: v, From: r.limits.OriginOf(d.Key)})
		for _, f := range r.Features {
			l, ok := r.own[f]
			if !ok || l.OriginOf(d.Key) != schema.OriginFeature {
				continue
			}
			v, _ := l.Get(d.Key)
			out = append(out, LimitUse{Name: d.Key, Value: v, From: schema.OriginFeature, Feature: f.Feature})
		}
	}
	return out
}
