// The drift view's tables for the live page, worked out by the rules of drift.

package job

import (
	"fmt"
	"math"
	"strconv"
	"strings"

	"swardline/convert/sheet"
	"swardline/crs"
	"swardline/schema"
	"swardline/validate"
)

// driftDistances are the columns of the table of depths: distances beyond the gap, up
// to the largest shift that it holds.
var driftDistances = []float64{0, 0.025, 0.05, 0.1, 0.15, 0.2, 0.3, 0.4, 0.5, 0.6, 0.7, 0.8, 0.9, 1, 1.5, 2, 3, 5}

// fewDistances are those of a plan with many features.
var fewDistances = []float64{0, 0.05, 0.1, 0.2, 0.3, 0.5, 0.75, 1, 1.5, 2, 3, 5}

// fewestDistances are those of a plan with very many.
var fewestDistances = []float64{0, 0.05, 0.1, 0.25, 0.5, 1, 2, 5}

// The tables of a plan with more features have fewer bearings and columns, so that the
// page stays below a megabyte: with the most features it has 950 kB of squares, and as
// many points as counted here take a megabyte by themselves. The verdicts are the same
// with each.
const (
	fineDrift   = 60  // features up to which a bearing stands every 5 degrees
	middleDrift = 150 // every 10 degrees
	mostDrift   = 400 // every 15 degrees; more have no drift view
	// manyDriftPoints and mostDriftPoints are how many vertices those have.
	manyDriftPoints = 5_000
	mostDriftPoints = 20_000
)

// addDrift gives the drawing its drift tables, or says why it has none.
func (job *sheetJob) addDrift() {
	d := job.drawing
	if job.o.NoDrift || d.Drift != nil || d.NoDrift != "" {
		return
	}
	count, points := 0, 0
	for i := range d.Features {
		switch f := &d.Features[i]; f.Role {
		case schema.RoleZone, schema.RoleKeepout, schema.RoleHazard, schema.RoleEdge, schema.RoleBoundary:
			count++
			for _, a := range f.Areas {
				for _, r := range a {
					points += len(r)
				}
			}
			for _, l := range f.Lines {
				points += len(l)
			}
		}
	}
	bearings, distances := 72, driftDistances
	switch {
	case count > mostDrift || points > mostDriftPoints:
		d.NoDrift = fmt.Sprintf("%d features with %d points count for a movement of the base, more than the %d features or %d points that a page's tables hold; 'swardline drift' works it out", count, points, mostDrift, mostDriftPoints)
		return
	case count > middleDrift:
		bearings, distances = 24, fewestDistances
	case count > fineDrift || points > manyDriftPoints:
		bearings, distances = 36, fewDistances
	}
	t, err := validate.TabulateDrift(job.plan, job.limits, bearings, distances)
	if err != nil {
		d.NoDrift = err.Error()
		return
	}
	v, err := validate.TabulateVerdicts(job.plan, job.limits)
	if err != nil {
		d.NoDrift = err.Error()
		return
	}
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
	nearOf := func(f *validate.Feature) *validate.DriftNear {
		for i := range v.Near {
			if v.Near[i].Feature.Feature == f.Feature {
				return &v.Near[i]
			}
		}
		return nil
	}
	for i := range t.Items {
		x := &t.Items[i]
		item := sheet.DriftItem{Rule: x.Rule, Severity: string(x.Severity), Stops: x.Stops, LimitM: x.LimitM, HeadingDeg: math.NaN()}
		if h, ok := x.Feature.Float(schema.PropHeadingDeg); ok && x.Rule == "drift-off-dock" {
			item.HeadingDeg = h
		}
		item.Code = codes[x.Feature.Feature]
		item.Feature = labels[item.Code]
		if n := nearOf(x.Feature); n != nil && n.Rule == x.Rule {
			for _, row := range n.In {
				item.Near = append(item.Near, runs(row, func(in bool) string {
					if in {
						return "s"
					}
					return "-"
				}))
			}
		}
		for b := range x.DepthM {
			gap := x.GapM[b]
			if math.IsInf(gap, 0) {
				gap = math.NaN()
			}
			item.GapM = append(item.GapM, roundTo(gap, 4))
			row := make([]float64, len(x.DepthM[b]))
			for k, v := range x.DepthM[b] {
				row[k] = roundTo(v, 3)
			}
			item.DepthM = append(item.DepthM, row)
		}
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
	if err := job.measureTable(out, t, max(4, min(32, 2000/max(count, 1)))); err != nil {
		d.NoDrift = err.Error()
		return
	}
	d.Drift = out
}

// runs writes a row as lengths of equal entries, each with its letter before it.
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

func roundTo(v float64, decimals int) float64 {
	p := math.Pow(10, float64(decimals))
	return math.Round(v*p) / p
}

// codesOf are the codes of a site's features, as the drawing numbers them; what is
// inactive is numbered behind the others.
func codesOf(s *validate.Site) map[*schema.Feature]string {
	numbers := map[schema.Role]int{}
	out := map[*schema.Feature]string{}
	number := func(f *schema.Feature) {
		numbers[f.Role]++
		letter := codeOf[f.Role]
		if letter == "" {
			letter = codeOf[schema.RoleOther]
		}
		out[f] = fmt.Sprintf("%s%d", letter, numbers[f.Role])
	}
	for _, f := range s.Features {
		number(f.Feature)
	}
	for _, f := range s.Inactive {
		number(f)
	}
	return out
}

// measureTable holds the table of depths against the full computation at a number of
// shifts that lie between its entries, spread over bearings and distances by the golden
// angle, and records the largest difference below a metre and in all.
func (job *sheetJob) measureTable(out *sheet.Drift, t *validate.DriftTable, tried int) error {
	last := out.BeyondM[len(out.BeyondM)-1]
	for i := range tried {
		b := math.Pi * (3 - math.Sqrt(5)) * (float64(i) + 0.5)
		r := last * math.Pow((float64(i)+0.7)/float64(tried), 2.5)
		e, n := r*math.Sin(b), r*math.Cos(b)
		full, err := validate.Drift(job.plan, job.limits, validate.Movement{Antenna: crs.Local{E: crs.Metres(e), N: crs.Metres(n)}, NoHeight: true}, validate.DriftOptions{Bearings: 4})
		if err != nil {
			return err
		}
		for k := range out.Items {
			x := &out.Items[k]
			deep, _ := out.Depth(k, e, n)
			// Where the rules find nothing the depth is known only to be within the
			// limit.
			if r <= x.LimitM {
				deep = math.Min(deep, x.LimitM)
			}
			want := math.Min(deep, x.LimitM)
			for j := range full.Findings {
				f := &full.Findings[j]
				if f.Rule == x.Rule && len(f.Features) > 0 && f.Features[0] == t.Items[k].Feature.Feature {
					want = f.Measured
				}
			}
			if off := math.Abs(deep - want); r <= 1 {
				out.NearWorstM = math.Max(out.NearWorstM, off)
			} else {
				out.FarWorstM = math.Max(out.FarWorstM, off)
			}
		}
		out.Tried++
	}
	return nil
}
