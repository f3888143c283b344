// What a base or an outlet stands on that may move, grows or is used, and bases and
// docks at one point: what of base-in-zone is about them.

package validate

import (
	"fmt"
	"slices"
	"strings"
	"unicode/utf8"

	"github.com/paulmach/orb"

	"swardline/schema"
	"swardline/validate/plane"
)

// How near, in metres, a mast stands to a thing to stand on it, one to a trunk,
// whose roots heave and whose stem sways, an outlet to a gate or a ramp, and two
// things to be drawn at one point (common practice, no source).
const (
	standOnM   = 0.3
	trunkSideM = 0.5
	outletOnM  = 0.05
	onePointM  = 0.05
)

// Words of names and kinds (common practice, no source): for what is made to carry
// something, for what carries a mast or a socket where one of the two says so, for
// what is ground or stays put for good, for buildings that are driven off, and for
// what outlets stand on everywhere.
var (
	madeToCarry  = strings.Fields("mast pole pedestal plinth pillar column socle footing foundation tripod sockel fundament pfeiler säule mât socle pilier mástil pedestal zócalo sokkel fundering mast voet basamento palo mastro sokkel fundament jalusta masto")
	mayCarry     = strings.Fields("lamp lamppost lantern streetlight light lights post lighting laterne straßenlaterne lampe leuchte mast pfosten pfahl lampadaire réverbère poteau pilier farola poste lantaarn lantaarnpaal paal lampione palo lygtepæl lyktstolpe lyktestolpe stolpe stolpar pylväs tolppa lyhty")
	stayingWords = strings.Fields("bed beds flowerbed border rockery terrace patio court stage deck rock rocks boulder boulders slab slabs kerb curb shrubbery groundcover gravel mulch beet blumenbeet gemüsebeet rabatte steingarten terrasse hof bühne fels felsen findling massif rocher cour terraza roca patio terras rots terrazza roccia rabat rabatt klippa kallio")
	drivenOff    = strings.Fields("caravan trailer campervan motorhome wohnwagen anhänger bauwagen wohnmobil caravane remorque roulotte caravana remolque aanhanger rimorchio campingvogn husvagn campingvagn asuntovaunu")
	socketWords  = strings.Fields("box cabinet meter bollard power electric socket outlet charger charging pump transformer post pole pillar column lamp light lantern lamppost stake container shed hut kasten schrank zähler poller strom steckdose ladesäule pumpe trafo säule pfosten laterne coffret armoire borne compteur poteau caja armario poste kast paal meterkast armadio colonnina palo skab skåp stolpe kaappi pylväs")
	flagWords    = strings.Fields("flag flags flagpole flagstaff fahne fahnenmast flagge drapeau bandera asta vlag vlaggenmast bandiera flaggstang flagstang flaggstång lippu lipputanko")
)

// movingWords are words for what is moved, blown about or swung, where they end a
// name: a boat, and not a boat house (common practice, no source).
var movingWords = strings.Fields("caravan motorhome camper trailer wagon boat ship houseboat barge vehicle car van bus truck lorry tractor digger excavator crane container skip scaffold scaffolding portacabin tent marquee yurt treehouse tree trees flagpole gate hedge sail awning " +
	"wohnwagen wohnmobil bauwagen anhänger boot hausboot schiff kahn fahrzeug auto lastwagen traktor bagger kran gerüst baugerüst zelt jurte baumhaus baum fahnenmast tor hecke sonnensegel " +
	"caravane roulotte remorque bateau péniche voiture camion tracteur grue conteneur échafaudage tente arbre portail haie caravana remolque barco coche camión grúa contenedor andamio carpa árbol " +
	"woonwagen aanhanger woonboot schip kraan steiger boom rimorchio roulotte barca nave gru impalcatura tenda albero husvagn släpvagn båt kran byggställning tält träd campingvogn tilhenger anhænger husbåd stillas stillads telt træ asuntovaunu perävaunu vene nosturi kontti teltta puu")

// movingWord is the word with which a name ends where that is for a thing that moves,
// numbers and letters of an order behind it left out; "" for none.
func movingWord(name string) string {
	words := letterWords(name)
	for len(words) > 1 && utf8.RuneCountInString(words[len(words)-1]) == 1 {
		words = words[:len(words)-1]
	}
	if len(words) == 0 || slices.ContainsFunc(words, func(w string) bool { return nearOnlyWords[w] }) {
		return ""
	}
	last := words[len(words)-1]
	if hasWord(movingWords, last) || endsIn(movingWords, last) {
		return last
	}
	if n := len(words); n > 1 && slices.Contains(movingWords, words[n-2]+last) { // tree house
		return words[n-2] + " " + last
	}
	return ""
}

// madeFor reports whether a thing is one that a mast, or an outlet, is put on: it
// is made for that, or is a wall or a post and one of the two says so.
func madeFor(f, h *Feature) bool {
	if kindWord(h, flagWords) != "" {
		return false
	}
	if kindWord(h, mastWords, madeToCarry, stayingWords) != "" || f.Role == schema.RoleSupply && kindWord(h, socketWords) != "" {
		return true
	}
	wall := h.Role == schema.RoleEdge && edgeKind(h) == schema.EdgeWall
	if !wall && kindWord(h, mayCarry, wallWords) == "" {
		return false
	}
	if f.Role == schema.RoleSupply {
		return true
	}
	for _, text := range f.texts() {
		for _, w := range letterWords(text) {
			if hasWord(mayCarry, w) || endsIn(mayCarry, w) || hasWord(wallWords, w) || endsIn(wallWords, w) {
				return true
			}
		}
	}
	return false
}

// texts are the name and the texts of a feature.
func (f *Feature) texts() []string {
	out := []string{f.Name}
	for _, a := range f.Attributes {
		if a.Value.Kind() == schema.KindString && a.Key != schema.PropName && a.Key != schema.PropRole {
			out = append(out, a.Value.Text())
		}
	}
	return out
}

// standsNear is how near to h a base or an outlet stands on it, 0 for what either
// may stand on.
func standsNear(f, h *Feature) float64 {
	reach := standOnM
	if f.Role == schema.RoleSupply {
		reach = outletOnM
	}
	switch h.Role {
	case schema.RoleBuilding:
		if kindWord(h, drivenOff) == "" && movingWord(h.Name) == "" || f.Role == schema.RoleSupply {
			return 0
		}
	case schema.RoleEdge:
		switch kind := edgeKind(h); {
		case f.Role == schema.RoleSupply && kind != schema.EdgeGate && kind != schema.EdgeRamp && kind != schema.EdgeDrop:
			return 0 // along which sockets stand; a drop has its own margin
		}
	case schema.RoleHazard:
		k := kindsOf(h)
		switch {
		case k.open || k.grave(): // in which it is told by standsInWater
			return 0
		case k.gravest == "tree" && len(h.Points) == 0, kindWord(h, playWords) != "": // standsUnder tells
			return 0
		case k.gravest == "tree" && f.Role == schema.RoleBase:
			reach = trunkSideM
		case f.Role == schema.RoleSupply: // a socket may well stand beside a bench
			reach = 2 * slackM
		}
	case schema.RoleOther:
		solid := slices.ContainsFunc(letterWords(h.Name), func(w string) bool { return kindOfWord(w) == kindSolid })
		if !solid && (f.Role == schema.RoleSupply || movingWord(h.Name) == "") || len(h.Lines) > 0 {
			return 0
		}
	default:
		return 0
	}
	if len(h.Points) > 0 && h.reachDrawn() == 0 {
		reach = max(reach, standOnM)
	}
	if madeFor(f, h) {
		return 0
	}
	return reach
}

// standsOn tells of a base or an outlet at p that stands on a thing which may be
// moved, grows, or is walked through and leant against.
func (r *run) standsOn(f *Feature, p orb.Point) {
	if f.Role == schema.RoleDock {
		return
	}
	for _, role := range [...]schema.Role{schema.RoleHazard, schema.RoleEdge, schema.RoleBuilding, schema.RoleOther} {
		for _, h := range r.Of(role) {
			if !h.usable() || !h.bound.Pad(h.reachDrawn()+trunkSideM).Contains(p) {
				continue
			}
			reach := standsNear(f, h)
			if reach == 0 {
				continue
			}
			d, ok := r.offThing(h, p, reach)
			if !ok {
				continue
			}
			x := r.finding(r.Place(p), f, h)
			x.Severity = Note
			if d <= slackM {
				x.Severity = Warning
			}
			x.Measured, x.Limit, x.Unit = d, reach, "m"
			x.Message = standsOnWords(f, h, d, reach)
		}
	}
}

// offThing is how far p is from what a thing covers, the trunk alone of a tree.
func (r *run) offThing(h *Feature, p orb.Point, reach float64) (float64, bool) {
	if h.Role == schema.RoleHazard && kindsOf(h).gravest == "tree" {
		b, ok := r.bodyOf(h, isTrunk)
		for _, q := range b.points {
			if d := max(0, distance(p, q)-b.radius); ok && d < reach-slackM {
				return d, true
			}
		}
		return 0, false
	}
	s := r.hazardShape(h)
	if h.Role == schema.RoleEdge && h.growth() > 0 {
		s = r.barrierShape(h)
	}
	if h.Role == schema.RoleOther {
		if wide, err := s.aboutAll(h.reachDrawn()); err == nil {
			s = wide
		}
	}
	g := s.geometry()
	if s.why != "" || g == nil {
		return 0, false
	}
	d, _, _, ok := plane.NewGauge(p).Within(plane.NewGauge(g), reach)
	return d, ok && (d <= slackM || d < reach-slackM)
}

// standsOnWords are the message of standsOn.
func standsOnWords(f, h *Feature, d, reach float64) string {
	where := "on " + h.describe()
	if d > slackM {
		where = metresPast(d, reach) + " from " + h.describe()
	}
	if f.Role == schema.RoleSupply {
		return "stands " + where + ", which is moved, opened or gone over: mains electricity has no place there; measure the outlet again, or move one or the other"
	}
	why := "which may be moved, leant on or run into"
	switch {
	case h.Role == schema.RoleHazard && kindsOf(h).gravest == "tree":
		why = "whose stem sways and whose roots heave"
	case h.Role == schema.RoleEdge && edgeKind(h) == schema.EdgeDrop:
		why = "whose rim gives way"
	case kindWord(h, plantWords) != "":
		why = "which grows over it, and is cut"
	}
	return fmt.Sprintf("stands %s, %s: every outline hangs from the antenna; put it on a mast of its own, a wall or a roof at least %s from it, or say by its name what carries it", where, why, metres(reach))
}

// plantWords are words for what grows (common practice, no source).
var plantWords = strings.Fields("hedge bush bushes shrub shrubs hecke busch strauch haie buisson arbuste seto arbusto heg struik haag siepe cespuglio hæk buske busk häck hekk pensas")

// atOnePoint tells of a base within what a dock takes up, and of an outlet at the
// point of a base or a dock: one of the two is a copy of the other.
func (r *run) atOnePoint() {
	docks, bases := r.usableOf(schema.RoleDock), r.usableOf(schema.RoleBase)
	for _, b := range bases {
		for _, d := range docks {
			// A machine parks with its middle at the dock's point, is about as long as it
			// is wide, and the dock's head stands before its nose.
			r.tellOnePoint(b, d, 2*r.halfWidth(d), Warning, "within what the dock and the machine in it take up: a machine that docks pushes against the mast; measure both again, or set the mast aside")
		}
	}
	const copied = "which are drawn at one point: one of the two is a copy of the other; measure both"
	for _, s := range r.usableOf(schema.RoleSupply) {
		for _, list := range [...][]*Feature{bases, docks} {
			for _, f := range list {
				r.tellOnePoint(s, f, onePointM, Note, copied)
			}
		}
	}
}

func (r *run) tellOnePoint(a, b *Feature, limit float64, severity Severity, words string) {
	for i := range a.Points {
		for k := range b.Points {
			d := distance(a.Points[i].Ground, b.Points[k].Ground)
			if d > limit-slackM {
				continue
			}
			x := r.finding(r.placeRead(a, a.Points[i].Read, a.Points[i].Ground), a, b)
			x.Severity = severity
			x.Measured, x.Limit, x.Unit = d, limit, "m"
			x.Message = fmt.Sprintf("stands %s from %s, %s", metresPast(d, limit), b.describe(), words)
			return
		}
	}
}
