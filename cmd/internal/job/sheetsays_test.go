// What the sheet says of how far the check went, and of what is off.

package job

import (
	"os"
	"path/filepath"
	"strings"
	"testing"

	"swardline/convert/sheet"
	"swardline/schema"
	"swardline/validate"
)

// How far a check went is told beside its outcome, and what is named as not
// checked is what was not.
func TestTestedWords(t *testing.T) {
	r := &validate.Report{Rules: []validate.Result{{Rule: "a", Outcome: validate.Passed}, {Rule: "b", Outcome: validate.NotNeeded, Reason: "no dock"},
		{Rule: "c", Outcome: validate.Unchecked, Reason: "no heights"}, {Rule: "d", Outcome: validate.Failed, Reason: "one zone crosses itself"}},
		Used: []validate.LimitUse{{Name: "x", From: schema.OriginDefault}, {Name: "x", From: schema.OriginDefault}, {Name: "y", From: schema.OriginFile}}}
	want := "Not checked: c; checked only in part: d. 2 of 4 rules checked; 1 need nothing here. 1 limit(s) are defaults, not from the machine's manual."
	if got := testedWords(r); got != want {
		t.Errorf("%q, want %q", got, want)
	}
	if got := strings.Join(notChecked(r.Rules), "; "); got != "c: no heights; d: one zone crosses itself" {
		t.Errorf("not checked: %q", got)
	}
}

// The README of a hand-over says what was not checked before it says that
// nothing was found, and by how many rules.
func TestReadmeSaysNotCheckedFirst(t *testing.T) {
	const tested = "Not checked: slope-limit. 1 of 2 rules checked; 0 need nothing here."
	d := &sheet.Drawing{Title: "Yard", Tested: tested, NotChecked: []string{"slope-limit: no heights"}}
	text := (&sheetJob{plan: &schema.Plan{}, drawing: d}).readme(nil)
	said := strings.Join(strings.Fields(text), " ")
	order := []string{"Findings " + tested, "not checked: slope-limit: no heights", "No findings by the rules tested"}
	for i, at := 0, 0; i < len(order); i++ {
		k := strings.Index(said[at:], order[i])
		if k < 0 {
			t.Fatalf("no %q where it should stand:\n%s", order[i], text)
		}
		at += k
	}
	d.Findings = make([]sheet.Finding, 3)
	if text = (&sheetJob{plan: &schema.Plan{}, drawing: d}).readme(nil); strings.Contains(text, "No findings") || !strings.Contains(text, "  3, numbered") || !strings.Contains(text, "Not checked: slope") {
		t.Errorf("with findings:\n%s", text)
	}
}

// The park's sheet says of its tent, which is off, that the ground is mown, and
// its map of the sky has names inside their lawns.
func TestSheetSays(t *testing.T) {
	const plan = "park.geojson"
	data, err := os.ReadFile(filepath.Join("..", "..", "..", "examples", "park", plan))
	if err != nil {
		t.Fatal(err)
	}
	j := &Job{Store: &Memory{In: []File{{plan, data}}}}
	job, err := j.prepareSheet(&SheetOptions{Source: plan, Grid: "EPSG:32632"})
	if err != nil {
		t.Fatal(err)
	}
	said := strings.Join(job.drawing.Notes, "\n")
	for _, want := range []string{"Off, so NOT kept out: the machine mows there: k5 Event tent.", "at height 51.5 m, which is that of the base's antenna"} {
		if !strings.Contains(said, want) {
			t.Errorf("the notes lack %q:\n%s", want, said)
		}
	}
	if !strings.Contains(job.drawing.Plain, "NOT kept out") {
		t.Errorf("a client is told %q", job.drawing.Plain)
	}
	alone, err := validate.Sky(job.plan, job.limits, validate.SkyOptions{})
	if err != nil {
		t.Fatal(err)
	}
	for _, of := range []*sheet.Sky{job.drawing.Sky, skyDrawn(alone, nil)} {
		for _, f := range of.Features {
			if f.Role == schema.RoleZone && !(f.RoomM > 5) {
				t.Errorf("the map of the sky knows no room for the name of %s", f.Label())
			}
		}
	}
}

// What a client gets of the park is one page of A4; where the tables have no
// room, it is told why there are two.
func TestClientSheetIsOnePage(t *testing.T) {
	const plan = "park.geojson"
	data, err := os.ReadFile(filepath.Join("..", "..", "..", "examples", "park", plan))
	if err != nil {
		t.Fatal(err)
	}
	for _, tc := range []struct {
		paper, whom string
		pages       int
		why         string
	}{
		{"A4", "client", 1, ""},
		{"A3", "client", 1, ""},
		{"Letter", "client", 2, "the client's sheet takes 2 pages: beside a map at 1:1250 on Letter the tables have no room in letters of 1.8 mm"},
		{"A3", "authority", 2, ""},
	} {
		j := &Job{Store: &Memory{In: []File{{plan, data}}}}
		job, err := j.prepareSheet(&SheetOptions{Source: plan, Paper: tc.paper, For: tc.whom})
		if err != nil {
			t.Fatal(err)
		}
		set, err := sheet.Compose(job.drawing, job.layout)
		if err != nil {
			t.Fatal(err)
		}
		if said := strings.Join(set.Notes, "\n"); len(set.Pages) != tc.pages || (tc.why == "") == strings.Contains(said, "takes") || !strings.Contains(said, tc.why) {
			t.Errorf("%s for %s: %d pages, %q", tc.paper, tc.whom, len(set.Pages), said)
		}
	}
}
