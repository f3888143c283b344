// Tests of what a file says beside its plan.

package validate_test

import (
	"strings"
	"testing"

	"swardline/schema"
	"swardline/validate"
)

// TestBesideThePlan: texts that the file holds beside the plan are read word by
// word, names of people and places may stand where they are to be expected, and
// what nobody heard is unchecked.
func TestBesideThePlan(t *testing.T) {
	for _, x := range []struct {
		text    string
		names   bool
		comment bool
		outcome validate.Outcome
		says    string
	}{
		{"Lawn 2 of the garden", false, false, validate.Passed, ""},
		{"Never mow: sinkhole", false, false, validate.Failed, `"sinkhole" (text of the balloon)`},
		{"Rosa Lindenhof, Am Hang 3, 12345 Neudorf", true, false, validate.Passed, ""},
		{"Rosa Lindenhof, Am Hang 3, 12345 Neudorf", false, false, validate.Failed, `"rosa"`},
		{"sketched by eye", true, false, validate.Failed, "sketched"},
		{"Deep Water", true, false, validate.Failed, "water"},
		{"rosa@example.org", true, false, validate.Passed, ""},
		{"written by exporter 3.1 on 2026-04-02, layer 4 of styles", false, true, validate.Passed, ""},
		{"swardline plan drawing, 1 unit = 1 m", false, true, validate.Passed, ""},
		{"base moved, do not use", false, true, validate.Failed, `"moved" (text of the balloon)`},
		{"superseded by plan 7", false, true, validate.Failed, "superseded"},
		{"cesspit, open well under the back lawn", false, true, validate.Failed, "cesspit, open well"},
		{"Pond", false, true, validate.Passed, ""},
		{"the place lies in open water", false, true, validate.Passed, ""},
	} {
		p := park().plan(t)
		p.AddBeside(schema.BesideText{Where: "the balloon", Text: x.text, Names: x.names, Comment: x.comment})
		r := validate.Check(p, schema.DefaultLimits())
		says := ""
		for _, f := range r.Findings {
			says += f.Message
		}
		if got := r.Outcome(validate.RuleWordsUnread); got.Outcome != x.outcome || !strings.Contains(says, x.says) || (r.Status() == validate.StatusClean) != (x.outcome == validate.Passed) {
			t.Errorf("%q, names %v: %s %s", x.text, x.names, got.Outcome, says)
		}
	}
	p := park().plan(t)
	p.AddUnheard("the file a.docx of the archive was not read")
	r := validate.Check(p, schema.DefaultLimits())
	if got := r.Outcome(validate.RuleWordsUnread); got.Outcome != validate.Unchecked || !strings.Contains(got.Reason, "a.docx") || r.Status() != validate.StatusUnchecked {
		t.Errorf("%s: %s, %s", got.Outcome, got.Reason, r.Status())
	}
}

// TestAddressOfAFeature: an address says who lives there, unless it says more.
func TestAddressOfAFeature(t *testing.T) {
	for _, key := range []string{"address", "author"} {
		address := func(text string) func(p *plot) {
			return func(p *plot) { p.get("z1").set(key, schema.String(text)) }
		}
		judgeWords(t, "words-unread", []wordCase{
			{"a street", address("Am Hang 3, Neudorf"), validate.Passed, ""},
			{"what became of it", address("Lawn removed 2019, now a pond"), validate.Failed, "removed"},
		})
	}
}

// TestGeoidBesideEllipsoid: a height that says its geoid is one above the sea.
func TestGeoidBesideEllipsoid(t *testing.T) {
	geoid := func(heights, n string) func(p *plot) {
		return func(p *plot) {
			if heights != "" {
				member(p, schema.PlanHeights, schema.String(heights))
			}
			v, _ := schema.Number(n)
			p.get("b1").set("geoidheight", v)
		}
	}
	judgeWords(t, "geometry-unfit", []wordCase{
		{"above the ellipsoid", geoid("ellipsoidal", "48.2"), validate.Unchecked, "geoidheight 48.2"},
		{"of nothing", geoid("ellipsoidal", "0"), validate.Passed, ""},
		{"not said above what", geoid("", "48.2"), validate.Passed, ""},
	})
}
