// Notes and descriptions of what is driven, and of what stands by it, that say a
// danger which is not drawn, of the rule name-contradicts.

package validate

import (
	"slices"
	"strings"

	"swardline/schema"
)

// Words of grave kinds that in a sentence are other words more often: what water
// does, well, a source of figures.
var textAmbiguous = strings.Fields("water wasser eau agua acqua vand vann vatten vesi well wells see spring drop cutting burn drive step steps bank terrace sea mere mer mare dam quelle fuente marche scala trap carrière suo noue " +
	"plas eje via car cars vehicle vehicles bike bus truck traffic train")

// Words of warning, and for what lies on the ground or across it (common practice,
// no source).
var (
	warnWords = strings.Fields("caution beware careful warning danger dangerous hazard hazardous risk achtung vorsicht gefahr gefährlich attention prudence danger dangereux cuidado atención peligro peligroso pas pericolo attenzione pericoloso gevaar gevaarlijk voorzichtig advarsel fare farlig forsigtig forsiktig varning fara akta vaara varo")
	warnPairs = [][2]string{{"watch", "out"}, {"let", "op"}, {"pas", "på"}, {"look", "out"}}
	lieWords  = strings.Fields("on over across above lies lying lie exposed loose quer über auf liegt liegen oberirdisch offen sur travers dessus apparent sobre atraviesa op over ligt dwars su sopra attraversa på över over tvärs päällä yli")
)

// nearWords say beside what something lies, as names do: by the pond.
var nearWords = strings.Fields("by beside near nearby along alongside next towards toward behind opposite facing bei beim am neben nahe entlang hinter vor gegenüber près côté long vers derrière junto cerca frente hacia detrás bij naast langs achter vicino accanto lungo verso dietro ved nær langs bak bag bakom längs nära vid lähellä vieressä")

// mostTextLength is how long a text may be, in bytes, for a word of it to be of the
// thing itself, and saidNearM how near, in metres, what it names has to be drawn
// (starting values from memory).
const (
	mostTextLength = 400
	saidNearM      = 10.0
)

// graveText is the gravest kind of water or drop that a sentence names, and the
// word, "" for none.
func graveText(words []string) (kind, word string) {
	for i := 0; i < len(words); i++ {
		k, n := kindAt(words[i:])
		w := strings.Join(words[i:i+n], " ")
		denied := i > 0 && slices.Contains(notWords, words[i-1]) || slices.ContainsFunc(words[max(0, i-2):i], func(w string) bool { return slices.Contains(nearWords, w) })
		i += n - 1
		if k == kindShore {
			k = "water"
		}
		if hazardRank[k] >= hazardRank["drop"] && hazardRank[k] > hazardRank[kind] && !denied && !slices.Contains(textAmbiguous, w) {
			kind, word = k, w
		}
	}
	return kind, word
}

// textsNamed tells of texts of what is driven that name water or a drop which is
// not drawn near, warn, or say that a cable lies there; and of any, that they say
// how far off something lies.
func (r *run) textsNamed(f *Feature) {
	for i := range f.Attributes {
		a := &f.Attributes[i]
		if a.Value.Kind() != schema.KindString || heldUnder.get(a.Key) != holdsText || len(a.Value.Text()) > mostTextLength {
			continue
		}
		if r.textNamed(f, a.Key, a.Value.Text()) {
			return
		}
	}
}

func (r *run) textNamed(f *Feature, key, text string) bool {
	if w := textOffset(text); w != "" && roleClaims[f.Role] != nil {
		r.nameNote(f, "its %s says %s: where that is how far it lies, or reaches, beside what is drawn, draw it as it is", key, quote(w))
		return true
	}
	switch f.Role {
	case schema.RoleBase:
		return r.baseRenewed(f, key, text)
	case schema.RoleZone, schema.RoleCorridor, schema.RoleDock, schema.RoleSupply:
	case schema.RoleEdge:
		if !isDrivenOver(edgeKind(f)) {
			return false
		}
	default:
		return false
	}
	words := letterWords(text)
	kind, word := graveText(words)
	if f.Role == schema.RoleCorridor && kind == "" && slices.ContainsFunc(words, func(w string) bool { return slices.Contains(crossWords, w) }) {
		kind, word = graverName(text)
	}
	if kind != "" && f.Role != schema.RoleSupply && !r.graveBeside(f, kind, saidNearM) {
		r.nameNote(f, "its %s says %s (%s), and no such hazard is drawn within %s of it: draw what is there as a hazard of its kind, or take the word out", key, quote(word), graveWords[kind], metres(saidNearM))
		return true
	}
	for i, w := range words {
		pair := i+1 < len(words) && slices.Contains(warnPairs, [2]string{w, words[i+1]})
		if pair || w != "pas" && slices.Contains(warnWords, w) && !(i > 0 && slices.Contains(notWords, words[i-1])) {
			r.nameNote(f, "its %s warns (%s), and no rule knows of what: draw what it means with its role, or take the words out", key, quote(clipped(text)))
			return true
		}
	}
	if w := conduitWord(text); w != "" && slices.ContainsFunc(words, func(w string) bool { return slices.Contains(lieWords, w) }) {
		r.nameNote(f, "its %s says %s, and that it lies there: blades cut what lies on the ground; lay it deeper, or draw it as a hazard under a keep-out", key, quote(w))
		return true
	}
	return false
}

// renewedWords say of a mast that it is another than before (common practice, no source).
var renewedWords = setOf("new newly second replaced replacement swapped exchanged changed renewed other another neu neue neuer neuen neues zweiter zweite ersetzt getauscht ausgetauscht gewechselt nouveau nouvelle second seconde deuxième remplacé remplacée changé nuevo nueva segundo segunda reemplazado cambiado nieuw nieuwe tweede vervangen nuovo nuova secondo seconda sostituito cambiato ny nytt nya andra bytt utbytt udskiftet anden skiftet annen uusi toinen vaihdettu")

// baseRenewed tells of a base of which a text says that its mast is a new or a second one,
// where no history says since when it stands there.
func (r *run) baseRenewed(f *Feature, key, text string) bool {
	if len(r.Plan.Attributes.Get(schema.PlanHistory).Items()) > 0 {
		return false
	}
	words := letterWords(text)
	i := slices.IndexFunc(words, func(w string) bool { return renewedWords[w] })
	mast := len(words) <= 2 || slices.ContainsFunc(words, func(w string) bool {
		return slices.Contains(mastNames, w) || slices.Contains(mastWords, w) || w == "pole"
	})
	if i < 0 || !mast || i > 0 && slices.Contains(notWords, words[i-1]) {
		return false
	}
	r.nameNote(f, "its %s says %s, and the plan's history does not say since when it stands there: was it put up after the lines were measured? measure where it stands, and record it in the plan's member %s", key, quote(clipped(text)), schema.PlanHistory)
	return true
}

// asideWords behind a length say that something lies so far from where it is drawn.
var asideWords = strings.Fields("off further farther too daneben zu weiter trop demasiado más verder te troppo oltre længere lenger längre för liian")

// textOffset are the words of a text that say a length and that something lies so
// far beside, or was moved by it, "" for none.
func textOffset(text string) string {
	fields := strings.Fields(text)
	moved := false
	for _, w := range nameWords(text) {
		s, n := phraseAt([]string{w})
		moved = moved || n > 0 && s.claim == claimMoved
	}
	for i, w := range fields {
		digits := strings.Trim(w, "+-±~≈()")
		if digits == "" || digits[0] < '0' || digits[0] > '9' {
			continue
		}
		end, length := i, digits
		if last := digits[len(digits)-1]; last >= '0' && last <= '9' && i+1 < len(fields) {
			end, length = i+1, digits+" "+fields[i+1]
		}
		if _, ok := widthNamed(length); !ok {
			continue
		}
		said := strings.Join(fields[i:end+1], " ")
		if moved {
			return said
		}
		if end+1 < len(fields) && slices.Contains(asideWords, schema.FoldName(strings.Trim(fields[end+1], ".,;)"))) {
			return said + " " + fields[end+1]
		}
	}
	return ""
}
