// The order of the reports of a check, and the pages that it explains.

package main

import (
	"bytes"
	"context"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"swardline/validate"
	"swardline/validate/report"
)

// checked runs the program in this process and returns its status and what it
// printed.
func checked(t *testing.T, args ...string) (int, string) {
	t.Helper()
	var out, errs bytes.Buffer
	status := execute(context.Background(), args, streams{in: bytes.NewReader(nil), out: &out, err: &errs})
	return status, out.String() + errs.String()
}

// TestReportsComeInPathOrder: plans named in any order are reported in that of
// their paths.
func TestReportsComeInPathOrder(t *testing.T) {
	plan, err := os.ReadFile("../../examples/park/park.kml")
	if err != nil {
		t.Fatal(err)
	}
	dir := t.TempDir()
	var given []string
	for _, name := range []string{"c.kml", "a.kml", "d.kml", "B.kml"} {
		path := filepath.Join(dir, name)
		if err := os.WriteFile(path, plan, 0o644); err != nil {
			t.Fatal(err)
		}
		given = append(given, path)
	}
	sorted := slices.Sorted(slices.Values(given))
	for _, jobs := range []string{"1", "3"} {
		forms := []string{"r.json", "r.sarif", "r.xml", "r.geojson", "r.csv", "r.html", "r.txt", "g.csv"}
		var want [][]byte
		for _, order := range [][]string{sorted, given} {
			args := []string{"check", "--quiet", "--fail-on", "never", "--jobs", jobs, "--register", filepath.Join(dir, "g.csv")}
			for _, name := range forms[:len(forms)-1] {
				args = append(args, "--report", filepath.Join(dir, name))
			}
			if status, said := checked(t, append(args, order...)...); status != exitDone {
				t.Fatalf("status %d: %s", status, said)
			}
			for i, name := range forms {
				data, err := os.ReadFile(filepath.Join(dir, name))
				if err != nil {
					t.Fatal(err)
				}
				if len(want) < len(forms) {
					want = append(want, data)
				} else if !bytes.Equal(data, want[i]) {
					t.Errorf("--jobs %s: %s depends on the order in which the plans are named", jobs, name)
				}
			}
		}
		data, err := os.ReadFile(filepath.Join(dir, "r.json"))
		if err != nil {
			t.Fatal(err)
		}
		set, err := report.ReadJSON(data)
		if err != nil {
			t.Fatal(err)
		}
		var got []string
		for i := range set.Plans {
			got = append(got, set.Plans[i].Path)
		}
		if !slices.Equal(got, sorted) {
			t.Errorf("--jobs %s: the plans come as %q", jobs, got)
		}
	}
}

// TestExplainsEveryRule: check has the pages of a placement's rules too.
func TestExplainsEveryRule(t *testing.T) {
	for _, r := range validate.Rules {
		status, page := checked(t, "check", "--explain", r.Name)
		if status != exitDone || page != r.Text() || !strings.Contains(page, r.Page.Why[:20]) {
			t.Errorf("%s: status %d, %q", r.Name, status, page)
		}
	}
	if status, said := checked(t, "check", "--explain", "mark-suspects"); status != exitUsage || !strings.Contains(said, "there is no rule called") {
		t.Errorf("status %d, %q", status, said)
	}
}
