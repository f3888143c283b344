// Tests of conditions, each at its limit, and of attributes from elsewhere.

package roles

import (
	"testing"

	"github.com/twpayne/go-geom"

	"swardline/schema"
)

func TestConditions(t *testing.T) {
	attr := func(key string, v schema.Value) schema.Attribute { return schema.Attribute{Key: key, Value: v} }
	word := schema.String
	square := ring(0, 0, 10, 0, 10, 10, 0, 10, 0, 0)
	for _, c := range []struct {
		condition string
		f         *schema.Feature
		fits      bool
	}{
		{"where: {ASSET_TYPE: 'GRASS*'}", on("A", square, attr("ASSET_TYPE", word("grass, rough"))), true},
		{"where: {ASSET_TYPE: 'GRASS*'}", on("A", square, attr("ASSET_TYPE", word("BED"))), false},
		{"where: {ASSET_TYPE: '*'}", on("A", square), false},
		{"where: {N: 7, ON: true}", on("A", square, attr("N", schema.Int(7)), attr("ON", schema.Bool(true))), true},
		{"where: {N: 7, ON: true}", on("A", square, attr("N", schema.Int(7)), attr("ON", schema.Bool(false))), false},
		{"state: [frozen]", on("A", square, attr(schema.PropLayerState, word("frozen"))), true},
		{"state: [frozen]", on("A", square, attr(schema.PropLayerState, word("off"))), false},
		{"state: [off, frozen]", on("A", square), false},
		{"hidden: true", on("A", square, attr(schema.PropLayerState, word("off"))), true},
		{"hidden: true", on("A", square, attr(schema.PropHidden, schema.Bool(true))), true},
		{"hidden: true", on("A", square), false},
		{"hidden: true", on("A", square, attr(schema.PropLayerState, word("noplot"))), false},
		{"state: noplot", on("A", square, attr(schema.PropLayerState, word("noplot"))), true},
		{"hidden: false", on("A", square), true},
		{"linetype: 'DASH*'", on("A", square, attr(schema.PropLineType, word("DASHED2"))), true},
		{"linetype: 'DASH*'", on("A", square), false},
		{"closed: true", on("A", square), true},
		{"closed: true", on("A", path(0, 0, 10, 0, 10, 10, 0, 0)), true},
		{"closed: true", on("A", path(0, 0, 10, 0, 10, 10, 0, 0.009)), true},
		{"closed: true", on("A", path(0, 0, 10, 0, 10, 10, 0, 0.011)), false},
		{"closed: false", on("A", path(0, 0, 10, 0)), true},
		{"closed: false", on("A", square), false},
		{"area_m2: [100, null]", on("A", square), true},
		{"area_m2: [100.001, null]", on("A", square), false},
		{"area_m2: [null, 100]", on("A", square), true},
		{"area_m2: [null, 99.999]", on("A", square), false},
		{"area_m2: [0, null]", on("A", path(0, 0, 10, 0)), false},
		{"area_m2: [84, 84]", on("A", geom.NewPolygonFlat(geom.XY, []float64{0, 0, 10, 0, 10, 10, 0, 10, 0, 0, 1, 1, 1, 5, 5, 5, 5, 1, 1, 1}, []int{10, 20})), true},
		{"length_m: [10, 10]", on("A", path(0, 0, 10, 0)), true},
		{"length_m: [10.001, 20]", on("A", path(0, 0, 10, 0)), false},
		{"length_m: [40, 40]", on("A", square), true},
		{"length_m: [0, null]", on("A", at(1, 1)), false},
		{"folder: Beds", on("", square, attr(schema.PropFolder, schema.List(word("Site"), word("Beds"), word("North")))), true},
		{"folder: 'Site/Beds/*'", on("", square, attr(schema.PropFolder, schema.List(word("Site"), word("Beds"), word("North")))), true},
		{"folder: Be", on("", square, attr(schema.PropFolder, schema.List(word("Beds")))), false},
		{"folder: '*'", on("A", square), false},
		{"color: '#00a651'", on("A", square, attr(schema.PropFillColor, word("#00a65180"))), true},
		{"colour: '#00a651'", on("A", square, attr(schema.PropFillColor, word("#00a652"))), false},
		{"text: 'lawn*'", on("A", square), true},
		{"text: 'bed*'", on("A", square), false},
		{"text: 'lawn*'", on("A", ring(20, 0, 30, 0, 30, 10, 20, 0)), false},
		{"text: 'lawn*'", on("A", path(0, 0, 10, 0, 10, 10, 0, 10, 0, 0)), true}, // a closed line holds it
		{"text: 'lawn*'", on("A", at(5, 7)), true},                               // 2 m beside it
		{"text: 'lawn*'", on("A", at(5, 7.001)), false},
	} {
		out, _ := Apply(planOf(c.f, text("Lawn 3", 5, 5, 1)), rulesOf(t, "rules:\n  - "+c.condition+"\n    role: hazard\n"))
		if got := out.Features[0].Role == schema.RoleHazard; got != c.fits {
			t.Errorf("%s of %v: fits is %v", c.condition, c.f.Attributes, got)
		}
	}
}

func TestSetFrom(t *testing.T) {
	tag := on("TAGS", at(5, 5), schema.Attribute{Key: schema.PropAttribs, Value: schema.Object(schema.Attributes{{Key: "PLANT", Value: schema.String("Rosa")}, {Key: "H", Value: schema.String("1,2 m")}})})
	tree := on("TREES", at(40, 40), schema.Attribute{Key: "CROWN", Value: schema.String("6.5m")}, schema.Attribute{Key: "HEIGHT", Value: schema.Int(12)}, schema.Attribute{Key: "AGE", Value: schema.String("old")})
	p := planOf(on("BEDS", ring(0, 0, 10, 0, 10, 10, 0, 10, 0, 0)), tree, tag, text("Rose bed", 4, 4, 1))
	out, rep := Apply(p, rulesOf(t, `
rules:
  - layer: BEDS
    role: keepout
    set_from: {note: "inside:plant", height_m: "inside:H", kind: text}
    name_from: "inside:PLANT"
  - layer: TREES
    role: hazard
    set_from: {radius_m: {from: CROWN, times: 0.5}, height_m: HEIGHT, cut_mm: AGE, note: NONE}
    name_from: property:AGE
  - layer: "*"
    role: "?"
`))
	bed, oak := out.Features[0], out.Features[1]
	if got := string(bed.Attributes[1:].AppendJSON(nil)); got != `{"note":"Rosa","height_m":1.2,"kind":"Rose bed"}` || bed.Name != "Rosa" {
		t.Errorf("the bed: %s %q", got, bed.Name)
	}
	if got := string(oak.Attributes[4:].AppendJSON(nil)); got != `{"radius_m":3.25,"height_m":12}` || oak.Name != "old" {
		t.Errorf("the tree: %s %q", got, oak.Name)
	}
	if rep.Rules[1].Unset != 2 || rep.Rules[2].Matched != 2 || out.Features[2].Role != schema.RoleOther {
		t.Errorf("report %s", rep.String())
	}
}
