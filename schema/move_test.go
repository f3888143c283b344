// What a plan's numbers are in, by who tells, and that moving keeps it.

package schema_test

import (
	"errors"
	"math"
	"testing"

	"github.com/twpayne/go-geom"

	"swardline/crs"
	"swardline/schema"
)

func inSystem(t *testing.T, system string, features ...*schema.Feature) *schema.Plan {
	t.Helper()
	p := &schema.Plan{Features: features}
	if system != "" {
		c, err := crs.Parse(system)
		if err != nil {
			t.Fatal(err)
		}
		p.CRS = c
	}
	return p
}

func at(role schema.Role, x, y float64, attributes ...schema.Attribute) *schema.Feature {
	return &schema.Feature{Role: role, Geometry: geom.NewPointFlat(geom.XY, []float64{x, y}), Attributes: attributes}
}

func word(key, text string) schema.Attribute {
	return schema.Attribute{Key: key, Value: schema.String(text)}
}

func TestWhoTellsTheFrame(t *testing.T) {
	base := func(frame string) *schema.Feature { return at(schema.RoleBase, 9, 52, word(schema.PropFrame, frame)) }
	off := base("GDA2020")
	off.Attributes = append(off.Attributes, schema.Attribute{Key: schema.PropActive, Value: schema.Bool(false)})
	for _, c := range []struct {
		name, system string
		member       schema.Attribute
		features     []*schema.Feature
		frame, from  string
	}{
		{"nobody", "OGC:CRS84", schema.Attribute{}, nil, "", ""},
		{"the CRS", "EPSG:25832", schema.Attribute{}, nil, "ETRS89", schema.FrameFromCRS},
		{"the plan", "OGC:CRS84", word("frame", "ETRS89"), nil, "ETRS89", schema.FrameFromPlan},
		{"the base", "OGC:CRS84", schema.Attribute{}, []*schema.Feature{base("ETRS89")}, "ETRS89", schema.FrameFromBase},
		{"the plan before the base", "OGC:CRS84", word("frame", "ETRS89"), []*schema.Feature{base("GDA2020")}, "ETRS89", schema.FrameFromPlan},
		{"bases that agree", "OGC:CRS84", schema.Attribute{}, []*schema.Feature{base("ETRS89"), base("ETRS 89")}, "ETRS89", schema.FrameFromBase},
		{"bases that do not", "OGC:CRS84", schema.Attribute{}, []*schema.Feature{base("ETRS89"), base("GDA2020")}, "", ""},
		{"a base that is off", "OGC:CRS84", schema.Attribute{}, []*schema.Feature{base("ETRS89"), off}, "ETRS89", schema.FrameFromBase},
		{"a base that does not say", "OGC:CRS84", schema.Attribute{}, []*schema.Feature{base("ETRS89"), at(schema.RoleBase, 9, 52)}, "", ""},
		{"WGS 84, which says nothing finer", "OGC:CRS84", word("frame", "WGS 84"), nil, "", ""},
		{"a member of the CRS's ensemble", "EPSG:25832", word("frame", "ETRF2000"), nil, "ETRF2000", schema.FrameFromPlan},
		{"no system", "", word("frame", "ETRS89"), nil, "ETRS89", schema.FrameFromPlan},
		{"a member that is no text", "OGC:CRS84", schema.Attribute{Key: "frame", Value: schema.Int(5)}, nil, "", ""},
	} {
		p := inSystem(t, c.system, c.features...)
		if c.member.Key != "" {
			p.Attributes = schema.Attributes{c.member}
		}
		r, err := p.Reference()
		got := ""
		if r.Frame.Known() {
			got = r.Frame.Name()
		}
		if err != nil || got != c.frame || r.From != c.from {
			t.Errorf("%s: %q from %q (%v), want %q from %q", c.name, got, r.From, err, c.frame, c.from)
		}
	}
	for _, c := range [][2]string{{"OGC:CRS84", "wooden"}, {"OGC:CRS84", "ED50"}, {"EPSG:25832", "GDA2020"}} {
		p := inSystem(t, c[0])
		p.Attributes = schema.Attributes{word("frame", c[1])}
		var bad *schema.FrameError
		if _, err := p.Reference(); !errors.As(err, &bad) {
			t.Errorf("%s in %s: %v", c[0], c[1], err)
		}
	}
}

func TestMovingKeepsTheFrame(t *testing.T) {
	p := inSystem(t, "EPSG:25832", at(schema.RoleMark, 500000, 5761038.21247))
	there, op, err := p.Moved(schema.Move{To: crs.WGS84()})
	if err != nil || len(op.Steps()) != 0 {
		t.Fatal(op, err)
	}
	if !there.CRS.Equal(crs.WGS84()) || there.Attributes.Get("frame").Text() != "ETRS89" || p.Attributes.Has("frame") {
		t.Errorf("%s %v", there.CRS.ID(), there.Attributes)
	}
	back, _, err := there.Moved(schema.Move{To: p.CRS})
	if err != nil {
		t.Fatal(err)
	}
	q := back.Features[0].Geometry.FlatCoords()
	if back.Attributes.Has("frame") || math.Hypot(q[0]-500000, q[1]-5761038.21247) > 1e-6 {
		t.Errorf("back at %v with %v", q, back.Attributes)
	}
	var unknown *schema.FrameUnknownError
	untold := inSystem(t, "OGC:CRS84", at(schema.RoleMark, 9, 52))
	if _, _, err := untold.Moved(schema.Move{To: p.CRS, Allow: crs.Allowed{Accuracy: 0.05}}); !errors.As(err, &unknown) || unknown.To.Name() != "ETRS89" || unknown.Best != 2 {
		t.Errorf("no frame is told: %v", err)
	}
	if _, _, err := untold.Moved(schema.Move{To: p.CRS, Allow: crs.Allowed{Accuracy: 2}}); err != nil {
		t.Errorf("2 m are accepted: %v", err)
	}
}

func TestHeightsOfAPlan(t *testing.T) {
	high := &schema.Feature{Role: schema.RoleMark, Geometry: geom.NewPointFlat(geom.XYZ, []float64{500000, 5761000, 12})}
	p := inSystem(t, "EPSG:25832+7837", high)
	p.SplitHeights()
	if p.CRS.ID() != "EPSG:25832" || p.Attributes.Get(schema.PlanHeights).Text() != "EPSG:7837" {
		t.Fatalf("%s %v", p.CRS.ID(), p.Attributes)
	}
	ask := func(p *schema.Plan, to string) error {
		c, err := crs.Parse(to)
		if err != nil {
			t.Fatal(err)
		}
		out, _, err := p.Moved(schema.Move{To: c, Allow: crs.Allowed{Accuracy: 5}})
		if err == nil && out.CRS.Heights().Told() == out.Attributes.Has(schema.PlanHeights) {
			t.Errorf("to %s: heights told by %s and by %v", to, out.CRS.ID(), out.Attributes)
		}
		return err
	}
	var no *crs.HeightError
	if err := ask(p, "EPSG:3035"); err != nil {
		t.Errorf("its own heights on another grid: %v", err)
	}
	if err := ask(p, "EPSG:4937"); !errors.As(err, &no) {
		t.Errorf("to the ellipsoid: %v", err)
	}
	p.Attributes.Set(schema.PlanHeights, schema.String("the sill of the shed"))
	if err := ask(p, "EPSG:3035"); err != nil {
		t.Errorf("heights of one's own on another grid: %v", err)
	}
	if err := ask(p, "EPSG:25832+7837"); !errors.As(err, &no) {
		t.Errorf("heights of one's own as DHHN2016: %v", err)
	}
	level := inSystem(t, "EPSG:25832", at(schema.RoleMark, 500000, 5761000))
	if err := ask(level, "EPSG:25832+7837"); err != nil {
		t.Errorf("nothing stands at a height: %v", err)
	}
}
