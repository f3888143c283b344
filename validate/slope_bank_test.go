// Banks and walls between two lawns of which no drop tells, docks on a slope and
// heights of what is switched off.

package validate_test

import (
	"testing"

	"github.com/paulmach/orb"

	"swardline/schema"
)

// The south lawn ends at 30 east; the passage limit is 1.5 m.
func TestBanksBetweenLawns(t *testing.T) {
	upper := func(gap, up float64, more ...func(p *plot)) func(p *plot) {
		return func(p *plot) {
			areaOf(p, "z9", "zone", raisedTo(up), rect(30+gap, -26, 40, -14))
			for _, draw := range more {
				draw(p)
			}
		}
	}
	edge := func(kind string, x float64, set ...float64) func(p *plot) {
		return func(p *plot) {
			edgeOf(p, "e9", kind, raisedTo(0), orb.Point{x, -31}, orb.Point{x, -9})
			for _, h := range set {
				p.get("e9").set("height_m", num(h))
			}
		}
	}
	area := func(role string, x float64) func(p *plot) {
		return func(p *plot) { areaOf(p, "a9", role, raisedTo(0), rect(x, -28, x+0.6, -12)) }
	}
	const bank, open = "that is not drawn lies between", "whether it stands above the upper lawn"
	judgeHeights(t, []heightPlan{
		{"2 m apart, 2.01 m up", upper(2, 2.01), heightsFail, "warning", bank},
		{"2 m apart, 1.99 m up", upper(2, 1.99), heightsPass, "", ""},
		{"2 m apart, 2.01 m down", upper(2, -2.01), heightsFail, "warning", bank},
		{"2.999 m apart, 4 m up", upper(2.999, 4), heightsFail, "warning", bank},
		{"3.002 m apart, 4 m up", upper(3.002, 4), heightsPass, "", ""},
		{"the upper lawn only half as long, and inside the side of the other", func(p *plot) {
			areaOf(p, "z9", "zone", func(q orb.Point) float64 { return plotH + 3*max(0, 1-(q[1]+26)/9) }, rect(32, -26, 40, -14))
		}, heightsFail, "warning", bank},
		{"a drop between", upper(2, 3, edge("drop", 31)), heightsPass, "", ""},
		{"a wall between", upper(2, 3, edge("wall", 31)), heightsPass, "", ""},
		{"a fence between", upper(2, 3, edge("fence", 31)), heightsPass, "", ""},
		{"a kerb between holds nothing up", upper(2, 3, edge("kerb", 31)), heightsFail, "warning", bank},
		{"a building between", upper(2, 3, area("building", 30.7)), heightsPass, "", ""},
		{"a keep-out between", upper(2, 3, area("keepout", 30.7)), heightsPass, "", ""},

		{"a wall between lawns 0.8 m apart, 1.01 m up", upper(0.8, 1.01, edge("wall", 30.4)), heightsOpen, "", open},
		{"0.99 m up", upper(0.8, 0.99, edge("wall", 30.4)), heightsPass, "", ""},
		{"a fence", upper(0.8, 2, edge("fence", 30.4)), heightsOpen, "", open},
		{"a drop and no wall", upper(0.8, 2, edge("drop", 30.4)), heightsPass, "", ""},
		{"a wall with a drop along it", upper(0.8, 2, edge("wall", 30.4), func(p *plot) {
			edgeOf(p, "e8", "drop", raisedTo(0), orb.Point{30.45, -31}, orb.Point{30.45, -9})
		}), heightsPass, "", ""},
		{"a wall 2.31 m high", upper(0.8, 2, edge("wall", 30.4, 2.31)), heightsPass, "", ""},
		{"a wall 2.29 m high", upper(0.8, 2, edge("wall", 30.4, 2.29)), heightsOpen, "", open},
		{"a wall between lawns 1.6 m apart", upper(1.6, 1.5, edge("wall", 30.8)), heightsPass, "", ""},
	})
}

// own gives a feature a limit of its own.
func own(p *plot, id, key string, v float64) {
	p.get(id).set("limits", schema.Object(schema.Attributes{{Key: key, Value: num(v)}}))
}

// The dock stands by itself, so that its way has no heights to be judged.
func TestDocksOnASlope(t *testing.T) {
	tilted := func(percent, x float64, more ...func(p *plot)) func(p *plot) {
		return func(p *plot) {
			z := func(q orb.Point) float64 { return plotH + percent/100*(q[1]+20) }
			areaOf(p, "z9", "zone", z, rect(40, -30, 55, -10))
			p.add(&thing{id: "d9", role: "dock", name: "Dock nine", point: &orb.Point{x, -20}, z: raisedTo(0)}).set("heading_deg", num(90)).set("standoff_m", num(2))
			for _, draw := range more {
				draw(p)
			}
		}
	}
	// pad gives heights 1 m to both sides of the dock.
	pad := func(up float64) func(p *plot) {
		return func(p *plot) {
			pointOf(p, "m1", "mark", up, 55.5, -19)
			pointOf(p, "m2", "mark", -up, 55.5, -21)
			pointOf(p, "m3", "mark", 0, 54, -20)
		}
	}
	const says = "stands on ground that slopes"
	judgeHeights(t, []heightPlan{
		{"10.1 % beside the lawn", tilted(10.1, 55.99), heightsOpen, "", says},
		{"9.9 %", tilted(9.9, 55.99), heightsPass, "", ""},
		{"10.1 % in the lawn", tilted(10.1, 54), heightsOpen, "", says},
		{"1.01 m beside it", tilted(10.1, 56.01), heightsPass, "", ""},
		{"5.9 %, of a limit of its own", tilted(5.9, 55.5, func(p *plot) { own(p, "d9", "dock_slope_max_percent", 3) }), heightsPass, "", ""},
		{"6.1 %", tilted(6.1, 55.5, func(p *plot) { own(p, "d9", "dock_slope_max_percent", 3) }), heightsOpen, "", says},
		{"level by heights about it", tilted(14, 55.5, pad(0)), heightsPass, "", ""},
		{"as steep by heights about it", tilted(14, 55.5, pad(0.14)), heightsOpen, "", "by the heights about it"},
	})
}

// What is switched off lies on ground that is there all the same.
func TestHeightsOfWhatIsOff(t *testing.T) {
	off := func(role string, z func(orb.Point) float64, x, y float64) func(p *plot) {
		return func(p *plot) {
			areaOf(p, "o9", role, z, rect(x, y, x+3, y+3)).set("active", schema.Bool(false))
		}
	}
	judgeHeights(t, []heightPlan{
		{"a keep-out as high as the lawn", off("keepout", raisedTo(0), 25, -22), heightsPass, "", ""},
		{"one 2 m from the outline, 0.99 m up", off("keepout", raisedTo(0.99), 25, -22), heightsPass, "", ""},
		{"1.01 m up", off("keepout", raisedTo(1.01), 25, -22), heightsFail, "warning", "where it lies, switched off"},
		{"a zone that is off", off("zone", raisedTo(1.01), 25, -22), heightsFail, "warning", "where it lies, switched off"},
		{"a hazard that is off", off("hazard", raisedTo(1.01), 25, -22), heightsPass, "", ""},
		{"a mark that is off", func(p *plot) { pointOf(p, "m9", "mark", 1.01, 28, -20).set("active", schema.Bool(false)) }, heightsFail, "warning", "where it lies, switched off"},
		{"a mark that is off, 0.99 m up", func(p *plot) { pointOf(p, "m9", "mark", 0.99, 28, -20).set("active", schema.Bool(false)) }, heightsPass, "", ""},
		{"a mark that is off, 8 m in, 3.11 m up", func(p *plot) { pointOf(p, "m9", "mark", 3.11, 22, -20).set("active", schema.Bool(false)) }, heightsFail, "warning", "lies in mown ground"},
		{"3.09 m up", func(p *plot) { pointOf(p, "m9", "mark", 3.09, 22, -20).set("active", schema.Bool(false)) }, heightsPass, "", ""},
		{"a keep-out that is off beyond the lawn", off("keepout", raisedTo(9), 60, -22), heightsPass, "", ""},
	})
}
