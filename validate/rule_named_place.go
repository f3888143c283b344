// Walls, corners and edges of lawns that do not lie where their name says, for
// name-contradicts.

package validate

import (
	"math"
	"slices"
	"strings"

	"github.com/paulmach/orb"

	"swardline/schema"
	"swardline/validate/plane"
)

// What is called after a thing lies on it within nameOffM, which is what two surveys
// of it may differ by; farther than nameFarM it is another's. A wall may lie eavesM
// within a building whose roof was drawn (common practice, no source).
const nameOffM, nameFarM = 0.3, 6.0

// Words of corners and of posts of gates, of what they are of, and of edges of lawns,
// in ten languages (common practice, no source).
var (
	cornerNames  = strings.Fields("corner ecke eck coin esquina hoek angolo hörn hjørne kulma")
	postNames    = strings.Fields("post pfosten poteau poste paal palo stolpe")
	lawnWords    = strings.Fields("lawn rasen wiese pelouse gazon césped prato gräsmatta plæne plen nurmikko")
	limitWords   = strings.Fields("boundary property parcel plot grundstück grenz parcelle parcela perceel particella tomt tontti")
	gateWords    = strings.Fields("gate tor portail portón poort cancello grind port portti")
	sideEnds     = strings.Fields("edge kante rand bord borde bordo kant reuna")
	placeJoining = setOf("of the de la le du des del della van der des het")
)

// hasPart reports whether a word is one of these, or begins with one where words are
// written as one: Hausecke.
func hasPart(words []string, w string) bool {
	return slices.ContainsFunc(words, func(part string) bool {
		return w == part || len(part) >= 3 && len(w) > len(part)+2 && strings.HasPrefix(w, part)
	})
}

// endsName reports whether a name ends in a word of these, and so names that itself:
// House corner 2, Hausecke, corner of the house.
func endsName(words, of []string) bool {
	for len(words) > 1 && len(words[len(words)-1]) == 1 {
		words = words[:len(words)-1]
	}
	if len(words) == 0 {
		return false
	}
	last := words[len(words)-1]
	if slices.Contains(of, last) || slices.ContainsFunc(of, func(end string) bool { return len(end) >= 3 && len(last) > len(end)+2 && strings.HasSuffix(last, end) }) {
		return true
	}
	return len(words) > 1 && slices.Contains(of, words[0]) && placeJoining[words[1]]
}

// isBeside reports whether words of a name say that it only lies near.
func isBeside(words []string) bool {
	return slices.ContainsFunc(words, func(w string) bool { return nearOnlyWords[w] && !placeJoining[w] })
}

// Words of ends of walls, of stones that mark a boundary, and of docks, in ten
// languages (common practice, no source).
var (
	tipNames   = strings.Fields("end ende extrémité extremo einde estremità slut ende ände pää")
	stoneNames = setOf("grenzstein grenzpunkt grenzmarke boundarystone boundarypin boundarypeg boundarymark boundarymarker boundarypoint boundarypost propertypin propertystone lotpin mereston merestone grenspaal grenspunt mojón hito bornage cippo gränssten gränspunkt skelsten skelpæl grensestein grensepunkt rajakivi rajapyykki rajapiste")
	fenceWords = strings.Fields("fence zaun clôture valla hek recinto staket hegn gjerde aita hedge hecke haie seto heg siepe häck hæk hekk")
	rimNames   = strings.Fields("edge kante rand bord borde bordo kant reuna rim line shoreline kerb bordstein ufer")
	dockNames  = setOf("dock station ladestation dockingstation borne laadstation laddstation ladestasjon latausasema charger charging")
)

// markNameWords are the words of a mark's name without the letters, numbers and
// quarters at its end that tell it from others: House corner NW 2.
func markNameWords(name string) []string {
	words := letterWords(name)
	for len(words) > 1 {
		last := words[len(words)-1]
		if _, quarter := compassWords[last]; !quarter && !quarters2[last] && len(last) > 1 {
			break
		}
		words = words[:len(words)-1]
	}
	return words
}

var quarters2 = setOf("ne nw se sw no so nordost nordwest südost südwest northeast northwest southeast southwest")

// isStone reports whether a mark is called a stone of the boundary, by one word or two.
func isStone(words []string) bool {
	for i, w := range words {
		if stoneNames[w] || i > 0 && stoneNames[words[i-1]+w] {
			return true
		}
	}
	return false
}

// markPlaced tells of a mark called after a corner, an end or the edge of a thing, a stone
// of the boundary or a dock, that lies beside the nearest such.
func (r *run) markPlaced(f *Feature) {
	if len(f.Points) != 1 {
		return
	}
	words := markNameWords(f.Name)
	if len(words) == 0 || isBeside(words) {
		return
	}
	has := func(of []string) bool {
		return slices.ContainsFunc(words, func(w string) bool { return hasPart(of, w) })
	}
	p := f.Points[0].Ground
	d, of, what := math.Inf(1), (*Feature)(nil), "a corner or end of "
	switch {
	case isStone(words):
		what = "the line of "
		d, of = nearestOutline(p, r.usableOf(schema.RoleBoundary))
	case !slices.ContainsFunc(words, func(w string) bool { return !dockNames[w] }):
		what = ""
		d, of = nearestOutline(p, r.usableOf(schema.RoleDock))
	case endsName(words, tipNames), endsName(words, cornerNames), endsName(words, postNames) && has(gateWords):
		d, of = nearestCorner(p, r.corneredBy(words, has))
	case endsName(words, rimNames):
		what = "the outline of "
		d, of = nearestOutline(p, r.rimmedBy(words, has))
	}
	if of == nil {
		what = "the nearest such thing that is drawn, "
		if d, of = nearestOutline(p, r.calledAs(f.Name, words, has)); d <= besideThingM+slackM {
			return
		}
	}
	if endsName(words, cornerNames) {
		r.cornerUndrawn(f, d, has(houseWords), has(limitWords))
	}
	if of == nil || d <= nameOffM+slackM || d >= nameFarM {
		return
	}
	r.placedOff(f, of, d, what+of.describe())
}

// besideThingM is how far from a thing a mark may lie that is called after all of it, or
// after a side or a door (common practice, no source).
const besideThingM = 1.0

// partNames are words of parts that lie on the outline of a thing.
var partNames = setOf("side door wall front face seite tür wand côté porte lado puerta zijde deur lato porta sida sivu ovi")

// calledAs is the only thing that is drawn after which a mark is called, by its own name,
// or as a kerb, a fence, a base, or the side of a house, a lawn, water or a road.
func (r *run) calledAs(name string, words []string, has func(of []string) bool) []*Feature {
	one := func(list []*Feature) []*Feature {
		if len(list) != 1 {
			return nil
		}
		return list
	}
	words = slices.DeleteFunc(slices.Clone(words), func(w string) bool { _, compass := compassWords[w]; return compass || quarters2[w] })
	n := len(words)
	if n == 0 {
		return nil
	}
	edges := func(such func(e *Feature) bool) []*Feature {
		return one(slices.DeleteFunc(slices.Clone(r.usableOf(schema.RoleEdge)), func(e *Feature) bool { return !such(e) }))
	}
	of := func(kind string, list []string) []*Feature {
		return edges(func(e *Feature) bool {
			return edgeKind(e) == kind || slices.ContainsFunc(letterWords(e.Name), func(w string) bool { return hasWord(list, w) })
		})
	}
	switch last := words[n-1]; {
	case n == 1 && hasWord(kerbWords, last):
		return of(schema.EdgeKerb, kerbWords)
	case n == 1 && hasWord(fenceWords[:9], last):
		return of(schema.EdgeFence, fenceWords[:9])
	case n == 1 && (last == "base" || last == "basis"):
		return one(r.usableOf(schema.RoleBase))
	case n == 2 && partNames[last] && hasPart(houseWords, words[0]):
		return one(r.usableOf(schema.RoleBuilding))
	case n == 2 && partNames[last] && has(lawnWords):
		return r.usableOf(schema.RoleZone) // the nearest
	case n == 2 && partNames[last]:
		return one(r.rimmedBy(words, has))
	case n > 1:
		return edges(func(e *Feature) bool { return schema.FoldName(e.Name) == schema.FoldName(name) })
	}
	return nil
}

// corneredBy are the things whose corners or ends the words of a mark's name are of.
func (r *run) corneredBy(words []string, has func(of []string) bool) []*Feature {
	edges := func(such func(kind string) bool) []*Feature {
		return slices.DeleteFunc(slices.Clone(r.usableOf(schema.RoleEdge)), func(e *Feature) bool { return !such(edgeKind(e)) })
	}
	end := endsName(words, tipNames)
	switch {
	case endsName(words, postNames) && has(gateWords):
		return edges(func(kind string) bool { return kind == schema.EdgeGate })
	case has(houseWords) && !end:
		return r.usableOf(schema.RoleBuilding)
	case has(lawnWords) && !end:
		return r.usableOf(schema.RoleZone)
	case has(limitWords) && !end:
		return r.usableOf(schema.RoleBoundary)
	case has(fenceWords):
		return edges(func(kind string) bool { return kind == schema.EdgeFence })
	case slices.ContainsFunc(words, func(w string) bool { return hasWord(kerbWords, w) }):
		return edges(func(kind string) bool { return kind == schema.EdgeKerb || kind == schema.EdgeFlush })
	case has(wallWords):
		return edges(func(kind string) bool { return kind == schema.EdgeWall })
	}
	return nil
}

// rimmedBy are the things whose edge the words of a mark's name are of.
func (r *run) rimmedBy(words []string, has func(of []string) bool) []*Feature {
	if has(lawnWords) {
		return r.usableOf(schema.RoleZone)
	}
	kind, _ := graverName(strings.Join(words, " "))
	if kind == "" {
		return nil
	}
	return slices.DeleteFunc(slices.Clone(r.usableOf(schema.RoleHazard)), func(h *Feature) bool { return hazardKind(h) != kind })
}

// nearestOutline is how far the nearest outline, or line or point less what it reaches
// beside it, of features lies.
func nearestOutline(p orb.Point, features []*Feature) (least float64, of *Feature) {
	least = math.Inf(1)
	for _, f := range features {
		reach := f.reachDrawn()
		if !f.bound.Pad(nameFarM + reach).Contains(p) {
			continue
		}
		take := func(g orb.Geometry, reach float64) {
			if d, _, _, ok := plane.NewGauge(g).Within(plane.NewGauge(p), nameFarM+reach); ok && math.Abs(d-reach) < least {
				least, of = math.Abs(d-reach), f
			}
		}
		for i := range f.Areas {
			for _, ring := range f.Areas[i].Ground {
				take(slices.Concat(orb.LineString(ring), orb.LineString(ring[:min(1, len(ring))])), 0)
			}
		}
		for i := range f.Lines {
			take(f.Lines[i].Ground, reach)
		}
		for i := range f.Points {
			take(f.Points[i].Ground, reach)
		}
	}
	return least, of
}

// nearestCorner is how far the nearest corner or end of what features draw lies.
func nearestCorner(p orb.Point, features []*Feature) (least float64, of *Feature) {
	least = math.Inf(1)
	for _, f := range features {
		if !f.bound.Pad(nameFarM).Contains(p) {
			continue
		}
		take := func(q orb.Point) {
			if d := distance(p, q); d < least {
				least, of = d, f
			}
		}
		for i := range f.Areas {
			for _, ring := range f.Areas[i].Ground {
				for _, q := range ring {
					take(q)
				}
			}
		}
		for i := range f.Lines {
			for _, q := range f.Lines[i].Ground {
				take(q)
			}
		}
	}
	return least, of
}

func (r *run) placedOff(f, of *Feature, d float64, where string) {
	x := r.finding(r.middle(f), f, of)
	x.Severity = Note
	x.Measured, x.Limit, x.Unit = d, nameOffM, "m"
	x.Message = "its name says " + quote(f.Name) + ", and it lies " + metresPast(d, nameOffM) + " from " + where + ": one of the two lies elsewhere, and with it what hangs from it; measure both, or give it another name"
}

// edgePlaced tells of a wall called after a building that runs beside it, and of an
// edge called after a lawn that runs within it.
func (r *run) edgePlaced(f *Feature) {
	words := markNameWords(f.Name)
	if len(f.Lines) == 0 || len(words) == 0 || isBeside(words) {
		return
	}
	has := func(of []string) bool {
		return slices.ContainsFunc(words, func(w string) bool { return hasPart(of, w) })
	}
	switch {
	case endsName(words, wallWords) && has(houseWords) || endsName(words, []string{"hauswand"}):
		r.wallPlaced(f, words)
	case has(lawnWords) && endsName(words, sideEnds):
		for _, i := range r.zones().near(f.bound) {
			n := r.netOf(i)
			if !n.ok {
				continue
			}
			for k := range f.Lines {
				if _, depth := insideDepth(f.Lines[k].Ground, n.areas); depth > nameOffM+slackM {
					r.placedOff(f, r.zones().features[i], depth, "the outline of "+r.zones().features[i].describe()+", within it, so that mown ground reaches past its edge")
					return
				}
			}
		}
	}
}

// wallPlaced tells of a wall that runs along the building it is called after and lies
// beside its outline.
func (r *run) wallPlaced(f *Feature, words []string) {
	all := r.usableOf(schema.RoleBuilding)
	named := slices.DeleteFunc(slices.Clone(all), func(b *Feature) bool {
		own := letterWords(b.Name)
		return !slices.ContainsFunc(words, func(w string) bool { return hasPart(houseWords, w) && hasPart(own, w) })
	})
	if len(named) == 0 && len(all) == 1 {
		named = all
	}
	least, of := math.Inf(1), (*Feature)(nil)
	for _, b := range named {
		if !b.bound.Pad(nameFarM).Intersects(f.bound) {
			continue
		}
		low, high, inside := outlineOff(f, b, r.solidOf(b).areas)
		switch {
		case low <= nameOffM+slackM || inside && low < eavesM: // another may be meant, but it lies on this
			return
		case high < nameFarM && high-low <= nameOffM && low < least:
			least, of = low, b
		}
	}
	if of != nil {
		r.placedOff(f, of, least, "the outline of "+of.describe())
	}
}

// quarters are the middle and the quarters of each segment of a line: its ends may lie
// on another side of what it runs along.
func quarters(l orb.LineString) (out []orb.Point) {
	for i := 1; i < len(l); i++ {
		for _, t := range [...]float64{0.25, 0.5, 0.75} {
			out = append(out, orb.Point{l[i-1][0] + t*(l[i][0]-l[i-1][0]), l[i-1][1] + t*(l[i][1]-l[i-1][1])})
		}
	}
	return out
}

// outlineOff is how far places along a line lie from the outline of a building, from
// and to, and whether all lie inside it.
func outlineOff(f, b *Feature, areas orb.MultiPolygon) (low, high float64, inside bool) {
	low, inside = math.Inf(1), true
	var outline orb.MultiLineString
	for i := range b.Areas {
		for _, ring := range b.Areas[i].Ground {
			outline = append(outline, slices.Concat(orb.LineString(ring), orb.LineString(ring[:min(1, len(ring))])))
		}
	}
	if len(outline) == 0 {
		return 0, 0, false
	}
	gauge := plane.NewGauge(outline)
	for i := range f.Lines {
		for _, p := range quarters(f.Lines[i].Ground) {
			d, _, _, ok := gauge.Within(plane.NewGauge(p), 2*nameFarM)
			if !ok {
				d = 2 * nameFarM
			}
			low, high = min(low, d), max(high, d)
			inside = inside && plane.Locate(p, areas) == plane.Inside
		}
	}
	return low, high, inside
}
