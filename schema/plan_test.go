// Tests of plans, of ring order, and of the equality that round trips rest on.

package schema

import (
	"math"
	"reflect"
	"strings"
	"testing"

	"github.com/twpayne/go-geom"

	"swardline/crs"
)

var nan = math.NaN()

func TestRoles(t *testing.T) {
	for _, r := range Roles {
		if got, ok := ParseRole(string(r)); !ok || got != r {
			t.Errorf("%s: %s %v", r, got, ok)
		}
	}
	for _, word := range []string{"", "Zone", " zone", "lawn"} {
		if got, ok := ParseRole(word); ok || got != RoleOther {
			t.Errorf("%q: %s %v", word, got, ok)
		}
	}
}

func TestFeature(t *testing.T) {
	f := &Feature{Role: RoleZone}
	if f.Label() != "zone" || !f.Active() {
		t.Errorf("%q %v", f.Label(), f.Active())
	}
	f.ID = Int(7)
	f.Attributes = Attributes{{PropActive, Bool(false)}, {PropCutMM, Float(40)}, {PropNote, String("5")}}
	if f.Label() != "7" || f.Active() {
		t.Errorf("%q %v", f.Label(), f.Active())
	}
	f.Name = "North"
	if f.Label() != "North" {
		t.Error(f.Label())
	}
	f.Attributes.Set(PropActive, String("false"))
	if !f.Active() {
		t.Error("the text \"false\" switches a feature off")
	}
	if v, ok := f.Float(PropCutMM); !ok || v != 40 {
		t.Errorf("%v %v", v, ok)
	}
	if _, ok := f.Float(PropNote); ok {
		t.Error("a text is a number")
	}
	p := &Plan{Features: []*Feature{{Role: RoleDock}, f, {Role: RoleZone}}}
	if zones := p.Find(RoleZone); len(zones) != 2 || zones[0] != f {
		t.Errorf("%v", zones)
	}
}

// allGeometries is one of every type that a plan holds, flat and with heights.
func allGeometries() []geom.T {
	var out []geom.T
	for _, l := range []geom.Layout{geom.XY, geom.XYZ} {
		n := l.Stride()
		c := func(points int) []float64 {
			flat := make([]float64, 0, points*n)
			for i := 0; i < points; i++ {
				flat = append(flat, 9+float64(i*i)*1e-4, 56+float64(i)*1e-4)
				if n == 3 {
					flat = append(flat, float64(i))
				}
			}
			return flat
		}
		out = append(out,
			geom.NewPointFlat(l, c(1)), geom.NewLineStringFlat(l, c(3)), geom.NewLinearRingFlat(l, c(4)), geom.NewPolygonFlat(l, c(8), []int{4 * n, 8 * n}),
			geom.NewMultiPointFlat(l, c(3)), geom.NewMultiLineStringFlat(l, c(5), []int{2 * n, 5 * n}),
			geom.NewMultiPolygonFlat(l, c(12), [][]int{{4 * n, 8 * n}, {12 * n}}))
	}
	nested := geom.NewGeometryCollection().MustPush(out[0], geom.NewGeometryCollection().MustPush(out[3]))
	return append(out, nested)
}

func TestTransform(t *testing.T) {
	utm, err := crs.Parse("EPSG:25832")
	if err != nil {
		t.Fatal(err)
	}
	etrs, err := crs.Parse("EPSG:4258")
	if err != nil {
		t.Fatal(err)
	}
	op, err := crs.NewOperation(etrs, utm, crs.Allowed{}, crs.Nowhere(), crs.Epochs{}, crs.Aids{})
	if err != nil {
		t.Fatal(err)
	}
	back, err := crs.NewOperation(utm, etrs, crs.Allowed{}, crs.Nowhere(), crs.Epochs{}, crs.Aids{})
	if err != nil {
		t.Fatal(err)
	}
	p := &Plan{CRS: etrs, Features: []*Feature{{Role: RoleOther}}}
	for _, g := range allGeometries() {
		p.Features = append(p.Features, &Feature{Role: RoleHazard, Geometry: g, Attributes: Attributes{{"a", Int(1)}}})
	}
	before := allGeometries()
	moved, err := p.Transform(op)
	if err != nil {
		t.Fatal(err)
	}
	if !moved.CRS.Equal(utm) || !p.CRS.Equal(etrs) {
		t.Errorf("CRS %s from %s", moved.CRS.ID(), p.CRS.ID())
	}
	if x := moved.Features[1].Geometry.FlatCoords()[0]; math.Abs(x-500000) > 1e-3 {
		t.Errorf("9 degrees east is %v", x)
	}
	for i, g := range before {
		if err := (measure{}).geometry(g, p.Features[i+1].Geometry); err != nil {
			t.Errorf("the plan was changed: geometry %d: %v", i, err)
		}
	}
	home, err := moved.Transform(back)
	if err != nil {
		t.Fatal(err)
	}
	if err := Same(p, home, 1e-5); err != nil {
		t.Error(err)
	}
	bad := &Plan{CRS: etrs, Features: []*Feature{{Role: RoleDock, Name: "D", Geometry: geom.NewPointFlat(geom.XY, []float64{9, 91})}}}
	if _, err := bad.Transform(op); err == nil || !strings.Contains(err.Error(), "feature 1 (D)") {
		t.Errorf("latitude 91: %v", err)
	}
}

func TestWithFlatCoords(t *testing.T) {
	for _, g := range allGeometries() {
		if _, ok := g.(*geom.GeometryCollection); ok {
			if _, err := WithFlatCoords(geom.NewGeometryCollection(), nil); err == nil {
				t.Error("a collection has flat coordinates")
			}
			continue
		}
		got, err := WithFlatCoords(g, append([]float64(nil), g.FlatCoords()...))
		if err != nil || !reflect.DeepEqual(got, g) {
			t.Errorf("%T: %v %v", g, got, err)
		}
		if _, err := WithFlatCoords(g, []float64{1}); err == nil {
			t.Errorf("%T takes one number", g)
		}
	}
}

func TestWinding(t *testing.T) {
	tests := []struct {
		w    Winding
		role Role
		hole bool
		want bool
	}{
		{WindingStandard, RoleZone, false, true}, {WindingStandard, RoleZone, true, false}, {WindingStandard, RoleKeepout, false, true},
		{WindingDriven, RoleZone, false, false}, {WindingDriven, RoleZone, true, true}, {WindingDriven, RoleKeepout, false, true}, {WindingDriven, RoleKeepout, true, false},
	}
	for _, tt := range tests {
		if got := tt.w.Anticlockwise(tt.role, tt.hole); got != tt.want {
			t.Errorf("%v: %v", tt, got)
		}
	}
}

func TestSignedArea(t *testing.T) {
	square := []float64{0, 0, 2, 0, 2, 2, 0, 2, 0, 0}
	if got := TwiceArea(square, 2); got != 8 {
		t.Errorf("closed: %v", got)
	}
	if got := TwiceArea(square[:8], 2); got != 8 {
		t.Errorf("open: %v", got)
	}
	if got := TwiceArea([]float64{0, 0, 5, 2, 2, nan, 2, 0, 1, 0, 0, 5}, 3); got != -4 {
		t.Errorf("clockwise with heights: %v", got)
	}
	far := make([]float64, len(square))
	for i := range square {
		far[i] = 6e6 + square[i]/1024
	}
	if got := TwiceArea(far, 2); got != 8.0/1024/1024 {
		t.Errorf("far off: %v", got)
	}
	for _, flat := range [][]float64{nil, {1, 2}, {1, 2, 3, 4}} {
		if got := TwiceArea(flat, 2); got != 0 {
			t.Errorf("%v: %v", flat, got)
		}
	}
}

func TestReverseRing(t *testing.T) {
	tests := []struct {
		flat   []float64
		stride int
		want   []float64
	}{
		{[]float64{1, 1, 2, 2, 3, 3, 1, 1}, 2, []float64{1, 1, 3, 3, 2, 2, 1, 1}},
		{[]float64{1, 1, 2, 2, 3, 3}, 2, []float64{1, 1, 3, 3, 2, 2}},
		{[]float64{1, 1, 7, 2, 2, 8, 3, 3, 9, 4, 4, 10, 1, 1, 7}, 3, []float64{1, 1, 7, 4, 4, 10, 3, 3, 9, 2, 2, 8, 1, 1, 7}},
		{[]float64{1, 1, 2, 2}, 2, []float64{1, 1, 2, 2}},
		{nil, 2, nil},
	}
	for _, tt := range tests {
		got := append([]float64(nil), tt.flat...)
		ReverseRing(got, tt.stride)
		if !reflect.DeepEqual(got, tt.want) {
			t.Errorf("%v: %v, want %v", tt.flat, got, tt.want)
		}
		ReverseRing(got, tt.stride)
		if !reflect.DeepEqual(got, append([]float64(nil), tt.flat...)) {
			t.Errorf("%v twice reversed: %v", tt.flat, got)
		}
	}
	if !IsClosed([]float64{1, 1, 5, 2, 2, 6, 1, 1, 7}, 3) || IsClosed([]float64{1, 1, 2, 2}, 2) || IsClosed([]float64{1, 1}, 2) || IsClosed(nil, 2) {
		t.Error("IsClosed is wrong")
	}
}

func TestSame(t *testing.T) {
	make := func(change func(p *Plan)) *Plan {
		p := &Plan{Name: "S", CRS: crs.WGS84(), Epoch: 2024, Attributes: Attributes{{"a", Int(1)}}, Source: Source{Winding: WindingStandard}, Features: []*Feature{
			{ID: Int(7), Role: RoleZone, Name: "N", Attributes: Attributes{{"x", Int(1)}, {"y", Float(2)}},
				Geometry: geom.NewPolygonFlat(geom.XYZ, []float64{9, 56, 1, 9.1, 56, nan, 9.1, 56.1, 0, 9, 56, 1}, []int{12})},
			{Role: RoleHazard, Geometry: geom.NewGeometryCollection().MustPush(geom.NewPointFlat(geom.XY, []float64{9, 56}))},
			{Role: RoleOther, Geometry: geom.NewMultiPolygonFlat(geom.XY, []float64{0, 0, 1, 0, 1, 1, 0, 0, 2, 2, 3, 2, 3, 3, 2, 2}, [][]int{{8}, {16}})},
			{Role: RoleOther},
		}}
		if change != nil {
			change(p)
		}
		return p
	}
	shift := func(metres float64) func(p *Plan) {
		return func(p *Plan) { p.Features[0].Geometry.FlatCoords()[4] += metres / 111320 }
	}
	tests := []struct {
		name   string
		change func(p *Plan)
		want   string // "" when the same
	}{
		{"nothing", nil, ""},
		{"source", func(p *Plan) { p.Source.File, p.Features[0].Source.Line = "x", 5 }, ""},
		{"half the tolerance", shift(0.5e-4), ""},
		{"twice the tolerance", shift(2e-4), "feature 1 (N): line or ring 1: vertex 2: "},
		{"name", func(p *Plan) { p.Name = "T" }, `plan name: "S" against "T"`},
		{"CRS", func(p *Plan) { p.CRS = nil }, "CRS: one is unknown"},
		{"epoch", func(p *Plan) { p.Epoch = 0 }, "epoch: 2024 against 0"},
		{"plan attribute", func(p *Plan) { p.Attributes = nil }, `plan: attribute "a": missing in the second`},
		{"features", func(p *Plan) { p.Features = p.Features[:3] }, "4 features against 3"},
		{"id of another kind", func(p *Plan) { p.Features[0].ID = String("7") }, `feature 1 (N): id: 7 against "7"`},
		{"no id", func(p *Plan) { p.Features[0].ID = Value{} }, `feature 1 (N): id: 7 against absent`},
		{"role", func(p *Plan) { p.Features[1].Role = RoleZone }, "feature 2 (hazard): role: hazard against zone"},
		{"feature name", func(p *Plan) { p.Features[0].Name = "M" }, `feature 1 (N): name: "N" against "M"`},
		{"attribute order", func(p *Plan) { a := p.Features[0].Attributes; a[0], a[1] = a[1], a[0] }, `feature 1 (N): attribute 1: key "x" against "y"`},
		{"attribute digits", func(p *Plan) {
			p.Features[0].Attributes[1].Value = func() Value { v, _ := Number("2.0"); return v }()
		}, `feature 1 (N): attribute "y": 2 against 2.0`},
		{"more attributes", func(p *Plan) { p.Features[0].Attributes.Set("z", Null()) }, `feature 1 (N): attribute "z": missing in the first`},
		{"absent height as 0", func(p *Plan) { p.Features[0].Geometry.FlatCoords()[5] = 0 }, "feature 1 (N): line or ring 1: vertex 2: height NaN against 0"},
		{"height lost", func(p *Plan) { p.Features[0].Geometry.FlatCoords()[8] = nan }, "feature 1 (N): line or ring 1: vertex 3: height 0 against NaN"},
		{"NaN for a longitude", func(p *Plan) { p.Features[0].Geometry.FlatCoords()[3] = nan }, "vertex 2: (9.1, 56) against (NaN, 56)"},
		{"ring turned", func(p *Plan) { ReverseRing(p.Features[0].Geometry.FlatCoords(), 3) }, "feature 1 (N): line or ring 1: vertex 2"},
		{"zone in drive order", func(p *Plan) {
			p.Source.Winding = WindingDriven
			ReverseRing(p.Features[0].Geometry.FlatCoords(), 3)
		}, ""},
		{"zone not in drive order", func(p *Plan) { p.Source.Winding = WindingDriven }, "feature 1 (N): line or ring 1: vertex 2"},
		{"another first point", func(p *Plan) {
			p.Features[0].Geometry = geom.NewPolygonFlat(geom.XYZ, []float64{9.1, 56, nan, 9.1, 56.1, 0, 9, 56, 1, 9.1, 56, nan}, []int{12})
		}, "feature 1 (N): line or ring 1: vertex 1"},
		{"type", func(p *Plan) { p.Features[0].Geometry = geom.NewMultiPolygon(geom.XY) }, "feature 1 (N): geometry: Polygon against MultiPolygon"},
		{"no geometry", func(p *Plan) { p.Features[0].Geometry = nil }, "feature 1 (N): geometry: one is missing"},
		{"part of a collection", func(p *Plan) {
			p.Features[1].Geometry = geom.NewGeometryCollection().MustPush(geom.NewPointFlat(geom.XY, []float64{9, 57}))
		}, "feature 2 (hazard): part 1: line or ring 1: vertex 1"},
		{"parts of a collection", func(p *Plan) { p.Features[1].Geometry = geom.NewGeometryCollection() }, "feature 2 (hazard): geometry: 1 parts against 0"},
		{"hole for a part", func(p *Plan) {
			p.Features[2].Geometry = geom.NewMultiPolygonFlat(geom.XY, p.Features[2].Geometry.FlatCoords(), [][]int{{8, 16}})
		}, "feature 3 (other): geometry: ring 2 belongs to part 2 against 1"},
		{"fewer vertices", func(p *Plan) {
			p.Features[2].Geometry = geom.NewMultiPolygonFlat(geom.XY, []float64{0, 0, 1, 0, 0, 0, 2, 2, 3, 2, 3, 3, 2, 2}, [][]int{{6}, {14}})
		}, "feature 3 (other): line or ring 1: 8 numbers"},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			err := Same(make(nil), make(tt.change), 1e-4)
			switch {
			case tt.want == "" && err != nil:
				t.Error(err)
			case tt.want != "" && (err == nil || !strings.Contains(err.Error(), tt.want)):
				t.Errorf("got %v, want %s", err, tt.want)
			}
		})
	}
	utm, err := crs.Parse("EPSG:25832")
	if err != nil {
		t.Fatal(err)
	}
	grid := func(x float64) *Plan {
		return &Plan{CRS: utm, Features: []*Feature{{Role: RoleMark, Geometry: geom.NewPointFlat(geom.XY, []float64{x, 6228000})}}}
	}
	if err := Same(grid(500000), grid(500000.00005), 1e-4); err != nil {
		t.Error(err)
	}
	if err := Same(grid(500000), grid(500000.0002), 1e-4); err == nil {
		t.Error("0.2 mm passes for 0.1 mm")
	}
}

// TestFloatOfText: a plain decimal number in a text is one, anything else is not.
func TestFloatOfText(t *testing.T) {
	for text, want := range map[string]float64{"2.6": 2.6, " 40 ": 40, "-1.5": -1.5, "+3": 3, ".5": 0.5, "5.": 5, "0": 0, "007": 7} {
		f := &Feature{Attributes: Attributes{{Key: PropRadiusM, Value: String(text)}}}
		if v, ok := f.Float(PropRadiusM); !ok || v != want {
			t.Errorf("%q: %v %v", text, v, ok)
		}
		if v := f.Attributes.Get(PropRadiusM); v.Kind() != KindString || v.Text() != text {
			t.Errorf("%q became %v", text, v)
		}
	}
	for _, text := range []string{"", " ", "2,6", "3 m", "1e3", "Inf", "NaN", "0x10", "1_0", "1.2.3", "--1", "1-", ".", "+", "about 3"} {
		f := &Feature{Attributes: Attributes{{Key: PropRadiusM, Value: String(text)}}}
		if v, ok := f.Float(PropRadiusM); ok {
			t.Errorf("%q: %v", text, v)
		}
	}
}

// TestUnwrapped: rings across the meridian where x jumps by a round.
func TestUnwrapped(t *testing.T) {
	across := []float64{179.9, 0, -179.9, 0, -179.9, 1, 179.9, 1, 179.9, 0}
	if got := TwiceAreaRound(across, 2, 360); !(math.Abs(got-0.4) < 1e-9) {
		t.Errorf("anticlockwise across 180 degrees: %g", got)
	}
	if got := TwiceAreaRound(across, 2, 0); got != TwiceArea(across, 2) {
		t.Errorf("of lengths: %g", got)
	}
	if across[2] != -179.9 {
		t.Error("the ring itself was changed")
	}
	west := Unwrapped([]float64{-179.9, 0, 179.9, 1}, 2, 360, 179)
	if !(math.Abs(west[0]-180.1) < 1e-9) || west[2] != 179.9 {
		t.Errorf("from the east: %v", west)
	}
	for _, flat := range [][]float64{nil, {5}, {0, 0, 180, 0, 180, 1, 0, 1}, {math.Inf(1), 0, math.NaN(), 0, 1e300, 0}} {
		got := Unwrapped(flat, 2, 360, 0)
		for i, v := range flat {
			if got[i] != v && v == v {
				t.Errorf("%v became %v", flat, got)
			}
		}
	}
	if got := Unwrapped([]float64{199.9, 0, -199.9, 0}, 2, 400, 199.9); !(math.Abs(got[2]-200.1) < 1e-9) {
		t.Errorf("of grads: %v", got)
	}
}
