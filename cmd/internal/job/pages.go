// The pages of a folder: an index with a map of all sites, a page a plan with
// the plan drawn, and live pages.

package job

import (
	"bytes"
	"html/template"
	"io"
	"math"
	"path"
	"path/filepath"
	"strings"
	"sync"

	"github.com/paulmach/orb"

	"swardline/convert/sheet"
	"swardline/schema"
	"swardline/validate"
	"swardline/validate/report"
)

// The choices of live pages.
const (
	LiveAuto = "auto" // for folders of at most LiveMost plans
	LiveAll  = "all"
	LiveNone = "none"
)

// LiveMost is up to how many plans each gets a live page unless asked for: a
// page has its own script, so that a thousand of them are some hundred
// megabytes.
const LiveMost = 500

// pages writes the pages of one check. A nil one writes none.
type pages struct {
	folder string
	live   bool

	mu   sync.Mutex
	has  map[string]bool // paths with a live page
	fail error           // the first
}

func (j *Job) newPages(o *CheckOptions) (*pages, error) {
	p := &pages{folder: o.Pages, has: map[string]bool{}}
	switch o.Live {
	case "", LiveAuto:
		p.live = len(o.Files) <= LiveMost
	case LiveAll:
		p.live = true
	case LiveNone:
	default:
		return nil, Refuse("", "%s is auto, all or none, not %q", j.option("live-pages"), o.Live)
	}
	if o.Pages == "" {
		return nil, nil
	}
	return p, nil
}

// write keeps the first error, which ends the check once all plans are done.
func (p *pages) write(j *Job, name string, fill func(io.Writer) error) {
	var b bytes.Buffer
	err := fill(&b)
	p.mu.Lock()
	defer p.mu.Unlock()
	if p.fail == nil && err == nil {
		err = j.Store.Write(name, func(w io.Writer) error { _, err := b.WriteTo(w); return err })
	}
	if p.fail == nil {
		p.fail = err
	}
}

// plan writes the pages of one plan from its entry; site is nil where it could
// not be read, and r where the entry is an earlier report's.
func (p *pages) plan(j *Job, entry *report.Plan, site *validate.Site, r *validate.Report, limits schema.Limits) {
	if p == nil {
		return
	}
	name := entry.Path
	page := report.PageName(name)
	d := &report.Drawn{}
	if site != nil && site.Frame != validate.FrameNone {
		d.Map, d.OnMap = pageMap(site, entry, nil)
	}
	switch {
	case d.Map == nil:
	case p.live:
		if p.writeLive(j, name, page, site, r, limits) {
			d.Live = "../" + report.LiveFolder + "/" + page
		}
	default:
		d.NoLive = "For a live page: " + Program + " sheet PLAN page.html, or " + j.option("live-pages") + " all."
	}
	one := report.Set{Tool: tool(), Plans: []report.Plan{*entry}, Caution: Caution}
	p.write(j, filepath.Join(p.folder, report.PagesFolder, page), func(w io.Writer) error { return one.Page(w, 0, d) })
}

// writeLive reports whether there is something to show.
func (p *pages) writeLive(j *Job, name, page string, site *validate.Site, r *validate.Report, limits schema.Limits) bool {
	if r == nil {
		r = validate.CheckSite(site, limits)
	}
	one := sheetJob{Job: j.aside(), o: &SheetOptions{Source: name}, plan: site.Plan, limits: limits, report: r, grid: site.Plan.CRS, quick: true}
	one.drawing = one.drawingOf()
	one.drawing.NoDrift = "'" + Program + " sheet' makes a page with one"
	one.drawing.Back = "../" + report.PagesFolder + "/" + page
	if len(one.drawing.Features) == 0 {
		return false
	}
	p.write(j, filepath.Join(p.folder, report.LiveFolder, page), func(w io.Writer) error { return sheet.HTML(w, one.drawing) })
	p.mu.Lock()
	p.has[name] = true
	p.mu.Unlock()
	return true
}

// pageMap draws a plan with the findings of its entry, nil where there is
// nothing to draw, and says which findings stand on it. track is nil for none.
func pageMap(s *validate.Site, entry *report.Plan, track *sheet.Track) (*report.Picture, func(k int) bool) {
	d := &sheet.Drawing{Grid: sheet.Grid{NorthKnown: s.Frame == validate.FrameEarth}, Track: track}
	codes := codesOf(s)
	for _, f := range s.Features {
		if f.Invalid == "" && !f.Far && f.Geometry != nil {
			d.Features = append(d.Features, drawn(f, codes[f.Feature], nil))
		}
	}
	off := s.OffFeatures(s.Plan)
	for i := range off {
		d.Off = append(d.Off, drawn(&off[i], codes[off[i].Feature], nil))
	}
	if len(d.Features) == 0 {
		return nil, nil
	}
	d.PlaceNames(kernel)
	on := map[int]bool{}
	for k := range entry.Findings {
		f := &entry.Findings[k]
		if at, ok := placed(s, f.At); ok {
			on[k] = true
			d.Findings = append(d.Findings, sheet.Finding{Number: k + 1, Severity: f.Severity, Message: report.Printable(f.Message), At: at, HasAt: true})
		}
	}
	var b strings.Builder
	if d.PageMap(&b) != nil {
		return nil, nil // a Builder takes everything
	}
	words := "Up is true north."
	if !d.Grid.NorthKnown {
		words = "Up is the drawing's y axis; which way north lies is not known."
	}
	if len(on) > 0 {
		words += " A number is that of the finding in the table and leads to it, and the table's leads here."
	}
	if len(on) > 0 && track != nil {
		words = "Up is true north. A number is that of what was found, below."
	}
	return &report.Picture{Picture: template.HTML(b.String()), Words: words}, func(k int) bool { return on[k] }
}

// siteMaps draws the index.
func (p *pages) siteMaps(set *report.Set) (*report.Sites, error) {
	out := &report.Sites{Symbols: map[string]template.HTML{}, Live: func(i int) string {
		if name := set.Plans[i].Path; p.has[name] {
			return report.LiveFolder + "/" + report.PageName(name)
		}
		return ""
	}}
	var sites []sheet.Site
	for i := range set.Plans {
		x := &set.Plans[i]
		worst := x.Worst()
		if out.Symbols[worst] == "" {
			out.Symbols[worst] = template.HTML(sheet.OutcomeSymbol(worst))
		}
		if x.Middle == nil {
			continue
		}
		name := x.Name
		if name == "" {
			name = path.Base(filepath.ToSlash(x.Path))
		}
		sites = append(sites, sheet.Site{Name: report.Printable(name), Lon: x.Middle.Lon, Lat: x.Middle.Lat, Worst: worst, Link: report.PagesFolder + "/" + report.PageName(x.Path)})
	}
	for _, m := range sheet.SiteMaps(sites) {
		var b strings.Builder
		if err := m.SVG(&b); err != nil {
			return nil, err
		}
		x := report.Picture{ID: m.ID, Picture: template.HTML(b.String()), Words: m.Words}
		for _, g := range m.Groups {
			list := report.Group{ID: g.ID}
			for _, site := range g.Sites {
				list.Plans = append(list.Plans, report.Listed{Link: site.Link, Name: site.Name, Worst: site.Worst})
			}
			x.Groups = append(x.Groups, list)
		}
		out.Maps = append(out.Maps, x)
	}
	return out, nil
}

// index writes the index, after all plans' pages, so that no link of it leads
// nowhere. Pages of plans that are gone stay; nothing links them.
func (p *pages) index(j *Job, set *report.Set) error {
	if p == nil {
		return nil
	}
	if p.fail != nil {
		return p.fail
	}
	sites, err := p.siteMaps(set)
	if err != nil {
		return err
	}
	return j.Store.Write(filepath.Join(p.folder, report.IndexName), func(w io.Writer) error { return set.Index(w, sites) })
}

// placed is where a finding lies on the ground; ok is false for one without a
// place, or one so far away that the map ends before it.
func placed(s *validate.Site, p *validate.Place) (at orb.Point, ok bool) {
	switch {
	case p == nil:
	case s.Frame == validate.FrameEarth && p.Lon != nil && p.Lat != nil:
		at, ok = s.LonLatToGround(*p.Lon, *p.Lat)
	case s.Frame == validate.FramePlane && p.E != nil && p.N != nil:
		var mid orb.Point
		if mid, ok = s.GroundToPlan(orb.Point{}); ok {
			at = orb.Point{*p.E - mid[0], *p.N - mid[1]}
		}
	}
	return at, ok && math.Hypot(at[0], at[1]) <= validate.MaxSpanM
}
