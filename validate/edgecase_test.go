// Cases at the edge of a condition: which end of a corridor is a dock's, what
// stands across a way, faults that are one, rings with heights, a range that
// nothing moved.

package validate

import (
	"math"
	"strings"
	"testing"

	"github.com/paulmach/orb"
	"github.com/twpayne/go-geom"

	"swardline/schema"
)

// A base out of range is told of, and stops the machine only once something
// moved.
func TestRangeAloneStopsNothing(t *testing.T) {
	p := driftPlan(t, thing(schema.RoleZone, "z", box(490, 0, 500.5, 10)), baseAt(0, 0, 45))
	for _, x := range []struct {
		name string
		by   Movement
		want Verdict
	}{
		{"nothing moved", shift(0, 0), VerdictUnchanged},
		{"it moved within the limit", shift(0.01, 0), VerdictUnchanged},
		{"it moved", shift(0.05, 0), VerdictStop},
	} {
		r := mustDrift(t, p, x.by, DriftOptions{Bearings: 4})
		if findingOf(r, "drift-base-range") == nil || r.Verdict != x.want {
			t.Errorf("%s: %s, want %s and the range told of", x.name, r.Verdict, x.want)
		}
	}
	sank := shift(0, 0)
	sank.Antenna.U = -0.05
	if r := mustDrift(t, p, sank, DriftOptions{Bearings: 4}); r.Verdict != VerdictStop {
		t.Errorf("a base out of range that sank: %s", r.Verdict)
	}
	sank.NoHeight = true
	if r := mustDrift(t, p, sank, DriftOptions{Bearings: 4}); r.Verdict != VerdictUnchanged {
		t.Errorf("a base of which no height is known: %s", r.Verdict)
	}
}

func TestWhereACorridorEnds(t *testing.T) {
	lawn := func(name string, x0, y0, x1, y1 float64) *schema.Feature {
		return thing(schema.RoleZone, name, box(x0, y0, x1, y1))
	}
	// Lines up at (x - 2, y).
	dock := func(x, y float64) *schema.Feature {
		return thing(schema.RoleDock, "dock", spot(x, y), "heading_deg", 90.0, "standoff_m", 2.0)
	}
	bow := thing(schema.RoleZone, "bow", poly([]float64{24, 4, 32, 16, 32, 4, 24, 16}))
	way := func(xy ...float64) *schema.Feature { return thing(schema.RoleCorridor, "way", track(xy...)) }
	for _, x := range []struct {
		name       string
		features   []*schema.Feature
		near       string // the zone that the last end is nearest to, "" for none
		gap        float64
		zone, dock bool // whether the last end lies in a zone, and is the dock's
	}{
		{"back beside its own lawn", []*schema.Feature{lawn("a", 0, 0, 20, 20), lawn("b", 24, 0, 40, 20), way(18, 10, 22, 10, 21, 15)}, "b", 3, false, false},
		{"beside its own lawn, no other", []*schema.Feature{lawn("a", 0, 0, 20, 20), way(18, 10, 22, 10, 21, 15)}, "", 0, false, false},
		{"nearer to the dock than to a lawn", []*schema.Feature{lawn("a", 0, 0, 20, 20), lawn("b", 24, 0, 40, 8), dock(27, 10), way(18, 10, 21, 10, 24, 10)}, "b", 2, false, true},
		{"nearer to a lawn than to the dock", []*schema.Feature{lawn("a", 0, 0, 20, 20), lawn("b", 24, 0, 40, 9.5), dock(27, 10), way(18, 10, 21, 10, 24, 10)}, "b", 0.5, false, false},
		{"on a lawn, 1 m from where the dock waits", []*schema.Feature{lawn("a", 0, 0, 20, 20), lawn("b", 23, 0, 40, 20), dock(28, 10), way(18, 10, 21, 10, 25, 10)}, "", 0, true, false},
		{"on a lawn, where the dock waits", []*schema.Feature{lawn("a", 0, 0, 20, 20), lawn("b", 23, 0, 40, 20), dock(28, 10), way(18, 10, 21, 10, 25.9, 10)}, "", 0, true, true},
		{"in what may be a lawn, 1 m from where the dock waits", []*schema.Feature{lawn("a", 0, 0, 20, 20), bow, dock(29, 10), way(18, 10, 21, 10, 26, 10)}, "", 0, false, false},
		{"no lawn there, 1 m from where the dock waits", []*schema.Feature{lawn("a", 0, 0, 20, 20), dock(29, 10), way(18, 10, 21, 10, 26, 10)}, "", 0, false, true},
	} {
		s, err := Ground(driftPlan(t, x.features...))
		if err != nil {
			t.Fatal(err)
		}
		e := newRun(s, schema.DefaultLimits()).corridors()[0].ends[1]
		near := ""
		if e.near != nil {
			near = e.near.Name
		}
		if near != x.near || near != "" && !near3(e.gap, x.gap) || (e.zone != nil) != x.zone || (e.dock != nil) != x.dock {
			t.Errorf("%s: nearest to %q (%.3f m), in a zone %v, at the dock %v", x.name, near, e.gap, e.zone != nil, e.dock != nil)
		}
	}
}

func TestNarrowestAtItsEdges(t *testing.T) {
	f, g := &Feature{Index: 1}, &Feature{Index: 2}
	wall := func(f *Feature, pts ...orb.Point) obstacle { return obstacle{f: f, pts: pts, hard: true} }
	along := func(f *Feature, y float64) obstacle { return wall(f, orb.Point{0, y}, orb.Point{20, y}) }
	none := math.Inf(1)
	for _, x := range []struct {
		name string
		obs  []obstacle
		want float64
	}{
		{"the left one out of reach", []obstacle{along(f, 2), along(g, -0.5)}, none},
		{"the right one out of reach", []obstacle{along(f, 0.5), along(g, -2)}, none},
		{"the left one just in reach", []obstacle{along(f, 1.5), along(g, -0.5)}, 2},
		{"the right one just in reach", []obstacle{along(f, 0.5), along(g, -1.5)}, 2},
		{"before its beginning", []obstacle{along(f, 0.5), wall(g, orb.Point{-5, -0.5}, orb.Point{-1, -0.5})}, none},
		{"behind its end", []obstacle{along(f, 0.5), wall(g, orb.Point{21, -0.5}, orb.Point{25, -0.5})}, none},
		{"up to its beginning", []obstacle{along(f, 0.5), wall(g, orb.Point{-5, -0.4}, orb.Point{0, -0.4})}, 0.9},
		{"from its end on", []obstacle{along(f, 0.5), wall(g, orb.Point{20, -0.4}, orb.Point{25, -0.4})}, 0.9},
		{"one begins where the other ends", []obstacle{wall(f, orb.Point{0, 0.5}, orb.Point{8, 0.5}), wall(g, orb.Point{8, -0.4}, orb.Point{20, -0.4})}, 0.9},
		{"a fence that comes in from the side", []obstacle{wall(f, orb.Point{8, 1.4}, orb.Point{8, 0.3}), along(g, -0.4)}, 0.7},
		{"two fences at two places", []obstacle{wall(f, orb.Point{6, 1.4}, orb.Point{6, 0.3}), wall(g, orb.Point{12, -1.4}, orb.Point{12, -0.3})}, none},
		{"the nearer of two on a side", []obstacle{along(f, 0.9), along(f, 0.6), along(g, -0.8), along(g, -0.5)}, 1.1},
	} {
		got := narrowest([]orb.Point{{0, 0}, {20, 0}}, 1, x.obs, 1.5)
		if got.width != x.want && !(math.Abs(got.width-x.want) < 1e-12) {
			t.Errorf("%s: %v, want %v", x.name, got.width, x.want)
		}
	}
}

// Two rings that meet at several places are one fault, told with its places;
// two pairs are two.
func TestFaultsThatAreOne(t *testing.T) {
	shell := orb.Ring{{0, 0}, {30, 0}, {30, 20}, {0, 20}, {0, 0}}
	// A comb whose teeth stick out over the east side, each 1 m wide.
	comb := func(x, y float64, teeth int) []float64 {
		xy := []float64{x - 6, y, x - 6, y + float64(2*teeth)}
		for i := teeth - 1; i >= 0; i-- {
			b := y + float64(2*i)
			xy = append(xy, x-2, b+2, x-2, b+1.5, x+2, b+1.5, x+2, b+0.5, x-2, b+0.5)
		}
		return xy
	}
	plan := func(holes ...[]float64) *schema.Plan {
		var flat []float64
		var ends []int
		for _, p := range shell {
			flat = append(flat, p[0], p[1])
		}
		ends = append(ends, len(flat))
		for _, h := range holes {
			flat = append(append(flat, h...), h[0], h[1])
			ends = append(ends, len(flat))
		}
		return driftPlan(t, thing(schema.RoleZone, "lawn", geom.NewPolygonFlat(geom.XY, flat, ends)))
	}
	for _, x := range []struct {
		name string
		plan *schema.Plan
		says []string // how each finding of hole-outside-shell words its places
	}{
		{"one tooth", plan(comb(30, 3, 1)), []string{"at 2 places"}},
		{"three teeth", plan(comb(30, 3, 3)), []string{"at 6 places"}},
		{"two combs", plan(comb(30, 1, 2), comb(30, 12, 3)), []string{"at 4 places", "at 6 places"}},
	} {
		found := only(Check(x.plan, schema.DefaultLimits()), "hole-outside-shell")
		if len(found) != len(x.says) {
			t.Errorf("%s: %d findings, want %d", x.name, len(found), len(x.says))
			continue
		}
		for i := range found {
			if !strings.Contains(found[i].Message, x.says[i]) {
				t.Errorf("%s: %q does not say %q", x.name, found[i].Message, x.says[i])
			}
		}
	}
}

// A vertex said twice is one only where its heights are alike; a height that is
// missing is like another that is missing.
func TestSameRingWithHeights(t *testing.T) {
	none := math.NaN()
	ring := func(heights ...float64) []float64 { // a square whose second corner stands twice when five are given
		corners := [][2]float64{{0, 0}, {10, 0}, {10, 10}, {0, 10}}
		if len(heights) == 5 {
			corners = [][2]float64{{0, 0}, {10, 0}, {10, 0}, {10, 10}, {0, 10}}
		}
		var flat []float64
		for i, c := range corners {
			flat = append(flat, c[0], c[1], heights[i])
		}
		return append(flat, flat[:3]...)
	}
	for _, x := range []struct {
		name string
		a, b []float64
		want bool
	}{
		{"alike", ring(1, 2, 3, 4), ring(1, 2, 3, 4), true},
		{"one repetition", ring(1, 2, 2, 3, 4), ring(1, 2, 3, 4), true},
		{"no heights", ring(none, none, none, none, none), ring(none, none, none, none), true},
		{"a repetition at another height", ring(1, 2, 2.5, 3, 4), ring(1, 2, 3, 4), false},
		{"a repetition without a height", ring(1, 2, none, 3, 4), ring(1, 2, 3, 4), false},
		{"another height", ring(1, 2, 3, 4), ring(1, 2, 3, 5), false},
		{"a height lost", ring(1, 2, 3, 4), ring(1, none, 3, 4), false},
	} {
		if got := sameRing(x.a, x.b, 3); got != x.want {
			t.Errorf("%s: %v", x.name, got)
		}
		if got := sameRing(x.b, x.a, 3); got != x.want {
			t.Errorf("%s, turned about: %v", x.name, got)
		}
	}
}
