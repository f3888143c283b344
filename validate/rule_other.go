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
	Name: RuleOtherInZone, Severity: Warning, Limits: []string{"step_max_m", "hard_edge_strip_m", "hazard_margin_water_m", "hazard_margin_road_m", "hazard_margin_drop_m"}, Over: one(schema.RoleOther, schema.RoleMark, schema.RoleEdge, schema.RoleBuilding, schema.RoleHazard), run: checkOtherInZone,
	Page: Page{
		What: "Features of the role other that lie on ground that is driven: zones, corridors with half the machine's width, and the way into a dock, where no keep-out covers them. " +
			"Whatever they are called, no rule knows what they are: a pond, a cable, a tank, a path. " +
			"What says \"driven_over\": true is left out, unless it says a height or a depth of more than step_max_m (on mown ground of more than its cut_mm, or the plan's, or 0.03 m where neither says it), or has such heights above the ground by its altitude_mode (of a cable, a wire or a pipe, by its name, layer or kind, a depth of 0.05 m or more is sound, and none is unchecked), and so are texts of a drawing and lines of one height that are called contours. " +
			"A grate or grid that says driven_over, and not that it lies flush, by its name, note or height, is a note. " +
			"Those whose name says a thing that name-contradicts tells are told there, and those that say no role at all by role-missing. " +
			"A millimetre is rounding.",
		Parts: []Part{
			{"Beside driven ground, buried, and drives over it", "" +
				sayBuried +
				"And beside mown ground: those whose name, or a property that names a kind, says a wall, hedge, fence, house, post or another thing that stands, nearer to it than hard_edge_strip_m (beds, terraces, lids, stones and woods a lawn may lie against); as a note, those of which nobody can tell what they are, nearer than the greatest hazard margin to mown ground, to what the machine covers in a corridor or on the way into a dock, or to the disc before it: their name has a word that is in no list for what does no harm there (paths, paving, beds, lawns, woods, cables, lines of property and the like, in ten languages), or only numbers, letters and words of place, no property that names a kind has one of those words and, where the name says nothing, no layer either; of these, lines of 10 m and more whose name is the number of a road alone (B 27, D917, A 4), up to 2.75 m farther off, but where others are numbered on with the same letters; and, as a note, marks whose name says water, a road or a drop, nearer than the margin of that kind to mown ground or to what the machine covers in a corridor, or a kerb, a tree or a thing that stands, nearer than the strip. " +
				"Marks called after a peg or post that they are, or that a nail or bolt is fixed in something, are none. " +
				"And, as a note, a drive: what says \"driven_over\": true, or the ground between two flush edges at most 6 m apart, is 2.5 m wide or more all along, and leads over driven ground from a road, or a gate as wide, to a building or another road or gate more than 3 m from it, at most 1.5 m before either; two such areas no more than 1 m wide and 0.3 to 1.8 m apart, over mown ground, that both lead from one of these to another, as tracks of wheels do."},
			{"Ways of cars that nobody drew", "" +
				"As notes. Cars come in by a gate of 3 m or more, or of 2.3 m or more where its name says cars or a road, or a road lies within 6 m of it; by a ramp of 2.3 m or more within 3 m of a road, a dropped kerb, where no corridor goes through it; and by what is called a drive, or is driven over and 2.5 m wide or more, from one of these, a road or the boundary. " +
				"They go to garages and carports of any role, barns, halls and the like, and car parks. " +
				"Told is such a goal to which no drive is drawn, where the straight way to it from every place that cars come in by (up to 150 m, with no building, wall, fence, drop or water in between) goes over 1 m or more of mown ground, or comes nearer than half a car (1 m) and half the machine to a corridor or a dock, or than 1.5 m to a base or an outlet that is not at a building; " +
				"so is a garage with roads alone about it, and the nearest building of 12 m2 or more where a gate for cars, called so or on a road, has neither drive nor goal. " +
				"Two gates for cars that face one another (the line between their middles within 30 degrees of straight on for both, no drive at either) are told where that line meets the same. " +
				"And before and behind a gate for cars, as wide as it is and 4 m deep, a dock, base, outlet or a corridor that does not go through it; and mown ground where its name says cars or a road lies by it, and neither a drive nor a corridor leads through it. A narrower gate needs its own width, at least 0.8 m, for its leaf: docks, bases and outlets nearer are told."},
			{"What runs through, and numbers of roads", sayThrough + sayNumbered},
		},
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
	for _, f := range r.usableOf(schema.RoleMark) {
		if len(r.findings) < mostFindings && f.Name != "" {
			r.markBeside(f, &zones)
		}
	}
	r.drives()
	r.carsCross()
	r.runsThrough()
	r.parkingRows()
	r.roadsNumbered(schema.RoleEdge)
	if len(r.Of(schema.RoleOther)) == 0 && zones == nil && len(r.findings) == 0 {
		r.notNeeded("the plan has no active other, and no mark that is called after what a machine keeps off")
		return
	}
	for _, f := range r.Of(schema.RoleOther) {
		if !f.usable() || f.Attributes.Get(schema.PropRole).Text() != string(schema.RoleOther) {
			continue
		}
		over, _ := f.Attributes.Get(schema.PropDrivenOver).Truth()
		high, key := 0.0, ""
		if over {
			high, key = levelSaid(f)
		}
		conduit := ""
		if over || isNull(f.Attributes.Get(schema.PropDrivenOver)) {
			if conduit = conduitSaid(f); conduit != "" && isDeep(f) {
				if f.hasHeights {
					if zones == nil {
						zones = r.needZones()
					}
					r.buriedAbove(f, zones)
				}
				continue // it lies under the ground
			}
		}
		limit := r.of(f).StepMaxM
		if over && conduit == "" && high > 0 && !deepKey(f, key) {
			if zones == nil {
				zones = r.needZones()
			}
			limit = min(limit, r.bladesOver(f, zones))
		}
		if over && high <= limit+slackM && conduit == "" {
			r.grateOver(f, &zones)
			continue
		}
		if !over && (isDrawingText(f) || isContour(f)) {
			continue
		}
		if zones == nil {
			zones = r.needZones()
		}
		if _, word := standingSaying(f); word != "" && !over || !r.onDriven(f, zones, 0) {
			if !over && len(r.findings) < mostFindings {
				r.otherBeside(f, zones)
			}
			continue
		}
		if len(r.findings) >= mostFindings {
			more++
			continue
		}
		if over && high <= limit+slackM {
			r.cannot("%s says driven_over and is called %s, and says nothing of how deep it lies: what lies on the ground, or just under it, is cut; say its depth_m, of %s or more, or give it the role hazard and a keep-out", f.describe(), quote(conduit), metres(leastDeepM))
			continue
		}
		x := r.finding(r.middle(f), f)
		if over {
			x.Measured, x.Limit, x.Unit = high, limit, "m"
			x.Message = fmt.Sprintf("says driven_over, and by its %s it stands or lies %s off the ground; the limit is %s: give it the role hazard and a keep-out, or correct the figure", quote(key), metresPast(high, x.Limit), metres(x.Limit))
			continue
		}
		x.Message = "has the role other and lies where the machine drives, as if nothing were there: say \"driven_over\": true where it may, else give it the role hazard and a keep-out"
	}
	r.roadsNumbered(schema.RoleOther)
	if more > 0 {
		r.findings[len(r.findings)-1].Message += fmt.Sprintf(" (and %d more features)", more)
	}
}

// grateWords are words for what has gaps between its bars, and fillWords such as fill
// them or close them (common practice, no source).
var (
	grateWords = strings.Fields("grate grates grating gratings grid grids grille grilles grill rost gitter gitterrost gitterroste rejilla rejillas rooster roosters griglia griglie caillebotis grelha rist riste galler ritilä")
	fillWords  = strings.Fields("grass grassed lawn turf gravel paver pavers paving plastic rubber mesh rasen rasengitter gras gazon césped prato filled covered")
)

// grateOver tells, as a note, of a grate that is driven over and mown, and does not say
// that it lies flush.
func (r *run) grateOver(f *Feature, list **solids) {
	words := letterWords(f.Name)
	i := slices.IndexFunc(words, func(w string) bool { return hasWord(grateWords, w) || endsIn([]string{"gitter", "rost"}, w) })
	if i < 0 || len(f.Areas) == 0 || slices.ContainsFunc(words, func(w string) bool { return slices.Contains(fillWords, w) }) || f.saysFlush() || len(r.findings) >= mostFindings {
		return
	}
	if *list == nil {
		*list = r.needZones()
	}
	if !r.onDriven(f, *list, 0) {
		return
	}
	x := r.finding(r.middle(f), f)
	x.Severity = Note
	x.Message = fmt.Sprintf("says driven_over and is called %s, and says nothing of how high it stands or how wide its gaps are: wheels, feet and blades catch in one; say that it lies flush in its name or note, or give it the role hazard and a keep-out", quote(words[i]))
}

// bladesOver is how far, in metres, a thing may stand off mown ground that it lies
// on: as far as the lowest cut of its zones, and flushM where one says none;
// infinite off mown ground, where no blade turns.
func (r *run) bladesOver(f *Feature, zones *solids) float64 {
	h := r.hazardShape(f)
	least := math.Inf(1)
	near := zones.near(h.bound)
	if h.why != "" || len(near) == 0 {
		return least
	}
	bare, gauge := r.bareOf(h)
	for _, i := range near {
		if gauge != nil && r.onLawn(bare, gauge, zones, i) {
			least = min(least, r.bladesLow(zones.features[i]))
		}
	}
	return least
}

// leastDeepM is how deep, in metres, a cable or a pipe lies under ground that is
// driven over and mown at the least (common practice, no source).
const leastDeepM = 0.05

// conduitWords are words for what runs through a lawn, on the ground or under it,
// and deepWords those for how deep (common practice, no source).
var (
	conduitWords = strings.Fields("cable wire pipe pipeline pipework hose conduit duct cabling wiring leads drain drainpipe mains power kabel erdkabel leitung rohr rohre rohrleitung schlauch draht câble fil tuyau conduite gaine tubo tubos tubería manguera cavo filo tubazione leiding buis slang draad ledning rør slange kaapeli johto putki letku rör")
	deepWords    = strings.Fields("depth tiefe profondeur profundidad profondità diepte dybde djup syvyys cover überdeckung")
)

// conduitSaid is the word by which a feature's name, layer or kind says that it is
// a cable or a pipe, "" for none.
func conduitSaid(f *Feature) string {
	if len(f.Lines)+len(f.Areas) == 0 {
		return "" // a tap, a lid
	}
	for _, a := range f.Attributes {
		if a.Key == schema.PropRole || a.Value.Kind() != schema.KindString || !isPlain(a.Key) && !kindKeys.get(a.Key) {
			continue
		}
		if w := conduitWord(a.Value.Text()); w != "" {
			return w
		}
	}
	return conduitWord(f.Name)
}

func conduitWord(text string) string {
	for _, w := range letterWords(text) {
		if hasWord(conduitWords, w) || endsIn(conduitWords, w) {
			return w
		}
	}
	return ""
}

// isDeep reports whether a feature says that it lies leastDeepM or more under the
// ground.
func isDeep(f *Feature) bool {
	low, key := levelSaid(f)
	return low >= leastDeepM-slackM && deepKey(f, key)
}

// buried reports whether a feature is a cable or a pipe that does not say that it may
// not be driven over, and says that it is deep, whatever runs in it.
func buried(f *Feature) bool {
	v := f.Attributes.Get(schema.PropDrivenOver)
	over, _ := v.Truth()
	return (over || isNull(v)) && f.Role == schema.RoleOther && conduitSaid(f) != "" && isDeep(f)
}

// deepKey reports whether a property says how far below the ground a feature is,
// by its name or by its sign.
func deepKey(f *Feature, key string) bool {
	if slices.Contains(deepWords, withoutUnit(key)) {
		return true
	}
	m, _ := metresSaid(key, f.Attributes.Get(key))
	return m < 0
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
	// Heights that count from the ground are how far off it a thing is.
	if f.countsFromGround() {
		if low, high := f.heightRange(); high >= low && max(high, -low) > most {
			most, key = max(high, -low), schema.PropAltitudeMode
		}
	}
	return most, key
}

// countsFromGround reports whether heights of a feature, or of a part of it, count from
// the ground.
func (f *Feature) countsFromGround() bool {
	mode := f.Attributes.Get(schema.PropAltitudeMode)
	return countsFromGround(mode) || slices.ContainsFunc(mode.Items(), countsFromGround)
}

// countsFromGround reports whether an altitude mode of KML counts heights from
// the ground, or from the bottom of the water (OGC 07-147r2, 9.20).
func countsFromGround(mode schema.Value) bool { return strings.HasPrefix(mode.Text(), "relative") }
