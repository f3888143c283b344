// The rule things-overlap: two things that cannot both be where they are drawn.

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

var thingRules = []Rule{{
	Name: RuleThingsOverlap, Severity: Warning, Limits: []string{"survey_sigma_m"}, Over: one(schema.RoleHazard, schema.RoleEdge, schema.RoleBuilding, schema.RoleSupply, schema.RoleDock, schema.RoleCorridor), run: checkThingsOverlap,
	Page: Page{
		What: "Things of unlike kinds that share ground: a building (or a hazard that is a shed, a house, a container and the like) with water, a road, a drop, a trunk, a hedge, a bed or a playground, a wall, a fence, a kerb, a gate, a mark, the line of the boundary or a path (an area of the role other called so, with driven_over), or with another building that it covers in part; " +
			"water with a road, a trunk, a hedge or what else stands on dry ground and is wide, a wall or fence (which may well cross a ditch or a brook), a kerb, a gate, such a path; water and roads with a line of the role other that is called a cable and says no depth and no duct; a road with a trunk, a hedge or the like, a wall or fence that no gate opens there, a drop; a trunk with a wall or fence, a kerb, a gate or another trunk. " +
			"It is told from 0.3 m on, of a building (whose roof may be what was surveyed) from 0.8 m, or from half of what the narrower of the two is where that is less: of two areas the diameter of the largest circle in what they share, of a line how deep it runs in the area, of a mark or a trunk how deep its middle stands, of two trunks how far their circles reach into one another; and where the lines of water and of a road cross that say no width. " +
			"A trunk is the point of a tree, with its radius_m of up to 1 m, else 0.25 m, and the middle of an outline of a tree up to 15 m across. " +
			"Ordinary, and not told: what a keep-out, a zone or a corridor lies over; trees at or in drops, hedges and beds; woods and rows of trees; what is small (posts, lamps, signs, benches, stones, statues) wherever it stands; marks and kerbs on roads; walls along an outline; water, drops and roads that meet one another's like; a road or a path and water where a name says bridge, culvert, ford, tunnel or dam, or something so called lies there; what stands within a building called carport, greenhouse, boathouse or the like; trees, hedges and drops on car parks, steps and shafts; trees in wetlands; a mark that is called a roof's or a tower's; a building within another; hazards of no known kind; parallel lines of one kind, which may be two sides. " +
			"By their names alone keep-outs and what has the role other count too: as water or a road (pond, lake, pool, well, stream, road, railway) in whose midst, half as deep as it gets or more, a building, a shed, a playground, a bed or a tree stands, of keep-outs where no hazard of water, a road or a drop is drawn in them; and a road, a railway, a stream or a drop of the role other that runs through a building. An island, a bridge, a tunnel, and what lies by a pond are not told. " +
			"A note where neither thing says that it was surveyed and both stand more than 15 m from driven ground.",
		Parts: []Part{
			{"One thing drawn twice, or surveyed at two visits", "" +
				"And one thing drawn twice: two areas of one role and kind, as long, as wide and as large as one another within a tenth, whose middles lie 0.3 to 3 m apart and that share half of their ground; and, as a note, two fences as long as one another within a tenth whose ends lie 0.1 to 4 m apart, one pair at most 1 m, and no more than a third of their length. " +
				"And, as a note, one thing surveyed at two visits: two hazards, edges of one kind, buildings, outlets, docks, corridors or others whose names are one but for a year, a word such as new, old, check or visit 2, or, of what is 4 times as long as the two lie apart, for a number or a letter that one of them has, and no vertex of either of which lies more than 1.5 m from what the other draws, and one more than twice survey_sigma_m. " +
				"Where three such pairs or more are off by the same, within twice survey_sigma_m, the visit is what is off, and it is a warning. " +
				"Tree 1 and Tree 2 are two."},
		},
		Why:    "Of two things that cannot both be there one lies elsewhere: the house or the pond that the machine meets is where nothing is drawn, and what was shifted with it nobody knows.",
		Source: sourcePractice,
		Fails:  "a road of 3 m that runs through a shed",
		Passes: "the same road beside the shed, or a wall along its outline",
		Mend:   "find out which of the two was measured well, measure the other again, and correct it; where both are there, say how: a bridge, a culvert, a carport, by its name",
	},
}}

// thingKind is what a thing is to others: bits.
type thingKind uint16

const (
	isBuilding thingKind = 1 << iota
	isWater
	isRoad
	isDrop
	isTrunk
	isWide // a solid thing that is metres wide, or runs along a line
	isWall
	isKerb
	isWayThrough // a gate or a ramp
	isMarkThing
	isLimitLine
	isCable
	isPath // that is driven over
)

// cannotBe are, by kind, the kinds that it cannot share ground with.
var cannotBe = func() map[thingKind]thingKind {
	out := map[thingKind]thingKind{}
	for a, others := range map[thingKind]thingKind{
		isBuilding: isBuilding | isWater | isRoad | isDrop | isTrunk | isWide | isWall | isKerb | isWayThrough | isMarkThing | isLimitLine | isPath,
		isWater:    isRoad | isTrunk | isWide | isWall | isKerb | isWayThrough | isCable | isPath,
		isRoad:     isTrunk | isWide | isWall | isDrop | isCable,
		isTrunk:    isTrunk | isWall | isKerb | isWayThrough,
	} {
		out[a] |= others
		for b := thingKind(1); b <= isPath; b <<= 1 {
			if others&b != 0 {
				out[b] |= a
			}
		}
	}
	return out
}()

// Metres (starting values from memory): what two things may share, what one may
// share with a building, whose eaves reach out; how wide the outline of one tree
// is at the most, and a trunk's radius; how far apart one thing lies that is drawn
// twice; and how near driven ground makes a warning.
const (
	sharedM      = 0.3
	eavesM       = 0.8
	oneTreeM     = 15.0
	mostTrunkRM  = 1.0
	twiceM       = 3.0
	nearThingsM  = 15.0
	twiceShare   = 0.1
	twiceCovered = 0.5
)

// Words of names and kinds for what may stand in water or over a road, or be
// within a building, and what such a building is called (common practice, no
// source).
var (
	roofedWords = strings.Fields("carport canopy shelter boathouse poolhouse covered roofed roof pavilion pergola porch veranda gatehouse archway arcade passage underpass greenhouse glasshouse conservatory orangery pool baths swimming indoor parking " +
		"bootshaus schwimmhalle hallenbad badehaus überdachung dach laube pavillon durchfahrt torhaus gewächshaus wintergarten orangerie tiefgarage abri préau serre véranda cobertizo porche invernadero techo tettoia portico serra botenhuis overkapping kas drivhus båthus båthus växthus skärmtak venevaja katos kasvihuone")
	builtWords  = strings.Fields("shed hut cabin kiosk house building barn garage hall church tower silo container caravan playhouse bungalow stable workshop chalet schuppen hütte haus gebäude scheune halle kirche turm gartenhaus wohnwagen werkstatt abri cabane maison bâtiment grange église remise caseta casa edificio granero iglesia cobertizo huis gebouw schuur kerk loods casetta capanno chiesa fienile hus bygning bod skur lada kirke kyrka talo rakennus vaja mökki kirkko")
	wetWords    = strings.Fields("bed flowerbed monument stage terrace rockery equipment deck weir sluice wehr beet blumenbeet denkmal terrasse bühne steg massif parterre barrage presa sbarramento stuw rabatt")
	indoorWords = strings.Fields("stage terrace court equipment monument table_tennis planter terrasse denkmal bühne terraza terrazza terras podium patio atrium")
	cableWords  = strings.Fields("cable wire kabel erdkabel stromkabel câble cavo kaapeli draad ledning")
	pathWords   = strings.Fields("path paths footpath pathway walk walkway track trail weg gartenweg gehweg fußweg fussweg pfad chemin sentier allée camino sendero pad tuinpad sentiero vialetto gång stig sti gang polku")
	ductWords   = strings.Fields("duct conduit buried underground overhead leerrohr schutzrohr unterirdisch erdkabel freileitung fourreau gaine enterré aérien enterrado soterrado interrato mantelbuis ondergronds nedgravd nedgravet maakaapeli")
	shaftWords  = strings.Fields("manhole shaft grating lightwell schacht lichtschacht kanaldeckel regard puits registro pozo put tombino pozzetto brønd brunn kum kaivo")
	topWords    = strings.Fields("roof spire tower steeple chimney gable ridge dach turm spitze giebel schornstein toit clocher tour cheminée tejado campanario torre techo chimenea campanile tetto dak toren schoorsteen tak tag tårn torn torni katto")
	marshWords  = strings.Fields("wetland swamp marsh bog swale sumpf moor mulde feuchtbiotop marais noue charca moeras palude kärr myr suo wadi")
)

// thingBody is one thing with what it covers.
type thingBody struct {
	f      *Feature
	kind   thingKind
	areas  orb.MultiPolygon
	lines  []orb.LineString
	points []orb.Point
	radius float64 // of a trunk
	bound  orb.Bound
	gauge  *plane.Gauge
	depth  float64 // of the deepest point of areas, 0 until asked for
}

// thingKindOf is what a feature is to others, 0 for what may share ground with
// anything.
func thingKindOf(f *Feature) thingKind {
	switch f.Role {
	case schema.RoleBuilding:
		return isBuilding
	case schema.RoleMark:
		return isMarkThing
	case schema.RoleBoundary:
		return isLimitLine
	case schema.RoleOther:
		if len(f.Lines) > 0 && f.Name != "" && kindWord(f, cableWords) != "" && !isDeep(f) {
			return isCable
		}
		if over, _ := f.Attributes.Get(schema.PropDrivenOver).Truth(); over && len(f.Areas) > 0 && kindWord(f, pathWords) != "" {
			return isPath
		}
		return thingByName(f)
	case schema.RoleKeepout:
		return thingByName(f)
	case schema.RoleEdge:
		switch edgeKind(f) {
		case schema.EdgeWall, schema.EdgeFence:
			return isWall
		case schema.EdgeKerb, schema.EdgeFlush:
			return isKerb
		case schema.EdgeGate, schema.EdgeRamp:
			return isWayThrough
		case schema.EdgeDrop:
			return isDrop
		}
	case schema.RoleHazard:
		k := kindsOf(f)
		switch {
		case k.open || len(k.all) > 1:
			return 0
		case k.gravest == "water":
			return isWater
		case k.gravest == "road":
			return isRoad
		case k.gravest == "drop":
			return isDrop
		case k.gravest == "tree":
			return isTrunk
		case saysAny(k.text, builtWords) || kindWord(f, builtWords) != "" && k.gravest == "":
			return isBuilding
		case saysAny(k.text, wideWords) || saysAny(k.text, bandWords):
			return isWide
		}
	}
	return 0
}

// bodyOf is the body of a feature, ok false where it covers nothing that could be
// measured.
func (r *run) bodyOf(f *Feature, kind thingKind) (b thingBody, ok bool) {
	b = thingBody{f: f, kind: kind, bound: f.bound}
	switch {
	case kind == isTrunk:
		b.radius, _ = f.Float(schema.PropRadiusM)
		if !(b.radius > 0) || b.radius > mostTrunkRM {
			b.radius = halfReachM
		}
		for i := range f.Points {
			b.points = append(b.points, f.Points[i].Ground)
		}
		if box := f.bound; len(f.Areas) == 1 && math.Max(box.Max[0]-box.Min[0], box.Max[1]-box.Min[1]) <= oneTreeM {
			b.points = append(b.points, box.Center())
		}
		if len(b.points) == 0 {
			return b, false
		}
		b.bound = boundOf(b.points).Pad(b.radius)
	case kind == isMarkThing:
		for i := range f.Points {
			b.points = append(b.points, f.Points[i].Ground)
		}
	case kind == isWall:
		b.lines = r.barrier(f)
	case f.Role == schema.RoleEdge || kind == isLimitLine || kind == isCable:
		b.lines = f.lines()
	default:
		s := r.hazardShape(f)
		if s.why != "" {
			r.cannot("%s", s.why)
			return b, false
		}
		b.areas, b.lines, b.bound = s.areas, s.lines, s.bound
	}
	return b, len(b.areas)+len(b.lines)+len(b.points) > 0
}

func checkThingsOverlap(r *run) {
	if !r.onGround() {
		return
	}
	r.thingsTogether()
	if r.surveyedTwice(); len(r.findings) > 0 {
		r.needless = ""
	}
}

// thingsTogether tells of things that share ground, and of two fences that may be one.
func (r *run) thingsTogether() {
	var kinds thingKind
	of := make([]thingKind, len(r.Features))
	for i, f := range r.Features {
		of[i] = thingKindOf(f)
		kinds |= of[i]
	}
	if kinds&(isBuilding|isWater|isRoad|isDrop|isTrunk|isWide) == 0 {
		r.notNeeded("the plan has no building, and no hazard of a kind that nothing else stands in")
		return
	}
	var bodies []thingBody
	var boxes []orb.Bound
	for i, f := range r.Features {
		if of[i] == 0 || cannotBe[of[i]]&kinds == 0 && len(f.Areas) == 0 {
			continue
		}
		if !f.usable() {
			r.cannot("%s cannot be measured", f.describe())
			continue
		}
		if b, ok := r.bodyOf(f, of[i]); ok {
			bodies, boxes = append(bodies, b), append(boxes, b.bound)
		}
	}
	index := plane.NewBoxes(boxes)
	var near []int
	more := 0
	for i := range bodies {
		near = index.Search(boxes[i], near[:0])
		slices.Sort(near)
		for _, k := range near {
			if k > i && r.thingsApart(&bodies[i], &bodies[k], len(r.findings) < mostFindings) {
				if len(r.findings) >= mostFindings {
					more++
				}
			}
		}
	}
	if more > 1 {
		r.findings[len(r.findings)-1].Message += fmt.Sprintf(" (and %d more)", more-1)
	}
	r.fencesTwice(bodies)
}

// Of two fences of one survey too many, in metres: as long as one another within
// twiceShare, one end nearer than pathM, of which a path between two is wider, and the
// other than endsTwiceM, and longTwice as long as that; the faces of one are nearer to
// one another than facesM (starting values from memory).
const pathM, endsTwiceM, facesM, longTwice = 1.0, 4.0, 0.1, 3.0

// fencesTwice notes two fences that may be one, drawn a second time beside itself.
func (r *run) fencesTwice(bodies []thingBody) {
	for i := range bodies {
		a := &bodies[i]
		if edgeKind(a.f) != schema.EdgeFence || len(a.f.Lines) != 1 {
			continue
		}
		for k := range bodies[:i] {
			b := &bodies[k]
			if edgeKind(b.f) != schema.EdgeFence || len(b.f.Lines) != 1 || !a.bound.Pad(endsTwiceM).Intersects(b.bound) || len(r.findings) >= mostFindings {
				continue
			}
			p, q := a.f.Lines[0].Ground, b.f.Lines[0].Ground
			m, n := groundLength(p), groundLength(q)
			if len(p) < 2 || len(q) < 2 || math.Abs(m-n) > twiceShare*math.Max(m, n) {
				continue
			}
			first, last := distance(p[0], q[0]), distance(p[len(p)-1], q[len(q)-1])
			if u, v := distance(p[0], q[len(q)-1]), distance(p[len(p)-1], q[0]); math.Max(u, v) < math.Max(first, last) {
				first, last = u, v
			}
			off := math.Max(first, last)
			if math.Min(first, last) > pathM || off <= facesM+slackM || off > endsTwiceM+slackM || longTwice*off > math.Min(m, n) {
				continue
			}
			x := r.finding(r.Place(p[0]), a.f, b.f)
			x.Severity = Note
			x.Measured, x.Limit, x.Unit = off, facesM, "m"
			x.Message = fmt.Sprintf("is as long as %s and its ends lie %s and less from that one's: is one fence drawn twice, and which of the two is where it stands? measure it, and take the other out; where two stand there, say so by closing the ground between with a keep-out, or by joining their ends", b.f.describe(), metresPast(off, facesM))
		}
	}
}

// thingsApart judges two things, and reports whether they cannot both be.
func (r *run) thingsApart(a, b *thingBody, tell bool) bool {
	if a.kind == b.kind && !a.byName() && len(a.areas) > 0 && len(b.areas) > 0 && r.drawnTwice(a, b, tell) {
		return true
	}
	if cannotBe[a.kind]&b.kind == 0 || !namesMatter(a, b) {
		return false
	}
	if b.kind < a.kind {
		a, b = b, a
	}
	if a.kind != isTrunk || b.kind != isTrunk {
		if _, _, _, ok := a.measure().Within(b.measure(), math.Max(a.radius, b.radius)+nothingM); !ok {
			return false
		}
	}
	s, limit := r.sharedBy(a, b)
	if !(s.deep > limit+slackM) && !s.crosses || r.ordinary(a, b, s) || !r.amidNamed(a, b) {
		return false
	}
	if tell {
		r.tellThings(a, b, s, limit)
	}
	return true
}

// measure is what distances to a body are measured with.
func (b *thingBody) measure() *plane.Gauge {
	if b.gauge == nil {
		s := hazardShape{areas: b.areas, lines: b.lines, points: b.points}
		b.gauge = plane.NewGauge(s.geometry())
	}
	return b.gauge
}

// sharedGround is what two things share: how deep, in metres, the area where both
// have one, and a place.
type sharedGround struct {
	deep    float64
	m2      float64
	at      orb.Point
	crosses bool // two lines without a width cross
	within  bool // one area lies in the other
}

// sharedBy measures what two things share, and what they may.
func (r *run) sharedBy(a, b *thingBody) (s sharedGround, limit float64) {
	limit, s.m2 = sharedM, math.NaN()
	if a.kind == isBuilding {
		limit = eavesM
	}
	take := func(p orb.Point, d float64) {
		if d > s.deep {
			s.deep, s.at = d, p
		}
	}
	for _, one := range [2][2]*thingBody{{a, b}, {b, a}} {
		in, of := one[0], one[1]
		if len(in.areas) == 0 {
			continue
		}
		for _, l := range of.lines {
			take(insideDepth(l, in.areas))
		}
		for _, p := range of.points {
			take(insideDepth(orb.LineString{p}, in.areas))
		}
		if len(of.areas) == 0 {
			limit = math.Min(limit, in.deepest()/2)
		}
	}
	if len(a.areas) > 0 && len(b.areas) > 0 {
		limit = math.Min(limit, math.Min(a.deepest(), b.deepest())) // half of their width
		shared, width, at := r.overlap(a.areas, a.bound, b.areas, b.bound)
		if take(at, width); len(shared) > 0 {
			s.m2 = plane.Area(shared)
			s.within = s.m2 >= 0.95*math.Min(plane.Area(a.areas), plane.Area(b.areas))
		}
	}
	if a.kind == isTrunk {
		limit = r.trunkShared(a, b, take)
	}
	if a.kind == isWater && b.kind == isRoad && len(a.areas)+len(b.areas) == 0 {
		d, p, _, ok := a.measure().Within(b.measure(), nothingM)
		s.crosses, s.at = ok && d <= nothingM, p
	}
	return s, limit
}

// trunkShared measures how deep a line or another trunk comes into the circle of
// a trunk, and returns how deep it may.
func (r *run) trunkShared(a, b *thingBody, take func(p orb.Point, d float64)) (limit float64) {
	limit = math.Min(sharedM, a.radius)
	for _, p := range a.points {
		if b.kind == isTrunk {
			limit = math.Min(limit, b.radius)
			for _, q := range b.points {
				take(q, a.radius+b.radius-distance(p, q))
			}
			continue
		}
		d, _, q := plane.NewGauge(p).Clearance(b.measure())
		take(q, a.radius-d)
	}
	return limit
}

// deepest is how far the deepest point of a body's areas lies in them.
func (b *thingBody) deepest() float64 {
	if b.depth == 0 {
		_, b.depth = plane.GreatestDepth(b.areas, depthTolerance)
	}
	return b.depth
}

// ordinary reports whether two things that share ground may well both be there.
func (r *run) ordinary(a, b *thingBody, s sharedGround) bool {
	if a.says(bridgeWords) || b.says(bridgeWords) || a.says(culvertWords) || b.says(culvertWords) {
		return true
	}
	switch {
	case a.kind == isBuilding:
		return ordinaryWithin(a, b, s)
	case b.kind == isCable:
		return b.says(ductWords)
	}
	switch a.kind {
	case isWater:
		switch b.kind {
		case isRoad, isPath:
			return r.leadsAcross(s.at)
		case isTrunk:
			return a.says(marshWords)
		case isWide:
			return b.says(wetWords) || a.says(marshWords)
		case isWall:
			return b.says(wetWords) || a.says(flowWords) || a.says(riverWords)
		}
	case isRoad:
		return b.kind == isDrop && (b.says(stairWords) || b.says(shaftWords)) || b.kind != isWall && !isBorder(a.f) && !a.byName()
	}
	return false
}

// ordinaryWithin is ordinary for a building and another thing.
func ordinaryWithin(a, b *thingBody, s sharedGround) bool {
	switch b.kind {
	case isBuilding:
		return s.within
	case isLimitLine:
		return false
	case isWide:
		return b.says(indoorWords) || a.says(roofedWords)
	case isDrop:
		return b.says(stairWords) || b.says(shaftWords) || a.says(roofedWords)
	case isMarkThing:
		return b.says(topWords) || a.says(topWords) || a.says(roofedWords)
	}
	return a.says(roofedWords)
}

// says reports whether the name or the kind of a thing has one of the words, or
// ends in it.
func (b *thingBody) says(words []string) bool {
	return saysAny(b.f.Name, words) || saysAny(b.f.Attributes.Get(schema.PropHazardKind).Text(), words) || kindWord(b.f, words) != ""
}

// leadsAcross reports whether something at a place is called a bridge, a culvert or
// the like.
func (r *run) leadsAcross(p orb.Point) bool {
	return slices.ContainsFunc(r.Features, func(f *Feature) bool {
		return f.usable() && f.bound.Pad(f.reachDrawn()+1).Contains(p) && (saysAny(f.Name, bridgeWords) || saysAny(f.Name, culvertWords))
	})
}

// drawnTwice judges whether two areas of one kind are one thing, drawn a second
// time beside itself.
func (r *run) drawnTwice(a, b *thingBody, tell bool) bool {
	off := distance(a.bound.Center(), b.bound.Center())
	if off <= sharedM+slackM || off > twiceM+slackM || a.f.Role != b.f.Role {
		return false
	}
	for axis := range 2 {
		x, y := a.bound.Max[axis]-a.bound.Min[axis], b.bound.Max[axis]-b.bound.Min[axis]
		if math.Abs(x-y) > twiceShare*math.Max(x, y) {
			return false
		}
	}
	m, n := plane.Area(a.areas), plane.Area(b.areas)
	if math.Abs(m-n) > twiceShare*math.Max(m, n) {
		return false
	}
	both := plane.Area(r.shared(a.areas, a.bound, b.areas, b.bound))
	if both < twiceCovered*math.Min(m, n) {
		return false
	}
	if tell {
		x := r.thingFinding(a.bound.Center(), b, a)
		x.Measured, x.Limit, x.Unit, x.AreaM2 = off, sharedM, "m", both
		x.Message = fmt.Sprintf("is as large as %s and lies %s beside it, on the same ground: is one thing drawn twice, and which of the two is where it stands? measure it, and take the other out", a.f.describe(), metresPast(off, sharedM))
	}
	return true
}

// thingFinding is a finding about two things, as grave as they are near to what is
// driven.
func (r *run) thingFinding(at orb.Point, one, other *thingBody) *Finding {
	x := r.finding(r.Place(at), one.f, other.f)
	x.Severity = Note
	zones := r.zones()
	for _, b := range [2]*thingBody{one, other} {
		if b.kind == isLimitLine {
			continue
		}
		from := schema.FoldName(b.f.Attributes.Get(schema.PropDrawnFrom).Text())
		s := hazardShape{areas: b.areas, lines: b.lines, points: b.points}
		if from == schema.DrawnSurveyed || fixOf(schema.FoldName(b.f.Attributes.Get(schema.PropFix).Text())) == fixGood || r.nearDriven(s.geometry(), b.bound.Pad(nearThingsM), nearThingsM, zones, r.corridors()) {
			x.Severity = Warning
		}
	}
	return x
}

// tellThings tells of two things that cannot both be.
func (r *run) tellThings(a, b *thingBody, s sharedGround, limit float64) {
	first, second := b, a
	if b.kind == isLimitLine {
		first, second = a, b
	}
	x := r.thingFinding(s.at, first, second)
	if !s.crosses {
		x.Measured, x.Limit, x.Unit, x.AreaM2 = s.deep, limit, "m", s.m2
	}
	const mend = ": one of the two lies elsewhere; measure both again, and correct the wrong one"
	deep := metresPast(s.deep, limit)
	switch {
	case s.crosses:
		x.Message = fmt.Sprintf("crosses %s, and nothing there is called a bridge or a culvert%s", a.f.describe(), mend)
	case b.kind == isLimitLine:
		x.Message = fmt.Sprintf("stands on both sides of %s, which runs %s deep in it%s, or draw what stands on the other ground as a building of its own", b.f.describe(), deep, mend)
	case b.kind == isCable:
		x.Message = fmt.Sprintf("runs %s into %s, and says nothing of how deep it lies: lead it round, or say its depth_m, or the duct that it lies in by its name", deep, a.f.describe())
	case b.kind == isTrunk:
		x.Message = fmt.Sprintf("stands %s deep in %s, where no tree can%s", deep, a.f.describe(), mend)
	case b.kind == isMarkThing:
		x.Message = fmt.Sprintf("stands %s deep in %s, where no receiver sees the sky, unless it is on the roof and is called so%s", deep, a.f.describe(), mend)
	case len(a.areas) > 0 && len(b.areas) > 0:
		x.Message = fmt.Sprintf("shares ground %s wide with %s, and both cannot be there%s", deep, a.f.describe(), mend)
	default:
		x.Message = fmt.Sprintf("reaches %s into %s, and both cannot be there%s", deep, a.f.describe(), mend)
	}
}
