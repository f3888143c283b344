// Lines of the role other that close round something, or are the middle of it, by
// their name: what of hazard-uncovered asks of them what it asks of hazards.

package validate

import (
	"math"
	"slices"

	"github.com/paulmach/orb"

	"swardline/schema"
	"swardline/validate/plane"
)

// calledLines asks closed lines of the role other called after water, a drop, a car park
// or a building for what stands inside them, and lines called the middle of a road, a
// water or a drop for what is driven within sizelessReachM.
func (r *run) calledLines(zones *solids) {
	for _, f := range r.Of(schema.RoleOther) {
		if len(f.Lines) == 0 || f.Name == "" || !f.usable() {
			continue
		}
		if of := calledMiddle(f); of != "" {
			var lines orb.Collection
			for _, l := range f.lines() {
				lines = append(lines, l)
			}
			if f.reachDrawn() == 0 && r.nearDriven(lines, f.bound.Pad(sizelessReachM), sizelessReachM, zones, r.corridors()) {
				x := r.finding(r.middle(f), f)
				x.Severity = Note
				x.Message = "is called the middle line of " + graveWords[of] + ", and says nothing of how wide it is: give it the role hazard and width_m, or draw its borders"
			}
			continue
		}
		none := calledRing(f.Name)
		if none == nil {
			continue
		}
		for _, line := range f.lines() {
			if in := r.standsInside(line, none); in != nil {
				x := r.finding(r.middle(f), f, in)
				x.Severity = Note
				x.Message = "is a closed line called " + quote(f.Name) + ", and " + in.describe() + " lies inside it: give it the role hazard or building, or move what lies elsewhere; a line that only goes round the site is called a boundary"
				break
			}
		}
	}
}

// calledMiddle is the kind of which a line is the middle by its name, "" for none.
func calledMiddle(f *Feature) string {
	words := letterWords(f.Name)
	if len(words) < 2 || !saysCentre(f) && !slices.ContainsFunc(words[1:], func(w string) bool { return middleWords[w] || w == "milieu" }) {
		return ""
	}
	if last := words[len(words)-1]; !middleWords[last] && !saysCentre(f) && !linesOfOne[last] {
		return "" // the middle of a lawn by the road
	}
	for _, w := range words {
		if k := kindOfWord(w); hazardRank[k] >= hazardRank["road"] {
			if k == kindShore {
				k = "water"
			}
			return k
		}
	}
	return ""
}

// Roles of which nothing stands inside a house or on ground for cars, and inside water or
// a pit: on a roof a base may, and a mark on asphalt.
var (
	noneAtCars = []schema.Role{schema.RoleZone, schema.RoleCorridor, schema.RoleDock}
	noneAtPits = append(slices.Clone(noneAtCars), schema.RoleBase, schema.RoleSupply, schema.RoleMark, schema.RoleBuilding, schema.RoleHazard)
)

// calledRing gives the roles of which nothing can stand inside a closed line of a name,
// nil for a name that says nothing of it. A road may run round anything.
func calledRing(name string) []schema.Role {
	words := letterWords(name)
	if len(words) == 0 || saysWhere(words) || saysAny(name, bridgeWords) || saysAny(name, deadEndWords) {
		return nil
	}
	last, before := words[len(words)-1], ""
	if len(words) > 1 {
		before = words[len(words)-2]
	}
	switch c := calledAfter.get(name); {
	case hasWord(parkingWords, last) || hasWord(parkingWords, before+last) || slices.Contains(yardWords, last) && kindOfWord(before) == "road", hasWord(builtWords, last):
		return noneAtCars
	case c.kind == "water" && !c.side, c.kind == "drop", hasWord(pitWords, last):
		return noneAtPits
	}
	return nil
}

// pitWords are drops that have an outline (common practice, no source).
var pitWords = []string{"pit", "quarry", "grube", "steinbruch", "carrière", "cantera", "cava", "groeve", "grav", "excavation", "baugrube"}

// Of a line that all but closes: the widest gap in metres, as where a way crosses it, and
// as a share of its length (common practice, no source).
const mouthM, mouthShare = 5.0, 0.1

// standsInside is the first feature of some roles, of hazards a tree, with its first vertex inside a line that closes, or all but does; nil for none.
func (r *run) standsInside(line orb.LineString, none []schema.Role) *Feature {
	n := len(line)
	if n < 4 || distance(line[0], line[n-1]) > math.Max(slackM, math.Min(mouthM, mouthShare*groundLength(line))) {
		return nil
	}
	ring := append(orb.Ring(line[:n:n]), line[0])
	area, box := orb.MultiPolygon{{ring}}, ring.Bound()
	for _, role := range none {
		for _, f := range r.usableOf(role) {
			if role == schema.RoleHazard && hazardKind(f) != "tree" {
				continue
			}
			if at, ok := f.firstGround(); ok && box.Contains(at) && plane.Locate(at, area) == plane.Inside {
				return f
			}
		}
	}
	return nil
}

// firstGround is a feature's first vertex on the ground.
func (f *Feature) firstGround() (orb.Point, bool) {
	switch {
	case len(f.Points) > 0:
		return f.Points[0].Ground, true
	case len(f.Areas) > 0 && len(f.Areas[0].Ground) > 0 && len(f.Areas[0].Ground[0]) > 0:
		return f.Areas[0].Ground[0][0], true
	case len(f.Lines) > 0 && len(f.Lines[0].Ground) > 0:
		return f.Lines[0].Ground[0], true
	}
	return orb.Point{}, false
}
