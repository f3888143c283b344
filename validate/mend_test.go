// Mend: what it removes, what it leaves, and that it does nothing else.

package validate_test

import (
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"github.com/twpayne/go-geom"

	"swardline/crs"
	"swardline/schema"
	"swardline/testdata/randplan"
	"swardline/validate"
)

func polygonPlan(role schema.Role, layout geom.Layout, flat []float64, ends ...int) *schema.Plan {
	f := &schema.Feature{ID: schema.String("f"), Role: role, Name: "Lawn", Geometry: geom.NewPolygonFlat(layout, flat, ends)}
	f.Source.Winding = schema.WindingStandard
	return &schema.Plan{Features: []*schema.Feature{f}}
}

func TestMend(t *testing.T) {
	nan := math.NaN()
	for _, x := range []struct {
		name       string
		layout     geom.Layout
		flat, want []float64
		rules      string
		areaM2     float64
	}{
		{"an open ring", geom.XY, []float64{0, 0, 10, 0, 10, 10, 0, 10}, []float64{0, 0, 10, 0, 10, 10, 0, 10, 0, 0}, "ring-open", 100},
		{"an open ring with heights", geom.XYZ, []float64{0, 0, 1, 10, 0, 2, 10, 10, nan}, []float64{0, 0, 1, 10, 0, 2, 10, 10, nan, 0, 0, 1}, "ring-open", 50},
		{"repeated points", geom.XY, []float64{0, 0, 10, 0, 10, 0, 10, 0, 10, 10, 0, 10, 0, 0, 0, 0}, []float64{0, 0, 10, 0, 10, 10, 0, 10, 0, 0}, "ring-repeated-point", 100},
		{"repeated points of other heights stay", geom.XYZ, []float64{0, 0, 0, 10, 0, 0, 10, 0, 1, 10, 10, 0, 0, 0, 0}, nil, "", 50},
		{"a spike", geom.XY, []float64{0, 0, 10, 0, 10, 5, 13, 5, 10, 5, 10, 10, 0, 10, 0, 0}, []float64{0, 0, 10, 0, 10, 5, 10, 10, 0, 10, 0, 0}, "ring-spike", 100},
		{"a spike at the first point", geom.XY, []float64{-3, 0, 10, 0, 10, 10, 0, 10, 0, 0, -3, 0}, []float64{10, 0, 10, 10, 0, 10, 0, 0, 10, 0}, "ring-spike", 100},
		{"a spike of two lengths", geom.XY, []float64{0, 0, 10, 0, 10, 5, 13, 5, 12, 5, 10, 5, 10, 10, 0, 10, 0, 0}, []float64{0, 0, 10, 0, 10, 5, 10, 10, 0, 10, 0, 0}, "ring-spike", 100},
		{"the wrong way round", geom.XY, []float64{0, 0, 0, 10, 10, 10, 10, 0, 0, 0}, []float64{0, 0, 10, 0, 10, 10, 0, 10, 0, 0}, "ring-direction", 100},
		{"all at once", geom.XY, []float64{0, 0, 0, 10, 0, 10, 5, 10, 5, 14, 5, 10, 10, 10, 10, 0}, []float64{0, 0, 10, 0, 10, 10, 5, 10, 0, 10, 0, 0}, "ring-open ring-repeated-point ring-spike ring-direction", 100},
		{"a ring that crosses itself keeps its sense", geom.XY, []float64{0, 0, 10, 10, 10, 0, 0, 10, 0, 0}, nil, "", 0},
		{"too few points stay", geom.XY, []float64{0, 0, 10, 0, 0, 0, 10, 0, 0, 0}, nil, "", 0},
		{"nothing but a spike stays", geom.XY, []float64{0, 0, 10, 0, 20, 0, 0, 0}, nil, "", 0},
		{"faultless", geom.XY, []float64{0, 0, 10, 0, 10, 10, 0, 10, 0, 0}, nil, "", 100},
	} {
		t.Run(x.name, func(t *testing.T) {
			p := polygonPlan(schema.RoleZone, x.layout, x.flat, len(x.flat))
			before := append([]float64(nil), x.flat...)
			out, changes := validate.Mend(p)
			var rules []string
			for _, c := range changes {
				rules = append(rules, c.Rule)
				if !near(c.BeforeM2, x.areaM2, 1e-9) || !near(c.AfterM2, x.areaM2, 1e-9) {
					t.Errorf("area before %v, after %v, want %v", c.BeforeM2, c.AfterM2, x.areaM2)
				}
				if c.Feature != p.Features[0] || c.Message == "" || c.At == nil {
					t.Errorf("change without feature, message or place: %+v", c)
				}
			}
			if got := strings.Join(rules, " "); got != x.rules {
				t.Errorf("changes %q, want %q", got, x.rules)
			}
			want := x.want
			if want == nil {
				want = before
				if out.Features[0] != p.Features[0] {
					t.Error("a feature without a change is not the same feature")
				}
			}
			if got := out.Features[0].Geometry.FlatCoords(); !sameNumbers(got, want) {
				t.Errorf("got  %v\nwant %v", got, want)
			}
			if !sameNumbers(x.flat, before) {
				t.Error("the plan that was given changed")
			}
			if err := validate.Verify(p, out); err != nil {
				t.Errorf("the verification refuses it: %v", err)
			}
			again, more := validate.Mend(out)
			if len(more) != 0 || !sameNumbers(again.Features[0].Geometry.FlatCoords(), want) {
				t.Errorf("mending twice changed more: %v", more)
			}
		})
	}
}

func sameNumbers(a, b []float64) bool {
	if len(a) != len(b) {
		return false
	}
	for i := range a {
		if a[i] != b[i] && !(math.IsNaN(a[i]) && math.IsNaN(b[i])) {
			return false
		}
	}
	return true
}

// TestMendKeepsTimesWithTheirVertices: the times of a track follow its points.
func TestMendKeepsTimesWithTheirVertices(t *testing.T) {
	p := polygonPlan(schema.RoleZone, geom.XY, []float64{0, 0, 0, 10, 0, 10, 10, 10, 10, 0}, 10)
	times := schema.List(schema.List(schema.String("a"), schema.String("b"), schema.String("b2"), schema.String("c"), schema.String("d")))
	p.Features[0].Attributes.Set(schema.PropTimes, times)
	out, _ := validate.Mend(p)
	got := string(out.Features[0].Attributes.Get(schema.PropTimes).AppendJSON(nil))
	if want := `[["a","d","c","b","a"]]`; got != want {
		t.Errorf("times %s, want %s", got, want)
	}
	if err := validate.Verify(p, out); err != nil {
		t.Error(err)
	}
}

func TestMendPartsAndCollections(t *testing.T) {
	open := []float64{0, 0, 10, 0, 10, 10, 0, 10}
	multi := geom.NewMultiPolygonFlat(geom.XY, append(append([]float64{}, 20, 0, 30, 0, 30, 10, 20, 0), open...), [][]int{{8}, {16}})
	c := geom.NewGeometryCollection()
	if err := c.Push(geom.NewPointFlat(geom.XY, []float64{1, 2}), geom.NewPolygonFlat(geom.XY, open, []int{8})); err != nil {
		t.Fatal(err)
	}
	for name, g := range map[string]geom.T{"parts": multi, "collection": c} {
		p := &schema.Plan{Features: []*schema.Feature{{Role: schema.RoleZone, Geometry: g}}}
		out, changes := validate.Mend(p)
		if len(changes) != 1 || changes[0].Rule != "ring-open" {
			t.Errorf("%s: changes %v", name, changes)
		}
		if err := validate.Verify(p, out); err != nil {
			t.Errorf("%s: %v", name, err)
		}
		if o := validate.Check(out, schema.DefaultLimits()).Outcome("ring-open"); o.Outcome != validate.Passed {
			t.Errorf("%s: ring-open %s after mending", name, o.Outcome)
		}
	}
}

// TestMendableFindingsAreGoneAfterMending, and no others have come.
func TestMendableFindingsAreGoneAfterMending(t *testing.T) {
	l := schema.DefaultLimits()
	mended := 0
	for _, rule := range ruleNames() {
		p := park()
		brokenPlans[rule].fail(p)
		plan := p.plan(t)
		before := validate.Check(plan, l)
		out, changes := validate.Mend(plan)
		if err := validate.Verify(plan, out); err != nil {
			t.Errorf("%s: %v", rule, err)
		}
		want := 0
		for _, f := range before.Findings {
			if f.Mendable {
				want++
			}
		}
		after := validate.Check(out, l)
		for _, f := range after.Findings {
			if f.Mendable && rule != "ring-too-few-points" {
				t.Errorf("%s: still there after mending: %s", rule, show(f))
			}
		}
		if rule != "ring-too-few-points" {
			if len(after.Findings) != len(before.Findings)-want {
				t.Errorf("%s: %d findings after mending, want %d", rule, len(after.Findings), len(before.Findings)-want)
			}
			if (len(changes) > 0) != (want > 0) {
				t.Errorf("%s: %d changes for %d mendable findings", rule, len(changes), want)
			}
		}
		mended += len(changes)
	}
	if mended < 4 {
		t.Errorf("only %d changes in all", mended)
	}
}

// TestMendRandomPlans: on plans with faults thrown in, mending passes its own
// verification, is idempotent, and keeps every area.
func TestMendRandomPlans(t *testing.T) {
	changesSeen := 0
	for seed := uint64(1); seed <= 300; seed++ {
		r := rand.New(rand.NewPCG(seed, 3))
		p := randplan.New(seed, randplan.Options{})
		for _, f := range p.Features {
			g, ok := f.Geometry.(*geom.Polygon)
			if !ok || r.IntN(2) == 0 {
				continue
			}
			f.Geometry = spoil(r, g)
		}
		out, changes := validate.Mend(p)
		changesSeen += len(changes)
		if err := validate.Verify(p, out); err != nil {
			t.Fatalf("seed %d: %v", seed, err)
		}
		for _, c := range changes {
			if math.Abs(c.BeforeM2-c.AfterM2) > 1e-6*math.Max(1, c.BeforeM2) {
				t.Fatalf("seed %d: area %v became %v", seed, c.BeforeM2, c.AfterM2)
			}
		}
		if _, more := validate.Mend(out); len(more) != 0 {
			t.Fatalf("seed %d: mending twice: %+v", seed, more)
		}
	}
	if changesSeen < 100 {
		t.Errorf("only %d changes", changesSeen)
	}
}

// spoil opens, repeats, spikes or turns the rings of a polygon.
func spoil(r *rand.Rand, g *geom.Polygon) geom.T {
	stride := g.Stride()
	var flat []float64
	var ends []int
	start := 0
	for _, end := range g.Ends() {
		ring := append([]float64(nil), g.FlatCoords()[start:end]...)
		start = end
		n := len(ring) / stride
		vertex := func(i int) []float64 { return append([]float64(nil), ring[i*stride:(i+1)*stride]...) }
		switch r.IntN(5) {
		case 0:
			ring = ring[:(n-1)*stride]
		case 1:
			i := r.IntN(n)
			ring = append(append(append([]float64(nil), ring[:i*stride]...), vertex(i)...), ring[i*stride:]...)
		case 2: // out along the next side and back: points exactly on one line
			i := r.IntN(n - 1)
			ring = append(append(append(append([]float64(nil), ring[:(i+1)*stride]...), vertex(i+1)...), vertex(i)...), ring[(i+1)*stride:]...)
		case 3:
			schema.ReverseRing(ring, stride)
		}
		flat = append(flat, ring...)
		ends = append(ends, len(flat))
	}
	return geom.NewPolygonFlat(g.Layout(), flat, ends)
}

func TestVerifyRefuses(t *testing.T) {
	square := func() *schema.Plan {
		p := polygonPlan(schema.RoleZone, geom.XY, []float64{0, 0, 10, 0, 10, 10, 0, 10}, 8)
		p.CRS = crs.WGS84()
		p.Features = append(p.Features, &schema.Feature{Role: schema.RoleDock, Geometry: geom.NewPointFlat(geom.XY, []float64{1, 1})})
		return p
	}
	for name, spoilt := range map[string]func(p *schema.Plan){
		"a moved vertex":       func(p *schema.Plan) { p.Features[0].Geometry.FlatCoords()[2] = 10.0001 },
		"a moved point":        func(p *schema.Plan) { p.Features[1].Geometry.FlatCoords()[0] = 2 },
		"a lost feature":       func(p *schema.Plan) { p.Features = p.Features[:1] },
		"features exchanged":   func(p *schema.Plan) { p.Features[0], p.Features[1] = p.Features[1], p.Features[0] },
		"a new name":           func(p *schema.Plan) { p.Features[0].Name = "Field" },
		"a new role":           func(p *schema.Plan) { p.Features[0].Role = schema.RoleKeepout },
		"a new id":             func(p *schema.Plan) { p.Features[0].ID = schema.Int(1) },
		"a new attribute":      func(p *schema.Plan) { p.Features[0].Attributes.Set("x", schema.Null()) },
		"a new plan attribute": func(p *schema.Plan) { p.Attributes.Set("x", schema.Null()) },
		"another plan name":    func(p *schema.Plan) { p.Name = "x" },
		"another CRS":          func(p *schema.Plan) { p.CRS = nil },
		"a lost vertex": func(p *schema.Plan) {
			p.Features[0].Geometry = geom.NewPolygonFlat(geom.XY, []float64{0, 0, 10, 0, 10, 10, 0, 0}, []int{8})
		},
		"a lost hole": func(p *schema.Plan) { p.Features[0].Geometry = geom.NewPolygonFlat(geom.XY, nil, nil) },
		"another kind": func(p *schema.Plan) {
			p.Features[0].Geometry = geom.NewLineStringFlat(geom.XY, p.Features[0].Geometry.FlatCoords())
		},
		"no geometry": func(p *schema.Plan) { p.Features[0].Geometry = nil },
	} {
		a, b := square(), square()
		if err := validate.Verify(a, b); err != nil {
			t.Fatal(err)
		}
		spoilt(b)
		if validate.Verify(a, b) == nil {
			t.Errorf("%s passes the verification", name)
		}
	}
}

// What is closed over more than 0.05 m by a straight line may be a stretch that nobody
// walked: the mended plan keeps it, and is not proved.
func TestMendKeepsWideGaps(t *testing.T) {
	for _, x := range []struct {
		gap  float64
		told string
	}{{0.0499, ""}, {0.05, ""}, {0.0501, "0.050 m long"}, {9, "9.00 m long"}} {
		p := polygonPlan(schema.RoleZone, geom.XY, []float64{0, 0, 10, 0, 10, 10, 0, 10, 0, x.gap}, 10)
		out, changes := validate.Mend(p)
		if len(changes) != 1 || changes[0].Rule != validate.RuleRingOpen {
			t.Fatalf("gap %v: %+v", x.gap, changes)
		}
		if len(p.Left) != 0 || (len(out.Left) == 1) != (x.told != "") || x.told != "" && !strings.Contains(out.Left[0], x.told) {
			t.Errorf("gap %v: the plan keeps %q, want %q", x.gap, out.Left, x.told)
		}
		if what := validate.Check(out, schema.DefaultLimits()).Outcome(validate.RuleGeometryUnfit).Outcome; (what == validate.Unchecked) != (x.told != "") {
			t.Errorf("gap %v: geometry-unfit is %s", x.gap, what)
		}
	}
}
