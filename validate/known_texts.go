// Words of texts that say nothing a machine could heed, for words-unread. Harmless
// words make sentences that are not: measured from the old base. So a text of more
// than a label may speak of mowing, of seasons and of care alone, and of no thing, no
// other time and no other plan, but for what its own role needs to say where it is.

package validate

import (
	"maps"
	"slices"

	"swardline/schema"
)

// plainDates are words of dates and of how often.
const plainDates = "january february march april may june july august september october november december jan feb mar apr jun jul aug sep sept oct nov dec januar februar märz mai juni juli oktober dezember janvier février mars avril juin juillet août septembre octobre novembre décembre enero febrero marzo abril mayo junio julio agosto septiembre octubre noviembre diciembre gennaio febbraio marzo aprile maggio giugno luglio settembre ottobre dicembre januari februari maart mei juni juli augustus oktober maj august " +
	"monday mondays tuesday tuesdays wednesday wednesdays thursday thursdays friday fridays saturday saturdays sunday sundays weekday weekdays weekend weekends montag montags dienstag dienstags mittwoch mittwochs donnerstag donnerstags freitag freitags samstag samstags sonntag sonntags werktags lundi mardi mercredi jeudi vendredi samedi dimanche " +
	"week weeks weekly fortnightly twice thrice once daily day days month months monthly year years yearly annual annually time times hours morning mornings afternoon afternoons evening evenings night season spring summer autumn winter " +
	"woche wochen wöchentlich täglich tag tage tagen monat monate monatlich jahr jahre jährlich morgens abends vormittags nachmittags einmal zweimal dreimal viermal mal frühling frühjahr sommer herbst winter " +
	"semaine semaines mois an ans fois jour jours matin soir printemps été automne hiver semana semanas mes meses año veces vez día días primavera verano otoño invierno week weken maand maanden jaar keer dag dagen lente zomer herfst winter settimana mese mesi anno volta volte giorno giorni estate autunno inverno vecka veckor månad år gång gånger dag dagar vår sommar höst vinter uge uger måned gange forår sommer efterår uke uker vår høst"

// plainCare are words of mowing, of grass and its care.
const plainCare = "cut cuts cutting mown mow mowed mows mowing sown seeded reseeded overseeded resown fertilised fertilized limed watered watering aerated scarified mulched rolled planted replanted young established kept short long high low height grass grasses lawn lawns turf sward meadow wild wildflower wildflowers flower flowers blossom bulbs clover moss species soil sand sandy clay loam mixed english " +
	"gemäht mähen mäht schnitt geschnitten gesät eingesät nachgesät gedüngt gekalkt gewässert bewässert vertikutiert gelüftet gepflanzt kurz lang hoch rasen wiese gras gräser blumenwiese blumen klee moos boden sandig lehmig " +
	"tonte tondu tondue coupe semé semée arrosé arrosée fertilisé planté pelouse gazon herbe prairie fleurs siega segado sembrado regado plantado césped hierba prado gemaaid maaien gezaaid bemest geplant gras gazon taglio tagliato seminato concimato piantato prato erba klippt klipps sådd gödslad planterad gräs gräsmatta klippet sået plantet græs plæne gress plen"

// plainFixed are words of how something was measured.
const plainFixed = "measured surveyed resurveyed receiver fixed fix rtk gnss gps network epoch epochs gemessen vermessen aufgemessen eingemessen empfänger mesuré mesurée relevé récepteur medido medida levantado gemeten ingemeten misurato rilevato mätt inmätt målt oppmålt"

// plainJoins are words between others. None turns what they say.
const plainJoins = "a an the and or of in on at to by with from until till for as it its this that which all each every also per is are be during between then than than half " +
	"der die das dem den des ein eine und oder im in am an auf bei mit von bis zum zur für alle jede jeden jedes auch pro je ist sind wird werden " +
	"le la les l du de des d un une et ou en à au aux par avec chaque tous toutes est el los las una y o del con cada todos es het een en van met per elke is il lo i gli di con ogni è och i på med varje är og hver hvert er"

// plainCount are words of number, size, order, colour and of sides of the sky.
const plainCount = "first second third fourth fifth one two three four five six seven eight nine ten large small big little wide narrow priority order age interval number nr round square long " +
	"north south east west northern southern eastern western northeast northwest southeast southwest ne nw se sw corner side row strip part red blue green yellow white black orange grey gray brown purple " +
	"erste zweite dritte zwei drei vier große großer kleine kleiner lang breit nord süd ost west nordseite südseite ostseite westseite ecke seite reihe streifen rot blau grün gelb weiß schwarz grau braun " +
	"grand grande petit petite deux trois nord sud est ouest coin côté rouge bleu vert jaune blanc noir dos tres norte sur este oeste rojo azul verde noord zuid oost rood groen wit rosso verde bianco due tre norr söder öster väster två röd grön vit syd øst vest to rød grøn hvid"

// plainFiction says of a plan that it is made up.
const plainFiction = "invented example examples demo demonstration sample fictional fictitious erfunden erfundener erfundene beispiel beispiele nobody lives exists"

// textCore are those together.
const textCore = plainDates + " " + plainCare + " " + plainFixed + " " + plainJoins + " " + plainCount + " " + plainFiction + " similarity"

// otherTimes are words by which a short label says that it holds at another time, of
// something else or not well.
var otherTimes = setOf("see only next was were been old former bad other plan plans map drawing yard yards visit alt alte alter altes ancien ancienne vieux vieille viejo vieja oud oude vecchio vecchia gammal gamla gammel gamle vanha")

// longestLabel is the most words that a label has.
const longestLabel = 2

// textOf is the role under which wordSets has the words of texts of a role's features.
func textOf(role schema.Role) schema.Role { return "text of " + role }

// textPlaces is what texts of things that do not move may say beside textCore: of marks
// and outlets what they are on or at, of a base what carries it, of docks what they
// stand before, of what is kept out what it is.
var textPlaces = map[schema.Role]string{
	"":                  "front back rear garden gardens park parks club ground grounds mark marks",
	schema.RoleZone:     asideOf + " front back rear robot",
	schema.RoleCorridor: asideOf + " front back rear",
	schema.RoleBuilding: "house garage barn shed haus scheune maison casa huis hus",
	schema.RoleMark:     plainOf[schema.RoleMark] + " " + plainPlaces + " top bottom end left right near beside behind between left right upper lower centre center middle",
	schema.RoleOther:    "flush level bündig eben ebenerdig lid cover buried underground depth",
	besideDriven:        "flush level bündig eben ebenerdig lid cover buried underground depth",
	schema.RoleSupply: "outlet outlets socket sockets power plug mains rcd fuse fused cable ip44 outside outdoor house wall garage shed terrace carport near beside behind behind left right steckdose strom außen hauswand garage carport terrasse neben hinter links rechts " +
		"prise extérieur mur maison garage enchufe pared casa garaje stopcontact muur huis presa muro casa uttag vägg hus stik væg",
	schema.RoleBase: "mast pole antenna base station house garage gable roof ridge chimney carport shed workshop barn wall bracket steel tube concrete foundation top dach giebel haus hauswand garage first schornstein carport scheune wand halter stahl rohr beton fundament antenne mât toit pignon maison garage mástil tejado casa tetto casa palo dak huis gevel tak gavel hus tag",
	schema.RoleDock: "dock docks station charging power socket cable beside behind near before front left right house garage shed terrace carport wall hedge level ladestation strom steckdose neben hinter vor links rechts haus garage terrasse carport wand hecke eben " +
		"maison mur haie casa pared seto huis muur heg muro siepe hus vägg häck væg hæk",
}

// asideOf are words by which a text says beside what something lies, which is then no
// more than a place.
const asideOf = "along between beside behind near entlang zwischen neben hinter derrière entre junto detrás langs naast achter tra dietro längs bakom bag bak"

var nearbyWords = setOf(asideOf)

// keptSeasons are the seasons, in which a thing that is kept out is not another.
const keptSeasons = "season spring summer autumn winter frühling frühjahr sommer herbst printemps été automne hiver primavera verano otoño invierno lente zomer herfst estate autunno inverno vår sommar höst vinter forår efterår høst wide than "

// onlyWhen are words after only by which it says when.
var onlyWhen = setOf("in on at from between during once twice by")

// outOfTexts are words of textCore that texts of a role may not hold: what stands still
// is not somewhere in summer, and none of what is kept out lies on a lawn.
var outOfTexts = map[schema.Role]string{
	schema.RoleBase:     plainCare + " in spring summer autumn winter frühling frühjahr sommer herbst season part half once twice thrice week year years month months monday sunday weekend",
	schema.RoleDock:     plainCare + " in on spring summer autumn winter frühling frühjahr sommer herbst season im auf",
	schema.RoleSupply:   "grass grasses lawn lawns turf meadow rasen wiese pelouse gazon césped gras prato",
	schema.RoleKeepout:  keptSeasons + "lawn lawns turf rasen wiese pelouse gazon part half",
	schema.RoleHazard:   keptSeasons + "lawn lawns turf rasen wiese pelouse gazon part half one two three",
	schema.RoleBuilding: "lawn lawns turf rasen wiese pelouse gazon part half",
	keptOutEdge:         "lawn lawns turf rasen wiese pelouse gazon part half one two three year years",
	schema.RoleBoundary: "part half",
}

// textSets adds the sets of texts to those by role: under textOf of each role, under
// textOf("") of the plan, and under "" of labels.
func textSets(out map[schema.Role]*wordSet, all []string) {
	labels := setOf(all...)
	for w := range otherTimes {
		delete(labels, w)
	}
	out[""] = &wordSet{plain: labels, places: out[""].places, lawns: out[""].lawns, order: out[""].order}
	core := setOf(textCore)
	things := out[schema.RoleHazard].plain
	for _, role := range []schema.Role{"", schema.RoleZone, schema.RoleCorridor, schema.RoleDock, schema.RoleBase, schema.RoleMark, schema.RoleBoundary, schema.RoleSupply, schema.RoleEdge, schema.RoleKeepout, schema.RoleHazard, schema.RoleBuilding, keptOutEdge, schema.RoleOther, besideDriven} {
		plain := maps.Clone(core)
		maps.Copy(plain, setOf(textPlaces[role]))
		switch role {
		case schema.RoleKeepout, schema.RoleHazard, schema.RoleBuilding, keptOutEdge:
			maps.Copy(plain, ownThings(things))
		}
		for w := range setOf(outOfTexts[role]) {
			delete(plain, w)
		}
		set := &wordSet{plain: plain, order: out[""].order, sentence: true}
		switch role {
		case schema.RoleZone, schema.RoleCorridor:
			set.places = out[""].places
		case schema.RoleKeepout, schema.RoleHazard, schema.RoleBuilding, keptOutEdge:
			for _, w := range []string{"old", "alt", "alter", "alte", "altes", "vieux", "vieille", "viejo", "oud", "vecchio", "gammal", "gammel"} {
				plain[w] = true
			}
		}
		out[textOf(role)] = set
	}
	out[historyWords] = &wordSet{plain: setOf(textCore, plainHistory), order: out[""].order, sentence: true}
}

// ownThings are words for things, less those that say where, when or how many.
func ownThings(things map[string]bool) map[string]bool {
	out := maps.Clone(things)
	for _, list := range []map[string]bool{setOf(plainOrder, plainLawns), otherTimes} {
		for w := range list {
			if kind := kindOfWord(w); kind == "" || kind == kindNone {
				delete(out, w)
			}
		}
	}
	return out
}

// skySides are words of the sides of the sky, and turnWords those that make one of them
// another: east is north.
var (
	skySides  = setOf("north south east west nord süd ost west sud est ouest norte este oeste noord zuid oost norr söder öster väster syd øst vest")
	turnWords = setOf("is are ist sind est es è är er")
)

// skyTurned reports whether words say of one side of the sky that it is something.
func skyTurned(words []string) bool {
	return slices.ContainsFunc(words, func(w string) bool { return skySides[w] }) && slices.ContainsFunc(words, func(w string) bool { return turnWords[w] })
}

// labelKeys are properties whose texts are labels of a few words.
var labelKeys = setOf("use grass soil mower pattern direction open state status stage phase type kind class category group code folder layer sym symbol src rev revision frequency schedule irrigation health vitality condition keywords tags topic subject alias short label title caption name")
