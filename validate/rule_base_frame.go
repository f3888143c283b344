// The rule base-frame: the frame that a base is stored in is that of the plan.

package validate

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"swardline/crs"
	"swardline/schema"
)

var baseFrameRules = []Rule{{
	Name: RuleBaseFrame, Severity: Error, Limits: []string{"drift_unchanged_m", "accuracy_m"}, Over: one(schema.RoleBase), run: checkBaseFrame,
	Page: Page{
		What: "The frame that each active base names (the property frame, with its epoch), beside the frame that the plan's numbers are in and beside the other bases: " +
			"how far apart the same place lies in the two, by the registry's step between them. A step that is less accurate than accuracy_m cannot tell, " +
			"nor can a frame that is no known name, one whose places move (ITRF, WGS 84) without an epoch, or a second base without a frame beside one with. " +
			"So, too, any other feature that names a frame or an epoch of its own. An epoch that is no number from 1978 to 2060 is told, and a word for heights, of the plan or of a feature, " +
			"that is no known reference or another than the plan's. A base that names no frame, or only WGS 84, in a plan whose frame nobody tells is not judged, unless its epoch is another than the plan's or another such base's, which cannot be told; " +
			"one in a frame that satellites do not give (ED50), or of another epoch than the plan, cannot be, " +
			"nor one that names no frame in a plan whose CRS is on such a datum (ED50, NAD27, WGS 72, by the ellipsoid that the registry gives it), unless the registry has a step to what satellites give that is as good as accuracy_m, as services of corrections in Britain and the Netherlands use, " +
			"nor one without an epoch whose date (date, survey_date, measured and the like), or whose name after the word epoch, is of another time than the plan's epoch by more than 0.1 years.",
		Why: "The machine's numbers are in the frame of its base. A base entered in ITRF2014 under a plan in GDA2020 moves every outline by a quarter of a metre, " +
			"and nothing in either looks wrong.",
		Source: "the registry's steps between frames; " + sourcePractice + " for the limit",
		Fails:  "a base with the frame ITRF2014 and the epoch 2024 in a plan whose frame is GDA2020",
		Passes: "the same base with the frame GDA2020, or a plan that names no frame of its own",
		Mend:   "take the base's position to the plan's frame, or say in which frame the plan's numbers are: convert --frame NAME",
	},
}}

// stored says what numbers stand in which frame.
type stored struct {
	f     *Feature // nil for the plan
	what  string
	frame crs.Frame
	epoch float64 // decimal year, 0 when not told
}

func checkBaseFrame(r *run) {
	ref, err := r.Plan.Reference()
	if err != nil {
		r.cannot("%v", err)
		return
	}
	if v := r.Plan.Attributes.Get(schema.PropFrame); !isNull(v) && (v.Kind() != schema.KindString || strings.TrimSpace(v.Text()) == "") {
		r.cannot("the plan's member frame is %s, where the name of a frame should stand, such as ITRF2014", shown(v))
	}
	r.epochOf(nil, schema.Float(r.Plan.Epoch))
	if v := r.Plan.Attributes.Get(schema.PropEpoch); r.Plan.Epoch == 0 {
		r.epochOf(nil, v) // one that no reader took
	}
	var first stored
	if ref.Frame.Known() && ref.From != schema.FrameFromBase {
		first = stored{what: "the plan's numbers", frame: ref.Frame, epoch: ref.Epoch}
	}
	open := r.heightsTold(ref)
	open = r.othersStored(ref) || open
	named := false
	var silent, unread []string
	for _, f := range r.Of(schema.RoleBase) {
		epoch := r.epochOf(f, f.Attributes.Get(schema.PropEpoch))
		open = r.dated(f, ref) || open
		v := f.Attributes.Get(schema.PropFrame)
		text := strings.TrimSpace(v.Text())
		switch {
		case isNull(v):
			silent = append(silent, f.describe())
			continue
		case text == "" || v.Kind() != schema.KindString:
			r.cannot("the frame of %s is %s, where the name of one should stand, such as ITRF2014", f.describe(), shown(v))
			continue
		}
		frame, err := crs.ParseFrame(text)
		if err != nil {
			r.cannot("%s: %v", f.describe(), err)
			continue
		}
		if !frame.Known() {
			unread = append(unread, f.describe()+" says "+text+", which may be any of its realisations")
			continue
		}
		named = true
		if epoch == 0 && ref.Epoch == 0 && frame.Dynamic() {
			r.cannot("%s is stored in %s without an epoch: places in it move by centimetres a year; give its epoch, such as 2024.5", f.describe(), frame.Name())
		}
		here := stored{f, f.describe(), frame, epoch}
		if first.what == "" {
			r.storedAlone(here, ref)
			first = here
			continue
		}
		r.storedApart(here, first)
	}
	if first.what != "" {
		for _, why := range unread {
			r.cannot("%s", why)
		}
		named = named || len(unread) > 0
	}
	for _, who := range silent {
		switch {
		case first.f != nil:
			r.cannot("%s does not say in which frame it is stored, and %s says %s", who, first.what, first.frame.Name())
		case first.what != "" && !first.frame.Satellite() && !(r.Frame == FrameEarth && first.frame.KnownTo(crs.Metres(r.limits.AccuracyM), crs.Degrees(r.Lon), crs.Degrees(r.Lat))):
			r.cannot("%s does not say in which frame it is stored, and the plan's numbers are in %s, which no satellite receiver gives: what its receiver gave was taken there, by a step that may be metres off; say in its property frame what its numbers are in, or measure the plan again in what the receiver gives", who, first.frame.Name())
		}
	}
	r.silentEpochs(ref)
	if !named && !open && len(r.reasons)+len(r.findings) == 0 {
		r.notNeeded("no active base says in which frame it is stored")
	}
}

// silentEpochs tells bases that name no frame, or one of many realisations, and
// have another epoch than the plan or than one another: satellites give
// positions in frames in which places move.
func (r *run) silentEpochs(ref schema.Reference) {
	if ref.Frame.Known() && !ref.Frame.Dynamic() {
		return
	}
	epoch, who := ref.Epoch, "the plan"
	for _, f := range r.Of(schema.RoleBase) {
		if text := strings.TrimSpace(f.Attributes.Get(schema.PropFrame).Text()); text != "" {
			if frame, err := crs.ParseFrame(text); err != nil || frame.Known() {
				continue
			}
		}
		own, ok := f.Float(schema.PropEpoch)
		switch {
		case !ok || own < firstEpoch || own > lastEpoch:
		case epoch == 0:
			epoch, who = own, f.describe()
		case math.Abs(own-epoch) > epochSlackYears:
			r.cannot("%s has the epoch %v, and %s %v, and no frame says whether places moved in between, as they do by centimetres a year in what satellites give: name the frame of the base and of the plan", f.describe(), own, who, epoch)
		}
	}
}

// dateKeys are properties of a base, folded, that say when it was measured.
var dateKeys = strings.Fields("date surveydate dateofsurvey surveyed surveyedon measured measuredon measurementdate observed observedon observationdate datemeasured datesurveyed datum aufnahmedatum messdatum fecha fechademedición datelevé")

// dated tells a base without an epoch whose date, or whose name where it has the
// word epoch in it, is of another year than the epoch of the plan, in a frame
// in which places move, and reports whether it did.
func (r *run) dated(f *Feature, ref schema.Reference) bool {
	if ref.Epoch == 0 || !isNull(f.Attributes.Get(schema.PropEpoch)) || ref.Frame.Known() && !ref.Frame.Dynamic() {
		return false
	}
	told := false
	tell := func(what, text string) {
		when := dateOf(text)
		from, to := min(when.dayFirst.from, when.monthFirst.from), max(when.dayFirst.to, when.monthFirst.to)
		if to-from < 1.0/24 { // a day is good to its month
			month := math.Floor((from + to) / 2 * 12)
			from, to = month/12, (month+1)/12
		}
		if when.read && (from-ref.Epoch > epochSlackYears || ref.Epoch-to > epochSlackYears) {
			told = true
			r.cannot("%s has no epoch of its own, and %s says %s, the plan's epoch %v: places in a frame that moves go centimetres a year; give the base the epoch of its coordinates", f.describe(), what, quote(text), ref.Epoch)
		}
	}
	for _, a := range f.Attributes {
		if slices.Contains(dateKeys, foldKey(a.Key)) {
			tell("its "+a.Key, a.Value.Text())
		}
	}
	words := wordsOf(f.Name)
	for i, w := range words {
		if i+1 < len(words) && slices.Contains(epochWords, w) {
			_, rest, _ := strings.Cut(schema.FoldName(f.Name), w)
			tell("its name", strings.Trim(rest, " =:_-()[]"))
		}
	}
	return told
}

var epochWords = strings.Fields("epoch epoche époque época epoca epoke epok")

// storedAlone judges a base whose frame is the only one that is named.
func (r *run) storedAlone(here stored, ref schema.Reference) {
	if !here.frame.Satellite() {
		r.cannot("%s is stored in %s, which is not what satellites give, and nothing says that the plan's numbers are in it: find out which of the two holds", here.what, here.frame.Name())
	}
	if e := ref.Epoch; here.frame.Dynamic() && e != 0 && here.epoch != 0 && math.Abs(e-here.epoch) > epochSlackYears {
		r.cannot("%s has the epoch %v, and the plan %v: places in %s move by centimetres a year", here.what, here.epoch, e, here.frame.Name())
	}
}

// epochSlackYears is how far apart two epochs may be that are called one: the
// fastest plates move a centimetre in it.
const epochSlackYears = 0.1

// storedApart compares what a feature is stored in with what came first.
func (r *run) storedApart(here, first stored) {
	f, frame, epoch := here.f, here.frame, here.epoch
	if frame == first.frame && (!frame.Dynamic() || epoch == 0 || first.epoch == 0 || epoch == first.epoch) {
		return
	}
	are := "are"
	if first.f != nil {
		are = "is"
	}
	l := &r.limits // a base's own holds for it
	if f.Role == schema.RoleBase {
		l = r.of(f)
	}
	apart, how := r.framesApart(first.frame, frame, crs.Epochs{From: first.epoch, To: epoch}, l.AccuracyM)
	if math.IsNaN(apart) {
		r.cannot("%s is stored in %s, %s %s in %s, and how far apart these lie cannot be told: %s",
			here.what, frame.Name(), first.what, are, first.frame.Name(), how)
		return
	}
	limit := l.DriftUnchangedM
	if apart <= limit {
		return
	}
	x := r.finding(r.middle(f), f)
	x.Measured, x.Limit, x.Unit = apart, limit, "m"
	x.Message = fmt.Sprintf("is stored in %s, but %s %s in %s: one place lies %s apart in the two", frame.Name(), first.what, are, first.frame.Name(), metres(apart))
}

// The epochs that coordinates got with satellites can have, in decimal years:
// the first satellites of GPS are of 1978, and a plan of the next century is a
// slip (common practice, no source).
const firstEpoch, lastEpoch = 1978, 2060

// epochOf is the epoch that a feature, or the plan for nil, gives, 0 for none.
// One that is no year of a satellite's is told.
func (r *run) epochOf(f *Feature, v schema.Value) float64 {
	if isNull(v) {
		return 0
	}
	y, ok := v.Float()
	if ok && f == nil && y == 0 || ok && y >= firstEpoch && y <= lastEpoch {
		return y
	}
	why := fmt.Sprintf("epoch is %s, and no year from %d to %d as a number with a point, such as 2024.5", shown(v), firstEpoch, lastEpoch)
	var x *Finding
	if f == nil {
		x = r.finding(nil)
		x.Message = "the plan's " + why
	} else {
		x = r.finding(r.middle(f), f)
		x.Message = "its " + why
	}
	x.Severity = Warning
	return 0
}

// shown is a value as a message shows it.
func shown(v schema.Value) string {
	if v.Kind() == schema.KindString || v.Text() != "" {
		return quote(v.Text())
	}
	return "a " + v.Kind().String()
}

// heightsTold judges the words that the plan and its features have for what
// their heights are counted from, and reports whether there are any but a known
// one of the plan.
func (r *run) heightsTold(ref schema.Reference) (open bool) {
	const mend = "write ellipsoidal, or the code or name of a vertical system, such as EPSG:7837"
	if v := r.Plan.Attributes.Get(schema.PlanHeights); !isNull(v) {
		if _, err := crs.ParseHeights(v.Text()); err != nil || v.Kind() != schema.KindString {
			open = true
			x := r.finding(nil)
			x.Severity = Warning
			x.Message = fmt.Sprintf("the plan's heights is %s, which is no known reference of heights; %s", shown(v), mend)
		}
	}
	for _, f := range r.Features {
		v := f.Attributes.Get(schema.PlanHeights)
		if v.Kind() != schema.KindString || f.Role == schema.RoleOther {
			continue
		}
		open = true
		h, err := crs.ParseHeights(v.Text())
		if err == nil && ref.Heights.Told() && h.Same(ref.Heights) {
			continue
		}
		why := fmt.Sprintf("its heights are counted from %s, the plan's from %s: the two may lie 100 m apart", quote(v.Text()), quote(ref.Heights.ID()))
		switch {
		case !ref.Heights.Told():
			why = fmt.Sprintf("its heights are counted from %s, and the plan does not say what the others are counted from", quote(v.Text()))
		case err != nil:
			why += "; " + mend
		}
		if len(r.findings) < mostFindings {
			r.finding(r.middle(f), f).Message = why
		}
	}
	return open
}

// othersStored judges the frames that features other than bases name, and
// reports whether any does.
func (r *run) othersStored(ref schema.Reference) (open bool) {
	plan := stored{what: "the plan's numbers", frame: ref.Frame, epoch: ref.Epoch}
	type parsed struct {
		frame crs.Frame
		err   error
	}
	frames := map[string]parsed{} // by word: features share few
	for _, f := range r.Features {
		v, e := f.Attributes.Get(schema.PropFrame), f.Attributes.Get(schema.PropEpoch)
		if f.Role == schema.RoleBase || f.Role == schema.RoleOther || v.IsAbsent() && e.IsAbsent() || len(r.findings) >= mostFindings {
			continue
		}
		here := stored{f: f, what: f.describe(), frame: ref.Frame}
		if v.Kind() == schema.KindString && v.Text() != "" {
			open = true
			p, ok := frames[v.Text()]
			if !ok {
				p.frame, p.err = crs.ParseFrame(v.Text())
				frames[v.Text()] = p
			}
			here.frame = p.frame
			switch {
			case p.err != nil:
				r.cannot("%s: %v", f.describe(), p.err)
				continue
			case !here.frame.Known() && !plan.frame.Known(): // WGS 84 both
				continue
			case !here.frame.Known():
				r.cannot("%s says %s, which may be any of its realisations, and the plan's numbers are in %s", f.describe(), v.Text(), plan.frame.Name())
				continue
			case !plan.frame.Known():
				r.cannot("%s says that it is in %s, and nothing says in which frame the plan's numbers are", f.describe(), here.frame.Name())
				continue
			}
		}
		if !isNull(e) {
			open = true
			here.epoch = r.epochOf(f, e)
		}
		if plan.frame.Known() {
			r.storedApart(here, plan)
		}
	}
	return open
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
