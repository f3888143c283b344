// Layers that lie off the rest.

package validate_test

import (
	"math"
	"strconv"
	"strings"
	"testing"

	"github.com/paulmach/orb"

	"swardline/schema"
	"swardline/validate"
)

// moved are points a step off.
func moved(at []orb.Point, east, north float64) []orb.Point {
	out := make([]orb.Point, len(at))
	for i, p := range at {
		out[i] = orb.Point{p[0] + east, p[1] + north}
	}
	return out
}

// layerTold is what layer-shifted says of a plan, "" for nothing.
func layerTold(t *testing.T, p *plot) (says string, severity validate.Severity) {
	for _, f := range validate.Check(p.plan(t), schema.DefaultLimits()).Findings {
		if f.Rule == validate.RuleLayerShifted {
			return f.Message, f.Severity
		}
	}
	return "", ""
}

func TestLayersByShape(t *testing.T) {
	ell := []orb.Point{{100, 0}, {120, 0}, {120, 9}, {109, 9}, {109, 16}, {100, 16}, {100, 0}}
	bend := []orb.Point{{100, 0}, {120, 0}, {120, 9}, {109, 9}}
	bow := []orb.Point{{100, 0}, {106, 1}, {112, 3}, {118, 6}}
	for _, x := range []struct {
		name     string
		role     string
		line     []orb.Point
		east     float64
		north    float64
		told     validate.Severity
		distance string
	}{
		{"a kerb at its lawn", "edge", ell, 0, 0, "", ""},
		{"within twice sigma", "edge", ell, 0.1, 0, "", ""},
		{"a hair beyond", "edge", ell, 0.102, 0, validate.Warning, "0.10"},
		{"half a metre off", "edge", ell, 0.3, -0.4, validate.Warning, "0.30 m east and 0.40 m south"},
		{"in another datum", "edge", ell, -80, 60, validate.Warning, "80.00 m west and 60.00 m north"},
		{"a stretch of an outline", "edge", bend, 40, 0, validate.Warning, "40.00 m east"},
		{"what is only drawn", "other", ell, 35, -28, validate.Warning, "35.00 m east"},
		{"too few corners", "edge", bend[:3], 40, 0, "", ""},
		{"hardly a bend", "edge", bow, 0, 5, "", ""},
	} {
		t.Run(x.name, func(t *testing.T) {
			p := park()
			p.add(&thing{id: "z9", role: "zone", name: "Lawn", rings: [][]orb.Point{append(append([]orb.Point{}, ell[:6]...), ell[0])}, z: flatGround})
			p.add(&thing{id: "z8", role: "zone", name: "Meadow", rings: [][]orb.Point{{{100, -40}, {106, -39}, {112, -37}, {118, -34}, {118, -20}, {100, -20}, {100, -40}}}, z: flatGround})
			f := p.add(&thing{id: "e9", role: x.role, name: "", line: moved(x.line, x.east, x.north), z: flatGround})
			if x.role == "edge" {
				f.set("edge_kind", schema.String("flush"))
			}
			says, severity := layerTold(t, p)
			if severity != x.told || !strings.Contains(says, x.distance) {
				t.Errorf("%s %q, want %s %q", severity, says, x.told, x.distance)
			}
		})
	}
}

// A rectangle that is only drawn is the lawn by its name, and a terrace of its size is
// not; a second court with its fence is one of its own.
func TestLayersOfRectangles(t *testing.T) {
	court := rect(100, 0, 124, 11)
	for _, x := range []struct {
		name, of string
		inside   bool
		east     float64
		role     string
		told     validate.Severity
	}{
		{"Lawn", "other of the lawn's name", false, 35, "other", validate.Warning},
		{"Grass", "other called grass", false, 35, "other", validate.Warning},
		{"Terrace", "a terrace as large", false, 35, "other", ""},
		{"Fence", "a fence elsewhere", false, 40, "edge", validate.Warning},
		{"Fence", "a fence round another court", true, 40, "edge", ""},
	} {
		t.Run(x.of, func(t *testing.T) {
			p := park()
			p.add(&thing{id: "z9", role: "zone", name: "Lawn", rings: [][]orb.Point{court}, z: flatGround})
			ring := moved(court, x.east, 20)
			if x.role == "edge" {
				p.add(&thing{id: "e9", role: "edge", name: x.name, line: ring, z: flatGround}).set("edge_kind", schema.String("fence"))
			} else {
				p.add(&thing{id: "o9", role: "other", name: x.name, rings: [][]orb.Point{ring}, z: flatGround})
			}
			if x.inside {
				p.add(&thing{id: "o8", role: "other", name: "Hard court", rings: [][]orb.Point{rect(141, 21, 163, 30)}, z: flatGround})
			}
			if says, severity := layerTold(t, p); severity != x.told {
				t.Errorf("%s %q, want %s", severity, says, x.told)
			}
		})
	}
}

// Fences are set a little off what they belong to: to 1.5 m that is its shape, clear of
// it and 10 m away.
func TestLayersRoughly(t *testing.T) {
	lawn := rect(100, 0, 130, 20)
	for _, x := range []struct {
		name        string
		out         float64
		east, north float64
		told        validate.Severity
	}{
		{"round the lawn", 1, 0, 0, ""},
		{"elsewhere", 1, 80, -60, validate.Note},
		{"at the limit", 1.06, 80, -60, validate.Note},
		{"a hair past it", 1.0625, 80, -60, ""},
	} {
		t.Run(x.name, func(t *testing.T) {
			p := park()
			p.add(&thing{id: "z9", role: "zone", name: "Lawn", rings: [][]orb.Point{lawn}, z: flatGround})
			p.add(&thing{id: "e9", role: "edge", name: "Fence", line: moved(rect(100-x.out, -x.out, 130+x.out, 20+x.out), x.east, x.north), z: flatGround}).set("edge_kind", schema.String("fence"))
			if says, severity := layerTold(t, p); severity != x.told {
				t.Errorf("%s %q, want %s", severity, says, x.told)
			}
			if p.get("m1").point = (&orb.Point{115 + x.east, 10 + x.north}); x.told == validate.Note {
				if _, severity := layerTold(t, p); severity != x.told {
					t.Error("a mark within hides it")
				}
				p.add(&thing{id: "o9", role: "other", name: "Yard", rings: [][]orb.Point{rect(110+x.east, 5+x.north, 120+x.east, 15+x.north)}, z: flatGround})
				if says, _ := layerTold(t, p); says != "" {
					t.Errorf("a fence round something: %q", says)
				}
			}
		})
	}
}

func TestMarksByShape(t *testing.T) {
	corners := []orb.Point{{100, 0}, {130, 0}, {134, 20}, {100, 26}}
	for _, x := range []struct {
		name string
		east float64
		n    int
		last orb.Point // added to the last mark
		told validate.Severity
	}{
		{"at the corners", 0, 4, orb.Point{}, ""},
		{"within twice sigma", 0.1, 4, orb.Point{}, ""},
		{"a hair beyond", 0.102, 4, orb.Point{}, validate.Warning},
		{"one of them is another's", 22, 4, orb.Point{3, 3}, validate.Warning},
		{"three", 22, 3, orb.Point{}, validate.Warning},
		{"one of three is another's", 22, 3, orb.Point{3, 3}, ""},
		{"two of five are", 22, 5, orb.Point{3, 3}, ""},
		{"two", 22, 2, orb.Point{}, ""},
		{"one a metre off, elsewhere", 60, 4, orb.Point{-1, -1}, validate.Warning},
	} {
		t.Run(x.name, func(t *testing.T) {
			p := park()
			p.remove("m1")
			p.add(&thing{id: "z9", role: "zone", name: "Lawn", rings: [][]orb.Point{append(append([]orb.Point{}, corners...), corners[0])}, z: flatGround})
			marks := append(moved(corners, x.east, 0), orb.Point{150, 60})[:x.n]
			for i, at := range marks {
				if i == x.n-1 || i == x.n-2 && x.n == 5 {
					at[0], at[1] = at[0]+x.last[0], at[1]+x.last[1]
				}
				p.add(&thing{id: "m" + strconv.Itoa(6+i), role: "mark", name: "P" + strconv.Itoa(i), point: &at, z: flatGround})
			}
			if says, severity := layerTold(t, p); severity != x.told {
				t.Errorf("%s %q, want %s", severity, says, x.told)
			}
		})
	}
}

func TestLayersByName(t *testing.T) {
	type at = []orb.Point
	three := at{{100, 0}, {120, 5}, {108, 18}}
	turned := func(by, scale float64) at {
		out := make(at, len(three))
		for i, p := range three {
			s, c := math.Sincos(by * math.Pi / 180)
			out[i] = orb.Point{100 + scale*(c*(p[0]-100)-s*(p[1]-0)), scale * (s*(p[0]-100) + c*(p[1]-0))}
		}
		return out
	}
	for _, x := range []struct {
		name   string
		keep   at
		things at
		told   validate.Severity
		says   string
	}{
		{"where they are", three, three, "", ""},
		{"a little off", three, moved(three, 0.29, 0), "", ""},
		{"by 0.3 m", three, moved(three, 0.301, 0), validate.Note, "0.30 m east"},
		{"by 3 m", three, moved(three, 0, 3.001), validate.Warning, "3.00 m north"},
		{"in another datum", three, moved(three, -80, -60), validate.Warning, "80.00 m west and 60.00 m south"},
		{"each drawn a little otherwise", three, at{{101.1, 0}, {120.9, 5}, {109, 18.2}}, validate.Note, ""},
		{"each by another step", three, at{{101, 0}, {120, 6}, {107, 18}}, "", ""},
		{"two, by 10 m", three[:2], moved(three[:2], 10.01, 0), validate.Note, ""},
		{"two, by less", three[:2], moved(three[:2], 9.9, 0), "", ""},
		{"feet", three, turned(0, 3.2808), validate.Warning, "0.3048 times as large"},
		{"turned", three, turned(30, 1), validate.Warning, "turned by -30.0 deg"},
		{"turned by less than counts", three, turned(0.9, 1), "", ""},
	} {
		t.Run(x.name, func(t *testing.T) {
			p := park()
			p.add(&thing{id: "z9", role: "zone", name: "Lawn", rings: [][]orb.Point{rect(80, -20, 150, 45)}, z: flatGround})
			for i, k := range x.keep {
				name, id := "Bush "+string(rune('A'+i)), strconv.Itoa(20+i)
				h := x.things[i]
				p.add(&thing{id: "k" + id, role: "keepout", name: name, rings: [][]orb.Point{rect(k[0]-1.5, k[1]-1.5, k[0]+1.5, k[1]+1.5)}, z: flatGround})
				p.add(&thing{id: "h" + id, role: "hazard", name: strings.ToUpper(name), rings: [][]orb.Point{rect(h[0]-1, h[1]-1, h[0]+1, h[1]+1)}, z: flatGround}).set("hazard_kind", schema.String("bush"))
			}
			says, severity := layerTold(t, p)
			if severity != x.told || !strings.Contains(says, x.says) {
				t.Errorf("%s %q, want %s %q", severity, says, x.told, x.says)
			}
		})
	}
}
