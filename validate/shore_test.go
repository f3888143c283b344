// Tests of shores that are drawn in part, or in lines of several kinds.

package validate

import (
	"math"
	"strings"
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
		{"stream", 0, 300, false}, {"ledge", 0, 300, false}, {"road", 0, 300, false}, {"wibble", 0, 300, true}, {"", 0, 300, true}, {"water", 0, 300, true}, {"Gewässer", 0, 300, true}, {"ruisseau", 0, 300, false},
	} {
		p := driftPlan(t, lawn, thing(schema.RoleHazard, "H", arc(20, 20, 5, x.from, x.to), "hazard_kind", x.kind), ring(x.from, x.to))
		r := Check(p, schema.DefaultLimits())
		if got := r.Outcome(RuleHazardUncovered); strings.Contains(got.Reason, "with a mouth of") != x.open || got.Outcome == Failed {
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

// TestPiecedShores: the lawn of 10 m lies in what open lines 15 m from its middle
// run round.
func TestPiecedShores(t *testing.T) {
	pieces := func(kind string, turns ...float64) []*schema.Feature {
		out := []*schema.Feature{thing(schema.RoleZone, "Lawn", box(15, 15, 25, 25))}
		for i := 0; i+1 < len(turns); i += 2 {
			out = append(out, thing(schema.RoleHazard, "H", arc(20, 20, 15, turns[i], turns[i+1]), "hazard_kind", kind))
		}
		return out
	}
	for _, x := range []struct {
		name     string
		features []*schema.Feature
		open     bool
	}{
		{"two halves, mouths of 5.2 m", pieces("pond", 0, 160, 180, 340), true},
		{"the second drawn the other way", pieces("pond", 0, 160, 340, 180), true},
		{"called water", pieces("water", 0, 160, 180, 340), true},
		{"of no kind", pieces("", 0, 160, 180, 340), true},
		{"streams", pieces("stream", 0, 160, 180, 340), false},
		{"four pieces", pieces("pond", 0, 70, 180, 250, 90, 160, 270, 340), true},
		// Mouths of 30 sin(a/2) twice are half of the lines at 61.99 degrees each.
		{"mouths of 62.2 degrees", pieces("pond", 0, 117.8, 180, 297.8), false},
		{"mouths of 61.8 degrees", pieces("pond", 0, 118.2, 180, 298.2), true},
		{"one piece", pieces("pond", 0, 160), false},
		{"beside the lawn", []*schema.Feature{thing(schema.RoleZone, "Lawn", box(40, 15, 50, 25)),
			thing(schema.RoleHazard, "H", arc(20, 20, 15, 0, 160), "hazard_kind", "pond"), thing(schema.RoleHazard, "H", arc(20, 20, 15, 180, 340), "hazard_kind", "pond")}, false},
		{"a keep-out over what they run round", append(pieces("pond", 0, 160, 180, 340), thing(schema.RoleKeepout, "k", box(14, 14, 26, 26))), false},
		{"two ponds to either side of the lawn", []*schema.Feature{thing(schema.RoleZone, "Lawn", box(0, 0, 40, 20)),
			thing(schema.RoleHazard, "H", arc(-8, 10, 7, 20, 160), "hazard_kind", "pond"), thing(schema.RoleHazard, "H", arc(48, 10, 7, 200, 340), "hazard_kind", "pond")}, false},
	} {
		r := Check(driftPlan(t, x.features...), schema.DefaultLimits())
		if got := r.Outcome(RuleHazardUncovered); (got.Outcome == Unchecked) != x.open || got.Outcome == Failed {
			t.Errorf("%s: %v %s %v", x.name, got.Outcome, got.Reason, only(r, RuleHazardUncovered))
		}
	}
}
