// The rule table and its pages.

package validate_test

import (
	"strings"
	"testing"

	"swardline/schema"
	"swardline/validate"
)

// designed are the rules of the design's list that belong to this table.
const designed = `coordinate-invalid axes-swapped ring-open ring-too-few-points ring-repeated-point ring-spike ring-crosses-itself ring-direction
hole-outside-shell holes-overlap interior-split curve-coarse keepout-outside-zone keepouts-overlap zones-overlap zone-count zone-split passage-narrow
hazard-uncovered edge-setback boundary-crossed corridor-off-zone corridor-off-dock corridor-through-keepout corridor-narrow zone-unreachable
dock-missing dock-in-keepout dock-approach base-missing base-range slope-limit cable-run sky-blocked name-missing name-repeated role-unknown
accuracy-unfit epoch-unknown`

func TestTableIsComplete(t *testing.T) {
	for _, name := range strings.Fields(designed) {
		if _, ok := validate.Find(name); !ok {
			t.Errorf("there is no rule %s", name)
		}
	}
	if _, ok := validate.Find("no-such-rule"); ok {
		t.Error("a rule that does not exist was found")
	}
}

func TestEveryRuleHasItsPage(t *testing.T) {
	l := schema.DefaultLimits()
	seen := map[string]bool{}
	for _, r := range validate.Rules {
		if seen[r.Name] {
			t.Errorf("%s stands twice", r.Name)
		}
		seen[r.Name] = true
		switch r.Severity {
		case validate.Error, validate.Warning, validate.Note:
		default:
			t.Errorf("%s has the severity %q", r.Name, r.Severity)
		}
		for _, key := range r.Limits {
			if _, ok := l.Get(key); !ok {
				t.Errorf("%s compares with %s, which is no limit", r.Name, key)
			}
		}
		p := r.Page
		for what, text := range map[string]string{"what": p.What, "why": p.Why, "source": p.Source, "fails": p.Fails, "passes": p.Passes, "mend": p.Mend} {
			if len(text) < 8 {
				t.Errorf("%s says nothing of %s", r.Name, what)
			}
		}
		text, ok := validate.Explain(r.Name)
		if !ok {
			t.Errorf("%s has no page", r.Name)
		}
		if !strings.HasPrefix(text, r.Name+" ("+string(r.Severity)+")\n") {
			t.Errorf("the page of %s begins %.40q", r.Name, text)
		}
		for _, key := range r.Limits {
			if !strings.Contains(text, key+", default ") {
				t.Errorf("the page of %s does not give %s", r.Name, key)
			}
		}
		for _, line := range strings.Split(text, "\n") {
			if len([]rune(line)) > 80 {
				t.Errorf("the page of %s has a line of %d columns: %s", r.Name, len([]rune(line)), line)
			}
			for _, word := range strings.Fields(line) {
				if strings.EqualFold(strings.Trim(word, ".,;:"), "safe") {
					t.Errorf("the page of %s calls something safe: %s", r.Name, line)
				}
			}
		}
		if r.Mendable && !strings.Contains(text, "swardline mend") {
			t.Errorf("the page of %s does not say that it is mendable", r.Name)
		}
	}
	if _, ok := validate.Explain("no-such-rule"); ok {
		t.Error("a rule that does not exist has a page")
	}
}

func TestDesignedSeverities(t *testing.T) {
	want := map[string]validate.Severity{}
	for _, name := range strings.Fields(designed) {
		want[name] = validate.Error
	}
	for _, name := range strings.Fields(`axes-swapped ring-repeated-point ring-spike ring-direction curve-coarse keepouts-overlap zones-overlap passage-narrow edge-setback
		cable-run sky-blocked name-repeated role-unknown`) {
		want[name] = validate.Warning
	}
	want["name-missing"], want["epoch-unknown"] = validate.Note, validate.Note
	for name, s := range want {
		if r, _ := validate.Find(name); r.Severity != s {
			t.Errorf("%s is %s, want %s", name, r.Severity, s)
		}
	}
	for _, name := range []string{"ring-open", "ring-repeated-point", "ring-spike", "ring-direction"} {
		if r, _ := validate.Find(name); !r.Mendable {
			t.Errorf("%s is not mendable", name)
		}
	}
}

func TestFindingsAreInOrder(t *testing.T) {
	p := park()
	for _, rule := range []string{"zone-unreachable", "keepout-outside-zone", "edge-setback", "name-missing"} {
		brokenPlans[rule].fail(p)
	}
	p.get("k1").name, p.get("c2").name = "", ""
	plan := p.plan(t)
	r := validate.Check(plan, schema.DefaultLimits())
	order := map[string]int{}
	for i, x := range validate.RulesOf(validate.CommandCheck) {
		order[x.Name] = i
	}
	index := map[*schema.Feature]int{}
	for i, f := range plan.Features {
		index[f] = i
	}
	if len(r.Findings) < 6 {
		t.Fatalf("only %d findings", len(r.Findings))
	}
	for i := 1; i < len(r.Findings); i++ {
		a, b := r.Findings[i-1], r.Findings[i]
		if order[a.Rule] > order[b.Rule] {
			t.Errorf("%s stands before %s", a.Rule, b.Rule)
		}
		if a.Rule == b.Rule && len(a.Features) > 0 && len(b.Features) > 0 && index[a.Features[0]] > index[b.Features[0]] {
			t.Errorf("%s: feature %d stands before %d", a.Rule, index[a.Features[0]], index[b.Features[0]])
		}
	}
	again := validate.Check(plan, schema.DefaultLimits())
	for i := range r.Findings {
		if show(r.Findings[i]) != show(again.Findings[i]) {
			t.Errorf("two runs differ: %s and %s", show(r.Findings[i]), show(again.Findings[i]))
		}
	}
}
