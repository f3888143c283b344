// The rules on a displacement in testdata/broken: for each a plan with the
// movement, in its member "example_movement", that fails it, and one that
// passes.

package validate_test

import (
	"math"
	"testing"

	"swardline/crs"
	"swardline/schema"
	"swardline/validate"
)

// example is a movement of the base, of the antenna or of what it stores, in
// metres east, north and up.
type example struct{ antenna, stored [3]float64 }

type brokenDrift struct {
	draw       func(p *plot)
	fail, pass example
	measured   float64
	findings   int
}

func antennaMoved(e, n, u float64) example { return example{antenna: [3]float64{e, n, u}} }
func storedMoved(e, n, u float64) example  { return example{stored: [3]float64{e, n, u}} }

var brokenDrifts = map[string]brokenDrift{
	// The bed's sides are 2 cos(pi/24) from the well, whose radius is 1: a
	// shift of 1.5 m brings the ground to within 2 cos(pi/24) - 1.5 of it.
	"drift-enters-hazard": {func(*plot) {}, antennaMoved(1.5, 0, 0), antennaMoved(0.9, 0, 0), 1 - (2*math.Cos(math.Pi/24) - 1.5), 1},
	// The shed stands 0.2 m east of the south lawn.
	"drift-enters-building": {func(p *plot) { p.get("g1").rings[0] = rect(30.2, -25, 33, -20) }, antennaMoved(0.5, 0, 0), antennaMoved(0.1, 0, 0), 0.3, 1},
	// The wall stands 0.5 m north of the lawn.
	"drift-crosses-edge": {func(*plot) {}, antennaMoved(0, 0.7, 0), antennaMoved(0, -0.7, 0), 0.2, 1},
	"drift-leaves-boundary": {func(p *plot) { p.get("p1").rings[0] = rect(-0.2, -40, 80, 40) },
		antennaMoved(-0.5, 0, 0), antennaMoved(0.5, 0, 0), 0.3, 1},
	"drift-enters-keepout": {func(*plot) {}, antennaMoved(0.3, 0, 0), antennaMoved(0.01, 0, 0), 0.3, 1},
	"drift-leaves-zone":    {func(*plot) {}, antennaMoved(0.3, 0, 0), antennaMoved(0.01, 0, 0), 0.3, 2},
	"drift-off-dock":       {func(*plot) {}, antennaMoved(0.3, 0.4, 0), antennaMoved(0.1, 0, 0), 0.5, 1},
	// The farthest corner is (30, -30), the base at (0, 469): coordinates
	// stored 2 m too far north drive the ground 2 m south of where it was.
	"drift-base-range": {func(p *plot) { farBase(p, 469) }, storedMoved(0, 2, 0), storedMoved(0, -2, 0), math.Hypot(30, 501), 1},
	"drift-height":     {func(*plot) {}, antennaMoved(0, 0, -0.1), antennaMoved(0, 0, 0.01), 0.1, 1},
}

func TestBrokenDrifts(t *testing.T) {
	for _, rule := range validate.RulesOf(validate.CommandDrift) {
		b, ok := brokenDrifts[rule.Name]
		if !ok {
			t.Errorf("%s has no pair of plans", rule.Name)
			continue
		}
		for ending, x := range map[string]example{"fail": b.fail, "pass": b.pass} {
			r := driftOf(t, rule.Name+"."+ending+".geojson", b.draw, x)
			want := map[string]validate.Outcome{"fail": validate.Failed, "pass": validate.Passed}[ending]
			for _, got := range r.Rules {
				if got.Rule == rule.Name && got.Outcome != want {
					t.Errorf("%s, the plan to %s: %s (%s)", rule.Name, ending, got.Outcome, got.Reason)
				}
			}
			n := 0
			for _, f := range r.Findings {
				if f.Rule != rule.Name {
					continue
				}
				n++
				if !near(f.Measured, b.measured, 1.5e-3) {
					t.Errorf("%s: measured %v, want %v", rule.Name, f.Measured, b.measured)
				}
			}
			if ending == "fail" && n != b.findings {
				t.Errorf("%s: %d findings, want %d", rule.Name, n, b.findings)
			}
		}
	}
}

// driftOf reads a plan of testdata/broken and displaces it as its member says.
func driftOf(t *testing.T, name string, draw func(*plot), x example) *validate.DriftReport {
	t.Helper()
	p := park()
	draw(p)
	list := func(v [3]float64) schema.Value {
		return schema.List(schema.Float(v[0]), schema.Float(v[1]), schema.Float(v[2]))
	}
	p.members = append(p.members, schema.Attribute{Key: "example_movement", Value: schema.Object(schema.Attributes{
		{Key: "antenna_m", Value: list(x.antenna)}, {Key: "stored_m", Value: list(x.stored)}})})
	plan := drawn(t, name, p)
	member := plan.Attributes.Get("example_movement").Fields()
	vector := func(key string) crs.Local {
		var v [3]float64
		for i, item := range member.Get(key).Items() {
			v[i], _ = item.Float()
		}
		return crs.Local{E: crs.Metres(v[0]), N: crs.Metres(v[1]), U: crs.Metres(v[2])}
	}
	m := validate.Movement{Antenna: vector("antenna_m"), Stored: vector("stored_m")}
	r, err := validate.Drift(plan, schema.DefaultLimits(), m, validate.DriftOptions{Bearings: 4})
	if err != nil {
		t.Fatal(err)
	}
	if len(r.Rules) != len(validate.RulesOf(validate.CommandDrift)) || (x.antenna != [3]float64{}) != (m.Antenna != crs.Local{}) {
		t.Fatalf("%s: %d results for the movement %+v", name, len(r.Rules), m)
	}
	return r
}
