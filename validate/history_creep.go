// What small steps of a base come to in all, and what notes of its history say of a
// blow: of base-moved.

package validate

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"swardline/crs"
	"swardline/schema"
)

// crept is how far, along the ground and in height, and by which of its entries, a
// history has the base go in all since the plan last went along: since its last
// correction, its first entry, or the last one in another frame. Plates may account
// for their part of what lies between two epochs.
func (r *run) crept(entries []Entry) (far, up float64, farAt, upAt int) {
	from := 0
	for i := 1; i < len(entries); i++ {
		first, is := entries[from], entries[i]
		if is.Kind == EntryCorrection || !sameFrameWords(first.Frame, is.Frame) {
			from, far, up, farAt, upAt = i, 0, 0, 0, 0
			continue
		}
		was, ok1 := r.LonLatToGround(float64(first.Stored.Lon), float64(first.Stored.Lat))
		at, ok2 := r.LonLatToGround(float64(is.Stored.Lon), float64(is.Stored.Lat))
		if !ok1 || !ok2 {
			continue
		}
		off := distance(was, at)
		if first.Epoch > 0 && is.Epoch > 0 {
			off -= mostPlateM * math.Abs(is.Epoch-first.Epoch)
		}
		if off > far {
			far, farAt = off, i
		}
		if h := math.Abs(float64(is.Stored.H - first.Stored.H)); h > up {
			up, upAt = h, i
		}
	}
	return far, up, farAt, upAt
}

// smallSteps leaves open what records mean that have the base go by steps, each of
// them within the limit, and all of them not.
func (r *run) smallSteps(base *Feature, entries []Entry) {
	far, up, farAt, upAt := r.crept(entries)
	l := r.of(base)
	const mend = "since the plan last went along, by steps that are each within the limit: a mast that leans or sinks goes on doing so; measure marks, then 'swardline drift' with what it went in all"
	switch {
	case far > l.DriftUnchangedM+slackM:
		r.cannot("the plan's history has the base go %s up to entry %d "+mend, metresPast(far, l.DriftUnchangedM), farAt+1)
	case up > l.DriftStopM+slackM:
		r.cannot("the plan's history has the base go %s up or down to entry %d "+mend, metresPast(up, l.DriftStopM), upAt+1)
	}
}

// sameNumberM is up to how far apart in metres two positions are one set of numbers, as
// written with fewer decimals.
const sameNumberM = 0.001

// sameNumbers tells entries of two frames, or of two epochs of a frame in which places
// move, that hold the same coordinates: where those lie apart by more than the base may be
// off, one of the two is not what it says.
func (r *run) sameNumbers(base *Feature, entries []Entry) {
	limit := r.of(base).DriftUnchangedM
	for i := 1; i < len(entries); i++ {
		was, is := entries[i-1], entries[i]
		a, err1 := crs.ParseFrame(was.Frame)
		b, err2 := crs.ParseFrame(is.Frame)
		from, ok1 := r.LonLatToGround(float64(was.Stored.Lon), float64(was.Stored.Lat))
		to, ok2 := r.LonLatToGround(float64(is.Stored.Lon), float64(is.Stored.Lat))
		if err1 != nil || err2 != nil || !a.Known() || !b.Known() || !ok1 || !ok2 || !(distance(from, to) <= sameNumberM) {
			continue
		}
		apart, what := 0.0, fmt.Sprintf("in %s and in %s", was.Frame, is.Frame)
		switch {
		case a != b:
			apart, _ = r.framesApart(a, b, crs.Epochs{From: was.Epoch, To: is.Epoch}, limit)
		case a.Dynamic() && was.Epoch > 0 && is.Epoch > 0 && was.Epoch != is.Epoch:
			at := crs.Geodetic{Lon: was.Stored.Lon, Lat: was.Stored.Lat}
			apart = float64(a.LeastMotion(at, was.Epoch, is.Epoch))
			what = fmt.Sprintf("of the epochs %s and %s in %s", trim(was.Epoch, 2), trim(is.Epoch, 2), is.Frame)
		}
		if apart > limit+slackM {
			x := r.finding(nil)
			x.Measured, x.Limit, x.Unit = apart, limit, "m"
			x.Message = fmt.Sprintf("entries %d and %d of the plan's history hold the same coordinates %s, and one place has others there, %s apart: either the base has moved by that, or the frame or the epoch of one is wrong; find out in which they were measured", i, i+1, what, metresPast(apart, limit))
			return
		}
	}
}

// notYet leaves open what an entry means whose date has not come: a slip in the year
// makes it the newest of all.
func (r *run) notYet() {
	for i, item := range r.Plan.Attributes.Get(schema.PlanHistory).Items() {
		if w := dateOfEntry(item.Fields()); w.read && min(w.dayFirst.from, w.monthFirst.from) > today()+1/366.0 {
			r.cannot("entry %d of the plan's history is of %s, which has not come yet: correct its date, for the newest entry says where the base stands", i+1, quote(w.text))
			return
		}
	}
}

// blowWords say that a mast was run into, or put up again by hand (common practice,
// no source).
var blowWords = setOf("hit struck rammed knocked bumped collided collision crash crashed bent straightened realigned righted tilted toppled fallen fell blown damaged broken reerected " +
	"angefahren gerammt umgefahren umgestoßen umgefallen gestoßen verbogen gerichtet geradegerichtet beschädigt gekippt umgekippt heurté heurtée percuté tordu redressé tombé abîmé endommagé " +
	"golpeado golpeada chocado doblado enderezado caído dañado geraakt aangereden verbogen rechtgezet omgevallen beschadigd urtato colpito piegato raddrizzato caduto danneggiato " +
	"påkørt påkjørt påkörd bøjet bøyd böjd rettet retat rätad væltet veltet vält skadet skadad törmätty vääntynyt oikaistu kaatunut vaurioitunut")

// blows leaves open whether a base stands as it was measured of which a note says
// that it was hit or put upright: of the newest entry, and of one before it since
// which nobody says that he measured it or corrected the plan.
func (r *run) blows() {
	items := r.Plan.Attributes.Get(schema.PlanHistory).Items()
	for i := len(items) - 1; i >= 0; i-- {
		entry := items[i].Fields()
		for _, a := range entry {
			text := a.Value.Text()
			if !slices.Contains(entryNotes, schema.FoldName(a.Key)) || a.Value.Kind() != schema.KindString || len(text) > mostTextLength {
				continue
			}
			words := letterWords(text)
			k := slices.IndexFunc(words, func(w string) bool { return blowWords[w] })
			if k < 0 || slices.ContainsFunc(words[:k], func(w string) bool { return slices.Contains(notWords, w) }) {
				continue
			}
			r.cannot("the %s of entry %d of the plan's history says %s, and no entry since says by whom the base was measured: whether it stands where that has it is not known; measure it, and record it with measured_by", a.Key, i+1, quote(words[k]))
			return
		}
		if strings.TrimSpace(entry.Get("measured_by").Text()) != "" || entry.Get("kind").Text() == EntryCorrection {
			return
		}
	}
}
