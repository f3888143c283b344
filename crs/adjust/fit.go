// Fitting: least squares for a placement from marks, its tests and its notes.

package adjust

import (
	"fmt"
	"math"
	"strings"
)

// Fit fits a placement of the model to the marks by least squares: the sum of
// the squares of the residuals on the grid, weighted by 1/Sigma², is least
// (Ghilani, Adjustment Computations, chapter 18). Shift, similarity and affine
// are linear; for the rigid model the best angle is the closed solution for
// weights equal in E and N, so that any rotation is found.
//
// Blunders: each mark's residual in the plane is tested against its own
// covariance (the w-test of Baarda for two components at once); the test value
// is normal with known sigmas and Pope's tau, in two dimensions, without them.
// The level is shared out between the marks. Suspects are named one at a time,
// the fit being repeated without those already named.
//
// Errors: too few marks for the model, marks in one place, marks on one line
// (affine), a coordinate that is no number, two marks of one name, sigmas on
// some marks only.
func Fit(model Model, marks []Mark) (*Placement, error) {
	return FitWith(model, marks, FitOptions{})
}

// FitWith is Fit with what else is known.
func FitWith(model Model, marks []Mark, o FitOptions) (*Placement, error) {
	if o.Level == 0 {
		o.Level = 0.05
	}
	if !(o.Level > 0 && o.Level < 1) {
		return nil, fmt.Errorf("level %v is not a probability", o.Level)
	}
	if err := checkMarks(model, marks); err != nil {
		return nil, err
	}
	f, err := adjust(model, marks)
	if err != nil {
		return nil, err
	}
	p := f.placement(o)
	p.nameSuspects(model, marks, o)
	p.leaveOneOut(model, marks)
	p.fitHeights(marks)
	p.explain(model, marks, o)
	return p, nil
}

func checkMarks(model Model, marks []Mark) error {
	if model < ModelShift || model > ModelAffine {
		return fmt.Errorf("%v is not a model", model)
	}
	if need := model.leastMarks(); len(marks) < need {
		return fmt.Errorf("a %s placement needs at least %d %s and %s given", model, need, plural(need, "mark"), were(len(marks)))
	}
	seen := map[string]bool{}
	withSigma := 0
	for _, m := range marks {
		for _, v := range []float64{m.X, m.Y, m.E, m.N, m.Sigma} {
			if math.IsNaN(v) || math.IsInf(v, 0) || math.Abs(v) > 1e12 {
				return fmt.Errorf("mark %q: %v is not a coordinate", m.Name, v)
			}
		}
		if m.Heights && (m.Z-m.Z != 0 || m.H-m.H != 0) {
			return fmt.Errorf("mark %q: a height that is no number", m.Name)
		}
		if m.Sigma < 0 {
			return fmt.Errorf("mark %q: standard deviation %v m is below 0", m.Name, m.Sigma)
		}
		if m.Sigma > 0 {
			withSigma++
		}
		if seen[m.Name] {
			return fmt.Errorf("two marks are called %q", m.Name)
		}
		seen[m.Name] = true
	}
	if withSigma != 0 && withSigma != len(marks) {
		return fmt.Errorf("%d of %d marks have a standard deviation: give it for all or for none", withSigma, len(marks))
	}
	return nil
}

func plural(n int, word string) string {
	if n == 1 {
		return word
	}
	return word + "s"
}

func were(n int) string {
	switch n {
	case 0:
		return "none was"
	case 1:
		return "1 was"
	}
	return fmt.Sprintf("%d were", n)
}

// rows are the partial derivatives of E and N by the parameters at the reduced
// point xi, eta (drawing coordinates less the centroid, over the length). The
// parameters of all models start with the two shifts at the centroid; the
// others are in units that make every column about 1.
func (m Model) rows(xi, eta float64, t PlaneTransform, length float64) [2][]float64 {
	switch m {
	case ModelRigid:
		// Rotation r: dE = -sin r x + cos r y, dN = -cos r x - sin r y, times
		// the length, so that the parameter is a length on the ground.
		return [2][]float64{{1, 0, t.C*xi + t.D*eta}, {0, 1, -t.A*xi - t.B*eta}}
	case ModelSimilarity:
		return [2][]float64{{1, 0, xi, eta}, {0, 1, eta, -xi}}
	case ModelAffine:
		return [2][]float64{{1, 0, xi, eta, 0, 0}, {0, 1, 0, 0, xi, eta}}
	}
	return [2][]float64{{1, 0}, {0, 1}}
}

// adjustment is a least-squares fit before it is judged.
type adjustment struct {
	model     Model
	marks     []Mark
	weights   []float64
	t         PlaneTransform
	centre    [2]float64 // weighted centroid in the drawing
	target    [2]float64 // and in the grid
	length    float64    // root mean square distance from the centroid, drawing units
	cofactor  [][]float64
	residuals [][2]float64
	sum       float64 // weighted sum of squares
	known     bool
	warn      []string
}

// adjust solves for the parameters.
func adjust(model Model, marks []Mark) (*adjustment, error) {
	f := &adjustment{model: model, marks: marks, weights: make([]float64, len(marks)), known: marks[0].Sigma > 0}
	m := f.moments()
	f.length = math.Sqrt(m.xx + m.yy)
	if model != ModelShift {
		// What rounding leaves of a distance of 0 between large coordinates.
		noise := 1e-9 * (1 + math.Hypot(f.centre[0], f.centre[1])*1e-3)
		if !(f.length > noise) {
			return nil, fmt.Errorf("the marks are all in one place in the drawing: no %s placement follows", model)
		}
		if !(math.Sqrt(m.ee) > 1e-9*(1+math.Hypot(f.target[0], f.target[1])*1e-3)) {
			return nil, fmt.Errorf("the marks are all in one place on the ground: no %s placement follows", model)
		}
	}
	if err := f.solve(m); err != nil {
		return nil, err
	}
	f.t.ShiftE = f.target[0] - (f.t.A*f.centre[0] + f.t.B*f.centre[1])
	f.t.ShiftN = f.target[1] - (f.t.C*f.centre[0] + f.t.D*f.centre[1])
	return f, f.judge()
}

// moments are the weighted means of products about the two centroids: of the
// drawing, between drawing and grid, and ee of the grid, both axes together.
type moments struct{ xx, xy, yy, xe, xn, ye, yn, ee float64 }

// moments also sets the weights and the centroids.
func (f *adjustment) moments() (s moments) {
	total := 0.0
	for i, m := range f.marks {
		f.weights[i] = 1
		if f.known {
			f.weights[i] = 1 / (m.Sigma * m.Sigma)
		}
		total += f.weights[i]
	}
	for i, m := range f.marks {
		w := f.weights[i] / total
		f.centre[0] += w * m.X
		f.centre[1] += w * m.Y
		f.target[0] += w * m.E
		f.target[1] += w * m.N
	}
	for i, m := range f.marks {
		w := f.weights[i] / total
		x, y, e, n := m.X-f.centre[0], m.Y-f.centre[1], m.E-f.target[0], m.N-f.target[1]
		s.xx += w * x * x
		s.xy += w * x * y
		s.yy += w * y * y
		s.xe += w * x * e
		s.xn += w * x * n
		s.ye += w * y * e
		s.yn += w * y * n
		s.ee += w * (e*e + n*n)
	}
	return s
}

// solve finds what turns and stretches the drawing.
func (f *adjustment) solve(m moments) error {
	switch f.model {
	case ModelShift:
		f.t = PlaneTransform{A: 1, D: 1}
		if f.length == 0 {
			f.length = 1
		}
	case ModelRigid, ModelSimilarity:
		// a = s cos r, b = s sin r minimise the sum; for the rigid model only
		// their direction counts.
		a, b := (m.xe+m.yn)/(m.xx+m.yy), (m.ye-m.xn)/(m.xx+m.yy)
		size := math.Hypot(a, b)
		if !(size > 1e-9*math.Sqrt(m.ee)/f.length) {
			return fmt.Errorf("the marks fix no rotation: the drawing may be mirrored, or the marks may not belong together")
		}
		if f.model == ModelRigid {
			a, b = a/size, b/size
		}
		f.t = PlaneTransform{A: a, B: b, C: -b, D: a}
	case ModelAffine:
		det := m.xx*m.yy - m.xy*m.xy
		// The ratio of the small to the large principal axis of the marks.
		large := (m.xx+m.yy)/2 + math.Hypot((m.xx-m.yy)/2, m.xy)
		small := det / large
		if !(small > 1e-12*large) {
			return fmt.Errorf("the marks lie on one line: they fix no affine placement; use similarity or a mark off the line")
		}
		if small < 0.0025*large {
			f.warn = append(f.warn, "the marks lie nearly on one line: across it an affine placement is weak")
		}
		f.t = PlaneTransform{
			A: (m.xe*m.yy - m.ye*m.xy) / det, B: (m.ye*m.xx - m.xe*m.xy) / det,
			C: (m.xn*m.yy - m.yn*m.xy) / det, D: (m.yn*m.xx - m.xn*m.xy) / det,
		}
		if math.Abs(f.t.det())*large < 1e-9*m.ee {
			return fmt.Errorf("the marks lie on one line on the ground: they fix no affine placement")
		}
	}
	return nil
}

// judge finds the residuals and the cofactors of the parameters.
func (f *adjustment) judge() (err error) {
	normal := square(f.model.parameters())
	f.residuals = make([][2]float64, len(f.marks))
	for i, m := range f.marks {
		x, y, e, n := m.X-f.centre[0], m.Y-f.centre[1], m.E-f.target[0], m.N-f.target[1]
		f.residuals[i] = [2]float64{f.t.A*x + f.t.B*y - e, f.t.C*x + f.t.D*y - n}
		f.sum += f.weights[i] * (f.residuals[i][0]*f.residuals[i][0] + f.residuals[i][1]*f.residuals[i][1])
		for _, r := range f.model.rows(x/f.length, y/f.length, f.t, f.length) {
			for j := range r {
				for k := range r {
					normal[j][k] += f.weights[i] * r[j] * r[k]
				}
			}
		}
	}
	if f.cofactor, err = invertSymmetric(normal); err != nil {
		return fmt.Errorf("the marks do not fix a %s placement: %w", f.model, err)
	}
	return nil
}

func square(n int) [][]float64 {
	m := make([][]float64, n)
	for i := range m {
		m[i] = make([]float64, n)
	}
	return m
}

// invertSymmetric inverts a positive definite matrix by Cholesky's method.
func invertSymmetric(a [][]float64) ([][]float64, error) {
	n := len(a)
	l := square(n)
	for i := range n {
		for j := 0; j <= i; j++ {
			sum := a[i][j]
			for k := range j {
				sum -= l[i][k] * l[j][k]
			}
			if i == j {
				if !(sum > 1e-13*a[i][i]) {
					return nil, fmt.Errorf("the normal equations are singular")
				}
				l[i][i] = math.Sqrt(sum)
			} else {
				l[i][j] = sum / l[j][j]
			}
		}
	}
	inv := square(n)
	for c := range n {
		y := make([]float64, n)
		for i := range n {
			if i == c {
				y[i] = 1
			}
			for k := range i {
				y[i] -= l[i][k] * y[k]
			}
			y[i] /= l[i][i]
		}
		for i := n - 1; i >= 0; i-- {
			for k := i + 1; k < n; k++ {
				y[i] -= l[k][i] * y[k]
			}
			y[i] /= l[i][i]
		}
		for i := range n {
			inv[i][c] = y[i]
		}
	}
	return inv, nil
}

// quadratic is r Q r.
func quadratic(q [][]float64, r []float64) float64 { return bilinear(q, r, r) }

// bilinear is r Q s.
func bilinear(q [][]float64, r, s []float64) float64 {
	sum := 0.0
	for i := range r {
		for j := range s {
			sum += r[i] * q[i][j] * s[j]
		}
	}
	return sum
}

// redundancy is the number of observations less that of unknowns.
func (f *adjustment) redundancy() int { return 2*len(f.marks) - f.model.parameters() }

// markTest is the test of one mark: t2 = v' Qv^-1 v over the variance of unit
// weight, and the trace of Qv P.
func (f *adjustment) markTest(i int, variance float64) (t2, part float64, ok bool) {
	m := f.marks[i]
	r := f.model.rows((m.X-f.centre[0])/f.length, (m.Y-f.centre[1])/f.length, f.t, f.length)
	p := 1 / f.weights[i]
	q11, q22 := p-quadratic(f.cofactor, r[0]), p-quadratic(f.cofactor, r[1])
	q12 := -bilinear(f.cofactor, r[0], r[1])
	part = (q11 + q22) / p
	det := q11*q22 - q12*q12
	if !(det > 1e-8*p*p) || !(variance > 0) {
		return 0, part, false
	}
	v := f.residuals[i]
	return (v[0]*v[0]*q22 - 2*v[0]*v[1]*q12 + v[1]*v[1]*q11) / det / variance, part, true
}

// critical is the square of the test value of a mark beyond which it is
// suspect, at the level alpha of one mark. ok is false when no test can tell
// one mark from the others: then every mark left out would leave a perfect fit.
func (f *adjustment) critical(alpha float64) (t2 float64, ok bool) {
	r := float64(f.redundancy())
	if r <= 2 {
		return 0, false
	}
	if f.known {
		return ChiSquareQuantile(1-alpha, 2), true
	}
	// Without known sigmas the residual is part of the variance it is measured
	// by: t2/2 (r-2)/(r-t2) has a Fisher distribution of 2 and r-2 degrees,
	// whose quantile is closed.
	d := r - 2
	fq := d / 2 * (math.Pow(alpha, -2/d) - 1)
	return 2 * r * fq / (d + 2*fq), true
}

// variance is that of unit weight: 1 with known sigmas, else estimated; 0 when
// unknown.
func (f *adjustment) variance() float64 {
	if f.known {
		return 1
	}
	if r := f.redundancy(); r > 0 {
		return f.sum / float64(r)
	}
	return 0
}

// placement turns the adjustment into its report.
func (f *adjustment) placement(o FitOptions) *Placement {
	p := &Placement{
		PlaneTransform: f.t, Model: f.model, Redundancy: f.redundancy(), SigmaKnown: f.known,
		cofactor: f.cofactor, centre: f.centre, length: f.length, Notes: f.warn,
	}
	if p.Redundancy > 0 {
		p.ReferenceVariance = f.sum / float64(p.Redundancy)
	}
	squares := 0.0
	crit2, testable := f.critical(o.Level / float64(len(f.marks)))
	for i, m := range f.marks {
		v := f.residuals[i]
		squares += v[0]*v[0] + v[1]*v[1]
		mf := MarkFit{Name: m.Name, DE: v[0], DN: v[1], Residual: math.Hypot(v[0], v[1])}
		t2, part, ok := f.markTest(i, f.variance())
		mf.Redundancy = part
		if ok && testable {
			mf.W, mf.Critical, mf.Testable = math.Sqrt(math.Max(0, t2)), math.Sqrt(crit2), true
		}
		p.Marks = append(p.Marks, mf)
	}
	p.RMS = math.Sqrt(squares / float64(len(f.marks)))
	if v := f.variance(); f.known || p.Redundancy > 0 {
		p.HasErrors, p.sigma0 = true, math.Sqrt(v)
		p.ShiftSE = p.sigma0 * math.Sqrt(f.cofactor[0][0])
		s := f.t.Scale()
		switch f.model {
		case ModelRigid:
			p.RotationSE = p.sigma0 * math.Sqrt(f.cofactor[2][2]) / f.length * degPerRad
		case ModelSimilarity, ModelAffine:
			// For the affine model the figures of its y axis.
			k := 2
			if f.model == ModelAffine {
				k = 5
			}
			p.ScaleSE = p.sigma0 * math.Sqrt(f.cofactor[k][k]) / f.length / s
			p.RotationSE = p.ScaleSE * degPerRad
		}
	}
	if f.known && p.Redundancy > 0 {
		p.ChiSquare, p.ChiSquareLimit = f.sum, ChiSquareQuantile(1-o.Level, float64(p.Redundancy))
		p.Consistent = p.ChiSquare <= p.ChiSquareLimit
	}
	return p
}

// nameSuspects finds blunders one at a time.
func (p *Placement) nameSuspects(model Model, marks []Mark, o FitOptions) {
	left := append([]Mark(nil), marks...)
	for len(left) > model.leastMarks() {
		f, err := adjust(model, left)
		if err != nil {
			return
		}
		crit2, ok := f.critical(o.Level / float64(len(left)))
		if !ok {
			return
		}
		// Residuals of rounding size are no evidence, however they compare.
		extent := f.length*f.t.Scale() + math.Hypot(f.target[0], f.target[1])*1e-6
		worst, at := crit2, -1
		for i := range left {
			t2, _, ok := f.markTest(i, f.variance())
			if ok && t2 > worst && math.Hypot(f.residuals[i][0], f.residuals[i][1]) > 1e-9*extent {
				worst, at = t2, i
			}
		}
		if at < 0 || leftOut(model, left, at) <= o.LeastM {
			return
		}
		p.Suspects = append(p.Suspects, left[at].Name)
		for i := range p.Marks {
			if p.Marks[i].Name == left[at].Name {
				p.Marks[i].Suspect = true
			}
		}
		left = append(left[:at:at], left[at+1:]...)
	}
}

// leftOut is how far from its given position the other marks put a mark,
// infinite when they cannot tell.
func leftOut(model Model, marks []Mark, i int) float64 {
	rest := append(append([]Mark(nil), marks[:i]...), marks[i+1:]...)
	f, err := adjust(model, rest)
	if err != nil {
		return math.Inf(1)
	}
	x, y := marks[i].X-f.centre[0], marks[i].Y-f.centre[1]
	return math.Hypot(f.t.A*x+f.t.B*y-(marks[i].E-f.target[0]), f.t.C*x+f.t.D*y-(marks[i].N-f.target[1]))
}

// leaveOneOut fits without each mark in turn and says how far off that mark
// then lies.
func (p *Placement) leaveOneOut(model Model, marks []Mark) {
	if len(marks) <= model.leastMarks() {
		return
	}
	for i := range marks {
		if d := leftOut(model, marks, i); !math.IsInf(d, 1) {
			p.Marks[i].LeftOut, p.Marks[i].HasLeftOut = d, true
		}
	}
}

// fitHeights fits the shift of the heights, the weighted mean over the marks
// that have them.
func (p *Placement) fitHeights(marks []Mark) {
	sum, total, n := 0.0, 0.0, 0
	for _, m := range marks {
		if !m.Heights {
			continue
		}
		w := 1.0
		if m.Sigma > 0 {
			w = 1 / (m.Sigma * m.Sigma)
		}
		sum += w * (m.H - m.Z)
		total += w
		n++
	}
	if n == 0 {
		p.Notes = append(p.Notes, "no mark has a height in both: heights are left as drawn")
		return
	}
	p.HeightShift = sum / total
	for i, m := range marks {
		if m.Heights {
			p.Marks[i].HasHeight, p.Marks[i].DH = true, m.Z+p.HeightShift-m.H
		}
	}
}

// unitRatios are scales that betray a unit: metres in one unit of the drawing.
var unitRatios = []struct {
	ratio float64
	name  string
}{
	{0.001, "millimetres"}, {0.01, "centimetres"}, {0.0254, "inches"}, {0.3048, "feet"}, {1200. / 3937, "US survey feet"},
	{0.9144, "yards"}, {1000, "kilometres"},
	{1 / 0.3048, "metres while the ground is given in feet"}, {3937. / 1200, "metres while the ground is given in US survey feet"},
	{1 / 0.001, "metres while the ground is given in millimetres"},
}

// unitOf names the units that a scale is near.
func unitOf(scale, se float64) string {
	var names []string
	var ratios []float64
	for _, u := range unitRatios {
		if math.Abs(scale/u.ratio-1) < 0.01 {
			names, ratios = append(names, u.name), append(ratios, u.ratio)
		}
	}
	if len(names) == 2 && ratios[0] != ratios[1] && se > 0 && se < 1e-6 {
		// The two feet differ by 2 parts in a million.
		if math.Abs(scale-ratios[0]) < math.Abs(scale-ratios[1]) {
			names = names[:1]
		} else {
			names = names[1:]
		}
	}
	return strings.Join(names, " or ")
}

// explain adds what the figures mean.
func (p *Placement) explain(model Model, marks []Mark, o FitOptions) {
	note := func(format string, a ...any) { p.Notes = append(p.Notes, fmt.Sprintf(format, a...)) }
	if p.Redundancy == 0 {
		note("%d %s %s just enough for a %s placement: they fit perfectly whatever their errors, and show nothing", len(marks), plural(len(marks), "mark"), map[bool]string{true: "is", false: "are"}[len(marks) == 1], model)
	} else if p.Redundancy <= 2 && model != ModelShift {
		note("with %d marks a bad one shows but cannot be told from the others", len(marks))
	}
	if p.SigmaKnown && p.Redundancy > 0 && !p.Consistent {
		note("the marks agree worse than their standard deviations say: chi-square %.2f, limit %.2f", p.ChiSquare, p.ChiSquareLimit)
	}
	if len(p.Suspects) > 0 {
		note("marks that do not fit the others: %s", strings.Join(p.Suspects, ", "))
	}
	// The scale, fitted or implied.
	scale, se := p.Scale(), p.ScaleSE
	var sim *adjustment
	if len(marks) >= 2 {
		if f, err := adjust(ModelSimilarity, marks); err == nil {
			sim = f
			if model == ModelShift || model == ModelRigid {
				scale = f.t.Scale()
				if v := f.variance(); v > 0 {
					se = math.Sqrt(v*f.cofactor[2][2]) / f.length / scale
				}
			}
		}
	}
	fitted := model == ModelSimilarity || model == ModelAffine
	if sim != nil || fitted {
		if unit := unitOf(scale, se); unit != "" {
			if fitted {
				note("the scale %.7g is that of a drawing in %s", scale, unit)
			} else {
				note("the marks are %.7g times as far apart on the ground as in the drawing: it seems to be in %s, and a %s placement keeps its lengths; name the unit", scale, unit, model)
			}
		} else if fitted && math.Abs(scale-1) > 0.01 {
			note("the scale %.7g is that of no unit known here: is the drawing to a paper scale, or do the marks not belong together?", scale)
		} else if math.Abs(scale-1) > 0.01 {
			note("the marks are %.5g times as far apart on the ground as in the drawing; a %s placement keeps its lengths", scale, model)
		} else {
			p.explainScale(scale, se, fitted, o, note)
		}
	}
	if sim != nil && model != ModelAffine {
		p.suspectMirror(sim, marks, note)
	}
	if model == ModelAffine {
		sx, sy := math.Hypot(p.A, p.C), math.Hypot(p.B, p.D)
		skew := math.Asin(math.Max(-1, math.Min(1, (p.A*p.B+p.C*p.D)/(sx*sy)))) * degPerRad
		if p.det() < 0 {
			note("the drawing is mirrored: its axes run the other way round on the ground")
		}
		if math.Abs(sx/sy-1) > 1e-4 || math.Abs(skew) > 0.01 {
			note("the placement stretches the drawing: scale %.6f along its x axis, %.6f along y, axes %.3f degrees from square", sx, sy, skew)
		}
	}
}

// explainScale says what a scale near 1 means beside the combined factor of the
// grid.
func (p *Placement) explainScale(scale, se float64, fitted bool, o FitOptions, note func(string, ...any)) {
	ppm := (scale - 1) * 1e6
	tol := math.Max(3*se, 5e-6)
	k := o.CombinedFactor
	switch {
	case k > 0 && math.Abs(k-1) > tol && math.Abs(scale/k-1) <= tol:
		note("the scale %.6f is the combined factor of the grid here, %.6f: the drawing has lengths on the ground, and the grid has them %+.0f mm in 100 m", scale, k, (k-1)*1e5)
	case k > 0 && math.Abs(k-1) > tol && math.Abs(scale-1) <= tol:
		note("the scale is 1 while the combined factor of the grid here is %.6f: the drawing has lengths on the grid already, not on the ground", k)
	case math.Abs(scale-1) > math.Max(tol, 20e-6):
		if fitted {
			note("the scale differs from 1 by %.0f parts in a million, %.0f mm in 100 m; %s", ppm, ppm*0.1, unexplained(k))
		} else {
			note("the marks are %.0f parts in a million farther apart on the ground than in the drawing; a placement that keeps lengths leaves that in the residuals; %s", ppm, unexplained(k))
		}
	}
}

func unexplained(k float64) string {
	if k > 0 {
		return fmt.Sprintf("the combined factor of the grid, %.6f, does not explain it: look for a wrong unit, paper stretch or a bad mark", k)
	}
	return "lengths on the grid instead of the ground would be one reason, a wrong unit or a bad mark others"
}

// Exchanged looks for two marks whose names have changed places: with one pair
// of positions on the ground exchanged every residual is within most metres,
// while without it one is not. ok is false when there is no such pair, more
// than one, or too few marks to tell.
func Exchanged(model Model, marks []Mark, most float64) (a, b string, worst float64, ok bool) {
	if 2*len(marks)-model.parameters() < 3 || len(marks) > mostExchanged {
		return "", "", 0, false
	}
	largest := func(list []Mark) float64 {
		f, err := adjust(model, list)
		if err != nil || model == ModelAffine && f.t.det() < 0 {
			return math.Inf(1)
		}
		d := 0.0
		for _, r := range f.residuals {
			d = math.Max(d, math.Hypot(r[0], r[1]))
		}
		return d
	}
	if largest(marks) <= most {
		return "", "", 0, false
	}
	found := 0
	for i := range marks {
		for k := i + 1; k < len(marks); k++ {
			list := append([]Mark(nil), marks...)
			list[i].E, list[i].N, list[k].E, list[k].N = list[k].E, list[k].N, list[i].E, list[i].N
			if d := largest(list); d <= most {
				found++
				a, b, worst = marks[i].Name, marks[k].Name, d
			}
		}
	}
	return a, b, worst, found == 1
}

// mostExchanged is for how many marks each pair is tried.
const mostExchanged = 40

// ImpliedScale is how many times as far apart the marks are on the ground as in
// the drawing, and in words the unit that it betrays, "" when none; ok is false
// when that cannot be told, or when the marks do not agree on it: without such
// a unit, no residual may be more than a fiftieth of the extent of the marks.
func ImpliedScale(marks []Mark) (scale float64, unit string, ok bool) {
	if len(marks) < 2 {
		return 0, "", false
	}
	f, err := adjust(ModelSimilarity, marks)
	if err != nil {
		return 0, "", false
	}
	scale, unit = f.t.Scale(), unitOf(f.t.Scale(), 0)
	for _, r := range f.residuals {
		if unit == "" && math.Hypot(r[0], r[1]) > f.length*scale/50 {
			return scale, "", false
		}
	}
	return scale, unit, true
}

// suspectMirror says when the marks fit far better mirrored or with x and y
// exchanged.
func (p *Placement) suspectMirror(sim *adjustment, marks []Mark, note func(string, ...any)) {
	if len(marks) < 3 {
		return
	}
	flipped := append([]Mark(nil), marks...)
	for i := range flipped {
		flipped[i].X, flipped[i].Y = flipped[i].Y, flipped[i].X
	}
	f, err := adjust(ModelSimilarity, flipped)
	if err != nil {
		return
	}
	// A tenth of the residual length, and not just rounding against rounding.
	if f.sum < 0.01*sim.sum && math.Sqrt(sim.sum/totalWeight(sim.weights)) > 1e-6*sim.length*sim.t.Scale() {
		note("the marks fit far better with x and y exchanged in one of the two lists, or with the drawing mirrored")
	}
}

func totalWeight(w []float64) float64 {
	sum := 0.0
	for _, v := range w {
		sum += v
	}
	return sum
}
