// States of things in properties that are no switch.

package validate_test

import (
	"testing"

	"swardline/schema"
	"swardline/validate"
)

func TestStatesInProperties(t *testing.T) {
	on := func(id, key, text string) func(p *plot) {
		return func(p *plot) { p.get(id).set(key, schema.String(text)) }
	}
	judgeWords(t, validate.RuleNameContradicts, []wordCase{
		{"a code that says off", on("z1", "code", "OFF"), validate.Failed, "it is not to be used"},
		{"a layer of that name", on("k1", "layer", "off"), validate.Failed, "its layer says"},
		{"layer 0", on("z1", "layer", "0"), validate.Passed, ""},
		{"a state", on("b1", "state", "out of order"), validate.Failed, "out of order"},
		{"in German", on("d1", "state", "Außer Betrieb"), validate.Failed, "it is not to be used"},
		{"forbidden", on("c1", "group", "forbidden"), validate.Failed, "nobody goes there"},
		{"offset of a name", on("z1", "code", "off 12"), validate.Passed, ""},
	})
}
