// Tests of what a plan says and no rule reads.

package validate

import (
	"fmt"
	"strings"
	"testing"

	"github.com/twpayne/go-geom"

	"swardline/schema"
)

func TestPropertyUnread(t *testing.T) {
	for _, x := range []struct {
		key, value string
		role       schema.Role
		told       bool
	}{
		{"closed", `true`, schema.RoleZone, true},
		{"Gesperrt", `"ja"`, schema.RoleKeepout, true},
		{"do_not_mow", `1`, schema.RoleZone, true},
		{"status", `"closed"`, schema.RoleZone, true},
		{"status", `"inactive"`, schema.RoleZone, false}, // switch-unfit
		{"in_use", `true`, schema.RoleZone, false},
		{"in_use", `"Tuesdays"`, schema.RoleZone, true},
		{"slope_percent", `60`, schema.RoleZone, false}, // slope-limit
		{"slope_percent", `60`, schema.RoleKeepout, true},
		{"slope", `"steep"`, schema.RoleZone, true},
		{"slope", `"1:1.5"`, schema.RoleZone, false}, // slope-limit
		{"surface", `"gravel"`, schema.RoleZone, true},
		{"traced_from", `"aerial photo"`, schema.RoleZone, false}, // property-misnamed
		{"source", `"the office"`, schema.RoleZone, true},
		{"source", `"aerial photo"`, schema.RoleZone, false}, // property-misnamed
		{"valid_to", `"2024-05-01"`, schema.RoleKeepout, true},
		{"time_end", `"2024-05-01"`, schema.RoleKeepout, true},
		{"area_m2", `12`, schema.RoleHazard, true},
		{"area_m2", `12`, schema.RoleZone, false},
		{"time", `{"interval": ["2019-01-01", "2021-12-31"]}`, schema.RoleKeepout, true},
		{"time", `"2024-05-01T10:00:00Z"`, schema.RoleKeepout, false},
		{"visibility", `false`, schema.RoleKeepout, true},
		{"visibility", `true`, schema.RoleKeepout, false},
		{"hidden", `true`, schema.RoleKeepout, true},
		{"hidden", `false`, schema.RoleKeepout, false},
		{"layer_state", `"frozen"`, schema.RoleKeepout, true},
		{"conf95_m", `0.45`, schema.RoleBase, false}, // property-misnamed
		{"precision", `"low"`, schema.RoleBase, true},
		{"precision", `0.45`, schema.RoleBase, false}, // property-misnamed
		{"width_m", `2.4`, schema.RoleZone, true},
		{"width_m", `2.4`, schema.RoleHazard, false},
		{"heading_deg", `90`, schema.RoleZone, false},
		{"heading_deg", `90`, schema.RoleBase, true},
		{"closed", `true`, schema.RoleOther, false},
		{"closed", `null`, schema.RoleZone, false},
		{"closed", `" "`, schema.RoleZone, false},
		{"closed", `[null, ""]`, schema.RoleZone, false},
		{"closed", `{}`, schema.RoleZone, false},
		{"note", `"closed"`, schema.RoleZone, false},
		{"Bemerkung", `"gesperrt"`, schema.RoleZone, false},
		{"note_2", `"closed"`, schema.RoleZone, false},
		{"OBJECTID", `7`, schema.RoleZone, false},
		{"Shape_Area", `120.5`, schema.RoleZone, false},
		{"area_m2", `-0.1`, schema.RoleZone, true},
		{"area", `"-600 m2"`, schema.RoleZone, true},
		{"area", `0`, schema.RoleZone, true},
		{"Shape_Area", `0`, schema.RoleBase, false},
		{"Shape_Length", `-1`, schema.RoleBase, true},
		{"perimeter", `0`, schema.RoleZone, true},
		{"building:levels", `-1`, schema.RoleBuilding, true},
		{"stroke-width", `2`, schema.RoleZone, false},
		{"length", `4`, schema.RoleBase, true},
		{"Länge", `4`, schema.RoleSupply, true},
		{"length", `0`, schema.RoleBase, false},
		{"opacity", `0.1`, schema.RoleZone, false},
		{"opacity", `0.099`, schema.RoleZone, true},
		{"opacity", `"9%"`, schema.RoleZone, true},
		{"fill-opacity", `0`, schema.RoleZone, false}, // its outline is seen
		{"stroke-width", `0`, schema.RoleZone, false}, // its fill is
		{"transparency", `90`, schema.RoleZone, false},
		{"transparency", `91`, schema.RoleZone, true},
		{"transparency", `0.9`, schema.RoleZone, false},
		{"color", `"transparent"`, schema.RoleZone, true},
		{"color", `"#11223300"`, schema.RoleZone, true},
		{"color", `"#ff000000"`, schema.RoleZone, false}, // black, where its first two say how opaque it is
		{"icon_color", `"#ff000000"`, schema.RoleMark, true},
		{"icon_color", `"#ff0000ff"`, schema.RoleMark, false},
		{"marker-color", `"rgba(1, 2, 3, 0.05)"`, schema.RoleMark, true},
		{"style", `"fill:red; opacity: 0.0;"`, schema.RoleZone, true},
		{"style", `"fill-opacity:0"`, schema.RoleZone, false},
		{"style", `"opacity:0.5"`, schema.RoleZone, false},
		{"point_hdop", `[1]`, schema.RoleMark, false},
		{"layer", `"0"`, schema.RoleZone, false},
		{"type", `"helipad"`, schema.RoleZone, true},
		{"category", `"Rasenfläche 3"`, schema.RoleZone, false},
		{"class", `"A"`, schema.RoleZone, false},
		{"kind", `"Lawn, main"`, schema.RoleZone, false},
		{"type", `"closed"`, schema.RoleZone, false},  // name-contradicts
		{"type", `"keepout"`, schema.RoleZone, false}, // property-misnamed
		{"type", `"weather vane"`, schema.RoleBase, true},
		{"type", `"GNSS base"`, schema.RoleBase, false},
		{"featuretype", `"kiosk"`, schema.RoleDock, true},
		{"category", `"helipad"`, schema.RoleKeepout, false}, // whatever it keeps the machine from
		{"machine_width_m", `0.8`, schema.RoleZone, false},   // property-misnamed
	} {
		f := thing(x.role, "f", spot(3, 4, 45))
		if x.role == schema.RoleZone || x.role == schema.RoleKeepout {
			f = thing(x.role, "f", box(0, 0, 40, 25))
		}
		f.Attributes.Set(x.key, valueOf(t, x.value))
		got := only(Check(driftPlan(t, f), schema.DefaultLimits()), RulePropertyUnread)
		if (len(got) == 1) != x.told || len(got) > 1 || x.told && (got[0].Severity != Note || !strings.Contains(got[0].Message, quote(x.key))) {
			t.Errorf("%s: %s %s: %v", x.role, x.key, x.value, got)
		}
	}
}

// TestUnreadWithin: what stands in the lists and objects of properties that only describe,
// each beside what says nothing there.
func TestUnreadWithin(t *testing.T) {
	for _, x := range []struct {
		key, value, path string // path is that of what is told, "" for nothing
	}{
		{"info", `{"accuracy_m": 2.5}`, "info.accuracy_m"},
		{"info", `{"hdop": 9}`, "info.hdop"},
		{"info", `{"id": 17, "created": "2026-05-01", "version": 3}`, ""},
		{"info", `{"approved": false}`, "info.approved"},
		{"info", `{"approved": null, "draft": ""}`, ""},
		{"info", `[{"a": 1}, {"b": {"c": 1}}]`, "info.a"},
		{"info", `false`, "info"},
		{"note", `7.5`, "note"},
		{"note", `"7 weeks"`, ""},
		{"note", `"7.5"`, "note"},
		{"note", `"7"`, ""},
		{"note", `"2026-05-01"`, ""},
		{"details", `"0.9; 1.2"`, "details"},
		{"tags", `{"open_well": "yes"}`, "tags.open_well"},
		{"tags", `{"landuse": "grass", "surface": "grass"}`, ""},
		{"tags", `{"landuse": "quarry"}`, "tags.landuse"},
		{"tags", `{"surface": "gravel"}`, "tags.surface"},
		{"tags", `{"building": true}`, "tags.building"},
		{"tags", `["grass", true]`, "tags"},
		{"details", `{"list": [0.9, 1.2]}`, "details.list"},
		{"details", `[0.9, 1.2]`, "details"},
		{"owner", `{"name": "Keller", "phone": 4711, "first_name": "Anna"}`, ""},
		{"owner", `{"name": "Keller", "consent": false}`, "owner.consent"},
		{"links", `[{"rel": "self", "href": "https://example.org", "type": "text/html"}]`, ""},
		{"links", `[{"rel": "self", "valid": false}]`, "links.valid"},
		{"style", `{"stroke": "#080", "weight": 2, "fill": true, "lineCap": "round", "visible": true}`, ""},
		{"style", `{"approved": true}`, "style.approved"},
		{"photo", `{"file": "a.jpg", "width": 800, "height": 600}`, ""},
		{"info", `{"width": 800}`, "info.width"},
		{"inspected", `true`, ""},
		{"inspected", `false`, "inspected"},
		{"sprinkler", `false`, ""},
		{"id", `{"valid": false}`, "id.valid"},
		{"metadata", `{"version": 3, "author": "Anna Keller"}`, ""},
		{"metadata", `{"valid": 3}`, "metadata.valid"},
	} {
		f := thing(schema.RoleZone, "f", box(0, 0, 40, 25))
		f.Attributes.Set(x.key, valueOf(t, x.value))
		got := only(Check(driftPlan(t, f), schema.DefaultLimits()), RulePropertyUnread)
		if told := len(got) == 1 && (x.path == "" || strings.Contains(got[0].Message, quote(x.path))); told != (x.path != "") || len(got) > 1 {
			t.Errorf("%s %s: %v", x.key, x.value, got)
		}
		if x.key == "tags" || x.key == "metadata" { // tags of a plan say nothing of its ground
			continue
		}
		p := driftPlan(t, thing(schema.RoleZone, "f", box(0, 0, 40, 25)))
		p.Attributes.Set(x.key, valueOf(t, x.value))
		got = only(Check(p, schema.DefaultLimits()), RulePropertyUnread)
		if told := len(got) == 1 && (x.path == "" || strings.Contains(got[0].Message, quote(x.path))); told != (x.path != "") || len(got) > 1 {
			t.Errorf("the plan's %s %s: %v", x.key, x.value, got)
		}
	}
}

// TestDistanceOfDock: a distance beside standoff_m that is another one, and none that is
// it, or that property-misnamed tells.
func TestDistanceOfDock(t *testing.T) {
	for value, told := range map[string]bool{`2.01`: false, `2.011`: true, `"12 m"`: true, `"far"`: true, `2`: false} {
		for _, key := range []string{"Abstand", "distance_m"} {
			dock := thing(schema.RoleDock, "Dock", spot(3, 4, 45))
			dock.Attributes.Set(schema.PropStandoffM, schema.Int(2))
			dock.Attributes.Set(key, valueOf(t, value))
			got := only(Check(driftPlan(t, dock), schema.DefaultLimits()), RulePropertyUnread)
			if (len(got) == 1) != told {
				t.Errorf("%s %s: %v", key, value, got)
			}
		}
	}
}

// TestUnseen: an area of which neither fill nor outline is seen, a line whose outline is
// not, and of the role other none.
func TestUnseen(t *testing.T) {
	for _, x := range []struct {
		role  schema.Role
		g     geom.T
		props string
		told  bool
	}{
		{schema.RoleKeepout, box(1, 1, 4, 4), `{"fill-opacity": 0, "stroke-opacity": 0}`, true},
		{schema.RoleKeepout, box(1, 1, 4, 4), `{"fill": "none", "stroke-width": 0}`, true},
		{schema.RoleKeepout, box(1, 1, 4, 4), `{"fill_color": "#ff000019", "line_color": "#ff000019"}`, true},
		{schema.RoleKeepout, box(1, 1, 4, 4), `{"fill_color": "#ff00001a", "line_color": "#ff000019"}`, false},
		{schema.RoleKeepout, box(1, 1, 4, 4), `{"fill-opacity": 0, "stroke-opacity": 1}`, false},
		{schema.RoleEdge, geom.NewLineStringFlat(geom.XYZ, []float64{3, 3, 45, 5, 5, 45}), `{"stroke-opacity": 0}`, true},
		{schema.RoleEdge, geom.NewLineStringFlat(geom.XYZ, []float64{3, 3, 45, 5, 5, 45}), `{"fill-opacity": 0}`, false},
		{schema.RoleZone, box(1, 1, 4, 4), `{"style": {"weight": 2, "opacity": 0}}`, true},
		{schema.RoleOther, box(1, 1, 4, 4), `{"opacity": 0}`, false},
	} {
		f := thing(x.role, "f", x.g)
		for _, a := range valueOf(t, x.props).Fields() {
			f.Attributes.Set(a.Key, a.Value)
		}
		got := only(Check(driftPlan(t, f), schema.DefaultLimits()), RulePropertyUnread)
		if (len(got) == 1 && strings.Contains(got[0].Message, "nobody sees it")) != x.told {
			t.Errorf("%s %s: %v", x.role, x.props, got)
		}
	}
}

// TestDrivenOverUnread: what is taken for level ground is told whatever it says
// that no rule reads, and the same without driven_over is not.
func TestDrivenOverUnread(t *testing.T) {
	for _, x := range []struct {
		key, value string
		told       bool
	}{
		{"bottom_m", `43.8`, true},
		{"dz", `-1.2`, true},
		{"h", `-1.2`, true},
		{"water_depth", `1.2`, true},
		{"z", `44.94`, true},
		{"z", `44.96`, false},
		{"elevation", `45.04`, false},
		{"elevation", `45.06`, true},
		{"slope_percent", `80`, true},
		{"danger", `true`, true},
		{"hazard_kind", `"bench"`, true},
		{"class", `"hydro"`, true},
		{"class", `"paving"`, false},
		{"type", `"line marking"`, false},
		{"layer", `"WATER"`, true},
		{"layer", `"Paths"`, false},
		{"style", `"water"`, true},
		{"tags", `"natural=water"`, true},
		{"symbol", `"pond"`, true},
		{"note", `"the pond lies behind it"`, false},
		{"extrude", `true`, true},
		{"extrude", `[false, true]`, true},
		{"extrude", `false`, false},
		{"extrude", `[false, null]`, false},
		{"height_m", `0.01`, false}, // other-in-zone
		{"depth", `0.01`, false},    // other-in-zone
		{"area_m2", `12`, false},
		{"radius_m", `0.3`, false},
		{"fix", `"fixed"`, false},
		{"active", `true`, false},
		{"note", `""`, false},
		{"dz", `null`, false},
	} {
		for _, over := range []bool{true, false} {
			f := thing(schema.RoleOther, "Square", geom.NewLineStringFlat(geom.XYZ, []float64{3, 3, 45, 5, 5, 45}), "driven_over", over)
			f.Attributes.Set(x.key, valueOf(t, x.value))
			got := only(Check(driftPlan(t, thing(schema.RoleZone, "Lawn", box(0, 0, 40, 25)), f), schema.DefaultLimits()), RulePropertyUnread)
			if want := x.told && over; (len(got) == 1 && strings.Contains(got[0].Message, quote(x.key))) != want && (over || !strings.Contains("slope_percent hazard_kind radius_m", x.key)) {
				t.Errorf("%s %s, driven over %v: %v", x.key, x.value, over, got)
			}
		}
	}
}

// TestExtensionsUnread: what GPX extensions say of what is driven or guarded is
// told by the names of the innermost elements, not how a receiver draws it.
func TestExtensionsUnread(t *testing.T) {
	for _, x := range []struct {
		text string
		role schema.Role
		over bool
		want string
	}{
		{`<x:closed>true</x:closed>`, schema.RoleZone, false, `"closed" ("true"`},
		{`<x:a xmlns:x="urn:x"><x:b x:c="1"> wet &amp; soft </x:b></x:a>`, schema.RoleZone, false, `"b" ("wet & soft"`},
		{`<active>false</active>`, schema.RoleKeepout, false, `"active" ("false"`},
		{`<x:hazard>pond</x:hazard>`, schema.RoleOther, true, `"hazard" ("pond"`},
		{`<x:hazard>pond</x:hazard>`, schema.RoleOther, false, ""},
		{`<x:Depth>3</x:Depth>`, schema.RoleHazard, false, `"Depth" ("3"`},
		{`<x:Proximity>3</x:Proximity>`, schema.RoleOther, true, `"Proximity" ("3"`},
		{`<x:Proximity>3</x:Proximity>`, schema.RoleZone, false, ""},
		{`<gpxx:TrackExtension><gpxx:DisplayColor>Red</gpxx:DisplayColor></gpxx:TrackExtension>`, schema.RoleZone, false, ""},
		{`<gpxtpx:hr>77</gpxtpx:hr><note>wet</note>`, schema.RoleZone, false, ""},
		{`<x:closed> </x:closed><x:closed/>`, schema.RoleZone, false, ""},
	} {
		f := thing(x.role, "z", box(0, 0, 40, 25))
		f.Attributes.Set(schema.PropRole, schema.String(string(x.role)))
		f.Attributes.Set("gpx_extensions", schema.String(x.text))
		if x.over {
			f.Attributes.Set(schema.PropDrivenOver, schema.Bool(true))
		}
		got := only(Check(driftPlan(t, f), schema.DefaultLimits()), RulePropertyUnread)
		if len(got) > 1 || (len(got) == 1) != (x.want != "") || len(got) == 1 && !strings.Contains(got[0].Message, x.want) {
			t.Errorf("%s of a %s: %v", x.text, x.role, got)
		}
	}
}

func TestMembersUnread(t *testing.T) {
	for _, x := range []struct {
		key, value string
		rule       string // "" for nothing told
	}{
		{"machine", `{"width_m": 1.2}`, RulePropertyUnread},
		{"metadata", `{"machine": "wide", "author": "K"}`, RulePropertyUnread},
		{"metadata", `{"author": "K"}`, ""},
		{"properties", `{"fix": "float"}`, RulePropertyUnread},
		{"properties", `{"accuracy": "2 m"}`, RulePropertyUnread},
		{"properties", `{"machine_width_m": 1.2}`, RulePropertyUnread},
		{"properties", `{"area": 1200}`, ""},
		{"sats", `3`, RulePropertyUnread},
		{"sat", `"Saturday"`, ""},
		{"hdop", `9`, RulePropertyUnread},
		{"safety_distance_m", `0.0`, RulePropertyUnread},
		{"accuracy", `"2 m"`, RulePropertyMisnamed},
		{"obstacles", `[[4.5, 55.5, 2]]`, RulePropertyUnread},
		{"description", `"by hand"`, ""},
		{"held", `"offsets"`, ""},
		{"machine_width_m", `1.2`, RulePropertyMisnamed},
		{"hazard_margin_water_m", `9`, RulePropertyMisnamed},
		{"limits", `{"machine_width_m": 1.2}`, ""},
	} {
		p := driftPlan(t, thing(schema.RoleZone, "f", box(0, 0, 40, 25)))
		p.Attributes.Set(x.key, valueOf(t, x.value))
		r := Check(p, schema.DefaultLimits())
		for _, rule := range []string{RulePropertyUnread, RulePropertyMisnamed} {
			if got := only(r, rule); (len(got) == 1) != (rule == x.rule) || len(got) > 1 {
				t.Errorf("%s %s: %s: %v", x.key, x.value, rule, got)
			}
		}
	}
}

// TestUnreadValuesAreShort: a note does not hold a whole outline.
func TestUnreadValuesAreShort(t *testing.T) {
	f := thing(schema.RoleZone, "f", box(0, 0, 40, 25))
	f.Attributes.Set("outline", schema.String(strings.Repeat("ä", 59)))
	f.Attributes.Set("closed", schema.String(strings.Repeat("b", 59)+"cd"))
	got := only(Check(driftPlan(t, f), schema.DefaultLimits()), RulePropertyUnread)
	if len(got) != 1 || !strings.Contains(got[0].Message, "b ...") || strings.Contains(got[0].Message, "cd") || !strings.Contains(got[0].Message, strings.Repeat("ä", 59)) {
		t.Errorf("%v", got)
	}
}

func TestUnreadIsToldOnce(t *testing.T) {
	var features []*schema.Feature
	for i := range 12 {
		f := thing(schema.RoleZone, fmt.Sprint("f", i), box(float64(60*i), 0, 40, 25))
		f.Attributes.Set("closed", schema.Bool(true))
		f.Attributes.Set("Closed", schema.Bool(false))
		f.Attributes.Set(fmt.Sprintf("odd%c", 'a'+i), schema.Int(int64(i)))
		features = append(features, f)
	}
	got := only(Check(driftPlan(t, features...), schema.DefaultLimits()), RulePropertyUnread)
	if len(got) != 1 || len(got[0].Features) != mostUnread {
		t.Fatalf("%v", got)
	}
	for _, want := range []string{`"closed" ("true", zone "f0") 24 times`, `"odda" ("0", zone "f0")`, "5 more"} {
		if !strings.Contains(got[0].Message, want) {
			t.Errorf("%q lacks %q", got[0].Message, want)
		}
	}
}

// TestColumnsOfReceivers: the columns of receivers' tables and of drawings pass as long
// as they say nothing that is wrong.
func TestColumnsOfReceivers(t *testing.T) {
	for _, x := range []struct {
		key, value string
		rule       string // "" for nothing told
	}{
		{"Samples", `30`, ""}, {"Samples", `5`, ""}, {"Samples", `4`, RulePropertyUnread}, {"Samples", `1`, RulePropertyUnread}, {"Samples", `"few"`, RulePropertyUnread},
		{"GPS_Date", `"2026-04-11"`, ""}, {"GPS_Date", `"2026-04-11, no fix"`, RuleWordsUnread}, {"GPS_Time", `"10:22:31"`, ""}, {"GPS_Time", `"10:22:31 moved"`, RuleWordsUnread},
		{"CreationDate", `"2026-04-11"`, ""}, {"CreationDate", `"before the fence moved"`, RuleWordsUnread}, {"EditDate", `"2026-04-11"`, ""},
		{"Feat_Name", `"Lawn"`, ""}, {"Feat_Name", `"Quarry"`, RuleWordsUnread},
		{"Linetype", `"Continuous"`, ""}, {"Linetype", `"DEMOLISHED"`, RuleWordsUnread}, {"SubClasses", `"AcDbEntity:AcDbPolyline"`, ""}, {"SubClasses", `"demolished"`, RuleWordsUnread}, {"EntityHandle", `"2F1"`, ""},
		{"Corr_Type", `"Uncorrected"`, RulePropertyUnread}, {"Max_PDOP", `1.8`, ""}, {"GDOP", `1.9`, ""}, {"TDOP", `1.1`, ""}, {"Max_HDOP", `1.1`, ""},
	} {
		f := thing(schema.RoleZone, "f", box(0, 0, 40, 25))
		f.Attributes.Set(x.key, valueOf(t, x.value))
		r := Check(driftPlan(t, f), schema.DefaultLimits())
		for _, rule := range []string{RulePropertyUnread, RulePropertyMisnamed, RuleWordsUnread} {
			if got := only(r, rule); (len(got) == 1) != (rule == x.rule) {
				t.Errorf("%s %s: %s: %v", x.key, x.value, rule, got)
			}
		}
	}
}

// TestSystemOfReceivers: a system that receivers name with every point is that of the
// base, or told.
func TestSystemOfReceivers(t *testing.T) {
	for system, told := range map[string]bool{"ETRS89": false, "etrs89": false, "ETRF2000": true, "EPSG:31467": true, "WGS 84": false} {
		f, base := thing(schema.RoleZone, "f", box(0, 0, 40, 25)), baseAt(10, 30, 51)
		base.Attributes.Set(schema.PropFrame, schema.String("ETRS89"))
		f.Attributes.Set("CS name", schema.String(system))
		if got := only(Check(driftPlan(t, f, base), schema.DefaultLimits()), RulePropertyMisnamed); (len(got) == 1) != told {
			t.Errorf("%s: %v", system, got)
		}
	}
}
