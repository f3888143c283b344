// Epochs of coordinates that no survey has, and that are not of the date beside them:
// part of survey-quality.

package validate

import (
	"fmt"
	"math"

	"swardline/crs"
	"swardline/schema"
)

// sayEpochs is what the page of the rule says of this.
const sayEpochs = "" +
	"And as notes: an epoch of the plan, of a feature, or of an entry of its history that is more than half a year to come by the clock; one before both 1995 and the reference epoch of its frame; and one more than a year off the date beside it, of a feature or of an entry, in a frame in which places move or in none that is named, unless it is the epoch of the plan, or the plan has none and it is the reference epoch of its frame. "

// epochDateYears is how far in years the epoch of coordinates may be from the date that
// they were measured at or entered on (common practice, no source).
const epochDateYears = 1.0

// epochAheadYears is how far in years an epoch may be ahead: services give the middle of
// the year (common practice, no source).
const epochAheadYears = 0.5

// epochLook is one look at the epochs of a plan.
type epochLook struct {
	r     *run
	plan  crs.Frame // of its numbers, not known where nobody says
	asked bool
	past  bool // entries of the history are looked at
}

// epochsSaid tells of epochs that have not come yet, that are from before the frame,
// and that are far from the date beside them.
func (r *run) epochsSaid() {
	w := epochLook{r: r}
	w.judge(nil, "the plan's epoch", r.Plan.Epoch, schema.Value{}, date{}, "")
	for _, f := range r.Features {
		v := f.Attributes.Get(schema.PropEpoch)
		if e, ok := v.Float(); ok {
			d := datedOf(f)
			w.judge(f, "its epoch", e, f.Attributes.Get(schema.PropFrame), dateOf(d.text), d.text)
		}
	}
	w.past = true
	for i, item := range r.Plan.Attributes.Get(schema.PlanHistory).Items() {
		entry := item.Fields()
		e, ok := entry.Get("epoch").Float()
		if !ok {
			continue
		}
		d := dateOfEntry(entry)
		if d.isEpoch {
			d = entryDate{}
		}
		w.judge(nil, fmt.Sprintf("the epoch of entry %d of the plan's history", i+1), e, entry.Get("frame"), d.date, d.text)
	}
}

// frame is the one that a value names, or else the plan's.
func (w *epochLook) frame(v schema.Value) crs.Frame {
	if v.Text() != "" {
		if f, err := crs.ParseFrame(v.Text()); err == nil {
			return f
		}
	}
	if !w.asked {
		w.asked = true
		if ref, err := w.r.Plan.Reference(); err == nil {
			w.plan = ref.Frame
		}
	}
	return w.plan
}

// judge tells of one epoch, in a frame that a value names, beside a date; f is nil for
// what is the plan's.
func (w *epochLook) judge(f *Feature, what string, epoch float64, named schema.Value, when date, text string) {
	if !(epoch > 0) || !w.past && (epoch < firstEpoch || epoch > lastEpoch) && len(w.r.Of(schema.RoleBase)) > 0 {
		return // base-frame tells those
	}
	told := ""
	frame := w.frame(named)
	first := float64(firstEpoch)
	if ref := frame.ReferenceEpoch(); ref > 0 && frame.Satellite() {
		first = min(firstFixedYear, ref)
	}
	from, to := min(when.dayFirst.from, when.monthFirst.from), max(when.dayFirst.to, when.monthFirst.to)
	apart := max(from-epoch, epoch-to)
	switch {
	case epoch > today()+epochAheadYears:
		told = "to come by more than half a year: no coordinates are of then; give the date that they were measured at"
	case epoch < first-1e-6 && frame.Known():
		told = fmt.Sprintf("before anything was measured in %s, the first of which is of %v: give the epoch of the coordinates, or the frame that they are in", frame.Name(), first)
	case epoch < first-1e-6:
		told = fmt.Sprintf("before satellites gave any position, from %v on: give the date that they were measured at", first)
	case when.read && apart > epochDateYears && !w.agreed(frame, epoch):
		told = fmt.Sprintf("%s years off the date beside it, %s: coordinates in a frame in which places move are of the day that they were measured on; give that, or say in which frame they stand still", trim(apart, 1), quote(clipped(text)))
	default:
		return
	}
	var x *Finding
	if f == nil {
		x = w.r.finding(nil)
	} else {
		x = w.r.finding(w.r.middle(f), f)
	}
	x.Severity = Note
	x.Message = fmt.Sprintf("%s is %s, %s", what, trim(epoch, 3), told)
}

// agreed reports whether an epoch may be another than that of a day's measuring: in a
// frame whose places stand still, that of the plan, or where that has none the one that
// the frame is given at.
func (w *epochLook) agreed(frame crs.Frame, epoch float64) bool {
	if frame.Known() && !frame.Dynamic() {
		return true
	}
	of := w.r.Plan.Epoch
	if of == 0 && frame.Known() {
		of = frame.ReferenceEpoch()
	}
	return of > 0 && math.Abs(epoch-of) <= epochSlackYears
}
