// Tests of hatches over their outlines, and of what is set from where things
// stand.

package roles

import (
	"strings"
	"testing"

	"github.com/twpayne/go-geom"

	"swardline/schema"
)

func kindOf(entity string) schema.Attribute {
	return schema.Attribute{Key: schema.PropEntity, Value: schema.String(entity)}
}

func hatch(layer string, g geom.T) *schema.Feature { return on(layer, g, kindOf("HATCH")) }

func leaderTo(name string, x, y float64) *schema.Feature {
	f := on("NOTES", at(x, y), kindOf("LEADER"))
	f.Name = name
	return f
}

// attributesOf lists role and the attributes that rules set, feature by
// feature.
func attributesOf(p *schema.Plan) string {
	var out []string
	for _, f := range p.Features {
		if f.Role == schema.RoleOther {
			continue
		}
		s := strings.TrimSpace(string(f.Role) + " " + f.Attributes.Get(schema.PropEntity).Text())
		for _, a := range f.Attributes {
			if a.Key != "joined" && a.Key != schema.PropLayer && a.Key != schema.PropEntity && a.Key != schema.PropAttribs {
				s += " " + a.Key + "=" + a.Value.Text()
			}
		}
		if f.Name != "" {
			s += " " + f.Name
		}
		out = append(out, strings.TrimSpace(s))
	}
	return strings.Join(out, "; ")
}

func TestHatchAndOutlineAreOne(t *testing.T) {
	square := func() geom.T { return ring(0, 0, 10, 0, 10, 10, 0, 10, 0, 0) }
	island := func() geom.T { return ring(2, 2, 4, 2, 4, 4, 2, 4, 2, 2) }
	both := geom.NewPolygonFlat(geom.XY, append(append([]float64(nil), square().FlatCoords()...), island().FlatCoords()...), []int{10, 20})
	line := func(g geom.T) *schema.Feature { return on("LAWN", g, kindOf("LWPOLYLINE")) }
	rules := "rules:\n  - layer: LAWN\n    role: zone\n    holes: true\n  - layer: FILL\n    role: zone\n    set: {cut_mm: 40}\n    set_from: {note: text}\n  - layer: BED\n    role: keepout\n"
	for _, c := range []struct {
		name string
		list []*schema.Feature
		want string
		note string
	}{
		{"on one layer", []*schema.Feature{line(square()), hatch("LAWN", square())}, "zone LWPOLYLINE", ""},
		{"the hatch first", []*schema.Feature{hatch("LAWN", square()), line(square())}, "zone LWPOLYLINE", ""},
		{"a hair smaller, which is no hole", []*schema.Feature{line(square()), hatch("LAWN", ring(0.005, 0.005, 9.995, 0.005, 9.995, 9.995, 0.005, 9.995, 0.005, 0.005))}, "zone LWPOLYLINE", ""},
		{"on two layers", []*schema.Feature{line(square()), hatch("FILL", square())}, "zone LWPOLYLINE cut_mm=40", ""},
		{"what its rule takes from inside", []*schema.Feature{line(square()), hatch("FILL", square()), text("Front", 5, 5, 1)}, "zone LWPOLYLINE cut_mm=40 note=Front", ""},
		{"of loose lines", []*schema.Feature{line(path(0, 0, 10, 0)), line(path(10, 0, 10, 10)), line(path(10, 10, 0, 10, 0, 0)), hatch("FILL", square())}, "zone cut_mm=40", ""},
		{"with an island", []*schema.Feature{line(square()), line(island()), hatch("FILL", both)}, "zone LWPOLYLINE cut_mm=40", ""},
		{"with an island that the outline lacks", []*schema.Feature{line(square()), hatch("FILL", both)}, "zone LWPOLYLINE; zone HATCH cut_mm=40", "but for other holes"},
		{"two hatches", []*schema.Feature{hatch("LAWN", square()), hatch("FILL", square())}, "zone HATCH cut_mm=40", ""},
		{"of another role", []*schema.Feature{line(square()), hatch("BED", square())}, "zone LWPOLYLINE; keepout HATCH", ""},
		{"elsewhere", []*schema.Feature{line(island()), hatch("FILL", square())}, "zone LWPOLYLINE; zone HATCH cut_mm=40", ""},
	} {
		out, report := Apply(planOf(c.list...), rulesOf(t, rules))
		if got := attributesOf(out); got != c.want {
			t.Errorf("%s: %s, want %s", c.name, got, c.want)
		}
		if c.name == "a hair smaller, which is no hole" && out.Features[0].Geometry.(*geom.Polygon).NumLinearRings() != 1 {
			t.Errorf("%s: the hatch became a hole", c.name)
		}
		if all := strings.Join(report.Notes, "\n"); (all != "") != (c.note != "") || !strings.Contains(all, c.note) {
			t.Errorf("%s: notes %q", c.name, all)
		}
	}
}

func TestSetFromWhereThingsStand(t *testing.T) {
	square := func(x float64) geom.T { return ring(x, 0, x+10, 0, x+10, 10, x, 10, x, 0) }
	tag := on("TAGS", at(5, 5), kindOf("INSERT"), schema.Attribute{Key: schema.PropAttribs, Value: schema.Object(schema.Attributes{{Key: "CUT", Value: schema.String("45 mm")}, {Key: "H", Value: schema.String("1200 mm")}})})
	pieces := func() []*schema.Feature {
		return []*schema.Feature{on("LAWN", path(0, 0, 10, 0)), on("LAWN", path(10, 0, 10, 10, 0, 10, 0, 0))}
	}
	const lawn = "rules:\n  - layer: LAWN\n    role: zone\n    set_from: "
	for _, c := range []struct {
		name, rules string
		list        []*schema.Feature
		want, note  string
	}{
		{"a tag inside", lawn + `{cut_mm: "inside:CUT"}`, []*schema.Feature{on("LAWN", square(0)), tag}, "zone cut_mm=45", ""},
		{"inside an outline of loose lines", lawn + `{cut_mm: "inside:CUT", height_m: "inside:H"}`, append(pieces(), tag), "zone cut_mm=45 height_m=1.2", ""},
		{"a tag outside", lawn + `{cut_mm: "inside:CUT"}`, []*schema.Feature{on("LAWN", square(20)), tag}, "zone", ""},
		{"an arrow inside", lawn + "{cut_mm: leader}", []*schema.Feature{on("LAWN", square(0)), leaderTo("45 mm", 5, 5)}, "zone cut_mm=45", ""},
		{"an arrow on the outline", lawn + "{cut_mm: leader}", []*schema.Feature{on("LAWN", square(0)), leaderTo("45", 10, 5)}, "zone cut_mm=45", ""},
		{"within the tolerance", lawn + "{cut_mm: leader}", []*schema.Feature{on("LAWN", square(0)), leaderTo("45", 10.0099, 5)}, "zone cut_mm=45", ""},
		{"beyond it", lawn + "{cut_mm: leader}", []*schema.Feature{on("LAWN", square(0)), leaderTo("45", 10.0101, 5)}, "zone", "point at nothing of a rule that asks for them: 1"},
		{"into loose lines", lawn + "{cut_mm: leader}", append(pieces(), leaderTo("45", 5, 5)), "zone cut_mm=45", ""},
		{"two that differ", lawn + "{note: leader}", []*schema.Feature{on("LAWN", square(0)), leaderTo("wet", 5, 5), leaderTo("dry", 6, 6)}, "zone note=wet", `"wet" is taken, "dry" is not`},
		{"the smaller of two", lawn + "{note: leader}", []*schema.Feature{on("LAWN", square(0)), on("LAWN", ring(4, 4, 6, 4, 6, 6, 4, 6, 4, 4)), leaderTo("small", 5, 5)}, "zone; zone note=small", ""},
		{"whichever comes first", lawn + "{note: leader}", []*schema.Feature{on("LAWN", ring(4, 4, 6, 4, 6, 6, 4, 6, 4, 4)), on("LAWN", square(0)), leaderTo("small", 5, 5)}, "zone note=small; zone", ""},
		{"a name", "rules:\n  - layer: LAWN\n    role: zone\n    name_from: leader\n", []*schema.Feature{on("LAWN", square(0)), leaderTo("Front", 5, 5)}, "zone Front", ""},
		{"a line", "rules:\n  - layer: WALL\n    role: edge\n    set_from: {height_m: leader}\n    text_within_m: 0.5\n", []*schema.Feature{on("WALL", path(0, 0, 10, 0)), leaderTo("90 cm", 5, 0.5)}, "edge height_m=0.9", ""},
		{"words for a number", lawn + "{cut_mm: leader}", []*schema.Feature{on("LAWN", square(0)), leaderTo("short", 5, 5)}, "zone", ""},
		{"a unit of another kind", lawn + "{heading_deg: leader}", []*schema.Feature{on("LAWN", square(0)), leaderTo("45 m", 5, 5)}, "zone", ""},
	} {
		before := attributesOf(planOf(c.list...))
		out, report := Apply(planOf(c.list...), rulesOf(t, c.rules))
		if got := attributesOf(out); got != c.want {
			t.Errorf("%s: %s, want %s", c.name, got, c.want)
		}
		if all := strings.Join(report.Notes, "\n"); (all != "") != (c.note != "") || !strings.Contains(all, c.note) {
			t.Errorf("%s: notes %q", c.name, all)
		}
		if attributesOf(planOf(c.list...)) != before {
			t.Errorf("%s: the plan given was changed", c.name)
		}
	}
	if page := Explain(); !strings.Contains(page, `"leader" for the text of an arrow`) || !strings.Contains(page, `"inside:TAG" of a block with attributes`) {
		t.Error("the page on roles does not say what leaders and tags do")
	}
}
