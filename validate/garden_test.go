// A garden measured by hand: the figures of the site rules against closed
// forms, with no side along an axis where an axis would hide a slip.

package validate

import (
	"math"
	"strings"
	"testing"

	"github.com/paulmach/orb"
	"github.com/twpayne/go-geom"

	"swardline/schema"
)

// turned is a drawing turned clockwise by 33 degrees, so that nothing runs
// along an axis: lengths, areas and angles between lines stay.
func turned(g geom.T) geom.T {
	s, c := math.Sincos(33 * math.Pi / 180)
	flat := append([]float64(nil), g.FlatCoords()...)
	for i := 0; i+1 < len(flat); i += g.Stride() {
		x, y := flat[i], flat[i+1]
		flat[i], flat[i+1] = x*c+y*s, y*c-x*s
	}
	out, err := schema.WithFlatCoords(g, flat)
	if err != nil {
		panic(err)
	}
	return out
}

// raisedTrack is a line with heights: x, y, h a vertex.
func raisedTrack(xyz ...float64) geom.T { return geom.NewLineStringFlat(geom.XYZ, xyz) }

func raisedBox(x0, y0, x1, y1 float64, h func(x, y float64) float64) geom.T {
	var flat []float64
	for _, p := range [][2]float64{{x0, y0}, {x1, y0}, {x1, y1}, {x0, y1}, {x0, y0}} {
		flat = append(flat, p[0], p[1], h(p[0], p[1]))
	}
	return geom.NewPolygonFlat(geom.XYZ, flat, []int{len(flat)})
}

func TestGarden(t *testing.T) {
	level := func(x, y float64) float64 { return 45 }
	lawn := func(g geom.T) *schema.Feature { return thing(schema.RoleZone, "lawn", g) }
	edge := func(kind string, xy ...float64) *schema.Feature {
		return thing(schema.RoleEdge, kind, track(xy...), "edge_kind", kind)
	}
	bed := func(name string, g geom.T) *schema.Feature { return thing(schema.RoleKeepout, name, g) }
	way := func(g geom.T) *schema.Feature { return thing(schema.RoleCorridor, "way", g) }
	dock := func(heading float64, xyz ...float64) *schema.Feature {
		return thing(schema.RoleDock, "dock", spot(xyz...), "heading_deg", heading+33, "standoff_m", 2.0)
	}
	// intoDock is a level lawn and a level way that ends 2 m before a dock at
	// (30, 10).
	intoDock := func(d *schema.Feature) []*schema.Feature {
		return []*schema.Feature{lawn(raisedBox(0, 0, 20, 20, level)), d, way(raisedTrack(18, 10, 45, 21, 10, 45, 28, 10, 45))}
	}
	bears := func(f *schema.Feature, key string, limit float64) *schema.Feature {
		f.Attributes.Set(schema.PropLimits, schema.Object(schema.Attributes{{Key: key, Value: schema.Float(limit)}}))
		return f
	}
	at := func(name string, role schema.Role, pairs ...any) *schema.Feature {
		return thing(role, name, spot(pairs[0].(float64), pairs[1].(float64)), pairs[2:]...)
	}
	deg := 180 / math.Pi
	for _, x := range []struct {
		name, rule string
		features   []*schema.Feature
		outcome    Outcome
		measured   []float64
		severity   Severity
		area       float64 // of the first finding, 0 where it does not matter
		says       string
	}{
		// Depth in a corner is to the nearer side; the next point 1 m out is
		// right.
		{"a corridor that starts 0.7 m inside", "corridor-off-zone", []*schema.Feature{lawn(box(0, 0, 20, 20)), lawn(box(25, 0, 45, 20)),
			way(track(19.3, 10, 21, 10, 24, 10, 26.2, 10))}, Failed, []float64{0.7}, Error, 0, "0.70 m inside"},
		{"a next point 0.4 m out", "corridor-off-zone", []*schema.Feature{lawn(box(0, 0, 20, 20)), lawn(box(25, 0, 45, 20)),
			way(track(18, 10, 20.4, 10, 24, 10, 26.2, 10))}, Failed, []float64{0.4}, Error, 0, "stands 0.40 m outside"},
		{"a next point 2.2 m out", "corridor-off-zone", []*schema.Feature{lawn(box(0, 0, 20, 20)), lawn(box(25, 0, 45, 20)),
			way(track(18, 10, 22.2, 10, 24, 10, 26.2, 10))}, Failed, []float64{2.2}, Warning, 0, ""},
		{"a next point still inside", "corridor-off-zone", []*schema.Feature{lawn(box(0, 0, 20, 20)), lawn(box(25, 0, 45, 20)),
			way(track(18, 10, 19.5, 10, 24, 10, 26.2, 10))}, Failed, []float64{-0.5}, Error, 0, "still 0.50 m inside"},
		{"ends 1 m inside and 1 m out", "corridor-off-zone", []*schema.Feature{lawn(box(0, 0, 20, 20)), lawn(box(25, 0, 45, 20)),
			way(track(19, 10, 21, 10, 24, 10, 26, 10))}, Passed, nil, "", 0, ""},
		// The line-up point of a dock that faces east at (30, 10) with 2 m of
		// standoff is (28, 10).
		{"a corridor 0.5 m off the line-up point", "corridor-off-dock", []*schema.Feature{lawn(box(0, 0, 20, 20)), dock(90, 30, 10),
			way(track(18, 10, 21, 10, 27.7, 10.4))}, Failed, []float64{0.5}, Error, 0, "0.50 m from the line-up point"},
		{"a corridor 0.28 m off it", "corridor-off-dock", []*schema.Feature{lawn(box(0, 0, 20, 20)), dock(90, 30, 10),
			way(track(18, 10, 21, 10, 28, 10.28))}, Passed, nil, "", 0, ""},
		{"a corridor that ends at the dock", "corridor-off-dock", []*schema.Feature{lawn(box(0, 0, 20, 20)), dock(90, 30, 10),
			way(track(18, 10, 21, 10, 30, 10.1))}, Failed, []float64{math.Hypot(2, 0.1)}, Error, 0, "ends at dock itself"},
		{"a last stretch 1 in 5 off", "dock-approach", []*schema.Feature{lawn(box(0, 0, 20, 20)), dock(90, 30, 10),
			way(track(18, 9, 21, 9, 23, 9, 28, 10))}, Failed, []float64{math.Atan(0.2) * deg}, Error, 0, ""},
		{"a last stretch 1 in 6 off", "dock-approach", []*schema.Feature{lawn(box(0, 0, 20, 20)), dock(90, 30, 10),
			way(track(18, 9, 21, 9, 22, 9, 28, 10))}, Passed, nil, "", 0, ""},
		// A stub at the end turns no machine of 0.6 m.
		{"a right angle 0.598 m before the line-up point", "dock-approach", []*schema.Feature{lawn(box(0, 0, 20, 20)), dock(90, 30, 10),
			way(track(18, 5, 21, 5, 27.402, 5, 27.402, 10, 28, 10))}, Failed, []float64{90}, Error, 0, ""},
		{"a right angle 0.602 m before it", "dock-approach", []*schema.Feature{lawn(box(0, 0, 20, 20)), dock(90, 30, 10),
			way(track(18, 5, 21, 5, 27.398, 5, 27.398, 10, 28, 10))}, Passed, nil, "", 0, ""},
		// A dock entered backwards is half a turn off.
		{"a dock that faces the lawn", "dock-approach", []*schema.Feature{lawn(box(0, 0, 20, 20)), dock(270, 26, 10),
			way(track(18, 10, 21, 10, 28, 10))}, Failed, []float64{180}, Error, 0, ""},
		// Half the machine (0.3 m) covers a bed's side 0.05 m off for 6 m,
		// between round ends that lie elsewhere.
		{"a corridor beside a bed", "corridor-through-keepout", []*schema.Feature{lawn(box(0, 0, 20, 20)), bed("bed", box(22, 10.05, 28, 12)),
			way(track(18, 10, 21, 10, 32, 10))}, Failed, []float64{0.05}, Error, 6 * 0.25, ""},
		{"a corridor half the machine beside it", "corridor-through-keepout", []*schema.Feature{lawn(box(0, 0, 20, 20)), bed("bed", box(22, 10.3, 28, 12)),
			way(track(18, 10, 21, 10, 32, 10))}, Passed, nil, "", 0, ""},
		// Two beds 1.4 m apart with the way between them, and a tree of radius
		// 0.5 m opposite one bed.
		{"a corridor between two beds", "corridor-narrow", []*schema.Feature{lawn(box(0, 0, 20, 20)), bed("north", box(22, 10.8, 28, 12)), bed("south", box(25, 8, 30, 9.4)),
			way(track(18, 10, 21, 10, 32, 10))}, Failed, []float64{1.4}, Error, 0, ""},
		{"a corridor between a bed and a trunk", "corridor-narrow", []*schema.Feature{lawn(box(0, 0, 20, 20)), bed("north", box(22, 10.8, 28, 12)),
			at("tree", schema.RoleHazard, 25.0, 9.0, "radius_m", 0.5), way(track(18, 10, 21, 10, 32, 10))}, Failed, []float64{1.3}, Error, 0, ""},
		{"a corridor with more room", "corridor-narrow", []*schema.Feature{lawn(box(0, 0, 20, 20)), bed("north", box(22, 10.9, 28, 12)), bed("south", box(25, 8, 30, 9.3)),
			way(track(18, 10, 21, 10, 32, 10))}, Passed, nil, "", 0, ""},
		{"a corridor 0.2 m beside a house", "corridor-narrow", []*schema.Feature{lawn(box(0, 0, 20, 20)), thing(schema.RoleBuilding, "house", box(22, 10.2, 28, 15)),
			way(track(18, 10, 21, 10, 32, 10))}, Failed, []float64{0.2}, Error, 0, "passes 0.20 m beside"},
		// A wall needs the strip, a drop the margin; the strip of ground nearer
		// than that is 15 m long.
		{"a lawn 0.1 m from a wall", "edge-setback", []*schema.Feature{lawn(box(0, 0, 20, 20)), edge("wall", 20.1, 2, 20.1, 17)}, Failed, []float64{0.1}, Warning, 15*0.05 + 2*capArea(0.15, 0.1)/2, "0.10 m of the wall"},
		{"a lawn 0.2 m from a wall", "edge-setback", []*schema.Feature{lawn(box(0, 0, 20, 20)), edge("wall", 20.2, 2, 20.2, 17)}, Passed, nil, "", 0, ""},
		{"a lawn 0.2 m from a drop", "edge-setback", []*schema.Feature{lawn(box(0, 0, 20, 20)), edge("drop", 20.2, 2, 20.2, 17)}, Failed, []float64{0.2}, Error, 15*0.1 + capArea(0.3, 0.2), "drop"},
		{"a lawn 0.3 m from a drop", "edge-setback", []*schema.Feature{lawn(box(0, 0, 20, 20)), edge("drop", 20.3, 2, 20.3, 17)}, Passed, nil, "", 0, ""},
		{"a drop behind a bed", "edge-setback", []*schema.Feature{lawn(box(0, 0, 20, 20)), edge("drop", 15, 2, 15, 17), bed("bed", box(14.7, 1.7, 15.3, 17.3))}, Passed, nil, "", 0, ""},
		{"a lawn up to a flush edge", "edge-setback", []*schema.Feature{lawn(box(0, 0, 20, 20)), edge("flush", 19.9, 2, 19.9, 17)}, Passed, nil, "", 0, ""},
		// Lawns that touch along 20 m are joined; a hedge on their common edge
		// that leaves 0.5 m does not let the machine by.
		{"a lawn reached over a common edge", "zone-unreachable", []*schema.Feature{lawn(box(0, 0, 20, 20)), lawn(box(20, 0, 40, 20)), dock(90, 10, 10)}, Passed, nil, "", 0, ""},
		{"a hedge on the common edge", "zone-unreachable", []*schema.Feature{lawn(box(0, 0, 20, 20)), lawn(box(20, 0, 40, 20)), dock(90, 10, 10),
			bed("hedge", box(19.5, 0.5, 20.5, 20))}, Failed, []float64{math.NaN()}, Error, 0, ""},
		{"a hedge with a gate", "zone-unreachable", []*schema.Feature{lawn(box(0, 0, 20, 20)), lawn(box(20, 0, 40, 20)), dock(90, 10, 10),
			bed("hedge", box(19.5, 0.7, 20.5, 20))}, Passed, nil, "", 0, ""},
		// A dock without standoff beside a bed, nearer than half the machine.
		{"a dock beside a bed", "dock-in-keepout", []*schema.Feature{lawn(box(0, 0, 20, 20)), bed("bed", box(5, 5, 8, 8)),
			thing(schema.RoleDock, "dock", spot(8.1, 6), "heading_deg", 33.0, "standoff_m", 0.0)}, Failed, []float64{0.1}, Error, 0, ""},
		{"the way into a dock beside a bed", "dock-in-keepout", []*schema.Feature{lawn(box(0, 0, 20, 20)), bed("bed", box(5, 5, 8, 8)), dock(90, 10, 4.8)}, Failed, []float64{0.2}, Error, 0, "the way into it passes 0.20 m"},
		{"a line-up point in a bed", "dock-in-keepout", []*schema.Feature{lawn(box(0, 0, 20, 20)), bed("bed", box(5, 5, 8, 8)), dock(90, 9.6, 6.5)}, Failed, []float64{0.4}, Error, 0, "line-up point lies 0.40 m inside"},
		// Heights: 1 m over 3 m; the last metre and a half, taken back to the
		// vertex before; up and down again.
		{"a corridor that rises 1 in 3", "slope-limit", []*schema.Feature{way(raisedTrack(0, 0, 45, 10, 0, 45, 13, 0, 46.2, 20, 0, 46.2))}, Failed, []float64{40}, Error, 0, "rises 1.20 m over 3.00 m"},
		{"a corridor that rises at its end", "slope-limit", []*schema.Feature{way(raisedTrack(0, 0, 45, 10, 0, 45, 11, 0, 45.1, 12.5, 0, 46.1))}, Failed, []float64{52.5}, Error, 0, "rises 1.05 m over 2.00 m"},
		{"a corridor over a hump", "slope-limit", []*schema.Feature{way(raisedTrack(0, 0, 45, 1, 0, 45, 2.5, 0, 46, 4, 0, 45, 9, 0, 45))}, Failed, []float64{50, 50}, Error, 0, "rises 1.00 m over 2.00 m"},
		{"a corridor of 1.5 m", "slope-limit", []*schema.Feature{way(raisedTrack(0, 0, 45, 1.5, 0, 45.6))}, Unchecked, nil, "", 0, ""},
		{"a step of 2 m in a corridor of 1.5 m", "slope-limit", []*schema.Feature{way(raisedTrack(0, 0, 45, 1.5, 0, 47))}, Failed, []float64{2 - 0.35*1.5}, Error, 0, "steps up"},
		{"a corridor that rises 1 in 3.33", "slope-limit", []*schema.Feature{way(raisedTrack(0, 0, 45, 10, 0, 48))}, Passed, nil, "", 0, ""},
		{"a lawn that slopes both ways", "slope-limit", []*schema.Feature{lawn(raisedBox(0, 0, 20, 10, func(x, y float64) float64 { return 45 + 0.3*x + 0.2*y }))}, Failed,
			[]float64{100 * math.Hypot(0.3, 0.2)}, Error, 0, "as a whole"},
		{"a lawn that slopes less", "slope-limit", []*schema.Feature{lawn(raisedBox(0, 0, 20, 10, func(x, y float64) float64 { return 45 + 0.2*x + 0.28*y }))}, Failed, []float64{28}, Warning, 0, "28.0 %; the limit at an outline is 15 %"},
		{"a lawn that slopes less than an outline may", "slope-limit", []*schema.Feature{lawn(raisedBox(0, 0, 20, 10, func(x, y float64) float64 { return 45 + 0.08*x + 0.12*y }))}, Passed, nil, "", 0, ""},
		{"a lawn too small to tell", "slope-limit", []*schema.Feature{lawn(raisedBox(0, 0, 1.2, 0.4, level))}, Unchecked, nil, "", 0, ""},
		{"a dock 1 m above its corridor", "slope-limit", []*schema.Feature{lawn(raisedBox(0, 0, 20, 20, level)), dock(90, 30, 10, 46), way(raisedTrack(18, 10, 45, 21, 10, 45, 28, 10, 45))},
			Failed, []float64{50}, Error, 0, "the way into it rises 1.00 m over 2.00 m"},
		// Of a dock the way in counts by a limit of its own.
		{"a dock 0.12 m above its corridor", "slope-limit", intoDock(dock(90, 30, 10, 45.12)), Failed, []float64{6}, Error, 0, "the way into it rises 0.12 m over 2.00 m, 6.0 %; the limit is 5 %"},
		{"a dock 0.12 m below its corridor", "slope-limit", intoDock(dock(90, 30, 10, 44.88)), Failed, []float64{6}, Error, 0, "the way into it rises 0.12 m over 2.00 m"},
		{"a dock 0.099 m above its corridor", "slope-limit", intoDock(dock(90, 30, 10, 45.099)), Passed, nil, "", 0, ""},
		{"a dock 0.08 m below its corridor", "slope-limit", intoDock(dock(90, 30, 10, 44.92)), Passed, nil, "", 0, ""},
		{"a steep dock with a looser limit of its own", "slope-limit", intoDock(bears(dock(90, 30, 10, 45.12), "dock_slope_max_percent", 6.5)), Failed, []float64{6}, Error, 0, "the limit is 5 %"},
		{"a dock past a limit of its own", "slope-limit", intoDock(bears(dock(90, 30, 10, 45.08), "dock_slope_max_percent", 3)), Failed, []float64{4}, Error, 0, "the limit is 3 %"},
		{"a dock whose slope limit is for lawns", "slope-limit", intoDock(bears(dock(90, 30, 10, 45.12), "slope_max_percent", 50)), Failed, []float64{6}, Error, 0, "the limit is 5 %"},
		{"a dock 0.8 m from its corridor", "slope-limit", []*schema.Feature{lawn(raisedBox(0, 0, 20, 20, level)), dock(90, 30, 10, 45.3), way(raisedTrack(18, 10, 45, 21, 10, 45, 29.2, 10, 45))}, Unchecked, nil, "", 0, ""},
		{"a dock without a height", "slope-limit", []*schema.Feature{lawn(raisedBox(0, 0, 20, 20, level)), dock(90, 30, 10), way(raisedTrack(18, 10, 45, 21, 10, 45, 28, 10, 45))}, Unchecked, nil, "", 0, ""},
		// The nearer of two outlets.
		{"a cable of 21 m", "cable-run", []*schema.Feature{lawn(box(0, 0, 20, 20)), dock(90, 30, 10), at("far", schema.RoleSupply, 70.0, 10.0), at("near", schema.RoleSupply, 42.6, 26.8)}, Failed, []float64{21}, Warning, 0, "\"near\""},
		{"a cable of 20 m", "cable-run", []*schema.Feature{lawn(box(0, 0, 20, 20)), dock(90, 30, 10), at("near", schema.RoleSupply, 42.0, 26.0)}, Passed, nil, "", 0, ""},
		// A wall 4 m high 6 m from the dock and, along the bearing away, 8 m
		// from its line-up point.
		{"a house by the dock", "sky-blocked", []*schema.Feature{lawn(box(-90, 0, -70, 20)), dock(90, 30, 10), thing(schema.RoleBuilding, "house", box(36, -200, 46, 220), "height_m", 4.0)},
			Failed, []float64{math.Atan2(4, 8) * deg, math.Atan2(4, 6) * deg}, Warning, 0, ""},
		// 1 m lower ground makes the house 1 m higher, on the stretch that is
		// lower.
		{"a house by a sunken corridor", "sky-blocked", []*schema.Feature{way(raisedTrack(0, 0, 45, 50, 0, 44, 60, 0, 44)),
			thing(schema.RoleBuilding, "house", raisedBox(40, 5, 70, 15, level), "height_m", 4.0)}, Failed, []float64{math.Atan2(5, 5) * deg}, Warning, 0, ""},
		{"a house far from all", "sky-blocked", []*schema.Feature{lawn(box(-90, 0, -70, 20)), dock(90, 30, 10), thing(schema.RoleBuilding, "house", box(46, -200, 56, 220), "height_m", 4.0)}, Passed, nil, "", 0, ""},
		// A drop, a pond and a trunk by their margins.
		{"a trunk 0.2 m from the lawn", "hazard-uncovered", []*schema.Feature{lawn(box(0, 0, 20, 20)), at("tree", schema.RoleHazard, 20.7, 10.0, "radius_m", 0.5)}, Failed, []float64{0.2}, Error, 0, "0.20 m from"},
		{"a trunk 0.3 m from the lawn", "hazard-uncovered", []*schema.Feature{lawn(box(0, 0, 20, 20)), at("tree", schema.RoleHazard, 20.8, 10.0, "radius_m", 0.5)}, Passed, nil, "", 0, ""},
		{"a pond covered too tightly", "hazard-uncovered", []*schema.Feature{lawn(box(0, 0, 20, 20)), thing(schema.RoleHazard, "pond", box(5, 5, 8, 8)), bed("bank", box(4.9, 4.9, 8.1, 8.1))}, Failed, []float64{0.1}, Error, 0, "its hazard_kind is missing"},
		{"a pond half covered", "hazard-uncovered", []*schema.Feature{lawn(box(0, 0, 20, 20)), thing(schema.RoleHazard, "pond", box(5, 5, 8, 8)), bed("bank", box(4, 4, 9, 6.5))}, Failed, []float64{0}, Error, 3 * 1.5, ""},
		{"a ditch through the lawn", "hazard-uncovered", []*schema.Feature{lawn(box(0, 0, 20, 20)), thing(schema.RoleHazard, "ditch", track(-5, 10, 4, 10))}, Failed, []float64{0}, Error, 0, "4.00 m of it run through"},
		// Two beds 1.2 m apart corner to corner (0.72, 0.96), and a bed 0.9 m
		// from the side.
		{"a passage between corners", "passage-narrow", []*schema.Feature{lawn(box(0, 0, 20, 20)), bed("a", box(5, 5, 8, 8)), bed("b", box(8.72, 8.96, 12, 12))}, Failed, []float64{1.2}, Warning, 0, ""},
		{"a passage along the side", "passage-narrow", []*schema.Feature{lawn(box(0, 0, 20, 20)), bed("a", box(0.9, 5, 8, 8))}, Failed, []float64{0.9}, Warning, 0, ""},
		// The only way to 20 by 5 m of lawn is 0.5 m wide.
		{"a passage narrower than the machine", "passage-narrow", []*schema.Feature{lawn(box(0, 0, 20, 20)), bed("hedge", box(0.5, 14, 20, 15))}, Failed, []float64{0.5}, Error, 0, "nothing else leads to"},
		// Two hedges from side to side: three pieces, of which the two smaller
		// have 4 by 20 and 5 by 20 m.
		{"three pieces", "zone-split", []*schema.Feature{lawn(box(0, 0, 20, 20)), bed("a", box(4, 0, 5, 20)), bed("b", box(14, 0, 15, 20))}, Failed, []float64{3}, Error, 4*20 + 5*20, ""},
		{"a sliver behind a hedge", "zone-split", []*schema.Feature{lawn(box(0, 0, 20, 20)), bed("a", box(0.5, 0, 1, 20))}, Passed, nil, "", 0, ""},
		{"nothing left", "zone-split", []*schema.Feature{lawn(box(0, 0, 20, 20)), bed("a", box(-1, -1, 21, 21))}, Failed, []float64{0}, Error, 0, "leave nothing"},
		// The farthest corner of a lawn from a base 480 m from its near side:
		// hypot(500.5, 10).
		{"a lawn out of range", "base-range", []*schema.Feature{lawn(box(480, -10, 500.5, 10)), thing(schema.RoleBase, "base", spot(0, 0))}, Failed, []float64{math.Hypot(500.5, 10)}, Error, 0, ""},
		{"a lawn in range of the second base", "base-range", []*schema.Feature{lawn(box(480, -10, 500.5, 10)), thing(schema.RoleBase, "base", spot(0, 0)), thing(schema.RoleBase, "other", spot(600, 0))}, Passed, nil, "", 0, ""},
	} {
		var features []*schema.Feature
		for _, f := range x.features {
			g := *f
			g.Geometry = turned(f.Geometry)
			features = append(features, &g)
		}
		r := Check(driftPlan(t, features...), schema.DefaultLimits())
		if got := r.Outcome(x.rule); got.Outcome != x.outcome {
			t.Errorf("%s: %s is %s (%s), want %s", x.name, x.rule, got.Outcome, got.Reason, x.outcome)
		}
		found := only(r, x.rule)
		if len(found) != len(x.measured) {
			for _, f := range found {
				t.Logf("%s: %s", x.name, f.Message)
			}
			t.Errorf("%s: %d findings, want %d", x.name, len(found), len(x.measured))
			continue
		}
		for i, f := range found {
			if math.IsNaN(x.measured[i]) != math.IsNaN(f.Measured) || !math.IsNaN(f.Measured) && !near(f.Measured, x.measured[i], 1e-3) {
				t.Errorf("%s: measured %v, want %v (%s)", x.name, f.Measured, x.measured[i], f.Message)
			}
			if f.Severity != x.severity || !strings.Contains(f.Message, x.says) {
				t.Errorf("%s: %s %q, want %s %q", x.name, f.Severity, f.Message, x.severity, x.says)
			}
		}
		// Pieces are measured with the keep-outs grown by half a millimetre.
		if x.area > 0 && !near(found[0].AreaM2, x.area, 2e-3+1.5e-4*x.area) {
			t.Errorf("%s: area %v, want %v", x.name, found[0].AreaM2, x.area)
		}
	}
}

// capArea is the area of a circle of radius r beyond a chord at the distance d
// from its centre.
func capArea(r, d float64) float64 { return r*r*math.Acos(d/r) - d*math.Sqrt(r*r-d*d) }

// Uncut strips zone by zone: a wall 0.15 m off for 12 m, a kerb round a bed
// inside, and nothing along a flush edge or a wall that is farther off.
func TestUncutByHand(t *testing.T) {
	bed := box(5, 5, 9, 8)
	kerb := box(5.15, 5.15, 8.85, 7.85)
	features := []*schema.Feature{
		thing(schema.RoleZone, "west", box(0, 0, 20, 20)), thing(schema.RoleZone, "east", box(30, 0, 50, 20)),
		thing(schema.RoleEdge, "wall", track(2, 20.15, 14, 20.15), "edge_kind", "wall"),
		thing(schema.RoleEdge, "flush", track(30, -0.1, 50, -0.1), "edge_kind", "flush"),
		thing(schema.RoleEdge, "far", track(50.5, 0, 50.5, 20), "edge_kind", "fence"),
		thing(schema.RoleEdge, "fence", track(29.85, 3, 29.85, 7.5), "edge_kind", "fence", "limits", "0"),
		thing(schema.RoleKeepout, "bed", bed), thing(schema.RoleEdge, "kerb", kerb, "edge_kind", "kerb"),
	}
	features[5].Attributes.Set(schema.PropLimits, schema.Object(schema.Attributes{{Key: "hard_edge_strip_m", Value: schema.Float(0.2)}}))
	for _, f := range features {
		f.Geometry = turned(f.Geometry)
	}
	r := Check(driftPlan(t, features...), schema.DefaultLimits())
	if len(r.Zones) != 2 {
		t.Fatalf("%d zones", len(r.Zones))
	}
	// Beside the bed each side of the kerb counts for its own length: 3.7 and
	// 2.7 m, twice.
	for i, want := range [][2]float64{{12 + 2*(3.7+2.7), (12 + 2*(3.7+2.7)) * 0.15}, {4.5, 4.5 * 0.2}} {
		if z := r.Zones[i]; !near(z.HardEdgeM, want[0], 1e-3) || !near(z.UncutM2, want[1], 1e-3) {
			t.Errorf("%s: %v m and %v m2, want %v", z.Feature.Name, z.HardEdgeM, z.UncutM2, want)
		}
	}
	if z := r.Zones[0]; !near(z.GrossM2, 400, 1e-3) || !near(z.NetM2, 400-12, 1e-3) {
		t.Errorf("gross %v, net %v", z.GrossM2, z.NetM2)
	}
}

// The two points of a passage, of a corridor's width and of a clearance stand
// where they were drawn.
func TestTracesByHand(t *testing.T) {
	features := []*schema.Feature{
		thing(schema.RoleZone, "lawn", box(0, 0, 20, 20)),
		thing(schema.RoleKeepout, "a", box(5, 5, 8, 8)), thing(schema.RoleKeepout, "b", box(8.72, 8.96, 12, 12)),
	}
	r := Check(driftPlan(t, features...), schema.DefaultLimits())
	f := only(r, "passage-narrow")
	if len(f) != 1 || len(f[0].Trace) != 2 {
		t.Fatalf("%d passages", len(f))
	}
	ends := [2]orb.Point{{*f[0].Trace[0].E, *f[0].Trace[0].N}, {*f[0].Trace[1].E, *f[0].Trace[1].N}}
	if ends[0][0] > ends[1][0] {
		ends[0], ends[1] = ends[1], ends[0]
	}
	if distance(ends[0], orb.Point{8, 8}) > 1e-4 || distance(ends[1], orb.Point{8.72, 8.96}) > 1e-4 {
		t.Errorf("the passage lies between %v, want (8, 8) and (8.72, 8.96)", ends)
	}
	if at := f[0].At; !near(*at.E, 8.36, 1e-4) || !near(*at.N, 8.48, 1e-4) {
		t.Errorf("the passage is at %v, %v, want its middle (8.36, 8.48)", *at.E, *at.N)
	}
	if len(f[0].Features) != 3 || f[0].Features[1].Name != "a" || f[0].Features[2].Name != "b" {
		t.Errorf("the passage names %d features", len(f[0].Features))
	}
}
