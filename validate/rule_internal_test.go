// What rules say beside their verdict: the place, the order of reasons, and
// what counts as a touch.

package validate

import (
	"math"
	"strings"
	"testing"
	"time"

	"github.com/paulmach/orb"
	"github.com/twpayne/go-geom"

	"swardline/schema"
)

// Across a line at any slant a touch is a micrometre: a vertex that rounding
// put less beyond it meets it at once, one that is further beyond never does.
func TestLeastCountsATouch(t *testing.T) {
	for _, slope := range []float64{0, 1, 9} { // t over c
		across := touchM * math.Hypot(1, slope) // a touch, along the way
		line := crossSegment{a: crossPoint{-1, -slope}, b: crossPoint{1, slope}, block: 1}
		for _, tc := range []struct{ past, want float64 }{
			{-0.5, 0.5}, {0, 0}, {0.99 * across, 0}, {1.01 * across, math.Inf(1)},
		} {
			vertex := sweep{movingAt: []crossPoint{{0, tc.past}}, standingSeg: []crossSegment{line}}
			if got := vertex.least(); !(math.Abs(got-tc.want) <= 1e-12 || got == tc.want) {
				t.Errorf("slope %g: a vertex %g past the line meets it after %g, want %g", slope, tc.past, got, tc.want)
			}
			front := line
			front.block = -1
			edge := sweep{standingAt: []crossPoint{{0, -tc.past}}, movingSeg: []crossSegment{front}}
			if got := edge.least(); !(math.Abs(got-tc.want) <= 1e-12 || got == tc.want) {
				t.Errorf("slope %g: an edge %g past the vertex meets it after %g, want %g", slope, tc.past, got, tc.want)
			}
		}
	}
}

// A machine turns into its dock within three quarters of the way to the line-up
// point.
func TestAtDock(t *testing.T) {
	d := Driven{docks: []*dockVisit{{dock: dockSpot{at: orb.Point{10, 20}, standoff: 2}}}}
	for _, tc := range []struct {
		off  float64
		want bool
	}{{0, true}, {1.49, true}, {1.51, false}, {2.5, false}} {
		if got := d.atDock(orb.Point{10, 20 + tc.off}); got != tc.want {
			t.Errorf("%g m from a dock with a standoff of 2 m: %v", tc.off, got)
		}
	}
}

// Positions too poor for too long are placed at the longest of them, the first
// of two that are as long, and need none.
func TestFixLostNamesTheLongest(t *testing.T) {
	from := time.Date(2026, 5, 31, 10, 0, 0, 0, time.UTC)
	poor := func(after, seconds int) PoorRun {
		start := from.Add(time.Duration(after) * time.Second)
		return PoorRun{From: start, To: start.Add(time.Duration(seconds) * time.Second), At: &Place{E: new(float64)}}
	}
	for _, tc := range []struct {
		name string
		poor []PoorRun
		want string
		at   int
	}{
		{"none", nil, "the limit is 95 %", -1},
		{"the longest", []PoorRun{poor(0, 5), poor(60, 30), poor(120, 6)}, "longest without, 30 s from 2026-05-31 10:01:00 UTC", 1},
		{"the first of two", []PoorRun{poor(0, 5), poor(60, 30), poor(120, 30)}, "longest without, 30 s from 2026-05-31 10:01:00 UTC", 1},
	} {
		r := &run{Site: &Site{}, rule: &Rule{}, driving: &DrivenReport{Poor: tc.poor}}
		r.driving.Seconds[TrackFixed], r.driving.Seconds[TrackFloat] = 50, 50
		r.limits.DrivenFixedPercent = 95
		judgeFixLost(r)
		if len(r.findings) != 1 || !strings.HasSuffix(strings.Split(r.findings[0].Message, " (")[0], tc.want) {
			t.Errorf("%s: %+v, want %q", tc.name, r.findings, tc.want)
		} else if at := r.findings[0].At; (tc.at < 0) != (at == nil) || at != nil && at != tc.poor[tc.at].At {
			t.Errorf("%s: at %v", tc.name, at)
		}
	}
}

// A hairpin stands in the middle of its turn.
func TestHairpinPlace(t *testing.T) {
	way := geom.NewLineStringFlat(geom.XY, []float64{100, 40, 100, 48, 100.4, 48, 100.4, 40})
	r := Check(driftPlan(t, thing(schema.RoleCorridor, "c", way)), schema.DefaultLimits())
	found := 0
	for _, f := range r.Findings {
		if f.Rule != RuleCorridorHairpin {
			continue
		}
		found++
		if !(math.Abs(*f.At.E-100.2) <= 1e-6 && math.Abs(*f.At.N-48) <= 1e-6) || len(f.Trace) != 2 {
			t.Errorf("at E %.3f N %.3f with a trace of %d points, want 100.2, 48 and the two corners", *f.At.E, *f.At.N, len(f.Trace))
		}
	}
	if found != 1 {
		t.Errorf("%d hairpins", found)
	}
}

// A keep-out that crosses itself is the reason why nothing is told of the
// passages beside it, and the only one.
func TestPassageSaysOneReason(t *testing.T) {
	bow := geom.NewPolygonFlat(geom.XY, []float64{4, 4, 6, 6, 6, 4, 4, 6, 4, 4}, []int{10})
	r := Check(driftPlan(t, thing(schema.RoleZone, "z", box(0, 0, 20, 20)), thing(schema.RoleKeepout, "k", bow)), schema.DefaultLimits())
	for _, x := range r.Rules {
		if x.Rule == RulePassageNarrow && (x.Outcome != Unchecked || !strings.Contains(x.Reason, "no valid polygon") || strings.Contains(x.Reason, "cannot be told")) {
			t.Errorf("%s: %q", x.Outcome, x.Reason)
		}
	}
}
