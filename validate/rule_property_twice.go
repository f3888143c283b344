// What a feature says a second time in other words, and larger or graver than
// the property that is read: sizes, heights and kinds, of property-misnamed.

package validate

import (
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"

	"swardline/schema"
)

// lengthUnits are units that a name or a text of a length may end with, in
// metres (the international foot is 0.3048 m).
var lengthUnits = map[string]float64{
	"mm": 0.001, "cm": 0.01, "dm": 0.1, "m": 1, "km": 1000, "metre": 1, "metres": 1, "meter": 1, "meters": 1, "ft": 0.3048, "feet": 0.3048, "foot": 0.3048, "in": 0.0254, "inch": 0.0254, "inches": 0.0254,
}

// lengthSaid is the largest length in metres that a property says: numbers, and
// texts that begin with one, in the unit at the end of the text or of the
// property's name, and in metres without.
func lengthSaid(key string, v schema.Value) (metres float64, ok bool) {
	unit := 1.0
	if i := strings.LastIndexAny(key, "_- "); i > 0 {
		if u, known := lengthUnits[schema.FoldName(key[i+1:])]; known {
			unit = u
		}
	}
	metres = math.Inf(-1)
	walkValues(v, func(v schema.Value) {
		for _, a := range v.Fields() {
			if d, some := lengthSaid(a.Key, a.Value); some {
				metres = math.Max(metres, d)
			}
		}
		if d, some := lengthText(v, unit); some {
			metres = math.Max(metres, d)
		}
	})
	return metres, metres > math.Inf(-1)
}

// lengthText is lengthSaid of one number or text.
func lengthText(v schema.Value, unit float64) (metres float64, ok bool) {
	if d, ok := v.Float(); ok {
		return d * unit, !math.IsNaN(d) && !math.IsInf(d, 0)
	}
	text := strings.TrimLeft(v.Text(), " +<>~±≈")
	end := strings.IndexFunc(text, func(c rune) bool { return (c < '0' || c > '9') && c != '.' && c != ',' })
	if end < 0 {
		end = len(text)
	}
	d, err := strconv.ParseFloat(strings.ReplaceAll(text[:end], ",", "."), 64)
	if err != nil || v.Kind() != schema.KindString {
		return 0, false
	}
	if words := letterWords(text[end:]); len(words) > 0 {
		if u, known := lengthUnits[words[0]]; known {
			unit = u
		}
	}
	return d * unit, true
}

// Words for a radius, and for how wide something round is, that say a size of a
// line or an outline too: what reaches out from it.
var (
	radiusWords = strings.Fields("r rad radius halbmesser rayon radio straal raggio säde halfwidth")
	roundWords  = strings.Fields("halbmesser rayon straal raggio säde durchmesser diamètre diámetro doorsnede diametro halkaisija")
	// girthWords say how far it is round a trunk, which is 2 pi times its radius, and
	// trunkWords how thick it is; lists of trees have both in centimetres where they
	// name no unit. roundTrunk are those that of an outline say the same.
	girthWords = strings.Fields("girth trunkgirth stemgirth treegirth gbh cbh circumference trunkcircumference umfang stammumfang baumumfang circonférence circonférencetronc circunferencia circonferenza omtrek stamomtrek omkrets stamomkrets stammeomkrets omkreds ympärysmitta")
	trunkWords = strings.Fields("thickness trunkthickness stammdicke stammstärke dbh bhd brusthöhendurchmesser stammdurchmesser trunkdiameter stemdiameter trunkdia diamètretronc diámetrotronco stamdiameter")
	roundTrunk = strings.Fields("girth trunkgirth stemgirth treegirth gbh cbh trunkcircumference stammumfang baumumfang circonférencetronc stamomtrek stamomkrets stammeomkrets")
	// partWords say the size of a part, or along it, which may well be more
	// than what stands in the way; eavesWords the height of a part of a building,
	// and storeyWords how many storeys it has.
	partWords = strings.Fields("length extent span spread crown crownradius crowndiameter crownspread crownwidth canopy canopyradius canopydiameter canopyspread kronendurchmesser couronne copa kroon chioma krone krona " +
		"lanes lanewidth h top")
	eavesWords  = strings.Fields("h top eaves eavesheight traufhöhe traufe")
	storeyWords = strings.Fields("storeys storey stories floors levels building:levels geschosse stockwerke étages pisos plantas verdiepingen piani etager etasjer våningar kerrokset")
)

// storeyM is lower than any storey of a house (common practice, no source).
const storeyM = 2.0

// reachSaid is how far in metres a property says that a thing reaches: a
// radius, or half of how wide it is.
func reachSaid(key string, v schema.Value) (metres float64, ok bool) {
	metres, ok = lengthSaid(key, v)
	word := withoutUnit(key)
	girth := slices.Contains(girthWords, word)
	if (girth || slices.Contains(trunkWords, word)) && metres > mostGirthM && word == foldKey(key) {
		metres /= 100
	}
	switch {
	case girth:
		metres /= 2 * math.Pi
	case !slices.Contains(radiusWords, word):
		metres /= 2
	}
	return metres, ok
}

// mostGirthM is farther than it is round most trunks, in metres: what is more and
// names no unit is in centimetres (common practice, no source).
const mostGirthM = 8.0

// reachesOut reports whether a radius under another word says that a line or an
// outline reaches out farther than it is drawn and widened. Of an outline as wide
// as that on all sides it only says its size.
func (f *Feature) reachesOut(key string, v schema.Value) bool {
	if f.Role == schema.RoleEdge && isDrivenOver(edgeKind(f)) || saysNothing(v) {
		return false
	}
	d, ok := reachSaid(key, v)
	if !ok {
		return true
	}
	if len(f.Areas) > 0 && sayings.get(key).property == "" {
		wide, high := f.bound.Max[0]-f.bound.Min[0], f.bound.Max[1]-f.bound.Min[1]
		if low, most := math.Min(wide, high), math.Max(wide, high); 1.25*low > most && 2*d < 1.25*most {
			return false
		}
	}
	return d > f.growth()
}

// overM and overShare are by how much a second size has to be larger than the
// one that is read to be told: a millimetre or a twentieth is rounding (starting
// values from memory).
const (
	overM     = 0.01
	overShare = 1.05
	// mostHeightM is above what is taken for an altitude.
	mostHeightM = 100.0
)

// outgrown says that another word for a property which stands beside it says
// something larger; "" where it does not.
func (f *Feature) outgrown(property string, a schema.Attribute) string {
	word := withoutUnit(a.Key)
	storeys, part := slices.Contains(storeyWords, word), slices.Contains(eavesWords, word)
	if f.Role != schema.RoleBuilding && (storeys || part) || sayings.get(a.Key).property != "" || !part && slices.Contains(partWords, word) {
		return ""
	}
	var own, other float64
	var ok bool
	right := f.Attributes.Get(property)
	switch property {
	case schema.PropRadiusM, schema.PropWidth:
		if f.Role == schema.RoleEdge && isDrivenOver(edgeKind(f)) {
			return ""
		}
		own = f.growth()
		other, ok = reachSaid(a.Key, a.Value)
	case schema.PropHeightM:
		own, _ = f.Float(property)
		if other, ok = lengthSaid(a.Key, a.Value); storeys {
			other *= storeyM
		}
		ok = ok && other <= mostHeightM
	}
	if !ok || other <= own*overShare+overM {
		return ""
	}
	said, _ := lengthSaid(a.Key, a.Value)
	if storeys {
		return fmt.Sprintf("its %s is %s, and %s says %s storeys, %s at the least: only %s is read; take the wrong one out", property, shown(right), quote(a.Key), trim(said, 1), metres(other), property)
	}
	return fmt.Sprintf("its %s is %s, and %s says %s, which is more: only %s is read; take the wrong one out", property, shown(right), quote(a.Key), metres(said), property)
}

// otherwise says that another name for a number that is neither a size nor a
// height, which stands beside the right one, says another figure; "" where it does
// not. Of a distance from a dock only words for lining up are asked.
func (f *Feature) otherwise(property string, a schema.Attribute) string {
	own, ok := f.Float(property)
	if !ok || sayings.get(a.Key).property != "" {
		return ""
	}
	var other, off float64
	switch property {
	case schema.PropHeadingDeg:
		if other, ok = schema.NumberSaid(a.Value); ok {
			off = math.Abs(math.Remainder(other-own, 360)) - 1 // degree: rounding
		}
	case schema.PropStandoffM, schema.PropAntennaHeight:
		word := withoutUnit(a.Key)
		if property == schema.PropStandoffM && len(meantFor(a.Key)) == 0 && !slices.ContainsFunc(liningUp, func(start string) bool { return strings.HasPrefix(word, start) }) {
			return ""
		}
		if other, ok = lengthSaid(a.Key, a.Value); ok {
			off = math.Abs(other-own) - overM
		}
	case schema.PropEpoch:
		if other, ok = schema.NumberSaid(a.Value); ok && !strings.HasPrefix(foldKey(a.Key), "ref") && !strings.HasPrefix(foldKey(a.Key), "frame") {
			off = math.Abs(other-own) - epochSlackYears
		}
	default:
		return ""
	}
	if !ok || off <= 1e-9 {
		return ""
	}
	return fmt.Sprintf("its %s is %s, and %s says %s: only %s is read; take the wrong one out", property, shown(f.Attributes.Get(property)), quote(a.Key), shown(a.Value), property)
}

var liningUp = strings.Fields("lineup approach offset anfahrt")

// kindKeys reports whether a property's name may stand for a kind.
var kindKeys = remembered[bool]{of: func(key string) bool {
	if key == schema.PropHazardKind || key == schema.PropEdgeKind {
		return false
	}
	k := strings.TrimRight(foldKey(key), "0123456789")
	return slices.Contains(kindKeyWords, k) || slices.Contains(kindKeyWords, strings.TrimSuffix(k, "s")) || oneSlip(k, "hazardkind") || oneSlip(k, "edgekind")
}}

// kindKeyWords are such names, folded (common practice, no source).
var kindKeyWords = strings.Fields("kind type subtype hazard hazardkind hazardtype hazardclass danger dangerkind dangertype edgekind edgetype edgeclass barrier class category feature featuretype objecttype natural waterway " +
	"typ art gefahr gefahrenart kategorie klasse tipo peligro danger genre catégorie soort gevaar pericolo slag fare fara laji tyyppi")

// twoMeanings are words of grave kinds that are other things too: an avenue of
// trees, a bench.
var twoMeanings = strings.Fields("bank avenue allée terrace spring drive step steps")

// graveWord is the water, road or drop that a text names, "" for one that names
// none or, like a street lamp or a water tap, something of that kind.
func graveWord(text string) (word, kind string) {
	words := letterWords(text)
	if len(words) == 0 {
		return "", ""
	}
	for _, w := range words {
		if kindOfWord(w) == kindSolid || slices.Contains(twoMeanings, w) {
			return "", ""
		}
	}
	for _, w := range [...]string{words[len(words)-1], strings.Join(words, "")} {
		if kind := kindOfWord(w); hazardRank[kind] >= hazardRank["road"] {
			return w, kind
		}
	}
	return "", ""
}

// graver reports whether a text names a grave kind that the hazard is not held
// to.
func (k hazardKinds) graver(text string) bool {
	_, kind := graveWord(text)
	switch {
	case kind == "" || k.open:
		return false
	case kind == kindShore:
		return !slices.Contains(k.all, "water") && !slices.Contains(k.all, "drop")
	}
	return !slices.Contains(k.all, kind)
}

// Words for edges that a machine must not run over.
var (
	dropEdges = strings.Fields("drop ledge cliff precipice absturz falaise precipicio afgrond dirupo precipizio stup")
	// kerbEdges stand up where they are only drawn, but for lowered ones.
	kerbEdges = strings.Fields("kerb curb bordstein hochbord bordure bordillo stoeprand cordolo kantsten kantstein reunakivi")
	lowered   = strings.Fields("flush dropped lowered sunk abgesenkt abgesenkter versenkt tiefbord abaissé abaissée rebajado verlaagd ribassato nedsænket nedsenket nedsänkt madallettu")
	highEdges = strings.Fields("wall mauer mur muro muur vegg vägg fence zaun clôture valla hek recinto gjerde staket hegn aita")
)

// graverEdge reports whether a text names an edge that is more to a machine
// than the kind which is read.
func graverEdge(kind, text string) bool {
	words := wordsOf(text)
	if kind == "" || len(words) == 0 || slices.Contains(words, "flush") {
		return false
	}
	last := words[len(words)-1]
	_, ground := graveWord(text)
	switch kind {
	case schema.EdgeDrop:
		return false
	case schema.EdgeFlush:
		return slices.Contains(dropEdges, last) || slices.Contains(highEdges, last) || ground == "drop"
	}
	return slices.Contains(dropEdges, last)
}

// kindTwice tells of hazards and edges that say a graver kind under another name
// than hazard_kind and edge_kind.
func (r *run) kindTwice(tell func(f *Feature, grave bool, message string)) {
	for _, role := range [...]schema.Role{schema.RoleHazard, schema.RoleEdge} {
		property := schema.PropHazardKind
		if role == schema.RoleEdge {
			property = schema.PropEdgeKind
		}
		for _, f := range r.Of(role) {
			right := f.Attributes.Get(property)
			if strings.TrimSpace(right.Text()) == "" {
				continue
			}
			for _, a := range f.Attributes {
				if !kindKeys.get(a.Key) || sayings.get(a.Key).property != "" {
					continue
				}
				graver := false
				walkValues(a.Value, func(v schema.Value) {
					if role == schema.RoleEdge {
						graver = graver || graverEdge(edgeKind(f), v.Text())
						return
					}
					graver = graver || kindsOf(f).graver(v.Text())
				})
				if graver {
					tell(f, true, fmt.Sprintf("its %s is %s, and %s says %s: only %s is read; take the wrong one out", property, shown(right), quote(a.Key), shown(a.Value), property))
				}
			}
		}
	}
}

// kindElsewhere tells of a property that says a kind on a feature of another
// role, under another spelling or another word.
func kindElsewhere(f *Feature, says keySays, unsaid bool, a schema.Attribute, tell func(f *Feature, grave bool, message string)) {
	property, role := says.property, schema.RoleHazard
	switch property {
	case schema.PropEdgeKind:
		role = schema.RoleEdge
	case schema.PropHazardKind:
	default:
		if f.Role != schema.RoleOther && f.Role != schema.RoleMark || unsaid {
			return
		}
		k := foldKey(a.Key)
		if _, kind := graveWord(a.Value.Text()); kind == "" || k != "kind" && k != "hazard" {
			return
		}
		property = schema.PropHazardKind
	}
	if f.Role == role || f.Role == "" || strings.TrimSpace(a.Value.Text()) == "" || !isNull(f.Attributes.Get(property)) {
		return
	}
	tell(f, f.Role != schema.RoleKeepout, fmt.Sprintf("its role is %s, and %s says %s, which as %s is read of the role %s alone: draw that as a %s of its own, or take the property out",
		f.Role, quote(a.Key), quote(a.Value.Text()), property, role, role))
}
