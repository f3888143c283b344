// Coordinates of few decimals.

package validate_test

import (
	"math"
	"strings"
	"testing"

	"github.com/paulmach/orb"

	"swardline/schema"
	"swardline/validate"
)

// roundedTo rounds the coordinates of features, all where none are named.
func roundedTo(p *schema.Plan, decimals int, roles ...schema.Role) {
	scale := math.Pow10(decimals)
	for _, f := range p.Features {
		named := len(roles) == 0
		for _, role := range roles {
			named = named || f.Role == role
		}
		if !named {
			continue
		}
		flat, stride := f.Geometry.FlatCoords(), f.Geometry.Stride()
		for i := 0; i < len(flat); i += stride {
			flat[i], flat[i+1] = math.Round(flat[i]*scale)/scale, math.Round(flat[i+1]*scale)/scale
		}
	}
}

// TestRoundedCoordinates: half a unit of the sixth decimal of a degree is
// 0.0557 m, of the first of a metre 0.05 m, beside a survey_sigma_m of 0.05 m.
func TestRoundedCoordinates(t *testing.T) {
	for _, x := range []struct {
		name     string
		grid     string
		decimals int
		roles    []schema.Role
		sigma    float64 // the plan's own limit, 0 for none
		beside   float64 // how far outlet and shed stand from a lawn, 0 for far off
		says     float64 // the sigma of the base, 0 for none
		want     validate.Severity
	}{
		{"ten decimals", "", 10, nil, 0, 0, 0, ""},
		{"seven", "", 7, nil, 0, 0, 0, ""},
		{"six", "", 6, nil, 0, 0, 0, validate.Warning},
		{"five", "", 5, nil, 0, 0, 0, validate.Warning},
		{"seven, a hair under the plan's own limit", "", 7, nil, 0.00557, 0, 0, ""},
		{"seven, a hair over it", "", 7, nil, 0.00556, 0, 0, validate.Warning},
		{"the base alone, seven", "", 7, []schema.Role{schema.RoleBase}, 0, 0, 0, ""},
		{"the base alone, six", "", 6, []schema.Role{schema.RoleBase}, 0, 0, 0, validate.Error},
		{"the base alone, four", "", 4, []schema.Role{schema.RoleBase}, 0, 0, 0, validate.Error},
		{"the dock alone, six", "", 6, []schema.Role{schema.RoleDock}, 0, 0, 0, validate.Warning},
		{"a mark alone", "", 6, []schema.Role{schema.RoleMark}, 0, 0, 0, ""},
		{"a mark alone that says 0.01 m", "", 6, []schema.Role{schema.RoleMark}, 0, 0, 0.01, validate.Warning},
		{"a mark alone of seven that says 0.01 m", "", 7, []schema.Role{schema.RoleMark}, 0, 0, 0.01, ""},
		{"a mark on whole metres of a grid that says 0.01 m", "EPSG:32629", 0, []schema.Role{schema.RoleMark}, 0, 0, 0.01, ""},
		{"a grid, three decimals", "EPSG:32629", 3, nil, 0, 0, 0, ""},
		{"a grid, one", "EPSG:32629", 1, nil, 0, 0, 0, ""},
		{"a grid, none", "EPSG:32629", 0, nil, 0, 0, 0, validate.Warning},
		{"a grid, the base alone on metres", "EPSG:32629", 0, []schema.Role{schema.RoleBase}, 0, 0, 0, validate.Warning},
		{"a lawn alone, six", "", 6, []schema.Role{schema.RoleZone}, 0, 0, 0, validate.Warning},
		{"a well alone, six", "", 6, []schema.Role{schema.RoleHazard}, 0, 0, 0, validate.Warning},
		{"a wall alone, seven", "", 7, []schema.Role{schema.RoleEdge}, 0, 0, 0, ""},
		{"a grid, the base alone on metres, of 0.05 m", "EPSG:32629", 0, []schema.Role{schema.RoleBase}, 0, 0, 0.05, ""},
		{"a grid, the base alone on metres, of 0.051 m", "EPSG:32629", 0, []schema.Role{schema.RoleBase}, 0, 0, 0.051, validate.Warning},
		{"the base alone, six, of 0.01 m", "", 6, []schema.Role{schema.RoleBase}, 0, 0, 0.01, validate.Error},
		// Half a unit of the fifth decimal of a degree is 0.557 m: told within 1.087 m.
		{"an outlet alone, 0.5 m beside a lawn", "", 5, []schema.Role{schema.RoleSupply}, 0, 0.5, 0, validate.Warning},
		{"a shed alone, 0.5 m beside a lawn", "", 5, []schema.Role{schema.RoleBuilding}, 0, 0.5, 0, validate.Warning},
		{"both, 3 m beside a lawn", "", 5, []schema.Role{schema.RoleSupply, schema.RoleBuilding}, 0, 3, 0, ""},
		{"an outlet alone", "", 5, []schema.Role{schema.RoleSupply}, 0, 0, 0, ""},
	} {
		p := park()
		p.grid = x.grid
		if x.says > 0 {
			p.get("b1").set("sigma", num(x.says))
		}
		if len(x.roles) == 1 && x.roles[0] == schema.RoleMark && x.says > 0 {
			p.get("m1").set("sigma", num(x.says))
		}
		if x.beside > 0 {
			p.get("s1").point = &orb.Point{15, -30 - x.beside}
			p.get("g1").rings[0] = rect(10, 20+x.beside, 20, 28)
		}
		if x.sigma > 0 {
			member(p, "limits", schema.Object(schema.Attributes{{Key: "survey_sigma_m", Value: num(x.sigma)}}))
		}
		plan := p.plan(t)
		roundedTo(plan, x.decimals, x.roles...)
		got := validate.Severity("")
		for _, f := range validate.Check(plan, schema.DefaultLimits()).Findings {
			if f.Rule == validate.RuleSurveyQuality {
				got = f.Severity
			}
		}
		if got != x.want {
			t.Errorf("%s: %q, want %q", x.name, got, x.want)
		}
	}
}

// TestSnappedCoordinates: half a raster of 0.2 m is past survey_sigma_m of 0.05 m, of
// 0.1 m it is the limit.
func TestSnappedCoordinates(t *testing.T) {
	for _, x := range []struct {
		name string
		step float64
		all  bool // the whole plan
		want string
	}{
		{"the lawns on half metres", 0.5, false, "multiples of 0.50 m"}, {"on quarters", 0.25, false, "multiples of 0.25 m"}, {"on fifths", 0.2, false, "multiples of 0.20 m"}, {"on tenths", 0.1, false, ""},
		{"all on half metres", 0.5, true, "all coordinates are multiples of 0.50 m"}, {"all on quarters", 0.25, true, "all coordinates are multiples of 0.25 m"}, {"all on tenths", 0.1, true, ""},
	} {
		p := park()
		p.grid = "EPSG:32629"
		plan := p.plan(t)
		for _, f := range plan.Features {
			if !x.all && f.Role != schema.RoleZone {
				continue
			}
			flat, stride := f.Geometry.FlatCoords(), f.Geometry.Stride()
			for i := 0; i < len(flat); i += stride {
				flat[i], flat[i+1] = math.Round(flat[i]/x.step)*x.step, math.Round(flat[i+1]/x.step)*x.step
			}
		}
		got := ""
		for _, f := range validate.Check(plan, schema.DefaultLimits()).Findings {
			if f.Rule == validate.RuleSurveyQuality {
				got += f.Message
			}
		}
		if x.want == "" && got != "" || !strings.Contains(got, x.want) {
			t.Errorf("%s: %q, want %q", x.name, got, x.want)
		}
	}
}

// TestCoordinatesInSteps: half a step beside survey_sigma_m of 0.05 m, and the
// plan's own.
func TestCoordinatesInSteps(t *testing.T) {
	for _, x := range []struct {
		step, sigma float64
		want        bool
	}{
		{0, 0, false}, {0.0999, 0, false}, {0.1001, 0, true}, {0.0199, 0.01, false}, {0.0201, 0.01, true},
	} {
		p := park()
		if x.sigma > 0 {
			member(p, "limits", schema.Object(schema.Attributes{{Key: "survey_sigma_m", Value: num(x.sigma)}}))
		}
		plan := p.plan(t)
		plan.Source.StepM = x.step
		got := false
		for _, f := range validate.Check(plan, schema.DefaultLimits()).Findings {
			got = got || f.Rule == validate.RuleSurveyQuality && f.Measured == x.step/2
		}
		if got != x.want {
			t.Errorf("steps of %v m, limit %v: told %v", x.step, x.sigma, got)
		}
	}
}
