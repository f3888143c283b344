// Names that call a thing after water, a road, a drop, a bridge or a building which is
// not drawn, whichever role carries them, for name-contradicts.

package validate

import (
	"slices"
	"strings"

	"github.com/paulmach/orb"

	"swardline/schema"
	"swardline/validate/plane"
)

// Kinds of places beside those of hazards.
const (
	placeBridge   = "a bridge"
	placeRaised   = "a height"
	placeBuilding = "a building"
	placeFence    = "a fence"
)

// What is called after a place lies within calledAfterM of it, and what is held by it,
// or leads along it, within saidNearM (starting values from memory).
const calledAfterM = 30.0

// placeNamed is a place in a name: its kind, the word, and whether the name is of the
// place itself and goes on to where it leads (Lane to the lawn), or ends there.
type placeNamed struct {
	kind, word string
	itself     bool
}

var (
	// notPlaces are words of grave kinds that in names are other things as often: a
	// paved terrace, the season, what lies on golf courses (common practice, no source).
	notPlaces = setOf("terrace terrasse terraza spring hole holes burn light cutting drop step trap marche scala mer mare mere")
	// ownDrives are words for roads that are the owner's, beside which nothing is drawn.
	ownDrives = setOf("drive driveway zufahrt einfahrt allée oprit indkørsel infart oppkjørsel ajotie camino")
	// namedTails end words that are written as one with what they are called after.
	namedTails = strings.Fields("rasen wiese weg gang tor zaun mauer seite streifen garten steg grundstück flurstück parzelle ladestation mast steckdose bordstein hek muur staket stängsel hegn hæk gjerde häck mur")
	// bridgeNames are bridges, and raisedNames what lawns lie high on.
	bridgeNames = setOf("bridge footbridge viaduct brücke steg pont passerelle puente ponte passerella brug bro silta")
	raisedNames = setOf("deck roof rooftop dach dachterrasse toit tejado azotea dak tetto tak tag katto")
	topNames    = setOf("top")
	// roofedNames are buildings that machines and outlets stand in.
	roofedNames = setOf("garage carport barn shed hall stable workshop greenhouse summerhouse scheune schuppen halle stall werkstatt gewächshaus hütte gartenhaus " +
		"grange abri atelier serre garaje granero cobertizo taller schuur kas capanno fienile garasje lada autotalli vaja")
	// fenceNames are fences and what is in them, which move when leant on.
	fenceNames = setOf("fence gate hedge zaun tor hecke clôture portail haie valla seto hek poort heg recinto cancello siepe staket grind häck hegn låge hæk gjerde port hekk aita portti pensasaita")
	// robotNames before a house or a garage make it a machine's own.
	robotNames = setOf("robot robots robotic mower mowers machine roboter mähroboter")
	flowNames  = setOf("river fluss rivière río rio fiume rivier elv älv joki moat weir")
	// heldBack are words of walls that hold ground back, which other rules look behind.
	heldBack   = setOf("retaining stützmauer soutènement contención contenimento stödmur støttemur keermuur tukimuuri step steps stufen stairs")
	limitNames = setOf("parcel plot lot property land holding flurstück grundstück parzelle parcelle parcela perceel particella tomt tontti")
)

// isRailway reports whether the word of a place is one for a railway, or begins with it
// where words are written as one: Bahnzaun.
func (p placeNamed) isRailway() bool {
	return slices.ContainsFunc(railWords, func(w string) bool { return strings.HasPrefix(p.word, w) })
}

var placesNamed = remembered[[]placeNamed]{of: readPlaces}

func readPlaces(name string) (out []placeNamed) {
	words := letterWords(name)
	for i := 0; i < len(words); {
		k, n := kindAt(words[i:])
		w := strings.Join(words[i:i+n], " ")
		if side := strings.TrimSuffix(w, "side"); k == "" && kindOfWord(side) == "road" {
			k, w = "road", side // roadside
		}
		if hazardRank[k] < hazardRank["road"] {
			k = otherPlace(words, i)
		}
		if k == kindShore {
			k = "water"
		}
		i += n
		denied := i > n && slices.Contains(notWords, words[i-n-1])
		if k != "" && !denied && !notPlaces[w] {
			out = append(out, placeNamed{k, w, i == len(words) || slices.Contains(ontoWords, words[i])})
		}
	}
	return out
}

// otherPlace is the kind of the i-th word of a name that is none of a grave hazard by
// itself: of a bridge, of what stands high, of a building, of a word written as one.
func otherPlace(words []string, i int) string {
	w := words[i]
	switch {
	case bridgeNames[w]:
		return placeBridge
	case raisedNames[w], topNames[w] && i > 0 && (slices.Contains(wallWords, words[i-1]) || raisedNames[words[i-1]]):
		return placeRaised
	case roofedNames[w] && !(i > 0 && robotNames[words[i-1]]):
		return placeBuilding
	case fenceNames[w] && i+1 < len(words) && slices.Contains(mastNames, words[i+1]):
		return placeFence
	}
	for _, tail := range namedTails {
		stem, ok := strings.CutSuffix(w, tail)
		if !ok || len(stem) < 3 {
			continue
		}
		for _, joint := range [...]string{"", "n", "s", "en"} {
			if s, ok := strings.CutSuffix(stem, joint); ok && !notPlaces[s] {
				if k := kindOfWord(s); hazardRank[k] >= hazardRank["road"] {
					return k
				}
			}
		}
	}
	return ""
}

// placesUndrawn tells of what is called after a place that is not drawn near.
func (r *run) placesUndrawn(f *Feature, zones *solids) {
	places := placesNamed.get(f.Name)
	if len(places) == 0 {
		return
	}
	beside := slices.ContainsFunc(letterWords(f.Name), func(w string) bool {
		return nearOnlyWords[w] && !placeJoining[w] && !slices.Contains(ontoWords, w)
	})
	for _, p := range places {
		within, ok := placeReach(f, p, beside)
		if !ok || r.placeDrawn(f, p, within) || r.roadShut(f, p) {
			continue
		}
		if (f.Role == schema.RoleMark || f.Role == schema.RoleOther) && !r.onDriven(f, zones, saidNearM) || edgeKind(f) == schema.EdgeGate && !r.onDriven(f, zones, 0) {
			return
		}
		what, mend := graveWords[p.kind], "draw it as a hazard of its kind, or a drop as an edge"
		switch p.kind {
		case placeBridge, placeRaised:
			what, mend = p.kind+" over water or a drop", "draw what lies below"
		case placeBuilding:
			what, mend = p.kind, "draw it with the role building"
		case placeFence:
			what, mend = p.kind+", which moves", "draw where it runs, or measure where the mast stands"
		}
		r.nameNote(f, "its name says %s (%s), and none is drawn within %s of it: %s, or give this another name", quote(p.word), what, metres(within), mend)
		return
	}
}

// placeReach is within how far of a feature a place of its name has to be drawn; ok is
// false where it need not be.
func placeReach(f *Feature, p placeNamed, beside bool) (within float64, ok bool) {
	grave := hazardRank[p.kind] >= hazardRank["road"]
	switch f.Role {
	case schema.RoleZone:
		if p.kind == placeBridge || p.kind == placeRaised {
			return saidNearM, true
		}
		return calledAfterM, grave && !ownDrives[p.word]
	case schema.RoleDock:
		if p.kind == placeBridge {
			return saidNearM, true
		}
		return calledAfterM, (grave || p.kind == placeBuilding) && !ownDrives[p.word]
	case schema.RoleSupply:
		return calledAfterM, grave && !ownDrives[p.word]
	case schema.RoleBase:
		if p.kind == placeFence {
			return houseMastM, true
		}
		if beside && slices.Contains(letterWords(f.Name), "next") {
			return saidNearM, grave
		}
		return calledAfterM, grave && !ownDrives[p.word]
	case schema.RoleMark, schema.RoleOther:
		return calledAfterM, grave && !ownDrives[p.word]
	case schema.RoleCorridor:
		if beside {
			return calledAfterM, grave && !ownDrives[p.word]
		}
		return saidNearM, grave && (p.itself || !ownDrives[p.word])
	case schema.RoleBoundary:
		return saidNearM, grave && !ownDrives[p.word]
	case schema.RoleEdge:
		switch edgeKind(f) {
		case schema.EdgeGate:
			return saidNearM, grave && !ownDrives[p.word]
		case schema.EdgeFlush, schema.EdgeRamp, schema.EdgeDrop:
			return 0, false
		}
		return edgePlaceReach(f, p)
	}
	return 0, false
}

// edgePlaceReach is placeReach of what stands up: a kerb is one of its road, which a
// machine rolls down to, a wall or a fence one of what lies behind it.
func edgePlaceReach(f *Feature, p placeNamed) (within float64, ok bool) {
	switch {
	case ownDrives[p.word] || heldBack[p.word]:
		return 0, false
	case hazardRank[p.kind] >= hazardRank["drop"]:
		return saidNearM, true
	case edgeKind(f) == schema.EdgeKerb:
		return kerbRoadM, p.kind == "road"
	}
	return saidNearM, p.kind == "road"
}

// roadShut reports whether the road that an edge is called after need not be drawn: no
// driven ground is near the edge, or, of a street behind a wall or a fence, the boundary
// runs along it, which no machine crosses. Over a kerb one rolls, and of a railway the
// margin has to be known.
func (r *run) roadShut(f *Feature, p placeNamed) bool {
	if f.Role != schema.RoleEdge || p.kind != "road" || edgeKind(f) == schema.EdgeGate {
		return false
	}
	if isHandrail(f, letterWords(f.Name)) {
		return true
	}
	if _, of := r.drivenWithin(orb.MultiLineString(f.lines()), saidNearM, r.zones(), r.corridors()); of == nil {
		return true
	}
	if edgeKind(f) == schema.EdgeKerb || p.isRailway() || len(f.Lines) == 0 {
		return false
	}
	var limits orb.MultiLineString
	for _, b := range r.usableOf(schema.RoleBoundary) {
		if b.bound.Pad(besideNameM).Intersects(f.bound) {
			limits = append(limits, b.lines()...)
		}
	}
	if len(limits) == 0 {
		return false
	}
	gauge := plane.NewGauge(limits)
	for i := range f.Lines {
		for _, q := range quarters(f.Lines[i].Ground) {
			if _, _, _, ok := gauge.Within(plane.NewGauge(q), besideNameM); !ok {
				return false
			}
		}
	}
	return true
}

// placeDrawn reports whether a place of a name is drawn within so many metres of a
// feature: as a hazard, or by its name as a keep-out, an edge or what is only drawn.
func (r *run) placeDrawn(f *Feature, p placeNamed, within float64) bool {
	near := r.nearTo(f, within)
	switch p.kind {
	case placeBuilding:
		return r.buildingNamedNear(f, p.word, within)
	case placeFence:
		return r.anyNear(f, near, func(o *Feature) bool {
			return edgeKind(o) == schema.EdgeFence || edgeKind(o) == schema.EdgeGate || slices.Contains(letterWords(o.Name), p.word)
		})
	case placeBridge, placeRaised:
		if r.graveBeside(f, "water", within) || r.graveBeside(f, "drop", within) {
			return true
		}
		return r.anyNear(f, r.nearTo(f, calledAfterM), func(o *Feature) bool { return slices.Contains(letterWords(o.Name), p.word) })
	}
	return r.anyNear(f, near, func(o *Feature) bool { return isPlace(o, p) })
}

// drawnRoles are those that draw what names may be after.
var drawnRoles = [...]schema.Role{schema.RoleHazard, schema.RoleKeepout, schema.RoleEdge, schema.RoleOther, schema.RoleBuilding}

// anyNear reports whether one of the things that are drawn is such a one, and near.
func (r *run) anyNear(f *Feature, near func(o *Feature) bool, such func(o *Feature) bool) bool {
	for _, role := range drawnRoles {
		for _, o := range r.usableOf(role) {
			if o != f && near(o) && such(o) {
				return true
			}
		}
	}
	return false
}

// isPlace reports whether a thing is what a name calls another after: a stream is no
// pond, a road no railway, and ground to park on is called that.
func isPlace(o *Feature, p placeNamed) bool {
	said := append(letterWords(o.Name), letterWords(o.Attributes.Get(schema.PropHazardKind).Text())...)
	last := p.word[strings.LastIndexByte(p.word, ' ')+1:]
	if slices.Contains(said, last) {
		return o.Role != schema.RoleEdge || edgeKind(o) == schema.EdgeDrop
	}
	if o.Role == schema.RoleEdge {
		return p.kind == "drop" && edgeKind(o) == schema.EdgeDrop
	}
	has := func(of []string) bool {
		return slices.ContainsFunc(said, func(w string) bool { return slices.Contains(of, strings.TrimSuffix(w, "s")) })
	}
	switch {
	case p.isRailway():
		return has(railWords)
	case slices.ContainsFunc(carWords, func(w string) bool { return strings.HasPrefix(strings.ReplaceAll(p.word, " ", ""), w) }):
		return has(carWords) || slices.Contains(said, "park")
	}
	same := false
	if k := kindsOf(o); o.Role == schema.RoleHazard {
		same = k.open || slices.Contains(k.all, p.kind)
	}
	if k, _ := graverName(o.Name); !same && k != p.kind {
		return false
	}
	flows := slices.Contains(flowWords, p.word) || flowNames[p.word]
	return !flows || !has(poolWords)
}

// buildingNamedNear reports whether a building of such a name stands within so many
// metres, or any within houseMastM.
func (r *run) buildingNamedNear(f *Feature, word string, within float64) bool {
	at, about := r.nearTo(f, houseMastM), r.nearTo(f, within)
	return r.anyNear(f, about, func(o *Feature) bool {
		named := slices.ContainsFunc(letterWords(o.Name), func(w string) bool { return strings.Contains(w, word) })
		switch {
		case named:
			return o.Role != schema.RoleEdge
		case o.Role == schema.RoleBuilding:
			return at(o)
		}
		return false
	})
}

// nearTo is whether what is drawn lies within so many metres of a feature.
func (r *run) nearTo(f *Feature, within float64) func(o *Feature) bool {
	gauges := make([]*plane.Gauge, 0, len(f.Lines)+len(f.Areas)+len(f.Points))
	add := func(g orb.Geometry) { gauges = append(gauges, plane.NewGauge(g)) }
	for i := range f.Lines {
		add(f.Lines[i].Ground)
	}
	for i := range f.Areas {
		add(f.Areas[i].Ground)
	}
	for i := range f.Points {
		add(f.Points[i].Ground)
	}
	return func(o *Feature) bool {
		if !o.usable() || !f.bound.Pad(within).Intersects(r.hazardShape(o).bound) {
			return false
		}
		shape := r.hazardShape(o)
		g := shape.geometry()
		return g != nil && slices.ContainsFunc(gauges, func(own *plane.Gauge) bool {
			_, _, _, ok := own.Within(plane.NewGauge(g), within)
			return ok
		})
	}
}

// ofOthers is the word for a road with which the name of a boundary says that it is the
// parcel of one, which is the public's; "" for any other.
func ofOthers(name string) string {
	words := letterWords(name)
	for i, w := range words {
		if kindOfWord(w) == "road" && i+1 < len(words) && limitNames[words[i+1]] && !isBeside(words) {
			return w
		}
		for limit := range limitNames {
			if s, ok := strings.CutSuffix(w, limit); ok && (kindOfWord(s) == "road" || kindOfWord(strings.TrimSuffix(s, "n")) == "road") {
				return w
			}
		}
	}
	return ""
}

// Words of another's ground beside that of the property, of what says that it is another,
// and of what lies without (common practice, no source).
var (
	nextWords    = setOf("next adjoining adjacent neighbouring neighboring other benachbart angrenzend")
	groundWords  = setOf("garden property plot parcel lot land house field farm grundstück garten parzelle")
	withoutWords = setOf("outside outdoors außerhalb draußen ausserhalb draussen dehors fuera buiten fuori udenfor utenfor utanför ulkopuoli")
)

// besideProperty is the word of a boundary's name that says it goes round other ground
// than the property: the next garden, what is outside, a road; "" for any other.
func (f *Feature) besideProperty() string {
	words := letterWords(f.Name)
	n := len(words)
	if n == 0 {
		return ""
	}
	if withoutWords[words[n-1]] {
		return words[n-1]
	}
	for i, w := range words {
		if nextWords[w] && i+1 < n && groundWords[words[i+1]] {
			return w + " " + words[i+1]
		}
		if kindOfWord(w) != "road" || ownDrives[w] || len(f.Areas) == 0 {
			continue
		}
		before := words[:i]
		for len(before) > 0 && articleWords[before[len(before)-1]] {
			before = before[:len(before)-1]
		}
		if k := len(before); i+1 == n && k == 2 && limitSays[before[0]] && before[1] == "of" || i+1 < n && limitSays[words[i+1]] && !isBeside(words) {
			return w
		}
	}
	return ""
}

// limitSays are words of boundaries.
var limitSays = setOf("boundary boundaries limit limits grenze grenzen limite límite grens confine gräns grense skel raja")

// penNamed is the word of a name for ground where animals or people are, "" for none,
// for one that is only near, and for water, a road or a drop.
func penNamed(name string) string {
	words := letterWords(name)
	if isBeside(words) {
		return ""
	}
	if w := guardedWord(words); hazardRank[kindOfWord(w)] < hazardRank["road"] {
		return w
	}
	return ""
}

// leadsToOthers tells of a gate that a machine drives through, whose name says that
// neighbours, animals or children are behind it.
func (r *run) leadsToOthers(f *Feature) {
	word := penNamed(f.Name)
	if word == "" && !isBeside(letterWords(f.Name)) {
		word = namesSay.get(f.Name).others
	}
	if word != "" && r.onDriven(f, r.zones(), 0) {
		r.nameNote(f, "its name says %s, and a machine drives through it to ground where others, animals or children may be: is that ground the owner's, and free of them? give the gate another name, or lead the way elsewhere", quote(word))
	}
}
