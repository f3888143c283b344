// Tests of drawings of this program's that somebody has worked in.

package dxf

import (
	"fmt"
	"strings"
	"testing"

	"github.com/twpayne/go-geom"

	"swardline/convert/wire"
	"swardline/schema"
)

// added puts entities at the end of a drawing's.
func added(text, entities string) string {
	at := strings.Index(text, "ENTITIES\n")
	at += strings.Index(text[at:], "  0\nENDSEC\n")
	return text[:at] + entities + text[at:]
}

func on(layer, entity string) string {
	return strings.Replace(entity, "  8\nA\n", "  8\n"+layer+"\n", 1)
}

func TestWhatWasAddedHasTheRoleOfItsLayer(t *testing.T) {
	plan := furnished(t)
	text, _ := write(t, plan, wire.WriteOptions{})
	ring := polylineOf(1, 500001, 6200001, 500003, 6200001, 500003, 6200003)
	line := polylineOf(0, 500001, 6200001, 500003, 6200001, 500003, 6200003)
	symbol := func(name string, turn float64) string {
		return pairs(0, "INSERT", 8, "A", 2, name, 10, 500001, 20, 6200001, 50, turn)
	}
	words := pairs(0, "TEXT", 8, "A", 10, 500001, 20, 6200001, 40, 1, 1, "shed")
	for _, c := range []struct {
		name, entities, want, kinds string
	}{
		{"a keep-out", on("KEEPOUT", ring), "keepout Polygon", "role-from-layer:1"},
		{"in any case", on("Keepout", ring), "keepout Polygon", "role-from-layer:1"},
		{"one that is off", on("KEEPOUT-OFF", ring), "keepout Polygon off", "drawn-off:1 role-from-layer:1"},
		{"one that is open", on("KEEPOUT", line), "keepout LineString", "layer-line-open:1 role-from-layer:1"},
		{"a zone and a corridor", on("ZONE", ring) + on("CORRIDOR", line), "zone Polygon, corridor LineString", "role-from-layer:2"},
		{"a line of hazard", on("HAZARD", line), "hazard LineString", "role-from-layer:1"},
		{"a circle", on("KEEPOUT", pairs(0, "CIRCLE", 8, "A", 10, 500001, 20, 6200001, 40, 2)), "keepout Polygon", "role-from-layer:1"},
		{"another layer", on("PLANTING", ring), "other Polygon", ""},
		{"layer other", on("OTHER", ring), "other Polygon", ""},
		{"a text", on("KEEPOUT", words), "other Point", ""},
		{"a name", on("KEEPOUT-NAMES", words), "other Point", ""},
		{"a point where an area should be", on("ZONE", pairs(0, "POINT", 8, "A", 10, 500001, 20, 6200001)), "other Point", "role-not-from-layer:1"},
		{"an area where a point should be", on("DOCK", ring), "other Polygon", "role-not-from-layer:1"},
		{"a symbol of a tree", on("HAZARD", symbol("PLAN_TREE", 0)), "hazard Point tree", "role-from-layer:1"},
		{"a symbol of a dock", on("DOCK", symbol("PLAN_DOCK", 270)), "dock Point 90", "role-from-layer:1"},
	} {
		back, w := read(t, added(text, c.entities), wire.ReadOptions{})
		var got []string
		for _, f := range back.Features[len(plan.Features):] {
			s := string(f.Role) + " " + strings.TrimPrefix(fmt.Sprintf("%T", f.Geometry), "*geom.")
			if active, told := f.Attributes.Get(schema.PropActive).Truth(); told && !active {
				s += " off"
			}
			for _, key := range []string{schema.PropHazardKind, schema.PropHeadingDeg} {
				if v := f.Attributes.Get(key); !v.IsAbsent() {
					s += " " + v.Text()
				}
			}
			got = append(got, s)
		}
		if s := strings.Join(got, ", "); s != c.want || kinds(w) != c.kinds {
			t.Errorf("%s: %s, want %s; %v", c.name, s, c.want, w)
		}
		for i, f := range plan.Features {
			if g := back.Features[i]; g.Role != f.Role || g.Name != f.Name {
				t.Errorf("%s: feature %d came back as %s %q", c.name, i, g.Role, g.Name)
			}
		}
	}
	// A keep-out that stands in a block.
	block := strings.Replace(added(text, pairs(0, "INSERT", 8, "KEEPOUT", 2, "BED", 10, 500000, 20, 6200000)), "BLOCKS\n", "BLOCKS\n"+blockOf("BED", 500000, 6200000, on("0", ring)), 1)
	back, w := read(t, block, wire.ReadOptions{})
	if n := len(back.Features); back.Features[n-1].Role != schema.RoleKeepout || back.Features[n-2].Role != schema.RoleOther || kinds(w) != "role-from-layer:1" {
		t.Errorf("in a block: %s %s; %v", back.Features[n-2].Role, back.Features[n-1].Role, w)
	}
	// Somebody else's drawing may call its layers as it likes.
	back, w = read(t, drawing(on("KEEPOUT", ring)+on("NOTICE", line)), wire.ReadOptions{})
	if back.Features[0].Role != schema.RoleOther || len(w) != 0 {
		t.Errorf("another drawing: %s; %v", back.Features[0].Role, w)
	}
}

// Where another program has thrown away all that was stored, the layers still
// tell.
func TestLayersTellRolesAlone(t *testing.T) {
	plan := furnished(t)
	text, _ := write(t, plan, wire.WriteOptions{})
	back, w := read(t, strings.ReplaceAll(text, appID, "NOBODY"), wire.ReadOptions{})
	var got []string
	for _, f := range back.Features {
		if f.Role != schema.RoleOther {
			s := string(f.Role)
			if active, told := f.Attributes.Get(schema.PropActive).Truth(); told && !active {
				s += " off"
			}
			got = append(got, s)
		}
	}
	if s := strings.Join(got, ", "); s != "zone, keepout off, base, dock, mark, supply, hazard, hazard" || kinds(w) != "drawing-says-grid:1 role-from-layer:8" {
		t.Errorf("%s; %v", s, w)
	}
}

// What is moved from one of the layers to another has the new one's role: that
// is what the drawing shows.
func TestMovedToAnotherRole(t *testing.T) {
	plan := everything()
	text, _ := write(t, plan, wire.WriteOptions{})
	move := func(text string, feature, part int, layer string) string {
		at := strings.Index(text, fmt.Sprintf(`{"f":%d,"e":%d,`, feature, part))
		start := strings.LastIndex(text[:at], "  0\n")
		lines := strings.SplitN(text[start:], "\n  8\n", 2)
		_, rest, _ := strings.Cut(lines[1], "\n")
		return text[:start] + lines[0] + "\n  8\n" + layer + "\n" + rest
	}
	zone := plan.Features[0]
	back, w := read(t, move(move(text, 0, 0, "KEEPOUT"), 0, 1, "KEEPOUT"), wire.ReadOptions{})
	if f := back.Features[0]; zone.Role != schema.RoleZone || f.Role != schema.RoleKeepout || kinds(w) != "role-from-new-layer:1" || f.Name != zone.Name {
		t.Errorf("%s %q; %v", f.Role, f.Name, w)
	}
	back, w = read(t, move(move(text, 0, 0, "ZONE-OFF"), 0, 1, "ZONE-OFF"), wire.ReadOptions{})
	if active, told := back.Features[0].Attributes.Get(schema.PropActive).Truth(); !told || active || kinds(w) != "role-from-new-layer:1" {
		t.Errorf("off: %v %v; %v", active, told, w)
	}
	// One ring of two: what that means is not for a program to say.
	back, w = read(t, move(text, 0, 1, "KEEPOUT"), wire.ReadOptions{})
	if f := back.Features[0]; f.Role != schema.RoleZone || kinds(w) != "layer-changed:1" {
		t.Errorf("in part: %s; %v", f.Role, w)
	}
}

// TestMovedFromDanger: what guarded and guards no more on its new layer is told as
// what the plan lacks; what is only guarded otherwise, or switched off on the
// layer of its own role, is not.
func TestMovedFromDanger(t *testing.T) {
	for _, x := range []struct {
		role  schema.Role
		off   bool
		layer string
		want  string
	}{
		{schema.RoleHazard, false, "ZONE-OFF", "role-danger-moved"},
		{schema.RoleHazard, false, "ZONE", "role-danger-moved"},
		{schema.RoleHazard, false, "KEEPOUT", "role-danger-moved"},
		{schema.RoleHazard, false, "HAZARD-OFF", "role-from-new-layer"},
		{schema.RoleHazard, true, "ZONE-OFF", "role-from-new-layer"},
		{schema.RoleKeepout, false, "HAZARD", "role-from-new-layer"},
		{schema.RoleKeepout, false, "HAZARD-OFF", "role-danger-moved"},
		{schema.RoleKeepout, false, "BOUNDARY", "role-danger-moved"},
		{schema.RoleBuilding, false, "KEEPOUT", "role-from-new-layer"},
		{schema.RoleBuilding, false, "ZONE", "role-danger-moved"},
		{schema.RoleEdge, false, "CORRIDOR", "role-danger-moved"},
		{schema.RoleBoundary, false, "EDGE", "role-danger-moved"},
		{schema.RoleZone, false, "KEEPOUT", "role-from-new-layer"},
		{schema.RoleZone, false, "ZONE-OFF", "role-from-new-layer"},
	} {
		f := &schema.Feature{Role: x.role, Name: "X", Geometry: geom.NewPolygonFlat(geom.XY, []float64{0, 0, 4, 0, 4, 3, 0, 0}, []int{8})}
		before := strings.ToUpper(string(x.role))
		if x.off {
			f.Attributes.Set(schema.PropActive, schema.Bool(false))
			before += "-OFF"
		}
		text, _ := write(t, &schema.Plan{Features: []*schema.Feature{f}}, wire.WriteOptions{})
		at := strings.Index(text, `{"f":0,"e":0,`)
		start := strings.LastIndex(text[:at], "  0\n")
		moved := text[:start] + strings.Replace(text[start:], "\n  8\n"+before+"\n", "\n  8\n"+x.layer+"\n", 1)
		if moved == text && before != x.layer {
			t.Fatalf("%s: not on the layer %s", x.role, before)
		}
		_, w := read(t, moved, wire.ReadOptions{})
		got := ""
		for _, k := range w {
			if strings.HasPrefix(k.Kind, "role-") {
				got = k.Kind
				if k.Ground() != (k.Kind == "role-danger-moved") {
					t.Errorf("%s: ground %v", k.Kind, k.Ground())
				}
			}
		}
		if got != x.want {
			t.Errorf("%s (off %v) on %s: %q, want %q", x.role, x.off, x.layer, got, x.want)
		}
	}
}

// TestPassedOver: what a plan has no place for is told where its layer is one of
// this program's that guards, and kept with its layer everywhere.
func TestPassedOver(t *testing.T) {
	plan := everything()
	text, _ := write(t, plan, wire.WriteOptions{})
	at := strings.LastIndex(text, "  0\nENDSEC\n  0\nSECTION\n  2\nOBJECTS")
	for _, x := range []struct {
		etype, layer, want string
	}{
		{"RAY", "HAZARD", "drawn-endless"},
		{"XLINE", "KEEPOUT", "drawn-endless"},
		{"WIPEOUT", "BUILDING", "drawn-endless"},
		{"IMAGE", "EDGE", "drawn-endless"},
		{"OLE2FRAME", "boundary", "drawn-endless"},
		{"LEADER", "HAZARD", "drawn-endless"},
		{"RAY", "HAZARD-OFF", ""},
		{"RAY", "ZONE", ""},
		{"RAY", "CONSTRUCTION", ""},
		{"DIMENSION", "HAZARD", ""},
	} {
		drawn := pairs(0, x.etype, 8, x.layer, 10, 1.0, 20, 2.0, 30, 0.0, 10, 2.0, 20, 3.0, 30, 0.0)
		p, w := read(t, text[:at]+drawn+text[at:], wire.ReadOptions{})
		got := ""
		for _, k := range w {
			if k.Kind == "drawn-endless" {
				got = k.Kind
				if !k.Ground() {
					t.Errorf("%s is not told as what the plan lacks", k.Kind)
				}
			}
		}
		if got != x.want {
			t.Errorf("%s on %s: %q, want %q", x.etype, x.layer, got, x.want)
		}
		if kept := len(p.Passed) == 1 && p.Passed[0].Layer == x.layer && p.Passed[0].Kind == x.etype && p.Passed[0].Line > 0; kept != (x.etype != "DIMENSION") {
			t.Errorf("%s on %s: passed %+v", x.etype, x.layer, p.Passed)
		}
	}
}

// TestLayersThatAreNotShown: whether a keep-out on a frozen layer is still meant
// nobody can tell. One of a feature that is off is off as it was written.
func TestLayersThatAreNotShown(t *testing.T) {
	plan := furnished(t)
	text, _ := write(t, plan, wire.WriteOptions{})
	if _, w := read(t, text, wire.ReadOptions{}); kinds(w) != "" {
		t.Fatalf("as it was written: %s", kinds(w))
	}
	// state sets a layer's flags, and its colour where sign is -1.
	state := func(name string, flags, sign int) string {
		at := strings.Index(text, "AcDbLayerTableRecord\n  2\n"+name+"\n")
		if at < 0 {
			t.Fatalf("no layer %s", name)
		}
		head, tail := text[:at], text[at:]
		tail = strings.Replace(tail, " 70\n0\n", fmt.Sprintf(" 70\n%d\n", flags), 1)
		if sign < 0 {
			tail = strings.Replace(tail, " 62\n", " 62\n-", 1)
		}
		return head + tail
	}
	ring := polylineOf(1, 500001, 6200001, 500003, 6200001, 500003, 6200003)
	for _, x := range []struct{ name, text, want string }{
		{"frozen", state("ZONE", 1, 1), "frozen"},
		{"off", state("ZONE", 0, -1), "off"},
		{"locked", state("ZONE", 4, 1), ""},
		{"a layer of names", state("ZONE-NAMES", 1, 1), ""},
		{"what is only drawn", added(text, on("OTHER", strings.Replace(ring, "  8\nA\n", "  8\nA\n 60\n1\n", 1))), ""},
		{"what was added", added(state("ZONE", 1, 1), on("ZONE", ring)), "frozen"},
		{"what was added and is hidden", added(text, on("KEEPOUT", strings.Replace(ring, "  8\nA\n", "  8\nA\n 60\n1\n", 1))), "hidden"},
	} {
		p, w := read(t, x.text, wire.ReadOptions{})
		told := ""
		for _, w := range w {
			if w.Kind == "drawn-unseen" && w.Ground() {
				told = w.Message
			}
		}
		if (told != "") != (x.want != "") || !strings.Contains(told, x.want) {
			t.Errorf("%s: %q", x.name, told)
		}
		if len(p.Features) < len(plan.Features) {
			t.Errorf("%s: %d features of %d", x.name, len(p.Features), len(plan.Features))
		}
	}
}
