// The JUnit XML report, for build servers.

package report

import (
	"encoding/xml"
	"io"
	"strconv"
	"strings"
	"unicode/utf8"

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

// JUnit writes the report as JUnit XML: a suite a plan, a case a rule. A rule with
// errors or warnings is a failure that lists them, one with notes alone passes
// with the notes as its output, one that was not checked is skipped. No time is
// written, so that two runs give the same bytes.
func (s *Set) JUnit(w io.Writer) error {
	all := junitSuites{Name: xmlText(s.Tool.Name + " check")}
	for i := range s.Plans {
		suite := s.Plans[i].junit()
		all.Tests += suite.Tests
		all.Failures += suite.Failures
		all.Errors += suite.Errors
		all.Suites = append(all.Suites, suite)
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
			c.Skipped = &junitSkipped{xmlText(r.Reason)}
			suite.Skipped++
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
		s += "; measured " + quantity(*f.Measured, f.Unit)
		if f.Limit != nil {
			s += ", limit " + quantity(*f.Limit, f.Unit)
		}
	}
	if at := where(f.At, p.Origin); at != "" {
		s += "; " + at
	}
	if f.Source != nil {
		s += "; line " + strconv.Itoa(f.Source.Line)
	}
	return s
}

// xmlText replaces what XML 1.0 cannot hold by its escape in words.
func xmlText(s string) string {
	ok := utf8.ValidString(s)
	for _, r := range s {
		if !xmlChar(r) {
			ok = false
			break
		}
	}
	if ok {
		return s
	}
	var b strings.Builder
	for i := 0; i < len(s); {
		r, size := utf8.DecodeRuneInString(s[i:])
		if r == utf8.RuneError && size == 1 || !xmlChar(r) {
			b.WriteString(`\x` + strconv.FormatInt(int64(s[i]), 16))
			for k := 1; k < size; k++ {
				b.WriteString(`\x` + strconv.FormatInt(int64(s[i+k]), 16))
			}
		} else {
			b.WriteString(s[i : i+size])
		}
		i += size
	}
	return b.String()
}

// xmlChar is the production Char of XML 1.0 (fifth edition), section 2.2.
func xmlChar(r rune) bool {
	return r == '\t' || r == '\n' || r == '\r' || r >= 0x20 && r <= 0xD7FF || r >= 0xE000 && r <= 0xFFFD || r >= 0x10000 && r <= 0x10FFFF
}
