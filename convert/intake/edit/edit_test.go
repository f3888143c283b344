// Tests of edits: what each does, that nothing else changes, and what is
// refused.

package edit

import (
	"errors"
	"math"
	"strings"
	"testing"

	"github.com/twpayne/go-geom"

	"swardline/convert/geojson"
	"swardline/convert/wire"
	"swardline/schema"
)

const garden = `{"type":"FeatureCollection","name":"Example garden","coordRefSys":"EPSG:25832","features":[
{"type":"Feature","id":"z1","geometry":null,"place":{"type":"Polygon","coordinates":[[[512000,6280000,31.5],[512000,6280020,31.25],[512030.00001,6280020,31],[512030,6280000,31],[512000,6280000,31.5]]]},"properties":{"role":"zone","name":"Front lawn","crew":"A","seq":9007199254740993}},
{"type":"Feature","id":"k1","geometry":null,"place":{"type":"Polygon","coordinates":[[[512010,6280005],[512012,6280005],[512012,6280007],[512010,6280007],[512010,6280005]]]},"properties":{"role":"keepout","name":"Rose bed"}},
{"type":"Feature","geometry":null,"place":{"type":"LineString","coordinates":[[512020,6280005],[512022,6280005],[512022,6280007],[512020,6280007.05]]},"properties":{"role":"other","name":"Path"}},
{"type":"Feature","geometry":null,"place":{"type":"Point","coordinates":[512001,6280001]},"properties":{"role":"mark","name":"Path"}}
]}`

func plan(t testing.TB) *schema.Plan {
	t.Helper()
	p, _, err := geojson.Read([]byte(garden), wire.ReadOptions{Name: "garden.geojson"})
	if err != nil {
		t.Fatal(err)
	}
	return p
}

func apply(t *testing.T, p *schema.Plan, script string) (*schema.Plan, []Change) {
	t.Helper()
	l, err := Read([]byte(script), "script.json")
	if err != nil {
		t.Fatal(err)
	}
	q, changes, err := Apply(p, l, options)
	if err != nil {
		t.Fatal(err)
	}
	return q, changes
}

// options move an outline by moving every corner of it, which a test can
// foresee.
var options = Options{
	OffsetMaxM: 5,
	Offset: func(f *schema.Feature, m float64) (geom.T, error) {
		g, _ := takeApart(f.Geometry)
		for _, r := range g.parts[0] {
			for i := 0; i < len(r); i += g.layout.Stride() {
				r[i] += m
			}
		}
		return g.together(), nil
	},
	AreaM2: func(f *schema.Feature) (float64, bool) {
		g, ok := f.Geometry.(*geom.Polygon)
		if !ok {
			return 0, false
		}
		return math.Abs(g.Area()), true
	},
}

func TestEdits(t *testing.T) {
	for _, c := range []struct {
		name, script string
		feature      int
		want         func(f *schema.Feature) bool
		said         string
	}{
		{"role", `{"edits":[{"feature":"Rose bed","role":"hazard","set":{"hazard_kind":"pond","deep":[1,2.50]}}]}`, 1,
			func(f *schema.Feature) bool {
				return f.Role == schema.RoleHazard && f.Attributes.Get("hazard_kind").Text() == "pond" && string(f.Attributes.Get("deep").AppendJSON(nil)) == "[1,2.50]"
			}, "role hazard, was keepout; hazard_kind = pond; deep = [1,2.50]"},
		{"whole new coordinates", `{"edits":[{"feature":"k1","coordinates":[[[512000,6280000],[512001.25,6280000],[512001,6280001,7.5],[512000,6280000]]]}]}`, 1,
			func(f *schema.Feature) bool {
				g, ok := f.Geometry.(*geom.Polygon)
				return ok && g.Layout() == geom.XYZ && g.FlatCoords()[3] == 512001.25 && g.FlatCoords()[8] == 7.5 && math.IsNaN(g.FlatCoords()[2]) && f.Name == "Rose bed"
			}, "new coordinates"},
		{"name by id", `{"edits":[{"feature":"k1","name":"Herb bed","active":false}]}`, 1,
			func(f *schema.Feature) bool { return f.Name == "Herb bed" && !f.Active() }, `name "Herb bed", was "Rose bed"; switched off`},
		{"off and on", `{"edits":[{"feature":"k1","active":false},{"feature":"k1","active":true}]}`, 1,
			func(f *schema.Feature) bool { return f.Active() && !f.Attributes.Has("active") }, "switched off; switched on"},
		{"unset", `{"edits":[{"feature":" FRONT LAWN ","unset":["crew","nothing"]}]}`, 0,
			func(f *schema.Feature) bool {
				return !f.Attributes.Has("crew") && f.Attributes.Get("seq").Text() == "9007199254740993"
			}, "crew taken out; nothing was not there"},
		{"nth", `{"edits":[{"feature":"Path","nth":2,"role":"dock"}]}`, 3,
			func(f *schema.Feature) bool { return f.Role == schema.RoleDock }, "role dock, was mark"},
		{"close", `{"edits":[{"feature":"Path","nth":1,"close":true,"role":"zone"}]}`, 2,
			func(f *schema.Feature) bool {
				g, ok := f.Geometry.(*geom.Polygon)
				return ok && len(g.FlatCoords()) == 10 && g.FlatCoords()[8] == 512020 && math.Abs(g.Area()-4.05) < 1e-6
			}, "role zone, was other; closed (1 gaps), now an outline"},
		{"move point", `{"edits":[{"feature":"k1","move_point":{"point":0,"to":[512009,6280004]}}]}`, 1,
			func(f *schema.Feature) bool {
				x := f.Geometry.FlatCoords()
				return x[0] == 512009 && x[8] == 512009 && x[9] == 6280004 && x[2] == 512012
			}, "point 0 moved"},
		{"move keeps height", `{"edits":[{"feature":"z1","move_point":{"point":1,"to":[512000,6280021]}}]}`, 0,
			func(f *schema.Feature) bool {
				x := f.Geometry.FlatCoords()
				return x[4] == 6280021 && x[5] == 31.25 && x[6] == 512030.00001
			}, "point 1 moved"},
		{"insert", `{"edits":[{"feature":"z1","insert_point":{"point":4,"to":[512015,6279999]}}]}`, 0,
			func(f *schema.Feature) bool {
				x := f.Geometry.FlatCoords()
				return len(x) == 18 && x[12] == 512015 && math.IsNaN(x[14]) && x[15] == 512000 && x[17] == 31.5
			}, "point put in before 4"},
		{"insert before the first", `{"edits":[{"feature":"k1","insert_point":{"point":0,"to":[512009,6280006]}}]}`, 1,
			func(f *schema.Feature) bool {
				x := f.Geometry.FlatCoords()
				return len(x) == 12 && x[0] == 512010 && x[8] == 512009 && x[10] == 512010
			}, "point put in before 0"},
		{"take the first out", `{"edits":[{"feature":"k1","remove_point":{"point":0}}]}`, 1,
			func(f *schema.Feature) bool {
				x := f.Geometry.FlatCoords()
				return len(x) == 8 && x[0] == 512012 && x[6] == 512012 && x[7] == 6280005
			}, "point 0 taken out"},
		{"reverse", `{"edits":[{"feature":"k1","reverse":true}]}`, 1,
			func(f *schema.Feature) bool {
				x := f.Geometry.FlatCoords()
				return x[0] == 512010 && x[1] == 6280005 && x[2] == 512010 && x[3] == 6280007 && x[6] == 512012 && x[8] == 512010
			}, "turned round"},
		{"outline", `{"edits":[{"feature":"Rose bed","move_outline_m":-0.5}]}`, 1,
			func(f *schema.Feature) bool { return f.Geometry.FlatCoords()[0] == 512009.5 }, "outline moved in by 0.5 m"},
		{"outline at the limit", `{"edits":[{"feature":"Rose bed","move_outline_m":5}]}`, 1,
			func(f *schema.Feature) bool { return f.Geometry.FlatCoords()[0] == 512015 }, "outline moved out by 5 m"},
		{"remove", `{"edits":[{"feature":"Rose bed","remove":true}]}`, 1,
			func(f *schema.Feature) bool { return f.Name == "Path" }, "removed"},
		{"add", `{"edits":[{"add":{"type":"Feature","id":"d1","place":{"type":"Point","coordinates":[512005.25,6280002]},"properties":{"role":"dock","heading_deg":90}}}]}`, 4,
			func(f *schema.Feature) bool {
				h, _ := f.Float("heading_deg")
				return f.Role == schema.RoleDock && f.Geometry.FlatCoords()[0] == 512005.25 && h == 90 && f.ID.Text() == "d1"
			}, "added as dock"},
	} {
		t.Run(c.name, func(t *testing.T) {
			p := plan(t)
			q, changes := apply(t, p, c.script)
			if !c.want(q.Features[c.feature]) {
				t.Errorf("feature %d is %+v %v", c.feature, q.Features[c.feature], q.Features[c.feature].Geometry)
			}
			var said []string
			for _, x := range changes {
				said = append(said, x.Words...)
			}
			if got := strings.Join(said, "; "); got != c.said {
				t.Errorf("said %q, want %q", got, c.said)
			}
			// The plan that was edited is as it was.
			if err := schema.Same(plan(t), p, 0); err != nil {
				t.Error("the edited plan itself changed:", err)
			}
			for i, f := range q.Features {
				if i != c.feature && i < len(p.Features) && c.name != "remove" && f != p.Features[i] {
					t.Errorf("feature %d, which no edit names, was replaced", i)
				}
			}
		})
	}
}

func TestAreas(t *testing.T) {
	_, changes := apply(t, plan(t), `{"edits":[{"feature":"k1","move_point":{"point":2,"to":[512013,6280007]}},{"feature":"k1","remove":true}]}`)
	if changes[0].Before != 4 || changes[0].After != 5 || changes[1].Before != 5 || !math.IsNaN(changes[1].After) {
		t.Errorf("areas %v", changes)
	}
}

func TestEditErrors(t *testing.T) {
	for _, c := range []struct{ script, want, mend string }{
		{`{"edits":[{"feature":"Roses","role":"zone"}]}`, `edit 1: no feature is called "Roses"`, `there are "Front lawn", "Rose bed"`},
		{`{"edits":[{"feature":"k1","role":"zone"},{"feature":"Path","remove":true}]}`, `edit 2: 2 features are called "Path"`, `nth`},
		{`{"edits":[{"feature":"Path","nth":3,"remove":true}]}`, `edit 1: there are 2 features called "Path", not 3`, ""},
		{`{"edits":[{"feature":"k1","move_outline_m":5.001}]}`, "at most 5 m at a time", "steps"},
		{`{"edits":[{"feature":"k1","move_outline_m":-5.001}]}`, "at most 5 m at a time", "steps"},
		{`{"edits":[{"feature":"Path","nth":1,"move_outline_m":1}]}`, "Path is no closed outline", "close it"},
		{`{"edits":[{"feature":"Path","nth":2,"close":true}]}`, "a point cannot be closed", ""},
		{`{"edits":[{"feature":"k1","move_point":{"point":4,"to":[1,2]}}]}`, "4 points there, counted from 0, so none of number 4", ""},
		{`{"edits":[{"feature":"k1","insert_point":{"point":5,"to":[1,2]}}]}`, "none of number 5", ""},
		{`{"edits":[{"feature":"k1","move_point":{"ring":1,"point":0,"to":[1,2]}}]}`, "no ring 1 in part 0", ""},
		{`{"edits":[{"feature":"k1","remove_point":{"point":0}},{"feature":"k1","remove_point":{"point":0}}]}`, "edit 2: it has only 3 points left", "remove the whole feature"},
		{`{"edits":[{"add":{"type":"Feature","geometry":{"type":"Point","coordinates":[9,56]},"properties":{"role":"dock"}}}]}`, "only a \"geometry\"", "place"},
		{`{"edits":[{"add":{"type":"Feature","id":"k1","place":{"type":"Point","coordinates":[512000,6280000]},"properties":{}}}]}`, `there is a feature "k1" already`, ""},
		{`{"edits":[{"add":{"type":"Feature","place":null,"geometry":null,"properties":{}}}]}`, "no coordinates", ""},
	} {
		l, err := Read([]byte(c.script), "script.json")
		if err != nil {
			t.Errorf("%s: %v", c.script, err)
			continue
		}
		q, _, err := Apply(plan(t), l, options)
		var e *Error
		if err == nil || q != nil || !strings.Contains(err.Error(), c.want) || !errors.As(err, &e) || !strings.Contains(e.Mend, c.mend) {
			t.Errorf("%s:\n%v, mend %v\nwant %q, mend %q", c.script, err, e, c.want, c.mend)
		}
	}
}

func TestReadErrors(t *testing.T) {
	for _, c := range []struct{ script, want string }{
		{``, "script.json: "},
		{`[]`, `there is no list "edits"`},
		{`{"edit":[]}`, `there is no list "edits"`},
		{`{"edits":[],"more":1}`, `"more" is not known here`},
		{`{"edits":[7]}`, "edit 1: it is no object"},
		{`{"edits":[{"role":"zone"}]}`, "edit 1: it does not say which feature"},
		{`{"edits":[{"feature":"z1"}]}`, `edit 1: it does not say what to do with "z1"`},
		{`{"edits":[{"feature":"z1","nth":1}]}`, `edit 1: it does not say what to do with "z1"`},
		{`{"edits":[{"feature":"z1","role":"lawn"}]}`, `edit 1: role: "lawn" is no role; the roles are zone, keepout`},
		{`{"edits":[{"feature":"z1","roll":"zone"}]}`, `edit 1: "roll" is not known; known are feature, nth, role`},
		{`{"edits":[{"feature":"z1","close":false}]}`, "close: leave it out instead of saying false"},
		{`{"edits":[{"feature":"z1","active":"off"}]}`, "active: it is neither true nor false"},
		{`{"edits":[{"feature":"z1","move_outline_m":"1"}]}`, "move_outline_m: it is no number"},
		{`{"edits":[{"feature":"z1","set":{"role":"zone"}}]}`, "set: role has a key of its own"},
		{`{"edits":[{"feature":"z1","set":{"id":"z2"}}]}`, "set: an id is not changed by an edit"},
		{`{"edits":[{"feature":"z1","remove":true,"name":"x"}]}`, "what is removed cannot be changed as well"},
		{`{"edits":[{"add":{"type":"Point"}}]}`, "add: it is no GeoJSON Feature"},
		{`{"edits":[{"feature":"z1","move_point":{"to":[1,2]}}]}`, "it does not say which point"},
		{`{"edits":[{"feature":"z1","move_point":{"point":1.5,"to":[1,2]}}]}`, "no whole number from 0"},
		{`{"edits":[{"feature":"z1","move_point":{"point":1,"to":[1]}}]}`, "two numbers"},
		{`{"edits":[{"feature":"z1","remove_point":{"point":1,"to":[1,2]}}]}`, `no "to"`},
		{`{"edits":[{"feature":"z1","coordinates":7}]}`, "coordinates: it is no list of coordinates"},
		{`{"edits":[{"feature":"z1","nth":0,"role":"zone"}]}`, "nth: it is no whole number from 1"},
	} {
		_, err := Read([]byte(c.script), "script.json")
		var in *wire.InputError
		if err == nil || !strings.Contains(err.Error(), c.want) || !errors.As(err, &in) || in.Mend == "" {
			t.Errorf("%s: %v, want %q", c.script, err, c.want)
		}
	}
}

// TestReference: what a page calls a feature finds it again.
func TestReference(t *testing.T) {
	p := plan(t)
	for i := range p.Features {
		name, nth := Reference(p, i)
		if at, err := Find(p, name, nth); err != nil || at != i {
			t.Errorf("feature %d is called %q %d, which finds %d, %v", i, name, nth, at, err)
		}
	}
}

func FuzzRead(f *testing.F) {
	f.Add([]byte(`{"edits":[{"feature":"Rose bed","role":"hazard","set":{"a":{"b":[1,null]}},"unset":["crew"]}]}`))
	f.Add([]byte(`{"edits":[{"feature":"k1","move_point":{"part":0,"ring":0,"point":3,"to":[512034.25,6280112.5]}},{"feature":"k1","reverse":true}]}`))
	f.Add([]byte(`{"edits":[{"feature":"k1","coordinates":[[[512000,6280000],[512001,6280000],[512000,6280001],[512000,6280000]]]}]}`))
	f.Add([]byte(`{"edits":[{"add":{"type":"Feature","place":{"type":"Polygon","coordinates":[[[512000,6280000],[512001,6280000],[512000,6280001],[512000,6280000]]]},"properties":{"role":"dock"}}}]}`))
	f.Add([]byte(`{"edits":[{"feature":"Path","nth":1,"close":true},{"feature":"Path","nth":1,"insert_point":{"point":0,"to":[1,2]}},{"feature":"z1","remove":true}]}`))
	p := plan(f)
	f.Fuzz(func(t *testing.T, data []byte) {
		l, err := Read(data, "script.json")
		if err != nil {
			return
		}
		if q, _, err := Apply(p, l, options); err == nil {
			for _, g := range q.Features {
				if fig, ok := takeApart(g.Geometry); ok && len(fig.parts) > 0 {
					fig.together()
				}
			}
		}
	})
}
