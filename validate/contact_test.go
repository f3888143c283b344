// Zones that hang together by an edge or a little ground.

package validate_test

import (
	"math"
	"testing"

	"github.com/paulmach/orb"

	"swardline/schema"
	"swardline/validate"
)

// TestZonesThatShareLittle: the east side of the south lawn is at 30 m east.
func TestZonesThatShareLittle(t *testing.T) {
	zone := func(id string, ring []orb.Point) func(p *plot) {
		return func(p *plot) {
			p.add(&thing{id: id, role: "zone", name: "Lawn " + id, rings: [][]orb.Point{ring}, z: flatGround})
		}
	}
	all := func(draw ...func(p *plot)) func(p *plot) {
		return func(p *plot) {
			for _, d := range draw {
				d(p)
			}
		}
	}
	line := func(id, role, key, kind string, pts ...orb.Point) func(p *plot) {
		return func(p *plot) {
			x := p.add(&thing{id: id, role: role, name: "Line " + id, line: pts, z: flatGround})
			if key != "" {
				x.set(key, schema.String(kind))
			}
		}
	}
	// A lawn that comes to the south lawn with a tongue so wide, as far as x.
	tongue := func(x, wide float64) func(p *plot) {
		return zone("z9", []orb.Point{{x, -20}, {32, -20}, {32, -28}, {45, -28}, {45, -12}, {32, -12}, {32, -20 + wide}, {x, -20 + wide}, {x, -20}})
	}
	corridor := line("c9", "corridor", "", "", orb.Point{28, -26}, orb.Point{34, -26})
	fenced := func(kind string, wide float64) func(p *plot) {
		return all(zone("z9", rect(30, -28, 40, -12)), line("e8", "edge", "edge_kind", "fence", orb.Point{30, -31}, orb.Point{30, -9}),
			line("e9", "edge", "edge_kind", kind, orb.Point{30, -20}, orb.Point{30, -20 + wide}))
	}
	wave := func(n int, side float64) []orb.Point { // the side between two lawns drawn with n points
		var out []orb.Point
		for i := 0; i <= n; i++ {
			y := -28 + 16*float64(i)/float64(n)
			out = append(out, orb.Point{29 + 0.5*math.Sin(math.Pi*(y+28)/16), y})
		}
		return append(out, orb.Point{side, -12}, orb.Point{side, -28}, out[0])
	}
	const none = validate.Severity("none")
	for _, x := range []struct {
		name  string
		draw  func(p *plot)
		want  validate.Severity
		width float64
		cut   bool // zone-unreachable
	}{
		{"an edge of 0.599 m", tongue(30, 0.598), none, 0, true},
		{"an edge of 0.601 m", tongue(30, 0.601), validate.Warning, 0.601, false},
		{"an edge of 1 m", tongue(30, 1), validate.Warning, 1, false},
		{"an edge of 1.498 m", tongue(30, 1.498), validate.Warning, 1.498, false},
		{"an edge of 1.501 m", tongue(30, 1.501), none, 0, false},
		{"an edge of 1 m 0.9 mm off", tongue(30.0009, 1), validate.Warning, 1, false},
		{"a tongue of 1 m that reaches 2 m in", tongue(28, 1), validate.Warning, 1, false},
		{"a tongue of 1.51 m that reaches 2 m in", tongue(28, 1.51), none, 0, false},
		{"a tongue of 0.5 m that reaches 2 m in", tongue(28, 0.5), none, 0, true},
		{"an edge of 1 m and a corridor", all(tongue(30, 1), corridor), none, 0, false},
		{"two edges of 1 m", zone("z9", []orb.Point{{30, -20}, {32, -20}, {32, -24}, {30, -24}, {30, -25}, {45, -25}, {45, -19}, {30, -19}, {30, -20}}), validate.Warning, 1, false},
		{"two edges of 0.4 m", zone("z9", []orb.Point{{30, -20}, {32, -20}, {32, -24}, {30, -24}, {30, -24.4}, {45, -24.4}, {45, -19.6}, {30, -19.6}, {30, -20}}), validate.Error, 0.4, false},
		{"an edge of 2 m that a ring starts in", zone("z9", []orb.Point{{30, -20}, {30, -21}, {40, -21}, {40, -19}, {30, -19}, {30, -20}}), none, 0, false},
		{"one of 1 m that a ring starts in", zone("z9", []orb.Point{{30, -20}, {30, -20.5}, {40, -20.5}, {40, -19.5}, {30, -19.5}, {30, -20}}), validate.Warning, 1, false},
		{"an edge of 1 m and a way round over a third lawn", all(tongue(30, 1), zone("z8", rect(30, -30, 45, -28))), none, 0, false},
		{"a gate of 1 m in a fence", fenced("gate", 1), validate.Warning, 1, false},
		{"a gate of 0.59 m in a fence", fenced("gate", 0.59), none, 0, true},
		{"a ramp in a fence", fenced("ramp", 3), none, 0, true},
		{"a gate of 1.51 m in a fence", fenced("gate", 1.51), none, 0, false},
		{"a bent edge drawn twice", all(func(p *plot) {
			p.get("z2").rings[0] = append([]orb.Point{{0, -30}, {29, -30}}, append(wave(9, 0)[:10:10], []orb.Point{{29, -10}, {0, -10}, {0, -30}}...)...)
		},
			zone("z9", wave(14, 45))), none, 0, false},
	} {
		p := park()
		p.get("p1").rings[0] = rect(-10, -40, 80, 40)
		x.draw(p)
		r := validate.Check(p.plan(t), schema.DefaultLimits())
		got, width := none, 0.0
		for _, f := range r.Findings {
			if f.Rule == "passage-narrow" && len(f.Features) == 2 && f.Features[1].ID.Text() == "z9" {
				got, width = f.Severity, f.Measured
			}
		}
		if got != x.want || got != none && !(math.Abs(width-x.width) <= 0.002) {
			t.Errorf("%s: %s of %.4f m, want %s of %g", x.name, got, width, x.want, x.width)
		}
		if cut := r.Outcome("zone-unreachable").Outcome == validate.Failed; cut != x.cut {
			t.Errorf("%s: zone-unreachable is %v, want %v", x.name, cut, x.cut)
		}
		if o := r.Outcome("passage-narrow"); o.Outcome == validate.Unchecked {
			t.Errorf("%s: %s", x.name, o.Reason)
		}
	}
}
