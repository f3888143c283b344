// Heights of what stands in mown ground against one another.

package validate_test

import (
	"testing"

	"github.com/paulmach/orb"

	"swardline/schema"
	"swardline/validate"
)

func TestHeightsInMownGround(t *testing.T) {
	// South lawn: 0 to 30 east, -30 to -10 north. All stands farther in than
	// outlines are compared with, unless said.
	rim := func(p *plot, id string, x, y float64, z func(q orb.Point) float64) *thing {
		return p.add(&thing{id: id, role: "keepout", name: "Bed " + id, rings: [][]orb.Point{rect(x, y, x+1, y+1)}, z: func(q orb.Point) float64 { return plotH + z(q) }})
	}
	mark := func(p *plot, id, role string, x, y, up float64) {
		p.add(&thing{id: id, role: role, name: id, point: &orb.Point{x, y}, z: func(orb.Point) float64 { return plotH + up }})
	}
	flat := func(up float64) func(orb.Point) float64 { return func(orb.Point) float64 { return up } }
	corner := func(up float64) func(orb.Point) float64 { // the one corner of a rim at 15, -20
		return func(q orb.Point) float64 {
			if q[0] < 15.5 && q[1] < -19.5 {
				return up
			}
			return 0
		}
	}
	edge := func(p *plot, kind string, x float64) {
		p.add(&thing{id: "w", role: "edge", name: "Terrace", line: []orb.Point{{x, -22}, {x, -17}}, z: flatGround}).set("edge_kind", schema.String(kind))
	}
	for _, x := range []struct {
		name     string
		draw     func(p *plot)
		severity validate.Severity
		want     bool
	}{
		{"a corner of a rim a hair more than a step up", func(p *plot) { rim(p, "a", 15, -20, corner(0.15+0.35+0.002)) }, validate.Warning, true},
		{"a hair less", func(p *plot) { rim(p, "a", 15, -20, corner(0.15+0.35-0.002)) }, validate.Warning, false},
		{"a rim with its own standard error", func(p *plot) {
			rim(p, "a", 15, -20, corner(0.55)).set("sigma", num(0.05))
			p.get("z2").set("sigma", num(0.1))
		}, validate.Warning, false},
		{"a rim that rises a hair more than 35 % along 2 m", func(p *plot) {
			p.add(&thing{id: "a", role: "keepout", name: "Bed", rings: [][]orb.Point{rect(12, -22, 14, -17)}, z: func(q orb.Point) float64 { return plotH + 0.351*(q[0]-12) }})
		}, validate.Warning, true},
		{"a hair less", func(p *plot) {
			p.add(&thing{id: "a", role: "keepout", name: "Bed", rings: [][]orb.Point{rect(12, -22, 14, -17)}, z: func(q orb.Point) float64 { return plotH + 0.349*(q[0]-12) }})
		}, validate.Warning, false},
		{"two rims 2 m apart, a hair more than a step", func(p *plot) { rim(p, "a", 12, -20, flat(0)); rim(p, "b", 15, -20, flat(0.3+0.7+0.002)) }, validate.Warning, true},
		{"a hair less", func(p *plot) { rim(p, "a", 12, -20, flat(0)); rim(p, "b", 15, -20, flat(0.3+0.7-0.002)) }, validate.Warning, false},
		{"two rims, of the like height", func(p *plot) { rim(p, "a", 12, -20, flat(2.5)); rim(p, "b", 15, -20, flat(2.5)) }, validate.Warning, false},
		{"two rims with a wall between", func(p *plot) { rim(p, "a", 12, -20, flat(0)); rim(p, "b", 15, -20, flat(2.5)); edge(p, "wall", 14) }, validate.Warning, false},
		{"two rims with a kerb between", func(p *plot) { rim(p, "a", 12, -20, flat(0)); rim(p, "b", 15, -20, flat(3)); edge(p, "kerb", 14) }, validate.Warning, true},
		{"two rims with a keep-out between", func(p *plot) {
			rim(p, "a", 12, -20, flat(0))
			rim(p, "b", 15, -20, flat(2.5))
			p.add(&thing{id: "k", role: "keepout", name: "Bank", rings: [][]orb.Point{rect(13.5, -24, 14.5, -15)}})
		}, validate.Warning, false},
		{"marks 4.999 m apart", func(p *plot) { mark(p, "a", "mark", 12, -20, 0); mark(p, "b", "mark", 16.999, -20, 3) }, validate.Warning, true},
		{"marks 8 m apart, a hair more than 35 % and a step", func(p *plot) { mark(p, "a", "mark", 12, -20, -1.5); mark(p, "b", "mark", 20, -20, 0.3+2.8+0.002-1.5) }, validate.Warning, true},
		{"a hair less", func(p *plot) { mark(p, "a", "mark", 12, -20, -1.5); mark(p, "b", "mark", 20, -20, 0.3+2.8-0.002-1.5) }, validate.Warning, false},
		{"a hair more, with a wall between", func(p *plot) {
			mark(p, "a", "mark", 10, -20, -1.5)
			mark(p, "b", "mark", 18, -20, 0.3+2.8+0.002-1.5)
			edge(p, "wall", 14)
		}, validate.Warning, false},
		{"a mark and another point, a hair more than a step", func(p *plot) { mark(p, "a", "mark", 12, -20, 0); mark(p, "b", "other", 12.5, -20, 0.475+0.002) }, validate.Warning, true},
		{"a hair less", func(p *plot) { mark(p, "a", "mark", 12, -20, 0); mark(p, "b", "other", 12.5, -20, 0.475-0.002) }, validate.Warning, false},
		{"a mark and a rim", func(p *plot) { rim(p, "a", 12, -20, flat(0)); mark(p, "b", "mark", 15, -19.5, 2) }, validate.Warning, true},
		{"a mark in a keep-out", func(p *plot) { rim(p, "a", 12, -20, flat(0)); mark(p, "b", "mark", 12.5, -19.5, 2) }, validate.Warning, false},
		{"marks beyond the lawn", func(p *plot) { mark(p, "a", "mark", 34, -20, 0); mark(p, "b", "mark", 36, -20, 3) }, validate.Warning, false},
		{"a row of marks", func(p *plot) {
			for i := range 9 {
				mark(p, "a"+string(rune('0'+i)), "mark", 10+float64(i), -20, 0.8*float64(i)-3)
			}
		}, validate.Warning, true},
		{"the same row at 30 %", func(p *plot) {
			for i := range 9 {
				mark(p, "a"+string(rune('0'+i)), "mark", 10+float64(i), -20, 0.3*float64(i)-1)
			}
		}, validate.Warning, false},
		{"a bed raised by 0.5 m beside another", func(p *plot) { rim(p, "a", 12, -20, flat(0)); rim(p, "b", 13.5, -20, flat(0.5)) }, validate.Warning, false},
		{"heights that an outline bears out to 0.299 m", func(p *plot) {
			borneOut(p)
			mark(p, "a", "mark", 27, -21.2, -0.68-0.299)
			mark(p, "b", "mark", 27, -18.8, 0.29)
		}, validate.Error, true},
		{"to 0.301 m", func(p *plot) {
			borneOut(p)
			mark(p, "a", "mark", 27, -21.2, -0.68-0.301)
			mark(p, "b", "mark", 27, -18.8, 0.29)
		}, validate.Error, false},
	} {
		p := park()
		x.draw(p)
		if n, o := found(t, p, "slope-limit", x.severity); (n > 0) != x.want {
			t.Errorf("%s: %d findings, %s (%s)", x.name, n, o.Outcome, o.Reason)
		}
	}
}

// borneOut lets the south lawn rise by 0.68 m over 2 m at its east side.
func borneOut(p *plot) {
	p.get("z2").rings[0] = []orb.Point{{0, -30}, {30, -30}, {30, -21}, {30, -19}, {30, -10}, {0, -10}, {0, -30}}
	p.get("z2").z = func(q orb.Point) float64 { return plotH + 0.34*(max(0, min(2, q[1]+21))-2) }
}
