// One defect a file: testdata/broken holds for every rule a plan that fails it
// and one that passes, named by the rule. The plans are drawn here, in metres,
// and the figures that the failing ones must give are closed forms.

package validate_test

import (
	"bytes"
	"flag"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"sort"
	"strconv"
	"strings"
	"testing"

	"github.com/paulmach/orb"

	"swardline/convert/geojson"
	"swardline/convert/wire"
	"swardline/schema"
	"swardline/validate"
)

var update = flag.Bool("update", false, "write the plans of testdata/broken anew")

const brokenDir = "../testdata/broken"

// expect is one finding of a failing plan: rule, features by id, what is
// measured (NaN for nothing) and the area that goes with it (NaN for none).
type expect struct {
	rule     string
	features string
	measured float64
	area     float64
}

var nan = math.NaN()

// broken is a rule's pair of plans, both made from the faultless park.
type broken struct {
	fail, pass func(p *plot)
	// want are all findings of the failing plan: the rule's own and those that
	// follow from the same defect, for the reason given.
	want    []expect
	because string
	// tolerance of measured and area; 0 stands for half a millimetre.
	tolerance float64
}

// towers is a building all round the base, 2 m from it.
func towers(p *plot, height float64) *thing {
	b := *p.get("b1").point
	return &thing{id: "g9", role: "building", name: "Towers", z: flatGround, props: schema.Attributes{{Key: "height_m", Value: num(height)}},
		rings: [][]orb.Point{rect(b[0]-3, b[1]-3, b[0]+3, b[1]+3), reversed(rect(b[0]-2, b[1]-2, b[0]+2, b[1]+2))}}
}

func num(v float64) schema.Value { return schema.Float(v) }

// mastInLawn stands the base in the middle of a lawn, an outlet beside it.
func mastInLawn(p *plot) {
	p.get("b1").point = &orb.Point{20, -20}
	p.add(&thing{id: "s2", role: "supply", name: "Garden outlet", point: &orb.Point{31, -20}, z: flatGround})
}

// tilted is a ground that rises so much for every metre east and lies at plotH
// where the corridor to the south lawn ends.
func tilted(rise float64) func(orb.Point) float64 {
	return func(p orb.Point) float64 { return plotH + rise*(p[0]-15) }
}

// tiltSouth lets the south lawn, 18 m wide, rise to the east, with its path edge.
func tiltSouth(p *plot, rise float64) {
	p.get("z2").rings[0], p.get("z2").z = rect(6, -30, 24, -10), tilted(rise)
	p.get("e2").line, p.get("e2").z = []orb.Point{{6, -10}, {24, -10}}, tilted(rise)
}

// segmentArea is the area between a chord and its arc, r the radius and d the
// distance of the chord from the centre.
func segmentArea(r, d float64) float64 { return r*r*math.Acos(d/r) - d*math.Sqrt(r*r-d*d) }

// withBushes adds three bushes, and the keep-outs of their names, off them by a step.
func withBushes(p *plot, east, north float64) {
	for i, at := range []orb.Point{{9, -15}, {20, -16}, {12, -26}} {
		id, name := strconv.Itoa(7+i), "Bush "+string(rune('A'+i))
		p.add(&thing{id: "k" + id, role: "keepout", name: name, rings: [][]orb.Point{rect(at[0]-1.5, at[1]-1.5, at[0]+1.5, at[1]+1.5)}, z: flatGround})
		at = orb.Point{at[0] + east, at[1] + north}
		p.add(&thing{id: "h" + id, role: "hazard", name: name, rings: [][]orb.Point{rect(at[0]-1, at[1]-1, at[0]+1, at[1]+1)}, z: flatGround}).set("hazard_kind", schema.String("bush"))
	}
}

var brokenPlans = map[string]broken{
	"coordinate-invalid": {
		fail: func(p *plot) {
			p.grid = "EPSG:25829"
			m := p.get("m1")
			m.raw, m.point = true, &orb.Point{500000, 4.8e8}
		},
		pass: func(p *plot) { p.grid = "EPSG:25829" },
		want: []expect{{"coordinate-invalid", "m1", nan, nan}},
	},
	"axes-swapped": {
		fail: func(p *plot) {
			m := p.get("m1")
			m.raw, m.point = true, &orb.Point{plotLat, plotLon}
		},
		pass: func(p *plot) {
			m := p.get("m1")
			m.raw, m.point = true, &orb.Point{plotLon, plotLat}
		},
		want:    []expect{{"axes-swapped", "m1", nan, nan}, {"feature-far-away", "m1", chord(plotLat, plotLon), nan}},
		because: "what is swapped lies on another continent",
		// The middle of the site lies 19 m east of the origin that chord
		// measures from.
		tolerance: 20,
	},
	"feature-far-away": {
		// The mean of the sixteen driven vertices is (309.5, -20) / 16.
		fail:      func(p *plot) { p.get("m1").point = &orb.Point{309.5 / 16, 3500 - 20.0/16} },
		pass:      func(p *plot) { p.get("m1").point = &orb.Point{309.5 / 16, 2999.9 - 20.0/16} },
		want:      []expect{{"feature-far-away", "m1", 3500, nan}},
		tolerance: 0.01,
	},
	"zone-missing": {
		fail: func(p *plot) {
			p.get("z1").set("active", schema.Bool(false))
			p.get("z2").set("active", schema.Bool(false))
		},
		pass: func(p *plot) {},
		want: []expect{{"zone-missing", "", nan, nan}},
	},
	"zone-over-building": {
		fail: func(p *plot) { p.get("g1").rings[0] = rect(-3, 14, 0.5, 18) },
		pass: func(p *plot) { p.get("g1").rings[0] = rect(-3, 14, -0.15, 18) },
		want: []expect{{"zone-over-building", "z1 g1", 0.5, 0.5 * 4}},
	},
	"dock-path-blocked": {
		// The way in runs from (34, 10) to (36, 10).
		fail: func(p *plot) {
			p.add(&thing{id: "h2", role: "hazard", name: "Post", point: &orb.Point{35, 10.2}, z: flatGround}).set("hazard_kind", schema.String("post"))
		},
		pass: func(p *plot) {
			p.add(&thing{id: "h2", role: "hazard", name: "Post", point: &orb.Point{35, 10.3}, z: flatGround}).set("hazard_kind", schema.String("post"))
		},
		want: []expect{{"dock-path-blocked", "d1 h2", 0.2, nan}},
	},
	"dock-unreachable": {
		fail: func(p *plot) { secondDock(p) },
		pass: func(p *plot) {
			secondDock(p)
			p.add(&thing{id: "c3", role: "corridor", name: "South dock way", line: []orb.Point{{28.5, 5}, {31, 5}, {34, 5}}, z: flatGround})
		},
		want: []expect{{"dock-unreachable", "d2", nan, nan}},
	},
	"corridor-hairpin": {
		// Two right angles to the left 0.5 m apart; the second over that length
		// is an arc of radius 0.5 / (pi / 2).
		fail: func(p *plot) { hairpin(p, 0.5) },
		pass: func(p *plot) { hairpin(p, 0.95) },
		want: []expect{{"corridor-hairpin", "c2", 0.5 / (math.Pi / 2), nan}},
	},
	"base-height": {
		fail:      func(p *plot) { p.get("b1").z = func(orb.Point) float64 { return plotH + 158 } },
		pass:      func(p *plot) { p.get("b1").z = func(orb.Point) float64 { return plotH + 6 } },
		want:      []expect{{"base-height", "b1", 158, nan}},
		tolerance: 1e-3,
	},
	"base-frame": {
		// By PROJ 9.1.1, EPSG:7912 to EPSG:7931 at the plot and the epoch 2024.
		fail: func(p *plot) {
			p.members = append(p.members, schema.Attribute{Key: "frame", Value: schema.String("ETRF2000")})
			p.get("b1").set("frame", schema.String("ITRF2014")).set("epoch", num(2024))
		},
		pass: func(p *plot) {
			p.members = append(p.members, schema.Attribute{Key: "frame", Value: schema.String("ETRF2000")})
			p.get("b1").set("frame", schema.String("ETRF2000"))
		},
		want:      []expect{{"base-frame", "b1", 0.863462, nan}},
		tolerance: 1e-5,
	},
	"base-in-zone": {
		fail: func(p *plot) { mastInLawn(p) },
		pass: func(p *plot) {
			mastInLawn(p)
			p.add(&thing{id: "k2", role: "keepout", name: "Mast", rings: [][]orb.Point{rect(19, -21, 21, -19)}, z: flatGround})
		},
		want: []expect{{"base-in-zone", "b1 z2", nan, nan}},
	},
	"things-overlap": {
		fail: func(p *plot) {
			p.add(&thing{id: "e9", role: "edge", name: "Yard wall", line: []orb.Point{{57, 9}, {70, 9}}, z: flatGround}).set("edge_kind", schema.String("wall"))
		},
		pass: func(p *plot) { // along the outline
			p.add(&thing{id: "e9", role: "edge", name: "Yard wall", line: []orb.Point{{57, 12}, {70, 12}}, z: flatGround}).set("edge_kind", schema.String("wall"))
		},
		want: []expect{{"things-overlap", "e9 g1", 3, nan}},
	},
	"layer-shifted": {
		fail: func(p *plot) { withBushes(p, -90, 31) },
		pass: func(p *plot) { withBushes(p, 0, 0) },
		want: []expect{{"layer-shifted", "h7 h8 h9", 95.1892, nan}},
	},
	"survey-quality": {
		fail: func(p *plot) { p.get("z1").set("sigma", num(0.45)) },
		pass: func(p *plot) {
			for _, id := range []string{"z1", "z2", "b1"} {
				p.get(id).set("sigma", num(0.015)).set("fix", schema.String("fixed"))
			}
		},
		want: []expect{{"survey-quality", "z1", 0.45, nan}},
	},
	"role-missing": {
		fail: func(p *plot) { m := p.get("m1"); m.role = ""; m.set("Role", schema.String("mark")) },
		pass: func(p *plot) {},
		want: []expect{{"role-missing", "m1", nan, nan}},
	},
	"switch-unfit": {
		fail: func(p *plot) { p.get("g1").set("active", schema.Bool(false)) },
		pass: func(p *plot) {
			p.add(&thing{id: "k2", role: "keepout", name: "Tent", rings: [][]orb.Point{rect(20, -25, 23, -21)}, z: flatGround}).set("active", schema.Bool(false))
		},
		want: []expect{{"switch-unfit", "g1", nan, nan}},
	},
	"property-misnamed": {
		fail: func(p *plot) {
			p.get("h1").name = "Sculpture"
			p.get("h1").props = schema.Attributes{{Key: "hazard_kind", Value: schema.String("sculpture")}, {Key: "Radius", Value: num(0.5)}}
		},
		pass: func(p *plot) {
			p.get("h1").name = "Sculpture"
			p.get("h1").props = schema.Attributes{{Key: "hazard_kind", Value: schema.String("sculpture")}, {Key: "radius_m", Value: num(0.5)}}
		},
		want: []expect{{"property-misnamed", "h1", nan, nan}},
	},
	"property-unread": {
		fail: func(p *plot) { p.get("z1").set("closed", schema.Bool(true)) },
		pass: func(p *plot) { p.get("z1").set("owner", schema.String("the parish")) },
		want: []expect{{"property-unread", "z1", nan, nan}},
	},
	"words-unread": {
		fail: func(p *plot) { p.get("z1").name = "Trespass strip" },
		pass: func(p *plot) { p.get("z1").name = "North pond lawn 2" },
		want: []expect{{"words-unread", "z1", nan, nan}},
	},
	"name-contradicts": {
		fail: func(p *plot) {
			p.add(&thing{id: "o1", role: "other", name: "Pond", rings: [][]orb.Point{rect(20, -25, 23, -21)}, z: flatGround})
		},
		pass: func(p *plot) {
			croquet(p).set("driven_over", schema.Bool(true))
		},
		want: []expect{{"name-contradicts", "o1", nan, nan}},
	},
	"other-in-zone": {
		fail: func(p *plot) { croquet(p) },
		pass: func(p *plot) { croquet(p).set("driven_over", schema.Bool(true)) },
		want: []expect{{"other-in-zone", "o1", nan, nan}},
	},
	"ring-open": {
		fail: func(p *plot) { z := p.get("z2"); z.rings[0] = z.rings[0][:4] },
		pass: func(p *plot) {},
		want: []expect{{"ring-open", "z2", 20, nan}},
	},
	"ring-too-few-points": {
		fail: func(p *plot) {
			p.add(&thing{id: "k2", role: "keepout", name: "Post", rings: [][]orb.Point{{{20, -20}, {21, -20}, {21, -20}, {20, -20}}}, z: flatGround})
		},
		pass: func(p *plot) {
			p.add(&thing{id: "k2", role: "keepout", name: "Post", rings: [][]orb.Point{{{20, -20}, {21, -20}, {20, -19}, {20, -20}}}, z: flatGround})
		},
		want:    []expect{{"ring-too-few-points", "k2", 2, nan}, {"ring-repeated-point", "k2", 1, nan}},
		because: "a ring of four entries needs a repetition to have two points",
	},
	"ring-repeated-point": {
		fail: func(p *plot) {
			p.get("z2").rings[0] = []orb.Point{{0, -30}, {30, -30}, {30, -30}, {30, -30}, {30, -10}, {0, -10}, {0, -30}}
		},
		pass: func(p *plot) {},
		want: []expect{{"ring-repeated-point", "z2", 2, nan}},
	},
	"ring-spike": {
		fail: func(p *plot) {
			p.get("z2").rings[0] = []orb.Point{{0, -30}, {30, -30}, {30, -20}, {33, -20}, {30, -20}, {30, -10}, {0, -10}, {0, -30}}
		},
		pass: func(p *plot) {
			p.get("z2").rings[0] = []orb.Point{{0, -30}, {30, -30}, {30, -20}, {30, -10}, {0, -10}, {0, -30}}
		},
		want:    []expect{{"ring-spike", "z2", 3, nan}, {"ring-crosses-itself", "z2", 3, nan}},
		because: "OGC Simple Features calls a ring with a spike invalid",
	},
	"ring-crosses-itself": {
		// The corners of the east side exchanged: the sides cross at (15, -20).
		fail: func(p *plot) {
			p.get("z2").rings[0] = []orb.Point{{0, -30}, {30, -10}, {30, -30}, {0, -10}, {0, -30}}
		},
		pass: func(p *plot) {},
		want: []expect{{"ring-crosses-itself", "z2", 0.5 * 20 * 15, nan}},
	},
	"ring-direction": {
		fail: func(p *plot) { z := p.get("z2"); z.rings[0] = reversed(z.rings[0]) },
		pass: func(p *plot) {},
		want: []expect{{"ring-direction", "z2", nan, nan}},
	},
	"hole-outside-shell": {
		// A hole 4 m wide that reaches 2 m past the east side.
		fail: func(p *plot) { z := p.get("z2"); z.rings = append(z.rings, reversed(rect(28, -22, 32, -18))) },
		pass: func(p *plot) { z := p.get("z2"); z.rings = append(z.rings, reversed(rect(24, -22, 28, -18))) },
		want: []expect{{"hole-outside-shell", "z2", 2, nan}},
	},
	"holes-overlap": {
		fail: func(p *plot) {
			z := p.get("z2")
			z.rings = append(z.rings, reversed(rect(20, -24, 24, -20)), reversed(rect(23, -22, 27, -18)))
		},
		pass: func(p *plot) {
			z := p.get("z2")
			z.rings = append(z.rings, reversed(rect(20, -24, 24, -20)), reversed(rect(24, -20, 27, -18)))
		},
		want: []expect{{"holes-overlap", "z2", 1, 1 * 2}},
	},
	"interior-split": {
		fail: func(p *plot) {
			z := p.get("z2")
			z.rings[0] = []orb.Point{{0, -30}, {20, -30}, {30, -30}, {30, -10}, {20, -10}, {0, -10}, {0, -30}}
			z.rings = append(z.rings, []orb.Point{{20, -30}, {19, -20}, {20, -10}, {21, -20}, {20, -30}})
		},
		pass: func(p *plot) {
			z := p.get("z2")
			z.rings[0] = []orb.Point{{0, -30}, {20, -30}, {30, -30}, {30, -10}, {20, -10}, {0, -10}, {0, -30}}
			z.rings = append(z.rings, []orb.Point{{20, -30}, {19, -20}, {20, -14}, {21, -20}, {20, -30}})
		},
		want: []expect{{"interior-split", "z2", nan, nan}},
	},
	"curve-coarse": {
		fail: func(p *plot) { p.get("k1").rings[0] = circle(10, 10, 2, 8) },
		pass: func(p *plot) { p.get("k1").rings[0] = circle(10, 10, 2, 24) },
		want: []expect{{"curve-coarse", "k1", 2 * (1 - math.Cos(math.Pi/8)), nan}},
	},
	"keepout-outside-zone": {
		fail: func(p *plot) {
			p.add(&thing{id: "k2", role: "keepout", name: "Rose bed", rings: [][]orb.Point{rect(-1.5, 4, 1.5, 7)}, z: flatGround})
		},
		pass: func(p *plot) {
			p.add(&thing{id: "k2", role: "keepout", name: "Rose bed", rings: [][]orb.Point{rect(0, 4, 3, 7)}, z: flatGround})
		},
		want: []expect{{"keepout-outside-zone", "k2", 1.5, 1.5 * 3}},
	},
	"keepouts-overlap": {
		fail: func(p *plot) {
			p.add(&thing{id: "k2", role: "keepout", name: "West bed", rings: [][]orb.Point{rect(18, 4, 21, 8)}, z: flatGround})
			p.add(&thing{id: "k3", role: "keepout", name: "East bed", rings: [][]orb.Point{rect(20.5, 4, 24, 8)}, z: flatGround})
		},
		pass: func(p *plot) {
			p.add(&thing{id: "k2", role: "keepout", name: "West bed", rings: [][]orb.Point{rect(18, 4, 21, 8)}, z: flatGround})
			p.add(&thing{id: "k3", role: "keepout", name: "East bed", rings: [][]orb.Point{rect(21, 4, 24, 8)}, z: flatGround})
		},
		want: []expect{{"keepouts-overlap", "k2 k3", 0.5, 0.5 * 4}},
	},
	"zones-overlap": {
		fail: func(p *plot) {
			p.add(&thing{id: "z3", role: "zone", name: "West lawn", rings: [][]orb.Point{rect(-8, 0, 0.6, 20)}, z: flatGround})
		},
		pass: func(p *plot) {
			p.add(&thing{id: "z3", role: "zone", name: "West lawn", rings: [][]orb.Point{rect(-8, 0, 0, 20)}, z: flatGround})
		},
		want: []expect{{"zones-overlap", "z1 z3", 0.6, 0.6 * 20}},
	},
	"zone-count": {
		// A row of squares that touch, so that each is reached from the last.
		fail: func(p *plot) { manyZones(p, 21) },
		pass: func(p *plot) { manyZones(p, 20) },
		want: []expect{{"zone-count", "", 21, nan}},
	},
	"zone-split": {
		fail: func(p *plot) {
			p.add(&thing{id: "k2", role: "keepout", name: "Hedge", rings: [][]orb.Point{rect(20, -30, 21, -10)}, z: flatGround})
		},
		pass: func(p *plot) {
			p.add(&thing{id: "k2", role: "keepout", name: "Hedge", rings: [][]orb.Point{rect(20, -30, 21, -12)}, z: flatGround})
		},
		want: []expect{{"zone-split", "z2", 2, 9 * 20}},
	},
	"passage-narrow": {
		// Two lawns joined by a neck.
		fail: func(p *plot) { neck(p, 1.1) },
		pass: func(p *plot) { neck(p, 1.5) },
		want: []expect{{"passage-narrow", "z2", 1.1, 10*20 - 2*(10-0.55)}},
	},
	"hazard-uncovered": {
		fail: func(p *plot) {
			p.add(&thing{id: "h2", role: "hazard", name: "Pond", rings: [][]orb.Point{rect(20, -25, 23, -21)}, z: flatGround})
		},
		pass: func(p *plot) {
			p.add(&thing{id: "h2", role: "hazard", name: "Pond", rings: [][]orb.Point{rect(20, -25, 23, -21)}, z: flatGround})
			p.add(&thing{id: "k2", role: "keepout", name: "Pond shore", rings: [][]orb.Point{rect(19.7, -25.3, 23.3, -20.7)}, z: flatGround})
		},
		want: []expect{{"hazard-uncovered", "h2 z2", 0, 3 * 4}},
	},
	"edge-setback": {
		fail: func(p *plot) { p.get("e1").line = []orb.Point{{0, 20.05}, {30, 20.05}} },
		pass: func(p *plot) { p.get("e1").line = []orb.Point{{0, 20.15}, {30, 20.15}} },
		// Ground of the zone within 0.15 m of the wall: a strip 0.1 m wide.
		want: []expect{{"edge-setback", "z1 e1", 0.05, 30 * 0.1}},
	},
	"boundary-crossed": {
		fail:    func(p *plot) { p.get("p1").rings[0] = rect(0.4, -40, 80, 40) },
		pass:    func(p *plot) { p.get("p1").rings[0] = rect(0, -40, 80, 40) },
		want:    []expect{{"boundary-crossed", "z1 p1", 0.4, 0.4 * 20}, {"boundary-crossed", "z2 p1", 0.4, 0.4 * 20}},
		because: "both lawns lie along the same side",
	},
	"corridor-off-zone": {
		fail: func(p *plot) { p.get("c1").line[0] = orb.Point{29.6, 10} },
		pass: func(p *plot) { p.get("c1").line[0] = orb.Point{29, 10} },
		want: []expect{{"corridor-off-zone", "c1 z1", 0.4, nan}},
	},
	"corridor-off-dock": {
		fail:    func(p *plot) { p.get("c1").line[2] = orb.Point{33.2, 10} },
		pass:    func(p *plot) { p.get("c1").line[2] = orb.Point{33.7, 10} },
		want:    []expect{{"corridor-off-dock", "c1 d1", 0.8, nan}, {"zone-unreachable", "z1", nan, nan}, {"zone-unreachable", "z2", nan, nan}},
		because: "a corridor that misses the dock leads nowhere",
	},
	"corridor-through-keepout": {
		// Passes 0.1 m beside the bed: of the swept 0.3 m half width 0.2 m lies
		// in it, for the 2 m of its side.
		fail: func(p *plot) {
			p.add(&thing{id: "k2", role: "keepout", name: "Kennel", rings: [][]orb.Point{rect(15.1, -14, 17, -10)}, z: flatGround})
		},
		pass: func(p *plot) {
			p.add(&thing{id: "k2", role: "keepout", name: "Kennel", rings: [][]orb.Point{rect(15.3, -14, 17, -10)}, z: flatGround})
		},
		// The strip of 0.2 m from y = -10 to -11.5 and the round end below it.
		want: []expect{{"corridor-through-keepout", "c2 k2", 0.1, 1.5*0.2 + segmentArea(0.3, 0.1)/2}},
	},
	"corridor-narrow": {
		fail: func(p *plot) { gates(p, 1.2) },
		pass: func(p *plot) { gates(p, 1.5) },
		want: []expect{{"corridor-narrow", "c2 e3 e4", 1.2, nan}},
	},
	"zone-unreachable": {
		fail: func(p *plot) {
			p.add(&thing{id: "z3", role: "zone", name: "East lawn", rings: [][]orb.Point{rect(40, -30, 60, -10)}, z: flatGround})
		},
		pass: func(p *plot) {
			p.add(&thing{id: "z3", role: "zone", name: "East lawn", rings: [][]orb.Point{rect(40, -30, 60, -10)}, z: flatGround})
			p.add(&thing{id: "c3", role: "corridor", name: "East way", line: []orb.Point{{29, -20}, {31, -20}, {39, -20}, {41, -20}}, z: flatGround})
		},
		want: []expect{{"zone-unreachable", "z3", nan, nan}},
	},
	"dock-missing": {
		fail: func(p *plot) { p.remove("d1") },
		pass: func(p *plot) {},
		want: []expect{{"dock-missing", "", nan, nan}},
	},
	"dock-in-keepout": {
		fail: func(p *plot) {
			home(p)
			p.add(&thing{id: "k2", role: "keepout", name: "Bench", rings: [][]orb.Point{rect(24, 3.5, 27, 5.5)}, z: flatGround})
		},
		pass: func(p *plot) {
			home(p)
			p.add(&thing{id: "k2", role: "keepout", name: "Bench", rings: [][]orb.Point{rect(24, 5.3, 27, 7.3)}, z: flatGround})
		},
		want: []expect{{"dock-in-keepout", "d1 k2", 0.5, nan}},
	},
	"dock-approach": {
		// The last stretch comes in from the south-west, atan(0.5) off.
		fail: func(p *plot) { p.get("c1").line = []orb.Point{{28.5, 9}, {31, 9}, {32, 9}, {34, 10}} },
		pass: func(p *plot) { p.get("c1").line = []orb.Point{{28.5, 9}, {31, 9}, {32, 10}, {34, 10}} },
		want: []expect{{"dock-approach", "c1 d1", math.Atan(0.5) * 180 / math.Pi, nan}},
	},
	"base-missing": {
		fail: func(p *plot) { p.remove("b1") },
		pass: func(p *plot) {},
		want: []expect{{"base-missing", "", nan, nan}},
	},
	"base-range": {
		// The lawn's farthest corner is (30, -30); an outlet stands by the
		// base.
		fail: func(p *plot) { farBase(p, 480) },
		pass: func(p *plot) { farBase(p, 469) },
		want: []expect{{"base-range", "z2 b1", math.Hypot(30, 510), nan}},
	},
	"base-moved": {
		fail:      func(p *plot) { p.members = baseHistory(p, 0.5) },
		pass:      func(p *plot) { p.members = baseHistory(p, 0.01) },
		want:      []expect{{"base-moved", "b1", 0.5, nan}},
		tolerance: 1e-3,
	},
	"slope-limit": {
		fail:      func(p *plot) { tiltSouth(p, 0.4) },
		pass:      func(p *plot) { tiltSouth(p, 0.14) },
		want:      []expect{{"slope-limit", "z2", 40, nan}},
		tolerance: 2e-3,
	},
	"cable-run": {
		fail: func(p *plot) { p.get("s1").point = &orb.Point{38, 4} },
		pass: func(p *plot) { p.get("s1").point = &orb.Point{38, 5} },
		want: []expect{{"cable-run", "b1 s1", 21, nan}},
	},
	"sky-blocked": {
		// The shed's west wall 12 m east of the dock.
		fail: func(p *plot) { p.get("g1").rings[0] = rect(48, 5, 54, 12); p.get("g1").set("height_m", num(6)) },
		pass: func(p *plot) { p.get("g1").rings[0] = rect(48, 5, 54, 12) },
		want: []expect{
			{"sky-blocked", "d1 g1", elevation(6, 12), nan},
			{"sky-blocked", "d1 g1", elevation(6, 14), nan},
		},
		because: "dock and line-up point look at the same wall",
	},
	"satellites-few": {
		// Towers stand all round the base, 2 m off: nothing above 88 degrees is
		// ever there at any of the moments looked at.
		fail: func(p *plot) { p.add(towers(p, 100)) },
		pass: func(p *plot) { p.add(towers(p, 1.5)) },
		want: []expect{
			{"sky-blocked", "c1 g9", elevation(100, math.Hypot(1, 12)), nan},
			{"sky-blocked", "c2 g9", elevation(100, math.Hypot(20, 20.5)), nan},
			{"sky-blocked", "d1 g9", elevation(100, math.Hypot(1, 12)), nan},
			{"sky-blocked", "d1 g9", elevation(100, 12), nan},
			{"sky-blocked", "b1 g9", elevation(97.5, 2), nan},
			{"satellites-few", "b1", 100, nan},
		},
		because: "what hides the satellites hides the sky, of others too",
	},
	"name-missing": {
		fail: func(p *plot) { p.get("z2").name = "" },
		pass: func(p *plot) {},
		want: []expect{{"name-missing", "z2", nan, nan}},
	},
	"name-repeated": {
		fail: func(p *plot) { p.get("z2").name = " north LAWN" },
		pass: func(p *plot) { p.get("c2").name = "North lawn" },
		want: []expect{{"name-repeated", "z1 z2", nan, nan}},
	},
	"role-unknown": {
		fail: func(p *plot) { p.get("m1").role = "marks" },
		pass: func(p *plot) {},
		want: []expect{{"role-unknown", "m1", nan, nan}},
	},
	"geometry-unfit": {
		fail: func(p *plot) {
			p.add(&thing{id: "k2", role: "keepout", name: "Bed", line: []orb.Point{{20, -20}, {22, -20}, {22, -22}}, z: flatGround})
		},
		pass: func(p *plot) {
			p.add(&thing{id: "k2", role: "keepout", name: "Bed", rings: [][]orb.Point{{{20, -20}, {22, -22}, {22, -20}, {20, -20}}}, z: flatGround})
		},
		want: []expect{{"geometry-unfit", "k2", nan, nan}},
	},
	"limits-invalid": {
		fail: func(p *plot) {
			p.get("z2").set("limits", schema.Object(schema.Attributes{{Key: "passage_min", Value: num(2)}}))
		},
		pass: func(p *plot) {
			p.get("z2").set("limits", schema.Object(schema.Attributes{{Key: "passage_min_m", Value: num(2)}}))
		},
		want: []expect{{"limits-invalid", "z2", nan, nan}},
	},
	"limit-loosened": {
		fail: func(p *plot) {
			p.get("h1").set("limits", schema.Object(schema.Attributes{{Key: "hazard_margin_m", Value: num(0.01)}}))
		},
		pass: func(p *plot) {
			p.get("h1").set("limits", schema.Object(schema.Attributes{{Key: "hazard_margin_m", Value: num(0.5)}}))
		},
		want: []expect{{"limit-loosened", "h1", 0.01, nan}},
	},
}

// chord is the straight distance through the earth of WGS 84 between a place
// and the one with its two coordinates exchanged, both at the site's height:
// the difference of their geocentric coordinates.
func chord(lat, lon float64) float64 {
	const a, e2 = 6378137.0, 0.00669437999014
	xyz := func(lat, lon float64) [3]float64 {
		s, c := math.Sincos(lat * math.Pi / 180)
		sl, cl := math.Sincos(lon * math.Pi / 180)
		nu := a / math.Sqrt(1-e2*s*s)
		return [3]float64{(nu + plotH + 2.5) * c * cl, (nu + plotH + 2.5) * c * sl, (nu*(1-e2) + plotH + 2.5) * s}
	}
	p, q := xyz(lat, lon), xyz(lon, lat)
	return math.Sqrt((p[0]-q[0])*(p[0]-q[0]) + (p[1]-q[1])*(p[1]-q[1]) + (p[2]-q[2])*(p[2]-q[2]))
}

// secondDock puts another dock 5 m south of the first.
func secondDock(p *plot) {
	p.add(&thing{id: "d2", role: "dock", name: "South dock", point: &orb.Point{36, 5}, z: flatGround}).
		set("heading_deg", schema.Int(90)).set("standoff_m", schema.Int(2))
}

// hairpin leads the path crossing back on itself, its legs so far apart.
func hairpin(p *plot, apart float64) {
	p.get("c2").line = []orb.Point{{15, 1.5}, {15, -1}, {15, -6}, {15 + apart, -6}, {15 + apart, -4}, {18, -4}, {18, -9}, {18, -11.5}}
}

func elevation(up, off float64) float64 { return math.Atan2(up, off) * 180 / math.Pi }

// manyZones fills up with squares in a row, each touching the next.
func manyZones(p *plot, total int) {
	for i := 2; i < total; i++ {
		x := 30 + 2*float64(i-2)
		p.add(&thing{id: fmt.Sprintf("q%d", i), role: "zone", name: fmt.Sprintf("Square %d", i), rings: [][]orb.Point{rect(x, -30, x+2, -28)}, z: flatGround})
	}
}

// neck draws the south lawn as two lawns between which two wedges leave a neck
// so wide.
func neck(p *plot, width float64) {
	h := width / 2
	p.get("z2").rings[0] = []orb.Point{
		{0, -30}, {18, -30}, {20, -20 - h}, {22, -30}, {30, -30},
		{30, -10}, {22, -10}, {20, -20 + h}, {18, -10}, {0, -10}, {0, -30},
	}
}

// farBase puts the base so far north, and an outlet beside it.
func farBase(p *plot, north float64) {
	p.get("b1").point = &orb.Point{0, north}
	p.add(&thing{id: "s2", role: "supply", name: "Mast outlet", point: &orb.Point{0, north - 5}, z: flatGround})
}

// gates puts two fences beside the path crossing, so far apart.
func gates(p *plot, width float64) {
	for i, side := range [...]float64{-1, 1} {
		x := 15 + side*width/2
		p.add(&thing{id: fmt.Sprintf("e%d", 3+i), role: "edge", name: []string{"West fence", "East fence"}[i],
			line: []orb.Point{{x, -3}, {x, -7}}, z: flatGround}).set("edge_kind", schema.String("fence"))
	}
}

// home moves the dock onto the north lawn, where no corridor leads, and gives
// the south lawn its way from there.
func home(p *plot) {
	p.get("d1").point = &orb.Point{25, 5}
	p.remove("c1")
}

func TestBroken(t *testing.T) {
	for _, rule := range validate.RulesOf(validate.CommandCheck) {
		b, ok := brokenPlans[rule.Name]
		if !ok {
			t.Errorf("%s has no pair of plans", rule.Name)
			continue
		}
		t.Run(rule.Name, func(t *testing.T) {
			fail, pass := park(), park()
			b.fail(fail)
			b.pass(pass)
			failed := check(t, rule.Name+".fail.geojson", fail)
			passed := check(t, rule.Name+".pass.geojson", pass)
			if o := passed.Outcome(rule.Name); o.Outcome != validate.Passed {
				t.Errorf("the passing plan: %s (%s)", o.Outcome, o.Reason)
			}
			for _, f := range passed.Findings {
				t.Errorf("the passing plan has a finding: %s", show(f))
			}
			if o := failed.Outcome(rule.Name); o.Outcome != validate.Failed {
				t.Errorf("the failing plan: %s (%s)", o.Outcome, o.Reason)
			}
			compare(t, failed.Findings, b)
		})
	}
}

// drawn reads a plan of testdata/broken, which must be what p draws.
func drawn(t *testing.T, name string, p *plot) *schema.Plan {
	t.Helper()
	path := filepath.Join(brokenDir, name)
	if *update {
		if err := os.WriteFile(path, p.geoJSON(), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	data, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	if !bytes.Equal(data, p.geoJSON()) {
		t.Errorf("%s is not what is drawn here; run the test with -update", name)
	}
	plan, _, err := geojson.Read(data, wire.ReadOptions{Name: name})
	if err != nil {
		t.Fatal(err)
	}
	return plan
}

// check reads a plan of testdata/broken and proves it.
func check(t *testing.T, name string, p *plot) *validate.Report {
	t.Helper()
	plan := drawn(t, name, p)
	return validate.Check(plan, schema.DefaultLimits())
}

func show(f validate.Finding) string {
	return fmt.Sprintf("%s [%s] %s (measured %.5f, area %.5f)", f.Rule, ids(f), f.Message, f.Measured, f.AreaM2)
}

func ids(f validate.Finding) string {
	var out []string
	for _, x := range f.Features {
		out = append(out, x.ID.Text())
	}
	return strings.Join(out, " ")
}

func compare(t *testing.T, got []validate.Finding, b broken) {
	t.Helper()
	tolerance := b.tolerance
	if tolerance == 0 {
		tolerance = 5e-4
	}
	want := append([]expect(nil), b.want...)
	key := func(rule, features string, measured float64) string {
		return fmt.Sprintf("%s|%s|%020.3f", rule, features, measured)
	}
	sort.Slice(want, func(i, j int) bool {
		return key(want[i].rule, want[i].features, want[i].measured) < key(want[j].rule, want[j].features, want[j].measured)
	})
	sort.Slice(got, func(i, j int) bool {
		return key(got[i].Rule, ids(got[i]), got[i].Measured) < key(got[j].Rule, ids(got[j]), got[j].Measured)
	})
	if len(got) != len(want) {
		t.Errorf("%d findings, want %d", len(got), len(want))
	}
	for i := 0; i < len(got) && i < len(want); i++ {
		g, w := got[i], want[i]
		if g.Rule != w.rule || ids(g) != w.features || !near(g.Measured, w.measured, tolerance) || !near(g.AreaM2, w.area, 40*tolerance) {
			t.Errorf("got  %s\nwant %s [%s] measured %.5f area %.5f", show(g), w.rule, w.features, w.measured, w.area)
		}
	}
	for i := len(want); i < len(got); i++ {
		t.Errorf("too many: %s", show(got[i]))
	}
	for i := len(got); i < len(want); i++ {
		t.Errorf("missing: %+v", want[i])
	}
	if len(b.want) > 1 && b.because == "" {
		t.Error("more than one finding is wanted and no reason given")
	}
}

func near(got, want, tolerance float64) bool {
	if math.IsNaN(want) || math.IsNaN(got) {
		return math.IsNaN(want) == math.IsNaN(got)
	}
	return math.Abs(got-want) <= tolerance
}

// TestBrokenHoldsNothingElse: every rule has its two files, and every file its
// rule.
func TestBrokenHoldsNothingElse(t *testing.T) {
	files, err := os.ReadDir(brokenDir)
	if err != nil {
		t.Fatal(err)
	}
	there := map[string]bool{}
	for _, f := range files {
		there[f.Name()] = true
	}
	for _, rule := range validate.Rules {
		if rule.Command == validate.CommandPlace {
			continue // it judges the marks of a fit, which are no plan
		}
		for _, ending := range [...]string{"fail", "pass"} {
			name := rule.Name + "." + ending + ".geojson"
			if !there[name] {
				t.Errorf("%s is missing", name)
			}
			delete(there, name)
		}
	}
	for name := range there {
		t.Errorf("%s is named after no rule", name)
	}
}

// baseHistory is a history whose newest entry has the base so many metres south
// of where it is drawn. A degree of latitude is M pi/180 long there, with the
// meridian radius M = a (1-e2) / (1-e2 sin2 lat)^1.5 of WGS 84.
func baseHistory(p *plot, off float64) []schema.Attribute {
	const a, e2 = 6378137.0, 0.00669437999014
	at := p.get("b1").point
	s := math.Sin(plotLat * math.Pi / 180)
	m := a * (1 - e2) / math.Pow(1-e2*s*s, 1.5)
	nu := a / math.Sqrt(1-e2*s*s)
	lon := plotLon + at[0]/((nu+plotH)*math.Cos(plotLat*math.Pi/180))*180/math.Pi
	lat := plotLat + (at[1]-off)/(m+plotH)*180/math.Pi
	entry := schema.Attributes{
		{Key: "date", Value: schema.String("2026-03-01")},
		{Key: "kind", Value: schema.String("record")},
		{Key: "stored", Value: schema.List(num(lon), num(lat), num(plotH+2.5))},
	}
	return []schema.Attribute{{Key: "history", Value: schema.List(schema.Object(entry))}}
}

// A tree under a keep-out is quiet once the keep-out reaches the margin past
// its trunk, and not before.
func TestTreeCoveredByTheMargin(t *testing.T) {
	for _, c := range []struct {
		half float64 // of the square keep-out
		want float64 // from the trunk to mown ground, 0 for no finding
	}{{0.5, 0.5 - 0.3}, {0.59, 0.59 - 0.3}, {0.61, 0}} {
		p := park()
		p.add(&thing{id: "h2", role: "hazard", name: "Tree", point: &orb.Point{20, -23}, z: flatGround}).set("radius_m", schema.Float(0.3)).set("hazard_kind", schema.String("tree"))
		p.add(&thing{id: "k2", role: "keepout", name: "Tree square", rings: [][]orb.Point{rect(20-c.half, -23-c.half, 20+c.half, -23+c.half)}, z: flatGround})
		r := validate.Check(p.plan(t), schema.DefaultLimits())
		got := 0.0
		for _, x := range r.Findings {
			if x.Rule == "hazard-uncovered" {
				got = x.Measured
				if x.Severity != validate.Warning {
					t.Errorf("half side %g: severity %v", c.half, x.Severity)
				}
			}
		}
		if math.Abs(got-c.want) > 1e-3 {
			t.Errorf("half side %g: %.4f m to mown ground, want %.4f", c.half, got, c.want)
		}
	}
}

// wideDock puts the dock of a machine 1 m wide beside the way into the first.
func wideDock(p *plot, north float64) {
	secondDock(p)
	p.get("d2").point = &orb.Point{35, north}
	p.get("d2").set("limits", schema.Object(schema.Attributes{{Key: "machine_width_m", Value: num(1)}}))
}
