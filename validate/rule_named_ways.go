// Gates and corridors whose name says that others drive there, or that they lead onto
// tracks, for name-contradicts.

package validate

import (
	"slices"
	"strings"

	"swardline/schema"
)

// Words of ways for vehicles of others: of tracks beside railWords, of ground where
// cars stand beside parkingWords and yardWords, of engines of fire brigades, one or
// two words that make one (common practice, no source). A gate of a drive or street is
// as most are, so of gates tracks and engines alone are told.
var (
	levelWays = strings.Fields("levelcrossing bahnübergang bahnanlage bahngelände bahntor bahnseite passageàniveau")
	fireWords = strings.Fields("firelane fireroad fireaccess firetrack fireroute fireengine fireengines firebrigade emergencylane emergencyaccess emergencyroute busway buslane feuerwehrzufahrt feuerwehrweg feuerwehrgasse feuerwehrfläche feuerwehraufstellfläche feuerwehrtor rettungsweg rettungsgasse busspur voiepompiers accèspompiers accesobomberos brandgang brandweg brandgata brandväg brandvej brannvei räddningsväg redningsvej pelastustie paloväylä")
	carWords  = strings.Fields("parking carpark carparks parkplatz parkplätze parkdeck stellplatz stellplätze aparcamiento parcheggio parkeerplaats parkering parkeringsplats parkeringsplass pysäköinti ")
)

// othersDrive is the word of a name for ground on which others drive, where it is not
// that of a lawn (Railway lawn) or only near; "" for none.
func othersDrive(f *Feature) string {
	words := letterWords(f.Name)
	lawns := wordSets()[schema.RoleZone].lawns
	for i, w := range words {
		two := w
		if i+1 < len(words) {
			two = w + words[i+1]
		}
		found, after := "", words[i+1:]
		lists := [...][]string{levelWays, fireWords, railWords, carWords}
		if f.Role != schema.RoleCorridor {
			lists[3] = nil
		}
		for _, list := range lists {
			if slices.Contains(list, w) {
				found = w
			} else if two != w && slices.Contains(list, two) {
				found, after = w+" "+words[i+1], words[i+2:]
			}
		}
		if found == "" {
			continue
		}
		if slices.ContainsFunc(words[:i], func(w string) bool { return nearOnlyWords[w] && !slices.Contains(ontoWords, w) }) || slices.ContainsFunc(after, func(w string) bool { return lawns[w] }) {
			return ""
		}
		return found
	}
	return ""
}

// ontoWords are those words before a place that lead to it and not only past it.
var ontoWords = strings.Fields("to zu zum zur nach vers au naar verso til mot till hacia")

// leadsOnto tells of a corridor, or of a gate that a machine drives through, whose name
// says that others drive there where no road is drawn near.
func (r *run) leadsOnto(f *Feature) bool {
	word := othersDrive(f)
	if word == "" || r.graveBeside(f, "road", saidNearM) || f.Role == schema.RoleEdge && !r.onDriven(f, r.zones(), 0) {
		return false
	}
	r.nameNote(f, "its name says %s, where others drive, and no road, track or parking is drawn within %s of it: draw it as a hazard of its kind, or give it another name", quote(word), metres(saidNearM))
	return true
}

// leadsNowhere tells of a corridor whose name says to which lawn it leads, where no lawn
// is called so, nor anything else that is drawn.
func (r *run) leadsNowhere(f *Feature) {
	lawn, words := leadsTo(f.Name)
	if lawn == "" || len(words) == 0 {
		return
	}
	lawns := wordSets()[schema.RoleZone].lawns
	for _, o := range r.Plan.Features {
		own := nameWords(o.Name)
		if o.Role != schema.RoleZone && (o.Role == schema.RoleCorridor || !slices.ContainsFunc(own, func(w string) bool { return lawns[w] })) {
			continue
		}
		if o.Role == schema.RoleZone && len(own) == 0 {
			return // which may be the one
		}
		if !slices.ContainsFunc(words, func(w string) bool { return !isCalled(own, w) }) {
			return
		}
	}
	r.nameNote(f, "its name says that it leads to %s, and no lawn is called that: is one missing, or switched off, or the name wrong?", quote(lawn))
}

// isCalled reports whether a word is one of a name's, or part of one written as one.
func isCalled(own []string, w string) bool {
	return slices.ContainsFunc(own, func(o string) bool {
		return o == w || len(w) > 3 && (strings.Contains(o, w) || len(o) > 3 && strings.Contains(w, o))
	})
}

// leadsTo is the lawn that a name says it leads to, and the words that tell it from
// others; none where it says only that it is a lawn.
func leadsTo(name string) (lawn string, words []string) {
	all := nameWords(name)
	at := slices.IndexFunc(all, func(w string) bool { return slices.Contains(ontoWords, w) })
	if at < 0 {
		return "", nil
	}
	lawns, set := false, wordSets()[schema.RoleZone]
	for _, w := range all[at+1:] {
		switch {
		case slices.Contains(ontoWords, w):
			return "", nil
		case set.lawns[w]:
			lawns = true
		case articleWords[w] || hazardWords()[w] == kindNone: // the large one
		default:
			lawns = lawns || isCompound(w, set)
			words = append(words, w)
		}
	}
	if !lawns {
		return "", nil
	}
	return strings.Join(all[at+1:], " "), words
}
