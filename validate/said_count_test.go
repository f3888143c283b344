// Tests of counts, boxes and middles that properties say.

package validate_test

import (
	"testing"

	"github.com/paulmach/orb"

	"swardline/schema"
	"swardline/validate"
)

func TestCountsSaid(t *testing.T) {
	says := func(id, key string, v schema.Value) func(p *plot) {
		return func(p *plot) { p.get(id).set(key, v) }
	}
	const lost = "was something lost"
	// The lawn in the north has four corners.
	judgeWords(t, validate.RuleGeometryUnfit, []wordCase{
		{"its corners", says("z1", "vertices", schema.Int(4)), validate.Passed, ""},
		{"the first again at the end", says("z1", "point_count", schema.Int(5)), validate.Passed, ""},
		{"fewer", says("z1", "points", schema.Int(3)), validate.Unchecked, lost},
		{"more", says("z1", "Anzahl Punkte", schema.String("6")), validate.Unchecked, lost},
		{"a number of things", says("p1", "count", schema.Int(3)), validate.Passed, ""},
		{"a number of its own", says("z1", "number", schema.Int(12)), validate.Passed, ""},
		{"one", says("z1", "count", schema.Int(1)), validate.Passed, ""},
		{"more things than points", says("p1", "count", schema.Int(500)), validate.Unchecked, lost},
		{"several in a point", func(p *plot) {
			p.add(&thing{id: "h9", role: "hazard", name: "Bollard", point: &orb.Point{60, 60}, z: flatGround, props: schema.Attributes{{Key: "hazard_kind", Value: schema.String("post")}, {Key: "count", Value: schema.Int(2)}}})
		}, validate.Unchecked, lost},
		{"several in an outline of a hazard", func(p *plot) { p.get("h1").set("count", schema.Int(3)) }, validate.Unchecked, lost},
		{"a plan's features", func(p *plot) { member(p, "feature_count", schema.Int(int64(len(p.things)))) }, validate.Passed, ""},
		{"one more", func(p *plot) { member(p, "feature_count", schema.Int(int64(len(p.things)+1))) }, validate.Unchecked, lost},
	})
}

// TestPartsSaid: one of two, without and with the other, in name and in a property.
func TestPartsSaid(t *testing.T) {
	bed := func(id, name string, x float64, props ...schema.Attribute) func(p *plot) {
		return func(p *plot) {
			p.add(&thing{id: id, role: "hazard", name: name, point: &orb.Point{x, 30}, z: flatGround, props: append(props, schema.Attribute{Key: "hazard_kind", Value: schema.String("flower bed")})})
		}
	}
	number := func(v string) schema.Attribute {
		return schema.Attribute{Key: "number", Value: schema.String(v)}
	}
	const missing = "is not drawn"
	judgeWords(t, validate.RuleGeometryUnfit, []wordCase{
		{"one of two", bed("h8", "Rose bed 1 of 2", 60), validate.Unchecked, "number 2 " + missing},
		{"both", both(bed("h8", "Rose bed 1 of 2", 60), bed("h9", "Rose bed 2 of 2", 70)), validate.Passed, ""},
		{"another's second", both(bed("h8", "Rose bed 1 of 2", 60), bed("h9", "Pansies 2 of 2", 70)), validate.Unchecked, missing},
		{"of three", both(bed("h8", "Rose bed 1/3", 60), bed("h9", "Rose bed 2/3", 70)), validate.Unchecked, "number 3 " + missing},
		{"in a property", bed("h8", "Rose bed", 60, number("1 of 2")), validate.Unchecked, missing},
		{"both in properties", both(bed("h8", "Rose bed", 60, number("1 of 2")), bed("h9", "Rose bed", 70, number("2 of 2"))), validate.Passed, ""},
		{"as many as may be", bed("h8", "Rose bed 12 of 12", 60), validate.Unchecked, missing},
		{"a parcel", bed("h8", "Rose bed 13/13", 60), validate.Passed, ""},
		{"a house number", bed("h8", "Rose bed 3/2", 60), validate.Passed, ""},
		{"a number", bed("h8", "Rose bed 2", 60), validate.Passed, ""},
		{"a lawn", func(p *plot) { p.get("z1").name = "Lawn 1 of 2" }, validate.Passed, ""},
	})
}

func TestFrameSaid(t *testing.T) {
	// Where the lawn's corners lie, as they are read.
	plan := park().plan(t)
	lawn := plan.Features[0]
	for _, f := range plan.Features {
		if f.ID.Text() == "z1" {
			lawn = f
		}
	}
	b := lawn.Geometry.Bounds()
	list := func(v ...float64) schema.Value {
		var items []schema.Value
		for _, x := range v {
			items = append(items, schema.Float(x))
		}
		return schema.List(items...)
	}
	const metre = 1 / 111_320.0
	says := func(key string, v schema.Value) func(p *plot) {
		return func(p *plot) { p.get("z1").set(key, v) }
	}
	w, s, e, n := b.Min(0), b.Min(1), b.Max(0), b.Max(1)
	judgeWords(t, validate.RuleGeometryUnfit, []wordCase{
		{"its middle", says("centroid", list((w+e)/2, (s+n)/2)), validate.Passed, ""},
		{"in the other order", says("centroid", list((s+n)/2, (w+e)/2)), validate.Passed, ""},
		{"as a point", says("center", schema.Object(schema.Attributes{{Key: "type", Value: schema.String("Point")}, {Key: "coordinates", Value: list((w+e)/2, (s+n)/2)}})), validate.Passed, ""},
		{"a hair outside", says("centroid", list((w+e)/2, n+0.049*metre)), validate.Passed, ""},
		{"farther", says("centroid", list((w+e)/2, n+0.052*metre)), validate.Unchecked, "lies 0.05"},
		{"its box", says("bbox", list(w, s, e, n)), validate.Passed, ""},
		{"its box with heights", says("bbox", list(w, s, 0, e, n, 50)), validate.Passed, ""},
		{"a box of more", says("bbox", list(w, s, e, n+3*metre)), validate.Unchecked, "says a bbox"},
		{"a place in another grid", says("centroid", list(500000, 5400000)), validate.Passed, ""},
	})
}
