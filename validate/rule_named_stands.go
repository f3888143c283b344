// Bases, docks, outlets and lawns whose name says where they stand or lie, for
// name-contradicts.

package validate

import (
	"math"
	"slices"
	"strings"

	"github.com/paulmach/orb"

	"swardline/schema"
	"swardline/validate/plane"
)

var (
	// mastNames are words of a base, and mastOfHouse those of buildings that carry one.
	mastNames   = strings.Fields("mast antenna antenne pole base station mât palo antena antenn")
	mastOfHouse = strings.Fields("house roof building garage barn haus dach gebäude scheune maison toit casa tejado huis dak tetto hus tak tag talo katto")
	// stayMovers are of movingWords those that a mast stands beside as often.
	stayMovers = strings.Fields("gate hedge tor hecke portail haie van")
	// swingNames are what else moves or is carried off, and no building.
	swingNames = setOf("trampoline swing slide goal parasol umbrella sunshade bench table picnic pavilion gazebo trampolin schaukel rutsche tor sonnenschirm bank tisch pavillon balançoire banc columpio banco schommel altalena panchina gunga gynge huske keinu")
	slopeWords = strings.Fields("slope hang steilhang gefälle pente pendiente helling pendenza skråning sluttning rinne")
	// wetStays are words of water and drops that an outlet may well be at.
	wetStays = strings.Fields("shaft schacht manhole terrace bank step steps stair stairs quay jetty pier harbour well pump")
	// lawnEnds end the name of a lawn, and lawnBanks are what it is then the grass of.
	lawnEnds  = strings.Fields("lawn rasen wiese grass")
	lawnBanks = strings.Fields("ditch graben swale böschung böschungs talus talud ravine schlucht")
)

// houseMastM is how far from a building its mast stands at most (common practice, no source).
const houseMastM = 3.0

// moverNamed is the word for what moves in the name of a base that is called the mast
// of it (Car mast), "" for none.
func moverNamed(words []string) string {
	for i := 1; i < len(words); i++ {
		if w := words[i-1]; slices.Contains(mastNames, words[i]) && (slices.Contains(movingWords, w) || swingNames[w]) && !slices.Contains(stayMovers, w) && !isBeside(words) {
			return w
		}
	}
	return ""
}

// houseMastOff is how far a base that is called the mast of a house or a roof stands
// from the nearest building, and which that is, nil where it is near or none is drawn.
func (r *run) houseMastOff(f *Feature) (least float64, of *Feature) {
	words := letterWords(f.Name)
	has := func(of []string) bool {
		return slices.ContainsFunc(words, func(w string) bool { return hasPart(of, w) })
	}
	if len(f.Points) != 1 || isBeside(words) || !endsName(words, mastNames[:2]) || !has(mastOfHouse) {
		return 0, nil
	}
	least = math.Inf(1)
	gauge := plane.NewGauge(f.Points[0].Ground)
	for _, b := range r.usableOf(schema.RoleBuilding) {
		s := r.solidOf(b)
		if s.why != "" || len(s.areas) == 0 {
			return 0, nil // which may be the one
		}
		if d, _, _, ok := gauge.Within(plane.NewGauge(s.areas), math.Inf(1)); ok && d < least {
			least, of = d, b
		}
	}
	if least <= houseMastM+slackM {
		return 0, nil
	}
	return least, of
}

// saysIn is the word of these that a name says something stands in or on, "" for none.
func saysIn(name string, of []string) string {
	words := letterWords(name)
	for i, w := range words {
		if slices.Contains(of, w) && i > 0 && slices.ContainsFunc(words[max(0, i-2):i], func(w string) bool { return slices.Contains(inWords, w) || w == "am" }) {
			return w
		}
	}
	return ""
}

// saysSlope is the word of a dock's name for a slope that it stands on, "" for none and
// for one that it stands by.
func saysSlope(name string) string {
	words := letterWords(name)
	if w := saysIn(name, slopeWords); w != "" || isBeside(words) {
		return w
	}
	for _, w := range words {
		if slices.Contains(slopeWords, w) {
			return w
		}
	}
	return ""
}

// standsInWet is the last word of an outlet's name where it says that it is in water
// or a pit, "" for any other name.
func standsInWet(name string) string {
	words := letterWords(name)
	if len(words) < 2 {
		return ""
	}
	last := words[len(words)-1]
	if hazardRank[kindOfWord(last)] < hazardRank["drop"] || slices.Contains(wetStays, last) {
		return ""
	}
	return saysIn(name, []string{last})
}

// lawnOf tells of a lawn that is called the grass of a ditch or a bank where no such, a pond is none,
// is drawn within saidNearM.
func (r *run) lawnOf(f *Feature) {
	words := letterWords(f.Name)
	for i, w := range words {
		stem := ""
		if i > 0 && slices.Contains(lawnEnds, w) {
			stem = words[i-1]
		}
		for _, end := range lawnEnds {
			if s, ok := strings.CutSuffix(w, end); ok && s != "" {
				stem = s
			}
		}
		if !slices.Contains(lawnBanks, stem) {
			continue
		}
		if !isBeside(words) && !r.graveBesideBut(f, kindOfWord(stem), saidNearM, isPool) {
			r.nameNote(f, "its name says %s, and none is drawn within %s of it: draw it as a hazard or an edge of the kind drop, or give the lawn another name", quote(stem), metres(saidNearM))
		}
		return
	}
}

// Words for where in a name a thing stands, by whether it is inside, on it or at it
// (common practice, no source).
var (
	insideWords = setOf("in inside im innerhalb dans en nel nella binnen dentro inne i")
	ontoNames   = setOf("on auf sur sobre op su sul på")
	atNames     = setOf("at by am an bei beim près à vid ved bij aan presso")
	vehicles    = setOf("car van truck lorry trailer caravan vehicle tractor voiture camion remorque coche camión remolque anhänger fahrzeug lastwagen traktor bil lastbil släpvagn")
	carPlaces   = setOf("park parks port lot")
	swayNames   = setOf("lamp light lantern laterne lampe hedge hecke haie seto heg siepe häck hæk hekk")
	hedgeWalls  = setOf("hedge hecke haie seto heg haag siepe häck hæk hekk wall mauer mur muro muur wand")
	houseOnly   = setOf("house haus home maison casa huis hus talo building gebäude")
	sideNames   = setOf("front back rear side left right upper lower vorn vorne hinten links rechts")
)

// placeIn is the noun of a name behind the first of these words, articles left out, where
// no other noun follows: the hedge of Mast in the hedge; "" for none.
func placeIn(words []string, of map[string]bool) string {
	for len(words) > 1 && len(words[len(words)-1]) == 1 {
		words = words[:len(words)-1]
	}
	i := slices.IndexFunc(words, func(w string) bool { return of[w] })
	if i < 0 {
		return ""
	}
	rest := words[i+1:]
	for len(rest) > 1 && (articleWords[rest[0]] || wordSets()[""].order[rest[0]]) {
		rest = rest[1:]
	}
	if len(rest) != 1 {
		return ""
	}
	return rest[0]
}

// mastPlaced tells of a base whose name says that it stands on or by what drives away, in
// a building, or on what sways or lies elsewhere.
func (r *run) mastPlaced(f *Feature) bool {
	words := letterWords(f.Name)
	for i, w := range words {
		if vehicles[w] && !(i+1 < len(words) && (carPlaces[words[i+1]] || lawnNamed(words[i+1]))) {
			r.nameNote(f, "its name says %s, which drives away: a base stands on a post in the ground or on a wall, and is called after what stays", quote(w))
			return true
		}
	}
	in, on := placeIn(words, insideWords), placeIn(words, ontoNames)
	if n := len(words); n > 1 && (words[n-1] == "inside" || words[n-1] == "drinnen" || words[n-1] == "indoors") {
		in = words[n-1]
	}
	says := namesSay.get(f.Name)
	switch {
	case says.others != "" && !besideAnother(slices.DeleteFunc(slices.Clone(words), func(w string) bool { return slices.Contains(mastNames, w) })):
		r.nameNote(f, "its name says %s: what stands on ground of others may be moved or taken down, and all outlines with it; is its place agreed, and right?", quote(says.others))
	case in != "" && (insideWords[in] || in == "drinnen" || in == "indoors" || houseOnly[in] || roofedNames[in] || hedgeWalls[in] || childWords[in]):
		r.nameNote(f, "its name says in %s, from where it sees little of the sky: is its place right? measure where it stands", quote(in))
	case on != "" && swayNames[on]:
		r.nameNote(f, "its name says on %s, which moves in the wind or is set anew, and all outlines with it: a base stands on a post in the ground or on a wall", quote(on))
	case on != "" && lawnNamed(on) && !r.standsOnLawn(f):
		r.nameNote(f, "its name says on %s, and it stands on none that is drawn: is its place right? measure where it stands", quote(on))
	default:
		return false
	}
	return true
}

// lawnNamed reports whether a word is one for mown ground.
func lawnNamed(w string) bool { return slices.Contains(lawnWords, w) || slices.Contains(lawnEnds, w) }

func (r *run) standsOnLawn(f *Feature) bool {
	zones := r.zones()
	return slices.ContainsFunc(f.Points, func(p Vertex) bool {
		return slices.ContainsFunc(zones.near(orb.Bound{Min: p.Ground, Max: p.Ground}), func(i int) bool {
			return plane.Locate(p.Ground, zones.areas[i]) != plane.Outside
		})
	})
}

// ofHouseM is how far from a house what stands at it may lie, and inHouseM how far from
// one what is in it (common practice, no source).
const ofHouseM, inHouseM = 10.0, 1.0

// dockPlaced tells of a dock whose name says that it stands in or on what no machine gets
// into, at a house that is far off, at another lawn, or on the other side of the site.
func (r *run) dockPlaced(f *Feature) bool {
	words := letterWords(f.Name)
	in, on, at := placeIn(words, insideWords), placeIn(words, ontoNames), placeIn(words, atNames)
	switch {
	case in != "" && houseOnly[in]:
		if d := r.nearestBuilding(f); d > inHouseM+slackM {
			r.nameNote(f, "its name says in %s, and no building is drawn within %s of it: is its place right?", quote(in), metres(inHouseM))
			return true
		}
	case in != "" && hedgeWalls[in], on != "" && hedgeWalls[on]:
		r.nameNote(f, "its name says %s, where no machine may go: is its place right?", quote(in+on))
		return true
	case in != "" && childWords[in] && !isCalled(letterWords(r.Plan.Name), in):
		r.nameNote(f, "its name says in %s: do children play where the machine stands and sets out? is its place right?", quote(in))
		return true
	case at != "" && houseOnly[at]:
		if d := r.nearestBuilding(f); d > ofHouseM+slackM {
			r.nameNote(f, "its name says at %s, and no building is drawn within %s of it: is its place right?", quote(at), metres(ofHouseM))
			return true
		}
	}
	return r.dockOfLawn(f, words)
}

// nearestBuilding is how far the nearest building lies from a point, 0 where one cannot
// be measured or none is drawn.
func (r *run) nearestBuilding(f *Feature) float64 {
	if len(f.Points) != 1 || len(r.usableOf(schema.RoleBuilding)) == 0 {
		return 0
	}
	least := math.Inf(1)
	gauge := plane.NewGauge(f.Points[0].Ground)
	for _, b := range r.usableOf(schema.RoleBuilding) {
		s := r.solidOf(b)
		if s.why != "" || len(s.areas) == 0 {
			return 0
		}
		if d, _, _, ok := gauge.Within(plane.NewGauge(s.areas), math.Inf(1)); ok {
			least = math.Min(least, d)
		}
	}
	return least
}

// What stands at a lawn lies within atLawnM of it, and at another beyond awayLawnM
// (common practice, no source).
const atLawnM, awayLawnM = 2.0, 5.0

// dockOfLawn tells of a dock that is called after a lawn (Front lawn dock) and stands at
// another.
func (r *run) dockOfLawn(f *Feature, words []string) bool {
	if len(f.Points) != 1 || len(words) < 2 {
		return false
	}
	zones, p := r.zones(), f.Points[0].Ground
	called := wordSets()[schema.RoleZone].lawns
	whole := slices.ContainsFunc(words, func(w string) bool { return called[w] && w != "side" })
	near, far := math.Inf(1), (*Feature)(nil)
	least := awayLawnM
	for i, z := range zones.features {
		d := math.Inf(1)
		if g, _, _, ok := zones.gauge(i).Within(plane.NewGauge(p), awayLawnM); ok {
			d = g
		}
		if own := lawnCalled(letterWords(z.Name), called, whole); len(own) > 0 && !slices.ContainsFunc(own, func(w string) bool { return !slices.Contains(words, w) }) {
			if far != nil {
				return false // one of several
			}
			far, least = z, d
			continue
		}
		near = math.Min(near, d)
	}
	if far == nil || least < awayLawnM || near > atLawnM {
		return false
	}
	x := r.finding(r.middle(f), f, far)
	x.Severity = Note
	x.Message = "its name says " + quote(f.Name) + ", and it stands at another lawn, more than " + metres(awayLawnM) + " from " + far.describe() + ": is its place right, or the name of one of the two wrong?"
	return true
}

// lawnCalled are the words of a lawn's name that tell it from others, unless the whole of
// it is said those of a side alone.
func lawnCalled(words []string, lawns map[string]bool, whole bool) (out []string) {
	for _, w := range words {
		switch {
		case len(w) == 1 || lawns[w] && !sideNames[w] || articleWords[w]:
		case !whole && !sideNames[w]:
			return nil
		default:
			out = append(out, w)
		}
	}
	return out
}

// Words of the bases of positioning, beside those of masts, and such as make another
// thing of a mast or leave it one.
var (
	baseNames  = setOf("base basis basestation referenz reference rtk gnss basisstation")
	besideMast = setOf("roof house garage shed barn wall pole station antenna antenne for the")
)

// otherMast is the word of a name that says another base: New mast, New base mast, Base 2;
// "" for any other.
func otherMast(name string) string {
	base, mast, renewed := false, false, false
	words := nameWords(name)
	for _, w := range words {
		switch {
		case baseNames[w]:
			base = true
		case slices.Contains(mastNames, w):
			mast = true
		case renewedWords[w], isNumber(w) && w != "1":
			renewed = true
		case besideMast[w] || wordSets()[""].order[w] || isNumber(w) || isTag(w):
		default:
			return ""
		}
	}
	if renewed && (base || mast) || base && mast {
		return name
	}
	return ""
}

// secondMast tells of what is only drawn, or kept off, and called another base than the
// one that the plan has.
func (r *run) secondMast(f *Feature) {
	bases := r.usableOf(schema.RoleBase)
	word := otherMast(f.Name)
	if word == "" || len(bases) == 0 || isBeside(letterWords(f.Name)) {
		return
	}
	for _, b := range bases {
		if r.nearTo(f, inHouseM)(b) {
			return
		}
	}
	r.nameNote(f, "its name says %s, and %s stands elsewhere: which of the two do the machines use? give the one that holds the role base, and take the other out", quote(word), bases[0].describe())
}
