// Tests of applying rules: roles, rings, gaps, holes, names, and that the plan
// given stays as it was.

package roles

import (
	"bytes"
	"fmt"
	"math"
	"strings"
	"testing"

	"github.com/twpayne/go-geom"

	"swardline/convert/dxf"
	"swardline/convert/dxf/curve"
	"swardline/convert/wire"
	"swardline/crs"
	"swardline/schema"
)

func rulesOf(t *testing.T, text string) *Rules {
	t.Helper()
	r, err := Read([]byte(text), "r.yaml")
	if err != nil {
		t.Fatal(err)
	}
	return r
}

// on is a feature of a layer.
func on(layer string, g geom.T, more ...schema.Attribute) *schema.Feature {
	return &schema.Feature{Role: schema.RoleOther, Geometry: g, Attributes: append(schema.Attributes{{Key: schema.PropLayer, Value: schema.String(layer)}}, more...)}
}

func path(xy ...float64) geom.T { return geom.NewLineStringFlat(geom.XY, xy) }

func ring(xy ...float64) geom.T { return geom.NewPolygonFlat(geom.XY, xy, []int{len(xy)}) }

func at(x, y float64) geom.T { return geom.NewPointFlat(geom.XY, []float64{x, y}) }

func text(name string, x, y, height float64) *schema.Feature {
	f := on("LABELS", at(x, y), schema.Attribute{Key: schema.PropEntity, Value: schema.String("TEXT")}, schema.Attribute{Key: schema.PropTextHeight, Value: schema.Float(height)})
	f.Name = name
	return f
}

func planOf(f ...*schema.Feature) *schema.Plan { return &schema.Plan{Features: f} }

// show lists the features of a plan in short.
func show2(p *schema.Plan) string {
	var out []string
	for _, f := range p.Features {
		kind := strings.TrimPrefix(fmt.Sprintf("%T", f.Geometry), "*geom.")
		s := string(f.Role) + " " + kind
		if f.Name != "" {
			s += " " + f.Name
		}
		if poly, ok := f.Geometry.(*geom.Polygon); ok && poly.NumLinearRings() > 1 {
			s += fmt.Sprintf(" %d rings", poly.NumLinearRings())
		}
		out = append(out, s)
	}
	return strings.Join(out, "; ")
}

// apply applies rules and checks that the plan given did not change.
func apply(t *testing.T, p *schema.Plan, rules *Rules) (*schema.Plan, Report) {
	t.Helper()
	before := snapshot(p)
	out, rep := Apply(p, rules)
	if snapshot(p) != before {
		t.Error("the plan given was changed")
	}
	for i, f := range out.Features {
		if poly, ok := f.Geometry.(*geom.Polygon); ok {
			start := 0
			for _, end := range poly.Ends() {
				if !schema.IsClosed(poly.FlatCoords()[start:end], poly.Stride()) {
					t.Errorf("feature %d: a ring is not closed", i)
				}
				start = end
			}
		}
	}
	return out, rep
}

func snapshot(p *schema.Plan) string {
	var b bytes.Buffer
	for _, f := range p.Features {
		fmt.Fprintf(&b, "%p %v %v %s %T %v\n", f, f.Role, f.Name, f.Attributes.AppendJSON(nil), f.Geometry, f.Geometry.FlatCoords())
	}
	return b.String()
}

func TestFirstMatchWins(t *testing.T) {
	p := planOf(
		on("LAWN", ring(0, 0, 9, 0, 9, 9, 0, 0)),
		on("lawn edge", path(0, 0, 9, 0)),
		on("Trees", at(1, 1), schema.Attribute{Key: schema.PropBlock, Value: schema.String("OAK")}, schema.Attribute{Key: schema.PropRole, Value: schema.String("tree")}),
		on("Trees", at(2, 2), schema.Attribute{Key: schema.PropBlock, Value: schema.String("ELM")}),
		on("Dim", path(0, 0, 1, 1), schema.Attribute{Key: schema.PropEntity, Value: schema.String("LINE")}),
		on("Dim", path(0, 0, 1, 1), schema.Attribute{Key: schema.PropEntity, Value: schema.String("LINE")}),
		on("Survey", at(5, 5), schema.Attribute{Key: "code", Value: schema.String("MK12")}),
		on("Red", at(5, 5), schema.Attribute{Key: schema.PropColour, Value: schema.Int(1)}),
		&schema.Feature{Role: schema.RoleOther, Geometry: at(1, 1), Attributes: schema.Attributes{{Key: "folder", Value: schema.List(schema.String("Site"), schema.String("Docks"))}}},
		on("Unknown", at(7, 7)),
	)
	out, rep := apply(t, p, rulesOf(t, `
rules:
  - {layer: "LAWN*", geometry: area, role: zone, set: {cut_mm: 40}}
  - {layer: "LAWN*", role: edge, set: {edge_kind: kerb}}
  - {block: oak, role: hazard, set: {hazard_kind: tree, name: Old oak}}
  - {layer: trees, role: hazard}
  - {layer: dim, leave_out: true}
  - {code: "MK*", role: mark}
  - {colour: red, role: supply}
  - {layer: docks, role: dock}
  - {layer: nothing, role: base}
`))
	want := "zone Polygon; edge LineString; hazard Point Old oak; hazard Point; mark Point; supply Point; dock Point; other Point"
	if got := show2(out); got != want {
		t.Errorf("got  %s\nwant %s", got, want)
	}
	if got := string(out.Features[0].Attributes.AppendJSON(nil)); got != `{"layer":"LAWN","cut_mm":40}` {
		t.Errorf("zone has %s", got)
	}
	if got := string(out.Features[2].Attributes.AppendJSON(nil)); got != `{"layer":"Trees","block":"OAK","hazard_kind":"tree"}` {
		t.Errorf("the word that was no role is kept: %s", got)
	}
	var matched []int
	for _, r := range rep.Rules {
		matched = append(matched, r.Matched)
	}
	if got := fmt.Sprint(matched); got != "[1 1 1 1 2 1 1 1 0]" {
		t.Errorf("matched %s", got)
	}
	if len(rep.Unmatched) != 1 || rep.Unmatched[0].Layer != "Unknown" || rep.Unmatched[0].Count != 1 {
		t.Errorf("unmatched %+v", rep.Unmatched)
	}
	if s := rep.String(); !strings.Contains(s, "rule in line 7 -> left out: 2 features") || !strings.Contains(s, `no rule: 1 (point) on layer "Unknown"`) {
		t.Errorf("the report reads\n%s", s)
	}
}

// TestPassedOver: what a reader passed over is told where a rule makes what keeps
// a machine off of its layer, once a thing, and p stays as it was.
func TestPassedOver(t *testing.T) {
	rules := rulesOf(t, "rules:\n  - layer: W-*\n    role: hazard\n  - layer: \"*-EDGE\"\n    role: edge\n  - layer: LAWN\n    role: zone\n  - layer: OLD\n    leave_out: true\n  - layer: \"*\"\n    role: keepout\n    geometry: area\n")
	for layer, want := range map[string]string{"W-17": "hazard", "A-EDGE": "edge", "LAWN": "", "OLD": "", "ELSE": "keepout"} {
		p := planOf(on("LAWN", ring(0, 0, 4, 0, 4, 3, 0, 0)))
		p.Left = make([]string, 1, 4)
		p.AddPassed(schema.Passed{Layer: layer, Kind: "RAY", Line: 7})
		p.AddPassed(schema.Passed{Layer: layer, Kind: "RAY", Line: 9})
		out, _ := Apply(p, rules)
		got := strings.Join(out.Left[1:], ";")
		if want == "" && got != "" || want != "" && (!strings.HasPrefix(got, "line 7: the RAY on layer \""+layer+"\", of which a rule makes a "+want+",") || len(out.Left) != 2) {
			t.Errorf("%s: %q", layer, got)
		}
		if len(p.Left) != 1 || p.Left[:2][1] != "" {
			t.Errorf("%s: the plan given was changed: %q", layer, p.Left[:2])
		}
	}
}

// TestLeftOutDangers: what a rule takes out and its layer, or its name, calls a thing that
// keeps a machine off is said once; texts, lawns and what says nothing are not.
func TestLeftOutDangers(t *testing.T) {
	rules := rulesOf(t, "rules:\n  - layer: LAWN\n    role: zone\n  - layer: \"*\"\n    leave_out: true\n")
	nameless := on("", at(1, 1))
	nameless.Name = "Garden pond"
	natural, keepout := on("", ring(0, 0, 1, 0, 1, 1, 0, 0)), on("", ring(0, 0, 1, 0, 1, 1, 0, 0))
	natural.Attributes.Set("natural", schema.String("water"))
	keepout.Role = schema.RoleKeepout
	for want, f := range map[string]*schema.Feature{
		`2 of "WATER", which speaks for the role hazard, left out by the rule in line 4`:       on("WATER", ring(0, 0, 1, 0, 1, 1, 0, 0)),
		`2 of "TREES", which speaks for the role hazard, left out by the rule in line 4`:       on("TREES", at(1, 1)),
		`2 of "Retaining walls", which speaks for the role edge, left out by the rule in line`: on("Retaining walls", path(0, 0, 1, 1)),
		`2 of "Garden pond", which speaks for the role hazard, left out by the rule in line 4`: nameless,
		`2 of "water", which speaks for the role hazard, left out`:                             natural,
		`2 of the file's own role "keepout", which speaks for the role keepout`:                keepout,
		"text": text("WATER", 1, 1, 0.2), "lawn": on("LAWN", ring(0, 0, 1, 0, 1, 1, 0, 0)), "frame": on("FRAME", path(0, 0, 1, 1)), "mown": on("Grass old", ring(0, 0, 1, 0, 1, 1, 0, 0)),
	} {
		again := *f
		out, _ := Apply(planOf(f, &again), rules)
		if got := strings.Join(out.Left, ";"); strings.Contains(want, "2 of") != strings.HasPrefix(got, want) || !strings.Contains(want, "2 of") && got != "" || len(out.Left) > 1 {
			t.Errorf("%s: %q", want, got)
		}
	}
}

// TestTextsLeftOut: a text that a rule takes out is read as one beside the plan.
func TestTextsLeftOut(t *testing.T) {
	rules := rulesOf(t, "rules:\n  - layer: LAWN\n    role: zone\n  - layer: \"*\"\n    leave_out: true\n")
	p := planOf(on("LAWN", ring(0, 0, 4, 0, 4, 3, 0, 0)), text("deep pit, unfenced", 1, 1, 0.2))
	out, _ := Apply(p, rules)
	if len(p.Beside) != 0 || len(out.Beside) != 1 || out.Beside[0].Text != "deep pit, unfenced" || out.Beside[0].Where != "a text that the rule in line 4 left out" {
		t.Errorf("%+v", out.Beside)
	}
}

// TestReplacedBySet: what a rule puts in place of what the file says is told, and what it
// adds, or says again, is not.
func TestReplacedBySet(t *testing.T) {
	rules := rulesOf(t, "rules:\n  - layer: TREES\n    role: hazard\n    set: {hazard_kind: tree, radius_m: 0.2}\n  - layer: K\n    role: other\n")
	tree := func(radius schema.Value) *schema.Feature {
		f := on("TREES", at(1, 1))
		if !radius.IsAbsent() {
			f.Attributes.Set("radius_m", radius)
		}
		return f
	}
	keepout, zone := on("K", ring(0, 0, 1, 0, 1, 1, 0, 0)), on("K", ring(0, 0, 1, 0, 1, 1, 0, 0))
	keepout.Role, zone.Role = schema.RoleKeepout, schema.RoleZone
	for _, x := range []struct {
		f    *schema.Feature
		want string
	}{
		{tree(schema.Float(3)), `1 of radius_m "3", which the rule in line 2 made "0.2": look which of the two holds`},
		{tree(schema.Float(0.2)), ""},
		{tree(schema.Value{}), ""},
		{tree(schema.Null()), ""},
		{keepout, `1 of the file's own role "keepout", which the rule in line 5 made the role other: look which of the two holds`},
		{zone, ""},
	} {
		out, _ := Apply(planOf(x.f), rules)
		if got := strings.Join(out.Left, ";"); got != x.want {
			t.Errorf("%q, want %q", got, x.want)
		}
	}
}

func TestLinesThatCloseBecomeRings(t *testing.T) {
	rules := rulesOf(t, "rules:\n  - {layer: Z, role: zone}\n  - {layer: E, role: edge}\n  - {layer: H, role: hazard, rings: true}\n  - {layer: K, role: keepout, rings: false}\n")
	p := planOf(
		on("Z", path(0, 0, 9, 0, 9, 9, 0.004, 0.003)),
		on("Z", path(50, 0, 59, 0, 59, 9, 50, 0.02)),
		on("E", path(0, 0, 9, 0, 9, 9, 0, 0)),
		on("H", path(20, 0, 29, 0, 29, 9, 20, 0)),
		on("K", path(20, 0, 29, 0, 29, 9, 20, 0)),
	)
	out, rep := apply(t, p, rules)
	if got := show2(out); got != "zone Polygon; zone LineString; edge LineString; hazard Polygon; keepout LineString" {
		t.Errorf("got %s", got)
	}
	if rep.Rules[0].Closed != 1 || len(rep.Gaps) != 1 || math.Abs(rep.Gaps[0].SizeM-0.02) > 1e-12 {
		t.Errorf("closed %d, gaps %+v", rep.Rules[0].Closed, rep.Gaps)
	}
}

func TestLoosePiecesAreJoined(t *testing.T) {
	rules := rulesOf(t, "rules:\n  - {layer: Z, role: zone}\n")
	// A square of four lines in no order and no common direction, ends up to 8
	// mm apart, one drawn twice; a second square that lacks a side; a T.
	p := planOf(
		on("Z", path(10, 0, 10, 10)),
		on("Z", path(0, 0, 10.005, 0.003)),
		on("Z", path(0, 10, 10.001, 10)),
		on("Z", path(0.001, 10.007, 0, 0.002)),
		on("Z", path(10, 10, 10, 0)),
		on("Z", path(20, 0, 30, 0)),
		on("Z", path(30, 0, 30, 10)),
		on("Z", path(30, 10, 20, 10)),
		on("Z", path(40, 0, 50, 0)), on("Z", path(50, 0, 60, 0)), on("Z", path(50, 0, 50, 9)),
	)
	p.Features[2].Name = "Front"
	out, rep := apply(t, p, rules)
	if got := show2(out); got != "zone Polygon Front; zone LineString; zone LineString; zone LineString; zone LineString" {
		t.Errorf("got %s", got)
	}
	square := out.Features[0].Geometry.(*geom.Polygon)
	if n := square.NumCoords(); n != 5 {
		t.Errorf("the square has %d vertices", n)
	}
	if a := math.Abs(schema.TwiceArea(square.FlatCoords(), 2)) / 2; math.Abs(a-100) > 0.1 {
		t.Errorf("the square is %g", a)
	}
	if got := string(out.Features[0].Attributes.AppendJSON(nil)); got != `{"layer":"Z","joined":4}` {
		t.Errorf("the square has %s", got)
	}
	r := rep.Rules[0]
	if r.Pieces != 7 || r.Rings != 1 || r.Lines != 1 || r.Repeated != 1 {
		t.Errorf("got %+v", r)
	}
	if len(rep.Junctions) != 1 || rep.Junctions[0].E != 50 || rep.Junctions[0].Count != 3 {
		t.Errorf("junctions %+v", rep.Junctions)
	}
	// The gap of the second square: its size and its ends.
	found := false
	for _, g := range rep.Gaps {
		if math.Abs(g.SizeM-10) < 1e-9 && g.From == [2]float64{20, 0} && g.To == [2]float64{20, 10} {
			found = true
		}
	}
	if !found {
		t.Errorf("the gap of the second square is not listed: %+v", rep.Gaps)
	}
}

func TestJoinedArcsKeepTheirBend(t *testing.T) {
	// A stadium of two lines and two arcs, as an exploded outline is drawn.
	var b strings.Builder
	pair := func(list ...any) {
		for i := 0; i < len(list); i += 2 {
			fmt.Fprintf(&b, "%v\n%v\n", list[i], list[i+1])
		}
	}
	pair(0, "SECTION", 2, "HEADER", 9, "$INSUNITS", 70, 6, 0, "ENDSEC", 0, "SECTION", 2, "ENTITIES")
	pair(0, "LINE", 8, "Z", 10, 0, 20, 0, 11, 10, 21, 0)
	pair(0, "ARC", 8, "Z", 10, 10, 20, 2, 40, 2, 50, 270, 51, 90)
	pair(0, "LINE", 8, "Z", 10, 0, 20, 4, 11, 10, 21, 4)
	pair(0, "ARC", 8, "Z", 10, 0, 20, 2, 40, 2, 50, 90, 51, 270)
	pair(0, "ENDSEC", 0, "EOF")
	p, _, err := dxf.Read([]byte(b.String()), wire.ReadOptions{})
	if err != nil {
		t.Fatal(err)
	}
	out, rep := apply(t, p, rulesOf(t, "rules:\n  - {layer: Z, role: zone}\n"))
	if len(out.Features) != 1 || rep.Rules[0].Rings != 1 {
		t.Fatalf("got %s", show2(out))
	}
	f := out.Features[0]
	c, err := curve.Parse(f.Attributes.Get(schema.PropCurve))
	if err != nil {
		t.Fatal(err)
	}
	bends := 0
	for _, x := range c.Bulges {
		if math.Abs(math.Abs(x)-1) < 1e-9 {
			bends++
		}
	}
	if c.Type != curve.Bulges || bends != 2 {
		t.Errorf("keeps %+v", c)
	}
	if _, ok := c.Refit(f.Geometry.FlatCoords(), 2, 1e-6); !ok {
		t.Error("the bulges do not lie on the ring")
	}
	want := 40 + 4*math.Pi
	if a := math.Abs(schema.TwiceArea(f.Geometry.FlatCoords(), 2)) / 2; a > want || want-a > 4*math.Pi*0.005 {
		t.Errorf("the stadium is %g, true %g", a, want)
	}
	// Written as a drawing it is one polyline with two bulges.
	var d bytes.Buffer
	lost, err := dxf.Write(&d, out, wire.WriteOptions{})
	if err != nil || len(lost) != 0 {
		t.Fatalf("%v %v", lost, err)
	}
	_, entities, _ := strings.Cut(d.String(), "\nENTITIES\n")
	if n := strings.Count(entities, "\n 42\n"); strings.Count(entities, "\nLWPOLYLINE\n") != 1 || n < 2 {
		t.Errorf("written with %d bulges", n)
	}
}

func TestNestedRingsBecomeHoles(t *testing.T) {
	square := func(x, y, size float64) geom.T { return ring(x, y, x+size, y, x+size, y+size, x, y+size, x, y) }
	p := planOf(
		on("Z", square(2, 2, 6)), on("Z", square(0, 0, 20)), on("Z", square(3, 3, 1)), on("Z", square(10, 10, 4)),
		on("Z", square(30, 0, 5)), on("Z", square(34, 0, 5)),
		on("Z", square(50, 0, 10)), on("Z", square(50, 0, 4)), // a corner and two sides in common
		on("X", square(1, 1, 0.5)),
	)
	p.Features[3].Name = "Bed"
	out, rep := apply(t, p, rulesOf(t, "rules:\n  - {layer: Z, role: zone, holes: true}\n  - {layer: X, role: keepout}\n"))
	want := "zone Polygon 3 rings; zone Polygon; zone Polygon; zone Polygon; zone Polygon 2 rings; keepout Polygon"
	if got := show2(out); got != want {
		t.Errorf("got  %s\nwant %s", got, want)
	}
	if rep.Rules[0].Holes != 3 || len(rep.Crossings) != 1 || len(rep.Notes) != 1 {
		t.Errorf("holes %d, crossings %v, notes %v", rep.Rules[0].Holes, rep.Crossings, rep.Notes)
	}
	// Without the word, nothing nests.
	out, _ = apply(t, p, rulesOf(t, "rules:\n  - {layer: Z, role: zone}\n"))
	if len(out.Features) != len(p.Features) {
		t.Errorf("%d features", len(out.Features))
	}
}

func TestHolesKeepHeightsAndCurves(t *testing.T) {
	circle, ok := curve.FromConic(curve.Conic{C: curve.Point{5, 5}, U: curve.Point{1}, V: curve.Point{0, 1}, Sweep: 2 * math.Pi}, 16)
	if !ok {
		t.Fatal("no circle")
	}
	var flat []float64
	for _, q := range circle.Conic().Append(nil, 16) {
		flat = append(flat, q[0], q[1], 12)
	}
	p := planOf(on("Z", ring(0, 0, 10, 0, 10, 10, 0, 10, 0, 0)),
		on("Z", geom.NewPolygonFlat(geom.XYZ, flat, []int{len(flat)}), schema.Attribute{Key: schema.PropCurve, Value: circle.Value()}))
	out, _ := apply(t, p, rulesOf(t, "rules:\n  - {layer: Z, role: zone, holes: true}\n"))
	f := out.Features[0]
	g := f.Geometry.(*geom.Polygon)
	if len(out.Features) != 1 || g.Layout() != geom.XYZ || !math.IsNaN(g.FlatCoords()[2]) || g.FlatCoords()[len(g.FlatCoords())-1] != 12 {
		t.Errorf("got %s %v", show2(out), g.FlatCoords())
	}
	items := f.Attributes.Get(schema.PropCurve).Items()
	if len(items) != 2 || items[0].Kind() != schema.KindNull || items[1].Fields().Get("type").Text() != "circle" {
		t.Errorf("curve is %s", f.Attributes.Get(schema.PropCurve).AppendJSON(nil))
	}
}

func TestNamesFromTexts(t *testing.T) {
	rules := rulesOf(t, `
rules:
  - {layer: Z, role: zone, name_from: text, holes: true}
  - {layer: T, role: hazard, name_from: text, text_within_m: 1.5}
  - {layer: M, role: mark, name_from: layer}
  - {layer: B, role: dock, name_from: "attrib:tag"}
  - {entity: TEXT, layer: LABELS, name: "skip*", leave_out: true}
`)
	p := planOf(
		on("Z", ring(0, 0, 20, 0, 20, 20, 0, 20, 0, 0)),
		on("Z", ring(30, 0, 50, 0, 50, 20, 30, 20, 30, 0)),
		on("Z", ring(35, 5, 40, 5, 40, 10, 35, 10, 35, 5)),
		on("T", at(60, 5)), on("T", at(62, 5)), on("T", at(90, 5)),
		on("M", at(1, 1)),
		on("B", at(1, 1), schema.Attribute{Key: schema.PropAttribs, Value: schema.Object(schema.Attributes{{Key: "TAG", Value: schema.String("Home")}})}),
		text("Front lawn", 5, 5, 1), text("12 m2", 6, 6, 0.3),
		text("Back lawn", 45, 15, 1),
		text("pond", 37, 7, 1), // in the hole: it names nothing
		text("Oak", 61.2, 5, 1), text("Elm", 62.5, 6, 1), text("far off", 100, 100, 1), text("skip me", 0, 99, 1),
	)
	out, rep := apply(t, p, rules)
	want := "zone Polygon Front lawn; zone Polygon Back lawn 2 rings; hazard Point; hazard Point Oak; hazard Point; mark Point M; dock Point Home; other Point 12 m2; other Point pond; other Point Elm; other Point far off"
	if got := show2(out); got != want {
		t.Errorf("got  %s\nwant %s", got, want)
	}
	if rep.Rules[0].Named != 2 || rep.Rules[1].Named != 1 || rep.Rules[2].Named != 1 || rep.Rules[3].Named != 1 {
		t.Errorf("named %+v", rep.Rules)
	}
	if len(rep.Notes) != 1 || !strings.Contains(rep.Notes[0], `"12 m2"`) {
		t.Errorf("notes %v", rep.Notes)
	}
}

func TestTolerancesAreMetresOnTheGround(t *testing.T) {
	rules := rulesOf(t, "rules:\n  - {layer: Z, role: zone}\n")
	// 8 mm and 20 mm at 60 degrees north: 1 degree is some 111.2 km north and
	// half of that east.
	for _, c := range []struct {
		de, dn float64 // metres
		closed bool
	}{{0.008, 0, true}, {-0.02, 0, false}, {0, 0.008, true}, {0, 0.02, false}} {
		lon, lat := c.de/(111195*0.5), c.dn/111195
		p := planOf(on("Z", path(10, 60, 10.001, 60, 10.001, 60.001, 10+lon, 60+lat)))
		p.CRS = crs.WGS84()
		out, _ := apply(t, p, rules)
		if _, ok := out.Features[0].Geometry.(*geom.Polygon); ok != c.closed {
			t.Errorf("a gap of %g, %g m: closed %v", c.de, c.dn, ok)
		}
	}
}

// What a drawing does not show is not mown ground, unless a rule asks for it.
func TestHiddenIsNotTaken(t *testing.T) {
	square := func(x float64) geom.T { return ring(x, 0, x+9, 0, x+9, 9, x, 9, x, 0) }
	state := func(s string) schema.Attribute {
		return schema.Attribute{Key: schema.PropLayerState, Value: schema.String(s)}
	}
	p := planOf(on("Z", square(0)), on("Z", square(10), state("frozen")), on("Z", square(20), state("off")), on("Z", square(30), state("noplot")),
		on("Z", square(40), schema.Attribute{Key: schema.PropHidden, Value: schema.Bool(true)}))
	for _, c := range []struct {
		rule, want string
		hidden     int
	}{
		{"{layer: Z, role: zone}", "zone Polygon; other Polygon; other Polygon; other Polygon; other Polygon", 4},
		{"{layer: Z, role: zone, state: [frozen]}", "other Polygon; zone Polygon; other Polygon; other Polygon; other Polygon", 0},
		{"{layer: Z, role: zone, hidden: true}", "other Polygon; zone Polygon; zone Polygon; other Polygon; zone Polygon", 0},
		{"{layer: Z, leave_out: true}", "", 0},
	} {
		out, rep := apply(t, p, rulesOf(t, "rules:\n  - "+c.rule+"\n"))
		if got := show2(out); got != c.want || rep.Hidden != c.hidden {
			t.Errorf("%s: %s, %d hidden", c.rule, got, rep.Hidden)
		}
		if said := strings.Contains(rep.String(), fmt.Sprintf("not shown: %d features", c.hidden)); said != (c.hidden > 0) {
			t.Errorf("%s: says\n%s", c.rule, rep.String())
		}
	}
}

func TestManyPieces(t *testing.T) {
	// A thousand squares of four loose sides each, shuffled by a fixed step.
	var all []*schema.Feature
	for i := 0; i < 1000; i++ {
		x, y := float64(i%40)*20, float64(i/40)*20
		c := [][2]float64{{x, y}, {x + 10, y}, {x + 10, y + 10}, {x, y + 10}}
		for k := range c {
			p, q := c[k], c[(k+1)%4]
			if (i+k)%2 == 0 {
				p, q = q, p
			}
			all = append(all, on("Z", path(p[0], p[1], q[0], q[1])))
		}
	}
	var shuffled []*schema.Feature
	for i := range all {
		shuffled = append(shuffled, all[i*1733%len(all)])
	}
	out, rep := Apply(planOf(shuffled...), rulesOf(t, "rules:\n  - {layer: Z, role: zone}\n"))
	if len(out.Features) != 1000 || rep.Rules[0].Rings != 1000 || rep.Rules[0].Pieces != 4000 || len(rep.Gaps) != 0 {
		t.Errorf("%d features, %+v, %d gaps", len(out.Features), rep.Rules[0], len(rep.Gaps))
	}
	for _, f := range out.Features {
		if a := math.Abs(schema.TwiceArea(f.Geometry.FlatCoords(), 2)) / 2; a != 100 {
			t.Fatalf("a square of %g", a)
		}
	}
}
