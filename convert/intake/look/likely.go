// Which role a layer is likely for, by the words in its name and by what is
// drawn on it.

package look

import (
	"fmt"
	"strings"
	"unicode"

	"swardline/schema"
)

// words are what layers and folders are called in English, German, Danish, Dutch,
// French and Spanish (from memory). Words of up to three letters must stand alone,
// longer ones may be part of a compound. The first that is found decides, so what
// is more particular stands first.
var words = []struct {
	role  schema.Role
	words string
}{
	{schema.RoleBoundary, "boundary boundaries property parcel grenze flurstueck flurstück skel matrikel perceel limite parcelle"},
	{schema.RoleKeepout, "keepout keep-out nogo no-go bed beds beet beete bedplant bedding sperr exclusion flowerbed staudenbeet plantenbed massif parterre"},
	{schema.RoleBuilding, "building buildings gebaeude gebäude house haus hus huis bygning gebouw bâtiment batiment maison edificio shed garage carport"},
	{schema.RoleEdge, "edge edging kerb curb wall mauer muur fence zaun hegn hek clôture cloture bordure kant kante bordsten mur"},
	{schema.RoleHazard, "hazard pond teich dam water wasser vand étang pool tree trees baum bäume baeume træ trae boom arbre arbol drop road strasse straße vej ditch graben well"},
	{schema.RoleCorridor, "corridor transit passage korridor durchgang"},
	{schema.RoleDock, "dock charging ladestation station oplader laadstation"},
	{schema.RoleBase, "base rtk antenna antenne basis gnss"},
	{schema.RoleMark, "mark marks control gcp checkpoint survey fixpunkt passpunkt fikspunkt festpunkt peg monument benchmark"},
	{schema.RoleSupply, "supply outlet socket power steckdose strom stikkontakt stopcontact prise"},
	{schema.RoleZone, "zone lawn lawns grass mow mowing turf rasen wiese græs graes plæne plaene gras gazon pelouse cesped césped"},
}

// takes are the geometries a role is drawn with.
var takes = map[schema.Role]string{
	schema.RoleZone: "area line", schema.RoleKeepout: "area line", schema.RoleBoundary: "area line", schema.RoleBuilding: "area line",
	schema.RoleEdge: "line area", schema.RoleCorridor: "line", schema.RoleHazard: "area line point",
	schema.RoleDock: "point area line", schema.RoleBase: "point", schema.RoleMark: "point", schema.RoleSupply: "point",
}

// denials are words that turn what follows into its opposite, in the same languages
// (from memory).
var denials = map[string]bool{"no": true, "not": true, "non": true, "ikke": true, "ingen": true, "kein": true, "keine": true, "nicht": true, "niet": true, "geen": true, "pas": true, "sin": true, "sans": true}

// denial returns the index of the first denial that a word follows, -1 for none.
func denial(tokens []string) int {
	for i := range tokens {
		if denials[tokens[i]] && i+1 < len(tokens) {
			return i
		}
	}
	return -1
}

// LikelyRole returns the role that a name speaks for, given how many points, lines
// and areas are drawn under it, and why; the role is "" when the name speaks for
// none, and why then says what the geometry could be.
func LikelyRole(name string, points, lines, areas int) (role schema.Role, why string) {
	drawn := map[string]int{"point": points, "line": lines, "area": areas}
	lower := strings.ToLower(name)
	tokens := strings.FieldsFunc(lower, func(r rune) bool { return !unicode.IsLetter(r) })
	if i := denial(tokens); i >= 0 && lines+areas > 0 {
		// "no mowing" must never be taken for ground to mow.
		return schema.RoleKeepout, fmt.Sprintf("likely keepout: its name says %q", strings.Join(tokens[i:], " "))
	}
	for _, w := range words {
		for _, word := range strings.Fields(w.words) {
			found := false
			if len([]rune(word)) > 3 {
				found = strings.Contains(lower, word)
			} else {
				for _, t := range tokens {
					found = found || t == word
				}
			}
			if !found {
				continue
			}
			for _, kind := range strings.Fields(takes[w.role]) {
				if drawn[kind] > 0 {
					return w.role, fmt.Sprintf("likely %s: its name has %q", w.role, word)
				}
			}
			if points+lines+areas == 0 {
				return w.role, fmt.Sprintf("likely %s: its name has %q; nothing is drawn on it", w.role, word)
			}
		}
	}
	switch {
	case areas > 0:
		return "", "areas: zone, keepout, hazard or building"
	case lines > 0:
		return "", "lines: edge, corridor, or an outline in pieces"
	case points > 0:
		return "", "points or texts: mark, hazard, dock, base, or names"
	}
	return "", "nothing is drawn on it"
}
