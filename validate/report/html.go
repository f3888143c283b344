// Pages for browsers: one page with everything, or an index and a page a plan.

package report

import (
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"html/template"
	"io"
	"strings"
	"sync"

	"swardline/validate"
)

// PagesFolder is the folder beside the index that the plans' pages are in.
const PagesFolder = "plans"

// LiveFolder is the folder beside it of the live pages, each named as the
// plan's page.
const LiveFolder = "live"

// IndexName is the file name of the index.
const IndexName = "index.html"

// PageName returns the file name of a plan's page: what can be read of the
// path, then 128 bits of its SHA-256 sum. It holds lower case letters a to z,
// digits and hyphens before its one ending, so that it names the same file
// everywhere, leaves no folder and is no reserved name; two paths do not share
// one, whatever their letters. It depends on the path alone: the page of a plan
// stays where it is from run to run.
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

// Picture is a drawing for a page: an SVG element, made by whoever can draw,
// and the words that stand below it.
type Picture struct {
	ID      string
	Picture template.HTML
	Words   string
	// Groups are the plans of signs that stand for several.
	Groups []Group
}

// Group are the plans of one sign, which leads to the ID.
type Group struct {
	ID    string
	Plans []Listed
}

// Listed is one of them: a relative link to its page, its name, and Plan.Worst.
type Listed struct{ Link, Name, Worst string }

// Sites are the drawn parts of an index.
type Sites struct {
	// Maps show the sites: first all of them, under the ID "sites", then closer
	// views.
	Maps []Picture
	// Symbols are the signs of the maps, by Plan.Worst.
	Symbols map[string]template.HTML
	// Live gives the relative link from the index to the live page of the plan
	// at an index, "" where there is none.
	Live func(i int) string
}

// Drawn are the drawn parts of a plan's page.
type Drawn struct {
	// Map shows the plan, nil where it cannot be drawn. On it the finding at
	// index k has the identifier at-N, N being k+1, and leads to finding-N;
	// OnMap says which do.
	Map   *Picture
	OnMap func(k int) bool
	// Live is the relative link from the page to the live page; NoLive says
	// where that is to be had instead.
	Live, NoLive string
}

// Worst names the gravest of a plan, the first that holds of unreadable, error,
// warning, note, unchecked and clean.
func (p *Plan) Worst() string {
	switch {
	case p.Status == Unreadable:
		return string(Unreadable)
	case p.Summary.Error > 0:
		return string(validate.Error)
	case p.Summary.Warning > 0:
		return string(validate.Warning)
	case p.Summary.Note > 0:
		return string(validate.Note)
	case p.Status == Unchecked:
		return string(Unchecked)
	}
	return string(Clean)
}

// worsts are what Worst says, the gravest first, with the words of a key.
var worsts = []struct{ name, words string }{
	{string(Unreadable), "unreadable"}, {string(validate.Error), "errors"}, {string(validate.Warning), "warnings"},
	{string(validate.Note), "notes"}, {string(Unchecked), "not checked in full"}, {string(Clean), "no findings"},
}

var (
	onePage   = sync.OnceValue(func() *template.Template { return pageOf(`{{template "one" .}}`) })
	indexPage = sync.OnceValue(func() *template.Template { return pageOf(`{{template "summary" .}}`) })
	planPage  = sync.OnceValue(func() *template.Template { return pageOf(`{{template "page" .}}`) })
)

// HTML writes one page that needs no other file: the summary, a table of the
// plans, each linked to its findings further down. All text of plans is
// escaped.
func (s *Set) HTML(w io.Writer) error {
	body := struct {
		Index *summaryView
		Plans []*planView
	}{s.summary(nil, func(i int) string { return fmt.Sprintf("#plan-%d", i+1) }), make([]*planView, len(s.Plans))}
	for i := range s.Plans {
		body.Plans[i] = &planView{Plan: &s.Plans[i], Number: i + 1}
	}
	return writePage(w, onePage(), &shell{Title: "Plans checked", Sorts: true, Body: &body, Foot: s.foot()})
}

// Index writes the summary and a table of the plans, each linked to its page,
// PagesFolder/PageName, by a relative link. sites may be nil.
func (s *Set) Index(w io.Writer, sites *Sites) error {
	body := s.summary(sites, func(i int) string { return PagesFolder + "/" + PageName(s.Plans[i].Path) })
	return writePage(w, indexPage(), &shell{Title: "Plans checked", Sorts: true, Body: body, Foot: s.foot()})
}

// Page writes the page of the plan at index i. d may be nil.
func (s *Set) Page(w io.Writer, i int, d *Drawn) error {
	p := &s.Plans[i]
	if d == nil {
		d = &Drawn{}
	}
	one := Set{Plans: s.Plans[i : i+1], Caution: s.Caution, Tool: s.Tool}
	return writePage(w, planPage(), &shell{Title: p.Path, Body: &planView{Plan: p, Number: i + 1, drawn: d}, Foot: one.foot()})
}

// foot says what was tested and repeats the caution.
func (s *Set) foot() []string {
	out := []string{s.Tested()}
	if s.Caution != "" {
		out = append(out, strings.Join(strings.Fields(s.Caution), " "))
	}
	return append(out, s.Tool.Name+" "+s.Tool.Version)
}

// summaryView is what the summary of a set shows.
type summaryView struct {
	Gone, Interrupted string
	Lines             []string
	Worst             []worstView
	WorstWords        string
	Rules             []RuleTotal
	Rows              []rowView
	Skipped           []string
	SkippedWords      string
	// Pages is set for the index of a folder of pages, which has maps.
	Pages   bool
	Maps    []Picture
	Symbols map[string]template.HTML
	Key     []keyView
	Missing string
}

type worstView struct{ Link, Path, Words string }

type keyView struct {
	Worst, Words string
	Plans        int
}

// rowView is a row of the table of plans.
type rowView struct {
	Number           int
	Link, Path, Name string
	Worst, Status    string
	Rank, Open       int
	Error, Warning   int
	Note             int
	Zones, Net, Live string
}

func (s *Set) summary(sites *Sites, link func(i int) string) *summaryView {
	t, o := s.Totals(), s.Overview()
	v := &summaryView{Rules: o.Rules, Skipped: s.Skipped}
	if len(s.Gone) > 0 {
		v.Gone = goneWords(s.Gone)
	}
	if s.Interrupted != nil {
		v.Interrupted = s.Interrupted.words()
	}
	v.Lines = append(v.Lines, count(t.Plans, "plan")+": "+o.ByWorst.words()+"; "+countWords(Summary{t.Error, t.Warning, t.Note}))
	if o.Carried > 0 {
		v.Lines = append(v.Lines, count(o.Carried, "plan")+" carried over from the earlier report, because nothing changed")
	}
	v.Lines = append(append(v.Lines, "Total area: "+o.Areas.words()), s.Notes...)
	index := make(map[string]int, len(s.Plans))
	for i := range s.Plans {
		index[s.Plans[i].Path] = i
	}
	v.WorstWords = o.worstWords()
	for i := range o.Worst {
		p := &o.Worst[i]
		v.Worst = append(v.Worst, worstView{link(index[p.Path]), p.Path, p.words()})
	}
	v.SkippedWords = count(len(s.Skipped), "file") + " in the folders:"
	if sites != nil {
		v.Pages, v.Maps, v.Symbols = true, sites.Maps, sites.Symbols
		v.Key, v.Missing = s.key(), s.missing()
	}
	v.Rows = make([]rowView, len(s.Plans))
	for i := range s.Plans {
		v.Rows[i] = s.Plans[i].row(i, link(i))
		if sites != nil && sites.Live != nil {
			v.Rows[i].Live = sites.Live(i)
		}
	}
	return v
}

// key counts the plans of each sign.
func (s *Set) key() []keyView {
	plans := map[string]int{}
	for i := range s.Plans {
		plans[s.Plans[i].Worst()]++
	}
	var out []keyView
	for _, x := range worsts {
		if plans[x.name] > 0 {
			out = append(out, keyView{x.name, x.words, plans[x.name]})
		}
	}
	return out
}

// missing says how many plans are not on the map, "" for none.
func (s *Set) missing() string {
	unread, nowhere := 0, 0
	for i := range s.Plans {
		switch p := &s.Plans[i]; {
		case p.Middle != nil:
		case p.Status == Unreadable:
			unread++
		default:
			nowhere++
		}
	}
	var parts []string
	if unread > 0 {
		parts = append(parts, count(unread, "plan")+" that could not be read")
	}
	if nowhere > 0 {
		parts = append(parts, count(nowhere, "plan")+" whose place on the earth is not known")
	}
	if len(parts) == 0 {
		return ""
	}
	return "Not on the map, but in the table: " + strings.Join(parts, ", ") + "."
}

func (p *Plan) row(i int, link string) rowView {
	v := rowView{Number: i + 1, Link: link, Path: p.Path, Name: p.Name, Worst: p.Worst(), Status: string(p.Status), Open: p.openRules(), Error: p.Summary.Error, Warning: p.Summary.Warning, Note: p.Summary.Note}
	for k := range worsts {
		if worsts[k].name == v.Worst {
			v.Rank = k
		}
	}
	if p.carried() {
		v.Status += ", carried over"
	}
	if p.Areas != nil {
		v.Zones, v.Net = strings.TrimSuffix(area(p.Areas.Zones), " m2"), strings.TrimSuffix(area(p.Areas.Net), " m2")
	}
	return v
}

// planView is what there is to say of one plan.
type planView struct {
	*Plan
	Number int
	drawn  *Drawn
}

// Unreadable reports whether the file could not be read.
func (v *planView) Unreadable() bool { return v.Status == Unreadable }

// Carried reports whether the entry is that of an earlier report.
func (v *planView) Carried() bool { return v.carried() }

// Counts are the findings by severity in words.
func (v *planView) Counts() string { return countWords(v.Summary) }

// Doubts are what was not checked, each made printable.
func (v *planView) Doubts() []string { return v.doubts() }

// Map is the plan drawn, nil for a page without it.
func (v *planView) Map() *Picture {
	if v.drawn == nil {
		return nil
	}
	return v.drawn.Map
}

// Live is the link to the live page.
func (v *planView) Live() string { return v.drawn.Live }

// NoLive says where a live page is to be had instead.
func (v *planView) NoLive() string { return v.drawn.NoLive }

// findingView is a row of the table of findings.
type findingView struct {
	Number                         int
	OnMap                          bool
	Class                          string
	Severity, Rule, Names, Message string
	Figures                        string
}

// Findings are the findings by severity, the gravest first.
func (v *planView) Findings() []findingView {
	var out []findingView
	for _, severity := range []validate.Severity{validate.Error, validate.Warning, validate.Note} {
		for k := range v.Plan.Findings {
			f := &v.Plan.Findings[k]
			if validate.Severity(f.Severity).Rank() != severity.Rank() {
				continue
			}
			out = append(out, findingView{
				Number: k + 1, OnMap: v.drawn != nil && v.drawn.OnMap != nil && v.drawn.OnMap(k), Class: string(severity),
				Severity: f.Severity, Rule: f.Rule, Names: strings.Join(f.Names, ", "), Message: f.Message, Figures: f.figures(v.Plan),
			})
		}
	}
	return out
}

// Lines are the plan's figures and notes, each made printable.
func (v *planView) Lines() []string {
	var b strings.Builder
	v.figures(&b)
	if b.Len() == 0 {
		return nil
	}
	lines := strings.Split(strings.TrimSuffix(strings.ReplaceAll(b.String(), "\n    ", " "), "\n"), "\n")
	for i := range lines {
		lines[i] = strings.TrimSpace(lines[i])
	}
	return lines
}
