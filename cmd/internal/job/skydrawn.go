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

// skyDrawn is what there is to draw of a look at the sky: bases, docks and line-up
// points as polar plots, and the ground of the zones by its shade.
func skyDrawn(r *validate.SkyReport, notes []string) *sheet.Sky {
	out := &sheet.Sky{Notes: notes, Advice: strings.Join(r.Advice(), " ")}
	codes := codesOf(r.Site)
	for _, f := range r.Site.Features {
		if f.Invalid == "" && !f.Far && f.Geometry != nil {
			out.Features = append(out.Features, drawn(f, codes[f.Feature], nil))
		}
	}
	for i := range r.Points {
		p := &r.Points[i]
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
	for i := range r.Zones {
		z := &r.Zones[i]
		switch {
		case i == 0:
			out.Few, out.LimitPercent = z.Few, z.FewPercent
		case z.Few != out.Few || z.FewPercent != out.LimitPercent:
			out.Notes = append(slices.Clone(out.Notes), fmt.Sprintf("%s has limits of its own: %s, for up to %g %% of the day", z.Feature.Label(), z.Few, z.FewPercent))
		}
		for c := sheet.ShadeSome; c <= sheet.ShadeUnknown; c++ {
			ground := z.Ground(func(x *validate.SkyCell) bool { return sheet.ShadeOf(x.Thin, z.FewPercent) == c })
			if len(ground) > 0 {
				out.Shades = append(out.Shades, sheet.SkyShade{Shade: c, Areas: []orb.Polygon(ground)})
			}
		}
	}
	return out
}

// addSky looks at the sky for the crew's sheet and the authority's, where something
// hides it: a client is told by the findings.
func (job *sheetJob) addSky() error {
	if job.drawing.Sky != nil || job.layout.For == sheet.ForClient || !hidesSky(job.report.Site) {
		return nil
	}
	r, err := validate.Sky(job.plan, job.limits, validate.SkyOptions{Best: true})
	if err != nil {
		return Fault(job.command("sky")+" says more", "%s: %w", job.o.Source, err)
	}
	said := report.Sky{Path: job.o.Source, Report: r}
	job.drawing.Sky = skyDrawn(r, said.Notes())
	return nil
}

// hidesSky reports whether a plan on the earth has something that hides sky: a
// building of any height, or a tree, a wall or a fence with one.
func hidesSky(s *validate.Site) bool {
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
		hides = hides || f.Role == schema.RoleBuilding || high && (f.Role == schema.RoleHazard || f.Role == schema.RoleEdge)
	}
	return needs && hides
}
