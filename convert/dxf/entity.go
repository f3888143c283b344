// Entities: from pairs to shapes in the coordinates they were drawn in.

package dxf

import (
	"bytes"
	"fmt"
	"math"
	"slices"
	"strings"

	"swardline/convert/dxf/curve"
	"swardline/schema"
)

// kind is what sort of thing an entity draws.
type kind uint8

const (
	kindNone   kind = iota
	kindPoint       // at
	kindText        // at, text, height, rotation
	kindPath        // one path, open or closed
	kindArea        // paths are the rings of polygons
	kindInsert      // ins
)

// shape is one entity. The one for entities of the model space is used again
// and again; those of blocks are kept.
type shape struct {
	kind      kind
	etype     string
	layer     *layer
	colour    int // ACI; 0 by block, 256 by layer
	rgb       int // -1 none
	lineType  string
	handle    string
	line      int
	normal    point
	hasNormal bool
	thickness float64
	width     float64
	hidden    bool
	paper     bool
	own       ownEntity
	hasOwn    bool
	extension string // handle of its own dictionary

	paths    []path // used[:n]
	n        int
	at       point
	text     string
	height   float64
	rotation float64 // radians
	flat2d   bool    // text direction and place are in the extrusion's system
	ins      insertion
	hatch    int     // hatch style
	tips     []point // of a leader's arrows
	ends     point   // where a leader ends
	says     string  // handle of its text
}

// path is a chain of pieces, one after the other.
type path struct {
	pieces []piece
	n      int
	closed bool
}

// piece is a polyline, a conic or a spline.
type piece struct {
	verts  []point
	bulges []float64 // nil when straight
	conic  *curve.Conic
	spline *curve.Spline
}

// insertion is what an INSERT says.
type insertion struct {
	name       string
	scale      point
	rotation   float64 // radians
	cols, rows int
	dx, dy     float64
	attribs    schema.Attributes
}

func (sh *shape) reset() {
	paths := sh.paths
	*sh = shape{paths: paths, colour: 256, rgb: -1}
}

// add appends a path, reusing what an earlier entity left.
func (sh *shape) add() *path {
	if sh.n == len(sh.paths) {
		sh.paths = append(sh.paths, path{})
	}
	p := &sh.paths[sh.n]
	sh.n++
	p.n, p.closed = 0, false
	return p
}

func (p *path) add() *piece {
	if p.n == len(p.pieces) {
		p.pieces = append(p.pieces, piece{})
	}
	c := &p.pieces[p.n]
	p.n++
	c.verts, c.bulges, c.conic, c.spline = c.verts[:0], nil, nil, nil
	return c
}

// vertex appends a vertex with a bulge to a polyline.
func (c *piece) vertex(p point) { c.verts = append(c.verts, p) }

func (c *piece) bulge(b float64) {
	if b == 0 && c.bulges == nil {
		return
	}
	for len(c.bulges) < len(c.verts) {
		c.bulges = append(c.bulges, 0)
	}
	c.bulges[len(c.verts)-1] = b
}

// each parses the entities of a section and calls f for each one that can be
// drawn. fresh gives every call a shape of its own.
func (r *reader) each(c section, fresh bool, f func(sh *shape) error) error {
	s := c.scanner(r.data)
	sh := &r.shape
	more := s.next()
	for more {
		if s.code != 0 {
			more = s.next()
			continue
		}
		if fresh {
			sh = &shape{}
		}
		sh.reset()
		sh.line = s.at
		sh.etype = r.entityName(s.value)
		var own []byte
		r.gs, own, more = s.groups(r.gs)
		sh.extension = s.extension
		if s.err != nil {
			return s.err
		}
		if sh.etype == "SEQEND" || sh.etype == "VERTEX" || sh.etype == "ENDBLK" {
			continue // left over from a sequence that was refused
		}
		if err := r.common(sh); err != nil {
			return err
		}
		if own != nil {
			r.readOwn(sh, own)
		}
		if len(s.said) > 0 {
			r.hear(sh.etype, sh.line, s.said)
		}
		ok := r.parse(sh)
		if r.bad != nil {
			return r.bad
		}
		if _, upright := axes(sh.normal); sh.hasNormal && !upright {
			sh.hasNormal = false
			r.tally.Add("extrusion-empty", sh.line, "", "the %s in line %d has an extrusion direction without length; it is taken as level", sh.etype, sh.line)
		}
		switch sh.etype {
		case "POLYLINE":
			var err error
			if ok, more, err = r.vertices(sh, &s, more, ok); err != nil {
				return err
			}
		case "INSERT":
			var err error
			if more, err = r.attribs(sh, &s, more); err != nil {
				return err
			}
		}
		if ok {
			if err := f(sh); err != nil {
				return err
			}
		}
	}
	return s.err
}

// entityName returns the name of an entity without allocating for known ones.
func (r *reader) entityName(b []byte) string {
	b = bytes.TrimSpace(b)
	if name, ok := r.names[string(b)]; ok {
		return name
	}
	name := string(b)
	if len(name) > 60 {
		name = name[:60]
	}
	if len(r.names) < 10000 {
		r.names[name] = name
	}
	return name
}

// common reads the groups that every entity has.
func (r *reader) common(sh *shape) error {
	sh.layer = nil
	for _, g := range r.gs {
		switch g.code {
		case 5:
			if r.wantHandles {
				sh.handle = r.word(g)
			}
		case 6:
			sh.lineType = r.text.name(bytes.TrimSpace(r.value(g)))
		case 8:
			sh.layer = r.layer(r.value(g))
		case 39:
			sh.thickness = r.float(g)
		case 60:
			sh.hidden = r.int(g)&1 != 0
		case 62:
			if c := r.int(g); c >= 0 && c <= 256 {
				sh.colour = c
			}
		case 67:
			sh.paper = r.int(g) != 0
		case 210:
			sh.normal[0], sh.hasNormal = r.float(g), true
		case 220:
			sh.normal[1] = r.float(g)
		case 230:
			sh.normal[2] = r.float(g)
		case 420:
			sh.rgb = r.int(g)
		}
	}
	if sh.layer == nil {
		sh.layer = r.layer(nil)
	}
	if sh.hasNormal && sh.normal == (point{0, 0, 1}) {
		sh.hasNormal = false
	}
	return r.bad
}

// picture keeps the name of what may show a pond and is not read.
func (r *reader) picture(name string) {
	const most = 1000
	if len(r.pictures) < most && !slices.Contains(r.pictures, name) {
		r.pictures = append(r.pictures, name)
	}
}

// skip counts an entity that is not drawn.
func (r *reader) skip(sh *shape) bool {
	if _, ok := r.skipped[sh.etype]; !ok {
		r.skippedOrder = append(r.skippedOrder, sh.etype)
		r.skipped[sh.etype] = tallyAt{line: sh.line}
	}
	if slices.Contains(unplaced, sh.etype) {
		r.endless(sh.etype, sh.layer.name, sh.line)
	}
	t := r.skipped[sh.etype]
	t.count++
	r.skipped[sh.etype] = t
	return false
}

// unplaced are types of entities that may show something on the ground in a way
// that a plan has no place for; leaders without a text are too.
var unplaced = strings.Fields("IMAGE OLE2FRAME OLEFRAME RAY XLINE WIPEOUT")

// endless tells of one of them, on a layer of what is to be kept off; of other
// layers their names may say it, or the roles that are given to them.
func (r *reader) endless(etype, layer string, line int) {
	r.passed.AddPassed(schema.Passed{Layer: layer, Kind: etype, Line: line})
	role, off, ok := roleOfLayer(layer)
	switch {
	case (!ok || !r.layersAreOurs()) && (etype == "WIPEOUT" || etype == "LEADER"): // what masks a text, and arrows
	case !ok || !r.layersAreOurs():
		r.picture(layer)
	case !off && guards(role):
		r.tally.Add("drawn-endless", line, "", "the %s in line %d, on layer %q, was not read, for a plan has nothing of its kind: draw what it shows as a line or an outline, or put it on a layer of its own", etype, line, layer)
	}
}

// tallyAt is a count and where the first one stands.
type tallyAt struct{ count, line int }

// damaged counts an entity whose content makes no shape.
func (r *reader) damaged(sh *shape, format string, args ...any) bool {
	r.tally.Add("entity-damaged", sh.line, "", "the %s in line %d is left out: %s", sh.etype, sh.line, fmt.Sprintf(format, args...))
	return false
}

// parse reads the groups of one entity type; false means that it draws nothing.
func (r *reader) parse(sh *shape) bool {
	switch sh.etype {
	case "LINE":
		sh.kind = kindPath
		c := sh.add().add()
		var p, q point
		for _, g := range r.gs {
			switch g.code {
			case 10, 20, 30:
				p[g.code/10-1] = r.float(g)
			case 11, 21, 31:
				q[g.code/10-1] = r.float(g)
			}
		}
		c.vertex(p)
		c.vertex(q)
		sh.hasNormal = false // a LINE stands in the world's system
		return true
	case "POINT":
		sh.kind = kindPoint
		r.readPoint(&sh.at, 10)
		sh.hasNormal = false
		return true
	case "LWPOLYLINE":
		return r.lwpolyline(sh)
	case "POLYLINE":
		return r.polyline(sh)
	case "ARC", "CIRCLE":
		return r.arc(sh)
	case "ELLIPSE":
		return r.ellipse(sh)
	case "SPLINE":
		return r.spline(sh)
	case "TEXT", "MTEXT":
		return r.textEntity(sh)
	case "LEADER":
		return r.leader(sh)
	case "MULTILEADER", "MLEADER":
		return r.multileader(sh)
	case "INSERT":
		return r.insertEntity(sh)
	case "HATCH":
		return r.hatchEntity(sh)
	case "SOLID", "TRACE", "3DFACE":
		return r.face(sh)
	case "DIMENSION", "ARC_DIMENSION", "LARGE_RADIAL_DIMENSION":
		r.dimension(sh)
	case "ATTDEF", "VIEWPORT", "ATTRIB":
		return false // templates and windows of the layout, nothing on the ground
	}
	return r.skip(sh)
}

// readPoint reads groups code, code+10, code+20.
func (r *reader) readPoint(p *point, code int32) {
	for _, g := range r.gs {
		switch g.code {
		case code:
			p[0] = r.float(g)
		case code + 10:
			p[1] = r.float(g)
		case code + 20:
			p[2] = r.float(g)
		}
	}
}

func (r *reader) lwpolyline(sh *shape) bool {
	sh.kind = kindPath
	p := sh.add()
	c := p.add()
	elevation := 0.0
	for _, g := range r.gs {
		switch g.code {
		case 10:
			c.vertex(point{r.float(g)})
		case 20:
			if n := len(c.verts); n > 0 {
				c.verts[n-1][1] = r.float(g)
			}
		case 42:
			if len(c.verts) > 0 {
				c.bulge(r.float(g))
			}
		case 38:
			elevation = r.float(g)
		case 40, 41, 43: // of one stretch at its start and end, of all
			sh.width = max(sh.width, r.float(g))
		case 70:
			p.closed = r.int(g)&1 != 0
		}
	}
	if elevation != 0 {
		for i := range c.verts {
			c.verts[i][2] = elevation
		}
	}
	if len(c.verts) == 0 {
		return r.damaged(sh, "it has no points")
	}
	return true
}

// polyline reads the head of a POLYLINE; its vertices follow as entities.
func (r *reader) polyline(sh *shape) bool {
	sh.kind = kindPath
	p := sh.add()
	p.add()
	flags := 0
	for _, g := range r.gs {
		switch g.code {
		case 70:
			flags = r.int(g)
		case 30:
			sh.at[2] = r.float(g)
		case 40, 41:
			sh.width = max(sh.width, r.float(g))
		}
	}
	p.closed = flags&1 != 0
	if flags&8 != 0 {
		sh.hasNormal = false // 3D vertices stand in the world's system
	}
	sh.hatch = flags
	if flags&(16|64) != 0 {
		r.tally.Add("mesh-refused", sh.line, "", "the POLYLINE in line %d is a mesh of faces, not a line; meshes are left out", sh.line)
		return false
	}
	return true
}

// vertices reads the VERTEX entities up to SEQEND.
func (r *reader) vertices(sh *shape, s *scanner, more, ok bool) (bool, bool, error) {
	flags, elevation := sh.hatch, sh.at[2]
	sh.hatch, sh.at = 0, point{}
	c := &sh.paths[0].pieces[0]
	for more && s.is("VERTEX") {
		r.gs, _, more = s.groups(r.gs)
		if s.err != nil {
			return false, false, s.err
		}
		if !ok {
			continue
		}
		var p point
		bulge, vertexFlags := 0.0, 0
		for _, g := range r.gs {
			switch g.code {
			case 10, 20, 30:
				p[g.code/10-1] = r.float(g)
			case 40, 41:
				sh.width = max(sh.width, r.float(g))
			case 42:
				bulge = r.float(g)
			case 70:
				vertexFlags = r.int(g)
			}
		}
		if r.bad != nil {
			return false, false, r.bad
		}
		if vertexFlags&16 != 0 {
			continue // a control point of a fitted curve, not on the line
		}
		if flags&8 == 0 {
			p[2] = elevation
		} else {
			bulge = 0
		}
		c.vertex(p)
		c.bulge(bulge)
	}
	if more && s.is("SEQEND") {
		r.gs, _, more = s.groups(r.gs)
	}
	if s.err != nil {
		return false, false, s.err
	}
	if ok && len(c.verts) == 0 {
		ok = r.damaged(sh, "it has no points")
	}
	return ok, more, nil
}

func (r *reader) arc(sh *shape) bool {
	sh.kind = kindPath
	var k curve.Conic
	radius, start, end := 0.0, 0.0, 360.0
	r.readPoint(&k.C, 10)
	for _, g := range r.gs {
		switch g.code {
		case 40:
			radius = r.float(g)
		case 50:
			start = r.float(g)
		case 51:
			end = r.float(g)
		}
	}
	if r.bad != nil {
		return false
	}
	if !(radius > 0) {
		return r.damaged(sh, "its radius is %g", radius)
	}
	k.U, k.V = point{radius}, point{0, radius}
	if sh.etype == "CIRCLE" {
		k.Sweep = 2 * math.Pi
	} else {
		k.Start = start * math.Pi / 180
		sweep := math.Mod(end-start, 360)
		if sweep <= 0 {
			sweep += 360
		}
		k.Sweep = sweep * math.Pi / 180
	}
	r.conic(sh, k)
	return true
}

// conic makes a conic the shape's only path, turned as this program's own
// record of it says.
func (r *reader) conic(sh *shape, k curve.Conic) {
	if sh.hasOwn {
		if k.Full() && sh.own.hasStart {
			k.Start = sh.own.start
		}
		if sh.own.clockwise {
			if !k.Full() {
				k.Start += k.Sweep
			}
			k.Sweep = -k.Sweep
		}
	}
	p := sh.add()
	p.add().conic = &k
	p.closed = k.Full()
}

func (r *reader) ellipse(sh *shape) bool {
	sh.kind = kindPath
	var k curve.Conic
	ratio, start, end := 1.0, 0.0, 2*math.Pi
	r.readPoint(&k.C, 10)
	r.readPoint(&k.U, 11)
	for _, g := range r.gs {
		switch g.code {
		case 40:
			ratio = r.float(g)
		case 41:
			start = r.float(g)
		case 42:
			end = r.float(g)
		}
	}
	if r.bad != nil {
		return false
	}
	normal := point{0, 0, 1}
	if n, ok := unitVector(sh.normal); sh.hasNormal && ok {
		normal = n
	}
	sh.hasNormal = false // centre and axis stand in the world's system
	if _, ok := unitVector(k.U); !ok || !(math.Abs(ratio) > 0) {
		return r.damaged(sh, "its axes have no length")
	}
	k.V = cross(normal, k.U)
	for i := range k.V {
		k.V[i] *= ratio
	}
	k.Start, k.Sweep = start, parameterSweep(start, end)
	r.conic(sh, k)
	return true
}

// parameterSweep is how far the parameter of an ellipse runs, anticlockwise, in
// (0, 2 pi]. Files write the whole turn as 2 pi with few digits.
func parameterSweep(start, end float64) float64 {
	sweep := math.Mod(end-start, 2*math.Pi)
	if sweep <= 0 {
		sweep += 2 * math.Pi
	}
	const round = 1e-5 // radians: 6.28319 is meant as a whole turn
	if sweep > 2*math.Pi-round || sweep < round && math.Abs(end-start) > 1 {
		return 2 * math.Pi
	}
	return sweep
}

func (r *reader) spline(sh *shape) bool {
	sh.kind = kindPath
	sh.hasNormal = false // control points stand in the world's system
	s := &curve.Spline{Degree: 3}
	var fit []point
	var tangents [2]*point
	flags := 0
	at := func(list []point, k int, g group) {
		if n := len(list); n > 0 {
			list[n-1][k] = r.float(g)
		}
	}
	for _, g := range r.gs {
		switch g.code {
		case 70:
			flags = r.int(g)
		case 71:
			s.Degree = r.int(g)
		case 40:
			s.Knots = append(s.Knots, r.float(g))
		case 41:
			s.Weights = append(s.Weights, r.float(g))
		case 10:
			s.Points = append(s.Points, point{r.float(g)})
		case 20, 30:
			at(s.Points, int(g.code/10-1), g)
		case 11:
			fit = append(fit, point{r.float(g)})
		case 21, 31:
			at(fit, int(g.code/10-1), g)
		case 12, 13:
			tangents[g.code-12] = &point{r.float(g)}
		case 22, 32, 23, 33:
			if t := tangents[g.code%10-2]; t != nil {
				t[g.code/10-1] = r.float(g)
			}
		}
	}
	if r.bad != nil {
		return false
	}
	return r.finishSpline(sh, sh.add(), s, fit, tangents, flags&1 != 0)
}

// finishSpline checks a spline and appends it to the path.
func (r *reader) finishSpline(sh *shape, p *path, s *curve.Spline, fit []point, tangents [2]*point, closed bool) bool {
	for i, t := range tangents {
		if t != nil && *t == (point{}) {
			tangents[i] = nil // a direction that says none
		}
	}
	if len(s.Points) == 0 && len(fit) > 0 {
		var through *curve.Spline
		var err error
		if closed && len(fit) > 2 && (tangents[0] == nil || tangents[1] == nil) {
			through, err = curve.InterpolateClosed(fit)
		} else {
			if closed && len(fit) > 2 && fit[0] != fit[len(fit)-1] {
				fit = append(fit, fit[0])
			}
			through, err = curve.Interpolate(fit, tangents[0], tangents[1])
		}
		if err != nil {
			return r.damaged(sh, "%v", err)
		}
		r.tally.Add("spline-through-points", sh.line, "",
			"the %s in line %d gives only points to pass through; between them it is drawn as the cubic of continuous curvature", sh.etype, sh.line)
		s = through
	}
	if len(s.Knots) == 0 && s.Degree >= 1 && len(s.Points) > s.Degree {
		if s.Knots = curve.Uniform(len(s.Points), s.Degree); closed && s.Points[0] != s.Points[len(s.Points)-1] {
			s.Periodic()
		}
		r.tally.Add("spline-without-knots", sh.line, "", "the %s in line %d has no knots; they are taken as evenly spaced", sh.etype, sh.line)
	}
	s = s.Joined()
	if err := s.Check(); err != nil {
		return r.damaged(sh, "%v", err)
	}
	same := true
	for _, w := range s.Weights {
		same = same && w == s.Weights[0]
	}
	if same {
		s.Weights = nil
	}
	p.add().spline = s
	if closed && s.Degree > 0 {
		// A closed spline ends where it starts by its knots or its control
		// points; whether it really does shows when it is drawn.
		p.closed = true
	}
	return true
}

func (r *reader) textEntity(sh *shape) bool {
	sh.kind = kindText
	sh.height, sh.flat2d = 0, sh.etype == "TEXT"
	var second, direction point
	hasSecond, hasDirection := false, false
	justified := false
	var text []byte
	for _, g := range r.gs {
		switch g.code {
		case 10, 20, 30:
			sh.at[g.code/10-1] = r.float(g)
		case 11, 21, 31:
			if sh.etype == "TEXT" {
				second[g.code/10-1], hasSecond = r.float(g), true
			} else {
				direction[g.code/10-1], hasDirection = r.float(g), true
			}
		case 40:
			sh.height = r.float(g)
		case 50:
			sh.rotation = r.float(g) * math.Pi / 180
		case 72, 73:
			if sh.etype == "TEXT" && r.int(g) != 0 {
				justified = true
			}
		case 1, 3:
			text = append(text, r.value(g)...)
		}
	}
	if r.bad != nil {
		return false
	}
	if sh.etype == "TEXT" {
		if justified && hasSecond {
			sh.at = second // the first point is then only what was drawn last
		}
		sh.text = r.text.text(text)
	} else {
		if hasDirection {
			sh.rotation = math.Atan2(direction[1], direction[0])
		}
		sh.hasNormal = false // place and direction stand in the world's system
		sh.text = r.text.mtext(text)
	}
	return true
}

func (r *reader) insertEntity(sh *shape) bool {
	sh.kind = kindInsert
	sh.ins = insertion{scale: point{1, 1, 1}, cols: 1, rows: 1}
	for _, g := range r.gs {
		switch g.code {
		case 2:
			sh.ins.name = r.text.name(bytes.TrimSpace(r.value(g)))
		case 10, 20, 30:
			sh.at[g.code/10-1] = r.float(g)
		case 41, 42, 43:
			sh.ins.scale[g.code-41] = r.float(g)
		case 44:
			sh.ins.dx = r.float(g)
		case 45:
			sh.ins.dy = r.float(g)
		case 50:
			sh.ins.rotation = r.float(g) * math.Pi / 180
		case 70:
			sh.ins.cols = max(1, r.int(g))
		case 71:
			sh.ins.rows = max(1, r.int(g))
		}
	}
	return true
}

// attribs reads the ATTRIB entities that follow an INSERT.
func (r *reader) attribs(sh *shape, s *scanner, more bool) (bool, error) {
	for more && s.is("ATTRIB") {
		r.gs, _, more = s.groups(r.gs)
		if s.err != nil {
			return false, s.err
		}
		tag := ""
		var text []byte
		for _, g := range r.gs {
			switch g.code {
			case 1, 3:
				text = append(text, r.value(g)...)
			case 2:
				tag = strings.TrimSpace(r.text.name(r.value(g)))
			}
		}
		if tag != "" {
			sh.ins.attribs.Set(tag, schema.String(r.text.text(text)))
		}
	}
	if more && s.is("SEQEND") {
		r.gs, _, more = s.groups(r.gs)
	}
	return more, s.err
}

func (r *reader) face(sh *shape) bool {
	sh.kind = kindArea
	var p [4]point
	seen := [4]bool{}
	for _, g := range r.gs {
		if k := g.code % 10; g.code >= 10 && g.code < 40 && k < 4 {
			p[k][g.code/10-1] = r.float(g)
			seen[k] = true
		}
	}
	if r.bad != nil {
		return false
	}
	if !seen[3] {
		p[3] = p[2]
	}
	order := [4]int{0, 1, 2, 3}
	if sh.etype == "3DFACE" {
		sh.hasNormal = false // corners stand in the world's system
	} else {
		order = [4]int{0, 1, 3, 2} // the third and fourth corner are given crosswise
	}
	path := sh.add()
	path.closed = true
	c := path.add()
	for _, k := range order {
		if n := len(c.verts); n == 0 || c.verts[n-1] != p[k] {
			c.vertex(p[k])
		}
	}
	if n := len(c.verts); n > 1 && c.verts[n-1] == c.verts[0] {
		c.verts = c.verts[:n-1]
	}
	if len(c.verts) < 3 {
		return r.damaged(sh, "its corners make no area")
	}
	return true
}
