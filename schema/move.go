// Moving a plan: the frame that its numbers are in, and the operation to other
// coordinates. Every command that moves a plan comes through here.

package schema

import (
	"errors"
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"

	"swardline/crs"
)

// Where a plan's frame is told.
const (
	FrameFromCRS  = "crs"  // the CRS is in a frame of its own
	FrameFromPlan = "plan" // the plan's member frame
	FrameFromBase = "base" // all active bases name one
)

// Reference is what the numbers of a plan are in.
type Reference struct {
	// CRS is the plan's, in the frame where that says more; nil when unknown.
	CRS *crs.CRS
	// Frame is the frame of the numbers; not Known when nobody tells.
	Frame crs.Frame
	// From says who tells: FrameFromCRS, FrameFromPlan, FrameFromBase or "".
	From string
	// Epoch is the coordinates' epoch as a decimal year, 0 when not told.
	Epoch float64
	// Heights is what the heights are counted from: the CRS's own where it has
	// three dimensions, else the plan's member heights.
	Heights crs.Heights
}

// Reference finds what the plan's numbers are in: the frame of its CRS; where
// that is an ensemble such as WGS 84, the plan's member frame; and where there
// is none, the frame of the base when all active bases agree. The error is for
// a member that names no known frame, or one that the CRS cannot hold.
func (p *Plan) Reference() (Reference, error) {
	r, err := p.levelReference()
	if err != nil || p.CRS == nil {
		return r, err
	}
	r.Heights = p.CRS.Heights()
	v := p.Attributes.Get(PlanHeights)
	if v.Kind() != KindString || v.Text() == "" || p.CRS.Heights().Told() {
		return r, nil
	}
	if r.Heights, err = crs.ParseHeights(v.Text()); err != nil {
		// A word that is not known is a reference of its own, and mixed with
		// none.
		r.Heights, err = crs.ParseHeights(strconv.Quote(v.Text()))
	}
	return r, err
}

// levelReference is Reference without heights.
func (p *Plan) levelReference() (Reference, error) {
	r := Reference{CRS: p.CRS, Epoch: p.Epoch}
	own := crs.Frame{}
	if p.CRS != nil && !p.CRS.OnWGS84() {
		if f, err := crs.FrameOf(p.CRS); err == nil && f.Known() {
			own = f
			r.Frame, r.From = f, FrameFromCRS
		}
	}
	if v := p.Attributes.Get(PropFrame); v.Kind() == KindString && v.Text() != "" {
		f, err := crs.ParseFrame(v.Text())
		if err != nil {
			return r, &FrameError{err}
		}
		if !f.Known() {
			return r, nil // WGS 84 says what lon, lat say anyway
		}
		if p.CRS == nil {
			r.Frame, r.From = f, FrameFromPlan
			return r, nil
		}
		in, err := p.CRS.InFrame(f)
		if err != nil {
			return r, &FrameError{err}
		}
		if f != own {
			r.CRS, r.Frame, r.From = in, f, FrameFromPlan
		}
		return r, nil
	}
	f, epoch, ok := p.baseFrame()
	if !ok || p.CRS == nil || own.Known() && own.EnsembleAccuracy() == 0 {
		return r, nil
	}
	if in, err := p.CRS.InFrame(f); err == nil && f != own {
		r.CRS, r.Frame, r.From = in, f, FrameFromBase
		if r.Epoch == 0 {
			r.Epoch = epoch
		}
	}
	return r, nil
}

// A FrameError says that the plan's member frame names none, or one that its
// CRS cannot hold.
type FrameError struct{ Err error }

func (e *FrameError) Error() string { return fmt.Sprintf("the plan's %s: %v", PropFrame, e.Err) }

// Unwrap is what is wrong with it.
func (e *FrameError) Unwrap() error { return e.Err }

// baseFrame is the frame that all active bases name, with their epoch where
// they agree on that, too.
func (p *Plan) baseFrame() (frame crs.Frame, epoch float64, ok bool) {
	for _, f := range p.Features {
		if f.Role != RoleBase || !f.Active() {
			continue
		}
		text := f.Attributes.Get(PropFrame).Text()
		if text == "" {
			return crs.Frame{}, 0, false
		}
		one, err := crs.ParseFrame(text)
		if err != nil || !one.Known() || ok && one != frame {
			return crs.Frame{}, 0, false
		}
		e, _ := f.Float(PropEpoch)
		if ok && e != epoch {
			e = 0
		}
		frame, epoch, ok = one, e, true
	}
	return frame, epoch, ok
}

// SetFrame says which frame the plan's numbers are in, for longitude and
// latitude or a grid that only say WGS 84 or another ensemble. before is the
// frame that the plan's member gave until now, "" for none. The error is for a
// frame that the CRS cannot hold.
func (p *Plan) SetFrame(f crs.Frame) (before string, err error) {
	before = p.Attributes.Get(PropFrame).Text()
	p.Attributes = p.Attributes.Clone()
	if p.CRS == nil {
		p.Attributes.Set(PropFrame, String(f.Name()))
		return before, nil
	}
	in, err := p.CRS.InFrame(f)
	if err != nil {
		return before, err
	}
	p.setReference(in)
	return before, nil
}

// setReference makes c, perhaps in a frame, what the plan's numbers are in. A
// frame that the base tells already is not told twice.
func (p *Plan) setReference(c *crs.CRS) {
	level := c.Horizontal()
	plain, frame := level.Plain()
	p.CRS = plain
	p.Attributes = p.Attributes.Clone()
	if level != c {
		p.Attributes.Set(PlanHeights, String(c.Heights().ID()))
	} else if c.Heights().Told() {
		p.Attributes.Delete(PlanHeights) // the CRS tells
	}
	told, _, ok := p.baseFrame()
	if frame.Known() && !(ok && told == frame && !p.Attributes.Has(PropFrame)) {
		p.Attributes.Set(PropFrame, String(frame.Name()))
	} else {
		p.Attributes.Delete(PropFrame)
	}
}

// Move is what a plan is asked to become, and what its user lives with.
type Move struct {
	To      *crs.CRS
	Allow   crs.Allowed
	ToEpoch float64 // decimal year, 0 when not asked for
	With    crs.Aids
}

// A FrameUnknownError says that longitude and latitude which only say WGS 84
// would have to be held to centimetres: which realisation they are in must be
// known.
type FrameUnknownError struct {
	To    crs.Frame // the frame of the target
	Best  crs.Metres
	Cause error
}

func (e *FrameUnknownError) Error() string {
	return fmt.Sprintf("the coordinates say WGS 84 and not which realisation of it, and %s is asked for: that is known to %g m at best", e.To.Name(), float64(e.Best))
}

// Unwrap is the refusal of the operation.
func (e *FrameUnknownError) Unwrap() error { return e.Cause }

// Operation finds the operation that the move takes, the steps chosen for every
// feature's place. Where the target is an ensemble, such as WGS 84, that can
// hold the plan's own frame, nothing is moved: the plan keeps its frame beside
// its coordinates. The errors are those of Reference and crs.NewOperation, and
// *FrameUnknownError.
func (p *Plan) Operation(m Move) (*crs.Operation, error) {
	from, err := p.Reference()
	if err != nil {
		return nil, err
	}
	if from.CRS == nil {
		return nil, fmt.Errorf("the plan's CRS is not known")
	}
	to := m.To.Horizontal()
	if f, err := crs.FrameOf(to); err == nil && f.EnsembleAccuracy() > 0 && from.Frame.Known() {
		if in, err := to.InFrame(from.Frame); err == nil {
			to = in
		}
	}
	if from.CRS, to, err = p.withHeights(from, to, m.To.Heights()); err != nil {
		return nil, err
	}
	op, err := p.best(from, to, m)
	if err == nil {
		return op, nil
	}
	if best, ok := p.lacksFrame(from, to, err); ok {
		target, _ := crs.FrameOf(to)
		return nil, &FrameUnknownError{To: target, Best: best, Cause: err}
	}
	return nil, err
}

// best is the operation to a CRS. From an old national datum to one that can
// only say WGS 84, whose two metres every step to it has, a frame beside it
// that is reached better is taken and kept: OSGB36 becomes ETRS89.
func (p *Plan) best(from Reference, to *crs.CRS, m Move) (*crs.Operation, error) {
	when := crs.Epochs{From: from.Epoch, To: m.ToEpoch}
	// Once for all the frames that are tried.
	places := p.places()
	op, err := crs.NewOperation(from.CRS, to, m.Allow, places, when, m.With)
	if plain, _ := to.Plain(); plain != to || from.Frame.Satellite() || to.EnsembleAccuracy() < 1 {
		return op, err
	}
	if err == nil {
		if v, known := op.Accuracy(); known && v == 0 {
			return op, nil // no frame is reached better
		}
	}
	for _, f := range crs.FramesBeside(from.CRS) {
		in, other := to.InFrame(f)
		if other != nil {
			continue
		}
		beside, other := crs.NewOperation(from.CRS, in, m.Allow, places, when, m.With)
		// A refusal that cannot be mended by a frame may be by a file.
		var worse, also *crs.AccuracyError
		if errors.As(err, &worse) && errors.As(other, &also) {
			for _, n := range also.Notes {
				if strings.HasPrefix(n, "a better operation exists") && !slices.Contains(worse.Notes, n) {
					worse.Notes = append(worse.Notes, n)
				}
			}
		}
		if better(beside, other, op, err) {
			op, err = beside, other
		}
	}
	return op, err
}

// better reports whether the first outcome of NewOperation is better than the
// second: an operation before a refusal, and the better accuracy.
func better(a *crs.Operation, aErr error, b *crs.Operation, bErr error) bool {
	figure := func(op *crs.Operation, err error) (float64, bool) {
		if worse, ok := err.(*crs.AccuracyError); ok {
			return float64(worse.Accuracy), true
		}
		if op == nil {
			return 0, false
		}
		v, known := op.Accuracy()
		return float64(v), known
	}
	x, known := figure(a, aErr)
	y, other := figure(b, bErr)
	switch {
	case (aErr == nil) != (bErr == nil):
		return aErr == nil
	case known != other:
		return known
	}
	return known && x < y
}

// withHeights gives both ends of a move their references of heights, where the
// plan has heights: its own, and the target's, which is the plan's where the
// target has none.
func (p *Plan) withHeights(from Reference, to *crs.CRS, want crs.Heights) (*crs.CRS, *crs.CRS, error) {
	if p.hasHeights() {
		src, err := from.CRS.WithHeights(from.Heights)
		if err != nil {
			return nil, nil, err
		}
		from.CRS = src
		if !want.Told() {
			want = from.Heights
		}
	} else if !to.Heights().Told() && want.Told() {
		// Nothing stands at a height: the target's reference is for what comes.
		src, err := from.CRS.Horizontal().WithHeights(want)
		if err == nil {
			from.CRS = src
		}
	}
	if to.Heights().Told() {
		return from.CRS, to, nil
	}
	dst, err := to.WithHeights(want)
	return from.CRS, dst, err
}

// hasHeights reports whether any point has a height.
func (p *Plan) hasHeights() bool {
	found := false
	p.eachFlat(func(_ *Feature, flat []float64, stride int) bool {
		found = anyHeight(flat, stride)
		return !found
	})
	return found
}

func anyHeight(flat []float64, stride int) bool {
	for i := 2; i < len(flat) && stride > 2; i += stride {
		if flat[i] == flat[i] {
			return true
		}
	}
	return false
}

// SplitHeights takes the vertical part of a compound CRS out of it and into the
// plan's member heights, where every format keeps it.
func (p *Plan) SplitHeights() {
	if p.CRS == nil || p.CRS.Horizontal() == p.CRS {
		return
	}
	p.setReference(p.CRS)
}

// lacksFrame reports whether a refusal would not have come had the plan named
// the frame of the target, and how good it is without.
func (p *Plan) lacksFrame(from Reference, to *crs.CRS, refusal error) (crs.Metres, bool) {
	worse, ok := refusal.(*crs.AccuracyError)
	if !ok || from.Frame.Known() {
		return 0, false
	}
	f, err := crs.FrameOf(to)
	if err != nil || !f.Known() {
		return 0, false
	}
	_, err = from.CRS.InFrame(f)
	return worse.Accuracy, err == nil
}

// Moved gives the plan in the coordinates asked for, and the operation; p stays
// as it is.
func (p *Plan) Moved(m Move) (*Plan, *crs.Operation, error) {
	op, err := p.Operation(m)
	if err != nil {
		return nil, nil, err
	}
	out, err := p.Transform(op)
	return out, op, err
}

// places are the boxes of the features on the plan's own datum, one a feature.
func (p *Plan) places() crs.Places {
	return crs.Among(func(yield func(crs.Place) bool) {
		for f := range p.each() {
			if !yield(p.placeOf(f)) {
				return
			}
		}
	})
}

// StepsFor is the part of an operation of the plan's (see Operation) for one of
// its features, in the plan's coordinates.
func (p *Plan) StepsFor(op *crs.Operation, f *Feature) *crs.Operation {
	if len(op.Parts()) == 1 {
		return op
	}
	return op.At(p.placeOf(f))
}

// placeOf is the box of a feature, NaN when it has no coordinates or they are
// none of the CRS.
func (p *Plan) placeOf(f *Feature) crs.Place {
	nan := math.NaN()
	none := crs.Place{West: nan, South: nan, East: nan, North: nan}
	if p.CRS.Kind() == crs.KindGeocentric {
		// A box of earth-centred axes is no place: the first point stands for
		// all.
		vertex := firstVertex(f.Geometry)
		if vertex == nil {
			return none
		}
		g, err := p.Geodetic(vertex)
		if err != nil {
			return none
		}
		return crs.PlaceAt(g.Lon, g.Lat)
	}
	x0, y0, x1, y1 := math.Inf(1), math.Inf(1), math.Inf(-1), math.Inf(-1)
	z := nan
	eachFlat(f, f.Geometry, func(_ *Feature, flat []float64, stride int) bool {
		for i := 0; i+1 < len(flat); i += stride {
			x0, x1 = min(x0, flat[i]), max(x1, flat[i])
			y0, y1 = min(y0, flat[i+1]), max(y1, flat[i+1])
			if stride > 2 {
				z = flat[i+2]
			}
		}
		return true
	})
	if !(x0 <= x1 && y0 <= y1) {
		return none
	}
	corners := []float64{x0, y0, z, x1, y1, z, x0, y1, z, x1, y0, z}
	if x0 == x1 && y0 == y1 {
		corners = corners[:3]
	}
	if p.CRS.ToGeodetic(corners, 3) != nil {
		return none
	}
	box := crs.Place{West: corners[0], South: corners[1], East: corners[0], North: corners[1]}
	for i := 3; i < len(corners); i += 3 {
		lon, lat := corners[i], corners[i+1]
		// A garden over the antimeridian has corners a turn apart.
		if lon-box.West > 180 {
			lon -= 360
		} else if lon-box.West < -180 {
			lon += 360
		}
		box.West, box.East = min(box.West, lon), max(box.East, lon)
		box.South, box.North = min(box.South, lat), max(box.North, lat)
	}
	box.West, box.East = wrap180(box.West), wrap180(box.East)
	return box
}

// wrap180 brings a longitude within -180 and 180 degrees.
func wrap180(lon float64) float64 {
	if lon >= -180 && lon <= 180 {
		return lon
	}
	return math.Remainder(lon, 360)
}
