// Missing data makes a rule unchecked, never passed.

package validate_test

import (
	"fmt"
	"slices"
	"strings"
	"testing"

	"github.com/paulmach/orb"
	"github.com/twpayne/go-geom"

	"swardline/schema"
	"swardline/validate"
)

func TestMissingDataIsUnchecked(t *testing.T) {
	noHeights := func(p *plot) {
		for _, x := range p.things {
			x.z = nil
		}
	}
	broken := func(p *plot, id string) { // a bow tie in its place
		r := p.get(id).rings[0]
		r[1], r[2] = r[2], r[1]
	}
	for _, x := range []struct {
		name    string
		without func(p *plot)
		rules   string // that must be unchecked
		reason  string // words that the reason must hold
	}{
		{"no base", func(p *plot) { p.remove("b1") }, "base-range", "base"},
		{"no dock", func(p *plot) { p.remove("d1") }, "corridor-off-dock dock-approach dock-in-keepout zone-unreachable", "dock"},
		{"no corridor", func(p *plot) { p.remove("c1"); p.remove("c2") }, "corridor-off-zone corridor-off-dock corridor-through-keepout", "corridor"},
		{"no zone", func(p *plot) { p.remove("z1"); p.remove("z2") }, "zones-overlap zone-count zone-split passage-narrow keepout-outside-zone corridor-off-zone zone-unreachable hazard-uncovered", "zone"},
		{"no keepout", func(p *plot) { p.remove("k1"); p.remove("h1") }, "keepout-outside-zone keepouts-overlap", "keepout"},
		{"no hazard", func(p *plot) { p.remove("h1") }, "hazard-uncovered", "hazard"},
		{"no edge", func(p *plot) { p.remove("e1"); p.remove("e2") }, "edge-setback", "edge"},
		{"no boundary", func(p *plot) { p.remove("p1") }, "boundary-crossed", "boundary"},
		{"no supply", func(p *plot) { p.remove("s1") }, "cable-run", "supply"},
		{"no building", func(p *plot) { p.remove("g1") }, "sky-blocked", "building"},
		{"building without a height", func(p *plot) { p.get("g1").props = nil }, "sky-blocked", "height_m"},
		{"tree without a height", func(p *plot) {
			p.add(&thing{id: "t", role: "hazard", name: "Oak", point: &orb.Point{70, 30}}).set("hazard_kind", schema.String("oak tree"))
		}, "sky-blocked", "height_m"},
		{"no heights", noHeights, "slope-limit", "heights"},
		{"no heights of one zone", func(p *plot) { p.get("z1").z = nil }, "slope-limit", "North lawn"},
		{"no heading", func(p *plot) { p.get("d1").props = nil }, "corridor-off-dock dock-approach dock-in-keepout", "heading_deg"},
		{"edge of no kind", func(p *plot) { p.get("e1").props = nil }, "edge-setback corridor-narrow", "kind of edge"},
		{"zone that crosses itself", func(p *plot) { broken(p, "z2") },
			"zones-overlap zone-split passage-narrow edge-setback boundary-crossed corridor-off-zone zone-unreachable hazard-uncovered curve-coarse", "South lawn"},
		{"keepout that crosses itself", func(p *plot) { broken(p, "k1") },
			"keepout-outside-zone keepouts-overlap corridor-through-keepout passage-narrow zone-split dock-in-keepout hazard-uncovered", "Well bed"},
		{"boundary that crosses itself", func(p *plot) { broken(p, "p1") }, "boundary-crossed", "Park limit"},
		{"nothing in the plan has a name", func(p *plot) {
			for _, x := range p.things {
				x.name = ""
			}
		}, "name-repeated", "name"},
		{"corridor of one point", func(p *plot) { p.get("c2").line = []orb.Point{{15, 1.5}, {15, 1.5}} }, "corridor-off-zone corridor-narrow", "Path crossing"},
	} {
		t.Run(x.name, func(t *testing.T) {
			p := park()
			x.without(p)
			r := validate.Check(p.plan(t), schema.DefaultLimits())
			for _, rule := range strings.Fields(x.rules) {
				o := r.Outcome(rule)
				want := validate.Unchecked
				if nothingFor(r.Site, rule) || x.name == "no hazard" { // and nothing called after one
					want = validate.NotNeeded
				}
				if o.Outcome != want || !strings.Contains(o.Reason, x.reason) {
					t.Errorf("%s is %s (%q), want %s for %q", rule, o.Outcome, o.Reason, want, x.reason)
				}
				if o.Outcome == validate.Failed {
					t.Errorf("%s failed: %s", rule, show(findingOf(r, rule)))
				}
			}
		})
	}
}

// nothingFor reports whether a site has nothing that the rule applies to.
func nothingFor(s *validate.Site, name string) bool {
	switch name {
	case "sky-blocked": // it applies to what hides the sky
		return len(s.Of(schema.RoleBuilding)) == 0
	case "name-repeated":
		return !slices.ContainsFunc(s.Features, func(f *validate.Feature) bool { return f.Name != "" })
	}
	rule, _ := validate.Find(name)
	for _, roles := range rule.Over {
		if !slices.ContainsFunc(roles, func(role schema.Role) bool { return len(s.Of(role)) > 0 }) {
			return true
		}
	}
	return false
}

func findingOf(r *validate.Report, rule string) validate.Finding {
	for _, f := range r.Findings {
		if f.Rule == rule {
			return f
		}
	}
	return validate.Finding{}
}

// onTheGround are the rules that need ground to measure on.
func onTheGround() []string {
	var out []string
	for _, r := range validate.RulesOf(validate.CommandCheck) {
		switch {
		case strings.HasPrefix(r.Name, "name-"), strings.HasPrefix(r.Name, "role-"), strings.HasPrefix(r.Name, "coordinate-"),
			strings.HasPrefix(r.Name, "ring-"), strings.HasPrefix(r.Name, "hole"), strings.HasSuffix(r.Name, "-missing"):
			continue
		}
		switch r.Name {
		case "feature-far-away", "base-range", "base-height", "survey-quality", "interior-split", "axes-swapped", "geometry-unfit", "switch-unfit", "property-misnamed", "property-unread", "words-unread", "limits-invalid", "limit-loosened", "zone-count":
			continue
		}
		out = append(out, r.Name)
	}
	return out
}

func TestNothingOnTheGroundIsJudgedWithoutGround(t *testing.T) {
	rules := onTheGround()
	if len(rules) < 20 {
		t.Fatalf("only %v", rules)
	}
	wide := park().plan(t)
	for i, f := range wide.Features { // every feature 30 km from the last
		flat := append([]float64(nil), f.Geometry.FlatCoords()...)
		for k := 1; k < len(flat); k += f.Geometry.Stride() {
			flat[k] += 0.27 * float64(i)
		}
		g, err := schema.WithFlatCoords(f.Geometry, flat)
		if err != nil {
			t.Fatal(err)
		}
		f.Geometry = g
	}
	for name, plan := range map[string]*schema.Plan{
		"too wide": wide, "empty": {}, "nil": nil,
		"no geometry": {Features: []*schema.Feature{{Role: schema.RoleZone}, {Role: schema.RoleDock}}},
		"nil feature": {Features: []*schema.Feature{nil}},
		"empty geometry": {Features: []*schema.Feature{{Role: schema.RoleZone, Geometry: geom.NewPolygon(geom.XY)},
			{Role: schema.RoleCorridor, Geometry: geom.NewLineString(geom.XYZ)}, {Role: schema.RoleDock, Geometry: geom.NewPointEmpty(geom.XY)}}},
	} {
		r := validate.Check(plan, schema.DefaultLimits())
		for _, rule := range rules {
			if o := r.Outcome(rule); o.Outcome != validate.Unchecked && o.Outcome != validate.NotNeeded || o.Reason == "" {
				t.Errorf("%s: %s is %s (%s)", name, rule, o.Outcome, o.Reason)
			}
		}
		if len(r.Rules) != len(validate.RulesOf(validate.CommandCheck)) {
			t.Errorf("%s: %d results for %d rules", name, len(r.Rules), len(validate.RulesOf(validate.CommandCheck)))
		}
	}
}

// TestEveryRuleNeedsItsData: on a plan of zones alone no rule about anything
// else passes.
func TestEveryRuleNeedsItsData(t *testing.T) {
	p := &plot{things: []*thing{{id: "z", role: "zone", name: "Lawn", rings: [][]orb.Point{rect(0, 0, 10, 10)}}}}
	r := validate.Check(p.plan(t), schema.DefaultLimits())
	passed := map[string]bool{}
	for _, x := range r.Rules {
		passed[x.Rule] = x.Outcome == validate.Passed
	}
	var got []string
	for _, x := range validate.RulesOf(validate.CommandCheck) {
		if passed[x.Name] {
			got = append(got, x.Name)
		}
	}
	want := "coordinate-invalid axes-swapped feature-far-away ring-open ring-too-few-points ring-repeated-point ring-spike ring-crosses-itself ring-direction " +
		"hole-outside-shell holes-overlap interior-split curve-coarse zones-overlap zone-count zone-missing zone-split passage-narrow name-missing name-repeated " +
		"role-unknown role-missing geometry-unfit switch-unfit property-misnamed limits-invalid limit-loosened property-unread words-unread name-contradicts"
	if fmt.Sprint(got) != fmt.Sprint(strings.Fields(want)) {
		t.Errorf("passed on a single lawn:\n got %v\nwant %v", got, strings.Fields(want))
	}
}
