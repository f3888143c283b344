// Lines that a track kept to, docks that it met, and where it stood still.

package validate

import (
	"fmt"
	"math"
	"time"

	"github.com/paulmach/orb"

	"swardline/schema"
)

const (
	// followM is how far from a line, in metres, a track can still be following
	// it.
	followM = 1.0
	// passLeast is how many positions along one segment make a pass.
	passLeast = 3
	// dockReachM and markReachM are how far from a dock or a mark a rest is
	// still one in the dock or on the mark, in metres; a base that moved by
	// more than drift_stop_m must still show.
	dockReachM = 1.0
	markReachM = 0.5
	// restM is how far positions of one rest stay from their mean, in metres,
	// and restLeastS how long a rest in a dock or on a mark lasts, in seconds.
	restM      = 0.08
	restLeastS = 20.0
	// standLeastS is how long the machine stands still before it is told.
	standLeastS = 60.0
)

// followedLine is a corridor, or a line or outline that was walked.
type followedLine struct {
	f        *Feature
	pts      []orb.Point
	bound    orb.Bound
	evidence bool // of the base
	corridor bool
	dev      sketch
	left, n  int
	length   float64
	worstAt  orb.Point
	pass     linePass
	passes   int
}

// linePass is the pass at hand along one segment.
type linePass struct {
	segment     int
	n           int
	sum         float64 // of metres to the left of the segment
	way         float64 // along the segment, from 0 to 1, last
	sense       float64 // ways along it, added up
	from, last  time.Time
	middle      orb.Point
	active      bool
	firstAlong  float64
	lengthM     float64
	segmentDirE float64
	segmentDirN float64
}

func (d *Driven) makeLines() error {
	r := d.r
	add := func(f *Feature, pts []orb.Point, corridor, evidence bool) {
		if len(pts) > 1 {
			d.lines = append(d.lines, &followedLine{f: f, pts: pts, bound: orb.LineString(pts).Bound().Pad(followM), corridor: corridor, evidence: evidence})
		}
	}
	for _, f := range r.Of(schema.RoleCorridor) {
		for _, l := range f.Lines {
			if f.usable() {
				add(f, l.Ground, true, d.o.Receiver == ReceiverIndependent)
			}
		}
	}
	for _, name := range d.o.Walked {
		found := false
		for _, f := range r.Features {
			if f.Name != name && f.ID.Text() != name || !f.usable() {
				continue
			}
			found = true
			for _, l := range f.Lines {
				add(f, l.Ground, false, true)
			}
			for _, a := range f.Areas {
				for _, ring := range a.Ground {
					if n := len(ring); n > 0 && ring[0] != ring[n-1] {
						ring = append(ring[:n:n], ring[0])
					}
					add(f, ring, false, true)
				}
			}
		}
		if !found {
			return fmt.Errorf("the plan has no active feature called %q to have been walked", name)
		}
	}
	return nil
}

// follow tells the lines of a fixed position.
func (d *Driven) follow(p *trackPoint, dt float64) {
	for _, l := range d.lines {
		if !l.bound.Contains(p.at) || p.zone >= 0 && l.corridor {
			d.endPass(l)
			continue
		}
		best, off, left, along := -1, followM, 0.0, 0.0
		for k := 1; k < len(l.pts); k++ {
			if o, s, a := offLine(p.at, l.pts[k-1], l.pts[k]); o < off {
				best, off, left, along = k-1, o, s, a
			}
		}
		// Past its ends a line is not followed.
		past := best == 0 && along < 0 || best == len(l.pts)-2 && along > 1
		if best < 0 || past || l.corridor && d.atDock(p.at) {
			d.endPass(l)
			continue
		}
		w := &l.pass
		if w.active && (w.segment != best || p.time.Sub(w.last).Seconds() > stepMostS || p.time.Before(w.last)) {
			d.endPass(l)
		}
		if l.corridor {
			l.dev.add(off)
			if l.n++; left > 0 {
				l.left++
			}
			if off >= l.dev.most {
				l.worstAt = p.at
			}
			if dt == dt && d.last != nil {
				l.length += distance(d.last.at, p.at)
			}
		}
		if along < 0 || along > 1 {
			continue // round a corner the distance has no side
		}
		if !w.active {
			a, b := l.pts[best], l.pts[best+1]
			length := distance(a, b)
			*w = linePass{segment: best, active: true, from: p.time, way: along, firstAlong: along, lengthM: length, segmentDirE: (b[0] - a[0]) / length, segmentDirN: (b[1] - a[1]) / length}
		}
		w.n++
		w.sum += left
		w.sense += along - w.way
		w.way, w.last = along, p.time
		w.middle[0] += p.at[0]
		w.middle[1] += p.at[1]
	}
}

// atDock reports whether a position is where the machine turns into a dock.
func (d *Driven) atDock(p orb.Point) bool {
	for _, v := range d.docks {
		if distance(p, v.dock.at) < v.dock.standoff*0.75 {
			return true
		}
	}
	return false
}

// endPass takes the mean of a pass for an observation.
func (d *Driven) endPass(l *followedLine) {
	w := l.pass
	l.pass = linePass{}
	if !w.active || w.n < passLeast || math.Abs(w.sense)*w.lengthM < 0.5 {
		return
	}
	l.passes++
	if !l.evidence {
		return
	}
	n := float64(w.n)
	sense := 0.0
	if l.corridor {
		sense = math.Copysign(1, w.sense)
	}
	d.obs = append(d.obs, observation{
		time: w.from, at: orb.Point{w.middle[0] / n, w.middle[1] / n}, name: l.f.describe(), group: d.nextGroup(),
		// Left of the segment is its direction turned by a quarter; a machine
		// that keeps to one side does so on the way out and on the way back.
		a: [3]float64{-w.segmentDirN, w.segmentDirE, sense}, v: w.sum / n, side: l.corridor,
	})
}

func (d *Driven) nextGroup() int {
	if n := len(d.obs); n > 0 {
		return d.obs[n-1].group + 1
	}
	return 0
}

// DrivenCorridor is how a corridor was kept, outside of zones and docks.
type DrivenCorridor struct {
	Feature   *schema.Feature
	Positions int
	LengthM   float64
	Passes    int
	// MedianM, P95M and WorstM are distances from its line that half, 95 of 100
	// and all positions stay within.
	MedianM, P95M, WorstM float64
	// Side is "left" or "right" of the line as it is drawn where at least nine
	// of ten positions were, else "both".
	Side string
	At   *Place // of the worst
}

func (d *Driven) kept() []DrivenCorridor {
	var out []DrivenCorridor
	for _, l := range d.lines {
		if !l.corridor {
			continue
		}
		c := DrivenCorridor{Feature: l.f.Feature, Positions: l.n, LengthM: l.length, Passes: l.passes, MedianM: l.dev.quantile(0.5), P95M: l.dev.quantile(0.95), WorstM: math.NaN(), Side: "both"}
		if l.n > 0 {
			c.WorstM, c.At = l.dev.most, d.r.Place(l.worstAt)
			if share := float64(l.left) / float64(l.n); share >= 0.9 {
				c.Side = "left"
			} else if share <= 0.1 {
				c.Side = "right"
			}
		}
		out = append(out, c)
	}
	return out
}

// standing is the rest at hand: positions that stay where they are.
type standing struct {
	n          int
	sum        orb.Point
	first      orb.Point
	from, last time.Time
}

func (s *standing) mean() orb.Point {
	return orb.Point{s.sum[0] / float64(s.n), s.sum[1] / float64(s.n)}
}

// DrivenStand is a time that the machine stood still away from its docks.
type DrivenStand struct {
	From    time.Time
	Seconds float64
	At      *Place
}

// dockVisit is a dock or a mark with the rests in it.
type dockVisit struct {
	dock  dockSpot
	reach float64
	// nearest is how near the track came to the line-up point since it last was
	// away, off and turn what it was there.
	nearest, turn float64
	moving        bool
	lineups       sketch
	turns         sketch
	rests         []orb.Point
}

// stand follows rests and the ways into docks.
func (d *Driven) stand(p *trackPoint, dt float64) {
	d.approach(p, dt)
	s := &d.rest
	if s.n > 0 && (distance(s.mean(), p.at) > restM || p.time.Before(s.last)) {
		d.endRest()
	}
	if s.n == 0 {
		s.from, s.first = p.time, p.at
	}
	s.n++
	s.sum[0] += p.at[0]
	s.sum[1] += p.at[1]
	s.last = p.time
}

func (d *Driven) endRest() {
	s := d.rest
	d.rest = standing{}
	seconds := s.last.Sub(s.from).Seconds()
	if s.n < passLeast || seconds < restLeastS {
		return
	}
	at := s.mean()
	for k, list := range [][]*dockVisit{d.docks, d.marks} {
		for _, v := range list {
			if distance(at, v.dock.at) > v.reach {
				continue
			}
			v.rests = append(v.rests, at)
			if k == 0 && v.nearest < math.Inf(1) && !math.IsNaN(v.dock.heading) {
				v.lineups.add(v.nearest)
				if v.moving {
					v.turns.add(v.turn)
				}
			}
			v.nearest, v.moving = math.Inf(1), false
			if d.o.Receiver == ReceiverMachine {
				d.observe(v, at, s.from)
			}
			return
		}
	}
	if seconds >= standLeastS {
		d.stands = append(d.stands, DrivenStand{From: s.from, Seconds: seconds, At: d.r.Place(at)})
		if len(d.stands) > 2*mostRuns {
			d.stands = longest(d.stands, func(x *DrivenStand) float64 { return x.Seconds })
		}
	}
}

// observe makes two observations of a rest on fixed ground.
func (d *Driven) observe(v *dockVisit, at orb.Point, when time.Time) {
	o := observation{time: when, at: at, name: v.dock.f.describe(), group: d.nextGroup()}
	for k := range 2 {
		o.a = [3]float64{}
		o.a[k], o.v = 1, at[k]-v.dock.at[k]
		d.obs = append(d.obs, o)
	}
}

// approach watches the way to each line-up point: how near the track came and
// which way it went there.
func (d *Driven) approach(p *trackPoint, dt float64) {
	for _, v := range d.docks {
		if math.IsNaN(v.dock.heading) {
			continue
		}
		if distance(p.at, v.dock.at) > 2*v.dock.standoff+dockReachM {
			v.nearest, v.moving = math.Inf(1), false
			continue
		}
		off := distance(p.at, v.dock.lineup)
		a := p.at
		if dt == dt && d.last != nil {
			a = d.last.at
			off, _, _ = offLine(v.dock.lineup, a, p.at)
		}
		if off < v.nearest {
			v.nearest = off
			if v.moving = distance(a, p.at) > 0.02; v.moving {
				v.turn = angleBetween(bearingOf(a, p.at), v.dock.heading)
			}
		}
	}
}

// DrivenDock is how a dock was met.
type DrivenDock struct {
	Feature  *schema.Feature
	Dockings int
	// LineUpMedianM and LineUpP95M are how far from the line-up point the
	// machine passed before it docked, HeadingMedianDeg how far it then turned
	// from the dock's heading; NaN when not known.
	LineUpMedianM, LineUpP95M, HeadingMedianDeg float64
	// RestE and RestN are where it rested on average, in metres from the dock's
	// point, SpreadM the root of the mean square distance of the rests from
	// there.
	RestE, RestN, SpreadM float64
	At                    *Place
}

func (d *Driven) docked() []DrivenDock {
	var out []DrivenDock
	for _, v := range d.docks {
		x := DrivenDock{Feature: v.dock.f.Feature, Dockings: len(v.rests), LineUpMedianM: v.lineups.quantile(0.5), LineUpP95M: v.lineups.quantile(0.95),
			HeadingMedianDeg: v.turns.quantile(0.5), RestE: math.NaN(), RestN: math.NaN(), SpreadM: math.NaN(), At: d.r.Place(v.dock.at)}
		if n := float64(len(v.rests)); n > 0 {
			var mean orb.Point
			for _, p := range v.rests {
				mean[0] += p[0] / n
				mean[1] += p[1] / n
			}
			squares := 0.0
			for _, p := range v.rests {
				squares += math.Pow(distance(p, mean), 2)
			}
			x.RestE, x.RestN = mean[0]-v.dock.at[0], mean[1]-v.dock.at[1]
			if n > 1 {
				x.SpreadM = math.Sqrt(squares / (n - 1))
			}
		}
		out = append(out, x)
	}
	return out
}
