// Tests of walls and fences that end on either side of a lawn.

package validate_test

import (
	"testing"

	"github.com/paulmach/orb"

	"swardline/schema"
	"swardline/validate"
)

// TestWallsAcross: a lawn 12 m wide, with walls in line that stop 0.2 m before it.
func TestWallsAcross(t *testing.T) {
	edge := func(kind string, xy ...float64) func(p *plot) {
		return func(p *plot) {
			placedOn(p, "edge", "Long wall", lineOf(xy...), "edge_kind", kind, "height_m", 1.0)
		}
	}
	lawn := func(x0, x1 float64) func(p *plot) {
		return func(p *plot) {
			p.remove("c2")
			p.remove("e2")
			p.get("z2").rings[0] = rect(x0, -38, x1, -10)
		}
	}
	const says = "goes on in line with it"
	pair := func(off float64) func(p *plot) {
		return allOf(lawn(10, 22), edge("wall", -5, -25, 9.8, -25), edge("wall", 22.2, -25+off, 40, -25+off))
	}
	judgeWords(t, validate.RuleEdgeSetback, []wordCase{
		{"in line", pair(0), validate.Failed, says},
		{"out of line", pair(1.2), validate.Passed, ""},
		{"a hair within 5 degrees", pair(1.08), validate.Failed, says},
		{"a wall and a fence", allOf(lawn(10, 22), edge("wall", -5, -25, 9.8, -25), edge("fence", 22.2, -25, 40, -25)), validate.Passed, ""},
		{"two fences", allOf(lawn(10, 22), edge("fence", -5, -25, 9.8, -25), edge("fence", 22.2, -25, 40, -25)), validate.Failed, says},
		{"0.99 m before it", allOf(lawn(10, 26), edge("wall", -5, -25, 9.01, -25), edge("wall", 26.2, -25, 40, -25)), validate.Failed, says},
		{"1.01 m before it", allOf(lawn(10, 26), edge("wall", -5, -25, 8.99, -25), edge("wall", 26.2, -25, 40, -25)), validate.Passed, ""},
		{"29.99 m apart", allOf(lawn(0.2, 29.79), edge("wall", -5, -25, 0, -25), edge("wall", 29.99, -25, 40, -25)), validate.Failed, says},
		{"30.01 m apart", allOf(lawn(0.2, 29.81), edge("wall", -5, -25, 0, -25), edge("wall", 30.01, -25, 40, -25)), validate.Passed, ""},
		{"6.01 m apart", allOf(lawn(10.2, 15.81), edge("wall", -5, -25, 10, -25), edge("wall", 16.01, -25, 40, -25)), validate.Failed, says},
		{"5.99 m apart, as a gate may be", allOf(lawn(10.2, 15.79), edge("wall", -5, -25, 10, -25), edge("wall", 15.99, -25, 40, -25)), validate.Passed, ""},
		{"2.99 m long", allOf(lawn(10, 22), edge("wall", 6.81, -25, 9.8, -25), edge("wall", 22.2, -25, 40, -25)), validate.Passed, ""},
		{"3.01 m long", allOf(lawn(10, 22), edge("wall", 6.79, -25, 9.8, -25), edge("wall", 22.2, -25, 40, -25)), validate.Failed, says},
		{"where it turns", allOf(pair(0), edge("wall", 9.4, -25, 9.4, -37)), validate.Passed, ""},
		{"a bed between", allOf(pair(0), func(p *plot) { placedOn(p, "keepout", "Bed", boxAt(14, -27, 18, -23)) }), validate.Passed, ""},
		{"a wall along the lawn", allOf(lawn(10, 22), edge("wall", 9.8, -38, 9.8, -12), edge("wall", 22.2, -38, 22.2, -12)), validate.Passed, ""},
	})
}

// TestWideWallsOnTheOutline: the middle of a wall along the lawn's side at y = -30, and
// half of it in the lawn.
func TestWideWallsOnTheOutline(t *testing.T) {
	for _, x := range []struct {
		kind    string
		y, wide float64
		want    validate.Severity
	}{
		{"wall", -30, 0.4, validate.Error}, {"fence", -30, 0.4, validate.Error}, {"fence", -30.199, 0.4, validate.Error},
		{"fence", -30.202, 0.4, validate.Warning}, {"wall", -30, 0, validate.Warning}, {"kerb", -30, 0.4, validate.Warning},
	} {
		p := park()
		f := p.add(&thing{id: "e9", role: "edge", name: "Side", line: []orb.Point{{2, x.y}, {20, x.y}}, z: flatGround}).set("edge_kind", schema.String(x.kind))
		if x.wide > 0 {
			f.set("width_m", num(x.wide))
		}
		if got := findingOf(validate.Check(p.plan(t), schema.DefaultLimits()), validate.RuleEdgeSetback); got.Severity != x.want {
			t.Errorf("a %s %g m wide at %g: %v, want %s", x.kind, x.wide, x.y, got, x.want)
		}
	}
}
