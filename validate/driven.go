// # Driven: what a track shows that the machine did
//
// This part of the package lays a log of positions over a plan: the ground that
// was covered, what was entered and left, how well lines were kept and docks
// were met. Only positions with fixed ambiguities are judged; the others are
// counted beside. A log is taken position by position, so its length costs no
// memory.
package validate

import (
	"errors"
	"fmt"
	"math"
	"slices"
	"time"

	"github.com/paulmach/orb"

	"swardline/schema"
)

// TrackClass is how well a position of a track was known.
type TrackClass uint8

// The classes, best first.
const (
	TrackFixed  TrackClass = iota // carrier phases with fixed ambiguities
	TrackFloat                    // ambiguities not fixed
	TrackSingle                   // code
	TrackOther                    // not measured, or not stated
	trackClasses
)

// Words for the classes.
var trackWords = [trackClasses]string{"fixed", "float", "single", "other"}

// String is the class in a word.
func (c TrackClass) String() string { return trackWords[min(c, TrackOther)] }

// TrackFix is one position of a track: longitude and latitude in degrees on the
// plan's datum.
type TrackFix struct {
	Time     time.Time
	Lon, Lat float64
	Class    TrackClass
}

// Receiver says whose corrections a track's positions stand on.
type Receiver string

// The receivers. The machine's own hangs from the very base in question:
// however far that moved, its log of a driven line looks right, and only things
// that stay where they are betray the base. A receiver on another base or a
// correction service sees the whole track displaced, by the movement of the
// driven ground itself.
const (
	ReceiverMachine     Receiver = "machine"
	ReceiverIndependent Receiver = "independent"
)

// Steps of a track. Past them two positions are not joined by a line: nobody
// knows what lies between.
const (
	stepMostS = 10.0 // seconds
	stepMostM = 5.0  // metres
)

// DrivenOptions say how a track is to be understood.
type DrivenOptions struct {
	// Receiver is ReceiverMachine when "".
	Receiver Receiver
	// Walked names the features (by name, else id) whose line or outline was
	// walked on the ground itself, with the machine's receiver or one that
	// hangs from the same base. Another receiver sees them where they are,
	// whatever the base did.
	Walked []string
	// ShiftE and ShiftN are put to every position, in metres: from the frame of
	// the log to that of the plan.
	ShiftE, ShiftN float64
}

// Driven lays tracks over a plan. It is made by NewDriven, given each log
// between Begin and End, and asked once for its Report.
type Driven struct {
	r     *run
	o     DrivenOptions
	zones []*zoneCover
	// areas are what may be entered, allowed what the machine may stand in.
	areas   []*enteredArea
	outside *allowedGround
	lines   []*followedLine
	rings   []*followedRing
	oddLaps int // rounds that kept no one distance
	docks   []*dockVisit
	marks   []*dockVisit
	total   drivenTotal
	rest    standing
	stands  []DrivenStand
	last    *trackPoint
	spare   trackPoint
	obs     []observation
	trail   []TrailPoint
	spacing float64
}

// trackPoint is a position on the ground.
type trackPoint struct {
	at    orb.Point
	time  time.Time
	class TrackClass
	zone  int // index in zones, -1 for none
}

type drivenTotal struct {
	fixes   [trackClasses]int
	seconds [trackClasses]float64
	length  float64
	breaks  int
	speed   sketch
	stood   float64
	// poor is the run of positions at hand that are not fixed, and poorRuns the
	// longest that ended.
	poor     *PoorRun
	poorRuns []PoorRun
}

// PoorRun is a time during which no position was fixed.
type PoorRun struct {
	From, To time.Time
	Class    TrackClass // the worst of it
	At       *Place
	at       orb.Point
}

// Seconds is how long it lasted.
func (p *PoorRun) Seconds() float64 { return p.To.Sub(p.From).Seconds() }

// NewDriven makes ready to lay tracks over a plan on the ground. The error is
// for a plan that has no place on the earth, a receiver there is none of, or a
// walked feature that the plan does not have.
func NewDriven(s *Site, l schema.Limits, o DrivenOptions) (*Driven, error) {
	if s.Frame != FrameEarth {
		why := s.Why
		if s.Frame == FramePlane {
			why = "its reference system is unknown, and a log has latitudes and longitudes"
		}
		return nil, fmt.Errorf("the plan cannot be compared with a log: %s", why)
	}
	switch o.Receiver {
	case "":
		o.Receiver = ReceiverMachine
	case ReceiverMachine, ReceiverIndependent:
	default:
		return nil, fmt.Errorf("a receiver is %q or %q, not %q", ReceiverMachine, ReceiverIndependent, string(o.Receiver))
	}
	if o.Receiver == ReceiverIndependent && len(o.Walked) > 0 {
		return nil, errors.New("what was walked on the ground says nothing of the base where the receiver does not hang from it: leave out what was walked, or give the log as one of the machine's own base")
	}
	d := &Driven{r: newRun(s, l), o: o}
	d.r.drivenBy = d
	d.makeCovers()
	d.makeAreas()
	if err := d.makeLines(); err != nil {
		return nil, err
	}
	d.makeRings()
	for _, dock := range d.r.docks() {
		d.docks = append(d.docks, &dockVisit{dock: dock, reach: dockReachM})
	}
	for _, f := range d.r.Of(schema.RoleMark) {
		for i := range f.Points {
			if f.usable() {
				d.marks = append(d.marks, &dockVisit{dock: dockSpot{f: f, at: f.Points[i].Ground, heading: math.NaN()}, reach: markReachM})
			}
		}
	}
	return d, nil
}

// Begin starts another log.
func (d *Driven) Begin() {
	d.last = nil
	if n := len(d.trail); n > 0 {
		d.trail[n-1].Ends = true
	}
}

// Add takes the next position of the log.
func (d *Driven) Add(f TrackFix) {
	at, ok := d.r.LonLatToGround(f.Lon, f.Lat)
	if !ok || math.IsNaN(at[0]) || math.IsNaN(at[1]) {
		return
	}
	at[0], at[1] = at[0]+d.o.ShiftE, at[1]+d.o.ShiftN
	f.Class = min(f.Class, TrackOther)
	p := trackPoint{at: at, time: f.Time, class: f.Class, zone: -1}
	d.total.fixes[p.class]++
	d.quality(&p)
	d.locate(&p)
	dt := 0.0
	if d.last != nil {
		dt = p.time.Sub(d.last.time).Seconds()
		length := distance(d.last.at, p.at)
		if dt > 0 && dt <= stepMostS && length <= stepMostM {
			d.step(d.last, &p, dt, length)
		} else if dt != 0 || length > 0 {
			d.total.breaks++
			dt = math.NaN()
		}
	} else {
		dt = math.NaN()
	}
	d.leaveTrail(&p, dt)
	d.enter(&p, dt)
	if p.class == TrackFixed {
		d.follow(&p, dt)
		d.followRings(&p)
		d.stand(&p, dt)
	}
	d.spare = p
	d.last = &d.spare
}

// TrailPoint is a place of the track as it is drawn: on the ground, in metres.
type TrailPoint struct {
	E, N  float64
	Class TrackClass
	Ends  bool // no line leads on from here
}

// The trail keeps places trailM apart, and twice as far whenever there are more
// than mostTrail.
const (
	trailM    = 0.25
	mostTrail = 40_000
)

// leaveTrail keeps a place to draw.
func (d *Driven) leaveTrail(p *trackPoint, dt float64) {
	if d.spacing == 0 {
		d.spacing = trailM
	}
	n := len(d.trail)
	if n > 0 && dt != dt {
		d.trail[n-1].Ends = true
	}
	if n > 0 && dt == dt && d.trail[n-1].Class == p.class && math.Hypot(d.trail[n-1].E-p.at[0], d.trail[n-1].N-p.at[1]) < d.spacing {
		return
	}
	if d.trail = append(d.trail, TrailPoint{E: p.at[0], N: p.at[1], Class: p.class}); len(d.trail) <= mostTrail {
		return
	}
	d.spacing *= 2
	kept := d.trail[:1]
	for _, x := range d.trail[1:] {
		if last := &kept[len(kept)-1]; x.Ends || last.Ends || x.Class != last.Class || math.Hypot(x.E-last.E, x.N-last.N) >= d.spacing {
			kept = append(kept, x)
		}
	}
	d.trail = kept
}

// End ends the log at hand.
func (d *Driven) End() {
	d.leaveAll()
	d.endPoor()
	d.endRest()
	for _, l := range d.lines {
		d.endPass(l)
	}
	for _, x := range d.rings {
		d.endLap(x)
	}
	for _, v := range d.docks {
		v.nearest = math.Inf(1)
	}
	d.last = nil
}

// step takes the way from one position to the next.
func (d *Driven) step(a, b *trackPoint, dt, length float64) {
	class := max(a.class, b.class)
	d.total.seconds[class] += dt
	if b.zone >= 0 {
		d.zones[b.zone].seconds[class] += dt
	}
	if class != TrackFixed {
		return
	}
	d.total.length += length
	if v := length / dt; v > standSpeed {
		d.total.speed.add(v)
	} else {
		d.total.stood += dt
	}
	if length == 0 {
		return
	}
	for _, z := range d.zones {
		z.cover(a.at, b.at, length)
	}
}

// standSpeed is the speed in m/s below which the machine stands: the noise of
// fixed positions a second apart moves as fast.
const standSpeed = 0.05

// quality keeps the runs without fixed positions.
func (d *Driven) quality(p *trackPoint) {
	t := &d.total
	if p.class == TrackFixed {
		d.endPoor()
		return
	}
	if t.poor != nil && p.time.Sub(t.poor.To).Seconds() > stepMostS {
		d.endPoor()
	}
	if t.poor == nil {
		t.poor = &PoorRun{From: p.time, at: p.at}
	}
	t.poor.To = p.time
	t.poor.Class = max(t.poor.Class, p.class)
}

// mostRuns is how many of the longest runs, stands and visits are kept.
const mostRuns = 50

func (d *Driven) endPoor() {
	t := &d.total
	if t.poor == nil {
		return
	}
	t.poor.At = d.r.Place(t.poor.at)
	t.poorRuns = append(t.poorRuns, *t.poor)
	t.poor = nil
	if len(t.poorRuns) > 2*mostRuns {
		t.poorRuns = longest(t.poorRuns, func(p *PoorRun) float64 { return p.Seconds() })
	}
}

// longest keeps the mostRuns largest, in their order.
func longest[T any](list []T, size func(*T) float64) []T {
	if len(list) <= mostRuns {
		return list
	}
	sizes := make([]float64, len(list))
	for i := range list {
		sizes[i] = size(&list[i])
	}
	slices.Sort(sizes)
	least := sizes[len(sizes)-mostRuns]
	var out []T
	for i := range list {
		if size(&list[i]) >= least && len(out) < mostRuns {
			out = append(out, list[i])
		}
	}
	return out
}

// DrivenReport is what tracks show of a plan. Seconds by class stand in the
// order of TrackClass.
type DrivenReport struct {
	Site     *Site
	Receiver Receiver
	// Fixes counts positions by class, Seconds the time between them; a step
	// takes the worse class of its ends. Breaks counts pairs too far apart to
	// be joined.
	Fixes   [trackClasses]int
	Seconds [trackClasses]float64
	Breaks  int
	// LengthM is the way between fixed positions, StoodS how long they stood
	// still.
	LengthM, StoodS float64
	// SpeedMedian and SpeedP95 are metres a second while moving; NaN for none.
	SpeedMedian, SpeedP95 float64
	// Poor are the longest times without fixed positions, Stands the longest
	// that the machine stood still away from its docks; both in their order.
	Poor      []PoorRun
	Stands    []DrivenStand
	Zones     []DrivenZone
	Entered   []DrivenEntry
	Corridors []DrivenCorridor
	Docks     []DrivenDock
	Movement  TrackMovement
	// CellM is the width of the cells in which cover was counted.
	CellM float64
	// Trail is the track as it is drawn.
	Trail     []TrailPoint
	Rules     []Result
	Findings  []Finding
	Limits    schema.Limits
	Used      []LimitUse
	Unchecked []string
}

// Report judges what the tracks showed. It is asked once, after the last log.
func (d *Driven) Report() (*DrivenReport, error) {
	t := &d.total
	n := 0
	for _, k := range t.fixes {
		n += k
	}
	if n == 0 {
		return nil, errors.New("the logs hold no position")
	}
	t.poorRuns = longest(t.poorRuns, func(p *PoorRun) float64 { return p.Seconds() })
	out := &DrivenReport{Site: d.r.Site, Receiver: d.o.Receiver, Fixes: t.fixes, Seconds: t.seconds, Breaks: t.breaks, LengthM: t.length, StoodS: t.stood,
		SpeedMedian: t.speed.quantile(0.5), SpeedP95: t.speed.quantile(0.95), Poor: t.poorRuns, Stands: longest(d.stands, func(s *DrivenStand) float64 { return s.Seconds }), CellM: d.cell(), Trail: d.trail}
	var err error
	if out.Zones, err = d.covered(); err != nil {
		return nil, err
	}
	out.Entered = d.entered()
	out.Corridors = d.kept()
	out.Docks = d.docked()
	out.Movement = d.movement()
	d.r.driving = out
	if out.Rules, out.Findings, err = d.r.judge(CommandDriven); err != nil {
		return nil, err
	}
	out.Limits, out.Used, out.Unchecked = d.r.limits, d.r.limitsUsed(out.Rules), d.r.said
	return out, nil
}

// Status says what became of the plan, as that of a Report does.
func (r *DrivenReport) Status() Status {
	return (&Report{Rules: r.Rules, Findings: r.Findings}).Status()
}

// sketch is a set of lengths of which quantiles are asked: in steps of 1 mm up
// to 1 m, of 1 cm up to 10 m, and of 1 dm to 100 m.
type sketch struct {
	counts []uint32
	n      int
	most   float64
}

const sketchBins = 1000 + 900 + 900

func (s *sketch) add(v float64) {
	if s.counts == nil {
		s.counts = make([]uint32, sketchBins)
	}
	bin := 0
	switch {
	case v < 1:
		bin = int(v * 1000)
	case v < 10:
		bin = 1000 + int((v-1)*100)
	default:
		bin = min(1900+int((v-10)*10), sketchBins-1)
	}
	s.counts[max(bin, 0)]++
	s.n++
	s.most = math.Max(s.most, v)
}

// quantile is the least length that share of all stay at or under, to the width
// of its step; NaN for none.
func (s *sketch) quantile(share float64) float64 {
	if s.n == 0 {
		return math.NaN()
	}
	want := int(math.Ceil(share * float64(s.n)))
	sum := 0
	for bin, k := range s.counts {
		if sum += int(k); sum >= max(want, 1) {
			switch {
			case bin < 1000:
				return math.Min(s.most, (float64(bin)+0.5)/1000)
			case bin < 1900:
				return math.Min(s.most, 1+(float64(bin-1000)+0.5)/100)
			}
			return math.Min(s.most, 10+(float64(bin-1900)+0.5)/10)
		}
	}
	return s.most
}
