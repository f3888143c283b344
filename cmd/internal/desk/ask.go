// The other things that the page asks for: grids, a position, the check, a moved
// base, and files to save.

package desk

import (
	"errors"
	"fmt"
	"math"
	"slices"
	"strings"

	"swardline/cmd/internal/job"
	"swardline/validate"
)

var (
	errNoPlan  = errors.New("there is no plan yet")
	errNoPlace = errors.New("that point has no coordinates in the plan's system")
	errTooFew  = errors.New("an outline has at least three points, a line two")
)

type nearAsk struct {
	Near string `json:"near"`
	Name string `json:"name"`
}

type gridInfo struct {
	CRS  string `json:"crs"`
	Name string `json:"name"`
	Why  string `json:"why"`
}

type nearReply struct {
	Grids []gridInfo `json:"grids"`
}

// near lists grids: those that the file's numbers fit near a place, else those that
// a local surveyor would use there.
func (d *doing) near() (any, error) {
	var a nearAsk
	if err := d.take(&a); err != nil {
		return nil, err
	}
	out := nearReply{Grids: []gridInfo{}}
	seen := map[string]bool{}
	add := func(code, name, why string) {
		if !seen[code] {
			seen[code] = true
			out.Grids = append(out.Grids, gridInfo{code, name, why})
		}
	}
	v, err := d.job.Look(&job.LookOptions{Source: a.Name, Near: a.Near})
	if err != nil {
		return nil, err
	}
	for _, g := range v.Grids {
		why := "the numbers fit " + g.How + "; " + g.Area
		if g.Unit != "" {
			why += "; unit " + g.Unit
		}
		add(g.CRS, g.Name, why)
	}
	if a.Near == "" {
		return out, nil
	}
	list, err := d.job.NearSystems(a.Near, 10)
	if err != nil {
		return nil, err
	}
	for _, s := range list {
		add(s.CRS.ID(), s.CRS.Name(), s.Why)
	}
	return out, nil
}

type whereAsk struct {
	Lat float64 `json:"lat"`
	Lon float64 `json:"lon"`
}

type whereReply struct {
	At [2]float64 `json:"at"`
}

// where gives a position of the phone in the view. It is not kept.
func (d *doing) where() (any, error) {
	var a whereAsk
	if err := d.take(&a); err != nil {
		return nil, err
	}
	if d.site == nil {
		return nil, errNoPlan
	}
	at, ok := d.anchor.lonLat(d.site, a.Lon, a.Lat)
	if !ok || math.Hypot(at[0], at[1]) > 100e3 {
		return nil, errors.New("you are nowhere near this plan")
	}
	return whereReply{at}, nil
}

type findingView struct {
	Rule     string `json:"rule"`
	Severity string `json:"severity"`
	Message  string `json:"message"`
	Features []int  `json:"features"`
	// Change is the feature to be changed first.
	Change int          `json:"change"`
	At     *[2]float64  `json:"at,omitempty"`
	Trace  [][2]float64 `json:"trace,omitempty"`
	Mend   string       `json:"mend"`
}

type ruleView struct {
	Rule   string `json:"rule"`
	Reason string `json:"reason"`
}

type limitView struct {
	Name  string  `json:"name"`
	Value float64 `json:"value"`
	Unit  string  `json:"unit"`
	From  string  `json:"from"`
	Doc   string  `json:"doc"`
}

type checkReply struct {
	Status    string        `json:"status"`
	Words     string        `json:"words"`
	Counts    string        `json:"counts"`
	Errors    int           `json:"errors"`
	Findings  []findingView `json:"findings"`
	Unchecked []ruleView    `json:"unchecked"`
	Limits    []limitView   `json:"limits"`
}

func (d *doing) check() (any, error) {
	if d.plan == nil {
		return nil, errNoPlan
	}
	limits, err := pageLimits(d.asked.Limits)
	if err != nil {
		return nil, err
	}
	r := validate.Check(d.plan, limits)
	out := checkReply{Status: string(r.Status()), Findings: d.findings(r.Findings, r.Site), Unchecked: unchecked(r.Rules), Limits: []limitView{}}
	n := map[validate.Outcome]int{}
	for _, x := range r.Rules {
		n[x.Outcome]++
	}
	out.Errors = r.Count(validate.Error)
	switch r.Status() {
	case validate.StatusClean:
		out.Words = "No findings. That is a check of the drawing against stated limits, not a word about the ground."
	case validate.StatusUnchecked:
		out.Words = notChecked(out.Unchecked) + "No findings by the others."
	default:
		out.Words = notChecked(out.Unchecked) + fmt.Sprintf("%s, %s, %s.", many(out.Errors, "error"), many(r.Count(validate.Warning), "warning"), many(r.Count(validate.Note), "note"))
	}
	out.Counts = fmt.Sprintf("%d not checked, %d found something, %d passed, %d need nothing here: %d rules in all.",
		n[validate.Unchecked], n[validate.Failed], n[validate.Passed], n[validate.NotNeeded], len(r.Rules))
	for _, u := range r.Used {
		l := limitView{Name: u.Name, Value: u.Value, From: string(u.From)}
		l.Unit, l.Doc = job.LimitWords(u.Name)
		if u.Feature != nil {
			l.From += " " + u.Feature.Label()
		}
		out.Limits = append(out.Limits, l)
	}
	return out, nil
}

// notChecked says first what nobody looked at.
func notChecked(list []ruleView) string {
	if len(list) == 0 {
		return ""
	}
	return many(len(list), "rule") + " not checked. "
}

func many(n int, what string) string {
	if n == 1 {
		return "1 " + what
	}
	return fmt.Sprintf("%d %ss", n, what)
}

// ownStep is what to do on the page about findings whose words are those of the
// command line.
var ownStep = map[string]string{
	validate.RuleWordsUnread:   "read the words; what matters to the machine is said in the plan's own way, as role, geometry or a property that a rule reads",
	validate.RuleRoleMissing:   "give it a role under 1 Open; the role other says that it is only drawn",
	validate.RuleRoleUnknown:   "give it a role under 1 Open",
	validate.RuleSwitchUnfit:   "switch it on under 3 Draw, or remove it if it is gone",
	validate.RuleBaseFrame:     "ask who surveyed the base for its position in the plan's frame; then remove the base under 3 Draw and add it where it stands",
	validate.RuleBaseMoved:     "ask who moved what; then tap 6 Base moved, say by how much, and tap Make the corrected plan",
	validate.RuleSatellitesFew: "raise the antenna, or move the base or the dock under 3 Draw, or keep the machine out of the shade",
	validate.RuleAxesSwapped:   "exchange the two coordinates of the feature in its file, and open that again under 1 Open",
	validate.RuleLimitLoosened: "the stricter limit holds; if the operator agrees with the plan's, set it under Limits used, below",
}

// stepOf is what to do on the page about a finding of a rule.
func stepOf(rule string) string {
	if own := ownStep[rule]; own != "" {
		return own
	}
	r, _ := validate.Find(rule)
	return r.Page.Mend
}

// tapped puts what to tap in place of the options of the command line.
var tapped = strings.NewReplacer("(--correct)", "(Make the corrected plan, below)", "say how well a mark was measured (--mark-sigma)", "more marks also show how well each was measured")

func unchecked(rules []validate.Result) []ruleView {
	out := []ruleView{}
	for _, x := range rules {
		if x.Outcome == validate.Unchecked {
			out = append(out, ruleView{x.Rule, x.Reason})
		}
	}
	return out
}

func (d *doing) findings(list []validate.Finding, site *validate.Site) []findingView {
	out := []findingView{}
	index := map[any]int{}
	for i, f := range d.plan.Features {
		index[f] = i
	}
	place := func(p *validate.Place) *[2]float64 {
		if p == nil {
			return nil
		}
		if p.Lon != nil {
			if at, ok := d.anchor.lonLat(d.site, *p.Lon, *p.Lat); ok {
				return &at
			}
		}
		if p.E != nil && d.plan.CRS == nil {
			if at, ok := d.anchor.fromPlan(d.site, [2]float64{*p.E, *p.N}); ok {
				return &at
			}
		}
		return nil
	}
	for i := range list {
		f := &list[i]
		v := findingView{Rule: f.Rule, Severity: string(f.Severity), Message: f.Message, Features: []int{}, At: place(f.At)}
		for _, x := range f.Features {
			if k, ok := index[x]; ok {
				v.Features = append(v.Features, k)
			}
		}
		if len(v.Features) > 0 {
			first := d.plan.Features[v.Features[0]]
			v.Message = first.Label() + ": " + v.Message
			if first.Name != "" {
				v.Message = roleTitle(first.Role) + " " + v.Message
			}
		}
		for k := range f.Trace {
			if at := place(&f.Trace[k]); at != nil {
				v.Trace = append(v.Trace, *at)
			}
		}
		v.Mend = stepOf(f.Rule)
		if words, _, ok := strings.Cut(v.Message, "; convert --look"); ok {
			v.Message = words + "; " + v.Mend
		}
		v.Change = d.first(f.Rule, v.Features)
		out = append(out, v)
	}
	return out
}

// first is the feature to be changed first, -1 for none. Of two keep-outs that
// share ground it is the smaller: what is taken away by mistake is less.
func (d *doing) first(rule string, list []int) int {
	if len(list) == 0 {
		return -1
	}
	at := list[0]
	if rule != validate.RuleKeepoutsOverlap || d.site == nil {
		return at
	}
	least := math.Inf(1)
	for _, f := range d.site.Features {
		if slices.Contains(list, f.Index) {
			if a := areaOf(f); a < least {
				at, least = f.Index, a
			}
		}
	}
	return at
}

type driftAsk struct {
	Shift []float64 `json:"shift,omitempty"`
	Marks string    `json:"marks,omitempty"`
	Date  string    `json:"date,omitempty"`
}

type driftReply struct {
	Verdict     string        `json:"verdict"`
	Title       string        `json:"title"`
	Words       string        `json:"words"`
	Advice      []string      `json:"advice"`
	Shift       [2]float64    `json:"shift"`
	HorizontalM float64       `json:"horizontal_m"`
	BearingDeg  float64       `json:"bearing_deg"`
	Findings    []findingView `json:"findings"`
	Unchecked   []ruleView    `json:"unchecked"`
}

func (d *doing) driftOptions() (*job.DriftOptions, *driftAsk, error) {
	var a driftAsk
	if err := d.take(&a); err != nil {
		return nil, nil, err
	}
	if d.plan == nil {
		return nil, nil, errNoPlan
	}
	o := &job.DriftOptions{Path: current, Marks: a.Marks, Date: a.Date}
	o.Limits = d.limitsInStore()
	if len(a.Shift) > 0 {
		var parts []string
		for _, x := range a.Shift {
			parts = append(parts, digits(x))
		}
		o.Shift = strings.Join(parts, ",")
	}
	return o, &a, nil
}

// limitsInStore gives the job the limits that were set on the page, as a file of the
// name that it returns; "" for none.
func (d *doing) limitsInStore() string {
	if len(d.asked.Limits) == 0 {
		return ""
	}
	store := d.job.Store.(*job.Memory)
	store.In = append(append([]job.File(nil), store.In...), job.File{Name: limitsFile, Bytes: limitsYAML(d.asked.Limits)})
	return limitsFile
}

// verdictTitles say a verdict to people.
var verdictTitles = map[validate.Verdict]string{
	validate.VerdictUnchanged: "UNCHANGED: nothing moved that the limits would notice.",
	validate.VerdictRemeasure: "RE-MEASURE: it moved; measure marks before the machine goes on.",
	validate.VerdictStop:      "STOP: take the machine out of work.",
}

func (d *doing) drift() (any, error) {
	o, _, err := d.driftOptions()
	if err != nil {
		return nil, err
	}
	done, err := d.job.Drift(o)
	if err != nil {
		return nil, err
	}
	r := done.Report.Report
	out := driftReply{Verdict: string(r.Verdict), Title: verdictTitles[r.Verdict], Advice: []string{},
		Shift: [2]float64{float64(r.Shift.E), float64(r.Shift.N)}, Findings: d.findings(r.Findings, r.Site), Unchecked: unchecked(r.Rules)}
	for _, a := range r.Advice {
		out.Advice = append(out.Advice, tapped.Replace(a))
	}
	out.HorizontalM = math.Hypot(out.Shift[0], out.Shift[1])
	out.BearingDeg = math.Mod(math.Atan2(out.Shift[0], out.Shift[1])*180/math.Pi+360, 360)
	out.Words = fmt.Sprintf("%s %s%s.", out.Title, notChecked(out.Unchecked), many(len(out.Findings), "finding"))
	return out, nil
}

type savedReply struct {
	Name   string   `json:"name"`
	Words  string   `json:"words,omitempty"`
	Losses []string `json:"losses"`
}

// correct makes the plan corrected for the movement.
func (d *doing) correct() (any, error) {
	o, _, err := d.driftOptions()
	if err != nil {
		return nil, err
	}
	o.Correct = "corrected.geojson"
	if _, err := d.job.Drift(o); err != nil {
		return nil, err
	}
	if d.out = d.made(o.Correct); d.out == nil {
		return nil, errors.New("no corrected plan was made")
	}
	return savedReply{Name: o.Correct, Words: "corrected.geojson is the plan for the base where it stands now. Load it into the machine, then check a mark.", Losses: []string{}}, nil
}

// made returns an output of the job.
func (d *doing) made(name string) []byte {
	for _, f := range d.job.Store.(*job.Memory).Out {
		if f.Name == name {
			return f.Bytes
		}
	}
	return nil
}

type saveAsk struct {
	What string `json:"what"`
}

// save makes a file; its losses are told before the page offers it.
func (d *doing) save() (any, error) {
	var a saveAsk
	if err := d.take(&a); err != nil {
		return nil, err
	}
	if d.plan == nil {
		return nil, errNoPlan
	}
	out := savedReply{Name: a.What, Losses: []string{}}
	reading := job.Reading{}
	reading.Limits = d.limitsInStore()
	switch {
	case a.What == "bundle.zip":
		if err := d.job.Sheet(&job.SheetOptions{Reading: reading, Source: current, Bundle: a.What, Title: d.title()}); err != nil {
			return nil, err
		}
	case strings.HasPrefix(a.What, "sheet.") || a.What == "map.html":
		if err := d.job.Sheet(&job.SheetOptions{Reading: reading, Source: current, Target: a.What, Title: d.title()}); err != nil {
			return nil, err
		}
	default:
		done, err := d.job.Convert(&job.ConvertOptions{Reading: reading, Source: current, Target: a.What})
		if err != nil {
			return nil, err
		}
		for _, l := range done.Losses {
			out.Losses = append(out.Losses, fmt.Sprintf("%s (%d)", l.Message, max(l.Count, 1)))
		}
	}
	if d.out = d.made(a.What); d.out == nil {
		return nil, fmt.Errorf("%s was not made", a.What)
	}
	return out, nil
}

func (d *doing) title() string {
	if d.plan.Name != "" {
		return d.plan.Name
	}
	return strings.TrimSuffix(d.asked.Source, ".dxf")
}
