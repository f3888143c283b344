// Words for things that are as small as they are drawn, for words-unread: a disc
// of less than smallDiscM called a kiosk stands for more than itself.

package validate

import (
	"slices"
	"strings"
	"sync"

	"swardline/schema"
)

// smallDiscM is the radius in metres from which any name of a disc is taken (common
// practice, no source).
const smallDiscM = 0.6

// Words for small things, beside slimWords, halfWords and trees: things, and what
// stands before them to say which or of what (common practice, no source).
const (
	plainSmall = "bird birdbath birdhouse birdfeeder feeder bath sundial dial urn vase tub pot gnome statuette bust plaque buoy flag flags pin line dryer airer rotary clothesline washing downpipe vent chimney flue aerial antenna camera sensor gauge thermometer barometer speaker spotlight floodlight uplight torch bell mailbox letterbox postbox bucket barrel butt basket litter trash rubbish waste beehive hive nestbox hose reel socket column " +
		"goal corner fence gate gateway hedge washing drying basketball hoop marker rail railing picket trunk stub root stone rock boulder slab block gravestone grave headstone cross tombstone milestone totem obelisk pedestal plinth post tree fruit ornamental young old dead mature veteran sapling " +
		"wäschespinne wäschepfahl vogeltränke vogelhaus vogelhäuschen futterhaus sonnenuhr zwerg gartenzwerg fahne fahnenmast flutlichtmast flutlicht lichtmast strommast telefonmast torpfosten eckfahne zaunpfosten torpfahl eckpfosten regentonne tonne fass mülleimer mülltonne abfalleimer papierkorb briefkasten grabstein grabkreuz grabmal kreuz findling felsblock fels brocken stein steine statue figur büste skulptur vase kübel topf blumentopf blumenkübel schale regner versenkregner hydrant außenhahn wasserhahn zapfsäule lautsprecher kamera strahler bienenstock nistkasten obstbaum jung tot stamm pfahl holzpfahl baumpfahl sockel wegweiser ortsschild verkehrsschild haltestelle meilenstein grenzstein vermarkung " +
		"drapeau cadran solaire nain vasque fût tonneau poubelle corbeille boîte lettres tombe croix rocher bloc nichoir haut parleur souche piquet poteau but corde linge arroseur bouche incendie jeune mort fruitier tronc " +
		"bandera reloj sol enano maceta jarrón barril papelera buzón tumba cruz roca bloque nido altavoz boca riego joven muerto frutal tronco portería " +
		"vlag zonnewijzer kabouter pot ton vuilnisbak prullenbak brievenbus graf kruis rots blok nestkast luidspreker doelpaal waslijn jong dood fruitboom stam " +
		"bandiera meridiana nano vaso barile cestino cassetta tomba croce roccia blocco nido altoparlante giovane morto frutto tronco " +
		"flagga flag flagg solur tomte nisse kruka krukke potte tunna tønde tønne soptunna brevlåda postkasse grav kors block blokk holk høyttaler högtalare målstolpe ungt död stam stamme lippu aurinkokello tonttu ruukku tynnyri roskis postilaatikko hauta risti lohkare pönttö kaiutin maalitolppa nuori kuollut runko"
	plainMaterial = "wood wooden metal iron steel concrete granite marble bronze brick copper plastic sandstone limestone holz hölzern metall eisen stahl beton granit marmor bronze ziegel kupfer kunststoff sandstein kalkstein bois métal fer acier béton pierre madera hierro acero hormigón hout ijzer staal beton legno ferro acciaio cemento trä järn stål betong tre jern puu rauta teräs betoni"
	// plainSpecies are trees, beside those of hazard_kind, whose branches do not
	// hang down to the ground.
	plainSpecies = "alder aspen birch hornbeam hawthorn hazelnut magnolia mulberry peach quince rowan sycamore acacia robinia ginkgo catalpa elder olive fig lemon orange palm eucalyptus plane larch " +
		"erle espe aspe hainbuche weißdorn magnolie pfirsich quitte eberesche vogelbeere platane robinie akazie ulme esche lärche walnussbaum walnuss obstbaum zierkirsche mirabelle zwetschge feigenbaum " +
		"pommier poirier cerisier tilleul érable chêne hêtre aulne tremble charme aubépine mûrier pêcher cognassier sorbier platane acacia orme frêne mélèze noyer prunier olivier figuier palmier peuplier bouleau " +
		"manzano peral cerezo tilo roble arce aliso chopo carpe espino morera melocotonero membrillero plátano olmo fresno alerce nogal ciruelo olivo higuera palmera álamo abedul " +
		"kersenboom perenboom pruimenboom eik beuk els esp haagbeuk meidoorn moerbei perzik kwee plataan iep es lariks walnoot pruim populier berk ontano pioppo carpino biancospino gelso melo pero ciliegio tiglio acero quercia pesco platano olmo frassino larice noce prugno ulivo fico palma betulla " +
		"ek rönn lönn lind äppelträd päronträd körsbärsträd plommonträd egetræ æbletræ pæretræ kirsebærtræ blommetræ bøgetræ birketræ lindetræ epletre pæretre kirsebærtre plommetre eik omenapuu päärynäpuu kirsikkapuu luumupuu koivu tammi vaahtera lehmus pihlaja al asp avenbok hagtorn päron plommon alm ask lärk valnöt poppel björk el bøg birk ælm lønn bjørk osp leppä haapa saarni jalava lehtikuusi poppeli"
	// skirtedSpecies are trees whose branches reach down to the ground as long as
	// nobody cut them off: those with needles, and what weeps.
	skirtedSpecies = "spruce fir pine yew cedar cypress juniper thuja leylandii sequoia redwood conifer christmas holly weeping willow fichte tanne kiefer eibe zeder zypresse wacholder lebensbaum mammutbaum stechpalme weide trauerweide épicéa sapin pin if cèdre cyprès genévrier houx saule pícea abeto pino tejo cedro ciprés enebro acebo sauce spar den taxus ceder cipres jeneverbes hulst wilg abete tasso cedro cipresso ginepro agrifoglio salice gran tall idegran ceder cypress en järnek pil gran fyr taks ceder furu barlind kuusi mänty marjakuusi setri kataja paju"
)

// smallWords are what names of discs and of trees may be made of, and skirtedWords
// trees that are small only with branches that begin low or high up.
var (
	smallWords = sync.OnceValue(func() map[string]bool {
		return setOf(plainOrder, plainLawns, plainSmall, plainMaterial, plainSpecies, hazardWordLists["tree"], strings.Join(slimWords, " "), strings.Join(halfWords, " "))
	})
	skirtedWords = sync.OnceValue(func() map[string]bool { return setOf(skirtedSpecies) })
	smallPlaces  = sync.OnceValue(func() map[string]bool { return setOf(plainPlaces) })
)

// withWords are those after which more of it comes than a small thing.
var withWords = setOf("with and mit und avec et con y e met med og och ja plus samt")

// A tree with needles whose branches begin at skirtedM and lower has its skirt, and
// one skirtedTimes as high as they begin has lost it by age (common practice, no source).
const skirtedM, skirtedTimes = 0.5, 4.0

// discWord is a word of a name that may be one for more than a small thing: skirted
// is set of trees whose branches reach down, tree of words for trees.
type discWord struct {
	word          string
	skirted, tree bool
}

// discNames take names of small discs apart.
var discNames = remembered[[]discWord]{of: func(name string) (out []discWord) {
	words := nameWords(name)
	small, skirted := smallWords(), skirtedWords()
	for i, w := range words {
		switch {
		case isTag(w):
		case isNumber(w):
			if i+1 < len(words) && !isNumber(words[i+1]) && !unitWords[words[i+1]] && !isTag(words[i+1]) { // 3 benches
				out = append(out, discWord{word: w})
			}
		case withWords[w]:
			out = append(out, discWord{word: w})
		case skirted[w] || skirted[strings.TrimSuffix(w, "nbaum")]:
			out = append(out, discWord{word: w, skirted: true})
		case small[w], smallPlaces()[w] && i < len(words)-1: // of the pond, garden gate post
		case small[strings.TrimSuffix(w, "s")]: // several of them
			out = append(out, discWord{word: w})
		case endsIn(slimWords, w) || endsIn(halfWords, w):
		default:
			out = append(out, discWord{word: w, tree: endsIn(treeEnds, w) && !skirtedCompound(w)})
		}
	}
	return out
}}

// treeEnds end words for trees, written as one.
var treeEnds = strings.Fields("baum boom träd")

// largerWords are the words of the name of a small disc, or of a tree drawn as a point,
// that are none for a thing so small; nil for anything else.
func largerWords(f *Feature, house *schema.Limits) (out []string) {
	if f.Role != schema.RoleHazard || len(f.Points) == 0 || len(f.Lines)+len(f.Areas) > 0 {
		return nil
	}
	said := discNames.get(f.Name)
	tree := isTree(f)
	if len(said) == 0 || !tree && f.reachDrawn() >= smallDiscM {
		return nil
	}
	kind := nameWords(kindsOf(f).text)
	for _, d := range said {
		switch {
		case house.KnowsWord(d.word) || d.tree && tree:
		case d.skirted && tree && f.keepsSkirt():
		case !d.skirted && slices.Contains(kind, d.word): // how small that may be is told by itself
		default:
			out = append(out, d.word)
		}
	}
	return out
}

func skirtedCompound(w string) bool {
	for s := range skirtedWords() {
		if len(s) >= 4 && strings.HasPrefix(w, s) {
			return true
		}
	}
	return false
}

// keepsSkirt reports whether a tree says that its branches begin low, or is so high
// that they need not.
func (f *Feature) keepsSkirt() bool {
	base, said := f.Float(schema.PropCrownBaseM)
	if !said || base <= skirtedM+1e-9 {
		return true
	}
	height, ok := f.Float(schema.PropHeightM)
	return ok && height >= skirtedTimes*base-1e-9
}
