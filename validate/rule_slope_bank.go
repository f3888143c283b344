// Short banks beside lawns and ways that lead on to where a machine must not come, of
// slope-limit.

package validate

import (
	"fmt"
	"math"

	"github.com/paulmach/orb"

	"swardline/validate/plane"
)

// sayBank is what the page of the rule says of this.
const sayBank = "" +
	"Farther off than 1 m as much is a note, up to 5 m, where that way comes within 2 m of a drop, water or a road, or leads straight down to one within 5 m, and so is such a thing's own height, of water up to 2 m off. "

// bankShortM is how much before its foot, in metres, a bank is looked along: what it
// leads to begins there.
const bankShortM = 0.05

// bank keeps the steepest way down from what is driven, steeper than the limit by no
// more than other ground may be, that leads on to a drop, water or a road.
func (b *fallLook) bank(p, q raised, d, past float64) {
	if d > slideM+slackM || b.water && d > slopeBaseM+slackM || b.contour || b.opens || b.slip.f != nil && !graverFall(past, b.slip.beyond, b.f, b.slip.f) || b.looks > fallLooks {
		return
	}
	if b.looks++; !b.slidesTo(p, q) {
		return
	}
	t := max(0, 1-bankShortM/d)
	before := orb.LineString{p.ground, {p.ground[0] + t*(q.ground[0]-p.ground[0]), p.ground[1] + t*(q.ground[1]-p.ground[1])}}
	if _, _, _, on := plane.NewGauge(before).Within(b.grave, slackM); on || b.water && b.r.keptOut(q.ground, nil) || b.inMown(p.ground, q.ground) || b.drops && b.isFoot(&q, past) {
		return // beyond what has a margin of its own, or judged elsewhere
	}
	box := segmentBox(p.ground, q.ground)
	if b.r.stepWalls().about(box, box, stepRiseM+slackM).hold(p.ground, q.ground) || b.r.toldOf(b.f, b.x.f) {
		return
	}
	if b.slip.f != b.f {
		b.slips++
	}
	b.slip = fall{b.x, b.f, p, q, past}
}

// tellBank notes the steepest of those.
func (w *falls) tellBank() {
	at := &w.slip
	if at.f == nil || w.r.toldOf(at.f, at.way.f) {
		return
	}
	d, rise := distance(at.up.ground, at.down.ground), at.up.h-at.down.h
	x := w.r.finding(w.r.Place(at.up.ground), featuresOf(at.way.f, at.f)...)
	x.Severity = Note
	x.Measured, x.Limit, x.Unit = 100*rise/d, math.Min(100*rise/d, w.r.slopeOf(at.way.f, at.f)), "%"
	x.Trace = w.r.trace(at.up.ground, at.down.ground)
	x.Message = fmt.Sprintf("%s%s lies %s above %s, %s off, %s %%, and that bank leads on to a drop, water or a road; the limit is %s %%: a machine that comes over the edge slides there; keep the lawn back from it, draw an edge of the kind drop where the bank begins, or correct the heights%s",
		at.way.words, at.way.f.describe(), metres(rise), at.f.describe(), metres(d), trim(100*rise/d, 0), trim(x.Limit, 1), worstOf(w.slips))
}
