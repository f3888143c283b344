// Falls behind kerbs, walls and fences that are lower than those, and short banks
// that lead on to water, a road or a drop.

package validate_test

import (
	"testing"

	"github.com/paulmach/orb"

	"swardline/schema"
)

// The south lawn ends at 30 east.
func edgeEast(kind string, x float64, says ...float64) func(p *plot) {
	return func(p *plot) {
		edgeOf(p, "e9", kind, raisedTo(0), orb.Point{x, -31}, orb.Point{x, -9})
		for _, h := range says {
			p.get("e9").set("height_m", num(h))
		}
	}
}

func pathEast(x, up float64) func(p *plot) {
	return func(p *plot) {
		p.add(&thing{id: "o9", role: "other", name: "Path", line: []orb.Point{{x, -31}, {x, -9}}, z: raisedTo(up)})
	}
}

func canalEast(x, up float64) func(p *plot) {
	return func(p *plot) {
		areaOf(p, "h9", "hazard", raisedTo(up), rect(x, -31, 36, -9)).set("hazard_kind", schema.String("canal"))
	}
}

func lawnEast(up float64) func(p *plot) {
	return func(p *plot) { areaOf(p, "z9", "zone", raisedTo(up), rect(30.4, -26, 40, -14)) }
}

// wallAt draws one whose own heights lie so far above the lawn.
func wallAt(up, high float64) func(p *plot) {
	return func(p *plot) { edgeEast("wall", 30.2, high)(p); p.get("e9").z = raisedTo(up) }
}

func TestFallsBehindLowWalls(t *testing.T) {
	const low, level, kerb, bank, step = "lower than the ground falls there", "only holds that up cannot be told", "a kerb keeps no machine", "where the fall begins", "steps down there"
	judgeHeights(t, []heightPlan{
		{"a wall 0.1 m high, 0.326 m of fall beyond the slope to 0.5 m off", allOf(edgeEast("wall", 30.2, 0.1), pathEast(30.5, -0.326)), heightsOpen, "", low},
		{"0.302 m", allOf(edgeEast("wall", 30.2, 0.1), pathEast(30.5, -0.302)), heightsOpen, "", low},
		{"0.298 m", allOf(edgeEast("wall", 30.2, 0.1), pathEast(30.5, -0.298)), heightsPass, "", ""},
		{"a wall 0.2 m high, 0.45 m directly behind it", allOf(edgeEast("wall", 30.2, 0.2), pathEast(30.3, -0.45)), heightsOpen, "", low},
		{"0.99 m", allOf(edgeEast("wall", 30.2, 0.2), pathEast(30.3, -0.99)), heightsOpen, "", low},
		{"as high as the fall", allOf(edgeEast("wall", 30.2, 0.99), pathEast(30.3, -0.99)), heightsOpen, "", level},
		{"lower by what heights are good for", allOf(edgeEast("wall", 30.2, 0.942), pathEast(30.3, -0.99)), heightsOpen, "", level},
		{"a hair lower", allOf(edgeEast("wall", 30.2, 0.938), pathEast(30.3, -0.99)), heightsOpen, "", low},
		{"higher by a hair less than a step", allOf(edgeEast("wall", 30.2, 1.138), pathEast(30.3, -0.99)), heightsOpen, "", level},
		{"by a hair more", allOf(edgeEast("wall", 30.2, 1.142), pathEast(30.3, -0.99)), heightsPass, "", ""},
		{"its own heights a hair more than a step above the lawn", allOf(wallAt(0.152, 0.99), pathEast(30.3, -0.99)), heightsPass, "", ""},
		{"a hair less above it", allOf(wallAt(0.148, 0.99), pathEast(30.3, -0.99)), heightsOpen, "", level},
		{"its own heights those of the lower ground", allOf(wallAt(-0.99, 1.2), pathEast(30.3, -0.99)), heightsOpen, "", "has its foot"},
		{"a wall 0.45 m high, as much of a fall 0.9 m off", allOf(edgeEast("wall", 30.2, 0.45), pathEast(30.9, -0.45)), heightsOpen, "", level},
		{"0.302 m to 0.99 m off", allOf(edgeEast("wall", 30.2, 0.3), pathEast(30.99, -0.302)), heightsOpen, "", level},
		{"0.298 m", allOf(edgeEast("wall", 30.2, 0.3), pathEast(30.99, -0.298)), heightsPass, "", ""},
		{"0.34 m to 1.01 m off, as slopes are", allOf(edgeEast("wall", 30.2, 0.3), pathEast(31.01, -0.34)), heightsPass, "", ""},
		{"a wall behind the path", allOf(edgeEast("wall", 30.95, 0.3), pathEast(30.9, -0.31)), heightsPass, "", ""},
		{"a fence that says none, 0.302 m", allOf(edgeEast("fence", 30.2), pathEast(30.9, -0.302)), heightsOpen, "", level},
		{"0.298 m, a fence", allOf(edgeEast("fence", 30.2), pathEast(30.9, -0.298)), heightsPass, "", ""},
		{"a kerb 0.4 m high, 0.43 m to 0.9 m off", allOf(edgeEast("kerb", 30.1, 0.4), pathEast(30.9, -0.43)), heightsOpen, "", kerb},
		{"a kerb that says none, 0.302 m", allOf(edgeEast("kerb", 30.1), pathEast(30.9, -0.302)), heightsOpen, "", kerb},
		{"0.298 m, a kerb", allOf(edgeEast("kerb", 30.1), pathEast(30.9, -0.298)), heightsPass, "", ""},
		{"no kerb, as slopes are", pathEast(30.9, -0.31), heightsPass, "", ""},
		{"a kerb with a drop along it", allOf(edgeEast("kerb", 30.1, 0.1), pathEast(30.9, -0.43), func(p *plot) {
			edgeOf(p, "e8", "drop", raisedTo(0), orb.Point{30.15, -31}, orb.Point{30.15, -9})
		}), heightsPass, "", ""},
		{"a kerb behind the path", allOf(edgeEast("kerb", 30.95, 0.1), pathEast(30.9, -0.31)), heightsPass, "", ""},
		{"a wall that says none", allOf(edgeEast("wall", 30.2), pathEast(30.3, -0.99)), heightsOpen, "", level},
		{"1.01 m behind one that says none", allOf(edgeEast("wall", 30.2), pathEast(30.3, -1.01)), heightsOpen, "", "only holds it up"},
		{"a fence 0.2 m high", allOf(edgeEast("fence", 30.2, 0.2), pathEast(30.3, -0.6)), heightsOpen, "", low},
		{"a fence 1 m high", allOf(edgeEast("fence", 30.2, 1), pathEast(30.3, -0.6)), heightsPass, "", ""},
		{"two walls, together as high", allOf(edgeEast("wall", 30.2, 0.2), func(p *plot) {
			edgeOf(p, "e8", "wall", raisedTo(0), orb.Point{30.25, -31}, orb.Point{30.25, -9})
			p.get("e8").set("height_m", num(0.552))
		}, pathEast(30.3, -0.6)), heightsPass, "", ""},
		{"a wall 0.2 m high with a drop along it", allOf(edgeEast("wall", 30.2, 0.2), func(p *plot) {
			edgeOf(p, "e8", "drop", raisedTo(0), orb.Point{30.3, -31}, orb.Point{30.3, -9})
		}, pathEast(30.5, -0.9)), heightsPass, "", ""},
		{"2 m off, 0.351 m beyond the slope and a wall 0.2 m high", allOf(edgeEast("wall", 31.2, 0.2), pathEast(32, -1.051)), heightsOpen, "", low},
		{"2 m off, a hair less", allOf(edgeEast("wall", 31.2, 0.2), pathEast(32, -1.049)), heightsPass, "", ""},
		{"2 m off, 0.302 m beyond the slope and the wall by the lawn", allOf(edgeEast("wall", 30.2, 0.2), pathEast(32, -1.002)), heightsOpen, "", low},
		{"2 m off, 0.302 m beyond the slope of an edge", allOf(edgeEast("wall", 30.2, 0.2), pathEast(32, -0.602)), heightsOpen, "", low},
		{"2 m off, 0.298 m", allOf(edgeEast("wall", 30.2, 0.2), pathEast(32, -0.598)), heightsPass, "", ""},
		{"3 m off behind a wall that says none", allOf(edgeEast("wall", 30.16), pathEast(33, -2.3)), heightsOpen, "", level},
		{"a wall 0.99 m off the lawn", allOf(edgeEast("wall", 30.99), pathEast(33, -2.3)), heightsOpen, "", level},
		{"1.01 m off", allOf(edgeEast("wall", 31.01), pathEast(33, -2.3)), heightsPass, "", ""},
		{"4.99 m off", allOf(edgeEast("wall", 30.16), pathEast(34.99, -1.3)), heightsOpen, "", level},
		{"5.01 m off", allOf(edgeEast("wall", 30.16), pathEast(35.01, -1.3)), heightsPass, "", ""},
		{"a kerb of 0.302 m, a path 2 m off as much lower", allOf(edgeEast("kerb", 30.2, 0.302), pathEast(32, -0.302)), heightsOpen, "", kerb},
		{"of 0.298 m", allOf(edgeEast("kerb", 30.2, 0.298), pathEast(32, -0.302)), heightsPass, "", ""},
		{"a path 0.298 m lower", allOf(edgeEast("kerb", 30.2, 0.302), pathEast(32, -0.298)), heightsPass, "", ""},
		{"a kerb that says no height, 0.602 m lower", allOf(edgeEast("kerb", 30.2), pathEast(32, -0.602)), heightsOpen, "", kerb},
		{"0.598 m", allOf(edgeEast("kerb", 30.2), pathEast(32, -0.598)), heightsPass, "", ""},
		{"a wall past the fall by a hair more than a step", allOf(edgeEast("wall", 30.16, 2.452), pathEast(33, -2.3)), heightsPass, "", ""},
		{"a hair less than that", allOf(edgeEast("wall", 30.16, 2.448), pathEast(33, -2.3)), heightsOpen, "", level},
		{"a canal behind a quay", allOf(edgeEast("wall", 30.4), canalEast(30.45, -0.98)), heightsOpen, "", level},
		{"its water 0.302 m lower", allOf(edgeEast("wall", 30.4), canalEast(30.45, -0.302)), heightsOpen, "", level},
		{"0.298 m lower", allOf(edgeEast("wall", 30.4), canalEast(30.45, -0.298)), heightsPass, "", ""},
		{"a wall 1.15 m above the water", allOf(edgeEast("wall", 30.4, 1.132), canalEast(30.45, -0.98)), heightsPass, "", ""},
		{"a lawn below, 0.302 m, behind a wall 0.1 m high", allOf(edgeEast("wall", 30.2, 0.1), lawnEast(-0.302)), heightsOpen, "", low},
		{"0.298 m, a lawn", allOf(edgeEast("wall", 30.2, 0.1), lawnEast(-0.298)), heightsPass, "", ""},
		{"behind a wall lower by what heights are good for", allOf(edgeEast("wall", 30.2, 0.352), lawnEast(-0.4)), heightsPass, "", ""},
		{"a hair lower than that", allOf(edgeEast("wall", 30.2, 0.348), lawnEast(-0.4)), heightsOpen, "", low},
		{"a lawn below, behind a wall 0.1 m high", allOf(edgeEast("wall", 30.2, 0.1), func(p *plot) { areaOf(p, "z9", "zone", raisedTo(-0.7), rect(30.4, -26, 40, -14)) }), heightsOpen, "", low},
		{"behind a wall as high", allOf(edgeEast("wall", 30.2, 0.7), func(p *plot) { areaOf(p, "z9", "zone", raisedTo(-0.7), rect(30.4, -26, 40, -14)) }), heightsPass, "", ""},
		{"a wall 0.1 m high whose foot lies 0.22 m lower, 0.1 m off", func(p *plot) { edgeEast("wall", 30.1, 0.1)(p); p.get("e9").z = raisedTo(-0.22) }, heightsOpen, "", "has its foot"},
		{"0.18 m, no step", func(p *plot) { edgeEast("wall", 30.1, 0.1)(p); p.get("e9").z = raisedTo(-0.18) }, heightsPass, "", ""},
		{"whose top is level with the lawn to what heights are good for", func(p *plot) { edgeEast("wall", 30.1, 0.172)(p); p.get("e9").z = raisedTo(-0.22) }, heightsPass, "", ""},
		{"a hair lower", func(p *plot) { edgeEast("wall", 30.1, 0.168)(p); p.get("e9").z = raisedTo(-0.22) }, heightsOpen, "", "has its foot"},
		{"a wall that says no height", func(p *plot) { edgeEast("wall", 30.1)(p); p.get("e9").z = raisedTo(-0.22) }, heightsPass, "", ""},
		{"a kerb 0.1 m high, 0.45 m behind it", allOf(edgeEast("kerb", 30.2, 0.1), pathEast(30.3, -0.45)), heightsFail, "warning", bank},
		{"a flush edge 0.5 m off, 0.326 m lower", func(p *plot) { edgeEast("flush", 30.5)(p); p.get("e9").z = raisedTo(-0.326) }, heightsOpen, "", step},
		{"0.324 m", func(p *plot) { edgeEast("flush", 30.5)(p); p.get("e9").z = raisedTo(-0.324) }, heightsPass, "", ""},
		{"a kerb whose own line lies 0.276 m lower", func(p *plot) { edgeEast("kerb", 30.3)(p); p.get("e9").z = raisedTo(-0.276) }, heightsPass, "", ""},
		{"and says that it is 0.1 m high", func(p *plot) { edgeEast("kerb", 30.3, 0.1)(p); p.get("e9").z = raisedTo(-0.276) }, heightsOpen, "", step},
		{"and says 0.12 m", func(p *plot) { edgeEast("kerb", 30.3, 0.122)(p); p.get("e9").z = raisedTo(-0.276) }, heightsPass, "", ""},
	})
}

func TestShortBanksTowardsWater(t *testing.T) {
	thing := func(kind string, x float64) func(p *plot) {
		return func(p *plot) {
			areaOf(p, "h9", "hazard", nil, rect(x, -26, x+4, -14)).set("hazard_kind", schema.String(kind))
		}
	}
	const says, bare = "leads on to a drop, water or a road", "falls at the edge of what is driven"
	judgeHeights(t, []heightPlan{
		{"0.66 m in 1.05 m, a pond behind", allOf(pathEast(31.05, -0.66), thing("pond", 32)), heightsFail, "note", says},
		{"no pond", pathEast(31.05, -0.66), heightsOpen, "", bare},
		{"a road", allOf(pathEast(31.05, -0.66), thing("road", 32)), heightsFail, "note", says},
		{"a rock", allOf(pathEast(31.05, -0.66), thing("rock", 32)), heightsOpen, "", bare},
		{"a drop", allOf(pathEast(31.05, -0.66), func(p *plot) { edgeOf(p, "d9", "drop", nil, orb.Point{32, -31}, orb.Point{32, -9}) }), heightsFail, "note", says},
		{"a drop before it", allOf(pathEast(31.05, -0.66), func(p *plot) { edgeOf(p, "d9", "drop", nil, orb.Point{30.5, -31}, orb.Point{30.5, -9}) }), heightsPass, "", ""},
		{"a step past what the slope leads", allOf(pathEast(31.05, -0.519), thing("pond", 32)), heightsFail, "note", says},
		{"a hair less", allOf(pathEast(31.05, -0.516), thing("pond", 32)), heightsPass, "", ""},
		{"a pond 4.99 m straight on", allOf(pathEast(31.05, -0.66), thing("pond", 36.04)), heightsFail, "note", says},
		{"5.01 m on", allOf(pathEast(31.05, -0.66), thing("pond", 36.07)), heightsOpen, "", bare},
		{"a wall between that stands above the lawn", allOf(pathEast(31.05, -0.66), thing("pond", 32), edgeEast("wall", 30.5, 0.9)), heightsPass, "", ""},
		{"4.99 m off", allOf(pathEast(34.99, -1.95), thing("pond", 36)), heightsFail, "note", says},
		{"5.01 m off", allOf(pathEast(35.01, -1.96), thing("pond", 36)), heightsOpen, "", bare},
		{"a limit of its own", allOf(pathEast(32, -0.56), thing("pond", 33), func(p *plot) { own(p, "z2", "slope_max_percent", 20) }), heightsFail, "note", says},
		{"the default", allOf(pathEast(32, -0.56), thing("pond", 33)), heightsPass, "", ""},
	})
}
