// From a plan and its check to what a sheet draws.

package job

import (
	"fmt"
	"math"
	"path/filepath"
	"slices"
	"strconv"
	"strings"

	"github.com/paulmach/orb"

	"swardline/convert/sheet"
	"swardline/crs"
	"swardline/schema"
	"swardline/validate"
	"swardline/validate/plane"
)

// forward gives grid coordinates of a point on the ground.
func (job *sheetJob) forward(p orb.Point) (orb.Point, bool) {
	s := job.report.Site
	q, ok := s.GroundToPlan(p)
	if !ok || job.op == nil {
		return q, ok
	}
	// A height of NaN is absent and stays so; the site's height is that of all
	// points.
	flat := []float64{q[0], q[1], s.H}
	if job.op.Apply(flat, 3) != nil || math.IsNaN(flat[0]) || math.IsNaN(flat[1]) || math.IsInf(flat[0], 0) || math.IsInf(flat[1], 0) {
		return p, false
	}
	return orb.Point{flat[0], flat[1]}, true
}

func (job *sheetJob) sheetGrid() sheet.Grid {
	s := job.report.Site
	out := sheet.Grid{ID: "the drawing's own plane", Unit: "m", Forward: job.forward, NorthKnown: s.Frame == validate.FrameEarth, Convergence: math.NaN(), Scale: math.NaN()}
	if job.grid == nil {
		return out
	}
	out.ID, out.Name, out.Ref, out.Degrees = job.grid.ID(), job.grid.Name(), job.grid.ID(), job.grid.IsDegrees()
	if grid, ok := job.grid.Site(); ok {
		// Its own text is long; what matters on paper is what it is.
		out.ID, out.Name = "site grid", "origin "+sheet.LatLon(float64(grid.Origin.Lat), float64(grid.Origin.Lon), 8)
	}
	if out.Degrees {
		out.Convergence = 0
		return out
	}
	if u := job.grid.UnitMetres(); u > 0 && u != 1 {
		out.Unit = fmt.Sprintf("units of %.10g m", u)
	}
	if turn, scale, ok := crs.MeasureGrid(func(e, n float64) (float64, float64, bool) {
		q, ok := job.forward(orb.Point{e, n})
		return q[0], q[1], ok
	}); ok {
		out.Convergence, out.Scale = float64(turn), scale
		if u := job.grid.UnitMetres(); u > 0 {
			out.Scale *= u
		}
	}
	return out
}

// kernel is the planar geometry that placing names needs.
var kernel = sheet.Plane{Difference: plane.Difference, Deepest: plane.GreatestDepth}

func (job *sheetJob) drawingOf() *sheet.Drawing {
	p, r, s := job.plan, job.report, job.report.Site
	source := filepath.Base(job.o.Source)
	if job.o.Source == "-" {
		source = "standard input"
	}
	d := &sheet.Drawing{Title: job.o.Title, Source: source, Date: job.date, Program: Program + " " + Version, Caution: Caution, NetM2: r.Areas.NetM2, Grid: job.sheetGrid()}
	if d.Title == "" {
		d.Title = p.Name
	}
	if d.Title == "" {
		d.Title = strings.TrimSuffix(source, filepath.Ext(source))
	}
	figures := map[*schema.Feature]validate.ZoneFigures{}
	for _, z := range r.Zones {
		figures[z.Feature] = z
	}
	codes := codesOf(s)
	skipped := 0
	for _, f := range s.Features {
		if f.Invalid != "" || f.Far || f.Geometry == nil {
			skipped++
			continue
		}
		d.Features = append(d.Features, drawn(f, codes[f.Feature], figures))
	}
	off := s.OffFeatures(p)
	for i := range off {
		d.Off = append(d.Off, drawn(&off[i], codes[off[i].Feature], nil))
	}
	d.PlaceNames(kernel)
	for i := range r.Findings {
		d.Findings = append(d.Findings, findingOf(s, &r.Findings[i], i+1, codes, &d.Grid))
	}
	d.NotChecked = notChecked(r.Rules)
	d.Earth = job.earth()
	d.LonLat = job.lonLat()
	d.Plain = "Drawn from " + source + "; areas and lengths are level."
	for _, l := range offLines(s) {
		if strings.HasPrefix(l, sheet.OffWords(schema.RoleKeepout)) {
			d.Plain += " " + l // who reads no more must know this
		}
	}
	d.Result, d.Tested = checkedWords(r), testedWords(r)
	d.Notes = job.notes(skipped, &d.Grid)
	return d
}

// notChecked gives the reasons for which rules could not be decided, each once
// with its rules.
func notChecked(results []validate.Result) []string {
	var reasons []string
	rules := map[string][]string{}
	for _, x := range results {
		if x.Reason == "" || x.Outcome == validate.NotNeeded {
			continue
		}
		if rules[x.Reason] == nil {
			reasons = append(reasons, x.Reason)
		}
		rules[x.Reason] = append(rules[x.Reason], x.Rule)
	}
	for i, reason := range reasons {
		reasons[i] = strings.Join(rules[reason], ", ") + ": " + reason
	}
	return reasons
}

// drawn is one feature with its figures.
func drawn(f *validate.Feature, code string, figures map[*schema.Feature]validate.ZoneFigures) sheet.Feature {
	unknown := math.NaN()
	number := func(key string) float64 {
		if v, ok := f.Float(key); ok {
			return v
		}
		return unknown
	}
	out := sheet.Feature{Role: f.Role, Code: code, Name: nameOf(f.Feature), Note: f.Attributes.Get(schema.PropNote).Text(),
		AreaM2: unknown, NetM2: unknown, HardEdgeM: unknown, UncutM2: unknown, LengthM: unknown, ElevationM: unknown,
		RadiusM: number(schema.PropRadiusM), HeadingDeg: number(schema.PropHeadingDeg), StandoffM: number(schema.PropStandoffM), CutMM: number(schema.PropCutMM),
		HeightM: number(schema.PropHeightM), AntennaM: number(schema.PropAntennaHeight)}
	switch f.Role {
	case schema.RoleEdge:
		out.Kind = f.Attributes.Get(schema.PropEdgeKind).Text()
	case schema.RoleHazard:
		out.Kind = f.Attributes.Get(schema.PropHazardKind).Text()
	case schema.RoleBase:
		out.Frame = f.Attributes.Get(schema.PropFrame).Text()
		if e, ok := f.Float(schema.PropEpoch); ok {
			out.Epoch = strconv.FormatFloat(e, 'f', -1, 64)
		}
	}
	for _, l := range f.Lines {
		out.Lines = append(out.Lines, l.Ground)
	}
	for _, v := range f.Points {
		out.Points = append(out.Points, v.Ground)
	}
	if len(f.Points) > 0 {
		out.ElevationM = f.Points[0].Height
	}
	for _, a := range f.Areas {
		out.Areas = append(out.Areas, a.Ground)
	}
	out.AreaM2 = f.AreaM2()
	if len(out.Areas) == 0 {
		out.LengthM = f.LengthM()
	}
	if z, ok := figures[f.Feature]; ok {
		out.AreaM2, out.NetM2, out.HardEdgeM, out.UncutM2 = z.GrossM2, z.NetM2, z.HardEdgeM, z.UncutM2
	}
	return out
}

func findingOf(s *validate.Site, f *validate.Finding, number int, codes map[*schema.Feature]string, g *sheet.Grid) sheet.Finding {
	out := sheet.Finding{Number: number, Rule: f.Rule, Severity: string(f.Severity), Message: f.Message}
	var names []string
	for _, x := range f.Features {
		names = append(names, strings.TrimSpace(codes[x]+" "+x.Name))
	}
	out.Features = strings.Join(names, ", ")
	if !math.IsNaN(f.Measured) {
		unit := map[string]string{"count": "", "m2": " m²", "": ""}
		u, ok := unit[f.Unit]
		if !ok {
			u = " " + f.Unit
		}
		out.Figures = fmt.Sprintf("measured %.4g%s", f.Measured, u)
		switch {
		case f.Limit == 0:
			out.Figures += ", none allowed"
		case !math.IsNaN(f.Limit):
			out.Figures += fmt.Sprintf(", limit %.4g%s", f.Limit, u)
		}
	}
	// A coordinate that is wrong by itself may lie anywhere; the map ends
	// before it.
	out.At, out.HasAt = placed(s, f.At)
	if out.HasAt {
		out.Position = g.Position(out.At)
	}
	return out
}

// notes are what the numbers on the sheet stand on.
func (job *sheetJob) notes(skipped int, g *sheet.Grid) []string {
	p, s := job.plan, job.report.Site
	var out []string
	if p.CRS == nil {
		out = append(out, "The file states no CRS: coordinates are taken as plane metres.")
	} else {
		t := "Plan in " + crsTitle(p.CRS)
		if d := p.CRS.Datum(); d != "" {
			t += ", datum " + d
		}
		if p.Epoch != 0 {
			t += fmt.Sprintf(", epoch %g", p.Epoch)
		} else {
			t += ", date of the coordinates unknown"
		}
		if a := float64(p.CRS.EnsembleAccuracy()); a > 0 {
			t += fmt.Sprintf("; that datum by itself is good to %g m, the base's frame decides", a)
		}
		out = append(out, t+".")
	}
	if job.op != nil {
		t := "Ticks and positions in " + crsTitle(job.grid)
		if len(job.op.Steps()) == 0 {
			t += ", same datum"
		} else if a, known := job.op.Accuracy(); known {
			t += fmt.Sprintf(", by a datum step good to %g m", float64(a))
		} else {
			t += ", by a datum step of unknown accuracy"
		}
		if job.doubt != "" {
			t += "; they " + job.doubt + ": for looking, not for staking out"
		}
		out = append(out, t+".")
	} else if job.grid != nil {
		out = append(out, "Ticks and positions in the plan's coordinates.")
	}
	if s.Frame == validate.FrameEarth {
		out = append(out, drawnWords(p, s))
	}
	if slices.ContainsFunc(s.Features, func(f *validate.Feature) bool { return len(f.Points) > 0 && !math.IsNaN(f.Points[0].Height) }) {
		out = append(out, heightWords(p))
	}
	out = append(append(out, originWords(p, codesOf(s))...), job.heldWords()...)
	if n := len(s.Inactive); n > 0 {
		out = append(out, offLines(s)...)
	}
	if skipped > 0 {
		out = append(out, fmt.Sprintf("Not drawn, because their coordinates cannot be used: %d feature(s); see the findings.", skipped))
	}
	for _, n := range s.Notes {
		out = append(out, strings.ToUpper(n[:1])+n[1:]+".")
	}
	return out
}

// drawnWords say on what height the drawing stands, which a plan without
// heights does not know.
func drawnWords(p *schema.Plan, s *validate.Site) string {
	for _, f := range p.Features {
		if f.Geometry != nil && f.Geometry.Layout().ZIndex() >= 0 {
			of := ""
			if slices.ContainsFunc(s.Features, func(f *validate.Feature) bool {
				return f.Role == schema.RoleBase && len(f.Points) > 0 && f.Points[0].Height == s.H
			}) {
				of = ", which is that of the base's antenna"
			}
			return fmt.Sprintf("Drawn in metres, level, at height %.1f m%s; areas and lengths are the level ones there.", s.H, of)
		}
	}
	return "Drawn in metres, level; the plan has no heights, so that lengths are those at height 0."
}

// crsTitle names a CRS on paper, where the text of a site grid would be too
// long.
func crsTitle(c *crs.CRS) string {
	if grid, ok := c.Site(); ok {
		return fmt.Sprintf("a site grid (origin %s, turned %g°, scale %g)", sheet.LatLon(float64(grid.Origin.Lat), float64(grid.Origin.Lon), 8), float64(grid.RotationDeg), grid.Scale)
	}
	if c.Name() == "" || c.Name() == c.ID() {
		return c.ID()
	}
	return c.ID() + " " + c.Name()
}
