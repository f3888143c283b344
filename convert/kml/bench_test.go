// Speed and allocations of reading and writing, on plans as large as the ones
// that the speed figures are stated for.

package kml

import (
	"bytes"
	"fmt"
	"io"
	"math"
	"testing"

	"github.com/twpayne/go-geom"

	"swardline/convert/wire"
	"swardline/crs"
	"swardline/schema"
)

// largePlan returns a plan of n polygons with so many vertices each and five
// attributes.
func largePlan(n, vertices int) *schema.Plan {
	p := &schema.Plan{Name: "large", CRS: crs.WGS84(), Source: schema.Source{Winding: schema.WindingStandard}}
	for i := 0; i < n; i++ {
		lon, lat := 9+float64(i%300)*1e-3, 56+float64(i/300)*1e-3
		flat := make([]float64, 0, 2*vertices)
		for k := 0; k < vertices-1; k++ {
			sin, cos := math.Sincos(2 * math.Pi * float64(k) / float64(vertices-1))
			flat = append(flat, lon+4e-4*cos+1e-10*float64(i), lat+4e-4*sin)
		}
		flat = append(flat, flat[0], flat[1])
		p.Features = append(p.Features, &schema.Feature{
			ID: schema.String(fmt.Sprintf("z%d", i)), Role: schema.RoleZone, Name: fmt.Sprintf("Zone %d", i),
			Geometry: geom.NewPolygonFlat(geom.XY, flat, []int{len(flat)}),
			Attributes: schema.Attributes{
				{Key: schema.PropHeadingDeg, Value: schema.Float(float64(i%360) + 0.5)}, {Key: schema.PropCutMM, Value: schema.Int(int64(20 + i%40))},
				{Key: schema.PropActive, Value: schema.Bool(i%7 != 0)}, {Key: "owner", Value: schema.String("the parks office")}, {Key: "checked", Value: schema.Null()},
			},
		})
	}
	return p
}

// sizes are the shapes of plan that the figures are given for.
var sizes = []struct {
	name        string
	n, vertices int
}{
	{"60000polygonsOf41", 60000, 41},
	{"60000polygonsOf5", 60000, 5},
}

func BenchmarkWrite(b *testing.B) {
	for _, s := range sizes {
		b.Run(s.name, func(b *testing.B) {
			p := largePlan(s.n, s.vertices)
			var size counter
			if _, err := Write(&size, p, wire.WriteOptions{}); err != nil {
				b.Fatal(err)
			}
			b.SetBytes(int64(size))
			b.ReportAllocs()
			for b.Loop() {
				if _, err := Write(io.Discard, p, wire.WriteOptions{}); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}

func BenchmarkRead(b *testing.B) {
	for _, s := range sizes {
		b.Run(s.name, func(b *testing.B) {
			var doc bytes.Buffer
			if _, err := Write(&doc, largePlan(s.n, s.vertices), wire.WriteOptions{}); err != nil {
				b.Fatal(err)
			}
			b.SetBytes(int64(doc.Len()))
			b.ReportAllocs()
			for b.Loop() {
				if _, _, err := Read(doc.Bytes(), wire.ReadOptions{}); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}

type counter int64

func (c *counter) Write(p []byte) (int, error) {
	*c += counter(len(p))
	return len(p), nil
}
