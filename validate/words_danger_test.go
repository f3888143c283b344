// Plans whose danger is a word, a name or a number beside the drawing.

package validate_test

import (
	"encoding/json"
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
		{"quay", drop, 1.99, validate.Error, ""},
		{"quay", water, 1.99, validate.Error, ""},
		{"quay", drop, 2.01, none, ""},
		{"quay", water, 2.01, none, ""},
		{"piers", water, 1.99, validate.Error, ""},
		{"jetty", drop, 1.99, validate.Error, ""},
		{"old wharf", drop, 1.99, validate.Error, ""},
		{"embankment", water, 1.99, validate.Error, ""},
		{"embankment", drop, 1.99, validate.Error, ""},
		{"harbour wall", drop, 1.99, validate.Error, ""},
		{"harbour wall", water, 1.99, validate.Error, ""},
		{"garden wall", drop, 1.99, validate.Error, "is not known"},
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

// wordCase is a change to the park and what a rule makes of it.
type wordCase struct {
	name  string
	spoil func(p *plot)
	want  validate.Outcome
	says  string // in the reason or a message
}

func judgeWords(t *testing.T, rule string, cases []wordCase) {
	t.Helper()
	for _, x := range cases {
		p := park()
		x.spoil(p)
		r := validate.Check(p.plan(t), schema.DefaultLimits())
		o := r.Outcome(rule)
		all := o.Reason
		for _, f := range r.Findings {
			if f.Rule == rule {
				all += "\n" + f.Message
			}
		}
		if o.Outcome != x.want || !strings.Contains(all, x.says) {
			t.Errorf("%s: %s is %s (%s), want %s that says %q", x.name, rule, o.Outcome, all, x.want, x.says)
		}
	}
}

func member(p *plot, key string, v schema.Value) {
	p.members = append(p.members, schema.Attribute{Key: key, Value: v})
}

// secondBase adds a mast beside the first.
func secondBase(p *plot) *thing {
	return p.add(&thing{id: "b2", role: "base", name: "Second mast", point: &orb.Point{39, 25}, z: flatGround})
}

func TestWordsOfFrames(t *testing.T) {
	text, none := schema.String, schema.Value{}
	base := func(frame, epoch schema.Value) func(p *plot) {
		return func(p *plot) {
			if !frame.IsAbsent() {
				p.get("b1").set("frame", frame)
			}
			if !epoch.IsAbsent() {
				p.get("b1").set("epoch", epoch)
			}
		}
	}
	with := func(key string, v schema.Value, more func(p *plot)) func(p *plot) {
		return func(p *plot) { more(p); member(p, key, v) }
	}
	dated := func(key, date string, epoch float64) func(p *plot) {
		return func(p *plot) {
			p.get("b1").set(key, text(date))
			member(p, "epoch", num(epoch))
		}
	}
	sound := base(text("WGS 84 (G2139)"), num(2024.5))
	judgeWords(t, "base-frame", []wordCase{
		{"no frame", func(*plot) {}, validate.NotNeeded, ""},
		{"a frame and its epoch", sound, validate.Passed, ""},
		{"a frame of no moving places", base(text("GDA2020"), none), validate.Passed, ""},
		{"WGS 84 alone", base(text("WGS 84"), none), validate.NotNeeded, ""},
		{"an unknown frame", base(text("Atlantis 7"), none), validate.Unchecked, `"Atlantis 7" is not known`},
		{"an empty frame", base(text(""), none), validate.Unchecked, `is ""`},
		{"a frame that is a number", base(schema.Int(7), none), validate.Unchecked, `is "7"`},
		{"a frame that is an object", base(schema.Object(schema.Attributes{{Key: "a", Value: num(1)}}), none), validate.Unchecked, "the name of one"},
		{"a frame without its epoch", base(text("ITRF2014"), none), validate.Unchecked, "without an epoch"},
		{"one whose plan has it", with("epoch", num(2024.5), base(text("ITRF2014"), none)), validate.Passed, ""},
		{"an epoch that is a text", base(text("WGS 84 (G2139)"), text("2024,5")), validate.Failed, `"2024,5"`},
		{"an epoch that is true", base(text("WGS 84 (G2139)"), schema.Bool(true)), validate.Failed, `"true"`},
		{"an epoch before satellites", base(text("WGS 84 (G2139)"), num(1977.9)), validate.Failed, "1977.9"},
		{"the first epoch", base(text("WGS 84 (G2139)"), num(1978)), validate.Passed, ""},
		{"the last epoch", base(text("WGS 84 (G2139)"), num(2060)), validate.Passed, ""},
		{"an epoch of the next century", base(text("WGS 84 (G2139)"), num(2060.1)), validate.Failed, "2060.1"},
		{"an epoch without a frame", base(none, num(1924.5)), validate.Failed, "1924.5"},
		{"an epoch of the plan", with("epoch", num(1924.5), sound), validate.Failed, "the plan's epoch"},
		{"another epoch than the plan's, no frame", with("epoch", num(2024), base(none, num(2005))), validate.Unchecked, "has the epoch 2005, and the plan 2024"},
		{"another epoch, WGS 84", with("epoch", num(2024), base(text("WGS 84"), num(2005))), validate.Unchecked, "name the frame"},
		{"another epoch in a fixed frame", with("frame", text("GDA2020"), with("epoch", num(2024), base(none, num(2005)))), validate.NotNeeded, ""},
		{"an epoch 0.1 years off", with("epoch", num(2024), base(none, num(2024.1))), validate.NotNeeded, ""},
		{"a hair more", with("epoch", num(2024), base(none, num(2024.1001))), validate.Unchecked, "name the frame"},
		{"an epoch of its own alone", base(none, num(2005)), validate.NotNeeded, ""},
		{"two bases of two epochs", func(p *plot) { base(none, num(2005))(p); secondBase(p).set("epoch", num(2024)) }, validate.Unchecked, "has the epoch 2024, and base"},
		{"two bases of one epoch", func(p *plot) { base(none, num(2024))(p); secondBase(p).set("epoch", num(2024)) }, validate.NotNeeded, ""},
		{"an epoch of the plan as a text", with("epoch", text("2010"), sound), validate.Failed, `the plan's epoch is "2010"`},
		{"a second base without a frame", func(p *plot) { sound(p); secondBase(p) }, validate.Unchecked, "Second mast"},
		{"two bases without one", func(p *plot) { secondBase(p) }, validate.NotNeeded, ""},
		{"two of one frame", func(p *plot) {
			sound(p)
			secondBase(p).set("frame", text("WGS84(G2139)")).set("epoch", num(2024.5))
		}, validate.Passed, ""},
		{"a plan whose frame is a number", with("frame", schema.Int(7), sound), validate.Unchecked, "the plan's member frame"},
		{"a lawn of another frame", func(p *plot) { sound(p); p.get("z1").set("frame", text("ETRF2000")) }, validate.Failed, "is stored in ETRF2000"},
		{"a lawn of the same", func(p *plot) {
			sound(p)
			p.get("z1").set("frame", text("WGS 84 (G2139)")).set("epoch", num(2024.5))
		}, validate.Passed, ""},
		{"a lawn of another epoch", func(p *plot) { sound(p); p.get("z1").set("epoch", num(1994.5)) }, validate.Unchecked, "North lawn"},
		{"a lawn of a frame in a plan of none", func(p *plot) { p.get("z1").set("frame", text("ETRF2000")) }, validate.Unchecked, "nothing says"},
		{"a lawn of an unknown frame", func(p *plot) { p.get("z1").set("frame", text("Atlantis")) }, validate.Unchecked, "Atlantis"},
		{"a base of other heights", with("heights", text("ellipsoidal"), func(p *plot) { p.get("b1").set("heights", text("orthometric")) }), validate.Failed, "orthometric"},
		{"a lawn of other heights", with("heights", text("ellipsoidal"), func(p *plot) { p.get("z1").set("heights", text("EPSG:5941")) }), validate.Failed, "EPSG:5941"},
		{"a base of the same heights", with("heights", text("ellipsoidal"), func(p *plot) { p.get("b1").set("heights", text("Ellipsoidal")) }), validate.Passed, ""},
		{"a date of the plan's epoch", dated("date", "2024-07-02", 2024.5), validate.NotNeeded, ""},
		{"a date 0.1 years off, give or take the month", dated("date", "2024-08-30", 2024.5), validate.NotNeeded, ""},
		{"a date of two months later", dated("date", "2024-09-01", 2024.5), validate.Unchecked, `its date says "2024-09-01"`},
		{"a date of years before", dated("survey_date", "2015-03-01", 2024.5), validate.Unchecked, "survey_date"},
		{"a date beside an epoch", func(p *plot) { dated("date", "2015-03-01", 2024.5)(p); p.get("b1").set("epoch", num(2024.5)) }, validate.NotNeeded, ""},
		{"a date and no epoch of the plan", func(p *plot) { p.get("b1").set("date", text("2015-03-01")) }, validate.NotNeeded, ""},
		{"a date in a frame that does not move", with("frame", text("GDA2020"), dated("date", "2015-03-01", 2024.5)), validate.NotNeeded, ""},
		{"a year of the plan's epoch", dated("measured", "2024", 2024.5), validate.NotNeeded, ""},
		{"the year before, whose end may be near", dated("measured", "2023", 2024.05), validate.NotNeeded, ""},
		{"the year before, whose end is not", dated("measured", "2023", 2024.15), validate.Unchecked, "2023"},
		{"a year long before", dated("measured", "2022", 2024.5), validate.Unchecked, "2022"},
		{"a name with another epoch", func(p *plot) { dated("note", "x", 2024.5)(p); p.get("b1").name = "Mast (epoch 2010.0)" }, validate.Unchecked, "its name"},
		{"a name with the same epoch", func(p *plot) { dated("note", "x", 2024.5)(p); p.get("b1").name = "Mast (epoch 2024.5)" }, validate.NotNeeded, ""},
		{"a name with a year", func(p *plot) { dated("note", "x", 2024.5)(p); p.get("b1").name = "Mast 2010" }, validate.NotNeeded, ""},
		{"heights in feet", with("heights", text("feet"), sound), validate.Failed, `"feet"`},
		{"heights of a number", with("heights", schema.Int(7), sound), validate.Failed, `"7"`},
		{"heights of the registry", with("heights", text("EPSG:5941"), sound), validate.Passed, ""},
	})
}

func TestLimitsThatNobodyReads(t *testing.T) {
	own := func(id, key string, v float64) func(p *plot) {
		return func(p *plot) {
			p.get(id).set("limits", schema.Object(schema.Attributes{{Key: key, Value: num(v)}}))
		}
	}
	plan := func(key string, v float64) func(p *plot) {
		return func(p *plot) { member(p, "limits", schema.Object(schema.Attributes{{Key: key, Value: num(v)}})) }
	}
	drop := func(kind, key string) func(p *plot) {
		return func(p *plot) { p.get("e1").set("edge_kind", schema.String(kind)); own("e1", key, 0.4)(p) }
	}
	judgeWords(t, "limits-invalid", []wordCase{
		{"a margin of a hazard", own("h1", "hazard_margin_m", 0.5), validate.Passed, ""},
		{"its kind's margin", own("h1", "hazard_margin_water_m", 0.5), validate.Passed, ""},
		{"another kind's margin", own("h1", "hazard_margin_road_m", 0.5), validate.Failed, "hazard of the kind road"},
		{"another kind's, of a hazard of no kind", func(p *plot) { p.get("h1").props = nil; own("h1", "hazard_margin_road_m", 0.5)(p) }, validate.Passed, ""},
		{"a margin of a zone", own("z1", "hazard_margin_m", 2), validate.Failed, "not read of a zone"},
		{"the margin in force, of a zone", own("z1", "hazard_margin_m", 0.3), validate.Passed, ""},
		{"a hair stricter, of a zone", own("z1", "hazard_margin_m", 0.301), validate.Failed, "0.301"},
		{"a margin of a keep-out", own("k1", "hazard_margin_water_m", 2), validate.Failed, "not read of a keepout"},
		{"a margin of the boundary", own("p1", "hazard_margin_m", 2), validate.Failed, "not read of a boundary"},
		{"a margin of a drop", drop("drop", "hazard_margin_drop_m"), validate.Passed, ""},
		{"a general margin of a drop", drop("drop", "hazard_margin_m"), validate.Passed, ""},
		{"a margin of a wall", drop("wall", "hazard_margin_m"), validate.Failed, "edge of the kind drop"},
		{"a strip of a wall", own("e1", "hard_edge_strip_m", 0.4), validate.Passed, ""},
		{"a strip of a lawn", own("z1", "hard_edge_strip_m", 0.4), validate.Failed, "not read of a zone"},
		{"a width of a corridor", own("c1", "machine_width_m", 1), validate.Failed, "the same machine drives both"},
		{"a width of a keep-out", own("k1", "machine_width_m", 1), validate.Failed, "not read of a keepout"},
		{"satellites of a corridor", own("c1", "sats_min", 40), validate.Failed, "base, zone or dock"},
		{"satellites of a dock", own("d1", "sats_min", 5), validate.Passed, ""},
		{"a dilution of a corridor", own("c1", "pdop_max", 2), validate.Failed, "not read of a corridor"},
		{"a dilution of a corridor that tells its own", func(p *plot) { p.get("c1").set("hdop", num(1)); own("c1", "pdop_max", 2)(p) }, validate.Passed, ""},
		{"a share of a corridor", own("c1", "thin_share_percent", 1), validate.Failed, "not read of a corridor"},
		{"a step of a dock", own("d1", "step_max_m", 0.01), validate.Failed, "not read of a dock"},
		{"a step of a lawn", own("z1", "step_max_m", 0.01), validate.Passed, ""},
		{"a width of a kerb", own("e1", "machine_width_m", 2), validate.Failed, "not read of an edge"},
		{"a width of a gate", func(p *plot) { drop("gate", "machine_width_m")(p) }, validate.Passed, ""},
		{"an opening of a kerb", own("e1", "opening_max_m", 1), validate.Failed, "edge of the kind ramp or gate"},
		{"an opening of a gate", drop("gate", "opening_max_m"), validate.Passed, ""},
		{"a step of a flush edge", drop("flush", "step_max_m"), validate.Passed, ""},
		{"a count of zones of a zone", own("z1", "max_zones", 1), validate.Failed, "for the plan"},
		{"a cap of a lawn", own("z1", "input_max_bytes", 1), validate.Failed, "limits file"},
		{"a cap of the plan", plan("input_max_vertices", 1), validate.Failed, "limits file"},
		{"a range of the plan", plan("base_range_m", 300), validate.Passed, ""},
		{"a frequency", plan("radio_mhz", 433), validate.Passed, ""},
		{"the lowest frequency", plan("radio_mhz", 25), validate.Passed, ""},
		{"a hair lower", plan("radio_mhz", 24.9), validate.Failed, "24.9"},
		{"a frequency in gigahertz", plan("radio_mhz", 2.4), validate.Failed, "another unit"},
		{"the highest frequency", plan("radio_mhz", 6000), validate.Passed, ""},
		{"one in hertz", plan("radio_mhz", 433e6), validate.Failed, "another unit"},
		{"a frequency of a lawn in gigahertz", own("z1", "radio_mhz", 2.4), validate.Failed, "another unit"},
	})
}

func TestNamesThatLookTheSame(t *testing.T) {
	names := func(a, b string) func(p *plot) {
		return func(p *plot) { p.get("z1").name, p.get("z2").name = a, b }
	}
	judgeWords(t, "name-repeated", []wordCase{
		{"two names", names("Lawn A", "Lawn B"), validate.Passed, ""},
		{"a Cyrillic letter", names("Lawn", "L\u0430wn"), validate.Failed, "look the same"},
		{"a Cyrillic capital", names("Lawn A", "Lawn \u0410"), validate.Failed, "look the same"},
		{"a Greek capital", names("Lawn A", "Lawn \u0391"), validate.Failed, "look the same"},
		{"a zero-width space", names("Lawn", "La\u200bwn"), validate.Failed, "look the same"},
		{"a mark of direction", names("Lawn", "Lawn\u200e"), validate.Failed, "look the same"},
		{"a byte-order mark", names("Lawn", "\ufeffLawn"), validate.Failed, "look the same"},
		{"a soft hyphen", names("Lawn", "La\u00adwn"), validate.Failed, "look the same"},
		{"a blank that does not break", names("Lawn A", "Lawn\u00a0A"), validate.Failed, "are called"},
		{"a wide digit", names("Lawn 1", "Lawn \uff11"), validate.Failed, "look the same"},
		{"Cyrillic names that differ by case", names("\u0412\u043e\u0434\u0430", "\u0432\u043e\u0434\u0430"), validate.Failed, "are called"},
		{"two Greek names", names("\u0391\u03bb\u03c6\u03b1", "\u0392\u03ae\u03c4\u03b1"), validate.Passed, ""},
		{"names of other roles", func(p *plot) { p.get("k1").name, p.get("z1").name = "Lawn", "L\u0430wn" }, validate.Passed, ""},
		{"an id twice", func(p *plot) { p.get("k1").id = "z1" }, validate.Failed, `the id "z1"`},
		{"one of what is switched off", func(p *plot) {
			p.add(&thing{id: "z1", role: "keepout", name: "Off", rings: [][]orb.Point{rect(1, 1, 2, 2)}, z: flatGround}).set("active", schema.Bool(false))
		}, validate.Failed, `the id "z1"`},
	})
	judgeWords(t, "name-missing", []wordCase{
		{"a name that does not show", func(p *plot) { p.get("z1").name = "\u200b" }, validate.Failed, "has no name"},
	})
}

func TestNumbersOfNonsense(t *testing.T) {
	set := func(id, key string, v schema.Value) func(p *plot) { return func(p *plot) { p.get(id).set(key, v) } }
	judgeWords(t, "geometry-unfit", []wordCase{
		{"a cut of 2 mm", set("z1", "cut_mm", schema.Int(2)), validate.Passed, ""},
		{"a cut of less", set("z1", "cut_mm", num(1.99)), validate.Failed, "it is in millimetres"},
		{"a cut in metres", set("z1", "cut_mm", num(0.03)), validate.Failed, "it is in millimetres"},
		{"a cut of 200 mm", set("z1", "cut_mm", schema.Int(200)), validate.Passed, ""},
		{"a cut of more", set("z1", "cut_mm", schema.Int(201)), validate.Failed, "it is in millimetres"},
		{"a cut of 0", set("z1", "cut_mm", schema.Int(0)), validate.Failed, "no machine"},
		{"a cut of less", set("z1", "cut_mm", num(-8)), validate.Failed, "no machine"},
		{"a cut in words", set("z1", "cut_mm", schema.String("8 mm")), validate.Failed, "no machine"},
		{"a heading of a turn", set("z1", "heading_deg", schema.Int(360)), validate.Passed, ""},
		{"one back", set("z1", "heading_deg", schema.Int(-360)), validate.Passed, ""},
		{"a hair more", set("z1", "heading_deg", num(360.1)), validate.Failed, "whole turn"},
		{"a heading of 400", set("z1", "heading_deg", schema.Int(400)), validate.Failed, "read as 40"},
		{"a standoff of less than nothing", set("d1", "standoff_m", num(-0.1)), validate.Failed, "standoff_m"},
		{"a height in words", set("g1", "height_m", schema.String("3 m")), validate.Failed, "height_m"},
		{"a list of heights", set("g1", "height_m", schema.List(schema.Int(3))), validate.Failed, "a list"},
	})
	judgeWords(t, "survey-quality", []wordCase{
		{"a fix", set("b1", "fix", schema.String("fixed")), validate.Passed, ""},
		{"a list without a fix", set("b1", "fix", schema.List()), validate.Unchecked, "says nothing"},
		{"an empty fix", set("b1", "fix", schema.String("")), validate.Unchecked, "says nothing"},
		{"a list without a sigma", set("b1", "sigma", schema.List()), validate.Unchecked, "says nothing"},
		{"no fix at all", set("b1", "fix", schema.Null()), validate.NotNeeded, ""},
	})
	for _, key := range []string{"sigma_m", "Sigma", "accuracy", "Fix"} {
		judgeWords(t, "property-misnamed", []wordCase{{key, set("z1", key, num(0.9)), validate.Failed, "is not read"}})
	}
	judgeWords(t, "property-misnamed", []wordCase{{"a kind", func(p *plot) { p.get("h1").props = nil; set("h1", "kind", schema.String("pond"))(p) }, validate.Failed, "hazard_kind"}})
}

// TestTreesOfNoSize: the trunk of a tree that does not say how thick it is may
// reach a metre.
func TestTreesOfNoSize(t *testing.T) {
	tree := func(x, y float64, more ...schema.Attribute) func(p *plot) {
		return func(p *plot) {
			h := p.add(&thing{id: "h9", role: "hazard", name: "Tree", point: &orb.Point{x, y}, z: flatGround, props: more})
			h.set("hazard_kind", schema.String("tree")).set("height_m", num(0.2))
		}
	}
	radius := schema.Attribute{Key: "radius_m", Value: num(0.2)}
	// The corridor runs along x = 15, half the machine is 0.3 m, the margin
	// 0.3 m; the way into the dock along y = 10.
	judgeWords(t, "hazard-uncovered", []wordCase{
		{"beside a corridor", tree(16.59, -5), validate.Unchecked, "its trunk"},
		{"farther off", tree(16.61, -5), validate.Passed, ""},
		{"one of a size", tree(15.9, -5, radius), validate.Passed, ""},
		{"in the margin", tree(15.59, -5), validate.Failed, "passes"},
		{"under a keep-out", func(p *plot) {
			tree(16.59, -5)(p)
			p.add(&thing{id: "k9", role: "keepout", name: "Over", rings: [][]orb.Point{rect(16.2, -5.4, 17, -4.6)}, z: flatGround})
		}, validate.Passed, ""},
	})
	judgeWords(t, "dock-path-blocked", []wordCase{
		{"beside the way in", tree(35.5, 11.29), validate.Unchecked, "its trunk"},
		{"farther off", tree(35.5, 11.31), validate.Passed, ""},
		{"one of a size", tree(35.5, 10.6, radius), validate.Passed, ""},
		{"in the way in", tree(35.5, 10.2), validate.Failed, "stands in"},
	})
}

// TestWhatWasNotRead: what the file draws and the plan lacks was not checked.
func TestWhatWasNotRead(t *testing.T) {
	p := park().plan(t)
	p.Left = []string{"line 7: the element Polygon is not read in this place"}
	r := validate.Check(p, schema.DefaultLimits())
	if o := r.Outcome("geometry-unfit"); o.Outcome != validate.Unchecked || !strings.Contains(o.Reason, "line 7") || r.Status() != validate.StatusUnchecked {
		t.Errorf("%s (%s), %s", o.Outcome, o.Reason, r.Status())
	}
}

// TestNothingDrawn: a pond of which only the words are there is nowhere.
func TestNothingDrawn(t *testing.T) {
	other := func(role string, at *orb.Point) func(p *plot) {
		return func(p *plot) { p.add(&thing{id: "o1", role: role, name: "Pond, not measured yet", point: at}) }
	}
	far := &orb.Point{-200, -200}
	judgeWords(t, "geometry-unfit", []wordCase{
		{"the role other", other("other", nil), validate.Failed, "no geometry"},
		{"a hazard", other("hazard", nil), validate.Failed, "no geometry"},
		{"a keep-out", other("keepout", nil), validate.Failed, "no geometry"},
		{"a mark", other("mark", nil), validate.Failed, "no geometry"},
		{"one that is drawn", other("other", far), validate.Passed, ""},
		{"one that is off", func(p *plot) { other("other", nil)(p); p.get("o1").set("active", schema.Bool(false)) }, validate.Passed, ""},
	})
}

// TestPicturesThatWereNotRead: a picture that is called a pond may show one.
func TestPicturesThatWereNotRead(t *testing.T) {
	for name, want := range map[string]validate.Outcome{
		"Pond": validate.Unchecked, "Teiche, in a folder of that name": validate.Unchecked, "estanques": validate.Unchecked, "files/teich.png": validate.Unchecked, "Trees": validate.Unchecked, "KEEPOUT": validate.Unchecked, "Car park": validate.Unchecked, "old quay": validate.Unchecked, "buildings": validate.Unchecked,
		"Untitled Image Overlay": validate.Passed, "Orthophoto Lake Park": validate.Passed, "Site map": validate.Passed, "0": validate.Passed, "picture": validate.Passed, "A-SITE-RSTR": validate.Passed, "big": validate.Passed,
	} {
		p := park().plan(t)
		p.AddPicture(name)
		r := validate.Check(p, schema.DefaultLimits())
		if o := r.Outcome("geometry-unfit"); o.Outcome != want || want == validate.Unchecked && !strings.Contains(o.Reason, name) {
			t.Errorf("%q: %s (%s)", name, o.Outcome, o.Reason)
		}
	}
}

// TestHeightsOfThings is at base_height_m from both sides for what no length is
// measured on.
func TestHeightsOfThings(t *testing.T) {
	for _, id := range []string{"k1", "h1", "e2", "p1", "g1", "s1", "m1", "z1"} {
		for up, want := range map[float64]validate.Outcome{100: validate.Passed, -100: validate.Passed, 100.1: validate.Failed, -100.1: validate.Failed} {
			p := park()
			p.get("m1").point = &orb.Point{75, 38} // nearer to driven ground a mark is held to that
			raisedBy(p, id, up)
			p.add(&thing{id: "m9", role: "mark", name: "M9", point: &orb.Point{38, 24}, z: flatGround}) // the ground at the base
			r := validate.Check(p.plan(t), schema.DefaultLimits())
			if o := r.Outcome("base-height"); o.Outcome != want {
				t.Errorf("%s %g m off: %s (%s)", id, up, o.Outcome, o.Reason)
			}
			for _, f := range r.Findings {
				if f.Rule == "base-height" && (f.Severity == validate.Warning) != (id != "z1") {
					t.Errorf("%s %g m off: %s", id, up, f.Severity)
				}
			}
		}
	}
}

// TestStrangeEntries: what a history holds that nobody reads.
func TestStrangeEntries(t *testing.T) {
	history := func(text string) func(p *plot) {
		return func(p *plot) {
			var v schema.Value
			if err := json.Unmarshal([]byte(`[{"date": "2026-03-01", "stored": [0, 0]`+text+`}]`), &v); err != nil {
				t.Fatal(err)
			}
			at := schema.List(num(plotLon), num(plotLat), num(plotH+2.5))
			p.get("b1").point = &orb.Point{0, 0} // where the grid has its origin
			p.get("b1").props = nil
			item := v.Items()[0].Fields().Clone()
			item.Set("stored", at)
			member(p, "history", schema.List(schema.Object(item)))
		}
	}
	judgeWords(t, "base-moved", []wordCase{
		{"a record", history(`, "kind": "record", "measured_by": "", "note": "spring"`), validate.Passed, ""},
		{"one by a crew", history(`, "kind": "record", "measured_by": "Anna Muster, RTK"`), validate.Passed, ""},
		{"one from a picture", history(`, "kind": "record", "measured_by": "estimated from photo"`), validate.Unchecked, "measured_by of entry"},
		{"one by a telephone", history(`, "kind": "record", "measured_by": "phone"`), validate.Unchecked, "phone"},
		{"no kind", history(``), validate.Passed, ""},
		{"a kind of another word", history(`, "kind": "corrected"`), validate.Failed, `of the kind "corrected"`},
		{"a shift of a record", history(`, "kind": "record", "shift_m": [1, 0, 0]`), validate.Failed, "is no correction"},
		{"held as coordinates", history(`, "kind": "record", "coordinates": [1, 2]`), validate.Failed, `a member "coordinates"`},
		{"a slip in the antenna", history(`, "kind": "record", "Antena": [1, 2]`), validate.Failed, `perhaps "antenna"`},
	})
	given := func(key, text string) func(p *plot) {
		return func(p *plot) { history(`, "kind": "record"`)(p); member(p, key, schema.String(text)) }
	}
	judgeWords(t, "property-misnamed", []wordCase{
		{"a record", history(`, "kind": "record"`), validate.Passed, ""},
		{"Given", given("Given", "ground"), validate.Failed, "is not read"},
		{"gvien", given("gvien", "ground"), validate.Failed, "is not read"},
		{"coordinates that say held", given("frame_of_lines", "Held"), validate.Failed, "is not read"},
		{"given", given("given", "ground"), validate.Passed, ""},
		{"held", given("held", "coordinates"), validate.Passed, ""},
		{"another word", given("title", "grounds"), validate.Passed, ""},
		{"without a history", func(p *plot) { member(p, "title", schema.String("ground")) }, validate.Passed, ""},
	})
}

// TestSwitchedOffAndSpoilt: what is switched off and would keep nothing once it
// is switched on.
func TestSwitchedOffAndSpoilt(t *testing.T) {
	off := func(role string, ring []orb.Point, raw bool) func(p *plot) {
		return func(p *plot) {
			x := p.add(&thing{id: "k9", role: role, name: "Off", rings: [][]orb.Point{ring}, z: flatGround, raw: raw})
			x.set("active", schema.Bool(false))
		}
	}
	about := func(x, y float64) []orb.Point { return rect(x, y, x+0.0001, y+0.0001) }
	judgeWords(t, "axes-swapped", []wordCase{
		{"a keep-out", off("keepout", rect(1, 1, 2, 2), false), validate.Passed, ""},
		{"one exchanged", off("keepout", about(plotLat, plotLon), true), validate.Failed, "is switched off"},
		{"one in another country", off("keepout", about(20, 20), true), validate.Passed, ""},
		{"one with a single vertex exchanged", func(p *plot) {
			off("keepout", about(plotLon, plotLat), true)(p)
			p.get("k9").rings[0][1] = orb.Point{plotLat, plotLon}
		}, validate.Passed, ""},
		{"one without geometry", func(p *plot) { off("keepout", nil, false)(p); p.get("k9").rings = nil }, validate.Passed, ""},
	})
	judgeWords(t, "role-unknown", []wordCase{
		{"a zone", off("zone", rect(1, 1, 2, 2), false), validate.Passed, ""},
		{"Rolezone", off("Rolezone", rect(1, 1, 2, 2), false), validate.Failed, `"Rolezone"`},
		{"keepot", off("keepot", rect(1, 1, 2, 2), false), validate.Failed, `"keepot"`},
		{"no role", off("", rect(1, 1, 2, 2), false), validate.Passed, ""},
		{"other", off("other", rect(1, 1, 2, 2), false), validate.Passed, ""},
	})
}
