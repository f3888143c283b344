// Corridors that lead in at one gate and out at another: what of corridor-narrow is
// about the ground between.

package validate

import (
	"cmp"
	"math"
	"slices"
	"strings"

	"github.com/paulmach/orb"

	"swardline/schema"
	"swardline/validate/plane"
)

// walledReachM is how far, in metres, walls and fences that close round a place may
// stand from it: a house, a barn, a pen (common practice, no source).
const walledReachM = 50.0

// walledRays is in how many directions is looked from a place.
const walledRays = 32

// penWords are words for what a fence keeps people and machines off, beside water,
// roads and drops, also as the start or the end of words written as one (common
// practice, no source).
var penWords = strings.Fields("rail railway bahn gleis motorway autobahn highway ferrée ferroviaire autoroute autopista autostrada koppel weide paddock pasture bull cattle cows horse horses sheep pigs pferd rinder bullen kühe vieh schafe schweine prairie pâturage taureau vaches chevaux toro toros vacas caballos ganado stier koeien paarden vee bestiame cavalli " +
	"pool schwimmbad freibad swimming piscine piscina zwembad school schule schulhof kita kindergarten playground spielplatz école colegio escuela scuola kennel kennels chenil canile zwinger corral donkey goat goats cow pig bulls ziegen esel enclos moutons chèvres potrero perrera ovejas cabras schapen geiten speelplaats mucche pecore hundgård hundegård hästhage hestefold lekplats legeplads lekeplass hevoset lehmät lampaat leikkikenttä nursery schul substation umspannwerk transformer trafo military shooting quarry landfill")

// onRailsWords are those of them for a railway or a motorway, which a path only crosses.
var onRailsWords = strings.Fields("rail railway bahn gleis motorway autobahn highway ferrée ferroviaire autoroute autopista autostrada")

// penWord is the word of a name for such a thing, "" for none.
func penWord(name string) string {
	if kind, word := graverName(name); kind != "" {
		return word
	}
	return guardedWord(letterWords(name))
}

// guardedWord is the first of these words that is one of penWords, "" for none.
func guardedWord(words []string) string {
	for _, w := range words {
		if hasWord(penWords, w) || slices.ContainsFunc(penWords, func(s string) bool {
			return len(s) >= 4 && len(w) > len(s)+2 && (strings.HasPrefix(w, s) || strings.HasSuffix(w, s))
		}) {
			return w
		}
	}
	return ""
}

// passed is one place where a corridor goes through a wall or a fence, or the gate
// in one.
type passed struct {
	f     *Feature
	at    orb.Point
	along float64
}

// barriersPassed are those of a corridor, in order along it; of a wall and its gate,
// drawn within crossingM of one another, the wall.
func barriersPassed(pts orb.LineString, barriers []*Feature) (out []passed) {
	box := boundOf(pts)
	for _, f := range barriers {
		if !f.bound.Intersects(box) {
			continue
		}
		for _, l := range f.lines() {
			out = appendPassed(out, pts, f, l)
		}
	}
	return inOrder(out)
}

// appendPassed appends where pts cross a line of f.
func appendPassed(out []passed, pts orb.LineString, f *Feature, l orb.LineString) []passed {
	along := 0.0
	for i := 1; i < len(pts); i++ {
		for k := 1; k < len(l); k++ {
			if x := plane.Cross(pts[i-1], pts[i], l[k-1], l[k]); x.Kind == plane.CrossProper || x.Kind == plane.CrossTouch {
				out = append(out, passed{f, x.P, along + distance(pts[i-1], x.P)})
			}
		}
		along += distance(pts[i-1], pts[i])
	}
	return out
}

// inOrder sorts places along a corridor; of a wall and its gate it keeps the wall.
func inOrder(out []passed) []passed {
	slices.SortStableFunc(out, func(a, b passed) int { return cmp.Compare(a.along, b.along) })
	kept := out[:0]
	for _, p := range out {
		if n := len(kept); n > 0 && p.along-kept[n-1].along <= 2*crossingM {
			if isCrossing(edgeKind(kept[n-1].f)) {
				kept[n-1].f = p.f
			}
			continue
		}
		kept = append(kept, p)
	}
	return kept
}

// walledIn records the corridors that lead through ground that walls and fences
// close round, in at one opening and out at another, where no zone lies in it: a
// house, a pen. Where a fence is called after a railway, a pool or a pasture, the
// next one is enough.
func (r *run) walledIn(list []corridorLine) {
	r.throughGates(list)
	var barriers []*Feature
	for _, f := range r.usableOf(schema.RoleEdge) {
		if k := edgeKind(f); k == schema.EdgeWall || k == schema.EdgeFence || k == schema.EdgeGate {
			barriers = append(barriers, f)
		}
	}
	if len(barriers) < 2 {
		return
	}
	for i := range list {
		c := &list[i]
		through := barriersPassed(c.pts, barriers)
		for k := 1; k < len(through); k++ {
			a, b := &through[k-1], &through[k]
			way := stretchOf(c.pts, a.along, b.along)
			wa, wb := penWord(a.f.Name), penWord(b.f.Name)
			onTrack := hasWord(onRailsWords, wa) && hasWord(onRailsWords, wb) && b.along-a.along <= streetMostM+slackM
			if len(way) < 2 || r.zoned(way) || r.saidDriven(way) && !(onTrack && r.pathAcross(way)) {
				continue
			}
			if wa != "" && wb != "" {
				r.cannot("%s leads through %s (%s) and %s (%s), with no zone between them: what lies there cannot be told; draw it with its role, or as other with \"driven_over\": true where a machine may go", c.f.describe(), a.f.describe(), quote(wa), b.f.describe(), quote(wb))
				break
			}
			half := b.along - a.along
			middle := stretchOf(c.pts, a.along+half/2, b.along)[0]
			if hidden, zone := r.closedRound(middle, barriers); hidden && !zone {
				r.cannot("%s leads through ground that walls and fences close round, in at %s and out at %s, with no zone in it: whether that is a house or a pen cannot be told; draw it as a building, a hazard or a keep-out, or as other with \"driven_over\": true where a machine may go", c.f.describe(), a.f.describe(), b.f.describe())
				break
			}
		}
	}
}

// beyondWords are words for what a gate leads to that is no ground of the plan's
// (common practice, no source).
var beyondWords = strings.Fields("neighbour neighbours neighbor neighbors nachbar nachbarn voisin voisins vecino vecinos buur buren vicino nabo naboer granne grannar naapuri " +
	"car parking carpark parkplatz stellplatz stationnement parcheggio aparcamiento parkering pysäköinti")

// gateTails are the words for a gate with which German, Dutch and northern names of one end.
var gateTails = strings.Fields("tor tür pforte poort port grind")

// throughGates records the corridors that lead through a gate called after a road, a
// water, a drop, a pen or other people's ground: what it leads to.
func (r *run) throughGates(list []corridorLine) {
	for _, f := range r.usableOf(schema.RoleEdge) {
		if edgeKind(f) != schema.EdgeGate {
			continue
		}
		word, name := "", ""
		for _, w := range letterWords(f.Name) { // Straßentor is a gate to the Straße
			for _, tail := range gateTails {
				rest, ok := strings.CutSuffix(w, tail)
				if ok && kindOfWord(rest) == "" {
					rest = strings.TrimSuffix(rest, "n") // the n that joins the two
				}
				if ok && rest != "" {
					w = rest
				}
			}
			name += w + " "
			if hasWord(beyondWords, w) {
				word = w
			}
		}
		if w := penWord(name); w != "" {
			word = w
		}
		if word == "" || r.drawnAs(name, word) {
			continue
		}
		for i := range list {
			c := &list[i]
			if !f.bound.Intersects(boundOf(c.pts)) || !slices.ContainsFunc(f.lines(), func(l orb.LineString) bool { return len(appendPassed(nil, c.pts, f, l)) > 0 }) {
				continue
			}
			r.cannot("%s leads through %s (%s): whether that lies beyond it cannot be told; draw what does with its role, lead the corridor another way, or call the gate after the ground behind it", c.f.describe(), f.describe(), quote(word))
			break
		}
	}
}

// drawnAs reports whether anything but edges, ways and outlines is drawn that is of the
// kind that a name says, or is called by its word.
func (r *run) drawnAs(name, word string) bool {
	kind, _ := graverName(name)
	return slices.ContainsFunc(r.Features, func(f *Feature) bool {
		switch f.Role {
		case schema.RoleHazard, schema.RoleKeepout, schema.RoleBuilding, schema.RoleOther:
			return kind != "" && kindsOf(f).gravest == kind || slices.Contains(letterWords(f.Name), word)
		}
		return false
	})
}

// zoned reports whether a zone lies on a way.
func (r *run) zoned(way orb.LineString) bool {
	zones := r.zones()
	return slices.ContainsFunc(zones.near(boundOf(way)), func(i int) bool { return len(clipInside(way, zones.areas[i])) > 0 })
}

// saidDriven reports whether an area of the role other that says driven_over covers
// more than half of a way.
func (r *run) saidDriven(way orb.LineString) bool {
	for _, f := range r.Of(schema.RoleOther) {
		over, _ := f.Attributes.Get(schema.PropDrivenOver).Truth()
		if !over || !f.usable() || !f.bound.Intersects(boundOf(way)) {
			continue
		}
		if s := r.hazardShape(f); s.why == "" && len(s.areas) > 0 && halfIn(way, s.areas) {
			return true
		}
	}
	return false
}

// closedRound reports whether walls, fences, gates and buildings stand in all
// directions from a place, at most walledReachM off, and whether a zone lies within.
func (r *run) closedRound(p orb.Point, barriers []*Feature) (hidden, zone bool) {
	var lines []orb.LineString
	box := p.Bound().Pad(walledReachM)
	for _, list := range [...][]*Feature{barriers, r.usableOf(schema.RoleBuilding)} {
		for _, f := range list {
			if f.bound.Intersects(box) {
				lines = append(lines, f.lines()...)
			}
		}
	}
	ring := make(orb.Ring, 0, walledRays+1)
	for i := range walledRays {
		u := bearing(360 / walledRays * (float64(i) + 0.5))
		far := orb.Point{p[0] + u[0]*walledReachM, p[1] + u[1]*walledReachM}
		near, at := math.Inf(1), far
		ray := segmentBox(p, far)
		for _, l := range lines {
			for k := 1; k < len(l); k++ {
				if !ray.Intersects(segmentBox(l[k-1], l[k])) {
					continue
				}
				if x := plane.Cross(p, far, l[k-1], l[k]); x.Kind != plane.CrossNone && distance(p, x.P) < near {
					near, at = distance(p, x.P), x.P
				}
			}
		}
		if math.IsInf(near, 1) {
			return false, false
		}
		ring = append(ring, at)
	}
	within := orb.MultiPolygon{{append(ring, ring[0])}}
	zones := r.zones()
	for _, i := range zones.near(boundOf(ring)) {
		if _, width, _ := r.overlap(within, boundOf(ring), zones.areas[i], zones.bounds[i]); width > 2*crossingM {
			return true, true
		}
	}
	return true, false
}

// edgeRounds records edges that go round what may be no lawn.
func (r *run) edgeRounds(edges []*Feature, zones *solids) {
	r.edgeRings(edges, zones)
	r.walledHouses(edges, zones)
}

// walledHouses records walls and fences that close round mown ground and whose name
// says a house, a barn or the like.
func (r *run) walledHouses(edges []*Feature, zones *solids) {
	for _, f := range edges {
		if kind := edgeKind(f); kind != schema.EdgeWall && kind != schema.EdgeFence || len(zones.near(f.bound)) == 0 {
			continue
		}
		word := houseWord(f.Name)
		if word == "" {
			continue
		}
		for _, l := range f.lines() {
			n := len(l)
			if n < 4 || distance(l[0], l[n-1]) > crossingM {
				continue
			}
			ring := append(append(make(orb.Ring, 0, n+1), l[:n-1]...), l[0])
			if ring = pick(ring, soundVertices(ring)); len(ring) < 4 || len(r.validator.Polygons([]orb.Polygon{{ring}})) > 0 {
				continue
			}
			if z := r.mownIn(orb.MultiPolygon{{ring}}, zones, func(int) bool { return true }); z != nil {
				r.cannot("%s closes round ground of %s and says %s by its name: where that is a house, draw it as a building; else give it another name", f.describe(), z.describe(), quote(word))
				break
			}
		}
	}
}

// houseWord is the word of a name for a house, "" for none and for what goes round
// the garden or the yard of one.
func houseWord(name string) string {
	words := letterWords(name)
	if slices.ContainsFunc(words, func(w string) bool { return hasWord(gardenWords, w) }) {
		return ""
	}
	for _, w := range words {
		if hasWord(homeWords, w) || hasWord(houseWords, w) {
			return w
		}
	}
	return ""
}

// gardenWords are words for ground about a house (common practice, no source).
var gardenWords = strings.Fields("garden yard court courtyard garten hof innenhof vorgarten jardin cour jardín patio tuin giardino cortile have hage trädgård puutarha piha")
