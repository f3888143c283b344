// Tests of heights beside ground that is driven.

package validate

import (
	"math"
	"strings"
	"testing"

	"github.com/twpayne/go-geom"

	"swardline/schema"
)

// TestHeightsBeside: the lawn is level at 45 m; beside it 0.3 m and 35 % of the
// distance may be lost.
func TestHeightsBeside(t *testing.T) {
	line := func(role schema.Role, x, h float64, pairs ...any) *schema.Feature { // along the lawn's east side
		return thing(role, "X", geom.NewLineStringFlat(geom.XYZ, []float64{x, 5, h, x, 15, h}), pairs...)
	}
	area := func(role schema.Role, x, h float64, pairs ...any) *schema.Feature {
		return thing(role, "X", geom.NewPolygonFlat(geom.XYZ, []float64{x, 5, h, x + 1, 5, h, x + 1, 15, h, x, 15, h, x, 5, h}, []int{15}), pairs...)
	}
	mark := func(x, y, h float64) *schema.Feature { return thing(schema.RoleMark, "M", spot(x, y, h)) }
	off := func(f *schema.Feature) *schema.Feature {
		f.Attributes.Set(schema.PropActive, schema.Bool(false))
		return f
	}
	contour := func(y, h float64) *schema.Feature {
		return thing(schema.RoleOther, "Contour", geom.NewLineStringFlat(geom.XYZ, []float64{-10, y, h, 45, y, h}))
	}
	drop := line(schema.RoleEdge, 40.4, 45, "edge_kind", "drop")
	for _, x := range []struct {
		name string
		with []*schema.Feature
		want Outcome
	}{
		{"a kerb at 1 m, 0.649 m lower", []*schema.Feature{line(schema.RoleEdge, 41, 44.351, "edge_kind", "kerb")}, Passed},
		{"0.651 m", []*schema.Feature{line(schema.RoleEdge, 41, 44.349, "edge_kind", "kerb")}, Failed},
		{"as much higher", []*schema.Feature{line(schema.RoleEdge, 41, 46, "edge_kind", "kerb")}, Passed},
		{"at 3 m, 1.349 m lower", []*schema.Feature{line(schema.RoleEdge, 43, 43.651, "edge_kind", "kerb")}, Passed},
		{"at 3 m, 1.351 m lower", []*schema.Feature{line(schema.RoleEdge, 43, 43.649, "edge_kind", "kerb")}, Failed},
		{"a wall that only holds the ground up", []*schema.Feature{line(schema.RoleEdge, 40.2, 44.5, "edge_kind", "wall")}, Unchecked},
		{"a fence", []*schema.Feature{line(schema.RoleEdge, 40.2, 44, "edge_kind", "fence")}, Unchecked},
		{"a flush edge", []*schema.Feature{line(schema.RoleEdge, 40.5, 44, "edge_kind", "flush")}, Failed},
		{"a drop whose line lies lower", []*schema.Feature{line(schema.RoleEdge, 40.5, 44, "edge_kind", "drop")}, Unchecked},
		{"a drop that falls so by its word", []*schema.Feature{line(schema.RoleEdge, 40.5, 44, "edge_kind", "drop", "height_m", 1.0)}, Passed},
		{"a wall whose top stands 0.299 m above the lawn", []*schema.Feature{line(schema.RoleEdge, 40.2, 44, "edge_kind", "wall", "height_m", 1.299)}, Unchecked},
		{"0.301 m", []*schema.Feature{line(schema.RoleEdge, 40.2, 44, "edge_kind", "wall", "height_m", 1.301)}, Passed},
		{"a building 0.5 m off whose roof lies 0.301 m above the lawn", []*schema.Feature{area(schema.RoleBuilding, 40.5, 44, "height_m", 1.301)}, Passed},
		{"0.299 m above", []*schema.Feature{area(schema.RoleBuilding, 40.5, 44, "height_m", 1.299)}, Unchecked},
		{"a building 0.299 m lower, at the lawn", []*schema.Feature{area(schema.RoleBuilding, 40.001, 44.701)}, Passed},
		{"what is only drawn, there", []*schema.Feature{area(schema.RoleOther, 40.001, 44.701)}, Unchecked},
		{"a bench", []*schema.Feature{area(schema.RoleHazard, 40.5, 44, "hazard_kind", "bench")}, Failed},
		{"a pond", []*schema.Feature{area(schema.RoleHazard, 41.5, 44, "hazard_kind", "pond")}, Unchecked},
		{"a pond 0.67 m lower", []*schema.Feature{area(schema.RoleHazard, 41.5, 44.33, "hazard_kind", "pond")}, Passed},
		{"what is only drawn", []*schema.Feature{area(schema.RoleOther, 40.5, 44)}, Failed},
		{"a boundary", []*schema.Feature{line(schema.RoleBoundary, 41, 44.3)}, Failed},
		{"a mark", []*schema.Feature{mark(41, 10, 44.3)}, Failed},
		{"an outlet", []*schema.Feature{thing(schema.RoleSupply, "S", spot(41, 10, 44.3))}, Failed},
		{"no heights", []*schema.Feature{thing(schema.RoleBuilding, "B", box(40.5, 5, 42, 9), "height_m", 3.0)}, Passed},
		{"a zone that is off", []*schema.Feature{off(area(schema.RoleZone, 40.5, 44))}, Failed},
		{"a drop between", []*schema.Feature{area(schema.RoleOther, 40.8, 44), drop}, Passed},
		{"a wall between", []*schema.Feature{area(schema.RoleOther, 40.8, 44), line(schema.RoleEdge, 40.4, 45, "edge_kind", "wall", "height_m", 1.151)}, Passed},
		{"a hair lower", []*schema.Feature{area(schema.RoleOther, 40.8, 44), line(schema.RoleEdge, 40.4, 45, "edge_kind", "wall", "height_m", 1.149)}, Unchecked},
		{"one of no height", []*schema.Feature{area(schema.RoleOther, 40.8, 44), line(schema.RoleEdge, 40.4, 45, "edge_kind", "wall")}, Unchecked},
		{"a kerb between", []*schema.Feature{area(schema.RoleOther, 40.8, 44), line(schema.RoleEdge, 40.4, 45, "edge_kind", "kerb")}, Failed},
		{"a pit by the way between", []*schema.Feature{area(schema.RoleOther, 40.8, 44), thing(schema.RoleHazard, "P", box(41.2, 5, 43, 15), "hazard_kind", "pit")}, Passed},
		{"a contour over the lawn", []*schema.Feature{contour(12, 44.5)}, Passed},
		{"a contour beside it", []*schema.Feature{contour(25.5, 44.4)}, Failed},
		{"one side of a way", []*schema.Feature{mark(50.5, 10, 44.52)}, Failed},
		{"a hair higher", []*schema.Feature{mark(50.5, 10, 44.53)}, Unchecked},
		{"a step", []*schema.Feature{mark(50.5, 10, 44.68)}, Passed},
		{"beside the way into the dock", []*schema.Feature{mark(60.5, 13, 44.52)}, Failed},
		{"a hair higher, there", []*schema.Feature{mark(60.5, 13, 44.53)}, Unchecked},
		{"by a flush edge that the lawn crosses between its points", []*schema.Feature{thing(schema.RoleEdge, "E", geom.NewLineStringFlat(geom.XYZ, []float64{40.5, -50, 44, 40.5, 80, 44}), "edge_kind", "flush")}, Failed},
	} {
		p := driftPlan(t, append([]*schema.Feature{
			thing(schema.RoleZone, "Lawn", geom.NewPolygonFlat(geom.XYZ, []float64{0, 0, 45, 40, 0, 45, 40, 25, 45, 0, 25, 45, 0, 0, 45}, []int{15})),
			thing(schema.RoleCorridor, "Way", geom.NewLineStringFlat(geom.XYZ, []float64{50, 5, 45, 50, 20, 45})),
			thing(schema.RoleDock, "Dock", spot(60, 14, 45), "heading_deg", 0.0, "standoff_m", 2.0)}, x.with...)...)
		r := Check(p, schema.DefaultLimits())
		got := only(r, RuleSlopeLimit)
		if o := r.Outcome(RuleSlopeLimit); o.Outcome != x.want || len(got) > 1 || x.want == Failed && (got[0].Severity != Warning || !strings.Contains(got[0].Message, "where the fall begins")) {
			t.Errorf("%s: %s %s %v", x.name, o.Outcome, o.Reason, got)
		}
	}
}

// TestHeightsNeverMeasuredBeside: what is 0 all over was not measured.
func TestHeightsNeverMeasuredBeside(t *testing.T) {
	for h, want := range map[float64]Outcome{0: Passed, 0.01: Unchecked} {
		p := driftPlan(t,
			thing(schema.RoleZone, "Lawn", geom.NewPolygonFlat(geom.XYZ, []float64{0, 0, 2, 40, 0, 2, 40, 25, 2, 0, 25, 2, 0, 0, 2}, []int{15})),
			thing(schema.RoleBuilding, "B", geom.NewPolygonFlat(geom.XYZ, []float64{40.5, 5, h, 42, 5, h, 42, 9, h, 40.5, 5, h}, []int{12})))
		if o := Check(p, schema.DefaultLimits()).Outcome(RuleSlopeLimit); o.Outcome != want {
			t.Errorf("at %g m: %s %s", h, o.Outcome, o.Reason)
		}
	}
}

// TestHeightsUnderKeepouts: a level lawn of 40 by 25 m; the ground in its middle may
// lie 0.005 t (L - t) off, t from the outline: over the 25 m across 0.77 m.
func TestHeightsUnderKeepouts(t *testing.T) {
	bed := func() *schema.Feature { return thing(schema.RoleKeepout, "K", box(18, 10, 22, 15)) }
	rock := func(role schema.Role, x, h float64, pairs ...any) *schema.Feature {
		return thing(role, "R", spot(x, 12.5, h), pairs...)
	}
	off := func(f *schema.Feature) *schema.Feature {
		f.Attributes.Set(schema.PropActive, schema.Bool(false))
		return f
	}
	fence := func(x float64) *schema.Feature {
		return thing(schema.RoleEdge, "F", geom.NewLineStringFlat(geom.XYZ, []float64{x, 12, 42, x, 13, 42}), "edge_kind", "fence", "height_m", 4.0)
	}
	for _, x := range []struct {
		name string
		with []*schema.Feature
		want Outcome
	}{
		{"1 m from the rim", []*schema.Feature{rock(schema.RoleHazard, 19, 43.59, "hazard_kind", "rock", "radius_m", 0.3)}, Passed},
		{"a hair lower", []*schema.Feature{rock(schema.RoleHazard, 19, 43.55, "hazard_kind", "rock", "radius_m", 0.3)}, Unchecked},
		{"as much higher", []*schema.Feature{rock(schema.RoleHazard, 19, 47, "hazard_kind", "rock", "radius_m", 0.3)}, Passed},
		{"a pit", []*schema.Feature{rock(schema.RoleHazard, 19, 43, "hazard_kind", "pit", "radius_m", 0.3)}, Passed},
		{"a mark", []*schema.Feature{rock(schema.RoleMark, 19, 43.5)}, Unchecked},
		{"one with a drop in the bed", []*schema.Feature{rock(schema.RoleMark, 19, 43.5), thing(schema.RoleEdge, "D", geom.NewLineStringFlat(geom.XY, []float64{18.8, 11, 18.8, 14}), "edge_kind", "drop")}, Passed},
		{"an outlet", []*schema.Feature{rock(schema.RoleSupply, 19, 43.5)}, Unchecked},
		{"what is off", []*schema.Feature{off(thing(schema.RoleZone, "Z", geom.NewPolygonFlat(geom.XYZ, []float64{19, 12, 43, 20, 12, 43, 20, 13, 43, 19, 12, 43}, []int{12})))}, Unchecked},
		{"a building that stands above it", []*schema.Feature{thing(schema.RoleBuilding, "B", geom.NewPolygonFlat(geom.XYZ, []float64{19, 12, 43, 20, 12, 43, 20, 13, 43, 19, 12, 43}, []int{12}), "height_m", 2.5)}, Passed},
		{"one that does not", []*schema.Feature{thing(schema.RoleBuilding, "B", geom.NewPolygonFlat(geom.XYZ, []float64{19, 12, 43, 20, 12, 43, 20, 13, 43, 19, 12, 43}, []int{12}), "height_m", 2.2)}, Unchecked},
		{"a fence 4 m high at the rim", []*schema.Feature{fence(18.9)}, Passed},
		{"1.1 m from it", []*schema.Feature{fence(19.1)}, Unchecked},
	} {
		p := driftPlan(t, append([]*schema.Feature{bed(),
			thing(schema.RoleZone, "Lawn", geom.NewPolygonFlat(geom.XYZ, []float64{0, 0, 45, 40, 0, 45, 40, 25, 45, 0, 25, 45, 0, 0, 45}, []int{15}))}, x.with...)...)
		r := Check(p, schema.DefaultLimits())
		if o := r.Outcome(RuleSlopeLimit); o.Outcome != x.want || x.want == Unchecked && !strings.Contains(o.Reason, "lies under a keep-out") {
			t.Errorf("%s: %s %s %v", x.name, o.Outcome, o.Reason, only(r, RuleSlopeLimit))
		}
	}
}

// TestContoursInOneFeature: contours of several heights that one feature holds, 1 m
// apart in a lawn, their points far from one another.
func TestContoursInOneFeature(t *testing.T) {
	for up, want := range map[float64]Outcome{0.651: Failed, 0.649: Passed} {
		p := driftPlan(t,
			thing(schema.RoleZone, "Lawn", geom.NewPolygonFlat(geom.XYZ, []float64{0, 0, 45, 40, 0, 45, 40, 25, 45, 0, 25, 45, 0, 0, 45}, []int{15})),
			thing(schema.RoleOther, "Contours", geom.NewMultiLineStringFlat(geom.XYZ, []float64{4, 12, 45, 16, 12, 45, 11, 13, 45 + up, 30, 13, 45 + up}, []int{6, 12})))
		r := Check(p, schema.DefaultLimits())
		if got := only(r, RuleSlopeLimit); r.Outcome(RuleSlopeLimit).Outcome != want || want == Failed && got[0].Severity != Warning {
			t.Errorf("%g m: %s %v", up, r.Outcome(RuleSlopeLimit).Reason, got)
		}
	}
}

// TestSidesOfWhatIsOff: the first thing that is off counts as the first thing that is on.
func TestSidesOfWhatIsOff(t *testing.T) {
	line := func(x float64, on bool) *schema.Feature {
		return thing(schema.RoleEdge, "E", geom.NewLineStringFlat(geom.XYZ, []float64{x, 5, 45, x, 15, 44}), "edge_kind", "flush", "active", on)
	}
	s, err := Ground(driftPlan(t, line(40, true), line(50, false)))
	if err != nil {
		t.Fatal(err)
	}
	r := newRun(s, schema.DefaultLimits())
	off := &r.offs()[0]
	for range 2 { // the second time they are there already
		on, own := r.edgeHeights(r.Features[0]), r.edgeHeights(off)
		if len(on.sides) != 1 || len(own.sides) != 1 || on != r.edgeHeights(r.Features[0]) || !(math.Abs(distance(on.sides[0][0].ground, own.sides[0][0].ground)-10) < 0.01) {
			t.Errorf("%d sides from %v on, %d from %v off", len(on.sides), on.sides, len(own.sides), own.sides)
		}
	}
}
