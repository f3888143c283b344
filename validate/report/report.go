// The report as plain data: what every encoder writes, and what a JSON report
// reads back as.

// Package report writes what validate found: as text for people, and as JSON,
// SARIF 2.1.0, JUnit XML, GeoJSON and CSV for programs. Encoders get a Set of
// Plans in the order of their paths and give the same bytes for the same Set.
//
// A Plan holds text and numbers only. It does not keep the plan it came from
// alive, so that a report of thousands of plans stays small, and it reads back
// from the JSON report as it was.
package report

import (
	"fmt"
	"math"
	"slices"
	"sort"
	"strconv"
	"strings"

	"github.com/paulmach/orb"

	"swardline/schema"
	"swardline/validate"
)

// Status says what became of one plan.
type Status string

// The statuses.
const (
	Clean      Status = Status(validate.StatusClean)
	Unchecked  Status = Status(validate.StatusUnchecked)
	Findings   Status = "findings"
	Unreadable Status = "unreadable"
)

// Tool names the program that made the report.
type Tool struct {
	Name    string `json:"name"`
	Version string `json:"version"`
}

// Set is a whole report.
type Set struct {
	Tool  Tool   `json:"tool"`
	Plans []Plan `json:"plans"`
	// Notes say what concerns the run as a whole.
	Notes []string `json:"notes,omitempty"`
	// Skipped are the files of the folders that are no plans.
	Skipped []string `json:"skipped,omitempty"`
	// Interrupted is set when the run ended before every plan was reached.
	Interrupted *Interruption `json:"interrupted,omitempty"`
	// Command is what was run: "drift" or "place", "" for a check.
	Command string `json:"-"`
	// Gone are the paths of plans that an earlier report has and this run did
	// not find.
	Gone []string `json:"gone,omitempty"`
	// Driven are cells of the register that logs filled, by the cell of the
	// path and by column; see Register.Driven.
	Driven map[string]map[string]string `json:"-"`
	// Full asks for every plan, rule and limit in the text.
	Full bool `json:"-"`
	// FullWord says how a reader asks for all of it, "" for no way.
	FullWord string `json:"-"`
	// Caution closes the pages for browsers; the other forms do not carry it.
	Caution string `json:"-"`
}

// Interruption says how far a run came that was ended early.
type Interruption struct {
	// Checked plans are those of the report; NotReached were not looked at.
	Checked    int `json:"checked"`
	NotReached int `json:"not_reached"`
}

// words says it to people.
func (i *Interruption) words() string {
	return fmt.Sprintf("interrupted: %d of %s checked, %d not reached", i.Checked, count(i.Checked+i.NotReached, "plan"), i.NotReached)
}

// Plan is the check of one file.
type Plan struct {
	Path   string `json:"path"`
	Status Status `json:"status"`
	// Error is the one error of an unreadable plan.
	Error string `json:"error,omitempty"`
	// Name is the plan's own name, "" when it has none.
	Name string `json:"name,omitempty"`
	// CRS is the canonical text of the plan's CRS, "" when unknown.
	CRS string `json:"crs,omitempty"`
	// Frame is the frame that the plan's numbers are in, "" when nobody tells.
	Frame string `json:"frame,omitempty"`
	// Heights is what the plan's heights are counted from, "" when nobody
	// tells.
	Heights string `json:"heights,omitempty"`
	// Epoch is the coordinates' epoch as a decimal year, 0 when not stated.
	Epoch float64 `json:"epoch,omitempty"`
	// Base is where the base stands, nil for a plan without one.
	Base *BasePosition `json:"base,omitempty"`
	// BaseMeasured is the day of the newest entry of the base's history,
	// year-month-day, "" when there is none.
	BaseMeasured string `json:"base_measured,omitempty"`
	// Marks counts the marks that the base can be measured from again.
	Marks int `json:"marks,omitempty"`
	// Traced are the features drawn from a picture.
	Traced []string `json:"traced,omitempty"`
	// Checked says from what the entry was made, nil when not known.
	Checked *Checked `json:"checked,omitempty"`
	// Rules has the outcome of every rule.
	Rules []Rule `json:"rules,omitempty"`
	// Limits are the values that its checked rules compared with, in the order
	// of schema.LimitTable: the plan's, then those that features have of their
	// own.
	Limits []LimitUse `json:"limits,omitempty"`
	// HeldHarmless are the words of its names and texts that were not told since the
	// limits file has them under known_words, each with where it stands.
	HeldHarmless []string `json:"held_harmless,omitempty"`
	Summary      Summary  `json:"summary"`
	// Areas is nil for an unreadable plan.
	Areas    *Areas    `json:"areas,omitempty"`
	Findings []Finding `json:"findings"`
	// Middle is where the middle of the ground lies, nil when that is not
	// known.
	Middle *Middle `json:"middle,omitempty"`
	// Origin is the point that e and n of places count from, nil when they are
	// the plan's own coordinates.
	Origin *Origin `json:"origin,omitempty"`
	// Zones are the figures of each zone.
	Zones []Zone `json:"zones,omitempty"`
	// Inactive are the features that are off, which no rule looks at.
	Inactive []string `json:"inactive,omitempty"`
	// Notes say what was assumed on the way to the ground.
	Notes []string `json:"notes,omitempty"`
	// Warnings are the reader's.
	Warnings []Notice `json:"warnings,omitempty"`
}

// Summary counts findings by severity.
type Summary struct {
	Error   int `json:"error"`
	Warning int `json:"warning"`
	Note    int `json:"note"`
}

// Areas are in square metres on the ground, nil when they cannot be told.
type Areas struct {
	Zones    *float64 `json:"zones_m2"`
	Keepouts *float64 `json:"keepouts_m2"`
	Net      *float64 `json:"net_m2"`
}

// Finding is one fault.
type Finding struct {
	Rule     string   `json:"rule"`
	Severity string   `json:"severity"`
	Features []string `json:"features"`
	// Names are the features' labels for people, one for each of Features.
	Names    []string         `json:"names,omitempty"`
	Message  string           `json:"message"`
	Measured *float64         `json:"measured,omitempty"`
	Limit    *float64         `json:"limit,omitempty"`
	Unit     string           `json:"unit,omitempty"`
	AreaM2   *float64         `json:"area_m2,omitempty"`
	At       *validate.Place  `json:"at,omitempty"`
	Trace    []validate.Place `json:"trace,omitempty"`
	Source   *Source          `json:"source,omitempty"`
	Mendable bool             `json:"mendable"`
	// Other is the path of another plan that the finding is of too, "" for none.
	Other string `json:"other,omitempty"`
}

// Source is the place in the file.
type Source struct {
	Line int `json:"line"`
}

// Rule is the outcome of one rule.
type Rule struct {
	Rule    string `json:"rule"`
	Outcome string `json:"outcome"`
	Reason  string `json:"reason,omitempty"`
}

// open reports whether the rule applies and was not checked, in whole or in
// part.
func (r *Rule) open() bool {
	return r.Outcome == string(validate.Unchecked) || r.Outcome != string(validate.NotNeeded) && r.Reason != ""
}

// LimitUse is one value that rules compared with.
type LimitUse struct {
	Name  string  `json:"name"`
	Value float64 `json:"value"`
	// From is who set it: default, file, plan or feature.
	From string `json:"from"`
	// Feature has the value for its own, "" when it holds for the plan.
	Feature string `json:"feature,omitempty"`
}

// limitUses are the values as a report names them.
func limitUses(used []validate.LimitUse, refs refer) []LimitUse {
	var out []LimitUse
	for _, u := range used {
		x := LimitUse{Name: u.Name, Value: u.Value, From: string(u.From)}
		if u.Feature != nil {
			x.Feature = refs(u.Feature)
		}
		out = append(out, x)
	}
	return out
}

// ruleResults are the outcomes as a report names them.
func ruleResults(results []validate.Result) []Rule {
	out := make([]Rule, 0, len(results))
	for _, x := range results {
		out = append(out, Rule{x.Rule, string(x.Outcome), x.Reason})
	}
	return out
}

// Origin is where offsets count from.
type Origin struct {
	Of  string  `json:"of"`
	Lon float64 `json:"lon"`
	Lat float64 `json:"lat"`
}

// Middle is a place in degrees on the datum of a plan, for a map of sites: a
// datum is a metre or some hundred metres beside another.
type Middle struct {
	Lon float64 `json:"lon"`
	Lat float64 `json:"lat"`
}

// middleOf is that of what a site has on the ground.
func middleOf(s *validate.Site) *Middle {
	var box orb.Bound
	some := false
	for _, f := range s.Features {
		if f.Invalid != "" || f.Far || f.Geometry == nil {
			continue
		}
		if b := f.Bound(); !some {
			box, some = b, true
		} else {
			box = box.Union(b)
		}
	}
	if !some {
		return nil
	}
	lon, lat, ok := s.GroundToLonLat(box.Center())
	if !ok || math.IsNaN(lon) || math.IsNaN(lat) {
		return nil
	}
	return &Middle{round(lon, middleDecimals), round(lat, middleDecimals)}
}

// middleDecimals of a degree are a metre or so.
const middleDecimals = 5

// Zone has the figures of one zone; nil ones cannot be told.
type Zone struct {
	Feature  string   `json:"feature"`
	Name     string   `json:"name,omitempty"`
	Gross    *float64 `json:"gross_m2"`
	Net      *float64 `json:"net_m2"`
	HardEdge *float64 `json:"hard_edge_m"`
	Uncut    *float64 `json:"uncut_m2"`
}

// Notice is something a reader took in stride.
type Notice struct {
	Kind    string `json:"kind"`
	Count   int    `json:"count"`
	Message string `json:"message"`
	Line    int    `json:"line,omitempty"`
}

// Totals are the sums over a set.
type Totals struct {
	Plans      int `json:"plans"`
	Clean      int `json:"clean"`
	Unchecked  int `json:"unchecked"`
	Findings   int `json:"findings"`
	Unreadable int `json:"unreadable"`
	Error      int `json:"error"`
	Warning    int `json:"warning"`
	Note       int `json:"note"`
}

// Decimals that reports give: lengths and measures to 0.1 mm, areas to the
// square centimetre, degrees to 0.01 mm.
const (
	measureDecimals = 4
	areaDecimals    = 4
	degreeDecimals  = 10
)

// NewPlan makes the plan's entry from its check. warnings are the reader's, nil
// for none.
func NewPlan(path string, c *validate.Report, warnings []Notice) Plan {
	s := c.Site
	p := Plan{
		Path: path, Status: Status(c.Status()), Name: s.Plan.Name,
		Summary: Summary{c.Count(validate.Error), c.Count(validate.Warning), c.Count(validate.Note)},
		Areas: &Areas{
			rounded(c.Areas.ZonesM2, areaDecimals), rounded(c.Areas.KeepoutsM2, areaDecimals), rounded(c.Areas.NetM2, areaDecimals),
		},
		Rules:    ruleResults(c.Rules),
		Notes:    s.Notes,
		Warnings: warnings,
	}
	if s.Plan.CRS != nil {
		p.CRS = s.Plan.CRS.ID()
		if s.Plan.CRS.IsDegrees() {
			of, at := s.Reference()
			if lon, lat, ok := s.GroundToLonLat(at); ok {
				p.Origin = &Origin{of, round(lon, degreeDecimals), round(lat, degreeDecimals)}
			}
		}
	}
	p.Middle = middleOf(s)
	refs := references(s.Plan)
	p.Findings = newFindings(c.Findings, refs)
	p.Limits = limitUses(c.Used, refs)
	p.HeldHarmless = c.HeldHarmless
	p.Traced = traced(s.Plan, refs)
	for _, z := range c.Zones {
		p.Zones = append(p.Zones, Zone{
			Feature: refs(z.Feature), Name: z.Feature.Name,
			Gross: rounded(z.GrossM2, areaDecimals), Net: rounded(z.NetM2, areaDecimals),
			HardEdge: rounded(z.HardEdgeM, measureDecimals), Uncut: rounded(z.UncutM2, areaDecimals),
		})
	}
	for _, f := range s.Inactive {
		p.Inactive = append(p.Inactive, refs(f))
	}
	return p
}

// Tell adds a finding that another plan of the set has a part in.
func (p *Plan) Tell(f validate.Finding, other string) {
	x := newFinding(&f, func(*schema.Feature) string { return "" })
	x.Other = other
	p.tell(x)
}

// TellAs adds what is told of a plan that this one is a copy of, with others.
func (p *Plan) TellAs(of *Plan) {
	for _, x := range of.Findings {
		if x.Other != "" {
			p.tell(x)
		}
	}
}

func (p *Plan) tell(x Finding) {
	rank := validate.Severity(x.Severity).Rank()
	at := slices.IndexFunc(p.Findings, func(f Finding) bool { return validate.Severity(f.Severity).Rank() > rank })
	if at < 0 {
		at = len(p.Findings)
	}
	p.Findings = slices.Insert(slices.Clone(p.Findings), at, x)
	p.Status = Findings
	p.Summary.add(x.Severity)
	p.Rules = slices.Clone(p.Rules)
	for i := range p.Rules {
		if p.Rules[i].Rule == x.Rule {
			p.Rules[i].Outcome = string(validate.Failed)
		}
	}
}

// HasOther reports whether another plan of the set has a part in a finding.
func (p *Plan) HasOther() bool {
	return slices.ContainsFunc(p.Findings, func(f Finding) bool { return f.Other != "" })
}

// Alone is the plan without what was told of it for another plan's sake.
func (p *Plan) Alone() Plan {
	out := *p
	if !p.HasOther() {
		return out
	}
	out.Findings = make([]Finding, 0, len(p.Findings))
	out.Summary = Summary{}
	left := map[string]bool{}
	for _, f := range p.Findings {
		if f.Other == "" {
			left[f.Rule] = true
			out.Findings = append(out.Findings, f)
			out.Summary.add(f.Severity)
		}
	}
	out.Status, out.Rules = Clean, slices.Clone(p.Rules)
	for i := range out.Rules {
		if r := &out.Rules[i]; r.Outcome == string(validate.Failed) && !left[r.Rule] {
			if r.Outcome = string(validate.Passed); r.Reason != "" {
				r.Outcome = string(validate.Unchecked)
			}
		}
		if out.Rules[i].Outcome == string(validate.Unchecked) {
			out.Status = Unchecked
		}
	}
	if len(out.Findings) > 0 {
		out.Status = Findings
	}
	return out
}

func (s *Summary) add(severity string) {
	switch validate.Severity(severity) {
	case validate.Error:
		s.Error++
	case validate.Warning:
		s.Warning++
	default:
		s.Note++
	}
}

// NewUnreadable makes the entry of a file that could not be read.
func NewUnreadable(path string, err error) Plan {
	return Plan{Path: path, Status: Unreadable, Error: err.Error(), Findings: []Finding{}}
}

// references returns what names a feature in a report: its id, else its name,
// else its role and place in the file, such as "zone#3".
func references(p *schema.Plan) func(*schema.Feature) string {
	var index map[*schema.Feature]int
	return func(f *schema.Feature) string {
		if id := f.ID.Text(); id != "" {
			return id
		}
		if f.Name != "" {
			return f.Name
		}
		if index == nil {
			index = make(map[*schema.Feature]int, len(p.Features))
			for i, g := range p.Features {
				index[g] = i
			}
		}
		return string(f.Role) + "#" + strconv.Itoa(index[f]+1)
	}
}

// newFindings is never nil, so that no findings are an empty list.
func newFindings(list []validate.Finding, refs refer) []Finding {
	out := make([]Finding, 0, len(list))
	for i := range list {
		out = append(out, newFinding(&list[i], refs))
	}
	return out
}

func newFinding(f *validate.Finding, refs refer) Finding {
	out := Finding{
		Rule: f.Rule, Severity: string(f.Severity), Features: make([]string, 0, len(f.Features)),
		Message: f.Message, Measured: rounded(f.Measured, measureDecimals), Limit: rounded(f.Limit, measureDecimals),
		Unit: f.Unit, AreaM2: rounded(f.AreaM2, areaDecimals), Mendable: f.Mendable,
	}
	for _, x := range f.Features {
		ref := refs(x)
		out.Features = append(out.Features, ref)
		out.Names = append(out.Names, label(x, ref))
	}
	if f.Line > 0 {
		out.Source = &Source{f.Line}
	}
	if f.At != nil {
		at := roundPlace(f.At)
		out.At = &at
	}
	if len(f.Trace) > 0 {
		values := make([][4]float64, len(f.Trace))
		for i := range f.Trace {
			values[i] = roundNumbers(&f.Trace[i])
		}
		out.Trace = validate.NewPlaces(values)
	}
	return out
}

// traced names the features that say that they were drawn from a picture.
func traced(p *schema.Plan, refs refer) []string {
	var out []string
	for _, f := range p.Features {
		if strings.EqualFold(strings.TrimSpace(f.Attributes.Get(schema.PropDrawnFrom).Text()), schema.DrawnTraced) {
			out = append(out, refs(f))
		}
	}
	return out
}

// label names a feature for people: role and name.
func label(f *schema.Feature, ref string) string {
	switch {
	case f.Name != "":
		return string(f.Role) + " " + strings.TrimSpace(f.Name)
	case strings.HasPrefix(ref, string(f.Role)+"#"):
		return ref
	}
	return string(f.Role) + " " + ref
}

func roundPlace(p *validate.Place) validate.Place {
	v := roundNumbers(p)
	return *validate.NewPlace(v[0], v[1], v[2], v[3])
}

// roundNumbers are the numbers of a place as a report has them, NaN for none.
func roundNumbers(p *validate.Place) [4]float64 {
	at := func(v *float64, decimals int) float64 {
		if v == nil || math.IsInf(*v, 0) {
			return math.NaN()
		}
		return round(*v, decimals)
	}
	return [4]float64{at(p.Lon, degreeDecimals), at(p.Lat, degreeDecimals), at(p.E, measureDecimals), at(p.N, measureDecimals)}
}

// rounded returns the number at so many decimals, nil for one that is none.
func rounded(v float64, decimals int) *float64 {
	if math.IsNaN(v) || math.IsInf(v, 0) {
		return nil
	}
	v = round(v, decimals)
	return &v
}

// powersOfTen go further than any number of decimals here.
var powersOfTen = [...]float64{1, 1e1, 1e2, 1e3, 1e4, 1e5, 1e6, 1e7, 1e8, 1e9, 1e10, 1e11, 1e12}

func round(v float64, decimals int) float64 {
	if math.Abs(v) > 1e11 {
		return v
	}
	k := powersOfTen[decimals]
	r := math.RoundToEven(v*k) / k
	if r == 0 {
		return 0 // never -0
	}
	return r
}

// Totals sums the set up.
func (s *Set) Totals() Totals {
	var t Totals
	for i := range s.Plans {
		t.add(&s.Plans[i])
	}
	return t
}

func (t *Totals) add(p *Plan) {
	t.Plans++
	switch p.Status {
	case Clean:
		t.Clean++
	case Unchecked:
		t.Unchecked++
	case Findings:
		t.Findings++
	default:
		t.Unreadable++
	}
	t.Error += p.Summary.Error
	t.Warning += p.Summary.Warning
	t.Note += p.Summary.Note
}

// Sort puts the plans in the order of their paths, byte by byte.
func (s *Set) Sort() {
	sort.SliceStable(s.Plans, func(i, j int) bool { return s.Plans[i].Path < s.Plans[j].Path })
}

// Reaches reports whether the set has a finding of at least the severity. An
// unreadable plan is no finding; its exit status is its own. A plan that is
// gone is an error of the folder: whoever took it away knows, and whoever did
// not must.
func (s *Set) Reaches(severity validate.Severity) bool {
	if len(s.Gone) > 0 {
		return true
	}
	for i := range s.Plans {
		for k := range s.Plans[i].Findings {
			if validate.Severity(s.Plans[i].Findings[k].Severity).Rank() <= severity.Rank() {
				return true
			}
		}
	}
	return false
}
