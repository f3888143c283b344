// Pieces of roads, railways and streams that lie alone in the midst of a lawn: what of
// hazard-uncovered is about where they come from.

package validate

import (
	"slices"
	"strings"

	"github.com/paulmach/orb"

	"swardline/schema"
	"swardline/validate/plane"
)

// throughWords are words for what comes from somewhere and goes somewhere, and
// ornamentWords for what begins and ends where it is drawn (common practice, no source).
var (
	throughWords = strings.Fields("stream brook beck burn creek river canal bach fluss kanal ruisseau rivière canal arroyo río beek rivier kanaal ruscello torrente fiume canale bekk bäck bæk elv älv å puro joki " +
		"road street highway motorway lane strasse landstrasse autobahn rue chaussée autoroute calle carretera autopista straat snelweg strada autostrada vei vej väg gate gata gade katu tie " +
		"railway railroad rail tram tramway gleis bahn ferrocarril vía spoor spoorlijn ferrovia jernbane järnväg rautatie")
	ornamentWords = strings.Fields("ornamental rill artificial model miniature toy spring source fountain waterfall quelle zierbach bachlauf modellbahn parkeisenbahn gartenbahn source miniatura fuente sorgente kilde källa lähde")
)

// piecesAlone records roads, railways and streams that lie from end to end within the
// outline of a lawn and meet nothing that leads them on: the rest of them lies under
// ground that is mown.
func (r *run) piecesAlone(hazards []*Feature, zones *solids) {
	for _, f := range hazards {
		if len(f.Areas)+len(f.Lines) == 0 || !isThrough(f) || !f.usable() || r.leadsOn(f) {
			continue
		}
		for _, i := range zones.near(f.bound) {
			if r.liesWithin(f, zones.areas[i]) && !nearRim(f, zones.areas[i]) {
				r.cannot("%s lies alone in the midst of %s, and comes from nowhere: draw it as far as it goes, what leads it on (a culvert, a bridge, as other), or say by its name that it ends there", f.describe(), zones.features[i].describe())
				break
			}
		}
	}
}

// nearRim reports whether a hazard comes within endFree of the outline of a zone: from
// there it comes in.
func nearRim(f *Feature, zone orb.MultiPolygon) bool {
	rims := make(orb.MultiLineString, 0, len(zone))
	for _, p := range zone {
		rims = append(rims, orb.LineString(p[0]))
	}
	_, _, _, near := plane.NewGauge(orb.MultiLineString(f.lines())).Within(plane.NewGauge(rims), endFree)
	return near
}

// isThrough reports whether a hazard is a road, a railway or a stream by its kind or
// name, and none that ends where it is drawn.
func isThrough(f *Feature) bool {
	text := f.Name + " " + f.Attributes.Get(schema.PropHazardKind).Text()
	says := func(words []string) bool {
		return slices.ContainsFunc(letterWords(text), func(w string) bool { return slices.Contains(words, w) })
	}
	return says(throughWords) && !says(ornamentWords) && !saysAny(text, deadEndWords) && !saysAny(text, culvertWords)
}

// leadsOn reports whether something at a hazard may lead it on, or be where it ends.
func (r *run) leadsOn(f *Feature) bool {
	h := r.hazardShape(f)
	if h.why != "" {
		return true // told as such
	}
	return slices.ContainsFunc(r.Features, func(g *Feature) bool {
		if g == f || !g.usable() || !g.bound.Pad(endFree).Intersects(f.bound) {
			return false
		}
		switch g.Role {
		case schema.RoleHazard:
			if !kindsOf(g).grave() {
				return false
			}
		case schema.RoleBuilding, schema.RoleOther:
		default:
			return false
		}
		s := r.hazardShape(g)
		if s.why != "" {
			return true
		}
		a, b := h.geometry(), s.geometry()
		if a == nil || b == nil {
			return false
		}
		_, _, _, ok := plane.NewGauge(a).Within(plane.NewGauge(b), endFree)
		return ok
	})
}
