// Tests of sizes and heights that no thing of the kind has.

package validate_test

import (
	"testing"

	"github.com/paulmach/orb"

	"swardline/schema"
	"swardline/validate"
)

// TestTooLow: trees, buildings and walls of houses a hair either side of the least.
func TestTooLow(t *testing.T) {
	tree := func(height, base float64) func(p *plot) {
		return func(p *plot) {
			x := pointOf(p, "h9", "hazard", 0, 70, 35)
			x.set("hazard_kind", schema.String("tree")).set("radius_m", num(0.2)).set("height_m", num(height))
			if base > 0 {
				x.set("crown_base_m", num(base))
			}
		}
	}
	house := func(wide, height float64) func(p *plot) {
		return func(p *plot) {
			areaOf(p, "g9", "building", flatGround, rect(70, 35, 70+wide, 35+wide)).set("height_m", num(height))
		}
	}
	wall := func(name string, height float64) func(p *plot) {
		return func(p *plot) {
			p.add(&thing{id: "e9", role: "edge", name: name, line: []orb.Point{{70, 35}, {75, 35}}, z: flatGround}).
				set("edge_kind", schema.String("wall")).set("height_m", num(height))
		}
	}
	judgeWords(t, validate.RuleGeometryUnfit, []wordCase{
		{"a tree", tree(1, 0), validate.Passed, ""},
		{"a hair lower", tree(0.99, 0), validate.Failed, "0.99 m, and none such"},
		{"its branches", tree(8, 7.99), validate.Passed, ""},
		{"as high as its top", tree(8, 8), validate.Failed, "lowest branches"},
		{"higher", tree(8, 25), validate.Failed, "lowest branches"},
		{"a house", house(5, 1.5), validate.Passed, ""},
		{"a hair lower than that", house(5, 1.49), validate.Failed, "1.49 m, and none such"},
		{"a hutch", house(3.1, 0.5), validate.Passed, ""},
		{"a hutch too large for one", house(3.2, 0.6), validate.Failed, "0.6 m, and none such"},
		{"a low hutch", house(3.1, 0.49), validate.Failed, "0.49 m, and none such"},
		{"a garden wall", wall("Garden wall", 0.2), validate.Passed, ""},
		{"a wall of a house", wall("House wall", 1.49), validate.Failed, "1.49 m, and none such"},
		{"one as high as that", wall("House wall", 1.5), validate.Passed, ""},
	})
}

// TestStripsNarrow: railways, motorways, runways and car parks by their width and as an
// area, huts as a disc, and high buildings, a hair either side of the least.
func TestStripsNarrow(t *testing.T) {
	line := func(kind string, wide float64) func(p *plot) {
		return func(p *plot) {
			x := p.add(&thing{id: "h9", role: "hazard", name: "Strip", line: []orb.Point{{70, 25}, {70, 38}}, z: flatGround})
			x.set("hazard_kind", schema.String(kind)).set("width_m", num(wide))
		}
	}
	area := func(kind string, ring []orb.Point) func(p *plot) {
		return func(p *plot) {
			areaOf(p, "h9", "hazard", flatGround, ring).set("hazard_kind", schema.String(kind))
		}
	}
	bent := func(w float64) []orb.Point { // a strip that turns a corner
		return []orb.Point{{70, 20}, {70 + w, 20}, {70 + w, 35 - w}, {80, 35 - w}, {80, 35}, {70, 35}, {70, 20}}
	}
	disc := func(kind string, radius float64) func(p *plot) {
		return func(p *plot) {
			pointOf(p, "h9", "hazard", 0, 75, 35).set("hazard_kind", schema.String(kind)).set("radius_m", num(radius))
		}
	}
	house := func(name string, wide, height float64) func(p *plot) {
		return func(p *plot) {
			a := areaOf(p, "g9", "building", flatGround, rect(70, 30, 70+wide, 36))
			a.name = name
			a.set("height_m", num(height))
		}
	}
	const says = "none such is smaller than"
	judgeWords(t, validate.RuleGeometryUnfit, []wordCase{
		{"a railway", line("railway", 2.5), validate.Passed, ""},
		{"a hair narrower", line("railway", 2.49), validate.Failed, says},
		{"a tram", line("tram track", 2.49), validate.Failed, says},
		{"light rail", line("light rail", 2.49), validate.Failed, says},
		{"two rails", line("rails", 0.51), validate.Failed, says},
		{"a rail", line("rails", 0.5), validate.Passed, ""},
		{"no rail by itself", line("railway", 0.4), validate.Failed, says},
		{"in another language", line("Anschlussgleis", 2.49), validate.Failed, says},
		{"a model", line("model railway", 0.6), validate.Passed, ""},
		{"of a park", line("park railway", 1.2), validate.Passed, ""},
		{"a guard rail", line("guard rail", 0.6), validate.Passed, ""},
		{"a motorway", line("motorway", 5), validate.Passed, ""},
		{"a narrower motorway", line("motorway", 4.99), validate.Failed, says},
		{"a highway", line("highway", 3), validate.Passed, ""},
		{"a narrower highway", line("highway", 2.99), validate.Failed, says},
		{"a runway", line("runway", 5), validate.Passed, ""},
		{"a narrower runway", line("runway", 4.99), validate.Failed, says},
		{"a lane", line("lane", 2.01), validate.Passed, ""},
		{"a car park", line("car park", 2.5), validate.Passed, ""},
		{"a narrower car park", line("car park", 2.49), validate.Failed, says},
		{"a narrower one in another language", line("Parkplatz", 2.49), validate.Failed, says},
		{"a space to park in", line("parking", 2.1), validate.Passed, ""},

		{"a railway's area", area("railway", rect(70, 20, 72.51, 38)), validate.Passed, ""},
		{"a hair narrower area", area("railway", rect(70, 20, 72.49, 38)), validate.Failed, says},
		{"one that bends", area("railway", bent(2.51)), validate.Passed, ""},
		{"a narrower one that bends", area("railway", bent(2.49)), validate.Failed, says},
		{"a car park's area", area("car park", rect(70, 20, 72.51, 23)), validate.Passed, ""},
		{"a narrower area to park on", area("car park", rect(70, 20, 72.49, 23)), validate.Failed, says},

		{"a hut", disc("hut", 0.5), validate.Passed, ""},
		{"a smaller hut", disc("hut", 0.495), validate.Failed, says},
		{"a caravan", disc("caravan", 0.495), validate.Failed, says},
		{"a kiosk", disc("kiosk", 0.495), validate.Failed, says},
		{"a bandstand", disc("bandstand", 0.495), validate.Failed, says},
		{"a bunker", disc("bunker", 0.495), validate.Failed, says},
		{"a hut's post", disc("hut post", 0.2), validate.Passed, ""},
		{"a hut for birds", disc("bird hut", 0.3), validate.Passed, ""},

		{"a part of a house", house("House 2", 0.99, 5), validate.Failed, says},
		{"a narrow house", house("House 2", 1.001, 5), validate.Passed, ""},
		{"a cupboard", house("Cupboard", 0.6, 2), validate.Passed, ""},
		{"a hair higher", house("Cupboard", 0.6, 2.01), validate.Failed, says},
		{"a wall", house("Garden wall", 0.4, 2.5), validate.Passed, ""},
		{"a chimney", house("Chimney", 0.6, 9), validate.Passed, ""},
	})
}

// TestSmallForName: keep-outs on the south lawn, hazards and buildings a hair either
// side of the least of their name.
func TestSmallForName(t *testing.T) {
	area := func(role, name string, wide, x float64) func(p *plot) {
		return func(p *plot) {
			y := -20.0
			if role != "keepout" {
				x, y = 70, 35
			}
			a := areaOf(p, "k9", role, flatGround, rect(x, y, x+wide, y+wide/2))
			a.name = name
			if role == "hazard" {
				a.set("hazard_kind", schema.String("bed"))
			}
		}
	}
	const says = "none such is smaller than"
	judgeWords(t, validate.RuleGeometryUnfit, []wordCase{
		{"a playground", area("keepout", "Playground", 2, 20), validate.Passed, ""},
		{"a hair smaller", area("keepout", "Playground", 1.99, 20), validate.Failed, says},
		{"as a hazard", area("hazard", "Playground", 1.99, 20), validate.Failed, says},
		{"at the rim of the lawn", area("keepout", "Playground", 1.99, 28.01), validate.Passed, ""},
		{"a hair within the rim", area("keepout", "Playground", 1.99, 28), validate.Failed, says},
		{"a court", area("keepout", "North tennis court 2", 7.99, 20), validate.Failed, says},
		{"a court as large", area("keepout", "North tennis court 2", 8.001, 20), validate.Passed, ""},
		{"cars", area("keepout", "Car park", 2.99, 20), validate.Failed, says},
		{"a pool", area("keepout", "Schwimmbecken", 0.99, 20), validate.Failed, says},
		{"a larger pool", area("keepout", "Schwimmbecken", 1.001, 20), validate.Passed, ""},
		{"a trampoline", area("keepout", "Trampoline", 0.79, 20), validate.Failed, says},
		{"a larger trampoline", area("keepout", "Trampoline", 0.801, 20), validate.Passed, ""},
		{"stairs", area("keepout", "Stairs", 0.499, 20), validate.Failed, says},
		{"stairs as large", area("keepout", "Stairs", 0.501, 20), validate.Passed, ""},
		{"a hedge", area("keepout", "North hedge", 0.499, 20), validate.Failed, says},
		{"trees", area("keepout", "Trees", 0.499, 20), validate.Failed, says},
		{"a tree", area("keepout", "Tree", 0.499, 20), validate.Passed, ""},
		{"a well", area("keepout", "Well", 0.399, 20), validate.Failed, says},
		{"a well as large", area("keepout", "Well", 0.401, 20), validate.Passed, ""},
		{"its drain", area("keepout", "Pool drain", 0.5, 20), validate.Passed, ""},
		{"a bird's house", area("keepout", "Bird house", 0.5, 20), validate.Passed, ""},
		{"a small pool", area("keepout", "Small pool", 0.5, 20), validate.Passed, ""},
		{"what stands by it", area("keepout", "By the pool", 0.5, 20), validate.Passed, ""},
		{"of two things", area("keepout", "Swing House", 0.5, 20), validate.Passed, ""},
		{"a house", area("building", "House", 1.99, 20), validate.Failed, says},
		{"as large as one", area("building", "House", 2.001, 20), validate.Passed, ""},
		{"an annex", area("building", "House annex", 1.5, 20), validate.Passed, ""},
	})
}

// TestWidthless: trees and sheds drawn as a line, a hair nearer and farther than the
// margin and half of the narrowest. The south lawn ends at y = -10.
func TestWidthless(t *testing.T) {
	line := func(kind string, y, width float64) func(p *plot) {
		return func(p *plot) {
			x := p.add(&thing{id: "h9", role: "hazard", name: "Row", line: []orb.Point{{3, y}, {9, y}}, z: flatGround})
			x.set("hazard_kind", schema.String(kind))
			if width > 0 {
				x.set("width_m", num(width))
			}
		}
	}
	limits := schema.DefaultLimits()
	m, _ := limits.HazardMargin("tree")
	other, _ := limits.HazardMargin("")
	road, _ := limits.HazardMargin("road")
	judgeWords(t, validate.RuleGeometryUnfit, []wordCase{
		{"trees", line("trees", -10+m+0.249, 0), validate.Failed, "without a width"},
		{"a hair farther", line("trees", -10+m+0.251, 0), validate.Passed, ""},
		{"of a width", line("trees", -10+m+0.249, 0.4), validate.Passed, ""},
		{"a shed", line("shed", -10+other+0.399, 0), validate.Failed, "without a width"},
		{"a hair farther, too", line("shed", -10+other+0.401, 0), validate.Passed, ""},
		{"a runway", line("runway", -10+road+2.499, 0), validate.Failed, "without a width"},
		{"a runway a hair farther", line("runway", -10+road+2.501, 0), validate.Passed, ""},
		{"a bus lane", line("bus lane", -10+road+0.999, 0), validate.Failed, "without a width"},
		{"a bus lane a hair farther", line("bus lane", -10+road+1.001, 0), validate.Passed, ""},
		{"the edge of a runway", line("runway edge", -10+road+0.1, 0), validate.Passed, ""},
		{"a bus of a toy", line("toy bus", -10+road+0.5, 0), validate.Passed, ""},
		{"a bird house", line("bird house", -10+other+0.1, 0), validate.Passed, ""},
		{"a fence", line("fence", -10+other+0.01, 0), validate.Passed, ""},
	})
}

// TestWaterAbove: a pond beside the south lawn, a hair either side of 0.2 m above it
// and of 3 m from it.
func TestWaterAbove(t *testing.T) {
	pond := func(kind string, above, off float64, spoil ...func(x *thing)) func(p *plot) {
		return func(p *plot) {
			x := areaOf(p, "h9", "hazard", func(pt orb.Point) float64 { return plotH + above }, rect(3, -10+off, 6, -10+off+2)).set("hazard_kind", schema.String(kind))
			for _, f := range spoil {
				f(x)
			}
		}
	}
	judgeWords(t, validate.RuleGeometryUnfit, []wordCase{
		{"level", pond("pond", 0, 1), validate.Passed, ""},
		{"a hair too little", pond("pond", 0.199, 1), validate.Passed, ""},
		{"above", pond("pond", 0.2, 1), validate.Failed, "under water"},
		{"as near as a bank", pond("river", 1, 2.99), validate.Failed, "under water"},
		{"behind a bank", pond("river", 1, 3.01), validate.Passed, ""},
		{"a pool stands above the ground", pond("swimming pool", 1, 1), validate.Passed, ""},
		{"one with a rim", pond("pond", 0.5, 1, func(x *thing) { x.set("height_m", num(0.6)) }), validate.Passed, ""},
		{"no water", pond("bench", 0.5, 1), validate.Passed, ""},
	})
}

// TestLargerThanDrawn: words of names of small discs and of trees.
func TestLargerThanDrawn(t *testing.T) {
	disc := func(name, kind string, radius float64, more ...float64) func(p *plot) {
		return func(p *plot) {
			x := pointOf(p, "h9", "hazard", 0, 70, 35)
			x.name = name
			x.set("hazard_kind", schema.String(kind))
			if radius > 0 {
				x.set("radius_m", num(radius))
			}
			for i, key := range []string{"height_m", "crown_base_m"} {
				if i < len(more) {
					x.set(key, num(more[i]))
				}
			}
		}
	}
	var cases []wordCase
	for name, kind := range map[string]string{"Bench 3": "bench", "Fence post 12": "post", "Goal post L": "post", "Wäschespinne": "post", "Torpfosten links": "post", "Lamp by the pond gate": "lamp post", "Sculpture": "sculpture",
		"Corner flag 2": "post", "Grabstein": "stone", "P12": "bench", "": "post", "Oak": "tree", "Apple 3": "tree", "Apfelbaum": "tree", "Old lime tree": "tree", "Zwetschgenbaum": "tree"} {
		cases = append(cases, wordCase{"small: " + name, disc(name, kind, 0.1), validate.Passed, ""})
	}
	for name, kind := range map[string]string{"3 benches": "bench", "Row of 5 benches": "bench", "Bike stands (10)": "bike stand", "Boulders": "boulder", "Kiosk": "post", "Volleyball net": "post", "Bombentrichter": "stump", "Kellertreppe": "railing",
		"Lichtschacht offen": "lid", "Rhododendron": "stump", "Yew": "stump", "Post with chain": "post", "Oak with guy wires": "tree", "Oak, branches to the ground": "tree", "3 Oaks": "tree", "Wäldchen": "tree", "Bush": "tree", "Haselstrauch": "tree"} {
		cases = append(cases, wordCase{"larger: " + name, disc(name, kind, 0.1), validate.Failed, "drawn 0.20 m across"})
	}
	cases = append(cases,
		wordCase{"a disc a hair too small for any name", disc("Kiosk", "post", 0.599), validate.Failed, `"kiosk"`},
		wordCase{"a disc of any name", disc("Kiosk", "post", 0.6), validate.Passed, ""},
		wordCase{"a point", disc("Kiosk", "post", 0), validate.Failed, "drawn as a point"},
		wordCase{"a spruce that says nothing of its branches", disc("Spruce", "tree", 0.2, 8), validate.Passed, ""},
		wordCase{"a spruce with its skirt", disc("Spruce", "tree", 0.2, 1.9, 0.5), validate.Passed, ""},
		wordCase{"one that its kind names as well", disc("Spruce", "spruce tree", 0.2, 2, 1.5), validate.Failed, `"spruce"`},
		wordCase{"a hair higher", disc("Spruce", "tree", 0.2, 2, 0.51), validate.Failed, `"spruce"`},
		wordCase{"an old one", disc("Spruce", "tree", 0.2, 10, 2.5), validate.Passed, ""},
		wordCase{"not so old", disc("Fichte", "tree", 0.2, 9.9, 2.5), validate.Failed, `"fichte"`},
	)
	judgeWords(t, validate.RuleWordsUnread, cases)
}
