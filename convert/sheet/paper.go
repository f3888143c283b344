// Paper, scale and the division into sheets.

package sheet

import (
	"fmt"
	"math"
	"strconv"
	"strings"

	"github.com/paulmach/orb"
)

// Paper is a size of paper in portrait, millimetres.
type Paper struct {
	Name string
	W, H float64
}

// Papers lists the sizes: A4 and A3 of ISO 216, Letter of ANSI Y14.1 (8.5 by 11
// inches).
var Papers = []Paper{{"A4", 210, 297}, {"A3", 297, 420}, {"Letter", 215.9, 279.4}}

// ParsePaper finds a size by name, in any case.
func ParsePaper(name string) (Paper, error) {
	var names []string
	for _, p := range Papers {
		if strings.EqualFold(p.Name, name) {
			return p, nil
		}
		names = append(names, p.Name)
	}
	return Paper{}, fmt.Errorf("there is no paper %q; there is %s", name, strings.Join(names, ", "))
}

// Scales a sheet may have, 1:N.
const (
	MinScale = 10
	MaxScale = 1_000_000
)

// MaxSheets is how many sheets a plan may take.
const MaxSheets = 60

// ParseScale reads "1:500" or "500".
func ParseScale(text string) (float64, error) {
	s := strings.TrimSpace(text)
	if rest, ok := strings.CutPrefix(s, "1:"); ok {
		s = rest
	}
	n, err := strconv.ParseFloat(s, 64)
	if err != nil || !(n >= MinScale && n <= MaxScale) {
		return 0, fmt.Errorf("%q is no scale from 1:%d to 1:%d, such as 1:500", text, MinScale, MaxScale)
	}
	return n, nil
}

// RoundScales are the scales chosen from, largest first: 1:10, 20, 25, 50, 100,
// 125, 200, 250, 500, 1000 and so on, which scale rules carry (common practice,
// no source).
func RoundScales() []float64 {
	var out []float64
	for p := 10.0; p < MaxScale; p *= 10 {
		out = append(out, p)
		if p >= 100 {
			out = append(out, 1.25*p)
		}
		out = append(out, 2*p, 2.5*p, 5*p)
	}
	return append(out, MaxScale)
}

// Sizes of a sheet's parts in millimetres.
const (
	margin     = 8.0
	frameBand  = 5.0   // between the sheet's frame and the map's, for coordinates
	sidePanel  = 88.0  // width of the panel beside the map
	widePanel  = 112.0 // the same on paper wider than A4, where that costs no scale
	wideFrom   = 320.0 // mm
	leastPanel = 76.0  // the narrowest of two columns
	belowPanel = 112.0 // height of the panel below the map on a tall sheet
	lowPanel   = 78.0  // the same on a wide one
	panelGap   = 3.0
	columnGap  = 4.0
	mapPadding = 4.0 // kept free round the plan inside the map
)

// Options say how sheets are wanted.
type Options struct {
	Paper Paper
	// Scale is N of 1:N, 0 for the largest round scale that fits one sheet.
	Scale float64
	// TurnDeg is how far the plan is turned on the paper, clockwise. With
	// TurnAuto it is turned as little as wins a larger scale, or spares sheets,
	// and else not at all.
	TurnDeg  float64
	TurnAuto bool
	// For is whom the sheet is for, which decides what it lists; "" for
	// everything.
	For Audience

	// double is the width of each of two columns of lists beside the map, on
	// paper wide enough, 0 for one column.
	double float64
	// only is the number, from 1, of the one shape to lay out, 0 for the best.
	only int
}

// shape is the map's rectangle on a sheet.
type shape struct {
	landscape  bool
	side       bool    // the panel stands beside the map, not below
	wide       bool    // the panel beside it is wide
	double     float64 // and has two columns of this width
	w, h       float64 // of the sheet
	x, y       float64 // of the map
	mapW, mapH float64
}

// shapeCount is how many ways there are to share a sheet.
const shapeCount = 5

// shapes are the ways to share a sheet between map and panel: for plans about
// as wide as high first, then for tall and for wide ones.
func (o Options) shapes() []shape {
	p := o.Paper
	var out []shape
	all := [shapeCount]shape{{landscape: true, side: true, wide: true}, {landscape: true, side: true}, {}, {side: true}, {landscape: true}}
	list := all[:]
	switch {
	case o.double > 0:
		list = []shape{{landscape: true, side: true, wide: true, double: o.double}}
	case o.only > 0:
		list = all[o.only-1 : o.only]
	}
	for _, s := range list {
		s.w, s.h = p.W, p.H
		if s.landscape {
			s.w, s.h = p.H, p.W
		}
		if s.wide && s.w <= wideFrom {
			continue
		}
		s.x, s.y = margin+frameBand, margin+frameBand
		s.mapW, s.mapH = s.w-2*(margin+frameBand), s.h-2*(margin+frameBand)
		if s.side {
			s.mapW -= s.panel() + panelGap
		} else {
			s.mapH -= s.panel() + panelGap
		}
		out = append(out, s)
	}
	return out
}

// panel is the width of the panel beside the map, or its height below.
func (s shape) panel() float64 {
	switch {
	case s.double > 0:
		return 2*s.double + columnGap
	case s.wide:
		return widePanel
	case s.side:
		return sidePanel
	case s.landscape:
		return lowPanel
	}
	return belowPanel
}

// layout is which part of the ground each map sheet shows.
type layout struct {
	shape shape
	scale float64
	// tiles are the parts of the ground, in reading order; more than one when
	// the plan does not fit.
	tiles    []orb.Bound
	overview float64 // scale of the index, 0 without one
	whole    orb.Bound
}

func (s shape) ground(scale float64) (w, h float64) {
	return (s.mapW - 2*mapPadding) * scale / 1000, (s.mapH - 2*mapPadding) * scale / 1000
}

// fits returns the largest round scale at which the box fits the map.
func (s shape) fits(b orb.Bound) (float64, bool) {
	for _, n := range RoundScales() {
		w, h := s.ground(n)
		if b.Max[0]-b.Min[0] <= w && b.Max[1]-b.Min[1] <= h {
			return n, true
		}
	}
	return 0, false
}

// smallestBox keeps a plan of one point from being drawn at 1:10, and leaves
// round what is a metre wide some ground to find it by.
const smallestBox = 2.0 // metres

// grown is a box that is not smaller than that. A box without any size, which
// is one point, gets ten times as much.
func grown(b orb.Bound) orb.Bound {
	least := smallestBox
	if b.Max[0]-b.Min[0] <= 0 && b.Max[1]-b.Min[1] <= 0 {
		least = 10 * smallestBox
	}
	for axis := range 2 {
		if grow := least - (b.Max[axis] - b.Min[axis]); grow > 0 {
			b.Min[axis] -= grow / 2
			b.Max[axis] += grow / 2
		}
	}
	return b
}

func (d *Drawing) layout(o Options) (*layout, error) {
	b, ok := d.bounds()
	if !ok {
		b = orb.Bound{}
	}
	b = grown(b)
	tall := b.Max[1]-b.Min[1] > b.Max[0]-b.Min[0]
	var l *layout
	for _, s := range o.shapes() {
		n, ok := s.fits(b)
		if !ok {
			continue
		}
		// At the same scale the sheet stands as the plan does.
		if l == nil || n < l.scale || n == l.scale && l.shape.landscape == tall && s.landscape != tall {
			l = &layout{shape: s, scale: n, whole: b}
		}
	}
	if l == nil {
		return nil, fmt.Errorf("the plan is %.0f by %.0f m, too wide for a sheet at 1:%d", b.Max[0]-b.Min[0], b.Max[1]-b.Min[1], MaxScale)
	}
	if o.Scale == 0 || o.Scale >= l.scale {
		if o.Scale != 0 {
			l.scale = o.Scale
		}
		l.tiles = []orb.Bound{centred(b.Center(), l.shape, l.scale)}
		return l, nil
	}
	// The plan does not fit one sheet at that scale: the shape that takes the
	// fewest.
	r1, c1 := 0, 0
	for _, s := range o.shapes() {
		w, h := s.ground(o.Scale)
		r, c := int(math.Ceil((b.Max[1]-b.Min[1])/h)), int(math.Ceil((b.Max[0]-b.Min[0])/w))
		if n, ok := s.fits(b); ok && (r1 == 0 || r*c < r1*c1) {
			r1, c1 = r, c
			l.shape, l.overview = s, n
		}
	}
	l.scale = o.Scale
	if r1*c1 > 10*MaxSheets {
		return nil, tooMany(r1*c1, o)
	}
	w, h := l.shape.ground(o.Scale)
	// Centred, so that the rest is shared between the outer sheets.
	x0 := b.Center()[0] - float64(c1)*w/2
	y1 := b.Center()[1] + float64(r1)*h/2
	for r := range r1 {
		for c := range c1 {
			inner := orb.Bound{Min: orb.Point{x0 + float64(c)*w, y1 - float64(r+1)*h}, Max: orb.Point{x0 + float64(c+1)*w, y1 - float64(r)*h}}
			if d.touches(inner) {
				l.tiles = append(l.tiles, centred(inner.Center(), l.shape, o.Scale))
			}
		}
	}
	if len(l.tiles) > MaxSheets-1 {
		return nil, tooMany(len(l.tiles), o)
	}
	return l, nil
}

func tooMany(n int, o Options) error {
	return fmt.Errorf("at 1:%.0f on %s the plan takes %d sheets; the most are %d, so take a smaller scale or larger paper", o.Scale, o.Paper.Name, n, MaxSheets)
}

// centred is the ground that a map shows, its padding included.
func centred(at orb.Point, s shape, scale float64) orb.Bound {
	w, h := s.mapW*scale/1000, s.mapH*scale/1000
	return orb.Bound{Min: orb.Point{at[0] - w/2, at[1] - h/2}, Max: orb.Point{at[0] + w/2, at[1] + h/2}}
}

// touches reports whether anything may be seen in the box: a vertex in it, a
// line through it, or an area round it.
func (d *Drawing) touches(b orb.Bound) bool {
	for i := range d.Features {
		f := &d.Features[i]
		if !f.bound().Intersects(b) {
			continue
		}
		for _, a := range f.Areas {
			if areaTouches(a, b) {
				return true
			}
		}
		for _, l := range f.Lines {
			if lineTouches(l, b) {
				return true
			}
		}
		for _, p := range f.Points {
			r := 0.0
			if f.RadiusM > 0 {
				r = f.RadiusM
			}
			if b.Pad(r).Contains(p) {
				return true
			}
		}
	}
	return false
}

func areaTouches(a orb.Polygon, b orb.Bound) bool {
	for _, r := range a {
		if lineTouches(orb.LineString(r), b) {
			return true
		}
	}
	return insideRings(b.Center(), a)
}

func lineTouches(l orb.LineString, b orb.Bound) bool {
	for i, p := range l {
		if b.Contains(p) {
			return true
		}
		if i > 0 && segmentTouches(l[i-1], p, b) {
			return true
		}
	}
	return false
}

// segmentTouches reports whether any of a segment lies in a box.
func segmentTouches(p, q orb.Point, b orb.Bound) bool {
	t0, t1 := segmentSpan(p, q, b)
	return t0 <= t1
}

// segmentSpan is the part of a segment that lies in a box, as shares of its
// length; t1 is less than t0 for none (Liang and Barsky, 1984).
func segmentSpan(p, q orb.Point, b orb.Bound) (t0, t1 float64) {
	t0, t1 = 0, 1
	for axis := range 2 {
		d := q[axis] - p[axis]
		if d == 0 {
			if p[axis] < b.Min[axis] || p[axis] > b.Max[axis] {
				return 1, 0
			}
			continue
		}
		a, z := (b.Min[axis]-p[axis])/d, (b.Max[axis]-p[axis])/d
		if a > z {
			a, z = z, a
		}
		t0, t1 = math.Max(t0, a), math.Min(t1, z)
	}
	return t0, t1
}

// insideRings is the even-odd test over all rings of an area.
func insideRings(p orb.Point, a orb.Polygon) bool {
	in := false
	for _, r := range a {
		for i := range r {
			u, v := r[i], r[(i+1)%len(r)]
			if (u[1] > p[1]) != (v[1] > p[1]) && p[0] < u[0]+(v[0]-u[0])*(p[1]-u[1])/(v[1]-u[1]) {
				in = !in
			}
		}
	}
	return in
}
