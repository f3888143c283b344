// What reaches outside, where no corner does: notches, enclaves, gaps, parcels.

package validate

import (
	"math"
	"testing"

	"github.com/twpayne/go-geom"

	"swardline/schema"
)

// poly is a polygon of rings given as flat coordinates, closed here.
func poly(rings ...[]float64) geom.T {
	var flat []float64
	var ends []int
	for _, r := range rings {
		flat = append(append(flat, r...), r[0], r[1])
		ends = append(ends, len(flat))
	}
	return geom.NewPolygonFlat(geom.XY, flat, ends)
}

// only returns the findings of one rule.
func only(r *Report, rule string) []Finding {
	var out []Finding
	for _, f := range r.Findings {
		if f.Rule == rule {
			out = append(out, f)
		}
	}
	return out
}

func TestReachesOutside(t *testing.T) {
	zone := func(g geom.T) *schema.Feature { return thing(schema.RoleZone, "lawn", g) }
	boundary := func(g geom.T) *schema.Feature { return thing(schema.RoleBoundary, "lot", g) }
	corridor := func(xy ...float64) *schema.Feature { return thing(schema.RoleCorridor, "way", track(xy...)) }
	keepout := func(g geom.T) *schema.Feature { return thing(schema.RoleKeepout, "bed", g) }
	// A lot of 20 by 20 m with a notch 4 m wide and 10 m deep in its north
	// side.
	notched := poly([]float64{0, 0, 20, 0, 20, 20, 12, 20, 12, 10, 8, 10, 8, 20, 0, 20})
	// A lot with an enclave of 6 by 2 m.
	enclave := poly([]float64{0, 0, 20, 0, 20, 20, 0, 20}, []float64{7, 9, 7, 11, 13, 11, 13, 9})
	half := schema.DefaultLimits().MachineWidthM / 2
	for _, x := range []struct {
		name, rule string
		features   []*schema.Feature
		outcome    Outcome
		measured   float64 // 0 for no finding
		area       float64 // NaN for none
	}{
		// The zone covers the notch from y = 10 to 15: every corner of what is
		// outside lies on the boundary, and the middle of its north side is 2 m
		// from it.
		{"a zone over a notch", "boundary-crossed", []*schema.Feature{boundary(notched), zone(box(2, 5, 18, 15))}, Failed, 2, 4 * 5},
		// Nothing of the outline is outside: the enclave's middle line is 1 m
		// from it.
		{"a zone over an enclave", "boundary-crossed", []*schema.Feature{boundary(enclave), zone(box(2, 2, 18, 18))}, Failed, 1, 6 * 2},
		{"a zone with the enclave as its hole", "boundary-crossed", []*schema.Feature{boundary(enclave),
			zone(poly([]float64{2, 2, 18, 2, 18, 18, 2, 18}, []float64{7, 9, 7, 11, 13, 11, 13, 9}))}, Passed, 0, 0},
		// Both ends inside, the notch between them: its middle is 2 m from
		// either side.
		{"a corridor across a notch", "boundary-crossed", []*schema.Feature{boundary(notched), zone(box(1, 1, 2, 2)), corridor(4, 15, 16, 15)}, Failed, math.Hypot(2, 0), math.NaN()},
		// Along the boundary at 0.1 m: half the machine less that.
		{"a corridor beside the boundary", "boundary-crossed", []*schema.Feature{boundary(box(0, 0, 20, 20)), zone(box(5, 5, 6, 6)), corridor(5, 0.1, 15, 0.1)}, Failed, half - 0.1, math.NaN()},
		{"a corridor half the machine from it", "boundary-crossed", []*schema.Feature{boundary(box(0, 0, 20, 20)), zone(box(5, 5, 6, 6)), corridor(5, half, 15, half)}, Passed, 0, 0},
		{"a corridor that ends outside", "boundary-crossed", []*schema.Feature{boundary(box(0, 0, 20, 20)), zone(box(5, 5, 6, 6)), corridor(5, 5, 21, 5)}, Failed, 1 + half, math.NaN()},
		{"a corridor wholly outside", "boundary-crossed", []*schema.Feature{boundary(box(0, 0, 20, 20)), zone(box(5, 5, 6, 6)), corridor(100, 5, 110, 5)}, Failed, 90 + half, math.NaN()},
		// Two parcels side by side: what runs along and across their common
		// side is inside.
		{"a zone and a corridor over two parcels", "boundary-crossed", []*schema.Feature{boundary(box(0, 0, 10, 20)), boundary(box(10, 0, 20, 20)),
			zone(box(5, 5, 15, 15)), corridor(10.1, 2, 10.1, 4), corridor(3, 17, 17, 17)}, Passed, 0, 0},
		{"a zone out of two parcels", "boundary-crossed", []*schema.Feature{boundary(box(0, 0, 10, 20)), boundary(box(10, 0, 20, 20)), zone(box(5, 5, 20.7, 15))}, Failed, 0.7, 7},
		{"a boundary that does not close", "boundary-crossed", []*schema.Feature{thing(schema.RoleBoundary, "hedge", track(0, 0, 0, 20)), zone(box(5, 5, 15, 15))}, Unchecked, 0, 0},
		{"a zone across a boundary that does not close", "boundary-crossed", []*schema.Feature{thing(schema.RoleBoundary, "hedge", track(7, 0, 7, 20)), zone(box(5, 5, 15, 15))}, Failed, 10, math.NaN()},
		{"a corridor across a boundary that does not close", "boundary-crossed", []*schema.Feature{thing(schema.RoleBoundary, "hedge", track(7, 0, 7, 20)), zone(box(8, 5, 9, 15)), corridor(8, 12, 3, 12)}, Failed, math.SmallestNonzeroFloat64, math.NaN()},
		{"a corridor beside one", "boundary-crossed", []*schema.Feature{thing(schema.RoleBoundary, "hedge", track(7, 0, 7, 20)), zone(box(8, 5, 9, 15)), corridor(7.1, 12, 7.1, 18)}, Failed, 0.1, math.NaN()},
		{"a corridor half the machine from one", "boundary-crossed", []*schema.Feature{thing(schema.RoleBoundary, "hedge", track(7, 0, 7, 20)), zone(box(8, 5, 9, 15)), corridor(7+half, 12, 7+half, 18)}, Unchecked, 0, 0},
		// A bed from one lawn to the next: of the 3 m between them the middle
		// is 1.5 m from both.
		{"a keep-out over a gap", "keepout-outside-zone", []*schema.Feature{zone(box(0, 0, 10, 10)), zone(box(13, 0, 23, 10)), keepout(box(9, 4, 14, 6))}, Failed, 1.5, 3 * 2},
		{"a keep-out over zones that touch", "keepout-outside-zone", []*schema.Feature{zone(box(0, 0, 10, 10)), zone(box(10, 0, 23, 10)), keepout(box(9, 4, 14, 6))}, Passed, 0, 0},
		{"a keep-out outside", "keepout-outside-zone", []*schema.Feature{zone(box(0, 0, 10, 10)), keepout(box(14, 4, 16, 6))}, Failed, 6, 4},
	} {
		r := Check(driftPlan(t, x.features...), schema.DefaultLimits())
		if got := r.Outcome(x.rule); got.Outcome != x.outcome {
			t.Errorf("%s: %s (%s), want %s", x.name, got.Outcome, got.Reason, x.outcome)
		}
		found := only(r, x.rule)
		if x.measured == 0 {
			if len(found) > 0 {
				t.Errorf("%s: %s", x.name, found[0].Message)
			}
			continue
		}
		if len(found) != 1 {
			t.Errorf("%s: %d findings", x.name, len(found))
			continue
		}
		if f := found[0]; !near(f.Measured, x.measured, 1e-3) || math.IsNaN(x.area) != math.IsNaN(f.AreaM2) || !math.IsNaN(x.area) && !near(f.AreaM2, x.area, 1e-3) {
			t.Errorf("%s: %v m and %v m2, want %v and %v (%s)", x.name, f.Measured, f.AreaM2, x.measured, x.area, f.Message)
		}
	}
}

// An empty plan has no area; one whose features cannot be put on the ground has
// none that is known.
func TestAreasOfNothing(t *testing.T) {
	if a := Check(&schema.Plan{}, schema.DefaultLimits()).Areas; a != (Areas{}) {
		t.Errorf("an empty plan has %+v", a)
	}
	nowhere := driftPlan(t, thing(schema.RoleZone, "lawn", track(math.NaN(), 0, 1, 1)))
	if a := Check(nowhere, schema.DefaultLimits()).Areas; !math.IsNaN(a.ZonesM2) || !math.IsNaN(a.KeepoutsM2) || !math.IsNaN(a.NetM2) {
		t.Errorf("a plan that lies nowhere has %+v", a)
	}
	// Without edges nothing is left uncut.
	if z := Check(driftPlan(t, thing(schema.RoleZone, "lawn", box(0, 0, 10, 10))), schema.DefaultLimits()).Zones; len(z) != 1 || z[0].HardEdgeM != 0 || z[0].UncutM2 != 0 {
		t.Errorf("a lawn without edges: %+v", z)
	}
}
