// A feature that cannot be judged does not hide the faults of another.

package validate_test

import (
	"math"
	"testing"

	"github.com/paulmach/orb"

	"swardline/schema"
	"swardline/validate"
)

// spoilt are features of every role that no rule can measure, drawn away from
// the park.
func spoilt() []*thing {
	bow := func(x float64) [][]orb.Point {
		return [][]orb.Point{{{x, 30}, {x + 2, 32}, {x + 2, 30}, {x, 32}, {x, 30}}}
	}
	return []*thing{
		{id: "q1", role: "zone", name: "Spoilt zone", rings: bow(70)},
		{id: "q2", role: "keepout", name: "Spoilt keepout", rings: bow(73)},
		{id: "q3", role: "hazard", name: "Spoilt hazard", rings: bow(76)},
		{id: "q4", role: "building", name: "Spoilt building", rings: bow(70)},
		{id: "q5", role: "edge", name: "Spoilt edge", line: []orb.Point{{70, 36}, {71, 36}}},
		{id: "q7", role: "corridor", name: "Spoilt corridor", line: []orb.Point{{70, 37}, {70, 37}}},
		{id: "q9", role: "mark", point: &orb.Point{70, 38}},
	}
}

func TestSpoiltFeaturesHideNothing(t *testing.T) {
	l := schema.DefaultLimits()
	seen := 0
	for _, rule := range ruleNames() {
		b := brokenPlans[rule]
		p := park()
		b.fail(p)
		if p.grid != "" || rule == "zone-count" || rule == "zone-missing" || rule == "words-unread" { // the spoilt zone is one more, and its name a word
			continue
		}
		want := validate.Check(p.plan(t), l)
		p.things = append(spoilt(), p.things...)
		got := validate.Check(p.plan(t), l)
		has := map[string]int{}
		for _, f := range got.Findings {
			if f.Rule == rule {
				has[findingKey(f)]++
			}
		}
		for _, f := range want.Findings {
			if f.Rule != rule {
				continue
			}
			seen++
			if has[findingKey(f)] == 0 {
				t.Errorf("%s: beside features that cannot be judged this is no longer found: %s", rule, show(f))
			}
		}
	}
	if seen < 30 {
		t.Errorf("only %d findings compared", seen)
	}
}

func findingKey(f validate.Finding) string {
	key := f.Rule
	for _, x := range f.Features {
		key += " " + x.ID.Text()
	}
	if !math.IsNaN(f.Measured) {
		key += " measured"
	}
	return key
}
