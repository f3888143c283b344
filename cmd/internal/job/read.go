// Inputs: a name, what was told of it that it does not say, and the plan in it.

package job

import (
	"errors"
	"fmt"
	"io/fs"
	"math"
	"path/filepath"
	"slices"
	"strconv"
	"strings"

	"swardline/convert"
	"swardline/convert/intake/roles"
	"swardline/convert/wire"
	"swardline/crs"
	"swardline/schema"
	"swardline/validate"
)

// Reading says what was told about an input.
type Reading struct {
	From  string  // CRS where the file does not say, or says it wrong
	Epoch float64 // decimal year of the coordinates, 0 for what the file says
	// InFrame is the frame of coordinates that only say WGS 84, "" for what the
	// file says.
	InFrame string
	Format  string // "" to find it out
	// Encoding of a text, such as windows-1252; "" for what the file says.
	Encoding string
	Columns  string // of a list without a header
	// LineCodes are a crew's own words for line-work, such as
	// ST=START,CL=CLOSE.
	LineCodes string
	Units     string  // length unit of a drawing or list
	asDrawn   bool    // a drawing that says its place is left in its own coordinates
	ChordM    float64 // how far a chord may leave a curve, 0 for the default
	Roles     string  // file of patterns that turn names into roles, "" for none
	Limits    string  // file of limits, "" for the defaults
}

// Formats are the names of the formats, in the order of their table.
func Formats() []string {
	var names []string
	for _, f := range convert.Formats {
		names = append(names, f.Name)
	}
	return names
}

// settingsBytes is the most that a file of limits, roles, marks, a reference
// system or a report may have.
const settingsBytes = 1 << 30

// settings returns the bytes of a file that says something about plans.
func (j *Job) settings(name string) ([]byte, error) {
	data, err := j.Store.Read(name, settingsBytes)
	var in *wire.InputError
	if errors.As(err, &in) && in.File == "" {
		in.File = name
	}
	return data, err
}

func (j *Job) limits(name string) (schema.Limits, error) {
	if name == "" {
		return schema.DefaultLimits(), nil
	}
	data, err := j.settings(name)
	if err != nil {
		return schema.Limits{}, err
	}
	l, err := schema.ReadLimits(data, name)
	if err != nil {
		return l, Fault(j.command("check --explain limits")+" lists every limit with its default", "%w", err)
	}
	return l, nil
}

// Open reads one plan, tells of its warnings, and gives it the roles asked for.
func (j *Job) Open(name string, r *Reading) (*schema.Plan, error) {
	limits, err := j.limits(r.Limits)
	if err != nil {
		return nil, err
	}
	return j.plan(name, r, limits)
}

// plan is Open with limits that were read before. What it gives is on the
// ground, whichever of its two ways of being said a corrected plan was written
// in.
func (j *Job) plan(name string, r *Reading, l schema.Limits) (*schema.Plan, error) {
	p, err := j.asWritten(name, r, l)
	if err != nil {
		return nil, err
	}
	return j.grounded(p, name)
}

// asWritten is plan with the coordinates of the file.
func (j *Job) asWritten(name string, r *Reading, l schema.Limits) (*schema.Plan, error) {
	if p := j.Plans[name]; p != nil {
		return p, nil
	}
	p, err := j.readPlan(name, r, l)
	if err != nil {
		return nil, err
	}
	return j.giveRoles(p, r.Roles)
}

// unruled is plan without roles.
func (j *Job) unruled(name string, r *Reading, l schema.Limits) (*schema.Plan, error) {
	p, err := j.readPlan(name, r, l)
	if err != nil {
		return nil, err
	}
	return j.grounded(p, name)
}

// grounded gives a plan on the ground, and refuses one whose history cannot
// tell where that is: what is made of it would lie elsewhere.
func (j *Job) grounded(p *schema.Plan, name string) (*schema.Plan, error) {
	ground, err := validate.GroundOf(p)
	var told *validate.HistoryError
	if errors.As(err, &told) && told.Own {
		return nil, Fault(told.Mend(), "%s: %w", name, err)
	}
	return j.groundOr(p, ground, name, err), nil
}

// groundOrPlan gives a plan on the ground, or as it stands, which is told: its
// check judges the history.
func (j *Job) groundOrPlan(p *schema.Plan, name string) *schema.Plan {
	ground, err := validate.GroundOf(p)
	return j.groundOr(p, ground, name, err)
}

func (j *Job) groundOr(p, ground *schema.Plan, name string, err error) *schema.Plan {
	if err != nil {
		j.note(NoteWarning, name, "%s; the coordinates are taken as the ground, and whether the machine holds the same is not known", err)
		return p
	}
	return ground
}

// readPlan is unruled with the coordinates of the file.
func (j *Job) readPlan(name string, r *Reading, l schema.Limits) (*schema.Plan, error) {
	if p := j.Plans[name]; p != nil {
		return p, nil
	}
	opts, _, err := j.readOptions(name, r, l)
	if err != nil {
		return nil, err
	}
	data, err := j.load(name, opts)
	if err != nil {
		return nil, err
	}
	p, warnings, err := convert.Read(data, opts)
	if err != nil {
		return nil, err
	}
	j.warn(name, warnings)
	j.warnStretch(p)
	return p, nil
}

// load returns the bytes of a plan's file; its errors are those of a reader.
func (j *Job) load(name string, o convert.ReadOptions) ([]byte, error) {
	data, err := j.Store.Read(name, o.Caps().InputMaxBytes)
	return data, convert.AsInputError(err, name)
}

// giveRoles gives the plan with the roles that a file says, and tells what
// matched and what did not.
func (j *Job) giveRoles(p *schema.Plan, file string) (*schema.Plan, error) {
	if file == "" {
		return p, nil
	}
	data, err := j.settings(file)
	if err != nil {
		return nil, err
	}
	rules, err := roles.Read(data, file)
	if err != nil {
		return nil, err
	}
	out, told := roles.Apply(p, rules)
	j.note(NoteRoles, "", "%s", told.String())
	return out, nil
}

// readOptions puts together what was told of an input, and what lies beside it.
// prj is the text of the .prj that was taken, "" for none.
func (j *Job) readOptions(name string, r *Reading, l schema.Limits) (opts convert.ReadOptions, prj string, err error) {
	opts = convert.ReadOptions{ReadOptions: wire.ReadOptions{Name: name, Epoch: r.Epoch, Frame: r.InFrame, Encoding: r.Encoding, Columns: r.Columns, LineCodes: r.LineCodes, Unit: r.Units, AsDrawn: r.asDrawn, ChordM: r.ChordM, Limits: l}}
	if r.Format != "" {
		if opts.Format, err = j.format("read", r.Format); err != nil {
			return opts, "", err
		}
	}
	if r.From != "" {
		if opts.CRS, err = j.system("from", r.From, nil); err != nil {
			return opts, "", err
		}
	} else if file, text, ok := j.besidePRJ(name); ok {
		var notes []string
		if opts.CRS, notes, err = crs.ParseWithNotes(text); err != nil {
			return opts, "", Fault("mend the .prj, or pass "+j.option("from"), "%s: %w", file, err)
		}
		for _, n := range notes {
			j.note(NoteRemark, file, "%s", n)
		}
		prj, opts.CRSBeside = text, true
	}
	return opts, prj, nil
}

// prjEndings are the endings of lists and drawings, which do not say their CRS.
var prjEndings = []string{".csv", ".tsv", ".txt", ".dxf"}

// besidePRJ returns the .prj that lies beside a list or a drawing, and its
// text.
func (j *Job) besidePRJ(name string) (prj, text string, ok bool) {
	if !slices.Contains(prjEndings, strings.ToLower(filepath.Ext(name))) {
		return "", "", false
	}
	prj = strings.TrimSuffix(name, filepath.Ext(name)) + ".prj"
	data, err := j.settings(prj)
	return prj, string(data), err == nil
}

func (j *Job) format(option, name string) (string, error) {
	if convert.FormatByName(name) != nil {
		return name, nil
	}
	return "", Refuse("the formats are "+strings.Join(Formats(), ", "), "%s: there is no format %q", j.option(option), name)
}

// system resolves what an option names as a CRS: a code, a URN, a name, a WKT
// file, or "site", the site grid of the plan. What a name was taken for, and
// what of a text was left aside, is noted.
func (j *Job) system(option, text string, p *schema.Plan) (*crs.CRS, error) {
	if text == "site" {
		return j.siteGrid(option, p)
	}
	if p != nil && strings.HasPrefix(text, "site:") {
		// A site grid stands on the plan's frame unless it says otherwise.
		c, err := crs.ParseSite(text, p.SiteBase())
		if err != nil {
			return nil, Refuse("", "%s: %w", j.option(option), err)
		}
		return c, nil
	}
	c, notes, err := crs.ParseWithNotes(text)
	if err == nil {
		for _, n := range notes {
			j.note(NoteRemark, "", "%s: %s", j.option(option), n)
		}
		return c, nil
	}
	var data []byte
	fileErr := error(fs.ErrNotExist)
	if len(text) < 256 { // a name that a file can have
		data, fileErr = j.settings(text)
	}
	switch {
	case errors.Is(fileErr, fs.ErrNotExist):
		return nil, Refuse(j.command("crs list WORD")+" finds codes; "+j.command("crs near LAT,LON")+" ranks the grids of a place", "%s: %w", j.option(option), err)
	case fileErr != nil:
		return nil, fileErr
	}
	if c, notes, err = crs.ParseWithNotes(string(data)); err != nil {
		return nil, Fault("", "%s: %w", text, err)
	}
	for _, n := range notes {
		j.note(NoteRemark, text, "%s", n)
	}
	return c, nil
}

// siteGrid returns the plan's own site grid; a plan without one gets a plain
// one at its base: no rotation, scale 1, the base at 0, 0.
func (j *Job) siteGrid(option string, p *schema.Plan) (*crs.CRS, error) {
	if p == nil {
		return nil, Refuse("name a code, such as EPSG:25832", "%s: 'site' has no meaning here", j.option(option))
	}
	c, err := p.SiteGrid()
	if err != nil {
		return nil, Refuse("give the plan a base, a member site_grid, or name a code", "%s site: %w", j.option(option), err)
	}
	return c, nil
}

// numbers reads a list of numbers with commas.
func (j *Job) numbers(option, text string, least, most int) ([]float64, error) {
	const mend = "numbers with commas, decimals with points"
	text = strings.TrimSpace(text)
	parts := strings.Split(text, ",")
	if len(parts) < least || len(parts) > most {
		wanted := fmt.Sprintf("%d to %d", least, most)
		if least == most {
			wanted = strconv.Itoa(least)
		}
		return nil, Refuse(mend, "%s %q: %s numbers are wanted", j.option(option), text, wanted)
	}
	var out []float64
	for _, s := range parts {
		v, err := strconv.ParseFloat(strings.TrimSpace(s), 64)
		if err != nil || math.IsNaN(v) || math.IsInf(v, 0) || !schema.IsNumber(strings.TrimLeft(strings.TrimSpace(s), "+")) {
			return nil, Refuse(mend, "%s %q: %q is no number", j.option(option), text, s)
		}
		out = append(out, v)
	}
	return out, nil
}

// position reads LAT,LON or LAT,LON,H; an absent height is NaN.
func (j *Job) position(option, text string) (crs.Geodetic, error) {
	v, err := j.numbers(option, text, 2, 3)
	if err != nil {
		return crs.Geodetic{}, err
	}
	if math.Abs(v[0]) > 90 || math.Abs(v[1]) > 180 {
		return crs.Geodetic{}, Refuse("the order is latitude, longitude, height", "%s %q: no such latitude or longitude", j.option(option), text)
	}
	g := crs.Geodetic{Lat: crs.Degrees(v[0]), Lon: crs.Degrees(v[1]), H: crs.Metres(math.NaN())}
	if len(v) == 3 {
		g.H = crs.Metres(v[2])
	}
	return g, nil
}
