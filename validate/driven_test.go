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
	// Lanes 0.6 m wide that touch, from wall to wall, all but one of them: the strip
	// between x = 12 and 12.6 is missed, from end to end but for round ends.
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
	// Through the keep-out, 1 m wide, at half a metre a second, twice: 4 s, known to
	// half a second at each end, and no visit longer than the limit.
	for _, e := range r.Entered {
		if e.Rule == "driven-enters-keepout" && (e.Count != 2 || !near(e.Seconds[0], 4, 1.01)) {
			t.Errorf("%+v", e)
		}
	}
	if !near(z.Passes, 1.0, 0.1) || !near(r.SpeedMedian, 0.5, 0.01) {
		t.Error(z.Passes, r.SpeedMedian)
	}
}

// A single position gone astray is no visit; a stay is, with its depth and time.
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
