// Tests of lines above a list's header.

package csv

import (
	"strings"
	"testing"

	"swardline/convert/wire"
)

// TestHeardAboveTheHeader: what remarks and lines above the header say is kept for
// the rules; lines of signs and numbers say nothing.
func TestHeardAboveTheHeader(t *testing.T) {
	const list = "name,e,n\na,500001.25,6200001.25\n"
	for in, want := range map[string]string{
		list:                          "",
		"# void: base moved\n" + list: "void: base moved",
		"Site A;;\n\nnot surveyed;;\n" + strings.ReplaceAll(list, ",", ";"): "Site A|not surveyed",
		"# ----- 3\n" + list: "",
		"# +/- 2 m\n" + list: "+/- 2 m",
	} {
		p, warnings, err := Read([]byte(in), wire.ReadOptions{Name: "a.csv"})
		if err != nil {
			t.Fatal(in, err)
		}
		var got []string
		for _, b := range p.Beside {
			got = append(got, b.Text)
		}
		if strings.Join(got, "|") != want {
			t.Errorf("%q: %q; %v", in, got, warnings)
		}
		for _, w := range warnings {
			if (w.Kind == "comment" || w.Kind == "preamble") && w.Unheard() {
				t.Errorf("%s counts beside its words", w.Kind)
			}
		}
	}
}
