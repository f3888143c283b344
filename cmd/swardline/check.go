// swardline check: plans against rules and limits, one or a whole folder of
// them.

package main

import (
	"context"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"strings"

	"github.com/spf13/cobra"

	"swardline/cmd/internal/job"
	"swardline/schema"
	"swardline/validate"
	"swardline/validate/report"
)

// checkFlags are the flags of check that a job does not know.
type checkFlags struct {
	include, exclude []string
	explain          string
	compare, quiet   bool
	full, summary    bool
	bundle           string
}

func newCheckCmd(s streams) *cobra.Command {
	o, c := &job.CheckOptions{}, &checkFlags{}
	cmd := command("check PATH...", checkWords, func(_ *cobra.Command, args []string) error {
		if c.bundle != "" && len(args) > 0 {
			return job.Refuse("name the hand-over alone", "--bundle takes no PATH beside it")
		}
		if len(args) == 0 && c.explain == "" && c.bundle == "" {
			return job.Refuse("name a plan, a folder, or - for standard input", "check needs a PATH")
		}
		if c.compare && len(args) != 2 {
			return job.Refuse("check --compare OLD.json NEW.json", "--compare takes two reports")
		}
		if c.full && c.summary {
			return job.Refuse("say one of them", "--full and --summary do not go together")
		}
		return nil
	})
	cmd.RunE = func(cmd *cobra.Command, args []string) error {
		folders := pageFolders(o.Pages)
		return s.run(folders, func(j *job.Job) error {
			switch {
			case c.explain != "":
				return explain(s.out, j, c.explain)
			case c.bundle != "":
				return checkBundle(s.out, j, c.bundle)
			case c.compare:
				return compare(s.out, j, args)
			}
			return check(cmd.Context(), s, j, o, c, args, folders)
		})
	}
	f := cmd.Flags()
	readingFlags(f, &o.Reading)
	reportFlag(f, &o.Reports, "the report")
	f.IntVar(&o.Workers, "jobs", 0, "how many plans are checked at a time; 0 for one a core")
	f.StringVar(&o.FailOn, "fail-on", "error", "least `severity` that ends with status 1: error, warning or note; unchecked for warnings and what could not be checked; or never")
	f.StringVar(&c.explain, "explain", "", "print the page of a `rule` (or 'limits', or 'rules') and stop")
	f.StringArrayVar(&c.include, "include", nil, "in folders, take only files whose name, or whose path from the folder on where there is a / in it, matches the `pattern`; may be given more than once")
	f.StringArrayVar(&c.exclude, "exclude", nil, "in folders, leave out files and folders that match the `pattern`; may be given more than once")
	f.StringVar(&o.Register, "register", "", "also write a CSV `file` with one row a plan")
	f.StringVar(&o.Pages, "pages", "", "also write an index with a map of the sites and a page a plan into `folder`")
	f.StringVar(&o.Live, "live-pages", job.LiveAuto, fmt.Sprintf("which plans get a live page in the folder of --pages: `auto`, for folders of at most %d plans, all or none", job.LiveMost))
	f.StringVar(&o.Since, "since", "", "carry over from an earlier JSON `report` the plans of which nothing changed")
	f.BoolVar(&c.compare, "compare", false, "take two JSON reports, the older first, and say which findings are new, gone and the same")
	f.StringVar(&c.bundle, "bundle", "", "hold the files of a hand-over, a `DIR` or a .zip, against its manifest, and check its plan again")
	f.BoolVar(&c.full, "full", false, "print every plan of a folder with its findings, every rule and every limit")
	f.BoolVar(&c.summary, "summary", false, "print the totals alone")
	f.BoolVar(&c.quiet, "quiet", false, "print nothing on standard output; the reports and the status tell")
	return cmd
}

func check(ctx context.Context, s streams, j *job.Job, o *job.CheckOptions, c *checkFlags, paths, folders []string) error {
	// Whether pages can be written shows before a long check starts.
	for _, folder := range folders {
		if info, err := os.Stat(folder); err == nil && !info.IsDir() {
			return job.Refuse("name a folder", "--pages %s: %s is a file", o.Pages, folder)
		}
		if err := os.MkdirAll(folder, 0o755); err != nil {
			return err
		}
	}
	var err error
	if o.Files, o.Skipped, err = findPlans(paths, c.include, c.exclude); err != nil {
		return err
	}
	o.Full = c.full
	bar := newProgress(s.err)
	j.Progress = bar.step
	done, err := j.Check(ctx, o)
	bar.end()
	if done == nil {
		return err
	}
	set := &done.Set
	if !c.quiet {
		print := set.Text
		if c.summary {
			print = set.Summary
		}
		if told := fillWhole(s.out, 1<<16, print); err == nil {
			err = told
		}
	}
	switch {
	case err != nil:
		return err
	case set.Interrupted != nil:
		i := set.Interrupted
		return job.Fault("the report tells of those that were", "interrupted: %d of %d plans were not reached", i.NotReached, i.Checked+i.NotReached)
	case set.Totals().Unreadable > 0:
		return job.Fault("the report names each, and what to do", "%d of %d inputs could not be read", set.Totals().Unreadable, len(set.Plans))
	case len(o.Files) == 0:
		return job.Fault("plans end in "+strings.Join(job.PlanEndings(), " "), "no plan found in %s", strings.Join(paths, ", "))
	case done.Reached:
		return errFindings
	}
	return nil
}

// checkBundle says of each file of a hand-over whether it is as it was made,
// and whether its check comes out as it did.
func checkBundle(w io.Writer, j *job.Job, path string) error {
	var present []string
	if entries, err := os.ReadDir(path); err == nil {
		for _, e := range entries {
			present = append(present, e.Name())
		}
	}
	b, err := j.CheckBundle(path, present)
	if err != nil {
		return err
	}
	m := &b.Manifest
	fmt.Fprintf(w, "%s: made on %s by %s %s from %s, for the %s; registry %s of %s\n", job.OneLine(path), job.OneLine(m.Date), job.OneLine(m.Tool.Name), job.OneLine(m.Tool.Version), job.OneLine(m.Source), job.OneLine(m.For), job.OneLine(m.Registry.Version), job.OneLine(m.Registry.Date))
	for _, f := range b.Files {
		fmt.Fprintf(w, "  %-16s %s\n", job.OneLine(f.Name), f.State)
	}
	switch {
	case !b.Rechecked:
		fmt.Fprintf(w, "  not checked again: %s\n", job.OneLine(b.Why))
	case len(b.Differs) == 0:
		fmt.Fprintf(w, "  checked again with the limits of the manifest: it comes out as it did, %d finding(s)\n", b.Findings)
	}
	for _, d := range b.Differs {
		fmt.Fprintf(w, "  checked again: %s\n", job.OneLine(d))
	}
	if b.Rechecked && b.Why != "" {
		fmt.Fprintf(w, "  %s\n", job.OneLine(b.Why))
	}
	if !b.Whole() {
		return errFindings
	}
	return nil
}

func pageFolders(path string) []string {
	if path == "" {
		return nil
	}
	return []string{path, filepath.Join(path, report.PagesFolder), filepath.Join(path, report.LiveFolder)}
}

// explain prints the page of a rule, the list of rules, or the limits.
func explain(w io.Writer, j *job.Job, what string) error {
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
	text, err := j.Explain(what)
	if err != nil {
		return err
	}
	_, err = io.WriteString(w, text)
	return err
}

func firstSentence(s string) string {
	if i := strings.IndexAny(s, ".;:"); i > 0 {
		return s[:i]
	}
	return s
}

// compare prints how the findings of two reports differ; new ones and plans
// that are not there any more give status 1.
func compare(out io.Writer, j *job.Job, reports []string) error {
	c, err := j.Compare(reports[0], reports[1])
	if err != nil {
		return err
	}
	told := fillWhole(out, 1<<16, func(w io.Writer) error {
		for _, path := range c.Missing {
			fmt.Fprintf(w, "plan not there any more: %s\n", job.OneLine(path))
		}
		for _, line := range c.New {
			fmt.Fprintf(w, "new: %s\n", job.OneLine(line))
		}
		for _, line := range c.Gone {
			fmt.Fprintf(w, "gone: %s\n", job.OneLine(line))
		}
		_, err := fmt.Fprintf(w, "%d new, %d gone, %d same; %d plan(s) not there any more\n", len(c.New), len(c.Gone), len(c.Same), len(c.Missing))
		return err
	})
	return reported(nil, told, len(c.New)+len(c.Missing) > 0)
}
