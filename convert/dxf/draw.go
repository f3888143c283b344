// Drawing: shapes are placed, blocks expanded and curves flattened into vertices
// in metres.

package dxf

import (
	"fmt"
	"math"
	"strings"

	"swardline/convert/dxf/curve"
)

// joinTolerance is the gap, in metres, up to which an outline's ends count as
// the same place: a fifth of the chord error, below anything that is staked out.
const joinTolerance = 0.001

// place is where and how a shape is drawn: in the model space, or inside inserts.
type place struct {
	m        affine // from drawn coordinates to metres
	layer    *layer // of the insert, for what stands on layer 0
	colour   int    // of the insert, for what is coloured by block; ACI
	rgb      int
	lineType string
	block    string // names of the blocks it stands in, outermost first
	hidden   bool
	depth    int
}

// drawn is a shape after placing: what the reader or the inventory takes.
type drawn struct {
	sh       *shape
	layer    *layer
	colour   int
	rgb      int
	lineType string
	block    string
	hidden   bool
	at       point // of a point, text or insert
	rotation float64
	scale    float64 // of lengths in the drawing, for text heights and widths
	rings    []ring
}

// ring is one flattened path.
type ring struct {
	points []point
	closed bool // the last point is a copy of the first
	curve  curve.Curve
	curved bool // curve holds
}

// emit draws one shape.
func (r *reader) emit(sh *shape, pl *place) error {
	if sh.paper {
		r.paper++
		return nil
	}
	r.visits++
	if float64(r.visits) > r.caps.InputMaxFeatures {
		return r.fault(sh.line, fmt.Sprintf("the drawing has more than %.0f entities once its blocks are drawn, which is the limit input_max_features", r.caps.InputMaxFeatures),
			"leave out what is not needed, or raise the limit in a limits file")
	}
	d := &r.drawn
	*d = drawn{sh: sh, layer: sh.layer, colour: sh.colour, rgb: sh.rgb, lineType: sh.lineType, block: pl.block, hidden: sh.hidden || pl.hidden, rings: d.rings[:0]}
	if pl.depth > 0 && sh.layer.name == "0" {
		d.layer = pl.layer
	}
	switch {
	case sh.rgb >= 0:
	case sh.colour == 256:
		d.colour, d.rgb = d.layer.colour, d.layer.rgb
	case sh.colour == 0:
		d.colour, d.rgb = pl.colour, pl.rgb
	}
	switch strings.ToUpper(sh.lineType) {
	case "", "BYLAYER":
		d.lineType = d.layer.lineType
	case "BYBLOCK":
		d.lineType = pl.lineType
	}
	m := &pl.m
	if sh.hasNormal {
		ocs, _ := axes(sh.normal)
		turned := pl.m.after(&ocs)
		m = &turned
	}
	switch sh.kind {
	case kindInsert:
		return r.insert(sh, pl, m)
	case kindPoint, kindText:
		d.at = m.apply(sh.at)
		s, c := math.Sincos(sh.rotation)
		along := m.direction(point{c, s})
		d.rotation = math.Atan2(along[1], along[0])
		d.scale = math.Sqrt(along[0]*along[0] + along[1]*along[1] + along[2]*along[2])
		if err := r.count(1, sh); err != nil {
			return err
		}
		return r.out(d)
	}
	along := m.direction(point{1})
	d.scale = math.Sqrt(along[0]*along[0] + along[1]*along[1] + along[2]*along[2])
	r.points = r.points[:0]
	for i := range sh.paths[:sh.n] {
		if err := r.flatten(d, &sh.paths[i], m); err != nil {
			return err
		}
	}
	return r.out(d)
}

// count holds the cap on vertices before they are made.
func (r *reader) count(n int, sh *shape) error {
	r.vertexCount += float64(n)
	if r.vertexCount > r.caps.InputMaxVertices {
		return r.fault(sh.line, fmt.Sprintf("the drawing has more than %.0f vertices once its curves and blocks are drawn, which is the limit input_max_vertices", r.caps.InputMaxVertices),
			"check its unit, leave out what is not needed, allow a larger chord error, or raise the limit in a limits file")
	}
	return nil
}

// flatten appends one path to d.rings.
func (r *reader) flatten(d *drawn, p *path, m *affine) error {
	start := len(r.points)
	sh := d.sh
	var out ring
	_, mirrored, similar := m.plane()
	single := p.n == 1
	var bulges []float64 // of the whole chain, for chains of several pieces or with bulges
	var segments []int
	bent := false
	straight := func(n int) {
		for ; n > 0; n-- {
			bulges, segments = append(bulges, 0), append(segments, 1)
		}
	}
	hint := func(i, n int) int {
		if sh.hasOwn && !r.chordTold && i < len(sh.own.segments) {
			return sh.own.segments[i]
		}
		return n
	}
	for i := range p.pieces[:p.n] {
		c := &p.pieces[i]
		if !single && len(r.points) > start {
			// The next piece starts where this one ends, but for rounding.
			first, last := m.apply(c.first()), r.points[len(r.points)-1]
			if gap := distance3(first, last); gap > joinTolerance {
				r.tally.Add("hatch-gap", sh.line, "", "the outline of the %s in line %d has a gap of %.3g m, which is closed by a straight line", sh.etype, sh.line, gap)
				straight(1)
			} else {
				r.points = r.points[:len(r.points)-1]
			}
		}
		switch {
		case c.conic != nil:
			k := curve.Conic{C: m.apply(c.conic.C), U: m.direction(c.conic.U), V: m.direction(c.conic.V), Start: c.conic.Start, Sweep: c.conic.Sweep}
			n := hint(0, k.Steps(r.chord))
			f, ok := curve.FromConic(k, n)
			level := ok && k.U[2] == 0 && k.V[2] == 0
			if !single && level && f.Type != curve.Ellipse && math.Abs(f.Sweep) > 1.5*math.Pi && n%2 == 1 {
				n++ // cut in two halves below
			}
			if err := r.count(n+1, sh); err != nil {
				return err
			}
			r.points = k.Append(r.points, n)
			switch {
			case single:
				f.Segments = []int{n}
				out.curve, out.curved = f, level
			case level && f.Type != curve.Ellipse:
				parts := 1
				if math.Abs(f.Sweep) > 1.5*math.Pi {
					parts = 2
				}
				for h := 0; h < parts; h++ {
					bulges, segments = append(bulges, math.Tan(f.Sweep/float64(parts)/4)), append(segments, n/parts)
				}
				bent = true
			default:
				straight(n)
			}
		case c.spline != nil:
			s := *c.spline
			s.Points = make([]point, len(c.spline.Points))
			level := true
			for i, q := range c.spline.Points {
				s.Points[i] = m.apply(q)
				level = level && s.Points[i][2] == s.Points[0][2]
			}
			steps := s.Steps(r.chord)
			total := 1
			for i := range steps {
				steps[i] = hint(i, steps[i])
				total += steps[i]
			}
			if err := r.count(total, sh); err != nil {
				return err
			}
			r.points = s.Append(r.points, steps)
			if single {
				flat := s
				if level {
					flat.Points = make([]point, len(s.Points))
					for i, q := range s.Points {
						flat.Points[i] = point{q[0], q[1]}
					}
				}
				out.curve, out.curved = curve.Curve{Type: curve.Splines, Spline: &flat, Segments: steps}, level
			} else {
				straight(total - 1)
			}
		default:
			if err := r.count(len(c.verts)+1, sh); err != nil {
				return err
			}
			if c.bulges == nil {
				for _, v := range c.verts {
					r.points = append(r.points, m.apply(v))
				}
				if !single {
					straight(len(c.verts) - 1)
				}
				break
			}
			side := 1.0
			if mirrored {
				side = -1
			}
			n := len(c.verts)
			legs := n - 1
			if p.closed && single && (c.verts[0] != c.verts[n-1] || c.bulgeAt(n-1) != 0 || sh.hasOwn) {
				legs = n
			}
			first := m.apply(c.verts[0])
			r.points = append(r.points, first)
			for k := 0; k < legs; k++ {
				a, b := c.verts[k], c.verts[(k+1)%n]
				from, to := r.points[len(r.points)-1], first
				if k+1 < n {
					to = m.apply(b)
				}
				bulge := c.bulgeAt(k)
				switch {
				case bulge == 0 || a == b:
					r.points = append(r.points, to)
					straight(1)
				case similar:
					steps := hint(k, curve.BulgeSteps(from, to, bulge, r.chord))
					if err := r.count(steps, sh); err != nil {
						return err
					}
					r.points = curve.AppendBulge(r.points, from, to, side*bulge, steps)
					bulges, segments = append(bulges, side*bulge), append(segments, steps)
					bent = true
				default: // the arc becomes that of an ellipse, which a bulge cannot say
					arc := curve.BulgeArc(a, b, bulge)
					arc.C, arc.U, arc.V = m.apply(arc.C), m.direction(arc.U), m.direction(arc.V)
					steps := arc.Steps(r.chord)
					if err := r.count(steps, sh); err != nil {
						return err
					}
					r.points = arc.Append(r.points[:len(r.points)-1], steps)
					r.points[len(r.points)-steps-1] = from
					r.points[len(r.points)-1] = to
					straight(steps)
				}
			}
		}
	}
	out.points = r.points[start:]
	n := len(out.points)
	if p.closed && n > 1 {
		first, last := out.points[0], out.points[n-1]
		switch gap := distance3(first, last); {
		case gap == 0 && !(sh.hasOwn && bulges == nil && len(p.pieces[0].verts) > 0):
			// Many programs close a polyline twice, by its flag and by its last vertex;
			// this one does not.
		case single && p.pieces[0].spline != nil && gap > joinTolerance && sh.kind == kindPath:
			r.tally.Add("spline-open", sh.line, "", "the %s in line %d is marked as closed, but its ends are %.3g m apart; it is read as an open line", sh.etype, sh.line, gap)
			p.closed = false
		case gap <= joinTolerance && n > 3 && !(single && p.pieces[0].conic == nil && p.pieces[0].spline == nil):
			out.points[n-1] = first
		default:
			r.points = append(r.points, first)
			out.points = r.points[start:]
			if bulges != nil {
				straight(1)
			}
		}
		out.closed = p.closed
	}
	if !p.closed && !sh.hasOwn && n > 3 && sh.kind == kindPath {
		// A line much longer than the gap: a short arc of a small thing stays open.
		if gap := distance3(out.points[0], out.points[n-1]); gap <= joinTolerance && gap <= pathLength(out.points)/100 {
			if gap > 0 {
				r.tally.Add("ring-snapped", sh.line, "", "the ends of the %s in line %d are %.2g m apart; it is read as closed", sh.etype, sh.line, gap)
				out.points[n-1] = out.points[0]
			}
			out.closed = true
		}
	}
	if bent {
		out.curve, out.curved = curve.Curve{Type: curve.Bulges, Bulges: bulges, Segments: segments}, true
	}
	for _, q := range out.points {
		if !finite(q) {
			return r.fault(sh.line, fmt.Sprintf("the %s draws points past the range of numbers", sh.etype), "check the drawing's unit and the scale of its blocks")
		}
	}
	d.rings = append(d.rings, out)
	return nil
}

func pathLength(points []point) float64 {
	sum := 0.0
	for i := 1; i < len(points); i++ {
		sum += distance3(points[i-1], points[i])
	}
	return sum
}

func finite(p point) bool {
	const most = 1e15 // metres; past this a double holds no decimetres
	return math.Abs(p[0]) < most && math.Abs(p[1]) < most && math.Abs(p[2]) < most
}

// first returns where a piece starts.
func (c *piece) first() point {
	switch {
	case c.conic != nil:
		return c.conic.At(c.conic.Start)
	case c.spline != nil:
		return c.spline.Points[0]
	}
	return c.verts[0]
}

func (c *piece) bulgeAt(i int) float64 {
	if i < len(c.bulges) {
		return c.bulges[i]
	}
	return 0
}

func distance3(a, b point) float64 {
	return math.Sqrt((a[0]-b[0])*(a[0]-b[0]) + (a[1]-b[1])*(a[1]-b[1]) + (a[2]-b[2])*(a[2]-b[2]))
}

// insert draws an INSERT: a point for each copy, and what its block holds. m
// maps the insert's own system to metres.
func (r *reader) insert(sh *shape, pl *place, m *affine) error {
	in := sh.ins
	d := r.drawn // copied: drawing the content overwrites it
	name := in.name
	if d.block != "" {
		name = d.block + "/" + name
	}
	b := r.blocks[strings.ToUpper(in.name)]
	if float64(in.cols)*float64(in.rows) > r.caps.InputMaxFeatures {
		return r.fault(sh.line, fmt.Sprintf("the INSERT repeats its block %d times %d, more than the limit input_max_features", in.cols, in.rows), "the file is damaged, or raise the limit in a limits file")
	}
	content := false
	switch {
	case sh.hasOwn || r.ours && isSymbol(in.name): // that of a point, which is all there is to it
	case b == nil:
		r.tally.Add("block-missing", sh.line, "", "the block %q that the INSERT in line %d names is not in the file; only its place is read", in.name, sh.line)
	case b.external:
		r.tally.Add("block-external", sh.line, "", "the block %q stands in another file, which is not read; only its place is", in.name)
	case b.drawing:
		r.tally.Add("block-cycle", sh.line, "", "the block %q contains itself (by way of %s); the inner one is left out", in.name, name)
	case float64(pl.depth) >= r.caps.InputMaxRecursion:
		r.tally.Add("block-depth", sh.line, "", "blocks are nested more than %.0f deep (the limit input_max_recursion) at %s; what is deeper is left out", r.caps.InputMaxRecursion, clip(name))
	case in.scale[0] == 0 || in.scale[1] == 0:
		r.tally.Add("block-scale", sh.line, "", "the INSERT in line %d has a scale of 0; only its place is read", sh.line)
	default:
		content = true
		b.inserted++
	}
	s, c := math.Sincos(in.rotation)
	turn := affine{a: [3][3]float64{{c, -s, 0}, {s, c, 0}, {0, 0, 1}}}
	scale := affine{a: [3][3]float64{{in.scale[0], 0, 0}, {0, in.scale[1], 0}, {0, 0, in.scale[2]}}}
	for row := 0; row < in.rows; row++ {
		for col := 0; col < in.cols; col++ {
			// base point to the origin, scale, step of the array, turn, insertion point
			cell := turn.direction(point{float64(col) * in.dx, float64(row) * in.dy})
			local := turn.after(&scale)
			for i := range local.t {
				local.t[i] = sh.at[i] + cell[i]
			}
			full := m.after(&local)
			if row+col > 0 {
				r.visits++
			}
			if float64(r.visits) > r.caps.InputMaxFeatures {
				return r.fault(sh.line, fmt.Sprintf("the drawing has more than %.0f entities once its blocks are drawn, which is the limit input_max_features", r.caps.InputMaxFeatures),
					"leave out what is not needed, or raise the limit in a limits file")
			}
			point0 := d
			point0.at = full.t
			along := full.direction(point{1})
			point0.rotation = math.Atan2(along[1], along[0])
			point0.block = name
			if err := r.count(1, sh); err != nil {
				return err
			}
			if err := r.out(&point0); err != nil {
				return err
			}
			if !content {
				continue
			}
			back := shift(point{-b.base[0], -b.base[1], -b.base[2]})
			inner := place{m: full.after(&back), layer: d.layer, colour: d.colour, rgb: d.rgb, lineType: d.lineType,
				block: name, hidden: d.hidden, depth: pl.depth + 1}
			if !b.parsed {
				b.parsed = true
				if err := r.each(b.content, true, func(sh *shape) error {
					b.shapes = append(b.shapes, sh)
					return nil
				}); err != nil {
					return err
				}
			}
			b.drawing = true
			for _, inside := range b.shapes {
				if err := r.emit(inside, &inner); err != nil {
					return err
				}
			}
			b.drawing = false
		}
	}
	return nil
}

// clip shortens a long block path for a message.
func clip(s string) string {
	if len(s) > 80 {
		return s[:40] + " ... " + s[len(s)-35:]
	}
	return s
}
