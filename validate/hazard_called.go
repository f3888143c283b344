// Things of the role other, and keep-outs, whose name is that of a road, a railway, a
// water or a drop: what of hazard-uncovered and things-overlap hears of them.

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

// calledKind is what a thing is by its name: one of the kinds of hazards, "" for none.
type calledKind struct {
	kind, word string
	// long is the kind of what runs on, as longKind has it, and alone is set where one
	// end of it is asked for: of a drive or a bank, which end anywhere, two in line are.
	long  string
	alone bool
	side  bool // its line is one of the sides
}

var (
	// ledgeWords are drops that run on; a pit and steps have their ends.
	ledgeWords = strings.Fields("drop cliff ledge precipice absturz falaise afgrond acantilado precipizio stup embankment")
	// bankEnds are such with a foot and ends of their own, and yardDrives ways of the
	// owner's: of these two ends in line count.
	bankEnds   = strings.Fields("bank böschung abhang talus talud terraplén scarpata skråning slänt penger")
	yardDrives = strings.Fields("track drive driveway zufahrt einfahrt fahrweg feldweg oprit indkørsel infart oppkjørsel ajotie")
	// firstWords begin the names of what runs on: Rue du Lac.
	firstWords = strings.Fields("rue route chaussée calle carretera strada via ruisseau rivière río rio fiume arroyo")
	// keptSaid close the name of a keep-out, and say nothing of what lies there.
	keptSaid = strings.Fields("keepout keep out exclusion nogo sperrzone sperrfläche")
)

// calledOf is what a thing of the role other, or a keep-out, is by its name.
func calledOf(f *Feature) calledKind {
	if f.Role != schema.RoleOther && f.Role != schema.RoleKeepout {
		return calledKind{}
	}
	c := calledAfter.get(f.Name)
	for i := 0; i < len(calledKeys) && c.kind == "" && !slices.ContainsFunc(letterWords(f.Name), saysThing); i++ {
		c = calledAfter.get(f.Attributes.Get(calledKeys[i]).Text())
	}
	if c.side && (f.Role == schema.RoleKeepout || isPoolWord(c.word) && len(f.Areas) > 0) {
		c.long = "" // the bank of a stream is kept off for as far as somebody likes, and at a pool people lie
	}
	return c
}

// calledKeys are the properties that are asked where the name is no more than what a
// drawing calls each line.
var calledKeys = [...]string{schema.PropHazardKind, "kind", schema.PropLayer}

func saysThing(w string) bool {
	return len([]rune(w)) > 1 && !slices.Contains([]string{"line", "polyline", "area", "polygon", "feature"}, w)
}

// longPool is the kind of ponds and pools: the two ends of one that runs round something
// are asked for.
const longPool = "pool"

// isHollow reports whether an outline fills little of its box, as one does that runs round
// something.
func (f *Feature) isHollow() bool {
	const most = 0.7 // a disc fills 0.785
	box := (f.bound.Max[0] - f.bound.Min[0]) * (f.bound.Max[1] - f.bound.Min[1])
	for i := range f.Areas {
		if plane.Area(orb.MultiPolygon{f.Areas[i].Ground}) < most*box {
			return true
		}
	}
	return false
}

var calledAfter = remembered[calledKind]{of: readCalled}

// readCalled reads the name of a thing: its last word says what it is, but for
// keptSaid, numbers and words for a side.
func readCalled(name string) calledKind {
	words := letterWords(name)
	if saysWhere(words) || saysAny(name, bridgeWords) || saysAny(name, culvertWords) || saysAny(name, deadEndWords) || saysAny(name, stairWords) || slices.ContainsFunc(words, func(w string) bool {
		return goneWords[w] || slices.Contains(notWords, w) || slices.Contains(ornamentWords, w) || slices.Contains(islandWords, w) || slices.Contains(modelWords, w) && !strings.HasPrefix(w, "gar")
	}) {
		return calledKind{}
	}
	side := false
	for len(words) > 1 {
		w := words[len(words)-1]
		if len([]rune(w)) > 1 && !slices.Contains(sidesOfOneWords, w) && !slices.Contains(keptSaid, w) && !sideSaid(w) {
			break
		}
		side = side || sideSaid(w)
		words = words[:len(words)-1]
	}
	if len(words) == 0 {
		return calledKind{}
	}
	garden := slices.ContainsFunc(words, func(w string) bool { return slices.Contains(modelWords, w) })
	c := calledBy(words[len(words)-1], garden)
	if c.long == "" && slices.Contains(firstWords, words[0]) {
		c = calledBy(words[0], garden)
	}
	if c.side = side; side && c.kind == "water" {
		c.long, c.alone = "water", true
	}
	return c
}

// sideSaid reports whether a word says that a line is the side of a thing.
func sideSaid(w string) bool {
	return w != "verge" && (slices.Contains(bankWords, w) || slices.Contains(borderWords, w)) // which is mown
}

func isPoolWord(w string) bool {
	return slices.ContainsFunc(poolWords, func(end string) bool { return strings.HasSuffix(strings.TrimSuffix(w, "s"), end) })
}

// islandWords are of what stands in water (common practice, no source).
var islandWords = strings.Fields("island islet insel île isla eiland isola ø øy saari")

// calledBy is what a thing is whose name ends in a word, of a garden by another or not.
func calledBy(w string, garden bool) (c calledKind) {
	one := strings.TrimSuffix(w, "s")
	switch c.kind, c.word = kindOfWord(w), w; {
	case c.kind == kindShore:
		c.kind = "water"
	case hazardRank[c.kind] < hazardRank["road"] && !slices.Contains(yardDrives, w) || notPlaces[w] && !slices.Contains(ledgeWords, w):
		return calledKind{}
	}
	ends := func(words []string) bool { return hasWord(words, w) || endsIn(words, w) }
	switch {
	case slices.Contains(railWords, one) || strings.HasSuffix(w, "gleis") || strings.HasSuffix(w, "gleise"):
		if c.long, c.alone = "railway", true; garden {
			return calledKind{} // one to play with
		}
	case ends(yardDrives) || ends(bankEnds):
		c.long = c.kind
		if c.kind == "" {
			c.long, c.kind = "road", "road"
		}
	case c.kind == "water" && isPoolWord(w):
		c.long = longPool
	case ends(runsOnWords) || ends(throughWords) || ends(ledgeWords):
		c.long, c.alone = c.kind, true
	}
	return c
}

// calledThings are the things of the role other and the keep-outs that are called
// after what runs on, with an outline or a line.
func (r *run) calledThings() (out []*Feature) {
	for _, role := range [...]schema.Role{schema.RoleOther, schema.RoleKeepout} {
		for _, f := range r.Of(role) {
			if c := calledOf(f); c.long == "" || len(f.Areas)+len(f.Lines) == 0 || !f.usable() || c.long == longPool && (role == schema.RoleOther || !f.isHollow()) {
				continue
			}
			out = append(out, f)
		}
	}
	return out
}

// judgedBy reports whether an end is one of the rule that judges a role: of hazards
// with what is only called after one.
func (e *hazardEnd) judgedBy(role schema.Role) bool {
	return e.f.Role == role || role == schema.RoleHazard && e.f.Role != schema.RoleEdge
}

// keptOff reports whether an end is of a keep-out, which mown ground lies against.
func (e *hazardEnd) keptOff() bool { return e.f.Role == schema.RoleKeepout }

// undrawnEnds are ends from the n-th on less those of keep-outs at which a hazard is
// drawn, up to dropEndM past the margin that one is drawn with: that one says where it
// goes.
func (r *run) undrawnEnds(ends []hazardEnd, n int) []hazardEnd {
	return append(ends[:n], slices.DeleteFunc(ends[n:], func(e hazardEnd) bool {
		return e.keptOff() && slices.ContainsFunc(r.Of(schema.RoleHazard), func(h *Feature) bool {
			reach := e.wide/2 + dropEndM
			if !h.usable() || !kindsOf(h).grave() || !h.bound.Pad(h.growth()+reach).Contains(e.at) {
				return false
			}
			s := r.hazardShape(h)
			g := s.geometry()
			if g == nil {
				return true // told as such
			}
			d, _, _ := plane.NewGauge(e.at).Clearance(plane.NewGauge(g))
			return d <= reach
		})
	})...)
}

// thingByName is what a thing of the role other, or the outline of a keep-out, is to
// other things by its name, 0 for what may share ground with anything.
func thingByName(f *Feature) thingKind {
	if len(f.Areas) == 0 && (f.Role == schema.RoleKeepout || len(f.Lines) == 0) {
		return 0
	}
	switch c := calledOf(f); {
	case c.side:
	case c.kind == "water" && (c.alone || len(f.Areas) > 0):
		return isWater
	case c.kind == "road" && c.alone:
		return isRoad
	case c.kind == "drop" && c.alone && f.Role == schema.RoleOther:
		return isDrop
	}
	words := letterWords(f.Name)
	if f.Role != schema.RoleOther || len(f.Areas) == 0 || len(words) == 0 || saysWhere(words) {
		return 0
	}
	switch last := words[len(words)-1]; {
	case hasWord(builtWords, last):
		return isBuilding
	case hasWord(wideWords, last) || hasWord(bandWords, last):
		return isWide
	}
	return 0
}

// byName reports whether a body is what it is by its name alone.
func (b *thingBody) byName() bool {
	return b.kind&(isBuilding|isWater|isRoad|isDrop|isWide) != 0 && (b.f.Role == schema.RoleOther || b.f.Role == schema.RoleKeepout)
}

// namesMatter reports whether two things are told as such: of what is something by its
// name alone, a water or a road in which something stands, and what runs through a
// building.
func namesMatter(a, b *thingBody) bool {
	if !a.byName() && !b.byName() {
		return true
	}
	wet := func(b *thingBody) bool { return b.kind&(isWater|isRoad) != 0 }
	if wet(b) {
		a, b = b, a
	}
	if !wet(a) {
		a, b = b, a
		return a.kind == isBuilding && !a.byName() && b.kind == isDrop || b.kind == isBuilding && !b.byName() && a.kind == isDrop
	}
	return b.kind&(isBuilding|isTrunk|isWide) != 0
}

// amidNamed reports whether one of two things stands in the midst of the other, where
// that is asked: of a keep-out, which reaches past what it is drawn round, of what only
// its name makes something, and of a tree, which may stand on a bank that is a sketch.
func (r *run) amidNamed(a, b *thingBody) bool {
	for _, one := range [2][2]*thingBody{{a, b}, {b, a}} {
		in, of := one[0], one[1]
		if in.kind&(isWater|isRoad|isDrop) == 0 || !in.byName() && !of.byName() {
			continue
		}
		if in.f.Role == schema.RoleOther && of.f.Role == schema.RoleBuilding {
			return true
		}
		return r.inMidst(in.f, in.areas, of.middle())
	}
	return true
}

func (b *thingBody) middle() orb.Point {
	if len(b.points) > 0 {
		return b.points[0]
	}
	return b.bound.Center()
}

// inMidst reports whether a place lies nearer to the midst of what a thing covers than
// to its rim, and no hazard drawn there says where it really lies.
func (r *run) inMidst(f *Feature, areas orb.MultiPolygon, p orb.Point) bool {
	_, depth := insideDepth(orb.LineString{p}, areas)
	if depth == 0 {
		return false
	}
	if _, most := plane.GreatestDepth(areas, depthTolerance); depth < most/2-slackM {
		return false
	}
	return f.Role != schema.RoleKeepout || !slices.ContainsFunc(r.Of(schema.RoleHazard), func(h *Feature) bool {
		if !h.usable() || !kindsOf(h).grave() || !h.bound.Intersects(f.bound) {
			return false
		}
		s := r.hazardShape(h)
		g := s.geometry()
		if g == nil {
			return s.why != ""
		}
		d, _, _ := plane.NewGauge(g).Clearance(plane.NewGauge(areas))
		return d <= slackM
	})
}

// Of a disc that is cut off: how many corners its arc has at least, how far off the
// circle they lie at most, as a share of its radius, how many times as long as another
// side the straight one is, which is so much of the diameter, and how far past it, in
// metres, is looked (common practice, no source).
const (
	arcCorners, arcOff, chordTimes, chordShare, pastCutM = 8, 0.02, 3.0, 0.8, 0.3
)

// cutDiscs tells of keep-outs that are called after water and are a disc cut off along a
// straight line behind which it is mown: the rest of the water lies there.
func (r *run) cutDiscs(zones *solids) {
	for _, f := range r.Of(schema.RoleKeepout) {
		if calledOf(f).kind != "water" || len(f.Areas) != 1 || !f.usable() {
			continue
		}
		past, at, ok := cutDisc(f.Areas[0].Ground[0])
		if !ok {
			continue
		}
		for _, i := range zones.near(past.Bound()) {
			n := r.netOf(i)
			if !n.ok || plane.Locate(past, n.areas) != plane.Inside || !r.inMidst(f, f.groundAreas(), f.midst()) {
				continue
			}
			x := r.finding(r.Place(at), f, zones.features[i])
			x.Severity = Note
			x.Message = fmt.Sprintf("is called %s, is a disc cut off along a straight line, and %s is mown behind that: whether the water ends there is not drawn; measure its shore, draw the rest, or what it ends at as a hazard of its own", quote(calledOf(f).word), zones.features[i].describe())
			break
		}
	}
}

func (f *Feature) groundAreas() orb.MultiPolygon { return orb.MultiPolygon{f.Areas[0].Ground} }

// midst is the deepest place of an outline.
func (f *Feature) midst() orb.Point {
	at, _ := plane.GreatestDepth(f.groundAreas(), depthTolerance)
	return at
}

// cutDisc finds the straight side of a disc that is cut off: its middle, and a place past it.
func cutDisc(ring orb.Ring) (past, at orb.Point, ok bool) {
	n := len(ring) - 1
	if n < arcCorners+2 {
		return past, at, false
	}
	longest, second, k := 0.0, 0.0, 0
	for i := range n {
		if d := distance(ring[i], ring[i+1]); d > longest {
			longest, second, k = d, longest, i
		} else {
			second = math.Max(second, d)
		}
	}
	if longest < chordTimes*second || second == 0 {
		return past, at, false
	}
	a, b := ring[k], ring[k+1]
	at = orb.Point{(a[0] + b[0]) / 2, (a[1] + b[1]) / 2}
	u := orb.Point{(b[0] - a[0]) / longest, (b[1] - a[1]) / longest}
	high, side := 0.0, 1.0 // the height of the arc over the straight side, and which side it is on
	for _, p := range ring[:n] {
		if h := (p[1]-at[1])*u[0] - (p[0]-at[0])*u[1]; math.Abs(h) > high {
			high, side = math.Abs(h), math.Copysign(1, h)
		}
	}
	radius := (longest*longest/4 + high*high) / (2 * high)
	if high == 0 || longest < chordShare*2*radius {
		return past, at, false
	}
	off := side * (high - radius)
	centre := orb.Point{at[0] - off*u[1], at[1] + off*u[0]}
	for _, p := range ring[:n] {
		if math.Abs(distance(p, centre)-radius) > arcOff*radius {
			return past, at, false
		}
	}
	return orb.Point{at[0] + side*pastCutM*u[1], at[1] - side*pastCutM*u[0]}, at, true
}
