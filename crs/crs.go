// Package crs knows coordinates: reference systems, the operations between
// them, and how accurate each is. It knows numbers, not plans.
//
// # Order and units
//
// Inside the program coordinates always run x = east or longitude, y = north or
// latitude, then height, whatever the official axis order of a system is; that
// order is known (Axes, NorthFirst) and used for labels and for files that
// follow it (FromOfficial, ToOfficial). Where the official axes run west or
// south, ours are their negatives. Plane coordinates are in the unit of their
// system (UnitMetres), longitudes and latitudes in degrees but for the few
// systems in grads (UnitDegrees). Slices are flat, stride numbers a point.
//
// # Naming a system
//
// Parse reads EPSG:n, OGC URNs and URLs, OGC:CRS84, WKT 1 and 2 with the
// spelling of .prj files, PROJJSON, PROJ strings, the text of a site grid, and
// the registry's names and other names where they fit one system alone. What
// the EPSG registry holds is embedded (see epsg/NOTICE.md) and opened when
// first asked for. A WKT that is the same as a system of the registry, its
// parameters put to the test on points, becomes that system; one that claims a
// code and differs from it is an error that says in what.
//
// # From coordinates to longitude and latitude
//
// ToGeodetic and FromGeodetic change the sort of coordinates on one datum and
// never the datum; longitudes of that middle ground count from Greenwich. An
// Operation changes the datum as well, and says how accurate that is. Each
// projection states its source, error and domain in its own file; a point
// outside the domain is a *PointError, one outside the area of use is for the
// caller to ask about (Covers, OutsideArea, JudgeAxes).
//
// # One gate
//
// NewOperation is the only way from one datum to another, and must be told what
// accuracy is lived with, where the coordinates are and when they hold. Its
// refusals are a Refusal that says which one answer would settle it. A site
// gets one set of steps; places far apart each get theirs (Parts, For). A step
// that a text brings with its system (TOWGS84, BOUNDCRS) is used and named.
//
// # Frames
//
// A format that can only say WGS 84 holds, as often as not, what a national
// correction service gives: ETRS89, GDA2020, NAD83(2011). InFrame gives such a
// CRS the frame that its numbers are in, so that an operation knows it;
// FromWGS84 says how far a viewer that does not know it is off.
//
// # Heights
//
// Heights are ellipsoidal where a CRS has three dimensions, counted from the
// vertical part of a compound one (EPSG:7415, EPSG:25832+7837), and not told
// otherwise. Between two references a geoid model leads (HeightGrid), or the
// operation is refused; not told ones pass through unchanged. Absent is not 0:
// a height of NaN stays NaN.
package crs

import "math"

// Degrees is an angle in degrees.
type Degrees float64

// Radians returns the angle in radians.
func (d Degrees) Radians() float64 { return float64(d) * (math.Pi / 180) }

// Metres is a length in metres.
type Metres float64

// Geodetic is a position on an ellipsoid: longitude east and latitude north in
// degrees, height above the ellipsoid in metres.
type Geodetic struct {
	Lon, Lat Degrees
	H        Metres
}

// Geocentric is a position in earth-centred axes, in metres.
type Geocentric struct{ X, Y, Z Metres }

// Local is a position east, north and up of an origin, in metres.
type Local struct{ E, N, U Metres }

// Kind says what sort of coordinates a CRS has.
type Kind uint8

// The kinds of CRS.
const (
	KindGeographic Kind = iota + 1 // lon, lat in degrees [, ellipsoidal height in m]
	KindGeocentric                 // X, Y, Z in m
	KindProjected                  // e, n in the CRS's unit [, height in m]
	KindSite                       // e, n in m of a site grid [, height in m]
)
