// The vocabulary of a check: severities, outcomes, places, findings, and the
// report that Check gives.

package validate

import (
	"swardline/schema"
)

// Severity says how grave a finding is.
type Severity string

// The severities, gravest first.
const (
	Error   Severity = "error"
	Warning Severity = "warning"
	Note    Severity = "note"
)

// Rank orders severities: 0 for Error, 1 for Warning, 2 for the rest.
func (s Severity) Rank() int {
	switch s {
	case Error:
		return 0
	case Warning:
		return 1
	}
	return 2
}

// Outcome says what became of a rule on a plan.
type Outcome string

// The outcomes. Unchecked means "cannot tell": the rule applies and data is
// missing, so it is neither passed nor failed. NotNeeded means that the plan
// holds nothing that the rule applies to.
const (
	Passed    Outcome = "passed"
	Failed    Outcome = "failed"
	Unchecked Outcome = "unchecked"
	NotNeeded Outcome = "not-needed"
)

// Status says what became of a whole plan.
type Status string

// The statuses. A plan is clean only when nothing that applies to it is
// unchecked, in whole or in part.
const (
	StatusClean     Status = "clean"
	StatusUnchecked Status = "unchecked"
	StatusFindings  Status = "findings"
)

// LimitUse is one value that rules compared with.
type LimitUse struct {
	Name  string
	Value float64
	From  schema.Origin
	// Feature has the value for its own, nil when it holds for the plan.
	Feature *schema.Feature
}

// Place is where a finding stands. Lon and Lat are in degrees on the plan's own
// datum, nil when the plan's CRS is unknown. E and N are the plan's own plane
// coordinates in its own unit; of a plan in degrees they are metres east and
// north of the base, or, without a base, of the middle of the driven ground.
type Place struct {
	Lon *float64 `json:"lon,omitempty"`
	Lat *float64 `json:"lat,omitempty"`
	E   *float64 `json:"e,omitempty"`
	N   *float64 `json:"n,omitempty"`
}

// NewPlace is the place of these numbers; NaN stands for one that is not known.
func NewPlace(lon, lat, e, n float64) *Place {
	kept := &struct {
		Place
		v [4]float64
	}{v: [4]float64{lon, lat, e, n}} // together: reports hold many
	kept.lead(&kept.v)
	return &kept.Place
}

// NewPlaces is NewPlace for many, each Lon, Lat, E and N: they share
// their memory, and lead into values.
func NewPlaces(values [][4]float64) []Place {
	out := make([]Place, len(values))
	for i := range out {
		out[i].lead(&values[i])
	}
	return out
}

// lead makes the place one of these numbers.
func (p *Place) lead(v *[4]float64) {
	for i, to := range [...]**float64{&p.Lon, &p.Lat, &p.E, &p.N} {
		if at := &v[i]; *at == *at {
			*to = at
		}
	}
}

// Finding is one fault.
type Finding struct {
	Rule     string
	Severity Severity
	// Features are the features it is about, the one to change first; none when
	// something is missing from the plan as a whole.
	Features []*schema.Feature
	// Message is one clause without capital or full stop, complete by itself.
	Message string
	// Measured and Limit are in Unit; NaN when there is none.
	Measured float64
	Limit    float64
	Unit     string
	// AreaM2 is the area in square metres that goes with Measured, NaN for
	// none.
	AreaM2 float64
	// At is the place, nil when there is none.
	At *Place
	// Trace is a line to lay over the plan: the two ends of a narrow passage,
	// the outline of a part that sticks out. It may be nil.
	Trace []Place
	// Line is the line of the file, 0 when not known.
	Line int
	// Mendable is set when Mend removes the fault without a judgement.
	Mendable bool

	order []int // indexes of Features in the plan, for sorting
}

// Result says what became of one rule.
type Result struct {
	Rule     string
	Severity Severity
	Outcome  Outcome
	// Reason says why the rule is Unchecked or NotNeeded, or which part of it
	// was not checked when it Failed; "" otherwise.
	Reason string
	// Limits are the keys of the limits that the rule compares with.
	Limits []string
}

// Areas are areas on the ground in square metres, NaN when they cannot be told.
type Areas struct {
	// ZonesM2 and KeepoutsM2 are sums of the areas of the features, holes taken
	// off.
	ZonesM2, KeepoutsM2 float64
	// NetM2 is the area of the ground that is in any zone and in no keep-out.
	NetM2 float64
}

// ZoneFigures are the figures of one zone, for reports and schedules.
type ZoneFigures struct {
	Feature *schema.Feature
	// GrossM2 is the zone's own area; NetM2 that without its keep-outs.
	GrossM2, NetM2 float64
	// HardEdgeM is the length of its outline along walls, kerbs and fences, and
	// UncutM2 the area of the strip left uncut there.
	HardEdgeM, UncutM2 float64
}

// Report is the check of one plan.
type Report struct {
	// Site is the plan on the ground.
	Site *Site
	// Rules has a result for every rule of RulesOf(CommandCheck), in its order.
	Rules []Result
	// Findings stand in the order rule, feature, place.
	Findings []Finding
	Areas    Areas
	Zones    []ZoneFigures
	// Limits are the plan's limits, its own overrides included.
	Limits schema.Limits
	// Used are the values that rules compared with and where each comes from,
	// in the order of schema.LimitTable.
	Used []LimitUse
	// HeldHarmless are the words of the plan's names and texts that no rule told
	// because the limits have them under known_words, each with where it stands.
	HeldHarmless []string
}

// Status says what became of the plan: findings of any severity come before
// what could not be checked.
func (r *Report) Status() Status {
	if len(r.Findings) > 0 {
		return StatusFindings
	}
	for i := range r.Rules {
		if r.Rules[i].Outcome == Unchecked {
			return StatusUnchecked
		}
	}
	return StatusClean
}

// FromDefault returns the keys of the limits that rules compared with and that
// nobody set.
func (r *Report) FromDefault() []string {
	var out []string
	for _, u := range r.Used {
		if u.From == schema.OriginDefault {
			out = append(out, u.Name)
		}
	}
	return out
}

// Count returns how many findings have the severity.
func (r *Report) Count(s Severity) int {
	n := 0
	for i := range r.Findings {
		if r.Findings[i].Severity == s {
			n++
		}
	}
	return n
}

// Outcome returns what became of a rule, Unchecked for one that is not in the
// table.
func (r *Report) Outcome(rule string) Result {
	for _, x := range r.Rules {
		if x.Rule == rule {
			return x
		}
	}
	return Result{Rule: rule, Outcome: Unchecked, Reason: "there is no such rule"}
}
