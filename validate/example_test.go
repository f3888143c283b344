// What an importer of the package writes: a plan checked, and what a moved base
// does to it.

package validate_test

import (
	"fmt"

	"swardline/convert"
	"swardline/crs"
	"swardline/schema"
	"swardline/validate"
)

// Every rule has an outcome; what lacks its data is unchecked.
func ExampleCheck() {
	plan, _, err := convert.ReadFile("../examples/faults/park-faults.geojson", convert.ReadOptions{})
	if err != nil {
		panic(err)
	}
	report := validate.Check(plan, schema.DefaultLimits())
	fmt.Println(report.Status(), report.Count(validate.Error), "errors")
	fmt.Println(report.Findings[0].Rule, "-", report.Findings[0].Message)
	fmt.Println(validate.RulePassageNarrow, report.Outcome(validate.RulePassageNarrow).Outcome)
	// Output:
	// findings 7 errors
	// ring-crosses-itself - the outline crosses itself and cuts off a loop of 36.0 m2
	// passage-narrow unchecked
}

// The antenna moved by 0.30 m east and 0.10 m north.
func ExampleDrift() {
	plan, _, err := convert.ReadFile("../examples/park/park.geojson", convert.ReadOptions{})
	if err != nil {
		panic(err)
	}
	report, err := validate.Drift(plan, schema.DefaultLimits(), validate.Movement{Antenna: crs.Local{E: 0.3, N: 0.1}}, validate.DriftOptions{})
	if err != nil {
		panic(err)
	}
	fmt.Println(report.Verdict, "-", report.Findings[0].Message)
	// Output:
	// stop - the machine would drive 0.32 m into keepout "Pond"
}
