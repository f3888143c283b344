// Plans whose danger is a word, a name or a number beside the drawing.

package validate_test

import (
	"strings"
	"testing"

	"github.com/paulmach/orb"

	"swardline/schema"
	"swardline/validate"
)

// TestHazardsOfNoKnownKind: where the margin of one kind is wider than the
// general one, a hazard whose kind is not known keeps that.
func TestHazardsOfNoKnownKind(t *testing.T) {
	water := func(l *schema.Limits) {
		if err := l.Set("hazard_margin_water_m", 2, schema.OriginFile, "crew.yaml line 1"); err != nil {
			t.Fatal(err)
		}
	}
	drop := func(l *schema.Limits) {
		if err := l.Set("hazard_margin_drop_m", 2, schema.OriginFile, "crew.yaml line 1"); err != nil {
			t.Fatal(err)
		}
	}
	const none = validate.Severity("none")
	for _, x := range []struct {
		kind  string
		limit func(*schema.Limits)
		cover float64 // how far a keep-out reaches past the hazard
		want  validate.Severity
		says  string
	}{
		{"harbr", water, 1.99, validate.Error, `"harbr" is not known`},
		{"harbr", water, 2.01, none, ""},
		{"", water, 1.99, validate.Error, "hazard_kind is missing"},
		{"", drop, 1.99, validate.Error, "hazard_kind is missing"},
		{"", water, 2.01, none, ""},
		{"pnd", water, 1.99, validate.Error, `perhaps "pond"`},
		{"harbour", water, 1.99, validate.Error, "needs 2.00 m"},
		{"harbour", drop, 0.31, none, ""},
		{"ha-ha", drop, 1.99, validate.Error, ""},
		{"retaining wall", drop, 1.99, validate.Error, ""},
		{"quarry by the road", drop, 1.99, validate.Error, ""},
		{"pond above a quarry", drop, 1.99, validate.Error, ""},
		{"bench", water, 0.31, none, ""},
		{"bench", water, 0.29, validate.Warning, ""},
		{"old lamp post", water, 0.31, none, ""},
		{"tree", water, 0.31, none, ""},
		{"fruit tree", water, 1.99, validate.Error, `"fruit tree" is not known`},
		{"harbr", func(*schema.Limits) {}, 0.31, none, ""},
		{"harbr", func(*schema.Limits) {}, 0.29, validate.Error, "harbr"},
	} {
		p := park()
		h := p.add(&thing{id: "h9", role: "hazard", name: "Thing", rings: [][]orb.Point{rect(20, -21, 21, -20)}, z: flatGround})
		if x.kind != "" {
			h.set("hazard_kind", schema.String(x.kind))
		}
		p.add(&thing{id: "k9", role: "keepout", name: "Over", rings: [][]orb.Point{rect(20-x.cover, -21-x.cover, 21+x.cover, -20+x.cover)}, z: flatGround})
		l := schema.DefaultLimits()
		x.limit(&l)
		got, message := none, ""
		for _, f := range validate.Check(p.plan(t), l).Findings {
			if f.Rule == "hazard-uncovered" && f.Features[0].ID.Text() == "h9" {
				got, message = f.Severity, f.Message
			}
		}
		if got != x.want || !strings.Contains(message, x.says) {
			t.Errorf("%q covered %g m: %s %q, want %s", x.kind, x.cover, got, message, x.want)
		}
	}
}

// TestPointsOfNoKnownKind: a point that may be a pool has no size.
func TestPointsOfNoKnownKind(t *testing.T) {
	for _, x := range []struct {
		kind   string
		radius float64
		want   validate.Outcome
	}{
		{"", 0, validate.Unchecked}, {"harbr", 0, validate.Unchecked}, {"pond", 0, validate.Unchecked},
		{"quarry", 0, validate.Unchecked}, {"car park", 0, validate.Unchecked}, {"quarry", 1, validate.Passed},
		{"harbr", 1, validate.Passed}, {"bench", 0, validate.Passed}, {"tree", 0, validate.Passed},
	} {
		p := park()
		h := p.add(&thing{id: "h9", role: "hazard", name: "Thing", point: &orb.Point{60, -20}, z: flatGround}).set("height_m", num(1))
		if x.kind != "" {
			h.set("hazard_kind", schema.String(x.kind))
		}
		if x.radius > 0 {
			h.set("radius_m", num(x.radius))
		}
		if o := validate.Check(p.plan(t), schema.DefaultLimits()).Outcome("hazard-uncovered"); o.Outcome != x.want {
			t.Errorf("%q of radius %g: %s (%s)", x.kind, x.radius, o.Outcome, o.Reason)
		}
	}
}
