// Heights that a plan counts downwards, or in feet.

package validate

import (
	"math"
	"testing"

	"github.com/twpayne/go-geom"

	"swardline/crs"
	"swardline/schema"
)

func TestHeightsAreMetresUpwards(t *testing.T) {
	for _, x := range []struct {
		crs, heights string
		want         float64
	}{
		{"EPSG:25832", "", 180}, {"EPSG:25832+7837", "", 180}, {"EPSG:25832+5715", "", -180}, {"EPSG:25832+5706", "", -180}, {"EPSG:25832+6357", "", -180},
		{"EPSG:25832+8228", "", 180 * 0.3048}, {"EPSG:25832", "EPSG:5715", -180}, {"EPSG:25832", "ellipsoidal", 180}, {"EPSG:25832", "some level", 180},
	} {
		c, err := crs.Parse(x.crs)
		if err != nil {
			t.Fatal(err)
		}
		p := &schema.Plan{CRS: c, Features: []*schema.Feature{{Role: schema.RoleMark, Geometry: geom.NewPointFlat(geom.XYZ, []float64{500000, 5700000, 180})}}}
		if x.heights != "" {
			p.Attributes.Set(schema.PlanHeights, schema.String(x.heights))
		}
		s, err := Ground(p)
		if err != nil {
			t.Fatal(err)
		}
		if got := s.Features[0].Points[0].Height; !(math.Abs(got-x.want) <= 1e-9) {
			t.Errorf("%s, heights %q: %g m, want %g", x.crs, x.heights, got, x.want)
		}
	}
}
