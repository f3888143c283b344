// The movement that tracks show, against chance: false alarms and power as
// claimed, and never unchanged where a movement counts. The seed is fixed.

package validate_test

import (
	"math"
	"math/rand/v2"
	"testing"
	"time"

	"swardline/schema"
	"swardline/testdata/randplan"
	"swardline/validate"
)

// weeks drives so many weeks of rests in a dock (machine) or of passes along
// two corridors (independent), the ground displaced by e and n from the day
// moved on, and hands each report's movement to see.
func weeks(t *testing.T, runs int, receiver validate.Receiver, days, events, moved int, e, n, sigma float64, see func(*validate.TrackMovement)) {
	t.Helper()
	r := rand.New(rand.NewPCG(18, uint64(events*100+days)))
	for range runs {
		l := newLawn(t)
		l.box(schema.RoleZone, "z1", 0, 30, 20, 40)
		l.add(schema.RoleCorridor, "c1", 0, 0, 12, 0)
		l.add(schema.RoleCorridor, "c2", -10, 2, -10, 14)
		l.add(schema.RoleDock, "d1", 40, 0)
		w := l.walker(t, schema.DefaultLimits(), validate.DrivenOptions{Receiver: receiver})
		start := w.now
		for day := range days {
			w.now = start.AddDate(0, 0, day)
			for k := range events {
				w.now = w.now.Add(time.Hour)
				de, dn := sigma*r.NormFloat64(), sigma*r.NormFloat64()
				sign := 1.0
				if receiver == validate.ReceiverMachine {
					sign = -1
				}
				if day >= moved {
					de, dn = de+sign*e, dn+sign*n
				}
				if receiver == validate.ReceiverMachine {
					w.put(40+de, dn)
					w.now = w.now.Add(8 * time.Second)
					w.put(40+de, dn)
					w.now = w.now.Add(8 * time.Second)
					w.put(40+de, dn)
					w.now = w.now.Add(5 * time.Second)
					w.put(40+de, dn)
				} else {
					from, to := 2.0, 10.0
					if k%2 == 1 {
						from, to = to, from
					}
					w.put(from, dn)
					w.to(to, dn)
					w.now = w.now.Add(time.Minute)
					w.put(-10+de, from+2)
					w.to(-10+de, to+2)
				}
				w.d.End()
				w.d.Begin()
			}
		}
		m := w.report().Movement
		see(&m)
	}
}

// alarms counts what runs show.
type alarms struct{ moved, steps, turned int }

func (a *alarms) see(m *validate.TrackMovement) {
	if m.Decision.Significant {
		a.moved++
	}
	if m.Step != nil {
		a.steps++
	}
	if m.Turned {
		a.turned++
	}
}

// hold says whether runs without a movement alarm 5 in 100 each, with four
// standard deviations of the count; steps and turns may be fewer.
func (a *alarms) hold(runs int) bool {
	middle, spread := 0.05*float64(runs), 4*math.Sqrt(float64(runs)*0.05*0.95)
	most := middle + spread
	return float64(a.moved) <= most && float64(a.moved) >= middle-spread && float64(a.steps) <= most && float64(a.turned) <= most
}

func TestMovementFalseAlarms(t *testing.T) {
	runs := 4000
	if !randplan.Long() {
		runs = 600
	}
	for _, x := range []struct {
		receiver     validate.Receiver
		days, events int
	}{{validate.ReceiverMachine, 1, 5}, {validate.ReceiverMachine, 7, 5}, {validate.ReceiverIndependent, 3, 6}} {
		var a alarms
		weeks(t, runs, x.receiver, x.days, x.events, 99, 0, 0, 0.005, a.see)
		if !a.hold(runs) {
			t.Errorf("%s, %d days of %d: %+v of %d, want 5 in 100", x.receiver, x.days, x.events, a, runs)
		}
	}
}

// A movement as large as the smallest that is said to be detectable is found 95
// times in 100 or more, with its sign, and its size within its error.
func TestMovementPower(t *testing.T) {
	runs := 1500
	if !randplan.Long() {
		runs = 300
	}
	for _, receiver := range []validate.Receiver{validate.ReceiverMachine, validate.ReceiverIndependent} {
		detectable := 0.0
		weeks(t, 40, receiver, 5, 6, 99, 0, 0, 0.005, func(m *validate.TrackMovement) { detectable += m.Decision.DetectableM / 40 })
		found, e, n, cover, known := 0, 0.0, 0.0, 0, 0
		weeks(t, runs, receiver, 5, 6, 0, 0.6*detectable, -0.8*detectable, 0.005, func(m *validate.TrackMovement) {
			if m.Decision.Significant {
				found++
			}
			e += m.E / float64(runs)
			n += m.N / float64(runs)
			if m.SE > 0 {
				known++
				if math.Abs(m.E-0.6*detectable) < 2*m.SE {
					cover++
				}
			}
		})
		if float64(found) < 0.93*float64(runs) {
			t.Errorf("%s: a movement of %.4f m was found %d times in %d", receiver, detectable, found, runs)
		}
		if !near(e, 0.6*detectable, 1e-3) || !near(n, -0.8*detectable, 1e-3) {
			t.Errorf("%s: E %v N %v, want %v and %v", receiver, e, n, 0.6*detectable, -0.8*detectable)
		}
		if share := float64(cover) / float64(known); share < 0.9 || share > 0.99 {
			t.Errorf("%s: within two standard errors %v of the time", receiver, share)
		}
	}
}

// Whatever the logs are like, a ground that moved by the limit is called
// unchanged at most 5 times in 100: with few rests or many, good positions or
// bad, moved before, within or on the last day.
func TestNeverUnchangedWhenMoved(t *testing.T) {
	runs := 1000
	if !randplan.Long() {
		runs = 200
	}
	limit := schema.DefaultLimits().DriftUnchangedM
	for _, receiver := range []validate.Receiver{validate.ReceiverMachine, validate.ReceiverIndependent} {
		for _, sigma := range []float64{0.003, 0.008, 0.02} {
			for _, shape := range [][3]int{{1, 1, 0}, {1, 3, 0}, {1, 8, 0}, {5, 4, 0}, {5, 4, 2}, {5, 4, 4}, {3, 1, 2}} {
				unchanged := 0
				weeks(t, runs, receiver, shape[0], shape[1], shape[2], limit*1.0001, 0, sigma, func(m *validate.TrackMovement) {
					if m.Verdict == validate.VerdictUnchanged {
						unchanged++
					}
				})
				if most := 0.05*float64(runs) + 4*math.Sqrt(float64(runs)*0.05*0.95); float64(unchanged) > most {
					t.Errorf("%s, sigma %v, %v: unchanged %d times in %d", receiver, sigma, shape, unchanged, runs)
				}
			}
		}
	}
}

// A base that goes on moving is told as a trend, a step as a step on its day.
func TestStepsAndTrends(t *testing.T) {
	l := newLawn(t)
	l.box(schema.RoleZone, "z1", 0, 30, 20, 40)
	l.add(schema.RoleDock, "d1", 40, 0)
	r := rand.New(rand.NewPCG(3, 3))
	drive := func(at func(day int) float64) validate.TrackMovement {
		w := l.walker(t, schema.DefaultLimits(), validate.DrivenOptions{})
		start := w.now
		for day := range 28 {
			w.now = start.AddDate(0, 0, day)
			for range 3 {
				w.now = w.now.Add(time.Hour)
				w.put(40+at(day)+0.001*r.NormFloat64(), 0.001*r.NormFloat64())
				w.rest(25)
				w.d.End()
				w.d.Begin()
			}
		}
		return w.report().Movement
	}
	trend := drive(func(day int) float64 { return -0.003 * float64(day) / 7 }) // the track goes west, the ground east
	if x := trend.Trend; x == nil || !x.Significant || !near(x.PerWeekE, 0.003, 3e-4) || !near(x.BearingDeg, 90, 10) || x.Since != "2026-05-11" {
		t.Errorf("%+v, step %+v", trend.Trend, trend.Step)
	}
	step := drive(func(day int) float64 {
		if day >= 9 {
			return 0.03
		}
		return 0
	})
	if x := step.Step; x == nil || x.Day != "2026-05-20" || !near(x.E, -0.03, 1e-3) || step.Trend != nil || step.Verdict != validate.VerdictRemeasure {
		t.Errorf("%+v, trend %+v", step.Step, step.Trend)
	}
	// A day that was away and came back is the last day's no more, and told all
	// the same.
	back := drive(func(day int) float64 {
		if day >= 9 && day < 20 {
			return 0.03
		}
		return 0
	})
	if back.Step == nil || back.Verdict == validate.VerdictUnchanged {
		t.Errorf("%+v %s", back.Step, back.Verdict)
	}
}

// One rest unlike the others is named and left out of its day.
func TestOddRests(t *testing.T) {
	l := newLawn(t)
	l.box(schema.RoleZone, "z1", 0, 30, 20, 40)
	l.add(schema.RoleDock, "d1", 40, 0)
	r := rand.New(rand.NewPCG(4, 4))
	w := l.walker(t, schema.DefaultLimits(), validate.DrivenOptions{})
	start := w.now
	for day := range 3 {
		w.now = start.AddDate(0, 0, day)
		for k := range 6 {
			w.now = w.now.Add(time.Hour)
			x := 40 + 0.002*r.NormFloat64()
			if day == 1 && k == 2 {
				x += 0.06
			}
			w.put(x, 0.002*r.NormFloat64())
			w.rest(25)
			w.d.End()
			w.d.Begin()
		}
	}
	m := w.report().Movement
	if len(m.Suspects) != 1 || m.Verdict != validate.VerdictUnchanged || m.Days[1].Events != 5 {
		t.Errorf("%+v", m)
	}
}
