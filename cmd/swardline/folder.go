// What a nightly check of a folder needs: taking over what did not change, pages
// for a browser, and comparing two reports.

package main

import (
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"strings"

	"swardline/schema"
	"swardline/validate/report"
)

// earlier is what --since carries over.
type earlier struct {
	plans  map[string]*report.Plan
	limits string // sum of everything but the plan that decides a result
	sums   bool   // whether sums of plans are wanted: they cost time
}

func newEarlier(o *checkOptions, l schema.Limits) (*earlier, error) {
	h := sha256.New()
	for _, d := range schema.LimitTable {
		v, _ := l.Get(d.Key)
		fmt.Fprintf(h, "%q %v %q\n", d.Key, v, l.SourceOf(d.Key))
	}
	fmt.Fprintf(h, "%q\n", l.MayLoosen())
	fmt.Fprintf(h, "%+v\n", o.readFlags)
	for _, path := range []string{o.limits, o.from} {
		if data, err := os.ReadFile(path); err == nil {
			h.Write(data)
		}
	}
	e := &earlier{plans: map[string]*report.Plan{}, limits: hex.EncodeToString(h.Sum(nil)), sums: o.since != ""}
	for _, path := range o.reports {
		e.sums = e.sums || strings.EqualFold(filepath.Ext(path), ".json")
	}
	if o.since == "" {
		return e, nil
	}
	s, err := readReport(o.since)
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
	return &report.Checked{Content: hex.EncodeToString(h.Sum(nil)), Limits: e.limits, Version: version}
}

// holds reports whether nothing changed since the earlier entry of a plan.
func (e *earlier) holds(path string, now *report.Checked) bool {
	p := e.plans[path]
	if p == nil || now == nil || p.Checked == nil || p.Status == report.Unreadable {
		return false
	}
	was := *p.Checked
	was.Carried = false
	return was == *now
}

// entry is the earlier entry of a plan, marked as carried over.
func (e *earlier) entry(path string, checked *report.Checked) report.Plan {
	out := *e.plans[path]
	mark := *checked
	mark.Carried = true
	out.Checked = &mark
	return out
}

// makePagesFolder makes sure that pages can be written before a long check starts.
func makePagesFolder(path string) error {
	if path == "" {
		return nil
	}
	for _, folder := range []string{path, filepath.Join(path, report.PagesFolder)} {
		if info, err := os.Stat(folder); err == nil && !info.IsDir() {
			return usageError("name a folder", "--pages %s: %s is a file", path, folder)
		}
		if err := os.MkdirAll(folder, 0o755); err != nil {
			return err
		}
	}
	return nil
}

// writePages writes each plan's page, then the index, so that no link of the index
// leads nowhere. Pages of plans that are gone stay; nothing links them.
func writePages(set *report.Set, path string, s streams) error {
	if path == "" {
		return nil
	}
	for i := range set.Plans {
		name := filepath.Join(path, report.PagesFolder, report.PageName(set.Plans[i].Path))
		if err := writeWhole(name, s, func(w io.Writer) error { return set.Page(w, i) }); err != nil {
			return err
		}
	}
	return writeWhole(filepath.Join(path, report.IndexName), s, set.Index)
}

func readReport(path string) (*report.Set, error) {
	data, err := os.ReadFile(path)
	if err != nil {
		return nil, err
	}
	s, err := report.ReadJSON(data)
	if err != nil {
		return nil, inputError("check --report FILE.json writes one", "%s: %w", path, err)
	}
	return s, nil
}

// runCompare prints how the findings of two reports differ; new ones give status 1.
func runCompare(o *checkOptions) error {
	old, err := readReport(o.paths[0])
	if err != nil {
		return err
	}
	now, err := readReport(o.paths[1])
	if err != nil {
		return err
	}
	c := report.Compare(old, now)
	err = writeWhole("-", o.streams, func(w io.Writer) error {
		for _, part := range []struct {
			word  string
			lines []string
		}{{"new", c.New}, {"gone", c.Gone}} {
			for _, line := range part.lines {
				if _, err := fmt.Fprintf(w, "%s: %s\n", part.word, oneLine(line)); err != nil {
					return err
				}
			}
		}
		_, err := fmt.Fprintf(w, "%d new, %d gone, %d same\n", len(c.New), len(c.Gone), len(c.Same))
		return err
	})
	if err == nil && len(c.New) > 0 {
		err = errFindings
	}
	return err
}
