// What a drawing shows to people: names and symbols that are no features of
// their own, what is off on layers that are off, a note of what the numbers
// are.

package dxf

import (
	"bytes"
	"fmt"
	"strings"
	"testing"

	"github.com/twpayne/go-geom"

	"swardline/convert/wire"
	"swardline/crs"
	"swardline/schema"
)

func furnished(t *testing.T) *schema.Plan {
	t.Helper()
	c, err := crs.Parse("EPSG:25832")
	if err != nil {
		t.Fatal(err)
	}
	point := func(x, y float64) geom.T { return geom.NewPointFlat(geom.XY, []float64{500000 + x, 6200000 + y}) }
	ring := func(x, y, w float64) geom.T {
		return geom.NewPolygonFlat(geom.XY, []float64{500000 + x, 6200000 + y, 500000 + x + w, 6200000 + y, 500000 + x + w, 6200000 + y + w, 500000 + x, 6200000 + y + w, 500000 + x, 6200000 + y}, []int{10})
	}
	p := &schema.Plan{Name: "Garden (invented)", CRS: c, Epoch: 2024.5}
	add := func(role schema.Role, name string, g geom.T, attributes ...schema.Attribute) {
		p.Features = append(p.Features, &schema.Feature{ID: schema.String(fmt.Sprintf("f%d", len(p.Features))), Role: role, Name: name, Geometry: g, Attributes: attributes})
	}
	add(schema.RoleZone, "Grüne Wiese", ring(0, 0, 40))
	add(schema.RoleKeepout, "Zelt", ring(10, 10, 5), schema.Attribute{Key: schema.PropActive, Value: schema.Bool(false)})
	add(schema.RoleBase, "Mast", point(50, 20))
	add(schema.RoleDock, "Dock", point(-2, 3), schema.Attribute{Key: schema.PropHeadingDeg, Value: schema.Float(90)})
	add(schema.RoleMark, "", point(60, 60))
	add(schema.RoleSupply, "Dose ^1", point(-2, 8))
	add(schema.RoleHazard, "Eiche", point(20, 30), schema.Attribute{Key: schema.PropHazardKind, Value: schema.String("tree")})
	add(schema.RoleHazard, "芝生", point(25, 30))
	return p
}

func TestDrawingIsFurnished(t *testing.T) {
	p := furnished(t)
	for _, unit := range []string{"", "mm", "ft"} {
		text, lost := write(t, p, wire.WriteOptions{Unit: unit, Date: "2026-05-31"})
		if got := losses(lost); got != "layer-off:1" && !(unit == "mm" && strings.Contains(got, "layer-off:1")) {
			t.Errorf("losses %s", got)
		}
		_, entities, _ := strings.Cut(text, "\nENTITIES\n")
		for _, want := range []string{
			"INSERT", "  2\nPLAN_BASE\n", "  2\nPLAN_DOCK\n", "  2\nPLAN_MARK\n", "  2\nPLAN_OUTLET\n", "  2\nPLAN_TREE\n", "  2\nPLAN_HAZARD\n",
			"  8\nZONE-NAMES\n", "  1\nGrüne Wiese\n", "  1\n芝生\n", "  1\nDose ^ 1\n", " 50\n270.0\n",
			"  8\nKEEPOUT-OFF\n", "  1\nReference system: EPSG:25832 ETRS89 / UTM zone 32N\n", "  1\nDrawn 2026-05-31\n", "  1\nDate of the coordinates: 2024.5\n", "  1\n1 unit of the drawing = 1 ",
		} {
			if !strings.Contains(entities, want) {
				t.Errorf("unit %q: the entities lack %q", unit, want)
			}
		}
		if strings.Contains(entities, "\nPOINT\n") {
			t.Error("a point without a symbol, which shows only with $PDMODE")
		}
		for _, want := range []string{"  2\nKEEPOUT-OFF\n 70\n0\n 62\n-", "  2\nCHAIN\n", "GEODATA", `<Alias id="25832" type="CoordinateSystem">`, "ACAD_GEOGRAPHICDATA"} {
			if !strings.Contains(text, want) {
				t.Errorf("unit %q: the drawing lacks %q", unit, want)
			}
		}
		back, _ := read(t, text, wire.ReadOptions{})
		if len(back.Features) != len(p.Features) {
			t.Fatalf("unit %q: %d features of %d came back", unit, len(back.Features), len(p.Features))
		}
		for i, f := range back.Features {
			if g := p.Features[i]; f.Name != g.Name || f.Role != g.Role || !bytes.Equal(f.Attributes.AppendJSON(nil), g.Attributes.AppendJSON(nil)) {
				t.Errorf("%s %q %s came back as %s %q %s", g.Role, g.Name, g.Attributes.AppendJSON(nil), f.Role, f.Name, f.Attributes.AppendJSON(nil))
			}
		}
	}
}

// A symbol that is moved takes its point along: it is the point.
func TestMovedSymbol(t *testing.T) {
	text, _ := write(t, furnished(t), wire.WriteOptions{})
	at := strings.Index(text, "  2\nPLAN_BASE\n 10\n500050.")
	if at < 0 {
		t.Fatal("no symbol of the base at its place")
	}
	back, w := read(t, text[:at]+strings.Replace(text[at:], "500050.", "500055.", 1), wire.ReadOptions{})
	if x := back.Features[2].Geometry.FlatCoords()[0]; x != 500055 || len(w) != 0 {
		t.Errorf("the base stands at %v; %v", x, w)
	}
}

// Without a code of the registry a drawing says no place of its own; and no
// plan at all is still a drawing.
func TestDrawingWithoutPlace(t *testing.T) {
	p := furnished(t)
	p.CRS = nil
	text, _ := write(t, p, wire.WriteOptions{})
	if strings.Contains(text, "GEODATA") || !strings.Contains(text, "Reference system: unknown") {
		t.Error("a drawing of an unknown system says a place, or does not say that it is unknown")
	}
	text, _ = write(t, &schema.Plan{}, wire.WriteOptions{})
	if strings.Contains(text, "Reference system") {
		t.Error("an empty drawing has a note")
	}
}

// Names that would lie on one another stand below one another, and that of a
// line in the middle of it.
func TestNamesApart(t *testing.T) {
	p := furnished(t)
	p.Features = p.Features[:1]
	for _, name := range []string{"Pond", "Pond water"} {
		f := *p.Features[0]
		f.Name = name
		p.Features = append(p.Features, &f)
	}
	p.Features = append(p.Features, &schema.Feature{Role: schema.RoleHazard, Name: "Lane", Geometry: geom.NewLineStringFlat(geom.XY, []float64{500000, 6200050, 500100, 6200050})})
	text, _ := write(t, p, wire.WriteOptions{})
	seen := map[string]bool{}
	for _, name := range []string{"Grüne Wiese", "Pond", "Pond water"} {
		before, _, ok := strings.Cut(text, "  1\n"+name+"\n")
		if !ok {
			t.Fatalf("no text says %q", name)
		}
		at := before[strings.LastIndex(before, "\n 20\n"):]
		if seen[at] {
			t.Errorf("%q lies on another name", name)
		}
		seen[at] = true
	}
	if before, _, _ := strings.Cut(text, "  1\nLane\n"); !strings.Contains(before[len(before)-60:], "6200050.") || !strings.Contains(before[len(before)-80:], " 10\n50005") {
		t.Errorf("the name of the lane stands at %q", before[len(before)-80:])
	}
}

// The name of an area stands inside of it.
func TestNameInside(t *testing.T) {
	u := leaf{flat: []float64{0, 0, 30, 0, 30, 20, 25, 20, 25, 5, 3, 5, 3, 20, 0, 20, 0, 0}, stride: 2, ring: true}
	if at := insideRing(u); at != (point2{27.5, 10}) {
		t.Errorf("the name of a U stands at %v", at)
	}
}
