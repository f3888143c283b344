// Rule on what nobody has said what it is: other-in-zone.

package validate

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"swardline/schema"
)

var otherRules = []Rule{{
	Name: RuleOtherInZone, Severity: Warning, Limits: []string{"step_max_m"}, Over: one(schema.RoleOther), run: checkOtherInZone,
	Page: Page{
		What: "Features of the role other that lie on ground that is driven: zones, corridors with half the machine's width, and the way into a dock, where no keep-out covers them. " +
			"Whatever they are called, no rule knows what they are: a pond, a cable, a tank, a path. What says \"driven_over\": true is left out, unless it says a height or a depth of more than step_max_m, and so are texts of a drawing and lines of one height that are called contours. Those whose name says a thing that name-contradicts tells are told there, and those that say no role at all by role-missing.",
		Why:    "What has the role other is only drawn, and the machine drives there as if nothing were.",
		Source: sourcePractice,
		Fails:  "a polygon of the role other on a lawn, called Croquet court",
		Passes: "the same polygon with \"driven_over\": true",
		Mend:   "where a machine may drive over it, say \"driven_over\": true; else give it the role hazard with its hazard_kind, and a keep-out",
	},
}}

// contourWords call a line one of equal height (common practice, no source).
var contourWords = strings.Fields("contour contours contourline contourlines isoline höhenlinie höhenlinien hoehenlinie hoehenlinien höhenschichtlinie isohypse isohypsen courbe courbes curva curvas hoogtelijn hoogtelijnen isoipsa isoipse koter kote højdekurve højdekurver høydekurve høydekurver höjdkurva höjdkurvor korkeuskäyrä korkeuskäyrät")

func checkOtherInZone(r *run) {
	if !r.onGround() {
		return
	}
	var zones *solids // where there is something to hold to them
	more := 0
	for _, f := range r.Of(schema.RoleOther) {
		if !f.usable() || f.Attributes.Get(schema.PropRole).Text() != string(schema.RoleOther) {
			continue
		}
		over, _ := f.Attributes.Get(schema.PropDrivenOver).Truth()
		high, key := 0.0, ""
		if over {
			high, key = levelSaid(f)
		}
		if may := r.of(f).StepMaxM; over && high <= may+slackM || !over && (isDrawingText(f) || isContour(f)) {
			continue
		}
		if zones == nil {
			zones = r.needZones()
		}
		if _, word := standingSaying(f); word != "" && !over || !r.onDriven(f, zones, 0) {
			continue
		}
		if len(r.findings) >= mostFindings {
			more++
			continue
		}
		x := r.finding(r.middle(f), f)
		if over {
			x.Measured, x.Limit, x.Unit = high, r.of(f).StepMaxM, "m"
			x.Message = fmt.Sprintf("says driven_over, and by its %s it stands or lies %s off the ground; the limit is %s: give it the role hazard and a keep-out, or correct the figure", quote(key), metresPast(high, x.Limit), metres(x.Limit))
			continue
		}
		x.Message = "has the role other and lies where the machine drives, as if nothing were there: say \"driven_over\": true where it may, else give it the role hazard and a keep-out"
	}
	if more > 0 {
		r.findings[len(r.findings)-1].Message += fmt.Sprintf(" (and %d more features)", more)
	}
}

// isDrawingText reports whether a feature is no more than a text of a drawing.
func isDrawingText(f *Feature) bool {
	kind := f.Attributes.Get(schema.PropEntity).Text()
	return (kind == "TEXT" || kind == "MTEXT") && len(f.Areas) == 0 && len(f.Lines) == 0
}

// isContour reports whether a feature is a line of one height that its name,
// layer or code calls a contour.
func isContour(f *Feature) bool {
	if len(f.Lines) == 0 || len(f.Areas)+len(f.Points) > 0 {
		return false
	}
	said := f.Name + " " + f.Attributes.Get(schema.PropLayer).Text() + " " + f.Attributes.Get(schema.PropCode).Text()
	if !slices.ContainsFunc(letterWords(said), func(w string) bool { return slices.Contains(contourWords, w) }) {
		return false
	}
	for i := range f.Lines {
		for _, h := range f.Lines[i].Heights {
			if h != f.Lines[i].Heights[0] { // NaN too
				return false
			}
		}
	}
	return true
}

// levelSaid is how far off the ground, up or down, a feature says that it stands
// or lies, the most of what it says, and by what property.
func levelSaid(f *Feature) (most float64, key string) {
	for _, a := range f.Attributes {
		if a.Key != schema.PropHeightM && !slices.Contains(levelWords, withoutUnit(a.Key)) {
			continue
		}
		if m, ok := metresSaid(a.Key, a.Value); ok && math.Abs(m) > most {
			most, key = math.Abs(m), a.Key
		}
	}
	return most, key
}
