// Openings that a corridor goes through: ends that stand staggered, lines that
// it crosses in a slant, bends
// within.

package validate_test

import (
	"math"
	"testing"

	"github.com/paulmach/orb"

	"swardline/schema"
	"swardline/validate"
)

// TestOpeningsACorridorGoesThrough: the corridor runs south along 15 m east and
// crosses what is drawn at 5 m south. Each opening is held at the limit and 2 mm
// either side of it; one in line with what it lies in by its width across the
// corridor.
func TestOpeningsACorridorGoesThrough(t *testing.T) {
	line := func(p *plot, id, role, key, kind string, pts ...orb.Point) {
		p.add(&thing{id: id, role: role, name: id, line: pts, z: flatGround}).set(key, schema.String(kind))
	}
	// off is the place so far to the left (negative) or right of the corridor's
	// crossing, on a line that the corridor meets at so many degrees.
	off := func(along, deg float64) orb.Point {
		s, c := math.Sincos((90 - deg) * math.Pi / 180)
		return orb.Point{15 + along*c, -5 + along*s}
	}
	split := func(role, key, kind string, deg, stagger float64) func(p *plot, wide float64) {
		return func(p *plot, wide float64) {
			half := wide / 2 / math.Sin(deg*math.Pi/180)
			if stagger > 0.6 { // 25 degrees
				half = math.Sqrt(wide*wide-stagger*stagger) / 2
			}
			for k, id := range []string{"e8", "e9"} {
				side := float64(2*k - 1)
				a, b := off(side*half, deg), off(side*(half+3), deg)
				a[1], b[1] = a[1]+side*stagger/2, b[1]+side*stagger/2
				line(p, id, role, key, kind, a, b)
			}
		}
	}
	opened := func(kind, by string, deg float64) func(p *plot, wide float64) {
		return func(p *plot, wide float64) {
			line(p, "e8", "edge", "edge_kind", kind, off(-8, deg), off(8, deg))
			half := wide / 2 / math.Sin(deg*math.Pi/180)
			line(p, "e9", "edge", "edge_kind", by, off(-half, deg), off(half, deg))
		}
	}
	bent := func(deg float64) func(p *plot, wide float64) {
		return func(p *plot, wide float64) {
			s, c := math.Sincos(deg * math.Pi / 180)
			p.get("c2").line = []orb.Point{{15, 1.5}, {15, -1}, {15, -5}, {15 + 2*s, -5 - 2*c}, {15, -9}, {15, -11.5}}
			split("edge", "edge_kind", "wall", 90, 0)(p, wide)
		}
	}
	for _, x := range []struct {
		name string
		draw func(p *plot, wide float64)
	}{
		{"kerbs that end opposite one another", split("edge", "edge_kind", "kerb", 90, 0)},
		{"kerbs staggered by 1 cm", split("edge", "edge_kind", "kerb", 90, 0.01)},
		{"kerbs staggered by 0.9 m", split("edge", "edge_kind", "kerb", 90, 0.9)},
		{"walls staggered by 0.5 m", split("edge", "edge_kind", "wall", 90, 0.5)},
		{"drops staggered by 2 cm", split("edge", "edge_kind", "drop", 90, 0.02)},
		{"hedges staggered by 0.5 m", split("hazard", "hazard_kind", "hedge", 90, 0.5)},
		{"a fence crossed at 80 degrees", split("edge", "edge_kind", "fence", 80, 0)},
		{"a fence crossed at 45 degrees", split("edge", "edge_kind", "fence", 45, 0)},
		{"a gate in a fence crossed at 60 degrees", opened("fence", "gate", 60)},
		{"a ramp in a kerb crossed at 45 degrees", opened("kerb", "ramp", 45)},
		{"a gate in a fence crossed at 30 degrees", opened("fence", "gate", 30)},
		{"a gate in a wall crossed at 16 degrees", opened("wall", "gate", 16)},
		{"a gate in a wall 0.3 m thick crossed at 45 degrees", func(p *plot, wide float64) {
			opened("wall", "gate", 45)(p, wide+0.3*math.Sqrt2/2)
			p.get("e8").set("width_m", num(0.3))
		}},
		{"two sheds in a row, crossed at 45 degrees", func(p *plot, wide float64) {
			half := wide / 2 / math.Sin(math.Pi/4)
			for k, id := range []string{"g8", "g9"} {
				s := float64(2*k - 1)
				a, b := off(s*half, 45), off(s*(half+3), 45)
				p.add(&thing{id: id, role: "building", name: id, z: flatGround, rings: [][]orb.Point{{a, b, {b[0] + 0.0003, b[1] - 0.0003}, {a[0] + 0.0003, a[1] - 0.0003}, a}}}).set("height_m", num(0.1))
			}
		}},
		{"a corridor that bends by 10 degrees in the opening", bent(10)},
		{"a corridor that bends by 60 degrees in the opening", bent(60)},
		{"corners of two sheds, staggered", func(p *plot, wide float64) {
			half := math.Sqrt(wide*wide-0.25) / 2
			for k, id := range []string{"g8", "g9"} {
				s := float64(2*k - 1)
				x, y := 15+s*half, -5+s*0.25
				p.add(&thing{id: id, role: "building", name: id, z: flatGround, rings: [][]orb.Point{{{x, y}, {x + s, y + 2}, {x + 2*s, y}, {x + s, y - 2}, {x, y}}}}).set("height_m", num(0.1))
			}
		}},
	} {
		for _, more := range []float64{-0.2, -0.002, 0, 0.002} {
			p := park()
			x.draw(p, 1.5+more)
			r := validate.Check(p.plan(t), schema.DefaultLimits())
			got := math.NaN()
			for _, f := range r.Findings {
				if f.Rule == validate.RuleCorridorNarrow && f.Limit == 1.5 {
					got = f.Measured
				}
			}
			if told := !math.IsNaN(got); told != (more < 0) || told && !(math.Abs(got-1.5-more) <= 0.0007) { // a strip is drawn a hair too wide
				t.Errorf("%s, %.3f m: measured %.4f", x.name, 1.5+more, got)
			}
		}
	}
}

// TestNothingAcrossACorridor: what stands on one side of a corridor only, or
// behind its end, narrows nothing.
func TestNothingAcrossACorridor(t *testing.T) {
	kerb := func(pts ...orb.Point) func(p *plot) {
		return func(p *plot) {
			p.add(&thing{id: "e9", role: "edge", name: "Kerb", line: pts, z: flatGround}).set("edge_kind", schema.String("kerb"))
		}
	}
	way := func(pts ...orb.Point) func(p *plot) { return func(p *plot) { p.get("c2").line = pts } }
	for _, x := range []struct {
		name string
		draw []func(p *plot)
	}{
		{"a kerb beside it and on behind its end", []func(p *plot){kerb(orb.Point{13, 2}, orb.Point{15.5, 2}, orb.Point{15.5, -4})}},
		{"a kerb beside it and another behind its end", []func(p *plot){kerb(orb.Point{15.5, 1}, orb.Point{15.5, -4}), func(p *plot) {
			p.add(&thing{id: "e8", role: "edge", name: "Other", line: []orb.Point{{13, 2}, {14.5, 1.8}}, z: flatGround}).set("edge_kind", schema.String("kerb"))
		}}},
		{"a kerb whose end it goes round", []func(p *plot){kerb(orb.Point{15.5, 3}, orb.Point{15.5, -4}), way(orb.Point{15, 1.5}, orb.Point{15, -4.5}, orb.Point{16, -4.5}, orb.Point{16, 1.5})}},
		{"a corner of a kerb that it runs round within", []func(p *plot){kerb(orb.Point{14.6, 1}, orb.Point{14.6, -5.4}, orb.Point{22, -5.4}), way(orb.Point{15, 1.5}, orb.Point{15, -5}, orb.Point{24, -5}, orb.Point{24, -11.5})}},
		{"the same cut", []func(p *plot){kerb(orb.Point{14.6, 1}, orb.Point{14.6, -5.4}, orb.Point{22, -5.4}), way(orb.Point{15, 1.5}, orb.Point{15, -4}, orb.Point{16, -5}, orb.Point{24, -5}, orb.Point{24, -11.5})}},
		{"kerbs along it, 4 m one after the other", []func(p *plot){kerb(orb.Point{14.3, 1}, orb.Point{14.3, -3}), func(p *plot) {
			p.add(&thing{id: "e8", role: "edge", name: "Other", line: []orb.Point{{15.7, -7}, {15.7, -9}}, z: flatGround}).set("edge_kind", schema.String("kerb"))
		}}},
		{"round beds, 3 m one after the other", []func(p *plot){func(p *plot) {
			for k, id := range []string{"k8", "k9"} {
				s := float64(2*k - 1)
				p.add(&thing{id: id, role: "keepout", name: id, rings: [][]orb.Point{circle(15+1.6*s, -5+1.5*s, 1, 24)}, z: flatGround})
			}
		}}},
		{"a gate that it runs along and past", []func(p *plot){kerb(orb.Point{15.6, 1}, orb.Point{15.6, -2}), func(p *plot) {
			p.add(&thing{id: "e8", role: "edge", name: "Other", line: []orb.Point{{15.6, -4}, {15.6, -9}}, z: flatGround}).set("edge_kind", schema.String("kerb"))
		}}},
		{"kerbs one after the other", []func(p *plot){kerb(orb.Point{14.6, 1}, orb.Point{14.6, -4}), func(p *plot) {
			p.add(&thing{id: "e8", role: "edge", name: "Other", line: []orb.Point{{15.4, -5.3}, {15.4, -9}}, z: flatGround}).set("edge_kind", schema.String("kerb"))
		}}},
	} {
		p := park()
		for _, d := range x.draw {
			d(p)
		}
		if o := validate.Check(p.plan(t), schema.DefaultLimits()).Outcome(validate.RuleCorridorNarrow); o.Outcome != validate.Passed {
			t.Errorf("%s: %s (%s)", x.name, o.Outcome, o.Reason)
		}
	}
}

// TestGatesBesideACorridor: a gate or ramp opens an edge to the corridor that
// goes through it, and to no other.
func TestGatesBesideACorridor(t *testing.T) {
	edge := func(p *plot, id, kind string, pts ...orb.Point) *thing {
		return p.add(&thing{id: id, role: "edge", name: id, line: pts, z: flatGround}).set("edge_kind", schema.String(kind))
	}
	// beside draws edges along the corridor, to its left and right, and an opening
	// on the whole of the right one.
	beside := func(kind, by string, left, right float64) func(p *plot) {
		return func(p *plot) {
			edge(p, "e8", kind, orb.Point{15 - left, -6}, orb.Point{15 - left, -4})
			edge(p, "e9", kind, orb.Point{15 + right, -6}, orb.Point{15 + right, -4})
			edge(p, "e7", by, orb.Point{15 + right, -6.1}, orb.Point{15 + right, -3.9})
		}
	}
	// across draws a fence across it and leaves of a gate on that, each from one
	// place along it to another.
	across := func(leaves ...float64) func(p *plot) {
		return func(p *plot) {
			edge(p, "e8", "fence", orb.Point{10, -5}, orb.Point{20, -5})
			for i := 0; i+1 < len(leaves); i += 2 {
				edge(p, "e7"+string(rune('0'+i)), "gate", orb.Point{15 + leaves[i], -5}, orb.Point{15 + leaves[i+1], -5})
			}
		}
	}
	dock := func(kind, by string, off float64) func(p *plot) {
		return func(p *plot) {
			edge(p, "e8", kind, orb.Point{34.8, 10 + off}, orb.Point{35.8, 10 + off}).set("height_m", num(0.1))
			edge(p, "e9", by, orb.Point{34.7, 10 + off}, orb.Point{35.9, 10 + off})
		}
	}
	for _, x := range []struct {
		name, rule string
		draw       func(p *plot)
		told       bool
	}{
		{"walls 1.498 m apart, a gate along one", "corridor-narrow", beside("wall", "gate", 0.75, 0.748), true},
		{"walls 1.502 m apart", "corridor-narrow", beside("wall", "gate", 0.75, 0.752), false},
		{"kerbs 1.498 m apart, a ramp along one", "corridor-narrow", beside("kerb", "ramp", 0.75, 0.748), true},
		{"kerbs 1.502 m apart", "corridor-narrow", beside("kerb", "ramp", 0.75, 0.752), false},
		{"a fence 0.448 m beside it behind a gate", "corridor-narrow", beside("fence", "gate", 5, 0.448), true},
		{"a fence 0.452 m beside it", "corridor-narrow", beside("fence", "gate", 5, 0.452), false},
		{"a wall 0.4 m wide behind a gate", "corridor-narrow", func(p *plot) {
			beside("wall", "gate", 0.75, 0.948)(p)
			p.get("e9").set("width_m", num(0.4))
		}, true},
		{"one that leaves the way its width", "corridor-narrow", func(p *plot) {
			beside("wall", "gate", 0.75, 0.954)(p)
			p.get("e9").set("width_m", num(0.4))
		}, false},
		{"a gate that another corridor goes through", "corridor-narrow", func(p *plot) {
			beside("wall", "gate", 0.75, 0.74)(p)
			p.add(&thing{id: "c9", role: "corridor", name: "Aside", line: []orb.Point{{12, 1.5}, {12, -1}, {12, -5}, {20, -5}, {20, -9}, {20, -11.5}}, z: flatGround})
			p.get("e8").line = []orb.Point{{14.25, -6}, {14.25, -5.8}}
		}, true},
		{"a gate that it goes through", "corridor-narrow", across(-0.8, 0.8), false},
		{"a gate of two leaves", "corridor-narrow", across(-0.8, -0.1, -0.1, 0.8), false},
		{"a gate of two leaves 0.05 m apart and a fence with as much of a gap", "corridor-narrow", func(p *plot) {
			across(-0.8, -0.15, -0.1, 0.8)(p)
			p.get("e8").line = []orb.Point{{10, -5}, {14.8, -5}}
			edge(p, "e9", "fence", orb.Point{14.95, -5}, orb.Point{20, -5})
		}, false},
		{"a gate 1.4 m wide", "corridor-narrow", across(-0.7, 0.7), true},
		{"a gate in a gap of the fence, whose ends reach under it", "corridor-narrow", func(p *plot) {
			across(-0.8, 0.8)(p)
			p.get("e8").line = []orb.Point{{10, -5}, {14.3, -5}}
			edge(p, "e9", "fence", orb.Point{15.7, -5}, orb.Point{20, -5})
		}, false},
		{"a fence 0.44 m beside the way into the dock, a gate along it", "dock-path-blocked", dock("fence", "gate", 0.44), true},
		{"the same 0.46 m beside it", "dock-path-blocked", dock("fence", "gate", 0.46), false},
		{"a gate that the way into the dock goes through", "dock-path-blocked", func(p *plot) {
			edge(p, "e8", "fence", orb.Point{35, 8}, orb.Point{35, 12}).set("height_m", num(0.1))
			edge(p, "e9", "gate", orb.Point{35, 9}, orb.Point{35, 11})
		}, false},
		{"a gate by the line-up point that the corridor goes through", "dock-path-blocked", func(p *plot) {
			edge(p, "e8", "fence", orb.Point{33.5, 8}, orb.Point{33.5, 12}).set("height_m", num(0.1))
			edge(p, "e9", "gate", orb.Point{33.5, 9}, orb.Point{33.5, 11})
		}, false},
	} {
		p := park()
		x.draw(p)
		r := validate.Check(p.plan(t), schema.DefaultLimits())
		if o := r.Outcome(x.rule); (o.Outcome != validate.Passed) != x.told {
			t.Errorf("%s: %s (%s) %s", x.name, o.Outcome, o.Reason, show(findingOf(r, x.rule)))
		}
	}
}
