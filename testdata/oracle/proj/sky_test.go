// Azimuth and elevation of satellites against libproj's topocentric conversion
// (EPSG method 9836): at places all over the earth, from the poles to the date
// line.

package proj

import (
	"fmt"
	"math"
	"testing"

	"swardline/crs"
	"swardline/crs/orbit"
)

func TestDirectionsOfPROJ(t *testing.T) {
	ctx := NewContext()
	defer ctx.Close()
	sats, err := orbit.Nominal(0)
	if err != nil {
		t.Fatal(err)
	}
	const degree = math.Pi / 180
	judged, worst := 0, 0.0
	for _, at := range [][3]float64{{11.2, 56.95, 40}, {-71.3, -33.2, 520}, {179.9999, -17.5, 3}, {-179.9999, 66.5, 900}, {0, 0, 0}, {103.8, 1.3, 15}, {20, 89.9, 2}, {20, -89.9, 2800}} {
		day, err := orbit.NewDay(sats, crs.Geodetic{Lon: crs.Degrees(at[0]), Lat: crs.Degrees(at[1]), H: crs.Metres(at[2])}, 0, 14400, 6)
		if err != nil {
			t.Fatal(err)
		}
		top, err := ctx.Pipeline(fmt.Sprintf("+proj=topocentric +ellps=WGS84 +lon_0=%.10g +lat_0=%.10g +h_0=%.10g", at[0], at[1], at[2]))
		if err != nil {
			t.Fatal(err)
		}
		for k := range day.Steps() {
			for _, s := range day.Sights(k) {
				x, y, z := day.Satellites[s.Satellite].Position(day.Time(k))
				enu := []float64{x, y, z}
				top.Apply(enu, 3, false)
				level := math.Hypot(enu[0], enu[1])
				el := math.Atan2(enu[2], level) / degree
				az := math.Atan2(enu[0], enu[1]) / degree
				// The azimuth counts for as much as it moves the direction.
				off := math.Hypot(s.Elevation-el, math.Remainder(s.Azimuth-az, 360)*math.Cos(el*degree))
				worst = math.Max(worst, off)
				if judged++; !(off < 1e-7) {
					t.Fatalf("at %v, satellite %d: azimuth %.9f elevation %.9f, libproj has %.9f %.9f", at, s.Satellite, s.Azimuth, s.Elevation, az, el)
				}
			}
		}
		top.Close()
	}
	if judged < 1000 {
		t.Errorf("only %d directions judged, want 1000", judged)
	}
	t.Logf("PROJ %s: %d directions, worst difference %.1e degrees", Version(), judged, worst)
}
