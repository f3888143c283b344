// Which role a name speaks for, by its words and by what is drawn under it.

package look

import (
	"fmt"
	"slices"
	"strings"
	"sync"
	"unicode"

	"swardline/convert/wire"
	"swardline/schema"
)

// Guess is what a name speaks for.
type Guess struct {
	// Role is "" when the name speaks for none, or for several.
	Role schema.Role
	// Set are the attributes that the words give as well, such as the kind of
	// an edge or a hazard.
	Set schema.Attributes
	// Why says which word spoke, or what speaks against a guess.
	Why string
	// Against is true when a word speaks against ground to mow, and for no
	// role.
	Against bool
}

// meaning is a kind of thing and the words for it, folded: lower case, no
// accents. A word matches the beginning or the end of a word of the name, as
// compounds have it; with = in front, a whole word only; with ~, its end only;
// with _ inside, words in a row. The words are English, German, French,
// Spanish, Dutch, Italian, Danish, Norwegian, Swedish and Finnish (from
// memory).
type meaning struct {
	role  schema.Role
	kind  string // of an edge or hazard
	words string
}

// meanings are in the order in which they decide: what is more particular
// first, ground to mow last, so that a lawn's edge is an edge.
var meanings = []meaning{
	{schema.RoleKeepout, "", "keepout keep_out nogo no_go exclusion excluded forbidden restricted sperr verbot interdit prohibid verboden vietat forbud forbjud kielletty" +
		" =bed =beds flowerbed beet staude rabatt massif parterre plate_bande maciz arriate perk bloembed plantenbed aiuola blomsterbed bedplant bedding bede kukkapenkki istutus" +
		" planting pflanz plantation plantering plantning beplanting piantumazion shrub =bush =bushes busch strauch gebusch gebuesch arbust buisson struik heester cespugli =busk buske pensa" +
		" vegetable gemuse gemuese potager =huerto moestuin =orto kokkenhave kjokkenhage koksland playground spielplatz sandbox sandkasten speelplaats speeltuin zandbak legeplads lekeplass lekplats leikkipaikka bac_a_sable"},
	{schema.RoleEdge, schema.EdgeWall, "=wall =walls retaining mauer =mur =murs muret =muro =muri =muur muren stutzmauer =muuri"},
	{schema.RoleEdge, schema.EdgeFence, "fence fencing zaun cloture valla =cerca hekwerk =hek recinzion =hegn gjerde staket stangsel =aita"},
	{schema.RoleEdge, schema.EdgeKerb, "kerb curb bordstein bordure bordill stoeprand cordol kantsten kantstein bordsten reunakivi"},
	{schema.RoleEdge, "", "edge edging kante =kant =rand reuna haie =hedge =hedges hecke =heg =haek =hekk =hack step =steps stairs stufe treppe escalier escalon trappe =trap =trappa gradin"},
	{schema.RoleHazard, "water", "pond pool lake stream water ditch canal river =well fountain teich wasser =bach graben brunnen weiher etang =eau bassin piscine fosse ruisseau =mare estanque =agua piscina zanja" +
		" arroyo =rio =pozo vijver sloot zwembad =beek gracht stagno acqua fosso pozzo laghetto =dam =damm =so =vand vandlob basin groft =bak =baek =bek brond =vann basseng =bekk vatten =dike lampi =vesi allas =oja"},
	{schema.RoleHazard, "road", "road street highway traffic railway strasse fahrbahn gleis =route =rue =voie chaussee carretera =calle straat rijbaan strada =via =vej =gade =vei =vag =gata =katu"},
	{schema.RoleHazard, "drop", "=drop cliff embankment abhang boschung boeschung abbruch talus falaise talud acantilad scarpat skrant skraent skrent skrant skraning =stup =slant =brant jyrkanne"},
	{schema.RoleHazard, "tree", "tree trees =trunk baum baume baeume arbre arbres arbol arboles =boom bomen alber =trae =traer =tre =treer =trad =puu puut"},
	{schema.RoleHazard, "", "hazard danger gefahr peligro gevaar pericol =fare fara vaara"},
	{schema.RoleBuilding, "", "building house shed garage carport greenhouse barn gebaude gebaeude haus schuppen scheune laube batiment maison =abri cabane grange serre edific =casa cobertizo caseta gebouw =huis schuur" +
		" capannon rimessa bygning =hus =skur drivhus udhus uthus byggnad vaxthus forrad rakennus =talo autotalli =vaja"},
	{schema.RoleBoundary, "", "boundary boundaries property parcel cadastr grenze flurstuck flurstueck grundstuck grundstueck limite propriete parcelle lindero parcela erfgrens perceel kadaster confine particella catast" +
		" =skel matrikel eiendom =tomt tomtegrens tomtgrans fastighet kiinteisto tontti =raja"},
	{schema.RoleCorridor, "", "corridor transit transfer passage korridor durchgang durchfahrt couloir pasillo =paso doorgang doorsteek corridoi passaggi kaytava"},
	{schema.RoleDock, "", "dock charging charger ladestation ladegerat recharge borne_de_charge carga cargador laadstation oplader stazione_di_ricarica ricarica opladning ladestasjon laddstation laddning latausasema telakka"},
	{schema.RoleBase, "", "=base =rtk gnss antenna antenne antena basis =basstation basisstation basestation basestasjon referenzstation referentiestation tukiasema antenn"},
	{schema.RoleMark, "", "=mark =marks control gcp checkpoint survey =peg =pegs monument benchmark fixpunkt passpunkt festpunkt polygonpunkt grenzstein repere =hito =mojon =clavo meetpunt caposald fikspunkt fastmerke kiintopiste"},
	{schema.RoleSupply, "", "supply outlet socket power steckdose strom =prise alimentation enchufe toma_de stopcontact stroom =presa stikkontakt stromuttak eluttag =uttag pistorasia sahko"},
	{schema.RoleZone, "", mown},
}

// mown are words for ground that is mown.
const mown = "lawn mow turf grass =gras rasen wiese mahflache maehflache mahen gazon pelouse tonte =herbe cesped hierba siega grasveld grasland maaien prato =erba tappeto_erboso" +
	" grasplan =graes graes plane plaene klipning gres plene =plen klipp grasmatta grasyta nurmikko nurmi ruoho leikkuu"

// against are words beside a word for mown ground that make it something else:
// what only looks like grass, is grown over, driven on or stands on a lawn, and
// the line round it.
var against = sync.OnceValue(func() []string {
	return strings.Fields("artificial synthetic synthetique artificiel sintetic artificial kunst konst keinonurmi tekonurmi plastic plastik" +
		" gitter paver paving pavers concrete beton stone stones steine stein gravel kies asphalt reinforced waben" +
		" ~weg ~wege ~pfad =parking parkplatz parkering parkeer parcheggio aparcamiento pysakointi =path =paths pathway walkway footpath =weg =wege sentier chemin camino =pad =paden =sti =stig stien polku patio terrace terrasse driveway" +
		" meadow wildflower wild_flower blumenwiese wildwiese naturwiese streuwiese fleuri bloemen blomster blommor fioriti fiorito floresc prairie niitty" +
		" mower maher maeher tondeuse cortacesped maaier tosaerba klipper leikkuri robot sprinkler sprinkling irrigation sprenger bewasser bewaesser arrosage riego beregening irrigazion vanding bevattning" +
		" =former =old ehemalig =ancien =antiguo =voormalig =tidligere =tidigare =entinen furniture mobel shed" +
		" border boundary grenze grens limit limite confine grans =raja outline umriss")
})

// hard are surfaces that are neither mown nor a danger by themselves.
var hard = sync.OnceValue(func() []string {
	return strings.Fields("=path =paths pathway walkway footpath pavement paving patio terrace terrasse terraza terrazza driveway gravel concrete asphalt ~weg ~wege pflaster kies chemin sentier camino =pad =paden grind =sti stien =stig gangvag gangsti polku sora" +
		" parking parkplatz parkering parkeer parcheggio aparcamiento")
})

// meaningWords are the words of each of meanings, cut when first asked for.
var meaningWords = sync.OnceValue(func() [][]string {
	out := make([][]string, len(meanings))
	for i, m := range meanings {
		out[i] = strings.Fields(m.words)
	}
	return out
})

// takes are the geometries a role is drawn with.
var takes = sync.OnceValue(func() map[schema.Role]string {
	return map[schema.Role]string{
		schema.RoleZone: "area line", schema.RoleKeepout: "area line", schema.RoleBoundary: "area line", schema.RoleBuilding: "area line",
		schema.RoleEdge: "line area", schema.RoleCorridor: "line", schema.RoleHazard: "area line point",
		schema.RoleDock: "point area line", schema.RoleBase: "point", schema.RoleMark: "point", schema.RoleSupply: "point",
	}
})

// denials turn what they stand by into its opposite, in the same languages.
var denials = sync.OnceValue(func() []string {
	return strings.Fields("no not non never dont without except unmown unmowed kein keine nicht nie ohne ausser ungemaht pas sans jamais sauf sin nunca excepto niet geen nooit zonder behalve senza mai eccetto" +
		" ikke ingen aldrig aldri uden uten undtagen unntatt inte inga ingen utan utom ej ikkje ei ala ilman paitsi")
})

// tokens are the words of a name, folded; a capital inside a word starts
// another.
func tokens(name string) []string {
	var b strings.Builder
	lower := false
	for _, r := range name {
		if lower && unicode.IsUpper(r) {
			b.WriteByte(' ')
		}
		lower = unicode.IsLower(r)
		b.WriteRune(r)
	}
	return strings.FieldsFunc(wire.Fold(b.String()), func(r rune) bool { return !unicode.IsLetter(r) })
}

// find returns the first of the words that a name's tokens have, "" for none.
func find(tokens []string, words []string) string {
	joined := "_" + strings.Join(tokens, "_") + "_"
	for _, w := range words {
		plain := strings.TrimLeft(w, "=~")
		switch {
		case w[0] == '~':
			for _, t := range tokens {
				if strings.HasSuffix(t, plain) {
					return plain
				}
			}
		case strings.Contains(plain, "_"):
			if strings.Contains(joined, "_"+plain) {
				return strings.ReplaceAll(plain, "_", " ")
			}
		case plain != w || len(plain) <= 3:
			if slices.Contains(tokens, plain) {
				return plain
			}
		default:
			for _, t := range tokens {
				if strings.HasPrefix(t, plain) || strings.HasSuffix(t, plain) {
					return plain
				}
			}
		}
	}
	return ""
}

// denied returns the words from a denial on, "" when there is none; a "no" that
// ends the name is a number's abbreviation.
func denied(tokens []string) string {
	for i, t := range tokens {
		if slices.Contains(denials(), t) && (i+1 < len(tokens) || t != "no") {
			return strings.Join(tokens[i:], " ")
		}
	}
	return ""
}

// LikelyRole returns what a name speaks for, given how many points, lines and
// areas are drawn under it. It never says zone where a word says otherwise.
func LikelyRole(name string, points, lines, areas int) Guess {
	drawn := map[string]int{"point": points, "line": lines, "area": areas}
	words := tokens(name)
	if no := denied(words); no != "" && lines+areas > 0 {
		// "no mowing" must never be taken for ground to mow.
		return Guess{Role: schema.RoleKeepout, Why: fmt.Sprintf("likely keepout: its name says %q", no)}
	}
	for i, m := range meanings {
		word := find(words, meaningWords()[i])
		if word == "" && m.role == schema.RoleZone {
			word = plainZone(words)
		}
		if word == "" {
			continue
		}
		fits := points+lines+areas == 0
		for _, kind := range strings.Fields(takes()[m.role]) {
			fits = fits || drawn[kind] > 0
		}
		if !fits {
			continue
		}
		if m.role == schema.RoleZone || m.role == schema.RoleBoundary {
			if g, doubtful := doubt(words, m.role, word); doubtful {
				return g
			}
		}
		g := Guess{Role: m.role, Why: fmt.Sprintf("likely %s: its name has %q", m.role, word)}
		if points+lines+areas == 0 {
			g.Why += "; nothing is drawn on it"
		}
		switch {
		case m.kind == "":
		case m.role == schema.RoleEdge:
			g.Set.Set(schema.PropEdgeKind, schema.String(m.kind))
		default:
			g.Set.Set(schema.PropHazardKind, schema.String(m.kind))
		}
		return g
	}
	if word := find(words, hard()); word != "" {
		return Guess{Why: fmt.Sprintf("its name has %q, a surface that is not mown: keepout, hazard or corridor", word), Against: true}
	}
	switch {
	case areas > 0:
		return Guess{Why: "areas: zone, keepout, hazard or building"}
	case lines > 0:
		return Guess{Why: "lines: edge, corridor, or an outline in pieces"}
	case points > 0:
		return Guess{Why: "points or texts: mark, hazard, dock, base, or names"}
	}
	return Guess{Why: "nothing is drawn on it"}
}

// plainZone returns "zone" for a name that says only that and which: the word
// is as good for a danger zone.
func plainZone(words []string) string {
	found := ""
	for _, w := range words {
		switch {
		case w == "zone" || w == "zones" || w == "zona" || w == "area" || w == "zonen":
			if w != "area" {
				found = "zone"
			}
		case len([]rune(w)) > 1:
			return ""
		}
	}
	return found
}

// doubt reports that a name speaks for ground to mow or a boundary and against
// it.
func doubt(words []string, role schema.Role, word string) (Guess, bool) {
	no := find(words, against())
	if role == schema.RoleBoundary {
		no = find(words, meaningWords()[len(meanings)-1]) // a lawn's boundary is no property's
	} else if no == "" {
		no = denied(words)
	}
	if no == "" {
		return Guess{}, false
	}
	return Guess{Why: fmt.Sprintf("its name has %q, but %q speaks against %s: say what it is", word, no, role), Against: true}, true
}
