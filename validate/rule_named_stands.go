// Bases, docks, outlets and lawns whose name says where they stand or lie, for
// name-contradicts.

package validate

import (
	"math"
	"slices"
	"strings"

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
