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

// childWords are words of places where children are.
var childWords = setOf("school schools kindergarten nursery playground schule kita spielplatz école escuela colegio school scuola speelplaats speeltuin skola skole koulu lekplats legeplads lekeplass leikkikenttä")

// wayToOthers tells of a corridor whose name says that it leads to neighbours or to
// children, where neither a lawn nor the plan is called that.
func (r *run) wayToOthers(f *Feature) {
	words := letterWords(f.Name)
	i := slices.IndexFunc(words, func(w string) bool { return childWords[w] })
	word := namesSay.get(f.Name).others
	if i >= 0 {
		word = words[i]
	}
	lawns := wordSets()[schema.RoleZone].lawns
	if word == "" || slices.ContainsFunc(words, func(w string) bool {
		return nearOnlyWords[w] && !placeJoining[w] && !slices.Contains(ontoWords, w) || lawns[w] && !childWords[w]
	}) || i < 0 && besideAnother(words) || isCalled(letterWords(r.Plan.Name), word) {
		return
	}
	for _, z := range r.Of(schema.RoleZone) {
		if isCalled(letterWords(z.Name), word) {
			return
		}
	}
	if namesSay.get(f.Name).words[claimOthers] != "" {
		return // which claims tells
	}
	r.nameNote(f, "its name says %s, and no lawn is called that: does the machine drive there onto ground of others, or among children? lead the way elsewhere, or give it another name", quote(word))
}

// Words of vehicles that stand on a lawn that is called theirs, and of engines of fire
// brigades whose access it is (common practice, no source).
var (
	carNames    = setOf("car cars vehicle vehicles auto autos pkw lkw voiture voitures coche coches bil biler bilar")
	engineNames = strings.Fields("feuerwehr rettungs pompiers bomberos brandweer")
)

// lawnForCars tells of a lawn that is called one for cars or fire engines: Car lawn, Lawn
// for cars, Feuerwehrwiese.
func (r *run) lawnForCars(f *Feature) {
	words := letterWords(f.Name)
	lawns := wordSets()[schema.RoleZone].lawns
	for i, w := range words {
		for _, start := range engineNames {
			if tail, ok := strings.CutPrefix(w, start); ok && lawns[tail] && !r.drawnUnder(start) {
				r.nameNote(f, "its name says %s, on which engines may drive and stand: is it kept free of machines then? give it another name where it is none", quote(w))
				return
			}
		}
		if !carNames[w] {
			continue
		}
		if i+1 < len(words) && (slices.Contains(lawnWords, words[i+1]) || words[i+1] == "grass") || i > 1 && (words[i-1] == "for" || words[i-1] == "für" || words[i-1] == "pour") && lawns[words[i-2]] {
			r.nameNote(f, "its name says %s, which may stand or drive on it: keep the machine off while they do by switching it off, or give it another name", quote(w))
			return
		}
	}
}

// drawnUnder reports whether a building, a hazard or the plan is called after a word.
func (r *run) drawnUnder(word string) bool {
	has := func(name string) bool { return strings.Contains(schema.FoldName(name), word) }
	for _, role := range [...]schema.Role{schema.RoleBuilding, schema.RoleHazard, schema.RoleOther} {
		if slices.ContainsFunc(r.Of(role), func(f *Feature) bool { return has(f.Name) }) {
			return true
		}
	}
	return has(r.Plan.Name)
}
