// Where the feet of masts are by the heights of their antennas, and marks beside the
// ground and beside one another.

package validate

import (
	"testing"

	"swardline/schema"
)

func TestFootOfMast(t *testing.T) {
	lawn := func(h float64) *schema.Feature {
		return thing(schema.RoleZone, "Lawn", raisedBox(2, 0, 8, 8, func(_, _ float64) float64 { return h }))
	}
	base := func(h, mast float64, more ...any) *schema.Feature {
		return thing(schema.RoleBase, "Base", spot(11, 4, h), append([]any{"antenna_height_m", mast}, more...)...)
	}
	const foot, low = "less its antenna_height_m", "so low over the ground"
	house := thing(schema.RoleBuilding, "House", box(10, 0, 14, 8), "height_m", 3.0)
	for _, x := range []struct {
		name, words string
		told        bool
		features    []*schema.Feature
	}{
		{"on the ground", foot, false, []*schema.Feature{lawn(45), base(47.2, 2.2)}},
		{"a hair less than 0.5 m above it", foot, false, []*schema.Feature{lawn(45), base(47.699, 2.2)}},
		{"a hair more", foot, true, []*schema.Feature{lawn(45), base(47.703, 2.2)}},
		{"a hair more below it", foot, true, []*schema.Feature{lawn(45), base(46.697, 2.2)}},
		{"no height of its mast", foot, false, []*schema.Feature{lawn(45), thing(schema.RoleBase, "Base", spot(11, 4, 46))}},
		{"on a roof that is drawn", foot, false, []*schema.Feature{lawn(45), base(50.2, 2.2), house}},
		{"on a roof by a note", foot, false, []*schema.Feature{lawn(45), base(50.2, 2.2, "note", "on the roof of the shed")}},
		{"on sloping ground", foot, false, []*schema.Feature{thing(schema.RoleZone, "Lawn", raisedBox(2, 0, 8, 8, func(x, _ float64) float64 { return 45 + x/10 })), base(48.4, 2.2)}},
		{"heights that are farther off", foot, false, []*schema.Feature{thing(schema.RoleZone, "Lawn", raisedBox(-9, 0, 0.5, 8, func(_, _ float64) float64 { return 45 })), base(49, 2.2)}},
		{"an antenna of 0.3 m", low, false, []*schema.Feature{lawn(45), base(45.3, 0.3)}},
		{"a hair lower", low, true, []*schema.Feature{lawn(45), base(45.3, 0.298)}},
		{"as low, on a roof", low, false, []*schema.Feature{lawn(45), base(48.2, 0.2), house}},
	} {
		told(t, x.name, RuleBaseHeight, x.words, x.told, x.features...)
	}
}

func TestMarksOffTheGround(t *testing.T) {
	lawn := thing(schema.RoleZone, "Lawn", raisedBox(0, 0, 8, 8, func(_, _ float64) float64 { return 45 }))
	base := thing(schema.RoleBase, "Base", spot(30, 4, 47.2), "antenna_height_m", 2.2)
	mark := func(name string, x, h float64) *schema.Feature { return thing(schema.RoleMark, name, spot(x, 8, h)) }
	wall := thing(schema.RoleEdge, "Wall", track(10, -20, 10, 30), "edge_kind", "wall")
	// 4 m beside a corner, 35 % make 1.4 m more than the 1 m.
	for _, x := range []struct {
		name string
		told bool
		list []*schema.Feature
	}{
		{"on the ground", false, []*schema.Feature{mark("M1", 12, 45)}},
		{"a hair less than 1 m and the slope above", false, []*schema.Feature{mark("M1", 12, 47.39)}},
		{"a hair more", true, []*schema.Feature{mark("M1", 12, 47.41)}},
		{"a hair more below", true, []*schema.Feature{mark("M1", 12, 42.59)}},
		{"on a roof by its name", false, []*schema.Feature{mark("Roof corner", 12, 52)}},
		{"beyond a wall", false, []*schema.Feature{mark("M1", 12, 48), wall}},
		{"where no ground is near", false, []*schema.Feature{mark("M1", 18.01, 60)}},
		{"where it just is", true, []*schema.Feature{mark("M1", 17.99, 60)}},
	} {
		told(t, x.name, RuleBaseHeight, "off that of the ground within", x.told, append([]*schema.Feature{lawn, base}, x.list...)...)
	}
}

func TestMarksBesideOneAnother(t *testing.T) {
	mark := func(name string, x float64) *schema.Feature { return thing(schema.RoleMark, name, spot(x, 30)) }
	lawn := thing(schema.RoleZone, "Lawn", box(0, 0, 8, 8))
	own := mark("", 0.03)
	own.Attributes.Set(schema.PropLimits, schema.Object(schema.Attributes{{Key: "survey_sigma_m", Value: schema.Float(0.02)}}))
	for _, x := range []struct {
		name string
		f    *schema.Feature
		told bool
	}{
		{"a hair less than 0.5 m", mark("M1'", 0.498), true},
		{"a hair more", mark("M1'", 0.502), false},
		{"a hair more than the limit", mark("M1*", 0.053), true},
		{"a hair less", mark("M1*", 0.049), false},
		{"no name", mark("", 0.3), true},
		{"another mark", mark("M2", 0.3), false},
		{"a mark's own limit", own, true},
	} {
		told(t, x.name, RuleSurveyQuality, "nobody sets two marks so near", x.told, lawn, mark("M1", 0), x.f)
	}
	high := func(name string, x, h float64) *schema.Feature { return thing(schema.RoleMark, name, spot(x, 30, h)) }
	fine := high("M2", 0, 45.05)
	fine.Attributes.Set(schema.PropLimits, schema.Object(schema.Attributes{{Key: "survey_sigma_m", Value: schema.Float(0.02)}}))
	for _, x := range []struct {
		name string
		f    *schema.Feature
		told bool
	}{
		{"at one place, a hair higher than may be", high("M2", 0, 45.101), true},
		{"a hair less high", high("M2", 0, 45.099), false},
		{"lower", high("M2", 0.04, 44.899), true},
		{"a hair farther than one place", high("M2", 0.052, 45.2), false},
		{"of no height", mark("M2", 0), false},
		{"the top of it", high("M1 top", 0, 45.5), false},
		{"a mark's own limit of heights", fine, true},
	} {
		told(t, x.name, RuleSurveyQuality, "and its height is", x.told, lawn, high("M1", 0, 45), x.f)
	}
}
