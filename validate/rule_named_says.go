// What names, layers and texts claim of the state of a thing, for
// name-contradicts.

package validate

import (
	"fmt"
	"slices"
	"strings"
	"unicode"

	"swardline/crs"
	"swardline/schema"
)

// Claims that are told of names, by role. What is kept off more than it need be
// harms nobody, so of hazards and keep-outs only that they lie elsewhere.
var (
	placeClaims = []claim{claimVoid, claimWrong, claimRough, claimMoved}
	thingClaims = append([]claim{claimGone, claimPlanned, claimPassing}, placeClaims...)
	roleClaims  = map[schema.Role][]claim{
		schema.RoleZone:     append([]claim{claimLeave, claimClosed, claimOthers, claimSteep}, thingClaims...),
		schema.RoleCorridor: append([]claim{claimLeave, claimClosed, claimOthers, claimSteep}, thingClaims...),
		schema.RoleDock:     append([]claim{claimClosed, claimOthers}, thingClaims...),
		schema.RoleBase:     append([]claim{claimLoose}, thingClaims...),
		schema.RoleSupply:   thingClaims,
		schema.RoleBoundary: append([]claim{claimOthers, claimClosed}, thingClaims...),
		schema.RoleBuilding: thingClaims,
		schema.RoleEdge:     thingClaims,
		schema.RoleHazard:   placeClaims,
		schema.RoleKeepout:  placeClaims,
		schema.RoleMark:     thingClaims, // the plan is placed on it, and drift is judged by it
	}
	// layerClaims are those that a layer, folder or other property of a name
	// makes of whatever has it; textClaims those that a text makes in any
	// number of words. Others count where the text says nothing else.
	layerClaims = append([]claim{claimLeave, claimClosed}, thingClaims...)
	gateClaims  = append([]claim{claimClosed}, thingClaims...)
	textClaims  = []claim{claimLeave, claimVoid, claimWrong, claimRough}
)

// mostSaidWords is how long a text may be for what it claims in passing to hold
// for the thing as a whole.
const mostSaidWords = 10

// keyHolds is what the property of a name holds.
type keyHolds int

const (
	holdsElse keyHolds = iota
	holdsTitle
	holdsState
	holdsText
	holdsOwner
)

// Properties by what they hold, folded, in the languages of property-misnamed.
var heldUnder = remembered[keyHolds]{of: func(key string) keyHolds {
	switch k := foldKey(key); {
	case key == schema.PropName || key == schema.PropRole:
		return holdsElse
	case strings.HasPrefix(key, "name:") || slices.Contains(nameKeys, strings.TrimRight(k, "0123456789")):
		return holdsTitle
	case slices.Contains(titleKeys, k) || slices.Contains(roleKeys, k) || slices.Contains(groupKeys, k):
		return holdsTitle
	case slices.Contains(stateKeys, k):
		return holdsState
	case slices.Contains(textKeys, k) || slices.Contains(remarkKeys, k):
		return holdsText
	case slices.Contains(ownerKeys, k):
		return holdsOwner
	}
	return holdsElse
}}

var (
	nameKeys   = strings.Fields("name alias names altname longname shortname localname oldname")
	groupKeys  = strings.Fields("tags subject code symbol sym style stylename styleurl group natural landuse")
	stateKeys  = strings.Fields("layer folder state status stage phase version revision rev")
	remarkKeys = strings.Fields("note notes remark remarks comment comments cmt info details memo bemerkung beschreibung hinweis notiz nota notas remarque remarques commentaire observación observaciones opmerking opmerkingen osservazioni beskrivelse beskrivning anmärkning merknad bemærkning huomautus")
	ownerKeys  = strings.Fields("owner landowner ownedby eigentümer besitzer propriétaire propietario eigenaar proprietario ägare eier ejer omistaja")
)

// claims tells what the name of a feature and its other texts claim of it.
func (r *run) claims(f *Feature, layers *layerClaimed) {
	says := namesSay.get(f.Name)
	if f.Role != schema.RoleEdge || !isDrivenOver(edgeKind(f)) {
		for _, c := range roleClaims[f.Role] {
			if says.words[c] == "" {
				continue
			}
			r.claimNote(f, "its name", c, says.words[c]).Severity = claimSeverity(f.Role, c, says.firm[c])
			return
		}
	}
	for i := range f.Attributes {
		a := &f.Attributes[i]
		switch a.Value.Kind() {
		case schema.KindString, schema.KindList:
		case schema.KindObject: // tags
			a = &schema.Attribute{Key: a.Key, Value: schema.List(valuesWithin(a.Value)...)}
		default:
			continue
		}
		holds := heldUnder.get(a.Key)
		if holds == holdsElse {
			continue
		}
		told := false
		walkValues(a.Value, func(v schema.Value) {
			if v.Kind() == schema.KindString && !told {
				told = r.claimsBeside(f, a.Key, holds, v.Text(), layers)
			}
		})
		if told {
			return
		}
	}
}

// valuesWithin are the values of an object's members.
func valuesWithin(v schema.Value) (out []schema.Value) {
	for _, a := range v.Fields() {
		out = append(out, a.Value)
	}
	return out
}

func (r *run) claimsBeside(f *Feature, key string, holds keyHolds, text string, layers *layerClaimed) bool {
	if len(text) > 1000 { // a page, of which a word says little
		return false
	}
	// Layer 0 is every drawing's.
	if word := switchKey(text); (holds == holdsTitle || holds == holdsState) && len(word) > 1 && slices.Contains(saysNo, word) && roleClaims[f.Role] != nil {
		r.claimNote(f, "its "+key, claimVoid, text)
		return true
	}
	says := namesSay.get(text)
	switch holds {
	case holdsOwner:
		if says.words[claimOthers] != "" && f.Role != schema.RoleHazard && f.Role != schema.RoleKeepout {
			r.claimNote(f, "its "+key, claimOthers, text)
			return true
		}
		return false
	case holdsText:
		short := says.count <= mostSaidWords
		claims := roleClaims[f.Role]
		if f.Role == schema.RoleEdge && isDrivenOver(edgeKind(f)) {
			claims = gateClaims
		}
		for _, c := range claims {
			if w := says.words[c]; w != "" && (says.alone || short && (slices.Contains(textClaims, c) || c == claimClosed)) {
				r.claimNote(f, "its "+key, c, w)
				return true
			}
		}
		if f.Role == schema.RoleZone && says.hazard != "" {
			r.nameNote(f, "its %s says %s and nothing else, and its role is %s: which is right?", key, quote(says.hazard), f.Role)
			return true
		}
		return false
	}
	for _, c := range layerClaims {
		if keptFrom := c == claimLeave || c == claimClosed; keptFrom && f.isKeptOut() {
			continue
		}
		if says.words[c] != "" {
			layers.add(f, key, text, c)
			return true
		}
	}
	if (holds == holdsTitle || foldKey(key) == schema.PropLayer) && (f.Role == schema.RoleZone || f.Role == schema.RoleCorridor || f.Role == schema.RoleBase || f.Role == schema.RoleDock) {
		if w := says.hazard; w != "" && !(f.Role == schema.RoleCorridor && waysFiled[w]) {
			r.nameNote(f, "its %s says %s and nothing else, and its role is %s: which is right?", key, quote(w), f.Role)
			return true
		}
	}
	return false
}

// waysFiled are what layers of corridors are called, of which some are words for roads too.
var waysFiled = setOf("route routes way ways path paths lane lanes wege fahrwege chemins caminos percorsi routen vägar")

// isKeptOut reports whether nothing drives on the feature, so that a layer that says
// so says what its role does.
func (f *Feature) isKeptOut() bool {
	switch f.wordRole() {
	case schema.RoleKeepout, schema.RoleHazard, schema.RoleBuilding, keptOutEdge:
		return true
	}
	return false
}

// claimSeverity is how grave a claim of a name is: that what is mown is not, or
// that the base of all is not where it stands.
func claimSeverity(role schema.Role, c claim, firm bool) Severity {
	switch {
	case role == schema.RoleZone && (c == claimLeave || c == claimClosed) && firm,
		role == schema.RoleBase && (c == claimRough || c == claimWrong):
		return Warning
	}
	return Note
}

func (r *run) claimNote(f *Feature, what string, c claim, word string) *Finding {
	x := r.finding(r.middle(f), f)
	x.Severity = Note
	switch {
	case c == claimLeave && f.Role == schema.RoleZone && what == "its name":
		x.Message = "its name says that it is not mown, and its role is zone, which is: give it the role keepout, or another name"
	case c == claimLeave || c == claimClosed || c == claimOthers:
		x.Message = fmt.Sprintf("%s says %s, that %s, and its role is %s, and it is switched on: give it the role keepout or switch it off, or take the words out", what, quote(word), claimSays[c], f.Role)
	case c == claimGone || c == claimPlanned || c == claimVoid || c == claimPassing:
		x.Message = fmt.Sprintf("%s says %s, that %s, and it is checked as if it stood there as drawn: switch it off, or take the words out", what, quote(word), claimSays[c])
	default:
		x.Message = fmt.Sprintf("%s says %s, that %s: measure it, or take the words out", what, quote(word), claimSays[c])
	}
	return x
}

// layerClaimed are claims of layers, folders and the like, each once for all
// that lies in it.
type layerClaimed struct {
	key, text []string
	claim     []claim
	features  [][]*Feature
	count     []int
}

func (l *layerClaimed) add(f *Feature, key, text string, c claim) {
	i := 0
	for i < len(l.key) && (l.key[i] != key || l.text[i] != text) {
		i++
	}
	if i == len(l.key) {
		if i > mostUnread {
			return
		}
		l.key, l.text, l.claim = append(l.key, key), append(l.text, text), append(l.claim, c)
		l.features, l.count = append(l.features, nil), append(l.count, 0)
	}
	l.count[i]++
	if len(l.features[i]) < mostUnread {
		l.features[i] = append(l.features[i], f)
	}
}

func (r *run) tellLayers(l *layerClaimed) {
	for i, key := range l.key {
		x := r.finding(r.middle(l.features[i][0]), l.features[i]...)
		x.Severity = Note
		x.Message = fmt.Sprintf("the property %s of %s says %s, that %s, and what has it is checked as if it stood there as drawn: switch it off, or take the words out",
			key, plural(l.count[i], "feature"), quote(clipped(l.text[i])), claimSays[l.claim[i]])
	}
}

// planClaims tells what the plan's own name and texts claim of all of it.
func (r *run) planClaims() {
	tell := func(what, text string) bool {
		says := namesSay.get(text)
		for _, c := range append([]claim{claimMoved, claimOthers}, thingClaims...) {
			if says.words[c] != "" {
				x := r.finding(nil)
				x.Severity = Note
				x.Message = fmt.Sprintf("the plan's %s says %s, which of a thing means that %s: is it the plan to drive by?", what, quote(says.words[c]), claimSays[c])
				return true
			}
		}
		if w := saysOffset(text); w != "" {
			x := r.finding(nil)
			x.Severity = Note
			x.Message = fmt.Sprintf("the plan's %s says %s, which may mean that all of it lies beside where it is drawn", what, quote(w))
			return true
		}
		if w := r.otherFrame(text); w != "" {
			x := r.finding(nil)
			x.Severity = Note
			x.Message = fmt.Sprintf("the plan's %s says %s, and neither its CRS nor its frame does: which of them are its numbers in?", what, quote(w))
			return true
		}
		return false
	}
	if tell("name", r.Plan.Name) || r.countsNamed("name", r.Plan.Name) {
		return
	}
	for _, a := range r.Plan.Attributes {
		switch k := foldKey(a.Key); {
		case a.Value.Kind() != schema.KindString || len(a.Value.Text()) > 1000:
		case heldUnder.get(a.Key) == holdsText && r.countsNamed(a.Key, a.Value.Text()):
			return
		case k == "title" || k == "keywords" || slices.Contains(stateKeys, k):
			if tell(a.Key, a.Value.Text()) {
				return
			}
		case k == "description" || slices.Contains(remarkKeys, k):
			says := namesSay.get(a.Value.Text())
			for _, c := range textClaims {
				if says.words[c] != "" && c != claimLeave && says.count <= mostSaidWords && tell(a.Key, a.Value.Text()) {
					return
				}
			}
		}
	}
}

// saysOffset are the words of a name that say a length and that something lies
// so far off, "" for none: 1 m off, +0.5 m E.
func saysOffset(name string) string {
	fields := strings.Fields(name)
	for i, w := range fields {
		if i == 0 || i+1 == len(fields) || !strings.ContainsAny(fields[i-1], "0123456789") {
			continue
		}
		switch strings.ToLower(w) {
		case "m", "cm", "ft":
			switch next := strings.ToLower(strings.Trim(fields[i+1], ".,;)")); next {
			case "off", "e", "w", "daneben", "zu":
				return fields[i-1] + " " + w + " " + next
			case "n", "s", "o":
				if strings.HasPrefix(fields[i-1], "+") || strings.HasPrefix(fields[i-1], "-") {
					return fields[i-1] + " " + w + " " + next
				}
			}
		}
	}
	return ""
}

// datumWords are names of datums and grids of nations that are no frames of
// satellites (common practice, no source).
var datumWords = strings.Fields("ed50 ed87 nad27 nad83 osgb36 dhdn ntf rt90 kkj mgi gda94 gda2020 agd66 agd84 pulkovo potsdam rd lambert93 lambert72 gausskrüger gausskrueger gausskruger gk2 gk3 gk4 gk5 gkzone2 gkzone3 gkzone4 gkzone5 osgb bng lv03 lv95 ch1903 s42 roma40 montemario belge72 soldnerberlin")

// datumAlso are names of grids by what the registry calls them.
var datumAlso = map[string]string{"gk2": "krugerzone2", "gk3": "krugerzone3", "gk4": "krugerzone4", "gk5": "krugerzone5", "gkzone2": "krugerzone2", "gkzone3": "krugerzone3", "gkzone4": "krugerzone4", "gkzone5": "krugerzone5", "gausskrüger": "gausskruger", "gausskrueger": "gausskruger",
	"bng": "britishnationalgrid", "s42": "pulkovo1942", "roma40": "montemario", "potsdam": "dhdn"}

// datumSaid is a frame or datum that a text names, as one word and as it is shown.
type datumSaid struct{ word, shown string }

// datumsNamed are the frames and datums that a text names.
var datumsNamed = remembered[[]datumSaid]{of: func(text string) (out []datumSaid) {
	words := nameWords(text)
	for i, w := range words {
		shown := w
		named := slices.Contains(datumWords, w) && w != "rd"
		if i > 0 && slices.Contains(datumWords, words[i-1]+w) {
			w, shown, named = words[i-1]+w, words[i-1]+" "+w, true
		} else if i > 1 && slices.Contains(datumWords, words[i-2]+words[i-1]+w) {
			w, shown, named = words[i-2]+words[i-1]+w, strings.Join(words[i-2:i+1], " "), true
		}
		if !named && len(w) >= 5 && strings.ContainsAny(w, "0123456789") && unicode.IsLetter(rune(w[0])) && !strings.HasPrefix(w, "wgs") && !strings.HasPrefix(w, "epsg") {
			f, err := crs.ParseFrame(w)
			named = err == nil && f.Known()
		}
		if named {
			out = append(out, datumSaid{w, strings.ToUpper(shown)})
		}
	}
	return out
}}

// otherFrame is the word of a text that names a frame or datum which neither the
// plan's CRS nor its frame nor that of a base names, "" for none.
func (r *run) otherFrame(text string) string {
	for _, d := range datumsNamed.get(text) {
		if also := datumAlso[d.word]; !r.namesItsFrame(d.word) && (also == "" || !r.namesItsFrame(also)) {
			return d.shown
		}
	}
	return ""
}

// framesFiled tells of names, layers and folders that name another frame or datum than
// the plan, each text once with how many have it.
func (r *run) framesFiled() {
	type filed struct {
		f           *Feature
		where, word string
		count       int
	}
	var all []filed
	look := func(f *Feature, where, text string) {
		if len(text) > mostWordsKept || len(datumsNamed.get(text)) == 0 {
			return
		}
		word := r.otherFrame(text)
		if i := slices.IndexFunc(all, func(x filed) bool { return x.where == where && x.word == word }); i >= 0 {
			all[i].count++
		} else if word != "" && len(all) < mostUnread {
			all = append(all, filed{f, where, word, 1})
		}
	}
	for _, f := range r.Features {
		if !f.usable() || f.Role == schema.RoleBase { // whose name baseNamed reads
			continue
		}
		look(f, "the name", f.Name)
		for i := range f.Attributes {
			a := &f.Attributes[i]
			if h := heldUnder.get(a.Key); a.Value.Kind() == schema.KindString && (h == holdsTitle || h == holdsState) {
				look(f, "the property "+a.Key, a.Value.Text())
			}
		}
	}
	for _, x := range all {
		n := r.finding(r.middle(x.f), x.f)
		n.Severity = Note
		n.Message = fmt.Sprintf("%s of %s says %s, and neither the plan's CRS nor its frame does: were these numbers moved into the plan's system, or only put there? ask who drew them, and take the word out", x.where, plural(x.count, "feature"), quote(x.word))
	}
}

func (r *run) namesItsFrame(word string) bool {
	said := foldKey(r.Plan.Attributes.Get(schema.PropFrame).Text())
	if c := r.Plan.CRS; c != nil {
		said += " " + foldKey(c.Name())
	}
	for _, b := range r.Of(schema.RoleBase) {
		said += " " + foldKey(b.Attributes.Get(schema.PropFrame).Text())
	}
	return strings.Contains(unjoined(said), word)
}

// Words of corridors for going over something, and for what leads over it.
var (
	crossWords  = strings.Fields("crossing cross crosses over across through under über durch unter quer traversée traversant cruce cruza sobre door oversteek attraversamento sopra attraverso gennem gjennom genom över yli läpi krydsning kryss")
	bridgeWords = strings.Fields("bridge footbridge tunnel underpass ford causeway levelcrossing brücke steg furt unterführung passerelle pont gué puente vado túnel brug ponte passerella guado bro silta tunneli")
	crossEnds   = strings.Fields("querung überquerung übergang überweg brücke furt unterführung bro silta oversteek")
	crossAlone  = strings.Fields("crossing oversteek attraversamento querung überquerung traversée cruce krydsning ylitys")
)

// corridorNamed tells corridors whose name says that they lead over water, a
// road, steps or a bridge where nothing such is drawn.
func (r *run) corridorNamed(f *Feature) {
	if r.leadsOnto(f) {
		return
	}
	words := letterWords(f.Name)
	kind, word := graverName(f.Name)
	if kind != "" && onlyHazardous(f.Name) == "" && !slices.ContainsFunc(words, func(w string) bool { return slices.Contains(crossWords, w) }) {
		kind, word = "", "" // the path along it
	}
	other, before := false, ""
	for _, w := range words {
		two := before + w
		before = w
		switch {
		case kind != "" || word != "":
		case slices.Contains(bridgeWords, w) || slices.Contains(bridgeWords, two) || slices.ContainsFunc(crossEnds, func(end string) bool { return len(w) > len(end)+1 && strings.HasSuffix(w, end) }):
			word = w
		case !slices.Contains(crossAlone, w) && hazardWords()[w] != kindNone:
			other = true
		}
	}
	if word == "" && !other && len(words) > 0 && slices.ContainsFunc(words, func(w string) bool { return slices.Contains(crossAlone, w) }) {
		word = words[0]
	}
	if word == "" || r.graveBeside(f, kind, r.halfWidth(f)+1) {
		return
	}
	r.nameNote(f, "its name says %s, and no such hazard is drawn within %s of it: draw what it crosses as a hazard of its kind, or give it another name", quote(word), metres(r.halfWidth(f)+1))
}

// graveBeside reports whether a hazard of a kind, of any grave one for "", or for
// a drop such an edge or a ramp, lies within so many metres of a feature.
func (r *run) graveBeside(f *Feature, kind string, within float64) bool {
	return r.graveBesideBut(f, kind, within, func(*Feature) bool { return false })
}

// graveBesideBut is graveBeside but for hazards that are left out.
func (r *run) graveBesideBut(f *Feature, kind string, within float64, leave func(h *Feature) bool) bool {
	near := r.nearTo(f, within)
	for _, h := range r.Of(schema.RoleHazard) {
		k := kindsOf(h)
		if k.grave() && !leave(h) && (kind == "" || k.open || slices.Contains(k.all, kind)) && near(h) {
			return true
		}
	}
	if kind == "" || kind == "drop" {
		for _, e := range r.Of(schema.RoleEdge) {
			if k := edgeKind(e); (k == schema.EdgeDrop || k == schema.EdgeRamp && f.Role == schema.RoleCorridor) && near(e) {
				return true
			}
		}
	}
	return false
}
