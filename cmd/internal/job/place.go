// A drawing in unknown coordinates, put on the ground from marks.

package job

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"unicode"

	"github.com/twpayne/go-geom"

	"swardline/convert"
	"swardline/convert/intake/marks"
	"swardline/convert/wire"
	"swardline/crs"
	"swardline/crs/adjust"
	"swardline/schema"
	"swardline/validate"
	"swardline/validate/report"
)

// PlaceOptions are the options of Place and Unplace.
type PlaceOptions struct {
	Reading
	Moving
	Writing
	Source, Target string
	Marks          string   // file of marks; not for Unplace
	Model          string   // shift, rigid, similarity or affine; "" for similarity
	To             string   // CRS of the output, "" for that of the marks
	Held           string   // how the machine will hold the plan: offsets or coordinates, "" when not said
	Reports        []string // where the fit goes; endings decide the form
}

// Placed is what Place did.
type Placed struct {
	Converted
	Report report.Place
	// Failed is true when the fit has findings.
	Failed bool
}

// Place fits the drawing in Source to marks and writes it placed to Target. The
// result is not nil once the fit is made, whatever becomes of the outputs.
func (j *Job) Place(o *PlaceOptions) (*Placed, error) {
	limits, format, err := j.opening(&o.Reading, &o.Writing, o.Source, o.Target)
	if err != nil {
		return nil, err
	}
	if o.Marks == "" {
		return nil, Refuse("a CSV with the columns name, x, y and e, n or lon, lat", "place needs %s FILE", j.option("marks"))
	}
	model := adjust.ModelSimilarity
	if o.Model != "" {
		if model, err = adjust.ParseModel(o.Model); err != nil {
			return nil, Refuse("", "%s: %w", j.option("model"), err)
		}
	}
	if held := validate.Held(o.Held); held != "" && held != validate.HeldOffsets && held != validate.HeldCoordinates {
		return nil, Refuse("", "%s is %s or %s, not %q", j.option("held"), validate.HeldOffsets, validate.HeldCoordinates, o.Held)
	}
	if err := j.reportForms(o.Reports); err != nil {
		return nil, err
	}
	o.asDrawn = true // the marks say where it is
	p, err := j.unruled(o.Source, &o.Reading, limits)
	if err != nil {
		return nil, err
	}
	if p.CRS != nil {
		return nil, Refuse(j.command("convert")+" moves a plan whose CRS is known", "%s is in %s already; a drawing in unknown coordinates is what gets placed", o.Source, p.CRS.Label())
	}
	list, target, grid, err := j.fitMarks(o, p, limits)
	if err != nil {
		return nil, err
	}
	unit, gridUnit := DrawingUnit(p), grid.UnitMetres()
	fit, err := j.fit(o, model, list, unit, grid, limits)
	if err != nil {
		return nil, err
	}
	// Lengths are known to be right from here on, and roles may use them.
	if p, err = j.giveRoles(p, o.Roles); err != nil {
		return nil, err
	}
	if gridUnit != 1 {
		fit.Notes = append(fit.Notes, fmt.Sprintf("the grid's unit is %.9g m; the fit, its shift and its residuals are in metres", gridUnit))
	}
	placed, err := p.Placed(fit.PlaneTransform.Per(gridUnit), grid, placementRecord(fit, list, unit))
	if err != nil {
		return nil, Fault("", "%s: %w", o.Source, err)
	}
	placed.Beside = slices.Clip(placed.Beside)
	saidOfMarks(placed, list)
	if o.Held != "" {
		placed.Attributes = placed.Attributes.Clone()
		placed.Attributes.Set(schema.PlanHeld, schema.String(o.Held))
	}
	if convert.FormatByName(format).WGS84Only {
		target = crs.WGS84()
	}
	if placed, err = j.movedTo(placed, target, 0, &o.Moving, limits); err != nil {
		return nil, err
	}
	out := &Placed{Report: report.Place{Path: o.Source, Placement: fit, Grid: grid.ID(), LimitM: limits.ResidualM, LimitFrom: limits.OriginOf("residual_m"), At: placesOf(list, grid)}}
	out.Failed = out.Report.Failed()
	if err := j.writeReports(o.Reports, &out.Report); err != nil {
		return out, err
	}
	opts := convert.WriteOptions{Layout: o.Layout}
	if err := j.beside(placed, format, &opts, &o.Moving, limits); err != nil {
		return out, err
	}
	c, err := j.write(placed, o.Target, format, opts, "", false)
	out.Converted = *c
	return out, err
}

// fit fits the drawing to its marks and refuses a unit that cannot be right.
func (j *Job) fit(o *PlaceOptions, model adjust.Model, list []fitMark, unit float64, grid *crs.CRS, limits schema.Limits) (*adjust.Placement, error) {
	var at []float64
	for _, m := range list {
		at = append(at, m.e, m.n, m.h)
	}
	factor, err := grid.CombinedFactorAmong(at)
	if err != nil {
		factor = 0 // cannot be told, and the fit says what it can without
	}
	drawn := drawingMarks(list, unit, grid.UnitMetres())
	fit, err := adjust.FitWith(model, drawn, adjust.FitOptions{CombinedFactor: factor, LeastM: limits.ResidualM})
	if err != nil {
		return nil, Fault("", "%s: %w", o.Marks, err)
	}
	if a, b, worst, ok := adjust.Exchanged(model, drawn, limits.ResidualM); ok {
		fit.Notes = append(fit.Notes, fmt.Sprintf("with the names %s and %s exchanged every mark fits within %.3f m: exchange them in one of the two lists if they are", a, b, worst))
		return fit, nil
	}
	scale, word, ok := adjust.ImpliedScale(drawn)
	if ok && math.Abs(scale-1) > mostScale && (model != adjust.ModelAffine || word != "" || scale < 0.5 || scale > 2) {
		if err := j.wrongUnit(o, scale, word, unit); err != nil {
			return nil, err
		}
	}
	return fit, nil
}

// mostScale is how far from 1 the scale of a drawing may be before its unit is
// taken to be wrong: grids stretch by a thousandth, paper by a few. An affine
// fit may stretch more along one axis. A choice of this program.
const mostScale = 0.01

// paperScales are those that plans of sites are drawn to.
var paperScales = []float64{20, 50, 100, 200, 250, 500, 1000, 2000, 2500, 5000}

// wrongUnit is the error for a drawing whose marks lie scale times as far apart
// on the ground as in the drawing with its unit in metres; nil when the unit
// was told and the scale is that of no other.
func (j *Job) wrongUnit(o *PlaceOptions, scale float64, word string, unit float64) error {
	true1 := scale * unit // metres on the ground in one unit of the drawing
	told := fmt.Sprintf("%.6g", true1)
	problem := fmt.Sprintf("the marks are %.6g times as far apart on the ground as in %s, which was read with %.9g m in a unit", scale, o.Source, unit)
	hint := ""
	for _, u := range []struct {
		name   string
		metres float64
	}{{"m", 1}, {"mm", 0.001}, {"cm", 0.01}, {"ft", 0.3048}, {"in", 0.0254}} {
		if math.Abs(true1/u.metres-1) <= mostScale {
			hint = fmt.Sprintf("its unit is %s: say %s %s", u.name, j.option("units"), u.name)
			if u.name == "ft" {
				hint += ", or ftUS for US survey feet"
			}
		}
	}
	if hint == "" {
		for _, paper := range []float64{0.001, 1, 0.0254, 0.01} {
			for _, s := range paperScales {
				if math.Abs(true1/(paper*s)-1) <= mostScale && hint == "" {
					hint = fmt.Sprintf("the drawing is at a paper scale of 1:%g: say %s %g", s, j.option("units"), paper*s)
				}
			}
		}
	}
	if hint == "" && word == "" && o.Units != "" {
		return nil
	}
	if hint == "" {
		hint = fmt.Sprintf("is a mark's name or position wrong? If not, one unit of the drawing is %s m: say %s %s", told, j.option("units"), told)
	}
	if word != "" {
		problem += "; that is a drawing in " + word
	}
	return Refuse(hint, "%s", problem)
}

// Unplace takes a placed plan back to its drawing's coordinates.
func (j *Job) Unplace(o *PlaceOptions) (*Converted, error) {
	limits, format, err := j.opening(&o.Reading, &o.Writing, o.Source, o.Target)
	if err != nil {
		return nil, err
	}
	p, err := j.unruled(o.Source, &o.Reading, limits)
	if err != nil {
		return nil, err
	}
	grid, _, err := p.PlacementGrid()
	if err != nil {
		return nil, Fault("only a plan that "+j.command("place")+" wrote can be taken back", "%s: %w", o.Source, err)
	}
	if p, err = j.movedTo(p, grid, 0, &o.Moving, limits); err != nil {
		return nil, err
	}
	if p, err = p.Unplaced(); err != nil {
		return nil, Fault("", "%s: %w", o.Source, err)
	}
	return j.write(p, o.Target, format, convert.WriteOptions{Layout: o.Layout}, "", false)
}

// fitMark is a mark with its target in the grid of the fit.
type fitMark struct {
	marks.Row
	e, n, h float64
}

// fitMarks reads the marks and moves them to the plane in which the fit is
// made: the grid asked for, or the marks' own when it is a plane, else a site
// grid in their middle, where lengths are lengths on the ground.
func (j *Job) fitMarks(o *PlaceOptions, drawing *schema.Plan, l schema.Limits) (list []fitMark, target, grid *crs.CRS, err error) {
	data, err := j.settings(o.Marks)
	if err != nil {
		return nil, nil, nil, err
	}
	rows, warnings, err := marks.ReadNamed(data, wire.ReadOptions{Name: o.Marks})
	if err != nil {
		return nil, nil, nil, err
	}
	j.warn(o.Marks, warnings)
	if rows, err = j.findMarks(o, rows, drawing); err != nil {
		return nil, nil, nil, err
	}
	own, err := j.marksCRS(o, rows)
	if err != nil {
		return nil, nil, nil, err
	}
	plan, err := j.marksPlan(o, rows, own)
	if err != nil {
		return nil, nil, nil, err
	}
	target = own
	if o.To != "" && o.To != "site" {
		if target, err = j.system("to", o.To, plan); err != nil {
			return nil, nil, nil, err
		}
	}
	grid = target
	if target.Kind() != crs.KindProjected && target.Kind() != crs.KindSite || o.To == "site" {
		var at []float64
		for _, f := range plan.Features {
			at = append(at, f.Geometry.FlatCoords()...)
		}
		if grid, err = crs.SiteAmong(plan.CRS, plan.SiteBase(), at); err != nil {
			return nil, nil, nil, Fault("", "%s: %w", o.Marks, err)
		}
		if o.To == "site" {
			target = grid
		}
	}
	op, err := j.operation(plan, grid, 0, &o.Moving, l)
	if err != nil {
		return nil, nil, nil, err
	}
	if len(op.Steps()) > 0 {
		j.tellOperation(op)
	}
	grid = op.To()
	for i, row := range rows {
		flat := []float64{row.A, row.B, row.H}
		if err := plan.StepsFor(op, plan.Features[i]).Apply(flat, 3); err != nil {
			return nil, nil, nil, Fault("", "%s:%d: mark %s: %w", o.Marks, row.Line, row.Name, err)
		}
		list = append(list, fitMark{row, flat[0], flat[1], flat[2]})
	}
	return list, target, grid, nil
}

// findMarks looks up in the drawing what the list does not give.
func (j *Job) findMarks(o *PlaceOptions, rows []marks.Row, drawing *schema.Plan) ([]marks.Row, error) {
	found := marks.Find(rows, drawing, DrawingUnit(drawing))
	for _, n := range found.Notes {
		j.note(NoteRemark, o.Marks, "%s", n)
	}
	unused := ""
	if len(found.Unused) > 0 {
		unused = "; names in the drawing that the list does not have: " + strings.Join(found.Unused, ", ")
	}
	if len(found.Rows) == 0 {
		return nil, Fault("write the names as the drawing has them, or give the list the columns x and y", "%s: none of its marks is in %s: %s%s", o.Marks, o.Source, strings.Join(found.Missing, ", "), unused)
	}
	if len(found.Missing) > 0 {
		j.note(NoteRemark, o.Marks, "marks of the list that took no part: %s%s", strings.Join(found.Missing, ", "), unused)
	}
	return found.Rows, nil
}

// marksPlan is the list as a plan of marks, so that it is moved as any plan is,
// with its frame and epoch.
func (j *Job) marksPlan(o *PlaceOptions, rows []marks.Row, own *crs.CRS) (*schema.Plan, error) {
	p := &schema.Plan{CRS: own, Epoch: o.Epoch, Source: schema.Source{File: o.Marks}}
	for _, row := range rows {
		p.Features = append(p.Features, &schema.Feature{Role: schema.RoleMark, Name: row.Name, Geometry: geom.NewPointFlat(geom.XYZ, []float64{row.A, row.B, row.H})})
	}
	if o.InFrame == "" {
		return p, nil
	}
	f, err := crs.ParseFrame(o.InFrame)
	if err == nil {
		_, err = p.SetFrame(f)
	}
	if err != nil {
		return nil, Refuse("", "%s: %w", j.option("frame"), err)
	}
	return p, nil
}

// marksCRS is the one CRS of the list: its column's, WGS 84 for degrees, or
// that of --to for a plane.
func (j *Job) marksCRS(o *PlaceOptions, rows []marks.Row) (*crs.CRS, error) {
	name := rows[0].CRS
	for _, row := range rows {
		if row.CRS != name {
			return nil, Fault("convert the list to one CRS first", "%s:%d: mark %s is in %q, the ones before in %q", o.Marks, row.Line, row.Name, row.CRS, name)
		}
	}
	switch {
	case name != "":
		c, err := crs.Parse(name)
		if err != nil {
			return nil, Fault("", "%s:%d: %w", o.Marks, rows[0].Line, err)
		}
		if c.IsDegrees() != rows[0].Degrees {
			return nil, Fault("name the columns lon, lat for degrees and e, n for a grid", "%s: %s does not go with the columns", o.Marks, c.ID())
		}
		return c, nil
	case rows[0].Degrees:
		return crs.WGS84(), nil
	case o.To != "" && o.To != "site":
		return j.system("to", o.To, nil)
	}
	return nil, Refuse("give the list a column crs, or pass "+j.option("to"), "%s: the list does not say in which CRS e and n are", o.Marks)
}

// placesOf are the given positions of the marks, for the findings on them.
func placesOf(list []fitMark, grid *crs.CRS) map[string]*validate.Place {
	out := map[string]*validate.Place{}
	for i := range list {
		m := &list[i]
		at := &validate.Place{E: &m.e, N: &m.n}
		if flat := []float64{m.e, m.n}; grid.ToGeodetic(flat, 2) == nil {
			at.Lon, at.Lat = &flat[0], &flat[1]
		}
		out[m.Name] = at
	}
	return out
}

// drawingMarks gives the marks in metres of the drawing, as its reader gave the
// plan, and in metres of the grid, so that residuals, limits and sigmas are in
// metres whatever the grid's unit is.
func drawingMarks(list []fitMark, unit, gridUnit float64) []adjust.Mark {
	var out []adjust.Mark
	for _, m := range list {
		x := adjust.Mark{Name: m.Name, X: m.X * unit, Y: m.Y * unit, E: m.e * gridUnit, N: m.n * gridUnit, Sigma: m.Sigma}
		if m.Z == m.Z && m.h == m.h {
			x.Heights, x.Z, x.H = true, m.Z*unit, m.h
		}
		out = append(out, x)
	}
	return out
}

// DrawingUnit is how many metres one unit of the drawing is, as its reader
// noted.
func DrawingUnit(p *schema.Plan) float64 {
	if v, ok := p.Attributes.Get(schema.PlanDrawing).Fields().Get("unit_m").Float(); ok && v > 0 {
		return v
	}
	return 1
}

// placementRecord is what a placed plan keeps of its fit, for its checks: marks is how
// many there were, sigma_m the largest standard error that the list gives, and
// least_redundancy the least part of a mark, 0 to 2, that the others check.
func placementRecord(fit *adjust.Placement, list []fitMark, unit float64) schema.Attributes {
	var a schema.Attributes
	a.Set("model", schema.String(fit.Model.String()))
	a.Set("scale", schema.Float(fit.Scale()))
	a.Set("rotation_deg", schema.Float(float64(fit.Rotation())))
	a.Set("rms_m", schema.Float(math.Round(float64(fit.RMS)*1e5)/1e5))
	a.Set("marks", schema.Int(int64(len(fit.Marks))))
	a.Set("redundancy", schema.Int(int64(fit.Redundancy)))
	a.Set("drawing_unit_m", schema.Float(unit))
	sigma, least := 0.0, math.Inf(1)
	for i := range list {
		sigma = math.Max(sigma, list[i].Sigma)
	}
	for i := range fit.Marks {
		least = math.Min(least, float64(fit.Marks[i].Redundancy))
	}
	if sigma > 0 {
		a.Set("sigma_m", schema.Float(sigma))
	}
	if fit.Redundancy > 0 && !math.IsInf(least, 0) {
		a.Set("least_redundancy", schema.Float(math.Round(math.Max(least, 0)*1e3)/1e3))
	}
	return a
}

// saidOfMarks gives the plan what its list of marks says of them in words, which its
// checks read: a name such as estimated, a fix that is none, a note.
func saidOfMarks(p *schema.Plan, list []fitMark) {
	for _, m := range list {
		where := fmt.Sprintf("line %d of the list of marks", m.Line)
		if saysWord(m.Name) {
			p.AddBeside(schema.BesideText{Where: "the name in " + where, Text: m.Name, Names: true})
		}
		for _, text := range m.Says {
			p.AddBeside(schema.BesideText{Where: where, Text: text})
		}
	}
}

// saysWord reports whether a name has three letters in a row, and so is more than a
// number with its letters, such as M1 or TP-04b.
func saysWord(name string) bool {
	run := 0
	for _, c := range name {
		if run++; !unicode.IsLetter(c) {
			run = 0
		}
		if run == 3 {
			return true
		}
	}
	return false
}
