// The JUnit XML report, for build servers.

package report

import (
	"encoding/xml"
	"io"
	"strconv"
	"strings"

	"swardline/validate"
)

// JUnit has no standard; these are the elements and attributes that its common
// schemas agree on, in their order.
type (
	junitSuites struct {
		XMLName  xml.Name     `xml:"testsuites"`
		Name     string       `xml:"name,attr"`
		Tests    int          `xml:"tests,attr"`
		Failures int          `xml:"failures,attr"`
		Errors   int          `xml:"errors,attr"`
		Suites   []junitSuite `xml:"testsuite"`
	}
	junitSuite struct {
		Name     string      `xml:"name,attr"`
		Tests    int         `xml:"tests,attr"`
		Failures int         `xml:"failures,attr"`
		Errors   int         `xml:"errors,attr"`
		Skipped  int         `xml:"skipped,attr"`
		Cases    []junitCase `xml:"testcase"`
		Out      string      `xml:"system-out,omitempty"`
	}
	junitCase struct {
		Name    string        `xml:"name,attr"`
		Class   string        `xml:"classname,attr"`
		Skipped *junitSkipped `xml:"skipped,omitempty"`
		Error   *junitFault   `xml:"error,omitempty"`
		Failure *junitFault   `xml:"failure,omitempty"`
		Out     string        `xml:"system-out,omitempty"`
	}
	junitSkipped struct {
		Message string `xml:"message,attr"`
	}
	junitFault struct {
		Message string `xml:"message,attr"`
		Type    string `xml:"type,attr"`
		Text    string `xml:",chardata"`
	}
)

// JUnit writes the report as JUnit XML: a suite a plan, a case a rule. A rule
// with errors or warnings is a failure that lists them, one with notes alone
// passes with the notes as its output, one that was not checked is skipped. A
// run that was interrupted has a last suite with an error, so that no server
// takes it for whole. No time is written, so that two runs give the same bytes.
func (s *Set) JUnit(w io.Writer) error {
	command := s.Command
	if command == "" {
		command = "check"
	}
	all := junitSuites{Name: xmlText(s.Tool.Name + " " + command)}
	for i := range s.Plans {
		suite := s.Plans[i].junit()
		all.Tests += suite.Tests
		all.Failures += suite.Failures
		all.Errors += suite.Errors
		all.Suites = append(all.Suites, suite)
	}
	for _, path := range s.Gone {
		all.Tests++
		all.Errors++
		all.Suites = append(all.Suites, junitSuite{Name: xmlText(path), Tests: 1, Errors: 1, Cases: []junitCase{
			{Name: "there", Class: xmlText(path), Error: &junitFault{goneMessage, gone, ""}},
		}})
	}
	if s.Interrupted != nil {
		all.Tests++
		all.Errors++
		all.Suites = append(all.Suites, junitSuite{Name: "run", Tests: 1, Errors: 1, Cases: []junitCase{
			{Name: "whole", Class: "run", Error: &junitFault{s.Interrupted.words(), "interrupted", ""}},
		}})
	}
	if _, err := io.WriteString(w, xml.Header); err != nil {
		return err
	}
	e := xml.NewEncoder(w)
	e.Indent("", " ")
	if err := e.Encode(all); err != nil {
		return err
	}
	_, err := io.WriteString(w, "\n")
	return err
}

func (p *Plan) junit() junitSuite {
	suite := junitSuite{Name: xmlText(p.Path)}
	if p.Status == Unreadable {
		suite.Tests, suite.Errors = 1, 1
		suite.Cases = []junitCase{{Name: "read", Class: suite.Name, Error: &junitFault{xmlText(p.Error), "unreadable", ""}}}
		return suite
	}
	if len(p.Traced) > 0 {
		suite.Out = xmlText(tracedWords(p.Traced))
	}
	for _, r := range p.Rules {
		c := junitCase{Name: xmlText(r.Rule), Class: suite.Name}
		var failures, notes []string
		severity := ""
		for k := range p.Findings {
			f := &p.Findings[k]
			if f.Rule != r.Rule {
				continue
			}
			if validate.Severity(f.Severity).Rank() > validate.Warning.Rank() {
				notes = append(notes, f.oneLine(p))
				continue
			}
			if severity == "" || validate.Severity(f.Severity).Rank() < validate.Severity(severity).Rank() {
				severity = f.Severity
			}
			failures = append(failures, f.oneLine(p))
		}
		switch {
		case len(failures) > 0:
			c.Failure = &junitFault{xmlText(failures[0]), severity, xmlText(strings.Join(failures, "\n"))}
			suite.Failures++
		case r.Outcome == string(validate.Unchecked):
			c.Skipped = &junitSkipped{xmlText("not checked: " + r.Reason)}
			suite.Skipped++
		case r.Outcome == string(validate.NotNeeded):
			c.Skipped = &junitSkipped{xmlText("not needed: " + r.Reason)}
			suite.Skipped++
		}
		if r.Outcome == string(validate.Failed) && r.Reason != "" {
			notes = append(notes, "checked in part: "+r.Reason)
		}
		c.Out = xmlText(strings.Join(notes, "\n"))
		suite.Tests++
		suite.Cases = append(suite.Cases, c)
	}
	return suite
}

// oneLine is the finding in one line.
func (f *Finding) oneLine(p *Plan) string {
	s := f.Message
	if len(f.Names) > 0 {
		s = strings.Join(f.Names, ", ") + ": " + s
	}
	if f.Measured != nil {
		s += "; " + f.measure()
	}
	if at := where(f.At, p.Origin); at != "" {
		s += "; " + at
	}
	if f.Source != nil {
		s += "; file line " + strconv.Itoa(f.Source.Line)
	}
	return s
}

// xmlText replaces what XML 1.0 cannot hold, and what a terminal would obey, by
// its escape in words. Line ends and tabs stay. What is left are Chars of XML
// 1.0 (fifth edition), section 2.2.
func xmlText(s string) string {
	lines := strings.Split(s, "\n")
	for i, line := range lines {
		cells := strings.Split(line, "\t")
		for k := range cells {
			cells[k] = Printable(cells[k])
		}
		lines[i] = strings.Join(cells, "\t")
	}
	return strings.Join(lines, "\n")
}
