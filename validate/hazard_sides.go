// Two lines that may be the two sides of one road, railway, water or ditch, and
// drops that run round a pit.

package validate

import (
	"math"
	"slices"
	"strings"

	"github.com/paulmach/orb"

	"swardline/schema"
	"swardline/validate/plane"
)

// Which two lines are taken for the sides of one thing (common practice, no source).
const (
	// sidesM is how far apart, in metres, lines of one name, or banks of any, may be: a
	// road of four lanes with its verges; banksM those of one name that say that they are
	// banks; unlikeM lines of names that are not alike: a street; and ownM those of which
	// either says what it is of: Mill Lane, High Street.
	sidesM, banksM, unlikeM, ownM = 25.0, 60.0, streetMostM, 8.0
	// thinM is up to how wide, in metres, a line of a road or railway stands for a side
	// all the same: a rail, a kerbstone.
	thinM = 0.5
	// sidesLeastM is the least length, in metres, for which they lie side by side.
	sidesLeastM = 2.0
	// sidesLeastM2 is the least that is driven between them, in square metres.
	sidesLeastM2 = 1.0
)

// bankWords say that a line is the side of a water (common practice, no source).
var bankWords = strings.Fields("bank shore brink berge orilla oever sponda bred bredd ranta rail schiene")

// sidesOfOneWords tell one side of a thing from the other.
var sidesOfOneWords = strings.Fields("left right north south east west northern southern eastern western upper lower near far inner outer one two first second " +
	"links rechts linke rechte linker rechter nord süd ost osten westen norden süden gauche droite sud est ouest izquierda derecha norte sur este oeste noord zuid oost rechter destra sinistra ovest " +
	"venstre højre høyre vänster höger syd øst öst vest väst oikea vasen")

// terraceWords say that the ground lies in steps, one drop below another (common
// practice, no source).
var terraceWords = strings.Fields("terrace terraces terraced terrasse terrassen terraza terrazas terras terrazza terrazze terrass terasse")

// withoutSide is what a feature is called, less the words for a side of it and
// numbers.
func withoutSide(f *Feature) string {
	words := letterWords(f.Name)
	return strings.Join(slices.DeleteFunc(words, func(w string) bool {
		return len([]rune(w)) == 1 || slices.Contains(sidesOfOneWords, w) || strings.Trim(w, "0123456789") == ""
	}), " ")
}

func saysBank(f *Feature) bool {
	return saysShore(f) || saysAny(f.Name, bankWords) || saysAny(f.Attributes.Get(schema.PropHazardKind).Text(), bankWords)
}

// isThin reports whether a hazard drawn as a line says no width, or one that no road
// has.
func isThin(f *Feature) bool {
	wide := 2 * f.growth()
	return wide == 0 || wide <= thinM+slackM && kindsOf(f).gravest == "road"
}

// sideLine is one line that may be a side of something.
type sideLine struct {
	f    *Feature
	l    orb.LineString
	name string // less what tells the sides apart
	bank bool
	own  bool // it says what it is a side of
}

// apart is how far apart two lines may be and be the sides of one thing.
func (a *sideLine) apart(b *sideLine) float64 {
	switch {
	case a.name != b.name && a.own && b.own && a.f.Role == schema.RoleEdge:
		return 0
	case a.name != b.name && a.own && b.own && !(a.bank && b.bank):
		return ownM
	case a.name != b.name && !(a.bank && b.bank):
		return unlikeM
	case a.name == b.name && a.bank && b.bank:
		return banksM
	}
	return sidesM
}

// facing is the ground between two lines that lie side by side, nil where they do
// not.
func (r *run) facing(a, b *sideLine) orb.Polygon {
	most := a.apart(b)
	if !boundOf(a.l).Pad(most).Intersects(boundOf(b.l)) {
		return nil
	}
	u, ok := unit(a.l[0], a.l[len(a.l)-1])
	v, good := unit(b.l[0], b.l[len(b.l)-1])
	along := u[0]*v[0] + u[1]*v[1]
	if !ok || !good || math.Abs(along) < 0.87 { // 30 degrees
		return nil
	}
	other := slices.Clone(b.l)
	if along > 0 {
		slices.Reverse(other)
	}
	on := func(p orb.Point) float64 { return (p[0]-a.l[0][0])*u[0] + (p[1]-a.l[0][1])*u[1] }
	last := len(other) - 1
	length, from, to := on(a.l[len(a.l)-1]), on(other[last]), on(other[0])
	both := math.Min(length, to) - math.Max(0, from)
	if both < sidesLeastM || both < math.Min(length, to-from)/2 {
		return nil
	}
	// across is where a line goes by a place along the first.
	across := func(l orb.LineString, t float64) orb.Point {
		for i := 1; i < len(l); i++ {
			if p, q := on(l[i-1]), on(l[i]); p != q && (p-t)*(q-t) <= 0 {
				s := (t - p) / (q - p)
				return orb.Point{l[i-1][0] + s*(l[i][0]-l[i-1][0]), l[i-1][1] + s*(l[i][1]-l[i-1][1])}
			}
		}
		return l[0]
	}
	at := (math.Min(length, to) + math.Max(0, from)) / 2
	if distance(across(a.l, at), across(other, at)) > most+slackM {
		return nil
	}
	ring := append(append(append(orb.Ring{}, a.l...), other...), a.l[0])
	if ring = pick(ring, soundVertices(ring)); len(ring) < 4 || len(r.validator.Polygons([]orb.Polygon{{ring}})) > 0 {
		return nil
	}
	return orb.Polygon{ring}
}

// mostSides is the most lines of one kind that are looked at in pairs.
const mostSides = 1000

// twoSides visits the pairs of lines of one key that lie side by side.
func (r *run) twoSides(lines map[string][]sideLine, order []string, visit func(a, b *sideLine, between orb.MultiPolygon) bool) {
	for _, k := range order {
		list := lines[k]
		if len(list) > mostSides {
			list = list[:mostSides]
		}
		for i := range list {
			for j := range i {
				if p := r.facing(&list[j], &list[i]); p != nil {
					visit(&list[j], &list[i], orb.MultiPolygon{p})
				}
			}
		}
	}
}

// mownIn is a zone of which at least sidesLeastM2 that no keep-out covers lie in
// an area and of which want holds; nil for none.
func (r *run) mownIn(between orb.MultiPolygon, zones *solids, want func(i int) bool) *Feature {
	for _, i := range zones.near(areasBound(between)) {
		n := r.netOf(i)
		if !want(i) {
			continue
		}
		if shared, ok := r.intersection(n.areas, between); !n.ok || !ok || plane.Area(shared) >= sidesLeastM2 {
			return zones.features[i]
		}
	}
	return nil
}

// sides records two lines of one kind of road, railway or water, of no width, with
// driven ground between.
func (r *run) sides(hazards []*Feature, zones *solids, corridors []corridorLine) {
	var lines map[string][]sideLine
	var order []string
	for _, f := range hazards {
		if len(f.Lines) == 0 || !isThin(f) {
			continue
		}
		kind := longKind(f)
		if kind == "" || kind[0] == '?' {
			continue
		}
		name, bank := withoutSide(f), kind == "water" && saysBank(f)
		for _, l := range f.lines() {
			if n := len(l); n < 2 || distance(l[0], l[n-1]) < sidesLeastM {
				continue
			}
			if lines == nil {
				lines = map[string][]sideLine{}
			}
			if lines[kind] == nil {
				order = append(order, kind)
			}
			own := slices.ContainsFunc(letterWords(f.Name), func(w string) bool { return kindOfWord(w) == kindsOf(f).gravest })
			lines[kind] = append(lines[kind], sideLine{f, l, name, bank, own})
		}
	}
	r.twoSides(lines, order, func(a, b *sideLine, between orb.MultiPolygon) bool {
		of := r.mownIn(between, zones, func(int) bool { return true })
		for i := range corridors {
			c := &corridors[i]
			if of != nil || !boundOf(c.pts).Intersects(areasBound(between)) {
				continue
			}
			inside := 0.0
			for _, part := range clipInside(c.pts, between) {
				inside += groundLength(part)
			}
			if d, _, _ := plane.NewGauge(c.pts).Clearance(plane.NewGauge(orb.MultiLineString{a.l, b.l})); d > 0 && inside >= sidesLeastM {
				of = c.f
			}
		}
		if of != nil {
			r.cannot("%s and %s may be the two sides of one thing, and %s lies between them: whether that is driven on it cannot be told; draw its area, or give each of two a width_m of its own", a.f.describe(), b.f.describe(), of.describe())
		}
		return of != nil
	})
}

// edgeSides records two drops, or two kerbs, that run side by side through a lawn
// which is mown between them: a ditch or a road may lie there. Where a ramp leads
// over one of them somebody has thought of it. And it records what edgeStreets does.
func (r *run) edgeSides(edges []*Feature, zones *solids) {
	r.edgeStreets(edges, zones)
	var lines map[string][]sideLine
	var order []string
	for _, f := range edges {
		kind := edgeKind(f)
		if kind != schema.EdgeDrop && kind != schema.EdgeKerb {
			continue
		}
		for _, l := range f.lines() {
			if n := len(l); n < 2 || distance(l[0], l[n-1]) < sidesLeastM || len(zones.near(boundOf(l))) == 0 {
				continue
			}
			if lines == nil {
				lines = map[string][]sideLine{}
			}
			name := withoutSide(f)
			if strings.HasPrefix(name, "line ") { // as a drawing calls each
				name = ""
			}
			if lines[kind] == nil {
				order = append(order, kind)
			}
			lines[kind] = append(lines[kind], sideLine{f: f, l: l, name: name, own: saysAny(f.Name, terraceWords)})
		}
	}
	r.twoSides(lines, order, func(a, b *sideLine, between orb.MultiPolygon) bool {
		if r.rampAt(a.l) || r.rampAt(b.l) {
			return false
		}
		of := r.mownIn(between, zones, func(i int) bool { return runsIn(a.l, zones.areas[i]) && runsIn(b.l, zones.areas[i]) })
		if of != nil {
			r.cannot("%s and %s run side by side through %s, which is mown between them: whether a ditch or a road lies there cannot be told; draw a keep-out over what lies between, or the ramp that leads over one of them", a.f.describe(), b.f.describe(), of.describe())
		}
		return of != nil
	})
}

// halfIn reports whether at least half of a line lies inside an area.
func halfIn(l orb.LineString, area orb.MultiPolygon) bool {
	return lengthIn(l, area) >= groundLength(l)/2
}

// lengthIn is how much of a line, in metres, lies inside an area.
func lengthIn(l orb.LineString, area orb.MultiPolygon) (inside float64) {
	for _, part := range clipInside(l, area) {
		inside += groundLength(part)
	}
	return inside
}

// throughM is how much of a line, in metres, lies in a zone that it runs through,
// however long it is (common practice, no source).
const throughM = 5.0

// runsIn reports whether half of a line, or throughM of it, lies inside an area.
func runsIn(l orb.LineString, area orb.MultiPolygon) bool {
	return lengthIn(l, area) >= math.Min(throughM, groundLength(l)/2)
}

// rampAt reports whether a ramp or gate lies within crossingM of a line.
func (r *run) rampAt(l orb.LineString) bool {
	box := boundOf(l).Pad(crossingM)
	for i := range r.openings() {
		o := &r.openingSet[i]
		if !segmentBox(o.a, o.b).Intersects(box) {
			continue
		}
		if _, _, _, ok := plane.NewGauge(l).Within(plane.NewGauge(orb.LineString{o.a, o.b}), crossingM); ok {
			return true
		}
	}
	return false
}

// edgeRings records drops, and kerbs named after a water or a pit, that run round
// more than half of something mown in the middle of a lawn, with a mouth through
// which the machine fits and no ramp in it.
func (r *run) edgeRings(edges []*Feature, zones *solids) {
	for _, f := range edges {
		kind := edgeKind(f)
		if kind != schema.EdgeDrop && (kind != schema.EdgeKerb || !namedPool(f.Name)) {
			continue
		}
		for _, l := range f.lines() {
			n := len(l)
			if n < 4 || len(zones.near(boundOf(l))) == 0 {
				continue
			}
			mouth := distance(l[0], l[n-1])
			if mouth <= r.of(f).MachineWidthM || mouth >= groundLength(l)/2 {
				continue
			}
			ring := append(append(make(orb.Ring, 0, n+1), l...), l[0])
			if len(r.validator.Polygons([]orb.Polygon{{ring}})) > 0 || r.rampAt(orb.LineString{l[0], l[n-1]}) {
				continue
			}
			if z := r.mownIn(orb.MultiPolygon{{ring}}, zones, func(i int) bool { return halfIn(l, zones.areas[i]) }); z != nil {
				r.cannot("%s runs round a part of %s with a mouth of %s: whether that part is a pit cannot be told; close the line and draw a keep-out over what lies inside, or the ramp in its mouth", f.describe(), z.describe(), metres(mouth))
				break
			}
		}
	}
}

// namedPool reports whether a name has one of poolWords, or a water.
func namedPool(name string) bool {
	return slices.ContainsFunc(letterWords(name), func(w string) bool {
		return kindOfWord(w) == "water" || slices.ContainsFunc(poolWords, func(end string) bool {
			return len(end) > 3 && strings.HasSuffix(strings.TrimSuffix(w, "s"), end) || w == end
		})
	})
}
