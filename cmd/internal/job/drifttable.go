// The drift view's tables for the live page, worked out by the rules of drift.

package job

import (
	"math"
	"strconv"
	"strings"

	"swardline/convert/sheet"
	"swardline/schema"
	"swardline/validate"
)

// addDrift gives the drawing its drift tables, or says why it has none.
func (job *sheetJob) addDrift() {
	d := job.drawing
	if job.o.NoDrift || d.Drift != nil || d.NoDrift != "" {
		return
	}
	view, err := validate.TabulateView(job.plan, job.limits)
	if err != nil {
		d.NoDrift = err.Error()
		return
	}
	t, v := view.Table, view.Verdicts
	out := &sheet.Drift{Held: string(t.Held), BearingsDeg: t.BearingsDeg, BeyondM: t.BeyondM, UnchangedM: t.Limits.DriftUnchangedM, StopM: t.Limits.DriftStopM, MostM: validate.MaxMovementM,
		StepMM: v.StepMM, Notes: t.Unchecked}
	if !t.HeldStated {
		out.Notes = append(out.Notes, "the plan does not say how the machine holds it; coordinates are assumed")
	}
	codes := codesOf(job.report.Site)
	labels := map[string]string{}
	for i := range d.Features {
		labels[d.Features[i].Code] = d.Features[i].Label()
	}
	for i := range t.Items {
		x := &t.Items[i]
		item := sheet.DriftItem{Rule: x.Rule, Severity: string(x.Severity), Stops: x.Stops, LimitM: x.LimitM, HeadingDeg: math.NaN()}
		if h, ok := x.Feature.Float(schema.PropHeadingDeg); ok && x.Rule == "drift-off-dock" {
			item.HeadingDeg = h
		}
		item.Code = codes[x.Feature.Feature]
		item.Feature = labels[item.Code]
		if n := view.Near(x); n != nil {
			for _, row := range n.In {
				item.Near = append(item.Near, runs(row, func(in bool) string {
					if in {
						return "s"
					}
					return "-"
				}))
			}
		}
		for _, gap := range x.GapM {
			if math.IsInf(gap, 0) {
				gap = math.NaN()
			}
			item.GapM = append(item.GapM, gap)
		}
		item.DepthM = x.DepthM
		out.Items = append(out.Items, item)
	}
	letter := map[validate.Verdict]string{validate.VerdictUnchanged: "u", validate.VerdictRemeasure: "r", validate.VerdictStop: "s"}
	for _, row := range v.Verdicts {
		out.Verdicts = append(out.Verdicts, runs(row, func(x validate.Verdict) string { return letter[x] }))
	}
	if v.Base != nil {
		out.Base, out.RangeM, out.RangeLimitM = labels[codes[v.Base.Feature]], v.RangeM, v.RangeLimitM
	} else {
		out.RangeM = math.NaN()
		out.Notes = append(out.Notes, "the plan has no active base to measure a range from")
	}
	check, err := view.Check(func(k int, e, n float64) float64 {
		deep, _ := out.Depth(k, e, n)
		return deep
	})
	if err != nil {
		d.NoDrift = err.Error()
		return
	}
	out.NearWorstM, out.FarWorstM, out.Tried = check.NearWorstM, check.FarWorstM, check.Tried
	d.Drift = out
}

// runs writes a row as lengths of equal entries, each with its letter before
// it.
func runs[T comparable](row []T, letter func(T) string) string {
	var b strings.Builder
	for i := 0; i < len(row); {
		k := i
		for k < len(row) && row[k] == row[i] {
			k++
		}
		b.WriteString(letter(row[i]) + strconv.Itoa(k-i))
		i = k
	}
	return b.String()
}
