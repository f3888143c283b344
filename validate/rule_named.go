// Rule on names that say what role and kind do not: name-contradicts.

package validate

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"

	"github.com/paulmach/orb"

	"swardline/schema"
	"swardline/validate/plane"
)

var namedRules = []Rule{{
	Name: RuleNameContradicts, Severity: Warning, run: checkNameContradicts,
	Page: Page{
		What: "Features of the role other, and marks, on ground that is driven, whose name, or a property of another name, says water, a road, a drop, a tree or a solid thing, in the words of hazard_kind; a note where such a thing is only a point, as texts of drawings are. " +
			"Driven are zones, corridors with half the machine's width, and the way into a dock, where no keep-out covers them; what is called water, a road or a drop keeps its margin from them, is as wide as its radius_m or width_m says, and has no base and no outlet in it (one open line of a bank or slope, not called its top, is noted up to 1 m past that margin, and of a stream or ditch up to 0.5 m); a cable or a pipe that says driven_over and how deep it lies is none, nor are stones that say driven_over and that they lie flush, in a word or by a height of up to 0.03 m; of marks by a way only pegs and posts are told, by their type, code or marker too. " +
			"So are keep-outs and others told that are switched off and called water, a road or a drop, by name or hazard_kind, where that lies in a zone or a way leads over it; and, as a note, keep-outs and others that are off and are called by the number of a road as other-in-zone has it, or have a height_m of more than 0.05 m, up or down, and those whose note or other text says that it is there all the time, or water or a drop that is there, not where something lies nor what was filled in; a name after something that comes and goes (a tent, a festival) hides neither, and is told by itself where it ends in one.",
		Parts: []Part{
			{"Names and texts that say a state, or what is there", "" +
				"Names that say that a thing is not mown, closed, not there yet or any more, wrong, not measured, moved, there for a while or another's, in ten languages, are told of zones, corridors, docks, bases, outlets, boundaries, buildings, edges and marks; that it lies elsewhere or was not measured, of hazards and keep-outs too. " +
				"So are layers, folders, states and other such properties, and texts (note, description, cmt and the like) that say so in ten words or fewer, or nothing else; of texts, what was removed, planned or old counts only where nothing else is said. " +
				"Texts of up to 400 bytes of zones, corridors, docks and driven edges that name water or a drop, of corridors too a road that they lead over, where no such hazard is drawn within 10 m and no word says that it only lies beside (by, along, behind), those that warn (caution, watch out), those that say a cable lies on or across, and any that say a length by which something was moved or lies farther, are notes. " +
				"So is a text of a base that says a new or a second mast in a plan without a history. " +
				"They are notes; a zone whose name says that it is not mown or closed is a warning, and so is a base whose name says that it is approximate or wrong. " +
				"A word that has a harmless meaning too (old, private, neighbour, danger) counts where a name says nothing else; bad counts beside English words for what is drawn, and not where it may be the bath of other languages."},
			{"Names that do not go with what a thing is", "" +
				"And notes: a hazard whose name says something graver than its hazard_kind; a flush edge, ramp or gate whose name says wall, drop, water, shut, or narrower than the machine; a wall or fence that stands above a drop, or that gives way, by name; a corridor that crosses a road, water, steps or a bridge by name, where no such hazard is drawn within 1 m of the machine's way; a corridor called after a railway, a fire lane or parking, and not after a lawn by it, and a gate that is driven through called after a railway or fire engines, where no such hazard is drawn within 10 m; a wall, kerb or fence called the wall, edge or kerb of water or a drop (River wall, Cliff edge, Bachmauer) where none is drawn within 2 m, a kerb of a road with none within 3 m and one within 30 m, and a flush edge called one of a road where no road is; a base called the mast of what moves (Car mast), of a vehicle also where it only stands by it, or of neighbours, in a building, a wall or a hedge, on a hedge or a lamp, or on a lawn where none is; a dock called on a slope, in or on a hedge or a wall, in a playground or a school, in a house more than 1 m or at one more than 10 m from all buildings that are drawn, or after a lawn (Front lawn dock, Front dock) more than 5 m from it and within 2 m of another; an outlet in water or a pit; a lawn called after a ditch or a bank (Ditch lawn, Böschungsrasen) where none is drawn within 10 m; " +
				"a building called water, a road or a pit; a boundary called another's, the next garden, that of a road round an area, or outside; a corridor called after neighbours, a school, a kindergarten or a playground, where neither a lawn nor the plan is; a lawn called one for cars or fire engines (Car lawn, Feuerwehrwiese); a wall or fence with a hole in it, or out; a zone whose name says nothing but a thing that nobody mows; a keep-out that is off and called after a thing that stays; an owner who is the neighbour; a plan, or a base, whose name says another datum than its own, or an offset; a name, a layer or a folder of anything that says another datum or grid (GK3, OSGB, LV03)."},
			{"Where a thing lies by its name", "" +
				"Notes on where a thing lies by its name: a mark called house, lawn, wall, fence or boundary corner, end of a wall or fence, gate post, boundary stone, dock, or edge of a lawn, water, a road or a drop, more than 0.3 and less than 6 m from the nearest such drawn (1 m for a mark called after the only kerb, fence or base, or the side, wall or door of the only house, lawn, water or road, or by the name of a wall, fence or kerb), a wall called after a building that runs so far off along its outline (0.8 m within it may be eaves), an edge called after a lawn more than 0.3 m within it and outside its keep-outs, and a keep-out that covers nothing where a hazard of the same name (of water and drops, numbers and words as old or small aside) under no keep-out stands 4 to 30 m off, or a building 1 to 30 m, and a base called house or roof mast more than 3 m from all buildings that are drawn. " +
				"A lawn of which half of the corners lie behind a fence or wall called after boundary, property, street, railway, neighbour or pasture, seen from bases and docks in a straight line, is a warning, and a note where one of these stands on either side. " +
				"Two of one role that are called alike but for north and south, or east and west, and lie the other way about by more than 1 m, are a note. " +
				"So is a hazard, or what is only drawn, called another base (New mast, Base 2) more than 1 m from the base. " +
				"So is a mark, or a dock, whose name says nothing but a quarter (NE, Nordost, north-east corner), words for a mark, a dock and of the site, and that lies past the middle of lawns and boundaries on the other side, by more than 1 m and a quarter of how far those reach, unless a mark called after that other side lies farther there; a mark called after a corner of a building with driven ground within 6 m and no building there; and one called after a corner of the boundary, that is drawn as one area, with no corner of it within 6 m. " +
				"So are two called alike but for upper and lower of which the upper lies lower with its highest and its lowest point by more than 0.1 m; two things and more that are called after one side, lie more than 1 m past the middle of all zones on the other, and none on its own; and a corridor whose name says to which lawn it leads (Dock to west lawn), where no lawn, on or off, is called that."},
			{"What is named and not drawn", "" +
				"Whatever is called after water, a road, a railway, parking or a drop, in its own word or one it is the start of (Pond lawn, Road verge, Bachwiese, Canal fence), is a note where none such is drawn near: within 30 m of a zone, a dock, a base, an outlet, a mark or a point of the role other within 10 m of driven ground, and of a corridor along it; within 10 m of any other corridor, a boundary, a wall or fence, and a gate that is driven through; within 3 m of a kerb of a road. Of walls, fences and kerbs of roads those count that have driven ground within 10 m, and of a street's walls and fences those that the boundary does not run along within 2 m. " +
				"A stream, a railway and parking have to be drawn as such; what a keep-out, an edge or the role other is called counts too; drives, terraces, springs and holes of golf do not, but for a corridor called a drive to somewhere. " +
				"So are notes a lawn or a dock called after a bridge, and a lawn after a roof, a deck or the top of a wall, where no water or drop is drawn within 10 m (nor a thing of that name within 30 m); a dock in a garage, barn, shed or the like where no such is drawn within 30 m, nor any building within 3 m; a base called after a fence, a gate or a hedge where none is drawn within 3 m; a boundary called the parcel of a road; a gate that is driven through called after neighbours, animals or children; and a lawn behind a fence called after animals or children, as seen from a base or a dock. So is a wall or fence called the top of a wall with no drop within 2 m."},
			{"More in a name than is drawn, and counts", "" +
				"Notes, too, of keep-outs, hazards and buildings. One called after several things (Two trees, Trees 1-5, House and garage, Ponds) of which fewer outlines or points are drawn, and that holds no others; trees, posts, lamps, benches and rocks without a number count where they are drawn as one disc, a row where it is less than three times as long as wide, beds, shrubs and steps never. " +
				"One with an area called after a side, a shore, an edge or a corner (Lake north shore, Teichrand, House front) of water, a road or a building of which nothing else is drawn within 2 m. A building or a keep-out called a roof. " +
				"A plan whose name, note or description counts lawns, docks, bases, marks, ways, keep-outs, buildings, ponds or trees (four lawns, drei Bäume) and holds another number, with what is switched off or without."},
			{"What is called after another, and lies far from it", "" +
				"A lawn, way, dock, outlet, base, keep-out or hazard called after the house, the dock, the base, a gate, a fence or an outlet (House lawn, Bed by the dock, Hausbaum), or by the whole name of a building or a lawn that is drawn, more than 30 m from all such; a keep-out called after a hazard (Pond keep-out) so far from it; and a way called after a lawn and more than 10 m from it, unless it is a leg. " +
				"A fence called after a quarter that lies past the middle of the site on the other side, as marks do; and a lawn called after one side that lies past the middle of all lawns on the other by more than 1 m, with none farther there, one that lies wholly on its own side of it, and no building, water or road that it lies to that side of."},
		},
		Why:    "What has the role other is only drawn: a pond that came in as a line of the role other is mown like the lawn about it.",
		Source: sourcePractice,
		Fails:  "a polygon called \"Pond\" with the role other on a lawn",
		Passes: "the same polygon with the role hazard, hazard_kind pond, under a keep-out",
		Mend:   "give it the role hazard and its hazard_kind, and a keep-out; or another name where it is none",
	},
}}

// besideGrave are words beside one for water, a road or a drop that leave it one.
var besideGrave = strings.Fields("steep deep public open main")

// titleKeys are plain properties that hold a name, folded, and textKeys those in
// which people write of a thing.
var (
	titleKeys = strings.Fields("label title caption text snippet")
	textKeys  = strings.Fields("desc description")
)

// saysLeave reports whether a name says that something is not to be mown.
func saysLeave(name string) bool { return namesSay.get(name).words[claimLeave] != "" }

// graverName is the gravest kind of hazard that the words of a text name, and
// the word, "" for none: water, road or drop.
func graverName(text string) (kind, word string) {
	words := letterWords(text)
	for i := 0; i < len(words); i++ {
		k, n := kindAt(words[i:])
		w := strings.Join(words[i:i+n], " ")
		i += n - 1
		if k == kindShore {
			k = "water"
		}
		if hazardRank[k] >= hazardRank["road"] && hazardRank[k] > hazardRank[kind] {
			kind, word = k, w
		}
	}
	return kind, word
}

// graverSaying is graverName of a feature's name and of those of its texts that
// do not only describe it.
func graverSaying(f *Feature) (kind, word string) {
	kind, word = graverName(f.Name)
	for _, a := range f.Attributes {
		k := foldKey(a.Key)
		if a.Value.Kind() != schema.KindString || a.Key == schema.PropRole || isPlain(a.Key) && !slices.Contains(roleKeys, k) && !slices.Contains(titleKeys, k) && !slices.Contains(textKeys, k) {
			continue
		}
		if k, w := graverName(a.Value.Text()); hazardRank[k] > hazardRank[kind] {
			kind, word = k, w
		}
	}
	return kind, word
}

func checkNameContradicts(r *run) {
	if !r.onGround() {
		return
	}
	if len(r.Features)+len(r.Inactive) == 0 {
		r.notNeeded("the plan has no feature")
		return
	}
	r.planClaims()
	r.framesFiled()
	r.compassNamed()
	zones := r.needZones()
	var layers layerClaimed
	for _, f := range r.Features {
		if !f.usable() {
			continue
		}
		start := len(r.findings)
		switch f.Role {
		case schema.RoleOther:
			r.otherNamed(f, zones)
			continue
		case schema.RoleMark:
			r.drawnOnly(f, zones)
			r.markPlaced(f)
		case schema.RoleHazard:
			r.hazardNamed(f)
			r.secondMast(f)
			r.promisesMore(f)
		case schema.RoleKeepout:
			r.promisesMore(f)
		case schema.RoleEdge:
			r.edgeNamed(f)
			r.edgePlaced(f)
			r.lawnsBeyond(f)
		case schema.RoleCorridor:
			r.corridorNamed(f)
			r.leadsNowhere(f)
			r.wayToOthers(f)
		case schema.RoleBuilding:
			r.buildingNamed(f)
			r.promisesMore(f)
		case schema.RoleBase:
			r.baseNamed(f)
		case schema.RoleBoundary:
			if r.boundaryNamed(f) {
				continue
			}
		case schema.RoleDock:
			r.dockNamed(f)
		case schema.RoleSupply:
			if word := standsInWet(f.Name); word != "" {
				r.nameNote(f, "its name says %s, where no outlet may be: is its place right?", quote(word))
			}
		case schema.RoleZone:
			says := namesSay.get(f.Name)
			word := says.hazard
			if word == "" {
				word = says.thing
			}
			r.lawnOf(f)
			r.lawnForCars(f)
			if word != "" {
				r.nameNote(f, "its name says %s and nothing else: a zone is what is mown; is its role right?", quote(word))
			}
		}
		before := len(r.findings)
		if r.claims(f, &layers); len(r.findings) == before {
			r.textsNamed(f)
		}
		if len(r.findings) == start {
			r.placesUndrawn(f, zones)
		}
	}
	r.marksQuartered()
	r.keepoutsStrayed()
	told := map[int]bool{}
	for i := range r.findings {
		for _, at := range r.findings[i].order {
			told[at] = true
		}
	}
	r.lawnsQuartered(told)
	r.calledElsewhere(told)
	r.tellLayers(&layers)
	r.offNamed(zones)
}

// otherNamed tells what is only drawn and called a hazard on driven ground, a point that
// is called after what is not drawn, and another base.
func (r *run) otherNamed(f *Feature, zones *solids) {
	start := len(r.findings)
	if r.drawnOnly(f, zones); len(r.findings) == start && len(f.Points) > 0 && f.reachDrawn() == 0 {
		r.placesUndrawn(f, zones) // a point, or a text, says nothing of how far that reaches
	}
	if len(r.findings) == start {
		r.secondMast(f)
	}
}

// boundaryNamed tells a boundary whose name says that it goes round ground of others.
func (r *run) boundaryNamed(f *Feature) bool {
	says := namesSay.get(f.Name)
	word := cmp.Or(says.others, says.hazard, ofOthers(f.Name), f.besideProperty())
	if word == "" {
		return false
	}
	r.nameNote(f, "its name says %s, and a boundary is the limit of the property itself: give ground of others the role other, or hazard", quote(word))
	return true
}

// dockNamed tells a dock whose name says that it stands where none may, or lies elsewhere.
func (r *run) dockNamed(f *Feature) {
	if word := standsIn(f.Name); word != "" {
		r.nameNote(f, "its name says %s, where no machine may go: is its place right?", quote(word))
	} else if r.dockPlaced(f) {
		return
	} else if word := saysSlope(f.Name); word != "" {
		r.nameNote(f, "its name says %s, and a dock stands level: measure the ground, or is its place right?", quote(word))
	}
}

// offNamed tells what is switched off, on ground that is driven, and called after
// a thing that stays.
func (r *run) offNamed(zones *solids) {
	for _, f := range r.Inactive {
		switch f.Role {
		case schema.RoleKeepout, schema.RoleOther, schema.RoleCorridor:
		case schema.RoleZone:
			r.offZoneNamed(f, zones)
			continue
		default:
			continue
		}
		if f.Geometry == nil {
			continue
		}
		says, severity := offSays(f)
		if says == "" && f.Role != schema.RoleCorridor {
			if said := r.roadSaid(&Feature{Feature: f}); said != "" {
				says, severity = "says "+quote(said)+", as the signs of roads do", Note
			}
		}
		if says == "" {
			continue
		}
		tell := func(where string, others ...*Feature) {
			x := r.finding(nil, append([]*Feature{{Feature: f}}, others...)...)
			x.Severity, x.Line = severity, f.Source.Line
			x.Message = fmt.Sprintf("is switched off, and %s: %s; switch it on, or remove it if nothing is there any more", says, where)
		}
		if z := r.mownOver(f); z != nil {
			tell(z.describe()+" mows there", z)
		} else if f.Role != schema.RoleCorridor && r.offOnDriven(f, zones, false) {
			tell("a corridor or the way into a dock leads over it")
		}
	}
}

// offSays is what a thing that is switched off says that it stays, "" for nothing,
// and how sure that is. What is called after something that comes and goes says so
// by its properties and texts, and by a name that ends in water or a drop.
func offSays(f *schema.Feature) (says string, severity Severity) {
	said, severity := "its name", Warning
	comes := passes(f.Name)
	kind, word := graverName(f.Name)
	if comes {
		severity = Note
		if words := letterWords(f.Name); kind == "road" || len(words) == 0 || words[len(words)-1] != word || saysWhere(words) {
			kind, word = "", "" // a street festival, a pond party, a tent by the pond
		}
	}
	if k, w := graverName(f.Attributes.Get(schema.PropHazardKind).Text()); kind == "" && k != "" {
		kind, word, said, severity = k, w, schema.PropHazardKind, Warning
	}
	what := graveWords[kind]
	if kind == "" && saysLeave(f.Name) && !comes {
		word, what = strings.TrimSpace(f.Name), "not to be mown"
	}
	if word == "" && f.Role != schema.RoleCorridor {
		severity = Note
		if !comes {
			word, what = keptFor(f), "something to keep off"
		}
		if key, text := offAlways(f); word == "" && text != "" {
			word, said, what = text, "its "+key, "that it is there all the time"
		}
		if key, w, k := offText(f); word == "" && w != "" {
			word, said, what = w, "its "+key, graveWords[k]
		}
	}
	switch {
	case word != "":
		return fmt.Sprintf("%s says %s (%s)", said, quote(word), what), severity
	case f.Role != schema.RoleCorridor && standsUp(f):
		return "it has a " + schema.PropHeightM, Note
	}
	return "", Note
}

// goneWords are words of a text that say of water or a hole that it is there no more
// (common practice, no source).
var goneWords = setOf("filled backfilled removed gone drained dry dried was were former formerly until once no not without covered levelled leveled demolished " +
	"verfüllt zugeschüttet entfernt weg trocken trockengelegt war waren ehemals früher bis kein keine ohne abgedeckt comblé comblée supprimé ancien ancienne sans plus rellenado retirado antiguo antigua sin gedempt verwijderd voormalig geen zonder riempito rimosso ex senza fyldt fjernet tidligere uden ingen fylld borttagen tidigare utan täytetty poistettu entinen ei")

// alwaysSays say of a thing that it is there all the time (common practice, no source).
var alwaysSays = strings.Fields("always permanent permanently allyear yearround wholeyear everyday immer dauerhaft ständig ganzjährig ganzesjahr toutelannée toujours siempre todoelaño permanente altijd heeljaar helejaar sempre tuttolanno altid alltid heleåret åretrunt åretom aina ympärivuoden")

// offAlways is the text of a thing that is switched off which says that it is there all
// the time, with the name of its property.
func offAlways(f *schema.Feature) (key, text string) {
	for _, a := range f.Attributes {
		if a.Value.Kind() != schema.KindString || heldUnder.get(a.Key) != holdsText || len(a.Value.Text()) > mostTextLength {
			continue
		}
		words := letterWords(a.Value.Text())
		if len(words) == 0 {
			continue
		}
		joined := strings.Join(words, "")
		for _, w := range alwaysSays {
			if i := slices.Index(words, w); i >= 0 && !(i > 0 && slices.Contains(notWords, words[i-1])) || len(w) > 6 && !slices.Contains(notWords, words[0]) && strings.Contains(joined, w) {
				return a.Key, clipped(a.Value.Text())
			}
		}
	}
	return "", ""
}

// saysWhere reports whether a text says where something lies, and not that it is there.
func saysWhere(words []string) bool {
	return slices.ContainsFunc(words, func(w string) bool { return slices.Contains(nearWords, w) })
}

// offText is the first water or drop in the texts of a thing that is switched off,
// with the name of its property and the kind.
func offText(f *schema.Feature) (key, word, kind string) {
	for _, a := range f.Attributes {
		text := a.Value.Text()
		if a.Value.Kind() != schema.KindString || heldUnder.get(a.Key) != holdsText || a.Key == schema.PropName || len(text) > mostTextLength {
			continue
		}
		k, w := graverName(text)
		words := letterWords(text)
		if k == "" || k == "road" || saysWhere(words) || slices.ContainsFunc(words, func(w string) bool { return goneWords[w] }) {
			continue
		}
		return a.Key, w, k
	}
	return "", "", ""
}

// offZoneNamed tells a zone that is switched off, on ground that is driven, whose
// name says nothing but a thing that nobody mows.
func (r *run) offZoneNamed(f *schema.Feature, zones *solids) {
	says := namesSay.get(f.Name)
	word := cmp.Or(says.hazard, says.thing, siteNamed(f.Name))
	if word == "" || f.Geometry == nil || !r.offOnDriven(f, zones, true) {
		return
	}
	x := r.finding(nil, &Feature{Feature: f})
	x.Line = f.Source.Line
	x.Message = fmt.Sprintf("is switched off, and its name says %s and nothing else, and the machine drives there: where that stands there still, give it the role of what it is and switch it on", quote(word))
}

// siteWords are grounds that nobody mows while they are that (common practice, no source).
var siteWords = setOf("playground spielplatz speelplaats speeltuin lekplats legeplads lekeplass leikkikenttä buildingsite constructionsite baustelle chantier bouwplaats cantiere byggeplads byggeplass byggarbetsplats")

// siteNamed is the name of a zone that says nothing but such ground, "" for any other.
func siteNamed(name string) string {
	words := letterWords(name)
	for len(words) > 1 && len(words[len(words)-1]) == 1 {
		words = words[:len(words)-1]
	}
	if siteWords[strings.Join(words, "")] {
		return strings.Join(words, " ")
	}
	return ""
}

// standsUpM is how far, in metres, a thing may stand up or lie deep that a
// machine drives over (common practice, no source).
const standsUpM = 0.05

// standsUp reports whether a feature says that it is higher or deeper than that.
func standsUp(f *schema.Feature) bool {
	h, ok := (&Feature{Feature: f}).Float(schema.PropHeightM)
	return ok && math.Abs(h) > standsUpM
}

// Things beside trees and solid ones that keep-outs are drawn round, and things
// that come and go, for which one is switched off as it should be.
var (
	keptWords = strings.Fields("wall kerb roof terrace garage kids children playground kindergarten beehives bees hives hedgehog hedgehogs nest nests wildlife animals rabbit rabbits chickens dog dogs antenna cable cables wire hydrant valve roses grave graves koi hottub sewage septic house transformer steep danger neighbour neighbor private " +
		"mauer steine kinder spielplatz bienen bienenstöcke bienenstock igel tiere hühner hund antenne kabel stromkabel ventil schieber rosen grab haus trafo steilstück steilhang gefahr nachbar privat " +
		"enfants ruches abeilles hérisson animaux câble rosiers tombe maison niños colmena colmenas abejas erizo animales rosas tumba casa peligro kinderen speelplaats bijen bijenkast egel dieren rozen graf huis gevaar " +
		"bambini api alveari riccio animali cavo rose tomba pericolo barn bikube bikuber bier pindsvin pinnsvin dyr grav hus fare bikupa igelkott djur fara lapset mehiläiset siili eläimet kaapeli ruusut hauta talo vaara")
	passingWords = strings.Fields("tent marquee event party race fame fest festival concert market stall firework fireworks zelt konzert markt feuerwerk rennen pavillon tente fête marché evento carpa fiesta concierto mercado tenda festa concerto mercato feest telt koncert marked tält konsert marknad teltta juhla")
	passingEnds  = strings.Fields("fest zelt konzert markt party feuerwerk feest")
)

// passes reports whether a name says something that comes and goes.
func passes(name string) bool {
	return slices.ContainsFunc(letterWords(name), func(w string) bool {
		return slices.Contains(passingWords, w) || slices.ContainsFunc(passingEnds, func(end string) bool { return strings.HasSuffix(w, end) })
	})
}

// keptFor is the word of a keep-out that is off for a thing that does not come
// and go, "" for none.
func keptFor(f *schema.Feature) string {
	if word := solidSaying(&Feature{Feature: f}); word != "" {
		return word
	}
	before := ""
	for _, w := range letterWords(f.Name) {
		if slices.Contains(keptWords, w) || slices.Contains(keptWords, before+w) || w == "play" {
			return w
		}
		before = w
	}
	return ""
}

// hazardNamed tells a hazard whose name says something graver than its kind.
func (r *run) hazardNamed(f *Feature) {
	kinds := kindsOf(f)
	if wide, ok := widthNamed(f.Name); ok && len(f.Areas) == 0 && len(f.Points)+len(f.Lines) > 0 && wide/2 > f.growth()*overShare+overM && hazardRank[kinds.gravest] >= hazardRank["road"] {
		r.nameNote(f, "its name says %s, and it reaches %s to each side of what is drawn: where that is how wide it is, give it radius_m or width_m", metres(wide), metres(f.growth()))
	}
	if solidSaying(f) != "" {
		return // a bench by the pond, a street lamp
	}
	if kind, word := graverName(f.Name); kind != "" && !kinds.open && hazardRank[kind] > hazardRank[kinds.gravest] {
		r.nameNote(f, "its name says %s (%s), and its hazard_kind %s: the kind holds; put right which is wrong", quote(word), graveWords[kind], quote(kinds.text))
	}
}

// baseNamed tells a base whose name says another frame than the plan, or that it
// lies beside where it is.
func (r *run) baseNamed(f *Feature) {
	if w := moverNamed(letterWords(f.Name)); w != "" {
		r.nameNote(f, "its name says %s, which is moved, or moves in the wind, and all outlines with it: a base stands on a post in the ground or on a wall", quote(w))
	} else if r.mastPlaced(f) {
		return
	} else if d, of := r.houseMastOff(f); of != nil {
		r.placedOff(f, of, d, "the nearest building, "+of.describe())
	} else if w := saysOffset(f.Name); w != "" {
		r.nameNote(f, "its name says %s, which may mean that it lies beside where it is drawn: everything lies as far off", quote(w))
	} else if w := r.otherFrame(f.Name); w != "" {
		r.nameNote(f, "its name says %s, and neither its frame nor the plan's does: say in the property frame what its numbers are in", quote(w))
	}
}

// standsIn is the word of a name for a road, a drop, water or a roof that a thing
// stands in or on, or that is all its name, "" for none.
func standsIn(name string) string {
	words := letterWords(name)
	for i, w := range words {
		if slices.Contains(inWords, w) && i+1 < len(words) {
			if _, word := graverName(strings.Join(words[i+1:], " ")); word != "" {
				return word
			}
		}
		if i > 0 && slices.Contains(aboveWords, words[i-1]+w) || w == "roof" || w == "dach" {
			return w
		}
	}
	return namesSay.get(name).hazard
}

var inWords = strings.Fields("in on auf im dans sur en sobre op su nel på i")

// buildingNamed tells a building whose name says that it is none.
func (r *run) buildingNamed(f *Feature) {
	kind, word := graverName(f.Name)
	if words := letterWords(f.Name); kind == "drop" { // a house on a bank is one
		kind = ""
		if last := words[len(words)-1]; word == last && !slices.Contains(dwellings, last) || words[0] == "open" {
			kind = "drop"
		}
	}
	if only := namesSay.get(f.Name).hazard; kind == "road" {
		kind, word = "", only
		if only != "" {
			kind = "road"
		}
	}
	if kind != "" && !(kind == "road" && slices.Contains(carRoofs, word)) {
		r.nameNote(f, "its name says %s, and its role is building: %s has the role hazard", quote(word), graveWords[kind])
	}
}

// dwellings are words for a drop that houses are called by too, and carRoofs for
// a road that a roof over one is.
var (
	dwellings = strings.Fields("bank terrace quarry cliff step steps")
	carRoofs  = strings.Fields("carpark parkplatz aparcamiento parcheggio parking")
)

func (r *run) nameNote(f *Feature, format string, args ...any) {
	x := r.finding(r.middle(f), f)
	x.Severity = Note
	x.Message = fmt.Sprintf(format, args...)
}

// drawnOnly tells a feature of the role other, or a mark, that says it is a
// hazard and lies on driven ground.
func (r *run) drawnOnly(f *Feature, zones *solids) {
	kind, word := standingSaying(f)
	if word == "" || buried(f) || kind == "" && flushStone(f, word) || kind == "drop" && flushLid(f) {
		if w := bankLineSaid(f); word == "" && w != "" {
			r.lineBeside(f, "drop", w, zones)
		}
		return
	}
	where := "the machine drives there as if it were not"
	if !r.onDriven(f, zones, 0) {
		// What is grave keeps its margin, and holds no base and no outlet.
		margin, _ := r.of(f).HazardMargin(kind)
		switch in := r.standsWithin(f); {
		case kind == "" || f.Role != schema.RoleOther:
			return
		case in != nil:
			where = in.describe() + " stands in it as if it were not"
		case r.onDriven(f, zones, margin-slackM) || r.nearDisc(f, margin):
			where = "the machine drives less than " + metres(margin) + " beside it as if it were not"
		default:
			r.lineBeside(f, kind, word, zones)
			return
		}
	}
	what := graveWords[kind]
	if what == "" {
		what = "a thing"
	}
	x := r.finding(r.middle(f), f)
	x.Message = fmt.Sprintf("%s says %s, and its role is %s, so %s: give it the role hazard with its hazard_kind, and a keep-out, or another name", quote(word), what, f.Role, where)
	if len(f.Areas) == 0 && len(f.Lines) == 0 && f.reachDrawn() == 0 {
		x.Severity = Note
	}
}

// lineBeside notes a bank or a stream of the role other, of which one line of no width
// is drawn, beside driven ground: nobody says how far it reaches towards that.
func (r *run) lineBeside(f *Feature, kind, word string, zones *solids) {
	reach := lineReach(f, word)
	margin, _ := r.of(f).HazardMargin(kind)
	if reach == 0 || !r.onDriven(f, zones, margin+reach-slackM) && !r.nearDisc(f, margin+reach) {
		return
	}
	r.nameNote(f, "%s says %s, one line that says nothing of how wide that is, and the machine drives less than %s beside it: give it the role hazard with its hazard_kind and its width_m, or draw its area, or call the line its edge or its top where it is that", quote(word), graveWords[kind], metres(margin+reach))
}

// stoneWords are those solid things that a machine may drive over where they lie
// flush, and levelSays what says so beside flushWords.
var (
	stoneWords = strings.Fields("stone stones stein steine steinplatten pierre pierres piedra piedras steen stenen pietra pietre sten steiner stenar kivi kivet")
	levelSays  = strings.Fields("level ebenerdig bodeneben affleurant affleurantes enrasado verzonken raso plano jevnt")
)

// flushStone reports whether what is driven over is called a stone and says, by
// its name, a text or its height, that it lies flush.
func flushStone(f *Feature, word string) bool {
	if over, _ := f.Attributes.Get(schema.PropDrivenOver).Truth(); !over || !slices.Contains(stoneWords, word) {
		return false
	}
	return f.saysFlush()
}

// lidWords are words for what covers a shaft (common practice, no source).
var lidWords = strings.Fields("lid cover deckel schachtdeckel kanaldeckel gullydeckel couvercle tapa deksel putdeksel coperchio chiusino dæksel lokk lock kansi")

// flushLid reports whether what is driven over is called the lid of a shaft and says
// that it lies flush.
func flushLid(f *Feature) bool {
	over, _ := f.Attributes.Get(schema.PropDrivenOver).Truth()
	words := letterWords(f.Name)
	for len(words) > 1 && slices.Contains(flushWords, words[len(words)-1]) { // lid flush
		words = words[:len(words)-1]
	}
	return over && len(words) > 1 && !slices.ContainsFunc(words, func(w string) bool { return doubtWords[w] }) && slices.ContainsFunc(words, func(w string) bool { return slices.Contains(shaftWords, w) }) && slices.Contains(lidWords, words[len(words)-1]) && f.saysFlush()
}

// saysFlush reports whether what is driven over says by its name, a text or its height
// that it lies flush.
func (f *Feature) saysFlush() bool {
	flush := func(text string) bool {
		words := letterWords(text)
		for i, w := range words {
			if (slices.Contains(flushWords, w) || slices.Contains(levelSays, w)) && !(i > 0 && slices.Contains(notWords, words[i-1])) {
				return true
			}
		}
		return false
	}
	said := flush(f.Name)
	for _, a := range f.Attributes {
		if h, ok := metresSaid(a.Key, a.Value); ok && slices.Contains(levelWords, withoutUnit(a.Key)) {
			if math.Abs(h) > flushM+1e-9 {
				return false
			}
			said = true
		}
		said = said || foldKey(a.Key) == "flush" && saysTrue(a.Value) || heldUnder.get(a.Key) == holdsText && a.Value.Kind() == schema.KindString && flush(a.Value.Text())
	}
	return said
}

// standingSaying is the word of a feature that says what stands or lies there:
// water, a road, a drop (and its kind), a tree, a solid thing, or that it is not
// to be mown; "" for none.
func standingSaying(f *Feature) (kind, word string) {
	if kind, word = graverSaying(f); kind != "" {
		return kind, word
	}
	if word = solidSaying(f); word == "" && saysLeave(f.Name) {
		word = strings.TrimSpace(f.Name)
	}
	if word == "" && f.Role == schema.RoleMark {
		word = f.slimSaid()
	}
	return "", word
}

// slimSaid is the word with which a mark says under another name than its own, as type,
// code or marker, that it is a peg or a post; "" for none, and where it is flush or a nail
// in one.
func (f *Feature) slimSaid() string {
	for _, a := range f.Attributes {
		k := foldKey(a.Key)
		if a.Value.Kind() != schema.KindString || a.Key == schema.PropName || a.Key == schema.PropRole ||
			!slices.Contains(roleKeys, k) && !slices.Contains(titleKeys, k) && !slices.Contains(groupKeys, k) && !strings.HasPrefix(k, "marker") && k != "monument" && k != "material" {
			continue
		}
		words := letterWords(a.Value.Text())
		for i, w := range words {
			if hasWord(standingMarks, w) && i == len(words)-1 && !slices.ContainsFunc(words, func(w string) bool { return slices.Contains(flushWords, w) }) {
				return w
			}
		}
	}
	return ""
}

// standingMarks are what marks are that stand up: of slimWords no lids and no taps.
var standingMarks = strings.Fields("post pole pillar peg stake picket pfosten pfahl pfeiler pflock poteau pilier piquet poste pilar estaca paal paaltje palo pilastro picchetto stolpe pæl påle tolppa paalu")

// solidSaying is the first word of a feature's name that names a tree or a solid
// thing, "" for none.
func solidSaying(f *Feature) string {
	words := letterWords(f.Name)
	for _, w := range words {
		one := strings.TrimSuffix(w, "s")
		if f.Role == schema.RoleOther && slices.Contains(kerbEdges, one) && !slices.ContainsFunc(words, func(w string) bool { return slices.Contains(lowered, w) }) {
			return w
		}
		switch k := kindOfWord(w); {
		case w == "court" || w == "border" || w == "play" || w == "light": // as much of a lawn as of a thing
		case k == "tree" || k == kindSolid || slices.Contains(highWords, one) || slices.Contains(tallWords, one) || slices.Contains(wideWords, one):
			return w
		}
	}
	return ""
}

// onlyHazardous is the word of a name that says water, a road or a drop, where
// all its words are such or say nothing; "" for any other name.
func onlyHazardous(name string) string {
	found := ""
	before := ""
	for _, w := range letterWords(name) {
		switch k := kindOfWord(w); {
		case k == kindNone:
		case hazardRank[k] >= hazardRank["road"]:
			found = w
		case before == "car" && w == "park" || slices.Contains(besideGrave, w):
		default:
			return ""
		}
		before = w
	}
	return found
}

// onDriven reports whether a feature, less what keep-outs cover, lies on ground
// that is driven: in a zone, by a corridor, in the way into a dock.
// What of another role says a radius_m or a width_m is as wide as that, and beside
// metres wider.
func (r *run) onDriven(f *Feature, zones *solids, beside float64) bool {
	h, err := r.hazardShape(f).aboutAll(f.reachDrawn() + beside)
	if err != nil {
		return true // safe side
	}
	// Marks stand beside ways, but for pegs and posts.
	return h.why == "" && (r.onMown(h, zones) || (f.Role != schema.RoleMark || (hasWord(slimWords, solidSaying(f)) || f.slimSaid() != "")) && r.onWay(h))
}

// standsWithin is a base or an outlet that stands in a feature, nil for none.
func (r *run) standsWithin(f *Feature) *Feature {
	h, err := r.hazardShape(f).aboutAll(f.reachDrawn())
	if err != nil || h.why != "" {
		return nil
	}
	for _, role := range [...]schema.Role{schema.RoleBase, schema.RoleSupply} {
		for _, b := range r.usableOf(role) {
			for i := range b.Points {
				if h.bound.Contains(b.Points[i].Ground) && len(h.areas) > 0 && plane.Locate(b.Points[i].Ground, h.areas) == plane.Inside {
					return b
				}
			}
		}
	}
	return nil
}

// offOnDriven is onDriven for a feature that is switched off, on ways alone
// unless mown ground is asked of too.
func (r *run) offOnDriven(off *schema.Feature, zones *solids, mown bool) bool {
	offs := r.offs()
	for i := range offs {
		f := &offs[i]
		if f.Feature != off {
			continue
		}
		h := hazardShape{bound: f.bound, lines: f.lines()}
		for _, a := range f.Areas {
			if len(r.validator.Polygons([]orb.Polygon{a.Read})) == 0 {
				h.solid = append(h.solid, a.Ground)
			}
		}
		for _, p := range f.Points {
			h.points = append(h.points, p.Ground)
		}
		h.areas = h.solid
		h.bound = orb.Bound{Min: orb.Point{math.Inf(1), math.Inf(1)}, Max: orb.Point{math.Inf(-1), math.Inf(-1)}}
		if g := h.geometry(); g != nil {
			h.bound = g.Bound()
		}
		return r.onWay(h) || mown && r.onMown(h, zones)
	}
	return false
}

// offs are the features that are switched off, on the ground of the site.
func (r *run) offs() []Feature {
	if !r.offKnown {
		r.offKnown, r.offFeatures = true, r.OffFeatures(r.Plan)
	}
	return r.offFeatures
}

// bareOf measures to what of a shape no keep-out covers, nil for nothing.
func (r *run) bareOf(h hazardShape) (hazardShape, *plane.Gauge) {
	bare, ok := r.lessCovered(h, r.keepouts())
	g := bare.geometry()
	if !ok || g == nil {
		return bare, nil
	}
	return bare, plane.NewGauge(g)
}

// onMown reports whether a shape, less what keep-outs cover, lies in a zone.
func (r *run) onMown(h hazardShape, zones *solids) bool {
	near := zones.near(h.bound)
	if len(near) == 0 {
		return false
	}
	bare, gauge := r.bareOf(h)
	return gauge != nil && slices.ContainsFunc(near, func(i int) bool { return r.onLawn(bare, gauge, zones, i) })
}

// onLawn reports whether what no keep-out covers of a thing, with its gauge, lies on the
// ground of one zone.
func (r *run) onLawn(bare hazardShape, gauge *plane.Gauge, zones *solids, i int) bool {
	d, _, _, ok := gauge.Within(zones.gauge(i), slackM)
	return ok && d == 0 && r.sharesGround(bare, zones.areas[i])
}

// onWay reports whether a shape, less what keep-outs cover, comes nearer to the
// line of a corridor, or of the way into a dock, than half the machine.
func (r *run) onWay(h hazardShape) bool {
	var gauge *plane.Gauge
	by := func(way orb.LineString, half float64) bool {
		if !boundOf(way).Pad(half).Intersects(h.bound) {
			return false
		}
		if gauge == nil {
			if _, gauge = r.bareOf(h); gauge == nil {
				return false
			}
		}
		d, _, _, ok := gauge.Within(plane.NewGauge(way), half)
		return ok && d < half-slackM
	}
	for i := range r.corridors() {
		if c := &r.corridorList[i]; by(c.pts, r.halfWidth(c.f)) {
			return true
		}
	}
	for _, d := range r.docks() {
		if !math.IsNaN(d.heading) && by(orb.LineString{d.lineup, d.at}, r.halfWidth(d.f)) {
			return true
		}
	}
	return false
}

// sharesGround reports whether something of a shape lies inside an area, and not
// only along its edge.
func (r *run) sharesGround(h hazardShape, area orb.MultiPolygon) bool {
	for _, p := range h.points {
		if plane.Locate(p, area) == plane.Inside {
			return true
		}
	}
	for _, l := range h.lines {
		if _, depth := insideDepth(l, area); depth > slackM {
			return true
		}
	}
	if len(h.areas) == 0 {
		return false
	}
	_, width, _ := r.overlap(h.areas, areasBound(h.areas), area, areasBound(area))
	return width > slackM
}
