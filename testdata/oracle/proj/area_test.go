// The areas of the report against geodesic areas on the ellipsoid.

package proj

import (
	"math"
	"testing"

	"github.com/twpayne/go-geom"

	"swardline/crs"
	"swardline/schema"
	"swardline/validate"
)

const (
	wgs84A = 6378137.0
	wgs84F = 1 / 298.257223563
)

// The oracle itself, against published areas: GeographicLib's tests
// (tests/CMakeLists.txt, Planimeter0 and Planimeter2, printed as 2495230567[78]
// and 24619419146.x m2), the UTM square of its man page (man/Planimeter.pod)
// and the square kilometre of Planimeter29 (tests/polygontest.cpp, 1000000 m2
// within 0.01).
func TestGeodesicAreaAsPublished(t *testing.T) {
	for _, x := range []struct {
		name string
		pts  [][2]float64
		want float64
		tol  float64
	}{
		{"Planimeter0", [][2]float64{{0, 89}, {90, 89}, {180, 89}, {270, 89}}, 24952305677.5, 2},
		{"Planimeter2", [][2]float64{{-1, 0}, {0, -1}, {1, 0}, {0, 1}}, 24619419146.5, 1},
	} {
		if got := GeodesicArea(wgs84A, wgs84F, x.pts); math.Abs(got-x.want) > x.tol {
			t.Errorf("%s: %.1f m2, published %.1f", x.name, got, x.want)
		}
	}
}

// What the report calls areas is ground at the height of the site. A figure on
// the ellipsoid grows by (1 + h/rho)(1 + h/nu) when it is lifted to the height
// h, rho and nu the radii of curvature in the meridian and across it. The
// tangent plane then shortens what lies at the distance d from its origin by
// (d/R)^2/2, 5e-8 at 2 km. A millionth of the area is therefore allowed, and
// the oracle's own rounding: its documentation gives 0.1 m2 a corner at worst;
// on plans this small a ten-thousandth of a square metre covers it.
func TestReportedAreasAgainstGeodesic(t *testing.T) {
	worst := 0.0
	compared := 0
	for _, lat := range []float64{-77.8, -54.8, -33.9, -1.3, 0, 0.0005, 28.1, 51.5, 69.6, 78.2, 84} {
		for _, h := range []float64{-400, 0, 45, 1600, 4800} {
			for _, size := range []float64{20, 300, 2000, 4000} { // metres from side to side
				for _, heights := range []bool{true, false} {
					if !heights && h != 0 {
						continue // a plan without heights is taken at height 0
					}
					const lon = 12.7
					star := func(de, dn, r float64, n int) [][2]float64 {
						var out [][2]float64
						perLat := 180 / math.Pi / 6371000
						perLon := perLat / math.Cos(lat*math.Pi/180)
						for i := range n {
							s, c := math.Sincos(2*math.Pi*float64(i)/float64(n) + 0.4)
							d := r * (1 - 0.35*float64(i%3)/2)
							out = append(out, [2]float64{lon + (de+d*c)*perLon, lat + (dn+d*s)*perLat})
						}
						return out
					}
					feature := func(role schema.Role, pts [][2]float64) *schema.Feature {
						var flat []float64
						layout := geom.XY
						for i := range len(pts) + 1 {
							p := pts[i%len(pts)]
							flat = append(flat, p[0], p[1])
							if heights {
								flat = append(flat, h)
								layout = geom.XYZ
							}
						}
						return &schema.Feature{Role: role, Geometry: geom.NewPolygonFlat(layout, flat, []int{len(flat)})}
					}
					// Two zones beside one another and a keep-out in the
					// second.
					one, two, bed := star(-size/4, 0, size/4.2, 11), star(size/4, 0, size/4.2, 14), star(size/4, 0, size/15, 9)
					p := &schema.Plan{CRS: crs.WGS84(), Features: []*schema.Feature{
						feature(schema.RoleZone, one), feature(schema.RoleZone, two), feature(schema.RoleKeepout, bed)}}
					r := validate.Check(p, schema.DefaultLimits())
					lift := 1.0
					if heights {
						s := math.Sin(lat * math.Pi / 180)
						e2 := wgs84F * (2 - wgs84F)
						nu := wgs84A / math.Sqrt(1-e2*s*s)
						rho := wgs84A * (1 - e2) / math.Pow(1-e2*s*s, 1.5)
						lift = (1 + h/rho) * (1 + h/nu)
					}
					a, b, k := GeodesicArea(wgs84A, wgs84F, one), GeodesicArea(wgs84A, wgs84F, two), GeodesicArea(wgs84A, wgs84F, bed)
					for _, x := range []struct {
						name      string
						got, want float64
					}{
						{"zones", r.Areas.ZonesM2, (a + b) * lift}, {"keepouts", r.Areas.KeepoutsM2, k * lift}, {"net", r.Areas.NetM2, (a + b - k) * lift},
						{"first zone", r.Zones[0].GrossM2, a * lift}, {"second zone, net", r.Zones[1].NetM2, (b - k) * lift},
					} {
						off := math.Max(0, math.Abs(x.got-x.want)-1e-4) / x.want
						worst = math.Max(worst, off)
						compared++
						if !(off <= 1e-6) {
							t.Errorf("latitude %v, height %v (%v), %v m, %s: %.6f m2, geodesic %.6f: %.2g of it", lat, h, heights, size, x.name, x.got, x.want, off)
						}
					}
				}
			}
		}
	}
	t.Logf("PROJ %s: %d areas compared, worst difference past 1e-4 m2: %.2g of the area, allowed 1e-6", Version(), compared, worst)
}

// A square kilometre of geodesics about the equator, published as 1000000 m2
// within 0.01 (GeographicLib tests/polygontest.cpp, Planimeter29): drawn in the
// sizes of a degree there, its area in the report.
func TestReportedSquareKilometre(t *testing.T) {
	// From (0, 0): 1000 m east, 1000 m north, 1000 m west along geodesics.
	// North along a meridian at the equator a metre is 1/110574.38858 degrees
	// (the meridian's radius there), east 1/111319.49079.
	e2 := wgs84F * (2 - wgs84F)
	east, north := 1000/(wgs84A*math.Pi/180), 1000/(wgs84A*(1-e2)*math.Pi/180)
	pts := []float64{0, 0, east, 0, east, north, 0, north, 0, 0}
	p := &schema.Plan{CRS: crs.WGS84(), Features: []*schema.Feature{{Role: schema.RoleZone, Geometry: geom.NewPolygonFlat(geom.XY, pts, []int{10})}}}
	if got := validate.Check(p, schema.DefaultLimits()).Areas.ZonesM2; math.Abs(got-1e6) > 0.05 {
		t.Errorf("%.4f m2, published 1000000", got)
	}
}
