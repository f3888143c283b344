// Lawns on the far side of a fence that is called the limit of the property, and
// keep-outs that guard nothing while a thing of their name stands elsewhere, for
// name-contradicts.

package validate

import (
	"slices"
	"strings"

	"github.com/paulmach/orb"

	"swardline/schema"
	"swardline/validate/plane"
)

// limitFences are words of fences and walls on whose far side others' ground lies,
// beside railWords (common practice, no source).
var limitFences = strings.Fields("boundary property street road highway motorway neighbour neighbours neighbor neighbors pasture grenze grenzzaun grenzmauer grundstückszaun grundstücksmauer straße strasse straßenzaun strassenzaun straßenmauer strassenmauer nachbar nachbarzaun nachbarn bahnzaun weidezaun koppelzaun " +
	"limite propriété rue route voisin voisins pâturage límite linde propiedad calle carretera vecino vecinos grens erfgrens straat buren weide confine proprietà strada vicino vicini gräns tomtgräns gata väg granne skel gade vej nabo grense vei raja tie naapuri")

// isLimitFence reports whether a wall or fence is called the limit of the property, or,
// by the word, that of ground where animals or children are.
func isLimitFence(f *Feature) (limit bool, pen string) {
	if isDrivenOver(edgeKind(f)) || edgeKind(f) == schema.EdgeDrop || len(f.Lines) == 0 {
		return false, ""
	}
	words := letterWords(f.Name)
	limit = !isBeside(words) && slices.ContainsFunc(words, func(w string) bool { return slices.Contains(limitFences, w) || slices.Contains(railWords, w) })
	return limit, penNamed(f.Name)
}

// lawnsBeyond tells of lawns that such a fence parts from the base and the docks: half
// of a lawn's corners at least, seen from there, lie behind it.
func (r *run) lawnsBeyond(f *Feature) {
	limit, pen := isLimitFence(f)
	if !limit && pen == "" {
		return
	}
	var from []orb.Point
	for _, role := range [...]schema.Role{schema.RoleBase, schema.RoleDock} {
		for _, x := range r.usableOf(role) {
			for i := range x.Points {
				from = append(from, x.Points[i].Ground)
			}
		}
	}
	zones := r.zones()
	for i, z := range zones.features {
		behind := 0
		for _, p := range from {
			if r.partsFrom(f, p, zones.areas[i]) {
				behind++
			}
		}
		if behind == 0 {
			continue
		}
		x := r.finding(r.middle(z), f, z)
		if !limit {
			x.Severity = Note
			x.Message = "its name says " + quote(pen) + ", and " + z.describe() + " lies beyond it as seen from a base or a dock: are animals or children on that ground? take the lawn out or say when it is mown by switching it off, or give the fence another name"
			continue
		}
		if behind < len(from) {
			x.Severity = Note
			x.Message = "is called the limit of the property by its name, and " + z.describe() + " lies beyond it as seen from a base or a dock, and on this side as seen from another: is that ground the owner's, and the fence in its place? correct the name or the one that lies elsewhere"
			continue
		}
		x.Severity = Warning
		x.Message = "is called the limit of the property by its name, and " + z.describe() + " lies beyond it, away from base and docks: is that ground the owner's? take the lawn out, or give the fence another name"
	}
}

// partsFrom reports whether a fence lies between a point and half of the corners of an
// area, or more.
func (r *run) partsFrom(f *Feature, p orb.Point, area orb.MultiPolygon) bool {
	all, behind := 0, 0
	for _, a := range area {
		if len(a) == 0 {
			continue
		}
		for _, q := range a[0][:max(0, len(a[0])-1)] {
			all++
			for i := range f.Lines {
				if crossesOddly(p, q, f.Lines[i].Ground) {
					behind++
					break
				}
			}
		}
	}
	return all > 0 && 2*behind >= all
}

// What a keep-out was drawn round lies elsewhere from strayM, farther than any margin,
// to strayFarM, where it is another (common practice, no source).
// A building needs no margin, so that what was drawn round one lies elsewhere from
// strayHouseM.
const strayM, strayFarM, strayHouseM = 4.0, 30.0, 1.0

// mostAlike is how many things of one name are looked at: where it is that of many it
// says little of any.
const mostAlike = 50

// thingNamed is what a name is alike by: of water and drops its words without those
// of order and size (Old well, Well 1), of all else the name.
var thingNamed = remembered[string]{of: func(name string) string {
	words := letterWords(name)
	if kind, _ := graverName(name); hazardRank[kind] < hazardRank["drop"] || isBeside(words) {
		return name
	}
	return strings.Join(slices.DeleteFunc(words, func(w string) bool { return len(w) == 1 || hazardWords()[w] == kindNone }), " ")
}}

// digitsOf are the digits of a name.
func digitsOf(name string) string {
	return strings.Map(func(c rune) rune {
		if c < '0' || c > '9' {
			return -1
		}
		return c
	}, name)
}

// keepoutsStrayed tells of keep-outs that cover nothing where a hazard of the same
// name, which no keep-out covers, stands elsewhere, and all other keep-outs of the
// name have theirs.
func (r *run) keepoutsStrayed() {
	keepouts, hazards := r.usableOf(schema.RoleKeepout), slices.Concat(r.usableOf(schema.RoleHazard), r.usableOf(schema.RoleBuilding))
	if len(keepouts) == 0 || len(hazards) == 0 {
		return
	}
	alike := map[string][]*Feature{}
	for _, k := range keepouts {
		if n := thingNamed.get(k.Name); n != "" {
			alike[n] = append(alike[n], k)
		}
	}
	bare := map[string][]*Feature{}
	for _, h := range hazards {
		name := thingNamed.get(h.Name)
		if n := len(alike[name]); n == 0 || n > mostAlike || len(bare[name]) > mostAlike {
			continue
		}
		s := r.hazardShape(h)
		if g := s.geometry(); s.why == "" && g != nil && len(r.keepouts().all(g.Bound())) == 0 {
			bare[name] = append(bare[name], h)
		}
	}
	if len(bare) == 0 {
		return
	}
	for _, k := range keepouts {
		name := thingNamed.get(k.Name)
		if b := bare[name]; len(b) > 0 && len(b) <= mostAlike && !r.guards(k) {
			r.keepoutStrayed(k, alike[name], b)
		}
	}
}

// keepoutStrayed is keepoutsStrayed for one that guards nothing, with all of its name
// and the hazards of it that none covers.
func (r *run) keepoutStrayed(f *Feature, alike, bare []*Feature) {
	shape := r.solidOf(f)
	if shape.why != "" || len(shape.areas) == 0 {
		return
	}
	least, of := strayFarM, (*Feature)(nil)
	own := plane.NewGauge(shape.areas)
	for _, h := range bare {
		if a, b := digitsOf(f.Name), digitsOf(h.Name); a != "" && b != "" && a != b {
			continue // of two that are counted
		}
		s := r.hazardShape(h)
		if d, _, _, ok := own.Within(plane.NewGauge(s.geometry()), strayFarM); ok && (d >= strayM || h.Role == schema.RoleBuilding && d >= strayHouseM) && d < least {
			least, of = d, h
		}
	}
	if of == nil || slices.ContainsFunc(alike, func(k *Feature) bool { return k != f && !r.guards(k) }) {
		return
	}
	x := r.finding(r.middle(f), f, of)
	x.Severity = Note
	limit := strayM
	if of.Role == schema.RoleBuilding {
		limit = strayHouseM
	}
	x.Measured, x.Limit, x.Unit = least, limit, "m"
	x.Message = "covers nothing that is drawn, and " + of.describe() + ", of the same name and under no keep-out, stands " + metresPast(least, limit) + " from it: one of the two lies elsewhere; measure both, or draw what the keep-out is for"
}

// guards reports whether anything that is drawn lies in the box of a keep-out.
func (r *run) guards(f *Feature) bool {
	for _, role := range [...]schema.Role{schema.RoleHazard, schema.RoleBuilding, schema.RoleOther, schema.RoleBase, schema.RoleSupply, schema.RoleEdge, schema.RoleDock} {
		for _, h := range r.usableOf(role) {
			if h.bound.Pad(h.reachDrawn()).Intersects(f.bound) {
				return true
			}
		}
	}
	return false
}
