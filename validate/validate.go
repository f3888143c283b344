// Package validate proves a plan: it puts the plan on flat ground, runs the
// rule table against the limits, and says of each rule whether it passed,
// failed, or could not be decided. It writes no format.
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

// Outcome says what became of a rule on a plan.
type Outcome string

// The outcomes. Unchecked means "cannot tell": data was missing, so the rule is
// neither passed nor failed.
const (
	Passed    Outcome = "passed"
	Failed    Outcome = "failed"
	Unchecked Outcome = "unchecked"
)

// Place is where a finding stands. Lon and Lat are in degrees, E and N in the
// plan's own plane coordinates when it has them, else in metres on the ground.
type Place struct {
	Lon *float64 `json:"lon,omitempty"`
	Lat *float64 `json:"lat,omitempty"`
	E   *float64 `json:"e,omitempty"`
	N   *float64 `json:"n,omitempty"`
}

// Finding is one fault.
type Finding struct {
	Rule     string
	Severity Severity
	Features []*schema.Feature
	Message  string
	Measured float64 // NaN when nothing was measured
	Limit    float64 // NaN when there is none
	Unit     string
	At       *Place
	Line     int
	Mendable bool
}
