// Package adjust fits by least squares and judges the fit: the plane
// transformation that puts a drawing on the ground from marks, the common shift
// of marks measured again, and the distributions both are tested by. It knows
// no coordinate system: lengths are metres of a plane grid, angles degrees.
//
// Fit places a drawing and names the marks that do not fit the others; FitShift
// says whether marks have moved, by how much, and how small a movement they
// could have shown. Every figure that needs more marks, or known standard
// deviations, than there are has a flag that says so.
package adjust

import (
	"fmt"
	"math"
	"strings"
)

// degPerRad is the degrees of a radian.
const degPerRad = 180 / math.Pi

// Model is the kind of plane transformation a placement fits.
type Model uint8

// The models, in the order of their freedom.
const (
	ModelShift      Model = iota + 1 // two shifts
	ModelRigid                       // and a rotation
	ModelSimilarity                  // and a scale
	ModelAffine                      // and a second scale and a skew
)

var modelNames = [...]string{ModelShift: "shift", ModelRigid: "rigid", ModelSimilarity: "similarity", ModelAffine: "affine"}

// String is the model's name.
func (m Model) String() string {
	if m < ModelShift || m > ModelAffine {
		return fmt.Sprintf("Model(%d)", uint8(m))
	}
	return modelNames[m]
}

// ParseModel is the inverse of String.
func ParseModel(text string) (Model, error) {
	for m := ModelShift; m <= ModelAffine; m++ {
		if strings.EqualFold(text, modelNames[m]) {
			return m, nil
		}
	}
	return 0, fmt.Errorf("model %q is not one of shift, rigid, similarity, affine", text)
}

// parameters is the number of unknowns, leastMarks the fewest marks that fix
// them.
func (m Model) parameters() int {
	return [...]int{ModelShift: 2, ModelRigid: 3, ModelSimilarity: 4, ModelAffine: 6}[m]
}
func (m Model) leastMarks() int {
	return [...]int{ModelShift: 1, ModelRigid: 2, ModelSimilarity: 2, ModelAffine: 3}[m]
}

// PlaneTransform is the map from a drawing to a grid
//
//	E = ShiftE + A x + B y
//	N = ShiftN + C x + D y
//
// EPSG method 9624, and 9621 when A = D and B = -C. Heights get HeightShift
// added; a height of NaN stays NaN.
type PlaneTransform struct {
	A, B, C, D     float64
	ShiftE, ShiftN float64
	HeightShift    float64
}

// Similarity is the transformation that turns by rotation, the bearing in
// degrees of the drawing's y axis, clockwise from grid north, and multiplies
// lengths by scale: the sense of theta of EPSG method 9621.
func Similarity(scale, rotation, shiftE, shiftN float64) PlaneTransform {
	s, c := math.Sincos(rotation * (math.Pi / 180))
	return PlaneTransform{A: scale * c, B: scale * s, C: -scale * s, D: scale * c, ShiftE: shiftE, ShiftN: shiftN}
}

// Scale is the factor of lengths, the root of that of areas where the two axes
// differ.
func (t PlaneTransform) Scale() float64 { return math.Sqrt(math.Abs(t.det())) }

// Rotation is the bearing in the grid of the drawing's y axis, in degrees
// clockwise from grid north, within -180 and 180.
func (t PlaneTransform) Rotation() float64 { return math.Atan2(t.B, t.D) * degPerRad }

func (t PlaneTransform) det() float64 { return t.A*t.D - t.B*t.C }

// Check says what is wrong with the transformation: a number that is none, or a
// drawing flattened to a line or a point.
func (t PlaneTransform) Check() error {
	for _, v := range []float64{t.A, t.B, t.C, t.D, t.ShiftE, t.ShiftN, t.HeightShift} {
		if math.IsNaN(v) || math.IsInf(v, 0) {
			return fmt.Errorf("a parameter of the placement is no number")
		}
	}
	size := math.Max(math.Hypot(t.A, t.C), math.Hypot(t.B, t.D))
	if !(math.Abs(t.det()) > 1e-12*size*size) || size == 0 {
		return fmt.Errorf("the placement flattens the drawing to a line and cannot be undone")
	}
	return nil
}

// Apply maps the coordinates flat (stride numbers a point: x y [h]) in place.
// Numbers after the third of a point are left alone. The error names the first
// point whose coordinates are no numbers.
func (t PlaneTransform) Apply(flat []float64, stride int) error {
	if err := checkStride(flat, stride); err != nil {
		return err
	}
	for i := 0; i+1 < len(flat); i += stride {
		x, y := flat[i], flat[i+1]
		e, n := t.ShiftE+(t.A*x+t.B*y), t.ShiftN+(t.C*x+t.D*y)
		if e-e != 0 || n-n != 0 {
			return noNumber(i/stride, x, y)
		}
		flat[i], flat[i+1] = e, n
		if stride > 2 {
			flat[i+2] += t.HeightShift
		}
	}
	return nil
}

// Per returns the transformation whose results are in units of so many of t's:
// of a grid in metres, that of the same grid in feet.
func (t PlaneTransform) Per(unit float64) PlaneTransform {
	t.A, t.B, t.C, t.D = t.A/unit, t.B/unit, t.C/unit, t.D/unit
	t.ShiftE, t.ShiftN = t.ShiftE/unit, t.ShiftN/unit
	return t
}

// Inverse returns the transformation back, from the grid to the drawing.
func (t PlaneTransform) Inverse() (PlaneTransform, error) {
	if err := t.Check(); err != nil {
		return PlaneTransform{}, err
	}
	k := 1 / t.det()
	inv := PlaneTransform{A: t.D * k, B: -t.B * k, C: -t.C * k, D: t.A * k, HeightShift: -t.HeightShift}
	inv.ShiftE = -(inv.A*t.ShiftE + inv.B*t.ShiftN)
	inv.ShiftN = -(inv.C*t.ShiftE + inv.D*t.ShiftN)
	return inv, nil
}

// ApplyInverse maps coordinates of the grid back to the drawing, in place.
func (t PlaneTransform) ApplyInverse(flat []float64, stride int) error {
	inv, err := t.Inverse()
	if err != nil {
		return err
	}
	// The shift is taken off first: subtracting nearby numbers is exact, the
	// shift of the inverse is a product of large ones.
	if err := checkStride(flat, stride); err != nil {
		return err
	}
	for i := 0; i+1 < len(flat); i += stride {
		e, n := flat[i]-t.ShiftE, flat[i+1]-t.ShiftN
		x, y := inv.A*e+inv.B*n, inv.C*e+inv.D*n
		if x-x != 0 || y-y != 0 {
			return noNumber(i/stride, flat[i], flat[i+1])
		}
		flat[i], flat[i+1] = x, y
		if stride > 2 {
			flat[i+2] -= t.HeightShift
		}
	}
	return nil
}

func noNumber(index int, x, y float64) error {
	return fmt.Errorf("point %d (%.10g, %.10g): not a number", index+1, x, y)
}

// checkStride says what is wrong with the shape of a slice of coordinates.
func checkStride(flat []float64, stride int) error {
	if stride < 2 {
		return fmt.Errorf("%d numbers a point where at least 2 are needed", stride)
	}
	if len(flat)%stride != 0 {
		return fmt.Errorf("%d numbers are no whole count of points of %d", len(flat), stride)
	}
	return nil
}

// Mark is a point known in the drawing and in the grid.
type Mark struct {
	Name string
	X, Y float64 // in the drawing, in its units
	E, N float64 // in the grid, metres
	// Z and H are heights in the drawing and in the grid, metres; both NaN or
	// both 0 when there are none (Heights says which marks have them).
	Z, H    float64
	Heights bool
	// Sigma is the standard deviation of E and of N in metres, 0 when not
	// known. All marks of a fit have one or none has.
	Sigma float64
}

// FitOptions are what is known besides the marks.
type FitOptions struct {
	// CombinedFactor is the length on the grid of a metre on the ground at the
	// place (scale factor times height factor), 0 when not known.
	CombinedFactor float64
	// Level is the probability that a fit of good marks names one of them, 0.05
	// when 0.
	Level float64
	// LeastM is a distance in metres that does not matter: a mark that the
	// others put no farther from its given position is no suspect, however
	// small their own residuals are.
	LeastM float64
}

// MarkFit is what a fit says of one mark. Lengths are in metres.
type MarkFit struct {
	Name     string
	DE, DN   float64 // residual: placed less given
	Residual float64 // its length
	// DH is the residual of the height, 0 without one.
	DH         float64
	HasHeight  bool
	W          float64 // length of the residual in units of its own standard deviation
	Critical   float64 // W beyond which the mark is suspect
	Testable   bool    // whether W means anything
	Suspect    bool
	LeftOut    float64 // distance from the given position when the mark takes no part in the fit
	HasLeftOut bool
	Redundancy float64 // part of the mark, 0 to 2, that the others check
}

// Placement is a fitted plane transformation with its quality. Lengths are in
// metres, angles in degrees.
type Placement struct {
	PlaneTransform
	Model             Model
	Marks             []MarkFit
	Redundancy        int
	ReferenceVariance float64 // sum of weighted squares over redundancy; in m² without known sigmas
	SigmaKnown        bool
	RMS               float64 // of the residual lengths
	// Standard errors, meaningful when HasErrors: of the shift at the centroid
	// of the marks, of the rotation, of the scale (relative).
	HasErrors  bool
	ShiftSE    float64
	RotationSE float64
	ScaleSE    float64
	// The test of the whole fit, with known sigmas only: the chi-square value,
	// the limit it should stay under, and whether it does.
	ChiSquare, ChiSquareLimit float64
	Consistent                bool
	// Suspects are marks that do not fit, the worst first; each was named with
	// the ones before it left out.
	Suspects []string
	Notes    []string

	cofactor [][]float64
	centre   [2]float64
	length   float64
	sigma0   float64
}

// StandardError is the standard error in metres of the placed position, east
// and north, of the drawing's point x, y; ok is false when the fit has no
// redundancy and no known sigma.
func (p *Placement) StandardError(x, y float64) (e, n float64, ok bool) {
	if !p.HasErrors {
		return 0, 0, false
	}
	r := p.Model.rows((x-p.centre[0])/p.length, (y-p.centre[1])/p.length, p.PlaneTransform, p.length)
	var out [2]float64
	for k := range out {
		out[k] = p.sigma0 * math.Sqrt(math.Max(0, quadratic(p.cofactor, r[k])))
	}
	return out[0], out[1], true
}
