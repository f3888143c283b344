// What the value of a property holds that only describes a thing, by the property's
// name, for words-unread: proper names, dates, files, makes and the like are read with
// a looser look than texts are, and none is left unread (common practice, no source).

package validate

import (
	"slices"
	"strings"
	"sync"

	"swardline/schema"
)

// valueSort is how the text of a property is read.
type valueSort uint8

const (
	sortRuled    valueSort = iota // a rule holds it to its own words, or property-unread tells it
	sortText                      // known words alone
	sortTitle                     // another name of the thing
	sortPerson                    // people and firms
	sortMeasurer                  // who measured, and how
	sortPlace                     // addresses
	sortDate                      // a date
	sortLink                      // files, and addresses in the web
	sortStyle                     // colours, lines and symbols
	sortMake                      // devices and programs
	sortGrown                     // what grows there
	sortNumber                    // a number with its unit
	sortCode                      // marks of lists, and whatever else describes
	sortCount
)

// sortedKeys are names of properties by what they hold, folded.
var sortedKeys = sync.OnceValue(func() map[string]valueSort {
	out := map[string]valueSort{}
	for sort, words := range map[valueSort]string{
		sortText: "number nr num no count index order seq sequence sort rank priority age planted protected irrigated sprinkler inventory weather crew cutdays mowdays interval stripes team key story scenario points vertices region time gpstime times day month cut " +
			"condition roof roofing building health mulch fertiliser fertilizer open line",
		sortTitle: "names featname nom nombre naam navn namn nimi altname longname shortname localname oldname",
		sortPerson: "owner client customer contact company firm operator technician author creator createdby updatedby editor editedby user username project contractor manufacturer lastediteduser createduser kunde eigentümer propriétaire eigenaar ägare eier ejer " +
			"copyright attribution credit phone tel telephone email mail urlname",
		sortMeasurer: "surveyor surveyedby measuredby",
		sortPlace:    "address addr street housenumber city town village zip zipcode postcode postal country county state district site estate adresse straße ort",
		sortDate:     "date datetime timestamp created updated modified changed createdat updatedat modifiedat lastmodified lastupdated lastedited lastediteddate createddate edited edit inspected lastinspected year copyrightyear erstellt geändert datum fecha data dato gpsdate creationdate editdate",
		sortLink:     "url uri href link links path website web photo photos picture image img file filename attachment doc document conformsto licence license",
		sortStyle: "stroke strokewidth strokeopacity strokecolor strokecolour fill fillopacity fillcolor fillcolour linecolor linecolour linewidth lineweight linestyle linetype color colour style stylename styleurl stylehash stylemaphash icon iconcolor symbol " +
			"marker markercolor markercolour markersize markersymbol opacity transparency zindex zorder font fontsize weight dash dasharray pen labelcolor rgb block",
		sortMake:   "instrument rover receiver device generator software program tool model make mower machineno gpxcreator",
		sortGrown:  "species seed",
		sortNumber: "area aream2 areasqm shapearea shapelength shapeleng starea stlength perimeter length len leng acres hectares ha sqm sqft m2 km fläche flaeche umfang länge oppervlakte areal pituus elevation ele cutmm mowingheight mowheight cuttingheight overlap angle speed speedmps speedms speedkmh",
	} {
		for w := range strings.FieldsSeq(words) {
			out[w] = sort
		}
	}
	return out
})

// ruledKeys are properties whose values rules hold to words or numbers of their own,
// beside what files keep of curves and solids.
var ruledKeys = setOf(schema.PropID, schema.PropRole, schema.PropName, schema.PropActive, schema.PropLimits, schema.PropFix, schema.PropSigma, schema.PropDrawnFrom, schema.PropTimes,
	schema.PropDrivenOver, schema.PropHeadingDeg, schema.PropCutMM, schema.PropStandoffM, schema.PropFrame, schema.PropEpoch, schema.PropAntennaHeight, schema.PropEdgeKind, schema.PropHazardKind,
	schema.PropHeightM, schema.PropRadiusM, schema.PropCrownBaseM, schema.PropWidth, "rise_m run_m", schema.PropAltitudeMode, schema.PropExtrude, schema.PropTessellate,
	schema.PropCurve, schema.PropJoined, schema.PropAttribs, schema.PropHidden, "role roles",
	schema.PlanLimits, schema.PlanHeights, schema.PlanHistory, schema.PlanHeld, schema.PlanGiven, schema.PlanPlacement, schema.PlanSiteGrid, schema.PlanDrawing)

// valueSorts are how the values of properties are read, by their names: of what is
// plain, or kept by a format, none goes unread.
var valueSorts = remembered[valueSort]{of: func(key string) valueSort {
	folded := foldKey(strings.TrimPrefix(key, pointPrefix))
	switch {
	case ruledKeys[key] || strings.HasPrefix(key, "xmlns") || strings.HasSuffix(folded, "extensions") || slices.Contains(receiverNames, folded) || folded == "unit" || folded == "north":
		return sortRuled
	case isReadText.get(key):
		return sortText
	case strings.HasPrefix(key, "name:"):
		return sortTitle
	case strings.HasPrefix(key, "addr:"):
		return sortPlace
	}
	for _, k := range [...]string{folded, strings.TrimRight(folded, "0123456789"), withoutUnit(key)} {
		if sort, ok := sortedKeys()[k]; ok {
			return sort
		}
		if readTexts[k] { // note2
			return sortText
		}
	}
	if _, kept := readOfRoles[key]; kept || isPlain(key) {
		return sortCode
	}
	return sortRuled
}}

// signWords are words of symbols, files and lists for danger, beside planFaults.
var signWords = setOf("roadblock skull poison biohazard nogo forbidden prohibited verboten interdit prohibido verboden vietato förbjudet forbudt kielletty bull bulls bulle stier taureau toro " +
	"demolished vanished abolished crushed smashed perished extinguished unfinished diminished leaning falling collapsing crumbling ruin ruined ruins rotten hollow cracked burst leaking dying deadly branches quicksand crevasse chasm")

// lookPasses are words that say nothing in values of a sort though names of plans may
// not have them.
var lookPasses = func() (out [sortCount]map[string]bool) {
	out[sortPlace] = setOf("weg rund circa tief deep long longer larger wider deeper higher lower deux sur about only partly map maps old older alt alte altes ancien ancienne viejo oud vecchio before after vor nach earth single local relative mirror shift void drift temp fare probe vorlage test tests attention")
	out[sortLink] = setOf("reserved about weg rund circa old older alt alte altes before after vorher nachher earth map maps aerial photo image imagery drone copy online web option options raw single local test tests demo idea concept project variant tmp temp backup bak template partial edited updated uploaded attached hosted rotated cropped resized scaled compressed archived downloaded generated not only attention blank projekt satelli orthophoto orthofoto luftbild")
	out[sortStyle] = setOf("sans about rund circa weg before after single local old alt dashed dotted stroked filled outlined rounded striped hatched coloured colored shaded faded muted blurred hidden blank fill map earth mirror shift offset temp test deep tief long longer larger bigger wider higher smaller narrower rotated scaled raw default partial inverse void option variant fare")
	out[sortMake] = setOf("about only single raw demo test tests beta local option map maps web online earth copy relative float feet inches temp backup future variant fare template void project")
	out[sortGrown] = setOf("deep tief longer larger bigger wider deeper higher smaller narrower about rund old older alt alte test variant option only single grown raw fare mirror map maps local hollow copied")
	out[sortCode] = setOf("weg rund circa about old alt alte test tests option variant map maps single local raw temp tmp before after probe feet inches copy vorlage mirror shift fare future long longer project")
	return out
}()

// personPlain are words of small letters in names of people and firms.
var personPlain = setOf("van von der den vom ter ten te zu zum zur di da do dos du de la le el al bin ibn ben y e und and et i og och ja the of for by von gmbh mbh kg ohg ag ltd llc inc co sa sarl srl bv ab as oy plc ev eg dba c/o co. " +
	"family familie fam famille familia town city parish county council community association trust tenants owners owner residents company club estate school municipality gemeinde stadt verein verwaltung private public privat privé office mobile home phone tel fax ext mail survey surveys surveying surveyors engineering gardens gardeners gardener services service department team team's dept office number www com org net info " +
	"gartenbau vermessung vermessungsbüro ingenieurbüro commune mairie ayuntamiento ville")

// personFaults are those words that say in names of people, written large, what is
// wrong with what they made: others are names too.
var personFaults = setOf("approximate approximately approx maybe perhaps unsure uncertain unknown wrong guess moved moving shifted removed missing incomplete partial partly not without never caution danger warning beware closed void ungefähr etwa vielleicht unsicher unbekannt falsch geschätzt versetzt verschoben entfernt fehlt nicht gefahr achtung vorsicht gesperrt inconnu incertain faux estimé desconocido incierto onbekend onzeker ignoto incerto")

// orderWords say a place in a list, who works in it, or on which day, and nothing of the ground.
var orderWords = setOf("high low medium normal regular standard highest lowest hoch niedrig mittel haute basse moyenne alta baja media hoog laag team gang crew shift st nd rd th mon tue wed thu fri sat sun mo di mi do fr sa so lun mar mer jeu ven sam dim")

// isOrdinal reports whether a word is a number with its ending: 2nd.
func isOrdinal(w string) bool {
	rest := strings.TrimLeft(w, "0123456789")
	return len(rest) < len(w) && orderWords[rest]
}

// dateWords go with dates.
var dateWords = setOf("mon tue tues wed thu thur thurs fri sat sun monday tuesday wednesday thursday friday saturday sunday am pm st nd rd th utc gmt cet cest bst est edt cst cdt mst mdt pst pdt met mez mesz t z h o'clock clock uhr at um à to bis unknown kw week " +
	"montag dienstag mittwoch donnerstag freitag samstag sonntag lundi mardi mercredi jeudi vendredi samedi dimanche lunes martes miércoles jueves viernes sábado domingo spring summer autumn winter frühjahr frühling sommer herbst printemps été automne hiver primavera verano otoño invierno estate autunno inverno voorjaar zomer herfst")
