// Other words for properties that the check reads, as instruments, programs and
// eight languages have them, of the rule property-misnamed. What a word means
// is common practice, no source.

package validate

import (
	"slices"
	"strings"
	"sync"

	"swardline/schema"
)

// otherName is a property under words that may mean something else, so that its
// value has to fit too.
type otherName struct {
	property string
	roles    []schema.Role // nil for every role but other
	words    []string      // folded, without a unit
	fits     func(schema.Value) bool
}

var otherNames = sync.OnceValue(func() []otherName {
	return []otherName{
		{schema.PropSigma, nil, strings.Fields("accuracyh haccuracy hacc horizontalaccuracy posaccuracy positionaccuracy gpsaccuracy gnssaccuracy precision horizontalprecision hprecision " +
			"rms rmse hrms lateralrms horizontalrms esrignsshrms esrignssaccuracy std stdev stddev standarddeviation standarderror hsdv sdh sdn sde sd sigmah hsigma cep cep50 cep95 drms 2drms ehpe epe eph herror poserror error errorh uncertainty cq cq2d cq3d " +
			"genauigkeit lagegenauigkeit standardabweichung précision précisionh écarttype exactitude precisión exactitud desviación nauwkeurigheid standaardafwijking precisione accuratezza " +
			"nøjagtighed nøyaktighet noggrannhet standardavvik standardavvikelse standardafvigelse tarkkuus keskihajonta"), holdsNumber},
		{schema.PropFix, nil, strings.Fields("fixes fixid fixquality fixstatus fixmode fixed isfixed rtk rtkfixed rtkstatus rtkmode gpsfix gnssfix gpsquality gnssquality gpsstatus gnssstatus quality " +
			"solution solutiontype solutionstatus postype positiontype esrignssfixtype carrsoln carriersolution lösung lösungstyp oplossing solución soluzione løsning lösning ratkaisu"), saysSolution},
		{schema.PropFix, nil, []string{"status", "coordinateclass", "state", "type"}, saysReceiver},
		{schema.PropDrawnFrom, nil, strings.Fields("source datasource method origin capture captured capturemethod surveymethod collected quelle herkunft methode méthode origine fuente método bron fonte metodo kilde källa lähde"), saysTraced},
		{schema.PropRadiusM, []schema.Role{schema.RoleHazard}, strings.Fields("r rad size extent span spread crown crownradius crowndiameter crownspread crownwidth canopy canopyradius canopydiameter canopyspread width length diameter diam dia " +
			"durchmesser halbmesser größe kronendurchmesser rayon diamètre taille couronne radio diámetro tamaño copa straal doorsnede grootte kroon raggio diametro dimensione chioma størrelse storlek krone krona säde halkaisija koko"), holdsNumber},
		{schema.PropHeightM, []schema.Role{schema.RoleHazard, schema.RoleBuilding, schema.RoleEdge}, strings.Fields("h hgt tall top storeys storey stories floors levels building:levels building:height eaves eavesheight ridge ridgeheight roofheight treeheight wallheight buildingheight maxheight " +
			"höhe hoehe firsthöhe traufhöhe geschosse stockwerke baumhöhe hauteur étages altura alto pisos plantas hoogte nokhoogte verdiepingen altezza piani højde høyde höjd etager etasjer våningar korkeus kerrokset"), holdsNumber},
	}
})

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
	switch word := foldKey(v.Text()); word {
	case "none", "invalid", "estimated", "single", "fix", "standalone":
		return false
	default:
		return v.Kind() == schema.KindString && slices.Contains(solutionWords, word)
	}
}

// tracedWords are words for a drawing that was made from a picture, a map or
// from memory.
var tracedWords = strings.Fields("traced trace tracing aerial satellite google bing imagery image orthophoto ortho photo picture map osm openstreetmap digitised digitized digitizing digitising sketch sketched guess guessed estimate estimated approximate " +
	"luftbild satellitenbild orthofoto skizze geschätzt digitalisiert abgezeichnet photographie croquis estimé numérisé satélite ortofoto croquis estimado digitalizado luchtfoto schets geschat schizzo stimato flyfoto flygfoto ortofoto skisse skiss anslået anslått uppskattad ilmakuva luonnos arvio")

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
	meant := map[string][]*otherName{} // by key: features share few
	for _, f := range r.Features {
		if f.Role == schema.RoleOther || f.Role == "" {
			continue
		}
		for _, a := range f.Attributes {
			names, known := meant[a.Key]
			if !known {
				names = otherMeant(a.Key)
				meant[a.Key] = names
			}
			for _, n := range names {
				if isNull(a.Value) || !isNull(f.Attributes.Get(n.property)) || n.roles != nil && !slices.Contains(n.roles, f.Role) ||
					n.property == schema.PropRadiusM && len(f.Points) == 0 || !n.fits(a.Value) || r.measuredWell(f, n.property, a.Value) {
					continue
				}
				out = append(out, slip{f, n.property, a.Key, a.Value})
			}
		}
	}
	return out
}

// measuredWell reports whether a value would pass under its right name: that it
// is not read harms nobody.
func (r *run) measuredWell(f *Feature, property string, v schema.Value) bool {
	switch property {
	case schema.PropSigma:
		s, ok := v.Float()
		return ok && s >= 0 && s <= r.of(f).SurveySigmaM
	case schema.PropFix:
		yes, truth := v.Truth()
		return truth && yes || isFixed(schema.FoldName(v.Text()))
	}
	return false
}

// otherMeant returns the properties that a key is another word for, none for a
// key that slips takes in.
func otherMeant(key string) []*otherName {
	if len(meantFor(key)) > 0 {
		return nil
	}
	folded, k := foldKey(key), withoutUnit(key)
	names := otherNames()
	var out []*otherName
	for i := range names {
		if n := &names[i]; n.property != key && (slices.Contains(n.words, k) || slices.Contains(n.words, folded)) {
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
			if n.roles == nil && n.fits(a.Value) {
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
