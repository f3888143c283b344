// One base serves many plans, and all of them move with it.

package job

import (
	"fmt"
	"slices"
	"strconv"
	"strings"

	"swardline/crs"
	"swardline/schema"
	"swardline/validate"
	"swardline/validate/report"
)

// driftPlan is a plan of the folder with its base.
type driftPlan struct {
	path string
	plan *schema.Plan
	base *schema.Feature
	at   *crs.Geodetic // nil when the CRS does not tell
}

// siteBase is one base and the plans that hang from it, in the order of their
// paths.
type siteBase struct{ plans []*driftPlan }

// DriftedFolder is what DriftFolder found.
type DriftedFolder struct {
	Plans []report.Drift // those on the base, in the order of their paths
	Apart []string       // in words: those with another base, without one, or unreadable
	Moved bool           // a verdict is not that nothing changed
	// Failed is how many plans could not be read or moved.
	Failed int
}

// DriftFolder moves the one base that plans share. Plans with another base,
// without one, and unreadable files are named.
func (j *Job) DriftFolder(o *DriftOptions) (*DriftedFolder, error) {
	if o.Shift == "" || o.Marks != "" || o.Correct != "" || o.Again || o.Record != "" || len(o.Reports) > 0 {
		return nil, Refuse("for the rest, take the plans one by one", "drift over a folder takes %s, and neither %s", j.option("shift"), j.options(", ", " nor ", "marks", "correct", "again", "record", "report"))
	}
	if o.BaseName != "" && o.BaseAt != "" {
		return nil, Refuse("a position says it alone", "%s do not go together", j.options("", " and ", "base-name", "base-at"))
	}
	limits, err := j.limits(o.Limits)
	if err != nil {
		return nil, err
	}
	u, err := j.uncertainty(o.Sigma)
	if err != nil {
		return nil, err
	}
	out := &DriftedFolder{}
	var plans []driftPlan
	for _, name := range o.Files {
		p, err := j.plan(name, &o.Reading, limits)
		if err != nil {
			out.Failed++
			out.Apart = append(out.Apart, fmt.Sprintf("%s: not read: %v", name, err))
			continue
		}
		d := driftPlan{path: name, plan: p, base: p.Base()}
		if d.base == nil {
			out.Apart = append(out.Apart, name+": has no base")
			continue
		}
		if g, err := p.Geodetic(d.base.Geometry.FlatCoords()); err == nil {
			d.at = &g
		}
		plans = append(plans, d)
	}
	base, err := j.chooseBase(o, plans)
	if err != nil {
		return nil, err
	}
	for i := range plans {
		d := &plans[i]
		if !slices.Contains(base.plans, d) {
			out.Apart = append(out.Apart, fmt.Sprintf("%s: has another base: %s, %s", d.path, d.label(), apartWords(base.plans[0], d)))
			continue
		}
		m, cause, _, err := j.movement(o, d.plan, limits)
		if err != nil {
			return nil, err
		}
		if err := j.toldTwice(o, d.plan, m, d.path); err != nil {
			return nil, err
		}
		r, err := validate.Drift(d.plan, limits, m, validate.DriftOptions{Uncertainty: u})
		if err != nil {
			out.Failed++
			out.Apart = append(out.Apart, fmt.Sprintf("%s: %v", d.path, err))
			continue
		}
		out.Moved = out.Moved || r.Verdict != validate.VerdictUnchanged
		out.Plans = append(out.Plans, report.Drift{Path: d.path, Report: r, Cause: cause, Caution: Caution})
	}
	return out, nil
}

// chooseBase finds the base that is meant. One name may stand for several
// bases, "base" or "mast" at every site, and one base may have several names:
// what tells bases apart is where they stand.
func (j *Job) chooseBase(o *DriftOptions, plans []driftPlan) (*siteBase, error) {
	if o.BaseAt != "" {
		at, err := j.position("base-at", o.BaseAt)
		if err != nil {
			return nil, err
		}
		var b siteBase
		for i := range plans {
			if d := &plans[i]; d.at != nil {
				if m, ok := validate.ApartM(d.plan.CRS, at, *d.at); ok && m <= validate.SameBaseM {
					b.plans = append(b.plans, d)
				}
			}
		}
		if b.plans == nil {
			return nil, Fault("the order is latitude, longitude", "no plan in %s has a base within %g m of %s", o.Path, validate.SameBaseM, o.BaseAt)
		}
		return &b, nil
	}
	var meant []*siteBase
	for _, b := range groupByBase(plans) {
		for _, d := range b.plans {
			if o.BaseName == "" || d.named(o.BaseName) {
				meant = append(meant, b)
				break
			}
		}
	}
	switch {
	case len(meant) == 1:
		return meant[0], nil
	case len(meant) == 0 && o.BaseName == "":
		return nil, Fault("", "no plan in %s has a base", o.Path)
	case len(meant) == 0:
		return nil, Fault(j.option("base-name")+" takes the name or id of a base", "no plan in %s has the base asked for", o.Path)
	}
	list := basesInWords(meant)
	if o.BaseName != "" {
		return nil, Refuse("say which with "+j.option("base-at")+" LAT,LON", "%q stands for %d bases that are more than %g m apart: %s", o.BaseName, len(meant), validate.SameBaseM, list)
	}
	return nil, Refuse("say which with "+j.option("base-name")+" NAME or "+j.option("base-at")+" LAT,LON", "the plans have more than one base, more than %g m apart: %s", validate.SameBaseM, list)
}

// groupByBase puts plans together whose bases stand within validate.SameBaseM
// of that of the group's first plan.
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
	return schema.FoldMark(d.base.Name) == schema.FoldMark(name) || d.base.ID.Text() == name
}

// sameBase goes by position where both are known; names such as "base" repeat
// from site to site and say nothing against it.
func (d *driftPlan) sameBase(o *driftPlan) bool {
	if d.at == nil || o.at == nil {
		return d.at == o.at && d.base.Name != "" && schema.FoldMark(d.base.Name) == schema.FoldMark(o.base.Name)
	}
	m, ok := apartM(o, d)
	return ok && m <= validate.SameBaseM
}

// apartM is how far two bases stand apart along the ground, false where that
// cannot be told.
func apartM(a, b *driftPlan) (float64, bool) {
	if a.at == nil || b.at == nil {
		return 0, false
	}
	return validate.ApartM(a.plan.CRS, *a.at, *b.at)
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
