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
		{"a date before any fix", set("z1", "date", schema.String("1994-12-31")), "before 1995"},
		{"a date after the first", set("z1", "date", schema.String("1995-01-01")), ""},
		{"a year as a number", set("k1", "year", schema.Int(1950)), "before 1995"},
		{"when a house was built", set("g1", "year", schema.Int(1950)), ""},
		{"dates far apart", all(set("z1", "date", schema.String("1996-01-01")), set("z2", "date", schema.String("2026-02-01"))), "30 years before others"},
		{"dates less far apart", all(set("z1", "date", schema.String("1996-01-01")), set("z2", "date", schema.String("2025-12-31"))), ""},
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
