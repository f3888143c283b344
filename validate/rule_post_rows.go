// Rows of posts, between which a fence, a wire or a chain may hang: what of
// corridor-narrow and passage-narrow is about them.

package validate

import (
	"slices"
	"strings"

	"github.com/paulmach/orb"

	"swardline/schema"
	"swardline/validate/plane"
)

// A row is three posts or more, each at most rowSpanM from the next, in line within
// 25 degrees (rowTurn), of which one gap is no more than twice another. Common
// practice, no source.
const (
	rowSpanM = 6.5
	// Two that say what hangs between them, under one name, are enough this near.
	saidSpanM = 12.0
	rowTurn   = 0.906
	// postSizeM is the greatest size of the outline of a post.
	postSizeM = 1.0
)

// postWords are words for posts that may carry something, spanWords for what hangs
// between posts, and freeWords for posts that stand free unless it is said what
// hangs between them (common practice, no source).
var (
	postWords = strings.Fields("post pole pillar stanchion upright stake picket peg pile column mast pfosten pfahl pfeiler pflock stange säule poteau pilier piquet pieu mât poste pilar estaca mástil palo paal pilastro picchetto stolpe stolpar stolper pæl påle pylväs tolppa paalu")
	spanWords = strings.Fields("washing clothesline clothes line hammock slackline volleyball badminton tennis wäscheleine wäsche leine hängematte linge tendedero waslijn stendibiancheria tvättlina tørresnor fence fencing railing guardrail handrail chain rope wire cable net barrier palisade trellis vine hop espalier zaun geländer handlauf leitplanke kette seil draht netz barriere palisade spalier clôture palissade chaîne corde fil filet barrière treillis " +
		"valla cerca cadena cuerda alambre red barrera empalizada hek ketting touw draad net recinzione staccionata catena corda filo rete hegn kæde reb gjerde kjetting tau staket kedja rep aita ketju köysi")
	// goalWords are words for the posts of a goal, between which a net hangs; hedgeWords
	// for hedges, whose plants may be drawn one by one.
	goalWords  = strings.Fields("goalpost goalposts torpfosten torpfostens poteaudebut postedeportería palodellaporta doelpaal målstolpe målstolpar målstang målpæl maalitolppa")
	hedgeWords = strings.Fields("hedge hecke haie seto haag heg siepe hæk hekk häck pensasaita")
	freeWords  = strings.Fields("bollard bollards lamp lamps lamppost lantern light sign signs signpost flag flagpole goal poller laterne lampe leuchte schild fahnenmast borne lampadaire panneau bolardo farola señal lantaarn lantaarnpaal lampione cartello pullert lygtepæl skilt lyktstolpe skylt lyktestolpe pollari lamppu kyltti catenary")
)

// isPost reports whether a feature is a post, or several, between which something
// may hang.
func isPost(f *Feature) (is, saysSpan bool) {
	mark := f.Role == schema.RoleMark
	if f.Role != schema.RoleHazard && f.Role != schema.RoleOther && !mark || !f.usable() || len(f.Lines) > 0 {
		return false, false
	}
	post, span, free, hedge := false, false, false, false
	for _, text := range [...]string{f.Name, f.Attributes.Get(schema.PropHazardKind).Text()} {
		words := letterWords(text)
		for i, w := range words {
			says := postSays.get(w)
			goal := hasWord(goalWords, w) || i+1 < len(words) && hasWord(goalWords, w+words[i+1])
			post, span, free, hedge = post || says[0], span || says[1] || goal, free || says[2], hedge || hasWord(hedgeWords, w)
		}
	}
	if mark { // on or beside what it is called after
		return span && post, span && post
	}
	return span || hedge || post && !free, span
}

// postSays reports of a word whether it is one of postWords, of spanWords and of
// freeWords.
var postSays = remembered[[3]bool]{of: func(w string) [3]bool {
	spans := slices.ContainsFunc(spanWords, func(s string) bool { return len(s) >= 4 && strings.HasPrefix(w, s) })
	return [3]bool{hasWord(postWords, w) || endsIn(postWords, w), spans || hasWord(spanWords, w), hasWord(freeWords, w) || endsIn(freeWords, w)}
}}

// rowPost is one post.
type rowPost struct {
	f    *Feature
	at   orb.Point
	span bool // it says that something hangs there
}

// gapOf is the ground between two neighbouring posts of a row.
type gapOf struct{ a, b *rowPost }

// postGaps are the gaps of all rows of posts.
func (r *run) postGaps() []gapOf {
	if r.rowsKnown {
		return r.rowGaps
	}
	r.rowsKnown = true
	var posts []rowPost
	for _, f := range r.Features {
		is, span := isPost(f)
		if !is {
			continue
		}
		for i := range f.Points {
			posts = append(posts, rowPost{f, f.Points[i].Ground, span})
		}
		for i := range f.Areas {
			if box := boundOf(f.Areas[i].Ground[0]); distance(box.Min, box.Max) <= postSizeM {
				posts = append(posts, rowPost{f, box.Center(), span})
			}
		}
	}
	if len(posts) < 2 {
		return nil
	}
	boxes := make([]orb.Bound, len(posts))
	for i := range posts {
		boxes[i] = posts[i].at.Bound()
	}
	index := plane.NewBoxes(boxes)
	near := make([][]int, len(posts))
	for i := range posts {
		for _, k := range index.Search(boxes[i].Pad(rowSpanM+slackM), nil) {
			if d := distance(posts[i].at, posts[k].at); k != i && d > slackM && d <= rowSpanM+slackM && len(near[i]) < mostNear {
				near[i] = append(near[i], k)
			}
		}
	}
	// next reports whether a row goes on from b as it comes from a.
	next := func(a, b int) bool {
		u, _ := unit(posts[a].at, posts[b].at)
		d := distance(posts[a].at, posts[b].at)
		return slices.ContainsFunc(near[b], func(c int) bool {
			v, ok := unit(posts[b].at, posts[c].at)
			e := distance(posts[b].at, posts[c].at)
			return ok && u[0]*v[0]+u[1]*v[1] >= rowTurn && e <= 2*d+slackM && d <= 2*e+slackM
		})
	}
	for i := range posts {
		for _, k := range near[i] {
			between := slices.ContainsFunc(near[i], func(m int) bool {
				return m != k && distance(posts[m].at, posts[k].at) > slackM && distanceToSegment(posts[m].at, posts[i].at, posts[k].at) < postSizeM/2 && distance(posts[m].at, posts[i].at) < distance(posts[i].at, posts[k].at)
			})
			if k > i && !between && (next(i, k) || next(k, i)) {
				r.rowGaps = append(r.rowGaps, gapOf{&posts[i], &posts[k]})
			}
		}
	}
	for i := range posts {
		if !posts[i].span {
			continue
		}
		for _, k := range index.Search(boxes[i].Pad(saidSpanM+slackM), nil) {
			a, b := posts[i].at, posts[k].at
			d := distance(a, b)
			if k <= i || !posts[k].span || d <= slackM || d > saidSpanM+slackM || len(r.rowGaps) >= mostGaps || withoutNumbers(posts[i].f.Name) != withoutNumbers(posts[k].f.Name) {
				continue
			}
			nearer := func(m int) bool { // in line between the two
				return m != i && m != k && distance(posts[m].at, a) < d && distance(posts[m].at, b) < d && distanceToSegment(posts[m].at, a, b) < postSizeM/2
			}
			if !slices.ContainsFunc(index.Search(segmentBox(a, b).Pad(postSizeM), nil), nearer) {
				r.rowGaps = append(r.rowGaps, gapOf{&posts[i], &posts[k]})
			}
		}
	}
	return r.rowGaps
}

// mostGaps is how many gaps between posts are kept.
const mostGaps = 2000

// withoutNumbers is a folded name without what numbers it.
func withoutNumbers(name string) string {
	return strings.Join(slices.DeleteFunc(nameWords(name), func(w string) bool { return isNumber(w) || isTag(w) }), " ")
}

// mostNear is the most neighbours of a post that are looked at.
const mostNear = 64

// gated reports whether a gate is drawn at a place.
func (r *run) gated(p orb.Point) bool {
	for i := range r.openings() {
		o := &r.openingSet[i]
		if o.kind != schema.EdgeGate || o.long {
			continue
		}
		if area := o.area(0); area.Bound().Contains(p) && plane.Locate(p, orb.MultiPolygon{area}) != plane.Outside {
			return true
		}
	}
	return false
}

func (r *run) cannotRow(g gapOf, what string) {
	r.cannot("%s %s and %s, %s apart in a row of posts, and whether a fence, a wire or a chain hangs there cannot be told: draw it as an edge of the kind fence, with a gate where the machine goes through, or call posts that stand free bollards", what, g.a.f.describe(), g.b.f.describe(), metres(distance(g.a.at, g.b.at)))
}

// rowsCrossed records the corridors that go through a row of posts where no gate is
// drawn, each once.
func (r *run) rowsCrossed(list []corridorLine) {
	gaps := r.postGaps()
	if len(gaps) == 0 {
		return
	}
	for i := range list {
		c := &list[i]
		box := boundOf(c.pts)
		for _, g := range gaps {
			line := orb.LineString{g.a.at, g.b.at}
			if box.Intersects(boundOf(line)) && slices.ContainsFunc(appendPassed(nil, c.pts, g.a.f, line), func(p passed) bool { return !r.gated(p.at) }) {
				r.cannotRow(g, c.f.describe()+" goes between")
				break
			}
		}
	}
}

// rowsMown records the zones that are mown between posts of a row, each once.
func (r *run) rowsMown() {
	zones := r.zones()
	told := map[int]bool{}
	for _, g := range r.postGaps() {
		line := orb.LineString{g.a.at, g.b.at}
		for _, i := range zones.near(boundOf(line)) {
			n := r.netOf(i)
			if told[i] || !n.ok || len(n.areas) == 0 {
				continue
			}
			for _, piece := range clipInside(line, n.areas) {
				a, b := piece[0], piece[len(piece)-1]
				if _, depth := insideDepth(piece, n.areas); depth > slackM && distance(a, b) > slackM && !r.gated(orb.Point{(a[0] + b[0]) / 2, (a[1] + b[1]) / 2}) && !told[i] {
					told[i] = true
					r.cannotRow(g, zones.features[i].describe()+" is mown between")
				}
			}
		}
	}
}
