// What a base or an outlet stands within that moves, sways or is played on, and the
// roofs, woods and tunnels of the role other that a base or a dock stands within:
// what of base-in-zone is about them.

package validate

import (
	"strings"

	"github.com/paulmach/orb"

	"swardline/schema"
	"swardline/validate/plane"
)

// playWords are words for what no mast and no socket stands within: people play
// there, or it is put up and taken down (common practice, no source).
var playWords = strings.Fields("playground play swing swings slide seesaw trampoline goal goals carousel climbing sandpit sandbox tent marquee umbrella parasol paddock pasture " +
	"spielplatz spielgerät spielgeräte schaukel rutsche wippe trampolin sandkasten zelt sonnenschirm koppel weide jeux balançoire toboggan tente columpio columpios juego juegos portería parque_infantil tienda carpa " +
	"speelplaats speeltuin zandbak schommel glijbaan tent altalena giochi tenda lekplats lekeplass legeplads sandlåda sandkasse huske gynge gunga tält telt leikkipaikka hiekkalaatikko keinu teltta")

// roofWords are words for what lets no sky through, or little, beside highWords and
// tallWords (common practice, no source).
var roofWords = strings.Fields("roof dach garage carport warehouse lager lagerhalle hangar halle hall bridge deck tunnel underpass underground basement cellar keller unterführung tiefgarage túnel galleria souterrain canopy " +
	"greenhouse glasshouse gewächshaus scheune barn stall stable veranda porch forest wald toit tetto tejado techo serre invernadero serra garaje almacén entrepôt magazijn magazzino lagerbygning varasto halli")

// kindWord is the first word of a feature's name or hazard_kind that is among
// lists, or ends in one of them; "" for none.
func kindWord(f *Feature, lists ...[]string) string {
	for _, text := range [...]string{f.Name, f.Attributes.Get(schema.PropHazardKind).Text()} {
		for _, w := range letterWords(text) {
			for _, list := range lists {
				if hasWord(list, w) || endsIn(list, w) {
					return w
				}
			}
		}
	}
	return ""
}

// standsUnder tells of what a base, a dock or an outlet at p stands within.
func (r *run) standsUnder(f *Feature, p orb.Point) {
	for _, role := range [...]schema.Role{schema.RoleHazard, schema.RoleOther} {
		for _, h := range r.Of(role) {
			if !h.usable() || !h.bound.Pad(h.reachDrawn()).Contains(p) {
				continue
			}
			play, roof := "", ""
			if f.Role != schema.RoleDock {
				play = kindWord(h, playWords)
			}
			if role == schema.RoleHazard && f.Role == schema.RoleBase && hazardKind(h) == "tree" {
				play = kindsOf(h).text
			}
			if role == schema.RoleOther && f.Role != schema.RoleSupply {
				roof = kindWord(h, roofWords, highWords, tallWords)
			}
			if play == "" && roof == "" || role == schema.RoleHazard && kindsOf(h).grave() {
				continue
			}
			s, err := r.hazardShape(h).aboutAll(h.reachDrawn())
			if err != nil || s.why != "" || len(s.areas) == 0 || plane.Locate(p, s.areas) != plane.Inside {
				continue
			}
			x := r.finding(r.Place(p), f, h)
			x.Severity = Warning
			switch {
			case roof != "":
				x.Message = "stands within " + h.describe() + ", which is " + quote(roof) + " by its name, and by its role only drawn, so that the sky over it was judged as if nothing were there: give that the role building, or hazard, with its height_m"
			case f.Role == schema.RoleBase:
				x.Message = "stands within " + h.describe() + " (" + quote(play) + "), which moves, sways or is played on: every outline hangs from the antenna; move one or the other"
			default:
				x.Message = "stands within " + h.describe() + " (" + quote(play) + "): mains electricity has no place there; move one or the other"
			}
		}
	}
}
