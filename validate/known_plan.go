// Words with which a plan's name says that it is none to drive by, by how they are
// made: participles and what begins with un- or mis- (common practice, no source).
// What is taken for one and is a name is put under known_words in the limits file.

package validate

import (
	"regexp"
	"slices"
	"strings"
	"unicode/utf8"

	"swardline/schema"
)

// partOf finds what says that a plan is one of several or not all: part 1 of 2, 1/3,
// garden half.
var partOf = regexp.MustCompile(`(?i)\b[0-9]+ ?(of|von|de|di|van|av|af|sur) ?[0-9]+\b|\b(part|sheet|page|teil|blatt|seite|partie|feuille|hoja|parte|foglio|deel|blad|del|side|sida|osa|sivu)\W*[0-9]+ ?/ ?[0-9]+|\W(half|halb|moitié|mitad|helft|metà|halva|halvdel|puolikas)\W*$`)

// fraction finds 1/3, and what stands before it; mostSheets is of how many sheets a
// plan is at most: a larger number is that of a house or parcel, or a season.
var fraction = regexp.MustCompile(`(\pL*)[ .:,(]*\b([0-9]{1,2}) ?/ ?([0-9]{1,2})\b`)

const mostSheets = 12

// addressWords, and ends of words, before two numbers make them those of a house or a
// parcel.
var (
	addressWords = setOf("flurstück flurstücke flst parzelle parcel parcels plot lot nr no number haus house unit flat top gst parcelle parcela kavel perceel matrikel tomt tontti rue via calle week kw")
	addressEnds  = strings.Fields("straße strasse gasse weg platz allee ring road street lane avenue straat laan vej väg gata gatan gade vei katu tie")
)

// saysFraction reports whether a plan's name says that it is one sheet of several.
func saysFraction(text string) bool {
	m := fraction.FindStringSubmatch(strings.ToLower(text))
	if m == nil || addressWords[m[1]] || hasEnd(addressEnds, m[1]) {
		return false
	}
	k, n := atoi(m[2]), atoi(m[3])
	return k >= 1 && k <= n && n > 1 && n <= mostSheets
}

func atoi(digits string) (n int) {
	for _, c := range digits {
		n = 10*n + int(c-'0')
	}
	return n
}

// planParticiples say of a plan nothing that is wrong with it; the others that end in
// -ed are read as a fault.
var planParticiples = setOf("measured remeasured surveyed resurveyed checked rechecked approved verified released revised reviewed updated finished completed amended extended corrected confirmed tested accepted adjusted readjusted calibrated certified validated authorised authorized signed printed issued published planted replanted seeded reseeded established mowed fertilised fertilized watered fenced refenced landscaped invented shared levelled leveled refurbished renovated restored improved enclosed elevated raised shaded sheltered covered wooded rounded curved combined merged joined exported imported converted cleaned cleared prepared registered recorded documented detailed dated numbered labelled labeled named renamed controlled supervised monitored maintained managed owned licensed inspected redrawn georeferenced referenced levelled drained irrigated terraced gated walled hedged cobbled paved thatched timbered pitched turfed grassed rewilded " +
	"united allied associated limited blessed sacred crooked rugged hundred kindred naked wicked learned beloved hallowed embedded detached dedicated integrated automated robotised robotized")

// Names that end in -ed, and ends of such: -stead and -heath of the north (Ringsted,
// Hed), -bed and -shed of what grows or stands there, -fred and -fried of people.
var (
	edNames = setOf("mohamed mohammed muhammed ahmed hamed mehmed khaled majed rashed walled jared mildred eldred allred ethelred næstved kinnared torared landsted landvetter moored tilsed")
	edEnds  = strings.Fields("fred fried eed bed shed oed lied ried bied hoved sted smed med mohamed glied")
	stedSay = setOf("untested adjusted unadjusted misadjusted rusted wasted busted infested congested contested arrested exhausted disgusted distrusted untrusted unlisted delisted divested digested")
	iedSay  = setOf("unverified modified unmodified falsified nullified unqualified unspecified unclassified simplified uncertified misapplied denied unoccupied buried varied unvaried copied unapplied implied decertified disqualified liquefied")
)

// saysParticiple reports whether a word is an English participle that says what is
// wrong: Rejected, Mirrored, Flooded.
func saysParticiple(w string) bool {
	if len(w) < 6 || !strings.HasSuffix(w, "ed") || !isASCII(w) || planParticiples[w] || edNames[w] {
		return false
	}
	return stedSay[w] || iedSay[w] || !hasEnd(edEnds, w)
}

// hasEnd reports whether a word ends in one of these.
func hasEnd(ends []string, w string) bool {
	return slices.ContainsFunc(ends, func(end string) bool { return strings.HasSuffix(w, end) })
}

func isASCII(w string) bool {
	return strings.IndexFunc(w, func(c rune) bool { return c >= utf8.RuneSelf }) < 0
}

// Places and names that begin as participles of German do, by their end or whole.
var (
	placeEnds = strings.Fields("hausen heim dorf stadt stätten stetten hofen höfen ingen ungen kirchen felden reuth wald walden brunn brunnen bach burg berg bergen tal feld hof haus häusern weg platz park garten gärten see land ort furt gut markt stift leben weiler rode roda ried schaft amt rat haft münden münd stein steinen büttel beck acker anger matten loh moos wang wangen zell thal rieden scheid bert pert hart hardt biet heit keit saal hain linden eichen bauten gericht gerüst gestüt gehöft geschäft")
	gePlain   = setOf("gesamt gebiet gebet geburt gerät gelenk gewicht gesicht gestüt gehöft geest gewest gemert gezicht gerecht gesticht geslacht genest genehmigt geprüft gemäht gesät gepflanzt gepflegt gemacht gebaut gezeichnet geplant gemeint gereinigt gedüngt gestaltet gesichert gespeichert gerechnet gewässert gegründet geteilt gemeinst geschützt gevaudant geodät")
	verSay    = setOf("verschoben verworfen versunken verloren verschollen verlassen vergessen vergangen verboten verdorben verfallen verzogen verstorben verschwunden vertan")
	verName   = setOf("vermont vervoort verlaat verhaert vernunft verdant verrat")
	geSay     = setOf("gestrichen gesunken geraten gestohlen geborsten gebrochen gerissen gefallen geschlossen gestorben abgelaufen abgelehnt abgerutscht abgesackt abgesagt abgebrannt aufgegeben aufgehoben aufgelassen ausgelaufen eingestürzt eingesunken eingestellt eingezogen überschwemmt unterspült umgestürzt zurückgezogen zurückgewiesen hinfällig nichtig fehlgeschlagen fehlerhaft kaputt defekt beschädigt belastet kontaminiert storniert annulliert gekündigt seitenverkehrt spiegelverkehrt verkehrt")
)

// saysGerman reports whether a word is a German participle, or what begins with un-,
// that says what is wrong: Gespiegelt, Veraltet, Überflutet, Ungenau.
func saysGerman(w string) bool {
	if geSay[w] || verSay[w] {
		return true
	}
	n := utf8.RuneCountInString(w)
	if n < 7 || gePlain[w] || verName[w] || hasEnd(placeEnds, w) {
		return false
	}
	end := strings.HasSuffix(w, "t") || strings.HasSuffix(w, "en")
	switch {
	case strings.HasPrefix(w, "ge") && strings.HasSuffix(w, "t"):
		return true
	case strings.HasPrefix(w, "ver"), strings.HasPrefix(w, "zer") && w != "zermatt", strings.HasPrefix(w, "entw"), strings.HasPrefix(w, "entf"):
		return strings.HasSuffix(w, "t")
	case strings.HasPrefix(w, "über") && w != "überarbeitet" && w != "überprüft":
		return end
	}
	for _, start := range [...]string{"unge", "unbe", "unver", "unvoll", "unzu", "unbrauch", "unsich", "unricht", "unfert", "untaug", "unklar", "unmög", "unstimm", "unwirk", "unecht"} {
		if strings.HasPrefix(w, start) {
			return true
		}
	}
	return false
}

// Rests of English words after un- and mis-.
var (
	unEnds  = strings.Fields("ed able ible safe fit sure certain clear true sound ready done official stable even proven known seen reliable usable lawful level final accurate real oken tten aken osen iven")
	misEnds = strings.Fields("ed aken ing awn match fit read print take alignment placement")
	unNames = setOf("unaryden")
)

// saysPrefixed reports whether a word is of un- or mis- and an English rest that says
// what is wrong: Unsafe, Mismatch.
func saysPrefixed(w string) bool {
	if len(w) < 6 || !isASCII(w) || unNames[w] || hasEnd(placeEnds, w) {
		return false
	}
	return strings.HasPrefix(w, "un") && !strings.HasPrefix(w, "unter") && hasEnd(unEnds, w[2:]) && !planParticiples[w] || strings.HasPrefix(w, "mis") && hasEnd(misEnds, w[3:]) && w != "missing"
}

// planDoubts are words, and planStems parts of words, with which a plan's name says
// that it is no plan to drive by, or from what it was drawn: no proper name of a place.
var planDoubts = setOf("old older alt alte altes ancien ancienne viejo oud vecchio copy test tests trial demo wrong bad false falsche falscher falsches mauvais malo slecht fout feil fel err error idea concept proposal proposed option variant variante future former before after vorher nachher earth map maps aerial photo image imagery drone sketch trace traced online web copied inverted mirrored rotated scaled uncalibrated unadjusted raw float single autonomous local arbitrary assumed relative geoid feet foot inches")

var planStems = strings.Fields("draft placehold entwurf planung skizz esquisse schizzo schets luftbild satelli orthophoto orthofoto digitali vorschlag vorläufig provisor prelim incorrect unverif ungeprüft uncheck outdated obsolet veralte superse ersetzt ungültig invalid fehler mistake nonsense dummy verschob versetzt unsurvey abandoned cancelled verworfen schätz estimat freehand brouillon borrador bozza ontwerp utkast luonnos szkic projekt unfinished unvollst incomplet näherung")

// planOnly are words in a plan's name that say that it is not all, and planLast those that
// end one of a plan to try things with, or of a second one (common practice, no source).
var (
	planOnly = setOf("only nur seulement solo solamente alleen soltanto endast bare incomplete")
	planLast = setOf("test tests copy kopie copie copia kopia kopio testi prova prueba flip flipped handy")
	// planFirst before one of planThings make it one that does not hold, or to try.
	planFirst  = setOf("old older alt alter alte altes test ancien vieux viejo oude vecchio vecchia gammal gammel vanha")
	planThings = setOf("plan plans survey site garden lawn map drawing file data vermessung aufnahme aufmaß lageplan zeichnung relevé levé dessin levantamiento dibujo meting tekening rilievo disegno mätning ritning måling tegning mittaus")
	oldThings  = setOf("garden lawn site") // which are old all the same
)

// planCancelled are words with which offices cancel a plan or keep it a draft, and
// planTraced those for what it was drawn from.
var (
	planCancelled = setOf("storno storniert dnu udkast ébauche ebauche klad kladde kladd rascunho")
	planTraced    = setOf("phone smartphone screenshot screenshots scan scanned foto fotos photos ortho drohne drohnen osm flurkarte katasterkarte liegenschaftskarte kadasterkaart rough")
)

// saysPartOrCopy reports whether the words of a plan's name say that it is a part of one,
// one to try things with, or a copy.
func saysPartOrCopy(words []string) bool {
	for i, w := range words {
		if planCancelled[w] || planTraced[w] || planFirst[w] && i+1 < len(words) && planThings[words[i+1]] && (w == "test" && i+2 == len(words) || !oldThings[words[i+1]]) {
			return true
		}
	}
	return slices.ContainsFunc(words, func(w string) bool { return planOnly[w] }) || len(words) > 0 && planLast[words[len(words)-1]]
}

// planFaults are words of no pattern for the same, in ten languages.
var planFaults = setOf("landslide landslip mudslide rockslide rockfall sinkhole subsidence erosion flood flooding avalanche minefield ordnance bomb asbestos hazard hazardous danger dangerous warning caution void null defunct stale broken faulty erroneous inaccurate imprecise corrupt corrupted junk rubbish garbage scrap withdrawn overgrown sunken fallen frozen stolen forgotten collapse demolition closure quarantine evacuation emergency guess guesswork template blank beta debug backup bak temp tmp discard ignore pending partial inverse upside mirror shift offset drift expiry fake bogus forbidden " +
	"erdrutsch hangrutsch felssturz bergsturz erdfall hochwasser überschwemmung lawine altlast altlasten kampfmittel blindgänger asbest gefahr gefährlich vorsicht achtung warnung abriss spiegelbild spiegelung platzhalter vorlage bauarbeiten baustelle umbau papierkorb müll schrott probe teilweise wertlos " +
	"glissement effondrement éboulement affaissement inondation inondé inondée avalanche danger dangereux dangereuse attention rejeté rejetée refusé refusée annulé annulée périmé périmée dépassé caduc condamné condamnée abandonné abandonnée inversé décalé faux fausse défectueux invalide incomplet inexact travaux chantier poubelle gabarit " +
	"deslizamiento derrumbe hundimiento inundación inundado inundada avalancha peligro peligroso cuidado rechazado rechazada caducado anulado condenado abandonado invertido desplazado defectuoso inválido incompleto inexacto basura plantilla " +
	"aardverschuiving verzakking overstroming overstroomd lawine gevaar gevaarlijk afgekeurd afgewezen verouderd vervallen gespiegeld verschoven ongeldig onveilig onjuist onvolledig onzeker ongecontroleerd onbruikbaar onnauwkeurig onbetrouwbaar onbekend verlaten verlopen prullenbak sjabloon " +
	"frana crollo cedimento alluvione allagato allagata valanga pericolo pericoloso attenzione rifiutato respinto scaduto annullato condannato abbandonato invertito specchiato spostato difettoso invalido incompleto inesatto spazzatura " +
	"jordskred skred översvämning översvämmad oversvømmelse oversvømmet lavin fare farlig fara varning advarsel avvisad avvist afvist underkänd underkendt förkastad forkastet övergiven forladt forlatt spegelvänd spejlvendt speilvendt osäker usikker ogiltig ugyldig ofullständig ufuldstændig ufullstendig föråldrad forældet foreldet skabelon papperskorg " +
	"maanvyöry sortuma tulva vaara vaarallinen varoitus hylätty vanhentunut peilattu peilikuva siirtynyt virheellinen epävarma keskeneräinen puutteellinen hylky malli roskakori")

// Abbreviations with which people put off what a name is to be, in any case, and in
// capitals those of two letters, which are a whole name then; of names those of a club
// are as short, and none of these.
var (
	unfinishedShort = setOf("tbd tbc tba wip ntb nnb")
	unfinishedWhole = setOf("na nn ka xx")
	keyboardStarts  = strings.Fields("asdf qwert azert xxx")
)

// Words that programs name a new file by, alone or as new before what it is.
var (
	unnamedNames = setOf("untitled unnamed noname nameless unbenannt namenlos titellos naamloos namnlös navnløs nimetön default document dokument documento " + newWords)
	newNames     = setOf(newWords)
	fileNames    = setOf("plan map file document folder project layer drawing sheet karte datei dokument ordner projekt ebene zeichnung blatt fichier dossier projet calque dessin archivo carpeta proyecto capa dibujo file cartella progetto disegno bestand map project laag tekening fil mappe mapp prosjekt lag tegning ritning tiedosto kansio projekti")
)

const newWords = "new neu neue neuer neues nouveau nouvelle nuevo nueva nuovo nuova nieuw nieuwe ny nytt uusi"

// unfinished finds what says that a plan is in the making, nobody's yet, or the copy of
// another, and no word of its own does. N.A., k.A. and N.N. are initials of people
// before a name.
var unfinished = regexp.MustCompile(`(?i)(?:^|[^\pL])(?:n ?/ ?a|in (?:arbeit|bearbeitung|progress|corso|lavorazione|bewerking)|en (?:cours|curso)|under (?:arbejde|arbeid|arbete)|to be [\pL]+|to[ -]?do|fix[ -]?me|noch zu [\pL]+|zu (?:prüfen|klären|tun|messen)|nog te [\pL]+|nader te bepalen|à (?:définir|faire|confirmer)|por (?:definir|confirmar|hacer)|da (?:definire|confermare|fare)|` +
	`(?:copy|kopie|copie|copia|cópia|kopi|kopia|kopio) (?:of|von|vom|der|des|de|du|di|del|della|van|av|af))(?:[^\pL]|$)|` +
	`(?:^|[^\pL])(?:[nk]\. ?[an]\.?|(?:copy|kopie|copie|copia|cópia|kopi|kopia|kopio))[^\pL]*$`)

// saysUnfinished reports whether a plan's name says that somebody has yet to make the
// plan, or to name it.
func saysUnfinished(text string, house *schema.Limits) bool {
	words := letterWords(text)
	known := func(words []string) bool {
		return !slices.ContainsFunc(words, func(w string) bool { return !house.KnowsWord(w) })
	}
	for _, w := range words {
		if (unfinishedShort[w] || slices.ContainsFunc(keyboardStarts, func(start string) bool { return strings.HasPrefix(w, start) })) && !house.KnowsWord(w) {
			return true
		}
	}
	switch {
	case len(words) == 1 && (unnamedNames[words[0]] || unfinishedWhole[words[0]]), len(words) == 2 && newNames[words[0]] && fileNames[words[1]]:
		return !known(words)
	}
	m := unfinished.FindString(text)
	return m != "" && !known(letterWords(m))
}

// notPlanned reports whether a folded word of a plan's name says that the plan is not
// to be driven by.
func notPlanned(w string) bool {
	return planFaults[w] || planDoubts[w] || saysParticiple(w) || saysGerman(w) || saysPrefixed(w) || slices.ContainsFunc(planStems, func(stem string) bool { return strings.Contains(w, stem) })
}
