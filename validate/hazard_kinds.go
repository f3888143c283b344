// The kinds of hazards, and the words of hazard_kind that stand for them.

package validate

import (
	"fmt"
	"slices"
	"strings"
	"sync"

	"swardline/schema"
)

// hazardMargins are the limits that give the clearance of one kind of hazard or
// another.
var hazardMargins = []string{"hazard_margin_m", "hazard_margin_water_m", "hazard_margin_road_m", "hazard_margin_drop_m", "hazard_margin_tree_m"}

// Kinds beside water, road, drop and tree: a solid thing, which stops a machine
// that runs into it, and a word that says nothing of the kind.
//
// A shore is water and a drop at once: a machine goes over the rim of a quay
// into what lies before it.
const (
	kindSolid = "solid"
	kindNone  = "none"
	kindShore = "shore"
)

// hazardWordLists are words of hazard_kind by the kind that they stand for, no
// word twice.
var hazardWordLists = map[string]string{
	"water": "water pond pool lake stream river brook beck burn ditch canal creek fountain swale rill basin reservoir moat well wetland marsh " +
		"harbour harbor marina sea lagoon weir spring bog swamp mere tarn loch puddle " +
		"teich weiher see bach fluss graben kanal brunnen becken wasser pfuhl hafen tümpel quelle sumpf " +
		"étang etang mare piscine ruisseau rivière riviere fossé fosse bassin puits lac marais eau mer " +
		"estanque piscina arroyo río rio acequia fuente pozo agua charca laguna lago vijver sloot beek zwembad gracht haven plas stagno laghetto ruscello fosso pozzo acqua " +
		"sø sjø sjö vatten vand vann bekk bäck bæk grøft dike dam damm brønd brunn havn hamn tjern tjärn lampi oja järvi biotop feuchtbiotop naturpool whirlpool hottub leat noue bief lavoir alberca poel wadi vaart roggia naviglio kärr myr suo uimaallas schilf seerosen versickerungsmulde",
	"road": "road street lane carriageway highway motorway track driveway drive avenue traffic railway rail parking carpark cycleway " +
		"car cars vehicle vehicles bike bicycle cycle cycling bikeway cycletrack lorry truck bus tram tramway train " +
		"straße strasse fahrweg zufahrt einfahrt parkplatz gleis radweg route rue allée voie calle carretera camino straat rijbaan fietspad strada via väg vei vej gleise tie " +
		"railroad bahn schiene schienen ferrocarril spoor spoorlijn ferrovia binario jernbane järnväg rautatie rails aparcamiento parcheggio ciclabile cyklväg sykkelvei cykelsti runway taxiway helipad stellplatz bahngleis fahrbahn chaussée calzada oprit infart indkørsel oppkjørsel ajotie",
	"drop": "drop ledge step steps stair stairs staircase cliff bank pit hole precipice quarry terrace cutting shaft sunken haha " +
		"cesspit cesspool sickergrube klärgrube trench sinkhole ravine gully gorge crater chasm excavation manhole retaining " +
		"absturz abhang böschung treppe stufe stufen grube schacht doline steinbruch stützmauer falaise talus escalier marche ravin tranchée carrière gouffre soutènement " +
		"talud escalera barranco zanja cantera socavón contención trap afgrond groeve kuil scarpata scala gradino trincea cava voragine sostegno " +
		"skrent trappe trapp slänt trappa skråning stup grop stödmur støttemur kuoppa loadingbay loadingdock couranglaise lightwell windowwell areawell drywell sautdeloup puitsdelumière schleuse erdfall geul keermuur taludkant terraplén tukimuuri penger",
	kindShore: "quay quayside jetty pier wharf embankment seawall riverbank riverside shore shoreline waterfront " +
		"kai kaimauer ufer ufermauer landungssteg bootssteg quai muelle embarcadero molo banchina kade aanlegsteiger kaj brygge brygga laituri steg",
	"tree": "tree trees trunk oak lime beech birch ash elm pine fir spruce maple willow poplar apple pear cherry plum walnut chestnut yew cedar " +
		"baum bäume arbre árbol arbol boom albero träd tre træ puu",
	kindSolid: "shrub shrubs bush bushes hedge bench seat table lamp lamps lamppost lantern light post pole pillar column bollard mast flagpole rock boulder stone " +
		"sculpture statue monument memorial sundial play playground swing slide goal trampoline equipment bed flowerbed planter pot sign signpost bin box cabinet meter " +
		"stump peg pegs stake stakes picket pickets gravestone headstone tent umbrella parasol trellis pergola beehive hut shed fence " +
		"strauch busch hecke pflock sitzbank gartenbank parkbank laterne lampe pfosten mast fels findling stein skulptur denkmal schaukel spielgerät spielgeräte beet blumenbeet schild zaun " +
		"buisson arbuste haie piquet banc lampadaire poteau rocher pierre statue balançoire jeux massif panneau clôture " +
		"arbusto seto banco farola poste roca piedra estatua escultura columpio juego valla " +
		"struik heg lantaarn lantaarnpaal paal rots steen beeld schommel speeltoestel bloembed hek " +
		"cespuglio siepe panchina lampione palo roccia pietra statua scultura altalena aiuola recinto " +
		"buske busk hæk häck hekk bænk bänk benk lygtepæl lyktstolpe lyktestolpe pæl stolpe klippa sten stein skulptur gynge gunga huske rabat rabatt staket gjerde hegn " +
		"pensas penkki lyhty pylväs kivi patsas keinu kukkapenkki aita grabstein fahnenmast wärmepumpe flüssiggastank trafo findlinge bienenstöcke gemüsebeet",
	kindNone: "large big great small little old new young low high tall round wooden metal iron steel concrete granite marble bronze garden single group row the a an of and in with " +
		"groß große großer gross grosse grosser klein kleine kleiner alt alte alter neu der die das ein eine und mit grand grande petit petite vieux vieille le la les un une de du des et " +
		"gran pequeño pequeña viejo vieja el los las y con groot grote kleine oud oude het een en met piccolo piccola vecchio vecchia il lo e stor store stora liten lille gammel gammal og och iso pieni vanha ja",
}

// hazardWords are the same by word.
var hazardWords = sync.OnceValue(func() map[string]string {
	out := map[string]string{}
	for kind, words := range hazardWordLists {
		for _, w := range strings.Fields(words) {
			out[w] = kind
		}
	}
	return out
})

// compoundEnds are words of hazardWords that close longer words where words are
// written as one: Gartenteich, dorpsstraat, skogsväg.
var compoundEnds = sync.OnceValue(func() []string {
	return strings.Fields("teich weiher bach graben kanal brunnen becken hafen vijver sloot straße strasse straat fahrweg parkplatz väg vej treppe böschung grube schacht baum boom träd ufer")
})

// hazardKinds is what hazard_kind says.
type hazardKinds struct {
	text string // as it stands
	// gravest is the kind whose limit holds: water, drop, road, tree, or ""
	// for any other; all are all of them that the text names.
	gravest string
	all     []string
	// open is set where the hazard may be graver than the text tells: it says
	// nothing, or a word of it is not known; unknown is the first such word.
	open    bool
	unknown string
}

// hazardRank orders kinds, the gravest last.
var hazardRank = map[string]int{"tree": 1, "road": 2, "drop": 3, "water": 4, kindShore: 4}

// wallWords are words for a wall, which beside water stands above it.
var wallWords = strings.Fields("wall mauer mur muro muur vegg vägg mole")

// graveWords name the grave kinds in messages.
var graveWords = map[string]string{"water": "water", "road": "a road", "drop": "a drop"}

// parkingWords are words of hazard_kind for ground on which vehicles stand, which
// a closed line goes round as it goes round a pond; yardWords are such words
// where the word before them is one of a road: car park.
var (
	parkingWords = strings.Fields("parking carpark parkplatz parkplätze aparcamiento parcheggio")
	yardWords    = strings.Fields("park lot yard depot area forecourt")
)

// isBorder reports whether a closed line of the hazard is what it says and no
// more: a road may well run in a ring about a lawn. Of anything else it goes
// round an area.
func isBorder(f *Feature) bool {
	if hazardKind(f) != "road" {
		return false
	}
	return !parks(f.Attributes.Get(schema.PropHazardKind).Text())
}

// parks reports whether a text says ground on which vehicles stand.
func parks(text string) bool {
	before := ""
	for _, w := range letterWords(text) {
		one := strings.TrimSuffix(w, "s")
		if slices.ContainsFunc(parkingWords, func(end string) bool { return strings.HasSuffix(one, end) }) || slices.Contains(yardWords, one) && kindOfWord(before) == "road" {
			return true
		}
		before = w
	}
	return false
}

// kindOfWord is the kind that one folded word stands for, "" for an unknown
// one.
func kindOfWord(w string) string {
	k := hazardWords()[w]
	if k == "" {
		k = hazardWords()[strings.TrimSuffix(w, "s")]
	}
	for _, end := range compoundEnds() {
		if k == "" && len(w) > len(end) && strings.HasSuffix(w, end) {
			k = hazardWords()[end]
		}
	}
	return k
}

// kindAt is the kind of the words that a text begins with, and of how many: two
// that are one thing (light well, car park) are not what either is.
func kindAt(words []string) (kind string, n int) {
	if len(words) > 1 {
		if k := hazardWords()[words[0]+strings.TrimSuffix(words[1], "s")]; k != "" && k != kindNone {
			return k, 2
		}
	}
	return kindOfWord(words[0]), 1
}

// oneKind holds the kinds of texts of one word, made once: most texts are that.
var oneKind = map[string][]string{"water": {"water"}, "road": {"road"}, "drop": {"drop"}, "tree": {"tree"}}

// kindsOf reads the hazard_kind of a hazard.
func kindsOf(f *Feature) hazardKinds {
	if f.kinds != nil {
		return *f.kinds
	}
	out := hazardKinds{text: f.Attributes.Get(schema.PropHazardKind).Text()}
	switch kind := hazardWords()[out.text]; kind {
	case "", kindNone, kindShore:
	case kindSolid:
		return out
	default: // as most have it
		out.gravest, out.all = kind, oneKind[kind]
		return out
	}
	words := letterWords(out.text)
	if joined := strings.Join(words, ""); len(words) > 1 && hazardWords()[joined] != "" { // ha-ha, car-park
		words = []string{joined}
	}
	solid, wall := false, false
	add := func(k string) {
		if !slices.Contains(out.all, k) {
			out.all = append(out.all, k)
		}
		if hazardRank[k] > hazardRank[out.gravest] {
			out.gravest = k
		}
	}
	for i := 0; i < len(words); i++ {
		w := words[i]
		k, n := kindAt(words[i:])
		for _, part := range words[i : i+n] {
			wall = wall || slices.Contains(wallWords, strings.TrimSuffix(part, "s"))
		}
		i += n - 1
		switch k {
		case "":
			if out.unknown == "" {
				out.unknown = w
			}
		case kindSolid:
			solid = true
		case kindNone:
		case kindShore:
			add("water")
			add("drop")
		default:
			add(k)
		}
	}
	if wall && out.gravest == "water" { // a harbour wall is one that drops into it
		add("drop")
	}
	if hazardRank[out.gravest] < hazardRank["road"] {
		out.open = out.unknown != "" || out.gravest == "" && !solid
	}
	return out
}

// hazardKind is the kind of a hazard whose limit holds: water, road, drop or
// tree, "" for any other. Of a kind in several words the gravest counts.
func hazardKind(f *Feature) string { return kindsOf(f).gravest }

// grave reports whether blades must not come near: water, a road, a drop, or
// what may be one.
func (k hazardKinds) grave() bool { return k.open || hazardRank[k.gravest] >= hazardRank["road"] }

// hazardMargin is the clearance in metres that a hazard needs: the widest of
// its kinds', and of all where its kind is not known.
func (r *run) hazardMargin(f *Feature) float64 {
	k, l := kindsOf(f), r.of(f)
	m, _ := l.HazardMargin(k.gravest)
	for _, kind := range k.all {
		if v, _ := l.HazardMargin(kind); v > m {
			m = v
		}
	}
	if k.open {
		for kind := range oneKind {
			if v, _ := l.HazardMargin(kind); v > m {
				m = v
			}
		}
	}
	return m
}

// unclear says why a hazard was held to the widest margin and what to do, ""
// where its kind is known.
func (k hazardKinds) unclear() string {
	const mend = "set hazard_kind to water, road, drop or tree, or to the word of a solid thing such as bench or rock"
	switch {
	case !k.open:
		return ""
	case k.text == "":
		return "its hazard_kind is missing, so it may be water, a road or a drop: " + mend
	case k.unknown == "":
		return fmt.Sprintf("its hazard_kind %s names no kind, so it may be water, a road or a drop: %s", quote(k.text), mend)
	}
	near := ""
	if w := nearestKind(k.unknown); w != "" {
		near = "; perhaps " + quote(w) + " is meant"
	}
	return fmt.Sprintf("its hazard_kind %s is not known, so it may be water, a road or a drop%s: %s", quote(k.text), near, mend)
}

// nearestKind is the word of a kind that an unknown one differs from by one
// slip, the gravest of several, "" for none.
func nearestKind(word string) string {
	best := ""
	if len([]rune(word)) < 3 {
		return best
	}
	for w, kind := range hazardWords() {
		if kind == kindNone || len([]rune(w)) < 4 || !oneSlip(word, w) {
			continue
		}
		a, b := hazardRank[kind], hazardRank[hazardWords()[best]]
		if best == "" || a > b || a == b && w < best {
			best = w
		}
	}
	return best
}
