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
		leastRoadM:      "river riverside canal fluss rivière riviere río rio rivier fiume elv elven älv joki harbour harbor lake sea reservoir forest wood woods house quarry bus wald forêt bosque bos bosco skov skog metsä haus maison casa huis steinbruch",
		leastHutAcrossM: "playground greenhouse shelter spielplatz gewächshaus serre hut hütte cabane cabaña capanna hytte koja mökki caravan wohnwagen caravane caravana roulotte husvagn campingvogn asuntovaunu kiosk kiosque quiosco chiosco kioski bandstand musikpavillon bunker",
		0.8:             "pool piscine piscina zwembad shed schuppen trampoline trampolin container court swing swings slide seesaw carousel goal goals schaukel rutsche wippe karussell tor balançoire toboggan columpio tobogán schommel glijbaan altalena scivolo gunga rutschkana aviary voliere pergola stage sandpit sandbox sandkasten bac tent zelt jetty steg weir wehr kennel stall",
		1.2:             "carport gazebo pavilion pavillon stable stables pferdestall paddock koppel écurie",
		0.3:             "pond teich étang estanque vijver stagno excavation pit grube baugrube tower turm",
		0.2:             "hedge hecke haie seto haag siepe häck hæk hekk",
	} {
		for w := range strings.FieldsSeq(words) {
			out[w] = least
		}
	}
	return out
})

// How many metres across the smallest road, hut, railway (its gauge of 1.435 m and
// the clearance that what runs on it needs), highway, motorway or runway, and car
// park is, and a rail by itself the widest (common practice, no source).
const (
	leastRoadM, leastHutAcrossM = 2.0, 1.0
	leastRailM, mostRailM       = 2.5, 0.5
	leastHighwayM, leastFastM   = 3.0, 5.0
	leastCarParkM               = 2.5
)

// stripLeast are words by how many metres the narrowest such strip is wide, words of
// two written as one.
var stripLeast = sync.OnceValue(func() map[string]float64 {
	out := map[string]float64{}
	for least, words := range map[float64]string{
		leastHighwayM: "highway",
		leastFastM:    "motorway freeway expressway autobahn autoroute autopista autostrada autosnelweg motorväg motorvej motorvei moottoritie runway taxiway airstrip landebahn startbahn rollbahn startbaan landingsbaan",
		leastCarParkM: "carpark parkinglot parkplatz aparcamiento parcheggio parkeerplaats parkeringsplats parkeringsplads parkeringsplass pysäköintialue",
	} {
		for w := range strings.FieldsSeq(words) {
			out[w] = least
		}
	}
	return out
})

var (
	// smallRailWords are beside one for a rail where it is narrower, or none to run on.
	smallRailWords = strings.Fields("narrow gauge field park guard crash hand gate crane curtain schmalspur feld park kran lore")
	// railTailWords may stand behind one for a railway.
	railTailWords = strings.Fields("track tracks line lines siding")
)

// stripOf is how many metres wide the narrowest strip of a hazard's kind is: a
// railway, a motorway, a runway, a car park; 0 where that cannot be told.
func stripOf(words []string, across float64) float64 {
	has := func(of []string) bool {
		return slices.ContainsFunc(words, func(w string) bool { return slices.Contains(of, w) })
	}
	if len(words) == 0 || has(modelWords) {
		return 0
	}
	last := len(words) - 1
	least := stripLeast()[words[last]]
	if last > 0 {
		least = max(least, stripLeast()[words[last-1]+words[last]])
	}
	for last > 0 && slices.Contains(railTailWords, words[last]) {
		last--
	}
	w := words[last]
	if rail := strings.HasSuffix(w, "gleis") || strings.HasSuffix(w, "gleise"); !rail && !slices.Contains(railWords, w) || slices.Contains(singleRails, w) && across <= mostRailM+1e-6 || has(smallRailWords) {
		return least
	}
	return max(least, leastRailM)
}

// singleRails are words that a rail by itself is called by too.
var singleRails = strings.Fields("rail rails schiene schienen")

var (
	// narrowWords are words of hazard_kind for roads that may be narrower.
	narrowWords = strings.Fields("track rail rails cycleway cycletrack bikeway bike bikes bicycle bicycles cycle cycling radweg fietspad ciclabile cyklväg sykkelvei cykelsti tie")
	// modelWords make a small thing of a large one.
	modelWords = strings.Fields("bird bat bee insect toy model miniature doll litter waste garden vogel modell miniatur garten müll")
	// rowWords are things that along a line are wider than it, beside those of which
	// hazard-uncovered asks, by half of the least they are wide (common practice, no source).
	rowWords = map[string]float64{"tree": 0.25, "baum": 0.25, "arbre": 0.25, "árbol": 0.25, "arbol": 0.25, "boom": 0.25, "albero": 0.25, "träd": 0.25, "tre": 0.25, "træ": 0.25, "puu": 0.25,
		"rock": 0.25, "boulder": 0.25, "fels": 0.25, "shed": 0.4, "schuppen": 0.4, "house": 1, "haus": 1, "hut": 0.5, "tent": 0.5, "shelter": 0.5, "greenhouse": 0.5, "car": 0.7, "bus": 1, "runway": 2.5, "taxiway": 2.5, "airstrip": 2.5, "landebahn": 2.5, "startbahn": 2.5, "busspur": 1, "busstreifen": 1}
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
	if f.Role != schema.RoleBuilding && f.Role != schema.RoleHazard || !f.usable() || r.Frame == FrameNone {
		return
	}
	across, narrow := f.acrossDrawn()
	what := "across"
	if f.reachDrawn() > 0 && len(f.Lines) > 0 {
		what = "wide"
	}
	severity := Warning
	switch {
	case f.Role == schema.RoleHazard:
		if strip := stripOf(letterWords(kindsOf(f).text), narrow); strip > least && narrow < strip-1e-6 {
			across, least, what = narrow, strip, "wide"
		}
	case across >= least && f.isThinHigh(narrow):
		across, least, what, severity = narrow, leastThinM, "wide and higher than "+metres(thinHighM), Note
	}
	if least == 0 || across >= least-1e-6 || across < leastAcrossM {
		return // or told already
	}
	if k := kindsOf(f).gravest; f.reachDrawn() > 0 && (k == "water" || k == "road") && f.leastSaid() < leastWetM {
		return // told as no size at all
	}
	x := r.finding(r.middle(f), f)
	x.Severity = severity
	x.Measured, x.Limit, x.Unit = across, least, "m"
	x.Message = fmt.Sprintf("is %s %s, and none such is smaller than %s: was it drawn in another unit, or as a point or a line for the whole? measure it, or draw its outline", metresPast(across, least), what, metres(least))
}

// A building of more than thinHighM in height is at least leastThinM deep: of a
// narrower one a part was drawn (common practice, no source).
const thinHighM, leastThinM = 2.0, 1.0

// thinWords call a building what is narrow and high.
var thinWords = strings.Fields("chimney column pillar mast post tower schornstein kamin säule pfeiler turm cheminée colonne pilier chimenea columna schoorsteen zuil camino colonna pilastro skorsten skorstein piippu")

// isThinHigh reports whether a building is higher than it can be for how narrow it is.
func (f *Feature) isThinHigh(narrow float64) bool {
	height, ok := f.Float(schema.PropHeightM)
	return ok && height > thinHighM+1e-9 && narrow < leastThinM-1e-6 && !slices.ContainsFunc(letterWords(f.Name), func(w string) bool {
		return slices.Contains(thinWords, w) || slices.ContainsFunc(wallWords, func(end string) bool { return strings.HasSuffix(w, end) })
	})
}

// acrossDrawn is how many metres what a feature draws is across at its longest, and
// how wide it is: an area's by a rectangle of its perimeter and area.
func (f *Feature) acrossDrawn() (across, narrow float64) {
	across, narrow = math.Inf(1), math.Inf(1)
	for i := range f.Areas {
		if a := &f.Areas[i]; len(a.Ground) > 0 && len(a.Ground[0]) > 0 {
			long, _ := sidesOf(a.Ground[0])
			across = min(across, long)
			narrow = min(narrow, ringWidth(a.Ground[0]))
		}
	}
	if n := f.reachDrawn(); n > 0 && len(f.Points)+len(f.Lines) > 0 {
		across, narrow = min(across, 2*n), min(narrow, 2*n)
	}
	return across, narrow
}

// sidesOf are the sides in metres of the narrowest rectangle round points, the longer
// first, however that is turned.
func sidesOf(pts []orb.Point) (long, short float64) {
	b := narrowestBox(pts)
	return b.long, b.short
}

// turnedBox is a rectangle: its middle, the unit vector along its longer side, and its
// sides in metres.
type turnedBox struct {
	middle, along orb.Point
	long, short   float64
}

// narrowestBox is the narrowest rectangle round points; of fewer than two it has no sides.
func narrowestBox(pts []orb.Point) (out turnedBox) {
	corners := hull(slices.Clone(pts))
	if len(corners) < 2 {
		return out
	}
	out.short = math.Inf(1)
	for i, a := range corners {
		u, ok := unit(a, corners[(i+1)%len(corners)])
		if !ok {
			continue
		}
		from, to, low, high := math.Inf(1), math.Inf(-1), 0.0, 0.0
		for _, p := range corners {
			x, y := p[0]-a[0], p[1]-a[1]
			along, off := x*u[0]+y*u[1], y*u[0]-x*u[1]
			from, to, low, high = min(from, along), max(to, along), min(low, off), max(high, off)
		}
		if wide := high - low; min(wide, to-from) < out.short {
			s, t := (from+to)/2, (low+high)/2
			out = turnedBox{orb.Point{a[0] + s*u[0] - t*u[1], a[1] + s*u[1] + t*u[0]}, u, to - from, wide}
			if wide > to-from {
				out.along, out.long, out.short = orb.Point{-u[1], u[0]}, wide, to-from
			}
		}
	}
	return out
}

// ringWidth is the shorter side of the rectangle that has the area and the perimeter
// of a ring, which for a strip that bends is its width; what is rounder than a square
// is as wide as one of its perimeter.
func ringWidth(ring orb.Ring) float64 {
	half := 0.0
	for i := 1; i < len(ring); i++ {
		half += distance(ring[i-1], ring[i]) / 2
	}
	area := plane.Area(orb.MultiPolygon{{ring}})
	return (half - math.Sqrt(max(0, half*half-4*area))) / 2
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
		above, d, of := r.waterAbove(f)
		if of == nil {
			continue
		}
		x := r.finding(r.middle(f), f, of)
		x.Severity = Warning
		x.Measured, x.Limit, x.Unit = above, aboveM, "m"
		x.Message = fmt.Sprintf("is water whose heights lie %s above those of %s, %s from it: that ground is under water, or one of the heights is wrong; measure both, or say how high its rim stands in height_m", metresPast(above, aboveM), of.describe(), metres(d))
	}
}

// isRaised reports whether water stands above the ground in something, by its name.
func isRaised(k *hazardKinds) bool {
	return slices.ContainsFunc(letterWords(k.text), func(w string) bool { return slices.Contains(raisedWords, w) })
}

// waterAbove is by how much natural water lies above the driven ground nearest to it,
// and how far off that is; of is nil where it does not, or nothing is near.
func (r *run) waterAbove(f *Feature) (above, d float64, of *Feature) {
	k := kindsOf(f)
	if k.gravest != "water" || isRaised(&k) {
		return 0, 0, nil
	}
	if _, ok := f.Float(schema.PropHeightM); ok { // it has a rim
		return 0, 0, nil
	}
	shape := r.hazardShape(f)
	if shape.why != "" || shape.geometry() == nil {
		return 0, 0, nil
	}
	d, of, q := r.drivenNear(shape.geometry(), bankM)
	if of == nil || !of.hasHeights {
		return 0, 0, nil
	}
	if above = f.raisedLow - of.levelAt(q); above < aboveM-1e-9 {
		return 0, 0, nil
	}
	return above, d, of
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

// runsOnWords are words for what runs on, and is drawn as a line or an outline (common
// practice, no source).
var runsOnWords = slices.Concat(flowWords, riverWords, streetWords, strings.Fields("railway railroad rail rails lane avenue motorway moat embankment cycleway gleis gleise bahn bahngleis schienen radweg rue route calle straat strada gata spoor spoorlijn ferrovia ferrocarril jernbane järnväg rautatie joki å älv rivi"))

// onePieceM is how far off, in metres, another piece of what runs on lies at the most
// (common practice, no source).
const onePieceM = 15.0

// lineAsDisc notes a river, a road or the like that is drawn as one disc.
func (r *run) lineAsDisc(f *Feature) {
	word := lineWordOf(f)
	if word == "" || len(f.Lines)+len(f.Areas) > 0 || len(f.Points) > 1 || !f.usable() {
		return
	}
	for _, o := range r.Of(schema.RoleHazard) {
		if o != f && o.usable() && o.bound.Pad(onePieceM).Intersects(f.bound) && lineWordOf(o) == word {
			return
		}
	}
	x := r.finding(r.middle(f), f)
	x.Severity = Note
	x.Message = fmt.Sprintf("is called %s, which runs on, and is drawn as one disc: the rest of it is drawn nowhere; draw its line with width_m, or its outline", quote(word))
}

// lineWordOf is the word of runsOnWords that a hazard's kind or name ends in, "" for none.
func lineWordOf(f *Feature) string {
	for _, text := range [...]string{f.Attributes.Get(schema.PropHazardKind).Text(), f.Name} {
		words := letterWords(text)
		if len(words) == 0 {
			continue
		}
		if w := words[len(words)-1]; slices.Contains(runsOnWords, w) {
			return w
		}
	}
	return ""
}
