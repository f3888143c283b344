// Tests of ponds, kerbs and walls drawn along freehand curves.

package validate

import (
	"math"
	"testing"

	"github.com/paulmach/orb"
	geom "github.com/twpayne/go-geom"

	"swardline/schema"
)

// onEllipse are n points of an ellipse, by its parameter in degrees, half a step
// off its axis so that a side lies across that.
func onEllipse(rx, ry, from, to float64, n int) []orb.Point {
	var out []orb.Point
	for k := range n {
		s, c := math.Sincos((from + (to-from)*(float64(k)+0.5)/float64(n)) * math.Pi / 180)
		out = append(out, orb.Point{rx * c, ry * s})
	}
	return out
}

// westBulge is how far west of their westernmost side the curve through points
// lies, that side running north and south between corners that turn alike.
func westBulge(pts []orb.Point) (side, bulge float64) {
	side = math.Inf(1)
	for i, p := range pts {
		side = math.Min(side, p[0])
		q := pts[(i+1)%len(pts)]
		if before := pts[(i+len(pts)-1)%len(pts)]; math.Abs(p[0]-q[0]) < 1e-9 && p[0] <= side {
			turn := math.Acos(math.Abs(p[1]-before[1]) / distance(before, p))
			bulge = distance(p, q) / 2 * math.Tan(turn/4)
		}
	}
	return side, bulge
}

func placed(pts []orb.Point, dx, dy float64, ring bool) geom.T {
	var flat []float64
	for _, p := range pts {
		flat = append(flat, p[0]+dx, p[1]+dy)
	}
	if !ring {
		return geom.NewLineStringFlat(geom.XY, flat)
	}
	flat = append(flat, flat[:2]...)
	return geom.NewPolygonFlat(geom.XY, flat, []int{len(flat)})
}

func TestFreehandRounds(t *testing.T) {
	lawn := thing(schema.RoleZone, "Lawn", box(0, 0, 40, 25))
	way := thing(schema.RoleCorridor, "Way", geom.NewLineStringFlat(geom.XY, []float64{40, -30, 40, 55}))
	for _, x := range []struct {
		name  string
		pts   []orb.Point
		ring  bool
		keeps float64
		role  schema.Role
		pairs []any
	}{
		{"a pond, an ellipse of ten points", onEllipse(4, 2.5, 0, 360, 10), true, 0.3, schema.RoleHazard, []any{"hazard_kind", "pond"}},
		{"one of eighteen", onEllipse(9, 6, 0, 360, 18), true, 0.3, schema.RoleHazard, []any{"hazard_kind", "pond"}},
		{"one of seven", onEllipse(4, 2.5, -180.0/7, 360-180.0/7, 7), true, 0.3, schema.RoleHazard, []any{"hazard_kind", "pond"}},
		{"one of eight", onEllipse(4, 2.5, 0, 360, 8), true, 0.3, schema.RoleHazard, []any{"hazard_kind", "pond"}},
		{"one of thirty", onEllipse(12, 5, 0, 360, 30), true, 0.3, schema.RoleHazard, []any{"hazard_kind", "pond"}},
		{"one of fourteen, long", onEllipse(3, 9, 0, 360, 14), true, 0.3, schema.RoleHazard, []any{"hazard_kind", "pond"}},
		{"a bed that says its own margin", onEllipse(4, 2.5, 0, 360, 10), true, 0.8, schema.RoleHazard,
			[]any{"hazard_kind", "bed"}},
		{"a wall along a bend of five chords", onEllipse(4, 3, 90, 270, 6), false, 0.15, schema.RoleEdge, []any{"edge_kind", "wall", "height_m", 0.1}},
		{"a hedge of 1 m along it", onEllipse(4, 3, 90, 270, 6), false, 1.3, schema.RoleHazard, []any{"hazard_kind", "hedge", "width_m", 1.0}},
		{"a drop", onEllipse(4, 3, 60, 300, 8), false, 0.3, schema.RoleEdge, []any{"edge_kind", "drop"}},
		{"a round house", onEllipse(5, 3.5, 0, 360, 10), true, 0.15, schema.RoleBuilding, []any{"height_m", 0.1}},
	} {
		side, bulge := westBulge(x.pts)
		if x.ring { // all of them lie on an ellipse, which is 4 wide, 9, 3, 4 and 5
			bulge = math.Round(-side) + side
		}
		if !(bulge > 0.03) {
			t.Fatalf("%s: bulges by %g", x.name, bulge)
		}
		for off, told := range map[float64]bool{-bulge - 0.01: false, -0.003: true, 0.003: false} { // at first the drawn line is too near itself
			for _, by := range []*schema.Feature{lawn, way} {
				need := x.keeps
				if by == way {
					need += 0.3 // half the machine
				}
				f := thing(x.role, "Thing", placed(x.pts, 40+need+bulge+off-side, 12, x.ring), x.pairs...)
				if x.keeps > 0.5 {
					f.Attributes.Set(schema.PropLimits, schema.Object(schema.Attributes{{Key: "hazard_margin_m", Value: schema.Float(0.8)}}))
				}
				features := []*schema.Feature{lawn, f}
				if by == way {
					features = []*schema.Feature{thing(schema.RoleZone, "Far", box(0, -60, 20, -40)), way, f}
				}
				got := only(Check(driftPlan(t, features...), schema.DefaultLimits()), RuleCurveCoarse)
				if (len(got) == 1) != told || len(got) == 1 && !(got[0].Measured >= bulge-1e-6 && got[0].Severity == Warning) {
					t.Errorf("%s, %g m beyond the reach of %s: %v", x.name, off, by.Name, got)
				}
			}
		}
	}
}

// TestBulgeOfACircle: through corners on a circle the curve is that circle.
func TestBulgeOfACircle(t *testing.T) {
	for _, n := range []int{8, 12, 20} {
		ring := onEllipse(5, 5, 0, 360, n)
		got := bulged(append(ring, ring[0]), 0.03)
		if len(got) != 1 || !(math.Abs(got[0].sagitta-5*(1-math.Cos(math.Pi/float64(n)))) <= 1e-9) {
			t.Fatalf("%d corners: %v", n, got)
		}
		for _, p := range got[0].line {
			if d := distance(p, orb.Point{}); !(math.Abs(d-5) <= 1e-9) {
				t.Errorf("%d corners: %v lies %g from the middle", n, p, d)
			}
		}
	}
	if got := bulged(append(onEllipse(5, 5, 0, 360, 30), orb.Point{5 * math.Cos(math.Pi/30), 5 * math.Sin(math.Pi/30)}), 0.03); got != nil {
		t.Errorf("thirty corners: %v", got)
	}
}

// TestOvals: which outlines stand for an ellipse.
func TestOvals(t *testing.T) {
	seven := func(off float64) []orb.Point { // one corner so far out
		pts := onEllipse(4, 2, 0, 360, 7)
		pts[1][1] += off
		return pts
	}
	for _, x := range []struct {
		name string
		pts  []orb.Point
		want bool
	}{
		{"six", onEllipse(4, 2, 0, 360, 6), false}, {"seven", seven(0), true}, {"one corner off by 10 mm", seven(0.01), true}, {"by 0.15 m", seven(0.15), false},
		{"eight", onEllipse(4, 2, 0, 360, 8), true}, {"thirty", onEllipse(4, 2, 0, 360, 30), true}, {"thirty-one", onEllipse(4, 2, 0, 360, 31), false},
		{"a circle", onEllipse(4, 4, 0, 360, 9), false}, {"turned at a point by 152 degrees", onEllipse(16, 2, -180.0/7, 360-180.0/7, 7), false},
		{"a rectangle cut off", []orb.Point{{1.5, 0}, {4, 0}, {5.5, 0.866}, {5.5, 3}, {4, 3.866}, {1.5, 3.866}, {0, 3}, {0, 0.866}}, false},
	} {
		if o, ok := ovalOf(append(orb.LineString(x.pts), x.pts[0]), 0.03); ok != x.want {
			t.Errorf("%s: %v, %g", x.name, ok, o.sagitta)
		}
	}
}

// TestTrueCorners: what has straight sides and corners stands for no curve, 1 cm
// farther from the lawn than the margin.
func TestTrueCorners(t *testing.T) {
	lawn := thing(schema.RoleZone, "Lawn", box(0, 0, 40, 25))
	cut := func(a, b, c float64) []orb.Point { // a rectangle, its corners cut off
		return []orb.Point{{c, 0}, {a - c, 0}, {a, c}, {a, b - c}, {a - c, b}, {c, b}, {0, b - c}, {0, c}}
	}
	for _, x := range []struct {
		name string
		pts  []orb.Point
		told bool
	}{
		{"a rectangle", []orb.Point{{0, 0}, {6, 0}, {6, 4}, {0, 4}}, false},
		{"an L", []orb.Point{{0, 0}, {6, 0}, {6, 2}, {2, 2}, {2, 4}, {0, 4}}, false},
		{"a long hexagon", []orb.Point{{0, 0}, {1.5, -1.7}, {6, -1.7}, {7.5, 0}, {6, 1.7}, {1.5, 1.7}}, false},
		{"a rectangle, its corners cut off", cut(8, 6, 1), false},
		{"a small one cut off farther", cut(5, 4, 1.3), false},
		{"one cut off at 30 degrees", []orb.Point{{1.5, 0}, {4, 0}, {5.5, 0.866}, {5.5, 3}, {4, 3.866}, {1.5, 3.866}, {0, 3}, {0, 0.866}}, false},
		{"a hexagon that an ellipse goes round", onEllipse(4, 2, 30, 390, 6), false},
		{"an ellipse of seven", onEllipse(4, 2, -180.0/7, 360-180.0/7, 7), true},
		{"an ellipse of eight", onEllipse(4, 2, 0, 360, 8), true},
		{"a bay of a house", []orb.Point{{0, 1}, {1, 0}, {3, 0}, {4, -1}, {8, -1}, {8, 6}, {0, 6}}, false},
		{"three gentle bends", []orb.Point{{1.2, -3}, {0.3, -2}, {0, -0.7}, {0, 0.7}, {0.3, 2}, {7, 2}, {7, -3}}, false},
		{"a hexagon of unlike sides", []orb.Point{{0, 0}, {0, 3}, {1.2124, 3.7}, {2.9445, 2.7}, {2.9445, 0.5}, {1.0392, -0.6}}, false},
		{"a round of eight, two of 60 degrees", []orb.Point{{0, -1}, {1.4, -2.6}, {3.6, -2.6}, {5.9, -1.5}, {6.2, 0.9}, {4.8, 2.6}, {2.6, 2.8}, {0, 1}}, true},
		{"a freehand round of eight", []orb.Point{{0, -0.9}, {1.1, -2.6}, {3.2, -3.2}, {5.3, -2.2}, {6.1, -0.1}, {5, 2}, {2.9, 2.8}, {0, 0.9}}, true},
	} {
		west := math.Inf(1)
		for _, p := range x.pts {
			west = math.Min(west, p[0])
		}
		f := thing(schema.RoleHazard, "Thing", placed(x.pts, 40.31-west, 12, true), "hazard_kind", "pond")
		if got := only(Check(driftPlan(t, lawn, f), schema.DefaultLimits()), RuleCurveCoarse); (len(got) > 0) != x.told {
			t.Errorf("%s: %v", x.name, got)
		}
	}
	// A lawn within the bend of a brook lies on its inner side, and its bulge away.
	bend := onEllipse(6, 4, 90, 270, 6)
	side, bulge := westBulge(bend)
	brook := thing(schema.RoleHazard, "Brook", placed(bend, 24, 12, false), "hazard_kind", "brook")
	for _, x := range []struct {
		lawn geom.T
		told int
	}{{box(24+side+0.31, 11.9, 24+side+2, 12.1), 0}, {box(24+side-2, 11.9, 24+side-0.31, 12.1), 1}} {
		if got := only(Check(driftPlan(t, thing(schema.RoleZone, "By it", x.lawn), brook), schema.DefaultLimits()), RuleCurveCoarse); len(got) != x.told || bulge < 0.03 {
			t.Errorf("by a bend that bulges %g m: %v", bulge, got)
		}
	}
}
