// Tests of writing: what a plan holds comes back, curves come back as curves,
// and what cannot be held is refused or named.

package dxf

import (
	"bytes"
	"errors"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"github.com/twpayne/go-geom"

	"swardline/convert/dxf/curve"
	"swardline/convert/wire"
	"swardline/crs"
	"swardline/schema"
	"swardline/testdata/randplan"
)

func write(t *testing.T, p *schema.Plan, o wire.WriteOptions) (string, []wire.Loss) {
	t.Helper()
	var b bytes.Buffer
	losses, err := Write(&b, p, o)
	if err != nil {
		t.Fatal(err)
	}
	return b.String(), losses
}

func losses(list []wire.Loss) string {
	var out []string
	for _, l := range list {
		out = append(out, fmt.Sprintf("%s:%d", l.Kind, l.Count))
	}
	return strings.Join(out, " ")
}

// inMetres puts a random plan, made in degrees, onto a plane of metres, with as
// many decimals as a drawing keeps.
func inMetres(p *schema.Plan, east, north float64) *schema.Plan {
	out := *p
	out.CRS = nil
	out.Source = schema.Source{}
	out.Features = nil
	var x0, y0 float64
	found := false
	for _, f := range p.Features {
		_ = eachLeaf(f.Geometry, func(l leaf) error {
			if !found && len(l.flat) > 0 {
				x0, y0, found = l.flat[0], l.flat[1], true
			}
			return nil
		})
	}
	for _, f := range p.Features {
		g := *f
		if g.Geometry != nil {
			g.Geometry = onPlane(g.Geometry, x0, y0, east, north)
		}
		out.Features = append(out.Features, &g)
	}
	return &out
}

func onPlane(g geom.T, x0, y0, east, north float64) geom.T {
	if c, ok := g.(*geom.GeometryCollection); ok {
		out := geom.NewGeometryCollection()
		for _, part := range c.Geoms() {
			if err := out.Push(onPlane(part, x0, y0, east, north)); err != nil {
				panic(err)
			}
		}
		return out
	}
	flat := append([]float64(nil), g.FlatCoords()...)
	for i := 0; i < len(flat); i += g.Stride() {
		flat[i] = math.Round(((flat[i]-x0)*60000+east)*1e5) / 1e5
		flat[i+1] = math.Round(((flat[i+1]-y0)*110000+north)*1e5) / 1e5
	}
	out, err := schema.WithFlatCoords(g, flat)
	if err != nil {
		panic(err)
	}
	return out
}

func TestPlansComeBackWhole(t *testing.T) {
	n := 400
	if !randplan.Long() {
		n = 60
	}
	for seed := 0; seed < n; seed++ {
		for _, c := range []struct {
			unit         string
			east, north  float64
			tol          float64
			wantedOffset bool
		}{{"", 1000, 2000, 0, false}, {"mm", 500000, 6200000, 1e-6, true}, {"ft", 500000, 6200000, 1.1e-5, false}} {
			p := inMetres(randplan.New(uint64(seed), randplan.Options{}), c.east, c.north)
			if len(p.Features) == 0 {
				continue
			}
			text, lost := write(t, p, wire.WriteOptions{Unit: c.unit})
			offset := strings.Contains(losses(lost), "offset-declared")
			if offset != strings.Contains(text, "OFFSET: add") || offset && !c.wantedOffset {
				t.Fatalf("seed %d, unit %q: losses %s", seed, c.unit, losses(lost))
			}
			for _, l := range lost {
				if l.Kind != "offset-declared" && l.Kind != "layer-renamed" && l.Kind != "layer-off" {
					t.Fatalf("seed %d: lost %s", seed, losses(lost))
				}
			}
			back, warnings, err := Read([]byte(text), wire.ReadOptions{})
			if err != nil {
				t.Fatalf("seed %d, unit %q: %v", seed, c.unit, err)
			}
			for _, w := range warnings {
				if w.Kind != "site-small" && w.Kind != "site-large" {
					t.Errorf("seed %d: warning %s: %s", seed, w.Kind, w.Message)
				}
			}
			if err := schema.Same(p, back, c.tol); err != nil {
				t.Fatalf("seed %d, unit %q: %v", seed, c.unit, err)
			}
			for i := 0; i < len(text); i++ {
				if text[i] == '\n' || text[i] >= 0x20 && text[i] != 0x7f {
					continue
				}
				t.Fatalf("seed %d: a control character in the drawing", seed)
			}
		}
	}
}

// everything is a plan of each kind of geometry and of the values that drawings
// have no place for.
func everything() *schema.Plan {
	nan := math.NaN()
	long := strings.Repeat("a long note with  spaces, \"quotes\", back\\slashes, ^carets, %%percent signs, ünïcödé and 🌳. ", 400)
	p := &schema.Plan{Name: "Mørk plads", Epoch: 2024.5, Attributes: schema.Attributes{{Key: "held", Value: schema.String("offsets")}}}
	add := func(role schema.Role, name string, g geom.T, attributes ...schema.Attribute) *schema.Feature {
		f := &schema.Feature{Role: role, Name: name, Geometry: g, Attributes: attributes}
		p.Features = append(p.Features, f)
		return f
	}
	number, _ := schema.Number("1.50")
	add(schema.RoleZone, "Lawn", geom.NewPolygonFlat(geom.XY, []float64{0, 0, 40, 0, 40, 30, 0, 30, 0, 0, 5, 5, 5, 9, 9, 9, 9, 5, 5, 5}, []int{10, 20}),
		schema.Attribute{Key: "cut_mm", Value: number}, schema.Attribute{Key: "nested", Value: schema.List(schema.Null(), schema.Bool(false), schema.Object(schema.Attributes{{Key: "a b", Value: schema.String("")}}))}).ID = schema.Int(7)
	add(schema.RoleKeepout, "", geom.NewMultiPolygonFlat(geom.XYZ, []float64{0, 0, 1, 1, 0, 1, 1, 1, 1, 0, 0, 1, 2, 2, nan, 3, 2, 4, 3, 3, 5, 2, 2, nan}, [][]int{{12}, {24}})).ID = schema.String("7")
	add(schema.RoleCorridor, "There", geom.NewLineStringFlat(geom.XYZ, []float64{1, 2, 3, 4, 5, nan, 6, 7, 0}), schema.Attribute{Key: "note", Value: schema.String(long)})
	add(schema.RoleDock, "Dock", geom.NewPointFlat(geom.XYZ, []float64{1, 2, 0}), schema.Attribute{Key: "heading_deg", Value: schema.Float(90.25)})
	add(schema.RoleMark, "no height", geom.NewPointFlat(geom.XYZ, []float64{1, 2, nan}))
	add(schema.RoleHazard, "trees", geom.NewMultiPointFlat(geom.XY, []float64{1, 1, 2, 2, 3, 3}))
	add(schema.RoleEdge, "walls", geom.NewMultiLineStringFlat(geom.XY, []float64{0, 0, 5, 0, 9, 9, 8, 8, 7, 9}, []int{4, 10}))
	add(schema.RoleOther, "nowhere", nil, schema.Attribute{Key: "why", Value: schema.String("no geometry")})
	add(schema.RoleOther, "empty", geom.NewPolygon(geom.XY))
	add(schema.RoleOther, "closed line", geom.NewLineStringFlat(geom.XY, []float64{0, 0, 3, 0, 3, 3, 0, 0}), schema.Attribute{Key: "layer", Value: schema.String("Grün/1")})
	add(schema.RoleZone, "open ring", geom.NewPolygonFlat(geom.XY, []float64{0, 0, 3, 0, 3, 3}, []int{6}))
	add(schema.RoleZone, "repeated points", geom.NewPolygonFlat(geom.XY, []float64{0, 0, 3, 0, 3, 0, 3, 3, 0, 0, 0, 0}, []int{12}))
	add(schema.RoleZone, "two points", geom.NewPolygonFlat(geom.XY, []float64{0, 0, 3, 0, 0, 0}, []int{6}))
	add(schema.RoleOther, "one vertex", geom.NewLineStringFlat(geom.XY, []float64{8, 8}))
	c := geom.NewGeometryCollection()
	inner := geom.NewGeometryCollection()
	if inner.Push(geom.NewPointFlat(geom.XY, []float64{5, 6})) != nil ||
		c.Push(geom.NewLineStringFlat(geom.XY, []float64{0, 0, 1, 1}), inner, geom.NewPolygonFlat(geom.XYZ, []float64{0, 0, 1, 1, 0, 2, 1, 1, 3, 0, 0, 1}, []int{12})) != nil {
		panic("the collection cannot be made")
	}
	add(schema.RoleOther, "collection", c)
	return p
}

func TestEverythingComesBack(t *testing.T) {
	p := everything()
	text, lost := write(t, p, wire.WriteOptions{})
	if losses(lost) != "layer-renamed:1" {
		t.Errorf("losses %s", losses(lost))
	}
	back, w := read(t, text, wire.ReadOptions{})
	if len(w) != 0 {
		t.Errorf("warnings %v", w)
	}
	if err := schema.Same(p, back, 0); err != nil {
		t.Error(err)
	}
	// Same does not tell the layouts apart, and wkt shows absent heights.
	for i := range p.Features {
		if i < len(back.Features) && wkt(p.Features[i].Geometry) != wkt(back.Features[i].Geometry) {
			t.Errorf("feature %d: %s, then %s", i, wkt(p.Features[i].Geometry), wkt(back.Features[i].Geometry))
		}
	}
	again, _ := write(t, back, wire.WriteOptions{})
	if again != text {
		t.Error("writing what was read gives other bytes")
	}
	lines := strings.Split(text, "\n")
	extended := 0
	for i, line := range lines {
		switch {
		case i%2 == 0 && strings.TrimSpace(line) == "0":
			extended = 0
		case i%2 == 1 && lines[i-1] == "1000":
			if extended += len(line); extended > 16000 {
				t.Fatalf("an entity has more extended data than the format takes")
			}
		}
		if strings.ContainsAny(line, "^%") || strings.Contains(line, "  ") && len(line) > 3 || strings.Contains(strings.ReplaceAll(line, `\u`, ""), `\`) {
			t.Fatalf("the text %q has characters that mean something to readers", line)
		}
		if len(line) > 255 {
			t.Fatalf("a text of %d bytes", len(line))
		}
		if strings.TrimSpace(line) != line && len(line) > 3 {
			t.Fatalf("the text %q starts or ends with a space", line)
		}
	}
}

func TestGolden(t *testing.T) {
	p := everything()
	p.Features[2].Attributes = nil // its long note would be most of the file
	text, _ := write(t, p, wire.WriteOptions{})
	name := filepath.Join("testdata", "everything.dxf")
	if *update {
		if err := os.WriteFile(name, []byte(text), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	want, err := os.ReadFile(name)
	if err != nil {
		t.Fatal(err)
	}
	if text != string(want) {
		t.Errorf("%s differs; run with -update and read the diff", name)
	}
}

// curved is a drawing of every entity that has a curve, and some that have
// none.
func curved() string {
	h := fmt.Sprint(math.Sqrt2 / 2)
	return lineOf("A", 0, 0, 5, 5) +
		pairs(0, "ARC", 8, "A", 10, 100, 20, 50, 40, 20, 50, 350, 51, 20) +
		pairs(0, "ARC", 8, "A", 10, 100, 20, 50, 40, 20, 50, 350, 51, 20, 210, 0, 220, 0, 230, -1) +
		pairs(0, "CIRCLE", 8, "A", 10, 100, 20, 50, 30, 4, 40, 7) +
		pairs(0, "ELLIPSE", 8, "A", 10, 20, 20, 30, 11, 6, 21, 8, 40, 0.3, 41, 0, 42, 6.283185307) +
		pairs(0, "ELLIPSE", 8, "A", 10, 20, 20, 30, 11, 6, 21, 8, 40, 0.3, 41, 1, 42, 4) +
		pairs(0, "SPLINE", 8, "A", 70, 12, 71, 2, 72, 6, 73, 3, 40, 0, 40, 0, 40, 0, 40, 1, 40, 1, 40, 1, 10, 5, 20, 0, 41, 1, 10, 5, 20, 5, 41, h, 10, 0, 20, 5, 41, 1) +
		pairs(0, "SPLINE", 8, "A", 70, 8, 71, 3, 72, 9, 73, 5, 40, 0, 40, 0, 40, 0, 40, 0, 40, 0.5, 40, 1, 40, 1, 40, 1, 40, 1, 10, 0, 20, 0, 10, 1, 20, 9, 10, 6, 20, 9, 10, 9, 20, 2, 10, 12, 20, 4) +
		pairs(0, "LWPOLYLINE", 8, "A", 90, 4, 70, 1, 10, 0, 20, 0, 10, 10, 20, 0, 42, 1, 10, 10, 20, 4, 10, 0, 20, 4, 42, -0.3) +
		pairs(0, "LWPOLYLINE", 8, "A", 90, 3, 70, 0, 10, 0, 20, 0, 42, 0.001, 10, 10, 20, 0, 10, 10, 20, 4) +
		pairs(0, "LWPOLYLINE", 8, "A", 90, 3, 70, 0, 10, 0, 20, 0, 10, 10, 20, 0, 10, 10, 20, 4) +
		pairs(0, "POINT", 8, "A", 10, 3, 20, 4) +
		pairs(0, "TEXT", 8, "A", 10, 3, 20, 4, 40, 1.5, 50, 30, 1, "Løn ^ x") +
		pairs(0, "MTEXT", 8, "A", 10, 3, 20, 4, 40, 1.5, 1, `two\Plines \{x\}`)
}

// entitiesOf lists the entities of a drawing's model space with their numbers,
// rounded, without handles, owners and extended data, and without the note.
func entitiesOf(t *testing.T, text string) []string {
	t.Helper()
	list, _, _, err := sections([]byte(text))
	if err != nil {
		t.Fatal(err)
	}
	var out []string
	for _, c := range list {
		if c.name != "ENTITIES" {
			continue
		}
		s := c.scanner([]byte(text))
		extended := false
		for s.next() {
			if s.code == 0 {
				out = append(out, string(s.value))
				extended = false
				continue
			}
			extended = extended || s.code == 1001
			if s.code == 8 && string(s.value) == noticeLayer {
				out[len(out)-1] = noticeLayer
			}
			if f, ok := wire.ParseFloat(bytes.TrimSpace(s.value)); ok && s.code >= 10 && s.code < 60 && !extended {
				if f = math.Round(f*1e6) / 1e6; f != 0 {
					out[len(out)-1] += fmt.Sprintf(" %d=%v", s.code, f)
				}
			}
		}
	}
	return slices.DeleteFunc(out, func(s string) bool { return strings.HasPrefix(s, noticeLayer) })
}

func TestEntitiesComeBackAsTheyWere(t *testing.T) {
	text := drawing(curved())
	p, _ := read(t, text, wire.ReadOptions{})
	first, lost := write(t, p, wire.WriteOptions{})
	if len(lost) != 0 {
		t.Errorf("losses %v", lost)
	}
	want, got := entitiesOf(t, text), entitiesOf(t, first)
	if len(got) != len(want) {
		t.Fatalf("%d entities, then %d", len(want), len(got))
	}
	for i := range want {
		w := want[i]
		switch i {
		case 2: // the mirrored arc is written in the world's system, its angles turned
			w = "ARC 10=-100 20=50 40=20 50=160 51=190"
		case 4:
			w = strings.Replace(w, "42=6.283185", "42=6.283185", 1)
		}
		if got[i] != w {
			t.Errorf("entity %d:\n was %s\n is  %s", i, w, got[i])
		}
	}
	back, _ := read(t, first, wire.ReadOptions{})
	samePlanButForCurves(t, "once", p, back)
	second, _ := write(t, back, wire.WriteOptions{})
	if a, b := entitiesOf(t, first), entitiesOf(t, second); strings.Join(a, "\n") != strings.Join(b, "\n") {
		t.Error("the entities change when written twice")
	}
}

// samePlanButForCurves compares two plans, the numbers of kept curves with a
// tolerance.
func samePlanButForCurves(t *testing.T, name string, a, b *schema.Plan) {
	t.Helper()
	if err := schema.Same(stripped(a), stripped(b), 2e-5); err != nil {
		t.Errorf("%s: %v", name, err)
		return
	}
	for i := range a.Features {
		va, vb := a.Features[i].Attributes.Get(schema.PropCurve), b.Features[i].Attributes.Get(schema.PropCurve)
		if va.Kind() != schema.KindObject {
			continue
		}
		ca, err1 := curve.Parse(va)
		cb, err2 := curve.Parse(vb)
		if err1 != nil || err2 != nil || ca.Type != cb.Type || fmt.Sprint(ca.Segments) != fmt.Sprint(cb.Segments) ||
			math.Abs(ca.Radius-cb.Radius) > 1e-9 || math.Abs(ca.Sweep-cb.Sweep) > 1e-9 || math.Hypot(ca.Centre[0]-cb.Centre[0], ca.Centre[1]-cb.Centre[1]) > 1e-8 {
			t.Errorf("%s: feature %d keeps %+v (%v), then %+v (%v)", name, i, ca, err1, cb, err2)
		}
	}
}

// stripped returns the plan with only a mark where a curve is kept: its numbers
// may differ in the last digits.
func stripped(p *schema.Plan) *schema.Plan {
	out := *p
	out.Features = nil
	for _, f := range p.Features {
		g := *f
		g.Attributes = f.Attributes.Clone()
		if g.Attributes.Has(schema.PropCurve) {
			g.Attributes.Set(schema.PropCurve, schema.Bool(true))
		}
		out.Features = append(out.Features, &g)
	}
	return &out
}

// placed turns, scales and shifts every vertex of a plan, as placing does, and
// leaves the attributes as they are.
func placed(p *schema.Plan, scale, turn, east, north float64) *schema.Plan {
	out := *p
	out.Features = nil
	s, c := math.Sincos(turn)
	for _, f := range p.Features {
		g := *f
		flat := append([]float64(nil), f.Geometry.FlatCoords()...)
		for i := 0; i < len(flat); i += f.Geometry.Stride() {
			x, y := flat[i], flat[i+1]
			flat[i], flat[i+1] = scale*(c*x-s*y)+east, scale*(s*x+c*y)+north
		}
		var err error
		if g.Geometry, err = schema.WithFlatCoords(f.Geometry, flat); err != nil {
			panic(err)
		}
		out.Features = append(out.Features, &g)
	}
	return &out
}

func TestCurvesComeBackAfterPlacing(t *testing.T) {
	p, _ := read(t, drawing(curved()), wire.ReadOptions{})
	for _, unit := range []string{"", "mm", "ftUS"} {
		q := placed(p, 1.0004, 0.7, 512345.678, 6212345.678)
		text, lost := write(t, q, wire.WriteOptions{Unit: unit})
		if got := losses(lost); got != "" && got != "offset-declared:1" {
			t.Errorf("unit %q: losses %s", unit, got)
		}
		want := "LINE ARC ARC CIRCLE ELLIPSE ELLIPSE SPLINE SPLINE LWPOLYLINE LWPOLYLINE LWPOLYLINE POINT TEXT MTEXT"
		var got []string
		for _, e := range entitiesOf(t, text) {
			got = append(got, strings.Fields(e)[0])
		}
		if s := strings.Join(got, " "); !strings.HasPrefix(s, want) {
			t.Errorf("unit %q: entities %s", unit, s)
		}
		back, _ := read(t, text, wire.ReadOptions{})
		for i := range q.Features {
			a, b := q.Features[i].Geometry.FlatCoords(), back.Features[i].Geometry.FlatCoords()
			if len(a) != len(b) {
				t.Errorf("unit %q, feature %d: %d numbers, then %d", unit, i, len(a), len(b))
				continue
			}
			for k := range a {
				if math.Abs(a[k]-b[k]) > 2e-5 {
					t.Errorf("unit %q, feature %d: number %d is %.6f, then %.6f", unit, i, k, a[k], b[k])
					break
				}
			}
		}
	}
}

func TestAMovedVertexIsWrittenStraight(t *testing.T) {
	p, _ := read(t, drawing(pairs(0, "CIRCLE", 8, "A", 10, 100, 20, 50, 40, 7)), wire.ReadOptions{})
	p.Features[0].Geometry.FlatCoords()[10] += 0.01
	text, lost := write(t, p, wire.WriteOptions{})
	if losses(lost) != "curve-flattened:1" {
		t.Errorf("losses %s", losses(lost))
	}
	if got := entitiesOf(t, text); !strings.HasPrefix(got[0], "LWPOLYLINE") {
		t.Errorf("written as %s", got[0])
	}
	back, _ := read(t, text, wire.ReadOptions{})
	if err := schema.Same(p, back, 1e-5); err != nil { // the vertices of a circle have more than 5 decimals
		t.Error(err)
	}
}

func TestARingDrivenTheOtherWay(t *testing.T) {
	p, _ := read(t, drawing(curved()), wire.ReadOptions{})
	for _, f := range p.Features {
		if _, ok := f.Geometry.(*geom.Polygon); ok {
			schema.ReverseRing(f.Geometry.FlatCoords(), f.Geometry.Stride())
		}
	}
	text, lost := write(t, p, wire.WriteOptions{})
	if len(lost) != 0 {
		t.Errorf("losses %v", lost)
	}
	back, _ := read(t, text, wire.ReadOptions{})
	for i := range p.Features {
		a, b := p.Features[i].Geometry.FlatCoords(), back.Features[i].Geometry.FlatCoords()
		for k := range a {
			if len(a) != len(b) || math.Abs(a[k]-b[k]) > 2e-5 {
				t.Errorf("feature %d (%s) does not run as it did", i, p.Features[i].Attributes.Get(schema.PropEntity).Text())
				break
			}
		}
	}
}

func TestWriteRefuses(t *testing.T) {
	point := func(x, y float64) *schema.Plan {
		return &schema.Plan{Features: []*schema.Feature{{Role: schema.RoleMark, Name: "M", Geometry: geom.NewPointFlat(geom.XY, []float64{x, y})}}}
	}
	degrees := point(9, 56)
	degrees.CRS = crs.WGS84()
	unknown := &schema.Plan{Features: []*schema.Feature{{Geometry: geom.NewLineStringFlat(geom.XY, []float64{9.12, 56.1, 9.1201, 56.1001})}}}
	for _, c := range []struct {
		name    string
		p       *schema.Plan
		o       wire.WriteOptions
		problem string
	}{
		{"degrees", degrees, wire.WriteOptions{}, "the plan is in degrees (OGC:CRS84), which a drawing cannot hold: transform it to a grid in metres first"},
		{"unknown, likely degrees", unknown, wire.WriteOptions{}, "the plan's CRS is not known and its coordinates look like degrees, which a drawing cannot hold: say what they are in, and transform them to a grid in metres"},
		{"NaN", point(math.NaN(), 1), wire.WriteOptions{}, "feature 1 (M): point (NaN, 1) cannot be written"},
		{"infinite", point(1, math.Inf(-1)), wire.WriteOptions{}, "feature 1 (M): point (1, -Inf) cannot be written"},
		{"unit", point(1, 2), wire.WriteOptions{Unit: "yd"}, `there is no unit called "yd"; the units are m, mm, cm, ft, ftUS, in, or a number of metres such as 0.2`},
		{"offset", point(1, 2), wire.WriteOptions{Offset: &[2]float64{math.NaN(), 1}}, "the offset must be two numbers of metres"},
	} {
		var b bytes.Buffer
		if _, err := Write(&b, c.p, c.o); err == nil || err.Error() != c.problem {
			t.Errorf("%s: got %v, want %s", c.name, err, c.problem)
		}
		if b.Len() > 0 {
			t.Errorf("%s: %d bytes were written all the same", c.name, b.Len())
		}
	}
	if _, err := Write(fullDisk{}, everything(), wire.WriteOptions{}); err == nil {
		t.Error("a full disk is no error")
	}
}

type fullDisk struct{}

func (fullDisk) Write([]byte) (int, error) { return 0, errors.New("no space left") }

func TestOffset(t *testing.T) {
	p := &schema.Plan{Features: []*schema.Feature{{Role: schema.RoleBoundary, Geometry: geom.NewLineStringFlat(geom.XY, []float64{500010.25, 6200020.5, 500110.25, 6200020.5})}}}
	for _, c := range []struct {
		o     wire.WriteOptions
		first string
		loss  string
	}{
		{wire.WriteOptions{}, "500010.25", ""},
		{wire.WriteOptions{Unit: "mm"}, "10250.0", "offset-declared:1"},
		{wire.WriteOptions{Offset: &[2]float64{500000, 6200000}}, "10.25", "offset-declared:1"},
		{wire.WriteOptions{Unit: "mm", Offset: &[2]float64{}}, "500010250.0", ""},
	} {
		text, lost := write(t, p, c.o)
		if losses(lost) != c.loss {
			t.Errorf("%+v: losses %s", c.o, losses(lost))
		}
		if !strings.Contains(text, "\n 10\n"+c.first+"\n") {
			t.Errorf("%+v: no vertex at %s", c.o, c.first)
		}
		if c.loss != "" && !strings.Contains(text, "offset: add 500000 m east and 6200000 m north") {
			t.Errorf("%+v: the head does not declare the offset", c.o)
		}
		back, _ := read(t, text, wire.ReadOptions{})
		if err := schema.Same(p, back, 1e-9); err != nil {
			t.Errorf("%+v: %v", c.o, err)
		}
	}
	// A damaged declaration is refused: the place would be wrong by hundreds of
	// km.
	text, _ := write(t, p, wire.WriteOptions{Unit: "mm"})
	if in := refusal(t, []byte(strings.Replace(text, `"offset":[500000,6200000]`, `"offset":[500000]`, 1)), wire.ReadOptions{}); !strings.Contains(in.Problem, "offset") {
		t.Errorf("got %q", in.Problem)
	}
}

func TestEditedDrawings(t *testing.T) {
	p := everything()
	text, _ := write(t, p, wire.WriteOptions{})
	entity := func(feature, part int) (int, int) {
		at := strings.Index(text, fmt.Sprintf(`{"f":%d,"e":%d,`, feature, part))
		start := strings.LastIndex(text[:at], "  0\n")
		end := at + strings.Index(text[at:], "  0\n")
		return start, end
	}
	// A hole that was deleted is a hole no more; the rest stays.
	a, b := entity(0, 1)
	back, w := read(t, text[:a]+text[b:], wire.ReadOptions{})
	if got := wkt(back.Features[0].Geometry); got != "Polygon(0 0, 40 0, 40 30, 0 30, 0 0)" || kinds(w) != "part-missing:1" {
		t.Errorf("without its hole: %s, %s", got, kinds(w))
	}
	if len(back.Features) != len(p.Features) {
		t.Errorf("%d features", len(back.Features))
	}
	// A feature whose every entity was deleted is gone.
	a, b = entity(3, 0)
	back, _ = read(t, text[:a]+text[b:], wire.ReadOptions{})
	if len(back.Features) != len(p.Features)-1 {
		t.Errorf("%d features after one was deleted from %d", len(back.Features), len(p.Features))
	}
	// A copied entity is a feature of its own.
	back, w = read(t, text[:b]+text[a:b]+text[b:], wire.ReadOptions{})
	if last := back.Features[len(back.Features)-1]; kinds(w) != "entity-copied:1 role-from-layer:1" || len(back.Features) != len(p.Features)+1 || last.Role != schema.RoleDock {
		t.Errorf("copied: %d features, %s", len(back.Features), kinds(w))
	}
	// An entity moved to another layer says so; its shape is what is drawn.
	edited := text[:a] + strings.Replace(strings.Replace(text[a:b], "  8\nDOCK", "  8\nHARBOUR", 1), " 10\n1.0", " 10\n77.0", 1) + text[b:]
	back, w = read(t, edited, wire.ReadOptions{})
	if f := back.Features[3]; kinds(w) != "layer-changed:1" || f.Role != schema.RoleDock || f.Attributes.Get(schema.PropLayer).Text() != "HARBOUR" || f.Geometry.FlatCoords()[0] != 77 {
		t.Errorf("moved: %s, %s %s", kinds(w), f.Attributes.AppendJSON(nil), wkt(f.Geometry))
	}
	// Extended data that is damaged leaves the entity readable.
	edited = text[:a] + strings.Replace(text[a:b], `{"f":3`, `{"f":x`, 1) + text[b:]
	back, w = read(t, edited, wire.ReadOptions{})
	if last := back.Features[len(back.Features)-1]; kinds(w) != "record-damaged:1 role-from-layer:1" || wkt(last.Geometry) != "Point(1 2)" {
		t.Errorf("damaged: %s, %s", kinds(w), wkt(last.Geometry))
	}
}

func TestCRSInDrawings(t *testing.T) {
	p := everything()
	text, _ := write(t, p, wire.WriteOptions{})
	for id, want := range map[string]string{"EPSG:999999": "crs-unknown:1", "OGC:CRS84": "crs-unknown:1"} {
		edited := strings.Replace(text, `{"format":1,`, `{"format":1,"crs":"`+id+`",`, 1)
		back, w := read(t, edited, wire.ReadOptions{})
		if kinds(w) != want || back.CRS != nil {
			t.Errorf("%s: %s, CRS %v", id, kinds(w), back.CRS)
		}
	}
	for _, id := range []string{"EPSG:25832", "EPSG:2263"} { // metres; US survey feet
		grid, err := crs.Parse(id)
		if err != nil {
			t.Fatal(err)
		}
		q, _ := read(t, drawing(curved()), wire.ReadOptions{CRS: grid})
		if q.CRS != grid {
			t.Errorf("%s: the CRS asked for is not the plan's", id)
		}
		if f := q.Features[0].Geometry.FlatCoords(); math.Abs(f[2]*grid.UnitMetres()-5) > 1e-9 {
			t.Errorf("%s: 5 m are read as %g", id, f[2])
		}
		if c := curveOf(t, q.Features[3]); math.Abs(c.Radius*grid.UnitMetres()-7) > 1e-9 {
			t.Errorf("%s: a radius of 7 m is read as %g", id, c.Radius)
		}
		for _, unit := range []string{"m", "ft"} {
			text, lost := write(t, q, wire.WriteOptions{Unit: unit})
			if len(lost) != 0 {
				t.Errorf("%s in %s: losses %v", id, unit, lost)
			}
			back, w := read(t, text, wire.ReadOptions{})
			if len(w) != 0 || back.CRS == nil || !back.CRS.Equal(grid) {
				t.Errorf("%s in %s: CRS %v, warnings %v", id, unit, back.CRS, w)
			}
			if err := schema.Same(stripped(q), stripped(back), 2e-5); err != nil {
				t.Errorf("%s in %s: %v", id, unit, err)
			}
			other, err := crs.Parse("EPSG:25833")
			if err != nil {
				t.Fatal(err)
			}
			back, w = read(t, text, wire.ReadOptions{CRS: other})
			if kinds(w) != "crs-overridden:1" || back.CRS != other {
				t.Errorf("%s, another asked for: CRS %v, warnings %v", id, back.CRS, w)
			}
		}
	}
	geocentric, err := crs.Parse("EPSG:4978")
	if err != nil {
		t.Fatal(err)
	}
	if in := refusal(t, []byte(text), wire.ReadOptions{CRS: geocentric}); !strings.Contains(in.Problem, "middle of the earth") {
		t.Errorf("a drawing in geocentric coordinates: %q", in.Problem)
	}
	p.CRS = geocentric
	if _, err := Write(&bytes.Buffer{}, p, wire.WriteOptions{}); err == nil || !strings.Contains(err.Error(), "middle of the earth") {
		t.Errorf("a geocentric plan is written: %v", err)
	}
	in := refusal(t, []byte(text), wire.ReadOptions{CRS: crs.WGS84()})
	if !strings.Contains(in.Problem, "degrees") {
		t.Errorf("a drawing in degrees: %q", in.Problem)
	}
}
