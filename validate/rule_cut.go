// How high lawns are cut, and what stands up into the blades by its own word: parts of
// other-in-zone and edge-setback.

package validate

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"swardline/schema"
	"swardline/validate/plane"
)

// sayBlades is what the page of edge-setback says of this.
const sayBlades = "A flush edge within hard_edge_strip_m of mown ground that says a height (height_m, rise_m, upstand and the like) of more than the cut_mm of that lawn, or of the plan where the lawn says none, is a warning: blades meet it. "

// cutWords are names of the height of the cut, folded and without their unit, beside
// cut_mm, and read where a unit is said (common practice, no source).
var cutWords = setOf("cut cutheight cuttingheight heightofcut mowheight mowingheight schnitthöhe schnitthoehe hauteurdecoupe hauteurdetonte alturadecorte altezzaditaglio maaihoogte klipphöjd klippehøjde klippehøyde leikkuukorkeus")

// cutOf is how high in metres a zone is cut by its own word, else by the plan's; ok is
// false where neither says.
func (r *run) cutOf(zone *Feature) (m float64, ok bool) {
	for _, of := range [...]schema.Attributes{zone.Attributes, r.Plan.Attributes} {
		if mm, said := of.Get(schema.PropCutMM).Float(); said && mm > 0 {
			return mm / 1000, true
		}
		for i := range of {
			a := &of[i]
			if cutWords[withoutUnit(a.Key)] && saysUnit(a) {
				if m, ok := metresSaid(a.Key, a.Value); ok && m > 0 {
					return m, true
				}
			}
		}
	}
	return 0, false
}

// saysUnit reports whether the name or the text of a property has millimetres or
// centimetres in it.
func saysUnit(a *schema.Attribute) bool {
	for _, u := range [...]string{"mm", "cm"} {
		for _, by := range [...]string{"_", "-", " "} {
			if strings.HasSuffix(strings.ToLower(a.Key), by+u) {
				return true
			}
		}
		if a.Value.Kind() == schema.KindString && strings.HasSuffix(strings.ToLower(strings.TrimSpace(a.Value.Text())), u) {
			return true
		}
	}
	return false
}

// bladesLow is how far in metres a thing may stand off mown ground of a zone: as far as
// it is cut, flushM where that is not said.
func (r *run) bladesLow(zone *Feature) float64 {
	if m, ok := r.cutOf(zone); ok {
		return m
	}
	return flushM
}

// standsSaid is how far in metres a feature says that it stands up, 0 for none, and the
// property that says so.
func standsSaid(f *Feature) (most float64, key string) {
	for _, a := range f.Attributes {
		if !slices.Contains(levelWords, withoutUnit(a.Key)) || slices.Contains(deepWords, withoutUnit(a.Key)) {
			continue
		}
		if m, ok := metresSaid(a.Key, a.Value); ok && m > most {
			most, key = m, a.Key
		}
	}
	return most, key
}

// flushAtBlades tells of a flush edge that stands up, by its own word, into the blades
// of a lawn that is cut lower than flushM; higher than that it is no flush edge.
func (r *run) flushAtBlades(f *Feature, zones *solids) {
	high, key := standsSaid(f)
	if high == 0 || high > flushM+1e-9 {
		return
	}
	reach := r.of(f).HardEdgeStripM
	var gauge *plane.Gauge
	for _, i := range zones.near(f.bound.Pad(reach)) {
		z := zones.features[i]
		cut, ok := r.cutOf(z)
		n := r.netOf(i)
		if !ok || high <= cut+1e-9 || !n.ok || len(n.areas) == 0 {
			continue
		}
		if gauge == nil {
			s := hazardShape{lines: f.lines()}
			gauge = plane.NewGauge(s.geometry())
		}
		d, at, _, near := n.within(gauge, reach)
		if !near || d >= reach-slackM {
			continue
		}
		x := r.finding(r.Place(at), z, f)
		x.Measured, x.Limit, x.Unit = high, cut, "m"
		x.Message = fmt.Sprintf("by its %s %s stands %s mm up, %s from mown ground, and this lawn is cut at %s mm: blades meet it; cut higher, leave a strip of %s, or set the edge lower", quote(key), f.describe(), trim(1000*high, 1), metres(math.Max(0, d)), trim(1000*cut, 1), metres(reach))
		return
	}
}
