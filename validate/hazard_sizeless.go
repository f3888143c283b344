// Solid things that are wide, drawn as a point without a size, of the rule
// hazard-uncovered.

package validate

import (
	"slices"
	"strings"

	"github.com/paulmach/orb"

	"swardline/schema"
	"swardline/validate/plane"
)

// sizelessReachM is how far from its point a wide thing of no radius_m may
// reach, and solidReachM one that may be wider than half a metre (common
// practice, no source).
const (
	sizelessReachM = 10.0
	solidReachM    = 2.0
	// leastWideM is how wide a keep-out has to be to hold a wide thing.
	leastWideM = 1.5
)

// Words of hazard_kind for solid things: those that are metres wide, beside
// what hides sky, and those that are half a metre wide and less, or well known
// to be little more (benches).
var (
	wideWords = strings.Fields("playground play trampoline climbing carousel sandpit sandbox bed flowerbed border rockery equipment monument memorial stage terrace patio court table_tennis goal goals swing swings slide seesaw " +
		"spielplatz spielgerät spielgeräte trampolin sandkasten beet blumenbeet denkmal schaukel rutsche wippe jeux massif parterre balançoire toboggan columpio columpios juego juegos portería parque_infantil speelplaats speeltuin zandbak bloembed schommel glijbaan aiuola altalena giochi " +
		"lekplats lekeplass legeplads sandlåda sandkasse rabatt huske gynge gunga leikkipaikka hiekkalaatikko kukkapenkki keinu")
	slimWords = strings.Fields("post pole pillar bollard lamp lamppost lantern light sign signpost hydrant tap standpipe sprinkler lid cover valve marker peg stake mast flagpole column stone stump bench seat bin meter " +
		"pfosten pfahl pfeiler poller säule laterne lampe leuchte schild hahn regner deckel ventil markierung stein baumstumpf stumpf stange pflock sitzbank gartenbank parkbank eimer " +
		"poteau pilier borne lampadaire panneau robinet arroseur couvercle vanne piquet mât colonne pierre souche banc poste pilar bolardo farola señal hidrante grifo aspersor tapa válvula estaca mástil columna piedra tocón banco " +
		"paal paaltje zuil lantaarn lantaarnpaal bord kraan sproeier deksel klep steen stronk zitbank palo pilastro lampione cartello idrante rubinetto irrigatore coperchio valvola picchetto colonna pietra ceppo panchina " +
		"stolpe pæl påle pullert lygtepæl lyktstolpe lyktestolpe lampa skilt skylt brandpost hane spreder spridare dæksel lokk søjle søyle kolonn sten stubbe bænk bänk benk pylväs tolppa pollari lamppu valaisin lyhty kyltti hana sadetin kansi venttiili paalu masto kivi kanto penkki")
)

// sizelessReach is how far from its point a solid thing of no size may reach, 0
// for one that is slim.
func sizelessReach(f *Feature) float64 {
	has := func(words []string, w string) bool {
		return slices.Contains(words, w) || slices.Contains(words, strings.TrimSuffix(w, "s"))
	}
	slim, other, last := false, false, ""
	for _, w := range wordsOf(f.Attributes.Get(schema.PropHazardKind).Text()) {
		last = w
		switch {
		case w == "mast":
			slim = true
		case has(wideWords, w) || has(highWords, w) || has(tallWords, w):
			return sizelessReachM
		case has(slimWords, w) || slices.ContainsFunc(slimWords, func(end string) bool { return len(end) >= 4 && len(w) > len(end)+2 && strings.HasSuffix(w, end) }):
			slim = true
		case kindOfWord(w) == kindNone || strings.Trim(w, "0123456789") == "":
		default:
			other = true
		}
	}
	switch {
	case last == "garden" || last == "gardens": // of sculptures
		return sizelessReachM
	case other || !slim:
		return solidReachM
	}
	return 0
}

// sizelessThings records solid things that are not slim, drawn as a point
// without radius_m under no keep-out that could hold them, with driven ground as near as they may
// reach.
func (r *run) sizelessThings(hazards []*Feature, zones *solids, corridors []corridorLine) {
	for _, f := range hazards {
		kind := kindsOf(f)
		if radius, ok := f.Float(schema.PropRadiusM); ok && radius > 0 || len(f.Points) == 0 || kind.gravest != "" {
			continue
		}
		reach := sizelessReach(f)
		if reach == 0 || reach < sizelessReachM && kind.open { // which is asked for its size wherever it stands
			continue
		}
		near := false
		for i := range f.Points {
			at := f.Points[i].Ground
			box := at.Bound().Pad(reach)
			if slices.ContainsFunc(r.keepouts().near(box), func(k int) bool {
				if b := r.keepouts().bounds[k]; reach == sizelessReachM && min(b.Max[0]-b.Min[0], b.Max[1]-b.Min[1]) < leastWideM {
					return false
				}
				d, _, _, ok := plane.NewGauge(at).Within(r.keepouts().gauge(k), slackM)
				return ok && d == 0
			}) {
				continue
			}
			near = near || r.nearDriven(at, box, reach, zones, corridors)
		}
		if near && reach < sizelessReachM {
			r.cannot("%s is a thing that may be wide, drawn as a point, which has no size: give it radius_m, or draw its outline", f.describe())
		} else if near {
			r.cannot("%s is a thing of some metres drawn as a point, which has no size: give it radius_m, or draw its outline", f.describe())
		}
	}
}

// nearDriven reports whether a zone, or what the machine covers in a corridor,
// comes within reach of a geometry, whose box is that much larger.
func (r *run) nearDriven(g orb.Geometry, box orb.Bound, reach float64, zones *solids, corridors []corridorLine) bool {
	gauge := plane.NewGauge(g)
	for _, z := range zones.near(box) {
		if _, _, _, ok := gauge.Within(zones.gauge(z), reach); ok {
			return true
		}
	}
	for k := range corridors {
		if _, _, _, ok := gauge.Within(plane.NewGauge(corridors[k].pts), reach+r.halfWidth(corridors[k].f)); ok {
			return true
		}
	}
	return false
}

// centreLineWords are words for the middle line of a road or stream, whole or the
// end of a word written as one, and centreWords those that are so in a
// hazard_kind alone: a name may well tell of a garden centre.
var (
	centreLineWords = strings.Fields("centreline centerline achse mittellinie mezzeria hartlijn middellijn midtlinje mittlinje keskilinja midline axis axe eje asse thalweg talweg sohle vägmitt")
	centreWords     = strings.Fields("centre center mitte cl")
)

// saysCentre reports whether a hazard says that its line is the middle of it.
func saysCentre(f *Feature) bool {
	says := func(words, of []string) bool {
		for i, w := range words {
			next := ""
			if i+1 < len(words) {
				next = words[i+1]
			}
			if slices.ContainsFunc(of, func(end string) bool { return w == end || w+next == end || len(end) > 4 && strings.HasSuffix(w, end) }) || w == "c" && next == "l" {
				return true
			}
		}
		return false
	}
	kind := letterWords(f.Attributes.Get(schema.PropHazardKind).Text())
	return says(kind, centreWords) || says(kind, centreLineWords) || says(letterWords(f.Name), centreLineWords)
}

// centreLines records roads, waters and drops drawn as their middle line, of no
// width, with driven ground within sizelessReachM.
func (r *run) centreLines(hazards []*Feature, zones *solids, corridors []corridorLine) {
	for _, f := range hazards {
		kinds := kindsOf(f)
		if len(f.Lines) == 0 || f.growth() > 0 || !kinds.grave() {
			continue
		}
		if !saysCentre(f) {
			if z := r.lineInLawn(f, zones); z != nil {
				r.cannot("%s is one line through %s, and says nothing of how wide it is, or on which side of the line it lies: give it width_m, or draw its area", f.describe(), z.describe())
			}
			continue
		}
		what := graveWords[kinds.gravest]
		if what == "" {
			what = "something"
		}
		var lines orb.Collection
		for _, l := range f.lines() {
			lines = append(lines, l)
		}
		if r.nearDriven(lines, f.bound.Pad(sizelessReachM), sizelessReachM, zones, corridors) {
			r.cannot("%s is the middle line of %s, which says nothing of how wide it is: give it width_m, or draw its borders", f.describe(), what)
		}
	}
}

// lineInLawn is a zone that an open line of a road or a water, which is no
// border, runs through, under a keep-out or not; nil for none. Lines that close
// or that go round have an inside.
func (r *run) lineInLawn(f *Feature, zones *solids) *Feature {
	kind := kindsOf(f).gravest
	if kind == "drop" || kind != "water" && saysBorder(f) {
		return nil
	}
	for _, l := range f.lines() {
		if n := len(l); n < 2 || distance(l[0], l[n-1]) <= slackM {
			continue
		}
		for _, i := range zones.near(boundOf(l)) {
			for _, part := range clipInside(l, zones.areas[i]) {
				if groundLength(part) > leastWideM {
					return zones.features[i]
				}
			}
		}
	}
	return nil
}

// borderWords say that a line is the side of a road (common practice, no source).
var borderWords = strings.Fields("edge border kerb curb side verge rand kante bord bordure rive borde lado rand kant bordo ciglio reuna")

func saysBorder(f *Feature) bool {
	for _, text := range [...]string{f.Name, f.Attributes.Get(schema.PropHazardKind).Text()} {
		for _, w := range letterWords(text) {
			if slices.ContainsFunc(borderWords, func(end string) bool { return w == end || len(end) >= 4 && strings.HasSuffix(w, end) }) {
				return true
			}
		}
	}
	return false
}
