// Solid things that are wide, drawn as a point without a size, of the rule
// hazard-uncovered.

package validate

import (
	"math"
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

// How far in metres what says no size is taken to reach, under a keep-out or not,
// past its point or its line: trees, stumps, benches and what else is about half a
// metre wide, hedges, beds and walls as well; other solid things; a ditch or brook
// of which one line is drawn (common practice, no source).
const (
	halfReachM  = 0.25
	wholeReachM = 0.5
	trackReachM = 1.5 // half of what runs on a railway
	slopeReachM = 1.0 // a bank of which one line is drawn, its top or its foot
	benchLongM  = 3.0 // what is shorter and called bank may be a bench
)

// Words of hazard_kind for solid things: those that are metres wide, beside
// what hides sky, and those that are half a metre wide and less, or well known
// to be little more (benches).
var (
	wideWords = strings.Fields("playground play trampoline climbing carousel sandpit sandbox bed flowerbed border rockery equipment monument memorial stage terrace patio court table_tennis goal goals swing swings slide seesaw " +
		"spielplatz spielgerät spielgeräte trampolin sandkasten beet blumenbeet denkmal schaukel rutsche wippe jeux massif parterre balançoire toboggan columpio columpios juego juegos portería parque_infantil speelplaats speeltuin zandbak bloembed schommel glijbaan aiuola altalena giochi " +
		"lekplats lekeplass legeplads sandlåda sandkasse rabatt huske gynge gunga leikkipaikka hiekkalaatikko kukkapenkki keinu")
	slimWords = strings.Fields("post pole pillar bollard lamp lamppost lantern light sign signpost hydrant tap standpipe sprinkler lid cover valve marker peg stake mast flagpole meter " +
		"pfosten pfahl pfeiler poller laterne lampe leuchte schild hahn regner deckel ventil markierung stange pflock " +
		"poteau pilier borne lampadaire panneau robinet arroseur couvercle vanne piquet mât poste pilar bolardo farola señal hidrante grifo aspersor tapa válvula estaca mástil " +
		"paal paaltje lantaarn lantaarnpaal bord kraan sproeier deksel klep palo pilastro lampione cartello idrante rubinetto irrigatore coperchio valvola picchetto " +
		"stolpe pæl påle pullert lygtepæl lyktstolpe lyktestolpe lampa skilt skylt brandpost hane spreder spridare dæksel lokk pylväs tolppa pollari lamppu valaisin lyhty kyltti hana sadetin kansi venttiili paalu masto")
	halfWords = strings.Fields("column stone stump bench seat bin säule stein baumstumpf stumpf sitzbank gartenbank parkbank eimer colonne pierre souche banc columna piedra tocón banco " +
		"zuil steen stronk zitbank colonna pietra ceppo panchina søjle søyle kolonn sten stubbe bænk bänk benk kivi kanto penkki")
	// bandWords are words for solid things that run along a line and are wide.
	bandWords = strings.Fields("hedge bush bushes shrub shrubs shrubbery bed flowerbed border rockery planter " +
		"hecke busch strauch beet blumenbeet haie buisson massif parterre seto arbusto haag heg struik bloembed siepe cespuglio aiuola hæk hekk häck buske busk rabat rabatt pensas pensasaita kukkapenkki")
	// flowWords are words for water and for trenches of which one line is most often
	// the middle.
	flowWords = strings.Fields("stream brook beck burn ditch canal creek rill swale bach graben kanal ruisseau fossé fosse arroyo acequia sloot beek gracht ruscello fosso bekk bäck bæk grøft noue bief wadi vaart roggia naviglio versickerungsmulde oja dike " +
		"trench gully ravine gorge tranchée ravin zanja barranco trincea geul")
	// bankLineWords are words for banks, and bankFootWords say that a line is the lower side of
	// one: it begins before that.
	bankLineWords = strings.Fields("bank embankment slope böschung abhang hang talus talud terraplén scarpata slänt skråning skrent penger")
	bankFootWords = strings.Fields("toe foot bottom unterkante fuss fuß pied pie piede voet fot")
	riverWords    = strings.Fields("river fluss rivière riviere río rio rivier fiume elv älv canal kanal")
)

// sizelessReach is how far from its point a solid thing of no size may reach, 0
// for one that is slim.
func sizelessReach(f *Feature) float64 {
	reach, _ := sizelessReaches(f)
	return reach
}

// hasWord reports whether a word, or what it is one more of, is among others.
func hasWord(words []string, w string) bool {
	return slices.Contains(words, w) || slices.Contains(words, strings.TrimSuffix(w, "s"))
}

// endsIn reports whether a word written as one ends in one of others.
func endsIn(words []string, w string) bool {
	return slices.ContainsFunc(words, func(end string) bool { return len(end) >= 4 && len(w) > len(end)+2 && strings.HasSuffix(w, end) })
}

// sizelessReaches is sizelessReach, and how far the thing is taken to reach
// wherever it stands.
func sizelessReaches(f *Feature) (reach, least float64) {
	has := hasWord
	slim, half, other, last := false, false, false, ""
	for _, w := range wordsOf(f.Attributes.Get(schema.PropHazardKind).Text()) {
		last = w
		switch {
		case w == "mast":
			slim = true
		case has(wideWords, w) || has(highWords, w) || has(tallWords, w):
			return sizelessReachM, leastWideM / 2
		case has(halfWords, w) || endsIn(halfWords, w):
			half = true
		case has(slimWords, w) || endsIn(slimWords, w):
			slim = true
		case kindOfWord(w) == kindNone || strings.Trim(w, "0123456789") == "":
		default:
			other = true
		}
	}
	switch {
	case last == "garden" || last == "gardens": // of sculptures
		return sizelessReachM, leastWideM / 2
	case other || !slim && !half:
		return solidReachM, wholeReachM
	case half:
		return 0, halfReachM
	}
	return 0, 0
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
		if len(f.Lines) == 0 || !isThin(f) || !kinds.grave() {
			continue
		}
		if !saysCentre(f) {
			if kinds.gravest == "road" && r.middleOf(f, hazards, zones, corridors) {
				continue
			}
			where := "through "
			z := r.lineInLawn(f, hazards, zones)
			if z == nil && (kinds.gravest == "road" || kinds.gravest == "" && saysBorder(f) || kinds.gravest == "water" && (!isPool(f) || saysShore(f))) {
				where, z = "with what is driven close to it on both sides, as ", r.drivenAtBoth(f.lines(), leastWideM, leastWideM, zones, corridors)
			}
			if z != nil {
				r.cannot("%s is one line %s%s, and says nothing of how wide it is, or on which side of the line it lies: give it width_m, or draw its area", f.describe(), where, z.describe())
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
// or that go round have an inside. Of lines of one kind that lie end to end, within
// leastWideM of one another, all count.
func (r *run) lineInLawn(f *Feature, hazards []*Feature, zones *solids) *Feature {
	kind := kindsOf(f).gravest
	if kind == "drop" || kind != "water" && saysBorder(f) {
		return nil
	}
	for _, i := range zones.near(f.bound) {
		sum := 0.0
		for _, part := range inLawn(f, zones.areas[i]) {
			sum += groundLength(part)
		}
		if sum == 0 {
			continue
		}
		box := f.bound.Pad(leastWideM)
		for k := 0; k < len(hazards) && sum <= leastWideM; k++ {
			o := hazards[k]
			if o == f || len(o.Lines) == 0 || !o.usable() || o.growth() > 0 || !o.bound.Intersects(box) || kindsOf(o).gravest != kind || kind != "water" && saysBorder(o) {
				continue
			}
			for _, part := range inLawn(o, zones.areas[i]) {
				if d, _, _, ok := plane.NewGauge(part).Within(plane.NewGauge(orb.MultiLineString(f.lines())), leastWideM); ok && d < leastWideM {
					sum += groundLength(part)
				}
			}
		}
		if sum > leastWideM {
			return zones.features[i]
		}
	}
	return nil
}

// inLawn returns the pieces of the open lines of a feature that lie in an area.
func inLawn(f *Feature, area orb.MultiPolygon) (out []orb.LineString) {
	for _, l := range f.lines() {
		if n := len(l); n < 2 || distance(l[0], l[n-1]) <= slackM {
			continue
		}
		out = append(out, clipInside(l, area)...)
	}
	return out
}

// borderWords say that a line is the side of a road (common practice, no source).
var borderWords = strings.Fields("edge border kerb curb side verge rand kante bord bordure rive borde lado rand kant bordo ciglio reuna")

func saysBorder(f *Feature) bool {
	for _, text := range [...]string{f.Name, f.Attributes.Get(schema.PropHazardKind).Text()} {
		for _, w := range letterWords(text) {
			if slices.ContainsFunc(borderWords, func(end string) bool {
				return w == end || len(end) >= 4 && len(w) > len(end)+2 && strings.HasSuffix(w, end) // a drive is no rive
			}) {
				return true
			}
		}
	}
	return false
}

// roomless records trees and solid things, and lines of them and of ditches, that
// say no size and have driven ground nearer than they are taken to reach and their
// margin, under a keep-out too: it may be as narrow as the thing.
func (r *run) roomless(hazards []*Feature, zones *solids, corridors []corridorLine) {
	for _, f := range hazards {
		if f.growth() > 0 {
			continue
		}
		kind := kindsOf(f)
		margin := r.hazardMargin(f)
		point := 0.0
		switch {
		case len(f.Points) == 0 || kind.open:
		case kind.gravest == "tree":
			point = halfReachM
		case kind.gravest == "":
			_, point = sizelessReaches(f)
		}
		for i := range f.Points {
			if point == 0 {
				break
			}
			at := f.Points[i].Ground
			if d, of := r.drivenWithin(at, margin+point, zones, corridors); d >= margin-slackM && d < margin+point-slackM {
				r.cannot("%s is drawn as a point, which has no size, and %s is %s from it: if it reaches more than %s that is less than the %s it needs; give it radius_m, or draw its outline",
					f.describe(), of.describe(), metresPast(d, margin+point), metres(math.Max(0, d-margin)), metres(margin))
				break
			}
		}
		if !kind.open && kind.gravest == "water" && isPool(f) && !saysShore(f) {
			r.openPool(f, hazards, zones, corridors)
		}
		if !kind.open && kind.gravest == "road" {
			r.squeezed(f, zones, corridors)
		}
		line := bandReach(f, kind)
		for _, l := range f.lines() {
			if line == 0 || len(l) < 2 || distance(l[0], l[len(l)-1]) <= slackM {
				continue
			}
			if d, of := r.drivenWithin(l, margin+line, zones, corridors); d >= margin-slackM && d < margin+line-slackM {
				r.cannot("%s is drawn as one line, which says nothing of how wide it is, and %s is %s from it: if it reaches more than %s from the line that is less than the %s it needs; give it width_m, or draw its area",
					f.describe(), of.describe(), metresPast(d, margin+line), metres(math.Max(0, d-margin)), metres(margin))
				break
			}
		}
	}
}

// A road needs laneRoomM from one side to the other, one for bicycles less (common
// practice, no source).
const laneRoomM = 3.5

var bikeWords = strings.Fields("cycleway cycle bike bikeway bicycle cycletrack radweg fahrradweg fietspad ciclabile cyklväg sykkelvei cykelsti path footpath")

// squeezed records a road drawn as one line of no width where less than a lane lies between
// driven ground on one side of it and a wall, a fence or a building on the other.
func (r *run) squeezed(f *Feature, zones *solids, corridors []corridorLine) {
	if kindWord(f, bikeWords) != "" {
		return
	}
	var barriers []*Feature
	for _, l := range f.lines() {
		if d, _ := r.drivenWithin(l, laneRoomM, zones, corridors); !(d < laneRoomM) {
			continue
		}
		if barriers == nil {
			barriers = slices.Concat(r.usableOf(schema.RoleEdge), r.usableOf(schema.RoleBuilding))
		}
		for i := 1; i < len(l); i++ {
			long := distance(l[i-1], l[i])
			if long == 0 {
				continue
			}
			u := orb.Point{(l[i][1] - l[i-1][1]) / long, (l[i-1][0] - l[i][0]) / long}
			for _, p := range along(l[i-1:i+1], 2*reachStepM) {
				if of, by := r.squeezedAt(p, u, zones, corridors, barriers); of != nil {
					r.cannot("%s is drawn as one line, which says nothing of how wide it is, and less than %s lie between %s on one side of it and %s on the other: it has to reach nearer than its line; give it width_m, or draw its area", f.describe(), metres(laneRoomM), of.describe(), by.describe())
					return
				}
			}
		}
	}
}

// squeezedAt is the driven ground on one side of a place of a line and what stands on the
// other, nearer to one another than a lane; u is square to the line.
func (r *run) squeezedAt(p, u orb.Point, zones *solids, corridors []corridorLine, barriers []*Feature) (of, by *Feature) {
	for _, side := range [...]float64{1, -1} {
		at := func(m float64) orb.Point { return orb.Point{p[0] + side*m*u[0], p[1] + side*m*u[1]} }
		near, driven := r.drivenWithin(orb.LineString{at(slackM), at(laneRoomM)}, slackM, zones, corridors)
		if !(near < slackM) {
			continue
		}
		off, _ := r.drivenWithin(p, laneRoomM, zones, corridors)
		if off >= laneRoomM-slackM {
			continue
		}
		for _, b := range barriers {
			if r.barred(p, at(off-laneRoomM+slackM), []*Feature{b}) {
				return driven, b
			}
		}
	}
	return nil, nil
}

// openPool records a pond, a pool or the like drawn as one open line with driven
// ground nearer than its margin and wholeReachM: the rest of its shore is not drawn. Lines whose ends
// others meet are judged together.
func (r *run) openPool(f *Feature, hazards []*Feature, zones *solids, corridors []corridorLine) {
	met := func(p orb.Point) bool {
		for _, g := range hazards {
			if g == f && len(f.Lines) == 1 || !g.bound.Pad(r.of(f).MachineWidthM).Contains(p) {
				continue
			}
			for _, l := range g.lines() {
				if l[0] != p && distance(l[0], p) <= r.of(f).MachineWidthM || l[len(l)-1] != p && distance(l[len(l)-1], p) <= r.of(f).MachineWidthM || g != f && (l[0] == p || l[len(l)-1] == p) {
					return true
				}
			}
		}
		return false
	}
	for i := range f.Lines {
		l := f.Lines[i].Ground
		n := len(l)
		if n < 2 || distance(l[0], l[n-1]) <= r.of(f).MachineWidthM || met(l[0]) && met(l[n-1]) {
			continue
		}
		margin := r.hazardMargin(f)
		if d, of := r.drivenWithin(l, margin+wholeReachM, zones, corridors); d >= margin-slackM && d < margin+wholeReachM-slackM {
			r.cannot("%s is water drawn as an open line, %s from %s, and the rest of its shore is not drawn: whether water lies nearer cannot be told; close the line along its shore, draw its area, or say in its name that the line is its shore", f.describe(), metres(d), of.describe())
			return
		}
	}
}

// shoreWords say that a line is the shore of a water, beside borderWords (common
// practice, no source).
var shoreWords = strings.Fields("shore shoreline waterline bank margin rim rand ufer uferlinie berge orilla oever riva sponda bredd strand strandlinje ranta")

// saysShore reports whether a water says that its line is its shore.
func saysShore(f *Feature) bool {
	if saysBorder(f) {
		return true
	}
	for _, text := range [...]string{f.Name, f.Attributes.Get(schema.PropHazardKind).Text()} {
		for _, w := range letterWords(text) {
			if hasWord(shoreWords, w) || endsIn(shoreWords, w) {
				return true
			}
		}
	}
	return false
}

// bandReach is how far a hazard drawn as one open line, of no width, is taken to
// reach from it; 0 for a line that is the side of it.
func bandReach(f *Feature, kind hazardKinds) float64 {
	if len(f.Lines) == 0 || saysBorder(f) && kind.gravest != "" && !saysBankFoot(f) {
		return 0
	}
	if kind.open { // a wall, a rockery, or no word at all
		return halfReachM
	}
	if kind.gravest == "road" && isRailway(f) && !saysBank(f) {
		return trackReachM
	}
	for _, w := range wordsOf(kind.text) {
		switch {
		case kind.gravest == "water" && hasWord(riverWords, w) && !saysBank(f):
			return wholeReachM
		case kind.gravest == "" && (hasWord(bandWords, w) || endsIn(bandWords, w)):
			return halfReachM
		case (kind.gravest == "water" || kind.gravest == "drop") && (hasWord(flowWords, w) || endsIn(flowWords, w)):
			return wholeReachM
		case (kind.gravest == "drop" || w == "embankment") && isBankWord(w):
			return slopeReachM
		}
	}
	return 0
}

// isBankWord reports whether a word is one for a bank.
func isBankWord(w string) bool { return hasWord(bankLineWords, w) || endsIn(bankLineWords, w) }

// bankLineSaid is the word for a bank in the name of a line of the role other, "" for none
// and for what may be driven over.
func bankLineSaid(f *Feature) string {
	if over, _ := f.Attributes.Get(schema.PropDrivenOver).Truth(); over || f.Role != schema.RoleOther || len(f.Lines) == 0 {
		return ""
	}
	words := letterWords(withoutEnds(f.Name))
	if i := slices.IndexFunc(words, isBankWord); i >= 0 {
		return words[i]
	}
	return ""
}

// saysBankFoot reports whether the name of a line says that it is the foot of a bank.
func saysBankFoot(f *Feature) bool {
	return slices.ContainsFunc(letterWords(f.Name), func(w string) bool { return hasWord(bankFootWords, w) || endsIn(bankFootWords, w) })
}

// lineReach is how far a thing of the role other, drawn as an open line of no width, is
// taken to reach from it by the word that says what it is; 0 for one that is its side.
func lineReach(f *Feature, word string) float64 {
	open := slices.ContainsFunc(f.lines(), func(l orb.LineString) bool { return len(l) > 1 && distance(l[0], l[len(l)-1]) > slackM })
	switch {
	case len(f.Lines) == 0 || !open || f.reachDrawn() > 0 || (saysBorder(f) || saysBankTop(f)) && !saysBankFoot(f):
		return 0
	case word == "bank" && max(f.bound.Max[0]-f.bound.Min[0], f.bound.Max[1]-f.bound.Min[1]) < benchLongM:
		return 0 // a bench
	case isBankWord(word):
		return slopeReachM
	case hasWord(flowWords, word) || endsIn(flowWords, word) || hasWord(riverWords, word):
		return wholeReachM
	}
	return 0
}

// saysBankTop reports whether a line is the upper side of a bank by its name.
func saysBankTop(f *Feature) bool {
	return slices.ContainsFunc(letterWords(f.Name), func(w string) bool { return hasWord(bankTopWords, w) })
}

// bankTopWords are words for that (common practice, no source).
var bankTopWords = strings.Fields("top crest crown brow oben krone crête sommet coronación ciglio kruin krön")

// drivenWithin is the least distance from a geometry to mown ground and to what
// the machine covers in corridors, where that is less than reach, and of what;
// +Inf where nothing is that near.
func (r *run) drivenWithin(g orb.Geometry, reach float64, zones *solids, corridors []corridorLine) (least float64, of *Feature) {
	least = math.Inf(1)
	box := g.Bound().Pad(reach)
	var gauge *plane.Gauge
	for _, z := range zones.near(box) {
		n := r.netOf(z)
		if len(n.areas) == 0 || !n.ok {
			continue
		}
		if gauge == nil {
			gauge = plane.NewGauge(g)
		}
		if d, _, _, ok := n.within(gauge, reach); ok && d < least {
			least, of = d, zones.features[z]
		}
	}
	for k := range corridors {
		c := &corridors[k]
		half := r.halfWidth(c.f)
		if !boundOf(c.pts).Pad(half).Intersects(box) {
			continue
		}
		if gauge == nil {
			gauge = plane.NewGauge(g)
		}
		if d, _, _, ok := gauge.Within(plane.NewGauge(c.pts), reach+half); ok && d-half < least {
			least, of = math.Max(0, d-half), c.f
		}
	}
	return least, of
}
