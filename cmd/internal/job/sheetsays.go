// What a sheet says of its plan: where it lies, what it stands on, how it came
// out.

package job

import (
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"
	"sync"

	"github.com/paulmach/orb"

	"swardline/convert/sheet"
	"swardline/crs"
	"swardline/schema"
	"swardline/validate"
)

// arrange sets whom the sheet is for and how the plan is turned on its paper.
func (job *sheetJob) arrange() (err error) {
	o, to := job.o, &job.layout
	audience := o.For
	if audience == "" {
		audience = string(sheet.ForAuthority)
	}
	if to.For, err = sheet.ParseAudience(audience); err != nil {
		return Refuse("", "%s: %w", job.option("for"), err)
	}
	if to.TurnAuto = o.Turn == "" || o.Turn == "auto"; to.TurnAuto {
		return nil
	}
	if to.TurnDeg, err = strconv.ParseFloat(o.Turn, 64); err != nil || !(math.Abs(to.TurnDeg) <= 360) {
		turn := job.option("turn")
		return Refuse("write "+turn+" auto, "+turn+" 0, or degrees such as "+turn+" -12.5", "%s: %q is no angle from -360 to 360 degrees", turn, o.Turn)
	}
	return nil
}

// titleBlock is that of a file, and of the plan where the file leaves a field
// empty.
func (job *sheetJob) titleBlock() (b sheet.TitleBlock, err error) {
	if name := job.o.TitleBlock; name != "" {
		data, err := job.settings(name)
		if err != nil {
			return b, err
		}
		if b, err = sheet.ParseTitleBlock(data); err != nil {
			return b, Fault("", "%s: %w", name, err)
		}
	}
	b.FillFrom(job.plan.Attributes)
	return b, nil
}

// earth is where the ground lies, in the grid of the ticks; nil when that is
// not known.
func (job *sheetJob) earth() *sheet.Earth {
	c := job.grid
	if c == nil || job.report.Site.Frame != validate.FrameEarth {
		return nil
	}
	out := &sheet.Earth{EPSG: c.Code(), Projected: c.Kind() == crs.KindProjected}
	if !out.Projected {
		// A site grid has no name that another program knows; what it stands on
		// has.
		out.EPSG = c.BaseCode()
	}
	if out.EPSG == 0 {
		base := c
		if !out.Projected {
			base = c.Base()
		}
		out.WKT = base.WKT()
	}
	out.LonLat = func(p orb.Point) (lon, lat float64, ok bool) {
		q, ok := job.forward(p)
		if !ok {
			return 0, 0, false
		}
		flat := []float64{q[0], q[1]}
		if c.ToGeodetic(flat, 2) != nil {
			return 0, 0, false
		}
		return flat[0], flat[1], true
	}
	return out
}

// lonLat is what a phone would say on the ground, nil where that is in doubt.
func (job *sheetJob) lonLat() func(orb.Point) (lon, lat float64, ok bool) {
	s := job.report.Site
	if job.plan.CRS == nil || s.Frame != validate.FrameEarth {
		return nil
	}
	if job.plan.CRS.Datum() == crs.WGS84().Datum() {
		return s.GroundToLonLat // no step between: its realisations agree to a metre
	}
	if job.quick {
		return nil
	}
	op, doubt, err := job.pictured(job.plan, crs.WGS84(), &job.o.Moving, job.limits)
	if err != nil || op == nil || doubt != "" {
		return nil
	}
	return func(p orb.Point) (lon, lat float64, ok bool) {
		q, ok := s.GroundToPlan(p)
		flat := []float64{q[0], q[1], s.H}
		if !ok || op.Apply(flat, 3) != nil {
			return 0, 0, false
		}
		return flat[0], flat[1], true
	}
}

// checkedWords are the outcome of the check in a line, for a sheet that does
// not list it.
func checkedWords(r *validate.Report) string {
	n := map[validate.Severity]int{}
	for i := range r.Findings {
		n[r.Findings[i].Severity]++
	}
	unchecked := 0
	for _, x := range r.Rules {
		if x.Outcome == validate.Unchecked {
			unchecked++
		}
	}
	s := "Checked by " + Program + " " + Version + ": "
	if len(r.Findings) == 0 {
		s += "no findings"
	} else {
		s += fmt.Sprintf("%d error(s), %d warning(s), %d note(s)", n[validate.Error], n[validate.Warning], n[validate.Note])
	}
	if len(r.Findings)+unchecked == 0 {
		return s + "."
	}
	return s + ". The check report has the details, and the sheet for the crew."
}

// testedWords say how far a check went, what it left out first: no findings mean
// little where rules were not checked, or were held to limits that nobody took from a manual.
func testedWords(r *validate.Report) string {
	whole, needless := 0, 0
	var not, part []string
	for _, x := range r.Rules {
		switch {
		case x.Outcome == validate.NotNeeded:
			needless++
		case x.Outcome == validate.Unchecked:
			not = append(not, x.Rule)
		default:
			whole++
			if x.Reason != "" {
				part = append(part, x.Rule)
			}
		}
	}
	s := "Not checked: " + firstFew(not)
	if len(part) > 0 {
		s += "; checked only in part: " + firstFew(part)
	}
	s += fmt.Sprintf(". %d of %d rules checked; %d need nothing here", whole, len(r.Rules), needless)
	defaults := map[string]bool{}
	for _, u := range r.Used {
		if u.From == schema.OriginDefault {
			defaults[u.Name] = true
		}
	}
	if n := len(defaults); n > 0 {
		s += fmt.Sprintf(". %d limit(s) are defaults, not from the machine's manual", n)
	}
	return s + "."
}

// firstFew names the first of a list and counts the rest.
func firstFew(names []string) string {
	const most = 8
	if len(names) == 0 {
		return "none"
	}
	if n := len(names); n > most {
		names = append(names[:most:most], fmt.Sprintf("%d more", n-most))
	}
	return strings.Join(names, ", ")
}

// offLines name what is off, by what becomes of the ground there: an area that
// nobody keeps the machine out of is told first.
func offLines(s *validate.Site) []string {
	codes := codesOf(s)
	names := map[string][]string{}
	for _, f := range s.Inactive {
		words := sheet.OffWords(f.Role)
		names[words] = append(names[words], strings.TrimSpace(codes[f]+" "+f.Name))
	}
	var out []string
	for _, role := range append([]schema.Role{schema.RoleKeepout}, schema.Roles...) {
		words := sheet.OffWords(role)
		if len(names[words]) > 0 {
			out = append(out, words+": "+strings.Join(names[words], ", ")+".")
		}
		delete(names, words)
	}
	return out
}

// codeOf gives each role a letter.
var codeOf = sync.OnceValue(func() map[schema.Role]string {
	return map[schema.Role]string{
		schema.RoleZone: "Z", schema.RoleKeepout: "K", schema.RoleCorridor: "C", schema.RoleDock: "D", schema.RoleBase: "B", schema.RoleMark: "M",
		schema.RoleHazard: "H", schema.RoleEdge: "E", schema.RoleBoundary: "L", schema.RoleSupply: "S", schema.RoleBuilding: "G", schema.RoleOther: "X",
	}
})

// nameOf is what a feature of no known role is called, which may have no name:
// the block or layer that it was drawn on, or its survey code.
func nameOf(f *schema.Feature) string {
	if f.Name != "" || f.Role != schema.RoleOther {
		return f.Name
	}
	for _, key := range []string{schema.PropBlock, schema.PropLayer, schema.PropCode} {
		if v := f.Attributes.Get(key); v.Kind() == schema.KindString && strings.TrimSpace(v.Text()) != "" {
			return strings.TrimSpace(v.Text())
		}
	}
	return ""
}

// codeMost is how many characters an id may have to serve as a code on paper.
const codeMost = 10

// codesOf are the codes of a site's features: the file's own ids where they are
// short and each stands once, else a letter and a number that no id has. What
// is off is numbered behind the others.
func codesOf(s *validate.Site) map[*schema.Feature]string {
	var all []*schema.Feature
	for _, f := range s.Features {
		all = append(all, f.Feature)
	}
	all = append(all, s.Inactive...)
	count := map[string]int{}
	for _, f := range all {
		count[f.ID.Text()]++
	}
	out, taken := map[*schema.Feature]string{}, map[string]bool{}
	for _, f := range all {
		id := f.ID.Text()
		if n := len([]rune(id)); id == strings.TrimSpace(id) && n > 0 && n <= codeMost && count[id] == 1 {
			out[f] = id
			taken[strings.ToUpper(id)] = true
		}
	}
	numbers := map[schema.Role]int{}
	for _, f := range all {
		if out[f] != "" {
			continue
		}
		if name := nameOf(f); f.Role == schema.RoleOther && name != "" {
			// What nobody gave a role goes by what its drawing called it.
			out[f] = name
			for n := 2; taken[strings.ToUpper(out[f])]; n++ {
				out[f] = fmt.Sprintf("%s %d", name, n)
			}
			taken[strings.ToUpper(out[f])] = true
			continue
		}
		letter := codeOf()[f.Role]
		if letter == "" {
			letter = codeOf()[schema.RoleOther]
		}
		for out[f] == "" || taken[out[f]] {
			numbers[f.Role]++
			out[f] = fmt.Sprintf("%s%d", letter, numbers[f.Role])
		}
		taken[out[f]] = true
	}
	return out
}

// heldWords say how the machine holds the plan, and how far that stands from
// the ground that is drawn, where the plan was corrected.
func (job *sheetJob) heldWords() []string {
	var out []string
	if held := job.plan.Attributes.Get(schema.PlanHeld).Text(); held != "" {
		switch validate.Held(held) {
		case validate.HeldOffsets:
			held = "offsets: distances east and north of its base, so that what is mown moves with the base"
		case validate.HeldCoordinates:
			held = "coordinates: places on the earth that stay where they are when the base is moved"
		}
		out = append(out, "The machine holds the plan as "+held+".")
	}
	if words := givenWords(job.plan); words != "" {
		out = append(out, words)
	}
	return out
}

// heightWords say what the heights count from.
func heightWords(p *schema.Plan) string {
	if r, err := p.Reference(); err == nil && r.Heights.Told() {
		return "Heights (h): " + r.Heights.Name() + "."
	}
	return "What heights (h) count from, the plan does not say."
}

// originWords say how what is drawn was got: placed with which fit, traced,
// surveyed; and that it is not known, where the plan does not say.
func originWords(p *schema.Plan, codes map[*schema.Feature]string) []string {
	var out []string
	if placed := p.Attributes.Get(schema.PlanPlacement).Fields(); len(placed) > 0 {
		s := "Placed from a drawing on marks"
		if m := placed.Get("model").Text(); m != "" {
			s += " (" + m + ")"
		}
		if rms, ok := placed.Get("rms_m").Float(); ok {
			s += fmt.Sprintf(", rms of the fit %.3f m", rms)
		}
		out = append(out, s+".")
	}
	by := map[string][]string{}
	for _, f := range p.Features {
		from := f.Attributes.Get(schema.PropDrawnFrom).Text()
		if from == "" {
			continue
		}
		if sigma, ok := f.Float(schema.PropSigma); ok {
			from += fmt.Sprintf(", standard error %g m", sigma)
		}
		by[from] = append(by[from], strings.TrimSpace(codes[f]+" "+f.Name))
	}
	var kinds []string
	for from := range by {
		kinds = append(kinds, from)
	}
	slices.Sort(kinds)
	if len(out)+len(kinds) == 0 {
		out = append(out, "How the lines were measured, and how well, the plan does not say.")
	}
	for _, from := range kinds {
		what := strings.ToUpper(from[:1]) + from[1:]
		if strings.HasPrefix(from, "traced") {
			what = "Traced from imagery, so as good as that" + strings.TrimPrefix(from, "traced")
		}
		out = append(out, what+": "+firstFew(by[from])+".")
	}
	return out
}
