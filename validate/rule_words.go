// Rule on words that nobody but a person reads: words-unread.

package validate

import (
	"fmt"
	"html"
	"math"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"unicode"
	"unicode/utf8"

	"swardline/schema"
)

var wordRules = []Rule{{
	Name: RuleWordsUnread, Severity: Note, run: checkWordsUnread,
	Page: Page{
		What: "Words of names and texts that say something no rule knows. The name of a zone, corridor, dock, base, mark, boundary, outlet, of an edge that is driven over and of the role other that says driven_over is read word by word: " +
			"words for mown ground or for the role, of place, order, size and colour, numbers and letters are known in ten languages; what stands near (house, pond, oak) after a word of place (by the pond) or before a word for mown ground (pond lawn). " +
			"A number with decimals, or of six digits or more, has to be one of a feature's own. " +
			"All of it is one note, with each word and where it stands; words of the operator's own, under known_words in the limits file, are known too.",
		Parts: []Part{
			{"Names of what is kept out", "" +
				"Of a keep-out, hazard, building, wall, fence or drop words for things are known too, but for words and signs of doubt (approx, grown, too small, ?); a size has to be one of its numbers, and an area in a name that of what is drawn. " +
				"Of a hazard drawn as a disc of less than 0.6 m radius, and of a tree drawn as a point, words are known for things so small alone (post, bench, lamp, stone, trees but for those with branches down to the ground), of which there is one. " +
				"Of a keep-out or hazard that is switched off words are known for what stands for a while (tent, event)."},
			{"Ids, records and points", "" +
				"Of ids, and of a property called id, those words alone that name-contradicts knows in names, and of what is driven a name that is water, a road or a drop alone; of notes in the history of the base known words alone, of measured_by no word of nobody, of a map, of the weather, a mower or what is old, of small letters that names and ways do not have, or of what fixes nothing (SBAS, no RTK); of the plan's author, copyright, link, project and client what is no proper name; of its placement the texts; of points in a GPX file their symbol, name, type and texts, and an accuracy in their extensions above 0.05 m."},
			{"Notes, layers and other texts", "" +
				"Texts (note, description, comment, condition, use, layer and the like) of all features and of the plan may hold known words alone, as those that order or count (priority, order, age, planted, interval and the like). " +
				"Harmless words make sentences that are not (measured from the old base), so in anything longer than a label of two words they are fewer: words of mowing and care, of grass and when, of how it was measured; of a base what carries it, of a mark and an outlet what it is at, of a dock what it stands beside, of a lawn or a way what it lies beside, of what is kept out what it is; never words for another time, place or plan (old, new, was, see, only, left). " +
				"A layer, folder, group, category or class of what is kept out may hold the words of its name too, in the plural and as codes of drawings (BLDG, CURB), but none for a graver kind of hazard than it is; of a keep-out those that it is not to be mown."},
			{"Values of all other properties", "" +
				"Values of every other property that only describes, and of such members of the plan, are read too, however deep in lists and objects, with a looser look: of people and firms (owner, contact, surveyor, author) words of small letters that such names do not have; beside dates words that do not go with one, and what is none; under area, length, elevation and the like what is no number with a unit; " +
				"of links what holds instead (successor, corrected); of files, links, colours, symbols, lines, devices, programs, species, addresses, numbers of lists and the rest words for what is wrong, gone, moved, unsure or dangerous, of driven ground those for water, drops and, as what grows there, plants of water and bare ground too, of symbols and lines any hazard, and the scale of a map (1:1001 and more). " +
				"Of links, licences, devices, programs and ids a sentence is read as a text is (the well is open); of who or what measured (measured_by, surveyor, instrument) what fixes nothing is told too: survey-in, a mean that is of nothing fixed, more than 0.05 m, less than 95 %, a static session of less than 20 minutes, fewer than 5 epochs, nobody. " +
				"Names in other languages (name:xx) are read as names are."},
			{"What stands beside the plan, and its own name", "" +
				"Texts that the file holds beside the plan (a balloon, an address or an author of KML, a style, the name of a picture; of a drawing its dimensions, hyperlinks, properties, sheets, what layers and groups are called and described as, and the data of other programs; tables of a GeoPackage that are no layers; other files in an archive, and beside a Shapefile), or held in a file that this one was converted from, may hold known words, and proper names where it says whose it is; what says something there and is no text, or was passed over by the reader for another cause, is unchecked. " +
				"The plan's own name may hold proper names, with a capital, but none that says what is wrong with it: participles of English and German (Rejected, Gespiegelt), what begins with un- or mis-, lists of other languages, one sheet of up to twelve (1/3), which is no house or parcel, and that it is only a part, or, at its end, a test or a copy; abbreviations and words for what is in the making, unnamed or the copy of another (TBD, WIP, n/a, in progress, Untitled, New document, copy of, and their like in ten languages)."},
		},
		Why:    "A plan may say in words what its lines do not: a lawn called Old quarry, a note that the well is open. No list of dangerous words has an end; of harmless ones it need not have.",
		Source: sourcePractice,
		Fails:  "a zone with the name Trespass strip",
		Passes: "a zone with the name North pond lawn 2, or Lindenhof where the limits file says known_words: [Lindenhof]",
		Mend:   "read the words; what matters to the machine is said in the plan's own way, as role, geometry or a property that a rule reads; harmless words that come again are put under known_words in the limits file",
	},
}}

// mostWords is how many words the note gives.
const mostWords = 8

// textOf are the plain properties whose texts are read word by word, folded.
var readTexts = setOf("note notes remark remarks comment comments cmt desc description info details memo text bemerkung beschreibung hinweis notiz nota notas remarque remarques commentaire opmerking opmerkingen osservazioni beskrivelse beskrivning huomautus " +
	"why reason keywords tags topic subject abstract summary label title caption alias short bezeichnung condition vitality health soil use grass mower pattern direction open state status stage phase type kind class category group code folder layer snippet message meta metadata src sym symbol revision rev extensions irrigation frequency schedule")

var isReadText = remembered[bool]{of: func(key string) bool {
	return readTexts[foldKey(strings.TrimPrefix(key, pointPrefix))] || key == pointPrefix+"name"
}}

// ownedTexts are members of the plan that say whose it is, and hold proper names.
var ownedTexts = setOf("author copyright link creator project customer client organisation organization company")

// unread are words that nobody but a person reads.
type wordList struct {
	run      *run
	house    *schema.Limits
	words    []string // in the order of says
	says     []string // with where each stands
	seen     map[string]bool
	features []*Feature
	size     string // of what the words are too large for
}

func checkWordsUnread(r *run) {
	if r.Plan != nil {
		for _, what := range r.Plan.Unheard {
			r.cannot("the file says what the plan lacks: %s: look at it there, say in the plan what matters to the machine, and take it out", what)
		}
	}
	list := r.readWords(&r.limits)
	if len(r.limits.KnownWords()) > 0 {
		none := r.limits.WithoutKnownWords()
		r.heldHarmless = r.readWords(&none).lessThan(list)
	}
	if len(list.says) == 0 {
		return
	}
	var at *Place
	if len(list.features) > 0 {
		at = r.middle(list.features[0])
	}
	x := r.finding(at, list.features...)
	says := list.says
	if more := len(says) - mostWords; more > 0 {
		says = append(slices.Clone(says[:mostWords]), fmt.Sprintf("%d more", more))
	}
	x.Message = fmt.Sprintf("words that no rule knows: %s; read them, say what matters to the machine in the plan's own way, and put harmless ones under known_words in the limits file", strings.Join(says, ", "))
}

// retaining is the word of walls that hold back ground, which may lie on either side of
// them.
const retaining = "retaining"

// holdsBack reports whether a wall by its heights stands above all lawns, so that the
// ground that it holds is behind it: it says its height, and no lawn reaches above its
// foot by more than a flush edge may.
func (r *run) holdsBack(f *Feature) bool {
	if high, ok := f.Float(schema.PropHeightM); edgeKind(f) != schema.EdgeWall || !ok || !(high > r.of(f).StepMaxM) || !f.hasHeights || r.clamped(f) {
		return false
	}
	foot, _ := f.heightRange()
	return !slices.ContainsFunc(r.Of(schema.RoleZone), func(z *Feature) bool {
		_, top := z.heightRange()
		return !z.hasHeights || top > foot+flushM+1e-9
	})
}

// withoutHeld leaves out the word retaining of a wall that holds back what is behind it.
func (r *run) withoutHeld(f *Feature, words []string) []string {
	if !slices.Contains(words, retaining) || !r.holdsBack(f) {
		return words
	}
	return slices.DeleteFunc(slices.Clone(words), func(w string) bool { return w == retaining })
}

// wordRole is the role under which wordSets has the words of a feature's name, one
// that it has not for the role other that nobody drives over.
func (f *Feature) wordRole() schema.Role {
	switch f.Role {
	case schema.RoleOther:
		if over, _ := f.Attributes.Get(schema.PropDrivenOver).Truth(); !over {
			return schema.Role("only drawn")
		}
	case schema.RoleEdge:
		if !isDrivenOver(edgeKind(f)) {
			return keptOutEdge
		}
	}
	return f.Role
}

// readWords reads every name and text with the words that the limits know.
func (r *run) readWords(house *schema.Limits) *wordList {
	list := &wordList{run: r, house: house}
	sets := wordSets()
	for _, f := range r.Features {
		if !f.usable() {
			continue
		}
		if larger := largerWords(f, house); len(larger) > 0 {
			list.size = ", drawn as a point"
			if wide := 2 * f.reachDrawn(); wide > 0 {
				list.size = fmt.Sprintf(", drawn %s across", metres(wide))
			}
			list.add(f, "name", larger)
			list.size = ""
		}
		set := sets[f.wordRole()]
		if set != nil {
			list.add(f, "name", r.withoutHeld(f, r.withoutOwn(f, set.unread(f.Name, house))))
		}
		if set == nil || set.things {
			list.add(f, "name", r.withoutHeld(f, f.doubtful(house)))
		}
		list.add(f, "name", f.strangeNumbers())
		for i := range f.Attributes {
			a := &f.Attributes[i]
			switch {
			case a.Key == schema.PropName:
			case set != nil || f.Role != schema.RoleOther || isReadText.get(a.Key):
				list.readMember(f, a, sets)
			}
		}
		for _, id := range [...]schema.Value{f.ID, f.Attributes.Get("id")} {
			if id.Kind() == schema.KindString && f.idClaims(id.Text()) && !house.KnowsWord(id.Text()) {
				list.add(f, "id", []string{id.Text()})
			}
		}
	}
	for _, f := range r.Inactive {
		if f.Role == schema.RoleKeepout || f.Role == schema.RoleHazard {
			for _, w := range sets[switchedOff].unread(f.Name, house) {
				list.tell(w, "name", describe(f)+", switched off: does it still stand there?")
			}
		}
	}
	if r.Plan != nil {
		list.readPlan(r.Plan, sets)
	}
	return list
}

// readPlan reads the plan's own name, its members and what its file holds beside it.
func (list *wordList) readPlan(p *schema.Plan, sets map[schema.Role]*wordSet) {
	house := list.house
	list.readBeside(p.Beside, sets[textOf("")])
	if !properName(p.Name, house) || saysUnfinished(p.Name, house) {
		list.add(nil, "name", []string{p.Name})
	}
	for i := range p.Attributes {
		a := &p.Attributes[i]
		switch {
		case a.Key == "src" && saysTraced(a.Value):
			list.add(nil, a.Key, textsIn(a.Value))
		case a.Key == schema.PlanBeside: // of a form that no conversion wrote
			list.readText(nil, a, sets)
		case a.Key == schema.PlanHistory:
			list.readHistory(a.Value)
		case ownedTexts[a.Key]:
			for _, text := range textsIn(a.Value) {
				if !strings.ContainsAny(text, "@/") && !properName(text, house) {
					list.add(nil, a.Key, []string{text})
				}
			}
		case a.Key == "properties" || a.Key == "metadata":
			for _, b := range a.Value.Fields() {
				list.readMember(nil, &b, sets)
			}
		case a.Key == schema.PlanPlacement:
			for _, b := range a.Value.Fields() {
				switch sort := valueSorts.get(b.Key); {
				case slices.Contains(placementMembers, b.Key) || leftOutKeys[foldKey(b.Key)]:
				case sort == sortPerson || sort == sortDate || sort == sortMake:
					list.readMember(nil, &b, sets)
				default:
					list.readText(nil, &b, sets)
				}
			}
		default:
			list.readMember(nil, a, sets)
		}
	}
}

// readHistory reads what the entries of the history say to people: notes may hold known
// words alone, and who measured has a name.
func (list *wordList) readHistory(history schema.Value) {
	set := wordSets()[historyWords]
	for i, item := range history.Items() {
		for _, a := range item.Fields() {
			key := schema.FoldName(a.Key)
			if key != "measured_by" && !slices.Contains(entryNotes, key) {
				continue
			}
			where := fmt.Sprintf("entry %d of the plan's history", i+1)
			eachText(a.Value, func(text string) {
				words := set.unread(text, list.house)
				if w := namesSay.get(text).others; w != "" && len(words) == 0 {
					words = []string{w}
				}
				if key == "measured_by" || key == "by" {
					words = lookMeasurer(text, set)
				}
				for _, w := range words {
					if !list.house.KnowsWord(w) {
						list.tell(w, a.Key, where)
					}
				}
			})
		}
	}
}

// lookMeasurer are the words of who measured that are no name of people, nor how: of a
// receiver's make, or a way that fixes nothing.
func lookMeasurer(text string, set *wordSet) (out []string) {
	if saysRough(text) || !slices.ContainsFunc(wordsOf(text), func(w string) bool { return utf8.RuneCountInString(w) > 1 }) {
		return []string{text}
	}
	for _, w := range lookPerson(text) {
		if !set.plain[w] && !fixedBy[w] {
			out = append(out, w)
		}
	}
	for _, w := range strings.FieldsFunc(text, func(c rune) bool { return !unicode.IsLetter(c) }) {
		folded := schema.FoldName(w)
		if first, _ := utf8.DecodeRuneInString(w); nobodyWords[folded] || isMakers(w) || mapNames[folded] || thingsMeasure[folded] && unicode.IsLower(first) {
			out = append(out, w)
		}
	}
	return out
}

// fixedBy go with how a base was measured well.
var fixedBy = setOf("robotic static statisch averaged mean network rtk ppk gnss fixed session sessions twice by and with total station tachymeter levelled post processed hour hours min minutes h")

// nobodyWords name nobody who measures.
var nobodyWords = setOf("nobody noone none nil tbd tbc self itself default unknown anonymous niemand unbekannt keiner personne inconnu nadie desconocido onbekend nessuno ignoto ingen okänd ukendt ukjent tuntematon")

// mapNames are maps and pictures of the ground, from which nobody measures a base, and
// thingsMeasure in small letters what cannot have measured one; written large they are
// names of people too (common practice, no source).
var (
	mapNames      = setOf("map maps earth mapa mapas karte karten carte cartes kaart mappa kart kartta streetview geoportal luftbild orthophoto ortho")
	thingsMeasure = setOf("mower mowers mäher mähroboter robot roboter storm sturm wind gust rain snow weather wetter tempête vent viento tormenta old alt alte alter former ancien ancienne vieux vieille viejo vieja oude vecchio vecchia gammal gammel vanha neighbour neighbor nachbar phone smartphone telefon handy app internet web online")
)

// isMakers reports whether a word has a capital after a small letter at its start, as
// names of devices have and those of people have not.
func isMakers(w string) bool {
	runes := []rune(w)
	return len(runes) > 2 && unicode.IsLower(runes[0]) && unicode.IsUpper(runes[1])
}

// readBeside reads the texts that the file holds beside the plan. One whose words
// are known or may be proper names, as of an address or of who made it, says nothing.
func (list *wordList) readBeside(texts []schema.BesideText, set *wordSet) {
	for i := range texts {
		words := set.unread(texts[i].Text, list.house)
		if texts[i].Comment { // programs leave theirs
			words = slices.DeleteFunc(lookRemark(texts[i].Text), list.house.KnowsWord)
		}
		if len(words) == 0 || texts[i].Names && namesAlone(texts[i].Text, list.house) {
			continue
		}
		for _, w := range words {
			list.tell(w, "text", texts[i].Where)
		}
	}
}

// namesAlone reports whether a text may be the name or address of somebody, and
// names nothing that a machine falls or drives into. Digits and signs of telephones
// and of mail are let be.
func namesAlone(text string, house *schema.Limits) bool {
	if grave, _ := graveText(letterWords(text)); grave != "" {
		return false
	}
	return strings.Contains(text, "@") && !strings.ContainsAny(text, " \t\n") || properName(text, house)
}

// readMember reads the texts of a property of a feature, or of the plan for nil: those
// within objects under their own names, where these only describe.
func (list *wordList) readMember(f *Feature, a *schema.Attribute, sets map[schema.Role]*wordSet) {
	switch {
	case holdsObjects(a.Value):
		for _, item := range a.Value.Items() {
			list.readMember(f, &schema.Attribute{Key: a.Key, Value: item}, sets)
		}
		for _, b := range a.Value.Fields() {
			if !isPlain(b.Key) || withinKeys[valueSorts.get(a.Key)][foldKey(b.Key)] {
				b.Key = a.Key
			}
			list.readMember(f, &b, sets)
		}
	case a.Key == propGPXExtensions:
		list.readLeaves(f, a.Value.Text(), sets)
	case isReadText.get(a.Key):
		list.readText(f, a, sets)
	default:
		list.readValue(f, a)
	}
}

// holdsObjects reports whether a value is an object, or a list with one in it.
func holdsObjects(v schema.Value) bool {
	return v.Kind() == schema.KindObject || v.Kind() == schema.KindList && slices.ContainsFunc(v.Items(), holdsObjects)
}

// readText reads the texts of a property.
func (list *wordList) readText(f *Feature, a *schema.Attribute, sets map[schema.Role]*wordSet) {
	eachText(a.Value, func(text string) {
		set := sets[textOf("")]
		switch {
		case f != nil:
			set = f.textSet(a.Key, text, sets)
		case isLabel(a.Key, text):
			set = sets[""]
		}
		switch {
		case a.Key == pointPrefix+"extensions":
			list.add(f, a.Key, extensionsRough(text))
		case strings.HasSuffix(a.Key, "extensions"): // property-unread looks into them
		case set.filed, set.sentence && f != nil && f.isKeptOut():
			list.add(f, a.Key, f.misfiled(set.unread(list.run.withoutAgreed(f, text), list.house), text))
		default:
			list.add(f, a.Key, set.unread(list.run.withoutAgreed(f, text), list.house))
		}
	})
}

// readLeaves reads what GPX extensions say under names that only describe; property-unread
// tells the others.
func (list *wordList) readLeaves(f *Feature, text string, sets map[schema.Role]*wordSet) {
	for _, m := range extensionLeaf().FindAllStringSubmatch(text, mostUnread) {
		if isPlain(m[1]) && !slices.Contains(extensionWords, foldKey(m[1])) {
			list.readMember(f, &schema.Attribute{Key: m[1], Value: schema.String(html.UnescapeString(m[2]))}, sets)
		}
	}
}

// extensionsRough are the elements of a point's extensions that say of its accuracy
// more than roughM metres; nobody defines what receivers write there.
func extensionsRough(text string) (out []string) {
	for _, part := range strings.Split(text, "<") {
		name, value, ok := strings.Cut(part, ">")
		name, _, _ = strings.Cut(name, " ")
		name = foldKey(name[strings.LastIndexByte(name, ':')+1:])
		v, err := strconv.ParseFloat(strings.TrimSpace(value), 64)
		if ok && err == nil && v > roughM && slices.ContainsFunc(roughElements, func(w string) bool { return strings.Contains(name, w) }) {
			out = append(out, name+" "+strings.TrimSpace(value))
		}
	}
	return out
}

// roughM is the most in metres that a point may say of its own accuracy, and
// roughElements what it says it under (common practice, no source).
const roughM = 0.05

var roughElements = strings.Fields("acc accuracy sigma stddev rms prec precision error hrms vrms cep epe")

// idClaims reports whether an id says in words what name-contradicts reads in names
// (do-not-mow), or of what is driven that it is water, a road or a drop.
func (f *Feature) idClaims(id string) bool {
	says := namesSay.get(id)
	return slices.ContainsFunc(says.words[:], func(w string) bool { return w != "" }) ||
		f.isDriven() && f.Role != schema.RoleEdge && f.Role != schema.RoleOther && says.hazard != "" && !ownDrives[says.hazard]
}

// add takes what a text of a feature, or of the plan, holds that is not known.
func (l *wordList) add(f *Feature, key string, words []string) {
	for _, w := range words {
		where := "the plan"
		if f != nil {
			where = f.describe() + l.size
		}
		if l.tell(w, key, where) && f != nil && len(l.features) < mostWords && !slices.Contains(l.features, f) {
			l.features = append(l.features, f)
		}
	}
}

// tell takes a word, and returns whether it is a new one.
func (l *wordList) tell(word, key, where string) bool {
	if l.seen[word] {
		return false
	}
	if l.seen == nil {
		l.seen = map[string]bool{}
	}
	l.seen[word] = true
	l.words = append(l.words, word)
	l.says = append(l.says, fmt.Sprintf("%s (%s of %s)", quote(clipped(word)), key, where))
	return true
}

// lessThan are the words that the other list has not, each with where it stands.
func (l *wordList) lessThan(other *wordList) (out []string) {
	for i, w := range l.words {
		if !other.seen[w] {
			out = append(out, l.says[i])
		}
	}
	return out
}

// withoutOwn leaves out sizes that are among a feature's numbers, and areas that are
// those of what is drawn.
func (r *run) withoutOwn(f *Feature, words []string) []string {
	own := func(w string) bool {
		number, unit, ok := strings.Cut(w, " ")
		if _, area := areaUnits[unit]; ok && area && unitWords[unit] {
			said := sizesOf(schema.String(w), sizeMeans{sizeArea, 0})
			drawn, _ := r.sizesDrawn(f, sizeArea)
			return len(said.values) > 0 && said.fits(drawn, sizeArea, 1)
		}
		return ok && unitWords[unit] && f.hasNumber(number)
	}
	if !slices.ContainsFunc(words, own) {
		return words
	}
	return slices.DeleteFunc(slices.Clone(words), own)
}

// agreedSize finds a size in a text, and besideSizes are the words that only say which it
// is: 50 m long, 30 m wide.
var (
	agreedSize  = regexp.MustCompile(`(?i)\b([0-9]{1,5}(?:[.,][0-9]{1,3})?) ?(m2|m²|qm|sqm|cm|m|metres|meters|metre|meter)(?:[^\pL0-9²]|$)`)
	besideSizes = setOf("long wide high across x by and of size radius diameter length width height area lang breit hoch mal und größe länge breite höhe durchmesser fläche long large haut sur et rayon largo ancho alto por y lungo largo alto per e lang breed hoog bij en lång bred hög gånger och")
)

// withoutAgreed is a text without the sizes that are those of what is drawn or of a
// number that the feature has, and, of the plan, without counts that are right. Sizes are
// left where the text says more than of what.
func (r *run) withoutAgreed(f *Feature, text string) string {
	if len(text) > mostWordsKept || !strings.ContainsAny(text, "0123456789") && f != nil {
		return text
	}
	if f == nil {
		for _, s := range roleCounts.get(text) {
			if r.agrees(&s) {
				text = replaceWords(text, s.text)
			}
		}
		return text
	}
	found := agreedSize.FindAllStringSubmatch(text, -1)
	left := agreedSize.ReplaceAllString(text, " ")
	if strings.ContainsAny(left, "?!%°Ø<>=~±+-0123456789") {
		return text
	}
	rest := letterWords(left)
	known := wordSets()[textOf(f.wordRole())]
	if len(found) == 0 || known == nil || slices.ContainsFunc(rest, func(w string) bool {
		_, compass := compassWords[w]
		return !besideSizes[w] && (compass || !known.plain[w] && !wordSets()[schema.RoleZone].lawns[w] || nearOnlyWords[w] && w != "of")
	}) {
		return text
	}
	for _, m := range found {
		if !r.hasSize(f, m[1], m[2]) {
			return text
		}
	}
	return strings.Join(slices.DeleteFunc(rest, func(w string) bool { return besideSizes[w] }), " ")
}

// replaceWords takes words that stand one after another out of a text, in any case.
func replaceWords(text, words string) string {
	if i := strings.Index(strings.ToLower(text), words); i >= 0 && i+len(words) <= len(text) {
		return text[:i] + text[i+len(words):]
	}
	return text
}

// sizeAgreesShare is by how much of it a length in a text may be rounded.
const sizeAgreesShare = 0.02

// hasSize reports whether a size is one of what is drawn of a feature, or of its numbers.
func (r *run) hasSize(f *Feature, number, unit string) bool {
	v, err := strconv.ParseFloat(strings.Replace(number, ",", ".", 1), 64)
	if err != nil || !(v > 0) {
		return false
	}
	half := lastDigit(strings.Replace(number, ",", ".", 1))
	switch strings.ToLower(unit) {
	case "m2", "m²", "qm", "sqm":
		drawn, _ := r.sizesDrawn(f, sizeArea)
		said := sizesOf(schema.String(number+" m2"), sizeMeans{sizeArea, 0})
		return len(said.values) > 0 && said.fits(drawn, sizeArea, 1)
	case "cm":
		v, half = v/100, half/100
	}
	same := func(own float64) bool {
		return own > 0 && math.Abs(v-own) <= max(min(half, v/4), sizeAgreesShare*v)+1e-9
	}
	for _, a := range f.Attributes {
		if own, ok := a.Value.Float(); ok && strings.HasSuffix(a.Key, "_m") && same(own) {
			return true
		}
	}
	if reach := f.reachDrawn(); same(reach) || same(2*reach) {
		return true
	}
	if len(f.Lines) == 1 && len(f.Areas) == 0 && same(groundLength(f.Lines[0].Ground)) {
		return true
	}
	if len(f.Areas) == 1 && len(f.Areas[0].Ground) > 0 {
		long, short, round := f.shapeDrawn()
		return same(long) || same(short) || round && same(long/2)
	}
	return false
}

// figure is a number in a name that is none of an order: with a point or comma, or
// of six digits or more.
type figure struct {
	text     string
	value    float64
	decimals int
}

var figuresOf = remembered[[]figure]{of: func(text string) (out []figure) {
	for _, w := range strings.FieldsFunc(text, func(c rune) bool { return !unicode.IsDigit(c) && c != '.' && c != ',' }) {
		w = strings.Trim(w, ".,")
		whole, part, cut := strings.Cut(strings.Replace(w, ",", ".", 1), ".")
		if !cut && len(w) < 6 {
			continue
		}
		if v, err := strconv.ParseFloat(whole+"."+part+"0", 64); err == nil {
			out = append(out, figure{w, v, len(part)})
		}
	}
	return out
}}

// strangeNumbers are the figures in a feature's name that are none of its numbers,
// nor of its coordinates and heights, as far as they have decimals.
func (f *Feature) strangeNumbers() (out []string) {
	for _, x := range figuresOf.get(f.Name) {
		if !f.hasFigure(&x) {
			out = append(out, x.text)
		}
	}
	return out
}

func (f *Feature) hasFigure(x *figure) bool {
	same := func(v float64) bool { return math.Abs(math.Abs(v)-x.value) <= 0.5000001*math.Pow10(-x.decimals) }
	for _, a := range f.Attributes {
		if v, ok := schema.NumberSaid(a.Value); ok && same(v) {
			return true
		}
	}
	for i := range f.Lines { // a contour
		if low, high := f.heightRange(); i == 0 && low == high && same(low) {
			return true
		}
	}
	if len(f.Points) == 0 {
		return false
	}
	p := &f.Points[0]
	return same(p.Read[0]) || same(p.Read[1]) || same(p.Height)
}
