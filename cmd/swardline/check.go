// swardline check: prove plans, one or a whole folder of them.

package main

import (
	"context"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"runtime"
	"sort"
	"strings"
	"sync"

	"github.com/spf13/cobra"

	"swardline/convert"
	"swardline/convert/wire"
	"swardline/schema"
	"swardline/validate"
	"swardline/validate/report"
)

type checkOptions struct {
	readFlags
	streams streams
	ctx     context.Context
	paths   []string
	limits  string
	reports []string
	jobs    int
	failOn  string
	explain string
	include []string
	exclude []string
	quiet   bool

	register, since, pages string
	compare                bool
	earlier                *earlier
}

func newCheckCmd(s streams, run func(*checkOptions) error) *cobra.Command {
	o := &checkOptions{streams: s}
	cmd := &cobra.Command{
		Use:   "check PATH...",
		Short: "prove plans against rules and limits; folders are taken whole",
		Long: `check reads every plan named, and every plan in the folders named, puts it on the
ground, runs the rules and prints the findings, the worst plan first. A rule that
lacks its data is reported as unchecked, never as passed.

--report writes the same as .json, .sarif, .xml (JUnit), .geojson, .csv, .html or .txt; it may
be given more than once. --register writes a CSV with a row a plan, --pages a folder
with an index and a page a plan. Of folders, every file of a known format is taken,
below them too; others are named and counted, names that start with a dot left alone.

Status 1 means findings at or above --fail-on; status 3, that a file could not be read
(the others are checked all the same), or that the check was interrupted: the reports
then tell of the plans that were done, and how many were not reached.

` + caution,
		Args: func(_ *cobra.Command, args []string) error {
			if len(args) == 0 && o.explain == "" {
				return usageError("name a plan, a folder, or - for standard input", "check needs a PATH")
			}
			if o.compare && len(args) != 2 {
				return usageError("check --compare OLD.json NEW.json", "--compare takes two reports")
			}
			return nil
		},
		RunE: func(cmd *cobra.Command, args []string) error {
			o.paths, o.ctx = args, cmd.Context()
			return run(o)
		},
	}
	o.readFlags.add(cmd)
	f := cmd.Flags()
	f.StringVar(&o.limits, "limits", "", "limits `file` (YAML)")
	f.StringArrayVar(&o.reports, "report", nil, "also write the report to `file`; its ending decides the form")
	f.IntVar(&o.jobs, "jobs", 0, "how many plans are checked at a time; 0 for one a core")
	f.StringVar(&o.failOn, "fail-on", "error", "least `severity` that ends with status 1: error, warning, note or never")
	f.StringVar(&o.explain, "explain", "", "print the page of a `rule` (or 'limits', or 'rules') and stop")
	f.StringArrayVar(&o.include, "include", nil, "in folders, take only files whose name, or whose path from the folder on where there is a / in it, matches the `pattern`; may be given more than once")
	f.StringArrayVar(&o.exclude, "exclude", nil, "in folders, leave out files and folders that match the `pattern`; may be given more than once")
	f.StringVar(&o.register, "register", "", "also write a CSV `file` with one row a plan")
	f.StringVar(&o.pages, "pages", "", "also write an index and a page a plan into `folder`")
	f.StringVar(&o.since, "since", "", "carry over from an earlier JSON `report` the plans of which nothing changed")
	f.BoolVar(&o.compare, "compare", false, "take two JSON reports, the older first, and say which findings are new, gone and the same")
	f.BoolVar(&o.quiet, "quiet", false, "print nothing on standard output; the reports and the status tell")
	return cmd
}

func runCheck(o *checkOptions) error {
	if o.explain != "" {
		return explain(o.streams.out, o.explain)
	}
	if o.compare {
		return runCompare(o)
	}
	switch o.failOn {
	case "error", "warning", "note", "never":
	default:
		return usageError("", "--fail-on is error, warning, note or never, not %q", o.failOn)
	}
	for _, path := range o.reports {
		if _, err := encoderFor(path); err != nil {
			return err
		}
	}
	if err := makePagesFolder(o.pages); err != nil {
		return err
	}
	limits, err := loadLimits(o.limits)
	if err != nil {
		return err
	}
	if o.earlier, err = newEarlier(o, limits); err != nil {
		return err
	}
	files, skipped, err := findPlans(o.paths, o.include, o.exclude)
	if err != nil {
		return err
	}
	set := report.Set{Tool: report.Tool{Name: program, Version: version}, Skipped: skipped, Caution: caution}
	set.Plans, err = checkAll(o, files, limits)
	if err != nil {
		set.Interrupted = &report.Interruption{Checked: len(set.Plans), NotReached: len(files) - len(set.Plans)}
	}
	set.Sort()
	if !o.quiet {
		if err := writeWhole("-", o.streams, set.Text); err != nil {
			return err
		}
	}
	for _, path := range o.reports {
		encode, _ := encoderFor(path)
		if err := writeWhole(path, o.streams, func(w io.Writer) error { return encode(&set, w) }); err != nil {
			return err
		}
	}
	if o.register != "" {
		if err := writeWhole(o.register, o.streams, set.Register); err != nil {
			return err
		}
	}
	if err := writePages(&set, o.pages, o.streams); err != nil {
		return err
	}
	switch {
	case set.Interrupted != nil:
		i := set.Interrupted
		return inputError("the report tells of those that were", "interrupted: %d of %d plans were not reached", i.NotReached, i.Checked+i.NotReached)
	case set.Totals().Unreadable > 0:
		n := set.Totals().Unreadable
		return inputError("the report names each with its mend", "%d of %d inputs could not be read", n, len(set.Plans))
	case len(files) == 0:
		return inputError("plans end in "+strings.Join(planEndings(), " "), "no plan found in %s", strings.Join(o.paths, ", "))
	case o.failOn != "never" && set.Reaches(validate.Severity(o.failOn)):
		return errFindings
	}
	return nil
}

// encoderFor chooses a report's form by the file's ending.
func encoderFor(path string) (func(*report.Set, io.Writer) error, error) {
	switch strings.ToLower(filepath.Ext(path)) {
	case ".json":
		return (*report.Set).JSON, nil
	case ".sarif":
		return (*report.Set).SARIF, nil
	case ".xml":
		return (*report.Set).JUnit, nil
	case ".geojson":
		return (*report.Set).GeoJSON, nil
	case ".csv":
		return (*report.Set).CSV, nil
	case ".txt":
		return (*report.Set).Text, nil
	case ".html":
		return (*report.Set).HTML, nil
	}
	return nil, usageError("a report ends in .json, .sarif, .xml (JUnit), .geojson, .csv, .html or .txt", "--report %s: the ending names no form of report", path)
}

// checkAll checks the files, several at a time, and returns the results of those
// that were done; the error is the context's when it ended early.
func checkAll(o *checkOptions, files []string, limits schema.Limits) ([]report.Plan, error) {
	jobs := o.jobs
	if jobs <= 0 {
		jobs = runtime.GOMAXPROCS(0)
	}
	results := make([]report.Plan, len(files))
	done := make([]bool, len(files))
	next := make(chan int)
	if len(files) > 1 {
		// Memory that is never touched and so costs none, but lets the collector wait
		// until as much again has piled up, instead of running for every few plans.
		rest := make([]byte, 64<<20)
		defer runtime.KeepAlive(rest)
	}
	bar := newProgress(o.streams.err, len(files))
	defer bar.end()
	var wg sync.WaitGroup
	for range min(jobs, len(files)) {
		wg.Add(1)
		go func() {
			defer wg.Done()
			for i := range next {
				results[i] = checkOne(o, files[i], limits)
				done[i] = true
				bar.step()
			}
		}()
	}
	var err error
feed:
	for i := range files {
		select {
		case next <- i:
		case <-o.ctx.Done():
			err = o.ctx.Err()
			break feed
		}
	}
	close(next)
	wg.Wait()
	out := results[:0]
	for i := range results {
		if done[i] {
			out = append(out, results[i])
		}
	}
	return out, err
}

func checkOne(o *checkOptions, path string, limits schema.Limits) report.Plan {
	p, warnings, checked, err := o.load(path, limits)
	if err != nil {
		return report.NewUnreadable(path, err)
	}
	if p == nil {
		return o.earlier.entry(path, checked)
	}
	out := report.NewPlan(path, validate.Check(p, limits), notices(warnings))
	out.Enter(p)
	out.Checked = checked
	return out
}

// load reads a plan and says from what it was made where a report will ask for
// that. A nil plan without an error means that the earlier entry still holds.
func (o *checkOptions) load(path string, limits schema.Limits) (*schema.Plan, []wire.Warning, *report.Checked, error) {
	if path == "-" {
		p, warnings, err := loadPlan(path, o.readFlags, limits, o.streams)
		return p, warnings, nil, err
	}
	opts, prj, err := readOptionsPRJ(path, o.readFlags, limits, o.streams)
	if err != nil {
		return nil, nil, nil, err
	}
	data, err := convert.Load(path, opts)
	if err != nil {
		return nil, nil, nil, err
	}
	checked := o.earlier.sum(data, prj)
	if o.earlier.holds(path, checked) {
		return nil, nil, checked, nil
	}
	p, warnings, err := readForCheck(data, path, opts)
	return p, warnings, checked, err
}

func notices(warnings []wire.Warning) []report.Notice {
	var out []report.Notice
	for _, w := range warnings {
		out = append(out, report.Notice{Kind: w.Kind, Count: w.Count, Message: w.Message, Line: w.Line})
	}
	return out
}

// findPlans resolves paths to files: a file as it is, a folder to every plan in
// it, below too. skipped are the files of folders that are no plans, by path.
func findPlans(paths, include, exclude []string) (files, skipped []string, err error) {
	for _, pattern := range append(append([]string(nil), include...), exclude...) {
		if _, err := filepath.Match(pattern, ""); err != nil {
			return nil, nil, usageError("patterns are such as *.kml or site-??.geojson", "%q is no pattern", pattern)
		}
	}
	seen := map[string]bool{}
	add := func(to *[]string) func(string) {
		return func(path string) {
			if !seen[path] {
				seen[path] = true
				*to = append(*to, path)
			}
		}
	}
	for _, path := range paths {
		if path == "-" {
			add(&files)(path)
			continue
		}
		info, err := os.Stat(path)
		if err != nil {
			return nil, nil, err
		}
		if !info.IsDir() {
			add(&files)(path)
			continue
		}
		w := walker{include: include, exclude: exclude, add: add(&files), skip: add(&skipped), folders: map[string]bool{}}
		if err := w.folder(filepath.Clean(path), ""); err != nil {
			return nil, nil, err
		}
	}
	sort.Strings(skipped)
	return files, skipped, nil
}

// walker goes through a folder, through links too, each real folder once.
type walker struct {
	include, exclude []string
	add, skip        func(path string)
	folders          map[string]bool
}

// folder goes through the folder at path; below is its path from the folder that
// was named, "" for that one.
func (w *walker) folder(path, below string) error {
	real, err := filepath.EvalSymlinks(path)
	if err != nil {
		return err
	}
	if w.folders[real] {
		return nil // a link back to where we have been
	}
	w.folders[real] = true
	entries, err := os.ReadDir(path)
	if err != nil {
		return err
	}
	names := make(map[string]bool, len(entries))
	for _, e := range entries {
		names[e.Name()] = true
	}
	for _, e := range entries {
		name := e.Name()
		if strings.HasPrefix(name, ".") {
			continue
		}
		full, under := filepath.Join(path, name), filepath.ToSlash(filepath.Join(below, name))
		if matches(w.exclude, name, under) {
			continue
		}
		mode, err := e.Type(), error(nil)
		if mode&(fs.ModeSymlink|fs.ModeIrregular) != 0 {
			var info fs.FileInfo
			if info, err = os.Stat(full); err == nil {
				mode = info.Mode()
			}
		}
		switch {
		case err == nil && mode.IsDir():
			// One that cannot be entered may hold plans: reading it as a plan
			// tells so, and the status too.
			if err := w.folder(full, filepath.Join(below, name)); err != nil {
				w.add(full)
			}
		case len(w.include) > 0 && !matches(w.include, name, under):
		case err != nil && convert.FormatByEnding(name) != nil:
			w.add(full) // a link that leads nowhere or in a ring: told when read
		case err == nil && mode.IsRegular() && isPlan(full):
			w.add(full)
		case servesPlan(name, names):
		default:
			w.skip(full)
		}
	}
	return nil
}

// servesPlan reports whether a file says the CRS of a list or drawing beside it.
func servesPlan(name string, names map[string]bool) bool {
	stem, ok := strings.CutSuffix(name, ".prj")
	if !ok {
		return false
	}
	for _, ending := range prjEndings {
		if names[stem+ending] {
			return true
		}
	}
	return false
}

// matches reports whether one of the patterns fits: those with a slash the path,
// the others the name.
func matches(patterns []string, name, path string) bool {
	for _, p := range patterns {
		against := name
		if strings.Contains(p, "/") {
			against = path
		}
		if ok, _ := filepath.Match(p, against); ok {
			return true
		}
	}
	return false
}

// isPlan reports whether a file of a folder is to be taken for a plan: by its
// ending, and where other things share the ending, by its content too.
func isPlan(path string) bool {
	f := convert.FormatByEnding(path)
	if f == nil {
		return false
	}
	switch strings.ToLower(filepath.Ext(path)) {
	case ".json", ".txt":
		head, err := readHead(path)
		return err != nil || f.Detect(head)
	}
	return true
}

func readHead(path string) ([]byte, error) {
	f, err := os.Open(path)
	if err != nil {
		return nil, err
	}
	defer f.Close()
	head := make([]byte, convert.HeadBytes)
	n, err := io.ReadFull(f, head)
	if err != nil && !errors.Is(err, io.ErrUnexpectedEOF) && !errors.Is(err, io.EOF) {
		return nil, err
	}
	return head[:n], nil
}

func planEndings() []string {
	var out []string
	for _, f := range convert.Formats {
		out = append(out, f.Endings...)
	}
	return out
}

// explain prints the page of a rule, the list of rules, or the limits.
func explain(w io.Writer, what string) error {
	switch what {
	case "rules":
		for _, r := range validate.Rules {
			fmt.Fprintf(w, "%-26s %-8s %s\n", r.Name, r.Severity, firstSentence(r.Page.What))
		}
		return nil
	case "limits":
		for _, d := range schema.LimitTable {
			fmt.Fprintf(w, "%-26s %12s %-7s %s (%s)\n", d.Key, fmt.Sprint(d.Default), d.Unit, d.Doc, d.Source)
		}
		return nil
	}
	text, ok := validate.Explain(what)
	if !ok {
		return usageError("'swardline check --explain rules' lists them", "there is no rule called %q", what)
	}
	_, err := io.WriteString(w, text)
	return err
}

func firstSentence(s string) string {
	if i := strings.IndexAny(s, ".;:"); i > 0 {
		return s[:i]
	}
	return s
}
