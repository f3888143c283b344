// The rule table: every rule in the order in which reports show them, and the
// pages that explain them.

package validate

import (
	"fmt"
	"slices"
	"strings"
	"unicode"

	"swardline/schema"
)

// Command is what judges a rule: the command whose reports have a result for
// it.
type Command string

// The commands that judge rules. CommandConvert stands for every step from one
// reference system to another: its rules refuse the step, and no check can ask
// them.
const (
	CommandCheck   Command = "check"
	CommandDrift   Command = "drift"
	CommandPlace   Command = "place"
	CommandConvert Command = "convert"
	CommandSky     Command = "sky"
	CommandDriven  Command = "driven"
)

// Rule is one row of the table.
type Rule struct {
	// Name is the rule's name in reports, such as "ring-open".
	Name string
	// Command judges it; no other command counts it.
	Command Command
	// Severity is that of its findings, unless a finding says otherwise.
	Severity Severity
	// Limits are the keys of the limits it compares with.
	Limits []string
	// Mendable is set when Mend removes its faults without a judgement.
	Mendable bool
	// Over says what it applies to: of each list one role, active, must be in
	// the plan, or the rule is not needed. Nil applies to every plan.
	Over [][]schema.Role
	// Page explains the rule to the person who has to act on it.
	Page Page

	// run judges it: findings, what could not be checked, and an error go to
	// the run. It is nil for the rules of CommandConvert, which the operation
	// judges.
	run func(*run)
	// against is the role of the things that a rule on a displacement keeps the
	// machine out of, "" for none.
	against schema.Role
	// weight is what a finding of the rule does to the verdict of a
	// displacement.
	weight weight
}

// one lists roles of which one must be in the plan, all roles that all must.
func one(roles ...schema.Role) [][]schema.Role { return [][]schema.Role{roles} }

func all(roles ...schema.Role) [][]schema.Role {
	out := make([][]schema.Role, len(roles))
	for i := range roles {
		out[i] = roles[i : i+1]
	}
	return out
}

// needless says why the rule is not needed for the site, "" when it is.
func (r *Rule) needless(s *Site) string {
	for _, roles := range r.Over {
		any := false
		for _, role := range roles {
			any = any || len(s.Of(role)) > 0
		}
		if any {
			continue
		}
		words := make([]string, len(roles))
		for i, role := range roles {
			words[i] = string(role)
		}
		return "the plan has no active " + orList(words)
	}
	return ""
}

// orList joins words: "a", "a or b", "a, b or c".
func orList(words []string) string {
	if n := len(words); n > 1 {
		return strings.Join(words[:n-1], ", ") + " or " + words[n-1]
	}
	return strings.Join(words, "")
}

// Page is what a rule's page says.
type Page struct {
	// What it measures, and how.
	What string
	// Parts say more of it, of one matter each, where one list would be too long to
	// find anything in.
	Parts []Part
	// Why it matters on the ground.
	Why string
	// Source of the rule itself; the limits name their own.
	Source string
	// Fails and Passes are an example each.
	Fails, Passes string
	// Mend says what to do about a finding.
	Mend string
}

// Part is what a page says of one matter, under a title of its own.
type Part struct {
	Title, Text string
}

// Whole returns all that a page says of what the rule measures, as running text.
func (p *Page) Whole() string {
	var b strings.Builder
	b.WriteString(p.What)
	for _, part := range p.Parts {
		fmt.Fprintf(&b, " %s: %s", part.Title, part.Text)
	}
	return b.String()
}

// Rules is the table: every rule of every command, in the order in which
// reports show them.
var Rules = slices.Concat(
	rows(CommandCheck,
		coordinateRules,
		spanRules,
		ringRules,
		keepoutRules,
		zoneRules,
		buildingRules,
		passageRules,
		hazardRules,
		edgeRules,
		boundaryRules,
		corridorRules,
		reachRules,
		dockRules,
		dockWayRules,
		baseRules,
		baseHeightRules,
		baseFrameRules,
		baseZoneRules,
		thingRules,
		layerRules,
		surveyRules,
		historyRules,
		slopeRules,
		cableRules,
		skyRules,
		satelliteRules,
		nameRules,
		unreadRules,
		wordRules,
		namedRules,
		otherRules,
	),
	rows(CommandConvert, operationRules),
	rows(CommandPlace, markRules),
	rows(CommandDrift, driftRules),
	rows(CommandSky, radioRules),
	rows(CommandDriven, drivenRules),
)

// rows are the rules of one command.
func rows(c Command, families ...[]Rule) []Rule {
	out := slices.Concat(families...)
	for i := range out {
		out[i].Command = c
	}
	return out
}

// RulesOf returns the rules that a command judges, in the table's order: as
// many as its reports have results.
func RulesOf(c Command) []Rule {
	var out []Rule
	for i := range Rules {
		if Rules[i].Command == c {
			out = append(out, Rules[i])
		}
	}
	return out
}

// Sources of rules.
const (
	sourceOGC      = "OGC 06-103r4 (Simple Features, part 1), 6.1.11.1: what makes a polygon valid"
	sourcePractice = schema.SourcePractice
)

// Find returns the rule with the name; ok is false when there is none.
func Find(name string) (Rule, bool) {
	for _, r := range Rules {
		if r.Name == name {
			return r, true
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
	fmt.Fprintf(&b, "\nWhat it measures\n%s", laidOut(r.Page.What))
	for _, part := range r.Page.Parts {
		fmt.Fprintf(&b, "\n  %s\n%s", part.Title, laidOut(part.Text))
	}
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

// A text of more than shortWords words is laid out as a list with a line a sentence,
// and a sentence of more than longWords with a line a clause.
const shortWords, longWords = 90, 45

// laidOut wraps a text, a long one as a list of its sentences.
func laidOut(text string) string {
	count := func(s string) int { return len(strings.Fields(s)) }
	if count(text) <= shortWords {
		return wrap(text, 80, "  ")
	}
	var b strings.Builder
	item := func(text, indent string) {
		lines := wrap(text, 80, indent+"  ")
		b.WriteString(indent + "-" + lines[len(indent)+1:])
	}
	for i, s := range parts(text, ". ") {
		clauses := []string{s}
		if count(s) > longWords {
			clauses = parts(s, "; ")
		}
		for k, c := range clauses {
			switch {
			case k > 0:
				item(c, "    ")
			case i > 0:
				item(c, "  ")
			default:
				b.WriteString(wrap(c, 80, "  "))
			}
		}
	}
	return b.String()
}

// parts splits a text after the mark, outside brackets; after a full stop only where
// a sentence begins.
func parts(text, mark string) (out []string) {
	depth, from := 0, 0
	for i := range text {
		switch text[i] {
		case '(', '[', '{':
			depth++
		case ')', ']', '}':
			depth--
		case mark[0]:
			end := i + len(mark)
			if depth > 0 || end >= len(text) || text[i:end] != mark || mark == ". " && !unicode.IsUpper(rune(text[end])) {
				continue
			}
			out, from = append(out, text[from:i+1]), end
		}
	}
	return append(out, text[from:])
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
