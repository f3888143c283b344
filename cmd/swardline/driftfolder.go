// drift over a folder: one base serves many plans, and all of them move with it.

package main

import (
	"fmt"
	"io"
	"math"
	"os"
	"slices"
	"strconv"
	"strings"

	"swardline/crs"
	"swardline/schema"
	"swardline/validate"
	"swardline/validate/report"
)

// sameBaseM is how near two positions are the same base, along the ground: common
// practice, no source.
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

// siteBase is one base and the plans that hang from it, in the order of their paths.
type siteBase struct{ plans []*driftPlan }

// runDriftFolder moves the one base that plans of a folder share. Plans with
// another base, without one, and unreadable files are named.
func runDriftFolder(o *driftOptions) error {
	if o.shift == "" || o.marks != "" || o.correct != "" || o.record != "" || len(o.reports) > 0 {
		return usageError("for the rest, take the plans one by one", "drift over a folder takes --shift, and neither --marks, --correct, --record nor --report")
	}
	if o.baseName != "" && o.baseAt != "" {
		return usageError("a position says it alone", "--base-name and --base-at do not go together")
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
	base, err := o.chooseBase(plans)
	if err != nil {
		return err
	}
	first := base.plans[0]
	on := map[*driftPlan]bool{}
	for _, d := range base.plans {
		on[d] = true
	}
	var text strings.Builder
	served, moved := 0, false
	for i := range plans {
		d := &plans[i]
		if !on[d] {
			apart = append(apart, fmt.Sprintf("%s: has another base: %s, %s", d.path, d.label(), apartWords(first, d)))
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

// chooseBase finds the base that is meant. One name may stand for several bases,
// "base" or "mast" at every site, and one base may have several names: what tells
// bases apart is where they stand.
func (o *driftOptions) chooseBase(plans []driftPlan) (*siteBase, error) {
	if o.baseAt != "" {
		at, err := latLonH("--base-at", o.baseAt)
		if err != nil {
			return nil, err
		}
		var b siteBase
		for i := range plans {
			if d := &plans[i]; d.at != nil {
				if m, ok := apartM(&driftPlan{plan: d.plan, at: &at}, d); ok && m <= sameBaseM {
					b.plans = append(b.plans, d)
				}
			}
		}
		if b.plans == nil {
			return nil, inputError("the order is latitude, longitude", "no plan in %s has a base within %g m of %s", o.path, sameBaseM, o.baseAt)
		}
		return &b, nil
	}
	var meant []*siteBase
	for _, b := range groupByBase(plans) {
		for _, d := range b.plans {
			if o.baseName == "" || d.named(o.baseName) {
				meant = append(meant, b)
				break
			}
		}
	}
	switch {
	case len(meant) == 1:
		return meant[0], nil
	case len(meant) == 0 && o.baseName == "":
		return nil, inputError("", "no plan in %s has a base", o.path)
	case len(meant) == 0:
		return nil, inputError("--base-name takes the name or id of a base", "no plan in %s has the base asked for", o.path)
	}
	list := basesInWords(meant)
	if o.baseName != "" {
		return nil, usageError("say which with --base-at LAT,LON", "%q stands for %d bases that are more than %g m apart: %s", o.baseName, len(meant), sameBaseM, list)
	}
	return nil, usageError("say which with --base-name NAME or --base-at LAT,LON", "the plans have more than one base, more than %g m apart: %s", sameBaseM, list)
}

// groupByBase puts plans together whose bases stand within sameBaseM of that of the
// group's first plan.
func groupByBase(plans []driftPlan) []*siteBase {
	var out []*siteBase
	for i := range plans {
		d := &plans[i]
		at := slices.IndexFunc(out, func(b *siteBase) bool { return d.sameBase(b.plans[0]) })
		if at < 0 {
			out = append(out, &siteBase{})
			at = len(out) - 1
		}
		out[at].plans = append(out[at].plans, d)
	}
	return out
}

func basesInWords(bases []*siteBase) string {
	const most = 5
	var parts []string
	for i, b := range bases {
		if i == most {
			parts = append(parts, fmt.Sprintf("and %d more", len(bases)-most))
			break
		}
		d := b.plans[0]
		s := fmt.Sprintf("%s in %s", d.label(), d.path)
		if n := len(b.plans) - 1; n > 0 {
			s += fmt.Sprintf(" and %d more", n)
		}
		if i > 0 {
			s += ", " + apartWords(bases[0].plans[0], d)
		}
		parts = append(parts, s)
	}
	return strings.Join(parts, "; ")
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
	m, ok := apartM(o, d)
	return ok && m <= sameBaseM
}

// apartM is how far two bases stand apart along the ground, false where that
// cannot be told.
func apartM(a, b *driftPlan) (float64, bool) {
	if a.at == nil || b.at == nil {
		return 0, false
	}
	from, to := *a.at, *b.at
	from.H, to.H = 0, 0
	v, err := validate.Between(a.plan.CRS, from, to)
	if err != nil {
		return 0, false
	}
	return math.Hypot(float64(v.E), float64(v.N)), true
}

func apartWords(a, b *driftPlan) string {
	m, ok := apartM(a, b)
	switch {
	case !ok:
		return "at an unknown distance"
	case m < 100:
		return fmt.Sprintf("%.3f m away", m)
	}
	return fmt.Sprintf("%.3f km away", m/1000)
}

// label names a base: what it is called and, in the form that --base-at takes,
// where it stands.
func (d *driftPlan) label() string {
	s := "a base without a name"
	if d.base.Name != "" {
		s = strconv.Quote(d.base.Name)
	}
	if d.at == nil {
		return s + " at an unknown position"
	}
	return fmt.Sprintf("%s at %.7f,%.7f", s, float64(d.at.Lat), float64(d.at.Lon))
}
