// Steps, joined shores and coarse things, each beside the limit.

package validate_test

import (
	"math"
	"testing"

	"github.com/paulmach/orb"

	"swardline/schema"
	"swardline/validate"
)

// found counts the findings of a rule with a severity, and its outcome.
func found(t *testing.T, p *plot, rule string, severity validate.Severity) (int, validate.Result) {
	t.Helper()
	r := validate.Check(p.plan(t), schema.DefaultLimits())
	n := 0
	for _, f := range r.Findings {
		if f.Rule == rule && f.Severity == severity {
			n++
		}
	}
	return n, r.Outcome(rule)
}

func TestLedges(t *testing.T) {
	at := func(h float64) func(orb.Point) float64 { return func(orb.Point) float64 { return plotH + h } }
	for _, x := range []struct {
		name     string
		draw     func(p *plot)
		severity validate.Severity
		want     bool
	}{
		{"0.6 m within 0.1 m of an outline", func(p *plot) { ledgeBy(p, 0.6) }, validate.Error, true},
		{"survey scatter of 0.1 m between points 0.1 m apart", func(p *plot) { ledgeBy(p, 0.1) }, validate.Error, false},
		{"a hair more than the limit", func(p *plot) { ledgeBy(p, 0.15+0.035+0.002) }, validate.Error, true},
		{"a hair less", func(p *plot) { ledgeBy(p, 0.15+0.035-0.002) }, validate.Error, false},
		{"a told standard error of 0.05 m", func(p *plot) { ledgeBy(p, 0.2); p.get("z2").set("sigma", num(0.05)) }, validate.Error, false},
		{"a told standard error of 0.05 m and more than three of the difference", func(p *plot) { ledgeBy(p, 0.26); p.get("z2").set("sigma", num(0.05)) }, validate.Error, true},
		{"a told standard error of 2 m hides no step", func(p *plot) { ledgeBy(p, 0.6); p.get("z2").set("sigma", num(2)) }, validate.Error, true},
		{"the rim of a keep-out 2.5 m in, 1.1 m lower", func(p *plot) {
			p.add(&thing{id: "k2", role: "keepout", name: "Bed", rings: [][]orb.Point{rect(2.5, -27, 5, -24)}, z: at(-0.3 - 0.35*2.5 - 0.002)})
		}, validate.Error, true},
		{"the same, a hair less", func(p *plot) {
			p.add(&thing{id: "k2", role: "keepout", name: "Bed", rings: [][]orb.Point{rect(2.5, -27, 5, -24)}, z: at(-0.3 - 0.35*2.5 + 0.002)})
		}, validate.Error, false},
		{"a keep-out whose rim lies 5 m beyond the lawn's edge, on a bank", func(p *plot) {
			p.add(&thing{id: "k2", role: "keepout", name: "Bank", rings: [][]orb.Point{{{28, -27}, {40, -27}, {40, -24}, {28, -24}, {28, -27}}},
				z: func(q orb.Point) float64 { return plotH - math.Max(0, q[0]-30)/2 }})
		}, validate.Error, false},
		{"the rim of a hole 3 m lower", func(p *plot) {
			z := p.get("z2")
			z.rings = append(z.rings, []orb.Point{{2.5, -27}, {2.5, -24}, {5, -24}, {5, -27}, {2.5, -27}})
			z.z = func(q orb.Point) float64 {
				if q[0] > 1 && q[0] < 9 {
					return plotH - 1.2
				}
				return plotH
			}
		}, validate.Error, true},
		{"a mark 1.1 m below the lawn, 2 m in", func(p *plot) {
			p.add(&thing{id: "m9", role: "mark", name: "M9", point: &orb.Point{2, -20}, z: at(-1.1)})
		}, validate.Warning, true},
		{"a mark in a keep-out", func(p *plot) {
			p.add(&thing{id: "m9", role: "mark", name: "M9", point: &orb.Point{2, -20}, z: at(-1.1)})
			p.add(&thing{id: "k2", role: "keepout", name: "Pit", rings: [][]orb.Point{rect(1, -21, 3, -19)}, z: flatGround})
		}, validate.Warning, false},
		{"a mark beyond the lawn", func(p *plot) {
			p.add(&thing{id: "m9", role: "mark", name: "M9", point: &orb.Point{-2, -20}, z: at(-1.01)})
		}, validate.Warning, true},
		{"a mark beyond the lawn, no more than a slope leads down", func(p *plot) {
			p.add(&thing{id: "m9", role: "mark", name: "M9", point: &orb.Point{-2, -20}, z: at(-0.99)})
		}, validate.Warning, false},
	} {
		p := park()
		x.draw(p)
		if n, o := found(t, p, "slope-limit", x.severity); (n > 0) != x.want {
			t.Errorf("%s: %d findings, %s (%s)", x.name, n, o.Outcome, o.Reason)
		}
	}
}

// shores draws lines of hazards of a kind.
func shores(kind string, lines ...[]orb.Point) func(p *plot) {
	return func(p *plot) {
		for i, l := range lines {
			p.add(&thing{id: "w" + string(rune('a'+i)), role: "hazard", name: "Shore " + string(rune('A'+i)), line: l, z: flatGround}).set("hazard_kind", schema.String(kind))
		}
	}
}

func TestShoresThatCloseTogether(t *testing.T) {
	a, b, c, d := orb.Point{-60, -60}, orb.Point{60, -60}, orb.Point{60, 60}, orb.Point{-60, 60}
	off := func(p orb.Point, m float64) orb.Point { return orb.Point{p[0] + m, p[1]} }
	for _, x := range []struct {
		name string
		draw func(p *plot)
		want validate.Outcome
	}{
		{"four lines that meet", shores("pond", []orb.Point{a, b}, []orb.Point{b, c}, []orb.Point{d, c}, []orb.Point{d, a}), validate.Failed},
		{"ends that miss by 9 mm", shores("pond", []orb.Point{a, b}, []orb.Point{off(b, 0.009), c}, []orb.Point{c, d, a}), validate.Failed},
		{"one line that misses its start by 5 mm", shores("lake", []orb.Point{a, b, c, d, off(a, 0.005)}), validate.Failed},
		{"one line that crosses itself", shores("lake", []orb.Point{{-60, -70}, {-60, 60}, c, b, {-70, -60}}), validate.Failed},
		{"one line that ends on itself", shores("lake", []orb.Point{{-60, -70}, {-60, 60}, c, b, a}), validate.Failed},
		{"a gap of half a metre", shores("pond", []orb.Point{a, b}, []orb.Point{off(b, 0.5), c}, []orb.Point{c, d, a}), validate.Unchecked},
		{"a gap as wide as the machine, and a hair", shores("pond", []orb.Point{a, b}, []orb.Point{off(b, 0.61), c}, []orb.Point{c, d, a}), validate.Unchecked},
		{"a gap of half a metre about other ground", shores("pond", []orb.Point{{100, 0}, {110, 0}}, []orb.Point{{110.5, 0}, {110, 10}, {100, 0}}), validate.Passed},
		{"three sides", shores("pond", []orb.Point{a, b}, []orb.Point{b, c}, []orb.Point{c, d}), validate.Unchecked},
		{"two sides", shores("pond", []orb.Point{a, b}, []orb.Point{b, c}), validate.Passed},
		{"a road all round", shores("road", []orb.Point{a, b}, []orb.Point{b, c}, []orb.Point{c, d}, []orb.Point{d, a}), validate.Passed},
		{"a highway all round in one line", shores("highway", []orb.Point{a, b, c, d, a}), validate.Passed},
		{"a road past the park all round", shores("road by the park", []orb.Point{a, b, c, d, a}), validate.Passed},
		{"a car park walked round in four lines", shores("car park", []orb.Point{a, b}, []orb.Point{b, c}, []orb.Point{d, c}, []orb.Point{d, a}), validate.Failed},
		{"a car park walked round in one", shores("car park", []orb.Point{a, b, c, d, a}), validate.Failed},
		{"parking of its own word", shores("Besucherparkplatz", []orb.Point{a, b, c, d, a}), validate.Failed},
		{"a bus depot", shores("bus depot", []orb.Point{a, b, c, d, a}), validate.Failed},
		{"ends of a car park that miss by half a metre", shores("parking lot", []orb.Point{a, b}, []orb.Point{off(b, 0.5), c}, []orb.Point{c, d, a}), validate.Unchecked},
		{"a car park beside the lawns", shores("car park", []orb.Point{{100, 0}, {110, 0}, {110, 10}, {100, 10}, {100, 0}}), validate.Passed},
		{"a pit round the lawns", shores("pit", []orb.Point{a, b, c, d, a}), validate.Failed},
		{"a brook and what runs into it", shores("brook", []orb.Point{a, b, c}, []orb.Point{b, {80, -80}}, []orb.Point{{0, -60}, {0, -80}}), validate.Passed},
	} {
		p := park()
		x.draw(p)
		if _, o := found(t, p, "hazard-uncovered", validate.Error); o.Outcome != x.want {
			t.Errorf("%s: %s (%s), want %s", x.name, o.Outcome, o.Reason, x.want)
		}
	}
}

func TestCoarseThings(t *testing.T) {
	// North of the south lawn's west side stands nothing: a round thing of
	// radius 5 whose side lies so far west of the lawn.
	round := func(role string, n int, off float64) func(p *plot) {
		return func(p *plot) {
			turn := math.Pi / float64(n)
			var ring []orb.Point
			for i := range n {
				s, c := math.Sincos(turn + 2*turn*float64(i))
				ring = append(ring, orb.Point{-off - 5*math.Cos(turn) + 5*c, -20 + 5*s})
			}
			ring = append(ring, ring[0])
			x := p.add(&thing{id: "h9", role: role, name: "Thing", rings: [][]orb.Point{ring}, z: flatGround})
			if role == "hazard" {
				x.set("hazard_kind", schema.String("pond"))
			}
		}
	}
	sagitta := func(n int) float64 { return 5 * (1 - math.Cos(math.Pi/float64(n))) }
	for _, x := range []struct {
		name string
		draw func(p *plot)
		want bool
	}{
		{"a pond of 5 corners", round("hazard", 5, 0.35), true},
		{"a pond of 8 corners, its true bank a hair too near", round("hazard", 8, 0.3+sagitta(8)-0.003), true},
		{"a hair far enough", round("hazard", 8, 0.3+sagitta(8)+0.003), false},
		{"a pond of 12 corners", round("hazard", 12, 0.35), true},
		{"a pond of 40 corners cuts off 15 mm", round("hazard", 40, 0.301), false},
		{"a pavilion of 8 corners", round("building", 8, 0.1), true},
		{"a pavilion of 8 corners, clear of it", round("building", 8, sagitta(8)+0.003), false},
		{"a square pond", round("hazard", 4, 0.35), false},
		{"a stream in a bend away from the lawn", func(p *plot) {
			var l []orb.Point
			for i := range 8 {
				s, c := math.Sincos(math.Pi / 2 * (1 + 2*float64(i)/7))
				l = append(l, orb.Point{-0.35 + 12*c, -20 + 12*s})
			}
			p.add(&thing{id: "h9", role: "hazard", name: "Brook", line: l, z: flatGround}).set("hazard_kind", schema.String("stream"))
		}, false},
		{"a stream in a bend towards it", func(p *plot) {
			var l []orb.Point
			for i := range 8 {
				s, c := math.Sincos(-math.Pi/2 + math.Pi*float64(i)/7)
				l = append(l, orb.Point{-0.35 - 12*math.Cos(math.Pi/14) + 12*c, -20 + 12*s})
			}
			p.add(&thing{id: "h9", role: "hazard", name: "Brook", line: l, z: flatGround}).set("hazard_kind", schema.String("stream"))
		}, true},
	} {
		p := park()
		x.draw(p)
		if n, o := found(t, p, "curve-coarse", validate.Warning); (n > 0) != x.want {
			t.Errorf("%s: %d warnings, %s (%s)", x.name, n, o.Outcome, o.Reason)
		}
	}
}

func TestBasesOfOneMast(t *testing.T) {
	for off, want := range map[float64]int{0: 1, 0.3: 1, 1.01: 1, 4.99: 1, 5.01: 0} {
		p := park()
		b := p.get("b1").point
		p.add(&thing{id: "b2", role: "base", name: "Second mast", point: &orb.Point{b[0] + off, b[1]}, z: func(orb.Point) float64 { return plotH + 7 }})
		if n, _ := found(t, p, "base-missing", validate.Warning); n != want {
			t.Errorf("%g m apart: %d warnings, want %d", off, n, want)
		}
	}
}

func TestHistoryByDateAndHeight(t *testing.T) {
	entry := func(p *plot, off, up float64, date string) schema.Value {
		a := baseHistory(p, off)[0].Value.Items()[0].Fields().Clone()
		stored := a.Get("stored").Items()
		h, _ := stored[2].Float()
		a.Set("date", schema.String(date))
		a.Set("stored", schema.List(stored[0], stored[1], num(h+up)))
		a.Set("antenna", a.Get("stored"))
		return schema.Object(a)
	}
	under := func(key string, v ...schema.Value) []schema.Attribute {
		return []schema.Attribute{{Key: key, Value: schema.List(v...)}}
	}
	for _, x := range []struct {
		name string
		draw func(p *plot)
		want int // findings
	}{
		{"in order, the older elsewhere: left open", func(p *plot) {
			p.members = under("history", entry(p, 0.5, 0, "2024-05-01"), entry(p, 0, 0, "2026-05-01"))
		}, 0},
		{"the newest first", func(p *plot) {
			p.members = under("history", entry(p, 0.5, 0, "2026-05-01"), entry(p, 0, 0, "2024-05-01"))
		}, 1},
		{"the newest first, at the base", func(p *plot) {
			p.members = under("history", entry(p, 0, 0, "2026-05-01"), entry(p, 0, 0, "2024-05-01"))
		}, 0},
		{"a height 0.098 m lower", func(p *plot) { p.members = under("history", entry(p, 0, -0.098, "2026-05-01")) }, 0},
		{"a height 0.102 m lower", func(p *plot) { p.members = under("history", entry(p, 0, -0.102, "2026-05-01")) }, 1},
		{"an earlier entry 1 m higher: left open", func(p *plot) {
			p.members = under("history", entry(p, 0, 1, "2024-05-01"), entry(p, 0, 0, "2026-05-01"))
		}, 0},
		{"a height 1 m higher", func(p *plot) { p.members = under("history", entry(p, 0, 1, "2026-05-01")) }, 1},
		{"under another name", func(p *plot) { p.members = under("base_history", entry(p, 0, 0, "2026-05-01")) }, 1},
		{"on the base", func(p *plot) { p.get("b1").set("history", schema.List(entry(p, 0, 0, "2026-05-01"))) }, 1},
		{"a base's history told in words", func(p *plot) { p.get("b1").set("history", schema.String("set up in spring")) }, 0},
	} {
		p := park()
		x.draw(p)
		w, _ := found(t, p, "base-moved", validate.Warning)
		e, o := found(t, p, "base-moved", validate.Error)
		if w+e != x.want {
			t.Errorf("%s: %d findings, want %d; %s (%s)", x.name, w+e, x.want, o.Outcome, o.Reason)
		}
	}
}

func TestPlacementAndPointsOfGPX(t *testing.T) {
	placed := func(text string) func(p *plot) {
		return func(p *plot) { p.members = []schema.Attribute{{Key: "placement", Value: jsonValue(t, text)}} }
	}
	for _, x := range []struct {
		name string
		draw func(p *plot)
		want int
	}{
		{"a sound placement", placed(`{"scale":1.0004,"rms_m":0.03,"marks":4}`), 0},
		{"an rms a hair past the limit", placed(`{"scale":1,"rms_m":0.0301}`), 1},
		{"a scale 0.2 % off", placed(`{"scale":1.002}`), 0},
		{"a hair more", placed(`{"scale":1.0021}`), 1},
		{"a scale 0.2 % short", placed(`{"scale":0.998}`), 0},
		{"a hair less", placed(`{"scale":0.9979}`), 1},
		{"a scale as a text", placed(`{"scale":"0,991"}`), 1},
		{"feet", placed(`{"scale":0.3048,"rms_m":0.01}`), 1},
		{"a suspect mark and one with a residual", placed(`{"marks":[{"name":"M1","suspect":true},{"name":"M2","residual_m":-0.04},{"name":"M3","residual_m":0.03}]}`), 2},
		{"an rms in words", placed(`{"rms_m":"0.031 m"}`), 1},
		{"an rms in words within", placed(`{"rms_m":"3 cm"}`), 0},
		{"a residual in words", placed(`{"marks":[{"name":"M1","residual_m":"0,4"}]}`), 1},
		{"traced", placed(`{"method":"traced"}`), 1},
		{"by eye", placed(`{"rotation_deg":3,"by":"eye"}`), 1},
		{"on marks", placed(`{"method":"four marks","rotation":3,"date":"2026-05-01"}`), 0},
		{"points of GPX with 3d", func(p *plot) { p.get("z2").set("point_fix", schema.List(schema.String("dgps"), schema.String("3d"))) }, 1},
		{"points of GPX with dgps", func(p *plot) { p.get("z2").set("point_fix", schema.List(schema.String("dgps"))) }, 0},
		{"hdop 6.1", func(p *plot) { p.get("z2").set("point_hdop", schema.List(num(1), num(6.1))) }, 1},
		{"hdop 6", func(p *plot) { p.get("z2").set("hdop", num(6)) }, 0},
		{"pdop 6.1", func(p *plot) { p.get("z2").set("point_pdop", schema.List(num(1), num(6.1))) }, 1},
		{"pdop 6", func(p *plot) { p.get("z2").set("pdop", num(6)) }, 0},
		{"max pdop 6.1", func(p *plot) { p.get("z2").set("Max_PDOP", num(6.1)) }, 1},
		{"max pdop 6", func(p *plot) { p.get("z2").set("Max_PDOP", num(6)) }, 0},
		{"gdop 6.1", func(p *plot) { p.get("z2").set("GDOP", num(6.1)) }, 1},
		{"gdop 6", func(p *plot) { p.get("z2").set("GDOP", num(6)) }, 0},
		{"PDOP 9", func(p *plot) { p.get("z2").set("PDOP", num(9)) }, 1},
		{"vdop 6.1", func(p *plot) { p.get("z2").set("vdop", num(6.1)) }, 1},
		{"5 satellites", func(p *plot) { p.get("z2").set("point_sat", schema.List(num(9), num(5))) }, 1},
		{"6 satellites", func(p *plot) { p.get("z2").set("sat", num(6)) }, 0},
		{"Saturday's hour", func(p *plot) { p.get("z2").set("Sat", num(3)) }, 0},
		{"corrections of 60 s", func(p *plot) { p.get("z2").set("ageofdgpsdata", num(60)) }, 0},
		{"corrections of 60.1 s", func(p *plot) { p.get("z2").set("point_ageofdgpsdata", schema.List(num(1), num(60.1))) }, 1},
		{"a comment FLOAT", func(p *plot) { p.get("z2").set("point_cmt", schema.List(schema.String("FLOAT"), schema.Value{})) }, 1},
		{"a comment of a photo", func(p *plot) { p.get("z2").set("cmt", schema.String("see photo 12 and the map")) }, 0},
		{"a source traced from map", func(p *plot) { p.get("z2").set("src", schema.String("traced from map")) }, 1},
		{"a source phone GPS", func(p *plot) { p.get("z2").set("src", schema.String("phone GPS")) }, 1},
		{"a source RTK survey", func(p *plot) { p.get("z2").set("src", schema.String("RTK survey 2025")) }, 0},
	} {
		p := park()
		x.draw(p)
		if n, o := found(t, p, "survey-quality", validate.Warning); n != x.want {
			t.Errorf("%s: %d findings, want %d (%s)", x.name, n, x.want, o.Reason)
		}
	}
}

func TestPlacementsThatCannotBeJudged(t *testing.T) {
	for text, open := range map[string]bool{
		`{"rms":0.5}`: true, `{"rms_mm":5}`: true, `{"max_residual_m":"0.5 m"}`: true, `{"residuals":[0.4]}`: true, `{"rms_m":"small"}`: true, `{"marks":[{"name":"M1","residual_m":"none"}]}`: true, `"by hand"`: true,
		`{"rms_m":-0.01}`: true, `{"coefficients":[1]}`: true, `{"coefficients":["a",0,0,1]}`: true,
		// Turned by atan2(B, D), here 36.87 degrees; a hair either side of 0.2 % and 0.1 degree.
		`{"coefficients":[0.8,0.6,-0.6,0.8,0,0,0],"scale":1,"rotation_deg":36.87}`:   false,
		`{"coefficients":[0.8,0.6,-0.6,0.8,0,0,0],"scale":1,"rotation_deg":-323.13}`: false,
		`{"coefficients":[0.8,0.6,-0.6,0.8,0,0,0],"rotation_deg":36.96}`:             false, `{"coefficients":[0.8,0.6,-0.6,0.8,0,0,0],"rotation_deg":36.98}`: true,
		`{"coefficients":[0.8,0.6,-0.6,0.8,0,0,0],"rotation_deg":-36.87}`: true,
		`{"coefficients":[0.8,0.6,-0.6,0.8,0,0,0],"scale":1.0019}`:        false, `{"coefficients":[0.8016,0.6012,-0.6012,0.8016,0,0,0],"scale":0.9999}`: true,
		`{"coefficients":[1.0019,0,0,1,0,0,0]}`: false, `{"coefficients":[1.0021,0,0,1,0,0,0]}`: true, `{"coefficients":[1,0.3,0,1,0,0,0]}`: true,
		`{"coefficients":[0.8,0.6,0.6,-0.8,0,0,0]}`: true, `{"coefficients":[0,0,0,0,0,0,0]}`: true,
		`{"rms_m":0.01,"rotation":3,"shift_e":2,"date":"2026-05-01","note":"4 marks"}`: false, `{"model":"similarity","marks":4,"rms_m":0.01}`: false, `null`: false, `{}`: false,
	} {
		p := park()
		p.members = []schema.Attribute{{Key: "placement", Value: jsonValue(t, text)}}
		r := validate.Check(p.plan(t), schema.DefaultLimits())
		if o := r.Outcome("survey-quality"); (o.Outcome == validate.Unchecked) != open {
			t.Errorf("%s: %s (%s)", text, o.Outcome, o.Reason)
		}
	}
}

func jsonValue(t *testing.T, text string) (v schema.Value) {
	if err := v.UnmarshalJSON([]byte(text)); err != nil {
		t.Fatal(err)
	}
	return v
}

func TestCorridorIntoAZoneThatIsOff(t *testing.T) {
	for _, active := range []bool{true, false} {
		p := park()
		p.get("z2").set("active", schema.Bool(active))
		told, _ := found(t, p, "corridor-off-zone", validate.Warning)
		errors, _ := found(t, p, "corridor-off-zone", validate.Error)
		if want := map[bool]int{true: 0, false: 1}[active]; told != want || errors != 0 {
			t.Errorf("active %v: %d warnings, %d errors", active, told, errors)
		}
	}
}

// TestLongSides: a side that is longer than the site may be wide, its ends within
// it, and one end beyond it.
func TestLongSides(t *testing.T) {
	const none = validate.Severity("none")
	for _, x := range []struct {
		from, to float64
		want     validate.Severity
	}{
		{-1499.9, 1499.8, none}, {-1500, 1500.2, validate.Warning}, {-2900, 2900, validate.Warning},
		{50, 5850, validate.Error}, {-3100, 20, validate.Error}, {50, 2900, none},
	} {
		p := park()
		p.add(&thing{id: "h9", role: "hazard", name: "Lane", line: []orb.Point{{x.from, -60}, {x.to, -60}}, z: flatGround}).set("hazard_kind", schema.String("road"))
		got := none
		for _, f := range validate.Check(p.plan(t), schema.DefaultLimits()).Findings {
			if f.Rule == "feature-far-away" && got != validate.Error {
				got = f.Severity
			}
		}
		if got != x.want {
			t.Errorf("from %g to %g: %s, want %s", x.from, x.to, got, x.want)
		}
	}
}
