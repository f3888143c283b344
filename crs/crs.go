// Package crs knows coordinates: reference systems, the operations between
// them, and how accurate each is. It knows numbers, not plans.
//
// Inside the program coordinates always run x = east or longitude, y = north or
// latitude, then height, whatever the official axis order of a system is; that
// order is known and used for labels and for files that follow it.
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
