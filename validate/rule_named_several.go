// Names that promise more than is drawn, for name-contradicts: several things of which
// one outline is drawn (Two trees, House and garage), a side of a thing of which the rest
// is not (Lake north shore), and a roof, which is no outline of walls.

package validate

import (
	"math"
	"regexp"
	"slices"
	"strings"

	"github.com/paulmach/orb"

	"swardline/schema"
	"swardline/validate/plane"
)

// numberWords are small numbers in words, in seven languages and more (common practice,
// no source). What is another word as often (six is none, sex and fire are) is left out.
var numberWords = func() map[string]int {
	out := map[string]int{}
	for n, words := range map[int]string{
		2: "two both pair couple twin zwei beide beiden paar deux due entrambi dos ambos twee beide två båda to begge",
		3: "three drei trois tre tres drie triple", 4: "four vier quatre quattro cuatro fyra", 5: "five fünf cinq cinque cinco vijf fem",
		6: "six sechs seis zes", 7: "seven sieben sette siete zeven sju", 8: "eight huit otto ocho", 9: "nine neun nueve negen nio", 10: "ten zehn dix dieci diez tien tio",
	} {
		for w := range strings.FieldsSeq(words) {
			out[w] = n
		}
	}
	return out
}()

var (
	// manyNames are plurals that do not end in s, by kind, and oneOfMany words that end
	// in s, or say several plants or steps, and are one thing.
	manyNames = map[string]string{
		"tree":  "bäume eichen birken fichten tannen buchen kiefern obstbäume baumgruppe baumreihe arbres alberi querce betulle árboles bomen eiken berken träden ekar björkar trær trees oaks beeches birches pines firs",
		"water": "teiche seen becken stagni laghi estanques vijvers dammar damme sjöar søer étangs bäche gräben fossi pozzi ponds pools lakes",
		"road":  "straßen strade carreteras wegen vägar veje", kindSolid: "poteaux pali palen stolpar stolper pfähle pfostenreihe rochers rocce rocas stenar lamppost lampposts lamps steine",
		placeBuilding: "häuser maisons casas huizen houses sheds garages barns gebäude buildings",
	}
	oneOfMany = setOf("steps stairs stufen treppen marches escaliers escaleras gradini shrubs bushes flowers roses beds flowerbeds swings hives beehives woods becken gebäude grass gras gas haus lotus iris")
	// rowNames say a row, which is longer than wide, and groupNames a group.
	rowNames   = setOf("row line reihe baumreihe pfostenreihe rangée alignement fila filare rij rad række rekke")
	groupNames = setOf("group clump grove cluster gruppe baumgruppe groupe bosquet gruppo grupo groep grupp dunge")
	andNames   = setOf("and und et e y en och og plus")
)

// manyOf is the kind of things that a word says several of, "" for none.
var manyOf = remembered[string]{of: func(w string) string {
	if oneOfMany[w] {
		return ""
	}
	for kind, words := range manyNames {
		if slices.Contains(strings.Fields(words), w) {
			return kind
		}
	}
	one, many := strings.CutSuffix(w, "s")
	if k := hazardWords()[one]; many && len(one) > 2 && k != "" && k != kindNone {
		return k
	}
	return ""
}}

// thingOf is the kind of thing that a word says one or several of, "" for none.
func thingOf(w string) string {
	if k := manyOf.get(w); k != "" {
		return k
	}
	if slices.Contains(houseWords, w) || roofedNames[w] {
		return placeBuilding
	}
	if k := kindOfWord(w); k != kindNone {
		return k
	}
	return ""
}

// Numbers of things in a name: from 1 to 5, A-D, 1 + 2, 3, 4 and 5, 3x.
var (
	rangeSaid  = regexp.MustCompile(`\b([0-9]{1,2}) ?(?:-|–|\.\.|to|bis|à|tot|till|til|al?) ?([0-9]{1,2})\b`)
	letterSaid = regexp.MustCompile(`\b([a-h]) ?[-–] ?([a-h])\b`)
	listSaid   = regexp.MustCompile(`\b[0-9]{1,2}(?: ?(?:, |\+|&|and |und |et |e |y |en |och |og ) ?(?:\pL+ )?[0-9]{1,2})+\b`)
	timesSaid  = regexp.MustCompile(`\b([0-9]{1,2}) ?[x×]\s|\b([0-9]{1,2})[x×]\b|\b[x×] ?([0-9]{1,2})\b`)
	digitsSaid = regexp.MustCompile(`[0-9]+`)
)

// severalSaid is what a name says of several things: how many at least, of which kind,
// whether it says the number, and whether they stand in a row.
type severalSaid struct {
	n             int
	kind, word    string
	counted, row  bool
	group, joined bool
}

var severalNamed = remembered[severalSaid]{of: readSeveral}

func readSeveral(name string) (out severalSaid) {
	lower := schema.FoldName(name)
	words := letterWords(strings.NewReplacer("+", " and ", "&", " and ", ",", " and ", ";", " and ", "/", " and ").Replace(name))
	if len(words) == 0 || isBeside(words) && !rangeSaid.MatchString(lower) {
		return out
	}
	for _, w := range words {
		out.row, out.group = out.row || rowNames[w], out.group || groupNames[w]
		if k := manyOf.get(w); k != "" && out.n == 0 {
			out.n, out.kind, out.word = 2, k, w
		}
	}
	if n, word := countedSaid(lower, words); n > 1 {
		out.n, out.word, out.counted = n, word, true
		return out
	}
	if word := joinedSaid(words); word != "" {
		out.n, out.word, out.counted, out.joined = 2, word, true, true
	}
	return out
}

// countedSaid is the number of things that a name says, and how; 0 for none.
func countedSaid(lower string, words []string) (n int, word string) {
	if !slices.ContainsFunc(words, func(w string) bool { return thingOf(w) != "" }) {
		return 0, ""
	}
	for i, w := range words {
		if k := numberWords[w]; k > 1 && slices.ContainsFunc(words[i+1:min(len(words), i+4)], func(w string) bool { return thingOf(w) != "" }) {
			return k, w
		}
	}
	if m := rangeSaid.FindStringSubmatch(lower); m != nil && atoi(m[2]) > atoi(m[1]) {
		return atoi(m[2]) - atoi(m[1]) + 1, m[0]
	}
	if m := letterSaid.FindStringSubmatch(lower); m != nil && m[2] > m[1] {
		return int(m[2][0]-m[1][0]) + 1, m[0]
	}
	if m := listSaid.FindString(lower); m != "" {
		return len(digitsSaid.FindAllString(m, -1)), m
	}
	if m := timesSaid.FindStringSubmatch(lower + " "); m != nil {
		return atoi(m[1] + m[2] + m[3]), strings.TrimSpace(m[0])
	}
	if first, rest, _ := strings.Cut(lower, " "); isNumber(first) && len(first) < 3 && slices.ContainsFunc(letterWords(rest), func(w string) bool { return manyOf.get(w) != "" }) {
		return atoi(first), first
	}
	return 0, ""
}

// joinedSaid are the words of a name that join two things, each water, a road, a drop, a
// tree or a building, "" for none: House and garage, and not Bed and bench.
func joinedSaid(words []string) string {
	for i, w := range words {
		if i == 0 || i+1 >= len(words) || !andNames[w] {
			continue
		}
		after := words[i+1:]
		for len(after) > 1 && articleWords[after[0]] {
			after = after[1:]
		}
		a, b := thingOf(words[i-1]), thingOf(after[0])
		grave := func(k string) bool { return k == placeBuilding || hazardRank[k] > 0 }
		if grave(a) && (grave(b) || after[0] == "island" || after[0] == "insel") && words[i-1] != after[0] && !(a == "drop" && b == "drop") {
			return words[i-1] + ", " + after[0]
		}
	}
	return ""
}

// discRound is from which share of a circle's area, for its perimeter, an outline is
// round as a disc: an octagon has 0.95, a square 0.79 (common practice, no source).
const discRound = 0.9

// rowLong is how many times as long as wide a row of things is at the least.
const rowLong = 3.0

// severalDrawn tells of a keep-out, a hazard or a building that is called after several
// things, of which one is drawn: a single outline that holds no others.
func (r *run) severalDrawn(f *Feature) {
	said := severalNamed.get(f.Name)
	if said.n < 2 || len(f.Lines) > 0 {
		return
	}
	parts := len(f.Areas) + len(f.Points)
	if parts >= said.n || parts > 1 && !said.counted {
		return
	}
	long, short, round := f.shapeDrawn()
	switch {
	case said.counted:
	case said.row:
		if long >= rowLong*short {
			return
		}
	case said.kind == "tree" || said.kind == kindSolid:
		if !round || said.kind == kindSolid && !slices.ContainsFunc(letterWords(f.Name), func(w string) bool { return hasWord(slimWords, w) || hasWord(halfWords, w) }) && !isRock(said.word) {
			return
		}
	case said.kind == "drop":
		return
	}
	if r.holds(f, said.n) {
		return
	}
	what := "more than one"
	if said.counted && !said.joined {
		what = trim(float64(said.n), 0)
	}
	r.nameNote(f, "its name says %s (%s), and %s is drawn that holds no others: what is not drawn is driven over; draw each of them, or name this one", quote(said.word), what, plural(parts, "outline"))
}

// isRock reports whether a word says rocks.
func isRock(w string) bool {
	return slices.Contains(strings.Fields("rocks boulders rochers rocce rocas felsen"), w)
}

// shapeDrawn is how long and wide what a feature draws is, and whether it is one disc.
func (f *Feature) shapeDrawn() (long, short float64, round bool) {
	if len(f.Areas) != 1 || len(f.Areas[0].Ground) == 0 || len(f.Points) > 0 {
		return 0, 0, len(f.Areas) == 0
	}
	ring := f.Areas[0].Ground[0]
	long, short = sidesOf(ring)
	around := 0.0
	for i := 1; i < len(ring); i++ {
		around += distance(ring[i-1], ring[i])
	}
	area := plane.Area(orb.MultiPolygon{{ring}})
	return long, short, around > 0 && 4*math.Pi*area >= discRound*around*around
}

// holds reports whether a keep-out or another area holds so many things that are drawn,
// each part of one by itself.
func (r *run) holds(f *Feature, n int) bool {
	s := r.solidOf(f)
	if len(f.Areas) == 0 || s.why != "" {
		return false
	}
	found := 0
	for _, role := range [...]schema.Role{schema.RoleHazard, schema.RoleBuilding, schema.RoleOther} {
		for _, o := range r.usableOf(role) {
			if o == f || !o.bound.Intersects(f.bound) {
				continue
			}
			for i := range o.Points {
				if plane.Locate(o.Points[i].Ground, s.areas) != plane.Outside {
					found++
				}
			}
			for i := range o.Areas {
				if g := o.Areas[i].Ground; len(g) > 0 && plane.Locate(orb.Ring(g[0]).Bound().Center(), s.areas) != plane.Outside {
					found++
				}
			}
			for i := range o.Lines {
				if g := o.Lines[i].Ground; len(g) > 0 && plane.Locate(g[0], s.areas) != plane.Outside {
					found++
				}
			}
		}
	}
	return found >= n
}

// Words of a side or a piece of a thing, beside which the rest of it has to be drawn, and
// ends of words that are written as one with it (common practice, no source).
var (
	pieceNames = setOf("edge side end corner middle centre shore shoreline bank rim section stretch half front face wing facade fassade outline contour " +
		"ufer rand kante seite ende ecke mitte abschnitt hälfte umriss rive bord côté bout coin milieu moitié façade riva sponda bordo lato angolo metà orilla borde lado esquina mitad fachada oever kant zijde hoek einde helft deel gevel strand stranden kant sida hörn halva")
	pieceEnds = strings.Fields("ufer rand kante nordteil südteil ostteil westteil nordseite südseite ostseite westseite oever kant stranden strand")
)

// pieceSaid is the kind of the thing of which a name says a side or a piece and nothing
// else but where: Lake north shore, Teichrand. The word is that of the piece.
type pieceSaid struct{ kind, word string }

var piecesNamed = remembered[pieceSaid]{of: readPiece}

func readPiece(name string) (out pieceSaid) {
	words := letterWords(name)
	if len(words) == 0 || isBeside(words) {
		return out
	}
	order := wordSets()[schema.RoleZone].order
	for _, w := range words {
		stem, piece := w, ""
		for _, end := range pieceEnds {
			if s, ok := strings.CutSuffix(w, end); ok && piece == "" {
				stem, piece = strings.TrimSuffix(s, "s"), w
			}
		}
		kind := thingOf(stem)
		if kind == "tree" || kind == kindSolid {
			return pieceSaid{}
		}
		if kind == kindShore || kind == "" && piece != "" && (strings.HasSuffix(w, "ufer") || strings.HasSuffix(w, "oever")) {
			kind, piece = "water", w
		}
		switch {
		case kind != "" && kind != "drop" || kind == "drop" && !pieceNames[w] && piece == "":
			if out.kind == "" {
				out.kind = kind
			}
			if piece != "" {
				out.word = piece
			}
		case pieceNames[w], piece != "":
			out.word = w
		case len(w) == 1 || order[w] || hazardWords()[w] == kindNone:
		default:
			if _, compass := compassWords[w]; !compass && !slices.Contains(wallWords, w) {
				return pieceSaid{}
			}
			if slices.Contains(wallWords, w) {
				out.word = w
			}
		}
	}
	if out.kind == "" || out.word == "" {
		return pieceSaid{}
	}
	return out
}

// pieceDrawn tells of a keep-out or a hazard with an area that is called after a side of
// water, a road, a drop or a building of which nothing else is drawn by it.
func (r *run) pieceDrawn(f *Feature) {
	said := piecesNamed.get(f.Name)
	if said.kind == "" || len(f.Areas)+len(f.Points) == 0 || len(f.Lines) > 0 {
		return
	}
	near := r.nearTo(f, besideNameM)
	if r.anyNear(f, near, func(o *Feature) bool {
		if p := piecesNamed.get(o.Name); p.kind != "" && o.Role != schema.RoleBuilding {
			return o.Role == f.Role && p.word != said.word && o.Name != f.Name // the other sides
		}
		switch {
		case said.kind == placeBuilding:
			return o.Role == schema.RoleBuilding || slices.ContainsFunc(letterWords(o.Name), func(w string) bool { return thingOf(w) == placeBuilding })
		case o.Role == schema.RoleHazard:
			k := kindsOf(o)
			return k.open || slices.Contains(k.all, said.kind)
		}
		kind, _ := graverName(o.Name)
		return kind == said.kind || said.kind == "drop" && o.Role == schema.RoleEdge && edgeKind(o) == schema.EdgeDrop
	}) {
		return
	}
	what := graveWords[said.kind]
	if what == "" {
		what = said.kind
	}
	r.nameNote(f, "its name says %s (%s), and no more of that is drawn within %s of it: the rest is driven over; draw all of it, or give this one the name of the whole", quote(said.word), what, metres(besideNameM))
}

// roofSays are words for a roof, or for what it reaches over (common practice, no source).
var roofSays = setOf("roof rooftop roofs eaves dach dächer dachfläche dachkante traufe toit toiture tetto gronda tejado alero dak dakrand tak taket takfot tag")

// roofDrawn tells of a building or a keep-out that is called a roof: pictures from above
// show roofs, which lean over and hang past walls, or are held by posts that none shows.
func (r *run) roofDrawn(f *Feature) {
	words := letterWords(f.Name)
	i := slices.IndexFunc(words, func(w string) bool { return roofSays[w] })
	if i < 0 || isBeside(words) || f.Role == schema.RoleHazard {
		return
	}
	r.nameNote(f, "its name says %s, which from above hides where walls and posts stand, and leans: measure those, and draw their outline; give it the building's name", quote(words[i]))
}

// promisesMore tells what the name of a thing to keep off promises beyond what is drawn.
func (r *run) promisesMore(f *Feature) {
	if f.Name == "" {
		return
	}
	before := len(r.findings)
	if r.severalDrawn(f); len(r.findings) == before {
		r.pieceDrawn(f)
	}
	if f.Role == schema.RoleBuilding || f.Role == schema.RoleKeepout {
		if len(r.findings) == before {
			r.roofDrawn(f)
		}
	}
}
