// Tests of roads and waters that are drawn as their middle line.

package validate

import (
	"testing"

	geom "github.com/twpayne/go-geom"

	"swardline/schema"
)

func TestCentreLines(t *testing.T) {
	for _, x := range []struct {
		kind, name string
		off        float64
		width      float64
		open       bool
	}{
		{"centre line of road", "", 0.4, 0, true}, {"road-centreline", "", 0.4, 0, true}, {"Straßenachse", "", 0.4, 0, true}, {"Fahrbahnmitte", "", 0.4, 0, true},
		{"road", "Mill Lane, centre line", 0.4, 0, true}, {"street c/l", "", 0.4, 0, true}, {"Mittellinie Bach", "", 0.4, 0, true}, {"eje de calle", "", 0.4, 0, true},
		{"road", "Mill Lane", 0.4, 0, false}, {"road", "Lane by the garden centre", 0.4, 0, false}, {"road", "Mill Lane, centre line", 9.9, 0, true}, {"road", "Mill Lane, centre line", 10.1, 0, false},
		{"centre line of road", "", 4, 6, false}, {"rock", "centre", 0.4, 0, false}, {"road", "Axe de la route", 0.4, 0, true}, {"ditch", "Talweg", 0.4, 0, true}, {"road", "Ringweg Ost", 0.4, 0, false},
	} {
		f := thing(schema.RoleHazard, x.name, geom.NewLineStringFlat(geom.XY, []float64{40 + x.off, -5, 40 + x.off, 30}), "hazard_kind", x.kind)
		if x.width > 0 {
			f.Attributes.Set(schema.PropWidth, schema.Float(x.width))
		}
		r := Check(driftPlan(t, thing(schema.RoleZone, "Lawn", box(0, 0, 40, 25)), f), schema.DefaultLimits())
		if got := r.Outcome(RuleHazardUncovered); (got.Outcome == Unchecked) != x.open {
			t.Errorf("%s %s %g: %s %s", x.kind, x.name, x.off, got.Outcome, got.Reason)
		}
	}
	// By a corridor alone, 10 m and half the machine off.
	for off, open := range map[float64]bool{10.298: true, 10.302: false} {
		r := Check(driftPlan(t, thing(schema.RoleZone, "Lawn", box(0, 0, 40, 25)),
			thing(schema.RoleCorridor, "Way", geom.NewLineStringFlat(geom.XY, []float64{20, 24, 20, 90})),
			thing(schema.RoleHazard, "", geom.NewLineStringFlat(geom.XY, []float64{20 + off, 50, 20 + off, 80}), "hazard_kind", "road centreline")), schema.DefaultLimits())
		if got := r.Outcome(RuleHazardUncovered); (got.Outcome == Unchecked) != open {
			t.Errorf("%g beside a corridor: %s %s", off, got.Outcome, got.Reason)
		}
	}
}
