// Tests of figures that no measurement has, and of dates.

package validate_test

import (
	"fmt"
	"strings"
	"testing"
	"time"

	"github.com/paulmach/orb"

	"swardline/schema"
	"swardline/validate"
)

// Figures and dates on either side of what is told: says is part of the message, ""
// for what is told by no rule.
func TestFiguresThatNothingHas(t *testing.T) {
	num := func(v float64) schema.Value { return schema.Float(v) }
	set := func(id, key string, v schema.Value) func(p *plot) { return func(p *plot) { p.get(id).set(key, v) } }
	all := func(spoil ...func(p *plot)) func(p *plot) {
		return func(p *plot) {
			for _, f := range spoil {
				f(p)
			}
		}
	}
	measured := func(sigma float64) func(p *plot) {
		return func(p *plot) {
			for _, x := range p.things {
				x.set("sigma", num(0.015))
			}
			p.get("z1").set("sigma", num(sigma))
		}
	}
	times := func(texts ...string) schema.Value {
		var ring []schema.Value
		for _, s := range texts {
			ring = append(ring, schema.String("2026-04-01T"+s+"Z"))
		}
		return schema.List(schema.List(ring...))
	}
	tomorrow := time.Now().UTC().AddDate(0, 0, 1).Format(time.DateOnly)
	in4 := time.Now().UTC().AddDate(0, 0, 4).Format(time.DateOnly)
	for _, x := range []struct {
		what  string
		spoil func(p *plot)
		says  string
	}{
		{"a sigma of a hair below", measured(0.9e-4), "nothing is measured to less"},
		{"a sigma at it", measured(1e-4), ""},
		{"a sigma of a hair above", measured(1.1e-4), ""},
		{"a date of tomorrow", set("z1", "date", schema.String(tomorrow)), ""},
		{"a date that has not come", set("z1", "date", schema.String(in4)), "not come yet"},
		{"a date before any fix", set("z1", "date", schema.String("2007-12-31")), "before 2008"},
		{"a date after the first", set("z1", "date", schema.String("2008-01-01")), ""},
		{"a boundary before any fix", set("p1", "date", schema.String("1994-12-31")), "before 1995"},
		{"a boundary after the first", set("p1", "date", schema.String("1995-01-01")), ""},
		{"a plan too old", func(p *plot) { member(p, "date", schema.String("2007-12-31")) }, "no plan was made"},
		{"a plan old enough", func(p *plot) { member(p, "date", schema.String("2008-01-01")) }, ""},
		{"a year as a number", set("k1", "year", schema.Int(1950)), "before 2008"},
		{"when a house was built", set("g1", "year", schema.Int(1950)), ""},
		{"dates far apart", all(set("z1", "date", schema.String("2011-01-01")), set("z2", "date", schema.String("2026-02-01"))), "15 years before others"},
		{"a hair more than 10 years", all(set("z1", "date", schema.String("2016-01-01")), set("z2", "date", schema.String("2026-01-03"))), "10 years before others"},
		{"a hair less", all(set("z1", "date", schema.String("2016-01-01")), set("z2", "date", schema.String("2025-12-31"))), ""},
		{"before the plan", all(set("z1", "date", schema.String("2011-01-01")), func(p *plot) { member(p, "date", schema.String("2026-02-01")) }), "or the plan itself"},
		{"a hair less before the plan", all(set("z1", "date", schema.String("2016-01-01")), func(p *plot) { member(p, "date", schema.String("2025-12-31")) }), ""},
		{"a boundary", all(set("p1", "date", schema.String("1996-01-01")), set("z2", "date", schema.String("2025-12-31"))), ""},
		{"an older boundary", all(set("p1", "date", schema.String("1996-01-01")), set("z2", "date", schema.String("2026-02-01"))), "30 years before others"},
		{"an hour that is none", set("z1", "date", schema.String("2026-05-12T25:00:00Z")), "2026-05-12T25:00:00Z"},
		{"an hour behind a space", set("z1", "date", schema.String("2026-05-12 25:00")), "2026-05-12 25:00"},
		{"the hour of midnight", set("z1", "date", schema.String("2026-05-12T24:00:00Z")), ""},
		{"after it", set("z1", "date", schema.String("2026-05-12T24:01:00Z")), "24:01"},
		{"a minute that is none", set("z1", "date", schema.String("2026-05-12T10:60")), "10:60"},
		{"the last minute", set("z1", "date", schema.String("2026-05-12T10:59")), ""},
		{"a leap second", set("z1", "date", schema.String("2026-05-12T23:59:60Z")), ""},
		{"a second past it", set("z1", "date", schema.String("2026-05-12T23:59:61Z")), "23:59:61"},
		{"of another zone", set("z1", "date", schema.String("2026-05-12T10:00:00+02:00")), ""},
		{"feet", set("k1", "unit", schema.String("ft")), `"unit" ("ft"`},
		{"metres", set("k1", "unit", schema.String("m")), ""},
		{"a magnetic north", set("d1", "north", schema.String("magnetic")), `"north" ("magnetic"`},
		{"the map's north", set("d1", "north", schema.String("true")), ""},
		{"the plan's north", func(p *plot) { member(p, "north", schema.String("magnetic")) }, `"north" ("magnetic"`},
		{"the plan's north of the map", func(p *plot) { member(p, "north", schema.String("grid")) }, ""},
		{"a speed", set("z1", "speed_kmh", num(10)), ""},
		{"a speed over it", set("z1", "speed_kmh", num(10.1)), "speed_kmh"},
		{"a speed a second", set("z1", "speed", schema.String("2.7 m/s")), ""},
		{"a speed a second over it", set("z1", "speed", schema.String("2.8 m/s")), `"speed"`},
		{"a phone", all(measured(0.015), set("z1", "device", schema.String("smartphone"))), `its device says "smartphone"`},
		{"a rover", all(measured(0.015), set("z1", "device", schema.String("rover 2"))), ""},
		{"a phone of the plan", func(p *plot) { member(p, "device", schema.String("phone")) }, `"phone" (device of the plan)`},
		{"a rover of the plan", func(p *plot) { member(p, "device", schema.String("GX-12")) }, ""},
		{"a map", set("z1", "scale", schema.String("1:1001")), `"1:1001"`},
		{"a plan", set("z1", "scale", schema.String("1:1000")), ""},
		{"two places in one second", all(measured(0.015), set("z1", "times", times("10:00:00", "10:00:00", "10:01:00", "10:02:00", "10:00:00"))), "the same time"},
		{"a second each", all(measured(0.015), set("z1", "times", times("10:00:00", "10:00:01", "10:01:00", "10:02:00", "10:00:00"))), ""},
	} {
		p := park()
		x.spoil(p)
		var got []string
		for _, f := range validate.Check(p.plan(t), schema.DefaultLimits()).Findings {
			got = append(got, fmt.Sprintf("%s: %s", f.Rule, f.Message))
		}
		all := strings.Join(got, "\n")
		if x.says == "" && all != "" || x.says != "" && !strings.Contains(all, x.says) {
			t.Errorf("%s: want %q, got %q", x.what, x.says, all)
		}
	}
}

// Times that lie years apart, and heights on whole metres.
func TestTimesAndHeightsOfRings(t *testing.T) {
	ring := func(year string) schema.Value {
		var out []schema.Value
		for i, y := range []string{"2026", "2026", year, "2026", "2026"} {
			out = append(out, schema.String(fmt.Sprintf("%s-04-01T10:0%d:00Z", y, i%4)))
		}
		return schema.List(schema.List(out...))
	}
	for _, x := range []struct {
		year, says string
	}{{"2024", "years apart"}, {"2026", ""}} {
		p := park()
		p.get("z1").set("times", ring(x.year)).set("fix", schema.String("fixed"))
		got := findingOf(validate.Check(p.plan(t), schema.DefaultLimits()), validate.RuleSurveyQuality).Message
		if !strings.Contains(got, x.says) || x.says == "" && got != "" {
			t.Errorf("times of %s: %q", x.year, got)
		}
	}
	for _, x := range []struct {
		by   float64
		says string
	}{{1, "whole metres"}, {1.01, ""}, {0, ""}} {
		p := park()
		for _, thing := range p.things {
			if thing.role == "zone" || thing.role == "corridor" || thing.role == "dock" {
				z := thing.z
				if z == nil {
					continue
				}
				step := 0.0
				if thing.id == "z2" {
					step = x.by
				}
				thing.z = func(orb.Point) float64 { return 300 + step }
			}
		}
		found := false
		for _, f := range validate.Check(p.plan(t), schema.DefaultLimits()).Findings {
			found = found || strings.Contains(f.Message, "whole metres")
		}
		if found != (x.says != "") {
			t.Errorf("heights that are %v apart: told %v", x.by, found)
		}
	}
}

// Things on either side of what is told of them: says is part of a message or a reason,
// "" for what is told by no rule.
func TestThingsThatSayTooLittle(t *testing.T) {
	text, num := schema.String, func(v float64) schema.Value { return schema.Float(v) }
	other := func(name string, over bool, ring []orb.Point, note string) func(p *plot) {
		return func(p *plot) {
			x := p.add(&thing{id: "x1", role: "other", name: name, rings: [][]orb.Point{ring}, z: flatGround})
			if over {
				x.set("driven_over", schema.Bool(true))
			}
			if note != "" {
				x.set("note", text(note))
			}
		}
	}
	inLawn := rect(20, 3, 21, 4)
	off := func(key string, v schema.Value) func(p *plot) {
		return func(p *plot) {
			x := p.add(&thing{id: "k9", role: "keepout", name: "Tent", rings: [][]orb.Point{rect(20, 3, 23, 6)}, z: flatGround})
			x.set("active", schema.Bool(false)).set(key, v)
		}
	}
	cuts := func(a, b float64, name string) func(p *plot) {
		return func(p *plot) {
			p.get("z1").set("cut_mm", num(a))
			p.get("z2").set("cut_mm", num(b))
			if name != "" {
				p.get("z1").name = name
			}
		}
	}
	mark := func(name, note string) func(p *plot) {
		return func(p *plot) {
			x := p.add(&thing{id: "m9", role: "mark", name: name, point: &orb.Point{20, 3}, z: flatGround})
			if note != "" {
				x.set("note", text(note))
			}
		}
	}
	wall := func(width float64) func(p *plot) {
		return func(p *plot) { p.get("e1").set("width_m", num(width)) }
	}
	hazard := func(kind string, radius float64) func(p *plot) {
		return func(p *plot) {
			p.add(&thing{id: "h9", role: "hazard", name: kind, point: &orb.Point{70, 30}, z: flatGround}).set("hazard_kind", text(kind)).set("radius_m", num(radius))
		}
	}
	base := park().get("b1").point
	near := func(d float64) []orb.Point { return rect(base[0]+d, base[1], base[0]+d+1, base[1]+1) }
	for _, x := range []struct {
		what  string
		spoil func(p *plot)
		says  string
	}{
		{"a grate", other("Grate", true, inLawn, ""), "wheels, feet and blades"},
		{"a grate that is flush", other("Grate", true, inLawn, "flush"), ""},
		{"a grate by its name", other("Flush grate", true, inLawn, ""), ""},
		{"a grid of grass", other("Grass grid", true, inLawn, ""), ""},
		{"a plate", other("Plate", true, inLawn, ""), ""},
		{"a tent off that has a radius", off("radius_m", num(3)), `"radius_m"`},
		{"a tent off that has an unknown word", off("depth_m", num(2)), `"depth_m"`},
		{"a tent off that has a date", off("date", text("2026-06-01")), ""},
		{"a tent off that was measured", off("sigma", num(0.015)), ""},
		{"a cut of a hair more than 8 times another", cuts(5, 40.1, ""), "is one of the two cut_mm in centimetres"},
		{"a cut of 8 times another", cuts(5, 40, ""), ""},
		{"a green", cuts(4, 40, "Putting green"), ""},
		{"a nail", mark("Nail", ""), "blades hit"},
		{"a nail that is flush", mark("Nail", "flush"), ""},
		{"a number", mark("M9", ""), ""},
		{"a wall of no width", wall(0), "no wall, fence or kerb is thinner"},
		{"a wall of a hair less than a sheet", wall(0.00099), "no wall, fence or kerb is thinner"},
		{"a sheet", wall(0.001), ""},
		{"a swing too small", hazard("swing", 0.39), "none such is smaller"},
		{"a swing", hazard("swing", 0.41), ""},
		{"a carport too small", hazard("carport", 0.59), "none such is smaller"},
		{"a tower beside the base", other("Tower", false, near(3), ""), "no height_m"},
		{"an oak beside the base", other("Oak", false, near(3), ""), "no height_m"},
		{"a tower far off", other("Tower", false, near(45), ""), ""},
		{"an oak's stump", other("Oak stump", false, near(-4), ""), ""},
	} {
		p := park()
		x.spoil(p)
		r := validate.Check(p.plan(t), schema.DefaultLimits())
		var got []string
		for _, f := range r.Findings {
			got = append(got, fmt.Sprintf("%s: %s", f.Rule, f.Message))
		}
		for _, o := range r.Rules {
			if o.Outcome == validate.Unchecked {
				got = append(got, fmt.Sprintf("%s: %s", o.Rule, o.Reason))
			}
		}
		all := strings.Join(got, "\n")
		if x.says == "" && all != "" || x.says != "" && !strings.Contains(all, x.says) {
			t.Errorf("%s: want %q, got %q", x.what, x.says, all)
		}
	}
}

// A width of a way's line is drawn nowhere, and so is not read.
func TestWidthOfWayUnread(t *testing.T) {
	for key, want := range map[string]bool{"Breite": true, "breite_note": true, "colour": false} {
		p := park()
		p.get("c2").set(key, schema.Float(0.4))
		o := validate.Check(p.plan(t), schema.DefaultLimits()).Outcome(validate.RulePropertyUnread)
		if told := o.Outcome == validate.Failed; told != want {
			t.Errorf("%s: told %v", key, told)
		}
	}
}
