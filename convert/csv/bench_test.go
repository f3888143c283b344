// Speed and memory on 60,000 polygons. Compare: go test -bench . -benchmem

package csv

import (
	"bytes"
	"io"
	"math"
	"testing"

	"github.com/twpayne/go-geom"

	"swardline/convert/wire"
	"swardline/crs"
	"swardline/schema"
)

// manyPolygons is a plan of n zones of 36 vertices each, with three attributes.
func manyPolygons(n int) *schema.Plan {
	p := &schema.Plan{Name: "many", CRS: crs.WGS84(), Source: schema.Source{Winding: schema.WindingDriven}}
	for i := range n {
		const corners = 35
		lon, lat := 9+float64(i%300)*0.001, 56+float64(i/300)*0.001
		flat := make([]float64, 0, 2*corners+2)
		for k := range corners {
			a := -2 * math.Pi * float64(k) / corners
			flat = append(flat, lon+0.0003*math.Cos(a), lat+0.0002*math.Sin(a))
		}
		flat = append(flat, flat[0], flat[1])
		p.Features = append(p.Features, &schema.Feature{
			ID: schema.Int(int64(i)), Role: schema.RoleZone, Name: "lawn",
			Geometry:   geom.NewPolygonFlat(geom.XY, flat, []int{len(flat)}),
			Attributes: schema.Attributes{{Key: "cut_mm", Value: schema.Int(45)}, {Key: "note", Value: schema.String("after nine")}, {Key: "active", Value: schema.Bool(true)}},
		})
	}
	return p
}

func benchmarkWrite(b *testing.B, layout string) {
	p := manyPolygons(60000)
	var size bytes.Buffer
	if _, err := Write(&size, p, wire.WriteOptions{Layout: layout}); err != nil {
		b.Fatal(err)
	}
	b.SetBytes(int64(size.Len()))
	b.ReportAllocs()
	for b.Loop() {
		if _, err := Write(io.Discard, p, wire.WriteOptions{Layout: layout}); err != nil {
			b.Fatal(err)
		}
	}
}

func benchmarkRead(b *testing.B, layout string, change func([]byte) []byte) {
	var out bytes.Buffer
	if _, err := Write(&out, manyPolygons(60000), wire.WriteOptions{Layout: layout}); err != nil {
		b.Fatal(err)
	}
	data := out.Bytes()
	if change != nil {
		data = change(data)
	}
	b.SetBytes(int64(len(data)))
	b.ReportAllocs()
	for b.Loop() {
		if _, _, err := Read(data, wire.ReadOptions{}); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkWriteWKT(b *testing.B)    { benchmarkWrite(b, LayoutWKT) }
func BenchmarkWritePoints(b *testing.B) { benchmarkWrite(b, LayoutPoints) }
func BenchmarkReadWKT(b *testing.B)     { benchmarkRead(b, LayoutWKT, nil) }
func BenchmarkReadPoints(b *testing.B)  { benchmarkRead(b, LayoutPoints, nil) }

// BenchmarkReadDecimalComma reads the points with semicolons and decimal commas,
// which takes a pass to find out.
func BenchmarkReadDecimalComma(b *testing.B) {
	benchmarkRead(b, LayoutPoints, func(data []byte) []byte {
		return bytes.ReplaceAll(bytes.ReplaceAll(data, []byte(","), []byte(";")), []byte("."), []byte(","))
	})
}
