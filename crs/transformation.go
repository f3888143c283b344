// Transformation: one datum step of the registry, by its code.

package crs

import (
	"fmt"
	"math"
	"strings"
)

// Transformation is one transformation of the registry between two datums, as
// the registry states it. NewOperation chooses among them; this is for showing
// one and for comparing.
type Transformation struct {
	r *stepRegistry
	s *registryStep
}

// Transformations lists all that are built in, in the order of the table:
// those on earth-centred axes, offsets, and those that need a grid file.
func Transformations() []Transformation {
	r := steps0()
	out := make([]Transformation, 0, len(r.steps))
	for _, s := range r.steps {
		out = append(out, Transformation{r, s})
	}
	return out
}

// FindTransformation returns the transformation of an EPSG code.
func FindTransformation(code int) (Transformation, error) {
	r := steps0()
	s := r.byCode[code]
	if s == nil {
		return Transformation{}, fmt.Errorf("EPSG:%d is not among the transformations of %s that are built in", code, r.source())
	}
	return Transformation{r, s}, nil
}

// Code is the EPSG code, 0 for the few that are not from the registry.
func (t Transformation) Code() int { return t.s.code }

// Name is the registry's name.
func (t Transformation) Name() string { return t.s.name }

// Method is the EPSG code of the method and its name in short.
func (t Transformation) Method() (code int, name string) { return t.s.method, methodNames[t.s.method] }

// Datums are the registry's names of the two datums.
func (t Transformation) Datums() (from, to string) { return t.s.src.name, t.s.dst.name }

// Ellipsoids are the semi-major axis in metres and the inverse flattening of
// the two ellipsoids.
func (t Transformation) Ellipsoids() (from, to [2]float64) {
	return [2]float64{t.s.src.el.a, t.s.src.el.invF}, [2]float64{t.s.dst.el.a, t.s.dst.el.invF}
}

// Accuracy is the stated accuracy; known is false when there is none.
func (t Transformation) Accuracy() (accuracy Metres, known bool) {
	if math.IsNaN(t.s.accuracy) {
		return 0, false
	}
	return Metres(t.s.accuracy), true
}

// Source says where name, parameters and accuracy come from.
func (t Transformation) Source() string {
	if t.s.source != "" {
		return t.s.source
	}
	return t.r.source()
}

// AreaName names the area of use.
func (t Transformation) AreaName() string { return t.s.area() }

// Area is the box of the first area of use in degrees; west > east when it
// crosses the antimeridian.
func (t Transformation) Area() (west, south, east, north float64) {
	e := t.s.extents[0]
	return e.west, e.south, e.east, e.north
}

// Files are the names of the files, of grids or of a deformation model, that
// the transformation can be done with, none when it needs none.
func (t Transformation) Files() []string {
	var out []string
	for _, f := range t.s.files {
		out = append(out, strings.TrimPrefix(f, "-"))
	}
	return out
}

// TimeDependent reports whether the epoch of the coordinates matters.
func (t Transformation) TimeDependent() bool { return t.s.timed() }

// Apply transforms longitude and latitude in degrees from Greenwich and, from
// stride 3 up, ellipsoidal height in metres, in place, from the first datum to
// the second or back. The epoch is that of the coordinates, a decimal year; it
// matters when TimeDependent. Transformations that need a file are done with
// the Shift of what it holds.
func (t Transformation) Apply(flat []float64, stride int, epoch float64, inverse bool) error {
	if err := checkStride(flat, stride, 2); err != nil {
		return err
	}
	if t.s.byFile() {
		return fmt.Errorf("%s needs the file %s", t.r.label(t.s), t.Files()[0])
	}
	if t.TimeDependent() && epoch == 0 {
		return &EpochError{Step: t.r.label(t.s), Side: "source"}
	}
	op := &Operation{}
	p, _, err := op.piece(t.r, link{registryStep: t.s, inverse: inverse}, epoch)
	if err != nil {
		return err
	}
	if p.takenOver() && (t.s.kind != stepHelmert || !geocentricMethod(t.s.method)) {
		// As in an operation: latitude and longitude are taken over.
		return nil
	}
	s := stage{src: p.src, dst: p.dst, a: p.a, shift: p.kind == stepOffset, offset: p.offset}
	return s.apply(flat, stride, true)
}

// geocentricMethod reports whether a method is defined on X, Y, Z rather than
// on latitude and longitude.
func geocentricMethod(method int) bool {
	switch method {
	case 1031, 1032, 1033, 1034, 1053, 1056, 1061, 1065, 1066:
		return true
	}
	return false
}
