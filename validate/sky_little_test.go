// Tests of how little of the sky a dock may lose.

package validate

import (
	"math"
	"strings"
	"testing"

	"swardline/schema"
)

// TestLittleSkyHidden: a long house so far north of a dock, or of a base, as high as
// hides the share that is asked for by the integral over its azimuths.
func TestLittleSkyHidden(t *testing.T) {
	const off, long = 10.0, 400.0
	mask := math.Sin(15 * math.Pi / 180)
	// share is what a wall of a height hides above the mask, in percent.
	share := func(high float64) float64 {
		const steps = 200000
		sum := 0.0
		for i := range steps {
			a := (float64(i)+0.5)/steps*math.Pi - math.Pi/2
			if math.Abs(off*math.Tan(a)) > long {
				continue
			}
			sum += math.Max(0, math.Sin(math.Atan(high*math.Cos(a)/off))-mask) * math.Pi / steps
		}
		return 100 * sum / (2 * math.Pi * (1 - mask))
	}
	highFor := func(percent float64) float64 {
		low, high := 1.0, 40.0
		for range 60 {
			if m := (low + high) / 2; share(m) < percent {
				low = m
			} else {
				high = m
			}
		}
		return low
	}
	for _, x := range []struct {
		role    schema.Role
		percent float64
		want    Severity
	}{
		{schema.RoleDock, 0.45, ""},
		{schema.RoleDock, 0.55, Note},
		{schema.RoleDock, 2.9, Note},
		{schema.RoleDock, 3.1, Warning},
		{schema.RoleBase, 2.9, Warning},
	} {
		features := []*schema.Feature{
			thing(schema.RoleZone, "Lawn", box(-90, -20, -70, 0)),
			thing(schema.RoleBuilding, "House", box(-long, off, long, off+12), "height_m", highFor(x.percent)),
		}
		f := thing(x.role, "Place", spot(0, 0))
		if x.role == schema.RoleDock {
			f = thing(x.role, "Place", spot(0, 0), "heading_deg", 0.0, "standoff_m", 2.0)
		}
		got := Severity("")
		for _, y := range only(Check(driftPlan(t, append(features, f)...), schema.DefaultLimits()), RuleSkyBlocked) {
			if y.Features[0].Name == "Place" && got != Warning {
				got = y.Severity
			}
		}
		if got != x.want {
			t.Errorf("%s, %g %%: %q, want %q", x.role, x.percent, got, x.want)
		}
	}
}

// TestSkyBesideAFace: a dock in the middle of a long wall's face loses half of the sky,
// as it does a hair before it; at the middle of a corner a quarter.
func TestSkyBesideAFace(t *testing.T) {
	house := func(y float64) []*schema.Feature {
		return []*schema.Feature{thing(schema.RoleBuilding, "House", box(-400, y, 400, y+12), "height_m", 30.0)}
	}
	corner := []*schema.Feature{thing(schema.RoleBuilding, "House", box(0, 0, 400, 400), "height_m", 300.0)}
	for _, x := range []struct {
		name     string
		features []*schema.Feature
		says     string
	}{
		{"before the face", house(0.002), "50 % of the sky"}, {"on it", house(0), "50 % of the sky"},
		{"a hair inside", house(-0.0005), "50 % of the sky"}, {"inside", house(-0.1), "100 % of the sky"},
		{"on a corner", corner, "25 % of the sky"},
		{"on the outside of a wall round a yard", []*schema.Feature{thing(schema.RoleEdge, "Wall", track(400, 0, -400, 0, -400, 800, 400, 800, 400, 0), "edge_kind", "wall", "height_m", 30.0)}, "50 % of the sky"},
	} {
		dock := thing(schema.RoleDock, "Place", spot(0, 0), "heading_deg", 33.0, "standoff_m", 0.0)
		if got := only(Check(driftPlan(t, append(x.features, dock)...), schema.DefaultLimits()), RuleSkyBlocked); len(got) != 1 || !strings.Contains(got[0].Message, x.says) {
			t.Errorf("%s: %v, want %s", x.name, got, x.says)
		}
	}
}
