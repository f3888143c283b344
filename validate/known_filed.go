// Under what a drawing files a thing, for words-unread: a layer Trees of trees says
// nothing new.

package validate

import (
	"maps"
	"slices"
	"strings"

	"swardline/schema"
)

// filedUnder are the text properties that say with what else a thing is filed, folded.
var filedUnder = setOf("layer folder group category class")

// Words of layers beside those of names: of codes that drawings of sites are layered
// by (from memory), of plurals, and, of keep-outs alone, of what they are there for.
const (
	plainFiled = "bldg bldgs curb curbs watr fenc plnt plnts bush shrb strc road roads site buildings structures buildingoutline hazard hazards obstacle obstacles obstruction obstructions hindernisse mauern zäune hecken beete gebäude bäume sträucher büsche gewässer teiche straßen strassen " +
		"bordsteine kanten treppen böschungen gefahren gefahr murs clôtures haies massifs bâtiments arbres bordures obstacles étangs routes talus muros vallas setos edificios árboles muren hekken bomen gebouwen muri recinti alberi edifici häckar murar träd byggnader"
	keptFiled = "no not mow mowing mown go keep out keepout keepouts exclusion exclusions excluded restricted forbidden island islands obstacle obstacles sperrfläche sperrflächen sperrzone sperrzonen ausschluss nicht kein mähen interdit interdite interdites exclu exclus exclue verboden vietato prohibido prohibida"
)

// Roles under which wordSets has the words of layers of what is kept out, and of
// keep-outs.
const (
	filedOut  schema.Role = "filed out"
	filedKept schema.Role = "filed as kept out"
	filedWays schema.Role = "filed as ways"
)

// filedSets adds those two to the sets by role.
func filedSets(out map[schema.Role]*wordSet) {
	out[filedWays] = &wordSet{plain: waysFiled, order: out[schema.RoleCorridor].order}
	things := out[schema.RoleHazard]
	for role, words := range map[schema.Role]string{filedOut: plainFiled, filedKept: plainFiled + " " + keptFiled} {
		plain := setOf(words)
		maps.Copy(plain, things.plain)
		out[role] = &wordSet{plain: plain, places: things.places, lawns: things.lawns, order: things.order, everywhere: true, things: true, filed: true}
	}
}

// textSet are the words that a text of a feature may be made of: of a layer those of its
// name, of what is kept out in the plural too; of a label of few words, and of symbols,
// those of labels; of anything longer those of texts of its role.
func (f *Feature) textSet(key, text string, sets map[schema.Role]*wordSet) *wordSet {
	role := f.wordRole()
	switch set := sets[role]; {
	case filedUnder[key] && f.Role == schema.RoleKeepout:
		return sets[filedKept]
	case filedUnder[key] && f.isKeptOut():
		return sets[filedOut]
	case filedUnder[key] && f.Role == schema.RoleSupply:
		return set
	case filedUnder[key] && f.Role == schema.RoleCorridor && !slices.ContainsFunc(letterWords(text), func(w string) bool { return !waysFiled[w] }):
		return sets[filedWays]
	case isLabel(key, text):
		return sets[""]
	}
	if set := sets[textOf(role)]; set != nil {
		return set
	}
	return sets[textOf(schema.RoleOther)]
}

// isLabel reports whether a text is one of few words under a key that holds labels.
func isLabel(key, text string) bool {
	if !labelKeys[strings.TrimPrefix(key, pointPrefix)] {
		return false
	}
	return len(strings.Fields(text)) <= longestLabel
}

// misfiled adds to unknown words of a layer or a text the first that stands for a graver kind of
// hazard than the feature is: water of a tree. A keep-out has no kind, and of its layer
// as of its name any is known.
func (f *Feature) misfiled(unknown []string, text string) []string {
	if f.Role == schema.RoleKeepout {
		return unknown
	}
	own := hazardRank["tree"]
	switch f.Role {
	case schema.RoleHazard:
		own = max(own, hazardRank[kindsOf(f).gravest])
	case schema.RoleEdge:
		own = max(own, hazardRank[kindOfWord(edgeKind(f))])
	}
	for _, w := range letterWords(plainPhrases.Replace(strings.ToLower(text))) {
		if hazardRank[kindOfWord(w)] > own && !(f.Role == schema.RoleEdge && namesKerb(text)) && !slices.Contains(unknown, w) {
			return append(slices.Clone(unknown), w)
		}
	}
	return unknown
}

// namesKerb reports whether a layer names a kerb, which is that of a road.
func namesKerb(text string) bool {
	return slices.ContainsFunc(letterWords(text), func(w string) bool { return slices.Contains(kerbWords, strings.TrimSuffix(w, "s")) })
}
