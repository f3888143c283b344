// Rule on names that say what role and kind do not: name-contradicts.

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

var namedRules = []Rule{{
	Name: RuleNameContradicts, Severity: Warning, run: checkNameContradicts,
	Page: Page{
		What: "Features of the role other, and marks, on ground that is driven, whose name, or a property of another name, says water, a road, a drop, a tree or a solid thing, in the words of hazard_kind; a note where such a thing is only a point, as texts of drawings are. " +
			"Driven are zones, corridors with half the machine's width, and the way into a dock, where no keep-out covers them. So are keep-outs and others that are switched off and called water, a road or a drop, by name or hazard_kind, where that lies in a zone. " +
			"And notes: a hazard whose name says something graver than its hazard_kind; a flush edge, ramp or gate whose name says wall, drop, water, locked or planned; a building called water; a boundary called a neighbour's; a zone, wall, fence or kerb whose name says nothing but such a thing. A zone whose name says that it is not mown is a warning.",
		Why:    "What has the role other is only drawn: a pond that came in as a line of the role other is mown like the lawn about it.",
		Source: sourcePractice,
		Fails:  "a polygon called \"Pond\" with the role other on a lawn",
		Passes: "the same polygon with the role hazard, hazard_kind pond, under a keep-out",
		Mend:   "give it the role hazard and its hazard_kind, and a keep-out; or another name where it is none",
	},
}}

// Words for a gate that lets nothing through, for what is not there yet, for what
// stands up, and for whose ground it is.
var (
	shutWords = strings.Fields("locked closed shut verschlossen geschlossen gesperrt abgeschlossen zu fermé verrouillé cerrado gesloten dicht chiuso låst lukket stängd stengt lukittu suljettu " +
		"planned proposed future unbuilt geplant künftig prévu projeté previsto planeado gepland toekomstig progettato planlagt planerad suunniteltu")
	standingWords  = strings.Fields("fence kerb curb zaun elektrozaun bordstein clôture bordure valla bordillo hek stoeprand recinto cordolo hegn gjerde kantsten kantstein aita reunakivi")
	neighbourWords = strings.Fields("notours neighbour neighbours neighbor neighbors neighbouring nachbar nachbarn nachbargrundstück voisin voisine voisins vecino vecinos buur buren buurman vicino vicini nabo naboer naboen granne grannar grannen naapuri naapurin")
)

// leaveWords say, without spaces, that something is not to be mown.
var leaveWords = strings.Fields("donotmow nomow nomowing notmown notmow keepout keepoff nichtmähen nichtmaehen nepastondre nosegar nocortar nietmaaien nontagliare ikkeklippe klippinte äläleikkaa")

// besideGrave are words beside one for water, a road or a drop that leave it one,
// and notYetWords say, without spaces, that something is still to be built.
var (
	besideGrave = strings.Fields("steep deep public open main")
	notYetWords = strings.Fields("notbuilt notyet nichtgebaut nochnicht")
)

// titleKeys are plain properties that hold a name, folded, and textKeys those in
// which people write of a thing.
var (
	titleKeys = strings.Fields("label title caption text snippet")
	textKeys  = strings.Fields("desc description")
)

// saysLeave reports whether a name says that something is not to be mown.
func saysLeave(name string) bool { return saysAny(name, leaveWords) }

// saysAny reports whether a name, its words written as one, holds any of these.
func saysAny(name string, words []string) bool {
	joined := strings.Join(letterWords(name), "")
	return slices.ContainsFunc(words, func(w string) bool { return strings.Contains(joined, w) })
}

// graverName is the gravest kind of hazard that the words of a text name, and
// the word, "" for none: water, road or drop.
func graverName(text string) (kind, word string) {
	words := letterWords(text)
	for i, w := range words {
		k := kindOfWord(w)
		if i > 0 && k == "" { // ha-ha, car park
			w = words[i-1] + w
			k = hazardWords()[w]
		}
		if k == kindShore {
			k = "water"
		}
		if hazardRank[k] >= hazardRank["road"] && hazardRank[k] > hazardRank[kind] {
			kind, word = k, w
		}
	}
	return kind, word
}

// graverSaying is graverName of a feature's name and of those of its texts that
// do not only describe it.
func graverSaying(f *Feature) (kind, word string) {
	kind, word = graverName(f.Name)
	for _, a := range f.Attributes {
		k := foldKey(a.Key)
		if a.Value.Kind() != schema.KindString || a.Key == schema.PropRole || isPlain(a.Key) && !slices.Contains(roleKeys, k) && !slices.Contains(titleKeys, k) && !slices.Contains(textKeys, k) {
			continue
		}
		if k, w := graverName(a.Value.Text()); hazardRank[k] > hazardRank[kind] {
			kind, word = k, w
		}
	}
	return kind, word
}

func checkNameContradicts(r *run) {
	if !r.onGround() {
		return
	}
	if len(r.Features)+len(r.Inactive) == 0 {
		r.notNeeded("the plan has no feature")
		return
	}
	zones := r.needZones()
	for _, f := range r.Features {
		if !f.usable() {
			continue
		}
		switch f.Role {
		case schema.RoleOther, schema.RoleMark:
			r.drawnOnly(f, zones)
		case schema.RoleHazard:
			kinds := kindsOf(f)
			if solidSaying(f) != "" {
				continue // a bench by the pond, a street lamp
			}
			if kind, word := graverName(f.Name); kind != "" && !kinds.open && hazardRank[kind] > hazardRank[kinds.gravest] {
				r.nameNote(f, "its name says %s (%s), and its hazard_kind %s: the kind holds; put right which is wrong", quote(word), graveWords[kind], quote(kinds.text))
			}
		case schema.RoleEdge:
			r.edgeNamed(f)
		case schema.RoleBuilding:
			if kind, word := graverName(f.Name); kind == "water" {
				r.nameNote(f, "its name says %s, and its role is building: water has the role hazard", quote(word))
			}
		case schema.RoleBoundary:
			words := letterWords(f.Name)
			for i, w := range words {
				if i > 0 && words[i-1] == "not" {
					w = "not" + w
				}
				if slices.Contains(neighbourWords, w) {
					r.nameNote(f, "its name says %s, and a boundary is the limit of the property itself: give ground of others the role other, or hazard", quote(w))
					break
				}
			}
		case schema.RoleZone:
			if saysLeave(f.Name) {
				x := r.finding(r.middle(f), f)
				x.Message = "its name says that it is not mown, and its role is zone, which is: give it the role keepout, or another name"
			} else if word := onlyHazardous(f.Name); word != "" {
				r.nameNote(f, "its name says %s and nothing else: a zone is what is mown; is its role right?", quote(word))
			}
		}
	}
	for _, f := range r.Inactive {
		if f.Role != schema.RoleKeepout && f.Role != schema.RoleOther && f.Role != schema.RoleCorridor || f.Geometry == nil {
			continue
		}
		said := "its name"
		kind, word := graverName(f.Name)
		if k, w := graverName(f.Attributes.Get(schema.PropHazardKind).Text()); kind == "" && k != "" {
			kind, word, said = k, w, schema.PropHazardKind
		}
		what := graveWords[kind]
		if kind == "" && saysLeave(f.Name) {
			word, what = strings.TrimSpace(f.Name), "not to be mown"
		}
		if word == "" {
			continue
		}
		if z := r.mownOver(f); z != nil {
			x := r.finding(nil, &Feature{Feature: f}, z)
			x.Line = f.Source.Line
			x.Message = fmt.Sprintf("is switched off, and %s says %s (%s): %s mows there; switch it on, or remove it if nothing is there any more", said, quote(word), what, z.describe())
		}
	}
}

func (r *run) nameNote(f *Feature, format string, args ...any) {
	x := r.finding(r.middle(f), f)
	x.Severity = Note
	x.Message = fmt.Sprintf(format, args...)
}

// drawnOnly tells a feature of the role other, or a mark, that says it is a
// hazard and lies on driven ground.
func (r *run) drawnOnly(f *Feature, zones *solids) {
	kind, word := standingSaying(f)
	if word == "" || !r.onDriven(f, zones) {
		return
	}
	what := graveWords[kind]
	if what == "" {
		what = "a thing"
	}
	x := r.finding(r.middle(f), f)
	x.Message = fmt.Sprintf("%s says %s, and its role is %s, so the machine drives there as if it were not: give it the role hazard with its hazard_kind, and a keep-out, or another name", quote(word), what, f.Role)
	if len(f.Areas) == 0 && len(f.Lines) == 0 {
		x.Severity = Note
	}
}

// standingSaying is the word of a feature that says what stands or lies there:
// water, a road, a drop (and its kind), a tree, a solid thing, or that it is not
// to be mown; "" for none.
func standingSaying(f *Feature) (kind, word string) {
	if kind, word = graverSaying(f); kind != "" {
		return kind, word
	}
	if word = solidSaying(f); word == "" && saysLeave(f.Name) {
		word = strings.TrimSpace(f.Name)
	}
	return "", word
}

// solidSaying is the first word of a feature's name that names a tree or a solid
// thing, "" for none.
func solidSaying(f *Feature) string {
	for _, w := range letterWords(f.Name) {
		one := strings.TrimSuffix(w, "s")
		switch k := kindOfWord(w); {
		case w == "court" || w == "border" || w == "play" || w == "light": // as much of a lawn as of a thing
		case k == "tree" || k == kindSolid || slices.Contains(highWords, one) || slices.Contains(tallWords, one) || slices.Contains(wideWords, one):
			return w
		}
	}
	return ""
}

// onlyHazardous is the word of a name that says water, a road or a drop, where
// all its words are such or say nothing; "" for any other name.
func onlyHazardous(name string) string {
	found := ""
	before := ""
	for _, w := range letterWords(name) {
		switch k := kindOfWord(w); {
		case k == kindNone:
		case hazardRank[k] >= hazardRank["road"]:
			found = w
		case before == "car" && w == "park" || slices.Contains(besideGrave, w):
		default:
			return ""
		}
		before = w
	}
	return found
}

// edgeNamed tells edges that the machine may drive over and whose name says
// otherwise.
func (r *run) edgeNamed(f *Feature) {
	if !isDrivenOver(edgeKind(f)) {
		if word := onlyHazardous(f.Name); word != "" {
			r.nameNote(f, "its name says %s and nothing else, and its role is edge: a thing of that kind has the role hazard", quote(word))
		}
		return
	}
	if saysAny(f.Name, notYetWords) {
		r.nameNote(f, "its name says that it is not there yet, and its edge_kind is %s, which the machine drives over: switch it off until it is", edgeKind(f))
		return
	}
	for _, w := range letterWords(f.Name) {
		k := kindOfWord(w)
		if edgeKind(f) == schema.EdgeFlush && slices.Contains(standingWords, w) {
			k = "drop"
		}
		if slices.Contains(wallWords, w) || k == "drop" || (k == "water" || k == kindShore) && edgeKind(f) == schema.EdgeFlush || slices.Contains(shutWords, w) {
			r.nameNote(f, "its name says %s, and its edge_kind is %s, which the machine may drive over: put right which is wrong", quote(w), edgeKind(f))
			return
		}
	}
}

// onDriven reports whether a feature, less what keep-outs cover, lies on ground
// that is driven: in a zone, by a corridor, in the way into a dock.
func (r *run) onDriven(f *Feature, zones *solids) bool {
	h := r.hazardShape(f)
	if h.why != "" {
		return false
	}
	bare, ok := r.lessCovered(h, r.keepouts())
	g := bare.geometry()
	if !ok || g == nil {
		return false
	}
	gauge := plane.NewGauge(g)
	for _, i := range zones.near(h.bound) {
		if d, _, _, ok := gauge.Within(zones.gauge(i), slackM); ok && d == 0 && r.sharesGround(bare, zones.areas[i]) {
			return true
		}
	}
	by := func(way orb.LineString, half float64) bool {
		if !boundOf(way).Pad(half).Intersects(h.bound) {
			return false
		}
		d, _, _, ok := gauge.Within(plane.NewGauge(way), half)
		return ok && d < half-slackM
	}
	if f.Role == schema.RoleMark { // marks stand beside ways
		return false
	}
	for i := range r.corridors() {
		if c := &r.corridorList[i]; by(c.pts, r.halfWidth(c.f)) {
			return true
		}
	}
	for _, d := range r.docks() {
		if !math.IsNaN(d.heading) && by(orb.LineString{d.lineup, d.at}, r.halfWidth(d.f)) {
			return true
		}
	}
	return false
}

// sharesGround reports whether something of a shape lies inside an area, and not
// only along its edge.
func (r *run) sharesGround(h hazardShape, area orb.MultiPolygon) bool {
	for _, p := range h.points {
		if plane.Locate(p, area) == plane.Inside {
			return true
		}
	}
	for _, l := range h.lines {
		if len(clipInside(l, area)) > 0 {
			return true
		}
	}
	return len(h.areas) > 0 && len(r.shared(h.areas, areasBound(h.areas), area, areasBound(area))) > 0
}
