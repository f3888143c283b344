// The text report: for people, at a desk or on a phone in the rain.

package report

import (
	"fmt"
	"io"
	"math"
	"sort"
	"strconv"
	"strings"
	"unicode"
	"unicode/utf8"

	"swardline/schema"
	"swardline/validate"
)

// Text writes the report for people: plan by plan, the worst first; of each plan
// its findings, the gravest first, with rule, feature, what was measured against
// which limit, and where; then the areas and what could not be checked. The last
// paragraph says which rules were tested against which limits. Names from files
// are shown with their control characters escaped.
func (s *Set) Text(w io.Writer) error {
	var b strings.Builder
	order := make([]*Plan, len(s.Plans))
	for i := range s.Plans {
		order[i] = &s.Plans[i]
	}
	sort.SliceStable(order, func(i, j int) bool { return worse(order[i].ranked(), order[j].ranked()) })
	for i, p := range order {
		if i > 0 && (p.Status != Clean || order[i-1].Status != Clean) {
			b.WriteByte('\n')
		}
		p.text(&b)
		if b.Len() > 1<<16 {
			if _, err := io.WriteString(w, b.String()); err != nil {
				return err
			}
			b.Reset()
		}
	}
	s.closing(&b)
	_, err := io.WriteString(w, b.String())
	return err
}

func (p *Plan) text(b *strings.Builder) {
	b.WriteString(Printable(p.Path))
	if p.Name != "" {
		b.WriteString(" (" + Printable(p.Name) + ")")
	}
	b.WriteString(": ")
	switch p.Status {
	case Unreadable:
		b.WriteString("could not be read\n  " + Printable(p.Error) + "\n")
		return
	case Clean:
		b.WriteString("no findings")
	case Unchecked:
		b.WriteString("no findings, but not all was checked")
	default:
		b.WriteString(countWords(p.Summary))
	}
	if p.carried() {
		b.WriteString("; carried over from the earlier report, because nothing changed")
	}
	b.WriteByte('\n')
	list := make([]*Finding, len(p.Findings))
	for i := range p.Findings {
		list[i] = &p.Findings[i]
	}
	sort.SliceStable(list, func(i, j int) bool {
		return validate.Severity(list[i].Severity).Rank() < validate.Severity(list[j].Severity).Rank()
	})
	for _, f := range list {
		f.text(b, p)
	}
	if p.Status != Unreadable {
		p.figures(b)
	}
}

func countWords(s Summary) string {
	var parts []string
	for _, x := range [...]struct {
		n    int
		word string
	}{{s.Error, "error"}, {s.Warning, "warning"}, {s.Note, "note"}} {
		if x.n > 0 {
			parts = append(parts, count(x.n, x.word))
		}
	}
	if len(parts) == 0 {
		return "no findings"
	}
	return strings.Join(parts, ", ")
}

func count(n int, word string) string {
	if n == 1 {
		return "1 " + word
	}
	return strconv.Itoa(n) + " " + word + "s"
}

func (f *Finding) text(b *strings.Builder, p *Plan) {
	fmt.Fprintf(b, "  %-7s  %s", Printable(f.Severity), Printable(f.Rule))
	if len(f.Names) > 0 {
		b.WriteString(": ")
		for i, name := range f.Names {
			if i > 0 {
				b.WriteString(", ")
			}
			b.WriteString(Printable(name))
		}
	}
	b.WriteString("\n           " + Printable(f.Message) + "\n")
	if figures := f.figures(p); figures != "" {
		b.WriteString("           " + figures + "\n")
	}
}

// figures says what was measured, where, and on which line of the file.
func (f *Finding) figures(p *Plan) string {
	var parts []string
	if f.Measured != nil {
		parts = append(parts, f.measure())
	}
	if f.AreaM2 != nil {
		parts = append(parts, quantity(*f.AreaM2, "m2"))
	}
	if at := where(f.At, p.Origin); at != "" {
		parts = append(parts, at)
	}
	if f.Source != nil {
		parts = append(parts, "line "+strconv.Itoa(f.Source.Line))
	}
	if f.Mendable {
		parts = append(parts, "mendable")
	}
	return strings.Join(parts, "; ")
}

// measure says what was measured against which limit. A crossing has no limit that
// a machine's manual could give: there is none, or there is a fault.
func (f *Finding) measure() string {
	measured := quantity(*f.Measured, f.Unit)
	switch {
	case f.Rule == "ring-crosses-itself" && f.Unit == "m2":
		return "loop of " + measured + "; an outline may not cross or touch itself at all"
	case f.Rule == "ring-crosses-itself":
		return "over " + measured + "; an outline may not cross or run along itself at all"
	case f.Limit != nil:
		return "measured " + measured + ", limit " + quantity(*f.Limit, f.Unit)
	}
	return "measured " + measured
}

// quantity shows a number with its unit, counts without one.
func quantity(v float64, unit string) string {
	decimals := 2
	switch {
	case unit == "count" || unit == "":
		decimals = 0
		if v != math.Trunc(v) {
			decimals = 4
		}
	case math.Abs(v) < 1:
		decimals = 3
	case unit == "%" || unit == "deg":
		decimals = 1
	}
	s := strconv.FormatFloat(v, 'f', decimals, 64)
	if strings.Contains(s, ".") {
		s = strings.TrimRight(strings.TrimRight(s, "0"), ".")
	}
	if s == "-0" {
		s = "0"
	}
	switch unit {
	case "count", "":
		return s
	case "%":
		return s + " %"
	}
	return s + " " + Printable(unit)
}

// where says where a place is, "" for none. Degrees name their hemisphere; e and n
// are the plan's own coordinates, or offsets from o.
func where(p *validate.Place, o *Origin) string {
	if p == nil {
		return ""
	}
	s := ""
	if p.Lon != nil && p.Lat != nil {
		s = "at " + hemisphere(*p.Lat, 'N', 'S') + " " + hemisphere(*p.Lon, 'E', 'W')
	}
	if p.E == nil || p.N == nil {
		return s
	}
	e, n := strconv.FormatFloat(*p.E, 'f', 2, 64), strconv.FormatFloat(*p.N, 'f', 2, 64)
	switch {
	case o != nil:
		return s + ", " + compass(*p.E, "east", "west") + " " + compass(*p.N, "north", "south") + " of the " + Printable(o.Of)
	case s == "":
		return "at e " + e + " n " + n
	}
	return s + ", e " + e + " n " + n
}

// compass words an offset in metres.
func compass(v float64, positive, negative string) string {
	if v < 0 {
		v, positive = -v, negative
	}
	return strconv.FormatFloat(v, 'f', 2, 64) + " m " + positive
}

func hemisphere(v float64, positive, negative byte) string {
	letter := positive
	if v < 0 {
		v, letter = -v, negative
	}
	return strconv.FormatFloat(v, 'f', 7, 64) + " " + string(letter)
}

// figures writes areas, zone by zone what edges leave uncut, and what was not
// checked.
func (p *Plan) figures(b *strings.Builder) {
	line := func(s string) { b.WriteString(hang(s, "  ", "    ")) }
	if a := p.Areas; a != nil {
		line("areas: zones " + area(a.Zones) + ", keepouts " + area(a.Keepouts) + ", net " + area(a.Net))
	}
	for _, z := range p.Zones {
		if z.HardEdge != nil && *z.HardEdge > 0 && z.Uncut != nil {
			name := z.Name
			if name == "" {
				name = z.Feature
			}
			line(fmt.Sprintf("zone %s: %.1f m along hard edges leave %s uncut", Printable(name), *z.HardEdge, area(z.Uncut)))
		}
	}
	if len(p.Inactive) > 0 {
		line("left out as inactive: " + printables(p.Inactive))
	}
	for _, n := range p.Notes {
		line("note: " + Printable(n))
	}
	for _, n := range p.Warnings {
		s := "read with a warning: " + Printable(n.Message)
		if n.Count > 1 {
			s += fmt.Sprintf(" (%d times)", n.Count)
		}
		line(s)
	}
	// Rules that were not checked for one reason stand together.
	var reasons []string
	byReason := map[string][]string{}
	for _, r := range p.Rules {
		if r.Reason == "" || r.Outcome == string(validate.NotNeeded) {
			continue
		}
		key := "not checked: "
		if r.Outcome != string(validate.Unchecked) {
			key = "checked in part: "
		}
		key += "%s: " + r.Reason
		if byReason[key] == nil {
			reasons = append(reasons, key)
		}
		byReason[key] = append(byReason[key], r.Rule)
	}
	for _, key := range reasons {
		before, reason, _ := strings.Cut(key, "%s")
		line(before + printables(byReason[key]) + Printable(reason))
	}
}

func area(v *float64) string {
	if v == nil {
		return "unknown"
	}
	return strconv.FormatFloat(*v, 'f', 1, 64) + " m2"
}

func printables(list []string) string {
	out := make([]string, len(list))
	for i, s := range list {
		out[i] = Printable(s)
	}
	return strings.Join(out, ", ")
}

// closing writes the totals and what was tested against which limits.
func (s *Set) closing(b *strings.Builder) {
	if s.Interrupted != nil {
		b.WriteString("\n" + hang(s.Interrupted.words(), "", "  "))
	}
	for _, n := range s.Notes {
		b.WriteString("\n" + hang("note: "+Printable(n), "", "  "))
	}
	if len(s.Skipped) > 0 {
		b.WriteString("\n" + hang("note: "+s.skippedWords(), "", "  "))
	}
	t := s.Totals()
	if len(s.Plans) > 0 {
		b.WriteByte('\n')
	}
	if t.Plans != 1 {
		head := count(t.Plans, "plan") + ": " + strconv.Itoa(t.Clean+t.Unchecked) + " without findings, " + strconv.Itoa(t.Findings) + " with findings"
		if t.Unreadable > 0 {
			head += ", " + strconv.Itoa(t.Unreadable) + " could not be read"
		}
		b.WriteString(hang(head+"; "+countWords(Summary{t.Error, t.Warning, t.Note}), "", "  "))
	}
	if t.Plans > 1 {
		o := s.Overview()
		o.text(b)
	}
	b.WriteString(hang(s.Tested(), "", "  "))
}

// skippedWords counts the files that are no plans and names the first of them.
func (s *Set) skippedWords() string {
	const most = 10
	head, names, more := "1 file in the folders is no plan: ", s.Skipped, ""
	if len(names) > 1 {
		head = strconv.Itoa(len(names)) + " files in the folders are no plans: "
	}
	if len(names) > most {
		names, more = names[:most], " and "+strconv.Itoa(len(s.Skipped)-most)+" more"
	}
	return head + printables(names) + more
}

// Tested says which rules were tested on how many plans and against which limits,
// and which of those are defaults and what they stand on. It claims nothing
// beyond that.
func (s *Set) Tested() string {
	tested, all := map[string]int{}, map[string]bool{}
	plans := 0
	low, high, fromDefault := map[string]float64{}, map[string]float64{}, map[string]bool{}
	for i := range s.Plans {
		p := &s.Plans[i]
		if p.Status == Unreadable {
			continue
		}
		plans++
		for _, r := range p.Rules {
			all[r.Rule] = true
			if r.Outcome != string(validate.Unchecked) && r.Outcome != string(validate.NotNeeded) {
				tested[r.Rule]++
			}
		}
		for _, l := range p.Limits {
			if old, ok := low[l.Key]; !ok || l.Value < old {
				low[l.Key] = l.Value
			}
			if old, ok := high[l.Key]; !ok || l.Value > old {
				high[l.Key] = l.Value
			}
		}
		for _, key := range p.FromDefault {
			fromDefault[key] = true
		}
	}
	if plans == 0 {
		return "Nothing was tested: no plan could be read."
	}
	var rules, limits, notes []string
	for _, r := range validate.RulesOf(validate.CommandCheck) {
		switch n := tested[r.Name]; {
		case n == 0:
		case n == plans:
			rules = append(rules, r.Name)
		default:
			rules = append(rules, fmt.Sprintf("%s (%d of %d plans)", r.Name, n, plans))
		}
	}
	bySource := map[string][]string{}
	for _, d := range schema.LimitTable {
		lo, ok := low[d.Key]
		if !ok {
			continue
		}
		s := d.Key + " " + strconv.FormatFloat(lo, 'f', -1, 64)
		if hi := high[d.Key]; hi != lo {
			s += " to " + strconv.FormatFloat(hi, 'f', -1, 64)
		}
		limits = append(limits, s)
		if fromDefault[d.Key] {
			if bySource[d.Source] == nil {
				notes = append(notes, d.Source)
			}
			bySource[d.Source] = append(bySource[d.Source], d.Key)
		}
	}
	out := fmt.Sprintf("Tested %d of %d rules", len(rules), len(all))
	if len(rules) > 0 {
		out += ": " + strings.Join(rules, ", ")
	}
	out += "."
	if len(limits) > 0 {
		out += " Limits: " + strings.Join(limits, ", ") + "."
	}
	for _, source := range notes {
		out += " Defaults (" + source + "): " + strings.Join(bySource[source], ", ") + "."
	}
	return out + " Rules that are not named were not tested."
}

// hang breaks a paragraph into lines of at most 100 columns.
func hang(s, first, rest string) string {
	const width = 100
	var b strings.Builder
	b.WriteString(first)
	column, fresh := len(first), true
	for _, word := range strings.Fields(s) {
		n := utf8.RuneCountInString(word)
		if !fresh && column+1+n > width {
			b.WriteString("\n" + rest)
			column, fresh = len(rest), true
		}
		if !fresh {
			b.WriteByte(' ')
			column++
		}
		b.WriteString(word)
		column += n
		fresh = false
	}
	b.WriteByte('\n')
	return b.String()
}

// Printable returns the text with everything escaped that could change what a
// terminal shows beyond its own cells: control characters (also those past ASCII),
// bidirectional overrides, line and paragraph separators, and bytes that are not
// UTF-8.
func Printable(s string) string {
	clean := true
	for i := 0; i < len(s); i++ {
		if s[i] < 0x20 || s[i] >= 0x7f {
			clean = false
			break
		}
	}
	if clean {
		return s
	}
	var b strings.Builder
	for i := 0; i < len(s); {
		r, size := utf8.DecodeRuneInString(s[i:])
		switch {
		case r == utf8.RuneError && size == 1:
			fmt.Fprintf(&b, "\\x%02x", s[i])
		case r == '\n':
			b.WriteString("\\n")
		case r == '\t':
			b.WriteString("\\t")
		case r == '\r':
			b.WriteString("\\r")
		case r < 0x100 && unicode.IsControl(r):
			fmt.Fprintf(&b, "\\x%02x", r)
		case !shown(r):
			fmt.Fprintf(&b, "\\u%04x", r)
		default:
			b.WriteString(s[i : i+size])
		}
		i += size
	}
	return b.String()
}

// shown reports whether a character shows as itself and nothing else.
func shown(r rune) bool {
	return unicode.IsPrint(r) && !unicode.Is(unicode.Cf, r) || unicode.Is(unicode.Zs, r)
}
