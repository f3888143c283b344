// Tests of corridors that step to one side and the other.

package validate_test

import (
	"math"
	"testing"

	"github.com/paulmach/orb"

	"swardline/schema"
	"swardline/validate"
)

// TestZigzags: corners to either side, as near to one another as a machine can
// still follow and a hair nearer.
func TestZigzags(t *testing.T) {
	limits := func(v float64) schema.Value {
		return schema.Object(schema.Attributes{{Key: "turn_radius_m", Value: num(v)}})
	}
	way := func(turned bool, pts ...orb.Point) func(p *plot) {
		return func(p *plot) {
			end := pts[len(pts)-1]
			c := p.get("c2")
			c.line = append([]orb.Point{{15, 1.5}, {15, -1}}, pts...)
			c.line = append(c.line, orb.Point{end[0], -9}, orb.Point{end[0], -11.5})
			if turned {
				c.line = reversed(c.line)
			}
		}
	}
	step := func(off float64, turned bool) func(p *plot) {
		return way(turned, orb.Point{15, -4}, orb.Point{15 + off, -4})
	}
	// Legs of one length that lean so far to either side.
	zigzag := func(lean, leg float64, legs int) func(p *plot) {
		at, pts := orb.Point{15, -3}, []orb.Point{{15, -3}}
		s, c := math.Sincos(lean * math.Pi / 180)
		for k := range legs {
			at = orb.Point{at[0] + leg*s*float64(1-2*(k%2)), at[1] - leg*c}
			pts = append(pts, at)
		}
		return way(false, pts...)
	}
	plan := func(v float64, draw func(p *plot)) func(p *plot) {
		return func(p *plot) { draw(p); member(p, schema.PlanLimits, limits(v)) }
	}
	own := func(v float64, draw func(p *plot)) func(p *plot) {
		return func(p *plot) { draw(p); p.get("c2").set("limits", limits(v)) }
	}
	const right = math.Pi / 2 // two right angles: an arc of one of them over the leg
	judgeWords(t, validate.RuleCorridorHairpin, []wordCase{
		{"a step to the east", step(0.6*right-0.002, false), validate.Failed, "turns to and fro by 180.0 deg within 0.94 m"},
		{"a longer one", step(0.6*right, false), validate.Passed, ""},
		{"a step to the west", step(-0.6*right+0.002, false), validate.Failed, "to and fro"},
		{"the other way along", step(-0.6*right+0.002, true), validate.Failed, "to and fro"},
		{"a longer one, the other way along", step(-0.6*right, true), validate.Passed, ""},
		{"by the plan's limit", plan(1, step(right-0.002, false)), validate.Failed, "1.00 m"},
		{"longer than by the plan's limit", plan(1, step(right, false)), validate.Passed, ""},
		{"by its own limit", own(1, step(right-0.002, false)), validate.Failed, "1.00 m"},
		{"longer than by its own limit", own(1, step(right, false)), validate.Passed, ""},
		{"legs of 0.4 m", zigzag(40, 0.4, 4), validate.Failed, "cuts these corners"},
		{"legs of 0.4 m that lean little", zigzag(15, 0.4, 8), validate.Passed, ""},
		{"legs of 2 m", zigzag(40, 2, 2), validate.Passed, ""},
		// Corners that a walker made, each so far off the straight line.
		{"points scattered by 0.099 m", zigzag(44, 0.099/math.Sin(44*math.Pi/180), 8), validate.Passed, ""},
		{"points scattered by 0.11 m", zigzag(44, 0.11/math.Sin(44*math.Pi/180), 8), validate.Failed, "to and fro"},
		{"a slanting step", way(false, orb.Point{15, -4}, orb.Point{15.4, -4.4}), validate.Passed, ""},
	})
}
