// What a base or an outlet stands within that moves, sways or is played on, and the
// roofs, woods and tunnels of the role other that a base or a dock stands within:
// what of base-in-zone is about them.

package validate

import (
	"slices"
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

// Words for power lines in the air: whole ones, how one begins, and two that are one only
// together (common practice, no source).
var (
	overheadWords = setOf("freileitung freileitungen stromleitung oberleitung fahrleitung fahrdraht catenary caténaire powerline powerlines pylon pylons hochspannung bovenleiding elettrodotto luftledning luftledningar kraftledning kraftlinje kontaktledning kjøreledning køreledning voimalinja sähkölinja ilmajohto suurjännite suurjännitelinja")
	overheadStems = strings.Fields("hochspannung freileitung hoogspanning högspänning høyspent højspænding")
	overheadFirst = setOf("power overhead voltage hv tram trolley electric electricity transmission aerial contact")
	overheadLast  = setOf("line lines wire wires cable cables")
	overheadPairs = setOf("haute_tension ligne_électrique ligne_aérienne lignes_électriques alta_tensión línea_eléctrica línea_aérea tendido_eléctrico alta_tensione linea_elettrica linea_aerea high_voltage highvoltage_line")
)

// saysOverhead is what a text calls a power line in the air by, "" for none: one that is
// called buried is none.
func saysOverhead(text string) string {
	words := letterWords(text)
	if saysAny(text, buriedOnly) {
		return ""
	}
	for i, w := range words {
		switch {
		case overheadWords[w], slices.ContainsFunc(overheadStems, func(stem string) bool { return strings.HasPrefix(w, stem) }):
			return w
		case i == 0:
		case overheadPairs[words[i-1]+"_"+w], overheadFirst[words[i-1]] && overheadLast[w] && !(w[:2] == "ca" && strings.HasPrefix(words[i-1], "elec")):
			return words[i-1] + " " + w
		}
	}
	return ""
}

// buriedOnly are words by which a cable lies in the ground (common practice, no source).
var buriedOnly = strings.Fields("underground buried earth trench erdkabel unterirdisch verlegt enterré enterrée enterrado enterrada interrato interrata ondergronds nedgravd nedgravet maakaapeli")

// underLines tells of masts nearer to a power line in the air than one may work, whatever
// role it is drawn in.
func (r *run) underLines() {
	bases := r.usableOf(schema.RoleBase)
	if len(bases) == 0 {
		return
	}
	for _, role := range [...]schema.Role{schema.RoleOther, schema.RoleHazard, schema.RoleEdge, schema.RoleKeepout, schema.RoleMark} {
		for _, h := range r.usableOf(role) {
			word := saysOverhead(h.Name)
			for _, a := range h.Attributes {
				if word == "" && a.Value.Kind() == schema.KindString && (a.Key == schema.PropHazardKind || kindKeys.get(a.Key)) {
					word = saysOverhead(a.Value.Text())
				}
			}
			if word == "" || isDeep(h) {
				continue
			}
			s, ok := r.standingShape(h)
			g := s.geometry()
			if !ok || g == nil {
				continue
			}
			line := plane.NewGauge(g)
			for _, f := range bases {
				r.underLine(f, h, word, line)
			}
		}
	}
}

// underLine tells of one mast and one line.
func (r *run) underLine(f, h *Feature, word string, line *plane.Gauge) {
	limit := r.of(f).PowerLineM
	for i := range f.Points {
		p := f.Points[i].Ground
		d, _, q, near := plane.NewGauge(p).Within(line, limit)
		if !near || d >= limit-slackM {
			continue
		}
		x := r.finding(r.Place(p), f, h)
		x.Severity = Warning
		x.Measured, x.Limit, x.Unit = d, limit, "m"
		x.Trace = r.trace(p, q)
		x.Message = "stands " + metresPast(d, limit) + " from " + h.describe() + ", a power line in the air by its name (" + quote(word) + "): a mast that is raised or falls meets it; put it at least " + metres(limit) + " off, or as far as who runs the line says"
		return
	}
}
