// Tests of checking: each fault is named with its place.

package conform

import (
	"bytes"
	"encoding/json"
	"math/rand/v2"
	"reflect"
	"strings"
	"syscall"
	"testing"

	"swardline/convert/geojson"
	"swardline/convert/wire"
	"swardline/convert/wire/jsontext"
	"swardline/schema"
)

const goodPlan = `{"type":"FeatureCollection","name":"S","epoch":2024.5,"held":"offsets","limits":{"base_range_m":300},"anything":{"a":[1]},
"history":[{"stored":[9,56,40],"date":"2024-06-01"}],
"features":[
{"type":"Feature","id":"z","geometry":{"type":"Polygon","coordinates":[[[9,56],[9.1,56],[9.1,56.1,3],[9.05,56.2],[9,56.1],[9,56]]]},"properties":{"role":"zone","name":"N","cut_mm":40,"own":[null]}},
{"type":"Feature","id":7,"geometry":null,"properties":null},
{"type":"Feature","time":null,"place":{"type":"Point","coordinates":[6228000,500000]},"geometry":null,"properties":{"role":"dock","heading_deg":90.5}},
{"type":"Feature","geometry":{"type":"GeometryCollection","geometries":[{"type":"MultiPoint","coordinates":[[1,2]]},{"type":"MultiLineString","coordinates":[[[1,2],[3,4]]]},{"type":"MultiPolygon","coordinates":[[[[1,2],[3,4],[5,7],[1,2]]]]}]},"properties":{"role":"hazard"}},
{"type":"Feature","geometry":{"type":"LineString","coordinates":[[1,2],[3,4],[5,6],[7,8],[9,10],[11,12]]},"properties":{"role":"edge","edge_kind":"wall","active":false,"limits":{"slope_max_percent":20}}}
]}`

func TestCheck(t *testing.T) {
	tests := []struct {
		name, from, to string
		want           []string
	}{
		{"good", "", "", nil},
		{"byte-order mark", `{"type":"FeatureCollection"`, "\ufeff" + `{"type":"FeatureCollection"`, nil},
		{"not a plan", `"FeatureCollection"`, `"Feature"`, []string{`line 1: type: it is "Feature", where "FeatureCollection" should stand`}},
		{"unknown role", `"role":"zone"`, `"role":"lawn"`, []string{`line 4: features[0].properties.role: it is "lawn", which is none of "zone", "keepout", "corridor", "dock", "base", "mark", "hazard", "edge", "boundary", "supply", "building", "other"`}},
		{"type of a property", `"cut_mm":40`, `"cut_mm":"40"`, []string{`line 4: features[0].properties.cut_mm: it is a text, where a number should stand`}},
		{"range of a property", `"cut_mm":40`, `"cut_mm":-1`, []string{`line 4: features[0].properties.cut_mm: it is -1, and the least is 0`}},
		{"bearing", `"heading_deg":90.5`, `"heading_deg":1000`, []string{`line 6: features[2].properties.heading_deg: it is 1000, and the most is 360`}},
		{"bool", `"active":false`, `"active":0`, []string{`line 8: features[4].properties.active: it is a number, where true or false should stand`}},
		{"edge kind", `"edge_kind":"wall"`, `"edge_kind":"Wall"`, []string{`line 8: features[4].properties.edge_kind: it is "Wall", which is none of "wall", "kerb", "flush", "drop", "fence", "ramp", "gate"`}},
		{"unknown limit", `"slope_max_percent":20`, `"slope_max":20`, []string{`line 8: features[4].properties.limits: it has names that are not known here: "slope_max"`}},
		{"negative limit", `"base_range_m":300`, `"base_range_m":-5`, []string{`line 1: limits.base_range_m: it is -5, and the least is 0`}},
		{"held", `"held":"offsets"`, `"held":"both"`, []string{`line 1: held: it is "both", which is none of "offsets", "coordinates"`}},
		{"epoch", `"epoch":2024.5`, `"epoch":24.5`, []string{`line 1: epoch: it is 24.5, and the least is 1900`}},
		{"history", `[{"stored":[9,56,40],`, `[{"stored":[9],`, []string{`line 2: history[0].stored: it has 1 items, and the fewest are 2`}},
		{"old crs", `"anything":`, `"crs":{},"anything":`, []string{`line 1: crs: it should not be here`}},
		{"geometry of a role", `"role":"dock"`, `"role":"zone"`, []string{`line 6: features[2].place.type: it is "Point", which is none of "Polygon", "MultiPolygon"`}},
		{"line as a point", `"role":"hazard"`, `"role":"base"`, []string{`line 7: features[3].geometry.type: it is "GeometryCollection", where "Point" should stand`}},
		{"no geometry member", `"geometry":null,"properties":null`, `"properties":null`, []string{`line 5: features[1]: it lacks "geometry"`}},
		{"id", `"id":7`, `"id":[7]`, []string{`line 5: features[1].id: it is a list, where a number or a text should stand`}},
		{"open-ended ring", `[[1,2],[3,4],[5,7],[1,2]]`, `[[1,2],[3,4],[1,2]]`, []string{`line 7: features[3].geometry.geometries[2].coordinates[0][0]: it has 3 items, and the fewest are 4`}},
		{"short ring of a plain feature", `[9.1,56],[9.1,56.1,3],[9.05,56.2],[9,56.1],`, `[9.1,56],`, []string{`line 4: features[0].geometry.coordinates[0]: it has 3 items, and the fewest are 4`}},
		{"short line of a plain feature", `,[3,4],[5,6],[7,8],[9,10],[11,12]]`, `]`, []string{`line 8: features[4].geometry.coordinates: it has 1 items, and the fewest are 2`}},
		{"no position", `[[1,2],[3,4],[5,6],[7,8],[9,10],[11,12]]`, `[]`, []string{`line 8: features[4].geometry.coordinates: it has 0 items, and the fewest are 2`}},
		{"a late bad position", `[9,10],[11,12]`, `[9,10],["x",12]`, []string{`line 8: features[4].geometry.coordinates[5][0]: it is a text, where a number should stand`}},
		{"a late short position", `[11,12]`, `[11]`, []string{`line 8: features[4].geometry.coordinates[5]: it has 1 items, and the fewest are 2`}},
		{"a late deep position", `[11,12]`, `[[11,12]]`, []string{`line 8: features[4].geometry.coordinates[5]: it has 1 items, and the fewest are 2`, `line 8: features[4].geometry.coordinates[5][0]: it is a list, where a number should stand`}},
		{"no coordinates", `"type":"MultiPoint","coordinates":[[1,2]]`, `"type":"MultiPoint"`, []string{`line 7: features[3].geometry.geometries[0]: it lacks "coordinates"`}},
		{"no type", `"type":"MultiPoint",`, ``, []string{`line 7: features[3].geometry.geometries[0]: it lacks "type"`}},
		{"a name with marks", `"anything":`, `"plan_attributes":5,"anything":`, []string{`line 1: plan_attributes: it is a number, where an object should stand`}},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			text := strings.Replace(goodPlan, tt.from, tt.to, 1)
			if tt.from != "" && text == goodPlan {
				t.Fatalf("%s is not in the plan", tt.from)
			}
			faults, err := Check([]byte(text))
			if err != nil {
				t.Fatal(err)
			}
			var got []string
			for _, f := range faults {
				got = append(got, f.String())
			}
			if !reflect.DeepEqual(got, tt.want) {
				t.Errorf("got  %q\nwant %q", got, tt.want)
			}
		})
	}
}

func TestCheckOrder(t *testing.T) {
	text := `{"type":"FeatureCollection",
"features":[` + strings.Repeat(`{"type":"Feature","geometry":null,"properties":{"note":"ok"}},
`, 11) + `{"type":"Feature","geometry":null,"properties":{"note":1,"name":2}}, {"id":null,"type":"x"}],
"name": 5, "own ] \" name": {"a": "}"}, "limits": {"x": 1, "y": 2}}`
	want := []string{
		`line 13: features[11].properties.note: it is a number, where a text should stand`,
		`line 13: features[11].properties.name: it is a number, where a text should stand`,
		`line 13: features[12]: it lacks "geometry", "properties"`,
		`line 13: features[12].id: it is null, where a number or a text should stand`,
		`line 13: features[12].type: it is "x", where "Feature" should stand`,
		`line 14: name: it is a number, where a text should stand`,
		`line 14: limits: it has names that are not known here: "x", "y"`,
	}
	for i := 0; i < 20; i++ { // the engine goes over maps, whose order changes
		faults, err := Check([]byte(text))
		if err != nil {
			t.Fatal(err)
		}
		var got []string
		for _, f := range faults {
			got = append(got, f.String())
		}
		if !reflect.DeepEqual(got, want) {
			t.Fatalf("got\n%s\nwant\n%s", strings.Join(got, "\n"), strings.Join(want, "\n"))
		}
	}
}

func TestCheckOfNoJSON(t *testing.T) {
	for _, text := range []string{"", "{", `{"a":1,}`, `{"a":1,"a":2}`, `{"a" 1}`, "[1 2]", "[1,", "nul", "{}x", `{"coordinates":[[1,2],[3,4],[5,6],[7,8],[9,1e999]]}`, strings.Repeat("[", 100)} {
		faults, err := Check([]byte(text))
		if _, ok := err.(*jsontext.Error); !ok {
			t.Errorf("%s: %v, %v", text, faults, err)
		}
	}
}

// TestShortcuts changes a plan at random and holds the faults found in it
// against those found in the whole text, and whether that is in order against
// what a general JSON Schema engine says:
// github.com/santhosh-tekuri/jsonschema.
func TestShortcuts(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 2))
	pieces := []string{"[", "]", ",", "[1,2]", "[[1,2],[3,4],[5,6],[7,8],[9,9],[9,9]],", "1", `"x"`, "null", "[1]", "[1,2,3,4]", "{}", "coordinates", " ", "-", "01", "1.", "[1, 2]",
		"true", "-400", "1e400", "1e2", `"role":"dock",`, `"role":"edge",`, "Point", "LineString", "Polygon", "zone", "hazard", `"x":[1],`, `"é":"ü",`, `"a\n":1,`, `"epoch":5,`, `"edge_kind":"flush",`,
		`"name":5,`, `"active":1,`, `"radius_m":-1,`, `"limits":{"x":1},`, `"times":7,`, `"place":null,`, `"time":null,`, `"bbox":[1],`, `"id":true,`, `"crs":1,`, "\xff", "\n"}
	valid, invalid, lists := 0, 0, 0
	for i := 0; i < 20000; i++ {
		text := []byte(goodPlan)
		for k := 1 + r.IntN(3); k > 0; k-- {
			at := r.IntN(len(text))
			if r.IntN(2) == 0 { // where a member starts, an insertion mostly stays JSON
				if next := bytes.IndexAny(text[at:], "{,["); next >= 0 {
					at += next + 1
				}
			}
			cut := 0
			if r.IntN(2) == 0 {
				cut = min(r.IntN(8), len(text)-at)
			}
			text = append(append(append([]byte(nil), text[:at]...), pieces[r.IntN(len(pieces))]...), text[at+cut:]...)
		}
		want, err := check(text, nil, true)
		if err == nil {
			if faults := faultsOfEngine(t, text); !reflect.DeepEqual(places(want), faults) {
				t.Fatalf("the rule finds\n%v\nthe engine\n%v\n%s", places(want), faults, text)
			}
		}
		got, err2 := Check(text)
		if (err == nil) != (err2 == nil) || err != nil && err.Error() != err2.Error() {
			t.Fatalf("%v against %v\n%s", err2, err, text)
		}
		var read wire.Lists                                          // what the reader found spares work and changes nothing
		_, _, _ = geojson.Read(text, wire.ReadOptions{Lists: &read}) // the lists before an error count too
		if again, err := CheckRead(text, &read); !reflect.DeepEqual(again, got) || (err == nil) != (err2 == nil) {
			t.Fatalf("after reading\n%v, %v\notherwise\n%v, %v\n%s", again, err, got, err2, text)
		}
		lists += len(read.All)
		// Of positions that stand where numbers should, only the first four are
		// told.
		if (len(got) == 0) != (len(want) == 0) || !isSubset(got, want) {
			t.Fatalf("got\n%v\nwant\n%v\n%s", got, want, text)
		}
		if err == nil && len(want) == 0 {
			valid++
		} else if err == nil {
			invalid++
		}
	}
	if valid < 500 || invalid < 500 || lists < 10000 {
		t.Errorf("only %d valid and %d invalid texts were tried, with %d lists read", valid, invalid, lists)
	}
}

// TestListsRead: lists that a reader found are held to their depth and to their
// shortest all the same.
func TestListsRead(t *testing.T) {
	for _, c := range []struct {
		geometry string
		ok       bool
	}{
		{`"Point","coordinates":[1,2]`, true},
		{`"Point","coordinates":[[1,2]]`, false},
		{`"LineString","coordinates":[[1,2],[3,4]]`, true},
		{`"LineString","coordinates":[[1,2]]`, false},
		{`"LineString","coordinates":[[[1,2],[3,4]]]`, false},
		{`"Polygon","coordinates":[[[1,2],[3,4],[5,7],[1,2]]]`, true},
		{`"Polygon","coordinates":[[[1,2],[3,4],[5,7]]]`, false},
		{`"Polygon","coordinates":[[[0,0],[9,0],[9,9],[0,0]],[[5,2],[6,2],[6,3]]]`, false},
		{`"Polygon","coordinates":[[[5,2],[6,2],[6,3]],[[0,0],[9,0],[9,9],[0,0]]]`, false},
		{`"MultiLineString","coordinates":[[[1,2],[3,4]],[[5,6]]]`, false},
		{`"MultiPolygon","coordinates":[[[[1,2],[3,4],[5,7],[1,2]]],[[[1,2],[3,4],[5,7],[1,2]]]]`, true},
		{`"MultiPolygon","coordinates":[[[[1,2],[3,4],[5,7],[1,2]]],[[[1,2],[3,4],[5,7]]]]`, false},
	} {
		text := []byte(`{"type":"FeatureCollection","features":[{"type":"Feature","geometry":{"type":` + c.geometry + `},"properties":{"role":"hazard"}}]}`)
		var read wire.Lists
		_, _, _ = geojson.Read(text, wire.ReadOptions{Lists: &read})
		faults, err := CheckRead(text, &read)
		if err != nil || (len(faults) == 0) != c.ok || len(read.All) != 1 {
			t.Errorf("%s: %v, %v, lists %v", c.geometry, faults, err, read.All)
		}
	}
}

// Whatever the document asks of a member of the plan, the shortcut knows it.
func TestPlainRootKnowsEveryMember(t *testing.T) {
	var document struct {
		Properties map[string]any
	}
	if err := json.Unmarshal(schema.Document(), &document); err != nil || len(document.Properties) < 15 {
		t.Fatalf("%d members, %v", len(document.Properties), err)
	}
	sound := func() map[string]any { return map[string]any{"type": "FeatureCollection", "features": []any{}} }
	for name := range document.Properties {
		v := sound()
		v[name] = map[string]any{"x": 1.0}
		if plainRoot(v) {
			t.Errorf("%s may be anything", name)
		}
	}
	for _, c := range []struct {
		name  string
		value any
		plain bool
	}{{"type", "FeatureCollection", true}, {"type", "Feature", false}, {"type", nil, false}, {"features", []any{map[string]any{}}, false}, {"features", nil, false},
		{"name", "x", true}, {"name", 5.0, false}, {"held", "offsets", true}, {"held", "coordinates", true}, {"held", "both", false}, {"note", 5.0, true}} {
		v := sound()
		v[c.name] = c.value
		if plainRoot(v) != c.plain {
			t.Errorf("%s %v: %v", c.name, c.value, !c.plain)
		}
	}
	for _, name := range []string{"type", "features"} {
		v := sound()
		delete(v, name)
		if plainRoot(v) {
			t.Errorf("without %s it is plain", name)
		}
	}
	if plainRoot([]any{}) || plainRoot(nil) {
		t.Error("what is no object is plain")
	}
}

func isSubset(some, all []Fault) bool {
	in := map[Fault]bool{}
	for _, f := range all {
		in[f] = true
	}
	for _, f := range some {
		if !in[f] {
			return false
		}
	}
	return true
}

func BenchmarkCheck(b *testing.B) {
	line := `{"type":"Feature","id":"z","geometry":{"type":"Polygon","coordinates":[[` + strings.Repeat("[9.1234567891,56.1234567891],", 40) + `[9,56]]]},"properties":{"role":"zone","name":"North","cut_mm":40}}`
	text := []byte(`{"type":"FeatureCollection","features":[` + strings.Repeat(line+",", 29) + line + "]}")
	b.SetBytes(int64(len(text)))
	var before, after syscall.Rusage
	if err := syscall.Getrusage(syscall.RUSAGE_SELF, &before); err != nil {
		b.Fatal(err)
	}
	defer func() {
		if err := syscall.Getrusage(syscall.RUSAGE_SELF, &after); err != nil {
			b.Fatal(err)
		}
		// Processor time, which other work on the machine does not change.
		b.ReportMetric(float64(after.Utime.Nano()+after.Stime.Nano()-before.Utime.Nano()-before.Stime.Nano())/float64(b.N), "cpu-ns/op")
	}()
	for b.Loop() {
		if faults, err := Check(text); err != nil || len(faults) > 0 {
			b.Fatal(faults, err)
		}
	}
}

func FuzzCheck(f *testing.F) {
	f.Add([]byte(goodPlan))
	for _, s := range []string{"", "{}", "[]", `{"type":"FeatureCollection","features":[null,{"type":"Feature"},1]}`, `{"features":{"features":[[]]},"type":[]}`, `{"type":"FeatureCollection","features":[{"type":"Feature","geometry":{"type":"Point","coordinates":[1,2,"x"]},"properties":{"limits":{"a":1}}}],"a\"b":1}`} {
		f.Add([]byte(s))
	}
	f.Fuzz(func(t *testing.T, data []byte) {
		want, err := check(data, nil, true)
		got, err2 := Check(data)
		if (err == nil) != (err2 == nil) || err != nil && err.Error() != err2.Error() {
			t.Fatalf("%v against %v", err2, err)
		}
		if (len(got) == 0) != (len(want) == 0) || !isSubset(got, want) {
			t.Fatalf("got\n%v\nwant\n%v", got, want)
		}
		for _, s := range got {
			if s.Line < 1 || s.Message == "" {
				t.Fatalf("a fault says nothing: %+v", s)
			}
		}
	})
}
