// Plans against rules and limits, one or many.

package job

import (
	"context"
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"path/filepath"
	"runtime"
	"slices"
	"sort"
	"strings"
	"sync"
	"sync/atomic"

	"swardline/convert"
	"swardline/convert/geojson/conform"
	"swardline/convert/wire"
	"swardline/schema"
	"swardline/validate"
	"swardline/validate/report"
)

// CheckOptions are the options of Check.
type CheckOptions struct {
	Reading
	Files    []string // the plans
	Skipped  []string // what lay among them and is no plan, for the report
	Workers  int      // how many plans at a time, 0 for one a core
	FailOn   string   // error, warning, note, unchecked or never; "" for error
	Reports  []string // where the report goes; endings decide the form
	Register string   // where a CSV with a row a plan goes, "" for nowhere
	Pages    string   // folder of an index and a page a plan, "" for none
	Live     string   // which plans get a live page among them: LiveAuto, LiveAll or LiveNone
	Full     bool     // texts tell of every plan, rule and limit
	Since    string   // an earlier report as JSON: what did not change is carried over
}

// Checked is what Check found.
type Checked struct {
	Set report.Set
	// Reached is true when findings are at or above FailOn.
	Reached bool
}

// Check checks the plans. Files that cannot be read are in the report; when ctx
// ends early the report tells of the plans that were done, and Set.Interrupted
// is set.
func (j *Job) Check(ctx context.Context, o *CheckOptions) (*Checked, error) {
	switch o.FailOn {
	case "", "error", "warning", "note", failOnUnchecked, "never":
	default:
		return nil, Refuse("", "%s is error, warning, note, unchecked or never, not %q", j.option("fail-on"), o.FailOn)
	}
	if err := j.reportForms(o.Reports); err != nil {
		return nil, err
	}
	limits, err := j.limits(o.Limits)
	if err != nil {
		return nil, err
	}
	c := checking{o: o, limits: limits}
	if c.earlier, err = j.newEarlier(o, limits); err != nil {
		return nil, err
	}
	if c.pages, err = j.newPages(o); err != nil {
		return nil, err
	}
	out := &Checked{Set: report.Set{Tool: tool(), Skipped: o.Skipped, Full: o.Full, FullWord: j.option("full"), Caution: Caution}}
	set := &out.Set
	if set.Plans, err = j.checkAll(ctx, &c); err != nil {
		set.Interrupted = &report.Interruption{Checked: len(set.Plans), NotReached: len(o.Files) - len(set.Plans)}
	}
	set.Sort()
	set.Gone = j.gone(&c)
	out.Reached = reaches(set, o.FailOn)
	for _, name := range o.Reports {
		if err := j.Store.Write(name, func(w io.Writer) error { return formOf(name)(set, w) }); err != nil {
			return out, err
		}
	}
	if o.Register != "" {
		set.Driven = j.drivenBefore(o.Register, set)
		if err := j.Store.Write(o.Register, set.Register); err != nil {
			return out, err
		}
	}
	return out, c.pages.index(j, set)
}

// failOnUnchecked stands for findings of a warning on, and for rules that apply
// and could not be checked, in whole or in part.
const failOnUnchecked = "unchecked"

func reaches(set *report.Set, failOn string) bool {
	switch failOn {
	case "never":
		return false
	case "":
		return set.Reaches(validate.Error)
	case failOnUnchecked:
		return set.Reaches(validate.Warning) || slices.ContainsFunc(set.Plans, func(p report.Plan) bool {
			return slices.ContainsFunc(p.Rules, func(r report.Rule) bool {
				return r.Outcome != string(validate.NotNeeded) && (r.Outcome == string(validate.Unchecked) || r.Reason != "")
			})
		})
	}
	return set.Reaches(validate.Severity(failOn))
}

func tool() report.Tool { return report.Tool{Name: Program, Version: Version} }

// reportForms holds the endings of reports against the forms that there are.
func (j *Job) reportForms(names []string) error {
	for _, name := range names {
		if formOf(name) == nil {
			return Refuse("a report ends in .json, .sarif, .xml (JUnit), .geojson, .csv, .html or .txt", "%s %s: the ending names no form of report", j.option("report"), name)
		}
	}
	return nil
}

// formOf chooses a report's form by the file's ending, nil when it names none.
func formOf(name string) func(*report.Set, io.Writer) error {
	switch strings.ToLower(filepath.Ext(name)) {
	case ".json":
		return (*report.Set).JSON
	case ".sarif":
		return (*report.Set).SARIF
	case ".xml":
		return (*report.Set).JUnit
	case ".geojson":
		return (*report.Set).GeoJSON
	case ".csv":
		return (*report.Set).CSV
	case ".txt":
		return (*report.Set).Text
	case ".html":
		return (*report.Set).HTML
	}
	return nil
}

// ownForms is a report with a JSON and a text of its own; the other forms show
// its findings.
type ownForms interface {
	JSON(io.Writer) error
	Text(io.Writer) error
	Set(report.Tool) *report.Set
}

func (j *Job) writeReports(names []string, r ownForms) error {
	for _, name := range names {
		fill := func(w io.Writer) error {
			set := r.Set(tool())
			set.Caution = Caution
			return formOf(name)(set, w)
		}
		switch strings.ToLower(filepath.Ext(name)) {
		case ".json":
			fill = r.JSON
		case ".txt":
			fill = r.Text
		case ".geojson":
			if own, ok := r.(interface{ GeoJSON(io.Writer) error }); ok {
				fill = own.GeoJSON
			}
		case ".csv":
			if own, ok := r.(interface{ CSV(io.Writer) error }); ok {
				fill = own.CSV
			}
		case ".html":
			if own, ok := r.(interface{ HTML(io.Writer) error }); ok {
				fill = own.HTML
			}
		}
		if err := j.Store.Write(name, fill); err != nil {
			return err
		}
	}
	return nil
}

// checking is what the checks of all plans share.
type checking struct {
	o       *CheckOptions
	limits  schema.Limits
	earlier *earlier
	pages   *pages // nil for none
}

// checkAll checks the files, several at a time, and returns the results of
// those that were done; the error is the context's when it ended early.
func (j *Job) checkAll(ctx context.Context, c *checking) ([]report.Plan, error) {
	files, workers := c.o.Files, c.o.Workers
	if workers <= 0 {
		workers = runtime.GOMAXPROCS(0)
	}
	results := make([]report.Plan, len(files))
	held := make([]*validate.HeldGround, len(files)) // nil where there is one plan alone, or none to lay beside it
	notes := make([][]Note, len(files))
	done := make([]bool, len(files))
	next := make(chan int)
	if len(files) > 1 {
		// Memory that is never touched and so costs none, but lets the
		// collector wait until as much again has piled up, instead of running
		// for every few plans.
		rest := make([]byte, 16<<20)
		defer runtime.KeepAlive(rest)
	}
	var ready atomic.Int64
	var wg sync.WaitGroup
	for range min(workers, len(files)) {
		wg.Go(func() {
			for i := range next {
				one := j.aside()
				results[i], held[i] = one.checkOne(files[i], c)
				notes[i], done[i] = one.Notes, true
				if n := ready.Add(1); j.Progress != nil {
					j.Progress(int(n), len(files))
				}
			}
		})
	}
	var err error
feed:
	for i := range files {
		select {
		case next <- i:
		case <-ctx.Done():
			err = ctx.Err()
			break feed
		}
	}
	close(next)
	wg.Wait()
	if len(files) > 1 {
		j.besideOneAnother(c, results, held, done)
	}
	out := results[:0]
	for i := range results {
		if done[i] {
			out = append(out, results[i])
			j.Notes = append(j.Notes, notes[i]...)
		}
	}
	return out, err
}

func (j *Job) checkOne(name string, c *checking) (report.Plan, *validate.HeldGround) {
	p, warnings, checked, err := j.loadForCheck(name, c)
	if err != nil {
		out := report.NewUnreadable(name, err)
		c.pages.plan(j, &out, nil, nil, c.limits)
		return out, nil
	}
	if c.earlier.holds(name, checked) {
		out := c.earlier.entry(name, checked)
		if p != nil {
			site, _ := validate.Ground(p) // the error is for no plan
			c.pages.plan(j, &out, site, nil, c.limits)
		}
		return out, nil
	}
	r := validate.Check(p, c.limits)
	out := report.NewPlan(name, r, notices(warnings))
	out.Enter(p)
	out.Checked = checked
	c.pages.plan(j, &out, r.Site, r, c.limits)
	if len(c.o.Files) < 2 {
		return out, nil
	}
	return out, validate.HeldGroundOf(r.Site)
}

// besideOneAnother lays the plans of a folder beside one another, in the order of their
// paths: two that a machine mows one ground by, and that are not the same, are told in
// both.
func (j *Job) besideOneAnother(c *checking, results []report.Plan, held []*validate.HeldGround, done []bool) {
	order := make([]int, 0, len(results))
	for i := range results {
		if done[i] {
			order = append(order, i)
		}
	}
	slices.SortStableFunc(order, func(a, b int) int { return strings.Compare(results[a].Path, results[b].Path) })
	for _, i := range order {
		m := results[i].Middle
		if held[i] != nil || results[i].Checked == nil || !results[i].Checked.Carried || m == nil {
			continue
		}
		if c.earlier.plans[results[i].Path].HasOther() || slices.ContainsFunc(held, func(h *validate.HeldGround) bool { return h != nil && h.Near(m.Lon, m.Lat) }) {
			held[i] = j.heldAgain(results[i].Path, c)
		}
	}
	told := make([]bool, len(results))
	tell := func(i, other int, area, wide float64) {
		if !told[i] {
			told[i] = true
			results[i].Tell(validate.BesidePlan(results[other].Path, area, wide), results[other].Path)
		}
	}
	var firsts []int          // plans that are no copy of one before them
	copies := map[int][]int{} // of those
	for _, i := range order {
		if held[i] == nil {
			continue
		}
		first := true
		for _, k := range firsts {
			if told[i] && told[k] || !held[i].Meets(held[k]) {
				continue
			}
			if held[i].Same(held[k]) {
				copies[k], first = append(copies[k], i), false
				break
			}
			if area, wide := held[i].Shared(held[k]); wide > 0 {
				tell(i, k, area, wide)
				tell(k, i, area, wide)
			}
		}
		if first {
			firsts = append(firsts, i)
		}
	}
	for k, list := range copies { // of what is told of the first
		for _, i := range list {
			if told[k] && !told[i] {
				told[i] = true
				results[i].TellAs(&results[k])
			}
		}
	}
}

// heldAgain reads a plan whose result was carried over.
func (j *Job) heldAgain(name string, c *checking) *validate.HeldGround {
	anew := *c
	anew.earlier, anew.pages = &earlier{}, nil
	p, _, _, err := j.aside().loadForCheck(name, &anew)
	if err != nil || p == nil {
		return nil
	}
	s, err := validate.Ground(p)
	if err != nil {
		return nil
	}
	return validate.HeldGroundOf(s)
}

// loadForCheck reads a plan and says from what it was made where a report will
// ask for that. A GeoJSON file is held against the schema of a plan; what is
// found there are warnings, since a plan can be read all the same. Where the
// earlier entry still holds the plan is nil, unless a page draws it.
func (j *Job) loadForCheck(name string, c *checking) (*schema.Plan, []wire.Warning, *report.Checked, error) {
	if p := j.Plans[name]; p != nil {
		return j.groundOrPlan(p, name), nil, nil, nil
	}
	opts, prj, err := j.readOptions(name, &c.o.Reading, c.limits)
	if err != nil {
		return nil, nil, nil, err
	}
	data, err := j.load(name, opts)
	if err != nil {
		return nil, nil, nil, err
	}
	var checked *report.Checked
	if name != "-" {
		checked = c.earlier.sum(data, prj)
		if c.pages == nil && c.earlier.holds(name, checked) {
			return nil, nil, checked, nil
		}
	}
	lists := wire.Lists{All: make([]wire.List, 0, 32)}
	opts.Lists = &lists
	p, warnings, err := convert.Read(data, opts)
	if err != nil {
		return nil, nil, nil, err
	}
	if p.Source.Format == "geojson" && name != "-" {
		faults, err := conform.CheckRead(data, &lists)
		if err != nil {
			return nil, nil, nil, &wire.InputError{File: name, Problem: err.Error()}
		}
		if len(faults) > 0 {
			f := faults[0]
			warnings = append(warnings, wire.Warning{Kind: "schema", Count: len(faults), Line: f.Line, Path: f.Path,
				Message: fmt.Sprintf("not as the schema of a plan has it: %s: %s", f.Path, f.Message)})
		}
	}
	if name == "-" {
		j.warn(name, warnings)
	}
	if p, err = j.giveRoles(p, c.o.Roles); err != nil {
		return nil, nil, nil, err
	}
	return j.groundOrPlan(p, name), warnings, checked, nil
}

func notices(warnings []wire.Warning) []report.Notice {
	var out []report.Notice
	for _, w := range warnings {
		out = append(out, report.Notice{Kind: w.Kind, Count: w.Count, Message: w.Message, Line: w.Line})
	}
	return out
}

// earlier is what is carried over from an earlier report.
type earlier struct {
	plans  map[string]*report.Plan
	limits string // sum of everything but the plan that decides a result
	sums   bool   // whether sums of plans are wanted: they cost time
}

func (j *Job) newEarlier(o *CheckOptions, l schema.Limits) (*earlier, error) {
	e := &earlier{plans: map[string]*report.Plan{}, sums: o.Since != "" || slices.ContainsFunc(o.Reports, func(name string) bool {
		return strings.EqualFold(filepath.Ext(name), ".json")
	})}
	if !e.sums {
		return e, nil
	}
	h := sha256.New()
	for _, d := range schema.LimitTable {
		v, _ := l.Get(d.Key)
		fmt.Fprintf(h, "%q %v %q\n", d.Key, v, l.SourceOf(d.Key))
	}
	fmt.Fprintf(h, "%q\n%q\n", l.MayLoosen(), l.KnownWords())
	fmt.Fprintf(h, "%+v\n", o.Reading)
	for _, name := range []string{o.Limits, o.From, o.Roles} {
		if name == "" {
			continue
		}
		if data, err := j.settings(name); err == nil {
			h.Write(data)
		}
	}
	e.limits = hex.EncodeToString(h.Sum(nil))
	if o.Since == "" {
		return e, nil
	}
	s, err := j.readReport(o.Since)
	if err != nil {
		return nil, err
	}
	for i := range s.Plans {
		e.plans[s.Plans[i].Path] = &s.Plans[i]
	}
	return e, nil
}

// sum says what a check of a file depends on: its bytes, the text of the .prj
// beside it, and what was told. It is nil where no report will ask.
func (e *earlier) sum(data []byte, prj string) *report.Checked {
	if !e.sums {
		return nil
	}
	h := sha256.New()
	h.Write(data)
	if prj != "" {
		fmt.Fprintf(h, "\x00%s", prj)
	}
	return &report.Checked{Content: hex.EncodeToString(h.Sum(nil)), Limits: e.limits, Version: Version}
}

// holds reports whether nothing changed since the earlier entry of a plan.
func (e *earlier) holds(name string, now *report.Checked) bool {
	p := e.plans[name]
	if p == nil || now == nil || p.Checked == nil || p.Status == report.Unreadable {
		return false
	}
	was := *p.Checked
	was.Carried = false
	return was == *now
}

// entry is the earlier entry of a plan, marked as carried over.
func (e *earlier) entry(name string, checked *report.Checked) report.Plan {
	out := e.plans[name].Alone()
	mark := *checked
	mark.Carried = true
	out.Checked = &mark
	return out
}

// gone are the plans of the earlier report whose files are not there any more.
func (j *Job) gone(c *checking) []string {
	var out []string
	for path := range c.earlier.plans {
		if path == "-" || slices.Contains(c.o.Files, path) {
			continue
		}
		if _, err := j.Store.Read(path, 0); errors.Is(err, fs.ErrNotExist) {
			out = append(out, path)
		}
	}
	sort.Strings(out)
	return out
}

func (j *Job) readReport(name string) (*report.Set, error) {
	data, err := j.settings(name)
	if err != nil {
		return nil, err
	}
	s, err := report.ReadJSON(data)
	if err != nil {
		return nil, Fault(j.command("check "+j.option("report")+" FILE.json")+" writes one", "%s: %w", name, err)
	}
	return s, nil
}

// Compare says how the findings of two JSON reports differ.
func (j *Job) Compare(old, now string) (report.Comparison, error) {
	a, err := j.readReport(old)
	if err != nil {
		return report.Comparison{}, err
	}
	b, err := j.readReport(now)
	if err != nil {
		return report.Comparison{}, err
	}
	return report.Compare(a, b), nil
}

// Explain gives the page of a rule.
func (j *Job) Explain(rule string) (string, error) {
	text, ok := validate.Explain(rule)
	if !ok {
		return "", Refuse(j.command("check "+j.option("explain")+" rules")+" lists them", "there is no rule called %q", rule)
	}
	return text, nil
}
