// The movement of the base that tracks show.
//
// The machine reports C = S + P - A (see Drift). Where it rests on fixed
// ground, P is what it always was, and C differs from the plan by dS - dA: the
// negative of the movement of the driven ground. A receiver that does not hang
// from this base reports P itself, and where the machine keeps to a line of its
// plan, P differs from it by the movement of the driven ground. Both are given
// in the sign of the latter, which is that of the shift that marks show.

package validate

import (
	"fmt"
	"math"
	"slices"
	"sort"
	"time"

	"github.com/paulmach/orb"

	"swardline/crs/adjust"
	"swardline/schema"
)

// observation is one number that a movement x of the track shows in: a'x = v,
// with east and north, and a third unknown for how far the machine keeps to one
// side.
type observation struct {
	time  time.Time
	at    orb.Point
	name  string
	group int // observations of one group are one event
	a     [3]float64
	v     float64
	side  bool // the third unknown is in it
}

// TrackDay is what the tracks of one day show, in UTC: the movement of the
// driven ground in metres, east and north.
type TrackDay struct {
	Day string // year-month-day, or "day 1" of a log without dates
	// Events are rests and passes that count.
	Events int
	E, N   float64
	// SE and SN are standard errors in metres, NaN when not known.
	SE, SN   float64
	Measured Measured
	Decision Decision

	normal, inverse [][]float64
	x               []float64
	middle          float64 // days since the first
}

// TrackStep is a movement between one day and the one before it.
type TrackStep struct {
	Day  string
	E, N float64
	// Probability is that of so large a step by chance, for the best of all
	// days.
	Probability float64
}

// TrackTrend is a movement that goes on.
type TrackTrend struct {
	Since                string
	PerWeekE, PerWeekN   float64 // metres
	SEPerWeek            float64 // standard error, each way
	BearingDeg, PerWeekM float64
	Significant          bool
}

// TrackMovement is what tracks say of the base.
type TrackMovement struct {
	// Days stand in their order. E, N and the rest are those of the last one,
	// which is how the base stands now.
	Days     []TrackDay
	E, N     float64
	SE, SN   float64 // NaN when not known
	Measured Measured
	Decision Decision
	// Verdict is the graver of the decision and of what a step between days
	// says.
	Verdict Verdict
	Why     string
	// Step is the greatest step between days, nil when none is significant;
	// Trend is nil for fewer than three days, or where a step explains the days
	// better.
	Step  *TrackStep
	Trend *TrackTrend
	// TurnDeg is a turn of the ground in degrees clockwise; Turned when
	// significant.
	TurnDeg float64
	Turned  bool
	// Events counts rests and passes, Suspects names those unlike their day.
	Events   int
	Suspects []string
	// OddLaps counts rounds of outlines that kept no one distance, and so are
	// no evidence.
	OddLaps int
	// Sigma is the standard deviation of one observation in metres, over
	// Freedom degrees of freedom.
	Sigma   float64
	Freedom int
	// None says why nothing can be told, "" when something can.
	None string
}

// suspectLevel is the probability of calling one event of all unlike the others
// where none is.
const suspectLevel = 0.01

// movement works out what the observations show.
func (d *Driven) movement() TrackMovement {
	out := TrackMovement{OddLaps: d.oddLaps, SE: math.NaN(), SN: math.NaN(), Sigma: math.NaN(), Verdict: VerdictRemeasure}
	if len(d.obs) == 0 {
		if out.None = "the logs never show the machine at rest in a dock or on a mark, so nothing in them stays where it is"; d.o.Receiver == ReceiverIndependent {
			out.None = "the logs never show the machine on a corridor or once round an outline, so there is no line to compare with"
		}
		out.Why = out.None
		return out
	}
	sign := -1.0
	if d.o.Receiver == ReceiverIndependent {
		sign = 1
	}
	obs := slices.Clone(d.obs)
	sort.SliceStable(obs, func(i, j int) bool { return obs[i].time.Before(obs[j].time) })
	w := newDayFit(obs, d.r.limits)
	w.dropSuspects(&out)
	w.turn(&out, d.reachM(w.obs))
	out.TurnDeg *= sign
	w.decide(&out, sign)
	w.step(&out, sign)
	w.trend(&out, sign)
	if d.o.Receiver == ReceiverIndependent {
		if off, rests := d.restedElsewhere(); rests > 0 && off > w.limits.DriftUnchangedM && out.Verdict == VerdictUnchanged {
			out.Verdict, out.Why = VerdictRemeasure, fmt.Sprintf("this receiver sees the machine rest in its dock %s from where the plan has it, so it does not measure in the plan's frame, or the dock was moved", metres(off))
		}
	}
	return out
}

// reachM is how far the driven ground reaches from the middle of the
// observations.
func (d *Driven) reachM(obs []observation) float64 {
	var mid orb.Point
	for _, o := range obs {
		mid[0] += o.at[0] / float64(len(obs))
		mid[1] += o.at[1] / float64(len(obs))
	}
	most := 0.0
	for _, f := range d.r.Features {
		if isDriven(f.Role) && f.usable() {
			b := f.Bound()
			for _, c := range []orb.Point{b.Min, b.Max, {b.Min[0], b.Max[1]}, {b.Max[0], b.Min[1]}} {
				most = math.Max(most, distance(mid, c))
			}
		}
	}
	return most
}

// dayFit is a shift for each day by least squares, all observations of one
// weight.
type dayFit struct {
	obs     []observation
	of      []int // day of each observation, in days
	days    []TrackDay
	p       int // unknowns a day: 2, or 3 with a side
	squares float64
	freedom int
	limits  schema.Limits
}

func newDayFit(obs []observation, l schema.Limits) *dayFit {
	w := &dayFit{limits: l}
	w.set(obs)
	return w
}

// dayOf names the day of a time.
func dayOf(t time.Time) string {
	if t.Year() < 2 { // without a date
		return fmt.Sprintf("day %d", t.YearDay())
	}
	return t.UTC().Format(time.DateOnly)
}

// set fits the observations.
func (w *dayFit) set(obs []observation) {
	w.obs, w.of, w.days, w.squares, w.freedom, w.p = obs, make([]int, len(obs)), nil, 0, 0, 2
	for i := range obs {
		if obs[i].side {
			w.p = 3
		}
	}
	start := obs[0].time
	for i := range obs {
		day := dayOf(obs[i].time)
		if n := len(w.days); n == 0 || w.days[n-1].Day != day {
			w.days = append(w.days, TrackDay{Day: day, SE: math.NaN(), SN: math.NaN()})
		}
		w.of[i] = len(w.days) - 1
	}
	for k := range w.days {
		day := &w.days[k]
		var rows []observation
		group := -1
		for i := range obs {
			if w.of[i] != k {
				continue
			}
			rows = append(rows, obs[i])
			day.middle += obs[i].time.Sub(start).Hours() / 24
			if obs[i].group != group {
				group = obs[i].group
				day.Events++
			}
		}
		day.middle /= float64(len(rows))
		w.fit(day, rows)
	}
}

// fit solves one day, by the normal equations.
func (w *dayFit) fit(day *TrackDay, rows []observation) {
	p := w.p
	day.normal = matrix(p)
	right := make([]float64, p)
	for _, o := range rows {
		for i := range p {
			for j := range p {
				day.normal[i][j] += o.a[i] * o.a[j]
			}
			right[i] += o.a[i] * o.v
		}
	}
	if day.inverse = inverted(day.normal); day.inverse == nil {
		return
	}
	day.x = product(day.inverse, right)
	for _, o := range rows {
		e := o.v
		for i := range p {
			e -= o.a[i] * day.x[i]
		}
		w.squares += e * e
	}
	w.freedom += len(rows) - p
}

// variance of one observation; 0 when it is not known.
func (w *dayFit) variance() float64 {
	if w.freedom < 1 {
		return 0
	}
	return w.squares / float64(w.freedom)
}

// dropSuspects takes out events unlike the others of their day, the worst
// first: each is tested against the scatter of the rest. Of a day's events
// three must stay. Suspects of the last day count in the decision.
func (w *dayFit) dropSuspects(out *TrackMovement) {
	groups := map[int]bool{}
	for _, o := range w.obs {
		groups[o.group] = true
	}
	out.Events = len(groups)
	for range 1 + out.Events/5 {
		worst, least := -1, suspectLevel/float64(len(groups))
		for i := 0; i < len(w.obs); {
			end := i + 1
			for end < len(w.obs) && w.obs[end].group == w.obs[i].group {
				end++
			}
			if p := w.chance(i, end); p < least {
				worst, least = i, p
			}
			i = end
		}
		if worst < 0 {
			return
		}
		o := w.obs[worst]
		out.Suspects = append(out.Suspects, o.name+" "+o.time.UTC().Format("2006-01-02 15:04"))
		if w.of[worst] == len(w.days)-1 {
			out.Measured.Suspects = append(out.Measured.Suspects, o.name+" at "+o.time.UTC().Format("15:04"))
		}
		w.set(slices.DeleteFunc(slices.Clone(w.obs), func(x observation) bool { return x.group == o.group }))
	}
}

// chance is the probability that the event of the rows from i to end would
// stand as far from its day's others as it does, 1 when it cannot be told. With
// t the square of its residuals weighed by their own covariance, and k rows,
// (t/k) over the variance without it follows a Fisher distribution of k and
// freedom-k degrees.
func (w *dayFit) chance(i, end int) float64 {
	day, k := &w.days[w.of[i]], end-i
	rest := w.freedom - k
	if day.inverse == nil || day.Events < 4 || rest < 1 || k > 2 {
		return 1
	}
	// With e the residuals and Q = I - A N^-1 A' their cofactors, t = e' Q^-1
	// e.
	var e [2]float64
	var q [2][2]float64
	for r, o := range w.obs[i:end] {
		e[r] = o.v
		na := product(day.inverse, o.a[:w.p])
		for j := range w.p {
			e[r] -= o.a[j] * day.x[j]
			for c, other := range w.obs[i:end] {
				q[r][c] -= other.a[j] * na[j]
			}
		}
		q[r][r]++
	}
	t := 0.0
	if k == 1 {
		if q[0][0] < 1e-6 {
			return 1
		}
		t = e[0] * e[0] / q[0][0]
	} else {
		det := q[0][0]*q[1][1] - q[0][1]*q[1][0]
		if det < 1e-6 {
			return 1
		}
		t = (q[1][1]*e[0]*e[0] - 2*q[0][1]*e[0]*e[1] + q[0][0]*e[1]*e[1]) / det
	}
	left := (w.squares - t) / float64(rest)
	if !(left > 0) {
		return 0
	}
	if k == 1 {
		return 2 * (1 - adjust.StudentCDF(math.Sqrt(t/left), float64(rest)))
	}
	return math.Pow(1+t/left/float64(rest), -float64(rest)/2) // Fisher of 2 and rest
}

// turn tests whether one turn of the ground beside the shifts explains the
// observations better than chance does.
func (w *dayFit) turn(out *TrackMovement, reach float64) {
	var mid orb.Point
	for _, o := range w.obs {
		mid[0] += o.at[0] / float64(len(w.obs))
		mid[1] += o.at[1] / float64(len(w.obs))
	}
	spin := func(o *observation) float64 { return o.a[0]*(o.at[1]-mid[1]) - o.a[1]*(o.at[0]-mid[0]) }
	right := make([][]float64, len(w.days))
	for k := range right {
		right[k] = make([]float64, w.p)
	}
	for i := range w.obs {
		for j := range w.p {
			right[w.of[i]][j] += w.obs[i].a[j] * spin(&w.obs[i])
		}
	}
	gg, ge := 0.0, 0.0
	for i := range w.obs {
		o, day := &w.obs[i], &w.days[w.of[i]]
		if day.inverse == nil {
			continue
		}
		g, e := spin(o), o.v
		c := product(day.inverse, right[w.of[i]])
		for j := range w.p {
			g -= o.a[j] * c[j]
			e -= o.a[j] * day.x[j]
		}
		gg += g * g
		ge += g * e
	}
	freedom := w.freedom - 1
	if gg < 25 || freedom < 1 { // less than 5 m across says nothing of a turn
		return
	}
	theta := ge / gg
	left := (w.squares - ge*ge/gg) / float64(freedom)
	if !(left > 0) {
		return
	}
	t := math.Abs(theta) * math.Sqrt(gg/left)
	out.TurnDeg = theta * 180 / math.Pi
	if out.Turned = t > adjust.StudentQuantile(1-decisionLevel/2, float64(freedom)); out.Turned {
		out.Measured.Turned, out.Measured.TurnMovesM = true, math.Abs(theta)*reach
	}
}

// decide turns each day into a decision, and the last one into the movement.
func (w *dayFit) decide(out *TrackMovement, sign float64) {
	variance := w.variance()
	if variance > 0 {
		out.Sigma, out.Freedom = math.Sqrt(variance), w.freedom
	}
	last := len(w.days) - 1
	for k := range w.days {
		day := &w.days[k]
		if day.inverse == nil {
			day.Decision = Decision{Verdict: VerdictRemeasure, Row: RowUntested, Why: "the lines driven on that day do not run both ways, so one direction cannot be told"}
			day.E, day.N = math.NaN(), math.NaN()
			continue
		}
		m := &day.Measured
		if k == last {
			*m = out.Measured
		}
		m.E, m.N = sign*day.x[0], sign*day.x[1]
		if variance > 0 {
			m.EE, m.EN, m.NN, m.Freedom = variance*day.inverse[0][0], variance*day.inverse[0][1], variance*day.inverse[1][1], w.freedom
			day.SE, day.SN = math.Sqrt(m.EE), math.Sqrt(m.NN)
		}
		if m.Apart = w.apart(k); m.Apart && k != last {
			m.Apart = false // an earlier day is told, the last one decides
		}
		day.E, day.N = m.E, m.N
		day.Decision = Decide(*m, w.limits)
	}
	d := &w.days[last]
	out.Days, out.E, out.N, out.SE, out.SN, out.Measured, out.Decision = w.days, d.E, d.N, d.SE, d.SN, d.Measured, d.Decision
	out.Verdict, out.Why = d.Decision.Verdict, d.Decision.Why
}

// apart reports whether the events of a day scatter more than those of all
// other days do, which they would when the base moved during the day.
func (w *dayFit) apart(k int) bool {
	day := &w.days[k]
	own, n := 0.0, 0
	for i, o := range w.obs {
		if w.of[i] != k {
			continue
		}
		e := o.v
		for j := range w.p {
			e -= o.a[j] * day.x[j]
		}
		own += e * e
		n++
	}
	r1, r2 := float64(n-w.p), float64(w.freedom-(n-w.p))
	if r1 < 1 || r2 < 2 {
		return false
	}
	others := (w.squares - own) / r2
	return others > 0 && own/r1/others > adjust.FisherQuantile(1-decisionLevel/2, r1, r2)
}

// step looks for the day since which the ground is elsewhere: the days before
// each against those from it on. The least probability counts as often as there
// are days to choose from (Bonferroni).
func (w *dayFit) step(out *TrackMovement, sign float64) {
	variance := w.variance()
	if !(variance > 0) {
		return
	}
	tries := 0
	var best TrackStep
	best.Probability = 1
	for k := 1; k < len(w.days); k++ {
		before, c1, ok1 := w.together(0, k)
		after, c2, ok2 := w.together(k, len(w.days))
		if !ok1 || !ok2 {
			continue
		}
		tries++
		e, n := after[0]-before[0], after[1]-before[1]
		m := Measured{E: e, N: n, EE: variance * (c1[0][0] + c2[0][0]), EN: variance * (c1[0][1] + c2[0][1]), NN: variance * (c1[1][1] + c2[1][1]), Freedom: w.freedom}
		t := m.test()
		if !t.Tested {
			continue
		}
		if p := math.Pow(1+t.Statistic/float64(w.freedom), -float64(w.freedom)/2); p < best.Probability {
			best = TrackStep{Day: w.days[k].Day, E: sign * e, N: sign * n, Probability: p}
		}
	}
	if best.Probability *= float64(tries); tries == 0 || best.Probability >= decisionLevel {
		return
	}
	out.Step = &best
	size := math.Hypot(best.E, best.N)
	v, why := VerdictRemeasure, fmt.Sprintf("the ground has been elsewhere since %s: by %s", best.Day, metres(size))
	if size >= w.limits.DriftStopM {
		v = VerdictStop
	}
	if worse(out.Verdict, v) != out.Verdict {
		out.Verdict, out.Why = v, why
	}
}

// together is the weighted mean of days, with the cofactors of east and north.
func (w *dayFit) together(from, to int) (x []float64, cofactor [][]float64, ok bool) {
	normal, right := matrix(w.p), make([]float64, w.p)
	for k := from; k < to; k++ {
		day := &w.days[k]
		if day.inverse == nil {
			continue
		}
		nx := product(day.normal, day.x)
		for i := range w.p {
			right[i] += nx[i]
			for j := range w.p {
				normal[i][j] += day.normal[i][j]
			}
		}
	}
	if cofactor = inverted(normal); cofactor == nil {
		return nil, nil, false
	}
	return product(cofactor, right), cofactor, true
}

// trend fits a straight line through the days, each weighed by its events.
func (w *dayFit) trend(out *TrackMovement, sign float64) {
	var days []*TrackDay
	sw, st := 0.0, 0.0
	for k := range w.days {
		if day := &w.days[k]; day.inverse != nil {
			days = append(days, day)
			g := weightOf(day)
			sw += g
			st += g * day.middle
		}
	}
	variance := w.variance()
	if len(days) < 3 || !(variance > 0) {
		return
	}
	mid := st / sw
	stt, ste, stn, se, sn := 0.0, 0.0, 0.0, 0.0, 0.0
	for _, day := range days {
		g, t := weightOf(day), day.middle-mid
		stt += g * t * t
		ste += g * t * day.x[0]
		stn += g * t * day.x[1]
		se += g * day.x[0] / sw
		sn += g * day.x[1] / sw
	}
	if !(stt > 0) {
		return
	}
	e, n := ste/stt, stn/stt
	if out.Step != nil { // what explains the days better
		line, step := 0.0, 0.0
		for _, day := range days {
			g, t := weightOf(day), day.middle-mid
			line += g * (math.Pow(day.x[0]-se-e*t, 2) + math.Pow(day.x[1]-sn-n*t, 2))
			at := w.side(out.Step.Day, day)
			step += g * (math.Pow(day.x[0]-at[0], 2) + math.Pow(day.x[1]-at[1], 2))
		}
		if step <= line {
			return
		}
	}
	t := TrackTrend{Since: days[0].Day, PerWeekE: sign * e * 7, PerWeekN: sign * n * 7, SEPerWeek: 7 * math.Sqrt(variance/stt)}
	t.PerWeekM, t.BearingDeg = math.Hypot(t.PerWeekE, t.PerWeekN), bearingOf(orb.Point{}, orb.Point{t.PerWeekE, t.PerWeekN})
	r := float64(w.freedom)
	t.Significant = math.Pow(t.PerWeekM/t.SEPerWeek, 2) > r*(math.Pow(decisionLevel, -2/r)-1)
	out.Trend = &t
}

// weightOf is how many observations of one direction a day is worth.
func weightOf(day *TrackDay) float64 { return 2 / (day.inverse[0][0] + day.inverse[1][1]) }

// side is the mean of the days on the day's side of a step.
func (w *dayFit) side(step string, day *TrackDay) []float64 {
	at, cut := 0, 0
	for k := range w.days {
		if w.days[k].Day == step {
			cut = k
		}
		if &w.days[k] == day {
			at = k
		}
	}
	from, to := 0, cut
	if at >= cut {
		from, to = cut, len(w.days)
	}
	if x, _, ok := w.together(from, to); ok {
		return x
	}
	return day.x
}

func matrix(n int) [][]float64 {
	out := make([][]float64, n)
	for i := range out {
		out[i] = make([]float64, n)
	}
	return out
}

func product(m [][]float64, x []float64) []float64 {
	out := make([]float64, len(m))
	for i := range m {
		for j, v := range x {
			out[i] += m[i][j] * v
		}
	}
	return out
}

// inverted is the inverse of a symmetric positive matrix of few rows, nil when
// it is so near to none that a direction cannot be told: 1 part in 10,000.
func inverted(m [][]float64) [][]float64 {
	n := len(m)
	a := matrix(n)
	out := matrix(n)
	largest := 0.0
	for i := range m {
		copy(a[i], m[i])
		out[i][i] = 1
		largest = math.Max(largest, m[i][i])
	}
	for c := range n {
		pivot := c
		for i := c; i < n; i++ {
			if math.Abs(a[i][c]) > math.Abs(a[pivot][c]) {
				pivot = i
			}
		}
		if !(math.Abs(a[pivot][c]) > 1e-4*largest) {
			return nil
		}
		a[c], a[pivot], out[c], out[pivot] = a[pivot], a[c], out[pivot], out[c]
		f := a[c][c]
		for j := range n {
			a[c][j] /= f
			out[c][j] /= f
		}
		for i := range n {
			if i == c {
				continue
			}
			f := a[i][c]
			for j := range n {
				a[i][j] -= f * a[c][j]
				out[i][j] -= f * out[c][j]
			}
		}
	}
	return out
}
