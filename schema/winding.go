// The order of a ring's points: the standard's winding for polygons, the drive
// order for sequences of points.

package schema

import (
	"fmt"
	"slices"

	"github.com/twpayne/go-geom"

	"swardline/crs"
)

// Winding is the sense that a format promises for its rings.
type Winding uint8

// The windings.
const (
	// WindingUnstated: the format promises nothing.
	WindingUnstated Winding = iota
	// WindingStandard: shells anticlockwise, holes clockwise (RFC 7946 3.1.6;
	// OGC KML 2.2 for polygons).
	WindingStandard
	// WindingDriven: the order in which points are driven, seen from above.
	// Zones clockwise, keep-outs anticlockwise (common practice, no source);
	// a hole runs against its shell.
	WindingDriven
)

// Anticlockwise returns whether a ring of the role runs anticlockwise under the
// winding, seen from above with x to the east.
func (w Winding) Anticlockwise(role Role, hole bool) bool {
	shell := true
	if w == WindingDriven && role == RoleZone {
		shell = false
	}
	return shell != hole
}

// TwiceArea returns twice the area of the ring flat[0:] in its own units,
// positive when it runs anticlockwise; a missing closing point is supplied.
// Differences are taken from the first vertex, so that far-off coordinates do
// not drown a small ring.
func TwiceArea(flat []float64, stride int) float64 {
	if len(flat) < 3*stride {
		return 0
	}
	x0, y0 := flat[0], flat[1]
	var sum, px, py float64
	for i := stride; i+1 < len(flat); i += stride {
		x, y := flat[i]-x0, flat[i+1]-y0
		sum += px*y - x*py
		px, py = x, y
	}
	return sum
}

// RoundOf is how far x goes once round the earth in units of a CRS: 360 degrees
// of longitude; 0 for lengths and for a CRS that is not known.
func RoundOf(c *crs.CRS) float64 {
	switch {
	case c == nil || !c.IsDegrees():
		return 0
	case c.UnitDegrees() > 0:
		return 360 / c.UnitDegrees()
	}
	return 360
}

// Unwrapped returns points whose x runs on where it jumps by more than half a
// round, as an outline across the 180th meridian does, the first of them within
// half a round of from: flat itself where nothing jumps.
func Unwrapped(flat []float64, stride int, round, from float64) []float64 {
	if round <= 0 {
		return flat
	}
	out := flat
	for i := 0; i+1 < len(flat); i += stride {
		x := flat[i]
		switch d := x - from; {
		case d > round/2 && d < 3*round/2:
			x -= round
		case d < -round/2 && d > -3*round/2:
			x += round
		}
		if x != flat[i] && &out[0] == &flat[0] {
			out = append([]float64(nil), flat...)
		}
		out[i] = x
		from = x
	}
	return out
}

// TwiceAreaRound is TwiceArea of a ring that may lie across the meridian where x
// jumps by a round, 0 for none.
func TwiceAreaRound(flat []float64, stride int, round float64) float64 {
	if len(flat) == 0 {
		return 0
	}
	return TwiceArea(Unwrapped(flat, stride, round, flat[0]), stride)
}

// ReverseRing reverses the ring's points in place and keeps the first point
// first, whether or not the ring is closed.
func ReverseRing(flat []float64, stride int) {
	n := len(flat) / stride
	if n < 3 {
		return
	}
	i, j := 1, n-1
	if IsClosed(flat, stride) {
		j = n - 2
	}
	for ; i < j; i, j = i+1, j-1 {
		for k := 0; k < stride; k++ {
			flat[i*stride+k], flat[j*stride+k] = flat[j*stride+k], flat[i*stride+k]
		}
	}
}

// IsClosed reports whether the last point equals the first in plan (x and y).
func IsClosed(flat []float64, stride int) bool {
	n := len(flat)
	return n >= 2*stride && flat[0] == flat[n-stride] && flat[1] == flat[n-stride+1]
}

// OpenOutlines returns words for every outline and hole of a feature whose last point
// is not its first, as LeftOpen has them.
func OpenOutlines(f *Feature) (words []string) {
	n := 0
	rings := func(flat []float64, stride, start int, ends []int) {
		for _, end := range ends {
			if n++; end-start >= 3*stride && !IsClosed(flat[start:end], stride) {
				words = append(words, LeftOpen(f, n, ""))
			}
			start = end
		}
	}
	var each func(g geom.T)
	each = func(g geom.T) {
		switch g := g.(type) {
		case *geom.Polygon:
			rings(g.FlatCoords(), g.Stride(), 0, g.Ends())
		case *geom.MultiPolygon:
			start := 0
			for _, ends := range g.Endss() {
				if rings(g.FlatCoords(), g.Stride(), start, ends); len(ends) > 0 {
					start = ends[len(ends)-1]
				}
			}
		case *geom.GeometryCollection:
			for _, part := range g.Geoms() {
				each(part)
			}
		}
	}
	each(f.Geometry)
	return words
}

// WithOpenOutlines gives the plan with words in Left for every outline that is open in
// it, for a file that has them closed: the stretch between the ends may be one that
// nobody walked, and once it is closed no check can see that.
func (p *Plan) WithOpenOutlines() *Plan {
	var told []string
	for _, f := range p.Features {
		for _, words := range OpenOutlines(f) {
			if !slices.Contains(p.Left, words) {
				told = append(told, words)
			}
		}
	}
	if len(told) == 0 {
		return p
	}
	out := *p
	out.Left = append(slices.Clip(p.Left), told...)
	return &out
}

// LeftOpen says, for Plan.Left, that outline n of a feature, from 1, was open and has
// been closed by a straight line; length is how long that is, "" where nobody measured
// it. The plan itself does not show it any more.
func LeftOpen(f *Feature, n int, length string) string {
	if length != "" {
		length = ", " + length + " long,"
	}
	return fmt.Sprintf("a stretch%s of outline %d of %s %q, which was open and has been closed by a straight line: look on the ground whether a piece of it is missing", length, n, f.Role, f.Label())
}
