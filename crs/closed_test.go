// Figures of systems that have a closed form, or that two sources give.

package crs

import (
	"math"
	"testing"
)

// TestPlateModelsAgree: two determinations of one motion, from observations of
// 2014 and of 2020, differ by less than a tenth of a milliarcsecond a year,
// 3 mm, in every component (Altamimi et al. 2023, section 4, finds them to
// agree within their errors; the bound is this project's).
func TestPlateModelsAgree(t *testing.T) {
	both := 0
	for _, p := range plates {
		if !p.in2014 {
			continue
		}
		both++
		for i := range p.itrf2020 {
			if d := math.Abs(p.itrf2020[i] - p.itrf2014[i]); d > 0.1 {
				t.Errorf("%s, component %d: %v and %v", p.name, i, p.itrf2020[i], p.itrf2014[i])
			}
		}
	}
	if both < 10 {
		t.Errorf("%d plates have two figures", both)
	}
}

// TestBoundsOfOneNameDiffer: two systems that call their datum the same but are
// bound to WGS 84 by other shifts are two.
func TestBoundsOfOneNameDiffer(t *testing.T) {
	a, b := "+proj=longlat +ellps=bessel +towgs84=600,70,400 +no_defs", "+proj=longlat +ellps=bessel +towgs84=600,70,500 +no_defs"
	o := asked{AllowUnknownAccuracy: true, Near: place(9, 52)}
	for to, moved := range map[string]bool{a: false, b: true} {
		op, err := o.operation(mustParse(t, a), mustParse(t, to))
		if err != nil {
			t.Fatal(err)
		}
		p := []float64{9, 52}
		if err := op.Apply(p, 2); err != nil {
			t.Fatal(err)
		}
		// 100 m along the earth's axis are 100 cos 52 m north.
		north := (p[1] - 52) * 111.2e3
		if want := map[bool]float64{true: -100 * math.Cos(52*math.Pi/180)}[moved]; math.Abs(north-want) > 0.5 {
			t.Errorf("to %s: %v m north, want %v", to, north, want)
		}
	}
}

// TestProjectionsAtTheirOrigins: lengths and places that need no series.
func TestProjectionsAtTheirOrigins(t *testing.T) {
	system := func(ellipsoid, method, parameters string) string {
		return `PROJCRS["x",BASEGEOGCRS["b",DATUM["d",ELLIPSOID["s",` + ellipsoid + `]]],CONVERSION["c",METHOD["` + method + `"],` + parameters +
			`],CS[Cartesian,2],AXIS["easting",east],AXIS["northing",north],LENGTHUNIT["metre",1]]`
	}
	plate := system("6371000,0", "Equidistant Cylindrical (Spherical)", `PARAMETER["Latitude of 1st standard parallel",30],PARAMETER["Latitude of natural origin",10],PARAMETER["Longitude of natural origin",5]`)
	sphere := system("6378137,298.257223563", "Lambert Azimuthal Equal Area (Spherical)", `PARAMETER["Latitude of natural origin",10],PARAMETER["Longitude of natural origin",5]`)
	// The authalic radius of GRS 80 and WGS 84 (Moritz 2000, Geodetic Reference
	// System 1980: R2 = 6,371,007.181 m).
	const authalic = 6371007.181
	for _, c := range []struct {
		name, system string
		lon, lat     float64
		e, n, tol    float64
	}{
		{"cylindrical, the latitude of the origin is north 0", plate, 5, 10, 0, 0, 1e-6},
		{"a degree from it", plate, 6, 11, 6371000 * math.Pi / 180 * math.Cos(math.Pi/6), 6371000 * math.Pi / 180, 1e-6},
		{"azimuthal", sphere, 5, 10, 0, 0, 1e-6},
		{"a degree north of it", sphere, 5, 11, 0, 2 * authalic * math.Sin(math.Pi/360), 1e-4},
	} {
		p := []float64{c.lon, c.lat}
		if err := mustParse(t, c.system).FromGeodetic(p, 2); err != nil {
			t.Errorf("%s: %v", c.name, err)
			continue
		}
		if math.Abs(p[0]-c.e) > c.tol || math.Abs(p[1]-c.n) > c.tol {
			t.Errorf("%s: %v, want %v %v", c.name, p, c.e, c.n)
		}
	}
}
