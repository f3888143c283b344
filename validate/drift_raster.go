// The verdicts of small displacements, one for every millimetre: what Drift
// decides below drift_stop_m, for a reader that cannot run the rules.

package validate

import (
	"errors"
	"math"
	"runtime"
	"sync"

	"github.com/paulmach/orb"

	"swardline/schema"
	"swardline/validate/plane"
)

// DriftVerdicts holds the verdict of Drift for every displacement of the ground
// on a raster about no displacement at all, without a change in height. A
// displacement outside of the raster is past drift_stop_m, and its verdict is
// VerdictStop.
type DriftVerdicts struct {
	// StepMM is the raster's step in millimetres, 1 unless drift_stop_m is
	// above a quarter of a metre. The raster runs from -Reach to Reach steps,
	// both ways.
	StepMM, Reach int
	// Verdicts holds rows from south to north, each from west to east.
	Verdicts [][]Verdict
	// Near are the things that make the verdict stop somewhere on the raster,
	// before the length of the displacement does.
	Near []DriftNear
	// Base is the base whose range counts, nil when the plan has none that can
	// be measured: of the zones, corridors and docks, each served by the base
	// that reaches it best, that of the one with the least range to spare.
	// RangeM is the distance in metres from the base to that one's farthest
	// point, which a moving antenna takes along, and RangeLimitM the limit
	// base_range_m there.
	Base                *Feature
	RangeM, RangeLimitM float64
}

// DriftNear is one hazard, edge or boundary, and where on the raster the driven
// ground reaches into it past its limit.
type DriftNear struct {
	Rule    string
	Feature *Feature
	// In has the raster's rows.
	In [][]bool
}

// OutOfRange reports whether the farthest point driven is past the base's
// range.
func (v *DriftVerdicts) OutOfRange() bool { return v.Base != nil && v.RangeM > v.RangeLimitM }

// Shift is the displacement of a column and row of the raster in metres, east
// and north.
func (v *DriftVerdicts) Shift(column, row int) (e, n float64) {
	return float64((column-v.Reach)*v.StepMM) / 1000, float64((row-v.Reach)*v.StepMM) / 1000
}

// finestSteps is how many steps of the raster lie between no displacement and
// drift_stop_m at the most.
const finestSteps = 250

// TabulateVerdicts works out the raster. Whether an obstacle is reached is
// asked at the corners of squares of eight steps (of a 32nd of the raster where
// that is more) and, where those differ, at every step between them. The error
// is as Drift's.
func TabulateVerdicts(p *schema.Plan, l schema.Limits) (*DriftVerdicts, error) {
	s, err := grounded(p)
	if err != nil {
		return nil, err
	}
	w, err := newTabler(s, l, &DriftTable{}, false)
	if err != nil {
		return nil, err
	}
	stop := w.limits.DriftStopM
	v := &DriftVerdicts{StepMM: max(1, int(math.Ceil(stop*1000/finestSteps))), RangeLimitM: w.limits.BaseRangeM, RangeM: math.NaN()}
	v.Reach = int(math.Ceil(stop*1000/float64(v.StepMM))) + 1
	near := make([]*DriftNear, len(w.obstacles))
	errs := make([]error, len(w.obstacles))
	limits := make([]float64, len(w.obstacles))
	for i := range w.obstacles {
		limits[i] = w.of(w.obstacles[i].f).DriftUnchangedM
	}
	var wg sync.WaitGroup
	gate := make(chan struct{}, runtime.GOMAXPROCS(0))
	for i := range w.obstacles {
		if w.obstacles[i].f.Role == schema.RoleKeepout {
			continue // what is entered there stops nothing
		}
		wg.Add(1)
		gate <- struct{}{}
		go func() {
			defer func() { <-gate; wg.Done() }()
			near[i], errs[i] = w.near(&w.obstacles[i], limits[i], stop, v)
		}()
	}
	wg.Wait()
	if err := errors.Join(errs...); err != nil {
		return nil, err
	}
	for _, x := range near {
		if x != nil {
			v.Near = append(v.Near, *x)
		}
	}
	dock := math.Inf(1) // the least reach of a dock
	for _, d := range w.run.docks() {
		dock = math.Min(dock, w.of(d.f).DockReachM)
	}
	v.rangeOf(w)
	for row := range 2*v.Reach + 1 {
		line := make([]Verdict, 2*v.Reach+1)
		for column := range line {
			e, n := v.Shift(column, row)
			h := math.Hypot(e, n)
			stops := h >= stop || h > dock || h > w.limits.DriftUnchangedM && v.OutOfRange()
			for k := range v.Near {
				stops = stops || v.Near[k].In[row][column]
			}
			switch {
			case stops:
				line[column] = VerdictStop
			case h > w.limits.DriftUnchangedM:
				line[column] = VerdictRemeasure
			default:
				line[column] = VerdictUnchanged
			}
		}
		v.Verdicts = append(v.Verdicts, line)
	}
	return v, nil
}

// rangeOf finds what has the least range to spare.
func (v *DriftVerdicts) rangeOf(w *tabler) {
	for _, x := range w.served(w.driven, orb.Point{}) {
		if v.Base == nil || x.far-x.limit > v.RangeM-v.RangeLimitM {
			v.Base, v.RangeM, v.RangeLimitM = x.base, x.far, x.limit
		}
	}
}

// near works out where on the raster one obstacle is reached, nil for nowhere.
func (w *tabler) near(o *driftObstacle, limit, stop float64, v *DriftVerdicts) (*DriftNear, error) {
	// Nothing gets deeper than it moved past the clearance, and what moved by
	// no more than the limit is not reported.
	clear := 0.0
	if !o.met {
		if d, _, ok := o.clearance(w.driven.whole); ok {
			clear = d
		} else {
			clear = math.Inf(1)
		}
		if clear+limit >= stop {
			return nil, nil
		}
	}
	ground, err := w.about(o, stop)
	if err != nil {
		return nil, err
	}
	d := &drift{run: w.run, driven: &drivenGround{whole: ground}}
	size := 2*v.Reach + 1
	in := make([][]bool, size)
	asked := make([][]bool, size)
	for i := range in {
		in[i], asked[i] = make([]bool, size), make([]bool, size)
	}
	at := func(column, row int) (bool, error) {
		if column >= size || row >= size {
			column, row = min(column, size-1), min(row, size-1)
		}
		if asked[row][column] {
			return in[row][column], nil
		}
		asked[row][column] = true
		e, n := v.Shift(column, row)
		if h := math.Hypot(e, n); h <= limit || h >= stop || !o.met && h <= clear+limit {
			return false, nil
		}
		d.by = orb.Point{e, n}
		d.after = moved(ground, d.by)
		past, err := d.past(o, limit)
		in[row][column] = past
		return past, err
	}
	var square func(column, row, side int) error
	square = func(column, row, side int) error {
		var corner [4]bool
		for k := range corner {
			var err error
			if corner[k], err = at(column+side*(k%2), row+side*(k/2)); err != nil {
				return err
			}
		}
		if side == 1 {
			return nil
		}
		if corner[0] == corner[1] && corner[1] == corner[2] && corner[2] == corner[3] && !v.crosses(column, row, side, stop) {
			for r := row; r <= min(row+side, size-1); r++ {
				for c := column; c <= min(column+side, size-1); c++ {
					in[r][c], asked[r][c] = corner[0], true
				}
			}
			return nil
		}
		for k := range 4 {
			if err := square(column+side/2*(k%2), row+side/2*(k/2), side/2); err != nil {
				return err
			}
		}
		return nil
	}
	side := 8
	for side*32 < size {
		side *= 2
	}
	for row := 0; row < size; row += side {
		for column := 0; column < size; column += side {
			if err := square(column, row, side); err != nil {
				return nil, err
			}
		}
	}
	for _, row := range in {
		for _, x := range row {
			if x {
				return &DriftNear{Rule: driftRuleAgainst(o.f.Role), Feature: o.f, In: in}, nil
			}
		}
	}
	return nil, nil
}

// past reports whether reach finds a depth above the limit, and looks no
// further when it has.
func (d *drift) past(o *driftObstacle, limit float64) (bool, error) {
	if math.Hypot(d.by[0], d.by[1]) <= limit {
		return false, nil // it moved no more than counts as unchanged
	}
	if len(o.solid) > 0 {
		part, err := d.newPart(o)
		if err != nil {
			return false, err
		}
		if plane.Area(part) > nothingM2 {
			l := o.measured()
			along := math.Inf(-1)
			for _, area := range part {
				for _, ring := range area {
					_, deep := l.FarthestAlong(ring, nothingM)
					if deep > limit+2*nothingM {
						return true, nil
					}
					along = math.Max(along, deep)
				}
			}
			// Off the outline it is enough to look for what is as deep as the
			// limit, less what the search leaves open; only about the limit
			// itself the depth counts.
			if o.form.convex && len(o.lines) == 0 {
				return along > limit || o.deepestWithin(part, limit), nil
			}
			if least := limit - 2*farthestM; along <= least && len(o.lines) == 0 {
				if _, _, ok := l.FarthestInside(part, least, farthestM); !ok {
					return false, nil
				}
			}
		}
	}
	_, deep, _, err := d.reach(o)
	return deep > limit, err
}

// crosses reports whether a square of the raster lies on both sides of
// drift_stop_m, or about no displacement, where a jump may hide.
func (v *DriftVerdicts) crosses(column, row, side int, stop float64) bool {
	least, most := math.Inf(1), 0.0
	for k := range 4 {
		e, n := v.Shift(column+side*(k%2), row+side*(k/2))
		h := math.Hypot(e, n)
		least, most = math.Min(least, h), math.Max(most, h)
	}
	return least < stop && most >= stop || least <= float64(side*v.StepMM)/1000
}

// about is the driven ground that a displacement of up to most metres can bring
// to an obstacle: a box cut out of it, or all of it where a cut would be taken
// for its outline.
func (w *tabler) about(o *driftObstacle, most float64) (orb.MultiPolygon, error) {
	if o.inside || len(o.lines) > 0 && o.met {
		return w.driven.whole, nil
	}
	b := orb.Bound{Min: orb.Point{math.Inf(1), math.Inf(1)}, Max: orb.Point{math.Inf(-1), math.Inf(-1)}}
	for _, area := range o.solid {
		b = b.Union(area.Bound())
	}
	for _, l := range o.lines {
		b = b.Union(l.Bound())
	}
	return cut(w.driven.whole, b.Pad(2*most+1))
}

// cut is the part of areas that lies in a box; all of them when they do.
func cut(areas orb.MultiPolygon, b orb.Bound) (orb.MultiPolygon, error) {
	var near orb.MultiPolygon
	whole := true
	for _, a := range areas {
		box := a.Bound()
		if !box.Intersects(b) {
			continue
		}
		near = append(near, a)
		whole = whole && b.Contains(box.Min) && b.Contains(box.Max)
	}
	if whole {
		return near, nil
	}
	return plane.Intersection(near, orb.MultiPolygon{b.ToPolygon()})
}
