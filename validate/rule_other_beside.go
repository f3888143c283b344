// Things of the role other, and marks, that say that they stand or fall away and
// lie beside ground that is driven: what of other-in-zone, corridor-narrow and
// dock-path-blocked is about them.

package validate

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"github.com/paulmach/orb"

	"swardline/schema"
	"swardline/validate/plane"
)

// flatWords are solid things that a lawn may lie against, and woods, which have no
// edge of their own (common practice, no source).
var flatWords = strings.Fields("bed flowerbed border sandpit sandbox terrace patio court stage lid cover valve sprinkler marker forest wood woods woodland copse grove bridge viaduct flyover deck cliff face " +
	"beet blumenbeet gemüsebeet sandkasten deckel ventil regner markierung wald gehölz brücke massif parterre couvercle vanne arroseur forêt bois pont tapa válvula aspersor bosque puente " +
	"zandbak bloembed deksel klep sproeier bos brug aiuola coperchio valvola irrigatore bosco ponte sandlåda sandkasse rabat rabatt dæksel lokk spreder spridare skov skog bro hiekkalaatikko kukkapenkki kansi venttiili sadetin metsä silta " +
	"table_tennis eau noise play")

// homeWords are words for houses beside highWords and tallWords.
var homeWords = strings.Fields("haus garage warehouse lagerhalle halle hangar schuur cabane granero talo stall stable stallung werkstatt workshop umspannwerk transformer transformator trafo substation pump pumpe pumpenhaus shed schuppen church kirche hut grange lade greenhouse gewächshaus")

// standsWord is the word of a text for a thing that stands beside driven ground:
// a wall, a hedge, a fence, a house, a post; "" for none.
func standsWord(text string) string {
	for _, w := range letterWords(text) {
		if standsAlone.get(w) {
			return w
		}
	}
	return ""
}

// standsAlone reports whether a word is one.
var standsAlone = remembered[bool]{of: func(w string) bool {
	if hasWord(flatWords, w) || hasWord(stoneWords, w) || w == "light" {
		return false
	}
	for _, list := range [...][]string{wallWords, highWords, tallWords, slimWords, homeWords} {
		if hasWord(list, w) || endsIn(list, w) {
			return true
		}
	}
	return hasWord(wideWords, w) || kindOfWord(w) == kindSolid
}}

// standsBeside is the word by which a feature of the role other says, by its name or
// by a property that names a kind, that it stands, "" for none, for what may be
// driven over, and for what is graver and keeps a margin of its own.
func standsBeside(f *Feature) string {
	if over, _ := f.Attributes.Get(schema.PropDrivenOver).Truth(); over || isDrawingText(f) || isContour(f) {
		return ""
	}
	if kind, _ := graverSaying(f); kind != "" {
		return ""
	}
	if w := standsWord(f.Name); w != "" {
		return w
	}
	for _, a := range f.Attributes {
		if a.Value.Kind() != schema.KindString || a.Key == schema.PropRole || isPlain(a.Key) && !kindKeys.get(a.Key) {
			continue
		}
		if w := standsWord(a.Value.Text()); w != "" {
			return w
		}
	}
	return ""
}

// standingShape is what such a feature covers; ok is false where that cannot be told.
func (r *run) standingShape(f *Feature) (h hazardShape, ok bool) {
	if f.Role == schema.RoleHazard { // which has its width already
		h = r.hazardShape(f)
		return h, h.why == ""
	}
	h, err := r.hazardShape(f).aboutAll(f.reachDrawn())
	return h, err == nil && h.why == ""
}

// askRole is what every message about one of these ends in.
func askRole(f *Feature) string {
	return "; " + quote(f.Label()) + " has the role other and says that it stands: give it the role edge, building or hazard, or \"driven_over\": true"
}

// standingObstacles are those of the role other that may bound a corridor in the box.
func (r *run) standingObstacles(box orb.Bound) (out []obstacle) {
	for _, f := range r.Of(schema.RoleOther) {
		if !f.usable() || !f.bound.Pad(f.reachDrawn()).Intersects(box) || standsBeside(f) == "" {
			continue
		}
		h, ok := r.standingShape(f)
		if !ok {
			r.cannot("%s stands by its name, and where it ends cannot be told", f.describe())
			continue
		}
		strip := r.of(f).HardEdgeStripM
		for _, l := range append(ringLines(h.areas), h.lines...) {
			out = append(out, obstacle{f: f, pts: l, strip: strip})
		}
		for _, p := range h.points {
			out = append(out, obstacle{f: f, pts: []orb.Point{p}, strip: strip})
		}
	}
	return out
}

// asksRole makes a finding about a thing of the role other a warning that asks for
// its role.
func asksRole(x *Finding, features ...*Feature) {
	for _, f := range features {
		if f.Role == schema.RoleOther {
			x.Severity = Warning
			x.Message += askRole(f)
			return
		}
	}
}

// otherBeside tells what of the role other stands nearer to mown ground than the
// strip that is left uncut before what stands.
func (r *run) otherBeside(f *Feature, zones *solids) {
	word := standsBeside(f)
	if word == "" {
		r.unknownBeside(f, zones)
		return
	}
	strip := r.of(f).HardEdgeStripM
	if len(zones.near(f.bound.Pad(strip+f.reachDrawn()))) == 0 {
		return
	}
	h, ok := r.standingShape(f)
	if !ok {
		return // told where it lies on driven ground
	}
	if off, z, at := r.mownWithin(&h, strip, zones); z != nil {
		x := r.finding(r.Place(at), f, z)
		x.Measured, x.Limit, x.Unit = off, strip, "m"
		x.Message = fmt.Sprintf("says %s and lies %s from mown ground of %s, as if nothing stood there; what stands needs %s: give it the role edge, building or hazard, or \"driven_over\": true", quote(word), metresPast(off, strip), z.describe(), metres(strip))
	}
}

// mownWithin is how near mown ground comes to a shape that does not lie in it, of
// which zone and where; nil where that is no nearer than reach.
func (r *run) mownWithin(h *hazardShape, reach float64, zones *solids) (off float64, z *Feature, at orb.Point) {
	shape := h.geometry()
	if shape == nil {
		return 0, nil, at
	}
	gauge := plane.NewGauge(shape)
	off = math.Inf(1)
	for _, i := range zones.near(h.bound.Pad(reach)) {
		n := r.netOf(i)
		if !n.ok || len(n.areas) == 0 {
			continue
		}
		if d, p, _, near := n.within(gauge, reach); near && d < reach-slackM && d < off {
			off, z, at = d, zones.features[i], p
		}
	}
	return off, z, at
}

// markBeside tells a mark by whose name water, a road, a drop or a thing that
// stands lies nearer to what is driven than such a thing may: that is what was
// measured there.
func (r *run) markBeside(f *Feature, list **solids) {
	name := withoutEnds(f.Name)
	if r.nailMown(f, list) {
		return
	}
	kind, word := graverName(name)
	need, what := r.of(f).HardEdgeStripM, "a thing that stands"
	switch {
	case kind != "":
		need, _ = r.of(f).HazardMargin(kind)
		what = graveWords[kind]
	default:
		if word = markWord(name); word == "" {
			return
		}
	}
	if *list == nil {
		*list = r.needZones()
	}
	zones := *list
	h := r.hazardShape(f)
	if h.why != "" || len(h.points) == 0 {
		return
	}
	if _, said := standingSaying(f); said != "" && r.onMown(h, zones) {
		return // name-contradicts tells it
	}
	off, of, at := r.mownWithin(&h, need, zones)
	where := "mown ground of "
	for i := range r.corridors() {
		c := &r.corridorList[i]
		half := r.halfWidth(c.f)
		if !boundOf(c.pts).Pad(half + need).Intersects(h.bound) {
			continue
		}
		for _, p := range h.points {
			d, q, _, near := plane.NewGauge(orb.LineString(c.pts)).Within(plane.NewGauge(p), half+need)
			if d = math.Max(0, d-half); near && d < need-slackM && !(of != nil && off <= d) {
				off, of, at, where = d, c.f, q, "what the machine covers in "
			}
		}
	}
	if of == nil {
		return
	}
	x := r.finding(r.Place(at), f, of)
	x.Severity = Note
	x.Measured, x.Limit, x.Unit = off, need, "m"
	x.Message = fmt.Sprintf("its name says %s, which is %s, and it lies %s from %s%s, which keeps %s from it: draw what was measured there with its role, or give the mark another name", quote(word), what, metresPast(off, need), where, of.describe(), metres(need))
}

// markWord is the word of a mark's name for a thing that stands, or a kerb, "" for
// none, and where it says that the mark itself is only fixed to it.
func markWord(name string) string {
	words := letterWords(name)
	if slices.ContainsFunc(words, func(w string) bool { return hasWord(fastenerWords, w) }) {
		return ""
	}
	for _, w := range words {
		if hasWord(kerbWords, w) || kindOfWord(w) == "tree" {
			return w
		}
	}
	w := standsWord(name)
	if hasWord(markedBy, w) && !slices.ContainsFunc(words, func(o string) bool { return o != w && !hasWord(surveyWords, o) && len(o) > 1 }) {
		return ""
	}
	return w
}

// withoutEnds is a name less what says where on a thing a mark was measured, in
// words written as one: Hausecke, Böschungsoberkante.
func withoutEnds(name string) string {
	words := letterWords(name)
	for i, w := range words {
		for _, end := range partEnds {
			if rest := strings.TrimSuffix(w, end); rest != w && len(rest) > 2 {
				words[i] = rest
				if kindOfWord(rest) == "" && standsWord(rest) == "" {
					words[i] = strings.TrimSuffix(rest, "s")
				}
				break
			}
		}
	}
	return strings.Join(words, " ")
}

// partEnds close such words, the longest first.
var partEnds = strings.Fields("oberkante unterkante kante ecke rand ende mitte fuss")

// fastenerWords are how a mark is fixed, markedBy what stands for one itself, and
// kerbWords words for kerbs (common practice, no source).
var (
	fastenerWords = strings.Fields("nail bolt stud rivet spike screw plug pin drill disc plate nagel bolzen schraube niete dübel clou boulon repère vis clavo perno tornillo tachuela spijker bout schroef chiodo bullone vite søm bolt spik dubb naula pultti")
	markedBy      = strings.Fields("post pole peg stake marker mast stone column pillar pfahl pfosten pflock stange markierung poteau piquet mât poste estaca mástil paal palo picchetto stolpe pæl påle pylväs paalu box")
	surveyWords   = strings.Fields("survey control reference mark point corner boundary property site grid check old new north south east west mess vermessungs fest pass grenz mark punkt kontroll ecke borne repère contrôle control referencia controle controllo kontrol kontroll tarkistus")
	kerbWords     = strings.Fields("kerb kerbs curb bordstein bordure bordillo stoeprand cordolo kantsten kantstein reunakivi randstein")
)

// standingNails are those fasteners that stand up where they are driven into ground.
var standingNails = strings.Fields("nail nails bolt bolts stud rivet spike screw nagel bolzen schraube niete clou boulon clavo perno tornillo spijker bout schroef chiodo bullone søm spik naula pultti")

// nailMown tells, as a note, of a mark that is called a nail or bolt and nothing that
// it is fixed in, on mown ground, and does not say that it is flush.
func (r *run) nailMown(f *Feature, list **solids) bool {
	words := letterWords(f.Name)
	if len(words) == 0 || !hasWord(standingNails, words[len(words)-1]) || len(f.Points) == 0 || f.saysFlush() {
		return false
	}
	if *list == nil {
		*list = r.needZones()
	}
	if h := r.hazardShape(f); h.why != "" || !r.onMown(h, *list) {
		return false
	}
	x := r.finding(r.middle(f), f)
	x.Severity = Note
	x.Message = fmt.Sprintf("is called %s and stands in mown ground: blades hit what sticks out; drive it in and say flush in its name or note, or put a keep-out over it", quote(words[len(words)-1]))
	return true
}

// otherAtDock tells what of the role other stands in the ground that docking takes,
// or nearer to it than the strip left uncut before what stands; what lies in the
// way of the machine itself, name-contradicts and other-in-zone tell.
func (r *run) otherAtDock(d *dockSpot, f *Feature) {
	strip := r.of(f).HardEdgeStripM
	if !f.usable() || !f.bound.Pad(f.reachDrawn()).Intersects(d.lineup.Bound().Extend(d.at).Pad(math.Max(r.halfWidth(d.f), r.of(d.f).TurnRadiusM)+strip)) || standsBeside(f) == "" {
		return
	}
	h, ok := r.standingShape(f)
	if !ok {
		r.cannot("%s stands by its name, and where it ends cannot be told", f.describe())
		return
	}
	w := r.wayBeside(d, slackM, strip)
	inStrip, inDisc, stripAt, discAt, ok := w.blocked(r, &h)
	half, turn := r.halfWidth(d.f), r.of(d.f).TurnRadiusM
	switch {
	case !ok:
	case inStrip < half-slackM && len(f.Areas)+len(f.Lines) == 0:
		x := r.finding(r.Place(stripAt), d.f, f) // of a point name-contradicts makes a note alone
		x.Measured, x.Limit, x.Unit = inStrip, half+strip, "m"
		x.Message = fmt.Sprintf("%s lies in the way into it, %s from its middle; half the machine is %s wide, and what stands needs %s more", f.describe(), metresPast(inStrip, half+strip), metres(half), metres(strip))
		asksRole(x, f)
	case inStrip >= half-slackM && !math.IsInf(inStrip, 1):
		x := r.finding(r.Place(stripAt), d.f, f)
		x.Measured, x.Limit, x.Unit = inStrip, half+strip, "m"
		x.Message = fmt.Sprintf("%s lies beside the way into it, %s from its middle; half the machine is %s wide, and what stands needs %s more", f.describe(), metresPast(inStrip, half+strip), metres(half), metres(strip))
		asksRole(x, f)
	case math.IsInf(inStrip, 1) && !math.IsInf(inDisc, 1):
		x := r.finding(r.Place(discAt), d.f, f)
		x.Measured, x.Limit, x.Unit = inDisc, turn+strip, "m"
		x.Trace = r.trace(d.lineup, discAt)
		x.Message = fmt.Sprintf("%s lies %s from its line-up point; to turn there the machine needs %s, and what stands %s more", f.describe(), metresPast(inDisc, turn+strip), metres(turn), metres(strip))
		asksRole(x, f)
	}
}
