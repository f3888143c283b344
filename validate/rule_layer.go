// One layer of a plan in another place than the rest: layer-shifted.

package validate

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"github.com/paulmach/orb"

	"swardline/schema"
)

var layerRules = []Rule{{
	Name: RuleLayerShifted, Severity: Warning, Limits: []string{"survey_sigma_m"}, Over: one(schema.RoleKeepout, schema.RoleEdge, schema.RoleMark, schema.RoleOther), run: checkLayerShifted,
	Page: Page{
		What: "Whether what belongs together by its shape or by its names lies off one another by one and the same step, at any distance. " +
			"By shape: an edge, or what has the role other, of four corners and more that turn by 90 degrees in all, side for side that of a lawn's outline or of the boundary, and the marks, three and more of them and all but one, as the corners of one, " +
			"each side and step alike to survey_sigma_m and to a quarter of the step, farther off than twice that, where nothing lies as it does at its own place; and, as notes, edges that close and four marks and more, clear of an outline at least 8 m wide and by 10 m and more, whose every corner is one of that to 1.5 m, with nothing drawn within; of the role other a rectangle only where it has no name, the lawn's, or one for grass. " +
			"By name: keep-outs and the hazards, buildings, edges and others that have their names, each name once in both: " +
			"three pairs and more whose middles are all off by one step of 0.3 m and more, to a third of it and no more than 0.3 m (a note up to 3 m), two pairs by one of 10 m and more to 0.3 m (a note), and three pairs and more that fit one another to 0.3 m only once the one layer is turned, or made larger or smaller by 2 % and more (feet for metres), and lie 3 m off.",
		Why:    "A layer in the datum of an old map lies 50 to 400 m beside the rest, one from a base that was moved by half a metre: whatever it should keep the machine from stands where nothing is drawn.",
		Source: sourcePractice,
		Fails:  "four ponds that all lie 22 m east and 31 m south of the keep-outs of their names",
		Passes: "the same ponds under their keep-outs",
		Mend:   "find out which of the two layers stands right, by a mark or a corner on the ground, and put the other one there; where two things of one shape are there, give the second its own name",
	},
}}

// How far off one another, in metres, what is called alike may lie by a common step
// before that is none of how it was drawn round; from where on two pairs are enough; how
// well pairs fit; how far off a layer is that does not lie as the other at all; and up
// to where it is a note (common practice, no source).
const (
	layerStepM  = 0.3
	layerTwoM   = 10.0
	layerFitM   = 0.3
	layerFarM   = 3.0
	layerScale  = 0.02 // how far from 1 a scale is one
	layerCorner = 4    // the fewest corners of a shape
	layerRoughM = 1.5  // how far a fence or a mark is set off the corners of what it belongs to
	layerWideM  = 8.0  // how wide an outline is at the least that so much is little of
)

// mostShapes is how many outlines are held to one another, mostCorners how many corners
// of one, against plans made to keep the check busy.
const mostShapes, mostCorners = 500, 2000

// grassGround in the name of what is only drawn says that it is grass (common practice,
// no source).
var grassGround = setOf("lawn lawns grass turf meadow pitch rasen rasenfläche wiese grünfläche pelouse gazon pré césped hierba gras grasveld prato erba gräsmatta gräs plæne græs gress nurmikko")

func checkLayerShifted(r *run) {
	if !r.onGround() {
		return
	}
	r.layersByName()
	shapes := r.outlinesToMatch()
	if len(shapes) == 0 {
		return
	}
	r.layersByShape(shapes)
	r.marksByShape(shapes)
}

// drawnShape is the corners of an outline or a line on the ground, the last not the
// first.
type drawnShape struct {
	f      *Feature
	at     []orb.Point
	closed bool
}

func shapeOf(f *Feature, line []orb.Point) (drawnShape, bool) {
	s := drawnShape{f: f, at: line}
	if n := len(line); n > 2 && line[0] == line[n-1] {
		s.at, s.closed = line[:n-1], true
	}
	return s, len(s.at) >= layerCorner && len(s.at) <= mostCorners
}

// outlinesToMatch are the outlines of lawns and of boundaries.
func (r *run) outlinesToMatch() (out []drawnShape) {
	for _, role := range [...]schema.Role{schema.RoleZone, schema.RoleBoundary} {
		for _, f := range r.Of(role) {
			if !f.usable() || len(out) >= mostShapes {
				continue
			}
			for i := range f.Areas {
				if s, ok := shapeOf(f, f.Areas[i].Ground[0]); ok {
					out = append(out, s)
				}
			}
			for i := range f.Lines {
				if s, ok := shapeOf(f, f.Lines[i].Ground); ok {
					out = append(out, s)
				}
			}
		}
	}
	return out
}

// layersByShape warns of edges, and of what is only drawn, of the shape of an outline
// elsewhere.
func (r *run) layersByShape(outlines []drawnShape) {
	looked := 0
	for _, role := range [...]schema.Role{schema.RoleEdge, schema.RoleOther} {
		for _, f := range r.Of(role) {
			if !f.usable() {
				continue
			}
			for _, line := range f.lines() {
				s, ok := shapeOf(f, line)
				if !ok || looked >= mostShapes || !s.closed && !turnsRound(s.at) {
					continue
				}
				looked++
				r.shapeElsewhere(s, outlines)
			}
		}
	}
}

// turnsRound reports whether an open line turns by 90 degrees in all: one that is nearly
// straight runs beside another as alike as if it were shifted.
func turnsRound(at []orb.Point) bool {
	from := math.Atan2(at[1][1]-at[0][1], at[1][0]-at[0][0])
	for i := 2; i < len(at); i++ {
		d := math.Atan2(at[i][1]-at[i-1][1], at[i][0]-at[i-1][0]) - from
		if math.Abs(math.Remainder(d, 2*math.Pi)) >= math.Pi/2-0.02 {
			return true
		}
	}
	return false
}

// shapeElsewhere warns of a shape that is that of an outline, but not at its place.
func (r *run) shapeElsewhere(s drawnShape, outlines []drawnShape) {
	sigma := r.of(s.f).SurveySigmaM
	var of *drawnShape
	var step orb.Point
	for i := range outlines {
		t := &outlines[i]
		d, ok := s.stepFrom(t, sigma)
		if !ok {
			continue
		}
		if length(d) <= 2*sigma+slackM {
			return // it lies on one
		}
		if of == nil || length(d) < length(step) {
			of, step = t, d
		}
	}
	severity, how := Warning, "has the very shape of"
	if of == nil && s.closed && s.f.Role == schema.RoleEdge && len(r.within(s.f)) == 0 {
		severity, how = Note, "has nearly the shape of"
		of, step = roughly(s, outlines)
	}
	if of == nil || s.f.Role == schema.RoleOther && !sameGround(s, of) || r.standsFor(s.f, of.f) || len(r.findings) >= mostFindings {
		return
	}
	x := r.finding(r.middle(s.f), s.f, of.f)
	x.Severity = severity
	x.Measured, x.Limit, x.Unit = length(step), 2*sigma, "m"
	x.Message = fmt.Sprintf(how+" %s and lies off it, side for side, by %s: one of the two is drawn in another grid or datum, or from another base; find out on the ground which of them lies right, and place or convert the other again", of.f.describe(), stepWords(step))
}

// sameGround reports whether what is only drawn is the ground that an outline is drawn
// round, and not a terrace of its size: a rectangle of its name, of none or of one for
// grass, or any other shape.
func sameGround(s drawnShape, of *drawnShape) bool {
	if len(s.at) > layerCorner || s.f.Name == "" || schema.FoldName(s.f.Name) == schema.FoldName(of.f.Name) {
		return true
	}
	return slices.ContainsFunc(letterWords(s.f.Name), func(w string) bool { return grassGround[w] })
}

// standsFor reports whether a thing clear of the outline that it is like lies round
// another thing of about its size: a second court of the size of the first.
func (r *run) standsFor(f, of *Feature) bool {
	if f.bound.Intersects(of.bound) {
		return false
	}
	size := boxArea(f.bound)
	return slices.ContainsFunc(r.within(f), func(g *Feature) bool {
		return g != of && g.Role != f.Role && len(g.Areas) > 0 && boxArea(g.bound) >= size/2 && boxArea(g.bound) <= 2*size
	})
}

// within are the other areas, and docks, whose middle lies in the box of one: what a
// fence may be round. A mark that happens to stand there is none.
func (r *run) within(f *Feature) (out []*Feature) {
	for _, g := range r.Features {
		if g != f && g.usable() && (len(g.Areas) > 0 || g.Role == schema.RoleDock) && f.bound.Contains(g.bound.Center()) {
			out = append(out, g)
		}
	}
	return out
}

// roughly is the outline whose corners a shape has, all to layerRoughM, and the step
// from there, nil for none.
func roughly(s drawnShape, outlines []drawnShape) (of *drawnShape, step orb.Point) {
	for i := range outlines {
		t := &outlines[i]
		if d, ok := roughStep(s.at, t); ok && len(s.at) == len(t.at) {
			return t, d
		}
	}
	return nil, step
}

// roughStep is the step from the middle of an outline to that of points, each of which
// then stands at a corner of it, no two at one. Both have to be wide, and clear of one
// another.
func roughStep(at []orb.Point, t *drawnShape) (step orb.Point, ok bool) {
	box, of := orb.MultiPoint(at).Bound(), orb.MultiPoint(t.at).Bound()
	a, b := box.Center(), of.Center()
	step = orb.Point{a[0] - b[0], a[1] - b[1]}
	if len(at) > len(t.at) || box.Intersects(of) || length(step) < layerTwoM-slackM || math.Min(of.Max[0]-of.Min[0], of.Max[1]-of.Min[1]) < layerWideM-slackM {
		return step, false
	}
	taken := make([]bool, len(t.at))
	for _, p := range at {
		k := slices.IndexFunc(t.at, func(c orb.Point) bool {
			return math.Hypot(p[0]-step[0]-c[0], p[1]-step[1]-c[1]) <= layerRoughM+slackM
		})
		if k < 0 || taken[k] {
			return step, false
		}
		taken[k] = true
	}
	return step, true
}

func boxArea(b orb.Bound) float64 { return (b.Max[0] - b.Min[0]) * (b.Max[1] - b.Min[1]) }

func length(d orb.Point) float64 { return math.Hypot(d[0], d[1]) }

// stepFrom is the step by which a shape lies off another side for side; a line is held
// to a stretch of an outline. ok is false where it is not that shape.
func (s *drawnShape) stepFrom(t *drawnShape, sigma float64) (step orb.Point, ok bool) {
	k, n := len(s.at), len(t.at)
	if k > n || s.closed && k != n || !t.closed && s.closed {
		return step, false
	}
	for _, sense := range [2]int{1, -1} {
		for start := range n {
			if !t.closed && (start+sense*(k-1) < 0 || start+sense*(k-1) >= n) {
				continue
			}
			if d, fits := s.fitsAt(t, start, sense, sigma); fits && (!ok || length(d) < length(step)) {
				step, ok = d, true
			}
		}
	}
	return step, ok
}

// fitsAt holds a shape to another from one of its corners on, in one sense.
func (s *drawnShape) fitsAt(t *drawnShape, start, sense int, sigma float64) (mean orb.Point, ok bool) {
	n := len(t.at)
	var first orb.Point
	for i, p := range s.at {
		q := t.at[((start+sense*i)%n+n)%n]
		d := orb.Point{p[0] - q[0], p[1] - q[1]}
		if i == 0 {
			first = d
		}
		if distance(d, first) > math.Min(sigma, length(first)/4)+slackM {
			return mean, false
		}
		mean[0], mean[1] = mean[0]+d[0]/float64(len(s.at)), mean[1]+d[1]/float64(len(s.at))
	}
	return mean, true
}

// marksByShape warns of marks that stand as the corners of an outline do, elsewhere.
func (r *run) marksByShape(outlines []drawnShape) {
	var at []orb.Point
	var of []*Feature
	for _, m := range r.Of(schema.RoleMark) {
		if m.usable() && len(m.Points) == 1 {
			at, of = append(at, m.Points[0].Ground), append(of, m)
		}
	}
	if len(at) < leastSteps || len(at) > mostMarksPaired || !spreadOut(at) {
		return
	}
	sigma := r.limits.SurveySigmaM
	for i := range outlines {
		t := &outlines[i]
		if len(t.at) > mostMarksPaired {
			continue
		}
		if n, _ := cornersHit(at, t.at, orb.Point{}, 2*sigma); n > 1 {
			return // they are measured at corners
		}
	}
	for i := range outlines {
		t := &outlines[i]
		if len(t.at) > mostMarksPaired {
			continue
		}
		step, ok := marksStep(at, t.at, sigma)
		severity := Warning
		if !ok && len(at) >= layerCorner {
			step, ok = roughStep(at, t)
			severity = Note
		}
		if !ok {
			continue
		}
		x := r.finding(nil, append(of, t.f)...)
		x.Severity = severity
		x.Measured, x.Limit, x.Unit = length(step), 2*sigma, "m"
		x.Message = fmt.Sprintf("the marks stand as corners of %s do, and all lie off them by %s: either they or the plan are in another grid or datum, or from another base; measure two of them again, and place or convert what is off", t.f.describe(), stepWords(step))
		return
	}
}

// marksStep is the step by which all marks but at most one of four and more lie off
// corners.
func marksStep(marks, corners []orb.Point, sigma float64) (step orb.Point, ok bool) {
	need := max(leastSteps, len(marks)-1)
	for first := range 2 {
		for _, c := range corners {
			step = orb.Point{marks[first][0] - c[0], marks[first][1] - c[1]}
			if n, mean := cornersHit(marks, corners, step, math.Min(sigma, length(step)/4)); n >= need && length(mean) > 2*sigma+slackM {
				return mean, true
			}
		}
	}
	return step, false
}

// cornersHit counts the marks that stand a step off a corner, to most, and gives the
// mean of their steps.
func cornersHit(marks, corners []orb.Point, step orb.Point, most float64) (n int, mean orb.Point) {
	missed := 0
	for _, m := range marks {
		at := slices.IndexFunc(corners, func(c orb.Point) bool {
			return math.Abs(m[0]-step[0]-c[0]) <= most+slackM && math.Abs(m[1]-step[1]-c[1]) <= most+slackM
		})
		if at < 0 {
			if missed++; missed > 1 && step != (orb.Point{}) {
				return 0, mean
			}
			continue
		}
		n++
		mean[0], mean[1] = mean[0]+m[0]-corners[at][0], mean[1]+m[1]-corners[at][1]
	}
	if n > 0 {
		mean[0], mean[1] = mean[0]/float64(n), mean[1]/float64(n)
	}
	return n, mean
}

// spreadOut reports whether points do not lie on one line, to a metre.
func spreadOut(at []orb.Point) bool {
	far := slices.MaxFunc(at, func(a, b orb.Point) int { return cmp.Compare(distance(a, at[0]), distance(b, at[0])) })
	long := distance(far, at[0])
	return slices.ContainsFunc(at, func(p orb.Point) bool {
		return math.Abs((far[0]-at[0][0])*(p[1]-at[0][1])-(far[1]-at[0][1])*(p[0]-at[0][0])) > long
	})
}

// layersByName warns of keep-outs and of what has their names where all pairs lie off
// one another by the same.
func (r *run) layersByName() {
	keepouts := r.Of(schema.RoleKeepout)
	if len(keepouts) < 2 {
		return
	}
	of := make(map[string]*Feature, len(keepouts)) // nil for a name that two have
	add := func(to map[string]*Feature, f *Feature) {
		if f.Name == "" || !f.usable() {
			return
		}
		name := schema.FoldName(f.Name)
		if _, twice := to[name]; twice {
			f = nil
		}
		to[name] = f
	}
	for _, f := range keepouts {
		add(of, f)
	}
	things := make(map[string]*Feature, len(keepouts))
	for _, role := range [...]schema.Role{schema.RoleHazard, schema.RoleBuilding, schema.RoleEdge, schema.RoleOther} {
		for _, f := range r.Of(role) {
			if f.Name != "" && of[schema.FoldName(f.Name)] != nil {
				add(things, f)
			}
		}
	}
	var pairs []layerPair
	for _, k := range keepouts {
		if f := things[schema.FoldName(k.Name)]; f != nil && of[schema.FoldName(k.Name)] == k {
			pairs = append(pairs, layerPair{f, k.bound.Center(), f.bound.Center()})
		}
	}
	r.pairsShifted(pairs)
}

// layerPair is a thing, with the middles of the keep-out of its name and of itself.
type layerPair struct {
	f        *Feature
	from, to orb.Point
}

func (r *run) pairsShifted(pairs []layerPair) {
	if len(pairs) < 2 {
		return
	}
	steps := make([]orb.Point, len(pairs))
	features := make([]*Feature, len(pairs))
	farthest := 0.0
	for i, p := range pairs {
		steps[i] = orb.Point{p.to[0] - p.from[0], p.to[1] - p.from[1]}
		farthest = math.Max(farthest, length(steps[i]))
		features[i] = p.f
	}
	mean, _ := sameStep(steps, math.Inf(1))
	off := length(mean)
	_, alike := sameStep(steps, math.Min(layerFitM, off/3))
	severity, how := Warning, "lie off them by "+stepWords(mean)
	switch {
	case alike && len(pairs) >= leastSteps && off >= layerStepM-slackM:
		if off < layerFarM {
			severity = Note
		}
	case alike && off >= layerTwoM-slackM:
		severity = Note
	case len(pairs) >= leastSteps && farthest >= layerFarM-slackM:
		scale, turn, ok := fitLayers(pairs)
		if !ok {
			return
		}
		off = farthest
		how = fmt.Sprintf("fit them only once they are turned by %.1f deg and made %s times as large", turn, trim(1/scale, 4))
	default:
		return
	}
	x := r.finding(nil, features...)
	x.Severity = severity
	x.Measured, x.Limit, x.Unit = off, layerStepM, "m"
	x.Message = fmt.Sprintf("%d things have the names of keep-outs and %s: one of the two layers is drawn in another grid, datum or unit, or from another base; find out on the ground which of them lies right, and place or convert the other again", len(pairs), how)
}

// fitLayers fits things to the keep-outs of their names by a turn, a scale and a shift
// (least squares; the Helmert transformation in the plane, as in any textbook of
// surveying), and returns the scale of the things and the turn, in degrees
// anticlockwise, that takes them back. ok is false where they do not fit to layerFitM, or
// the turn and the scale are none.
func fitLayers(pairs []layerPair) (scale, turn float64, ok bool) {
	n := float64(len(pairs))
	var a, b orb.Point
	for _, p := range pairs {
		a[0], a[1] = a[0]+p.from[0]/n, a[1]+p.from[1]/n
		b[0], b[1] = b[0]+p.to[0]/n, b[1]+p.to[1]/n
	}
	var re, im, size float64
	for _, p := range pairs {
		x, y, u, v := p.from[0]-a[0], p.from[1]-a[1], p.to[0]-b[0], p.to[1]-b[1]
		re, im, size = re+x*u+y*v, im+x*v-y*u, size+x*x+y*y
	}
	if size < 1 || re == 0 && im == 0 {
		return 0, 0, false
	}
	re, im = re/size, im/size
	for _, p := range pairs {
		x, y := p.from[0]-a[0], p.from[1]-a[1]
		if math.Hypot(b[0]+re*x-im*y-p.to[0], b[1]+re*y+im*x-p.to[1]) > layerFitM*math.Max(1, math.Hypot(re, im)) {
			return 0, 0, false
		}
	}
	scale, turn = math.Hypot(re, im), -math.Atan2(im, re)*180/math.Pi
	return scale, turn, math.Abs(scale-1) >= layerScale || math.Abs(turn) >= 1
}

// stepWords is a step as people say it.
func stepWords(d orb.Point) string {
	side := func(v float64, plus, minus string) string {
		if v < 0 {
			return metres(-v) + " " + minus
		}
		return metres(v) + " " + plus
	}
	return side(d[0], "east", "west") + " and " + side(d[1], "north", "south")
}
