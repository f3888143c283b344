// A table of displacements: the depths that the rules drift-* report, on many
// bearings and distances at once, for a reader that cannot run the rules
// itself.

package validate

import (
	"errors"
	"fmt"
	"math"
	"runtime"
	"sync"

	"github.com/paulmach/orb"

	"swardline/schema"
	"swardline/validate/plane"
)

// DriftTable holds depths for displacements of the driven ground on evenly
// spaced bearings and at rising distances.
type DriftTable struct {
	Held Held
	// HeldStated is false when the plan does not say how it is held.
	HeldStated bool
	// BearingsDeg runs from 0, clockwise from true north. BeyondM runs from 0
	// and says how far the ground moved beyond the gap; its last is the table's
	// range.
	BearingsDeg, BeyondM []float64
	Items                []DriftTableItem
	Limits               schema.Limits
	// Unchecked says what could not be measured.
	Unchecked []string
}

// DriftTableItem is one rule on one feature.
type DriftTableItem struct {
	Rule     string
	Severity Severity
	Feature  *Feature
	// LimitM is the depth from which on Drift reports a finding.
	LimitM float64
	// Stops is set when a finding of the rule makes the verdict stop.
	Stops bool
	// GapM is, a bearing, the displacement in metres at which the depth leaves
	// 0: the spoke of the margin rose for one obstacle, +Inf for never; 0 for
	// keep-outs and zones, which have no margin of their own.
	GapM []float64
	// DepthM is, a bearing and a distance beyond the gap, the depth in metres
	// that Drift measures, 0 for none, limits left aside. Where gap and
	// distance together are past the table's range the last depth is repeated.
	DepthM [][]float64
}

// TabulateDrift works out the table for that many bearings and the distances
// beyond the gap, which rise from 0. Each depth is the one that Drift gives for
// that displacement of the ground. The error is as Drift's.
func TabulateDrift(p *schema.Plan, l schema.Limits, bearings int, distancesM []float64) (*DriftTable, error) {
	if bearings < 4 || len(distancesM) < 2 || distancesM[0] != 0 {
		return nil, fmt.Errorf("a table of displacements has 4 bearings or more, and distances from 0 on")
	}
	for i, r := range distancesM {
		if !(r <= MaxMovementM) || i > 0 && !(r > distancesM[i-1]) {
			return nil, fmt.Errorf("distances of a table of displacements rise, up to %d m", MaxMovementM)
		}
	}
	held, stated, err := HeldOf(p)
	if err != nil {
		return nil, err
	}
	s, err := grounded(p)
	if err != nil {
		return nil, err
	}
	t := &DriftTable{Held: held, HeldStated: stated, BeyondM: distancesM}
	for b := range bearings {
		t.BearingsDeg = append(t.BearingsDeg, 360*float64(b)/float64(bearings))
	}
	first, err := newTabler(s, l, t, true)
	if err != nil {
		return nil, err
	}
	t.Limits, t.Unchecked = first.limits, first.reasons
	// Each bearing is worked out by itself; a run keeps what it has computed
	// and is used by one goroutine, so every worker has its own.
	workers := min(runtime.GOMAXPROCS(0), bearings)
	errs := make([]error, workers)
	var wg sync.WaitGroup
	for k := range workers {
		wg.Add(1)
		go func() {
			defer wg.Done()
			w := first
			if k > 0 {
				if w, errs[k] = newTabler(s, l, t, false); errs[k] != nil {
					return
				}
			}
			for b := k; b < bearings && errs[k] == nil; b += workers {
				errs[k] = w.row(b)
			}
		}()
	}
	wg.Wait()
	return t, errors.Join(errs...)
}

// tabler fills a table's rows.
type tabler struct {
	*drift
	t         *DriftTable
	whole     orb.MultiPolygon // wound for the sweep of the gaps
	obstacles []driftObstacle  // in the order of the table's first items
	docks     int
	// grounds is the driven ground near each obstacle, and parts the zones near
	// each zone with their outline: nothing farther off comes into play.
	grounds []orb.MultiPolygon
	parts   []zonePart
}

// zonePart is the zones about one zone.
type zonePart struct {
	zones   orb.MultiPolygon
	locator *plane.Locator
}

// newTabler works out what is driven and what is in the way; enter also enters
// the items in the table, whose order is the same every time.
func newTabler(s *Site, l schema.Limits, t *DriftTable, enter bool) (*tabler, error) {
	d := &drift{run: newRun(s, l)}
	w := &tabler{drift: d, t: t}
	var err error
	if d.driven, err = d.run.driven(); err != nil {
		return nil, err
	}
	if d.forbidden, err = d.run.forbidden(); err != nil {
		return nil, err
	}
	if err := d.meetNow(); err != nil {
		return nil, err
	}
	w.whole = wound(d.driven.whole)
	item := func(rule string, f *Feature, limit float64, stops bool) {
		if !enter {
			return
		}
		x := DriftTableItem{Rule: rule, Severity: Error, Feature: f, LimitM: limit, Stops: stops,
			GapM: make([]float64, len(t.BearingsDeg)), DepthM: make([][]float64, len(t.BearingsDeg))}
		for b := range x.DepthM {
			x.DepthM[b] = make([]float64, len(t.BeyondM))
		}
		t.Items = append(t.Items, x)
	}
	for _, role := range []schema.Role{schema.RoleHazard, schema.RoleBuilding, schema.RoleEdge, schema.RoleBoundary} {
		for _, o := range d.forbidden {
			if o.f.Role == role {
				item(driftRuleAgainst(role), o.f, d.of(o.f).DriftUnchangedM, true)
				w.obstacles = append(w.obstacles, o)
			}
		}
	}
	for _, f := range d.Of(schema.RoleKeepout) {
		if s := d.solidOf(f); s.why == "" {
			item(RuleDriftEntersKeepout, f, d.of(f).DriftUnchangedM, false)
			w.obstacles = append(w.obstacles, driftObstacle{f: f, solid: s.areas})
		}
	}
	for _, z := range d.driven.zones {
		item(RuleDriftLeavesZone, z.f, d.of(z.f).DriftUnchangedM, false)
	}
	for _, dock := range d.run.docks() {
		item(RuleDriftOffDock, dock.f, d.of(dock.f).DockReachM, true)
		w.docks++
	}
	return w, w.nearby()
}

// nearby cuts out what comes into play for each obstacle and each zone.
func (w *tabler) nearby() error {
	if len(w.t.BeyondM) == 0 {
		return nil
	}
	most := w.t.BeyondM[len(w.t.BeyondM)-1]
	for i := range w.obstacles {
		g, err := w.about(&w.obstacles[i], most)
		if err != nil {
			return err
		}
		w.grounds = append(w.grounds, g)
	}
	for _, z := range w.driven.zones {
		// A cut stands farther off than anything that strays.
		part, err := cut(w.driven.allZones, z.area.Bound().Pad(2*most+1))
		if err != nil {
			return err
		}
		w.parts = append(w.parts, zonePart{part, plane.NewLocator(part)})
	}
	return nil
}

// row works out all items on one bearing.
func (w *tabler) row(b int) error {
	items := w.t.Items
	both := grazing(w.whole, w.t.BearingsDeg[b])
	for i := range w.obstacles {
		o, x := &w.obstacles[i], &items[i]
		if o.f.Role != schema.RoleKeepout && !o.met {
			x.GapM[b] = both.gap(o)
		}
		near := &drift{run: w.run, driven: &drivenGround{whole: w.grounds[i]}}
		err := w.fill(x, b, o.met, func() (float64, error) {
			near.by, near.after = w.by, moved(near.driven.whole, w.by)
			_, deep, _, err := near.reach(o)
			return deep, err
		})
		if err != nil {
			return err
		}
	}
	items = items[len(w.obstacles):]
	for i, z := range w.driven.zones {
		near := &drift{run: w.run, driven: &drivenGround{allZones: w.parts[i].zones}}
		err := w.fill(&items[i], b, false, func() (float64, error) {
			near.by = w.by
			_, far, _, err := near.strays(z, w.parts[i].locator)
			return far, err
		})
		if err != nil {
			return err
		}
	}
	items = items[len(w.driven.zones):]
	for i := range w.docks {
		err := w.fill(&items[i], b, false, func() (float64, error) { return math.Hypot(w.by[0], w.by[1]), nil })
		if err != nil {
			return err
		}
	}
	return nil
}

// hairM is a movement that is hardly one.
const hairM = 1e-3

// fill works out one item on one bearing; depth gives it for the displacement
// set.
func (w *tabler) fill(x *DriftTableItem, b int, met bool, depth func() (float64, error)) error {
	beyond := w.t.BeyondM
	last := beyond[len(beyond)-1]
	gap := x.GapM[b]
	if !(gap < last) {
		return nil
	}
	sin, cos := math.Sincos(w.t.BearingsDeg[b] * math.Pi / 180)
	at := func(r float64) (float64, error) {
		w.by = orb.Point{r * sin, r * cos}
		return depth()
	}
	var err error
	if met {
		// What the ground is in already gets deeper with a jump: the first
		// depth is that just past no movement at all.
		if x.DepthM[b][0], err = at(hairM); err != nil {
			return err
		}
	}
	for k := 1; k < len(beyond); k++ {
		if gap+beyond[k-1] >= last { // nothing asks beyond the table
			x.DepthM[b][k] = x.DepthM[b][k-1]
			continue
		}
		if x.DepthM[b][k], err = at(gap + beyond[k]); err != nil {
			return err
		}
	}
	return nil
}
