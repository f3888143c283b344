// Heights of a plan that do not go with one another, and twins that do.

package validate_test

import (
	"math"
	"strings"
	"testing"

	"github.com/paulmach/orb"

	"swardline/schema"
	"swardline/validate"
)

// heightPlan is a park that something is done to, and what slope-limit says.
type heightPlan struct {
	name     string
	draw     func(p *plot)
	want     validate.Outcome
	severity validate.Severity // of the worst finding
	says     string
}

func judgeHeights(t *testing.T, plans []heightPlan) {
	t.Helper()
	for _, x := range plans {
		p := park()
		x.draw(p)
		r := validate.Check(p.plan(t), schema.DefaultLimits())
		o := r.Outcome("slope-limit")
		all, severity := o.Reason, validate.Severity("")
		for _, f := range r.Findings {
			if f.Rule == "slope-limit" {
				all += "\n" + f.Message
				if severity != validate.Error {
					severity = f.Severity
				}
			}
		}
		if o.Outcome != x.want || severity != x.severity || !strings.Contains(all, x.says) {
			t.Errorf("%s: %s %s (%s), want %s %s that says %q", x.name, o.Outcome, severity, all, x.want, x.severity, x.says)
		}
	}
}

func raisedTo(up float64) func(orb.Point) float64 {
	return func(orb.Point) float64 { return plotH + up }
}

// edgeOf draws an edge of a kind.
func edgeOf(p *plot, id, kind string, z func(orb.Point) float64, pts ...orb.Point) {
	p.add(&thing{id: id, role: "edge", name: "Edge " + id, line: pts, z: z}).set("edge_kind", schema.String(kind))
}

func areaOf(p *plot, id, role string, z func(orb.Point) float64, ring []orb.Point) *thing {
	return p.add(&thing{id: id, role: role, name: "Area " + id, rings: [][]orb.Point{ring}, z: z})
}

func pointOf(p *plot, id, role string, up, x, y float64) *thing {
	return p.add(&thing{id: id, role: role, name: "Point " + id, point: &orb.Point{x, y}, z: raisedTo(up)})
}

const (
	heightsPass = validate.Passed
	heightsOpen = validate.Unchecked
	heightsFail = validate.Failed
)

func TestHeightsOfFlushEdges(t *testing.T) {
	// Two in the south lawn, the second 0.3 m north of the first and so much
	// higher, its ends so far past those of the first.
	two := func(up, past float64) func(p *plot) {
		return func(p *plot) {
			edgeOf(p, "f", "flush", raisedTo(0), orb.Point{10, -20}, orb.Point{20, -20})
			edgeOf(p, "g", "flush", raisedTo(up), orb.Point{10 - past, -19.7}, orb.Point{20 + past, -19.7})
		}
	}
	one := func(y float64, up func(x float64) float64, xs ...float64) func(p *plot) {
		return func(p *plot) {
			var l []orb.Point
			for _, x := range xs {
				l = append(l, orb.Point{x, y})
			}
			edgeOf(p, "f", "flush", func(q orb.Point) float64 { return plotH + up(q[0]) }, l...)
		}
	}
	by := func(v float64) func(float64) float64 { return func(float64) float64 { return v } }
	after := func(x0, v float64) func(float64) float64 {
		return func(x float64) float64 {
			if x > x0 {
				return v
			}
			return 0
		}
	}
	steep := func(s float64) func(float64) float64 { return func(x float64) float64 { return s * (x - 11) } }
	with := func(draw func(p *plot), more func(p *plot)) func(p *plot) {
		return func(p *plot) { draw(p); more(p) }
	}
	wall := func(p *plot) { edgeOf(p, "w", "wall", raisedTo(0), orb.Point{0, -19.85}, orb.Point{30, -19.85}) }
	mark := func(up float64) func(p *plot) { return func(p *plot) { pointOf(p, "m9", "mark", up, 9.8, -20.2) } }
	crossed := func(up float64) func(p *plot) {
		return func(p *plot) {
			edgeOf(p, "f", "flush", raisedTo(0), orb.Point{10, -20}, orb.Point{20, -20})
			edgeOf(p, "g", "flush", raisedTo(up), orb.Point{15, -26}, orb.Point{15, -14})
		}
	}
	judgeHeights(t, []heightPlan{
		{"two whose ends are a hair less than a step apart", two(0.15+0.105-0.002, 0), heightsPass, "", ""},
		{"a hair more", two(0.15+0.105+0.002, 0), heightsFail, validate.Error, "differ by"},
		{"with a wall between", with(two(0.5, 0), wall), heightsOpen, "", "no straight way"},
		{"ends far apart, a hair less than a step", two(0.15+0.105-0.002, 4), heightsPass, "", ""},
		{"a hair more", two(0.15+0.105+0.002, 4), heightsOpen, "", "between two heights"},
		{"a hair more than 0.3 m", two(0.3+0.105+0.002, 4), heightsFail, validate.Error, "differ by"},
		{"two that cross 0.149 m apart in height", crossed(0.149), heightsPass, "", ""},
		{"0.151 m", crossed(0.151), heightsOpen, "", "between two heights"},
		{"0.301 m", crossed(0.301), heightsFail, validate.Error, "differ by"},
		{"two where nothing is mown", func(p *plot) {
			edgeOf(p, "f", "flush", raisedTo(0), orb.Point{40, -20}, orb.Point{50, -20})
			edgeOf(p, "g", "flush", raisedTo(0.5), orb.Point{40, -19.7}, orb.Point{50, -19.7})
		}, heightsPass, "", ""},
		{"both sides of a path that nobody mows", func(p *plot) {
			edgeOf(p, "f", "flush", raisedTo(0), orb.Point{30.1, -25}, orb.Point{30.1, -15})
			edgeOf(p, "g", "flush", raisedTo(0.8), orb.Point{31.1, -25}, orb.Point{31.1, -15})
		}, heightsPass, "", ""},
		{"one that steps by a hair less over 0.2 m", one(-20, after(12.1, 0.15+0.07-0.002), 10, 12, 12.2, 20), heightsPass, "", ""},
		{"a hair more", one(-20, after(12.1, 0.15+0.07+0.002), 10, 12, 12.2, 20), heightsFail, validate.Error, "on its own line"},
		{"a hair more, 0.2 m beside the lawn", func(p *plot) {
			edgeOf(p, "f", "flush", func(q orb.Point) float64 {
				if q[1] > -19.9 {
					return plotH + 0.222
				}
				return plotH
			}, orb.Point{30.2, -25}, orb.Point{30.2, -20}, orb.Point{30.2, -19.8}, orb.Point{30.2, -15})
		}, heightsFail, validate.Error, "on its own line"},
		{"one of 34.9 %", one(-20, steep(0.349), 11, 14), heightsOpen, "", "where its outline has the ground"},
		{"one of 35.1 %", one(-20, steep(0.351), 11, 14), heightsFail, validate.Error, "along a flush edge"},
		{"one of 35.1 % where nothing is mown", func(p *plot) {
			edgeOf(p, "f", "flush", func(q orb.Point) float64 { return plotH + 0.351*(q[0]-40) }, orb.Point{40, -20}, orb.Point{50, -20})
		}, heightsPass, "", ""},
		{"a hair less than 0.3 m and 35 % 3 m from the outline", one(-27, by(1.35-0.002), 10, 20), heightsOpen, "", "where its outline has the ground"},
		{"a hair more", one(-27, by(1.35+0.002), 10, 20), heightsFail, validate.Error, "as a flush edge"},
		{"a hair less 6 m from it", one(-24, by(2.4-0.002), 10, 20), heightsOpen, "", "where its outline has the ground"},
		{"a hair more", one(-24, by(2.4+0.002), 10, 20), heightsFail, validate.Error, "6.00 m off"},
		{"a mark beside one a hair less than a step up", with(two(0, 0), mark(0.399-0.002)), heightsPass, "", ""},
		{"a hair more", with(two(0, 0), mark(0.399+0.002)), heightsFail, validate.Warning, "to edge"},
		{"one that comes back beside itself, 0.8 m higher over 2.1 m", func(p *plot) {
			edgeOf(p, "f", "flush", func(q orb.Point) float64 {
				if q[1] < -24 {
					return plotH + 0.04*(q[0]-10)
				}
				return plotH + 0.04*(30-q[0])
			}, orb.Point{10, -25}, orb.Point{20, -25}, orb.Point{20, -22.9}, orb.Point{10, -22.9})
		}, heightsOpen, "", "0.80 m above where its outline has the ground"},
		{"one down a lawn of 14 %", func(p *plot) {
			tilt := func(q orb.Point) float64 { return plotH + 0.14*(q[0]-15) }
			p.remove("c2")
			p.remove("e2")
			p.get("z2").z = tilt
			edgeOf(p, "f", "flush", tilt, orb.Point{4, -20}, orb.Point{9, -21}, orb.Point{26, -20})
		}, heightsPass, "", ""},
	})
}

func TestHeightsFarIn(t *testing.T) {
	bed := func(up float64) func(p *plot) { // 6 m from the east side
		return func(p *plot) { areaOf(p, "k9", "keepout", raisedTo(up), rect(21, -21, 24, -19)) }
	}
	with := func(draw func(p *plot), more func(p *plot)) func(p *plot) {
		return func(p *plot) { draw(p); more(p) }
	}
	hole := func(up float64) func(p *plot) { // 13 m from the outline, 22 m from its corners
		return func(p *plot) {
			p.remove("c2")
			z := p.get("z2")
			z.rings = [][]orb.Point{rect(0, -40, 40, -10), reversed(rect(18, -27, 22, -23))}
			z.z = func(q orb.Point) float64 {
				if q[0] > 17 && q[0] < 23 {
					return plotH + up
				}
				return plotH
			}
		}
	}
	beds := func(up float64) func(p *plot) { // 8.017 m apart
		return func(p *plot) {
			areaOf(p, "k9", "keepout", raisedTo(-up/2), circle(10, -20, 1, 24))
			areaOf(p, "k8", "keepout", raisedTo(up/2), circle(20, -20, 1, 24))
		}
	}
	zone := func(up float64) func(p *plot) {
		return func(p *plot) { areaOf(p, "z9", "zone", raisedTo(up), rect(21, -21, 24, -19)) }
	}
	way := func(up float64) func(p *plot) {
		return func(p *plot) {
			c := p.get("c2")
			c.line = append(c.line, orb.Point{15, -18}, orb.Point{24, -20})
			c.z = func(q orb.Point) float64 {
				if q[0] > 20 {
					return plotH + up
				}
				return plotH
			}
		}
	}
	dock := func(up, x float64) func(p *plot) {
		return func(p *plot) {
			p.remove("c1")
			d := p.get("d1")
			d.point, d.z = &orb.Point{x, 10}, raisedTo(up)
		}
	}
	rim := func(up float64) func(p *plot) { // by stairs of less than a step each
		return func(p *plot) {
			areaOf(p, "k9", "keepout", func(q orb.Point) float64 {
				if q[1] < -20.5 {
					return plotH + up/0.8*min(0.8, max(0, q[0]-12))
				}
				return plotH + up/2
			}, []orb.Point{{10, -21}, {12, -21}, {12.2, -21}, {12.4, -21}, {12.6, -21}, {12.8, -21}, {16, -21}, {16, -20}, {13, -20}, {10, -20}, {10, -21}})
		}
	}
	bump := func(up float64) func(p *plot) {
		return func(p *plot) {
			z := p.get("z2")
			z.rings[0] = []orb.Point{{0, -30}, {10, -30}, {10.2, -30}, {10.4, -30}, {30, -30}, {30, -10}, {0, -10}, {0, -30}}
			z.z = func(q orb.Point) float64 {
				if q[0] > 10.1 && q[0] < 10.3 {
					return plotH + up
				}
				return plotH
			}
		}
	}
	judgeHeights(t, []heightPlan{
		{"the rim of a bed, a hair less than 0.3 m and 35 % over 6 m", bed(-2.4 + 0.002), heightsOpen, "", "whether it is a pit"},
		{"a hair more", bed(-2.4 - 0.002), heightsFail, validate.Warning, "6.00 m off"},
		{"a hair more, up", bed(2.4 + 0.002), heightsFail, validate.Warning, "higher than the outline"},
		{"with another bed between", with(bed(2.5), func(p *plot) { areaOf(p, "k8", "keepout", nil, rect(26, -26, 28, -14)) }), heightsPass, "", ""},
		{"with a wall between", with(bed(2.5), func(p *plot) { edgeOf(p, "w", "wall", nil, orb.Point{27, -26}, orb.Point{27, -14}) }), heightsPass, "", ""},
		{"with a kerb between", with(bed(2.5), func(p *plot) { edgeOf(p, "w", "kerb", nil, orb.Point{27, -26}, orb.Point{27, -14}) }), heightsFail, validate.Warning, ""},
		{"a raised bed", bed(0.5), heightsPass, "", ""},
		{"with a slope limit of its own", with(bed(1.6), func(p *plot) {
			p.get("z2").set("limits", schema.Object(schema.Attributes{{Key: "slope_max_percent", Value: num(20)}}))
		}), heightsFail, validate.Warning, "the limit is 20 %"},
		{"a hole, a hair less over 13 m", hole(-4.85 + 0.005), heightsPass, "", ""},
		{"a hair more", hole(-4.85 - 0.005), heightsFail, validate.Error, "13.00 m off"},
		{"two beds, a hair less over 8.017 m", beds(0.3 + 0.35*8.017 - 0.002), heightsOpen, "", "whether it is a pit"},
		{"a hair more", beds(0.3 + 0.35*8.017 + 0.002), heightsFail, validate.Warning, "over 8.02 m"},
		{"the two ends of a rim, a hair more than a step", func(p *plot) {
			areaOf(p, "k9", "keepout", func(q orb.Point) float64 {
				if q[1] < -20.9 {
					return plotH + 0.222
				}
				return plotH
			}, []orb.Point{{12, -21}, {16, -21}, {20, -20}, {12, -20}, {12, -20.8}, {12, -21}})
		}, heightsFail, validate.Warning, "on its own line"},
		{"a lawn in the lawn, a hair less", zone(2.4 - 0.002), heightsPass, "", ""},
		{"a hair more", zone(2.4 + 0.002), heightsFail, validate.Error, "6.00 m off"},
		{"a corridor, a hair less", way(2.4 - 0.002), heightsPass, "", ""},
		{"a hair more", way(2.4 + 0.002), heightsFail, validate.Error, "6.00 m off"},
		{"a mark, a hair less", func(p *plot) { pointOf(p, "m9", "mark", 2.4-0.002, 24, -20) }, heightsPass, "", ""},
		{"a hair more", func(p *plot) { pointOf(p, "m9", "mark", 2.4+0.002, 24, -20) }, heightsFail, validate.Warning, "6.00 m off"},
		{"a dock 2 m from the outline, a hair less", dock(1-0.002, 28), heightsOpen, "", "where its outline has the ground"},
		{"a hair more", dock(1+0.002, 28), heightsFail, validate.Error, "beside the outline"},
		{"a dock 6 m from the outline, a hair less", dock(2.4-0.002, 24), heightsOpen, "", "where its outline has the ground"},
		{"a hair more", dock(2.4+0.002, 24), heightsFail, validate.Error, "6.00 m off"},
		{"a mark beside a corridor, a hair more than a step", func(p *plot) { pointOf(p, "m9", "mark", 0.652, 15.5, -11.5) }, heightsFail, validate.Warning, "to corridor"},
		{"a hair less", func(p *plot) { pointOf(p, "m9", "mark", 0.474, 15.5, -11.5) }, heightsPass, "", ""},
		{"a rim that rises by stairs, a hair less in all than a step", rim(0.15 + 0.28 - 0.002), heightsPass, "", ""},
		{"a hair more", rim(0.15 + 0.28 + 0.002), heightsFail, validate.Warning, "over 0.80 m"},
		{"a narrow bed, half way one side of it 0.5 m up", func(p *plot) {
			areaOf(p, "k9", "keepout", func(q orb.Point) float64 {
				if q[0] == 15 && q[1] > -20.8 {
					return plotH + 0.5
				}
				return plotH
			}, []orb.Point{{10, -21}, {15, -21}, {20, -21}, {20, -20.7}, {15, -20.7}, {10, -20.7}, {10, -21}})
		}, heightsPass, "", ""},
		{"a bump of a step and what 0.2 m of slope rise", bump(0.15 + 0.07 - 0.002), heightsPass, "", ""},
		{"a higher one", bump(0.15 + 0.07 + 0.002), heightsFail, validate.Error, "a ledge"},
	})
}

func TestHeightsWhereLawnsMeet(t *testing.T) {
	// An upper lawn at the east side of the south lawn, whose corners are 4 m
	// from those of the other, 20 m apart.
	upper := func(up float64) func(p *plot) {
		return func(p *plot) { areaOf(p, "z9", "zone", raisedTo(up), rect(30.01, -26, 40, -14)) }
	}
	// One with corners at both ends of the shared side, and one half way.
	shared := func(middle float64) func(p *plot) {
		return func(p *plot) {
			areaOf(p, "z9", "zone", func(q orb.Point) float64 {
				if q[1] == -20 {
					return plotH + middle
				}
				return plotH
			}, []orb.Point{{30.01, -30}, {40, -30}, {40, -10}, {30.01, -10}, {30.01, -20}, {30.01, -30}})
		}
	}
	short := func(up float64) func(p *plot) { // points of the one 2.5 m from those of the other
		return func(p *plot) {
			p.get("z2").rings[0] = []orb.Point{{0, -30}, {30, -30}, {30, -25}, {30, -20}, {30, -15}, {30, -10}, {0, -10}, {0, -30}}
			areaOf(p, "z9", "zone", raisedTo(up), rect(30.01, -22.5, 40, -17.5))
		}
	}
	with := func(draw func(p *plot), more func(p *plot)) func(p *plot) {
		return func(p *plot) { draw(p); more(p) }
	}
	fence := func(x float64, id string, up float64) func(p *plot) {
		return func(p *plot) {
			edgeOf(p, id, "fence", raisedTo(up), orb.Point{x, -27}, orb.Point{x, -13})
		}
	}
	gate := func(p *plot) { edgeOf(p, "g", "gate", raisedTo(0), orb.Point{30, -21}, orb.Point{30, -19}) }
	gap := func(p *plot) {
		edgeOf(p, "w", "wall", nil, orb.Point{30, -31}, orb.Point{30, -23})
		edgeOf(p, "v", "wall", nil, orb.Point{30, -17}, orb.Point{30, -9})
	}
	way := func(up float64) func(p *plot) {
		return func(p *plot) {
			p.remove("e2")
			p.get("z2").rings[0] = []orb.Point{{0, -30}, {30, -30}, {30, -10}, {17.5, -10}, {12.5, -10}, {0, -10}, {0, -30}}
			p.get("c2").z = raisedTo(up)
		}
	}
	judgeHeights(t, []heightPlan{
		{"a lawn 0.311 m up all along", upper(0.311), heightsPass, "", ""},
		{"0.316 m", upper(0.316), heightsOpen, "", "all along where they meet"},
		{"0.316 m down", upper(-0.316), heightsOpen, "", "all along where they meet"},
		{"0.64 m", upper(0.64), heightsOpen, "", "give both heights at the same places"},
		{"0.651 m", upper(0.651), heightsFail, validate.Error, "where it meets"},
		{"a fence between", with(upper(0.5), fence(30, "f", 0)), heightsOpen, "", "only holds it up"},
		{"a fence between that stands up above it", with(upper(0.29), fence(30, "f", 0)), heightsPass, "", ""},
		{"with a standard error of its own", with(upper(0.32), func(p *plot) {
			p.get("z2").set("sigma", num(0.04))
			p.get("z9").set("sigma", num(0.04))
		}), heightsPass, "", ""},
		{"between points 2.5 m off, a hair less than a step", short(0.15 + 0.0035 + 0.0155 - 0.002), heightsPass, "", ""},
		{"a hair more, all along", short(0.15 + 0.0035 + 0.0155 + 0.002), heightsOpen, "", "all along"},
		{"one place far off the other's line, a hair less than the ground may", shared(0.15 + 0.5 - 0.002), heightsPass, "", ""},
		{"0.15 m off, down", shared(-0.2), heightsPass, "", ""},
		{"the same points measured twice", shared(0.03), heightsPass, "", ""},
		{"through a gap in a wall", with(upper(0.6), gap), heightsOpen, "", "where they meet"},
		{"a gap in a wall, less", with(upper(0.3), gap), heightsPass, "", ""},
		{"a corridor that enters 2.5 m from points of the outline, a hair less", way(0.15 + 0.03125 + 0.0075 - 0.002), heightsPass, "", ""},
		{"a hair more", way(0.15 + 0.03125 + 0.0075 + 0.002), heightsOpen, "", "where they meet"},
		// A fence drawn by its foot and by its top.
		{"foot and top in one place", with(with(upper(1), fence(30, "f", 0)), fence(30, "h", 1.8)), heightsOpen, "", "only holds that up cannot be told"},
		{"foot and top 0.04 m apart", with(with(upper(1), fence(30, "f", 0)), fence(30.04, "h", 1.8)), heightsOpen, "", "only holds that up cannot be told"},
		{"and a gate in both", with(with(with(upper(1), fence(30, "f", 0)), fence(30, "h", 1.8)), gate), heightsFail, validate.Error, ""},
		{"and a gate in both, 0.04 m apart", with(with(with(upper(1), fence(30, "f", 0)), fence(30.04, "h", 1.8)), gate), heightsFail, validate.Error, ""},
	})
}

func TestHeightsOfPartsOfALawn(t *testing.T) {
	parts := func(up, gap float64) func(p *plot) {
		return func(p *plot) {
			p.remove("e2")
			z := p.get("z2")
			z.rings, z.parts = nil, [][]orb.Point{rect(0, -30, 20, -10), rect(20+gap, -30, 30, -10)}
			z.z = func(q orb.Point) float64 {
				if q[0] > 20 {
					return plotH + up
				}
				return plotH
			}
		}
	}
	judgeHeights(t, []heightPlan{
		{"two parts, a hair less than a step", parts(0.15+0.0035-0.002, 0.01), heightsPass, "", ""},
		{"a hair more", parts(0.15+0.0035+0.002, 0.01), heightsOpen, "", "where they meet"},
		{"a hair more than 0.3 m and what a slope allows over 1 m", parts(0.65+0.002, 0.01), heightsFail, validate.Error, "where it meets"},
		{"with a wall between", func(p *plot) {
			parts(0.8, 0.01)(p)
			edgeOf(p, "w", "wall", nil, orb.Point{20.005, -31}, orb.Point{20.005, -9})
		}, heightsPass, "", ""},
		{"far from one another", parts(0.8, 6), heightsPass, "", ""},
	})
}

func TestRampInTheWayIntoADock(t *testing.T) {
	ramp := func(up float64) func(p *plot) {
		return func(p *plot) { edgeOf(p, "r", "ramp", raisedTo(up), orb.Point{35, 9}, orb.Point{35, 11}) }
	}
	judgeHeights(t, []heightPlan{
		{"0.049 m up", ramp(0.049), heightsPass, "", ""},
		{"0.051 m up", ramp(0.051), heightsOpen, "", "off the height of the way into dock"},
		{"0.648 m up", ramp(0.648), heightsOpen, "", "off the height of the way into dock"},
		{"0.652 m up", ramp(0.652), heightsFail, validate.Error, "the way into it crosses"},
		{"0.652 m down", ramp(-0.652), heightsFail, validate.Error, "the way into it crosses"},
	})
}

// What the machine goes over on its blind way in: the limits are 5 % and 0.05 m, those of
// a corridor 35 % and 0.15 m.
func TestSmallStepsInTheWayIntoADock(t *testing.T) {
	line := func(role, kind string, up, x float64) func(p *plot) {
		return func(p *plot) {
			q := p.add(&thing{id: "q", role: role, name: "Strip", line: []orb.Point{{x, 9.2}, {x, 10.8}}, z: raisedTo(up)})
			if kind != "" {
				q.set("edge_kind", schema.String(kind))
			}
		}
	}
	ramp := func(at []orb.Point, pairs ...any) func(p *plot) {
		return func(p *plot) {
			edgeOf(p, "r", "ramp", nil, at...)
			for i := 0; i < len(pairs); i += 2 {
				p.get("r").set(pairs[i].(string), num(pairs[i+1].(float64)))
			}
		}
	}
	across, along := []orb.Point{{35, 9}, {35, 11}}, []orb.Point{{34.4, 10}, {35.6, 10}}
	corridor := []orb.Point{{14, -5}, {16, -5}}
	limits := func(id, key string, v float64, draw func(p *plot)) func(p *plot) {
		return func(p *plot) { draw(p); own(p, id, key, v) }
	}
	const step, lies = "off the height of the way into dock", "lies in the way into dock"
	judgeHeights(t, []heightPlan{
		{"a flush edge 0.049 m up", line("edge", "flush", 0.049, 35), heightsPass, "", ""},
		{"0.051 m up", line("edge", "flush", 0.051, 35), heightsOpen, "", step},
		{"0.051 m down", line("edge", "flush", -0.051, 35), heightsOpen, "", step},
		{"0.14 m up", line("edge", "flush", 0.14, 35), heightsOpen, "", step},
		{"0.302 m up", line("edge", "flush", 0.302, 35), heightsFail, validate.Error, "off the height of edge \"Strip\""},
		{"0.14 m up where a corridor leads over it", func(p *plot) {
			edgeOf(p, "q", "flush", raisedTo(0.14), orb.Point{14, -5}, orb.Point{16, -5})
		}, heightsPass, "", ""},
		{"a line 0.049 m up", line("other", "", 0.049, 35), heightsPass, "", ""},
		{"a line 0.051 m up", line("other", "", 0.051, 35), heightsOpen, "", lies},
		{"a mark 0.049 m up", marksAt(0.049, orb.Point{35, 10}), heightsPass, "", ""},
		{"a mark 0.051 m up", marksAt(0.051, orb.Point{35, 10}), heightsOpen, "", lies},
		{"two flush edges, each within it, that differ by more", allOf(line("edge", "flush", 0.04, 35), func(p *plot) {
			edgeOf(p, "q2", "flush", raisedTo(-0.03), orb.Point{35.2, 9.2}, orb.Point{35.2, 10.8})
		}), heightsOpen, "", "which the way into dock"},
		{"by a hair less", allOf(line("edge", "flush", 0.035, 35), func(p *plot) {
			edgeOf(p, "q2", "flush", raisedTo(-0.024), orb.Point{35.2, 9.2}, orb.Point{35.2, 10.8})
		}), heightsPass, "", ""},
		{"a ramp of 4.9 %", ramp(across, "slope_percent", 4.9), heightsPass, "", ""},
		{"of 5.1 %", ramp(across, "slope_percent", 5.1), heightsFail, validate.Error, "slopes 5.1 % by its slope_percent; the limit is 5 %"},
		{"of 30 % that rises 0.049 m", ramp(across, "slope_percent", 30.0, "rise_m", 0.049), heightsPass, "", ""},
		{"of 30 % that rises 0.051 m", ramp(across, "slope_percent", 30.0, "rise_m", 0.051), heightsFail, validate.Error, "the limit is 5 %"},
		{"of 30 % over 0.16 m", ramp(across, "slope_percent", 30.0, "length_m", 0.16), heightsPass, "", ""},
		{"of 30 % over 0.17 m", ramp(across, "slope_percent", 30.0, "length_m", 0.17), heightsFail, validate.Error, "the limit is 5 %"},
		{"along it, 0.059 m over 1.2 m", ramp(along, "rise_m", 0.059), heightsPass, "", ""},
		{"0.061 m", ramp(along, "rise_m", 0.061), heightsFail, validate.Error, "rises 5.1 % by its rise_m"},
		{"0.051 m of no length across", ramp(across, "rise_m", 0.051), heightsOpen, "", "not over what length"},
		{"0.049 m across", ramp(across, "rise_m", 0.049), heightsPass, "", ""},
		{"3.9 % at a dock whose limit is 4 %", limits("d1", "dock_slope_max_percent", 4, ramp(across, "slope_percent", 3.9)), heightsPass, "", ""},
		{"4.1 % at one whose limit is 4 %", limits("d1", "dock_slope_max_percent", 4, ramp(across, "slope_percent", 4.1)), heightsFail, validate.Error, "the limit is 4 %"},
		{"30 % in a corridor", ramp(corridor, "slope_percent", 30.0), heightsPass, "", ""},
		{"20.1 % in one whose limit is 20 %", limits("c2", "slope_max_percent", 20, ramp(corridor, "slope_percent", 20.1)), heightsFail, validate.Error, "the limit is 20 %"},
		{"19.9 %", limits("c2", "slope_max_percent", 20, ramp(corridor, "slope_percent", 19.9)), heightsPass, "", ""},
	})
}

func TestHeightsOfTwoCorridors(t *testing.T) {
	// A second crosses the path half way between points of both, 4 m off them.
	cross := func(up float64) func(p *plot) {
		return func(p *plot) {
			p.add(&thing{id: "c9", role: "corridor", name: "Cross", line: []orb.Point{{11, -5}, {19, -5}}, z: raisedTo(up)})
		}
	}
	beside := func(up, off float64) func(p *plot) { // along the east side of the south lawn, over 12 m
		return func(p *plot) {
			p.add(&thing{id: "c9", role: "corridor", name: "Beside", line: []orb.Point{{30 + off, -26}, {30 + off, -14}}, z: raisedTo(up)})
		}
	}
	judgeHeights(t, []heightPlan{
		{"what the ground between their points may, a hair less", cross(0.15 + 0.08 + 0.08 - 0.002), heightsPass, "", ""},
		{"a hair more", cross(0.15 + 0.08 + 0.08 + 0.002), heightsOpen, "", "where they meet"},
		{"a hair less than 0.3 m and what a slope allows over 1 m", cross(0.65 - 0.002), heightsOpen, "", ""},
		{"a hair more than that", cross(-0.65 - 0.002), heightsFail, validate.Error, "where it meets"},
		{"one beside a lawn, a hair less", beside(0.65-0.002, 0.25), heightsOpen, "", "0.25 m beside its line"},
		{"a hair more beside it", beside(0.65+0.002, 0.25), heightsFail, validate.Error, "beside zone"},
		{"farther off than half the machine", beside(1, 0.302), heightsFail, "warning", "where the fall begins"},
		{"a hair less there", beside(0.648, 0.302), heightsOpen, "", "0.30 m beside its line"},
		{"with a wall between", func(p *plot) {
			beside(1, 0.25)(p)
			edgeOf(p, "w", "wall", nil, orb.Point{30.12, -28}, orb.Point{30.12, -12})
		}, heightsOpen, "", "only holds that up cannot be told"},
		// A dock beside the lawn that is driven into from there.
		{"a dock 1 m beside a lawn, a hair less", dockBeside(0.65-0.002, 90), heightsOpen, "", "the way in from its line-up point"},
		{"as level as the way in has to be", dockBeside(0.098, 90), heightsPass, "", ""},
		{"a hair more", dockBeside(0.102, 90), heightsOpen, "", "the way in from its line-up point"},
		{"a hair more, a dock", dockBeside(0.65+0.002, 90), heightsFail, validate.Error, "beside the outline"},
		{"one that is driven into from elsewhere, 1 m off the lawn", dockBeside(2, 0), heightsFail, "warning", "the way into dock \"Dock\" lies 2.00 m above"},
		{"0.652 m up, 1 m off", dockBeside(0.652, 0), heightsFail, "warning", "where the fall begins"},
		{"0.648 m up, 1 m off", dockBeside(0.648, 0), heightsOpen, "", "falls at the edge of what is driven"},
	})
}

// dockBeside puts the dock 1 m east of the north lawn, with no corridor.
func dockBeside(up, heading float64) func(p *plot) {
	return func(p *plot) {
		p.remove("c1")
		d := p.get("d1").set("heading_deg", num(heading))
		d.point, d.z = &orb.Point{31, 10}, raisedTo(up)
	}
}

func TestHeightsAway(t *testing.T) {
	at := func(id string, up float64) func(p *plot) { return func(p *plot) { p.get(id).z = raisedTo(up) } }
	off := 5 * math.Sqrt2 / 2 // half the distance of the mark from the lawn
	judgeHeights(t, []heightPlan{
		{"a mark 7 m beside the lawns, a hair less", at("m1", 20+off-0.01), heightsPass, "", ""},
		{"a hair more", at("m1", 20+off+0.01), heightsFail, validate.Warning, "another unit or reference"},
		{"down", at("m1", -20-off-0.01), heightsFail, validate.Warning, "lower than the nearest outline"},
		{"a building 30 m off, above the ellipsoid", at("g1", 47), heightsFail, validate.Warning, "30.00 m off"},
		{"a roof", at("g1", 18), heightsPass, "", ""},
		{"a boundary", at("p1", -47), heightsFail, validate.Warning, "of zone"},
		{"a hazard", at("h1", -47), heightsFail, validate.Warning, "of zone"},
		{"a cliff beside a path", at("h1", -24.5), heightsPass, "", ""},
		{"an outlet", at("s1", 47), heightsFail, validate.Warning, "of zone"},
		{"a lawn that nothing leads to", func(p *plot) {
			for _, id := range []string{"c2", "e2"} {
				p.remove(id)
			}
			p.get("z2").z = raisedTo(47)
		}, heightsFail, validate.Warning, "10.00 m off"},
		{"clamped heights", func(p *plot) { at("g1", 47)(p); p.get("g1").set("altitude_mode", schema.String("clampToGround")) }, heightsPass, "", ""},
		{"a base is base-height's", at("b1", 60), heightsPass, "", ""},
		{"a lawn down a mountain", func(p *plot) {
			for _, x := range p.things {
				x.z = func(q orb.Point) float64 { return plotH + 0.1*q[1] }
			}
			p.get("p1").rings[0] = rect(-10, -400, 80, 40)
		}, heightsPass, "", ""},
	})
}
