// Tests of what properties draw, and of distances in extensions.

package validate

import (
	"testing"

	"swardline/schema"
)

// TestPropertiesThatDraw: features, geometries and well-known text in a property
// are told; texts, extents and what repeats the feature are not.
func TestPropertiesThatDraw(t *testing.T) {
	const pond = `{"type":"Polygon","coordinates":[[[11.2,56.95],[11.3,56.95],[11.3,56.96],[11.2,56.95]]]}`
	for _, x := range []struct {
		key, value string
		want       Severity // "" for nothing told
	}{
		{"old", `[{"type":"Feature","geometry":` + pond + `,"properties":{}}]`, Error},
		{"old", `{"type":"FeatureCollection","features":[{"type":"Feature","geometry":` + pond + `,"properties":{}}]}`, Error},
		{"bbox", `{"type":"Feature","geometry":` + pond + `,"properties":{}}`, Error},
		{"water", pond, Error}, {"water", `{"near":` + pond + `}`, Error}, {"water", `{"type":"Polygon","arcs":[[0]]}`, Error},
		{"centroid", pond, ""}, {"water", `{"type":"Polygon"}`, ""}, {"water", `[1, 2]`, ""}, {schema.PropCurve, pond, ""},
		{"water", `"POLYGON Z ((11 56 1, 12 56 1, 12 57 1, 11 56 1))"`, Warning}, {"water", `"POINT(11 56)"`, Warning}, {"water", `"linestring(11 56, 12 57)"`, Warning},
		{"centroid", `"POINT(11 56)"`, ""}, {"water", `"Point (north of the shed)"`, ""}, {"water", `"POLYGON"`, ""},
		{"wkb", `"010300000001000000050000000000000000000000000000000000000000000000000044400000000000000000000000000000444000000000000039400000000000000000000000000000394000000000000000000000000000000000"`, ""}, {"wkb", `"010300000001000000050000000000000000000000000000000000000000000000000044400000000000000000000000000000444000000000000039400000000000000000c74b37894100394000000000000000000000000000000000"`, Warning}, {"wkb", `"0101000000"`, ""},
		{"wkt", `"POLYGON((0 0, 40 0, 40 25, 0 25, 0 0))"`, ""}, {"wkt", `"POLYGON((0 0, 40 0, 40 25, 0 25.001, 0 0))"`, Warning}, {"wkt", `"POLYGON((0 0, 40 0, 40 25, 0 0))"`, Warning},
		{"geo_shape", `{"type":"Polygon","coordinates":[[[0,0],[40,0],[40,25],[0,25],[0,0]]]}`, ""},
		{"geo_shape", `{"type":"Polygon","coordinates":[[[0,0],[40,0],[40,25],[0,24],[0,0]]]}`, Error},
	} {
		f := thing(schema.RoleZone, "z", box(0, 0, 40, 25))
		p := driftPlan(t, f)
		f.Attributes.Set(x.key, valueOf(t, x.value))
		got := only(Check(p, schema.DefaultLimits()), RulePropertyMisnamed)
		if (len(got) > 0) != (x.want != "") || len(got) > 0 && got[0].Severity != x.want {
			t.Errorf("%s %s: %v", x.key, x.value, got)
		}
	}
}

func TestProximity(t *testing.T) {
	for _, x := range []struct {
		text, radius string
		told         bool
	}{
		{"<gpxx:Proximity>3</gpxx:Proximity>", "", true}, {"<Proximity> 0.5 </Proximity>", "", true}, {"<Proximity>3</Proximity>", "2.99", true},
		{"<Proximity>3</Proximity>", "3", false}, {"<Proximity>0</Proximity>", "", false}, {"<Proximity>near</Proximity>", "", false}, {"<Depth>3</Depth>", "", false},
	} {
		f := thing(schema.RoleHazard, "h", spot(3, 4, 45))
		f.Attributes.Set("gpx_extensions", schema.String(x.text))
		if x.radius != "" {
			f.Attributes.Set(schema.PropRadiusM, valueOf(t, x.radius))
		}
		if got := only(Check(driftPlan(t, f), schema.DefaultLimits()), RulePropertyMisnamed); (len(got) == 1) != x.told {
			t.Errorf("%s %s: %v", x.text, x.radius, got)
		}
	}
}

// TestNumbersAsText: a plain decimal number in a text is read as that number.
func TestNumbersAsText(t *testing.T) {
	for _, x := range []struct {
		value string
		unfit bool
	}{{`"2.6"`, false}, {`" 3 "`, false}, {`2.6`, false}, {`"2,6"`, true}, {`"2.6 m"`, true}, {`"-2.6"`, true}, {`"high"`, true}, {`"1e1"`, true}} {
		f := thing(schema.RoleBuilding, "House", box(60, 0, 70, 10))
		f.Attributes.Set(schema.PropHeightM, valueOf(t, x.value))
		got := only(Check(driftPlan(t, thing(schema.RoleZone, "z", box(0, 0, 40, 25)), f), schema.DefaultLimits()), RuleGeometryUnfit)
		if (len(got) > 0) != x.unfit {
			t.Errorf("height_m %s: %v", x.value, got)
		}
	}
	for value, want := range map[string]bool{`"0.012"`: false, `"0.9"`: true, `0.9`: true, `"0,012"`: true, `["0.01", "0.9"]`: true} {
		f := thing(schema.RoleZone, "z", box(0, 0, 40, 25))
		f.Attributes.Set(schema.PropSigma, valueOf(t, value))
		report := Check(driftPlan(t, f), schema.DefaultLimits())
		if told := len(only(report, RuleSurveyQuality)) > 0 || report.Outcome(RuleSurveyQuality).Reason != ""; told != want {
			t.Errorf("sigma %s: %v", value, report.Outcome(RuleSurveyQuality))
		}
	}
}
