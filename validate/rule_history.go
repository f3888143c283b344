// Rule on the base's history: base-moved.

package validate

import (
	"cmp"
	"errors"
	"fmt"
	"math"
	"regexp"
	"slices"
	"strings"
	"sync"
	"unicode"

	"github.com/paulmach/orb"

	"swardline/crs"
	"swardline/schema"
)

var historyRules = []Rule{{
	Name: RuleBaseMoved, Severity: Warning, Limits: []string{"drift_unchanged_m", "drift_stop_m"}, run: checkBaseMoved,
	Page: Page{
		What: "The horizontal distance between the base in the plan and the stored position in the newest entry of the plan's history; of a corrected plan that gives the ground, the antenna's. From drift_stop_m on it is an error. " +
			"A height that differs by more than drift_stop_m is told too. The newest entry is the last of the list; where another has a later date, the base is held to both. Dates are best written year-month-day; other forms are read where they say one thing (1 May 2026, 01.05.2026, 2026), an epoch where there is no date. " +
			"An entry elsewhere than the base whose date cannot be read, may be of two days (05/01/2026) or is there while the last entry has none, leaves it open which is the newest. Of notes of entries that of the newest is read, where it says that the base was moved since, is wrong, rough or loose, or to be checked. " +
			"An entry in another frame than the base is not compared. That one feature of many was left out of a correction is not seen.",
		Parts: []Part{
			{"Other places of the same base", "" +
				"A position under a name such as stored_position or previous_base, in the plan or the base, that lies within 100 m of the base and not at it, leaves it open which holds. " +
				"A base that is switched off, or a mark or other point called base, antenna or mast, farther from an active base than drift_unchanged_m and within 5 m is told: the same mast measured again. A mark called the mast, the antenna or the station of the base, in as many words, is a note at any distance from every base."},
			{"Entries that cannot be read or do not go together", "" +
				"A list that stands under another name with the word history in it, or on the base itself, is not read, and told; so is a member of an entry that none is called, and, as an error, a kind that is neither record nor correction, or a shift_m of what is no correction: neither moves anything. " +
				"A history that cannot be read or contradicts itself is an error too: the newest entry's antenna less its stored position has to be what the shift_m of all corrections come to, within 0.02 m, " +
				"and a plan given as held needs a correction to get its ground from. Conversions and hand-overs refuse such a plan. More than 5 m between the antenna and what is stored is a warning. " +
				"A record that has the base farther than that from the entry before it, in the same frame, or more than drift_stop_m higher or lower, leaves it open whether the plan went along; so do steps within these limits that come to more in all since the last correction or the first entry. " +
				"An entry of a date that has not come yet leaves it open which is the newest, and so does a correction of more than drift_unchanged_m beside which the dates run backwards; a date that is no day, or of before 1995, is told, and driven ground, keep-outs and other things (no marks, bases or outlets) that are dated after the newest such correction are a note. " +
				"A note that says that the base was hit or put upright leaves it open where it stands, until a later entry is a correction or says measured_by. " +
				"A correction without a shift_m, or with one of 0 that 'swardline drift' did not write, is told; so are two entries, one after the other, of the same coordinates (to 0.001 m) in two frames, or of two epochs in a frame in which places move, that lie more than drift_unchanged_m apart there, by the slowest plate that may lie under the site."},
		},
		Why:    "Somebody edited the base and nothing else. Every boundary hangs from it, so either the edit or the boundaries are wrong on the ground.",
		Source: sourcePractice,
		Fails:  "a base drawn 0.5 m from the position its history records, limit 0.02 m",
		Passes: "a base at the position its history records",
		Mend:   "ask who moved what, then 'swardline drift' with --stored or --base, and --correct",
	},
}}

func checkBaseMoved(r *run) {
	r.strayHistory()
	r.strayPositions()
	r.otherMasts()
	r.strangeEntries()
	r.blows()
	r.notYet()
	r.oddDates()
	off, _, err := HeldOffset(r.Plan)
	if err == nil {
		_, err = givenOf(r.Plan)
	}
	if err != nil {
		x := r.finding(nil)
		x.Message = err.Error()
		var told *HistoryError
		if errors.As(err, &told) {
			if told.Own {
				x.Severity = Error
			}
			x.Message += "; " + told.Mend()
		}
		return
	}
	entries, err := History(r.Plan)
	if err != nil || len(entries) == 0 {
		if len(r.reasons) == 0 {
			r.notNeeded("the plan keeps no history of its base")
		}
		return
	}
	if far := math.Hypot(float64(off.E), float64(off.N)); far > mostHeldM {
		x := r.finding(nil)
		x.Measured, x.Limit, x.Unit = far, mostHeldM, "m"
		x.Message = fmt.Sprintf("the plan's history has the antenna %s from what the machine stores; measure a mark or the base before anything drives by it", metresPast(far, mostHeldM))
	}
	bases := r.need(schema.RoleBase)
	if len(bases) == 0 || len(bases[0].Points) == 0 {
		return
	}
	if r.Frame != FrameEarth {
		r.cannot("the base has no longitude and latitude to compare with its history")
		return
	}
	base, last := bases[0], entries[len(entries)-1]
	r.sameNumbers(base, entries)
	if own := r.frameOfBase(base); !sameFrameWords(own, last.Frame) {
		r.cannot("the newest entry of the plan's history is in %s and the base in %s: whether the base stands where it has been is not told by comparing the two", quote(last.Frame), quote(own))
		return
	}
	ground, _ := givenOf(r.Plan)
	before, open := len(r.findings), len(r.reasons)
	if r.baseAgainst(base, last, ground, ""); len(r.findings) > before {
		return
	}
	if r.heldToDates(base, entries, ground); len(r.findings) == before && len(r.reasons) == open {
		r.walkedOff(base, entries)
	}
}

// mostPlateM is how far, in metres a year, coordinates of one frame may move with
// the ground they stand on: the fastest plates go some 0.1 (common practice, no
// source).
const mostPlateM = 0.12

// walkedOff leaves open what a record means that has the base elsewhere than the
// entry before it: nothing says that the plan went along.
func (r *run) walkedOff(base *Feature, entries []Entry) {
	limit := r.of(base).DriftUnchangedM
	far, at := 0.0, 0
	up, upAt := 0.0, 0
	for i := 1; i < len(entries); i++ {
		was, is := entries[i-1], entries[i]
		if is.Kind == EntryCorrection || !sameFrameWords(was.Frame, is.Frame) {
			continue
		}
		from, ok1 := r.LonLatToGround(float64(was.Stored.Lon), float64(was.Stored.Lat))
		to, ok2 := r.LonLatToGround(float64(is.Stored.Lon), float64(is.Stored.Lat))
		if !ok1 || !ok2 {
			continue
		}
		if h := math.Abs(float64(is.Stored.H - was.Stored.H)); h > r.of(base).DriftStopM+slackM && h > up {
			up, upAt = h, i
		}
		off := distance(from, to)
		if was.Epoch > 0 && is.Epoch > 0 {
			off -= mostPlateM * math.Abs(is.Epoch-was.Epoch)
		}
		if off > limit && off > far {
			far, at = off, i
		}
	}
	const mend = "and no correction says that the plan went along: where all of it was measured anew since, take the entries before that one out; else find out which holds"
	if at == 0 && upAt > 0 {
		r.cannot("entry %d of the plan's history has the base %s higher or lower than the entry before has it, "+mend, upAt+1, metres(up))
	}
	if at == 0 {
		if upAt == 0 {
			r.smallSteps(base, entries)
		}
		return
	}
	r.cannot("entry %d of the plan's history has the base %s from where the entry before has it, "+mend, at+1, metresPast(far, limit))
}

// heldToDates holds the base to the entry that is the newest by its date, where
// that is not the last of the list, and tells what entries elsewhere may be
// newer than the last.
func (r *run) heldToDates(base *Feature, entries []Entry, ground bool) {
	items := r.Plan.Attributes.Get(schema.PlanHistory).Items()
	when := make([]entryDate, len(entries))
	for i := range entries {
		when[i] = dateOfEntry(items[i].Fields())
	}
	own := r.frameOfBase(base)
	newest, last := -1, when[len(when)-1]
	var open []int
	for i, w := range when[:len(when)-1] {
		if w.text == "" || !sameFrameWords(own, entries[i].Frame) {
			continue
		}
		sure, maybe := false, !w.read || !last.read
		if !maybe {
			sure, maybe = w.later(last.date)
		}
		switch {
		case w.isEpoch && !last.isEpoch: // of its coordinates, whenever these were got
		case !sure && maybe:
			open = append(open, i)
		case sure && (newest < 0 || !(w.dayFirst.from < when[newest].dayFirst.from)):
			newest = i
		}
	}
	if newest >= 0 {
		e := entries[newest]
		e.Date = when[newest].text
		by := "date"
		if when[newest].isEpoch {
			by = "epoch"
		}
		r.baseAgainst(base, e, ground, ", which by its "+by+" is the newest entry and not the last of the list")
	}
	for _, i := range open {
		_, off, up, ok := r.offEntry(base, entries[i], ground)
		if !ok || off <= r.of(base).DriftUnchangedM && !(math.Abs(up) > r.of(base).DriftStopM) {
			continue
		}
		than := quote(last.text)
		if last.text == "" {
			than = "the last, which has no date"
		}
		r.cannot("entry %d of the plan's history has the base %s from where it stands, and whether its date %s is later than %s cannot be told: write dates as year-month-day, such as 2026-05-01", i+1, metres(off), quote(when[i].text), than)
		return
	}
}

// entryDate is when an entry of the history was made, as far as it says.
type entryDate struct {
	date
	text    string // "" where it does not say
	isEpoch bool   // it has no date, and this is its epoch
}

// entryDates are the names, folded, under which an entry has its date.
var entryDates = strings.Fields("date time when day datetime timestamp year measured measuredon updated surveyed datum fecha data dato päivä")

// dateOfEntry finds the date of an entry: the member date, another such word,
// or its epoch.
func dateOfEntry(item schema.Attributes) (out entryDate) {
	if text := item.Get("date").Text(); text != "" {
		return entryDate{date: dateOf(text), text: text}
	}
	for _, a := range item {
		if text := a.Value.Text(); text != "" && slices.Contains(entryDates, foldKey(a.Key)) {
			return entryDate{date: dateOf(text), text: text}
		}
	}
	if y, ok := item.Get("epoch").Float(); ok && y >= firstEpoch && y <= lastEpoch {
		at := span{y - epochSlackYears/2, y + epochSlackYears/2}
		out = entryDate{date{at, at, true}, item.Get("epoch").Text(), true}
	}
	return out
}

// frameOfBase is the frame that the base's coordinates in the plan are in, as
// far as the base or the plan says; "" for neither.
func (r *run) frameOfBase(base *Feature) string {
	if own := base.Attributes.Get(schema.PropFrame).Text(); own != "" {
		return own
	}
	if ref, err := r.Plan.Reference(); err == nil && ref.Frame.Known() {
		return ref.Frame.Name()
	}
	return ""
}

// sameFrameWords reports whether two frames are one, or one of them is not
// said.
func sameFrameWords(a, b string) bool {
	if a == "" || b == "" || schema.FoldName(a) == schema.FoldName(b) {
		return true
	}
	p, err1 := crs.ParseFrame(a)
	q, err2 := crs.ParseFrame(b)
	return err1 == nil && err2 == nil && p == q
}

// offEntry is where an entry of the history has the base, and how far the base
// stands from there along the ground and in height.
func (r *run) offEntry(base *Feature, e Entry, ground bool) (was orb.Point, off, up float64, ok bool) {
	at := e.Stored
	if ground {
		at = e.Antenna
	}
	was, ok = r.LonLatToGround(float64(at.Lon), float64(at.Lat))
	if !ok || math.IsNaN(was[0]) || math.IsNaN(was[1]) {
		r.cannot("the history's position of the base cannot be put on the ground")
		return was, 0, 0, false
	}
	is := base.Points[0]
	return was, distance(is.Ground, was), is.Height - float64(at.H), true
}

// baseAgainst holds the base to one entry of its history.
func (r *run) baseAgainst(base *Feature, e Entry, ground bool, why string) {
	was, off, up, ok := r.offEntry(base, e, ground)
	limit, stop := r.of(base).DriftUnchangedM, r.of(base).DriftStopM
	if !ok || off <= limit && !(math.Abs(up) > stop) {
		return
	}
	is, history := base.Points[0], "the plan's history"
	if e.Date != "" {
		history += " of " + e.Date
	}
	x := r.finding(r.placeRead(base, is.Read, is.Ground), base)
	x.Unit = "m"
	if off <= limit {
		x.Measured, x.Limit = math.Abs(up), stop
		x.Message = fmt.Sprintf("stands at a height of %s, and %s has it at %s%s", metres(is.Height), history, metres(is.Height-up), why)
		return
	}
	x.Measured, x.Limit = off, limit
	x.Trace = r.trace(is.Ground, was)
	if off >= stop {
		x.Severity = Error
	}
	x.Message = fmt.Sprintf("stands %s from where %s has it%s", metres(off), history, why)
}

// entryMembers are the members of an entry of the history that are read, and
// those that say something to people.
var entryMembers, entryNotes = strings.Fields("date kind stored antenna shift_m frame epoch measured_by"), strings.Fields("note comment remark reason by")

// movedNothing reports whether a correction has no shift_m, or one of 0 that 'swardline
// drift' did not write: that writes its antenna and its measured_by with it, where a base
// was only told to be where it is.
func movedNothing(entry schema.Attributes) bool {
	for _, v := range entry.Get("shift_m").Items() {
		if x, ok := v.Float(); !ok || x != 0 {
			return false
		}
	}
	return !entry.Has("shift_m") || !entry.Has(schema.EntryAntenna) || !entry.Has("measured_by")
}

// strangeEntries tells what entries of the history hold that is not read.
func (r *run) strangeEntries() {
	items := r.Plan.Attributes.Get(schema.PlanHistory).Items()
	for i, item := range items {
		if i == len(items)-1 {
			r.entryNote(i, item.Fields())
		}
		kind := item.Fields().Get("kind")
		switch text := kind.Text(); {
		case !kind.IsAbsent() && text != EntryRecord && text != EntryCorrection:
			x := r.finding(nil)
			x.Severity = Error
			x.Message = fmt.Sprintf("entry %d of the plan's history is of the kind %s, which is none, so that a correction in it moves nothing: make it %s or %s", i+1, quote(text), EntryRecord, EntryCorrection)
		case text != EntryCorrection && item.Fields().Has("shift_m"):
			x := r.finding(nil)
			x.Severity = Error
			x.Message = fmt.Sprintf("entry %d of the plan's history has a shift_m and is no correction, so that it moves nothing: make its kind %s, or take the shift_m out", i+1, EntryCorrection)
		}
		if text := kind.Text(); text == EntryCorrection && movedNothing(item.Fields()) {
			r.finding(nil).Message = fmt.Sprintf("entry %d of the plan's history is a correction that moved nothing: write in its shift_m by how much the plan was moved, or make its kind %s where it was not", i+1, EntryRecord)
		}
		for _, a := range item.Fields() {
			if slices.Contains(entryMembers, a.Key) || slices.Contains(entryNotes, schema.FoldName(a.Key)) {
				continue
			}
			if slices.Contains(entryDates, foldKey(a.Key)) && dateOf(a.Value.Text()).read {
				r.finding(nil).Message = fmt.Sprintf("entry %d of the plan's history has its date in a member %s: write it as the member date, year-month-day", i+1, quote(a.Key))
				continue
			}
			near := ""
			if _, ok := positionOf(a.Value); ok {
				near = "; where the antenna stood, if that was elsewhere than stored, is its member antenna"
			}
			for _, known := range entryMembers {
				if nearWord(foldKey(a.Key), foldKey(known)) {
					near = "; perhaps " + quote(known) + " is meant"
				}
			}
			r.finding(nil).Message = fmt.Sprintf("entry %d of the plan's history has a member %s, which is not read%s: an entry has %s", i+1, quote(a.Key), near, strings.Join(entryMembers, ", "))
		}
	}
}

// sinceWords say of what was moved that it was so after all else (common practice,
// no source).
var sinceWords = strings.Fields("since afterwards again seither seitdem danach depuis ensuite desde después sinds daarna allora poi siden sidenhen sedan därefter sittemmin")

// unseenWords say of how a position was got that nobody stood there with a receiver
// that is good to a centimetre (common practice, no source).
var unseenWords = setOf("photo photos foto fotos picture image imagery aerial satellite orthophoto luftbild bild karte map earth phone smartphone handy tablet plan drawing eye tape bandmaß")

// checkFirst finds what a note says is still to be done with a position.
var checkFirst = sync.OnceValue(func() *regexp.Regexp {
	return regexp.MustCompile(`(?i)\b(?:to be (?:re)?(?:checked|verified|confirmed)|needs? (?:checking|confirming|verifying)|(?:noch|zu) (?:über)?prüfen|(?:à|a) vérifier|da verificare|por (?:comprobar|verificar)|te controleren|skal (?:kontrolleres|sjekkes|tjekkes)|ska kontrolleras)`)
})

// entryNote leaves open what the newest entry means whose note says that the base
// was moved since, that its position is rough or wrong, or that it stands loosely.
func (r *run) entryNote(i int, entry schema.Attributes) {
	for _, a := range entry {
		text := a.Value.Text()
		by := a.Key == "measured_by"
		if !by && !slices.Contains(entryNotes, schema.FoldName(a.Key)) || a.Value.Kind() != schema.KindString || len(text) > mostTextLength {
			continue
		}
		says, word := namesSay.get(text), ""
		for _, c := range [...]claim{claimRough, claimWrong, claimVoid, claimLoose} {
			word = cmp.Or(word, says.words[c])
		}
		words := nameWords(text)
		for k := range words {
			if by && (doubtWords[words[k]] || unseenWords[words[k]]) {
				word = cmp.Or(word, words[k])
			}
			s, n := phraseAt(words[k:])
			if n > 0 && s.claim == claimMoved && slices.ContainsFunc(words, func(w string) bool { return slices.Contains(sinceWords, w) }) {
				word = cmp.Or(word, words[k])
			}
		}
		if word == "" {
			word = checkFirst().FindString(text)
		}
		if word != "" {
			r.cannot("the %s of entry %d of the plan's history, its newest, says %s: whether the base stands where that has it is not known; measure it, or take the words out", a.Key, i+1, quote(word))
			return
		}
	}
}

// wholeDate is a day in numbers, its year of four digits.
var wholeDate = sync.OnceValue(func() *regexp.Regexp {
	return regexp.MustCompile(`^\s*(?:\d{4}[-./]\d{1,2}[-./]\d{1,2}|\d{1,2}[-./]\d{1,2}[-./]\d{4})\b`)
})

// oddDates tells of entries whose dates no base has or that run backwards across a
// correction, and of driven ground that was measured after the newest one.
func (r *run) oddDates() {
	items := r.Plan.Attributes.Get(schema.PlanHistory).Items()
	var before, corrected entryDate
	corrects, last := false, -1
	for i, item := range items {
		entry := item.Fields()
		d := dateOfEntry(entry)
		correction := entry.Get("kind").Text() == EntryCorrection && shiftOf(entry) > r.limits.DriftUnchangedM
		switch {
		case d.isEpoch || d.text == "":
		case !d.read && wholeDate().MatchString(d.text):
			r.finding(nil).Message = fmt.Sprintf("entry %d of the plan's history is dated %s, which is no day: write when it was measured, year-month-day", i+1, quote(clipped(d.text)))
		case d.read && max(d.dayFirst.to, d.monthFirst.to) <= firstFixedYear:
			r.finding(nil).Message = fmt.Sprintf("entry %d of the plan's history is dated %s, and before %d nothing was measured to centimetres by satellites: was the clock not set? write when it was measured", i+1, quote(clipped(d.text)), firstFixedYear)
		}
		if sure, _ := before.later(d.date); sure && before.read && d.read && !d.isEpoch && (correction || corrects) {
			r.cannot("entry %d of the plan's history, of %s, stands behind one of %s, and one of them moves the plan: which of them was last is not known; put them in order, or correct the date", i+1, quote(clipped(d.text)), quote(clipped(before.text)))
		}
		if d.read && !d.isEpoch {
			before, corrects = d, correction
		}
		if correction {
			corrected, last = d, i
		}
	}
	if last >= 0 && corrected.read {
		r.measuredSince(last, corrected)
	}
}

// shiftOf is how far an entry's shift_m moves along the ground.
func shiftOf(entry schema.Attributes) float64 {
	var at [2]float64
	for k, v := range entry.Get("shift_m").Items() {
		if k < len(at) {
			at[k], _ = v.Float()
		}
	}
	return math.Hypot(at[0], at[1])
}

// measuredSince notes driven ground, keep-outs and hazards that are dated after the newest
// correction: whether their coordinates are from before it or of after it is not said.
func (r *run) measuredSince(entry int, corrected entryDate) {
	var list []*Feature
	var first dated
	for _, f := range r.Features {
		switch f.Role {
		case schema.RoleOther, schema.RoleBase, schema.RoleMark, schema.RoleSupply, "":
			continue
		}
		d := datedOf(f)
		if d.year == 0 || touchedKeys[foldKey(d.key)] || d.year > today() {
			continue
		}
		if sure, _ := dateOf(d.text).later(corrected.date); sure {
			if len(list) == 0 {
				first = d
			}
			list = append(list, f)
		}
	}
	if len(list) == 0 {
		return
	}
	x := r.finding(r.middle(list[0]), list[:min(len(list), mostUnread)]...)
	x.Severity = Note
	x.Message = fmt.Sprintf("%s dated after the correction of entry %d of the plan's history, of %s (%s of %s says %s): were its coordinates measured from where the base stands now, and moved with the rest? measure a mark and one corner of it", plural(len(list), "feature"), entry+1, quote(clipped(corrected.text)), first.key, list[0].describe(), quote(clipped(first.text)))
}

// strayHistory tells a history that stands where none is read.
func (r *run) strayHistory() {
	holds := func(a schema.Attribute) bool {
		k := a.Value.Kind()
		return strings.Contains(schema.FoldName(a.Key), "history") && (k == schema.KindList || k == schema.KindObject)
	}
	for _, a := range r.Plan.Attributes {
		if a.Key != schema.PlanHistory && holds(a) {
			r.finding(nil).Message = fmt.Sprintf("the plan's member %s is not read: the base's history stands in the member %s, a list of entries", quote(a.Key), schema.PlanHistory)
			continue
		}
		if slices.ContainsFunc(a.Value.Fields(), holds) && a.Key != schema.PlanHistory {
			r.finding(nil).Message = fmt.Sprintf("the plan's member %s has a history in it, which is not read: it stands beside the features, in the member %s, and so does %s", quote(a.Key), schema.PlanHistory, schema.PlanGiven)
		}
	}
	for _, f := range r.Of(schema.RoleBase) {
		for _, a := range f.Attributes {
			if holds(a) {
				r.finding(r.middle(f), f).Message = fmt.Sprintf("its property %s is not read: the base's history stands in the plan's member %s", quote(a.Key), schema.PlanHistory)
			}
		}
	}
}

// placeWords are words in the name of a plan's member that say that a position
// in it is one of the base (common practice, no source).
var placeWords = strings.Fields("base antenna mast station stored position positions moves moved log correction corrections shift offset verlauf historique antenne antenna antena basis gespeichert stockée guardada")

// nearBaseM is how far from the base a position still is one of a base that was
// moved, and not of something else.
const nearBaseM = 100

// strayPositions tells positions beside the base under names that nobody reads.
func (r *run) strayPositions() {
	bases := r.Of(schema.RoleBase)
	if len(bases) == 0 || len(bases[0].Points) == 0 || r.Frame != FrameEarth {
		return
	}
	base, limit := bases[0], r.of(bases[0]).DriftUnchangedM
	look := func(whose, key string, v schema.Value, bare bool) {
		far := 0.0
		eachPosition(v, bare, func(g crs.Geodetic) {
			was, ok := r.LonLatToGround(float64(g.Lon), float64(g.Lat))
			if off := distance(base.Points[0].Ground, was); ok && off > limit && off < nearBaseM && off > far {
				far = off
			}
		})
		if far > 0 {
			r.cannot("%s %s has a position %s from where %s stands, and which of the two holds cannot be told: find out, write the right one to the base, and where it was into the plan's member %s", whose, quote(key), metres(far), base.describe(), schema.PlanHistory)
		}
	}
	for _, a := range r.Plan.Attributes {
		if k := a.Value.Kind(); (k == schema.KindList || k == schema.KindObject) && !slices.Contains(readOfPlan, a.Key) {
			bare := slices.ContainsFunc(wordsOf(spaced(a.Key)), func(w string) bool { return slices.Contains(placeWords, w) })
			look("the plan's member", a.Key, a.Value, bare)
		}
	}
	for _, a := range base.Attributes {
		if k := a.Value.Kind(); k == schema.KindList || k == schema.KindObject {
			look("the base's property", a.Key, a.Value, true)
		}
	}
}

// eachPosition calls visit with the positions in a value: those under stored and
// antenna, as in an entry of the history, and, bare, those that are the value or
// items of it.
func eachPosition(v schema.Value, bare bool, visit func(crs.Geodetic)) {
	if g, ok := positionOf(v); ok {
		if bare {
			visit(g)
		}
		return
	}
	for _, item := range v.Items() {
		eachPosition(item, bare, visit)
	}
	for _, a := range v.Fields() {
		switch key := schema.FoldName(a.Key); key {
		case schema.EntryStored, schema.EntryAntenna, "position", "coordinates":
			eachPosition(a.Value, bare || key == schema.EntryStored || key == schema.EntryAntenna, visit)
		}
	}
}

// spaced is a name with its words apart where only their capitals say so:
// baseStation.
func spaced(name string) string {
	var out strings.Builder
	small := false
	for _, c := range name {
		if small && unicode.IsUpper(c) {
			out.WriteByte(' ')
		}
		small = unicode.IsLower(c)
		out.WriteRune(c)
	}
	return out.String()
}

// sameMastM is how far from the base what is called one is taken for the same
// mast measured again: two masts stand farther apart (common practice, no
// source).
const sameMastM = 5.0

// Words of a mark's name that make it the base's antenna, and those that make it
// a mark beside it, in the languages of property-misnamed.
var (
	mastWords = strings.Fields("gnss antenn arp bezugspunkt referenz base basestation basis basisstation antenna antenne antena antenni mast mât mástil masto tukiasema basisstasjon basstation rtk referenzstation")
	// Those by which it is no other mast: one word, or one of each.
	stationWords  = strings.Fields("basestation basisstation tukiasema basisstasjon basstation referenzstation basismast basisantenne referenzmast basemast")
	ofBaseWords   = strings.Fields("base basis rtk gnss gps referenz reference référence referencia referenza bas")
	mastOnlyWords = strings.Fields("mast antenna antenne antena antenni mât mástil masto palo station estación stazione stasjon")
	besideWords   = strings.Fields("of foot rm ref reference witness check control ecc eccentric wall step steps stairs tree lamp flag light power fuss fuß kontrolle lampe fahne pied pie piede")
)

// otherMasts tells what says that it is the base and stands as near to an active
// one as no second mast does: a base that is switched off, a mark, or what has the role
// other.
func (r *run) otherMasts() {
	if r.Frame != FrameEarth {
		return
	}
	tell := func(who string, at orb.Point, features ...*Feature) bool {
		for _, b := range r.rangeBases() {
			limit := r.of(b).DriftUnchangedM
			off := distance(at, b.Points[0].Ground)
			if !(off > limit && off <= sameMastM+slackM) {
				continue
			}
			x := r.finding(r.placeRead(b, b.Points[0].Read, b.Points[0].Ground), append([]*Feature{b}, features...)...)
			x.Measured, x.Limit, x.Unit = off, limit, "m"
			x.Trace = r.trace(b.Points[0].Ground, at)
			x.Message = fmt.Sprintf("stands %s from %s: which of the two is where the antenna stands? Measure it, and if the base has moved, go on with 'swardline drift'", metres(off), who)
			return true
		}
		return false
	}
	for _, f := range r.Inactive {
		if f.Role != schema.RoleBase || f.Geometry == nil || len(f.Geometry.FlatCoords()) < 2 {
			continue
		}
		if g, err := r.Plan.Geodetic(f.Geometry.FlatCoords()); err == nil {
			if at, ok := r.LonLatToGround(float64(g.Lon), float64(g.Lat)); ok {
				tell("the base "+quote(f.Name)+", which is switched off", at)
			}
		}
	}
	for _, role := range [...]schema.Role{schema.RoleMark, schema.RoleOther} {
		for _, f := range r.Of(role) {
			if f.usable() && len(f.Points) > 0 && saysMast(f) && !tell(f.describe(), f.Points[0].Ground, f) {
				r.mastElsewhere(f)
			}
		}
	}
}

// mastElsewhere notes a mark that is called the base's mast, in as many words, and stands
// farther from every base than one mast that was measured twice.
func (r *run) mastElsewhere(f *Feature) {
	words := letterWords(f.Name)
	has := func(list []string) bool {
		return slices.ContainsFunc(words, func(w string) bool { return slices.Contains(list, w) })
	}
	bases := r.rangeBases()
	if len(bases) == 0 || !has(stationWords) && !(has(ofBaseWords) && has(mastOnlyWords)) {
		return
	}
	best, off := bases[0], math.Inf(1)
	for _, b := range bases {
		if d := distance(f.Points[0].Ground, b.Points[0].Ground); d < off {
			best, off = b, d
		}
	}
	if off <= sameMastM+slackM {
		return
	}
	x := r.finding(r.Place(f.Points[0].Ground), best, f)
	x.Severity = Note
	x.Measured, x.Limit, x.Unit = off, sameMastM, "m"
	x.Message = fmt.Sprintf("stands %s from %s, which is called its mast: where does the antenna stand? Measure it, and give the other another name, or take it out", metres(off), f.describe())
}

// saysMast reports whether a feature's name or one of its texts is that of a base.
func saysMast(f *Feature) bool {
	says := func(text string) bool {
		words := wordsOf(spaced(text))
		return slices.ContainsFunc(words, func(w string) bool { return slices.Contains(mastWords, w) }) &&
			!slices.ContainsFunc(words, func(w string) bool { return slices.Contains(besideWords, w) })
	}
	if says(f.Name) {
		return true
	}
	for _, a := range f.Attributes {
		if a.Value.Kind() == schema.KindString && a.Key != schema.PropNote && says(a.Value.Text()) {
			return true
		}
	}
	return false
}
