// Rules on the marks of a placement: residual-over-limit, mark-suspect.

package validate

import (
	"fmt"
	"math"

	"swardline/crs/adjust"
	"swardline/schema"
)

// markRules need nothing of a plan: they judge the fit that placed it.
var markRules = []Rule{
	{
		Name: RuleResidual, Severity: Error, Limits: []string{"residual_m"}, run: checkResiduals,
		Page: Page{
			What: "The distance between each mark's given position and where the fit of all marks puts it, in the grid of the fit; heights are compared for themselves. " +
				"With as many marks as the fit has unknowns, every residual is 0 and nothing was checked.",
			Why:    "A drawing that misses one of its own marks by 5 cm stands 5 cm wrong at the kerb too, or the mark was mistyped; either way the plan is not what was measured.",
			Source: sourcePractice,
			Fails:  "a mark that the fit puts 0.052 m from where it was measured, limit 0.03 m",
			Passes: "four marks with residuals of 0.008 m and less",
			Mend:   "measure the mark again, or look for a swapped digit in the marks file; leave the mark out only when it is known to be wrong",
		},
	},
	{
		Name: RuleSuspect, Severity: Warning, run: checkSuspects,
		Page: Page{
			What:   "Whether a mark's residual, in units of its own standard deviation, is larger than good marks give once in twenty fits; the worst is named first, and the others are judged without it.",
			Why:    "Least squares spreads one wrong mark over all of them: the residuals look bearable, and the whole plan is turned.",
			Source: "W. Baarda, A testing procedure for use in geodetic networks, 1968: data snooping",
			Fails:  "a mark with a test value of 4.1 that lies 0.11 m off once it takes no part in the fit",
			Passes: "marks with test values of 2 and less",
			Mend:   "measure the mark again; without it, the fit stands as the column 'error if left out' says",
		},
	},
}

// placing is one placement being judged.
type placing struct {
	fit    *adjust.Placement
	limitM float64
	at     map[string]*Place
	marks  map[string]*schema.Feature // stand-ins, so that findings name marks
}

// JudgePlacement judges a placement by the rules of CommandPlace: one result
// each, and findings in the order rule, mark. limitM is residual_m in metres.
// at has the given positions of the marks by name; a mark without one has no
// place in its findings.
func JudgePlacement(fit *adjust.Placement, limitM float64, at map[string]*Place) ([]Result, []Finding) {
	r := newRun(&Site{Plan: &schema.Plan{}}, schema.DefaultLimits())
	r.placing = &placing{fit, limitM, at, map[string]*schema.Feature{}}
	for i := range fit.Marks {
		name := fit.Marks[i].Name
		r.placing.marks[name] = &schema.Feature{ID: schema.String(name), Name: name, Role: schema.RoleMark}
	}
	results, findings, _ := r.judge(CommandPlace)
	return results, findings
}

// about starts a finding about the i-th mark.
func (p *placing) about(r *run, i int) *Finding {
	m := &p.fit.Marks[i]
	return r.finding(p.at[m.Name], &Feature{Feature: p.marks[m.Name], Index: i})
}

func checkResiduals(r *run) {
	p := r.placing
	if p.fit.Redundancy == 0 {
		r.cannot("%s fix a %s fit and leave nothing over to check it", plural(len(p.fit.Marks), "mark"), p.fit.Model)
	}
	for i := range p.fit.Marks {
		m := &p.fit.Marks[i]
		if off := float64(m.Residual); off > p.limitM {
			x := p.about(r, i)
			x.Measured, x.Limit, x.Unit = off, p.limitM, "m"
			x.Message = fmt.Sprintf("the fit puts the mark %s from its given position, %s and %s", fine(off),
				towards(float64(m.DE), "east", "west"), towards(float64(m.DN), "north", "south"))
		}
		if h := float64(m.DH); m.HasHeight && math.Abs(h) > p.limitM {
			way := "above"
			if h < 0 {
				way = "below"
			}
			x := p.about(r, i)
			x.Severity = Warning
			x.Measured, x.Limit, x.Unit = math.Abs(h), p.limitM, "m"
			x.Message = fmt.Sprintf("the fit puts the mark %s %s its given height", fine(math.Abs(h)), way)
		}
	}
}

// fine formats a length in metres to the millimetre.
func fine(v float64) string { return trim(v, 3) + " m" }

// towards words an offset in metres to one of two sides.
func towards(v float64, positive, negative string) string {
	if v < 0 {
		v, positive = -v, negative
	}
	return fmt.Sprintf("%.2f m %s", v, positive)
}

func checkSuspects(r *run) {
	p := r.placing
	testable := false
	for i := range p.fit.Marks {
		m := &p.fit.Marks[i]
		testable = testable || m.Testable
		if !m.Suspect {
			continue
		}
		x := p.about(r, i)
		x.Message = "the mark does not fit the others"
		if m.HasLeftOut {
			x.Message += fmt.Sprintf("; without it, the fit puts it %s from its given position", fine(float64(m.LeftOut)))
		}
		// A mark that shows only once a worse one is left out has no figure
		// here.
		if m.Testable && !math.IsInf(m.W, 0) && m.W > m.Critical {
			x.Measured, x.Limit = m.W, m.Critical
		}
	}
	unheld := false
	for i := range p.fit.Marks {
		if m := &p.fit.Marks[i]; len(p.fit.Marks) > 2 && p.fit.Redundancy > 0 && m.Redundancy < 2*leastHeldShare {
			unheld = true
			r.cannot("mark %s is held by the others to %s %% of what it says: "+unheldMark, quote(m.Name), trim(50*max(float64(m.Redundancy), 0), 1))
		}
	}
	if !testable && !unheld {
		r.cannot("no mark is checked by the others well enough to be suspected")
	}
}
