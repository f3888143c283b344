// Looking a displacement up in the table, as the live page does.

package sheet

import "math"

// Depth is how deep the item is entered or left, in metres, after a displacement of
// e east and n north, and whether the displacement is within the table.
//
// Gap, and depth over the distance beyond the gap, run straight between two entries
// and between two bearings. The live page's script does the same steps in the same
// order.
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

// Verdict says what a displacement asks for: unchanged, re-measure or stop.
func (t *Drift) Verdict(e, n float64) string {
	r := math.Hypot(e, n)
	for i := range t.Items {
		if d, ok := t.Depth(i, e, n); ok && t.Items[i].Stops && d > t.Items[i].LimitM {
			return "stop"
		}
	}
	switch {
	case r >= t.StopM:
		return "stop"
	case r > t.UnchangedM:
		return "re-measure"
	}
	return "unchanged"
}
