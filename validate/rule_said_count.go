// What a feature says of how many points, parts or things it has, and of where its
// middle or its box lies, held against what is drawn: part of geometry-unfit.

package validate

import (
	"math"
	"regexp"
	"slices"
	"strings"

	"swardline/schema"
)

// countWords are names of properties that count points, folded, thingWords those that
// count things, and itemWords members of a plan that count its features (common
// practice, no source). A number, numéro or nombre is a place in a list.
var (
	countWords = strings.Fields("points pointcount pointscount npoints numpoints nopoints numberofpoints vertices vertexcount nvertices numvertices verts numberofvertices corners nodes nodecount coordinates coords punkte anzahlpunkte punktanzahl stützpunkte sommets nbpoints vértices puntos punten vertici punti punkter hjørner pisteet")
	thingWords = strings.Fields("count quantity qty anzahl menge quantité cantidad aantal quantità antal antall määrä stück pieces parts part_count partcount numparts")
	itemWords  = strings.Fields("count features featurecount nfeatures numfeatures featurescount numberoffeatures total totalfeatures objects objectcount items itemcount anzahl elements entities")
)

// countKey is what a property counts.
type countKey uint8

const (
	countsNothing countKey = iota
	countsPoints
	countsThings
)

var countKeys = remembered[countKey]{of: func(key string) countKey {
	k := foldKey(key)
	switch {
	case slices.Contains(countWords, k):
		return countsPoints
	case slices.Contains(thingWords, k):
		return countsThings
	}
	return countsNothing
}}

// countsSaid records features that say more points or things than they have, or, of
// points, fewer, and a plan that says another count of features than it holds: some
// were lost on the way, or were never drawn.
func (r *run) countsSaid() {
	for _, f := range r.Features {
		if !f.usable() {
			continue
		}
		for i := range f.Attributes {
			a := &f.Attributes[i]
			what := countKeys.get(a.Key)
			if what == countsNothing {
				continue
			}
			said, ok := schema.NumberSaid(a.Value)
			if !ok || said < 2 || said != math.Trunc(said) {
				continue
			}
			parts, points, closing := drawnCount(f)
			switch {
			case said == points || said == points+closing || what == countsThings && said == parts:
				continue
			case what == countsThings && said < points && f.Role != schema.RoleHazard: // beds, slabs: in one outline
				continue
			}
			r.cannot("%s says %s %s, and what is drawn has %s and %s: was something lost, or not drawn? draw what is missing, or correct the count", f.describe(), a.Key, trim(said, 0), plural(int(points), "point"), plural(int(parts), "part"))
		}
	}
	r.partsSaid()
	has := float64(len(r.Plan.Features))
	for _, a := range r.Plan.Attributes {
		if n, ok := schema.NumberSaid(a.Value); ok && n > has && slices.Contains(itemWords, foldKey(a.Key)) {
			r.cannot("the plan says %s %s, and it holds %s: was something lost on the way? ask for all of them, or take the count out", a.Key, trim(n, 0), plural(int(has), "feature"))
		}
	}
}

// drawnCount is of how many parts and points a feature is drawn, and how many points
// more it has where each ring's first is counted again at its end.
func drawnCount(f *Feature) (parts, points, closing float64) {
	for i := range f.Areas {
		for _, ring := range f.Areas[i].Ground {
			n := len(ring)
			if n > 1 && ring[0] == ring[n-1] {
				n--
			}
			points += float64(n)
			closing++
		}
	}
	for i := range f.Lines {
		points += float64(len(f.Lines[i].Ground))
	}
	return float64(len(f.Areas) + len(f.Lines) + len(f.Points)), points + float64(len(f.Points)), closing
}

// frameSaid records where a feature's box or middle, as a property says it, does not
// lie on its geometry: one of the two was moved.
func (r *run) frameSaid(f *Feature) {
	if f.Geometry == nil || f.Invalid != "" {
		return
	}
	for i := range f.Attributes {
		a := &f.Attributes[i]
		if k := a.Value.Kind(); k != schema.KindList && k != schema.KindObject || !slices.Contains(extentMembers, foldKey(a.Key)) {
			continue
		}
		low, high := boxRead(f.Geometry)
		unit := [2]float64{1, 1}
		if crs := r.Plan.CRS; crs != nil && crs.IsDegrees() {
			unit = [2]float64{metresDegree * math.Cos(low[1]*math.Pi/180), metresDegree}
		}
		least, any := 0.0, false
		for _, p := range saidPositions(a.Value) {
			off := math.Inf(1)
			for _, q := range [2][2]float64{p, {p[1], p[0]}} { // in either order
				d := 0.0
				for axis := range q {
					d = math.Max(d, math.Max(low[axis]-q[axis], q[axis]-high[axis])*unit[axis])
				}
				off = math.Min(off, d)
			}
			least, any = math.Max(least, off), true
		}
		if any && least > placeOffM && least <= sameGridM {
			r.cannot("%s says a %s that lies %s outside its geometry: which of the two was moved? correct the wrong one, or take it out", f.describe(), a.Key, metres(least))
		}
	}
}

// saidPositions are the positions that a box (four numbers, or six with heights) or
// a middle says.
func saidPositions(v schema.Value) [][2]float64 {
	items := v.Items()
	if n := len(items); n == 4 || n == 6 {
		if all := numbersIn(items); len(all) == n {
			return [][2]float64{{all[0], all[1]}, {all[n/2], all[n/2+1]}}
		}
	}
	return positionsIn(nil, v)
}

// numbersIn are the numbers among values.
func numbersIn(items []schema.Value) (out []float64) {
	for _, item := range items {
		if x, ok := item.Float(); ok {
			out = append(out, x)
		}
	}
	return out
}

// partName finds in a name, or in a property that numbers a thing, that it is one of
// several: 1 of 2, 1/2 at the end.
var partName = regexp.MustCompile(`\b([0-9]{1,2}) ?(?:of|von|de|di|van|av|af|sur) ?([0-9]{1,2})\b|\b([0-9]{1,2}) ?/ ?([0-9]{1,2})\W*$`)

// numberKeys are names of properties that number a thing, folded.
var numberKeys = strings.Fields("number nr no num part partno index sheet nummer teil numéro numero número nombre partie parte deel blad antal osa numer")

// partOfSeveral is what a thing says of its number among several.
type partOfSeveral struct {
	f     *schema.Feature
	k, n  int
	words []string
}

var partSays = remembered[[2]int]{of: func(text string) (out [2]int) {
	m := partName.FindStringSubmatch(strings.ToLower(text))
	if m == nil {
		return out
	}
	k, n := atoi(m[1]+m[3]), atoi(m[2]+m[4])
	if k < 1 || k > n || n < 2 || n > mostSheets {
		return out
	}
	return [2]int{k, n}
}}

// partIn is what a feature's name, or a property that numbers it, says of that; n is
// 0 where nothing does.
func partIn(f *schema.Feature) partOfSeveral {
	p := partSays.get(f.Name)
	for i := 0; p[1] == 0 && i < len(f.Attributes); i++ {
		if a := &f.Attributes[i]; a.Value.Kind() == schema.KindString && len(a.Value.Text()) < 12 && slices.Contains(numberKeys, foldKey(a.Key)) {
			p = partSays.get(a.Value.Text())
		}
	}
	return partOfSeveral{f: f, k: p[0], n: p[1]}
}

// partsSaid records things to keep off that say they are one of several, where
// another of them is not drawn.
func (r *run) partsSaid() {
	var all []partOfSeveral
	add := func(f *schema.Feature) {
		switch f.Role {
		case schema.RoleHazard, schema.RoleKeepout, schema.RoleBuilding, schema.RoleEdge, schema.RoleBoundary, schema.RoleOther:
			if p := partIn(f); p.n > 0 {
				p.words = letterWords(f.Name)
				all = append(all, p)
			}
		}
	}
	for _, f := range r.Plan.Features {
		if f != nil {
			add(f)
		}
	}
	for i := range all {
		p := &all[i]
		for k := 1; k <= p.n; k++ {
			if k != p.k && !slices.ContainsFunc(all, func(q partOfSeveral) bool { return q.f.Role == p.f.Role && q.n == p.n && q.k == k && sharesWord(p, &q) }) {
				r.cannot("%s says that it is number %d of %d, and number %d is not drawn: draw it, or take the number out", describe(p.f), p.k, p.n, k)
				break
			}
		}
	}
}

// sharesWord reports whether the names of two parts have a word in common.
func sharesWord(p, q *partOfSeveral) bool {
	return len(p.words) == 0 || len(q.words) == 0 || slices.ContainsFunc(p.words, func(w string) bool { return len(w) > 2 && slices.Contains(q.words, w) })
}
