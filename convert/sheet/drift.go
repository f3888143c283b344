// Looking a shift up in the tables, as the live page does.

package sheet

import "math"

// Depth is how deep the item is entered or left, in metres, after a
// displacement of e east and n north, and whether the displacement is within
// the table.
//
// Gap, and depth over the distance beyond the gap, run straight between two
// entries and between two bearings. The live page's script does the same steps
// in the same order.
func (t *Drift) Depth(item int, e, n float64) (deep float64, within bool) {
	r := math.Hypot(e, n)
	last := t.BeyondM[len(t.BeyondM)-1]
	if r > last*(1+1e-9) {
		return 0, false
	}
	if r == 0 {
		return 0, true
	}
	bearing := math.Atan2(e, n) * 180 / math.Pi
	if bearing < 0 {
		bearing += 360
	}
	at := bearing / (360 / float64(len(t.BearingsDeg)))
	i := int(math.Floor(at))
	f := at - float64(i)
	i %= len(t.BearingsDeg)
	k := (i + 1) % len(t.BearingsDeg)
	x := &t.Items[item]
	ga, gb := x.GapM[i], x.GapM[k]
	// NaN stands for a bearing on which nothing is met: it counts as no depth.
	switch {
	case math.IsNaN(ga) && math.IsNaN(gb):
		return 0, true
	case math.IsNaN(ga):
		return t.beyond(x.DepthM[k], r-gb) * f, true
	case math.IsNaN(gb):
		return t.beyond(x.DepthM[i], r-ga) * (1 - f), true
	}
	s := r - (ga + (gb-ga)*f)
	a, b := t.beyond(x.DepthM[i], s), t.beyond(x.DepthM[k], s)
	return a + (b-a)*f, true
}

// beyond is the depth in one row at a distance s beyond the gap.
func (t *Drift) beyond(row []float64, s float64) float64 {
	if s < 0 {
		return 0
	}
	k := 1
	for k < len(t.BeyondM)-1 && t.BeyondM[k] < s {
		k++
	}
	f := math.Min(1, (s-t.BeyondM[k-1])/(t.BeyondM[k]-t.BeyondM[k-1]))
	return row[k-1] + (row[k]-row[k-1])*f
}

// entry is the letter at a place of a row written in runs, 0 past its end.
func entry(row string, at int) byte {
	for i := 0; i < len(row); {
		letter := row[i]
		n := 0
		for i++; i < len(row) && row[i] >= '0' && row[i] <= '9'; i++ {
			n = 10*n + int(row[i]-'0')
		}
		if at < n {
			return letter
		}
		at -= n
	}
	return 0
}

// Snap gives a shift as the tables take it: to a step of the raster, and the
// column and row there, -1 past the raster.
func (t *Drift) Snap(e, n float64) (se, sn float64, column, row int) {
	step := float64(t.StepMM)
	ce, cn := math.Round(e*1000/step), math.Round(n*1000/step)
	reach := float64(len(t.Verdicts) / 2)
	if !(math.Abs(ce) <= reach && math.Abs(cn) <= reach) {
		return e, n, -1, -1
	}
	return ce * step / 1000, cn * step / 1000, int(ce + reach), int(cn + reach)
}

// Reached reports whether item is past its limit at a shift of e east and n
// north: exactly on the raster where the item makes the verdict stop, else by
// its depth, and never by a shift within the limit. known is false past the
// table's range.
func (t *Drift) Reached(item int, e, n float64) (reached, known bool) {
	x := &t.Items[item]
	e, n, column, row := t.Snap(e, n)
	if column >= 0 && x.Stops && x.Rule != "drift-off-dock" && math.Hypot(e, n) < t.StopM {
		return x.Near != nil && entry(x.Near[row], column) == 's', true
	}
	if x.Rule == "drift-off-dock" {
		return math.Hypot(e, n) > x.LimitM, true
	}
	d, ok := t.Depth(item, e, n)
	return d > x.LimitM && math.Hypot(e, n) > x.LimitM, ok
}

// OutOfRange reports whether the farthest point driven is too far from the
// base.
func (t *Drift) OutOfRange() bool { return t.RangeM > t.RangeLimitM }

// Verdict says what a shift of e east, n north and u up asks for: unchanged,
// re-measure or stop. On the raster the shift is taken to its step.
func (t *Drift) Verdict(e, n, u float64) string {
	_, _, column, row := t.Snap(e, n)
	if column < 0 {
		return "stop"
	}
	verdict := entry(t.Verdicts[row], column)
	if math.Abs(u) > t.UnchangedM && verdict == 'u' {
		verdict = 'r'
		if t.OutOfRange() {
			verdict = 's'
		}
	}
	switch verdict {
	case 'u':
		return "unchanged"
	case 'r':
		return "re-measure"
	}
	return "stop"
}
