// From a look at the sky to its pictures.

package job

import (
	"fmt"
	"slices"
	"strings"

	"github.com/paulmach/orb"

	"swardline/convert/sheet"
	"swardline/schema"
	"swardline/validate"
	"swardline/validate/report"
)

// skyDrawn is what there is to draw of a look at the sky: bases, docks and
// line-up points as polar plots, and the ground of the zones by its shade.
func skyDrawn(r *validate.SkyReport, notes []string) *sheet.Sky {
	out := &sheet.Sky{Notes: notes, Advice: strings.Join(r.Advice(), " ")}
	codes := codesOf(r.Site)
	for _, f := range r.Site.Features {
		if f.Invalid == "" && !f.Far && f.Geometry != nil {
			out.Features = append(out.Features, drawn(f, codes[f.Feature], nil))
		}
	}
	(&sheet.Drawing{Features: out.Features}).PlaceNames(kernel)
	mask := 0.0
	for i := range r.Points {
		p := &r.Points[i]
		if p.Feature.Role == schema.RoleBase {
			mask = p.MaskDeg
		}
		for _, name := range p.BlockedBy {
			if !slices.Contains(out.Hides, name) {
				out.Hides = append(out.Hides, name)
			}
		}
		if p.View == nil || p.Feature.Role == schema.RoleCorridor {
			continue
		}
		title := string(p.Feature.Role) + " " + p.Feature.Label()
		if p.What != "" {
			title += ", " + p.What
		}
		_, least := p.View.CountRange()
		words := []string{fmt.Sprintf("%.0f %% of the sky above %g° hidden, %d satellites at least", p.HiddenPercent, p.MaskDeg, least), p.Words}
		if len(p.Unknown) > 0 {
			words = append(words, "may be hidden further by "+strings.Join(p.Unknown, ", "))
		}
		out.Plots = append(out.Plots, sheet.SkyPlot{Title: title, Words: words, Horizon: p.Horizon, Day: r.Day, MaskDeg: p.MaskDeg})
	}
	after := 0
	for after < len(r.Points) && after < len(out.Plots) && r.Points[after].Feature.Role == schema.RoleBase {
		after++
	}
	for _, b := range r.Advised() {
		if !slices.Contains(out.Masts, b.Ground) {
			out.Masts = append(out.Masts, b.Ground)
			out.Plots = slices.Insert(out.Plots, after, sheet.SkyPlot{Title: fmt.Sprintf("mast on the %s side of %s", b.Side, b.Building.Label()),
				Words: []string{fmt.Sprintf("antenna %.1f m above the roof: %.0f %% of the sky hidden", b.MastM, b.HiddenPercent), b.Words}, Horizon: b.Horizon, Day: r.Day, MaskDeg: mask})
		}
	}
	for i := range r.Zones {
		z := &r.Zones[i]
		switch {
		case i == 0:
			out.Few, out.LimitPercent = z.Few, z.FewPercent
		case z.Few != out.Few || z.FewPercent != out.LimitPercent:
			out.Notes = append(slices.Clone(out.Notes), fmt.Sprintf("%s has limits of its own: %s, for up to %g %% of the day", z.Feature.Label(), z.Few, z.FewPercent))
		}
		for c := sheet.ShadeOpen; c <= sheet.ShadeUnknown; c++ {
			ground := z.Ground(func(x *validate.SkyCell) bool { return sheet.ShadeOf(x.Thin, z.FewPercent) == c })
			if len(ground) > 0 {
				out.Shades = append(out.Shades, sheet.SkyShade{Shade: c, Areas: []orb.Polygon(ground)})
			}
		}
	}
	return out
}

// addSky looks at the sky for the crew's sheet and the authority's, where
// something hides it: a client is told by the findings.
func (job *sheetJob) addSky() {
	if job.drawing.Sky != nil || job.layout.For == sheet.ForClient || !hidesSky(job.report.Site, job.layout.For) {
		return
	}
	if job.o.Target == "-" && job.o.Write == sheetSVG {
		job.note(NoteRemark, job.o.Source, "the sheet of the sky is left out: standard output holds one SVG; %s writes it", job.command("sky"))
		return
	}
	r, err := validate.Sky(job.plan, job.limits, validate.SkyOptions{Best: true})
	if err != nil {
		job.note(NoteWarning, job.o.Source, "the sheet of the sky is left out: %v", err)
		return
	}
	said := report.Sky{Path: job.o.Source, Report: r}
	job.drawing.Sky = skyDrawn(r, said.Notes())
}

// hidesSky reports whether a plan on the earth has something that hides sky: a
// building, a tree, a wall or a fence with a height; for the crew, who can
// measure it, a building of unknown height as well.
func hidesSky(s *validate.Site, whom sheet.Audience) bool {
	if s.Frame != validate.FrameEarth {
		return false
	}
	needs, hides := false, false
	for _, f := range s.Features {
		if f.Invalid != "" || f.Far || f.Geometry == nil {
			continue
		}
		h, ok := f.Float(schema.PropHeightM)
		high := ok && h > 0
		needs = needs || f.Role == schema.RoleBase || f.Role == schema.RoleDock || f.Role == schema.RoleZone
		hides = hides || f.Role == schema.RoleBuilding && (high || whom == sheet.ForCrew) || high && (f.Role == schema.RoleHazard || f.Role == schema.RoleEdge)
	}
	return needs && hides
}
