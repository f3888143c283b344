// Systems of coordinates that a part of a file names.

package geojson

import (
	"fmt"
	"strings"
	"testing"

	"swardline/convert/wire"
)

func TestSystemOfAPart(t *testing.T) {
	const old = `"crs":{"type":"name","properties":{"name":"EPSG:4314"}}`
	const ours = `"coordRefSys":"http://www.opengis.net/def/crs/OGC/0/CRS84"`
	const new = `"coordRefSys":"http://www.opengis.net/def/crs/EPSG/0/4230"`
	for _, x := range []struct {
		name, file string
		features   [2]string // what each feature says
		geometry   string    // what the first geometry says
		told       bool
	}{
		{"none", "", [2]string{}, "", false},
		{"a geometry", "", [2]string{}, "," + old, true},
		{"a feature", "", [2]string{"," + old}, "", true},
		{"a feature, the new way", "", [2]string{"," + new}, "", true},
		{"a feature, what holds anyway", "", [2]string{"," + ours}, "", false},
		{"all features", "", [2]string{"," + old, "," + old}, "", false},
		{"a feature and the file", "," + old, [2]string{"," + old}, "", false},
	} {
		feature := func(says, geometry string) string {
			return fmt.Sprintf(`{"type":"Feature","properties":{},"geometry":{"type":"Point","coordinates":[9,51]%s}%s}`, geometry, says)
		}
		text := `{"type":"FeatureCollection"` + x.file + `,"features":[` + feature(x.features[0], x.geometry) + "," + feature(x.features[1], "") + `]}`
		_, warnings, err := Read([]byte(text), wire.ReadOptions{})
		if err != nil {
			t.Fatalf("%s: %v", x.name, err)
		}
		told := false
		for _, w := range warnings {
			told = told || w.Kind == "crs-of-part" && w.Ground() && strings.Contains(w.Message, "1 of 2 features")
		}
		if told != x.told {
			t.Errorf("%s: told %v, want %v: %v", x.name, told, x.told, warnings)
		}
	}
}
