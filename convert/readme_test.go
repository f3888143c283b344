// The table of convert/README.md has a row for every format.

package convert_test

import (
	"os"
	"regexp"
	"strings"
	"testing"

	"swardline/convert"
)

// row is a row of the table: title, folder, standard, read, write.
var row = regexp.MustCompile("(?m)^\\| ([^|]+) \\| `([a-z]+)` \\| [^|]+ \\| ([^|]+) \\| ([^|]+) \\|")

func TestReadmeHasEveryFormat(t *testing.T) {
	text, err := os.ReadFile("README.md")
	if err != nil {
		t.Fatal(err)
	}
	type says struct{ reads, writes bool }
	rows := map[string]says{}
	for _, m := range row.FindAllStringSubmatch(string(text), -1) {
		if _, err := os.Stat(m[2]); err != nil {
			t.Errorf("%s: %v", m[1], err)
		}
		rows[m[2]] = says{!strings.HasPrefix(m[3], "no"), !strings.HasPrefix(m[4], "no")}
	}
	for _, f := range convert.Formats {
		folder := f.Name
		if folder == "kmz" {
			folder = "kml"
		}
		got, ok := rows[folder]
		if !ok {
			t.Errorf("convert/README.md has no row for %s: add | %s | `%s` | standard | read | write | coordinates | not carried |", f.Name, f.Title, folder)
			continue
		}
		if want := (says{f.Read != nil, f.Write != nil}); got != want {
			t.Errorf("convert/README.md says of %s that it is %+v, the table of formats %+v", f.Name, got, want)
		}
	}
}
