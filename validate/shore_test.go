// Tests of shores that are drawn in part, or in lines of several kinds.

package validate

import (
	"math"
	"testing"

	geom "github.com/twpayne/go-geom"

	"swardline/schema"
)

// arc is a line round a middle from one bearing to another, in degrees.
func arc(x, y, radius, from, to float64) geom.T {
	var flat []float64
	for k := 0; k <= 40; k++ {
		s, c := math.Sincos((from + (to-from)*float64(k)/40) * math.Pi / 180)
		flat = append(flat, x+radius*s, y+radius*c)
	}
	return geom.NewLineStringFlat(geom.XY, flat)
}

func TestGapedShores(t *testing.T) {
	lawn := thing(schema.RoleZone, "Lawn", box(0, 0, 40, 40))
	// A keep-out along the line alone, as wide as the margin asks.
	ring := func(from, to float64) *schema.Feature {
		var flat []float64
		for _, side := range []float64{5.5, 4.5} {
			for k := 0; k <= 60; k++ {
				a := from - 6 + (to-from+12)*float64(k)/60
				if side == 4.5 {
					a = from - 6 + (to-from+12)*float64(60-k)/60
				}
				s, c := math.Sincos(a * math.Pi / 180)
				flat = append(flat, 20+side*s, 20+side*c)
			}
		}
		flat = append(flat, flat[:2]...)
		return thing(schema.RoleKeepout, "Rim", geom.NewPolygonFlat(geom.XY, flat, []int{len(flat)}))
	}
	for _, x := range []struct {
		kind     string
		from, to float64
		open     bool
	}{
		// The mouth is half as wide as the line is long at 217.2 degrees of arc.
		{"pond", 0, 330, true}, {"pond", 0, 217.6, true}, {"pond", 0, 216.8, false}, {"pond", 0, 90, false},
		{"swimming pool", 0, 300, true}, {"Löschteich", 0, 300, true}, {"gravel pit", 0, 300, true}, {"car park", 0, 300, true},
		{"stream", 0, 300, false}, {"ledge", 0, 300, false}, {"road", 0, 300, false}, {"wibble", 0, 300, true}, {"", 0, 300, true},
	} {
		p := driftPlan(t, lawn, thing(schema.RoleHazard, "H", arc(20, 20, 5, x.from, x.to), "hazard_kind", x.kind), ring(x.from, x.to))
		r := Check(p, schema.DefaultLimits())
		if got := r.Outcome(RuleHazardUncovered); (got.Outcome == Unchecked) != x.open || got.Outcome == Failed {
			t.Errorf("%s, %g to %g: %v %s %v", x.kind, x.from, x.to, got.Outcome, got.Reason, only(r, RuleHazardUncovered))
		}
	}
}

func TestShoresOfSeveralKinds(t *testing.T) {
	lawn := thing(schema.RoleZone, "Lawn", box(0, 0, 40, 40))
	half := func(kind string, from, to float64) *schema.Feature {
		return thing(schema.RoleHazard, kind, arc(20, 20, 30, from, to), "hazard_kind", kind)
	}
	for _, x := range []struct {
		name     string
		features []*schema.Feature
		open     bool
	}{
		{"a pond and a stream close", []*schema.Feature{half("stream", 0, 180), half("ledge", 180, 360)}, true},
		{"they miss by less than the machine", []*schema.Feature{half("stream", 0, 180), half("ledge", 181, 359)}, true},
		{"by more", []*schema.Feature{half("stream", 0, 180), half("ledge", 182, 358)}, false},
		{"one of no kind", []*schema.Feature{half("stream", 0, 180), half("", 180, 360)}, true},
		{"one side alone", []*schema.Feature{half("stream", 0, 180)}, false},
	} {
		r := Check(driftPlan(t, append([]*schema.Feature{lawn}, x.features...)...), schema.DefaultLimits())
		if got := r.Outcome(RuleHazardUncovered); (got.Outcome == Unchecked) != x.open {
			t.Errorf("%s: %v %s", x.name, got.Outcome, got.Reason)
		}
	}
}
