// Rule on what a plan says and no rule reads: property-unread.

package validate

import (
	"fmt"
	"html"
	"math"
	"regexp"
	"slices"
	"strings"
	"sync"

	"swardline/schema"
)

var unreadRules = []Rule{{
	Name: RulePropertyUnread, Severity: Note, run: checkPropertyUnread,
	Page: Page{
		What: "Properties of features that have a role, and members of the plan, that no rule reads and whose name is not one that only describes, orders, dates, draws or counts (name, id, owner, date, colour, area and the like). " +
			"They are named with what they say, each name once, a note for the features and one for the plan. " +
			"Texts under name, note, description and other such names are not told here; name-contradicts reads some words of them.",
		Parts: []Part{
			{"Roles of which more is told", "" +
				"Of a zone, corridor, dock, base or boundary what type, category, kind or class says is told too where it is no word for one; of the role other, what is read of other roles. " +
				"Of the role other that says driven_over all of its properties are told so, and a word for water, a road or a drop in any of them, for it is taken for level ground, and that its drawing extrudes it. " +
				"So is a height in a property (z, elevation and the like) of what has no heights in its points, of driven ground, keep-outs, edges, marks and the role other. " +
				"Of keep-outs that are switched off so is what says that something stands there, or how far a machine keeps off it (radius_m, width_m, limits and the like; name-contradicts tells a height_m and a hazard_kind). " +
				"Of zones, corridors, docks, bases and outlets so are those that often say nothing (condition, soil, use, roof, irrigated, direction and the like) where they name a road, water, a drop, soft or wet ground, a length, or a state that name-contradicts knows, a roof or a building that is there, and days or intervals of mowing that are never; what surface says, but for grass and the like, and a slope or a state (steep grass, 45 %, closed) beside it; and a unit of the plan that is no metre, or which way its north is."},
			{"What names that only describe must not say", "" +
				"So are, under names that only describe, a unit that is no metre, a north that is not the map's (magnetic), a speed above 10 km/h, and an elevation more than 110 m off the heights of its points, or of less than 10 m where they lie more than that off, and an area, a length or a number of storeys below 0, or an area or a length of 0 of what is drawn as one; a length that a base, a dock or an outlet says, and a distance of a dock that is not its standoff_m. " +
				"A feature whose style leaves nothing of it to be seen on a map (opacity below 0.1, colours that are clear, both of outline and fill of an area, the outline of a line) is a note of its own. " +
				"Tags of public maps (landuse, leisure, natural, water, barrier, fence_type) are told but where they say what the role and the kind do. " +
				"So are Samples of fewer than 5 positions, and what GPX extensions say under such names, and what says that its drawing hides it, or from when to when it holds. " +
				"Of lists and objects under such names, however deep, true and false are told, a number in a text, and what has a name of its own that is none of these (info.accuracy_m)."},
		},
		Why:    "Nobody can list all words for closed, soft, steep or traced. What a plan says in words of its own was not checked, and whoever drew it may think that it was.",
		Source: sourcePractice,
		Fails:  "a lawn with \"closed\": true",
		Passes: "the same lawn with \"active\": false, or with the words in its note",
		Mend:   "read what is named; what matters to the machine is said in the plan's own words, as role, geometry or a property that a rule reads, the rest goes into note",
	},
}}

// mostUnread is how many names of unread properties a note gives.
const mostUnread = 8

// readOfRoles are the properties that are read, by the roles of which they are;
// nil for every role. What formats keep for themselves is among them.
var readOfRoles = map[string][]schema.Role{
	schema.PropID: nil, schema.PropRole: nil, schema.PropName: nil, schema.PropActive: nil, schema.PropNote: nil, schema.PropLimits: nil,
	schema.PropFix: nil, schema.PropSigma: nil, schema.PropDrawnFrom: nil, schema.PropTimes: nil,
	schema.PropDrivenOver:    {schema.RoleOther, schema.RoleEdge},
	schema.PropHeadingDeg:    {schema.RoleZone, schema.RoleDock},
	schema.PropCutMM:         {schema.RoleZone},
	schema.PropStandoffM:     {schema.RoleDock},
	schema.PropFrame:         {schema.RoleBase},
	schema.PropEpoch:         {schema.RoleBase},
	schema.PropAntennaHeight: {schema.RoleBase},
	schema.PropEdgeKind:      {schema.RoleEdge},
	schema.PropHazardKind:    {schema.RoleHazard},
	schema.PropHeightM:       {schema.RoleHazard, schema.RoleBuilding, schema.RoleEdge},
	schema.PropRadiusM:       {schema.RoleHazard, schema.RoleEdge},
	schema.PropCrownBaseM:    {schema.RoleHazard},
	schema.PropWidth:         {schema.RoleHazard, schema.RoleEdge},
	"rise_m":                 {schema.RoleEdge}, "run_m": {schema.RoleEdge}, // of ramps
	schema.PropAltitudeMode: nil, schema.PropExtrude: nil, schema.PropTessellate: nil,
	schema.PropFolder: nil, schema.PropCode: nil, schema.PropLayer: nil, schema.PropEntity: nil, schema.PropColour: nil,
	schema.PropLineType: nil, schema.PropBlock: nil, schema.PropHandle: nil, schema.PropTextHeight: nil, schema.PropRotation: nil,
	schema.PropScale: nil, schema.PropAttribs: nil, schema.PropThickness: nil, schema.PropCurve: nil, schema.PropJoined: nil,
	schema.PropLineColor: nil, schema.PropFillColor: nil, schema.PropIconColor: nil,
}

// readOfPlan are the plan's members that are read.
var readOfPlan = []string{
	schema.PlanLimits, schema.PropFrame, schema.PropEpoch, schema.PlanHeights, schema.PlanHistory, schema.PlanHeld, schema.PlanGiven,
	schema.PlanPlacement, schema.PlanSiteGrid, schema.PlanDrawing,
}

// plainWords are names of properties that say nothing a machine could heed,
// folded and without their unit, in the languages of property-misnamed (common
// practice, no source). What formats and their readers bring is among them.
var plainWords = func() map[string]bool {
	out := map[string]bool{}
	for _, w := range strings.Fields(
		// What it is called, and its place in a list.
		"id fid gid gmlid globalid oid objectid featureid uid uuid guid pk key no nr num number index order seq sequence sort rank group count points vertices " +
			"label title caption name names featname alias short nummer numéro número numero nom nombre nome naam navn namn nimi bezeichnung " +
			// What people write of it.
			"note notes remark remarks comment comments cmt desc description info details memo text bemerkung beschreibung hinweis notiz nota notas opmerking beskrivelse beskrivning huomautus " +
			"why reason story scenario keywords tags topic subject abstract summary metadata meta language lang locale " +
			// Whose it is.
			"address addr street housenumber city town village zip zipcode postcode postal country county state region district owner client customer contact company firm crew team operator technician author creator " +
			"createdby updatedby editor edited editedby user username project job jobno jobnumber contract contractor site estate parcel asset assetid serial serialno serialnumber model make manufacturer tool weather inspected lastinspected plot lot cadastre phone tel telephone email mail kunde adresse straße ort eigentümer propriétaire eigenaar ägare eier ejer " +
			"copyright licence license attribution credit generator software program client version revision rev copyrightyear " +
			// When.
			"date time datetime timestamp created updated modified changed createdat updatedat modifiedat lastmodified lastupdated lastedited lastediteddate lastediteduser createddate createduser edited year month day times erstellt geändert datum fecha data dato gpsdate gpstime creationdate editdate " +
			// How large the outline is.
			"area aream2 areasqm shapearea shapelength shapeleng starea stlength perimeter length len leng acres hectares ha sqm sqft m2 km fläche flaeche umfang länge oppervlakte areal pituus centroid extent bounds bbox boundingbox envelope " +
			// How it is drawn.
			"stroke strokewidth strokeopacity strokecolor strokecolour fill fillopacity fillcolor fillcolour linecolor linecolour linewidth lineweight linestyle linetype subclasses entityhandle color colour style stylename styleurl stylehash stylemaphash icon iconcolor symbol sym " +
			"marker markercolor markercolour markersize markersymbol opacity transparency zindex zorder font fontsize weight dash dasharray pen layer labelcolor open snippet rgb " +
			// How a machine works a lawn, and with what it was measured.
			"priority overlap angle instrument rover receiver device " +
			// What grows there and how it is cut.
			"age condition vitality health inventory inventoryno inventorynumber protected planted irrigated sprinkler soil cutdays mowdays mower machineno unit surveyor surveyedby measuredby crew roof roofing building use speedmps speedms speedkmh " +
			"grass species seed mulch fertiliser fertilizer irrigation cutmm cut mowingheight mowheight cuttingheight pattern stripes interval intervaldays mowinterval mowintervaldays mowinginterval mowingintervaldays frequency direction speed " +
			// Where more is.
			"url uri href link links path website web urlname photo photos picture image img file filename attachment doc document " +
			// What receivers and readers keep.
			"gpxkind gpxextensions gpxcreator metadataextensions magvar geoidheight dgpsid ageofdgpsdata hdop pdop vdop gdop tdop maxhdop maxpdop maxvdop maxgdop samples src sat sats satellites ele elevation lat lon latitude longitude lng x y z easting northing east north e n h ostwert nordwert rechtswert hochwert " +
			"line conformsto links timestamp numbermatched numberreturned schemaversion type") {
		out[w] = true
	}
	return out
}()

// isPlain reports whether a property's name says nothing a machine could heed.
func isPlain(key string) bool {
	folded := foldKey(key)
	if plainWords[folded] || plainWords[strings.TrimRight(folded, "0123456789")] || plainWords[withoutUnit(key)] {
		return true
	}
	for _, p := range [...]string{"addr:", "name:", "xmlns"} {
		if strings.HasPrefix(key, p) {
			return true
		}
	}
	if of, ok := strings.CutPrefix(key, pointPrefix); ok { // of each point in a GPX file
		return slices.Contains(pointElements, of)
	}
	return folded == "" || slices.Contains(ownKeys, key)
}

// pointElements are the elements of a point in GPX 1.0 and 1.1, and ownKeys what
// readers and the plans that show a command's rules keep.
var (
	pointElements = strings.Fields("magvar geoidheight name cmt desc src link sym type fix sat hdop vdop pdop ageofdgpsdata dgpsid extensions url urlname email speed course")
	ownKeys       = strings.Fields("gpx_kind gpx_extensions gpx_creator example_movement example_operation example_track")
)

// heededWords are those plain words that of ground which is driven, and of what
// stands by it, may say in a few words what a machine has to heed: a roof over a
// dock, soft ground, heads of sprinklers. coverWords among them are told where they
// say yes, dayWords where they say never, and aheadWords on all but lawns and ways.
var (
	heededWords = strings.Fields("condition vitality health protected planted irrigated irrigation sprinkler soil roof roofing building use weather grass species seed mulch crew pattern direction line inventory stripes")
	coverWords  = strings.Fields("roof roofing building protected")
	dayWords    = strings.Fields("mowdays cutdays interval intervaldays mowinterval mowintervaldays mowinginterval mowingintervaldays frequency schedule")
	aheadWords  = strings.Fields("direction angle")
	neverWords  = strings.Fields("0 no none never nie nein kein keine jamais aucun nunca ninguno nooit geen mai nessuno aldri aldrig ingen ei koskaan")
	boggyWords  = strings.Fields("soft wet muddy mud boggy marshy waterlogged flooded flood floods peat loose collapsed collapsing eroded undermined slippery icy ice unstable weich nass matschig schlammig sumpfig moorig torf überflutet vernässt rutschig eis locker " +
		"mou molle mouillé boueux marécageux inondé glissant blando mojado embarrado resbaladizo nat modderig drassig glad bagnato fangoso scivoloso blød våd mudret bløt våt gjørmete mjuk blöt lerig pehmeä märkä")
)

// fewestSamples is of how many positions a mean is at the least that evens out what
// one is off (common practice, no source).
const fewestSamples = 5

// surfaceWords are names of properties that say what the ground is (common
// practice, no source).
var surfaceWords = strings.Fields("surface groundcover landcover cover turf vegetation vegetationtype oberfläche belag bewuchs bodenbelag revêtement couverture superficie cubierta vegetación ondergrond begroeiing rivestimento vegetazione overflade overflate yta underlag kasvillisuus pinta")

// heeds reports whether the value of one of heededWords says something that a
// machine has to heed.
func heeds(role schema.Role, key string, v schema.Value) bool {
	text := v.Text()
	if v.Kind() == schema.KindString && len(text) <= 200 && roleClaims[role] != nil && textOffset(text) != "" {
		return true
	}
	switch role {
	case schema.RoleZone, schema.RoleCorridor, schema.RoleDock, schema.RoleBase, schema.RoleSupply:
	default:
		return false
	}
	if slices.Contains(dayWords, key) {
		return slices.Contains(neverWords, switchKey(v.Text()))
	}
	if slices.Contains(coverWords, key) && saysTrue(v) {
		return true
	}
	if v.Kind() != schema.KindString || len(text) > 200 {
		return false
	}
	if _, long := widthNamed(text); long {
		return true // how high, how deep
	}
	words := letterWords(text)
	grave, _ := graveText(words)
	if kind, word := graverName(text); kind != "" && key != "direction" && !slices.Contains(textAmbiguous, word) {
		grave = kind
	}
	if grave != "" || slices.ContainsFunc(words, func(w string) bool { return slices.Contains(boggyWords, w) }) {
		return true
	}
	for c, word := range namesSay.get(text).words {
		if word != "" && slices.Contains(roleClaims[role], claim(c)) {
			return true
		}
	}
	return false
}

// sizeNames are those plain words that say how large something is.
var sizeNames = strings.Fields("area aream2 areasqm sqm m2 perimeter length len länge umfang fläche circumference surface")

// timeNames are those plain words that may hold from when to when something
// holds, where they hold more than a text.
var timeNames = strings.Fields("time times schedule frequency interval month months day")

// reading says of which roles a property of a name is read; of every role when
// all is set. Other rules judge the rest by name and value.
type reading struct {
	all   bool
	roles []schema.Role
	words []*otherName
	asks  bool // whether it may be a switch
	round bool // whether it may say how far a line reaches out
	// heeded is the name where it is one of heededWords, ahead one of aheadWords,
	// ground one of surfaceWords.
	heeded string
	ahead  bool
	ground bool
	opens  bool // whether it may say that a gate is open
	// tag reports whether a tag of public maps says what the feature is.
	tag func(f *Feature, value string) bool
	// counts is set for the name of how many positions a mean is of.
	counts bool
	girth  bool // whether it says how far it is round
	away   bool // whether it says a distance, which of a dock may be its standoff_m
	// size is set for a name of how large something is, which a point has not
	// drawn; time for one of a time, which may be one from and to which it holds.
	size, time bool
	slope      slopeKind
	kind       bool      // it may say a role or a kind
	measures   sizeMeans // what of a size it says
}

// plainKinds are words under type, category and the like that say no more than
// the role does, or nothing, folded, by role and for all (common practice, no
// source).
var plainKinds = func() map[schema.Role]map[string]bool {
	out := map[schema.Role]map[string]bool{}
	for role, words := range map[schema.Role]string{
		schema.RoleZone: "lawn lawns grass grassland turf zone area mowing mow mown mower field meadow pitch court green sports sport garden park leisure front back fescue ryegrass clover rasen rasenfläche wiese mähen mähzone mähfläche fläche garten sportplatz " +
			"pelouse gazon herbe prairie jardin césped hierba prado zona jardín gras grasveld maaien tuin prato erba giardino gräsmatta gräs trädgård plæne græs have plen gress hage nurmikko nurmi piha",
		schema.RoleCorridor: "grass lawn turf rasen gras herbe gazon césped hierba prato gräs græs gress nurmi paved paving pavers slabs asphalt concrete tarmac pflaster asphalt beton dalles corridor way path track route transit transfer link connection connector weg fahrweg fahrspur verbindung passage chemin liaison pasillo camino paso gang pad corridoio percorso väg gång vej vei sti käytävä reitti",
		schema.RoleBase:     "concrete pad slab slabs paved paving gravel beton platte grass lawn roof flat base station basestation reference rtk gnss gps antenna mast receiver basis basisstation referenz referenzstation antenne station antena estación basi stazione basstation antenn basestasjon tukiasema",
		schema.RoleDock:     "concrete pad slab slabs paved paving gravel beton platte grass lawn dock docking charging charger charge station base parking home ladestation ladegerät station chargeur cargador estación laadstation caricatore laddstation ladestasjon latausasema",
		// What is driven over.
		schema.RoleOther: "path paving paved pavers slab slabs plate cover lid marking markings line lines paint painted court pitch rubber mat mesh grid grass lawn turf surface sports sport service " +
			"pflaster platte platten markierung linie weg dalle dalles marquage chemin losas marca camino tegels lijn pad lastre linea markering linje sti polku laatta",
		schema.RoleBoundary: "boundary parcel property limit limits plot lot cadastre cadastral site grenze grundstück flurstück limite parcelle propriété lindero límite parcela perceel erf confine particella tomt ejendom eiendom matrikkel tontti kiinteistö raja",
	} {
		known := map[string]bool{}
		for _, w := range strings.Fields(words + " default none standard normal regular main general feature features object polygon multipolygon line linestring multilinestring point area type class kind category layer existing active on yes") {
			known[w] = true
		}
		out[role] = known
	}
	return out
}()

// kindUnknown reports whether what a property such as type says of ground that
// is driven, or of what it hangs from, is neither known to say nothing nor told
// by another rule.
func kindUnknown(role schema.Role, text string) bool {
	known := plainKinds[role]
	if known == nil || len(text) > 200 {
		return false
	}
	says := false
	for _, w := range letterWords(text) {
		says = says || len(w) > 1 && !known[w]
	}
	if !says || nearestRole(text) != "" {
		return false
	}
	for c, word := range namesSay.get(text).words {
		if word != "" && slices.Contains(roleClaims[role], claim(c)) {
			return false
		}
	}
	return true
}

// groundClaims reports whether what a property says of the ground says in what state it
// is, or how steep: closed, steep grass, grass 45 %.
func groundClaims(role schema.Role, text string) bool {
	words := letterWords(text)
	for c, word := range namesSay.get(text).words {
		if word != "" && slices.Contains(roleClaims[role], claim(c)) {
			return true
		}
	}
	steep := slices.ContainsFunc(words, func(w string) bool { s, n := phraseAt([]string{w}); return n > 0 && s.claim == claimSteep })
	return steep || strings.ContainsAny(text, "%°") && strings.ContainsAny(text, "0123456789")
}

// slopeRoles are the roles of which it is read how steep they say they are.
var slopeRoles = []schema.Role{schema.RoleZone, schema.RoleCorridor, schema.RoleEdge}

var readings = remembered[*reading]{of: readingOf}

func readingOf(key string) *reading {
	if roles, ok := readOfRoles[key]; ok {
		return &reading{all: roles == nil, roles: roles}
	}
	says := sayings.get(key)
	measures := sizeKeys.get(key)
	out := &reading{
		all: isPlain(key) || axisKeys.get(key) != saysNowhere || says.role || says.mayBeRole || says.limit, words: otherMeant(key), asks: switchKeys.get(key),
		round: slices.Contains(roundWords, withoutUnit(key)) || slices.Contains(roundTrunk, withoutUnit(key)),
		opens: foldKey(key) == "open", counts: foldKey(key) == "samples", tag: mapTags[key],
		girth: slices.Contains(girthWords, withoutUnit(key)), away: saysAway(key),
		size: measures.what != sizeNone || slices.Contains(sizeNames, foldKey(key)) || slices.Contains(sizeNames, withoutUnit(key)), time: slices.Contains(timeNames, foldKey(key)),
		slope: slopeKeys.get(key), kind: says.mayBeRole, measures: measures,
	}
	if word := withoutUnit(key); slices.Contains(heededWords, word) || slices.Contains(dayWords, word) {
		out.heeded, out.ahead = word, slices.Contains(aheadWords, word)
	} else {
		out.ahead, out.ground = slices.Contains(aheadWords, word), slices.Contains(surfaceWords, word)
	}
	for _, p := range meantFor(key) {
		out.all = out.all || p.roles == nil
		out.roles = append(out.roles, p.roles...)
	}
	return out
}

// saysAway reports whether a name says a distance, and not that it is the one from which
// a machine lines up, of which property-misnamed tells.
func saysAway(key string) bool {
	word := withoutUnit(key)
	return slices.ContainsFunc(otherMeant(key), func(n *otherName) bool { return n.property == schema.PropStandoffM }) &&
		!slices.ContainsFunc(liningUp, func(start string) bool { return strings.HasPrefix(word, start) })
}

// doubted reports whether a value says more than one under a name that only describes
// should.
func (how *reading) doubted(f *Feature, v schema.Value) bool {
	switch {
	case how.size && f.Role == schema.RoleHazard && len(f.Points) > 0 && !how.girth || how.time && (v.Kind() == schema.KindObject || v.Kind() == schema.KindList):
		return true
	case how.measures.what == sizeLong && len(f.Points) > 0 && (f.Role == schema.RoleBase || f.Role == schema.RoleDock || f.Role == schema.RoleSupply):
		n, ok := schema.NumberSaid(v)
		return !ok || n != 0 // of its mast, its cable, the way into it?
	case how.away && f.Role == schema.RoleDock:
		own, ok := f.Float(schema.PropStandoffM)
		other, said := lengthSaid("", v)
		return ok && (!said || math.Abs(other-own) > overM)
	case how.opens && f.Role == schema.RoleEdge && v.Kind() != schema.KindNumber && slices.Contains(saysNo, switchKey(v.Text())):
		return true // a gate; folders of drawings are open too
	case how.counts: // a mean of few is as good as the worst of them
		n, ok := v.Float()
		return !(ok && n >= fewestSamples)
	}
	return false
}

// of reports whether the property of a feature was read, or judged by its name
// and value.
func (how *reading) of(f *Feature, v schema.Value) bool {
	if how.tag != nil && how.tag(f, schema.FoldName(v.Text())) {
		return true
	}
	if how.doubted(f, v) {
		return false
	}
	if how.ahead && f.Role != schema.RoleZone && f.Role != schema.RoleCorridor || how.heeded != "" && heeds(f.Role, how.heeded, v) {
		return false
	}
	if how.ground && v.Kind() == schema.KindString && plainKinds[f.Role] != nil {
		return !kindUnknown(f.Role, v.Text()) && !groundClaims(f.Role, v.Text())
	}
	if across := how.measures.what == sizeAcross && len(f.Areas) == 0; how.measures.what != sizeNone && !across && len(sizesOf(v, how.measures).values) > 0 {
		return true // geometry-unfit holds it to what is drawn
	}
	if how.slope != slopeNone && slices.Contains(slopeRoles, f.Role) {
		_, _, ok := slopeValue(how.slope, v)
		return ok || how.slope != slopeUnitless
	}
	if how.kind && v.Kind() == schema.KindString && kindUnknown(f.Role, v.Text()) {
		return false
	}
	if how.all || slices.Contains(how.roles, f.Role) {
		return true
	}
	for _, n := range how.words {
		if n.property == schema.PropRadiusM && len(f.Points) == 0 && !how.round {
			continue
		}
		if (n.roles == nil || slices.Contains(n.roles, f.Role)) && n.fits(v) {
			return true
		}
	}
	if how.asks {
		word := switchKey(v.Text())
		return slices.Contains(saysYes, word) || slices.Contains(saysNo, word)
	}
	return false
}

// extensionLeaf finds the innermost elements of GPX extensions that say something.
var extensionLeaf = sync.OnceValue(func() *regexp.Regexp {
	return regexp.MustCompile(`<(?:[^<>/\s:]+:)?([^<>/\s:]+)[^<>]*>\s*([^<>]*[^<>\s])\s*</`)
})

// extensions are what the GPX extensions of a feature say that no rule looks at,
// as properties. Of the role other they are asked where it says driven_over.
func (f *Feature) extensions() schema.Attributes {
	text := f.Attributes.Get(propGPXExtensions).Text()
	if text == "" {
		return nil
	}
	other := f.Role == schema.RoleOther || f.Role == ""
	if over, _ := f.Attributes.Get(schema.PropDrivenOver).Truth(); other && !over {
		return nil
	}
	var out schema.Attributes
	for _, m := range extensionLeaf().FindAllStringSubmatch(text, mostUnread) {
		if !isPlain(m[1]) && !slices.Contains(extensionWords, foldKey(m[1])) && (other || m[1] != "Proximity") { // proximity tells that
			out = append(out, schema.Attribute{Key: m[1], Value: schema.String(html.UnescapeString(m[2]))})
		}
	}
	return out
}

// propGPXExtensions holds what other vocabularies say in a GPX file.
const propGPXExtensions = "gpx_extensions"

// extensionWords are names in them that say how something is drawn or was logged
// (from memory, of extensions that receivers write).
var extensionWords = strings.Fields("displaycolor displaymode transparent linestyle linewidth category creationtime samples temperature hr heartrate cad cadence power atemp wtemp distance calories movingtime stoppedtime totaltime maxspeed")

func checkPropertyUnread(r *run) {
	var features unreadList
	for _, f := range r.Features {
		for _, a := range f.extensions() {
			features.add(f, a)
		}
		if f.Role == schema.RoleOther || f.Role == "" {
			// Nothing of it is read; what rules read of others may matter.
			over, _ := f.Attributes.Get(schema.PropDrivenOver).Truth()
			for _, a := range f.Attributes {
				if over {
					if f.drivenUnread(a) && !saysNothing(a.Value) && !isShown(a) {
						features.add(f, a)
					}
					continue
				}
				if roles := readOfRoles[a.Key]; (roles != nil && !slices.Contains(roles, f.Role) || f.saysHeight(a)) && f.Attributes.Has(schema.PropRole) && !saysNothing(a.Value) {
					features.add(f, a)
				}
			}
			continue
		}
		for _, a := range f.Attributes {
			if saysNothing(a.Value) || isShown(a) {
				continue
			}
			if !readings.get(a.Key).of(f, a.Value) || f.saysHeight(a) || f.oddMeasure(&a) {
				features.add(f, a)
			} else {
				features.addWithin(f, &a)
			}
		}
	}
	r.offUnread()
	r.unseen()
	r.tellUnread(&features, "no rule reads")
	var members unreadList
	for _, a := range r.Plan.Attributes {
		if a.Key == "properties" || a.Key == "metadata" {
			for _, b := range a.Value.Fields() {
				members.addMember(b, false)
			}
			continue
		}
		members.addMember(a, true)
	}
	r.tellUnread(&members, "no rule reads the plan's")
}

// offMeans are properties of what is switched off that say that it stands there, or
// how far off a machine keeps.
var offMeans = [...]string{schema.PropRadiusM, schema.PropWidth, schema.PropEdgeKind, schema.PropLimits, schema.PropCrownBaseM}

// offUnread tells what keep-outs that are switched off say of a thing that stands there:
// nothing of them is read.
func (r *run) offUnread() {
	var says []string
	for _, f := range r.Inactive {
		if f.Role != schema.RoleKeepout {
			continue
		}
		x := &Feature{Feature: f}
		for _, a := range f.Attributes {
			if !saysNothing(a.Value) && !isShown(a) && a.Key != schema.PropHeightM && a.Key != schema.PropHazardKind && // name-contradicts
				(slices.Contains(offMeans[:], a.Key) || !readings.get(a.Key).of(x, a.Value)) {
				says = append(says, fmt.Sprintf("%s (%s, %s)", quote(a.Key), clipped(shown(a.Value)), describe(f)))
			}
		}
	}
	if len(says) == 0 {
		return
	}
	if more := len(says) - mostUnread; more > 0 {
		says = append(says[:mostUnread], fmt.Sprintf("%d more", more))
	}
	r.finding(nil).Message = fmt.Sprintf("no rule reads of keep-outs that are switched off %s: does something stand there still? switch it on, or take out what is said of it", strings.Join(says, "; "))
}

// drivenUnread reports whether a property of what a machine may drive over says
// what no rule has read of it: all of it is taken for level ground.
func (f *Feature) drivenUnread(a schema.Attribute) bool {
	roles, known := readOfRoles[a.Key]
	switch {
	case a.Key == schema.PropHeightM || a.Key == schema.PropRadiusM || a.Key == schema.PropWidth: // other-in-zone, and how large it is
		return false
	case known && roles != nil:
		return !slices.Contains(roles, f.Role)
	case a.Key == schema.PropRole || a.Key == schema.PropName:
		return false
	case a.Key == schema.PropExtrude:
		// A solid from the ground up to its heights, but for one that is flat on it.
		return anyTrue(a.Value) && f.Attributes.Get(schema.PropAltitudeMode).Text() != "clampToGround"
	}
	if a.Value.Kind() == schema.KindString {
		if kind, _ := graverName(a.Value.Text()); kind != "" && len(a.Value.Text()) <= 200 {
			return heldUnder.get(a.Key) != holdsText // name-contradicts
		}
		if sayings.get(a.Key).mayBeRole {
			return kindUnknown(f.Role, a.Value.Text())
		}
	}
	if foldKey(a.Key) == "open" && a.Value.Kind() == schema.KindString {
		return !saysTrue(a.Value) // a cover, in summer
	}
	if axisKeys.get(a.Key) == saysHeight {
		n, ok := schema.NumberSaid(a.Value)
		low, high := f.heightRange()
		return ok && n != 0 && !(n >= low-standsUpM && n <= high+standsUpM)
	}
	return !known && !isPlain(a.Key) && !slices.Contains(levelWords, withoutUnit(a.Key)) && !readings.get(a.Key).of(f, a.Value)
}

// anyTrue reports whether a value is true, or a list with one that is.
func anyTrue(v schema.Value) bool {
	yes, _ := v.Truth()
	return yes || slices.ContainsFunc(v.Items(), func(v schema.Value) bool { yes, _ := v.Truth(); return yes })
}

// saysHeight reports whether a property says how high something lies whose points
// have no heights, so that no rule of slopes looks at it.
func (f *Feature) saysHeight(a schema.Attribute) bool {
	switch f.Role {
	case schema.RoleBuilding, schema.RoleHazard, schema.RoleBoundary, schema.RoleSupply:
		return false // not of ground that is driven
	}
	if axisKeys.get(a.Key) != saysHeight {
		return false
	}
	n, ok := schema.NumberSaid(a.Value)
	low, high := f.heightRange()
	return ok && n != 0 && low > high
}

// isShown reports whether a property says that a drawing shows its feature, as
// it does where nothing is said.
func isShown(a schema.Attribute) bool {
	yes, ok := a.Value.Truth()
	return ok && (a.Key == "visibility" && yes || a.Key == schema.PropHidden && !yes)
}

// saysNothing reports whether a value is none, or empty.
func saysNothing(v schema.Value) bool {
	switch v.Kind() {
	case schema.KindString:
		return strings.TrimSpace(v.Text()) == ""
	case schema.KindList:
		return !slices.ContainsFunc(v.Items(), func(v schema.Value) bool { return !saysNothing(v) })
	case schema.KindObject:
		return len(v.Fields()) == 0
	}
	return isNull(v)
}

// unreadList are properties that no rule reads, each name once.
type unreadList struct {
	names    []string // folded
	says     []string
	count    []int
	features []*Feature
}

func (l *unreadList) add(f *Feature, a schema.Attribute) {
	k := foldKey(a.Key)
	i := slices.Index(l.names, k)
	if i < 0 {
		i = len(l.names)
		says := quote(a.Key)
		if v := clipped(shown(a.Value)); v != "" {
			says += " (" + v
			if f != nil {
				says += ", " + f.describe()
			}
			says += ")"
		}
		l.names, l.says, l.count = append(l.names, k), append(l.says, says), append(l.count, 0)
	}
	l.count[i]++
	if f != nil && len(l.features) < mostUnread && !slices.Contains(l.features, f) {
		l.features = append(l.features, f)
	}
}

// clipped cuts a long value short.
func clipped(s string) string {
	const most = 60
	if r := []rune(s); len(r) > most {
		return string(r[:most]) + " ..."
	}
	return s
}

// receiverNames are those plain words by which a feature's receiver is judged;
// of a plan nothing reads them.
var receiverNames = strings.Fields("hdop pdop vdop gdop tdop maxhdop maxpdop maxvdop maxgdop sat sats satellites ageofdgpsdata")

// northNames are those that of a plan say how its drawing is turned, and metreWords
// the units that it is taken to be in.
var (
	northNames = strings.Fields("north direction angle")
	metreWords = strings.Fields("m metre metres meter meters deg degree degrees °")
)

// addMember takes a member of the plan, or one within its properties, unless
// property-misnamed tells it, which looks at the plan's own.
func (l *unreadList) addMember(a schema.Attribute, own bool) {
	_, number := a.Value.Float()
	folded := foldKey(a.Key)
	if unit := folded == "unit"; unit && slices.Contains(metreWords, foldKey(a.Value.Text())) {
		return
	} else if north := number && slices.Contains(northNames, withoutUnit(a.Key)) || oddNorth(folded, a.Value) || tooFast(a); unit || north {
		l.add(nil, a)
		return
	}
	if slices.Contains(readOfPlan, a.Key) || saysNothing(a.Value) {
		return
	}
	if isPlain(a.Key) && !(number && slices.Contains(receiverNames, folded)) {
		l.addWithin(nil, &a)
		return
	}
	if own && (sayings.get(a.Key).limit || len(meantFor(a.Key)) > 0 ||
		slices.ContainsFunc(otherMeant(a.Key), func(n *otherName) bool { return n.roles == nil && n.fits(a.Value) })) {
		return
	}
	l.add(nil, a)
}

func (r *run) tellUnread(l *unreadList, what string) {
	if len(l.names) == 0 {
		return
	}
	var words []string
	for i, says := range l.says {
		if i == mostUnread {
			words = append(words, fmt.Sprintf("%d more", len(l.says)-i))
			break
		}
		if l.count[i] > 1 {
			says += fmt.Sprintf(" %d times", l.count[i])
		}
		words = append(words, says)
	}
	var at *Place
	if len(l.features) > 0 {
		at = r.middle(l.features[0])
	}
	x := r.finding(at, l.features...)
	x.Message = fmt.Sprintf("%s %s: what it says was not checked; read it, and say what matters to the machine in the plan's own words", what, strings.Join(words, "; "))
}
