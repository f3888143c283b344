// Pages for browsers: one page with everything, or an index and a page a plan.

package report

import (
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"html"
	"io"
	"strings"

	"swardline/validate"
)

// PagesFolder is the folder beside the index that the plans' pages are in.
const PagesFolder = "plans"

// IndexName is the file name of the index.
const IndexName = "index.html"

// PageName returns the file name of a plan's page: what can be read of the path,
// then 128 bits of its SHA-256 sum. It holds lower case letters a to z, digits and
// hyphens before its one ending, so that it names the same file everywhere, leaves
// no folder and is no reserved name; two paths do not share one, whatever their
// letters. It depends on the path alone: the page of a plan stays where it is from
// run to run.
func PageName(path string) string {
	const longest = 60
	var b strings.Builder
	for _, r := range strings.ToLower(path) {
		switch {
		case r >= 'a' && r <= 'z' || r >= '0' && r <= '9':
			b.WriteRune(r)
		case b.Len() > 0 && !strings.HasSuffix(b.String(), "-"):
			b.WriteByte('-')
		}
	}
	readable := b.String()
	if len(readable) > longest { // the end of a path says more than its start
		readable = readable[len(readable)-longest:]
	}
	readable = strings.Trim(readable, "-")
	if readable == "" {
		readable = "plan"
	}
	sum := sha256.Sum256([]byte(path))
	return readable + "-" + hex.EncodeToString(sum[:16]) + ".html"
}

// HTML writes one page that needs no other file: the summary, a table of the plans,
// each linked to its findings further down. All text of plans is escaped.
func (s *Set) HTML(w io.Writer) error {
	var b strings.Builder
	s.indexBody(&b, func(i int) string { return fmt.Sprintf("#plan-%d", i+1) })
	for i := range s.Plans {
		fmt.Fprintf(&b, "<section id=\"plan-%d\">\n", i+1)
		s.Plans[i].section(&b)
		b.WriteString("</section>\n")
		if b.Len() > 1<<16 {
			if _, err := io.WriteString(w, b.String()); err != nil {
				return err
			}
			b.Reset()
		}
	}
	s.pageEnd(&b)
	_, err := io.WriteString(w, b.String())
	return err
}

// Index writes the summary and a table of the plans, each linked to its page,
// PagesFolder/PageName, by a relative link.
func (s *Set) Index(w io.Writer) error {
	var b strings.Builder
	s.indexBody(&b, func(i int) string { return PagesFolder + "/" + PageName(s.Plans[i].Path) })
	s.pageEnd(&b)
	_, err := io.WriteString(w, b.String())
	return err
}

// Page writes the page of the plan at index i.
func (s *Set) Page(w io.Writer, i int) error {
	var b strings.Builder
	p := &s.Plans[i]
	pageStart(&b, p.Path)
	b.WriteString("<p><a href=\"../" + IndexName + "\">All plans</a></p>\n")
	p.section(&b)
	one := Set{Plans: s.Plans[i : i+1], Caution: s.Caution, Tool: s.Tool}
	one.pageEnd(&b)
	_, err := io.WriteString(w, b.String())
	return err
}

// pageStart opens a page. The policy forbids scripts and everything from elsewhere,
// so that even text that got through could load nothing.
func pageStart(b *strings.Builder, title string) {
	b.WriteString("<!DOCTYPE html>\n<html lang=\"en\"><head><meta charset=\"utf-8\">" +
		"<meta http-equiv=\"Content-Security-Policy\" content=\"default-src 'none'; style-src 'unsafe-inline'\">" +
		"<meta name=\"viewport\" content=\"width=device-width\"><title>" + pageText(title) + "</title>\n" +
		"<style>body{font:1em sans-serif;margin:2em;max-width:75em}table{border-collapse:collapse}td,th{text-align:left;vertical-align:top;padding:.2em .8em;border-bottom:1px solid #bbb}" +
		"td.n{text-align:right}.error,.unreadable{color:#a00000}.warning{color:#7a4b00}footer{margin-top:2em;font-size:.9em}</style></head><body>\n")
}

// pageEnd says what was tested, repeats the caution and closes the page.
func (s *Set) pageEnd(b *strings.Builder) {
	b.WriteString("<footer>\n")
	paragraph(b, s.Tested())
	if s.Caution != "" {
		paragraph(b, strings.Join(strings.Fields(s.Caution), " "))
	}
	paragraph(b, s.Tool.Name+" "+s.Tool.Version)
	b.WriteString("</footer>\n</body></html>\n")
}

func paragraph(b *strings.Builder, s string) { b.WriteString("<p>" + pageText(s) + "</p>\n") }

// indexBody opens a page with the summary and the table of the plans.
func (s *Set) indexBody(b *strings.Builder, href func(i int) string) {
	pageStart(b, "Plans checked")
	t, o := s.Totals(), s.Overview()
	b.WriteString("<h1>Plans checked</h1>\n")
	if len(s.Gone) > 0 {
		b.WriteString("<p class=\"error\"><strong>" + html.EscapeString(goneWords(s.Gone)) + "</strong></p>\n")
	}
	if s.Interrupted != nil {
		b.WriteString("<p class=\"error\"><strong>" + pageText(s.Interrupted.words()) + "</strong></p>\n")
	}
	paragraph(b, count(t.Plans, "plan")+": "+o.ByWorst.words()+"; "+countWords(Summary{t.Error, t.Warning, t.Note}))
	if o.Carried > 0 {
		paragraph(b, count(o.Carried, "plan")+" carried over from the earlier report, because nothing changed")
	}
	paragraph(b, "Total area: "+o.Areas.words())
	for _, n := range s.Notes {
		paragraph(b, n)
	}
	index := make(map[string]int, len(s.Plans))
	for i := range s.Plans {
		index[s.Plans[i].Path] = i
	}
	if len(o.Worst) > 0 {
		b.WriteString("<h2>Worst</h2>\n")
		paragraph(b, o.worstWords())
		b.WriteString("<ol>\n")
		for i := range o.Worst {
			p := &o.Worst[i]
			fmt.Fprintf(b, "<li><a href=\"%s\">%s</a>: %s</li>\n", href(index[p.Path]), pageText(p.Path), pageText(p.words()))
		}
		b.WriteString("</ol>\n")
	}
	if len(o.Rules) > 0 {
		b.WriteString("<h2>Rules</h2>\n<table><tr><th>Rule</th><th>Gravest</th><th>Findings</th><th>Plans</th></tr>\n")
		for _, r := range o.Rules {
			fmt.Fprintf(b, "<tr><td>%s</td><td>%s</td><td class=\"n\">%d</td><td class=\"n\">%d</td></tr>\n", pageText(r.Rule), pageText(r.Severity), r.Findings, r.Plans)
		}
		b.WriteString("</table>\n")
	}
	b.WriteString("<h2>Plans</h2>\n<table><tr><th>Plan</th><th>Site</th><th>Status</th><th>Not checked</th><th>Errors</th><th>Warnings</th><th>Notes</th><th>Zones m2</th><th>Net m2</th></tr>\n")
	for i := range s.Plans {
		p := &s.Plans[i]
		status, zones, net := string(p.Status), "", ""
		if p.carried() {
			status += ", carried over"
		}
		if p.Areas != nil {
			zones, net = strings.TrimSuffix(area(p.Areas.Zones), " m2"), strings.TrimSuffix(area(p.Areas.Net), " m2")
		}
		fmt.Fprintf(b, "<tr><td><a href=\"%s\">%s</a></td><td>%s</td><td>%s</td><td class=\"n\">%d</td><td class=\"n\">%d</td><td class=\"n\">%d</td><td class=\"n\">%d</td><td class=\"n\">%s</td><td class=\"n\">%s</td></tr>\n",
			href(i), pageText(p.Path), pageText(p.Name), pageText(status), p.openRules(), p.Summary.Error, p.Summary.Warning, p.Summary.Note, zones, net)
	}
	b.WriteString("</table>\n")
	if len(s.Skipped) > 0 {
		b.WriteString("<h2>No plans</h2>\n")
		paragraph(b, count(len(s.Skipped), "file")+" in the folders:")
		b.WriteString("<ul>\n")
		for _, path := range s.Skipped {
			b.WriteString("<li>" + pageText(path) + "</li>\n")
		}
		b.WriteString("</ul>\n")
	}
}

// section writes what there is to say of one plan.
func (p *Plan) section(b *strings.Builder) {
	b.WriteString("<h2>" + pageText(p.Path) + "</h2>\n")
	if p.Name != "" {
		paragraph(b, p.Name)
	}
	if p.Status == Unreadable {
		b.WriteString("<p class=\"unreadable\">Could not be read: " + pageText(p.Error) + "</p>\n")
		return
	}
	paragraph(b, countWords(p.Summary))
	if p.carried() {
		paragraph(b, "Carried over from the earlier report, because nothing changed.")
	}
	if doubts := p.doubts(); len(doubts) > 0 {
		b.WriteString("<ul class=\"open\">\n")
		for _, line := range doubts {
			b.WriteString("<li>" + html.EscapeString(line) + "</li>\n") // doubts has made it printable
		}
		b.WriteString("</ul>\n")
	}
	if len(p.Findings) > 0 {
		b.WriteString("<table><tr><th>Severity</th><th>Rule</th><th>Features</th><th>Finding</th><th>Figures and place</th></tr>\n")
		for _, severity := range []validate.Severity{validate.Error, validate.Warning, validate.Note} {
			for k := range p.Findings {
				f := &p.Findings[k]
				if validate.Severity(f.Severity).Rank() != severity.Rank() {
					continue
				}
				fmt.Fprintf(b, "<tr><td class=\"%s\">%s</td><td>%s</td><td>%s</td><td>%s</td><td>%s</td></tr>\n", severity,
					pageText(f.Severity), pageText(f.Rule), pageText(strings.Join(f.Names, ", ")), pageText(f.Message), pageText(f.figures(p)))
			}
		}
		b.WriteString("</table>\n")
	}
	var lines strings.Builder
	p.figures(&lines)
	if lines.Len() > 0 {
		b.WriteString("<ul>\n")
		for _, line := range strings.Split(strings.TrimSuffix(strings.ReplaceAll(lines.String(), "\n    ", " "), "\n"), "\n") {
			b.WriteString("<li>" + html.EscapeString(strings.TrimSpace(line)) + "</li>\n") // figures has made it printable
		}
		b.WriteString("</ul>\n")
	}
}

// pageText escapes text for a page, and what a terminal would not show as it is too:
// HTML forbids control characters, and a change of direction can make a name read as
// another.
func pageText(s string) string { return html.EscapeString(Printable(s)) }
