// Things that were surveyed twice, by their names and their shapes, of things-overlap.

package validate

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"github.com/paulmach/orb"

	"swardline/schema"
	"swardline/validate/plane"
)

// surveyedTwiceM is how far apart, in metres, two surveys of one thing lie at the most,
// and copyLong how many times as long as that a thing is that another of its name and a
// number repeats (common practice, no source).
const surveyedTwiceM, copyLong = 1.5, 4.0

// visitWords stand before or after a number that says at which visit a thing was
// measured, monthWords before a year, ordinalWords before one of visitWords, and droppedWords are let
// go after a word of those
// (common practice, no source).
var (
	visitWords   = setOf("visit survey tour round epoch campaign rev revision version besuch begehung messung aufmaß aufmass vermessung termin visite levé relevé visita levantamiento bezoek meting rilievo besøk besøg besök mätning måling käynti mittaus")
	monthWords   = setOf("jan january januar feb february februar mar march märz apr april may mai jun june juni jul july juli aug august sep sept september oct october okt oktober nov november dec december dez dezember")
	ordinalWords = setOf("first second erste zweite zweiter")
	droppedWords = setOf("way route line path position place one weg linie lage")
)

// visitName is a name less what says when a thing was measured, what it says of that,
// and the number or letter that it ends in.
type visitName struct {
	stem, visit, number string
}

var visitNames = remembered[visitName]{of: readVisit}

func isYear(w string) bool {
	return len(w) == 4 && isNumber(w) && (strings.HasPrefix(w, "19") || strings.HasPrefix(w, "20"))
}

func readVisit(name string) visitName {
	words := nameWords(name)
	var stem, visit []string
	for i := 0; i < len(words); i++ {
		w := words[i]
		next := ""
		if i+1 < len(words) {
			next = words[i+1]
		}
		switch {
		case isYear(w), againWords[w] && len(words) > 1 && (!ordinalWords[w] || visitWords[next] || timeWords[next]), monthWords[w] && isYear(next), droppedWords[w] && len(visit) > 0 && i == len(words)-1 && len(stem) > 0:
			visit = append(visit, w)
			if ordinalWords[w] {
				i++
			}
		case (visitWords[w] || len(w) == 1 && w == "v") && isNumber(next) && next != "", isNumber(w) && (visitWords[next] || timeWords[next]):
			visit = append(visit, w, next)
			i++
		default:
			stem = append(stem, w)
		}
	}
	number := ""
	if n := len(stem); n > 1 && (isNumber(stem[n-1]) || len(stem[n-1]) == 1) {
		number, stem = stem[n-1], stem[:n-1]
	}
	return visitName{strings.Join(stem, " "), strings.Join(visit, " "), number}
}

// visitOf is what a feature says, by its name, its folder and its layer, of when it was
// measured, with the rest of its name.
func visitOf(f *Feature) visitName {
	n := visitNames.get(f.Name)
	folder := f.Attributes.Get(schema.PropFolder)
	for _, v := range append(folder.Items(), folder, f.Attributes.Get(schema.PropLayer)) {
		if text := v.Text(); text != "" {
			if in := visitNames.get("- " + text).visit; in != "" {
				n.visit = strings.TrimSpace(n.visit + " " + in)
			}
		}
	}
	return n
}

// secondSurvey reports whether by two names of one stem the things may be one, and
// whether that is said by when they were measured rather than by a number alone.
func secondSurvey(a, b visitName) (may, said bool) {
	switch {
	case a.number == b.number:
		return a.visit != b.visit, true
	case a.number == "" || b.number == "":
		return true, a.visit != b.visit
	}
	return false, false // Tree 1 and Tree 2
}

// namedThing is a thing that may have been surveyed twice.
type namedThing struct {
	f    *Feature
	name visitName
}

// surveyedTwice notes things of one role whose names differ by when they were measured,
// or by a number, and which lie beside one another as two surveys of one thing do. Where
// several do so by the same step, it says that.
func (r *run) surveyedTwice() {
	groups := map[string][]namedThing{}
	var keys []string // in the order of the plan
	for _, f := range r.Features {
		switch f.Role {
		case schema.RoleHazard, schema.RoleEdge, schema.RoleBuilding, schema.RoleSupply, schema.RoleDock, schema.RoleCorridor, schema.RoleOther:
		default:
			continue
		}
		if f.Name == "" || !f.usable() || isDrawingText(f) {
			continue
		}
		n := visitOf(f)
		key := string(f.Role) + " " + string(edgeKind(f)) + " " + n.stem
		if groups[key] == nil {
			keys = append(keys, key)
		}
		groups[key] = append(groups[key], namedThing{f, n})
	}
	var steps []orb.Point
	for _, key := range keys {
		if list := groups[key]; len(list) > 1 {
			steps = r.twiceAmong(list, steps)
		}
	}
	r.oneStep(steps)
}

// twiceAmong looks at things of one role and stem, and adds the steps of those that were
// surveyed twice.
func (r *run) twiceAmong(list []namedThing, steps []orb.Point) []orb.Point {
	boxes := make([]orb.Bound, len(list))
	for i := range list {
		boxes[i] = list[i].f.bound
	}
	index := plane.NewBoxes(boxes)
	var near []int
	for i := range list {
		near = index.Search(boxes[i].Pad(surveyedTwiceM), near[:0])
		slices.Sort(near)
		for _, k := range near {
			if k <= i {
				continue
			}
			may, said := secondSurvey(list[i].name, list[k].name)
			if !may || r.toldTogether(list[i].f, list[k].f) {
				continue
			}
			if step, ok := r.tellSurveyed(list[i].f, list[k].f, said); ok {
				steps = append(steps, step)
			}
		}
	}
	return steps
}

// toldTogether reports whether a finding of this rule is about both of two things.
func (r *run) toldTogether(a, b *Feature) bool {
	return slices.ContainsFunc(r.findings, func(x Finding) bool {
		return slices.Contains(x.Features, a.Feature) && slices.Contains(x.Features, b.Feature)
	})
}

// tellSurveyed judges two things, said where their names say that they were measured at
// two times, and returns the step from the first to the second.
func (r *run) tellSurveyed(a, b *Feature, said bool) (step orb.Point, ok bool) {
	least := 2 * math.Min(r.of(a).SurveySigmaM, r.of(b).SurveySigmaM)
	off, long, step, ok := apartDrawn(a, b)
	if !ok || off <= least+slackM || off > surveyedTwiceM+slackM {
		return step, false
	}
	if !said && long < copyLong*off {
		return step, false // sockets, trees and benches stand side by side
	}
	if len(r.findings) < mostFindings {
		x := r.finding(r.middle(b), b, a)
		x.Severity = Note
		x.Measured, x.Limit, x.Unit = off, least, "m"
		x.Message = fmt.Sprintf("is by its name and its shape %s surveyed a second time, and lies up to %s beside it: one of the two surveys is wrong, or it was moved; measure it once more, and take the wrong one out; where two are there, name them so that they tell apart", a.describe(), metresPast(off, least))
	}
	return step, true
}

// drawnAs is what a feature draws with one kind of geometry, points or lines, to which
// the outlines of areas belong; nil where it has several.
func drawnAs(f *Feature) orb.Geometry {
	switch points, lines, areas := len(f.Points) > 0, len(f.Lines) > 0, len(f.Areas) > 0; {
	case points && !lines && !areas:
		var out orb.MultiPoint
		for i := range f.Points {
			out = append(out, f.Points[i].Ground)
		}
		return out
	case !points && lines != areas:
		return orb.MultiLineString(f.lines())
	}
	return nil
}

// verticesOf are the vertices of what drawnAs returned.
func verticesOf(g orb.Geometry) []orb.Point {
	if points, ok := g.(orb.MultiPoint); ok {
		return points
	}
	var out []orb.Point
	lines, _ := g.(orb.MultiLineString)
	for _, l := range lines {
		out = append(out, l...)
	}
	return out
}

// apartDrawn is how far from what the other draws a vertex of either of two features
// lies at the most, which is the Hausdorff distance of points and of lines that run
// alike (Rockafellar and Wets, Variational Analysis, 4C), how long the shorter of the
// two reaches, and the step from the middle of the first to that of the second; ok is
// false where they are not drawn alike.
func apartDrawn(a, b *Feature) (off, long float64, step orb.Point, ok bool) {
	p, q := drawnAs(a), drawnAs(b)
	if p == nil || q == nil || p.GeoJSONType() != q.GeoJSONType() || (len(a.Areas) > 0) != (len(b.Areas) > 0) {
		return 0, 0, step, false
	}
	c, d := a.bound.Center(), b.bound.Center()
	step = orb.Point{d[0] - c[0], d[1] - c[1]}
	for axis := range 2 { // as the boxes lie, so must the shapes at the least
		if math.Abs(a.bound.Min[axis]-b.bound.Min[axis]) > surveyedTwiceM+slackM || math.Abs(a.bound.Max[axis]-b.bound.Max[axis]) > surveyedTwiceM+slackM {
			return math.Inf(1), 0, step, false
		}
	}
	long = math.Min(distance(a.bound.Min, a.bound.Max), distance(b.bound.Min, b.bound.Max))
	for _, one := range [2]struct {
		from, to orb.Geometry
	}{{p, q}, {q, p}} {
		gauge := plane.NewGauge(one.to)
		for _, v := range verticesOf(one.from) {
			away, _, _, near := gauge.Within(plane.NewGauge(v), surveyedTwiceM+2*slackM)
			if !near {
				return math.Inf(1), long, step, true
			}
			off = math.Max(off, away)
		}
	}
	return off, long, step, true
}

// oneStep warns where three things or more that were surveyed twice all lie off by the
// same.
func (r *run) oneStep(steps []orb.Point) {
	if len(steps) < leastSteps {
		return
	}
	mean, ok := sameStep(steps, 2*r.limits.SurveySigmaM)
	if !ok {
		return
	}
	x := r.finding(nil)
	x.Measured, x.Unit = math.Hypot(mean[0], mean[1]), "m"
	x.Message = fmt.Sprintf("%d things that were surveyed twice lie off by the same, %s east and %s north: the frame or the base of one of the two visits is off, and with it all else that was measured then; measure the marks once more, and run drift with them", len(steps), metres(mean[0]), metres(mean[1]))
}

// leastSteps is from how many things on a step common to all is none by chance (common
// practice, no source).
const leastSteps = 3

// sameStep is the mean of steps, ok false where one lies farther from it than most.
func sameStep(steps []orb.Point, most float64) (mean orb.Point, ok bool) {
	for _, s := range steps {
		mean[0] += s[0] / float64(len(steps))
		mean[1] += s[1] / float64(len(steps))
	}
	for _, s := range steps {
		if distance(s, mean) > most+slackM {
			return mean, false
		}
	}
	return mean, true
}
