// Tests of corridors and what they lead to that are held to unlike machines.

package validate_test

import (
	"testing"

	"swardline/schema"
	"swardline/validate"
)

func TestMachinesDiffer(t *testing.T) {
	own := func(id, key string, m float64) func(p *plot) {
		return func(p *plot) { p.get(id).set("limits", schema.Object(schema.Attributes{{Key: key, Value: num(m)}})) }
	}
	const both = "the same machine drives both"
	judgeWords(t, validate.RuleLimitsInvalid, []wordCase{
		{"as all", own("c1", "machine_width_m", 0.6), validate.Passed, ""},
		{"a hair wider", own("c1", "machine_width_m", 0.6005), validate.Passed, ""},
		{"wider", own("c1", "machine_width_m", 0.602), validate.Failed, both},
		{"a zone's wider", own("z1", "machine_width_m", 0.7), validate.Failed, both},
		{"turning wider", own("c1", "turn_radius_m", 0.7), validate.Failed, both},
		{"the plan's own", func(p *plot) {
			member(p, "limits", schema.Object(schema.Attributes{{Key: "machine_width_m", Value: num(0.7)}}))
		}, validate.Passed, ""},
	})
}
