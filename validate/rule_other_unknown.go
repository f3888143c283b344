// Things of the role other beside driven ground of which nobody can tell what they are:
// a part of other-in-zone.

package validate

import (
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"
	"unicode"

	"github.com/paulmach/orb"

	"swardline/schema"
	"swardline/validate/plane"
)

// plainBeside are words for what does no harm beside ground that is driven: paths and
// paving, beds and lawns, woods, sand, what lies under the ground or flush with it, and
// lines of ownership. What stands has words of its own (common practice, no source).
const plainBeside = plainLawns + " path paths footpath footpaths pathway pathways walkway walkways walk walks pavement sidewalk paving paved paver pavers slab slabs flagstone flagstones stepping stone stones cobbles cobblestones setts gravel bark mulch woodchip chippings deck decking terrace patio bed beds flowerbed flowerbeds border borders flower flowers rose roses lavender shrub shrubs shrubbery perennial perennials planting plants herb herbs vegetable vegetables courtyard " +
	"boundary boundaries property parcel parcels limit neighbour neighbours neighbor neighbors land farmland arable wood woods woodland forest copse grove sandpit sandbox cable cables pipe pipes duct ducts conduit irrigation sprinkler sprinklers drainage buried underground lid lids cover covers valve valves marker markers marking markings contour contours label labels text texts " +
	"weg wege gartenweg gartenwege fußweg fussweg fußwege gehweg gehwege pfad pfade pflaster pflasterung pflasterfläche platten plattenweg plattenbelag trittplatten trittsteine trittstein steinplatten stein steine kies kiesfläche kiesstreifen rindenmulch terrasse holzterrasse sitzplatz beet beete blumenbeet blumenbeete staudenbeet rosenbeet gemüsebeet kräuterbeet rabatte rabatten bepflanzung pflanzung pflanzfläche stauden blumen rosen lavendel kräuter gemüse wald gehölz hain sandkasten kabel erdkabel stromkabel leitung gasleitung wasserleitung rohr leerrohr deckel schachtdeckel ventil regner markierung markierungen grundstück grundstücksgrenze flurstück flurstücksgrenze parzelle grenze nachbar nachbarn nachbargrundstück acker feld beschriftung " +
	"chemin sentier allée dallage dalle dalles pavé pavés pavage gravier terrasse massif massifs parterre potager fleurs rosiers bois forêt câble tuyau conduite couvercle vanne arroseur marquage limite parcelle propriété voisin champ " +
	"camino sendero losa losas pavimento grava terraza macizo parterre arriate huerto flores rosas bosque cable tubo tubería tapa válvula aspersor marca límite parcela propiedad vecino arenero " +
	"pad paden tuinpad tegel tegels bestrating klinkers grind terras bloembed perk moestuin bloemen rozen bos kabel leiding buis deksel klep sproeier markering grens perceel erfgrens buren zandbak " +
	"sentiero vialetto percorso lastra lastre pavimentazione ghiaia terrazza terrazzo aiuola aiuole orto fiori rose bosco cavo tubo coperchio valvola irrigatore marcatura confine particella proprietà vicino sabbiera " +
	"gång stig plattor grus terrass altan rabatt rabatter blommor skog kabel ledning lock spridare markering gräns fastighet granne sandlåda sti fliser belægning bed blomster skov dæksel spreder grænse skel ejendom nabo sandkasse heller lokk grense tomt eiendom polku laatat laatta sora terassi kukkapenkki kukat metsä kaapeli putki kansi raja tontti naapuri hiekkalaatikko"

// vagueWords are known and say nothing of what a thing is (common practice, no source).
var vagueWords = setOf("area areas zone zones fläche flächen zona zonas surface ground grounds summer winter spring autumn common club estate training playing practice text texts label labels beschriftung part parts")

// besideDriven is the role under which wordSets has the words of plainBeside.
const besideDriven schema.Role = "beside driven ground"

// besideList is plainBeside as a list, less the vague ones.
var besideList = slices.DeleteFunc(strings.Fields(plainBeside), func(w string) bool { return vagueWords[w] })

// besideSays is what a text says of a thing beside driven ground.
type besideSays int

const (
	besideNothing  besideSays = iota // numbers, letters, words of place
	besideHarmless                   // known words alone, one of them for what does no harm
	besideUnknown                    // a word that no list has
)

var besideWordsOf = remembered[besideSays]{of: func(text string) besideSays {
	if len(wordSets()[besideDriven].unknown.get(text)) > 0 {
		return besideUnknown
	}
	if slices.ContainsFunc(nameWords(text), func(w string) bool {
		return hasWord(besideList, w) || endsIn(besideList, w)
	}) {
		return besideHarmless
	}
	return besideNothing
}}

// isUnknown reports whether nobody can tell from what a feature of the role other says
// what it is: not by its name, nor by a property that names a kind, nor, where its name
// says nothing, by its layer or code.
func isUnknown(f *Feature) bool {
	if over, _ := f.Attributes.Get(schema.PropDrivenOver).Truth(); over || isDrawingText(f) || isContour(f) {
		return false
	}
	if kind, _ := graverSaying(f); kind != "" || standsBeside(f) != "" {
		return false // which keep their own distance
	}
	name := besideWordsOf.get(f.Name)
	if name == besideHarmless {
		return false
	}
	for _, a := range f.Attributes {
		if a.Value.Kind() != schema.KindString || a.Key == schema.PropRole || a.Key == schema.PropName {
			continue
		}
		if kindKeys.get(a.Key) || name == besideNothing && (a.Key == schema.PropLayer || a.Key == schema.PropCode) {
			if besideWordsOf.get(a.Value.Text()) == besideHarmless {
				return false
			}
		}
	}
	return true
}

// unknownMargin is the most that any kind of hazard would keep.
func (r *run) unknownMargin(f *Feature) float64 {
	most := 0.0
	for _, kind := range [...]string{"", "water", "road", "drop"} {
		m, _ := r.of(f).HazardMargin(kind)
		most = math.Max(most, m)
	}
	return most
}

// roadHalfM is half of the width in metres that a road of which one line is drawn has at
// the least, and roadLongM how long such a line is (common practice, no source).
const roadHalfM, roadLongM = 2.75, 10.0

// roadLetters stand before the numbers of roads (common practice, no source).
var roadLetters = setOf("a b c d e k l m n r s st rn rd cd cr sr ap ss sp sr dk us rv fv lv")

// roadNumber are the letters and the number of a name that is nothing else but words of
// order, as B 27, D917 or A-4; ok is false for any other.
func roadNumber(name string) (letters string, number int, ok bool) {
	order := wordSets()[schema.RoleZone].order
	name = strings.Join(slices.DeleteFunc(strings.Fields(strings.ToLower(name)), func(w string) bool { return len(w) > 2 && order[w] }), " ")
	digits := strings.TrimLeftFunc(name, unicode.IsLetter)
	letters = name[:len(name)-len(digits)]
	number, err := strconv.Atoi(strings.TrimLeft(digits, " -."))
	return letters, number, err == nil && number > 0 && roadLetters[letters]
}

// roadSaid is the number of a road that a feature is called by: by its name, that of an
// edge behind the word for it too, or by another property that is nothing else; "" for
// none, and for one of several that are numbered so. A number by which less is counted
// than twoDigits is none but in a name of the role other.
func (r *run) roadSaid(f *Feature) string {
	const twoDigits = 10
	if letters, n, ok := roadNumber(f.Name); ok && (f.Role == schema.RoleOther || n >= twoDigits) {
		return r.numberedAlone(f, schema.PropName, f.Name, letters, n)
	}
	if words := strings.Fields(f.Name); f.Role == schema.RoleEdge && len(words) > 1 {
		for _, tail := range [...]string{words[len(words)-1], words[len(words)-2] + " " + words[len(words)-1]} {
			if letters, n, ok := roadNumber(tail); ok && n >= twoDigits && isPlainEdge(strings.TrimSuffix(f.Name, tail)) {
				return r.numberedAlone(f, schema.PropName, f.Name, letters, n)
			}
		}
	}
	for _, a := range f.Attributes {
		if a.Value.Kind() != schema.KindString || a.Key == schema.PropRole || a.Key == schema.PropName {
			continue
		}
		if letters, n, ok := roadNumber(a.Value.Text()); ok && n >= twoDigits {
			return r.numberedAlone(f, a.Key, a.Value.Text(), letters, n)
		}
	}
	return ""
}

// isPlainEdge reports whether a text has words of order and those for kerbs, gates and
// the like alone.
func isPlainEdge(text string) bool {
	return len(wordSets()[schema.RoleEdge].unknown.get(text)) == 0
}

// numberedAlone is a text, "" where others are numbered on with the same letters.
func (r *run) numberedAlone(f *Feature, key, text, letters string, number int) string {
	others := 0
	for _, g := range r.Features {
		said := g.Name
		if key != schema.PropName {
			said = g.Attributes.Get(key).Text()
		}
		if l, n, ok := roadNumber(said); ok && g != f && l == letters && n != number {
			if others++; others > 1 || n == number-1 || n == number+1 {
				return ""
			}
		}
	}
	return text
}

// isRoadNumber reports whether a line of the role other is called by the number of a road
// and nothing else, and is not one of several that are numbered so.
func (r *run) isRoadNumber(f *Feature) bool {
	if len(f.Lines) == 0 || !(distance(f.bound.Min, f.bound.Max) >= roadLongM-slackM) {
		return false
	}
	letters, n, ok := roadNumber(f.Name)
	return ok && r.numberedAlone(f, schema.PropName, f.Name, letters, n) != ""
}

// sayNumbered is what the page of other-in-zone says of the next.
const sayNumbered = "And, as a note, what is called by the number of a road on or beside driven ground, nearer than hazard_margin_road_m and, of a line, 2.75 m more: a thing of 10 m or more by its name or by any other text of its own, a kerb, a gate or another edge (Kerb B 27) with no road drawn at it; not where others are numbered on with the same letters, and of numbers below 10 only names of the role other. " +
	"So are three areas, or four flush edges, side by side as large as bays for cars (2.2 to 3.6 m by 4.3 to 6.6 m), on or beside driven ground."

// roadsNumbered notes what of a role is called by the number of a road and lies on or
// beside driven ground, of edges those at which no road is drawn.
func (r *run) roadsNumbered(role schema.Role) {
	for _, f := range r.usableOf(role) {
		if len(f.Lines)+len(f.Areas) == 0 || len(r.findings) >= mostFindings || role == schema.RoleOther && !(distance(f.bound.Min, f.bound.Max) >= roadLongM-slackM) {
			continue
		}
		said := r.roadSaid(f)
		if said == "" || slices.ContainsFunc(r.findings, func(x Finding) bool { return slices.Contains(x.Features, f.Feature) }) {
			continue
		}
		if of, off, need := r.besideNumbered(f); of != nil {
			x := r.finding(r.middle(f), f, of)
			x.Severity = Note
			x.Measured, x.Limit, x.Unit = off, need, "m"
			x.Message = fmt.Sprintf("says %s, as the signs of roads do, and lies %s from %s: where it is a road, or the edge of one, draw that as a hazard of the kind road, with a keep-out; else give it a name that says what it is", quote(said), metresPast(off, need), of.describe())
		}
	}
}

// besideNumbered is what is driven nearer to such a thing than a road may lie, as wide as
// one where only its line is drawn; nil for an edge at which a road is drawn.
func (r *run) besideNumbered(f *Feature) (of *Feature, off, need float64) {
	need, _ = r.of(f).HazardMargin("road")
	if len(f.Areas) == 0 && f.reachDrawn() < roadHalfM {
		need += roadHalfM
	}
	h, ok := r.standingShape(f)
	shape := h.geometry()
	if !ok || shape == nil {
		return nil, 0, 0
	}
	if f.Role == schema.RoleEdge && slices.ContainsFunc(r.usableOf(schema.RoleHazard), func(g *Feature) bool {
		k := kindsOf(g)
		return k.gravest == "road" && g.bound.Pad(g.growth()+roadHalfM).Intersects(f.bound)
	}) {
		return nil, 0, 0
	}
	if bare, gauge := r.bareOf(h); gauge != nil {
		shape = bare.geometry()
	} else {
		return nil, 0, 0
	}
	off, of, _ = r.drivenNear(shape, need-slackM)
	return of, off, need
}

// unknownBeside notes a thing of the role other, off driven ground, that is nearer to it
// than a hazard may be, and of which nobody can tell what it is.
func (r *run) unknownBeside(f *Feature, zones *solids) {
	need, road := r.unknownMargin(f), r.isRoadNumber(f)
	if road {
		need += roadHalfM
	}
	box := f.bound.Pad(need + f.reachDrawn())
	ways := r.waysNear(box)
	if len(ways) == 0 && len(zones.near(box)) == 0 || !isUnknown(f) {
		return
	}
	h, ok := r.standingShape(f)
	if !ok {
		return // told where it lies on driven ground
	}
	off, of, at := r.mownWithin(&h, need, zones)
	where := "mown ground of "
	if len(ways) > 0 {
		if _, gauge := r.bareOf(h); gauge != nil {
			for _, w := range ways {
				d, q, _, near := plane.NewGauge(w.line).Within(gauge, w.half+need)
				if d = math.Max(0, d-w.half); near && d < need-slackM && !(of != nil && off <= d) {
					off, of, at, where = d, w.f, q, w.what
				}
			}
		}
	}
	if of == nil {
		return
	}
	says := "has no name"
	if f.Name != "" {
		says = "its name, " + quote(f.Name) + ", is no word that a rule knows as harmless"
	}
	x := r.finding(r.Place(at), f, of)
	x.Severity = Note
	x.Measured, x.Limit, x.Unit = off, need, "m"
	if road {
		x.Message = fmt.Sprintf("is called %s, as roads are, and lies %s from %s%s: what it is cannot be told; where it is a road, draw it as a hazard of the kind road with its width_m; else give it a name that says what it is", quote(f.Name), metresPast(off, need), where, of.describe())
		return
	}
	x.Message = fmt.Sprintf("%s, and it lies %s from %s%s: what it is cannot be told, and what must be kept off needs %s; give it the role hazard, edge or building, or \"driven_over\": true, or a kind or a name that says what it is", says, metresPast(off, need), where, of.describe(), metres(need))
}

// drivenWay is a line that a machine drives, as wide as twice half, or the point in
// whose disc of that radius it turns.
type drivenWay struct {
	f    *Feature
	line orb.Geometry
	half float64
	what string
}

// waysNear are the corridors, and the ways into docks and the discs before them, whose
// ground comes into a box.
func (r *run) waysNear(box orb.Bound) (out []drivenWay) {
	for i := range r.corridors() {
		c := &r.corridorList[i]
		if half := r.halfWidth(c.f); boundOf(c.pts).Pad(half).Intersects(box) {
			out = append(out, drivenWay{c.f, orb.LineString(c.pts), half, "what the machine covers in "})
		}
	}
	for _, d := range r.docks() {
		if math.IsNaN(d.heading) {
			continue
		}
		if half := r.halfWidth(d.f); boundOf([]orb.Point{d.lineup, d.at}).Pad(half).Intersects(box) {
			out = append(out, drivenWay{d.f, orb.LineString{d.lineup, d.at}, half, "what the machine covers on its way into "})
		}
		if turn := r.of(d.f).TurnRadiusM; d.lineup.Bound().Pad(turn).Intersects(box) {
			out = append(out, drivenWay{d.f, d.lineup, turn, "the disc in which the machine turns before "})
		}
	}
	return out
}

// nearDisc reports whether a feature, less what keep-outs cover, comes nearer than a
// margin to the disc in which a machine turns before a dock.
func (r *run) nearDisc(f *Feature, margin float64) bool {
	for _, w := range r.waysNear(f.bound.Pad(f.reachDrawn() + margin)) {
		spot, ok := w.line.(orb.Point)
		if !ok {
			continue
		}
		h, good := r.standingShape(f)
		if !good {
			return true // safe side
		}
		if _, gauge := r.bareOf(h); gauge != nil {
			if d, _, _, near := plane.NewGauge(spot).Within(gauge, w.half+margin); near && d < w.half+margin-slackM {
				return true
			}
		}
	}
	return false
}
