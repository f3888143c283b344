// Tests of properties under other words, of values that say how something was
// measured, and of things whose height is missing where it would be asked.

package validate

import (
	"strings"
	"testing"

	geom "github.com/twpayne/go-geom"

	"swardline/schema"
)

func TestOtherWords(t *testing.T) {
	for _, x := range []struct {
		key, value string
		role       schema.Role
		want       string // the right name, "" for nothing told
	}{
		{"h_accuracy", `2.5`, schema.RoleZone, schema.PropSigma},
		{"HRMS", `0.051`, schema.RoleZone, schema.PropSigma},
		{"HRMS", `0.05`, schema.RoleZone, ""},
		{"HRMS", `0.049`, schema.RoleBase, ""},
		{"ABC_GNSS_H_RMS", `0.45`, schema.RoleBase, schema.PropSigma},
		{"stdev_m", `"0.45 m"`, schema.RoleZone, schema.PropSigma},
		{"precision", `"high"`, schema.RoleZone, ""},
		{"Genauigkeit", `0.45`, schema.RoleZone, schema.PropSigma},
		{"quality", `"float"`, schema.RoleZone, schema.PropFix},
		{"quality", `5`, schema.RoleZone, schema.PropFix},
		{"quality", `4`, schema.RoleZone, ""},
		{"quality", `"good turf"`, schema.RoleZone, ""},
		{"solution", `"fixed"`, schema.RoleZone, ""},
		{"status", `"Float"`, schema.RoleZone, schema.PropFix},
		{"status", `"planned"`, schema.RoleZone, ""},
		{"status", `["FIXED", "FIXED", "FLOAT", "FIXED"]`, schema.RoleZone, schema.PropFix},
		{"type", `["RTK FIXED", "AUTONOMOUS"]`, schema.RoleZone, schema.PropFix},
		{"status", `["FIXED", null, "FIXED"]`, schema.RoleZone, ""},
		{"status", `["open", "planned"]`, schema.RoleZone, ""},
		{"status", `5`, schema.RoleZone, ""},
		{"rtk_fixed", `false`, schema.RoleZone, schema.PropFix},
		{"rtk_fixed", `true`, schema.RoleZone, ""},
		{"drawnFrom", `"traced"`, schema.RoleZone, schema.PropDrawnFrom},
		{"source", `"satellite picture"`, schema.RoleZone, schema.PropDrawnFrom},
		{"source", `"the office"`, schema.RoleZone, ""},
		{"traced_from", `"aerial photo"`, schema.RoleZone, schema.PropDrawnFrom}, {"digitised_from", `"the map"`, schema.RoleZone, schema.PropDrawnFrom}, {"captured_from", `"satellite"`, schema.RoleZone, schema.PropDrawnFrom},
		{"lineage", `"traced"`, schema.RoleBase, schema.PropDrawnFrom}, {"provenance", `"traced"`, schema.RoleZone, schema.PropDrawnFrom}, {"basemap", `"orthophoto"`, schema.RoleZone, schema.PropDrawnFrom},
		{"erfassung", `"Luftbild"`, schema.RoleZone, schema.PropDrawnFrom}, {"Aufnahme", `"Luftbild"`, schema.RoleZone, schema.PropDrawnFrom}, {"Aufnahme", `"12. Mai"`, schema.RoleZone, ""}, {"lineage", `"measured with RTK"`, schema.RoleZone, ""},
		{"two_sigma_m", `0.45`, schema.RoleZone, schema.PropSigma}, {"two_sigma_m", `0.05`, schema.RoleZone, ""}, {"se_m", `0.45`, schema.RoleZone, schema.PropSigma}, {"conf95_m", `0.45`, schema.RoleZone, schema.PropSigma},
		{"position_error", `0.45`, schema.RoleZone, schema.PropSigma}, {"ecart_type", `0.45`, schema.RoleZone, schema.PropSigma}, {"tolerance_m", `0.45`, schema.RoleZone, schema.PropSigma},
		{"acc_cm", `5.1`, schema.RoleZone, schema.PropSigma}, {"acc_cm", `5`, schema.RoleZone, ""}, {"acc_cm", `"2 cm"`, schema.RoleZone, schema.PropSigma},
		{"estimated", `true`, schema.RoleZone, schema.PropDrawnFrom}, {"approximate", `"yes"`, schema.RoleBase, schema.PropDrawnFrom}, {"approximate", `false`, schema.RoleZone, ""}, {"position_quality", `"approximate"`, schema.RoleBase, schema.PropDrawnFrom},
		{"size", `{"width": 3}`, schema.RoleHazard, schema.PropRadiusM},
		{"crown_m", `6`, schema.RoleHazard, schema.PropRadiusM},
		{"r", `"3"`, schema.RoleHazard, schema.PropRadiusM},
		{"size", `"large"`, schema.RoleHazard, ""},
		{"size", `3`, schema.RoleZone, ""},
		{"building:levels", `10`, schema.RoleHazard, schema.PropHeightM},
		{"Höhe_m", `30`, schema.RoleHazard, schema.PropHeightM},
		{"h", `30`, schema.RoleZone, ""},
		{"Elevation RMS", `0.051`, schema.RoleZone, schema.PropSigma}, {"Elevation RMS", `0.05`, schema.RoleZone, ""}, {"Easting RMS", `0.8`, schema.RoleBase, schema.PropSigma}, {"Northing RMS", `0.009`, schema.RoleBase, ""},
		{"Horz_Prec", `0.051`, schema.RoleZone, schema.PropSigma}, {"Horz_Prec", `0.049`, schema.RoleZone, ""}, {"Vert_Prec", `1.2`, schema.RoleZone, schema.PropSigma}, {"Vert_Prec", `0.018`, schema.RoleZone, ""},
		{"Corr_Type", `"RTK Fixed"`, schema.RoleZone, ""}, {"Corr_Type", `"RTK Float"`, schema.RoleZone, schema.PropFix}, {"Corr_Type", `"Autonomous"`, schema.RoleBase, schema.PropFix},
	} {
		f := thing(x.role, "f", spot(3, 4, 45))
		if x.role == schema.RoleZone {
			f = thing(x.role, "f", box(0, 0, 40, 25))
		}
		f.Attributes.Set(x.key, valueOf(t, x.value))
		told := func() (out []Finding) {
			return only(Check(driftPlan(t, f), schema.DefaultLimits()), RulePropertyMisnamed)
		}
		got := told()
		if len(got) > 1 || (len(got) == 1) != (x.want != "") || len(got) == 1 && !strings.Contains(got[0].Message, "called "+x.want+",") {
			t.Errorf("%s: %s %s: %v, want %q", x.role, x.key, x.value, got, x.want)
		}
		if x.want == "" {
			continue
		}
		f.Attributes.Set(x.want, schema.Float(0.01))
		if foldKey(x.key) == foldKey(x.want) { // one property twice
			if got := told(); len(got) != 1 || !strings.Contains(got[0].Message, "only "+x.want+" is read") {
				t.Errorf("%s beside %s: %v", x.key, x.want, got)
			}
			continue
		}
		if x.key == "size" || x.key == "r" || x.key == "Höhe_m" { // a size that is more
			if got := told(); len(got) != 1 || !strings.Contains(got[0].Message, "which is more: only "+x.want+" is read") {
				t.Errorf("%s beside %s: %v", x.key, x.want, got)
			}
			continue
		}
		if got := told(); len(got) > 0 {
			t.Errorf("%s: told although %s is there: %s", x.key, x.want, got[0].Message)
		}
	}
}

func TestMembersOfFeatures(t *testing.T) {
	for key, told := range map[string]bool{"fix": true, "sigma": true, "drawn_from": true, "accuracy_m": true, "note": false, "quality": false} {
		p := driftPlan(t, thing(schema.RoleZone, "z", box(0, 0, 40, 25)))
		p.Attributes.Set(key, schema.String("2.5"))
		got := only(Check(p, schema.DefaultLimits()), RulePropertyMisnamed)
		if (len(got) == 1) != told {
			t.Errorf("%s: %v", key, got)
		}
	}
}

func TestDrawnFromAndFix(t *testing.T) {
	for _, x := range []struct {
		key, value string
		failed     bool
		reason     string
	}{
		{"drawn_from", `"surveyed"`, false, ""}, {"drawn_from", `"Placed"`, false, ""},
		{"drawn_from", `"traced"`, true, ""}, {"drawn_from", `["traced"]`, true, ""}, {"drawn_from", `"aerial image"`, true, ""},
		{"drawn_from", `"aerial picture"`, true, ""}, {"drawn_from", `"digitised"`, true, ""}, {"drawn_from", `"guessed"`, true, ""},
		{"drawn_from", `"phone"`, false, "none of surveyed"}, {"drawn_from", `"not surveyed"`, false, "none of surveyed"}, {"drawn_from", `3`, false, "none of surveyed"},
		{"fix", `"fixed"`, false, ""}, {"fix", `4`, false, ""}, {"fix", `"RTK fixed (4)"`, false, ""}, {"fix", `"rtk_fixed"`, false, ""},
		{"fix", `"4 of 10 fixed"`, true, ""}, {"fix", `"fixed/float"`, true, ""}, {"fix", `"fixed 40%"`, true, ""}, {"fix", `"mostly fixed"`, true, ""},
		{"fix", `"half fixed"`, true, ""}, {"fix", `"was fixed"`, true, ""}, {"fix", `"not fixed"`, true, ""}, {"fix", `"nicht fixiert"`, true, ""}, {"fix", `"ikke fast"`, true, ""}, {"fix", `"no fix"`, true, ""}, {"fix", `"un-fixed"`, true, ""}, {"fix", `"unfixed"`, true, ""},
		{"fix", `"fixed until 10:40"`, true, ""}, {"fix", `"3d fix"`, true, ""}, {"fix", `"rtk float"`, true, ""}, {"fix", `"manual"`, true, ""}, {"fix", `"gps"`, true, ""},
		{"fix", `"Fixiert"`, false, ""}, {"fix", `"fixe"`, false, ""}, {"fix", `"fijo"`, false, ""}, {"fix", `"fisso"`, false, ""}, {"fix", `"kiinteä"`, false, ""}, {"fix", `"vast"`, false, ""}, {"fix", `"fast"`, false, ""}, {"fix", `"integer"`, false, ""}, {"fix", `"Narrow-int"`, false, ""},
		{"fix", `"solution fixe"`, false, ""}, {"fix", `"ambiguities fixed"`, false, ""}, {"fix", `"position is fixed"`, false, ""},
		{"fix", `"RTK"`, false, "whether the solution is fixed"}, {"fix", `"RTK GNSS"`, false, "whether the solution is fixed"}, {"fix", `"fixed?"`, true, ""}, {"fix", `"fixed by Ann"`, false, "whether the solution is fixed"},
	} {
		f := baseAt(10, 30, 51)
		f.Attributes.Set(x.key, valueOf(t, x.value))
		report := Check(driftPlan(t, thing(schema.RoleZone, "z", box(0, 0, 40, 25)), f), schema.DefaultLimits())
		got := only(report, RuleSurveyQuality)
		if (len(got) == 1 && got[0].Severity == Error) != x.failed {
			t.Errorf("%s %s: %v", x.key, x.value, got)
		}
		if o := report.Outcome(RuleSurveyQuality); x.reason == "" && o.Reason != "" || !strings.Contains(o.Reason, x.reason) {
			t.Errorf("%s %s: %s (%s)", x.key, x.value, o.Outcome, o.Reason)
		}
	}
}

// A hedge of no height is asked for it up to 2 m / tan 15 degrees = 7.46 m from
// a base, a tower up to 37.3 m.
func TestHighThingsWithoutHeight(t *testing.T) {
	for _, x := range []struct {
		kind  string
		off   float64
		asked bool
	}{
		{"hedge", 7.45, true}, {"hedge", 7.48, false}, {"garden shed", 1, true}, {"Gartenhütte", 1, true}, {"roof", 1, true},
		{"tower", 37.3, true}, {"tower", 37.35, false}, {"forest", 20, true}, {"bridge", 20, true},
		{"conifer", 20, true}, {"palm", 20, true}, {"Baumgruppe", 20, true}, {"træer", 20, true}, {"flyover", 20, true}, {"grandstand", 20, true}, {"Lärmschutzwand", 20, true}, {"noise barrier", 20, true}, {"rock face", 20, true}, {"quarry face", 20, true},
		{"cliff", 20, true}, {"scaffold", 20, true}, {"billboard", 20, true}, {"pylon", 20, true}, {"wind turbine", 20, true}, {"stack", 20, true}, {"bamboo", 7.45, true}, {"bamboo", 7.48, false}, {"arch", 1, true}, {"bandstand", 1, true},
		{"stage", 1, true}, {"awning", 1, true}, {"sail", 1, true}, {"veranda", 1, true}, {"balcony", 1, true}, {"truck", 1, true},
		{"pond", 1, false}, {"bench", 1, false}, {"rock", 1, false}, {"drop", 1, false},
	} {
		f := thing(schema.RoleHazard, "h", box(10+x.off, 25, 20+x.off, 35))
		f.Attributes.Set(schema.PropHazardKind, schema.String(x.kind))
		report := Check(driftPlan(t, thing(schema.RoleZone, "z", box(-90, 0, -50, 25)), f, baseAt(10, 30, 51)), schema.DefaultLimits())
		o := report.Outcome(RuleSkyBlocked)
		if strings.Contains(o.Reason, "has no height_m") != x.asked {
			t.Errorf("%s %g m off: %s (%s)", x.kind, x.off, o.Outcome, o.Reason)
		}
	}
}

// TestSaidOtherwise holds what a feature says twice or of another role: roles
// under other names, kinds of other roles, heights of flush edges, limits
// outside limits, widths and distances in other words, systems of coordinates.
func TestSaidOtherwise(t *testing.T) {
	line := geom.NewLineStringFlat(geom.XY, []float64{200, 3, 220, 3})
	for _, x := range []struct {
		role       schema.Role
		key, value string
		want       string // of the message, "" for none
		severity   Severity
	}{
		{schema.RoleOther, "Role", `"hazard"`, `"Role" says "hazard"`, Error},
		{schema.RoleOther, "class", `"hazard"`, `"class" says "hazard"`, Error},
		{schema.RoleOther, "class", `"A"`, "", Note},
		{schema.RoleZone, "roles", `["zone","keepout"]`, `"roles" says "keepout"`, Error},
		{schema.RoleZone, "roles", `["zone"]`, "", Note},
		{schema.RoleZone, "keepout", `true`, `"keepout" says "keepout"`, Error},
		{schema.RoleZone, "keepout", `false`, "", Note},
		{schema.RoleZone, "no_go", `true`, `"no_go" says "no_go"`, Error},
		{schema.RoleKeepout, "no-go", `true`, "", Note},
		{schema.RoleZone, "type", `"other"`, "", Note},
		{schema.RoleZone, "type", `"building"`, `"type" says "building"`, Error},
		{schema.RoleKeepout, "type", `"building"`, `"type" says "building"`, Warning},
		{schema.RoleKeepout, "Role", `"building"`, `"Role" says "building"`, Error},
		{schema.RoleKeepout, "type", `"zone"`, `"type" says "zone"`, Error},
		{schema.RoleZone, "hazard_kind", `"pond"`, "read of the role hazard alone", Error},
		{schema.RoleKeepout, "hazard_kind", `"pond"`, "read of the role hazard alone", Warning},
		{schema.RoleKeepout, "hazard_kind", `" "`, "", Note},
		{schema.RoleOther, "edge_kind", `"drop"`, "read of the role edge alone", Error},
		{schema.RoleEdge, "height_m", `0.03`, "", Note},
		{schema.RoleEdge, "height_m", `0.031`, "edge_kind is flush", Error},
		{schema.RoleEdge, "drop_m", `-0.031`, "edge_kind is flush", Error},
		{schema.RoleHazard, "hazard_margin_m", `3`, `{"hazard_margin_m": 3}`, Error},
		{schema.RoleHazard, "Breite", `4`, "called width_m,", Error},
		{schema.RoleHazard, "Breite", `"breit"`, "", Note},
		{schema.RoleEdge, "thickness_m", `0.8`, "called width_m,", Error},
		{schema.RoleHazard, "Abstand_m", `3`, "called limits,", Error},
		{schema.RoleDock, "line_up_m", `4`, "called standoff_m,", Warning},
		{schema.RoleZone, "crs", `"EPSG:4230"`, "called frame,", Warning},
		{schema.RoleZone, "crs", `"WGS 84"`, "", Note},
		{schema.RoleBase, "epoch_year", `1994.5`, "called epoch,", Warning},
	} {
		f := thing(x.role, "f", box(300, 0, 340, 25))
		switch x.role {
		case schema.RoleDock, schema.RoleBase:
			f = thing(x.role, "f", spot(300, 4, 45))
		case schema.RoleHazard, schema.RoleEdge:
			f = thing(x.role, "f", line)
			f.Attributes.Set(schema.PropEdgeKind, schema.String(schema.EdgeFlush))
			if x.role == schema.RoleHazard {
				f.Attributes.Delete(schema.PropEdgeKind)
			}
		}
		f.Attributes.Set(schema.PropRole, schema.String(string(x.role)))
		f.Attributes.Set(x.key, valueOf(t, x.value))
		got := only(Check(driftPlan(t, f), schema.DefaultLimits()), RulePropertyMisnamed)
		switch {
		case x.want == "" && len(got) > 0:
			t.Errorf("%s %s %s: told: %s", x.role, x.key, x.value, got[0].Message)
		case x.want != "" && (len(got) != 1 || !strings.Contains(got[0].Message, x.want) || got[0].Severity != x.severity):
			t.Errorf("%s %s %s: %v, want %v with %q", x.role, x.key, x.value, got, x.severity, x.want)
		}
	}
}

// TestMembersOfSystem holds members of the plan that name a system, and held.
func TestMembersOfSystem(t *testing.T) {
	for _, x := range []struct {
		key, value string
		told       bool
	}{
		{"datum", `"ED50"`, true}, {"epsg", `4230`, true}, {"spatialReference", `{"wkid": 4230}`, true}, {"datum", `null`, false}, {"note", `"ED50"`, false},
		{"reference", `"GDA2020"`, true}, {"Reference", `"EPSG:4283"`, true}, {"reference", `"WGS 84"`, false}, {"reference", `"EPSG:4326"`, false}, {"reference", `"job 12"`, false}, {"ref", `"A7"`, false}, {"reference", `7`, false},
		{"held", `"offsets"`, false}, {"held", `"coordinates"`, false}, {"held", `"offset"`, true}, {"held", `1`, true},
	} {
		p := driftPlan(t, thing(schema.RoleZone, "z", box(0, 0, 40, 25)))
		p.Attributes.Set(x.key, valueOf(t, x.value))
		if got := only(Check(p, schema.DefaultLimits()), RulePropertyMisnamed); len(got) > 1 || (len(got) == 1) != x.told {
			t.Errorf("%s %s: %v", x.key, x.value, got)
		}
	}
}

// TestSaidAgain: what a reader kept of a second role or property under the next
// free name says otherwise, or the same.
func TestSaidAgain(t *testing.T) {
	for _, x := range []struct {
		role       schema.Role
		key, value string
		graver     Severity // "" for nothing told
	}{
		{schema.RoleOther, "role_2", `"hazard"`, Error}, {schema.RoleOther, "role_3", `"keepout"`, Error}, {schema.RoleOther, "role_2", `"other"`, ""},
		{schema.RoleHazard, "role_2", `"other"`, Error}, {schema.RoleHazard, "role_2", `"hazard"`, ""}, {schema.RoleHazard, "role", `"zone"`, Error}, {schema.RoleHazard, "role", `"hazard"`, ""},
		{schema.RoleHazard, "hazard_kind_2", `"pond"`, Error}, {schema.RoleHazard, "hazard_kind_2", `"bench"`, ""},
		{schema.RoleZone, "hazard_kind", `[null, "pond", null]`, Error}, {schema.RoleZone, "hazard_kind", `[null, ""]`, ""},
		{schema.RoleHazard, "2", `"hazard"`, ""}, {schema.RoleHazard, "_2", `"zone"`, ""}, {schema.RoleHazard, "asset_2", `"zone"`, ""},
	} {
		f := thing(x.role, "f", box(2, 2, 3, 3))
		if x.role == schema.RoleOther {
			f.Attributes.Set(schema.PropRole, schema.String("other"))
		} else if x.role == schema.RoleHazard {
			f.Attributes.Set(schema.PropHazardKind, schema.String("bench"))
		}
		f.Attributes.Set(x.key, valueOf(t, x.value))
		got := only(Check(driftPlan(t, f), schema.DefaultLimits()), RulePropertyMisnamed)
		if (len(got) > 0) != (x.graver != "") || len(got) > 0 && got[0].Severity != x.graver {
			t.Errorf("%s %s %s: %v", x.role, x.key, x.value, got)
		}
	}
}
