// Sizes and heights that no thing of the kind has, of geometry-unfit.

package validate

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"sync"

	"github.com/paulmach/orb"

	"swardline/schema"
	"swardline/validate/plane"
)

// leastAcross are words of hazard_kind by how many metres across the smallest
// such thing is, and leastRoadM how wide a road is (common practice, no source).
var leastAcross = sync.OnceValue(func() map[string]float64 {
	out := map[string]float64{}
	for least, words := range map[float64]string{
		leastRoadM: "river riverside canal fluss rivière riviere río rio rivier fiume elv elven älv joki harbour harbor lake sea reservoir forest wood woods house quarry bus wald forêt bosque bos bosco skov skog metsä haus maison casa huis steinbruch",
		leastRailM: "playground greenhouse shelter railway railroad bahn gleis spielplatz gewächshaus serre",
		0.8:        "pool piscine piscina zwembad shed schuppen trampoline trampolin container court swing swings slide seesaw carousel goal goals schaukel rutsche wippe karussell tor balançoire toboggan columpio tobogán schommel glijbaan altalena scivolo gunga rutschkana aviary voliere pergola stage sandpit sandbox sandkasten bac tent zelt jetty steg weir wehr kennel stall",
		1.2:        "carport gazebo pavilion pavillon stable stables pferdestall paddock koppel écurie",
		0.3:        "pond teich étang estanque vijver stagno excavation pit grube baugrube tower turm",
		0.2:        "hedge hecke haie seto haag siepe häck hæk hekk",
	} {
		for w := range strings.FieldsSeq(words) {
			out[w] = least
		}
	}
	return out
})

const leastRoadM, leastRailM = 2.0, 1.0

var (
	// narrowWords are words of hazard_kind for roads that may be narrower.
	narrowWords = strings.Fields("track rail rails cycleway cycletrack bikeway bike bikes bicycle bicycles cycle cycling radweg fietspad ciclabile cyklväg sykkelvei cykelsti tie")
	// modelWords make a small thing of a large one.
	modelWords = strings.Fields("bird bat bee insect toy model miniature doll litter waste garden vogel modell miniatur garten müll")
	// rowWords are things that along a line are wider than it, beside those of which
	// hazard-uncovered asks, by half of the least they are wide (common practice, no source).
	rowWords = map[string]float64{"tree": 0.25, "baum": 0.25, "arbre": 0.25, "árbol": 0.25, "arbol": 0.25, "boom": 0.25, "albero": 0.25, "träd": 0.25, "tre": 0.25, "træ": 0.25, "puu": 0.25,
		"rock": 0.25, "boulder": 0.25, "fels": 0.25, "shed": 0.4, "schuppen": 0.4, "house": 1, "haus": 1, "hut": 0.5, "tent": 0.5, "shelter": 0.5, "greenhouse": 0.5, "car": 0.7}
)

// leastBuildingM is the least extent of a building (common practice, no source).
const leastBuildingM = 0.3

// leastOf is how many metres across the smallest hazard of a kind is, 0 where that
// cannot be told. The last word is what it is; those before it say which.
func leastOf(f *Feature) float64 {
	k := kindsOf(f)
	words := letterWords(k.text)
	if slices.ContainsFunc(words, func(w string) bool {
		return slices.Contains(narrowWords, w) || slices.Contains(modelWords, w) && len(words) > 1
	}) {
		return 0
	}
	least := 0.0
	if k.gravest == "road" && !isRailway(f) {
		least = leastRoadM
	}
	for i, w := range words {
		if n := leastAcross()[w]; n > least && (i == len(words)-1 || n == leastRoadM && k.gravest == "water") {
			least = n
		}
	}
	return least
}

// tooSmall tells of a hazard or a building that is smaller across than any: another
// unit, or a point or a line for the whole.
func (r *run) tooSmall(f *Feature) {
	least := 0.0
	switch f.Role {
	case schema.RoleBuilding:
		least = leastBuildingM
	case schema.RoleHazard:
		least = leastOf(f)
	}
	if least == 0 || !f.usable() || r.Frame == FrameNone {
		return
	}
	across := math.Inf(1)
	for i := range f.Areas {
		if a := &f.Areas[i]; len(a.Ground) > 0 && len(a.Ground[0]) > 0 {
			b := boundOf(a.Ground[0])
			across = min(across, max(b.Max[0]-b.Min[0], b.Max[1]-b.Min[1]))
		}
	}
	what := "across"
	if n := f.reachDrawn(); n > 0 && len(f.Points)+len(f.Lines) > 0 {
		across = min(across, 2*n)
		if len(f.Lines) > 0 {
			what = "wide"
		}
	}
	if across >= least-1e-6 || across < leastAcrossM {
		return // or told already
	}
	if k := kindsOf(f).gravest; f.reachDrawn() > 0 && (k == "water" || k == "road") && f.leastSaid() < leastWetM {
		return // told as no size at all
	}
	x := r.finding(r.middle(f), f)
	x.Severity = Warning
	x.Measured, x.Limit, x.Unit = across, least, "m"
	x.Message = fmt.Sprintf("is %s %s, and none such is smaller than %s: was it drawn in another unit, or as a point or a line for the whole? measure it, or draw its outline", metresPast(across, least), what, metres(least))
}

// leastSaid is the smaller of what radius_m and width_m say.
func (f *Feature) leastSaid() float64 {
	least := math.Inf(1)
	for _, key := range [...]string{schema.PropRadiusM, schema.PropWidth} {
		if v, ok := f.Float(key); ok {
			least = min(least, v)
		}
	}
	return least
}

// leastTreeM is lower than any tree, leastHouseM than any building that one goes
// into, leastHutM than what is kept or shut into a small one, of less than smallHutM2
// (common practice, no source).
const (
	leastTreeM, leastHouseM, leastHutM = 1.0, 1.5, 0.5
	smallHutM2                         = 10
)

// houseWords call a wall one of a building (common practice, no source).
var houseWords = strings.Fields("house building garage barn haus hauswand hausmauer gebäude scheune maison bâtiment casa edificio huis gebouw hus bygning talo")

// tooLow tells of a tree, a building or a wall of one that is lower than any, and of
// a tree whose branches begin above its top: a slip of the point most often.
func (r *run) tooLow(f *Feature) {
	height, ok := f.Float(schema.PropHeightM)
	if !ok || !(height > 0) || !f.usable() {
		return
	}
	least := 0.0
	switch {
	case f.Role == schema.RoleHazard && isTree(f):
		least = leastTreeM
		if base, ok := f.Float(schema.PropCrownBaseM); ok && base >= height-1e-9 && height >= leastTreeM {
			x := r.finding(r.middle(f), f)
			x.Severity = Warning
			x.Measured, x.Limit, x.Unit = base, height, "m"
			x.Message = fmt.Sprintf("says that its lowest branches are %s above the ground, and that it is %s high: is the point of one in its place? measure them", metres(base), metres(height))
			return
		}
	case f.Role == schema.RoleBuilding:
		least = leastHutM
		if s := r.solidOf(f); height < leastHouseM && (s.why != "" || plane.Area(s.areas) >= smallHutM2) {
			least = leastHouseM
		}
	case f.Role == schema.RoleEdge && height < leastHouseM:
		if slices.ContainsFunc(letterWords(f.Name), func(w string) bool { return slices.Contains(houseWords, w) }) && edgeKind(f) == schema.EdgeWall {
			least = leastHouseM
		}
	}
	if height >= least-1e-9 {
		return
	}
	x := r.finding(r.middle(f), f)
	x.Severity = Warning
	x.Measured, x.Limit, x.Unit = height, least, "m"
	x.Message = fmt.Sprintf("its height_m is %s m, and none such is lower than %s: is the point in its place? measure it, it hides the sky", trim(height, 3), metres(least))
}

// widthless tells of lines of things that are wider than a line, without a width,
// where the narrowest would come nearer to driven ground than its margin.
func (r *run) widthless() {
	for _, f := range r.usableOf(schema.RoleHazard) {
		if len(f.Lines) == 0 || f.reachDrawn() > 0 || saysBorder(f) {
			continue
		}
		wide := 0.0
		words := letterWords(kindsOf(f).text)
		for _, w := range words {
			wide = max(wide, rowWords[w], rowWords[strings.TrimSuffix(w, "s")])
		}
		if wide == 0 || len(words) > 1 && slices.ContainsFunc(words, func(w string) bool { return slices.Contains(modelWords, w) }) {
			continue
		}
		margin := r.hazardMargin(f)
		for i := range f.Lines {
			l := f.Lines[i].Ground
			if len(l) < 2 || distance(l[0], l[len(l)-1]) <= slackM {
				continue
			}
			d, of := r.drivenWithin(l, margin+wide, r.zones(), r.corridors())
			if d < margin-slackM || d >= margin+wide-slackM { // what is nearer has a rule of its own
				continue
			}
			x := r.finding(r.middle(f), f, of)
			x.Severity = Warning
			x.Measured, x.Limit, x.Unit = d, margin+wide, "m"
			x.Message = fmt.Sprintf("is drawn as a line without a width, %s from %s, and none such is narrower than %s: what stands on the line is then %s away, and it needs %s; give it width_m, or draw its outline", metresPast(d, margin+wide), of.describe(), metres(2*wide), metres(math.Max(0, d-wide)), metres(margin))
			break
		}
	}
}

// Water stands level: where its heights are aboveM or more above driven ground no
// farther than bankM from it, that ground is under water, or one of them is wrong
// (common practice, no source).
const aboveM, bankM = 0.2, 3.0

// raisedWords are waters that stand above the ground in something.
var raisedWords = strings.Fields("pool basin fountain hottub whirlpool tub trough tank becken brunnen schwimmbecken piscine bassin fontaine piscina fuente vasca fontana zwembad bak swimmingpool")

// watersAbove tells of natural water that is drawn higher than driven ground beside it.
func (r *run) watersAbove() {
	lowest := math.Inf(1)
	for _, role := range [...]schema.Role{schema.RoleZone, schema.RoleCorridor} {
		for _, f := range r.usableOf(role) {
			if f.hasHeights {
				lowest = min(lowest, f.raisedLow)
			}
		}
	}
	for _, f := range r.usableOf(schema.RoleHazard) {
		if !f.hasHeights || !(f.raisedLow >= lowest+aboveM-1e-9) {
			continue
		}
		k := kindsOf(f)
		if k.gravest != "water" || slices.ContainsFunc(letterWords(k.text), func(w string) bool { return slices.Contains(raisedWords, w) }) {
			continue
		}
		if _, ok := f.Float(schema.PropHeightM); ok { // it has a rim
			continue
		}
		shape := r.hazardShape(f)
		if shape.why != "" || shape.geometry() == nil {
			continue
		}
		d, of, q := r.drivenNear(shape.geometry(), bankM)
		if of == nil || !of.hasHeights {
			continue
		}
		ground := of.levelAt(q)
		if above := f.raisedLow - ground; above >= aboveM-1e-9 {
			x := r.finding(r.middle(f), f, of)
			x.Severity = Warning
			x.Measured, x.Limit, x.Unit = above, aboveM, "m"
			x.Message = fmt.Sprintf("is water whose heights lie %s above those of %s, %s from it: that ground is under water, or one of the heights is wrong; measure both, or say how high its rim stands in height_m", metresPast(above, aboveM), of.describe(), metres(d))
		}
	}
}

// levelAt is how high driven ground is at a place: on the plane that its heights
// lie on, else the highest of them.
func (f *Feature) levelAt(q orb.Point) float64 {
	var pts []raised
	f.raised(func(p raised) { pts = append(pts, p) })
	if t, ok := planeThrough(pts); ok && t.off <= aboveM/2 {
		return t.height(q)
	}
	return f.raisedHigh
}

// drivenNear is what is driven nearest to a geometry within reach, and where.
func (r *run) drivenNear(g orb.Geometry, reach float64) (least float64, of *Feature, at orb.Point) {
	least = math.Inf(1)
	gauge, box := plane.NewGauge(g), g.Bound().Pad(reach)
	zones, corridors := r.zones(), r.corridors()
	for _, z := range zones.near(box) {
		if n := r.netOf(z); len(n.areas) > 0 && n.ok {
			if d, p, _, ok := n.within(gauge, reach); ok && d < least {
				least, of, at = d, zones.features[z], p
			}
		}
	}
	for k := range corridors {
		if c := &corridors[k]; boundOf(c.pts).Intersects(box) {
			if d, p, _, ok := gauge.Within(plane.NewGauge(c.pts), reach); ok && d < least {
				least, of, at = d, c.f, p
			}
		}
	}
	return least, of, at
}
