// Package curve holds the curves of drawings: arcs, ellipses, rational splines
// and bulges. It flattens them to chords that stay within a stated distance of
// the true curve, keeps their definition beside the flattened vertices as the
// attribute "curve", and finds the curve again after the vertices were moved,
// turned or scaled.
//
// # The attribute
//
// A feature whose geometry was flattened carries the attribute "curve". Lengths
// are in the unit of the plan's coordinates when the drawing was read, angles
// in degrees, anticlockwise from the x axis; a negative sweep runs clockwise.
// It is an object for a geometry of one line or ring, else a list with one
// entry for each line or ring in order, null for a straight one:
//
//	{"type": "arc", "centre": [x, y], "radius": r, "start_deg": a, "sweep_deg": s, "segments": n}
//	{"type": "circle", "centre": [x, y], "radius": r, "start_deg": a, "sweep_deg": 360 or -360, "segments": n}
//	{"type": "ellipse", "centre": [x, y], "major": [dx, dy], "ratio": q, "start_deg": a, "sweep_deg": s, "segments": n}
//	{"type": "spline", "degree": d, "knots": [...], "points": [[x, y], ...], "weights": [...], "segments": [n, ...]}
//	{"type": "bulges", "bulges": [b, ...], "segments": [n, ...]}
//
// The angles of an ellipse are those of its parameter t in centre + major cos
// t + minor sin t. segments is how many chords stand for the whole arc, for
// each span of the spline between two different knots, or for each bulge. A
// bulge is the tangent of a quarter of the angle that its segment turns,
// positive to the left; 0 is straight. The vertices between which the bulges
// span are those that segments counts off.
package curve

import (
	"fmt"
	"math"
	"math/cmplx"

	"swardline/schema"
)

// DefaultChord is how far a chord may leave the true curve when nobody says
// otherwise, in metres on the ground: a choice of this program, a third of the
// width of a pencil line at 1:500.
const DefaultChord = 0.005

// The types of curve.
const (
	Arc     = "arc"
	Circle  = "circle"
	Ellipse = "ellipse"
	Splines = "spline"
	Bulges  = "bulges"
)

// MaxSegments is the most chords one curve may have: a cap against hostile
// input.
const MaxSegments = 50e6

// Curve is one curve in the plane, with how many chords stand for it.
type Curve struct {
	// Type is one of the types above.
	Type string
	// Centre and Radius are those of an arc or circle, Centre that of an
	// ellipse.
	Centre [2]float64
	Radius float64
	// Major is the vector from centre to the end of the major axis of an
	// ellipse, Ratio the length of the minor axis over the major.
	Major [2]float64
	Ratio float64
	// Start and Sweep are radians; a negative Sweep runs clockwise.
	Start, Sweep float64
	// Spline has heights of 0.
	Spline *Spline
	// Bulges holds one bulge a segment of the polyline.
	Bulges []float64
	// Segments holds how many chords stand for each part.
	Segments []int
}

// Vertices is how many vertices the flattened curve has.
func (c *Curve) Vertices() int {
	n := 1
	for _, s := range c.Segments {
		n += s
	}
	return n
}

// FromConic returns the curve that a conic draws in plan (its x and y); ok is
// false when it is seen edge-on or has no size.
func FromConic(k Conic, segments int) (c Curve, ok bool) {
	u, v := complex(k.U[0], k.U[1]), complex(k.V[0], k.V[1])
	uu, vv := real(u)*real(u)+imag(u)*imag(u), real(v)*real(v)+imag(v)*imag(v)
	uv := real(u)*real(v) + imag(u)*imag(v)
	size := math.Max(uu, vv)
	det := real(u)*imag(v) - imag(u)*real(v)
	if !(size > 0) || math.Abs(det) <= 1e-12*size || math.IsInf(size, 0) {
		return c, false
	}
	c.Centre = [2]float64{k.C[0], k.C[1]}
	c.Segments = []int{segments}
	const round = 1e-9 // relative: past this an arc is an ellipse
	if math.Abs(uu-vv) <= round*size && math.Abs(uv) <= round*size {
		c.Radius = math.Sqrt((uu + vv) / 2)
		c.Type = Arc
		if isFullTurn(k.Sweep) {
			c.Type = Circle
		}
		turn := math.Copysign(1, det)
		c.Start = normalise(cmplx.Phase(u) + turn*k.Start)
		c.Sweep = turn * k.Sweep
		return c, true
	}
	// The axes of the ellipse with conjugate semi-diameters u and v: the
	// parameter at which point and tangent are square, tan 2t = 2 u.v / (u.u -
	// v.v).
	shift := math.Atan2(2*uv, uu-vv) / 2
	s, co := math.Sincos(shift)
	major := u*complex(co, 0) + v*complex(s, 0)
	minor := v*complex(co, 0) - u*complex(s, 0)
	start := k.Start - shift
	turn := 1.0
	if real(major)*imag(minor)-imag(major)*real(minor) < 0 {
		turn = -1
	}
	c.Type = Ellipse
	c.Major = [2]float64{real(major), imag(major)}
	c.Ratio = cmplx.Abs(minor) / cmplx.Abs(major)
	c.Start = normalise(turn * start)
	c.Sweep = turn * k.Sweep
	return c, c.Ratio > 0
}

// Conic returns an arc, circle or ellipse as a conic at height 0.
func (c *Curve) Conic() Conic {
	k := Conic{C: Point{c.Centre[0], c.Centre[1]}, Start: c.Start, Sweep: c.Sweep}
	if c.Type == Ellipse {
		k.U = Point{c.Major[0], c.Major[1]}
		k.V = Point{-c.Major[1] * c.Ratio, c.Major[0] * c.Ratio}
		return k
	}
	k.U, k.V = Point{c.Radius}, Point{0, c.Radius}
	return k
}

// flatten returns the vertices of any type but bulges.
func (c *Curve) flatten() []complex128 {
	var points []Point
	if c.Type == Splines {
		points = c.Spline.Append(nil, c.Segments)
	} else {
		points = c.Conic().Append(nil, c.Segments[0])
	}
	out := make([]complex128, len(points))
	for i, p := range points {
		out[i] = complex(p[0], p[1])
	}
	return out
}

// AsBulges returns what bends between the vertices flat (stride numbers a
// vertex) as a curve of bulges: v is their attribute "curve". Arcs and bulges
// that still lie on the vertices within tol keep their bend; everything else
// (splines, ellipses, vertices that were moved, no curve at all) is straight
// from vertex to vertex. bent is false when nothing bends.
func AsBulges(v schema.Value, flat []float64, stride int, tol float64) (c Curve, bent bool) {
	c.Type = Bulges
	n := len(flat) / stride
	if kept, err := Parse(v); err == nil && (kept.Type == Arc || kept.Type == Circle || kept.Type == Bulges) {
		if fit, ok := kept.Refit(flat, stride, tol); ok {
			if kept.Type == Bulges {
				return fit.Curve, true
			}
			// A bulge near a whole turn has no digits left: such an arc is cut
			// in two.
			cuts := []int{n - 1}
			if math.Abs(fit.Curve.Sweep) > 1.5*math.Pi && n > 2 {
				cuts = []int{(n - 1) / 2, n - 1 - (n-1)/2}
			}
			for _, k := range cuts {
				sweep := fit.Curve.Sweep * float64(k) / float64(n-1)
				c.Bulges, c.Segments = append(c.Bulges, math.Tan(sweep/4)), append(c.Segments, k)
			}
			return c, true
		}
	}
	for i := 1; i < n; i++ {
		c.Bulges, c.Segments = append(c.Bulges, 0), append(c.Segments, 1)
	}
	return c, false
}

// Reversed returns the curve run the other way.
func (c Curve) Reversed() Curve {
	segments := make([]int, len(c.Segments))
	for i, n := range c.Segments {
		segments[len(segments)-1-i] = n
	}
	c.Segments = segments
	switch c.Type {
	case Splines:
		c.Spline = c.Spline.Reversed()
	case Bulges:
		b := make([]float64, len(c.Bulges))
		for i := range b {
			b[len(b)-1-i] = -c.Bulges[i]
		}
		c.Bulges = b
	default:
		c.Start, c.Sweep = normalise(c.Start+c.Sweep), -c.Sweep
	}
	return c
}

// similarity is z -> A z + B, of the conjugate of z when Mirrored.
type similarity struct {
	a, b     complex128
	mirrored bool
}

func (s similarity) apply(z complex128) complex128 {
	if s.mirrored {
		z = cmplx.Conj(z)
	}
	return s.a*z + s.b
}

func (s similarity) direction(z complex128) complex128 {
	if s.mirrored {
		z = cmplx.Conj(z)
	}
	return s.a * z
}

// moved returns the curve under the similarity.
func (c Curve) moved(s similarity) Curve {
	scale := cmplx.Abs(s.a)
	at := s.apply(complex(c.Centre[0], c.Centre[1]))
	switch c.Type {
	case Splines:
		spline := *c.Spline
		spline.Points = make([]Point, len(c.Spline.Points))
		for i, p := range c.Spline.Points {
			z := s.apply(complex(p[0], p[1]))
			spline.Points[i] = Point{real(z), imag(z)}
		}
		c.Spline = &spline
		return c
	case Ellipse:
		major := s.direction(complex(c.Major[0], c.Major[1]))
		c.Major = [2]float64{real(major), imag(major)}
		if s.mirrored { // the minor axis changes side, so the parameter runs backwards
			c.Start, c.Sweep = normalise(-c.Start), -c.Sweep
		}
	default:
		c.Radius *= scale
		if s.mirrored {
			c.Start, c.Sweep = normalise(cmplx.Phase(s.a)-c.Start), -c.Sweep
		} else {
			c.Start = normalise(c.Start + cmplx.Phase(s.a))
		}
	}
	c.Centre = [2]float64{real(at), imag(at)}
	return c
}

// Scaled returns the curve with every length multiplied by k about the origin.
func (c Curve) Scaled(k float64) Curve {
	if c.Type == Bulges {
		return c
	}
	return c.moved(similarity{a: complex(k, 0)})
}

// fitSimilarity returns the least-squares similarity from source to target
// (both of one length), and the largest distance that is left.
func fitSimilarity(source, target []complex128, mirrored bool) (similarity, float64) {
	n := complex(float64(len(source)), 0)
	var cs, ct complex128
	for i := range source {
		cs += source[i] - source[0]
		ct += target[i] - target[0]
	}
	cs, ct = source[0]+cs/n, target[0]+ct/n
	var num complex128
	var den float64
	for i := range source {
		z := source[i] - cs
		if mirrored {
			z = cmplx.Conj(z)
		}
		num += (target[i] - ct) * cmplx.Conj(z)
		den += real(z)*real(z) + imag(z)*imag(z)
	}
	s := similarity{mirrored: mirrored}
	if den == 0 || num == 0 {
		return s, math.Inf(1)
	}
	s.a = num / complex(den, 0)
	worst := 0.0
	for i := range source {
		z := source[i] - cs
		if mirrored {
			z = cmplx.Conj(z)
		}
		worst = math.Max(worst, cmplx.Abs(s.a*z+ct-target[i]))
	}
	if mirrored {
		s.b = ct - s.a*cmplx.Conj(cs)
	} else {
		s.b = ct - s.a*cs
	}
	return s, worst
}

// Fit is a curve found again on vertices.
type Fit struct {
	// Curve lies on the vertices and runs their way.
	Curve Curve
	// Base holds, for bulges, which vertices the bulges span between.
	Base []int
}

// Refit finds the curve again on the vertices flat (stride numbers a vertex, x
// and y first), which may have been moved, turned, scaled, mirrored or run the
// other way round since the curve was flattened. ok is false when the count of
// vertices differs or any lies further than tol (in their own unit) from where
// the curve would put it: then the vertices are what holds.
func (c Curve) Refit(flat []float64, stride int, tol float64) (fit Fit, ok bool) {
	n := len(flat) / stride
	if n != c.Vertices() || n < 2 {
		return fit, false
	}
	target := make([]complex128, n)
	for i := range target {
		target[i] = complex(flat[i*stride], flat[i*stride+1])
	}
	if c.Type == Bulges {
		for _, turned := range [...]Curve{c, c.Reversed()} {
			for _, side := range [...]float64{1, -1} {
				if fit, ok := turned.refitBulges(target, side, tol); ok {
					return fit, true
				}
			}
		}
		return fit, false
	}
	for _, turned := range [...]Curve{c, c.Reversed()} {
		source := turned.flatten()
		for _, mirrored := range [...]bool{false, true} {
			if s, worst := fitSimilarity(source, target, mirrored); worst <= tol {
				return Fit{Curve: turned.moved(s)}, true
			}
		}
	}
	return fit, false
}

func (c Curve) refitBulges(target []complex128, side, tol float64) (fit Fit, ok bool) {
	fit.Base = make([]int, 1, len(c.Segments)+1)
	bulges := make([]float64, len(c.Bulges))
	at := 0
	for i, n := range c.Segments {
		b := side * c.Bulges[i]
		bulges[i] = b
		from, to := target[at], target[at+n]
		for k := 1; k < n; k++ {
			if !(cmplx.Abs(bulgePoint(from, to, b, k, n)-target[at+k]) <= tol) {
				return fit, false
			}
		}
		at += n
		fit.Base = append(fit.Base, at)
	}
	c.Bulges = bulges
	fit.Curve = c
	return fit, true
}

// Value returns the curve as the attribute's value.
func (c *Curve) Value() schema.Value {
	pair := func(p [2]float64) schema.Value { return schema.List(schema.Float(p[0]), schema.Float(p[1])) }
	fields := schema.Attributes{{Key: "type", Value: schema.String(c.Type)}}
	add := func(key string, v schema.Value) { fields = append(fields, schema.Attribute{Key: key, Value: v}) }
	switch c.Type {
	case Bulges:
		add("bulges", floats(c.Bulges))
		add("segments", ints(c.Segments))
	case Splines:
		add("degree", schema.Int(int64(c.Spline.Degree)))
		add("knots", floats(c.Spline.Knots))
		points := make([]schema.Value, len(c.Spline.Points))
		for i, p := range c.Spline.Points {
			points[i] = pair([2]float64{p[0], p[1]})
		}
		add("points", schema.List(points...))
		if c.Spline.Weights != nil {
			add("weights", floats(c.Spline.Weights))
		}
		add("segments", ints(c.Segments))
	default:
		add("centre", pair(c.Centre))
		if c.Type == Ellipse {
			add("major", pair(c.Major))
			add("ratio", schema.Float(c.Ratio))
		} else {
			add("radius", schema.Float(c.Radius))
		}
		sweep := c.Sweep * 180 / math.Pi
		if isFullTurn(c.Sweep) {
			sweep = math.Copysign(360, sweep)
		}
		add("start_deg", schema.Float(c.Start*180/math.Pi))
		add("sweep_deg", schema.Float(sweep))
		add("segments", schema.Int(int64(c.Segments[0])))
	}
	return schema.Object(fields)
}

func floats(list []float64) schema.Value {
	out := make([]schema.Value, len(list))
	for i, f := range list {
		out[i] = schema.Float(f)
	}
	return schema.List(out...)
}

func ints(list []int) schema.Value {
	out := make([]schema.Value, len(list))
	for i, n := range list {
		out[i] = schema.Int(int64(n))
	}
	return schema.List(out...)
}

// Parse reads the attribute's value for one line or ring. The error says what
// is wrong with it.
func Parse(v schema.Value) (Curve, error) {
	var c Curve
	f := v.Fields()
	if v.Kind() != schema.KindObject {
		return c, fmt.Errorf("a curve is an object, got a %s", v.Kind())
	}
	c.Type = f.Get("type").Text()
	p := parser{fields: f}
	switch c.Type {
	case Arc, Circle:
		c.Centre, c.Radius = p.pair("centre"), p.positive("radius")
	case Ellipse:
		c.Centre, c.Major, c.Ratio = p.pair("centre"), p.pair("major"), p.positive("ratio")
		if p.err == nil && c.Major == [2]float64{} {
			p.fail("major has no length")
		}
	case Splines:
		c.Spline = &Spline{Degree: int(p.number("degree")), Knots: p.numbers("knots")}
		if f.Has("weights") {
			c.Spline.Weights = p.numbers("weights")
		}
		for _, item := range f.Get("points").Items() {
			xy := p.pairOf(item, "points")
			c.Spline.Points = append(c.Spline.Points, Point{xy[0], xy[1]})
		}
		if p.err == nil {
			p.err = c.Spline.Check()
		}
		if p.err == nil {
			c.Segments = p.counts("segments", c.Spline.Spans())
		}
		return c, p.err
	case Bulges:
		c.Bulges = p.numbers("bulges")
		c.Segments = p.counts("segments", len(c.Bulges))
		return c, p.err
	default:
		return c, fmt.Errorf("there is no type of curve called %q", c.Type)
	}
	c.Start, c.Sweep = p.number("start_deg")*math.Pi/180, p.number("sweep_deg")*math.Pi/180
	n := p.number("segments")
	if p.err == nil && (n != math.Trunc(n) || n < 1 || n > MaxSegments) {
		p.fail("segments must be a whole number from 1 up")
	}
	if p.err == nil && (c.Sweep == 0 || math.Abs(c.Sweep) > 2*math.Pi*(1+1e-9)) {
		p.fail("sweep_deg must be within 360 and not 0")
	}
	c.Segments = []int{int(n)}
	return c, p.err
}

// parser takes numbers out of an object and keeps the first fault.
type parser struct {
	fields schema.Attributes
	err    error
}

func (p *parser) fail(format string, args ...any) {
	if p.err == nil {
		p.err = fmt.Errorf("curve: "+format, args...)
	}
}

func (p *parser) number(key string) float64 { return p.numberOf(p.fields.Get(key), key) }

func (p *parser) numberOf(v schema.Value, key string) float64 {
	n, ok := v.Float()
	if !ok || math.IsInf(n, 0) || math.IsNaN(n) {
		p.fail("%s must be a number, got a %s", key, v.Kind())
		return 0
	}
	return n
}

func (p *parser) positive(key string) float64 {
	n := p.number(key)
	if p.err == nil && n <= 0 {
		p.fail("%s must be more than 0", key)
	}
	return n
}

func (p *parser) pair(key string) [2]float64 { return p.pairOf(p.fields.Get(key), key) }

func (p *parser) pairOf(v schema.Value, key string) [2]float64 {
	items := v.Items()
	if len(items) != 2 {
		p.fail("%s must be two numbers", key)
		return [2]float64{}
	}
	return [2]float64{p.numberOf(items[0], key), p.numberOf(items[1], key)}
}

func (p *parser) numbers(key string) []float64 {
	items := p.fields.Get(key).Items()
	if len(items) == 0 {
		p.fail("%s must be a list of numbers", key)
	}
	out := make([]float64, len(items))
	for i, item := range items {
		out[i] = p.numberOf(item, key)
	}
	return out
}

func (p *parser) counts(key string, want int) []int {
	items := p.fields.Get(key).Items()
	if len(items) != want {
		p.fail("%s must hold %d numbers, got %d", key, want, len(items))
		return nil
	}
	out := make([]int, len(items))
	total := 0.0
	for i, item := range items {
		n := p.numberOf(item, key)
		total += n
		if n != math.Trunc(n) || n < 1 || total > MaxSegments {
			p.fail("%s must be whole numbers from 1 up", key)
			return nil
		}
		out[i] = int(n)
	}
	return out
}

func isFullTurn(sweep float64) bool { return math.Abs(math.Abs(sweep)-2*math.Pi) < 1e-9 }

// normalise returns the angle in [0, 2 pi).
func normalise(a float64) float64 {
	a = math.Mod(a, 2*math.Pi)
	if a < 0 {
		a += 2 * math.Pi
	}
	if a >= 2*math.Pi { // a tiny negative angle rounds up to the whole turn
		a = 0
	}
	return a
}
