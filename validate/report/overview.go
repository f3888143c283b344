// The summary of many plans: how they fared, which rules they break, which are
// the worst, and how much ground they have.

package report

import (
	"cmp"
	"slices"
	"sort"
	"strconv"
	"strings"

	"swardline/validate"
)

// worstShown is how many of the worst plans an overview names.
const worstShown = 10

// WorstOrder says in words in which order plans are the worst.
const WorstOrder = "unreadable ones first, then by most errors, most warnings, most notes, then by path"

// Overview is what a report comes to as a whole.
type Overview struct {
	// ByWorst counts the plans by their gravest finding.
	ByWorst ByWorst `json:"plans_by_worst"`
	// Carried counts the plans taken over from an earlier report.
	Carried int `json:"plans_carried"`
	// Rules are the rules with findings, the most findings first, then by name.
	Rules []RuleTotal `json:"rules"`
	// NotChecked are the rules that some plan leaves unchecked, in whole or in
	// part, the most plans first, then by name.
	NotChecked []NotChecked `json:"not_checked"`
	// Order says in which order plans are the worst.
	Order string `json:"worst_order"`
	// Worst are at most ten plans that have findings or could not be read, in
	// the order of WorstOrder.
	Worst []WorstPlan `json:"worst"`
	// Areas are the sums over the plans whose areas are known.
	Areas AreaTotals `json:"areas"`
}

// ByWorst counts plans by their gravest finding; each plan counts once.
type ByWorst struct {
	Unreadable int `json:"unreadable"`
	Error      int `json:"error"`
	Warning    int `json:"warning"`
	Note       int `json:"note"`
	Unchecked  int `json:"unchecked"`
	Clean      int `json:"clean"`
}

// RuleTotal counts the findings of one rule, and the plans that have any.
type RuleTotal struct {
	Rule string `json:"rule"`
	// Severity is the gravest among the findings.
	Severity string `json:"severity"`
	Findings int    `json:"findings"`
	Plans    int    `json:"plans"`
}

// NotChecked counts the plans on which a rule applies and data was missing, and
// gives the reason of the first.
type NotChecked struct {
	Rule   string `json:"rule"`
	Plans  int    `json:"plans"`
	Reason string `json:"reason"`
}

// WorstPlan is one of the worst plans.
type WorstPlan struct {
	Path   string `json:"path"`
	Status Status `json:"status"`
	Summary
}

// AreaTotals are sums in square metres on the ground, without the plans whose
// area of that kind cannot be told.
type AreaTotals struct {
	ZonesM2    float64      `json:"zones_m2"`
	KeepoutsM2 float64      `json:"keepouts_m2"`
	NetM2      float64      `json:"net_m2"`
	Unknown    UnknownAreas `json:"plans_unknown"`
}

// UnknownAreas count the plans that could be read and whose area of a kind
// cannot be told.
type UnknownAreas struct {
	Zones    int `json:"zones"`
	Keepouts int `json:"keepouts"`
	Net      int `json:"net"`
}

// Overview sums the set up. Sums are made in the order of the plans.
func (s *Set) Overview() Overview {
	var t overviewTally
	for i := range s.Plans {
		t.add(&s.Plans[i])
	}
	return t.overview()
}

// overviewTally takes plans one by one. The zero value is ready.
type overviewTally struct {
	o     Overview
	rules map[string]*RuleTotal
	last  map[string]int // the plan that a rule was last counted for
	open  map[string]*NotChecked
	plans int
}

func (t *overviewTally) add(p *Plan) {
	t.plans++
	w := &t.o.ByWorst
	switch p.Worst() {
	case string(Unreadable):
		w.Unreadable++
	case string(validate.Error):
		w.Error++
	case string(validate.Warning):
		w.Warning++
	case string(validate.Note):
		w.Note++
	case string(Unchecked):
		w.Unchecked++
	default:
		w.Clean++
	}
	if p.carried() {
		t.o.Carried++
	}
	for i := range p.Findings {
		t.finding(&p.Findings[i])
	}
	for i := range p.Rules {
		if p.Rules[i].open() {
			t.notChecked(&p.Rules[i])
		}
	}
	if p.Status != Clean && p.Status != Unchecked {
		t.place(*p.ranked())
	}
	if p.Status == Unreadable {
		return
	}
	a := p.Areas
	if a == nil {
		a = &Areas{}
	}
	sum := func(v *float64, total *float64, unknown *int) {
		if v == nil {
			*unknown++
			return
		}
		*total += *v
	}
	sum(a.Zones, &t.o.Areas.ZonesM2, &t.o.Areas.Unknown.Zones)
	sum(a.Keepouts, &t.o.Areas.KeepoutsM2, &t.o.Areas.Unknown.Keepouts)
	sum(a.Net, &t.o.Areas.NetM2, &t.o.Areas.Unknown.Net)
}

func (t *overviewTally) finding(f *Finding) {
	if t.rules == nil {
		t.rules, t.last = map[string]*RuleTotal{}, map[string]int{}
	}
	r := t.rules[f.Rule]
	if r == nil {
		r = &RuleTotal{Rule: f.Rule, Severity: f.Severity}
		t.rules[f.Rule] = r
	}
	r.Findings++
	if validate.Severity(f.Severity).Rank() < validate.Severity(r.Severity).Rank() {
		r.Severity = f.Severity
	}
	if t.last[f.Rule] != t.plans {
		t.last[f.Rule] = t.plans
		r.Plans++
	}
}

func (t *overviewTally) notChecked(r *Rule) {
	if t.open == nil {
		t.open = map[string]*NotChecked{}
	}
	x := t.open[r.Rule]
	if x == nil {
		x = &NotChecked{Rule: r.Rule, Reason: r.Reason}
		t.open[r.Rule] = x
	}
	x.Plans++
}

// place puts a plan in its place among the worst, if it has one there.
func (t *overviewTally) place(p WorstPlan) {
	list := t.o.Worst
	at := sort.Search(len(list), func(i int) bool { return worse(&p, &list[i]) })
	if at == worstShown {
		return
	}
	list = append(list, WorstPlan{})
	copy(list[at+1:], list[at:])
	list[at] = p
	t.o.Worst = list[:min(len(list), worstShown)]
}

func (t *overviewTally) overview() Overview {
	o := t.o
	o.Order = WorstOrder
	if o.Worst == nil {
		o.Worst = []WorstPlan{}
	}
	o.Rules, o.NotChecked = []RuleTotal{}, []NotChecked{}
	for _, r := range t.open {
		o.NotChecked = append(o.NotChecked, *r)
	}
	slices.SortFunc(o.NotChecked, func(a, b NotChecked) int { return cmp.Or(b.Plans-a.Plans, strings.Compare(a.Rule, b.Rule)) })
	for _, r := range t.rules {
		o.Rules = append(o.Rules, *r)
	}
	slices.SortFunc(o.Rules, func(a, b RuleTotal) int { return cmp.Or(b.Findings-a.Findings, strings.Compare(a.Rule, b.Rule)) })
	o.Areas.ZonesM2 = round(o.Areas.ZonesM2, areaDecimals)
	o.Areas.KeepoutsM2 = round(o.Areas.KeepoutsM2, areaDecimals)
	o.Areas.NetM2 = round(o.Areas.NetM2, areaDecimals)
	return o
}

// worse orders plans as WorstOrder says.
func worse(a, b *WorstPlan) bool {
	if u, v := a.Status == Unreadable, b.Status == Unreadable; u != v {
		return u
	}
	if a.Summary.Error != b.Summary.Error {
		return a.Summary.Error > b.Summary.Error
	}
	if a.Summary.Warning != b.Summary.Warning {
		return a.Summary.Warning > b.Summary.Warning
	}
	if a.Summary.Note != b.Summary.Note {
		return a.Summary.Note > b.Summary.Note
	}
	return a.Path < b.Path
}

// ranked gives what worse goes by.
func (p *Plan) ranked() *WorstPlan { return &WorstPlan{p.Path, p.Status, p.Summary} }

// carried reports whether the entry was taken over from an earlier report.
func (p *Plan) carried() bool { return p.Checked != nil && p.Checked.Carried }

func (w ByWorst) plans() int {
	return w.Unreadable + w.Error + w.Warning + w.Note + w.Unchecked + w.Clean
}

// words says how the plans fared.
func (w ByWorst) words() string {
	var parts []string
	for _, x := range [...]struct {
		n    int
		word string
	}{{w.Unreadable, "unreadable"}, {w.Error, "with errors"}, {w.Warning, "with warnings"}, {w.Note, "with notes"}, {w.Unchecked, "not checked in full"}, {w.Clean, "with no findings"}} {
		if x.n > 0 {
			parts = append(parts, strconv.Itoa(x.n)+" "+x.word)
		}
	}
	if len(parts) == 0 {
		return "none"
	}
	return strings.Join(parts, ", ")
}

func (r *RuleTotal) words() string {
	return r.Rule + " " + strconv.Itoa(r.Findings) + " (" + count(r.Plans, "plan") + ")"
}

// words says how the plan fared.
func (p *WorstPlan) words() string {
	if p.Status == Unreadable {
		return "could not be read"
	}
	return countWords(p.Summary)
}

// words gives the sums, and how many plans they are without.
func (a *AreaTotals) words() string {
	one := func(name string, v float64, unknown int) string {
		s := name + " " + area(&v)
		if unknown > 0 {
			s += " (unknown for " + count(unknown, "plan") + ", left out)"
		}
		return s
	}
	return one("zones", a.ZonesM2, a.Unknown.Zones) + ", " + one("keepouts", a.KeepoutsM2, a.Unknown.Keepouts) + ", " + one("net", a.NetM2, a.Unknown.Net)
}

// worstWords heads the list of the worst plans.
func (o *Overview) worstWords() string {
	n := o.ByWorst.Unreadable + o.ByWorst.Error + o.ByWorst.Warning + o.ByWorst.Note
	if n > len(o.Worst) {
		return "the worst " + strconv.Itoa(len(o.Worst)) + " of " + count(n, "plan") + " with findings (" + WorstOrder + ")"
	}
	return "plans with findings (" + WorstOrder + ")"
}

// text writes the summary for people, with the worst plans when they are asked
// for.
func (o *Overview) text(b *strings.Builder, worst bool) {
	line := func(s string) { b.WriteString(hang(s, "", "  ")) }
	line("by worst finding: " + o.ByWorst.words())
	if o.Carried > 0 {
		line(count(o.Carried, "plan") + " carried over from the earlier report, because nothing changed")
	}
	if len(o.Rules) > 0 {
		list := make([]string, len(o.Rules))
		for i := range o.Rules {
			list[i] = Printable(o.Rules[i].words())
		}
		line("findings by rule: " + strings.Join(list, ", "))
	}
	if worst && len(o.Worst) > 0 {
		line(o.worstWords() + ":")
		for i := range o.Worst {
			// A path is not broken over lines: it is there to be copied.
			b.WriteString("  " + Printable(o.Worst[i].Path) + ": " + o.Worst[i].words() + "\n")
		}
	}
	line("total area: " + o.Areas.words())
}
