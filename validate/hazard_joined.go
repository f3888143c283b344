// Hazards drawn as lines that meet end to end: what they close round.

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

// meetM is how far the ends of two lines of one hazard may miss one another and
// still meet: points of one place, surveyed twice (common practice, no source).
const meetM = 0.01

// shore is the lines of one kind that lie within reach of one another's ends.
type shore struct {
	lines []orb.LineString
	of    []*Feature
	// closed is what they close round, nil for nothing.
	closed []orb.Polygon
}

// joinedShores returns what lines of hazards close round together, by the slot
// of the first feature of each.
func (r *run) joinedShores() map[int][]orb.Polygon {
	if r.shores == nil {
		r.shores = map[int][]orb.Polygon{}
		for _, s := range r.shoresWithin(false, func(*Feature) float64 { return meetM }) {
			r.shores[s.of[0].slot] = append(r.shores[s.of[0].slot], s.closed...)
		}
	}
	return r.shores
}

// shoresWithin returns the lines of hazards of one kind that close round
// something where ends that lie within the reach of one another are taken to
// meet. Lines that close by themselves, and roads, which may well run in a
// ring where no word says that vehicles stand there, are left out.
//
// With mixed set lines of all kinds are taken together.
func (r *run) shoresWithin(mixed bool, reach func(*Feature) float64) []shore {
	type kindOf struct {
		kind, word string
	}
	kinds := map[kindOf]*shore{}
	var order []kindOf
	for _, f := range r.Of(schema.RoleHazard) {
		if !f.usable() || len(f.Lines) == 0 || isBorder(f) {
			continue
		}
		k := kindOf{kind: hazardKind(f)}
		if mixed {
			k = kindOf{}
		} else if k.kind == "" {
			k.word = schema.FoldName(f.Attributes.Get(schema.PropHazardKind).Text())
		}
		for i := range f.Lines {
			l := f.Lines[i].Ground
			if n := len(l); n < 2 || n >= 4 && distance(l[0], l[n-1]) <= slackM {
				continue
			}
			if kinds[k] == nil {
				kinds[k] = &shore{}
				order = append(order, k)
			}
			kinds[k].lines, kinds[k].of = append(kinds[k].lines, l), append(kinds[k].of, f)
		}
	}
	var out []shore
	for _, k := range order {
		for _, s := range kinds[k].loops(reach) {
			d := reach(s.of[0])
			around, ok := r.buffer(orb.MultiLineString(s.lines), d/2*(1+1e-6))
			if !ok {
				continue
			}
			for _, p := range around {
				for _, hole := range p[1:] {
					s.closed = append(s.closed, orb.Polygon{hole})
				}
			}
			if len(s.closed) > 0 {
				out = append(out, s)
			}
		}
	}
	return out
}

// loops parts lines into those that hang together where their ends meet, where
// an end meets the middle of a line and where lines cross, and returns the
// parts in which something may run in a loop: lines and such places are the
// nodes of a graph, which is no tree when it has as many links as nodes.
func (s *shore) loops(reach func(*Feature) float64) []shore {
	type segment struct {
		line, at int
	}
	var segments []segment
	var boxes []orb.Bound
	ends := make([]orb.Bound, 0, 2*len(s.lines))
	for i, l := range s.lines {
		ends = append(ends, l[0].Bound(), l[len(l)-1].Bound())
		for k := 1; k < len(l); k++ {
			segments = append(segments, segment{i, k})
			boxes = append(boxes, segmentBox(l[k-1], l[k]))
		}
	}
	place, part := newSets(len(ends)), newSets(len(s.lines))
	links := make([]int, len(s.lines)) // beyond those of a line to its ends, less places beyond them
	tree, pieces := plane.NewBoxes(ends), plane.NewBoxes(boxes)
	var found []int
	for i := range ends {
		p, d := ends[i].Min, reach(s.of[i/2])
		found = tree.Search(ends[i].Pad(d), found[:0])
		for _, k := range found {
			if distance(p, ends[k].Min) <= d {
				place.join(i, k)
				part.join(i/2, k/2)
			}
		}
		found = pieces.Search(ends[i].Pad(d), found[:0])
		for _, k := range found {
			o := segments[k]
			l := s.lines[o.line]
			// Not where its own line runs up to it, nor where ends meet.
			own := i/2 == o.line && (i%2 == 0 && o.at <= 2 || i%2 == 1 && o.at >= len(l)-2)
			first, last := i == 2*o.line || distance(p, l[0]) > d, i == 2*o.line+1 || distance(p, l[len(l)-1]) > d
			if !own && first && last && distanceToSegment(p, l[o.at-1], l[o.at]) <= d {
				links[o.line]++
				part.join(i/2, o.line)
			}
		}
	}
	for i, o := range segments {
		l := s.lines[o.line]
		found = pieces.Search(boxes[i], found[:0])
		for _, k := range found {
			c := segments[k]
			if k <= i || o.line == c.line && c.at-o.at < 2 {
				continue
			}
			m := s.lines[c.line]
			if plane.Cross(l[o.at-1], l[o.at], m[c.at-1], m[c.at]).Kind == plane.CrossProper {
				links[o.line]++ // two links, one place
				part.join(o.line, c.line)
			}
		}
	}
	surplus := map[int]int{} // links less nodes
	for i := range s.lines {
		surplus[part.root(i)] += links[i] + 1
		for k := 2 * i; k < 2*i+2; k++ {
			if place.root(k) == k {
				surplus[part.root(i)]--
			}
		}
	}
	var out []shore
	at := map[int]int{}
	for i := range s.lines {
		root := part.root(i)
		if surplus[root] < 0 {
			continue
		}
		k, ok := at[root]
		if !ok {
			k = len(out)
			at[root] = k
			out = append(out, shore{})
		}
		out[k].lines, out[k].of = append(out[k].lines, s.lines[i]), append(out[k].of, s.of[i])
	}
	return out
}

// sets is a forest of disjoint sets of numbers.
type sets []int

func newSets(n int) sets {
	s := make(sets, n)
	for i := range s {
		s[i] = i
	}
	return s
}

func (s sets) root(i int) int {
	for s[i] != i {
		s[i] = s[s[i]]
		i = s[i]
	}
	return i
}

func (s sets) join(i, k int) {
	i, k = s.root(i), s.root(k)
	s[max(i, k)] = min(i, k)
}

// poolWords are words of hazard_kind for what has a shore all round, so that a
// line of it that nearly closes leaves a part of the shore out; streams and
// ledges may well run about a lawn.
var poolWords = strings.Fields("pond pool lake basin reservoir tarn puddle swamp bog marsh lagoon loch sea harbour harbor marina well excavation ravine trench pit hole quarry shaft crater sinkhole " +
	"teich weiher see becken pfuhl tümpel sumpf grube schacht steinbruch étang etang mare piscine bassin lac marais carrière gouffre estanque piscina charca laguna lago cantera socavón " +
	"vijver zwembad plas kuil groeve stagno laghetto cava voragine sø sjø sjö vatten dam damm tjern tjärn grop lampi järvi kuoppa")

// waterWords by themselves say neither a pond nor a stream.
var waterWords = strings.Fields("water wasser gewässer eau agua acqua vand vann vatten vesi")

// isPool reports whether a hazard is one of poolWords, or may be.
func isPool(f *Feature) bool {
	if k := kindsOf(f); k.open {
		return true
	} else if k.gravest == "road" {
		return !isBorder(f)
	}
	words := wordsOf(f.Attributes.Get(schema.PropHazardKind).Text())
	if len(words) == 1 && slices.Contains(waterWords, words[0]) {
		return true
	}
	for _, w := range words {
		if slices.ContainsFunc(poolWords, func(end string) bool { return strings.HasSuffix(strings.TrimSuffix(w, "s"), end) }) {
			return true
		}
	}
	return false
}

// mostMouth is how wide the mouth of an open line of what has an outline may be,
// as a share of the line: more is a line that is next to straight.
const mostMouth = 0.95

// hasOutline reports whether a hazard is a solid thing that covers ground, and
// none that runs along a line, as hedges, fences, walls and benches do.
func hasOutline(f *Feature) bool {
	if kindsOf(f).gravest != "" {
		return false
	}
	out := false
	for _, w := range wordsOf(f.Attributes.Get(schema.PropHazardKind).Text()) {
		is := func(words []string) bool { return hasWord(words, w) || endsIn(words, w) }
		if is(bandWords) || is(lineWords) {
			return false
		}
		out = out || is(wideWords) || is(highWords) || is(tallWords) || is(roundedWords)
	}
	return out
}

// Words beside bandWords, wideWords and the like for solid things that run along a
// line, and for those that have an outline (common practice, no source).
var (
	lineWords    = strings.Fields("wall fence trellis barrier arch bench seat rail railing noise scaffold scaffolding hoarding billboard mauer zaun schutzwand bank mur clôture treillis muro valla muur schutting recinto mur plank aita plot")
	roundedWords = strings.Fields("table statue sculpture boulder rock findling fels tank cabinet umbrella parasol beehive gravestone headstone planter tisch rocher mesa roca estatua tafel rots tavolo roccia statua bord pöytä patsas")
)

// gapedShores records pools whose shore is drawn as an open line that runs round
// more than half of something mown: its mouth is less than half as wide as the
// line is long, and wider than what openShores closes; and such lines of things
// that have an outline, wherever they turn.
func (r *run) gapedShores(hazards []*Feature, zones *solids) {
	for _, f := range hazards {
		most := 0.5
		if len(f.Lines) == 0 {
			continue
		} else if hasOutline(f) {
			most = mostMouth
		} else if !isPool(f) {
			continue
		}
		for i := range f.Lines {
			l := f.Lines[i].Ground
			if len(l) < 3 {
				continue
			}
			mouth := distance(l[0], l[len(l)-1])
			if mouth <= r.of(f).MachineWidthM || mouth >= most*groundLength(l) {
				continue
			}
			ring := append(append(make(orb.Ring, 0, len(l)+1), l...), l[0])
			around := orb.MultiPolygon{{ring}}
			for _, k := range zones.near(boundOf(l)) {
				n := r.netOf(k)
				if shared, ok := r.intersection(n.areas, around); !n.ok || !ok || len(shared) > 0 {
					r.cannot("%s is drawn as a line with a mouth of %s, and what it runs round lies in %s: whether that ground is part of it cannot be told; close the line along its outline, or draw its area", f.describe(), metres(mouth), zones.features[k].describe())
					break
				}
			}
		}
	}
}

// mostPieces is the most open lines of one kind that are put together.
const mostPieces = 64

// piecedShores records pools whose shore is drawn as several open lines that run
// round something mown when every end is joined to the nearest that is free: all
// mouths together are less than half as wide as the lines are long, and one of
// them is wider than what openShores closes.
func (r *run) piecedShores(hazards []*Feature, zones *solids) {
	pieces := map[string]*shore{}
	var order []string
	for _, f := range hazards {
		if len(f.Lines) == 0 || !isPool(f) {
			continue
		}
		k := hazardKind(f)
		for i := range f.Lines {
			l := f.Lines[i].Ground
			if n := len(l); n < 2 || distance(l[0], l[n-1]) <= slackM {
				continue
			}
			if pieces[k] == nil {
				pieces[k] = &shore{}
				order = append(order, k)
			}
			pieces[k].lines, pieces[k].of = append(pieces[k].lines, l), append(pieces[k].of, f)
		}
	}
	for _, k := range order {
		if n := len(pieces[k].lines); n < 2 || n > mostPieces {
			continue
		}
		for _, ring := range pieces[k].rounds() {
			first := ring.of[0]
			if ring.widest <= r.of(first).MachineWidthM || ring.mouths >= ring.length/2 || len(r.validator.Polygons([]orb.Polygon{{ring.outline}})) > 0 {
				continue
			}
			around := orb.MultiPolygon{{ring.outline}}
			for _, i := range zones.near(boundOf(ring.outline)) {
				n := r.netOf(i)
				if shared, ok := r.intersection(n.areas, around); !n.ok || !ok || len(shared) > 0 {
					r.cannot("%s and the next of its kind are drawn as %d lines with mouths of up to %s between them, and what they run round lies in %s: whether that ground is part of it cannot be told; join them along the shore, or draw its area",
						first.describe(), len(ring.of), metres(ring.widest), zones.features[i].describe())
					break
				}
			}
		}
	}
}

// round is an outline of several lines, joined end to end.
type round struct {
	of                     []*Feature
	outline                orb.Ring
	length, mouths, widest float64
}

// rounds joins the ends of the lines, the nearest two first, and returns the
// outlines of two lines or more that come of it.
func (s *shore) rounds() []round {
	type pair struct {
		a, b int // ends: twice the line, and one more for its last point
		d    float64
	}
	end := func(e int) orb.Point {
		if l := s.lines[e/2]; e%2 == 1 {
			return l[len(l)-1]
		}
		return s.lines[e/2][0]
	}
	var pairs []pair
	for a := range 2 * len(s.lines) {
		for b := range a {
			pairs = append(pairs, pair{a, b, distance(end(a), end(b))})
		}
	}
	slices.SortStableFunc(pairs, func(p, q pair) int { return cmp.Compare(p.d, q.d) })
	next := make([]int, 2*len(s.lines))
	for i := range next {
		next[i] = -1
	}
	for _, p := range pairs {
		if next[p.a] < 0 && next[p.b] < 0 {
			next[p.a], next[p.b] = p.b, p.a
		}
	}
	var out []round
	done := make([]bool, len(s.lines))
	for i := range s.lines {
		var o round
		for e := 2 * i; !done[e/2]; e = next[e^1] {
			done[e/2] = true
			l := slices.Clone(s.lines[e/2])
			if e%2 == 1 {
				slices.Reverse(l)
			}
			mouth := distance(end(e^1), end(next[e^1]))
			o.of, o.outline = append(o.of, s.of[e/2]), append(o.outline, l...)
			o.length, o.mouths, o.widest = o.length+groundLength(l), o.mouths+mouth, math.Max(o.widest, mouth)
		}
		if len(o.of) < 2 {
			continue
		}
		o.outline = append(o.outline, o.outline[0])
		if o.outline = pick(o.outline, soundVertices(o.outline)); len(o.outline) > 3 {
			out = append(out, o)
		}
	}
	return out
}

// openShores records where lines of a hazard would close round driven ground
// but for gaps that no machine fits through.
func (r *run) openShores(zones *solids, corridors []corridorLine) {
	reach := func(f *Feature) float64 { return r.of(f).MachineWidthM }
	shores := r.shoresWithin(false, reach)
	for _, s := range r.shoresWithin(true, reach) {
		if !sameKind(s.of) {
			shores = append(shores, s)
		}
	}
	for _, s := range shores {
		if r.joinedShores()[s.of[0].slot] != nil {
			continue
		}
		for _, p := range s.closed {
			what := ""
			for _, i := range zones.near(boundOf(p[0])) {
				if meet(orb.MultiPolygon{p}, boundOf(p[0]), zones.areas[i], zones.bounds[i]) != apart {
					what = zones.features[i].describe()
				}
			}
			for i := range corridors {
				if c := &corridors[i]; what == "" && len(clipInside(c.pts, orb.MultiPolygon{p})) > 0 {
					what = c.f.describe()
				}
			}
			if what != "" {
				r.cannot("%s nearly closes round %s: whether the ground inside is part of it cannot be told; join its lines, or draw its area", s.of[0].describe(), what)
			}
		}
	}
}

// sameKind reports whether the hazards are all of one kind.
func sameKind(list []*Feature) bool {
	for _, f := range list {
		if hazardKind(f) != hazardKind(list[0]) || f.Attributes.Get(schema.PropHazardKind).Text() != list[0].Attributes.Get(schema.PropHazardKind).Text() && hazardKind(f) == "" {
			return false
		}
	}
	return true
}
