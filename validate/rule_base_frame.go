// The rule base-frame: the frame that a base is stored in is that of the plan.

package validate

import (
	"fmt"
	"math"

	"swardline/crs"
	"swardline/schema"
)

var baseFrameRules = []Rule{{
	Name: RuleBaseFrame, Severity: Error, Limits: []string{"drift_unchanged_m", "accuracy_m"}, Over: one(schema.RoleBase), run: checkBaseFrame,
	Page: Page{
		What: "The frame that each active base names (the property frame, with its epoch), beside the frame that the plan's numbers are in and beside the other bases: " +
			"how far apart the same place lies in the two, by the registry's step between them. A step that is less accurate than accuracy_m cannot tell.",
		Why: "The machine's numbers are in the frame of its base. A base entered in ITRF2014 under a plan in GDA2020 moves every outline by a quarter of a metre, " +
			"and nothing in either looks wrong.",
		Source: "the registry's steps between frames; " + sourcePractice + " for the limit",
		Fails:  "a base with the frame ITRF2014 and the epoch 2024 in a plan whose frame is GDA2020",
		Passes: "the same base with the frame GDA2020, or a plan that names no frame of its own",
		Mend:   "take the base's position to the plan's frame, or say in which frame the plan's numbers are: convert --frame NAME",
	},
}}

func checkBaseFrame(r *run) {
	type stored struct {
		f     *Feature
		what  string
		frame crs.Frame
		epoch float64
	}
	ref, err := r.Plan.Reference()
	if err != nil {
		r.cannot("%v", err)
		return
	}
	var first stored
	if ref.Frame.Known() && ref.From != schema.FrameFromBase {
		first = stored{what: "the plan's numbers", frame: ref.Frame, epoch: ref.Epoch}
	}
	named := false
	var unread []string
	for _, f := range r.Of(schema.RoleBase) {
		text := f.Attributes.Get(schema.PropFrame).Text()
		if text == "" {
			continue
		}
		frame, err := crs.ParseFrame(text)
		if err != nil {
			unread = append(unread, fmt.Sprintf("%s: %v", f.describe(), err))
			continue
		}
		if !frame.Known() {
			unread = append(unread, f.describe()+" says "+text+", which may be any of its realisations")
			continue
		}
		named = true
		epoch, _ := f.Float(schema.PropEpoch)
		here := stored{f, f.describe(), frame, epoch}
		if first.what == "" {
			first = here
			continue
		}
		if frame == first.frame && (!frame.Dynamic() || epoch == 0 || first.epoch == 0 || epoch == first.epoch) {
			continue
		}
		l := r.of(f)
		apart, how := r.framesApart(first.frame, frame, crs.Epochs{From: first.epoch, To: epoch}, l.AccuracyM)
		if math.IsNaN(apart) {
			r.cannot("%s is stored in %s, %s are in %s, and how far apart these lie cannot be told: %s",
				here.what, frame.Name(), first.what, first.frame.Name(), how)
			continue
		}
		limit := l.DriftUnchangedM
		if apart <= limit {
			continue
		}
		x := r.finding(r.middle(f), f)
		x.Measured, x.Limit, x.Unit = apart, limit, "m"
		x.Message = fmt.Sprintf("is stored in %s, but %s are in %s: one place lies %s apart in the two", frame.Name(), first.what, first.frame.Name(), metres(apart))
		if first.f != nil {
			x.Message = fmt.Sprintf("is stored in %s, but %s in %s: one place lies %s apart in the two", frame.Name(), first.what, first.frame.Name(), metres(apart))
		}
	}
	if first.what != "" {
		for _, why := range unread {
			r.cannot("%s", why)
		}
		named = named || len(unread) > 0
	}
	if !named {
		r.notNeeded("no active base says in which frame it is stored")
	}
}

// framesApart is how many metres apart one place of the site lies on the ground
// in two frames, NaN with the reason where no step tells, or none as well as to
// accuracyM.
func (r *run) framesApart(a, b crs.Frame, when crs.Epochs, accuracyM float64) (float64, string) {
	if r.Frame != FrameEarth {
		return math.NaN(), "the plan does not say where on earth it is"
	}
	at := crs.Geodetic{Lon: crs.Degrees(r.Lon), Lat: crs.Degrees(r.Lat), H: crs.Metres(r.H)}
	m, err := crs.FrameShift(a, b, crs.Allowed{Accuracy: crs.Metres(accuracyM)}, at, when, crs.Aids{})
	if err != nil {
		return math.NaN(), err.Error()
	}
	return math.Hypot(float64(m.Shift.E), float64(m.Shift.N)), ""
}
