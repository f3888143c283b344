// Laps round outlines, for a receiver that does not hang from the base: what
// they show against chance, and what must not be taken for one.

package validate_test

import (
	"math"
	"math/rand/v2"
	"strings"
	"testing"
	"time"

	"swardline/schema"
	"swardline/testdata/randplan"
	"swardline/validate"
)

// lapGround is a lawn of five sides with a keep-out, and no corridor.
func lapGround(t testing.TB) (*lawn, [][2]float64) {
	l := newLawn(t)
	ring := [][2]float64{{0, 0}, {0, 14}, {8, 20}, {18, 14}, {18, 0}}
	var flat []float64
	for _, p := range ring {
		flat = append(flat, p[0], p[1])
	}
	l.add(schema.RoleZone, "z1", flat...)
	l.add(schema.RoleDock, "d1", 30, 0)
	return l, ring
}

// inside moves the corners of a ring that runs clockwise inwards by so much.
func inside(ring [][2]float64, by float64) [][2]float64 {
	n := len(ring)
	out := make([][2]float64, n)
	for i := range ring {
		a, b, c := ring[(i+n-1)%n], ring[i], ring[(i+1)%n]
		normal := func(p, q [2]float64) (x, y, d float64) {
			l := math.Hypot(q[0]-p[0], q[1]-p[1])
			x, y = (q[1]-p[1])/l, -(q[0]-p[0])/l // right of the way, which is inside
			return x, y, x*p[0] + y*p[1] + by
		}
		x1, y1, d1 := normal(a, b)
		x2, y2, d2 := normal(b, c)
		det := x1*y2 - x2*y1
		out[i] = [2]float64{(d1*y2 - d2*y1) / det, (x1*d2 - x2*d1) / det}
	}
	return out
}

// lap drives once round, displaced.
func (w *walker) lap(ring [][2]float64, e, n float64) {
	w.put(ring[0][0]+e, ring[0][1]+n)
	for i := 1; i <= len(ring); i++ {
		p := ring[i%len(ring)]
		w.to(p[0]+e, p[1]+n)
	}
	w.now = w.now.Add(time.Minute)
	w.put(30, 30)
	w.now = w.now.Add(time.Minute)
}

// lapWeeks drives laps for so many days, each with an error of its own of so
// many metres each way, displaced by e and n from the day moved on.
func lapWeeks(t *testing.T, runs, days, laps, moved int, e, n, sigma float64, see func(*validate.TrackMovement)) {
	t.Helper()
	l, ring := lapGround(t)
	r := rand.New(rand.NewPCG(20, uint64(100*days+laps)))
	limits := schema.DefaultLimits()
	for range runs {
		w := l.walker(t, limits, validate.DrivenOptions{Receiver: validate.ReceiverIndependent})
		w.noise = func() float64 { return 0.005 * r.NormFloat64() }
		start := w.now
		for day := range days {
			w.now = start.AddDate(0, 0, day)
			for k := range laps {
				de, dn := sigma*r.NormFloat64(), sigma*r.NormFloat64()
				if day >= moved {
					de, dn = de+e, dn+n
				}
				w.speed = 1
				w.lap(inside(ring, []float64{0, 0.3}[k%2]), de, dn)
			}
			w.d.End()
			w.d.Begin()
		}
		m := w.report().Movement
		see(&m)
	}
}

func TestLapsFalseAlarmsAndPower(t *testing.T) {
	runs := 1500
	if !randplan.Long() {
		runs = 250
	}
	for _, shape := range [][2]int{{1, 5}, {5, 3}} {
		var a alarms
		detectable := 0.0
		lapWeeks(t, runs, shape[0], shape[1], 99, 0, 0, 0.004, func(m *validate.TrackMovement) {
			if m.Events != shape[0]*shape[1]-len(m.Suspects) && m.Events != shape[0]*shape[1] {
				t.Fatalf("%d laps, want %d: %s", m.Events, shape[0]*shape[1], m.None)
			}
			a.see(m)
			detectable += m.Decision.DetectableM / float64(runs)
		})
		if !a.hold(runs) {
			t.Errorf("%v: %+v of %d, want 5 in 100", shape, a, runs)
		}
		t.Logf("%v: of %d runs without a movement %+v; %.4f m is detectable", shape, runs, a, detectable)
		found, e, n := 0, 0.0, 0.0
		lapWeeks(t, runs, shape[0], shape[1], 0, 0.6*detectable, -0.8*detectable, 0.004, func(m *validate.TrackMovement) {
			if m.Decision.Significant {
				found++
			}
			e += m.E / float64(runs)
			n += m.N / float64(runs)
		})
		if float64(found) < 0.9*float64(runs) || !near(e, 0.6*detectable, 1e-3) || !near(n, -0.8*detectable, 1e-3) {
			t.Errorf("%v: %.4f m was found %d times in %d, on average as E %.4f N %.4f", shape, detectable, found, runs, e, n)
		}
	}
}

// A ground that moved by the limit is called unchanged at most 5 times in 100,
// however many laps there are and however good.
func TestLapsNeverUnchangedWhenMoved(t *testing.T) {
	runs := 600
	if !randplan.Long() {
		runs = 100
	}
	limit := schema.DefaultLimits().DriftUnchangedM
	for _, sigma := range []float64{0.003, 0.008, 0.02} {
		for _, shape := range [][3]int{{1, 1, 0}, {1, 2, 0}, {1, 4, 0}, {4, 3, 0}, {4, 3, 3}, {3, 1, 2}} {
			unchanged := 0
			lapWeeks(t, runs, shape[0], shape[1], shape[2], 0, limit*1.0001, sigma, func(m *validate.TrackMovement) {
				if m.Verdict == validate.VerdictUnchanged {
					unchanged++
				}
			})
			if most := 0.05*float64(runs) + 4*math.Sqrt(float64(runs)*0.05*0.95); float64(unchanged) > most {
				t.Errorf("sigma %v, %v: unchanged %d times in %d", sigma, shape, unchanged, runs)
			}
		}
	}
}

// What a machine does inside a zone is no lap: lanes along either side, up and
// down, with or without a wobble, a spiral that narrows, half a lap, a lap
// broken off.
func TestMowingInsideIsNoEvidence(t *testing.T) {
	l, ring := lapGround(t)
	box := newLawn(t)
	box.box(schema.RoleZone, "z1", 0, 0, 18, 14)
	narrow := newLawn(t)
	narrow.box(schema.RoleZone, "z1", 0, 0, 1.5, 20)
	for name, x := range map[string]struct {
		l     *lawn
		drive func(w *walker)
	}{
		"lanes": {box, func(w *walker) {
			for range 3 {
				w.lanes(0.3, 0.3, 17.8, 13.7, 0.55)
				w.now = w.now.Add(time.Hour)
			}
		}},
		"lanes across": {box, func(w *walker) {
			w.put(0.3, 0.2)
			for y := 0.2; y < 13.8; y += 0.55 {
				w.to(17.6, y)
				w.to(17.6, y+0.275)
				w.to(0.3, y+0.275)
				w.to(0.3, y+0.55)
			}
		}},
		"two lanes in a narrow strip": {narrow, func(w *walker) {
			w.put(0.3, 0.3)
			for range 6 {
				w.to(0.3, 19.7)
				w.to(0.9, 19.7)
				w.to(0.9, 0.3)
				w.to(0.3, 0.3)
			}
		}},
		"a spiral that narrows": {l, func(w *walker) {
			for k := range 3 {
				outer, inner := inside(ring, 0.1+0.45*float64(k)), inside(ring, 0.1+0.45*float64(k+1))
				for i := range ring {
					s := float64(i) / float64(len(ring))
					p := [2]float64{outer[i][0] + s*(inner[i][0]-outer[i][0]), outer[i][1] + s*(inner[i][1]-outer[i][1])}
					if k+i == 0 {
						w.put(p[0], p[1])
					}
					w.to(p[0], p[1])
				}
			}
		}},
		"half a lap, there and back": {l, func(w *walker) {
			for range 4 {
				w.put(0, 1)
				w.to(0, 14)
				w.to(8, 20)
				w.to(0, 14)
				w.to(0, 1)
				w.to(0, 7)
				w.now = w.now.Add(time.Minute)
			}
		}},
		"a lap with a break": {l, func(w *walker) {
			w.put(0, 1)
			w.to(0, 14)
			w.to(8, 20)
			w.now = w.now.Add(time.Minute)
			w.to(18, 14)
			w.to(18, 0)
			w.to(0, 0)
			w.to(0, 1)
		}},
		"a side kept otherwise": {l, func(w *walker) {
			w.put(0.3, 1)
			w.to(0.3, 14)
			w.to(8, 20)
			w.to(18, 14)
			w.to(18, 0)
			w.to(0, 0)
			w.to(0.3, 1)
		}},
	} {
		w := x.l.walker(t, schema.DefaultLimits(), validate.DrivenOptions{Receiver: validate.ReceiverIndependent})
		x.drive(w)
		if m := w.report().Movement; m.Events != 0 || m.Verdict != validate.VerdictRemeasure || !strings.Contains(m.None, "once round an outline") {
			t.Errorf("%s: %d events, %s", name, m.Events, m.Verdict)
		}
	}
}

// Laps are seen whichever way they run, wherever they begin, at whatever
// distance, also round keep-outs, holes and curves, and with something in the
// way.
func TestLapsAreSeen(t *testing.T) {
	l, ring := lapGround(t)
	var circle [][2]float64
	round := newLawn(t)
	var flat []float64
	for i := range 72 {
		sin, cos := math.Sincos(2 * math.Pi * float64(i) / 72)
		circle = append(circle, [2]float64{12 * sin, 12 * cos})
		flat = append(flat, 12*sin, 12*cos)
	}
	round.add(schema.RoleKeepout, "k1", flat...)
	backwards := make([][2]float64, len(ring))
	for i := range ring {
		backwards[i] = ring[len(ring)-1-i]
	}
	for name, x := range map[string]struct {
		l     *lawn
		drive func(w *walker, e, n float64)
	}{
		"on the outline":  {l, func(w *walker, e, n float64) { w.lap(ring, e, n) }},
		"the other way":   {l, func(w *walker, e, n float64) { w.lap(backwards, e, n) }},
		"half a metre in": {l, func(w *walker, e, n float64) { w.lap(inside(ring, 0.5), e, n) }},
		"from a side's middle": {l, func(w *walker, e, n float64) {
			w.lap(append([][2]float64{{0, 7}}, append(append([][2]float64{}, ring[1:]...), ring[0])...), e, n)
		}},
		"round a curve": {round, func(w *walker, e, n float64) { w.lap(inside(circle, -0.3), e, n) }},
		"round a stone": {l, func(w *walker, e, n float64) {
			w.lap([][2]float64{{0, 0}, {0, 5}, {0.6, 5.5}, {0.6, 6.5}, {0, 7}, {0, 14}, {8, 20}, {18, 14}, {18, 0}}, e, n)
		}},
	} {
		w := x.l.walker(t, schema.DefaultLimits(), validate.DrivenOptions{Receiver: validate.ReceiverIndependent})
		r := rand.New(rand.NewPCG(5, 5))
		w.noise = func() float64 { return 0.004 * r.NormFloat64() }
		for range 5 {
			x.drive(w, 0.03+0.001*r.NormFloat64(), -0.04+0.001*r.NormFloat64())
		}
		if m := w.report().Movement; m.Events != 5 || !near(m.E, 0.03, 0.004) || !near(m.N, -0.04, 0.004) || m.Verdict != validate.VerdictRemeasure {
			t.Errorf("%s: %d events, E %v N %v, %s (%s)", name, m.Events, m.E, m.N, m.Verdict, m.Why)
		}
	}
}

// A receiver in another frame sees even the dock elsewhere, and what was walked
// on the ground says nothing where it does not hang from the base.
func TestIndependentReceiversAreHeldToFixedGround(t *testing.T) {
	l, ring := lapGround(t)
	for _, x := range []struct {
		off  float64
		want validate.Verdict
	}{{0.0, validate.VerdictUnchanged}, {0.019, validate.VerdictUnchanged}, {0.021, validate.VerdictRemeasure}} {
		w := l.walker(t, schema.DefaultLimits(), validate.DrivenOptions{Receiver: validate.ReceiverIndependent})
		r := rand.New(rand.NewPCG(6, 6))
		for range 8 {
			w.lap(ring, 0.001*r.NormFloat64(), 0.001*r.NormFloat64())
			w.put(30, x.off)
			w.rest(30)
			w.now = w.now.Add(time.Minute)
		}
		if m := w.report().Movement; m.Verdict != x.want || m.Verdict == validate.VerdictRemeasure && !strings.Contains(m.Why, "rest in its dock") {
			t.Errorf("%v m: %s, %s", x.off, m.Verdict, m.Why)
		}
	}
	s, err := validate.Ground(l.plan)
	if err != nil {
		t.Fatal(err)
	}
	if _, err := validate.NewDriven(s, schema.DefaultLimits(), validate.DrivenOptions{Receiver: validate.ReceiverIndependent, Walked: []string{"z1"}}); err == nil || !strings.Contains(err.Error(), "says nothing of the base") {
		t.Error(err)
	}
}
