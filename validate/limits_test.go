// Every limit held from both sides: a hair below it, at it and a hair past it,
// with the operator's value, the plan's own and the feature's own.

package validate_test

import (
	"errors"
	"math"
	"strings"
	"testing"

	"github.com/paulmach/orb"

	"swardline/crs"
	"swardline/crs/adjust"
	"swardline/schema"
	"swardline/validate"
)

// held draws a plan on which a rule measures just so much.
type held struct {
	rule  string
	owner string // the feature whose own limit counts, "" when only the plan's does
	// draw makes the rule measure v where limit is in force.
	draw func(p *plot, limit, v float64)
	// strict and loose are values that a plan or a feature has of its own.
	strict, loose float64
	// eps is the hair: more than the millimetre of rounding where the rule has
	// it. noise is what the digits of the file leave of the measure where it
	// has not.
	eps, noise float64
	// past is the hair past the limit where it must be wider, 0 for eps.
	past float64
	// atFails is set where the limit itself is too much.
	atFails bool
	// failed says of a finding of the rule that it is about this limit; nil
	// takes those whose limit is that in force, times scale (0 stands for 1).
	failed func(f validate.Finding) bool
	scale  float64
}

// isError takes findings of the severity error.
func isError(f validate.Finding) bool { return f.Severity == validate.Error }

// hazardAt puts a hazard of a kind so far east of the south lawn.
func hazardAt(kind string) func(p *plot, limit, v float64) {
	return func(p *plot, limit, v float64) {
		h := p.add(&thing{id: "h2", role: "hazard", name: "Thing", point: &orb.Point{30 + v, -20}, z: flatGround}).set("hazard_kind", schema.String(kind))
		if strings.HasSuffix(kind, "tree") { // which as a point has no size
			h.point, h.rings = nil, [][]orb.Point{rect(30+v, -20.1, 30.2+v, -19.9)}
		}
	}
}

// areaAt is hazardAt for what a point does not say the size of.
func areaAt(kind string) func(p *plot, limit, v float64) {
	return func(p *plot, limit, v float64) {
		p.add(&thing{id: "h2", role: "hazard", name: "Thing", rings: [][]orb.Point{rect(30+v, -21, 34+v, -19)}, z: flatGround}).set("hazard_kind", schema.String(kind))
	}
}

// ledgeBy raises what lies east of x = 20 of the south lawn by so much, within
// 0.1 m; the lawn is long enough for that to be no slope.
func ledgeBy(p *plot, up float64) {
	p.remove("e2") // which would be flush with neither half
	z := p.get("z2")
	z.rings[0] = []orb.Point{{0, -30}, {19.9, -30}, {20, -30}, {30, -30}, {30, -10}, {20, -10}, {19.9, -10}, {0, -10}, {0, -30}}
	z.z = func(q orb.Point) float64 {
		if q[0] > 19.95 {
			return plotH + up
		}
		return plotH
	}
}

var heldLimits = map[string]held{
	"base_range_m": {rule: "base-range", owner: "z2", strict: 300, loose: 900, eps: 0.003,
		draw: func(p *plot, _, v float64) { farBase(p, math.Sqrt(v*v-900)-30) }},
	"site_span_m": {rule: "feature-far-away", owner: "m1", strict: 1000, loose: 9000, eps: 0.01, noise: 0.002,
		draw: func(p *plot, _, v float64) { p.get("m1").point = &orb.Point{309.5 / 16, v - 20.0/16} }},
	"base_height_m": {rule: "base-height", owner: "b1", strict: 50, loose: 300, eps: 0.002,
		draw: func(p *plot, _, v float64) { p.get("b1").z = func(orb.Point) float64 { return plotH + v } }},
	"hard_edge_strip_m": {rule: "edge-setback", owner: "e1", strict: 0.3, loose: 0.05, eps: 0.002,
		draw: func(p *plot, _, v float64) { p.get("e1").line = []orb.Point{{0, 20 + v}, {30, 20 + v}} }},
	"corridor_inside_m": {rule: "corridor-off-zone", owner: "c1", strict: 1.4, loose: 0.2, eps: 0.002,
		draw: func(p *plot, _, v float64) { p.get("c1").line[0] = orb.Point{30 - v, 10} }},
	// Half of it is the least that the next point may stand outside.
	"corridor_outside_m": {rule: "corridor-off-zone", owner: "c1", strict: 1.5, loose: 0.2, eps: 0.004,
		draw: func(p *plot, _, v float64) { p.get("c1").line[1] = orb.Point{30 + v/2, 10} }},
	// Where it is in force the line-up point stands, and the corridor ends 0.3
	// m before it or less. A dock that lines up nearer is what loosens.
	"dock_standoff_m": {rule: "corridor-off-dock", owner: "d1", strict: 2.5, loose: 1, eps: 0.002,
		draw: func(p *plot, limit, v float64) {
			p.get("d1").props = []schema.Attribute{{Key: "heading_deg", Value: schema.Int(90)}}
			p.get("c1").line[2] = orb.Point{36 - v + 0.3, 10}
		}, failed: func(f validate.Finding) bool { return f.Limit == 0.3 }},
	"max_zones": {rule: "zone-count", strict: 10, loose: 40, eps: 1,
		draw: func(p *plot, _, v float64) { manyZones(p, int(v)) }},
	"cable_run_m": {rule: "cable-run", owner: "b1", strict: 15, loose: 60, eps: 0.002,
		draw: func(p *plot, _, v float64) { p.get("s1").point = &orb.Point{38, 25 - v} }},
	"curve_chord_m": {rule: "curve-coarse", owner: "k1", strict: 0.02, loose: 0.2, eps: 1e-4, noise: 3e-5,
		draw: func(p *plot, _, v float64) {
			p.get("k1").rings[0] = circle(10, 10, v/(1-math.Cos(math.Pi/24)), 24)
		}},
	"machine_width_m": {rule: "corridor-through-keepout", owner: "c2", strict: 1, loose: 0.1, eps: 0.004, scale: 0.5,
		draw: func(p *plot, _, v float64) {
			p.add(&thing{id: "k2", role: "keepout", name: "Kennel", rings: [][]orb.Point{rect(15+v/2, -14, 17, -10)}, z: flatGround})
		}},
	"turn_radius_m": {rule: "corridor-hairpin", owner: "c2", strict: 0.9, loose: 0.1, eps: 0.002,
		draw: func(p *plot, _, v float64) { hairpin(p, v*math.Pi/2) }},
	"passage_min_m": {rule: "passage-narrow", owner: "z2", strict: 2, loose: 0.7, eps: 0.002,
		draw: func(p *plot, _, v float64) { neck(p, v) }},
	"opening_max_m": {rule: "edge-setback", owner: "e9", strict: 3, loose: 12, eps: 0.003,
		draw: func(p *plot, _, v float64) {
			p.add(&thing{id: "e9", role: "edge", name: "Gate", line: []orb.Point{{40, -5}, {40 + v, -5}}, z: flatGround}).set("edge_kind", schema.String("gate"))
		}},
	"slope_max_percent": {rule: "slope-limit", owner: "z2", strict: 20, loose: 60, eps: 0.01, noise: 0.002,
		draw: func(p *plot, _, v float64) { p.get("z2").z = tilted(v / 100) }},
	"slope_edge_max_percent": {rule: "slope-limit", owner: "z2", strict: 10, loose: 30, eps: 0.01, noise: 0.002,
		draw: func(p *plot, _, v float64) { p.get("z2").z = tilted(v / 100) }},
	"dock_slope_max_percent": {rule: "slope-limit", owner: "d1", strict: 3, loose: 20, eps: 0.01, noise: 0.002,
		draw: func(p *plot, _, v float64) { p.get("d1").z = func(orb.Point) float64 { return plotH + v/100*2 } }},
	// A corner of the south lawn's outline and a point 0.1 m past it.
	"step_max_m": {rule: "slope-limit", owner: "z2", strict: 0.1, loose: 0.5, eps: 2e-3, noise: 1e-3,
		draw: func(p *plot, _, v float64) { ledgeBy(p, v+0.1*0.35) }},
	"hazard_margin_m":          {rule: "hazard-uncovered", owner: "h2", strict: 0.5, loose: 0.01, eps: 0.002, draw: hazardAt("statue")},
	"hazard_margin_water_m":    {rule: "hazard-uncovered", owner: "h2", strict: 0.5, loose: 0.01, eps: 0.002, draw: hazardAt("pond")},
	"hazard_margin_road_m":     {rule: "hazard-uncovered", owner: "h2", strict: 0.5, loose: 0.01, eps: 0.002, draw: hazardAt("road")},
	"hazard_margin_drop_m":     {rule: "hazard-uncovered", owner: "h2", strict: 0.5, loose: 0.01, eps: 0.002, draw: hazardAt("steps")},
	"hazard_margin_tree_m":     {rule: "hazard-uncovered", owner: "h2", strict: 0.5, loose: 0.01, eps: 0.002, draw: hazardAt("old oak tree")},
	"hazard_margin_fast_m":     {rule: "hazard-uncovered", owner: "h2", strict: 6, loose: 1, eps: 0.002, draw: areaAt("railway")},
	"hazard_margin_airfield_m": {rule: "hazard-uncovered", owner: "h2", strict: 15, loose: 2, eps: 0.002, draw: areaAt("helipad")},
	"hazard_margin_swing_m":    {rule: "hazard-uncovered", owner: "h2", strict: 4, loose: 1, eps: 0.002, draw: areaAt("swing")},
	"power_line_m": {rule: "base-in-zone", owner: "b1", strict: 8, loose: 2, eps: 0.002,
		draw: func(p *plot, _, v float64) {
			at := *p.get("b1").point
			p.add(&thing{id: "o9", role: "other", name: "Power line", line: []orb.Point{{at[0] + v, at[1] - 9}, {at[0] + v, at[1] + 9}}, z: flatGround})
		}},
	// A shed 12 m from the dock; what hides less than half a percent is not
	// told.
	"sky_mask_deg": {rule: "sky-blocked", owner: "d1", strict: 10, loose: 40, eps: 0.1, past: 5, noise: 1e-3,
		draw: func(p *plot, _, v float64) {
			p.get("g1").rings[0] = rect(48, 5, 54, 12)
			p.get("g1").set("height_m", num(12*math.Tan(v*math.Pi/180)))
		}, failed: func(f validate.Finding) bool { return f.Features[0].ID.Text() == "d1" }},
	// A wall all round, 20 m from the dock: of what is above the mask m it
	// hides (sin e - sin m) / (1 - sin m) up to the elevation e.
	"sky_hidden_stop_percent": {rule: "sky-blocked", owner: "d1", strict: 40, loose: 90, eps: 1, noise: 0.3,
		draw: func(p *plot, _, v float64) {
			m := math.Sin(15 * math.Pi / 180)
			e := math.Asin(m + v/100*(1-m))
			p.get("g1").rings = [][]orb.Point{circle(36, 10, 21, 360), reversed(circle(36, 10, 20, 360))}
			p.get("g1").set("height_m", num(20*math.Tan(e)))
		}, failed: func(f validate.Finding) bool {
			return isError(f) && f.Features[0].ID.Text() == "d1" && f.At != nil && *f.At.E < -1.5
		}},
	"dock_approach_deg": {rule: "dock-approach", owner: "d1", strict: 5, loose: 40, eps: 0.01, noise: 1e-3,
		draw: func(p *plot, _, v float64) {
			s, c := math.Sincos(v * math.Pi / 180)
			p.get("c1").line = []orb.Point{{28.5, 10 - 2*s}, {31, 10 - 2*s}, {34 - 2*c, 10 - 2*s}, {34, 10}}
		}},
	"dock_reach_m": {rule: "corridor-off-dock", owner: "d1", strict: 0.2, loose: 1, eps: 0.002,
		draw: func(p *plot, _, v float64) { p.get("c1").line[2] = orb.Point{34 - v, 10} }},
	"survey_sigma_m": {rule: "survey-quality", owner: "z1", strict: 0.03, loose: 0.5, eps: 1e-6,
		draw: func(p *plot, _, v float64) { p.get("z1").set("sigma", num(v)); p.get("z2").set("sigma", num(0.001)) }},
	"drift_unchanged_m": {rule: "base-moved", owner: "b1", strict: 0.01, loose: 0.5, eps: 1e-3, noise: 2e-4,
		draw: func(p *plot, _, v float64) { p.members = baseHistory(p, v) }},
	"drift_stop_m": {rule: "base-moved", owner: "b1", strict: 0.05, loose: 0.5, eps: 1e-3, noise: 2e-4, atFails: true,
		draw: func(p *plot, _, v float64) { p.members = baseHistory(p, v) }, failed: isError},
}

// heldElsewhere says where the limits are held that no rule of Check compares
// with.
var heldElsewhere = map[string]string{
	"residual_m":               "TestResidualLimit",
	"accuracy_m":               "TestAccuracyLimit",
	"offset_max_m":             "the edits that move an outline",
	"thin_share_percent":       "TestSkyLimits",
	"sats_min":                 "TestSkyLimits",
	"pdop_max":                 "TestSkyLimits",
	"machine_antenna_m":        "TestRadioLimits",
	"radio_mhz":                "TestRadioLimits",
	"radio_loss_db":            "TestRadioLimits",
	"gap_min_m2":               "TestDrivenLimits",
	"driven_depth_m":           "TestDrivenLimits",
	"driven_seconds":           "TestDrivenLimits",
	"driven_corridor_m":        "TestDrivenLimits",
	"driven_dock_spread_m":     "TestDrivenLimits",
	"driven_fixed_percent":     "TestDrivenLimits",
	"input_max_bytes":          "TestCapsAreNamed of the command line",
	"input_max_inflated_bytes": "TestCapsAreNamed of the command line",
	"input_max_nesting":        "TestCapsAreNamed of the command line",
	"input_max_vertices":       "TestCapsAreNamed of the command line",
	"input_max_features":       "TestCapsAreNamed of the command line",
	"input_max_recursion":      "TestCapsAreNamed of the command line",
}

func TestEveryLimitFromBothSides(t *testing.T) {
	for _, d := range schema.LimitTable {
		h, ok := heldLimits[d.Key]
		if where := heldElsewhere[d.Key]; ok == (where != "") {
			t.Errorf("%s has no cases either side of it, or is held both here and by %s", d.Key, where)
		}
		if ok {
			t.Run(d.Key, func(t *testing.T) { h.bothSides(t, d) })
		}
	}
}

func (h *held) bothSides(t *testing.T, d schema.Limit) {
	own := func(v float64) schema.Value {
		return schema.Object(schema.Attributes{{Key: d.Key, Value: num(v)}})
	}
	for _, by := range []string{"default", "file", "plan", "feature", "a looser plan", "a looser feature"} {
		limit, value := d.Default, math.NaN() // in force, and what plan or feature have of their own
		switch by {
		case "file":
			limit = h.strict
		case "plan", "feature":
			limit, value = h.strict, h.strict
		case "a looser plan", "a looser feature":
			value = h.loose
		}
		if h.owner == "" && (by == "feature" || by == "a looser feature") {
			continue
		}
		if !math.IsNaN(value) && d.Sense.Looser(value, d.Default) != (by == "a looser plan" || by == "a looser feature") {
			t.Fatalf("%v is on the wrong side of %v", value, d.Default)
		}
		l := schema.DefaultLimits()
		if by == "file" {
			if err := l.Set(d.Key, limit, schema.OriginFile, "crew.yaml line 1"); err != nil {
				t.Fatal(err)
			}
		}
		side := 1.0 // towards what passes
		if d.Sense == schema.AtMost {
			side = -1
		}
		past := h.past
		if past == 0 {
			past = h.eps
		}
		at := limit + side*h.noise
		if h.atFails {
			at = limit - side*h.noise
		}
		for _, x := range []struct {
			where string
			v     float64
			fails bool
		}{{"a hair within", limit + side*h.eps, false}, {"at the limit", at, h.atFails}, {"a hair past", limit - side*past, true}} {
			p := park()
			h.draw(p, limit, x.v)
			if by == "feature" || by == "a looser feature" {
				p.get(h.owner).set("limits", own(value))
			}
			plan := p.plan(t)
			if by == "plan" || by == "a looser plan" {
				plan.Attributes.Set(schema.PlanLimits, own(value))
			}
			r := validate.Check(plan, l)
			failed := false
			for _, f := range r.Findings {
				if f.Rule == h.rule && h.takes(f, limit) {
					failed = true
				}
			}
			if failed != x.fails {
				t.Errorf("%s (%v), %s (%v): failed %v, want %v", by, limit, x.where, x.v, failed, x.fails)
				for _, f := range r.Findings {
					t.Log(show(f))
				}
			}
			if loosened := r.Outcome("limit-loosened").Outcome == validate.Failed; loosened != (by == "a looser plan" || by == "a looser feature") {
				t.Errorf("%s: loosened %v", by, loosened)
			}
			h.origin(t, r, d.Key, by, limit)
		}
	}
}

// takes reports whether a finding is about the limit in force.
func (h *held) takes(f validate.Finding, limit float64) bool {
	if h.failed != nil {
		return h.failed(f)
	}
	if h.scale != 0 {
		limit *= h.scale
	}
	return near(f.Limit, limit, 1e-9)
}

// origin holds the report to saying which value was used and where it comes
// from.
func (h *held) origin(t *testing.T, r *validate.Report, key, by string, limit float64) {
	t.Helper()
	want := map[string]schema.Origin{"file": schema.OriginFile, "plan": schema.OriginPlan, "feature": schema.OriginFeature}[by]
	if want == "" {
		want = schema.OriginDefault
	}
	for _, u := range r.Used {
		if u.Name == key && u.From == want && u.Value == limit && (u.Feature != nil) == (want == schema.OriginFeature) {
			return
		}
	}
	t.Errorf("%s: the report does not say that %v of %s was used", by, limit, want)
}

func TestResidualLimit(t *testing.T) {
	for _, x := range []struct {
		residual float64
		fails    bool
	}{{0.0299, false}, {0.03, false}, {0.0301, true}} {
		fit := &adjust.Placement{Redundancy: 4, Marks: []adjust.MarkFit{{Name: "M1", Residual: x.residual}}}
		results, found := validate.JudgePlacement(fit, schema.DefaultLimits().ResidualM, nil)
		if got := results[0].Outcome == validate.Failed; got != x.fails || (len(found) == 1) != x.fails {
			t.Errorf("a residual of %v: %s", x.residual, results[0].Outcome)
		}
	}
}

// TestAccuracyLimit: an accuracy that a step just has is accepted, a hair less
// is not.
func TestAccuracyLimit(t *testing.T) {
	from, to := parse(t, "EPSG:7912"), parse(t, "EPSG:4979")
	allow := func(accuracy float64) error {
		_, err := crs.NewOperation(from, to, crs.Allowed{Accuracy: crs.Metres(accuracy)}, crs.At(plotLon, plotLat), crs.Epochs{From: 2024.5, To: 2024.5}, crs.Aids{})
		return err
	}
	var unfit *crs.AccuracyError
	if err := allow(schema.DefaultLimits().AccuracyM); !errors.As(err, &unfit) {
		t.Fatal(err)
	}
	stated := float64(unfit.Accuracy)
	for _, x := range []struct {
		accepted float64
		fails    bool
	}{{stated - 1e-6, true}, {stated, false}, {stated + 1e-6, false}, {stated / 1.2, true}} {
		if err := allow(x.accepted); (err != nil) != x.fails {
			t.Errorf("stated %v, accepted %v: %v", stated, x.accepted, err)
		}
	}
}

// TestPagesTellTheMillimetre: where what is past a limit by less than a
// millimetre passes, the rule's page says so.
func TestPagesTellTheMillimetre(t *testing.T) {
	for _, d := range schema.LimitTable {
		h, ok := heldLimits[d.Key]
		if !ok || d.Unit != "m" || h.noise != 0 {
			continue
		}
		past := 0.0007
		if d.Sense == schema.AtLeast {
			past = -past
		}
		p := park()
		h.draw(p, d.Default, d.Default+past)
		failed := false
		for _, f := range validate.Check(p.plan(t), schema.DefaultLimits()).Findings {
			failed = failed || f.Rule == h.rule && h.takes(f, d.Default)
		}
		rule, _ := validate.Find(h.rule)
		if told := strings.Contains(rule.Page.Whole(), "illimetre"); told == failed {
			t.Errorf("%s: 0.7 mm past the limit fails: %v; the page of %s tells of a millimetre: %v", d.Key, failed, h.rule, told)
		}
	}
}

// TestTolerancesFromBothSides: a millimetre is rounding, two are a fault; and
// the other fixed figures of the rules.
func TestTolerancesFromBothSides(t *testing.T) {
	zone := func(p *plot, id string, ring []orb.Point) *thing {
		return p.add(&thing{id: id, role: "zone", name: "Lawn " + id, rings: [][]orb.Point{ring}, z: flatGround})
	}
	bed := func(p *plot, id string, ring []orb.Point) {
		p.add(&thing{id: id, role: "keepout", name: "Bed " + id, rings: [][]orb.Point{ring}, z: flatGround})
	}
	for _, x := range []struct {
		name, rule string
		draw       func(p *plot, v float64)
		pass, fail float64
	}{
		{"a keep-out past its zone", "keepout-outside-zone", func(p *plot, v float64) { bed(p, "k2", rect(-v, 4, 3, 7)) }, 0.0007, 0.0013},
		{"keep-outs that share ground", "keepouts-overlap", func(p *plot, v float64) {
			bed(p, "k2", rect(18, 4, 21, 8))
			bed(p, "k3", rect(21-v, 4, 24, 8))
		}, 0.0007, 0.0013},
		{"zones that share ground", "zones-overlap", func(p *plot, v float64) { zone(p, "z3", rect(-8, 0, v, 20)) }, 0.0007, 0.0013},
		{"a zone past the boundary", "boundary-crossed", func(p *plot, v float64) { p.get("p1").rings[0] = rect(v, -40, 80, 40) }, 0.0007, 0.0013},
		{"a corridor past the boundary", "boundary-crossed", func(p *plot, v float64) {
			p.get("p1").rings[0] = rect(-10, -40, 80, 40)
			p.get("c2").line = []orb.Point{{15, 1.5}, {15, -1}, {-5, -1.5}, {-8.5, -3}, {-9.7 - v, -4.5}, {-9.7 - v, -6}, {-8.5, -7.5}, {-5, -8.8}, {15, -9}, {15, -11.5}} // which turns nowhere on the spot there
		}, 0.0005, 0.002},
		{"a dock past the boundary", "boundary-crossed", func(p *plot, v float64) {
			p.get("p1").rings[0] = rect(-10, -40, 36-v, 40)
			p.get("b1").point, p.get("s1").point = &orb.Point{33, 25}, &orb.Point{33, 14}
		}, 0.0007, 0.0013},
		{"a zone into the strip along a building", "zone-over-building", func(p *plot, v float64) { p.get("g1").rings[0] = rect(-3, 14, v-0.15, 18) }, 0.0007, 0.0013},
		{"a keep-out into the way into the dock", "dock-in-keepout", func(p *plot, v float64) { bed(p, "k2", rect(34.5, 10.3-v, 35.5, 12)) }, 0.0007, 0.0013},
		{"a keep-out into the turning disc", "dock-path-blocked", func(p *plot, v float64) { bed(p, "k2", rect(33, 10.6-v, 34.2, 12)) }, 0.0007, 0.0013},
		{"a wall into the strip beside the way into the dock", "dock-path-blocked", func(p *plot, v float64) {
			p.add(&thing{id: "e9", role: "edge", name: "Wall", line: []orb.Point{{35, 10.45 - v}, {35, 12}}, z: flatGround}).set("edge_kind", schema.String("wall"))
		}, 0.0007, 0.0013},
		{"a wall behind the dock", "dock-path-blocked", func(p *plot, v float64) {
			p.add(&thing{id: "e9", role: "edge", name: "Wall", line: []orb.Point{{36.0005 - v, 9}, {36.0005 - v, 11}}, z: flatGround}).set("edge_kind", schema.String("wall"))
		}, 0.0001, 0.0025},
		{"a wall into the inside of a zone", "edge-setback", func(p *plot, v float64) {
			p.add(&thing{id: "e9", role: "edge", name: "Wall", line: []orb.Point{{30.15 - v, -25}, {30.15 - v, -15}}, z: flatGround}).set("edge_kind", schema.String("wall"))
		}, 0.0007, 0.0013},
		// A rise is taken over 2 m or more: 0.7 m over 1.98 m are 35 %.
		{"a short rise taken over two metres", "slope-limit", func(p *plot, v float64) {
			p.get("c2").line = []orb.Point{{15, 1.5}, {15, -1}, {15, -3}, {15, -4.98}, {15, -7}, {15, -9.05}, {15, -11.5}}
			p.get("c2").z = func(q orb.Point) float64 {
				if q[1] < -3.5 && q[1] > -8 {
					return plotH + v
				}
				return plotH
			}
		}, 0.6995, 0.7005},
		// The zone in the west touches the lawn with a tooth so high, at nine
		// tenths of the lawn's side.
		{"edge that two zones share", "zone-unreachable", func(p *plot, v float64) {
			zone(p, "z3", []orb.Point{{-8, 5}, {-1, 5}, {-1, 18}, {0, 18}, {0, 18 + v}, {-1, 18 + v}, {-1, 19.5}, {-8, 19.5}, {-8, 5}})
		}, 0.5993, 0.5987},
		// Four corners of 60 degrees, so far apart: an arc of 150 past the
		// right angle, for a machine that turns with 2 m.
		{"a turn of many corners", "corridor-hairpin", func(p *plot, v float64) {
			p.members = []schema.Attribute{{Key: schema.PlanLimits, Value: schema.Object(schema.Attributes{{Key: "turn_radius_m", Value: num(2)}})}}
			d := v * 2 * 150 * math.Pi / 180 / 3
			pts := []orb.Point{{15, 1.5}, {15, -2}}
			at := pts[1]
			for k, bearing := range []float64{120, 60, 0, -60} {
				s, c := math.Sincos(bearing * math.Pi / 180)
				step := d
				if k == 3 {
					step = 0.4
				}
				at = orb.Point{at[0] + step*s, at[1] + step*c}
				pts = append(pts, at)
			}
			p.get("c2").line = pts
		}, 1.001, 0.999},
		{"a base, as all else, above all ground", "base-height", func(p *plot, v float64) {
			for _, x := range p.things {
				x.z = func(orb.Point) float64 { return v }
			}
		}, 9000, 9000.001},
		{"a base, as all else, below all ground", "base-height", func(p *plot, v float64) {
			for _, x := range p.things {
				x.z = func(orb.Point) float64 { return v }
			}
		}, -500, -500.001},
		{"a corridor that ends before the dock's reach", "zone-unreachable", func(p *plot, v float64) { p.get("c1").line[2] = orb.Point{34 - v, 10} }, 0.3007, 0.3013},
		{"a corridor that ends before the second dock's reach", "dock-unreachable", func(p *plot, v float64) {
			secondDock(p)
			p.add(&thing{id: "c3", role: "corridor", name: "South dock way", line: []orb.Point{{28.5, 5}, {31, 5}, {34 - v, 5}}, z: flatGround})
		}, 0.3007, 0.3013},
		// Of a dock on the lawn an end within reach belongs to it, and comes in
		// from the side.
		{"an end on the lawn near the line-up point", "dock-approach", func(p *plot, v float64) {
			home(p)
			p.get("c2").line = []orb.Point{{23, 5 - v}, {23, -1}, {23, -9}, {23, -11.5}}
		}, 0.305, 0.295},
		{"a corner that turns back", "corridor-hairpin", func(p *plot, v float64) {
			s, c := math.Sincos((v - 90) * math.Pi / 180)
			p.get("c2").line = []orb.Point{{15, 1.5}, {15, -1}, {15, -5}, {15 + 4*c, -5 + 4*s}, {22, -7}, {22, -9}, {22, -11.5}}
		}, 94, 96},
	} {
		for v, fails := range map[float64]bool{x.pass: false, x.fail: true} {
			p := park()
			x.draw(p, v)
			r := validate.Check(p.plan(t), schema.DefaultLimits())
			if o := r.Outcome(x.rule); (o.Outcome == validate.Failed) != fails {
				t.Errorf("%s, %v: %s is %s (%s), want failed %v", x.name, v, x.rule, o.Outcome, o.Reason, fails)
				for _, f := range r.Findings {
					t.Log(show(f))
				}
			}
		}
	}
}

// TestShortStandoff: a dock's own standoff_m against dock_standoff_m, the
// default, the plan's own and one that the operator loosened.
func TestShortStandoff(t *testing.T) {
	loosened := schema.DefaultLimits()
	loosened.DockStandoffM = 1
	for _, x := range []struct {
		own, plan float64
		limits    schema.Limits
		told      bool
	}{
		{1.998, 0, schema.DefaultLimits(), true}, {2, 0, schema.DefaultLimits(), false}, {2.5, 0, schema.DefaultLimits(), false},
		{2.498, 2.5, schema.DefaultLimits(), true}, {2.5, 2.5, schema.DefaultLimits(), false}, {1, 0, loosened, false}, {0.998, 0, loosened, true},
	} {
		p := park()
		p.get("d1").set("standoff_m", num(x.own))
		if x.plan > 0 {
			member(p, "limits", schema.Object(schema.Attributes{{Key: "dock_standoff_m", Value: num(x.plan)}}))
		}
		o := validate.Check(p.plan(t), x.limits).Outcome(validate.RuleLimitLoosened)
		if told := o.Outcome == validate.Failed; told != x.told {
			t.Errorf("standoff_m %g, the plan's own %g, in force %g: %s", x.own, x.plan, x.limits.DockStandoffM, o.Outcome)
		}
	}
}
