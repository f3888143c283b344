// Things that are called round and drawn with a few corners, of curve-coarse.

package validate

import (
	"math"
	"slices"
	"strings"

	"github.com/paulmach/orb"

	"swardline/schema"
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
	if n < 3 || n > mostCornersNamed || distance(l[0], l[n]) > slackM || hazardKind(f) == "road" || !saysRound(f) {
		return c, false
	}
	return throughCorners(l), true
}

// saysRound reports whether a thing is called round by its name or its kind.
func saysRound(f *Feature) bool {
	return calledRound.get(f.Name) || calledRound.get(f.Attributes.Get(schema.PropHazardKind).Text())
}

// throughCorners is the curve through the corners of a closed outline.
func throughCorners(l orb.LineString) (c curveOf) {
	n := len(l) - 1
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
	return c
}

// oftenRound are words for things that are most often round (common practice, no
// source), and squareWords for what has its corners.
var (
	oftenRound = strings.Fields("tank silo fountain well trampoline carousel roundabout sundial bandstand yurt gasometer cistern borehole " +
		"tank silo brunnen springbrunnen trampolin karussell zisterne silo fontaine puits trampoline carrousel citerne fuente pozo cama_elástica tiovivo cisterna fontein put draaimolen fontana pozzo giostra springvand brønd trampolin fontän brunn karusell fontene brønn suihkulähde kaivo trampoliini siilo säiliö")
	squareWords = strings.Fields("square rectangular box quadratisch eckig rechteckig viereckig carré carrée rectangulaire cuadrado cuadrada rectangular vierkant rechthoekig quadrato quadrata rettangolare firkantet fyrkantig rektangulär neliö")
)

// mayBeRound is the curve through the corners of an outline of three or four even
// sides of a thing that is most often round, and says nothing of corners.
func mayBeRound(f *Feature, l orb.LineString) (c curveOf, ok bool) {
	n := len(l) - 1
	if n < 3 || n >= fewestRound || distance(l[0], l[n]) > slackM || kindWord(f, oftenRound) == "" || kindWord(f, squareWords) != "" {
		return c, false
	}
	if _, _, even := regularAbout(l[:n]); !even {
		return c, false
	}
	return throughCorners(l), true
}

// roundUnsaid records where the curve through a thing's corners comes nearer to
// driven ground than it may: whether the thing is round is not said.
func (r *run) roundUnsaid(f *Feature, l orb.LineString, c curveOf, keeps float64) {
	before := len(r.findings)
	r.roundsCoarse(f, l, []curveOf{c}, keeps)
	for _, x := range r.findings[before:] {
		r.cannot("%s is a thing that is most often round, drawn with %s of equal sides; if it is, it %s, or say square in its name", f.describe(), plural(len(l)-1, "corner"), x.Message)
	}
	r.findings = r.findings[:before]
}

// keepoutsRound records keep-outs that are called round and drawn with a few corners
// about nothing that is drawn: whether they go round it cannot be told.
func (r *run) keepoutsRound() {
	for _, f := range r.usableOf(schema.RoleKeepout) {
		if !calledRound.get(f.Name) {
			continue
		}
		for _, l := range f.lines() {
			n := len(l) - 1
			c, limit := curveOf{}, r.of(f).CurveChordM
			if n < 3 || n >= fewestRound || l[0] != l[n] {
				continue
			}
			if c = throughCorners(l); c.sagitta > limit+1e-6 && !r.holdsThing(f) {
				r.cannot("%s is called round and drawn with %s: whether they lie on the curve, which then reaches %s beyond them, or about what is round cannot be told; draw it with more points, or the thing in it as a hazard", f.describe(), plural(n, "corner"), metresPast(c.sagitta, limit))
			}
		}
	}
}

// holdsThing reports whether a hazard or a building lies in a keep-out.
func (r *run) holdsThing(k *Feature) bool {
	for _, role := range [...]schema.Role{schema.RoleHazard, schema.RoleBuilding} {
		for _, f := range r.usableOf(role) {
			if b := f.bound.Pad(f.reachDrawn()); k.bound.Contains(b.Min) && k.bound.Contains(b.Max) {
				return true
			}
		}
	}
	return false
}
