// The SARIF 2.1.0 report, for code hosts and editors.

package report

import (
	"bytes"
	"encoding/json"
	"io"
	"net/url"
	"path/filepath"
	"strings"

	"swardline/validate"
)

// The parts of SARIF 2.1.0 (OASIS, 27 March 2020) that a check fills. Names are
// the standard's.
type (
	sarifLog struct {
		Schema  string     `json:"$schema"`
		Version string     `json:"version"`
		Runs    []sarifRun `json:"runs"`
	}
	sarifRun struct {
		Tool        sarifTool         `json:"tool"`
		Invocations []sarifInvocation `json:"invocations"`
		Results     []sarifResult     `json:"results"`
		ColumnKind  string            `json:"columnKind"`
	}
	sarifTool struct {
		Driver sarifDriver `json:"driver"`
	}
	sarifDriver struct {
		Name    string      `json:"name"`
		Version string      `json:"version,omitempty"`
		Rules   []sarifRule `json:"rules"`
	}
	sarifRule struct {
		ID      string       `json:"id"`
		Short   sarifText    `json:"shortDescription"`
		Full    sarifText    `json:"fullDescription"`
		Help    sarifText    `json:"help"`
		Default sarifDefault `json:"defaultConfiguration"`
	}
	sarifText struct {
		Text string `json:"text"`
	}
	sarifDefault struct {
		Level string `json:"level"`
	}
	sarifInvocation struct {
		Successful    bool                `json:"executionSuccessful"`
		Notifications []sarifNotification `json:"toolExecutionNotifications,omitempty"`
	}
	sarifNotification struct {
		Level     string          `json:"level"`
		Message   sarifText       `json:"message"`
		Locations []sarifLocation `json:"locations,omitempty"`
	}
	sarifResult struct {
		RuleID     string           `json:"ruleId"`
		RuleIndex  int              `json:"ruleIndex"`
		Kind       string           `json:"kind"`
		Level      string           `json:"level"`
		Message    sarifText        `json:"message"`
		Locations  []sarifLocation  `json:"locations"`
		Properties *sarifProperties `json:"properties,omitempty"`
	}
	sarifLocation struct {
		Physical sarifPhysical  `json:"physicalLocation"`
		Logical  []sarifLogical `json:"logicalLocations,omitempty"`
	}
	sarifPhysical struct {
		Artifact sarifArtifact `json:"artifactLocation"`
		Region   *sarifRegion  `json:"region,omitempty"`
	}
	sarifArtifact struct {
		URI string `json:"uri"`
	}
	sarifRegion struct {
		StartLine int `json:"startLine"`
	}
	sarifLogical struct {
		Name string `json:"name"`
		Kind string `json:"kind"`
	}
	sarifProperties struct {
		Measured *float64        `json:"measured,omitempty"`
		Limit    *float64        `json:"limit,omitempty"`
		Unit     string          `json:"unit,omitempty"`
		AreaM2   *float64        `json:"area_m2,omitempty"`
		At       *validate.Place `json:"at,omitempty"`
		Mendable bool            `json:"mendable,omitempty"`
	}
)

// SARIF writes the report as SARIF 2.1.0: a result of kind "fail" for every
// finding and one of kind "open" for every rule that could not be checked,
// which is what the standard calls "insufficient information to decide". A file
// that could not be read is a tool execution notification, and so is an
// interruption.
func (s *Set) SARIF(w io.Writer) error {
	run := sarifRun{
		Tool:        sarifTool{sarifDriver{Name: s.Tool.Name, Version: s.Tool.Version, Rules: []sarifRule{}}},
		Invocations: []sarifInvocation{{Successful: true}},
		Results:     []sarifResult{},
		ColumnKind:  "unicodeCodePoints",
	}
	index := map[string]int{}
	for _, r := range validate.Rules {
		index[r.Name] = len(run.Tool.Driver.Rules)
		run.Tool.Driver.Rules = append(run.Tool.Driver.Rules, sarifRule{
			ID: r.Name, Short: sarifText{firstSentence(r.Page.What)}, Full: sarifText{r.Page.Whole() + " " + r.Page.Why},
			Help: sarifText{r.Text()}, Default: sarifDefault{string(r.Severity)},
		})
	}
	ruleIndex := func(name string) int {
		if n, ok := index[name]; ok {
			return n
		}
		return -1
	}
	say := func(level, words string, at []sarifLocation) {
		run.Invocations[0].Notifications = append(run.Invocations[0].Notifications, sarifNotification{level, sarifText{words}, at})
	}
	for i := range s.Plans {
		p := &s.Plans[i]
		if p.Status == Unreadable {
			run.Invocations[0].Successful = false
			say("error", p.Error, sarifPlace(p.Path, 0, nil))
			continue
		}
		if len(p.Traced) > 0 {
			say("note", tracedWords(p.Traced), sarifPlace(p.Path, 0, nil))
		}
		run.Results = append(run.Results, p.sarifResults(ruleIndex)...)
	}
	for _, path := range s.Gone {
		say("error", goneMessage, sarifPlace(path, 0, nil))
	}
	if s.Interrupted != nil {
		run.Invocations[0].Successful = false
		say("error", s.Interrupted.words(), nil)
	}
	log := sarifLog{
		Schema:  "https://docs.oasis-open.org/sarif/sarif/v2.1.0/errata01/os/schemas/sarif-schema-2.1.0.json",
		Version: "2.1.0", Runs: []sarifRun{run},
	}
	var b bytes.Buffer
	e := json.NewEncoder(&b)
	e.SetEscapeHTML(false)
	e.SetIndent("", " ")
	if err := e.Encode(log); err != nil {
		return err
	}
	_, err := w.Write(plainJSON(b.Bytes()))
	return err
}

// sarifPlace is a place in a file: a line, 0 without one, and the names of
// features.
func sarifPlace(path string, line int, names []string) []sarifLocation {
	l := sarifLocation{Physical: sarifPhysical{Artifact: sarifArtifact{fileURI(path)}}}
	if line > 0 {
		l.Physical.Region = &sarifRegion{line}
	}
	for _, name := range names {
		l.Logical = append(l.Logical, sarifLogical{name, "object"})
	}
	return []sarifLocation{l}
}

// sarifResults are a plan's findings, then its rules that did not pass.
func (p *Plan) sarifResults(ruleIndex func(name string) int) []sarifResult {
	var out []sarifResult
	for k := range p.Findings {
		f := &p.Findings[k]
		line := 0
		if f.Source != nil {
			line = f.Source.Line
		}
		out = append(out, sarifResult{
			RuleID: f.Rule, RuleIndex: ruleIndex(f.Rule), Kind: "fail", Level: f.Severity,
			Message:    sarifText{strings.Join(append(append([]string(nil), f.Names...), f.Message), ": ")},
			Locations:  sarifPlace(p.Path, line, f.Names),
			Properties: &sarifProperties{f.Measured, f.Limit, f.Unit, f.AreaM2, f.At, f.Mendable},
		})
	}
	for _, r := range p.Rules {
		kind, words := "open", "not checked: "
		switch r.Outcome {
		case string(validate.Unchecked):
		case string(validate.Failed):
			if r.Reason == "" {
				continue
			}
			words = "checked in part: "
		case string(validate.NotNeeded):
			kind, words = "notApplicable", "not needed: "
		default:
			continue
		}
		out = append(out, sarifResult{
			RuleID: r.Rule, RuleIndex: ruleIndex(r.Rule), Kind: kind, Level: "none",
			Message: sarifText{words + r.Reason}, Locations: sarifPlace(p.Path, 0, nil),
		})
	}
	return out
}

func firstSentence(s string) string {
	if i := strings.Index(s, ". "); i >= 0 {
		return s[:i+1]
	}
	return s
}

// fileURI returns a path as a relative or absolute URI reference.
func fileURI(path string) string {
	slashed := filepath.ToSlash(path)
	parts := strings.Split(slashed, "/")
	for i := range parts {
		parts[i] = url.PathEscape(parts[i])
	}
	uri := strings.Join(parts, "/")
	switch {
	case strings.HasPrefix(uri, "/"):
		return "file://" + uri
	case strings.Contains(parts[0], ":"): // would read as a scheme
		return "./" + uri
	}
	return uri
}
