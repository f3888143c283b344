// Topologies: the specification's own example in both of its forms, shared
// arcs, faults, caps, any bytes.

package topojson

import (
	"errors"
	"fmt"
	"math"
	"strings"
	"testing"

	"github.com/twpayne/go-geom"

	"swardline/convert/wire"
	"swardline/crs"
	"swardline/schema"
)

// The example of the TopoJSON format specification, section 1.1, without and
// with quantization.
const (
	specification = `{"type":"Topology","objects":{"example":{"type":"GeometryCollection","geometries":[
	{"type":"Point","properties":{"prop0":"value0"},"coordinates":[102,0.5]},
	{"type":"LineString","properties":{"prop0":"value0","prop1":0},"arcs":[0]},
	{"type":"Polygon","properties":{"prop0":"value0","prop1":{"this":"that"}},"arcs":[[-2]]}]}},
	"arcs":[[[102,0],[103,1],[104,0],[105,1]],[[100,0],[101,0],[101,1],[100,1],[100,0]]]}`
	quantized = `{"type":"Topology","transform":{"scale":[0.0005000500050005,0.00010001000100010001],"translate":[100,0]},"objects":{"example":{"type":"GeometryCollection","geometries":[
	{"type":"Point","properties":{"prop0":"value0"},"coordinates":[4000,5000]},
	{"type":"LineString","properties":{"prop0":"value0","prop1":0},"arcs":[0]},
	{"type":"Polygon","properties":{"prop0":"value0","prop1":{"this":"that"}},"arcs":[[1]]}]}},
	"arcs":[[[4000,0],[1999,9999],[2000,-9999],[2000,9999]],[[0,0],[0,9999],[2000,0],[0,-9999],[-2000,0]]]}`
)

func TestTheSpecificationsExample(t *testing.T) {
	for name, text := range map[string]string{"plain": specification, "quantized": quantized} {
		p, warnings, err := Read([]byte(text), wire.ReadOptions{})
		tolerance, told := 0.0, 0
		if name == "quantized" {
			tolerance, told = 0.0006, 1 // a step of its grid
		}
		if err != nil || len(p.Features) != 3 || len(warnings) != told {
			t.Fatalf("%s: %v %v", name, warnings, err)
		}
		if want := tolerance / 0.0006 * 0.0005000500050005 * degreeM; math.Abs(p.Source.StepM-want) > 1e-9 {
			t.Errorf("%s: steps of %v m, want %v", name, p.Source.StepM, want)
		}
		for i, want := range [][]float64{{102, 0.5}, {102, 0, 103, 1, 104, 0, 105, 1}, {100, 0, 100, 1, 101, 1, 101, 0, 100, 0}} {
			got := p.Features[i].Geometry.FlatCoords()
			if len(got) != len(want) {
				t.Fatalf("%s: %v", name, got)
			}
			for k := range want {
				if math.Abs(got[k]-want[k]) > tolerance {
					t.Errorf("%s: %v, want %v", name, got, want)
					break
				}
			}
		}
		if got := string(p.Features[2].Attributes.AppendJSON(nil)); got != `{"prop0":"value0","prop1":{"this":"that"},"layer":"example"}` {
			t.Error(got)
		}
	}
}

func TestSharedArcs(t *testing.T) {
	// Two lawns with one border, a hole, heights, an id and a role; then a
	// multipolygon of the same arcs, a null and a collection.
	const text = `{"type":"Topology","objects":{"lawns":{"type":"GeometryCollection","geometries":[
		{"type":"Polygon","id":"a","properties":{"role":"zone","name":"West"},"arcs":[[0,1],[3]]},
		{"type":"Polygon","id":7,"properties":{"role":"zone"},"arcs":[[2,-1]]}]},
		"both":{"type":"MultiPolygon","arcs":[[[0,1],[3]],[[2,-1]]]},
		"none":{"type":null},
		"mixed":{"type":"GeometryCollection","geometries":[{"type":"GeometryCollection","geometries":[{"type":"MultiPoint","coordinates":[[1,2],[3,4]]},{"type":"MultiLineString","arcs":[[0],[2]]}]}]}},
		"arcs":[[[1,0,5],[1,1,6]],[[1,1,6],[0,1],[0,0],[1,0,5]],[[1,0],[2,0],[2,1],[1,1]],[[0.2,0.2],[0.2,0.4],[0.4,0.4],[0.2,0.2]]]}`
	p, _, err := Read([]byte(text), wire.ReadOptions{})
	if err != nil {
		t.Fatal(err)
	}
	var got []string
	for _, f := range p.Features {
		if f.Geometry == nil {
			got = append(got, "nil")
			continue
		}
		if c, ok := f.Geometry.(*geom.GeometryCollection); ok {
			got = append(got, fmt.Sprint("collection of ", len(c.Geoms())))
			continue
		}
		got = append(got, fmt.Sprint(f.ID.Text(), f.Role, f.Geometry.FlatCoords(), f.Geometry.Ends(), f.Geometry.Endss()))
	}
	want := []string{
		"azone[1 0 5 1 1 6 0 1 NaN 0 0 NaN 1 0 5 0.2 0.2 NaN 0.2 0.4 NaN 0.4 0.4 NaN 0.2 0.2 NaN] [15 27] []",
		"7zone[1 0 NaN 2 0 NaN 2 1 NaN 1 1 NaN 1 0 5] [15] []",
		"other[1 0 5 1 1 6 0 1 NaN 0 0 NaN 1 0 5 0.2 0.2 NaN 0.2 0.4 NaN 0.4 0.4 NaN 0.2 0.2 NaN 1 0 NaN 2 0 NaN 2 1 NaN 1 1 NaN 1 0 5] [] [[15 27] [42]]",
		"nil", "collection of 2"}
	for i := range want {
		if i >= len(got) || !strings.HasPrefix(strings.ReplaceAll(got[i], " []", ""), strings.ReplaceAll(want[i], " []", "")) {
			t.Errorf("%d: %v\nwant %s", i, got, want[i])
			break
		}
	}
}

// TestObjectNames: the name of an object is kept of features where it says more
// than their role.
func TestObjectNames(t *testing.T) {
	for name, want := range map[string]string{"do not mow": `{"layer":"do not mow"}`, "playground": `{"layer":"playground"}`, "zones": "{}", "Zone": "{}", "collection": "{}", "plan": "{}"} {
		text := `{"type":"Topology","objects":{"` + name + `":{"type":"Polygon","arcs":[[0]],"properties":{"role":"zone"}}},"arcs":[[[0,0],[1,0],[1,1],[0,0]]]}`
		p, _, err := Read([]byte(text), wire.ReadOptions{})
		if err != nil {
			t.Fatal(err)
		}
		if got := string(p.Features[0].Attributes.AppendJSON(nil)); got != want {
			t.Errorf("%s: %s, want %s", name, got, want)
		}
	}
}

// TestMembersBeside: what a topology says of the plan is kept as the plan's, so
// that rules see it; a geometry in a member of a feature is told.
func TestMembersBeside(t *testing.T) {
	for _, tt := range []struct{ from, to, members, warnings string }{
		{`"objects"`, `"name":"Park","limits":{"machine_width_m":1},"bbox":[0,0,1,2],"extra":{"type":"Polygon","arcs":[[0]]},"objects"`, `{"limits":{"machine_width_m":1},"extra":{"type":"Polygon","arcs":[[0]]}}`, ""},
		{`"objects"`, `"objects"`, `{}`, ""},
		{`"objects"`, `"bbox":[0,0,1,3],"objects"`, `{}`, "bbox-far drawn"},
		{`"objects"`, `"bbox":[0,0,-9,1,2.3,9],"objects"`, `{}`, ""},
		{`"type":"Polygon"`, `"type":"Polygon","bbox":[0,0,1.3,1]`, `{}`, "bbox-far drawn"},
		{`"type":"Polygon"`, `"type":"Polygon","bbox":[0,0,1.1,1]`, `{}`, ""},
		{`"type":"Point"`, `"type":"Point","pond":{"type":"Polygon","arcs":[[0]]}`, `{}`, "drawn-elsewhere"},
		{`"type":"Point"`, `"type":"Point","note":"the arcs"`, `{}`, ""},
		{`"objects"`, `"x":1,"objects"`, `{"x":1}`, ""},
		{`{"a"`, `{"zones":{"type":"GeometryCollection","status":"draft","properties":{"by":"hand"},"geometries":[]},"a"`, `{"layer_notes":{"zones":{"status":"draft","properties":{"by":"hand"}}}}`, ""},
		{`[0,0]]]}`, `[0,0]],[[5,5],[6,5],[6,6],[5,5]]]}`, `{}`, "arc-unused drawn"},
		{`[1,2]`, `[1,2,3,4]`, `{}`, "position-fourth drawn"},
		{`[1,2]`, `[1,2,3,0]`, `{}`, ""},
	} {
		text := `{"type":"Topology","objects":{"a":{"type":"Point","coordinates":[1,2]},"b":{"type":"Polygon","arcs":[[0]]}},"arcs":[[[0,0],[1,0],[1,1],[0,0]]]}`
		p, warnings, err := Read([]byte(strings.Replace(text, tt.from, tt.to, 1)), wire.ReadOptions{})
		if err != nil {
			t.Fatal(err)
		}
		var kinds []string
		ground := false
		for _, w := range warnings {
			kinds = append(kinds, w.Kind)
			ground = ground || w.Ground()
		}
		if got := string(p.Attributes.AppendJSON(nil)); got != tt.members || strings.Join(kinds, " ") != strings.TrimSuffix(tt.warnings, " drawn") || ground != strings.Contains(tt.warnings, "drawn") {
			t.Errorf("%s: %s %v", tt.to, got, warnings)
		}
	}
}

func TestRefusals(t *testing.T) {
	small := schema.DefaultLimits()
	small.InputMaxVertices, small.InputMaxFeatures = 8, 2
	replace := func(from, to string) string { return strings.Replace(specification, from, to, 1) }
	for _, tt := range []struct {
		text, want string
		limits     schema.Limits
	}{
		{"", "x: the file is empty", schema.Limits{}},
		{`{"type":"FeatureCollection"}`, `x: the file is no topology`, schema.Limits{}},
		{specification[:300], "x:4:", schema.Limits{}},
		{replace(`"arcs":[0]`, `"arcs":[2]`), "x: objects.example.geometries[1]: there is no arc 2; the topology has 2", schema.Limits{}},
		{replace(`"arcs":[0]`, `"arcs":[-3]`), "there is no arc -3", schema.Limits{}},
		{replace(`"arcs":[0]`, `"arcs":[0.5]`), "there is no arc 0.5", schema.Limits{}},
		{replace(`"arcs":[0]`, `"arcs":[0,1]`), "arc 1 does not start where the one before it ends", schema.Limits{}},
		{replace(`[102,0.5]`, `[102]`), "a position has two numbers or more", schema.Limits{}},
		{replace(`[102,0.5]`, `["a",1]`), "a position has two numbers or more", schema.Limits{}},
		{replace(`[102,0.5]`, `[602000,5900000]`), "x: the coordinates are no longitude and latitude", schema.Limits{}},
		{replace(`"Point"`, `"Dot"`), `there is no geometry type "Dot"`, schema.Limits{}},
		{strings.Replace(specification, `{"type":"Point","properties":{"prop0":"value0"},"coordinates":[102,0.5]},`, "", 1), "input_max_vertices (8)", small},
		{replace("[-2]", "[0]"), "input_max_", small},
	} {
		_, _, err := Read([]byte(tt.text), wire.ReadOptions{Name: "x", Limits: tt.limits})
		var in *wire.InputError
		if !errors.As(err, &in) || !strings.Contains(err.Error(), tt.want) || strings.Contains(err.Error(), "\n") {
			t.Errorf("%v, want %s", err, tt.want)
		}
	}
	for text, want := range map[string]bool{specification: true, `{"arcs":[],"type" : "Topology"}`: true, `{"type":"FeatureCollection","name":"Topology"}`: false, "": false, `["type","Topology"]`: false} {
		if Detect([]byte(text)) != want {
			t.Errorf("%.40s: detected %v", text, !want)
		}
	}
}

func FuzzRead(f *testing.F) {
	f.Add([]byte(specification))
	f.Add([]byte(quantized))
	// What the reader looks at beside the objects: members, boxes, layers' own words,
	// geometry where none is looked for, arcs of nobody, fourth numbers.
	f.Add([]byte(`{"type":"Topology","name":"Park","bbox":[0,0,1,3],"limits":{"machine_width_m":1},"extra":{"type":"Polygon","arcs":[[0]]},"note":"never mow",` +
		`"objects":{"zones":{"type":"GeometryCollection","status":"draft","properties":{"by":"hand"},"bbox":[0,0,9,9],"geometries":[{"type":"Point","id":7,"coordinates":[1,2,3,4],"pond":{"type":"Polygon","arcs":[[0]]},"properties":{"role":"mark","note":"the arcs"}}]},` +
		`"b":{"type":"Polygon","arcs":[[0]]}},"arcs":[[[0,0],[1,0],[1,1],[0,0]],[[5,5],[6,5],[6,6],[5,5]]]}`))
	f.Add([]byte(`{"type":"Topology","crs":{"type":"name","properties":{"name":"EPSG:25832"}},"bbox":[0,0,-9,1,2.3,9],"transform":{"scale":[0.5,0.5],"translate":[500000,6200000]},"objects":{"a":{"type":null},"b":{"type":"LineString","arcs":[-1],"times":["x"]}},"arcs":[[[0,0],[1,0],[1,1]]]}`))
	f.Add([]byte(`{"type":"Topology","objects":{"a":{"type":"MultiPolygon","arcs":[[[0,-1]]]}},"arcs":[[[0,0],[1,1]]]}`))
	f.Fuzz(func(t *testing.T, data []byte) {
		_, _, err := Read(data, wire.ReadOptions{Name: "x"})
		var in *wire.InputError
		if err != nil && (!errors.As(err, &in) || in.Problem == "") {
			t.Fatalf("no clear error: %q", err)
		}
	})
}

// TestCoarseSteps: a hair either side of the step that is told, in degrees and
// in a grid of metres, along one axis alone.
func TestCoarseSteps(t *testing.T) {
	utm, err := crs.Parse("EPSG:32629")
	if err != nil {
		t.Fatal(err)
	}
	for _, x := range []struct {
		name         string
		in           *crs.CRS
		east, north  float64
		metres       float64
		warningCount int
	}{
		{"degrees, a hair finer", nil, 1e-9, 0.00999 / degreeM, 0.00999, 0},
		{"degrees, a hair coarser", nil, 0.01001 / degreeM, 1e-9, 0.01001, 1},
		{"degrees, counted down", nil, 1e-9, -0.01001 / degreeM, 0.01001, 1},
		{"metres, a hair finer", utm, 0.00999, 0.001, 0.00999, 0},
		{"metres, a hair coarser", utm, 0.001, 0.01001, 0.01001, 1},
	} {
		text := fmt.Sprintf(`{"type":"Topology","transform":{"scale":[%g,%g],"translate":[0,0]},"objects":{"a":{"type":"Point","coordinates":[1,1]}},"arcs":[]}`, x.east, x.north)
		p, warnings, err := Read([]byte(text), wire.ReadOptions{CRS: x.in})
		if err != nil || len(warnings) != x.warningCount || !(math.Abs(p.Source.StepM-x.metres) < 1e-9) {
			t.Errorf("%s: steps of %v, %v, %v", x.name, p.Source.StepM, warnings, err)
		}
	}
}

// TestBoxBeyond: a bbox of a geometry, a layer or the topology that reaches farther
// than 100 m and the size of what is drawn is told.
func TestBoxBeyond(t *testing.T) {
	const text = `{"type":"Topology",TOP"objects":{"a":{"type":"GeometryCollection",LAYER"geometries":[{"type":"Point",ONE"coordinates":[9,56]}]}},"arcs":[]}`
	for _, x := range []struct {
		box  string
		told bool
	}{{"9,56,9,56", false}, {"8.9992,55.9992,9.0008,56.0008", false}, {"8.998,56,9.002,56.001", true}, {"8.998,56,-5,9.002,56.001,5", true}, {"-180,-90,180,90", false}, {`"a",1,2,3`, false}} {
		for _, at := range []string{"TOP", "LAYER", "ONE"} {
			in := strings.Replace(text, at, `"bbox":[`+x.box+"],", 1)
			in = strings.NewReplacer("TOP", "", "LAYER", "", "ONE", "").Replace(in)
			_, warnings, err := Read([]byte(in), wire.ReadOptions{Name: "a.topojson"})
			told := len(warnings) > 0 && warnings[0].Kind == "box-wide" && warnings[0].Unheard()
			if err != nil || told != x.told {
				t.Errorf("%s %s: %v %v", at, x.box, warnings, err)
			}
		}
	}
}
