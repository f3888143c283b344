// What a nightly check of a folder needs: taking over what did not change, and
// comparing two reports.

package main

import (
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"io"
	"os"

	"swardline/schema"
	"swardline/validate/report"
)

// earlier is what --since carries over.
type earlier struct {
	plans  map[string]*report.Plan
	limits string // sum of everything but the plan that decides a result
}

func newEarlier(o *checkOptions, l schema.Limits) (*earlier, error) {
	h := sha256.New()
	for _, d := range schema.LimitTable {
		v, _ := l.Get(d.Key)
		fmt.Fprintf(h, "%q %v %q\n", d.Key, v, l.SourceOf(d.Key))
	}
	fmt.Fprintf(h, "%+v\n", o.readFlags)
	for _, path := range []string{o.limits, o.from} {
		if data, err := os.ReadFile(path); err == nil {
			h.Write(data)
		}
	}
	e := &earlier{plans: map[string]*report.Plan{}, limits: hex.EncodeToString(h.Sum(nil))}
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

// sum says what a check of the file depends on, nil when it cannot be read.
func (e *earlier) sum(path string) *report.Checked {
	if path == "-" {
		return nil
	}
	h := sha256.New()
	f, err := os.Open(path)
	if err != nil {
		return nil
	}
	defer f.Close()
	if info, err := f.Stat(); err != nil || !info.Mode().IsRegular() {
		return nil
	}
	if _, err := io.Copy(h, f); err != nil {
		return nil
	}
	if _, text, ok := besidePRJ(path); ok {
		fmt.Fprintf(h, "\x00%s", text)
	}
	return &report.Checked{Content: hex.EncodeToString(h.Sum(nil)), Limits: e.limits, Version: version}
}

// carry returns the earlier entry of a plan of which nothing changed.
func (e *earlier) carry(path string, now *report.Checked) (report.Plan, bool) {
	p := e.plans[path]
	if p == nil || now == nil || p.Checked == nil || p.Status == report.Unreadable {
		return report.Plan{}, false
	}
	was := *p.Checked
	was.Carried = false
	if was != *now {
		return report.Plan{}, false
	}
	out := *p
	was.Carried = true
	out.Checked = &was
	return out, true
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
