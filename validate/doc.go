// Package validate checks a plan: it puts the plan on flat ground, runs the
// rule table against the limits, and says of each rule whether it passed,
// failed, or could not be decided. It writes no format.
//
// Three ideas run through it.
//
// Topology is decided exactly, on the coordinates as read: whether a ring
// crosses itself is a question about the numbers in the file, and rounding on
// the way to the ground must not answer it. Lengths, areas and clearances are
// measured on the ground, in metres on the tangent plane (Ground).
//
// "Cannot tell" is an outcome. A rule whose data is missing - no base, no
// heights, an outline too broken to measure - is Unchecked with the reason,
// never Passed; one that the plan gives nothing to judge is NotNeeded. A rule
// that found something is Failed even when part of it could not be checked; its
// Reason then says what was not.
//
// A finding names its rule, its features, what was measured against which
// limit, and the place. Two runs give the same findings in the same order.
package validate
