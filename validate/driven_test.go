// Tracks over plans whose figures are known in closed form.

package validate_test

import (
	"fmt"
	"math"
	"math/rand/v2"
	"testing"
	"time"

	"github.com/twpayne/go-geom"

	"swardline/crs"
	"swardline/schema"
	"swardline/validate"
)

// lawn is a plan in metres about an invented place.
type lawn struct {
	plan *schema.Plan
	grid *crs.CRS
}

func newLawn(t testing.TB) *lawn {
	t.Helper()
	grid, err := crs.NewSite(crs.SiteGrid{Origin: crs.Geodetic{Lon: 9, Lat: 56, H: 0}, Scale: 1, Base: crs.WGS84()})
	if err != nil {
		t.Fatal(err)
	}
	return &lawn{&schema.Plan{CRS: grid}, grid}
}

func (l *lawn) add(role schema.Role, id string, pts ...float64) *schema.Feature {
	f := &schema.Feature{Role: role, ID: schema.String(id)}
	switch {
	case role == schema.RoleDock || role == schema.RoleMark || role == schema.RoleBase:
		f.Geometry = geom.NewPointFlat(geom.XY, pts)
	case role == schema.RoleCorridor || role == schema.RoleEdge:
		f.Geometry = geom.NewLineStringFlat(geom.XY, pts)
	default:
		pts = append(pts, pts[0], pts[1])
		f.Geometry = geom.NewPolygonFlat(geom.XY, pts, []int{len(pts)})
	}
	l.plan.Features = append(l.plan.Features, f)
	return f
}

func (l *lawn) box(role schema.Role, id string, x0, y0, x1, y1 float64) *schema.Feature {
	return l.add(role, id, x0, y0, x0, y1, x1, y1, x1, y0)
}

// walker drives over the lawn.
type walker struct {
	t     testing.TB
	l     *lawn
	d     *validate.Driven
	now   time.Time
	at    [2]float64
	class validate.TrackClass
	speed float64
	noise func() float64
}

func (l *lawn) walker(t testing.TB, limits schema.Limits, o validate.DrivenOptions) *walker {
	t.Helper()
	s, err := validate.Ground(l.plan)
	if err != nil {
		t.Fatal(err)
	}
	d, err := validate.NewDriven(s, limits, o)
	if err != nil {
		t.Fatal(err)
	}
	d.Begin()
	return &walker{t: t, l: l, d: d, now: time.Date(2026, 5, 11, 8, 0, 0, 0, time.UTC), speed: 0.5, noise: func() float64 { return 0 }}
}

// put reports the place as it is now.
func (w *walker) put(x, y float64) {
	w.at = [2]float64{x, y}
	flat := []float64{x + w.noise(), y + w.noise()}
	if err := w.l.grid.ToGeodetic(flat, 2); err != nil {
		w.t.Fatal(err)
	}
	w.d.Add(validate.TrackFix{Time: w.now, Lon: flat[0], Lat: flat[1], Class: w.class})
	w.now = w.now.Add(time.Second)
}

// to drives there, a position a second.
func (w *walker) to(x, y float64) {
	from := w.at
	n := int(math.Ceil(math.Hypot(x-from[0], y-from[1])/w.speed - 1e-9))
	for i := 1; i <= n; i++ {
		s := float64(i) / float64(n)
		w.put(from[0]+(x-from[0])*s, from[1]+(y-from[1])*s)
	}
}

// rest stays for so many seconds.
func (w *walker) rest(seconds int) {
	for range seconds {
		w.put(w.at[0], w.at[1])
	}
}

func (w *walker) report() *validate.DrivenReport {
	w.t.Helper()
	w.d.End()
	r, err := w.d.Report()
	if err != nil {
		w.t.Fatal(err)
	}
	return r
}

// lanes goes up and down over a box, its lanes apart by so much, from x0 to x1.
func (w *walker) lanes(x0, y0, x1, y1, apart float64) {
	w.put(x0, y0)
	up := true
	for x := x0; x <= x1+1e-9; x += apart {
		w.to(x, w.at[1])
		if up {
			w.to(x, y1)
		} else {
			w.to(x, y0)
		}
		up = !up
	}
}

func outcome(r *validate.DrivenReport, rule string) validate.Outcome {
	for _, x := range r.Rules {
		if x.Rule == rule {
			return x.Outcome
		}
	}
	return ""
}

func TestCoverInClosedForm(t *testing.T) {
	l := newLawn(t)
	l.box(schema.RoleZone, "z1", 0, 0, 20, 10)
	l.box(schema.RoleKeepout, "k1", 8, 4, 9, 5)
	w := l.walker(t, schema.DefaultLimits(), validate.DrivenOptions{})
	// Lanes 0.6 m wide that touch, from wall to wall, all but one of them: the
	// strip between x = 12 and 12.6 is missed, from end to end but for round
	// ends.
	w.lanes(0.3, 0, 11.7, 10, 0.6)
	w.d.Begin()
	w.put(12.9, 0)
	w.lanes(12.9, 0, 19.5, 10, 0.6)
	w.to(19.7, w.at[1])
	w.to(19.7, 10-w.at[1])
	r := w.report()
	z := r.Zones[0]
	if !near(z.AreaM2, 199, 1e-3) || len(z.Missed) != 1 || !near(z.Missed[0].AreaM2, 6, 0.05) || !near(z.MissedM2, 6, 0.05) {
		t.Errorf("%+v", z)
	}
	if !near(z.Percent, 100*193.0/199, 0.05) || !near(z.DrivenM2+z.MissedM2, z.AreaM2, 1e-9) {
		t.Errorf("%v %%", z.Percent)
	}
	if got := r.Findings; len(got) < 1 || got[0].Rule != "driven-missed" || !near(got[0].Measured, 6, 0.05) || len(got[0].Trace) < 4 {
		t.Errorf("%+v", got)
	}
	if outcome(r, "driven-fix-lost") != validate.Passed || outcome(r, "driven-enters-keepout") != validate.Passed {
		t.Errorf("%+v", r.Rules)
	}
	// Through the keep-out, 1 m wide, at half a metre a second, twice: 4 s,
	// known to half a second at each end, and no visit longer than the limit.
	for _, e := range r.Entered {
		if e.Rule == "driven-enters-keepout" && (e.Count != 2 || !near(e.Seconds[0], 4, 1.01)) {
			t.Errorf("%+v", e)
		}
	}
	if !near(z.Passes, 1.0, 0.1) || !near(r.SpeedMedian, 0.5, 0.01) {
		t.Error(z.Passes, r.SpeedMedian)
	}
}

// A single position gone astray is no visit; a stay is, with its depth and
// time.
func TestOneOutlierIsNoVisit(t *testing.T) {
	for _, x := range []struct {
		stay    int
		deep    float64
		fails   bool
		seconds float64
	}{{1, 2, false, 1}, {2, 0.5, false, 2}, {3, 0.5, true, 3}, {60, 0.5, true, 60}, {60, 0.09, false, 60}} {
		l := newLawn(t)
		l.box(schema.RoleZone, "z1", 0, 0, 20, 10)
		l.box(schema.RoleKeepout, "k1", 8, 4, 14, 10)
		w := l.walker(t, schema.DefaultLimits(), validate.DrivenOptions{})
		w.put(7, 7)
		w.put(7.9, 7)
		for range x.stay {
			w.put(8+x.deep, 7)
		}
		w.put(7.9, 7)
		r := w.report()
		if got := outcome(r, "driven-enters-keepout") == validate.Failed; got != x.fails {
			t.Errorf("%d s at %v m: failed %v", x.stay, x.deep, got)
		}
		e := r.Entered[0]
		if e.Count != 1 || !near(e.Seconds[validate.TrackFixed], x.seconds, 1e-9) || !near(e.Visits[0].WorstM, x.deep, 1e-4) {
			t.Errorf("%d s at %v m: %+v", x.stay, x.deep, e)
		}
	}
}

// What is not fixed judges nothing, and its time is kept apart.
// A log with more than 10 s from one position to the next tells no time: that the machine
// was in a pond is then left open, and at 10 s it is told.
func TestEntriesOfSlowLogs(t *testing.T) {
	for _, x := range []struct {
		every time.Duration
		deep  float64
		want  validate.Outcome
	}{
		{10 * time.Second, 0.5, validate.Failed},
		{10*time.Second + time.Millisecond, 0.5, validate.Unchecked},
		{11 * time.Second, 0.1002, validate.Unchecked},
		{11 * time.Second, 0.0998, validate.Passed},
	} {
		l := newLawn(t)
		l.box(schema.RoleZone, "z1", 0, 0, 20, 10)
		l.box(schema.RoleKeepout, "k1", 8, 4, 9, 5)
		w := l.walker(t, schema.DefaultLimits(), validate.DrivenOptions{})
		for _, at := range [][2]float64{{4, 4.5}, {8 + x.deep, 4.5}, {8 + x.deep, 4.5}, {4, 4.5}} {
			w.put(at[0], at[1])
			w.now = w.now.Add(x.every - time.Second)
		}
		if got := outcome(w.report(), validate.RuleDrivenEntersKeepout); got != x.want {
			t.Errorf("every %v, %v m deep: %s, want %s", x.every, x.deep, got, x.want)
		}
	}
}

func TestFloatIsNotMixedIn(t *testing.T) {
	l := newLawn(t)
	l.box(schema.RoleZone, "z1", 0, 0, 20, 10)
	l.box(schema.RoleKeepout, "k1", 8, 4, 14, 10)
	w := l.walker(t, schema.DefaultLimits(), validate.DrivenOptions{})
	w.put(1, 7)
	w.to(7, 7)
	w.class = validate.TrackFloat
	w.to(12, 7)
	w.to(7, 7)
	w.class = validate.TrackFixed
	w.to(1, 7)
	r := w.report()
	if outcome(r, "driven-enters-keepout") != validate.Passed || outcome(r, "driven-fix-lost") != validate.Failed {
		t.Errorf("%+v", r.Findings)
	}
	if e := r.Entered[0]; e.Count != 0 || e.Seconds[validate.TrackFixed] != 0 || !near(e.Seconds[validate.TrackFloat], 16, 1.01) {
		t.Errorf("%+v", e)
	}
	if len(r.Poor) != 1 || !near(r.Poor[0].Seconds(), 19, 0.5) || !near(r.Zones[0].DrivenM2, 6*0.6+math.Pi*0.09, 0.05) {
		t.Errorf("%+v, %v m2", r.Poor, r.Zones[0].DrivenM2)
	}
}

func TestCorridorsAndDocks(t *testing.T) {
	l := newLawn(t)
	l.box(schema.RoleZone, "z1", 0, 20, 20, 30)
	l.add(schema.RoleCorridor, "c1", 10, 2, 10, 21)
	dock := l.add(schema.RoleDock, "d1", 10, 0)
	dock.Attributes.Set(schema.PropHeadingDeg, schema.Float(180))
	w := l.walker(t, schema.DefaultLimits(), validate.DrivenOptions{})
	for range 4 {
		w.put(10.05, 25)
		w.to(10.05, 2) // 0.05 m east of the line, which is to the right of it as drawn
		w.to(10, 0.01)
		w.rest(30)
		w.d.End()
		w.d.Begin()
	}
	r := w.report()
	c := r.Corridors[0]
	if !near(c.MedianM, 0.05, 2e-3) || !near(c.P95M, 0.05, 2e-3) || !near(c.WorstM, 0.05, 2e-3) || c.Side != "right" || c.Passes != 4 {
		t.Errorf("%+v", c)
	}
	d := r.Docks[0]
	if d.Dockings != 4 || !near(d.LineUpP95M, 0.05, 2e-3) || !near(d.RestN, 0.01, 1e-3) || !near(d.SpreadM, 0, 1e-3) || !near(d.HeadingMedianDeg, 0, 2) {
		t.Errorf("%+v", d)
	}
	if outcome(r, "driven-leaves-zone") != validate.Passed {
		t.Errorf("%+v", r.Entered)
	}
	if m := r.Movement; !near(m.N, -0.01, 1e-3) || m.Events != 4 {
		t.Errorf("%+v", m)
	}
}

// A day's log over a plan of thirty features.
func thirty(t testing.TB) *lawn {
	l := newLawn(t)
	for i := range 6 {
		x := float64(i%3) * 50
		y := float64(i/3) * 50
		l.box(schema.RoleZone, fmt.Sprint("z", i), x, y, x+40, y+40)
		for k := range 3 {
			l.box(schema.RoleKeepout, fmt.Sprint("k", i, k), x+10*float64(k+1), y+10, x+10*float64(k+1)+2, y+12)
		}
	}
	for i := range 4 {
		l.add(schema.RoleCorridor, fmt.Sprint("c", i), float64(i)*20, -10, float64(i)*20, 1)
	}
	l.add(schema.RoleDock, "d", 0, -12)
	l.box(schema.RoleBoundary, "p", -30, -30, 200, 200)
	return l
}

func BenchmarkDay(b *testing.B) {
	l := thirty(b)
	var day []validate.TrackFix
	r := rand.New(rand.NewPCG(1, 1))
	now := time.Date(2026, 5, 11, 0, 0, 0, 0, time.UTC)
	x, y, up := 0.3, 0.3, 1.0
	for range 86400 {
		if y += 0.4 * up; y > 90 || y < 0 {
			up = -up
			x += 0.5
			if x > 140 {
				x = 0.3
			}
		}
		flat := []float64{x + 0.01*r.NormFloat64(), y + 0.01*r.NormFloat64()}
		if err := l.grid.ToGeodetic(flat, 2); err != nil {
			b.Fatal(err)
		}
		day = append(day, validate.TrackFix{Time: now, Lon: flat[0], Lat: flat[1]})
		now = now.Add(time.Second)
	}
	b.ResetTimer()
	for range b.N {
		s, _ := validate.Ground(l.plan)
		d, err := validate.NewDriven(s, schema.DefaultLimits(), validate.DrivenOptions{})
		if err != nil {
			b.Fatal(err)
		}
		d.Begin()
		for _, f := range day {
			d.Add(f)
		}
		d.End()
		if _, err := d.Report(); err != nil {
			b.Fatal(err)
		}
	}
}

// Each limit of the tracks from both sides, by default, by the operator's file,
// by the plan and by the feature, whose looser values do not hold.
func TestDrivenLimits(t *testing.T) {
	// A lawn of 20 by 10 m with a bed; each case draws a track whose figure is
	// v.
	type drawing func(t *testing.T, l *lawn, limits schema.Limits, v float64) *validate.DrivenReport
	for key, x := range map[string]struct {
		rule          string
		draw          drawing
		eps           float64
		strict, loose float64
	}{
		"driven_depth_m": {"driven-enters-keepout", func(t *testing.T, l *lawn, limits schema.Limits, v float64) *validate.DrivenReport {
			w := l.walker(t, limits, validate.DrivenOptions{})
			w.put(8+v, 5)
			w.rest(9)
			return w.report()
		}, 1e-4, 0.05, 0.3},
		"driven_seconds": {"driven-enters-keepout", func(t *testing.T, l *lawn, limits schema.Limits, v float64) *validate.DrivenReport {
			w := l.walker(t, limits, validate.DrivenOptions{})
			w.put(8.2, 5)
			w.now = w.now.Add(time.Duration(v*1e9) - time.Second)
			w.put(8.2, 5)
			return w.report()
		}, 1e-3, 1, 5},
		"driven_corridor_m": {"driven-off-corridor", func(t *testing.T, l *lawn, limits schema.Limits, v float64) *validate.DrivenReport {
			w := l.walker(t, limits, validate.DrivenOptions{})
			w.put(5+v, -15)
			w.to(5+v, -0.5)
			return w.report()
		}, 1.1e-3, 0.05, 0.4},
		"driven_dock_spread_m": {"driven-off-dock", func(t *testing.T, l *lawn, limits schema.Limits, v float64) *validate.DrivenReport {
			w := l.walker(t, limits, validate.DrivenOptions{})
			for _, side := range []float64{-1, 1} {
				w.put(5, -19)
				// Two rests v sqrt 2 apart have the spread v.
				w.put(5+side*v/math.Sqrt2, -17)
				w.rest(30)
			}
			return w.report()
		}, 1e-4, 0.01, 0.06},
		"driven_fixed_percent": {"driven-fix-lost", func(t *testing.T, l *lawn, limits schema.Limits, v float64) *validate.DrivenReport {
			w := l.walker(t, limits, validate.DrivenOptions{})
			w.put(1, 1)
			for range 9999 {
				w.class = validate.TrackFixed
				if float64(w.now.Unix()-time.Date(2026, 5, 11, 8, 0, 0, 0, time.UTC).Unix()) > 99.99*v+0.5 {
					w.class = validate.TrackFloat
				}
				w.put(1, 1)
			}
			return w.report()
		}, 0.02, 98, 90},
		"gap_min_m2": {"driven-missed", func(t *testing.T, l *lawn, limits schema.Limits, v float64) *validate.DrivenReport {
			// The keep-out beside it leaves a nook of 0.5 m by its length that
			// nobody drives into.
			l.plan.Features = l.plan.Features[:0]
			l.add(schema.RoleZone, "z1", 0, 0, 4, 0, 4, 2, 4+v/0.5, 2, 4+v/0.5, 2.5, 4, 2.5, 4, 5, 0, 5)
			w := l.walker(t, limits, validate.DrivenOptions{})
			w.lanes(0.3, 0, 3.7, 5, 0.4)
			w.to(3.7, 0)
			w.to(3.7, 5)
			return w.report()
		}, 0.04, 0.3, 2},
	} {
		for _, by := range []string{"default", "file", "plan", "a looser plan"} {
			limits := schema.DefaultLimits()
			limit, _ := limits.Get(key)
			l := newLawn(t)
			l.box(schema.RoleZone, "z1", 0, 0, 20, 10)
			l.box(schema.RoleKeepout, "k1", 8, 0, 18, 10)
			l.add(schema.RoleCorridor, "c1", 5, -15, 5, 1)
			l.add(schema.RoleDock, "d1", 5, -17)
			own := func(v float64) {
				l.plan.Attributes.Set(schema.PlanLimits, schema.Object(schema.Attributes{{Key: key, Value: schema.Float(v)}}))
			}
			switch by {
			case "file":
				limit = x.strict
				if err := limits.Set(key, limit, schema.OriginFile, "crew.yaml"); err != nil {
					t.Fatal(err)
				}
			case "plan":
				limit = x.strict
				own(limit)
			case "a looser plan":
				own(x.loose)
			}
			side := 1.0
			if key == "driven_fixed_percent" {
				side = -1
			}
			for _, v := range []struct {
				at    float64
				fails bool
			}{{limit - side*x.eps, false}, {limit + side*x.eps, true}} {
				r := x.draw(t, l, limits, v.at)
				if got := outcome(r, x.rule) == validate.Failed; got != v.fails {
					t.Errorf("%s, %s (%v), at %v: failed %v; %+v", key, by, limit, v.at, got, r.Findings)
				}
			}
		}
	}
}

// The hours that mowing takes, by hand: 1 ha at 5 km/h and 1 m with four fifths
// of it is 1/0.4 h.
func TestCapacity(t *testing.T) {
	c := validate.Capacity{SpeedKMH: 5, WidthM: 1, Efficiency: 0.8, WeekHours: 5, Mowings: 2}
	if c.Check() != nil || !near(c.HectaresPerHour(), 0.4, 1e-12) || !near(c.Hours(10000), 2.5, 1e-12) || !near(c.Needed(10000), 5, 1e-12) {
		t.Errorf("%+v: %v ha/h, %v h, %v h", c, c.HectaresPerHour(), c.Hours(10000), c.Needed(10000))
	}
	for area, want := range map[float64]bool{9999: true, 10000: true, 10001: false} {
		if got, told := c.Suffices(area); got != want || !told {
			t.Errorf("%v m2: %v, %v", area, got, told)
		}
	}
	for _, bad := range []validate.Capacity{{SpeedKMH: 5, WidthM: 1}, {SpeedKMH: 0, WidthM: 1, Efficiency: 1}, {SpeedKMH: 5, WidthM: 1, Efficiency: 1.01}, {SpeedKMH: 5, WidthM: math.NaN(), Efficiency: 1}, {SpeedKMH: 5, WidthM: 1, Efficiency: 1, WeekHours: 169}} {
		if bad.Check() == nil {
			t.Errorf("%+v passes", bad)
		}
	}
}
