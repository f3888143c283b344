// From when to when things hold, and plans that a phone recorded: part of
// survey-quality.

package validate

import (
	"fmt"
	"slices"
	"strings"
	"unicode"

	"swardline/schema"
)

// sayStretches is what the page of survey-quality says of this file.
const sayStretches = "an end of the time that something holds (time_end as a KML has it, valid_until, expires and the like) that is past, and a beginning, or KML's moment in time, that has not come yet; a plan whose program (gpx_creator, generator, app and the like) is called after phones, or that made a GPX file (its creator) and has no word for what measures to centimetres, or whose texts say that it was recorded with one, and no RTK or receiver beside, where not everything says its own fix, sigma or drawn_from; "

// Names of properties for when something begins to hold and ends, folded: KML's
// TimeSpan as its reader has it, and what people write (common practice, no source).
var (
	beginNames = setOf("timebegin validfrom validsince startdate datefrom gueltigab gültigab gueltigvon gültigvon valableàpartirde")
	endNames   = setOf("timeend validto validuntil validthru enddate dateto expires expiry expirydate expirationdate gueltigbis gültigbis valablejusquau")
)

// momentNames are those of a moment, which a TimeStamp of KML is read as.
var momentNames = setOf("time")

// stretchSaid tells of what holds no more, or not yet.
func (r *run) stretchSaid(f *Feature) {
	for i := range f.Attributes {
		a := &f.Attributes[i]
		if a.Value.Kind() != schema.KindString && a.Value.Kind() != schema.KindNumber {
			continue
		}
		key := foldKey(a.Key)
		says := ""
		switch d := dateOf(a.Value.Text()); {
		case !beginNames[key] && !endNames[key] && !momentNames[key] || !d.read:
		case endNames[key] && max(d.dayFirst.to, d.monthFirst.to) < today()-pastDays:
			says = "is past: does it hold no more? Draw what is there now, or take the date out"
		case !endNames[key] && min(d.dayFirst.from, d.monthFirst.from) > today():
			says = "has not come yet: does it not hold until then? Draw what is there now, or take the date out"
		}
		if says != "" {
			x := r.finding(r.middle(f), f)
			x.Severity = Note
			x.Message = fmt.Sprintf("its %s, %s, %s", a.Key, quote(clipped(a.Value.Text())), says)
		}
	}
}

// pastDays are the days, in years, that today allows for clocks elsewhere.
const pastDays = 2.0 / 366

// Words of who recorded a plan (common practice, no source): phoneMakers beside
// sayPhone are said of programs alone, recordedWords go before a phone that recorded
// something, and receiverWords are of what a phone may only show or steer.
var (
	phoneMakers   = setOf("mobile mobil cellphone mobiltelefon")
	recordedWords = setOf("recorded record recording tracked tracking logged captured measured surveyed walked mapped collected taken aufgezeichnet aufgenommen erfasst gemessen vermessen abgelaufen abgegangen kartiert enregistré relevé mesuré grabado medido registrado opgenomen gemeten misurato rilevato mätt målt mitattu")
	receiverWords = setOf("receiver receivers rover gnss empfänger récepteur receptor ontvanger total tachymeter tachymeters mapping scanner lidar laser controller")
	phoneKeys     = setOf("gpxcreator creator generator software program application app device receiver instrument recorder recordedby recordedwith tool")
)

// saysPhone reports whether words have a phone, and nothing better that it went with;
// a number behind it is one to call.
func saysPhone(words []string, program bool) bool {
	phone := false
	for i, w := range words {
		if receiverWords[w] || slices.Contains(saysMethod, w) {
			return slices.ContainsFunc(words[:i], func(w string) bool { return w == "without" || slices.Contains(notWords, w) })
		}
		w = strings.TrimSuffix(w, "s")
		if !slices.Contains(sayPhone, w) && !strings.HasSuffix(w, "phone") && !(program && phoneMakers[w]) {
			continue
		}
		if next := i + 1; next == len(words) || !strings.ContainsFunc(words[next], unicode.IsDigit) && words[next][0] != '+' {
			phone = true
		}
	}
	return phone
}

// recordedByPhone reports whether a text of a plan under a key says that a phone
// recorded it: of the program that did, or in a sentence that says so.
func recordedByPhone(key, text string) bool {
	words := wordsOf(text)
	if phoneKeys[foldKey(key)] {
		return saysPhone(words, true)
	}
	return isReadText.get(key) && slices.ContainsFunc(words, func(w string) bool { return recordedWords[w] }) && saysPhone(words, false)
}

// phoneSaid tells of a plan that says that a phone recorded it, where things that
// have a role do not say better of themselves.
func (r *run) phoneSaid() {
	p := r.Plan
	if p == nil {
		return
	}
	tell := func(where, text string) {
		x := r.finding(nil)
		x.Severity = Note
		x.Message = fmt.Sprintf("%s says %s: the receiver of a phone fixes no ambiguities and is off by metres; measure it by RTK, or, where an RTK receiver stood behind the phone, say fix and sigma of what it measured", where, quote(clipped(text)))
	}
	for i := range p.Attributes {
		a, told := &p.Attributes[i], false
		eachText(a.Value, func(text string) {
			if !told && recordedByPhone(a.Key, text) {
				told = true
				tell("the plan's "+a.Key, text)
			} else if !told && foldKey(a.Key) == "gpxcreator" {
				r.makerSaid("the plan's "+a.Key, text)
			}
		})
	}
	for _, x := range p.Beside {
		key := "note"
		maker := strings.HasPrefix(x.Where, "the creator of")
		if maker || strings.HasPrefix(x.Where, "the element generator") || strings.HasPrefix(x.Where, "the element creator") {
			key = "generator"
		}
		if recordedByPhone(key, x.Text) {
			tell(x.Where, x.Text)
		} else if maker {
			r.makerSaid(x.Where, x.Text)
		}
	}
}

// makerSaid notes the program that wrote a file of positions where none of its words is
// known as one for what measures to centimetres.
func (r *run) makerSaid(where, text string) {
	known := func(w string) bool { return goodDevices[w] || receiverWords[w] || r.limits.KnowsWord(w) }
	words := letterWords(spaced(text))
	if len(words) == 0 || slices.ContainsFunc(words, known) && !saysPictures(text) && !saysRough(text) {
		return
	}
	x := r.finding(nil)
	x.Severity = Note
	x.Message = fmt.Sprintf("%s is %s, and not everything says its fix or sigma: what recorded it is not known; say fix and sigma of what was measured, or put its name under known_words in the limits file", where, quote(clipped(text)))
}
