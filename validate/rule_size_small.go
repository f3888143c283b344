// Things about a metre across that stand in lawns, drawn smaller than any, and small things
// drawn larger than any, of geometry-unfit.

package validate

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"sync"

	"swardline/schema"
)

// leastBoulderM is from where on a stone is a boulder: 256 mm (C. K. Wentworth, A
// scale of grade and class terms for clastic sediments, 1922).
const leastBoulderM = 0.256

// leastSmall are words for such things by how many metres the smallest reaches from
// corner to corner, words of two written as one (common practice, no source).
var leastSmall = sync.OnceValue(func() map[string]float64 {
	return byWord(map[float64]string{
		1.2: "whirlpool hottub",
		0.9: "picnictable picnicbench picknicktisch picknicktafel",
		0.6: "bench benches benchseat parkbench parkbank gartenbank sitzbank banc banco panchina bænk bänk benk penkki lounger sunlounger deckchair hutch henhouse hühnerstall wärmepumpe heatpump gastank oiltank flüssiggastank",
		0.5: "table tisch gartentisch mesa tavolo pöytä",
		0.4: "manhole einstiegsschacht composter komposter compostbin lichtschacht lightwell windowwell " +
			"beehive bienenstock bienenstöcke ruche colmena alveare bijenkast bikube bikupa",
		0.3: "chair gartenstuhl waterbutt rainbarrel regentonne fountain springbrunnen",
		0.2: "sundial sonnenuhr birdbath vogeltränke birdtable barbecue bbq planter gravestone headstone grabstein",
		// of stone
		leastBoulderM: "boulder findling felsblock",
	})
})

// toySaid make of a thing one to play with.
var toySaid = strings.Fields("toy model miniature mini doll dolls bee bug insect spielzeug modell miniatur puppen jouet juguete speelgoed giocattolo")

// smallLeast is how many metres the smallest thing reaches that words say, whose
// last is what it is, 0 where that cannot be told.
func smallLeast(words []string) float64 {
	for len(words) > 1 && isTag(words[len(words)-1]) {
		words = words[:len(words)-1]
	}
	n := len(words)
	if n == 0 || slices.ContainsFunc(words, func(w string) bool { return slices.Contains(toySaid, w) }) {
		return 0
	}
	of := leastSmall()
	if n > 1 {
		if v := of[words[n-2]+words[n-1]]; v > 0 {
			return v
		}
		if slices.Contains(modelWords, words[n-2]) && !strings.HasPrefix(words[n-2], "gar") { // for birds; what is a garden's is as large
			return 0
		}
	}
	return max(of[words[n-1]], of[strings.TrimSuffix(words[n-1], "s")])
}

// smallNamed is smallLeast of names of things, 0 where they say that a part is meant.
var smallNamed = remembered[float64]{of: func(name string) float64 {
	words := letterWords(name)
	if slices.ContainsFunc(words, func(w string) bool { return littleWords[w] || nearOnlyWords[w] }) {
		return 0
	}
	return smallLeast(words)
}}

// smallDrawn tells of a hazard, or a keep-out in the midst of a lawn, that is drawn
// smaller than what its kind or its name says is ever made: blades come at what
// stands out of it.
func (r *run) smallDrawn(f *Feature) {
	if f.Role != schema.RoleHazard && f.Role != schema.RoleKeepout || len(f.Lines) > 0 || f.reachDrawn() == 0 && len(f.Points) > 0 {
		return
	}
	least, what := 0.0, f.Name
	if f.Role == schema.RoleHazard {
		if k := kindsOf(f); len(k.text) > 0 {
			least, what = smallLeast(letterWords(k.text)), k.text
		}
	}
	if named := smallNamed.get(f.Name); named > least {
		least, what = named, f.Name
	}
	if least == 0 || !f.usable() || r.Frame == FrameNone {
		return
	}
	across := acrossDrawn(f) + 2*f.reachDrawn()
	if across >= least-1e-6 || across < leastAcrossM || f.Role == schema.RoleKeepout && !r.amidst(f) {
		return
	}
	x := r.finding(r.middle(f), f)
	x.Severity = Warning
	if f.Role == schema.RoleKeepout {
		x.Severity = Note
	}
	x.Measured, x.Limit, x.Unit = across, least, "m"
	x.Message = fmt.Sprintf("says %s and reaches %s from corner to corner, and none such is smaller than %s: what stands out of the drawing is kept off nowhere; measure it, and draw its outline, or give it another name", quote(what), metresPast(across, least), metres(least))
}

// mostSmall are words for small things by how many metres the largest reaches from corner
// to corner, with room for a bed about it, words of two written as one (common practice, no
// source).
var mostSmall = sync.OnceValue(func() map[string]float64 {
	return byWord(map[float64]string{
		3: "manhole hydrant tap standpipe sprinkler signpost sign post pole stake stump bin dustbin postbox mailbox sundial birdbath birdtable gnome marker plaque drain gully " +
			"einstiegsschacht hydrant regner schild pfosten pfahl baumstumpf mülleimer papierkorb briefkasten sonnenuhr vogeltränke gartenzwerg bouche bornefontaine panneau poteau poubelle boîte boca señal poste papelera buzón paal bord prullenbak brievenbus palo cartello cestino stolpe skilt postkasse tolppa kyltti",
		6:  "lamp lamppost lantern light mast flagpole flagstaff chair bollard hydrant planter barbecue bbq composter beehive waterbutt laterne lampe straßenlampe fahnenmast gartenstuhl poller grill kompost komposter bienenstock regentonne lampadaire lanterne chaise mâtdedrapeau farola lámpara silla lantaarn stoel lampione sedia lykta stol lyhty tuoli",
		12: "bench table picnictable statue sculpture swing swings birdhouse well gartenbank sitzbank parkbank tisch picknicktisch statue skulptur schaukel ziehbrunnen banc table statue balançoire puits banco mesa estatua columpio pozo bankje tafel standbeeld schommel panchina tavolo statua altalena pozzo bänk bord staty gunga penkki pöytä patsas keinu",
		20: "shrub bush boulder rock fountain trampoline strauch busch findling felsblock springbrunnen trampolin arbuste buisson rocher fontaine arbusto roca fuente struik rots fontein cespuglio roccia fontana buske sten",
		30: "shed schuppen gartenhaus cabanon remise cobertizo schuur capanno skur bod vaja",
		50: "oak beech lime tree apple pear cherry birch spruce fir pine eiche buche linde baum apfelbaum birnbaum kirschbaum birke fichte tanne kiefer chêne hêtre tilleul arbre pommier sapin roble haya árbol manzano pino eik beuk boom appelboom quercia faggio albero melo träd ek bok træ puu tammi koivu",
	})
})

// mostNamed is how many metres the largest thing reaches that a whole name says, with words
// of order alone beside, 0 for none.
var mostNamed = remembered[leastSaid]{of: func(name string) leastSaid {
	order := wordSets()[schema.RoleZone].order
	words := letterWords(name)
	most, word := 0.0, ""
	for i := 0; i < len(words); i++ {
		n := 1
		if i+1 < len(words) && mostSmall()[words[i]+words[i+1]] > 0 {
			n = 2
		}
		v := mostSmall()[strings.Join(words[i:i+n], "")]
		switch {
		case v > 0 && most == 0:
			most, word = v, strings.Join(words[i:i+n], " ")
		case v > 0 || !order[words[i]] && !isTag(words[i]) && !isNumber(words[i]) || nearOnlyWords[words[i]]:
			return leastSaid{} // of two things, or of what lies by one
		}
		i += n - 1
	}
	return leastSaid{most, word}
}}

// largeForName notes a thing that is drawn larger than any of its name: another is drawn,
// in another unit, or something else within it.
func (r *run) largeForName(f *Feature) {
	switch f.Role {
	case schema.RoleKeepout, schema.RoleHazard, schema.RoleBuilding, schema.RoleOther:
	default:
		return
	}
	if len(f.Areas) == 0 && f.reachDrawn() == 0 || len(f.Lines) > 0 || !f.usable() || r.Frame == FrameNone {
		return
	}
	said := mostNamed.get(f.Name)
	if said.least == 0 || f.Role == schema.RoleBuilding && said.word == "post" { // where letters are sent
		return
	}
	for i := range f.Areas {
		if len(f.Areas[i].Ground) == 0 {
			continue
		}
		pts := f.Areas[i].Ground[0]
		b := narrowestBox(pts)
		if across := math.Hypot(b.long, b.short); across > said.least+1e-6 {
			r.tellLarge(f, said, across)
			return
		}
	}
	if across := 2 * f.reachDrawn(); len(f.Areas) == 0 && across > said.least+1e-6 {
		r.tellLarge(f, said, across)
	}
}

func (r *run) tellLarge(f *Feature, said leastSaid, across float64) {
	x := r.finding(r.middle(f), f)
	x.Severity = Note
	x.Measured, x.Limit, x.Unit = across, said.least, "m"
	x.Message = fmt.Sprintf("its name says %s, it reaches %s from corner to corner, and none such is larger than %s: was it drawn in another unit, or is it something else? measure it, or give it the name of what lies there", quote(said.word), metresPast(across, said.least), metres(said.least))
}
