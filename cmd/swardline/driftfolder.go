// drift over a folder: one base serves many plans, and all of them move with it.

package main

import (
	"fmt"
	"io"
	"math"
	"os"
	"strings"

	"swardline/crs"
	"swardline/schema"
	"swardline/validate"
	"swardline/validate/report"
)

// sameBaseM is how near two positions are the same base: common practice, no
// source.
const sameBaseM = 1.0

func isFolder(path string) bool {
	info, err := os.Stat(path)
	return err == nil && info.IsDir()
}

// driftPlan is a plan of the folder with its base.
type driftPlan struct {
	path string
	plan *schema.Plan
	base *schema.Feature
	at   *crs.Geodetic // nil when the CRS does not tell
}

// runDriftFolder moves the one base that plans of a folder share. Plans with
// another base, without one, and unreadable files are named.
func runDriftFolder(o *driftOptions) error {
	if o.shift == "" || o.marks != "" || o.correct != "" || o.record != "" || len(o.reports) > 0 {
		return usageError("for the rest, take the plans one by one", "drift over a folder takes --shift, and neither --marks, --correct, --record nor --report")
	}
	limits, err := loadLimits(o.limits)
	if err != nil {
		return err
	}
	u, err := uncertaintyArg(o.sigma)
	if err != nil {
		return err
	}
	files, _, err := findPlans([]string{o.path}, nil, nil)
	if err != nil {
		return err
	}
	var plans []driftPlan
	var apart []string
	unreadable := 0
	for _, path := range files {
		p, warnings, err := loadPlan(path, o.readFlags, limits, o.streams)
		if err != nil {
			unreadable++
			apart = append(apart, fmt.Sprintf("%s: not read: %v", path, err))
			continue
		}
		tellWarnings(o.streams.err, path, warnings)
		d := driftPlan{path: path, plan: p, base: p.Base()}
		if d.base == nil {
			apart = append(apart, path+": has no base")
			continue
		}
		if g, err := p.Geodetic(d.base.Geometry.FlatCoords()); err == nil {
			d.at = &g
		}
		plans = append(plans, d)
	}
	var first *driftPlan
	for i := range plans {
		if o.baseName == "" || plans[i].named(o.baseName) {
			first = &plans[i]
			break
		}
	}
	if first == nil {
		return inputError("--base-name takes the name or id of a base", "no plan in %s has the base asked for", o.path)
	}
	var text strings.Builder
	served, moved := 0, false
	for i := range plans {
		d := &plans[i]
		if !(o.baseName != "" && d.named(o.baseName)) && !d.sameBase(first) {
			if o.baseName == "" {
				return usageError("say which with --base-name", "the plans have more than one base: %s in %s, %s in %s", baseLabel(first.base), first.path, baseLabel(d.base), d.path)
			}
			apart = append(apart, d.path+": has another base")
			continue
		}
		m, cause, fit, err := o.movement(d.plan, limits)
		if err != nil {
			return err
		}
		r, err := validate.Drift(d.plan, limits, m, validate.DriftOptions{Uncertainty: u})
		if err != nil {
			unreadable++
			apart = append(apart, fmt.Sprintf("%s: %v", d.path, err))
			continue
		}
		served++
		moved = moved || r.Verdict != validate.VerdictUnchanged
		one := report.Drift{Path: d.path, Report: r, Fit: fit, Cause: cause, Caution: caution}
		if err := one.Text(&text); err != nil {
			return err
		}
		text.WriteString("\n")
	}
	fmt.Fprintf(&text, "%d plans on the base, %d not\n", served, len(apart))
	for _, line := range apart {
		fmt.Fprintf(&text, "  %s\n", oneLine(line))
	}
	if err := writeWhole("-", o.streams, func(w io.Writer) error {
		_, err := io.WriteString(w, text.String())
		return err
	}); err != nil {
		return err
	}
	switch {
	case unreadable > 0:
		return inputError("the list names each", "%d of %d plans could not be moved", unreadable, len(files))
	case moved:
		return errFindings
	}
	return nil
}

func (d *driftPlan) named(name string) bool {
	return d.base.Name == name || d.base.ID.Text() == name
}

// sameBase goes by position where both are known; names such as "base" repeat
// from site to site and prove nothing against it.
func (d *driftPlan) sameBase(o *driftPlan) bool {
	if d.at == nil || o.at == nil {
		return d.at == o.at && d.base.Name != "" && d.base.Name == o.base.Name
	}
	const metresPerDegree = 6378137 * math.Pi / 180 // equatorial radius of WGS 84, from memory
	north := float64(d.at.Lat-o.at.Lat) * metresPerDegree
	east := math.Remainder(float64(d.at.Lon-o.at.Lon), 360) * metresPerDegree * math.Cos(float64(o.at.Lat)*math.Pi/180)
	return math.Hypot(east, north) <= sameBaseM
}

func baseLabel(f *schema.Feature) string {
	if f.Name != "" {
		return f.Name
	}
	return "a base without a name"
}
