// HATCH: the boundary paths of a filled area, as rings.

package dxf

import (
	"math"

	"swardline/convert/dxf/curve"
)

// mostHatchRings is a cap against hostile input: rings are nested by looking at
// every pair.
const mostHatchRings = 20000

// hatchEntity reads the boundary paths. The groups run in a fixed order, so a
// cursor walks them.
func (r *reader) hatchEntity(sh *shape) bool {
	sh.kind = kindArea
	h := hatchReader{r: r, sh: sh, gs: r.gs}
	for h.i < len(h.gs) && h.gs[h.i].code != 91 {
		if g := h.gs[h.i]; g.code == 30 {
			h.elevation = r.float(g)
		}
		h.i++
	}
	if h.i == len(h.gs) {
		return r.damaged(sh, "it has no boundary")
	}
	count := r.int(h.gs[h.i])
	h.i++
	if count > mostHatchRings {
		return r.damaged(sh, "its boundary has %d parts, more than %d", count, mostHatchRings)
	}
	for k := 0; k < count && h.i < len(h.gs) && r.bad == nil; k++ {
		if !h.path() {
			break
		}
	}
	for ; h.i < len(h.gs); h.i++ {
		if g := h.gs[h.i]; g.code == 75 {
			sh.hatch = r.int(g)
			break
		}
	}
	if r.bad != nil {
		return false
	}
	if sh.n == 0 {
		return r.damaged(sh, "its boundary makes no area")
	}
	return true
}

type hatchReader struct {
	r         *reader
	sh        *shape
	gs        []group
	i         int
	elevation float64
}

// find moves to the next group of the code, which must come before any of stop.
func (h *hatchReader) find(code int32, stop ...int32) bool {
	for ; h.i < len(h.gs); h.i++ {
		c := h.gs[h.i].code
		if c == code {
			return true
		}
		for _, s := range stop {
			if c == s {
				return false
			}
		}
	}
	return false
}

// take returns the group at the cursor when it has the code, and moves on.
func (h *hatchReader) take(code int32) (g group, ok bool) {
	if h.i < len(h.gs) && h.gs[h.i].code == code {
		h.i++
		return h.gs[h.i-1], true
	}
	return g, false
}

func (h *hatchReader) number(code int32, fallback float64) float64 {
	if g, ok := h.take(code); ok {
		return h.r.float(g)
	}
	return fallback
}

func (h *hatchReader) pair(code int32) (p point, ok bool) {
	g, ok := h.take(code)
	if !ok {
		return p, false
	}
	p[0] = h.r.float(g)
	p[1] = h.number(code+10, 0)
	p[2] = h.elevation
	return p, true
}

// path reads one boundary path; false when the list of paths has ended early.
func (h *hatchReader) path() bool {
	r := h.r
	if !h.find(92, 75, 76, 98) {
		return false
	}
	flags := r.int(h.gs[h.i])
	h.i++
	p := h.sh.add()
	p.closed = true
	ok := true
	if flags&2 != 0 {
		ok = h.polyline(p)
	} else {
		ok = h.edges(p)
	}
	if flags&8 != 0 { // the box round a text, cut out of the pattern only
		ok = false
		r.tally.Add("hatch-textbox", h.sh.line, "", "the HATCH in line %d leaves out boxes round texts; they are no holes in the ground", h.sh.line)
	}
	if !ok {
		h.sh.n--
	}
	return true
}

func (h *hatchReader) polyline(p *path) bool {
	if !h.find(93, 92, 75) {
		return false
	}
	n := h.r.int(h.gs[h.i])
	h.i++
	c := p.add()
	for k := 0; k < n && h.r.bad == nil; k++ {
		v, ok := h.pair(10)
		if !ok {
			break
		}
		c.vertex(v)
		c.bulge(h.number(42, 0))
	}
	return len(c.verts) > 1
}

func (h *hatchReader) edges(p *path) bool {
	r := h.r
	if !h.find(93, 92, 75) {
		return false
	}
	n := r.int(h.gs[h.i])
	h.i++
	for k := 0; k < n && r.bad == nil; k++ {
		if !h.find(72, 92, 97, 75) {
			break
		}
		kind := r.int(h.gs[h.i])
		h.i++
		switch kind {
		case 1:
			a, ok1 := h.pair(10)
			b, ok2 := h.pair(11)
			if ok1 && ok2 {
				c := p.add()
				c.vertex(a)
				c.vertex(b)
			}
		case 2:
			centre, ok := h.pair(10)
			radius := h.number(40, 0)
			start, end := h.number(50, 0), h.number(51, 360)
			anticlockwise := h.number(73, 1) != 0
			if ok && radius > 0 {
				k := curve.Conic{C: centre, U: point{radius}, V: point{0, radius}}
				k.Start, k.Sweep = hatchAngles(start, end, anticlockwise)
				p.add().conic = &k
			}
		case 3:
			centre, ok := h.pair(10)
			major, ok2 := h.pair(11)
			ratio := h.number(40, 1)
			start, end := h.number(50, 0), h.number(51, 360)
			anticlockwise := h.number(73, 1) != 0
			major[2] = 0
			if _, long := unitVector(major); ok && ok2 && long && ratio != 0 {
				h.ellipse(p, centre, major, ratio, start, end, anticlockwise)
			}
		case 4:
			if !h.spline(p) {
				return false
			}
		}
	}
	return p.n > 0
}

// hatchAngles returns start and sweep in radians of an arc edge. A clockwise
// edge counts its angles clockwise.
func hatchAngles(start, end float64, anticlockwise bool) (from, sweep float64) {
	sweep = math.Mod(end-start, 360)
	if sweep <= 1e-9 {
		sweep += 360
	}
	sweep *= math.Pi / 180
	from = start * math.Pi / 180
	if !anticlockwise {
		return -from, -sweep
	}
	return from, sweep
}

// ellipse appends an elliptic edge. Programs disagree whether its angles are
// those of the parameter or true ones; the reading that starts nearer to the
// end of the edge before holds, true angles when there is none.
func (h *hatchReader) ellipse(p *path, centre, major point, ratio, start, end float64, anticlockwise bool) {
	k := curve.Conic{C: centre, U: major, V: point{-major[1] * ratio, major[0] * ratio}}
	asParameter, asAngle := k, k
	asParameter.Start, asParameter.Sweep = hatchAngles(start, end, anticlockwise)
	trueStart, trueEnd := parameterOf(start, ratio), parameterOf(end, ratio)
	asAngle.Start, asAngle.Sweep = hatchAngles(trueStart, trueEnd, anticlockwise)
	if p.n > 0 {
		last := p.pieces[p.n-1].end()
		if distance2(asParameter.At(asParameter.Start), last) < distance2(asAngle.At(asAngle.Start), last) {
			asAngle = asParameter
		}
	}
	p.add().conic = &asAngle
}

// parameterOf returns the parameter, in degrees, of the point that is seen from
// the centre at an angle, in degrees, from the major axis.
func parameterOf(angle, ratio float64) float64 {
	turns := math.Floor((angle + 180) / 360)
	a := angle * math.Pi / 180
	return math.Atan2(math.Sin(a), math.Abs(ratio)*math.Cos(a))*180/math.Pi + 360*turns
}

func (h *hatchReader) spline(p *path) bool {
	r := h.r
	s := &curve.Spline{Degree: int(h.number(94, 3))}
	h.number(73, 0)
	closed := h.number(74, 0) != 0
	knots, points := int(h.number(95, 0)), int(h.number(96, 0))
	for k := 0; k < knots; k++ {
		g, ok := h.take(40)
		if !ok {
			break
		}
		s.Knots = append(s.Knots, r.float(g))
	}
	for k := 0; k < points; k++ {
		v, ok := h.pair(10)
		if !ok {
			break
		}
		s.Points = append(s.Points, v)
		if g, ok := h.take(42); ok {
			s.Weights = append(s.Weights, r.float(g))
		}
	}
	var fit []point
	if g, ok := h.take(97); ok {
		for n := r.int(g); n > 0; n-- {
			v, ok := h.pair(11)
			if !ok {
				break
			}
			fit = append(fit, v)
		}
	}
	return r.bad == nil && r.finishSpline(h.sh, p, s, fit, [2]*point{}, closed && p.n == 0)
}

// end returns where a piece ends.
func (c *piece) end() point {
	switch {
	case c.conic != nil:
		return c.conic.At(c.conic.Start + c.conic.Sweep)
	case c.spline != nil:
		return c.spline.Points[len(c.spline.Points)-1]
	}
	return c.verts[len(c.verts)-1]
}

func distance2(a, b point) float64 {
	return (a[0]-b[0])*(a[0]-b[0]) + (a[1]-b[1])*(a[1]-b[1])
}
