// Things that are called round and drawn with a few corners, of curve-coarse.

package validate

import (
	"math"
	"slices"
	"strings"

	"github.com/paulmach/orb"
)

// roundNames call a thing round, and roundStarts begin words that do (common
// practice, no source).
var (
	roundNames  = strings.Fields("round circular circle elliptical rund runder runde rundes kreis kreisrund rond ronde rondeau redondo redonda circular rotondo rotonda tondo tonda runda rundt pyöreä")
	roundStarts = strings.Fields("rundt rundb rundp kreist kreisb oval ovaal")
)

// mostCornersNamed is up to how many corners an outline of what is called round is
// looked at: of more it stands for a circle by itself.
const mostCornersNamed = 7

var calledRound = remembered[bool]{of: func(name string) bool {
	return slices.ContainsFunc(letterWords(name), func(w string) bool {
		return slices.Contains(roundNames, w) || slices.ContainsFunc(roundStarts, func(start string) bool { return strings.HasPrefix(w, start) })
	})
}}

// roundNamed is the curve through the corners of a closed outline of what is called
// round: on a circle a side of n, L long, lies L/2 tan(pi/2n) inside.
func roundNamed(f *Feature, l orb.LineString) (c curveOf, ok bool) {
	n := len(l) - 1
	if n < 3 || n > mostCornersNamed || distance(l[0], l[n]) > slackM || hazardKind(f) == "road" || !calledRound.get(f.Name) {
		return c, false
	}
	doubled := 0.0
	for i := range n {
		doubled += l[i][0]*l[i+1][1] - l[i+1][0]*l[i][1]
	}
	out := math.Copysign(1, doubled) // the outside lies to the right of a ring that runs anticlockwise
	quarter := math.Tan(math.Pi / float64(2*n))
	for i := range n {
		p, q := l[i], l[i+1]
		s := distance(p, q) / 2 * quarter
		c.sagitta = max(c.sagitta, s)
		c.line = append(c.line, p)
		const pieces = 8
		for m := 1; m < pieces; m++ {
			t := float64(m) / pieces
			up := out * 4 * t * (1 - t) * quarter / 2 // a parabola, which keeps inside the arc
			c.line = append(c.line, orb.Point{p[0] + t*(q[0]-p[0]) + up*(q[1]-p[1]), p[1] + t*(q[1]-p[1]) - up*(q[0]-p[0])})
		}
	}
	c.line = append(c.line, l[n])
	return c, true
}
