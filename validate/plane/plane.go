// Package plane is the exact planar kernel of swardline: signs, validity,
// containment, clearance, offsets and areas of figures on a plane.
//
// Coordinates are float64 x, y of any plane: metres on the ground, or degrees
// as read when only topology is asked. Types are those of paulmach/orb.
//
// # What is exact
//
// Every question with a yes or no as its answer is decided exactly on the
// coordinates as they stand, with no tolerance anywhere: Orient, the Kind of a
// Cross, Locate, Validate, Spikes. Each comes down to the sign of a polynomial
// in the coordinates, taken in floating point when a proven error bound allows
// and in exact arithmetic when it does not.
//
// # What is measured
//
// Places (the point where two segments cross), distances, depths, areas and
// offsets are float64 results with rounding error; each function states how
// large. The boolean operations and the offsets move every vertex to a grid
// 2^-50 as fine as the largest coordinate (7 nm at a northing of six million
// metres) and are exact on that grid.
//
// # Rings
//
// A ring is a closed sequence of points, the last equal to the first. Which way
// it runs never matters to a verdict. Only Validate accepts an open ring (it is
// a fault); everything else supplies the missing last segment.
//
// Functions neither keep nor change the slices that they are given. Values
// built once and asked often (Locator) may be used by several goroutines at a
// time.
package plane
