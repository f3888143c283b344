// The rule table: every rule in the order in which reports show them, and the
// pages that explain them.

package validate

import (
	"fmt"
	"strings"

	"swardline/schema"
)

// Rule is one entry of the table.
type Rule struct {
	// Name is the rule's name in reports, such as "ring-open".
	Name string
	// Severity is that of its findings, unless a finding says otherwise.
	Severity Severity
	// Limits are the keys of the limits it compares with.
	Limits []string
	// Mendable is set when Mend removes its faults without a judgement.
	Mendable bool
	// Page explains the rule to the person who has to act on it.
	Page Page

	// run judges a site; nil when the rule is judged elsewhere, which elsewhere
	// then says.
	run       func(*run)
	elsewhere string
}

// Page is what a rule's page says.
type Page struct {
	// What it measures, and how.
	What string
	// Why it matters on the ground.
	Why string
	// Source of the rule itself; the limits name their own.
	Source string
	// Fails and Passes are an example each.
	Fails, Passes string
	// Mend says what to do about a finding.
	Mend string
}

// Rules is the table.
var Rules = concat(
	coordinateRules,
	ringRules,
	keepoutRules,
	zoneRules,
	passageRules,
	hazardRules,
	edgeRules,
	boundaryRules,
	corridorRules,
	reachRules,
	dockRules,
	baseRules,
	historyRules,
	slopeRules,
	cableRules,
	skyRules,
	nameRules,
	placementRules,
)

func concat(families ...[]Rule) []Rule {
	var out []Rule
	for _, f := range families {
		out = append(out, f...)
	}
	return out
}

// Sources of rules.
const (
	sourceOGC      = "OGC 06-103r4 (Simple Features, part 1), 6.1.11.1: what makes a polygon valid"
	sourcePractice = schema.SourcePractice
)

// Find returns the rule with the name, from Rules or DriftRules; ok is false when there is none.
func Find(name string) (Rule, bool) {
	for _, table := range [...][]Rule{Rules, DriftRules} {
		for _, r := range table {
			if r.Name == name {
				return r, true
			}
		}
	}
	return Rule{}, false
}

// Explain returns a rule's page as plain text: what it measures, why that
// matters on the ground, its limits with their defaults and sources, an example
// that fails, one that passes, and what to do. ok is false for an unknown rule.
func Explain(name string) (text string, ok bool) {
	r, ok := Find(name)
	if !ok {
		return "", false
	}
	return r.Text(), true
}

// Text returns the rule's page as plain text, lines of at most 80 columns.
func (r *Rule) Text() string {
	var b strings.Builder
	fmt.Fprintf(&b, "%s (%s)\n", r.Name, r.Severity)
	section := func(title, text string) {
		if text != "" {
			fmt.Fprintf(&b, "\n%s\n%s", title, wrap(text, 80, "  "))
		}
	}
	section("What it measures", r.Page.What)
	section("Why it matters on the ground", r.Page.Why)
	if len(r.Limits) == 0 {
		section("Limit", "none: the rule compares with no number")
	}
	for i, key := range r.Limits {
		title := "Limits"
		if i > 0 {
			title = ""
		}
		for _, d := range schema.LimitTable {
			if d.Key != key {
				continue
			}
			text := fmt.Sprintf("%s, default %s %s (%s): %s", key, trim(d.Default, 6), d.Unit, d.Source, d.Doc)
			if title != "" {
				section(title, text)
			} else {
				b.WriteString(wrap(text, 80, "  "))
			}
		}
	}
	section("Source of the rule", r.Page.Source)
	section("Fails", r.Page.Fails)
	section("Passes", r.Page.Passes)
	mend := r.Page.Mend
	if r.Mendable {
		mend += "; 'swardline mend' does it, because it needs no judgement"
	}
	section("What to do", mend)
	return b.String()
}

// wrap breaks text into lines of at most width columns, each with the indent.
func wrap(text string, width int, indent string) string {
	var b strings.Builder
	column := 0
	for _, word := range strings.Fields(text) {
		n := len([]rune(word))
		switch {
		case column == 0:
			b.WriteString(indent)
			column = len(indent)
		case column+1+n > width:
			b.WriteByte('\n')
			b.WriteString(indent)
			column = len(indent)
		default:
			b.WriteByte(' ')
			column++
		}
		b.WriteString(word)
		column += n
	}
	if column > 0 {
		b.WriteByte('\n')
	}
	return b.String()
}

// Checked reports whether Check judges the rule; the others are judged elsewhere
// and stand in the table for their pages.
func (r *Rule) Checked() bool { return r.run != nil }
