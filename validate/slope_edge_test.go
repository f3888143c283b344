// Heights of flush edges and ramps, each beside the limit.

package validate_test

import (
	"strings"
	"testing"

	"github.com/paulmach/orb"

	"swardline/schema"
	"swardline/validate"
)

func TestHeightsOfDrivenEdges(t *testing.T) {
	lift := func(up float64) func(orb.Point) float64 { return func(orb.Point) float64 { return plotH + up } }
	flush := func(z func(orb.Point) float64, pts ...orb.Point) func(p *plot) {
		return func(p *plot) {
			e := p.get("e2")
			e.line, e.z = pts, z
		}
	}
	// Along the corridor of the path, which is level, or across it.
	ramp := func(z func(orb.Point) float64, pts ...orb.Point) func(p *plot) {
		return func(p *plot) {
			p.remove("e2")
			p.add(&thing{id: "e9", role: "edge", name: "Ramp", line: pts, z: z}).set("edge_kind", schema.String("ramp"))
		}
	}
	with := func(draw func(p *plot), set ...any) func(p *plot) {
		return func(p *plot) {
			draw(p)
			for i := 0; i < len(set); i += 2 {
				p.get("e9").set(set[i].(string), num(set[i+1].(float64)))
			}
		}
	}
	rising := func(rise, over float64) func(orb.Point) float64 {
		return func(q orb.Point) float64 { return plotH + ((q[1]+6)/over-0.5)*rise }
	}
	a, b := orb.Point{0, -10}, orb.Point{30, -10}
	along := []orb.Point{{15, -6}, {15, -2}}
	across := []orb.Point{{13.5, -5}, {16.5, -5}}
	for _, x := range []struct {
		name string
		draw func(p *plot)
		want validate.Outcome
		says string
	}{
		{"a flush edge 0.149 m high", flush(lift(0.149), a, b), validate.Passed, ""},
		{"a flush edge 0.151 m high", flush(lift(0.151), a, b), validate.Failed, "called flush"},
		{"a flush edge 0.149 m low", flush(lift(-0.149), a, b), validate.Passed, ""},
		{"a flush edge 0.151 m low", flush(lift(-0.151), a, b), validate.Failed, "called flush"},
		{"0.151 m far from the corners", flush(lift(0.151), orb.Point{10, -10}, orb.Point{20, -10}), validate.Unchecked, "called flush"},
		{"0.149 m far from the corners", flush(lift(0.149), orb.Point{10, -10}, orb.Point{20, -10}), validate.Passed, ""},
		{"0.299 m far from the corners", flush(lift(0.299), orb.Point{10, -10}, orb.Point{20, -10}), validate.Unchecked, ""},
		{"0.301 m far from the corners", flush(lift(0.301), orb.Point{10, -10}, orb.Point{20, -10}), validate.Failed, ""},
		{"one end 2 m up", flush(func(q orb.Point) float64 { return plotH + q[0]/15 }, a, b), validate.Failed, "called flush"},
		{"a step of 0.5 m between two vertices", flush(func(q orb.Point) float64 {
			if q[0] > 12 {
				return plotH + 0.5
			}
			return plotH
		}, a, orb.Point{11.9, -10}, orb.Point{12.1, -10}, b), validate.Failed, "called flush"},
		{"2 m up, 0.299 m beside the lawn", flush(lift(2), orb.Point{5, -9.701}, orb.Point{12, -9.701}), validate.Failed, ""},
		{"2 m up, 0.301 m beside the lawn", flush(lift(2), orb.Point{5, -9.699}, orb.Point{12, -9.699}), validate.Passed, ""},
		{"a long edge past a lawn drawn with many points", func(p *plot) {
			p.get("z2").rings[0] = []orb.Point{{0, -30}, {30, -30}, {30, -10}, {16, -10}, {15, -10}, {14, -10}, {0, -10}, {0, -30}}
			flush(lift(0.4), orb.Point{-30, -10}, orb.Point{60, -10})(p)
		}, validate.Failed, ""},
		{"a flush edge with its own error", func(p *plot) {
			flush(lift(0.16), a, b)(p)
			p.get("e2").set("sigma", num(0.03))
			p.get("z2").set("sigma", num(0.05))
			p.get("c2").set("sigma", num(0.05))
		}, validate.Passed, ""},
		{"a flush edge 2 m low below a wall", func(p *plot) {
			flush(lift(-2), orb.Point{5, -9.9}, orb.Point{12, -9.9})(p)
			p.add(&thing{id: "e8", role: "edge", name: "Wall", line: []orb.Point{{0, -9.95}, {30, -9.95}}, z: flatGround}).set("edge_kind", schema.String("wall"))
		}, validate.Unchecked, "which lies 2.00 m lower"},
		{"a flush edge without heights", flush(nil, a, b), validate.Passed, ""},
		{"the same edge called kerb", func(p *plot) {
			flush(lift(0.4), a, b)(p)
			p.get("e2").set("edge_kind", schema.String("kerb"))
			p.remove("c2")
			p.remove("z1")
		}, validate.Passed, ""},
		{"a ramp of 34.9 %", ramp(rising(0.698, 2), orb.Point{15, -6}, orb.Point{15, -4}), validate.Unchecked, "off the height of"},
		{"a ramp of 35.1 %", ramp(rising(0.702, 2), orb.Point{15, -6}, orb.Point{15, -4}), validate.Failed, "35.1 %"},
		{"a ramp of 35.1 % within 0.299 m of the corridor", ramp(rising(0.702, 2), orb.Point{15.299, -6}, orb.Point{15.299, -4}), validate.Failed, "35.1 %"},
		{"a ramp of 35.1 % a hair farther off", ramp(rising(0.702, 2), orb.Point{15.301, -6}, orb.Point{15.301, -4}), validate.Passed, ""},
		{"a ramp whose ends are 0.66 m off the level corridor", ramp(rising(1.32, 4), along...), validate.Failed, "where it crosses"},
		{"a ramp whose ends are 0.64 m off the level corridor", ramp(rising(1.28, 4), along...), validate.Unchecked, "off the height of"},
		{"a ramp of 50 % beside no corridor", ramp(rising(2, 4), orb.Point{45, -6}, orb.Point{45, -2}), validate.Passed, ""},
		{"a ramp of 1 m that rises 0.49 m", ramp(rising(0.499, 1), orb.Point{15.2, -6}, orb.Point{15.2, -5}), validate.Unchecked, "off the height of"},
		{"a ramp of 1 m that rises 0.51 m", ramp(rising(0.501, 1), orb.Point{15.2, -6}, orb.Point{15.2, -5}), validate.Failed, "rises 0.50 m"},
		{"a level ramp across", ramp(flatGround, across...), validate.Passed, ""},
		{"a ramp across 2 m above its corridor", ramp(lift(2), across...), validate.Failed, "where it crosses"},
		{"a ramp that says 35 %", with(ramp(nil, across...), "slope_percent", 35.0), validate.Passed, ""},
		{"a ramp that says 35.1 %", with(ramp(nil, across...), "slope_percent", 35.1), validate.Failed, "slope_percent"},
		{"a ramp that says 20 degrees", with(ramp(nil, across...), "slope_deg", 20.0), validate.Failed, "36.4 %"},
		{"a ramp that says 2 m on 4 m", with(ramp(nil, across...), "rise_m", 2.0, "length_m", 4.0), validate.Failed, "50.0 %"},
		{"a ramp that says 2 m on 6 m", with(ramp(nil, across...), "rise_m", 2.0, "length_m", 6.0), validate.Passed, ""},
		{"a ramp 2 m high, drawn 4 m along the way", with(ramp(nil, along...), "height_m", 2.0), validate.Failed, "50.0 %"},
		{"a ramp 2 m high across the way", with(ramp(nil, across...), "height_m", 2.0), validate.Unchecked, "not over what length"},
		{"a ramp 0.15 m high across the way", with(ramp(nil, across...), "height_m", 0.15), validate.Passed, ""},
		{"a ramp of 50 % and a corridor without heights", func(p *plot) {
			ramp(rising(2, 4), along...)(p)
			p.get("c2").z = nil
		}, validate.Failed, "50.0 %"},
		{"the way into a dock over a ramp", with(ramp(nil, orb.Point{35, 9}, orb.Point{35, 11}), "slope_percent", 35.1), validate.Failed, "slope_percent"},
	} {
		p := park()
		x.draw(p)
		r := validate.Check(p.plan(t), schema.DefaultLimits())
		o := r.Outcome("slope-limit")
		all := o.Reason
		for _, f := range r.Findings {
			if f.Rule == "slope-limit" {
				all += "\n" + f.Message
			}
		}
		if o.Outcome != x.want || !strings.Contains(all, x.says) {
			t.Errorf("%s: %s (%s), want %s that says %q", x.name, o.Outcome, all, x.want, x.says)
		}
	}
}
