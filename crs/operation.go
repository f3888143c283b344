// Operation: the steps from one CRS to another, named, with their accuracy.

package crs

import (
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"
)

// Allowed is what a user lives with. The zero Allowed takes exact operations
// alone.
type Allowed struct {
	// Accuracy is the worst sum of stated accuracies in metres; AnyAccuracy for
	// no limit.
	Accuracy Metres
	// Unknown allows what nobody states an accuracy of: such steps, steps
	// outside their area of use, and, where there is no step at all, latitudes
	// and longitudes taken over as they are. Steps that do have a stated
	// accuracy are still held to Accuracy.
	Unknown bool
}

// AnyAccuracy is no limit on stated accuracies.
var AnyAccuracy = Metres(math.Inf(1))

// Epochs are the epochs of the coordinates before and after as decimal years, 0
// when not known. They matter in frames that move with respect to the plates
// (ITRF, WGS 84 realisations); From alone stands for both. Where both are given
// and differ, the plate of Aids says what carries the coordinates from one to
// the other.
type Epochs struct{ From, To float64 }

// Aids are what is at hand besides the registry.
type Aids struct {
	// Grids are grid-shift files; a registry operation that needs one by name
	// is used when it is there.
	Grids []*GridShift
	// HeightGrids are geoid models and grids of height offsets.
	HeightGrids []*HeightGrid
	// Models are deformation models; a registry operation that needs one by
	// name is used when it is there, and one that the registry does not know
	// between the systems it names itself, with an accuracy that nobody states.
	Models []*DeformationModel
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
	where    string
	lift     *lift // what heights with references of their own need, nil for none
	accuracy float64
	notes    []string
	local    []string     // notes that hold at the place alone
	parts    []*Operation // one for every set of steps, when places differ
	sites    *sites       // of the places, when there are parts
	partOf   []int32      // by site
}

// NewOperation is the one way to an operation between two CRSs: what the user
// lives with, where the coordinates are and when they hold must all be said.
//
// It takes the best steps at the place: among the registry's transformations
// whose area of use holds the place, alone or in a chain of up to six over hubs
// such as WGS 84, ETRS89 or ITRF, the chain with the least sum of stated
// accuracies. CRSs on one datum need no step and are exact, and the places are
// then not looked at.
//
// Places close together are one site and get the same steps, those whose areas
// of use hold all of it where there are such; sites far from one another each
// get their own, so that the order of the places does not matter. The operation
// then has Parts, and For gives the one for a place.
//
// Heights: those of compound CRSs are counted from their vertical part and are
// never mixed with others: between two references a geoid model of the Aids
// leads, or the operation is refused with a *HeightError. When both CRSs have
// three dimensions (geographic 3D, geocentric, site grid) their heights are
// ellipsoidal and change with the datum. Otherwise heights pass through
// unchanged, since nobody knows what they are counted from; the position is
// then computed at the given height, or at 0 where there is none, taken above
// the ellipsoid of the datum that the step starts from in the registry. A step
// walked backwards is the exact inverse of the step, with heights and without,
// so that there and back closes; programs that take the height above the other
// ellipsoid then, and transpose the small rotations, differ from it by a
// millimetre or so.
//
// Errors: *AccuracyError when the best accuracy is worse than accepted,
// *EpochError when a step needs an epoch or a plate that was not given,
// *PlateError when the plate named does not lie under a place, *NoStepError
// when nothing leads from one datum to the other here. Each is a Refusal.
func NewOperation(from, to *CRS, allow Allowed, at Places, when Epochs, with Aids) (*Operation, error) {
	switch {
	case from == nil || to == nil:
		return nil, fmt.Errorf("an operation needs two CRSs")
	case at.of == nil:
		return nil, fmt.Errorf("an operation needs the places that it is for")
	case !(allow.Accuracy >= 0):
		return nil, fmt.Errorf("accepted accuracy %v m is not a length", float64(allow.Accuracy))
	}
	for _, e := range []float64{when.From, when.To} {
		if e != 0 && !(e >= 1900 && e <= 2200) {
			return nil, fmt.Errorf("epoch %v is not a decimal year between 1900 and 2200", e)
		}
	}
	if from.heights != nil || to.heights != nil || from.level != nil || to.level != nil {
		return withLift(from, to, allow, at, when, with)
	}
	return levelOperation(from, to, allow, at, when, with)
}

// levelOperation is NewOperation between CRSs without vertical parts.
func levelOperation(from, to *CRS, allow Allowed, at Places, when Epochs, with Aids) (*Operation, error) {
	o := &question{allow: allow, when: when, with: with}
	if op, err := oneDatum(from, to, o); op != nil || err != nil {
		return op, err
	}
	sites, err := at.of.sites(with.covers())
	if err != nil {
		return nil, err
	}
	whole := &Operation{from: from, to: to, sites: sites}
	known := map[int32]int32{}
	whole.partOf = make([]int32, len(sites.list))
	for i := range sites.list {
		key := sites.keys[i]
		n, ok := known[key]
		if !ok {
			part, err := newPart(from, to, o, &sites.list[i])
			if err != nil {
				return nil, err
			}
			if n = whole.partLike(part); n < 0 {
				n = int32(len(whole.parts))
				whole.parts = append(whole.parts, part)
			}
			known[key] = n
		}
		whole.partOf[i] = n
	}
	if len(whole.parts) == 1 {
		return whole.parts[0], nil
	}
	whole.sum()
	return whole, nil
}

// A question is what an operation is asked for.
type question struct {
	allow Allowed
	when  Epochs
	with  Aids
}

// newPart is the operation for one site: with steps whose areas of use hold all
// of it, else with those for its middle, which is then said.
func newPart(from, to *CRS, o *question, at *siteAt) (*Operation, error) {
	op, err := chosen(from, to, o, at)
	if err == nil || !at.box.wide() {
		return op, err
	}
	lon, lat := at.box.middle()
	middle := &siteAt{box: PlaceAt(Degrees(lon), Degrees(lat))}
	op, other := chosen(from, to, o, middle)
	if other != nil {
		return nil, err
	}
	op.notes = append(op.notes, fmt.Sprintf("the site, %.4f to %.4f north and %.4f to %.4f east, reaches beyond the area of use of the steps, which were chosen for its middle, %s",
		at.box.South, at.box.North, at.box.West, at.box.East, middle.words()))
	return op, nil
}

// chosen is the operation with the best steps where the site is.
func chosen(from, to *CRS, o *question, at *siteAt) (*Operation, error) {
	op := &Operation{from: from, to: to, heights: from.dims == 3 && to.dims == 3}
	if err := op.choose(datumOf(from), datumOf(to), o, at); err != nil {
		return nil, err
	}
	if !(op.stated() <= float64(o.allow.Accuracy)) {
		return nil, &AccuracyError{Operation: op.Name(), Accuracy: Metres(op.stated()), Accepted: o.allow.Accuracy, Place: op.where, Notes: op.Notes()}
	}
	return op, nil
}

// stated is the sum of the accuracies that are stated.
func (op *Operation) stated() float64 {
	if !math.IsNaN(op.accuracy) {
		return op.accuracy
	}
	sum := 0.0
	for _, s := range op.steps {
		sum += float64(s.Accuracy)
	}
	return sum
}

// partLike is the number of the part with the same steps, -1 for none.
func (op *Operation) partLike(part *Operation) int32 {
	for i, p := range op.parts {
		if slices.Equal(p.steps, part.steps) {
			p.notes = union(p.notes, part.notes)
			return int32(i)
		}
	}
	return -1
}

// sum gives the whole what is true of its parts together.
func (op *Operation) sum() {
	for _, p := range op.parts {
		op.steps = append(op.steps, p.steps...)
		// NaN, unknown, wins.
		if !(p.accuracy <= op.accuracy) {
			op.accuracy = p.accuracy
		}
		op.heights = p.heights
		op.toEpoch = p.toEpoch
		op.notes = union(op.notes, p.Notes())
	}
}

// union appends what is not there yet.
func union(list, more []string) []string {
	for _, n := range more {
		if !slices.Contains(list, n) {
			list = append(list, n)
		}
	}
	return list
}

// Parts are the operations for the sites that the places fall into: the
// operation itself where one serves all.
func (op *Operation) Parts() []*Operation {
	if op.parts == nil {
		return []*Operation{op}
	}
	return slices.Clone(op.parts)
}

// At is the part for a place, which must be one of those that NewOperation was
// given: the operation itself where one part serves all.
func (op *Operation) At(p Place) *Operation {
	if op.parts == nil {
		return op
	}
	return op.parts[op.partOf[op.sites.find(p)]]
}

// Where names the place that the steps were chosen for, "" when none mattered.
func (op *Operation) Where() string { return op.where }

// oneDatum is the operation between CRSs on one datum and epoch, nil when there
// is something to do.
func oneDatum(from, to *CRS, o *question) (*Operation, error) {
	op := &Operation{from: from, to: to, heights: from.dims == 3 && to.dims == 3}
	src, dst := datumOf(from), datumOf(to)
	if sameDatum(from, to, src, dst) {
		if src != nil && src.dynamic() && o.when.To != 0 && o.when.From == 0 {
			return nil, &EpochError{Step: "bringing coordinates in " + src.name + " to " + year(o.when.To), Side: "source"}
		}
		if !dynamicEpochs(src, o) {
			op.same = from.Equal(to) || from.kind == to.kind && from.kind != KindProjected && from.kind != KindSite && from.angle == to.angle && from.datum.pm == to.datum.pm
			op.toEpoch = o.when.To
			if src == nil || src.dynamic() {
				if op.toEpoch == 0 {
					op.toEpoch = o.when.From
				}
			}
			if src != nil && src.ensemble > 0 && o.when.From != 0 && o.when.To != 0 && o.when.From != o.when.To {
				op.notes = append(op.notes, fmt.Sprintf("%s is an ensemble good to %s: epochs %s and %s are not told apart; name the realisation to do so", src.name, metresText(src.ensemble), year(o.when.From), year(o.when.To)))
			}
			return op, nil
		}
	}
	return nil, nil
}

// datumOf is the registry's datum of a CRS, nil when it is on none.
func datumOf(c *CRS) *registryDatum {
	if c.datum == nil || c.datum.code == 0 {
		return nil
	}
	return datums0().datums[c.datum.code]
}

// sameDatum reports whether both CRSs are on one datum.
func sameDatum(from, to *CRS, src, dst *registryDatum) bool {
	if src != nil || dst != nil {
		return src == dst
	}
	a, b := from.datum, to.datum
	if a != nil && b != nil && !sameBound(a.bound, b.bound) {
		return false
	}
	return from.Base().Equal(to.Base()) || a == b || a != nil && b != nil && a.name != "" && a.name == b.name && a.el.a == b.el.a && a.el.invF == b.el.invF && a.pm == b.pm
}

// dynamicEpochs reports whether coordinates on the datum differ between the two
// epochs.
func dynamicEpochs(d *registryDatum, o *question) bool {
	return d != nil && d.dynamic() && o.when.From != 0 && o.when.To != 0 && o.when.From != o.when.To
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
func (op *Operation) Notes() []string { return union(slices.Clone(op.notes), op.local) }

// ChangesHeights reports whether heights take part in the datum step; if not
// they pass through unchanged.
func (op *Operation) ChangesHeights() bool { return op.heights && len(op.stages) > 0 }

// Apply transforms the coordinates flat in place, stride numbers a point: x, y
// and, from stride 3 up, height. A height of NaN means absent and stays NaN;
// the rest of the point is then computed at height 0. The error names the first
// point that could not be transformed; flat is then unspecified. An operation
// between identical systems returns every coordinate bit for bit. One with
// several Parts cannot tell which of them the points are for: At can.
func (op *Operation) Apply(flat []float64, stride int) error {
	if op.parts != nil {
		return fmt.Errorf("the steps differ from place to place: take the part for the place")
	}
	if op.same {
		return checkStride(flat, stride, 2)
	}
	if op.lift != nil {
		return op.applyLift(flat, stride)
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

// MovesDatum reports whether coordinates on the two datums differ at any place.
func (op *Operation) MovesDatum() bool {
	return len(op.stages) > 0 || slices.ContainsFunc(op.parts, func(part *Operation) bool { return len(part.stages) > 0 })
}

// ApplyDatum does the datum steps alone, in place: flat is longitude and
// latitude in degrees on the source's datum and, from stride 3 up, height in
// metres, which changes as that of Apply does. Heights with references of their
// own are not looked at. The errors, and what holds of Parts, are those of Apply.
func (op *Operation) ApplyDatum(flat []float64, stride int) error {
	if op.parts != nil {
		return fmt.Errorf("the steps differ from place to place: take the part for the place")
	}
	for i := range op.stages {
		if err := op.stages[i].apply(flat, stride, op.heights); err != nil {
			return err
		}
	}
	return nil
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
	model    *DeformationModel
	epoch    float64 // of the coordinates, for the model
	// inverse: the grid or model is walked backwards, or the map is, and
	// heights pass through.
	inverse bool
}

// apply runs the stage over flat in place. Heights take part, and change, only
// when heights is set; otherwise they are used and kept.
func (s *stage) apply(flat []float64, stride int, heights bool) error {
	return inChunks(flat, stride, func(part []float64, first int) error {
		switch {
		case s.grid != nil:
			return s.applyGrid(part, stride, first)
		case s.model != nil:
			return s.applyModel(part, stride, first, heights)
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
				// The height belongs to the end of the step: start from the one
				// that leads to it, so that this undoes the step exactly. The
				// two normals are some arc-seconds apart, so that one
				// correction is good to a micrometre of height.
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

// Answer is what would let a refused operation go on.
type Answer uint8

// The answers.
const (
	AnswerAccuracy Answer = iota + 1 // accept the accuracy
	AnswerUnknown                    // allow an unknown accuracy
	AnswerEpoch                      // say when the coordinates hold
	AnswerPlate                      // name the plate, or the right one
	AnswerGrid                       // give the grid file
	AnswerHeights                    // say what the heights are counted from
)

// A Refusal is an error of NewOperation that one answer of the user's would
// settle.
type Refusal interface {
	error
	Answer() Answer
}

// AccuracyError says that the best operation is worse than the user accepts.
type AccuracyError struct {
	Operation string
	Accuracy  Metres // the sum of what is stated
	Accepted  Metres
	Place     string   // where
	Notes     []string // among them, what would be better
}

// Answer implements Refusal.
func (e *AccuracyError) Answer() Answer { return AnswerAccuracy }

func (e *AccuracyError) Error() string {
	msg := fmt.Sprintf("%s is good to %s%s, worse than the %s asked for", e.Operation, metresText(float64(e.Accuracy)), atPlace(e.Place), metresText(float64(e.Accepted)))
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
	Have     float64 // the epoch they are at, when Plate or beyond First to Last
	First    float64 // the step holds from this epoch on; 0 when that is not the matter
	Last     float64 // and to this one
	Fallback Metres  // accuracy of the best operation without it, 0 when there is none
}

// Answer implements Refusal.
func (e *EpochError) Answer() Answer {
	if e.Plate {
		return AnswerPlate
	}
	return AnswerEpoch
}

func (e *EpochError) Error() string {
	var msg string
	if e.Plate {
		msg = fmt.Sprintf("%s needs coordinates at epoch %s and they are at %s: name the tectonic plate that carries them (%s)", e.Step, year(e.Want), year(e.Have), strings.Join(Plates(), ", "))
	} else if e.First > 0 {
		msg = fmt.Sprintf("%s holds from %s to %s and the coordinates are at %s: give the epoch at which they hold", e.Step, year(e.First), year(e.Last), year(e.Have))
	} else {
		msg = fmt.Sprintf("%s depends on time and the epoch of the %s coordinates is not known: give it as a decimal year, such as 2026.4", e.Step, e.Side)
	}
	if e.Fallback > 0 {
		msg += fmt.Sprintf("; without it the best is good to %s", metresText(float64(e.Fallback)))
	}
	return msg
}

// NoStepError says that nothing leads from one datum to the other.
type NoStepError struct {
	From, To string // names of the datums
	Reason   string
	Files    []string // grid files that would lead there
}

// Answer implements Refusal.
func (e *NoStepError) Answer() Answer {
	if len(e.Files) > 0 {
		return AnswerGrid
	}
	return AnswerUnknown
}

func (e *NoStepError) Error() string {
	return fmt.Sprintf("no operation of known accuracy leads from %s to %s here: %s", e.From, e.To, e.Reason)
}

// PlateError says that the plate named does not lie under the place.
type PlateError struct {
	Plate    string
	Place    string
	Possible []string // those that may lie there
}

// Answer implements Refusal.
func (e *PlateError) Answer() Answer { return AnswerPlate }

func (e *PlateError) Error() string {
	return fmt.Sprintf("the plate %s does not lie under %s; there it is %s", e.Plate, e.Place, strings.Join(e.Possible, " or "))
}

// atPlace is the words for a place, none when it is not known.
func atPlace(place string) string {
	if place == "" {
		return ""
	}
	return " at " + place
}

// metresText writes a length the way a report does.
func metresText(m float64) string {
	return strconv.FormatFloat(m, 'g', 4, 64) + " m"
}

// year writes a decimal year.
func year(t float64) string { return strconv.FormatFloat(t, 'f', -1, 64) }
