// The range of the base after a displacement: several bases, limits of a
// feature's own, and the page's tables beside it.

package validate

import (
	"math"
	"testing"

	"swardline/crs"
	"swardline/schema"
)

func TestDriftRangeOfSeveralBases(t *testing.T) {
	near := func() *schema.Feature { return thing(schema.RoleZone, "near", box(0, 0, 10, 10)) }
	far := func() *schema.Feature { return thing(schema.RoleZone, "far", box(600, 0, 610, 10)) }
	own := far()
	own.Attributes.Set(schema.PropLimits, schema.Object(schema.Attributes{{Key: "base_range_m", Value: schema.Int(620)}}))
	limits := schema.DefaultLimits()
	if err := limits.LetLoosen("base_range_m"); err != nil {
		t.Fatal(err)
	}
	base := func(name string, x float64) *schema.Feature { return thing(schema.RoleBase, name, spot(x, 0)) }
	stored := func(e float64) Movement { return Movement{Stored: crs.Local{E: crs.Metres(e)}} }
	// A plan held as coordinates: what is stored moves the ground the other
	// way.
	for _, x := range []struct {
		name     string
		features []*schema.Feature
		by       Movement
		base     string // of the only finding, which is about the zone "far"; "" for none
		measured float64
		planned  float64 // what the tables hold: the range as planned, of the zone with the least to spare
		limit    float64
	}{
		{"one base", []*schema.Feature{near(), far(), base("west", 0)}, shift(0.3, 0), "west", math.Hypot(610, 10), math.Hypot(610, 10), 500},
		{"each zone has its base", []*schema.Feature{near(), far(), base("west", 0), base("east", 620)}, shift(0.3, 0), "", 0, math.Hypot(20, 10), 500},
		{"the order of the bases is nothing", []*schema.Feature{near(), far(), base("east", 620), base("west", 0)}, shift(0.3, 0), "", 0, math.Hypot(20, 10), 500},
		{"both too far off", []*schema.Feature{near(), far(), base("west", 0), base("east", 1115)}, shift(0.3, 0), "east", math.Hypot(515, 10), math.Hypot(515, 10), 500},
		{"in range as planned", []*schema.Feature{near(), far(), base("west", 0), base("east", 1099)}, shift(0.3, 0), "", 0, math.Hypot(499, 10), 500},
		{"the ground moves off", []*schema.Feature{near(), far(), base("west", 0), base("east", 1099)}, stored(2), "east", math.Hypot(501, 10), math.Hypot(499, 10), 500},
		{"the ground moves nearer", []*schema.Feature{near(), far(), base("west", 0), base("east", 1099)}, stored(-2), "", 0, math.Hypot(499, 10), 500},
		{"a limit of the zone's own", []*schema.Feature{near(), own, base("west", 0)}, shift(0.3, 0), "", 0, math.Hypot(610, 10), 620},
		{"and past it", []*schema.Feature{near(), own, base("west", -15)}, shift(0.3, 0), "west", math.Hypot(625, 10), math.Hypot(625, 10), 620},
		{"the dock counts", []*schema.Feature{near(), thing(schema.RoleDock, "far", spot(510, 0), "heading_deg", 90.0), base("west", 0)}, shift(0.3, 0), "west", 510, 510, 500},
	} {
		p := driftPlan(t, x.features...)
		r, err := Drift(p, limits, x.by, DriftOptions{Bearings: 4})
		if err != nil {
			t.Fatal(err)
		}
		n := 0
		for i := range r.Findings {
			f := &r.Findings[i]
			if f.Rule != "drift-base-range" {
				continue
			}
			n++
			if len(f.Features) != 2 || f.Features[0].Name != "far" || f.Features[1].Name != x.base || !near3(f.Measured, x.measured) || f.Limit != x.limit {
				t.Errorf("%s: %s (%v, limit %v), want %v from %s", x.name, f.Message, f.Measured, f.Limit, x.measured, x.base)
			}
		}
		if want := map[bool]int{false: 0, true: 1}[x.base != ""]; n != want {
			t.Errorf("%s: %d findings, want %d", x.name, n, want)
		}
		// The check rule says the same of the plan as it stands.
		if c := Check(p, limits).Outcome("base-range"); (c.Outcome == Failed) != (x.planned > x.limit) {
			t.Errorf("%s: base-range is %s (%s), range %v, limit %v", x.name, c.Outcome, c.Reason, x.planned, x.limit)
		}
		s, err := Ground(p)
		if err != nil {
			t.Fatal(err)
		}
		w, err := newTabler(s, limits, &DriftTable{}, false)
		if err != nil {
			t.Fatal(err)
		}
		v := &DriftVerdicts{RangeM: math.NaN()}
		v.rangeOf(w)
		if !near3(v.RangeM, x.planned) || v.RangeLimitM != x.limit || v.OutOfRange() != (x.planned > x.limit) {
			t.Errorf("%s: the tables hold %v of %v, want %v of %v", x.name, v.RangeM, v.RangeLimitM, x.planned, x.limit)
		}
	}
}

func near3(got, want float64) bool { return math.Abs(got-want) <= 1e-3 }
