// The drift view's table for the live page, worked out by the rules of drift.

package main

import (
	"fmt"
	"math"

	"swardline/convert/sheet"
	"swardline/crs"
	"swardline/schema"
	"swardline/validate"
)

// The table of the drift view: bearings every 5 degrees, and distances beyond the
// gap up to the largest movement that the view shows.
const driftBearings = 72

var driftDistances = []float64{0, 0.025, 0.05, 0.1, 0.15, 0.2, 0.3, 0.4, 0.5, 0.6, 0.7, 0.8, 0.9, 1}

// mostDriftFeatures is how many zones, keep-outs, hazards, edges and boundaries a
// plan may have for a table: past it the table takes minutes and megabytes.
const mostDriftFeatures = 60

// mostDriftPoints is how many vertices those may have, for the same reason.
const mostDriftPoints = 20000

// addDrift gives the drawing its drift table, or says why it has none.
func addDrift(job *sheetJob) {
	d := job.drawing
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
	if count > mostDriftFeatures || points > mostDriftPoints {
		d.NoDrift = fmt.Sprintf("%d features with %d points count for a movement of the base, more than a page's table holds; 'swardline drift' works it out", count, points)
		return
	}
	t, err := validate.TabulateDrift(job.plan, job.limits, driftBearings, driftDistances)
	if err != nil {
		d.NoDrift = err.Error()
		return
	}
	out := &sheet.Drift{Held: string(t.Held), BearingsDeg: t.BearingsDeg, BeyondM: t.BeyondM, UnchangedM: t.Limits.DriftUnchangedM, StopM: t.Limits.DriftStopM, Notes: t.Unchecked}
	if !t.HeldStated {
		out.Notes = append(out.Notes, "the plan does not say how the machine holds it; coordinates are assumed")
	}
	labels := map[string]int{}
	for i := range d.Features {
		labels[d.Features[i].Code] = i
	}
	codes := codesOf(job.report.Site)
	for i := range t.Items {
		x := &t.Items[i]
		item := sheet.DriftItem{Rule: x.Rule, Severity: string(x.Severity), Stops: x.Stops, LimitM: x.LimitM}
		item.Code = codes[x.Feature.Feature]
		if k, ok := labels[item.Code]; ok {
			item.Feature = d.Features[k].Label()
		}
		for b := range x.DepthM {
			gap := x.GapM[b]
			if math.IsInf(gap, 0) {
				gap = math.NaN()
			}
			item.GapM = append(item.GapM, roundTo(gap, 4))
			row := make([]float64, len(x.DepthM[b]))
			for k, v := range x.DepthM[b] {
				row[k] = roundTo(v, 4)
			}
			item.DepthM = append(item.DepthM, row)
		}
		out.Items = append(out.Items, item)
	}
	if err := measureTable(job, out, t); err != nil {
		d.NoDrift = err.Error()
		return
	}
	d.Drift = out
}

func roundTo(v float64, decimals int) float64 {
	p := math.Pow(10, float64(decimals))
	return math.Round(v*p) / p
}

// codesOf are the codes of a site's features, as the drawing numbers them.
func codesOf(s *validate.Site) map[*schema.Feature]string {
	numbers := map[schema.Role]int{}
	out := map[*schema.Feature]string{}
	for _, f := range s.Features {
		numbers[f.Role]++
		letter := codeOf[f.Role]
		if letter == "" {
			letter = codeOf[schema.RoleOther]
		}
		out[f.Feature] = fmt.Sprintf("%s%d", letter, numbers[f.Role])
	}
	return out
}

// tried are displacements between the table's entries, spread over bearings and
// distances by the golden angle.
const tried = 32

// measureTable holds the table against the full computation where it is not exact,
// and records the largest difference.
func measureTable(job *sheetJob, out *sheet.Drift, t *validate.DriftTable) error {
	last := out.BeyondM[len(out.BeyondM)-1]
	for i := range tried {
		b := math.Pi * (3 - math.Sqrt(5)) * (float64(i) + 0.5)
		r := last * math.Pow((float64(i)+0.7)/tried, 2)
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
			want := math.Min(deep, x.LimitM)
			for j := range full.Findings {
				f := &full.Findings[j]
				if f.Rule == x.Rule && len(f.Features) > 0 && f.Features[0] == t.Items[k].Feature.Feature {
					want = f.Measured
				}
			}
			out.WorstM = math.Max(out.WorstM, math.Abs(deep-want))
		}
		out.Tried++
	}
	return nil
}
