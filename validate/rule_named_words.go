// Words in names and texts that say in what state a thing is, for
// name-contradicts, in ten languages (common practice, no source).

package validate

import (
	"slices"
	"strings"
	"sync"
	"unicode"

	"swardline/schema"
)

// claim is what words say of a thing beyond what it is called.
type claim int

const (
	claimNone    claim = iota
	claimLeave         // it is not mown
	claimClosed        // nobody goes there
	claimVoid          // its drawing does not hold
	claimGone          // it is not there any more
	claimPlanned       // it is not there yet, or only drafted
	claimWrong
	claimRough // its place is not measured
	claimPassing
	claimMoved
	claimOthers // it is another's
	claimSteep
	claimLoose // a base that does not stand, or has no fix
	claims
)

// claimSays are the claims in messages.
var claimSays = [claims]string{"", "it is not mown", "nobody goes there", "it is not to be used", "it is not there any more", "it is not there yet, or only a draft", "it is wrong",
	"it was not measured well", "it stands there for a while only", "it was moved", "it is another's", "it is steep", "it does not stand firmly, or its place is not fixed"}

// weighs is how much of a name a word has to be.
type weighs int

const (
	weighsAlways weighs = iota // wherever it stands
	weighsLast                 // where it ends the name, as in: Lawn (old)
	weighsAlone                // where nothing else is said
	weighsEmpty                // it says nothing
	weighsRole                 // it says no more than the role
)

// claimLists are phrases by what they claim, folded, no phrase twice.
var claimLists = [...]struct {
	claim   claim
	weight  weighs
	phrases string
}{
	{claimLeave, weighsAlways, "not to be mown, not to be cut, not mown, not mowed, do not mow, don t mow, no mow, no mowing, not mow, never mow, keep out, keep off, hand mow, hand mown, mow by hand, manual only, " +
		"keine mahd, nicht mähen, nicht maehen, nicht mähbar, nicht gemäht, ungemäht, mahdverbot, mähverbot, kein mähen, nur von hand, von hand mähen, handmäher, handmahd, ne pas tondre, pas de tonte, ne pas faucher, non tondu, " +
		"no segar, no cortar, sin segar, niet maaien, niet gemaaid, non tagliare, non falciare, non sfalciare, klipp ej, klipp inte, ej klippas, klipps ej, klipps inte, klippes ej, ikke klippe, ikke klippes, klippes ikke, klip ikke, klipp ikke, ikke slå, ikke slås, slås ikke, " +
		"älä leikkaa, ei leikata"},
	{claimLeave, weighsLast, "leave, leave alone, stehen lassen"},
	{claimClosed, weighsAlways, "out of bounds, off limits, no go, no entry, no access, no trespassing, do not enter, do not drive, closed, closed off, locked, only open, nur offen, nur geöffnet, exclusion zone, exclusion area, restricted area, restricted zone, " +
		"gesperrt, abgesperrt, geschlossen, verschlossen, abgeschlossen, verboten, ausschlusszone, ausschlussfläche, nicht befahren, nicht betreten, interdit, interdite, zone d exclusion, fermé, fermée, verrouillé, verrouillée, " +
		"prohibido, prohibida, cerrado, cerrada, vietato, vietata, chiuso, chiusa, verboden, gesloten, afgesloten, op slot, lukket, afspærret, spærret, aflåst, låst, forbudt, stängt, stängd, avstängd, avstängt, avspärrat, förbjudet, stengt, avstengt, sperret, kielletty, suljettu, lukittu"},
	{claimVoid, weighsAlone, "disabled, ignore, ignored, inactive, deactivated, out of order, out of service, deaktiviert, inaktiv, ausser betrieb, ignorieren, désactivé, inactif, hors service, ignorer, desactivado, inactivo, fuera de servicio, ignorar, uitgeschakeld, buiten dienst, negeren, " +
		"disattivato, inattivo, fuori servizio, ignora, deaktiveret, ude af drift, deaktivert, ute av drift, avaktiverad, ur drift, ei käytössä"},
	{claimClosed, weighsAlone, "forbidden, exclusion, restricted, ausschluss, private, privat, privatgrund, privé, privée, privado, privada, privato, privata, danger, gefahr, gefahrenbereich, gefahrenzone, dangereuse, dangereux, peligro, gevaar, pericolo, fare, fara, vaara, minefield, naturschutz, naturschutzgebiet, nature reserve, protected, nistplatz, blühfläche, blühstreifen"},
	{claimVoid, weighsAlways, "do not use, don t use, not in use, nicht benutzen, nicht verwenden, nicht nutzen, ne pas utiliser, no usar, niet gebruiken, non usare, bruk ikke, ikke bruk, brug ikke, använd ej, använd inte, älä käytä, " +
		"obsolete, superseded, cancelled, canceled, delete, deleted, delete me, invalid, ungültig, überholt, veraltet, storniert, gelöscht, löschen, vor umbau, ersetzt, obsolète, annulé, annulée, remplacé, obsoleto, anulado, reemplazado, verouderd, vervallen, geannuleerd, vervangen, " +
		"annullato, sostituito, forældet, slettet, foreldet, föråldrad, raderad, ersatt, vanhentunut"},
	{claimGone, weighsAlways, "demolished, dismantled, removed, entfernt, abgebaut, abgerissen, abgebrochen, supprimé, supprimée, démoli, démolie, eliminado, demolido, derribado, verwijderd, gesloopt, rimosso, rimossa, demolito, " +
		"fjernet, nedrevet, revet, borttagen, borttaget, rivet, poistettu, purettu"},
	{claimGone, weighsLast, "old, alt, oud, gammel, gammal, vanha"},
	{claimGone, weighsAlone, "archive, archived, history, archiv, archief, arkiv, arkisto, archivé, archivo, trash, fehlt, missing, test, demo, old state"},
	{claimPlanned, weighsAlways, "to be set, to be built, to be put up, to be erected, to be placed, noch zu setzen, zu setzen, planned, proposed, unbuilt, not built, not built yet, not yet, not installed, draft, geplant, geplante, geplanter, geplantes, nicht gebaut, noch nicht, entwurf, vorentwurf, vorabzug, prévu, prévue, projeté, projetée, brouillon, " +
		"previsto, prevista, planeado, proyectado, borrador, gepland, progettato, progettata, bozza, planlagt, planlagte, kladde, planlegges, utkast, planerad, planerat, kladd, suunniteltu, suunnitteilla"},
	{claimPlanned, weighsAlone, "future, künftig, zukünftig, toekomstig, futur, futuro, fremtidig, framtida, tuleva"},
	{claimWrong, weighsAlways, "wrong, incorrect, falsch, fehlerhaft, erroné, erronée, incorrecto, equivocado, verkeerd, sbagliato, errato, forkert, väärä, väärin, not to scale, nicht massstäblich"},
	{claimRough, weighsAlways, "approx, approximated, approximately, by eye, not surveyed, not measured, unsurveyed, unmeasured, to be measured, to be surveyed, unverified, not verified, uncertain, not drawn, phone survey, assumed coordinates, from map, from a map, from satellite, satellite image, satellite picture, aerial, with the phone, with a phone, with phone, by phone, mit dem handy, mit dem telefon, mit handy, avec le téléphone, con el teléfono, met de telefoon, con il telefono, med telefon, med telefonen, med mobilen, puhelimella, " +
		"ungefähr, nicht vermessen, nicht gemessen, nicht eingemessen, unvermessen, nach augenmass, unsicher, angenommen, approximatif, approximative, non mesuré, non levé, aproximado, aproximada, aprox, sin medir, no medido, a ojo, ongeveer, niet ingemeten, niet gemeten, approssimativo, approssimativa, non misurato, non rilevato, a occhio, " +
		"ikke målt, ikke oppmålt, ikke opmålt, ej inmätt, inte inmätt, ungefärlig, ungefär, suunnilleen, ei mitattu, mittaamaton"},
	{claimRough, weighsAlone, "environ, circa, cirka, omtrent, noin, etwa, rough"},
	{claimPassing, weighsAlways, "provisional, temporary, provisorisch, vorläufig, temporär, vorübergehend, provisoire, temporaire, voorlopig, tijdelijk, temporaneo, provvisorio, midlertidig, foreløbig, foreløpig, tillfällig, tilapäinen, väliaikainen"},
	{claimPassing, weighsAlone, "temp, tmp, provisorium"},
	{claimMoved, weighsAlways, "base moved, plan shifted, basis versetzt, basis wurde versetzt, station moved"},
	{claimMoved, weighsLast, "moved, moved since, shifted, relocated, versetzt, verschoben, umgesetzt, déplacé, déplacée, desplazado, trasladado, verplaatst, spostato, spostata, flyttet, flyttad, siirretty"},
	{claimOthers, weighsAlways, "mown by neighbour, mown by neighbor, mown by neighbours, mown by neighbors, mown by the neighbour, mown by the neighbor, mown by the neighbours, mown by the neighbors, mown by others, vom nachbarn gemäht, mäht der nachbar, not ours, not our land, somebody else s, someone else s, third party, fremdes grundstück, fremdgrund, fremder grund, fremdfläche, foreign land, council land, gemeindegrund, strassengrund, strassenland, road reserve, public verge, " +
		"chez le voisin, terrain du voisin, du voisin, de la voisine, del vecino, de los vecinos, van de buren, van de buurman, del vicino, dei vicini, easement, right of way, servitude, dienstbarkeit, grunddienstbarkeit, servidumbre, servitù, erfdienstbaarheid, nachbars, nachbarin, grannens, grannarnas, naboens, naapurin, nachbargrundstück"},
	{claimOthers, weighsAlone, "neighbour, neighbor, neighbours, neighbors, neighbouring, neighbour garden, neighbours garden, nachbargarten, nachbar, nachbarn, voisin, voisine, voisins, vecino, vecinos, buur, buren, buurman, vicino, vicini, nabo, naboer, granne, grannar, grannen, naapuri, commune, fremd, foreign"},
	{claimSteep, weighsAlone, "steep, very steep, steil, sehr steil, steilhang, steilstück, raide, pente raide, empinado, ripido, stejl, bratt, brant, jyrkkä"},
	{claimLoose, weighsAlways, "float, not fixed, no fix, nicht fixiert, loose, lose, wobbly, leaning, schief, wackelt, on tree, on a tree, am baum, on gate, on the gate, am tor, single point, autonomous, tripod, stativ, dreibein, trépied, trípode, statief, treppiede, jalusta"},

	// What a place is called, where on it, and what a thing of a role is called.
	{claimNone, weighsEmpty, "keep out of, lawn, lawns, area, zone, part, patch, section, field, grass, ground, land, s, me, only, by, to, is, it, site, plan, layer, here, from, at, on, for, no, " +
		"rasen, rasenfläche, fläche, bereich, teil, teilfläche, stück, pelouse, gazon, partie, surface, terrain, césped, zona, área, parte, terreno, gebied, veld, deel, prato, område, plæne, plen, plænen, gräsmatta, yta, mark, nurmikko, alue, osa, " +
		"north, south, east, west, left, right, front, back, rear, upper, lower, top, bottom, middle, nord, süd, ost, links, rechts, vorne, hinten, oben, unten, mitte, sud, est, ouest, gauche, droite, norte, sur, este, oeste, noord, zuid, oost, ovest, norr, söder, öster, väster, syd, øst, sør, vest"},
	{claimNone, weighsRole, "base, basis, station, mast, antenna, antenne, dock, corridor, korridor, gate, door, tor, tür, pforte, portail, porte, puerta, cancello, poort, grind, port, portti, ladestation, outlet, socket, boundary, grenze, house, haus, building, fence, wall, zaun, mauer, bauzaun, ramp, folder, ordner, image"},
}

// mostClaimWords is of how many words the longest phrase is.
const mostClaimWords = 4

type said struct {
	claim  claim
	weight weighs
}

// phrase is what is known of a word, or of several written as one: what they
// say, if says is set, and of how many words the longest phrase is that the word
// begins.
type phrase struct {
	said
	says    bool
	longest int
}

// claimed are the phrases.
var claimed = sync.OnceValue(func() map[string]phrase {
	out := make(map[string]phrase, 2000)
	put := func(p string, s said) {
		n := 1 + strings.Count(p, " ")
		if n > 1 {
			first, _, _ := strings.Cut(p, " ")
			x := out[first]
			x.longest = max(x.longest, n)
			out[first] = x
			p = strings.ReplaceAll(p, " ", "")
		}
		x := out[p]
		x.said, x.says = s, true
		out[p] = x
	}
	for i := range claimLists {
		l := &claimLists[i]
		for p := range strings.SplitSeq(l.phrases, ", ") {
			put(p, said{l.claim, l.weight})
		}
	}
	for _, w := range tracedWords[len(pictureWords):] {
		put(w, said{claimRough, weighsAlways})
	}
	for _, w := range sayPhone {
		put(w, said{claimRough, weighsAlone})
	}
	return out
})

// Ends of longer words, where words are written as one: Sperrfläche, Betretungsverbot.
var closedStarts = strings.Fields("sperr spärr tabu verbots")

const leaveEnd = "verbot"

// nameSays is what the words of a name say.
type nameSays struct {
	words [claims]string // as they stand, "" for none
	// hazard is the word of a name that says water, a road or a drop and
	// nothing else, thing of one that says another thing that nobody mows.
	hazard, thing string
	// firm are the claims that the words make wherever they stand.
	firm  [claims]bool
	count int // of the words
	// alone is set where the words make a claim and say nothing else.
	alone bool
	// others is a word for another owner wherever it stands.
	others string
}

var namesSay = remembered[*nameSays]{of: readName}

// nameWords are the folded words of a text, of letters and digits.
func nameWords(text string) []string {
	return strings.FieldsFunc(schema.FoldName(text), func(c rune) bool { return !unicode.IsLetter(c) && !unicode.IsDigit(c) })
}

// readName reads what a name says.
func readName(name string) *nameSays {
	words := nameWords(name)
	out := &nameSays{thing: onlyUnmown(words), count: len(words)}
	if len(words) <= mostSaidWords {
		out.hazard = onlyHazardous(name)
	}
	type found struct {
		said
		at, words int
	}
	var all []found
	other, plain, things := 0, 0, 0 // words that say something else, words of places, and of things
	for i := 0; i < len(words); {
		f := found{at: i}
		f.said, f.words = phraseAt(words[i:])
		w := words[i]
		switch {
		case f.words > 0 && f.claim != claimNone:
			all = append(all, f)
		case f.words > 0 && f.weight == weighsRole:
			things++
		case f.words > 0 || hazardWords()[w] == kindNone && w != "garden":
			plain++
		case startsClosed(w):
			all = append(all, found{said{claimClosed, weighsAlways}, i, 1})
		case strings.HasSuffix(w, leaveEnd):
			all = append(all, found{said{claimLeave, weighsAlways}, i, 1})
		case len([]rune(w)) > 1 && strings.IndexFunc(w, unicode.IsDigit) < 0:
			other++
		}
		i += max(f.words, 1)
	}
	out.alone = len(all) > 0 && other+things == 0
	if at := badAt(words); at >= 0 {
		all = append(all, found{said{claimWrong, weighsAlways}, at, 1})
	}
	for _, f := range all {
		if f.at > 0 && slices.Contains(notWords, words[f.at-1]) {
			continue // never locked
		}
		counts, firm := f.weight == weighsAlways, f.weight == weighsAlways
		if f.weight == weighsLast {
			firm = f.at+f.words == len(words) && len(words) > f.words
			counts = firm || other+plain == 0
		} else if f.weight == weighsAlone {
			counts = other == 0
		}
		if next := f.at + f.words; f.claim == claimRough && next < len(words) && unicode.IsDigit(rune(words[next][0])) && isAbout(words[f.at]) {
			counts = false // how large it is, not where
		}
		if f.claim == claimOthers {
			out.others = words[f.at]
			counts = (counts || f.words > 1 && words[f.at+1] == "s") && !besideAnother(words)
		}
		if counts && (out.words[f.claim] == "" || firm && !out.firm[f.claim]) {
			out.words[f.claim], out.firm[f.claim] = strings.Join(words[f.at:f.at+f.words], " "), firm
		}
	}
	return out
}

// Words beside which bad is the English word: those that only English has for what names
// are of; and those before which it is the bath of other languages (common practice, no
// source).
var (
	besideBad = setOf("lawn lawns mast base dock boundary way fence wall corridor house survey surveys point points measurement measurements mark fix position plan outlet socket gate path kerb edge pond road area data")
	badBaths  = setOf("am im vom zum beim das dem des bei hinter vor neben und am i vid ved till til het van bij naast badet")
)

// badAt is where the words of a name say bad, and not the bath of other languages, -1
// for nowhere.
func badAt(words []string) int {
	for i, w := range words {
		if w != "bad" || i > 0 && badBaths[words[i-1]] {
			continue
		}
		if i+1 < len(words) && besideBad[words[i+1]] || i+1 == len(words) && i > 0 && besideBad[words[i-1]] || slices.Contains(words[i+1:], "bad") || i > 0 && words[i-1] == "is" {
			return i
		}
	}
	return -1
}

// phraseAt is what the longest phrase that the words begin with says, and of
// how many of them it is, 0 for none.
func phraseAt(words []string) (s said, n int) {
	known := claimed()
	x := known[words[0]]
	if x.says {
		s, n = x.said, 1
	}
	joined := words[0]
	for i := 1; i < len(words) && i < x.longest; i++ {
		joined += words[i]
		if x := known[joined]; x.says {
			s, n = x.said, i+1
		}
	}
	return s, n
}

func startsClosed(w string) bool {
	for _, start := range closedStarts {
		if strings.HasPrefix(w, start) {
			return true
		}
	}
	return false
}

// isAbout reports whether a word says about how much.
func isAbout(w string) bool {
	for _, start := range [...]string{"approx", "aprox", "ungef", "ongeveer", "estim", "geschätzt"} {
		if strings.HasPrefix(w, start) {
			return true
		}
	}
	return false
}

// notWords before a claim turn it round.
var notWords = strings.Fields("never not no nicht nie kein keine jamais pas nunca nooit niet mai non aldri aldrig ikke inte ej ei koskaan")

// besideAnother reports whether a name with a neighbour in it says what stands
// there, or on which side: it is the lawn by it.
func besideAnother(words []string) bool {
	for _, w := range words {
		k := kindOfWord(w)
		if k == "tree" || k == kindSolid || slices.Contains(sideWords, w) || slices.Contains(highWords, w) || slices.Contains(wallWords, w) {
			return true
		}
	}
	return false
}

// sideWords say beside what a lawn lies.
var sideWords = strings.Fields("side strip border edge along seite streifen rand entlang grenze côté bord bande lado borde zijde kant lato bordo sida kant side reuna")

// unmownWords are things that no machine mows and nobody names the lawn beside
// after alone; besideUnmown may stand beside one.
var (
	unmownWords = strings.Fields("house building roof wall kerb curb gravel bed beds flowerbed flowerbeds hedge forest woods tank shed garage greenhouse " +
		"haus gebäude dach dachterrasse gründach mauer bordstein kies schotter beet blumenbeet hecke wald klippenkante gewächshaus " +
		"maison bâtiment toit gravier haie forêt casa edificio tejado muro grava seto bosque huis gebouw dak muur grind bloembed heg bos tetto ghiaia aiuola siepe bosco " +
		"hus byggnad tak mur grus rabatt häck skog bygning hæk skov hekk talo rakennus katto muuri sora kukkapenkki pensasaita metsä " +
		"carport patio deck terrace pergola gazebo pavilion sauna sandpit trampoline firepit rockery shrubs bushes vegetables compost woodpile beehives beehive chickens footpath crosswalk fence cesspit septic cable " +
		"terrasse sandkasten trampolin feuerstelle steingarten stauden sträucher gemüsebeet hochbeet kompost holzlager bienenstöcke hühnerstall gehweg fussweg zebrastreifen zaun klärgrube stromkabel schuppen gartenhaus gartenhütte " +
		"abri serre potager compostage clôture trottoir cobertizo invernadero valla acera arenero schuur kas moestuin hek stoep zandbak capanno serra orto recinzione marciapiede " +
		"förråd växthus köksträdgård staket trottoar sandlåda skur drivhus køkkenhave hegn fortov sandkasse bod kjøkkenhage gjerde fortau vaja kasvihuone kasvimaa aita jalkakäytävä hiekkalaatikko")
	besideUnmown = strings.Fields("rose roses flower flat")
)

// unmown are unmownWords as a set.
var unmown = sync.OnceValue(func() map[string]bool {
	out := make(map[string]bool, len(unmownWords))
	for _, w := range unmownWords {
		out[w] = true
	}
	return out
})

// onlyUnmown is the word of a name that says a thing that no machine mows and
// nothing else; "" for any other name.
func onlyUnmown(words []string) string {
	found := ""
	for _, w := range words {
		switch {
		case unmown()[w]:
			found = w
		case hazardWords()[w] != kindNone && !slices.Contains(besideUnmown, w) && strings.Trim(w, "0123456789") != "":
			return ""
		}
	}
	return found
}
