// Tests of curves against closed forms: points on the curve, chords within
// their bound, areas, and the curve found again after it was moved.

package curve

import (
	"math"
	"math/rand/v2"
	"testing"

	"swardline/convert/wire/jsontext"
)

// worstGap returns the largest distance of points from the chords they belong
// to: f(i, t) is the true point at the fraction t between vertices i and i+1.
func worstGap(vertices []Point, f func(i int, t float64) Point) float64 {
	worst := 0.0
	for i := 0; i+1 < len(vertices); i++ {
		for k := 1; k < 16; k++ {
			worst = math.Max(worst, toSegment(f(i, float64(k)/16), vertices[i], vertices[i+1]))
		}
	}
	return worst
}

func toSegment(p, a, b Point) float64 {
	var ab, ap Point
	var dot, size float64
	for i := range p {
		ab[i], ap[i] = b[i]-a[i], p[i]-a[i]
		dot += ab[i] * ap[i]
		size += ab[i] * ab[i]
	}
	t := 0.0
	if size > 0 {
		t = math.Min(1, math.Max(0, dot/size))
	}
	sum := 0.0
	for i := range p {
		d := ap[i] - t*ab[i]
		sum += d * d
	}
	return math.Sqrt(sum)
}

func area(p []Point) float64 {
	sum := 0.0
	for i := 1; i < len(p); i++ {
		sum += p[i-1][0]*p[i][1] - p[i][0]*p[i-1][1]
	}
	return sum / 2
}

func TestConicStaysWithinTheChordError(t *testing.T) {
	for _, c := range []struct {
		name  string
		k     Conic
		chord float64
	}{
		{"circle 10 m", Conic{U: Point{10}, V: Point{0, 10}, Sweep: 2 * math.Pi}, 0.005},
		{"circle 0.2 m", Conic{U: Point{0.2}, V: Point{0, 0.2}, Sweep: 2 * math.Pi}, 0.005},
		{"circle smaller than the chord error", Conic{U: Point{0.001}, V: Point{0, 0.001}, Sweep: 2 * math.Pi}, 0.005},
		{"quarter of 200 m, clockwise", Conic{C: Point{6e6, 4e6}, U: Point{200}, V: Point{0, 200}, Start: 1, Sweep: -math.Pi / 2}, 0.005},
		{"flat ellipse", Conic{U: Point{30, 5}, V: Point{-0.5, 3}, Sweep: 2 * math.Pi}, 0.001},
		{"skew conjugate diameters", Conic{U: Point{30, 5}, V: Point{20, 13}, Sweep: 4}, 0.01},
		{"tilted in space", Conic{U: Point{3, 0, 4}, V: Point{0, 5, 0}, Sweep: 3}, 0.005},
	} {
		n := c.k.Steps(c.chord)
		v := c.k.Append(nil, n)
		if len(v) != n+1 {
			t.Errorf("%s: %d vertices for %d steps", c.name, len(v), n)
		}
		gap := worstGap(v, func(i int, f float64) Point {
			return c.k.At(c.k.Start + c.k.Sweep*(float64(i)+f)/float64(n))
		})
		if !(gap <= c.chord*(1+1e-6)) {
			t.Errorf("%s: a chord leaves the curve by %g, more than %g", c.name, gap, c.chord)
		}
		// One step fewer would break the bound (for circles it is sharp).
		if u, w := c.k.U, c.k.V; u[0] == w[1] && u[1] == 0 && n > 8 && u[0] > c.chord {
			if short := u[0] * (1 - math.Cos(c.k.Sweep/float64(n-1)/2)); short <= c.chord {
				t.Errorf("%s: %d steps are more than are needed", c.name, n)
			}
		}
		if c.k.Full() && v[0] != v[n] {
			t.Errorf("%s: a whole turn does not end on its first point", c.name)
		}
	}
}

func TestAreasOfCircleAndEllipse(t *testing.T) {
	for _, c := range []struct{ a, b float64 }{{10, 10}, {25, 4}, {1, 1}} {
		k := Conic{C: Point{3, -7}, U: Point{c.a}, V: Point{0, c.b}, Sweep: 2 * math.Pi}
		const chord = 0.001
		n := k.Steps(chord)
		got := area(k.Append(nil, n))
		// The inscribed polygon of n equal parameter steps: n a b sin(2 pi / n)
		// / 2.
		want := float64(n) * c.a * c.b * math.Sin(2*math.Pi/float64(n)) / 2
		if math.Abs(got-want) > 1e-9*want {
			t.Errorf("ellipse %g x %g: area %.9f, closed form of its polygon %.9f", c.a, c.b, got, want)
		}
		true2 := math.Pi * c.a * c.b
		if !(got < true2) || true2-got > 2*math.Pi*c.a*chord {
			t.Errorf("ellipse %g x %g: area %.6f, true %.6f", c.a, c.b, got, true2)
		}
	}
}

func TestBulges(t *testing.T) {
	for _, b := range []float64{1, -1, 0.25, -0.4, 3, 1e-9, math.Tan(math.Pi / 8)} {
		p, q := Point{1, 2, 5}, Point{4, 6, 5}
		arc := BulgeArc(p, q, b)
		for name, d := range map[string]Point{"start": diff(arc.At(arc.Start), p), "end": diff(arc.At(arc.Start+arc.Sweep), q)} {
			// A nearly straight arc has its centre far away, and loses digits
			// there.
			if l := math.Hypot(d[0], d[1]); l > 1e-9*math.Max(1, 1/math.Abs(b)) {
				t.Errorf("bulge %g: the arc's %s is %g off", b, name, l)
			}
		}
		n := 16
		v := AppendBulge([]Point{p}, p, q, b, n)
		if len(v) != n+1 || v[n] != q {
			t.Fatalf("bulge %g: %d points, last %v", b, len(v), v[len(v)-1])
		}
		// The rise of the middle is |b| half chords, to the right for b > 0: a
		// positive bulge turns left, so its arc bends away to the right.
		mid := diff(v[n/2], Point{2.5, 4, 5})
		rise := (mid[0]*4 - mid[1]*3) / 5 // along the unit normal to the right of (3, 4)
		if want := b * 2.5; math.Abs(rise-want) > 1e-9*math.Max(1, math.Abs(want)) {
			t.Errorf("bulge %g: the middle rises %g, want %g", b, rise, want)
		}
	}
	// Two semicircles are a circle.
	n := BulgeSteps(Point{0, 0}, Point{2, 0}, 1, 1e-4)
	v := AppendBulge([]Point{{}}, Point{0, 0}, Point{2, 0}, 1, n)
	v = AppendBulge(v, Point{2, 0}, Point{0, 0}, 1, n)
	for _, p := range v {
		if r := math.Hypot(p[0]-1, p[1]); math.Abs(r-1) > 1e-12 {
			t.Fatalf("a point of the circle is %g from its centre", r)
		}
	}
	if got := area(v); math.Abs(got-math.Pi) > 2*math.Pi*1e-4 || got > math.Pi {
		t.Errorf("two semicircles enclose %g", got)
	}
}

func diff(a, b Point) Point { return Point{a[0] - b[0], a[1] - b[1], a[2] - b[2]} }

// basis is the B-spline basis by its recursive definition (Cox and de Boor),
// written without regard to the code under test.
func basis(knots []float64, i, p int, u float64) float64 {
	if p == 0 {
		if knots[i] <= u && u < knots[i+1] {
			return 1
		}
		return 0
	}
	sum := 0.0
	if d := knots[i+p] - knots[i]; d > 0 {
		sum += (u - knots[i]) / d * basis(knots, i, p-1, u)
	}
	if d := knots[i+p+1] - knots[i+1]; d > 0 {
		sum += (knots[i+p+1] - u) / d * basis(knots, i+1, p-1, u)
	}
	return sum
}

func evaluate(s *Spline, u float64) Point {
	var out Point
	w := 0.0
	for i, p := range s.Points {
		b := basis(s.Knots, i, s.Degree, u)
		if s.Weights != nil {
			b *= s.Weights[i]
		}
		w += b
		for k := range out {
			out[k] += b * p[k]
		}
	}
	for k := range out {
		out[k] /= w
	}
	return out
}

// circleSpline is the unit circle as a rational quadratic of nine points.
func circleSpline() *Spline {
	h := math.Sqrt2 / 2
	return &Spline{Degree: 2, Knots: []float64{0, 0, 0, 1, 1, 2, 2, 3, 3, 4, 4, 4},
		Points:  []Point{{1, 0}, {1, 1}, {0, 1}, {-1, 1}, {-1, 0}, {-1, -1}, {0, -1}, {1, -1}, {1, 0}},
		Weights: []float64{1, h, 1, h, 1, h, 1, h, 1}}
}

func randomSpline(r *rand.Rand) *Spline {
	degree := 1 + r.IntN(5)
	n := degree + 1 + r.IntN(8)
	s := &Spline{Degree: degree, Points: make([]Point, n), Knots: make([]float64, n+degree+1)}
	at := 0.0
	for i := range s.Knots {
		if r.IntN(3) > 0 {
			at += r.Float64()
		}
		s.Knots[i] = at
	}
	for i := range s.Points {
		s.Points[i] = Point{r.Float64() * 50, r.Float64() * 50, r.Float64() * 3}
	}
	if r.IntN(2) == 0 {
		s.Weights = make([]float64, n)
		for i := range s.Weights {
			s.Weights[i] = 0.2 + 3*r.Float64()
		}
	}
	return s
}

func TestSplineStaysWithinTheChordError(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 2))
	splines := []*Spline{circleSpline()}
	for len(splines) < 150 {
		if s := randomSpline(r); s.Check() == nil {
			splines = append(splines, s)
		}
	}
	for number, s := range splines {
		const chord = 0.01
		steps := s.Steps(chord)
		v := s.Append(nil, steps)
		at, span := 0, 0
		for i := s.Degree; i < len(s.Points); i++ {
			a, b := s.Knots[i], s.Knots[i+1]
			if a == b {
				continue
			}
			n := steps[span]
			for k := 0; k < n; k++ {
				if d := diff(v[at+k], evaluate(s, a+(b-a)*float64(k)/float64(n))); math.Abs(d[0])+math.Abs(d[1])+math.Abs(d[2]) > 1e-8 {
					t.Fatalf("spline %d, span %d, step %d: %v off the curve", number, span, k, d)
				}
			}
			gap := worstGap(v[at:at+n+1], func(i int, f float64) Point { return evaluate(s, a+(b-a)*(float64(i)+f)/float64(n)) })
			if !(gap <= chord*(1+1e-9)) {
				t.Errorf("spline %d (degree %d, rational %v), span %d: a chord of %d leaves the curve by %g", number, s.Degree, s.Weights != nil, span, n, gap)
			}
			at += n
			span++
		}
		if at+1 != len(v) {
			t.Fatalf("spline %d: %d vertices, want %d", number, len(v), at+1)
		}
	}
}

func TestRationalSplineIsACircle(t *testing.T) {
	s := circleSpline()
	v := s.Append(nil, s.Steps(1e-5))
	for _, p := range v {
		if r := math.Hypot(p[0], p[1]); math.Abs(r-1) > 1e-14 {
			t.Fatalf("a point of the circle is %.17g from its centre", r)
		}
	}
	if got := area(v); got > math.Pi || math.Pi-got > 2*math.Pi*1e-5 {
		t.Errorf("the circle encloses %.9f", got)
	}
}

func TestJoined(t *testing.T) {
	// Two cubics strung together with a knot of four.
	s := &Spline{Degree: 3, Knots: []float64{0, 0, 0, 0, 1, 1, 1, 1, 2, 2, 2, 2},
		Points: []Point{{0, 0}, {1, 2}, {2, 2}, {3, 0}, {3, 0}, {4, -2}, {5, -2}, {6, 0}}}
	if s.Check() == nil {
		t.Error("a knot of four passes for a cubic")
	}
	j := s.Joined()
	if err := j.Check(); err != nil || len(j.Points) != 7 || j.Spans() != 2 || len(s.Points) != 8 {
		t.Fatalf("%v: %+v", err, j)
	}
	v := j.Append(nil, []int{2, 2})
	for i, want := range []Point{{0, 0}, {1.5, 1.5}, {3, 0}, {4.5, -1.5}, {6, 0}} {
		if v[i] != want {
			t.Errorf("vertex %d is %v, want %v", i, v[i], want)
		}
	}
	s.Points[4] = Point{3, 1} // torn
	if s.Joined().Check() == nil {
		t.Error("a torn curve passes")
	}
}

func TestInterpolate(t *testing.T) {
	points := []Point{{0, 0}, {3, 1}, {3, 1}, {5, 4, 1}, {9, 2}, {12, 7}}
	for _, c := range []struct {
		name       string
		start, end *Point
	}{{"natural", nil, nil}, {"with tangents", &Point{0, 2}, &Point{1, 1}}} {
		s, err := Interpolate(points, c.start, c.end)
		if err != nil {
			t.Fatal(c.name, err)
		}
		if err := s.Check(); err != nil {
			t.Fatal(c.name, err)
		}
		// Every point is met, in turn.
		distinct := append(append([]Point(nil), points[:2]...), points[3:]...)
		for i, want := range distinct {
			if got := s.Points[3*i]; got != want {
				t.Errorf("%s: point %d is %v, want %v", c.name, i, got, want)
			}
		}
		// Slope and curvature agree on both sides of the inner points.
		for i := 1; i+1 < len(distinct); i++ {
			h0, h1 := s.Knots[3*i+1]-s.Knots[3*i], s.Knots[3*i+4]-s.Knots[3*i+1]
			b := s.Points[3*i-3 : 3*i+4]
			for k := 0; k < 2; k++ {
				slope0, slope1 := (b[3][k]-b[2][k])/h0, (b[4][k]-b[3][k])/h1
				bend0, bend1 := (b[3][k]-2*b[2][k]+b[1][k])/(h0*h0), (b[5][k]-2*b[4][k]+b[3][k])/(h1*h1)
				if math.Abs(slope0-slope1) > 1e-12 || math.Abs(bend0-bend1) > 1e-12 {
					t.Errorf("%s: point %d: slopes %g and %g, curvatures %g and %g", c.name, i, slope0, slope1, bend0, bend1)
				}
			}
		}
		if c.start != nil {
			d := diff(s.Points[1], s.Points[0])
			if math.Abs(d[0]) > 1e-12 || d[1] <= 0 {
				t.Errorf("the start runs along %v, want straight up", d)
			}
		}
	}
	if _, err := Interpolate([]Point{{1, 1}, {1, 1}}, nil, nil); err == nil {
		t.Error("a spline through one place is no error")
	}
}

// curves returns one of each type, flattened.
func curves(t *testing.T) []Curve {
	t.Helper()
	var out []Curve
	add := func(k Conic, n int) {
		c, ok := FromConic(k, n)
		if !ok {
			t.Fatal("a conic is no curve")
		}
		out = append(out, c)
	}
	add(Conic{C: Point{5, 6}, U: Point{3}, V: Point{0, 3}, Start: 0.3, Sweep: 2}, 9)
	add(Conic{C: Point{5, 6}, U: Point{0, 3}, V: Point{3}, Start: 0.3, Sweep: 2}, 9) // mirrored: clockwise
	add(Conic{C: Point{5, 6}, U: Point{3}, V: Point{0, 3}, Sweep: 2 * math.Pi}, 20)
	add(Conic{C: Point{5, 6}, U: Point{7, 1}, V: Point{-0.5, 2}, Start: 1, Sweep: -3}, 15)
	add(Conic{C: Point{5, 6}, U: Point{2, 1}, V: Point{-3, 6}, Start: 1, Sweep: 2 * math.Pi}, 30)
	s := circleSpline()
	out = append(out, Curve{Type: Splines, Spline: s, Segments: s.Steps(0.01)})
	s = &Spline{Degree: 3, Knots: []float64{0, 0, 0, 0, 1, 3, 4, 4, 4, 4}, Points: []Point{{0, 0}, {1, 2}, {3, 3}, {5, -1}, {6, 0}, {8, 1}}}
	out = append(out, Curve{Type: Splines, Spline: s, Segments: s.Steps(0.01)})
	out = append(out, Curve{Type: Bulges, Bulges: []float64{0.5, 0, -0.3, 1}, Segments: []int{6, 1, 4, 8}})
	return out
}

// flattened returns the vertices of a curve; those of bulges between fixed
// places.
func flattened(c Curve) []complex128 {
	if c.Type != Bulges {
		return c.flatten()
	}
	base := []Point{{0, 0}, {4, 0}, {6, 3}, {2, 5}, {0, 4}}
	v := []Point{base[0]}
	for i, b := range c.Bulges {
		v = AppendBulge(v, base[i], base[i+1], b, c.Segments[i])
	}
	out := make([]complex128, len(v))
	for i, p := range v {
		out[i] = complex(p[0], p[1])
	}
	return out
}

func TestConicAndCurveAgree(t *testing.T) {
	k := Conic{C: Point{5, 6}, U: Point{7, 1}, V: Point{2, 4}, Start: 1, Sweep: 3}
	c, ok := FromConic(k, 12)
	if !ok || c.Type != Ellipse {
		t.Fatalf("got %+v", c)
	}
	if !(c.Ratio > 0 && c.Ratio <= 1) {
		t.Errorf("ratio %g", c.Ratio)
	}
	for i, z := range c.flatten() {
		p := k.At(1 + 3*float64(i)/12)
		if math.Hypot(real(z)-p[0], imag(z)-p[1]) > 1e-12 {
			t.Errorf("vertex %d: %v against %v", i, z, p)
		}
	}
	if _, ok := FromConic(Conic{U: Point{1, 2}, V: Point{2, 4}, Sweep: 1}, 3); ok {
		t.Error("an ellipse seen edge-on is a curve")
	}
}

func TestRefitAfterASimilarity(t *testing.T) {
	const tol = 1e-7
	for _, c := range curves(t) {
		for _, turn := range []float64{0, 1, -2.5, math.Pi} {
			for _, scale := range []float64{1, 0.001, 1.0004} {
				for variant := 0; variant < 4; variant++ {
					v := flattened(c)
					s := similarity{a: complex(scale*math.Cos(turn), scale*math.Sin(turn)), b: complex(500000, 6200000), mirrored: variant&1 != 0}
					flat := make([]float64, 0, 3*len(v))
					for i := range v {
						z := v[i]
						if variant&2 != 0 {
							z = v[len(v)-1-i]
						}
						z = s.apply(z)
						flat = append(flat, real(z), imag(z), math.NaN())
					}
					fit, ok := c.Refit(flat, 3, tol)
					if !ok {
						t.Errorf("%s turned %g, scaled %g, variant %d: not found again", c.Type, turn, scale, variant)
						continue
					}
					if c.Type == Bulges {
						for i, at := range fit.Base {
							if i > 0 && at-fit.Base[i-1] != fit.Curve.Segments[i-1] {
								t.Errorf("bulges: base %v for segments %v", fit.Base, fit.Curve.Segments)
							}
						}
						continue
					}
					for i, z := range fit.Curve.flatten() {
						if math.Hypot(real(z)-flat[3*i], imag(z)-flat[3*i+1]) > 1e-8 {
							t.Errorf("%s turned %g, scaled %g, variant %d: vertex %d is %v, want %v", c.Type, turn, scale, variant, i, z, flat[3*i:3*i+2])
							break
						}
					}
				}
			}
		}
	}
}

func TestRefitRefusesAMovedVertex(t *testing.T) {
	const tol = 0.0005
	for _, c := range curves(t) {
		v := flattened(c)
		var flat []float64
		for _, z := range v {
			flat = append(flat, real(z), imag(z))
		}
		if _, ok := c.Refit(flat, 2, tol); !ok {
			t.Errorf("%s: not found on its own vertices", c.Type)
		}
		moved := append([]float64(nil), flat...)
		moved[4] += 0.05 // an inner vertex of every one of them
		if _, ok := c.Refit(moved, 2, tol); ok {
			t.Errorf("%s: found although a vertex moved by 5 cm", c.Type)
		}
		if _, ok := c.Refit(flat[:len(flat)-2], 2, tol); ok {
			t.Errorf("%s: found although a vertex is missing", c.Type)
		}
		if c.Type == Arc || c.Type == Ellipse {
			sheared := append([]float64(nil), flat...)
			for i := 0; i < len(sheared); i += 2 {
				sheared[i] *= 1.1
			}
			if _, ok := c.Refit(sheared, 2, tol); ok {
				t.Errorf("%s: found although it was stretched one way", c.Type)
			}
		}
	}
}

func TestAsBulges(t *testing.T) {
	for _, c := range curves(t) {
		v := flattened(c)
		var flat []float64
		for _, z := range v {
			flat = append(flat, real(z), imag(z))
		}
		b, bent := AsBulges(c.Value(), flat, 2, 1e-9)
		if b.Vertices() != len(v) {
			t.Errorf("%s: %d vertices, want %d", c.Type, b.Vertices(), len(v))
		}
		if want := c.Type == Arc || c.Type == Circle || c.Type == Bulges; bent != want {
			t.Errorf("%s: bent %v, want %v", c.Type, bent, want)
		}
		if _, ok := b.Refit(flat, 2, 1e-9); !ok {
			t.Errorf("%s: its bulges do not lie on its vertices", c.Type)
		}
		flat[2] += 1
		if b, bent := AsBulges(c.Value(), flat, 2, 1e-9); bent || len(b.Bulges) != len(v)-1 {
			t.Errorf("%s: bends although a vertex was moved", c.Type)
		}
	}
}

func TestValueAndParse(t *testing.T) {
	for _, c := range curves(t) {
		v := c.Value()
		back, err := Parse(v)
		if err != nil {
			t.Errorf("%s: %v", c.Type, err)
			continue
		}
		a, b := flattened(c), flattened(back)
		if len(a) != len(b) {
			t.Errorf("%s: %d vertices, then %d", c.Type, len(a), len(b))
			continue
		}
		for i := range a {
			if d := a[i] - b[i]; math.Hypot(real(d), imag(d)) > 1e-12 {
				t.Errorf("%s: vertex %d moved by %v", c.Type, i, d)
				break
			}
		}
		if back.Vertices() != len(a) {
			t.Errorf("%s: Vertices is %d, has %d", c.Type, back.Vertices(), len(a))
		}
	}
}

func TestParseRefuses(t *testing.T) {
	for _, c := range []struct{ json, problem string }{
		{`[]`, "a curve is an object, got a list"},
		{`{}`, `there is no type of curve called ""`},
		{`{"type":"arc","centre":[1],"radius":2,"start_deg":0,"sweep_deg":9,"segments":2}`, "curve: centre must be two numbers"},
		{`{"type":"arc","centre":[1,2],"radius":-2,"start_deg":0,"sweep_deg":9,"segments":2}`, "curve: radius must be more than 0"},
		{`{"type":"arc","centre":[1,2],"radius":2,"start_deg":0,"sweep_deg":0,"segments":2}`, "curve: sweep_deg must be within 360 and not 0"},
		{`{"type":"arc","centre":[1,2],"radius":2,"start_deg":0,"sweep_deg":400,"segments":2}`, "curve: sweep_deg must be within 360 and not 0"},
		{`{"type":"arc","centre":[1,2],"radius":2,"start_deg":0,"sweep_deg":9,"segments":1.5}`, "curve: segments must be a whole number from 1 up"},
		{`{"type":"ellipse","centre":[1,2],"major":[0,0],"ratio":1,"start_deg":0,"sweep_deg":9,"segments":2}`, "curve: major has no length"},
		{`{"type":"bulges","bulges":[1,0],"segments":[3]}`, "curve: segments must hold 2 numbers, got 1"},
		{`{"type":"bulges","bulges":[1],"segments":[0]}`, "curve: segments must be whole numbers from 1 up"},
		{`{"type":"bulges","bulges":[1],"segments":[9e9]}`, "curve: segments must be whole numbers from 1 up"},
		{`{"type":"spline","degree":2,"knots":[0,0,0,1,1],"points":[[0,0],[1,1],[2,0]],"segments":[4]}`, "a spline of degree 2 with 3 control points needs 6 knots, got 5"},
		{`{"type":"spline","degree":2,"knots":[0,0,1,0,1,1],"points":[[0,0],[1,1],[2,0]],"segments":[4]}`, "knot 4 of a spline is less than the one before"},
		{`{"type":"spline","degree":2,"knots":[0,0,0,0,0,0],"points":[[0,0],[1,1],[2,0]],"segments":[4]}`, "a spline has no length between its end knots"},
		{`{"type":"spline","degree":2,"knots":[0,0,0,1,1,1],"points":[[0,0],[1,1],[2,0]],"weights":[1,0,1],"segments":[4]}`, "a spline has a weight that is not more than 0"},
		{`{"type":"spline","degree":1,"knots":[0,0,1,1,2,2],"points":[[0,0],[1,1],[2,0],[3,0]],"segments":[4,4]}`, "knot 3 of a spline of degree 1 stands more than 1 times: the curve would be torn there"},
		{`{"type":"spline","degree":99,"knots":[0],"points":[[0,0]],"segments":[4]}`, "a spline's degree is 1 to 25, got 99"},
	} {
		v, err := jsontext.Parse([]byte(c.json))
		if err != nil {
			t.Fatal(err)
		}
		if _, err := Parse(v); err == nil || err.Error() != c.problem {
			t.Errorf("%s: got %v, want %s", c.json, err, c.problem)
		}
	}
}

func FuzzParse(f *testing.F) {
	for _, seed := range []string{
		`{"type":"arc","centre":[1,2],"radius":2,"start_deg":0,"sweep_deg":90,"segments":2}`,
		`{"type":"circle","centre":[1,2],"radius":2,"start_deg":10,"sweep_deg":-360,"segments":9}`,
		`{"type":"ellipse","centre":[1,2],"major":[3,4],"ratio":0.5,"start_deg":0,"sweep_deg":90,"segments":5}`,
		`{"type":"spline","degree":2,"knots":[0,0,0,1,1,1],"points":[[0,0],[1,1],[2,0]],"weights":[1,2,1],"segments":[4]}`,
		`{"type":"bulges","bulges":[1,0,-0.5],"segments":[3,1,2]}`,
	} {
		f.Add([]byte(seed))
	}
	f.Fuzz(func(t *testing.T, data []byte) {
		v, err := jsontext.Parse(data)
		if err != nil {
			return
		}
		c, err := Parse(v)
		if err != nil || c.Vertices() > 10000 {
			return
		}
		if c.Type != Bulges {
			if n := len(c.flatten()); n != c.Vertices() {
				t.Fatalf("%d vertices, Vertices says %d", n, c.Vertices())
			}
		}
		flat := make([]float64, 2*c.Vertices())
		for i := range flat {
			flat[i] = float64(i * i % 17)
		}
		c.Refit(flat, 2, 1e-3)
		if _, err := Parse(c.Value()); err != nil {
			t.Fatalf("its own value is refused: %v", err)
		}
	})
}
