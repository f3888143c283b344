// What is in a file, and the plan that the page works on: read, roles given,
// placed, edited.

package desk

import (
	"bytes"
	"encoding/json"
	"fmt"
	"maps"
	"math"
	"reflect"
	"slices"
	"strconv"
	"strings"

	"swardline/cmd/internal/job"
	"swardline/convert/intake/edit"
	"swardline/convert/intake/marks"
	"swardline/convert/intake/roles"
	"swardline/convert/wire"
	"swardline/schema"
	"swardline/validate"
)

// planAsk is everything that the page asked of its plan.
type planAsk struct {
	Source  string             `json:"source"`
	Reading readingAsk         `json:"reading"`
	Roles   []roleAsk          `json:"roles"`
	Place   *placeAsk          `json:"place"`
	Limits  map[string]float64 `json:"limits"`
	Edits   []json.RawMessage  `json:"edits"`
	// Settled is how many of the edits were in the list before: one that finds
	// nothing to change now is told and kept. A new one is refused.
	Settled int `json:"settled,omitempty"`
	// Missed are edits, by their place in the list, that found nothing last time: a
	// role and a number alone may name something else now.
	Missed []int `json:"missed,omitempty"`
	// Aside are edits, by their place in the list, with coordinates of another
	// placing; they wait.
	Aside []int `json:"aside,omitempty"`
}

type readingAsk struct {
	From  string `json:"from,omitempty"`
	Units string `json:"units,omitempty"`
	Frame string `json:"frame,omitempty"`
}

// roleAsk gives a role to everything of a group: "layer:LAWN", "name:Front
// lawn", "where SURFACE:GRASS".
type roleAsk struct {
	Key  string `json:"key"`
	Role string `json:"role"`
}

type placeAsk struct {
	Marks []markAsk `json:"marks"`
	Model string    `json:"model"`
	// UnitM is the drawing's unit in metres while the marks were paired.
	UnitM float64 `json:"unit_m,omitempty"`
	To    string  `json:"to"`
	File  string  `json:"file,omitempty"`
}

// markAsk is a mark: A, B as measured (east, north of the grid, or longitude,
// latitude), X, Y the drawn point in the metres of the view.
type markAsk struct {
	Name string   `json:"name"`
	A    float64  `json:"a"`
	B    float64  `json:"b"`
	X    *float64 `json:"x,omitempty"`
	Y    *float64 `json:"y,omitempty"`
}

// Names of the files that a session makes for its jobs.
const (
	rolesFile  = "roles of the page.yaml"
	limitsFile = "limits of the page.yaml"
	marksFile  = "marks of the page.csv"
)

// lookReply says what is in a file.
type lookReply struct {
	Summary    string      `json:"summary"`
	Notes      []string    `json:"notes"`
	Groups     []groupInfo `json:"groups"`
	Units      []unitInfo  `json:"units"`
	UnitNeeded bool        `json:"unit_needed"`
}

type groupInfo struct {
	Key   string `json:"key"`
	Title string `json:"title"`
	Count int    `json:"count"`
	Guess string `json:"guess,omitempty"`
	Why   string `json:"why,omitempty"`
}

type unitInfo struct {
	Unit  string `json:"unit"`
	Words string `json:"words"`
}

func (d *doing) look() (any, error) {
	var a fileAsk
	if err := d.take(&a); err != nil {
		return nil, err
	}
	v, err := d.job.Look(&job.LookOptions{Source: a.Name})
	if err != nil {
		return nil, err
	}
	out := lookReply{Notes: v.Notes, Groups: []groupInfo{}, Units: []unitInfo{}}
	out.Summary = fmt.Sprintf("%s, %d things drawn", strings.ToUpper(v.Format), v.Features)
	if v.CRS != "" {
		out.Summary += ", in " + v.CRS
	} else if v.Format == "dxf" || v.Format == "csv" {
		out.Summary += "; it does not say where on the earth it is"
	}
	if v.Format == "dxf" && v.Unit == "" {
		out.UnitNeeded = true
		for _, u := range v.Units {
			out.Units = append(out.Units, unitInfo{u.Unit, fmt.Sprintf("%s (the site would be %s across)", u.Unit, metres(u.SizeM))})
		}
		if len(out.Units) == 0 {
			out.Units = []unitInfo{{"m", "m"}, {"mm", "mm"}}
		}
	}
	reading := job.Reading{}
	if out.UnitNeeded {
		reading.Units = out.Units[0].Unit // any will do to see what is drawn
	}
	p, err := d.newJob().Open(a.Name, &reading)
	if err != nil {
		return nil, err
	}
	out.Groups = groups(roles.Offers(p))
	return out, nil
}

// mostGroups is how many things a page offers a role for.
const mostGroups = 200

// groups lists what a role can be given to: words that contradict others,
// blocks, values of properties, codes, layers or folders, names and colours of
// what has no role.
func groups(offers []roles.Offer) []groupInfo {
	out := []groupInfo{}
	for i := range offers {
		o := &offers[i]
		if len(out) == mostGroups {
			break
		}
		info := groupInfo{Key: keyOf(o), Title: o.Value, Count: o.Count, Guess: string(o.Guess.Role), Why: o.Guess.Why}
		switch o.Condition {
		case "where":
			info.Title = o.Key + " = " + o.Value
		case "layer":
			info.Title = "layer " + o.Value
		case "name":
			info.Title = "named “" + o.Value + "”"
		case "block", "code", "colour":
			info.Title = o.Condition + " " + o.Value
		}
		out = append(out, info)
	}
	return out
}

// keyOf names an offer for the page.
func keyOf(o *roles.Offer) string {
	if o.Key != "" {
		return o.Condition + " " + o.Key + ":" + o.Value
	}
	return o.Condition + ":" + o.Value
}

// makePlan brings the plan to what is asked, doing again only what changed.
func (d *doing) makePlan() (any, error) {
	var a planAsk
	if err := d.take(&a); err != nil {
		return nil, err
	}
	s := d.Session
	same := s.based != nil && a.Source == s.asked.Source && a.Reading == s.asked.Reading &&
		slices.Equal(a.Roles, s.asked.Roles) && reflect.DeepEqual(a.Place, s.asked.Place)
	base, fit, notes := s.based, s.fit, s.notes
	if !same {
		var err error
		if base, fit, err = d.base(&a); err != nil {
			return nil, err
		}
		notes = notesOf(d.job)
	}
	was := s.track
	if a.Source != s.asked.Source {
		was = nil
	}
	t, err := replay(&a, base, was, same, s.asked.Aside)
	if err != nil {
		return nil, err // what stood before still stands
	}
	if a.Source != s.asked.Source || s.based != nil && (base.CRS == nil) != (s.based.CRS == nil) {
		s.anchor = nil
	}
	if s.anchor == nil && base.CRS == nil {
		// Marks are paired in metres from this zero: it is the file's own, so that
		// a role given later does not move it from under them.
		bare, err := d.newJob().Open(a.Source, &job.Reading{From: a.Reading.From, Units: a.Reading.Units})
		if err != nil {
			return nil, err
		}
		site, err := groundOfAll(bare)
		if err != nil {
			return nil, err
		}
		s.anchor = anchorOf(site)
	}
	rewritten := !slices.EqualFunc(t.edits, a.Edits, func(x, y json.RawMessage) bool { return bytes.Equal(x, y) })
	a.Edits = t.edits
	s.based, s.fit, s.notes, s.track, s.plan, s.asked = base, fit, notes, t, t.plan, a
	v, err := s.view()
	if err != nil {
		return nil, err
	}
	d.job.Notes = nil
	v.Missed = t.missed
	if rewritten {
		v.Edits = t.edits
	}
	return withNotes{v, s.notes}, nil
}

// withNotes is a view with the notes of reading, which the page shows in
// step 1.
type withNotes struct {
	*viewReply
	Notes []note `json:"notes,omitempty"`
}

func editError(err error, done int) error {
	if e, ok := err.(*edit.Error); ok {
		return &job.Error{Asked: true, Err: fmt.Errorf("change %d: %s", done+1, e.Problem), Mend: e.Mend}
	}
	return err
}

func script(edits []json.RawMessage) []byte {
	data, _ := json.Marshal(map[string]any{"edits": edits}) // raw messages were parsed before
	return data
}

// base is the plan before the edits.
func (d *doing) base(a *planAsk) (*schema.Plan, *fitReply, error) {
	store := d.job.Store.(*job.Memory)
	store.In = slices.Clone(d.files.In)
	reading := job.Reading{From: a.Reading.From, Units: a.Reading.Units}
	if len(a.Roles) > 0 {
		rules, err := d.rolesYAML(a, &reading)
		if err != nil {
			return nil, nil, err
		}
		if rules != nil {
			store.In = append(store.In, job.File{Name: rolesFile, Bytes: rules})
			reading.Roles = rolesFile
		}
	}
	if a.Place == nil {
		p, err := d.job.Open(a.Source, &reading)
		return p, nil, err
	}
	list, err := d.marksCSV(a, &reading)
	if err != nil {
		return nil, nil, err
	}
	store.In = append(store.In, job.File{Name: marksFile, Bytes: list})
	placed, err := d.job.Place(&job.PlaceOptions{Reading: reading, Source: a.Source, Target: "placed.geojson", Marks: marksFile, Model: a.Place.Model, To: a.Place.To})
	if err != nil {
		return nil, nil, err
	}
	p := placed.Plan
	p.Source.File = a.Source
	return p, newFit(placed), nil
}

// rolesYAML writes the page's choices as a file of patterns, in the order in
// which the offers stand.
func (d *doing) rolesYAML(a *planAsk, r *job.Reading) ([]byte, error) {
	p, err := d.newJob().Open(a.Source, r)
	if err != nil {
		return nil, err
	}
	chosen := map[string]string{}
	for _, x := range a.Roles {
		chosen[x.Key] = x.Role
	}
	var b strings.Builder
	b.WriteString("tolerance_m: 0.01\nrules:\n")
	offers := roles.Offers(p)
	n := 0
	for i := range offers {
		if role, ok := schema.ParseRole(chosen[keyOf(&offers[i])]); ok {
			b.WriteString(offers[i].Rule(role))
			n++
		}
	}
	if n == 0 {
		return nil, nil
	}
	return []byte(b.String()), nil
}

// marksCSV is the list of marks for a placing, its drawn points in the
// drawing's own unit.
func (d *doing) marksCSV(a *planAsk, r *job.Reading) ([]byte, error) {
	beside := job.Job{Store: d.job.Store, Option: d.job.Option, Command: d.job.Command}
	bare := *r
	bare.Roles = "" // the zero of the view does not hang on roles
	drawing, err := beside.Open(a.Source, &bare)
	if err != nil {
		return nil, err
	}
	site, err := groundOfAll(drawing)
	if err != nil {
		return nil, err
	}
	at := anchorOf(site)
	unit := job.DrawingUnit(drawing)
	var b bytes.Buffer
	if a.Place.To == "" {
		b.WriteString("name,x,y,lon,lat\n")
	} else {
		b.WriteString("name,x,y,e,n\n")
	}
	for _, m := range a.Place.Marks {
		if m.X == nil || m.Y == nil {
			continue
		}
		grown := 1.0 // when the drawing's unit was changed since
		if a.Place.UnitM > 0 {
			grown = unit / a.Place.UnitM
		}
		xy, ok := at.plan(site, [2]float64{*m.X * grown, *m.Y * grown})
		if !ok {
			return nil, fmt.Errorf("mark %s: its drawn point has no coordinates", m.Name)
		}
		fmt.Fprintf(&b, "%s,%s,%s,%s,%s\n", csvText(m.Name), digits(xy[0]/unit), digits(xy[1]/unit), digits(m.A), digits(m.B))
	}
	return b.Bytes(), nil
}

func digits(x float64) string { return strconv.FormatFloat(x, 'f', -1, 64) }

func csvText(s string) string { return `"` + strings.ReplaceAll(s, `"`, `""`) + `"` }

// fitReply is how a drawing lies on its marks.
type fitReply struct {
	Words  string    `json:"words"`
	Failed bool      `json:"failed"`
	Marks  []fitMark `json:"marks"`
	Notes  []string  `json:"notes"`
	places map[string]*validate.Place
}

type fitMark struct {
	Name      string      `json:"name"`
	DE        float64     `json:"de"`
	DN        float64     `json:"dn"`
	ResidualM float64     `json:"residual_m"`
	Suspect   bool        `json:"suspect"`
	At        *[2]float64 `json:"at,omitempty"`
}

func newFit(p *job.Placed) *fitReply {
	f := p.Report.Placement
	out := &fitReply{Failed: p.Failed, Notes: f.Notes, places: p.Report.At,
		Words: fmt.Sprintf("%s fit on %d marks: scale %.6f, turned by %.4f°, rms %.3f m.", f.Model, len(f.Marks), f.Scale(), float64(f.Rotation()), float64(f.RMS))}
	for _, m := range f.Marks {
		out.Marks = append(out.Marks, fitMark{Name: m.Name, DE: m.DE, DN: m.DN, ResidualM: m.Residual, Suspect: m.Suspect})
	}
	return out
}

// settle gives the marks their places in the view.
func (f *fitReply) settle(s *validate.Site, at *anchor) {
	for i := range f.Marks {
		if p := f.places[f.Marks[i].Name]; p != nil && p.Lon != nil {
			if xy, ok := at.lonLat(s, *p.Lon, *p.Lat); ok {
				f.Marks[i].At = &xy
			}
		}
	}
}

func isMarks(f job.File) bool {
	_, _, err := marks.Read(f.Bytes, wire.ReadOptions{Name: f.Name})
	return err == nil
}

type marksReply struct {
	Marks []markAsk `json:"marks"`
	Words string    `json:"words"`
}

// marks reads a list of marks. Drawn points that the list gives are paired
// already.
func (d *doing) marks() (any, error) {
	var a fileAsk
	if err := d.take(&a); err != nil {
		return nil, err
	}
	data, err := d.job.Store.Read(a.Name, math.MaxInt32)
	if err != nil {
		return nil, err
	}
	rows, _, err := marks.Read(data, wire.ReadOptions{Name: a.Name})
	if err != nil {
		return nil, err
	}
	out := marksReply{Marks: []markAsk{}}
	unit := 1.0
	if d.plan != nil {
		unit = job.DrawingUnit(d.plan)
	}
	for _, r := range rows {
		m := markAsk{Name: r.Name, A: r.A, B: r.B}
		if d.site != nil && d.plan.CRS == nil && r.X == r.X {
			if xy, ok := d.anchor.fromPlan(d.site, [2]float64{r.X * unit, r.Y * unit}); ok {
				m.X, m.Y = &xy[0], &xy[1]
			}
		}
		out.Marks = append(out.Marks, m)
	}
	out.Words = fmt.Sprintf("%d marks read.", len(rows))
	return out, nil
}

func metres(x float64) string {
	switch {
	case x < 10:
		return strconv.FormatFloat(x, 'f', 2, 64) + " m"
	case x < 10000:
		return strconv.FormatFloat(x, 'f', 0, 64) + " m"
	}
	return strconv.FormatFloat(x/1000, 'f', 0, 64) + " km"
}

// pageLimits are the defaults with what the page set.
func pageLimits(set map[string]float64) (schema.Limits, error) {
	l := schema.DefaultLimits()
	if len(set) == 0 {
		return l, nil
	}
	return schema.ReadLimits(limitsYAML(set), limitsFile)
}

func limitsYAML(set map[string]float64) []byte {
	var b strings.Builder
	for _, k := range slices.Sorted(maps.Keys(set)) {
		fmt.Fprintf(&b, "%s: %s\n", k, digits(set[k]))
	}
	return []byte(b.String())
}
