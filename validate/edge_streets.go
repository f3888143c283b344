// Streets of which the kerbs alone are drawn, and that end at driven ground: what of
// edge-setback is about two kerbs side by side.

package validate

import (
	"fmt"
	"math"

	"github.com/paulmach/orb"

	"swardline/schema"
	"swardline/validate/plane"
)

// kerbEnd is one end of an open kerb.
type kerbEnd struct {
	f       *Feature
	line    int
	at, way orb.Point // and the unit vector on which it would go on
	l       orb.LineString
	last    bool // of l
}

// kerbEnds are those of all open kerbs that lie near something driven.
func (r *run) kerbEnds(edges []*Feature, zones *solids, corridors []corridorLine) (out []kerbEnd) {
	for _, f := range edges {
		if edgeKind(f) != schema.EdgeKerb || !r.drivenIn(f.bound.Pad(faceAheadM), zones, corridors) {
			continue
		}
		for i := range f.Lines {
			l := f.Lines[i].Ground
			n := len(l)
			if n < 2 || distance(l[0], l[n-1]) <= sidesLeastM {
				continue
			}
			for _, last := range [...]bool{false, true} {
				at := l[0]
				if last {
					at = l[n-1]
				}
				if way, ok := unit(backAlong(l, last, endLeastM), at); ok {
					out = append(out, kerbEnd{f, i, at, way, l, last})
				}
			}
		}
	}
	return out
}

// asStreet is the end of a street that two kerbs, side by side for at least as far as
// they are apart, may be the sides of.
func (a *kerbEnd) asStreet(b *kerbEnd) (e hazardEnd, ok bool) {
	wide := distance(a.at, b.at)
	if a.f == b.f && a.line == b.line || wide < streetLeastM-slackM || wide > streetMostM+slackM || groundLength(a.l) < wide || groundLength(b.l) < wide {
		return e, false
	}
	way, ok := unit(orb.Point{}, orb.Point{a.way[0] + b.way[0], a.way[1] + b.way[1]})
	side, _ := unit(a.at, b.at)
	// Within 30 degrees of one another, ended square or in a slant of up to 45 degrees.
	if !ok || a.way[0]*b.way[0]+a.way[1]*b.way[1] < 0.87 || math.Abs(way[0]*side[0]+way[1]*side[1]) > 0.71 {
		return e, false
	}
	back := distance(backAlong(a.l, a.last, wide), backAlong(b.l, b.last, wide))
	if back < wide/2 || back > streetMostM+slackM {
		return e, false
	}
	at := func(t float64) orb.Point {
		return orb.Point{a.at[0] + t*(b.at[0]-a.at[0]), a.at[1] + t*(b.at[1]-a.at[1])}
	}
	const within = 0.05 // of the width, so that what lies ahead is not looked at along the kerbs
	e = hazardEnd{f: a.f, line: a.line, street: true, other: -1, at: at(0.5), way: way, left: at(within), right: at(1 - within), wide: (1 - 2*within) * wide}
	if a.f == b.f {
		e.other = b.line
	}
	return e, true
}

// edgeStreets records two kerbs, side by side like those of a street, that end
// together and point at driven ground, with nothing drawn between them or ahead that
// says what they are of or where that ends.
func (r *run) edgeStreets(edges []*Feature, zones *solids) {
	corridors := r.corridors()
	ends := r.kerbEnds(edges, zones, corridors)
	if len(ends) < 2 {
		return
	}
	boxes := make([]orb.Bound, len(ends))
	for i := range ends {
		boxes[i] = ends[i].at.Bound()
	}
	index := plane.NewBoxes(boxes)
	var streets []streetEnd
	for i := range ends {
		for _, k := range index.Search(boxes[i].Pad(streetMostM+slackM), nil) {
			a, b := &ends[i], &ends[k]
			if k <= i || saysAny(a.f.Name, pavedWords) && saysAny(b.f.Name, pavedWords) {
				continue
			}
			e, ok := a.asStreet(b)
			if ok && !goesOn(ends, i, k) && r.undrawn(orb.LineString{{e.at[0] - e.wide*e.way[0], e.at[1] - e.wide*e.way[1]}, e.at}) {
				streets = append(streets, streetEnd{e, a, b})
			}
		}
	}
	r.tellStreets(streets, zones, corridors)
}

// streetEnd is the end of a street between two kerbs.
type streetEnd struct {
	hazardEnd
	a, b *kerbEnd
}

// tellStreets records the streets that point at driven ground, and those that do not
// but go on between two other kerbs behind it.
func (r *run) tellStreets(streets []streetEnd, zones *solids, corridors []corridorLine) {
	told := map[[2]*Feature]bool{}
	const mend = "draw it as a hazard of the kind road, or as other with \"driven_over\": true where nobody drives, or the kerb, wall or building that it ends at"
	tell := func(e *streetEnd, of *Feature, off, most float64, format string, more ...any) {
		told[[2]*Feature{e.a.f, e.b.f}] = true
		x := r.finding(r.Place(e.at), e.a.f, e.b.f, of)
		x.Severity = Note
		x.Measured, x.Limit, x.Unit = off, most, "m"
		x.Trace = r.trace(e.a.at, e.b.at)
		x.Message = fmt.Sprintf("runs beside %s, %s apart, "+format+"; "+mend, append([]any{e.b.f.describe(), metres(distance(e.a.at, e.b.at))}, more...)...)
	}
	for i := range streets {
		e := &streets[i]
		if told[[2]*Feature{e.a.f, e.b.f}] {
			continue
		}
		if of, off := r.ahead(&e.hazardEnd, "road", zones, corridors); of != nil {
			tell(e, of, off, aheadM, "and both end %s before %s: whether a street goes on there is not drawn", metres(off), of.describe())
		}
	}
	for i := range streets {
		for k := range i {
			e, o := &streets[k], &streets[i]
			if told[[2]*Feature{e.a.f, e.b.f}] && told[[2]*Feature{o.a.f, o.b.f}] || math.Max(e.wide, o.wide) > gapWider*math.Min(e.wide, o.wide) {
				continue
			}
			if of, off := r.faceFar(&e.hazardEnd, &o.hazardEnd, "road", zones, corridors); of != nil {
				told[[2]*Feature{o.a.f, o.b.f}] = true
				tell(e, of, off, faceAheadM, "and both end before %s, behind which %s and %s go on, %s farther on: whether a street runs through it is not drawn", of.describe(), o.a.f.describe(), o.b.f.describe(), metres(distance(e.at, o.at)))
			} else if of, off := r.turnsIn(&e.hazardEnd, &o.hazardEnd, "road", zones, corridors); of != nil {
				told[[2]*Feature{o.a.f, o.b.f}] = true
				tell(e, of, off, bendAheadM, "and both end before %s and point at it, and so do %s and %s from another side, %s farther on: whether a street turns there is not drawn", of.describe(), o.a.f.describe(), o.b.f.describe(), metres(distance(e.at, o.at)))
			}
		}
	}
}

// goesOn reports whether another kerb goes on from one of two ends.
func goesOn(ends []kerbEnd, i, k int) bool {
	for j := range ends {
		if j != i && j != k && math.Min(distance(ends[j].at, ends[i].at), distance(ends[j].at, ends[k].at)) <= endFree {
			return true
		}
	}
	return false
}
