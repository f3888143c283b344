// Solid things that are wide, drawn as a point without a size, of the rule
// hazard-uncovered.

package validate

import (
	"slices"
	"strings"

	"swardline/schema"
	"swardline/validate/plane"
)

// sizelessReachM is how far from its point a wide thing of no radius_m may
// reach (common practice, no source).
const sizelessReachM = 10.0

// wideWords are words of hazard_kind for things that are metres wide, beside
// those that hide sky.
var wideWords = strings.Fields("playground play trampoline climbing carousel sandpit sandbox bed flowerbed border rockery equipment monument memorial stage terrace patio court table_tennis " +
	"spielplatz spielgerät spielgeräte trampolin sandkasten beet blumenbeet denkmal jeux massif parterre columpios parque_infantil speelplaats speeltuin zandbak bloembed aiuola lekplats lekeplass legeplads sandlåda sandkasse rabatt leikkipaikka hiekkalaatikko kukkapenkki")

// isWide reports whether a hazard's kind names a solid thing that is metres
// wide.
func isWide(f *Feature) bool {
	for _, w := range wordsOf(f.Attributes.Get(schema.PropHazardKind).Text()) {
		for _, list := range [...][]string{wideWords, highWords, tallWords} {
			if slices.Contains(list, w) || slices.Contains(list, strings.TrimSuffix(w, "s")) {
				return w != "mast"
			}
		}
	}
	return false
}

// sizelessThings records wide things drawn as a point without radius_m, under
// no keep-out, with driven ground within sizelessReachM.
func (r *run) sizelessThings(hazards []*Feature, zones *solids, corridors []corridorLine) {
	for _, f := range hazards {
		if radius, ok := f.Float(schema.PropRadiusM); ok && radius > 0 || len(f.Points) == 0 || hazardKind(f) != "" || !isWide(f) {
			continue
		}
		near := false
		for i := range f.Points {
			at := f.Points[i].Ground
			box := at.Bound().Pad(sizelessReachM)
			if slices.ContainsFunc(r.keepouts().near(box), func(k int) bool {
				d, _, _, ok := plane.NewGauge(at).Within(r.keepouts().gauge(k), slackM)
				return ok && d == 0
			}) {
				continue
			}
			gauge := plane.NewGauge(at)
			for _, z := range zones.near(box) {
				_, _, _, ok := gauge.Within(zones.gauge(z), sizelessReachM)
				near = near || ok
			}
			for k := range corridors {
				_, _, _, ok := gauge.Within(plane.NewGauge(corridors[k].pts), sizelessReachM+r.halfWidth(corridors[k].f))
				near = near || ok
			}
		}
		if near {
			r.cannot("%s is a thing of some metres drawn as a point, which has no size: give it radius_m, or draw its outline", f.describe())
		}
	}
}
