// Flattening: from the pieces of a path to points, and what keeps their curves.

package dxf

import (
	"fmt"
	"math"

	"swardline/convert/dxf/curve"
)

// flattener is one path on its way to points, which stand in r.points from
// start.
type flattener struct {
	*reader
	sh                *shape
	p                 *path
	m                 *affine
	start             int
	single            bool // the path is one piece
	mirrored, similar bool // what m does to the plane
	out               ring
	// Of the whole path, for paths of several pieces or with bulges.
	bulges   []float64
	segments []int
	bent     bool
}

// flatten appends one path to d.rings.
func (r *reader) flatten(d *drawn, p *path, m *affine) error {
	f := flattener{reader: r, sh: d.sh, p: p, m: m, start: len(r.points), single: p.n == 1}
	_, f.mirrored, f.similar = m.plane()
	for i := range p.pieces[:p.n] {
		c := &p.pieces[i]
		f.join(c)
		var err error
		switch {
		case c.conic != nil:
			err = f.conic(c.conic)
		case c.spline != nil:
			err = f.spline(c.spline)
		default:
			err = f.polyline(c)
		}
		if err != nil {
			return err
		}
	}
	f.close()
	if f.bent {
		f.out.curve, f.out.curved = curve.Curve{Type: curve.Bulges, Bulges: f.bulges, Segments: f.segments}, true
	}
	for _, q := range f.out.points {
		if !finite(q) {
			return r.fault(f.sh.line, fmt.Sprintf("the %s draws points past the range of numbers", f.sh.etype), "check the drawing's unit and the scale of its blocks")
		}
	}
	d.rings = append(d.rings, f.out)
	return nil
}

// straight counts n segments without a bend.
func (f *flattener) straight(n int) {
	for ; n > 0; n-- {
		f.bulges, f.segments = append(f.bulges, 0), append(f.segments, 1)
	}
}

// hint is how many chords part i of a curve was written with, n when nobody
// says.
func (f *flattener) hint(i, n int) int {
	if f.sh.hasOwn && !f.chordTold && i < len(f.sh.own.segments) {
		return f.sh.own.segments[i]
	}
	return n
}

// join makes the next piece start where the one before ends, but for rounding.
func (f *flattener) join(c *piece) {
	if f.single || len(f.points) == f.start {
		return
	}
	first, last := f.m.apply(c.first()), f.points[len(f.points)-1]
	if gap := distance3(first, last); gap > joinTolerance {
		f.tally.Add("hatch-gap", f.sh.line, "", "the outline of the %s in line %d has a gap of %.3g m, which is closed by a straight line", f.sh.etype, f.sh.line, gap)
		f.straight(1)
		return
	}
	f.points = f.points[:len(f.points)-1]
}

// conic appends an arc, circle or ellipse.
func (f *flattener) conic(c *curve.Conic) error {
	k := curve.Conic{C: f.m.apply(c.C), U: f.m.direction(c.U), V: f.m.direction(c.V), Start: c.Start, Sweep: c.Sweep}
	n := f.hint(0, k.Steps(f.chord))
	form, ok := curve.FromConic(k, n)
	level := ok && k.U[2] == 0 && k.V[2] == 0
	arc := level && form.Type != curve.Ellipse
	parts := 1
	if !f.single && arc && math.Abs(form.Sweep) > 1.5*math.Pi {
		parts = 2 // two bulges: one alone is near a full turn
		n += n % 2
	}
	if err := f.count(n+1, f.sh); err != nil {
		return err
	}
	f.points = k.Append(f.points, n)
	switch {
	case f.single:
		form.Segments = []int{n}
		f.out.curve, f.out.curved = form, level
	case arc:
		for range parts {
			f.bulges, f.segments = append(f.bulges, math.Tan(form.Sweep/float64(parts)/4)), append(f.segments, n/parts)
		}
		f.bent = true
	default:
		f.straight(n)
	}
	return nil
}

// spline appends a spline.
func (f *flattener) spline(c *curve.Spline) error {
	s := *c
	s.Points = make([]point, len(c.Points))
	level := true
	for i, q := range c.Points {
		s.Points[i] = f.m.apply(q)
		level = level && s.Points[i][2] == s.Points[0][2]
	}
	steps := s.Steps(f.chord)
	total := 1
	for i := range steps {
		steps[i] = f.hint(i, steps[i])
		total += steps[i]
	}
	if err := f.count(total, f.sh); err != nil {
		return err
	}
	f.points = s.Append(f.points, steps)
	if !f.single {
		f.straight(total - 1)
		return nil
	}
	flat := s
	if level {
		flat.Points = make([]point, len(s.Points))
		for i, q := range s.Points {
			flat.Points[i] = point{q[0], q[1]}
		}
	}
	f.out.curve, f.out.curved = curve.Curve{Type: curve.Splines, Spline: &flat, Segments: steps}, level
	return nil
}

// polyline appends straight lines and bulges.
func (f *flattener) polyline(c *piece) error {
	if err := f.count(len(c.verts)+1, f.sh); err != nil {
		return err
	}
	if c.bulges == nil {
		for _, v := range c.verts {
			f.points = append(f.points, f.m.apply(v))
		}
		if !f.single {
			f.straight(len(c.verts) - 1)
		}
		return nil
	}
	n := len(c.verts)
	legs := n - 1
	if f.p.closed && f.single && (c.verts[0] != c.verts[n-1] || c.bulgeAt(n-1) != 0 || f.sh.hasOwn) {
		legs = n
	}
	first := f.m.apply(c.verts[0])
	f.points = append(f.points, first)
	for k := 0; k < legs; k++ {
		to := first
		if k+1 < n {
			to = f.m.apply(c.verts[k+1])
		}
		if err := f.leg(k, c.verts[k], c.verts[(k+1)%n], c.bulgeAt(k), to); err != nil {
			return err
		}
	}
	return nil
}

// leg appends the way from a to b, which stands at to.
func (f *flattener) leg(k int, a, b point, bulge float64, to point) error {
	from := f.points[len(f.points)-1]
	switch {
	case bulge == 0 || a == b:
		f.points = append(f.points, to)
		f.straight(1)
	case f.similar:
		if f.mirrored {
			bulge = -bulge
		}
		steps := f.hint(k, curve.BulgeSteps(from, to, bulge, f.chord))
		if err := f.count(steps, f.sh); err != nil {
			return err
		}
		f.points = curve.AppendBulge(f.points, from, to, bulge, steps)
		f.bulges, f.segments = append(f.bulges, bulge), append(f.segments, steps)
		f.bent = true
	default: // the arc becomes that of an ellipse, which a bulge cannot say
		arc := curve.BulgeArc(a, b, bulge)
		arc.C, arc.U, arc.V = f.m.apply(arc.C), f.m.direction(arc.U), f.m.direction(arc.V)
		steps := arc.Steps(f.chord)
		if err := f.count(steps, f.sh); err != nil {
			return err
		}
		f.points = arc.Append(f.points[:len(f.points)-1], steps)
		f.points[len(f.points)-steps-1] = from
		f.points[len(f.points)-1] = to
		f.straight(steps)
	}
	return nil
}

// close settles whether the path is closed, and closes what is.
func (f *flattener) close() {
	p, sh, out := f.p, f.sh, &f.out
	out.points = f.points[f.start:]
	n := len(out.points)
	if p.closed && n > 1 {
		first, last := out.points[0], out.points[n-1]
		switch gap := distance3(first, last); {
		case gap == 0 && !(sh.hasOwn && f.bulges == nil && len(p.pieces[0].verts) > 0):
			// Many programs close a polyline twice, by its flag and by its last
			// vertex; this one does not.
		case f.single && p.pieces[0].spline != nil && gap > joinTolerance && sh.kind == kindPath:
			f.tally.Add("spline-open", sh.line, "", "the %s in line %d is marked as closed, but its ends are %.3g m apart; it is read as an open line", sh.etype, sh.line, gap)
			p.closed = false
		case gap <= joinTolerance && n > 3 && !(f.single && p.pieces[0].conic == nil && p.pieces[0].spline == nil):
			out.points[n-1] = first
		default:
			f.points = append(f.points, first)
			out.points = f.points[f.start:]
			if f.bulges != nil {
				f.straight(1)
			}
		}
		out.closed = p.closed
	}
	if !p.closed && !sh.hasOwn && n > 3 && sh.kind == kindPath {
		// A line much longer than the gap: a short arc of a small thing stays
		// open.
		if gap := distance3(out.points[0], out.points[n-1]); gap <= joinTolerance && gap <= pathLength(out.points)/100 {
			if gap > 0 {
				f.tally.Add("ring-snapped", sh.line, "", "the ends of the %s in line %d are %.2g m apart; it is read as closed", sh.etype, sh.line, gap)
				out.points[n-1] = out.points[0]
			}
			out.closed = true
		}
	}
}
