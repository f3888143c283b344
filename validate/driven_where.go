// Where a track stood: in what is not to be entered, and outside of what is.

package validate

import (
	"math"
	"slices"
	"time"

	"github.com/paulmach/orb"

	"swardline/schema"
	"swardline/validate/plane"
)

// visitGapS is how long a track may be away, in seconds, and still be on one
// visit.
const visitGapS = 2.0

// DrivenVisit is one stay where the machine should not be.
type DrivenVisit struct {
	From, To    time.Time
	Entry, Exit *Place
	// Seconds is the time inside, DepthM the depth that 95 of 100 positions of
	// the visit stay under, WorstM the greatest.
	Seconds, DepthM, WorstM float64
	Positions               int
	// At is where it was deepest.
	At *Place

	entry, exit, deepest orb.Point
	depths               []float64
	every                int // of the positions, one in so many is kept in depths
}

// add takes a position of the visit.
func (v *DrivenVisit) add(p *trackPoint, depth float64) {
	if v.Positions == 0 {
		v.From, v.entry, v.every = p.time, p.at, 1
	}
	v.To, v.exit = p.time, p.at
	if v.Positions == 0 || depth > v.WorstM {
		v.WorstM, v.deepest = depth, p.at
	}
	if v.Positions%v.every == 0 {
		v.depths = append(v.depths, depth)
		if len(v.depths) == 4096 {
			half := v.depths[:0]
			for i := 0; i < 4096; i += 2 {
				half = append(half, v.depths[i])
			}
			v.depths, v.every = half, 2*v.every
		}
	}
	v.Positions++
}

func (v *DrivenVisit) end(s *Site) {
	slices.Sort(v.depths)
	v.DepthM = v.depths[(len(v.depths)*95+99)/100-1]
	v.depths = nil
	v.Entry, v.Exit, v.At = s.Place(v.entry), s.Place(v.exit), s.Place(v.deepest)
}

// visits are all stays of fixed positions in one place, and the time of the
// others.
type visits struct {
	now     *DrivenVisit
	list    []DrivenVisit
	count   int
	seconds [trackClasses]float64
	was     bool // the position before was inside
}

// take is told of each position whether it is inside and how deep.
func (v *visits) take(s *Site, p *trackPoint, inside bool, depth, dt float64) {
	if v.now != nil && v.now.Positions > 0 {
		// A log's own interval is no absence.
		away := p.time.Sub(v.now.To).Seconds()
		if most := map[bool]float64{true: stepMostS, false: visitGapS}[v.was]; away > most || away < 0 {
			v.leave(s)
		}
	}
	if dt == dt && (inside || v.was) {
		part := dt
		if !inside || !v.was {
			part = dt / 2 // the line between was crossed half way
		}
		v.seconds[p.class] += part
		if v.now != nil && p.class == TrackFixed {
			v.now.Seconds += part
		} else if inside && p.class == TrackFixed {
			v.now = &DrivenVisit{Seconds: part}
		}
	}
	v.was = inside
	if !inside || p.class != TrackFixed {
		return
	}
	if v.now == nil {
		v.now = &DrivenVisit{}
	}
	v.now.add(p, depth)
}

func (v *visits) leave(s *Site) {
	v.was = false
	if v.now == nil {
		return
	}
	if v.now.Positions > 0 {
		v.now.end(s)
		v.list = append(v.list, *v.now)
		v.count++
	}
	v.now = nil
	if len(v.list) > 2*mostRuns {
		v.list = longest(v.list, func(x *DrivenVisit) float64 { return x.Seconds })
	}
}

// enteredArea is one thing that is not to be entered.
type enteredArea struct {
	f       *Feature
	rule    string
	locator *plane.Locator
	bound   orb.Bound
	// outside is set for the property, which is not to be left.
	outside bool
	visits  visits
}

// makeAreas lists what is not to be entered.
func (d *Driven) makeAreas() {
	r := d.r
	add := func(f *Feature, rule string, areas orb.MultiPolygon, outside bool) {
		if len(areas) > 0 {
			d.areas = append(d.areas, &enteredArea{f: f, rule: rule, locator: plane.NewLocator(areas), bound: areas.Bound(), outside: outside})
		}
	}
	for _, x := range []struct {
		role schema.Role
		rule string
	}{{schema.RoleKeepout, RuleDrivenEntersKeepout}, {schema.RoleBuilding, RuleDrivenEntersBuilding}} {
		for _, f := range r.Of(x.role) {
			if s := r.solidOf(f); f.usable() && s.why == "" {
				add(f, x.rule, s.areas, false)
			}
		}
	}
	for _, f := range r.Of(schema.RoleHazard) {
		if h := r.hazardShape(f); f.usable() && h.why == "" {
			add(f, RuleDrivenEntersHazard, h.areas, false)
		}
	}
	if lot, owner, err := r.lot(); err == nil && owner != nil {
		add(owner, RuleDrivenLeavesBoundary, lot, true)
	}
	r.reasons = nil // each rule says its own
	d.makeAllowed()
}

// locate finds the zone that a position lies in, that of the one before first.
func (d *Driven) locate(p *trackPoint) {
	in := func(i int) bool {
		z := d.zones[i]
		return z.why == "" && z.bound.Contains(p.at) && z.locator.Locate(p.at) != plane.Outside
	}
	if d.last != nil && d.last.zone >= 0 && in(d.last.zone) {
		p.zone = d.last.zone
		return
	}
	for i := range d.zones {
		if in(i) {
			p.zone = i
			return
		}
	}
}

// enter tells every area of the position; dt is the step to it in seconds, NaN
// for none.
func (d *Driven) enter(p *trackPoint, dt float64) {
	for _, a := range d.areas {
		inside, depth := false, 0.0
		if near := a.bound.Contains(p.at); near || a.outside {
			inside = (near && a.locator.Locate(p.at) == plane.Inside) != a.outside
			if near && a.outside && a.locator.Locate(p.at) == plane.OnEdge {
				inside = false
			}
			if inside {
				depth, _ = a.locator.DistanceToBoundary(p.at)
			}
		}
		if inside || a.visits.was || a.visits.now != nil {
			a.visits.take(d.r.Site, p, inside, depth, dt)
		}
	}
	if o := d.outside; o != nil {
		depth := 0.0
		if p.zone < 0 {
			depth = o.off(d, p.at)
		}
		if depth > 0 || o.visits.was || o.visits.now != nil {
			o.visits.take(d.r.Site, p, depth > 0, depth, dt)
		}
	}
}

func (d *Driven) leaveAll() {
	for _, a := range d.areas {
		a.visits.leave(d.r.Site)
	}
	if d.outside != nil {
		d.outside.visits.leave(d.r.Site)
	}
}

// allowedGround is what the machine may stand in besides the zones: half its
// width beside a corridor, and about a dock as far as the line-up point and the
// dock's reach.
type allowedGround struct {
	lines  []allowedLine
	visits visits
}

type allowedLine struct {
	pts   orb.LineString
	bound orb.Bound
	half  float64
}

func (d *Driven) makeAllowed() {
	r := d.r
	if len(r.Of(schema.RoleZone)) == 0 {
		return
	}
	o := &allowedGround{}
	for _, f := range r.Of(schema.RoleCorridor) {
		for _, l := range f.Lines {
			if f.usable() && len(l.Ground) > 1 {
				o.lines = append(o.lines, allowedLine{l.Ground, l.Ground.Bound(), r.of(f).MachineWidthM / 2})
			}
		}
	}
	for _, dock := range r.docks() {
		half := dock.standoff + r.of(dock.f).DockReachM
		o.lines = append(o.lines, allowedLine{orb.LineString{dock.at, dock.at}, dock.at.Bound(), half})
	}
	d.outside = o
}

// off is how far a position in no zone stands outside of all that is allowed, 0
// or less for inside.
func (o *allowedGround) off(d *Driven, p orb.Point) float64 {
	least := math.Inf(1)
	for i := range o.lines {
		l := &o.lines[i]
		if boxDistance(l.bound, p)-l.half >= least {
			continue
		}
		for k := 1; k < len(l.pts); k++ {
			off, _, _ := offLine(p, l.pts[k-1], l.pts[k])
			least = math.Min(least, off-l.half)
		}
	}
	if least <= 0 {
		return 0
	}
	for _, z := range d.zones {
		if z.why == "" && boxDistance(z.bound, p) < least {
			off, _ := z.locator.DistanceToBoundary(p)
			least = math.Min(least, off)
		}
	}
	if math.IsInf(least, 1) {
		return 0 // nothing to be outside of that could be measured
	}
	return least
}

func boxDistance(b orb.Bound, p orb.Point) float64 {
	return math.Hypot(math.Max(0, math.Max(b.Min[0]-p[0], p[0]-b.Max[0])), math.Max(0, math.Max(b.Min[1]-p[1], p[1]-b.Max[1])))
}

// DrivenEntry is what a track did in one thing that it should not be in, or
// outside of all zones when Feature is nil.
type DrivenEntry struct {
	Rule    string
	Feature *schema.Feature
	// Seconds is the time by class; only the fixed ones are judged.
	Seconds [trackClasses]float64
	// Count is how many visits there were, Visits the longest of them in their
	// order.
	Count  int
	Visits []DrivenVisit
}

// Worst is the visit that was deepest for 95 of 100 of its positions.
func (e *DrivenEntry) Worst() *DrivenVisit {
	var worst *DrivenVisit
	for i := range e.Visits {
		if v := &e.Visits[i]; worst == nil || v.DepthM > worst.DepthM {
			worst = v
		}
	}
	return worst
}

func (d *Driven) entered() []DrivenEntry {
	var out []DrivenEntry
	add := func(rule string, f *schema.Feature, v *visits) {
		sum := 0.0
		for _, s := range v.seconds {
			sum += s
		}
		if v.count == 0 && sum == 0 {
			return
		}
		out = append(out, DrivenEntry{Rule: rule, Feature: f, Seconds: v.seconds, Count: v.count, Visits: longest(v.list, func(x *DrivenVisit) float64 { return x.Seconds })})
	}
	for _, a := range d.areas {
		add(a.rule, a.f.Feature, &a.visits)
	}
	if d.outside != nil {
		add(RuleDrivenLeavesZone, nil, &d.outside.visits)
	}
	return out
}
