// What an importer of the package writes: a point projected, a point moved to
// another datum, a frame beside coordinates, heights, and our systems in the
// wgs84 package.

package crs_test

import (
	"errors"
	"fmt"

	"github.com/wroge/wgs84"

	"swardline/crs"
)

// A longitude and latitude onto a grid of the same datum.
func ExampleParse() {
	grid, err := crs.Parse("EPSG:25832")
	if err != nil {
		panic(err)
	}
	at := []float64{9.1, 52.2} // longitude, latitude
	if err := grid.FromGeodetic(at, 2); err != nil {
		panic(err)
	}
	fmt.Printf("%.3f E %.3f N\n", at[0], at[1])
	// Output:
	// 506834.418 E 5783287.874 N
}

// An operation must be told the accuracy that is lived with, the place and the
// epochs; it says which steps it takes and how good they are, or what would let
// it go on.
func ExampleNewOperation() {
	from, _ := crs.Parse("EPSG:27700")
	to, _ := crs.Parse("OGC:CRS84")
	_, err := crs.NewOperation(from, to, crs.Allowed{Accuracy: 0.05}, crs.At(-1.5, 52), crs.Epochs{}, crs.Aids{})
	var refusal crs.Refusal
	fmt.Println(errors.As(err, &refusal) && refusal.Answer() == crs.AnswerAccuracy)

	op, err := crs.NewOperation(from, to, crs.Allowed{Accuracy: 2}, crs.At(-1.5, 52), crs.Epochs{}, crs.Aids{})
	if err != nil {
		panic(err)
	}
	at := []float64{430000, 260000} // east, north
	if err := op.Apply(at, 2); err != nil {
		panic(err)
	}
	fmt.Println(op.Steps()[0])
	fmt.Printf("%.7f N %.7f E\n", at[1], at[0])
	// Output:
	// true
	// OSGB36 to WGS 84 (6) (EPSG:1314, 2 m)
	// 52.2373792 N -1.5621079 E
}

// Longitude and latitude that a format can only call WGS 84 are those of the
// national correction service that gave them.
func ExampleCRS_InFrame() {
	frame, _ := crs.ParseFrame("ETRS89")
	lonlat, err := crs.WGS84().InFrame(frame)
	if err != nil {
		panic(err)
	}
	grid, _ := crs.Parse("EPSG:25832")
	op, err := crs.NewOperation(lonlat, grid, crs.Allowed{}, crs.At(9, 52), crs.Epochs{}, crs.Aids{})
	if err != nil {
		panic(err)
	}
	fmt.Println(op.Name())
	off, _, _ := frame.FromWGS84(crs.Geodetic{Lon: 9, Lat: 52}, 0, 2026)
	fmt.Printf("a viewer that takes them for WGS 84 is %.1f m off in 2026\n", float64(off))
	// Output:
	// no datum step
	// a viewer that takes them for WGS 84 is 0.9 m off in 2026
}

// Heights of a compound system are counted from its vertical part.
func ExampleCRS_Heights() {
	nap, _ := crs.Parse("EPSG:7415")
	fmt.Println(nap.Heights().Name())
	ellipsoidal, _ := crs.Parse("EPSG:4937")
	_, err := crs.NewOperation(nap, ellipsoidal, crs.Allowed{Accuracy: 1}, crs.At(5.4, 52.2), crs.Epochs{}, crs.Aids{})
	fmt.Println(err)
	// Output:
	// NAP height
	// NAP height and ellipsoidal heights lie up to 100 m apart, and no geoid model at hand leads from the one to the other: it needs a file such as nl_nsgi_nlgeo2018.tif or nlgeo2018.gtx
}

// Users of github.com/wroge/wgs84 plug our systems into its Transform.
func ExampleNewPlugin() {
	grid, _ := crs.Parse("EPSG:2193")
	nz, err := crs.NewPlugin(grid, crs.Allowed{Accuracy: 2}, crs.At(172, -41), crs.Epochs{}, crs.Aids{})
	if err != nil {
		panic(err)
	}
	e, n, _ := wgs84.Transform(wgs84.LonLat(), nz)(172, -41, 0)
	fmt.Printf("%.3f E %.3f N\n", e, n)
	// Output:
	// 1515897.866 E 5460761.411 N
}
