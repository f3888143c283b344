// What the page says of a check and of files, and what it offers to change.

package desk

import (
	"fmt"
	"regexp"
	"strings"
	"testing"

	"swardline/cmd/internal/job"
	"swardline/validate"
)

// TestWhatIsSaidOfACheck: what was not checked first, counts that add up, and no
// words of the command line.
func TestWhatIsSaidOfACheck(t *testing.T) {
	s := New(job.File{Name: "park.dxf", Bytes: file(t, "drawing/park.dxf")})
	for _, roles := range [][]object{nil, guessed(t, s)} {
		ask[viewReply](t, s, "plan", object{"source": "park.dxf", "roles": roles})
		c := ask[checkReply](t, s, "check", object{})
		if first := fmt.Sprintf("%d rules not checked. ", len(c.Unchecked)); len(c.Unchecked) < 2 || !strings.HasPrefix(c.Words, first) {
			t.Errorf("%q begins otherwise than %q", c.Words, first)
		}
		sum, n := 0, regexp.MustCompile(`\d+`).FindAllString(c.Counts, -1)
		for _, x := range n {
			var v int
			fmt.Sscan(x, &v)
			sum += v
		}
		if len(n) != 5 || fmt.Sprint(sum/2) != n[4] || sum%2 != 0 {
			t.Errorf("%q does not add up", c.Counts)
		}
		seen := 0
		for _, f := range c.Findings {
			if f.Rule == validate.RuleRoleMissing || f.Rule == validate.RuleRoleUnknown {
				seen++
				if !strings.Contains(f.Mend, "under 1 Open") || strings.Contains(f.Message, "--") {
					t.Errorf("%+v", f)
				}
			}
		}
		if seen == 0 {
			t.Errorf("nothing without a role: %q", c.Words)
		}
	}
}

// TestNoFlagsOnThePage: what to do about a finding of any rule that the page runs,
// and about a movement, is told in what can be tapped.
func TestNoFlagsOnThePage(t *testing.T) {
	commandLine := regexp.MustCompile(`--[a-z]|'swardline|limits file|column order|\bconvert\b|\bedit\b`)
	for _, c := range []validate.Command{validate.CommandCheck, validate.CommandDrift, validate.CommandDriven} {
		for _, r := range validate.RulesOf(c) {
			if words := stepOf(r.Name); words == "" || commandLine.MatchString(words) {
				t.Errorf("%s: %q", r.Name, words)
			}
		}
	}
	marks := func(rows string) job.File {
		return job.File{Name: "m.csv", Bytes: []byte("id,role,name,lon,lat\n" + rows)}
	}
	for rows, want := range map[string]string{
		"m1,mark,M1,11.2000804998,56.9500272937\nm2,mark,M2,11.2028432686,56.9497017281\nm3,mark,M3,11.2032578750,56.9507644739\nm4,mark,M4,11.2005267186,56.9510861613\n": "(Make the corrected plan, below)",
		"m1,mark,M1,11.2000793998,56.9500272937\n": "more marks also show",
	} {
		s := New(job.File{Name: "park.geojson", Bytes: file(t, "park/park.geojson")}, marks(rows))
		ask[viewReply](t, s, "plan", object{"source": "park.geojson"})
		d := ask[driftReply](t, s, "drift", object{"marks": "m.csv"})
		said := strings.Join(d.Advice, "\n")
		if !strings.Contains(said, want) || commandLine.MatchString(said) {
			t.Errorf("%s: %q", rows, said)
		}
	}
}

// TestOverlapSelectsTheSmaller: what is offered to change first is never the larger
// of two keep-outs, whichever stands first, and one alone stays what it is.
func TestOverlapSelectsTheSmaller(t *testing.T) {
	box := func(name string, w string) string {
		return `{"type":"Feature","properties":{"role":"keepout","name":"` + name + `"},"geometry":{"type":"Polygon","coordinates":[[[9,56],[` + w + `,56],[` + w + `,56.0003],[9,56.0003],[9,56]]]}}`
	}
	for _, names := range [][2]string{{"Large", "Small"}, {"Small", "Large"}} {
		var parts []string
		for _, n := range names {
			w := "9.0003"
			if n == "Large" {
				w = "9.0004"
			}
			parts = append(parts, box(n, w))
		}
		s := New(job.File{Name: "two.geojson", Bytes: []byte(`{"type":"FeatureCollection","features":[` + strings.Join(parts, ",") + `]}`)})
		v := ask[viewReply](t, s, "plan", object{"source": "two.geojson"})
		found := false
		for _, f := range ask[checkReply](t, s, "check", object{}).Findings {
			if f.Rule != validate.RuleKeepoutsOverlap {
				continue
			}
			found = true
			if v.Features[f.Change].Name != "Small" || strings.Contains(f.Mend, "older") || !strings.Contains(f.Mend, "never the larger") {
				t.Errorf("%v: offers %q, %q", names, v.Features[f.Change].Name, f.Mend)
			}
		}
		if !found {
			t.Errorf("%v: no overlap found", names)
		}
	}
}

// TestWhatAFileHolds: only data says that it holds the whole plan, and the file to
// go on working with is named.
func TestWhatAFileHolds(t *testing.T) {
	s := New()
	send(t, s, "put", object{"name": "marks.csv"}, file(t, "drawing/marks.csv"))
	h := ask[helloReply](t, s, "hello", object{})
	for _, o := range h.Sheets {
		if o.Whole || o.Holds == "" || strings.Contains(o.Holds, "holds everything") {
			t.Errorf("%+v", o)
		}
	}
	named := 0
	for _, o := range h.Formats {
		if strings.Contains(o.Words, "go on working") {
			named++
		}
		if o.Holds == "" {
			t.Errorf("%+v", o)
		}
	}
	if named != 1 {
		t.Errorf("%d files to go on working with", named)
	}
	if len(h.Files) != 1 || !h.Files[0].Marks {
		t.Errorf("%+v", h.Files)
	}
}
