// The area of a polygon with geodesic sides, by libproj's copy of
// GeographicLib.

package proj

/*
#include <geodesic.h>
*/
import "C"

// GeodesicArea is the area in square metres of a polygon on the ellipsoid
// (semi-major axis a in metres, flattening f) whose corners, longitude and
// latitude in degrees, are joined by geodesics; positive when they run
// anticlockwise (Karney 2013, Algorithms for geodesics).
func GeodesicArea(a, f float64, lonlat [][2]float64) float64 {
	var g C.struct_geod_geodesic
	C.geod_init(&g, C.double(a), C.double(f))
	lon, lat := make([]C.double, len(lonlat)), make([]C.double, len(lonlat))
	for i, p := range lonlat {
		lon[i], lat[i] = C.double(p[0]), C.double(p[1])
	}
	var area, perimeter C.double
	if len(lonlat) > 0 {
		C.geod_polygonarea(&g, &lat[0], &lon[0], C.int(len(lonlat)), &area, &perimeter)
	}
	return float64(area)
}
