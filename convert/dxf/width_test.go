// Tests of lines that are drawn with a width.

package dxf

import (
	"math"
	"strings"
	"testing"

	"github.com/twpayne/go-geom"

	"swardline/convert/wire"
	"swardline/crs"
	"swardline/schema"
)

// TestLinesDrawnWide: a line of this program's that someone has made wide is read as
// wide, in the drawing's unit, and never narrower than it says.
func TestLinesDrawnWide(t *testing.T) {
	for _, x := range []struct {
		name, unit, groups string
		said, want         float64
		warned             string
	}{
		{"as written", "", "", 0, 0, ""},
		{"all of it", "", " 43\n4.6\n", 0, 4.6, "width-drawn:1"},
		{"one stretch at its end", "", " 40\n1\n 41\n3\n", 0, 3, "width-drawn:1"},
		{"in millimetres", "mm", " 43\n4600\n", 0, 4.6, "width-drawn:1"},
		{"wider than it says", "", " 43\n2\n", 1.9, 2, "width-drawn:1"},
		{"narrower", "", " 43\n2\n", 2.1, 2.1, ""},
	} {
		f := &schema.Feature{Role: schema.RoleEdge, Name: "Wall", Geometry: geom.NewLineStringFlat(geom.XY, []float64{500000, 6200000, 500010, 6200000})}
		if x.said > 0 {
			f.Attributes.Set(schema.PropWidth, schema.Float(x.said))
		}
		c, err := crs.Parse("EPSG:25832")
		if err != nil {
			t.Fatal(err)
		}
		text, _ := write(t, &schema.Plan{CRS: c, Features: []*schema.Feature{f}}, wire.WriteOptions{Unit: x.unit})
		head, entities, _ := strings.Cut(text, "\nENTITIES\n") // symbols in blocks have polylines, too
		wide := head + "\nENTITIES\n" + strings.Replace(entities, "AcDbPolyline\n", "AcDbPolyline\n"+x.groups, 1)
		back, w := read(t, wide, wire.ReadOptions{})
		got, _ := back.Features[0].Attributes.Get(schema.PropWidth).Float()
		told := ""
		for _, k := range strings.Fields(kinds(w)) {
			if strings.HasPrefix(k, "width") {
				told = k
			}
		}
		if !(math.Abs(got-x.want) <= 1e-9) || told != x.warned {
			t.Errorf("%s: %g, %s, want %g, %s", x.name, got, told, x.want, x.warned)
		}
	}
	old := drawing(pairs(0, "POLYLINE", 8, "A", 66, 1, 70, 0, 40, 0.5, 41, 0.5) + pairs(0, "VERTEX", 8, "A", 10, 0, 20, 0, 40, 0.5, 41, 2) + pairs(0, "VERTEX", 8, "A", 10, 9, 20, 0) + pairs(0, "SEQEND"))
	p, _ := read(t, old, wire.ReadOptions{Unit: "m"})
	if v, _ := p.Features[0].Attributes.Get(schema.PropWidth).Float(); v != 2 {
		t.Errorf("a POLYLINE with vertices 2 m wide: %g", v)
	}
}
