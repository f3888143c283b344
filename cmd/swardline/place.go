// swardline place: put a drawing in unknown coordinates on the ground, from marks.

package main

import (
	"fmt"
	"io"
	"math"
	"os"
	"path/filepath"
	"strings"

	"github.com/spf13/cobra"

	"swardline/convert"
	"swardline/convert/intake/marks"
	"swardline/crs"
	"swardline/crs/adjust"
	"swardline/schema"
	"swardline/validate"
	"swardline/validate/report"
)

type placeOptions struct {
	readFlags
	placeFlags
	roleFlags
	streams  streams
	src, dst string
	marks    string
	model    string
	to       string
	write    string
	layout   string
	limits   string
	reports  []string
	undo     bool
	explain  string
}

func newPlaceCmd(s streams, run func(*placeOptions) error) *cobra.Command {
	o := &placeOptions{streams: s}
	cmd := &cobra.Command{
		Use:   "place DRAWING DST",
		Short: "put a drawing on the ground from marks, and say how well it fits",
		Long: `place fits the drawing's coordinates to the marks in --marks by least squares, prints
the residual of each mark and what scale and rotation mean, and writes the plan in
the CRS of --to. The placement is recorded in the plan; --undo takes a placed plan
back to its drawing's coordinates. A residual over the limit residual_m (rule
residual-over-limit) and a suspect mark (mark-suspect) are findings and end with
status 1; the plan is written all the same.

A marks file is a CSV with the columns name, x, y in the drawing's unit and e, n or
lon, lat on the ground; h, crs and sigma may follow. Degrees may have minutes and
seconds; a grid in feet is fitted in metres. Two marks are enough for a rigid
or similarity fit and prove next to nothing: use four.`,
		Args: func(cmd *cobra.Command, args []string) error {
			if o.explain != "" && len(args) == 0 {
				return nil
			}
			return exactly(2, "DRAWING and DST")(cmd, args)
		},
		RunE: func(_ *cobra.Command, args []string) error {
			if o.explain == "" {
				o.src, o.dst = args[0], args[1]
			}
			return run(o)
		},
	}
	o.readFlags.add(cmd)
	o.placeFlags.add(cmd)
	o.roleFlags.add(cmd)
	f := cmd.Flags()
	f.StringVar(&o.marks, "marks", "", "`file` of marks (CSV)")
	f.StringVar(&o.model, "model", "similarity", "`model`: shift, rigid, similarity or affine")
	f.StringVar(&o.to, "to", "", "`CRS` of the output; that of the marks when not given")
	f.StringVar(&o.write, "write", "", "`format` of the output instead of its ending: "+formatList())
	f.StringVar(&o.layout, "layout", "", "`layout` of a CSV: wkt or points")
	f.StringVar(&o.limits, "limits", "", "limits `file` (YAML)")
	f.StringArrayVar(&o.reports, "report", nil, "also write the fit to `file`; its ending decides the form: .json, .txt, or the findings alone as .sarif, .xml (JUnit), .geojson, .csv or .html")
	f.StringVar(&o.explain, "explain", "", "print the page of a `rule` of placements and stop: "+placeRuleNames())
	f.BoolVar(&o.undo, "undo", false, "take a placed plan back to its drawing's coordinates")
	return cmd
}

func placeRuleNames() string {
	var names []string
	for _, r := range validate.RulesOf(validate.CommandPlace) {
		names = append(names, r.Name)
	}
	return strings.Join(names, " or ")
}

func runPlace(o *placeOptions) error {
	if o.explain != "" {
		rule, ok := validate.Find(o.explain)
		if !ok || rule.Command != validate.CommandPlace {
			return usageError("'swardline check --explain' knows those of plans", "there is no rule of placements called %q; they are %s", o.explain, placeRuleNames())
		}
		_, err := io.WriteString(o.streams.out, rule.Text())
		return err
	}
	limits, err := loadLimits(o.limits)
	if err != nil {
		return err
	}
	format, err := targetFormat(o.write, o.dst)
	if err != nil {
		return err
	}
	if o.undo {
		return runUnplace(o, format, limits)
	}
	if o.marks == "" {
		return usageError("a CSV with the columns name, x, y and e, n or lon, lat", "place needs --marks FILE")
	}
	model, err := adjust.ParseModel(o.model)
	if err != nil {
		return usageError("", "--model: %w", err)
	}
	for _, path := range o.reports {
		if _, err := encoderFor(path); err != nil {
			return err
		}
	}
	p, warnings, err := loadPlan(o.src, o.readFlags, limits, o.streams)
	if err != nil {
		return err
	}
	tellWarnings(o.streams.err, o.src, warnings)
	if p.CRS != nil {
		return usageError("'swardline convert' moves a plan whose CRS is known", "%s is in %s already; a drawing in unknown coordinates is what gets placed", o.src, p.CRS.ID())
	}
	if p, err = o.roleFlags.apply(p, o.streams); err != nil {
		return err
	}
	list, target, grid, err := o.readMarks()
	if err != nil {
		return err
	}
	unit, gridUnit := unitOf(p), grid.UnitMetres()
	fit, err := adjust.FitWith(model, drawingMarks(list, unit, gridUnit), adjust.FitOptions{CombinedFactor: combinedFactor(grid, list)})
	if err != nil {
		return inputError("", "%s: %w", o.marks, err)
	}
	if gridUnit != 1 {
		fit.Notes = append(fit.Notes, fmt.Sprintf("the grid's unit is %.9g m; the fit, its shift and its residuals are in metres", gridUnit))
	}
	placed, err := p.Placed(intoUnit(fit.PlaneTransform, gridUnit), grid, placementRecord(fit, unit))
	if err != nil {
		return inputError("", "%s: %w", o.src, err)
	}
	if convert.FormatByName(format).WGS84Only {
		target = crs.WGS84()
	}
	if placed, err = moveTo(placed, target.ID(), 0, format, o.placeFlags, limits, o.streams); err != nil {
		return err
	}
	out := report.Place{Path: o.src, Placement: fit, Grid: grid.ID(), LimitM: limits.ResidualM, At: placesOf(list, grid)}
	tell := o.streams.out
	if o.dst == "-" {
		tell = o.streams.err
	}
	if err := out.Text(tell); err != nil {
		return err
	}
	for _, path := range o.reports {
		encode := func(w io.Writer) error {
			as, _ := encoderFor(path)
			set := out.Set(report.Tool{Name: program, Version: version})
			set.Caution = caution
			return as(set, w)
		}
		switch strings.ToLower(filepath.Ext(path)) {
		case ".json":
			encode = out.JSON
		case ".txt":
			encode = out.Text
		}
		if err := writeWhole(path, o.streams, encode); err != nil {
			return err
		}
	}
	if err := writePlan(placed, o.dst, format, convert.WriteOptions{Layout: o.layout}, "", false, o.streams); err != nil {
		return err
	}
	if out.Failed() {
		return errFindings
	}
	return nil
}

func runUnplace(o *placeOptions, format string, l schema.Limits) error {
	p, warnings, err := loadPlan(o.src, o.readFlags, l, o.streams)
	if err != nil {
		return err
	}
	tellWarnings(o.streams.err, o.src, warnings)
	grid, _, err := p.PlacementGrid()
	if err != nil {
		return inputError("only a plan that 'swardline place' wrote can be taken back", "%s: %w", o.src, err)
	}
	if p, err = moveTo(p, grid.ID(), 0, "geojson", o.placeFlags, l, o.streams); err != nil {
		return err
	}
	if p, err = p.Unplaced(); err != nil {
		return inputError("", "%s: %w", o.src, err)
	}
	return writePlan(p, o.dst, format, convert.WriteOptions{Layout: o.layout}, "", false, o.streams)
}

// fitMark is a mark with its target in the grid of the fit.
type fitMark struct {
	marks.Row
	e, n, h float64
}

// readMarks reads the marks and moves them to the plane in which the fit is made:
// the grid asked for, or the marks' own when it is a plane, else a site grid in
// their middle, where lengths are lengths on the ground.
func (o *placeOptions) readMarks() (list []fitMark, target, grid *crs.CRS, err error) {
	data, err := os.ReadFile(o.marks)
	if err != nil {
		return nil, nil, nil, err
	}
	rows, err := marks.Read(data, o.marks)
	if err != nil {
		return nil, nil, nil, err
	}
	own, err := o.marksCRS(rows)
	if err != nil {
		return nil, nil, nil, err
	}
	target = own
	if o.to != "" && o.to != "site" {
		if target, err = crsArg("--to", o.to, nil); err != nil {
			return nil, nil, nil, err
		}
	}
	grid = target
	if target.Kind() != crs.KindProjected && target.Kind() != crs.KindSite || o.to == "site" {
		if grid, err = siteAtMarks(own, rows); err != nil {
			return nil, nil, nil, inputError("", "%s: %w", o.marks, err)
		}
		if o.to == "site" {
			target = grid
		}
	}
	op, err := crs.NewOperation(own, grid, crs.OperationOptions{AcceptAccuracy: crs.Metres(o.acceptAccuracy), AllowBallpark: o.ballpark, Plate: o.plate})
	if err != nil {
		return nil, nil, nil, usageError("--accept-accuracy METRES takes a worse step", "%s to %s: %w", own.ID(), grid.ID(), err)
	}
	if len(op.Steps()) > 0 {
		tellOperation(o.streams.err, op)
	}
	for _, row := range rows {
		flat := []float64{row.A, row.B, row.H}
		if err := op.Apply(flat, 3); err != nil {
			return nil, nil, nil, inputError("", "%s:%d: mark %s: %w", o.marks, row.Line, row.Name, err)
		}
		list = append(list, fitMark{row, flat[0], flat[1], flat[2]})
	}
	return list, target, grid, nil
}

// marksCRS is the one CRS of the list: its column's, WGS 84 for degrees, or that
// of --to for a plane.
func (o *placeOptions) marksCRS(rows []marks.Row) (*crs.CRS, error) {
	name := rows[0].CRS
	for _, row := range rows {
		if row.CRS != name {
			return nil, inputError("convert the list to one CRS first", "%s:%d: mark %s is in %q, the ones before in %q", o.marks, row.Line, row.Name, row.CRS, name)
		}
	}
	switch {
	case name != "":
		c, err := crs.Parse(name)
		if err != nil {
			return nil, inputError("", "%s:%d: %w", o.marks, rows[0].Line, err)
		}
		if c.IsDegrees() != rows[0].Degrees {
			return nil, inputError("name the columns lon, lat for degrees and e, n for a grid", "%s: %s does not go with the columns", o.marks, c.ID())
		}
		return c, nil
	case rows[0].Degrees:
		return crs.WGS84(), nil
	case o.to != "" && o.to != "site":
		return crsArg("--to", o.to, nil)
	}
	return nil, usageError("give the list a column crs, or pass --to", "%s: the list does not say in which CRS e and n are", o.marks)
}

// siteAtMarks is a site grid in the middle of the marks, its origin rounded so
// that the record of the placement stays readable.
func siteAtMarks(c *crs.CRS, rows []marks.Row) (*crs.CRS, error) {
	var e, n, h float64
	heights := 0
	for _, r := range rows {
		e, n = e+r.A/float64(len(rows)), n+r.B/float64(len(rows))
		if r.H == r.H {
			h += r.H
			heights++
		}
	}
	if heights > 0 {
		h /= float64(heights)
	}
	middle := []float64{e, n, math.Round(h)}
	if err := c.ToGeodetic(middle, 3); err != nil {
		return nil, err
	}
	return crs.NewSite(crs.SiteGrid{Scale: 1, Base: c.Base(), Origin: crs.Geodetic{
		Lon: crs.Degrees(math.Round(middle[0]*1e6) / 1e6), Lat: crs.Degrees(math.Round(middle[1]*1e6) / 1e6), H: crs.Metres(math.Round(middle[2]))}})
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

// intoUnit gives a transformation onto a grid in metres for the same grid in units
// of so many metres.
func intoUnit(t adjust.PlaneTransform, metres float64) adjust.PlaneTransform {
	t.A, t.B, t.C, t.D = t.A/metres, t.B/metres, t.C/metres, t.D/metres
	t.ShiftE, t.ShiftN = t.ShiftE/metres, t.ShiftN/metres
	return t
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

// combinedFactor is the length on the grid of a metre on the ground in the middle
// of the marks, 0 when it cannot be told.
func combinedFactor(grid *crs.CRS, list []fitMark) float64 {
	var e, n, h float64
	for _, m := range list {
		e, n, h = e+m.e/float64(len(list)), n+m.n/float64(len(list)), h+m.h/float64(len(list))
	}
	if h != h {
		h = 0
	}
	at := []float64{e, n}
	if grid.ToGeodetic(at, 2) != nil {
		return 0
	}
	k, err := grid.CombinedFactorAt(crs.Geodetic{Lon: crs.Degrees(at[0]), Lat: crs.Degrees(at[1]), H: crs.Metres(h)})
	if err != nil {
		return 0
	}
	return k
}

// unitOf is how many metres one unit of the drawing is, as its reader noted.
func unitOf(p *schema.Plan) float64 {
	if v, ok := p.Attributes.Get(schema.PlanDrawing).Fields().Get("unit_m").Float(); ok && v > 0 {
		return v
	}
	return 1
}

func placementRecord(fit *adjust.Placement, unit float64) schema.Attributes {
	var a schema.Attributes
	a.Set("model", schema.String(fit.Model.String()))
	a.Set("scale", schema.Float(fit.Scale()))
	a.Set("rotation_deg", schema.Float(float64(fit.Rotation())))
	a.Set("rms_m", schema.Float(math.Round(float64(fit.RMS)*1e5)/1e5))
	a.Set("marks", schema.Int(int64(len(fit.Marks))))
	a.Set("redundancy", schema.Int(int64(fit.Redundancy)))
	a.Set("drawing_unit_m", schema.Float(unit))
	return a
}
