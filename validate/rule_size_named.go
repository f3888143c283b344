// Things that are drawn smaller than any of their name, of geometry-unfit.

package validate

import (
	"fmt"
	"slices"
	"strings"
	"sync"
	"unicode/utf8"

	"github.com/paulmach/orb"

	"swardline/schema"
	"swardline/validate/plane"
)

// leastNamed are things that a whole name says by how many metres across the smallest
// such is, words of two written as one (common practice, no source).
var leastNamed = sync.OnceValue(func() map[string]float64 {
	return byWord(map[float64]string{
		8:          "tenniscourt tennisplatz courtdetennis pistadetenis tennisbaan campodatennis tennisbana tennisbane tenniskenttä footballpitch footballfield soccerpitch soccerfield fußballplatz fussballplatz terraindefoot voetbalveld campodacalcio fotbollsplan fodboldbane fotballbane",
		leastFastM: "motorway freeway autobahn autoroute autopista autostrada autosnelweg motorväg motorvej motorvei moottoritie runway taxiway",
		4:          "factory fabrik usine fábrica fabriek fabbrica tehdas hotel hôtel village dorf hospital krankenhaus",
		3:          "hall halle villa farmhouse bauernhaus hill hügel colline colina heuvel collina orchard obstgarten obstwiese verger weinberg vineyard school schule schulhaus école escuela scuola skola skole koulu railwaystation bahnhof sportshall turnhalle harbour harbor hafen puerto haven hamn havn carpark parkinglot parkplatz aparcamiento parcheggio parkeerplaats parkeringsplats parkeringsplads parkeringsplass pysäköintialue",
		2: "house haus wohnhaus maison casa huis hus talo garage barn scheune grange schuur granero fienile cottage church kirche chapel kapelle playground spielplatz speelplaats speeltuin airedejeux parquegiochi lekplats legeplads lekeplass leikkipaikka lake river quarry " +
			"road street lane highway strasse fahrbahn chaussée carretera calzada straat rijbaan strada vei vej väg tie railway railroad gleis bahngleis bahnlinie ferrocarril spoorlijn ferrovia jernbane järnväg rautatie canal kanal canale gracht forest woods woodland wald forêt bosque bos bosco skog skov metsä cliff falaise acantilado klippe",
		1:         "stream brook ditch bach graben ruisseau fossé arroyo acequia sloot beek fosso ruscello bäck bæk bekk grøft oja pool swimmingpool schwimmbecken piscine piscina zwembad uimaallas swing swings schaukel balançoire columpio schommel altalena gunga gynge huske keinu slide greenhouse gewächshaus serre invernadero kas serra växthus drivhus kasvihuone gazebo pergola summerhouse",
		0.5:       "trees bäume arbres árboles bomen alberi träd træer trær stairs staircase stairway treppe escalier escalera escaleras scala scale trappa trappe portaat hedge hecke haie seto siepe häck hæk hekk",
		0.4:       "well ziehbrunnen puits pozo pozzo brønd brunn brønn",
		leastToyM: "trampoline trampolin trampoliini shed schuppen tent zelt tente",
	})
})

// byWord is a table of words by what they have in common, the other way round.
func byWord(table map[float64]string) map[string]float64 {
	out := map[string]float64{}
	for least, words := range table {
		for w := range strings.FieldsSeq(words) {
			out[w] = least
		}
	}
	return out
}

const leastToyM = 0.8

// littleWords are words of order that make a small thing of a large one.
var littleWords = setOf("little small short klein kleine kleines kleiner petit petite pequeño pequeña kleine piccolo piccola liten lilla lille pieni part section piece corner end edge side teil stück ecke rand seite partie coin bout bord parte esquina lado deel hoek kant angolo bordo del hörn sida osa kulma reuna")

// readSizeName is how many metres across the smallest thing is that a name says and
// nothing else but words of place and order, 0 for none, and the word.
func readSizeName(name string) (least float64, word string) {
	order := wordSets()[schema.RoleZone].order
	words := letterWords(name)
	if slices.ContainsFunc(words, func(w string) bool { return littleWords[w] }) {
		return 0, ""
	}
	for i := 0; i < len(words); i++ {
		for n := min(3, len(words)-i); n > 0; n-- {
			if v := leastNamed()[strings.Join(words[i:i+n], "")]; v > 0 {
				if word != "" {
					return 0, "" // of two things
				}
				least, word = v, strings.Join(words[i:i+n], " ")
				words = slices.Delete(words, i, i+n)
				i--
				break
			}
		}
	}
	for _, w := range words {
		if !order[w] && utf8.RuneCountInString(w) > 1 || nearOnlyWords[w] {
			return 0, ""
		}
	}
	return least, word
}

type leastSaid struct {
	least float64
	word  string
}

var namedLeast = remembered[leastSaid]{of: func(name string) leastSaid {
	least, word := readSizeName(name)
	return leastSaid{least, word}
}}

// smallForName tells of a keep-out in the midst of a lawn, a hazard's or a building's
// outline, or one of the role other within nearLawnM of driven ground, that is smaller across
// than anything of its name.
func (r *run) smallForName(f *Feature) {
	switch f.Role {
	case schema.RoleKeepout, schema.RoleHazard, schema.RoleBuilding, schema.RoleOther:
	default:
		return
	}
	if len(f.Areas) == 0 || len(f.Lines)+len(f.Points) > 0 || !f.usable() || r.Frame == FrameNone {
		return
	}
	said := namedLeast.get(f.Name)
	least, word := said.least, said.word
	if least == 0 {
		return
	}
	var outline []orb.Point
	for i := range f.Areas {
		if len(f.Areas[i].Ground) > 0 {
			outline = append(outline, f.Areas[i].Ground[0]...)
		}
	}
	across, _ := sidesOf(outline)
	if across >= least-1e-6 || across < leastAcrossM {
		return
	}
	if f.Role == schema.RoleKeepout && !r.amidst(f) {
		return // of what it is drawn round a part may lie in the lawn
	}
	if f.Role == schema.RoleOther {
		if over, _ := f.Attributes.Get(schema.PropDrivenOver).Truth(); over || !r.standsNear(f) {
			return
		}
	}
	x := r.finding(r.middle(f), f)
	x.Severity = Note
	x.Measured, x.Limit, x.Unit = across, least, "m"
	x.Message = fmt.Sprintf("its name says %s, it is %s across, and none such is smaller than %s: was it drawn in another unit, or round a part of it? measure it, or give it another name", quote(word), metresPast(across, least), metres(least))
}

// nearLawnM is how far off driven ground, in metres, the size of what has the role other is
// asked (common practice, no source).
const nearLawnM = 10.0

// standsNear reports whether a feature lies near driven ground.
func (r *run) standsNear(f *Feature) bool {
	h := r.hazardShape(f)
	shape := h.geometry()
	if h.why != "" || shape == nil {
		return false
	}
	_, of, _ := r.drivenNear(shape, nearLawnM)
	return of != nil
}

// amidst reports whether all corners of an area lie inside one zone.
func (r *run) amidst(f *Feature) bool {
	zones := r.zones()
	return slices.ContainsFunc(zones.near(f.bound), func(i int) bool {
		for k := range f.Areas {
			for _, ring := range f.Areas[k].Ground {
				for _, p := range ring {
					if plane.Locate(p, zones.areas[i]) != plane.Inside {
						return false
					}
				}
			}
		}
		return true
	})
}

// sportSizes are grounds for sports by their names, written as one word, in nine languages: least
// length, most length, least width and most width. From memory of the published laws of
// each game: football 90-120 by 45-90 m (IFAB, law 1), of youth from 37 by 27; tennis 23.77
// by 8.23 or 10.97 m, with its run-off 36.57 by 18.29 (ITF, rule 1); rugby 100 by 70 m and
// up to 22 m of in-goal at either end (World Rugby, law 1); hockey 91.40 by 55 m (FIH,
// rule 1); croquet 32 by 25.6 m (35 by 28 yards), small lawns half of that; bowls greens 31
// to 40 m a side, and crown greens up to 60. Run-off of up to 10 m a side is let be.
var sportSizes = sync.OnceValue(func() map[string][4]float64 {
	out := map[string][4]float64{}
	for words, size := range map[string][4]float64{
		"footballpitch soccerpitch soccerfield fußballplatz fussballplatz fußballfeld fussballfeld terraindefootball terraindefoot campodacalcio campodicalcio campodefútbol voetbalveld fotbollsplan fodboldbane fotballbane jalkapallokenttä": {35, 140, 25, 110},
		"tenniscourt tennisplatz courtdetennis terraindetennis campodatennis pistadetenis tennisbaan tennisbana tennisbane tenniskenttä grasstenniscourt lawntenniscourt":                                                                       {23, 45, 8, 25},
		"rugbypitch rugbyfield rugbyplatz terrainderugby campodarugby campoderugby rugbyveld":                                                                                                                                                   {60, 165, 35, 90},
		"hockeypitch hockeyfield hockeyplatz terraindehockey hockeyveld":                                                                                                                                                                        {45, 115, 25, 80},
		"croquetlawn croquetcourt croquetrasen": {12, 50, 10, 45},
		"bowlinggreen bowlsgreen bowlinglawn":   {18, 65, 18, 65},
	} {
		for w := range strings.FieldsSeq(words) {
			out[w] = size
		}
	}
	return out
})

// sportNamed is the ground that a name says and nothing else but words of place and
// order, in sportSizes, "" for none.
var sportNamed = remembered[string]{of: func(name string) string {
	order := wordSets()[schema.RoleZone].order
	words := letterWords(name)
	if slices.ContainsFunc(words, func(w string) bool { return littleWords[w] }) {
		return ""
	}
	for i := range words {
		for n := min(3, len(words)-i); n > 0; n-- {
			key := strings.Join(words[i:i+n], "")
			if _, ok := sportSizes()[key]; !ok {
				continue
			}
			rest := slices.Concat(words[:i:i], words[i+n:])
			if slices.ContainsFunc(rest, func(w string) bool { return !order[w] && utf8.RuneCountInString(w) > 1 || nearOnlyWords[w] }) {
				return ""
			}
			return key
		}
	}
	return ""
}}

// oddForSport notes a lawn that is called a ground for a sport, and is smaller or larger
// than any: drawn in another unit, or scaled.
func (r *run) oddForSport(f *Feature) {
	if f.Role != schema.RoleZone || len(f.Areas) != 1 || len(f.Areas[0].Ground) == 0 || !f.usable() || r.Frame == FrameNone {
		return
	}
	key := sportNamed.get(f.Name)
	if key == "" {
		return
	}
	size := sportSizes()[key]
	long, short := sidesOf(f.Areas[0].Ground[0])
	for i, v := range [...]float64{long, short} {
		least, most := size[2*i], size[2*i+1]
		if v >= least-1e-6 && v <= most+1e-6 {
			continue
		}
		x := r.finding(r.middle(f), f)
		x.Severity, x.Unit = Note, "m"
		x.Measured, x.Limit = v, least
		if v > most {
			x.Limit = most
		}
		x.Message = fmt.Sprintf("its name says %s, it is %s by %s, and none such is less than %s by %s, or more than %s by %s: was it drawn in another unit, or scaled? measure it, or give it another name",
			quote(f.Name), metresPast(long, x.Limit), metresPast(short, x.Limit), metres(size[0]), metres(size[2]), metres(size[1]), metres(size[3]))
		return
	}
}
