// Rule on names that say what role and kind do not: hazard-only-named.

package validate

import (
	"fmt"
	"slices"
	"strings"
	"unicode"

	"github.com/paulmach/orb"

	"swardline/schema"
	"swardline/validate/plane"
)

var namedRules = []Rule{{
	Name: RuleHazardOnlyNamed, Severity: Warning, run: checkHazardOnlyNamed, Over: one(schema.RoleOther, schema.RoleMark, schema.RoleHazard, schema.RoleEdge),
	Page: Page{
		What: "Features of the role other, and marks, that touch mown ground and whose name, or a property of another name, says water, a road or a drop, in the words of hazard_kind; a note where such a thing is only a point, as texts of drawings are. " +
			"And, as a note, a hazard whose name says something graver than its hazard_kind, and a flush edge, ramp or gate whose name says wall, drop, steps or locked.",
		Why:    "What has the role other is only drawn: a pond that came in as a line of the role other is mown like the lawn about it.",
		Source: sourcePractice,
		Fails:  "a polygon called \"Pond\" with the role other on a lawn",
		Passes: "the same polygon with the role hazard, hazard_kind pond, under a keep-out",
		Mend:   "give it the role hazard and its hazard_kind, and a keep-out; or another name where it is none",
	},
}}

// shutWords are words for a gate that lets nothing through.
var shutWords = strings.Fields("locked closed shut verschlossen geschlossen gesperrt abgeschlossen zu fermé verrouillé cerrado gesloten dicht chiuso låst lukket stängd stengt lukittu suljettu")

// graverName is the gravest kind of hazard that the words of a text name, and
// the word, "" for none: water, road or drop.
func graverName(text string) (kind, word string) {
	for _, w := range strings.FieldsFunc(schema.FoldName(text), func(c rune) bool { return !unicode.IsLetter(c) }) {
		k := kindOfWord(w)
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
		if a.Value.Kind() != schema.KindString || a.Key == schema.PropRole || isPlain(a.Key) && !slices.Contains(roleKeys, foldKey(a.Key)) {
			continue
		}
		if k, w := graverName(a.Value.Text()); hazardRank[k] > hazardRank[kind] {
			kind, word = k, w
		}
	}
	return kind, word
}

func checkHazardOnlyNamed(r *run) {
	if !r.onGround() {
		return
	}
	zones := r.needZones()
	for _, f := range r.Features {
		if !f.usable() {
			continue
		}
		switch f.Role {
		case schema.RoleOther, schema.RoleMark:
			kind, word := graverSaying(f)
			if kind == "" || !r.onMown(f, zones) {
				continue
			}
			x := r.finding(r.middle(f), f)
			x.Message = fmt.Sprintf("%s says %s, and its role is %s, so it is mown like the ground about it: give it the role hazard with its hazard_kind, and a keep-out, or another name", quote(word), graveWords[kind], f.Role)
			if len(f.Areas) == 0 && len(f.Lines) == 0 {
				x.Severity = Note
			}
		case schema.RoleHazard:
			kinds := kindsOf(f)
			kind, word := graverName(f.Name)
			if kind == "" || kinds.open || hazardRank[kind] <= hazardRank[kinds.gravest] {
				continue
			}
			x := r.finding(r.middle(f), f)
			x.Severity = Note
			x.Message = fmt.Sprintf("its name says %s (%s), and its hazard_kind %s: the kind holds; put right which is wrong", quote(word), graveWords[kind], quote(kinds.text))
		case schema.RoleEdge:
			r.edgeNamed(f)
		}
	}
}

// edgeNamed tells edges that the machine may drive over and whose name says
// otherwise.
func (r *run) edgeNamed(f *Feature) {
	if !isDrivenOver(edgeKind(f)) {
		return
	}
	for _, w := range strings.FieldsFunc(schema.FoldName(f.Name), func(c rune) bool { return !unicode.IsLetter(c) }) {
		if slices.Contains(wallWords, w) || kindOfWord(w) == "drop" || slices.Contains(shutWords, w) {
			x := r.finding(r.middle(f), f)
			x.Severity = Note
			x.Message = fmt.Sprintf("its name says %s, and its edge_kind is %s, which the machine may drive over: put right which is wrong", quote(w), edgeKind(f))
			return
		}
	}
}

// onMown reports whether a feature, less what keep-outs cover, touches a zone.
func (r *run) onMown(f *Feature, zones *solids) bool {
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
