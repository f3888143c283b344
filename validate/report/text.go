// The text report: for people, at a desk or on a phone in the rain.

package report

import (
	"fmt"
	"io"
	"math"
	"slices"
	"sort"
	"strconv"
	"strings"
	"unicode"
	"unicode/utf8"

	"swardline/schema"
	"swardline/validate"
)

// Text writes the report for people. Of one plan, and of every plan when all is
// asked for, it says first what was not checked and what that would take, then
// the findings, the gravest first, with rule, feature, what was measured
// against which limit, and where; then the areas. Of a folder it says what was
// not checked on how many plans, then a line a plan, the worst first. It closes
// with the totals and with how many rules were checked against which limits.
// Names from files are shown with their control characters escaped.
func (s *Set) Text(w io.Writer) error {
	var b strings.Builder
	s.goneText(&b)
	long := s.Full || len(s.Plans) < 2
	if !long {
		s.notCheckedText(&b)
	}
	order := make([]*Plan, len(s.Plans))
	for i := range s.Plans {
		order[i] = &s.Plans[i]
	}
	sort.SliceStable(order, func(i, j int) bool { return worse(order[i].ranked(), order[j].ranked()) })
	for i, p := range order {
		switch {
		case !long:
			p.line(&b)
		default:
			if i > 0 {
				b.WriteByte('\n')
			}
			p.text(&b)
		}
		if b.Len() > 1<<16 {
			if _, err := io.WriteString(w, b.String()); err != nil {
				return err
			}
			b.Reset()
		}
	}
	s.closing(&b, long)
	_, err := io.WriteString(w, b.String())
	return err
}

// Summary writes the totals alone: what is gone, what was not checked, how the
// plans fared, and against what they were held.
func (s *Set) Summary(w io.Writer) error {
	var b strings.Builder
	s.goneText(&b)
	s.notCheckedText(&b)
	s.closing(&b, true)
	_, err := io.WriteString(w, strings.TrimLeft(b.String(), "\n"))
	return err
}

// goneText says which plans of the earlier report are not there any more.
func (s *Set) goneText(b *strings.Builder) {
	if len(s.Gone) == 0 {
		return
	}
	b.WriteString(hang(goneWords(s.Gone), "", "  ") + "\n")
}

func goneWords(paths []string) string {
	return count(len(paths), "plan") + " of the earlier report not there any more: " + printables(paths)
}

// notCheckedText says of a folder what was not checked, and why.
func (s *Set) notCheckedText(b *strings.Builder) {
	o := s.Overview()
	if len(o.NotChecked) == 0 {
		return
	}
	plans := o.ByWorst.plans() - o.ByWorst.Unreadable
	b.WriteString("Not checked:\n")
	for i := 0; i < len(o.NotChecked); i++ {
		x := &o.NotChecked[i]
		rules := []string{x.Rule}
		for k := i + 1; k < len(o.NotChecked); k++ { // what lacks the same on as many plans stands together
			if y := &o.NotChecked[k]; y.Plans == x.Plans && y.Reason == x.Reason {
				rules = append(rules, y.Rule)
				o.NotChecked = slices.Delete(o.NotChecked, k, k+1)
				k--
			}
		}
		b.WriteString(hang(fmt.Sprintf("%s on %d of %s: %s", printables(rules), x.Plans, count(plans, "plan"), Printable(x.Reason)), "  ", "    "))
	}
	b.WriteByte('\n')
}

// line says in one line how the plan fared.
func (p *Plan) line(b *strings.Builder) {
	b.WriteString(p.head() + "\n")
}

// head names the plan and says how it fared.
func (p *Plan) head() string {
	s := Printable(p.Path)
	if p.Name != "" {
		s += " (" + Printable(p.Name) + ")"
	}
	s += ": "
	if p.Status == Unreadable {
		return s + "could not be read: " + Printable(p.Error)
	}
	s += countWords(p.Summary)
	if n := p.openRules(); n > 0 {
		s += "; " + count(n, "rule") + " not checked"
	}
	if n := len(p.Traced); n > 0 {
		s += "; drawn from a picture"
	}
	if p.carried() {
		s += "; carried over from the earlier report, because nothing changed"
	}
	return s
}

// openRules counts the rules that apply and were not checked, in whole or in
// part.
func (p *Plan) openRules() int {
	n := 0
	for i := range p.Rules {
		if p.Rules[i].open() {
			n++
		}
	}
	return n
}

func (p *Plan) text(b *strings.Builder) {
	b.WriteString(p.head() + "\n")
	if p.Status == Unreadable {
		return
	}
	for _, line := range p.doubts() {
		b.WriteString(hang(line, "  ", "    "))
	}
	list := make([]*Finding, len(p.Findings))
	for i := range p.Findings {
		list[i] = &p.Findings[i]
	}
	slices.SortStableFunc(list, func(a, b *Finding) int {
		return validate.Severity(a.Severity).Rank() - validate.Severity(b.Severity).Rank()
	})
	for _, g := range grouped(list) {
		g.first.text(b, p)
		if words := g.words(); words != "" {
			b.WriteString(hang(words, "           ", "           "))
		}
	}
	p.figures(b)
}

// group is findings that say the same of several features.
type group struct {
	first *Finding
	more  []*Finding
}

// grouped puts findings with one rule, severity and message together, in the
// order of their first.
func grouped(list []*Finding) []*group {
	var out []*group
	type key struct{ rule, severity, message string }
	at := map[key]*group{}
	for _, f := range list {
		k := key{f.Rule, f.Severity, f.Message}
		if g := at[k]; g != nil {
			g.more = append(g.more, f)
			continue
		}
		at[k] = &group{first: f}
		out = append(out, at[k])
	}
	return out
}

// words counts the findings of the group and names the other features, "" for a
// finding that stands alone.
func (g *group) words() string {
	if len(g.more) == 0 {
		return ""
	}
	s := strconv.Itoa(len(g.more)+1) + " times the same"
	const most = 10
	var names []string
	for _, f := range g.more {
		names = append(names, f.Names...)
	}
	if len(names) == 0 {
		return s
	}
	more := ""
	if len(names) > most {
		names, more = names[:most], fmt.Sprintf(" and %d more", len(names)-most)
	}
	return s + ", also: " + printables(names) + more
}

// doubts are what stands before the findings: what was not checked and what it
// was drawn from. Rules that were not checked for one reason stand together.
func (p *Plan) doubts() []string {
	var reasons, out []string
	byReason := map[string][]string{}
	for i := range p.Rules {
		r := &p.Rules[i]
		if !r.open() {
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
		out = append(out, before+printables(byReason[key])+Printable(reason))
	}
	if len(p.Traced) > 0 {
		out = append(out, tracedWords(p.Traced))
	}
	return out
}

// tracedWords says what was drawn from a picture.
func tracedWords(features []string) string {
	return "drawn from a picture, not surveyed: " + printables(features)
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
		parts = append(parts, "file line "+strconv.Itoa(f.Source.Line))
	}
	if f.Mendable {
		parts = append(parts, "fixable")
	}
	return strings.Join(parts, "; ")
}

// measure says what was measured against which limit. A crossing has no limit
// that a machine's manual could give: there is none, or there is a fault.
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

// where says where a place is, "" for none. Degrees name their hemisphere; e
// and n are the plan's own coordinates, or offsets from o.
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

// figures writes areas, zone by zone what edges leave uncut, and what was
// assumed.
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
		line("off: " + printables(p.Inactive))
	}
	if len(p.HeldHarmless) > 0 {
		line("not told, since known_words of the limits file holds it harmless: " + printables(p.HeldHarmless))
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

// closing writes the totals and how much was checked against which limits;
// worst names the worst plans.
func (s *Set) closing(b *strings.Builder, worst bool) {
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
		head := count(t.Plans, "plan") + ": " + strconv.Itoa(t.Findings) + " with findings, " + strconv.Itoa(t.Clean+t.Unchecked) + " with no findings"
		if t.Unchecked > 0 {
			head += " (" + strconv.Itoa(t.Unchecked) + " of them not checked in full)"
		}
		if t.Unreadable > 0 {
			head += ", " + strconv.Itoa(t.Unreadable) + " could not be read"
		}
		b.WriteString(hang(head+"; "+countWords(Summary{t.Error, t.Warning, t.Note}), "", "  "))
	}
	if t.Plans > 1 {
		o := s.Overview()
		o.text(b, worst)
	}
	b.WriteString(hang(s.Tested(), "", "  "))
}

// skippedWords counts the files that are no plans and names the first of them.
func (s *Set) skippedWords() string {
	head := "1 file in the folders is no plan: "
	if len(s.Skipped) > 1 {
		head = strconv.Itoa(len(s.Skipped)) + " files in the folders are no plans: "
	}
	return head + clippedList(s.Skipped)
}

// Tested says how many rules were checked, on how many plans and against which
// limits: those that somebody set with their values, those at their default by
// their number and by what the defaults stand on. With s.Full it names every
// rule and every value. It claims nothing beyond that.
func (s *Set) Tested() string {
	t := s.tally()
	if t.plans == 0 {
		return "Nothing was checked: no plan could be read."
	}
	out := fmt.Sprintf("Checked %d of %d rules", t.whole, t.rules)
	if t.unneeded > 0 {
		out += fmt.Sprintf("; %d apply to nothing here", t.unneeded)
	}
	if t.plans > 1 {
		out += " (a rule counts where every plan was held to it)"
	}
	if s.Full && len(t.names) > 0 {
		out += ": " + strings.Join(t.names, ", ")
	}
	out += "."
	if len(t.set) > 0 {
		out += " Limits that were set: " + strings.Join(t.set, ", ") + "."
	}
	if len(t.harmless) > 0 {
		out += fmt.Sprintf(" Words that known_words of the limits file kept from being told, in %s: %s.", count(t.withHarmless, "plan"), clippedList(t.harmless))
	}
	n := 0
	for _, source := range t.sources {
		n += len(t.bySource[source])
	}
	if n > 0 {
		out += " " + count(n, "limit") + " at the default"
		for i, source := range t.sources {
			list := t.bySource[source]
			switch {
			case s.Full:
				out += separator(i, ":", ";") + " " + strings.Join(list, ", ")
			case len(t.sources) > 1:
				out += separator(i, ":", ",") + " " + strconv.Itoa(len(list))
			}
			out += " (" + fromManual(source) + ")"
		}
		out += "."
	}
	if s.Full {
		return out + " Rules that are not named were not checked."
	}
	if s.FullWord != "" {
		out += " " + s.FullWord + " names every rule and limit."
	}
	return out
}

func separator(i int, first, rest string) string {
	if i == 0 {
		return first
	}
	return rest
}

// fromManual adds to what a number stands on that the manual knows better.
func fromManual(source string) string {
	const manual = "set it from the machine's manual"
	if strings.Contains(source, "no source") && !strings.Contains(source, manual) {
		return source + "; " + manual
	}
	return source
}

// held is what the readable plans of a set were held against.
type held struct {
	plans, rules, whole, unneeded int
	names                         []string // of rules that were checked, on how many plans
	set                           []string // limits that somebody set, in words
	sources                       []string // of defaults, in the order of the table
	bySource                      map[string][]string
	harmless                      []string // words held harmless, with where the first stands
	withHarmless                  int      // plans that have such
}

// clippedList names the first of a list, and counts the others.
func clippedList(list []string) string {
	const most = 10
	if len(list) <= most {
		return printables(list)
	}
	return printables(list[:most]) + fmt.Sprintf(" and %d more", len(list)-most)
}

func (s *Set) tally() held {
	t := held{bySource: map[string][]string{}}
	checked, unneeded, all := map[string]int{}, map[string]int{}, []string{}
	known := map[string]bool{}
	values := map[string][]LimitUse{}
	for i := range s.Plans {
		p := &s.Plans[i]
		if p.Status == Unreadable {
			continue
		}
		t.plans++
		for k := range p.Rules {
			r := &p.Rules[k]
			if !known[r.Rule] {
				known[r.Rule] = true
				all = append(all, r.Rule)
			}
			switch {
			case r.Outcome == string(validate.NotNeeded):
				unneeded[r.Rule]++
			case r.Outcome != string(validate.Unchecked):
				checked[r.Rule]++
			}
		}
		for _, l := range p.Limits {
			values[l.Name] = append(values[l.Name], l)
		}
		if len(p.HeldHarmless) > 0 {
			t.withHarmless++
		}
		for _, w := range p.HeldHarmless {
			if !slices.Contains(t.harmless, w) {
				t.harmless = append(t.harmless, w)
			}
		}
	}
	t.rules = len(all)
	for _, name := range all {
		switch n := checked[name]; {
		case unneeded[name] == t.plans:
			t.unneeded++
		case n == 0:
		case n+unneeded[name] == t.plans:
			t.whole++
			t.names = append(t.names, Printable(name))
		default:
			t.names = append(t.names, fmt.Sprintf("%s (%d of %d plans)", Printable(name), n, t.plans))
		}
	}
	for _, d := range schema.LimitTable {
		byDefault := false
		var words []string
		for _, l := range values[d.Key] {
			if l.From == string(schema.OriginDefault) {
				byDefault = true
				continue
			}
			from := "from the " + l.From
			if l.Feature != "" {
				from = "from " + Printable(l.Feature)
			}
			word := d.Key + " " + strconv.FormatFloat(l.Value, 'f', -1, 64) + " " + from
			if !slices.Contains(words, word) {
				words = append(words, word)
			}
		}
		t.set = append(t.set, words...)
		if byDefault {
			if t.bySource[d.Source] == nil {
				t.sources = append(t.sources, d.Source)
			}
			t.bySource[d.Source] = append(t.bySource[d.Source], d.Key+" "+strconv.FormatFloat(d.Default, 'f', -1, 64))
		}
	}
	return t
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
// terminal shows beyond its own cells: control characters (also those past
// ASCII), bidirectional overrides, line and paragraph separators, and bytes
// that are not UTF-8.
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
