// What was asked for after opening outlives what is said of the file later.

package desk

import (
	"encoding/json"
	"slices"
	"strings"
	"testing"

	"swardline/cmd/internal/job"
)

// guessed are the guesses for the demo drawing.
func guessed(t *testing.T, s *Session) []object {
	t.Helper()
	var out []object
	for _, g := range ask[lookReply](t, s, "look", object{"name": "park.dxf"}).Groups {
		if g.Guess != "" {
			out = append(out, object{"key": g.Key, "role": g.Guess})
		}
	}
	return out
}

func byName(v viewReply, name string) *featureView {
	for i := range v.Features {
		if v.Features[i].Name == name {
			return &v.Features[i]
		}
	}
	return nil
}

// TestEditsOutliveRoles: names and a heading given to things that only their role
// and a number name stay on the same things when roles change, and back.
func TestEditsOutliveRoles(t *testing.T) {
	s := New(job.File{Name: "park.dxf", Bytes: file(t, "drawing/park.dxf")})
	roles := guessed(t, s)
	plan := object{"source": "park.dxf", "roles": roles, "edits": []any{}}
	v := ask[viewReply](t, s, "plan", plan)
	at := slices.IndexFunc(v.Features, func(f featureView) bool { return f.Role == "dock" })
	last := -1 // something with a number, so that a change of roles counts it anew
	for i, f := range v.Features {
		if f.Role == "other" && f.Name == "" && f.Ref.Nth > 1 {
			last = i
		}
	}
	if at < 0 || last < 0 {
		t.Fatalf("no dock or nothing unnamed: %d %d", at, last)
	}
	edits := []any{}
	add := func(i int, what object) {
		e := object{"feature": v.Features[i].Ref.Feature}
		if n := v.Features[i].Ref.Nth; n > 0 {
			e["nth"] = n
		}
		for k, x := range what {
			e[k] = x
		}
		edits = append(edits, e)
		plan["edits"] = edits
		v = ask[viewReply](t, s, "plan", plan)
	}
	add(last, object{"set": object{"height_m": 2}})
	add(at, object{"set": object{"heading_deg": 123}})
	add(at, object{"name": "Dock <A> & B"})
	where := *v.Features[last].LabelAt
	dock := *v.Features[at].LabelAt

	change := func(r []object) viewReply {
		plan["roles"], plan["settled"] = r, len(edits)
		v := ask[viewReply](t, s, "plan", plan)
		if v.Edits != nil { // as the page does
			edits = nil
			for _, e := range v.Edits {
				var x any
				if err := json.Unmarshal(e, &x); err != nil {
					t.Fatal(err)
				}
				edits = append(edits, x)
			}
			plan["edits"] = edits
		}
		return v
	}
	more := append(slices.Clone(roles), object{"key": "layer:SITE", "role": "boundary"}, object{"key": "layer:MAST", "role": "base"},
		object{"key": "layer:CORRIDORS", "role": "corridor"}, object{"key": "layer:BENCHES", "role": "keepout"})
	for i, r := range [][]object{more, roles, nil, more, roles} {
		v := change(r)
		f := byName(v, "Dock <A> & B")
		if len(v.Missed) != 0 || f == nil || *f.LabelAt != dock || f.Heading == nil || *f.Heading != 123 {
			t.Fatalf("change %d of roles: missed %+v, dock %+v", i, v.Missed, f)
		}
		for _, f := range v.Features {
			if f.Height != nil && *f.LabelAt != where {
				t.Errorf("change %d of roles: the height is on something else: %+v", i, f)
			}
		}
	}
	// A session that starts anew, as after a reload, has the same.
	again := New(job.File{Name: "park.dxf", Bytes: file(t, "drawing/park.dxf")})
	if f := byName(ask[viewReply](t, again, "plan", plan), "Dock <A> & B"); f == nil || f.I != at {
		t.Errorf("after a reload: %+v", f)
	}
}

// TestEditsThatMiss: an edit in the list that finds nothing is told by name and kept;
// a new one is refused, and what stood before stands.
func TestEditsThatMiss(t *testing.T) {
	s := New(job.File{Name: "park.geojson", Bytes: file(t, "park/park.geojson")})
	list := []any{object{"feature": "Nobody", "name": "X"}, object{"feature": "Pond", "name": "Lily pond"}}
	v := ask[viewReply](t, s, "plan", object{"source": "park.geojson", "edits": list, "settled": 2})
	if len(v.Missed) != 1 || v.Missed[0].I != 0 || !strings.Contains(v.Missed[0].Words, "“Nobody”") || byName(v, "Lily pond") == nil {
		t.Errorf("missed %+v", v.Missed)
	}
	if a := send(t, s, "plan", object{"source": "park.geojson", "edits": append(list, object{"feature": "Neither", "remove": true}), "settled": 2}, nil); !strings.Contains(a.Error, "change 3") {
		t.Errorf("a new edit of nothing: %q", a.Error)
	}
	if a := send(t, s, "save", object{"what": "plan.geojson"}, nil); !strings.Contains(string(a.bytes), "Lily pond") {
		t.Error("after a refusal the plan lost an edit")
	}
	// What only a role and a number name is not taken for another thing later.
	roof := object{"feature": "other", "nth": 1, "set": object{"height_m": 2}}
	dxf := New(job.File{Name: "park.dxf", Bytes: file(t, "drawing/park.dxf")})
	v = ask[viewReply](t, dxf, "plan", object{"source": "park.dxf", "edits": []any{roof}, "settled": 1, "missed": []int{0}})
	if len(v.Missed) != 1 {
		t.Errorf("an edit that missed changes something else after a reload: %+v", v.Missed)
	}
	// What was drawn in another place waits, and so does what was done to it.
	p := ask[proposed](t, s, "propose", object{"kind": "add", "role": "keepout", "shape": "point", "points": [][2]float64{{1, 1}}})
	v = ask[viewReply](t, s, "plan", object{"source": "park.geojson", "edits": p.Edits, "settled": 1, "aside": []int{0}})
	if len(v.Missed) != 1 || len(v.Features) != 27 || !strings.Contains(v.Missed[0].Words, "a new keepout") {
		t.Errorf("aside: %d features, %+v", len(v.Features), v.Missed)
	}
}

// TestPlacingOutlivesRoles: marks paired before a base or zones had their roles
// lay the drawing where they lay it after.
func TestPlacingOutlivesRoles(t *testing.T) {
	saved := func(early bool, units string) string {
		s := New(job.File{Name: "park.dxf", Bytes: file(t, "drawing/park.dxf")})
		send(t, s, "put", object{"name": "marks.csv"}, file(t, "drawing/marks.csv"))
		roles := append(guessed(t, s), object{"key": "layer:MAST", "role": "base"})
		plan := object{"source": "park.dxf", "roles": roles, "reading": object{"units": units}}
		if !early {
			plan["roles"] = []object{}
		}
		v := ask[viewReply](t, s, "plan", plan)
		m := ask[marksReply](t, s, "marks", object{"name": "marks.csv"})
		plan["roles"] = roles
		ask[viewReply](t, s, "plan", plan)
		plan["place"] = object{"marks": m.Marks, "model": "similarity", "to": "", "unit_m": v.UnitM}
		plan["reading"] = object{}
		if v = ask[viewReply](t, s, "plan", plan); v.Fit == nil || v.Fit.Failed {
			t.Fatalf("%+v", v.Fit)
		}
		return string(send(t, s, "save", object{"what": "plan.kml"}, nil).bytes)
	}
	want := saved(true, "")
	if got := saved(false, ""); got != want {
		t.Error("roles given after pairing moved the drawing on the earth")
	}
	if got := saved(true, "cm"); got != want {
		t.Error("a unit changed after pairing moved the drawing on the earth")
	}
}
