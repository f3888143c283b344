// Words that say nothing a machine could heed, in names and texts, for
// words-unread: by what they may be the name of, in ten languages (common
// practice, no source).

package validate

import (
	"maps"
	"regexp"
	"slices"
	"strings"
	"sync"
	"unicode"
	"unicode/utf8"

	"swardline/schema"
)

// plainOrder are words of place, order, size and colour.
const plainOrder = "example invented demo sample along past around opposite between toward towards entlang vorbei zwischen gegenüber bereich südseite nordseite ostseite westseite straßenseite gartenseite hausseite junto hacia entre vers tussen langs tra presso extérieur extérieure intérieur exterior esterno outer outdoor outside inside far near nearest nearer farther the a an of and or to at by near behind beside next in on for from front back rear side sides left right middle centre center central inner outer upper lower top bottom end far main little small large big great long short wide broad new old " +
	"round square rectangle oval circle triangle strip corner row first second third fourth fifth one two three four five six seven eight nine ten north south east west northern southern eastern western northeast northwest southeast southwest ne nw se sw " +
	"part piece section sector block plot number nr " +
	"der die das dem den des ein eine und zu zum zur am an bei beim neben hinter vor vorm vorn vorne hinten links rechts mitte mittlerer mittlere innen außen aussen oben unten oberer obere unterer untere groß groß große großer kleine kleiner kleines klein lang lange langer kurz breit neu neue alt alte rund streifen ecke reihe " +
	"erste erster zweite zweiter dritte nord süd ost west nördlich südlich östlich westlich nördliche südliche östliche westliche nordost nordwest südost südwest teil stück abschnitt fläche nummer haupt seite seitlich vordere vorderer hintere hinterer " +
	"le la les l du de des d un une et ou à au aux près derrière devant côté coté gauche droite milieu centre haut bas bout grand grande petit petite long longue nouveau nouvelle vieux vieille rond bande coin rang premier première deuxième nord sud est ouest partie numéro avant arrière " +
	"el los las un una y o al del cerca detrás delante lado izquierda derecha medio centro arriba abajo grande pequeño pequeña largo larga nuevo nueva viejo vieja franja esquina norte sur este oeste parte número delantero trasero " +
	"het een en van bij naast achter voor voorzijde achterzijde zijde kant links rechts midden boven onder groot grote klein kleine lang lange nieuw oud strook hoek rij noord zuid oost west noordelijk zuidelijk deel stuk nummer achterste voorste " +
	"il lo i gli uno e di da dal dei degli delle dietro davanti lato sinistra destra mezzo alto basso piccolo piccola lungo lunga nuovo vecchio striscia angolo nord sud ovest parte numero anteriore posteriore " +
	"och vid bakom framför höger vänster mitten övre nedre stor stora liten lilla lång norr söder öster väster norra södra östra västra del nummer framsida baksida og ved bag foran højre venstre øvre nedre store lille nord syd øst vest foran bak høyre øst sør " +
	"sydlig sydlige nordlig nordlige østlig østlige vestlig vestlige sørlig sørlige sydliga nordliga östliga västliga " +
	"ja takana edessä oikea vasen keskellä iso pieni pitkä pohjoinen eteläinen itäinen läntinen etu taka osa numero"

// plainLawns are words for mown ground.
const plainLawns = "lawn lawns grass grassland grasses turf sward meadow meadows green greens field fields pitch pitches court courts garden gardens yard backyard frontyard park orchard fairway fairways tee tees rough apron oval cricket croquet football soccer rugby hockey tennis bowls bowling golf sport sports training playing practice putting athletics outfield " +
	"area zone zones mowing mow mown mower verge verges ground grounds estate common club cemetery churchyard campus allotment summer winter spring autumn " +
	"rasen rasenfläche rasenflächen rasenstück rasenfeld bolzplatz trainingsplatz sportrasen wiese wiesen liegewiese obstwiese streuobstwiese blumenwiese garten gärten vorgarten hausgarten obstgarten zone mähzone mähfläche sportplatz fußballplatz fussballplatz spielfeld tennisplatz golf golfplatz grün grünfläche grünstreifen anger hof innenhof friedhof campus " +
	"pelouse pelouses gazon herbe pré prairie jardin jardins verger parc terrain green golf football cour cimetière césped hierba prado jardín jardines huerto parque campo zona patio gras gazon grasveld weide tuin voortuin achtertuin boomgaard park veld sportveld " +
	"prato prati erba giardino parco frutteto campo gräsmatta gräs trädgård äng park fotbollsplan gräsplan plæne græs have eng gress hage plen nurmikko nurmi piha puisto niitty kenttä gräsmattan gräsytan plænen plenen etelänurmikko pohjoisnurmikko itänurmikko länsinurmikko etunurmikko takanurmikko"

// plainPlaces are what lawns, ways and marks are called after: beside a word for
// mown ground, or after one of place.
const plainPlaces = "paddock school schools kindergarten nursery hospital clinic museum market castle camp campsite memorial railway hotel restaurant cafe reception factory warehouse depot depots hall halls administration offices slope bank dike dyke embankment hill fire village town summit hut shelter aviary schule schul klinik krankenhaus museum markt schloss kur kita verwaltung halle hallen werk feuerwehr hotel hang böschung deich damm dorf stadt rathaus hütte bad freibad école hôpital mairie château musée talus usine escuela hospital museo castillo ayuntamiento fábrica talud school ziekenhuis kasteel dijk fabriek scuola ospedale castello municipio skola sjukhus slott skole sykehus koulu sairaala house home villa cottage lodge hall barn garage carport shed stable stables greenhouse workshop office clubhouse pavilion chapel church tower mill farm kitchen bedroom library studio annexe annex wing entrance entry gate gates gateway door porch veranda terrace patio deck " +
	"drive driveway path paths walk way lane road street avenue square bridge fence fences wall walls hedge hedges pond lake pool stream brook river canal ditch bank shore woodland wood woods forest tree trees oak ash beech birch apple cherry pear plum walnut linden lime maple pine spruce fir willow poplar chestnut cedar yew holly hazel elm larch " +
	"rose roses flower flowers herb herbs vegetable shrub shrubs bush bushes bed beds border borders kerb edge edges parking car fountain statue sculpture sundial bench benches seat arbour pergola gazebo swing trampoline playground sandpit flag pole lamp well post stone stones rock rockery compost neighbour neighbours neighbor dock base mast station tent event kennel garden outlet crossing kerbs tarn spring summerhouse hole holes bunker bunkers " +
	"haus häuser wohnhaus gartenhaus scheune garage carport schuppen stall gewächshaus werkstatt büro kirche turm mühle küche eingang einfahrt tor tür terrasse weg wege gehweg zufahrt straße strasse platz brücke zaun mauer wand hecke teich see weiher becken pool bach fluss kanal graben ufer wald baum bäume eiche esche buche birke apfel apfelbaum kirsche kirschbaum birne birnbaum pflaume nuss nussbaum linde ahorn kiefer fichte tanne weide pappel kastanie " +
	"rosen blumen kräuter gemüse beet beete rabatte strauch sträucher bordstein rand kante parkplatz brunnen bank laube schaukel trampolin spielplatz sandkasten fahne lampe pfosten stein steine kompost nachbar nachbarn ladestation station mast zelt " +
	"maison grange garage abri serre atelier bureau église tour moulin cuisine entrée portail porte terrasse allée chemin rue route pont clôture mur haie étang lac piscine ruisseau rivière fossé bois forêt arbre arbres chêne hêtre pommier cerisier poirier tilleul érable pin rosier rosiers fleurs massif bordure parking fontaine banc balançoire voisin " +
	"casa granero garaje cobertizo taller iglesia torre cocina entrada puerta terraza camino calle puente valla muro seto estanque lago piscina arroyo río bosque árbol árboles roble manzano cerezo tilo pino rosas flores borde fuente banco vecino " +
	"huis schuur garage kas kerk toren keuken ingang poort deur terras pad weg straat brug hek muur haag vijver meer zwembad beek rivier sloot bos boom bomen eik beuk appelboom linde rozen bloemen rand fontein bank buur oprit " +
	"fienile capanno serra chiesa torre cucina ingresso cancello porta terrazza viale sentiero strada ponte recinto siepe stagno lago piscina ruscello fiume albero alberi quercia melo ciliegio tiglio pino fiori bordo fontana panchina vicino " +
	"hus garage bod kyrka port dörr terrass gång väg gata staket häck damm sjö sjön dammen huset vägen pool bäck träd ek björk äpple rosor blommor kant granne garasje terrasse vei gjerde hekk elv tre eik nabo indkørsel hæk sø træ bøg nabo talo autotalli portti terassi tie polku aita pensasaita lampi puu tammi koivu naapuri "

// plainOf are the words beside those of place and order that say no more than a
// role does, or what a thing of it is there.
var plainOf = map[schema.Role]string{
	schema.RoleZone: plainLawns + " framsidan baksidan platz plätze hinteren hintere hinterer vordere vorderen vorderer große großer großen grosse kleine kleiner kleinen picnic spielwiese liegewiese rondell roundel",
	schema.RoleCorridor: plainLawns + " nach naar till til baksiden forsiden etelästä pohjoisesta idästä lännestä etelään pohjoiseen itään länteen framsidan baksidan achtertuin voortuin platz plätze hinteren hintere hinterer vordere vorderen vorderer große großer großen grosse kleine kleiner kleinen picnic spielwiese liegewiese corridor way ways crossing route transit transfer link connection connector passage pass path lane weg wege fahrweg fahrspur verbindung verbindungsweg durchfahrt durchgang chemin liaison passage couloir pasillo camino paso gang pad doorgang corridoio percorso passaggio väg gång passage vej vei sti käytävä reitti " +
		"dock base station ladestation station",
	schema.RoleBase: "mât au mur muro house home villa cottage barn garage carport shed workshop office clubhouse pavilion hall tower wall post lamp street light hedge garden lawn main haus garage scheune turm wand mauer laterne halle maison abri casa huis muur hus tag référence referencia riferimento base station basestation reference rtk gnss gps antenna mast pole receiver roof gable chimney basis basisstation referenz referenzstation antenne station empfänger dach giebel schornstein antena estación toit techo tejado dak tetto tak tag basi stazione basstation antenn basestasjon tukiasema katto",
	schema.RoleDock: plainLawns + " stazione point robot robots robotic roboter roboterhaus mähroboter mähroboterhaus carga recharge charge ricarica dock docks docking charging charger charge station base home ladestation ladegerät ladeplatz station dockingstation chargeur borne cargador estación laadstation caricatore laddstation ladestasjon latausasema way",
	schema.RoleMark: plainLawns + " peg pegs grenzstein grenzpunkt borne hito grenspaal fp flush bündig mark marks marker markers point points control check checkpoint reference target gcp cp rp mp tp corner corners survey surveyed station nail bolt disc rivet cross chiselled mon " +
		"punkt punkte passpunkt passpunkte kontrollpunkt messpunkt festpunkt grenzpunkt nagel bolzen kreuz marke point points repère clou punto puntos marca clavo punt meetpunt spijker punto chiodo punkt fixpunkt spik piste",
	schema.RoleBoundary: plainLawns + " boundary boundaries parcel property limit limits lot cadastre cadastral site plot land holding grenze grundstück grundstücksgrenze flurstück flurstücksgrenze parzelle limite limites parcelle propriété terrain lindero límite límites parcela propiedad finca grens perceel erf eigendom confine confini particella proprietà " +
		"linde tomtgräns gräns fastighet tomt ejendom skel eiendom matrikkel tontti kiinteistö raja",
	schema.RoleOther: plainLawns + " voltage weg gartenweg terrace terrasse deck decking footpath sitzplatz gehweg pipe pipes cable cables water gas irrigation drain drainage sewer power buried underground fibre fiber optic line erdkabel gasleitung wasserleitung stromkabel leitung kabel glasfaser drainage leerrohr trittplatten trittsteine conduite câble tubo leiding kabel tubo cavo path paving paved pavers paver slab slabs plate plates cover covers lid manhole marking markings line lines paint painted rubber mat matting mesh grid grate surface stone stones stepping crossing kerb flush " +
		"pflaster platte platten gullideckel deckel markierung linie linien weg dalle dalles marquage ligne lignes chemin losas marca línea líneas camino tegels tegel lijn lijnen pad lastre linea linee linje linjer sti polku laatta viiva",
	schema.RoleEdge:   plainLawns + " terrace deck patio pflasterkante mähkante rasenkante pflaster beton concrete slab slabs brick bricks setts dropped lowered absenkung abgesenkt terrasse bordure bordures dalles edge edges edging kerb kerbs curb paving path paved stone stones surround surrounds flush opening gateway ramp ramps gate gates door kante kanten bordstein einfassung rasenkante tor pforte tür öffnung rampe bordure portail porte ouverture borde puerta abertura rampa rand poort deur opening helling bordo cancello porta apertura kant port grind öppning rampe port låge portti reuna",
	schema.RoleSupply: plainLawns + " förråd altan caseta outlet outlets socket sockets supply power point plug mains connection cable box steckdose steckdosen strom stromanschluss anschluss außensteckdose prise prises courant alimentation enchufe toma corriente stopcontact stroom aansluiting presa prese corrente uttag eluttag stikkontakt stik strøm pistorasia sähkö",
}

// plainTexts are words beside all of those that texts of any length are made of.
const plainTexts = "similarity wild wildflower wildflowers flowers blossom " + plainDates + " " +
	"replanted demonstration park exists place lies is are was were be been this that it its which all each every also only as per see with between along around during than then when week weekly twice daily day days month monthly year yearly annually once times hours morning afternoon evening " +
	"invented example examples demo sample fictional fictitious nobody lives nowhere data name names plan plans map drawing for site sites project client customer visit " +
	"cut mowed mows sown seeded reseeded fertilised watered planted young established english kept measured surveyed resurveyed receiver fixed fix rtk gnss gps network epoch epochs " +
	"erfunden erfundener erfundene beispiel beispiele ist sind war wird alle jede jeden woche wöchentlich täglich monat jahr jährlich mit entlang gemäht gesät gepflanzt gemessen vermessen aufgemessen empfänger"

// plainSymbols are words of symbols that receivers give points, and of what they
// write beside them.
const plainSymbols = "flag pin pushpin dot circle block diamond triangle marker waypoint wpt wp trackpoint routepoint vertex vertices pt pt. pkt pnt blue red green yellow white black orange grey gray purple navaid amber violet summary city town rtk rtcm ntrip solution antenna corner"

// plainPhrases are harmless though a word of theirs is not, or the other way round.
var plainPhrases = strings.NewReplacer("low voltage", "voltage", "planted in spring", "planted", "planted in summer", "planted", "planted in autumn", "planted", "planted in winter", "planted", "new lawn", "lawn", "old lawn", "lawn", "new turf", "turf", "new grass", "grass", "neuer rasen", "rasen", "alter rasen", "rasen", "measured in", "measured", "surveyed in", "surveyed", "gemessen im", "gemessen", "gravel path", "path", "gravel walk", "walk", "see the house plan", "measured", "no changes", "same", "no change", "same", "keine änderung", "same", "aucun changement", "same", "sur la ", "surla ", "sur le ", "surle ", "zu eng", "zueng", "no such park exists", "demo", "no such place exists", "demo", "no such site exists", "demo", "no such garden exists", "demo", "the place lies in open water", "demo")

// plainSilent are words that a plan's name may have beside proper names.
const plainSilent = "plan plans site map drawing survey surveyed final version v rev demo example sample invented faults planted with test copy of lageplan bestand bestandsplan vermessung aufmaß beispiel erfunden"

// fromWords say from which side something comes.
var fromWords = setOf("from von vom desde depuis vanuit dal")

// wordSet is what a name or text of one kind may be made of.
type wordSet struct {
	plain, places, lawns, order map[string]bool
	// everywhere is set where places need no word that says that they are only near,
	// things where sizes are judged otherwise (doubts).
	everywhere, things bool
	// standing is set for what may stand there though it is switched off.
	standing bool
	// filed is set for layers of what is kept out (known_filed.go), sentence for texts
	// that may say something (known_texts.go).
	filed, sentence bool
	// unknown keeps what was found of a text.
	unknown remembered[[]string]
}

// unread are the words and signs of a text that are none of the set, nor one of
// the operator's own; nil for a text that says nothing beyond it.
func (set *wordSet) unread(text string, house *schema.Limits) []string {
	out := set.unknown.get(text)
	if len(out) == 0 || len(house.KnownWords()) == 0 {
		return out
	}
	return slices.DeleteFunc(slices.Clone(out), house.KnowsWord)
}

func setOf(lists ...string) map[string]bool {
	out := map[string]bool{}
	for _, l := range lists {
		for w := range strings.FieldsSeq(l) {
			out[w] = true
		}
	}
	return out
}

// Roles under which wordSets has the words of edges that are not driven over, and
// of keep-outs and hazards that are switched off.
const (
	keptOutEdge schema.Role = "edge kept out"
	switchedOff schema.Role = "switched off"
	// historyWords are those of notes in the history of the base.
	historyWords schema.Role = "history"
)

// plainThings are what keep-outs, hazards, buildings and edges are called besides
// what other lists have, and words that go with them.
const plainThings = "sperrfläche sperrflächen sperrzone sperrzonen interdite interdit interdites prohibida prohibido vietata verboden cabanon rozenperk rosrabatt rosal caseta raised stepping access composter composters spectator spectators swimming heap picnic lavender lavendel strawberry strawberries raspberries erdbeeren himbeeren vogelbad set sets sown hazard tower towers vereinsheim ballfangzaun zaun grab gräber grave graves mülltonnen playset pathway footbridge vehicle car keep out keepout keepouts island islands ring rings trunk trunks stump stumps obstacle obstacles object objects thing things line lines rim shoreline waterline water house outbuilding extension conservatory summerhouse pumphouse bin bins store storage tank pump technical unit units heat cabinet meter transformer " +
	"marquee furniture table tables chair chairs planter planters planting plant plants perennial perennials ornamental grass grasses patch play equipment area zone cover covers lid slab steps garden boundary property public private drop edge top foot crown canopy group cluster clump avenue row rows side street pavement footpath cycle bicycle " +
	"insel inseln ring baumscheibe stamm stumpf hindernis objekt linie wasser anbau wintergarten technik wärmepumpe trafo möbel tisch stühle kübel pflanzung pflanzen stauden gräser spielgerät spielgeräte fläche abdeckung deckel kante oberkante unterkante krone gruppe allee " +
	"île anneau tronc souche obstacle objet ligne eau annexe véranda technique meubles table chaises plantation plantes vivaces groupe allée isla anillo tronco obstáculo objeto línea agua anexo muebles mesa plantas eiland ring stam obstakel object lijn water aanbouw meubels tafel planten isola anello tronco ostacolo oggetto linea acqua mobili tavolo piante ö ring stam hinder objekt vatten vann vand möbler bord saari este vesi pöytä"

// plainPassing are what stands for a while, and may be switched off when it is gone.
const plainPassing = "tent tents event events marquee fair market stage party wedding festival concert bouncy castle inflatable paddling pool trampoline goal goals net nets table tables chair chairs bench parasol umbrella furniture caravan trailer container scaffold scaffolding skip seasonal temporary temp keep out keepout ring seed seeding seedlings bulbs daffodils crocus wildflowers nest winter summer spring autumn flower bed croquet hoops molehill molehills mole leaves cones barrier " +
	"zelt zelte festzelt fest veranstaltung markt bühne feier hochzeit hüpfburg planschbecken trampolin tor tore netz tisch stühle bank sonnenschirm möbel wohnwagen anhänger gerüst saison saisonal temporär vorübergehend ansaat aussaat narzissen krokusse frühblüher nest sperrung blumenbeet maulwurf " +
	"tente tentes fête marché mariage château gonflable but filet table chaises parasol saison temporaire semis carpa fiesta mercado boda castillo hinchable portería mesa sillas temporal siembra tent feest markt springkasteel doel tafel stoelen tijdelijk tenda festa mercato matrimonio porta tavolo sedie temporaneo tält fest marknad hoppborg mål bord telt marked hoppeslott teltta juhla"

// plainHistory are words of notes in the history of the base that say no more than that it
// was set up, measured, recorded and looked at (common practice, no source).
const plainHistory = "base mast antenna station pole set up put stored store enter entered entry install installed installation installer commissioned commissioning record recorded recording corrected correction applied check checked confirmed confirm still same again unchanged look looked inspection routine annual ok good fine static session sessions h min minutes hour hours second seconds mean survey surveyor survey's setup start begin handover season after before since from marks mark drift swardline received coordinates position stands stand where as all lines outlines by " +
	"aufgestellt errichtet gesetzt eingerichtet eingetragen gespeichert kontrolliert unverändert kontrolle messung erste korrektur korrigiert übernommen mast antenne station basis installée installé mise place contrôlé mesurée mesuré première instalada medida comprobada primera geplaatst gemeten gecontroleerd eerste installata misurata controllata prima uppsatt mätt kontrollerad opsat målt kontrolleret satt opp kontrollert asennettu mitattu tarkistettu"

// wordSets are those of names by role, and under "" that of texts.
var wordSets = sync.OnceValue(func() map[schema.Role]*wordSet {
	order, places, lawns := setOf(plainOrder), setOf(plainPlaces), setOf(plainLawns)
	out := map[schema.Role]*wordSet{}
	all := []string{plainOrder, plainTexts, plainSymbols}
	for role, words := range plainOf {
		if role != schema.RoleOther && role != schema.RoleEdge && role != schema.RoleSupply {
			all = append(all, words)
		}
		out[role] = &wordSet{plain: setOf(plainOrder, words), places: places, lawns: lawns, order: order, everywhere: role == schema.RoleMark || role == schema.RoleSupply || role == schema.RoleDock}
	}
	out[""] = &wordSet{plain: setOf(all...), places: places, lawns: lawns, order: order}
	things := []string{plainOrder, plainLawns, plainPlaces, plainThings, plainSmall, plainMaterial, plainSpecies, skirtedSpecies, plainOf[schema.RoleEdge]}
	for _, list := range hazardWordLists {
		things = append(things, list)
	}
	for _, list := range [][]string{unmownWords, highWords, wallWords, slimWords, halfWords} {
		things = append(things, strings.Join(list, " "))
	}
	known := &wordSet{plain: setOf(things...), places: places, lawns: setOf(things...), order: order, everywhere: true, things: true}
	for w := range doubtWords {
		delete(known.plain, w)
	}
	for _, role := range [...]schema.Role{schema.RoleKeepout, schema.RoleHazard, schema.RoleBuilding, keptOutEdge} {
		out[role] = known
	}
	out[besideDriven] = &wordSet{plain: setOf(plainOrder, plainBeside, "edge edges line lines kante kanten rand linie linien"), places: places, lawns: setOf(plainBeside), order: order}
	filedSets(out)
	textSets(out, all)
	standing := &wordSet{plain: setOf(plainOrder, plainLawns, plainPassing), places: places, lawns: lawns, order: order, things: true, standing: true}
	out[switchedOff] = standing
	dock := maps.Clone(out[schema.RoleDock].plain)
	for w := range fromWords { // which side it is entered from is for heading_deg to say
		delete(dock, w)
	}
	out[schema.RoleDock].plain = dock
	for _, set := range out {
		set.unknown.of = func(text string) []string { return unknownWords(text, set) }
	}
	return out
})

// nearOnlyWords are words after which a place is only what lies near.
var nearOnlyWords = setOf("of past along vorbei de du des del della dello van av af at by near behind beside next along between to from toward towards around opposite for bei beim neben hinter vor vorm am an zum zur entlang zwischen von vom nach près derrière devant côté vers entre cerca detrás delante junto hacia bij naast achter voor tussen langs naar dietro davanti vicino presso tra verso vid bakom framför mot ved bag foran langs bak mot takana edessä")

// joinWords between a place and a lawn make two things of them: a pond in the lawn.
var joinWords = setOf("in on of with and or the a an through across over under der die das dem den ein eine im in auf mit und oder durch über unter le la les un une dans sur avec et ou el los las con en sobre y o het een op met il lo i gli nel su con i på med og ja")

// yearWords before a year say from or to when something holds.
var yearWords = setOf("from until till to since before after by ab bis seit vor nach von depuis dès jusque avant après desde hasta antes vanaf tot sinds voor dal fino från till fra til")

// Where people are, before a word for ground that may be paved: school yard.
var (
	peoplePlaces  = setOf("school schools kindergarten nursery play schul schule kita école escuela school scuola skola skole koulu")
	paveableWords = setOf("yard court ground grounds area hof cour patio plein cortile gård")
)

// unitWords after a number, or ending it, make it a size or a voltage.
var unitWords = setOf("m cm mm km ft in inch inches feet foot yd yards meter meters metre metres mètres metros meter percent prozent pour deg degrees grad m2 sqm qm ha acre acres v kv volt volts hz bar tonnes")

// unknownWords are the words and signs of a text that are none of a set.
func unknownWords(text string, set *wordSet) (out []string) {
	if i := strings.IndexAny(spelledOut(text), "?!%°Ø<>="); i >= 0 && (!set.things || set.filed) {
		r, _ := utf8.DecodeRuneInString(spelledOut(text)[i:])
		out = append(out, string(r))
	}
	if sign := signIn(text, !set.things || set.standing); sign != "" {
		out = append(out, sign)
	}
	words := nameWords(plainPhrases.Replace(strings.ToLower(text)))
	near := set.everywhere
	for i, w := range words {
		switch {
		case isNumber(w):
			if says := sizeAt(words, i); says != "" && !set.things {
				out = append(out, says)
			}
		case i > 0 && unitWords[w] && isNumber(words[i-1]): // with its number
		case !set.knows(words, i, near):
			out = append(out, w)
		}
		near = near || nearOnlyWords[w] && !set.sentence || nearbyWords[w] && set.sentence
	}
	if set.sentence && len(out) == 0 && skyTurned(words) {
		out = append(out, text)
	}
	return out
}

// spelledOut is a text whose Ø at the start of a word, which is a letter there and no
// sign of a diameter, is written otherwise.
func spelledOut(text string) string {
	if !strings.Contains(text, "Ø") {
		return text
	}
	return letterO().ReplaceAllString(text, "oe$1")
}

var letterO = sync.OnceValue(func() *regexp.Regexp { return regexp.MustCompile(`Ø(\p{Ll}\p{Ll}|\p{Lu}\p{Lu})`) })

// sizeAt is the number at i with its unit, or with the word that makes a year of it
// one from which something holds; "" for a number of an order.
func sizeAt(words []string, i int) string {
	w := words[i]
	switch {
	case i > 0 && yearWords[words[i-1]] && len(w) == 4:
		return words[i-1] + " " + w
	case i+1 < len(words) && unitWords[words[i+1]]:
		return w + " " + words[i+1]
	}
	return ""
}

// knows reports whether the word at i is one of the set; near says that a place is
// only what lies near.
func (set *wordSet) knows(words []string, i int, near bool) bool {
	w, after := words[i], words[i+1:]
	switch {
	case peoplePlaces[w] && !set.everywhere && len(after) > 0 && paveableWords[after[0]]: // school yard
		return false
	case set.plain[w]:
		return true
	case set.sentence && w == "only" && len(set.places) > 0 && len(after) > 0 && onlyWhen[after[0]]: // when something is mown
		return true
	case set.places[w] && set.sentence:
		return near
	case set.places[w]:
		return (near || set.calls(after)) && (set.everywhere || !isWithin(words[:i]))
	case set.things && len(w) == 2 && isLetters(w): // gl and gr, of goals
		return true
	case set.things && len(w) > 1 && strings.HasSuffix(w, "m") && isNumber(w[:len(w)-1]): // a size, of doubts
		return true
	case len(w) > 4 && w[len(w)-1] == 's' && (set.plain[w[:len(w)-1]] || set.places[w[:len(w)-1]] && near):
		return true
	}
	return isTag(w) || isCompound(w, set)
}

// calls reports whether the words after a place only say of which mown ground it is
// the name: North pond lawn 2.
func (set *wordSet) calls(after []string) bool {
	lawn := false
	for _, w := range after {
		switch {
		case joinWords[w]:
			return false
		case set.plain[w] && !set.order[w] || isCompound(w, set):
			lawn = true
		}
	}
	return lawn
}

// isWithin reports whether the words before a place put something in it, on it or
// into its middle: pond in pond, middle of pond lawn.
func isWithin(before []string) bool {
	for len(before) > 0 && articleWords[before[len(before)-1]] {
		before = before[:len(before)-1]
	}
	if len(before) == 0 {
		return false
	}
	if last := before[len(before)-1]; withinWords[last] {
		return true
	}
	return slices.ContainsFunc(before, func(w string) bool { return middleWords[w] })
}

// Words before a place, folded: articles, and such as put something in it.
var (
	articleWords = setOf("the a an der die das dem den des ein eine einem le la les l un une el los las un una het een de il lo i gli uno una")
	withinWords  = setOf("in on into onto over im auf dans sur en sobre op su nel nella på i")
	middleWords  = setOf("middle centre center top half between mitte oben milieu haut medio centro arriba midden boven mezzo mitten mid keskellä zwischen entre tussen tra")
)

func isNumber(w string) bool {
	return strings.IndexFunc(w, func(c rune) bool { return !unicode.IsDigit(c) }) < 0
}

// isTag reports whether a word is a letter, or numbers with one or two letters
// before or one after them that is no unit: P12, 3a.
func isTag(w string) bool {
	letters := strings.TrimRight(w, "0123456789")
	if n := utf8.RuneCountInString(letters); n <= 2 && (n == 1 || len(letters) < len(w)) && isLetters(letters) {
		return true
	}
	letters = strings.TrimLeft(w, "0123456789")
	return utf8.RuneCountInString(letters) == 1 && letters != "m" && letters != "v"
}

func isLetters(w string) bool {
	return strings.IndexFunc(w, func(c rune) bool { return !unicode.IsLetter(c) }) < 0
}

// isCompound reports whether a word is one for mown ground with words of place,
// order or what stands near written before it: Nordwiese, Hauswiese, backlawn.
func isCompound(w string, set *wordSet) bool {
	for k := len(w) - 3; k >= 3; k-- {
		head, tail := w[:k], w[k:]
		if !utf8.RuneStart(w[k]) || !(set.lawns[tail] || set.plain[tail] && !set.order[tail]) {
			continue
		}
		head = strings.TrimRight(head, "0123456789")
		if set.plain[head] {
			return true
		}
		if !set.lawns[tail] || peoplePlaces[head] && paveableWords[tail] {
			continue // a way or an edge is called after what it is of
		}
		if set.places[head] {
			return true
		}
		for _, joint := range [...]string{"s", "n", "en", "er", "es"} {
			if h, ok := strings.CutSuffix(head, joint); ok && len(h) >= 3 && (set.plain[h] || set.places[h]) {
				return true
			}
		}
	}
	return false
}

// doubtWords say of a thing that is kept out that it is not as it is drawn.
var doubtWords = setOf(someOfWords, "retaining stützmauer soutènement contención contenimento deep tief profonde approx approximate approximately about ca circa roughly maybe perhaps unsure uncertain unknown wrong estimated guessed grown growing larger bigger wider deeper longer higher smaller narrower too moved moves moving shifted gone removed missing incomplete partly partial not no without only "+
	"etwa ungefähr rund circa vielleicht unsicher unbekannt falsch geschätzt gewachsen größer breiter tiefer länger höher kleiner zu versetzt verschoben weg entfernt fehlt unvollständig teilweise nicht kein keine ohne nur "+
	"environ peut être incertain inconnu faux estimé agrandi déplacé enlevé manque partiel pas sans aproximado quizás incierto desconocido falso estimado movido quitado falta parcial sin ongeveer misschien onzeker onbekend fout geschat verplaatst weg ontbreekt niet geen zonder forse incerto ignoto sbagliato stimato spostato rimosso manca non senza")

// innerWords before a word of linesOfOne say that a thing reaches past the line that it is
// drawn with: Pond, lowest line.
var (
	innerWords = setOf("inner inside middle centre center lowest low old former innere mittlere unterste alte intérieur milieu")
	linesOfOne = setOf("line side shore bank edge linie seite ufer ligne côté")
)

// someOfWords say of a thing that only some of it is drawn, or that it may be another.
const someOfWords = " part parts almost if or teil teile oder falls partie parties presque ou parte partes casi"

// doubtSaid is a word or sign of a name that says that something is not as it is
// drawn, or a size, whose last digits number is.
type doubtSaid struct{ word, number string }

var doubts = remembered[[]doubtSaid]{of: func(text string) (out []doubtSaid) {
	if strings.ContainsAny(spelledOut(text), "?Ø") {
		out = append(out, doubtSaid{"?", ""})
	}
	if sign := signIn(text, false); sign != "" {
		out = append(out, doubtSaid{sign, ""})
	}
	words := nameWords(text)
	for i, w := range words {
		switch {
		case doubtWords[w]:
			out = append(out, doubtSaid{w, ""})
		case w == "low" && i+1 < len(words) && (words[i+1] == "water" || words[i+1] == "level"): // it rises
			out = append(out, doubtSaid{w + " " + words[i+1], ""})
		case i+1 < len(words) && innerWords[w] && linesOfOne[words[i+1]]: // the rest lies outside it
			out = append(out, doubtSaid{w + " " + words[i+1], ""})
		case isNumber(w) && i+1 < len(words) && unitWords[words[i+1]]:
			out = append(out, doubtSaid{w + " " + words[i+1], w})
		case len(w) > 1 && strings.HasSuffix(w, "m") && isNumber(w[:len(w)-1]):
			out = append(out, doubtSaid{w, w[:len(w)-1]})
		}
	}
	return out
}}

// doubtful are the words of the name of a thing that is kept out, or of a wall or
// building, which say that it is not as it is drawn, and its sizes that none of
// its numbers has.
func (f *Feature) doubtful(house *schema.Limits) (out []string) {
	for _, d := range doubts.get(f.Name) {
		if f.Role == schema.RoleOther && d.word == "weg" && isWay(f.Name) {
			continue
		}
		if !house.KnowsWord(d.word) && (d.number == "" || !f.hasNumber(d.number)) {
			out = append(out, d.word)
		}
	}
	return out
}

// isWay reports whether a name is no more than the German word for a path, which is
// also that for gone, with words of place and order.
func isWay(name string) bool {
	order := wordSets()[""].order
	return strings.Contains(name, "Weg") && !slices.ContainsFunc(nameWords(name), func(w string) bool { return w != "weg" && !order[w] && !isNumber(w) && !isTag(w) })
}

// hasNumber reports whether one of a feature's numbers ends in these digits: of
// 1.5 the name's last word is 5.
func (f *Feature) hasNumber(digits string) bool {
	return slices.ContainsFunc(f.Attributes, func(a schema.Attribute) bool {
		_, ok := a.Value.Float()
		return ok && strings.HasSuffix(strings.TrimSuffix(a.Value.Text(), ".0"), digits)
	})
}

// properName reports whether the words of a plan's name may be those of a place
// or of people: known ones, numbers, and words with a capital that claim nothing.
func properName(text string, house *schema.Limits) bool {
	if strings.ContainsAny(text, "?!%") || slices.ContainsFunc(namesSay.get(text).words[:], func(w string) bool { return w != "" }) {
		return false
	}
	if partOf.MatchString(text) || saysFraction(text) || signIn(text, true) != "" || saysPartOrCopy(letterWords(text)) {
		return false
	}
	silent, texts := planWords(), wordSets()[textOf("")].plain
	for _, w := range strings.FieldsFunc(text, func(c rune) bool { return !unicode.IsLetter(c) && !unicode.IsDigit(c) }) {
		folded := schema.FoldName(w)
		first, _ := utf8.DecodeRuneInString(w)
		if house.KnowsWord(folded) || silent[folded] || texts[folded] || isNumber(folded) || isTag(folded) {
			continue
		}
		if !unicode.IsUpper(first) || doubtWords[folded] || notPlanned(folded) || w == strings.ToUpper(w) && len(w) > 3 {
			return false
		}
	}
	return true
}

var planWords = sync.OnceValue(func() map[string]bool { return setOf(plainSilent, plainLawns, plainOrder) })
