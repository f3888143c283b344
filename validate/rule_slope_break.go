// Dips and humps of corridors, of slope-limit.

package validate

import (
	"fmt"
	"math"

	"github.com/paulmach/orb"
)

// sayBreak is what the page of the rule says of this.
const sayBreak = "" +
	"A warning is a dip or a hump of a corridor in which its slope changes by more than slope_max_percent from the 2 m before a point to the 2 m after: a machine that may climb as much from level ground sets down on its ends or its middle there. "

// breaks tells the sharpest dip or hump of a line.
func (r *run) breaks(f *Feature, l Line) {
	n := len(l.Ground)
	if l.Heights == nil || n < 3 {
		return
	}
	limit := r.of(f).SlopeMaxPercent
	if plainlyGentle(&l, limit/2) {
		return // up by half of it and down by half of it
	}
	along := make([]float64, n)
	for v := 1; v < n; v++ {
		along[v] = along[v-1] + distance(l.Ground[v-1], l.Ground[v])
	}
	worst, at := limit+1e-9, -1
	for v := 1; v < n-1; v++ {
		before, after := l.slopeFrom(along, v, -1), l.slopeFrom(along, v, 1)
		if by := math.Abs(after + before); by > worst {
			worst, at = by, v
		}
	}
	if at < 0 {
		return
	}
	x := r.finding(r.placeRead(f, l.Read[at], l.Ground[at]), f)
	x.Severity = Warning
	x.Measured, x.Limit, x.Unit = worst, limit, "%"
	x.Trace = r.trace(orb.LineString(l.Ground)[at-1 : at+2]...)
	what := "dips"
	if l.slopeFrom(along, at, -1)+l.slopeFrom(along, at, 1) < 0 {
		what = "has a hump"
	}
	x.Message = fmt.Sprintf("%s: its slope changes by %s %% within %s; no more than %s %% is let pass: fill or round it there, or lead the way round",
		what, percentPast(worst, limit), metres(2*slopeBaseM), trim(limit, 1))
}

// slopeFrom is the rise in percent from point v of the line over the next slopeBaseM,
// or, with way -1, over the last; over less where it ends or lacks heights there.
func (l *Line) slopeFrom(along []float64, v, way int) float64 {
	rise, length := 0.0, 0.0
	for k := v + way; k >= 0 && k < len(along) && length < slopeBaseM; k += way {
		if d := math.Abs(along[k] - along[v]); d > slopeBaseM {
			t := (slopeBaseM - length) / (d - length)
			rise, length = rise+t*(l.Heights[k]-l.Heights[v]-rise), slopeBaseM
		} else {
			rise, length = l.Heights[k]-l.Heights[v], d
		}
	}
	if !(length >= slopeBaseM/2) || rise != rise {
		return 0
	}
	return 100 * rise / length
}
