// Tests of marks matched by name.

package validate

import (
	"fmt"
	"strings"
	"testing"

	"swardline/schema"
)

func TestPairMarksAsPeopleWriteThem(t *testing.T) {
	list := func(role schema.Role, names []string) *schema.Plan {
		var features []*schema.Feature
		for i, n := range names {
			features = append(features, thing(role, n, spot(float64(10*i), 5, 45)))
		}
		return driftPlan(t, features...)
	}
	for _, tc := range []struct {
		name          string
		before, after []string
		pairs         string // names of the pairs
		notes         string // a part of a note, "" for none
		wrong         string // a part of the error, "" for none
	}{
		{"to the letter", []string{"M1", "M2"}, []string{"M2", "M1"}, "M1 M2", "", ""},
		{"case", []string{"M1", "M2"}, []string{"m1", "M2"}, "M1 M2", `"m1" is taken for the plan's mark "M1"`, ""},
		{"spaces", []string{"M1", "M2"}, []string{" M 1", "M2 "}, "M1 M2", "taken for", ""},
		{"zeros", []string{"M1", "M2"}, []string{"M01", "M002"}, "M1 M2", "taken for", ""},
		{"zeros in the plan", []string{"M01", "M02"}, []string{"M1", "m2"}, "M01 M02", "taken for", ""},
		{"composed", []string{"Gr\u00fcn"}, []string{"gru\u0308n"}, "Gr\u00fcn", "taken for", ""},
		{"ten is not one", []string{"M1", "M10"}, []string{"M10", "M100"}, "M10", `"M100" is no mark`, ""},
		{"both in the plan, to the letter", []string{"M1", "M01"}, []string{"M1", "M01"}, "M01 M1", "", ""},
		{"both in the plan, otherwise", []string{"M1", "M01"}, []string{"m1"}, "", "", `could be any of the plan's marks "M01" and "M1"`},
		{"twice in the list", []string{"M1", "M2"}, []string{"M1", "m 1", "M2"}, "", "", `the mark "M1" stands twice`},
		{"twice, both otherwise", []string{"M1", "M2"}, []string{"m1", "m 1", "M2"}, "", "", `stands twice`},
		{"none", []string{"M1"}, []string{"K1"}, "", "", "no name is shared"},
	} {
		pairs, notes, err := PairMarks(list(schema.RoleMark, tc.before), list(schema.RoleMark, tc.after))
		if tc.wrong != "" {
			if err == nil || !strings.Contains(err.Error(), tc.wrong) {
				t.Errorf("%s: %v, want %s", tc.name, err, tc.wrong)
			}
			continue
		}
		if err != nil {
			t.Errorf("%s: %v", tc.name, err)
			continue
		}
		var names []string
		for _, p := range pairs {
			names = append(names, p.Name)
			// Each lies where its own name says.
			for i, n := range tc.before {
				if n == p.Name && !near(p.Before.E, pairs[0].Before.E+float64(10*(i-indexOf(tc.before, pairs[0].Name))), 1e-3) {
					t.Errorf("%s: %s lies at %v", tc.name, n, p.Before)
				}
			}
		}
		if got := strings.Join(names, " "); got != tc.pairs {
			t.Errorf("%s: pairs %s, want %s", tc.name, got, tc.pairs)
		}
		if got := fmt.Sprint(notes); (tc.notes == "") != (len(notes) == 0) || !strings.Contains(got, tc.notes) {
			t.Errorf("%s: notes %v, want %s", tc.name, notes, tc.notes)
		}
	}
}

func indexOf(list []string, s string) int {
	for i, x := range list {
		if x == s {
			return i
		}
	}
	return -1
}
