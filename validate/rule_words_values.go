// Values of properties that only describe, read for what they say beyond that: part
// of words-unread.

package validate

import (
	"regexp"
	"slices"
	"strings"
	"sync"
	"unicode"
	"unicode/utf8"

	"swardline/schema"
)

// valueLooks read the texts of each sort: what is found of those of things that are
// kept out, or only drawn, and behind it of ground that is driven and what stands by it.
var valueLooks = sync.OnceValue(func() *[sortCount][2]remembered[[]string] {
	out := &[sortCount][2]remembered[[]string]{}
	for sort := range out {
		for driven := range out[sort] {
			out[sort][driven].of = func(text string) []string { return lookAt(text, valueSort(sort), driven == 1) }
		}
	}
	return out
})

// lookAt are the words of a text of a sort that say more than such a text does.
func lookAt(text string, sort valueSort, driven bool) []string {
	switch sort {
	case sortPerson:
		return lookPerson(text)
	case sortMeasurer:
		return lookMeasurer(text, wordSets()[historyWords])
	case sortDate:
		return lookDate(text)
	case sortNumber:
		return lookNumber(text)
	case sortText:
		if partOf.MatchString(text) {
			return []string{text}
		}
		return slices.DeleteFunc(slices.Clone(wordSets()[textOf("")].unknown.get(text)), func(w string) bool { return orderWords[w] || isOrdinal(w) })
	case sortMake:
		if saysRough(text) {
			return []string{text}
		}
	case sortGrown:
		if w := wetGrown(text); driven && w != "" {
			return []string{w}
		}
	}
	if words := lookSentence(text, sort); len(words) > 0 {
		return words
	}
	return lookLoose(text, sort, driven)
}

// longestTitle is the most words that a program, a licence or a mark of a list has
// without being a sentence, and longSentence that of a code, which may be of more parts.
const longestTitle, longestCode = 2, 3

// fileEnd matches the end of a file's name.
var fileEnd = regexp.MustCompile(`\.\pL[\pL\d]{1,4}$`)

// licenceWords are those of licences and of who may use a thing, beside what texts say.
var licenceWords = setOf("all rights reserved licensed licence license under creative commons attribution public domain share sharealike alike noncommercial derivatives open data database proprietary international unported version terms conditions apply use free only internal see website copyright")

// lookSentence are the words of a text that is a sentence where none is looked for, that
// no text may hold: of small letters, or of capitals alone.
func lookSentence(text string, sort valueSort) (out []string) {
	fields := strings.Fields(text)
	most := longestTitle
	switch sort {
	case sortLink, sortMake:
	case sortCode:
		most = longestCode
	default:
		return nil
	}
	if len(fields) <= most || strings.Contains(text, "://") || fileEnd.MatchString(text) {
		return nil
	}
	small := map[string]bool{}
	if sort == sortMake && strings.ContainsAny(text, "0123456789") {
		fields = fields[1:] // what it is called, before its version
	}
	for _, field := range fields {
		word := strings.TrimFunc(field, func(c rune) bool { return !unicode.IsLetter(c) })
		first, _ := utf8.DecodeRuneInString(word)
		if unicode.IsLower(first) || utf8.RuneCountInString(word) > 4 && word == strings.ToUpper(word) {
			small[schema.FoldName(word)] = true
		}
	}
	for _, w := range wordSets()[textOf("")].unknown.get(text) {
		if small[w] && !lookPasses[sort][w] && !(sort == sortLink && licenceWords[w]) && !(sort == sortMake && (goodDevices[w] || fixedBy[w] || makeWords[w])) {
			out = append(out, w)
		}
	}
	return out
}

// makeWords go with the names of devices and programs.
var makeWords = setOf("planner for on version release build desktop mobile app web server plugin tool software firmware pole tripod prism controller tablet antenna receiver rover base station robot robotic mower series edition professional")

// wetPlants grow in water or at its edge, and bareGround is where nothing grows (common
// practice, no source).
var (
	wetPlants  = setOf("reed reeds bulrush bulrushes cattail cattails waterlily waterlilies lilypad duckweed watercress papyrus schilf rohrkolben seerose seerosen wasserlinse wasserlinsen binsen roseau roseaux nénuphar nénuphars massette junco juncos nenúfar carrizo riet lisdodde waterlelie ninfea kaveldun vass kaveldunshirse tagrør dunhammer takrør ruoko osmankäämi lumme")
	bareGround = setOf("gravel bare kies schotter nackt gravier grava desnudo grind kaal ghiaia grus sora")
)

// wetGrown is the word of a text for plants of water or for bare ground, "" for none.
func wetGrown(text string) string {
	words := letterWords(text)
	for i, w := range words {
		switch {
		case wetPlants[w] || bareGround[w]:
			return w
		case i > 0 && wetPlants[words[i-1]+w]:
			return words[i-1] + " " + w
		}
	}
	return ""
}

// lookLoose are the words of a text that say of it that something is wrong, not there
// or dangerous, and of what is driven words for water, drops and the like.
func lookLoose(text string, sort valueSort, driven bool) (out []string) {
	passes := lookPasses[sort]
	read := text
	if sort == sortLink {
		read = withoutHost(text)
	}
	add := func(w string) {
		if w != "" && !slices.Contains(out, w) {
			out = append(out, w)
		}
	}
	if strings.ContainsAny(text, "?!") && sort != sortLink && sort != sortStyle {
		add(text)
	}
	for _, w := range letterWords(read) {
		if utf8.RuneCountInString(w) > 2 && !passes[w] && (sort == sortPlace && placeFault(w) || sort != sortPlace && saysFault(w)) {
			add(w)
		}
	}
	if sort == sortPlace {
		return out
	}
	read = strings.NewReplacer("_", " ", "-", " ", "/", " ", ".", " ").Replace(read)
	for c, word := range namesSay.get(read).words {
		if word != "" && claim(c) != claimOthers && !passes[word] {
			add(word)
		}
	}
	if partOf.MatchString(text) || ofMap(text) {
		add(text)
	}
	if sort == sortLink {
		for _, w := range letterWords(read) {
			if newerWords[w] {
				add(w)
			}
		}
	}
	if driven && sort != sortMake {
		add(graveOf(read, sort))
	}
	return out
}

// remarkWords are words of comments that programs leave in a file, and people above a
// list, beside those of texts: what is in it, how it is written and by what it was (common
// practice, no source).
var remarkWords = sync.OnceValue(func() map[string]bool {
	return setOf(textCore, plainSilent, "swardline created generated exported written saved made converted produced compiled file files document format encoding charset utf ascii using via tool software program application app planner generator creator build release copyright copyrights author license licence licensed under reserved rights "+
		"begin start end of all section list header footer data features feature placemark placemarks waypoint waypoints track tracks route routes folder folders layer layers style styles stylemap schema namespace metadata extended extensions element elements attributes properties polygon polygons line lines point points points ring rings outline outlines geometry geometries coordinates "+
		"zone zones lawns keepout keepouts keep-outs corridor corridors dock docks base bases mark marks hazard hazards edge edges boundary boundaries building buildings supply outlet outlets other others site mowing robot station stations name names number id role latitude longitude lat lon easting northing height heights metres meters degrees unit units cm mm wgs wgs84 "+
		"datei erstellt exportiert erzeugt gespeichert geschrieben format kodierung fichier créé exporté généré archivo creado exportado generado bestand gemaakt geëxporteerd creato esportato generato fil skapad exporterad oprettet eksporteret laget eksportert luotu viety uhr xsd xsl dtd gpx kml kmz csv xml json geojson dxf http https www com org net amp nbsp quot")
})

// makerWords come before the name of who or what made a file.
var makerWords = setOf("by with using via from generator creator author program software tool von mit par avec por con door med app")

// lookRemark are the words of a comment in a file's own text that it would not hold if it
// said nothing: those of small letters, or of capitals alone, that no program leaves, and
// names that say what is wrong, or a water, a road or a drop.
func lookRemark(text string) (out []string) {
	low := strings.ToLower(text)
	if plain := plainPhrases.Replace(low); plain != low {
		text = plain
	}
	if strings.ContainsAny(text, "?!") && !strings.Contains(text, "://") || partOf.MatchString(text) || remarkRough(text) || saysUnfinished(text, &schema.Limits{}) || signIn(text, true) != "" {
		return []string{text}
	}
	known, before := remarkWords(), ""
	heading := len(letterWords(text)) == 1 // of what is drawn below it
	for _, w := range strings.FieldsFunc(withoutHost(text), func(c rune) bool { return !unicode.IsLetter(c) && !unicode.IsDigit(c) }) {
		folded := schema.FoldName(w)
		first, _ := utf8.DecodeRuneInString(w)
		maker := makerWords[before]
		before = folded
		switch {
		case known[folded] || isNumber(folded) || isTag(folded) || utf8.RuneCountInString(folded) < 2:
		case doubtWords[folded] || notPlanned(folded) || !heading && hazardRank[kindOfWord(folded)] > hazardRank["tree"] || underWords[folded] || signWords[folded]:
			out = append(out, w)
		case maker || unicode.IsUpper(first) && (utf8.RuneCountInString(w) < 3 || w != strings.ToUpper(w)) || !unicode.IsLetter(first):
		default:
			out = append(out, w)
		}
	}
	if says := namesSay.get(text).words; len(out) == 0 {
		for c, word := range says {
			if word != "" && claim(c) != claimOthers && !known[word] {
				out = append(out, word)
			}
		}
	}
	return out
}

// remarkRough reports whether a comment says that what is in its file was not measured,
// or how badly: lengths in it are of anything, but beside a word or a sign for an error.
func remarkRough(text string) bool {
	errs := strings.Contains(text, "±") || strings.Contains(text, "+/-") || strings.Contains(text, "+-") || ownSurvey.MatchString(text) ||
		slices.ContainsFunc(letterWords(text), func(w string) bool {
			return errorWords[w] || meanWords[w] || staticWays[w] || slices.Contains(saysMethod, w)
		})
	return ofMap(text) || saysTraced(schema.String(text)) || errs && saysRough(text)
}

// newerWords say of what a link leads to that it holds instead (common practice, no source).
var newerWords = setOf("successor latest newer newest superseding supersedes replacement replaces corrected revised nachfolger neuere neueste neuester ersatz korrigiert berichtigt remplaçant corrigé corrigée révisé sucesor corregido corregida revisado opvolger nieuwere gecorrigeerd successore corretto corretta aggiornato rättad korrigerad rettet korrigeret nyere nyare korjattu")

// graveOf is the word of a text of what is driven that names what it is not: water or
// a drop, of symbols and lines any hazard, and what lies in the ground.
func graveOf(text string, sort valueSort) string {
	words := letterWords(text)
	if _, w := graveText(words); w != "" {
		return w
	}
	if sort != sortStyle {
		return ""
	}
	for i := range words {
		if k, n := kindAt(words[i:]); hazardRank[k] > 0 && n > 0 {
			return strings.Join(words[i:i+n], " ")
		}
	}
	for _, w := range words {
		if underWords[w] {
			return w
		}
	}
	return ""
}

// underWords are what drawings have lines of that lies in the ground or over it.
var underWords = setOf("gas sewer sewage waterpipe pipe pipeline cable power electric voltage telephone fibre fiber drain drainage irrigation leitung kabel gasleitung wasserleitung stromkabel conduite tubo leiding ledning")

// mapScale finds the scale of a map, and mostMapScale is that of the smallest plan that
// a survey is drawn at (common practice, no source).
var mapScale = regexp.MustCompile(`\b1 ?[:/] ?([1-9][0-9]{2,6})\b`)

const mostMapScale = 1000

// ofMap reports whether a text says that something was drawn at the scale of a map.
func ofMap(text string) bool {
	m := mapScale.FindStringSubmatch(strings.ReplaceAll(strings.ReplaceAll(text, "'", ""), ".", ""))
	return m != nil && atoi(m[1]) > mostMapScale
}

// saysFault reports whether a folded word says that something is wrong, not there, not
// so or dangerous.
func saysFault(w string) bool {
	return doubtWords[w] || signWords[w] || slices.Contains(warnWords, w) || slices.Contains(boggyWords, w) || notPlanned(w)
}

// placeFault is saysFault of words of addresses, which are named after anything.
func placeFault(w string) bool {
	return doubtWords[w] || signWords[w] && w != "bull" || slices.Contains(warnWords, w) || saysParticiple(w) || geSay[w]
}

// withoutHost is a web address without where it is kept; any other text as it is.
func withoutHost(text string) string {
	_, rest, ok := strings.Cut(text, "://")
	if !ok {
		return text
	}
	_, rest, _ = strings.Cut(rest, "/")
	return rest
}

// lookPerson are the words of a text that are no name of people or a firm: of small
// letters, but for those that such names have, and a few that are never one.
func lookPerson(text string) (out []string) {
	fields := strings.Fields(text)
	if strings.ContainsAny(text, "?!") && !strings.Contains(text, "://") {
		out = append(out, text)
	}
	plain := wordSets()[textOf("")].plain
	for _, field := range fields {
		if strings.ContainsAny(field, "@") || strings.Contains(field, "://") || strings.HasPrefix(field, "www.") {
			continue
		}
		for _, w := range strings.FieldsFunc(field, func(c rune) bool { return !unicode.IsLetter(c) && !unicode.IsDigit(c) }) {
			folded := schema.FoldName(w)
			first, _ := utf8.DecodeRuneInString(w)
			switch {
			case personFaults[folded] || slices.Contains(boggyWords, folded) || saysParticiple(folded) && !unicode.IsUpper(first):
				out = append(out, folded)
			case personPlain[folded] || isNumber(folded) || isTag(folded) || utf8.RuneCountInString(folded) < 3:
			case unicode.IsUpper(first) || !unicode.IsLower(first):
			case len(fields) == 1 && !saysFault(folded) && !hazardous(folded): // a user's
			case plain[folded] && !doubtWords[folded]:
			default:
				out = append(out, folded)
			}
		}
	}
	return out
}

// hazardous reports whether a word is one for water, a road or a drop.
func hazardous(w string) bool {
	kind, _ := graverName(w)
	return kind != ""
}

// lookDate are the words beside a date; of a text that is none and has a number, all.
func lookDate(text string) (out []string) {
	known := wordSets()[""]
	for _, w := range letterWords(text) {
		if _, month := months[w]; !month && !dateWords[w] && !known.plain[w] && utf8.RuneCountInString(w) > 1 {
			out = append(out, w)
		}
	}
	if len(out) == 0 && strings.ContainsAny(text, "?!") || len(out) == 0 && strings.ContainsAny(text, "0123456789") && !mayBeDate(text) {
		out = append(out, text)
	}
	return out
}

// noClock matches a time of day behind a date that no clock shows: hours past 24, minutes
// past 59, seconds past 60, which a leap second is.
var noClock = regexp.MustCompile(`\d[T ,]+(?:(?:2[5-9]|[3-9]\d):\d\d|24:(?:0[1-9]|[1-9]\d)|\d\d:[6-9]\d|\d\d:\d\d:(?:6[1-9]|[7-9]\d))(?:\D|$)`)

// mayBeDate reports whether a text that has digits is a date, the start of one, or a
// stretch from one to another.
func mayBeDate(text string) bool {
	if noClock.MatchString(text) {
		return false
	}
	if dateOf(text).read {
		return true
	}
	digits := 0
	for _, c := range text {
		if c >= '0' && c <= '9' {
			digits++
		}
	}
	return digits <= 4 || digits > 12 || len(strings.Fields(text)) > 1 && dateOf(strings.Fields(text)[0]).read
}

// measureUnits end values that are a number, folded.
var measureUnits = setOf("m cm mm km m2 m² m^2 sqm qm ha acre acres hectare hectares ft ft2 sqft ft² in inch % percent ° deg degree degrees grad km/h kmh kph mph m/s ms mps meter meters metre metres mètres metros kn")

// lookNumber are the words of what should be a number with its unit, and is more.
func lookNumber(text string) []string {
	low := strings.TrimSpace(strings.ToLower(text))
	end := 0
	for end < len(low) && strings.IndexByte("0123456789.,'+-~ e", low[end]) >= 0 {
		end++
	}
	number, unit := strings.TrimSpace(low[:end]), strings.TrimRight(strings.TrimSpace(low[end:]), ".")
	if strings.ContainsAny(number, "0123456789") {
		if unit == "" || measureUnits[unit] || measureUnits[strings.ReplaceAll(unit, " ", "")] {
			return nil
		}
		return []string{text}
	}
	if notShown(low) {
		return []string{text}
	}
	return wordSets()[""].unknown.get(text)
}

// notShown reports whether a text stands where a table had no room to show a number,
// or a formula that gave none: ####, ***, #REF!
func notShown(text string) bool {
	if len(text) > 1 && (strings.Trim(text, "#") == "" || strings.Trim(text, "*") == "") {
		return true
	}
	rest, sign := strings.CutPrefix(text, "#")
	return sign && strings.Trim(rest, "0123456789., ") != ""
}

// eachText calls visit with every text in a value, however deep.
func eachText(v schema.Value, visit func(text string)) {
	switch v.Kind() {
	case schema.KindString:
		if text := strings.TrimSpace(v.Text()); text != "" {
			visit(v.Text())
		}
	case schema.KindList:
		for _, item := range v.Items() {
			eachText(item, visit)
		}
	case schema.KindObject:
		for _, a := range v.Fields() {
			eachText(a.Value, visit)
		}
	}
}

// isDriven reports whether a feature is of what is driven, or of what stands by it:
// words for water and drops are none that its properties should have.
func (f *Feature) isDriven() bool {
	switch f.Role {
	case schema.RoleZone, schema.RoleCorridor, schema.RoleDock, schema.RoleBase:
		return true
	case schema.RoleEdge:
		return isDrivenOver(edgeKind(f))
	case schema.RoleOther:
		return f.wordRole() == schema.RoleOther
	}
	return false
}

// readValue reads the texts of a property of a feature, or of the plan for nil, that
// only describes.
func (list *wordList) readValue(f *Feature, a *schema.Attribute) {
	sort := valueSorts.get(a.Key)
	switch {
	case sort == sortRuled && a.Key == schema.PropID && a.Value.Kind() == schema.KindString:
		list.add(f, a.Key, lookSentence(a.Value.Text(), sortLink)) // a sentence is none
		return
	case sort == sortRuled:
		return
	}
	driven := 1
	if f != nil && !f.isDriven() {
		driven = 0
	}
	title := (*wordSet)(nil)
	if sort == sortTitle && f != nil {
		title = wordSets()[f.wordRole()]
	}
	eachText(a.Value, func(text string) {
		if f != nil && f.Role != schema.RoleOther && howMeasured.get(a.Key) && saysRough(text) {
			return // survey-quality
		}
		words := valueLooks()[sort][driven].get(text)
		switch {
		case sort == sortTitle && title != nil:
			words = title.unread(text, list.house)
		case sort == sortTitle:
			words = wordSets()[""].unread(text, list.house)
		}
		if len(words) > 0 && len(list.house.KnownWords()) > 0 {
			words = slices.DeleteFunc(slices.Clone(words), list.house.KnowsWord)
		}
		list.add(f, a.Key, words)
	})
}
