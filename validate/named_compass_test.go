// Tests of names that say where things lie.

package validate_test

import (
	"strings"
	"testing"

	"github.com/paulmach/orb"

	"swardline/schema"
	"swardline/validate"
)

func TestCompassNamed(t *testing.T) {
	// z1 lies north of z2.
	named := func(north, south string) func(p *plot) {
		return func(p *plot) { p.get("z1").name, p.get("z2").name = north, south }
	}
	const wrong = "on the wrong side of"
	judgeWords(t, validate.RuleNameContradicts, []wordCase{
		{"as they lie", named("North lawn", "South lawn"), validate.Passed, ""},
		{"the other way about", named("South lawn", "North lawn"), validate.Failed, wrong},
		{"in words written as one", named("Südwiese", "Nordwiese"), validate.Failed, wrong},
		{"as they lie, as one", named("Nordwiese", "Südwiese"), validate.Passed, ""},
		{"of other things", named("South lawn", "North court lawn"), validate.Passed, ""},
		{"one alone", named("South lawn", "Long lawn"), validate.Passed, ""},
		{"two quarters", named("South east lawn", "North east lawn"), validate.Passed, ""},
		{"in the same row", func(p *plot) {
			p.get("z1").name, p.get("z2").name = "West lawn", "East lawn"
		}, validate.Passed, ""},
	})
	// Beside one another: the middle of the one east of the other by so much.
	for _, x := range []struct {
		off  float64
		want bool
	}{{0.99, false}, {1.01, true}, {-5, false}} {
		p := park()
		p.add(&thing{id: "k7", role: "keepout", name: "West bed", rings: [][]orb.Point{rect(10+x.off, -20, 12+x.off, -18)}, z: flatGround})
		p.add(&thing{id: "k8", role: "keepout", name: "East bed", rings: [][]orb.Point{rect(10, -24, 12, -22)}, z: flatGround})
		got := strings.Contains(findingOf(validate.Check(p.plan(t), schema.DefaultLimits()), validate.RuleNameContradicts).Message, wrong)
		if got != x.want {
			t.Errorf("%v m: %v", x.off, got)
		}
	}
}
