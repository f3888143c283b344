// Whose ground it is, by what boundaries and zones say, and what else stands outside
// the property: what of boundary-crossed is about it.

package validate

import (
	"fmt"
	"slices"
	"strings"

	"github.com/paulmach/orb"

	"swardline/schema"
	"swardline/validate/plane"
)

// clientKeys are names of properties beside ownerKeys that say whose ground it is,
// useKeys those that say what it is, folded; publicWords are words for ground of
// all, and plotEnds close words for ground that are written as one (common practice,
// no source).
var (
	clientKeys  = strings.Fields("client customer proprietor kunde proprietaire cliente klant eier ejer kund asiakas")
	useKeys     = strings.Fields("use usage landuse nutzung uso gebruik kind type category")
	publicWords = strings.Fields("public municipal communal communale gemeinde stadt öffentlich öffentliche öffentlicher state crown council military militär militaire unknown unbekannt inconnu pública público publique publico openbaar pubblico offentlig julkinen")
	// parkNames end the name of ground that is everybody's, and is no owner's plot.
	parkNames = setOf("park stadtpark common cemetery friedhof cimetière cementerio begraafplaats cimitero")
	plotEnds  = strings.Fields("grundstück flurstück gelände parzelle fläche perceel grund")
)

// ownerSaid is whose a feature says that it is, "" for nothing.
func ownerSaid(f *Feature) string {
	for _, a := range f.Attributes {
		if a.Value.Kind() == schema.KindString && (slices.Contains(ownerKeys, foldKey(a.Key)) || slices.Contains(clientKeys, foldKey(a.Key))) {
			if text := strings.TrimSpace(a.Value.Text()); text != "" {
				return text
			}
		}
	}
	return ""
}

// strangeGround is the word by which a boundary's name or properties say a road,
// water, a drop, or that it is another's; "" for none.
func strangeGround(f *Feature) string {
	if _, word := graverSaying(f); word != "" {
		return word
	}
	if word := penWord(f.Name); word != "" {
		return word
	}
	words := letterWords(f.Name)
	if n := len(words); n > 0 && parkNames[words[n-1]] {
		return words[n-1]
	}
	for _, w := range words {
		if slices.Contains(publicWords, w) || strings.HasPrefix(w, "gemeinde") {
			return w
		}
		for _, end := range plotEnds {
			if rest := strings.TrimSuffix(w, end); rest != w && hazardRank[kindOfWord(rest)] >= hazardRank["road"] {
				return w
			}
		}
	}
	for _, a := range f.Attributes {
		if a.Value.Kind() == schema.KindString && a.Key != schema.PropRole {
			if says := namesSay.get(a.Value.Text()); says.others != "" {
				return says.others
			}
			if _, word := graverName(a.Value.Text()); word != "" && slices.Contains(useKeys, foldKey(a.Key)) {
				return word
			}
		}
	}
	return ""
}

// ownedBoundary is a boundary that closes, with its ground.
type ownedBoundary struct {
	f     *Feature
	areas orb.MultiPolygon
	box   orb.Bound
	owner string
}

// owners tells zones and corridors that reach from one boundary into another that
// says another owner, or ground that is nobody's lawn, and zones of another owner
// than the boundary that they lie in.
func (r *run) owners(zones *solids) {
	var list []ownedBoundary
	for _, f := range r.usableOf(schema.RoleBoundary) {
		b := ownedBoundary{f: f, box: f.bound, owner: ownerSaid(f)}
		if len(f.Areas) > 0 {
			b.areas = r.solidOf(f).areas
		}
		for i := range f.Lines {
			if l := f.Lines[i]; len(l.Ground) > 3 && closes(l) {
				b.areas = append(b.areas[:len(b.areas):len(b.areas)], orb.Polygon{orb.Ring(l.Ground)})
			}
		}
		if len(b.areas) > 0 {
			list = append(list, b)
		}
	}
	for i := range list {
		for k := range list[:i] {
			r.ownersDiffer(&list[k], &list[i], zones)
		}
	}
	for i, z := range zones.features {
		own := ownerSaid(z)
		if own == "" {
			continue
		}
		for k := range list {
			b := &list[k]
			if b.owner == "" || schema.FoldName(b.owner) == schema.FoldName(own) || !b.box.Intersects(zones.bounds[i]) {
				continue
			}
			if _, width, at := r.overlap(zones.areas[i], zones.bounds[i], b.areas, b.box); width > nestedWidthM {
				x := r.finding(r.Place(at), z, b.f)
				x.Severity = Note
				x.Message = fmt.Sprintf("says that it is %s, and %s, in which it lies, that it is %s: is the consent of both there? Put right which is wrong", quote(own), b.f.describe(), quote(b.owner))
				break
			}
		}
	}
}

// ownersDiffer tells of one pair of boundaries.
func (r *run) ownersDiffer(a, b *ownedBoundary, zones *solids) {
	why := ""
	wa, wb := strangeGround(a.f), strangeGround(b.f)
	switch {
	case schema.FoldName(a.owner) != schema.FoldName(b.owner):
		says := func(s string) string {
			if s == "" {
				return "nobody"
			}
			return quote(s)
		}
		why = fmt.Sprintf("the one says as its owner %s, the other %s", says(a.owner), says(b.owner))
	case wa != "" && wb == "":
		why = fmt.Sprintf("the first says %s", quote(wa))
	case wb != "" && wa == "":
		why = fmt.Sprintf("the second says %s", quote(wb))
	default:
		return
	}
	tell := func(f *Feature, at orb.Point) {
		x := r.finding(r.Place(at), f, a.f, b.f)
		x.Severity = Note
		x.Message = fmt.Sprintf("lies in %s and reaches into %s, and %s: boundaries that touch are taken for one property; where the one is not, switch its boundary off or give it the role other, else give both one owner", a.f.describe(), b.f.describe(), why)
	}
	for i, z := range zones.features {
		if !zones.bounds[i].Intersects(a.box) || !zones.bounds[i].Intersects(b.box) {
			continue
		}
		_, inA, _ := r.overlap(zones.areas[i], zones.bounds[i], a.areas, a.box)
		if _, inB, at := r.overlap(zones.areas[i], zones.bounds[i], b.areas, b.box); inA > nestedWidthM && inB > nestedWidthM {
			tell(z, at)
			return
		}
	}
	for _, c := range r.corridors() {
		if box := boundOf(c.pts); !box.Intersects(a.box) || !box.Intersects(b.box) {
			continue
		}
		inA, inB := clipInside(c.pts, a.areas), clipInside(c.pts, b.areas)
		if len(inA) > 0 && len(inB) > 0 {
			tell(c.f, inB[0][0])
			return
		}
	}
}

// besidePlotM is how far outside the property, in metres, a base or an outlet is
// taken to belong to it: one farther off has a place of its own (common practice, no
// source).
const besidePlotM = 50.0

// standOutside tells bases and outlets that stand outside the property, beside it.
func (r *run) standOutside(property *solids, owner *Feature) {
	for _, role := range [...]schema.Role{schema.RoleBase, schema.RoleSupply} {
		for _, f := range r.usableOf(role) {
			for i := range f.Points {
				p := f.Points[i].Ground
				in, edge := property.depthIn(p)
				if -in <= slackM || -in > besidePlotM+slackM {
					continue
				}
				x := r.finding(r.placeRead(f, f.Points[i].Read, p), f, owner)
				x.Severity = Note
				x.Measured, x.Limit, x.Unit = -in, 0, "m"
				x.Trace = r.trace(p, edge)
				x.Message = "stands " + metres(-in) + " outside the boundary: is it allowed there, and who may move it or cut it off? Correct its place, or the boundary"
			}
		}
	}
}

// cableAcross reports whether a cable from a to b of at most so many metres has to
// cross a road or water, and which: the shortest way round it is longer.
func (r *run) cableAcross(a, b orb.Point, most float64) *Feature {
	line := orb.LineString{a, b}
	box := boundOf(line)
	for _, f := range r.usableOf(schema.RoleHazard) {
		k := kindsOf(f)
		if k.open || k.gravest != "road" && k.gravest != "water" || !f.bound.Pad(f.growth()).Intersects(box) {
			continue
		}
		s := r.hazardShape(f)
		shape := s.geometry()
		if s.why != "" || shape == nil || len(s.areas)+len(s.lines) == 0 || s.covers(a) || s.covers(b) {
			continue
		}
		if _, _, _, near := plane.NewGauge(line).Within(plane.NewGauge(shape), slackM); !near {
			continue
		}
		if fartherRound(append(ringLines(s.areas), s.lines...), a, b, most) {
			return f
		}
	}
	return nil
}

// fartherRound reports whether the way from a to b round lines is longer than most.
func fartherRound(lines []orb.LineString, a, b orb.Point, most float64) bool {
	pts := []orb.Point{a, b}
	for _, l := range lines {
		pts = append(pts, l...)
	}
	round, ok := wayRound(hull(pts), a, b)
	return ok && round > most+slackM
}

// wayRound is the shorter of the two ways along a hull from a to b; ok is false
// where one of them is no corner of it.
func wayRound(ring []orb.Point, a, b orb.Point) (length float64, ok bool) {
	i, k := slices.Index(ring, a), slices.Index(ring, b)
	if i < 0 || k < 0 {
		return 0, false
	}
	if i > k {
		i, k = k, i
	}
	one := groundLength(ring[i : k+1])
	all := groundLength(ring) + distance(ring[len(ring)-1], ring[0])
	return min(one, all-one), true
}

// hull are the corners of the convex hull of points, anticlockwise (the monotone
// chain of A. M. Andrew, Information Processing Letters 9 (1979) 216).
func hull(pts []orb.Point) []orb.Point {
	slices.SortFunc(pts, func(a, b orb.Point) int { return slices.Compare(a[:], b[:]) })
	pts = slices.Compact(pts)
	if len(pts) < 3 {
		return pts
	}
	half := func() []orb.Point {
		var out []orb.Point
		for _, p := range pts {
			for len(out) > 1 && plane.Orient(out[len(out)-2], out[len(out)-1], p) <= 0 {
				out = out[:len(out)-1]
			}
			out = append(out, p)
		}
		return out[:len(out)-1]
	}
	low := half()
	slices.Reverse(pts)
	return append(low, half()...)
}
