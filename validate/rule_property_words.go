// Other words for properties that the check reads, as instruments, programs and
// eight languages have them, of the rule property-misnamed. What a word means
// is common practice, no source.

package validate

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"
	"sync"

	"swardline/crs"
	"swardline/schema"
)

// otherName is a property under words that may mean something else, so that its
// value has to fit too.
type otherName struct {
	property string
	roles    []schema.Role // nil for every role but other
	words    []string      // folded, without a unit
	fits     func(schema.Value) bool
	says     string // what to do, behind the finding's first words
}

var otherNames = sync.OnceValue(func() []otherName {
	return []otherName{
		{schema.PropSigma, nil, strings.Fields("accuracyh haccuracy hacc horizontalaccuracy posaccuracy positionaccuracy gpsaccuracy gnssaccuracy precision horizontalprecision hprecision " +
			"rms rmse hrms lateralrms horizontalrms verticalrms elevationrms heightrms eastingrms northingrms horzprec horizprec vertprec horzprecision vertprecision accuracy std stdev stddev standarddeviation standarderror hsdv sdh sdn sde sd sigmah hsigma cep cep50 cep95 drms 2drms ehpe epe eph herror poserror error errorh uncertainty cq cq2d cq3d " +
			"se 2sigma twosigma sigma2 acc conf95 ci95 r95 error95 positionerror tolerance ecarttype ecart incertitude incertidumbre incertezza unsicherheit lagefehler onzekerheid usikkerhed usikkerhet osäkerhet epävarmuus " +
			"genauigkeit lagegenauigkeit standardabweichung précision précisionh écarttype exactitude precisión exactitud desviación nauwkeurigheid standaardafwijking precisione accuratezza " +
			"nøjagtighed nøyaktighet noggrannhet standardavvik standardavvikelse standardafvigelse tarkkuus keskihajonta"), holdsNumber, ""},
		{schema.PropFix, nil, strings.Fields("fixes fixid fixquality fixstatus fixmode fixed isfixed rtk rtkfixed rtkstatus rtkmode gpsfix gnssfix gpsquality gnssquality gpsstatus gnssstatus quality " +
			"solution solutiontype solutionstatus corrtype correctiontype postype positiontype fixtype carrsoln carriersolution lösung lösungstyp oplossing solución soluzione løsning lösning ratkaisu"), saysSolution, ""},
		{schema.PropFix, nil, []string{"status", "coordinateclass", "state", "type"}, saysReceiver, ""},
		{schema.PropDrawnFrom, nil, strings.Fields("source datasource method origin capture captured capturemethod surveymethod collected quelle tracedfrom digitisedfrom digitizedfrom capturedfrom acquired acquiredfrom collectedwith collectedfrom surveyedwith surveyedfrom drawnby drawnon basis basemap background backdrop lineage provenance positionquality locationquality " +
			"erfassung erfassungsart aufnahme grundlage datenquelle hintergrund lagequalität relevé fonddeplan saisie levantamiento cartografía rilievo opmeting ondergrond opmåling underlag pohjakartta herkunft methode méthode origine fuente método bron fonte metodo kilde källa lähde"), saysTraced, ""},
		{schema.PropDrawnFrom, nil, strings.Fields("traced digitised digitized sketched guessed estimated approximate approximated approx provisional abgezeichnet geschätzt ungefähr estimé approximatif estimado aproximado geschat benaderd stimato approssimativo anslået anslått uppskattad arvioitu"), saysTrue, ""},
		{schema.PropRadiusM, []schema.Role{schema.RoleHazard, schema.RoleEdge}, strings.Fields("r rad size extent span spread crown crownradius crowndiameter crownspread crownwidth canopy canopyradius canopydiameter canopyspread width length diameter diam dia " +
			"durchmesser halbmesser größe kronendurchmesser rayon diamètre taille couronne radio diámetro tamaño copa straal doorsnede grootte kroon raggio diametro dimensione chioma størrelse storlek krone krona säde halkaisija koko"), holdsNumber, ""},
		{schema.PropRadiusM, []schema.Role{schema.RoleHazard}, append(slices.Clone(girthWords), trunkWords...), holdsNumber, "; a girth is 6.28 times that"},
		{schema.PropHeightM, []schema.Role{schema.RoleHazard, schema.RoleBuilding, schema.RoleEdge}, strings.Fields("h hgt tall top storeys storey stories floors levels building:levels building:height eaves eavesheight ridge ridgeheight roofheight treeheight wallheight buildingheight maxheight " +
			"höhe hoehe firsthöhe traufhöhe geschosse stockwerke baumhöhe hauteur étages altura alto pisos plantas hoogte nokhoogte verdiepingen altezza piani højde høyde höjd etager etasjer våningar korkeus kerrokset"), holdsNumber, ""},
		{schema.PropWidth, []schema.Role{schema.RoleHazard, schema.RoleEdge}, strings.Fields("width wide breadth thickness halfwidth lanes lanewidth bedwidth roadwidth " +
			"breite dicke stärke gewässerbreite fahrbahnbreite largeur épaisseur ancho anchura espesor grosor breedte dikte larghezza spessore bredde bredd tykkelse tjocklek leveys paksuus"), holdsNumber,
			"; it is the whole width, in metres"},
		{schema.PropLimits, []schema.Role{schema.RoleHazard, schema.RoleEdge, schema.RoleBuilding, schema.RoleZone, schema.RoleKeepout, schema.RoleCorridor}, strings.Fields("buffer bufferwidth margin safetymargin clearance setback safetydistance " +
			"safedistance keepdistance keepaway standoffdistance abstand sicherheitsabstand puffer pufferbreite mindestabstand marge retrait recul distancedesécurité margen retranqueo distanciadeseguridad afstand veiligheidsafstand margine distanzadisicurezza " +
			"avstand säkerhetsavstånd sikkerhedsafstand sikkerhetsavstand etäisyys suojaetäisyys"), holdsNumber,
			": a distance to keep stands in limits under the name of its limit, such as hazard_margin_m; check --explain hazard-uncovered names them"},
		{schema.PropStandoffM, []schema.Role{schema.RoleDock}, strings.Fields("lineup lineupdistance approach approachdistance approachlength distance offset straight " +
			"abstand anfahrt anfahrtsweg distanced'approche distancia afstand distanza avstand etäisyys"), holdsNumber, ""},
		{schema.PropEpoch, []schema.Role{schema.RoleBase}, strings.Fields("epochyear refepoch referenceepoch frameepoch coordinateepoch epoche bezugsepoche époque época epoca epoke epokki"), holdsNumber, ""},
		{schema.PropFrame, nil, strings.Fields("datum geodeticdatum framename referenceframe crs crsname srs srsname epsg srid coordinatesystem coordinatereferencesystem referencesystem spatialreference " +
			"bezugsrahmen bezugssystem koordinatensystem référentiel système sistema sistemadereferencia referentiestelsel sistemadiriferimento referencesystem referenssystem koordinatsystem koordinaattijärjestelmä"), saysSystem,
			"; whoever wrote it has to say which of the two its numbers are in"},
		{schema.PropFrame, nil, strings.Fields("csname reference ref coordinatereference georeference geodeticreference referenz bezug référence referencia referentie riferimento referencename referens viite"), namesFrame,
			"; whoever wrote it has to say which of the two its numbers are in"},
	}
})

// saysSystem reports whether a value may name a system of coordinates.
func saysSystem(v schema.Value) bool {
	switch v.Kind() {
	case schema.KindNumber, schema.KindObject:
		return true
	}
	return v.Kind() == schema.KindString && strings.TrimSpace(v.Text()) != ""
}

// namesFrame reports whether a text is the name of a system of coordinates that
// is not WGS 84 at large: a word such as reference may say much else.
func namesFrame(v schema.Value) bool {
	text := strings.TrimSpace(v.Text())
	if v.Kind() != schema.KindString || text == "" {
		return false
	}
	if f, err := crs.ParseFrame(text); err == nil {
		return f.Known()
	}
	c, err := crs.Parse(text)
	return err == nil && !c.Equal(crs.WGS84())
}

// holdsNumber reports whether a value is a number, a text that begins with one,
// or holds one.
func holdsNumber(v schema.Value) bool {
	switch v.Kind() {
	case schema.KindList:
		return slices.ContainsFunc(v.Items(), holdsNumber)
	case schema.KindObject:
		return slices.ContainsFunc(v.Fields(), func(a schema.Attribute) bool { return holdsNumber(a.Value) })
	case schema.KindNumber:
		return true
	}
	text := strings.TrimLeft(v.Text(), " +-.,<>~±")
	return v.Kind() == schema.KindString && text != "" && text[0] >= '0' && text[0] <= '9'
}

// solutionWords are words of receivers for the kind of a solution.
var solutionWords = strings.Fields("fix fixed nofix float floating single autonomous standalone dgps dgnss sbas ppp rtk rtkfixed rtkfloat navigated none invalid estimated")

// saysSolution reports whether a value names the kind of a receiver's solution:
// one of its words, true or false, or a number of NMEA 0183, 0 to 8.
func saysSolution(v schema.Value) bool {
	switch v.Kind() {
	case schema.KindList:
		return slices.ContainsFunc(v.Items(), saysSolution)
	case schema.KindObject:
		return slices.ContainsFunc(v.Fields(), func(a schema.Attribute) bool { return saysSolution(a.Value) })
	case schema.KindBool:
		return true
	}
	if n, ok := v.Float(); ok {
		return n >= 0 && n <= 8
	}
	word := foldKey(v.Text())
	return slices.Contains(solutionWords, word) || len(word) == 1 && word[0] >= '0' && word[0] <= '8'
}

// saysReceiver reports whether a text is a word that only receivers have for a
// solution.
func saysReceiver(v schema.Value) bool {
	if v.Kind() == schema.KindList { // of the points of an outline: one that is not fixed is enough
		return slices.ContainsFunc(v.Items(), func(v schema.Value) bool { return saysReceiver(v) && fixOf(schema.FoldName(v.Text())) != fixGood })
	}
	switch word := foldKey(v.Text()); word {
	case "none", "invalid", "estimated", "single", "fix", "standalone":
		return false
	default:
		return v.Kind() == schema.KindString && slices.Contains(solutionWords, word)
	}
}

// saysTrue reports whether a value is true, or a word for yes.
func saysTrue(v schema.Value) bool {
	yes, ok := v.Truth()
	return ok && yes || v.Kind() == schema.KindString && slices.Contains(saysYes, switchKey(v.Text()))
}

// tracedWords are words for a drawing that was made from a picture, a map or
// from memory, first those that alone only say that there is one.
var (
	pictureWords = strings.Fields("aerial satellite imagery image orthophoto ortho photo picture map photographie")
	tracedWords  = append(slices.Clone(pictureWords), strings.Fields("traced trace tracing digitised digitized digitizing digitising sketch sketched guess guessed estimate estimated approximate "+
		"luftbild satellitenbild orthofoto skizze geschätzt digitalisiert abgezeichnet croquis estimé numérisé satélite ortofoto estimado digitalizado luchtfoto schets geschat schizzo stimato flyfoto flygfoto skisse skiss anslået anslått uppskattad ilmakuva luonnos arvio")...)
)

// saysTraced reports whether a word of a text says that something was traced or
// guessed.
func saysTraced(v schema.Value) bool {
	found := false
	walkValues(v, func(v schema.Value) {
		for _, w := range wordsOf(v.Text()) {
			found = found || slices.Contains(tracedWords, w)
		}
	})
	return found
}

// wordsOf splits a text into its folded words.
func wordsOf(text string) []string {
	return strings.FieldsFunc(schema.FoldName(text), func(c rune) bool { return strings.ContainsRune(" _-/,;:.()[]", c) })
}

// otherWords lists properties that stand under another word, where the right
// name is absent.
func (r *run) otherWords() []slip {
	var out []slip
	eachMeant(r, &otherKeys, func(f *Feature, a schema.Attribute, n *otherName) {
		if n.roles != nil && !slices.Contains(n.roles, f.Role) || n.property == schema.PropWidth && len(f.Points) > 0 || !n.fits(a.Value) {
			return
		}
		word := withoutUnit(a.Key)
		trunk := n.property == schema.PropRadiusM && (slices.Contains(girthWords, word) || slices.Contains(trunkWords, word))
		if n.property == schema.PropRadiusM && word == "thickness" && !isTree(f) {
			return // of a slab or a wall
		}
		if n.property == schema.PropRadiusM && len(f.Points) == 0 && !((slices.Contains(roundWords, word) || slices.Contains(roundTrunk, word)) && f.reachesOut(a.Key, a.Value)) {
			return
		}
		if trunk && isTree(f) && f.growth() == 0 && len(f.Points) > 0 {
			if reach, ok := reachSaid(a.Key, a.Value); ok && reach <= halfReachM {
				return // which every tree is taken to reach
			}
		}
		if r.saidBeside(f, n, a.Key, a.Value) {
			if s := cmp.Or(f.outgrown(n.property, a), f.otherwise(n.property, a)); s != "" {
				out = append(out, slip{f: f, property: n.property, whole: s})
			}
			return
		}
		if !r.measuredWell(f, n.property, a) {
			out = append(out, slip{f: f, property: n.property, key: a.Key, value: a.Value, says: n.says})
		}
	})
	return out
}

var otherKeys = remembered[[]*otherName]{of: otherMeant}

// saidBeside reports whether the right property says all that another word for
// it could. Limits do not, and a system of coordinates only where both name the
// same one.
func (r *run) saidBeside(f *Feature, n *otherName, key string, v schema.Value) bool {
	right := f.Attributes.Get(n.property)
	switch {
	case n.property == schema.PropLimits || isNull(right) && n.property != schema.PropFrame:
		return false
	case n.property != schema.PropFrame:
		return true
	}
	if frame, err := crs.ParseFrame(v.Text()); err == nil && !frame.Known() {
		return true // WGS 84 of whatever year says no more than the plan does
	}
	if isNull(right) {
		right = r.Plan.Attributes.Get(schema.PropFrame)
	}
	if isNull(right) && foldKey(key) == "csname" { // which receivers give every point
		if c, err := crs.Parse(v.Text()); err == nil && c.Equal(r.Plan.CRS) {
			return true
		}
		right = r.framesOfBases()
	}
	return foldKey(right.Text()) == foldKey(v.Text())
}

// framesOfBases is the frame that all bases of the plan name, none where two differ.
func (r *run) framesOfBases() (frame schema.Value) {
	for _, f := range r.Of(schema.RoleBase) {
		v := f.Attributes.Get(schema.PropFrame)
		if !isNull(frame) && foldKey(v.Text()) != foldKey(frame.Text()) {
			return schema.Value{}
		}
		frame = v
	}
	return frame
}

// measuredWell reports whether a value would pass under its right name: that it
// is not read harms nobody.
func (r *run) measuredWell(f *Feature, property string, a schema.Attribute) bool {
	switch v := a.Value; property {
	case schema.PropSigma:
		if _, ok := v.Float(); !ok {
			return false
		}
		s, ok := lengthSaid(a.Key, v)
		return ok && s >= 0 && s <= r.of(f).SurveySigmaM
	case schema.PropFix:
		yes, truth := v.Truth()
		return truth && yes || fixOf(schema.FoldName(v.Text())) == fixGood
	}
	return false
}

// measuredTwice tells of a fix or sigma that would pass, beside another word for
// it that would not.
func (r *run) measuredTwice(tell func(f *Feature, grave bool, message string)) {
	both := func(f *Feature, a schema.Attribute, property string) {
		right := f.Attributes.Get(property)
		if property != schema.PropFix && property != schema.PropSigma || isNull(right) || a.Key == property || r.measuredWell(f, property, a) ||
			!r.measuredWell(f, property, schema.Attribute{Key: property, Value: right}) {
			return
		}
		tell(f, false, fmt.Sprintf("its %s is %s, and %s says %s: only %s is read; take the wrong one out", property, shown(right), quote(a.Key), shown(a.Value), property))
	}
	eachMeant(r, &slipKeys, func(f *Feature, a schema.Attribute, p *readProperty) { both(f, a, p.key) })
	eachMeant(r, &otherKeys, func(f *Feature, a schema.Attribute, n *otherName) {
		if n.property == schema.PropFix && n.fits(a.Value) { // words for sigma may well mean another figure
			both(f, a, n.property)
		}
	})
}

// otherMeant returns the properties that a key is another word for, none for a
// key that slips takes in.
func otherMeant(key string) []*otherName {
	if len(meantFor(key)) > 0 {
		return nil
	}
	folded, k := foldKey(key), withoutUnit(key)
	// Receivers' tables put who made them before it: X_GNSS_H_RMS.
	_, column, gnss := strings.Cut(k, "gnss")
	names := otherNames()
	var out []*otherName
	for i := range names {
		if n := &names[i]; n.property != key && (slices.Contains(n.words, k) || slices.Contains(n.words, folded) || gnss && slices.Contains(n.words, column)) {
			out = append(out, n)
		}
	}
	return out
}

// membersOfFeatures reports members of the plan that say how it was measured,
// which is read of features alone.
func (r *run) membersOfFeatures() {
	for _, a := range r.Plan.Attributes {
		property := ""
		switch foldKey(a.Key) {
		case schema.PropSigma, schema.PropFix, foldKey(schema.PropDrawnFrom):
			property = foldKey(a.Key)
		}
		for _, p := range meantFor(a.Key) {
			if p.key == schema.PropSigma || p.key == schema.PropFix {
				property = p.key
			}
		}
		for _, n := range otherMeant(a.Key) {
			if n.roles == nil && n.property != schema.PropFrame && n.fits(a.Value) {
				property = n.property
			}
		}
		if property == "" || isNull(a.Value) {
			continue
		}
		if property == foldKey(schema.PropDrawnFrom) {
			property = schema.PropDrawnFrom
		}
		r.finding(nil).Message = "the plan's member " + quote(a.Key) + " says how it was measured, and is not read there: give every feature it holds for the property " + property
	}
}

// kindsBesides tells of properties that only other roles have, which says that
// the role or the property is wrong: a zone that is called a pond, a flush edge
// with a height.
func (r *run) kindsBesides(tell func(f *Feature, grave bool, message string)) {
	for _, f := range r.Features {
		for _, k := range [...]struct {
			property string
			role     schema.Role
		}{{schema.PropHazardKind, schema.RoleHazard}, {schema.PropEdgeKind, schema.RoleEdge}} {
			said := ""
			walkValues(f.Attributes.Get(k.property), func(v schema.Value) { // a list, of a thing's points
				if said == "" {
					said = strings.TrimSpace(v.Text())
				}
			})
			if f.Role == k.role || f.Role == "" || said == "" {
				continue
			}
			tell(f, f.Role != schema.RoleKeepout, fmt.Sprintf("its role is %s, and %s says %s, which is read of the role %s alone: draw that as a %s of its own, or take the property out",
				f.Role, k.property, quote(said), k.role, k.role))
		}
		if f.Role != schema.RoleEdge {
			continue
		}
		if v := f.Attributes.Get(schema.PropDrivenOver); !isNull(v) && isDrivenOver(edgeKind(f)) && !saysTrue(v) {
			tell(f, true, fmt.Sprintf("its edge_kind is %s, which a machine drives over, and driven_over says %s: call it what it is (kerb, wall, fence or drop), or take driven_over out", edgeKind(f), shown(v)))
		}
		if edgeKind(f) != schema.EdgeFlush {
			continue
		}
		for _, a := range f.Attributes {
			if !slices.Contains(levelWords, withoutUnit(a.Key)) {
				continue
			}
			if h, ok := metresSaid(a.Key, a.Value); ok && math.Abs(h) > flushM+1e-9 {
				tell(f, true, fmt.Sprintf("its edge_kind is flush, and %s says %s: a machine may run over a flush edge; call it kerb, wall or drop, or take the height out", quote(a.Key), a.Value.Text()))
			}
		}
	}
}

// levelWords say that an edge stands above or below what is mown, folded and
// without their unit (common practice, no source).
var levelWords = strings.Fields("height drop dropheight step stepheight depth fall upstand rise elevationchange heightdifference leveldifference levelchange " +
	"höhe hoehe höhenunterschied hoehenunterschied stufe absatz tiefe hauteur dénivelé denivele altura desnivel altezza dislivello hoogte hoogteverschil höjd nivåskillnad højde høyde korkeus")

// metresSaid is a length that a property says, as a number in the unit of its
// key or as a text with a unit of its own; metres where neither has one.
func metresSaid(key string, v schema.Value) (m float64, ok bool) {
	unit := strings.ToLower(key)
	m, ok = v.Float()
	if !ok {
		text := strings.ReplaceAll(strings.TrimSpace(strings.ToLower(v.Text())), ",", ".")
		n := strings.TrimLeft(text, "+-0123456789. ")
		f, err := strconv.ParseFloat(strings.TrimSpace(text[:len(text)-len(n)]), 64)
		if err != nil {
			return 0, false
		}
		if m, ok = f, true; n != "" {
			unit = "_" + strings.TrimSpace(n)
		}
	}
	for _, u := range [...]struct {
		end string
		m   float64
	}{{"mm", 0.001}, {"cm", 0.01}, {"ft", 0.3048}, {"feet", 0.3048}} {
		for _, by := range [...]string{"_", "-", " "} {
			if strings.HasSuffix(unit, by+u.end) {
				return m * u.m, ok
			}
		}
	}
	return m, ok
}

// roleKeys are properties under which other drawings say a role, folded.
var roleKeys = strings.Fields("role roles rolle rôle rol ruolo roll featurerole objectrole class klasse classe clase type typ tipo category kategorie kind featuretype objecttype")

// keySays is what a property's name alone tells: that it may hold a role, is
// one, is another spelling of a property that rules read, or is a limit.
type keySays struct {
	role, mayBeRole, limit bool
	named                  schema.Role // "" for a key that is no role
	property               string      // "" for a key that is none, or spelt right
}

var sayings = remembered[keySays]{of: sayingOf}

func sayingOf(key string) keySays {
	folded := foldKey(saidFirst(key))
	says := keySays{role: folded == schema.PropRole, mayBeRole: slices.Contains(roleKeys, folded)}
	says.named, _ = roleOf(folded)
	for _, l := range schema.LimitTable {
		says.limit = says.limit || l.Key == key && len(meantFor(key)) == 0
	}
	for i, own := range foldedProperties() {
		if folded == own[0] && key != readProperties[i].key {
			says.property = readProperties[i].key
		}
	}
	return says
}

// saidFirst is a key without the number that a reader gives what a feature says
// a second time: role_2 is role.
func saidFirst(key string) string {
	first := strings.TrimRight(key, "0123456789")
	if n := len(first) - 1; n > 0 && n+1 < len(key) && first[n] == '_' {
		return first[:n]
	}
	return key
}

// roleOf is the role that a word is the name of, or another spelling.
func roleOf(word string) (schema.Role, bool) {
	if role, ok := schema.ParseRole(word); ok {
		return role, role != schema.RoleOther
	}
	return schema.RoleAlias(word)
}

// saidTwice tells of roles, and of properties that rules read, that features
// say once more under another spelling, and otherwise.
func (r *run) saidTwice(tell func(f *Feature, grave bool, message string)) {
	for _, f := range r.Features {
		for _, a := range f.Attributes {
			says := sayings.get(a.Key)
			if says == (keySays{}) || isNull(a.Value) {
				continue
			}
			// role-missing and role-unknown tell these.
			unsaid := f.Role == schema.RoleOther && (a.Key == schema.PropRole || !f.Attributes.Has(schema.PropRole))
			if other := says.otherRole(f.Role, a); other != "" && !unsaid {
				// What a keep-out goes round may well stand beside its role.
				described := !says.role && stands(f.Role) && stands(schema.Role(other))
				tell(f, !described, fmt.Sprintf("its role is %s, and its property %s says %s: only role is read; take the wrong one out", f.Role, quote(a.Key), quote(other)))
			}
			kindElsewhere(f, says, unsaid, a, tell)
			if right := f.Attributes.Get(says.property); says.property != "" && !isNull(right) && right.Text() != a.Value.Text() {
				tell(f, slices.Contains(graveTwice, says.property), fmt.Sprintf("its %s is %s, and %s says %s: only %s is read; take the wrong one out", says.property, shown(right), quote(a.Key), shown(a.Value), says.property))
			}
			if says.limit {
				tell(f, true, fmt.Sprintf("%s is a limit, and not read here: it stands in the property limits, an object such as {%q: %s}", quote(a.Key), a.Key, a.Value.Text()))
			}
		}
	}
}

// graveTwice are properties of which a second spelling that says otherwise is an
// error: a hazard may be larger or graver than it was taken for.
var graveTwice = []string{schema.PropRadiusM, schema.PropHazardKind, schema.PropEdgeKind, schema.PropLimits}

// stands reports whether a role is for what no machine drives on.
func stands(role schema.Role) bool {
	return role == schema.RoleKeepout || role == schema.RoleHazard || role == schema.RoleEdge || role == schema.RoleBuilding
}

// otherRole is a role that the property says and the feature has not, "" for
// none.
func (says keySays) otherRole(role schema.Role, a schema.Attribute) string {
	if yes, ok := a.Value.Truth(); ok && yes && says.named != "" && says.named != role {
		return a.Key
	}
	words := []string{a.Value.Text()}
	for _, v := range a.Value.Items() {
		words = append(words, v.Text())
	}
	for _, w := range words {
		w = foldKey(w)
		if other, ok := roleOf(w); ok && other == role || w == "" || w == string(role) {
			continue
		} else if says.role || says.mayBeRole && ok {
			return w
		}
	}
	return ""
}

// flushM is the most that a flush edge may stand above or below what is mown
// (starting value from memory; the machine's manual says what it climbs).
const flushM = 0.03
