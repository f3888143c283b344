// Faults: the ways in which a polygon can fail to be an OGC simple feature.

package plane

import (
	"cmp"
	"fmt"
	"slices"

	"github.com/paulmach/orb"
)

// Kind is a way of being invalid.
type Kind uint8

// The kinds. Every one of them, and nothing else, makes a polygon or
// multipolygon invalid by OGC 06-103r4 (Simple Feature Access, part 1), clauses
// 6.1.11 and 6.1.14.
const (
	// NotFinite: a coordinate is NaN or infinite. A.Segment is the vertex. The
	// ring takes no part in the other tests.
	NotFinite Kind = iota + 1
	// RingOpen: the last point is not the first. The other tests take the ring
	// as closed.
	RingOpen
	// TooFewPoints: fewer than three different points in a row, so there is no
	// area. The ring takes no part in the other tests.
	TooFewPoints
	// RingSpike: the ring turns back at a vertex along its own line. A is the
	// segment before the tip, B the one after; At the tip, To the other end of
	// the shared piece.
	RingSpike
	// SelfCross: the ring crosses itself at At, on segments A and B.
	SelfCross
	// SelfTouch: the ring meets itself at the point At without crossing.
	SelfTouch
	// SelfOverlap: two segments of the ring that do not follow one another run
	// along one line from At to To.
	SelfOverlap
	// RingsCross: two rings cross at At.
	RingsCross
	// RingsOverlap: two rings share the piece of line from At to To.
	RingsOverlap
	// RingsEqual: two rings have the same points.
	RingsEqual
	// HoleOutsideShell: the hole A lies outside its shell B, At being one of
	// its points.
	HoleOutsideShell
	// HoleInHole: the hole A lies inside the hole B of the same polygon.
	HoleInHole
	// ShellInShell: the polygon whose shell is A lies inside the area of
	// another, whose shell is B.
	ShellInShell
	// InteriorSplit: rings that touch one another at points, At being the last
	// of them, together cut the interior in two.
	InteriorSplit
)

// Kinds lists all kinds in their order.
var Kinds = []Kind{NotFinite, RingOpen, TooFewPoints, RingSpike, SelfCross, SelfTouch, SelfOverlap, RingsCross, RingsOverlap, RingsEqual,
	HoleOutsideShell, HoleInHole, ShellInShell, InteriorSplit}

// String returns the kind in words.
func (k Kind) String() string {
	if words := kindWords[k]; words != "" {
		return words
	}
	return "unknown"
}

var kindWords = map[Kind]string{
	NotFinite: "coordinate not finite", RingOpen: "ring open", TooFewPoints: "too few points", RingSpike: "spike",
	SelfCross: "ring crosses itself", SelfTouch: "ring touches itself", SelfOverlap: "ring runs along itself",
	RingsCross: "rings cross", RingsOverlap: "rings run along one another", RingsEqual: "rings equal",
	HoleOutsideShell: "hole outside shell", HoleInHole: "hole in hole", ShellInShell: "shell in shell", InteriorSplit: "interior split",
}

// Where names a place on the boundary of a polygon.
type Where struct {
	// Polygon and Ring count from 0 in the figure as given; ring 0 is the
	// shell.
	Polygon, Ring int
	// Segment is the index of the vertex at which the segment begins, in the
	// ring as given; -1 when the whole ring is meant.
	Segment int
}

// IsShell reports whether the place is on a shell.
func (w Where) IsShell() bool { return w.Ring == 0 }

// Fault is one reason why a figure is invalid.
type Fault struct {
	Kind Kind
	// A and B are the places that meet. For a fault of one place B equals A.
	A, B Where
	// At is where; To is the other end when a piece of line is meant, else
	// equal to At.
	At, To orb.Point
}

// Error returns the fault in words, so that it can serve as an error.
func (f Fault) Error() string {
	at := fmt.Sprintf("%v at %v %v, polygon %d ring %d", f.Kind, f.At[0], f.At[1], f.A.Polygon, f.A.Ring)
	if f.A.Segment >= 0 {
		at += fmt.Sprintf(" segment %d", f.A.Segment)
	}
	if f.B != f.A {
		at += fmt.Sprintf(", polygon %d ring %d", f.B.Polygon, f.B.Ring)
		if f.B.Segment >= 0 {
			at += fmt.Sprintf(" segment %d", f.B.Segment)
		}
	}
	return at
}

// sortFaults puts faults in the order of their kind, place and point, so that
// two runs say the same.
func sortFaults(fs []Fault) {
	slices.SortFunc(fs, func(a, b Fault) int {
		return cmp.Or(
			cmp.Compare(a.Kind, b.Kind),
			compareWhere(a.A, b.A), compareWhere(a.B, b.B),
			comparePoint(a.At, b.At), comparePoint(a.To, b.To),
		)
	})
}

func compareWhere(a, b Where) int {
	return cmp.Or(cmp.Compare(a.Polygon, b.Polygon), cmp.Compare(a.Ring, b.Ring), cmp.Compare(a.Segment, b.Segment))
}

// comparePoint orders points by x, then y; coordinates that are not numbers
// come last, so that the order is one.
func comparePoint(a, b orb.Point) int {
	switch {
	case a[0] < b[0]:
		return -1
	case a[0] > b[0]:
		return 1
	case a[0] == b[0] && a[1] < b[1]:
		return -1
	case a[0] == b[0] && a[1] > b[1]:
		return 1
	case a == b:
		return 0
	}
	return cmp.Or(-cmp.Compare(a[0], b[0]), -cmp.Compare(a[1], b[1])) // cmp puts NaN first
}
