// Operation: the steps from one CRS to another, named, with their accuracy.

package crs

import (
	"fmt"
	"math"
	"strconv"
	"strings"
)

// OperationOptions say what the user allows and knows.
type OperationOptions struct {
	// FromEpoch and ToEpoch are decimal years, 0 when not known: the epochs of
	// the coordinates before and after. They matter in frames that move with
	// respect to the plates (ITRF, WGS 84 realisations); FromEpoch alone stands
	// for both. Where both are given and differ, Plate says which plate carries
	// the coordinates from one to the other.
	FromEpoch, ToEpoch float64
	// Near is a place in the plan, for choosing the best datum step; nil when
	// not known: the middle of the smaller area of use is taken.
	Near *Geodetic
	// AcceptAccuracy is the worst accuracy in metres the user will live with;
	// 0 means no limit was named.
	AcceptAccuracy Metres
	// AllowBallpark allows what is otherwise refused: steps whose accuracy
	// nobody states, steps outside their area of use, and, where there is no
	// step at all, latitudes and longitudes taken over as they are.
	AllowBallpark bool
	// Grids are the grid-shift files at hand; a registry operation that needs
	// one by name is used when it is there.
	Grids []*GridShift
	// Plate is the tectonic plate under the plan, by its four letters (EURA,
	// NOAM, AUST, see Plates); empty when not known.
	Plate string
}

// Step is one step of an operation, for reports.
type Step struct {
	Name     string // "OSGB36 to WGS 84 (6)"
	Code     string // "EPSG:1314", empty when the registry has none
	Method   string // "position vector, 7 parameters"
	Inverse  bool   // done from the step's target to its source
	Accuracy Metres // as the source states it
	Known    bool   // whether an accuracy is stated at all
	Null     bool   // the coordinates are taken over, nothing is moved
	Epoch    float64
	Source   string // where parameters and accuracy come from
	Area     string // the step's area of use
}

// String is the step in a line: name, code, accuracy.
func (s Step) String() string {
	var b strings.Builder
	b.WriteString(s.Name)
	var in []string
	if s.Code != "" {
		in = append(in, s.Code)
	}
	if s.Inverse {
		in = append(in, "inverse")
	}
	if s.Null {
		in = append(in, "null")
	}
	if s.Epoch != 0 {
		in = append(in, "at "+year(s.Epoch))
	}
	if s.Known {
		in = append(in, metresText(float64(s.Accuracy)))
	} else {
		in = append(in, "accuracy unknown")
	}
	return b.String() + " (" + strings.Join(in, ", ") + ")"
}

// Operation takes coordinates from one CRS to another. It is immutable and safe
// to share.
type Operation struct {
	from, to *CRS
	toEpoch  float64
	same     bool // nothing to do at all
	steps    []Step
	stages   []stage
	heights  bool // heights take part
	axes     bool // earth-centred axes at both ends, one map between them
	accuracy float64
	notes    []string
}

// NewOperation returns the best operation between two CRSs at the place: among
// the registry's transformations whose area of use holds the place, alone or in
// a chain of up to six over hubs such as WGS 84, ETRS89 or ITRF, the one with
// the least sum of stated accuracies. A step of unknown accuracy is used only
// when AllowBallpark says so. CRSs on one datum need no step and are exact.
//
// Heights: when both CRSs have three dimensions (geographic 3D, geocentric,
// site grid) their heights are ellipsoidal and change with the datum. Otherwise
// heights pass through unchanged, since nobody knows what they are counted
// from; the position is then computed at the given height, or at 0 where there
// is none, taken above the ellipsoid of the datum that the step starts from in
// the registry. A step walked backwards is the exact inverse of the step, with
// heights and without, so that there and back closes; programs that take the
// height above the other ellipsoid then, and transpose the small rotations,
// differ from it by a millimetre or so.
//
// Errors: *AccuracyError when the best accuracy is worse than accepted,
// *EpochError when a step needs an epoch or a plate that was not given,
// *NoStepError when nothing leads from one datum to the other here.
func NewOperation(from, to *CRS, o OperationOptions) (*Operation, error) {
	if from == nil || to == nil {
		return nil, fmt.Errorf("an operation needs two CRSs")
	}
	for _, e := range []float64{o.FromEpoch, o.ToEpoch} {
		if e != 0 && !(e >= 1900 && e <= 2200) {
			return nil, fmt.Errorf("epoch %v is not a decimal year between 1900 and 2200", e)
		}
	}
	if o.AcceptAccuracy < 0 || math.IsNaN(float64(o.AcceptAccuracy)) {
		return nil, fmt.Errorf("accepted accuracy %v m is not a length", float64(o.AcceptAccuracy))
	}
	if o.Near != nil {
		if err := checkGeodetic(*o.Near); err != nil {
			return nil, fmt.Errorf("place in the plan: %w", err)
		}
	}
	op := &Operation{from: from, to: to, heights: from.dims == 3 && to.dims == 3}
	src, dst := datumOf(from), datumOf(to)
	if sameDatum(from, to, src, dst) {
		if !dynamicEpochs(src, o) {
			op.same = from.Equal(to) || from.kind == to.kind && from.kind != KindProjected && from.kind != KindSite && from.angle == to.angle && from.datum.pm == to.datum.pm
			op.toEpoch = o.ToEpoch
			if src == nil || src.dynamic() {
				if op.toEpoch == 0 {
					op.toEpoch = o.FromEpoch
				}
			}
			if src != nil && src.ensemble > 0 && o.FromEpoch != 0 && o.ToEpoch != 0 && o.FromEpoch != o.ToEpoch {
				op.notes = append(op.notes, fmt.Sprintf("%s is an ensemble good to %s: epochs %s and %s are not told apart; name the realisation to do so", src.name, metresText(src.ensemble), year(o.FromEpoch), year(o.ToEpoch)))
			}
			return op, nil
		}
	}
	if err := op.choose(src, dst, o); err != nil {
		return nil, err
	}
	if o.AcceptAccuracy > 0 && !(op.accuracy <= float64(o.AcceptAccuracy)) {
		return nil, &AccuracyError{Operation: op.Name(), Accuracy: Metres(op.accuracy), Known: op.accuracy == op.accuracy, Accepted: o.AcceptAccuracy, Notes: op.notes}
	}
	return op, nil
}

// datumOf is the registry's datum of a CRS, nil when it is on none.
func datumOf(c *CRS) *registryDatum {
	if c.datum == nil || c.datum.code == 0 {
		return nil
	}
	return steps0().datums[c.datum.code]
}

// sameDatum reports whether both CRSs are on one datum.
func sameDatum(from, to *CRS, src, dst *registryDatum) bool {
	if src != nil || dst != nil {
		return src == dst
	}
	a, b := from.datum, to.datum
	return from.Base().Equal(to.Base()) || a == b || a != nil && b != nil && a.name != "" && a.name == b.name && a.el.a == b.el.a && a.el.invF == b.el.invF && a.pm == b.pm
}

// dynamicEpochs reports whether coordinates on the datum differ between the two
// epochs.
func dynamicEpochs(d *registryDatum, o OperationOptions) bool {
	return d != nil && d.dynamic() && o.FromEpoch != 0 && o.ToEpoch != 0 && o.FromEpoch != o.ToEpoch
}

// From is the source CRS.
func (op *Operation) From() *CRS { return op.from }

// To is the target CRS.
func (op *Operation) To() *CRS { return op.to }

// ToEpoch is the epoch of the results as a decimal year, 0 when the operation
// does not touch it or the target frame is fixed to its plate.
func (op *Operation) ToEpoch() float64 { return op.toEpoch }

// Steps lists the datum steps in the order they are done; none when both CRSs
// are on one datum.
func (op *Operation) Steps() []Step { return append([]Step(nil), op.steps...) }

// Name names the datum steps: "OSGB36 to WGS 84 (6) [EPSG:1314]"; "no datum
// step" when there is none.
func (op *Operation) Name() string {
	if len(op.steps) == 0 {
		return "no datum step"
	}
	var parts []string
	for _, s := range op.steps {
		p := s.Name
		if s.Code != "" {
			p += " [" + s.Code
			if s.Inverse {
				p += ", inverse"
			}
			p += "]"
		} else if s.Inverse {
			p += " [inverse]"
		}
		parts = append(parts, p)
	}
	return strings.Join(parts, " + ")
}

// Accuracy is the accuracy of the datum steps: the sum of the figures stated
// for them, and never below that of the WGS 84 ensemble when it is touched;
// exactly 0 when both CRSs are on one datum. known is false when a step has no
// stated accuracy.
func (op *Operation) Accuracy() (accuracy Metres, known bool) {
	if math.IsNaN(op.accuracy) {
		return 0, false
	}
	return Metres(op.accuracy), true
}

// Source says where the accuracy comes from.
func (op *Operation) Source() string {
	if len(op.steps) == 0 {
		return "no datum step is needed: both are on one datum"
	}
	var parts []string
	seen := map[string]bool{}
	for _, s := range op.steps {
		if !seen[s.Source] {
			seen[s.Source] = true
			parts = append(parts, s.Source)
		}
	}
	return strings.Join(parts, "; ")
}

// Notes are what a user should know: that the ensemble of WGS 84 is touched,
// that nothing was moved, that a better operation needs a file.
func (op *Operation) Notes() []string { return append([]string(nil), op.notes...) }

// ChangesHeights reports whether heights take part in the datum step; if not
// they pass through unchanged.
func (op *Operation) ChangesHeights() bool { return op.heights && len(op.stages) > 0 }

// Apply transforms the coordinates flat in place, stride numbers a point: x, y
// and, from stride 3 up, height. A height of NaN means absent and stays NaN;
// the rest of the point is then computed at height 0. The error names the first
// point that could not be transformed; flat is then unspecified. An operation
// between identical systems returns every coordinate bit for bit.
func (op *Operation) Apply(flat []float64, stride int) error {
	if op.same {
		return checkStride(flat, stride, 2)
	}
	if op.axes {
		if err := checkStride(flat, stride, 3); err != nil {
			return err
		}
		return op.applyAxes(flat, stride)
	}
	if err := op.from.ToGeodetic(flat, stride); err != nil {
		return err
	}
	for i := range op.stages {
		if err := op.stages[i].apply(flat, stride, op.heights); err != nil {
			return err
		}
	}
	return op.to.FromGeodetic(flat, stride)
}

// applyAxes maps earth-centred axes directly, without the detour over latitude
// and longitude.
func (op *Operation) applyAxes(flat []float64, stride int) error {
	a := &affine{}
	if len(op.stages) > 0 {
		a = &op.stages[0].a
	}
	return inChunks(flat, stride, func(part []float64, first int) error {
		for i := 0; i+2 < len(part); i += stride {
			x, y, z := part[i], part[i+1], part[i+2]
			if r := x*x + y*y + z*z; !(r > 1e12) || math.IsInf(r, 0) {
				return &PointError{Index: first + i/stride, X: x, Y: y, CRS: op.from.id, Problem: "geocentric coordinates that are not on earth"}
			}
			if len(op.stages) > 0 {
				part[i], part[i+1], part[i+2] = a.apply(x, y, z)
			}
		}
		return nil
	})
}

// stage is a run of steps that are computed together, on longitude and latitude
// in degrees from Greenwich.
type stage struct {
	src, dst *ellipsoid
	a        affine     // of earth-centred axes, when grid is nil and offset is 0
	shift    bool       // the stage adds offset
	offset   [2]float64 // longitude, latitude in degrees
	grid     *GridShift
	// inverse: the grid is walked backwards, or the map is, and heights pass
	// through.
	inverse bool
}

// apply runs the stage over flat in place. Heights take part, and change, only
// when heights is set; otherwise they are used and kept.
func (s *stage) apply(flat []float64, stride int, heights bool) error {
	return inChunks(flat, stride, func(part []float64, first int) error {
		switch {
		case s.grid != nil:
			return s.applyGrid(part, stride, first)
		case s.shift:
			for i := 0; i+1 < len(part); i += stride {
				part[i] = wrap180(part[i] + s.offset[0])
				part[i+1] += s.offset[1]
			}
			return nil
		}
		src, dst, a := s.src, s.dst, &s.a
		for i := 0; i+1 < len(part); i += stride {
			h, absent := 0.0, true
			if stride > 2 && part[i+2] == part[i+2] {
				h, absent = part[i+2], false
			}
			sp, cp := math.Sincos(part[i+1] * radPerDeg)
			sl, cl := math.Sincos(part[i] * radPerDeg)
			nu := src.primeVertical(sp)
			start := h
			if s.inverse {
				// The height belongs to the end of the step: start from the one that
				// leads to it, so that this undoes the step exactly. The two normals
				// are some arc-seconds apart, so that one correction is good to a
				// micrometre of height.
				start += h - dst.heightOf(a.apply((nu+h)*cp*cl, (nu+h)*cp*sl, (nu*(1-src.e2)+h)*sp))
			}
			r := (nu + start) * cp
			lam, phi, hh := dst.fromGeocentric(a.apply(r*cl, r*sl, (nu*(1-src.e2)+start)*sp))
			if hh-hh != 0 || lam != lam {
				return &PointError{Index: first + i/stride, X: part[i], Y: part[i+1], Problem: "not a position on earth"}
			}
			part[i], part[i+1] = lam*degPerRad, phi*degPerRad
			if heights && !absent {
				part[i+2] = hh
			}
		}
		return nil
	})
}

// applyGrid runs a grid shift.
func (s *stage) applyGrid(part []float64, stride, first int) error {
	for i := 0; i+1 < len(part); i += stride {
		lon, lat, err := s.grid.shift(part[i], part[i+1], s.inverse)
		if err != nil {
			return &PointError{Index: first + i/stride, X: part[i], Y: part[i+1], Problem: err.Error()}
		}
		part[i], part[i+1] = lon, lat
	}
	return nil
}

// AccuracyError says that the best operation is worse than the user accepts.
type AccuracyError struct {
	Operation string
	Accuracy  Metres // meaningless when not Known
	Known     bool
	Accepted  Metres
	Notes     []string // among them, what would be better
}

func (e *AccuracyError) Error() string {
	msg := fmt.Sprintf("the accuracy of %s is unknown, and %s is asked for; allow a ballpark operation by name or accept no limit", e.Operation, metresText(float64(e.Accepted)))
	if e.Known {
		msg = fmt.Sprintf("%s is good to %s, worse than the %s asked for; accept %s to go on", e.Operation, metresText(float64(e.Accuracy)), metresText(float64(e.Accepted)), strconv.FormatFloat(float64(e.Accuracy), 'g', 6, 64))
	}
	for _, n := range e.Notes {
		msg += "; " + n
	}
	return msg
}

// EpochError says that a step needs to know when.
type EpochError struct {
	Step     string  // the step that needs it
	Side     string  // "source" or "target": whose epoch is missing
	Plate    bool    // an epoch is known, but not the plate that carries the coordinates
	Want     float64 // the epoch the coordinates must be brought to, when Plate
	Have     float64 // the epoch they are at, when Plate
	Fallback Metres  // accuracy of the best operation without it, 0 when there is none
}

func (e *EpochError) Error() string {
	var msg string
	if e.Plate {
		msg = fmt.Sprintf("%s needs coordinates at epoch %s and they are at %s: name the tectonic plate that carries them (%s)", e.Step, year(e.Want), year(e.Have), strings.Join(Plates(), ", "))
	} else {
		msg = fmt.Sprintf("%s depends on time and the epoch of the %s coordinates is not known: give it as a decimal year, such as 2026.4", e.Step, e.Side)
	}
	if e.Fallback > 0 {
		msg += fmt.Sprintf("; without it the best is good to %s, which must be accepted by name", metresText(float64(e.Fallback)))
	}
	return msg
}

// NoStepError says that nothing leads from one datum to the other.
type NoStepError struct {
	From, To string // names of the datums
	Reason   string
}

func (e *NoStepError) Error() string {
	return fmt.Sprintf("no operation of known accuracy leads from %s to %s here: %s", e.From, e.To, e.Reason)
}

// metresText writes a length the way a report does.
func metresText(m float64) string {
	return strconv.FormatFloat(m, 'g', 4, 64) + " m"
}

// year writes a decimal year.
func year(t float64) string { return strconv.FormatFloat(t, 'f', -1, 64) }
