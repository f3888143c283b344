// Marks that are called after a quarter of the site and lie in another, and after a
// corner of a house that nobody drew: of name-contradicts.

package validate

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"sync"

	"github.com/paulmach/orb"

	"swardline/schema"
	"swardline/validate/plane"
)

// quarterWords are words of two of compassWords written as one, and short ones, by
// their signs to the east and to the north. O is east in some languages and west in
// others, and says nothing.
var quarterWords = sync.OnceValue(func() map[string][2]int {
	out := map[string][2]int{"ne": {1, 1}, "nw": {-1, 1}, "se": {1, -1}, "sw": {-1, -1}, "nø": {1, 1}, "nö": {1, 1}, "sø": {1, -1}, "sö": {1, -1}}
	for ns, up := range map[string]int{"north nord noord nor norr": 1, "south süd sued sud zuid sur syd sør": -1} {
		for ew, right := range map[string]int{"east ost oost est este øst öst": 1, "west ouest oeste ovest vest väst": -1} {
			for a := range strings.FieldsSeq(ns) {
				for b := range strings.FieldsSeq(ew) {
					out[a+b] = [2]int{right, up}
				}
			}
		}
	}
	return out
})

// ofSite are words of marks beside what says a quarter, with which the quarter is one of
// the site (common practice, no source).
var ofSite = setOf("peg pegs nail pin spike stake bolt rod reference control survey site plot ground boundary property limit " +
	"pflock nagel bolzen grenzpunkt grundstück festpunkt passpunkt borne clou piquet terrain estaca clavo paal nagel picchetto chiodo spik pel tomt")

// besideQuarter are words that leave a quarter one of the site.
var besideQuarter = setOf("in the side im der die seite")

// markQuarter is the quarter of the site in which a mark lies by its name, as signs to
// the east and to the north, 0 where it says nothing of that.
var markQuarter = remembered[[2]int]{of: func(name string) (out [2]int) {
	for _, w := range letterWords(name) {
		to, ok := quarterWords()[w]
		if !ok {
			c, one := compassWords[w]
			if one && c[0] == len(to) {
				continue // upper and lower are no quarters
			}
			if one {
				to[c[0]], ok = c[1], true
			}
		}
		switch {
		case ok:
			for axis, sign := range to {
				if sign != 0 && out[axis] != 0 {
					return [2]int{} // of two places
				}
				out[axis] += sign
			}
		case len(w) == 1 || markWords[w] || ofSite[w] || dockNames[w] || besideQuarter[w] || slices.Contains(cornerNames, w):
		default:
			return [2]int{} // of something else
		}
	}
	return out
}}

// A mark lies in another quarter than its name says where it is more than quarterShare of
// the site past its middle (common practice, no source).
const quarterShare = 0.25

// marksQuartered notes marks that lie on the other side of the site than their names say,
// and are in no order with one that is called after the other side.
func (r *run) marksQuartered() {
	if r.Frame != FrameEarth {
		return
	}
	var site orb.Bound
	for _, m := range slices.Concat(r.usableOf(schema.RoleMark), r.usableOf(schema.RoleDock), r.usableOf(schema.RoleEdge)) {
		to := quarterOf(m)
		if to == [2]int{} {
			continue
		}
		if site.IsZero() {
			site = r.siteBound()
		}
		middle := site.Center()
		for axis, sign := range to {
			p := m.bound.Min // what reaches farthest to the side of its name
			if sign > 0 {
				p = m.bound.Max
			}
			past := (middle[axis] - p[axis]) * float64(sign)
			if limit := math.Max(compassM, quarterShare*(site.Max[axis]-site.Min[axis])); sign == 0 || past <= limit+slackM || r.inOrder(m, axis, sign) {
				continue
			}
			x := r.finding(r.Place(p), m)
			x.Severity = Note
			x.Measured, x.Unit = past, "m"
			x.Message = fmt.Sprintf("its name says %s, and it lies %s past the middle of the site on the other side: is the drawing turned or mirrored, are two coordinates or two marks exchanged? measure it again, or give it another name", quote(m.Name), metres(past))
			break
		}
	}
}

// quarterOf is the quarter that the name of a mark, a dock or a fence says. A wall may be
// that of a house.
func quarterOf(m *Feature) [2]int {
	switch {
	case m.Role == schema.RoleEdge && edgeKind(m) != schema.EdgeFence, m.Role != schema.RoleEdge && len(m.Points) != 1:
		return [2]int{}
	case m.Role == schema.RoleEdge:
		return fenceQuarter.get(m.Name)
	}
	return markQuarter.get(m.Name)
}

// fenceQuarter is markQuarter of a fence, without its own word: North fence, Nordzaun.
var fenceQuarter = remembered[[2]int]{of: func(name string) [2]int {
	words, fence := letterWords(name), false
	for i, w := range words {
		for _, own := range fenceWords[:9] {
			if stem, ok := strings.CutSuffix(w, own); ok {
				words[i], fence = stem, true
			}
		}
	}
	if !fence {
		return [2]int{}
	}
	return markQuarter.get(strings.Join(words, " "))
}}

// lawnsQuartered notes a lawn called after a quarter that lies past the middle of all
// lawns on the other side, farther than any other, with no building, nor lawn of the
// other quarter, that makes its name one of where it lies to that.
func (r *run) lawnsQuartered(told map[int]bool) {
	zones := r.usableOf(schema.RoleZone)
	if r.Frame != FrameEarth || len(zones) < 2 {
		return
	}
	var all orb.Bound
	for _, f := range zones {
		n := compassNames.get(f.Name)
		if !n.ok || n.axis > 1 || told[f.Index] {
			continue
		}
		if all.IsZero() {
			all = zones[0].bound
			for _, z := range zones {
				all = all.Union(z.bound)
			}
		}
		low, high := f.bound.Min[n.axis], f.bound.Max[n.axis]
		past := all.Center()[n.axis] - high
		if n.sign < 0 {
			past = low - all.Center()[n.axis]
		}
		if past <= compassM+slackM || !r.outermost(f, zones, n.axis, n.sign) || r.liesTo(f, n.axis, n.sign) {
			continue
		}
		x := r.finding(r.middle(f), f)
		x.Severity = Note
		x.Measured, x.Limit, x.Unit = past, compassM, "m"
		x.Message = fmt.Sprintf("its name says %s, and it lies %s past the middle of all lawns on the other side, and none farther: is the drawing turned or mirrored, or are two names exchanged?", quote(f.Name), metresPast(past, compassM))
	}
}

// outermost reports whether no lawn lies farther to the side that is opposite to a sign
// along an axis, none called after the same side lies farther to that, and one lies
// farther to it with all of it.
func (r *run) outermost(f *Feature, zones []*Feature, axis, sign int) bool {
	at, beyond := f.bound.Center()[axis], false
	for _, z := range zones {
		if z == f {
			continue
		}
		before := (at - z.bound.Center()[axis]) * float64(sign)
		if n := compassNames.get(z.Name); before > slackM || before < -slackM && n.ok && n.axis == axis && n.sign == sign {
			return false
		}
		if sign > 0 {
			beyond = beyond || z.bound.Min[axis] >= f.bound.Max[axis]-slackM
		} else {
			beyond = beyond || z.bound.Max[axis] <= f.bound.Min[axis]+slackM
		}
	}
	return beyond
}

// liesTo reports whether a lawn lies to the side that it is called after of a building,
// or of water, after which it may be called.
func (r *run) liesTo(f *Feature, axis, sign int) bool {
	at := f.bound.Center()[axis]
	return slices.ContainsFunc(slices.Concat(r.usableOf(schema.RoleBuilding), r.usableOf(schema.RoleHazard)), func(b *Feature) bool {
		if b.Role == schema.RoleHazard && kindsOf(b).gravest != "water" && kindsOf(b).gravest != "road" {
			return false
		}
		low, high := b.bound.Min[axis], b.bound.Max[axis]
		if sign > 0 {
			return high < at-slackM
		}
		return low > at+slackM
	})
}

// siteBound is the box of lawns and boundaries.
func (r *run) siteBound() orb.Bound {
	box := orb.Bound{Min: orb.Point{math.Inf(1), math.Inf(1)}, Max: orb.Point{math.Inf(-1), math.Inf(-1)}}
	for _, role := range [...]schema.Role{schema.RoleZone, schema.RoleBoundary} {
		for _, f := range r.usableOf(role) {
			box = box.Union(f.bound)
		}
	}
	return box
}

// inOrder reports whether another mark is called after the other side along an axis and
// lies on that side of this one, as of two about a house.
func (r *run) inOrder(m *Feature, axis, sign int) bool {
	return slices.ContainsFunc(r.usableOf(m.Role), func(o *Feature) bool {
		return quarterOf(o)[axis] == -sign && (m.bound.Center()[axis]-o.bound.Center()[axis])*float64(sign) > slackM
	})
}

// cornerUndrawn notes a mark that is called after a corner of a building, with driven
// ground within nameFarM and no building there, and one that is called after a corner of
// the boundary, which is drawn all round, with no corner of it within nameFarM.
func (r *run) cornerUndrawn(f *Feature, nearest float64, house, limit bool) {
	if nearest < nameFarM || len(r.findings) >= mostFindings {
		return
	}
	at := f.Points[0].Ground
	if !house {
		list := r.usableOf(schema.RoleBoundary)
		if limit && len(list) == 1 && len(list[0].Areas) > 0 && namesSay.get(f.Name).others == "" {
			r.nameNote(f, "its name says a corner of the boundary, and none is drawn within %s of it: one of the two lies elsewhere; measure it again, or give it another name", metres(nameFarM))
		}
		return
	}
	if slices.ContainsFunc(r.usableOf(schema.RoleBuilding), func(b *Feature) bool {
		_, _, _, near := plane.NewGauge(at).Within(plane.NewGauge(orb.MultiLineString(b.lines())), nameFarM)
		return near
	}) {
		return
	}
	if d, of := r.drivenWithin(at, nameFarM, r.zones(), r.corridors()); of != nil && d <= nameFarM+slackM {
		r.nameNote(f, "its name says a corner of a building, and none is drawn within %s of it, where %s is %s off: draw the building, or is its place right?", metres(nameFarM), of.describe(), metres(d))
	}
}
