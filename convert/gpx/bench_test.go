// Speed and memory on 60,000 polygons. Compare: go test -bench . -benchmem

package gpx

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

func BenchmarkWrite(b *testing.B) {
	p := manyPolygons(60000)
	var size bytes.Buffer
	if _, err := Write(&size, p, wire.WriteOptions{}); err != nil {
		b.Fatal(err)
	}
	b.SetBytes(int64(size.Len()))
	b.ReportAllocs()
	for b.Loop() {
		if _, err := Write(io.Discard, p, wire.WriteOptions{}); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkRead(b *testing.B) {
	var data bytes.Buffer
	if _, err := Write(&data, manyPolygons(60000), wire.WriteOptions{}); err != nil {
		b.Fatal(err)
	}
	b.SetBytes(int64(data.Len()))
	b.ReportAllocs()
	for b.Loop() {
		if _, _, err := Read(data.Bytes(), wire.ReadOptions{}); err != nil {
			b.Fatal(err)
		}
	}
}

// BenchmarkReadGeneral reads the same points through the general scanner, which
// serves whatever has not the plain form.
func BenchmarkReadGeneral(b *testing.B) {
	var data bytes.Buffer
	if _, err := Write(&data, manyPolygons(60000), wire.WriteOptions{}); err != nil {
		b.Fatal(err)
	}
	odd := bytes.ReplaceAll(data.Bytes(), []byte("<trkpt lat"), []byte("<trkpt  lat"))
	b.SetBytes(int64(len(odd)))
	b.ReportAllocs()
	for b.Loop() {
		if _, _, err := Read(odd, wire.ReadOptions{}); err != nil {
			b.Fatal(err)
		}
	}
}
