// The session over frames, as a page uses it: a drawing comes in, lies on its
// marks, is edited, checked, saved, and asked about a moved base.

package desk

import (
	"bytes"
	"encoding/binary"
	"encoding/json"
	"math"
	"os"
	"strings"
	"testing"

	"swardline/cmd/internal/job"
)

const demo = "../../../examples/"

func file(t testing.TB, name string) []byte {
	t.Helper()
	data, err := os.ReadFile(demo + name)
	if err != nil {
		t.Fatal(err)
	}
	return data
}

// frame is what a page sends.
func frame(do string, with any, data []byte) []byte {
	head, _ := json.Marshal(map[string]any{"do": do, "with": with})
	out := binary.BigEndian.AppendUint32(nil, uint32(len(head)))
	return append(append(out, head...), data...)
}

type answer struct {
	Result json.RawMessage `json:"result"`
	Notes  []note          `json:"notes"`
	Error  string          `json:"error"`
	Mend   string          `json:"mend"`
	bytes  []byte
}

func send(t testing.TB, s *Session, do string, with any, data []byte) answer {
	t.Helper()
	out := s.Handle(frame(do, with, data))
	n := binary.BigEndian.Uint32(out)
	var a answer
	if err := json.Unmarshal(out[4:4+n], &a); err != nil {
		t.Fatalf("%s: %v", do, err)
	}
	a.bytes = out[4+n:]
	return a
}

func ask[T any](t testing.TB, s *Session, do string, with any) T {
	t.Helper()
	a := send(t, s, do, with, nil)
	if a.Error != "" {
		t.Fatalf("%s: %s; %s", do, a.Error, a.Mend)
	}
	var v T
	if err := json.Unmarshal(a.Result, &v); err != nil {
		t.Fatalf("%s: %v", do, err)
	}
	return v
}

type object = map[string]any

func TestWalk(t *testing.T) {
	s := New(job.File{Name: "park.dxf", Bytes: file(t, "drawing/park.dxf")})
	send(t, s, "put", object{"name": "marks.csv"}, file(t, "drawing/marks.csv"))
	seen := ask[lookReply](t, s, "look", object{"name": "park.dxf"})
	roles := []object{{"key": "layer:SITE", "role": "boundary"}, {"key": "layer:MAST", "role": "base"}, {"key": "layer:CORRIDORS", "role": "corridor"}}
	guesses := 0
	for _, g := range seen.Groups {
		if g.Guess != "" {
			guesses++
			roles = append(roles, object{"key": g.Key, "role": g.Guess})
		}
	}
	if guesses < 5 {
		t.Errorf("%d guesses: %+v", guesses, seen.Groups)
	}
	plan := object{"source": "park.dxf", "roles": roles, "edits": []any{}}
	v := ask[viewReply](t, s, "plan", plan)
	if v.Placed || v.Bounds == nil || len(v.Features) < 20 {
		t.Fatalf("a drawing that is placed: %v, %d features", v.Placed, len(v.Features))
	}
	// The list of marks has the drawn points too.
	m := ask[marksReply](t, s, "marks", object{"name": "marks.csv"})
	if len(m.Marks) != 4 || m.Marks[0].X == nil {
		t.Fatalf("marks %+v", m.Marks)
	}
	plan["place"] = object{"marks": m.Marks, "model": "similarity", "to": ""}
	v = ask[viewReply](t, s, "plan", plan)
	if !v.Placed || v.Fit == nil || v.Fit.Failed || len(v.Fit.Marks) != 4 || v.Fit.Marks[0].At == nil {
		t.Fatalf("placed %v, fit %+v", v.Placed, v.Fit)
	}
	for _, x := range v.Fit.Marks {
		if x.ResidualM > 0.03 {
			t.Errorf("mark %s lies %.3f m off", x.Name, x.ResidualM)
		}
	}
	// What is drawn in metres comes back where it was drawn, to the millimetre.
	drawn := [][2]float64{{1, 2}, {5, 2}, {5, 7}, {1, 7}}
	p := ask[proposed](t, s, "propose", object{"kind": "add", "role": "keepout", "shape": "polygon", "points": drawn})
	plan["edits"] = p.Edits
	v = ask[viewReply](t, s, "plan", plan)
	last := v.Features[len(v.Features)-1]
	if last.Role != "keepout" || last.AreaM2 == nil || math.Abs(*last.AreaM2-20) > 0.005 {
		t.Fatalf("drawn: %+v", last)
	}
	for _, q := range drawn {
		found := false
		r := last.Parts[0][0]
		for i := 0; i < len(r); i += 2 {
			found = found || math.Hypot(r[i]-q[0], r[i+1]-q[1]) < 0.001
		}
		if !found {
			t.Errorf("the point %v is not in %v", q, r)
		}
	}
	// A point is moved, and taken back by asking for one edit less.
	p2 := ask[proposed](t, s, "propose", object{"kind": "move-point", "feature": last.I, "part": 0, "ring": 0, "index": 0, "at": []float64{0, 2}})
	plan["edits"] = append(append([]any{}, p.Edits...), p2.Edits...)
	moved := ask[viewReply](t, s, "plan", plan)
	if *moved.Features[len(moved.Features)-1].AreaM2 <= *last.AreaM2 {
		t.Error("moving a corner out made the area no larger")
	}
	plan["edits"] = p.Edits
	if again := ask[viewReply](t, s, "plan", plan); *again.Features[len(again.Features)-1].AreaM2 != *last.AreaM2 {
		t.Error("taking a change back does not give the plan as it was")
	}
	c := ask[checkReply](t, s, "check", object{})
	if c.Status == "clean" || len(c.Findings) == 0 || len(c.Limits) < 5 || c.Words == "" {
		t.Errorf("check %+v", c)
	}
	for _, f := range c.Findings {
		if f.At != nil && (math.Abs(f.At[0]) > 500 || math.Abs(f.At[1]) > 500) {
			t.Errorf("finding %s lies at %v of a park 200 m wide", f.Rule, *f.At)
		}
	}
	for what, head := range map[string]string{"plan.kml": "<?xml", "plan.geojson": "{", "plan.csv": "id,", "sheet.pdf": "%PDF", "sheet.svg": "<"} {
		a := send(t, s, "save", object{"what": what}, nil)
		if a.Error != "" || !bytes.Contains(a.bytes[:min(len(a.bytes), 40)], []byte(head)) {
			t.Errorf("%s: %q %.40q", what, a.Error, a.bytes)
		}
	}
	d := ask[driftReply](t, s, "drift", object{"shift": []float64{0.3, -0.1}})
	if d.Verdict != "stop" || math.Abs(d.HorizontalM-math.Hypot(0.3, 0.1)) > 1e-9 || len(d.Findings) == 0 || len(d.Advice) == 0 {
		t.Errorf("drift %+v", d)
	}
	a := send(t, s, "correct", object{"shift": []float64{0.3, -0.1}, "date": "2026-05-31"}, nil)
	if a.Error != "" || !bytes.Contains(a.bytes, []byte("2026-05-31")) {
		t.Errorf("the corrected plan: %q, no entry of the date", a.Error)
	}
}

// TestPlanIsTheSame: the plan does not depend on the way to it.
func TestPlanIsTheSame(t *testing.T) {
	edits := []any{
		object{"feature": "Pond", "name": "Lily pond"},
		object{"feature": "North lawn", "move_outline_m": -0.25},
		object{"feature": "Lily pond", "active": false},
	}
	with := func(n int) object {
		return object{"source": "park.geojson", "limits": object{"base_range_m": 300}, "edits": edits[:n]}
	}
	direct := New(job.File{Name: "park.geojson", Bytes: file(t, "park/park.geojson")})
	want := send(t, direct, "plan", with(3), nil)
	step := New(job.File{Name: "park.geojson", Bytes: file(t, "park/park.geojson")})
	for _, n := range []int{0, 1, 3, 2, 0, 3} {
		got := send(t, step, "plan", with(n), nil)
		if got.Error != "" {
			t.Fatal(got.Error)
		}
		if n == 3 && !bytes.Equal(got.Result, want.Result) {
			t.Fatalf("after steps the plan is another one:\n%.400s\n%.400s", got.Result, want.Result)
		}
	}
	if g := send(t, step, "save", object{"what": "plan.geojson"}, nil); !bytes.Contains(g.bytes, []byte("Lily pond")) {
		t.Error("what is saved does not have the edit")
	}
	c := ask[checkReply](t, step, "check", object{})
	for _, l := range c.Limits {
		if l.Name == "base_range_m" && (l.Value != 300 || !strings.HasPrefix(l.From, "file")) {
			t.Errorf("limit %+v, the page set 300", l)
		}
	}
}

func TestRefusals(t *testing.T) {
	s := New(job.File{Name: "park.geojson", Bytes: file(t, "park/park.geojson")}, job.File{Name: "broken.kml", Bytes: []byte("<kml><Document>")})
	for _, c := range []struct {
		do   string
		with any
		want string
	}{
		{"fly", object{}, `the page asked for "fly"`},
		{"check", object{}, "there is no plan yet"},
		{"save", object{"what": "plan.kml"}, "there is no plan yet"},
		{"propose", object{"kind": "add"}, "there is no plan yet"},
		{"plan", object{"source": "nowhere.kml"}, "nowhere.kml"},
		{"plan", object{"source": "broken.kml"}, "broken.kml"},
		{"plan", object{"source": "park.geojson", "more": 1}, "in a way that is not known"},
		{"plan", object{"source": "park.geojson", "edits": []any{object{"feature": "Nobody", "remove": true}}}, `change 1: no feature is called "Nobody"`},
		{"plan", object{"source": "park.geojson", "edits": []any{object{"feature": "Pond", "role": "sea"}}}, `"sea" is no role`},
		{"look", object{"name": "broken.kml"}, "broken.kml"},
	} {
		a := send(t, s, c.do, c.with, nil)
		if !strings.Contains(a.Error, c.want) {
			t.Errorf("%s %v: %q, want %q", c.do, c.with, a.Error, c.want)
		}
	}
	// A refusal leaves the session usable.
	if v := ask[viewReply](t, s, "plan", object{"source": "park.geojson"}); len(v.Features) != 27 {
		t.Errorf("%d features", len(v.Features))
	}
	if a := send(t, s, "drift", object{"shift": []float64{0.1}}, nil); a.Error == "" || a.Mend == "" {
		t.Errorf("half a shift: %+v", a)
	}
	for _, raw := range [][]byte{nil, {0, 0}, {0, 0, 0, 9, '{'}, {0, 0, 0, 1, '['}} {
		if out := s.Handle(raw); len(out) < 4 || !bytes.Contains(out, []byte(`"error"`)) {
			t.Errorf("%v: %q", raw, out)
		}
	}
}

func FuzzHandle(f *testing.F) {
	f.Add(frame("plan", object{"source": "park.geojson", "edits": []any{object{"feature": "Pond", "close": true}}}, nil))
	f.Add(frame("propose", object{"kind": "insert-point", "feature": 3, "part": 0, "ring": 0, "index": 1, "at": []float64{1, 2}}, nil))
	f.Add(frame("put", object{"name": "a/../b.csv"}, []byte("name,x,y,e,n\n")))
	f.Add(frame("look", object{"name": "park.geojson"}, nil))
	f.Add(frame("check", object{}, nil))
	park := file(f, "park/park.geojson")
	f.Fuzz(func(t *testing.T, data []byte) {
		s := New(job.File{Name: "park.geojson", Bytes: park})
		s.Handle(frame("plan", object{"source": "park.geojson"}, nil))
		out := s.Handle(data)
		n := binary.BigEndian.Uint32(out)
		var a answer
		if err := json.Unmarshal(out[4:4+n], &a); err != nil {
			t.Fatal(err)
		}
		if strings.Contains(a.Error, "the program made a mistake") {
			t.Fatal(a.Error)
		}
	})
}

// TestGroups: a role goes to a value of a property, to a name, or to nothing; a
// word against mowing goes first.
func TestGroups(t *testing.T) {
	const council = `{"type":"FeatureCollection","features":[
{"type":"Feature","properties":{"SURFACE":"GRASS"},"geometry":{"type":"Polygon","coordinates":[[[9,56],[9.0003,56],[9.0003,56.0003],[9,56.0003],[9,56]]]}},
{"type":"Feature","properties":{"SURFACE":"GRASS"},"geometry":{"type":"Polygon","coordinates":[[[9.001,56],[9.0013,56],[9.0013,56.0003],[9.001,56.0003],[9.001,56]]]}},
{"type":"Feature","properties":{"SURFACE":"BED","name":"Rose bed"},"geometry":{"type":"Polygon","coordinates":[[[9.0001,56.0001],[9.0002,56.0001],[9.0002,56.0002],[9.0001,56.0002],[9.0001,56.0001]]]}},
{"type":"Feature","properties":{"SURFACE":"KUNSTRASEN"},"geometry":{"type":"Polygon","coordinates":[[[9.002,56],[9.0023,56],[9.0023,56.0003],[9.002,56.0003],[9.002,56]]]}}]}`
	s := New(job.File{Name: "council.geojson", Bytes: []byte(council)})
	seen := ask[lookReply](t, s, "look", object{"name": "council.geojson"})
	guess := map[string]string{}
	var all []object
	for _, g := range seen.Groups {
		guess[g.Key] = g.Guess
		if g.Guess != "" {
			all = append(all, object{"key": g.Key, "role": g.Guess})
		}
	}
	if guess["where SURFACE:GRASS"] != "zone" || guess["where SURFACE:KUNSTRASEN"] == "zone" || guess["where SURFACE:BED"] == "zone" {
		t.Errorf("guesses %v", guess)
	}
	count := func(roles []object) map[string]int {
		v := ask[viewReply](t, s, "plan", object{"source": "council.geojson", "roles": roles})
		out := map[string]int{}
		for _, f := range v.Features {
			out[f.Role]++
		}
		return out
	}
	if n := count(all); n["zone"] != 2 {
		t.Errorf("with the guesses: %v", n)
	}
	if n := count([]object{{"key": "where SURFACE:KUNSTRASEN", "role": "keepout"}, {"key": "name:Rose bed", "role": "hazard"}}); n["keepout"] != 1 || n["hazard"] != 1 || n["zone"] != 0 {
		t.Errorf("as chosen: %v", n)
	}
	if n := count(nil); n["other"] != 4 {
		t.Errorf("with no roles: %v", n)
	}
}

// A log lies over the plan: the track in its looks, cover, the base; a log of another
// site and a plan without a place are told.
func TestDriven(t *testing.T) {
	s := New(job.File{Name: "park.geojson", Bytes: file(t, "park/park.geojson")})
	ask[viewReply](t, s, "plan", object{"source": "park.geojson"})
	for _, day := range []string{"13", "14", "15"} {
		send(t, s, "put", object{"name": day + ".nmea"}, file(t, "week/2026-05-"+day+".nmea"))
	}
	r := ask[drivenReply](t, s, "driven", object{"logs": []string{"13.nmea", "14.nmea", "15.nmea"}})
	if r.Verdict != "re-measure" || !strings.HasPrefix(r.Step, "It moved on 2026-05-14") || len(r.Days) != 3 || len(r.Zones) != 3 || len(r.Missed) == 0 || len(r.Findings) == 0 {
		t.Errorf("%+v", r)
	}
	if len(r.Track) != 2 || r.Track[0].Quality != "fixed" || r.Track[1].Quality != "float" || len(r.Track[1].Dash) == 0 || len(r.Track[0].Runs) == 0 {
		t.Errorf("%+v", r.Track)
	}
	// The track is where the plan is: the dock stands within it.
	for _, run := range r.Track[0].Runs {
		for i := 0; i < len(run); i += 2 {
			if math.Abs(run[i]) > 100 || math.Abs(run[i+1]) > 100 {
				t.Fatalf("%v, %v is off the site", run[i], run[i+1])
			}
		}
	}
	if alone := ask[drivenReply](t, s, "driven", object{"logs": []string{"13.nmea"}}); alone.Verdict != "unchanged" || alone.Step != "" {
		t.Errorf("%+v", alone)
	}
	send(t, s, "put", object{"name": "far.csv"}, []byte("time,lat,lon,fix\n2026-05-11T08:00:00Z,40,9,4\n"))
	for _, tt := range []struct {
		with  object
		wrong string
	}{{object{"logs": []string{"far.csv"}}, "it is a log from another site"}, {object{"logs": []string{}}, "at least one log"}, {object{"logs": []string{"no.nmea"}}, "no.nmea"}, {object{"logs": []string{"13.nmea"}, "receiver": "mine"}, `not "mine"`}} {
		if a := send(t, s, "driven", tt.with, nil); !strings.Contains(a.Error, tt.wrong) {
			t.Errorf("%v: %q, want %q", tt.with, a.Error, tt.wrong)
		}
	}
	plane := New(job.File{Name: "park.dxf", Bytes: file(t, "drawing/park.dxf")})
	ask[viewReply](t, plane, "plan", object{"source": "park.dxf", "reading": object{"units": "mm"}})
	if a := send(t, plane, "driven", object{"logs": []string{"x"}}, nil); !strings.Contains(a.Error, "no place on the earth yet") {
		t.Error(a.Error)
	}
}
