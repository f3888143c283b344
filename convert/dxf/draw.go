// Drawing: shapes are placed, blocks expanded and curves flattened into
// vertices in metres.

package dxf

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"swardline/convert/dxf/curve"
	"swardline/schema"
)

// joinTolerance is the gap, in metres, up to which an outline's ends count as
// the same place: a fifth of the chord error, below anything that is staked
// out.
const joinTolerance = 0.001

// place is where and how a shape is drawn: in the model space, or inside
// inserts.
type place struct {
	m        affine // from drawn coordinates to metres
	layer    *layer // of the insert, for what stands on layer 0
	colour   int    // of the insert, for what is coloured by block; ACI
	rgb      int
	lineType string
	block    string // names of the blocks it stands in, outermost first
	hidden   bool
	depth    int
	frames   []*cutter // that the blocks it stands in are clipped to
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
	end      point // of a leader
	rotation float64
	scale    float64 // of lengths in the drawing, for text heights and widths
	rings    []ring
	hatch    int // hatch style
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
		r.hearSheet(sh)
		r.farOnPaper(sh, pl)
		if sh.layer != nil {
			// A border of a sheet may well lie on BOUNDARY; nobody draws one on the others.
			switch role, off, ok := roleOfLayer(sh.layer.name); {
			case off, sh.etype == "VIEWPORT", role == schema.RoleBoundary, sh.kind == kindText:
			case !ok || !r.layersAreOurs() && role != schema.RoleHazard && role != schema.RoleKeepout:
				r.picture(sh.layer.name + ", in the paper space")
			default:
				r.tally.Add("paper-drawn", sh.line, "", "the %s in line %d lies in the paper space, on the layer %q of the role %s, and was left out: draw it in the model space, or put what only shows on the sheet on another layer", sh.etype, sh.line, sh.layer.name, role)
			}
		}
		return nil
	}
	r.visits++
	if float64(r.visits) > r.caps.InputMaxFeatures {
		return r.fault(sh.line, fmt.Sprintf("the drawing has more than %.0f entities once its blocks are drawn, which is the limit input_max_features", r.caps.InputMaxFeatures),
			"leave out what is not needed, or raise the limit in a limits file")
	}
	d := &r.drawn
	*d = drawn{sh: sh, layer: sh.layer, colour: sh.colour, rgb: sh.rgb, lineType: sh.lineType, block: pl.block, hidden: sh.hidden || pl.hidden, rings: d.rings[:0], hatch: sh.hatch}
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
		if err := r.count(1+len(sh.tips), sh); err != nil {
			return err
		}
		for _, tip := range sh.tips {
			d.at, d.end = m.apply(tip), m.apply(sh.ends)
			if err := r.framed(d, pl.frames); err != nil {
				return err
			}
		}
		if len(sh.tips) > 0 {
			return nil
		}
		return r.framed(d, pl.frames)
	}
	along := m.direction(point{1})
	d.scale = math.Sqrt(along[0]*along[0] + along[1]*along[1] + along[2]*along[2])
	r.points = r.points[:0]
	for i := range sh.paths[:sh.n] {
		if err := r.flatten(d, &sh.paths[i], m); err != nil {
			return err
		}
	}
	return r.framed(d, pl.frames)
}

// count holds the cap on vertices before they are made.
func (r *reader) count(n int, sh *shape) error {
	r.vertexCount += float64(n)
	if r.vertexCount > r.caps.InputMaxVertices {
		return r.fault(sh.line, fmt.Sprintf("the drawing has more than %.0f points once its curves and blocks are drawn, which is the limit input_max_vertices", r.caps.InputMaxVertices),
			"check its unit, leave out what is not needed, allow a larger chord error, or raise the limit in a limits file")
	}
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
			// base point to the origin, scale, step of the array, turn,
			// insertion point
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
			if err := r.framed(&point0, pl.frames); err != nil {
				return err
			}
			if !content {
				continue
			}
			back := shift(point{-b.base[0], -b.base[1], -b.base[2]})
			inner := place{m: full.after(&back), layer: d.layer, colour: d.colour, rgb: d.rgb, lineType: d.lineType,
				block: name, hidden: d.hidden, depth: pl.depth + 1, frames: pl.frames}
			if f := r.frameOf(sh); f != nil {
				if c := r.lay(f, sh, &inner.m); c != nil {
					inner.frames = append(slices.Clip(pl.frames), c)
				}
			}
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

// draws reports whether an insert has a block that draws something, so that its
// point is only what the block is held by.
func (r *reader) draws(sh *shape) bool {
	b := r.blocks[strings.ToUpper(sh.ins.name)]
	return sh.kind == kindInsert && !sh.hasOwn && !(r.ours && isSymbol(sh.ins.name)) && b != nil && !b.external && b.entities > 0
}

// clip shortens a long block path for a message.
func clip(s string) string {
	if len(s) > 80 {
		return s[:40] + " ... " + s[len(s)-35:]
	}
	return s
}
